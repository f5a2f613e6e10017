package main

import (
	"fmt"
	"strings"

	"continuo/internal/cell"
)

// bell is a British edition in contracted UEB: page information line on every
// page, notes at the end of each volume, a volume that ends in mid-chapter.
func bell() *house {
	h := &house{code: uebCode, text: "bell", eol: "\n", body: "One:", before: []string{"Six:"}, after: map[int]int{2: 22},
		names:   []string{"bell-1.brf", "bell-2.brf", "bell-3.brf"},
		verse:   func(b *press, lines []string) { stanza(b, lines, 4, 8) },
		end:     bellEnd,
		start:   func(b *press) { b.open(false); b.centre(b.words(b.t.fields["Title"])); b.centre(ruleUEB) },
		prelims: bellPrelims}
	h.paper = style{width: 38, height: 27, turn: centredTurn(`"3`)}
	h.chapter = func(b *press, words string) {
		if !b.setter.front && !b.fresh {
			b.centre(ruleUEB)
		}
		b.need(5)
		headingLines(b, words)
	}
	return h
}

// ruleUEB is the line that ends a section in UEB: line sign and eleven cells of
// dots 2-5 (Rules of Unified English Braille 2013, 16.2; common practice).
const ruleUEB = `"33333333333`

// ruleSEB is the older line, 12 cells of dots 2-5 (common practice).
const ruleSEB = "333333333333"

// centredTurn sets a print page turn alone on its line, in the middle.
func centredTurn(sign string) func(*setter, string) {
	return func(s *setter, label string) {
		if s.full() {
			s.open(false)
		}
		s.print = label
		s.put(middle(sign+number(label), s.width))
	}
}

// headingLines sets "One: The Ferry House" as two centred lines.
func headingLines(b *press, words string) {
	b.room() // opens a page when there is none
	b.heading(words)
	for _, part := range strings.SplitN(words, ": ", 2) {
		b.centre(b.words(part))
	}
}

func stanza(b *press, lines []string, first, run int) {
	b.need(min(len(lines), 4))
	for _, line := range lines {
		if line == "" {
			b.blank()
			continue
		}
		b.fill(b.tr.tokens(line, &b.notes), first, run)
	}
}

// withHead puts print page, short title and braille page on line 1.
func withHead(b *press, short string) func(p *page) string {
	return func(p *page) string {
		if p.front && p.number == 1 {
			return ""
		}
		left := ""
		if p.print != "" {
			left = number(p.print)
		}
		line := left + middle(b.words(short), b.width)[len(left):]
		return flush(line, string(cell.Number(p.number)), b.width)
	}
}

// titlePage sets the title page common to British houses.
func titlePage(b *press, rule string, imprint ...string) {
	b.open(true)
	b.skip(2)
	b.centre(b.words(b.t.fields["Title"]))
	b.skip(1)
	b.centre(b.words("By"))
	b.centre(b.words(b.t.fields["Author"]))
	b.skip(3)
	b.centre(rule)
	b.centre(b.words("In " + numberWord(len(b.names)) + " Volumes"))
	b.centre(b.words("Volume " + numberWord(b.n)))
	b.centre(rule)
	b.skip(4)
	for _, line := range imprint {
		b.centre(b.words(line))
	}
	b.skip(1)
	b.centre(rule)
}

func bellPrelims(b *press) {
	b.head = withHead(b, "the bell under the water")
	titlePage(b, ruleUEB, "Produced by", "The Saltholme Braille Library", "Saltholme")
	b.open(false)
	b.centre(b.words("First published " + b.t.fields["Published"]))
	b.centre(b.words("by " + b.t.fields["Publisher"]))
	b.centre(b.words("Braille edition 2016"))
	b.centre(ruleUEB)
	if b.n == 1 {
		bellGeneral(b)
	}
	volumeContents(b, "Contents", `"`, ruleUEB, "braille page")
}

// bellGeneral sets the contents of all volumes, without page numbers.
func bellGeneral(b *press) {
	b.open(false)
	b.centre(b.words("General Contents"))
	b.fill(b.tr.tokens("The braille edition is divided as follows.", &b.notes), 2, 0)
	for n := range b.names {
		b.centre(b.words("Volume " + numberWord(n+1)))
		for _, h := range b.previous(n + 1).headings {
			if !h.front {
				b.fill(b.tr.tokens(strings.Replace(h.words, ": ", " ", 1), &b.notes), 0, 2)
			}
		}
	}
	b.centre(ruleUEB)
}

