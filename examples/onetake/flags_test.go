package main

import (
	"bytes"
	"errors"
	"flag"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/motion/review"
)

func TestHelpTeaches(t *testing.T) {
	var b bytes.Buffer
	err := run([]string{"-h"}, &b)
	if !errors.Is(err, flag.ErrHelp) || cli.Code(err) != cli.OK {
		t.Errorf("-h: %v", err)
	}
	help := b.String()
	grouped := map[string]bool{}
	for _, g := range program.Groups {
		for _, name := range g.Flags {
			grouped[name] = true
		}
	}
	newFlags().set.VisitAll(func(f *flag.Flag) {
		if !strings.Contains(help, "\n  -"+f.Name) || f.Usage == "" || !grouped[f.Name] {
			t.Errorf("the help leaves out -%s, or has it in no group", f.Name)
		}
	})
	for _, want := range []string{"NAME.take.json", "flags win", "bass mark", "end-on", "tip_x", "240 frames/s", "-check", "see\na clinician"} {
		if !strings.Contains(help, want) {
			t.Errorf("the help leaves out %q", want)
		}
	}
	if strings.Contains(help, "`") {
		t.Error("the help shows a back quote")
	}
	clitest.WantPlain(t, "the help", help)
}

// TestHelpHasEveryKey: what a settings file may say is in the help, as a flag or
// by its key.
func TestHelpHasEveryKey(t *testing.T) {
	var b bytes.Buffer
	if err := run([]string{"-h"}, &b); !errors.Is(err, flag.ErrHelp) {
		t.Fatal(err)
	}
	// Keys whose flag has another name.
	named := map[string]string{"string_count": "strings", "corners": "card", "marks": "bass"}
	set := newFlags().set
	var walk func(reflect.Type)
	walk = func(s reflect.Type) {
		for i := range s.NumField() {
			f := s.Field(i)
			key, _, _ := strings.Cut(f.Tag.Get("json"), ",")
			if f.Type.Kind() == reflect.Struct && f.Type.PkgPath() != "" && (key == "" || key == "marks" || key == "card") {
				walk(f.Type) // embedded, or a group of keys
				continue
			}
			if key == "schema" || key == "" && !f.Anonymous {
				continue
			}
			name := strings.ReplaceAll(key, "_", "-")
			if other := named[key]; other != "" {
				name = other
			}
			if set.Lookup(name) == nil && !strings.Contains(b.String(), key) {
				t.Errorf("the help leaves out the key %s", key)
			}
		}
	}
	walk(reflect.TypeFor[review.Setup]())
	for _, key := range []string{"picture_px", "focal_px", "raise_error_deg", "skew_error_deg", "string_spacing_mm", "landmark_error_mm", "card.short_edge"} {
		if !strings.Contains(settingsNote, key) {
			t.Errorf("the note on settings leaves out %s", key)
		}
	}
}

// TestSettingsSample: the sample of the help is a settings file.
func TestSettingsSample(t *testing.T) {
	s, err := review.ParseSetup(strings.NewReader(settingsSample.Text))
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Validate(); err != nil {
		t.Error(err)
	}
	if !s.Card.ShortEdge || s.FocalPX == 0 || s.SkewErrorDeg == 0 || s.StringSpacingMM == 0 || s.LandmarkErrorMM == 0 {
		t.Errorf("the sample leaves out a key: %+v", s.Capture)
	}
}

func TestNextStep(t *testing.T) {
	for text, want := range map[string]string{
		"the card has 3 corners":                     "see onetake -h, 'The camera'",
		"picture_px is -1":                           "see onetake -h, 'The camera'",
		"touch_string is 7 of 6 strings":             "see onetake -h, 'The strings'",
		"landmarks names the point \"a\" twice":      "see onetake -h, 'The hand'",
		"the distance between the marks is negative": "otherwise",
	} {
		if got := nextStep(errors.New(text), "otherwise"); got != want {
			t.Errorf("%s: %q, want %q", text, got, want)
		}
	}
	for _, group := range []string{theCamera, theStrings, theHand} {
		if !slices.ContainsFunc(program.Groups, func(g cli.Group) bool { return g.Title == group+":" }) {
			t.Errorf("no group of the help is called %s", group)
		}
	}
}
