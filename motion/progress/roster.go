package progress

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
)

// Roster is a list of takes: takes.csv beside the exports that it names. Paths
// in Take.File are relative to the folder of the list.
type Roster struct {
	// Takes are in the order of the list; see Order.
	Takes []Take
	// Columns names the further columns, whose cells Take.Extra holds.
	Columns []string
	// Notes are what the keeper of the list should look at.
	Notes []string
}

// Order returns the takes in order of time, by the clock of the place. Takes of
// one moment keep the order of the list, which also orders the takes of a day
// whose time of day is not noted: they come before those of that day whose time
// is. Takes without a date come last.
func (r Roster) Order() []Take { return takesInOrder(r.Takes) }

func takesInOrder(takes []Take) []Take {
	out := slices.Clone(takes)
	slices.SortStableFunc(out, func(a, b Take) int {
		if a.Date.IsZero() != b.Date.IsZero() {
			if a.Date.IsZero() {
				return 1
			}
			return -1
		}
		return wall(a.Date).Compare(wall(b.Date))
	})
	return out
}

// wall returns the moment that clock and calendar of the place showed, as if
// it were UTC.
func wall(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, t.Hour(), t.Minute(), t.Second(), t.Nanosecond(), time.UTC)
}

// dayOf returns the day of a take at midnight, by the calendar of the place.
func dayOf(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

// Players returns the players, each once, in the order in which the list names
// them first.
func (r Roster) Players() []string {
	var players []string
	seen := map[string]bool{}
	for _, t := range r.Takes {
		if !seen[t.Player] {
			seen[t.Player] = true
			players = append(players, t.Player)
		}
	}
	return players
}

// Of returns the takes of one player in order of time, as Order does.
func (r Roster) Of(player string) []Take {
	var own []Take
	for _, t := range r.Takes {
		if t.Player == player {
			own = append(own, t)
		}
	}
	return takesInOrder(own)
}

// Label says which take it is, for sentences: player, day, session and take as
// far as they are noted.
func (t Take) Label() string {
	var parts []string
	add := func(word, s string) {
		if s != "" {
			parts = append(parts, strings.TrimSpace(word+" "+s))
		}
	}
	add("", t.Player)
	if !t.Date.IsZero() {
		add("", t.Date.Format(time.DateOnly))
	}
	add("session", t.Session)
	add("take", t.Take)
	if t.Take == "" {
		add("", t.File)
	}
	if len(parts) == 0 && t.Line > 0 {
		add("", fmt.Sprint("line ", t.Line))
	}
	return strings.Join(parts, ", ")
}

// look notes codes that look like names, and codes that may be one player's.
func (r *Roster) look() {
	players := r.Players()
	folded := map[string]string{}
	for _, p := range players {
		if named(p) {
			r.Notes = append(r.Notes, fmt.Sprintf("The player %q looks like a person's name: use a code such as P01, and keep the key to it elsewhere.", p))
		}
		key := strings.ToLower(squeeze(p))
		if other, ok := folded[key]; ok {
			r.Notes = append(r.Notes, fmt.Sprintf("%q and %q are taken to be two players: write one player's code the same way in every line.", other, p))
		} else {
			folded[key] = p
		}
	}
}

// named reports whether a code looks like a person's name: words of letters
// with a space between.
func named(s string) bool {
	words := strings.Fields(s)
	if len(words) < 2 {
		return false
	}
	for _, r := range s {
		if unicode.IsDigit(r) {
			return false
		}
	}
	return true
}

// squeeze takes out what people put between the parts of a name or leave out.
func squeeze(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || r == '_' || r == '-' {
			return -1
		}
		return r
	}, s)
}

// unique reports the first two takes that cannot both be in a list.
func unique(takes []Take) (a, b int, why string) {
	type take struct{ player, day, session, take string }
	byName, byFile := map[take]int{}, map[string]int{}
	for i, t := range takes {
		if at, ok := byFile[t.File]; ok {
			return at, i, "names the same file"
		}
		byFile[t.File] = i
		if t.Take == "" {
			continue
		}
		k := take{t.Player, t.Date.Format(time.DateOnly), t.Session, t.Take}
		if at, ok := byName[k]; ok {
			return at, i, "is the same take of the same player, day and session"
		}
		byName[k] = i
	}
	return 0, 0, ""
}
