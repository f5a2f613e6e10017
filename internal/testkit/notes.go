package testkit

import "strings"

// This file sets notes wherever the standards let them stand: at the foot of
// braille pages, where print pages end, after their paragraph, at the end of
// chapters and of volumes (BANA, Braille Formats 2016, section 16; English
// Braille American Edition, rule IV; UKAAF, Guiding Principles 2016, section 11
// and appendix D).

// WantNote is a note of a book and the word that refers to it.
type WantNote struct {
	Ref   int // word of the body that has the mark
	Mark  string
	Words []string // the note as it is set, its mark first
	Place string
}

// DrawNotes draws a layout whose notes stand anywhere.
func DrawNotes(seed uint64) *Layout {
	l := Draw(seed)
	d := Dice(seed)
	l.Double, l.SingleText = false, false
	l.Footnotes, l.Remarks, l.EndNotes = false, false, true
	l.NotePlace = pick(d, []string{"foot", "foot", "print", "after", "chapter", "volume"}, "note place")
	if l.NotePlace == "print" && l.Turns != "row" && l.Turns != "centred" {
		l.NotePlace = "foot"
	}
	l.NoteMark = pick(d, []string{"number", "chapter", "asterisk"}, "note mark")
	if l.NoteMark == "asterisk" && (l.NotePlace == "chapter" || l.NotePlace == "volume") {
		l.NoteMark = "chapter"
	}
	l.NoteRule = l.NotePlace == "print" || d.Chance(70, "note rule")
	l.NoteOut = d.Chance(60, "note hangs")
	return l
}

// marked returns a paragraph's words with the mark of note n at one of them.
func (b *Book) marked(w []Tok, n, inChapter, elem int) []Tok {
	l := b.Lay
	k := b.Dice.N(len(w), "note word", elem)
	for k+1 < len(w) && strings.HasSuffix(w[k].Cells, "-") {
		k++
	}
	if strings.HasSuffix(w[k].Cells, "-") {
		return nil
	}
	number := Number(b.noteNumber(n, inChapter))
	out := append([]Tok(nil), w[:k+1]...)
	t := &out[k]
	t.Half = [2]string{}
	switch {
	case l.NoteMark == "asterisk" && l.Code.System == "ueb":
		t.Cells, t.Note, t.Mark = t.Cells+strings.Repeat(`"9`, 1+n%2), n, strings.Repeat(`"9`, 1+n%2)
	case l.NoteMark == "asterisk":
		out = append(out, Tok{Cells: strings.Repeat("99", 1+n%2), Note: n, Mark: strings.Repeat("99", 1+n%2)})
	case l.Code.System == "ueb" && strings.Contains(t.Cells, "#"):
		return nil
	case l.Code.System == "ueb":
		t.Cells, t.Note, t.Mark = t.Cells+";9"+number, n, ";9"+number
	default:
		out = append(out, Tok{Cells: "99" + number, Note: n, Mark: "99" + number})
	}
	return append(out, w[k+1:]...)
}

func (b *Book) noteNumber(n, inChapter int) int {
	if b.Lay.NoteMark == "chapter" {
		return inChapter
	}
	return n
}

// pending is a note that is referred to and not set yet.
type pending struct {
	n, ref int
	mark   string
}

// refer takes down that the word just set refers to a note.
func (p *press) refer(t Tok) {
	p.due2 = append(p.due2, pending{t.Note, len(p.t.Body) - 1, t.Mark})
}

// noteWords is a note as it is set.
func (p *press) noteWords(x pending) []string {
	mark := x.mark
	if p.l.NotePlace == "chapter" || p.l.NotePlace == "volume" {
		mark = "#" + strings.TrimLeft(mark, `;9#"`)
	}
	return append([]string{mark}, strings.Fields(joinToks(p.b.Notes[x.n-1]))...)
}

// noteLines sets a note in lines. Its words must be in the edition once, in a
// row: where it stands there is for the profile to say.
func (p *press) noteLines(x pending, first, over int) []string {
	w := p.noteWords(x)
	p.t.Float("note", w, 1, 1)
	p.t.WantNotes = append(p.t.WantNotes, WantNote{Ref: x.ref, Mark: x.mark, Words: w, Place: p.l.NotePlace})
	return hang(w, p.l.Width, first, over)
}

func (p *press) indents() (first, over int) {
	if p.l.NoteOut {
		return 0, 2
	}
	return 2, 0
}

