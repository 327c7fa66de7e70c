package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"image"
	"image/png"
	"math"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/plectrace/plectrace/examples/internal/browsertest"
	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion/review"
)

func TestMain(m *testing.M) { browsertest.Main(m) }

// built are the files of the page, made once for all tests.
var built = sync.OnceValues(func() ([]cli.File, error) { return build(context.Background()) })

// served is the page as the program serves it, and what was asked of the server.
type served struct {
	*httptest.Server
	mu    sync.Mutex
	asked []string
}

func serveTest(t *testing.T) *served {
	t.Helper()
	if testing.Short() {
		t.Skip("slow")
	}
	files, err := built()
	if err != nil {
		t.Fatal(err)
	}
	s := new(served)
	h := handler(files)
	s.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.mu.Lock()
		defer s.mu.Unlock()
		s.asked = append(s.asked, r.Method+" "+r.URL.RequestURI())
		h.ServeHTTP(w, r)
	}))
	t.Cleanup(s.Close)
	return s
}

const (
	ready    = `document.documentElement.dataset.ready`
	whole    = ready + ` && invented.length === 2` // nothing is left to load
	errorOf  = `!document.getElementById('error').hidden && document.getElementById('error').textContent`
	opened   = `!document.getElementById('form').hidden && document.getElementById('status').textContent.startsWith('Open: ')`
	frame    = `document.querySelector('iframe')`
	reviewed = `document.getElementById('result').dataset.whole && ` + frame + `.contentDocument.querySelector('h1')`
)

// keepBlobs keeps what the page hands out, by its address: the page may fetch none.
const keepBlobs = `window.blobs = new Map(); {
	const make = URL.createObjectURL;
	URL.createObjectURL = b => { const at = make.call(URL, b); blobs.set(at, b); return at; };
}`

// wantErr waits for an error on the page, and returns it.
func wantErr(t *testing.T, p *browsertest.Page, says ...string) {
	t.Helper()
	p.Wait(errorOf)
	var text string
	p.Eval(errorOf, &text)
	clitest.WantAll(t, "the error", text, says...)
	clitest.WantPlain(t, "the error", text)
	if strings.ContainsAny(text, "\n\x00") || !strings.HasSuffix(text, ".") {
		t.Errorf("no sentence: %q", text)
	}
}

// TestReview: a real export through the real file field becomes a review, without
// anything being sent.
func TestReview(t *testing.T) {
	s := serveTest(t)
	t.Chdir(t.TempDir())
	clitest.Copy(t, ".", takefile.Bundled, "beginner-2.csv", "beginner-2.take.json")
	start := time.Now()
	p := browsertest.Visit(t, s.URL+"/")
	p.Wait(ready)
	t.Logf("ready after %s", time.Since(start).Round(10*time.Millisecond))
	p.Check(browsertest.Outline, browsertest.Names, browsertest.Layout, browsertest.Contrast, browsertest.Keyboard, browsertest.Console)

	p.Wait(whole)
	// From here on there is no server any more, and the browser resolves no names:
	// what the page did with the take, it did on this machine.
	s.Close()
	for _, a := range slices.Concat(s.asked, prefixed(p.Asked(), "GET ", s.URL)) {
		if strings.HasPrefix(a, "GET blob:") { // an address within the page
			continue
		}
		method, name, _ := strings.Cut(a, " /")
		if name != "" && !slices.Contains(names(), name) || method != "GET" {
			t.Errorf("%s is asked for", a)
		}
	}
	before := len(p.Asked())
	p.Eval(keepBlobs, nil)

	start = time.Now()
	p.Give("#files", "beginner-2.csv", "beginner-2.take.json")
	p.Wait(opened)
	t.Logf("open after %s", time.Since(start).Round(10*time.Millisecond))
	p.Check(browsertest.Outline, browsertest.Names, browsertest.Layout, browsertest.Contrast, browsertest.Keyboard, browsertest.Console)
	p.Eval(`window.said = []; new MutationObserver(() => said.push(document.getElementById('status').textContent))
		.observe(document.getElementById('status'), {childList: true}); true`, nil)
	start = time.Now()
	p.Click("#review")
	p.Wait(frame)
	first := time.Since(start)
	t.Logf("first page after %s", first.Round(10*time.Millisecond))
	p.Wait(reviewed)
	var page struct {
		Heads             []string
		Figures, Overflow int
		Text, Sandbox     string
	}
	p.Eval(`(() => {
		const d = document.querySelector('iframe').contentDocument;
		return {
			Heads: [...d.querySelectorAll('h2')].map(h => h.textContent),
			Figures: d.querySelectorAll('.drawing svg').length,
			Overflow: d.documentElement.scrollWidth - d.documentElement.clientWidth,
			Text: d.body.textContent,
			Sandbox: document.querySelector('iframe').getAttribute('sandbox'),
		};
	})()`, &page)
	for _, want := range []string{"Check this first", "What was found", "Pictures", "The numbers", "Take care"} {
		if !slices.Contains(page.Heads, want) {
			t.Errorf("no section %q in %q", want, page.Heads)
		}
	}
	if page.Figures < 12 || page.Overflow > 0 || strings.Contains(page.Sandbox, "scripts") {
		t.Errorf("%d drawings, %d pixels too wide, sandbox %q", page.Figures, page.Overflow, page.Sandbox)
	}
	clitest.WantAll(t, "the page", page.Text, "strokes a second", "They began with beginner-2.take.json", "Choose it in the form, under The player")
	p.Check(browsertest.Outline, browsertest.Names, browsertest.Contrast, browsertest.Console)

	// Its links lead within it.
	p.Eval(frame+`.contentDocument.querySelector('nav li:last-child a').click()`, nil)
	p.Wait(frame + `.contentWindow.location.hash && ` + frame + `.contentDocument.querySelector('h1').textContent === 'Review of one take'`)

	// The page showed how far the worker was, and so was free meanwhile.
	var said []string
	p.Eval("said", &said)
	clitest.WantAll(t, "the status", strings.Join(said, "\n"), "Step 1 of 4: Reading: 100 %", "Step 2 of 4: Measuring 4801 samples …",
		"Step 3 of 4: Drawing the page …", "Step 4 of 4: Making the files to keep: 80 %", "Reviewed: beginner-2.csv.")

	// The files to keep are those that the program onetake writes.
	var kept map[string]string
	p.Eval(`Promise.all([...document.querySelectorAll('#downloads a')].map(async a => [a.download, await blobs.get(a.href).text()])).then(Object.fromEntries)`, &kept)
	for _, name := range []string{"page.html", "details.html", "strokes.csv", "spans.csv", "review.json", "captions.vtt", "notebook.ipynb", "beginner-2.reference.json", "beginner-2.take.json"} {
		if len(kept[name]) < 100 {
			t.Errorf("%s holds %q", name, kept[name])
		}
	}
	if !json.Valid([]byte(kept["review.json"])) || !json.Valid([]byte(kept["notebook.ipynb"])) || !strings.HasPrefix(kept["captions.vtt"], "WEBVTT") || !strings.HasPrefix(kept["strokes.csv"], "stroke,direction,") {
		t.Error("review.json, notebook.ipynb, captions.vtt or strokes.csv is not what it should be")
	}
	for _, a := range p.Asked()[before:] {
		if !strings.HasPrefix(a, "blob:") { // an address within the page
			t.Errorf("%s is asked for", a)
		}
	}
}

