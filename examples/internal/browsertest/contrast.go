package browsertest

import (
	"fmt"
	"math"
)

// Least contrasts of text, WCAG 2.2, success criterion 1.4.3; large is 18 points,
// or 14 and bold, at 96 pixels to 72 points.
const (
	leastContrast      = 4.5
	leastContrastLarge = 3.0
	largePixels        = 24.0
	largeBoldPixels    = 14.0 * 96 / 72
)

// colour is red, green and blue, 0 to 255 (sRGB), and opacity, 0 to 1.
type colour [4]float64

// over returns c painted over an opaque colour.
func (c colour) over(under colour) colour {
	for i := range 3 {
		under[i] = c[i]*c[3] + under[i]*(1-c[3])
	}
	return under
}

// luminance returns the relative luminance of an opaque colour, 0 to 1: WCAG 2.2,
// definition of relative luminance.
func (c colour) luminance() float64 {
	linear := func(of float64) float64 {
		of /= 255
		if of <= 0.04045 {
			return of / 12.92
		}
		return math.Pow((of+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(c[0]) + 0.7152*linear(c[1]) + 0.0722*linear(c[2])
}

// contrastRatio returns the contrast of two opaque colours, 1 to 21: WCAG 2.2,
// definition of contrast ratio.
func contrastRatio(a, b colour) float64 {
	la, lb := a.luminance(), b.luminance()
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

// flatten returns what is seen of layers, the nearest first and the last opaque.
func flatten(layers []colour) colour {
	seen := layers[len(layers)-1]
	for i := len(layers) - 2; i >= 0; i-- {
		seen = layers[i].over(seen)
	}
	return seen
}

// lettering is a text as contrast.js finds it.
type lettering struct {
	What    string
	Size    float64 // pixels on the screen
	Bold    bool
	Colour  colour
	Layers  []colour
	Unclear string // why its contrast cannot be told
}

func (l lettering) judge() string {
	if l.Unclear != "" {
		return fmt.Sprintf("%s cannot be judged, for %s: put it on a plain colour", l.What, l.Unclear)
	}
	behind := flatten(l.Layers)
	seen := l.Colour.over(behind)
	least := leastContrast
	if l.Size >= largePixels || l.Bold && l.Size >= largeBoldPixels-0.01 {
		least = leastContrastLarge
	}
	if ratio := contrastRatio(seen, behind); ratio < least {
		// Rounded down, so that what fails never reads as what passes.
		return fmt.Sprintf("%s has a contrast of %.2f to 1 (%s on %s): %.1f are the least", l.What, math.Floor(ratio*100)/100, seen, behind, least)
	}
	return ""
}

func (c colour) String() string {
	return fmt.Sprintf("#%02x%02x%02x", int(math.Round(c[0])), int(math.Round(c[1])), int(math.Round(c[2])))
}

func (p *Page) contrast() []string {
	p.t.Helper()
	found := map[int][]string{}
	for _, width := range widths {
		p.resize(width)
		var all []lettering
		p.unfolded(func() { p.run("contrast.js", &all) })
		seen := map[string]bool{}
		for _, l := range all {
			if text := l.judge(); text != "" && !seen[text] {
				seen[text] = true
				found[width] = append(found[width], text)
			}
		}
	}
	return byWidth(found)
}
