// Package testdata holds the demo takes: an invented evening class of adult
// beginners in a plectrum orchestra. No real player was measured: the takes
// are what package motion/simulate makes of its presets, and a test holds them
// to it.
//
//	beginner-1  a beginner's first take, mostly searching
//	beginner-2  the same beginner later: faster and steadier
//	tutor       the tutor's reference take, settled nearly throughout
package testdata

import (
	"embed"
	"fmt"
	"strings"
)

//go:embed takes
var takes embed.FS

// Names are the names of the demo takes.
var Names = []string{"beginner-1", "beginner-2", "tutor"}

// Take returns the tracking export of a demo take, as delimited text, and its
// settings file. The error for a name that is not there lists those that are.
func Take(name string) (export, settings []byte, err error) {
	export, err = takes.ReadFile("takes/" + name + ".csv")
	if err != nil {
		return nil, nil, fmt.Errorf("testdata: there is no take %q: choose one of %s", name, strings.Join(Names, ", "))
	}
	settings, err = takes.ReadFile("takes/" + name + ".take.json")
	return export, settings, err
}
