package triage

import (
	"bytes"
	"slices"
	"strings"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/convert"
	"continuo/internal/layout"
)

// headOrText looks for lines kept as text that say what lines left out as page
// heads say: one of them was taken for the other. A refrain at the top of a
// page may have gone as a head, or a head may have stayed. Headings, the title
// and contents entries say what heads say, and are none of these. A line at
// the top or foot of a page, which begins as a heading does and breaks off, is
// like a head too.
func headOrText(b *book.Book, title string, edge edgeLines, out *outHeads) []sign {
	names := headings(b)
	title = headWords([]byte(title))
	out.addPair([]byte(title))
	var refrain map[string]int  // counted when it is asked for
	feet := 0                   // last lines with the words of headings, where no page head is left out at the foot
	seen, begun := false, false // the title over a heading; text
	for i := range b.Blocks {
		bl := &b.Blocks[i]
		if bl.Part == book.TitlePage || bl.Part == book.Prelims {
			continue
		}
		switch bl.Kind {
		case book.Heading, book.TitleLine, book.Entry, book.Turn, book.Label:
			continue
		}
		for _, p := range bl.Pieces {
			if p.Tool != nil {
				continue
			}
			atEdge := edge.has(p)
			if !atEdge && !out.may(b.Text(p)) || !wholeLine(b, p) {
				continue
			}
			k := headWords(b.Text(p))
			opens := !begun && k == title
			begun = begun || !opens && bl.Kind != book.Rule && bl.Kind != book.TitleLine
			switch {
			case opens, len(k) < minHead, len(k) < len(title) && strings.HasPrefix(title, k) && !atEdge: // the title over two lines
			case !seen && k == title && p.Vol <= 1 && i+1 < len(b.Blocks) && b.Blocks[i+1].Kind == book.Heading: // the title above the first heading
				seen = true
			case !atEdge && i > 0 && b.Blocks[i-1].Kind == book.Heading: // the second line of a heading
			case !atEdge && out.sureHeads(b, k, p), overNotes(b, i), atEdge && !(out.couldStand(b, edge, p) && out.asHeads(b, p)):
			case out.words[k]:
				return []sign{lookAt("head-or-text", p, b.Text(p), "a line of the text says what a line left out as a page head says")}
			case atEdge && names[k] && refrains(b, names, edge, &refrain)[k] < fewRefrains:
				if edge.lines[p.Vol][p.Line] == 2 && out.foot == 0 {
					if feet++; feet < manyFeet {
						continue
					}
				}
				return []sign{lookAt("head-or-text", p, b.Text(p), "a line at the edge of a page has the words of a heading")}
			}
		}
	}
	return nil
}

// manyFeet is how many last lines of pages are looked at for being heads, where no other is one.
const manyFeet = 3

// fewRefrains is how often words stand within pages that are a refrain.
const fewRefrains = 3

// refrains counts how often the words of headings stand in lines within pages, or are headings there.
func refrains(b *book.Book, names map[string]bool, edge edgeLines, known *map[string]int) map[string]int {
	if *known != nil {
		return *known
	}
	out := headingsWithin(b, edge)
	*known = out
	for i := range b.Blocks {
		for _, p := range b.Blocks[i].Pieces {
			if p.Tool != nil || edge.has(p) || len(b.Blocks[i].Pieces) > 2 || b.Blocks[i].Kind == book.Heading || b.Blocks[i].Kind == book.Entry {
				continue
			}
			if k := headWords(b.Text(p)); names[k] && wholeLine(b, p) {
				out[k]++
			}
		}
	}
	return out
}

// headings is what the headings say, line by line, or begin with.
func headings(b *book.Book) map[string]bool {
	out := map[string]bool{}
	for i := range b.Blocks {
		if bl := &b.Blocks[i]; bl.Kind == book.Heading {
			if k := headWords(entryText(b, bl)); len(k) >= minHead {
				out[k] = true
				addStarts(out, k)
			}
		}
	}
	return out
}

// addStarts adds the first words of a heading, two or more of them but not all; without its number all
// of them too, for heads leave the number out.
func addStarts(starts map[string]bool, heading string) {
	if rest := withoutNumber(heading); rest != heading && strings.IndexByte(rest, ' ') > 0 {
		starts[rest] = true
		addStarts(starts, rest)
	}
	words := 0
	for i := range len(heading) {
		if heading[i] == ' ' {
			if words++; words >= 2 {
				starts[heading[:i]] = true
			}
		}
	}
}

