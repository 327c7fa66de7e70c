package trajectory

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"
)

// The world has axes east, north and up. The player faces north, so the
// instrument's face does (out is north); the strings lie level and the
// highest-pitched one is nearest the floor (across is down). A right-handed
// player's neck points to their left, west; a left-handed one's to the east.
var (
	east  = [3]float64{1, 0, 0}
	west  = [3]float64{-1, 0, 0}
	north = [3]float64{0, 1, 0}
	south = [3]float64{0, -1, 0}
	up    = [3]float64{0, 0, 1}
	down  = [3]float64{0, 0, -1}
)

// film returns the picture coordinates of a place for a camera that looks in
// direction look, held level.
func film(place, look [3]float64, o Orientation) []float64 {
	right := cross(look, up)
	x, y := dot(place, right), -dot(place, up) // y grows downward
	if o.Mirrored {
		x = -x
	}
	if o.YUp {
		y = -y
	}
	return []float64{500 + 10*x, 300 + 10*y}
}

// TestSignsOfAPlayerFacingNorth films one and the same player from all sides,
// right- and left-handed, mirrored, with y up and down, and asks that a point
// out from the face, toward the treble side and toward the nut has positive
// coordinates on all of them.
func TestSignsOfAPlayerFacingNorth(t *testing.T) {
	bass, treble := scaled(up, 25), scaled(down, 25) // mm
	for bits := range 16 {
		o := Orientation{bits&1 != 0, bits&2 != 0, bits&4 != 0, bits&8 != 0}
		along := west
		if o.LeftHanded {
			along = east
		}
		point := plus(plus(scaled(down, 3), north, 7), along, 11)
		for _, c := range []struct {
			view View
			look [3]float64
		}{
			{EndOn, along}, // from behind the bridge
			{Front, south},
		} {
			look := c.look
			if o.FromNeck {
				if c.view == Front {
					continue
				}
				look = scaled(look, -1)
			}
			t.Run(fmt.Sprintf("%v %+v", c.view, o), func(t *testing.T) {
				p := film(point, look, o)
				rec := &Recording{T: []float64{0}, Points: []Path{{Name: "tip", T: []float64{0}, X: p[:1], Y: p[1:]}}}
				f, err := NewFrame(rec, FrameOptions{
					View: c.view, Orientation: o, DistanceMM: 50,
					Marks: Marks{Bass: Mark{At: film(bass, look, o)}, Treble: Mark{At: film(treble, look, o)}},
				})
				if err != nil {
					t.Fatal(err)
				}
				got, err := f.Place(Placed{}, rec.Points[0])
				if err != nil {
					t.Fatal(err)
				}
				within(t, "across", got.Across[0], 3, 1e-12)
				if c.view == Front {
					within(t, "along", got.Along[0], 11, 1e-12)
					if got.Out != nil {
						t.Error("a front view gives out")
					}
				} else {
					within(t, "out", got.Out[0], 7, 1e-12)
					if got.Along != nil {
						t.Error("an end-on view gives along")
					}
				}
			})
		}
		if o.YUp || o.FromNeck {
			continue // no matter in space
		}
		t.Run(fmt.Sprintf("3-d %+v", o), func(t *testing.T) {
			source := func(v [3]float64) []float64 {
				v = plus(v, [3]float64{100, -40, 900}, 1)
				if o.Mirrored { // left-handed axes: north, east, up
					v[0], v[1] = v[1], v[0]
				}
				return v[:]
			}
			p := source(point)
			rec := &Recording{Unit: "mm", T: []float64{0}, Points: []Path{{Name: "tip", T: []float64{0}, X: p[:1], Y: p[1:2], Z: p[2:]}}}
			f, err := NewFrame(rec, FrameOptions{Orientation: o, Marks: Marks{
				Bass: Mark{At: source(bass)}, Treble: Mark{At: source(treble)},
				Nut: []Mark{{At: source(plus(scaled(along, 600), up, 20))}, {At: source(plus(scaled(along, 600), down, 20))}},
			}})
			if err != nil {
				t.Fatal(err)
			}
			got, err := f.Place(Placed{}, rec.Points[0])
			if err != nil {
				t.Fatal(err)
			}
			within(t, "across", got.Across[0], 3, 1e-12)
			within(t, "along", got.Along[0], 11, 1e-12)
			within(t, "out", got.Out[0], 7, 1e-12)
		})
	}
}

