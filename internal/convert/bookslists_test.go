package convert_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/convert"
)

// joinedTo is, entry by entry in the order of the edition, the words of the heading that each is joined to, "" for
// none, with the heading of the highest level before it.
func joinedTo(res *convert.Result) (entries, heads, under []string) {
	text := func(i int) string {
		var all []string
		for _, p := range res.Book.Blocks[i].Pieces {
			all = append(all, string(res.Book.Text(p)))
		}
		return strings.Join(all, " ")
	}
	for _, l := range res.Book.Links {
		if l.Kind != book.ListRef {
			continue
		}
		top := ""
		for i := 0; i <= int(l.Target); i++ {
			if bl := &res.Book.Blocks[i]; bl.Kind == book.Heading && bl.Level == 1 && bl.Part != book.ContentsList {
				top = text(i)
			}
		}
		entries, heads, under = append(entries, text(int(l.Block))), append(heads, text(int(l.Target))), append(under, top)
	}
	return entries, heads, under
}

// A hymn book whose contents have the number of each hymn and its first line, over the text the number alone stands as a
// heading, in the middle or in cell 5 without blank lines, and the first line under it, with the number of its stanza
// or without (hymn books: common practice): each entry is joined to the number of its hymn.
func TestContentsOfHymns(t *testing.T) {
	for _, c := range []struct {
		name           string
		middle, stanza bool
		guide          string
	}{
		{"in the middle", true, true, "\""},
		{"in cell 5", false, true, "\""},
		{"stanzas without numbers, no guide dots", true, false, " "},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := &houseVolume{width: 36, height: 24}
			s.head = func(p int) string { return s.right(p) }
			first := func(h int) string { return ",sing ( ! " + houseWords[3*h+1] + " & " + houseWords[2*h+5] }
			s.centre(",3t5ts")
			n := 12
			for h := 1; h <= n; h++ {
				e := string(cell.Number(h)) + " " + first(h)
				s.put(e + " " + strings.Repeat(c.guide, 31-len(e)) + " " + string(cell.Number(h+1)))
			}
			for h := 1; h <= n; h++ {
				s.turn()
				number := string(cell.Number(h))
				if c.middle {
					s.put("")
					s.centre(number)
					s.put("")
				} else {
					s.put("    " + number)
				}
				for v := 1; v <= 3; v++ {
					x := "," + strings.Join(s.words(4), " ")
					if v == 1 {
						x = first(h) + "1"
					}
					if c.stanza {
						x = string(cell.Number(v)) + " " + x
					}
					s.put(x)
					for k := range 3 {
						s.put("," + strings.Join(s.words(4+k), " "))
					}
					s.put("")
				}
			}
			entries, heads, _ := joinedTo(makeOf(t, s.String()))
			if len(entries) != n {
				t.Fatalf("%d entries joined, want %d: %q", len(entries), n, entries)
			}
			for k, e := range entries {
				if want := string(cell.Number(k + 1)); heads[k] != want {
					t.Errorf("entry %q is joined to %q, want %q", e, heads[k], want)
				}
			}
		})
	}
}

// A cookery book whose contents have its courses and, two cells further in, the recipes of each; two courses have recipes of
// the same name (lists of two levels: BANA, Braille Formats 2016, section 2; cookery books: common practice). Without
// numbers the order tells which is which, with them the pages do too.
func TestContentsByCourse(t *testing.T) {
	courses := []string{",s\\ps", ",pudd+s", ",br1d & ,cakes"}
	recipes := [][]string{
		{",plum ,s\\p", ",b>ley & ,le5t", ",gre5 ,onion", ",! ,plain ,\"o"},
		{",plum ,pie", ",! ,plain ,\"o", ",apple ,snow ) ,cr1m & ,sug> ( ! ,old ,mill"},
		{",rye ,loaf", ",! ,plain ,\"o", ",plum ,loaf"},
	}
	for _, numbers := range []bool{true, false} {
		for _, width := range []int{38, 28} {
			t.Run(fmt.Sprintf("numbers %v, width %d", numbers, width), func(t *testing.T) {
				s := &houseVolume{width: width, height: 25}
				s.head = func(p int) string { return s.right(p) }
				entry := func(in int, e string, page int) {
					lines := cutLines(e, width-6-in, width-8-in)
					for k, l := range lines {
						l = strings.Repeat(" ", in+4*min(k, 1)) + l
						if k == len(lines)-1 && numbers {
							l += " " + strings.Repeat("\"", width-5-len(l)) + " " + string(cell.Number(page))
						}
						s.put(l)
					}
				}
				s.centre(",3t5ts")
				page := 2
				for c, x := range courses {
					entry(0, x, page)
					for r, y := range recipes[c] {
						entry(2, y, page+r/2)
					}
					page += (len(recipes[c]) + 1) / 2
				}
				var want, top []string
				for c, x := range courses {
					for r, y := range recipes[c] {
						if r%2 == 0 {
							s.turn()
						}
						if r == 0 {
							s.centre(x)
							s.put("")
							want, top = append(want, x), append(top, x)
						} else if r%2 == 1 {
							s.put("")
						}
						want, top = append(want, cutLines(y, 20, 20)[0]), append(top, x)
						for _, l := range cutLines(y, 20, 20) {
							s.put("    " + l)
						}
						s.para(8)
						for k := range 4 {
							s.put(string(cell.Number(20*(k+1))) + " g " + s.word())
						}
						s.para(20)
					}
				}
				entries, heads, under := joinedTo(makeOf(t, s.String()))
				if len(entries) != len(want) {
					t.Fatalf("%d entries joined, want %d: %q", len(entries), len(want), entries)
				}
				for k, e := range entries {
					if heads[k] != want[k] || under[k] != top[k] {
						t.Errorf("entry %q is joined to %q under %q, want %q under %q", e, heads[k], under[k], want[k], top[k])
					}
				}
			})
		}
	}
}