// withoutNumber is a heading without the number it begins with, "iii" or "chapter #c", and the punctuation
// behind that; itself when it has none or nothing else.
func withoutNumber(heading string) string {
	first, rest, _ := strings.Cut(heading, " ")
	if numeral(first) {
		return rest
	}
	if second, rest, _ := strings.Cut(rest, " "); numeral(second) {
		return rest
	}
	return heading
}

// numeral reports whether a word is a number in figures or a roman one.
func numeral(w string) bool {
	w = strings.TrimRight(w, "1234")
	l, ok := cell.ParseLabel([]byte(w))
	return ok && !l.Bare || len(w) > 0 && strings.Trim(w, "ivxl") == ""
}

// outHeads is what the lines say that were left out as page heads, without
// page numbers.
type outHeads struct {
	words   map[string]bool
	count   map[string]int
	at      map[string]book.Piece // the first
	longest int                   // cells
	first   [256]bool             // first letters of theirs
	pairs   [26]uint32            // first two letters of theirs and of the title
	lines   int                   // different lines that were left out as page heads
	beside  int                   // those of them that stand beside a page label
	margin  int                   // those that stand neither there nor in the middle
	foot    int                   // those in the lower half of the page
}

// headsOut takes down the lines that were left out as page heads.
func headsOut(b *book.Book, edge edgeLines) *outHeads {
	h := &outHeads{words: map[string]bool{}, count: map[string]int{}, at: map[string]book.Piece{}}
	seen := map[string]*int{} // how often, by line
	head := make([]bool, len(b.Reasons))
	for r := range b.Reasons {
		head[r] = b.Reasons[r].Class == "head"
	}
	take := func(p book.Piece, r book.ReasonID) {
		if !head[r] {
			return
		}
		t := b.Text(p)
		if n := seen[string(t)]; n != nil {
			*n++
			return
		}
		w := headWords(t)
		n := 1
		seen[string(t)] = &n
		h.words[w] = true
		if at, ok := h.at[w]; !ok || p.Vol == at.Vol && p.Line < at.Line {
			h.at[w] = p
		}
		h.lines++
		if row, _ := edge.row(p); 2*row > edge.tallest(p.Vol) {
			h.foot++
		}
		if beside := besideLabel(t); beside {
			h.beside++
		} else if !inMiddle(b, p) {
			h.margin++
		}
		h.first[firstLetter([]byte(w))] = true
		h.addPair([]byte(w))
		h.longest = max(h.longest, len(bytes.TrimSpace(t)))
	}
	for v := range b.Out {
		f := b.Files[v]
		for l, why := range b.Out[v] {
			if why != 0 {
				take(book.Piece{Vol: int32(v), Line: int32(l), To: int32(f.Lines[l].End - f.Lines[l].Start)}, why)
			}
		}
		for l, cuts := range b.Cuts[v] {
			for _, c := range cuts {
				take(book.Piece{Vol: int32(v), Line: l, From: c.From, To: c.To}, c.Reason)
			}
		}
	}
	for t, n := range seen {
		h.count[headWords([]byte(t))] += *n
	}
	return h
}

// sureHeads reports whether the lines left out as page heads that have words k are heads for
// certain, where a piece within a page says the same: four of them and more, for text comes to
// the top of a page by chance only; or the piece, in the middle of its line, stands before all of them, as
// the heading that they repeat.
func (h *outHeads) sureHeads(b *book.Book, k string, p book.Piece) bool {
	at, ok := h.at[k]
	return h.count[k] >= manyHeads || ok && inMiddle(b, p) && (p.Vol < at.Vol || p.Vol == at.Vol && p.Line < at.Line)
}

// manyHeads is how many page heads with the same words are no refrain.
const manyHeads = 4

// asHeads reports whether a piece stands as the page heads that were left out: in the middle, where
// none of them stands elsewhere.
func (h *outHeads) asHeads(b *book.Book, p book.Piece) bool {
	return h.margin > 0 || inMiddle(b, p) || besideLabel(b.Files[p.Vol].Text(int(p.Line)))
}

// inMiddle reports whether the line of a piece stands in the middle of the page's width, or
// nearly there: half a cell off, and the room of a page number.
func inMiddle(b *book.Book, p book.Piece) bool {
	t := b.Files[p.Vol].Text(int(p.Line))
	left := len(t) - len(bytes.TrimLeft(t, " "))
	right := b.Width - len(bytes.TrimRight(t, " "))
	return left >= 2 && left-right <= 3 && right-left <= 8
}

