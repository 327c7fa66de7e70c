package simulate

import (
	"math"

	"github.com/plectrace/plectrace/variability/circular"
	"gonum.org/v1/gonum/spatial/r3"
)

// Truth is what the strokes of a take really are: those that were made, not
// those that were asked for. Places are in mm in the instrument frame, with
// across zero midway between the outer strings, times in seconds of real time.
type Truth struct {
	// Turns and Strokes are those that lie wholly within the recording.
	Turns   []Turn
	Strokes []Stroke
	// Spans are the settled and searching spans, split at pauses; Pauses the
	// rests of the hand.
	Spans  []Span
	Pauses []Span
	// Rate is the number of strokes over their time, and SettledRate that of
	// the settled ones; NaN without any.
	Rate, SettledRate float64
	// SettledShare is the share of the strokes' time that is settled.
	SettledShare float64
	// PathAngle is that of the settled strokes, or of all strokes where none
	// is settled.
	PathAngle circular.Angle
	// Clearing says which turns lie above the string plane more often than
	// not: "after downstrokes", "after upstrokes", "both" or "neither".
	Clearing string
	// Faults are those of the tracked tip.
	Faults []Fault
	// MarkDistance is the distance of the marks on the outer strings, in mm.
	// Bass, Treble and Nut are their places in the recording's frame with the
	// camera at rest; Nut, in the middle of the nut, in a 3-d view only.
	MarkDistance      float64
	Bass, Treble, Nut [3]float64
	// Strings are the strings by the trade's number: Strings[0] is the first,
	// the highest-pitched.
	Strings []String
	// Focal is the pinhole camera's focal length in px; 0 without perspective.
	Focal float64
	// Card holds the corners of the card as clicked, with CardNoise, in the
	// recording's frame with the camera at rest: foot at the bass and at the
	// treble side, top at the treble and at the bass side. CardFoot is how far
	// its foot stands out from the string plane in mm: a crown's highest strings
	// bear it. Zero without a card.
	Card     [4][3]float64
	CardFoot float64
	// TouchAt is the middle of the time for which the tip rests on the string
	// TouchString before it plays; NaN and 0 without a touch.
	TouchAt     float64
	TouchString int
	// Shares are those of the settled strokes' travel, or of all strokes' where
	// none is settled; zero without an arm. Carry is the wrist's travel in phase
	// with the tip's, along the strokes' axis and over it; zero without a wrist.
	Shares Shares
	Carry  float64
	// Onsets are what a list of onsets would hold, in order of time. A stroke
	// that the recording begins or ends amid has one if it reaches its string
	// within.
	Onsets []Onset
}

// Turn is a reversal of the tip, or the end or start of a rest.
type Turn struct {
	T                  float64
	AfterDown          bool // a downstroke ends here
	Across, Along, Out float64
	Hidden             bool // no good sample of the tip about it
}

// Stroke is the tip's travel from a turn to the next.
type Stroke struct {
	Down       bool
	Start, End float64
	Length     float64 // distance of the turns in space
	PathAngle  circular.Angle
	Skew       circular.Angle
	Curvature  float64
	// HeightStart and HeightEnd are the turns' distances from the string
	// plane.
	HeightStart, HeightEnd float64
	// PeakSpeed is the greatest speed along the chord in mm/s.
	PeakSpeed float64
	// Reached says that the tip crossed the line of a string below the string's
	// top, first at the time Struck (else NaN).
	Reached bool
	Struck  float64
	// Strings are the numbers of the strings reached, in order; 1 is the
	// highest-pitched. The first of them was crossed StruckDepth mm below its
	// top, at StruckSpeed mm/s along the chord, where the tip would run at
	// FreeSpeed if the string did not slow it. FollowThrough is the travel
	// across from the last of them to the turn in mm. NaN where none is reached.
	Strings                []int
	StruckDepth            float64
	StruckSpeed, FreeSpeed float64
	FollowThrough          float64
	// EdgeAngle is the pick's at Struck, or in the middle of the stroke.
	EdgeAngle circular.Angle
	// Shares are those of the stroke's travel; zero without an arm.
	Shares  Shares
	Settled bool
	Tiny    bool // a short way back within a stroke
	Changed bool // on the way to another string
	Hidden  bool // one of its turns is
}

// Span is a settled or a searching span, or a pause.
type Span struct {
	Settled    bool
	Start, End float64
	Strokes    int
	// Rate is the number of strokes over their time; PathAngle that of their
	// mean axis. They are NaN without strokes.
	Rate      float64
	PathAngle circular.Angle
}

