package measured

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/motion/review"
)

// Named returns the measure of that name.
func Named(name string) (m review.Measure, ok bool) {
	all := review.Measures()
	if i := slices.IndexFunc(all, func(m review.Measure) bool { return m.Name == name }); i >= 0 {
		return all[i], true
	}
	return m, false
}

// Names reads names of measures joined by commas, as a flag has them. The error is
// one of usage.
func Names(flag, text string) ([]string, error) {
	if strings.TrimSpace(text) == "" {
		return nil, nil
	}
	var names []string
	for _, name := range strings.Split(text, ",") {
		name = strings.TrimSpace(name)
		if err := check(flag, name); err != nil {
			return nil, err
		}
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names, nil
}

// Margins reads NAME=VALUE joined by commas. The error is one of usage.
func Margins(flag, text string) (map[string]float64, error) {
	if strings.TrimSpace(text) == "" {
		return nil, nil
	}
	margins := map[string]float64{}
	for _, part := range strings.Split(text, ",") {
		name, value, ok := strings.Cut(strings.TrimSpace(part), "=")
		if !ok {
			return nil, cli.Usage(fmt.Errorf("%s: %q is not of the form NAME=VALUE", flag, part), "write, for example, "+flag+" notes_per_second=10")
		}
		if err := check(flag, name); err != nil {
			return nil, err
		}
		x, err := strconv.ParseFloat(value, 64)
		if err != nil || !(x > 0) || math.IsInf(x, 0) {
			return nil, cli.Usage(fmt.Errorf("%s: %q is not a number above zero", flag, value), "give the largest change that still counts as none")
		}
		margins[name] = x
	}
	return margins, nil
}

func check(flag, name string) error {
	if _, ok := Named(name); !ok {
		return cli.Usage(fmt.Errorf("%s: there is no measure %q", flag, name), "see their names with -measures")
	}
	return nil
}

// List prints the names of the measures with what they are.
func List(out io.Writer) {
	for _, m := range review.Measures() {
		unit := strings.ReplaceAll(m.Unit, "unit", "mm")
		switch {
		case m.Scale == review.Share:
			unit = "part of 1"
		case unit == "":
			unit = "no unit"
		}
		fmt.Fprintf(out, "%-34s %s (%s)\n", m.Name, m.Title, unit)
	}
}
