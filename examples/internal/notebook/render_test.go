package notebook

import (
	"bytes"
	"encoding/json"
	"net/url"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"

	"github.com/plectrace/plectrace/motion/figure"
)

// hostile are texts that Markdown, tables and HTML would read as markup.
var hostile = []string{
	`<script>alert("x")</script>`, "a | b || c", "*bold* _em_ __strong__ ~~gone~~ `code`", "[link](http://example.org)", "![image](x.png)",
	"# no heading", "- no list", "+ no list", "1. no list", "2) no list", "> no quote", "---", "===", "$x^2$", `C:\dir\*.csv`, "&lt;&amp;&#65;",
	"snake_case_name and _private_", "trailing backslash \\", "a\nb\r\n\tc", "<!-- comment -->", "```", "~~~", "* * *", "www.example.org", "| --- |",
	"-", "+", "1.", "=", "<http://example.org>", "tip\u2028x",
}

// shown is a text as a reader sees it: without line ends.
func shown(text string) string { return strings.Join(strings.Fields(text), " ") }

// TestMarkdownText holds texts against another reader of Markdown: what it makes of
// them is the text again, in every place where one can stand.
func TestMarkdownText(t *testing.T) {
	md := goldmark.New(goldmark.WithExtensions(extension.Table, extension.Strikethrough))
	for _, text := range hostile {
		d := New(text)
		d.Lead = text
		s := d.Section(text)
		s.Text(text, "a word before "+text)
		s.Heading(text)
		s.List(text)
		s.Add(List{Items: []string{text}, Ordered: true})
		s.Caution(text, text)
		s.Code(text)
		s.Table(Table{Caption: text, Head: []string{text, text}, Rows: [][]string{{text, text}}})
		s.Step(Listing{text: text}, Text(text))
		var source, page bytes.Buffer
		if err := d.Markdown(&source); err != nil {
			t.Fatal(err)
		}
		if err := md.Convert(source.Bytes(), &page); err != nil {
			t.Fatal(err)
		}
		all := elements(t, page.String())
		for _, c := range []struct {
			name string
			want []string
		}{
			{"h1", []string{text}}, {"h2", []string{text}}, {"h3", []string{text}},
			{"th", []string{text, text}}, {"td", []string{text, text}}, {"li", []string{text, text}}, {"em", []string{text}}, {"strong", []string{text}},
			{"p", []string{text, text, "a word before " + text, "", text, "", text}}, // the texts of em and strong stand inside of theirs
			{"code", []string{text, text}}, {"a", nil}, {"img", nil}, {"script", nil}, {"del", nil}, {"hr", nil},
		} {
			var want, got []string
			for _, w := range c.want {
				want = append(want, shown(w))
			}
			for _, g := range texts(all, c.name) {
				got = append(got, shown(g))
			}
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("%q as %s (-want +got):\n%s\n%s", text, c.name, diff, source.String())
			}
		}
	}
}

