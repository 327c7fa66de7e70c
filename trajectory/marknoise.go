package trajectory

import (
	"math"

	"github.com/plectrace/plectrace/trajectory/filter"
)

// markNoise returns the standard deviation of the white noise of the bass and the
// treble mark on one axis: the root of the mean of its variance over runs long
// enough to show it, 0 without any. It is measured along the instrument's axes, so
// that a picture that is turned has the same.
func markNoise(marks [][3][]float64, axes int) float64 {
	basis := meanAxes(marks, axes)
	var all [][]float64
	for _, m := range marks[:2] {
		all = append(all, m[:axes]...)
	}
	var sum, weight float64
	var on []float64
	for start, end := range Runs(all...) {
		n := float64(end - start)
		if n < 24 || weight >= 40000 {
			continue
		}
		on = resize(on, end-start)
		for _, m := range marks[:2] {
			for _, e := range basis[:axes] {
				for i := range on {
					var v float64
					for k := range axes {
						v += e[k] * m[k][start+i]
					}
					on[i] = v
				}
				v := filter.NoiseLevel(on)
				sum += v * v * n
				weight += n
			}
		}
	}
	if weight == 0 {
		return 0
	}
	return math.Sqrt(sum / weight)
}

// meanAxes returns the directions in which the marks lie from each other in the
// mean: from bass to treble, and at right angles to it, in three axes toward the nut
// first. They are the source's axes where the marks give none.
func meanAxes(marks [][3][]float64, axes int) [3][3]float64 {
	var across, along [3]float64
	for i := range marks[0][0] {
		bass, treble := at(marks[0], i), at(marks[1], i)
		if d := plus(treble, bass, -1); d[0] == d[0] {
			across = plus(across, d, 1)
		}
		if axes == 3 {
			if d := plus(at(marks[2], i), bass, -1); d[0] == d[0] {
				along = plus(along, d, 1)
			}
		}
	}
	across = scaled(across, 1/norm(across))
	if axes == 2 {
		along = [3]float64{-across[1], across[0]}
	} else {
		along = plus(along, across, -dot(along, across))
		along = scaled(along, 1/norm(along))
	}
	if !finite(across[0], along[0]) {
		return [3][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
	}
	return [3][3]float64{across, along, cross(across, along)}
}