// truth returns what is known before the camera looks.
func (b *builder) truth(knots []knot, legs []leg) Truth {
	o := b.o
	tr := Truth{MarkDistance: float64(o.Strings-1) * o.Spacing, Focal: o.Scale * o.Distance}
	for i := range o.Strings {
		x := o.stringAt(o.Strings - 1 - i)
		tr.Strings = append(tr.Strings, String{x, o.crown(x)})
	}
	o.noteTouch(&tr)
	inside := func(t float64) bool { return t >= 0 && t <= o.Duration }
	for _, k := range knots {
		if inside(k.t) && !k.waits && !k.approaches {
			tr.Turns = append(tr.Turns, Turn{T: k.t, AfterDown: k.afterDown, Across: k.place.X, Along: k.place.Y, Out: k.place.Z})
		}
	}
	drifts := o.RateDrift != 0 || o.LengthDrift != 0 || o.AngleDrift != 0
	g := timing{o.Profile, o.Lead}
	peak := g.peak()
	var cut []Stroke // that the recording begins or ends amid
	for i := range legs {
		l, to := &legs[i], knots[i+1]
		switch {
		case l.rest:
			if l.t1 > 0 && l.t0 < o.Duration {
				tr.Pauses = append(tr.Pauses, Span{Start: math.Max(l.t0, 0), End: math.Min(l.t1, o.Duration), Rate: math.NaN(), PathAngle: circular.Angle(math.NaN())})
			}
			continue
		case l.approach:
			tr.Pauses[0].End = math.Min(l.t1, o.Duration)
			continue
		case !inside(l.t0) || !inside(l.t1):
			if l.t1 > 0 && l.t0 < o.Duration {
				s := Stroke{Down: to.afterDown, Start: l.t0, End: l.t1}
				if o.strike(&s, l, g); s.Reached && inside(s.Struck) {
					cut = append(cut, s)
				}
			}
			continue
		}
		length := r3.Norm(l.chord)
		s := Stroke{
			Down: to.afterDown, Start: l.t0, End: l.t1,
			Length:      length,
			PathAngle:   circular.Angle(math.Atan2(l.chord.Z, l.chord.X)).Axial(),
			Skew:        circular.Angle(math.Atan2(l.chord.Y, l.chord.X)).Axial(),
			Curvature:   to.curvature,
			HeightStart: l.from.Z, HeightEnd: l.from.Z + l.chord.Z,
			PeakSpeed: peak * length / (l.t1 - l.t0),
			Tiny:      to.tiny, Changed: to.changed,
			Settled: !drifts && b.centreAt((l.t0+l.t1)/2).search == Settled,
		}
		s.Shares = b.arm.shares(l)
		o.strike(&s, l, g)
		tr.Strokes = append(tr.Strokes, s)
	}
	tr.Clearing = o.clearing(tr.Turns)
	b.spans(&tr)
	b.noteShares(&tr)
	o.sound(&tr, cut)
	return tr
}

// strike fills in what the stroke does to strings.
func (o Options) strike(s *Stroke, l *leg, g timing) {
	nan := math.NaN()
	s.Struck, s.StruckDepth, s.StruckSpeed, s.FreeSpeed, s.FollowThrough = nan, nan, nan, nan, nan
	if l.warp != nil {
		s.PeakSpeed = l.peak(g)
	}
	at := (l.t0 + l.t1) / 2
	if all := o.crossings(l, g); len(all) > 0 {
		at = all[0].t
		s.Reached = true
		for _, c := range all {
			s.Strings = append(s.Strings, c.string)
		}
		s.Struck, s.StruckDepth = at, all[0].depth
		s.StruckSpeed = l.speed(at, g)
		s.FreeSpeed = s.StruckSpeed / (1 - o.StringDrag)
		s.FollowThrough = math.Abs(l.from.X + l.chord.X - all[len(all)-1].across)
	}
	s.EdgeAngle = l.edgeAt(at, g)
}

// spans fills in the spans and what is summed over strokes.
func (b *builder) spans(tr *Truth) {
	rest := 0
	var open *Span
	stretch := -1
	var all, settled sum
	for _, s := range tr.Strokes {
		i := 0
		for mid := (s.Start + s.End) / 2; i < len(b.plan)-1 && mid >= b.plan[i].End; {
			i++
		}
		paused := false
		for rest < len(tr.Pauses) && tr.Pauses[rest].Start < s.Start {
			rest++
			paused = true
		}
		same := open != nil && !paused && (i == stretch || !s.Settled && !open.Settled)
		if !same {
			tr.Spans = append(tr.Spans, Span{Settled: s.Settled, Start: s.Start})
			open = &tr.Spans[len(tr.Spans)-1]
		}
		stretch = i
		open.End = s.End
		open.Strokes++
		all.add(s)
		if s.Settled {
			settled.add(s)
		}
	}
	i := 0
	for j := range tr.Spans {
		var one sum
		for range tr.Spans[j].Strokes {
			one.add(tr.Strokes[i])
			i++
		}
		tr.Spans[j].Rate, tr.Spans[j].PathAngle = one.rate(), one.axis()
	}
	tr.Rate, tr.SettledRate = all.rate(), settled.rate()
	tr.SettledShare = settled.time / all.time
	tr.PathAngle = settled.axis()
	if settled.n == 0 {
		tr.PathAngle = all.axis()
	}
}

// sum gathers strokes for their rate and mean axis.
type sum struct {
	n        int
	time     float64
	sin, cos float64 // of the doubled path angles, tiny strokes left out
}

func (s *sum) add(k Stroke) {
	s.n++
	s.time += k.End - k.Start
	if !k.Tiny {
		sin, cos := math.Sincos(2 * float64(k.PathAngle))
		s.sin += sin
		s.cos += cos
	}
}

func (s *sum) rate() float64 {
	if s.n == 0 {
		return math.NaN()
	}
	return float64(s.n) / s.time
}

func (s *sum) axis() circular.Angle {
	if s.n == 0 {
		return circular.Angle(math.NaN())
	}
	return circular.Angle(math.Atan2(s.sin, s.cos) / 2)
}
