package structure

import (
	"bytes"

	"continuo/internal/cell"
	"continuo/internal/english"
	"continuo/internal/layout"
)

// sideHabit is how many headings at one indent, with running text right after
// them, show that a volume has headings at that indent.
const sideHabit = 3

// sideLists is how many, all with a blank line and a list after them, do.
const sideLists = 6

// findSideHeads finds headings that begin in cell 5 or cell 7, the second and
// third level of North American books (BANA, Braille Formats 2016, section 4): a
// blank line before, none after, runovers at the same cell. One such line tells
// nothing, it may be of verse or of a list; where several stand over running text,
// all lines of the volume that stand like them are headings. A numbered scene over a
// stage direction is one by itself; letters over their entries are where several are.
func (v *Volume) findSideHeads() {
	for k, in := range sideIndents {
		c, letters, all, heads := &v.sides[k], 0, 0, 0
		c.overs = v.runoversAt(in)
		for i := range v.Units {
			if v.Units[i].From != in || v.Units[i].Page < v.BodyPage {
				continue
			}
			all += boolInt(i == 0 || v.begunHere(i))
			letters += boolInt(v.sideLetter(i, in))
			c.tellName(v, i)
			head := v.sideHead(i, in)
			if head && (v.overDirection(i) || v.namesMatter(i) || v.titleBetween(i)) {
				v.Units[i].Side = true
			}
			heads += boolInt((v.Units[i].Blanks > 0 || c.overs < sideLists) && (head || v.sideTight(i, in) || v.sideOverShort(i, in)))
			list := v.sideOverList(i, in)
			c.sure += boolInt(head && (v.overText(i+1) || v.partLine(i) || v.overLetter(i)) || (head || list) && v.Units[i].Blanks > 0 && v.firstItem(i+1))
			c.lists += boolInt(list && (v.Units[i+1].From == 0 || v.headOfRun(i+1)))
			if head || list {
				c.tell(v, i)
			}
		}
		c.heads, c.all = heads, all
		c.habit = c.sure >= sideHabit || c.lists >= sideLists || c.alone()
		v.markSideHeads(in, false, letters >= sideHabit)
	}
}

// titleBetween reports whether unit i stands between a heading in the middle and running text and begins with an
// article, as no name does: "the argument" of a book of a poem.
func (v *Volume) titleBetween(i int) bool {
	return i > 0 && v.apart(&v.Units[i-1]) && v.Units[i].Blanks > 0 && article[layout.Normal(firstWord(v.Units[i].Text))] && bytes.IndexByte(v.Units[i].Text, cell.Blank) > 0 && v.overText(i+1)
}

// runoversAt counts the lines at an indent that go on a line further out within a page.
func (v *Volume) runoversAt(in int32) (n int) {
	for i := v.firstUnitOf(v.BodyPage); i < len(v.Units); i++ {
		u := &v.Units[i]
		n += boolInt(i > 0 && u.From == in && u.Blanks == 0 && !u.PageTop && v.Units[i-1].From < in && !EndsSentence(v.Units[i-1].Text))
	}
	return n
}

// runsOverAt reports whether six lines or more run over at an indent of headings.
func (v *Volume) runsOverAt(in int32) bool {
	for k, x := range sideIndents {
		if x == in {
			return v.sides[k].overs >= sideLists
		}
	}
	return false
}

// sideIndents are the indents at which headings may begin, cell 5 and cell 7.
var sideIndents = [...]int32{4, 6}

// sideCount is what tells of headings at an indent.
type sideCount struct {
	sure, lists int
	heads, all  int // lines that stand as headings, and all that are begun anew there
	habit       bool
	overs       int // lines that run over there

	lines, under, by int             // lines that stand as headings, under a heading in the middle, and names of authors
	words            map[string]bool // those under a heading

	apart, names, closing int // lines set apart, those with the words of a name under text, and what ends a section
}

// tellName counts a line set apart that may be a name under what somebody wrote.
func (c *sideCount) tellName(v *Volume, i int) {
	if u := &v.Units[i]; i > 0 && u.Blanks > 0 {
		c.apart++
		c.names += boolInt(EndsSentence(v.Units[i-1].Text) && !EndsSentence(u.Text) && !u.HasPhrase && v.nameFirst(u.Text))
		c.closing += boolInt(v.closesSection(i))
	}
}

