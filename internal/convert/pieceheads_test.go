package convert_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/cell"
)

// Heads that name the piece of the page, each piece a page or two long (running heads: BANA, Braille Formats 2016,
// 1.7; W3C w3c-wai-hc 1997, 0312), where headings say more than the heads, or stand elsewhere than in the middle
// (common practice).

var pieceNames = []string{"low wat]", "! kit*5 g>d5", "mi*aelmas", "br1d & salt", "a f>ewell", "! old ox", "c&lemas", "f/ fro/", "! drov]", "a grace"}

// capitalised is a name with capital signs on its words.
func capitalised(name string) string { return "," + strings.ReplaceAll(name, " ", " ,") }

// verses sets stanzas of short lines until a page has few left, and no more.
func (s *houseVolume) verses(lines int) {
	for k := range lines {
		s.put("," + strings.Join(s.words(4+k%2), " "))
		if k%4 == 3 {
			s.put("")
		}
	}
}

func headsGone(t *testing.T, edition string, names []string, times int) {
	t.Helper()
	for _, n := range names {
		if got := strings.Count(strings.ReplaceAll(edition, ",", ""), n+"\n"); got != times {
			t.Errorf("%q ends %d lines, want %d", n, got, times)
		}
	}
}

func TestHeadsOfNumberedPieces(t *testing.T) {
	for _, corner := range []bool{false, true} {
		s := &houseVolume{width: 38, height: 24}
		s.titleAlone()
		for i, n := range pieceNames {
			for p := range 1 + i%2 {
				s.turn()
				page := len(s.pages)
				if head := strings.Repeat(" ", (s.width-len(n))/2) + n; corner && p == 0 {
					s.put(head + s.right(page)[len(head):])
				} else if !corner {
					s.put(head)
					s.put("")
				}
				if p == 0 {
					s.put(string(cell.Number(i+1)) + "4 " + capitalised(n))
					s.put("")
				}
				s.verses(14 + i%3)
			}
		}
		headsGone(t, string(makeOf(t, s.String()).Edition), pieceNames, 1)
	}
}

// A heading in cell 5 right under the head.
func TestHeadRightOverAHeadingInCellFive(t *testing.T) {
	s := &houseVolume{width: 38, height: 24}
	s.titleAlone()
	for i, n := range pieceNames {
		for p := range 2 {
			s.turn()
			s.centre(n)
			if p == 0 {
				s.put("    ," + capitalised(n))
				s.put("")
			}
			s.verses(14 + i%3)
		}
	}
	headsGone(t, string(makeOf(t, s.String()).Edition), pieceNames, 1)
}

// The headings of letters stand at the margin, the heads in the middle of odd pages; the book has no capitals, so that no
// sentence tells.
func TestHeadsOfPartsAtTheMargin(t *testing.T) {
	s := &houseVolume{width: 38, height: 20}
	letter := ""
	s.head = func(p int) string {
		if p%2 == 0 || letter == "" {
			return ""
		}
		return strings.Repeat(" ", 16) + letter
	}
	s.turn()
	for n := range 7 {
		s.put("")
		name := "lr " + string(cell.Number(n+1))
		s.put(name)
		s.put("6" + s.word())
		s.put("")
		letter = name
		for k := range 7 {
			s.para(60 + 7*k + n)
		}
	}
	var names []string
	for n := range 7 {
		names = append(names, "lr "+string(cell.Number(n+1)))
	}
	headsGone(t, string(makeOf(t, s.String()).Edition), names, 1)
}

// The numbers of hymns alone at the margin: some come to line 1, where print page numbers stand elsewhere.
func TestNumbersOfHymnsAtTheMargin(t *testing.T) {
	s := &houseVolume{width: 38, height: 24}
	foot := 0
	end := func() {
		for len(s.pages[len(s.pages)-1]) < s.height-1 {
			s.put("")
		}
		foot++
		s.put(s.right(foot))
		s.turn()
	}
	s.titleAlone()
	for n := range 30 {
		if len(s.pages[len(s.pages)-1]) > 12 {
			end()
		}
		s.put("")
		s.put(string(cell.Number(n + 1)))
		s.put("")
		s.verses(7)
	}
	end()
	ed := string(makeOf(t, s.String()).Edition)
	for n := range 30 {
		if !strings.Contains(ed, "\n"+strings.Repeat(" ", 4)+string(cell.Number(n+1))+"\n") && !strings.Contains(ed, "\n"+string(cell.Number(n+1))+"\n") {
			t.Errorf("hymn %d has no number", n+1)
		}
	}
	if strings.Contains(ed, `"3#`) {
		t.Error("print page turns are shown")
	}
}

