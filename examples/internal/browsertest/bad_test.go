package browsertest

import (
	"strings"
	"testing"
)

// sheet is a page in which the checks find nothing.
const sheet = `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Evening class</title>
<style>
body { margin: 0 1rem; font: 1rem/1.5 sans-serif; color: #1b1b1b; background: #fff; }
.skip { position: absolute; left: -100rem; }
.skip:focus { left: 0; }
.wide { overflow-x: auto; }
@page { size: A4; margin: 15mm; }
@media print { .wide { overflow: visible; } .code { display: none; } }
</style>
</head>
<body>
<a class="skip" href="#content">Skip to the content</a>
<nav aria-label="Parts"><a href="#first">First</a> <a href="#second">Second</a></nav>
<main id="content" tabindex="-1">
<h1>Evening class</h1>
<h2 id="first">First</h2>
<p>Rest when it hurts. <a href="#second">More</a></p>
<figure role="img" aria-label="Rate over the take">
<svg viewBox="0 0 300 100" width="300" height="100">
<rect width="300" height="100" fill="#ffffff"/>
<rect x="150" width="150" height="100" fill="#00508c"/>
<text x="10" y="40" font-size="14">8 strokes/s</text>
<text x="160" y="40" font-size="14" fill="#ffffff">9 strokes/s</text>
<text font-size="14" transform="translate(20 95) rotate(-90)">rate</text>
<text font-size="14" transform="translate(60 95) rotate(-45)">first</text>
<text font-size="14" transform="translate(80 95) rotate(-45)">second</text>
</svg>
</figure>
<h2 id="second">Second</h2>
<div class="wide" tabindex="0" role="region" aria-label="Takes">
<table><caption>Takes</caption>
<thead><tr><th scope="col">Take</th><th scope="col">Rate</th></tr></thead>
<tbody><tr><th scope="row">1</th><td>8.1</td></tr></tbody></table>
</div>
<details class="code"><summary>How it was computed</summary><pre tabindex="0" class="wide">take, err := read("lesson.csv") // a line that is longer than a phone is wide</pre></details>
<img alt="A dot" width="20" height="20" src="data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg'/%3E">
<!-- here -->
</main>
</body>
</html>
`

// with returns the sheet with html at its end.
func with(html string) string { return strings.Replace(sheet, "<!-- here -->", html, 1) }

// swap returns the sheet with one piece replaced.
func swap(old, new string) string {
	if !strings.Contains(sheet, old) {
		panic("the sheet does not hold " + old)
	}
	return strings.Replace(sheet, old, new, 1)
}

// svg is a drawing with a name.
func svg(inside string) string {
	return with(`<svg role="img" aria-label="Spans" viewBox="0 0 300 100" width="300" height="100">` + inside + `</svg>`)
}

// faults returns what a page is found to have.
func faults(t *testing.T, html string, of Aspect) []string {
	t.Helper()
	p := OpenHTML(t, html)
	for _, a := range aspects {
		if a.Aspect == of {
			return a.find(p)
		}
	}
	t.Fatalf("no aspect is named %q", of)
	return nil
}

func TestGoodPage(t *testing.T) {
	t.Parallel()
	OpenHTML(t, sheet).Check()
}

