package advice_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion/advice"
)

func TestParse(t *testing.T) {
	const head = `{"schema": "plectrace/advice/1", "rules": [`
	rule := func(s string) string {
		return head + `{"key": "k", "topic": "t", "source": "common practice", ` + s + `}]}`
	}
	for _, c := range []struct{ text, want string }{
		{rule(`"work": [{"measure": "missed_share", "above": 0.1}], "say": "{missed_share} miss"`), ""},
		{`{"schema": "other", "rules": []}`, `schema is "other"`},
		{`{"schema": "plectrace/advice/1", "rulse": []}`, `no key "rulse"`},
		{rule(`"work": [{"measure": "mised_share", "above": 0.1}], "say": "x"`), `no measure "mised_share"`},
		{rule(`"work": [{"measure": "missed_share"}], "say": "x"`), "one threshold"},
		{rule(`"work": [{"measure": "missed_share", "above": 1, "below": 2}], "say": "x"`), "one threshold"},
		{rule(`"work": [{"measure": "missed_share", "above": 1}]`), "work and say go together"},
		{rule(`"holds": [{"measure": "missed_share", "above": 1}]`), "holds and praise go together"},
		{rule(`"work": [{"measure": "missed_share", "above": 1}], "say": "{length}"`), "not among its conditions"},
		{rule(`"say": ""`), "no conditions"},
		{rule(`"min_seconds": -1, "work": [{"measure": "missed_share", "above": 1}], "say": "x"`), "min_seconds is -1"},
		{rule(`"task": "two strings", "work": [{"measure": "missed_share", "above": 1}], "say": "x"`), `task "two strings"`},
		{head + `{"key": "k", "topic": "t"}]}`, "where its thresholds come from"},
		{head + `{"key": "", "topic": "t"}]}`, "no key"},
		{head + `{"key": "k"}]}`, "no topic"},
		{head + strings.Repeat(`{"key": "k", "topic": "t", "source": "s", "work": [{"measure": "length", "above": 1}], "say": "x"},`, 2), "too early"},
		{head + strings.TrimSuffix(strings.Repeat(`{"key": "k", "topic": "t", "source": "s", "work": [{"measure": "length", "above": 1}], "say": "x"},`, 2), ",") + "]}", "earlier rule"},
	} {
		_, err := advice.Parse(strings.NewReader(c.text))
		switch {
		case c.want == "" && err != nil:
			t.Errorf("%s: %v", c.text, err)
		case c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)):
			t.Errorf("%s: %v, want %q", c.text, err, c.want)
		}
	}
}

// A teacher's own threshold.
func ExampleParse() {
	table, err := advice.Parse(strings.NewReader(`{
	  "schema": "plectrace/advice/1",
	  "rules": [{
	    "key": "missed", "topic": "strings",
	    "work": [{"measure": "missed_share", "above": 0.1}],
	    "say": "{missed_share} of the strokes miss the string.",
	    "source": "our class"
	  }]
	}`))
	if err != nil {
		fmt.Println(err)
		return
	}
	take := summary(map[string][3]float64{"missed_share": {0.2, 0.15, 0.26}})
	for _, w := range table.Advise(advice.Evidence{Take: take}).Work {
		fmt.Println(w.Text)
	}
	// Output: 20 % of the strokes miss the string.
}

func ExampleDefault() {
	for _, r := range advice.Default().Rules[:2] {
		fmt.Printf("%s (%s)\n", r.Key, r.Source)
	}
	// Output:
	// settled (common practice: two thirds of the time)
	// silent strokes (common practice: a tutor hears one stroke in twenty that is missing)
}
