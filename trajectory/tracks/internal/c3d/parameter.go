package c3d

import (
	"math"
	"strconv"
	"strings"
	"unicode"

	names "github.com/plectrace/plectrace/trajectory/tracks/internal/header"
)

// parameters are the records of the parameter section.
type parameters struct {
	order
	groups map[int8]string
	byName map[key]record
}

// key names a parameter. The group is a number, which the group of the name
// that is looked for has, whether it comes before its parameters or after.
type key struct {
	group int8
	name  string
}

// record is a parameter as it is stored: type, dimensions, values.
type record struct {
	body   []byte
	offset int64 // of body in the file
}

// parse reads the records of a section. base is its offset in the file, whole
// whether the file goes on behind it.
func (p *parameters) parse(section []byte, base int64, whole bool) error {
	p.groups = map[int8]string{}
	p.byName = map[key]record{}
	end := func(at int) error {
		if !whole {
			return truncated(base+int64(len(section)), "the file ends among the parameters")
		}
		return damaged(base+int64(at), "a parameter goes on behind the section of parameters")
	}
	for at := 4; at < len(section); {
		name := int(int8(section[at]))
		if name == 0 {
			return nil
		}
		if name < 0 { // locked
			name = -name
		}
		link := at + 2 + name
		if link+2 > len(section) {
			return end(at)
		}
		next := int(p.uint16(section[link:]))
		last := next == 0
		if last {
			next = len(section)
		} else {
			next += link
		}
		switch {
		case next < link+2:
			return damaged(base+int64(link), "a parameter ends before it begins")
		case next > len(section):
			return end(at)
		}
		id := int8(section[at+1])
		label := strings.ToUpper(clean(section[at+2 : link]))
		switch k := (key{id, label}); {
		case id < 0:
			if _, ok := p.groups[-id]; !ok {
				p.groups[-id] = label
			}
		case id > 0:
			if _, ok := p.byName[k]; !ok {
				p.byName[k] = record{section[link+2 : next], base + int64(link) + 2}
			}
		}
		if last {
			return nil
		}
		at = next
	}
	if !whole {
		return end(len(section))
	}
	return nil
}

// value is a parameter, taken apart.
type value struct {
	order
	kind   int   // size of an element: 1, 2, 4; -1 for characters
	dims   []int // from the one that changes fastest
	data   []byte
	offset int64 // of the first element in the file
}

// lookup returns a parameter; ok is false where there is none.
func (p *parameters) lookup(group, name string) (v value, ok bool, err error) {
	var rec record
	for id := int8(1); id > 0; id++ { // up to 127; 128 is -128
		if p.groups[id] != group {
			continue
		}
		if rec, ok = p.byName[key{id, name}]; ok {
			break
		}
	}
	if !ok {
		return v, false, nil
	}
	bad := func() (value, bool, error) {
		return v, false, damaged(rec.offset, "the parameter %s:%s is not one", group, name)
	}
	b := rec.body
	if len(b) < 2 {
		return bad()
	}
	v = value{order: p.order, kind: int(int8(b[0]))}
	n := int(b[1])
	size := v.kind
	if size == -1 {
		size = 1
	}
	if size != 1 && size != 2 && size != 4 || n > 7 || 2+n > len(b) {
		return bad()
	}
	for _, d := range b[2 : 2+n] {
		v.dims = append(v.dims, int(d))
		if size *= int(d); size > len(b) { // seven dimensions of 255 overflow
			return bad()
		}
	}
	if 2+n+size > len(b) {
		return bad()
	}
	v.data = b[2+n : 2+n+size]
	v.offset = rec.offset + 2 + int64(n)
	return v, true, nil
}

// numbers returns the elements, integers without a sign; nil for characters.
func (v value) numbers() []float64 {
	if v.kind < 0 {
		return nil
	}
	xs := make([]float64, 0, len(v.data)/v.kind)
	for b := v.data; len(b) >= v.kind; b = b[v.kind:] {
		switch v.kind {
		case 1:
			xs = append(xs, float64(b[0]))
		case 2:
			xs = append(xs, float64(v.uint16(b)))
		default:
			xs = append(xs, v.real(b))
		}
	}
	return xs
}

// texts returns the character strings, nil for numbers.
func (v value) texts() []string {
	if v.kind >= 0 || len(v.data) == 0 {
		return nil
	}
	n := 1
	if len(v.dims) > 0 {
		n = v.dims[0]
	}
	ss := make([]string, 0, len(v.data)/n)
	for b := v.data; len(b) >= n; b = b[n:] {
		ss = append(ss, clean(b[:n]))
	}
	return ss
}

// clean returns a text without the blanks and zeros that fill its place.
// Control characters become blanks. Text that is not UTF-8 is taken for
// ISO 8859-1.
func clean(b []byte) string {
	s := names.Text(string(b))
	s = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, s)
	return strings.TrimSpace(s)
}

// number returns the first element of a parameter that is a number.
func (p *parameters) number(group, name string) (x float64, at int64, ok bool, err error) {
	v, ok, err := p.lookup(group, name)
	if !ok {
		return 0, 0, false, err
	}
	xs := v.numbers()
	if len(xs) == 0 {
		return 0, 0, false, nil
	}
	return xs[0], v.offset, true, nil
}

// count returns a parameter that is a number of things; ok is false where
// there is none or it is no such number.
func (p *parameters) count(group, name string) (n int64, at int64, ok bool, err error) {
	x, at, ok, err := p.number(group, name)
	if !ok || !(x >= 0 && x <= maxFrames) || x != math.Trunc(x) {
		return 0, at, false, err
	}
	return int64(x), at, true, nil
}

// long returns a parameter of two words, the low one first, or of one real.
func (p *parameters) long(group, name string) (n int64, ok bool, err error) {
	v, ok, err := p.lookup(group, name)
	if !ok {
		return 0, false, err
	}
	xs := v.numbers()
	if v.kind == 2 && len(xs) >= 2 {
		return int64(xs[0]) + int64(xs[1])<<16, true, nil
	}
	n, _, ok, err = p.count(group, name)
	return n, ok, err
}

// list returns the texts of a parameter and of those numbered 2, 3, ...
func (p *parameters) list(group, name string) ([]string, error) {
	var ss []string
	for i := 1; ; i++ {
		numbered := name
		if i > 1 {
			numbered += strconv.Itoa(i)
		}
		v, ok, err := p.lookup(group, numbered)
		if !ok {
			return ss, err
		}
		ss = append(ss, v.texts()...)
	}
}
