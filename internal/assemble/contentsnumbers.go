package assemble

import (
	"math"

	"continuo/internal/cell"
	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/structure"
)

// printNumbers decides whether the numbers of the lists are print pages, by
// looking up where the headings of the entries stand.
func (a *assembly) printNumbers() bool {
	if a.list.two, a.list.first = a.twoColumns(); a.list.two {
		return true
	}
	braille, print, label := 0, 0, 0
	for i, v := range a.vols {
		for _, r := range v.Contents {
			a.list.left = a.leftNumbers(v, r)
			for k := r.From; k < r.To; k++ {
				u := &v.Units[k]
				switch {
				case u.HasPhrase && u.Phrase.ID == english.BraillePage:
					label--
				case u.HasPhrase && u.Phrase.ID == english.PrintPage:
					label++
				}
				b, p := a.vote(i, v, r, k)
				braille, print = braille+b, print+p
			}
		}
	}
	if braille != print {
		return print > braille
	}
	return label > 0 && a.knowsPrint()
}

func (a *assembly) knowsPrint() bool {
	for _, v := range a.vols {
		if v.Marks+v.Rows > 0 {
			return true
		}
		for _, s := range v.Slots {
			if s == layout.PrintPage {
				return true
			}
		}
	}
	return false
}

// vote checks the number of the entry that ends in unit k, or begins with it where the numbers stand
// before the words, against the place of its heading.
func (a *assembly) vote(i int, v *structure.Volume, r structure.Region, k int) (braille, print int) {
	t := v.Units[k].Text
	if a.list.left {
		if e, ok := leftEntry(t); ok {
			return a.voteFor(i, r, e.text, t[e.from:e.to])
		}
		return 0, 0
	}
	e, ok := splitEntry(t)
	if !ok {
		return 0, 0
	}
	return a.voteFor(i, r, a.wordsBefore(v, r, k, e.text), t[e.from:e.to])
}

// wordsBefore is the words of the entry whose last line is unit k, its own words text: with as many
// lines above that stand further out and have no number as are a heading together.
func (a *assembly) wordsBefore(v *structure.Volume, r structure.Region, k int, text []byte) []byte {
	words := text
	for n := k - 1; n > r.From && n >= k-4; n-- {
		u := &v.Units[n]
		if u.Rule || u.Centred || u.From > v.Units[k].From || listHeading(u) || structure.EndsInLabel(u.Text) {
			break
		}
		words = append(append(append([]byte(nil), u.Text...), cell.Blank), words...)
		if u.From < v.Units[k].From && a.heads[structure.HeadingKey(layout.Normal(words))] != nil {
			return words
		}
	}
	return text
}

// leftNumbers reports whether the numbers of a list stand before the words (print pages at the left:
// common practice): nearly all its entries begin with one and end in none, and what
// follows is a heading of the text, with the number none.
func (a *assembly) leftNumbers(v *structure.Volume, r structure.Region) bool {
	n, left, named := 0, 0, 0
	for k := r.From + 1; k < r.To; k++ {
		u := &v.Units[k]
		if u.Rule || u.Centred || listHeading(u) || listWords(u) {
			continue
		}
		n++
		e, ok := leftEntry(u.Text)
		if !ok || structure.EndsInLabel(u.Text) {
			continue
		}
		left++
		named += boolInt(a.heads[structure.HeadingKey(layout.Normal(e.text))] != nil && a.heads[structure.HeadingKey(layout.Normal(u.Text))] == nil)
	}
	return named >= 2 && left*2 >= n && named*2 >= left
}

// voteFor checks a number of an entry of list r, in volume i, against the place of its heading: the braille page in that
// volume, of a list behind the text in any.
func (a *assembly) voteFor(i int, r structure.Region, text, number []byte) (braille, print int) {
	lab, _ := cell.ParseLabel(number)
	key := structure.HeadingKey(layout.Normal(text))
	places := a.heads[key]
	if len(places) == 0 {
		places = a.firstLines(key)
	}
	for _, pl := range places {
		if pl.hasPrint && lab.SamePage(pl.print) {
			print = 1
		}
		if pl.vol != i && !r.Back {
			continue
		}
		v := a.vols[pl.vol]
		b := v.Pages[v.Units[pl.unit].Page].Braille
		if b != nil && b.Value == lab.Value || b == nil && int(v.Units[pl.unit].Page)+1 == lab.Value {
			braille = 1
		}
	}
	if braille+print == 2 {
		return 0, 0
	}
	return braille, print
}

// twoColumns decides whether the volumes' lists have two columns of numbers, and
// whether the first is that of the print pages: by the places of the headings, or
// else by the labels over the columns.
func (a *assembly) twoColumns() (two, first bool) {
	n, both, lead, label := 0, 0, 0, 0
	a.list.gap = [2]int32{0, math.MaxInt32}
	for i, v := range a.vols {
		for _, r := range v.Contents {
			for k := r.From; k < r.To; k++ {
				t := v.Units[k].Text
				label += printLabelFirst(v, &v.Units[k])
				e, ok := splitEntry(t)
				if !ok || listWords(&v.Units[k]) {
					continue
				}
				n++
				if f, ok := otherNumber(t, e); ok {
					both++
					a.list.gap[0] = max(a.list.gap[0], v.Units[k].From+int32(f.to))
					a.list.gap[1] = min(a.list.gap[1], v.Units[k].From+int32(e.from))
					words := a.wordsBefore(v, r, k, f.text)
					b, p := a.voteFor(i, r, words, t[f.from:f.to])
					lead += p - b
					b, p = a.voteFor(i, r, words, t[e.from:e.to])
					lead += b - p
				}
			}
		}
	}
	if lead == 0 {
		lead = label
	}
	return both >= 2 && both*4 >= n*3 && lead != 0, lead > 0
}

