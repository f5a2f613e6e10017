package layout

import (
	"fmt"
	"slices"
	"sync"

	"continuo/internal/cell"
)

// This file decides about the numbers that stand in no sequence of their corner: misprints, numbers
// of preliminary pages and of parts numbered anew, or the text's own.

// loneNumber is the evidence of one of these.
type loneNumber struct {
	*cand
	*loneNumbers
	corner Use // what its corner carries
	beside Use // what another number on its line is

	head func() bool // like the heads beside other numbers, asked late
}

// loneNumbers is what is the same for all of a volume.
type loneNumbers struct {
	n     *numbers
	v     *Volume
	was   []Use                    // uses of the numbers that stand in sequence
	lines map[int32]Use            // what stands on lines
	on    map[[2]int32]*cell.Label // by page and use
	most  [VolumeMark + 1]int      // by use, the highest of them
	slips []slip
}

// slip is a number on the page whose number by the count of the pages around it is another.
type slip struct {
	odd       int // its place among the oddities
	says, due int
}

// outcome is what a lone number is taken for.
type outcome uint8

const (
	isText    outcome = iota
	isBraille         // a braille page
	isOther           // a print page beside a braille page on its line, else a braille page
	isCorner          // what its corner carries
	isSlip            // the same, out of its sequence: a misprint
)

// loneRule is a reason for what a lone number is.
type loneRule struct {
	why   string
	is    outcome
	holds func(s *loneNumber) bool
}

// lastYear is the highest number that is taken for a year.
const lastYear = 2100

// loneRules are the reasons for a lone number; the first that holds decides.
var loneRules = []loneRule{
	{"the next number of a list", isText, func(s *loneNumber) bool { return s.numbersList() }},
	{"one letter alone", isText, func(s *loneNumber) bool { return s.v.letterAlone(s.cand) }},
	{"further in than its corner's numbers", isText, func(s *loneNumber) bool { return s.n.offColumn(s.cand) }},
	{"its page has its numbers", isText, func(s *loneNumber) bool { // that of a section, at the margin
		print := s.on[[2]int32{s.page, int32(PrintPage)}]
		return (s.corner != BraillePage || s.otherKind()) && print != nil && *print != s.label && s.on[[2]int32{s.page, int32(BraillePage)}] != nil
	}},
	{"far above them all, as a year is", isText, func(s *loneNumber) bool {
		far := s.label.Value > 2*s.most[s.corner] && s.label.Value <= lastYear || s.beside != Nothing && s.label.Value > 10*s.most[s.corner] // no digit doubled
		return s.corner != Nothing && s.label.Value >= 1000 && far && !s.head()
	}},
	{"counts the pages, left or right as its number says", isBraille, func(s *loneNumber) bool { return s.onItsSide() }},
	{"two numbers and nothing else", isOther, func(s *loneNumber) bool {
		return s.beside != Nothing && s.alone && (s.romanPage() || s.pairs() >= 3)
	}},
	{"a head stands between two numbers", isCorner, func(s *loneNumber) bool {
		return s.corner != Nothing && s.beside != Nothing && s.beside != s.corner && s.between()
	}},
	{"a print page before those of the text", isCorner, func(s *loneNumber) bool { return s.printPrelim() }},
	{"a preliminary page", isBraille, func(s *loneNumber) bool { return s.prelim() }},
	{"a page that the transcriber made", isBraille, func(s *loneNumber) bool { return s.transcribers() }},
	{"all of its page, and its count", isBraille, func(s *loneNumber) bool { return s.countsPages() }},
	{"beside the head of its part", isBraille, func(s *loneNumber) bool { return s.overPart() }},
	{"neither numbers nor heads stand there", isText, func(s *loneNumber) bool { return s.corner == Nothing && !s.head() }},
	{"letters that need no sign", isText, func(s *loneNumber) bool { return s.label.Bare && !s.head() }},
	{"beside words that stand under it once more", isCorner, func(s *loneNumber) bool { return s.overItself() }},
	{"beside text", isText, func(s *loneNumber) bool { return !s.alone && !s.head() && s.missing() == 0 }},
	{"a number of the text by itself", isText, func(s *loneNumber) bool { return s.stray() }},
	{"on the side of the paper that has none", isText, func(s *loneNumber) bool { return s.otherSide() }},
	{"the roman number of a part, where all numbers are arabic", isText, func(s *loneNumber) bool { return s.onlyRoman() }},
	{"beside a head", isBraille, func(s *loneNumber) bool { return s.corner == Nothing }},
	{"of a part numbered anew", isCorner, func(s *loneNumber) bool { return s.counts() }},
	{"out of sequence", isSlip, func(s *loneNumber) bool { return true }},
}

