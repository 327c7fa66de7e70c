package measured

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/plectrace/plectrace/variability/estimate"
)

// TestQuantity: what there is none of is null, and says why.
func TestQuantity(t *testing.T) {
	for _, c := range []struct {
		of   estimate.Value[float64]
		want string
	}{
		{known(1.23456789, 1, 2), `{"value":1.23457,"low":1,"high":2,"level":0.95,"n":10}`},
		{alone(5), `{"value":5,"low":null,"high":null,"level":0.95,"n":10}`},
		{estimate.Missing[float64]("short", "the rate", "the take is short"), `{"value":null,"low":null,"high":null,"level":null,"n":0,"why":"the take is short"}`},
		{known(math.Inf(1), math.Inf(1), math.Inf(1)), `{"value":null,"low":null,"high":null,"level":0.95,"n":10}`},
		{estimate.Value[float64]{}, `{"value":null,"low":null,"high":null,"level":null,"n":0,"why":"it was not measured"}`},
	} {
		if got, err := json.Marshal(QuantityOf(c.of)); err != nil || string(got) != c.want {
			t.Errorf("%s, %v\nwant %s", got, err, c.want)
		}
	}
}
