package convert_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/source"
)

// Layouts of houses that differ in one choice each; where no source is named, the
// choice is common practice.

// houseVolume is a volume built page by page.
type houseVolume struct {
	width, height int
	head          func(page int) string // line 1, "" for none
	pages         [][]string
	next          int // of the words of running text
}

var houseWords = strings.Fields("! old f]ry cross$ riv] twice a day nobody 9 village cd rememb] hannah kept ledger boat small h\\se beside landing wrote d[n wat] names apples bundles wool goat did n want people rest stranger came road l;g box arm ask$ price look$ while ra!r wait until w9d dropp$")

func (s *houseVolume) word() string {
	s.next++
	return houseWords[(s.next*7+s.next/11)%len(houseWords)]
}

// put sets one line, on a new page where the last is full.
func (s *houseVolume) put(line string) {
	n := len(s.pages)
	if n == 0 || len(s.pages[n-1]) >= s.height {
		s.turn()
		n = len(s.pages)
	}
	s.pages[n-1] = append(s.pages[n-1], line)
}

// turn begins a page.
func (s *houseVolume) turn() {
	s.pages = append(s.pages, nil)
	if s.head != nil {
		s.pages[len(s.pages)-1] = []string{s.head(len(s.pages))}
	}
}

// flow sets words from cell first, runovers at cell run, and returns them.
func (s *houseVolume) flow(words []string, first, run int) string {
	for _, l := range wrapped(words, s.width, first, run) {
		s.put(l)
	}
	return strings.Join(words, " ")
}

// wrapped divides words into lines of that many cells at most, the first from cell first, the others from
// cell run.
func wrapped(words []string, width, first, run int) []string {
	lines := []string{strings.Repeat(" ", first) + words[0]}
	for _, w := range words[1:] {
		if last := &lines[len(lines)-1]; len(*last)+1+len(w) <= width {
			*last += " " + w
		} else {
			lines = append(lines, strings.Repeat(" ", run)+w)
		}
	}
	return lines
}

// titleAlone is a first page with the title and its author alone, and what follows begins a page.
func (s *houseVolume) titleAlone() {
	s.put("")
	s.centre(",! ,l;g ,road")
	s.put("")
	s.centre("by ,orla ,penn")
	s.turn()
}

func (s *houseVolume) words(n int) []string {
	out := make([]string, n)
	for i := range out {
		out[i] = s.word()
	}
	return out
}

// para sets a paragraph of n words and returns its text.
func (s *houseVolume) para(n int) string { return s.flow(append(s.words(n), "h\\se4"), 2, 0) }

func (s *houseVolume) centre(t string) { s.put(strings.Repeat(" ", (s.width-len(t))/2) + t) }

func (s *houseVolume) right(n int) string {
	l := string(cell.Number(n))
	return strings.Repeat(" ", s.width-len(l)) + l
}

func (s *houseVolume) String() string {
	var b strings.Builder
	for _, pg := range s.pages {
		b.WriteString(strings.Join(pg, "\n") + "\n\f")
	}
	return b.String()
}

func makeOf(t *testing.T, vols ...string) *convert.Result {
	t.Helper()
	var files []*source.File
	for i, v := range vols {
		f, err := source.Parse(fmt.Sprintf("book-%d.brf", i+1), []byte(v))
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f)
	}
	set := convert.Defaults()
	set.Width = 0
	res, err := convert.Make(files, set)
	if err != nil {
		t.Fatal(err)
	}
	if rep := check.Verify(res.Edition, res.Account, files); !rep.OK {
		t.Errorf("the edition is not proved: %v", rep.Problems)
	}
	res.Edition = bytes.ReplaceAll(res.Edition, []byte("\r"), nil)
	return res
}

// lineOf is the line of an edition of one line a paragraph that holds a text, its
// indent taken off.
func lineOf(res *convert.Result, text string) string {
	for _, l := range strings.Split(string(res.Edition), "\n") {
		if strings.Contains(l, text) {
			return strings.TrimLeft(l, " ")
		}
	}
	return ""
}

