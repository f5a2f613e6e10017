package profile

import "fmt"

// NoMark as entry_mark says that headwords get no mark.
const NoMark = "none"

// EntryMarks are the marks before the headwords of dictionary entries, in the
// order in which they are tried when the one before stands in the text of the
// book: dots 5-6 twice (the grade 1 word indicator of Unified English Braille;
// common practice), then pairs of cells that no English code writes together.
var EntryMarks = []string{";;", "^^", "@@", "_^", "^@"}

// badMark says what is wrong with a mark, "" if nothing is. A mark has two or
// three cells, none of them a letter: a letter would read as part of the word.
func badMark(m string) string {
	if m == NoMark {
		return ""
	}
	if i := notCell(m); i >= 0 {
		return fmt.Sprintf("%q is not a cell of Braille ASCII", m[i:i+1])
	}
	if len(m) < 2 || len(m) > 3 {
		return fmt.Sprintf("must be two or three cells or %q, not %q", NoMark, m)
	}
	for _, c := range []byte(canonical(m)) {
		if c == ' ' || c >= 'a' && c <= 'z' {
			return fmt.Sprintf("must have no letter and no blank, not %q", m)
		}
	}
	return ""
}
