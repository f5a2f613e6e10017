package ebraille

import (
	"bytes"
	"fmt"
	"strings"

	"continuo/internal/book"
	"continuo/internal/cell"
)

// render writes the body of a file: its groups in sections by the depth of
// their headings.
func (w *writer) render(f *file) {
	f.title = w.titleCells()
	s := sections{w: w, f: f}
	if f.groups[0].shape == shapeTitle {
		s.open(0, role{"", "titlepage"})
	}
	named := false
	for i := range f.groups {
		g := &f.groups[i]
		if g.shape == shapeHeading {
			h := w.headOf(g)
			s.open(h.depth, h.role)
			if !named {
				f.title, named = h.label, true
			}
		} else if len(s.depths) == 0 && g.shape != shapeTurn {
			s.open(1, role{})
		}
		var prev *group
		if i > 0 {
			prev = &f.groups[i-1]
		}
		f.body = w.group(f.body, g, prev)
	}
	s.closeTo(0, true)
}

// sections keeps which section elements are open in a file.
type sections struct {
	w      *writer
	f      *file
	depths []int
}

func (s *sections) open(depth int, r role) {
	s.closeTo(depth, false)
	s.depths = append(s.depths, depth)
	s.f.body = append(s.f.body, "<section"...)
	if r.aria != "" {
		s.f.body = fmt.Appendf(s.f.body, ` role="%s"`, r.aria)
	}
	if r.epub != "" {
		s.f.body = fmt.Appendf(s.f.body, ` epub:type="%s"`, r.epub)
	}
	s.f.body = append(s.f.body, ">\n"...)
}

// closeTo closes sections of a depth and deeper, or all.
func (s *sections) closeTo(depth int, all bool) {
	for n := len(s.depths); n > 0 && (all || s.depths[n-1] >= depth); n-- {
		s.f.body = append(s.f.body, "</section>\n"...)
		s.depths = s.depths[:n-1]
	}
}

func (w *writer) headOf(g *group) head { return w.heads[w.headAt[g.first()]] }

// group appends one group.
func (w *writer) group(dst []byte, g *group, prev *group) []byte {
	switch g.shape {
	case shapeTitle:
		return w.titleLines(dst, g)
	case shapeHeading:
		return w.heading(dst, g)
	case shapeLines:
		return w.lines(dst, g)
	case shapeVerse:
		return w.verse(dst, g)
	case shapeList:
		return w.list(dst, g, "ul", "nomark")
	case shapeExercise:
		return w.list(dst, g, "ul", "exercise nomark")
	case shapeRecipe:
		return w.list(dst, g, "ul", "recipe nomark")
	case shapeEntries:
		return w.list(dst, g, "ol", "toc nomark")
	case shapeTerms:
		return w.terms(dst, g)
	case shapeTable:
		return w.table(dst, g)
	case shapeFixed:
		return w.fixed(dst, g, "")
	case shapeNotes:
		return w.notes(dst, g)
	case shapeNote:
		return w.note(dst, g)
	case shapeTranscriber:
		return w.transcriber(dst, g)
	case shapeTurn:
		return w.turn(dst, g.items[0])
	}
	return w.single(dst, g, prev)
}

// single appends a group of one paragraph.
func (w *writer) single(dst []byte, g *group, prev *group) []byte {
	class := ""
	switch g.shape {
	case shapePara:
		class = w.paraClass(g, prev)
	case shapeSpeech:
		class = "speech hanging"
	case shapeRule:
		class = "separator"
	case shapeLabel:
		class = "label"
	}
	return w.element(dst, "p", class, g.items[0], false)
}

// paraClass tells how a paragraph begins, by the indents it has in braille, and
// whether a blank line set it off from the one before.
func (w *writer) paraClass(g, prev *group) string {
	bl := &w.b.Blocks[w.main(g.items[0])]
	class := ""
	switch {
	case bl.First < bl.Run:
		class = "hanging"
	case bl.First == bl.Run:
		class = "left-aligned"
	}
	if bl.Blank.Want && prev != nil && prev.shape == shapePara {
		class = strings.TrimSpace(class + " gap")
	}
	return class
}

// element appends an item as an element with its id, if it has one.
func (w *writer) element(dst []byte, name, class string, it item, note bool) []byte {
	dst = w.start(dst, name, class, it)
	dst = w.content(dst, it, note, false)
	return fmt.Appendf(dst, "</%s>\n", name)
}

