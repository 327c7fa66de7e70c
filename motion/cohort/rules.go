package cohort

import (
	"fmt"
	"slices"
	"time"

	"github.com/plectrace/plectrace/motion/progress"
)

// Rule says which takes a study leaves out.
type Rule struct {
	// Name is a short key, Why says in words what the rule finds.
	Name, Why string
	// Test reports whether a take is left out, with what was found and what the
	// rule asks for.
	Test func(*Record) (out bool, value, threshold string)
}

// Exclusion is a take that a study leaves out, by the first rule that it breaks.
type Exclusion struct {
	Take                   progress.Take
	Rule, Value, Threshold string
}

// Exclusions are the thresholds of the rules. A field of zero stands for the
// default beside it, which is common practice and no more; a negative one, or
// true, turns the rule off.
type Exclusions struct {
	// MinStrokes is the least number of strokes: 24, a dozen cycles, below which
	// nothing is compared.
	MinStrokes int `json:"min_strokes,omitempty"`
	// MaxLost is the greatest share of the tip's samples that may be missing or
	// cut: 0.2.
	MaxLost float64 `json:"max_lost,omitempty"`
	// MinPerStroke is the least number of samples per stroke: 8, below which
	// there are no angles. MinSampleHz is the least number of samples per second;
	// zero asks for none, since samples per stroke decide.
	MinPerStroke float64 `json:"min_samples_per_stroke,omitempty"`
	MinSampleHz  float64 `json:"min_samples_per_second,omitempty"`
	// KeepPace and KeepQuestions keep takes whose film seems to change its pace,
	// and takes with an open question.
	KeepPace      bool `json:"keep_pace,omitempty"`
	KeepQuestions bool `json:"keep_questions,omitempty"`
	// KeepUnlike keeps takes that were measured with other options or by another
	// version than the first take that the rules before this one keep.
	KeepUnlike bool `json:"keep_unlike,omitempty"`
	// KeepPain keeps takes with pain, and those stopped by it.
	KeepPain bool `json:"keep_pain,omitempty"`
	// KeepDuplicates keeps takes that come twice, by name or by content.
	KeepDuplicates bool `json:"keep_duplicates,omitempty"`
}

// withDefaults fills in what zero stands for.
func (e Exclusions) withDefaults() Exclusions {
	if e.MinStrokes == 0 {
		e.MinStrokes = 24
	}
	if e.MaxLost == 0 {
		e.MaxLost = 0.2
	}
	if e.MinPerStroke == 0 {
		e.MinPerStroke = 8
	}
	return e
}

// Rules returns the rules of one study in the order in which they are asked:
//
//	broken file            it cannot be opened or read
//	not reviewed           it can be read but not be measured
//	pace                   the pace of the film seems to change
//	question               something must be settled before the rest is believed
//	strokes                too few
//	samples lost           too many are missing or were cut
//	samples per stroke     too few
//	samples per second     too few, where the plan asks for any
//	unlike                 measured with other options, or by another version
//	pain                   the player felt pain, or it ended the take
//	duplicate              the same take, or the same content, was kept before
//
// The last two are facts about the player and the list, those before about the
// film; a take that breaks several counts with the first of them. Two of the rules
// remember the takes that came before, so that a list of rules serves one study.
func (e Exclusions) Rules() []Rule {
	e = e.withDefaults()
	rules := []Rule{
		{"broken file", "the file cannot be opened or read", func(r *Record) (bool, string, string) {
			return r.Failure != nil && r.Failure.Code == CodeBroken, why(r), "a file that can be read"
		}},
		{"not reviewed", "the file can be read, but not be measured", func(r *Record) (bool, string, string) {
			return r.Failure != nil, why(r), "a take that can be measured"
		}},
	}
	add := func(off bool, rule Rule) {
		if !off {
			rules = append(rules, rule)
		}
	}
	flagged := func(flag string) func(*Record) (bool, string, string) {
		return func(r *Record) (bool, string, string) { return slices.Contains(r.Flags, flag), flag, "no such flag" }
	}
	below := func(least float64, get func(*Record) float64) func(*Record) (bool, string, string) {
		return func(r *Record) (bool, string, string) {
			x := get(r)
			return !(x >= least), number(x), "at least " + number(least)
		}
	}
	add(e.KeepPace, Rule{"pace", "the pace of the film seems to change within the take", flagged("pace")})
	add(e.KeepQuestions, Rule{"question", "something must be settled before the take's numbers are believed", flagged("question")})
	add(e.MinStrokes < 0, Rule{"strokes", "too few strokes", below(float64(e.MinStrokes), func(r *Record) float64 { return float64(r.Strokes) })})
	add(e.MaxLost < 0, Rule{"samples lost", "too many of the tip's samples are missing or were cut", func(r *Record) (bool, string, string) {
		return !(r.Lost <= e.MaxLost), number(r.Lost), "at most " + number(e.MaxLost)
	}})
	add(e.MinPerStroke < 0, Rule{"samples per stroke", "too few samples per stroke", below(e.MinPerStroke, func(r *Record) float64 { return r.PerStroke })})
	add(e.MinSampleHz <= 0, Rule{"samples per second", "too few samples per second", below(e.MinSampleHz, func(r *Record) float64 { return r.SampleHz })})
	add(e.KeepUnlike, unlike())
	add(e.KeepPain, Rule{"pain", "the player felt pain, or pain ended the take", func(r *Record) (bool, string, string) {
		return r.Comfort == progress.ComfortPain || r.StoppedBy == "pain", "pain", "no pain"
	}})
	add(e.KeepDuplicates, duplicate())
	return rules
}

func why(r *Record) string {
	if r.Failure == nil {
		return ""
	}
	return r.Failure.Why
}

// unlike is the rule against takes measured otherwise than the first one.
func unlike() Rule {
	var options, version string
	first := true
	return Rule{"unlike", "measured with other options or by another version than the first take", func(r *Record) (bool, string, string) {
		if first {
			first, options, version = false, r.Options, r.Version
		}
		return r.Options != options || r.Version != version,
			fmt.Sprintf("options %s, version %s", r.Options, r.Version), fmt.Sprintf("options %s, version %s", options, version)
	}}
}

// duplicate is the rule against takes that were kept before.
func duplicate() Rule {
	type name struct{ player, day, session, take, file string }
	byName, byContent := map[name]string{}, map[string]string{}
	return Rule{"duplicate", "the same take, or the same content, was kept before", func(r *Record) (bool, string, string) {
		n := name{r.Player, r.Date.Format(time.DateOnly), r.Session, r.Take.Take, r.File}
		if n.take != "" {
			n.file = "" // the number tells takes apart
		}
		before, again := byName[n]
		if !again && r.Content != "" {
			before, again = byContent[r.Content]
		}
		if again {
			return true, "as " + before, "each take once"
		}
		byName[n] = r.File
		if r.Content != "" {
			byContent[r.Content] = r.File
		}
		return false, "", ""
	}}
}
