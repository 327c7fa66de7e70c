package filter

// State runs a [Butterworth] filter over samples as they arrive. It lags by
// [Butterworth.Delay] samples. Its zero value passes samples unchanged; make
// a useful one with [Butterworth.Start].
type State struct {
	f              Butterworth
	x1, x2, y1, y2 float64
	running        bool
}

// Start returns a state that has seen no sample.
func (f Butterworth) Start() State { return State{f: f} }

// Push takes the next sample and returns the filtered one. The first sample is
// returned as it is: the state begins as if that value had stood for ever. Once a
// NaN is pushed all results are NaN: begin with a new state after a gap.
func (s *State) Push(x float64) float64 {
	if !s.running {
		s.running = true
		s.x1, s.x2, s.y1, s.y2 = x, x, x, x
		return x
	}
	if s.f.b0 == 0 {
		return x
	}
	y := (s.f.b0*x + s.f.b1*s.x1 + s.f.b2*s.x2 - s.f.a2*s.y2) - s.f.a1*s.y1
	s.x2, s.x1, s.y2, s.y1 = s.x1, x, s.y1, y
	return y
}
