package novels

import (
	"sort"
	"strings"

	"continuo/internal/testkit"
)

func sortStrings(s []string) { sort.Strings(s) }

// set sets the whole book.
func (s *setter) set(items []item) {
	s.say(s.author())
	s.startVolume(false)
	for i := range items {
		it := &items[i]
		s.breakVolume(it)
		var next *item
		if i+1 < len(items) {
			next = &items[i+1]
		}
		s.item(it, next, i)
	}
	s.chapterNotes()
	s.endVolume(false)
}

// breakVolume ends a volume before an item where it is full.
func (s *setter) breakVolume(it *item) {
	f := s.f
	head := it.kind == "chapter" || it.kind == "part"
	if head {
		s.chapterNotes()
	}
	switch {
	case f.Cut == "chapter" && head && s.pagesText*10 >= f.PagesEach*9,
		f.Cut == "para" && it.kind == "para" && s.pagesText >= f.PagesEach && s.left() < f.Height/2,
		f.Cut != "page" && head && s.pagesText >= f.PagesEach:
		mid := !head
		s.endVolume(true)
		s.startVolume(mid)
	}
}

func (s *setter) item(it, next *item, i int) {
	f := s.f
	last := next == nil || next.kind != it.kind
	switch it.kind {
	case "part":
		s.part(it)
	case "chapter":
		s.chapterHead(it, next)
	case "sub":
		in := 4
		if f.HeadPlace == "cell5" {
			in = 6
		}
		s.gap = true
		s.heading(it, 2, in)
	case "para":
		s.para(it, i)
	case "verse", "epigraph":
		s.gap = s.gap || f.PoemGap || it.opens
		s.need(min(len(it.lines), 3))
		for _, l := range it.lines {
			s.flow(split(s.say(l)), s.g.Poem, s.g.Poem+4, 'v')
		}
		s.gap = f.PoemGap || f.Block || last && it.kind == "verse"
	case "source":
		s.line(it.lines[0], f.Sign)
		s.gap = true
	case "extract":
		s.gap = s.gap || it.opens || f.Extract == "2/2"
		in := 4
		if f.Extract == "2/2" {
			in = 2
		}
		s.flow(split(s.say(it.lines[0])), in, 2, 'p')
		s.gap = last || f.Block
	case "date", "salute", "letter", "sign":
		s.letterPart(it)
	case "diary":
		s.gap = s.gap || f.Diary != "para" || f.Block
		s.need(3)
		s.line(it.lines[0], f.Diary)
		s.gap = f.Block
	case "break":
		s.scene()
	case "end":
		s.gap = true
		s.line(it.lines[0], "centred")
		s.gap = true
	}
}

func (s *setter) para(it *item, i int) {
	f := s.f
	ws := split(s.say(it.lines[0]))
	if it.note != "" {
		ws = s.mark(ws, it.note, i)
	}
	in, over := 2, 0
	if f.Block {
		s.gap, in = true, 0
	} else if f.FirstFlat && s.afterHead {
		in = 0
	}
	s.afterHead = false
	if s.left() < 2 && s.d.Chance(40, "widow") {
		s.need(2)
	}
	s.flow(ws, in, over, 'p')
	if f.NotePlace == "after" {
		for _, n := range s.due {
			for _, l := range s.noteLines(n, 6, 4) {
				s.put(l)
			}
		}
		s.due = nil
	}
	s.gap = f.Block
}

// line sets one line of its own: a date, a signature, a source.
func (s *setter) line(print, place string) {
	s.free[s.pos] = true
	cells := s.say(print)
	in := 4
	switch place {
	case "right":
		in = max(2, s.f.Width-len(cells))
	case "indent":
		in = s.f.Width / 2
	case "para":
		in = 2
	case "margin":
		in = 0
	case "centred":
		in = max(0, len(s.middle(cells, s.f.Width))-len(cells))
	}
	if in+len(cells) > s.f.Width {
		in = 4
	}
	s.next(min(s.f.Width, in+len(cells)))
	s.cur.at -= s.step()
	s.flow(split(cells), in, in, 'd')
}

