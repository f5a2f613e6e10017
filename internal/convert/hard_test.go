package convert_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/source"
)

// Volumes of hard books in UEB, 38 cells and 26 lines, line 1 with the title and the
// braille page (UK paper layout: W3C w3c-wai-hc 1997, 0306; UKAAF Guiding Principles
// 2016, sections 6 and 7).

// hardVolume begins volume n of a book of so many: title page, statement.
func hardVolume(n, of int) *houseVolume {
	s := &houseVolume{width: 38, height: 26}
	s.head = func(p int) string {
		if p == 1 {
			return ""
		}
		return "           ! l;g road" + s.right(p)[21:]
	}
	s.next = 1000 * n
	s.put("")
	s.centre(",! ,l;g ,road")
	s.put("")
	s.centre("by ,orla ,penn")
	s.put("")
	s.centre("333333333333")
	if of > 1 {
		s.centre(",9 " + string(cell.Number(of)) + " ,volumes")
		s.centre(",volume " + string(cell.Number(n)))
		s.centre("333333333333")
	}
	s.turn()
	return s
}

// ends closes volume n.
func (s *houseVolume) ends(n int) string {
	s.put("")
	s.centre(",5d ( ,volume " + string(cell.Number(n)))
	return s.String()
}

// chapter sets a heading and n paragraphs; words may stand in them, one each.
func (s *houseVolume) chapter(heading string, n int, with ...string) {
	s.put("")
	s.centre(heading)
	s.put("")
	for i := range n {
		w := s.words(40 + i)
		if i < len(with) {
			w[7] = with[i]
		}
		s.flow(append(w, "h\\se4"), 2, 0)
	}
}

// hardBook makes one book of volumes, proved, of one line a paragraph.
func hardBook(t *testing.T, set func(*convert.Options), vols ...string) (*convert.Result, string) {
	t.Helper()
	var files []*source.File
	for i, v := range vols {
		f, err := source.Parse(fmt.Sprintf("road-%d.brf", i+1), []byte(v))
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f)
	}
	o := convert.Defaults()
	o.Width = 0
	if set != nil {
		set(&o)
	}
	res, err := convert.Make(files, o)
	if err != nil {
		t.Fatal(err)
	}
	if rep := check.Verify(res.Edition, res.Account, files); !rep.OK {
		t.Fatalf("not proved: %v\n%s", rep.Problems, res.Edition)
	}
	return res, "\n" + strings.ReplaceAll(string(res.Edition), "\r\n", "\n")
}

// inOrder demands that texts stand in the edition, each once, one after the other.
func inOrder(t *testing.T, edition string, texts ...string) {
	t.Helper()
	from := 0
	for _, x := range texts {
		n := strings.Index(edition[from:], x)
		switch {
		case n < 0 && strings.Contains(edition, x):
			t.Errorf("%q stands before %q\n%s", x, texts[0], edition)
			return
		case n < 0:
			t.Errorf("no %q in the edition\n%s", x, edition)
			return
		case strings.Count(edition, x) > 1:
			t.Errorf("%q stands %d times\n%s", x, strings.Count(edition, x), edition)
			return
		}
		from += n + len(x)
	}
}

func foundOf(res *convert.Result, id string) (n int) {
	for _, f := range res.Findings {
		if f.ID == id {
			n++
		}
	}
	return n
}

func linksOf(res *convert.Result, k book.LinkKind) (n int) {
	for _, l := range res.Book.Links {
		if l.Kind == k {
			n++
		}
	}
	return n
}

