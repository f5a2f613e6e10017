package check

import (
	"bytes"

	"continuo/internal/cell"
)

// paperPages judges references to a page of a paper volume that were made
// references to a print page. Such a reference may lie on two lines: the first
// part is then replaced by the word for page, the second by the number.
type paperPages struct {
	f    *faces
	open bool   // the number of the swap before is still to come
	old  []byte // the words of that swap
	last swap

	shown map[int][]int // pages of sources (see pageKey): print pages that turns put on them
}

// wrong judges one swap in its order. What was replaced must name a volume and
// a page, or be a page alone; a braille page with that number, told by a head or page number that
// was left out, must lie on the print page that stands in its place.
func (p *paperPages) wrong(w swap, old []byte) string {
	if p.open {
		old = append(append(bytes.Clone(p.old), cell.Blank), old...)
	}
	was := p.open
	p.open = false
	fs := cell.Fields(w.cells)
	last := w.cells[fs[len(fs)-1][0]:fs[len(fs)-1][1]]
	lab, ok := cell.ParseLabel(last)
	word := len(fs) > 1 || !ok
	if !was && !word {
		return p.wrongNumber(old, lab)
	}
	switch {
	case was && (w.src != p.last.src || w.line <= p.last.line || w.line > p.last.line+80):
		return "its first part stands elsewhere"
	case len(fs) > 2 || was && word || word && !has(words(w.cells[:fs[0][1]]), pageWords) && string(w.cells[:fs[0][1]]) != "p4" && string(w.cells[:fs[0][1]]) != "p":
		return "what stands in its place is not the word for page and a number"
	case !ok:
		p.open, p.old, p.last = true, old, w
		return ""
	case lab.Roman || lab.Prefix != "" || lab.Suffix != "" || lab.Last != lab.Value:
		return "the new number is not one page"
	}
	return p.wrongPage(old, lab.Value)
}

// wrongNumber judges a number alone in the place of a number alone: an index
// names pages without a volume.
func (p *paperPages) wrongNumber(old []byte, print cell.Label) string {
	page, ok := cell.ParseLabel(old)
	for _, l := range []cell.Label{page, print} {
		if !ok || l.Roman || l.Prefix != "" || l.Suffix != "" || l.Last != l.Value {
			return "not both are the number of one page"
		}
	}
	return p.wrongMap([]int{page.Value}, print.Value)
}

// wrongPage judges the whole reference.
func (p *paperPages) wrongPage(old []byte, print int) string {
	var numbers []int
	volume := false
	for _, x := range cell.Fields(old) {
		tok := old[x[0]:x[1]]
		ws := words(tok)
		switch {
		case isLabel(tok):
			lab, ok := cell.ParseLabel(bytes.TrimRight(tok, "1"))
			if !ok {
				return "a number of what was replaced cannot be read"
			}
			numbers = append(numbers, lab.Value)
		case has(ws, volumeWords):
			volume = true
		case !has(ws, pageWords) && !has(ws, linkWords) && string(tok) != "p4":
			return "what was replaced holds more than a volume and a page"
		}
	}
	if !volume || len(numbers) != 2 {
		return "what was replaced does not name one volume and one page"
	}
	return p.wrongMap(numbers, print)
}

// wrongMap judges numbers, one of them a braille page, by a print page.
func (p *paperPages) wrongMap(numbers []int, print int) string {
	for _, n := range numbers {
		for _, page := range p.f.labels[labelKey{false, n}] {
			if p.liesOn(page, print) {
				return ""
			}
		}
	}
	return "no page with that number lies on the print page that is named"
}

// liesOn tells whether a print page is shown on a page of a source, or is the
// last one shown before it.
func (p *paperPages) liesOn(page, print int) bool {
	if within(p.f.labels[labelKey{false, print}], page, page) {
		return true
	}
	if p.shown == nil {
		p.readTurns()
	}
	for _, n := range p.shown[page] {
		if n == print {
			return true
		}
	}
	return false
}

// readTurns reads the print page turns of the sources: rows, and dots 5, 2-5
// with a number, on lines of their own or within text.
func (p *paperPages) readTurns() {
	p.shown = map[int][]int{}
	for s, src := range p.f.v.src {
		at := 0
		for i := range src.Lines {
			key := p.f.pageKey(s, i)
			if len(p.shown[key]) == 0 && at > 0 {
				p.shown[key] = append(p.shown[key], at)
			}
			text := src.Text(i)
			if len(text) > 0 && markedTurn(text) {
				if lab, ok := cell.ParseLabel(turnLabel(text)); ok {
					at = lab.Last
					p.shown[key] = append(p.shown[key], at)
				}
				continue
			}
			for _, x := range cell.Fields(text) {
				if tok := text[x[0]:x[1]]; len(tok) > 3 && string(tok[:2]) == `"3` {
					if lab, ok := cell.ParseLabel(tok[2:]); ok {
						at = lab.Last
						p.shown[key] = append(p.shown[key], at)
					}
				}
			}
		}
	}
}
