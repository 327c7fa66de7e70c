package tracks_test

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

// A tracker's export with a time column in milliseconds, semicolons, decimal
// commas and a sample that was not found.
func ExampleRead() {
	const export = `time (ms);tip x (px);tip y (px);tip score;wrist x (px);wrist y (px)
0;512,5;233,25;0,98;640;401,5
4,17;514,75;230,5;0,97;640,25;401,5
8,33;;;0,12;640,5;401,75
`
	rec, err := tracks.Read(strings.NewReader(export), tracks.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("times in s:", rec.T)
	for _, p := range rec.Points {
		fmt.Println(p.Name, "in", rec.Unit, p.X, p.Y, p.Confidence)
	}
	// Output:
	// times in s: [0 0.00417 0.00833]
	// tip in px [512.5 514.75 NaN] [233.25 230.5 NaN] [0.98 0.97 0.12]
	// wrist in px [640 640.25 640.5] [401.5 401.5 401.75] []
}

// Three header rows and frame numbers, from film shot at 240 frames/s and saved
// at 30: the frame rate of the file is 30, and life was eight times faster.
func ExampleRead_slowMotion() {
	const export = `scorer,net,net,net
bodyparts,tip,tip,tip
coords,x,y,likelihood
0,512.5,233.25,0.98
1,514.75,230.5,0.97
3,519.5,226,0.97
`
	rec, err := tracks.Read(strings.NewReader(export), tracks.Options{Rate: 30, SlowedBy: 8})
	if err != nil {
		fmt.Println(err)
		return
	}
	for i, t := range rec.T {
		fmt.Printf("%.6f s  %v\n", t, rec.Points[0].X[i])
	}
	// Output:
	// 0.000000 s  512.5
	// 0.004167 s  514.75
	// 0.012500 s  519.5
}

// A table without a header gets its names from the options.
func ExampleRead_noHeader() {
	const export = "0.00 512.5 233.25\n0.01 514.75 230.5\n"
	rec, err := tracks.Read(strings.NewReader(export), tracks.Options{Header: []string{"time", "tip_x", "tip_y"}})
	if err != nil {
		fmt.Println(err)
		return
	}
	tip, _ := rec.Point("tip")
	fmt.Println(tip.T, tip.X, tip.Y)
	// Output:
	// [0 0.01] [512.5 514.75] [233.25 230.5]
}

// A C3D file of an Intel machine, from frame 25 at 120 frames/s. The tip was not
// seen in the second frame.
func ExampleRead_c3d() {
	file := c3dFile{
		rate: 120, first: 25, unit: "mm", labels: []string{"tip", "wrist"},
		frames: [][][4]float64{ // x, y, z, residual
			{{12.5, -3, 801, 0}, {90, 40.5, 770, 0}},
			{{0, 0, 0, -1}, {90.25, 40.5, 770, 0}},
		},
	}.bytes()
	rec, err := tracks.Read(bytes.NewReader(file), tracks.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("times in s: %.4f\n", rec.T)
	for _, p := range rec.Points {
		fmt.Println(p.Name, "in", rec.Unit, p.X, p.Y, p.Z)
	}
	_, err = tracks.Read(bytes.NewReader(file[:1050]), tracks.Options{Source: "take.c3d"})
	fmt.Println(err)
	// Output:
	// times in s: [0.2000 0.2083]
	// tip in mm [12.5 NaN] [-3 NaN] [801 NaN]
	// wrist in mm [90 90.25] [40.5 40.5] [770 770]
	// tracks: take.c3d, byte 1050: the file ends in frame 2 of 2; copy the file or export it again
}

// A marker table whose last row is gone.
func ExampleRead_markerTable() {
	const export = "PathFileType\t4\t(X/Y/Z)\ttake.trc\n" +
		"DataRate\tCameraRate\tNumFrames\tNumMarkers\tUnits\n" +
		"120.00\t120.00\t3\t1\tmm\n" +
		"Frame#\tTime\ttip\t\t\n" +
		"\t\tX1\tY1\tZ1\n\n" +
		"1\t0.00000\t12.5\t-3\t801\n" +
		"2\t0.00833\t\t\t\n"
	_, err := tracks.Read(strings.NewReader(export), tracks.Options{})
	fmt.Println(err)
	rec, err := tracks.Read(strings.NewReader(strings.Replace(export, "\t3\t", "\t2\t", 1)), tracks.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(rec.T, rec.Unit, rec.Points[0].X)
	// Output:
	// tracks: line 8: the table ends after 2 rows, and NumFrames is 3; export the file again, or correct NumFrames
	// [0 0.00833] mm [12.5 NaN]
}

func ExampleReadFile() {
	_, err := tracks.ReadFile("no-such-take.csv", tracks.Options{})
	fmt.Println(errors.Is(err, os.ErrNotExist))
	// Output:
	// true
}

// An error says where it is and what to do.
func ExampleError() {
	const export = "time,tip_x,tip_y\n0,512.5,233.25\n0.01,lost,230.5\n"
	_, err := tracks.Read(strings.NewReader(export), tracks.Options{Source: "take.csv"})
	fmt.Println(err)
	var e *tracks.Error
	if errors.As(err, &e) {
		fmt.Println(e.Rule, e.Line, e.Column, e.Name)
	}
	// Output:
	// tracks: take.csv, line 3, column 2 (tip_x): "lost": this is not a number; write missing samples as empty cells or NaN, and leave columns of text out of the points
	// text 3 2 tip_x
}

func ExampleInspect() {
	const export = `t,R-A1-X,R-A1-Y,R-A1-Z,note
0.000,135.66,95.96,718.57,start
0.008,135.12,95.43,718.49,
0.016,134.41,94.80,718.44,
`
	layout, err := tracks.Inspect(strings.NewReader(export))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("separator %q, time %q in %s, about %.0f samples/s, points %v\n",
		layout.Delimiter, layout.Time, layout.TimeUnit, 1/layout.Step, layout.Points)
	for _, c := range layout.Columns {
		fmt.Printf("%d %s: %q %q\n", c.Index, c.Name, c.Role, c.Axis)
	}
	// Output:
	// separator ',', time "t" in s, about 125 samples/s, points [R-A1]
	// 1 t: "time" ""
	// 2 R-A1-X: "coordinate" "x"
	// 3 R-A1-Y: "coordinate" "y"
	// 4 R-A1-Z: "coordinate" "z"
	// 5 note: "" ""
}

func ExampleInspectFile() {
	dir, err := os.MkdirTemp("", "tracks")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer os.RemoveAll(dir)
	name := filepath.Join(dir, "take.csv")
	if err := os.WriteFile(name, []byte("frame\ttip.x\ttip.y\n0\t512.5\t233.25\n"), 0o600); err != nil {
		fmt.Println(err)
		return
	}
	layout, err := tracks.InspectFile(name)
	fmt.Println(layout.Points, layout.Time == "", layout.Frame, err)
	// Output:
	// [tip] true frame <nil>
}

func ExampleWrite() {
	t := []float64{0, 1.0 / 240}
	rec := &trajectory.Recording{Unit: "mm", T: t, Points: []trajectory.Path{
		{Name: "tip", T: t, X: []float64{1.25, 2}, Y: []float64{-3, 1.0 / 3}},
	}}
	if err := tracks.Write(os.Stdout, rec, tracks.WriteOptions{Decimals: 3, TimeDecimals: 6, Units: true}); err != nil {
		fmt.Println(err)
	}
	// Output:
	// time_s,tip_x_mm,tip_y_mm
	// 0.000000,1.250,-3.000
	// 0.004167,2.000,0.333
}