func prefixed(addresses []string, method, base string) []string {
	var out []string
	for _, a := range addresses {
		out = append(out, method+strings.TrimPrefix(a, base))
	}
	return out
}

// TestMarks: two clicks in the drawing set the marks, and the settings that are saved
// are read by the library.
func TestMarks(t *testing.T) {
	s := serveTest(t)
	t.Chdir(t.TempDir())
	clitest.Copy(t, ".", takefile.Bundled, "tutor.csv")
	p := browsertest.Visit(t, s.URL+"/")
	p.Wait(ready)
	p.Give("#files", "tutor.csv")
	p.Wait(opened)
	// On a still of the film a click is at the still's own pixels.
	still := image.NewGray(image.Rect(0, 0, 1280, 720))
	for i := range still.Pix {
		still.Pix[i] = uint8(120 + 8*(i/1280%9))
	}
	var picture bytes.Buffer
	if err := png.Encode(&picture, still); err != nil {
		t.Fatal(err)
	}
	clitest.Save(t, "still.png", picture.String())
	p.Give("#still", "still.png")
	p.Wait(`document.querySelector('#drawing image')`)
	p.ClickAt("#drawing image", 0.25, 0.5)
	var at []float64
	p.Eval(`['bass-x', 'bass-y'].map(id => Number(document.getElementById(id).value))`, &at)
	if math.Abs(at[0]-320) > 3 || math.Abs(at[1]-360) > 3 {
		t.Errorf("a click at 320, 360 of the still is at %v", at)
	}
	p.Check(browsertest.Layout, browsertest.Console)
	clitest.Save(t, "letter.png", "no picture")
	p.Give("#still", "letter.png")
	wantErr(t, p, "letter.png is no picture")

	p.Click("#click-bass")
	p.ClickAt("#drawing svg", 0.5, 0.1)
	p.Wait(`document.getElementById('click-treble').checked`)
	p.ClickAt("#drawing svg", 0.55, 0.9)
	p.Wait(`document.getElementById('treble-y').value`)
	p.Fill("#distance", "36,5")
	p.Fill("#tip-is", "pick")
	p.Eval(keepBlobs, nil)
	p.Eval(`window.saved = new Promise(done => {
		HTMLAnchorElement.prototype.click = function () { blobs.get(this.href).text().then(text => done([this.download, text])); };
	}); true`, nil)
	p.Click("#save")
	var saved []string
	p.Eval("window.saved", &saved)
	if len(saved) != 2 || saved[0] != "tutor.take.json" {
		t.Fatalf("saved %q", saved)
	}
	setup, err := review.ParseSetup(strings.NewReader(saved[1]))
	if err != nil {
		t.Fatal(err)
	}
	bass, treble := setup.Marks.Bass, setup.Marks.Treble
	if len(bass.At) != 2 || len(treble.At) != 2 || bass.At[1] >= treble.At[1] || setup.Marks.DistanceMM != 36.5 || setup.Tip != "tip" || setup.TipIs != review.TipOfPick {
		t.Errorf("settings %+v", setup)
	}
	if err := setup.Validate(); err != nil {
		t.Error(err)
	}
	// The click set what the drawing shows there: the fields hold it, too.
	var fields []string
	p.Eval(`['bass-x', 'bass-y'].map(id => document.getElementById(id).value)`, &fields)
	if data, err := json.Marshal(bass.At); err != nil || strings.Trim(string(data), "[]") != trimmed(fields) {
		t.Errorf("fields %q, settings %s", fields, data)
	}
	p.Check(browsertest.Layout, browsertest.Console)
	p.Click("#review")
	p.Wait(reviewed)
}

