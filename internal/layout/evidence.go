package layout

import (
	"strings"

	"continuo/internal/cell"
	"continuo/internal/english"
)

// evidence is what tells of a line at the top or the foot of a page whether it is a head,
// gathered in one place.
type evidence struct {
	*edgeLine // its place on the page, its like

	// Its volume and title.
	pages         int  // of the volume
	numbered      int  // of these, with a number on line 1
	headed        bool // heads that are alike stand beside numbers on line 1
	reserved      bool // line 1 holds nothing but heads and numbers
	forHeads      bool // both
	everyPage     bool // heads stand on line 1 of all its pages
	titleReserved bool // most pages of the title are in volumes whose line 1 does
	onlyHeads     bool // what stands between two numbers are heads
	bareTops      bool // heads without a number stand at the top of pages
	halfBare      bool // of half of the pages
	footed        bool // heads stand at the foot of pages
	marginHead    bool // heads stand at the margin beside numbers, and it does, with the title's words, a heading's or those of another
	freeSide      bool // on a page of the side whose line 1 is for text
	footPlace     bool // of nearly all left-hand pages, or right-hand ones, as this is

	// What it says.
	cells       int
	known       bool // a heading or title of the book
	exact       bool // the very words of a heading
	apart       bool // of one that is set apart
	footHeading bool // of one that is, or where the line itself is
	footForm    bool // a heading or the first words of one, with slips
	said        bool // its words begin something in the text, here or before
	saidUnder   bool // under it on its page
	running     bool // a running head of the title
	onceOnly    bool // the name of a list that a book has once, such as the index, over what goes on from a full page
	plain       bool // a heading without its capitals, as heads are written here
	isTitle     bool // the first line of a title page
	listedHere  bool // a contents list has the words twice, once with the number beside the line
	opensNamed  bool // the first of its words, set apart, and an entry of the contents list
	guided      bool // guide dots and a number at its end
	structural  bool // a rule, or a structure word such as the heading of contents

	// Where it stands.
	onFirstPage bool // that with the title
	between     bool // in the middle, between two numbers: no text stands there
	byItself    bool // at no level of the text and in no run of lines
	last        bool // beside a number or on the last line of the paper
	entry       bool // at the foot of a list of entries, none of the guide words
	headsNext   bool // with the line in the middle under it, what the head of the next page says
	itemRest    bool // at the foot, where an item runs over as others on its page do, and goes on over the page

	// What stands around it; follows, over, next and columns are had by around.
	ask            func() // finds them, nil when that was done
	follows        bool   // the last heading before it says the same
	over           bool   // its own heading or the title stands under it, or the next part's, or its part goes on
	overNext       bool   // the heading of the next part, or its own, stands under it
	namesBoth      bool   // the author's name and the title stand one behind the other
	sameUnder      bool   // its own words, alone or behind a number, stand right under it
	overNotes      bool   // the heading of notes stands right under it
	next           bool   // it names the part after the one before it, and has no heading under it
	mid            bool   // in a book with capitals, text goes on under it without one
	within         bool   // a sentence goes on from the page before to the text under it
	amid           bool   // at the top without a number, the same words stand within a sentence on a page before
	afterRoom      bool   // but the page before it has room, and a blank line stands under it
	fromFull       bool   // and the page before it is full
	parts          bool   // at the foot, a sentence goes on from above it to the next page
	closesSentence bool   // it ends a sentence itself
	marginUnder    bool   // running text stands at the margin under it
	goesOnUnder    bool   // and a part goes on from the volume before
	goesOnFrom     bool   // the first of its words, and those of the last running heads of the volume before, or of its last heading
	endsBefore     bool   // the very words of the last running head of the volume before
	fullBefore     bool   // heads stand on every page, and the page before it is full
	newPage        bool   // a blank line stands under it, where heads share line 1 with text
	columns        bool   // columns of a table stand under it
	goesOn         bool   // text stands right under it, at an indent of text, and the page before is full
	offOrder       bool   // and it names a part that is not the next

	// Where in its volume it stands.
	begun         int  // pages of text before it, two at most
	textBefore    bool // numbers tell that the text has begun
	firstNumbered bool // its page is the first with a plain number
	opensText     bool // it can be the title above the text
	titleCut      bool // the title as far as there is room, cut within a word
	titleHead     bool // the title as a running head, on a page where it lacks its like
	titleAgain    bool // the title, as titles are written, above the text, and over no sentence before
	titleOff      bool // the title above the text, set off from it or at another cell than the heads
	prelimTitle   bool // in the middle of a preliminary page's first line, the title, as heads write it or its first words
	titleGoesOn   bool // the title, over two lines
	titlePage     bool // the title on a title page with a number
	halfTitle     bool // a title of two lines shortened
	innerTitle    bool // the title of a second work
	titleBegins   bool // like it or its first words, within the text
	shownBefore   bool // the title, and one of three pages before is full of verse or has the title over text
}