// TestGatheredNotesHaveOneHeading: the notes of each volume stand under a heading of
// their own; in the one book they go on under the first. Numbers that go on through
// the book need no name of their part; those that begin anew get it once.
func TestGatheredNotesHaveOneHeading(t *testing.T) {
	for _, anew := range []bool{false, true} {
		for _, named := range []bool{false, true} {
			var vols []string
			for n := 1; n <= 3; n++ {
				s := hardVolume(n, 3)
				first := 2*n - 1
				if anew {
					first = 1
				}
				heading := ",*apt] " + string(cell.Number(n))
				s.chapter(heading, 6, "boat;9"+string(cell.Number(first)), "mill;9"+string(cell.Number(first+1)))
				s.put("")
				s.centre(",notes")
				s.put("")
				if named {
					s.centre(heading)
				}
				s.flow([]string{string(cell.Number(first)), "a", "boat", "no", fmt.Sprint("x", strings.Repeat("q", n)), ")\\t", "sail4"}, 2, 0)
				s.flow([]string{string(cell.Number(first + 1)), "#ca", "mills", "/ood", "\"!", fmt.Sprint("y", strings.Repeat("q", n)), "t", "ye>", "&", "#c", "o!rs4"}, 2, 0)
				vols = append(vols, s.ends(n))
			}
			res, ed := hardBook(t, nil, vols...)
			if n := strings.Count(ed, ",notes\n"); n != 1 {
				t.Errorf("anew %v, named %v: %d headings of notes\n%s", anew, named, n, ed)
			}
			if n, want := strings.Count(ed, ",*apt] #b\n"), map[bool]int{false: 1, true: 2}[anew || named]; n != want {
				t.Errorf("anew %v, named %v: the chapter is named %d times, want %d\n%s", anew, named, n, want, ed)
			}
			if linksOf(res, book.NoteRef) != 6 {
				t.Errorf("anew %v, named %v: %d notes joined", anew, named, linksOf(res, book.NoteRef))
			}
		}
	}
}

// TestNumbersInParentheses: marks in round brackets, after their word or with a blank
// before them, at the notes too, with a full stop or not (a number in brackets is a
// common mark of notes; round brackets: Rules of Unified English Braille 2013, 7.1).
func TestNumbersInParentheses(t *testing.T) {
	for name, c := range map[string]struct{ word, mark string }{
		"hard after the word": {`boat"<#%s">`, `"<#%s">`},
		"a word of its own":   {`boat "<#%s">`, `"<#%s">`},
		"with a comma":        {`boat "<#%s">1`, `"<#%s">`},
	} {
		for _, place := range []string{"volume", "chapter", "foot"} {
			var vols []string
			digits := []string{"a", "b", "c", "d"}
			for n := 1; n <= 2; n++ {
				s := hardVolume(n, 2)
				d := digits[2*n-2 : 2*n]
				var with []string
				for _, x := range d {
					with = append(with, fmt.Sprintf(c.word, x))
				}
				s.chapter(",*apt] "+string(cell.Number(n)), 6, with...)
				if place == "foot" {
					s.put("\"333333")
				} else {
					s.put("")
					s.centre(",notes")
					s.put("")
				}
				for _, x := range d {
					s.flow([]string{fmt.Sprintf(c.mark, x), "a", "boat", "no", "x" + strings.Repeat("q", n) + x, ")\\t", "a", "sail", "&", "a", "m/4"}, 2, 0)
				}
				if place == "foot" {
					s.turn()
				}
				if place != "volume" {
					s.chapter(",*apt] "+string(cell.Number(n+7)), 6)
				}
				vols = append(vols, s.ends(n))
			}
			res, ed := hardBook(t, nil, vols...)
			if n := linksOf(res, book.NoteRef); n != 4 || foundOf(res, "note-not-joined") > 0 {
				t.Errorf("%s, %s: %d notes joined, findings %v\n%s", name, place, n, res.Findings, ed)
			}
		}
	}
}

// TestTranscribersNoteOfALaterVolume: what only a later volume has stands under the
// heading of the transcriber's notes that the first volume has (EBAE, appendix A,
// section 10: a page of notes in each volume).
func TestTranscribersNoteOfALaterVolume(t *testing.T) {
	var vols []string
	for n := 1; n <= 2; n++ {
		s := hardVolume(n, 2)
		s.centre(",transcrib]'s ,notes")
		s.put("")
		s.flow(strings.Fields(",! pictures ( ! book >e left \\t & "+strings.Repeat("z", n)+" ,no"), 2, 0)
		s.flow(strings.Fields(",! maps ( ! book >e left \\t too4"), 2, 0)
		if n == 2 {
			s.flow(strings.Fields(",! ta#s ( ? volume >e s5t to ! libr>y on paper4"), 2, 0)
		}
		s.turn()
		s.centre(",3t5ts")
		s.put("")
		s.put(",*apt] " + string(cell.Number(n)) + " \"\"\"\"\"\"\"\"\"\"\"\" #d")
		s.turn()
		s.chapter(",*apt] "+string(cell.Number(n)), 8)
		vols = append(vols, s.ends(n))
	}
	vols[1] = strings.Replace(vols[1], "zz ,no", "z ,no", 1)
	_, ed := hardBook(t, nil, vols...)
	inOrder(t, ed, ",transcrib]'s ,notes", ",! maps ( ! book", ",! ta#s ( ? volume", ",3t5ts")
}

