// Onetake times the main job without its page, for ../onetake.py: reading an
// export, cleaning, placing, filtering, strokes, settling and the three data
// files. It prints the seconds of each run as a JSON list.
//
//	onetake RUNS FILE SETTINGS
package main

import (
	"encoding/json"
	"fmt"
	"io"
	"os"
	"runtime"
	"runtime/pprof"
	"strconv"
	"time"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "onetake:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	if len(args) != 3 {
		return fmt.Errorf("usage: onetake RUNS FILE SETTINGS")
	}
	runs, err := strconv.Atoi(args[0])
	if err != nil {
		return err
	}
	f, err := os.Open(args[2])
	if err != nil {
		return err
	}
	setup, err := review.ParseSetup(f)
	f.Close()
	if err != nil {
		return err
	}
	if profile := os.Getenv("CPUPROFILE"); profile != "" {
		p, err := os.Create(profile)
		if err != nil {
			return err
		}
		pprof.StartCPUProfile(p)
		defer pprof.StopCPUProfile()
	}
	var seconds []float64
	for range runs {
		runtime.GC()
		start := time.Now()
		if err := once(args[1], setup); err != nil {
			return err
		}
		seconds = append(seconds, time.Since(start).Seconds())
	}
	return json.NewEncoder(os.Stdout).Encode(seconds)
}

// once reads all points, as the other side does, not only those needed.
func once(name string, setup review.Setup) error {
	o, _ := setup.Tracks(true)
	o.Points = nil
	rec, err := tracks.ReadFile(name, o)
	if err != nil {
		return err
	}
	r, err := review.Run(rec, setup, review.Options{})
	if err != nil {
		return err
	}
	for _, write := range []func(io.Writer) error{r.WriteStrokes, r.WriteSpans, r.WriteJSON} {
		if err := write(io.Discard); err != nil {
			return err
		}
	}
	return nil
}
