package tracks_test

import (
	"encoding/binary"
	"math"
	"slices"
)

// c3dFile builds a C3D file byte by byte.
type c3dFile struct {
	processor byte // 84 Intel, 85 DEC, 86 MIPS; 0 is 84
	reals     bool
	scale     float64 // of integers, and of residuals; 0 is 1/32
	labels    []string
	unit      string
	rate      float64 // 0 is 120
	first     int     // 0 is 1
	frames    [][][4]float64
	analog    int // values a frame

	without    []string       // parameters of the group POINT to leave out
	extra      []c3dParam     // further ones, in place of others of the name
	words      map[int]uint16 // of the header, in place of what is right
	groupsLast bool
	gap        int // blocks between the parameters and the frames
}

type c3dParam struct {
	group, name string
	kind        int8
	dims, data  []byte
}

func (f *c3dFile) word(v int) []byte {
	b := make([]byte, 2)
	if f.processor == 86 {
		binary.BigEndian.PutUint16(b, uint16(v))
	} else {
		binary.LittleEndian.PutUint16(b, uint16(v))
	}
	return b
}

func (f *c3dFile) real(v float64) []byte {
	b := make([]byte, 4)
	switch bits := math.Float32bits(float32(v)); f.processor {
	case 86:
		binary.BigEndian.PutUint32(b, bits)
	case 85:
		if v != 0 {
			bits += 2 << 23 // 4 times as much
		}
		binary.LittleEndian.PutUint32(b, bits<<16|bits>>16)
	default:
		binary.LittleEndian.PutUint32(b, bits)
	}
	return b
}

// texts returns a parameter of character strings.
func texts(group, name string, ss ...string) c3dParam {
	n := 0
	for _, s := range ss {
		n = max(n, len(s))
	}
	p := c3dParam{group: group, name: name, kind: -1, dims: []byte{byte(n), byte(len(ss))}}
	for _, s := range ss {
		p.data = append(p.data, s...)
		for range n - len(s) {
			p.data = append(p.data, ' ')
		}
	}
	return p
}

func (f *c3dFile) ints(group, name string, vs ...int) c3dParam {
	p := c3dParam{group: group, name: name, kind: 2}
	if len(vs) > 1 {
		p.dims = []byte{byte(len(vs))}
	}
	for _, v := range vs {
		p.data = append(p.data, f.word(v)...)
	}
	return p
}

func (f *c3dFile) float(group, name string, v float64) c3dParam {
	return c3dParam{group: group, name: name, kind: 4, data: f.real(v)}
}

// bytes returns the file.
func (f c3dFile) bytes() []byte {
	if f.processor == 0 {
		f.processor = 84
	}
	if f.scale == 0 {
		f.scale = 1.0 / 32
	}
	if f.rate == 0 {
		f.rate = 120
	}
	if f.first == 0 {
		f.first = 1
	}
	points := len(f.labels)
	if len(f.frames) > 0 {
		points = len(f.frames[0])
	}
	stored := f.scale
	if f.reals {
		stored = -stored
	}
	params := []c3dParam{
		f.ints("POINT", "USED", points), f.float("POINT", "SCALE", stored), f.float("POINT", "RATE", f.rate),
		f.ints("POINT", "FRAMES", len(f.frames)), f.ints("ANALOG", "USED", f.analog),
	}
	if f.unit != "" {
		params = append(params, texts("POINT", "UNITS", f.unit))
	}
	if len(f.labels) > 0 {
		params = append(params, texts("POINT", "LABELS", f.labels...))
	}
	params = append(params, f.ints("POINT", "DATA_START", 0)) // set below
	params = slices.DeleteFunc(params, func(p c3dParam) bool {
		return p.group == "POINT" && slices.Contains(f.without, p.name) ||
			slices.ContainsFunc(f.extra, func(q c3dParam) bool { return q.group == p.group && q.name == p.name })
	})
	params = append(params, f.extra...)

	section := []byte{0, 0, 0, f.processor}
	groups := map[string]byte{}
	var dataStart int // place of the value
	var groupRecords []byte
	for _, p := range params {
		id, ok := groups[p.group]
		if !ok {
			id = byte(len(groups) + 1)
			groups[p.group] = id
			record := append([]byte{byte(len(p.group)), -id}, p.group...)
			record = append(append(record, f.word(3)...), 0)
			if f.groupsLast {
				groupRecords = append(groupRecords, record...)
			} else {
				section = append(section, record...)
			}
		}
		section = append(append(section, byte(len(p.name)), id), p.name...)
		section = append(section, f.word(2+2+len(p.dims)+len(p.data)+1)...)
		section = append(section, byte(p.kind), byte(len(p.dims)))
		section = append(section, p.dims...)
		if p.group == "POINT" && p.name == "DATA_START" && p.data[0] == 0 && p.data[1] == 0 {
			dataStart = len(section)
		}
		section = append(append(section, p.data...), 0)
	}
	section = append(section, groupRecords...)
	section = append(section, make([]byte, 512-len(section)%512)...)
	blocks := len(section) / 512
	section[2] = byte(blocks)
	begin := 2 + blocks + f.gap
	if dataStart > 0 {
		copy(section[dataStart:], f.word(begin))
	}

	head := make([]byte, 512)
	head[0], head[1] = 2, 0x50
	put := func(n int, b []byte) { copy(head[2*n-2:], b) }
	put(2, f.word(points))
	put(3, f.word(f.analog))
	put(4, f.word(f.first))
	put(5, f.word(f.first+len(f.frames)-1))
	put(7, f.real(stored))
	put(9, f.word(begin))
	put(10, f.word(1))
	put(11, f.real(f.rate))
	for n, v := range f.words {
		put(n, f.word(int(v)))
	}
	b := append(head, section...)
	b = append(b, make([]byte, 512*f.gap)...)
	for _, frame := range f.frames {
		for _, p := range frame {
			for i, v := range p {
				switch {
				case f.reals:
					b = append(b, f.real(v)...)
				case i < 3:
					b = append(b, f.word(int(math.Round(v/f.scale)))...)
				default:
					b = append(b, f.word(int(v))...)
				}
			}
		}
		for range f.analog {
			if f.reals {
				b = append(b, f.real(math.Inf(1))...) // nobody looks
			} else {
				b = append(b, f.word(-2)...)
			}
		}
	}
	if len(b)%512 != 0 {
		b = append(b, make([]byte, 512-len(b)%512)...)
	}
	return b
}
