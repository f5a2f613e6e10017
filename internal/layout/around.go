package layout

import (
	"bytes"
	"slices"
	"strings"

	"continuo/internal/cell"
	"continuo/internal/english"
)

// This file looks at what stands around a line at the top or the foot of a page: the heading
// before it, and what is under it.

// capitals and capitalsEnd are the signs before and after a passage of capitals (Rules of Unified English Braille 2013, 8.5).
var capitals, capitalsEnd = []byte(",,,"), []byte(",'")

// followsHeading reports whether the last heading before an edge line, in its
// volume, is like it: then the line is the head of that part. Of a part that began in the volume
// before, the heads there tell.
func (v *Volume) followsHeading(e *edgeLine, hb *headbook) bool {
	foot := !e.top && v.Pages[e.page].Double && e.line > v.Pages[e.page].First && v.Lines[e.line-1].Role == Text // text keeps its line spacing
	if !foot && v.inRun(e.line, e.text.From) && !(hb.inner.exact[e.norm] && v.withinSentence(e, hb)) {
		return false // a line of verse; not the very words of the heading within a sentence
	}
	if v.headingBefore(v.Pages[e.page].First, e) || !e.top && v.headingBefore(e.line, e) || v.followsNumber(e) || v.followsWork(e, hb) {
		return true
	}
	if e.top && !e.first && v.saysHeadBefore(e, hb) {
		return true // no heading of the volume is
	}
	p, ok := v.Words.Lookup([]byte(e.norm))
	return !e.top && e.page < 60 && ok && p.N > 0 && hb.likeHeading(e.norm, e.number) // the part began in another volume
}

// followsWork reports whether an edge line names a work, as a heading or a title does, and one of its parts, and
// the last line before it that names such a part, in its volume, names the same: "the tempest act 2" over scenes of
// that act.
func (v *Volume) followsWork(e *edgeLine, hb *headbook) bool {
	from, part, ok := v.workPart(e, hb)
	if !ok {
		return false
	}
	i := e.line
	if e.top {
		i = v.Pages[e.page].First
	}
	for i--; i >= 0; i-- {
		if l := &v.Lines[i]; l.Role == Text && int(l.Text.To-l.Text.From) <= len(e.norm)-from+4 {
			if p, ok := v.Words.Lookup(v.TextOf(i)); ok && p.ID == part.ID && p.N > 0 {
				return p.N == part.N
			}
		}
	}
	return !e.top && e.page < 60 // the part began in another volume
}

// workPart is the part that an edge line ends in, two words or three, and where it begins, behind the
// words of a heading or a title.
func (v *Volume) workPart(e *edgeLine, hb *headbook) (from int, part english.Phrase, ok bool) {
	from = strings.LastIndexByte(e.norm, cell.Blank)
	for n := 0; n < 2 && from > 0; n++ {
		from = strings.LastIndexByte(e.norm[:from], cell.Blank)
		if from <= 0 {
			break
		}
		if p, named := v.Words.Lookup([]byte(e.norm[from+1:])); named && p.N > 0 {
			work := e.norm[:from]
			return from + 1, p, hb.inner.exact[work] || hb.tops.exact[work] || hb.isTitle(work)
		}
	}
	return 0, english.Phrase{}, false
}

// followsNumber reports whether an edge line beside a page number is a number and no more, and the last
// number that stands alone on a line within the pages before it is the same: that of its chapter, at the
// margin too, where no heading of words begins.
func (v *Volume) followsNumber(e *edgeLine) bool {
	words := strings.Fields(e.norm)
	if !e.top || !e.number || len(words) != 1 || endNumber(words) == 0 {
		return false
	}
	for i := v.Pages[e.page].First - 1; i >= 0 && e.page-int(v.PageOf[i]) < 60; i-- {
		pg := &v.Pages[v.PageOf[i]]
		if t := v.TextOf(i); v.Lines[i].Role == Text && len(t) > 0 && t[0] == '#' && i != pg.Top && i != pg.Bottom && endNumber([]string{string(t)}) > 0 {
			return string(t) == e.norm
		}
	}
	return false
}

// pastHeading is a line that may be a heading, as the lines after it ask of it.
type pastHeading struct {
	line        int32
	norm        string
	bare        string // the words behind a number, or the name and number of a part; "" where none stands before them
	words       []string
	joined      []string // with the lines in the middle right under it, two at most, as heads of parts say them
	level, part bool     // at the indent of text; names a part and its number
	n           int      // the number, where it says no more
}

