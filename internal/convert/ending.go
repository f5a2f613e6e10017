package convert

import (
	"bytes"

	"continuo/internal/cell"
	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/source"
	"continuo/internal/structure"
)

// roomForWord is how many cells at the end of a line most words fit in: a line
// that leaves so many was not broken off for want of room.
const roomForWord = 8

// ending reads how the text of a volume ends: its last line that is no rule and no end
// line.
func (e *Evidence) ending(v *structure.Volume) {
	i := len(v.Units) - 1
	for i >= 0 && (v.Units[i].Rule || i >= v.End[0] && i < v.End[1]) {
		i--
	}
	if i < 0 {
		return
	}
	u := &v.Units[i]
	pages, lower, well := lowerText(v, u)
	e.Full, e.Short = pages > 0 && 2*lower <= pages, 2*well > pages && !filled(v, u.Line)
	e.Foot, e.Pages, e.AsHigh = 4*well <= pages, pages, pages-lower
	e.Prose = prose(v, i)
	e.Heading = opensLast(v, i)
	t := u.Text
	if v.EndTail.To > 0 && u.Line == v.EndLine {
		t = bytes.TrimRight(t[:max(0, min(len(t), int(v.EndTail.From-u.From)))], " ")
	}
	e.Closed = saysBookEnds(v, t)
	e.Comma = len(t) > 1 && t[len(t)-1] == '1' && t[len(t)-2] >= 'a' && t[len(t)-2] <= 'z'
	e.Ended = len(t) > 0 && !wordsign(t) && bytes.IndexByte([]byte("468"), t[len(t)-1]) >= 0
	e.Within = !e.Closed && !signature(v, i) && (EndsWithin(t) && !structure.EndsSentence(t) || endsInSign(t) || wordsign(t))
	e.Wide = len(bytes.TrimRight(v.Raw(u.Line), " ")) > v.Width-roomForWord
	e.Open = e.Within || !e.Closed && !EndsSentence(t) && e.Wide
}

// saysBookEnds reports whether a line, or what is set off at its end, says that the book ends.
func saysBookEnds(v *structure.Volume, line []byte) bool {
	for _, words := range [][]byte{line, line[bytes.LastIndex(line, []byte("  "))+1:]} {
		if p, ok := v.Words.Lookup(bytes.TrimSpace(words)); ok && p.ID == english.EndOfBook {
			return true
		}
	}
	return false
}

// signature reports whether a line may be a name under the text: it stands after a
// sentence, takes less than three fifths of the line, and all its words, two at least or
// far in, have a capital.
func signature(v *structure.Volume, i int) bool {
	u := &v.Units[i]
	if i == 0 || len(u.Text)+int(u.From) >= v.TextWidth*3/5 || !structure.EndsSentence(v.Units[i-1].Text) {
		return false
	}
	words := bytes.Fields(u.Text)
	for _, w := range words {
		if w[0] != ',' || len(w) < 2 {
			return false
		}
	}
	return len(words) > 1 || u.From >= 4
}

// opensLast reports whether the last lines of a volume are the heading of a chapter: a
// centred line "chapter 7", or that and centred lines under it on its page.
func opensLast(v *structure.Volume, last int) bool {
	for i := last; i >= 0 && i > last-3; i-- {
		u := &v.Units[i]
		if !u.Centred || u.Page != v.Units[last].Page {
			return false
		}
		if u.HasPhrase && u.Phrase.ID == english.Chapter && u.Phrase.N > 0 {
			return true
		}
	}
	return false
}

// prose reports whether a line and the two before it stand at the margin and are
// nearly full but for the last, or begin a paragraph, the last one after a sentence. A number at the margin begins an item
// of a list.
func prose(v *structure.Volume, last int) bool {
	if last > 0 && v.Units[last].From == 2 && len(v.Units[last].Text) >= v.TextWidth*3/5 && EndsSentence(v.Units[last-1].Text) && v.Units[last-1].From == 0 {
		last--
	}
	for i := last; i > last-3; i-- {
		if i < 0 || v.Units[i].Centred || v.Units[i].From > 2 || i == last && v.Units[i].From > 0 || v.Units[i].From == 0 && bytes.HasPrefix(v.Units[i].Text, []byte("#")) {
			return false
		}
		if u := &v.Units[i]; i < last && len(u.Text)+int(u.From) < v.TextWidth*3/5 && !EndsSentence(u.Text) {
			return false
		}
	}
	return true
}