// cutLines cuts words into lines, the first of at most so many cells, the others of more.
func cutLines(t string, first, more int) (out []string) {
	line := ""
	for _, w := range strings.Fields(t) {
		most := more
		if len(out) == 0 {
			most = first
		}
		if line != "" && len(line)+1+len(w) > most {
			out, line = append(out, line), ""
		}
		line = strings.TrimSpace(line + " " + w)
	}
	return append(out, line)
}

// Two works bound in one volume, each with its contents before it, chapters of the same names, on narrow pages where entries run over, with
// guide dots, without, and in a double-spaced volume (composite books: common practice; entries that run over: BANA, Braille Formats
// 2016, section 2): the second list stays before the second work, each of its entries a line, and each entry is joined
// to the chapter of its work.
func TestContentsOfTwoWorksBoundTogether(t *testing.T) {
	titles := [][]string{{",! ,old ,f]ry", ",bread & ,salt 9 ! ,mill", ",a ,gate 9 ! ,wall", ",no\"h to g"}, {",! ,l;g ,list ( ,names", ",bread & ,salt 9 ! ,mill", ",samuel", ",n ,w9d today"}}
	for _, c := range []struct {
		name   string
		guide  string
		double bool
	}{{"guide dots", "\"", false}, {"no guide dots", " ", false}, {"double spaced", "\"", true}} {
		t.Run(c.name, func(t *testing.T) {
			s := &houseVolume{width: 30, height: 24}
			s.head = func(p int) string { return s.right(p) }
			put := func(x string) {
				s.put(x)
				if c.double && len(s.pages[len(s.pages)-1]) < s.height {
					s.put("")
				}
			}
			page := 3
			var want []string
			for w, list := range titles {
				s.turn()
				for _, x := range []string{[]string{",! ,l;g ,road", ",! ,sh ,road"}[w], "by", ",orla ,penn"} {
					put(strings.Repeat(" ", (30-len(x))/2) + x)
				}
				s.turn()
				put(strings.Repeat(" ", 12) + ",3t5ts")
				for n, x := range list {
					lines := cutLines(fmt.Sprintf(",*apt] %s %s", cell.Number(n+1), x), 22, 18)
					for k, l := range lines {
						l = strings.Repeat(" ", 4*min(k, 1)) + l
						if k == len(lines)-1 {
							l += " " + strings.Repeat(c.guide, 26-len(l)) + " " + string(cell.Number(page+2*n))
						}
						put(l)
					}
				}
				for n, x := range list {
					for len(s.pages) < page+2*n {
						s.turn()
					}
					for _, l := range []string{",*apt] " + string(cell.Number(n+1)), x} {
						put(strings.Repeat(" ", (30-len(l))/2) + l)
					}
					want = append(want, x)
					for _, l := range cutLines(strings.Join(s.words(110), " ")+"4", 28, 30) {
						put(l)
					}
				}
				page = len(s.pages) + 3
			}
			res := makeOf(t, s.String())
			entries, _, _ := joinedTo(res)
			if len(entries) != len(want) {
				t.Fatalf("%d entries joined, want %d: %q\n%s", len(entries), len(want), entries, res.Edition)
			}
			seen := map[int32]bool{}
			for k, l := range listRefs(res) {
				if next := string(res.Book.Text(res.Book.Blocks[l.Target+1].Pieces[0])); next != want[k] || seen[l.Target] {
					t.Errorf("entry %q is joined to the chapter %q, want %q", entries[k], next, want[k])
				}
				seen[l.Target] = true
			}
			second := strings.LastIndex(string(res.Edition), ",3t5ts")
			if at := strings.Index(string(res.Edition), ",sh ,road"); at < 0 || second < at {
				t.Errorf("the second list is not before the second work\n%s", res.Edition)
			}
		})
	}
}