// closesSection reports whether nothing but a heading in the middle follows the lines at one cell that unit i begins.
func (v *Volume) closesSection(i int) bool {
	k := i + 1
	for k < len(v.Units) && v.Units[k].Blanks == 0 && v.Units[k].From == v.Units[i].From {
		k++
	}
	return k < len(v.Units) && (v.Units[k].Blanks > 0 || v.Units[k].PageTop) && v.Units[k].Centred && v.Units[k].From != v.Units[i].From
}

// none reports whether the lines at an indent are no headings: they belong to headings in the middle, or half of them are
// names and they end sections, with no text under them, as no heading does.
func (c *sideCount) none() bool {
	return c.underHeads() || c.closing >= sideHabit && c.names >= sideHabit && 2*c.names >= c.apart
}

// alone reports whether nearly nothing but headings is begun at an indent.
func (c *sideCount) alone() bool { return c.heads >= sideLists && c.heads*5 >= c.all*4 }

// tell counts a line that stands as a heading.
func (c *sideCount) tell(v *Volume, i int) {
	c.lines++
	if i == 0 || !v.apart(&v.Units[i-1]) || v.Units[i-1].Page != v.Units[i].Page {
		return
	}
	c.under++
	c.by += boolInt(v.byLine(i))
	if c.words == nil {
		c.words = map[string]bool{}
	}
	c.words[layout.Normal(v.Units[i].Text)] = true
}

// underHeads reports whether the lines at an indent belong to headings in the middle that they stand under, nearly
// each of them right under one: an author, or a few words that come again and again, as the metre of hymns
// and the yield of recipes do. A first section under each chapter has others after it.
func (c *sideCount) underHeads() bool {
	return c.under >= sideHabit && c.under*10 >= c.lines*9 && (c.by*2 >= c.under || len(c.words)*3 < c.under*2)
}

// markSideHeads marks the headings at an indent, or the letters over entries.
func (v *Volume) markSideHeads(in int32, habit, letters bool) {
	if !habit && !letters {
		return
	}
	for i := range v.Units {
		if habit && (v.sideHead(i, in) || v.sideTight(i, in) || v.sideOverList(i, in) || v.sideOverShort(i, in) || v.sideTwoLines(i, in)) || letters && v.sideLetter(i, in) {
			if v.underAnother(i) {
				continue
			}
			v.Units[i].Side = true
			v.runoversBefore(i)
		}
	}
}

// underAnother reports whether unit i stands under a heading at the same cell that is no part's number, a blank line
// between, and no text under it: the address of a letter under its heading.
func (v *Volume) underAnother(i int) bool {
	u := &v.Units[i]
	return i > 0 && u.Blanks > 0 && v.Units[i-1].Side && v.Units[i-1].From == u.From && v.Units[i-1].Page == u.Page && !v.partLine(i-1) && !v.overText(i+1)
}

// FindSideHeads finds the headings at an indent in the volumes of a title, also in those that have too few
// of them to tell by themselves: another volume has them, or all together do, as many at
// least as there are volumes.
func FindSideHeads(vols []*Volume) {
	for k, in := range sideIndents {
		sum, habit := sideCount{}, false
		for _, v := range vols {
			c := &v.sides[k]
			sum.sure, sum.heads, sum.all = sum.sure+c.sure, sum.heads+c.heads, sum.all+c.all
			sum.apart, sum.names, sum.closing = sum.apart+c.apart, sum.names+c.names, sum.closing+c.closing
			habit = habit || c.habit && !c.none()
		}
		if sum.none() || !habit && sum.sure < max(sideHabit, len(vols)) && !sum.alone() {
			continue
		}
		for _, v := range vols {
			v.markSideHeads(in, !v.sides[k].none(), false)
		}
	}
}

