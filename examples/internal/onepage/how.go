package onepage

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/estimate"
)

// how tells what was assumed.
func how(s *notebook.Section, r *review.Review, notes []string) {
	items := slices.Clone(notes)
	m := r.Motion
	items = append(items, fmt.Sprintf("View: %s. The tip is the point %q.", r.Frame.View, r.Setup.Tip))
	switch r.Frame.View {
	case trajectory.EndOn:
		items = append(items, "Lengths and speeds are those seen in this view: travel along the strings does not show in it.")
	case trajectory.Front:
		items = append(items, "Lengths and speeds are those seen in this view: travel out of the instrument and back does not show in it.")
	case trajectory.Oblique:
		items = append(items, "Lengths and speeds are those seen in this view: it foreshortens travel along the strings and out of the instrument.")
	}
	if v := r.PerMM(); v > 0 {
		by := ""
		if r.Card != nil {
			by = ", by the card"
		}
		items = append(items, fmt.Sprintf("Scale: %.3g %s for a millimetre%s. Lengths are in %s.", v, sourceUnit(r), by, unit(r)))
	}
	items = append(items, cameraWords(r)...)
	items = append(items, marksWords(r))
	items = append(items, touchWords(r)...)
	items = append(items, stringsRead(r)...)
	items = append(items, onsetsRead(r)...)
	samples := fmt.Sprintf("%.4g samples a second", m.SampleHz)
	if m.SamplesPerStroke > 0 {
		samples += fmt.Sprintf(", %.3g for a stroke", m.SamplesPerStroke)
	}
	if m.Noise >= 0 && !math.IsInf(m.Noise, 0) {
		samples += fmt.Sprintf("; noise of one sample %.2g %s", m.Noise, unit(r))
	}
	items = append(items, samples+".")
	tol := r.Settling.Options.Tolerances
	items = append(items, fmt.Sprintf("Settled means: for a second or more, scatter within %.2g degrees of angle, %.0f %% of duration and %.0f %% of length, noise removed, about one centre.",
		tol.Angle.Degrees(), 100*tol.Duration, 100*tol.Length))
	s.List(items...)
}

// cameraWords tells what is known of the camera's raise and of skew.
func cameraWords(r *review.Review) []string {
	if r.Frame.View != trajectory.EndOn {
		return nil
	}
	var out []string
	if c := r.Card; c != nil {
		out = append(out, fmt.Sprintf("By the card the camera looks down on the strings by %.0f degrees (%.0f to %.0f).",
			c.Raise.Value.Degrees(), c.Raise.Low.Degrees(), c.Raise.High.Degrees()))
	} else if r.Setup.RaiseDeg == nil {
		out = append(out, "How far the camera looks down on the strings is not known: 0 to 25 degrees is allowed for in the path angle. A card upright across the strings tells it (card).")
		if !r.Motion.Options.Relative && (r.Touch == nil || r.Touch.Absent != nil) {
			out = append(out, "Heights suppose that it looks level along the strings: raised by 15 degrees, and the tip 5 mm further along the strings than the marks, they come out 1.3 mm too large. A moment at which the tip rests on a string takes that away (touch_s).")
		}
	}
	if r.Setup.SkewDeg == nil {
		out = append(out, "How far the strokes run along the strings does not show in this view: up to 30 degrees either way is allowed for. A front-on take of the same player tells it (skew_deg).")
	}
	return out
}

// marksWords tells what the instrument frame goes by.
func marksWords(r *review.Review) string {
	m := r.Setup.Marks
	named := func(marks ...trajectory.Mark) string { // all tracked, or all fixed
		var names []string
		kind := "the fixed places "
		for _, m := range marks {
			if m.Point != "" {
				names, kind = append(names, strconv.Quote(m.Point)), "the tracked points "
			} else {
				names = append(names, "("+strings.Join(strings.Fields(strings.Trim(fmt.Sprint(m.At), "[]")), ", ")+")")
			}
		}
		return kind + strings.Join(names, ", ")
	}
	switch {
	case r.Card != nil && r.Frame.Follows:
		return "Directions and scale are the card's; the instrument is followed by its marks, " + named(m.Bass, m.Treble) + "."
	case r.Card != nil:
		return "The instrument frame is that of the card, and is taken to stay still for the whole take: neither instrument nor camera may move after the card was taken away."
	case r.Frame.Follows:
		return "The instrument is followed by its marks: " + named(append([]trajectory.Mark{m.Bass, m.Treble}, m.Nut...)...) + "."
	}
	return "The instrument is taken to stay still: its marks are " + named(append([]trajectory.Mark{m.Bass, m.Treble}, m.Nut...)...) + "."
}

