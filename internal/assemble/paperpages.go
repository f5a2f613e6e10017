package assemble

import (
	"bytes"
	"fmt"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/diag"
	"continuo/internal/layout"
	"continuo/internal/structure"
)

// This file treats page numbers that name no volume: those of an index, and
// "see page 14" in the text. Whether they are print pages or pages of the paper
// volumes is told as it is for contents lists: the words beside each are looked
// for on the page of either kind that it names. Numbers that are shown to be
// pages of the paper become print pages where every one of the list has its
// page for certain; else they stay, lead to where that page began, and are told.

// How much must agree.
const (
	minIndexVotes = 8 // entries of an index whose words stand on the braille page only
	minPageVotes  = 3 // references in the text
	commonWord    = 6 // a word on more pages than this says nothing
)

// paperPage is a page number that may be one of the paper volumes.
type paperPage struct {
	locator
	words [][]byte // the words that should stand on the page
	onPage
	print, last int // the print pages that its page lies on, 0 when not certain
	agrees      bool
}

// onPage is a page of a volume, page -1 when there is none, or several.
type onPage struct{ vol, page int }

// sourceCell is a cell of the sources: volume, line and place in it.
type sourceCell [3]int32

// cellOf is where a page number begins in the sources.
func (a *assembly) cellOf(l locator) sourceCell {
	p := a.b.Blocks[l.block].Pieces[l.piece]
	return sourceCell{p.Vol, p.Line, p.From + l.from}
}

// pageStart is the block with the first text of a page of the paper, -1 when
// there is none. index tells the block of each line.
func (a *assembly) pageStart(at onPage, index blockIndex) int32 {
	if at.page < 0 {
		return -1
	}
	v := a.vols[at.vol]
	for k := range v.Units {
		if u := &v.Units[k]; int(u.Page) == at.page {
			if b, ok := index.at(int32(at.vol), u.Line); ok {
				return b
			}
		}
	}
	return -1
}

// wordPlace is where a word stands: a page of the paper, and the print page
// there, 0 when it is not known.
type wordPlace struct {
	onPage
	print int
}

// paperMap is what the volumes show of their pages.
type paperMap struct {
	pages map[int]onPage // braille page numbers that come once in the book
	whole [][]shownPage
	words map[string][]wordPlace
}

// paperNumbers decides on the numbers of the index and of the text.
func (a *assembly) paperNumbers() {
	var index, text []paperPage
	for i := range a.b.Blocks {
		bl := &a.b.Blocks[i]
		switch {
		case bl.Part == book.BackMatter && bl.Form == book.Term:
			index = append(index, a.indexPages(int32(i))...)
		case a.refersInText(bl):
			text = append(text, a.textPages(int32(i))...)
		}
	}
	m := &paperMap{pages: a.braillePages(), words: map[string][]wordPlace{}}
	if m.known(index) < minIndexVotes && m.known(text) < minPageVotes {
		return
	}
	m.whole = a.printOnPages()
	a.placeWords(m, index, text)
	if m.shown(index, minIndexVotes) {
		a.paperIndex = a.settle(index, m, true)
	}
	if m.shown(text, minPageVotes) {
		a.paperText = a.settle(text, m, false)
	}
}

// refersInText reports whether a block of the text can refer to a page.
func (a *assembly) refersInText(bl *book.Block) bool {
	return (bl.Kind == book.Para || bl.Kind == book.Line) && (bl.Part == book.Text || bl.Part == book.NotesPart)
}

// indexPages are the page numbers of an index entry, its words beside each.
func (a *assembly) indexPages(block int32) (out []paperPage) {
	words := bareWords(a.refWords(&a.b.Blocks[block]))
	for _, l := range a.locators(block) {
		if !l.volume {
			out = append(out, paperPage{locator: l, words: words})
		}
	}
	return out
}

