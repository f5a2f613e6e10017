package convert_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/cell"
)

// TestEntriesOverPages: a contents list over two pages; the last entry of the first page has its
// runover, with the number or not, at the top of the second, under a heading that is repeated or
// none (UK paper layout, section 5: runovers two cells further in, heading repeated on the next page;
// North American layout: entries in cell 1, runovers further in). The list may have no numbers.
func TestEntriesOverPages(t *testing.T) {
	for _, c := range []struct {
		name             string
		numbers, repeats bool
		last             int // entries after the broken one
	}{
		{"numbers", true, false, 3},
		{"numbers, the broken entry is the last", true, false, 0},
		{"numbers, heading again", true, true, 3},
		{"no numbers", false, false, 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := hardVolume(1, 1)
			s.centre(",3t5ts")
			n := s.height - 4
			if !c.numbers {
				n++
			}
			titles := make([]string, n+1+c.last)
			for k := range titles {
				titles[k] = fmt.Sprintf("%s ,! /ory ( x%c ,! old", string(cell.Number(k+1))+"4", 'a'+k)
			}
			titles[n] = fmt.Sprintf("%s ,:at ! f]ry did \":n x came to ! end", string(cell.Number(n+1))+"4")
			put := func(x string, page int) {
				if !c.numbers {
					s.put(x)
					return
				}
				s.put(x + " " + strings.Repeat("\"", 33-len(x)) + " " + string(cell.Number(page)))
			}
			if c.numbers {
				s.put(fmt.Sprintf("%38s", "brl page"))
			}
			for k, x := range titles {
				if k != n {
					put(x, k+4)
					continue
				}
				s.put(x[:strings.LastIndex(x, " to ")])
				if s.turn(); c.repeats {
					s.centre(",3t5ts")
				}
				put("  to ! end", k+4)
			}
			s.centre("333333333333")
			for _, x := range titles {
				s.turn()
				s.put("")
				for _, line := range strings.SplitAfterN(x, "came ", 2) {
					s.centre(strings.TrimSpace(line))
				}
				s.put("")
				s.para(40)
				s.para(50)
			}
			res, ed := hardBook(t, nil, s.String())
			want := "\n    ,3t5ts\n" + strings.Join(titles, "\n") + "\n"
			if !strings.Contains(ed, want) {
				t.Errorf("no list %q\n%s", want, ed[:min(len(ed), 3000)])
			}
			if k := linksOf(res, book.ListRef); k != len(titles) {
				t.Errorf("%d entries joined, want %d", k, len(titles))
			}
		})
	}
}

// TestFirstPrintPage: the print page turns are marked in the text only, the first is to page 2 (UK paper
// layout, section 3): the chapter before it begins on page 1. Where the first is to page 5, nobody knows.
func TestFirstPrintPage(t *testing.T) {
	for first, want := range map[int]string{2: " #a\n,*apt] #b #c\n,*apt] #c #e\n", 5: "\n,*apt] #b #f\n,*apt] #c #h\n"} {
		s := hardVolume(1, 1)
		s.centre(",3t5ts")
		s.put(fmt.Sprintf("%38s", "brl page"))
		for c := 1; c <= 3; c++ {
			s.put(",*apt] " + string(cell.Number(c)) + " " + strings.Repeat("\"", 20) + " " + string(cell.Number(2*c+1)))
		}
		s.centre("333333333333")
		n := first
		for c := 1; c <= 3; c++ {
			s.turn()
			s.chapter(",*apt] "+string(cell.Number(c)), 4)
			for range 2 {
				s.centre("\"3" + string(cell.Number(n)))
				s.para(60)
				n++
			}
		}
		_, ed := hardBook(t, nil, s.String())
		if want = "\n    ,3t5ts\n,*apt] #a" + want; !strings.Contains(ed, want) {
			t.Errorf("first turn to %d: no %q\n%s", first, want, ed)
		}
	}
}

// TestIndexOfVolumes: an index names volume and braille page of some things ("volume 2, page 14": volumes made
// by hand, common practice) and print pages of others. No number of a volume and no page after one is
// taken for a print page; each is told with the place where that page stood.
func TestIndexOfVolumes(t *testing.T) {
	var vols []string
	for v := 1; v <= 2; v++ {
		s := hardVolume(v, 2)
		pn := 20*(v-1) + 2
		for c := 1; c <= 4; c++ {
			s.turn()
			s.put("")
			s.centre(",*apt] " + string(cell.Number(4*(v-1)+c)))
			s.put("")
			for range 5 {
				s.para(45)
				s.centre("\"3" + string(cell.Number(pn)))
				pn++
			}
			s.para(30)
		}
		if v == 2 {
			s.turn()
			s.centre(",9dex")
			s.put("")
			for k := range 16 {
				s.flow([]string{fmt.Sprintf(",item%c1", 'a'+k), string(cell.Number(2+2*k)) + "1", string(cell.Number(5 + 2*k))}, 0, 2)
				if k%4 == 0 {
					s.flow([]string{fmt.Sprintf(",item%cz1", 'a'+k), ",volume", string(cell.Number(k%2+1)) + "1", "page", string(cell.Number(3 + k))}, 0, 2)
				}
			}
		}
		vols = append(vols, s.ends(v))
	}
	res, ed := hardBook(t, nil, vols...)
	if n := foundOf(res, "page-reference"); n != 4 {
		t.Errorf("%d pages of volumes told, want 4: %v\n%s", n, res.Findings, ed)
	}
	if n := linksOf(res, book.CrossRef); n != 32 {
		t.Errorf("%d links, want 32: those of the print pages\n%s", n, ed)
	}
}