// besideLabel reports whether a line has words and a page label set off at one of its ends.
func besideLabel(t []byte) bool {
	t = bytes.TrimSpace(t)
	if i := bytes.LastIndex(t, []byte("  ")); i > 0 && isLabel(t[i:]) {
		return true
	}
	i := bytes.Index(t, []byte("  "))
	return i > 0 && isLabel(t[:i])
}

// moreSigns is how many more signs of capitals and punctuation the text may
// have than a head of the same words.
const moreSigns = 8

// may is a quick test that holds for every line within a page that says what a
// head says.
func (h *outHeads) may(t []byte) bool {
	return h.first[firstLetter(t)] && h.mayBegin(t) && len(bytes.TrimSpace(t)) <= h.longest+moreSigns
}

// mayBegin compares the first two letters of a line. A page label may be set off from
// the words.
func (h *outHeads) mayBegin(t []byte) bool {
	a, b := firstPair(t)
	return b == 0 || h.pairs[a-'a']&(1<<(b-'a')) != 0 || bytes.Contains(t, []byte("  "))
}

func (h *outHeads) addPair(t []byte) {
	if a, b := firstPair(t); b != 0 {
		h.pairs[a-'a'] |= 1 << (b - 'a')
	}
}

// firstPair is the first two of the cells a to z in a line, 0 for none.
func firstPair(t []byte) (a, b byte) {
	for _, c := range t {
		switch {
		case c < 'a' || c > 'z':
		case a == 0:
			a = c
		default:
			return a, c
		}
	}
	return a, 0
}

// firstLetter is the first of the cells a to z in a line, 0 if there is none.
func firstLetter(t []byte) byte {
	for _, c := range t {
		if c >= 'a' && c <= 'z' {
			return c
		}
	}
	return 0
}

// wholeLine reports whether a piece holds all the words of its line.
func wholeLine(b *book.Book, p book.Piece) bool {
	l := b.Files[p.Vol].Lines[p.Line]
	cells := b.Files[p.Vol].Cells
	return noWords(cells[l.Start:l.Start+p.From]) && noWords(cells[l.Start+p.To:l.End])
}

// noWords reports whether cells are none but blanks and page labels.
func noWords(t []byte) bool {
	t = bytes.TrimSpace(t)
	return len(t) == 0 || len(headWords(t)) == 0
}

// headWords is a line without the page labels set off at its ends and without
// capital signs; punctuation at its end is one full stop.
func headWords(t []byte) string {
	t = bytes.TrimSpace(t)
	if isLabel(t) {
		return ""
	}
	if i := bytes.LastIndex(t, []byte("  ")); i > 0 && isLabel(t[i:]) {
		t = t[:i]
	}
	if i := bytes.Index(t, []byte("  ")); i > 0 && isLabel(t[:i]) {
		t = t[i:]
	}
	n := layout.Normal(bytes.TrimSpace(t))
	if w := strings.TrimRight(n, "123468"); len(w) < len(n) {
		return w + "4"
	}
	return n
}

// headingTwice looks for a heading at the top or foot of a page that says what
// the last heading of its kind said, or breaks off what an earlier one or the next says: a
// page head that was kept for a heading; or, after text of a later volume, what the title says. Where page
// heads that were left out say what it says, it may stand anywhere: the end of a page may not be in the file.
// The kind of a heading is its first word. Where a later volume begins many houses name the chapter that goes
// on. A heading that ends the book is one that nothing follows.
func headingTwice(b *book.Book, title string, edge edgeLines, gone *outHeads) []sign {
	within := headingsWithin(b, edge)
	last := map[string]string{}
	before, starts := map[string]bool{}, map[string]bool{}
	second := map[string]string{} // the second line of the last heading with these words on its first: two that differ are two headings
	title = headWords([]byte(title))
	begun, text := int32(-1), int32(-1) // the volume of the first heading, and of the last text
	titles, prev := 0, ""
	for i := range b.Blocks {
		bl := &b.Blocks[i]
		if bl.Kind != book.Heading || len(bl.Pieces) == 0 {
			if len(bl.Pieces) > 0 && (bl.Kind == book.Para || bl.Kind == book.Line) && bl.Part != book.TitlePage && bl.Part != book.Prelims {
				text = bl.Pieces[0].Vol
			}
			continue
		}
		t := sourceText(b, bl)
		k := headWords(t)
		titles += is(k == title)
		kind, _, _ := strings.Cut(k, " ")
		p := bl.Pieces[len(bl.Pieces)-1]
		if begun < 0 && p.Tool == nil {
			begun = p.Vol
		}
		bare := strings.ReplaceAll(k, ",", "") // a capital sign before a wordsign is not taken away
		twice := bare == prev                  // no other heading between
		prev = bare
		next := secondLine(b, i)
		other := next != "" && !gone.words[k] && !before[k+" "+next] && !starts[k+" "+next] && (!before[k] || second[k] != "" && second[k] != next)
		again := twice || headingFollows(b, i, k) || !other && (last[kind] == k || !before[k] && starts[k])
		later := k == title && p.Vol > begun
		over := k == title && text < 0 && bl.Part != book.Prelims // the title over the text
		opens := k != title && text >= 0 && p.Vol > text          // the chapter that goes on, named where a volume begins
		if p.Tool == nil && !over && !opens && within[k] < fewRefrains && !overNotes(b, i) && gone.couldStand(b, edge, p) && (len(k) >= minHead || twice && len(k) >= minTwice) && (twice && gone.words[k] || edge.has(p) && (again || later && p.Vol == text) || later && titles > 1) {
			return []sign{lookAt("heading-twice", p, t, "a heading where page heads stand says what another heading, or the title, says")}
		}
		last[kind], before[k], second[k] = k, true, next
		addStarts(starts, k)
	}
	return nil
}

