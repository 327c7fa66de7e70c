package figure

import (
	"bytes"
	"fmt"
	"image/png"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"
)

// Figure is one of the figures of this package.
type Figure interface {
	draw(p paper) *sheet
}

// Options say how a figure is written.
type Options struct {
	// Width is the width of the figure in units; texts are 14 units high
	// whatever it is. Zero means 480, and less than 320 counts as 320.
	Width int
	// PixelsPerUnit is the resolution of a PNG. Zero means 2, less than 0.5
	// counts as 0.5 and more than 8 as 8.
	PixelsPerUnit float64
}

func (o Options) width() vg.Length {
	if o.Width == 0 {
		return 480
	}
	return vg.Length(max(o.Width, 320))
}

// SVG returns f as one svg element: a view box that scales to any width, and
// nothing but shapes and texts. It panics if slices of f that belong together
// are of unequal length.
func SVG(f Figure, o Options) []byte {
	var on *vgsvg.Canvas
	f.draw(paper{o.width(), func(w, h vg.Length) vg.CanvasSizer {
		on = vgsvg.NewWith(vgsvg.UseWH(w, h))
		return on
	}})
	var b bytes.Buffer
	if _, err := on.WriteTo(&b); err != nil {
		panic("figure: " + err.Error()) // a buffer takes all
	}
	// In place of the writer's preamble, of a size in points, stands a view box
	// that scales; and the font stands once.
	_, body, _ := bytes.Cut(b.Bytes(), []byte("xlink\">\n"))
	const style = "font-family:Liberation Sans;font-variant:normal;font-weight:normal;font-style:normal;"
	body = bytes.ReplaceAll(body, []byte(style), nil)
	w, h := on.Size()
	head := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %g %g" width="%g" height="%g" font-family="Liberation Sans, Arial, Helvetica, sans-serif">`+"\n",
		w.Points(), h.Points(), w.Points(), h.Points())
	return append([]byte(head), bytes.TrimRight(body, "\n")...)
}

// PNG returns f as a PNG image. It panics as SVG does.
func PNG(f Figure, o Options) []byte {
	scale := 2.0
	if o.PixelsPerUnit > 0 {
		scale = min(max(o.PixelsPerUnit, 0.5), 8)
	}
	var on *vgimg.Canvas
	f.draw(paper{o.width(), func(w, h vg.Length) vg.CanvasSizer {
		on = vgimg.NewWith(vgimg.UseWH(w, h), vgimg.UseDPI(int(scale*vg.Inch.Points()+0.5)))
		return on
	}})
	var b bytes.Buffer
	if err := png.Encode(&b, on.Image()); err != nil {
		panic("figure: " + err.Error()) // a buffer takes all
	}
	return b.Bytes()
}