// rule is the first reason that holds.
func (s *loneNumber) rule() *loneRule {
	for i := range loneRules {
		if loneRules[i].holds(s) {
			return &loneRules[i]
		}
	}
	return &loneRules[0]
}

// lone decides about all numbers of a volume that are in no sequence.
func (n *numbers) lone(v *Volume, heads *[2]map[string]int) {
	n.misprint = map[int]bool{}
	all := n.loners(v)
	for i := range n.cands {
		if n.taken[i] == Nothing {
			all.decide(i, heads)
		}
	}
	for _, a := range all.slips {
		if !slices.ContainsFunc(all.slips, func(b slip) bool { return b.says == a.due }) { // no two pages changed over
			o := &v.Oddities[a.odd]
			o.Told, o.Text = true, fmt.Sprintf("a page number that does not fit the sequence: it says %d on page %d, by the pages before and after it", a.says, a.due)
		}
	}
}

// loners gathers what all lone numbers of a volume share.
func (n *numbers) loners(v *Volume) *loneNumbers {
	all := &loneNumbers{n: n, v: v, was: slices.Clone(n.taken), lines: map[int32]Use{}, on: map[[2]int32]*cell.Label{}}
	for i, use := range n.taken {
		if c := &n.cands[i]; use != Nothing {
			all.lines[c.line] = use
			all.most[use] = max(all.most[use], c.label.Value)
			all.on[[2]int32{c.page, int32(use)}] = &c.label
		}
	}
	return all
}

// evidence gathers that of candidate i.
func (all *loneNumbers) evidence(i int, heads *[2]map[string]int) *loneNumber {
	n, c := all.n, &all.n.cands[i]
	return &loneNumber{cand: c, loneNumbers: all, corner: n.use[n.key(c)], beside: all.lines[c.line],
		head: sync.OnceValue(func() bool { return headsLike(heads[c.slot/BottomLeft], n.rest(all.v, c)) })}
}

// decide takes candidate i, or leaves it to the text.
func (all *loneNumbers) decide(i int, heads *[2]map[string]int) {
	n, s := all.n, all.evidence(i, heads)
	switch s.rule().is {
	case isBraille:
		n.taken[i] = BraillePage
	case isOther:
		if n.taken[i] = BraillePage; s.beside == BraillePage {
			n.taken[i] = PrintPage
		}
	case isCorner:
		if n.taken[i] = s.corner; s.corner == PrintPage && n.astray(i) {
			n.misprint[i] = true
			all.odd(s.line)
		}
	case isSlip:
		n.taken[i] = s.corner
		n.misprint[i] = s.corner == PrintPage && !n.fits(i)
		all.odd(s.line)
		if due := s.missing(); due > 0 {
			all.slips = append(all.slips, slip{len(all.v.Oddities) - 1, s.label.Value, due})
		}
	}
}

// odd puts a number that is in no sequence up for review.
func (all *loneNumbers) odd(line int32) {
	all.v.Oddities = append(all.v.Oddities, Oddity{line, "number-out-of-sequence", "a page number that does not fit the sequence", false})
}

// between reports whether what stands beside it on its line, the numbers at both ends cut off,
// stands in the middle of the room between them, three blanks from each.
func (s *loneNumber) between() bool {
	c := s.cand
	if c.alone || c.label.Bare || c.gap < 3 {
		return false
	}
	from, to := int32(0), int32(0)
	for i := range s.n.cands {
		if d := &s.n.cands[i]; d.line == c.line && d.slot != c.slot && !d.alone && d.gap >= 3 {
			from, to = min(c.tok.To, d.tok.To), max(c.tok.From, d.tok.From)
		}
	}
	t := s.v.Raw(c.line)
	if from >= to {
		return false
	}
	left := int32(gapAfter(t, int(from)))
	d := left - int32(gapBefore(t, int(to)))
	return d >= -4 && d <= 4 && left < to-from
}

