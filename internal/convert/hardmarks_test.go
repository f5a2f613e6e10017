package convert_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/cell"
)

// bracketMarks are numbers in brackets: square and round ones of UEB, and of the
// codes before it (Rules of Unified English Braille 2013, 1.3.3, 7.1).
var bracketMarks = [][2]string{{".<", ".>"}, {"\"<", "\">"}, {",7", "7'"}, {"7", "7"}}

// TestNotesInBracketsAfterParagraphs: notes after their paragraph, marked by a
// number in brackets that stands hard after a word, at cell 7 with runovers at
// cell 5 (English Braille American Edition 1994, rule IV, 22) and at cells 5 and
// 3 (common practice). Each is joined, and a paragraph after one stays whole,
// though it begins where the note's runovers stand.
func TestNotesInBracketsAfterParagraphs(t *testing.T) {
	for _, b := range bracketMarks {
		for _, at := range [][2]int{{6, 4}, {4, 2}} {
			s := hardVolume(1, 1)
			var paras []string
			for c := 1; c <= 3; c++ {
				s.put("")
				s.centre(",*apt] " + string(cell.Number(c)))
				s.put("")
				for n := 1; n <= 4; n++ {
					w, mark := s.words(30+5*n), b[0]+string(cell.Number(n))+b[1]
					w[8] += mark
					paras = append(paras, s.flow(append(w, "h\\se4"), 2, 0))
					note := append([]string{mark}, s.words(9+c+n)...)
					room := s.width - at[1] - (len(strings.Join(append(note, "4"), " "))+at[0])%s.width
					s.flow(append(note, strings.Repeat("q", max(2, room%20))+"4"), at[0], at[1])
					paras = append(paras, s.para(24))
				}
			}
			res, ed := hardBook(t, nil, s.String())
			if n := linksOf(res, book.NoteRef); n != 12 {
				t.Errorf("%s, cells %v: %d notes joined, want 12\n%s", b[0], at, n, ed)
			}
			for _, p := range paras {
				if !strings.Contains(ed, "\n  "+p+"\n") {
					t.Errorf("%s, cells %v: not whole: %q\n%s", b[0], at, p, ed)
				}
			}
		}
	}
}

// TestNumberedLinesAreNoNotes: numbers in brackets at cell 5 with no such number
// hard after a word before them are items, and stay.
func TestNumberedLinesAreNoNotes(t *testing.T) {
	s := hardVolume(1, 1)
	for c := 1; c <= 3; c++ {
		s.chapter(",*apt] "+string(cell.Number(c)), 2)
		for n := 1; n <= 4; n++ {
			s.flow(append([]string{"\"<" + string(cell.Number(n)) + "\">"}, s.words(12)...), 4, 2)
		}
	}
	res, ed := hardBook(t, nil, s.String())
	if n := linksOf(res, book.NoteRef); n != 0 || strings.Contains(ed, ",notes") {
		t.Errorf("%d notes joined\n%s", n, ed)
	}
}

// TestActsWithoutBlankLines: acts and scenes at cell 5, or acts in the middle, no
// blank line round them, stage directions at cell 5 too (UK paper layout: no
// blank line between heading and text, a house's manual of the 1990s). Each
// heading carries the name of its own play, and the edition is proved.
func TestActsWithoutBlankLines(t *testing.T) {
	plays := []string{",h&ful ( ,salt", ",n[ ,doors"}
	s := hardVolume(1, 1)
	for _, p := range plays {
		s.turn()
		s.centre(p)
		for a := 1; a <= 3; a++ {
			s.put("    ,act " + string(cell.Number(a)))
			for sc := 1; sc <= 2; sc++ {
				s.put("    ,sc5e " + string(cell.Number(sc)))
				s.put("    7,a /reet 9 ! t[n47")
				for k := range 9 {
					s.flow(append([]string{[]string{",,ann4", ",,b54"}[k%2]}, append(s.words(14+k), "h\\se4")...), 0, 2)
				}
			}
		}
	}
	_, ed := hardBook(t, nil, s.String())
	for _, p := range plays {
		for a := 1; a <= 3; a++ {
			for sc := 1; sc <= 2; sc++ {
				want := fmt.Sprintf("    %s ,act %s ,sc5e %s\n", p, cell.Number(a), cell.Number(sc))
				if strings.Count(ed, want) != 1 {
					t.Errorf("no heading %q\n%s", want, ed)
				}
			}
		}
	}
}

