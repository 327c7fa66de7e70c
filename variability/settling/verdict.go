package settling

import (
	"fmt"
	"math"
)

const (
	// maxMoved is how far a settled centre may drift, in tolerances, and
	// maxWander how much it may move about, in squared tolerances: a s.d. of
	// half a tolerance.
	maxMoved  = 1.0
	maxWander = 0.25
	// maxOdd is the largest share of odd strokes of a settled span.
	maxOdd = 1.0 / 3
)

// verdict says why cs is not settled, or "", and whether that is only since its
// centre moves. Limits are held against the estimate less its standard error, so
// that a short span is not thrown out by chance.
func (c *columns) verdict(cs *line) (why string, moving bool) {
	if why = c.refusal(cs); why != "" && cs.degree > 0 {
		still := *cs
		still.scatter = cs.sd // about the line
		still.moved = [features]float64{}
		still.wander = [features]float64{}
		moving = c.refusal(&still) == ""
	}
	return why, moving
}

// refusal says why cs is not settled, or "".
func (c *columns) refusal(cs *line) string {
	var wander, varWander, used float64
	for f := range features {
		n := float64(cs.n[f])
		if n == 0 {
			continue
		}
		s := cs.scatter[f] * (1 - 1/math.Sqrt(2*n))
		if free := s*s - c.noise[f]*c.noise[f]; free > 1 {
			return fmt.Sprintf("the %s scatters by %.2g tolerances", featureName[f],
				math.Sqrt(cs.scatter[f]*cs.scatter[f]-c.noise[f]*c.noise[f]))
		}
		if cs.moved[f]-cs.sd[f]*math.Sqrt(12*float64(cs.degree)/n) > maxMoved {
			return fmt.Sprintf("the centre of the %s drifts by %.2g tolerances", featureName[f], cs.moved[f])
		}
		wander += cs.wander[f]
		varWander += math.Pow(cs.scatter[f], 4) / n
		used++
	}
	switch {
	case (wander-math.Sqrt(varWander))/used > maxWander:
		return "the centre does not stay put"
	case float64(cs.odd) > maxOdd*float64(cs.len()):
		return "too many of the strokes stand out"
	}
	return ""
}
