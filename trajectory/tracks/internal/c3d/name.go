package c3d

import "fmt"

// Point is a point of a frame.
type Point struct {
	Name string
	// Kind says what the values are where they are no position: "angle",
	// "force", "moment", "power", "reaction" or "scalar".
	Kind string
}

// kinds gives the parameters that list points whose values are no positions.
// They are no part of the format, but common practice.
var kinds = []struct{ parameter, kind string }{
	{"ANGLES", "angle"}, {"FORCES", "force"}, {"MOMENTS", "moment"},
	{"POWERS", "power"}, {"REACTIONS", "reaction"}, {"SCALARS", "scalar"},
}

// readNames names the points. A point without a label is "point 7" by its
// place in the frame, and one whose label is taken "tip (point 7)".
func (f *File) readNames(header) error {
	labels, err := f.params.list("POINT", "LABELS")
	if err != nil {
		return err
	}
	kind := map[string]string{}
	for _, k := range kinds {
		listed, err := f.params.list("POINT", k.parameter)
		if err != nil {
			return err
		}
		for _, label := range listed {
			if label != "" {
				kind[label] = k.kind
			}
		}
	}
	labels = labels[:min(len(labels), len(f.Points))]
	taken := make(map[string]bool, len(labels))
	for i, label := range labels {
		if label != "" && !taken[label] {
			taken[label] = true
			f.Points[i].Name = label
			f.Points[i].Kind = kind[label]
		}
	}
	for i := range f.Points {
		p := &f.Points[i]
		if p.Name != "" {
			continue
		}
		name := fmt.Sprint("point ", i+1)
		if i < len(labels) && labels[i] != "" {
			p.Kind = kind[labels[i]]
			name = fmt.Sprintf("%s (%s)", labels[i], name)
		}
		for taken[name] {
			name += " again"
		}
		taken[name] = true
		p.Name = name
	}
	return nil
}
