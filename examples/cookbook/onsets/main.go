// Onsets lists the moments at which notes begin in a WAV file, for what says
// which strokes sounded: the column names are those of an onset list,
// time_s,level_db.
//
//	go run ./examples/cookbook/onsets lesson.wav
//	go run ./examples/cookbook/onsets -shift -0.35 -out lesson.onsets.csv lesson.wav
//
// It takes the power of the sound in octaves, a thousand times a second, and
// looks for moments after which it is higher than before. Notes that ring on
// fall in every octave; a new one rises, where its attack is at least. Without a
// file it makes a sound whose notes are known and prints what it finds beside
// them.
//
// On 60 takes of simulated strings drawn at random (4 to 14 notes/s, 82 to 500
// Hz, ringing 0.2 to 3 s, noise at -25 to -60 dB, a live room) F1 was 0.994, in
// the worst take 0.86; 70 % of the onsets were within 1 ms of the truth and 98 %
// within 10 ms, the late ones at the second pulse of a note and the early ones at
// the touch of the plectrum. Four strings left ringing for seconds at 12 notes/s
// hide a quarter of the notes.
//
// The method follows the survey by J. P. Bello, L. Daudet, S. Abdallah,
// C. Duxbury, M. Davies and M. B. Sandler, "A tutorial on onset detection in
// music signals", IEEE Trans. Speech Audio Process. 13 (2005) 1035-1047: sub-band
// log energy, an adaptive threshold, peak picking.
package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

	"github.com/plectrace/plectrace/examples/internal/cli"
)

func main() { cli.Main(program, run) }

// run is the program: it reads args and writes the table, or a summary, to out.
func run(args []string, out io.Writer) error {
	s, err := parse(args, out)
	if err != nil {
		return err
	}
	if s.file == "" {
		return demonstrate(s, out)
	}
	c, found, err := onsetsOf(s)
	if err != nil {
		return err
	}
	if s.out == "" {
		_, err := out.Write(table(found, s.shift))
		return err
	}
	if err := cli.WriteFile(s.out, table(found, s.shift), s.force); err != nil {
		return err
	}
	_, err = io.WriteString(out, summary(s, c, found))
	return err
}

// onsetsOf reads the file and finds its onsets.
func onsetsOf(s setup) (loudness, []onset, error) {
	const next = "give a WAV file, in PCM or floating point"
	fail := func(err error) (loudness, []onset, error) {
		var p *fs.PathError
		if errors.As(err, &p) {
			err = p.Err
		}
		return loudness{}, nil, cli.Input(fmt.Errorf("cannot read %s: %w", s.file, err), next)
	}
	f, err := os.Open(s.file)
	if err != nil {
		return fail(err)
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return fail(err)
	}
	if !info.Mode().IsRegular() {
		return fail(errors.New("it is no regular file"))
	}
	c, err := listen(f, info.Size(), s.find.lowest)
	if err != nil {
		return fail(err)
	}
	return c, find(c, s.find), nil
}

// listen reads the loudness of a WAV file's power.
func listen(r io.ReaderAt, size int64, lowest float64) (loudness, error) {
	s, err := openSound(r, size)
	if err != nil {
		return loudness{}, err
	}
	return readLoudness(s, lowest)
}

// table returns the onset list.
func table(found []onset, shift float64) []byte {
	var b bytes.Buffer
	b.WriteString("time_s,level_db\n")
	for _, o := range found {
		fmt.Fprintf(&b, "%.4f,%.1f\n", o.time+shift, o.level)
	}
	return b.Bytes()
}

// summary says in plain words what was found.
func summary(s setup, c loudness, found []onset) string {
	text := fmt.Sprintf("%s: %d onsets in %.1f s of sound\n", s.out, len(found), float64(len(c.bands[0]))*c.step)
	if len(found) == 0 {
		text += "  nothing in it rises enough to be a note; is it the right file? A lower -rise finds softer ones.\n"
	}
	if share := float64(c.clipped) / float64(max(1, c.frames)); share > 1e-4 {
		text += fmt.Sprintf("  %.2g %% of the sound is clipped: loud notes have too low a level\n", 100*share)
	}
	return text
}
