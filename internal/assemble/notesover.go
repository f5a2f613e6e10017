package assemble

import (
	"continuo/internal/book"
	"continuo/internal/diag"
	"continuo/internal/structure"
)

// This file joins the notes at the end of a volume with those at the start of the
// next one, where the notes of a book are divided between two volumes.

// notesOver finds the notes that go on in the volume after volume i, and gives
// them their fate. It reports whether the notes of volume i may be gathered: not
// when what goes on them cannot be told from the text.
func (a *assembly) notesOver(i int) bool {
	v := a.vols[i]
	n, k := a.textAfter(i)
	if v.Notes[1] <= v.Notes[0] || n < 0 {
		return true
	}
	on := v.NotesGoOn(&a.vols[n].Units[k], false)
	g, head, ok := a.restOfNotes(i, n, k, on)
	if !ok {
		if on {
			u := &a.vols[n].Units[k]
			a.find(diag.Look, "notes-go-on", a.vols[n], u.Line, "the notes at the end of the volume before go on here; where they end is not certain, so both stay where they are")
		}
		return !on
	}
	why := a.why("notes", "heading of notes again", "the notes go on from the volume before", 0.9)
	for u := k; u < head; u++ {
		if a.leave(n, u, why) && len(a.vols[n].Units) > head {
			a.vols[n].Units[head].Blanks = 0 // the blank line after it belongs to it
		}
	}
	for u := head; u < g.To; u++ {
		if a.fates[n][u] == asText {
			a.fates[n][u] = asNotes
		}
	}
	if a.over == nil {
		a.over = map[int]structure.NoteGroup{}
	}
	a.over[n] = g
	return true
}

// textAfter is the first unit of text in the volume after volume i; -1 if there
// is none.
func (a *assembly) textAfter(i int) (vol, unit int) {
	for n := i + 1; n < len(a.vols); n++ {
		if a.vols[n].RepeatOf != nil {
			continue
		}
		for k := a.bodyUnit(a.vols[n]); k < len(a.vols[n].Units); k++ {
			if a.fates[n][k] == asText {
				return n, k
			}
		}
	}
	return -1, 0
}

// restOfNotes reads the notes of volume i on in volume n from unit k: a heading of
// notes once more or none, the rest of a note that broke off (on), and notes whose
// numbers go on, which the text refers to. head is the first unit after the heading.
func (a *assembly) restOfNotes(i, n, k int, on bool) (g structure.NoteGroup, head int, ok bool) {
	v, w := a.vols[i], a.vols[n]
	last := v.EndOfNotes()
	head = k
	if u := &w.Units[k]; u.HasPhrase && structure.NotesHeading(*u.Phrase) && w.Alone(k) {
		head++
		on = head < len(w.Units) && v.NotesGoOn(&w.Units[head], true)
	}
	if head >= w.End[0] || last.First < 0 {
		return g, head, false
	}
	g = structure.NoteGroup{Place: structure.AtVolume, From: head}
	referred := 0
	for g.To = head; g.To < w.End[0]; g.To++ {
		u := &w.Units[g.To]
		m, _, _, mark := structure.ReadMark(u.Text)
		switch {
		case mark && m.Number() && m.N == last.Mark.N+1 && u.From == last.First && !u.Rule:
			last.Mark = m
			g.Starts = append(g.Starts, g.To)
			referred += boolInt(a.refersTo(i, m))
			continue
		case len(g.Starts) == 0 && !on, u.Rule, u.Centred && (u.Blanks > 0 || g.To == head), u.Blanks > 0 && !u.PageTop && g.To > head:
		case u.From == last.Run, last.Run < 0 && g.To > head && !w.Anew(g.To):
			continue
		}
		break
	}
	apart := g.To == w.End[0] || w.Units[g.To].Rule || w.Units[g.To].Blanks > 0
	switch {
	case len(g.Starts) > 0:
		ok = referred*2 > len(g.Starts)
	default:
		ok = on && apart && g.To > head && g.To-head <= 12
	}
	return g, head, ok
}

// refersTo reports whether the text of volume i, or of one before it, refers to a
// note.
func (a *assembly) refersTo(i int, m structure.NoteMark) bool {
	for n := 0; n <= i; n++ {
		v := a.vols[n]
		for k := a.bodyUnit(v); k < v.Notes[0]; k++ {
			found := false
			v.AllReferences(k, func(_, _ int, r structure.NoteMark, _ bool) { found = found || r == m })
			if found {
				return true
			}
		}
	}
	return false
}

// groupsOf are the groups of notes of a volume; those that go on from the volume
// before are one.
func (a *assembly) groupsOf(i int) []structure.NoteGroup {
	over, ok := a.over[i]
	if !ok {
		return a.vols[i].Groups
	}
	out := []structure.NoteGroup{over}
	for _, g := range a.vols[i].Groups {
		if g.From >= over.To {
			out = append(out, g)
		}
	}
	return out
}

// layGathered lays the notes at the end of volume i, and with them those that go on
// them in the next volumes.
func (a *assembly) layGathered(i int, why book.ReasonID) {
	var us []*structure.Unit
	moved := book.ReasonID(0)
	for n := i; n < len(a.vols); n++ {
		from, to := 0, len(a.vols[n].Units)
		over, on := a.over[n]
		if n > i && !on {
			if a.vols[n].RepeatOf != nil {
				continue
			}
			break
		}
		if n == i && on { // they stand with those of the volume before
			from = over.To
		} else if n > i {
			to = over.To
		}
		for k := from; k < to; k++ {
			if a.fates[n][k] == asNotes {
				us = append(us, &a.vols[n].Units[k])
			}
		}
		if n != a.lastVolume() && a.over[n+1].To == 0 || a.textAfterNotes(n) {
			moved = why
		}
		if n > i && to < len(a.vols[n].Units) && a.hasNotes(n, to) {
			break
		}
	}
	if len(us) > 0 {
		a.flow.Text(us, moved)
	}
}

// hasNotes reports whether gathered notes of volume n stand at unit from or later.
func (a *assembly) hasNotes(n, from int) bool { return count(a.fates[n][from:], asNotes) > 0 }
