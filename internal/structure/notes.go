package structure

import (
	"bytes"

	"continuo/internal/cell"
	"continuo/internal/english"
)

// This file finds notes and the references to them. The marks: in UEB a raised
// number or letter (dots 56, 35; only dots 35 after digits), an asterisk (dots
// 5, 35), dagger and double dagger (Rules of Unified English Braille 2013, 3.3,
// 6.5); before it an asterisk (dots 35, 35), a number of its own behind it or
// not (English Braille American Edition, rule IV; common practice in SEB). A
// number in brackets hard after a word is a mark in any code.

// NoteMark is the mark of a note: Kind says what it looks like, N its number,
// letter or how often the sign stands.
type NoteMark struct {
	Kind byte // 'n' number, 'a' letter, '*' asterisks, '+' daggers, '=' double daggers
	N    int
}

// Number reports whether a mark is a number.
func (m NoteMark) Number() bool { return m.Kind == 'n' }

// signs are the signs of marks that are no numbers.
var signs = []struct {
	cells string
	kind  byte
}{{"\"9", '*'}, {"99", '*'}, {"@,?", '+'}, {"@,]", '='}}

// readSigns reads one sign, once or oftener, at the start of t.
func readSigns(t []byte) (m NoteMark, n int) {
	for _, s := range signs {
		for bytes.HasPrefix(t[n:], []byte(s.cells)) {
			n += len(s.cells)
			m.Kind, m.N = s.kind, m.N+1
		}
		if n > 0 {
			return m, n
		}
	}
	return m, 0
}

// digits reads a number sign and its digits at the start of t.
func digits(t []byte) (v, n int) {
	if len(t) < 2 || t[0] != '#' {
		return 0, 0
	}
	for n = 1; n < len(t) && t[n] >= 'a' && t[n] <= 'j' && n < 5; n++ {
		v = v*10 + int(t[n]-'a'+1)%10
	}
	if n == 1 || v == 0 {
		return 0, 0
	}
	return v, n
}

// opensMark has the cells that the mark of a note, or a bracket before it, can
// begin with: most lines begin with none of them.
var opensMark = [256]bool{'.': true, ',': true, '"': true, '9': true, '@': true, ';': true, '7': true, '#': true}

// ReadMark reads the mark that a note begins with and returns how many cells it
// takes. A bare number counts; strong says that the mark can hardly be
// anything else.
func ReadMark(t []byte) (m NoteMark, n int, strong, ok bool) {
	if len(t) == 0 || !opensMark[t[0]] {
		return NoteMark{'n', 0}, 0, false, false
	}
	if w := firstWord(t); len(t) > len(w) {
		if v, ok := inBrackets(w); ok {
			return NoteMark{'n', v}, len(w), false, true
		}
	}
	open := 0
	for _, b := range []string{".<", ",7"} { // the whole note in square brackets
		if bytes.HasPrefix(t, []byte(b)) {
			open = len(b)
		}
	}
	w := firstWord(t[open:])
	if m, n := readSigns(w); n > 0 {
		if m.Kind == '*' && m.N == 1 {
			if v, k := digits(w[n:]); k > 0 {
				m, n = NoteMark{'n', v}, n+k
			}
		}
		more := len(t) > open+n+1
		return m, open + n, true, more && (m.Kind == 'n' || len(w) == n || startsWord(w[n:]))
	}
	for _, raised := range []string{";9", "9"} {
		if !bytes.HasPrefix(w, []byte(raised)) {
			continue
		}
		r := w[len(raised):]
		if v, k := digits(r); k == len(r) && k > 0 {
			return NoteMark{'n', v}, open + len(w), true, len(t) > open+len(w)
		}
		if raised == ";9" && len(r) == 1 && r[0] >= 'a' && r[0] <= 'z' {
			return NoteMark{'a', int(r[0])}, open + len(w), true, len(t) > open+len(w)
		}
	}
	v, k := bareNumber(w)
	return NoteMark{'n', v}, open + k, false, k > 0 && len(t) > open+k
}

// bareNumber reads a word that is a number, in brackets or with a full stop or
// not.
func bareNumber(w []byte) (v, n int) {
	r := w
	for _, b := range brackets {
		if len(r) > len(b[0])+len(b[1]) && bytes.HasPrefix(r, []byte(b[0])) && bytes.HasSuffix(r, []byte(b[1])) {
			r = r[len(b[0]) : len(r)-len(b[1])]
		}
	}
	r = bytes.TrimSuffix(r, []byte("4"))
	if v, k := digits(r); k > 0 && k == len(r) {
		return v, len(w)
	}
	return 0, 0
}

// startsWord reports whether cells can begin a word or a quotation.
func startsWord(t []byte) bool {
	return len(t) > 1 && (t[0] == ',' || t[0] == '8' || t[0] == '!' || t[0] >= 'a' && t[0] <= 'z')
}

// HasReferences reports quickly whether a text can hold references to notes.
func HasReferences(t []byte) bool {
	for i, c := range t {
		if !opensReference[c] || i == 0 {
			continue
		}
		before := t[i-1]
		switch c {
		case '#':
			if before == '9' || before == '<' || before == '7' {
				return true
			}
		case '9':
			if before == '9' || before == '"' || before == ';' {
				return true
			}
		case ',':
			if before == '@' {
				return true
			}
		}
	}
	return false
}

// opensReference marks the second cells of what a reference may begin with.
var opensReference = [256]bool{'#': true, '9': true, ',': true}

// References calls f for each reference to a note in a text: cells from up to
// to, and its mark. after says that a word stands before it on the line.
func References(t []byte, f func(from, to int, m NoteMark, after bool)) {
	for from, to := range cell.Words(t) {
		for to > from && bytes.IndexByte([]byte("1234680'"), t[to-1]) >= 0 && !signEnds(t[from:to]) && !bytes.HasSuffix(t[from:to], []byte("7'")) {
			to--
		}
		if at, m, ok := markAtEnd(t[from:to]); ok {
			f(from+at, to, m, from+at > 0)
		}
	}
}

// brackets are the square and round brackets of UEB, and of the codes before it
// (Rules of Unified English Braille 2013, 1.3.3 and 7.1).
var brackets = [...][2]string{{".<", ".>"}, {",7", "7'"}, {"\"<", "\">"}, {"7", "7"}}

// Bracketed reports whether a note begins with a number in brackets.
func Bracketed(t []byte) bool {
	_, ok := inBrackets(firstWord(t))
	return ok
}

// inBrackets reads a word that is a number in brackets.
func inBrackets(w []byte) (v int, ok bool) {
	for _, b := range brackets {
		if r, open := bytes.CutPrefix(w, []byte(b[0])); open {
			if v, k := digits(r); k > 0 && string(r[k:]) == b[1] {
				return v, true
			}
		}
	}
	return 0, false
}