func (s *houseVolume) wholeParas(t *testing.T, res *convert.Result, paras []string) {
	t.Helper()
	bad := 0
	for _, p := range paras {
		if !strings.Contains("\n"+string(res.Edition)+"\n", "\n  "+p+"\n") {
			if bad++; bad <= 3 {
				t.Errorf("not one paragraph of the edition: %q", p)
			}
		}
	}
	if bad > 3 {
		t.Errorf("%d paragraphs are not whole", bad)
	}
}

// A house leaves line 1 blank on the pages that have no head (heads on odd pages:
// W3C w3c-wai-hc 1997, 0312).
func TestBlankLineInPlaceOfAHead(t *testing.T) {
	s := &houseVolume{width: 36, height: 24}
	s.head = func(p int) string {
		if p%2 == 0 {
			return ""
		}
		return "          ! f]ry" + s.right(p)[16:]
	}
	var paras []string
	for i := range 40 {
		paras = append(paras, s.para(30+i))
	}
	s.wholeParas(t, makeOf(t, s.String()), paras)
}

// A house sets a blank line under the head of every page.
func TestBlankLineUnderTheHead(t *testing.T) {
	s := &houseVolume{width: 36, height: 24}
	s.head = func(p int) string { return "          ! f]ry" + s.right(p)[16:] + "\n" }
	var paras []string
	for i := range 40 {
		paras = append(paras, s.para(30+i))
	}
	s.wholeParas(t, makeOf(t, s.String()), paras)
}

// The last line of a page leaves four blanks before its number (South African
// rule book in the Unified Braille Code, 67 pages: smallest gap four).
func TestRoomBeforeANumberAtTheFoot(t *testing.T) {
	s := &houseVolume{width: 38, height: 10}
	var paras []string
	for i := range 60 {
		paras = append(paras, s.para(20+i))
	}
	// Set anew with the last line of each page shorter by the number and its room.
	words := strings.Fields(strings.Join(paras, " \x00 "))
	s = &houseVolume{width: 38, height: 10}
	line, pageNo := "  ", 1
	end := func() {
		n := len(s.pages)
		if n > 0 && len(s.pages[n-1]) == s.height-1 {
			num := string(cell.Number(pageNo))
			line += strings.Repeat(" ", 38-len(line)-len(num)) + num
			pageNo++
		}
		s.put(line)
	}
	room := func() int {
		n := len(s.pages)
		if n > 0 && len(s.pages[n-1]) == s.height-1 {
			return 38 - len(cell.Number(pageNo)) - 4
		}
		return 38
	}
	for _, w := range words {
		switch {
		case w == "\x00":
			end()
			line = "  "
		case strings.TrimSpace(line) == "":
			line += w
		case len(line)+1+len(w) > room():
			end()
			line = w
		default:
			line += " " + w
		}
	}
	s.put(line)
	s.wholeParas(t, makeOf(t, s.String()), paras)
}

// Hymns have their number centred above them; some of these stand at the head or
// foot of a page by chance, and are no print pages.
func TestHymnNumbersAtPageEdges(t *testing.T) {
	s := &houseVolume{width: 32, height: 25}
	s.head = s.right
	for h := 1; h <= 60; h++ {
		n := len(s.pages)
		if h%9 == 0 && n > 0 {
			for len(s.pages[n-1]) < s.height-1 {
				s.put(s.word() + " " + s.word() + "1")
			}
		}
		s.centre(string(cell.Number(h)))
		for v := range 2 + h%3 {
			s.flow(append([]string{string(cell.Number(v + 1))}, append(s.words(3), s.word()+"1")...), 0, 4)
			for range 3 {
				s.flow(append(s.words(3), s.word()+"1"), 2, 4)
			}
			s.put("")
		}
	}
	res := makeOf(t, s.String())
	heads := 0
	for _, bl := range res.Book.Blocks {
		switch bl.Kind {
		case book.Turn:
			t.Errorf("a print page turn: %q", res.Book.Text(bl.Pieces[0]))
		case book.Heading:
			heads++
		}
	}
	if heads != 60 || strings.Contains(string(res.Edition), `"3`) {
		t.Errorf("%d hymns have their number as a heading, want 60", heads)
	}
}

