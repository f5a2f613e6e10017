package layout

import (
	"strings"

	"continuo/internal/cell"
)

// This file decides from the signs of a line at the top or the foot of a page whether it is
// a head. The first line of its kind stays when nothing else in the book says the same: it
// may be the heading itself.

// rule is a reason for which a line is a head, with how sure that is, or, with 0, for which
// it is text.
type rule struct {
	why   string
	sure  float64
	holds func(s *evidence) bool
}

// verdict is the first rule that holds: of those for any line, then of those for its place.
func (s *evidence) verdict() rule {
	place := topAlone
	switch {
	case !s.top:
		place = atFoot
	case s.number:
		place = besideNumber
	}
	for _, rules := range [][]rule{anyPlace, place} {
		for _, r := range rules {
			if r.holds(s) {
				return r
			}
		}
	}
	return rule{why: "it is like no other"}
}

// anyPlace are the reasons for a line wherever it stands, most of them for which it is no head.
var anyPlace = []rule{
	{"an entry of a contents list", 0, func(s *evidence) bool { return s.guided }},
	{"a rule, a print page turn, or the heading of a list", 0, func(s *evidence) bool { return s.structural }},
	{"too short, or on the title page", 0, func(s *evidence) bool { // one short word of a heading heads its pages
		return !s.number && (s.onFirstPage || s.cells < 3 && !(s.middle && s.like >= 3 && (s.mid || s.around().follows)))
	}},
	{"the author's name and the title", 0.95, func(s *evidence) bool { return s.namesBoth }},
	{"the first line of a heading that the next head says whole", 0, func(s *evidence) bool { return s.headsNext }},
	{"the title on two preliminary pages, or beside a number as far as there is room", 0.9, func(s *evidence) bool {
		return s.prelimTitle && (s.like >= 2 || s.number && !s.isTitle) && !s.titlePage && !s.titleGoesOn && !s.halfTitle
	}},
	{"begins a new page", 0, func(s *evidence) bool {
		return s.opener && !s.plain && !s.around().overNext && !(s.number && (s.said || s.saidUnder || s.within || s.goesOnFrom)) || s.newPage && !s.overNext && !s.within && !s.saidUnder && !(s.between && s.onlyHeads) && !(s.number && s.headed && (s.around().over || s.around().follows))
	}},
	{"the contents list has it twice, once with this page", 0, func(s *evidence) bool { return s.listedHere && !s.around().over }},
	{"the chapter that the contents list names begins with it", 0, (*evidence).opensChapter},
	{"the title, over two lines or on a title page", 0, func(s *evidence) bool { return s.titleGoesOn || s.titlePage }},
	{"ends a sentence at the margin", 0, func(s *evidence) bool { return s.closesSentence }},
	{"comes again within pages", 0, func(s *evidence) bool { return s.recurs() && !(s.number && (s.top && s.forHeads || s.footed)) }},
	{"at the margin, as the heads", 0.95, func(s *evidence) bool { return s.marginHead }},
}