// looseReferences calls f for each number in round brackets that is a word of its
// own, behind another on its line or the full line before: a mark where notes
// have such marks too, else the number of an item.
func (v *Volume) looseReferences(k int, f func(from, to int, m NoteMark)) {
	u := &v.Units[k]
	if u.Rule || !u.refs {
		return
	}
	for from, to := range cell.Words(u.Text) {
		w := bytes.TrimRight(u.Text[from:to], "12346")
		n, ok := inBrackets(w)
		if ok && (from > 0 || k > 0 && v.goesOnText(k)) {
			f(from, from+len(w), NoteMark{'n', n})
		}
	}
}

// AllReferences is References, and calls f too, with loose, for each number in
// round brackets that is a word of its own.
func (v *Volume) AllReferences(k int, f func(from, to int, m NoteMark, loose bool)) {
	v.References(k, func(from, to int, m NoteMark) { f(from, to, m, false) })
	v.looseReferences(k, func(from, to int, m NoteMark) { f(from, to, m, true) })
}

// signEnds reports whether the last cell of a word belongs to a mark: the 9 of
// an asterisk is no punctuation.
func signEnds(w []byte) bool {
	for _, s := range signs {
		if bytes.HasSuffix(w, []byte(s.cells)) {
			return true
		}
	}
	return false
}

// markAtEnd finds the mark at the end of a word, and where it begins.
func markAtEnd(w []byte) (at int, m NoteMark, ok bool) {
	if !mayEndInMark(w) {
		return 0, m, false
	}
	n := len(w)
	for _, s := range signs {
		for at = n; at >= len(s.cells) && string(w[at-len(s.cells):at]) == s.cells; at -= len(s.cells) {
			m.Kind, m.N = s.kind, m.N+1
		}
		if m.N > 0 {
			return at, m, at > 0 || n <= 6
		}
	}
	h := bytes.LastIndexByte(w, '#')
	if h < 0 {
		return raisedLetter(w)
	}
	v, k := digits(w[h:])
	switch {
	case k == 0:
		return 0, m, false
	case h+k == n && h >= 2 && string(w[h-2:h]) == "99": // an asterisk and its number
		return h - 2, NoteMark{'n', v}, true
	case h+k == n && h >= 2 && string(w[h-2:h]) == ";9":
		return h - 2, NoteMark{'n', v}, true
	case h+k == n && h >= 2 && w[h-1] == '9' && bytes.IndexByte(w[:h-1], '#') >= 0: // after digits
		return h - 1, NoteMark{'n', v}, true
	}
	for _, b := range brackets {
		if h > len(b[0]) && string(w[h-len(b[0]):h]) == b[0] && string(w[h+k:]) == b[1] {
			return h - len(b[0]), NoteMark{'n', v}, true
		}
	}
	return 0, m, false
}

// mayEndInMark is a quick test that holds for every word with a mark at its end.
func mayEndInMark(w []byte) bool {
	n := len(w)
	if n == 0 {
		return false
	}
	switch w[n-1] { // of the signs
	case '9', '?', ']':
		return true
	}
	return n > 4 && w[n-2] == '9' || bytes.IndexByte(w, '#') >= 0
}

// raisedLetter reads a raised letter at the end of a word.
func raisedLetter(w []byte) (at int, m NoteMark, ok bool) {
	n := len(w)
	if n > 4 && w[n-3] == ';' && w[n-2] == '9' && w[n-1] >= 'a' && w[n-1] <= 'z' {
		return n - 3, NoteMark{'a', int(w[n-1])}, true
	}
	return 0, m, false
}

// NotesHeading reports whether a structure word and nothing else heads notes.
func NotesHeading(p english.Phrase) bool {
	switch p.ID {
	case english.Notes, english.Footnotes, english.Endnotes:
		return len(p.Tail) == 0
	}
	return false
}

// NotePlace says where notes stand.
type NotePlace uint8

const (
	AtFoot    NotePlace = iota // at the foot of a page, or where a print page ends
	AfterPara                  // after their paragraph
	AtChapter                  // at the end of a chapter, under a heading
	AtVolume                   // at the end of the volume, under a heading
)

func (p NotePlace) String() string {
	return [...]string{"at the foot of a page", "after their paragraph", "at the end of a chapter", "at the end of the volume"}[p]
}

// NoteGroup is notes that stand together: units From up to To. Starts are the
// units with which notes begin; Doubt says that its end is not certain. Early
// says that no reference before it in its volume has its mark, and that it
// stands so near the start of the text that the volume before may have it. The units before
// Rest, if it is not 0, go on the last note of the group before, over the end of the page.
type NoteGroup struct {
	Place    NotePlace
	From, To int
	Starts   []int
	Doubt    bool
	Early    bool
	Rest     int
}

// findGroups finds the notes at the end of chapters, and counts what may be notes within the text.
func (v *Volume) findGroups() {
	if v.holdsNotes = HasReferences(v.File.Cells) || v.Notes[1] > v.Notes[0] || v.namesNotes(); v.holdsNotes {
		v.chapterGroups()
		v.bare = v.countBareMarks()
	}
}

// moreGroups finds the notes that stand within the text, and those at its end; all counts what may be notes in the title.
func (v *Volume) moreGroups(all *bareCounts) {
	if !v.holdsNotes {
		return
	}
	v.settleBare(all)
	v.footGroups()
	if v.Notes[1] > v.Notes[0] {
		v.Groups = append(v.Groups, v.group(AtVolume, v.Notes[0], v.Notes[1]))
		v.shortNotes(len(v.Groups)-1, false)
	}
}

// namesNotes reports whether a heading names notes: those to the volumes before may stand in a volume that refers to none.
func (v *Volume) namesNotes() bool {
	for i := range v.Units {
		if v.Units[i].is(english.Notes, english.Footnotes, english.Endnotes) {
			return true
		}
	}
	return false
}

// shortNotes marks the notes of a group, or those that begin with a mark that can hardly be anything else: no short
// one that stands in the middle by chance is a heading.
func (v *Volume) shortNotes(group int, all bool) {
	for _, k := range v.Groups[group].Starts {
		v.Units[k].Note = v.Units[k].Note || all || surelyMark(v.Units[k].Text)
	}
}

// group makes a group of units, each that begins with a mark a note.
func (v *Volume) group(p NotePlace, from, to int) NoteGroup {
	g := NoteGroup{Place: p, From: from, To: to}
	first, hung := v.noteIndent(from, to)
	for k := from; k < to; k++ {
		u := &v.Units[k]
		if v.marked(k) && !u.Rule && (k == from || hung && u.From == first || !hung && (!v.fullBefore(k) || u.From == first && (v.startsNote(k) || v.nextNote(&g, k)))) {
			g.Starts = append(g.Starts, k)
		}
	}
	return g
}

// nextNote reports whether unit k, after the end of a sentence, begins with the number after that of the last note of a group.
func (v *Volume) nextNote(g *NoteGroup, k int) bool {
	n := len(g.Starts)
	return n > 0 && EndsSentence(v.Units[k-1].Text) && NoteNumber(v.Units[k].Text) == NoteNumber(v.Units[g.Starts[n-1]].Text)+1
}