// Lines of verse at cell 1 and cell 3, of which a few are full by chance, stay
// lines, over the end of a page too (verse line by line: common practice).
func TestVerseLinesThatAreFullByChance(t *testing.T) {
	s := &houseVolume{width: 36, height: 20}
	s.head = s.right
	var lines []string
	for st := range 30 {
		for l := range 6 {
			key := houseWords[(7*st+3*l)%len(houseWords)] + string(cell.Number(6*st+l+1))
			w := append([]string{key}, append(s.words(3+(st*3+l*5)%4), s.word()+"1")...)
			lines = append(lines, key+" ")
			s.flow(w, 2*(l%2), 4)
		}
		s.put("")
	}
	res := makeOf(t, s.String())
	for _, key := range lines {
		if got := lineOf(res, key); !strings.HasPrefix(got, key) {
			t.Errorf("a line of verse does not begin a line: %q in %q", key, got)
		}
	}
}

// The rows of a knitting pattern and the speeches of one speaker begin alike; they
// are no dictionary (recipes, patterns and plays: common practice).
func TestItemsThatBeginAlikeAreNoEntries(t *testing.T) {
	for _, first := range []string{".mrs b5net4", "#dth row3"} {
		s := &houseVolume{width: 36, height: 24, head: nil}
		for i := range 40 {
			s.flow(append(strings.Fields(first), s.words(6+i%9)...), 0, 2)
		}
		res := makeOf(t, s.String())
		for _, bl := range res.Book.Blocks {
			if bl.Form == book.Term {
				t.Errorf("%s: taken for an entry: %q", first, res.Book.Text(bl.Pieces[0]))
				break
			}
		}
	}
}

// A stage direction in brackets at cell 5 stands in the middle by chance and is no
// heading; "curtain" in the middle under one is no runover of it.
func TestStageDirectionsAreNoHeadings(t *testing.T) {
	s := &houseVolume{width: 38, height: 25}
	s.head = s.right
	direction := "7a pause4 he crosses 6! door47"
	for i := range 30 {
		s.flow(append([]string{".lydia4"}, s.words(10+i)...), 0, 2)
		s.put("    " + direction)
		s.flow(append([]string{".jane4"}, s.words(12+i)...), 0, 2)
		if i%10 == 9 {
			s.put("    7he draws ! c>ta9 & g e \\ ( ! w47")
			s.centre("c>ta9 falls")
		}
	}
	res := makeOf(t, s.String())
	falls := 0
	for _, bl := range res.Book.Blocks {
		text := string(res.Book.Text(bl.Pieces[0]))
		if text == direction && bl.Kind == book.Heading {
			t.Errorf("a stage direction is a heading")
		}
		if text == "c>ta9 falls" {
			falls++
		}
	}
	if falls != 3 {
		t.Errorf("%d of 3 lines in the middle begin a block", falls)
	}
}

// Volumes of a few pages, with a head on the odd pages only, and a leaflet of three
// pages: there is no sequence, but the numbers count the pages.
func TestVolumesOfAFewPages(t *testing.T) {
	var vols []string
	var paras []string
	words := []string{"\"o", "two", "?ree", "f\\r", "five"}
	all := &houseVolume{}
	for v := range 5 {
		s := &houseVolume{width: 36, height: 18, next: v * 77}
		s.head = func(p int) string {
			if p < 3 || p%2 == 0 {
				return ""
			}
			return "            ! old f]ry" + s.right(p)[22:]
		}
		s.pages = [][]string{{"", "", "            ! old f]ry", "", "            9 five volumes", "             volume " + words[v]}, {""}}
		s.turn()
		for i := range 8 {
			paras = append(paras, s.para(30+4*i))
		}
		s.centre("5d ( volume " + words[v])
		for p := range s.pages { // text begins on line 1 where there is no head
			if len(s.pages[p]) > 0 && s.pages[p][0] == "" && p > 1 {
				s.pages[p] = s.pages[p][1:]
			}
		}
		vols = append(vols, s.String())
	}
	res := makeOf(t, vols...)
	if n := strings.Count(string(res.Edition), "! old f]ry #"); n > 0 || strings.Contains(string(res.Edition), "f]ry   ") {
		t.Errorf("heads are left: %s", lineOf(res, "f]ry  "))
	}
	all.wholeParas(t, res, paras)

	s := &houseVolume{width: 38, height: 27}
	s.head = func(p int) string {
		if p == 1 {
			return ""
		}
		return s.right(p)
	}
	s.centre("a note = memb]s")
	for len(s.pages[0]) < 27 {
		s.put("")
	}
	paras = paras[:0]
	for range 9 {
		paras = append(paras, s.para(40))
	}
	res = makeOf(t, s.String())
	s.wholeParas(t, res, paras)
	if got := lineOf(res, "#b"); got != "" {
		t.Errorf("a page number is left: %q", got)
	}
}

