package trajectory

// Workspace is memory for cleaning and resampling one path after another, as a
// program does that looks at the last seconds of a stream again and again. Its zero
// value is ready for use. What it has room for it does without allocating, but for
// errors; it knows nothing of the paths before. The edits that it returns are in its
// memory, and so those of its next call from then on.
type Workspace struct {
	scratch scratch
	grid    grid
	out     [3][]float64
}

// Clean does what the function [Clean] does.
func (w *Workspace) Clean(dst, p Path, o CleanOptions) (Path, []Edit, error) {
	w.scratch.t = nil // the same memory may hold other times now
	return w.scratch.clean(dst, p, o)
}

// Uniform does what the function [Uniform] does for a placed path.
func (w *Workspace) Uniform(dst, p Placed, o UniformOptions) (Placed, []Edit, error) {
	t, edits, err := w.uniform(p.Name, p.T, [3][]float64{p.Across, p.Along, p.Out}, dst.T, [3][]float64{dst.Across, dst.Along, dst.Out}, o)
	if err != nil {
		return dst, nil, err
	}
	return Placed{Name: p.Name, T: t, Across: w.out[0], Along: w.out[1], Out: w.out[2], Unit: p.Unit}, edits, nil
}

// uniform leaves the columns in w.out, in the memory of out.
func (w *Workspace) uniform(name string, t []float64, in [3][]float64, dst []float64, out [3][]float64, o UniformOptions) ([]float64, []Edit, error) {
	g := &w.grid
	if err := g.begin(&w.scratch, name, t, o, dst); err != nil {
		return nil, nil, err
	}
	w.out = out
	g.fill(&w.out, in)
	return g.t, g.edits, nil
}