// marked reports whether unit k begins with the mark of a note. A mark alone on its
// line is one too where the print page turns right after it.
func (v *Volume) marked(k int) bool {
	t := v.Units[k].Text
	_, n, _, ok := ReadMark(t)
	return ok || n == len(t) && n > 0 && k+1 < len(v.Units) && len(v.Units[k+1].Turns) > 0
}

// noteIndent is the indent at which the notes among the units begin, and
// whether hardly a runover stands there.
func (v *Volume) noteIndent(from, to int) (first int32, hung bool) {
	var marked, others [64]int
	for k := from; k < to; k++ {
		u, mark := &v.Units[k], v.marked(k)
		if u.Rule || u.Centred && !mark { // a short note may stand in the middle by chance
			continue
		}
		if mark {
			marked[min(u.From, 63)]++
		} else {
			others[min(u.From, 63)]++
		}
	}
	for k := range marked {
		if marked[k] > marked[first] {
			first = int32(k)
		}
	}
	return first, others[first]*10 <= marked[first]
}

// fullBefore reports whether the first word of unit k would not have fitted on
// the line before: it goes on that line.
func (v *Volume) fullBefore(k int) bool {
	p, u := &v.Units[k-1], &v.Units[k]
	return u.Blanks == 0 && !p.Rule && !p.Centred && slack(p, u) < 0
}

// chapterGroups finds notes at the end of chapters: under a heading that says
// so, numbers from one on or the same sign again and again, and nothing else,
// before the next heading.
func (v *Volume) chapterGroups() {
	for i := 0; i < v.Notes[0]; i++ {
		n := v.notesHead(i)
		if n == 0 {
			continue
		}
		to := v.notesEnd(i+n, v.Notes[0])
		g := v.group(AtChapter, i+n, to)
		if last := to - 1; to == v.Notes[0] { // the next volume may go on
			g.Doubt = v.full(last) && !EndsSentence(v.Units[last].Text)
		}
		if len(g.Starts) > 0 && g.Starts[0] == i+n && (v.rising(g) || v.signed(g)) {
			g.From = i
			v.Groups = append(v.Groups, g)
			v.shortNotes(len(v.Groups)-1, true)
			i = to - 1
		}
	}
}

// notesHead is how many lines the heading of notes takes that begins with unit i, 0 if none does.
func (v *Volume) notesHead(i int) int {
	if !v.mayHoldNotes(i) || !v.Alone(i) {
		return 0
	}
	u, n := &v.Units[i], v.notesTo(i)
	if n == 0 && u.is(english.Notes, english.Footnotes, english.Endnotes) {
		n = 1
	}
	if n > 0 && (u.Centred || u.PageTop || u.Indent() >= 4 || u.Blanks > 0 && i+n < v.Notes[0] && v.marked(i+n)) {
		return n
	}
	return 0
}

// notesTo is how many lines a heading of notes takes that names their chapter, "notes to chapter 3", set apart over the
// first of them; 0 if unit i begins none. At the margin it leaves a quarter of its line, or the mark under it can be nothing
// but that of a note.
func (v *Volume) notesTo(i int) int {
	u := &v.Units[i]
	if u.Blanks == 0 && !u.PageTop || len(BehindNotes(v.Words, u.Text)) == 0 {
		return 0
	}
	n := i + 1
	for n < len(v.Units) && n < i+maxNameLines && !v.marked(n) && v.Units[n].Blanks == 0 && v.Units[n].Page == u.Page && (v.Units[n].From == u.From && u.From >= 4 || v.Units[n].Centred) {
		n++
	}
	if n >= len(v.Units) || !v.marked(n) || EndsSentence(v.Units[n-1].Text) || n == i+1 && u.From < 4 && len(u.Text)*4 > v.TextWidth*3 && !surelyMark(v.Units[n].Text) {
		return 0
	}
	return n - i
}

// Said is the text of the units from one up to another.
func (v *Volume) Said(from, to int) []byte {
	var out [][]byte
	for _, u := range v.Units[from:to] {
		out = append(out, u.Text)
	}
	return bytes.Join(out, []byte{cell.Blank})
}

// BehindNotes is what a heading says behind the word for notes and a short word, "to" or "on": nil if it does not begin
// so. The codes before UEB write the short word unspaced (Rules of Unified English Braille 2013, 1.3.2).
func BehindNotes(words english.Words, t []byte) []byte {
	p, ok := words.Prefix(t)
	if !ok || p.ID != english.Notes && p.ID != english.Footnotes && p.ID != english.Endnotes {
		return nil
	}
	behind := p.Tail
	if p.N > 0 && len(behind) == 0 { // the phrase has the number of the chapter
		_, behind, _ = bytes.Cut(t, []byte(" "))
	}
	if rest, ok := bytes.CutPrefix(behind, []byte("6")); ok && len(rest) > 1 {
		return rest
	}
	_, rest, _ := bytes.Cut(behind, []byte(" "))
	return rest
}

// notesEnd is the unit after the last one of the notes that begin with unit k, under their heading:
// a heading or a rule ends them.
func (v *Volume) notesEnd(k, limit int) int {
	first, run := int32(-1), int32(-1)
	if k < limit && v.marked(k) { // in the middle too, by chance
		first = v.Units[k].From
	}
	for from := k; k < limit; k++ {
		u := &v.Units[k]
		mark := v.marked(k)
		ended := k > from && EndsSentence(v.Units[k-1].Text)
		short := u.From >= 4 && (len(u.Text)*3 <= v.TextWidth*2 || run >= 0 && u.From != run && u.From != first)
		if u.Rule || u.Centred && (u.Blanks > 0 && !(mark && k == from) || (u.PageTop && (ended && !(k > from && !u.HasPhrase && v.fillsPage(k-1) && slack(&v.Units[k-1], u) < 0 && v.runsOver(k, limit, run)) || u.From != run) || ended && short && !v.runsOver(k, limit, run) && !v.countsOn(k+1, limit, first)) && !(mark && u.From == first)) {
			return k
		}
		if !mark && k > from && (u.Blanks > 0 && (!u.PageTop || ended) || ended && u.From == run && slack(&v.Units[k-1], u) >= v.narrower(from, k, limit)) {
			return k // no line that goes on a note stands so
		}
		if !mark && ended && run > first && u.From == first {
			return k // where notes begin, without a mark
		}
		if ended && v.standsApart(k, from, first, run) {
			return k
		}
		if mark {
			first = u.From
		} else {
			run = u.From
		}
	}
	return limit
}

// runsOver reports whether unit k is a full line that runs over at indent run: a paragraph of a note that stands in the middle
// by chance.
func (v *Volume) runsOver(k, limit int, run int32) bool {
	return k+1 < limit && v.Units[k+1].From == run && v.Units[k+1].Blanks == 0 && slack(&v.Units[k], &v.Units[k+1]) < 0
}

// countsOn reports whether unit k, with no blank line over it, begins a note that is not the first at the cell where notes begin.
func (v *Volume) countsOn(k, limit int, first int32) bool {
	return k < limit && v.Units[k].Blanks == 0 && v.Units[k].From == first && v.marked(k) && NoteNumber(v.Units[k].Text) > 1
}

