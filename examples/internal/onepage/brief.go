package onepage

import (
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
)

// Brief is what a line of a list tells of a take: strokes a second, the settled share
// of the playing time and the path angle in degrees, said to be that of the picture
// where the view shows no other.
type Brief struct{ Rate, Settled, Angle string }

// unsaid stands for what a review does not give.
const unsaid = "not known"

// BriefOf is that of a review.
func BriefOf(r *review.Review) Brief {
	b := Brief{unsaid, unsaid, unsaid}
	rate, angle, settled := headline(r)
	if rate.Known() {
		b.Rate = measured.Fixed(rate.Value, measured.Decimals(rate))
	}
	if settled.Known() {
		b.Settled = measured.Percent(settled.Value)
	}
	if angle.Known() {
		b.Angle = measured.Fixed(angle.Value, angleDecimals(r))
		if r.Frame.View == trajectory.Oblique {
			b.Angle += " in the picture"
		}
	}
	return b
}
