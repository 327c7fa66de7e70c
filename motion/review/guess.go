package review

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/trajectory"
)

// Guess fills in what s leaves open and the names of an export's points make
// safe to assume: the tip, and the marks. It returns the completed settings
// and a sentence for every guess, for the user to see.
func (s Setup) Guess(points []string, spatial bool) (Setup, []string) {
	var notes []string
	all := func(words ...string) []string {
		return slices.DeleteFunc(slices.Compact(slices.Sorted(slices.Values(points))), func(p string) bool {
			return !slices.ContainsFunc(tokens(p), func(w string) bool { return slices.Contains(words, w) })
		})
	}
	find := func(words ...string) string {
		if found := all(words...); len(found) == 1 {
			return found[0]
		}
		return "" // none, or more than one, which is not safe
	}
	if s.Tip == "" {
		if s.Tip = find("tip", "pick", "plectrum"); s.Tip != "" {
			notes = append(notes, fmt.Sprintf("The tip is taken to be the point %q.", s.Tip))
		}
	}
	if s.TipIs == TipUnknown && s.Tip != "" {
		w := tokens(s.Tip)
		body := slices.ContainsFunc(w, func(t string) bool {
			return slices.Contains([]string{"thumb", "index", "finger", "wrist", "hand", "knuckle", "marker"}, t)
		})
		if !body && slices.ContainsFunc(w, func(t string) bool { return t == "tip" || t == "pick" || t == "plectrum" }) {
			s.TipIs = TipOfPick
			notes = append(notes, fmt.Sprintf("%q is taken to be the pick's own tip; if it is a marker above it, say so (tip_is), or heights come out too large.", s.Tip))
		}
	}
	mark := func(m *trajectory.Mark, side string, words ...string) {
		if !m.IsZero() {
			return
		}
		if p := find(words...); p != "" && p != s.Tip {
			m.Point = p
			notes = append(notes, fmt.Sprintf("The %s mark is taken to be the point %q.", side, p))
		}
	}
	mark(&s.Marks.Bass, "bass", "bass")
	mark(&s.Marks.Treble, "treble", "treble")
	if s.View == trajectory.ViewUnknown {
		s.View = trajectory.EndOn
		how := "end-on: the camera looks along the strings"
		if spatial {
			s.View = trajectory.Spatial
			how = "3-d: the export has three axes"
		}
		notes = append(notes, fmt.Sprintf("The view is taken to be %s.", how))
	}
	notes = append(notes, s.guessLandmarks(points, find)...)
	if spatial && len(s.Marks.Nut) == 0 {
		p := all("nut")
		for _, w := range []string{"headstock", "neck"} {
			if len(p) == 0 {
				p = all(w)
			}
		}
		switch len(p) {
		case 1:
			s.Marks.Nut = []trajectory.Mark{{Point: p[0]}}
			notes = append(notes, fmt.Sprintf("The mark toward the nut is taken to be the point %q.", p[0]))
		case 2:
			s.Marks.Nut = []trajectory.Mark{{Point: p[0]}, {Point: p[1]}}
			notes = append(notes, fmt.Sprintf("The mark toward the nut is taken to be the middle of the points %q and %q.", p[0], p[1]))
		}
	}
	return s, notes
}

// guessLandmarks takes points for landmarks that bear their names, or whose
// names leave no doubt.
func (s *Setup) guessLandmarks(points []string, find func(...string) string) []string {
	var notes []string
	own := maps.Clone(s.Landmarks)
	if own == nil {
		own = map[drive.Landmark]string{}
	}
	take := func(l drive.Landmark, p string) {
		if p == "" || p == s.Tip || own[l] != "" || slices.Contains(slices.Collect(maps.Values(own)), p) {
			return
		}
		own[l] = p
		notes = append(notes, fmt.Sprintf("The %s is taken to be the point %q.", strings.ReplaceAll(l.String(), "_", " "), p))
	}
	for _, p := range points {
		var l drive.Landmark
		if l.UnmarshalText([]byte(strings.ToLower(p))) == nil && l != drive.Tip {
			take(l, p)
		}
	}
	take(drive.Wrist, find("wrist"))
	take(drive.Elbow, find("elbow"))
	take(drive.Shoulder, find("shoulder"))
	if len(own) > 0 {
		s.Landmarks = own
	}
	return notes
}

// tokens splits a point's name into lower-case words.
func tokens(name string) []string {
	var b strings.Builder
	lower := false
	for _, r := range name {
		if lower && r >= 'A' && r <= 'Z' {
			b.WriteByte(' ')
		}
		lower = r >= 'a' && r <= 'z'
		b.WriteRune(r)
	}
	return strings.FieldsFunc(strings.ToLower(b.String()), func(r rune) bool {
		return !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r > 127)
	})
}