// TestBadPages holds each check against pages with one fault, which it must find
// and name.
func TestBadPages(t *testing.T) {
	t.Parallel()
	tried := map[Aspect]bool{}
	for _, c := range []struct {
		name, html string
		aspect     Aspect
		want       string // part of a finding
	}{
		{"two h1", with("<h1>Again</h1>"), Outline, "2 h1"},
		{"no h1", swap("<h1>Evening class</h1>", ""), Outline, "0 h1"},
		{"no h2", strings.NewReplacer("<h2", "<p", "</h2>", "</p>").Replace(sheet), Outline, "no h2"},
		{"leap", with("<h4>Detail</h4>"), Outline, `h4 "Detail"`},
		{"h2 first", swap("<h1>", "<h2>Before</h2><h1>"), Outline, "begin with the h1"},
		{"empty heading", with("<h2> </h2>"), Outline, "is empty"},
		{"no language", swap(` lang="en"`, ""), Outline, "lang"},
		{"no title", swap("<title>Evening class</title>", ""), Outline, "no title"},
		{"no main", strings.NewReplacer("<main", "<div", "</main>", "</div>").Replace(sheet), Outline, "0 main"},
		{"id twice", with(`<p id="first">x</p>`), Outline, `"first" is given 2 times`},
		{"dead link", with(`<a href="#third">Third</a>`), Outline, "#third"},
		{"dead label", with(`<section aria-labelledby="third">x</section>`), Outline, "third"},

		{"picture without alt", with(`<img width="50" height="50" src="data:image/gif;base64,R0lGODlhAQABAAAAACw=">`), Names, "img"},
		{"picture called by its file", with(`<img alt="rate.png" width="50" height="50" src="data:image/gif;base64,R0lGODlhAQABAAAAACw=">`), Names, "name of a file"},
		{"large picture as an ornament", with(`<img alt="" width="50" height="50" src="data:image/gif;base64,R0lGODlhAQABAAAAACw=">`), Names, "img"},
		{"drawing without a name", swap(` aria-label="Rate over the take"`, ""), Names, "no text for those"},
		{"drawing without a role", swap(` role="img" aria-label="Rate over the take"`, ""), Names, "svg"},
		{"table without a name", swap("<caption>Takes</caption>", ""), Names, "caption"},
		{"head without scope", swap(`<th scope="row">`, "<th>"), Names, `th "1"`},
		{"table without heads", with("<table><caption>x</caption><tr><td>1</td></tr></table>"), Names, "no head cells"},
		{"link without a name", with(`<a href="#first"></a>`), Names, "give it text or aria-label"},
		{"region without a name", swap(` aria-label="Takes"`, ""), Names, "div.wide"},

		{"wide page", with(`<div style="width: 500px">wide</div>`), Layout, `at 375 pixels: the page is`},
		{"wide word", with(`<p>` + strings.Repeat("pickstroke", 12) + `</p>`), Layout, "at 375 pixels: the page is"},
		{"no viewport", swap(`<meta name="viewport" content="width=device-width, initial-scale=1">`, ""), Layout, "laid out for 980"},
		{"part that scrolls without a key", with(`<div class="wide"><div style="width: 3000px">x</div></div>`), Layout, "no key gets there"},
		{"small text", with(`<p style="font-size: 10px">x</p>`), Layout, "10.0 pixels"},
		{"text made small", with(`<p style="transform: scale(.5)">x</p>`), Layout, "8.0 pixels"},
		{"small text in a drawing", with(`<svg role="img" aria-label="x" viewBox="0 0 600 100" width="300" height="50"><text x="9" y="40" font-size="14">rate</text></svg>`), Layout, "7.0 pixels"},
		{"drawing that shrinks", with(`<svg role="img" aria-label="x" viewBox="0 0 600 100" width="100%"><text x="9" y="40" font-size="14">rate</text></svg>`), Layout, "at 375 pixels:"},
		{"cut off to the right", with(`<div style="width: 50px; overflow: hidden; white-space: nowrap">a text that is longer</div>`), Layout, "cut off"},
		{"dots", with(`<div style="width: 50px; overflow: clip; text-overflow: ellipsis; white-space: nowrap">a text that is longer</div>`), Layout, "cut off"},
		{"cut off below", with(`<div style="height: 30px; overflow: hidden">a<br>text<br>of<br>lines</div>`), Layout, "cut off"},
		{"cut off by the page", with(`<div style="margin-left: -30px">a text</div>`), Layout, "left edge"},
		{"cut off behind details", swap(`class="wide">take`, `style="overflow: hidden">take`), Layout, "cut off"},
		{"label over label", svg(`<text x="10" y="40">settled</text><text x="40" y="45">searching</text>`), Layout, `stands over "searching"`},
		{"turned label over label", svg(`<text transform="translate(60 90) rotate(-45)">settled</text><text x="60" y="60">searching</text>`), Layout, "stands over"},
		{"label over the edge", svg(`<text x="280" y="40">settled</text>`), Layout, "over the drawing's edge"},

		{"grey text", with(`<p style="color: #777777">x</p>`), Contrast, "4.47 to 1"},
		{"grey on grey", with(`<div style="background: #cccccc"><p style="color: #767676">x</p></div>`), Contrast, "#767676 on #cccccc"},
		{"faded text", with(`<div style="opacity: .5"><p>x</p></div>`), Contrast, "to 1"},
		{"large grey text", with(`<p style="color: #999999; font-size: 30px">x</p>`), Contrast, "3.0 are the least"},
		{"text on a gradient", with(`<p style="background: linear-gradient(#fff, #000)">x</p>`), Contrast, "cannot be judged"},
		{"grey label", svg(`<text x="10" y="40" fill="#aaaaaa">settled</text>`), Contrast, "settled"},
		{"label on a shape", svg(`<rect width="300" height="100" fill="#00508c"/><text x="10" y="40">settled</text>`), Contrast, "on #00508c"},
		{"label half on a shape", svg(`<rect width="50" height="100" fill="#00508c"/><text x="10" y="40">settled searching</text>`), Contrast, "on #00508c"},
		{"label under a shape", svg(`<text x="10" y="40">settled</text><rect width="300" height="100" fill="#ffffff"/>`), Contrast, "lies over it"},
		{"pale label at one width", swap("</style>", "@media (max-width: 30rem) { text { fill: #bbb } }</style>"), Contrast, "at 375 pixels"},

		{"handler without a key", with(`<div onclick="go()">Go</div>`), Keyboard, `div "Go" under "Second" answers to a click`},
		{"listener without a key", with(`<div id="go">Go</div><script>document.getElementById('go').addEventListener('click', () => 1)</script>`), Keyboard, "div#go"},
		{"role without a key", with(`<span role="button">Go</span>`), Keyboard, "span"},
		{"trap", swap("<body>", `<body onkeydown="if (event.target.textContent === 'More') event.preventDefault()">`), Keyboard, `does not get past a "More"`},
		{"trap at the end", with(`<button onkeydown="event.preventDefault()">Last</button>`), Keyboard, "does not get away from"},
		{"circle", with(`<button onfocus="document.querySelector('nav a').focus()">Last</button><a href="#first">End</a>`), Keyboard, `does not get past pre.wide`},
		{"no mark", swap("</style>", "nav a:focus { outline: none }</style>"), Keyboard, "looks the same"},
		{"mark that nobody sees", swap("</style>", "nav a:focus { outline: 3px solid transparent }</style>"), Keyboard, "looks the same"},
		{"skip link that stays hidden", swap(".skip:focus { left: 0; }", ""), Keyboard, "where nobody sees it"},
		{"order changed", swap(`<a href="#second">More`, `<a tabindex="3" href="#second">More`), Keyboard, "changes the order"},
		{"no skip link", swap(`<a class="skip" href="#content">Skip to the content</a>`, ""), Keyboard, "2 stops stand before the content"},
		{"skip link that does not", swap("<body>", `<body onclick="event.preventDefault()">`), Keyboard, "does not skip"},

		{"other sheet", swap("size: A4;", "size: letter;"), Print, "612 by 792"},
		{"turned sheet", swap("size: A4;", "size: A4 landscape;"), Print, "842 by 595"},
		{"wide on paper", with(`<div style="width: 900px">` + strings.Repeat("wide ", 40) + `</div>`), Print, "over the right edge"},
		{"wide drawing on paper", with(`<svg role="img" aria-label="Spans" width="900" height="50"></svg>`), Print, `of the figure "Spans" reaches`},
		{"scrolls on paper", strings.Replace(swap(".wide { overflow: visible; }", ""), "<td>8.1</td>", "<td style='white-space: nowrap'>"+strings.Repeat("wide ", 60)+"</td>", 1), Print, "does not scroll on paper"},
		{"folded away on paper", swap(".code { display: none; }", ""), Print, "folded away"},

		{"script", with(`<script>1</script>`), Markup, "script"},
		{"handler", with(`<p onmouseover="1">x</p>`), Markup, "onmouseover"},
		{"address that runs", with(`<a href=" JavaScript:1">x</a>`), Markup, "no address may run"},
		{"it ran", with(`<script>hacked = true</script>`), Markup, "window.hacked"},
		{"frame", with(`<iframe srcdoc="x"></iframe>`), Markup, "iframe"},
		{"style", with(`<style>p { color: red }</style>`), Markup, "style"},
		{"drawing that changes", svg(`<animate attributeName="x"/>`), Markup, "animate"},

		{"picture from outside", with(`<img alt="x" src="http://plectrum.example/x.png">`), Requests, "asks for http://plectrum.example/x.png"},
		{"picture further down", with(`<div style="height: 9000px"></div><img alt="x" loading="lazy" src="http://plectrum.example/x.png">`), Requests, "plectrum.example"},
		{"picture beside the page", with(`<img alt="x" src="x.png">`), Requests, "x.png"},
		{"picture for other screens", with(`<img alt="x" srcset="http://plectrum.example/x.png 3x">`), Requests, "srcset"},
		{"empty data", with(`<img alt="x" src="data:image/png,">`), Requests, "data:image/png,"},
		{"style sheet", swap("</head>", `<link rel="stylesheet" href="x.css"></head>`), Requests, "x.css"},
		{"hint", swap("</head>", `<link rel="dns-prefetch" href="//plectrum.example"></head>`), Requests, "plectrum.example"},
		{"font", swap("</style>", `@font-face { font-family: x; src: url("http://plectrum.example/x.woff2") }</style>`), Requests, "plectrum.example"},
		{"import", swap("<style>", `<style>@import "http://plectrum.example/x.css";`), Requests, "plectrum.example"},
		{"picture behind", with(`<p style="background: url(http://plectrum.example/x.png)">x</p>`), Requests, "plectrum.example"},
		{"fetched by a script", with(`<script>fetch('http://plectrum.example/x').catch(() => 0)</script>`), Requests, "plectrum.example/x"},

		{"error on the console", with(`<script>console.error('lost', 3)</script>`), Console, "lost 3"},
		{"warning on the console", with(`<script>console.warn('lost')</script>`), Console, "lost"},
		{"exception", with(`<script>lost()</script>`), Console, "lost is not defined"},
		{"promise", with(`<script>Promise.reject(new Error('lost'))</script>`), Console, "lost"},
		{"refused by the policy", swap("<title>", `<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:"><script>1</script><title>`), Console, "Content Security Policy"},
		{"file that is missing", with(`<img alt="x" src="x.png">`), Console, "x.png"},
	} {
		if testing.Short() && tried[c.aspect] {
			continue // one of each will do
		}
		tried[c.aspect] = true
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			found := faults(t, c.html, c.aspect)
			for _, text := range found {
				if strings.Contains(text, c.want) {
					return
				}
			}
			t.Errorf("%s: nothing found holds %q: %q", c.aspect, c.want, found)
		})
	}
}

