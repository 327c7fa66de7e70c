package variability_test

import (
	"encoding/json"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"github.com/plectrace/plectrace/variability"
)

// jointReference is testdata/reference/joint.json, made by joint.R there with R
// 4.2.2 and MASS 7.3-58.2. Matrices are in rows, data in columns.
type jointReference struct {
	Iris                         [][]float64
	Kinds                        []int
	Within, Vectors              [][]float64
	Values                       []float64
	Total, Generalised           [1]float64
	Participation                [1]float64
	ScaledTotal                  [1]float64 `json:"scaled_total"`
	ScaledGeneralised            [1]float64 `json:"scaled_generalised"`
	Holes                        [][]*float64
	Complete, Clipped, Stackloss [][]float64
	LeftValues                   []float64 `json:"left_values"`
	Far                          []int
	Ellipse                      struct {
		X, Y, Half  []float64
		Area, Angle [1]float64
	}
}

func readJoint(t *testing.T) (r jointReference) {
	t.Helper()
	b, err := os.ReadFile("../testdata/reference/joint.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, &r); err != nil {
		t.Fatal(err)
	}
	return r
}

// columnsOf names columns a, b, c, ...; scales are 1 unless given.
func columnsOf(data [][]float64, scales ...float64) []variability.Column {
	out := make([]variability.Column, len(data))
	for k, x := range data {
		out[k] = variability.Column{Name: string(rune('a' + k)), Values: x, Scale: 1}
		if scales != nil {
			out[k].Scale = scales[k]
		}
	}
	return out
}

func sameMatrix(t *testing.T, what string, got *mat.SymDense, want [][]float64, tol float64) {
	t.Helper()
	if got == nil {
		t.Fatalf("%s: none", what)
	}
	for a, row := range want {
		for b, v := range row {
			if !near(got.At(a, b), v, tol) {
				t.Errorf("%s: %v at %d, %d, want %v", what, got.At(a, b), a, b, v)
			}
		}
	}
}

// Fisher's irises, each species centred for itself, by R.
func TestJointReference(t *testing.T) {
	r := readJoint(t)
	o := variability.JointOptions{Groups: r.Kinds}
	j := joint(t, columnsOf(r.Iris), o)
	sameMatrix(t, "within species", j.Covariance, r.Within, 1e-13)
	for k, d := range j.Directions {
		if !near(d.SD, math.Sqrt(r.Values[k]), 1e-12) || !near(d.Share.Value, r.Values[k]/(4*r.Total[0]*r.Total[0]), 1e-12) {
			t.Errorf("direction %d: %+v, want variance %v", k, d, r.Values[k])
		}
		if got := math.Abs(inner(d.Axis, r.Vectors[k])); !near(got, 1, 1e-9) || slices.Max(d.Axis) < -slices.Min(d.Axis) {
			t.Errorf("direction %d: %v, want ±%v", k, d.Axis, r.Vectors[k])
		}
	}
	scaled := joint(t, columnsOf(r.Iris, 1, 2, 4, 0.5), o)
	sameMatrix(t, "in other scales", scaled.Covariance, r.Within, 1e-13)
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"total", j.Total.Value, r.Total[0]},
		{"generalised", j.Generalised.Value, r.Generalised[0]},
		{"scaled total", scaled.Total.Value, r.ScaledTotal[0]},
		{"scaled generalised", scaled.Generalised.Value, r.ScaledGeneralised[0]},
	} {
		if !near(c.got, c.want, 1e-12) {
			t.Errorf("%s: %v, want %v", c.name, c.got, c.want)
		}
	}
	// Corrected for bias, which is about one part in 150 times its distance from 4.
	if d := j.Dimensions; !(d.Low < r.Participation[0] && r.Participation[0] < d.Value && d.Value < r.Participation[0]*1.02) {
		t.Errorf("dimensions %+v, want somewhat above the plain %v", d, r.Participation[0])
	}
	if j.N != 150 || j.Total.Level != 0.95 || !(j.Total.Low < j.Total.Value && j.Total.Value < j.Total.High) {
		t.Errorf("total %+v of %d", j.Total, j.N)
	}
}

