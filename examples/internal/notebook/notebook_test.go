package notebook

import (
	"bytes"
	_ "embed"
	"encoding/xml"
	"fmt"
	"math"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/motion/figure"
)

// rates is a small figure.
var rates = figure.RateOverTime{T: []float64{0, 1, 2}, Rate: []float64{11, 11.2, 11}}

//go:embed notebook_test.go
var thisFile Source

// doubled is a step to show.
func doubled(x float64) float64 { return 2 * x }

func example() *Doc {
	d := New("Evening class & friends")
	d.Lead = "take-1.csv, 20 s"
	s := d.Section("Check this first")
	s.Caution("Check the signs", "The treble side is marked.", "If it is wrong, say so with -left.")
	s.Figure(Figure{Name: "rate", Of: rates, Alt: `the path of the "tip"`, Caption: "The tip in the film."})
	s = d.Section("Findings")
	s.Text("Settled for 12 s.", "a < b && b > c")
	s.Heading("In numbers")
	s.List("one", "two")
	s.Add(List{Items: []string{"first", "second"}, Ordered: true})
	s.Table(Table{
		Caption: "Rates",
		Head:    []string{"measure", "value", "unit"},
		Rows:    [][]string{{"rate", "9.98", "notes/s"}, {"length", "6.1", "mm"}},
		Numeric: []bool{false, true},
	})
	s = d.Section("How it was made")
	s.Code("go run ./examples/onetake\n  -check take.csv")
	s.Step(thisFile.Of(doubled), Text(fmt.Sprint("Twice as many: ", doubled(11))))
	return d
}

