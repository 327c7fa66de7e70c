package session

import (
	"bytes"
	"fmt"
	"io"
)

// meter tells how much of the export has been read.
type meter struct {
	*bytes.Reader
	doing string
	tell  func(string, float64)
	told  int // per cent
}

// reading reads the export, and tells how far it is.
func (s *Session) reading(doing string) io.Reader {
	m := &meter{Reader: bytes.NewReader(s.export.Data), doing: doing, tell: s.tell}
	m.tell(doing, 0)
	return m
}

func (m *meter) Read(p []byte) (int, error) {
	n, err := m.Reader.Read(p)
	share := 1 - float64(m.Len())/float64(max(1, m.Size()))
	if at := int(100 * share); at > m.told {
		m.told = at
		m.tell(m.doing, share)
	}
	return n, err
}

func (s *Session) tell(doing string, share float64) {
	if s.Tell != nil {
		s.Tell(doing, share)
	}
}

// step names one of the steps of a review.
func step(n int, doing string) string { return fmt.Sprintf("Step %d of 4: %s", n, doing) }
