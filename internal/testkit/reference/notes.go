package reference

import (
	"strings"

	"continuo/internal/testkit"
)

// detached reports whether marks stand as words of their own.
func (p *press) detached() bool {
	return p.h.noteMark == "asterisk" && p.h.code.System != "ueb" && p.h.noteOver == 0
}

// ref is the note n as the word that is being set refers to it, ahead words of
// the same line after others.
func (p *press) ref(n, ahead int) waiting {
	h := p.h
	no := p.noteNo + ahead + 1
	if h.noteCount == "page" && h.notes == "foot" {
		no = p.cur.noted + ahead + 1
	}
	w := waiting{n: n, no: no, chapter: p.chapter, page: p.label}
	num := testkit.Number(no)
	ueb := h.code.System == "ueb"
	switch {
	case h.noteMark == "asterisk":
		w.mark = strings.Repeat(map[bool]string{true: `"9`, false: "99"}[ueb], no)
	case h.noteMark == "square":
		w.mark = map[bool]string{true: ".<" + num + ".>", false: ",7" + num + "7'"}[ueb]
	case h.noteMark == "round":
		w.mark = map[bool]string{true: `"<` + num + `">`, false: "7" + num + "7"}[ueb]
	default:
		w.mark = map[bool]string{true: ";9" + num, false: "99" + num}[ueb]
	}
	w.atNote = w.mark
	if h.noteMark != "asterisk" {
		switch h.notePlain {
		case "number":
			w.atNote = num
		case "stop":
			w.atNote = num + "4"
		}
	}
	return w
}

// refer takes down a note whose reference was just set.
func (p *press) refer(w waiting) {
	p.cur.noted++
	p.noteNo++
	p.pend = append(p.pend, w)
	if p.h.notes == "foot" {
		p.footNote(w)
		p.pend = nil
	}
}

// noteLines are the lines of a note, which is noted in the truth.
func (p *press) noteLines(w waiting) []string {
	x := p.b.notes[w.n-1]
	var out []string
	for i, c := range x.cells {
		ws := c
		first := p.h.noteAt
		if i == 0 {
			ws = append([]string{w.atNote}, c...)
		} else {
			first = p.h.noteOver + 2
		}
		out = append(out, wrap(ws, p.h.width, first, p.h.noteOver)...)
	}
	return out
}

func (p *press) noteTruth(w waiting) {
	for i, c := range p.b.notes[w.n-1].cells {
		ws := c
		if i == 0 {
			ws = append([]string{w.atNote}, c...)
			p.t.WantNotes = append(p.t.WantNotes, testkit.WantNote{Ref: w.ref, Mark: w.mark, Words: ws, Place: p.h.notes})
		}
		key := strings.Join(ws, " ")
		p.noted[key]++ // a short note may stand under several pages with the same number
		p.t.Float("note", ws, p.noted[key], p.noted[key])
	}
}

func (p *press) noteRuleLine() string {
	if p.h.code.System == "ueb" {
		return `"333333`
	}
	return "333333"
}

// footRoom reports whether the page has room for a line and the beginnings of
// the notes it refers to; a fresh page has.
func (p *press) footRoom(refs []waiting) bool {
	if len(p.cur.rows) == 0 {
		return true
	}
	n := 2
	if len(p.cur.notes) == 0 {
		n += 2
	}
	for i, w := range refs {
		lines := len(p.noteLines(w))
		if i == len(refs)-1 && p.h.noteLong && p.h.noteRule { // without the line nobody could tell the rest from text
			lines = min(lines, 3)
		}
		n += lines
	}
	return p.left() >= n
}

// footNote sets a note at the foot of its page; what has no room goes over to
// the next.
func (p *press) footNote(w waiting) {
	lines := p.noteLines(w)
	p.noteTruth(w)
	if len(p.cur.notes) == 0 && p.h.noteRule {
		p.cur.notes = append(p.cur.notes, p.noteRuleLine())
	}
	p.noShare()
	for _, l := range lines {
		if p.left() <= 1 || len(p.carry) > 0 {
			p.carry = append(p.carry, l)
			continue
		}
		p.cur.notes = append(p.cur.notes, l)
	}
}

