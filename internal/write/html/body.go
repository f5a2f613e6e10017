package html

import (
	"bytes"
	"fmt"
	"html"
	"strings"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/write"
)

// partNames are what people see; the parts' own names are for findings.
var partNames = [...]string{book.Text: "Text", book.TitlePage: "Title page", book.Prelims: "Before the text", book.ContentsList: "Contents of the book",
	book.NotesPart: "Notes", book.BackMatter: "After the text"}

// body writes the blocks, one section for each part of the book.
func (w *writer) body() {
	open, times := -1, map[book.Part]int{}
	for i := range w.elements {
		el := &w.elements[i]
		part := w.b.Blocks[el.from].Part
		if open != int(part) {
			if open >= 0 {
				w.out.WriteString("</section>\n")
			}
			name := partNames[part]
			if times[part]++; times[part] > 1 {
				name = fmt.Sprintf("%s, %d", name, times[part])
			}
			fmt.Fprintf(&w.out, "<section aria-label=%q>\n", name)
			open = int(part)
		}
		w.element(el)
	}
	if open >= 0 {
		w.out.WriteString("</section>\n")
	}
}

func (w *writer) element(el *element) {
	switch el.tag {
	case "h":
		w.heading(el)
	case "pre":
		w.rows(el)
	case "ol", "ul":
		w.list(el)
	default:
		w.block(el.from, "p")
	}
}

// heading writes all lines of a heading as one element.
func (w *writer) heading(el *element) {
	fmt.Fprintf(&w.out, "<h%d id=%q>", el.level, w.headID(el))
	for i := el.from; i < el.to; i++ {
		runs := w.marks.Runs(w.b, i)
		if i > el.from {
			w.out.WriteString("<br/>")
		}
		w.anchor(i, i > el.from)
		fmt.Fprintf(&w.out, "<span class=\"cells\" lang=%q>", w.braille)
		w.runs(runs, false)
		w.out.WriteString("</span>")
	}
	fmt.Fprintf(&w.out, " <span class=\"print\" lang=%q>%s</span></h%d>\n", w.print, html.EscapeString(w.headPrint(el)), el.level)
	for i := el.from; i < el.to; i++ {
		w.wayBack(i)
	}
}

func (w *writer) headID(el *element) string { return fmt.Sprintf("b%d", el.from+1) }

// headPrint is a heading in print, on one line.
func (w *writer) headPrint(el *element) string {
	var t []string
	for i := el.from; i < el.to; i++ {
		t = append(t, w.inPrint(w.marks.Runs(w.b, i)))
	}
	return strings.Join(t, " ")
}

func (w *writer) headCells(el *element) []byte {
	var t [][]byte
	for i := el.from; i < el.to; i++ {
		t = append(t, write.Text(w.marks.Runs(w.b, i)))
	}
	return bytes.Join(t, []byte{cell.Blank})
}

// inPrint reads a block to print, on one line; a print page turn is its number
// in square brackets.
func (w *writer) inPrint(runs []write.Run) string {
	var t []string
	var text []byte
	flush := func() {
		t = append(t, strings.Fields(clean(w.reader.Text(text)))...)
		text = nil
	}
	for i, r := range runs {
		switch {
		case r.Mark < 0:
			text = append(text, r.Cells...)
		case !seenMark(runs[:i], r.Mark):
			flush()
			t = append(t, "[page "+w.b.Turns[r.Mark].Label.String()+"]")
		}
	}
	flush()
	return strings.Join(t, " ")
}

// clean takes out what no XML text may hold.
func clean(s string) string {
	return strings.Map(func(c rune) rune {
		if c < 0x20 && c != '\t' && c != '\n' || c == 0xFFFE || c == 0xFFFF {
			return 0xFFFD
		}
		return c
	}, s)
}

// block writes one block as an element and its reading after it.
func (w *writer) block(i int, tag string) {
	bl := &w.b.Blocks[i]
	if len(bl.Pieces) == 0 {
		return
	}
	pair := "pair"
	if bl.Blank.Want {
		pair += " gap"
	}
	fmt.Fprintf(&w.out, "<div class=%q>", pair)
	w.open(i, tag)
	runs := w.marks.Runs(w.b, i)
	w.runs(runs, !bl.Kind.Flows())
	fmt.Fprintf(&w.out, "</%s>", tag)
	w.reading(i, runs)
	w.out.WriteString("</div>\n")
}

// open writes the start tag of a block's element.
func (w *writer) open(i int, tag string) {
	bl := &w.b.Blocks[i]
	in := [2]int16{bl.First, bl.Run}
	w.used[in] = true
	class := "cells " + indentClass(in)
	if !bl.Kind.Flows() {
		class += " line"
	}
	if bl.Form == book.TranscriberNote {
		class += " tn"
	}
	fmt.Fprintf(&w.out, "<%s class=%q lang=%q", tag, class, w.braille)
	if w.targets[int32(i)] {
		fmt.Fprintf(&w.out, " id=\"b%d\"", i+1)
	}
	w.out.WriteString(">")
}

// anchor writes an empty target for a block that is not its own element.
func (w *writer) anchor(i int, inside bool) {
	if inside && w.targets[int32(i)] {
		fmt.Fprintf(&w.out, "<span id=\"b%d\"></span>", i+1)
	}
}

