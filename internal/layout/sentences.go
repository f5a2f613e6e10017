package layout

import (
	"bytes"
	"strings"

	"continuo/internal/cell"
)

// This file tells by sentences that go on whether a line parts the text or stands within it.

// goesOnUnder reports whether an edge line on the first pages of a volume's text
// repeats a heading of the book, with text that goes on at the margin right
// under it, as under no heading, where line 1 is the place of heads, or beside a number: the part
// began in the volume before.
func (v *Volume) goesOnUnder(e *edgeLine, hb *headbook) bool {
	next := v.near(e.line, 1)
	if !e.middle || !v.bareTops(hb) && !((v.Reserved || e.number) && v.headed) || v.begun(e.page) > 1 || next >= v.Pages[e.page].Last {
		return false
	}
	p, ok := v.Words.Lookup([]byte(e.norm))
	under := &v.Lines[next]
	return !(ok && apart[p.ID]) && (hb.inner.exact[e.norm] || !e.first || e.like >= 2) && hb.likeHeading(e.norm, true) &&
		under.Role == Text && under.Text.From == 0 && (int(under.Text.To) > v.Width*2/3 || e.like >= 5 && e.like*2 >= len(v.Pages) || v.midSentence(e) && (hb.running.capitals() || v.breaksOff(e.page)))
}

// endsSentence are the cells that the last line of a sentence may end with: full stop, exclamation and
// question mark, closing quotation marks and brackets.
const endsSentence = "4680'7>\""

// breaksOff reports whether the text before a page ends in the middle of a sentence:
// its last line, no heading, with no cell that can end one. A runover stands in the middle by chance.
func (v *Volume) breaksOff(page int) bool { return v.breaksOffAt(v.Pages[page].First) }

// breaksOffAt reports the same of the text before a line.
func (v *Volume) breaksOffAt(line int32) bool {
	for i := line - 1; i >= 0; i-- {
		if t := v.TextOf(i); v.Lines[i].Role == Text && len(t) > 0 && !v.turnLine(i) {
			return strings.IndexByte(endsSentence, t[len(t)-1]) < 0 && (!v.Centred(i) || v.underItem(i, v.Lines[i].Text.From))
		}
	}
	return false
}

// partsSentence reports whether a sentence breaks off above a last line and goes on at the
// top of the next page: no heading parts it, and no line of the text stands in the middle within it.
func (v *Volume) partsSentence(e *edgeLine) bool {
	if e.top || e.page+1 >= len(v.Pages) || v.Pages[e.page+1].Top < 0 || !v.breaksOffAt(e.line) {
		return false
	}
	next := v.Pages[e.page+1].Top
	if v.onlyNumbers(next) {
		next++
	}
	return v.flowsFrom(next)
}

// midSentence reports whether the text under an edge line goes on in the middle
// of a sentence: at the margin right under it, without a capital or another sign
// before its first letter. No heading stands there.
func (v *Volume) midSentence(e *edgeLine) bool {
	next := v.near(e.line, 1)
	if next >= v.Pages[e.page].Last {
		return false
	}
	under := &v.Lines[next]
	t := v.TextOf(next)
	return under.Role == Text && under.Text.From == 0 && len(t) > 1 && !signs[t[0]]
}

// closesSentence reports whether an edge line at the margin ends the sentence that breaks
// off on the page before: text, however often the like of it comes to the top of a page,
// as the steps of recipes do.
func (v *Volume) closesSentence(e *edgeLine) bool {
	if !e.top || e.centred || e.text.From > 0 || !v.breaksOff(e.page) {
		return false
	}
	t := v.Raw(e.line)[e.text.From:e.text.To]
	return len(t) > 1 && !signs[t[0]] && bytes.IndexByte([]byte("468"), t[len(t)-1]) >= 0
}

// withinSentence reports whether a sentence goes on from the page before to the text
// under an edge line, right under it, after the blank line that may part a head from
// the text or under the print page turn there, at any cell and without a capital: no
// heading parts it. Where capitals do not tell it goes on at the margin, in a book without
// capitals right under the line, or where lines of the page before run over.
func (v *Volume) withinSentence(e *edgeLine, hb *headbook) bool {
	next := e.line + 1
	parted := next < v.Pages[e.page].Last && v.Lines[next].Role == Empty
	if parted {
		next++
	}
	for next < v.Pages[e.page].Last && v.turnLine(next) {
		next++
	}
	if next >= v.Pages[e.page].Last || v.Lines[next].Role != Text || !v.breaksOff(e.page) {
		return false
	}
	over := !parted && v.Lines[next].Text.From > 0 && v.runsOverAt(e.page-1, v.Lines[next].Text.From)
	if v.Centred(next) && !over {
		return false
	}
	if v.Lines[next].Text.From > e.text.From {
		return false // a runover of the line itself, which stands in the middle by chance
	}
	if !hb.running.capitals() && !over && (v.Lines[next].Text.From > 0 || parted && hb.running.small()) {
		return false
	}
	t := v.TextOf(next)
	word, _, _ := bytes.Cut(t, []byte{cell.Blank})
	item := len(word) <= 3 && word[len(word)-1] == '4' // "a."
	return len(t) > 1 && !signs[t[0]] && !item
}

// runsOverAt reports whether a line of a page runs over at a cell: lines that begin there stand in the middle
// by chance.
func (v *Volume) runsOverAt(page int, from int32) bool {
	for i := v.Pages[page].First + 1; i < v.Pages[page].Last; i++ {
		if v.underItem(i, from) {
			return true
		}
	}
	return false
}

// goesOnBelow reports whether the text under an edge line goes on in the middle of a
// sentence.
func (v *Volume) goesOnBelow(e *edgeLine) bool { return v.flowsFrom(e.line + 1) }

// flowsFrom reports whether the first text from a line on, in two lines, goes on in the
// middle of a sentence: at the margin, no item, without a capital or another sign before
// its first letter.
func (v *Volume) flowsFrom(from int32) bool {
	if int(from) >= len(v.Lines) {
		return false
	}
	for i, last := from, v.Pages[v.PageOf[from]].Last; i < last && i <= from+1; i++ {
		if v.Lines[i].Role == Text {
			t := v.TextOf(i)
			word, _, more := bytes.Cut(t, []byte{cell.Blank})
			letter := len(word) == 1 && word[0] >= 'a' && word[0] <= 'z'                                    // of a list; other cells are words
			return v.Lines[i].Text.From == 0 && more && !letter && !signs[t[0]] && word[len(word)-1] != '4' // "a." begins an item
		}
	}
	return false
}

// marginUnder reports whether running text stands at the margin right under an edge
// line: a heading has a blank line under it, or a paragraph that steps in.
func (v *Volume) marginUnder(e *edgeLine) bool {
	next := v.near(e.line, 1)
	if next >= v.Pages[e.page].Last {
		return false
	}
	after := v.near(next, 1)
	if after >= v.Pages[e.page].Last {
		return false
	}
	a, b := &v.Lines[next], &v.Lines[after]
	return a.Role == Text && a.Text.From == 0 && int(a.Text.To) > v.Width*3/4 && b.Role == Text && b.Text.From <= 2 && !v.Centred(next)
}
