package main

import (
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/plectrace/plectrace/examples/cookbook/internal/recipe"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
)

// seconds is how long the sound is.
func (f *heard) seconds() float64 {
	if len(f.power.bands) == 0 {
		return 0
	}
	return float64(len(f.power.bands[0])) * f.power.step
}

// facts tell what was heard.
func (f *heard) facts() []string {
	list := []string{fmt.Sprintf("%s in %.1f s of sound.", measured.Upper(measured.Count(len(f.onsets), "onset")), f.seconds())}
	if f.truth != nil {
		list = append(list, fmt.Sprintf("The sound is invented: strings that the program plucks where an invented beginner (examples/simulate -preset %s) strikes them. No real player was recorded.", demoTake))
		both, f1, off := f.held()
		text := fmt.Sprintf("%d notes were played, %d of the onsets are true: F1 %.3f.", len(f.truth), both, f1)
		if both > 0 {
			text += fmt.Sprintf(" Half of those lie within %.1f ms, 95 %% within %.1f ms.", robust.Quantile(0.5, off), robust.Quantile(0.95, off))
		}
		list = append(list, text)
	}
	if len(f.onsets) == 0 {
		list = append(list, "Nothing in it rises enough to be a note; is it the right file? A lower -rise finds softer ones.")
	}
	if rate, _ := pace(f.onsets); rate.Known() {
		list = append(list, fmt.Sprintf("%s notes a second as a rule.", measured.Value(estimate.As[float64](rate))))
	}
	if share := float64(f.power.clipped) / float64(max(1, f.power.frames)); share > 1e-4 {
		list = append(list, fmt.Sprintf("%.2g %% of the sound is clipped: loud notes have too low a level.", 100*share))
	}
	return list
}

func (f *heard) words() string { return f.name + ":\n" + strings.Join(f.facts(), "\n") + "\n" }

// shown is how many onsets the page lists.
const shown = 8

func (f *heard) page() *notebook.Doc {
	d := recipe.NewPage("When notes begin", f.name)
	s := d.Section("The onsets")
	s.Step(steps.Of(listen, onsetsIn), notebook.List{Items: f.facts()})
	if len(f.onsets) > 0 {
		t := notebook.Table{Head: []string{"Time, s", "Level, dB"}, Numeric: []bool{true, true}}
		for _, o := range f.onsets[:min(shown, len(f.onsets))] {
			t.Rows = append(t.Rows, []string{fmt.Sprintf("%.4f", o.Time), measured.Fixed(o.Level, 1)})
		}
		t.Caption = fmt.Sprintf("The first %d; onsets.csv holds all. Levels are those of the attacks, to full scale.", len(t.Rows))
		s.Table(t)
	}
	s = d.Section("The pace")
	rate, curve := pace(f.onsets)
	s.Step(steps.Of(pace, drawn), notebook.Figure{
		Name: "pace", Of: drawn(rate, curve),
		Alt:     "Notes per second over time, each two notes as a dot, with a curve through them.",
		Caption: "Each dot is the rate of two notes. A dot at half of the others is a note that was missed, or not played.",
	})
	s = d.Section("How onsets are found")
	s.Text("What rings on falls in every octave, or stays; a new note rises in some of them, where its attack is. Peaks of that rise are the onsets.")
	s.Step(method.Of(rises))
	return recipe.EndPage(d)
}

// csv writes the onset list.
func (f *heard) csv(w io.Writer) error {
	t := measured.NewTable(w, "time_s", "level_db")
	for _, o := range f.onsets {
		t.Line(fmt.Sprintf("%.4f", o.Time), measured.Fixed(o.Level, 1))
	}
	return t.Flush()
}

// json is the layout of -json.
func (f *heard) json() any {
	type onset struct {
		Time  float64 `json:"time_s"`
		Level float64 `json:"level_db"`
	}
	all := []onset{}
	for _, o := range f.onsets {
		all = append(all, onset{math.Round(1e4*o.Time) / 1e4, math.Round(10*o.Level) / 10})
	}
	rate, _ := pace(f.onsets)
	return struct {
		Schema  string            `json:"schema"`
		File    string            `json:"file"`
		Seconds measured.Number   `json:"seconds"`
		Rate    measured.Quantity `json:"notes_per_second"`
		Clipped measured.Number   `json:"share_clipped"`
		Onsets  []onset           `json:"onsets"`
	}{
		"plectrace/onsets/1", f.name, measured.Number(f.seconds()), measured.QuantityOf(estimate.As[float64](rate)),
		measured.Number(float64(f.power.clipped) / float64(max(1, f.power.frames))), all,
	}
}