// reading writes what stands beside the cells: the print, and of a note the way
// back to where it is called.
func (w *writer) reading(i int, runs []write.Run) {
	text := w.inPrint(runs)
	if w.b.Blocks[i].Kind == book.Rule {
		text = "-----"
	}
	if text != "" {
		fmt.Fprintf(&w.out, "<p class=\"print\" lang=%q>%s</p>", w.print, html.EscapeString(text))
	}
	w.wayBack(i)
}

// wayBack writes the link from a note to where it is called. It stands in every
// view.
func (w *writer) wayBack(i int) {
	if n, ok := w.back[int32(i)]; ok {
		fmt.Fprintf(&w.out, "<p class=\"back\"><a href=\"#l%d\">back to the text</a></p>", n+1)
	}
}

// list writes blocks as items.
func (w *writer) list(el *element) {
	fmt.Fprintf(&w.out, "<%s class=\"plain\">\n", el.tag)
	for i := el.from; i < el.to; i++ {
		w.out.WriteString("<li>")
		w.block(i, "p")
		w.out.WriteString("</li>\n")
	}
	fmt.Fprintf(&w.out, "</%s>\n", el.tag)
}

// rows writes lines that keep their layout, each a line of one element that
// scrolls by itself where the page is too narrow.
func (w *writer) rows(el *element) {
	gap := ""
	if w.b.Blocks[el.from].Blank.Want {
		gap = " gap"
	}
	fmt.Fprintf(&w.out, "<div class=\"pair%s\"><pre class=\"cells\" lang=%q tabindex=\"0\" role=\"group\" aria-label=\"lines as they are\">", gap, w.braille)
	var print []string
	for i := el.from; i < el.to; i++ {
		if i > el.from {
			w.out.WriteByte('\n')
		}
		w.anchor(i, true)
		runs := w.marks.Runs(w.b, i)
		indent := bytes.Repeat([]byte{cell.Blank}, max(int(w.b.Blocks[i].First), 0))
		w.cells(indent, true)
		w.runs(runs, true)
		print = append(print, html.EscapeString(clean(w.reader.Text(append(indent, write.Text(runs)...)))))
	}
	fmt.Fprintf(&w.out, "</pre><pre class=\"print\" lang=%q tabindex=\"0\" role=\"group\" aria-label=\"the same lines in print\">%s</pre></div>\n", w.print, strings.Join(print, "\n"))
	for i := el.from; i < el.to; i++ {
		w.wayBack(i)
	}
}

// runs writes the cells of a block with its page turns and links. hard keeps
// every blank.
func (w *writer) runs(runs []write.Run, hard bool) {
	mark := -1
	for i, r := range runs {
		if r.Mark != mark && mark >= 0 {
			w.out.WriteString("</span>")
		}
		if r.Mark != mark && r.Mark >= 0 {
			id := ""
			if i == 0 || !seenMark(runs[:i], r.Mark) {
				id = fmt.Sprintf(" id=%q", w.turnIDs[r.Mark])
			}
			fmt.Fprintf(&w.out, "<span%s class=\"turn\" role=\"doc-pagebreak\" aria-label=\"print page %s\">", id, html.EscapeString(w.b.Turns[r.Mark].Label.String()))
		}
		mark = r.Mark
		w.link(runs, i, hard)
	}
	if mark >= 0 {
		w.out.WriteString("</span>")
	}
}

func seenMark(runs []write.Run, mark int) bool {
	for _, r := range runs {
		if r.Mark == mark {
			return true
		}
	}
	return false
}

func seenLink(runs []write.Run, link int) bool {
	for _, r := range runs {
		if r.Link == link {
			return true
		}
	}
	return false
}

// link writes one run, as a link where it is one.
func (w *writer) link(runs []write.Run, i int, hard bool) {
	r := runs[i]
	if r.Link < 0 || r.Mark >= 0 || cell.Marks(r.Cells) == 0 { // what is inside a page turn is no link
		w.cells(r.Cells, hard)
		return
	}
	role, id := "", ""
	l := w.b.Links[r.Link]
	if l.Kind == book.NoteRef {
		role = " role=\"doc-noteref\""
	}
	if w.back[l.Target] == r.Link && l.Kind == book.NoteRef && !seenLink(runs[:i], r.Link) {
		id = fmt.Sprintf(" id=\"l%d\"", r.Link+1)
	}
	fmt.Fprintf(&w.out, "<a%s%s href=\"#b%d\">", id, role, l.Target+1)
	w.cells(r.Cells, hard)
	w.out.WriteString("</a>")
}

// cells writes cells as Unicode braille; a blank is U+0020, and U+2800 where
// every blank is to stay.
func (w *writer) cells(text []byte, hard bool) {
	for i, c := range text {
		if c == cell.Blank && !(hard && (i == 0 || text[i-1] == cell.Blank || i+1 < len(text) && text[i+1] == cell.Blank)) {
			w.out.WriteByte(' ')
			continue
		}
		w.out.Write(cell.AppendBraille(nil, text[i:i+1]))
	}
}