func TestMarkdown(t *testing.T) {
	var b bytes.Buffer
	if err := example().Markdown(&b); err != nil {
		t.Fatal(err)
	}
	const want = "# Evening class &amp; friends\n\ntake-1.csv, 20 s\n" +
		"\n## Check this first\n\n> **Check the signs**\n>\n> The treble side is marked.\n>\n> If it is wrong, say so with -left.\n" +
		"\n![the path of the \"tip\"](figures/rate.svg)\n\n*The tip in the film.*\n" +
		"\n## Findings\n\nSettled for 12 s.\n\na &lt; b && b &gt; c\n\n### In numbers\n\n- one\n- two\n\n1. first\n2. second\n" +
		"\n*Rates*\n\n| measure | value | unit |\n| --- | ---: | --- |\n| rate | 9.98 | notes/s |\n| length | 6.1 | mm |\n" +
		"\n## How it was made\n\n```\ngo run ./examples/onetake\n  -check take.csv\n```\n" +
		"\n```go\n// doubled is a step to show.\nfunc doubled(x float64) float64 { return 2 * x }\n```\n\nTwice as many: 22\n"
	got := strings.ReplaceAll(b.String(), "&amp;&amp;", "&&")
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// TestJupyter holds the notebook against the JSON schema of nbformat 4.5, which the
// Jupyter project publishes (testdata, as in Debian's python3-nbformat 5.5.0).
func TestJupyter(t *testing.T) {
	schema, err := jsonschema.NewCompiler().Compile("testdata/nbformat.v4.5.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	docs := []*Doc{example(), New("nothing")}
	for _, text := range hostile {
		d := New(text)
		d.Section(text).Step(Listing{text: text}, Text(text), List{Items: []string{text}}, Table{Head: []string{text}},
			Figure{Name: "rate", Of: rates, Alt: text, Caption: text})
		docs = append(docs, d)
	}
	for _, d := range docs {
		var b bytes.Buffer
		if err := d.Jupyter(&b); err != nil {
			t.Fatal(err)
		}
		v, err := jsonschema.UnmarshalJSON(bytes.NewReader(b.Bytes()))
		if err != nil {
			t.Fatal(err)
		}
		if err := schema.Validate(v); err != nil {
			t.Errorf("%q: %v", d.Title, err)
		}
	}
	// The schema can fail.
	v, err := jsonschema.UnmarshalJSON(strings.NewReader(`{"cells": [{"cell_type": "code", "metadata": {}, "outputs": [], "execution_count": 1, "source": []}], "metadata": {}, "nbformat": 4, "nbformat_minor": 5}`))
	if err != nil {
		t.Fatal(err)
	}
	if schema.Validate(v) == nil {
		t.Error("a cell without an id passes")
	}
}

// TestJupyterCells checks the order of cells, and that code, prose and pictures
// come back out of them as they went in.
func TestJupyterCells(t *testing.T) {
	d := example()
	d.Section("A picture").Step(thisFile.Of(doubled), Figure{Name: "again", Of: rates, Alt: "eleven", Caption: "Eleven a second."})
	var b bytes.Buffer
	if err := d.Jupyter(&b); err != nil {
		t.Fatal(err)
	}
	var n struct {
		Cells []struct {
			Type        string `json:"cell_type"`
			ID          string
			Source      []string
			Outputs     []struct{ Data map[string][]string }
			Attachments map[string]map[string][]string
		}
	}
	if err := json.Unmarshal(b.Bytes(), &n); err != nil {
		t.Fatal(err)
	}
	var kinds, ids []string
	for _, c := range n.Cells {
		kinds = append(kinds, c.Type)
		if slices.Contains(ids, c.ID) {
			t.Errorf("the id %s stands twice", c.ID)
		}
		ids = append(ids, c.ID)
	}
	if diff := cmp.Diff([]string{"markdown", "markdown", "markdown", "markdown", "markdown", "code", "markdown", "code"}, kinds); diff != "" {
		t.Fatalf("(-want +got):\n%s", diff)
	}
	svg := string(figure.SVG(rates, figure.Options{}))
	if got := strings.Join(n.Cells[2].Attachments["rate.svg"]["image/svg+xml"], ""); got != svg {
		t.Error("the attached picture is another")
	}
	if got := strings.Join(n.Cells[2].Source, ""); !strings.HasPrefix(got, "![the path of the \"tip\"](attachment:rate.svg)\n") {
		t.Errorf("its cell begins %q", got)
	}
	code := n.Cells[7]
	if got, want := strings.Join(code.Source, ""), "// doubled is a step to show.\nfunc doubled(x float64) float64 { return 2 * x }"; got != want {
		t.Errorf("the code is %q, want %q", got, want)
	}
	if len(code.Outputs) != 2 || strings.Join(code.Outputs[0].Data["image/svg+xml"], "") != svg {
		t.Error("the picture is not what came of the code")
	}
}

// TestRowLinks: a browser that follows the link of a row, by RFC 3986 (net/url), comes
// to the file of that name beside the page, whatever it is called.
func TestRowLinks(t *testing.T) {
	names := []string{"lesson/page.html", "späte Übung ♪ 1/page.html", "a b?c#d%20e/page.html", "javascript:alert(1)", "a:b/page.html", `<"'&>|]()[/page.html`, "..x/page.html"}
	table := Table{Head: []string{"take", "strokes"}, Links: names}
	for _, n := range names {
		table.Rows = append(table.Rows, []string{n, "1"})
	}
	table.Rows = append(table.Rows, []string{"no page", "0"})
	d := New("x")
	d.Section("one").Table(table)
	var source, made bytes.Buffer
	if err := d.Markdown(&source); err != nil {
		t.Fatal(err)
	}
	if err := goldmark.New(goldmark.WithExtensions(extension.Table)).Convert(source.Bytes(), &made); err != nil {
		t.Fatal(err)
	}
	base, err := url.Parse("file:///home/a%20b/index.html")
	if err != nil {
		t.Fatal(err)
	}
	for what, text := range map[string]string{"HTML": render(t, d), "Markdown": made.String()} {
		var got []string
		for _, e := range elements(t, text) {
			if href := e.Attr["href"]; e.Name == "a" && !strings.HasPrefix(href, "#") {
				to, err := url.Parse(href)
				if err != nil {
					t.Fatal(err)
				}
				to = base.ResolveReference(to)
				got = append(got, strings.TrimPrefix(to.Path, "/home/a b/"))
				if to.Scheme != "file" || to.RawQuery != "" || to.Fragment != "" {
					t.Errorf("%s: %q leads to %s", what, href, to)
				}
			}
		}
		if diff := cmp.Diff(names, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", what, diff)
		}
	}
}

// TestRenderersRefuse: what one renderer refuses, all do, and write nothing.
func TestRenderersRefuse(t *testing.T) {
	same := Figure{Name: "rate", Of: rates, Alt: "x"}
	for name, blocks := range map[string][]Block{
		"no alt":             {Figure{Name: "x", Of: rates}},
		"no picture":         {Step{thisFile.Of(doubled), []Block{Figure{Name: "x", Alt: "x"}}}},
		"one name twice":     {same, Step{thisFile.Of(doubled), []Block{same}}},
		"short row":          {Table{Head: []string{"a", "b"}, Rows: [][]string{{"1"}}}},
		"code of nowhere":    {Step{Code: thisFile.Of(strings.ToUpper)}},
		"a step in a step":   {Step{thisFile.Of(doubled), []Block{Step{Code: thisFile.Of(doubled)}}}},
		"short row in steps": {Step{thisFile.Of(doubled), []Block{Table{Head: []string{"a", "b"}, Rows: [][]string{{"1"}}}}}},
	} {
		d := New("x")
		d.Section("one").Add(blocks...)
		var b bytes.Buffer
		for renderer, err := range map[string]error{"HTML": d.HTML(&b), "Markdown": d.Markdown(&b), "Jupyter": d.Jupyter(&b)} {
			if err == nil || b.Len() > 0 {
				t.Errorf("%s: %s returns %v and writes %d bytes", name, renderer, err, b.Len())
			}
		}
	}
}