// A year alone on the title page, under the statement of the volume, is none of it; the edition begins with the title
// where the statement stands over it.
func TestYearAndStatementOnTheTitlePage(t *testing.T) {
	vol := func(n int) string {
		s := &houseVolume{width: 38, height: 24}
		s.centre(",volume " + string(cell.Number(n)) + " ( #c")
		s.put("")
		s.centre(",! ,l;g ,road")
		s.put("")
		s.centre("by ,orla ,penn")
		s.put("")
		s.centre(",?ree ,volumes")
		s.centre(",volume " + string(cell.Number(n)))
		s.put("")
		s.put(fmt.Sprintf("%38s", "#aiff"))
		s.turn()
		for k := range 14 {
			s.para(40 + k)
		}
		return s.String()
	}
	ed := string(makeOf(t, vol(1), vol(2), vol(3)).Edition)
	if !strings.HasPrefix(ed, ",! ,l;g ,road\n") {
		t.Errorf("the edition begins %.60q", ed)
	}
	if strings.Count(ed, "#aiff") != 1 {
		t.Errorf("the year stands %d times, want 1", strings.Count(ed, "#aiff"))
	}
}

// Heads that name the first and the last hymn or verse of their page (common practice of hymn books and of scripture), beside
// the page number and, with the numbers at the foot, alone.
func TestHeadsOfNumbersOnThePage(t *testing.T) {
	for _, book := range []string{"", ",ru? #b3"} {
		for _, foot := range []bool{false, true} {
			s := &houseVolume{width: 38, height: 24}
			s.titleAlone()
			n := 0
			var heads []string
			for page := range 12 {
				first := n + 1
				var lines []string
				for range 2 + page%2 {
					n++
					text := append([]string{string(cell.Number(n)), "," + s.word()}, s.words(40)...)
					lines = append(lines, wrapped(append(text, "h\\se4"), s.width, 2, 0)...)
				}
				head := book + string(cell.Number(first)) + "-" + string(cell.Number(n))
				heads = append(heads, head)
				line := strings.Repeat(" ", (s.width-len(head))/2) + head
				if !foot {
					line += s.right(page + 1)[len(line):]
				}
				s.put(line)
				for _, l := range lines {
					s.put(l)
				}
				if foot {
					for len(s.pages[len(s.pages)-1]) < s.height-1 {
						s.put("")
					}
					s.put(s.right(page + 1))
				}
				s.turn()
			}
			ed := string(makeOf(t, s.String()).Edition)
			for _, h := range heads {
				if strings.Contains(ed, h) {
					t.Errorf("the head %q is left in", h)
				}
			}
			for k := 1; k <= n; k++ {
				if !strings.Contains(ed, string(cell.Number(k))+" ,") {
					t.Errorf("the number %d is gone", k)
				}
			}
		}
	}
}

// Headings of hymns at the margin between blank lines: the word and the number, or the number and the name of the tune
// (common practice of hymn books). Items of a list that nothing stands under are none.
func TestHeadingsOfHymnsAtTheMargin(t *testing.T) {
	for _, form := range []string{"hymn", "tune", "list"} {
		s := &houseVolume{width: 38, height: 24}
		s.head = func(p int) string { return s.right(p) }
		s.titleAlone()
		var want []string
		for n := range 24 {
			s.keep(7)
			s.put("")
			name := string(cell.Number(n+1)) + " ," + s.word()
			if form == "hymn" {
				name = ",hymn " + string(cell.Number(n+1))
			}
			want = append(want, name)
			s.put(name)
			if form != "list" {
				s.put("")
				s.verses(4)
			}
		}
		heads := headLines(makeOf(t, s.String()).Book)
		if form == "list" {
			headsAmong(t, heads, nil, want)
			continue
		}
		headsAmong(t, heads, want, nil)
	}
}

