package finders

import (
	"bytes"
	"cmp"
	"slices"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/structure"
)

// target is a target with the places where its string may begin, best first.
type target struct {
	Target
	at    int32 // offset in the text of its first cell
	spots []spot
}

// spot is a place where a string may begin: offset from up to the end of its
// line, least cells that it must have, and what it costs to use it.
type spot struct {
	span
	least int32
	known int32 // offset up to which words cost nothing: the reader knows them
	cost  int
}

// laterLine is the cost of a string that begins on a later line of a heading.
const laterLine = 2 * wordCost

// gatherer walks the blocks of a book.
type gatherer struct {
	s       Source
	text    *text
	targets []target
	title   []byte
	part    Class // Notes or Index while their blocks go on, else Heading
	level   uint8 // of that heading
	letter  byte  // of the last entry of an index
	marks   []book.PageMark
	sep     byte // what parts headwords from their meaning
}

// gather finds the targets of an edition, in its order.
func gather(s Source) *gatherer {
	g := &gatherer{s: s, text: newText(s.Lines), part: Heading, marks: s.Book.Turns}
	g.sep = g.separator()
	blocks := s.Book.Blocks
	for i := 0; i < len(blocks); {
		bl := &blocks[i]
		g.pages(i)
		if g.title == nil && bl.Kind == book.TitleLine {
			g.title = g.words(i)
		}
		if bl.Kind == book.Heading || bl.Kind == book.Label && bl.Part == book.NotesPart {
			i = g.heading(i)
			continue
		}
		g.entry(i)
		i++
	}
	// a print page that begins within an entry was added before the entry
	slices.SortStableFunc(g.targets, func(a, b target) int { return cmp.Compare(a.at, b.at) })
	return g
}

// lines are the lines of a block, from 0: from up to to.
func (g *gatherer) lines(i int) (from, to int) {
	from, to = g.s.Starts[i]-1, len(g.s.Lines)
	if i+1 < len(g.s.Starts) {
		to = g.s.Starts[i+1] - 1
	}
	return from, max(from, min(to, len(g.s.Lines)))
}

// words are the cells of a block, as they are set.
func (g *gatherer) words(i int) []byte {
	var out []byte
	for k := range g.s.Book.Blocks[i].Pieces {
		out = g.s.Book.AppendPiece(out, &g.s.Book.Blocks[i], k)
	}
	return out
}

// heading adds the heading whose first line is block i and returns the block
// after it.
func (g *gatherer) heading(i int) int {
	blocks := g.s.Book.Blocks
	to := i + 1
	for to < len(blocks) && blocks[to].Kind == book.Heading && !blocks[to].Blank.Want && blocks[to].Level == blocks[i].Level && blocks[to].Part == blocks[i].Part {
		g.pages(to)
		to++
	}
	var name []byte
	for k := i; k < to; k++ {
		if k > i {
			name = append(name, cell.Blank)
		}
		name = append(name, g.words(k)...)
	}
	class, ok := g.headingClass(i, name)
	if !ok {
		return to
	}
	t := target{Target: Target{Class: class, Block: i, Name: name, Level: blocks[i].Level}}
	cost := 0
	for k := i; k < to; k++ {
		from, end := g.lines(k)
		for n := from; n < end; n++ {
			g.spot(&t, n, 0, cost)
			cost = laterLine
		}
	}
	g.add(t)
	return to
}

// headingClass tells what a heading is; a heading within the contents list,
// its own apart, is no target.
func (g *gatherer) headingClass(i int, name []byte) (Class, bool) {
	bl := &g.s.Book.Blocks[i]
	p, known := g.s.Words.Lookup(g.words(i))
	class := Heading
	switch {
	case known && p.ID == english.Contents:
		class = Contents
	case bl.Part == book.ContentsList:
		return class, false
	case known && (p.ID == english.Notes || p.ID == english.Footnotes || p.ID == english.Endnotes):
		class = Notes
	case known && p.ID == english.Index:
		class = Index
	case g.part == Index && letterOf(name) != 0:
		class = Letter
	}
	if class == Letter {
		g.letter = letterOf(name)
		return class, true
	}
	if class == Notes || class == Index || bl.Level == 0 || bl.Level <= g.level {
		g.part, g.level, g.letter = class, bl.Level, 0
	}
	if g.part != Notes && g.part != Index {
		g.part = Heading
	}
	return class, true
}

