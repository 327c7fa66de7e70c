package main

import (
	"io"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"

	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/motion/figure/take"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
)

// measure reads the export of a take with the settings beside it, reviews it, and
// gives the take the summary that comparisons need. open opens a file by its name;
// o.Setup serves an export that has no settings.
func measure(t progress.Take, open func(name string) (io.ReadCloser, error),
	o cohort.Options) (progress.Take, cohort.Reviewed) {
	r := cohort.Review(t, open, o)
	if r.Failure == nil {
		t.Summary = r.Review.Summary()
	}
	return t, r
}

// repeatability says by how much the takes of a player differ when nothing is
// changed between them.
func repeatability(takes []progress.Take) (progress.Repeats, error) {
	return progress.Repeatability(takes, progress.RepeatOptions{})
}

// compare holds the second take against the first, measure by measure. With
// o.Repeats it tells what of that is more than takes of the player differ anyhow.
func compare(first, second progress.Take,
	o progress.CompareOptions) (progress.Comparison, error) {
	return progress.Compare(first, second, o)
}

// apart reports whether a change is more than the strokes of the two takes scatter:
// its interval lies on one side of zero.
func apart(change estimate.Value[float64]) bool {
	return change.Level > 0 && (change.Low > 0 || change.High < 0)
}

// paths draws the path of each take as seen along the strings, both at one scale.
func paths(first, second *review.Review) (a, b figure.Paths) {
	a, b = take.Path(first), take.Path(second)
	if a.Unit == b.Unit {
		a.Beside, b.Beside = []figure.Paths{b}, []figure.Paths{a}
	}
	return a, b
}

// cycles lays the mean cycle of the second take over that of the first, which stands
// as the reference, at one scale. Each is that of the longest settled span; they may
// be of two strings, and the first is moved across to where the second is.
func cycles(first, second *review.Review) figure.MeanCycle {
	f, before := take.Cycle(second), take.Cycle(first)
	f.HeightsKnown = f.HeightsKnown && before.HeightsKnown
	across := slices.Clone(before.Mean.Across)
	floats.AddConst(stat.Mean(f.Mean.Across, nil)-stat.Mean(across, nil), across)
	f.Reference = figure.Loop{Across: across, Second: before.Mean.Second}
	return f
}

// distributions lays the strokes of the second take below those of the first. Angles
// are shown if alike says that both takes are of one set-up.
func distributions(first, second *review.Review, alike bool) figure.EarlyLate {
	f := figure.EarlyLate{Names: [2]string{"first", "second"}}
	for _, a := range first.EarlyLate {
		for _, b := range second.EarlyLate {
			if a.Name != b.Name || a.Unit != b.Unit || a.Unit == "degrees" && !alike {
				continue
			}
			p := figure.Pair{Name: a.Title, Unit: a.Unit, Early: a.Values, Late: b.Values}
			if a.Unit == "s" { // strokes last milliseconds
				p.Unit = "ms"
				p.Early, p.Late = slices.Clone(a.Values), slices.Clone(b.Values)
				floats.Scale(1000, p.Early)
				floats.Scale(1000, p.Late)
			}
			f.Pairs = append(f.Pairs, p)
		}
	}
	return f
}

// strips lays the settled and searching spans of both takes one below the other,
// each from its first sample.
func strips(first, second *review.Review) figure.SpansOverTake {
	var f figure.SpansOverTake
	f.Strips = []figure.Strip{{Name: "first take"}, {Name: "second take"}}
	for i, r := range []*review.Review{first, second} {
		of := take.Spans(r)
		for _, strip := range of.Strips {
			for _, p := range strip.Parts {
				p.Start, p.End = p.Start-of.Take.Start, p.End-of.Take.Start
				f.Strips[i].Parts = append(f.Strips[i].Parts, p)
			}
		}
		f.Take.End = max(f.Take.End, of.Take.End-of.Take.Start)
	}
	return f
}

// rates draws the rate over each take, both at one scale.
func rates(first, second *review.Review) (a, b figure.RateOverTime) {
	a, b = take.Rate(first), take.Rate(second)
	a.Beside, b.Beside = []figure.RateOverTime{b}, []figure.RateOverTime{a}
	return a, b
}
