package main

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
)

// sound gives the samples of a WAV file, which is never read as a whole. What
// it reads is linear PCM of 8, 16, 24 or 32 bits and floating point of 32 or 64,
// with a plain or an extensible header, in any order of chunks.
//
// Sources: Multimedia Programming Interface and Data Specifications 1.0 (1991),
// "Waveform Audio File Format"; RFC 2361 (1998) for the numbers of the formats.
type sound struct {
	rate     int // frames per second
	channels int
	length   int64 // frames in all

	decode func([]byte) float64
	bytes  int // in a sample of one channel
	data   *io.SectionReader
	read   int64 // frames given so far
	buffer []byte
}

// Numbers of formats, RFC 2361.
const (
	linearPCM  = 1
	float      = 3
	extensible = 0xFFFE
)

// Bounds on what a header may ask for.
const (
	maxChannels = 32
	minRate     = 4000
	maxRate     = 768000
	maxChunks   = 4096
	maxSeconds  = 2 * 3600
)

// fault is an error at a place of the file.
func fault(at int64, format string, args ...any) error {
	return fmt.Errorf("at byte %d: "+format, append([]any{at}, args...)...)
}

// openSound reads the header of a WAV file of that size.
func openSound(r io.ReaderAt, size int64) (*sound, error) {
	var riff [12]byte
	if n, _ := r.ReadAt(riff[:], 0); n < len(riff) {
		return nil, fmt.Errorf("%d bytes are too few for a WAV file", size)
	}
	streamed := false // by a recorder that did not know the length beforehand
	switch id, form := string(riff[:4]), string(riff[8:]); {
	case id == "RF64" || id == "BW64":
		return nil, errors.New("this is the WAV format for more than 4 GB: cut the take out first")
	case id == "RIFX":
		return nil, errors.New("this WAV file has its bytes in big-endian order, which is not read")
	case id != "RIFF" || form != "WAVE":
		return nil, fmt.Errorf("this is no WAV file: it begins with %q", riff[:])
	default:
		length := binary.LittleEndian.Uint32(riff[4:])
		streamed = length == 0 || length == math.MaxUint32
	}

	var format []byte
	var formatAt int64
	at := int64(len(riff))
	var s sound
	for chunks := 0; at+8 <= size && (format == nil || s.data == nil); chunks++ {
		if chunks == maxChunks {
			return nil, fault(at, "more than %d chunks and no sound among them", maxChunks)
		}
		var head [8]byte
		if _, err := r.ReadAt(head[:], at); err != nil {
			return nil, fault(at, "%w", err)
		}
		id, length := string(head[:4]), int64(binary.LittleEndian.Uint32(head[4:]))
		body := at + 8
		if id == "data" && streamed && (length == 0 || length == math.MaxUint32) {
			length = size - body
		}
		if length > size-body {
			return nil, fault(at, "the chunk %q has %d bytes by its header, and the file ends after %d", id, length, size-body)
		}
		switch {
		case id == "fmt " && format == nil:
			format, formatAt = make([]byte, min(length, 40)), at
			if _, err := r.ReadAt(format, body); err != nil && err != io.EOF {
				return nil, fault(body, "%w", err)
			}
		case id == "data" && s.data == nil:
			s.data = io.NewSectionReader(r, body, length)
		}
		at = body + length + length%2
	}
	switch {
	case format == nil:
		return nil, fault(size, "the file ends without a chunk \"fmt \", which says how to read the sound")
	case s.data == nil:
		return nil, fault(size, "the file ends without a chunk \"data\", which holds the sound")
	}
	return &s, s.setFormat(format, formatAt)
}

// plainGUID is what follows the number of the format in an extensible header.
const plainGUID = "\x00\x00\x00\x00\x10\x00\x80\x00\x00\xaa\x00\x38\x9b\x71"

