// Package onepage makes the pages of one take for the programs that review one: the
// page for a teacher and a learner, that of all numbers, the summary in a few lines,
// and the files of a review's folder. It reads and writes no files itself.
//
//	rec, note, err := onepage.Read(export, name, setup, timed)
//	r, err := onepage.Measure(rec, setup, review.Options{})
//	files, err := onepage.Outputs(r, onepage.About{Name: name, Notes: []string{note}}, onepage.Also{})
//
// The code that the page shows is that of steps.go, which is what runs.
package onepage
