package simulate

import (
	"math"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/estimate"
	"gonum.org/v1/gonum/floats/scalar"
	"gonum.org/v1/gonum/spatial/r3"
)

// film is the time base of a recording.
type film struct {
	o        Options
	instants []float64 // of the middles of exposure, real seconds
	stamps   []float64 // as the export gives them
	seen     float64   // real time from which the hand is in sight
}

// filmed returns the time that the film shows at the real time t, before
// SlowedBy.
func (o Options) filmed(t float64) float64 {
	if o.SlowBy <= 1 || t <= o.SlowAt {
		return t
	}
	return t + (o.SlowBy-1)*(math.Min(t, o.slowEnd())-o.SlowAt)
}

// unfilmed is the inverse of filmed.
func (o Options) unfilmed(t float64) float64 {
	if o.SlowBy <= 1 || t <= o.SlowAt {
		return t
	}
	if end := o.slowEnd(); t > o.filmed(end) {
		return end + t - o.filmed(end)
	}
	return o.SlowAt + (t-o.SlowAt)/o.SlowBy
}

func (o Options) slowEnd() float64 {
	if o.SlowUntil == 0 {
		return o.Duration
	}
	return o.SlowUntil
}

// FilmTime returns the time on the film, as the recording's stamps give it, of
// the moment at of [Truth], both in seconds. They differ in slowed film.
func (t *Take) FilmTime(at float64) float64 {
	return t.Options.filmed(at) * t.Options.SlowedBy
}

// RealTime is the inverse of FilmTime: the moment that a stamp shows.
func (t *Take) RealTime(stamp float64) float64 {
	return t.Options.unfilmed(stamp / t.Options.SlowedBy)
}

func newFilm(o Options) *film {
	frame := 1 / o.FrameRate
	step := frame // of the film
	last := o.Duration * o.FrameRate
	if o.SlowBy > 1 {
		step *= o.SlowBy
		last = o.filmed(o.Duration) / step
	}
	n := int(math.Floor(last+1e-9)) + 1
	f := &film{o: o, instants: make([]float64, n), stamps: make([]float64, n), seen: o.inSight()}
	jitter := estimate.Stream(o.Seed, "simulate/time")
	stamp := estimate.Stream(o.Seed, "simulate/stamp")
	for i := range n {
		// Neither may turn the order about.
		most := 0.2 * frame
		j := math.Min(math.Max(o.TimeJitter*jitter.NormFloat64(), -most), most)
		s := math.Min(math.Max(o.StampError*stamp.NormFloat64(), -most), most)
		f.instants[i] = o.unfilmed(float64(i)*step) + j
		f.stamps[i] = o.filmed(f.instants[i]+s) * o.SlowedBy
		if o.TimeDecimals > 0 {
			f.stamps[i] = scalar.Round(f.stamps[i], o.TimeDecimals)
		}
	}
	return f
}

// shoot films one place and returns it with noise. What belongs to the hand is
// out of sight before the hand comes.
func (f *film) shoot(name string, cam *camera, noise float64, hand bool, place func(t float64) r3.Vec) *column {
	n := len(f.instants)
	c := &column{o: f.o, film: f, state: make([]fault, n)}
	c.path = trajectory.Path{Name: name, T: f.stamps, X: make([]float64, n), Y: make([]float64, n)}
	if f.o.View == trajectory.Spatial {
		c.path.Z = make([]float64, n)
	}
	rng := estimate.Stream(f.o.Seed, "simulate/noise/"+name)
	var e r3.Vec // of the frame before, with the noise's colour
	keep := f.o.NoiseColour
	fresh := math.Sqrt(1 - keep*keep)
	for i, t := range f.instants {
		p := f.expose(cam, t, place)
		z := r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}
		if keep > 0 && i > 0 {
			z = r3.Add(r3.Scale(keep, e), r3.Scale(fresh, z))
		}
		e = z
		c.path.X[i] = p.X + noise*z.X
		c.path.Y[i] = p.Y + noise*z.Y
		if c.path.Z != nil {
			c.path.Z[i] = p.Z + noise*z.Z
		}
		if hand && f.seen > 0 && t < f.seen || math.IsNaN(p.X) {
			c.state[i] = unseen
		}
	}
	return c
}

// expose averages over the exposure about t, by the midpoint rule.
func (f *film) expose(cam *camera, t float64, place func(t float64) r3.Vec) r3.Vec {
	if f.o.Readout > 0 {
		// The row is where the point is when it is read.
		read := t
		for range 3 {
			if d := cam.readAt(cam.see(place(read), read)); !math.IsNaN(d) {
				read = t + math.Min(math.Max(d, -f.o.Readout/2), f.o.Readout/2)
			}
		}
		t = read
	}
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
