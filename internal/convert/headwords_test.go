package convert_test

import (
	"strings"
	"testing"

	"continuo/internal/book"
)

// dictWords rise letter by letter and hold no contraction of any code.
var dictWords = strings.Fields("bab bac baf bag bam bap bas bax beb bef beg bek bim bip bix bob bof bog bom bop bos box bub bug bum bup cab cac cag cam cap caz cic cig cim cip cob cog com cop cos cox cub cug cum cup daf dag dam dap")

// A dictionary on narrow pages: senses in cell 5 with runovers at the same cell, entries of one full line, a print page
// turn between entries. A headword under a line that had no room for it begins its entry all the same (dictionaries: BANA, Braille Formats 2016,
// section 21, from memory; senses in cell 5: common practice); runovers go on.
func TestHeadwordsUnderFullLines(t *testing.T) {
	for _, double := range []bool{false, true} {
		s := &houseVolume{width: 32, height: 26}
		s.head = func(p int) string { return s.right(p) }
		s.centre(",a ,small ,dictionary")
		for range 3 {
			s.para(50)
		}
		s.turn()
		put := func(line string) {
			s.put(line)
			if double && len(s.pages[len(s.pages)-1]) < s.height {
				s.put("")
			}
		}
		// fill is a line of so many cells that begins with some words
		fill := func(in int, start string, cells int) string {
			line := strings.Repeat(" ", in) + start
			for len(line) < cells {
				if w := s.word(); len(line)+1+len(w) <= cells {
					line += " " + w
				} else {
					line += " " + strings.Repeat("k", max(1, cells-len(line)-1))
				}
			}
			return line
		}
		var want []string
		for n, w := range dictWords {
			switch n % 4 {
			case 0: // a sense that ends as full as it can
				put(w + " n4")
				put("    #a4 ," + strings.Join(s.words(3), " ") + "4")
				put(fill(4, "#b4 ,"+s.word(), 30))
				put(fill(4, s.word(), 30) + "4")
			case 1:
				put(fill(0, w+" n4 ,"+s.word(), 31) + "4")
			case 2:
				put(fill(0, w+" n4 ,"+s.word(), 31))
				put("  " + strings.Join(s.words(3), " ") + "4")
			default:
				put(w + " n4 ," + strings.Join(s.words(2), " ") + "4")
				if n == 11 {
					s.centre("\"3#b")
				}
			}
			want = append(want, w)
		}
		res := makeOf(t, s.String())
		got := map[string]bool{}
		for _, bl := range res.Book.Blocks {
			if bl.Form != book.Term {
				continue
			}
			for _, p := range bl.Pieces {
				if x := string(res.Book.Text(p)); p.Vol >= 0 && !strings.HasPrefix(x, "\"3") {
					got[strings.Fields(x)[0]] = true
					break
				}
			}
		}
		for _, w := range want {
			if !got[w] {
				t.Errorf("double spaced %v: %q begins no entry", double, w)
			}
		}
		if n := strings.Count(string(res.Edition), "\n;;"); n != len(want) {
			t.Errorf("double spaced %v: %d entries, want %d\n%s", double, n, len(want), res.Edition)
		}
	}
}

// Paragraphs under the entries of an encyclopaedia, in cells 5-1, whose lines at the margin begin with any word, and headwords at the
// margin: no line of a paragraph is taken for a headword, and each paragraph is whole.
func TestNoHeadwordsWithinParagraphs(t *testing.T) {
	s := &houseVolume{width: 32, height: 26}
	s.head = func(p int) string { return s.right(p) }
	var paras []string
	for n, w := range dictWords[:30] {
		s.put(w + "1 " + strings.Join(s.words(3), " ") + "4")
		paras = append(paras, s.flow(append(append([]string{",2side"}, s.words(30+n)...), "h\\se4"), 4, 0))
	}
	res := makeOf(t, s.String())
	for _, p := range paras {
		if !strings.Contains(string(res.Edition), p+"\n") {
			t.Errorf("the paragraph is cut: %s\n%s", p, res.Edition)
			break
		}
	}
}
