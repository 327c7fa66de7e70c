package browsertest

import (
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// TestVisit: what a person does on a served page has its effect there.
func TestVisit(t *testing.T) {
	t.Parallel()
	page := with(`<form><label>Name <input id="name" onchange="said.push('name ' + this.value)"></label>
<label>Files <input id="files" type="file" multiple onchange="for (const f of this.files) f.text().then(x => said.push(f.name + ' ' + x))"></label></form>
<div id="drop" style="height: 2000px" ondragover="event.preventDefault()" ondrop="event.preventDefault(); said.push('dropped ' + event.dataTransfer.files[0].name)"></div>
<button id="far" style="width: 200px; height: 100px" onclick="const b = this.getBoundingClientRect(); said.push(!event.detail ? 'by key' : 'at ' + Math.round((event.clientX - b.left) / 10) + ', ' + Math.round((event.clientY - b.top) / 10))">Far down</button>
<script>const said = []; setTimeout(() => { window.late = true; fetch('there.txt'); }, 100);</script>`)
	page = strings.Replace(page, "<title>", `<link rel="icon" href="data:,"><title>`, 1) // none is asked for
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		if _, err := w.Write([]byte(page)); err != nil {
			t.Error(err)
		}
	}))
	defer s.Close()
	p := Visit(t, s.URL+"/")
	p.Wait("window.late")
	name := filepath.Join(t.TempDir(), "take.csv")
	if err := os.WriteFile(name, []byte("1,2"), 0o666); err != nil {
		t.Fatal(err)
	}
	p.Fill("#name", `O'Neil "the" pick`)
	p.Give("#files", name)
	p.Wait("said.length === 2")
	p.Click("#far")
	p.ClickAt("#far", 0.25, 0.1)
	p.Wait("said.length === 4")
	p.Press("Enter")
	p.Drop("#drop", name)
	p.Wait("said.length === 6")
	p.Eval(`new Worker(URL.createObjectURL(new Blob(["fetch('" + location.origin + "/work.txt').then(() => postMessage(0))"]))).onmessage = () => { window.worked = true; }; true`, nil)
	p.Wait("window.worked")
	var said []string
	p.Eval("said", &said)
	if d := cmp.Diff([]string{`name O'Neil "the" pick`, "take.csv 1,2", "at 10, 5", "at 5, 1", "by key", "dropped take.csv"}, said); d != "" {
		t.Errorf("(-want +said)\n%s", d)
	}
	if asked := p.Asked(); len(asked) < 2 || !strings.HasSuffix(asked[0], "/there.txt") || !strings.HasSuffix(asked[len(asked)-1], "/work.txt") {
		t.Errorf("asked for %q", asked)
	}
}
