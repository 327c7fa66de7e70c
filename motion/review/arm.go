package review

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"

	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// HandCarry is the carry of one tracked point of the arm or the hand.
type HandCarry struct {
	Landmark drive.Landmark
	// Point is its name in the export.
	Point string
	drive.Carry
}

// nearness orders the landmarks by how well their carry says what the arm
// brings to the hand.
var nearness = []drive.Landmark{
	drive.Wrist, drive.WristInner, drive.WristOuter, drive.Forearm,
	drive.Knuckle(1), drive.Knuckle(2), drive.Knuckle(3), drive.Knuckle(4), drive.Knuckle(5), drive.Knuckle(6), drive.Knuckle(7), drive.Knuckle(8), drive.Knuckle(9),
	drive.Elbow, drive.Shoulder, drive.PickBase,
}

// clean returns a tracked point without what is not a measurement, and as it came
// beside an error.
func (r *Review) clean(rec *trajectory.Recording, name string) (trajectory.Path, error) {
	p, ok := rec.Point(name)
	if !ok {
		return p, unknownPoint(rec, name)
	}
	q, edits, err := trajectory.Clean(trajectory.Path{}, p, r.Options.Clean)
	if err != nil {
		return p, err
	}
	r.Edits = append(r.Edits, edits...)
	return q, nil
}

// arm finds what carries the tip, from the landmarks that are tracked.
func (r *Review) arm(rec *trajectory.Recording) error {
	if len(r.Setup.Landmarks) == 0 {
		return nil
	}
	if r.Setup.LandmarkErrorMM > 0 && r.armFrame.Unit != "mm" {
		return &trajectory.DataError{Sample: -1, Time: math.NaN(), Rule: "landmark_error_mm is given, and nothing is known in millimetres",
			Hint: "give the distance between the marks too (distance_mm)"}
	}
	tip, err := r.armFrame.Place(trajectory.Placed{}, r.Clean)
	if err != nil {
		return err
	}
	points := map[drive.Landmark]trajectory.Placed{drive.Tip: tip}
	for _, l := range slices.Sorted(maps.Keys(r.Setup.Landmarks)) {
		name := r.Setup.Landmarks[l]
		if name == "" || l == drive.Tip {
			continue
		}
		path, err := r.clean(rec, name)
		var bad *trajectory.DataError
		if errors.As(err, &bad) && path.Len() > 0 {
			r.Notes = append(r.Notes, fmt.Sprintf("The point %q (%s) is left out: %s.", name, l, bad.Rule))
			continue
		}
		if err != nil {
			return err
		}
		if points[l], err = r.armFrame.Place(trajectory.Placed{}, path); err != nil {
			return err
		}
	}
	if r.Drive, err = drive.Analyze(points, r.Motion.Strokes, drive.Options{LandmarkError: r.Setup.LandmarkErrorMM}); err != nil {
		return err
	}
	for _, l := range nearness {
		if c, ok := r.Drive.Carries[l]; ok {
			r.Carries = append(r.Carries, HandCarry{Landmark: l, Point: points[l].Name, Carry: c})
		}
	}
	for i := range r.Spans {
		if len(r.Carries) > 0 {
			s := &r.Spans[i]
			s.Carry = r.Carries[0].Between(s.Start, s.End)
		}
	}
	return nil
}

// carry is that of the point nearest to the wrist.
func (r *Review) carry() estimate.Value[float64] {
	if len(r.Carries) == 0 {
		return estimate.Missing[float64]("no landmark", "carry", "no point of the hand or the arm is tracked (landmarks)")
	}
	return r.Carries[0].Value
}

// share returns the measure of what one joint contributes.
func share(j drive.Joint) func(*Review) estimate.Value[float64] {
	what := "drive from " + j.String()
	return func(r *Review) estimate.Value[float64] {
		s, why := r.shareOf(j)
		if s == nil {
			return estimate.Missing[float64](why.Code, what, why.Why)
		}
		return s.Value
	}
}

// shareOf returns the share of one joint by itself, or the reason why there is
// none.
func (r *Review) shareOf(j drive.Joint) (*drive.Share, *estimate.Absence) {
	switch {
	case r.Drive == nil:
		return nil, &estimate.Absence{Code: "no landmark", Why: "no point of the hand or the arm is tracked (landmarks)"}
	case r.Drive.Absent != nil:
		return nil, r.Drive.Absent
	}
	for i := range r.Drive.Shares {
		switch s := &r.Drive.Shares[i]; {
		case !slices.Contains(s.Joints, j):
		case len(s.Joints) > 1:
			return nil, &estimate.Absence{Code: "together", Why: s.Why}
		default:
			return s, nil
		}
	}
	return nil, &estimate.Absence{Code: "not seen", Why: "the landmarks do not show it"}
}

// leading is the share of strokes with the same leading joint.
func (r *Review) leading() estimate.Value[float64] {
	const what = "strokes led by the same joint"
	switch {
	case r.Drive == nil:
		return estimate.Missing[float64]("no landmark", what, "no point of the hand or the arm is tracked (landmarks)")
	case r.Drive.Absent != nil:
		return estimate.Missing[float64](r.Drive.Absent.Code, what, r.Drive.Absent.Why)
	}
	if l := r.Drive.Leading; l >= 0 && len(r.Drive.Shares[l].Joints) > 1 {
		return estimate.Missing[float64]("together", what, "what moves the tip most are several joints that cannot be told apart")
	}
	return r.Drive.SameLeading
}

// posture returns a measure of how the forearm lies.
func posture(what string, get func(drive.Posture) estimate.Value[circular.Angle]) func(*Review) estimate.Value[float64] {
	return func(r *Review) estimate.Value[float64] {
		switch {
		case r.Drive == nil:
			return estimate.Missing[float64]("no landmark", what, "no point of the hand or the arm is tracked (landmarks)")
		case r.Drive.Absent != nil:
			return estimate.Missing[float64](r.Drive.Absent.Code, what, r.Drive.Absent.Why)
		}
		return degrees(get(r.Drive.Posture))
	}
}