// letterPart sets a part of a letter, displayed or the whole chapter.
func (s *setter) letterPart(it *item) {
	f := s.f
	in, over := 4, 2
	switch {
	case f.Kind == "letters":
		in, over = 2, 0
	case f.Letter == "6/4":
		in, over = 6, 4
	case f.Letter == "blocked":
		in, over = 2, 2
	}
	switch it.kind {
	case "date":
		s.gap = true
		s.need(4)
		s.line(it.lines[0], f.Sign)
	case "salute":
		s.flow(split(s.say(it.lines[0])), over, over+2, 'p')
		s.free[s.pos] = true
	case "letter":
		s.gap = s.gap || f.Letter == "blocked"
		s.flow(split(s.say(it.lines[0])), in, over, 'p')
	case "sign":
		for k, l := range it.lines {
			if place := f.Sign; k == 1 && place == "cell5" {
				s.line(l, "indent")
			} else {
				s.line(l, place)
			}
		}
		s.gap = true
	}
}

func (s *setter) scene() {
	f := s.f
	sign := "99"
	if f.Code.System == "ueb" {
		sign = `"9`
	}
	around := s.d.Chance(50, "break gap")
	s.gap = s.gap || around || f.Break == "blank"
	s.need(3)
	switch f.Break {
	case "asterisks":
		s.symbols(sign + " " + sign + " " + sign)
	case "three":
		s.symbols(sign)
	case "rule":
		s.put(s.middle(f.Rule, f.Width))
		s.t.Rules = append(s.t.Rules, s.pos)
	default:
		return
	}
	s.gap = around || f.Block
}

func (s *setter) symbols(cells string) {
	s.free[s.pos] = true
	for s.turnDue() && s.f.Turns != "inline" {
		s.markTurn()
	}
	in := len(s.middle(cells, s.f.Width)) - len(cells)
	s.next(in + len(cells))
	s.cur.at -= s.step()
	s.flow(split(cells), in, in, 'b')
}

// mark puts the mark of a note at a word of a paragraph: raised numbers and
// asterisks (Rules of UEB 2013, 6.5 and 3.3), the asterisk sign and a number
// before UEB (English Braille American Edition 1994, rule IV), numbers in
// brackets.
func (s *setter) mark(ws []word, print string, i int) []word {
	f := s.f
	ueb := f.Code.System == "ueb"
	k := s.d.N(len(ws), "note word", i)
	if strings.ContainsAny(ws[k].cells, "#-") || len(ws[k].cells)+12 > f.Width-4 {
		return ws
	}
	s.noteNo++
	if f.NotePlace == "chapter" {
		s.heads++
	}
	num := testkit.Number(s.noteNo)
	if f.NotePlace == "chapter" {
		num = testkit.Number(s.heads)
	}
	n := &ref{text: s.say(print)}
	tight := ueb
	switch f.NoteMark {
	case "asterisk":
		n.mark = strings.Repeat(map[bool]string{true: `"9`, false: "99"}[ueb], 1+s.noteNo%2)
	case "bracket":
		n.mark = map[bool]string{true: `"<` + num + `">`, false: "7" + num + "7"}[ueb]
		tight = f.NoteTight
	default:
		n.mark = map[bool]string{true: ";9" + num, false: "99" + num}[ueb]
	}
	n.label = n.mark
	if f.NotePlace == "chapter" || f.NotePlace == "volume" {
		switch f.NoteLabel {
		case "number":
			n.label = num
		case "stop":
			n.label = num + "4"
		}
	}
	out := append([]word(nil), ws[:k+1]...)
	if tight {
		out[k] = word{cells: out[k].cells + n.mark, note: n}
	} else {
		out = append(out, word{cells: n.mark, note: n})
	}
	return append(out, ws[k+1:]...)
}

// chapterNotes sets the notes of a chapter at its end.
func (s *setter) chapterNotes() {
	if s.f.NotePlace == "chapter" {
		s.gathered(one(s.d, "notes head", "Notes", "Notes", "Notes to this Chapter", "NOTES"))
		s.heads = 0
	}
}

// gathered sets the notes that are due under a heading.
func (s *setter) gathered(print string) {
	if len(s.due) == 0 {
		return
	}
	kind := s.kind
	if s.f.NotePlace == "volume" {
		s.kind = "notes"
		s.newSheet()
	}
	s.gap = true
	s.need(4)
	cells := s.say(print)
	s.may[cells] = true
	s.noteHeads["notes"]++
	s.t.Float("notes heading", strings.Fields(cells), 0, s.noteHeads["notes"])
	s.put(s.middle(cells, s.f.Width))
	s.gap = s.g.HeadAfter
	a, b := s.noteIndents()
	for _, n := range s.due {
		for _, l := range s.noteLines(n, a, b) {
			s.put(l)
		}
	}
	s.due, s.gap, s.kind = nil, true, kind
}