// overDeeper reports whether a line further in than paragraphs begin follows the lines in the middle that line i begins,
// with no blank line between: a runover of verse, or the next verse.
func (v *Volume) overDeeper(i int32) bool {
	for k := v.nextCentred(i); k >= 0; k = v.nextCentred(k) {
		i = k
	}
	next := v.near(i, 1)
	return next < v.Pages[v.PageOf[i]].Last && v.Lines[next].Role == Text && v.Lines[next].Text.From > 2
}

// headingAt describes line i when it may be a heading.
func (v *Volume) headingAt(i int32) (h pastHeading, ok bool) {
	l := &v.Lines[i]
	margin := v.marginPart(i)
	if l.Role != Text || l.Text.From < 3 && !margin || v.inList(i) {
		return h, false
	}
	side := margin || v.sideHeading(i)
	if !side && (!v.Centred(i) || v.inRun(i, l.Text.From)) || !v.setApart(i) {
		return h, false
	}
	h = pastHeading{line: i, level: v.atLevel(i)}
	if h.level && (v.pageTop(i) || !side && v.overDeeper(i)) {
		return h, false
	}
	h.norm = Normal(v.TextOf(i))
	h.words = strings.Fields(h.norm)
	h.joined = v.joinedHeading(i, h.norm)
	h.bare = behindNumber(h.norm)
	p, ok := v.Words.Lookup(v.TextOf(i))
	if h.part = ok && p.N > 0; h.part && len(p.Tail) == 0 {
		h.n = p.N
	} else if len(h.words) == 1 {
		h.n = endNumber(h.words)
	} else if p, ok := v.Words.Prefix(v.TextOf(i)); ok && (p.N > 0 || p.Letter > 0) && len(p.Tail) > 2 && h.bare == "" {
		h.bare = Normal(p.Tail)
	}
	for _, j := range h.joined {
		switch under := j[len(h.norm):]; {
		case h.bare != "":
			h.joined = append(h.joined, h.bare+under)
		case side && (h.part || chapterNumber(h.norm)):
			h.joined = append(h.joined, under[1:]) // its title, under the part and its number
		}
	}
	return h, true
}

// chapterNumber reports whether words are a number and no more, a roman one or one with its sign.
func chapterNumber(norm string) bool {
	l, ok := cell.ParseLabel([]byte(norm))
	return ok && (l.Roman || norm[0] == '#')
}

// joinedHeading is what the heading of line i, of these words, says with the lines right under it that go on
// it, in the middle or at its own cell, two at most.
func (v *Volume) joinedHeading(i int32, norm string) (joined []string) {
	next := func(j int32) int32 {
		if k := v.near(j, 1); !v.Centred(i) && k < v.Pages[v.PageOf[i]].Last && v.Lines[k].Role == Text && v.Lines[k].Text.From == v.Lines[i].Text.From {
			return k
		}
		return v.nextCentred(j)
	}
	for j := next(i); j >= 0 && len(joined) < 2; j = next(j) {
		norm += " " + Normal(v.TextOf(j))
		joined = append(joined, norm)
	}
	return joined
}

// behindNumber is what a heading says behind its number, as heads may say it alone ("4. The road");
// "" without a number, or with a word of few cells behind it.
func behindNumber(norm string) string {
	number, rest, _ := strings.Cut(norm, " ")
	if norm == "" || norm[0] != '#' || len(rest) < 3 {
		return ""
	}
	if _, ok := cell.ParseLabel([]byte(strings.TrimRight(number, "1234"))); !ok {
		return ""
	}
	return rest
}

// endNumber is the plain number that words end with, or 0.
func endNumber(words []string) int {
	if len(words) == 0 {
		return 0
	}
	if l, ok := cell.ParseLabel([]byte(words[len(words)-1])); ok && !l.Roman && l.Prefix == "" && l.Suffix == "" && l.Last == l.Value {
		return l.Value
	}
	return 0
}

// ofScene reports whether an edge line names an act and the scene that a heading says alone.
func (v *Volume) ofScene(e *edgeLine, heading []byte) bool {
	p, ok := v.Words.Lookup([]byte(e.norm))
	if !ok || p.ID != english.ActScene {
		return false
	}
	scene, ok := v.Words.Lookup(heading)
	return ok && scene.ID == english.Scene && scene.N == p.M
}