// standsApart reports whether unit k, after the end of a sentence, begins a line of its own where neither the notes from unit
// from on begin, at indent first, nor their runovers do: a heading, with a number or not. Over the page or under a blank line
// no note stands so. At the margin it must have another mark than the notes, a bare number under raised ones. Over the page a
// line without a mark that ends no sentence and leaves room for the next one is no line of a note, wherever it begins.
func (v *Volume) standsApart(k, from int, first, run int32) bool {
	u, mark := &v.Units[k], v.marked(k)
	if n := k + 1; u.PageTop && !mark && n < len(v.Units) && !v.marked(n) && !EndsSentence(u.Text) && v.Units[n].Page == u.Page && slack(u, &v.Units[n]) >= v.narrower(from, k, n) {
		return true
	}
	if u.Blanks > 0 && mark && surelyMark(v.Units[from].Text) && !surelyMark(u.Text) {
		return true // where the notes begin too
	}
	if u.From == first || first < 0 || u.Blanks == 0 && (!u.PageTop || (u.From == run || run < 0) && slack(&v.Units[k-1], u) < 0) {
		return false
	}
	return u.From >= 4 && (mark || u.PageTop) || mark && surelyMark(v.Units[from].Text) && !surelyMark(u.Text)
}

// narrower is how many cells no line from unit from on reaches, down to the end of unit k's page: notes may be set
// narrower than the text.
func (v *Volume) narrower(from, k, limit int) int {
	free := v.TextWidth
	for i := from; i < limit && v.Units[i].Page <= v.Units[k].Page; i++ {
		free = min(free, v.Units[i].Avail-int(v.Units[i].To))
	}
	return max(free, 0)
}

// rising reports whether the notes of a group are numbered one after the other:
// from one on, from where the group before ended, or in the volume's first group
// from any number on, since its chapter may have begun in the volume before. From a number behind that of the group before,
// references must have each of them: a group between may have another form.
func (v *Volume) rising(g NoteGroup) bool {
	first := 1
	for n, k := range g.Starts {
		m, _, _, _ := ReadMark(v.Units[k].Text)
		if n == 0 && (len(v.Groups) == 0 || m.N == v.lastNote()+1 || m.N > v.lastNote() && v.referred(g)) {
			first = m.N
		}
		if !m.Number() || m.N != n+first {
			return false
		}
	}
	return len(g.Starts) > 0
}

// signed reports whether each note of a group begins with the same sign, once or
// oftener, and as many references with it stand before them since the group before:
// only their order tells then which is which.
func (v *Volume) signed(g NoteGroup) bool {
	first, _, _, _ := ReadMark(v.Units[g.Starts[0]].Text)
	for _, k := range g.Starts {
		if m, _, strong, _ := ReadMark(v.Units[k].Text); m.Number() || m.Kind != first.Kind || !strong {
			return false
		}
	}
	n := 0
	for k := v.lastGroup(); k < g.From; k++ {
		v.References(k, func(_, _ int, m NoteMark) { n += boolInt(m.Kind == first.Kind) })
	}
	return n == len(g.Starts) || n < len(g.Starts) && len(v.Groups) == 0 // or in the volume before
}

// referred reports whether references to all notes of a group stand between it and the group before.
func (v *Volume) referred(g NoteGroup) bool {
	seen := map[NoteMark]bool{}
	for k := v.lastGroup(); k < g.From; k++ {
		v.References(k, func(_, _ int, m NoteMark) { seen[m] = true })
	}
	for _, k := range g.Starts {
		if m, _, _, _ := ReadMark(v.Units[k].Text); !seen[m] {
			return false
		}
	}
	return true
}

// lastGroup is the unit after the last group found so far.
func (v *Volume) lastGroup() int {
	if n := len(v.Groups); n > 0 {
		return v.Groups[n-1].To
	}
	return 0
}

// lastNote is the number of the last note in the last group found so far.
func (v *Volume) lastNote() int {
	g := &v.Groups[len(v.Groups)-1]
	if len(g.Starts) == 0 {
		return 0
	}
	m, _, _, _ := ReadMark(v.Units[g.Starts[len(g.Starts)-1]].Text)
	return m.N
}

// footGroups finds notes within the text: under a short separation line, or
// with a mark that a word before them on the page or the page before has.
func (v *Volume) footGroups() {
	seen := newSeen(v)
	grouped := v.grouped()
	v.headedNotes(grouped)
	for k := 0; k < v.Notes[0]; {
		if !v.mayHoldNotes(k) || grouped[k] {
			seen.add(k)
			k++
			continue
		}
		start, ruled := k, v.separation(k)
		if ruled {
			start++
		}
		if rest := v.restOfNote(start, ruled); rest > 0 {
			k = v.goOnNote(k, rest, seen)
			continue
		}
		if !v.noteAt(start, ruled, seen) {
			seen.add(k)
			k++
			continue
		}
		g := v.footGroup(k, start, seen)
		g.Early = !seen.nearOf(start, ruled)
		v.Groups = append(v.Groups, g)
		for n := g.Starts[0]; n < g.To; n++ { // a short runover may stand in the middle by chance
			v.Units[n].Note = true
		}
		for n := g.From; n < g.To && g.Early; n++ { // it may be text
			seen.add(n)
		}
		k = g.To
	}
}

// restOfNote is the unit after the lines that go on, from unit start on, under a separation line, the last note at the
// foot of the page before, which broke off in a full line; 0 where none do. They stand where its runovers do and have no
// mark (BANA, Braille Formats 2016, section 16: a note that has no room goes on at the foot of the next page).
func (v *Volume) restOfNote(start int, ruled bool) int {
	n := len(v.Groups)
	if !ruled || start >= v.Notes[0] || n == 0 {
		return 0
	}
	g, u := &v.Groups[n-1], &v.Units[start]
	last := &v.Units[max(0, g.To-1)]
	if g.Place != AtFoot || len(g.Starts) == 0 || !v.Units[g.From].Rule || last.Page != u.Page-1 || slack(last, u) >= 0 || v.marked(start) || u.Blanks > 1 {
		return 0
	}
	first := v.Units[g.Starts[0]].From
	for _, k := range g.Starts {
		if k+1 < g.To && v.Units[k+1].From != u.From && !v.marked(k+1) {
			return 0 // runovers stand elsewhere
		}
	}
	end := start
	for end < v.Notes[0] && (end == start || !v.ends(end) && v.Units[end].Blanks == 0 && slack(&v.Units[end-1], &v.Units[end]) < 0) && v.Units[end].From == u.From && !(v.Units[end].From == first && v.marked(end)) {
		end++
	}
	if !EndsSentence(v.Units[end-1].Text) && (end >= v.Notes[0] || v.Units[end].Page == u.Page) {
		return 0
	}
	return end
}

