package onepage

import (
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/motion/review"
)

// TestLeading: one joint leads, or none is said to.
func TestLeading(t *testing.T) {
	shares := func(joints ...[]drive.Joint) *drive.Drive {
		d := &drive.Drive{SameLeading: known(0.9, 0.8, 0.95, 60)}
		for i, js := range joints {
			d.Shares = append(d.Shares, drive.Share{Joints: js, Value: known(0.8-0.6*float64(i), 0.7-0.6*float64(i), 0.9-0.6*float64(i), 60)})
		}
		return d
	}
	for _, c := range []struct {
		d    *drive.Drive
		want bool
	}{
		{shares([]drive.Joint{drive.AtWrist}, []drive.Joint{drive.AtElbow}), true},
		{shares([]drive.Joint{drive.AtWrist, drive.AtFingers}, []drive.Joint{drive.AtElbow}), false},
	} {
		text := strings.Join(driveWords(&review.Review{Drive: c.d}), " ")
		if !strings.Contains(text, "80 % (70 to 90)") || strings.Contains(text, "moves the tip most") != c.want || strings.Contains(text, "It leads") != c.want {
			t.Errorf("%v: %q", c.d.Shares[0].Joints, text)
		}
	}
}