func render(t *testing.T, d *Doc) string {
	t.Helper()
	var b bytes.Buffer
	if err := d.HTML(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// element is one element of the page as a reader of its structure meets it.
type element struct {
	Name string
	Attr map[string]string
	Text string
}

// elements lists the page's elements. It reads the page as XML would be read,
// with what HTML leaves open closed.
func elements(t *testing.T, html string) []element {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(html))
	d.Strict = false
	d.AutoClose = xml.HTMLAutoClose
	d.Entity = xml.HTMLEntity
	var all []element
	var open []int
	for {
		token, err := d.Token()
		if token == nil {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			e := element{token.Name.Local, map[string]string{}, ""}
			for _, a := range token.Attr {
				e.Attr[a.Name.Local] = a.Value
			}
			open = append(open, len(all))
			all = append(all, e)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			if len(open) > 0 {
				all[open[len(open)-1]].Text += string(token)
			}
		}
	}
	return all
}

// texts returns the texts of the elements with that name.
func texts(all []element, name string) []string {
	var out []string
	for _, e := range all {
		if e.Name == name {
			out = append(out, strings.TrimSpace(e.Text))
		}
	}
	return out
}

func TestHTMLStructure(t *testing.T) {
	all := elements(t, render(t, example()))
	for _, c := range []struct {
		name string
		want []string
	}{
		{"h1", []string{"Evening class & friends"}},
		{"h2", []string{"Check this first", "Findings", "How it was made"}},
		{"h3", []string{"In numbers"}},
		{"p", []string{"take-1.csv, 20 s", "Check the signs", "The treble side is marked.", "If it is wrong, say so with -left.", "Settled for 12 s.", "a < b && b > c", "Twice as many: 22"}},
		{"figcaption", []string{"The tip in the film.", "Rates"}},
		{"th", []string{"measure", "value", "unit", "rate", "length"}},
		{"td", []string{"9.98", "notes/s", "6.1", "mm"}},
		{"code", []string{"go run ./examples/onetake\n  -check take.csv", "// doubled is a step to show.\nfunc doubled(x float64) float64 { return 2 * x }"}},
		{"summary", []string{"How it was computed (Go)"}},
	} {
		if diff := cmp.Diff(c.want, texts(all, c.name)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
	}
	count := map[string]int{}
	for _, e := range all {
		count[e.Name]++
		switch {
		case e.Name == "html" && e.Attr["lang"] != "en":
			t.Error("the page does not say its language")
		case e.Attr["role"] == "img" && e.Attr["aria-label"] != `the path of the "tip"`:
			t.Errorf("the drawing is labelled %q", e.Attr["aria-label"])
		case e.Name == "td" && (e.Attr["class"] == "number") != regexp.MustCompile(`^\d`).MatchString(e.Text):
			t.Errorf("cell %q has class %q", e.Text, e.Attr["class"])
		}
	}
	for name, want := range map[string]int{"header": 1, "nav": 1, "main": 1, "section": 3, "aside": 1, "svg": 2, "details": 1, "ul": 2, "ol": 1, "script": 0, "link": 0, "img": 0} {
		if count[name] != want {
			t.Errorf("%d elements %s, want %d", count[name], name, want)
		}
	}
}

// TestHTMLLinks checks that links lead to places on the page.
func TestHTMLLinks(t *testing.T) {
	html := render(t, example())
	var ids, links []string
	for _, e := range elements(t, html) {
		if id := e.Attr["id"]; id != "" {
			if slices.Contains(ids, id) {
				t.Errorf("the id %q stands twice", id)
			}
			ids = append(ids, id)
		}
		if e.Name == "a" {
			links = append(links, e.Attr["href"])
		}
	}
	if len(links) != 4 { // to the content, and to each section
		t.Errorf("%d links, want 4", len(links))
	}
	for _, l := range links {
		if !strings.HasPrefix(l, "#") || !slices.Contains(ids, l[1:]) {
			t.Errorf("link %q leads nowhere", l)
		}
	}
	outside := regexp.MustCompile(`(?i)(src|href)="[^#]|url\(|@import`)
	if hit := outside.FindString(html); hit != "" {
		t.Errorf("the page asks for something outside of it: %q", hit)
	}
}

// TestTableCaption: a table's caption stands outside of what scrolls, and names
// it still.
func TestTableCaption(t *testing.T) {
	html := render(t, example())
	caption := regexp.MustCompile(`<figcaption id="([^"]+)">Rates</figcaption>\s*<div class="wide"`).FindStringSubmatch(html)
	if caption == nil {
		t.Fatal("no caption before the scroller")
	}
	for _, e := range elements(t, html) {
		if (e.Name == "table" || e.Attr["class"] == "wide") && e.Attr["aria-labelledby"] != caption[1] {
			t.Errorf("%s is labelled by %q, want %q", e.Name, e.Attr["aria-labelledby"], caption[1])
		}
	}
}

func TestHTMLEscapes(t *testing.T) {
	const evil = `<script>alert("x")</script>`
	d := New(evil)
	d.Lead = evil
	s := d.Section(evil)
	s.Text(evil)
	s.Heading(evil)
	s.List(evil)
	s.Caution(evil, evil)
	s.Code(evil)
	s.Table(Table{Caption: evil, Head: []string{evil}, Rows: [][]string{{evil}}})
	s.Step(Listing{text: evil}, Text(evil))
	s.Figure(Figure{Name: "evil", Of: figure.EarlyLate{Pairs: []figure.Pair{{Name: evil, Unit: evil, Early: []float64{1}}}}, Alt: evil, Caption: evil})
	html := render(t, d)
	if strings.Contains(html, "<script") || strings.Contains(html, `alert("`) {
		t.Error("a text reached the page as markup")
	}
}

func TestHTMLRefuses(t *testing.T) {
	for _, c := range []struct {
		name  string
		block Block
		why   string
	}{
		{"short row", Table{Head: []string{"a", "b"}, Rows: [][]string{{"1", "2"}, {"1"}}}, "1 cells in row 2"},
		{"a link upward", Table{Head: []string{"a"}, Rows: [][]string{{"1"}}, Links: []string{"../x/page.html"}}, "beside the page"},
		{"a link elsewhere", Table{Head: []string{"a"}, Rows: [][]string{{"1"}}, Links: []string{"/etc/passwd"}}, "beside the page"},
		{"no alt", Figure{Name: "x", Of: rates}, "set Alt"},
		{"no picture", Figure{Name: "x", Alt: "x"}, "set Of"},
		{"no name", Figure{Of: rates, Alt: "x"}, "set Name"},
		{"a path for a name", Figure{Name: "../x", Of: rates, Alt: "x"}, "set Name"},
		{"a step's figure", Step{thisFile.Of(doubled), []Block{Figure{Name: "x", Of: rates}}}, "set Alt"},
		{"no code", Step{}, "no function to show"},
		{"code from elsewhere", Step{Code: thisFile.Of(strings.ToUpper)}, "no function ToUpper"},
		{"no function", Step{Code: thisFile.Of(3)}, "int is no function"},
		{"no Go", Step{Code: Source("x").Of(doubled)}, "embedded source"},
	} {
		d := New("x")
		d.Section("one").Add(c.block)
		var b bytes.Buffer
		err := d.HTML(&b)
		if err == nil || !strings.Contains(err.Error(), c.why) {
			t.Errorf("%s: error %v, want one with %q", c.name, err, c.why)
		}
		if b.Len() > 0 {
			t.Errorf("%s: %d bytes written before the error", c.name, b.Len())
		}
	}
}

// TestPlainDrawing: what could run or fetch anything does not pass for a drawing.
func TestPlainDrawing(t *testing.T) {
	for _, c := range []struct{ svg, why string }{
		{`<p/>`, "does not start"},
		{`<svg><script>1</script></svg>`, "script"},
		{`<svg><path onload="x"/></svg>`, "onload"},
		{`<svg><a href="#x"><path/></a></svg>`, "the element a"},
		{`<svg><image href="x.png"/></svg>`, "image"},
		{`<svg><style>@import "x"</style></svg>`, "style"},
		{`<svg><path style="fill: URL(x)"/></svg>`, "attribute style"},
		{`<svg><foreignObject/></svg>`, "foreignObject"},
		{`<svg><!-- x --></svg>`, "more than elements"},
		{`<svg><g></svg>`, "element <g>"},
		{`<svg></svg><p/>`, "the element p"},
	} {
		if err := plainDrawing([]byte(c.svg)); err == nil || !strings.Contains(err.Error(), c.why) {
			t.Errorf("%s: error %v, want one with %q", c.svg, err, c.why)
		}
	}
}

// TestContrast holds the page's text colours against its backgrounds: at least
// 4.5 to 1 (Web Content Accessibility Guidelines 2.2, success criterion 1.4.3).
func TestContrast(t *testing.T) {
	texts := regexp.MustCompile(`[ ;]color: (#[0-9a-f]{3,6})`).FindAllStringSubmatch(style, -1)
	backs := regexp.MustCompile(`background: (#[0-9a-f]{3,6})`).FindAllStringSubmatch(style, -1)
	if len(texts) < 3 || len(backs) < 3 {
		t.Fatalf("%d text colours and %d backgrounds found: has the style changed its spelling?", len(texts), len(backs))
	}
	for _, text := range texts {
		for _, back := range backs {
			if c := contrast(text[1], back[1]); c < 4.5 {
				t.Errorf("%s on %s: contrast %.2f", text[1], back[1], c)
			}
		}
	}
	// The guidelines' own ends of the scale.
	if c := contrast("#000", "#fff"); math.Abs(c-21) > 1e-9 {
		t.Errorf("black on white: %v, want 21", c)
	}
}

// contrast is (L1 + 0.05)/(L2 + 0.05) of the relative luminances.
func contrast(a, b string) float64 {
	hi, lo := luminance(a), luminance(b)
	if hi < lo {
		hi, lo = lo, hi
	}
	return (hi + 0.05) / (lo + 0.05)
}

func luminance(hex string) float64 {
	hex = strings.TrimPrefix(hex, "#")
	if len(hex) == 3 {
		hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
	}
	l := 0.0
	for i, w := range []float64{0.2126, 0.7152, 0.0722} {
		v, err := strconv.ParseUint(hex[2*i:2*i+2], 16, 8)
		if err != nil {
			panic(err)
		}
		c := float64(v) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		l += w * c
	}
	return l
}

func ExampleDoc() {
	d := New("Evening class, first take")
	s := d.Section("Findings")
	s.Text("The motion held for most of the take.")
	s.Table(Table{
		Head:    []string{"measure", "value", "unit"},
		Rows:    [][]string{{"rate", "9.98", "notes/s"}},
		Numeric: []bool{false, true},
	})
	for _, b := range s.Blocks {
		fmt.Printf("%T\n", b)
	}
	var page bytes.Buffer
	if err := d.HTML(&page); err != nil {
		fmt.Fprintln(os.Stderr, err)
	}
	fmt.Println(strings.Contains(page.String(), "<p>The motion held for most of the take.</p>"))
	// Output:
	// notebook.Text
	// notebook.Table
	// true
}

// TestCare: the cautions stand on the page, and what a page has to say besides.
func TestCare(t *testing.T) {
	d := New("x")
	d.Care("Warm up.")
	all := texts(elements(t, render(t, d)), "p")
	for _, part := range []string{"Stop at pain, numbness or tingling. Rest", "see a clinician", "Warm up. Nothing on this page is medical advice"} {
		if !slices.ContainsFunc(all, func(text string) bool { return strings.Contains(text, part) }) {
			t.Errorf("the page does not say %q: %q", part, all)
		}
	}
}
