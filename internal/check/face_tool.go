package check

import (
	"bytes"
	"fmt"
	"sort"

	"continuo/internal/cell"
)

const (
	maxStatements    = 4   // records of an edition statement
	maxStatementLine = 100 // of the edition: where a statement still stands at the front
	maxToolLabel     = 80  // cells of a label over gathered matter
)

// checkSwaps looks at what was replaced, and by what.
func (f *faces) checkSwaps() {
	statements := 0
	seconds := f.seconds()
	paper := paperPages{f: f}
	for _, w := range f.v.r.swaps {
		class := f.v.acc.reasons[w.reason].Class
		why := ""
		switch class {
		case "rule":
			why = f.wrongRule(w)
		case "turn":
			why = f.wrongTurn(w)
		case "statement":
			statements++
			why = f.wrongStatement(w)
		case "rewritten":
			if len(seconds) == 0 {
				why = "no second part of a word is left out for it"
				break
			}
			why = f.wrongRewritten(w, seconds[0])
			seconds = seconds[1:]
		case "table-cell":
			why = f.wrongTableSwap(w)
		case "paper-page":
			why = paper.wrong(w, f.replaced(w))
		case "number-cut":
			if !onlyNumbers(f.replaced(w), nil) || !onlyNumbers(w.cells, nil) {
				why = "not both are page labels"
			}
		}
		if why != "" {
			v := f.v
			v.at(w.src, w.line, "replaced as %q, but %s: %q by %q", class, why, clip(f.replaced(w)), clip(w.cells))
		}
	}
	if paper.open {
		f.v.addf("the last word replaced as %q has no page number after it", "paper-page")
	}
	for _, c := range seconds {
		f.v.at(c.src, c.line, "left out as %q, but no word stands in its place", "rewritten")
	}
	for _, t := range f.v.r.tools {
		if f.v.acc.reasons[t.reason].Class == "statement" {
			statements++
		}
	}
	if statements > maxStatements {
		f.v.addf("%d edition statements stand in the account; one book has %d at most", statements, maxStatements)
	}
}

// seconds are the parts of lines left out because the word they end was
// written anew.
func (f *faces) seconds() []cut {
	var out []cut
	for _, c := range f.v.r.cuts {
		if f.v.acc.reasons[c.reason].Class == "rewritten" {
			out = append(out, c)
		}
	}
	return out
}

// wrongRewritten judges a word that stands in place of its two parts: the
// first ends its line in a hyphen, the second begins a later line, and the
// word has two in five of its cells from them.
func (f *faces) wrongRewritten(w swap, c cut) string {
	first, line := f.replaced(w), f.v.src[c.src].Text(c.line)
	second := line[c.from:c.to]
	switch {
	case len(first) < 2 || first[len(first)-1] != '-' || w.to != len(f.v.src[w.src].Text(w.line)) && cell.Marks(f.v.src[w.src].Text(w.line)[w.to:]) > 0 && !f.numberAfter(w):
		return "it is no first part of a word at a line end"
	case c.src < w.src || c.src == w.src && (c.line <= w.line || c.line > w.line+80):
		return "its second part does not follow"
	case cell.Marks(line[:c.from]) > 0 && !isLabel(bytes.TrimSpace(line[:c.from])) || bytes.IndexByte(second, cell.Blank) >= 0:
		return "its second part does not begin a line"
	case bytes.IndexByte(w.cells, cell.Blank) >= 0 || len(w.cells) > len(first)+len(second)+opened(second):
		return "it is longer than its parts"
	case 5*sharedCells(w.cells, first, second) < 2*len(w.cells): // "dan-" and "c]s" make "d.ers"
		return "it has too few cells of its parts"
	}
	return ""
}

// opened is by how many cells a word can be longer than its parts, without their
// hyphen: one sign stands for be, com, con or dis at the start of a line, but not
// within a word (English Braille American Edition, rule XIII).
func opened(second []byte) int {
	if len(second) > 0 && bytes.IndexByte([]byte("-234"), second[0]) >= 0 {
		return 1
	}
	return 0
}

// numberAfter tells whether only a page label stands after the swapped text.
func (f *faces) numberAfter(w swap) bool {
	return isLabel(bytes.TrimSpace(f.v.src[w.src].Text(w.line)[w.to:]))
}

// sharedCells counts the cells of word that its parts have too.
func sharedCells(word []byte, parts ...[]byte) int {
	var have [256]int
	for _, p := range parts {
		for _, c := range p {
			have[c]++
		}
	}
	n := 0
	for _, c := range word {
		if have[c] > 0 {
			have[c]--
			n++
		}
	}
	return n
}

// replaced is the source text of a swap; lines are parted by a blank.
func (f *faces) replaced(w swap) []byte {
	if w.lines == 0 {
		return f.v.src[w.src].Text(w.line)[w.from:w.to]
	}
	var out []byte
	for i := range w.lines {
		if i > 0 {
			out = append(out, cell.Blank)
		}
		out = append(out, f.v.src[w.src].Text(w.line+i)...)
	}
	return out
}

func (f *faces) wrongRule(w swap) string {
	from, ok := oneCell(f.replaced(w))
	to, ok2 := oneCell(w.cells)
	switch {
	case !ok || !ok2 || from != to:
		return "not both are rows of the same cell"
	case cell.Marks(w.cells) > cell.Marks(f.replaced(w)):
		return "it is longer than before"
	}
	return ""
}

