package main

import (
	"encoding/binary"
	"flag"
	"math"
	"os"
	"testing"

	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

var writeHand = flag.Bool("write-hand", false, "write testdata/hand.c3d anew")

// TestHand: the bundled file is the arm that package simulate makes. After a change of
// that which is meant:
//
//	go test ./examples/cookbook/c3d -run Hand -write-hand
func TestHand(t *testing.T) {
	take, err := simulate.Make(simulate.Options{
		Seed: 8, Duration: 2, Rate: 6, PathAngle: 12 * circular.Degree, View: trajectory.Spatial, FrameRate: 120, Arm: true, DropOuts: 0.02, HideDown: 0.2,
	})
	if err != nil {
		t.Fatal(err)
	}
	var points []trajectory.Path
	for _, name := range []string{"tip", "knuckle_1", "wrist", "elbow"} {
		p, ok := take.Recording.Point(name)
		if !ok {
			t.Fatalf("the take has no %s", name)
		}
		points = append(points, p)
	}
	made := encode(points, "wrist_angle", 120, 361)
	if *writeHand {
		if err := os.WriteFile("testdata/hand.c3d", made, 0o666); err != nil {
			t.Fatal(err)
		}
		return
	}
	if len(made) != len(hand) {
		t.Fatalf("testdata/hand.c3d has %d bytes, %d are made: see the comment above", len(hand), len(made))
	}
	different := 0
	for i := range made {
		if made[i] != hand[i] { // another processor rounds a few differently
			different++
		}
	}
	if different > 40 {
		t.Errorf("testdata/hand.c3d differs in %d bytes from what is made: see the comment above", different)
	}
}

// encode writes points as a C3D file of an Intel machine, with integers of 1/32 of a
// millimetre, and beside them an angle, which is no position: header, parameters and
// frames by the user guide of the format (c3d.org).
func encode(points []trajectory.Path, angle string, rate float32, first int) []byte {
	le := binary.LittleEndian
	frames, n := points[0].Len(), len(points)+1
	const scale = 1.0 / 32

	params := []byte{0, 0, 0, 84}
	params = append(append(params, 5, 0xff), "POINT"...)
	params = append(params, 3, 0, 0)
	add := func(name string, kind byte, dims, data []byte) {
		params = append(append(params, byte(len(name)), 1), name...)
		params = le.AppendUint16(params, uint16(5+len(dims)+len(data)))
		params = append(append(params, kind, byte(len(dims))), dims...)
		params = append(append(params, data...), 0)
	}
	text := func(name string, all ...string) {
		const width = 12
		var data []byte
		for _, s := range all {
			data = append(data, (s + "            ")[:width]...)
		}
		add(name, 0xff, []byte{width, byte(len(all))}, data)
	}
	labels := []string{}
	for _, p := range points {
		labels = append(labels, p.Name)
	}
	add("USED", 2, nil, le.AppendUint16(nil, uint16(n)))
	add("SCALE", 4, nil, le.AppendUint32(nil, math.Float32bits(scale)))
	add("RATE", 4, nil, le.AppendUint32(nil, math.Float32bits(rate)))
	add("DATA_START", 2, nil, []byte{3, 0})
	add("FRAMES", 2, nil, le.AppendUint16(nil, uint16(frames)))
	text("LABELS", append(labels, angle)...)
	text("ANGLES", angle)
	text("UNITS", "mm")
	params[2] = 1 // block

	b := []byte{2, 0x50}
	for _, v := range []int{n, 0, first, first + frames - 1, 0} {
		b = le.AppendUint16(b, uint16(v))
	}
	b = le.AppendUint32(b, math.Float32bits(scale))
	b = le.AppendUint16(le.AppendUint16(b, 3), 0)
	b = le.AppendUint32(b, math.Float32bits(rate))
	b = append(b, make([]byte, 512-len(b))...)
	b = append(append(b, params...), make([]byte, 512-len(params))...)
	for i := range frames {
		for _, p := range points {
			if math.IsNaN(p.X[i]) {
				b = append(b, 0, 0, 0, 0, 0, 0, 0xff, 0xff)
				continue
			}
			for _, v := range []float64{p.X[i], p.Y[i], p.Z[i]} {
				b = le.AppendUint16(b, uint16(int16(math.Round(v/scale))))
			}
			b = append(b, 1, 1)
		}
		b = append(b, byte(i), 0, 0, 0, 0, 0, 1, 1) // the angle
	}
	return append(b, make([]byte, (512-len(b)%512)%512)...)
}