// trimmed joins numbers without the zeros that end them.
func trimmed(numbers []string) string {
	for i, x := range numbers {
		numbers[i] = strings.TrimSuffix(x, ".0")
	}
	return strings.Join(numbers, ",")
}

// TestNotUnderstood: a bad file gives a sentence, and the page stays usable.
func TestNotUnderstood(t *testing.T) {
	s := serveTest(t)
	t.Chdir(t.TempDir())
	p := browsertest.Visit(t, s.URL+"/")
	p.Wait(ready)
	film := append([]byte("\x00\x00\x00\x20ftypisom"), make([]byte, 5000)...)
	for _, c := range []struct {
		name, text string
		says       []string
	}{
		{"letter.txt", "Dear tutor,\nhere is my take, as promised.\n", []string{"letter.txt", "one row per sample"}},
		{"film.mp4", string(film), []string{"film.mp4", "a film or a picture has to go through a tracker first"}},
		{"empty.csv", "", []string{"empty.csv", "check the export"}},
		{"x.take.json", `{"tip": 3}`, []string{"x.take.json", "give the settings that this page saves"}},
	} {
		clitest.Save(t, c.name, c.text)
		p.Eval(`document.getElementById('error').textContent = ''`, nil)
		p.Give("#files", c.name)
		p.Wait(`document.getElementById('error').textContent`)
		wantErr(t, p, c.says...)
	}
	// What cannot be an export is not even read.
	large, err := os.Create("film.mov")
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(large.Truncate(400e6), large.Close()); err != nil {
		t.Fatal(err)
	}
	p.Give("#files", "film.mov")
	p.Wait(`document.getElementById('error').textContent.includes('film.mov')`)
	wantErr(t, p, "too large for this page, at 400 MB", "a tracker first")

	const evil = `<img src=x onerror="window.hacked=1">`
	clitest.Save(t, evilName, "time_s,"+evil+"_x,"+evil+"_y,b_x,b_y\n0,1,2,3,4\n0.1,2,2,3,4\n0.2,1,2,3,4\n")
	p.Give("#files", evilName)
	p.Wait(opened)
	p.Fill("#tip", evil)
	p.Click("#review")
	wantErr(t, p, "the marks on the string plane are missing", "give a bass mark and a treble mark")
	p.Fill("#distance", "wide")
	p.Click("#review")
	wantErr(t, p, "distance_mm")
	var hacked bool
	p.Eval(`!!window.hacked || document.querySelectorAll('img').length > 0`, &hacked)
	if hacked {
		t.Error("a name of the export became markup")
	}

	// And then one that is understood, by the button.
	p.Click("#demo")
	p.Wait(`document.getElementById('status').textContent.startsWith('Open: beginner-1.csv')`)
	p.Wait(`document.getElementById('notes').textContent.includes('No real player was measured')`)
	p.Click("#review")
	p.Wait(reviewed)
	p.Wait(frame + `.contentDocument.body.textContent.includes('No real player was measured')`)
	p.Check(browsertest.Console)
}

const evilName = `<b>a&b.csv`

// TestSize: the page and all that it loads stay small.
func TestSize(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	files, err := built()
	if err != nil {
		t.Fatal(err)
	}
	total := 0
	for _, f := range files {
		total += len(f.Data)
	}
	t.Logf("%.2f MB", float64(total)/1e6)
	if total >= 5e6 {
		t.Errorf("the page is %.2f MB large, and may be 5: see what the program links (go tool nm -size)", float64(total)/1e6)
	}
}

// TestOut: the files in a folder are those that are served.
func TestOut(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	dir := filepath.Join(t.TempDir(), "site")
	var out bytes.Buffer
	if err := run([]string{"-out", dir, "-json"}, &out); err != nil {
		t.Fatal(err)
	}
	var r results
	if err := json.Unmarshal(out.Bytes(), &r); err != nil || r.Folder != dir || len(r.Files) != len(names()) {
		t.Fatalf("%v: %s", err, out.String())
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if !slices.Contains(names(), e.Name()) {
			t.Errorf("%s is written", e.Name())
		}
	}
}
