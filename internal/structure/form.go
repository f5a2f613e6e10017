package structure

import (
	"bytes"

	"continuo/internal/book"
	"continuo/internal/cell"
)

// formOf tells what the units a up to b are, which no blank line divides and
// which hang together as m: rows of a table, verse, a list. Plain when nothing
// tells.
func (f *Flow) formOf(a, b int, m model) book.Form {
	switch {
	case f.columns(a, b):
		return book.TableRow
	case m == block || m == prose || m == mixed:
		return book.Plain
	case m == outline:
		return book.ListItem
	case f.spatial(a, b):
		return book.Fixed
	case f.items(a, b):
		return book.ListItem
	case f.verseLines(a, b) && !f.fullSpeeches(a, b):
		return book.Verse
	}
	return book.Plain
}

// columns reports whether most of the units hold columns: two blanks together
// inside, at the same cell in two units at least.
func (f *Flow) columns(a, b int) bool {
	if b-a < 2 {
		return false
	}
	wide := 0
	var starts [256]int
	for i := a; i < b; i++ {
		u := f.units[i]
		if !u.wide || marginNumber(u) && !wideGap(u.Text[:len(u.Text)-tailLen(u)]) {
			continue
		}
		wide++
		for k := 2; k < len(u.Text); k++ {
			if at := int(u.From) + k; at < len(starts) && u.Text[k] != cell.Blank && u.Text[k-1] == cell.Blank && u.Text[k-2] == cell.Blank {
				starts[at]++
			}
		}
	}
	same := 0
	for _, n := range starts {
		same = max(same, n)
	}
	return wide >= 2 && wide*2 > b-a && same >= 2
}

// spatial reports whether units are laid out in a way that is not understood,
// so that their cells must stay where they are: three lines or more that hang
// together in no way, more than half of them with wide gaps or far in, at three
// different indents at least. A number in the margin makes no gap.
func (f *Flow) spatial(a, b int) bool {
	wide, far := 0, 0
	in := map[int]bool{}
	for i := a; i < b; i++ {
		u := f.units[i]
		t := u.Text[:len(u.Text)-tailLen(u)]
		wide += boolInt(wideGap(t))
		far += boolInt(u.Indent() >= 6)
		in[u.Indent()] = true
	}
	return b-a >= 3 && len(in) >= 3 && wide >= 2 && (wide+far)*2 > b-a
}

// items reports whether most of the units that begin an item begin with a
// bullet or a number.
func (f *Flow) items(a, b int) bool {
	base := f.units[a].Indent()
	n, marked := 0, 0
	for i := a; i < b; i++ {
		if f.units[i].Indent() > base && i > a && !f.gap[i].fits {
			continue
		}
		n++
		if Bullet(f.units[i].Text) || f.item(i) {
			marked++
		}
	}
	return n >= 2 && marked*3 >= n*2
}

// itemised reports whether every unit begins an item, with a number or a letter,
// or is a runover: further in than all items, at one indent, and begun because
// the line before was full (BANA, Braille Formats 2016, sections 8 and 10).
func (f *Flow) itemised(a, b int) bool {
	items, deepest, over := 0, 0, -1
	for i := a; i < b; i++ {
		in := f.units[i].Indent()
		switch {
		case f.item(i):
			items++
			deepest = max(deepest, in)
		case i == a, f.gap[i].fits, over >= 0 && in != over:
			return false
		default:
			over = in
		}
	}
	f.over = over
	return items >= 2 && over > deepest
}

// overEach is Flow.over where each item has its runovers two cells or so further in than
// itself.
const overEach = -2

