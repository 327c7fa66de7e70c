package cycle

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/internal/strict"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// ReferenceSchema is the schema of a reference's file.
const ReferenceSchema = "plectrace/reference/1"

// maxHarmonics is the number of harmonics that a shape may have.
const maxHarmonics = 64

type jsonReference struct {
	Schema          string          `json:"schema"`
	Note            string          `json:"note,omitempty"`
	View            trajectory.View `json:"view,omitzero"`
	Setup           string          `json:"setup,omitempty"`
	Angle           *number         `json:"angle_deg,omitempty"`
	Skew            *number         `json:"skew_deg,omitempty"`
	Curvature       *number         `json:"curvature_per_mm,omitempty"`
	CurvatureLength *number         `json:"curvature_times_length,omitempty"`
	Clearing        motion.Clearing `json:"clearing,omitzero"`
	Rate            number          `json:"strokes_per_second,omitzero"`
	Cycles          int             `json:"cycles,omitempty"`
	Shape           *jsonShape      `json:"shape,omitempty"`
	Margin          jsonNumbers     `json:"margin,omitzero"`
	Error           jsonNumbers     `json:"error_95,omitzero"`
}

type jsonShape struct {
	DownShare number      `json:"down_share"`
	Across    [][2]number `json:"across"`
	Along     [][2]number `json:"along,omitempty"`
	Out       [][2]number `json:"out,omitempty"`
}

type jsonNumbers struct {
	Angle           number `json:"angle_deg,omitzero"`
	Skew            number `json:"skew_deg,omitzero"`
	Curvature       number `json:"curvature_per_mm,omitzero"`
	CurvatureLength number `json:"curvature_times_length,omitzero"`
	Shape           number `json:"shape,omitzero"`
}

// number is written with at most six significant digits.
type number float64

func (x number) MarshalJSON() ([]byte, error) {
	if math.IsNaN(float64(x)) || math.IsInf(float64(x), 0) {
		return nil, fmt.Errorf("a reference cannot hold %g", float64(x))
	}
	return strconv.AppendFloat(nil, float64(x), 'g', 6, 64), nil
}

// ParseReference reads a reference. An unknown key, a value of the wrong kind
// or out of range, a reference that states nothing, and anything after the
// object are errors that say so; the schema may be left out.
func ParseReference(r io.Reader) (Reference, error) {
	var j jsonReference
	if err := strict.Decode(r, &j); err != nil {
		return Reference{}, err
	}
	if j.Schema != "" && j.Schema != ReferenceSchema {
		return Reference{}, fmt.Errorf("schema is %q: this program reads %q", j.Schema, ReferenceSchema)
	}
	out := j.reference()
	if err := out.validate(); err != nil {
		return out, err
	}
	if out.PathAngle == nil && out.Skew == nil && out.Curvature == nil && out.CurvatureLength == nil && out.Clearing == motion.ClearingUnknown && out.Shape == nil {
		return out, errors.New("the reference states nothing to compare: give angle_deg, curvature_per_mm, clearing or a shape, or keep one from a take")
	}
	return out, nil
}

func (j jsonReference) reference() Reference {
	angle := func(x *number) *circular.Angle {
		if x == nil {
			return nil
		}
		a := circular.Angle(*x) * circular.Degree
		return &a
	}
	deg := func(x number) circular.Angle { return circular.Angle(x) * circular.Degree }
	m, e := j.Margin, j.Error
	r := Reference{
		Note: j.Note, View: j.View, Setup: j.Setup,
		PathAngle: angle(j.Angle), Skew: angle(j.Skew), Curvature: (*float64)(j.Curvature), CurvatureLength: (*float64)(j.CurvatureLength),
		Clearing: j.Clearing, Rate: float64(j.Rate), Cycles: j.Cycles,
		Margins: Margins{deg(m.Angle), deg(m.Skew), float64(m.Curvature), float64(m.CurvatureLength), float64(m.Shape)},
		Errors:  Errors{deg(e.Angle), deg(e.Skew), float64(e.Curvature), float64(e.CurvatureLength), float64(e.Shape)},
	}
	if s := j.Shape; s != nil {
		r.Shape = &Shape{DownShare: float64(s.DownShare), Across: pairs[float64](s.Across), Along: pairs[float64](s.Along), Out: pairs[float64](s.Out)}
	}
	return r
}

func pairs[To, From ~float64](x [][2]From) [][2]To {
	if len(x) == 0 {
		return nil
	}
	y := make([][2]To, len(x))
	for i, p := range x {
		y[i] = [2]To{To(p[0]), To(p[1])}
	}
	return y
}

