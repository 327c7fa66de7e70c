package motion

import (
	"math"
	"sort"

	"github.com/plectrace/plectrace/trajectory"
)

// DirectionAt returns the way the tip travels at time t, as for a strum whose
// time is known from its sound: that of the stroke under way, and where there
// is none, because the hand all but rests, the sign of the slope of the line
// through the samples of p about t: those within a quarter of a stroke,
// and three at the least (least squares). p is the path that m was found on.
// It is unknown outside the path, in a gap of it, and where the slope is zero.
func (m *Motion) DirectionAt(p trajectory.Placed, t float64) Direction {
	i := sort.Search(len(m.Strokes), func(i int) bool { return m.Strokes[i].End > t })
	if i < len(m.Strokes) && m.Strokes[i].Start <= t {
		return m.Strokes[i].Direction
	}
	half := 1.5 / m.SampleHz
	if quarter := m.Cycle / 8; quarter > half {
		half = quarter
	}
	var n, st, sx, stt, stx float64
	for i := sort.SearchFloat64s(p.T, t-half); i < len(p.T) && p.T[i] <= t+half; i++ {
		if dt, x := p.T[i]-t, p.Across[i]; x == x {
			n++
			st, sx, stt, stx = st+dt, sx+x, stt+dt*dt, stx+dt*x
		}
	}
	switch slope := (n*stx - st*sx) / (n*stt - st*st); {
	case n < 2 || slope == 0 || math.IsNaN(slope):
		return DirectionUnknown
	case slope > 0:
		return Down
	}
	return Up
}