// goOnNote makes a group of the rest of a note, from its separation line k up to unit rest, and the notes that follow it
// on the page. It returns the unit after them.
func (v *Volume) goOnNote(k, rest int, s *seen) int {
	v.Groups[len(v.Groups)-1].Doubt = false
	g := NoteGroup{Place: AtFoot, From: k, To: rest, Doubt: !EndsSentence(v.Units[rest-1].Text)}
	if rest < v.Notes[0] && v.Units[rest].Page == v.Units[k].Page && v.noteAt(rest, true, s) {
		g = v.footGroup(k, rest, s)
	}
	g.From, g.Rest = k, rest
	v.Groups = append(v.Groups, g)
	for n := k + 1; n < g.To; n++ {
		v.Units[n].Note = true
	}
	return g.To
}

// mayHoldNotes reports whether notes may stand at unit k: in the text, or in prefatory matter before it.
func (v *Volume) mayHoldNotes(k int) bool {
	return v.Units[k].Page >= v.BodyPage || k >= v.Title[1] && v.Units[k].Page > 0 && !v.inContents(k)
}

// headedNotes marks the units under a heading of notes that begin with the mark of
// one: whatever they refer to, no page or paragraph put them there.
func (v *Volume) headedNotes(in map[int]bool) {
	for i := 0; i+1 < v.Notes[0]; i++ {
		u := &v.Units[i]
		if in[i] || u.Page < v.BodyPage || !u.HasPhrase || !NotesHeading(*u.Phrase) || !u.Centred || !v.Alone(i) {
			continue
		}
		if _, _, strong, _ := ReadMark(v.Units[i+1].Text); !strong {
			continue
		}
		for k, end := i, v.notesEnd(i+1, v.Notes[0]); k < end; k++ {
			in[k] = true
		}
	}
}

// grouped marks the units that a group holds.
func (v *Volume) grouped() map[int]bool {
	m := map[int]bool{}
	for _, g := range v.Groups {
		for k := g.From; k < g.To; k++ {
			m[k] = true
		}
	}
	return m
}

// separation reports whether unit k is the line that parts notes from the text: of
// the cells that lines are drawn with, from the margin and no longer than half a
// line (BANA, Braille Formats 2016, section 16; sample files: dot 5 and six cells of
// dots 2-5). Codes before UEB draw it with dots 3-6 too (common practice).
func (v *Volume) separation(k int) bool {
	u := &v.Units[k]
	return u.Rule && u.From == 0 && len(u.Text)*2 <= v.TextWidth+1 && lineCell(u.Text) && k+1 < len(v.Units) && v.Units[k+1].Page == u.Page
}

// lineCell reports whether a rule is a line of dots 2-5 or of dots 3-6.
func lineCell(rule []byte) bool {
	c := rule[len(rule)/2]
	return c == '3' || c == '-'
}

// seen remembers the references of the pages just read.
type seen struct {
	v     *Volume
	refs  map[NoteMark][]int // units, in order
	loose map[NoteMark]int   // the last unit with a number in brackets of its own
	marks bool               // such numbers are marks of notes in this volume
	first int32              // page on which the text begins
}

func newSeen(v *Volume) *seen {
	s := &seen{v: v, refs: map[NoteMark][]int{}, loose: map[NoteMark]int{}}
	for k := range v.Units {
		if s.first = v.Units[k].Page; s.first >= v.BodyPage {
			break
		}
	}
	s.marks = v.looseMarks()
	return s
}

// looseMarks reports whether the blocks set in that begin with a number in brackets are notes to numbers in brackets that
// stand as words of their own: three blocks or more, and nine of ten, have theirs in the text since the block before.
func (v *Volume) looseMarks() bool {
	notes, others := 0, 0
	open := map[NoteMark]int{}
	for k := range v.Units[:v.Notes[0]] {
		if v.Units[k].Page >= v.BodyPage && v.bracketedIn(k) && (v.Units[k].Blanks > 0 || k > 0 && v.Units[k].From > v.Units[k-1].From) {
			m, _, _, _ := ReadMark(v.Units[k].Text)
			if at, ok := open[m]; ok && at >= v.Back(k, PagesBack(m, false)) {
				notes++
			} else {
				others++
			}
			delete(open, m)
			continue
		}
		v.looseReferences(k, func(_, _ int, m NoteMark) { open[m] = k })
	}
	return notes >= 3 && notes >= 9*others
}

// bareCounts counts the blocks of a volume, or of a title, that begin with a number that is no mark of its own: all of them, and
// those that begin in cell 5 or further in; of both those without a full stop, and with one. Notes have the one form or the
// other, and chapters and items perhaps the other.
type bareCounts [2][2]bareCount

// bareCount is how many of these blocks are notes to raised numbers, which stand in the text since the block before, on their page
// or one near it, and how many are not.
type bareCount struct{ notes, others int }

func (c *bareCounts) add(o *bareCounts) {
	for in := range c {
		for form := range c[in] {
			c[in][form].notes += o[in][form].notes
			c[in][form].others += o[in][form].others
		}
	}
}

// bareForm is 1 for a text whose first word ends in a full stop, else 0.
func bareForm(t []byte) int { return boolInt(bytes.HasSuffix(firstWord(t), []byte{'4'})) }

// countBareMarks counts the blocks that begin with a number that is no mark of its own. Those set in are counted by themselves: chapters
// and items may begin with their numbers further out. Notes under a line that parts them from the text are told by that.
func (v *Volume) countBareMarks() (c bareCounts) {
	open := [2]map[NoteMark]int{{}, {}}
	lined := int32(-1) // page on which a line parts notes from the text
	for k := range v.Units[:v.Notes[0]] {
		u := &v.Units[k]
		if v.separation(k) {
			lined = u.Page
		}
		if u.Page < v.BodyPage || u.Rule || u.Page == lined {
			continue
		}
		if m, _, strong, ok := ReadMark(u.Text); ok && !strong && k > 0 && (u.Blanks > 0 || u.PageTop || u.From > v.Units[k-1].From) {
			for in := 0; in < 2 && (in == 0 || u.From >= 4); in++ {
				n := &c[in][bareForm(u.Text)]
				if at, ok := open[in][m]; ok && at >= v.Back(k, 1) {
					n.notes++
				} else if !v.apart(u) && !u.Side { // a heading may begin with the number of its chapter
					n.others++
				}
				delete(open[in], m)
			}
		}
		v.References(k, func(_, _ int, m NoteMark) {
			if m.Number() {
				open[0][m], open[1][m] = k, k
			}
		})
	}
	return c
}

// settleBare settles which numbers without a sign begin notes: of those of the title three blocks or more, and nine of ten, are notes.
func (v *Volume) settleBare(all *bareCounts) {
	for form := range v.bareMarks {
		settled := func(c bareCount) bool { return c.notes >= 3 && c.notes >= 9*c.others }
		v.bareMarks[form], v.bareIn[form] = settled(all[0][form]), settled(all[1][form])
	}
}

func (s *seen) add(k int) {
	s.v.References(k, func(_, _ int, m NoteMark) { s.refs[m] = append(s.refs[m], k) })
	s.v.looseReferences(k, func(_, _ int, m NoteMark) { s.loose[m] = k })
}

