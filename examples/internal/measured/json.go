package measured

import (
	"math"

	"github.com/plectrace/plectrace/variability/estimate"
)

// Quantity is a value with its interval in JSON, as review.json has them: numbers are
// null where there are none, and Why says why there is no value.
type Quantity struct {
	Value Number `json:"value"`
	Low   Number `json:"low"`
	High  Number `json:"high"`
	Level Number `json:"level"`
	N     int    `json:"n"`
	Why   string `json:"why,omitempty"`
}

// QuantityOf is v in JSON.
func QuantityOf(v estimate.Value[float64]) Quantity {
	if !v.Known() {
		none := Number(math.NaN())
		return Quantity{Value: none, Low: none, High: none, Level: none, N: v.N, Why: Why(v.Absent)}
	}
	return Quantity{Value: Number(v.Value), Low: Number(v.Low), High: Number(v.High), Level: Number(v.Level), N: v.N}
}
