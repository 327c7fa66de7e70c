package browsertest

import (
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"maps"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
)

var screenshots = flag.String("screenshots", "", "keep a picture of each page that is checked, at each width, in this `folder`")

// Widths that pages are read at, in CSS pixels: a phone's and a larger screen's.
const (
	phone  = 375
	screen = 1280
)

var widths = []int{phone, screen}

// Page is a page that is open in the browser. Its methods end the test where the
// browser does not answer.
type Page struct {
	t       testing.TB
	b       *browser
	session string
	url     string
	width   int // that it has now

	mu      sync.Mutex
	loaded  chan struct{} // closed when the page has loaded
	said    []string      // console messages and exceptions
	asked   []string      // addresses asked for, but the page's own
	workers []string      // their sessions
}

// Open opens the page in the file at path, until the test ends.
func Open(t testing.TB, path string) *Page {
	t.Helper()
	b := need(t)
	full, err := filepath.Abs(path)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(full); err != nil {
		t.Fatal(err)
	}
	p := &Page{
		t: t, b: b,
		url:    (&url.URL{Scheme: "file", Path: filepath.ToSlash(full)}).String(),
		loaded: make(chan struct{}),
	}
	p.open()
	return p
}

// OpenHTML opens a page by its text, until the test ends.
func OpenHTML(t testing.TB, html string) *Page {
	t.Helper()
	need(t) // before a file is made for nothing
	path := filepath.Join(t.TempDir(), "page.html")
	if err := os.WriteFile(path, []byte(html), 0o666); err != nil {
		t.Fatal(err)
	}
	return Open(t, path)
}

// open loads the page into a target of its own.
func (p *Page) open() {
	p.t.Helper()
	var target struct{ TargetID string }
	p.browser("Target.createTarget", map[string]any{"url": "about:blank"}, &target)
	p.t.Cleanup(func() {
		ctx, cancel := p.context()
		defer cancel()
		err := p.b.call(ctx, "", "Target.closeTarget", map[string]any{"targetId": target.TargetID}, nil)
		if err != nil && !p.t.Failed() {
			p.t.Error(err)
		}
	})
	var attached struct{ SessionID string }
	p.browser("Target.attachToTarget", map[string]any{"targetId": target.TargetID, "flatten": true}, &attached)
	p.session = attached.SessionID
	p.b.listen(p.session, p.event)
	p.t.Cleanup(func() {
		p.mu.Lock()
		defer p.mu.Unlock()
		for _, session := range append(p.workers, p.session) {
			p.b.listen(session, nil)
		}
	})

	for _, domain := range []string{"Page", "Runtime", "Log", "Network", "Accessibility"} {
		p.call(domain+".enable", nil, nil)
	}
	p.call("Target.setAutoAttach", map[string]any{"autoAttach": true, "waitForDebuggerOnStart": true, "flatten": true}, nil)
	p.call("Emulation.setFocusEmulationEnabled", map[string]any{"enabled": true}, nil)
	p.resize(screen)
	var gone struct{ ErrorText string }
	p.call("Page.navigate", map[string]any{"url": p.url}, &gone)
	if gone.ErrorText != "" {
		p.t.Fatalf("%s does not open: %s", p.url, gone.ErrorText)
	}
	ctx, cancel := p.context()
	defer cancel()
	select {
	case <-p.loaded:
	case <-ctx.Done():
		p.t.Fatalf("%s does not finish loading: %v", p.url, context.Cause(ctx))
	}
	p.eval("document.fonts.ready.then(() => true)", nil)
}

func (p *Page) context() (context.Context, context.CancelFunc) {
	return context.WithTimeout(context.Background(), patience)
}

// browser calls a command of the browser itself.
func (p *Page) browser(method string, params, result any) {
	p.t.Helper()
	p.command("", method, params, result)
}

// call calls a command of the page.
func (p *Page) call(method string, params, result any) {
	p.t.Helper()
	p.command(p.session, method, params, result)
}

func (p *Page) command(session, method string, params, result any) {
	p.t.Helper()
	ctx, cancel := p.context()
	defer cancel()
	if err := p.b.call(ctx, session, method, params, result); err != nil {
		if errors.Is(err, errEnded) {
			err = fmt.Errorf("%w; its last words were\n%s", err, p.b.said)
		}
		p.t.Fatal(err)
	}
}

// remote is a value in the page.
type remote struct {
	ObjectID string          `json:"objectId"`
	Value    json.RawMessage `json:"value"`
}

// evaluate evaluates an expression, or what it promises, in the page.
func (p *Page) evaluate(expression string, byValue bool) remote {
	p.t.Helper()
	var got struct {
		Result           remote
		ExceptionDetails *struct {
			Text      string
			Exception struct{ Description string }
		}
	}
	p.call("Runtime.evaluate", map[string]any{
		"expression": expression, "returnByValue": byValue, "awaitPromise": true,
		"includeCommandLineAPI": true, "userGesture": true,
	}, &got)
	if e := got.ExceptionDetails; e != nil {
		p.t.Fatalf("in the page: %s %s", e.Text, e.Exception.Description)
	}
	return got.Result
}

// eval evaluates an expression whose value goes into result, unless that is nil.
func (p *Page) eval(expression string, result any) {
	p.t.Helper()
	got := p.evaluate(expression, true)
	if result == nil {
		return
	}
	if err := json.Unmarshal(got.Value, result); err != nil {
		p.t.Fatalf("in the page: %v\n%s", err, got.Value)
	}
}