// sideHead reports whether unit i stands as the last line of a heading at an
// indent: set apart before, text further out right after it, which would have had
// room on its line.
func (v *Volume) sideHead(i int, in int32) bool {
	if !v.sideLine(i, in) || i+1 >= len(v.Units) {
		return false
	}
	u, n := &v.Units[i], &v.Units[i+1]
	if n.Page == u.Page && n.Blanks == 1 && v.partLine(i) && (n.From == in && v.sideHead(i+1, in) || in == 4 && n.From == 6 && v.sideHead(i+1, 6) || n.From != in && n.Centred) {
		return true // its title stands under the number of a part, or a heading in the middle does, or the scene under its act
	}
	if v.overLetter(i) {
		return true
	}
	below := n.From < in || in == 4 && n.From == 6 && (v.overSide(i) || v.overDisplay(i+1)) || v.overDirection(i)
	parted := n.Blanks == 1 && (n.From == 2 && v.overText(i+1) || v.overDirection(i) || n.From == 0 && (v.Blocked || v.namesMatter(i))) // a blank line after headings too: common practice
	return n.Page == u.Page && !n.Rule && below && (parted || n.Blanks == 0 && slack(u, n) >= 0)
}

// sideTight is sideHead on a narrow page, where the first word of what follows had no room beside the
// heading: it begins anew with a capital or a number, under a line that a blank line sets apart.
func (v *Volume) sideTight(i int, in int32) bool {
	if v.Small || v.Units[i].Blanks == 0 && !v.Units[i].PageTop || !v.sideLine(i, in) || i+1 >= len(v.Units) {
		return false
	}
	u, n := &v.Units[i], &v.Units[i+1]
	return n.Page == u.Page && n.Blanks == 0 && !n.Rule && n.From < in && opensHeading(n.Text) && slack(u, n) < 0 && slack(u, n) >= -marginShort
}

// namesMatter reports whether unit i is a structure word for matter with a list or text under it,
// "characters", and nothing else.
func (v *Volume) namesMatter(i int) bool {
	p := v.Units[i].Phrase
	return v.Units[i].HasPhrase && p.ID == english.Cast && len(p.Tail) == 0
}

// sideLetter is sideHead for a letter over the entries that begin with it, which may all
// be short, as in an index.
func (v *Volume) sideLetter(i int, in int32) bool {
	if !v.sideHead(i, in) {
		return false
	}
	c := loneLetter(v.Units[i].Text)
	return c != 0 && beginsWith(v.Units[i+1].Text, c)
}

// overDirection reports whether unit i is a scene with its number, or another part
// that is numbered, and a stage direction begins under it: in brackets, in cell 5 too
// (English Braille American Edition 1994, appendix A, section 8).
func (v *Volume) overDirection(i int) bool {
	u, n := &v.Units[i], &v.Units[i+1]
	return numberedPart(u) && n.From >= 4 && opensBracket(n.Text[SkipTurns(n.Text):])
}

// numberedPart reports whether the words of a unit are those of a part and its
// number, "scene 3", and nothing else; they need no capital then.
func numberedPart(u *Unit) bool { return u.HasPhrase && childPhrases[u.Phrase.ID] && u.Phrase.N > 0 }

// opensBracket reports whether a text begins with a round or square bracket of any
// code, and not with a word of that sign.
func opensBracket(t []byte) bool {
	for _, sign := range [...]string{"7", ",7", "\"<", ".<"} {
		if rest, ok := bytes.CutPrefix(t, []byte(sign)); ok && len(rest) > 1 && rest[0] != cell.Blank {
			return true
		}
	}
	return false
}

// bracketCloses reports whether the bracket that a text opens is closed in it.
func bracketCloses(t []byte) bool {
	for _, p := range stageBrackets {
		if rest, ok := bytes.CutPrefix(t, []byte(p[0])); ok {
			open, _ := bracketEnd(rest, p[1])
			return !open
		}
	}
	return false
}

// closesOther reports whether a text ends in a bracket that it does not open: the last line of a remark.
func closesOther(t []byte) bool {
	for _, p := range stageBrackets {
		if bytes.HasSuffix(t, []byte(p[1])) {
			return bytes.LastIndex(t[:len(t)-len(p[1])], []byte(p[0])) < 0
		}
	}
	return false
}

// closesBracket reports whether a text ends in a bracket of any code, and not with
// a word of that sign.
func closesBracket(t []byte) bool {
	for _, sign := range [...]string{"7", "7'", "\">", ".>"} {
		if rest, ok := bytes.CutSuffix(t, []byte(sign)); ok && len(rest) > 1 && rest[len(rest)-1] != cell.Blank {
			return true
		}
	}
	return false
}

