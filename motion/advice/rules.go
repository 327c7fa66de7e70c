package advice

import (
	"bytes"
	_ "embed"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"

	"github.com/plectrace/plectrace/motion/internal/strict"
	"github.com/plectrace/plectrace/motion/review"
)

// Schema is the schema of a table of rules.
const Schema = "plectrace/advice/1"

// Task is what was to be played. Its zero value is unknown.
type Task int

const (
	TaskUnknown Task = iota
	OneString
	ChangingStrings
)

var taskText = [...]string{"", "one string", "changing strings"}

// String returns "one string", "changing strings" or "" for unknown.
func (t Task) String() string {
	if t < 0 || int(t) >= len(taskText) {
		return fmt.Sprintf("Task(%d)", int(t))
	}
	return taskText[t]
}

// MarshalText implements encoding.TextMarshaler.
func (t Task) MarshalText() ([]byte, error) { return []byte(t.String()), nil }

// UnmarshalText implements encoding.TextUnmarshaler.
func (t *Task) UnmarshalText(b []byte) error {
	if i := slices.Index(taskText[:], string(b)); i >= 0 {
		*t = Task(i)
		return nil
	}
	return fmt.Errorf("task %q: say %q or %q", b, taskText[OneString], taskText[ChangingStrings])
}

// Condition holds a measure against a threshold: exactly one of Above and Below.
type Condition struct {
	// Measure is the name of a measure of the review's table.
	Measure string   `json:"measure"`
	Above   *float64 `json:"above,omitempty"`
	Below   *float64 `json:"below,omitempty"`
	// Unit, where given, is the unit that the threshold is in: lengths may come
	// in others, and then the condition cannot be judged.
	Unit string `json:"unit,omitempty"`
}

// Rule is one thing to look at. Say is told when all of Work are true, Praise when
// all of Holds are; a rule has one of the two or both. In both texts {name} stands
// for the value of a measure with its unit.
type Rule struct {
	Key   string `json:"key"`
	Topic string `json:"topic"`
	Task  Task   `json:"task,omitzero"` // zero: whatever the task
	// MinSeconds is how long a take must last for the rule to be judged.
	MinSeconds float64     `json:"min_seconds,omitempty"`
	Work       []Condition `json:"work,omitempty"`
	Say        string      `json:"say,omitempty"`
	Holds      []Condition `json:"holds,omitempty"`
	Praise     string      `json:"praise,omitempty"`
	// Source says where the thresholds come from.
	Source string `json:"source"`
}

// Table is a list of rules, the most important first.
type Table struct{ Rules []Rule }

//go:embed rules.json
var rules []byte

// Default returns the table that comes with the package.
func Default() Table {
	t, err := Parse(bytes.NewReader(rules))
	if err != nil {
		panic("advice: rules.json: " + err.Error()) // a test reads it
	}
	return t
}

// Parse reads a table of rules: JSON with "schema": Schema and "rules". The error
// names the rule and what in it cannot be: an unknown measure, a condition without
// a threshold or with two, a text without conditions or conditions without a text,
// a text that names a measure which its conditions do not, a missing source, a key
// that is used twice.
func Parse(r io.Reader) (Table, error) {
	var file struct {
		Schema string `json:"schema"`
		Rules  []Rule `json:"rules"`
	}
	if err := strict.Decode(r, &file); err != nil {
		return Table{}, err
	}
	if file.Schema != Schema {
		return Table{}, fmt.Errorf("schema is %q: this program reads %q", file.Schema, Schema)
	}
	seen := map[string]bool{}
	for i, rule := range file.Rules {
		if err := rule.validate(); err != nil {
			return Table{}, fmt.Errorf("rule %d (%q): %w", i+1, rule.Key, err)
		}
		if seen[rule.Key] {
			return Table{}, fmt.Errorf("rule %d (%q): an earlier rule has this key", i+1, rule.Key)
		}
		seen[rule.Key] = true
	}
	return Table{Rules: file.Rules}, nil
}

// placeholder is a measure in a text.
var placeholder = regexp.MustCompile(`\{([^{}]*)\}`)

func (r Rule) validate() error {
	switch {
	case strings.TrimSpace(r.Key) == "":
		return fmt.Errorf("it has no key")
	case strings.TrimSpace(r.Topic) == "":
		return fmt.Errorf("it has no topic")
	case strings.TrimSpace(r.Source) == "":
		return fmt.Errorf("it does not say where its thresholds come from (source)")
	case !(r.MinSeconds >= 0) || r.MinSeconds > 3600:
		return fmt.Errorf("min_seconds is %g: give the seconds that a take must last", r.MinSeconds)
	case len(r.Work)+len(r.Holds) == 0:
		return fmt.Errorf("it has no conditions (work, holds)")
	}
	for _, part := range []struct {
		name, textName, text string
		conditions           []Condition
	}{{"work", "say", r.Say, r.Work}, {"holds", "praise", r.Praise, r.Holds}} {
		if (part.text == "") != (len(part.conditions) == 0) {
			return fmt.Errorf("%s and %s go together", part.name, part.textName)
		}
		used := map[string]bool{}
		for _, c := range part.conditions {
			if !slices.ContainsFunc(review.Measures(), func(m review.Measure) bool { return m.Name == c.Measure }) {
				return fmt.Errorf("%s: there is no measure %q", part.name, c.Measure)
			}
			if (c.Above == nil) == (c.Below == nil) {
				return fmt.Errorf("%s: %s needs one threshold, above or below", part.name, c.Measure)
			}
			used[c.Measure] = true
		}
		for _, m := range placeholder.FindAllStringSubmatch(part.text, -1) {
			if !used[m[1]] {
				return fmt.Errorf("%s names {%s}, which is not among its conditions", part.textName, m[1])
			}
		}
	}
	return nil
}
