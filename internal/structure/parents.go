package structure

import (
	"bytes"
	"slices"
	"sort"
	"strings"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/english"
	"continuo/internal/layout"
)

// This file finds books of books: scripture, collected plays, anthologies. Their
// chapters and acts are numbered anew in every book, so that "chapter 3" alone
// says nothing in one long file. Which book it is of is told by the heading
// above the first chapter and by the page information lines, which change with
// the book; no list of titles is needed.

// Parent is a heading that needs the name of the book it belongs to.
type Parent struct {
	Block    int    // the heading
	Work     []byte // cells of the name, as they stand in a heading or head
	Over     []byte // cells of the heading it stands under within the book (the act of a scene), or none
	Own      int    // cells of the heading itself
	Evidence string
	Sure     float64
}

// child is a heading that says only its kind and number.
type child struct {
	block int
	class string // "chapter", "act", "number"
	n, m  int    // its number; the second of an act and scene
	vol   int32
	page  int32
	text  []byte
}

// work is one book of the volume set: children first up to last (not included)
// of the class that is numbered anew in every book.
type work struct {
	first, last int // indexes of children
	from, to    int // blocks
	name        []byte
	evidence    string
	sure        float64
}

// parents is the search for works.
type parents struct {
	b    *book.Book
	vols []*Volume
	kids []child
	name map[int]bool // blocks of headings that can be the name of a book
}

// FindParents finds the headings that need the name of their book, and the
// names. A title whose chapters are numbered once has none; nor has one whose
// parts are only numbered.
func FindParents(b *book.Book, vols []*Volume) []Parent {
	p := &parents{b: b, vols: vols, name: map[int]bool{}}
	p.gather()
	classes := p.classes()
	for _, c := range classes {
		works := p.works(c)
		if named(works) < 2 {
			continue
		}
		return p.all(works, c, classes)
	}
	return nil
}

// gather lists the headings of the text.
func (p *parents) gather() {
	for i := range p.b.Blocks {
		bl := &p.b.Blocks[i]
		if bl.Kind != book.Heading && !p.sideHeading(i) || bl.Moved != 0 {
			continue
		}
		piece := book.Piece{Vol: -1}
		for _, x := range bl.Pieces {
			if x.Vol >= 0 && x.Tool == nil {
				piece = x
				break
			}
		}
		if piece.Vol < 0 || p.vols[piece.Vol].amongNotes(piece.Line) {
			continue
		}
		text := blockStart(p.b, bl)
		if c, ok := childOf(text); ok {
			c.block, c.text, c.vol, c.page = i, text, piece.Vol, p.vols[piece.Vol].PageOf[piece.Line]
			p.kids = append(p.kids, c)
		} else if nameLike(text) {
			p.name[i] = true
		}
	}
}

// amongNotes reports whether a line stands among the notes of its volume: headings
// there name the chapters again, of which the notes are.
func (v *Volume) amongNotes(line int32) bool {
	for _, g := range v.Groups {
		if g.From < g.To && line >= v.Units[g.From].Line && line <= v.Units[g.To-1].Line {
			return true
		}
	}
	return false
}

// sideHeading reports whether a block is a heading at cell 5 that says only a
// number (BANA Braille Formats 2016, 4.4; common practice): further in than the
// text after it, one line, a blank line before it. British books set none round a
// heading that says "act 1" and no more (common practice), and stage directions
// begin at cell 5 too.
func (p *parents) sideHeading(i int) bool {
	bl := &p.b.Blocks[i]
	if bl.Kind != book.Line && bl.Kind != book.Para || bl.First < 4 || len(bl.Pieces) != 1 || bl.Pieces[0].Vol < 0 || i+1 == len(p.b.Blocks) {
		return false
	}
	text := p.b.Text(bl.Pieces[0])
	c, ok := childOf(text)
	if ok && c.class != "number" && len(cell.Fields(text)) == 2 {
		return true
	}
	if !bl.Blank.Want && i > 0 && p.b.Blocks[i-1].Kind != book.Heading && !p.pageTop(bl.Pieces[0]) {
		return false
	}
	next := &p.b.Blocks[i+1]
	_, more := childOf(blockStart(p.b, next)) // "act 1", "scene 1"
	return ok && (next.First < bl.First || more || next.Kind == book.Turn)
}

// pageTop reports whether a piece is the first line of text of its page, where
// the blank line before a heading is lost.
func (p *parents) pageTop(x book.Piece) bool {
	v := p.vols[x.Vol]
	for i := v.Pages[v.PageOf[x.Line]].First; i < x.Line; i++ {
		if v.Lines[i].Role == layout.Text {
			return false
		}
	}
	return true
}

