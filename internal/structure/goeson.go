package structure

import (
	"bytes"

	"continuo/internal/cell"
)

// farIn is how many cells further in than the next a line stands that is the first of
// no paragraph, and so many cells from the margin a line begins that has no runovers at another
// cell: address, date and signature of a letter, which end at the right margin, stand under one
// another or step in. No runover stands so far further in than its first line (BANA, Braille Formats 2016, section 12, from memory; common practice).
const farIn = 10

// goesOn reports whether unit j goes on the block that unit s began and whose
// runovers stand at indent run (-1 when it has none yet).
func (f *Flow) goesOn(m model, base, s, j, run int) bool {
	if f.gap[j].fits || f.atLeftNumber(j) {
		return false
	}
	if dividedWord(f.units[j-1].Text) {
		return true
	}
	if f.opensSpeech(j) || f.afterEntry(j) {
		return false
	}
	if f.inBrackets(s, j) {
		return true
	}
	start, in := f.units[s].Indent(), f.units[j].Indent()
	if run >= 0 && in != run || f.letterLine(j) {
		return false
	}
	if run < 0 && in-start >= farIn {
		return false
	}
	if m == outline && f.over == overEach {
		return in > start && !f.item(j)
	}
	if in > start && f.indents.begin[min(in, farIndent)] || in < start && (start == f.indents.over || f.indents.alone[min(start, farIndent)]) {
		return false
	}
	if in < start && !f.inAndOut && f.stepsOut(m, base, s, j, run) {
		return true
	}
	switch m {
	case mixed:
		return f.mixedOn(base, s, j, run)
	case prose:
		return in == base && start-in < farIn || (in == start-2 && in > base && f.gap[j].known)
	case hanging:
		return in > start && (run >= 0 || start > base || f.usual == 0 || in < f.usual+2 && in > f.usual-2)
	case outline:
		return in > start && in == f.over && !f.item(j)
	case block:
		return true
	}
	// Told by its own line: first line indented, this one full; where lines step in
	// and out, one may be full by chance.
	return in < start && in == base && !f.inAndOut
}

// signsOff reports whether unit j is the name under a verse or a quotation, though the line before it
// may be full: it stands further in than the block, in cell 5 at least, a sentence ends before it
// and none with it, nothing that stands as far in follows, and its few words have capitals where
// the lines before have them (attributions: BANA, Braille Formats 2016, section 9; common practice).
func (f *Flow) signsOff(s, j int) bool {
	u, p := f.units[j], f.units[j-1]
	if u.Indent() < 4 || u.Indent() <= f.units[s].Indent() || !EndsSentence(p.Text) || endsClause(u.Text) || EndsSentence(u.Text) {
		return false
	}
	if j+1 < len(f.units) && !f.gap[j+1].hard && f.units[j+1].Indent() >= u.Indent() {
		return false
	}
	words, capitals := 0, 0
	for from := range cell.Words(u.Text) {
		words++
		if u.Text[from] == ',' {
			capitals++
		}
	}
	if words > 4 {
		return false
	}
	return capitals == words || capitals == 0 && words > 1 && !capitalised(f.units[s].Text) && !capitalised(p.Text)
}

// capitalised reports whether a word of a text begins with a capital sign.
func capitalised(t []byte) bool {
	for from, to := range cell.Words(t) {
		if to-from > 1 && t[from] == ',' && t[from+1] >= 'a' && t[from+1] <= 'z' {
			return true
		}
	}
	return false
}

// stepsOut reports whether unit j, which begins further out than unit s, goes on
// its paragraph: two cells further out but not at the margin, as displayed text
// and notes are set (cells 5-3 and 7-5; BANA, Braille Formats 2016, sections 3 and
// 9), or, among hanging text, at the margin as in a paragraph of three lines or
// more.
func (f *Flow) stepsOut(m model, base, s, j, run int) bool {
	start, in := f.units[s].Indent(), f.units[j].Indent()
	switch {
	case in > base && in != start-2, in == base && (m != hanging || start > 2):
		return false
	case run == in:
		return true
	case !f.full(j) || f.item(j) || Bullet(f.units[j].Text):
		return false
	case in == base:
		return j+1 < f.end && f.units[j+1].Indent() == base && f.full(j+1) && !itemNumber(f.units[j+1].Text)
	}
	for k := f.begin + 1; k < f.end; k++ { // items of more levels have their runovers deeper
		if f.units[k].Indent() > start && f.full(k) {
			return false
		}
	}
	return true
}

// mixedOn decides within a mixed run: text that steps out to the margin goes
// on a paragraph; text that steps in goes on a hanging one when the next line
// steps in too and was not started anew, or nothing follows.
func (f *Flow) mixedOn(base, s, j, run int) bool {
	start, in := f.units[s].Indent(), f.units[j].Indent()
	switch {
	case run > start:
		return true
	case in < start:
		return in == base
	case in > start:
		return j+1 >= len(f.units) || f.gap[j+1].hard || f.gap[j+1].fits || f.units[j+1].Indent() == in
	}
	return run >= 0 || in == base
}

// inBrackets reports whether unit s begins with a bracket that unit j, or one soon after it,
// closes: a stage direction of a few full lines, which step in or out by two cells at most
// (English Braille American Edition 1994, appendix A, section 8).
func (f *Flow) inBrackets(s, j int) bool {
	if u := f.units[s]; u.Indent() < 2 || !opensBracket(u.Text) || closes(u.Text) {
		return false
	}
	for k := s + 1; k < len(f.units) && k < s+8; k++ {
		d := f.units[k].Indent() - f.units[s].Indent()
		if !f.full(k) || f.gap[k].hard || d < -2 || d > 2 || f.units[k].Indent() != f.units[s+1].Indent() || opensBracket(f.units[k].Text) {
			return false
		}
		if closes(f.units[k].Text) {
			return j <= k
		}
	}
	return false
}

// closes reports whether a word of a text ends in a closing bracket, a stop or quotation
// marks after it perhaps.
func closes(t []byte) bool {
	for _, w := range bytes.Fields(t) {
		if closesBracket(bytes.TrimRight(w, "124680")) {
			return true
		}
	}
	return false
}

// dividedWord reports whether a text ends in a hyphen after a letter, in a
// solidus that ends no path, or in the sign that a string goes on: the next line goes on, whatever
// the layout (Rules of Unified English Braille 2013, 6.10, 7.4, 10.13).
func dividedWord(t []byte) bool {
	n := len(t)
	if n < 3 || t[n-2] == cell.Blank {
		return false
	}
	if t[n-1] == '/' && t[n-2] == '_' {
		return t[n-3] != cell.Blank && !bytes.HasPrefix(lastWord(t), t[n-2:])
	}
	return t[n-1] == '-' && t[n-2] != '-' && t[n-2] != ',' || t[n-1] == '"' && t[n-2] != '"'
}
