package layout

import (
	"bytes"
	"strings"

	"continuo/internal/cell"
)

// This file tells where on its line and among its neighbours a text stands.

// Centred reports whether line i stands centred, within a cell or two, and
// away from both margins.
func (v *Volume) Centred(i int32) bool {
	s := v.Lines[i].Text
	n := int(s.To - s.From)
	if n == 0 || s.From < 3 {
		return false
	}
	for _, w := range []int{v.Width, v.TextWidth} {
		if d := int(s.From) - (w-n)/2; d >= -2 && d <= 2 && n <= w-6 {
			return true
		}
	}
	return false
}

// sideHeading reports whether a line can be a heading at cell 5 or cell 7:
// short, over three lines at most, after a blank line, with text at the margin or a paragraph
// after it (BRL session 4; BANA Braille Formats, 4.4).
func (v *Volume) sideHeading(i int32) bool {
	s := v.Lines[i].Text
	if s.From != 4 && s.From != 6 {
		return false
	}
	pg := &v.Pages[v.PageOf[i]]
	if i > pg.First && v.Lines[i-1].Role != Empty {
		return false
	}
	last := i
	for last < i+2 && last+1 < pg.Last && v.Lines[last+1].Role == Text && v.Lines[last+1].Text.From == s.From {
		last++
	}
	if t := v.Lines[last].Text; int(t.To-t.From) > v.Width*2/3 || last > i && int(s.To) > v.Width-3 {
		return false
	}
	for j := last + 1; j < pg.Last; j++ {
		if v.Lines[j].Role == Text {
			t := v.TextOf(j) // a note of the transcriber stands further in (BANA, Braille Formats 2016, section 3)
			return v.Lines[j].Text.From <= 2 || bytes.HasPrefix(t, []byte("@.<")) || bytes.HasPrefix(t, []byte(",'"))
		}
	}
	return false
}

// marginPart reports whether a line at the margin under a blank line names a part and its number and says no more,
// and no entry with the next number, or two more names of parts, stand right under it: such is the first of a list.
func (v *Volume) marginPart(i int32) bool {
	l := &v.Lines[i]
	if l.Role != Text || l.Text.From > 2 || i > v.Pages[v.PageOf[i]].First && v.Lines[i-1].Role != Empty {
		return false
	}
	p, ok := v.Words.Lookup(v.TextOf(i))
	if !ok || p.N == 0 || len(p.Tail) > 0 {
		return false
	}
	if k := i + 2; k < v.Pages[v.PageOf[i]].Last && v.namesPart(i+1) && v.namesPart(k) {
		return false
	}
	if k := i + 1; k < v.Pages[v.PageOf[i]].Last && v.Lines[k].Role == Text && v.Lines[k].Text.From == l.Text.From {
		next, ok := v.Words.Prefix(v.TextOf(k))
		return !ok || next.ID != p.ID || next.N != p.N+1
	}
	return true
}

// inRun reports whether the lines before or after line i, on its page, begin at
// the cell at which its own text does: verse and lists, where a line can stand in the middle by
// chance. Two centred lines may be one heading, and so may three of which one names a part.
func (v *Volume) inRun(i, from int32) bool {
	pg := &v.Pages[v.PageOf[i]]
	same := func(k int32) bool {
		return k >= pg.First && k < pg.Last && v.Lines[k].Role == Text && v.Lines[k].Text.From == from
	}
	for _, d := range []int32{-1, 1} {
		if k := v.near(i, d); same(k) && (!v.Centred(k) || same(v.near(k, d)) || same(v.near(i, -d))) {
			return !v.Centred(k) || !v.namesPart(k)
		}
	}
	return false
}

// namesPart reports whether a line says a part and its number, and no more.
func (v *Volume) namesPart(i int32) bool {
	p, ok := v.Words.Lookup(v.TextOf(i))
	return ok && p.N > 0 && len(p.Tail) == 0
}

// setApart reports whether a line begins its page, stands after a blank line, a
// rule or another centred line, or names a part.
func (v *Volume) setApart(i int32) bool {
	pg := &v.Pages[v.PageOf[i]]
	if i == pg.First || i == pg.Top {
		return true
	}
	if prev := v.near(i, -1); prev < pg.First || v.Lines[prev].Role != Text || v.Centred(prev) && !v.atLevel(prev) || oneCellIn(v.TextOf(prev)) {
		return true
	}
	if _, ok := v.Words.Lookup(v.TextOf(i)); ok { // "chapter 5", "index"
		return true
	}
	p, ok := v.Words.Prefix(v.TextOf(i))
	return ok && p.N > 0 && len(p.Tail) > 1 && p.Tail[0] == ',' && v.sentenceEnds(i, nil) // "chapter 5: The road"
}