// lowerText counts the pages of text before that of its last line, those of them whose
// text goes lower on the page, and those where it goes three lines lower and more.
func lowerText(v *structure.Volume, last *structure.Unit) (pages, lower, well int) {
	at := last.Line - v.Pages[last.Page].First
	for i := 0; i < len(v.Units); {
		page, low := v.Units[i].Page, int32(0) // and its lowest line of text
		for ; i < len(v.Units) && v.Units[i].Page == page; i++ {
			low = max(low, v.Units[i].Line-v.Pages[page].First)
		}
		if page < v.BodyPage || page >= last.Page {
			continue
		}
		pages++
		lower += boolInt(low > at)
		well += boolInt(low > at+2)
	}
	return pages, lower, well
}

// filled reports whether something stands after the last line of text: the page
// number at the foot, the end of the page, or blank lines that fill it. A file that
// was cut off within a page ends with its text.
func filled(v *structure.Volume, last int32) bool {
	blank := 0
	for i := int(last) + 1; i < len(v.Lines); i++ {
		if v.Lines[i].Role != layout.Empty {
			return true
		}
		blank++
	}
	return v.File.Final == source.FinalFeed || blank > 2
}

// paper reads how far the last page of a file goes down the paper. A page that is filled
// to its end has blank lines there, or its number below room for more text.
func (e *Evidence) paper(v *structure.Volume) {
	if len(v.Pages) == 0 {
		return
	}
	pg := &v.Pages[len(v.Pages)-1]
	e.Room = max(0, v.Height-int(pg.Last-pg.First))
	blank := 0
	for i := pg.Last - 1; i >= pg.First && v.Lines[i].Role == layout.Empty; i-- {
		blank++
	}
	e.Filled = blank > 1 || !e.Full && v.End[1] == v.End[0] && v.EndTail.To == 0
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}

// EndsWithin reports whether cells end in a word without punctuation behind it
// (comma, semicolon, hyphen and dash too) and which is no number.
func EndsWithin(t []byte) bool {
	w := bytes.Fields(t)
	if len(w) == 0 {
		return false
	}
	last := w[len(w)-1]
	if l, number := cell.ParseLabel(last); number && !l.Bare {
		return false
	}
	return !EndsSentence(last) && bytes.IndexByte([]byte("12-,"), last[len(last)-1]) < 0
}

// endsInSign reports whether the last word of a text is nothing but a sign that stands
// before a word: capitals, grade 1, letter sign. The word itself is not there.
func endsInSign(t []byte) bool {
	w := bytes.Fields(t)
	return len(w) > 1 && len(bytes.Trim(w[len(w)-1], ",;")) == 0
}

// wordsign reports whether the last word of a text is one cell by itself that ends a sentence only behind
// a word: was, were, his, for (the same cells in UEB, SEB and EBAE), or the first cell of "are".
func wordsign(t []byte) bool {
	n := len(t)
	return n > 1 && t[n-2] == cell.Blank && bytes.IndexByte([]byte("078=>"), t[n-1]) >= 0
}

// EndsSentence reports whether cells end as a sentence, a heading in capitals
// or a rule may end: in full stop, question mark, exclamation mark, colon,
// closing quotation mark or bracket (the same cells in UEB, SEB and EBAE but
// for brackets), or with a word in such marks.
func EndsSentence(t []byte) bool {
	t = bytes.TrimRight(t, " ")
	if len(t) == 0 || wordsign(t) {
		return false
	}
	switch t[len(t)-1] {
	case '4', '8', '6', '3', '0', '7', '\'', '>', '=':
		return true
	}
	return false
}
