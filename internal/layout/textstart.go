package layout

import (
	"bytes"
	"slices"

	"continuo/internal/cell"
	"continuo/internal/english"
)

// This file tells where the text of a volume begins, after its preliminary pages.

// opensText reports whether a line that looks like a head without a number is
// the title or a heading at the start of the text: a rule or a heading follows
// on its page, no heading of preliminary matter, and numbered pages begin.
func (v *Volume) opensText(e *edgeLine) bool {
	if b := v.Pages[e.page].Braille; b != nil && (b.Roman || b.Prefix == "t" || b.Prefix == "p") || b == nil && v.startsLater(e.page) {
		return false
	}
	for i := e.line + 1; i < v.Pages[e.page].Last; i++ {
		if v.Lines[i].Role != Text {
			continue
		}
		if t := v.TextOf(i); oneCellIn(t) && len(t) < v.Width-2 {
			return v.below(i) >= 0 && (!Broken(t) || v.begun(e.page) <= 1) // no scene break: asterisks within the text
		}
		if !v.Centred(i) {
			return false
		}
		p, ok := v.Words.Lookup(v.TextOf(i))
		if q, begins := v.Words.Prefix(v.TextOf(i)); ok && apart[p.ID] || begins && apart[q.ID] {
			return false
		}
		if ok && p.ID == english.Volume && v.volumeBefore(e.page, p.N-1) {
			return false // a contents list of the volumes goes on
		}
		return (ok || v.numberedSoon(e.page) && v.followed(i)) && !v.prelimUnder(e.page+1, e.norm)
	}
	return false
}

// prelimUnder reports whether a page begins with these words over a heading of preliminary matter.
func (v *Volume) prelimUnder(page int, norm string) bool {
	if page >= len(v.Pages) || v.Pages[page].Top < 0 {
		return false
	}
	top := v.Pages[page].Top
	next := v.below(top)
	if next < 0 || Normal(v.TextOf(top)) != norm {
		return false
	}
	p, ok := v.Words.Prefix(v.TextOf(next))
	return ok && apart[p.ID]
}

// volumeBefore reports whether a line in the middle of one of the two pages before a page, the
// title page apart, says volume n.
func (v *Volume) volumeBefore(page, n int) bool {
	for p := page - 1; n > 0 && p >= max(1, page-2) && !v.firstPage(p); p-- {
		for i := v.Pages[p].First; i < v.Pages[p].Last; i++ {
			if v.Lines[i].Role == Text && v.Centred(i) {
				if q, ok := v.Words.Lookup(v.TextOf(i)); ok && q.ID == english.Volume && q.N == n {
					return true
				}
			}
		}
	}
	return false
}

// onTitlePage reports whether an edge line is the first of a title page that has a
// number beside it: the title, which no head stands above (BANA, Braille Formats 2016,
// 1.7), unless it stands under the line once more.
func (v *Volume) onTitlePage(e *edgeLine, hb *headbook) bool {
	return e.top && e.number && e.middle && v.firstPage(e.page) && v.prelimPage(e) && !v.overHeading(e, hb)
}

// titleGoesOn reports whether an edge line is the first of two lines or three that are
// the title together: on its first page the text has the whole title in place of its
// head (BANA, Braille Formats 2016, 1.8).
func (v *Volume) titleGoesOn(e *edgeLine, hb *headbook) bool {
	joined := e.norm
	for i, n := v.nextCentred(e.line), 0; e.top && i >= 0 && n < 2; i, n = v.nextCentred(i), n+1 {
		if joined += " " + Normal(v.TextOf(i)); hb.running.title.exact[joined] {
			return true
		}
	}
	return false
}

// halfTitle reports whether an edge line that is a head on pages before is the first line of a
// title of two lines, and its second line does not follow: a head is shortened, a title above the text is whole.
func (v *Volume) halfTitle(e *edgeLine, hb *headbook) bool {
	rest, next := hb.titleRest[e.norm], v.near(e.line, 1)
	if rest == "" || e.first || e.like < 3 || next >= v.Pages[e.page].Last {
		return false
	}
	return v.Lines[next].Role != Text || !Alike(Normal(v.TextOf(next)), rest)
}

// begun counts the pages before this one that are full of running text, up to two.
func (v *Volume) begun(page int) (pages int) {
	for _, p := range v.textPages {
		if p < page {
			pages++
		}
	}
	return pages
}

// findTextPages finds the first two pages that are full of running text.
func (v *Volume) findTextPages() {
	v.textPages = nil
	for p := 0; p < len(v.Pages) && len(v.textPages) < 2; p++ {
		if v.fullOfText(p) {
			v.textPages = append(v.textPages, p)
		}
	}
}

// fullOfText reports whether running text stands on half of the lines of a page.
func (v *Volume) fullOfText(p int) bool { return 2*v.runningText(p) >= v.room(p) }

// room is how many lines of text a page has room for.
func (v *Volume) room(p int) int {
	if v.alternate(p) {
		return v.Height / 2
	}
	return v.Height
}