// A study text lists its chapters with a column of print pages and one of braille
// pages; the print pages stay, once each. An entry runs over well before the column.
func TestContentsWithTwoColumns(t *testing.T) {
	for _, printFirst := range []bool{true, false} {
		s := &houseVolume{width: 38, height: 25}
		titles := []string{"! lr", "a walk 6! village", "visitors", "( \"s 3sequ;e 6all ( !m ) no h\\se", "! road h\\se", "frs"}
		at := []int{3, 7, 11, 15, 19, 23}
		s.head = func(p int) string {
			if p < 3 {
				return ""
			}
			return string(cell.Number(40+p/2)) + s.right(p)[3:]
		}
		s.centre("! old f]ry")
		s.turn()
		s.pages[1] = nil
		s.centre("3t5ts")
		s.put("                   " + map[bool]string{true: "pr9t page  brl page", false: "brl page  pr9t page"}[printFirst])
		for i, title := range titles {
			print, braille := string(cell.Number(40+at[i]/2)), string(cell.Number(at[i]))
			nums := fmt.Sprintf("%-6s%s", print, braille)
			if !printFirst {
				nums = fmt.Sprintf("%-6s%s", braille, print)
			}
			if len(title) > 26 {
				s.put(title[:17])
				title = "  " + title[18:]
			}
			s.put(title + " " + strings.Repeat("\"", 27-len(title)) + " " + nums)
		}
		var paras []string
		for _, title := range titles {
			s.turn()
			s.centre(title)
			for range 12 {
				paras = append(paras, s.para(50))
			}
			for len(s.pages[len(s.pages)-1]) < s.height {
				s.put("")
			}
			for (len(s.pages)-3)%4 != 0 || len(s.pages) < 6 {
				s.turn()
				paras = append(paras, s.para(60))
				if (len(s.pages)-2)%4 == 0 {
					break
				}
			}
		}
		res := makeOf(t, s.String())
		for i, title := range titles {
			want := title + " " + string(cell.Number(40+at[i]/2))
			if !strings.Contains("\n"+string(res.Edition), "\n"+want+"\n") {
				t.Errorf("print pages first %v: no entry %q, but %q\n%.900s", printFirst, want, lineOf(res, title+" "), res.Edition)
			}
		}
	}
}

// On narrow paper the volume statement runs over two lines each: "complete in four /
// braille volumes", "braille volume / three"; or one runs into the other, with hardly a margin
// beside it: "in three volumes, volume / three".
func TestStatementsOverTwoLines(t *testing.T) {
	vol := func(n string, statement ...string) string {
		s := &houseVolume{width: 24, height: 20}
		for _, l := range append(append([]string{"! old f]ry", ""}, statement...), n, "", "produc$ 0", "quay books") {
			s.centre(l)
		}
		for len(s.pages[0]) < s.height {
			s.put("")
		}
		s.head = func(p int) string { return s.right(p - 1) }
		s.next = len(n) * 31
		for range 12 {
			s.para(40)
		}
		s.centre("5d ( volume " + n)
		return s.String()
	}
	for _, statement := range [][]string{{"-plete 9 ?ree", "brl volumes", "", "brl volume"}, {"9 ?ree volumes1 volume"}} {
		res := makeOf(t, vol("\"o", statement...), vol("two", statement...), vol("?ree", statement...))
		ed := string(res.Edition)
		if strings.Contains(ed, "volume") || strings.Contains(ed, "9 ?ree\n") {
			t.Errorf("%q: the edition still speaks of volumes: %q\n%.400s", statement, lineOf(res, "volume"), ed)
		}
	}
}

