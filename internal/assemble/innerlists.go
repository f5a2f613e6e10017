package assemble

import (
	"sort"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/diag"
	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/structure"
)

// This file treats contents lists that stand within the text, as that of a second work in
// the same volumes does: they stay where they are. Their numbers are checked as those of
// the book's own list are; dead ones become print pages, or go.

// innerEntries is how many entries with numbers make a contents list.
const innerEntries = 3

// innerList is a contents list within the text: its entries and the blocks they are.
type innerList struct {
	head   int // block of its heading
	label  int // block of the label over its numbers, -1 for none
	lines  []listLine
	blocks []int
	print  int // how many more numbers are print pages than braille pages
}

// innerLists finds the contents lists within the text and sees to their numbers.
func (a *assembly) innerLists() {
	var gone []int
	for i := 0; i < len(a.b.Blocks); i++ {
		l, ok := a.innerList(i)
		if !ok {
			continue
		}
		if a.wholeEntries(i + 1) {
			l, _ = a.innerList(i)
		}
		a.joinInner(&l)
		switch {
		case l.print < 0:
			gone = append(gone, a.deadNumbers(&l)...)
		case l.print > 0:
			a.onlyDots(&l)
		}
		a.inner = append(a.inner, l.lines...)
		a.tellInner(&l)
	}
	for n := len(gone) - 1; n >= 0; n-- {
		a.b.Blocks = append(a.b.Blocks[:gone[n]], a.b.Blocks[gone[n]+1:]...)
	}
}

// innerList reads the contents list whose heading is block i of the text: entries with
// numbers and, but for one in three, guide dots, down to the next heading.
func (a *assembly) innerList(i int) (innerList, bool) {
	l := innerList{head: i, label: -1}
	bl := &a.b.Blocks[i]
	if bl.Kind != book.Heading || bl.Part == book.ContentsList || i < a.bodyAt || len(bl.Pieces) == 0 || bl.Pieces[0].Vol < 0 {
		return l, false
	}
	if ph, ok := a.vols[bl.Pieces[0].Vol].Words.Lookup(a.headText(i)); !ok || ph.ID != english.Contents {
		return l, false
	}
	dots, told := 0, 0
	for k := i + 1; k < len(a.b.Blocks) && a.b.Blocks[k].Kind != book.Heading; k++ {
		line, ok := a.entryOf(k)
		if !ok {
			continue
		}
		e, numbered := splitEntry(a.headText(k))
		switch ph, is := a.vols[line.vol].Words.Lookup(a.headText(k)); {
		case numbered && (e.from-len(e.text) > 1 || a.vols[line.vol].Units[line.units[0]].InnerEntry()):
			dots += boolInt(e.from-len(e.text) > 2)
			told += boolInt(a.vols[line.vol].Units[line.units[0]].InnerEntry())
			l.lines, l.blocks = append(l.lines, line), append(l.blocks, k)
		case is && pageWords[ph.ID] && len(l.lines) == 0 && len(a.b.Blocks[k].Pieces) == 1:
			l.label = k
		}
	}
	return l, max(dots, told) >= innerEntries && max(dots, told)*3 >= len(l.lines)*2
}

// wholeEntries puts entries of the list that begins with block i together whose runover
// with the number is a block of its own, and reports whether there were any.
func (a *assembly) wholeEntries(i int) (any bool) {
	for ; i+1 < len(a.b.Blocks) && a.b.Blocks[i].Kind != book.Heading; i++ {
		bl, next := &a.b.Blocks[i], &a.b.Blocks[i+1]
		x, ok := a.entryOf(i)
		y, ok2 := a.entryOf(i + 1)
		if !ok || !ok2 || bl.Kind != book.Line || next.Kind != book.Line || next.Blank.Want || x.vol != y.vol {
			continue
		}
		first, last := x.units[0], x.units[len(x.units)-1]
		if v := a.vols[x.vol]; y.units[0] == last+1 && !structure.EndsInLabel(v.Units[last].Text) && a.runsOver(v, first, last, y.units[0]) {
			bl.Pieces = append(bl.Pieces, next.Pieces...)
			a.b.Blocks = append(a.b.Blocks[:i+1], a.b.Blocks[i+2:]...)
			any = true
			i--
		}
	}
	return any
}

// entryOf is a block of the text as an entry of a list: the units of one volume.
func (a *assembly) entryOf(block int) (listLine, bool) {
	bl := &a.b.Blocks[block]
	l := listLine{kind: book.Entry, numbered: true}
	for _, p := range bl.Pieces {
		if p.Vol < 0 || p.Tool != nil || len(l.units) > 0 && int(p.Vol) != l.vol {
			return l, false
		}
		us := a.vols[p.Vol].Units
		k := sort.Search(len(us), func(k int) bool { return us[k].Line >= p.Line })
		if k < len(us) && us[k].Line == p.Line && (len(l.units) == 0 || l.units[len(l.units)-1] != k) {
			l.vol, l.units = int(p.Vol), append(l.units, k)
		}
	}
	if len(l.units) == 0 {
		return l, false
	}
	l.norm = layout.Normal(a.entryText(a.vols[l.vol], l.units))
	return l, true
}

// innerPlaces are the headings that the entries of a list can mean: those behind it, or all
// where most entries have none there, as those of a list at the back of the book.
func (a *assembly) innerPlaces(l *innerList) []place {
	last := l.lines[len(l.lines)-1]
	n := sort.Search(len(a.places), func(n int) bool {
		p := &a.places[n]
		return p.vol > last.vol || p.vol == last.vol && p.unit > last.units[len(last.units)-1]
	})
	keys := map[string]bool{}
	for _, p := range a.places[n:] {
		keys[structure.HeadingKey(layout.Normal(a.vols[p.vol].Units[p.unit].Text))] = true
	}
	behind := 0
	for k := range l.lines {
		behind += boolInt(keys[structure.HeadingKey(l.lines[k].norm)])
	}
	if behind*2 < len(l.lines) {
		return a.places
	}
	return a.places[n:]
}