// fullOfVerse reports whether long lines stand on half of the lines of a page, further in than the margin and
// at cells at which the volume's text stands.
func (v *Volume) fullOfVerse(p int) bool {
	n := 0
	for i := v.Pages[p].First; i < v.Pages[p].Last; i++ {
		if l := &v.Lines[i]; l.Role == Text && l.Text.From > 2 && v.atLevel(i) && 3*int(l.Text.To) >= 2*v.Width {
			n++
		}
	}
	return 2*n >= v.room(p)
}

// runningText counts the lines of running text on a page.
func (v *Volume) runningText(p int) (n int) {
	for i := v.Pages[p].First; i < v.Pages[p].Last; i++ {
		l := &v.Lines[i]
		if l.Role != Text || l.Text.From > 2 || int(l.Text.To) < v.Width*2/3 {
			continue
		}
		t := v.TextOf(i)
		if _, label := cell.ParseLabel(t[lastToken(t):]); !label {
			n++
		}
	}
	return n
}

// alternate reports whether the lines of a page stand on every other line, as
// in double-spaced text.
func (v *Volume) alternate(p int) bool {
	pg, n, tight := &v.Pages[p], 0, 0
	for i := pg.First; i < pg.Last; i++ {
		if v.Lines[i].Role == Empty {
			continue
		}
		if n++; i > pg.First && v.Lines[i-1].Role != Empty {
			tight++
		}
	}
	return n*10 >= v.Height*3 && tight <= 2
}

// firstNumbered reports whether page is the first with a plain braille page
// number: the first of the text, where preliminary pages are numbered in
// another way. It may go without its number, the next then has the second.
func (v *Volume) firstNumbered(page int) bool {
	for p := 0; p <= page; p++ {
		if b := v.Pages[p].Braille; b != nil && !b.Roman && b.Prefix == "" {
			return p == page
		}
	}
	return true
}

// textBefore reports whether pages before this one tell by their numbers that
// the text has begun: plain ones after those of preliminary pages.
func (v *Volume) textBefore(page int) bool {
	other := false
	for p := range v.Pages[:page] {
		switch b := v.Pages[p].Braille; {
		case b == nil:
		case b.Roman || b.Prefix == "t" || b.Prefix == "p":
			other = true
		case other && b.Prefix == "":
			return true
		}
	}
	return false
}

// startsLater reports whether the first page that has a plain number after this
// one is page 1, and none before it has one: the text begins there.
func (v *Volume) startsLater(page int) bool {
	for p := range v.Pages {
		if b := v.Pages[p].Braille; b != nil && !b.Roman && b.Prefix == "" {
			return p > page && b.Value == 1
		}
	}
	return false
}

// numberedSoon reports whether one of the next two pages has a number.
func (v *Volume) numberedSoon(page int) bool {
	for p := page + 1; p <= page+2; p++ {
		if p >= len(v.Pages) || v.Pages[p].Braille != nil || v.Pages[p].Print != nil {
			return true
		}
	}
	return false
}

// firstPage reports whether p is the first page with text, or the second under a half
// title: a title page carries no head.
func (v *Volume) firstPage(p int) bool {
	for k := 0; k < p; k++ {
		if v.Pages[k].Top >= 0 && !v.halfTitleOf(k, p) {
			return false
		}
	}
	return true
}

// halfTitleOf reports whether page k is the half title of the title page p, the next one: a few
// lines that stand at the top of page p again, over a volume statement (common practice of
// publishers, followed on paper).
func (v *Volume) halfTitleOf(k, p int) bool {
	if p != k+1 {
		return false
	}
	half := v.firstWords(k, 5)
	if len(half) == 0 || len(half) > 4 || !slices.Equal(half, v.firstWords(p, len(half))) {
		return false
	}
	for i := v.Pages[p].First; i < v.Pages[p].Last; i++ {
		if q, ok := v.Words.Lookup(v.TextOf(i)); ok && (q.ID == english.Volume || q.ID == english.InVolumes) {
			return !v.fullOfText(p)
		}
	}
	return false
}

// firstWords are the first lines of a page that are not blank and no numbers, in the words to be compared.
func (v *Volume) firstWords(p, most int) (out []string) {
	for i := v.Pages[p].First; i < v.Pages[p].Last && len(out) < most; i++ {
		if l := v.Lines[i].Role; l == Text || l == Head {
			out = append(out, Normal(bytes.TrimSpace(v.Raw(i))))
		}
	}
	return out
}

// apart are headings of matter before and after the text; the title does not
// stand again above them.
var apart = map[english.PhraseID]bool{
	english.Contents: true, english.GeneralContents: true, english.SpecialSymbols: true, english.TranscribersNotes: true,
	english.Dedication: true, english.Copyright: true, english.FirstPublished: true, english.Isbn: true, english.AllRights: true,
	english.Acknowledgements: true, english.TranscribedBy: true, english.ProducedBy: true, english.PublishedBy: true, english.Permission: true,
	english.Notes: true, english.Footnotes: true, english.Endnotes: true, english.Index: true, english.Glossary: true,
	english.Bibliography: true, english.FurtherReading: true, english.EndOfBook: true, english.EndOfVolume: true, english.EndOfPart: true, english.ContinuedIn: true, english.AboutAuthor: true, english.AlsoBy: true, english.Afterword: true,
}
