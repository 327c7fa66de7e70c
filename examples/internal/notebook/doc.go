// Package notebook builds the page that an example program writes: headings,
// paragraphs, lists, tables, figures, cautions, in the order of reading. A Doc
// keeps that structure and no markup; each renderer is a method on it. HTML
// writes one self-contained page that asks for nothing over a network and runs
// no script, reads well from a phone's width up, and prints on A4.
//
//	d := notebook.New("Evening class, first take")
//	s := d.Section("Findings")
//	s.Text("The motion held for most of the take.")
//	s.Step(steps.Of(path), notebook.Figure{Name: "path", Of: path(r), Alt: "...", Caption: "..."})
//	err := d.HTML(w)
//
// All text is escaped. A figure must be a plain drawing, such as motion/figure
// makes: HTML refuses one that holds scripts, links or styles of its own.
package notebook
