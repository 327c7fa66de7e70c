package notebook

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"io/fs"
	"net/url"

	"github.com/plectrace/plectrace/motion/figure"
)

//go:embed page.gohtml
var pageText string

var page = template.Must(template.New("page").Parse(pageText))

// HTML writes the page to w. It returns an error, before anything is written,
// if a table's rows are not as long as its head or lead out of the page's folder,
// if a figure has no name or no words for those who cannot see it, or if code to
// show is not the program's.
func (d *Doc) HTML(w io.Writer) error {
	if err := d.check(); err != nil {
		return err
	}
	type section struct {
		ID, Title string
		Blocks    []block
	}
	var sections []section
	ids := new(numbering)
	for i, s := range d.Sections {
		out := section{ID: fmt.Sprintf("section-%d", i+1), Title: s.Title}
		var err error
		if out.Blocks, err = prepareAll(s.Blocks, ids); err != nil {
			return fmt.Errorf("notebook: section %q: %w", s.Title, err)
		}
		sections = append(sections, out)
	}
	var b bytes.Buffer
	if err := page.Execute(&b, struct {
		Title, Lead string
		Sections    []section
	}{d.Title, d.Lead, sections}); err != nil {
		return err
	}
	_, err := b.WriteTo(w)
	return err
}

// Widths of a figure, in units and pixels, on a phone and on a larger screen: the
// page's column in each.
const (
	narrowFigure = 343
	wideFigure   = 608
)

// numbering gives captions their ids.
type numbering int

func (n *numbering) next() string {
	*n++
	return fmt.Sprintf("caption-%d", *n)
}

// block is a block as the template shows it.
type block struct {
	Kind string
	Of   any
}

func prepareAll(blocks []Block, ids *numbering) ([]block, error) {
	var out []block
	for _, b := range blocks {
		p, err := prepare(b, ids)
		if err != nil {
			return nil, err
		}
		out = append(out, p)
	}
	return out, nil
}

// prepare returns b as the template shows it.
func prepare(b Block, ids *numbering) (block, error) {
	switch b := b.(type) {
	case Heading:
		return block{"heading", b}, nil
	case Text:
		return block{"text", b}, nil
	case List:
		return block{"list", b}, nil
	case Table:
		t, err := prepareTable(b, ids.next())
		return block{"table", t}, err
	case Figure:
		f, err := prepareFigure(b)
		return block{"figure", f}, err
	case Caution:
		return block{"caution", b}, nil
	case Code:
		return block{"code", b}, nil
	case Step:
		results, err := prepareAll(b.Results, ids)
		return block{"step", struct {
			Code    string
			Results []block
		}{b.Code.text, results}}, err
	}
	return block{}, fmt.Errorf("a block of type %T has no place in a page", b)
}

type preparedFigure struct {
	Narrow, Wide template.HTML // plainDrawing has looked through them
	Alt, Caption string
}

// prepareFigure draws a figure for both widths.
func prepareFigure(f Figure) (preparedFigure, error) {
	out := preparedFigure{Alt: f.Alt, Caption: f.Caption}
	for _, d := range []struct {
		width int
		to    *template.HTML
	}{{narrowFigure, &out.Narrow}, {wideFigure, &out.Wide}} {
		svg := figure.SVG(f.Of, figure.Options{Width: d.width})
		if err := plainDrawing(svg); err != nil {
			return out, fmt.Errorf("the figure %q: %w", f.Name, err)
		}
		*d.to = template.HTML(svg)
	}
	return out, nil
}

type cell struct {
	Text    string
	Numeric bool
	Link    string // percent-encoded
}

type preparedTable struct {
	ID      string // of the caption
	Caption string
	Head    []cell
	Rows    [][]cell
}

// prepareTable pairs each cell with the alignment of its column.
func prepareTable(t Table, id string) (preparedTable, error) {
	row := func(texts []string) []cell {
		cells := make([]cell, len(texts))
		for i, text := range texts {
			cells[i] = cell{Text: text, Numeric: i < len(t.Numeric) && t.Numeric[i]}
		}
		return cells
	}
	out := preparedTable{ID: id, Caption: t.Caption, Head: row(t.Head)}
	for i, r := range t.Rows {
		if len(r) != len(t.Head) {
			return out, fmt.Errorf("the table %q has %d columns, and %d cells in row %d", t.Caption, len(t.Head), len(r), i+1)
		}
		cells := row(r)
		if i < len(t.Links) && t.Links[i] != "" {
			if !fs.ValidPath(t.Links[i]) {
				return out, fmt.Errorf("the table %q leads to %q in row %d: name a file beside the page", t.Caption, t.Links[i], i+1)
			}
			cells[0].Link = (&url.URL{Path: t.Links[i]}).String()
		}
		out.Rows = append(out.Rows, cells)
	}
	return out, nil
}
