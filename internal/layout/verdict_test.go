package layout

import "testing"

// TestVerdict: what is decided from the evidence alone, without a book.
func TestVerdict(t *testing.T) {
	line := func(like int, of edgeLine) *edgeLine {
		of.norm, of.like, of.centred, of.middle = "! l;g f]ry", like, true, true
		return &of
	}
	top, beside, foot := edgeLine{top: true, first: true}, edgeLine{top: true, number: true, first: true}, edgeLine{first: true}
	numberedFoot := edgeLine{number: true, first: true}
	for _, c := range []struct {
		s    evidence
		head bool
		why  string
	}{
		// The title or a heading stands at the head of pages beside the page number (UK page
		// information line; BANA Braille Formats 2016, 1.8).
		{evidence{edgeLine: line(9, beside), pages: 20, numbered: 15}, true, "on many pages"},
		// The last entry of a contents list on its page runs over (BANA, Braille Formats 2016, section 2).
		{evidence{edgeLine: line(1, foot), pages: 20, footPlace: true, footed: true, byItself: true, last: true, guided: true}, false, "an entry of a contents list"},
		{evidence{edgeLine: line(1, foot), pages: 20, footPlace: true, footed: true, byItself: true, last: true}, true, "where nearly all pages have heads"},
		// Nothing else says the same: it may be the heading itself.
		{evidence{edgeLine: line(1, beside), pages: 20, numbered: 15}, false, "it is like no other"},
		// The heading of a list stands on each of its pages (common practice).
		{evidence{edgeLine: line(1, beside), pages: 20, onceOnly: true, follows: true}, true, "the heading of a list before it, which goes on"},
		{evidence{edgeLine: line(1, beside), pages: 20, onceOnly: true}, false, "it is like no other"},
		{evidence{edgeLine: line(1, beside), pages: 20, follows: true}, false, "it is like no other"},
		// A refrain stands beside the number at the foot of some pages (BANA, Braille Formats 2016, section 13): the heads of line 1
		// tell nothing of it.
		{evidence{edgeLine: line(6, edgeLine{number: true, inner: 90}), pages: 50, forHeads: true}, false, "comes again within pages"},
		// A heading that begins a new page comes again too (BRL session 4).
		{evidence{edgeLine: line(9, beside), pages: 20, numbered: 15, newPage: true}, false, "begins a new page"},
		// No page begins where a sentence goes on, or with the head that the volume before ends with.
		{evidence{edgeLine: line(2, edgeLine{top: true, number: true, opener: true}), pages: 20}, false, "begins a new page"},
		{evidence{edgeLine: line(2, edgeLine{top: true, number: true, opener: true}), pages: 20, headed: true, goesOnFrom: true}, true, "the head that the volume before ends with"},
		{evidence{edgeLine: line(2, edgeLine{top: true, number: true, opener: true}), pages: 20, headed: true, byItself: true, within: true}, true, "within a sentence"},
		// The title on the last line of pages whose like few have, in small volumes (common practice).
		{evidence{edgeLine: line(2, foot), pages: 6, isTitle: true, last: true, byItself: true}, true, "the title, where it heads other pages too"},
		{evidence{edgeLine: line(1, foot), pages: 6, isTitle: true, last: true, byItself: true}, false, "it is like no other"},
		// Over the last page's "the end" the title is a head.
		{evidence{edgeLine: line(1, edgeLine{top: true, bare: 1, first: true, more: true}), pages: 20}, false, "a heading whose first words stand beside numbers"},
		{evidence{edgeLine: line(1, edgeLine{top: true, bare: 1, more: true}), pages: 20, isTitle: true, begun: 2, bareTops: true, follows: true}, true, "the heading before it"},
		// Text shares line 1 with the number (BRL session 4), but none stands between two.
		{evidence{edgeLine: line(1, beside), pages: 20, onlyHeads: true, between: true}, true, "between two numbers"},
		{evidence{edgeLine: line(1, beside), pages: 20, onlyHeads: true}, false, "it is like no other"},
		// The page information line names the section (UK common practice).
		{evidence{edgeLine: line(1, beside), pages: 20, headed: true, byItself: true, follows: true}, true, "the heading before it"},
		{evidence{edgeLine: line(1, top), pages: 20, bareTops: true, follows: true}, true, "the heading before it"},
		{evidence{edgeLine: line(1, top), pages: 20, follows: true}, false, "the first of its kind"},
		// The head of a chapter, once, in the middle of a sentence that goes on from a full page (UK common practice).
		{evidence{edgeLine: line(1, top), pages: 20, mid: true, fromFull: true, follows: true}, true, "the heading before it"},
		{evidence{edgeLine: line(1, top), pages: 20, mid: true, follows: true}, false, "the first of its kind"},
		// Few pages of the volume have heads, and text goes on under it from a full page.
		{evidence{edgeLine: line(1, top), pages: 20, running: true, byItself: true, goesOn: true, follows: true}, true, "the heading before it"},
		{evidence{edgeLine: line(1, top), pages: 20, running: true, byItself: true, follows: true}, false, "the first of its kind"},
		// A page number is missing beside one of the heads that all others have (common practice).
		{evidence{edgeLine: line(9, edgeLine{top: true, bare: 1}), pages: 20, forHeads: true, begun: 2}, true, "its like have numbers"},
		{evidence{edgeLine: line(9, edgeLine{top: true, bare: 1}), pages: 20, forHeads: true, begun: 1}, true, "on a quarter of the pages"},
		// Over the notes, which have no print page, the head stands without a number (BANA, Braille Formats 2016, 1.11.6).
		{evidence{edgeLine: line(1, top), pages: 20, headed: true, overNotes: true, follows: true}, true, "the heading before it"},
		{evidence{edgeLine: line(1, top), pages: 20, headed: true, overNotes: true}, false, "the first of its kind"},
		// Line 1 of left-hand pages is for text (W3C w3c-wai-hc 1997, 0336): the second
		// "Summary" of a book stands there, not the head of the first.
		{evidence{edgeLine: line(1, top), pages: 20, forHeads: true, follows: true}, true, "the heading before it"},
		{evidence{edgeLine: line(1, top), pages: 20, forHeads: true, follows: true, freeSide: true}, false, "the first of its kind"},
		// There a head is told that says the heading before it without its capitals, as heads are written (RUEB 2.3.1).
		{evidence{edgeLine: line(1, top), pages: 20, plain: true, follows: true, freeSide: true}, true, "as heads are written, or goes on from the volume before"},
		{evidence{edgeLine: line(1, top), pages: 20, plain: true, freeSide: true}, false, "the first of its kind"},
		// A long title stands in the head as far as there is room, on the first page of the
		// text too (common practice); no title or heading breaks off within a word.
		{evidence{edgeLine: line(9, top), pages: 20, titleCut: true, opensText: true, isTitle: true}, true, "the title, cut within a word"},
		// A short form of a section's heading stands in the page information line (UK common
		// practice); where line 1 is for heads, what the text says further on is no heading there.
		{evidence{edgeLine: line(1, beside), pages: 20, forHeads: true, said: true}, true, "words of the text where heads are"},
		{evidence{edgeLine: line(1, beside), pages: 20, headed: true, said: true}, false, "it is like no other"},
		{evidence{edgeLine: line(1, beside), pages: 20, headed: true, newPage: true, saidUnder: true, byItself: true}, true, "words of the text where heads are"},
		{evidence{edgeLine: line(1, beside), pages: 20, headed: true, newPage: true, saidUnder: true}, false, "it is like no other"},
		{evidence{edgeLine: line(1, beside), pages: 20, headed: true, newPage: true, begun: 1, within: true, byItself: true}, true, "within a sentence"},
		// Where text shares line 1, a runover of verse may stand there, at its own indent.
		{evidence{edgeLine: line(1, beside), pages: 20, headed: true, within: true, byItself: true}, false, "it is like no other"},
		{evidence{edgeLine: line(1, beside), pages: 20, headed: true, begun: 1, within: true}, false, "it is like no other"},
		{evidence{edgeLine: line(1, beside), pages: 20, onlyHeads: true, between: true, newPage: true}, true, "between two numbers"},
		{evidence{edgeLine: line(1, beside), pages: 20, everyPage: true, fullBefore: true, begun: 2}, true, "after a full page, where every page has a head"},
		{evidence{edgeLine: line(1, beside), pages: 20, everyPage: true, begun: 2}, false, "it is like no other"},
		{evidence{edgeLine: line(1, foot), pages: 20, footed: true, last: true, said: true}, false, "it is like no other"},
		// Last lines of odd pages carry the section's title beside the number, those of even pages
		// text (UK practice, seen in a published rule book).
		{evidence{edgeLine: line(1, numberedFoot), pages: 20, footPlace: true, byItself: true, last: true, said: true}, true, "words of the text, or the heading before it, where nearly all pages have heads"},
		{evidence{edgeLine: line(1, numberedFoot), pages: 20, footPlace: true, byItself: true, last: true}, false, "it is like no other"},
		{evidence{edgeLine: line(1, numberedFoot), pages: 20, footPlace: true, last: true, said: true}, false, "it is like no other"},
		{evidence{edgeLine: line(1, numberedFoot), pages: 20, footPlace: true, footed: true, byItself: true, last: true, itemRest: true}, false, "the rest of an item"},
		{evidence{edgeLine: line(1, numberedFoot), pages: 20, footPlace: true, apart: true, last: true, itemRest: true}, true, "where nearly all pages have heads"},
		// A heading in cell 5 shares line 1 with the page number, and the heads of its pages stand in the middle
		// (BANA, Braille Formats 2016, 4.4; BRL session 4).
		{evidence{edgeLine: &edgeLine{norm: "psalm #dj", like: 7, mids: 6, top: true, number: true, first: true, text: Span{4, 13}, centred: true}, pages: 20, numbered: 15, known: true}, false, "the first of its words, where headings begin, and heads stand in the middle"},
		{evidence{edgeLine: &edgeLine{norm: "psalm #dj", like: 7, mids: 6, top: true, number: true, first: true, text: Span{5, 14}, centred: true}, pages: 20, numbered: 15, known: true}, true, "on many pages"},
		// The number of the next part is a heading, however often its like stands there.
		{evidence{edgeLine: line(3, top), pages: 20, bareTops: true, next: true}, false, "the next number of its kind"},
		// A heading begins a new page, whatever the sentence before it ends in, and is said again at the foot of
		// the next pages (UK practice: the section's title; common practice).
		{evidence{edgeLine: line(1, top), pages: 20, running: true, begun: 2, within: true}, true, "within a sentence"},
		{evidence{edgeLine: line(1, top), pages: 20, running: true, begun: 2, within: true, afterRoom: true}, false, "the first of its kind"},
		// A sentence of verse goes on from a full page: no page before it has running text.
		{evidence{edgeLine: line(9, top), pages: 20, known: true, forHeads: true, opensText: true, isTitle: true, firstNumbered: true, within: true}, false, "opens the text"},
		{evidence{edgeLine: line(9, top), pages: 20, known: true, forHeads: true, opensText: true, isTitle: true, firstNumbered: true, within: true, fromFull: true}, true, "within a sentence"},
		// On its first page the text has the title in place of its head (BANA Braille Formats
		// 2016, 1.8).
		{evidence{edgeLine: line(9, top), pages: 20, known: true, opensText: true, isTitle: true}, false, "opens the text"},
		{evidence{edgeLine: line(9, top), pages: 20, known: true}, true, "on a quarter of the pages"},
		// The chapter goes on from the volume before (common practice).
		{evidence{edgeLine: line(1, beside), pages: 20, goesOnFrom: true, endsBefore: true}, true, "the head that the volume before ends with"},
		{evidence{edgeLine: line(1, beside), pages: 20, goesOnFrom: true}, false, "it is like no other"},
		// The section's title at the foot of two pages beside their numbers (UK practice).
		{evidence{edgeLine: line(2, numberedFoot), pages: 20, byItself: true, last: true, follows: true}, true, "the heading before it on two pages, or its words, beside the number"},
		{evidence{edgeLine: line(2, numberedFoot), pages: 20, byItself: true, last: true}, false, "it is like no other"},
		// No heading is left at the foot of a page (common practice); a line of verse may be.
		{evidence{edgeLine: line(2, foot), pages: 20, footed: true, last: true, follows: true}, true, "a heading's words, or the heading before it"},
		{evidence{edgeLine: line(2, foot), pages: 20, last: true, follows: true}, false, "it is like no other"},
	} {
		c.s.cells = 8
		if r := c.s.verdict(); r.sure > 0 != c.head || r.why != c.why {
			t.Errorf("top %v, number %v: head %v (%s), want %v (%s)", c.s.top, c.s.number, r.sure > 0, r.why, c.head, c.why)
		}
	}
}