// evidenceOf gathers the evidence of an edge line. What a line neither in the middle nor on three
// pages stands among does not matter: no rule asks for it.
func (v *Volume) evidenceOf(e *edgeLine, hb *headbook) *evidence {
	s := &evidence{edgeLine: e, pages: len(v.Pages), cells: cell.Marks([]byte(e.norm)), onFirstPage: v.firstPage(e.page)}
	s.guided = entryLine(e.norm)
	_, turn := MarkLabel(v.spanOf(e)) // beside the number, where text shares its line
	s.structural = s.guided || turn || e.norm == "" || oneCell(e.norm) || v.structural(e)
	s.marginHead = v.marginHead(e, hb)
	if s.structural || !e.centred && e.like < 3 && !s.marginHead {
		return s
	}
	v.houseSigns(s, hb)
	v.wordSigns(s, hb)
	v.textSigns(s, hb)
	if s.newPage = v.newPageHeading(s.edgeLine, hb); s.newPage {
		s.overNext = v.overNext(s.edgeLine)
	}
	s.ask = func() { v.neighbourSigns(s, hb) }
	v.titleSigns(s, hb)
	return s
}

// houseSigns are those of the volume and the title, and the line's place in them.
func (v *Volume) houseSigns(s *evidence, hb *headbook) {
	l := &v.Lines[s.line]
	s.numbered, s.headed, s.reserved, s.titleReserved = v.numbered, v.headed, v.Reserved, hb.reserved
	s.forHeads, s.everyPage = v.Reserved && v.headed, v.everyPage
	s.onlyHeads = hb.running.onlyHeads()
	s.bareTops, s.halfBare = v.bareTops(hb), v.bareHeads*2 >= s.pages
	s.footed, s.footPlace = hb.footed(), v.footPlace[s.page%2]
	s.freeSide = v.freeSide[s.page%2]
	s.between = s.middle && l.Left.To > 0 && l.Right.To > 0
	s.byItself = v.byItself(s.edgeLine)
	s.last = s.number || v.lastLine(s.edgeLine)
	s.entry = v.guides != nil && !v.guides[s.line] && !s.number && s.like < 2 && !hb.running.title.form(s.norm)
	s.headsNext = s.top && s.number && s.middle && v.headsNext(s.edgeLine)
	s.itemRest = !s.top && s.middle && s.like < 2 && v.itemRest(s.edgeLine)
}

// wordSigns are those of what the line says.
func (v *Volume) wordSigns(s *evidence, hb *headbook) {
	s.known = hb.likeHeading(s.norm, s.number) || s.kin != "" && hb.likeHeading(s.kin, s.number)
	s.namesBoth = s.like >= 2 && s.middle && hb.namesBoth(s.norm)
	s.exact, s.apart = hb.inner.exact[s.norm], hb.apart[s.norm]
	s.running, s.isTitle = hb.running.has(s.norm), hb.isTitle(s.norm)
	s.said = s.cells >= 3 && (v.saidWithin(s.edgeLine, 60) || s.footPlace && !s.top && v.saidAtTop(s.edgeLine))
	s.saidUnder = (s.cells >= 8 || s.cells >= 3 && strings.IndexByte(s.norm, cell.Blank) > 0) && s.top && v.saidWithin(s.edgeLine, 0) // text begins with a short word by chance
	s.plain = v.plainHead(s.edgeLine, hb)
	s.onceOnly = s.exact && s.like < 3 && s.top && s.number && v.onceOnly(s.norm) && !v.unfilled(s.page-1, v.onlyNumbers)
	s.listedHere, s.opensNamed = v.listedHere(s.edgeLine, hb), v.namedOpening(s.edgeLine, hb)
	if !s.top {
		s.footHeading, s.footForm = v.footHeading(s.edgeLine, hb), v.footForm(s.edgeLine, hb)
	}
}

// onceOnly reports whether words name a list that a book has once.
func (v *Volume) onceOnly(norm string) bool {
	p, ok := v.Words.Lookup([]byte(norm))
	return ok && (p.ID == english.Index || p.ID == english.Glossary || p.ID == english.Bibliography || p.ID == english.Abbreviations)
}

// textSigns are those of where the text begins and goes on.
func (v *Volume) textSigns(s *evidence, hb *headbook) {
	s.begun, s.textBefore, s.firstNumbered = v.begun(s.page), v.textBefore(s.page), v.firstNumbered(s.page)
	s.opensText = v.opensText(s.edgeLine)
	s.mid = hb.running.capitals() && v.midSentence(s.edgeLine)
	s.within = v.withinSentence(s.edgeLine, hb)
	s.amid = v.amid[s.norm]
	if s.within && s.top && !s.number {
		s.fromFull = !v.unfilled(s.page-1, v.noText)
		s.afterRoom = !s.fromFull && int(s.line)+1 < len(v.Lines) && v.Lines[s.line+1].Role == Empty
	}
	s.parts = hb.running.capitals() && v.partsSentence(s.edgeLine)
	s.closesSentence = v.closesSentence(s.edgeLine)
	s.marginUnder = v.marginUnder(s.edgeLine)
	s.fullBefore = v.everyPage && s.top && !v.unfilled(s.page-1, v.onlyNumbers)
	s.goesOnUnder, s.goesOnFrom = v.goesOnUnder(s.edgeLine, hb), v.goesOnFromBefore(s.edgeLine, hb)
	s.endsBefore = s.norm != "" && s.norm == hb.headBefore[v]
}

