package assemble

import (
	"bytes"
	"fmt"
	"strings"

	"continuo/internal/cell"
	"continuo/internal/decide"
	"continuo/internal/diag"
	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/structure"
)

// nameEnds takes the last line of a volume for its end where it names the volume by the
// word of its title page, "end of book 1" under "book 1 of 3", says "volume 1 ends", or names the next volume:
// "now read volume 2". Lines that say that the book ends may stand after it.
func (a *assembly) nameEnds() {
	for i, v := range a.vols {
		if v.RepeatOf != nil {
			continue
		}
		number := v.Number
		if number == 0 {
			number = i + 1 // no title page names one
		}
		for k, n := lastLine(v), 0; k >= 0 && n < 3; k, n = k-1, n+1 {
			u := &v.Units[k]
			if v.Number > 0 && a.byItsVolume(v, u) || i < a.lastVolume() && u.Centred && (v.Number > 0 && pointsTo(v, u, number+1) || endsHere(v, u, number)) {
				v.EndAt(k)
				break
			}
			if !u.Rule && !(u.HasPhrase && u.Phrase.ID == english.EndOfBook) {
				break
			}
		}
	}
}

// byItsVolume reports whether a line says that its volume ends, by the word that the
// title page has for volumes.
func (a *assembly) byItsVolume(v *structure.Volume, u *structure.Unit) bool {
	if !partEnd(u) || u.Phrase.N != v.Number {
		return false
	}
	for k := v.Title[0]; k < v.Title[1]; k++ {
		if x := &v.Units[k]; x.Volume && names(v, u.Text, x.Phrase.ID, v.Number, false) {
			return true
		}
	}
	return false
}

// maxEndWords is how many words a line has at most that names the next volume and
// nothing else.
const maxEndWords = 6

// pointsTo reports whether a short line names a volume, somewhere in it.
func pointsTo(v *structure.Volume, u *structure.Unit, number int) bool {
	return len(cell.Fields(u.Text)) <= maxEndWords && names(v, u.Text, english.Volume, number, true)
}

// endsHere reports whether a line says "volume 1 ends": its own volume, and a word after it.
func endsHere(v *structure.Volume, u *structure.Unit, number int) bool {
	fs := cell.Fields(u.Text)
	last := u.Text[fs[len(fs)-1][0]:]
	if w := layout.Normal(last); len(fs) < 2 || len(fs) > maxEndWords || !strings.HasPrefix(w, "5ds") && !strings.HasPrefix(w, "ends") && !strings.HasPrefix(w, "5d$") && !strings.HasPrefix(w, "ended") {
		return false
	}
	p, ok := v.Words.Lookup(bytes.TrimRight(u.Text[:fs[len(fs)-2][1]], " "))
	return ok && p.ID == english.Volume && p.N == number
}

// names reports whether a numbered phrase stands in a text from the start of some word
// on: to the end of the text, or (within) with other words after it.
func names(v *structure.Volume, t []byte, id english.PhraseID, number int, within bool) bool {
	t = bytes.TrimRight(t, `7'.>"@`) // closing brackets of any code
	for i := range t {
		if i > 0 && t[i-1] != cell.Blank {
			continue
		}
		p, ok := v.Words.Lookup(t[i:])
		if !ok && within {
			p, ok = v.Words.Prefix(t[i:])
		}
		if ok && p.ID == id && p.N == number {
			return true
		}
	}
	return false
}

// askEnds asks about the last line of a volume that ends in the volume's own number
// and is no end-of-volume line by its words: "end of book 1", where nothing in the
// title is called book 1, or the same words before the number in two volumes or more.
// It is kept unless a person leaves it out.
func (a *assembly) askEnds() {
	closing, alike, n := make([]int, len(a.vols)), map[string]int{}, 0
	for i, v := range a.vols {
		if closing[i] = -1; v.RepeatOf != nil || v.Prelim {
			continue
		}
		n++
		number := n
		if v.Number > 0 {
			number = v.Number
		}
		if k := lastLine(v); k >= 0 && endsInNumber(&v.Units[k], number) {
			closing[i] = k
			alike[beforeNumber(v.Units[k].Text)]++
		}
	}
	for i, k := range closing {
		if k < 0 {
			continue
		}
		u := &a.vols[i].Units[k]
		if partEnd(u) && !a.called(u) || !partEnd(u) && u.Centred && alike[beforeNumber(u.Text)] > 1 {
			a.askEnd(i, k)
		}
	}
}

func (a *assembly) askEnd(i, k int) {
	v := a.vols[i]
	u := &v.Units[k]
	q := a.o.Decided.AskLine("end-in-doubt", v.File, int(u.Line), 1, decide.Question{Severity: diag.Look, Usual: keepIt,
		Evidence: "it is the last line and ends in the number of the volume", Alike: layout.Normal(u.Text)})
	q.Kind.ID = "end-in-doubt"
	a.findAsked(diag.Look, q, v, u.Line, "the last line of the volume ends in the volume's number; it may only say that the volume ends; it is kept")
	if q.ByRule != nil && q.Choice() == leaveOut {
		a.leaveDecided(i, k, q.By())
	}
}

// lastLine is the last unit of a volume that is no rule, -1 if the volume has an
// end-of-volume line, or none.
func lastLine(v *structure.Volume) int {
	if v.End[0] < len(v.Units) || v.EndTail.To > 0 {
		return -1
	}
	k := len(v.Units) - 1
	for k >= 0 && v.Units[k].Rule {
		k--
	}
	return k
}

// endsInNumber reports whether a unit ends in a number, as the words of the end of a
// part or in digits after other words.
func endsInNumber(u *structure.Unit, number int) bool {
	if partEnd(u) {
		return u.Phrase.N == number
	}
	l, ok := cell.ParseLabel(u.Text[bytes.LastIndexByte(u.Text, cell.Blank)+1:])
	return ok && l.Value == number && l.Prefix == "" && beforeNumber(u.Text) != ""
}

// beforeNumber is the text of a line before its last word.
func beforeNumber(t []byte) string {
	return layout.Normal(t[:max(0, bytes.LastIndexByte(t, cell.Blank))])
}

func partEnd(u *structure.Unit) bool { return u.HasPhrase && u.Phrase.ID == english.EndOfPart }

// called reports whether a line of its own in the text of the title names the part
// whose end unit u tells: "book 1", "part one".
func (a *assembly) called(u *structure.Unit) bool {
	parts := map[string]bool{}
	for _, v := range a.vols {
		for k := range v.Units {
			if x := &v.Units[k]; x.HasPhrase && x.Phrase.N > 0 && (k < v.Title[0] || k >= v.Title[1]) && v.Alone(k) {
				parts[fmt.Sprint(x.Phrase.ID, x.Phrase.N)] = true
			}
		}
	}
	for i := range u.Text {
		if i > 0 && u.Text[i-1] != cell.Blank {
			continue
		}
		p, ok := a.vols[a.first()].Words.Lookup(u.Text[i:])
		if ok && p.ID != english.EndOfPart && parts[fmt.Sprint(p.ID, p.N)] {
			return true
		}
	}
	return false
}