// TestRepeatedPageWithoutAName: every volume has a note to the reader on a page of its own, numbered with the text and under
// no words that tell what it is: it stands once (pages that each volume repeats: UKAAF B004, section 4).
func TestRepeatedPageWithoutAName(t *testing.T) {
	var vols []string
	for v := 1; v <= 2; v++ {
		s := hardVolume(v, 2)
		s.turn()
		s.centre(",note")
		s.flow(strings.Fields(",^ws t pr9t has 9 italics >e n m>k$4"), 2, 0)
		s.turn()
		s.chapter(fmt.Sprint(",*apt] ", string(cell.Number(v))), 8)
		vols = append(vols, s.ends(v))
	}
	if _, ed := hardBook(t, nil, vols...); strings.Count(ed, "9 italics >e n m>k$4") != 1 || strings.Count(ed, ",note\n") != 1 {
		t.Error(ed[:600])
	}
}

// TestShortPagesOfAnotherVolume: recipes stand on pages of their own, none of them half full. What the first page of the second
// volume has in common with those of the first, a heading and ingredients, stays, and stays there.
func TestShortPagesOfAnotherVolume(t *testing.T) {
	recipe := func(s *houseVolume, name string, items ...string) {
		s.turn()
		s.centre(name)
		s.put("")
		s.put("    ,9gr$i5ts")
		for _, l := range items {
			s.put(l)
		}
		s.put("")
		s.flow(strings.Fields(",/ir & l1ve "+strings.Join(s.words(9), " ")+"4"), 2, 0)
	}
	var vols []string
	for v, list := range [][]string{{",le/ s\\p", ",r\\t pie"}, {",plum bun", ",oat cake"}} {
		s := hardVolume(v+1, 2)
		for _, name := range list {
			recipe(s, name, "#b oz butt]", "#c eggs", "#a p9t milk", "#d spoons flour", "a p9* ( salt")
		}
		s.turn()
		s.chapter(",h9ts "+string(cell.Number(v+1)), 8)
		vols = append(vols, s.ends(v+1))
	}
	_, ed := hardBook(t, nil, vols...)
	if strings.Count(ed, "#b oz butt]") != 4 || strings.Count(ed, ",9gr$i5ts") != 4 {
		t.Error(ed)
	}
	inOrder(t, ed, ",r\\t pie", ",h9ts #a", ",plum bun", ",oat cake")
}

