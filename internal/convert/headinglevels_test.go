package convert_test

import (
	"strings"
	"testing"

	"continuo/internal/book"
)

// Levels of headings that are not told by a word for them (BANA, Braille Formats 2016, section 4; numbers in words and
// contents lists that go down to the chapters: common practice): chapters counted in words over sections in the middle, numbered
// sections in cell 5, and headings that the contents list does not name.
func TestLevelsOfHeadingsWithoutWordsForThem(t *testing.T) {
	chapters := []string{",\"o ,! ,old ,f]ry", ",two ,b[s & ,oars", ",?ree ,m>ket ,days", ",f\\r ,! ,la/ ,s1son"}
	for name, c := range map[string]struct {
		chapter  func(n int) string
		sections [2]string
		side     bool
		list     bool
	}{
		"words":    {func(n int) string { return chapters[n] }, [2]string{",! ,boats", ",! ,v ,long ,road"}, false, false},
		"decimals": {func(n int) string { return ",*apt] #" + string("abcd"[n]) }, [2]string{"#X4a ,! ,boats", "#X4b ,h[ ! ,f]ry ,came"}, true, false},
		"listed":   {func(n int) string { return strings.TrimLeft(chapters[n][strings.IndexByte(chapters[n], ' '):], " ") }, [2]string{",! ,boats", ",! ,v ,long ,road"}, false, true},
	} {
		s := hardVolume(1, 1)
		if c.list {
			s.centre(",3t5ts")
			s.put("")
			for n := range chapters {
				s.put(c.chapter(n) + " \"\"\"\"\"\" #" + string("bdfh"[n]))
			}
			s.turn()
		}
		for n := range chapters {
			s.chapter(c.chapter(n), 3)
			for _, x := range c.sections {
				x = strings.Replace(x, "X", string("abcd"[n]), 1)
				if s.keep(5); !c.side {
					s.chapter(x, 3)
					continue
				}
				s.put("")
				s.put("    " + x)
				s.para(60)
				s.para(50)
			}
		}
		res, ed := hardBook(t, nil, s.ends(1))
		levels := map[string]uint8{}
		for i := range res.Book.Blocks {
			if bl := &res.Book.Blocks[i]; bl.Kind == book.Heading {
				levels[strings.TrimSpace(blockLine(res.Book, bl))] = bl.Level
			}
		}
		top := levels[c.chapter(0)]
		for n := range chapters {
			if l := levels[c.chapter(n)]; l == 0 || l != top {
				t.Errorf("%s: chapter %q has level %d, the first %d\n%s", name, c.chapter(n), l, top, ed)
			}
			for _, x := range c.sections {
				x = strings.Replace(x, "X", string("abcd"[n]), 1)
				if l := levels[x]; l != top+1 {
					t.Errorf("%s: section %q has level %d under %d\n%s", name, x, l, top, ed)
				}
			}
		}
	}
}

// Headings at the margin over paragraphs in which the print page turns after the first words, and an index whose entries have
// others under them that step in (marginal headings: BANA, Braille Formats 2011, 4.7; print page turns over the whole
// line: UKAAF, Guiding Principles 2016; index: common practice): the headings are found, no entry is one.
func TestHeadingsAtTheMarginBeforeTurnsAndAnIndex(t *testing.T) {
	s := hardVolume(1, 1)
	names := []string{",! ,old ,f]ry", ",b[s & ,oars", ",m>ket ,days", ",! ,la/ ,s1son", ",! ,v ,long ,road", ",h[ x 2gan", ",a ,mill", ",! ,5d"}
	for n, name := range names {
		s.keep(8)
		s.put("")
		s.put(name)
		s.put("")
		if n < 4 {
			s.para(60)
		} else {
			s.put("  ,& x 0 " + s.words(1)[0])
			s.put("----------------------------------#" + string("bcdefghi"[n]))
			s.flow(append(s.words(30), "h\\se4"), 0, 0)
		}
		s.para(50)
	}
	s.turn()
	s.centre(",9dex")
	for _, e := range []string{",apples", ",boats", ",carts", ",drums", ",eggs", ",flags"} {
		s.put("")
		s.put(e)
		s.put("  old & new1 #c")
		s.put("  n>r[ & wide1 #e")
	}
	res, ed := hardBook(t, nil, s.ends(1))
	heads := wantHeadings(t, res, ed, names)
	if heads[",boats"] || heads[",flags"] {
		t.Errorf("an entry of the index is a heading\n%s", ed)
	}
}

// Groups of poems whose names look as the poems' do: the contents list puts these further in. (Levels of entries: BANA, Braille
// Formats 2016, section 2; common practice.)
func TestLevelsOfTheContentsList(t *testing.T) {
	groups := []string{",morn+", ",ev5+", ",w9t]"}
	poems := []string{",! ,boats", ",b[s & ,oars", ",! ,mill", ",h>ve/", ",a ,lant]n", ",snow", ",! ,old ,f]ry", ",m>ket ,\"d", ",! ,road"}
	s := hardVolume(1, 1)
	s.centre(",3t5ts")
	s.put("")
	for g, name := range groups {
		s.put(name + " \"\"\"\"\"\" #" + string("bdf"[g]))
		for _, p := range poems[3*g : 3*g+3] {
			s.put("  " + p + " \"\"\"\"\"\" #" + string("bdf"[g]))
		}
	}
	s.turn()
	for g, name := range groups {
		s.put("")
		s.centre(name)
		for _, p := range poems[3*g : 3*g+3] {
			s.keep(6)
			s.chapter(p, 2)
		}
		s.turn()
	}
	res, ed := hardBook(t, nil, s.ends(1))
	levels := map[string]uint8{}
	for i := range res.Book.Blocks {
		if bl := &res.Book.Blocks[i]; bl.Kind == book.Heading {
			levels[strings.TrimSpace(blockLine(res.Book, bl))] = bl.Level
		}
	}
	for i, p := range poems {
		if g := levels[groups[i/3]]; g != 1 || levels[p] != 2 {
			t.Errorf("%q has level %d under %d\n%s", p, levels[p], g, ed)
		}
	}
}