// footRoom is how many rows a note and the line before the notes take at the
// foot of a page.
func (p *press) footRoom(n int) int {
	w := append([]string{"99#aaa"}, strings.Fields(joinToks(p.b.Notes[n-1]))...)
	return len(hang(w, p.l.Width, 2, 2)) + 1
}

// noteSoon begins a new page where one of the next words refers to a note for
// which the page has no room.
func (s *setter) noteSoon() {
	p := s.p
	if p.l.NotePlace != "foot" {
		return
	}
	need := 0
	for i := s.i; i < len(s.toks) && i < s.i+p.l.Width/2; i++ {
		if n := s.toks[i].Note; n > 0 {
			need += p.footRoom(n)
		}
	}
	if need > 0 && !p.atTop() && p.rowsLeft() < need+3 {
		p.newPage(p.kind)
	}
}

// footNotes sets the notes that are due at the foot of the page at hand.
func (p *press) footNotes() {
	if p.l.NotePlace != "foot" {
		return
	}
	first, over := p.indents()
	for _, x := range p.due2 {
		p.cur.foot = append(p.cur.foot, p.noteLines(x, first, over)...)
		p.cur.last = min(p.cur.last, p.cur.footEnd-len(p.cur.foot)-1)
	}
	p.due2 = nil
}

// setFoot fills the last rows of a page with its notes.
func (p *press) setFoot(pg *page) {
	if len(pg.foot) == 0 {
		return
	}
	at := pg.footEnd - len(pg.foot) - 1
	if at < pg.at {
		panic("testkit: no room for a note at the foot of the page")
	}
	if p.l.NoteRule {
		pg.rows[at].text, pg.rows[at].kind = p.noteRule(), "rule"
	}
	for i, s := range pg.foot {
		pg.rows[at+1+i].text = s
	}
	pg.at, pg.last, pg.foot = pg.footEnd, pg.footEnd, nil
}

func (p *press) noteRule() string {
	if p.l.Code.System == "ueb" {
		return `"333333`
	}
	return "333333"
}

// flushNotes sets the notes that are due where the text stands: a print page,
// a paragraph or a chapter ends.
func (p *press) flushNotes(where string) {
	if len(p.due2) == 0 || p.l.NotePlace != where {
		return
	}
	due := p.due2
	p.due2 = nil
	first, over := p.indents()
	switch where {
	case "print":
		p.room(p.footRoom(due[0].n)+1, true)
		p.putAs("rule", 0, p.noteRule())
	case "after":
		first, over = 6, 4
	case "chapter":
		p.room(6, true)
		p.blank()
		p.room(4, true)
		p.noteHeads++
		p.t.Float("notes heading", words(p.say("Notes")), 0, max(p.noteHeads, p.l.Volumes))
		p.putAs("notes heading", 0, p.centre(p.say("Notes")))
		p.blank()
	}
	for _, x := range due {
		for _, line := range p.noteLines(x, first, over) {
			p.room(1, true)
			p.put(line)
		}
	}
	if where == "chapter" {
		p.blank()
	}
}

// notesOfVolume sets the notes of a volume on a page of their own, each
// chapter's under its heading where the numbers begin anew.
func (p *press) notesOfVolume() {
	if len(p.due2) == 0 || p.l.NotePlace != "volume" {
		return
	}
	due := p.due2
	p.due2 = nil
	p.finish()
	p.kind = "notes"
	p.newPage("notes")
	p.optionalMany("notes heading", p.say("Notes"))
	p.putAs("notes heading", 0, p.centre(p.say("Notes")))
	p.blank()
	first, over := p.indents()
	chapter := ""
	for _, x := range due {
		if h := p.chapterAt(x.ref); p.l.NoteMark == "chapter" && h != chapter {
			chapter = h
			p.t.Float("chapter in notes", words(h), 0, 2*p.l.Volumes+2)
			for _, line := range wrap(words(h), p.l.Width-6) {
				p.room(3, true)
				p.putAs("chapter in notes", 0, p.centre(line))
			}
		}
		for _, line := range p.noteLines(x, first, over) {
			p.room(1, true)
			p.put(line)
		}
	}
	p.kind = "text"
}

// chapterAt is the first heading line of the chapter that a body word stands
// in.
func (p *press) chapterAt(word int) string {
	s := ""
	for _, h := range p.t.Heads {
		if h.Level == 1 && h.At <= word {
			s = joinToks(p.b.Body[h.elem].Lines[0])
		}
	}
	return s
}