// TestFootHeadsOfOtherPages: the words of a heading that heads repeat on other pages of the title are the head
// of its part on a last line, where few pages of a volume have heads or the page is shorter than the paper (UK
// practice: the section's title; pages of other heights are counted over public files). Elsewhere on a
// short page they are text, and so are words that no head says.
func TestFootHeadsOfOtherPages(t *testing.T) {
	line := &edgeLine{norm: "! l;g f]ry", like: 1, centred: true, middle: true, first: true}
	for _, c := range []struct {
		s    evidence
		head bool
	}{
		{evidence{last: true, running: true, exact: true, byItself: true, follows: true}, true},
		{evidence{footed: true, running: true, exact: true, byItself: true, follows: true}, true},
		{evidence{running: true, exact: true, byItself: true, follows: true}, false},
		{evidence{last: true, exact: true, byItself: true, follows: true}, false},
		{evidence{last: true, running: true, exact: true, byItself: true}, false},
		{evidence{last: true, running: true, exact: true, follows: true}, false},
	} {
		c.s.edgeLine, c.s.pages, c.s.cells = line, 20, 8
		if r := c.s.verdict(); r.sure > 0 != c.head {
			t.Errorf("last %v, footed %v, running %v, follows %v, by itself %v: head %v (%s)", c.s.last, c.s.footed, c.s.running, c.s.follows, c.s.byItself, r.sure > 0, r.why)
		}
	}
}

