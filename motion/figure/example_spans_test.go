package figure_test

import (
	"fmt"

	"github.com/plectrace/plectrace/motion/figure"
)

// spans are those of the program, beside what a viewer marked.
var spans = figure.SpansOverTake{
	Take: figure.Span{Start: 0, End: 20},
	Strips: []figure.Strip{
		{Name: "program", Numbered: true, Parts: []figure.Part{
			{Span: figure.Span{Start: 0.4, End: 4.1}, Kind: "searching"},
			{Span: figure.Span{Start: 4.1, End: 9}, Kind: "settled"},
			{Span: figure.Span{Start: 11, End: 12.2}, Kind: "searching"},
			{Span: figure.Span{Start: 12.2, End: 19.5}, Kind: "settled"},
		}},
		{Name: "viewer", Parts: []figure.Part{
			{Span: figure.Span{Start: 0.4, End: 4.6}, Kind: "searching"},
			{Span: figure.Span{Start: 4.6, End: 9}, Kind: "settled"},
			{Span: figure.Span{Start: 9, End: 11}, Kind: "looks up"},
			{Span: figure.Span{Start: 11, End: 19.5}, Kind: "settled"},
		}},
	},
}

// Where the motion is settled, by the program and by a viewer.
func ExampleSpansOverTake() {
	svg := figure.SVG(spans, figure.Options{})
	fmt.Println(kept("spans.svg", svg))
	// Output: spans.svg is as kept
}
