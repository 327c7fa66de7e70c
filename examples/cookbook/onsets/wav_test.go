package main

import (
	"bytes"
	"encoding/binary"
	"io"
	"math"
	"math/rand/v2"
	"runtime"
	"strings"
	"testing"
)

var le = binary.LittleEndian

// chunk returns a chunk with its header, padded to an even length.
func chunk(id string, body ...[]byte) []byte {
	b := bytes.Join(body, nil)
	all := append([]byte(id), le.AppendUint32(nil, uint32(len(b)))...)
	all = append(all, b...)
	if len(b)%2 == 1 {
		all = append(all, 0)
	}
	return all
}

func riff(chunks ...[]byte) []byte {
	return chunk("RIFF", append([][]byte{[]byte("WAVE")}, chunks...)...)
}

// format returns the chunk that describes samples.
func format(tag, channels, rate, bits, bytes int, more ...byte) []byte {
	b := le.AppendUint16(nil, uint16(tag))
	b = le.AppendUint16(b, uint16(channels))
	b = le.AppendUint32(b, uint32(rate))
	b = le.AppendUint32(b, uint32(rate*channels*bytes))
	b = le.AppendUint16(b, uint16(channels*bytes))
	b = le.AppendUint16(b, uint16(bits))
	return chunk("fmt ", b, more)
}

// extension returns what an extensible header adds.
func extension(tag, bits int) []byte {
	b := le.AppendUint16([]byte{22, 0}, uint16(bits))
	b = le.AppendUint32(b, 4) // speaker in the middle
	b = le.AppendUint16(b, uint16(tag))
	return append(b, plainGUID...)
}

func float32s(v ...float32) []byte {
	var b []byte
	for _, x := range v {
		b = le.AppendUint32(b, math.Float32bits(x))
	}
	return b
}

// all reads a file to its end.
func all(file []byte) (*sound, []float64, error) {
	s, err := openSound(bytes.NewReader(file), int64(len(file)))
	if err != nil {
		return nil, nil, err
	}
	var x []float64
	block := make([]float64, 3*s.channels)
	for {
		n, err := s.next(block)
		if err == io.EOF {
			return s, x, nil
		}
		if err != nil {
			return nil, nil, err
		}
		x = append(x, block[:n*s.channels]...)
	}
}