func inner(a, b []float64) (sum float64) {
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// Without kinds it is the covariance of gonum's stat, pairwise too.
func TestJointGonum(t *testing.T) {
	r := readJoint(t)
	rows := mat.NewDense(150, 4, nil)
	for k, x := range r.Iris {
		rows.SetCol(k, x)
	}
	want := mat.NewSymDense(4, nil)
	stat.CovarianceMatrix(want, rows, nil)
	for _, pairwise := range []bool{false, true} {
		j := joint(t, columnsOf(r.Iris), variability.JointOptions{Pairwise: pairwise})
		for a := range 4 {
			for b := range 4 {
				if !near(j.Covariance.At(a, b), want.At(a, b), 1e-13) {
					t.Errorf("pairwise %v: %v at %d, %d, want %v", pairwise, j.Covariance.At(a, b), a, b, want.At(a, b))
				}
			}
		}
	}
}

// Missing values: R's use = "complete.obs", and pair by pair.
func TestJointMissing(t *testing.T) {
	r := readJoint(t)
	data := make([][]float64, 4)
	for k, column := range r.Holes {
		for _, v := range column {
			x := math.NaN()
			if v != nil {
				x = *v
			}
			data[k] = append(data[k], x)
		}
	}
	j := joint(t, columnsOf(data), variability.JointOptions{})
	sameMatrix(t, "complete", j.Covariance, r.Complete, 1e-13)
	if j.N != 46 {
		t.Errorf("%d strokes, want 46", j.N)
	}
	pairs := joint(t, columnsOf(data), variability.JointOptions{Pairwise: true})
	for a := range 4 {
		for b := range 4 {
			var x, y []float64
			for i := range data[a] {
				if !math.IsNaN(data[a][i] + data[b][i]) {
					x, y = append(x, data[a][i]), append(y, data[b][i])
				}
			}
			// With means of each column over all it has, not over the pair: of
			// 49 values, the 48 in common differ a little.
			if got, want := pairs.Covariance.At(a, b), stat.Covariance(x, y, nil); !near(got, want, 2e-3) {
				t.Errorf("pairs %d, %d: %v, want about %v", a, b, got, want)
			}
		}
	}
	if pairs.N != 50 {
		t.Errorf("%d strokes, want 50", pairs.N)
	}
}

// What noise leaves negative is set to zero, as R's eigen does it.
func TestJointNoise(t *testing.T) {
	r := readJoint(t)
	columns := columnsOf(r.Iris)
	for k, v := range []float64{0.1, 0.05, 0.06, 0.04} {
		columns[k].Noise = math.Sqrt(v)
	}
	half := func() [][]float64 {
		m := make([][]float64, 4)
		for a := range m {
			m[a] = []float64{0.5, 0.5, 0.5, 0.5}
			m[a][a] = 1
		}
		return m
	}
	o := variability.JointOptions{Groups: r.Kinds, NoiseCorrelation: half()}
	j := joint(t, columns, o)
	sameMatrix(t, "clipped", j.Covariance, r.Clipped, 1e-12)
	if r.LeftValues[3] >= 0 || j.Negative != 1 || j.Directions[3].SD != 0 {
		t.Errorf("%d negative, directions %+v", j.Negative, j.Directions)
	}
	if a := j.Generalised.Absent; a == nil || a.Code != "noise" || !strings.Contains(a.Why, "1 of 4") {
		t.Errorf("generalised %+v", j.Generalised)
	}
	want := math.Sqrt((inner(r.LeftValues, []float64{1, 1, 1, 1})) / 4)
	if !near(j.Total.Value, want, 1e-12) {
		t.Errorf("total %v, want %v", j.Total.Value, want)
	}
	// The same noise, stroke by stroke, one of them not known.
	for k := range columns {
		columns[k].Noises = make([]float64, 150)
		for i := range columns[k].Noises {
			columns[k].Noises[i] = columns[k].Noise
		}
		columns[k].Noises[7] = math.NaN()
	}
	sameMatrix(t, "stroke by stroke", joint(t, columns, o).Covariance, r.Clipped, 1e-12)
	for k := range columns {
		columns[k].Noise, columns[k].Noises = 2, nil
	}
	j = joint(t, columns, o)
	for name, a := range map[string]bool{"total": j.Total.Known(), "generalised": j.Generalised.Known(), "dimensions": j.Dimensions.Known()} {
		if a {
			t.Errorf("%s is known under more noise than scatter", name)
		}
	}
	if j.Total.Absent.Code != "noise" || j.Covariance != nil || j.Directions != nil {
		t.Errorf("%+v", j)
	}
}

// Brownlee's stack loss data, whose rows 1, 2, 3, 4 and 21 lie apart by the
// exact MCD of R's MASS.
func TestJointRobust(t *testing.T) {
	r := readJoint(t)
	j := joint(t, columnsOf(r.Stackloss), variability.JointOptions{Robust: true})
	var far []int
	for _, i := range j.Outlying {
		far = append(far, i+1)
	}
	if !slices.Equal(far, r.Far) || j.N != 21-len(far) {
		t.Errorf("rows %v lie apart of %d left, want %v", far, j.N, r.Far)
	}
	// A tenth of wild strokes leaves the spread of the others.
	columns := mixed(nullSpec(0.3), 600, 5)
	clean := joint(t, columns, variability.JointOptions{})
	for k := range columns {
		for i := 0; i < 600; i += 10 {
			columns[k].Values[i] = 40 + float64(k)
		}
	}
	wild := joint(t, columns, variability.JointOptions{})
	robust := joint(t, columns, variability.JointOptions{Robust: true})
	if len(robust.Outlying) < 60 || len(robust.Outlying) > 60+30 {
		t.Errorf("%d strokes left out, want the 60 and about 14", len(robust.Outlying))
	}
	if !near(robust.Total.Value, clean.Total.Value, 0.06) || wild.Total.Value < 5 {
		t.Errorf("total %v, with wild strokes %v and robust %v", clean.Total.Value, wild.Total.Value, robust.Total.Value)
	}
}

// An axis of 179° is 2° from one of 1°.
func TestJointPeriod(t *testing.T) {
	data := [][]float64{autoregression(60, 0.3, 1), autoregression(60, 0.3, 2)}
	want := joint(t, columnsOf(data), variability.JointOptions{})
	columns := columnsOf(data)
	columns[0].Period = 180
	columns[0].Values = each(data[0], func(v float64) float64 { return math.Mod(v+180.3, 180) })
	got := joint(t, columns, variability.JointOptions{})
	for a := range 2 {
		for b := range 2 {
			if !near(got.Covariance.At(a, b), want.Covariance.At(a, b), 1e-9) {
				t.Errorf("%v at %d, %d, want %v", got.Covariance.At(a, b), a, b, want.Covariance.At(a, b))
			}
		}
	}
}

func TestJointEllipse(t *testing.T) {
	e := readJoint(t).Ellipse
	j := joint(t, columnsOf([][]float64{e.X, e.Y}), variability.JointOptions{})
	got, err := j.Ellipse("a", "b", 0.95)
	if err != nil {
		t.Fatal(err)
	}
	if !near(got.Major, e.Half[0], 1e-12) || !near(got.Minor, e.Half[1], 1e-10) || !near(got.Area, e.Area[0], 1e-10) ||
		!near(got.Angle, e.Angle[0]-180, 1e-10) {
		t.Errorf("%+v, want %v, area %v at %v°", got, e.Half, e.Area, e.Angle)
	}
	for _, c := range []struct {
		a, b  string
		share float64
		says  string
	}{{"a", "c", 0.95, `not "a" and "c"`}, {"a", "a", 0.95, "needs two"}, {"a", "b", 1, "share 1"}} {
		if _, err := j.Ellipse(c.a, c.b, c.share); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%v: %v", c, err)
		}
	}
	none := joint(t, columnsOf([][]float64{{1, 2}, {2, 3}}), variability.JointOptions{})
	if _, err := none.Ellipse("a", "b", 0.95); err == nil || !strings.Contains(err.Error(), "2 strokes") {
		t.Errorf("no covariance: %v", err)
	}
}