// TestFinePages holds each check against pages that look like faults and are none.
func TestFinePages(t *testing.T) {
	if testing.Short() {
		t.Skip("a second for each page")
	}
	t.Parallel()
	for _, c := range []struct {
		name, html string
		aspect     Aspect
	}{
		{"ornament", with(`<img alt="" width="20" height="20" src="data:image/gif;base64,R0lGODlhAQABAAAAACw=">`), Names},
		{"hidden drawing without a name", with(`<div style="display: none"><svg></svg></div>`), Names},
		{"table named from outside", swap("<table><caption>Takes</caption>", `<table aria-labelledby="second">`), Names},
		{"part that scrolls with a link", with(`<div class="wide"><div style="width: 3000px"><a href="#first">x</a></div></div>`), Layout},
		{"text for screen readers", with(`<span style="position: absolute; width: 1px; height: 1px; overflow: hidden; font-size: 1px; color: #eee">x</span>`), Layout},
		{"text in a part that scrolls", with(`<div style="overflow: hidden"><div class="wide" tabindex="0"><div style="width: 3000px">` + strings.Repeat("wide ", 300) + `</div></div></div>`), Layout},
		{"labels side by side", svg(`<text x="10" y="40" font-size="16">one</text><text x="10" y="58" font-size="16">two</text>`), Layout},
		{"turned labels side by side", svg(`<text font-size="14" transform="translate(60 95) rotate(-45)">settled span</text><text font-size="14" transform="translate(80 95) rotate(-45)">searching</text>`), Layout},
		{"grey on white", with(`<p style="color: #767676">x</p>`), Contrast},
		{"large grey", with(`<p style="color: #8a8a8a; font-size: 18.7px; font-weight: bold">x</p>`), Contrast},
		{"white on dark", with(`<div style="background: #003050"><div style="background: #ffffff08"><p style="color: #fff">x</p></div></div>`), Contrast},
		{"hidden grey", with(`<p style="color: #eee; visibility: hidden">x</p>`), Contrast},
		{"label with a halo", svg(`<rect width="300" height="100" fill="#777"/><text x="10" y="40" stroke="#fff" stroke-width="4" paint-order="stroke">settled</text>`), Contrast},
		{"label on a line", svg(`<path d="M0 36H300" stroke="#999" fill="none"/><text x="10" y="40">settled</text>`), Contrast},
		{"button that listens", with(`<button onclick="go()">Go</button>`), Keyboard},
		{"marked by its ground", swap("</style>", "nav a:focus { outline: none; background: #ffe08a }</style>"), Keyboard},
		{"one choice of several", with(`<label><input type="radio" name="hand">Left</label><label><input type="radio" name="hand">Right</label>`), Keyboard},
		{"choices that are hidden", with(`<div hidden><label><input type="radio" name="hand" checked>Left</label><label><input type="radio" name="hand">Right</label></div>`), Keyboard},
		{"unused of several", with(`<button disabled>Go</button><div inert><a href="#first">x</a></div>`), Keyboard},
		{"wraps on paper", with(`<p>` + strings.Repeat("wide ", 400) + `</p>`), Print},
		{"part of a drawing", svg(`<defs><linearGradient id="a"/></defs><use href="#a"/>`), Requests},
		{"link elsewhere, which is followed only on a click", with(`<a href="http://plectrum.example/">x</a>`), Requests},
		{"words on the console", with(`<script>console.log('done')</script>`), Console},
		{"hostile text, escaped", with(`<p>&lt;img src=x onerror="hacked = true"&gt; &lt;script&gt;hacked = true&lt;/script&gt;</p>`), Markup},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			if found := faults(t, c.html, c.aspect); len(found) > 0 {
				t.Errorf("%s: %q", c.aspect, found)
			}
		})
	}
}