// TestNotesGoOnInTheNextVolume: the notes at the end of the book are divided
// between two volumes.
func TestNotesGoOnInTheNextVolume(t *testing.T) {
	for _, c := range []struct {
		name         string
		break1, head bool // within a note; a heading once more
	}{{"between notes", false, false}, {"within a note", true, false}, {"between notes, heading again", false, true}, {"within a note, heading again", true, true}} {
		one := hardVolume(1, 2)
		var marks []string
		for n := 1; n <= 9; n++ {
			marks = append(marks, "boat;9"+string(cell.Number(n)))
		}
		one.chapter(",*apt] ,\"o", 6, marks[:5]...)
		one.chapter(",*apt] ,two", 6, marks[5:]...)
		one.put("")
		one.centre(",notes")
		one.put("")
		two := hardVolume(2, 2)
		if c.head {
			two.put("")
			two.centre(",notes \"<cont4\">")
			two.put("")
		}
		s, texts := one, []string{}
		for n := 1; n <= 9; n++ {
			w := append([]string{string(cell.Number(n))}, s.words(24)...)
			w = append(w, "x"+strings.Repeat("q", n)+"4")
			if n == 5 && c.break1 {
				full := one.pagesLine(w, 2)
				texts = append(texts, strings.Join(w, " "))
				two.flow(w[full:], 0, 0)
				s = two
				continue
			}
			texts = append(texts, s.flow(w, 2, 0))
			if n == 5 {
				s = two
			}
		}
		two.put("")
		two.centre(",9dex")
		two.put("")
		for _, l := range []string{"apples1 #c", "boats1 #d", "goats1 #e", "mills1 #f", "wool1 #g"} {
			two.put(l)
		}
		two.put("")
		two.centre(",! ,5d")
		res, ed := hardBook(t, nil, one.ends(1), two.String())
		if n := linksOf(res, book.NoteRef); n != 9 {
			t.Errorf("%s: %d notes joined, want 9: %v", c.name, n, res.Findings)
		}
		inOrder(t, ed, texts...)
		if strings.Count(ed, ",notes") != 1 {
			t.Errorf("%s: %d headings of notes\n%s", c.name, strings.Count(ed, ",notes"), ed)
		}
	}
}

// pagesLine sets as many words as fill two lines and returns how many these are.
func (s *houseVolume) pagesLine(words []string, first int) int {
	n, lines, at := 0, 1, first
	for ; n < len(words); n++ {
		if at+len(words[n]) > s.width {
			if lines++; lines > 2 {
				break
			}
			at = 0
		}
		at += len(words[n]) + 1
	}
	s.flow(words[:n], first, 0)
	return n
}

// TestNotesOfTheWholeBookInTheLastVolume: the notes of all volumes stand at the end of
// the last one (BANA, Braille Formats 2016, section 16: at the end of the book),
// numbered through or anew in each chapter, under the chapters' names.
func TestNotesOfTheWholeBookInTheLastVolume(t *testing.T) {
	for _, anew := range []bool{false, true} {
		var vols []string
		var last *houseVolume
		for n := 1; n <= 3; n++ {
			s := hardVolume(n, 3)
			for c := 2*n - 1; c <= 2*n; c++ {
				first := 2*c - 1
				if anew {
					first = 1
				}
				s.chapter(",*apt] "+string(cell.Number(c)), 5, "boat;9"+string(cell.Number(first)), "mill;9"+string(cell.Number(first+1)))
			}
			if last = s; n < 3 {
				vols = append(vols, s.ends(n))
			}
		}
		last.put("")
		last.centre(",notes")
		last.put("")
		var texts []string
		for c := 1; c <= 6; c++ {
			first := 2*c - 1
			if anew {
				first = 1
				last.centre(",*apt] " + string(cell.Number(c)))
			}
			for k := range 2 {
				texts = append(texts, "\n  "+last.flow([]string{string(cell.Number(first + k)), "a", "boat", "no", "x" + strings.Repeat("q", c), "y" + strings.Repeat("z", k) + "4"}, 2, 0))
			}
		}
		last.put("")
		last.centre(",! ,5d")
		res, ed := hardBook(t, nil, append(vols, last.String())...)
		if n := linksOf(res, book.NoteRef); n != 12 {
			t.Errorf("anew %v: %d notes joined, want 12: %v\n%s", anew, n, res.Findings, ed)
		}
		inOrder(t, ed, texts...)
		for _, l := range res.Book.Links {
			if l.Kind == book.NoteRef && l.Confidence < 0.9 {
				t.Errorf("anew %v: a note is joined at %.2f", anew, l.Confidence)
			}
		}
	}
}