// childPhrases are the headings with a number that stand under the name of a
// book. A part, a book or a volume with a number may itself be a parent.
var childPhrases = map[english.PhraseID]bool{
	english.Chapter: true, english.Act: true, english.Scene: true, english.ActScene: true, english.Canto: true, english.Section: true,
	english.Stave: true, english.Letter: true, english.Unit: true,
}

// childOf reads a heading as one that says only its kind and number; a title
// may follow the number.
func childOf(text []byte) (child, bool) {
	if p, ok := english.Prefix(text); ok && childPhrases[p.ID] && p.N > 0 {
		return child{class: string(p.ID), n: p.N, m: p.M}, true
	}
	t := bytes.Trim(english.Strip(text), " ;4")
	l, ok := cell.ParseLabel(t)
	if !ok && len(text) > 0 && bytes.IndexByte(text, cell.Blank) < 0 {
		l, ok = cell.ParseLabel(append([]byte{';'}, t...))
	}
	if !ok || l.Prefix != "" || l.Suffix != "" || l.Last != l.Value || l.Value < 1 || l.Value >= 1000 { // a year
		return child{}, false
	}
	return child{class: "number", n: l.Value}, true
}

// nameLike reports whether a heading can be the name of a book: it has letters
// and is no structure word.
func nameLike(text []byte) bool {
	if _, ok := english.Lookup(text); ok {
		return false
	}
	for _, c := range text {
		if c >= 'a' && c <= 'z' {
			return true
		}
	}
	return false
}

// classes lists the kinds of children, the one that is numbered anew least
// often first; those that are numbered once are left out.
func (p *parents) classes() []string {
	restarts, last := map[string]int{}, map[string]child{}
	var out []string
	for _, k := range p.kids {
		prev, ok := last[k.class]
		if !ok {
			out = append(out, k.class)
		} else if !follows(prev, k) {
			restarts[k.class]++
		}
		last[k.class] = k
	}
	kept := out[:0]
	for _, c := range out {
		if restarts[c] > 0 {
			kept = append(kept, c)
		}
	}
	sort.SliceStable(kept, func(i, j int) bool { return restarts[kept[i]] < restarts[kept[j]] })
	return kept
}

// follows reports whether a number goes on from the one before, or is the same: a chapter that is named again where it
// goes on in the next volume. Chapter 1 under chapter 1 is of another book.
func follows(a, b child) bool { return b.n > a.n || b.n == a.n && (b.m > a.m || b.m == a.m && b.n > 1) }

// works parts the children of a class where they are numbered anew, and names
// the parts. Names that do not tell the parts apart are no names.
func (p *parents) works(class string) []work {
	var out []work
	prev := child{}
	for i, k := range p.kids {
		if k.class != class {
			continue
		}
		if len(out) == 0 || !follows(prev, k) {
			out = append(out, work{first: i, from: k.block})
		}
		out[len(out)-1].last = i + 1
		prev = k
	}
	for i := range out {
		if out[i].to = len(p.b.Blocks); i+1 < len(out) {
			out[i].to = out[i+1].from
		}
	}
	heads := p.runningHeads(out)
	for i := range out {
		p.nameWork(out, i, heads[i])
	}
	return p.distinct(out)
}

// runningHead is the head that most pages of a work carry.
type runningHead struct {
	text  []byte
	norm  string
	pages int // pages with it
	of    int // pages with a head
}

// runningHeads finds the head of each work: on the pages from the one after its
// first child to the one before the next work. A head that several works share
// says nothing, unless there are more of them than works that share it.
func (p *parents) runningHeads(works []work) []runningHead {
	out := make([]runningHead, len(works))
	shared := map[string]int{}
	for i := range works {
		out[i] = p.headOf(works, i)
		if out[i].norm != "" {
			shared[out[i].norm]++
		}
	}
	for i := range out {
		if shared[out[i].norm] > 1 {
			out[i] = runningHead{}
		}
	}
	return out
}

