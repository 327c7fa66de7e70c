package review

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/trajectory"
)

// Capture is what may be said about the camera, the strings and further points
// of a take. All of it may be left out: what then cannot be had is absent with
// its reason, or has a wider interval.
type Capture struct {
	// Card holds the four corners of a bank or library card that stood upright
	// across the strings at the picking spot. It takes the place of the marks.
	Card SetupCard `json:"card,omitzero"`
	// PicturePX is the width and the height of the picture in pixels, FocalPX
	// the lens's focal length in pixels: they tell raise better from a card.
	PicturePX [2]float64 `json:"picture_px,omitzero"`
	FocalPX   float64    `json:"focal_px,omitempty"`
	// RaiseDeg is how far the camera looks down on the string plane, in
	// degrees, and RaiseErrorDeg its standard error (zero means 3). A card
	// tells it too; without either it is taken to lie between 0 and 25 degrees.
	RaiseDeg      *float64 `json:"raise_deg,omitempty"`
	RaiseErrorDeg float64  `json:"raise_error_deg,omitempty"`
	// SkewDeg is the player's skew, as the review of a front-on take tells it,
	// and SkewErrorDeg its standard error (zero means 3).
	SkewDeg      *float64 `json:"skew_deg,omitempty"`
	SkewErrorDeg float64  `json:"skew_error_deg,omitempty"`

	// TouchS is a time at which the tip rests on string TouchString, in
	// seconds of the film as it plays; string 1 is the highest-pitched. It
	// gives heights their zero, whatever point is tracked.
	TouchS      *float64 `json:"touch_s,omitempty"`
	TouchString int      `json:"touch_string,omitempty"`

	// StringCount is the number of strings, or of pairs of them, with PairGapMM
	// between the two of a pair. They lie evenly spaced between the marks, which
	// then lie on the outer ones; with StringSpacingMM they lie about the middle
	// of the marks.
	StringCount     int     `json:"string_count,omitempty"`
	PairGapMM       float64 `json:"pair_gap_mm,omitempty"`
	StringSpacingMM float64 `json:"string_spacing_mm,omitempty"`
	// StringPlayed is the string that the take is played on, where it is one.
	StringPlayed int `json:"string_played,omitempty"`
	// CrownRadiusMM is the radius to which the fingerboard is crowned; negative
	// when it is flat, zero unknown.
	CrownRadiusMM float64 `json:"crown_radius_mm,omitempty"`

	// OnsetLagS is by how much the sound lags behind the film, in seconds, where
	// that is known; otherwise it is found from the onsets, up to 0.1.
	OnsetLagS *float64 `json:"onset_lag_s,omitempty"`

	// ExposureS is the time for which a frame is exposed, in seconds.
	ExposureS float64 `json:"exposure_s,omitempty"`
	// TempoBPM is a tempo heard on the film, and TempoNote the note value of a
	// stroke in it ("16" when empty). It checks the time base.
	TempoBPM  float64          `json:"tempo_bpm,omitempty"`
	TempoNote *tempo.NoteValue `json:"tempo_note,omitempty"`
	// ClickS is the time of one click of that tempo's metronome, in seconds of the
	// list of onsets: with both, the player is early or late.
	ClickS *float64 `json:"click_s,omitempty"`

	// Landmarks names tracked points of the arm and the hand.
	Landmarks map[drive.Landmark]string `json:"landmarks,omitempty"`
	// LandmarkErrorMM is how far a landmark may slide against the bone in step
	// with the stroke; zero means what the landmarks themselves show, negative
	// not at all.
	LandmarkErrorMM float64 `json:"landmark_error_mm,omitempty"`
	// PickPoints names two tracked points on the pick's flat, or three: see
	// contact.EdgeAngles for which.
	PickPoints []string `json:"pick_points,omitempty"`
}

// SetupCard is the card of a Capture.
type SetupCard struct {
	// Corners are, in this order, the foot on the bass side, the foot on the
	// treble side, the top on the treble side and the top on the bass side.
	Corners []trajectory.Mark `json:"corners,omitempty"`
	// ShortEdge says that it stood on its short edge.
	ShortEdge bool `json:"short_edge,omitempty"`
}

// IsZero reports whether there is no card.
func (c SetupCard) IsZero() bool { return len(c.Corners) == 0 }

