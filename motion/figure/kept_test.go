package figure_test

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/motion/figure"
)

var update = flag.Bool("update", false, "rewrite the figures under testdata")

// drawn are the figures of the Examples, by the name of the file that is kept of
// each under testdata.
var drawn = map[string]figure.Figure{
	"picture": film, "paths": paths, "cycle": meanCycle, "turns": turns,
	"strokes": strokes, "rate": rate, "angle": angle, "carry": carry, "drive": drive, "shares": shares, "spans": spans,
	"early-late": earlyLate, "rate-scatter": rateScatter, "dates": dates, "dates-level": levelling, "cohort": cohort, "samples": samples,
}

// kept holds a figure against the file kept of it under testdata: the same
// shapes and texts, and numbers within a step and a half of their rounding (a
// tenth), since another machine's rounding of a product may fall on the other
// side. With -update it writes the file.
func kept(name string, svg []byte) string {
	golden := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(golden, svg, 0o666); err != nil {
			return err.Error()
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		return err.Error()
	}
	want = bytes.ReplaceAll(want, []byte("\r\n"), []byte("\n"))
	gotValues, gotRest := split(svg)
	wantValues, wantRest := split(want)
	if diff := cmp.Diff(wantRest, gotRest); diff != "" {
		return fmt.Sprintf("%s is not as kept (-kept +now); if that is meant, look at the new one and run with -update:\n%s", name, diff)
	}
	for i, v := range gotValues {
		if math.Abs(v-wantValues[i]) > 0.15 {
			return fmt.Sprintf("%s is not as kept: number %d is %v and was %v", name, i, v, wantValues[i])
		}
	}
	return name + " is as kept"
}

var numbers = regexp.MustCompile(`-?\d+(\.\d+)?(e[-+]\d+)?`)

// split returns the numbers of an SVG, and what stands between them.
func split(svg []byte) (values []float64, rest []string) {
	for _, n := range numbers.FindAll(svg, -1) {
		v, err := strconv.ParseFloat(string(n), 64)
		if err != nil {
			panic(err) // the pattern only matches numbers
		}
		values = append(values, v)
	}
	return values, numbers.Split(string(svg), -1)
}

// TestKept checks that the comparison behind the Examples sees what changes, and
// that the folder holds no figure that nobody draws.
func TestKept(t *testing.T) {
	if *update {
		t.Skip("writing")
	}
	svg := figure.SVG(paths, figure.Options{})
	const same = "paths.svg is as kept"
	if got := kept("paths.svg", svg); got != same {
		t.Fatal(got)
	}
	for _, c := range []struct {
		was, is string
		same    bool
	}{
		{"string plane", "strung plane", false},
		{"<path", "<path class=\"x\"", false},
		{`width="480"`, `width="480.1"`, true},
		{`width="480"`, `width="480.3"`, false},
	} {
		changed := bytes.Replace(svg, []byte(c.was), []byte(c.is), 1)
		if bytes.Equal(changed, svg) {
			t.Fatalf("there is no %q", c.was)
		}
		if got := kept("paths.svg", changed) == same; got != c.same {
			t.Errorf("%q for %q: as kept is %t, want %t", c.is, c.was, got, c.same)
		}
	}
	files, err := filepath.Glob("testdata/*.svg")
	if err != nil {
		t.Fatal(err)
	}
	all := variants()
	for name, f := range drawn {
		all[name] = f
	}
	for _, file := range files {
		name := filepath.Base(file[:len(file)-len(".svg")])
		if all[name] == nil {
			t.Errorf("%s belongs to no figure", file)
		}
		delete(all, name)
	}
	for name := range all {
		t.Errorf("there is no testdata/%s.svg", name)
	}
}

// TestVariants holds what the Examples do not show: a figure for another view,
// for fewer strokes, for shaky film, for nothing.
func TestVariants(t *testing.T) {
	for name, f := range variants() {
		if got := kept(name+".svg", figure.SVG(f, figure.Options{})); got != name+".svg is as kept" {
			t.Error(got)
		}
	}
}