// offColumn reports whether c stands alone on its line and further in than all the taken
// numbers of its corner, three or more, begin at the left or end at the right: the
// number of a verse or paragraph, or a word that reads like a number.
func (n *numbers) offColumn(c *cand) bool {
	left := c.slot == TopLeft || c.slot == BottomLeft
	if !c.alone || !left && c.slot != TopRight && c.slot != BottomRight {
		return false
	}
	all := 0
	for i, use := range n.taken {
		d := &n.cands[i]
		if use == Nothing || d.slot != c.slot {
			continue
		}
		if all++; left && d.tok.From >= c.tok.From || !left && d.tok.To <= c.tok.To+2 {
			return false
		}
	}
	return all >= 3
}

// stray reports whether it stands alone on its line, in a corner of print page numbers that
// all share their line with a braille page number, and is none that the print could have
// reached there: the number of a verse or paragraph.
func (s *loneNumber) stray() bool {
	c, n := s.cand, s.n
	if s.corner != PrintPage || s.beside != Nothing || cell.Marks(s.v.Raw(c.line)) != int(c.tok.To-c.tok.From) {
		return false
	}
	near, count := -1, map[int32]int{}
	for i, use := range s.was {
		if use != Nothing {
			count[n.cands[i].line]++
		}
	}
	all := 0
	for i, use := range s.was {
		d := &n.cands[i]
		if use != PrintPage || d.slot != c.slot {
			continue
		}
		if all++; count[d.line] < 2 {
			return false
		}
		if near < 0 || abs(int(d.page-c.page)) < abs(int(n.cands[near].page-c.page)) {
			near = i
		}
	}
	return all >= 3 && !reached(c, &n.cands[near])
}

// reached reports whether the print can turn to the page of the one number and that of
// the other, as many braille pages apart as they are.
func reached(a, b *cand) bool {
	if a.page > b.page {
		a, b = b, a
	}
	step := b.label.Value - a.label.Last
	return a.label.Roman != b.label.Roman || step >= -1 && step <= 2*int(b.page-a.page)+3
}

// counts reports whether c says which page of its file it stands on: a run of
// numbers of its own, that of a part numbered anew, is no oddity.
func (c *cand) counts() bool {
	return !c.label.Bare && c.label.Value == int(c.page)+1 && c.label.Last == c.label.Value
}

// onItsSide reports whether it is the count of the pages so far, alone on its line, in a corner that has braille
// pages on the sides of the paper with such numbers, even or odd: the preliminary pages of a volume end with
// a right-hand one, and its text begins with another.
func (s *loneNumber) onItsSide() bool {
	c, n := s.cand, s.n
	return c.alone && c.counts() && !c.label.Roman && c.label.Prefix == "" && s.beside == Nothing && s.on[[2]int32{c.page, int32(BraillePage)}] == nil &&
		n.split[c.slot] && n.use[key(2*c.slot)+key(c.label.Value&1)] == BraillePage
}

// overItself reports whether words stand beside it in the middle of line 1, three blanks off, and the very
// same ones in the middle of one of the next two lines with text: a head over its own heading.
func (s *loneNumber) overItself() bool {
	c, v := s.cand, s.v
	if s.corner == Nothing || c.slot >= BottomLeft || c.alone || c.label.Bare || c.gap < 3 || !v.restInMiddle(c) {
		return false
	}
	words := s.n.rest(v, c)
	for i, n := v.below(c.line), 0; i >= 0 && n < 2; i, n = v.below(i), n+1 {
		if v.Centred(i) && Normal(v.TextOf(i)) == words {
			return true
		}
	}
	return false
}

// otherSide reports whether the print page numbers of its corner, five at least, stand on left-hand pages alone or
// on right-hand ones, it on the other side, and it is none that the print could have reached there: the
// number of a verse or paragraph that a print page turn parts from its text.
func (s *loneNumber) otherSide() bool {
	if s.corner != PrintPage || s.n.split[s.slot] {
		return false
	}
	all, near := 0, -1
	for i, use := range s.was {
		d := &s.n.cands[i]
		if use != PrintPage || d.slot != s.slot {
			continue
		}
		if all++; (d.page-s.page)%2 == 0 {
			return false
		}
		if near < 0 || abs(int(d.page-s.page)) < abs(int(s.n.cands[near].page-s.page)) {
			near = i
		}
	}
	return all >= 5 && !reached(s.cand, &s.n.cands[near])
}

// fits reports whether the print page of a candidate lies between those of the
// pages before and after it.
func (n *numbers) fits(i int) bool {
	c := &n.cands[i]
	for k, use := range n.taken {
		d := &n.cands[k]
		if use != PrintPage || k == i || n.misprint[k] || d.label.Roman != c.label.Roman || abs(int(d.page-c.page)) > 6 {
			continue
		}
		if d.page < c.page && d.label.Value > c.label.Value || d.page > c.page && d.label.Value < c.label.Value {
			return false
		}
	}
	return true
}

