package reference

import (
	"fmt"
	"strings"

	"continuo/internal/testkit"
)

// tell has print put into cells with the rest of the book.
func (b *book) tell(print string, into *string) {
	if print != "" {
		b.say = append(b.say, saying{print: print, into: into})
	}
}

// braille puts all print of the book into cells.
func (b *book) braille() error {
	for _, e := range b.elems {
		b.tell(e.list, &e.listCells)
		b.tell(e.over, &e.overCells)
		b.tell(e.name, &e.nameCells)
		b.tell(e.short, &e.shortCells)
		if e.term != "" {
			b.say = append(b.say, saying{e.term, b.h.termPlain, &e.termCells})
		}
		e.words = make([][]word, len(e.print))
	}
	var lines []string
	for _, e := range b.elems {
		lines = append(lines, e.print...)
	}
	b.drawNotes()
	for _, n := range b.notes {
		lines = append(lines, n.paras...)
	}
	for _, plain := range []bool{false, true} {
		var print []string
		for _, s := range b.say {
			if s.plain == plain {
				print = append(print, s.print)
			}
		}
		if len(print) == 0 {
			continue
		}
		code := b.h.code
		code.Contracted = code.Contracted && !plain
		out, err := testkit.Translate(code, print)
		if err != nil {
			return err
		}
		k := 0
		for _, s := range b.say {
			if s.plain == plain {
				*s.into = string(out[k])
				k++
			}
		}
	}
	out, err := testkit.Translate(b.h.code, lines)
	if err != nil {
		return err
	}
	k := 0
	for _, e := range b.elems {
		for i := range e.print {
			for _, w := range strings.Fields(string(out[k])) {
				e.words[i] = append(e.words[i], word{cells: w})
			}
			k++
		}
		if e.kind == entry {
			e.words[0] = append(b.headword(e), e.words[0]...)
		}
	}
	for _, n := range b.notes {
		for range n.paras {
			n.cells = append(n.cells, strings.Fields(string(out[k])))
			k++
		}
	}
	return nil
}

// headword is the headword of an entry with the sign after it.
func (b *book) headword(e *elem) []word {
	var out []word
	f := strings.Fields(e.termCells)
	for i, w := range f {
		if i == len(f)-1 {
			w += map[string]string{"comma": "1", "colon": "3", "blank": ""}[b.h.termSep]
		}
		out = append(out, word{cells: w})
	}
	return out
}

// drawNotes invents the notes.
func (b *book) drawNotes() {
	h, d := b.h, b.d
	if h.notes == "none" || b.kind == "dictionary" {
		return
	}
	n := 0
	for _, e := range b.elems {
		if e.kind == para {
			n++
		}
	}
	for i := range n * h.noteShare / 100 {
		s := b.sentence()
		switch d.N(6, "note form", i) {
		case 0:
			s = fmt.Sprintf("See page %d. %s", d.Between(2, 120, "note page", i), s)
		case 1:
			s = "Ibid., " + strings.ToLower(s[:1]) + s[1:]
		case 2:
			s += " " + b.sentence() + " " + b.sentence()
		case 3:
			if h.noteLong {
				s += " " + b.sentence() + " " + b.sentence() + " " + b.sentence()
			}
		}
		x := &note{paras: []string{s}}
		if h.noteParas && d.Chance(15, "note paragraphs", i) {
			x.paras = append(x.paras, b.sentence())
		}
		b.notes = append(b.notes, x)
	}
}

// markNotes sets the notes' references behind words of the paragraphs.
func (b *book) markNotes() {
	var paras []*elem
	inBox := false
	for _, e := range b.elems {
		if e.kind == boxTop || e.kind == boxEnd {
			inBox = e.kind == boxTop
		}
		if e.kind == para && !inBox {
			paras = append(paras, e)
		}
	}
	next := 0
	for i, e := range paras {
		left, room := len(b.notes)-next, len(paras)-i
		if left == 0 || b.d.N(room, "noted", i) >= left {
			continue
		}
		w := e.words[0]
		k := b.d.N(len(w), "note word", i)
		for k < len(w) && (strings.HasSuffix(w[k].cells, "-") || strings.Contains(w[k].cells, "#") || len(w[k].cells) > 14) {
			k++
		}
		if k == len(w) {
			continue
		}
		next++
		w[k].note = next
		if left > 1 && room < left*2 && k+4 < len(w) && b.d.Chance(30, "two", i) && !strings.Contains(w[k+3].cells, "#") && !strings.HasSuffix(w[k+3].cells, "-") {
			next++ // two notes in one paragraph, often on one line
			w[k+3].note = next
		}
	}
	b.notes = b.notes[:next]
}

// turns sets the print page turns.
func (b *book) turns() {
	h, d := b.h, b.d
	if h.turns == "none" {
		return
	}
	n := 0
	for _, e := range b.elems {
		for _, l := range e.words {
			n += len(l)
		}
	}
	per := d.Between(max(110, n/180), max(240, n/90), "words a print page")
	roman, page, count := d.Between(5, 11, "roman"), pick(d, []int{1, 1, 3, 5, 9, 11}, "first page"), per
	front := false
	for i, e := range b.elems {
		due := e.kind == heading && e.level < 2 && h.chapterTurns
		if e.front != front && (e.kind == heading || e.kind == entry) {
			front, due = e.front, true
		}
		for k, l := range e.words {
			for j := range l {
				if due && (e.kind != heading && e.kind != tableRow || j == 0 && k == 0) {
					switch {
					case front:
						l[j].turn = &turn{b.romanLabel(roman)}
						roman++
					default:
						l[j].turn = &turn{b.pageLabel(&page, i, j)}
					}
					due, count = false, 0
				}
				if count++; count >= per && j+3 < len(l) {
					due = true
				}
			}
		}
	}
}

func (b *book) romanLabel(n int) string {
	s := testkit.Roman(n)
	if b.h.code.System != "ueb" || len(s) == 1 || b.h.letters2 {
		return ";" + s
	}
	return s
}

// pageLabel is the label of the next print page: a number, now and then after
// pages that print leaves out, with a letter, or of two pages.
func (b *book) pageLabel(page *int, at ...any) string {
	h, d := b.h, b.d
	switch {
	case h.letterPages && *page > 3 && d.Chance(4, append(at, "letter page")...):
		b.lettered = map[bool]int{true: b.lettered + 1, false: 0}[b.letterOf == *page]
		b.letterOf = *page
		return testkit.Number(*page-1) + ";" + string(rune('a'+b.lettered))
	case h.plates && d.Chance(4, append(at, "plates")...):
		*page += d.Between(1, 8, append(at, "skip")...)
	case h.turns == "row" && h.plates && d.Chance(3, append(at, "unnumbered")...):
		return ""
	case h.turns == "row" && h.plates && d.Chance(3, append(at, "two pages")...):
		*page += 2
		if h.code.System == "ebae" {
			return testkit.Number(*page-2) + "-" + testkit.Number(*page - 1)[1:]
		}
		return testkit.Number(*page-2) + "-" + testkit.Number(*page-1)
	}
	*page++
	return testkit.Number(*page - 1)
}