// brailleAlone reports whether the number of an entry of a list with two columns stands alone, and in that of the
// braille pages: no mark tells the print page of its heading.
func (a *assembly) brailleAlone(l *listLine) bool {
	e, ok := a.numberOf(l)
	if !ok || !a.list.two || l.left || a.list.gap[0] > a.list.gap[1] {
		return false
	}
	at := a.vols[l.vol].Units[l.numberUnit()].From
	if a.list.first {
		return at+int32(e.from) >= a.list.gap[0]
	}
	return at+int32(e.to) <= a.list.gap[1]
}

// printLabelFirst reads the labels over two columns: 1 when that of the print pages
// comes first, -1 when it comes second, 0 for any other line.
func printLabelFirst(v *structure.Volume, u *structure.Unit) int {
	cols := structure.Columns(u.Text, 0)
	if len(cols) != 2 {
		return 0
	}
	p, ok := v.Words.Lookup(u.Text[cols[0].From:cols[0].To])
	q, ok2 := v.Words.Lookup(u.Text[cols[1].From:cols[1].To])
	switch {
	case ok && p.ID == english.PrintPage || ok2 && q.ID == english.BraillePage:
		return 1
	case ok && p.ID == english.BraillePage || ok2 && q.ID == english.PrintPage:
		return -1
	}
	return 0
}

// entryParts is a contents entry taken apart: its text, and its number with the
// cells from up to to of the line. Guide dots, and in a list with two columns the
// other number, are what is left.
type entryParts struct {
	text     []byte
	from, to int
}

// leftEntry takes the number off an entry that begins with it.
func leftEntry(t []byte) (e entryParts, ok bool) {
	num := len(firstToken(t))
	l, ok := cell.ParseLabel(t[:num])
	if !ok || l.Bare || num == len(t) {
		return entryParts{t, 0, 0}, false
	}
	at := num
	for at < len(t) && t[at] == cell.Blank {
		at++
	}
	return entryParts{t[at:], 0, num}, true
}

// splitEntry takes guide dots and number off a contents entry.
func splitEntry(t []byte) (e entryParts, ok bool) {
	if !structure.EndsInLabel(t) {
		return entryParts{t, 0, 0}, false
	}
	num := len(t)
	for num > 0 && t[num-1] != cell.Blank {
		num--
	}
	text := t[:guideFrom(t, num)]
	if len(text) == num-1 && ownNumber(t) {
		return entryParts{t, 0, 0}, false
	}
	return entryParts{text, num, len(t)}, true
}

// split is splitEntry for the lists of the book: of two numbers it takes that of
// the print page. A number that only a blank parts from words that are a heading with it is the heading's own.
func (a *assembly) split(t []byte) (entryParts, bool) {
	e, ok := splitEntry(t)
	if ok && len(e.text) == e.from-1 && a.heads[structure.HeadingKey(layout.Normal(t))] != nil && a.heads[structure.HeadingKey(layout.Normal(e.text))] == nil {
		return entryParts{t, 0, 0}, false
	}
	if !ok || !a.list.two {
		return e, ok
	}
	if first, found := otherNumber(t, e); found {
		if !a.list.first {
			first.from, first.to = e.from, e.to
		}
		return first, true
	}
	return e, true
}

// otherNumber finds a second number before that of an entry: after guide dots or
// two blanks, and two blanks before the other (column of print pages and column of
// braille pages: common practice).
func otherNumber(t []byte, e entryParts) (entryParts, bool) {
	to := e.from
	for to > 0 && t[to-1] == cell.Blank {
		to--
	}
	from := to
	for from > 0 && t[from-1] != cell.Blank {
		from--
	}
	l, ok := cell.ParseLabel(t[from:to])
	guided := from > 0 && guideFrom(t, from) < from-1
	if !ok || l.Bare && !guided || e.from-to < 2 || from < 2 || t[from-2] != cell.Blank && !guided {
		return entryParts{}, false
	}
	return entryParts{t[:guideFrom(t, from)], from, to}, true
}

// ownNumber reports whether a text is a structure word and its number, such as
// "chapter 3": the number is no page.
func ownNumber(t []byte) bool {
	p, ok := english.Lookup(t) // an English book's own words: chapter, part
	if !ok || len(p.Tail) > 0 {
		return false
	}
	switch p.ID {
	case english.Chapter, english.Part, english.Book, english.Section, english.Act, english.Scene, english.ActScene, english.Canto, english.Unit, english.Letter, english.Stave, english.Appendix:
		return true
	}
	return false
}

// guideFrom is where the guide dots and blanks before cell num begin.
func guideFrom(t []byte, num int) int {
	i := num
	for i > 0 && t[i-1] == cell.Blank {
		i--
	}
	end := i
	for i > 0 && cell.Guide(t[i-1]) && t[i-1] == t[end-1] {
		i--
	}
	if end-i < 2 || (i > 0 && t[i-1] != cell.Blank) {
		return end
	}
	for i > 0 && t[i-1] == cell.Blank {
		i--
	}
	return i
}