func (f *faces) wrongTurn(w swap) string {
	text := f.replaced(w)
	a, aRow := oneCell(text)
	b, bRow := oneCell(w.cells)
	if aRow && bRow && a == b {
		return "" // a row without a number
	}
	if !onlyTurn(text) || !onlyTurn(w.cells) {
		return "not both are print page turns"
	}
	if !bytes.Equal(turnLabel(text), turnLabel(w.cells)) {
		return "the numbers differ"
	}
	return ""
}

// wrongStatement judges the lines that an edition statement stands in place
// of: every one must be about volumes or pages itself.
func (f *faces) wrongStatement(w swap) string {
	if w.edition > maxStatementLine {
		return "it stands far from the front of the edition"
	}
	if w.lines == 0 {
		if text := f.replaced(w); !f.isStatement(text) {
			return "it names no volume and no pages"
		}
		return ""
	}
	for i := range w.lines {
		if text := f.v.src[w.src].Text(w.line + i); len(text) > 0 && !f.isStatement(text) {
			return fmt.Sprintf("%q names no volume and no pages", clip(text))
		}
	}
	return ""
}

// isStatement tells whether text names volumes or pages, or is worded like a
// line that was left out as a volume statement.
func (f *faces) isStatement(text []byte) bool {
	return f.v.namesVolume(text) || namesPart(text) && len(words(text)) < 6 || f.group("volume-statement").twin(text, 0)
}

// checkTools looks at what the tool wrote between the lines of the sources.
func (f *faces) checkTools() {
	var marks []tool
	defer func() { f.onlyMarks(marks) }()
	for _, t := range f.v.r.tools {
		class := f.v.acc.reasons[t.reason].Class
		why := ""
		switch class {
		case "turn":
			why = f.wrongAddedTurn(t)
		case "statement":
			if t.edition > maxStatementLine {
				why = "it stands far from the front of the edition"
			}
		case "contents-number":
			if len(cell.Fields(t.cells)) != 1 || !isLabel(t.cells) {
				why = "it is not a page label"
			}
		case "notes", "contents-order", "prelims":
			if len(t.cells) > maxToolLabel {
				why = "it is too long for a label"
			} else if class == "contents-order" && !has(words(t.cells), contentWords) && !f.titles.found(t.cells, everywhere) {
				why = "its words stand nowhere in the text that is kept"
			}
		case "number-cut":
			if !onlyNumbers(t.cells, nil) {
				why = "it is not a page label"
			}
		case "parent":
			why = f.wrongParent(t)
		case "table-label":
			why = f.wrongTableLabel(t)
		case "entry-mark":
			marks = append(marks, t)
			why = f.wrongMark(t, marks[0])
		}
		if why != "" {
			f.v.add(Problem{Edition: t.edition, Account: t.account, What: fmt.Sprintf("written by the tool as %q, but %s: %q", class, why, clip(t.cells))})
		}
	}
}

// wrongAddedTurn wants the number of an added print page turn in a head or
// page number that was left out on the pages round the cursor.
func (f *faces) wrongAddedTurn(t tool) string {
	if !onlyTurn(t.cells) {
		return "it is not a print page turn"
	}
	lab, _ := cell.ParseLabel(turnLabel(t.cells))
	src, line := t.src, t.line
	if src >= len(f.v.src) {
		src = len(f.v.src) - 1
		line = len(f.v.src[src].Lines) - 1
	}
	pages := f.labels[labelKey{lab.Roman, lab.Value}]
	if f.v.src[src].FormFeed {
		here := f.pageKey(src, line)
		if within(pages, here-2, here+2) {
			return ""
		}
		if src > 0 && line < 60 && within(pages, (src-1)<<32, src<<32-1) {
			return ""
		}
	} else if len(pages) > 0 {
		return ""
	}
	return "no head or page number on the pages there names it"
}

// within tells whether one of the rising numbers is in the range.
func within(numbers []int, from, to int) bool {
	i := sort.SearchInts(numbers, from)
	return i < len(numbers) && numbers[i] <= to
}

// checkDuplicates holds sources that were left out as repeats of another
// against the others.
func (f *faces) checkDuplicates() {
	r := f.v.r
	dup := make([]bool, len(r.src))
	for s, lines := range r.fate {
		n, others := 0, 0
		for i, x := range lines {
			if len(r.src[s].Text(i)) == 0 {
				continue
			}
			if x.kind == out && r.acc.reasons[x.reason].Class == "duplicate" {
				n++
			} else {
				others++
			}
		}
		dup[s] = n > 0
		if n > 0 && others > 0 {
			f.v.add(Problem{Source: r.src[s].Name, What: fmt.Sprintf("is said to repeat another source, yet %d of its lines have another fate", others)})
		}
	}
	for s := range dup {
		if dup[s] && !f.hasTwin(s, dup) {
			f.v.add(Problem{Source: r.src[s].Name, What: "is left out as the repeat of another source, but no source in the edition has the same cells"})
		}
	}
}

// hasTwin tells whether another source, itself no repeat, has the same cells,
// blanks and pages apart.
func (f *faces) hasTwin(s int, dup []bool) bool {
	strip := func(i int) []byte { return bytes.ReplaceAll(f.v.src[i].Cells, []byte{cell.Blank}, nil) }
	want := strip(s)
	for i := range dup {
		if !dup[i] && f.v.src[i].Marks == f.v.src[s].Marks && bytes.Equal(strip(i), want) {
			return true
		}
	}
	return false
}