// sideOverList is sideHead where a blank line stands before what follows, as one
// does before a list, a quotation and another heading: what follows begins at the margin, is
// displayed text or a heading at an indent.
func (v *Volume) sideOverList(i int, in int32) bool {
	if !v.sideLine(i, in) || i+1 >= len(v.Units) {
		return false
	}
	u, n := &v.Units[i], &v.Units[i+1]
	if n.Page != u.Page || n.Blanks == 0 || n.Blanks > 2 || n.Rule {
		return false
	}
	if n.From == 0 || n.From >= 3 && v.headOfRun(i+1) {
		return n.Blanks == 1 && !v.runOf(i)
	}
	return (n.From != in || u.Blanks > 0) && (v.overDisplay(i+1) || v.overSide(i)) // at the same cell stanzas follow each other
}

// sideTwoLines is sideOverList for the second line of a heading, over a list or another heading: no line of it ends in a mark
// of punctuation, as those of a quotation and of verse mostly do.
func (v *Volume) sideTwoLines(i int, in int32) bool {
	if !v.sideLine(i, in) || i+1 >= len(v.Units) || !v.runOf(i) || v.runOf(i-1) || endsClause(v.Units[i].Text) || endsClause(v.Units[i-1].Text) {
		return false
	}
	u, n := &v.Units[i], &v.Units[i+1]
	return n.Page == u.Page && n.Blanks == 1 && !n.Rule && (n.From == 0 || v.sideHead(i+1, in))
}

// sideOverShort is sideOverList where what follows is a short paragraph in cell 3.
func (v *Volume) sideOverShort(i int, in int32) bool {
	if v.Units[i].Blanks == 0 && !v.Units[i].PageTop || !v.sideLine(i, in) || i+1 >= len(v.Units) {
		return false
	}
	u, n := &v.Units[i], &v.Units[i+1]
	return n.Page == u.Page && n.Blanks == 1 && n.From == 2 && !n.Rule
}

// headOfRun reports whether unit i, set apart before, has a line right under it: the address or the date of a
// letter, not one of lines that are all set apart.
func (v *Volume) headOfRun(i int) bool {
	return i+1 < len(v.Units) && v.Units[i+1].Page == v.Units[i].Page && v.Units[i+1].Blanks == 0 && v.Units[i+1].From < v.Units[i].From
}

// overSide reports whether a heading at an indent, over several lines perhaps, stands under unit i.
func (v *Volume) overSide(i int) bool {
	k := i + 1
	for k+1 < len(v.Units) && k < i+3 && v.runOf(k+1) {
		k++
	}
	return v.sideHead(k, 4) || v.sideHead(k, 6)
}

// overDisplay reports whether unit i begins displayed text that stands further in with all its
// lines, or all but the first two cells further in (BANA, Braille Formats 2016, section 9: cells
// 5-3 and 7-5): its line is full and ends no sentence.
func (v *Volume) overDisplay(i int) bool {
	if i+1 >= len(v.Units) {
		return false
	}
	u, n := &v.Units[i], &v.Units[i+1]
	return u.From >= 2 && u.From <= 6 && n.From > 0 && (n.From == u.From || n.From == u.From-2) && n.Blanks == 0 && len(n.Turns) == 0 && slack(u, n) < 0 && !EndsSentence(u.Text)
}

// firstItem reports whether unit i is the first of numbered items: the exercises under a heading (BANA, Braille Formats 2016,
// section 10).
func (v *Volume) firstItem(i int) bool {
	t := v.Units[i].Text
	w := bytes.TrimRight(bytes.TrimLeft(firstWord(t), "\"<7"), "\">74")
	n, k := digits(w)
	return n == 1 && k == len(w) && len(firstWord(t)) < len(t)
}

// sideLine reports whether the words and the place of unit i are those of a
// heading at an indent.
func (v *Volume) sideLine(i int, in int32) bool {
	u := &v.Units[i]
	if u.From != in || u.Rule || u.Page < v.BodyPage || i >= v.End[0] || u.wide || ForTranscriber(u.Text) {
		return false
	}
	first := i
	for v.runOf(first) && i-first < 3 {
		first--
	}
	if h := &v.Units[first]; !v.Small && !opensHeading(h.Text) && !numberedPart(h) || opensBracket(h.Text) && closesBracket(u.Text) {
		return false // goes on a sentence, or a stage direction
	}
	switch u.Text[len(u.Text)-1] {
	case '1', '2', '3', '4', '-', '"':
		return false
	}
	room := v.sideRoom()
	switch {
	case decimal(u.Text):
		room = v.TextWidth - marginShort - int(in) // no displayed text begins so
	case v.overAnew(i) || v.overLetter(i):
		room = v.TextWidth - headingShort - int(in)
	}
	if len(u.Text) > room && !v.runOf(i) || aside(u.Text) || opensBracket(u.Text) && !bracketCloses(u.Text) || closesOther(u.Text) {
		return false
	}
	return v.setOff(i)
}

