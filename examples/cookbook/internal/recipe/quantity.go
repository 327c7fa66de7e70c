package recipe

import (
	"math"

	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Quantity is a value with its interval in JSON, null where there is none; Why says
// then why there is no value.
type Quantity struct {
	Estimate measured.Number `json:"estimate"`
	Low      measured.Number `json:"low"`
	High     measured.Number `json:"high"`
	Why      string          `json:"why,omitempty"`
}

// QuantityOf is v in JSON.
func QuantityOf(v estimate.Value[float64]) Quantity {
	if !v.Known() {
		none := measured.Number(math.NaN())
		return Quantity{none, none, none, measured.Why(v.Absent)}
	}
	return Quantity{Estimate: measured.Number(v.Value), Low: measured.Number(v.Low), High: measured.Number(v.High)}
}