// resize gives the page a width, and lets it be laid out.
func (p *Page) resize(width int) {
	p.t.Helper()
	if width == p.width {
		return
	}
	p.width = width
	p.call("Emulation.setDeviceMetricsOverride", map[string]any{
		"width": width, "height": 900, "deviceScaleFactor": 1, "mobile": width < 600,
	}, nil)
	p.settle()
}

// settle waits until the page has been drawn.
func (p *Page) settle() {
	p.t.Helper()
	p.eval("new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))", nil)
}

// Aspect is what a page is checked for.
type Aspect string

// What Check checks, in this order.
const (
	// Outline: a language, a title, one main, one h1 that comes first, headings
	// that leap no level, ids that are used once, links within the page that lead
	// somewhere.
	Outline Aspect = "outline"
	// Names: figures, tables, links and controls have a name for those who do not
	// see them; head cells of tables say what they head.
	Names Aspect = "names"
	// Layout, at 375 and 1280 pixels: no page wider than the screen, parts that
	// scroll can be reached by key, no text under 11 pixels as it appears or cut
	// off, and in a drawing no text over another or outside.
	Layout Aspect = "layout"
	// Contrast, at both widths: text against what is behind it, 4.5 to 1, large
	// text 3 to 1.
	Contrast Aspect = "contrast"
	// Keyboard: the tab key reaches all that can be used, in order, shows where it
	// is, and gets away again; a link skips what stands before the content.
	Keyboard Aspect = "keyboard"
	// Print: A4, with nothing cut off at the edge and nothing folded away.
	Print Aspect = "print"
	// Markup: no script, handler, frame or form, as text from a file would make that
	// was not escaped, and no global variable hacked.
	Markup Aspect = "markup"
	// Requests: nothing is fetched, or would be later, but the page itself.
	Requests Aspect = "requests"
	// Console: no error, warning or exception, and nothing that the page's own
	// Content-Security-Policy refused.
	Console Aspect = "console"
)

// aspects and how each is checked. The last two tell what happened during the
// others.
var aspects = []struct {
	Aspect
	find func(*Page) []string
}{
	{Outline, (*Page).outline},
	{Names, (*Page).names},
	{Layout, (*Page).layout},
	{Contrast, (*Page).contrast},
	{Keyboard, (*Page).keyboard},
	{Print, (*Page).print},
	{Markup, (*Page).markup},
	{Requests, (*Page).requests},
	{Console, (*Page).console},
}

// most findings of one aspect that Check tells.
const most = 20

// Check checks the page for the aspects named, for all if none is. What it finds
// are errors of the test, each with the element and what to do.
func (p *Page) Check(only ...Aspect) {
	p.t.Helper()
	for _, a := range aspects {
		if len(only) > 0 && !slices.Contains(only, a.Aspect) {
			continue
		}
		found := tally(a.find(p))
		for _, text := range found[:min(len(found), most)] {
			p.t.Errorf("%s: %s: %s", filepath.Base(p.url), a.Aspect, text)
		}
		if more := len(found) - most; more > 0 {
			p.t.Errorf("%s: %s: and %d more", filepath.Base(p.url), a.Aspect, more)
		}
	}
	if *screenshots != "" {
		p.keep(*screenshots)
	}
}

// tally returns each text once, in order, with how often it came.
func tally(texts []string) []string {
	times := map[string]int{}
	var once []string
	for _, text := range texts {
		if times[text]++; times[text] == 1 {
			once = append(once, text)
		}
	}
	for i, text := range once {
		if n := times[text]; n > 1 {
			once[i] = fmt.Sprintf("%s (%d times)", text, n)
		}
	}
	return once
}

// byWidth joins what was found at each width: what was found at all of them is
// said once.
func byWidth(found map[int][]string) []string {
	at := map[string][]string{}
	var order []string
	for _, width := range slices.Sorted(maps.Keys(found)) {
		for _, text := range tally(found[width]) {
			if at[text] == nil {
				order = append(order, text)
			}
			at[text] = append(at[text], fmt.Sprint(width))
		}
	}
	for i, text := range order {
		order[i] = fmt.Sprintf("at %s pixels: %s", strings.Join(at[text], " and "), text)
	}
	return order
}

var unfit = regexp.MustCompile(`[^\w.-]+`)

// keep writes the page's pictures into a folder.
func (p *Page) keep(dir string) {
	p.t.Helper()
	if err := os.MkdirAll(dir, 0o777); err != nil {
		p.t.Fatal(err)
	}
	name := unfit.ReplaceAllString(p.t.Name()+"-"+strings.TrimSuffix(filepath.Base(p.url), ".html"), "_")
	for _, width := range widths {
		path := filepath.Join(dir, fmt.Sprintf("%s-%d.png", name, width))
		if err := os.WriteFile(path, p.Screenshot(width), 0o666); err != nil {
			p.t.Fatal(err)
		}
	}
}

// Screenshot returns the whole page as a PNG, as it looks at a width in pixels.
func (p *Page) Screenshot(width int) []byte {
	p.t.Helper()
	p.resize(width)
	var size struct {
		CSSContentSize struct{ Width, Height float64 }
	}
	p.call("Page.getLayoutMetrics", nil, &size)
	var picture struct{ Data []byte }
	p.call("Page.captureScreenshot", map[string]any{
		"captureBeyondViewport": true,
		"clip": map[string]any{
			"x": 0, "y": 0, "scale": 1,
			"width": size.CSSContentSize.Width, "height": size.CSSContentSize.Height,
		},
	}, &picture)
	return picture.Data
}
