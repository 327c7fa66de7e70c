package learning_test

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/variability/learning"
)

// Settled share of a player's takes, in per cent, over 24 sessions of an
// evening class.
func sessions() (session, settled []float64) {
	settled = []float64{
		21, 30, 34, 43, 46, 52, 55, 60, 61, 66, 66, 69, 69, 73, 72, 75, 74, 77, 75, 78, 76, 79, 77, 79,
	}
	for i := range settled {
		session = append(session, float64(i+1))
	}
	return session, settled
}

func ExampleFit() {
	session, settled := sessions()
	r, err := learning.Fit(session, settled, learning.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r.Sentence)
	fmt.Printf("half of the way at session %.1f, 95 %% at %.1f\n", r.Half.Value, r.NinetyFive.Value)
	fmt.Printf("still to come: %.1f (%.1f to %.1f)\n", r.Expected.Value, r.Expected.Low, r.Expected.High)

	r, err = learning.Fit(session[:9], settled[:9], learning.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r.Verdict, "-", r.Plateau.Absent.Why)

	r, err = learning.Fit(session[:4], settled[:4], learning.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r.Sentence)
	// Output:
	// The values have changed by 57.7 (55.9 to 59.6) and level off towards 80.8 (79.3 to 82.4). That level is reached: look at what else this measure may depend on before more of the same practice.
	// half of the way at session 5.8, 95 % at 21.7
	// still to come: 2.2 (1.6 to 2.9)
	// still changing - the level is not in sight yet
	// 4 values: too few to tell a change from chance. Record takes or sessions until there are at least 6.
}

// The power law of practice: a line through logarithms.
func ExampleFit_powerLaw() {
	trial := []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}
	seconds := []float64{10.105, 7.543, 6.661, 5.937, 5.73, 5.414, 5.133, 5.095, 4.813, 4.773, 4.631, 4.626}
	r, err := learning.Fit(trial, seconds, learning.Options{Log: true, Independent: true})
	if err != nil {
		fmt.Println(err)
		return
	}
	c := r.Curve(learning.Logarithm)
	fmt.Printf("exponent %.3f (%.3f to %.3f)\n", c.B.Value, c.B.Low, c.B.High)
	fmt.Printf("last over first %.2f\n", c.Change.Value)
	// Output:
	// exponent -0.308 (-0.336 to -0.280)
	// last over first 0.47
}

func ExampleResult_Curve() {
	session, settled := sessions()
	r, err := learning.Fit(session, settled, learning.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for k := learning.Constant; k <= learning.Power; k++ {
		c := r.Curve(k)
		if c.Absent != nil {
			fmt.Printf("%-13s  %s\n", k, c.Absent.Why)
			continue
		}
		fmt.Printf("%-13s  scatter %5.2f, weight %.2f\n", k, c.Scatter, c.Share)
	}
	// Output:
	// constant       scatter 17.41, weight 0.00
	// line           scatter  9.71, weight 0.00
	// logarithm      scatter  2.95, weight 0.00
	// power to zero  scatter  5.44, weight 0.00
	// exponential    scatter  1.17, weight 1.00
	// power          the values bend no more than a logarithm does
}

func ExampleCurve_Band() {
	session, settled := sessions()
	r, err := learning.Fit(session, settled, learning.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	c := r.Curve(r.Best)
	for _, x := range []float64{1, 8, 24, 25} {
		b := c.Band(x)
		if b.Absent != nil {
			fmt.Printf("session %2.0f: %s\n", x, b.Absent.Why)
			continue
		}
		fmt.Printf("session %2.0f: %.1f (%.1f to %.1f)\n", x, b.Value, b.Low, b.High)
	}
	// Output:
	// session  1: 20.9 (19.1 to 22.7)
	// session  8: 59.0 (58.1 to 59.8)
	// session 24: 78.6 (77.6 to 79.6)
	// session 25: it is not followed beyond the values
}

func ExampleCurve_At() {
	session, settled := sessions()
	r, err := learning.Fit(session, settled, learning.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	c := r.Curve(learning.Exponential)
	fmt.Printf("%.1f at session 12.5, known beyond the values: %t\n", c.At(12.5), !math.IsNaN(c.At(25)))
	// Output:
	// 69.4 at session 12.5, known beyond the values: false
}