// TestTitleAboveTheTextWithoutItsLike: on its first page the text has the title in place of a head (BANA, Braille
// Formats 2016, 1.8), over a heading, where the heads of the other pages name sections. No heading but the
// title page is before it.
func TestTitleAboveTheTextWithoutItsLike(t *testing.T) {
	line := func(like int) *edgeLine {
		return &edgeLine{norm: "! l;g f]ry", top: true, like: like, bare: 1, centred: true, middle: true, first: true}
	}
	title := evidence{isTitle: true, forHeads: true, follows: true, firstNumbered: true, opensText: true}
	later, head, other := title, title, title
	later.begun, later.firstNumbered = 2, false
	head.running = true
	other.isTitle = false
	for _, c := range []struct {
		s    evidence
		like int
		head bool
	}{{title, 1, false}, {title, 5, true}, {later, 1, true}, {head, 1, true}, {other, 1, true}} {
		c.s.edgeLine, c.s.pages, c.s.cells = line(c.like), 20, 8
		if r := c.s.verdict(); r.sure > 0 != c.head {
			t.Errorf("like %d, begun %d, running %v, title %v: head %v (%s)", c.like, c.s.begun, c.s.running, c.s.isTitle, r.sure > 0, r.why)
		}
	}
}

// TestItemGoesOnOverThePage: heads stand beside the page numbers at the foot. The last line of one page is the
// runover of an item, in the middle by chance; another item of the page runs over at that cell, and so does the
// next page (exercises: BANA Braille Formats 2016, section 10; page information at the foot: UK practice).
func TestItemGoesOnOverThePage(t *testing.T) {
	s := newSheet(14, 38, 25)
	for p := range s.pages {
		s.pages[p][24] = s.corner(s.centre(",! wat] mill"), num(p+1))
	}
	items := []string{"  a4 " + s.line(32), "    asks ag8", "  ;b4 " + s.line(30), "  ;c4 " + s.line(31)}
	copy(s.pages[6][20:], items)
	s.pages[6][24] = s.corner("    acr ! wat]1 & :y did nobody", num(7))
	s.pages[7][0] = "    ask8"
	v := surveyAll(t, s)[0]
	last := v.Pages[6].Last - 1
	if l := &v.Lines[last]; l.Role != Text || string(v.TextOf(last)) != "acr ! wat]1 & :y did nobody" {
		t.Errorf("the rest of the item is %s, %q", l.Role, v.TextOf(last))
	}
	if l := &v.Lines[v.Pages[5].Last-1]; l.Role != Head {
		t.Errorf("the head is %s", l.Role)
	}
}