// validate reports what cannot be.
func (c Capture) validate() error {
	bad := func(what, hint string) error {
		return &trajectory.DataError{Sample: -1, Time: math.NaN(), Rule: what, Hint: hint}
	}
	for _, q := range []struct {
		name, hint string
		x          float64
	}{
		{"focal_px", "give the focal length in pixels", c.FocalPX},
		{"raise_error_deg", "give a standard error in degrees", c.RaiseErrorDeg},
		{"skew_error_deg", "give a standard error in degrees", c.SkewErrorDeg},
		{"string_spacing_mm", "give the distance between neighbouring strings in millimetres", c.StringSpacingMM},
		{"pair_gap_mm", "give the distance between the two strings of a pair in millimetres, 0 for single strings", c.PairGapMM},
		{"exposure_s", "give the exposure of a frame in seconds, 0.001 for 1/1000", c.ExposureS},
		{"tempo_bpm", "give beats a minute", c.TempoBPM},
		{"picture_px", "give the picture's width and height in pixels", min(c.PicturePX[0], c.PicturePX[1])},
	} {
		if !(q.x >= 0) || math.IsInf(q.x, 0) {
			return bad(fmt.Sprintf("%s is %g", q.name, q.x), q.hint)
		}
	}
	degrees := func(name string, x *float64, low, high float64) error {
		if x != nil && !(*x >= low && *x <= high) {
			return bad(fmt.Sprintf("%s is %g", name, *x), fmt.Sprintf("give degrees between %g and %g", low, high))
		}
		return nil
	}
	if err := degrees("raise_deg", c.RaiseDeg, -10, 45); err != nil {
		return err
	}
	if err := degrees("skew_deg", c.SkewDeg, -60, 60); err != nil {
		return err
	}
	switch n := len(c.Card.Corners); {
	case n != 0 && n != 4:
		return bad(fmt.Sprintf("the card has %d corners", n), "give four: foot on the bass side, foot on the treble side, top on the treble side, top on the bass side (card)")
	case n != 0 && c.RaiseDeg != nil:
		return bad("raise_deg is given beside a card, which tells the raise itself", "leave one of them out")
	case c.StringCount < 0 || c.StringCount > 40:
		return bad(fmt.Sprintf("string_count is %d", c.StringCount), "give the number of strings, or of pairs")
	case c.StringPlayed < 0 || c.StringCount > 0 && c.StringPlayed > c.StringCount:
		return bad(fmt.Sprintf("string_played is %d of %d strings", c.StringPlayed, c.StringCount), "string 1 is the highest-pitched")
	case c.TouchString < 0 || c.StringCount > 0 && c.TouchString > c.StringCount:
		return bad(fmt.Sprintf("touch_string is %d of %d strings", c.TouchString, c.StringCount), "string 1 is the highest-pitched")
	case c.TouchS != nil && !(*c.TouchS >= 0 && !math.IsInf(*c.TouchS, 0)):
		return bad(fmt.Sprintf("touch_s is %g", *c.TouchS), "give the time at which the tip rests on a string, in seconds of the film as it plays")
	case math.IsNaN(c.CrownRadiusMM) || math.IsInf(c.CrownRadiusMM, 0) || c.CrownRadiusMM > 0 && c.CrownRadiusMM < 50:
		return bad(fmt.Sprintf("crown_radius_mm is %g", c.CrownRadiusMM), "give the fingerboard's radius in millimetres, 305 for 12 inches; negative when it is flat")
	case len(c.PickPoints) == 1 || len(c.PickPoints) > 3:
		return bad(fmt.Sprintf("pick_points names %d points", len(c.PickPoints)), "name two points on the pick's flat, or three")
	case math.IsNaN(c.LandmarkErrorMM) || math.IsInf(c.LandmarkErrorMM, 0):
		return bad(fmt.Sprintf("landmark_error_mm is %g", c.LandmarkErrorMM), "give how far a landmark may slide over the bone in millimetres, negative when they do not slide")
	case c.OnsetLagS != nil && !(math.Abs(*c.OnsetLagS) <= 3600):
		return bad(fmt.Sprintf("onset_lag_s is %g", *c.OnsetLagS), "give by how many seconds the sound lags behind the film, negative when it runs ahead")
	case c.TouchS == nil && c.TouchString != 0:
		return bad("touch_string is given without the time of the touch", "give the time at which the tip rests on that string (touch_s)")
	case c.TouchS != nil && c.TouchString == 0 && c.StringCount > 0:
		return bad("touch_s is given without the string that is touched", "give its number, 1 for the highest-pitched (touch_string)")
	case c.TempoNote != nil && c.TempoBPM == 0:
		return bad("tempo_note is given without tempo_bpm", "give the tempo that is heard, in beats a minute")
	case c.ClickS != nil && c.TempoBPM == 0:
		return bad("click_s is given without tempo_bpm", "give the metronome's tempo, in beats a minute")
	case c.ClickS != nil && (math.IsNaN(*c.ClickS) || math.IsInf(*c.ClickS, 0)):
		return bad(fmt.Sprintf("click_s is %g", *c.ClickS), "give the time of a click in seconds, by the clock of the onsets")
	}
	if len(c.PickPoints) > 0 && len(slices.Compact(slices.Sorted(slices.Values(c.PickPoints)))) < len(c.PickPoints) {
		return bad("pick_points names a point twice", "name two points on the pick's flat, or three")
	}
	used := map[string]drive.Landmark{}
	for _, l := range slices.Sorted(maps.Keys(c.Landmarks)) {
		name := c.Landmarks[l]
		if other, ok := used[name]; ok && name != "" {
			return bad(fmt.Sprintf("landmarks names the point %q twice, as %s and as %s", name, other, l), "give every landmark a point of its own")
		}
		used[name] = l
	}
	return nil
}
