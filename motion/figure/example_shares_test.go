package figure_test

import (
	"fmt"

	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/variability/estimate"
)

// shares are known of the arm and of all beyond it; how the arm shares its part
// the landmarks do not tell.
var shares = figure.Shares{Shares: []figure.Share{
	{Name: "shoulder", Value: estimate.Missing[float64]("landmarks", "share of the shoulder", "no landmark of the upper arm")},
	{Name: "elbow or forearm rotation", Value: estimate.Value[float64]{Value: 0.35, Low: 0.22, High: 0.47, Level: 0.95, N: 140}},
	{Name: "wrist", Value: estimate.Value[float64]{Value: 0.72, Low: 0.6, High: 0.83, Level: 0.95, N: 140}},
	{Name: "fingers and grip", Value: estimate.Value[float64]{Value: -0.07, Low: -0.12, High: -0.02, Level: 0.95, N: 140}},
}}

// What moves the tip over a take.
func ExampleShares() {
	svg := figure.SVG(shares, figure.Options{})
	fmt.Println(kept("shares.svg", svg))
	// Output: shares.svg is as kept
}
