package check

import (
	"bytes"

	"continuo/internal/cell"
)

// wrongMark judges the mark before a headword: two or three cells, no letter,
// the same in the whole edition, at the start of a line of the edition and
// before text that begins its line in the source; a print page turn may stand
// before it. Whether the lines are a dictionary is not proved.
func (f *faces) wrongMark(t, first tool) string {
	if n := len(t.cells); n < 2 || n > 3 || bytes.IndexFunc(t.cells, func(r rune) bool { return r == ' ' || r >= 'a' && r <= 'z' }) >= 0 {
		return "it is not two or three cells without a letter"
	}
	if !bytes.Equal(t.cells, first.cells) {
		return "another mark stands before other headwords"
	}
	if t.src >= len(f.v.src) || t.from > 0 && !onlyTurns(f.v.src[t.src].Text(t.line)[:t.from]) {
		return "the text after it does not begin its line"
	}
	if t.edition < 1 || t.edition > len(f.v.ed.lines) {
		return "it stands on no line of the edition"
	}
	line := f.v.ed.lines[t.edition-1]
	if at := bytes.Index(line, t.cells); at < 0 || !onlyTurns(line[:at]) {
		return "it does not stand at the start of its line"
	}
	return ""
}

// onlyTurns tells whether text is blank or print page turns.
func onlyTurns(text []byte) bool {
	text = bytes.TrimSpace(text)
	if len(text) == 0 {
		return true
	}
	for _, x := range cell.Fields(text) {
		if tok := text[x[0]:x[1]]; !onlyTurn(tok) && !isLabel(tok) && string(tok) != `"3` {
			return false
		}
	}
	return true
}

// onlyMarks wants the cells of the mark before nothing in the edition but
// headwords: a search for mark and word must not land on a mention. With a blank
// after it a mark is spoken of, and is found with no word.
func (f *faces) onlyMarks(marks []tool) {
	if len(marks) == 0 {
		return
	}
	n := 0
	for _, line := range f.v.ed.lines {
		for i := bytes.Index(line, marks[0].cells); i >= 0; i = bytes.Index(line, marks[0].cells) {
			if line = line[i+len(marks[0].cells):]; len(line) > 0 && line[0] != cell.Blank {
				n++
			}
		}
	}
	if n != len(marks) {
		f.v.addf("the mark %q of headwords stands %d times in the edition and %d times in the account", marks[0].cells, n, len(marks))
	}
}

// guideHead tells whether a head names an entry of its page, as the guide words
// of a dictionary do. One head may do so by chance; five with different words
// must.
func (f *faces) guideHead(l left) bool {
	if f.guides == nil {
		f.guides = map[[2]int]bool{}
		different := map[string]bool{}
		for _, x := range f.left {
			if x.class == "head" && f.namesEntry(x) {
				f.guides[[2]int{x.src, x.line}] = true
				different[string(bytes.Join(words(withoutLabels(x.text, true)), nil))] = true
			}
		}
		if len(different) < 5 {
			clear(f.guides)
		}
	}
	return f.guides[[2]int{l.src, l.line}]
}

// namesEntry tells whether the words of a head, those before a hyphen or those
// after it begin a line that is kept, at the margin, within a page's length.
func (f *faces) namesEntry(l left) bool {
	guides := guideParts(withoutLabels(l.text, true))
	guides = append(guides, guideParts(withoutLabels(l.text, false))...)
	for i := max(0, l.line-60); i < l.line+60 && i < len(f.v.src[l.src].Lines); i++ {
		if k := f.v.r.fate[l.src][i].kind; k != kept && k != parted {
			continue
		}
		text := f.v.src[l.src].Text(i)
		if looksEntry(text) {
			continue
		}
		for _, g := range guides {
			if beginsWith(text, g) {
				return true
			}
		}
	}
	return false
}

// withoutLabels takes page labels off both ends of a head; roman ones, which
// may be words of it, on request.
func withoutLabels(text []byte, roman bool) []byte {
	text = bytes.TrimSpace(text)
	off := func(tok []byte) bool { return isLabel(tok) && (roman || bytes.IndexByte(tok, '#') >= 0) }
	for n := 0; n < 2; n++ {
		if i := bytes.IndexByte(text, ' '); i > 0 && off(text[:i]) {
			text = bytes.TrimSpace(text[i:])
		}
		if i := bytes.LastIndexByte(text, ' '); i > 0 && off(text[i+1:]) && text[i-1] == ' ' {
			text = bytes.TrimSpace(text[:i])
		}
	}
	return text
}

// guideParts lists what of a head may be a guide word.
func guideParts(text []byte) [][]byte {
	out := [][]byte{text}
	for i, c := range text {
		if c == '-' && i > 0 && i+1 < len(text) {
			out = append(out, text[:i], text[i+1:])
		}
	}
	return out
}

// beginsWith tells whether a line at the margin begins with the words of a
// guide, two cells or more.
func beginsWith(line, guide []byte) bool {
	if len(line) == 0 || line[0] == ' ' {
		return false
	}
	ws, gs := words(plainType(line)), words(guide)
	if len(gs) == 0 || len(gs) > len(ws) || size(gs) < 2 {
		return false
	}
	for i, g := range gs {
		if swapped := len(g) == len(ws[i]) && sharedCells(g, ws[i]) == len(g); !swapped && !alike(g, ws[i]) {
			return false
		}
	}
	return true
}

// plainType takes a typeform indicator of Unified English Braille (Rules 2013,
// section 9) off the start of a line: the headword stands in bold there, and
// not in the head.
func plainType(line []byte) []byte {
	if len(line) > 2 && bytes.IndexByte([]byte(".^_@"), line[0]) >= 0 && bytes.IndexByte([]byte("127"), line[1]) >= 0 {
		return line[2:]
	}
	return line
}

// numberBefore reports whether a left-out span is a page label at the beginning of its line, in a column of them:
// the line before it or after it loses one there too, and words follow both.
func (f *faces) numberBefore(l left) bool {
	if !f.beginsWithLabel(l) {
		return false
	}
	for _, o := range f.left {
		if o.src == l.src && o.class == l.class && (o.line == l.line-1 || o.line == l.line+1) && f.beginsWithLabel(o) {
			return true
		}
	}
	return false
}

// beginsWithLabel reports whether a left-out span is a page label that its line begins with, words after it.
func (f *faces) beginsWithLabel(l left) bool {
	line := f.v.src[l.src].Text(l.line)
	return isLabel(bytes.TrimSpace(l.text)) && cell.Marks(line[:l.from]) == 0 && cell.Marks(line[l.to:]) > 0
}