// nextCentred is the line right after line i on its page when it is centred, else -1.
func (v *Volume) nextCentred(i int32) int32 {
	next := v.near(i, 1)
	if next >= v.Pages[v.PageOf[i]].Last || v.Lines[next].Role != Text || !v.Centred(next) {
		return -1
	}
	return next
}

// below is the next line of a page under line i that holds text, -1 if there is none.
func (v *Volume) below(i int32) int32 {
	for k := i + 1; k < v.Pages[v.PageOf[i]].Last; k++ {
		if v.Lines[k].Role == Text && !v.onlyNumbers(k) {
			return k
		}
	}
	return -1
}

// levels finds the indents of three cells or more at which lines of many
// lengths begin: runovers, verse, lists. A centred line there may be one. Lines that are
// centred have one of two lengths for each indent. What stands beside a page number may be a head.
func (v *Volume) levels() (level [24]bool) {
	var in, out [24]int
	var long [24][64]int
	for i := range v.Lines {
		l := &v.Lines[i]
		if l.Role != Text || l.Text.From < 3 || l.Text.From >= 24 || l.Left.To > 0 || l.Right.To > 0 {
			continue
		}
		long[l.Text.From][min(l.Text.To-l.Text.From, 63)]++
		if v.Centred(int32(i)) {
			in[l.Text.From]++
		} else {
			out[l.Text.From]++
		}
	}
	for k := range level {
		level[k] = k <= 8 && (out[k] >= 3 && out[k] >= 2*in[k] || out[k] >= 8 && 3*out[k] >= in[k] || manyLengths(&long[k]))
	}
	return level
}

// manyLengths reports whether lines counted by their length have many: a third of them,
// eight or more, have none of the two next to each other that most lines have.
func manyLengths(count *[64]int) bool {
	all, most := 0, 0
	for n, c := range count {
		all += c
		if n > 0 {
			most = max(most, c+count[n-1])
		}
	}
	return all-most >= 8 && 3*(all-most) >= all
}

// atLevel reports whether line i begins at a level of the text, is no structure
// word and does not stand right under one with its number: "chapter 5", and its title.
func (v *Volume) atLevel(i int32) bool {
	from := v.Lines[i].Text.From
	if int(from) >= len(v.level) || !v.level[from] {
		return false
	}
	_, ok := v.Words.Lookup(v.TextOf(i))
	return !ok && !v.underPart(i)
}

// underPart reports whether the line above line i names a part and its number.
func (v *Volume) underPart(i int32) bool {
	above := v.near(i, -1)
	if above < v.Pages[v.PageOf[i]].First || v.Lines[above].Role != Text || !v.Centred(above) {
		return false
	}
	p, ok := v.Words.Lookup(v.TextOf(above))
	return ok && p.N > 0
}

// pageTop reports whether line i is the first of its page.
func (v *Volume) pageTop(i int32) bool { return v.Pages[v.PageOf[i]].Top == i }

// oneCellIn is oneCell of the text of a line: most lines begin with three cells that tell.
func oneCellIn(t []byte) bool {
	return len(t) >= 3 && (t[1] == t[2] || t[0] == '9' || t[1] == '9') && oneCell(string(t))
}

// oneCell reports whether a text is one cell repeated, a rule, or asterisks.
func oneCell(s string) bool {
	if first, _, more := strings.Cut(s, " "); more && len(first) <= 2 && strings.IndexByte(first, '9') >= 0 {
		f := strings.Fields(s)
		return strings.Count(s, f[0]) == len(f) && len(s) == len(f)*(len(f[0])+1)-1
	}
	if len(s) > 3 && s[0] == '"' {
		s = s[1:]
	}
	for i := range s {
		if s[i] != s[0] {
			return false
		}
	}
	return len(s) >= 3 && (s[0] < 'a' || s[0] > 'z' || s[0] == 'g') // "iii" is a number; dots 1-2-4-5 close boxes
}

// Broken reports whether a rule has blanks in it: asterisks, that part scenes of the
// text more often than matter of the book.
func Broken(rule []byte) bool { return bytes.IndexByte(rule, cell.Blank) >= 0 }

// turnLine reports whether a line is a print page turn, or a full row of dots 3-6 as one without
// a number is.
func (v *Volume) turnLine(i int32) bool {
	if _, ok := MarkLabel(v.TextOf(i)); ok {
		return true
	}
	_, _, _, ok := v.rowAt(i)
	return ok
}

// lastLine reports whether an edge line stands at the foot of the paper; pages
// may be a line short.
func (v *Volume) lastLine(e *edgeLine) bool {
	pg := &v.Pages[e.page]
	return e.line-pg.First >= int32(v.Height)-2 && e.line == pg.Bottom
}
