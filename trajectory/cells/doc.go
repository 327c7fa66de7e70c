// Package cells writes tables of delimited text (RFC 4180) that are safe to open in a
// spreadsheet.
//
//	w := cells.NewWriter(file)
//	for _, row := range rows {
//		w.Write([]string{row.Player, strconv.FormatFloat(row.Rate, 'g', 6, 64)})
//	}
//	err := w.Flush() // the first error of all lines
//
// A spreadsheet takes a cell of text that begins with = + - @, a tab or a carriage
// return for a formula, and computes it: a name in somebody's export could then send
// what the table holds to a place of its choice (OWASP, CSV Injection). Some pass over
// a zero byte before these (OWASP Application Security Verification Standard 5.0,
// 1.2.10) or a line feed. Such a cell is written with an apostrophe before it, by which
// spreadsheets mark a text. Numbers stay as they are, negative ones too.
//
//	cell         is written  reads back as
//	=SUM(A1:A9)  '=SUM(A1:A9)  =SUM(A1:A9)
//	-0.25        -0.25         -0.25
//	'=1          ''=1          '=1
//	it's         it's          it's
//
// Readers of this module take the apostrophe off again ([Plain]); a program that does
// not know of it sees one character more, in such cells alone. What is guarded is the
// beginning of a cell: a program that is told to split at another separator than the
// comma makes other cells.
//
// # Missing values
//
// A value that is missing is an empty cell: nothing stands for it, neither zero nor NaN.
// Which cells are numbers only their text tells.
package cells