// headOf counts the heads on the pages of a work. The pages on which it begins
// and ends may carry the head of its neighbour.
func (p *parents) headOf(works []work, i int) runningHead {
	k, last := p.kids[works[i].first], p.kids[works[i].last-1]
	endVol, endPage := last.vol, last.page
	if i+1 < len(works) {
		n := p.kids[works[i+1].first]
		endVol, endPage = n.vol, n.page-1
		if endVol > k.vol && endPage < 0 {
			endVol, endPage = endVol-1, int32(len(p.vols[endVol-1].Pages))-1
		}
	} else {
		endVol, endPage = int32(len(p.vols)-1), 1<<30
	}
	counts := map[string]*runningHead{}
	of, all := 0, 0
	add := func(vol, page int32) {
		all++
		if t := withoutPart(p.headText(vol, page), k.class); t != nil {
			n := layout.Normal(t)
			if counts[n] == nil {
				counts[n] = &runningHead{norm: n, text: t}
			}
			counts[n].pages++
			of++
		}
	}
	for v, pg := k.vol, k.page; v < endVol || v == endVol && pg <= endPage; pg++ {
		if v >= int32(len(p.vols)) {
			break
		}
		if pg >= int32(len(p.vols[v].Pages)) {
			v, pg = v+1, -1
			continue
		}
		add(v, pg)
	}
	var best runningHead
	for _, h := range counts {
		if h.pages > best.pages || h.pages == best.pages && h.norm < best.norm {
			best = *h
		}
	}
	best.of = of
	if best.pages*2 < of || of*5 < all || !nameLike(best.text) { // heads may stand on right-hand pages only
		return runningHead{}
	}
	return best
}

// withoutPart is a head without the part of a class that it ends in: "the tempest act 2" over the pages of a
// play whose acts are numbered. A number alone is no such part: "psalm 8" names another psalm than "psalm 9".
func withoutPart(head []byte, class string) []byte {
	f := cell.Fields(head)
	for n := 2; n <= 3 && n < len(f); n++ {
		at := f[len(f)-n][0]
		if c, ok := childOf(head[at:]); ok && c.class == class {
			return bytes.TrimSpace(head[:at])
		}
	}
	return head
}

// headText is the head of a page without its numbers, nil if it has none.
func (p *parents) headText(vol, page int32) []byte {
	v := p.vols[vol]
	pg := &v.Pages[page]
	for _, i := range []int32{pg.Top, pg.Bottom} {
		if i >= 0 && v.Lines[i].Role == layout.Head {
			if t := bytes.TrimSpace(v.TextOf(i)); len(t) > 0 {
				return t
			}
		}
	}
	return nil
}

// nameWork names a work by the heading above its first child, by its running
// head, or by both.
func (p *parents) nameWork(works []work, i int, head runningHead) {
	w := &works[i]
	after := -1
	if i > 0 {
		after = p.kids[works[i-1].last-1].block
	}
	heading, close := p.headingAbove(p.kids[w.first].block, after, head)
	n := layout.Normal(heading)
	switch {
	case heading == nil && head.norm == "", p.namedUnder(p.kids[w.first].block, head):
	case heading == nil && head.pages >= 2:
		w.name, w.evidence, w.sure = head.text, "running head of its pages", 0.85
	case heading == nil:
	case head.norm == "" && close:
		w.name, w.evidence, w.sure = heading, "heading above its first number", 0.85
	case head.norm == "":
	case n == head.norm:
		w.name, w.evidence, w.sure = heading, "heading above its first number and running head", 0.97
	case within(n, head.norm):
		w.name, w.evidence, w.sure = asWritten(heading, head), "running head of its pages, words of the heading above", 0.95
	case close && (head.pages < 2 || p.isTitle(head.norm) && !p.isTitle(n)):
		w.name, w.evidence, w.sure = heading, "heading above its first number", 0.8
	case head.pages >= 2:
		w.name, w.evidence, w.sure = head.text, "running head of its pages", 0.8
	}
}

// namedUnder reports whether the heading right under a number has the words of a running head: the
// head names the chapter, not a book of which it is the first.
func (p *parents) namedUnder(kid int, head runningHead) bool {
	if kid+1 >= len(p.b.Blocks) || head.norm == "" || p.b.Blocks[kid+1].Kind != book.Heading {
		return false
	}
	return within(layout.Normal(blockStart(p.b, &p.b.Blocks[kid+1])), head.norm)
}

// noNameEnds are words that end no name, in every English code, contracted or not: of the, and, in, to. A head that ends in
// one was cut for want of room.
var noNameEnds = setOf("( ! (! & &! ) )! = =! 9 0 6 f a of the and with for in by to from an at on or")

// BreaksOff reports whether words end within a phrase, as no name does.
func BreaksOff(words []byte) bool {
	norm := layout.Normal(words)
	return noNameEnds[norm[strings.LastIndexByte(norm, cell.Blank)+1:]]
}

// asWritten is a running head with the capitals of the heading that it repeats,
// where it is the first words of it; the whole heading where the head breaks off within a phrase.
func asWritten(heading []byte, head runningHead) []byte {
	k := len(strings.Fields(head.norm))
	fields := cell.Fields(heading)
	if k == 0 || k > len(fields) {
		return head.text
	}
	first := heading[:fields[k-1][1]]
	if layout.Normal(first) != head.norm {
		return head.text
	}
	if BreaksOff(first) {
		return heading
	}
	return first
}

