package browsertest

import "fmt"

func (p *Page) layout() []string {
	p.t.Helper()
	found := map[int][]string{}
	for _, width := range widths {
		p.resize(width)
		var wide int
		p.eval("document.documentElement.clientWidth", &wide)
		if wide != width {
			found[width] = append(found[width], fmt.Sprintf(
				`the page is laid out for %d pixels and shrunk: it needs <meta name="viewport" content="width=device-width">`, wide))
		}
		p.unfolded(func() { found[width] = append(found[width], p.texts("layout.js")...) })
	}
	return byWidth(found)
}
