package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/examples/internal/browsertest"
	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/progress"
)

const kept = `Promise.all([...document.querySelectorAll('#downloads a')].map(async a => [a.download, await blobs.get(a.href).text()])).then(Object.fromEntries)`

// TestKeyboard: with the keyboard alone, and without the server once the page is there,
// the invented take is reviewed.
func TestKeyboard(t *testing.T) {
	s := serveTest(t)
	p := browsertest.Visit(t, s.URL+"/")
	p.Wait(ready)
	p.Wait(whole)
	s.Close()
	tab := func(until string) {
		t.Helper()
		for range 80 {
			p.Press("Tab")
			var there bool
			p.Eval(fmt.Sprintf("document.activeElement.id === %q", until), &there)
			if there {
				return
			}
		}
		t.Fatalf("the tab key does not reach %s", until)
	}
	tab("demo")
	p.Press("Enter")
	p.Wait(opened)
	tab("drawing")
	p.Eval(`document.getElementById('bass').value`, new(string))
	p.Press("ArrowLeft") // sets the mark, and moves it
	p.Wait(`document.getElementById('bass-x').value`)
	var before, after float64
	p.Eval(`Number(document.getElementById('bass-y').value)`, &before)
	p.Press("ArrowDown")
	p.Eval(`Number(document.getElementById('bass-y').value)`, &after)
	if after <= before {
		t.Errorf("the arrow down moves the mark from %g to %g", before, after)
	}
	p.Fill("#bass", "bass")
	tab("review")
	p.Press("Enter")
	p.Wait(reviewed)
	p.Wait(`document.activeElement.id === 'result-title'`)
	p.Check(browsertest.Console)
}

// TestStop: a review that is stopped leaves the take open, for another.
func TestStop(t *testing.T) {
	s := serveTest(t)
	t.Chdir(t.TempDir())
	clitest.Copy(t, ".", takefile.Bundled, "beginner-2.csv", "beginner-2.take.json")
	p := browsertest.Visit(t, s.URL+"/")
	p.Wait(whole)
	s.Close()
	p.Give("#files", "beginner-2.csv", "beginner-2.take.json")
	p.Wait(opened)
	p.Fill("#distance", "36,5")
	p.Click("#review")
	p.Wait(`document.getElementById('status').textContent.startsWith('Step ')`)
	p.Eval(`document.getElementById('stop').click(); !document.getElementById('stop').disabled`, nil)
	p.Wait(`document.getElementById('status').textContent === 'Stopped. Still open: beginner-2.csv.'`)
	var form string
	p.Eval(`document.getElementById('distance').value`, &form)
	if form != "36,5" {
		t.Errorf("the distance is %q now", form)
	}
	p.Click("#review")
	p.Wait(reviewed)
	p.Wait(frame + `.contentDocument.body.textContent.includes('They began with beginner-2.take.json')`)
	p.Check(browsertest.Layout, browsertest.Console)
}

// TestCompare: the motion of one take is compared with another's, and left out again.
func TestCompare(t *testing.T) {
	s := serveTest(t)
	t.Chdir(t.TempDir())
	clitest.Copy(t, ".", takefile.Bundled, "tutor.csv", "tutor.take.json", "beginner-2.csv", "beginner-2.take.json")
	p := browsertest.Visit(t, s.URL+"/")
	p.Wait(ready)
	p.Give("#files", "tutor.csv", "tutor.take.json")
	p.Wait(opened)
	p.Click("#review")
	p.Wait(reviewed)
	p.Check(browsertest.Layout, browsertest.Contrast, browsertest.Names)
	p.Click("#compare")
	p.Wait(`document.getElementById('used').textContent.includes('tutor.reference.json: the motion to compare with')`)
	p.Give("#files", "beginner-2.csv", "beginner-2.take.json")
	p.Wait(opened + ` && take.name === 'beginner-2.csv'`)
	p.Click("#review")
	p.Wait(reviewed)
	p.Wait(frame + `.contentDocument.body.textContent.includes('the longest settled span of tutor.csv')`)
	p.Click("#used button")
	p.Wait(`!document.getElementById('used').textContent.includes('tutor')`)
	p.Check(browsertest.Console)
}

