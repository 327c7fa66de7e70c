// Package takefile opens and reviews takes for the example programs that work on
// several of them: each is an export with its settings file beside it.
package takefile