func listRefs(res *convert.Result) (out []book.Link) {
	for _, l := range res.Book.Links {
		if l.Kind == book.ListRef {
			out = append(out, l)
		}
	}
	return out
}

// A general contents list without numbers, two levels on narrow pages, that fills its page and goes on over the next with no heading there, an
// entry cut by the page; the contents of each volume in the same shape (general contents: UK paper layout,
// section 5; narrow columns of entries: common practice). The one list has each entry once, whole, and joined;
// a part and its first chapter are two entries though both stand in the middle of a page.
func TestGeneralContentsOverPages(t *testing.T) {
	parts := [][]string{
		{",i ,a ,l;g ,road", ",\"u ! ,lamp", ",! ,-mon & ! ,mill", ",bread & ,salt"},
		{",,ii ,samuel's ,r[", ",n ,w9d", ",! ,f]ry ( ! ,old ,m5", ",a ,gate"},
		{",,iii ,no\"h to ,g", ",h>b\\rs", ",apples & ,sug>", ",! ,la/ ,lamp"},
		{",,iv ,! ,la/ ,road", ",! ,la/ ,boat", ",a ,list = ,hannah", ",rye"},
	}
	entries := func(s *houseVolume, from, to int) {
		for _, p := range parts[from:to] {
			for n, e := range p {
				in := 2 * min(n, 1)
				for k, l := range cutLines(e, 14-in, 14-in) {
					s.put(strings.Repeat(" ", in+4*min(k, 1)) + l)
				}
			}
		}
	}
	var vols, want []string
	for v := range 2 {
		s := &houseVolume{width: 30, height: 25, next: 700 * v}
		s.head = func(p int) string { return s.right(p) }
		s.put("")
		s.centre(",! ,l;g ,road")
		s.put("")
		s.centre("by ,orla ,penn")
		s.put("")
		s.centre(",9 ,two ,volumes")
		s.centre(",volume " + []string{",\"o", ",two"}[v])
		if v == 0 {
			s.turn()
			s.centre(",g5]al ,3t5ts")
			s.put("")
			entries(s, 0, 4)
		}
		s.turn()
		s.centre(",3t5ts ( ,volume " + []string{",\"o", ",two"}[v])
		s.put("")
		entries(s, 2*v, 2*v+2)
		s.centre("333333")
		for _, p := range parts[2*v : 2*v+2] {
			for n, e := range p {
				if n == 0 {
					number, title, _ := strings.Cut(e, " ")
					s.turn()
					s.put("")
					s.centre(number)
					s.put("")
					s.centre(title)
				} else {
					s.keep(8)
					s.put("")
					s.put("")
					s.centre(e)
				}
				if n > 0 {
					s.para(50 + 7*n)
					s.para(40)
				}
			}
		}
		vols = append(vols, s.String())
	}
	for _, p := range parts {
		for n, e := range p {
			want = append(want, strings.Repeat("  ", min(n, 1))+e)
		}
	}
	res := makeOf(t, vols...)
	if list := strings.Join(want, "\n") + "\n"; !strings.Contains(string(res.Edition), list) || strings.Count(string(res.Edition), ",apples & ,sug>") != 2 {
		t.Errorf("no list\n%s\n%s", list, res.Edition[:min(len(res.Edition), 1500)])
	}
	if n := linksOf(res, book.ListRef); n != len(want) {
		t.Errorf("%d entries joined, want %d", n, len(want))
	}
}

