package variability_test

import (
	"fmt"

	"github.com/plectrace/plectrace/variability"
	"github.com/plectrace/plectrace/variability/internal/series"
)

// halves returns 600 strokes in three columns, path angles of axes near 88°
// among them; downstrokes are 2 mm longer, and the second half scatters half as
// much.
func halves() (columns []variability.Column, kinds []int, early, late []bool) {
	angle, log, length := series.Spec{Phi: 0.3}.Make(600, 1), series.Spec{Phi: 0.3}.Make(600, 2), series.Spec{Phi: 0.3}.Make(600, 3)
	for i := range 600 {
		k := 1.
		if i >= 300 {
			k = 0.5
		}
		kinds, early, late = append(kinds, i%2), append(early, i < 300), append(late, i >= 300)
		length[i] = 12 + 2*float64(1-i%2) + k*length[i]
		angle[i] = 88 + k*3*angle[i]
		if angle[i] > 90 {
			angle[i] -= 180
		}
		log[i] = -2.3 + k*0.05*log[i]
	}
	return []variability.Column{
		{Name: "path_angle_deg", Values: angle, Scale: 3, Period: 180, Noise: 0.5},
		{Name: "log_duration", Values: log, Scale: 0.05},
		{Name: "length_mm", Values: length, Scale: 1, Noise: 0.1},
	}, kinds, early, late
}

func ExampleJointSpread() {
	columns, kinds, early, _ := halves()
	j, err := variability.JointSpread(columns, variability.JointOptions{Groups: kinds, Use: early})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("total %.2f tolerances (%.2f to %.2f)\n", j.Total.Value, j.Total.Low, j.Total.High)
	fmt.Printf("generalised %.2f (%.2f to %.2f)\n", j.Generalised.Value, j.Generalised.Low, j.Generalised.High)
	fmt.Printf("%.1f of 3 dimensions, the widest with %.0f %% of the variance\n", j.Dimensions.Value, 100*j.Directions[0].Share.Value)
	// Output:
	// total 1.02 tolerances (0.95 to 1.10)
	// generalised 1.02 (0.95 to 1.10)
	// 3.0 of 3 dimensions, the widest with 37 % of the variance
}

func ExampleJointRatio() {
	columns, kinds, early, late := halves()
	var parts []variability.Joint
	for _, use := range [][]bool{early, late} {
		j, err := variability.JointSpread(columns, variability.JointOptions{Groups: kinds, Use: use})
		if err != nil {
			fmt.Println(err)
			return
		}
		parts = append(parts, j)
	}
	total, _, err := variability.JointRatio(parts[0], parts[1])
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("late scatter is %.2f of the early one (%.2f to %.2f)\n", total.Value, total.Low, total.High)
	// Output:
	// late scatter is 0.46 of the early one (0.43 to 0.51)
}

// Eight points of a tip across and out, in mm.
func ExampleJoint_Ellipse() {
	j, err := variability.JointSpread([]variability.Column{
		{Name: "across", Scale: 1, Values: []float64{10.2, 11, 9.1, 10.6, 8.8, 9.7, 10.9, 9.5}},
		{Name: "out", Scale: 1, Values: []float64{9.9, 9.2, 10.8, 9.5, 11.3, 10.4, 8.9, 10.3}},
	}, variability.JointOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	e, err := j.Ellipse("across", "out", 0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("half axes %.2f and %.2f mm, %.1f mm², at %.1f°\n", e.Major, e.Minor, e.Area, e.Angle)
	// Output:
	// half axes 2.83 and 0.27 mm, 2.4 mm², at -44.6°
}

// Five takes: Hollander and Wolfe's cloud seeding data, in the place of five
// numbers, one a take.
func ExampleTrend() {
	takes := []float64{1, 2, 3, 4, 5}
	ratios := []float64{1.26, 1.27, 1.12, 1.16, 1.03}
	t, err := variability.Trend(takes, ratios, variability.TrendOptions{Independent: true})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.3f a take (%.2f to %.2f at %.1f %%), P = %.3f\n", t.Slope.Value, t.Slope.Low, t.Slope.High, 100*t.Slope.Level, t.P)

	// Strokes: 400 durations in ms that rise by 8 ms over 40 s.
	x := each(series.Spec{Phi: 0.4, Drift: 2}.Make(400, 1), func(v float64) float64 { return 90 + 4*v })
	s, err := variability.Trend(series.Times(400, 0.1), x, variability.TrendOptions{Cycles: true})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f ms longer (%.1f to %.1f), P = %.4f\n", s.Change.Value, s.Change.Low, s.Change.High, s.P)
	// Output:
	// -0.056 a take (-0.15 to 0.04 at 98.3 %), P = 0.233
	// 7.3 ms longer (5.6 to 9.1), P = 0.0004
}
