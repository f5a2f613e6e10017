package testkit

import "strings"

// This file sets the body: headings, paragraphs, verse, scene breaks, print
// page turns.

// want notes a word of the body as set.
func (p *press) want(t Tok, start byte) int {
	p.t.Body = append(p.t.Body, Want{Cells: t.Cells, Start: start})
	p.pos++
	if t.Note > 0 {
		p.refer(t)
	}
	return len(p.t.Body) - 1
}

// turnDue reports whether a print page turns before the next word.
func (p *press) turnDue() bool {
	return p.turn < len(p.b.Turns) && p.b.Turns[p.turn].Pos <= p.pos
}

func (p *press) takeTurn(marked bool) string {
	t := p.b.Turns[p.turn]
	p.turn++
	p.label = t.Label
	if t.Label != "" && marked {
		p.seen = t.Label
	}
	p.exact = p.cur != nil && p.atTop() && p.cur.startTurn == t.Label
	p.since = 1 // the next page is the first continuation
	n := len(p.t.Body)
	p.t.Turns = append(p.t.Turns, WantTurn{Label: t.Label, From: n, To: n, Marked: marked})
	return t.Label
}

// turnLine sets a print page turn that stands on a line of its own, or leaves
// it to the head of the page. It is called at the start of a line.
func (p *press) turnLine() {
	for p.turnDue() {
		switch p.l.Turns {
		case "head":
			p.takeTurn(false)
			continue
		case "inline":
			return
		}
		p.flushNotes("print")
		if p.cur.at >= p.cur.last || !p.atTop() && p.rowsLeft() < 3 {
			p.newPage(p.kind)
			continue // the turn may have changed hands with the volume
		}
		if p.atTop() && p.cur.shows && p.cur.startTurn == p.b.Turns[p.turn].Label && !p.l.TurnTop {
			p.takeTurn(false)
			continue
		}
		if p.rowsLeft() < 2 {
			p.newPage(p.kind)
			continue
		}
		p.room(2, true)
		if p.l.Footnotes && !p.atTop() && p.rowsLeft() > 6 && p.d.Chance(25, "footnote", p.turn) {
			p.footnote()
		}
		label := p.takeTurn(true)
		if p.l.Turns == "row" {
			p.put(strings.Repeat("-", p.l.Width-len(label)) + label)
		} else {
			p.put(p.centre(p.ukMark(label)))
		}
	}
}

// footnote sets a note at the end of a print page: a short line, the note,
// then the text goes on under the page change line.
func (p *press) footnote() {
	notes := []string{"A drawing of the harbour wall stands here in print.", "Here the print book has a small picture of a lantern."}
	if p.footnotes >= len(notes) || p.remarks > 0 || p.l.Remarks {
		return
	}
	p.footnotes++
	s := ";9" + Number(p.footnotes) + " " + p.say(notes[p.footnotes-1])
	p.t.Float("footnote", words(s), 1, 1)
	p.put(`"333333`)
	for _, line := range hang(words(s), p.l.Width-8, 0, 2) {
		p.put(line)
	}
}

// ukMark is dot 5, dots 2-5 and the number.
func (p *press) ukMark(label string) string {
	if p.l.TurnSpace {
		return `"3 ` + label
	}
	return `"3` + label
}

func (p *press) heading(e *Elem, i int) {
	l := p.l
	if e.Level == 0 {
		p.flushNotes("chapter")
	}
	p.room(1, false)
	if e.Level == 0 {
		if p.b.anew {
			p.verseNo = 0
		}
		p.beforeChapter()
	}
	p.turnLine()
	cell5 := e.Level == 1 && l.HeadingStyle == "cell5"
	lines := p.headingLines(e, cell5)
	p.room(len(lines)+4, false)
	if l.HeadingStyle != "tight" {
		p.blank()
	}
	p.room(len(lines)+2, true)
	p.turnLineAtTop()
	for p.turnDue() && l.Turns == "inline" {
		p.put(p.centre(p.ukMark(p.takeTurn(true))))
	}
	if e.Level == 0 {
		p.chapter = e.Short
		if p.atTop() {
			p.cur.chapter = e.Short
		}
	}
	p.marks = append(p.marks, mark{braille: p.cur.label, print: p.label, seen: p.seenLabel(), vol: p.vol, elem: i})
	p.t.Heads = append(p.t.Heads, Head{At: len(p.t.Body), Words: entryWords(e), Level: e.Level + 1, Listed: p.listed[i], elem: i})
	if e.Parent != "" {
		p.t.Parents = append(p.t.Parents, WantParent{Name: e.Parent, Over: e.Over, Label: e.Short, Body: len(p.t.Body)})
	}
	for _, line := range lines {
		p.headingLine(line, cell5)
	}
	if l.HeadingStyle == "centred" || l.HeadingStyle == "two" || l.HeadingStyle == "cell5" && e.Level == 0 {
		p.blank()
	}
}

// beforeChapter ends the chapter before: a separator, a new page.
func (p *press) beforeChapter() {
	l := p.l
	if l.EndMark && len(p.t.Body) > p.cur.startWord && p.rowsLeft() > 2 {
		p.t.Rules = append(p.t.Rules, len(p.t.Body))
		p.put(p.centre(l.Rule))
	}
	if !l.ChapterPage || p.atTop() || p.cur.first {
		return
	}
	if l.ChapterOdd && p.cur.odd && !p.due() {
		p.newPage("blank")
		p.kind = "text"
	}
	p.newPage("text")
}

func (p *press) headingLines(e *Elem, cell5 bool) []string {
	width := p.l.Width - 6
	if cell5 {
		width = p.l.Width - 4
	}
	var lines []string
	for _, h := range e.Lines {
		lines = append(lines, wrap(strings.Fields(joinToks(h)), width)...)
	}
	return lines
}