// flush sets the notes that wait for a place.
func (p *press) flush(where string) {
	h := p.h
	if len(p.pend) == 0 {
		return
	}
	if where == "book chapter" {
		return
	}
	if h.notes != where {
		return
	}
	list := p.pend
	p.pend = nil
	switch where {
	case "after", "print":
		if where == "print" {
			p.room(3)
			if h.noteRule {
				p.put(p.noteRuleLine())
			}
		}
		p.notesOf(list)
		if where == "print" && h.noteCount == "page" {
			p.noteNo = 0
		}
		if where == "after" && h.noteCount == "page" {
			p.noteNo = 0
		}
		return
	}
	if where != "chapter" && p.cur != nil {
		p.close()
		p.section = p.say["notes"]
		p.kind = "notes"
		p.begin()
		p.cur.section = p.section
	}
	p.noteHeading(list, where)
	if where == "chapter" || h.noteHead == "notes" {
		p.notesOf(list)
		if where == "volume" && h.noteCount != "run" {
			p.noteNo = 0
		}
		return
	}
	for len(list) > 0 {
		n := 1
		for n < len(list) && list[n].chapter == list[0].chapter {
			n++
		}
		p.noteGroup(list[:n])
		list = list[n:]
	}
}

// noteHeading sets the heading of gathered notes.
func (p *press) noteHeading(list []waiting, where string) {
	h := p.h
	if p.cur == nil {
		p.room(4)
	}
	p.room(7)
	p.blank()
	s := p.say["notes"]
	if where == "chapter" && h.noteHead == "to chapter" && list[0].chapter != "" {
		s = p.say["notes to"] + " " + list[0].chapter
	}
	side := where == "chapter" && h.sectionAt >= 0
	p.notesHead(s, side)
	if !side && h.blankAfter {
		p.put("")
	}
	p.t.Float("notes heading", strings.Fields(s), 0, 40)
}

// notesHead sets a heading over notes, on several lines where it is long.
func (p *press) notesHead(s string, side bool) {
	if side {
		for _, l := range wrap(strings.Fields(s), p.h.width, p.h.sectionAt, p.h.sectionAt) {
			p.put(l)
		}
		return
	}
	for _, l := range wrap(strings.Fields(s), p.h.width-6, 0, 0) {
		p.put(center(l, p.h.width))
	}
}

// noteGroup sets the notes to a chapter under a heading.
func (p *press) noteGroup(list []waiting) {
	s := list[0].chapter
	switch {
	case p.h.noteHead == "pages" && list[0].page != "" && list[len(list)-1].page != "":
		s = p.say["notes to pages"] + " " + list[0].page + "-" + list[len(list)-1].page
	case s == "":
		s = p.say["notes"]
	case p.h.noteHead == "to chapter":
		s = p.say["notes to"] + " " + s
	}
	p.room(6)
	if p.width() < p.h.width {
		p.put("")
	}
	p.blank()
	p.notesHead(s, p.h.sectionAt >= 0)
	p.t.Float("chapter in notes", strings.Fields(s), 0, 40)
	p.notesOf(list)
}

// notesOf sets notes as lines of text.
func (p *press) notesOf(list []waiting) {
	for _, w := range list {
		p.noteTruth(w)
		x := p.b.notes[w.n-1]
		for i, c := range x.cells {
			first := p.h.noteAt
			ws := c
			if i == 0 {
				ws = append([]string{w.atNote}, c...)
			} else {
				first = p.h.noteOver + 2
			}
			p.lines(ws, first, p.h.noteOver)
		}
	}
}

// lines sets cells in lines that are no words of the running text.
func (p *press) lines(ws []string, first, over int) {
	for i := 0; i < len(ws); {
		p.room(1)
		indent := over
		if i == 0 {
			indent = first
		}
		line, n := "", 0
		for i+n < len(ws) {
			s := ws[i+n]
			if line != "" {
				s = line + " " + s
			}
			if len(s) > p.width()-indent {
				break
			}
			line = s
			n++
		}
		if n == 0 {
			if p.width() < p.h.width {
				p.put("")
				continue
			}
			line, n = ws[i], 1
		}
		p.put(blanks(indent) + line)
		i += n
	}
}
