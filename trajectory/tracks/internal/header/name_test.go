package header

import "testing"

func TestName(t *testing.T) {
	for _, test := range []struct {
		cell string
		want Column
	}{
		{"tip_x", Column{Role: Coordinate, Point: "tip", Axis: "x"}},
		{"tip.Y", Column{Role: Coordinate, Point: "tip", Axis: "y"}},
		{"R-A1-Z", Column{Role: Coordinate, Point: "R-A1", Axis: "z"}},
		{"  left  wrist  x ", Column{Name: "left  wrist  x", Role: Coordinate, Point: "left  wrist", Axis: "x"}},
		{"x_tip", Column{Role: Coordinate, Point: "tip", Axis: "x"}},
		{"X (tip of pick)", Column{Role: Coordinate, Point: "tip of pick", Axis: "x"}},
		{"tip (left) x", Column{Role: Coordinate, Point: "tip (left)", Axis: "x"}},
		{"tip (x)", Column{Role: Coordinate, Point: "tip", Axis: "x"}},
		{"leftWristX", Column{Role: Coordinate, Point: "leftWrist", Axis: "x"}},
		{"marker1Y", Column{Role: Coordinate, Point: "marker1", Axis: "y"}},
		{"tipLikelihood", Column{Role: Confidence, Point: "tip"}},
		{"MAX", Column{Role: Other}},
		{"box", Column{Role: Other}},
		{"x", Column{Role: Coordinate, Axis: "x"}},
		{"Y12", Column{Role: Coordinate, Point: "12", Axis: "y"}},
		{"tip_X (mm)", Column{Role: Coordinate, Point: "tip", Axis: "x", Unit: "mm"}},
		{"tip_x [Pixels]", Column{Role: Coordinate, Point: "tip", Axis: "x", Unit: "px"}},
		{"tip_x_cm", Column{Role: Coordinate, Point: "tip", Axis: "x", Unit: "cm"}},
		{"x_m", Column{Role: Coordinate, Axis: "x", Unit: "m"}},
		{"tip x / mm", Column{Role: Coordinate, Point: "tip", Axis: "x", Unit: "mm"}},
		{"tip_x (s)", Column{Role: Coordinate, Point: "tip", Axis: "x"}}, // seconds are no length
		{"tip_x_pos", Column{Role: Coordinate, Point: "tip", Axis: "x"}},
		{"tip_mm", Column{Role: Other}},
		{"tip_score", Column{Role: Confidence, Point: "tip"}},
		{"probability tip", Column{Role: Confidence, Point: "tip"}},
		{"likelihood", Column{Role: Confidence}},
		{"time_x", Column{Role: Coordinate, Point: "time", Axis: "x"}},
		{"time_confidence", Column{Role: Confidence, Point: "time"}},

		{"time", Column{Role: Time}}, {"T", Column{Role: Time}}, {"Time Stamp", Column{Role: Time}},
		{"time_s", Column{Role: Time, Unit: "s"}},
		{"Time (Seconds)", Column{Role: Time, Unit: "s"}},
		{"t [ms]", Column{Role: Time, Unit: "ms"}},
		{"timestamp_us", Column{Role: Time, Unit: "us"}},
		{"time (µs)", Column{Role: Time, Unit: "us"}},
		{"seconds", Column{Role: Time, Unit: "s"}},
		{"ms", Column{Role: Time, Unit: "ms"}},
		{"video time (ms)", Column{Role: Time, Unit: "ms", Weak: true}},
		{"frame", Column{Role: Frame}}, {"Frame#", Column{Role: Frame}}, {"frame_idx", Column{Role: Frame}},
		{"index", Column{Role: Frame}}, {"Unnamed: 0", Column{Role: Frame}}, {"#", Column{Role: Frame}},
		{"", Column{}}, {"  ", Column{Name: ""}}, {"__", Column{}}, {"note", Column{}}, {"()", Column{}}, {")", Column{}}, {"/mm", Column{}},
	} {
		if test.want.Name == "" && test.cell != "  " {
			test.want.Name = test.cell
		}
		if got := Name(test.cell); got != test.want {
			t.Errorf("Name(%q)\n got %+v\nwant %+v", test.cell, got, test.want)
		}
	}
}

func TestIsAxes(t *testing.T) {
	for _, test := range []struct {
		cells []string
		want  bool
	}{
		{[]string{"x", "y"}, true},
		{[]string{"coords", "x", "y", "likelihood", "x", "y", "likelihood"}, true},
		{[]string{"Frame#", "Time", "X1", "Y1", "Z1"}, true},
		{[]string{"", "", "x", "y", ""}, true},
		{[]string{"time", "tip_x", "tip_y"}, false},
		{[]string{"x", "z"}, false},
		{[]string{"time", "x", "y", "note", "x", "y", "note"}, true},
		{[]string{"x", "y", "tip_likelihood"}, false},
		{[]string{"0", "1", "2"}, false},
		{nil, false},
	} {
		if got := IsAxes(test.cells); got != test.want {
			t.Errorf("IsAxes(%q) = %v", test.cells, got)
		}
	}
}