// stepped reports whether every unit begins an item, those at the margin numbered one
// after the other or with parts further in, or is a runover further in than its item, begun because the line before
// was full: questions in cells 1-3 with their parts in cells 3-5 (common practice). Items at the margin
// without a mark need parts with letters, and runovers that all stand two cells further in than their item.
func (f *Flow) stepped(a, b int) bool {
	start, over, parts, bare, twoIn := 0, 0, 0, 0, true
	for i := a; i < b; i++ {
		switch in := f.units[i].Indent(); {
		case f.item(i) || in == 0 && Bullet(f.units[i].Text):
			start = in
			parts += boolInt(in > 0)
		case in == 0 && (i == a || !f.full(i) || EndsSentence(f.units[i-1].Text)):
			start = in
			bare++
		case i == a, f.gap[i].fits, in <= start, in > start+4:
			return false
		default:
			over++
			twoIn = twoIn && in == start+2
		}
	}
	if over == 0 || bare > 0 && (!twoIn || parts < 2) || bare == 0 && parts == 0 && !f.counted(a, b) {
		return false
	}
	f.over = overEach
	return true
}

// counted reports whether the items at the margin are numbered or lettered one after the other, two
// or more, and nothing else stands there.
func (f *Flow) counted(a, b int) bool {
	n, last := 0, 0
	for i := a; i < b; i++ {
		if f.units[i].Indent() > 0 {
			continue
		}
		k, ok := ordinal(bytes.TrimRight(firstWord(f.units[i].Text), "4"))
		if !ok || n > 0 && k != last+1 {
			return false
		}
		n, last = n+1, k
	}
	return n >= 2
}

// ordinal is the number of an item, or the place of its letter in the alphabet.
func ordinal(w []byte) (int, bool) {
	if c := loneLetter(w); c != 0 {
		return int(c - 'a' + 1), true
	}
	l, ok := cell.ParseLabel(w)
	return l.Value, ok && !l.Bare && !l.Roman
}

// levelled reports whether units begin at two indents or more and run over at one
// that is deeper, at which no line begins: verse of a play with its speakers, or a
// list without numbers (BANA, Braille Formats 2016, sections 8 and 13). One line in
// ten at that indent may tell otherwise, and three in ten of the others. One line
// there is enough where six others and all of them were begun anew, as in tables
// whose rows step in column by column (section 11), or where three others were and
// what stands there goes on a sentence.
func (f *Flow) levelled(a, b int) bool {
	var all, known, fits, within [24]int
	for i := a; i < b; i++ {
		in := min(f.units[i].Indent(), len(all)-1)
		all[in]++
		if i > a && f.gap[i].known { // a blank line or a heading stands before the first
			known[in]++
			fits[in] += boolInt(f.gap[i].fits)
			within[in] += boolInt(!f.gap[i].fits && !EndsSentence(f.units[i-1].Text) && !opensHeading(f.units[i].Text))
		}
	}
	starts, anew, told := 0, 0, 0
	f.over = -1
	for in := range all {
		enough := known[in] >= 3 || known[in] > 0 && (anew >= 6 && anew == told || anew >= 3 && within[in] == known[in])
		if starts >= 2 && enough && fits[in]*10 <= known[in] && anew*10 >= told*7 {
			f.over = in
		}
		starts += boolInt(all[in] > 0)
		anew, told = anew+fits[in], told+known[in]
	}
	return f.over >= 0
}

// Bullet reports whether a text begins with a bullet: dots 456-256 in UEB, a
// shape, an asterisk or a dot on its own before the words (Rules of Unified
// English Braille 2013, 3.5).
func Bullet(t []byte) bool {
	w := firstWord(t)
	if len(w) == len(t) {
		return false
	}
	switch string(w) {
	case "_4", "99", "\"9", "$=", ";$=", "_\"", "-", "--":
		return true
	}
	return false
}