func TestFormats(t *testing.T) {
	pcm16 := []byte{0, 0, 0, 0x40, 0, 0xC0, 0xFF, 0x7F, 0, 0x80}
	want16 := []float64{0, 0.5, -0.5, 32767.0 / 32768, -1}
	double := le.AppendUint64(le.AppendUint64(nil, math.Float64bits(0.25)), math.Float64bits(-1.5))
	streamed := riff(format(1, 1, 8000, 16, 2), chunk("data", pcm16))
	le.PutUint32(streamed[4:], math.MaxUint32)
	le.PutUint32(streamed[40:], math.MaxUint32)
	unknown := riff(format(1, 1, 8000, 16, 2), chunk("data", pcm16))
	le.PutUint32(unknown[4:], 0)
	le.PutUint32(unknown[40:], 0)
	for _, c := range []struct {
		name     string
		file     []byte
		channels int
		want     []float64
	}{
		{"8 bits", riff(format(1, 1, 8000, 8, 1), chunk("data", []byte{128, 0, 255, 192, 64})), 1, []float64{0, -1, 127.0 / 128, 0.5, -0.5}},
		{"16 bits", riff(format(1, 1, 44100, 16, 2), chunk("data", pcm16)), 1, want16},
		{"24 bits", riff(format(1, 1, 48000, 24, 3), chunk("data", []byte{0, 0, 0x40, 0, 0, 0xC0, 1, 0, 0})), 1, []float64{0.5, -0.5, 1.0 / (1 << 23)}},
		{"32 bits", riff(format(1, 1, 96000, 32, 4), chunk("data", []byte{0, 0, 0, 0x40, 0, 0, 0, 0x80})), 1, []float64{0.5, -1}},
		{"12 bits in 2 bytes", riff(format(1, 1, 8000, 12, 2), chunk("data", pcm16[:4])), 1, []float64{0, 0.5}},
		{"float", riff(format(3, 1, 48000, 32, 4, 0, 0), chunk("fact", []byte{3, 0, 0, 0}), chunk("data", float32s(0.5, -0.25, 1.5))), 1, []float64{0.5, -0.25, 1.5}},
		{"double", riff(format(3, 1, 48000, 64, 8), chunk("data", double)), 1, []float64{0.25, -1.5}},
		{"extensible PCM", riff(format(0xFFFE, 2, 48000, 24, 3, extension(1, 20)...), chunk("data", []byte{0, 0, 0x40, 0, 0, 0xC0})), 2, []float64{0.5, -0.5}},
		{"extensible float", riff(format(0xFFFE, 1, 48000, 32, 4, extension(3, 32)...), chunk("data", float32s(0.75))), 1, []float64{0.75}},
		{"stereo", riff(format(1, 2, 44100, 16, 2), chunk("data", pcm16[:8])), 2, want16[:4]},
		{"odd chunk first", riff(chunk("LIST", []byte("INFO!")), format(1, 1, 8000, 16, 2), chunk("odd ", []byte{7}), chunk("data", pcm16), chunk("cue ", []byte{1})), 1, want16},
		{"sound before its format", riff(chunk("data", pcm16), format(1, 1, 8000, 16, 2)), 1, want16},
		{"two sounds", riff(format(1, 1, 8000, 16, 2), chunk("data", pcm16), chunk("data", pcm16[:2])), 1, want16},
		{"odd sound", riff(format(1, 1, 8000, 8, 1), chunk("data", []byte{128, 0, 255})), 1, []float64{0, -1, 127.0 / 128}},
		{"part of a frame at the end", riff(format(1, 2, 8000, 16, 2), chunk("data", pcm16)), 2, want16[:4]},
		{"streamed", streamed, 1, want16},
		{"length not known", unknown, 1, want16},
		{"no sound", riff(format(1, 1, 8000, 16, 2), chunk("data")), 1, nil},
	} {
		s, x, err := all(c.file)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if s.channels != c.channels || len(x) != len(c.want) {
			t.Errorf("%s: %d channels, samples %v, want %v", c.name, s.channels, x, c.want)
			continue
		}
		for i := range x {
			if x[i] != c.want[i] {
				t.Errorf("%s: sample %d is %v, want %v", c.name, i, x[i], c.want[i])
			}
		}
	}
}

