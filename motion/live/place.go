package live

import (
	"math"

	"github.com/plectrace/plectrace/trajectory"
)

// pose is where the instrument frame lies in the source at one moment.
type pose struct {
	Origin [3]float64 `json:"origin"`
	Across [3]float64 `json:"across"`
	Along  [3]float64 `json:"along"` // in a source with three axes
}

// frame returns the frame of marks at places, or of the fixed ones where at is
// nil.
func (o Options) frame(at [][3]float64) (*trajectory.Frame, error) {
	fo := o.Frame
	if at != nil {
		place := func(k int) trajectory.Mark {
			return trajectory.Mark{At: append([]float64(nil), at[k][:len(o.axes())]...)}
		}
		fo.Marks = trajectory.Marks{Bass: place(0), Treble: place(1)}
		for k := 2; k < len(at); k++ {
			fo.Marks.Nut = append(fo.Marks.Nut, place(k))
		}
	}
	p := trajectory.Path{Name: "tip", T: []float64{0}, X: []float64{0}, Y: []float64{0}}
	if o.Frame.View == trajectory.Spatial {
		p.Z = []float64{0}
	}
	return trajectory.NewFrame(&trajectory.Recording{Unit: o.Unit, T: p.T, Points: []trajectory.Path{p}}, fo)
}

// sight is what stays of a frame while its marks move.
type sight struct {
	Known bool    `json:"known"`
	Turn  float64 `json:"turn"`  // sense of the second axis, or of out in a 3-d view
	Scale float64 `json:"scale"` // units of Unit in one of the source
	Unit  string  `json:"unit"`
	Error float64 `json:"error_rad"` // of the direction of across
	Pose  pose    `json:"pose"`
	// Distance of the bass and the treble mark: sum over samples, and number.
	Sum float64 `json:"sum"`
	N   float64 `json:"n"`
	// Apart is their distance across the strings, in the source's unit,
	// MarkNoise the noise of a mark on one axis.
	Apart     float64 `json:"apart"`
	MarkNoise float64 `json:"mark_noise"`
}

// sightOf takes from f what stays.
func sightOf(f *trajectory.Frame, o Options) sight {
	s := sight{Known: true, Turn: 1, Scale: 1, Unit: f.Unit, Error: f.AxisError.Radians()}
	s.Pose = pose{f.Origin(0), f.Across(0), [3]float64{}}
	second := f.Out(0)
	if f.View == trajectory.Front {
		second = f.Along(0)
	}
	c := s.Pose.Across
	square := [3]float64{-c[1], c[0], 0}
	if f.View == trajectory.Spatial {
		s.Pose.Along = f.Along(0)
		square = cross(c, s.Pose.Along)
	}
	if dot(second, square) < 0 {
		s.Turn = -1
	}
	if f.UnitsPerMM > 0 {
		s.Scale = 1 / f.UnitsPerMM
	}
	return s
}

// place returns p of the source in the instrument frame: across, along, out, zero
// on the axis that the view does not have. NaN where p is.
func (s *sight) place(v trajectory.View, at *pose, p *[3]float64) (q [3]float64) {
	d := [3]float64{p[0] - at.Origin[0], p[1] - at.Origin[1], p[2] - at.Origin[2]}
	if v == trajectory.Spatial {
		return [3]float64{s.Scale * dot(d, at.Across), s.Scale * dot(d, at.Along), s.Scale * s.Turn * dot(d, cross(at.Across, at.Along))}
	}
	c := &at.Across
	across, second := s.Scale*(d[0]*c[0]+d[1]*c[1]), s.Scale*s.Turn*(d[1]*c[0]-d[0]*c[1])
	if v == trajectory.Front {
		return [3]float64{across, second, 0}
	}
	return [3]float64{across, 0, second}
}

// poseOf returns the pose that marks make. ok is false where one is missing, or they
// coincide or lie on one line.
func poseOf(v trajectory.View, bass, treble, nut *[3]float64) (p pose, ok bool) {
	var d [3]float64
	for k := range d {
		p.Origin[k] = (bass[k] + treble[k]) / 2
		d[k] = treble[k] - bass[k]
	}
	if v != trajectory.Spatial {
		p.Origin[2], d[2] = 0, 0
	}
	distance := math.Sqrt(dot(d, d))
	base, size := distance, 1.0
	if v == trajectory.Spatial {
		a := [3]float64{nut[0] - p.Origin[0], nut[1] - p.Origin[1], nut[2] - p.Origin[2]}
		size = math.Sqrt(dot(a, a))
		along := 0.0
		for k := range a {
			p.Along[k] = a[k] / size
			along += d[k] * p.Along[k]
		}
		for k := range d {
			d[k] -= along * p.Along[k]
		}
		base = math.Sqrt(dot(d, d))
	}
	if !(min(base, size) > 1e-9*(math.Sqrt(dot(p.Origin, p.Origin))+distance)) {
		return pose{}, false
	}
	for k := range d {
		p.Across[k] = d[k] / base
	}
	return p, true
}

// nutOf is the mean of the nut marks, NaN where one is missing.
func nutOf(marks [][3]float64) (m [3]float64) {
	if len(marks) < 3 {
		return m
	}
	for _, p := range marks[2:] {
		for k := range m {
			m[k] += p[k] / float64(len(marks)-2)
		}
	}
	return m
}

// spread takes the distance of the marks into the scale.
func (s *sight) spread(mm, distance float64) {
	if !(distance > 0) {
		return
	}
	s.Apart = distance
	if mm <= 0 {
		return
	}
	s.Sum += distance
	if s.N++; s.N > 1<<16 {
		s.Sum, s.N = s.Sum/2, s.N/2
	}
	s.Scale = mm * s.N / s.Sum
}

func dot(a, b [3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

func cross(a, b [3]float64) [3]float64 {
	return [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}