// astray reports whether the print page of a candidate lies before or behind those of the nearest
// pages before it and after it, from one of which the print reaches the other.
func (n *numbers) astray(i int) bool {
	c := &n.cands[i]
	var before, after *cand
	for k, use := range n.taken {
		d := &n.cands[k]
		if use != PrintPage || k == i || n.misprint[k] || abs(int(d.page-c.page)) > 6 {
			continue
		}
		if d.page < c.page && (before == nil || d.page > before.page) {
			before = d
		}
		if d.page > c.page && (after == nil || d.page < after.page) {
			after = d
		}
	}
	if before == nil || after == nil || before.label.Roman != c.label.Roman || !reached(before, after) {
		return false
	}
	return c.label.Value < before.label.Value || c.label.Value > after.label.Last
}

// romanPage reports whether it is a roman number below a hundred (dcv is deceive) and no letter
// alone, as the word I is, with a capital sign or a letter sign.
func (s *loneNumber) romanPage() bool {
	n := 0
	for _, c := range s.v.Raw(s.line)[s.tok.From:s.tok.To] {
		if c != ',' && c != ';' {
			n++
		}
	}
	return n > 1 && s.label.Roman && s.label.Value < 100
}

// prelim reports whether it is the roman number of a preliminary page: at a
// corner, alone or beside a head, close to the count of pages, and before the
// pages of the text. In the corner of the braille pages, after three blanks, it may
// stand beside text where it is the count of pages itself.
func (s *loneNumber) prelim() bool {
	c := s.cand
	counts := s.corner == BraillePage && c.gap >= 3 && c.label.Value == int(c.page)+1
	centre := (c.slot == TopCentre || c.slot == BottomCentre) && !(counts && c.alone) // a number of the text, but where the title has those of its pages
	if !c.label.Roman || centre || c.page > 15 || abs(c.label.Value-int(c.page)-1) > 2 || !c.alone && !counts && !s.head() {
		return false
	}
	atMargin := c.alone && c.slot == TopLeft && s.corner == Nothing // of a chapter, where page numbers stand at the right
	for i, use := range s.n.taken {
		q := &s.n.cands[i]
		if use == BraillePage && atMargin && (q.slot == TopRight || q.slot == BottomRight) && !q.label.Roman {
			return false
		}
		if before := !q.label.Roman && q.label.Prefix == "" && q.page < c.page; use == BraillePage && (before || q.page == c.page && q.line != c.line) {
			return false // on the last line of a page with a number, i is the word I, or the number of a chapter in a list
		}
	}
	return true
}

// numbersList reports whether the line under it, at the top of its page, or over it begins at its cell with the number next to it:
// chapters in a contents list.
func (s *loneNumber) numbersList() bool {
	i, by := s.line-1, -1
	if s.slot < BottomLeft {
		i, by = s.line+1, 1
	}
	if pg := &s.v.Pages[s.page]; i < pg.First || i >= pg.Last || int(s.tok.From) >= len(s.v.Raw(i)) {
		return false
	}
	t := s.v.Raw(i)
	l, ok := cell.ParseLabel(t[s.tok.From:firstTokenEnd(t, int(s.tok.From))])
	return ok && gapAfter(t, 0) == int(s.tok.From) && l.Roman == s.label.Roman && l.Prefix == s.label.Prefix && l.Value == s.label.Value+by
}

// otherKind reports whether the print pages of its corner are of the other kind, the roman ones of the front
// matter under the text's numbers.
func (s *loneNumber) otherKind() bool {
	for i, use := range s.was {
		if d := &s.n.cands[i]; use != Nothing && d.slot == s.slot && (use != PrintPage || d.label.Roman == s.label.Roman) {
			return false
		}
	}
	return s.corner == PrintPage
}

// onlyRoman reports whether it is a roman number alone on its line, and no number that is in sequence is one.
func (s *loneNumber) onlyRoman() bool {
	if !s.label.Roman || !s.alone || s.beside != Nothing {
		return false
	}
	for i, use := range s.was {
		if use != Nothing && s.n.cands[i].label.Roman {
			return false
		}
	}
	return true
}