// textPages are the numbers after "page" in a block, but those of a volume
// that is named, with the words round each.
func (a *assembly) textPages(block int32) (out []paperPage) {
	var words []refWord
	for _, l := range a.pageWords(block) {
		if l.volume || l.label.Roman {
			continue
		}
		if words == nil {
			words = a.refWords(&a.b.Blocks[block])
		}
		at := 0
		for at < len(words) && !(words[at].piece == int(l.piece) && words[at].at == int(l.from)) {
			at++
		}
		near := words[max(0, min(at, len(words))-14):min(len(words), at+8)]
		out = append(out, paperPage{locator: l, words: bareWords(near)})
	}
	return out
}

// bareWords are words long enough to say something.
func bareWords(words []refWord) (out [][]byte) {
	for _, w := range words {
		if t := bytes.TrimLeft(w.bare, ","); len(t) >= 4 && t[0] != '#' {
			out = append(out, t)
		}
	}
	return out
}

// braillePages are the braille page numbers of the text that the volumes show,
// each with its page.
func (a *assembly) braillePages() map[int]onPage {
	pages := map[int]onPage{}
	for i, v := range a.vols {
		if v.RepeatOf != nil {
			continue
		}
		for p := int(v.BodyPage); p < len(v.Pages); p++ {
			b := v.Pages[p].Braille
			if b == nil || !arabic(b) || b.Prefix != "" {
				continue
			}
			if _, twice := pages[b.Value]; twice {
				pages[b.Value] = onPage{-1, -1}
			} else {
				pages[b.Value] = onPage{i, p}
			}
		}
	}
	return pages
}

// known counts the numbers of a list that are the number of one braille page.
func (m *paperMap) known(list []paperPage) (n int) {
	for i := range list {
		at, ok := m.pages[list[i].label.Value]
		n += boolInt(ok && at.page >= 0)
	}
	return n
}

// placeWords finds the pages on which the words of the lists stand. Words of the
// contents lists do not count, nor those of the lists' own lines: what refers to
// a page says nothing of it.
func (a *assembly) placeWords(m *paperMap, lists ...[]paperPage) {
	own := a.linesOf(lists...)
	for _, list := range lists {
		for i := range list {
			for _, w := range list[i].words {
				m.words[string(w)] = nil
			}
		}
	}
	for i, v := range a.vols {
		if v.RepeatOf != nil {
			continue
		}
		print := a.printOfLines(i)
		for k := a.bodyUnit(v); k < len(v.Units); k++ {
			u := &v.Units[k]
			if a.fates[i][k] != asText || own[[2]int32{int32(i), u.Line}] {
				continue
			}
			for _, f := range cell.Fields(u.Text) {
				w := bytes.TrimLeft(structure.Bare(u.Text[f[0]:f[1]]), ",")
				if ps, ok := m.words[string(w)]; ok && len(ps) <= 4*commonWord {
					m.words[string(w)] = append(ps, wordPlace{onPage{i, int(u.Page)}, print[u.Line]})
				}
			}
		}
	}
}

// linesOf are the lines of the sources that hold the blocks of page numbers.
func (a *assembly) linesOf(lists ...[]paperPage) map[[2]int32]bool {
	own := map[[2]int32]bool{}
	for _, list := range lists {
		for _, x := range list {
			for _, p := range a.b.Blocks[x.block].Pieces {
				own[[2]int32{p.Vol, p.Line}] = true
			}
		}
	}
	return own
}

// printOfLines tells, for each line of a volume, the print page that all of it
// stands on, 0 when it is not known.
func (a *assembly) printOfLines(vol int) []int {
	v := a.vols[vol]
	out := make([]int, len(v.Lines))
	marked, at := v.Rows+v.Marks > 0, 0
	var ahead marksAhead
	for p := range v.Pages {
		pg := v.Pages[p]
		if !marked {
			if at = 0; arabic(pg.Print) && !ahead.turnsOn(v, int32(p)) {
				at = pg.Print.Value
			}
		}
		for i := pg.First; i < pg.Last; i++ {
			if l := v.Lines[i].Label; v.Lines[i].Role == layout.Turn {
				if at = 0; arabic(l) && l.Prefix == "" {
					at = l.Value
				}
			}
			out[i] = at
			for _, l := range v.Inline[i] {
				if out[i], at = 0, 0; arabic(&l) && l.Prefix == "" {
					at = l.Value
				}
			}
		}
	}
	return out
}