func TestBadFiles(t *testing.T) {
	pcm := chunk("data", make([]byte, 64))
	good := format(1, 1, 8000, 16, 2)
	huge := chunk("LIST", []byte("INFO"))
	le.PutUint32(huge[4:], 0xFFFFFFF0)
	hugeData := chunk("data", make([]byte, 64))
	le.PutUint32(hugeData[4:], 0xFFFFFFF0)
	hugeFormat := format(1, 1, 8000, 16, 2)
	le.PutUint32(hugeFormat[4:], 0x7FFFFFFF)
	long := riff(format(1, 1, 8000, 8, 1), chunk("data", make([]byte, 1)))
	maker := extension(1, 16)
	maker[20] ^= 1
	for _, c := range []struct {
		name, says string
		file       []byte
	}{
		{"empty", "too few", nil},
		{"no WAV file", "no WAV file", []byte("ID3 and what follows")},
		{"big-endian", "big-endian", append([]byte("RIFX"), make([]byte, 40)...)},
		{"64 bit", "4 GB", append([]byte("RF64"), make([]byte, 40)...)},
		{"no format", "fmt", riff(pcm)},
		{"no sound", "data", riff(good)},
		{"huge list", "4294967280 bytes", riff(huge, good, pcm)},
		{"huge sound", "at byte 36", riff(good, hugeData)},
		{"huge format", "at byte 12", riff(hugeFormat, pcm)},
		{"short format", "at least 16", riff(chunk("fmt ", make([]byte, 14)), pcm)},
		{"no rate", "sample rate is 0", riff(format(1, 1, 0, 16, 2), pcm)},
		{"rate of negative look", "sample rate", riff(format(1, 1, -1, 16, 2), pcm)},
		{"no channels", "0 channels", riff(format(1, 0, 8000, 16, 2), pcm)},
		{"many channels", "65535 channels", riff(format(1, 65535, 8000, 16, 2), pcm)},
		{"no bits", "0 bits", riff(format(1, 1, 8000, 0, 0), pcm)},
		{"bits that do not fit", "do not fill", riff(format(1, 1, 8000, 24, 2), pcm)},
		{"40 bits", "40 bits", riff(format(1, 1, 8000, 40, 5), pcm)},
		{"telephone", "format 6", riff(format(6, 1, 8000, 8, 1), pcm)},
		{"half float", "format 3", riff(format(3, 1, 8000, 16, 2), pcm)},
		{"extensible, cut", "extensible", riff(format(0xFFFE, 1, 8000, 16, 2, 22, 0, 16), pcm)},
		{"extensible, a maker's own", "extensible", riff(format(0xFFFE, 1, 8000, 16, 2, maker...), pcm)},
		{"not a number", "0.000 s", riff(format(3, 1, 8000, 32, 4), chunk("data", float32s(0, float32(math.NaN()))))},
		{"infinite", "a sample is +Inf", riff(format(3, 1, 8000, 32, 4), chunk("data", float32s(0, float32(math.Inf(1)))))},
		{"many chunks", "4096 chunks", riff(bytes.Repeat(chunk("junk"), 5000), good, pcm)},
	} {
		_, x, err := all(c.file)
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, error %v, want one with %q", c.name, x, err, c.says)
		}
	}
	le.PutUint32(long[40:], 8000*7300)
	if _, err := openSound(padded(long), int64(len(long)+8000*7300)); err == nil || !strings.Contains(err.Error(), "2.0 hours") {
		t.Errorf("two hours: %v", err)
	}
}

// padded is a file that goes on with zeros for ever.
type padded []byte

func (p padded) ReadAt(b []byte, at int64) (int, error) {
	clear(b)
	if at < int64(len(p)) {
		copy(b, p[at:])
	}
	return len(b), nil
}

// A file cut anywhere, or with bytes changed at random, gives an error or a
// sound; it does not panic, and takes little memory.
func TestHostileFiles(t *testing.T) {
	file := riff(chunk("LIST", []byte("INFO!")), format(0xFFFE, 2, 48000, 24, 3, extension(1, 24)...), chunk("fact", []byte{0, 0, 0, 0}), chunk("data", make([]byte, 600)))
	for n := range file {
		if _, _, err := all(file[:n]); err == nil {
			t.Fatalf("a file of %d bytes cut after %d is read", len(file), n)
		}
	}
	rng := rand.New(rand.NewPCG(3, 3))
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	const trials = 20000
	for range trials {
		b := bytes.Clone(file)
		for range 1 + rng.IntN(8) {
			b[rng.IntN(110)] = byte(rng.IntN(256)) >> (rng.IntN(2) * rng.IntN(8))
		}
		if s, err := openSound(bytes.NewReader(b), int64(len(b))); err == nil {
			_, _ = readLoudness(s, 500)
		}
	}
	runtime.ReadMemStats(&after)
	if each := (after.TotalAlloc - before.TotalAlloc) / trials; each > 100_000 {
		t.Errorf("%d bytes are allocated for a file of %d", each, len(file))
	}
}

func FuzzSound(f *testing.F) {
	f.Add(riff(format(1, 1, 8000, 16, 2), chunk("data", []byte{1, 2, 3, 4})))
	f.Add(riff(format(0xFFFE, 1, 48000, 32, 4, extension(3, 32)...), chunk("data", float32s(0.5, 1))))
	f.Fuzz(func(t *testing.T, b []byte) {
		s, err := openSound(bytes.NewReader(b), int64(len(b)))
		if err != nil {
			return
		}
		c, err := readLoudness(s, 500)
		if err != nil {
			return
		}
		for _, o := range find(c, defaults) {
			if math.IsNaN(o.Time) || math.IsNaN(o.Level) {
				t.Errorf("onset %+v", o)
			}
		}
	})
}