// secondLine is the words of the heading block on the line under heading block i, "" for none.
func secondLine(b *book.Book, i int) string {
	p := b.Blocks[i].Pieces[len(b.Blocks[i].Pieces)-1]
	if i+1 == len(b.Blocks) || b.Blocks[i+1].Kind != book.Heading || len(b.Blocks[i+1].Pieces) == 0 {
		return ""
	}
	if q := b.Blocks[i+1].Pieces[0]; q.Tool != nil || p.Tool != nil || q.Vol != p.Vol || q.Line != p.Line+1 {
		return ""
	}
	return headWords(sourceText(b, &b.Blocks[i+1]))
}

// headingsWithin counts the headings that stand within pages, by their words.
func headingsWithin(b *book.Book, edge edgeLines) map[string]int {
	out := map[string]int{}
	for i := range b.Blocks {
		if bl := &b.Blocks[i]; bl.Kind == book.Heading && len(bl.Pieces) > 0 {
			if p := bl.Pieces[len(bl.Pieces)-1]; p.Tool == nil && !edge.has(p) {
				out[headWords(sourceText(b, bl))]++
			}
		}
	}
	return out
}

// overNotes reports whether a note follows a heading: notes are gathered under the names
// of their chapters.
func overNotes(b *book.Book, i int) bool {
	for i++; i < len(b.Blocks) && (b.Blocks[i].Kind == book.Heading || b.Blocks[i].Kind == book.Rule); i++ {
	}
	return i < len(b.Blocks) && b.Blocks[i].Form == book.Note
}

// Cells before the headings that stand at an indent (Braille Formats 2016, section 4: cell-5
// and cell-7 headings); a page head is centred or begins at the margin.
const (
	cell5 = 4
	cell7 = 6
)

// headRows are on how many lines at the top of a page its head may stand: a line of
// numbers, a blank line.
const headRows = 3

// couldStand reports whether a heading at the edge of a page stands as a page head may: not
// alone on a page of the first volume, as a half title does, nor on its first page, which is the title
// page and has none; not between the first lines and the foot, nor at the indent of a side heading; nor
// under a page number where page heads stand beside it.
func (h *outHeads) couldStand(b *book.Book, edge edgeLines, p book.Piece) bool {
	if !edge.has(p) {
		return true
	}
	row, page := edge.row(p)
	if p.Vol == 0 && (page == 0 || edge.alone(p)) {
		return false
	}
	l := b.Files[p.Vol].Lines[p.Line]
	if from := int(p.From); from == cell5 || from == cell7 {
		if right := b.Width - int(l.End-l.Start); right-from > 3 {
			return false
		}
	}
	if edge.lines[p.Vol][p.Line] == 2 {
		return 4*row >= 3*edge.tallest(p.Vol)
	}
	return row < headRows && !(h.lines > 0 && 10*h.beside >= 9*h.lines && numberAbove(b, p.Vol, p.Line, row))
}

// numberAbove reports whether a page number that was left out stands alone above a line, in one
// of so many lines.
func numberAbove(b *book.Book, vol, line, rows int32) bool {
	for l := line - rows; l < line; l++ {
		if b.Reasons[b.Out[vol][l]].Class == "page-number" {
			return true
		}
	}
	return false
}

// minTwice is how many cells a heading must have that is taken for the one before it.
const minTwice = 4