func TestJointFewOrFlat(t *testing.T) {
	x := autoregression(40, 0, 3)
	flat := make([]float64, 40)
	j := joint(t, columnsOf([][]float64{x, flat}), variability.JointOptions{})
	if a := j.Generalised.Absent; a == nil || a.Code != "undefined" || !j.Total.Known() || !near(j.Dimensions.Value, 1, 1e-9) {
		t.Errorf("one flat column: %+v", j)
	}
	j = joint(t, columnsOf([][]float64{flat}), variability.JointOptions{})
	if !j.Total.Known() || j.Total.Value != 0 || j.Dimensions.Absent == nil {
		t.Errorf("all flat: %+v", j)
	}
	j = joint(t, columnsOf([][]float64{x[:2], x[2:4]}), variability.JointOptions{})
	if a := j.Total.Absent; a == nil || a.Code != "too-few" {
		t.Errorf("two strokes: %+v", j)
	}
	j = joint(t, columnsOf([][]float64{x[:15], x[15:30]}), variability.JointOptions{})
	if v := j.Total; !v.Known() || !math.IsNaN(v.Low) || v.Level != 0 {
		t.Errorf("15 strokes: %+v, want no interval", v)
	}
	j = joint(t, columnsOf([][]float64{x, autoregression(40, 0, 4)}), variability.JointOptions{Level: -1})
	if v := j.Total; !v.Known() || !math.IsNaN(v.Low) {
		t.Errorf("no level: %+v", v)
	}
}