// start appends a start tag.
func (w *writer) start(dst []byte, name, class string, it item) []byte {
	dst = append(append(dst, '<'), name...)
	dst = w.attributes(dst, class, it)
	return append(dst, '>')
}

func (w *writer) attributes(dst []byte, class string, it item) []byte {
	if a := w.anchor[w.main(it)]; a != "" && w.b.Blocks[w.main(it)].Kind != book.Turn {
		dst = fmt.Appendf(dst, ` id="%s"`, a)
	}
	if class != "" {
		dst = fmt.Appendf(dst, ` class="%s"`, class)
	}
	return dst
}

// content appends the words of an item: its blocks with one blank between two.
func (w *writer) content(dst []byte, it item, note, pre bool) []byte {
	first := true
	for i := it.from; i < it.to; i++ {
		before := len(dst)
		if !first {
			dst = append(dst, ' ')
		}
		at := len(dst)
		if dst = w.words(dst, i, note && i == w.main(it), pre); len(dst) == at {
			dst = dst[:before]
			continue
		}
		first = false
	}
	return dst
}

// titleLines appends the title page: the title is the highest heading.
func (w *writer) titleLines(dst []byte, g *group) []byte {
	n := 0
	if g.items[0].from == w.title {
		n = min(max(1, w.o.TitleLines), len(g.items))
	}
	if n > 0 {
		dst = w.joinLines(dst, "h1", "", g.items[:n])
	}
	for _, it := range g.items[n:] {
		dst = w.element(dst, "p", "title-line", it, false)
	}
	return dst
}

// joinLines appends items as the lines of one element.
func (w *writer) joinLines(dst []byte, name, class string, items []item) []byte {
	dst = w.start(dst, name, class, items[0])
	for i, it := range items {
		if i > 0 {
			dst = append(dst, "<br/>"...)
		}
		dst = w.content(dst, it, false, false)
	}
	return fmt.Appendf(dst, "</%s>\n", name)
}

// heading appends a heading. Under a title page, which holds the title as h1,
// the highest is h2.
func (w *writer) heading(dst []byte, g *group) []byte {
	level := w.headOf(g).depth
	if w.title >= 0 {
		level++
	}
	return w.joinLines(dst, fmt.Sprintf("h%d", min(level, 6)), "", g.items)
}

// lines appends lines of which no more is known, each a paragraph.
func (w *writer) lines(dst []byte, g *group) []byte {
	dst = append(dst, "<div class=\"lines\">\n"...)
	least := w.least(g)
	for _, it := range g.items {
		dst = w.element(dst, "p", strings.TrimSpace("hanging "+w.inset(it, least)), it, false)
	}
	return append(dst, "</div>\n"...)
}

// verse appends a stanza.
func (w *writer) verse(dst []byte, g *group) []byte {
	dst = append(dst, "<ul class=\"poetry nomark\">\n"...)
	least := w.least(g)
	for _, it := range g.items {
		dst = w.element(dst, "li", w.inset(it, least), it, false)
	}
	return append(dst, "</ul>\n"...)
}

// least is the smallest indent of a group, in cells.
func (w *writer) least(g *group) int16 {
	least := w.b.Blocks[w.main(g.items[0])].First
	for _, it := range g.items {
		least = min(least, w.b.Blocks[w.main(it)].First)
	}
	return max(least, 0)
}

// largestInset is the deepest inset that the style sheet has a class for.
const largestInset = 20

// inset is the class of a line that begins further in than others.
func (w *writer) inset(it item, least int16) string {
	n := min(w.b.Blocks[w.main(it)].First-least, largestInset)
	if n <= 0 {
		return ""
	}
	return fmt.Sprintf("inset-%d", n)
}

// list appends items as a list; those that begin further in are lists within
// the item before them.
func (w *writer) list(dst []byte, g *group, name, class string) []byte {
	var open []int16
	for i, it := range g.items {
		in := w.b.Blocks[w.main(it)].First
		switch {
		case i == 0 || in >= open[len(open)-1]+2:
			dst = fmt.Appendf(dst, "<%s class=\"%s\">\n", name, class)
			open = append(open, in)
		default:
			dst = append(dst, "</li>\n"...)
			for len(open) > 1 && in < open[len(open)-1] && in <= open[len(open)-2]+1 {
				dst = fmt.Appendf(dst, "</%s>\n</li>\n", name)
				open = open[:len(open)-1]
			}
		}
		dst = w.start(dst, "li", "", it)
		dst = w.content(dst, it, false, false)
	}
	for range open {
		dst = fmt.Appendf(dst, "</li>\n</%s>\n", name)
	}
	return dst
}

