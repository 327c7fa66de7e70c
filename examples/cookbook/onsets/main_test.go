package main

import (
	"bytes"
	"encoding/csv"
	"errors"
	"flag"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/cli"
)

// write puts a file into a new folder and returns its name.
func write(t *testing.T, name string, data []byte) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(file, data, 0o666); err != nil {
		t.Fatal(err)
	}
	return file
}

// rows reads a table as its users do.
func rows(t *testing.T, text string) (times, levels []float64) {
	t.Helper()
	all, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || len(all) == 0 || strings.Join(all[0], ",") != "time_s,level_db" {
		t.Fatalf("no table: %v\n%s", err, text)
	}
	for _, r := range all[1:] {
		time, err1 := strconv.ParseFloat(r[0], 64)
		level, err2 := strconv.ParseFloat(r[1], 64)
		if err1 != nil || err2 != nil || level > 3 || level < -90 {
			t.Fatalf("line %v", r)
		}
		times, levels = append(times, time), append(levels, level)
	}
	return times, levels
}

func TestFile(t *testing.T) {
	r := typical
	r.seconds, r.codec, r.gain = 3, 15000, 0.2
	x, truth := r.play()
	file := write(t, "lesson.wav", encode(x, r.rate))

	var out bytes.Buffer
	if err := run([]string{file}, &out); err != nil {
		t.Fatal(err)
	}
	printed := out.String()
	times, _ := rows(t, printed)
	both := 0
	for _, m := range pairs(truth, times) {
		if m >= 0 {
			both++
		}
	}
	if f1 := score(len(truth), len(times), both); f1 < 0.98 {
		t.Errorf("F1 %.3f", f1)
	}
	for i := 1; i < len(times); i++ {
		if times[i]-times[i-1] < 0.02 {
			t.Errorf("onsets at %v and %v s", times[i-1], times[i])
		}
	}

	// To a file, shifted, and not over one that is there.
	table := filepath.Join(t.TempDir(), "lesson.onsets.csv")
	out.Reset()
	if err := run([]string{"-shift", "-0.35", file, "-out", table}, &out); err != nil {
		t.Fatal(err)
	}
	if !regexp.MustCompile(`lesson\.onsets\.csv: \d+ onsets in 4\.5 s of sound\n$`).MatchString(out.String()) {
		t.Errorf("summary %q", out.String())
	}
	data, err := os.ReadFile(table)
	if err != nil {
		t.Fatal(err)
	}
	shifted, _ := rows(t, string(data))
	if len(shifted) != len(times) {
		t.Fatalf("%d and %d onsets", len(shifted), len(times))
	}
	for i := range times {
		if math.Abs(shifted[i]-times[i]+0.35) > 2e-4 {
			t.Errorf("onset %d at %v, shifted %v", i, times[i], shifted[i])
		}
	}
	if err := run([]string{"-out", table, file}, &out); cli.Code(err) != cli.BadInput || !strings.Contains(err.Error(), "-force") {
		t.Errorf("over a file: %v", err)
	}
	if err := run([]string{"-out", table, "-force", file}, &out); err != nil {
		t.Errorf("with -force: %v", err)
	}
	if data, _ := os.ReadFile(table); string(data) != printed {
		t.Error("the file has another table than is printed")
	}

	// A higher -rise and a wider -gap leave fewer.
	for _, flags := range [][]string{{"-rise", "12"}, {"-gap", "0.25"}} {
		out.Reset()
		if err := run(append(flags, file), &out); err != nil {
			t.Fatal(err)
		}
		if fewer, _ := rows(t, out.String()); len(fewer) >= len(times) {
			t.Errorf("%v: %d onsets of %d", flags, len(fewer), len(times))
		}
	}
}

