package settling

import (
	"encoding/json"
	"fmt"
	"math"
)

// MarshalJSON returns the state of w: what it needs to go on. The options are not
// part of it.
func (w *Watch) MarshalJSON() ([]byte, error) {
	s := w.s
	s.Threads = s.Threads[:0]
	for k := range w.tracer.threads {
		h := &w.tracer.threads[k]
		kept := watchThread{Score: h.score, Start: h.start, Odd: h.odd, N: h.n}
		for d := range h.mean {
			for f, v := range h.mean[d] {
				if kept.Had[d][f] = v == v; v == v {
					kept.Mean[d][f] = v
				}
			}
		}
		s.Threads = append(s.Threads, kept)
	}
	return json.Marshal(s)
}

// UnmarshalJSON makes w, which NewWatch has made with the same options, go on
// from a state of [Watch.MarshalJSON]. On an error w is as it was.
func (w *Watch) UnmarshalJSON(b []byte) error {
	var s watchState
	if err := json.Unmarshal(b, &s); err != nil {
		return fmt.Errorf("settling: the state of a watch: %w", err)
	}
	if err := s.check(); err != nil {
		return fmt.Errorf("settling: the state of a watch: %w", err)
	}
	w.o = w.o.orDefault()
	w.begin()
	w.s.Strokes = append(w.s.Strokes, s.Strokes...)
	for _, h := range s.Threads {
		t := thread{score: h.Score, start: h.Start, odd: h.Odd, n: h.N, mean: h.Mean}
		for d := range h.Had {
			for f, had := range h.Had[d] {
				if !had {
					t.mean[d][f] = math.NaN()
				}
			}
		}
		w.tracer.threads = append(w.tracer.threads, t)
	}
	strokes, threads := w.s.Strokes, w.s.Threads
	w.s = s
	w.s.Strokes, w.s.Threads = strokes, threads
	for at := range w.s.Strokes {
		w.load(at)
	}
	return nil
}

// check reports what no watch can have been in.
func (s *watchState) check() error {
	if s.N < 0 || len(s.Strokes) != min(s.N, watched) {
		return fmt.Errorf("%d strokes are kept of %d", len(s.Strokes), s.N)
	}
	if len(s.Threads) > beam {
		return fmt.Errorf("%d hypotheses, at most %d", len(s.Threads), beam)
	}
	last := math.Inf(-1)
	for i := max(0, s.N-watched); i < s.N; i++ {
		k := &s.Strokes[i%watched]
		if !(k.End > k.Start) || !(k.Start >= last) {
			return fmt.Errorf("stroke %d goes from %g to %g s", i, k.Start, k.End)
		}
		last = k.Start
	}
	for _, h := range s.Threads {
		if h.Start < 0 || h.Start >= s.N || h.Odd < 0 || h.Odd > 2 || min(h.N[0], h.N[1]) < 0 || max(h.N[0], h.N[1]) > watchMemory {
			return fmt.Errorf("a hypothesis is %+v", h)
		}
	}
	return nil
}