// TestHeadingOfTwoLinesBesideTheNumber: parts begin pages with headings of two lines, the first of them beside the
// page number; the heads of the pages after them say both (BANA, Braille Formats 2016, 1.7: the running head
// stands on line 1, and a heading there on the first page of its part).
func TestHeadingOfTwoLinesBesideTheNumber(t *testing.T) {
	s := newSheet(16, 38, 25)
	for p := range s.pages {
		part := ",app5dix ;," + string(rune('a'+p/4))
		if p%4 > 0 {
			s.pages[p][0] = s.corner(s.centre(part+" ,dates"), num(p+1))
			continue
		}
		s.pages[p][0] = s.corner(s.centre(part), num(p+1))
		s.pages[p][1], s.pages[p][2] = s.centre(",dates"), ""
	}
	v := surveyAll(t, s)[0]
	for p := range s.pages {
		want := Head
		if p%4 == 0 {
			want = Text
		}
		if got := v.Lines[v.Pages[p].First].Role; got != want {
			t.Errorf("page %d: line 1 is %s, want %s", p+1, got, want)
		}
	}
}

// TestEntryLine: guide dots tell an entry of a contents list (BANA, Braille Formats 2016, section 2; BRL session 4).
func TestEntryLine(t *testing.T) {
	for text, want := range map[string]bool{"letter \"\"\"\"\" #eb": true, "letter 333333 #aj": true, "letter \"\"\"\"": true, "the second letter": false, "333333": false, "chapter #ab": false} {
		if got := entryLine(text); got != want {
			t.Errorf("%q: %v", text, got)
		}
	}
}
