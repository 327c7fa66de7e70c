package tracks_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

// dump writes a recording on a few lines.
func dump(rec *trajectory.Recording) string {
	var b strings.Builder
	fmt.Fprintf(&b, "t%v%s", rec.T, rec.Unit)
	for _, p := range rec.Points {
		fmt.Fprintf(&b, " %s x%v y%v", p.Name, p.X, p.Y)
		if p.Z != nil {
			fmt.Fprintf(&b, " z%v", p.Z)
		}
		if p.Confidence != nil {
			fmt.Fprintf(&b, " c%v", p.Confidence)
		}
	}
	return b.String()
}

var dialects = []struct {
	name string
	text string
	opts tracks.Options
	want string
}{
	// Separators and line ends.
	{"comma", "time,tip_x,tip_y\n0,1,2\n0.5,3,4\n", tracks.Options{}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"semicolon", "time;tip_x;tip_y\n0;1;2\n0.5;3;4\n", tracks.Options{}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"tab", "time\ttip x\ttip y\n0\t1\t2\n0.5\t\t4\n", tracks.Options{}, "t[0 0.5] tip x[1 NaN] y[2 NaN]"},
	{"bar", "time|tip_x|tip_y\n0|1|2\n0.5|3|4\n", tracks.Options{}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"runs of blanks", "  time tip_x  tip_y\n   0      1      2\n 0.5      3 \t   4  \n", tracks.Options{}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"runs of blanks, quotes", "time \"tip x\" \"tip y\"\n0 \"1\"  2\n0.5 3 \"4\" \n", tracks.Options{}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"comma and blank", "time, tip_x, tip_y\n0, 1, 2\n0.5 , 3 , 4\n", tracks.Options{}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"CRLF", "time,tip_x,tip_y\r\n0,1,2\r\n0.5,3,4\r\n", tracks.Options{}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"lone CR", "time,tip_x,tip_y\r0,1,2\r0.5,3,4\r", tracks.Options{}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"no line end at the end", "time,tip_x,tip_y\n0,1,2\n0.5,3,4", tracks.Options{}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"CR at the end", "time,tip_x,tip_y\n0,1,2\n0.5,3,4\r", tracks.Options{}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"byte order mark", "\ufefftime,tip_x,tip_y\n0,1,2\n", tracks.Options{}, "t[0] tip x[1] y[2]"},
	{"quotes", "\"time\",\"tip_x\",\"tip_y\"\n\"0\",\"1\",\"2\"\n\"0.5\", \" 3 \" ,\"\"\n", tracks.Options{}, "t[0 0.5] tip x[1 NaN] y[2 NaN]"},
	{"trailing separators", "time,tip_x,tip_y,\n0,1,2,\n0.5,3,4,\n", tracks.Options{}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"trailing separators in rows only", "time,tip_x,tip_y\n0,1,2,,\n0.5,3,4, \"\"\n", tracks.Options{}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"blank lines", "\n\ntime,tip_x,tip_y\n\n0,1,2\n \t \n0.5,3,4\n\n\n", tracks.Options{}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"rows of separators", "time,tip_x,tip_y\n0,1,2\n,,\n0.5,3,4\n,,\n,,\n", tracks.Options{}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"rows of fewer separators", "time,tip_x,tip_y\n,\n0,1,2\n,\n0.5,3,4\n,", tracks.Options{}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"comments", "# a take, of mine\ntime,tip_x,tip_y\n0,1,2\n  # \"half way\n0.5,3,4\n#end", tracks.Options{}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"given separator", "time;tip_x;tip_y\n0;1;2\n", tracks.Options{Delimiter: ';'}, "t[0] tip x[1] y[2]"},

	// Numbers.
	{"decimal comma, semicolon", "time;tip_x;tip_y\n0;1,5;2,25\n0,5;-3,5e-1;4\n", tracks.Options{}, "t[0 0.5] tip x[1.5 -0.35] y[2.25 4]"},
	{"decimal comma, tab", "time\ttip_x\ttip_y\n0\t1,5\t2\n0,5\t3\t4\n", tracks.Options{}, "t[0 0.5] tip x[1.5 3] y[2 4]"},
	{"decimal comma, blanks", "time tip_x tip_y\n0 1,5 2\n0,5 3 4\n", tracks.Options{}, "t[0 0.5] tip x[1.5 3] y[2 4]"},
	{"decimal comma in quotes", "time,tip_x,tip_y\n0,\"1,5\",\"2,25\"\n\"0,5\",3,\"4\"\n", tracks.Options{}, "t[0 0.5] tip x[1.5 3] y[2.25 4]"},
	{"decimal comma, given", "time;tip_x;tip_y\n0;1;2\n1;1,5;2\n", tracks.Options{DecimalComma: true}, "t[0 1] tip x[1 1.5] y[2 2]"},
	{"forms of numbers", "time,tip_x,tip_y\n-1,+1,.5\n0,1.,-.5\n1,1e2,2E-1\n2,1234567890.12345678901234567890,0.1\n", tracks.Options{},
		"t[-1 0 1 2] tip x[1 1 100 1.2345678901234567e+09] y[0.5 -0.5 0.2 0.1]"},
	{"missing words", "tip_x,tip_y\nnan,1\nNaN,1\nNA,1\nnull,1\nNone,1\n,1\n-,1\n--,1\nn/a,1\n5,6\n", tracks.Options{Rate: 1},
		"t[0 1 2 3 4 5 6 7 8 9] tip x[NaN NaN NaN NaN NaN NaN NaN NaN NaN 5] y[NaN NaN NaN NaN NaN NaN NaN NaN NaN 6]"},
	{"one axis missing", "time,tip_x,tip_y,tip_z\n0,1,2,\n1,1,,3\n2,,2,3\n3,1,2,3\n", tracks.Options{}, "t[0 1 2 3] tip x[NaN NaN NaN 1] y[NaN NaN NaN 2] z[NaN NaN NaN 3]"},
	{"nothing but missing", "time,tip_x,tip_y\n0,,\n1,nan,nan\n", tracks.Options{}, "t[0 1] tip x[NaN NaN] y[NaN NaN]"},
	{"nothing at all but missing", "tip_x,tip_y\n,\nnan,nan\n", tracks.Options{Rate: 1}, "t[0 1] tip x[NaN NaN] y[NaN NaN]"},
	{"zero is missing", "time,tip_x,tip_y\n0,0,0\n1,0,2\n", tracks.Options{ZeroMissing: true}, "t[0 1] tip x[NaN 0] y[NaN 2]"},

	// Names.
	{"point", "time,tip.x,tip.y\n0,1,2\n", tracks.Options{}, "t[0] tip x[1] y[2]"},
	{"blank", "time,tip x,tip y\n0,1,2\n", tracks.Options{}, "t[0] tip x[1] y[2]"},
	{"hyphens", "R-A1-X,R-A1-Y,R-A1-Z\n1,2,3\n", tracks.Options{Rate: 120}, "t[0] R-A1 x[1] y[2] z[3]"},
	{"axis first", "time,x_tip,y_tip,x_wrist,y_wrist\n0,1,2,3,4\n", tracks.Options{}, "t[0] tip x[1] y[2] wrist x[3] y[4]"},
	{"axis and point in brackets", "time,x (tip),y (tip)\n0,1,2\n", tracks.Options{}, "t[0] tip x[1] y[2]"},
	{"capital axis", "time,pickTipX,pickTipY\n0,1,2\n", tracks.Options{}, "t[0] pickTip x[1] y[2]"},
	{"axis written on", "time,tipx,tipy,box\n0,1,2,3\n", tracks.Options{}, "t[0] tip x[1] y[2]"},
	{"position words", "time,tip_x_pos,tip_y_pos\n0,1,2\n", tracks.Options{}, "t[0] tip x[1] y[2]"},
	{"axes alone", "time,x,y,likelihood\n0,1,2,0.5\n", tracks.Options{}, "t[0] point x[1] y[2] c[0.5]"},
	{"numbered axes", "time,x1,y1,x2,y2\n0,1,2,3,4\n", tracks.Options{}, "t[0] 1 x[1] y[2] 2 x[3] y[4]"},
	{"unit in brackets", "time (ms),tip_X (mm),tip_Y (mm)\n0,1,2\n4,3,4\n", tracks.Options{}, "t[0 0.004]mm tip x[1 3] y[2 4]"},
	{"unit at the end", "time_ms,tip_x_px,tip_y_px\n0,1,2\n4,3,4\n", tracks.Options{}, "t[0 0.004]px tip x[1 3] y[2 4]"},
	{"unit behind a slash", "t / s,tip x / cm,tip y / cm\n0,1,2\n", tracks.Options{}, "t[0]cm tip x[1] y[2]"},
	{"row of units", "Time,tip x,tip y\ns,m,m\n0,1,2\n", tracks.Options{}, "t[0]m tip x[1] y[2]"},
	{"unit above the table", "Length Unit,mm\n\nTime,tip x,tip y\n0,1,2\n", tracks.Options{}, "t[0]mm tip x[1] y[2]"},
	{"unit in a comment", "# unit: mm\nTime,tip x,tip y\n0,1,2\n", tracks.Options{}, "t[0]mm tip x[1] y[2]"},
	{"unit by option", "time,tip_x,tip_y\n0,1,2\n", tracks.Options{Unit: "mm"}, "t[0]mm tip x[1] y[2]"},
	{"header in a comment", "# made by a script\n# time,tip_x,tip_y\n0,1,2\n", tracks.Options{}, "t[0] tip x[1] y[2]"},
	{"header in a comment, exponents", "# time tip_x tip_y\n0.000000000000000000e+00 1.234567890123456664e+02 -2.000000000000000111e-01\n",
		tracks.Options{}, "t[0] tip x[123.45678901234567] y[-0.2]"},
	{"no header", "0,1,2\n0.5,3,4\n", tracks.Options{Header: []string{"time", "tip_x", "tip_y"}}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"header replaced", "a,b,c,d\n0,1,2,3\n", tracks.Options{Header: []string{"time", "tip_x", "", "tip_y"}}, "t[0] tip x[1] y[3]"},

	// Several header rows.
	{"two rows", "time,tip,tip,wrist,wrist\n,x,y,x,y\n0,1,2,3,4\n", tracks.Options{}, "t[0] tip x[1] y[2] wrist x[3] y[4]"},
	{"two rows, name over the first", "time,tip,,wrist,\n,x,y,x,y\n0,1,2,3,4\n", tracks.Options{}, "t[0] tip x[1] y[2] wrist x[3] y[4]"},
	{"two rows, short upper one", "time,tip,,wrist\n,x,y,x,y\n0,1,2,3,4\n", tracks.Options{}, "t[0] tip x[1] y[2] wrist x[3] y[4]"},
	{"two rows, other columns", "time,tip,,,wrist,wrist,wrist\n,x,y,residual,x,y,residual\n0,1,2,9,3,4,9\n", tracks.Options{}, "t[0] tip x[1] y[2] wrist x[3] y[4]"},
	{"two rows, points are numbers", "time,1,1,2,2\n,x,y,x,y\n0,1,2,3,4\n", tracks.Options{}, "t[0] 1 x[1] y[2] 2 x[3] y[4]"},
	{"group, point, axis", "scorer,net,net,net,net,net,net\nbodyparts,tip,tip,tip,wrist,wrist,wrist\ncoords,x,y,likelihood,x,y,likelihood\n0,1,2,0.9,3,4,0.8\n2,5,6,0.7,7,8,0.6\n",
		tracks.Options{Rate: 4}, "t[0 0.5] tip x[1 5] y[2 6] c[0.9 0.7] wrist x[3 7] y[4 8] c[0.8 0.6]"},
	{"groups needed", "scorer,net,net,net,net\nindividuals,a,a,b,b\nbodyparts,tip,tip,tip,tip\ncoords,x,y,x,y\n0,1,2,3,4\n",
		tracks.Options{Rate: 4}, "t[0] a.tip x[1] y[2] b.tip x[3] y[4]"},
	{"index named below", "scorer,net,net\nbodyparts,tip,tip\ncoords,x,y\nframe,,\n3,1,2\n", tracks.Options{Rate: 1}, "t[3] tip x[1] y[2]"},
	{"rows without labels", ",tip,tip,wrist,wrist\n,x,y,x,y\n0,1,2,3,4\n1,1,2,3,4\n", tracks.Options{Rate: 2}, "t[0 0.5] tip x[1 1] y[2 2] wrist x[3 3] y[4 4]"},
	{"marker table", "PathFileType\t4\t(X/Y/Z)\ttake\nDataRate\tCameraRate\tNumFrames\tNumMarkers\tUnits\tOrigDataRate\tOrigDataStartFrame\tOrigNumFrames\n" +
		"100.00\t100.00\t       2\t2\tmm\t100.00\t1\t2\nFrame#\tTime\ttip\t\t\twrist\t\t\n\t\tX1\tY1\tZ1\tX2\tY2\tZ2\n\n1\t0.00\t1\t2\t3\t4\t5\t6\n2\t0.01\t1\t2\t3\t\t\t\n",
		tracks.Options{}, "t[0 0.01]mm tip x[1 1] y[2 2] z[3 3] wrist x[4 NaN] y[5 NaN] z[6 NaN]"},
	{"units below the axes", "Trajectories\n100\n,,me:tip,,,me:wrist,,\nFrame,Sub Frame,X,Y,Z,X,Y,Z\n,,mm,mm,mm,mm,mm,mm\n1,0,1,2,3,4,5,6\n2,0,1,2,3,4,5,6\n",
		tracks.Options{Rate: 100}, "t[0.01 0.02]mm me:tip x[1 1] y[2 2] z[3 3] me:wrist x[4 4] y[5 5] z[6 6]"},
	{"rows of other kinds", "Version,1.2,Name,take\n\n,Type,Marker,Marker,Marker\n,Name,tip,tip,tip\n,ID,7,7,7\n,,Position,Position,Position\nFrame,Time (Seconds),X,Y,Z\n0,0.0,1,2,3\n1,0.1,1,2,3\n",
		tracks.Options{}, "t[0 0.1] tip x[1 1] y[2 2] z[3 3]"},
	{"key and value above", "rate,120\ntime,x,y\n0,1,2\n1,3,4\n", tracks.Options{}, "t[0 1] point x[1 3] y[2 4]"},

	// Time.
	{"variable rate", "t,tip_x,tip_y\n0,1,2\n0.1,1,2\n0.15,1,2\n1.7,1,2\n", tracks.Options{}, "t[0 0.1 0.15 1.7] tip x[1 1 1 1] y[2 2 2 2]"},
	{"time last", "tip_x,tip_y,timestamp\n1,2,0\n3,4,0.5\n", tracks.Options{}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"time before frames", "frame,seconds,tip_x,tip_y\n7,0,1,2\n8,0.5,3,4\n", tracks.Options{}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"time before timestamp", "timestamp,time,tip_x,tip_y\n100,0,1,2\n101,0.5,3,4\n", tracks.Options{}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"time by name", "time,video time [ms],tip_x,tip_y\n0,0,1,2\n9,500,3,4\n", tracks.Options{Time: "video time [ms]"}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"time of another name", "when,tip_x,tip_y\n0,1,2\n500,3,4\n", tracks.Options{Time: "when", TimeUnit: "ms"}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"no time, please", "time,tip_x,tip_y\n0,1,2\n0,3,4\n", tracks.Options{Time: "-", Rate: 2}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"microseconds", "us,tip_x,tip_y\n0,1,2\n500000,3,4\n", tracks.Options{}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"nanoseconds", "timestamp_ns,tip_x,tip_y\n0,1,2\n500000000,3,4\n", tracks.Options{}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"rate", "tip_x,tip_y\n1,2\n3,4\n", tracks.Options{Rate: 4}, "t[0 0.25] tip x[1 3] y[2 4]"},
	{"slowed time", "time,tip_x,tip_y\n0,1,2\n4,3,4\n", tracks.Options{SlowedBy: 8, TimeUnit: "s"}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"slowed rate", "tip_x,tip_y\n1,2\n3,4\n", tracks.Options{Rate: 30, SlowedBy: 8}, fmt.Sprintf("t[0 %v] tip x[1 3] y[2 4]", 1.0/240)},
	{"frames left out", "frame,tip_x,tip_y\n10,1,2\n11,1,2\n14,1,2\n", tracks.Options{Rate: 10}, "t[1 1.1 1.4] tip x[1 1 1] y[2 2 2]"},
	{"frames by row", "frame,tip_x,tip_y\n10,1,2\n11,1,2\n14,1,2\n", tracks.Options{Rate: 10, ByRow: true}, "t[0 0.1 0.2] tip x[1 1 1] y[2 2 2]"},
	{"frames by name", "frame,tip_x,tip_y\n10,1,2\n", tracks.Options{Rate: 10, Time: "frame"}, "t[1] tip x[1] y[2]"},
	{"index without a name", ",tip_x,tip_y\n0,1,2\n2,3,4\n", tracks.Options{Rate: 4}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"no name and no index", ",tip_x,tip_y\n0.5,1,2\n0.2,3,4\n", tracks.Options{Rate: 4}, "t[0 0.25] tip x[1 3] y[2 4]"},

	// Points.
	{"chosen points", "time,tip_x,tip_y,note,wrist_x,wrist_y\n0,a,\"b,\nc\",d,1,2\n0.5,e,f,g,3,4\n", tracks.Options{Points: []string{"wrist"}}, "t[0 0.5] wrist x[1 3] y[2 4]"},
	{"order of points", "time,tip_x,tip_y,wrist_x,wrist_y\n0,1,2,3,4\n", tracks.Options{Points: []string{"wrist", "tip"}}, "t[0] wrist x[3] y[4] tip x[1] y[2]"},
	{"columns of text", "image,time,tip_x,tip_y\nimg1.png,0,1,2\nimg2.png,0.5,3,4\n", tracks.Options{}, "t[0 0.5] tip x[1 3] y[2 4]"},
	{"confidences", "time,tip_x,tip_y,tip_score,wrist_x,wrist_y,wrist_probability\n0,1,2,1.01,3,4,\n", tracks.Options{}, "t[0] tip x[1] y[2] c[1] wrist x[3] y[4] c[NaN]"},
	{"confidences left out", "time,tip_x,tip_y,tip_confidence\n0,1,2,87\n", tracks.Options{IgnoreConfidence: true}, "t[0] tip x[1] y[2]"},
	{"half a point left out", "time,tip_x,tip_y,angle_x\n0,1,2,3\n", tracks.Options{}, "t[0] tip x[1] y[2]"},
}

func TestDialects(t *testing.T) {
	for _, test := range dialects {
		t.Run(test.name, func(t *testing.T) {
			rec, err := tracks.Read(strings.NewReader(test.text), test.opts)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(test.want, dump(rec)); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
			for _, p := range rec.Points {
				if len(p.T) > 0 && &p.T[0] != &rec.T[0] {
					t.Errorf("point %s has times of its own", p.Name)
				}
			}
		})
	}
}