// The last line of a volume ends with a print page turn, the next volume begins with a chapter: in the contents it
// has the page that was turned to (marks of print pages in the text: RUEB / UEB Guidelines, page indicators).
func TestContentsOfAChapterAfterATurnAtAVolumesEnd(t *testing.T) {
	var vols []string
	for v, chapters := range [][]string{{"\"o", "two"}, {"?ree", "f\\r"}} {
		s := openedVolume(36, v, 500*v)
		for n, c := range chapters {
			e := ",*apt] " + c
			s.put(e + " " + strings.Repeat("\"", 26-len(e)) + " " + string(cell.Number(3+2*n)))
		}
		for n, c := range chapters {
			s.turn()
			s.centre(",*apt] " + c)
			s.put("")
			page := "\"3" + string(cell.Number(11+10*v+5*n))
			s.flow(append(append(s.words(60), page), append(s.words(90), "h\\se4")...), 2, 0)
			s.turn()
			s.para(120)
		}
		if v == 0 {
			s.flow(append(s.words(30), "h\\se4", "\"3"+string(cell.Number(20))), 2, 0)
		}
		vols = append(vols, s.String())
	}
	res := makeOf(t, vols...)
	for _, want := range []string{",*apt] two #aa\n", ",*apt] ?ree #bj\n", ",*apt] f\\r #ba\n"} {
		if !strings.Contains(string(res.Edition), want) {
			t.Errorf("no entry %q in\n%s", want, res.Edition[:min(len(res.Edition), 900)])
		}
	}
}

// On narrow pages an entry takes four lines, a part and its number first, and other entries have the same
// words: each is one entry, joined to its heading, and no word of it goes for that of another list (narrow
// pages: common practice). In the other shape no heading says the words; they stay all the same.
func TestContentsOfTallEntries(t *testing.T) {
	titles := [][]string{{",a ,paper ,letter", ",a ,quiet ,/air"}, {",a ,quiet ,w9d[", ",a ,paper ,boat"}}
	for _, headed := range []bool{true, false} {
		var vols []string
		for v, chapters := range titles {
			s := openedVolume(25, v, 300*v)
			for n, c := range chapters {
				s.put(",*apt] " + string(cell.Number(2*v+n+1)))
				w := strings.Fields(c)
				s.put("    " + w[0])
				s.put("    " + w[1])
				s.put(fmt.Sprintf("    %-14s%s", w[2], cell.Number(3+2*n)))
			}
			for n, c := range chapters {
				s.turn()
				s.centre(",*apt] " + string(cell.Number(2*v+n+1)))
				if headed {
					s.centre(c)
				}
				s.put("")
				s.para(120)
				s.para(90)
			}
			vols = append(vols, s.String())
		}
		res := makeOf(t, vols...)
		list := strings.Join(strings.Fields(string(res.Edition[:min(len(res.Edition), 400)])), " ")
		if want := ",3t5ts ,*apt] #a ,a ,paper ,letter ,*apt] #b ,a ,quiet ,/air ,*apt] #c ,a ,quiet ,w9d[ ,*apt] #d ,a ,paper ,boat "; !strings.Contains(list, want) {
			t.Errorf("headings say the words: %v: no list %q in\n%s", headed, want, list)
		}
		if n := len(listRefs(res)); headed && n != 4 {
			t.Errorf("%d entries joined, want 4, in\n%s", n, list)
		}
	}
}

// openedVolume is volume 1 or 2, of index 0 or 1, of a title with a page number at the right of line 1: its title
// page, and the heading of its contents.
func openedVolume(width, v, next int) *houseVolume {
	s := &houseVolume{width: width, height: 24, next: next}
	s.head = func(p int) string { return s.right(p) }
	s.put("")
	s.centre(",! ,l;g ,road")
	s.put("")
	s.centre(",volume " + []string{",\"o", ",two"}[v])
	s.turn()
	s.centre(",3t5ts")
	s.put("")
	return s
}

// A textbook whose contents list is the last thing in its last volume (common practice in France, Italy and Spain), with the
// names of its volumes in the middle and the number of each chapter on a line of its own: it is the list of the book,
// without the braille pages, and every entry is joined to its chapter.
func TestContentsThatEndTheBook(t *testing.T) {
	s := &houseVolume{width: 38, height: 25}
	s.head = func(p int) string { return s.right(p) }
	names := []string{",! ,small ,voyage", ",trade & ,kit*5", ",! ,use;l ,s1son", ",grt ,h>b\\rs", ",valley & ,lr", ",! ,n>r[ ,\"w%op"}
	chapter := func(k int) string { return ",*apt] " + string(cell.Number(k+1)) }
	var pages []int
	for k, n := range names {
		if k > 0 {
			s.turn()
		}
		pages = append(pages, len(s.pages)+1)
		s.put("")
		s.centre(chapter(k))
		s.centre(n)
		s.put("")
		for range 9 {
			for _, l := range cutLines(","+strings.Join(s.words(24), " ")+"4", 36, 38) {
				s.put(l)
			}
		}
	}
	s.turn()
	s.centre(",3t5ts")
	for k, n := range names {
		if k%3 == 0 {
			s.put("")
			s.centre(",volume " + string(cell.Number(k/3+1)))
		}
		s.put(chapter(k))
		s.put(n + " " + strings.Repeat("\"", 33-len(n)) + " " + string(cell.Number(pages[k])))
	}
	res := makeOf(t, s.String())
	entries, heads, _ := joinedTo(res)
	n := 0
	for k, e := range entries {
		if i := slices.Index(names, e); i == n && (heads[k] == chapter(i) || heads[k] == names[i]) {
			n++
		}
	}
	if n != len(names) {
		t.Errorf("%d entries joined, want %d: %q to %q", n, len(names), entries, heads)
	}
	if b := &res.Book.Blocks[res.Book.Links[0].Block]; b.Part != book.ContentsList {
		t.Errorf("the first entry stands in part %v of the book", b.Part)
	}
}