func TestSilentAndClipped(t *testing.T) {
	table := filepath.Join(t.TempDir(), "out.csv")
	var out bytes.Buffer
	silent := write(t, "silent.wav", encode(make([]float64, 44100), 44100))
	if err := run([]string{"-out", table, silent}, &out); err != nil || !strings.Contains(out.String(), "0 onsets in 1.0 s") || !strings.Contains(out.String(), "right file") {
		t.Errorf("silence: %v, %q", err, out.String())
	}
	r := typical
	r.seconds, r.gain = 1, 5
	x, _ := r.play()
	out.Reset()
	if err := run([]string{"-out", table, "-force", write(t, "loud.wav", encode(x, r.rate))}, &out); err != nil || !strings.Contains(out.String(), "clipped") {
		t.Errorf("clipped: %v, %q", err, out.String())
	}
}

func TestBadUse(t *testing.T) {
	dir := t.TempDir()
	for _, c := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"a.wav", "b.wav"}, cli.BadUsage, "b.wav"},
		{[]string{"-rise", "0", "a.wav"}, cli.BadUsage, "-rise"},
		{[]string{"-rise", "NaN", "a.wav"}, cli.BadUsage, "-rise"},
		{[]string{"-gap", "-1", "a.wav"}, cli.BadUsage, "-gap"},
		{[]string{"-lowest", "1e9", "a.wav"}, cli.BadUsage, "-lowest"},
		{[]string{"-shift", "Inf", "a.wav"}, cli.BadUsage, "-shift"},
		{[]string{"-shift", "x", "a.wav"}, cli.BadUsage, "shift"},
		{[]string{"-lowest", "3500", write(t, "low.wav", encode(make([]float64, 9000), 8000))}, cli.BadInput, "lowest octave"},
		{[]string{filepath.Join(dir, "none.wav")}, cli.BadInput, "none.wav"},
		{[]string{dir}, cli.BadInput, "regular"},
		{[]string{write(t, "text.wav", []byte("time,x,y\n0,1,2\n"))}, cli.BadInput, "no WAV file"},
		{[]string{write(t, "cut.wav", encode(make([]float64, 900), 44100)[:300])}, cli.BadInput, "at byte 36"},
	} {
		table := filepath.Join(dir, "table.csv")
		var out bytes.Buffer
		err := run(append([]string{"-out", table}, c.args...), &out)
		if cli.Code(err) != c.code || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%v: code %d, %v; want %d with %q", c.args, cli.Code(err), err, c.code, c.says)
		}
		if _, err := os.Stat(table); !errors.Is(err, os.ErrNotExist) || out.Len() > 0 {
			t.Fatalf("%v: something is written", c.args)
		}
	}
}

func TestHelp(t *testing.T) {
	var out bytes.Buffer
	if err := run([]string{"-h"}, &out); !errors.Is(err, flag.ErrHelp) {
		t.Error(err)
	}
	for _, name := range []string{"rise", "gap", "lowest", "shift", "out", "force"} {
		if strings.Count(out.String(), "\n  -"+name) < 1 {
			t.Errorf("the help leaves out -%s", name)
		}
	}
}

func TestDemonstration(t *testing.T) {
	var out bytes.Buffer
	table := filepath.Join(t.TempDir(), "demo.csv")
	if err := run([]string{"-out", table}, &out); err != nil {
		t.Fatal(err)
	}
	text := out.String()
	if !strings.HasPrefix(text, "This sound is invented") {
		t.Error("it does not say that the sound is invented")
	}
	m := regexp.MustCompile(`(\d+) notes, (\d+) onsets, \d+ of them true: F1 (\d\.\d+)\nhalf of those within (\d+\.\d) ms`).FindStringSubmatch(text)
	if m == nil {
		t.Fatalf("no result:\n%s", text)
	}
	f1, _ := strconv.ParseFloat(m[3], 64)
	half, _ := strconv.ParseFloat(m[4], 64)
	if f1 < 0.98 || half > 1 {
		t.Errorf("F1 %v, half within %v ms", f1, half)
	}
	data, err := os.ReadFile(table)
	if err != nil {
		t.Fatal(err)
	}
	if times, _ := rows(t, string(data)); strconv.Itoa(len(times)) != m[2] {
		t.Errorf("%d onsets in the table, %s by the text", len(times), m[2])
	}
}
