package drive_test

import (
	"encoding/json"
	"testing"

	"github.com/plectrace/plectrace/motion/drive"
)

func TestText(t *testing.T) {
	for l := drive.Shoulder; l <= drive.Knuckle(9); l++ {
		b, err := json.Marshal(map[drive.Landmark]int{l: 1})
		if err != nil {
			t.Fatal(err)
		}
		var back map[drive.Landmark]int
		if err := json.Unmarshal(b, &back); err != nil || back[l] != 1 || l.String() == "" {
			t.Errorf("%s: %v, %v", b, back, err)
		}
	}
	for _, s := range []string{"toe", "knuckle_", "knuckle_0", "knuckle_10", "knuckle_01", "Tip"} {
		var l drive.Landmark
		if err := l.UnmarshalText([]byte(s)); err == nil {
			t.Errorf("%q is taken for %v", s, l)
		}
	}
	if drive.Knuckle(0) != 0 || drive.Knuckle(10) != 0 || drive.Landmark(99).String() != "" {
		t.Error("landmarks that there are not")
	}
	for _, j := range append([]drive.Joint{drive.JointUnknown}, allJoints...) {
		b, err := j.MarshalText()
		var back drive.Joint
		if err != nil || back.UnmarshalText(b) != nil || back != j {
			t.Errorf("%v comes back as %v", j, back)
		}
	}
	var j drive.Joint
	if j.UnmarshalText([]byte("knee")) == nil || drive.Joint(77).String() != "" {
		t.Error("joints that there are not")
	}
}