// A row of one cell parts the head from the text on every page (a divider line beside
// the number: counted over public files).
func TestRowUnderEveryHead(t *testing.T) {
	s := &houseVolume{width: 36, height: 24}
	s.head = func(p int) string {
		return "          ! f]ry" + s.right(p)[16:] + "\n" + strings.Repeat("-", 36)
	}
	var paras []string
	for i := range 40 {
		paras = append(paras, s.para(30+i))
	}
	res := makeOf(t, s.String())
	s.wholeParas(t, res, paras)
	if strings.Contains(string(res.Edition), "-----") {
		t.Error("a row is left")
	}
}

// Each volume lists its chapters without numbers; the lists become one.
func TestContentsWithoutNumbers(t *testing.T) {
	words := []string{"\"o", "two", "?ree", "f\\r", "five", "six"}
	vol := func(v int) string {
		s := &houseVolume{width: 36, height: 20, next: 97 * v}
		for _, l := range []string{"! old f]ry", "", "9 two volumes", "volume " + words[v], "", "produc$ 0", "quay books"} {
			s.centre(l)
		}
		s.turn()
		s.pages[1] = nil
		s.centre("3t5ts")
		for c := range 3 {
			s.put("*apt] " + words[3*v+c])
		}
		s.centre("333333333333")
		s.head = func(p int) string { return s.right(p) }
		s.turn()
		s.centre("! old f]ry")
		s.centre("333333333333")
		for c := range 3 {
			s.put("")
			s.centre("*apt] " + words[3*v+c])
			for range 8 {
				s.para(50)
			}
		}
		s.centre("5d ( volume " + words[v])
		return s.String()
	}
	res := makeOf(t, vol(0), vol(1))
	ed := string(res.Edition)
	if n := strings.Count(ed, "3t5ts"); n != 1 {
		t.Errorf("%d contents lists", n)
	}
	list := "*apt] " + strings.Join(words, "\n*apt] ") + "\n"
	if !strings.Contains(ed, list) {
		t.Errorf("the lists are not one: %.500s", ed)
	}
	if n := strings.Count(ed, "! old f]ry"); n != 2 {
		t.Errorf("the title stands %d times, want 2", n)
	}
}

// Heads with the print page stand on odd pages and the text begins on an even one:
// its first print page begins with the text, not in the middle of its second page.
func TestFirstPrintPageWithoutAHead(t *testing.T) {
	s := &houseVolume{width: 36, height: 20}
	s.centre("! old f]ry")
	s.centre("produc$ 0 quay books")
	s.turn()
	s.pages[0] = append(s.pages[0], "")
	s.pages[1] = nil
	s.centre("! old f]ry")
	s.centre("333333333333")
	print := 1
	s.head = func(p int) string {
		if p%2 == 0 {
			return ""
		}
		return string(cell.Number(print)) + "        ! old f]ry" + s.right(p)[20:]
	}
	var first string
	for i := range 40 {
		if i%5 == 4 {
			print++
			s.centre("\"3" + string(cell.Number(print)))
		}
		if p := s.para(40 + i); i == 0 {
			first = p
		}
	}
	for p := range s.pages {
		if len(s.pages[p]) > 0 && s.pages[p][0] == "" {
			s.pages[p] = s.pages[p][1:]
		}
	}
	res := makeOf(t, s.String())
	ed := string(res.Edition)
	at := strings.Index(ed, "\"3#a")
	if at < 0 || at > strings.Index(ed, first) {
		t.Errorf("print page 1 begins at %d, the text at %d\n%.900s", at, strings.Index(ed, first), ed)
	}
}