// part sets the heading of a part, on a page of its own or not.
func (s *setter) part(it *item) {
	s.chapter = it.short
	if s.f.PartPage && !s.fresh() {
		s.newSheet()
	}
	if s.f.PartPage {
		s.cur.at = max(s.cur.at, s.d.N(6, "part row"))
	} else {
		s.gap = s.pos > 0
	}
	place := -1
	s.chapterItem = nil
	s.heading(it, 1, place)
	s.newPage = s.f.PartPage
	s.gap = true
}

func (s *setter) chapterHead(it, next *item) {
	f := s.f
	if f.ChapterRule && s.pos > 0 && !s.newPage && s.pagesText > 0 && !s.atTop() && s.left() > 0 && s.chapterItem != nil {
		s.gap = false
		s.put(s.middle(f.Rule, f.Width))
	}
	before := s.chapter
	s.chapter = it.short
	s.chapterItem = it
	if (f.ChapterPage != "" || s.newPage) && !s.fresh() {
		s.newSheet()
	}
	if f.ChapterPage == "odd" && s.cur.n%2 == 0 && s.atTop() {
		s.cur.chapter = before // a page left blank belongs to the chapter that ended
		s.finish()
		s.newSheet()
	}
	s.newPage = false
	s.cur.chapter = s.openChapter()
	s.gap = s.gap || s.g.HeadBefore || f.Block
	in := -1
	switch f.HeadPlace {
	case "cell5":
		in = 4
	case "margin":
		in = 0
	}
	level := 1
	if f.Parts && !s.special(it) {
		level = 2
	}
	s.heading(it, level, in)
	s.gap = s.g.HeadAfter || f.Block || f.HeadPlace == "margin"
	s.afterHead = true
}

// fresh reports whether no text stands on the page yet.
func (s *setter) fresh() bool { return s.cur.word == s.pos && (s.cur.first || s.atTop()) }

// openChapter is the chapter that the head of the page at hand names: that with
// which it begins.
func (s *setter) openChapter() string {
	if s.atTop() {
		return s.chapter
	}
	return s.cur.chapter
}

func (s *setter) special(it *item) bool {
	for _, x := range []string{"prologue", "foreword", "introduction", "a note to the reader", "epilogue", "afterword", "postscript"} {
		if strings.EqualFold(it.lines[0], x) {
			return true
		}
	}
	return false
}

// heading sets the lines of a heading in the middle (in -1) or from a cell.
func (s *setter) heading(it *item, level, in int) {
	f := s.f
	var rows [][]string
	n := 0
	for _, l := range it.lines {
		ws := strings.Fields(s.say(l))
		n += len(ws)
		// At least six cells stay free (BANA, Braille Formats 2016, section 4).
		rows = append(rows, lines(ws, f.Width-6, max(in, 0), max(in, 0)))
	}
	total := 2
	for _, r := range rows {
		total += len(r)
	}
	s.need(total)
	for s.turnDue() && f.Turns != "inline" {
		s.markTurn()
	}
	for k := range s.turns { // no page turns within a heading
		if t := &s.turns[k]; t.pos > s.pos-min(1, len(s.turns)) && t.pos < s.pos+n && (t.pos > s.pos || f.Turns == "inline") {
			t.pos = s.pos + n
		}
	}
	at := s.pos
	s.headRow(rows[0][0], in)
	p := s.cur
	entry := s.say(it.entry)
	s.t.Heads = append(s.t.Heads, testkit.Head{At: at, Words: entry, Level: level, Listed: f.Contents != "" || f.General == "divided"})
	print := s.label
	if f.Turns != "none" {
		s.t.EntryPage[entry] = append(s.t.EntryPage[entry], s.label, strings.TrimLeft(p.print, "abcdefghijklmnopqrstuvwxyz"))
	}
	s.marks = append(s.marks, mark{entry: entry, braille: p.label, print: print, vol: s.vol, level: level})
	for _, r := range rows {
		for k, l := range r {
			s.headLine(l, in, startOf(k, 'h'))
		}
	}
}

// headRow makes sure that the first line of a heading finds its row.
func (s *setter) headRow(l string, in int) {
	s.next(s.headEnd(l, in))
	s.cur.at -= s.step()
}

func (s *setter) headEnd(l string, in int) int {
	if in < 0 {
		return len(s.middle(l, s.f.Width))
	}
	return len(l)
}

func (s *setter) headLine(l string, in int, start byte) {
	r := s.next(s.headEnd(l, in))
	r.s = l
	if in < 0 {
		r.s = s.middle(l, s.f.Width)
	}
	for k, w := range strings.Fields(l) {
		s.word(word{cells: w}, startOf(k, start))
	}
}
