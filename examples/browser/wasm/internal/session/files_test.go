package session

import (
	"bytes"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/motion/review"
)

// TestLayers: the settings of a folder and those of a take are laid over each other as
// the other programs do it, in whatever order they come; and what is saved says the
// same where it lies beside those of the folder.
func TestLayers(t *testing.T) {
	export, _ := bundled(t, "beginner-1")
	folder := File{"folder.take.json", []byte(`{"tip": "tip", "y_up": true, "mirrored": true, "string_count": 4, "slowed_by": 8, "marks": {"distance_mm": 40}}`)}
	own := File{"beginner-1.take.json", []byte(`{"mirrored": false, "marks": {"distance_mm": 36}}`)}
	want, err := review.ParseSetup(bytes.NewReader(folder.Data))
	if err != nil {
		t.Fatal(err)
	}
	if want, err = review.ParseSetupOver(want, bytes.NewReader(own.Data)); err != nil {
		t.Fatal(err)
	}
	want, _ = want.Guess([]string{"tip", "bass", "treble", "wrist"}, false)
	for name, drops := range map[string][][]File{
		"at once":            {{own, export, folder}},
		"the folder's first": {{folder}, {export}, {own}},
		"the folder's last":  {{export, own}, {folder}},
	} {
		s := new(Session)
		var got Take
		var given []byte
		for _, files := range drops {
			if got, err = s.Open(files, given); err != nil {
				t.Fatal(name, err)
			}
			given = form(t, got.Setup)
		}
		if d := cmp.Diff(want, got.Setup); d != "" {
			t.Errorf("%s (-want +got)\n%s", name, d)
		}
		if len(got.Used) != 2 || got.Used[0].Name != "folder.take.json" || got.Used[1].Name != "beginner-1.take.json" {
			t.Errorf("%s: used %v", name, got.Used)
		}
		// What the form says no to stays so.
		got.Setup.YUp = false
		saved, note, err := s.Settings(form(t, got.Setup))
		if err != nil || note != "" {
			t.Fatal(name, note, err)
		}
		below, err := review.ParseSetup(bytes.NewReader(folder.Data))
		if err != nil {
			t.Fatal(err)
		}
		both, err := review.ParseSetupOver(below, bytes.NewReader(saved.Data))
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(got.Setup, both); d != "" {
			t.Errorf("%s (-form +read beside the folder's)\n%s", name, d)
		}
		// What is empty cannot take away what the folder says.
		got.Setup.StringCount = 0
		if _, note, err = s.Settings(form(t, got.Setup)); err != nil {
			t.Fatal(err)
		}
		clitest.WantAll(t, name, note, "folder.take.json still says", "another folder")
	}
}

// TestCompare: the motion of one take is what the next is compared with, until it is
// left out.
func TestCompare(t *testing.T) {
	export, settings := bundled(t, "tutor")
	s := new(Session)
	got, err := s.Open([]File{export, settings}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Review(form(t, got.Setup), Player{}); err != nil {
		t.Fatal(err)
	}
	files, _, err := s.Files()
	if err != nil {
		t.Fatal(err)
	}
	ref := files[len(files)-1]
	if ref.Name != "tutor.reference.json" {
		t.Fatal(ref.Name)
	}
	if s.reviewed.Following != nil {
		t.Error("compared with nothing")
	}
	if _, err := s.Open([]File{ref}, form(t, got.Setup)); err != nil {
		t.Fatal(err)
	}
	export, settings = bundled(t, "beginner-2")
	if got, err = s.Open([]File{export, settings}, nil); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(Used{"tutor.reference.json", "the motion to compare with", true}, got.Used[len(got.Used)-1]); d != "" {
		t.Errorf("(-want +got)\n%s", d)
	}
	page, err := s.Review(form(t, got.Setup), Player{})
	if err != nil {
		t.Fatal(err)
	}
	clitest.WantAll(t, "the page", clitest.Visible(string(page.Data)), "the longest settled span of tutor.csv")
	if s.reviewed.Following == nil {
		t.Error("not compared")
	}
	if got, err = s.Leave("tutor.reference.json", form(t, got.Setup)); err != nil || len(got.Used) != 1 {
		t.Errorf("%v, %v", got.Used, err)
	}
	if _, err := s.Review(form(t, got.Setup), Player{}); err != nil || s.reviewed.Following != nil {
		t.Errorf("compared still, %v", err)
	}
	// The invented take keeps the motion to compare with, and nothing else.
	if _, err := s.Open([]File{ref, {"notes.csv", []byte("time_s\n0.5\n0.7\n")}}, form(t, got.Setup)); err != nil {
		t.Fatal(err)
	}
	export, settings = bundled(t, "beginner-1")
	if got, err = s.Demo([]File{export, settings}); err != nil || len(got.Used) != 2 || got.Used[1].Name != ref.Name || !got.Invented {
		t.Errorf("%+v, %v", got.Used, err)
	}
}
