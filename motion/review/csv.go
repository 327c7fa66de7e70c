package review

import (
	"encoding/csv"
	"io"
	"math"
	"strconv"
)

// strokeColumns are the columns of strokes.csv. Names are fixed; more may
// follow. An absent value is empty.
var strokeColumns = []string{
	"stroke", "direction", "start_s", "end_s", "duration_s", "length",
	"path_angle_deg", "path_angle_low_deg", "path_angle_high_deg", "skew_deg", "curvature",
	"height_start", "height_end", "peak_speed", "reached", "follow_through", "turn_hidden", "settled",
}

var spanColumns = []string{"kind", "start_s", "end_s", "strokes", "rate_nps", "path_angle_deg"}

// WriteStrokes writes one line for each stroke, with a header, as delimited
// text. Times are in seconds to the microsecond, lengths in r.Unit, angles in
// degrees; other numbers have six significant digits. A value that could not
// be had is an empty field.
func (r *Review) WriteStrokes(w io.Writer) error {
	c := csv.NewWriter(w)
	c.Write(strokeColumns)
	row := make([]string, 0, len(strokeColumns))
	settled := r.SettledStrokes()
	for i, s := range r.Motion.Strokes {
		row = append(row[:0],
			strconv.Itoa(i+1), s.Direction.String(), seconds(s.Start), seconds(s.End), seconds(s.Duration()),
			number(s.Length), number(s.PathAngle.Degrees()), number(s.PathAngleLow.Degrees()), number(s.PathAngleHigh.Degrees()),
			number(s.Skew.Degrees()), number(s.Curvature), number(s.HeightStart), number(s.HeightEnd), number(s.PeakSpeed),
			"", "", strconv.FormatBool(s.TurnHidden()), "")
		if settled != nil {
			row[len(row)-1] = strconv.FormatBool(settled[i])
		}
		c.Write(row)
	}
	c.Flush()
	return c.Error()
}

// WriteSpans writes one line for each settled or searching span, in the manner
// of WriteStrokes.
func (r *Review) WriteSpans(w io.Writer) error {
	c := csv.NewWriter(w)
	c.Write(spanColumns)
	for _, s := range r.Spans {
		rate, angle := nan, nan
		if s.Rate.Known() {
			rate = float64(s.Rate.Value)
		}
		if s.PathAngle.Known() {
			angle = s.PathAngle.Value.Degrees()
		}
		c.Write([]string{
			s.Kind(), seconds(s.Start), seconds(s.End), strconv.Itoa(s.Strokes), number(rate), number(angle),
		})
	}
	c.Flush()
	return c.Error()
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

// number formats x with six significant digits; NaN is an empty field.
func number(x float64) string {
	if math.IsNaN(x) {
		return ""
	}
	return strconv.FormatFloat(x, 'g', 6, 64)
}

func seconds(t float64) string { return strconv.FormatFloat(t, 'f', 6, 64) }