// notes appends notes gathered after the text. Number and sign of a note are
// its own words.
func (w *writer) notes(dst []byte, g *group) []byte {
	dst = append(dst, "<ol class=\"notes nomark\">\n"...)
	for _, it := range g.items {
		dst = w.start(dst, "li", "", it)
		dst = append(dst, "<p>"...)
		dst = w.content(dst, it, true, false)
		dst = append(dst, "</p>\n"...)
		for _, m := range it.more {
			dst = w.element(dst, "p", "", m, false)
		}
		dst = append(dst, "</li>\n"...)
	}
	return append(dst, "</ol>\n"...)
}

// note appends a note that stands in the text.
func (w *writer) note(dst []byte, g *group) []byte {
	it := g.items[0]
	dst = append(dst, "<aside"...)
	dst = w.attributes(dst, "", it)
	dst = append(dst, " role=\"doc-footnote\" epub:type=\"footnote\">\n<p>"...)
	dst = w.content(dst, it, true, false)
	dst = append(dst, "</p>\n"...)
	for _, m := range append(it.more, g.items[1:]...) {
		dst = w.element(dst, "p", "", m, false)
	}
	return append(dst, "</aside>\n"...)
}

// transcriber appends a transcriber's note; its indicators are its own words.
func (w *writer) transcriber(dst []byte, g *group) []byte {
	dst = append(dst, "<div class=\"transcriber-note\">\n"...)
	for _, it := range g.items {
		dst = w.element(dst, "p", "", it, false)
	}
	return append(dst, "</div>\n"...)
}

// fixed appends lines as they are: every blank is a cell.
func (w *writer) fixed(dst []byte, g *group, class string) []byte {
	dst = append(dst, "<pre"...)
	if class != "" {
		dst = fmt.Appendf(dst, ` class="%s"`, class)
	}
	dst = append(dst, '>')
	for i, it := range g.items {
		if i > 0 {
			dst = append(dst, '\n')
		}
		a := w.anchor[w.main(it)]
		if a != "" {
			dst = fmt.Appendf(dst, `<span id="%s">`, a)
		}
		dst = w.fixedLines(dst, it)
		if a != "" {
			dst = append(dst, "</span>"...)
		}
	}
	return append(dst, "</pre>\n"...)
}

// fixedLines appends the blocks of an item, each a line of its own.
func (w *writer) fixedLines(dst []byte, it item) []byte {
	for i := it.from; i < it.to; i++ {
		if i > it.from {
			dst = append(dst, '\n')
		}
		for range max(0, w.b.Blocks[i].First) {
			dst = append(dst, "\u2800"...)
		}
		dst = w.words(dst, i, false, true)
	}
	return dst
}

// turn appends a print page turn between two elements.
func (w *writer) turn(dst []byte, it item) []byte {
	i := it.from
	if m := w.marks[i]; len(m) == 1 && m[0].page >= 0 && m[0].from == 0 && m[0].to == len(bytes.TrimRight(w.set(i), " ")) {
		dst = append(append(dst, "<div"...), pageAttributes(w.pages[m[0].page])...)
		dst = append(dst, '>')
		dst = appendCells(dst, w.cells[:m[0].to], false, &w.ed.Foreign)
		return append(dst, "</div>\n"...)
	}
	return w.element(dst, "p", "page-turn", it, false)
}

// terms appends entries of a glossary or index. Where all of them show where
// the term ends they are terms with their meanings, else a list.
func (w *writer) terms(dst []byte, g *group) []byte {
	if g.part == book.BackMatter && w.inIndex(g) {
		return w.list(dst, g, "ul", "index nomark")
	}
	cut := w.termEnds(g)
	if cut == nil {
		return w.list(dst, g, "ul", "glossary nomark")
	}
	dst = append(dst, "<dl class=\"glossary\">\n"...)
	for k, it := range g.items {
		i := w.main(it)
		dst = w.start(dst, "dt", "", it)
		for j := it.from; j < i; j++ {
			dst = append(w.words(dst, j, false, false), ' ')
		}
		cells := w.set(i)
		spans := w.spans(i, false)
		dst = w.between(dst, cells, spans, 0, cut[k], false)
		dst = append(dst, "</dt>\n<dd>"...)
		from := cut[k] + cell.Indent(cells[cut[k]:])
		dst = w.between(dst, cells, spans, from, len(cells), false)
		if i+1 < it.to {
			dst = w.content(append(dst, ' '), item{from: i + 1, to: it.to}, false, false)
		}
		dst = append(dst, "</dd>\n"...)
	}
	return append(dst, "</dl>\n"...)
}