// headingFollows reports whether the lines of heading after block i say the same as it, or
// begin with two words of it and more.
func headingFollows(b *book.Book, i int, k string) bool {
	for j := i + 1; j < len(b.Blocks) && b.Blocks[j].Kind == book.Heading; j++ {
		h := headWords(sourceText(b, &b.Blocks[j]))
		if h == k || strings.IndexByte(k, ' ') > 0 && strings.HasPrefix(h, k+" ") {
			return true
		}
	}
	return false
}

// headingWithin looks for a heading at the edge of a page that parts a sentence: the
// text before it ends within one, and the text after it goes on at the margin,
// where paragraphs are indented.
func headingWithin(b *book.Book, edge edgeLines) []sign {
	indented, all := 0, 0
	for i := range b.Blocks {
		if bl := &b.Blocks[i]; bl.Kind == book.Para && len(bl.Pieces) > 1 {
			all++
			indented += is(bl.First > 0)
		}
	}
	for i := 1; i+1 < len(b.Blocks); i++ {
		before, bl, after := &b.Blocks[i-1], &b.Blocks[i], &b.Blocks[i+1]
		if bl.Kind != book.Heading || before.Kind != book.Para || after.Kind != book.Para || after.First > 0 || len(bl.Pieces) == 0 || 10*indented < 9*all {
			continue
		}
		p := bl.Pieces[0]
		if t := sourceText(b, before); p.Tool == nil && edge.has(p) && convert.EndsWithin(t) && !convert.EndsSentence(t) {
			return []sign{lookAt("heading-within", p, sourceText(b, bl), "a heading at the edge of a page stands within a sentence")}
		}
	}
	return nil
}

// numberLeft looks for a line that is a page label and nothing else, among the preliminary
// matter or in a contents list, or at the right margin where page numbers stand. An entry
// with guide dots or a heading of its own is a chapter that is called by its number alone.
// A number far above the pages that the files have is a year.
func numberLeft(b *book.Book, pages int) []sign {
	for i := range b.Blocks {
		bl := &b.Blocks[i]
		if bl.Kind == book.Turn || len(bl.Pieces) != 1 || bl.Pieces[0].Tool != nil {
			continue
		}
		p := bl.Pieces[0]
		t := bytes.TrimSpace(b.Text(p))
		l, ok := cell.ParseLabel(t)
		front := (bl.Part == book.Prelims || bl.Part == book.TitlePage || bl.Kind == book.Entry) && l.Value < 100 // no year
		if bl.Kind == book.Entry && (len(bytes.TrimSpace(b.Files[p.Vol].Text(int(p.Line)))) > len(t) || linkedEntry(b, i)) {
			continue
		}
		if ok && !l.Bare && l.Value < max(1000, 3*pages) && (front || atMargin(b, p)) {
			return []sign{lookAt("head-left", p, t, "a page number stands alone in the text")}
		}
	}
	return nil
}

// linkedEntry reports whether a contents entry has found its heading.
func linkedEntry(b *book.Book, block int) bool {
	return slices.ContainsFunc(b.Links, func(l book.Link) bool { return l.Kind == book.ListRef && int(l.Block) == block })
}

// atMargin reports whether a piece has its line for itself and ends at the right margin.
func atMargin(b *book.Book, p book.Piece) bool {
	t := bytes.TrimRight(b.Files[p.Vol].Text(int(p.Line)), " ")
	return len(t) >= b.Width-1 && len(bytes.TrimSpace(t)) == len(bytes.TrimSpace(b.Text(p)))
}

// sourceText is what a block has of the sources.
func sourceText(b *book.Book, bl *book.Block) []byte {
	var out []byte
	for _, p := range bl.Pieces {
		if p.Tool == nil {
			out = append(append(out, b.Text(p)...), ' ')
		}
	}
	return bytes.TrimSpace(out)
}

// heads looks at what may be page heads in the text, or text among the heads.
func heads(r *convert.Result, title string) []sign {
	if r.Book == nil || r.Pages == nil {
		return nil
	}
	edge := edges(r.Book, r.Pages)
	gone := headsOut(r.Book, edge)
	out := append(headOrText(r.Book, title, edge, gone), headingWithin(r.Book, edge)...)
	out = append(out, numberLeft(r.Book, edge.pagesOf())...)
	out = append(out, numberAtEdge(r.Book, edge)...)
	out = append(out, titleSlip(r.Book, title, edge, gone)...)
	out = append(out, headAtEdge(r.Book, edge)...)
	out = append(out, listedBeforeText(r.Book)...)
	out = append(out, titleOverVolume(r.Book, title)...)
	out = append(out, headOverRule(r.Book, title)...)
	out = append(out, headEndsSentence(r.Book)...)
	return append(out, headingTwice(r.Book, title, edge, gone)...)
}