// sideRoom is how many cells a heading at an indent takes at most: two thirds of a line, on
// narrow pages all but the last cells of one.
func (v *Volume) sideRoom() int { return max(v.TextWidth*2/3, min(24, v.TextWidth-marginShort)) }

// headingShort is how many cells a heading leaves free at the right margin (BANA, Braille Formats 2016, section 4).
const headingShort = 6

// overAnew reports whether unit i, under a blank line, ends no sentence and leaves room for the first word of a paragraph that
// begins further out right under it, with a capital where the volume has capitals: unit i is no first line of that paragraph.
func (v *Volume) overAnew(i int) bool {
	if i+1 >= len(v.Units) {
		return false
	}
	u, n := &v.Units[i], &v.Units[i+1]
	return u.Blanks > 0 && n.Page == u.Page && n.Blanks == 0 && !n.Rule && n.From == 2 && slack(u, n) >= 0 && (v.Small || opensHeading(n.Text)) && v.overText(i+1)
}

// decimal reports whether a text begins with the number of a section, "3.2", and a word.
func decimal(t []byte) bool {
	w := firstWord(t)
	if len(w) < 4 || w[0] != '#' || len(w) == len(t) {
		return false
	}
	at := bytes.IndexAny(w, "41.")
	return at > 1 && at+1 < len(w) && w[at+1] >= 'a' && w[at+1] <= 'j'
}

// setOff reports whether a blank line, the top of a page or a line of another
// heading stands before unit i, or before the lines that it runs over from.
func (v *Volume) setOff(i int) bool {
	for k := i; ; k-- {
		u := &v.Units[k]
		if u.Blanks > 0 || k == 0 || u.PageTop && (!v.midSentence(k) || v.stepsFrom(k) && !v.runsOverAt(u.From) || k == i && (v.overLetter(i) || u.Filler >= 2 && (v.overText(i+1) || slack(&v.Units[i-1], u) >= 2))) {
			return true
		}
		p := &v.Units[k-1]
		if k == i && i+1 < len(v.Units) && u.PageTop && p.From < u.From && v.endsFull(k) && (v.overText(i+1) || v.Units[i+1].Blanks > 0 && v.overSide(i)) {
			return true // a sentence would go on further out; a heading right under it is set off by this one alone
		}
		if n := v.partOver(k); n >= 0 && v.setOff(n) {
			return true // the title under the number of a part
		}
		if p.From == 4 && u.From == 6 && slack(p, u) >= 0 {
			return v.sideLine(k-1, 4)
		}
		if p.From != u.From || slack(p, u) >= marginShort || i-k > 2 {
			return false
		}
	}
}

// endsFull reports whether running text ends with the page before unit i: its last lines stand at one cell and are full.
func (v *Volume) endsFull(i int) bool {
	if i < 3 || v.Units[i-1].Rule {
		return false
	}
	for k := i - 2; k < i; k++ {
		if p, u := &v.Units[k-1], &v.Units[k]; u.Blanks > 0 || slack(p, u) >= 0 || u.From > p.From || u.From != v.Units[i-1].From {
			return false
		}
	}
	return slack(&v.Units[i-1], &v.Units[i]) < marginShort
}

// midSentence reports whether the text before unit i, which begins a page, does
// not end a sentence or a remark in brackets, or is no text.
func (v *Volume) midSentence(i int) bool {
	if i == 0 {
		return true
	}
	p := &v.Units[i-1]
	heading := p.Centred && !v.Levels[min(p.Indent(), len(v.Levels)-1)]
	return !EndsSentence(p.Text) && !heading && !closesBracket(p.Text)
}