// ofBook reports whether an edge line, of these words, says a name and the number that the
// heading says alone: the head of a book, with its chapter ("Ruth 2" over chapter 2), or of an act, with the
// scene that the heading names ("act 1, scene 2").
func (h *pastHeading) ofBook(v *Volume, e *edgeLine, words []string) bool {
	if v.ofScene(e, []byte(h.norm)) {
		return true
	}
	if h.n == 0 || !e.top || !e.number || len(words) < 2 || endNumber(words) != h.n {
		return false
	}
	_, structure := v.Words.Lookup([]byte(e.norm))
	return !structure
}

// like reports whether an edge line, of these words, says what the heading says.
func (h *pastHeading) like(e *edgeLine, words []string) bool {
	cut := e.top && e.number && len(words) >= 4                                        // a head of the first words of its heading
	first := e.top && e.middle && e.like >= 3 && strings.HasPrefix(h.norm, e.norm+" ") // its first words, where there is no room for more
	if first || h.norm == e.norm || cut && beginsLike(h.norm, e.norm) || h.bare != "" && (h.bare == e.norm || e.top && (e.number || !h.level) && shortForm(strings.Fields(h.bare), words)) || !h.level && (Alike(h.norm, e.norm) || shortForm(h.words, words) || !e.top && beginsLike(h.norm, e.norm)) {
		return true
	}
	return slices.ContainsFunc(h.joined, func(j string) bool {
		return j == e.norm || cut && beginsLike(j, e.norm) || !h.level && (Alike(j, e.norm) || (!e.top || e.middle) && beginsLike(j, e.norm))
	})
}

// pastHeadings are the headings of the pages before the one whose edge lines are decided,
// each looked at once.
type pastHeadings struct {
	list []pastHeading
	to   int32 // line before which all are looked at
}

// before are the headings before line to.
func (p *pastHeadings) before(v *Volume, to int32) []pastHeading {
	for ; p.to < to; p.to++ {
		if h, ok := v.headingAt(p.to); ok {
			p.list = append(p.list, h)
		}
	}
	n, _ := slices.BinarySearchFunc(p.list, to, func(h pastHeading, to int32) int { return int(h.line - to) })
	return p.list[:n]
}

// headingBefore reports whether the last heading before line from is like an
// edge line.
func (v *Volume) headingBefore(from int32, e *edgeLine) bool {
	first, words := v.Pages[e.page].First, strings.Fields(e.norm)
	if v.past == nil {
		first = v.Pages[max(0, e.page-59)].First
	}
	for i := from - 1; i >= first; i-- {
		if h, ok := v.headingAt(i); ok && (h.like(e, words) || h.ofBook(v, e, words)) {
			return true
		} else if ok && h.part {
			return false // the heading of another part
		}
	}
	if v.past == nil {
		return false
	}
	list := v.past.before(v, first)
	for k := len(list) - 1; k >= 0 && e.page-int(v.PageOf[list[k].line]) < 60; k-- {
		if h := &list[k]; h.like(e, words) || h.part || h.n > 0 && h.ofBook(v, e, words) {
			return h.like(e, words) || h.ofBook(v, e, words)
		}
	}
	return false
}

// underItsHeading reports whether the nearest heading before the page of an edge line
// says the same: the line is the head of its part.
func (v *Volume) underItsHeading(e *edgeLine) bool {
	for i := v.Pages[e.page].First - 1; i >= 0 && e.page-int(v.PageOf[i]) < 60; i-- {
		if l := &v.Lines[i]; l.Role == Text && l.Text.From >= 3 && v.Centred(i) && !v.inRun(i, l.Text.From) && v.setApart(i) {
			return Alike(Normal(v.TextOf(i)), e.norm)
		}
	}
	return false
}

// overHeading reports whether the title stands under an edge line, or a heading
// of the same words or more of them, see overSame.
func (v *Volume) overHeading(e *edgeLine, hb *headbook) bool {
	return v.overSame(e) || (e.number || e.like >= 2 || hb.likeHeading(e.norm, false)) && v.headingUnder(e, func(n int, t []byte) bool {
		return n == 0 && hb.running.titles[string(t)] && hb.running.title.form(Normal(t))
	})
}