// touchWords tells of the rest on a string that gives heights their zero.
func touchWords(r *review.Review) []string {
	t := r.Touch
	if t == nil || t.Absent != nil {
		return nil // a question asks about it
	}
	on := "a string"
	if k := r.Setup.TouchString; k > 0 {
		on = fmt.Sprintf("string %d", k)
	}
	text := fmt.Sprintf("From %.2f to %.2f s the tip rests on %s", t.From, t.To, on)
	if t.Out == t.Out {
		way := "further out"
		if t.Out < 0 {
			way = "nearer to the instrument"
		}
		text += fmt.Sprintf(". The tracked point then sits %s %s %s than the tip", plusMinus(math.Abs(t.Out), t.OutError), unit(r), way)
	}
	if t.AcrossError > 0 {
		way := "beside it"
		switch half := 1.959964 * t.AcrossError; {
		case t.Across > half:
			way = "toward the treble side"
		case t.Across < -half:
			way = "toward the bass side"
		}
		text += fmt.Sprintf(" and %s %s %s", plusMinus(math.Abs(t.Across), t.AcrossError), unit(r), way)
	}
	return []string{text + "; that is taken off its path, and heights count from there."}
}

// plusMinus is a length with the half of its 95 % interval.
func plusMinus(x, standardError float64) string {
	half := 1.959964 * standardError
	d := measured.Decimals(estimate.Value[float64]{Value: x, Low: x - half, High: x + half})
	return measured.Fixed(x, d) + " ± " + measured.Fixed(half, d)
}

// stringsRead tells where the strings are taken to lie.
func stringsRead(r *review.Review) []string {
	s := r.Strings
	if r.Contacts == nil || s.Number == 0 {
		return nil
	}
	what := measured.Count(s.Number, "string")
	if s.PairGapMM > 0 {
		what = fmt.Sprintf("%s of strings, the two of a pair %.3g mm apart", measured.Count(s.Number, "pair"), s.PairGapMM)
	}
	if s.Number > 1 {
		what += fmt.Sprintf(", %.3g mm from one to the next", math.Abs(s.Across(1)-s.Across(s.Number))/float64(s.Number-1))
	}
	crown := "the crown of the fingerboard is not known, which widens the intervals of heights"
	switch {
	case s.CrownRadiusMM > 0:
		crown = fmt.Sprintf("the fingerboard is crowned to a radius of %.4g mm", s.CrownRadiusMM)
	case s.CrownRadiusMM < 0:
		crown = "the fingerboard is flat"
	}
	played := "which one is played is read off the path"
	if k := r.Setup.StringPlayed; k > 0 {
		played = fmt.Sprintf("string %d is played", k)
	}
	return []string{measured.Upper(what) + "; " + crown + "; " + played + "."}
}

// onsetsRead tells how the list of onsets was laid over the film.
func onsetsRead(r *review.Review) []string {
	m := r.Struck
	if m == nil {
		return nil
	}
	if m.Absent != nil {
		return []string{fmt.Sprintf("None of %s in the list could be laid over the strokes: %s.", measured.Count(len(r.Options.Onsets), "onset"), m.Absent.Why)}
	}
	paired := 0
	for _, k := range m.Onset {
		if k >= 0 {
			paired++
		}
	}
	text := fmt.Sprintf("%d of %s in the list belong to a stroke", paired, measured.Count(len(r.Options.Onsets), "onset"))
	if v := m.Offset; v.Known() {
		v.Value, v.Low, v.High = 1000*v.Value, 1000*v.Low, 1000*v.High
		late := "lags behind the film by %s ms"
		if v.Value < 0 {
			v.Value, v.Low, v.High = -v.Value, -v.High, -v.Low
			late = "runs ahead of the film by %s ms"
		}
		text += "; the sound " + fmt.Sprintf(late, measured.Value(v)) + ", which is allowed for"
	}
	return []string{text + "."}
}

// sourceUnit is the unit of the export's coordinates; those of a picture whose unit
// is not said are pixels.
func sourceUnit(r *review.Review) string {
	switch {
	case r.SourceUnit != "":
		return r.SourceUnit
	case r.Tip.Planar():
		return "px"
	}
	return "units of the export"
}

// unit is the unit of lengths.
func unit(r *review.Review) string { return r.UnitOf(review.Measure{Unit: "unit"}) }
