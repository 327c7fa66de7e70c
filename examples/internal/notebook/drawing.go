package notebook

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
)

// drawn lists the elements that a plain drawing is made of.
var drawn = []string{"svg", "g", "path", "rect", "line", "polyline", "polygon", "circle", "ellipse", "text", "tspan", "title", "desc"}

// plainDrawing returns an error unless svg is one svg element that holds only
// shapes and texts: it can run nothing and fetch nothing.
func plainDrawing(svg []byte) error {
	if !bytes.HasPrefix(svg, []byte("<svg")) {
		return errors.New("it does not start with <svg")
	}
	d := xml.NewDecoder(bytes.NewReader(svg))
	for depth, ended := 0, false; ; {
		token, err := d.Token()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return err
		}
		switch token := token.(type) {
		case xml.StartElement:
			if ended || !slices.Contains(drawn, token.Name.Local) {
				return fmt.Errorf("it holds the element %s, which is not part of a plain drawing", token.Name.Local)
			}
			for _, a := range token.Attr {
				name := strings.ToLower(a.Name.Local)
				if strings.HasPrefix(name, "on") || name == "href" || strings.Contains(strings.ToLower(a.Value), "url(") {
					return fmt.Errorf("its %s has the attribute %s, which is not part of a plain drawing", token.Name.Local, a.Name.Local)
				}
			}
			depth++
		case xml.EndElement:
			depth--
			ended = depth == 0
		case xml.ProcInst, xml.Directive, xml.Comment:
			return errors.New("it holds more than elements and text")
		}
	}
}