// overSame reports whether a heading of the same words or more of them stands under an
// edge line, its first line or one of the next two: no heading stands twice, and none
// above the title.
func (v *Volume) overSame(e *edgeLine) bool {
	if v.overNumbered(e) {
		return true
	}
	return v.headingUnder(e, func(_ int, t []byte) bool {
		h := Normal(t)
		return Alike(h, e.norm) || beginsLike(h, e.norm) || v.ofScene(e, t)
	})
}

// overItsWords reports whether the next line under an edge line in the middle, in the middle too, says the same or more, by
// itself or with the lines in the middle that go on with it, and a blank line, a rule, the heading of a part or, where the two
// stand at different cells or a number parts them, text at the margin or in cell 3 stands under them: its heading, wherever lines of the text begin.
// Away from the middle it says the very same, and at the margin over a blank line.
func (v *Volume) overItsWords(e *edgeLine) bool {
	next, numbered := v.below(e.line), false
	if next >= 0 && e.like >= 2 && v.Centred(next) && chapterNumber(Normal(v.TextOf(next))) {
		next, numbered = v.below(next), true // the number over the name
	}
	if next < 0 || !e.top || !e.middle || oneCell(e.norm) {
		return false
	}
	h := Normal(v.TextOf(next))
	if !v.Centred(next) && v.Lines[next].Text.From < 3 {
		under := v.near(next, 1)
		return h == e.norm && under < v.Pages[e.page].Last && v.Lines[under].Role == Empty
	}
	if !v.Centred(next) && h != e.norm || !slices.ContainsFunc(append(v.joinedHeading(next, h), h), func(h string) bool { return h == e.norm || beginsLike(h, e.norm) }) {
		return false
	}
	differ := numbered || v.Lines[next].Text.From != e.text.From
	for k := v.nextCentred(next); k >= 0; k = v.nextCentred(k) {
		if p, ok := v.Words.Lookup(v.TextOf(k)); oneCellIn(v.TextOf(k)) || ok && p.N > 0 {
			return true
		}
		next = k
	}
	under := v.near(next, 1)
	return under < v.Pages[e.page].Last && (v.Lines[under].Role == Empty || differ && v.Lines[under].Text.From <= 2)
}

// overNumbered reports whether the next line under an edge line beside a page number or in the middle, at any indent,
// says a number, or a part and its number, and then the same, or begins so, by itself or with the lines under it that go
// on with it, or beside a number is the first line of what the head says: the heading whose words the head has.
func (v *Volume) overNumbered(e *edgeLine) bool {
	next := v.below(e.line)
	if v.sameUnder(e) {
		return true
	}
	if !e.top || !e.number && !e.middle || next < 0 {
		return false
	}
	if l := &v.Lines[next]; e.number && l.Text.From >= 3 && v.setApart(next) && beginsLike(Normal(v.TextOf(next)), e.norm) {
		return true // at the indent of text by chance
	}
	h := behindNumber(Normal(v.TextOf(next)))
	if p, ok := v.Words.Prefix(v.TextOf(next)); ok && (p.N > 0 || p.Letter > 0) && len(p.Tail) > 2 {
		h = strings.TrimLeft(Normal(p.Tail), "1234 ")
	}
	if h == "" {
		return false
	}
	return e.number && len(h) >= 6 && strings.HasPrefix(e.norm, h+" ") ||
		slices.ContainsFunc(append(v.joinedHeading(next, h), h), func(h string) bool { return h == e.norm || beginsLike(h, e.norm) })
}

// sameUnder reports whether the next line under an edge line in the middle, at any indent, says a number and then the very
// same, or the scene that the line names with its act, or stands further in than paragraphs and says the same.
func (v *Volume) sameUnder(e *edgeLine) bool {
	next := v.below(e.line)
	return e.top && e.middle && next >= 0 && (behindNumber(Normal(v.TextOf(next))) == e.norm || v.ofScene(e, v.TextOf(next))) || v.overItsWords(e)
}