// besideNumber are the reasons for a line at the top of a page beside a page number.
var besideNumber = []rule{
	{"signs of a scene break", 0, func(s *evidence) bool { return s.like < 3 && (oneCell(s.norm) || s.norm == "99") }}, // an asterisk of the older codes
	{"the title, and the pages have other heads", 0, func(s *evidence) bool {
		return s.like < 2 && s.isTitle && s.firstNumbered && s.opensText && !s.running && !s.plain
	}},
	{"the title, cut within a word", 0.9, func(s *evidence) bool { return s.titleCut && s.like >= 3 }},
	{"the title over text after a full page", 0.85, func(s *evidence) bool { // no title begins where the text goes on
		return s.middle && s.isTitle && s.running && s.forHeads && s.like >= 3 && s.around().goesOn
	}},
	{"the title where its like lacks", 0.85, func(s *evidence) bool { return s.titleHead }},
	{"a sentence goes on under a head", 0.9, func(s *evidence) bool { return s.middle && s.mid && (s.like >= 2 || s.running) && s.forHeads }},
	{"a sentence goes on under a heading's words", 0.9, func(s *evidence) bool { return s.middle && s.mid && s.headed && s.exact }},
	{"the heading before it, within a sentence", 0.9, func(s *evidence) bool {
		return s.middle && s.reserved && s.exact && s.within && s.around().follows
	}},
	{"the first of its words, where headings begin, and heads stand in the middle", 0, func(s *evidence) bool { // the margin, cell 5 or cell 7 (BANA, Braille Formats 2016, 4.4)
		return s.first && !s.middle && (s.text.From == 0 || s.text.From == 4 || s.text.From == 6) && s.mids >= 3 && s.mids+1 == s.like && !s.within
	}},
	{"between two numbers", 0.9, func(s *evidence) bool { return s.between && (s.forHeads || s.running || s.onlyHeads) }},
	{"on many pages", 0.99, func(s *evidence) bool {
		return s.like >= 3 && (s.centred || s.like*5 >= s.pages && s.like*2 >= s.numbered) &&
			(s.known || !s.first || s.like*5 >= s.numbered*3 || s.within || s.endsBefore || s.like >= 5 && s.marginUnder)
	}},
	{"within a sentence", 0.9, func(s *evidence) bool { // on the first page of a volume, a runover of verse may stand in the middle
		return s.middle && s.within && (s.forHeads || s.headed && s.byItself || s.running) && (s.begun > 0 || s.like >= 2 || s.known || s.running)
	}},
	{"on two pages", 0.93, func(s *evidence) bool { // "exercises" may head two pages
		return s.middle && s.like == 2 && (s.known && (s.running || s.reserved || s.titleReserved || s.within || s.around().follows) || !s.first && s.reserved)
	}},
	{"the next number of its kind, which no other head says", 0, func(s *evidence) bool {
		return s.middle && s.known && s.like < 2 && !s.goesOnFrom && s.around().next
	}},
	{"a heading's words where heads are", 0.85, func(s *evidence) bool {
		return s.middle && s.known && (s.forHeads || s.numbered <= 12 && s.titleReserved)
	}},
	{"the heading before it", 0.85, func(s *evidence) bool {
		return s.middle && (s.forHeads || s.headed && (s.byItself || s.like >= 2 || s.exact)) && s.around().follows
	}},
	{"the heading before it, as heads say it elsewhere", 0.85, func(s *evidence) bool {
		return s.middle && s.running && s.byItself && s.around().follows
	}},
	{"a part out of order, over text that goes on, where heads are", 0.85, func(s *evidence) bool { // a slip in its number
		return s.middle && s.byItself && s.forHeads && s.around().offOrder
	}},
	{"the heading of a list before it, which goes on", 0.9, func(s *evidence) bool { return s.middle && s.onceOnly && s.around().follows }},
	{"the head that the volume before ends with", 0.9, func(s *evidence) bool { return s.goesOnFrom && (s.headed || s.endsBefore) }},
	{"over its own heading, or the next", 0.9, func(s *evidence) bool {
		return s.middle && (s.headed || s.bareTops || s.reserved || s.exact && s.saidUnder || s.around().sameUnder) && s.around().over
	}},
	{"as heads are written, or goes on from the volume before", 0.9, func(s *evidence) bool { return s.plain && !s.freeSide || s.goesOnUnder }},
	{"words of the text where heads are", 0.85, func(s *evidence) bool {
		return s.middle && (s.said && s.forHeads || s.saidUnder && s.headed && (s.reserved || s.byItself))
	}},
	{"the first words of the title, with a slip", 0.85, func(s *evidence) bool { return s.middle && s.forHeads && s.titleBegins }},
	{"after a full page, where every page has a head", 0.8, func(s *evidence) bool {
		return s.middle && s.everyPage && s.fullBefore && s.begun > 1 && !s.opensText
	}},
}

// topAlone are the reasons for a line at the top of a page without a number.
var topAlone = []rule{
	{"the title, set off from the text", 0, func(s *evidence) bool { return s.titleOff }},
	{"the title above the text, which no head says", 0, func(s *evidence) bool {
		return s.isTitle && s.like < 2 && !s.running && s.begun == 0 && s.firstNumbered && s.opensText && !s.around().sameUnder
	}},
	{"the title above the text, without the number of its like", 0, func(s *evidence) bool {
		return s.isTitle && s.like >= 3 && s.bare == 1 && s.begun == 0 && !s.firstNumbered && !s.textBefore && s.opensText && !s.shownBefore
	}},
	{"a heading whose first words stand beside numbers", 0, func(s *evidence) bool {
		return s.more && s.bare == 1 && !s.within && !(s.isTitle && s.begun > 0) && !s.around().follows
	}},
	{"heads of columns", 0, func(s *evidence) bool { return s.around().columns }},
	{"the title of a second work", 0, func(s *evidence) bool { return s.innerTitle }},
	{"the title, cut within a word", 0.9, func(s *evidence) bool { return s.titleCut && s.like >= 3 }},
	{"the title where its like lacks", 0.85, func(s *evidence) bool { return s.titleHead }},
	{"the title, as titles are written", 0, func(s *evidence) bool { return s.titleAgain }},
	{"a sentence goes on under a head", 0.9, func(s *evidence) bool { return s.middle && s.mid && (s.like >= 2 || s.running) && s.bareTops }},
	{"the head that the volume before ends with", 0.9, func(s *evidence) bool { return s.goesOnFrom && (s.bareTops || s.forHeads) }},
	{"within a sentence", 0.9, func(s *evidence) bool { // no sentence goes on from the front matter
		return s.middle && s.within && !s.afterRoom && (s.forHeads && s.like > s.bare || s.running) && (s.begun > 0 || s.fromFull)
	}},
	{"the next number of its kind", 0, func(s *evidence) bool { return s.like >= 2 && s.around().next }},
	{"its like have numbers", 0.9, func(s *evidence) bool { // a print page without a number has none beside its heads (BANA, Braille Formats 2016, 1.11.6)
		return s.middle && !s.first && s.forHeads && s.like >= s.bare+3 && (s.textBefore || s.begun > 1) && !s.opensText
	}},
	{"the heading before it", 0.85, func(s *evidence) bool {
		return s.middle && (s.like >= 3 || s.like == 2 && s.within || s.bareTops || s.forHeads && !s.freeSide || s.running && s.byItself && s.around().goesOn || s.mid && s.fromFull || s.headed && s.exact && s.within || s.around().overNotes) && s.around().follows
	}},
	{"over its own heading, or the next", 0.9, func(s *evidence) bool { return s.middle && (s.headed || s.bareTops) && s.around().over }},
	{"a part that its page names again", 0.9, func(s *evidence) bool { return s.middle && s.saidUnder && s.around().overNext }},
	{"as heads are written, or goes on from the volume before", 0.9, func(s *evidence) bool { return s.plain && (!s.freeSide || s.around().follows) || s.goesOnUnder }},
	{"the first of its kind", 0, func(s *evidence) bool { return s.first && !s.known }},
	{"opens the text", 0, func(s *evidence) bool {
		front := s.begun == 0 && !s.shownBefore && !s.textBefore && (s.first && s.isTitle || 2*s.bare <= s.like)
		return s.opensText && !s.halfTitle && !(s.isTitle && s.around().over) && (front || s.isTitle && s.firstNumbered)
	}},
	{"its like stands within sentences", 0.85, func(s *evidence) bool { return s.middle && s.bareTops && s.amid }},
	{"the first words of heads, at an indent", 0, func(s *evidence) bool { return s.part && !s.middle }},
	{"on a quarter of the pages", 0.95, func(s *evidence) bool { return s.centred && s.like >= 3 && s.like*4 >= s.pages }},
	{"where half of the pages have heads", 0.9, func(s *evidence) bool { return s.centred && s.like >= 2 && s.halfBare }},
	{"on two fifths of the pages", 0.9, func(s *evidence) bool { return s.like >= 5 && s.like*5 >= s.pages*2 }},
}