// A print page turn of dots 2-5 and the number, without dot 5 (W3C w3c-wai-hc 1997,
// 0306), stands in the middle of the last line of some pages: it is a turn, no page
// number of a volume 3.
func TestTurnsWithoutDot5AtTheFoot(t *testing.T) {
	s := &houseVolume{width: 34, height: 20}
	print := 1
	s.head = func(p int) string {
		return string(cell.Number(p)) + "        ! old f]ry" + s.right(print)[20:]
	}
	for len(s.pages) < 40 {
		s.para(60)
		n := len(s.pages) - 1
		if k := s.height - len(s.pages[n]); k < 6 && n%2 == 0 {
			for ; k > 1; k-- {
				s.flow(s.words(4), 0, 0)
			}
		}
		if n%2 == 0 && len(s.pages[n]) == s.height-1 || n%3 == 1 && len(s.pages[n]) < 9 {
			print++
			s.centre("3" + string(cell.Number(print)))
		}
	}
	res := makeOf(t, s.String())
	turns := 0
	for n := 2; n <= print; n++ {
		want := "3" + string(cell.Number(n))
		for _, f := range strings.Fields(string(res.Edition)) {
			if f == want {
				turns++
			}
		}
	}
	if turns != print-1 {
		t.Errorf("%d of %d turns are kept as they stand", turns, print-1)
	}
}

// boxed sets a paragraph between the top and the bottom line of a box (dots 2356 and
// dots 1245 across the width; BANA, Braille Formats 2016, section 7).
func (s *houseVolume) boxed(n int) {
	s.put(strings.Repeat("7", s.width))
	s.para(n)
	s.put(strings.Repeat("g", s.width))
}

// The lines of a box are as long as the line, so that the number before one has line
// 1 to itself, which elsewhere is beside text; or a box stands at the top of every
// page. The lines frame text that is kept, and stay.
func TestLinesOfBoxesUnderNumbers(t *testing.T) {
	for _, every := range []int{1, 5} {
		s := &houseVolume{width: 36, height: 20}
		const pages = 30
		boxes := 0
		for p := 1; p <= pages; p++ {
			s.turn()
			if p%every == 0 {
				s.put(s.right(p))
				s.boxed(24)
				boxes++
			} else {
				first := "  " + strings.Join(s.words(3), " ")
				s.put(first + s.right(p)[len(first):])
			}
			for len(s.pages[p-1]) < s.height-5 {
				s.para(14)
			}
		}
		res := makeOf(t, s.String())
		for _, c := range []string{"7", "g"} {
			if n := strings.Count(string(res.Edition), strings.Repeat(c, 36)); n != boxes {
				t.Errorf("a box every %d pages: %d lines of %q, want %d", every, n, c, boxes)
			}
		}
		if strings.Contains(string(res.Edition), string(cell.Number(pages))) {
			t.Errorf("a box every %d pages: page numbers are left", every)
		}
	}
}

// Speeches begin at the margin with their runovers at cell 3, and stage directions
// stand in cells 7 and 5 among them without a blank line (BANA, Braille Formats 2016,
// section 16): a direction of more lines stays whole, and so do the speeches.
func TestStageDirectionsOfMoreLines(t *testing.T) {
	s := &houseVolume{width: 40, height: 25}
	s.head = s.right
	var whole []string
	for i := range 80 {
		whole = append(whole, s.flow(append([]string{",,jane4"}, append(s.words(3+i*7%40), "h\\se4")...), 0, 2))
		switch i % 10 {
		case 3:
			whole = append(whole, s.flow(append(append([]string{"7exit"}, s.words(14+i%7)...), "h\\r47"), 6, 4))
		case 5, 8:
			whole = append(whole, s.flow([]string{"7,he", "rises47"}, 6, 4))
		}
	}
	wholeLines(t, makeOf(t, s.String()), whole)
}