// headingUnder reports whether is holds for one of the centred lines right under an edge
// line, three at most. A refrain comes again in the next lines of its stanza.
func (v *Volume) headingUnder(e *edgeLine, is func(n int, t []byte) bool) bool {
	if v.inRun(e.line, e.text.From) {
		return false
	}
	n := 0
	for i := e.line + 1; i < v.Pages[e.page].Last && n < 3; i++ {
		if v.Lines[i].Role == Empty {
			continue
		}
		if !v.Centred(i) || v.atLevel(i) {
			return false
		}
		if is(n, v.TextOf(i)) {
			return true
		}
		n++
	}
	return false
}

// overNext reports whether the heading of the next part stands under an edge
// line that names a part and its number, with no text between: "chapter 5", and
// under it "chapter 6", or beside a page number a part with any other number, as after a
// slip; or anywhere on the page the heading of the part itself, which no heading stands above.
func (v *Volume) overNext(e *edgeLine) bool {
	p, ok := v.partNumber(v.spanOf(e))
	if !ok || p.N < 1 {
		return false
	}
	between := false
	for i := e.line + 1; i < v.Pages[e.page].Last; i++ {
		if v.Lines[i].Role == Empty {
			continue
		}
		if q, ok := v.partNumber(v.TextOf(i)); ok && v.Centred(i) && q.ID == p.ID {
			return !between && (q.N == p.N+1 || e.number && v.Reserved) || q.N == p.N && p.ID != ""
		}
		between = true
	}
	return false
}

// overLater reports whether an edge line where a volume's text begins names a
// part in which another volume breaks off, while none breaks off in the part
// before it, and the next part that a heading of its volume names is the one after it:
// the part goes on there, and its name is a head.
func (v *Volume) overLater(e *edgeLine, hb *headbook) bool {
	p, ok := v.Words.Lookup(v.spanOf(e))
	if !ok || p.N < 1 || e.number || !e.top || v.begun(e.page) > 1 || !hb.ends[partEnd{p.ID, p.N}] || hb.ends[partEnd{p.ID, p.N - 1}] {
		return false
	}
	for i := e.line + 1; int(i) < len(v.Lines); i++ {
		if v.Lines[i].Role != Text || !v.Centred(i) {
			continue
		}
		if q, ok := v.Words.Lookup(v.TextOf(i)); ok && q.ID == p.ID && q.N != p.N {
			return q.N == p.N+1
		}
	}
	return false
}

// titleLater reports whether an edge line where a volume's text begins has the words
// of the title right under the name of the part in which another volume breaks off,
// with text right under it: the part goes on there.
func (v *Volume) titleLater(e *edgeLine, hb *headbook) bool {
	next := v.near(e.line, 1)
	return hb.endTitles[e.norm] && !e.number && e.top && v.begun(e.page) <= 1 && next < v.Pages[e.page].Last && v.Lines[next].Role == Text && !v.Centred(next)
}

// footHeading reports whether a last line repeats a heading of the book, word
// for word or, where it stands twice, with slips. The words of a line that is not set apart
// may come again by chance in the text, but not under two blank lines or more.
func (v *Volume) footHeading(e *edgeLine, hb *headbook) bool {
	return v.byItself(e) && (hb.apart[e.norm] || hb.inner.exact[e.norm] && v.belowText(e.line) || e.like == 2 && hb.inner.like(e.norm))
}

// footForm reports whether a last line repeats a heading of the book or the
// first words of one, with slips.
func (v *Volume) footForm(e *edgeLine, hb *headbook) bool {
	return v.byItself(e) && (hb.inner.like(e.norm) || hb.inner.begins(e.norm))
}

// belowText reports whether two blank lines stand above a line.
func (v *Volume) belowText(i int32) bool {
	first := v.Pages[v.PageOf[i]].First
	return i-2 >= first && v.Lines[i-1].Role == Empty && v.Lines[i-2].Role == Empty
}

// newPageHeading reports whether an edge line is a heading that begins a page, where
// text and headings share line 1 with the numbers: it may recur, as "exercises" does
// at the end of every chapter. A blank line stands under it, and on no page with the
// same words does the text under them go on from the page before (BRL session 4,
// "headingsex"; BANA, Braille Formats 2016, section 4).
func (v *Volume) newPageHeading(e *edgeLine, hb *headbook) bool {
	next := v.near(e.line, 1)
	return e.top && e.number && !v.Reserved && !v.nearly && !e.flows && next < v.Pages[e.page].Last && v.Lines[next].Role == Empty && !hb.running.title.form(e.norm) && !v.underItsHeading(e)
}

