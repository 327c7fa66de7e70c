package browsertest

import (
	"errors"
	"fmt"
	"runtime"
)

const (
	pathVariable    = "PLECTRACE_CHROMIUM"
	demandVariable  = "PLECTRACE_BROWSER"
	demandedBrowser = "required"
)

// names are those under which systems install the browser.
var names = []string{"chromium", "chromium-browser", "google-chrome", "google-chrome-stable"}

// What find returns where none is installed, and where none could be driven.
var (
	errNoBrowser = errors.New("no Chromium is installed: on Debian run apt-get install chromium, " +
		"elsewhere set " + pathVariable + " to the path of one")
	errNoPipe = fmt.Errorf("a browser cannot be driven over a pipe on %s: run this test on another system", runtime.GOOS)
)

// find returns the path of the browser. An error other than errNoBrowser and
// errNoPipe means that the one asked for cannot be used.
func find(getenv func(string) string, lookPath func(string) (string, error)) (string, error) {
	if runtime.GOOS == "windows" || runtime.GOOS == "js" {
		return "", errNoPipe
	}
	if asked := getenv(pathVariable); asked != "" {
		path, err := lookPath(asked)
		if err != nil {
			return "", fmt.Errorf("%s: %w", pathVariable, err)
		}
		return path, nil
	}
	for _, name := range names {
		if path, err := lookPath(name); err == nil {
			return path, nil
		}
	}
	return "", errNoBrowser
}

// demanded reports whether the absence of a browser is a failure.
func demanded(getenv func(string) string) bool {
	return getenv("CI") == "true" || getenv(demandVariable) == demandedBrowser
}