// shown reports whether numbers are shown to be pages of the paper: the words
// beside them stand on the braille page of that number and not on the print
// page, at least so many times, and nine times as often as the other way round.
func (m *paperMap) shown(list []paperPage, least int) bool {
	braille, print := 0, 0
	for i := range list {
		x := &list[i]
		onBraille, onPrint := false, false
		at, known := m.pages[x.label.Value]
		for _, w := range x.words {
			ps := m.words[string(w)]
			if spread(ps) > commonWord {
				continue
			}
			for _, p := range ps {
				onBraille = onBraille || known && p.onPage == at
				onPrint = onPrint || p.print == x.label.Value
			}
		}
		x.agrees = onBraille
		braille += boolInt(onBraille && !onPrint)
		print += boolInt(onPrint && !onBraille)
	}
	return braille >= least && braille >= 9*print
}

// spread is on how many pages of the paper a word stands.
func spread(ps []wordPlace) int {
	seen := map[onPage]bool{}
	for _, p := range ps {
		seen[p.onPage] = true
	}
	return len(seen)
}

// settle finds the print page of each number and writes it in its place: in an
// index when all are certain, in the text where the words round it agree. It
// returns where the pages of the others stand.
func (a *assembly) settle(list []paperPage, m *paperMap, all bool) map[sourceCell]onPage {
	certain := 0
	for i := range list {
		m.findPrint(&list[i])
		certain += boolInt(list[i].print > 0)
	}
	left := map[sourceCell]onPage{}
	changed, at := 0, [2]int32{-1, -1}
	for i := len(list) - 1; i >= 0; i-- { // from the end, so that pieces keep their places
		x := &list[i]
		if x.print > 0 && (all && certain == len(list) || !all && x.agrees) && a.writeNumber(x) {
			p := a.b.Blocks[x.block].Pieces[x.piece]
			changed, at = changed+1, [2]int32{p.Vol, p.Line}
			continue
		}
		left[a.cellOf(x.locator)] = x.onPage
	}
	if changed > 0 {
		what := "the text refers to"
		if all {
			what = "the index names"
		}
		a.find(diag.Note, "page-reference-changed", a.vols[at[0]], at[1], "%s pages of the paper volumes: the words beside the numbers stand there; %d numbers are print pages now", what, changed)
	}
	return left
}

// findPrint finds the page of the paper that a number names and, where it is
// certain, the print page: all of that page lies on it, or all the words beside
// the number that stand on the page do.
func (m *paperMap) findPrint(x *paperPage) {
	at, ok := m.pages[x.label.Value]
	if x.onPage = at; !ok || x.label.Roman || x.label.Prefix != "" || x.label.Suffix != "" || x.label.Last != x.label.Value {
		x.onPage = onPage{-1, -1}
		return
	}
	if at.page < 0 {
		return
	}
	if x.print = m.whole[at.vol][at.page]; x.print > 0 {
		return
	}
	found := map[int]bool{}
	for _, w := range x.words {
		ps := m.words[string(w)]
		if spread(ps) > commonWord {
			continue
		}
		for _, p := range ps {
			if p.onPage == at {
				found[p.print] = true
			}
		}
	}
	for n := range found {
		if len(found) == 1 {
			x.print = n
		}
	}
}

// writeNumber puts the print page in the place of a number.
func (a *assembly) writeNumber(x *paperPage) bool {
	bl := &a.b.Blocks[x.block]
	p := bl.Pieces[x.piece]
	if p.Vol < 0 || p.Tool != nil {
		return false
	}
	why := a.why("paper-page", "page of a paper volume made a print page",
		fmt.Sprintf("braille page %d lies on print page %d; words beside it stand there", x.label.Value, x.print), sureRef)
	a.mendWithin(bl, int(x.piece), p.From+x.from, p.From+x.to, string(cell.Number(x.print)), why)
	return true
}
