package main

import (
	"regexp"

	"github.com/plectrace/plectrace/examples/internal/cli"
)

// Groups of flags that messages send the reader to.
const (
	theCamera  = "The camera"
	theStrings = "The strings"
	theHand    = "The hand"
)

const settingsNote = "Most flags have the name of their key in the settings file, with - for _ (-strings is string_count; -bass, -treble, -nut and -distance-mm stand in marks, -card in card.corners). These keys have no flag: picture_px, the picture's width and height, and focal_px, the lens's focal length, both in pixels, tell the camera's raise better from a card; card.short_edge says that the card stood on its short edge; raise_error_deg and skew_error_deg are the standard errors of raise_deg and skew_deg (3 degrees otherwise); string_spacing_mm is the distance between neighbouring strings, where the marks do not lie on the outer ones; landmark_error_mm is how far a landmark may slide against the bone in step with the stroke (negative: not at all)."

// settingsSample is printed by the help, and is a settings file that is read.
var settingsSample = cli.Sample{
	Title: "A settings file, all keys of which but tip may be left out. -write-settings makes one with those that most takes need:",
	Text: `{
  "schema": "plectrace/take/1",
  "tip": "pick_tip", "tip_is": "pick", "view": "end-on",
  "marks": {"bass": [212, 640], "treble": "treble_mark", "distance_mm": 42},
  "card": {"corners": ["card_1", "card_2", "card_3", "card_4"], "short_edge": true},
  "picture_px": [1920, 1080], "focal_px": 1500,
  "skew_deg": -4, "skew_error_deg": 2,
  "touch_s": 2.5, "touch_string": 2,
  "string_count": 4, "string_spacing_mm": 11, "crown_radius_mm": 305,
  "landmarks": {"wrist": "wrist", "elbow": "elbow"}, "landmark_error_mm": 1
}
`,
}

// places finds what a message is about, by the keys that it names. The first
// that fits counts.
var places = []struct {
	about *regexp.Regexp
	group string
}{
	{regexp.MustCompile(`touch|string_|crown|pair_gap|onset|rests`), theStrings},
	{regexp.MustCompile(`landmark|pick_points`), theHand},
	{regexp.MustCompile(`\bcard|corner|raise_|skew_|picture_px|focal_px`), theCamera},
}

// nextStep is where the help tells of what err is about, and otherwise if it
// tells of it nowhere in particular.
func nextStep(err error, otherwise string) string {
	for _, p := range places {
		if p.about.MatchString(err.Error()) {
			return hint(p.group)
		}
	}
	return otherwise
}

func hint(group string) string { return "see " + program.Name + " -h, '" + group + "'" }
