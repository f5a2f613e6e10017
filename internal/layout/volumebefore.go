package layout

import (
	"slices"
	"strings"

	"continuo/internal/english"
)

// This file looks over the end of a volume: where a part goes on from one volume to the next, the
// running heads go on too, and the first of a volume is no heading though its volume has none before
// it (common practice: a volume ends where its paper does, F1997 Rule 2 allows it within a chapter).

// frontPages is how many pages at the start of a volume may say which volume it is.
const frontPages = 3

// addLastHeads takes down, for every volume, the running head with which the volume before it ends, and its last heading.
func (hb *headbook) addLastHeads(vols []*Volume, edges [][]edgeLine) {
	hb.headBefore, hb.headingBefore = map[*Volume]string{}, map[*Volume][]string{}
	numbers := make([]int, len(vols))
	for i, v := range vols {
		numbers[i] = v.saysVolume()
	}
	stated := allDiffer(numbers)
	for i, v := range vols {
		before := i - 1
		if stated {
			before = slices.Index(numbers, numbers[i]-1)
		}
		if before >= 0 {
			hb.headBefore[v] = hb.lastHead(vols[before], edges[before])
			hb.headingBefore[v] = vols[before].lastHeading()
		}
	}
}

// saysVolume is the number that a volume gives itself on its first pages, 0 if none.
func (v *Volume) saysVolume() int {
	for p := 0; p < min(frontPages, len(v.Pages)); p++ {
		for i := v.Pages[p].First; i < v.Pages[p].Last; i++ {
			if v.Lines[i].Role != Text || !v.Centred(i) {
				continue
			}
			if q, ok := v.Words.Lookup(v.TextOf(i)); ok && q.ID == english.Volume && q.N > 0 {
				return q.N
			}
		}
	}
	return 0
}

// allDiffer reports whether no two numbers are the same, and at most one is 0.
func allDiffer(numbers []int) bool {
	seen := map[int]bool{}
	for _, n := range numbers {
		if seen[n] {
			return false
		}
		seen[n] = true
	}
	return true
}

// lastHead is what stands in the middle of the first line of the last page that has words there,
// when other pages have the same or it repeats the heading before it or under it: "" when it is no head.
func (hb *headbook) lastHead(v *Volume, edges []edgeLine) string {
	for i := len(edges) - 1; i >= 0; i-- {
		e := &edges[i]
		if !e.top || e.norm == "" || !e.middle || v.firstPage(e.page) {
			continue
		}
		if p, ok := v.Words.Lookup([]byte(e.norm)); ok && (headsNotes(p) || endWords(p)) { // notes of the chapters before
			continue
		}
		if oneCell(e.norm) || e.recurs() || e.opener || e.like < 2 && !hb.running.has(e.norm) && !v.followsHeading(e, hb) && !v.overSame(e) || hb.running.title.form(e.norm) {
			return ""
		}
		return e.norm
	}
	return ""
}

// endWords reports whether a structure word ends a volume or the book.
func endWords(p english.Phrase) bool {
	return p.ID == english.EndOfVolume || p.ID == english.EndOfBook || p.ID == english.ContinuedIn
}

// lastHeading is what the last heading of a volume says, a few lines of it: each by itself, and with those under it.
func (v *Volume) lastHeading() (words []string) {
	first := v.Pages[max(0, len(v.Pages)-60)].First
	for i := int32(len(v.Lines)) - 1; i >= first; i-- {
		h, ok := v.headingAt(i)
		if !ok {
			if words != nil {
				break
			}
			continue
		}
		if p, ok := v.Words.Lookup(v.TextOf(i)); !ok || !endWords(p) {
			words = append(append(words, h.norm), h.joined...)
		}
	}
	return words
}

// goesOnFromBefore reports whether an edge line where a volume's text begins, the first of its words
// there, says what the running heads or the last heading said at the end of the volume before, with no heading under it but that of the
// next part and its number, or one that says that it goes on.
func (v *Volume) goesOnFromBefore(e *edgeLine, hb *headbook) bool {
	if !e.top || !e.middle || !e.first || !v.nearStart(e.page) || v.firstPage(e.page) || !v.saysHeadBefore(e, hb) && !slices.Contains(hb.headingBefore[v], e.norm) {
		return false
	}
	next := v.near(e.line, 1)
	if next < v.Pages[e.page].Last && v.Lines[next].Role == Text {
		return !v.headingLine(next) || v.saysContinued(next)
	}
	next = v.below(e.line)
	if next < 0 || !v.Centred(next) {
		return false
	}
	p, ok := v.Words.Lookup(v.TextOf(next))
	return ok && p.N > 1
}

// saysContinued reports whether line i, or one of those in the middle under it that go on with it, says that something goes on.
func (v *Volume) saysContinued(i int32) bool {
	for ; i >= 0; i = v.nextCentred(i) {
		if _, says := english.CutContinued(v.TextOf(i)); says {
			return true
		}
	}
	return false
}

// nearStart reports whether a page is one of the first pages of a volume's text: heads may stand on every other page only, and lack on one.
func (v *Volume) nearStart(page int) bool {
	return v.begun(page) <= 1 || page <= v.textPages[0]+4
}

// saysHeadBefore reports whether an edge line has the words of the last running head of the volume
// before, or some of them, or more.
func (v *Volume) saysHeadBefore(e *edgeLine, hb *headbook) bool {
	before := hb.headBefore[v]
	if before == "" || before == e.norm {
		return before != ""
	}
	a, b := strings.Fields(before), strings.Fields(e.norm)
	return Alike(before, e.norm) || shortForm(a, b) || shortForm(b, a)
}

// headingLine reports whether line i, right under another, is the second line of a heading: in the
// middle, with no cell at its end that ends a sentence, and over a blank line or what begins elsewhere.
func (v *Volume) headingLine(i int32) bool {
	l, t := &v.Lines[i], v.TextOf(i)
	if !v.Centred(i) || v.atLevel(i) || !v.inMiddle(l.Text, l) || strings.IndexByte(endsSentence, t[len(t)-1]) >= 0 {
		return false
	}
	next := v.near(i, 1)
	return next >= v.Pages[v.PageOf[i]].Last || v.Lines[next].Role != Text || v.Lines[next].Text.From != l.Text.From
}
