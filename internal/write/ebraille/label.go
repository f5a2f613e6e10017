package ebraille

import (
	"bytes"
	"strconv"
	"strings"

	"continuo/internal/book"
	"continuo/internal/cell"
)

// newPage names a print page turn. The id comes from the page's number in
// print; a number that comes again gets a second part.
func (w *writer) newPage(t book.PageMark, used map[string]int) page {
	text := w.b.Text(w.b.Blocks[t.Block].Pieces[t.Piece])
	from := min(max(int(t.From), 0), len(text))
	number := numberOf(text[from:min(max(int(t.To), from), len(text))], t.Label)
	p := page{block: int(t.Block), number: number, print: printLabel(t.Label, number)}
	p.id = "page-" + strings.Map(func(r rune) rune {
		if r == '-' || r >= '0' && r <= '9' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' {
			return r
		}
		return '-'
	}, p.print)
	if used[p.id]++; used[p.id] > 1 {
		p.id += "." + strconv.Itoa(used[p.id])
	}
	return p
}

// numberOf takes the indicator or row of dots off a print page turn: what is
// left is the longest end of its last word that reads as the label.
func numberOf(mark []byte, l cell.Label) []byte {
	f := cell.Fields(mark)
	if len(f) == 0 {
		return cell.Number(l.Value)
	}
	word := mark[f[len(f)-1][0]:f[len(f)-1][1]]
	if len(f) == 1 {
		word = bytes.TrimPrefix(word, []byte{'"', '3'})
	}
	for i := range word {
		if got, ok := cell.ParseLabel(word[i:]); ok && got.Value == l.Value && got.Last == l.Last && got.Roman == l.Roman {
			return word[i:]
		}
	}
	return word
}

// printLabel is a page label as it is printed: 12, ix, A3, 12-13, 12a. cells is
// the same label in braille; it tells upper-case letters.
func printLabel(l cell.Label, cells []byte) string {
	number := func(n int) string {
		s := strconv.Itoa(n)
		if l.Roman {
			s = string(cell.Roman(n))
			if bytes.Contains(cells, []byte{',', ','}) {
				s = strings.ToUpper(s)
			}
		}
		return s
	}
	s := number(l.Value)
	if l.Last > l.Value {
		s += "-" + number(l.Last)
	}
	if l.Own() != "" {
		return l.Before() + s + l.Suffix
	}
	return letters(l.Prefix, "-") + s + l.Suffix
}

// letters is the prefix of a label in print: letters stand against the number,
// a digit is set off.
func letters(prefix, off string) string {
	if p, ok := strings.CutPrefix(prefix, ","); ok {
		return strings.ToUpper(p)
	}
	if prefix != "" && prefix[0] >= '0' && prefix[0] <= '9' {
		return prefix + off
	}
	return prefix
}