// TestContentsAtTheBack: the contents list stands behind the text, in the last volume, with the braille
// pages of each volume (preliminary matter at the back: common practice). It loses the dead numbers,
// and its entries lead to the chapters.
func TestContentsAtTheBack(t *testing.T) {
	var vols []string
	at := map[int]int{}
	for v := 1; v <= 2; v++ {
		s := hardVolume(v, 2)
		for c := 3*v - 2; c <= 3*v; c++ {
			s.turn()
			at[c] = len(s.pages)
			s.chapter(",*apt] "+string(cell.Number(c)), 5)
		}
		if v == 2 {
			s.turn()
			s.centre(",3t5ts")
			s.put("")
			for c := 1; c <= 6; c++ {
				x := ",*apt] " + string(cell.Number(c))
				s.put(x + " " + strings.Repeat("\"", 20) + " " + string(cell.Number(at[c])))
			}
		}
		vols = append(vols, s.ends(v))
	}
	res, ed := hardBook(t, nil, vols...)
	if n := linksOf(res, book.ListRef); n != 6 || strings.Contains(ed, "\"\"\"") {
		t.Errorf("%d entries joined\n%s", n, ed)
	}
	inOrder(t, strings.ReplaceAll(ed, "\n\n", "\n"), "    ,3t5ts\n,*apt] #a\n,*apt] #b\n,*apt] #c\n,*apt] #d\n,*apt] #e\n,*apt] #f\n")
}

// TestStoriesAndAuthors: each story has its author under the title, and so has its entry in the contents list, with
// the number (anthologies: common practice). Title and author are one entry, of every story.
func TestStoriesAndAuthors(t *testing.T) {
	titles := []string{",! ,r$ ,boat", ",w9t] ,morn+", ",! ,la/ ,l&+", ",salt", ",a ,l;g ,way ,d[n"}
	authors := []string{",orla ,penn", ",ivo ,r\\d", ",may ,l;g", ",tom ,f5", ",ada ,cr1g"}
	s := hardVolume(1, 1)
	s.centre(",3t5ts")
	s.put("")
	for k := range titles {
		s.put(titles[k])
		s.put("  " + authors[k] + " " + strings.Repeat("\"", 28-len(authors[k])) + " " + string(cell.Number(3*k+3)))
	}
	s.centre("333333333333")
	for k := range titles {
		for len(s.pages) < 3*k+2 {
			s.turn()
		}
		s.turn()
		s.put("")
		s.centre(titles[k])
		s.centre(authors[k])
		s.put("")
		for range 8 {
			s.para(40)
		}
	}
	res, ed := hardBook(t, nil, s.String())
	for k := range titles {
		if want := "\n" + titles[k] + " " + authors[k] + "\n"; strings.Count(ed, want) != 1 {
			t.Errorf("%q stands %d times\n%s", want, strings.Count(ed, want), ed[:min(len(ed), 600)])
		}
	}
	if n := linksOf(res, book.ListRef); n != len(titles) {
		t.Errorf("%d entries joined", n)
	}
}

// TestNumberedTitlesOverLines: chapters have a number and a title over one to three lines in the middle, without a
// blank line about them, over paragraphs that step in (UK paper layout, section 7: consecutive centred
// lines form one heading, no blank line between heading and text). All are headings, none a list.
func TestNumberedTitlesOverLines(t *testing.T) {
	titles := [][]string{{",! ,l;g ,way ,d[n"}, {",9 ,se>* (a ,b[1 &", ",:at 0 f.d 2s ! ,mill"}, {",9 ,se>* ( a", ",keyhole1 & ,:at ,0 ,f.d", "2s ! ,velvet"}, {",! ,f]ry 2s ! ,old ,l&+"}}
	s := hardVolume(1, 1)
	var want []string
	for k, x := range append(titles, titles...) {
		for n, line := range x {
			if n == 0 {
				line = string(cell.Number(k+1)) + "4 " + line
				want = append(want, "\n    "+line+"\n")
			}
			s.centre(line)
		}
		for range 5 {
			s.para(40)
		}
	}
	res, ed := hardBook(t, nil, s.String())
	inOrder(t, ed, want...)
	for _, f := range res.Book.Blocks {
		if x := blockLine(res.Book, &f); strings.Contains(x, "velvet") && f.Kind != book.Heading {
			t.Errorf("%q is no heading", x)
		}
	}
}

// blockLine is the text of a block.
func blockLine(b *book.Book, bl *book.Block) (s string) {
	for _, p := range bl.Pieces {
		s += " " + string(b.Text(p))
	}
	return s
}