// JSON returns the file of the reference, with numbers of at most six
// significant digits. The error names the first number that cannot be: one that
// is not finite, an angle outside (-90, 90] degrees, an error below zero, a share
// of the downstroke outside (0, 1), a shape of fewer than two axes, of more than
// 64 harmonics, or without length.
func (r Reference) JSON() ([]byte, error) {
	if err := r.validate(); err != nil {
		return nil, err
	}
	angle := func(a *circular.Angle) *number {
		if a == nil {
			return nil
		}
		x := number(a.Degrees())
		return &x
	}
	m, e := r.Margins, r.Errors
	j := jsonReference{
		Schema: ReferenceSchema, Note: r.Note, View: r.View, Setup: r.Setup,
		Angle: angle(r.PathAngle), Skew: angle(r.Skew), Curvature: (*number)(r.Curvature), CurvatureLength: (*number)(r.CurvatureLength),
		Clearing: r.Clearing, Rate: number(r.Rate), Cycles: r.Cycles,
		Margin: jsonNumbers{number(m.PathAngle.Degrees()), number(m.Skew.Degrees()), number(m.Curvature), number(m.CurvatureLength), number(m.Shape)},
		Error:  jsonNumbers{number(e.PathAngle.Degrees()), number(e.Skew.Degrees()), number(e.Curvature), number(e.CurvatureLength), number(e.Shape)},
	}
	if s := r.Shape; s != nil {
		j.Shape = &jsonShape{number(s.DownShare), pairs[number](s.Across), pairs[number](s.Along), pairs[number](s.Out)}
	}
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(j); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// validate reports the first number of the reference that cannot be; JSON says what
// these are.
func (r Reference) validate() error {
	bad := func(format string, a ...any) error { return fmt.Errorf(format, a...) }
	for _, a := range []struct {
		name string
		v    *circular.Angle
	}{{"angle_deg", r.PathAngle}, {"skew_deg", r.Skew}} {
		if a.v != nil && !(a.v.Degrees() > -90 && a.v.Degrees() <= 90+1e-9) {
			return bad("%s is %g: an axis lies in (-90, 90] degrees", a.name, a.v.Degrees())
		}
	}
	for _, x := range []struct {
		name  string
		v     float64
		least float64
	}{
		{"curvature_per_mm", known(r.Curvature), math.Inf(-1)},
		{"curvature_times_length", known(r.CurvatureLength), math.Inf(-1)},
		{"strokes_per_second", r.Rate, 0},
		{"cycles", float64(r.Cycles), 0},
		{"angle_deg of margin", r.Margins.PathAngle.Degrees(), math.Inf(-1)},
		{"skew_deg of margin", r.Margins.Skew.Degrees(), math.Inf(-1)},
		{"curvature_per_mm of margin", r.Margins.Curvature, math.Inf(-1)},
		{"curvature_times_length of margin", r.Margins.CurvatureLength, math.Inf(-1)},
		{"shape of margin", r.Margins.Shape, math.Inf(-1)},
		{"angle_deg of error_95", r.Errors.PathAngle.Degrees(), 0},
		{"skew_deg of error_95", r.Errors.Skew.Degrees(), 0},
		{"curvature_per_mm of error_95", r.Errors.Curvature, 0},
		{"curvature_times_length of error_95", r.Errors.CurvatureLength, 0},
		{"shape of error_95", r.Errors.Shape, 0},
	} {
		switch {
		case math.IsNaN(x.v) || math.IsInf(x.v, 0):
			return bad("%s is %g", x.name, x.v)
		case x.v < x.least:
			return bad("%s is %g: it cannot be below 0", x.name, x.v)
		}
	}
	if r.Shape == nil {
		return nil
	}
	s := r.Shape
	if !(s.DownShare > 0.05 && s.DownShare < 0.95) {
		return bad("down_share is %g: it lies between 0.05 and 0.95", s.DownShare)
	}
	var axes []int
	for a, name := range []string{"across", "along", "out"} {
		c := *s.axis(a)
		if len(c) > maxHarmonics {
			return bad("shape has %d harmonics %s: at most %d", len(c), name, maxHarmonics)
		}
		for _, p := range c {
			for _, x := range p {
				if !(math.Abs(x) <= 1e3) {
					return bad("shape holds %g %s: its unit is the length", x, name)
				}
			}
		}
		if len(c) > 0 {
			axes = append(axes, a)
		}
	}
	if len(s.Across) == 0 || len(axes) < 2 {
		return bad("shape needs across and one of along and out")
	}
	if c, ok := s.curve(axes); !ok || !finite(c) {
		return bad("shape has no length between its turns")
	}
	return nil
}

// known is the number, or 0 where none is given.
func known(x *float64) float64 {
	if x == nil {
		return 0
	}
	return *x
}

func finite(c *curve) bool {
	for _, a := range c.axes {
		for _, x := range c.coef[a] {
			if !(math.Abs(x) < 1e6) {
				return false
			}
		}
	}
	return true
}