// atFoot are the reasons for a last line: no heading is the last line of a page.
var atFoot = []rule{
	{"a running head", 0.85, func(s *evidence) bool { // on pages shorter than the paper too, where all of their side have it
		return s.middle && s.running && !s.onFirstPage && s.footed && (s.last || s.footPlace && s.like >= 3)
	}},
	{"the title, where it heads other pages too", 0.9, func(s *evidence) bool {
		return s.middle && s.last && s.byItself && s.isTitle && !s.onFirstPage && (s.like >= 2 || s.running)
	}},
	{"a runover of an entry", 0, func(s *evidence) bool { return s.entry }},                               // definitions repeat, and stand in the middle by chance
	{"the rest of an item", 0, func(s *evidence) bool { return s.itemRest && !(s.apart && s.footPlace) }}, // unless it says a heading where heads are
	{"between two numbers", 0.9, func(s *evidence) bool { return s.between && s.footed }},
	{"on many pages", 0.97, func(s *evidence) bool {
		return s.centred && s.like >= 3 && (s.number && (s.footed || s.like >= 6) || s.middle && s.like*6 >= s.pages && s.loose*4 <= s.like)
	}},
	{"the same words on many pages, as far as there is room", 0.9, func(s *evidence) bool { // two blanks from the margin
		return s.number && s.footed && s.like >= 3 && s.cells >= 8 && s.text.From == 2 && s.byItself
	}},
	{"a heading's words on two pages, beside the number", 0.9, func(s *evidence) bool {
		return s.middle && s.number && s.footed && s.like >= 2 && s.known
	}},
	{"where nearly all pages have heads", 0.85, func(s *evidence) bool { // a heading's words even between lines of verse
		return s.middle && s.last && s.footPlace && (s.apart || s.footed && s.byItself)
	}},
	{"words of the text, or the heading before it, where nearly all pages have heads", 0.85, func(s *evidence) bool {
		return s.middle && s.last && s.footPlace && s.number && s.byItself && (s.said || s.around().follows)
	}},
	{"within a sentence", 0.9, func(s *evidence) bool { return s.middle && s.last && s.footed && s.byItself && s.parts }},
	{"the heading before it, as heads say it elsewhere, or where nearly all pages have heads", 0.85, func(s *evidence) bool { // on a page shorter than the paper too
		return s.middle && (s.footed || s.last) && (s.running || s.footed && s.footPlace) && s.exact && s.byItself && s.around().follows
	}},
	{"the heading before it on two pages, or its words, beside the number", 0.85, func(s *evidence) bool { // no heading is the last line, and none says what the one before it does
		return s.middle && s.number && (s.like >= 2 || s.cells >= 6 && strings.IndexByte(s.norm, cell.Blank) > 0) && s.byItself && s.around().follows
	}},
	{"a heading's words, or the heading before it", 0.85, func(s *evidence) bool {
		return s.middle && s.last && s.footed && (s.number && (s.like == 2 && s.byItself || s.footForm || s.said) || s.footHeading || s.around().follows)
	}},
}