// volumeContents lists the chapters of this volume with their braille pages,
// the number four cells from the right margin (common practice).
func volumeContents(b *press, name, guide, rule, label string) {
	b.open(false)
	b.centre(b.words(name))
	label = b.words(label)
	b.put(strings.Repeat(" ", max(0, b.width-len(label))) + label)
	for _, h := range b.previous(b.n).headings {
		if !h.front {
			b.entry(b.words(strings.Replace(h.words, ": ", " ", 1)), guide, string(cell.Number(h.page)), b.width-4)
		}
	}
	b.centre(rule)
}

// bellEnd sets the notes that this volume calls and its last line.
func bellEnd(b *press, last bool) {
	if last {
		b.centre(ruleUEB)
		b.centre(b.words("The End"))
	}
	if len(b.notes) > 0 {
		bellNotes(b)
	}
	if !last {
		b.centre(b.words("End of Volume " + numberWord(b.n)))
	}
}

func bellNotes(b *press) {
	b.open(false)
	b.centre(b.words("Notes"))
	for _, n := range append([]string(nil), b.notes...) {
		toks := b.tr.tokens(b.t.notes[n], &[]string{})
		b.fill(append([]token{{cells: string(cell.Number(atoi(n)))}}, toks...), 2, 0)
	}
	b.centre(ruleUEB)
}

// baker is an older British edition in contracted SEB without capitals, double
// spaced, with a page information line on odd pages only.
func baker() *house {
	h := &house{code: sebCode, text: "baker", eol: "\r\n", body: "Chapter One", before: []string{"Chapter Six"},
		names: []string{"Winter Baker vol 1.brf", "Winter Baker vol 2.brf"},
		end:   bakerEnd, prelims: bakerPrelims,
		start: func(b *press) { b.open(false); b.centre(b.words(b.t.fields["Title"])); b.centre(ruleSEB) }}
	h.paper = style{width: 36, height: 27, double: true, turn: centredTurn(`"3 `)}
	h.chapter = func(b *press, words string) {
		if len(b.heads) > 0 {
			b.open(false)
		}
		headingLines(b, words)
	}
	h.verse = func(b *press, lines []string) {
		b.blank()
		stanza(b, lines, 0, 2)
		b.blank()
	}
	return h
}

func bakerPrelims(b *press) {
	full := withHead(b, "The Winter Baker")
	b.head = func(p *page) string {
		if p.front || p.number%2 == 0 {
			return ""
		}
		blind := *p
		blind.print = ""
		return full(&blind)
	}
	titlePage(b, ruleSEB, "Brailled by hand at", "Cold Harbour House")
	b.double = false
	volumeContents(b, "Contents", "-", ruleSEB, "page")
	b.close()
	b.double = true
}

func bakerEnd(b *press, last bool) {
	b.need(3)
	b.centre(ruleSEB)
	if last {
		b.centre(b.words("The End"))
	} else {
		b.centre(b.words("End of Volume " + numberWord(b.n)))
	}
}

// weather is a North American edition in contracted EBAE: print page at the
// right of line 1, braille page at the right of the last line, both sharing
// their lines with text; full rows for print page turns (English Braille
// American Edition 1994; common practice of textbooks).
func weather() *house {
	h := &house{code: ebaeCode, text: "weather", eol: "\r\n", upper: true, body: "Chapter 1:", before: []string{"Chapter 6:"},
		names:   []string{"WEATHERv01.BRF", "WEATHERv02.BRF"},
		prelims: weatherPrelims, end: weatherEnd,
		start: func(b *press) { b.open(false); b.centre(b.words(b.t.fields["Title"])) }}
	h.paper = style{width: 40, height: 25, corners: weatherCorners, turn: rowTurn}
	h.chapter = func(b *press, words string) {
		b.blank()
		b.need(6)
		headingLines(b, words)
		b.blank()
		if strings.HasPrefix(words, "Appendix") {
			note := b.words("The averages are given in the order high, low, rain.")
			b.fill(tokensOf(",'"+note+",'"), 6, 4)
		}
	}
	h.section = func(b *press, words string) {
		b.blank()
		b.need(3)
		b.put("    " + b.words(words))
	}
	h.verse = func(b *press, lines []string) {
		b.blank()
		stanza(b, lines, 0, 2)
		b.blank()
	}
	h.noteText = func(b *press, numbers []string) {
		for _, n := range numbers {
			b.fill(append([]token{{cells: b.code.noteMark(n)}}, b.tr.tokens(b.t.notes[n], &[]string{})...), 6, 4)
		}
	}
	return h
}

