package trajectory

import "testing"

// minutes is ten minutes at 240 samples per second.
func minutes() (Path, *Recording) {
	p, _, _ := picking{fs: 240, rate: 9, length: 120, noise: 0.8, seconds: 600, seed: 1, bow: 0.05, search: 1.7, outliers: 0.002}.record()
	rec := &Recording{Unit: "px", T: p.T, Points: []Path{p}}
	for _, name := range []string{"bass", "treble"} {
		m, _, _ := picking{fs: 240, rate: 0.5, length: 20, noise: 0.8, seconds: 600, seed: 2}.record()
		m.Name = name
		for i := range m.Y {
			if name == "treble" {
				m.Y[i] += 500
			}
		}
		rec.Points = append(rec.Points, m)
	}
	return p, rec
}

func BenchmarkValidate(b *testing.B) {
	p, _ := minutes()
	b.ReportAllocs()
	for b.Loop() {
		if err := p.Validate(); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(3*p.Len()), "ns/sample/column")
}

func BenchmarkClean(b *testing.B) {
	p, _ := minutes()
	var dst Path
	b.ReportAllocs()
	for b.Loop() {
		var err error
		if dst, _, err = Clean(dst, p, CleanOptions{}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(p.Len()), "ns/sample")
}

func BenchmarkNewFrame(b *testing.B) {
	p, rec := minutes()
	o := FrameOptions{View: EndOn, Marks: tracked}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := NewFrame(rec, o); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(p.Len()), "ns/sample")
}

func BenchmarkPlace(b *testing.B) {
	p, rec := minutes()
	f, err := NewFrame(rec, FrameOptions{View: EndOn, Marks: tracked})
	if err != nil {
		b.Fatal(err)
	}
	var dst Placed
	b.ReportAllocs()
	for b.Loop() {
		if dst, err = f.Place(dst, p); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(p.Len()), "ns/sample")
}

func BenchmarkUniform(b *testing.B) {
	p, _ := minutes()
	uneven := clone(p)
	for i := range uneven.T {
		uneven.T[i] += 0.0002 * float64(i%7)
	}
	for _, c := range []struct {
		name string
		p    Path
	}{{"even", p}, {"uneven", uneven}} {
		b.Run(c.name, func(b *testing.B) {
			var dst Path
			b.ReportAllocs()
			for b.Loop() {
				var err error
				if dst, _, err = Uniform(dst, c.p, UniformOptions{}); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(p.Len()), "ns/sample")
		})
	}
}

func BenchmarkPrincipalAxis(b *testing.B) {
	p, _, _ := picking{fs: 240, rate: 9, length: 120, noise: 0.8, seconds: 1, seed: 1}.record()
	b.ReportAllocs()
	for b.Loop() {
		PrincipalAxis(p.X, p.Y)
	}
}
