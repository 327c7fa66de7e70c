package browsertest

import (
	"encoding/json"
	"fmt"
	"regexp"
	"strconv"
)

// fileName is a name that says nothing to those who do not see the picture.
var fileName = regexp.MustCompile(`(?i)\.(svg|png|jpe?g|gif|webp)$`)

// names asks for the name that the browser gives each element to a screen reader.
func (p *Page) names() []string {
	p.t.Helper()
	var found []string
	seen := map[string]bool{}
	for _, width := range widths { // drawings for one may be hidden at the other
		p.resize(width)
		p.unfolded(func() {
			for _, text := range p.namesHere() {
				if !seen[text] {
					seen[text] = true
					found = append(found, text)
				}
			}
		})
	}
	return found
}

func (p *Page) namesHere() []string {
	p.t.Helper()
	list := p.evaluate("globalThis.plectraceNamed = "+script("names.js"), false)
	var elements []struct {
		What, Kind string
		Small      bool
		Found      []string
	}
	p.run("names_of.js", &elements)
	p.eval("delete globalThis.plectraceNamed", nil)

	objects := p.items(list)
	var found []string
	for i, e := range elements {
		found = append(found, e.Found...)
		name, ignored := p.accessible(objects[i])
		switch {
		case e.Kind == "picture" && ignored && e.Small:
			// An ornament, declared as one.
		case e.Kind == "picture" && (ignored || name == ""):
			found = append(found, e.What+" has no text for those who do not see it: give it role=\"img\" and aria-label, or alt")
		case e.Kind == "picture" && fileName.MatchString(name):
			found = append(found, fmt.Sprintf("%s has the name of a file, %q, for those who do not see it: say what it shows", e.What, name))
		case e.Kind == "table" && name == "":
			found = append(found, e.What+" has no name: give it a caption or aria-labelledby")
		case e.Kind == "control" && !ignored && name == "":
			found = append(found, e.What+" has no name: give it text or aria-label")
		}
	}
	return found
}

// items returns the ids of the elements of a list in the page.
func (p *Page) items(list remote) map[int]string {
	p.t.Helper()
	var properties struct {
		Result []struct {
			Name  string
			Value remote
		}
	}
	p.call("Runtime.getProperties", map[string]any{"objectId": list.ObjectID, "ownProperties": true}, &properties)
	objects := map[int]string{}
	for _, item := range properties.Result {
		if i, err := strconv.Atoi(item.Name); err == nil {
			objects[i] = item.Value.ObjectID
		}
	}
	return objects
}

// accessible returns the name of an element, and whether screen readers pass over it.
func (p *Page) accessible(object string) (name string, ignored bool) {
	p.t.Helper()
	var tree struct {
		Nodes []struct {
			Ignored bool
			Name    struct{ Value json.RawMessage }
		}
	}
	p.call("Accessibility.getPartialAXTree", map[string]any{"objectId": object, "fetchRelatives": false}, &tree)
	if len(tree.Nodes) == 0 {
		return "", true
	}
	node := tree.Nodes[0]
	if len(node.Name.Value) > 0 {
		if err := json.Unmarshal(node.Name.Value, &name); err != nil {
			p.t.Fatal(err)
		}
	}
	return name, node.Ignored
}