// letterOf is the letter that a heading consists of, 0 for none.
func letterOf(name []byte) byte {
	w := bytes.TrimLeft(name, ",;.")
	if len(w) == 1 && w[0] >= 'a' && w[0] <= 'z' {
		return w[0]
	}
	return 0
}

// entry adds what block i is: a note, a headword, the first entry of a letter.
func (g *gatherer) entry(i int) {
	bl := &g.s.Book.Blocks[i]
	switch {
	case bl.Form == book.Note, g.part == Notes && bl.Form == book.Plain && bl.Kind != book.Turn && structure.NoteStart(g.words(i)):
		g.begin(i, Note)
	case bl.Form != book.Term && !(g.part == Index && (bl.Kind == book.Para || bl.Kind == book.Line)):
	case g.part != Index:
		g.begin(i, Word)
	default:
		g.indexEntry(i)
	}
}

// indexEntry adds an entry of an index where it is the first of its letter.
func (g *gatherer) indexEntry(i int) {
	name := g.words(i)
	first, _, _ := bytes.Cut(name, []byte{cell.Blank})
	print := english.Read(bytes.Trim(first, "123486"), g.s.Variant)
	for _, r := range print {
		c := byte(r | 0x20)
		if r > 'z' || c < 'a' || c > 'z' {
			continue
		}
		if c != g.letter && g.s.Book.Blocks[i].First == 0 {
			g.letter = c
			g.begin(i, Letter)
		}
		return
	}
}

// begin adds the target that block i begins, after print page turns at its
// start: its first word is its name, of a headword all its words.
func (g *gatherer) begin(i int, class Class) {
	from, to := g.lines(i)
	words := g.words(i)
	skip := structure.SkipTurns(words)
	if from >= to || skip >= len(words) {
		return
	}
	words = words[skip:]
	least := firstWord(words)
	known := least
	if class == Word {
		known = headwordEnd(words, g.sep)
	}
	t := target{Target: Target{Class: class, Block: i, Name: words[:known]}}
	if skip == 0 {
		g.spot(&t, from, int32(least), 0)
	} else if at := bytes.Index(g.text.code[g.text.start[from]:g.text.start[to]], encode(words[:least])); at >= 0 {
		g.within(&t, g.text.start[from]+int32(at), int32(least))
	}
	for k := range t.spots {
		t.spots[k].known = t.at + int32(known)
	}
	g.add(t)
}

func firstWord(words []byte) int {
	if k := bytes.IndexByte(words, cell.Blank); k > 0 {
		return k
	}
	return len(words)
}

// maxHeadword is how many words a headword has at most; usual is how many of a
// hundred entries of a book part it from what it means in the same way.
const (
	maxHeadword = 6
	usual       = 75
)

// headwordEnd is the end of the headword that an entry begins with: up to the
// sign that parts it from what it means, with a number that tells it from
// others of its name. sep is that sign in this book, dots 3-6 for a dash; 0
// where none is usual: then it is the first word, and a number after it.
func headwordEnd(words []byte, sep byte) int {
	fields := cell.Fields(words)
	end := firstWord(words)
	for n, f := range fields[:min(len(fields), maxHeadword+1)] {
		if n > 0 && words[f[0]] == '#' && (sep != 0 || n == 1) {
			return f[1]
		}
		if parts(words[f[0]:f[1]]) != sep || sep == 0 {
			continue
		}
		if sep == '-' && n > 0 {
			return fields[n-1][1]
		}
		return max(f[1]-1, 1)
	}
	return end
}

// parts is the sign by which a word parts a headword from its meaning: a dash
// on its own, or a comma, colon or full stop at its end; 0 for none.
func parts(w []byte) byte {
	switch c := w[len(w)-1]; {
	case len(bytes.Trim(w, "-")) == 0:
		return '-'
	case len(w) > 1 && (c == '1' || c == '3' || c == '4'):
		return c
	}
	return 0
}

// separator is the sign that usually parts a headword from its meaning.
func (g *gatherer) separator() byte {
	n, times := 0, map[byte]int{}
	for i := range g.s.Book.Blocks {
		if g.s.Book.Blocks[i].Form != book.Term {
			continue
		}
		n++
		words := g.words(i)
		fields := cell.Fields(words)
		for _, f := range fields[:min(max(len(fields)-1, 0), maxHeadword)] { // something is said after it
			if c := parts(words[f[0]:f[1]]); c != 0 {
				times[c]++
				break
			}
		}
	}
	for _, c := range []byte("134-") {
		if times[c]*100 > n*usual {
			return c
		}
	}
	return 0
}

