package structure

import (
	"bytes"

	"continuo/internal/cell"
)

// gap is what stands between a unit and the one before it.
type gap struct {
	hard    bool // a blank line, a heading, a rule: nothing goes on over it
	known   bool // whether the fit test says anything
	fits    bool // the first word would have fitted on the line before
	turned  bool // a print page turn stands between
	newPage bool
}

// slack is how many cells would have stayed free had the first word of u stood
// on the line of prev; negative when it did not fit.
func slack(prev, u *Unit) int {
	n := 0
	for n < len(u.Text) && u.Text[n] != cell.Blank {
		n++
	}
	return prev.Avail - int(prev.To) - 1 - n
}

// tolerance measures how loosely a volume's lines of text are filled: the number
// of free cells that hardly any line inside a paragraph leaves. Lines that leave
// eight cells or more are ends of paragraphs, items and verse, and tell nothing; nor
// do lines that end a sentence, after which a speech of a play may begin at the
// margin, or in a number, as rows of a timetable and entries of a list do. Where most lines that step in could not have stood on the line before,
// they are runovers, of verse or of items, and the lines at the margin begin anew:
// these tell nothing either.
func tolerance(v *Volume) int {
	if v.hung() {
		return 0
	}
	var over [5]int
	n := 0
	for i := max(v.firstUnitOf(v.BodyPage)+1, 2); i < len(v.Units); i++ {
		u, p := &v.Units[i], &v.Units[i-1]
		if u.From != 0 || p.From > 2 || p.Avail != v.TextWidth || u.Blanks > 0 || len(u.Turns) > 0 || u.Rule || p.Rule || itemNumber(u.Text) || EndsSentence(p.Text) || endsInNumber(p.Text) {
			continue
		}
		if p.From > 0 && p.Blanks == 0 && slack(&v.Units[i-2], p) < 0 {
			continue // p is the runover of an item, it may be, and u the next item
		}
		n++
		s := slack(p, u)
		for k := range over {
			over[k] += boolInt(s >= 2*k)
		}
	}
	wide := over[len(over)-1]
	for k, c := range over[:len(over)-1] {
		if (c-wide)*20 < n-wide {
			return 2 * k
		}
	}
	return 0
}

// endsInNumber reports whether the last word of a text is a number.
func endsInNumber(t []byte) bool {
	w := lastWord(t)
	return len(w) > 1 && w[0] == '#' && len(w) < len(t)
}

// hung reports whether the lines of text that step in from the margin are runovers:
// twice as many, ten at least, had no room on the line before as had it.
func (v *Volume) hung() bool {
	var in [2]int
	for i := v.firstUnitOf(v.BodyPage) + 1; i < len(v.Units); i++ {
		u, p := &v.Units[i], &v.Units[i-1]
		if p.From == 0 && u.From > 0 && p.Avail == v.TextWidth && u.Blanks == 0 && len(u.Turns) == 0 && !u.Rule && !p.Rule && !u.Centred {
			in[boolInt(slack(p, u) >= 0)]++
		}
	}
	return in[0] >= 10 && in[0] >= 2*in[1]
}

func (f *Flow) gapBefore(i int) gap {
	if i == 0 {
		return gap{hard: true}
	}
	u, p := f.units[i], f.units[i-1]
	if u.headword {
		return gap{hard: true, turned: len(u.Turns) > 0, newPage: u.Page != p.Page || u.Vol != p.Vol}
	}
	g := gap{turned: len(u.Turns) > 0, newPage: u.Page != p.Page || u.Vol != p.Vol}
	g.hard = u.Blanks > 0 && !f.blankUnderHead(i) || p.Rule || g.newPage && u.opensPage() && !onOverFiller(p, u)
	for _, t := range u.Turns {
		g.known = g.known || t.Line < 0
	}
	if g.turned && g.newPage && f.Vols[u.Vol].Rows > 0 {
		g.known = false // where turns are rows, one at the foot of a page begins a page, and cuts the line before it short (BRL session 4, "pages")
	}
	if g.turned && g.newPage && f.Vols[u.Vol].Marks > 0 && !EndsSentence(p.Text) {
		g.known = false // so do turns that have a line of their own (UK paper layout: the indicator may be dropped where a braille page begins with the print page)
	}
	g.known = !g.turned || g.known
	if n := len(p.Text); n > 0 && (p.Text[n-1] == '-' || p.Text[n-1] == '"') && !endsInDash(p.Text) {
		g.known = false
	}
	if u.Vol != p.Vol && u.From == 0 && !g.hard && !EndsSentence(p.Text) && !p.Centred && withinSentence(u.Text) {
		g.known = false // a volume is cut where it is full; its last line may be short
	}
	if u.Vol != p.Vol && f.Vols[u.Vol].Blocked && EndsSentence(p.Text) {
		g.known = true // block paragraphs: the blank line between them went with the end of the volume
	}
	if p.Page+1 == u.Page && u.Vol == p.Vol && u.Filler >= unfilled && EndsSentence(p.Text) {
		return gap{hard: g.hard, known: true, fits: true, turned: g.turned, newPage: true}
	}
	g.fits = g.known && (slack(p, u) >= f.tolerance[p.Vol] || (u.From > 0 || f.Vols[u.Vol].Blocked) && otherSpeaker(p.Text, u.Text))
	return g
}

// unfilled is how many blank lines at the end of a page tell that what begins the next one
// did not go on: no page ends so far from its foot within a paragraph.
const unfilled = 4

// onOverFiller reports whether a unit goes on the one before it over a page that holds nothing
// but its number, or was left unfilled: that one is full and ends no sentence, and this one
// begins within one.
func onOverFiller(p, u *Unit) bool {
	return !p.Rule && !p.Centred && slack(p, u) < 0 && !EndsSentence(p.Text) && withinSentence(u.Text)
}

// otherSpeaker reports whether a speech ends with one line, with its sentence, and
// another begins with the next: nobody closes quotation marks to open them at once.
func otherSpeaker(prev, next []byte) bool {
	n := len(prev)
	if n < 3 || prev[n-1] != '0' || bytes.IndexByte([]byte("468"), prev[n-2]) < 0 || prev[n-3] == cell.Blank {
		return false
	}
	return len(next) > 2 && next[0] == '8' && (next[1] == ',' || next[1] >= 'a' && next[1] <= 'z')
}

// opensPage reports whether a unit is a centred line at the top of a page where the
// page before was left unfilled: a chapter, a poem or a part that begins on a new page.
func (u *Unit) opensPage() bool { return u.PageTop && u.Centred && u.Filler >= 3 }

// endsInDash reports whether a text ends in a dash of any code: a line may be
// divided after it as at a blank.
func endsInDash(t []byte) bool {
	n := len(t)
	return n > 2 && t[n-1] == '-' && (t[n-2] == ',' || t[n-2] == '-')
}
