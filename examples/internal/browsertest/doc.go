// Package browsertest holds the tests of pages in a real browser: that a page
// fetches nothing and reports nothing, can be read at two widths, by keyboard, by
// a screen reader and on paper, and that text from files did not become markup.
//
// It drives a headless Chromium over a pipe, with the standard library alone.
// One browser serves all tests of a package, which starts and ends it so:
//
//	func TestMain(m *testing.M) { browsertest.Main(m) }
//
//	func TestPage(t *testing.T) {
//		browsertest.Open(t, filepath.Join(dir, "page.html")).Check()
//	}
//
// A page that does something is opened by Visit, from a server on this machine; Click,
// Fill, Give (files) and Wait use it.
//
// Where there is no Chromium the tests are skipped, and say how to install one;
// with CI=true or PLECTRACE_BROWSER=required in the environment they fail. (On
// Windows they are always skipped: the pipe cannot be handed over there.)
// PLECTRACE_CHROMIUM names a browser that is not on the PATH. The flag
// -screenshots keeps a picture of each page at each width. To check a page by hand:
//
//	go test ./examples/internal/browsertest -run TestFile -page /tmp/out/page.html
//
// The checks do not see what words say, how a page looks, letters that a form's
// fields hold, and HTML that covers other HTML: look at the pictures too.
//
// The browser resolves no names, so that no page reaches a network, and runs
// without a sandbox of its own, so that it starts in containers and as root: open
// only pages that the program under test has made.
package browsertest