// References calls f for each reference in unit k. A sign that is no number, or a raised
// number that is a word of its own, must have a word before it, on its line or the full line
// before: notes begin so too.
func (v *Volume) References(k int, f func(from, to int, m NoteMark)) {
	u := &v.Units[k]
	if u.Rule || !u.refs {
		return
	}
	References(u.Text, func(from, to int, m NoteMark, after bool) {
		if after || m.Number() && !bytes.HasPrefix(u.Text, []byte(";9")) || v.goesOnText(k) && !v.itemAgain(k, m) {
			f(from, to, m)
		}
	})
}

// goesOnText reports whether unit k goes on the line of text before it, notes
// between them apart.
func (v *Volume) goesOnText(k int) bool {
	last := k - 1
	for _, g := range v.Groups {
		if g.To == k && g.Place != AtVolume {
			last = g.From - 1
		}
	}
	if last < 0 {
		return false
	}
	u, p := &v.Units[k], &v.Units[last]
	return u.Blanks == 0 && !p.Rule && !p.Centred && slack(p, u) < 0 && (u.From <= p.From || !EndsSentence(p.Text))
}

// itemAgain reports whether unit k and the last one before it that stands no further in begin
// with the same sign: items of a list with an asterisk before each (codes before UEB have no other
// bullet; common practice).
func (v *Volume) itemAgain(k int, m NoteMark) bool {
	from := v.Units[k].From
	for i := k - 1; i >= max(0, k-maxItem); i-- {
		if v.Units[i].From <= from {
			o, _, strong, _ := ReadMark(v.Units[i].Text)
			return strong && o == m && !m.Number()
		}
	}
	return false
}

// maxItem is how many lines an item of a list has at most.
const maxItem = 12

// PagesBack is how many pages before its own a note within the text, with a
// mark, may be referred to from: a paragraph that it stands after may be long,
// and a print page that it ends may take more braille pages. A sign that comes
// again and again must be near.
func PagesBack(m NoteMark, ruled bool) int32 {
	switch {
	case ruled:
		return 5
	case m.Number():
		return 4
	}
	return 2
}

// near reports whether a reference with mark m stands before unit k, on its
// page or one of those before it from which a note may be referred to.
func (s *seen) near(m NoteMark, k int, ruled bool) bool {
	if l, ok := s.loose[m]; ok && (ruled && Bracketed(s.v.Units[k].Text) || s.marks && s.v.bracketedIn(k)) && l >= s.v.Back(k, PagesBack(m, ruled)) {
		return true
	}
	refs := s.refs[m]
	return len(refs) > 0 && refs[len(refs)-1] >= s.v.Back(k, PagesBack(m, ruled))
}

// Back is the first unit from which no more than so many pages turn up to unit k, pages without
// text not counted.
func (v *Volume) Back(k int, pages int32) int {
	for n := int32(0); k > 0; k-- {
		if v.Units[k].Page != v.Units[k-1].Page {
			if n++; n > pages {
				break
			}
		}
	}
	return k
}

// nearOf is near for the mark that unit k begins with.
func (s *seen) nearOf(k int, ruled bool) bool {
	m, _, _, _ := ReadMark(s.v.Units[k].Text)
	return s.near(m, k, ruled)
}

// early reports whether unit k stands so near the start of the volume's text that
// what refers to it may stand in the volume before: on the first two pages of it.
func (s *seen) early(k int) bool {
	return s.v.Units[k].Page <= s.first+1 && s.v.Units[k].Page >= s.first
}

// noteAt reports whether unit k begins a note within the text. Without a
// separation line before it the mark must be one that hardly means anything
// else, and stand at the start of a line that was begun anew.
func (v *Volume) noteAt(k int, ruled bool, s *seen) bool {
	if k >= v.Notes[0] {
		return false
	}
	u := &v.Units[k]
	m, _, strong, ok := ReadMark(u.Text)
	if !ok || u.Rule || !s.near(m, k, ruled) && !(strong && s.early(k) && !v.goesOnText(k)) {
		return false
	}
	if ruled {
		return true
	}
	if k > 0 && v.footWithoutLine(k) {
		return true
	}
	if k == 0 || !strong && !v.bracketedIn(k) && !v.bareMarks[bareForm(u.Text)] {
		return false
	}
	p := &v.Units[k-1]
	if v.fullBefore(k) { // the line before is full: a paragraph must end there
		return u.From > p.From+2 || u.From != p.From && EndsSentence(p.Text)
	}
	return u.Blanks > 0 || u.PageTop || u.From != p.From || !v.full(k-1) || p.Page != u.Page
}

// bracketedIn reports whether unit k begins with a number in brackets, or with a bare one where those are marks, further in
// than paragraphs begin: notes after their paragraph begin at cell 7 (English
// Braille American Edition, rule IV) or cell 5 (common practice).
func (v *Volume) bracketedIn(k int) bool {
	return v.Units[k].From >= 4 && (v.bareIn[bareForm(v.Units[k].Text)] || Bracketed(v.Units[k].Text))
}

// footWithoutLine reports whether notes whose marks are numbers in brackets or can be nothing else, one after the other, take
// the page from unit k on to its end, and text of the page refers to the first hard behind a word: they need no line to part
// them from it.
func (v *Volume) footWithoutLine(k int) bool {
	u := &v.Units[k]
	if !v.mayHoldNotes(k) || !v.plainMark(k) || k == 0 || v.Units[k-1].Page != u.Page {
		return false
	}
	end, starts := v.ruledEnd(k)
	if end == 0 || end < v.Notes[0] && v.Units[end].Page == u.Page {
		return false
	}
	first, _, _, _ := ReadMark(u.Text)
	for n, i := range starts {
		if m, _, _, _ := ReadMark(v.Units[i].Text); !v.plainMark(i) || m.N != first.N+n {
			return false
		}
	}
	found := false
	for i := k - 1; i >= 0 && v.Units[i].Page == u.Page && !found; i-- {
		v.References(i, func(_, _ int, m NoteMark) { found = found || m == first })
	}
	return found
}

// plainMark reports whether unit k begins with a number in brackets, or, no further in than paragraphs begin, with a mark that
// can be nothing else or where bare numbers are marks: notes further in stand after their paragraph.
func (v *Volume) plainMark(k int) bool {
	u := &v.Units[k]
	return Bracketed(u.Text) || u.From <= 2 && (v.bareMarks[bareForm(u.Text)] || surelyMark(u.Text))
}

// full reports whether the line of unit k reaches near the end of its line.
func (v *Volume) full(k int) bool { return v.Units[k].Avail-int(v.Units[k].To) < 10 }

