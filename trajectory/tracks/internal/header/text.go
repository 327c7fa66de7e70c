package header

import "unicode/utf8"

// Text returns s as it is if it is UTF-8, and as ISO 8859-1 otherwise, in which every
// byte is a character.
func Text(s string) string {
	if utf8.ValidString(s) {
		return s
	}
	runes := make([]rune, len(s))
	for i := range len(s) {
		runes[i] = rune(s[i])
	}
	return string(runes)
}

// texts returns rows with each cell as Text has it; rows that need no change are
// those given.
func texts(rows [][]string) [][]string {
	out := make([][]string, len(rows))
	for i, row := range rows {
		out[i] = row
		for j, cell := range row {
			if utf8.ValidString(cell) {
				continue
			}
			if &out[i][0] == &row[0] {
				out[i] = append([]string{}, row...)
			}
			out[i][j] = Text(cell)
		}
	}
	return out
}