// within adds the place of a string at an offset within a line.
func (g *gatherer) within(t *target, at, least int32) {
	n := g.lineOf(at)
	_, to := g.text.line(n)
	t.Line, t.at = n+1, at
	if k := bytes.IndexByte(g.text.code[at:to], foreign); k >= 0 {
		to = at + int32(k)
	}
	if at+least <= to {
		t.spots = append(t.spots, spot{span: span{at, to}, least: least})
	}
}

// spot adds the places where a string may begin on line n: at its first cell,
// after two of its blanks, after all of them.
func (g *gatherer) spot(t *target, n int, least int32, cost int) {
	from, to := g.text.line(n)
	at := g.text.indent(from, to)
	if k := bytes.IndexByte(g.text.code[at:to], foreign); k >= 0 {
		to = at + int32(k) // what is no cell cannot be searched for
	}
	if at == to {
		return
	}
	if len(t.spots) == 0 {
		t.Line, t.at = n+1, at
	}
	indents := []int32{0, 2, at - from}
	for k, blanks := range indents {
		if at-blanks < from || k == 2 && blanks <= 2 {
			continue
		}
		t.spots = append(t.spots, spot{span: span{at - blanks, to}, least: blanks + min(least, to-at), cost: cost}) // a word longer than the line: what stands on it
	}
}

func (g *gatherer) add(t target) {
	if len(t.spots) > 0 {
		g.targets = append(g.targets, t)
	}
}

// pages adds the print pages that begin in block i.
func (g *gatherer) pages(i int) {
	from, to := g.lines(i)
	if from >= to {
		return
	}
	at, end := g.text.start[from], g.text.start[to]
	for len(g.marks) > 0 && int(g.marks[0].Block) <= i {
		m := g.marks[0]
		g.marks = g.marks[1:]
		if int(m.Block) < i {
			continue
		}
		mark := pageMark(g.s.Book, m)
		k := bytes.Index(g.text.code[at:end], encode(mark))
		if k < 0 || len(mark) == 0 {
			continue
		}
		at += int32(k)
		g.page(i, at, mark, m.Label)
		at += int32(len(mark))
	}
}

// maxRow is how many cells of a row of dots 3-6 a string takes.
const maxRow = 3

// pageMark is the mark of a print page turn as it is set; of a long row, its
// last cells and the number.
func pageMark(b *book.Book, m book.PageMark) []byte {
	t := b.Text(b.Blocks[m.Block].Pieces[m.Piece])
	t = bytes.Join(bytes.Fields(t[m.From:min(int(m.To), len(t))]), []byte{cell.Blank})
	row := len(t) - len(bytes.TrimLeft(t, "-"))
	return t[max(0, row-maxRow):]
}

// page adds a print page whose mark stands at an offset.
func (g *gatherer) page(block int, at int32, mark []byte, label cell.Label) {
	n := g.lineOf(at)
	_, to := g.text.line(n)
	t := target{Target: Target{Class: Page, Block: block, Line: n + 1, Name: mark, Label: label}, at: at}
	if at+int32(len(mark)) <= to {
		t.spots = []spot{{span: span{at, to}, least: int32(len(mark))}}
	}
	g.targets = append(g.targets, t)
}

// lineOf is the line that an offset stands on.
func (g *gatherer) lineOf(at int32) int {
	lo, hi := 0, len(g.text.start)-1
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; g.text.start[mid] <= at {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// TurnsOf finds the print page turns in the blocks of a book that was read
// from an edition: turns of their own and indicators within lines.
func TurnsOf(b *book.Book) []book.PageMark {
	var out []book.PageMark
	for i := range b.Blocks {
		for k, p := range b.Blocks[i].Pieces {
			t := b.Text(p)
			m := book.PageMark{Block: int32(i), Piece: int32(k), To: int32(len(t))}
			if b.Blocks[i].Kind == book.Turn {
				lab, ok := cell.ParseLabel(bytes.TrimLeft(t, " -"))
				if !ok {
					lab, ok = layout.MarkLabel(bytes.TrimSpace(t))
				}
				if m.Label = lab; ok {
					out = append(out, m)
				}
				continue
			}
			layout.Marks(t, func(from, to int, lab cell.Label) {
				m.From, m.To, m.Label = int32(from), int32(to), lab
				out = append(out, m)
			})
		}
	}
	return out
}