// inIndex says whether the last heading before a group is that of an index.
func (w *writer) inIndex(g *group) bool {
	in := false
	for _, h := range w.heads {
		if h.block > g.first() {
			break
		}
		in = h.role.aria == "doc-index"
	}
	return in
}

// termEnds finds for each entry where its term ends: before two blanks, or
// after a colon or before a dash in its first words (dots 2-5; dots 6, 3-6; dots 3-6
// twice: Rules of UEB 2013, 7; British Braille 2004, 6). All entries must show
// it in the same way and without cutting into a link; else nil.
func (w *writer) termEnds(g *group) []int {
	for _, end := range []func([]byte) int{afterBlanks, afterColon, beforeDash} {
		var out []int
		for _, it := range g.items {
			i := w.main(it)
			cells := w.set(i)
			at := end(cells)
			if at <= 0 || at >= len(cells) || !free(w.marks[i], at-1, at+1) {
				break
			}
			out = append(out, at)
		}
		if len(out) == len(g.items) {
			return out
		}
	}
	return nil
}

// mostTermWords is how many words a term has at most.
const mostTermWords = 6

func afterBlanks(t []byte) int { return bytes.Index(t, []byte("  ")) }

func afterColon(t []byte) int {
	f := cell.Fields(t)
	for _, x := range f[:min(len(f), mostTermWords)] {
		if x[1]-x[0] > 1 && t[x[1]-1] == '3' && t[x[1]-2] != '3' {
			return x[1]
		}
	}
	return 0
}

func beforeDash(t []byte) int {
	f := cell.Fields(t)
	for _, x := range f[:min(len(f), mostTermWords)] {
		if word := string(t[x[0]:x[1]]); x[0] > 0 && (word == ",-" || word == "--") {
			return x[0] - 1
		}
	}
	return 0
}

// columns are the fields of a table row, set off by two blanks or more.
func columns(t []byte) [][2]int {
	var out [][2]int
	for _, f := range cell.Fields(t) {
		if n := len(out); n > 0 && f[0]-out[n-1][1] == 1 {
			out[n-1][1] = f[1]
			continue
		}
		out = append(out, f)
	}
	return out
}

// table appends rows as a table where all have the same columns, else as they
// are. A second row of rules alone makes the first one the heads.
func (w *writer) table(dst []byte, g *group) []byte {
	if !w.regular(g) {
		return w.fixed(dst, g, "table")
	}
	head := len(g.items) > 2 && isRules(w.set(w.main(g.items[1])))
	dst = append(dst, "<table>\n"...)
	for k, it := range g.items {
		switch {
		case k == 0 && head:
			dst = append(dst, "<thead>\n"...)
		case k == 0 || k == 2 && head:
			dst = append(dst, "<tbody>\n"...)
		}
		name := "td"
		if k == 0 && head {
			name = "th"
		}
		dst = w.row(dst, it, name)
		if k == 1 && head {
			dst = append(dst, "</thead>\n"...)
		}
	}
	return append(dst, "</tbody>\n</table>\n"...)
}

// regular says whether all rows have the same number of columns, at least two,
// and no element crosses from one to the next.
func (w *writer) regular(g *group) bool {
	n := 0
	for _, it := range g.items {
		i := w.main(it)
		cols := columns(w.set(i))
		if n == 0 {
			n = len(cols)
		}
		if len(cols) < 2 || len(cols) != n || it.to != i+1 {
			return false
		}
		for k := 1; k < len(cols); k++ {
			if !free(w.marks[i], cols[k-1][1], cols[k][0]) {
				return false
			}
		}
	}
	return true
}

func isRules(t []byte) bool { return len(t) > 0 && len(bytes.Trim(t, " 3-\"=7g")) == 0 }

func (w *writer) row(dst []byte, it item, name string) []byte {
	i := w.main(it)
	dst = w.start(dst, "tr", "", it)
	scope := ""
	if name == "th" {
		scope = ` scope="col"`
	}
	for k, col := range columns(w.set(i)) {
		dst = fmt.Appendf(dst, "<%s%s>", name, scope)
		for j := it.from; k == 0 && j < i; j++ {
			dst = append(w.words(dst, j, false, false), ' ')
		}
		cells := w.set(i)
		dst = w.between(dst, cells, w.spans(i, false), col[0], col[1], false)
		dst = fmt.Appendf(dst, "</%s>", name)
	}
	return append(dst, "</tr>\n"...)
}
