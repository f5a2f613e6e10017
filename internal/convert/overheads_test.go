package convert_test

import (
	"slices"
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/cell"
)

// Page heads without numbers say the first words of the heading of their piece. Each piece begins a page, with its head
// over its heading, which on some pages begins in cell 5 by its length, as stanzas do there (page information lines of
// sections, UK common practice; verse: BANA, Braille Formats 2016, section 13): the heads go, the headings stay.
func TestHeadsOfFirstWordsOverHeadings(t *testing.T) {
	for _, apart := range []bool{true, false} {
		s := hardVolume(1, 1)
		head := ""
		s.head = func(int) string { return strings.Repeat(" ", (s.width-len(head))/2) + head }
		pieces := []string{",clock of ,hollow", ",anne sings to all who waited", ",roads between ,wexcombe", ",lanterns & bells of the hills",
			",orchards & songs from a hill", ",mirrors", ",a ferry crosses to the bank", ",stones near ,ravel"}
		for _, p := range pieces {
			w := strings.Fields(p)
			head = strings.Join(w[:(len(w)+1)/2], " ")
			s.turn()
			if apart {
				s.put("")
			}
			s.centre(p)
			s.put("")
			for range 7 {
				for k := range 4 {
					s.verseLine(4, 3+k%2, map[int]string{3: "4"}[k])
				}
				s.put("")
			}
		}
		s.head = nil
		res, ed := hardBook(t, nil, s.ends(1))
		for _, p := range pieces {
			if n := strings.Count(ed, "    "+p+"\n"); n != 1 {
				t.Errorf("apart %v: the heading %q stands %d times", apart, p, n)
			}
		}
		headsAmong(t, headLines(res.Book), pieces, nil)
		for _, h := range []string{",anne sings to", ",orchards & songs", ",a ferry crosses"} {
			if strings.Contains(ed, h+"\n") {
				t.Errorf("apart %v: the page head %q is left", apart, h)
			}
		}
	}
}

// The year of a source ends its name on a line of its own, at the end of a section of quotations (BANA, Braille Formats
// 2016, section 9): it is no number over the heading behind it, and the entries of the contents lead to the headings.
func TestYearsUnderNamesOverHeadings(t *testing.T) {
	titles := []string{",clocks & a ferry", ",bells of the road", ",stones near ,ravel", ",roads between hills", ",mirrors & a bridge", ",old lanterns"}
	s := hardVolume(1, 1)
	s.head = func(p int) string { return s.right(p) }
	s.centre(",3t5ts")
	s.put("")
	for i, x := range titles {
		s.put(x + " " + string(cell.Number(4+i)))
	}
	s.turn()
	for _, x := range titles {
		if len(s.pages) > 4 {
			s.turn()
		}
		s.put("")
		s.centre(x)
		s.put("")
		for n := range 3 {
			s.para(30 + n)
			s.centre(",rufus ,wr5field1 9 a lr1")
			s.centre("#ahfc")
		}
	}
	res, ed := hardBook(t, nil, s.ends(1))
	if _, heads, _ := joinedTo(res); !slices.Equal(heads, titles) {
		t.Errorf("entries lead to %q\n%s", heads, ed)
	}
}

// A hymn book whose refrain stands in cell 5 in the middle, over two lines with runovers, and prayers with a direction in
// the middle under each heading (BANA, Braille Formats 2016, sections 13 and 9; common practice): both come again and
// again, end in full stops and are text.
func TestRefrainsInTheMiddle(t *testing.T) {
	s := hardVolume(1, 1)
	s.head = func(p int) string { return s.right(p) }
	var want []string
	for n := range 12 {
		s.keep(12)
		s.put("")
		h := ",! ," + houseWords[3*n+1] + " &! ," + houseWords[2*n+5]
		want = append(want, h)
		s.centre(h)
		s.centre(",? may 2 sd or sung4")
		s.put("")
		for range 2 {
			for k := range 4 {
				s.verseLine(0, 4, map[int]string{3: "4"}[k])
			}
			s.put("")
			s.keep(5)
			for _, l := range []string{"     ,s+ al\\d1 ye hills ( m", "            morn+1", "     ,s+ al\\d f %ore to far", "            %ore4", ""} {
				s.put(l)
			}
		}
	}
	res, _ := hardBook(t, nil, s.ends(1))
	headsAmong(t, headLines(res.Book), want, []string{",? may 2 sd or sung4", ",s+ al\\d1 ye hills ( m", ",s+ al\\d f %ore to far"})
}

// Quotations as block paragraphs, between blank lines, with the names of their authors in cell 7 under them: names end
// sections, over a heading in the middle, as no heading does (BANA, Braille Formats 2016, section 9).
func TestNamesInCellSevenBetweenBlankLines(t *testing.T) {
	s := hardVolume(1, 1)
	s.head = func(p int) string { return s.right(p) }
	names := []string{",amos ,holl[ay", ",$ith ,ask]ley1 ,bells", ",rufus ,dunm>%", ",orla ,penn"}
	var want []string
	for n := range 7 {
		s.keep(10)
		h := ",! ," + houseWords[3*n+1] + " &! ," + houseWords[2*n+5]
		want = append(want, h)
		s.put("")
		s.centre(h)
		s.put("")
		for k := range 5 {
			s.keep(4)
			w := append(s.words(9+3*k), "h\\se4")
			w[0] = "," + w[0]
			s.flow(w, 0, 0)
			s.put("")
			s.put("      " + names[(n+k)%len(names)])
			s.put("")
		}
	}
	res, _ := hardBook(t, nil, s.ends(1))
	headsAmong(t, headLines(res.Book), want, names)
}

// A chapter of a later volume begins a page with the first words of the title, which goes on otherwise: the text does not
// begin there, and what the pages before have in common with the preliminary matter stays (common practice).
func TestHeadingWithTheFirstLineOfTheTitle(t *testing.T) {
	s := hardVolume(1, 1)
	s.head = func(p int) string { return s.right(p) }
	s.pages[0] = nil
	for _, l := range []string{"", ",a ballad ( ,saltm]e &(!", ",silv] bell t 0 f.d \"!", "", "by ,orla ,penn", ""} {
		s.pages[0] = append(s.pages[0], strings.Repeat(" ", (s.width-len(l))/2)+l)
	}
	part := func(x ...string) {
		s.turn()
		for _, l := range x {
			s.centre(l)
		}
		s.put("")
		s.para(40)
		s.para(50)
	}
	part(",clocks & a ferry")
	part(",bells of the road")
	part(",a ballad ( ,saltm]e &(!", ",salt %ore t 0 f.d \"!")
	part(",mirrors & a bridge")
	part(",old lanterns")
	res, _ := hardBook(t, nil, s.ends(1))
	for i, b := range res.Book.Blocks {
		if b.Part != book.Text && strings.Contains(blockText(res.Book, i), ",bells of") {
			t.Errorf("a chapter stands in part %v", b.Part)
		}
	}
}