// noText reports whether a line holds page numbers alone, or is a head already told.
func (v *Volume) noText(i int32) bool { return v.Lines[i].Role == Head || v.onlyNumbers(i) }

// around is the evidence with the signs of the headings before and under the line, which
// take most of the time and are looked for when a rule first asks for one.
func (s *evidence) around() *evidence {
	if s.ask != nil {
		s.ask()
		s.ask = nil
	}
	return s
}

// neighbourSigns are those of the headings before and under the line.
func (v *Volume) neighbourSigns(s *evidence, hb *headbook) {
	own := v.overHeading(s.edgeLine, hb)
	s.sameUnder = v.sameUnder(s.edgeLine)
	s.overNext = v.overNext(s.edgeLine)
	s.over = own || s.overNext || v.overLater(s.edgeLine, hb) || v.titleLater(s.edgeLine, hb)
	s.next = s.top && (s.like >= 2 || s.number) && !own && !s.overNext && v.nextNumber(s.edgeLine, hb) // asked of no others
	s.follows = s.middle && v.followsHeading(s.edgeLine, hb)
	s.columns, s.overNotes = v.overColumns(s.edgeLine), s.headed && v.overNotes(s.edgeLine)
	next := s.line + 1
	s.goesOn = s.top && next < v.Pages[s.page].Last && v.Lines[next].Role == Text && v.atLevel(next) && !v.unfilled(s.page-1, v.onlyNumbers)
	if p, ok := v.partNumber([]byte(s.norm)); ok && s.goesOn {
		s.offOrder = p.N > 0 && !s.next && !s.overNext
	}
}

// overNotes reports whether the heading of notes stands right under a line at the top of a page.
func (v *Volume) overNotes(e *edgeLine) bool {
	next := e.line + 1
	if !e.top || next >= v.Pages[e.page].Last || v.Lines[next].Role != Text || !v.Centred(next) {
		return false
	}
	p, ok := v.Words.Lookup(v.TextOf(next))
	return ok && headsNotes(p)
}

// titleOver reports whether a page with a plain braille page number begins with the title over other text, further down
// than heads stand: the text of the volume.
func (v *Volume) titleOver(p int, hb *headbook) bool {
	pg := &v.Pages[p]
	if b := pg.Braille; b == nil || b.Roman || b.Prefix != "" || pg.Top <= pg.First {
		return false
	}
	next := v.below(pg.Top)
	return next >= 0 && !v.Centred(next) && v.Centred(pg.Top) && hb.isTitle(Normal(v.TextOf(pg.Top)))
}

// titleSigns are those of the title at the start of the text and in preliminary matter.
func (v *Volume) titleSigns(s *evidence, hb *headbook) {
	form := hb.running.title.form(s.norm)
	s.titleOff = (s.isTitle || form) && (s.firstNumbered && v.overRow(s.edgeLine) || s.aside && s.begun == 0 && s.opensText)
	s.titleGoesOn, s.titlePage = v.titleGoesOn(s.edgeLine, hb), v.onTitlePage(s.edgeLine, hb)
	s.titleBegins = s.forHeads && !s.known && s.begun > 0 && !s.opensText && (form || hb.running.title.begins(s.norm))
	s.prelimTitle = s.middle && s.top && !s.onFirstPage && s.begun == 0 && (s.isTitle || form || hb.running.title.begins(s.norm)) && v.prelimPage(s.edgeLine)
	s.titleCut = hb.running.title.cutWithin(s.norm)
	s.halfTitle, s.innerTitle = v.halfTitle(s.edgeLine, hb), !form && v.innerTitle(s.edgeLine)
	if !form && s.middle && s.top && !s.onFirstPage && v.prelimPage(s.edgeLine) && hb.running.title.begins(s.norm) {
		s.titleHead = true // with a slip
	}
	if !form || !s.running || !s.middle || s.onFirstPage {
		return
	}
	for p := s.page - 1; p >= max(0, s.page-3) && !s.shownBefore; p-- {
		s.shownBefore = v.fullOfVerse(p) || v.titleOver(p, hb)
	}
	written := hb.running.written(string(v.spanOf(s.edgeLine)))
	s.titleHead = written > 0 || s.forHeads && s.begun > 1 && !s.opensText || v.prelimPage(s.edgeLine)
	s.titleAgain = written < 0 && !s.textBefore && s.opensText && !v.amid[s.norm]
}