// TestSaved: with the settings that the page saves, the programs measure the same
// strokes as the page.
func TestSaved(t *testing.T) {
	s := serveTest(t)
	t.Chdir(t.TempDir())
	clitest.Copy(t, ".", takefile.Bundled, "beginner-1.csv")
	// As a tracker of another country writes it, without times.
	var out strings.Builder
	for _, line := range strings.Split(strings.TrimSpace(clitest.Read(t, "beginner-1.csv")), "\n") {
		_, rest, _ := strings.Cut(line, ",") // the times
		out.WriteString(strings.ReplaceAll(strings.ReplaceAll(rest, ",", ";"), ".", ",") + "\n")
	}
	clitest.Save(t, "lesson.csv", out.String())
	clitest.Save(t, cohort.SharedSettings, `{"string_count": 4, "mirrored": true}`)
	p := browsertest.Visit(t, s.URL+"/")
	p.Wait(ready)
	p.Drop("#drop", "lesson.csv", cohort.SharedSettings)
	p.Wait(opened)
	p.Click("#review")
	wantErr(t, p, "Frames a second, under Time")
	p.Eval(keepBlobs, nil)
	p.Fill("#rate", "240")
	p.Fill("#distance", "36,5")
	p.Click("#mirrored") // no longer
	p.Eval(`for (const d of document.querySelectorAll('details')) d.open = true`, nil)
	p.Click("#card")
	p.Check(browsertest.Outline, browsertest.Names, browsertest.Layout, browsertest.Contrast, browsertest.Keyboard)
	p.Click("#review")
	wantErr(t, p, "card: bass foot", "give x and y in the picture")
	p.Click("#card")
	p.Fill("#touch", "1,25")
	p.Fill("#touched", "2")
	p.Fill("#bpm", "100")
	p.Click("#review")
	p.Wait(reviewed)
	var files map[string]string
	p.Eval(kept, &files)
	clitest.Save(t, "lesson.take.json", files["lesson.take.json"])
	r, err := takefile.Open(progress.Take{File: "lesson.csv"}, takefile.Folder("."), cohort.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if r.Review.Setup.Mirrored || r.Review.Setup.StringCount != 4 || r.Review.Setup.TouchS == nil || *r.Review.Setup.TouchS != 1.25 {
		t.Errorf("settings %+v", r.Review.Setup)
	}
	var strokes, whole bytes.Buffer
	if err := r.Review.WriteStrokes(&strokes); err != nil {
		t.Fatal(err)
	}
	if err := r.Review.WriteJSON(&whole); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(strokes.String(), files["strokes.csv"]); d != "" || strokes.Len() < 1000 {
		t.Errorf("(-program +page)\n%s", d)
	}
	var program, page map[string]any
	if err := json.Unmarshal(whole.Bytes(), &program); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal([]byte(files["review.json"]), &page); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(program["measures"], page["measures"]); d != "" || page["measures"] == nil {
		t.Errorf("(-program +page)\n%s", d)
	}
}

// TestPolicy: the page and its workers may ask nobody but the page's own server for
// anything, even one that would answer.
func TestPolicy(t *testing.T) {
	s := serveTest(t)
	var asked atomic.Int32
	other := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		asked.Add(1)
		w.Header().Set("Access-Control-Allow-Origin", "*")
	}))
	defer other.Close()
	p := browsertest.Visit(t, s.URL+"/")
	p.Wait(ready)
	const ask = `fetch("%s", {method: "POST", body: "take", mode: "no-cors"}).then(() => "sent", () => "refused")`
	var page, worker string
	p.Eval(fmt.Sprintf(ask, other.URL), &page)
	p.Eval(fmt.Sprintf(`new Promise(done => {
		const w = new Worker(URL.createObjectURL(new Blob(['`+ask+`.then(x => postMessage(x))'])));
		w.onmessage = e => done(e.data);
	})`, other.URL), &worker)
	if page != "refused" || worker != "refused" || asked.Load() > 0 {
		t.Errorf("the page's request is %s, its worker's %s; %d came", page, worker, asked.Load())
	}
}

// TestDisk: opened from the disk, the page says how to start it.
func TestDisk(t *testing.T) {
	dir := t.TempDir()
	if err := cli.WriteFolder(filepath.Join(dir, "site"), sourcesOnly(t), false); err != nil {
		t.Fatal(err)
	}
	p := browsertest.Open(t, filepath.Join(dir, "site", "index.html"))
	p.Wait(`document.body.innerText.includes('go run ./examples/browser')`)
	p.Wait(`!document.body.innerText.includes('Getting ready')`)
	p.Click("#demo")
	p.Wait(errorOf)
	p.Check(browsertest.Layout, browsertest.Contrast)
}

// sourcesOnly are the files that are written by hand.
func sourcesOnly(t *testing.T) []cli.File {
	t.Helper()
	var files []cli.File
	for _, name := range sources {
		data, err := site.ReadFile("site/" + name)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, cli.File{Name: name, Data: data})
	}
	return files
}

// TestDropped: a folder and files that come while the page is at work are refused in
// plain words.
func TestDropped(t *testing.T) {
	s := serveTest(t)
	t.Chdir(t.TempDir())
	clitest.Copy(t, ".", takefile.Bundled, "beginner-2.csv")
	if err := os.Mkdir("lessons", 0o777); err != nil {
		t.Fatal(err)
	}
	p := browsertest.Visit(t, s.URL+"/")
	p.Wait(ready)
	p.Drop("#drop", "lessons")
	wantErr(t, p, "lessons is a folder", "give the export of one take")
	p.Drop("#drop", "beginner-2.csv")
	p.Wait(opened)
	p.Eval(`working("Reading", -1)`, nil)
	p.Drop("#drop", "beginner-2.csv")
	wantErr(t, p, "beginner-2.csv was not taken in", "press Stop")
}