// TestNumberedLineRunsOver: a line of verse with its number at the right margin
// that runs over. The number stays at the end of its line and the runover under
// it, as on paper, and no number stands among the words (BANA, Braille Formats
// 2016, section 15: line numbers at the right margin).
func TestNumberedLineRunsOver(t *testing.T) {
	s := hardVolume(1, 1)
	s.centre(",! ,b[s")
	var over []string
	for n := 1; n <= 60; n++ {
		if (n-1)%4 == 0 {
			s.put("")
		}
		line, rest := ",! b[s ( ! "+strings.Repeat("q", 3+n%7)+" /&", ""
		if n%3 == 0 {
			rest = strings.Repeat("z", 2+n%5) + " & g"
			line += strings.Repeat("q", 31-len(line))
		}
		if n%5 == 0 {
			num := string(cell.Number(n))
			full := line + strings.Repeat(" ", s.width-len(line)-len(num)) + num
			if s.put(full); rest != "" {
				over = append(over, "\n"+line+"  ", "  "+num+"\n  "+rest+"\n")
			}
		} else {
			s.put(line)
		}
		if rest != "" {
			s.put("  " + rest)
		}
	}
	_, ed := hardBook(t, nil, s.String())
	for _, x := range over {
		if !strings.Contains(ed, x) {
			t.Errorf("not as on paper: %q\n%s", x, ed)
		}
	}
}

// TestHeadsOfBookAndChapter: scripture whose page heads name the book and the
// chapter ("Ruth 2"), the text the chapter alone, verses begin with their number
// (common practice). Every head goes, the first of each chapter too, and no verse
// is cut by one.
func TestHeadsOfBookAndChapter(t *testing.T) {
	for _, label := range []string{",*apt] ", ""} {
		for _, in := range [][2]int{{0, 2}, {2, 0}} {
			s, head := hardVolume(1, 1), ""
			s.head = func(p int) string {
				l := string(cell.Number(p))
				if head == "" {
					return strings.Repeat(" ", s.width-len(l)) + l
				}
				line := strings.Repeat(" ", (s.width-len(head))/2) + head
				return line + strings.Repeat(" ", s.width-len(line)-len(l)) + l
			}
			var verses []string
			for _, b := range []string{",ru?", ",jonah", ",titus"} {
				s.put("")
				s.centre(b)
				for c := 1; c <= 4; c++ {
					head = b + " " + string(cell.Number(c))
					s.put("")
					s.centre(label + string(cell.Number(c)))
					s.put("")
					for n := 1; n <= 16; n++ {
						w := append([]string{string(cell.Number(n)), ",&"}, s.words(9+(c*n)%13)...)
						verses = append(verses, s.flow(append(w, "h\\se4"), in[0], in[1]))
					}
				}
			}
			_, ed := hardBook(t, nil, s.String())
			bad := 0
			for _, v := range verses {
				if !strings.Contains(ed, v+"\n") {
					bad++
				}
			}
			if bad > 0 {
				t.Errorf("chapters %q, cells %v: %d verses of %d are not whole\n%s", label, in, bad, len(verses), ed)
			}
		}
	}
}

// TestNotesUnderNamesAtCell5: notes at the end of the volume under the names of
// their pieces, which stand at cell 5 (BANA, Braille Formats 2016, 4.5), a note
// or two each, short ones in the middle of their line by chance; numbers raised, or
// in square brackets (Rules of Unified English Braille 2013, 3.24, 7.1). All are
// joined.
func TestNotesUnderNamesAtCell5(t *testing.T) {
	for _, b := range [][2]string{{";9", ""}, bracketMarks[0]} {
		s := hardVolume(1, 1)
		names := []string{",ann ,lee", ",bob ,hay", ",cora ,may", ",dan ,fry", ",eva ,poe"}
		for k, x := range names {
			with := []string{"boat" + b[0] + "#a" + b[1], "mill" + b[0] + "#b" + b[1]}
			s.chapter(x, 4, with[:1+k%2]...)
		}
		s.turn()
		s.centre(",notes")
		for k, x := range names {
			s.put("")
			s.put("    " + x)
			s.put("")
			for n := 1; n <= 1+k%2; n++ {
				s.flow([]string{b[0] + string(cell.Number(n)) + b[1], ",a", "note", "(", "x" + strings.Repeat("q", 3*n+k) + "4"}, 6, 4)
			}
		}
		res, ed := hardBook(t, nil, s.String())
		if n := linksOf(res, book.NoteRef); n != 7 {
			t.Errorf("%q: %d notes joined, want 7\n%s", b, n, ed)
		}
	}
}
