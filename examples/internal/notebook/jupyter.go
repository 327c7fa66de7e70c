package notebook

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"github.com/plectrace/plectrace/motion/figure"
)

// The parts of a Jupyter notebook that Jupyter writes (nbformat 4.5, as in its
// JSON schema).
type (
	jupyter struct {
		Cells    []any           `json:"cells"`
		Metadata jupyterMetadata `json:"metadata"`
		Format   int             `json:"nbformat"`
		Minor    int             `json:"nbformat_minor"`
	}
	jupyterMetadata struct {
		Language struct {
			Name      string `json:"name"`
			Extension string `json:"file_extension"`
			Type      string `json:"mimetype"`
		} `json:"language_info"`
		Title string `json:"title"`
	}
	proseCell struct {
		Type        string                         `json:"cell_type"`
		ID          string                         `json:"id"`
		Metadata    struct{}                       `json:"metadata"`
		Source      []string                       `json:"source"`
		Attachments map[string]map[string][]string `json:"attachments,omitempty"`
	}
	codeCell struct {
		Type     string   `json:"cell_type"`
		ID       string   `json:"id"`
		Count    int      `json:"execution_count"`
		Metadata struct{} `json:"metadata"`
		Outputs  []output `json:"outputs"`
		Source   []string `json:"source"`
	}
	output struct {
		Type     string              `json:"output_type"`
		Data     map[string][]string `json:"data"`
		Metadata struct{}            `json:"metadata"`
	}
)

// Jupyter writes the page to w as a Jupyter notebook (nbformat 4.5): prose, the
// code that ran, and what came of it as stored outputs. It returns an error,
// before anything is written, for what HTML refuses.
func (d *Doc) Jupyter(w io.Writer) error {
	if err := d.check(); err != nil {
		return err
	}
	n := jupyter{Format: 4, Minor: 5}
	n.Metadata.Title = d.Title
	n.Metadata.Language.Name = "go"
	n.Metadata.Language.Extension = ".go"
	n.Metadata.Language.Type = "text/x-go"
	id := func() string { return fmt.Sprintf("cell-%d", len(n.Cells)+1) }

	head := "# " + inline(d.Title) + "\n"
	if d.Lead != "" {
		head += "\n" + paragraph(d.Lead) + "\n"
	}
	prose := func(text string) {
		n.Cells = append(n.Cells, proseCell{Type: "markdown", ID: id(), Source: split(text)})
	}
	prose(head)
	steps := 0
	for _, s := range d.Sections {
		text := "## " + inline(s.Title) + "\n" // of prose that goes on
		flush := func() {
			if text != "" {
				prose(text)
			}
			text = ""
		}
		for _, block := range s.Blocks {
			switch b := block.(type) {
			case Step:
				flush()
				steps++
				c := codeCell{Type: "code", ID: id(), Count: steps, Source: split(b.Code.text), Outputs: []output{}}
				for _, r := range b.Results {
					out, err := outputs(r)
					if err != nil {
						return fmt.Errorf("notebook: section %q: %w", s.Title, err)
					}
					c.Outputs = append(c.Outputs, out...)
				}
				n.Cells = append(n.Cells, c)
			case Figure:
				flush()
				out, err := marked(b, "attachment:")
				if err != nil {
					return fmt.Errorf("notebook: section %q: %w", s.Title, err)
				}
				n.Cells = append(n.Cells, proseCell{Type: "markdown", ID: id(), Source: split(out),
					Attachments: map[string]map[string][]string{b.Name + ".svg": {"image/svg+xml": split(string(figure.SVG(b.Of, figure.Options{})))}}})
			default:
				out, err := marked(b, "")
				if err != nil {
					return fmt.Errorf("notebook: section %q: %w", s.Title, err)
				}
				if text != "" {
					text += "\n"
				}
				text += out
			}
		}
		flush()
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	if err := e.Encode(n); err != nil {
		return err
	}
	_, err := b.WriteTo(w)
	return err
}

// outputs returns a result of a step as outputs of its cell.
func outputs(b Block) ([]output, error) {
	display := func(data map[string][]string) output { return output{Type: "display_data", Data: data} }
	if f, ok := b.(Figure); ok {
		out := []output{display(map[string][]string{
			"image/svg+xml": split(string(figure.SVG(f.Of, figure.Options{}))),
			"text/plain":    split(f.Alt),
		})}
		if f.Caption != "" {
			out = append(out, display(map[string][]string{"text/markdown": split(emphasis(f.Caption)), "text/plain": split(f.Caption)}))
		}
		return out, nil
	}
	text, err := marked(b, "")
	if err != nil {
		return nil, err
	}
	text = strings.TrimRight(text, "\n")
	return []output{display(map[string][]string{"text/markdown": split(text), "text/plain": split(text)})}, nil
}

// split returns text as nbformat stores it: its lines, with their ends.
func split(text string) []string {
	lines := strings.SplitAfter(text, "\n")
	if lines[len(lines)-1] == "" {
		lines = lines[:len(lines)-1]
	}
	return lines
}
