package simulate

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/estimate"
	"gonum.org/v1/gonum/floats/scalar"
	"gonum.org/v1/gonum/spatial/r3"
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
	cam := newCamera(o)
	outer := tr.MarkDistance / 2
	marks := []struct {
		name  string
		place r3.Vec
		truth *[3]float64
	}{
		{"bass", r3.Vec{X: -outer}, &tr.Bass},
		{"treble", r3.Vec{X: outer}, &tr.Treble},
		{"nut", r3.Vec{Y: nutAlong}, &tr.Nut},
	}
	if o.View != trajectory.Spatial {
		marks = marks[:2]
	}

	t := &Take{Options: echo}
	t.Recording = trajectory.Recording{Source: fmt.Sprintf("simulated take, seed %d", o.Seed), Unit: "px", T: film.stamps}
	if o.View == trajectory.Spatial {
		t.Recording.Unit = "mm"
	}
	add := func(name string, noise float64, place func(t float64) r3.Vec) *column {
		c := film.shoot(name, cam, noise, place)
		t.Recording.Points = append(t.Recording.Points, c.path)
		return c
	}
	c := add("tip", o.Noise, func(at float64) r3.Vec {
		p := path.leg(at).at(at, path.g)
		p.Z += o.MarkerUp
		return p
	})
	t.Recording.Points[0] = c.spoil(&tr)
	if o.Wrist {
		c := add("wrist", o.Noise, func(at float64) r3.Vec {
			l := path.leg(at)
			hand := l.handAt(at)
			return r3.Add(r3.Add(hand, wristPlace), r3.Scale(o.Carry, r3.Sub(l.at(at, path.g), hand)))
		})
		c.lose(o.DropOuts)
		t.Recording.Points[len(t.Recording.Points)-1] = c.finish()
	}
	for _, m := range marks {
		*m.truth = cam.still(m.place)
		if o.TrackMarks {
			c := add(m.name, o.MarkNoise, func(float64) r3.Vec { return m.place })
			c.lose(o.MarkDropOuts)
			t.Recording.Points[len(t.Recording.Points)-1] = c.finish()
		}
	}
	t.Truth = tr
	return t, nil
}

const nutAlong = 300 // mm, of the third mark

// wristPlace is where the wrist is from the hand's centre: behind the bridge
// and off the face.
var wristPlace = r3.Vec{X: -35, Y: -70, Z: 30}

// film is the time base of a recording.
type film struct {
	o        Options
	instants []float64 // of the middles of exposure, real seconds
	stamps   []float64 // as the export gives them
}

func newFilm(o Options) *film {
	n := int(math.Floor(o.Duration*o.FrameRate+1e-9)) + 1
	f := &film{o: o, instants: make([]float64, n), stamps: make([]float64, n)}
	jitter := estimate.Stream(o.Seed, "simulate/time")
	stamp := estimate.Stream(o.Seed, "simulate/stamp")
	step := 1 / o.FrameRate
	for i := range n {
		// Neither may turn the order about.
		j := math.Min(math.Max(o.TimeJitter*jitter.NormFloat64(), -0.2*step), 0.2*step)
		s := math.Min(math.Max(o.StampError*stamp.NormFloat64(), -0.2*step), 0.2*step)
		f.instants[i] = float64(i)*step + j
		f.stamps[i] = (f.instants[i] + s) * o.SlowedBy
		if o.TimeDecimals > 0 {
			f.stamps[i] = scalar.Round(f.stamps[i], o.TimeDecimals)
		}
	}
	return f
}

// shoot films one place and returns it with white noise.
func (f *film) shoot(name string, cam *camera, noise float64, place func(t float64) r3.Vec) *column {
	n := len(f.instants)
	c := &column{o: f.o, film: f, state: make([]fault, n)}
	c.path = trajectory.Path{Name: name, T: f.stamps, X: make([]float64, n), Y: make([]float64, n)}
	if f.o.View == trajectory.Spatial {
		c.path.Z = make([]float64, n)
	}
	rng := estimate.Stream(f.o.Seed, "simulate/noise/"+name)
	for i, t := range f.instants {
		p := f.expose(cam, t, place)
		c.path.X[i] = p.X + noise*rng.NormFloat64()
		c.path.Y[i] = p.Y + noise*rng.NormFloat64()
		if z := noise * rng.NormFloat64(); c.path.Z != nil {
			c.path.Z[i] = p.Z + z
		}
	}
	return c
}

// expose averages over the exposure about t, by the midpoint rule.
func (f *film) expose(cam *camera, t float64, place func(t float64) r3.Vec) r3.Vec {
	if f.o.Exposure == 0 {
		return cam.see(place(t), t)
	}
	const parts = 8
	var p r3.Vec
	for k := range parts {
		at := t + f.o.Exposure*((float64(k)+0.5)/parts-0.5)
		p = r3.Add(p, r3.Scale(1.0/parts, cam.see(place(at), at)))
	}
	return p
}
