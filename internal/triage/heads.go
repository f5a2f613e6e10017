package triage

import (
	"bytes"
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
	var refrain map[string]int // counted when it is asked for
	seen := false              // the title over a heading
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
			switch {
			case len(k) < minHead, len(k) < len(title) && strings.HasPrefix(title, k) && !atEdge: // the title over two lines
			case !seen && k == title && p.Vol <= 1 && i+1 < len(b.Blocks) && b.Blocks[i+1].Kind == book.Heading: // the title above the first heading
				seen = true
			case !atEdge && i > 0 && b.Blocks[i-1].Kind == book.Heading: // the second line of a heading
			case out.words[k]:
				return []sign{lookAt("head-or-text", b.Text(p), "a line of the text says what a line left out as a page head says")}
			case atEdge && names[k] && refrains(b, names, edge, &refrain)[k] < fewRefrains:
				return []sign{lookAt("head-or-text", b.Text(p), "a line at the edge of a page has the words of a heading")}
			}
		}
	}
	return nil
}

// fewRefrains is how often words stand within pages that are a refrain.
const fewRefrains = 3

// refrains counts how often the words of headings stand in lines within pages.
func refrains(b *book.Book, names map[string]bool, edge edgeLines, known *map[string]int) map[string]int {
	if *known != nil {
		return *known
	}
	out := map[string]int{}
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

// addStarts adds the first words of a heading, two or more of them but not all.
func addStarts(starts map[string]bool, heading string) {
	words := 0
	for i := range len(heading) {
		if heading[i] == ' ' {
			if words++; words >= 2 {
				starts[heading[:i]] = true
			}
		}
	}
}

// outHeads is what the lines say that were left out as page heads, without
// page numbers.
type outHeads struct {
	words   map[string]bool
	longest int        // cells
	first   [256]bool  // first letters of theirs
	pairs   [26]uint32 // first two letters of theirs and of the title
}

// headsOut takes down the lines that were left out as page heads.
func headsOut(b *book.Book) *outHeads {
	h := &outHeads{words: map[string]bool{}}
	seen := map[string]bool{}
	take := func(t []byte, r book.ReasonID) {
		if b.Reasons[r].Class != "head" || seen[string(t)] {
			return
		}
		seen[string(t)] = true
		w := headWords(t)
		h.words[w] = true
		h.first[firstLetter([]byte(w))] = true
		h.addPair([]byte(w))
		h.longest = max(h.longest, len(bytes.TrimSpace(t)))
	}
	for v := range b.Out {
		f := b.Files[v]
		for l, why := range b.Out[v] {
			take(f.Text(l), why)
		}
		for l, cuts := range b.Cuts[v] {
			for _, c := range cuts {
				start := f.Lines[l].Start
				take(f.Cells[start+c.From:start+c.To], c.Reason)
			}
		}
	}
	return h
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
	return len(headWords(cells[l.Start:l.Start+p.From])) == 0 && len(headWords(cells[l.Start+p.To:l.End])) == 0
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
// The kind of a heading is its first word. A heading that ends the book is one that nothing follows.
func headingTwice(b *book.Book, title string, edge edgeLines, gone *outHeads) []sign {
	last := map[string]string{}
	before, starts := map[string]bool{}, map[string]bool{}
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
		again := twice || last[kind] == k || headingFollows(b, i, k) || !before[k] && starts[k]
		later := k == title && p.Vol > begun
		if p.Tool == nil && (len(k) >= minHead || twice && len(k) >= minTwice) && (twice && gone.words[k] || edge.has(p) && (again || later && p.Vol == text) || later && titles > 1) {
			return []sign{lookAt("heading-twice", t, "a heading where page heads stand says what another heading, or the title, says")}
		}
		last[kind], before[k] = k, true
		addStarts(starts, k)
	}
	return nil
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
			return []sign{lookAt("heading-within", sourceText(b, bl), "a heading at the edge of a page stands within a sentence")}
		}
	}
	return nil
}

// numberLeft looks for a line that is a page label and nothing else, among the preliminary
// matter or in a contents list, or at the right margin where page numbers stand.
func numberLeft(b *book.Book) []sign {
	for i := range b.Blocks {
		bl := &b.Blocks[i]
		if bl.Kind == book.Turn || len(bl.Pieces) != 1 || bl.Pieces[0].Tool != nil {
			continue
		}
		p := bl.Pieces[0]
		t := bytes.TrimSpace(b.Text(p))
		l, ok := cell.ParseLabel(t)
		front := (bl.Part == book.Prelims || bl.Part == book.TitlePage || bl.Kind == book.Entry) && l.Value < 100 // no year
		if ok && !l.Bare && (front || atMargin(b, p)) {
			return []sign{lookAt("head-left", t, "a page number stands alone in the text")}
		}
	}
	return nil
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
	gone := headsOut(r.Book)
	out := append(headOrText(r.Book, title, edge, gone), headingWithin(r.Book, edge)...)
	out = append(out, numberLeft(r.Book)...)
	out = append(out, numberAtEdge(r.Book, edge)...)
	out = append(out, titleSlip(r.Book, title, edge, gone)...)
	out = append(out, headOverRule(r.Book, title)...)
	out = append(out, headEndsSentence(r.Book)...)
	return append(out, headingTwice(r.Book, title, edge, gone)...)
}