// rowTurn sets a full row of dots 3-6 with the number at the right margin. At
// the end of a page the new print page starts a new braille page instead.
func rowTurn(s *setter, label string) {
	if s.full() || s.next >= s.height-2 {
		s.open(false)
	}
	s.print = label
	if s.cur.used {
		n := number(label)
		s.put(strings.Repeat("-", s.width-len(n)) + n)
	}
}

// weatherCorners gives a print page that goes on over several braille pages its
// letters: #c, a#c, b#c.
func weatherCorners(s *setter, p *page, print string) (top, bottom string) {
	if print != "" {
		top = number(print)
		if n := s.seen[print]; n > 0 {
			top = string(rune('a'+n-1)) + top
		}
	}
	bottom = string(cell.Number(p.number))
	if p.front {
		bottom = ";p" + bottom
	}
	return top, bottom
}

func weatherPrelims(b *press) {
	v := b.previous(b.n)
	b.open(true)
	for _, key := range []string{"Title", "Subtitle"} {
		b.centre(b.words(b.t.fields[key]))
	}
	b.skip(1)
	b.centre(b.words("By"))
	b.centre(b.words(b.t.fields["Author"]))
	b.skip(1)
	for _, line := range []string{"Published by", b.t.fields["Publisher"], b.t.fields["City"], "Copyright " + b.t.fields["Published"]} {
		b.centre(b.words(line))
	}
	b.skip(2)
	for _, line := range []string{"Transcribed 1996 by", "Two Rivers Braille Guild"} {
		b.centre(b.words(line))
	}
	b.skip(3)
	b.centre(b.words("In " + numberWord(len(b.names)) + " Volumes"))
	b.centre(b.words(fmt.Sprintf("Volume %d", b.n)))
	b.centre(b.words(fmt.Sprintf("Braille pages p1-p%d and %d-%d", v.front, v.first, v.last)))
	from := v.from
	if b.n == 1 {
		from = "ix"
	}
	b.centre(b.words(fmt.Sprintf("Print pages %s-%s", from, v.to)))
	weatherSymbols(b)
	weatherContents(b)
	b.close()
}

// weatherSymbols lists the signs that are used in this volume.
func weatherSymbols(b *press) {
	b.open(false)
	b.centre(b.words("Special Symbols Used in This Volume"))
	b.blank()
	signs := []string{
		"99 " + b.words("mark for a note, which follows the paragraph"),
		"------ " + b.words("a full row with a number: print page change"),
		",' " + b.words("before and after a note by the transcriber"),
	}
	for _, s := range signs[b.n-1 : b.n+1] {
		b.fill(tokensOf(s), 0, 2)
	}
}

// tokensOf splits cells at blanks.
func tokensOf(cells string) []token {
	var out []token
	for _, w := range strings.Fields(cells) {
		out = append(out, token{cells: w})
	}
	return out
}

// weatherContents: the whole contents in volume 1, its own part in volume 2;
// print pages at the right margin.
func weatherContents(b *press) {
	b.open(false)
	b.centre(b.words("Contents"))
	b.blank()
	for n := b.n; n <= len(b.names); n++ {
		for _, h := range b.previous(n).headings {
			label := number(h.print)
			b.entry(b.words(h.words), `"`, label, b.width-len(label))
		}
	}
}

// weatherEnd sets the end line on the last line of the last page.
func weatherEnd(b *press, last bool) {
	words := b.words(fmt.Sprintf("END OF VOLUME %d", b.n))
	if last {
		words = b.words("THE END")
	}
	if b.full() || b.next > b.height-1 {
		b.open(false)
	}
	b.next = b.height - 1
	b.put(middle(words, b.width))
}