// footGroup reads the notes from unit start on; from is the separation line.
func (v *Volume) footGroup(from, start int, s *seen) NoteGroup {
	g := NoteGroup{Place: AfterPara, From: from}
	if from < start || v.footWithoutLine(start) {
		g.Place = AtFoot
		if end, starts := v.ruledEnd(start); end > 0 {
			g.To, g.Starts = end, starts
			last := &v.Units[end-1]
			g.Doubt = (end >= v.Notes[0] || v.Units[end].Page != last.Page && len(v.Units[end].Turns) == 0) && !EndsSentence(last.Text)
			return g
		}
	}
	k := start
	for k < v.Notes[0] {
		m, _, strong, ok := ReadMark(v.Units[k].Text)
		if k > start && (v.ends(k) || !ok || !(strong || g.Place == AtFoot || v.bareMarks[bareForm(v.Units[k].Text)] || v.bracketedIn(k)) || !s.near(m, k, from < start)) {
			break
		}
		g.Starts = append(g.Starts, k)
		k = v.noteEnd(k)
	}
	g.To = k
	last := &v.Units[k-1]
	if k >= len(v.Units) || v.Units[k].Page != last.Page {
		g.Place = AtFoot
		g.Doubt = !EndsSentence(last.Text) && !(k < len(v.Units) && v.Units[k].Turns != nil)
	} else if len(v.Units[k].Turns) > 0 {
		g.Place = AtFoot
	} else if k >= v.Notes[0] { // the volume ends
		g.Doubt = !EndsSentence(last.Text)
	}
	return g
}

// ruledEnd reads the notes under a separation line down to the end of the page
// or of the print page, when their lines stand at two indents only: one of
// lines that begin with a mark, one of runovers. 0 when they do not.
func (v *Volume) ruledEnd(start int) (end int, starts []int) {
	first, run, set := v.Units[start].From, int32(-1), -1 // set is the unit that told run
	for end = start; end < v.Notes[0] && (end == start || !v.ends(end) || v.overPage(end, first, run) || v.ruledOverPage(end, first, run)); end++ {
		u := &v.Units[end]
		_, _, _, ok := ReadMark(u.Text)
		switch {
		case u.From == first && ok:
			starts = append(starts, end)
		case run >= 0 && u.From == run+2 && u.Blanks == 0 && EndsSentence(v.Units[end-1].Text): // a paragraph of a note
		case end-1 == set && u.From == run-2 && u.From > first && u.Blanks == 0 && EndsSentence(v.Units[set-1].Text): // and the line before was one
			run = u.From
		case u.From == first || run >= 0 && u.From != run || u.Blanks > 0:
			return 0, nil
		default:
			if run < 0 {
				set = end
			}
			run = u.From
		}
	}
	return end, starts
}

// ruledOverPage reports whether unit j, the first of a page, goes on notes under a
// separation line: the line before is full, and down to a print page turn on its
// page nothing stands but runovers at indent run and notes at indent first, the last
// of which ends its sentence where the page before ended one. Notes stand where their
// print page ends (BANA, Braille Formats 2016, section 16).
func (v *Volume) ruledOverPage(j int, first, run int32) bool {
	if run < 0 {
		run = v.Units[j].From
	}
	if !v.fullBefore(j) || run <= first {
		return false
	}
	for k := j; k < v.Notes[0] && v.Units[k].Page == v.Units[j-1].Page+1; k++ {
		u := &v.Units[k]
		_, _, _, mark := ReadMark(u.Text)
		for _, t := range u.Turns {
			if t.Line >= 0 {
				return k > j && (EndsSentence(v.Units[k-1].Text) || !EndsSentence(v.Units[j-1].Text))
			}
		}
		if u.Rule || u.Blanks > 0 || u.From != run && !(k > j && u.From == first && mark) {
			return false
		}
	}
	return false
}

// ends reports whether nothing before unit k can go on at it: a page begins, a
// print page turns, a blank line or a rule stands between.
func (v *Volume) ends(k int) bool {
	u := &v.Units[k]
	return u.Page != v.Units[k-1].Page || u.Rule || u.Centred && u.Blanks > 0 || v.turned(k)
}

// noteEnd is the unit after the note that unit k begins. A runover stands at one
// indent, which is not that of the first line nor ten cells further in, after a line that was full or
// ends no sentence.
func (v *Volume) noteEnd(k int) int {
	first, run := v.Units[k].From, int32(-1)
	for j := k + 1; j < v.Notes[0]; j++ {
		u := &v.Units[j]
		if v.overPage(j, first, run) || v.overTurn(j, first, run) {
			run = u.From
			continue
		}
		if v.ends(j) || u.Blanks > 0 || v.closesLetter(j) || u.From-first >= farIn || (slack(&v.Units[j-1], u) >= 0 || !v.fullBefore(j) && !deeper(u.From, first, run)) && EndsSentence(v.Units[j-1].Text) {
			return j
		}
		if run >= 0 && u.From != run || u.From < first && v.paragraphAt(j) || u.From == first && (first > 0 || v.startsNote(j)) || run < 0 && u.From < first-2 && v.beginsParagraph(j) {
			return j
		}
		run = u.From
	}
	return v.Notes[0]
}

// closesLetter reports whether unit j, after the end of a sentence, ends in a comma over a name far further in: the end of a
// letter in which the note stands.
func (v *Volume) closesLetter(j int) bool {
	u := &v.Units[j]
	if u.Text[len(u.Text)-1] != '1' || !EndsSentence(v.Units[j-1].Text) || j+1 >= v.Notes[0] {
		return false
	}
	n := &v.Units[j+1]
	return n.Page == u.Page && n.Blanks == 0 && n.From >= u.From+farIn && len(n.Text) <= 30 && !endsClause(n.Text) && bytes.Count(n.Text, []byte{cell.Blank}) < NameWords
}

// beginsParagraph reports whether unit j, after the end of a sentence, stands
// further in than the line under it.
func (v *Volume) beginsParagraph(j int) bool {
	if !EndsSentence(v.Units[j-1].Text) || j+1 >= v.Notes[0] {
		return false
	}
	u, next := &v.Units[j], &v.Units[j+1]
	return next.Page == u.Page && next.Blanks == 0 && !next.Rule && next.From < u.From
}

// paragraphAt reports whether unit j begins a paragraph, as beginsParagraph does,
// which runs over on the line under it: where notes begin at cell 5 and run over
// to cell 3, paragraphs begin where the runovers of notes stand.
func (v *Volume) paragraphAt(j int) bool {
	return v.beginsParagraph(j) && v.fullBefore(j+1) && !v.marked(j+1)
}

// startsNote reports whether unit j begins with a mark that hardly means
// anything else, after the end of a sentence.
func (v *Volume) startsNote(j int) bool {
	_, _, strong, ok := ReadMark(v.Units[j].Text)
	return ok && strong && EndsSentence(v.Units[j-1].Text)
}

// NotesGoOn reports whether the notes at the end of a volume break off within a
// sentence, in a full line that unit u, the first of the next volume's text,
// goes on; headed says that the heading of the notes stands over it once more.
func (v *Volume) NotesGoOn(u *Unit, headed bool) bool {
	if v.Notes[1] <= v.Notes[0] || u.Centred || u.Rule || u.Blanks > 0 && !u.PageTop && !headed {
		return false
	}
	if k := v.Notes[0] - 1; k >= 0 && v.Units[k].Page >= v.BodyPage && !v.Units[k].Centred && !v.Units[k].Rule && !EndsSentence(v.Units[k].Text) {
		return false // the text breaks off too: it is that which goes on
	}
	last := &v.Units[v.Notes[1]-1]
	if NoteStart(last.Text) && u.From == last.From && u.From > 0 || !NoteStart(last.Text) && u.From != last.From {
		return false // it begins where notes and paragraphs begin, not where they go on
	}
	return !EndsSentence(last.Text) && slack(last, u) < 0
}

