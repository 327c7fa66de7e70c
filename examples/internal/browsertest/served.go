package browsertest

import (
	"encoding/json"
	"fmt"
	"net/netip"
	"net/url"
	"path/filepath"
	"slices"
	"testing"
	"time"
)

// Visit opens the page at an address of this machine, such as http://127.0.0.1:8080/,
// until the test ends. A page of several files is not one that Requests passes.
func Visit(t testing.TB, address string) *Page {
	t.Helper()
	b := need(t)
	u, err := url.Parse(address)
	if err != nil {
		t.Fatal(err)
	}
	if ip, err := netip.ParseAddr(u.Hostname()); err != nil || !ip.IsLoopback() {
		t.Fatalf("%s is not of this machine: serve the page at 127.0.0.1", address)
	}
	p := &Page{t: t, b: b, url: address, loaded: make(chan struct{})}
	p.open()
	return p
}

// Eval evaluates an expression, or what it promises, in the page; its value goes into
// result, as JSON, unless that is nil.
func (p *Page) Eval(expression string, result any) {
	p.t.Helper()
	p.eval(expression, result)
}

// Wait waits until an expression holds in the page, and ends the test where it does
// not for as long as the browser may take.
func (p *Page) Wait(expression string) {
	p.t.Helper()
	for end := time.Now().Add(patience); ; time.Sleep(20 * time.Millisecond) {
		var holds bool
		p.eval("!!("+expression+")", &holds)
		switch {
		case holds:
			return
		case time.Now().After(end):
			p.t.Fatalf("%s does not hold after %s; the page says\n%s", expression, patience, p.text())
		}
	}
}

// text is what the page shows, shortened.
func (p *Page) text() string {
	p.t.Helper()
	var text string
	p.eval("document.body.innerText.slice(0, 2000)", &text)
	return text
}

// Click clicks the middle of the first element that a selector finds.
func (p *Page) Click(selector string) {
	p.t.Helper()
	p.ClickAt(selector, 0.5, 0.5)
}

// ClickAt clicks an element at shares of its width and height.
func (p *Page) ClickAt(selector string, across, down float64) {
	p.t.Helper()
	at := p.place(selector)
	for _, kind := range []string{"mousePressed", "mouseReleased"} {
		p.call("Input.dispatchMouseEvent", map[string]any{
			"type": kind, "button": "left", "clickCount": 1,
			"x": at.Left + across*at.Width, "y": at.Top + down*at.Height,
		}, nil)
	}
}

// box is where an element is in the window.
type box struct{ Left, Top, Width, Height float64 }

// place scrolls to an element, and returns where it is.
func (p *Page) place(selector string) (at box) {
	p.t.Helper()
	p.eval(fmt.Sprintf(`(() => {
		const el = document.querySelector(%s);
		el.scrollIntoView({block: 'center', behavior: 'instant'});
		const {left, top, width, height} = el.getBoundingClientRect();
		return {Left: left, Top: top, Width: width, Height: height};
	})()`, quote(selector)), &at)
	return at
}

// Fill puts a value into a field, as one who types or chooses it does.
func (p *Page) Fill(selector, value string) {
	p.t.Helper()
	p.eval(fmt.Sprintf(`(() => {
		const el = document.querySelector(%s);
		el.value = %s;
		el.dispatchEvent(new Event('input', {bubbles: true}));
		el.dispatchEvent(new Event('change', {bubbles: true}));
	})()`, quote(selector), quote(value)), nil)
}

// Give chooses files in a file field, by their names.
func (p *Page) Give(selector string, files ...string) {
	p.t.Helper()
	full := p.full(files)
	field := p.evaluate(fmt.Sprintf("document.querySelector(%s)", quote(selector)), false)
	p.call("DOM.setFileInputFiles", map[string]any{"files": full, "objectId": field.ObjectID}, nil)
}

// full are whole names of files.
func (p *Page) full(files []string) []string {
	p.t.Helper()
	full := make([]string, len(files))
	for i, name := range files {
		var err error
		if full[i], err = filepath.Abs(name); err != nil {
			p.t.Fatal(err)
		}
	}
	return full
}

// Drop drops files on an element, by their names, or a folder.
func (p *Page) Drop(selector string, files ...string) {
	p.t.Helper()
	full := p.full(files)
	at := p.place(selector)
	data := map[string]any{"items": []any{}, "files": full, "dragOperationsMask": 1}
	for _, kind := range []string{"dragEnter", "dragOver", "drop"} {
		p.call("Input.dispatchDragEvent", map[string]any{"type": kind, "x": at.Left + at.Width/2, "y": at.Top + at.Height/2, "data": data}, nil)
	}
}

// Press presses a key, such as Tab, Enter or ArrowUp, where the focus is.
func (p *Page) Press(key string) {
	p.t.Helper()
	code := map[string]int{"Tab": 9, "Enter": 13, " ": 32, "ArrowLeft": 37, "ArrowUp": 38, "ArrowRight": 39, "ArrowDown": 40}[key]
	if code == 0 {
		p.t.Fatalf("there is no key %q here", key)
	}
	p.press(key, code, map[string]string{"Enter": "\r", " ": " "}[key])
}

// Asked are the addresses that the page and its workers asked for, but its own.
func (p *Page) Asked() []string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return slices.Clone(p.asked)
}

// quote is a text as a script has it.
func quote(text string) string {
	data, err := json.Marshal(text)
	if err != nil {
		panic(err) // a text is JSON
	}
	return string(data)
}