// setFormat reads the chunk that describes the samples.
func (s *sound) setFormat(b []byte, at int64) error {
	if len(b) < 16 {
		return fault(at, "the chunk \"fmt \" has %d bytes, at least 16 are needed", len(b))
	}
	le := binary.LittleEndian
	tag, frame, bits := le.Uint16(b), int(le.Uint16(b[12:])), int(le.Uint16(b[14:]))
	s.channels, s.rate = int(le.Uint16(b[2:])), int(min(le.Uint32(b[4:]), math.MaxInt32))
	if tag == extensible {
		if len(b) < 40 || string(b[26:40]) != plainGUID {
			return fault(at, "the extensible header is incomplete, or its format is a maker's own")
		}
		tag = le.Uint16(b[24:])
	}
	switch {
	case s.channels < 1 || s.channels > maxChannels:
		return fault(at, "there are %d channels, 1 to %d are read", s.channels, maxChannels)
	case s.rate < minRate || s.rate > maxRate:
		return fault(at, "the sample rate is %d Hz, %d to %d are read", s.rate, minRate, maxRate)
	case frame%s.channels != 0 || bits > 8*(frame/s.channels) || bits <= 8*(frame/s.channels-1):
		return fault(at, "%d channels of %d bits do not fill %d bytes", s.channels, bits, frame)
	}
	s.bytes = frame / s.channels
	s.decode = decoder(tag, s.bytes)
	if s.decode == nil {
		return fault(at, "samples of %d bits in format %d are not read; save the sound as PCM", bits, tag)
	}
	s.length = s.data.Size() / int64(frame)
	if s.length > int64(s.rate)*maxSeconds {
		return fault(at, "the sound is %.1f hours long: cut the take out first", float64(s.length)/float64(s.rate)/3600)
	}
	return nil
}

// decoder returns the function that turns the bytes of a sample into a number
// with full scale at 1, nil if there is none. Samples of fewer bits than their
// bytes hold are flush with the upper end.
func decoder(format uint16, bytes int) func([]byte) float64 {
	le := binary.LittleEndian
	switch {
	case format == linearPCM && bytes == 1:
		return func(b []byte) float64 { return (float64(b[0]) - 128) / (1 << 7) }
	case format == linearPCM && bytes == 2:
		return func(b []byte) float64 { return float64(int16(le.Uint16(b))) / (1 << 15) }
	case format == linearPCM && bytes == 3:
		return func(b []byte) float64 {
			return float64(int32(uint32(b[0])<<8|uint32(b[1])<<16|uint32(b[2])<<24)) / (1 << 31)
		}
	case format == linearPCM && bytes == 4:
		return func(b []byte) float64 { return float64(int32(le.Uint32(b))) / (1 << 31) }
	case format == float && bytes == 4:
		return func(b []byte) float64 { return float64(math.Float32frombits(le.Uint32(b))) }
	case format == float && bytes == 8:
		return func(b []byte) float64 { return math.Float64frombits(le.Uint64(b)) }
	}
	return nil
}

// next writes up to frames of samples to dst, whose length is a multiple of the
// number of channels, which take turns in it. It returns how many frames there
// were, and io.EOF after the last.
func (s *sound) next(dst []float64) (int, error) {
	frames := int(min(int64(len(dst)/s.channels), s.length-s.read))
	if frames == 0 {
		return 0, io.EOF
	}
	if need := frames * s.channels * s.bytes; cap(s.buffer) < need {
		s.buffer = make([]byte, need)
	}
	b := s.buffer[:frames*s.channels*s.bytes]
	if _, err := io.ReadFull(s.data, b); err != nil {
		return 0, fmt.Errorf("after %.3f s of sound: %w", float64(s.read)/float64(s.rate), err)
	}
	for i := range frames * s.channels {
		v := s.decode(b[i*s.bytes:])
		if !(math.Abs(v) <= math.MaxFloat32) {
			return 0, fmt.Errorf("at %.3f s of the sound: a sample is %v", float64(s.read+int64(i/s.channels))/float64(s.rate), v)
		}
		dst[i] = v
	}
	s.read += int64(frames)
	return frames, nil
}
