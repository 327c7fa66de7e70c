package onepage

import (
	"fmt"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion/advice"
)

// askTask asks what was to be played; nothing where it is known, or where nothing
// else could be told if it were.
func askTask(about About, a advice.Advice) string {
	if about.Task != advice.TaskUnknown || len(a.Unsaid) == 0 {
		return ""
	}
	say := "Say -task one-string or -task changing-strings"
	if about.ByForm {
		say = "Choose it in the form, under The player, and review again"
	}
	return "What was to be played? " + say + ": on one string a path among the strings is no fault, for changing strings a turn has to come out of them."
}

// working is the section on what to work on.
func working(s *notebook.Section, about About, a advice.Advice) {
	var out []notebook.Block
	if a.Holds != nil {
		out = append(out, notebook.Text("What holds: "+a.Holds.Text+" "+rests(*a.Holds)))
	}
	for _, n := range a.Notes {
		out = append(out, notebook.Text(n))
	}
	var items []string
	for _, w := range a.Work {
		items = append(items, w.Text+" "+rests(w))
	}
	if len(items) > 0 {
		out = append(out, notebook.List{Items: items, Ordered: len(items) > 1})
	}
	s.Step(steps.Of(counsel), out...)
	if ask := askTask(about, a); ask != "" {
		s.Text(ask)
	}
	if text := unjudged(about.Task, a); text != "" {
		s.Text(text)
	}
}

// rests is what an item rests on.
func rests(i advice.Item) string {
	text := "(Threshold: " + i.Source
	if i.OneTake {
		text += "; seen in this take alone"
	}
	return text + ".)"
}

// unjudged tells what could not be judged, all that has one reason together.
func unjudged(task advice.Task, a advice.Advice) string {
	forTask := map[string]bool{}
	if task == advice.TaskUnknown { // it is asked for
		for _, r := range advice.Default().Rules {
			forTask[r.Key] = r.Task != advice.TaskUnknown
		}
	}
	var reasons []string
	what := map[string][]string{}
	for _, u := range a.Unsaid {
		if forTask[u.Key] {
			continue
		}
		if what[u.Why] == nil {
			reasons = append(reasons, u.Why)
		}
		what[u.Why] = append(what[u.Why], u.Key)
	}
	if len(reasons) == 0 {
		return ""
	}
	var parts []string
	for _, w := range reasons {
		parts = append(parts, fmt.Sprintf("%s (%s)", strings.Join(what[w], ", "), w))
	}
	return "Could not be judged: " + strings.Join(parts, "; ") + "."
}

// workWords is the same in the summary, shorter.
func workWords(about About, a advice.Advice) []string {
	var out []string
	if a.Holds != nil {
		out = append(out, "What holds: "+a.Holds.Text)
	}
	out = append(out, a.Notes...)
	for _, w := range a.Work {
		out = append(out, "To work on: "+w.Text)
	}
	if askTask(about, a) != "" {
		out = append(out, "More can be said once it is known what was to be played: say -task one-string or -task changing-strings.")
	}
	return out
}
