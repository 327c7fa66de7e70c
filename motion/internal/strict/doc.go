// Package strict reads the small JSON files that people write by hand, and says
// in plain words, with the line, what in them cannot be: an unknown key, a value
// of the wrong kind, a text that ends too early or goes on after its end.
package strict
