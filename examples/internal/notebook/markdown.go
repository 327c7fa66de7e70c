package notebook

import (
	"bytes"
	"fmt"
	"io"
	"regexp"
	"strings"

	"github.com/plectrace/plectrace/motion/figure"
)

// Drawing is a figure as a file.
type Drawing struct {
	Name string // of the file, with its ending
	SVG  []byte
}

// Drawings returns the figures of the page as files, in the order of reading. It
// returns an error for what HTML refuses.
func (d *Doc) Drawings() ([]Drawing, error) {
	if err := d.check(); err != nil {
		return nil, err
	}
	var out []Drawing
	for f := range d.figures() {
		svg := figure.SVG(f.Of, figure.Options{})
		if err := plainDrawing(svg); err != nil {
			return nil, fmt.Errorf("notebook: the figure %q: %w", f.Name, err)
		}
		out = append(out, Drawing{f.Name + ".svg", append(svg, '\n')})
	}
	return out, nil
}

// Markdown writes the page to w as Markdown (CommonMark, with the tables of
// GitHub Flavored Markdown), code before what came of it. The figures are those of
// Drawings, in the folder figures beside it. It returns an error, before anything
// is written, for what HTML refuses.
func (d *Doc) Markdown(w io.Writer) error {
	if err := d.check(); err != nil {
		return err
	}
	const figures = "figures/"
	var b bytes.Buffer
	fmt.Fprintf(&b, "# %s\n", inline(d.Title))
	if d.Lead != "" {
		fmt.Fprintf(&b, "\n%s\n", paragraph(d.Lead))
	}
	for _, s := range d.Sections {
		fmt.Fprintf(&b, "\n## %s\n", inline(s.Title))
		for _, block := range s.Blocks {
			if step, ok := block.(Step); ok {
				b.WriteString("\n" + fenced("go", step.Code.text))
				for _, r := range step.Results {
					text, err := marked(r, figures)
					if err != nil {
						return fmt.Errorf("notebook: section %q: %w", s.Title, err)
					}
					b.WriteString("\n" + text)
				}
				continue
			}
			text, err := marked(block, figures)
			if err != nil {
				return fmt.Errorf("notebook: section %q: %w", s.Title, err)
			}
			b.WriteString("\n" + text)
		}
	}
	_, err := b.WriteTo(w)
	return err
}

// marked returns a block that is no Step in Markdown, with a line end; links to
// figures begin with figures.
func marked(b Block, figures string) (string, error) {
	switch b := b.(type) {
	case Heading:
		return "### " + inline(string(b)) + "\n", nil
	case Text:
		return paragraph(string(b)) + "\n", nil
	case List:
		var out strings.Builder
		for i, item := range b.Items {
			mark := "-"
			if b.Ordered {
				mark = fmt.Sprintf("%d.", i+1)
			}
			out.WriteString(mark + " " + paragraph(item) + "\n")
		}
		return out.String(), nil
	case Table:
		return markedTable(b)
	case Figure:
		out := fmt.Sprintf("![%s](%s%s.svg)\n", inline(b.Alt), figures, b.Name)
		if b.Caption != "" {
			out += "\n" + emphasis(b.Caption) + "\n"
		}
		return out, nil
	case Caution:
		out := "> **" + inline(b.Title) + "**\n"
		for _, t := range b.Texts {
			out += ">\n> " + paragraph(t) + "\n"
		}
		return out, nil
	case Code:
		return fenced("", string(b)), nil
	}
	return "", fmt.Errorf("a block of type %T has no place in a page", b)
}

func markedTable(t Table) (string, error) {
	p, err := prepareTable(t)
	if err != nil {
		return "", err
	}
	var out strings.Builder
	if t.Caption != "" {
		out.WriteString(emphasis(t.Caption) + "\n\n")
	}
	row := func(cells []cell) {
		for _, c := range cells {
			text := inline(c.Text)
			if c.Link != "" {
				text = "[" + text + "](" + c.Link + ")"
			}
			out.WriteString("| " + text + " ")
		}
		out.WriteString("|\n")
	}
	row(p.Head)
	for _, c := range p.Head {
		if c.Numeric {
			out.WriteString("| ---: ")
		} else {
			out.WriteString("| --- ")
		}
	}
	out.WriteString("|\n")
	for _, r := range p.Rows {
		row(r)
	}
	return out.String(), nil
}

// emphasis sets a text in italics.
func emphasis(text string) string { return "*" + inline(text) + "*" }

// fenced returns a block of code; its fence is longer than any within.
func fenced(language, text string) string {
	fence := "```"
	for strings.Contains(text, fence) {
		fence += "`"
	}
	return fence + language + "\n" + strings.TrimRight(text, "\n") + "\n" + fence + "\n"
}

// marks are what Markdown would read as more than text within a line: an
// underscore between letters is not.
var marks = regexp.MustCompile("[\\\\`*\\[\\]|~$]|\\b_|_\\b|\\B_\\B")

// inline returns text that Markdown shows as it is, within a line.
func inline(text string) string {
	text = strings.Join(strings.Fields(text), " ")
	text = marks.ReplaceAllString(text, `\$0`)
	return strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;").Replace(text)
}

// opening is what would begin a heading, a list, a rule or a quote at the start of
// a line.
var opening = regexp.MustCompile(`^(#|[-+=](?:$|[ +=-])|[0-9]+[.)](?:$| ))`)

// paragraph is inline for a text that begins a line.
func paragraph(text string) string {
	text = inline(text)
	at := opening.FindStringIndex(text)
	if at == nil {
		return text
	}
	for i := range at[1] {
		if !('0' <= text[i] && text[i] <= '9') {
			return text[:i] + `\` + text[i:]
		}
	}
	return text
}