func (p *press) headingLine(line string, cell5 bool) {
	p.room(1, true)
	for k, w := range words(line) {
		p.want(Tok{Cells: w}, start(k == 0, 'h'))
	}
	if cell5 {
		p.put(blanks(4) + line)
	} else {
		p.put(p.centre(line))
	}
	p.passTurns()
}

// seenLabel is the print page number that a reader of the paper knows of at
// this place.
func (p *press) seenLabel() string {
	if p.cur.shows && p.cur.startTurn != "" && p.l.Turns == "head" {
		return p.cur.startTurn
	}
	return p.seen
}

// turnLineAtTop takes up a turn that a new page's head already shows.
func (p *press) turnLineAtTop() {
	if p.turnDue() && p.l.Turns != "inline" {
		p.turnLine()
		p.room(3, true)
	}
}

// passTurns moves a turn that would fall inside a heading line to the next
// word after it.
func (p *press) passTurns() {
	if p.turn < len(p.b.Turns) && p.b.Turns[p.turn].Pos < p.pos {
		p.b.Turns[p.turn].Pos = p.pos
	}
}

func (p *press) para(e *Elem) {
	indent := 2
	if p.l.Block {
		p.blank()
		indent = 0
	}
	if e.Note > 0 {
		p.notes = append(p.notes, e.Note)
	}
	over := 0
	if p.l.Lists && !p.l.Block {
		if p.listLeft == 0 && p.d.Chance(4, "list", p.pos) {
			p.listLeft = 5
			p.blank()
		}
		if p.listLeft > 0 {
			p.listLeft--
			indent, over = 0, 2
		}
	}
	kind := byte('p')
	if over > 0 {
		kind = 'l'
	}
	p.flow(e.Lines[0], indent, over, kind)
	p.flushNotes("after")
	if p.l.Lists && p.listLeft == 0 && over == 2 {
		p.blank()
	}
	if p.l.Remarks && p.listLeft == 0 && p.d.Chance(3, "remark", p.pos) {
		p.remark()
	}
}

func (p *press) verse(e *Elem, i int) {
	p.blank()
	n := p.l.VerseIndent
	if p.l.VerseRun && len(e.Lines) > 1 {
		p.verseRun(e)
		return
	}
	for _, line := range e.Lines {
		p.verseNo++
		p.lineNo = ""
		if p.l.LineNumbers && p.verseNo%5 == 0 {
			p.lineNo = Number(p.verseNo)
		}
		p.flow(line, n, n+4, 'v')
	}
	p.lineNo = ""
	if i+1 < len(p.b.Body) && p.b.Body[i+1].Kind != Verse {
		p.blank()
	}
}

// table sets a table: column heads, underlined by line signs, again at the top
// of each page (they are text of the table there too), then the rows.
func (p *press) table(e *Elem) {
	p.blank()
	p.room(5, true)
	head := e.Lines[0]
	second := 13 + p.d.N(3, "second column")
	at := []int{0, second, second + 7 + p.d.N(3, "third column")}
	right := p.d.Chance(30, "numbers at the right")
	set := func(w []Tok, as byte) {
		p.room(1, true)
		line := ""
		for i, t := range w {
			if line += blanks(at[i] - len(line)); right && i > 0 && as == 'v' && t.Cells[0] == '#' {
				line += blanks(4 - len(t.Cells))
			}
			p.want(t, start(i == 0, as))
			line += t.Cells
		}
		p.put(line)
	}
	heads := func() {
		set(head, 'v')
		p.pos -= len(head)
		rule := []Tok{{Cells: `"3333`}, {Cells: `"3333`}, {Cells: `"333`}}
		set(rule, 'v')
		p.pos -= len(rule)
	}
	heads()
	p.pos += len(head)
	for _, r := range e.Lines[1:] {
		if p.cur.at >= p.cur.last || p.rowsLeft() < 2 && p.cur.rows[p.cur.at].corner != "" {
			if p.newPage("text"); !p.d.Chance(25, "heads once") {
				heads()
			}
		}
		p.passTurns()
		p.t.Forms = append(p.t.Forms, Formed{Kind: Table, First: r[0].Cells, Words: joinToks(r)})
		set(r, 'v')
	}
	p.passTurns()
	p.blank()
}

// verseRun sets a stanza as prose: the line sign stands hard after the last
// word of each line but the last.
func (p *press) verseRun(e *Elem) {
	var all []Tok
	for i, line := range e.Lines {
		line = append([]Tok(nil), line...)
		if i < len(e.Lines)-1 {
			line[len(line)-1].Cells += "_"
			line[len(line)-1].Half = [2]string{}
		}
		all = append(all, line...)
	}
	p.flow(all, 2, 0, 'p')
}

func (p *press) scene(i int) {
	switch {
	case p.l.BreakSign == "blank":
		p.blank()
		return
	case p.l.BreakSign == "asterisks":
		sign := "99"
		if p.l.Code.System == "ueb" {
			sign = `"9`
		}
		p.blank()
		p.room(3, true)
		for k := 0; k < 3; k++ {
			start := byte(0)
			if k == 0 {
				start = 'b'
			}
			p.want(Tok{Cells: sign}, start)
			p.pos--
		}
		p.put(p.centre(sign + " " + sign + " " + sign))
		p.blank()
		return
	}
	rule := p.l.Rule
	if p.l.BreakSign == "dots2" {
		rule = strings.Repeat("1", 12)
		if p.l.Code.System == "ueb" {
			rule = `"` + rule[1:]
		}
	}
	p.room(1, false)
	if p.atTop() {
		return
	}
	p.room(3, true)
	p.t.Rules = append(p.t.Rules, len(p.t.Body))
	p.put(p.centre(rule))
}
