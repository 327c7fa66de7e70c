package browsertest

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
)

// A sheet of A4, ISO 216: 210 by 297 mm.
const (
	millimetre  = 72 / 25.4 // points
	sheetWidth  = 210 * millimetre
	sheetHeight = 297 * millimetre
	pixel       = 72.0 / 96 // points
)

// usualMargin is the browser's where a page states none, in pixels: 0.4 inches.
const usualMargin = 0.4 * 96

func (p *Page) print() []string {
	p.t.Helper()
	found := sheets(p.pdf())

	p.call("Emulation.setEmulatedMedia", map[string]any{"media": "print"}, nil)
	var margins struct{ Left, Right *float64 }
	p.run("print_margins.js", &margins)
	width := sheetWidth / pixel // between the margins
	for _, m := range []*float64{margins.Left, margins.Right} {
		if m == nil {
			m = new(float64)
			*m = usualMargin
		}
		width -= *m
	}
	p.resize(int(width))
	found = append(found, p.texts("print.js")...)
	p.call("Emulation.setEmulatedMedia", map[string]any{"media": ""}, nil)
	p.resize(screen)
	return found
}

// pdf returns the page as it prints, on the sheet that it asks for.
func (p *Page) pdf() []byte {
	p.t.Helper()
	var printed struct{ Data []byte }
	p.call("Page.printToPDF", map[string]any{"preferCSSPageSize": true, "printBackground": true}, &printed)
	return printed.Data
}

// A PDF that nobody packed names the sheet of each page in plain text: ISO 32000-1,
// table 30.
var (
	pageObject = regexp.MustCompile(`/Type\s*/Page\b`)
	mediaBox   = regexp.MustCompile(`/MediaBox\s*\[\s*(\S+)\s+(\S+)\s+(\S+)\s+([^\s\]]+)\s*\]`)
)

// sheets tells what is wrong with the sheets of a PDF.
func sheets(pdf []byte) []string {
	boxes := mediaBox.FindAllSubmatch(pdf, -1)
	if pages := len(pageObject.FindAll(pdf, -1)); pages == 0 || len(boxes) != pages {
		return []string{fmt.Sprintf("the print has %d pages and %d sheets: it cannot be read", pages, len(boxes))}
	}
	for i, box := range boxes {
		var edge [4]float64
		for j := range edge {
			value, err := strconv.ParseFloat(string(box[j+1]), 64)
			if err != nil {
				return []string{fmt.Sprintf("sheet %d of the print: %v", i+1, err)}
			}
			edge[j] = value
		}
		width, height := edge[2]-edge[0], edge[3]-edge[1]
		if math.Abs(width-sheetWidth) > 1 || math.Abs(height-sheetHeight) > 1 {
			return []string{fmt.Sprintf("sheet %d of the print is %.0f by %.0f points, not A4: set @page { size: A4 }", i+1, width, height)}
		}
	}
	return nil
}