// A book in two volumes whose contents list names its volumes in the middle, the second at the top of its next page, where the
// braille pages begin anew (lists of the whole book: UKAAF, Guiding Principles 2016, appendix H): all of it is one list, and loses its
// numbers.
func TestContentsUnderVolumes(t *testing.T) {
	s := &houseVolume{width: 38, height: 25}
	s.head = func(p int) string { return s.right(p) }
	entry := func(k, page int) {
		n := ",! " + houseWords[2*k] + " ( " + houseWords[2*k+1]
		s.put(n + " " + strings.Repeat("\"", 33-len(n)) + " " + string(cell.Number(page)))
	}
	s.put("")
	s.centre(",! ,l;g ,road")
	s.put("")
	s.centre("by ,orla ,penn")
	s.turn()
	s.centre(",3t5ts")
	s.put("")
	s.centre(",volume ,\"o")
	for k := range 8 {
		entry(k, k+4)
	}
	s.turn()
	s.centre(",volume ,two")
	for k := range 5 {
		entry(k+8, k+1)
	}
	for k := range 13 {
		s.turn()
		s.put("")
		s.centre(",! " + houseWords[2*k] + " ( " + houseWords[2*k+1])
		s.put("")
		for _, l := range cutLines(","+strings.Join(s.words(60), " ")+"4", 36, 38) {
			s.put(l)
		}
	}
	res, ed := hardBook(t, nil, s.String())
	if n := linksOf(res, book.ListRef); n != 13 || strings.Contains(ed, "\"\"") {
		t.Errorf("%d entries joined, want 13\n%s", n, ed)
	}
}

// A book of poems whose headings stand in cell 5, a roman number and under it the name, on narrow pages where the name fills its
// line or runs over; its contents have both, or the name alone (headings in cell 5: BANA, Braille Formats 2016, 4.4; numbers of
// poems: common practice). Each entry is joined to the number, where its heading begins.
func TestContentsOfNumberedPoems(t *testing.T) {
	for _, numbers := range []bool{true, false} {
		s := &houseVolume{width: 30, height: 24}
		s.head = func(p int) string { return s.right(p) }
		s.put("")
		s.centre(",! ,l;g ,road")
		s.put("")
		s.centre("by ,orla ,penn")
		s.turn()
		s.centre(",3t5ts")
		s.put("")
		roman := strings.Fields(",i ,,ii ,,iii ,,iv ;,v ,,vi ,,vii ,,viii")
		name := func(k int) string { return ",l9es ,writt5 ne> ,! " + houseWords[k+2] }
		for k := range roman {
			e := name(k)
			if numbers {
				e = roman[k] + " " + e
			}
			for n, l := range cutLines(e+" "+string(cell.Number(k+3)), 30, 26) {
				s.put(strings.Repeat(" ", 4*min(n, 1)) + l)
			}
		}
		for k := range roman {
			s.turn()
			s.put("    " + roman[k])
			for _, l := range cutLines(name(k), 26, 26) {
				s.put("    " + l)
			}
			s.put("")
			for range 12 {
				s.put("," + strings.Join(s.words(4), " ") + "1")
			}
		}
		res, ed := hardBook(t, nil, s.String())
		_, heads, _ := joinedTo(res)
		for k, h := range heads {
			if k >= len(roman) || !strings.HasPrefix(h, roman[k]) {
				t.Errorf("entry %d is joined to %q", k+1, h)
			}
		}
		if len(heads) != len(roman) {
			t.Errorf("numbers %v: %d entries joined, want %d\n%s", numbers, len(heads), len(roman), ed[:min(len(ed), 2500)])
		}
	}
}