// Heads of a play on even pages name the act and the scene, its headings the scene alone (common practice).
func TestHeadsOfActAndScene(t *testing.T) {
	s := &houseVolume{width: 38, height: 22}
	head := ""
	s.head = func(p int) string {
		if head == "" || p%2 == 1 {
			return ""
		}
		l := strings.Repeat(" ", (s.width-len(head))/2) + head
		return l + s.right(p)[len(l):]
	}
	s.titleAlone()
	s.turn()
	s.centre(",act ,i")
	for n := range 4 {
		s.keep(4)
		s.put("")
		s.centre(",sc5e " + string(cell.Number(n+1)))
		head = ",act ,i1 ,sc5e " + string(cell.Number(n+1))
		for k := range 50 + n {
			s.put(",ann4 ," + strings.Join(s.words(3+k%2), " ") + "4")
			s.put("  ," + strings.Join(s.words(4), " ") + "4")
		}
	}
	if ed := string(makeOf(t, s.String()).Edition); strings.Contains(ed, ",act ,i1") {
		t.Error("heads are left in")
	}
}

// Sections have their headings in the middle, the poems in them at the margin (common practice): these are a level deeper.
func TestHeadingsAtTheMarginAreDeeper(t *testing.T) {
	s := &houseVolume{width: 38, height: 24}
	s.head = func(p int) string { return s.right(p) }
	s.titleAlone()
	sections := []string{",spr+", ",summ]", ",w9t]"}
	s.centre(",3t5ts")
	s.put("")
	for k, n := range pieceNames {
		if k%4 == 0 {
			s.put(sections[k/4] + " \"\"\"\"\" " + string(cell.Number(k+3)))
		}
		s.put("  " + capitalised(n) + " \"\"\"\"\" " + string(cell.Number(k+3)))
	}
	s.turn()
	deeper := map[string]bool{}
	for k, n := range pieceNames {
		if k%4 == 0 {
			s.turn()
			s.centre(sections[k/4])
			s.put("")
		}
		s.keep(9)
		s.put(capitalised(n))
		s.put("")
		s.verses(8)
		deeper[capitalised(n)] = true
	}
	b := makeOf(t, s.String()).Book
	high, poems := int8(0), 0
	for i := range b.Blocks {
		if bl := &b.Blocks[i]; bl.Kind == book.Heading && !deeper[blockText(b, i)] {
			high = max(high, int8(bl.Level))
		}
	}
	for i := range b.Blocks {
		if bl := &b.Blocks[i]; bl.Kind == book.Heading && deeper[blockText(b, i)] {
			if poems++; int8(bl.Level) <= high {
				t.Errorf("%q has level %d, the sections %d", blockText(b, i), bl.Level, high)
			}
		}
	}
	if high == 0 || poems != len(pieceNames) {
		t.Errorf("sections at level %d, %d headings of poems", high, poems)
	}
}

// Verses run on in their paragraphs and over the page, and the head names the one that goes on there first.
func TestHeadsOfVersesThatGoOn(t *testing.T) {
	s := &houseVolume{width: 38, height: 22}
	s.titleAlone()
	n, rest := 0, []string(nil)
	var heads []string
	for page := range 14 {
		first, words := max(1, n), rest
		for range 3 {
			n++
			words = append(append(words, string(cell.Number(n)), ","+s.word()), append(s.words(31), "h\\se4")...)
		}
		lines := wrapped(words, s.width, 2*(page/13), 0)
		if head := ",ru? #b3" + string(cell.Number(first)) + "-" + string(cell.Number(n)); page%2 == 0 {
			line := strings.Repeat(" ", (s.width-len(head))/2) + head
			s.put(line + s.right(page + 1)[len(line):])
			heads = append(heads, head)
		}
		room := s.height - len(s.pages[len(s.pages)-1])
		for _, l := range lines[:min(len(lines)-2, room)] {
			s.put(l)
		}
		rest = strings.Fields(strings.Join(lines[min(len(lines)-2, room):], " "))
		s.turn()
	}
	ed := string(makeOf(t, s.String()).Edition)
	for _, h := range heads {
		if strings.Contains(ed, h) {
			t.Errorf("the head %q is left in", h)
		}
	}
}
