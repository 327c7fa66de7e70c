package drive

import (
	"fmt"
	"strconv"
	"strings"
)

// Landmark is a tracked place on the arm, the hand or the pick. Its zero value
// is no landmark. As text, which serves as a key in files, it is "shoulder",
// "elbow", "wrist", "wrist_inner", "wrist_outer", "forearm", "pick_base",
// "tip", or "knuckle_1" and so on.
type Landmark int

const (
	landmarkUnknown Landmark = iota
	// Shoulder is the centre of the shoulder joint.
	Shoulder
	// Elbow is the centre of the elbow joint.
	Elbow
	// Wrist is the centre of the wrist joint. The middle between WristInner
	// and WristOuter stands for it when it is not given.
	Wrist
	// WristInner is the end of the forearm on the side of the thumb or the
	// palm, whichever mark was put there; WristOuter the one opposite.
	WristInner
	WristOuter
	// Forearm is any further point fixed to the forearm that lies off the line
	// from elbow to wrist.
	Forearm
	// PickBase is a point of the pick where the fingers hold it.
	PickBase
	// Tip is what the strokes were found on: the tip of the pick, or the point
	// tracked in its place.
	Tip
	knuckles // Knuckle(1) and on
)

// maxKnuckles is the number of points that the hand may have.
const maxKnuckles = 9

const landmarks = int(knuckles) + maxKnuckles

// Knuckle returns landmark i, from 1 to 9, of those fixed to the hand between
// the wrist and the fingers: knuckles, or any others on the back of the hand.
// Other i give the zero Landmark.
func Knuckle(i int) Landmark {
	if i < 1 || i > maxKnuckles {
		return landmarkUnknown
	}
	return knuckles + Landmark(i-1)
}

var landmarkNames = [knuckles]string{
	Shoulder: "shoulder", Elbow: "elbow", Wrist: "wrist", WristInner: "wrist_inner",
	WristOuter: "wrist_outer", Forearm: "forearm", PickBase: "pick_base", Tip: "tip",
}

const knucklePrefix = "knuckle_"

func (l Landmark) known() bool { return l > landmarkUnknown && int(l) < landmarks }

// String returns the name as it stands in files, "" for no landmark.
func (l Landmark) String() string {
	switch {
	case !l.known():
		return ""
	case l >= knuckles:
		return knucklePrefix + strconv.Itoa(int(l-knuckles)+1)
	}
	return landmarkNames[l]
}

// MarshalText implements encoding.TextMarshaler.
func (l Landmark) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

// UnmarshalText implements encoding.TextUnmarshaler. An unknown name is an
// error that lists the known ones; "" is the zero Landmark.
func (l *Landmark) UnmarshalText(b []byte) error {
	s := string(b)
	if n, ok := strings.CutPrefix(s, knucklePrefix); ok {
		if i, err := strconv.Atoi(n); err == nil && strconv.Itoa(i) == n && Knuckle(i).known() {
			*l = Knuckle(i)
			return nil
		}
	} else {
		for i, name := range landmarkNames {
			if name == s {
				*l = Landmark(i)
				return nil
			}
		}
	}
	return fmt.Errorf("unknown landmark %q: it is one of %s or knuckle_1 to knuckle_%d",
		s, strings.Join(landmarkNames[1:], ", "), maxKnuckles)
}

// Joint is what can move the tip. Its zero value is unknown.
type Joint int

const (
	JointUnknown Joint = iota
	// AtShoulder is the body and the upper arm: all that would still move the
	// tip if the elbow and every joint beyond it were locked.
	AtShoulder
	// AtElbow is the bending of the elbow.
	AtElbow
	// AtForearm is the rotation of the forearm about its own length.
	AtForearm
	// AtWrist is the bending of the wrist, in both of its directions.
	AtWrist
	// AtFingers is all that moves the tip against the hand: fingers, thumb and
	// the grip on the pick.
	AtFingers
)

var jointNames = [...]string{
	JointUnknown: "", AtShoulder: "shoulder", AtElbow: "elbow",
	AtForearm: "forearm rotation", AtWrist: "wrist", AtFingers: "fingers and grip",
}

// String returns "shoulder", "elbow", "forearm rotation", "wrist", "fingers
// and grip", or "" for unknown.
func (j Joint) String() string {
	if j < 0 || int(j) >= len(jointNames) {
		return ""
	}
	return jointNames[j]
}

// MarshalText implements encoding.TextMarshaler.
func (j Joint) MarshalText() ([]byte, error) { return []byte(j.String()), nil }

// UnmarshalText implements encoding.TextUnmarshaler.
func (j *Joint) UnmarshalText(b []byte) error {
	for i, name := range jointNames {
		if name == string(b) {
			*j = Joint(i)
			return nil
		}
	}
	return fmt.Errorf("unknown joint %q: it is one of %s", b, strings.Join(jointNames[1:], ", "))
}
