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
// centre moves. Limits are held against the estimate less so many standard errors:
// one, so that a short span is not thrown out by chance.
func (c *columns) verdict(cs *line, errors float64) (why string, moving bool) {
	if why = c.refusal(cs, errors); why == "" {
		return "", false
	}
	still := *cs
	for f := range features {
		still.scatter[f] = cs.sd[f] // about the line
		if cs.strays(f, errors) {
			still.scatter[f] = min(cs.sd[f], cs.local[f])
			moving = true
		}
	}
	if !moving && cs.degree == 0 {
		return why, false
	}
	still.moved = [features]float64{}
	still.apart = [features]float64{}
	still.wander = [features]float64{}
	return why, c.refusal(&still, errors) == ""
}

// strays reports whether the local centres of feature f are further apart than a
// settled centre may move.
func (cs *line) strays(f int, errors float64) bool {
	return cs.apart[f]-(1+errors)/2*cs.apartError[f] > maxMoved
}

// refusal says why cs is not settled, or "".
func (c *columns) refusal(cs *line, errors float64) string {
	for f := range features {
		n := float64(cs.n[f])
		if n == 0 {
			continue
		}
		s := cs.scatter[f] * (1 - errors/math.Sqrt(2*n))
		if free := s*s - c.noise[f]*c.noise[f]; free > 1 {
			return fmt.Sprintf("the %s scatters by %.2g tolerances", featureName[f],
				math.Sqrt(cs.scatter[f]*cs.scatter[f]-c.noise[f]*c.noise[f]))
		}
		if cs.moved[f]-errors*cs.sd[f]*math.Sqrt(12*float64(cs.degree)/n) > maxMoved {
			return fmt.Sprintf("the centre of the %s drifts by %.2g tolerances", featureName[f], cs.moved[f])
		}
		if cs.strays(f, errors) {
			return fmt.Sprintf("the centre of the %s moves about by %.2g tolerances", featureName[f], cs.apart[f])
		}
		if cs.wander[f]-errors*cs.scatter[f]*cs.scatter[f]/math.Sqrt(n) > maxWander {
			return fmt.Sprintf("the centre of the %s does not stay put", featureName[f])
		}
	}
	if float64(cs.odd) > maxOdd*float64(cs.len()) {
		return "too many of the strokes stand out"
	}
	return ""
}
