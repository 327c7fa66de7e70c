package live

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/settling"
)

// Options say what is pushed and how it is looked at. They are fixed for the life
// of a tracker. The zero value of every field but Frame.View is its documented
// default; negative numbers switch off what can be.
type Options struct {
	// Placed says that samples are already in the instrument frame: Tip is
	// across, along and out, and there are no marks. Otherwise Tip is x, y and,
	// in a 3-d view, z of the source, and Frame says how that looks at the
	// instrument.
	Placed bool `json:"placed,omitempty"`
	// Frame is as for trajectory.NewFrame. View is always needed: it says which
	// axes there are. Marks that are places (At) are fixed; marks that are
	// tracked points (Point) come with every sample, in the order bass, treble,
	// nut, and are followed.
	Frame trajectory.FrameOptions `json:"frame"`
	// Unit is the length unit of the samples: "px", "mm", "cm", "m" or empty.
	Unit string `json:"unit,omitempty"`

	// MinConfidence is the confidence below which a sample counts as missing.
	// Zero means that samples carry no confidence: Sample.Confidence is not
	// looked at.
	MinConfidence float64 `json:"min_confidence,omitempty"`
	// Clean is as for trajectory.Clean, but for MinConfidence.
	Clean trajectory.CleanOptions `json:"clean"`
	// Motion is as for motion.Analyze. AxisError, FrameNoise and AxisNoise are
	// set by the marks where they are zero.
	Motion motion.Options `json:"motion"`
	// Settling is as for settling.Find. A front view is judged by the skew.
	Settling settling.Options `json:"settling"`

	// Window is how many seconds of samples are kept and, at most, looked at for
	// final strokes, from 3 to 30. Zero means 6.
	Window float64 `json:"window_s,omitempty"`
	// Every is how often final strokes are looked for, in seconds of the
	// samples' time, from 0.05 to a quarter of Window. Zero means 0.3.
	Every float64 `json:"every_s,omitempty"`
	// MaxSamples bounds the samples that are kept, whatever their rate, from 256
	// on. Zero means 8192. A window that does not fit in half of it is shorter.
	MaxSamples int `json:"max_samples,omitempty"`

	// RestAfter is the playing time in seconds after which a rest is suggested,
	// and again after each further fifth of it. Zero means 1500 (25 minutes);
	// negative means never. RestFor is the rest that starts the count anew. Zero
	// means 300 (5 minutes). Both are common practice among teachers (about
	// five minutes in half an hour), from memory, and no medical rule.
	RestAfter float64 `json:"rest_after_s,omitempty"`
	RestFor   float64 `json:"rest_for_s,omitempty"`
}

func (o Options) withDefaults() Options {
	set := func(v *float64, d float64) {
		if *v == 0 {
			*v = d
		}
	}
	set(&o.Window, 6)
	set(&o.Every, 0.3)
	set(&o.RestAfter, 1500)
	set(&o.RestFor, 300)
	if o.MaxSamples == 0 {
		o.MaxSamples = 8192
	}
	if o.Frame.MarkCutoff == 0 {
		o.Frame.MarkCutoff = 10
	}
	if o.Frame.MaxMarkGap == 0 {
		o.Frame.MaxMarkGap = 0.5
	}
	// Confidence is looked at when a sample comes.
	o.Clean.MinConfidence = -1
	return o
}

// validate reports what o lacks, or what cannot be.
func (o Options) validate() error {
	bad := func(rule, hint string) error {
		return &trajectory.DataError{Sample: -1, Time: math.NaN(), Rule: rule, Hint: hint}
	}
	switch {
	case o.Frame.View < trajectory.EndOn || o.Frame.View > trajectory.Spatial:
		return bad("the view is not given", "say which axes there are (Frame.View): end-on, front, oblique or 3-d")
	case !(o.Window >= 3 && o.Window <= 30):
		return bad(fmt.Sprintf("the window is %g s", o.Window), "give 3 to 30 s, or none for 6")
	case !(o.Every >= 0.05 && o.Every <= o.Window/4):
		return bad(fmt.Sprintf("final strokes are to be looked for every %g s", o.Every), fmt.Sprintf("give 0.05 to %g s, or none for 0.3", o.Window/4))
	case o.MaxSamples < 256 || o.MaxSamples > 1<<20:
		return bad(fmt.Sprintf("at most %d samples are to be kept", o.MaxSamples), "give 256 to 1048576, or none for 8192")
	case !(o.MinConfidence <= 1):
		return bad(fmt.Sprintf("the least confidence is %g", o.MinConfidence), "confidences lie between 0 and 1; give a share, or none where samples have no confidence")
	case math.IsNaN(o.RestAfter) || !(o.RestFor > 0):
		return bad(fmt.Sprintf("a rest of %g s is to be suggested after %g s", o.RestFor, o.RestAfter), "give seconds, or a negative RestAfter for never")
	}
	tracked, fixed := 0, 0
	for _, m := range o.marks() {
		switch {
		case m.Point != "":
			tracked++
		case m.At != nil:
			fixed++
		}
	}
	switch {
	case o.Placed && tracked+fixed > 0:
		return bad("there are marks, and samples that are placed already", "leave the marks out (Frame.Marks), or do not say Placed")
	case !o.Placed && tracked > 0 && fixed > 0:
		return bad("some marks are tracked points and others are fixed places", "give all marks as tracked points, or all as places (Frame.Marks)")
	}
	if o.Placed || tracked > 0 {
		return nil
	}
	_, err := o.frame(nil) // fixed marks, or none: it says which are missing
	return err
}

// marks are the marks in the order in which samples bring them.
func (o Options) marks() []trajectory.Mark {
	m := []trajectory.Mark{o.Frame.Marks.Bass, o.Frame.Marks.Treble}
	if o.Frame.View == trajectory.Spatial {
		m = append(m, o.Frame.Marks.Nut...)
	}
	return m
}

// follows reports whether samples bring marks.
func (o Options) follows() bool { return !o.Placed && o.Frame.Marks.Bass.Point != "" }

// brought is the number of marks that a sample brings.
func (o Options) brought() int {
	if !o.follows() {
		return 0
	}
	return len(o.marks())
}

// axes are the coordinates of Sample.Tip that count.
func (o Options) axes() []int {
	switch {
	case o.Frame.View == trajectory.Spatial:
		return []int{0, 1, 2}
	case o.Placed && o.Frame.View != trajectory.Front:
		return []int{0, 2} // across and out
	}
	return []int{0, 1}
}
