package circular_test

import (
	"fmt"

	"github.com/plectrace/plectrace/variability/circular"
)

func ExampleAngle() {
	a := 30 * circular.Degree
	fmt.Printf("%.4f rad, %.0f°\n", a.Radians(), a.Degrees())
	// Output:
	// 0.5236 rad, 30°
}

func ExampleAngle_Axial() {
	fmt.Printf("%.0f°\n", (170 * circular.Degree).Axial().Degrees())
	// Output:
	// -10°
}

// Compass directions in which trees lean: Zar (2010), Biostatistical Analysis,
// examples 26.4 and 26.6, where the mean is 99°, r 0.82522, the limits 68° and
// 130°.
func ExampleDirectional() {
	s := circular.Directional(degrees(45, 55, 81, 96, 110, 117, 132, 154), circular.Options{})
	fmt.Printf("mean %.0f°, %.0f° to %.0f°, r %.5f\n",
		s.Mean.Value.Degrees(), s.Mean.Low.Degrees(), s.Mean.High.Degrees(), s.R)
	// Output:
	// mean 99°, 68° to 130°, r 0.82522
}

// Path angles about the string plane are axes: 179° is -1°.
func ExampleAxial() {
	s := circular.Axial(degrees(3, 179, 2, 1, 178, 4), circular.Options{})
	fmt.Printf("mean %.1f°, sd %.1f°\n", s.Mean.Value.Degrees(), s.SD.Degrees())

	s = circular.Axial(degrees(0, 90), circular.Options{})
	fmt.Println(s.Mean.Absent.Why)
	// Output:
	// mean 1.2°, sd 2.1°
	// the angles cancel each other, so that no direction is their mean
}

func ExampleMedian() {
	// Mardia & Jupp (2000), Directional Statistics, example 2.1: 52°.
	m := circular.Median(degrees(43, 45, 52, 61, 75, 88, 88, 279, 357))
	fmt.Printf("%.0f°\n", m.Value.Degrees())
	// Output:
	// 52°
}

func ExampleMedianAxis() {
	m := circular.MedianAxis(degrees(3, 179, 2, 1, 40))
	fmt.Printf("%.0f°\n", m.Value.Degrees())
	// Output:
	// 2°
}

func ExampleA1() {
	fmt.Printf("%.4f\n", circular.A1(2))
	// Output:
	// 0.6978
}

func ExampleA1Inverse() {
	fmt.Printf("%.4f\n", circular.A1Inverse(0.85))
	// Output:
	// 3.6804
}
