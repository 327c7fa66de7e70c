package tracks_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

// trc returns a marker table. keys and values are those of its second and third
// line.
func trc(keys, values, names, axes string, rows ...string) string {
	return "PathFileType\t4\t(X/Y/Z)\ttake.trc\n" + keys + "\n" + values + "\n" + names + "\n" + axes + "\n\n" + strings.Join(rows, "\n") + "\n"
}

const (
	trcKeys  = "DataRate\tCameraRate\tNumFrames\tNumMarkers\tUnits\tOrigDataRate\tOrigDataStartFrame\tOrigNumFrames"
	trcNames = "Frame#\tTime\ttip\t\t\tleft wrist\t\t"
	trcAxes  = "\t\tX1\tY1\tZ1\tX2\tY2\tZ2"
)

func values(rate, frames, markers, unit string) string {
	return strings.Join([]string{rate, rate, frames, markers, unit, rate, "1", frames}, "\t")
}

func TestMarkerTable(t *testing.T) {
	plain := trc(trcKeys, values("4.00", "       2", "2", "mm"), trcNames, trcAxes, "1\t0.00\t1\t2\t3\t4\t5\t6", "2\t0.25\t1\t\t\t4\t5\t6")
	const want = "t[0 0.25]mm tip x[1 NaN] y[2 NaN] z[3 NaN] left wrist x[4 4] y[5 5] z[6 6]"
	for _, test := range []struct {
		name, text string
		opts       tracks.Options
		want       string
	}{
		{"plain", plain, tracks.Options{}, want},
		{"CRLF", strings.ReplaceAll(plain, "\n", "\r\n"), tracks.Options{}, want},
		{"byte order mark", "\ufeff" + plain, tracks.Options{}, want},
		{"tabs at the ends", strings.ReplaceAll(plain, "\n", "\t\t\n"), tracks.Options{}, want},
		{"no blank line", strings.Replace(plain, "\n\n", "\n", 1), tracks.Options{}, want},
		{"line of tabs for the blank one", strings.Replace(plain, "\n\n", "\n"+strings.Repeat("\t", 7)+"\n", 1), tracks.Options{}, want},
		{"padded numbers", strings.ReplaceAll(plain, "\t", "\t   "), tracks.Options{}, want},
		{"decimal commas", strings.NewReplacer("4.00", "4,00", "0.", "0,").Replace(plain), tracks.Options{}, want},
		{"metres", strings.Replace(plain, "mm", "m", 1), tracks.Options{}, strings.Replace(want, "mm", "m", 1)},
		{"no unit", strings.Replace(plain, "\tmm", "\t", 1), tracks.Options{}, strings.Replace(want, "mm", "", 1)},
		{"keys in another order", trc("Units\tNumMarkers\tNumFrames\tDataRate", "cm\t2\t2\t4", trcNames, trcAxes, "1\t0.00\t1\t2\t3\t4\t5\t6", "2\t0.25\t1\t\t\t4\t5\t6"),
			tracks.Options{}, strings.Replace(want, "mm", "cm", 1)},
		{"one marker", plain, tracks.Options{Points: []string{"left wrist"}}, "t[0 0.25]mm left wrist x[4 4] y[5 5] z[6 6]"},
		{"first rows without a marker", trc(trcKeys, values("4", "3", "2", "mm"), trcNames, trcAxes, "1\t0\t\t\t\t\t\t", "2\t0.25\t\t\t\t\t\t", "3\t0.5\t1\t2\t3\t\t\t"), tracks.Options{},
			"t[0 0.25 0.5]mm tip x[NaN NaN 1] y[NaN NaN 2] z[NaN NaN 3] left wrist x[NaN NaN NaN] y[NaN NaN NaN] z[NaN NaN NaN]"},
		{"markers of numbers", trc(trcKeys, values("4", "1", "2", "mm"), "Frame#\tTime\t1\t\t\t2\t\t", trcAxes, "1\t0\t1\t2\t3\t4\t5\t6"), tracks.Options{},
			"t[0]mm 1 x[1] y[2] z[3] 2 x[4] y[5] z[6]"},
		{"more rows than promised", strings.Replace(plain, "       2", "1", 1), tracks.Options{}, want},

		// The rate counts where there is no time column.
		{"no time column", trc(trcKeys, values("4", "2", "1", "mm"), "Frame#\ttip\t\t", "\tX1\tY1\tZ1", "4\t1\t2\t3", "6\t1\t2\t3"), tracks.Options{},
			"t[1 1.5]mm tip x[1 1] y[2 2] z[3 3]"},
		{"no time column, rate given", trc(trcKeys, values("4", "2", "1", "mm"), "Frame#\ttip\t\t", "\tX1\tY1\tZ1", "4\t1\t2\t3", "6\t1\t2\t3"), tracks.Options{Rate: 2},
			"t[2 3]mm tip x[1 1] y[2 2] z[3 3]"},
		{"time column left out", trc(trcKeys, values("4", "2", "2", "mm"), trcNames, trcAxes, "1\t0\t1\t2\t3\t4\t5\t6", "2\t0\t1\t2\t3\t4\t5\t6"), tracks.Options{Time: "-", ByRow: true},
			"t[0 0.25]mm tip x[1 1] y[2 2] z[3 3] left wrist x[4 4] y[5 5] z[6 6]"},
	} {
		t.Run(test.name, func(t *testing.T) {
			rec, err := tracks.Read(strings.NewReader(test.text), test.opts)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(test.want, dump(rec)); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
		})
	}

	layout, err := tracks.Inspect(strings.NewReader(plain))
	if err != nil || layout.Format != tracks.FormatTRC || layout.Rate != 4 || layout.Samples != 2 || layout.Unit != "mm" ||
		layout.Time != "Time" || layout.Step != 0.25 || layout.Frame != "Frame#" {
		t.Errorf("layout %+v, %v", layout, err)
	}
}

