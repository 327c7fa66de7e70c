// Readtracks reads an export some times and prints, as JSON, the seconds that
// each reading took, the peak of the resident memory and what was allocated in
// a reading. It is the half of readtracks.py that is written in Go.
package main

import (
	"encoding/json"
	"fmt"
	"os"
	"runtime"
	"strconv"
	"strings"
	"time"

	"github.com/plectrace/plectrace/trajectory/tracks"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(args []string) error {
	if len(args) != 2 {
		return fmt.Errorf("usage: readtracks FILE TIMES")
	}
	n, err := strconv.Atoi(args[1])
	if err != nil {
		return err
	}
	var out struct {
		Seconds     []float64 `json:"seconds"`
		Rows        int       `json:"rows"`
		Sum         float64   `json:"sum"` // of the x of the first point, to compare
		PeakMB      float64   `json:"peak_mb"`
		AllocatedMB float64   `json:"allocated_mb"`
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	for range n {
		start := time.Now()
		rec, err := tracks.ReadFile(args[0], tracks.Options{})
		if err != nil {
			return err
		}
		out.Seconds = append(out.Seconds, time.Since(start).Seconds())
		out.Rows, out.Sum = len(rec.T), 0
		for _, x := range rec.Points[0].X {
			out.Sum += x
		}
	}
	runtime.ReadMemStats(&after)
	out.AllocatedMB = float64(after.TotalAlloc-before.TotalAlloc) / float64(n) / 1e6
	out.PeakMB = peak()
	return json.NewEncoder(os.Stdout).Encode(out)
}

// peak returns the peak of the resident memory in MB, 0 where the system does
// not tell.
func peak() float64 {
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		return 0
	}
	for line := range strings.Lines(string(status)) {
		if f := strings.Fields(line); len(f) == 3 && f[0] == "VmHWM:" {
			kb, _ := strconv.ParseFloat(f[1], 64)
			return kb * 1024 / 1e6
		}
	}
	return 0
}
