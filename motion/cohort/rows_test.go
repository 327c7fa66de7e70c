package cohort

import (
	"bytes"
	"encoding/csv"
	"io"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/variability/estimate"
)

func TestRowsRoundTrip(t *testing.T) {
	columns := []string{"class", "=Years played"}
	full := record("P01", 3, map[string]float64{"length": 10.123456789, "settled_share": 0})
	full.Session, full.Take.Take, full.StoppedBy, full.Grip, full.Comfort = "2", "1", "timer", "flat, \"soft\"", progress.ComfortTired
	full.Date = time.Date(2026, 1, 3, 17, 30, 0, 0, time.UTC)
	full.Extra, full.Flags = []string{"=monday; late", ""}, []string{"lost", "px"}
	full.Rows = append(full.Rows,
		Row{"carry", "", estimate.Missing[float64]("no landmark", "carry", "no point of the arm was tracked, so \"nothing\"")},
		Row{"curvature", "1/mm", estimate.Value[float64]{Value: -1e-7, Low: math.NaN(), High: math.NaN(), N: 5}},
		Row{"skew_deg", "degrees", estimate.Value[float64]{}})
	bare := &Record{Take: progress.Take{Player: "@P02", File: "x.csv", Extra: []string{"", "-5"}}, Lost: math.NaN(), SampleHz: math.NaN(), PerStroke: math.NaN(),
		Failure: &estimate.Absence{Code: CodeBroken, What: "x.csv", Why: "-nan: not a number"}}
	last := record("P02", 4, map[string]float64{"length": 9})
	last.Extra = []string{"", ""}
	want := []*Record{full, bare, last}

	var b bytes.Buffer
	w, err := NewRowWriter(&b, columns, false)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range want {
		if err := w.Write(r); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	text := b.String()
	for _, guarded := range []string{",'=Years played,", "'=monday; late", "\n'@P02,", ",-5,", ",'-nan: not", ",-1e-07,"} { // for spreadsheets
		if !strings.Contains(text, guarded) {
			t.Errorf("there is no %q in\n%s", guarded, text)
		}
	}
	in, err := NewRowReader(&b, "rows.csv")
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(columns, in.Columns); diff != "" {
		t.Error(diff)
	}
	var got []*Record
	for {
		r, err := in.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		got = append(got, r)
	}
	// Six digits are kept. An absent value says what it is of by its measure.
	sixDigits := cmp.Comparer(func(a, b float64) bool { return a == b || a != a && b != b || math.Abs(a-b) <= 5e-6*math.Abs(a) })
	what := cmpopts.IgnoreFields(estimate.Absence{}, "What")
	if diff := cmp.Diff(want, got, sixDigits, what, cmpopts.EquateEmpty()); diff != "" {
		t.Errorf("read back (-want +got):\n%s", diff)
	}

	lines, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if n := len(lines); n != 1+5+1+1 {
		t.Errorf("%d lines", n)
	}
	for i, name := range lines[0] {
		if name == "estimate" && (lines[2][i] != "10.1235" || lines[3][i] != "" || lines[6][i] != "") {
			t.Errorf("estimates %q, %q, %q", lines[2][i], lines[3][i], lines[6][i])
		}
	}
	if _, err := NewRowWriter(io.Discard, []string{"Level"}, false); err == nil || !strings.Contains(err.Error(), "rename") {
		t.Errorf("a further column named as one of the rows': %v", err)
	}
}

func TestRowErrors(t *testing.T) {
	var b bytes.Buffer
	w, _ := NewRowWriter(&b, nil, false)
	if err := w.Write(record("P01", 3, map[string]float64{"length": 10, "settled_share": 0.5})); err != nil {
		t.Fatal(err)
	}
	w.Flush()
	good := b.String()
	for _, c := range []struct{ name, text, want string }{
		{"empty", "", "rows.csv: the file is empty"},
		{"not rows", "a,b\n1,2\n", `rows.csv, line 1: there is no column "view"`},
		{"number", strings.Replace(good, ",10,9,11,", ",ten,9,11,", 1), `estimate is "ten"`},
		{"infinity", strings.Replace(good, ",10,9,11,", ",10,9,Inf,", 1), `high is "Inf"`},
		{"no reason", strings.Replace(good, ",10,9,11,0.95,99,", ",,,,,,", 1), "no reason is given"},
		{"strokes", strings.ReplaceAll(good, ",20,200,", ",20,-1,"), `strokes is "-1"`},
		{"cut", good[:len(good)-20], "wrong number of fields"},
		{"the reason without a measure", strings.Replace(good, "length,mm,10,9,11,0.95,99,,,", ",,,,,,,,not measured,", 1), "EOF"},
		{"date", strings.ReplaceAll(good, "2026-01-03", "3.1.26"), "not a day"},
	} {
		in, err := NewRowReader(strings.NewReader(c.text), "rows.csv")
		for err == nil {
			_, err = in.Read()
		}
		if (err == io.EOF) != (c.want == "EOF") || !strings.Contains(err.Error(), c.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
	in, err := NewRowReader(strings.NewReader(good[:strings.Index(good, "\n")+1]), "rows.csv")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := in.Read(); err != io.EOF {
		t.Errorf("a header alone: %v", err)
	}
}