func TestMarkerTableErrors(t *testing.T) {
	row := "1\t0.00\t1\t2\t3\t4\t5\t6"
	for _, test := range []struct {
		name, text string
		want       place
		hint       string
	}{
		{"fewer rows than promised", trc(trcKeys, values("4", "3", "2", "mm"), trcNames, trcAxes, row, "2\t0.25\t1\t2\t3\t4\t5\t6"),
			place{Rule: "truncated", Line: 8}, "NumFrames"},
		{"no rows", trc(trcKeys, values("4", "3", "2", "mm"), trcNames, trcAxes), place{Rule: "header-only", Line: 5}, "failed"},
		{"last row cut off", strings.TrimSuffix(trc(trcKeys, values("4", "1", "2", "mm"), trcNames, trcAxes, row), "\t6\n"),
			place{"truncated", 7, 7, "left wrist.Y2", strings.TrimSuffix(row, "\t6")}, "delete"},
		{"marker without columns", trc(trcKeys, values("4", "1", "3", "mm"), trcNames+"\telbow", trcAxes, row), place{Rule: "markers", Line: 3}, "NumMarkers"},
		{"marker that was not promised", trc(trcKeys, values("4", "1", "1", "mm"), trcNames, trcAxes, row), place{Rule: "markers", Line: 3}, "NumMarkers"},
		{"marker without a y", trc(trcKeys, values("4", "1", "2", "mm"), trcNames, "\t\tX1\tY1\tZ1\tX2\tZ2", "1\t0\t1\t2\t3\t4\t5"), place{Rule: "markers", Line: 3}, "NumMarkers"},
		{"same name", trc(trcKeys, values("4", "1", "2", "mm"), "Frame#\tTime\ttip\t\t\ttip\t\t", trcAxes, row), place{"duplicate", 5, 6, "tip.X2", ""}, "rename"},
		{"text", trc(trcKeys, values("4", "1", "2", "mm"), trcNames, trcAxes, row, "2\t0.25\t1\t2\tlost\t4\t5\t6"), place{"text", 8, 5, "tip.Z1", "lost"}, "missing"},
		{"times rounded until they are the same", trc(trcKeys, values("240", "2", "2", "mm"), trcNames, trcAxes, row, "2\t0.00\t1\t2\t3\t4\t5\t6"),
			place{"time", 8, 2, "Time", "0"}, "240 samples per second"},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, err := tracks.Read(strings.NewReader(test.text), tracks.Options{})
			var e *tracks.Error
			if !errors.As(err, &e) {
				t.Fatalf("got %v", err)
			}
			if diff := cmp.Diff(test.want, place{e.Rule, e.Line, e.Column, e.Name, e.Text}); diff != "" {
				t.Errorf("%v\n(-want +got)\n%s", err, diff)
			}
			if !strings.Contains(e.Hint, test.hint) {
				t.Errorf("hint %q", e.Hint)
			}
			t.Log(err)
		})
	}
}
