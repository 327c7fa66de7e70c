// Package session is one take in the page of the browser: the files that were given,
// what the form shows of them, the settings that come back from it, and the review. It
// knows nothing of the browser itself.
package session
