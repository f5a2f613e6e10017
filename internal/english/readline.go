package english

import (
	"bytes"
	"strings"

	"continuo/internal/cell"
)

// ReadLine reads short wording, a title or an entry of a contents list, to print on one
// line. Guide dots between words become three full stops; what else Read says holds.
func ReadLine(cells []byte, v Variant) string {
	r := NewReader(v)
	var out []string
	from := 0
	say := func(t []byte) {
		if w := strings.Join(strings.Fields(r.Text(t)), " "); w != "" {
			out = append(out, w)
		}
	}
	words := len(bytes.Fields(cells))
	for _, x := range cell.Fields(cells) {
		if words > 1 && GuideDots(cells[x[0]:x[1]]) {
			say(cells[from:x[0]])
			out, from = append(out, "..."), x[1]
		}
	}
	say(cells[from:])
	return strings.Join(out, " ")
}

// GuideDots reports whether a token is guide dots: dots 5, 3 or 3-6 in a row. A
// dash of the older codes has four cells at most.
func GuideDots(tok []byte) bool {
	if len(tok) == 0 {
		return false
	}
	least := map[byte]int{'"': 2, '\'': 4, '-': 5}[tok[0]]
	return least > 0 && len(tok) >= least && len(bytes.Trim(tok, string(tok[:1]))) == 0
}