// wholeLines holds that every text is a line of an edition of one line a paragraph.
func wholeLines(t *testing.T, res *convert.Result, texts []string) {
	t.Helper()
	lines := map[string]bool{}
	for _, l := range strings.Split(string(res.Edition), "\n") {
		lines[strings.TrimLeft(l, " ")] = true
	}
	bad := 0
	for _, text := range texts {
		if !lines[text] {
			if bad++; bad <= 3 {
				t.Errorf("not one line: %q", text)
			}
		}
	}
	if bad > 3 {
		t.Errorf("%d of %d are not one line", bad, len(texts))
	}
}

// Lines of verse with their runovers at cell 3; every fifth line has its number at
// the right margin, and no line runs into the cells of the numbers (BANA, Braille
// Formats 2016, section 15): a line and its runover stay one line.
func TestRunoversOfNumberedVerse(t *testing.T) {
	s := &houseVolume{width: 40, height: 25}
	s.head = s.right
	var whole []string
	n := 0
	for range 20 {
		s.centre("psalm")
		for st := range 3 {
			for l := range 6 {
				n++
				w := append(s.words(2+(n*5+st+l)%9), s.word()+"1")
				s.width = 34
				if text := strings.Join(w, " "); n%5 == 0 && len(text) < 33 {
					num := string(cell.Number(n))
					s.put(text + strings.Repeat(" ", 40-len(text)-len(num)) + num)
				} else {
					whole = append(whole, s.flow(w, 0, 2))
				}
				s.width = 40
			}
			s.put("")
		}
	}
	wholeLines(t, makeOf(t, s.String()), whole)
}

// A house closes its volumes with "end of book 1" and "end of book 2", where nothing
// in the title is called a book: the line is kept and asked about, for it may only
// say that the volume ends. Where a part of the text has that name, the line is the
// book's own and nothing is asked (volume words of houses differ: common practice).
func TestEndOfWhatBearsTheVolumesNumber(t *testing.T) {
	volume := func(v int, heading, end string) string {
		s := &houseVolume{width: 36, height: 20, next: 97 * v}
		s.head = s.right
		if heading != "" {
			s.centre(heading + " " + string(cell.Number(v)))
		}
		for range 30 {
			s.para(40)
		}
		s.put("")
		s.centre(end)
		return s.String()
	}
	for _, c := range []struct {
		heading, end string
		asked        int
	}{{"", "5d ( book #", 2}, {"book", "5d ( book #", 0}, {"", "h]e closes b\\nd #", 2}, {"", "5d ( book #a", 0}} {
		var vols []string
		for v := 1; v <= 3; v++ {
			end := c.end + string(cell.Number(v))[1:]
			if v == 3 {
				end = "! 5d"
			}
			vols = append(vols, volume(v, c.heading, end))
		}
		res := makeOf(t, vols...)
		asked := 0
		for _, f := range res.Findings {
			if f.ID == "end-in-doubt" {
				asked++
			}
		}
		if asked != c.asked {
			t.Errorf("%q under %q: asked %d times, want %d", c.end, c.heading, asked, c.asked)
		}
		if n := strings.Count(string(res.Edition), c.end); n != 2 {
			t.Errorf("%q stands %d times in the edition, want 2", c.end, n)
		}
	}
}

// The print book had volumes of its own, and says where the first ends (as novels of three
// volumes do): the braille volume that ends there says its own end under it, which alone goes.
func TestEndOfVolumeOfThePrintBook(t *testing.T) {
	vol := func(n string, ends ...string) string {
		s := &houseVolume{width: 36, height: 20, next: 61 * len(n)}
		for _, l := range []string{"! old f]ry", "", "9 two volumes", "volume " + n} {
			s.centre(l)
		}
		s.head = func(p int) string { return s.right(p) }
		s.turn()
		for range 14 {
			s.para(40)
		}
		for _, l := range ends {
			s.put("")
			s.centre(l)
		}
		return s.String()
	}
	ed := string(makeOf(t, vol("\"o", "5d ( volume \"o"), vol("two", "5d ( volume \"o", "5d ( volume two")).Edition)
	if got := strings.Count(ed, "5d ( volume \"o"); got != 1 {
		t.Errorf("the end of the print book's first volume stands %d times", got)
	}
	if strings.Contains(ed, "5d ( volume two") {
		t.Error("the end of the second braille volume is left")
	}
}
