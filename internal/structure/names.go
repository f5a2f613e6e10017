package structure

import (
	"bytes"

	"continuo/internal/cell"
)

// This file tells lines that begin with a name of a speaker of a play, or are one,
// by their coming again and again at the start of lines that were begun anew.

// NameWords is how many words the name of a speaker has at most.
const NameWords = 4

// Emphasised is the length of the words in a type form that a text begins with, 0
// when there are none or too many: in UEB a word sign (dots 4-6, 2 and the like)
// before each or a passage, before it dots 4-6 before each or twice for a passage
// (Rules of Unified English Braille 2013, section 9; 1.3.4).
func Emphasised(t []byte) int {
	if i := cell.Indent(t); i == len(t) || t[i] != '.' && t[i] != '^' && t[i] != '_' {
		return 0
	}
	end, n, passage := 0, 0, false
	for from, to := range cell.Words(t) {
		w := t[from:to]
		switch {
		case passage:
		case len(w) > 2 && bytes.IndexByte([]byte(".^_"), w[0]) >= 0 && bytes.IndexByte([]byte("127"), w[1]) >= 0:
			passage = w[1] == '7'
		case len(w) > 2 && w[0] == '.' && w[1] == '.':
			passage = true
		case len(w) > 1 && w[0] == '.' && w[1] != '<' && w[1] != '>':
		default:
			return end
		}
		if n++; n > NameWords {
			return 0
		}
		if end = to; passage && (bytes.HasSuffix(w, []byte(".'")) || bytes.HasSuffix(w, []byte("^'")) || bytes.HasSuffix(w, []byte("_'")) || n > 1 && w[0] == '.') {
			return end
		}
	}
	return end
}

// opening is what a line of a play may begin a speech with: the words in a type
// form that it begins with, a name in capitals, or the whole of a line of a few words; "" for others.
func opening(t []byte) []byte {
	if n := speakerName(t); n > 0 {
		return t[:n]
	}
	if len(t) > 30 || bytes.Count(t, []byte{cell.Blank}) >= NameWords || bytes.IndexByte(t, '#') >= 0 || EndsSentence(t) {
		return nil
	}
	return t
}

// openings counts how often lines with the same opening were begun anew, and how
// often they may go on the line before.
func (f *Flow) openings() {
	f.opens = map[string][2]int{}
	for i, u := range f.units {
		if k := opening(u.Text); len(k) > 0 && !u.Rule && (f.gap[i].hard || f.gap[i].known) {
			n := f.opens[string(k)]
			n[boolInt(!f.gap[i].hard && !f.gap[i].fits)]++
			f.opens[string(k)] = n
		}
	}
}

// opensSpeech reports whether unit i, after the end of a sentence or a remark in
// brackets, begins as lines begin that are begun anew again and again.
func (f *Flow) opensSpeech(i int) bool {
	k := opening(f.units[i].Text)
	if len(k) == 0 {
		return false
	}
	n := f.opens[string(k)]
	p := f.units[i-1].Text
	return n[0] >= 3 && 2*n[0] >= n[1] && (EndsSentence(p) || endsInBracket(p))
}

// speakerName is the length of the words that a text begins with and that may be the name of a speaker: words in a type
// form, or one all in capitals with a full stop or a colon; 0 for none.
func speakerName(t []byte) int {
	if n := Emphasised(t); n > 0 {
		return n
	}
	if len(t) < 4 || t[0] != ',' || t[1] != ',' {
		return 0
	}
	w := firstWord(t)
	if end := w[len(w)-1]; len(w) < len(t) && len(w) > 4 && (end == '4' || end == '3') {
		return len(w)
	}
	return 0
}

// speaker reports whether unit i begins with the name of a speaker, which begins three lines begun anew.
func (f *Flow) speaker(i int) bool {
	t := f.units[i].Text
	n := speakerName(t)
	return n > 0 && f.opens[string(t[:n])][0] >= 3
}

// fullSpeeches reports whether two speeches at least begin among the units a up to b, and half of the units had no room on
// the line before: no verse, though directions among them begin anew.
func (f *Flow) fullSpeeches(a, b int) bool {
	begun, full, known := 0, 0, 0
	for i := a; i < b; i++ {
		begun += boolInt(f.speaker(i))
		if i > a && f.gap[i].known {
			known++
			full += boolInt(!f.gap[i].fits)
		}
	}
	return begun >= 2 && 2*full >= known
}

// endsInBracket reports whether a text ends in a bracket of any code.
func endsInBracket(t []byte) bool {
	for _, b := range [...]string{"\">", ".>", "7'", "7"} {
		if bytes.HasSuffix(t, []byte(b)) {
			return true
		}
	}
	return false
}
