package review

import (
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/trajectory/cells"
	"github.com/plectrace/plectrace/variability/estimate"
)

// strokeColumns are the columns of strokes.csv. Names are fixed; more may
// follow. An absent value is empty.
var strokeColumns = []string{
	"stroke", "direction", "start_s", "end_s", "duration_s", "length",
	"path_angle_deg", "path_angle_low_deg", "path_angle_high_deg", "skew_deg", "curvature",
	"height_start", "height_end", "peak_speed", "reached", "follow_through", "turn_hidden", "settled",
	"string_played", "crossing_s", "depth", "crossing_speed", "slowing", "struck", "onset_s", "level_db", "edge_angle_deg", "lean_deg", "carry", "leading_joint", "rate_nps",
}

var spanColumns = []string{
	"kind", "start_s", "end_s", "strokes", "rate_nps", "path_angle_deg", "path_angle_low_deg", "path_angle_high_deg", "picture_angle_deg",
	"carry", "unevenness", "reference",
}

// WriteStrokes writes one line for each stroke, with a header, as delimited
// text. Times are in seconds to the microsecond, lengths in r.Unit, angles in
// degrees; other numbers have six significant digits. A value that could not
// be had is an empty field.
//
// Path angles are those that the picture shows (see Span.PathAngle). reached
// holds the numbers of the strings reached, in order, "none", or nothing where
// it cannot be said; struck is true or false by the list of onsets. rate_nps is the
// rate over time (Pace.Curve) where the stroke begins.
func (r *Review) WriteStrokes(w io.Writer) error {
	c := cells.NewWriter(w)
	c.Write(strokeColumns)
	row := make([]string, 0, len(strokeColumns))
	settled := r.SettledStrokes()
	carry := map[int]float64{}
	if len(r.Carries) > 0 {
		for _, s := range r.Carries[0].Strokes {
			if s.Own {
				carry[s.Stroke] = s.Hand / s.Tip
			}
		}
	}
	leading, rate := r.leadingJoints(), r.rateAt()
	for i, s := range r.Motion.Strokes {
		row = append(row[:0],
			strconv.Itoa(i+1), s.Direction.String(), seconds(s.Start), seconds(s.End), seconds(s.Duration()),
			number(s.Length), number(s.PathAngle.Degrees()), number(s.PathAngleLow.Degrees()), number(s.PathAngleHigh.Degrees()),
			number(s.Skew.Degrees()), number(s.Curvature), number(s.HeightStart), number(s.HeightEnd), number(s.PeakSpeed),
			"", "", strconv.FormatBool(s.TurnHidden()), "")
		if settled != nil {
			row[len(row)-1] = strconv.FormatBool(settled[i])
		}
		row = r.atStrings(row, i)
		hand, known := carry[i]
		if !known {
			hand = nan
		}
		row = append(row, number(hand), leading[i], number(rate[i]))
		c.Write(row)
	}
	return c.Flush()
}

// reachedAt and followAt are the places of these columns.
const reachedAt, followAt = 14, 15

// atStrings fills in what stroke i does at the strings, as far as is known.
func (r *Review) atStrings(row []string, i int) []string {
	played, crossing, struck, onset, level, edge, lean := "", "", "", "", "", "", ""
	depth, speed, slowing := nan, nan, nan
	if r.Contacts != nil {
		s := r.Contacts.Strokes[i]
		row[reachedAt], row[followAt] = s.Numbers(), number(s.FollowThrough)
		depth, speed, slowing = s.Depth, s.Speed, s.Slowing
		if s.Played > 0 {
			played = strconv.Itoa(s.Played)
		}
		if s.Time == s.Time {
			crossing = seconds(s.Time)
		}
	}
	if r.Struck != nil {
		switch r.Struck.Struck[i] {
		case contact.Yes:
			struck = "true"
		case contact.No:
			struck = "false"
		}
		if k := r.Struck.Onset[i]; k >= 0 {
			onset, level = seconds(r.Options.Onsets[k].Time), number(r.Options.Onsets[k].Level)
		}
	}
	if r.Edges != nil && r.Edges.Absent == nil {
		angle := &edge
		if r.Edges.Kind == contact.EdgeLean {
			angle = &lean
		}
		*angle = number(r.Edges.Angles[i].Degrees())
	}
	return append(row, played, crossing, number(depth), number(speed), number(slowing), struck, onset, level, edge, lean)
}

// leadingJoints names for every stroke what contributes most to it, where it is
// known what does so over the take.
func (r *Review) leadingJoints() []string {
	names := make([]string, len(r.Motion.Strokes))
	if r.Drive == nil || r.Drive.Leading < 0 {
		return names
	}
	for k, i := range r.Drive.Strokes {
		best := nan
		for _, s := range r.Drive.Shares {
			if v := s.PerStroke[k]; s.Value.Known() && v == v && !(v <= best) {
				best, names[i] = v, jointsOf(s)
			}
		}
	}
	return names
}

// jointsOf is what a share is of, in words.
func jointsOf(s drive.Share) string {
	words := make([]string, len(s.Joints))
	for i, j := range s.Joints {
		words[i] = j.String()
	}
	return strings.Join(words, " + ")
}

// WriteSpans writes one line for each settled or searching span, in the manner
// of WriteStrokes.
func (r *Review) WriteSpans(w io.Writer) error {
	c := cells.NewWriter(w)
	c.Write(spanColumns)
	for _, s := range r.Spans {
		angle, picture := orNaN(degrees(s.PathAngle)), orNaN(degrees(s.PictureAngle))
		reference := ""
		if s.Distance != nil {
			reference = s.Distance.Answer.String()
		}
		c.Write([]string{
			s.Kind(), seconds(s.Start), seconds(s.End), strconv.Itoa(s.Strokes), number(orNaN(estimate.As[float64](s.Rate)).Value),
			number(angle.Value), number(angle.Low), number(angle.High), number(picture.Value), number(orNaN(s.Carry).Value), number(orNaN(s.unevenness()).Value), reference,
		})
	}
	return c.Flush()
}

// SettledStrokes returns for every stroke whether it lies in a settled span;
// nil when that could not be judged.
func (r *Review) SettledStrokes() []bool {
	if r.Settling.Absent != nil {
		return nil
	}
	in := make([]bool, len(r.Motion.Strokes))
	for _, s := range r.Spans {
		for i := s.First; i <= s.Last; i++ {
			in[i] = s.Settled
		}
	}
	return in
}

// orNaN is v, with NaN for what is not known.
func orNaN(v estimate.Value[float64]) estimate.Value[float64] {
	if !v.Known() {
		v.Value, v.Low, v.High = nan, nan, nan
	}
	return v
}

// number formats x with six significant digits; NaN is an empty field.
func number(x float64) string {
	if math.IsNaN(x) {
		return ""
	}
	return strconv.FormatFloat(x, 'g', 6, 64)
}

func seconds(t float64) string { return strconv.FormatFloat(t, 'f', 6, 64) }