// NotesEnd is what the notes at the end of a volume end with: the last mark, and
// the indents of first lines and of runovers, -1 for none.
type NotesEnd struct {
	Mark       NoteMark
	First, Run int32
}

// EndOfNotes reads the end of the notes at the end of a volume; First is -1 when
// the last of them has no number.
func (v *Volume) EndOfNotes() NotesEnd {
	e := NotesEnd{First: -1, Run: -1}
	for n := range v.Groups {
		g := &v.Groups[n]
		if g.Place != AtVolume || len(g.Starts) == 0 {
			continue
		}
		last := g.Starts[len(g.Starts)-1]
		if m, _, _, _ := ReadMark(v.Units[last].Text); m.Number() {
			e.Mark, e.First = m, v.Units[last].From
		}
		for k := g.Starts[0]; k < g.To; k++ {
			if u := &v.Units[k]; !u.Rule && !u.Centred && u.From != e.First {
				e.Run = u.From
			}
		}
	}
	return e
}

// Anew reports whether unit k was begun anew: its first word would have fitted on
// the line before.
func (v *Volume) Anew(k int) bool { return !v.fullBefore(k) }

// deeper reports whether a line stands at the indent of a note's runovers, and
// further in than paragraphs begin.
func deeper(from, first, run int32) bool {
	return from > 2 && (from == run || run < 0 && from == first-2)
}

// overPage reports whether unit j, the first of a page, goes on a note that the
// page before did not hold: it stands at the indent of runovers, and the page
// before does not end a sentence, or ends it with a full
// line of runovers further in than paragraphs begin.
func (v *Volume) overPage(j int, first, run int32) bool {
	u, p := &v.Units[j], &v.Units[j-1]
	full := slack(p, u) < 0 // a note's line may stand in the middle by chance
	if u.Page != p.Page+1 || u.Rule || u.Blanks > 0 || EndsSentence(p.Text) && !(deeper(u.From, first, run) && full && !v.headAfter(j)) || v.turned(j) {
		return false
	}
	return deeper(u.From, first, run) || v.hangsOn(j, first, run)
}

// headAfter reports whether unit j, after the end of a sentence, is a heading over a paragraph, with the lines under it
// at its cell, and not the last lines of a note: the number of a part, or it ends no sentence, and what begins under it would
// have had room on its line; or the place and date of a letter, that opens under it; or a line of verse, which leaves room for
// the next one at its cell.
func (v *Volume) headAfter(j int) bool {
	if j+1 >= v.Notes[0] {
		return false
	}
	u := &v.Units[j]
	if u.HasPhrase && v.partLine(j) {
		return true
	}
	if n := &v.Units[j+1]; n.Page == u.Page && n.From <= u.From && (salutes(n.Text) || n.From == u.From && n.Blanks == 0 && !n.Rule && !v.marked(j+1) && slack(u, n) >= 0) {
		return true
	}
	last := j
	for k := j + 1; k < j+maxNameLines && k+1 < v.Notes[0] && v.Units[k].From == u.From && v.Units[k].Blanks == 0 && v.Units[k].Page == u.Page; k++ {
		last = k
	}
	if t := v.Units[last].Text; EndsSentence(t) || endsClause(t) || dividedWord(t) || !v.Small && !opensHeading(u.Text) {
		return false
	}
	n := &v.Units[last+1]
	return n.Page == u.Page && n.From < u.From && !n.Rule && slack(&v.Units[last], n) >= 0 && (v.Small || opensHeading(n.Text))
}

// overTurn reports whether unit j goes on a note in which the print page turns: it stands
// at the indent of runovers, further in than paragraphs begin.
func (v *Volume) overTurn(j int, first, run int32) bool {
	u, p := &v.Units[j], &v.Units[j-1]
	return v.turned(j) && u.Page <= p.Page+1 && !u.Rule && u.Blanks == 0 && deeper(u.From, first, run) && !(u.PageTop && EndsSentence(p.Text) && v.headAfter(j))
}

// turned reports whether a line with a print page turn stands before unit j.
func (v *Volume) turned(j int) bool {
	for _, t := range v.Units[j].Turns {
		if t.Line >= 0 {
			return true
		}
	}
	return false
}

// hangsOn reports whether unit j and the one after it stand at the indent of
// runovers, further in than the notes begin: at the indent of a paragraph's
// first line no two lines follow each other.
func (v *Volume) hangsOn(j int, first, run int32) bool {
	u := &v.Units[j]
	if run <= first || u.From != run || j+1 >= v.Notes[0] {
		return false
	}
	n := &v.Units[j+1]
	return n.Page == u.Page && n.Blanks == 0 && n.From == run && v.fullBefore(j+1)
}

// maySentenceEnd marks the last cells of texts that EndsSentence looks at: of punctuation, of
// marks of notes and of numbers.
var maySentenceEnd = func() (set [256]bool) {
	for _, c := range []byte(" 0123456789'>\",?]abcdefghijklmnopqrstuvwxyz") {
		set[c] = true
	}
	return set
}()

// EndsSentence reports whether a text ends as a sentence does: full stop,
// question mark or exclamation mark, with closing quotation marks, brackets or
// a note's mark after it or not.
func EndsSentence(t []byte) bool {
	n := len(t)
	if n == 0 || !maySentenceEnd[t[n-1]] {
		return false
	}
	if n > 1 {
		w := lastWord(t)
		if at, _, ok := markAtEnd(w); ok {
			t = t[:n-len(w)+at]
		}
	}
	for len(t) > 1 && t[len(t)-1] == cell.Blank {
		t = t[:len(t)-1]
	}
	for len(t) > 1 && t[len(t)-2] != cell.Blank { // a sign on its own is a word
		switch t[len(t)-1] {
		case '0', '\'', '>', '7', '"', ',':
			t = t[:len(t)-1]
			continue
		case '4', '6', '8':
			return true
		}
		return false
	}
	return false
}

// Bare is a word without capital signs and brackets before it and punctuation
// behind it.
func Bare(w []byte) []byte {
	for len(w) > 1 && (w[0] == ',' || w[0] == '8' || w[0] == '7' || len(w) > 2 && w[0] == '"' && w[1] == '<') {
		if w[0] == '"' {
			w = w[1:]
		}
		w = w[1:]
	}
	for len(w) > 1 && bytes.IndexByte([]byte("1234680'>7"), w[len(w)-1]) >= 0 {
		if w[len(w)-1] == '>' && len(w) > 2 && w[len(w)-2] == '"' {
			w = w[:len(w)-1]
		} else if w[len(w)-1] == '>' {
			break
		}
		w = w[:len(w)-1]
	}
	return w
}
