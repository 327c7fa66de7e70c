package notebook

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"io"
)

//go:embed page.gohtml
var pageText string

var page = template.Must(template.New("page").Parse(pageText))

// HTML writes the page to w. It returns an error, before anything is written,
// if a table's rows are not as long as its head, if a figure has no words for
// those who cannot see it, or if it is more than a plain drawing.
func (d *Doc) HTML(w io.Writer) error {
	type element struct {
		Kind string
		Of   any
	}
	type section struct {
		ID, Title string
		Blocks    []element
	}
	var sections []section
	for i, s := range d.Sections {
		out := section{ID: fmt.Sprintf("section-%d", i+1), Title: s.Title}
		for j, b := range s.Blocks {
			kind, of, err := prepare(b, fmt.Sprintf("caption-%d-%d", i+1, j+1))
			if err != nil {
				return fmt.Errorf("notebook: section %q: %w", s.Title, err)
			}
			out.Blocks = append(out.Blocks, element{kind, of})
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

// prepare returns the name of b's kind, and what the template shows of it; id
// is one for its caption.
func prepare(b Block, id string) (kind string, of any, err error) {
	switch b := b.(type) {
	case Heading:
		return "heading", b, nil
	case Text:
		return "text", b, nil
	case List:
		return "list", b, nil
	case Table:
		t, err := prepareTable(b, id)
		return "table", t, err
	case Figure:
		if b.Alt == "" {
			return "", nil, fmt.Errorf("the figure %q says nothing to those who cannot see it: set Alt", b.Caption)
		}
		if err := plainDrawing(b.SVG); err != nil {
			return "", nil, fmt.Errorf("the figure %q: %w", b.Caption, err)
		}
		return "figure", struct {
			Drawing      template.HTML // plainDrawing has looked through it
			Alt, Caption string
		}{template.HTML(b.SVG), b.Alt, b.Caption}, nil
	case Caution:
		return "caution", b, nil
	case Code:
		return "code", b, nil
	}
	return "", nil, fmt.Errorf("a block of type %T has no place in a page", b)
}

type cell struct {
	Text    string
	Numeric bool
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
			cells[i] = cell{text, i < len(t.Numeric) && t.Numeric[i]}
		}
		return cells
	}
	out := preparedTable{ID: id, Caption: t.Caption, Head: row(t.Head)}
	for i, r := range t.Rows {
		if len(r) != len(t.Head) {
			return out, fmt.Errorf("the table %q has %d columns, and %d cells in row %d", t.Caption, len(t.Head), len(r), i+1)
		}
		out.Rows = append(out.Rows, row(r))
	}
	return out, nil
}
