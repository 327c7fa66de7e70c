package main

import (
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/plectrace/plectrace/examples/cookbook/internal/recipe"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// found is the axis of a path.
type found struct {
	settings
	file        string
	invented    bool
	across, out []float64
	all, played []piece // nil for points without times
	whole       trajectory.Axis
	angle       estimate.Value[circular.Angle]
}

// answer tells the angle in a sentence.
func (f *found) answer() string {
	v := inDegrees(f.angle)
	text := fmt.Sprintf("The path lies at %s degrees to the strings", measured.Value(v))
	switch {
	case f.all == nil:
		return text + fmt.Sprintf(": one axis through %s, each taken for an observation of its own.", measured.Count(f.whole.N, "point"))
	case !measured.Bounded(v):
		return text + ". It has no interval: that needs a path of two parts or more, see -piece."
	}
	return text + fmt.Sprintf(": the mean of %s of %g s, with its interval at 95 %%.", measured.Count(len(f.played), "part"), f.piece)
}

// notes are what else to know.
func (f *found) notes() []string {
	var list []string
	if f.invented {
		list = append(list, fmt.Sprintf("The path is invented, and was made at %d degrees. No real player was measured.", made))
	}
	short := 0
	for _, p := range f.all {
		if p.short {
			short++
		}
	}
	if short > 0 {
		list = append(list, fmt.Sprintf("Left out: %s shorter than %g s, before a jump in the times or at the end.", measured.Count(short, "part"), f.piece))
	}
	if n := len(f.all) - len(f.played) - short; n > 0 {
		list = append(list, fmt.Sprintf("Left out: %s in which the point hardly moves, is not seen, or has no direction.", measured.Count(n, "part")))
	}
	if f.all != nil && f.whole.Angle.Known() {
		list = append(list, fmt.Sprintf("One axis through all %s lies at %s degrees. Its textbook interval takes every sample for an observation of its own; neighbours in a path are alike, so that it is too narrow.",
			measured.Count(f.whole.N, "sample"), measured.At(inDegrees(f.whole.Angle), measured.Decimals(inDegrees(f.angle)))))
	}
	if r := math.Sqrt(f.whole.Lambda1 / f.whole.Lambda2); !math.IsInf(r, 0) {
		list = append(list, fmt.Sprintf("Along the axis the points spread %s times as far as off it.", measured.Digits(r, 2)))
	}
	return list
}

func (f *found) words() string {
	return f.answer() + "\n" + strings.Join(f.notes(), "\n") + "\n"
}

// page shows the path with its axis.
func (f *found) page() *notebook.Doc {
	d := recipe.NewPage("The angle of a path", fmt.Sprintf("Columns %s and %s of %s", f.x, f.y, f.file))
	s := d.Section("The angle")
	s.Text("The strings lie level in this picture, seen along them.")
	if f.all == nil {
		s.Step(steps.Of(cloud, inDegrees), notebook.Text(f.answer()))
	} else {
		s.Step(steps.Of(pieces, played, meanAngle, inDegrees), notebook.Text(f.answer()))
	}
	s.List(f.notes()...)
	s = d.Section("The path")
	s.Step(steps.Of(ontoPlane, drawn), notebook.Figure{
		Name: "path", Of: drawn(f.across, f.out, f.angle),
		Alt:     "The points of the path, with the axis at its angle and a line along the strings.",
		Caption: "The path as the two columns give it, turned so that the strings lie level. Treble to the right and out of the instrument up, if the columns are so.",
	})
	return recipe.EndPage(d)
}

func (f *found) csv(w io.Writer) error {
	t := measured.NewTable(w, "start_s", "points", "angle_deg", "variance_along", "variance_off", "used")
	k := 0
	for _, p := range f.all {
		used := k < len(f.played) && f.played[k].start == p.start
		if used {
			k++
		}
		angle := math.NaN()
		if p.Angle.Known() {
			angle = p.Angle.Value.Degrees()
		}
		t.Line(p.start, p.N, angle, p.Lambda1, p.Lambda2, used)
	}
	return t.Flush()
}

// json is the layout of -json.
func (f *found) json() any {
	return struct {
		Schema  string            `json:"schema"`
		File    string            `json:"file"`
		X       string            `json:"x"`
		Y       string            `json:"y"`
		Plane   measured.Number   `json:"plane_deg"`
		Angle   measured.Quantity `json:"angle_deg"`
		Parts   int               `json:"parts"`
		LeftOut int               `json:"parts_left_out"`
		Points  int               `json:"points"`
		Cloud   measured.Quantity `json:"axis_of_all_points_deg"`
	}{
		"plectrace/axis/1", f.file, f.x, f.y, measured.Number(f.plane), measured.QuantityOf(inDegrees(f.angle)),
		len(f.played), len(f.all) - len(f.played), f.whole.N, measured.QuantityOf(inDegrees(f.whole.Angle)),
	}
}