// TestLinesNumberedAtTheLeft: numbers of lines as letters at the left margin (a UK
// sample in UEB of 2022). Verse lines are one block each, a dash at the end of the line
// before joins nothing; lines of prose stay as they are.
func TestLinesNumberedAtTheLeft(t *testing.T) {
	for _, prose := range []bool{false, true} {
		s := hardVolume(1, 1)
		s.chapter(",*apt] ,\"o", 4)
		s.put("")
		var want []string
		for n := 1; n <= 60; n++ {
			w := s.words(5)
			line := strings.Join(w, " ")
			for prose && len(line) < 27 {
				line += " " + s.word()
			}
			if len(line) > 33 {
				line = line[:33]
				line = line[:strings.LastIndexByte(line, ' ')]
			}
			if n%15 == 14 {
				line = strings.TrimRight(line, "1234") + ",-"
				for !prose && len(line) < 31 {
					line = "x" + line
				}
			}
			margin := strings.Repeat(" ", 4)
			if n%5 == 0 {
				margin = fmt.Sprintf("%-4s", string(cell.Number(n))[1:])
			}
			s.put(margin + line)
			want = append(want, "\n"+margin+line+"\n")
		}
		s.chapter(",*apt] ,two", 4)
		_, ed := hardBook(t, nil, s.ends(1))
		bad := 0
		for _, x := range want {
			if !strings.Contains(ed, x) {
				if bad++; bad < 4 {
					t.Errorf("prose %v: no line %q", prose, x)
				}
			}
		}
		if bad > 0 {
			t.Errorf("prose %v: %d lines\n%s", prose, bad, ed)
		}
	}
}

// TestVerseUnderNoHead: the first page of the text has no head (BANA, Braille Formats
// 2016, 1.7), a line of verse stands beside its number, in the middle by chance, its
// runover under it.
func TestVerseUnderNoHead(t *testing.T) {
	s := &houseVolume{width: 40, height: 25}
	s.put("")
	s.centre(",! ,l;g ,road")
	s.put("")
	s.put("set ) numb]s ( ! print pages")
	want := []string{"7,s call hm1 b\"r] once amid/"}
	s.head = func(p int) string {
		n := string(cell.Number(p - 1))
		if p == 2 {
			return "    7,s call hm1 b\"r] once amid/" + strings.Repeat(" ", s.width-31-len(n)) + n
		}
		return "             ! l;g road" + strings.Repeat(" ", s.width-23-len(n)) + n
	}
	s.turn()
	s.put("        ! ho/")
	for len(s.pages) < 14 {
		line := "    ," + strings.Join(s.words(5), " ")
		if len(line) > 34 {
			line = line[:strings.LastIndexByte(line[:34], ' ')]
		}
		want = append(want, strings.TrimSpace(line))
		s.put(line)
	}
	_, ed := hardBook(t, nil, s.String())
	for _, x := range want {
		if !strings.Contains(ed, x) {
			t.Fatalf("no %q\n%s", x, ed)
		}
	}
}

// TestTwoWorksInOneVolume: a volume holds two works, each with its title page and its
// contents, chapters numbered anew and braille pages numbered anew (composite books:
// common practice). Chapters carry the name of their work. The second list stays where it
// is, without the numbers of braille pages, with print pages where the book shows them, or
// with its own numbers where these are print pages.
func TestTwoWorksInOneVolume(t *testing.T) {
	for _, numbers := range []string{"braille", "braille, print pages shown", "print"} {
		t.Run(numbers, func(t *testing.T) {
			s := &houseVolume{width: 38, height: 26}
			title, first := "", 1
			s.head = func(p int) string {
				if title == "" {
					return ""
				}
				return fmt.Sprintf("%-12s%-20s%6s", "", title, string(cell.Number(p-first+1)))
			}
			for w, x := range [][2]string{{",! ,l;g ,road", ",orla ,penn"}, {",! ,%ort ,way", ",ivo ,r\\d"}} {
				s.work(w, x, numbers, func(run string) { title, first = run, len(s.pages) })
			}
			res, ed := hardBook(t, nil, s.String())
			if foundOf(res, "contents-within") != 1 {
				t.Errorf("findings: %v", res.Findings)
			}
			low := strings.ToLower(strings.ReplaceAll(ed, ",", ""))
			for _, h := range []string{"! l;g road *apt] #d\n", "! %ort way *apt] #a\n", "\n    ! %ort way\n"} {
				if strings.Count(low, h) != 1 {
					t.Errorf("%q stands %d times\n%s", h, strings.Count(low, h), ed)
				}
			}
			want := "\n*apt] #a #de\n*apt] #b #dg\na /ory ) a \"n t is lr ?an o!rs & goes on #dg\n*apt] #c #di\n*apt] #d #ea\n"
			switch numbers {
			case "braille, print pages shown": // no heading of the section is there
				want = strings.Replace(want, "goes on #dg", "goes on", 1)
			case "braille":
				want = "\n*apt] #a\n*apt] #b\na /ory ) a \"n t is lr ?an o!rs & goes on\n*apt] #c\n*apt] #d\n"
			}
			if !strings.Contains(low[strings.Index(low, "ivo r"):], want) || strings.Contains(low, "\"\"\"") {
				t.Errorf("no second list %q\n%s", want, ed)
			}
			if n := linksOf(res, book.ListRef); n < 8 {
				t.Errorf("%d entries joined", n)
			}
		})
	}
}