// stepsFrom reports whether unit i begins anew further in than the line before it, which had room
// for its first word and was no like line, or under a short line that stands further in, as a name under a letter.
func (v *Volume) stepsFrom(i int) bool {
	p, u := &v.Units[i-1], &v.Units[i]
	return p.From < u.From && slack(p, u) >= 2 || p.From > u.From && slack(p, u) >= 4
}

// runOf reports whether unit i is the runover of a line at the same indent, a heading perhaps.
func (v *Volume) runOf(i int) bool {
	u := &v.Units[i]
	return i > 0 && u.Blanks == 0 && v.Units[i-1].From == u.From && v.Units[i-1].Page == u.Page && slack(&v.Units[i-1], u) < marginShort
}

// runoversBefore marks the lines from which unit i runs over, and the number of a part over it.
func (v *Volume) runoversBefore(i int) {
	for ; v.runOf(i) || v.partOver(i) >= 0; i-- {
		v.Units[i-1].Side = true
	}
}

// partOver is the number of a part over unit k, at its cell and with short lines between, two at most: its name, a place
// or a date; -1 for none.
func (v *Volume) partOver(k int) int {
	for n := k - 1; n >= 0 && n >= k-3 && v.goesOnHead(n, n+1) && (n+1 == k || !endsClause(v.Units[n+1].Text)); n-- {
		if v.partLine(n) {
			return n
		}
	}
	return -1
}

// overText reports whether unit i begins running text: its line is full, and the
// next stands at the margin or goes in as a runover.
func (v *Volume) overText(i int) bool {
	if i+1 >= len(v.Units) {
		return false
	}
	u, n := &v.Units[i], &v.Units[i+1]
	return n.Blanks == 0 && len(n.Turns) == 0 && slack(u, n) < 0 && (u.From >= 2 && u.From <= 4 && n.From == 0 || u.From == 0 && n.From <= 4)
}

// opensHeading reports whether a text begins with a capital, a number, or one of
// them after a sign of emphasis or an opening quotation mark or bracket.
func opensHeading(t []byte) bool {
	for len(t) > 1 {
		switch c := t[0]; {
		case c == ',' || c == '#':
			return true
		case c == '.' || c == '^' || c == '_' || c == '8' || c == '7' || c == '"' || c == '<' || c == ';' || c >= '0' && c <= '9':
			t = t[1:]
		default:
			return false
		}
	}
	return false
}

// displayed reports whether unit i begins displayed text or a note: its runovers
// stand two cells further out, but not at the margin (BANA, Braille Formats 2016,
// sections 3 and 9: cells 7-5 and 5-3). Under a heading in cell 5 a paragraph
// begins in cell 3, so there two runovers must tell.
func (f *Flow) displayed(i int) bool {
	if i+1 >= len(f.units) || f.gap[i+1].hard || !f.full(i+1) {
		return false
	}
	u, n := f.units[i], f.units[i+1]
	if n.From != u.From-2 || n.From == 0 {
		return false
	}
	return n.From >= 4 || i+2 < len(f.units) && !f.gap[i+2].hard && f.units[i+2].From == n.From && (f.full(i+2) || dividedWord(n.Text))
}

// full reports whether the line before unit i is known to have been full.
func (f *Flow) full(i int) bool { return f.gap[i].known && !f.gap[i].fits }

// directions reports whether the units a up to b, all at one indent, are a short
// block in cell 5 or further in: the directions of exercises, which stand above
// the first number (BANA, Braille Formats 2016, section 10), or a sentence that
// goes on from line to line.
func (f *Flow) directions(a, b int) bool {
	if f.units[a].Indent() < 4 || !opensHeading(f.units[a].Text) || !EndsSentence(f.units[b-1].Text) {
		return false
	}
	return !EndsSentence(f.units[a].Text) || b < len(f.units) && itemNumber(f.units[b].Text)
}

// directs reports whether unit i, in cell 5 or 7, is a sentence above a numbered item:
// directions of exercises, no heading, though they may stand in the middle by chance
// (BANA, Braille Formats 2016, section 10).
func (f *Flow) directs(i int) bool {
	u := f.units[i]
	return (u.From == 4 || u.From == 6) && i+1 < len(f.units) && EndsSentence(u.Text) && bytes.Count(u.Text, []byte{cell.Blank}) >= 3 && itemNumber(f.units[i+1].Text)
}