func TestAxesToDraw(t *testing.T) {
	// The end-on film of the player facing north: across is down in the
	// picture and out to the right of it.
	rec := &Recording{Points: []Path{{Name: "tip"}}}
	marks := Marks{Bass: Mark{At: []float64{500, 275}}, Treble: Mark{At: []float64{500, 325}}}
	f, err := NewFrame(rec, FrameOptions{View: EndOn, Marks: marks})
	if err != nil {
		t.Fatal(err)
	}
	if got := [4][3]float64{f.Across(0), f.Out(0), f.Along(0), f.Origin(0)}; got != [4][3]float64{{0, 1}, {1, 0}, {}, {500, 300}} {
		t.Errorf("end-on axes %v", got)
	}
	f, err = NewFrame(rec, FrameOptions{View: Front, Marks: marks})
	if err != nil {
		t.Fatal(err)
	}
	if got := [3][3]float64{f.Across(0), f.Along(0), f.Out(0)}; got != [3][3]float64{{0, 1}, {1, 0}, {}} {
		t.Errorf("front axes %v", got)
	}
}

func TestOutwardWins(t *testing.T) {
	rec := &Recording{Points: []Path{{Name: "tip"}}}
	marks := Marks{Bass: Mark{At: []float64{500, 275}}, Treble: Mark{At: []float64{505, 325}}}
	for _, c := range []struct {
		o       FrameOptions
		x       float64 // sign of out toward the right of the picture
		noted   bool
		refused bool
	}{
		{FrameOptions{View: EndOn, Outward: Right}, 1, false, false},
		{FrameOptions{View: EndOn, Outward: Left}, -1, true, false},
		{FrameOptions{View: Oblique, Outward: Left}, -1, true, false},
		{FrameOptions{View: EndOn, Outward: Left, Orientation: Orientation{Mirrored: true}}, -1, false, false},
		{FrameOptions{View: EndOn, Outward: Up}, 0, false, true},
		{FrameOptions{View: EndOn, Outward: Down, Orientation: Orientation{YUp: true}}, 0, false, true},
	} {
		c.o.Marks = marks
		f, err := NewFrame(rec, c.o)
		if c.refused {
			dataError(t, err, "outward", "left or right")
			continue
		}
		if err != nil {
			t.Errorf("%+v: %v", c.o, err)
			continue
		}
		if f.Out(0)[0]*c.x <= 0 || (len(f.Notes) > 0) != c.noted {
			t.Errorf("%+v: out %v, notes %q", c.o, f.Out(0), f.Notes)
		}
	}
	// In a front view neither says anything, and the frame says so.
	f, err := NewFrame(rec, FrameOptions{View: Front, Outward: Left, Orientation: Orientation{FromNeck: true}, Marks: marks})
	if err != nil || len(f.Notes) != 2 || f.Along(0)[0] <= 0 {
		t.Errorf("front view: %v, notes %q", err, f.Notes)
	}
	// Up and down, with y growing either way.
	for _, yUp := range []bool{false, true} {
		f, err := NewFrame(rec, FrameOptions{View: EndOn, Outward: Up, Orientation: Orientation{YUp: yUp},
			Marks: Marks{Bass: Mark{At: []float64{475, 300}}, Treble: Mark{At: []float64{525, 300}}}})
		if err != nil {
			t.Fatal(err)
		}
		if up := f.Out(0)[1] > 0; up != yUp {
			t.Errorf("y up %v: out is %v", yUp, f.Out(0))
		}
	}
}

func TestNames(t *testing.T) {
	type named struct {
		View View
		Side Side
		Rule Rule
		Mark Mark
		Nut  []Mark
	}
	in := named{Spatial, Left, StraightFill, Mark{Point: "bridge"}, []Mark{{At: []float64{1, 2, 3}}}}
	text, err := json.Marshal(in)
	if err != nil {
		t.Fatal(err)
	}
	const want = `{"View":"3-d","Side":"left","Rule":"straight-line fill","Mark":"bridge","Nut":[[1,2,3]]}`
	if string(text) != want {
		t.Errorf("got %s, want %s", text, want)
	}
	var out named
	if err := json.Unmarshal(text, &out); err != nil || fmt.Sprint(out) != fmt.Sprint(in) {
		t.Errorf("read back %v, %v", out, err)
	}
	for _, bad := range []string{
		`{"View":"side-on"}`, `{"Side":"outward"}`, `{"Rule":"?"}`, `{"Mark":[1]}`, `{"Mark":{"x":1}}`, `{"Mark":[1,2,3,4]}`, `{"Mark":["a","b"]}`,
	} {
		if err := json.Unmarshal([]byte(bad), &out); err == nil {
			t.Errorf("%s was read", bad)
		}
	}
	var o FrameOptions
	if err := json.Unmarshal([]byte(`{"view":"End-On","left_handed":true,"outward":"up","marks":{"bass":[10,20],"treble":"t"}}`), &o); err != nil ||
		o.View != EndOn || !o.LeftHanded || o.Outward != Up || o.Marks.Treble.Point != "t" || math.Abs(o.Marks.Bass.At[1]-20) > 0 {
		t.Errorf("options %+v, %v", o, err)
	}
	if s := View(9).String() + " " + Side(-1).String(); s != "unknown(9) unknown(-1)" {
		t.Error(s)
	}
}
