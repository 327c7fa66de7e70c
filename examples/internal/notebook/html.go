package notebook

import (
	"bytes"
	_ "embed"
	"fmt"
	"html"
	"io"
	"strings"

	"github.com/plectrace/plectrace/motion/figure"
)

//go:embed page.css
var style string

// HTML writes the page to w. It returns an error, before anything is written,
// if a table's rows are not as long as its head or lead out of the page's folder,
// if a figure has no name or no words for those who cannot see it, or if code to
// show is not the program's.
func (d *Doc) HTML(w io.Writer) error {
	if err := d.check(); err != nil {
		return err
	}
	var p markup
	p.put(`<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<title>%s</title>
<style>
`, d.Title)
	p.WriteString(style)
	p.put(`</style>
</head>
<body>
<a class="skip" href="#content">Skip to the content</a>
<header>
<h1>%s</h1>`, d.Title)
	if d.Lead != "" {
		p.put("\n<p class=\"lead\">%s</p>", d.Lead)
	}
	p.put("\n</header>")
	p.contents(d.Sections)
	p.put("\n<main id=\"content\" tabindex=\"-1\">")
	for i, s := range d.Sections {
		p.put("\n<section aria-labelledby=\"%s\">\n<h2 id=\"%[1]s\">%s</h2>", sectionID(i), s.Title)
		if err := p.blocks(s.Blocks); err != nil {
			return fmt.Errorf("notebook: section %q: %w", s.Title, err)
		}
		p.put("\n</section>")
	}
	p.put("\n</main>\n</body>\n</html>\n")
	_, err := p.WriteTo(w)
	return err
}

func sectionID(i int) string { return fmt.Sprintf("section-%d", i+1) }

// markup is a page as it is written. (Not by html/template: reflection would keep
// every method of the program, which makes it half as large again where it runs in a
// browser.)
type markup struct {
	bytes.Buffer
	captions int
}

// put writes markup, which is a format, with texts in it. These are escaped: only put
// and the drawings that plainDrawing has looked through write into a page.
func (p *markup) put(format string, texts ...string) {
	escaped := make([]any, len(texts))
	for i, t := range texts {
		escaped[i] = html.EscapeString(t)
	}
	fmt.Fprintf(p, format, escaped...)
}

// contents are the links to the sections, where these are many.
func (p *markup) contents(sections []*Section) {
	if len(sections) <= 2 {
		return
	}
	p.put("\n<nav aria-label=\"Sections\">\n<ul>")
	for i, s := range sections {
		p.put("\n<li><a href=\"#%s\">%s</a></li>", sectionID(i), s.Title)
	}
	p.put("\n</ul>\n</nav>")
}

func (p *markup) blocks(blocks []Block) error {
	for _, b := range blocks {
		var err error
		switch b := b.(type) {
		case Heading:
			p.put("\n<h3>%s</h3>", string(b))
		case Text:
			p.put("\n<p>%s</p>", string(b))
		case List:
			p.list(b)
		case Table:
			err = p.table(b)
		case Figure:
			err = p.figure(b)
		case Caution:
			p.put("\n<aside class=\"caution\" aria-label=\"%s\">\n<p class=\"title\">%[1]s</p>", b.Title)
			for _, t := range b.Texts {
				p.put("\n<p>%s</p>", t)
			}
			p.put("\n</aside>")
		case Code:
			p.put("\n<pre tabindex=\"0\"><code>%s</code></pre>", string(b))
		case Step:
			err = p.blocks(b.Results)
			p.put("\n<details class=\"step\">\n<summary>How it was computed (Go)</summary>\n<pre tabindex=\"0\"><code>%s</code></pre>\n</details>", b.Code.text)
		default:
			err = fmt.Errorf("a block of type %T has no place in a page", b)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func (p *markup) list(l List) {
	open, end := "\n<ul>", "\n</ul>"
	if l.Ordered {
		open, end = "\n<ol>", "\n</ol>"
	}
	p.put(open)
	for _, item := range l.Items {
		p.put("\n<li>%s</li>", item)
	}
	p.put(end)
}

// Widths of a figure, in units and pixels, on a phone and on a larger screen: the
// page's column in each.
const (
	narrowFigure = 343
	wideFigure   = 608
)

// figure draws a figure for both widths.
func (p *markup) figure(f Figure) error {
	p.put("\n<figure>\n<div class=\"drawing\" role=\"img\" aria-label=\"%s\">", f.Alt)
	for _, d := range []struct {
		width int
		open  string
	}{{narrowFigure, `<div class="for-narrow">`}, {wideFigure, `<div class="for-wide">`}} {
		svg := figure.SVG(f.Of, figure.Options{Width: d.width})
		if err := plainDrawing(svg); err != nil {
			return fmt.Errorf("the figure %q: %w", f.Name, err)
		}
		p.put(d.open)
		p.Write(svg)
		p.put("</div>")
	}
	p.put("</div>")
	if f.Caption != "" {
		p.put("\n<figcaption>%s</figcaption>", f.Caption)
	}
	p.put("\n</figure>")
	return nil
}

func (p *markup) table(t Table) error {
	cells, err := prepareTable(t)
	if err != nil {
		return err
	}
	p.put("\n<figure class=\"table\">")
	if t.Caption != "" {
		p.captions++
		p.put("\n<figcaption id=\"%s\">%s</figcaption>\n<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-labelledby=\"%[1]s\">\n<table aria-labelledby=\"%[1]s\">",
			fmt.Sprintf("caption-%d", p.captions), t.Caption)
	} else {
		p.put("\n<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"table\">\n<table>")
	}
	p.put("\n<thead><tr>")
	for _, c := range cells.Head {
		p.cell(`th scope="col"`, c)
	}
	p.put("</tr></thead>\n<tbody>")
	for _, row := range cells.Rows {
		p.put("\n<tr>")
		for i, c := range row {
			if i == 0 {
				p.cell(`th scope="row"`, c)
			} else {
				p.cell("td", c)
			}
		}
		p.put("</tr>")
	}
	p.put("\n</tbody>\n</table>\n</div>\n</figure>")
	return nil
}

// cell writes a cell, of an element with its attributes.
func (p *markup) cell(element string, c cell) {
	p.put("<" + element)
	if c.Numeric {
		p.put(` class="number"`)
	}
	p.put(">")
	if c.Link != "" {
		p.put(`<a href="%s">%s</a>`, c.Link, c.Text)
	} else {
		p.put("%s", c.Text)
	}
	name, _, _ := strings.Cut(element, " ")
	p.put("</" + name + ">")
}