// work sets the w-th work of a volume; open is called with its running title when its title page
// is done.
func (s *houseVolume) work(w int, x [2]string, numbers string, open func(run string)) {
	open("")
	s.turn()
	s.put("")
	s.centre(x[0])
	s.put("")
	s.centre("by")
	s.centre(x[1])
	open(strings.ToLower(strings.ReplaceAll(x[0], ",", "")))
	s.turn()
	s.centre(",3t5ts")
	s.put("")
	for c := 1; c <= 4; c++ {
		n := 3 * c
		if numbers == "print" {
			n = 41*w + 2*c + 2
		}
		s.put(",*apt] " + string(cell.Number(c)) + " " + strings.Repeat("\"", 15) + " " + string(cell.Number(n)))
		if c == 2 {
			s.put(",a /ory ) a \"n t is lr ?an o!rs &")
			s.put("  goes on " + strings.Repeat("\"", 15) + " " + string(cell.Number(n)))
		}
	}
	s.next = 500 * (w + 1)
	for c := 1; c <= 4; c++ {
		s.turn()
		if numbers != "braille" {
			s.centre("\"3" + string(cell.Number(41*w+2*c+2)))
		}
		s.chapter(",*apt] "+string(cell.Number(c)), 12)
		if numbers != "braille" {
			s.centre("\"3" + string(cell.Number(41*w+2*c+3)))
			s.para(30)
		}
	}
}

// TestNotesHeadingBesideANumber: in the first volume, or in all, the heading of the notes shares
// line 1 with the page number (North American literary layout, BRL session 3); those of later
// volumes go all the same, and the proof sees that the first one stands.
func TestNotesHeadingBesideANumber(t *testing.T) {
	for _, beside := range []int{1, 3} {
		notesBesideNumber(t, beside)
	}
}

// notesBesideNumber has the heading of the notes beside the page number in so many volumes.
func notesBesideNumber(t *testing.T, beside int) {
	var vols []string
	for n := 1; n <= 3; n++ {
		s := hardVolume(n, 3)
		s.head = s.right
		a, b := string(cell.Number(2*n-1)), string(cell.Number(2*n))
		s.chapter(",*apt] "+string(cell.Number(n)), 6, "boat;9"+a, "mill;9"+b)
		s.turn()
		s.centre(",notes")
		s.put("")
		s.flow([]string{a, "a", "boat", "no", fmt.Sprint("x", strings.Repeat("q", n)), ")\\t", "sail4"}, 2, 0)
		s.flow([]string{b, "#ca", "mills", "/ood", "\"!", fmt.Sprint("y", strings.Repeat("q", n)), "t", "ye>", "&", "#c", "o!rs4"}, 2, 0)
		v := s.ends(n)
		if n <= beside {
			v = regexp.MustCompile(`(?m)^(\f?) +(#[a-j]+)\n +,notes\n`).ReplaceAllString(v, "$1"+strings.Repeat(" ", 16)+",notes           $2\n")
			if !strings.Contains(v, ",notes           #") {
				t.Fatalf("the heading does not begin a page\n%s", v)
			}
		}
		vols = append(vols, v)
	}
	res, ed := hardBook(t, nil, vols...)
	if n := strings.Count(ed, ",notes"); n != 1 || linksOf(res, book.NoteRef) != 6 {
		t.Errorf("%d headings of notes, %d notes joined\n%s", n, linksOf(res, book.NoteRef), ed)
	}
}