// within reports whether the words of a head stand in a heading, in order.
func within(heading, head string) bool {
	if layout.Alike(heading, head) {
		return true
	}
	k, words := 0, strings.Fields(head)
	for _, w := range strings.Fields(heading) {
		if k < len(words) && (w == words[k] || strings.HasPrefix(w, words[k]) && len(words[k]) >= 3) {
			k++
		}
	}
	return k == len(words)
}

// headingAbove finds the heading of a book above its first child, after block
// after: one that the running head names, else the first line of the last
// heading. close says that nothing but headings stands between it and the child.
func (p *parents) headingAbove(kid, after int, head runningHead) (text []byte, close bool) {
	close = true
	found := -1
	for i := kid - 1; i > after; i-- {
		bl := &p.b.Blocks[i]
		if bl.Kind == book.TitleLine || bl.Kind == book.Entry {
			break
		}
		if !p.name[i] {
			if bl.Kind == book.Para || bl.Kind == book.Line {
				if close = false; found >= 0 && head.norm == "" {
					break // the heading nearest to the child
				}
			}
			continue
		}
		t := blockStart(p.b, bl)
		if found >= 0 && (p.isTitle(layout.Normal(t)) || p.titleEnds(i)) { // the title again, above the first book
			break
		}
		if head.norm != "" && within(layout.Normal(t), head.norm) {
			return t, close
		}
		if found < 0 || close || p.b.Blocks[i+1].Kind == book.Heading && found == i+1 {
			found = i
		}
	}
	if found < 0 {
		return nil, false
	}
	return blockStart(p.b, &p.b.Blocks[found]), p.onlyHeadings(found, kid)
}

// isTitle reports whether a heading says the title of the whole, or its first line.
func (p *parents) isTitle(norm string) bool {
	lines := p.vols[0].TitleLines()
	return len(lines) > 0 && (norm == lines[0] || norm == strings.Join(lines, " "))
}

// titleEnds reports whether block i and the heading right over it say the title of the whole, over two lines.
func (p *parents) titleEnds(i int) bool {
	return i > 0 && p.b.Blocks[i-1].Kind == book.Heading && p.isTitle(layout.Normal(blockStart(p.b, &p.b.Blocks[i-1]))+" "+layout.Normal(blockStart(p.b, &p.b.Blocks[i])))
}

// onlyHeadings reports whether nothing but headings stands between two blocks, and the list of characters of a play.
func (p *parents) onlyHeadings(from, to int) bool {
	cast := false
	for i := from; i < to; i++ {
		bl := &p.b.Blocks[i]
		if bl.Kind == book.Heading {
			ph, ok := english.Lookup(blockStart(p.b, bl))
			cast = ok && ph.ID == english.Cast
		} else if !cast && (bl.Kind == book.Para || bl.Kind == book.Line) {
			return false
		}
	}
	return true
}

// distinct takes away names that two works share. The title of the whole, which
// heads give in full here and shortened there, is one name.
func (p *parents) distinct(works []work) []work {
	title := strings.Join(p.vols[0].TitleLines(), " ")
	norms := make([]string, len(works))
	for i, w := range works {
		norms[i] = layout.Normal(w.name)
	}
	for i, a := range norms {
		for j, b := range norms {
			if i != j && (a == b || a != "" && strings.HasPrefix(b+" ", a+" ") && within(title, b)) {
				works[i].name, works[j].name = nil, nil
			}
		}
	}
	return works
}

func named(works []work) int {
	n := 0
	for _, w := range works {
		if len(w.name) > 0 {
			n++
		}
	}
	return n
}

// all lists the headings of every class that need a name. A class that is
// numbered anew within the works (the scenes of every act) takes the heading of
// the class above with the name. Classes numbered anew less often stand over the works.
func (p *parents) all(works []work, class string, classes []string) []Parent {
	restarting := map[string]bool{}
	for _, c := range classes[slices.Index(classes, class):] {
		restarting[c] = true
	}
	var out []Parent
	k, over := 0, []byte(nil)
	for _, c := range p.kids {
		for k+1 < len(works) && c.block >= works[k+1].from {
			k, over = k+1, nil
		}
		w := &works[k]
		if c.class == class {
			over = c.text
		}
		if len(w.name) == 0 || c.block < w.from || c.class != class && !restarting[c.class] || bytes.HasPrefix(c.text, w.name) {
			continue
		}
		x := Parent{Block: c.block, Work: w.name, Own: len(c.text), Evidence: w.evidence, Sure: w.sure}
		if c.class != class {
			x.Over = over
		}
		out = append(out, x)
	}
	return out
}
