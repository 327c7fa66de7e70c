package browsertest

import (
	"fmt"
	"slices"
)

// stop is an element that got the focus.
type stop struct {
	At     int    // among those that should, -1 if none of them
	What   string // in words
	Marked bool   // it looks other than without the focus
	OnPage bool   // it can be seen
}

// keyboard walks through the page by the tab key, with all that folds open, at the
// width where most scrolls.
func (p *Page) keyboard() []string {
	p.t.Helper()
	p.resize(phone)
	var found []string
	p.unfolded(func() {
		var start struct {
			Want, Found []string
			Skips       bool
		}
		p.run("keyboard_start.js", &start)
		found = append(found, start.Found...)
		for range len(start.Want) + 1 {
			p.press("Tab", 9, "")
		}
		var end struct {
			Log  []stop
			Last int
		}
		p.eval("plectraceKeyboard.end()", &end)
		found = append(found, walked(start.Want, end.Log, end.Last)...)
		if start.Skips {
			found = append(found, p.skip(start.Want[0])...)
		}
	})
	return found
}

// walked tells what is wrong with a walk through the elements want, which ended at
// the one numbered last, or outside (-1).
func walked(want []string, log []stop, last int) []string {
	var found []string
	reached := make([]bool, len(want))
	at := -1
	for _, s := range log {
		if s.At < 0 {
			continue // it scrolls, and the browser made it a stop
		}
		if reached[s.At] {
			break // once round
		}
		reached[s.At] = true
		if s.At < at {
			found = append(found, fmt.Sprintf("the tab key goes back to %s after %s: put them in the order of reading", s.What, want[at]))
		}
		at = s.At
		if !s.Marked {
			found = append(found, s.What+" looks the same with the focus as without: give it an outline")
		}
		if !s.OnPage {
			found = append(found, s.What+" gets the focus where nobody sees it: show it on :focus")
		}
	}
	missed := slices.Index(reached, false)
	switch {
	case missed < 0 && len(want) > 1 && last == len(want)-1:
		found = append(found, fmt.Sprintf("the tab key does not get away from %s", want[last]))
	case missed >= 0 && at >= 0 && missed == at+1 && !slices.Contains(reached[missed:], true):
		found = append(found, fmt.Sprintf("the tab key does not get past %s: %d of %d stops are not reached", want[at], len(want)-missed, len(want)))
	case missed >= 0:
		for i, ok := range reached {
			if !ok {
				found = append(found, "the tab key does not reach "+want[i])
			}
		}
	}
	return found
}

// skip follows the link at the top of the page.
func (p *Page) skip(what string) []string {
	p.t.Helper()
	p.eval(scriptOf("reachables()[0].focus();"), nil)
	p.press("Enter", 13, "\r")
	p.settle()
	p.press("Tab", 9, "")
	var stuck string
	p.run("keyboard_skip.js", &stuck)
	if stuck != "" {
		return []string{fmt.Sprintf("%s does not skip: the next stop after it is %s; give its target tabindex=\"-1\"", what, stuck)}
	}
	return nil
}

// press presses a key and lets it go.
func (p *Page) press(key string, code int, text string) {
	p.t.Helper()
	down := "rawKeyDown"
	if text != "" {
		down = "keyDown"
	}
	event := map[string]any{"type": down, "key": key, "code": key, "windowsVirtualKeyCode": code, "text": text}
	p.call("Input.dispatchKeyEvent", event, nil)
	p.call("Input.dispatchKeyEvent", map[string]any{"type": "keyUp", "key": key, "code": key, "windowsVirtualKeyCode": code}, nil)
}