func TestJointErrors(t *testing.T) {
	x := []float64{1, 2, 4, 3}
	for _, c := range []struct {
		name    string
		columns []variability.Column
		noise   [][]float64
		says    string
	}{
		{"none", nil, nil, "no column"},
		{"no scale", []variability.Column{{Name: "angle", Values: x}}, nil, `"angle" has scale 0`},
		{"twice", []variability.Column{{Name: "a", Values: x, Scale: 1}, {Name: "a", Values: x, Scale: 1}}, nil, "two columns"},
		{"infinite", []variability.Column{{Name: "a", Values: []float64{1, math.Inf(1)}, Scale: 1}}, nil, "stroke 1 is +Inf"},
		{"negative noise", []variability.Column{{Name: "a", Values: x, Scale: 1, Noise: -1}}, nil, "noise -1"},
		{"negative noise of a stroke", []variability.Column{{Name: "a", Values: x, Scale: 1, Noises: []float64{0, 0, -2, 0}}}, nil, "stroke 2 has noise -2"},
		{"period", []variability.Column{{Name: "a", Values: x, Scale: 1, Period: -180}}, nil, "period -180"},
		{"noise rows", columnsOf([][]float64{x, x}), [][]float64{{1, 0}}, "1 rows for 2"},
		{"noise diagonal", columnsOf([][]float64{x, x}), [][]float64{{1, 0}, {0, 2}}, "row 1"},
		{"noise asymmetric", columnsOf([][]float64{x, x}), [][]float64{{1, 0.2}, {0.1, 1}}, "correlation 0.2"},
		{"noise impossible", columnsOf([][]float64{x, x, x}), [][]float64{{1, -0.9, -0.9}, {-0.9, 1, -0.9}, {-0.9, -0.9, 1}}, "negative eigenvalue"},
	} {
		_, err := variability.JointSpread(c.columns, variability.JointOptions{NoiseCorrelation: c.noise})
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want %q", c.name, err, c.says)
		}
	}
	a := joint(t, columnsOf([][]float64{x, {1, 3, 2, 5}}), variability.JointOptions{})
	for _, b := range []variability.Joint{
		joint(t, columnsOf([][]float64{x}), variability.JointOptions{}),
		joint(t, columnsOf([][]float64{x, {1, 3, 2, 5}}, 1, 2), variability.JointOptions{}),
	} {
		if _, _, err := variability.JointRatio(a, b); err == nil {
			t.Errorf("a ratio of %v and %v", a.Names, b.Names)
		}
	}
	defer func() {
		if recover() == nil {
			t.Error("no panic for columns of unequal length")
		}
	}()
	_, _ = variability.JointSpread(columnsOf([][]float64{x, x[:3]}), variability.JointOptions{})
}

// A scatter that halves in all columns is halved in both ratios; a direction
// that alone shrinks lowers both less.
func TestJointRatio(t *testing.T) {
	columns := mixed(nullSpec(0.3), 400, 9)
	a := joint(t, columns, variability.JointOptions{})
	for k := range columns {
		columns[k].Values = each(columns[k].Values, func(v float64) float64 { return v / 2 })
	}
	b := joint(t, columns, variability.JointOptions{})
	total, generalised, err := variability.JointRatio(a, b)
	if err != nil || !near(total.Value, 0.5, 1e-12) || !near(generalised.Value, 0.5, 1e-12) || total.High >= 1 || generalised.High >= 1 || total.N != 800 {
		t.Errorf("%+v, %+v, %v", total, generalised, err)
	}
	few := joint(t, columnsOf([][]float64{{1}, {2}, {3}, {4}}), variability.JointOptions{})
	total, _, err = variability.JointRatio(few, b)
	if err != nil || total.Absent == nil || total.Absent.Code != "too-few" {
		t.Errorf("%+v, %v", total, err)
	}
}
