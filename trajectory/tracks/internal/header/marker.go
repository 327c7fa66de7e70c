package header

import (
	"math"
	"strconv"
	"strings"
)

// Promise is what the lines above a marker table promise; 0 where they do not
// say.
type Promise struct {
	Rate            float64 // samples per second
	Frames, Markers int     // numbers of rows and of points
	Named           int     // number of names of points
}

// MarkerTable reads the rows above a marker table: one that begins with
// PathFileType, one of keys, one of values below them, one of the names of the
// markers behind two columns for the frame and the time. ok is false for
// tables of other kinds.
func MarkerTable(rows [][]string) (p Promise, ok bool) {
	if len(rows) < 5 || len(rows[0]) == 0 || bare(rows[0][0]) != "pathfiletype" {
		return p, false
	}
	for i, key := range rows[1] {
		if i >= len(rows[2]) {
			break
		}
		v, err := strconv.ParseFloat(strings.ReplaceAll(bare(rows[2][i]), ",", "."), 64)
		if err != nil || !(v > 0 && v <= math.MaxInt32) {
			continue
		}
		switch bare(key) {
		case "datarate":
			p.Rate = v
		case "numframes":
			p.Frames = int(v)
		case "nummarkers":
			p.Markers = int(v)
		}
	}
	for i, name := range rows[3] {
		if r := Name(name).Role; name != "" && (i >= 2 || r != Frame && r != Time) {
			p.Named++
		}
	}
	return p, true
}
