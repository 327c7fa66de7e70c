// Onetake times parts of the main job, for ../onetake.py and ../length.py, and
// prints the seconds of each run as a JSON list.
//
//	onetake RUNS read|plain|review FILE SETTINGS
//
// Read is reading all points of an export. Plain is that with all points cleaned and
// placed in the instrument frame, and the strokes of the tip with their angles. Review
// is the main job without its page: a review and its three data files.
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

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "onetake:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	if len(args) != 4 {
		return fmt.Errorf("usage: onetake RUNS read|plain|review FILE SETTINGS")
	}
	runs, err := strconv.Atoi(args[0])
	if err != nil {
		return err
	}
	part, ok := map[string]func(*trajectory.Recording, review.Setup) error{"read": nothing, "plain": plain, "review": whole}[args[1]]
	if !ok {
		return fmt.Errorf("%s is no part of the job", args[1])
	}
	f, err := os.Open(args[3])
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
		// All points, as the other side does, not only those needed.
		o, _ := setup.Tracks(true)
		o.Points = nil
		rec, err := tracks.ReadFile(args[2], o)
		if err != nil {
			return err
		}
		if err := part(rec, setup); err != nil {
			return err
		}
		seconds = append(seconds, time.Since(start).Seconds())
	}
	return json.NewEncoder(os.Stdout).Encode(seconds)
}

func nothing(*trajectory.Recording, review.Setup) error { return nil }

// plain does what the other side does.
func plain(rec *trajectory.Recording, setup review.Setup) error {
	frame, err := trajectory.NewFrame(rec, setup.FrameOptions())
	if err != nil {
		return err
	}
	for _, p := range rec.Points {
		clean, _, err := trajectory.Clean(trajectory.Path{}, p, trajectory.CleanOptions{})
		if err != nil {
			return err
		}
		placed, err := frame.Place(trajectory.Placed{}, clean)
		if err != nil {
			return err
		}
		if p.Name != setup.Tip {
			continue
		}
		if _, err := motion.Analyze(placed, motion.Options{}); err != nil {
			return err
		}
	}
	return nil
}

func whole(rec *trajectory.Recording, setup review.Setup) error {
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