// joinInner joins the entries to headings, and counts what their numbers are.
func (a *assembly) joinInner(l *innerList) {
	places := a.innerPlaces(l)
	index := map[[2]int]int{}
	for n, p := range places {
		index[[2]int{p.vol, p.unit}] = n
	}
	a.joinList(l.lines, places, index)
	for k := range l.lines {
		x := &l.lines[k]
		lab, ok := a.entryLabel(x)
		if !ok || x.confidence < sure {
			continue
		}
		to := a.vols[x.to.vol]
		b := to.Pages[to.Units[x.to.unit].Page].Braille
		l.print += boolInt(x.to.hasPrint && lab.SamePage(x.to.print)) - boolInt(b != nil && b.Value == lab.Value && b.Roman == lab.Roman)
	}
	if l.print == 0 && l.label >= 0 {
		p := a.b.Blocks[l.label].Pieces[0]
		ph, _ := a.vols[p.Vol].Words.Lookup(a.b.Text(p))
		l.print = boolInt(ph.ID == english.PrintPage) - boolInt(ph.ID == english.BraillePage)
	}
}

// deadNumbers leaves out the numbers of a list that are braille pages, puts the print pages
// of the headings in their place where these are known, and returns the block of the label
// over them, which goes too.
func (a *assembly) deadNumbers(l *innerList) (gone []int) {
	dead := a.why("contents-number", "guide dots, braille page", "these pages are gone", 0.9)
	page := a.why("contents-number", "print page of the heading", "found in the text", 0.9)
	for n, k := range l.blocks {
		x := &l.lines[n]
		bl := &a.b.Blocks[k]
		last := len(bl.Pieces) - 1
		p := &bl.Pieces[last]
		t := a.b.Text(*p)
		e, ok := splitEntry(t)
		if !ok {
			continue
		}
		a.cutPiece(*p, len(e.text), len(t), dead)
		if p.To = p.From + int32(len(e.text)); p.To == p.From && last > 0 {
			bl.Pieces = bl.Pieces[:last]
		}
		if x.confidence >= sure {
			x.print = x.to.printCells()
		}
		if x.print != nil {
			bl.Pieces = append(bl.Pieces, book.Piece{Vol: -1, Tool: x.print, Reason: page})
		}
	}
	if l.label >= 0 {
		p := a.b.Blocks[l.label].Pieces[0]
		a.b.Out[p.Vol][p.Line] = a.why("contents", "names only a volume or kind of page", "wording, in a contents list", 0.95)
		gone = append(gone, l.label)
	}
	return gone
}

// onlyDots leaves out the guide dots of a list whose numbers are print pages.
func (a *assembly) onlyDots(l *innerList) {
	dots := a.why("contents-number", "guide dots", "only fill a line", 0.97)
	for _, k := range l.blocks {
		bl := &a.b.Blocks[k]
		last := len(bl.Pieces) - 1
		p := bl.Pieces[last]
		t := a.b.Text(p)
		e, ok := splitEntry(t)
		if !ok || cell.Marks(t[len(e.text):e.from]) == 0 {
			continue
		}
		a.cutPiece(p, len(e.text), e.from, dots)
		number := p
		number.From = p.From + int32(e.from)
		bl.Pieces[last].To = p.From + int32(len(e.text))
		if len(e.text) == 0 {
			bl.Pieces = bl.Pieces[:last]
		}
		bl.Pieces = append(bl.Pieces, number)
	}
}

// cutPiece leaves out the cells from up to to of a piece's text, blanks at both ends apart.
func (a *assembly) cutPiece(p book.Piece, from, to int, why book.ReasonID) {
	t := a.b.Text(p)
	s, e := trimSpan(t, from, to)
	if cell.Marks(t[s:e]) > 0 {
		a.b.AddCut(int(p.Vol), p.Line, book.Cut{From: p.From + int32(s), To: p.From + int32(e), Reason: why})
	}
}

// innerLinks makes links of the entries of contents lists within the text.
func (a *assembly) innerLinks(index blockIndex) {
	for k := range a.inner {
		l := &a.inner[k]
		if l.confidence < sure {
			continue
		}
		target, ok := index.at(int32(l.to.vol), a.vols[l.to.vol].Units[l.to.unit].Line)
		entry, ok2 := index.at(int32(l.vol), a.vols[l.vol].Units[l.units[0]].Line)
		if !ok || !ok2 || len(a.b.Blocks[entry].Pieces) == 0 {
			continue
		}
		to := int32(len(a.b.Text(a.b.Blocks[entry].Pieces[0])))
		a.b.Links = append(a.b.Links, book.Link{Kind: book.ListRef, Block: entry, To: to, Target: target, Confidence: l.confidence})
	}
}

// tellInner tells a contents list within the text and what its numbers are.
func (a *assembly) tellInner(l *innerList) {
	p := a.b.Blocks[l.head].Pieces[0]
	what := "its numbers may be those of the paper pages"
	switch {
	case l.print < 0:
		what = "its numbers, those of the paper pages, are left out"
	case l.print > 0:
		what = "its numbers are print pages"
	}
	a.find(diag.Note, "contents-within", a.vols[p.Vol], p.Line, "a contents list of %d entries stands within the text or behind it, as that of a second work does; it stays there, and %s", len(l.lines), what)
}
