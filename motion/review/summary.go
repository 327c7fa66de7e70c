package review

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"runtime/debug"

	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Summary is what comparisons, progress and studies keep of a review: its
// measures, and what must be known to hold them against those of another take.
// It is small, so that thousands of takes fit into memory.
type Summary struct {
	Source string
	// Setup is the name of the set-up, "" where none was given.
	Setup string
	View  trajectory.View
	// Unit is the unit of lengths, as in Review.Unit.
	Unit string
	// Seconds is the time from the first stroke's start to the last one's end,
	// Strokes their number.
	Seconds float64
	Strokes int
	// Values are those of Measures(), in that order.
	Values []estimate.Value[float64]
	// Motion is the mean cycle of the longest settled span, nil without one.
	Motion *cycle.Reference
	// Flags are short keys of what a reader of the numbers must know, in
	// alphabetical order:
	//
	//	"pace"      the pace of the film seems to change within the take
	//	"question"  something must be settled before the rest is believed (Questions)
	//	"lost"      more than a tenth of the tip's samples are missing or were cut
	//	"hidden"    more than a tenth of the strokes have a turn that was not seen
	//	"relative"  heights have no zero
	//	"px"        lengths are not in millimetres
	Flags []string
	// Version is that of this module, Digest that of the options.
	Version, Digest string
}

// Value returns the measure of that name.
func (s *Summary) Value(name string) estimate.Value[float64] { return valueOf(s.Values, name) }

// Summary returns what is kept of a review when its samples are let go.
func (r *Review) Summary() *Summary {
	s := &Summary{
		Source: r.Source, Setup: r.Setup.SetupName, View: r.Frame.View, Unit: r.lengthUnit(),
		Strokes: len(r.Motion.Strokes), Values: r.Values, Flags: r.flags(), Version: Version(), Digest: r.given.Digest(),
	}
	if n := s.Strokes; n > 0 {
		s.Seconds = r.Motion.Strokes[n-1].End - r.Motion.Strokes[0].Start
	}
	if ref, err := r.KeepReference("", cycle.Margins{}); err == nil {
		s.Motion = &ref
	}
	return s
}

// flags returns those of Summary.
func (r *Review) flags() []string {
	flags := []string{}
	for _, f := range []struct {
		key string
		on  bool
	}{
		{"hidden", 10*r.Loss.Hidden > len(r.Motion.Strokes)},
		{"lost", r.Loss.Share() > 0.1},
		{"pace", len(r.Jumps) > 0},
		{"px", r.Unit != "mm"},
		{"question", len(r.Questions) > 0},
		{"relative", r.Motion.Options.Relative},
	} {
		if f.on {
			flags = append(flags, f.key)
		}
	}
	return flags
}

// Digest returns a short digest of options as they are given to Run, for telling
// whether two takes were reviewed alike: the first twelve hexadecimal digits of
// the SHA-256 of their JSON form. A reference motion is part of it; onsets are
// data, and are not. Review.Options has defaults and what follows from the data
// filled in, and another digest.
func (o Options) Digest() string {
	j := struct {
		jsonOptions
		Reference *cycle.Reference `json:"reference,omitempty"`
	}{o.forJSON(), o.Reference}
	b, err := json.Marshal(j)
	if err != nil {
		return "" // no field of it can fail
	}
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:6])
}

// modulePath is this module's, as a program's build information names it.
const modulePath = "github.com/plectrace/plectrace"

// Version returns the version of this module that the running program was built
// with: a release, or "(devel)" with the first twelve digits of the commit
// where the build knows it.
func Version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "(devel)"
	}
	if info.Main.Path != modulePath {
		for _, d := range info.Deps {
			if d.Path == modulePath {
				return d.Version
			}
		}
		return "(devel)"
	}
	version := info.Main.Version
	if version == "" {
		version = "(devel)"
	}
	for _, s := range info.Settings {
		if s.Key == "vcs.revision" && version == "(devel)" {
			version += " " + s.Value[:min(12, len(s.Value))]
		}
	}
	return version
}
