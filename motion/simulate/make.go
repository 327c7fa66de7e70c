package simulate

import (
	"fmt"

	"github.com/plectrace/plectrace/trajectory"
)

// Take is a recording with the truth about it.
type Take struct {
	// Recording is what a tracker would export: the point "tip" and those that
	// Options adds, in the frame of the source.
	Recording trajectory.Recording
	// Options are those in force, defaults filled in: they make this take
	// again.
	Options Options
	Truth   Truth
}

// Make returns the take that o describes. Equal options give equal takes. It
// reports the first option that no take can be made from.
func Make(o Options) (*Take, error) {
	echo := o.withDefaults()
	o = echo.resolved()
	if err := o.check(); err != nil {
		return nil, err
	}
	b, err := newBuilder(o)
	if err != nil {
		return nil, err
	}
	knots := b.build()
	path := tip{legs: b.legs(knots), g: timing{o.Profile, o.Lead}}
	tr := b.truth(knots, path.legs)

	film := newFilm(o)
	t := &Take{Options: echo}
	t.Recording = trajectory.Recording{Source: fmt.Sprintf("simulated take, seed %d", o.Seed), Unit: "px", T: film.stamps}
	if o.View == trajectory.Spatial {
		t.Recording.Unit = "mm"
	}
	s := shooting{o: o, film: film, cam: newCamera(o), path: &path, truth: &tr}
	s.hand()
	s.arm(b.arm)
	s.marks()
	s.card()
	t.Recording.Points = s.points
	t.Truth = tr
	return t, nil
}
