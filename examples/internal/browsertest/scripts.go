package browsertest

import (
	"embed"
	"fmt"
)

//go:embed js
var sources embed.FS

// source returns a file of the folder js.
func source(name string) string {
	text, err := sources.ReadFile("js/" + name)
	if err != nil {
		panic(err) // the file is part of this package
	}
	return string(text)
}

// script returns the expression that runs a file of the folder js, as a function
// that knows those of common.js.
func script(name string) string { return scriptOf(source(name)) }

func scriptOf(body string) string {
	return fmt.Sprintf("(() => {\n%s\n%s\n})()", source("common.js"), body)
}

// run runs a file of the folder js in the page; what it returns goes into result.
func (p *Page) run(name string, result any) {
	p.t.Helper()
	p.eval(script(name), result)
}

// texts runs a file of the folder js that returns texts.
func (p *Page) texts(name string) []string {
	p.t.Helper()
	var found []string
	p.run(name, &found)
	return found
}

// unfolded does something while all details are open.
func (p *Page) unfolded(do func()) {
	p.t.Helper()
	p.eval("for (const d of document.querySelectorAll('details:not([open])')) { d.setAttribute('data-folded', ''); d.open = true; }", nil)
	do()
	p.eval("for (const d of document.querySelectorAll('details[data-folded]')) { d.removeAttribute('data-folded'); d.open = false; }", nil)
}

func (p *Page) outline() []string { return p.texts("outline.js") }

func (p *Page) markup() []string { return p.texts("markup.js") }
