package take

import (
	"strings"

	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/motion/review"
)

// Drive returns what moves the tip, stroke by stroke. It is empty without shares,
// for want of landmarks or of strokes.
func Drive(r *review.Review) figure.DriveOverTime {
	shares := shares(r)
	if len(shares) == 0 {
		return figure.DriveOverTime{}
	}
	f := figure.DriveOverTime{Shares: shares, Settled: settled(r)}
	for _, i := range r.Drive.Strokes {
		f.T = append(f.T, r.Motion.Strokes[i].Middle())
	}
	return f
}

// Shares returns what moves the tip over the take, from the shoulder to the
// fingers. It is empty where Drive is.
func Shares(r *review.Review) figure.Shares { return figure.Shares{Shares: shares(r)} }

// shares are the shares of the joints, those that are not told apart together.
func shares(r *review.Review) []figure.Share {
	if r.Drive == nil {
		return nil
	}
	var out []figure.Share
	for _, s := range r.Drive.Shares {
		out = append(out, figure.Share{Name: joints(s.Joints), Value: s.Value, Strokes: s.PerStroke})
	}
	return out
}

// joints names joints that have one share together.
func joints(list []drive.Joint) string {
	words := make([]string, len(list))
	for i, j := range list {
		words[i] = j.String()
	}
	return strings.Join(words, " + ")
}