// itemNumber reports whether a text begins with a number or a letter and a full
// stop or a bracket, words after it.
func itemNumber(t []byte) bool {
	w := firstWord(t)
	if len(w) < 2 || len(w) == len(t) {
		return false
	}
	switch {
	case w[len(w)-1] == '7' && w[0] == '7' && len(w) > 2: // round brackets of the codes before UEB
		w = w[1 : len(w)-1]
	case w[len(w)-1] == '4', w[len(w)-1] == '7':
		w = w[:len(w)-1]
	case len(w) > 2 && string(w[len(w)-2:]) == "\">":
		w = w[:len(w)-2]
	case w[0] != '#':
		return false
	}
	if len(w) > 2 && string(w[:2]) == "\"<" {
		w = w[2:]
	}
	if l, ok := cell.ParseLabel(w); ok && (len(w) > 1 || w[0] > 'h') { // c and d letter items more often than they number them in roman
		return !l.Bare
	}
	for len(w) > 0 && (w[0] == ',' || w[0] == ';') {
		w = w[1:]
	}
	return len(w) == 1
}

// item reports whether unit i begins with the number or the letter of an item. One without a
// stop or bracket, which goes on a full line within a sentence, is a number of the text where
// those of the items near it have one: "#aj years old".
func (f *Flow) item(i int) bool {
	t := f.units[i].Text
	if !itemNumber(t) {
		return false
	}
	if i == 0 || t[0] != '#' || !f.full(i) || EndsSentence(f.units[i-1].Text) {
		return true
	}
	w := firstWord(t)
	return w[len(w)-1] == '4' || w[len(w)-1] == '7' || w[len(w)-1] == '>' || !f.stops(i)
}

// stops reports whether the numbers of items near unit i, two at least, have a stop or a
// bracket, nearly all of them.
func (f *Flow) stops(i int) bool {
	const near = 30
	with, without := 0, 0
	for k := max(0, i-near); k < min(len(f.units), i+near); k++ {
		t := f.units[k].Text
		if k == i || f.full(k) || !itemNumber(t) && !Bullet(t) {
			continue
		}
		w := firstWord(t)
		if bare := len(w) > 1 && w[0] == '#' && w[len(w)-1] != '4' && w[len(w)-1] != '7' && w[len(w)-1] != '>'; bare {
			without++
		} else {
			with++
		}
	}
	return with >= 2 && with >= 4*without
}

// verseLines reports whether the units are lines of verse: three or more, each
// begun anew although its first word would have fitted on the line before or
// runs over to a deeper cell, with the punctuation of sentences at many ends. Where four,
// and a third of all, begin with a number or a letter, they are questions or steps.
func (f *Flow) verseLines(a, b int) bool {
	starts, ends, cells, items := 0, 0, 0, 0
	base := f.units[a].Indent()
	for i := a; i < b; i++ {
		base = min(base, f.units[i].Indent())
	}
	for i := a; i < b; i++ {
		u := f.units[i]
		if u.Indent() > base && i > a && f.gap[i].known && !f.gap[i].fits {
			continue // a runover
		}
		starts++
		items += boolInt(itemNumber(u.Text))
		cells += len(u.Text)
		if endsClause(u.Text[:len(u.Text)-tailLen(u)]) {
			ends++
		}
	}
	return starts >= 3 && ends*10 >= starts*4 && cells >= 12*starts && (items < 4 || 3*items < starts)
}

// endsClause reports whether a text ends in a mark of punctuation: comma,
// semicolon, colon, full stop, exclamation mark, question mark or a dash, a
// quotation mark after it or not.
func endsClause(t []byte) bool {
	for len(t) > 2 && (t[len(t)-1] == '0' || t[len(t)-1] == '\'') {
		t = t[:len(t)-1]
	}
	if len(t) < 2 {
		return false
	}
	switch t[len(t)-1] {
	case '1', '2', '3', '4', '6', '8':
		return true
	case '-':
		return t[len(t)-2] == '-' || t[len(t)-2] == ','
	}
	return false
}

// ForTranscriber reports whether a text begins as a transcriber's note: with
// the note's opening sign (dots 4, 46, 126; Rules of Unified English Braille
// 2013, 3.27), or with dots 6-3 before UEB in North America (from memory).
func ForTranscriber(t []byte) bool {
	return len(t) > 3 && (string(t[:3]) == "@.<" || string(t[:2]) == ",'" && t[2] != cell.Blank)
}