// overRow reports whether a row stands right under a line at the top of a page and over
// text, and not under the top line of the next page.
func (v *Volume) overRow(e *edgeLine) bool {
	row := func(i int32) bool {
		next := v.near(i, 1)
		return next < v.Pages[v.PageOf[i]].Last && v.Lines[next].Role == Text && len(v.TextOf(next)) >= 6 && allOne(v.TextOf(next))
	}
	return e.top && row(e.line) && v.below(v.near(e.line, 1)) >= 0 && !(e.page+1 < len(v.Pages) && v.Pages[e.page+1].Top >= 0 && row(v.Pages[e.page+1].Top))
}

// overColumns reports whether an edge line at the top of a page is the heads of the
// columns of a table: two or more words after a gap begin where words of the next line
// begin after one.
func (v *Volume) overColumns(e *edgeLine) bool {
	if !e.top || e.line+1 >= v.Pages[e.page].Last {
		return false
	}
	here, next := columnStarts(v.Raw(e.line)), columnStarts(v.Raw(e.line+1))
	same := 0
	for _, x := range here {
		if slices.Contains(next, x) {
			same++
		}
	}
	return same >= 2
}

// columnStarts is where words begin after two blanks or more, but for the first.
func columnStarts(t []byte) (starts []int) {
	for i := cell.Indent(t) + 2; i < len(t); i++ {
		if t[i] != cell.Blank && t[i-1] == cell.Blank && t[i-2] == cell.Blank {
			starts = append(starts, i)
		}
	}
	return starts
}

// itemRest reports whether a last line stands where the item above it runs over, and the next page begins at that
// cell with no capital, further in than paragraphs do; or another item of the page runs over there too, and the next page
// begins so or the line ends a sentence, with a full stop where a number stands beside it. The item ends there or goes
// on over the page, and the line stands in the middle by chance.
func (v *Volume) itemRest(e *edgeLine) bool {
	i, p, in := e.line, e.page, e.text.From
	if in < 2 || !v.underItem(i, in) || p+1 >= len(v.Pages) {
		return false
	}
	k := v.Pages[p].First
	for k < i && !v.underItem(k, in) {
		k++
	}
	if k == i && in <= 2 {
		return false
	}
	if last := e.norm[len(e.norm)-1]; k < i && (last == '4' || !e.number && (last == '6' || last == '8')) {
		return true
	}
	for n := v.Pages[p+1].First; n < v.Pages[p+1].Bottom; n++ {
		if l := &v.Lines[n]; l.Role == Text {
			return l.Text.From == in && v.TextOf(n)[0] != ','
		}
	}
	return false
}

// underItem reports whether line i begins at cell in, under one that begins further out and ends no sentence.
func (v *Volume) underItem(i, in int32) bool {
	l, b := &v.Lines[i], v.near(i, -1)
	if l.Role != Text || l.Text.From != in || b < v.Pages[v.PageOf[i]].First || v.Lines[b].Role != Text || v.Lines[b].Text.From >= in {
		return false
	}
	t := v.TextOf(b)
	return strings.IndexByte(endsSentence, t[len(t)-1]) < 0
}

// headsNext reports whether an edge line opens a passage of capitals that the line in the middle right under it ends, or the
// two are together what the first line of the next page says: a heading of two lines that begins a page beside its number, and its running head.
func (v *Volume) headsNext(e *edgeLine) bool {
	next := v.near(e.line, 1)
	if next >= v.Pages[e.page].Last || v.Lines[next].Role != Text || !v.Centred(next) {
		return false
	}
	if t := v.spanOf(e); bytes.HasPrefix(t, capitals) && !bytes.Contains(t, capitalsEnd) && bytes.Contains(v.TextOf(next), capitalsEnd) && !bytes.HasPrefix(v.TextOf(next), capitals) {
		return true
	}
	if e.page+1 >= len(v.Pages) {
		return false
	}
	head := v.Pages[e.page+1].Top
	if head < 0 {
		return false
	}
	rest, ok := strings.CutPrefix(Normal(v.TextOf(head)), e.norm+" "+Normal(v.TextOf(next)))
	if !ok || rest == "" || rest[0] != cell.Blank {
		return ok && rest == ""
	}
	rest = strings.TrimSpace(rest)
	_, number := cell.ParseLabel([]byte(rest))
	return number
}