// printPrelim reports whether it is the roman number of a print page: in the corner of the
// print pages, after three blanks at least, before the pages of the text that have one there. One letter
// needs its letter sign, and nothing beside it but a head.
func (s *loneNumber) printPrelim() bool {
	if s.corner != PrintPage || !s.label.Roman || !s.alone && s.gap < 3 || s.label.Value >= 100 {
		return false
	}
	if !s.romanPage() && (s.v.Raw(s.line)[s.tok.From] != ';' || !s.alone && !s.head()) {
		return false
	}
	later := false
	for i, use := range s.was {
		if q := &s.n.cands[i]; use == PrintPage {
			if q.page <= s.page && !q.label.Roman {
				return false
			}
			later = later || q.page > s.page && q.slot == s.slot
		}
	}
	return later
}

// countsPages reports whether it is all that stands on its page, in a corner of
// the braille pages, and the count of the pages so far: the roman number of a
// page that was left blank.
func (s *loneNumber) countsPages() bool {
	pg := &s.v.Pages[s.page]
	return s.label.Roman && s.alone && pg.Top == pg.Bottom && s.tok.To-s.tok.From > 1 &&
		s.corner == BraillePage && abs(s.label.Value-int(s.page)-1) <= 2
}

// transcribers reports whether it is the number of a page that the transcriber
// made: t or p before the number sign (BANA Braille Formats 2011, 2.2.1), in the corner of the
// braille pages. These runs may stand among each other.
func (s *loneNumber) transcribers() bool {
	p := s.label.Prefix
	return (p == "t" || p == "p") && s.corner == BraillePage && (s.alone || s.gap >= 3) && s.label.Value <= int(s.page)+1
}

// overPart reports whether it is a number in a corner of the braille pages, no higher
// than the count of the pages, beside words in the middle that are those of the last
// heading before the page: the head of a part in a volume with too few pages for a sequence.
func (s *loneNumber) overPart() bool {
	c, v := s.cand, s.v
	if s.corner != BraillePage || c.slot >= BottomLeft || c.gap < 3 || c.alone || c.label.Roman || c.label.Value > int(c.page)+1 {
		return false
	}
	e := edgeLine{page: int(c.page), line: c.line, text: restSpan(v.Raw(c.line), c), norm: s.n.rest(v, c)}
	e.text.From += int32(gapAfter(v.Raw(c.line), int(e.text.From)))
	return v.restInMiddle(c) && v.headingBefore(v.Pages[c.page].First, &e)
}

// fewSides is over how many pages numbers on one side of the paper alone are chance.
const fewSides = 6

// missing is the number that the count of the pages wants on the page of c, in a
// corner of the braille pages that has one on the pages before and after: none is there
// but this, a misprint or that of a page changed over with another. Two blanks before it are enough where others there
// have no more. 0 where none is missing.
func (s *loneNumber) missing() int {
	c := s.cand
	if s.corner != BraillePage || c.label.Bare || c.label.Roman {
		return 0
	}
	var before, after *cand
	narrow := c.gap < 3
	side, lo, hi := false, c.page, c.page // others stand in that corner on left-hand pages, or right-hand ones, as this does; from page lo to hi
	for i, use := range s.was {
		d := &s.n.cands[i]
		if use != BraillePage || d.slot != c.slot || d.label.Roman {
			continue
		}
		side, lo, hi = side || (d.page-c.page)%2 == 0, min(lo, d.page), max(hi, d.page)
		narrow = narrow && (d.alone || d.gap > 2)
		if abs(int(d.page-c.page)) > 3 {
			continue
		}
		switch {
		case d.page == c.page:
			return 0
		case d.page < c.page && (before == nil || d.page > before.page):
			before = d
		case d.page > c.page && (after == nil || d.page < after.page):
			after = d
		}
	}
	if narrow || !side && hi-lo >= fewSides || before == nil || after == nil || c.tok.To < min(before.tok.To, after.tok.To) {
		return 0
	}
	due, most := before.label.Value+int(c.page-before.page), 99 // most: of one digit more than the number that is missing
	for n := due; n >= 10; n /= 10 {
		most = most*10 + 9
	}
	if after.label.Value-before.label.Value != int(after.page-before.page) || c.label.Value > most {
		return 0
	}
	return due
}

// pairs counts the lines on which a number in its corner stands alone with a
// taken one.
func (s *loneNumber) pairs() int {
	k := 0
	for i := range s.n.cands {
		if c := &s.n.cands[i]; c.slot == s.slot && c.alone && s.lines[c.line] != Nothing {
			k++
		}
	}
	return k
}
