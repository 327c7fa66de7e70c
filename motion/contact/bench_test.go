package contact_test

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/contact"
)

func BenchmarkFind(b *testing.B) {
	m, p, s := simple(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := contact.Find(m, p, s, contact.Options{}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(m.Strokes)), "ns/stroke")
}

func BenchmarkMatchOnsets(b *testing.B) {
	rng := stream("contact/bench", 1)
	strokes := steady(2000)
	var on []contact.Onset
	for _, s := range strokes {
		if rng.Float64() < 0.97 {
			on = append(on, contact.Onset{Time: s.Middle() + 0.003*rng.NormFloat64()})
		}
	}
	for _, find := range []bool{false, true} {
		name := "lag known"
		if find {
			name = "lag sought"
		}
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := contact.MatchOnsets(strokes, nil, on, contact.MatchOptions{FindOffset: find}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkEdgeAngles(b *testing.B) {
	points, strokes, _, _ := pick{edge: 0.3, noise: 0.05, hz: 240}.film(1)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := contact.EdgeAngles(points[2:], strokes, nil); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSummaries(b *testing.B) {
	m, p, s := simple(b)
	c, err := contact.Find(m, p, s, contact.Options{})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if v := c.FollowThroughSpread(motion.Down); math.IsNaN(v.Value) {
			b.Fatal("no spread")
		}
	}
}
