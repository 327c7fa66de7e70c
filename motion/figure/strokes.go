package figure

import (
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// StrokesOverTime shows the tip across the strings over a take: settled
// strokes, searching strokes, nothing where the hand rests. A take of many
// strokes is broken into rows, one below the other.
type StrokesOverTime struct {
	// T are times in seconds that do not decrease, Across where the tip is
	// then; samples outside of all strokes are not drawn.
	T, Across []float64
	// Unit is the unit of Across.
	Unit string
	// Strokes are in order of time.
	Strokes []Stroke
	// Unjudged says that nothing is known of settled and searching: all strokes
	// are drawn alike.
	Unjudged bool
}

// Stroke is the part of a take from one turn to the next.
type Stroke struct {
	Start, End float64 // seconds
	// Settled says that the stroke belongs to a settled span.
	Settled bool
	// StartHidden and EndHidden say that the tip was out of sight at that
	// turn.
	StartHidden, EndHidden bool
}

const (
	unitsPerStroke = 7.2
	maxRows        = 4
	pause          = 1e-3 // seconds; less is rounding of the turns
)

func (f StrokesOverTime) draw(p paper) *sheet {
	sameLength(len(f.T), len(f.Across))
	time, across := none, none
	var turns []float64 // hidden ones
	settled, searching := false, false
	for _, st := range f.Strokes {
		from, to := f.samples(st.Start, st.End)
		across = across.with(f.Across[from:to]...)
		time = time.with(st.Start, st.End)
		if st.StartHidden {
			turns = append(turns, st.Start)
		}
		if st.EndHidden {
			turns = append(turns, st.End)
		}
		settled, searching = settled || st.Settled, searching || !st.Settled
	}
	if time.empty() || across.empty() {
		return p.nothing("no stroke was found.")
	}
	time, across = time.padded(0), across.padded(0.12)

	var entries []entry
	if f.Unjudged {
		entries = append(entries, waveEntry("strokes", unjudgedLine, shade{}))
		settled, searching = false, false
	}
	if settled {
		entries = append(entries, waveEntry("settled", settledLine, settledShade))
	}
	if searching {
		entries = append(entries, waveEntry("searching", searchingLine, shade{}))
	}
	if len(turns) > 0 {
		entries = append(entries, hiddenEntry)
	}

	perRow := int(p.width / unitsPerStroke)
	n := (len(f.Strokes) + perRow - 1) / perRow
	n = min(n, maxRows)
	height := vg.Length(190)
	if n > 1 {
		height = 76
	}
	marks := ticks(across, float64(height)/40)
	const between = tickRow + 9
	s, area := p.layout(p.key(entries...), labelRoom(marks), 0, vg.Length(n)*height+vg.Length(n-1)*between)
	s.title(area, inUnit("across the strings (treble side up)", f.Unit))
	step := time.size() / float64(n)
	for row := range n {
		top := area.Max.Y - vg.Length(row)*(height+between)
		a := axes{
			in: rect(area.Min.X, top-height, area.Max.X, top),
			x:  interval{time.lo + float64(row)*step, time.lo + float64(row+1)*step},
			y:  across,
		}
		if n == 1 {
			a.x = a.x.padded(0.01)
		}
		s.spans(a, f.settled(), settledShade)
		s.beside(a, marks)
		f.row(s, a, turns)
		label := ""
		if row == n-1 {
			label = "time, s"
		}
		s.below(a, a.ticksBelow(), label)
	}
	return s
}

var hiddenEntry = entry{"turn out of sight", func(s *sheet, in vg.Rectangle) {
	x, y := (in.Min.X+in.Max.X)/2, in.Min.Y
	s.StrokeLines(hiddenLine, []vg.Point{at(x, y+2), at(x, y+2+hiddenLength)})
}}

const hiddenLength = 8

// row draws the part of the take that a shows.
func (f StrokesOverTime) row(s *sheet, a axes, hidden []float64) {
	var searching, settled struct{ t, across []float64 }
	f.stretches(func(start, end float64, is bool) {
		of := &searching
		if is {
			of = &settled
		}
		from, to := f.samples(max(start, a.x.lo), min(end, a.x.hi))
		of.t = append(append(of.t, f.T[from:to]...), math.NaN()) // stretches do not join
		of.across = append(append(of.across, f.Across[from:to]...), math.NaN())
	})
	styles := [2]draw.LineStyle{searchingLine, settledLine}
	if f.Unjudged {
		styles = [2]draw.LineStyle{unjudgedLine, unjudgedLine}
	}
	s.lines(styles[0], a.line(searching.t, searching.across))
	s.lines(styles[1], a.line(settled.t, settled.across))

	var marks [][]vg.Point
	for _, t := range hidden {
		if !a.x.contains(t) {
			continue
		}
		top := a.at(t, a.y.hi)
		if n := len(marks); n > 0 && top.X-marks[n-1][0].X < 4 {
			continue // on top of the one before
		}
		marks = append(marks, []vg.Point{top, at(top.X, top.Y-hiddenLength)})
	}
	s.lines(hiddenLine, marks)
}

// stretches calls do for each longest run of strokes of one kind that follow
// without a pause.
func (f StrokesOverTime) stretches(do func(start, end float64, settled bool)) {
	for first := 0; first < len(f.Strokes); {
		last, kind := first, f.Strokes[first].Settled
		for last+1 < len(f.Strokes) && f.Strokes[last+1].Settled == kind &&
			f.Strokes[last+1].Start-f.Strokes[last].End < pause {
			last++
		}
		do(f.Strokes[first].Start, f.Strokes[last].End, kind)
		first = last + 1
	}
}

// settled returns the stretches of settled strokes.
func (f StrokesOverTime) settled() []Span {
	if f.Unjudged {
		return nil
	}
	var spans []Span
	f.stretches(func(start, end float64, settled bool) {
		if settled {
			spans = append(spans, Span{start, end})
		}
	})
	return spans
}

// samples returns the bounds of the samples from start to end, with none of
// them if end lies before start.
func (f StrokesOverTime) samples(start, end float64) (from, to int) {
	from, _ = slices.BinarySearch(f.T, start)
	to, found := slices.BinarySearch(f.T, end)
	if found {
		to++
	}
	return from, max(from, to)
}
