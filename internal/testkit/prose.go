package testkit

import "strings"

// This file sets the body: headings, paragraphs, verse, scene breaks, print
// page turns.

// want notes a word of the body as set.
func (p *press) want(t Tok, start byte) int {
	p.t.Body = append(p.t.Body, Want{Cells: t.Cells, Start: start})
	p.pos++
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
	s := ";9" + number(p.footnotes) + " " + p.say(notes[p.footnotes-1])
	p.t.float("footnote", words(s), 1, 1)
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
	p.room(1, false)
	if e.Level == 0 {
		if l.EndMark && p.pos > 0 && !p.atTop() && p.rowsLeft() > 2 {
			p.t.Rules = append(p.t.Rules, len(p.t.Body))
			p.put(p.centre(l.Rule))
		}
		if l.ChapterPage && !p.atTop() && !p.cur.first {
			if l.ChapterOdd && p.cur.odd && !p.due() {
				p.newPage("blank")
				p.kind = "text"
			}
			p.newPage("text")
		}
	}
	p.turnLine()
	cell5 := e.Level == 1 && l.HeadingStyle == "cell5"
	var lines []string
	for _, h := range e.Lines {
		width := l.Width - 6
		if cell5 {
			width = l.Width - 4
		}
		lines = append(lines, wrap(strings.Fields(joinToks(h)), width)...)
	}
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
	p.marks = append(p.marks, mark{braille: p.cur.label, print: p.label, seen: p.seenLabel(), vol: p.vol})
	for _, line := range lines {
		p.room(1, true)
		for k, w := range words(line) {
			start := byte(0)
			if k == 0 {
				start = 'h'
			}
			p.want(Tok{Cells: w}, start)
		}
		if cell5 {
			p.put(blanks(4) + line)
		} else {
			p.put(p.centre(line))
		}
		p.passTurns()
	}
	if l.HeadingStyle == "centred" || l.HeadingStyle == "two" || l.HeadingStyle == "cell5" && e.Level == 0 {
		p.blank()
	}
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
			p.lineNo = number(p.verseNo)
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
	set := func(w []Tok, as byte) {
		p.room(1, true)
		line := ""
		for i, t := range w {
			line += blanks([]int{0, 15, 22}[i] - len(line))
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
			p.newPage("text")
			heads()
		}
		p.passTurns()
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

// flow sets words in lines: the first from cell first+1, the others from cell
// over+1.
func (p *press) flow(toks []Tok, first, over int, kind byte) {
	rest := "" // the second part of a divided word
	for i := 0; i < len(toks) || rest != ""; {
		p.room(1, false)
		for rest == "" && i > 0 && p.turnDue() && strings.HasSuffix(toks[i-1].Cells, "-") {
			p.b.Turns[p.turn].Pos++ // see hangs
		}
		if rest == "" && p.turnDue() {
			p.turnLine()
			p.room(1, false)
		}
		indent := over
		if i == 0 && rest == "" {
			indent = first
		}
		line := ""
		width := p.width() - indent
		if p.l.LineNumbers && kind == 'v' {
			width -= 6 // every line is kept short of the numbers
		}
		began := i
		if rest != "" {
			if len(rest) > width && p.cur.rows[p.cur.at].corner != "" {
				p.skipRow()
				continue
			}
			if len(rest) > width {
				a, b, _ := p.split(Tok{Cells: rest}, width, true)
				if a == "" {
					sign := "-"
					if strings.Contains(rest, "_/") {
						sign = `"`
					}
					a, b = rest[:width-1]+sign, rest[width-1:]
				}
				p.putAs("", joinOf(a, strings.HasPrefix(rest, a)), blanks(indent)+a)
				rest = b
				continue
			}
			line, rest = rest, ""
		}
		full := false
		how := byte(0)
		for !full && i < len(toks) {
			for i > 0 && p.turnDue() && strings.HasSuffix(toks[i-1].Cells, "-") {
				p.b.Turns[p.turn].Pos++
			}
			if p.turnDue() {
				if p.l.Turns == "centred" || p.l.Turns == "row" {
					break
				}
				if p.l.Turns == "head" {
					p.takeTurn(false)
					continue
				}
				m := p.ukMark(p.b.Turns[p.turn].Label)
				if len(line)+1+len(m) > width && line != "" {
					break
				}
				line = spaced(line, m)
				p.takeTurn(true)
				continue
			}
			t := toks[i]
			if s := spaced(line, t.Cells); len(s) <= width && !p.hangs(toks, i, line, width) {
				line = s
				p.want(t, start(i == 0, kind))
				i++
				continue
			}
			full = true
			if a, b := p.unjoin(t.Cells, width-len(line)-sep(line)); a != "" {
				p.want(Tok{Cells: a}, start(i == 0, kind))
				p.pos--
				line = spaced(line, a)
				toks = append([]Tok(nil), toks...)
				toks[i] = Tok{Cells: b}
				if i == 0 {
					first = over
					kind = 0
				}
				break
			}
			if a, b, alt := p.split(t, width-len(line)-sep(line), len(line) == 0); a != "" {
				n := p.want(t, start(i == 0, kind))
				p.t.Body[n].Alt = alt
				line = spaced(line, a)
				rest = b
				i++
				how = joinOf(a, strings.HasPrefix(t.Cells, a))
			}
		}
		if line == "" && i == began {
			if full {
				p.skipRow()
			}
			continue
		}
		line = blanks(indent) + line
		if p.lineNo != "" && i == len(toks) && rest == "" {
			line += blanks(p.width()-len(line)-len(p.lineNo)) + p.lineNo
			p.want(Tok{Cells: p.lineNo}, 0)
			p.pos--
		}
		p.putAs("", how, line)
	}
}

// joinOf tells how the first part of a divided word is joined to the second:
// as it is when it is the word's own beginning, else without the hyphen or the
// number's continuation sign.
func joinOf(a string, own bool) byte {
	if own {
		return 'k'
	}
	return 'd'
}

// hangs reports whether a word that ends in a hyphen or dash and a blank would
// end the line: on paper nobody could tell the blank from the line end, so such
// a word stays with the next one.
func (p *press) hangs(toks []Tok, i int, line string, width int) bool {
	t := toks[i].Cells
	if line == "" || i+1 == len(toks) || !strings.HasSuffix(t, "-") {
		return false
	}
	return len(spaced(line, t))+1+len(toks[i+1].Cells) > width
}

// skipRow leaves a row that is too narrow for the next word.
func (p *press) skipRow() {
	if p.cur.rows[p.cur.at].corner == "" {
		panic("testkit: a word does not fit a line")
	}
	p.cur.at++
	if p.doubled() {
		p.cur.at++
	}
}

func start(first bool, kind byte) byte {
	if first {
		return kind
	}
	return 0
}

func sep(line string) int {
	if line == "" {
		return 0
	}
	return 1
}

func spaced(line, s string) string {
	if line == "" {
		return s
	}
	return line + " " + s
}

// split divides a word at the end of a line: at a hyphen or dash of its own,
// within a long UEB number (Rules of UEB 2013, 6.10), between syllables where
// the book divides words, or, when it is longer than any line, anywhere. alt
// lists the forms of the joined word that are as right as the whole word.
func (p *press) split(t Tok, room int, must bool) (a, b string, alt []string) {
	lastRow := p.cur.at+p.step() >= p.cur.last
	for _, k := range ownBreaks(t.Cells, p.l.Code.System) {
		if k <= room && !(lastRow && p.l.Cut == "page") {
			a, b = t.Cells[:k], t.Cells[k:]
		}
	}
	if a != "" {
		if strings.HasSuffix(a, "-") && !strings.HasSuffix(a, "--") && !strings.HasSuffix(a, ",-") {
			alt = []string{a[:len(a)-1] + b}
		}
		if strings.HasSuffix(a, ",-") && p.l.Code.System == "ueb" || strings.HasSuffix(a, "--") {
			alt = nil
		}
		return a, b, alt
	}
	if p.l.Code.System == "ueb" && isNumber(t.Cells) && len(t.Cells) > 5 && room >= 4 {
		return t.Cells[:3] + `"`, t.Cells[3:], nil
	}
	if p.l.Code.System == "ueb" && strings.HasPrefix(t.Cells, "www") && room > 8 && !lastRow {
		if k := strings.LastIndex(t.Cells[:min(room-1, len(t.Cells)-2)], "_/"); k > 4 && p.d.Chance(50, "solidus", len(p.t.Body)) {
			return t.Cells[:k+2], t.Cells[k+2:], nil // no sign after a solidus (Rules of UEB 2013, 7.4.1)
		}
		if room < len(t.Cells) {
			k := room - 2
			if t.Cells[k-1] == '#' {
				k--
			}
			return t.Cells[:k] + `"`, t.Cells[k:], nil
		}
	}
	if t.Half[0] != "" && len(t.Half[0])+1 <= room && !lastRow && p.d.Chance(70, "divide", len(p.t.Body)) {
		h := t.Half
		return h[0] + "-", h[1], []string{h[0] + h[1], h[0] + "-" + h[1]}
	}
	if must && len(t.Cells) > p.l.Width-4 && room > 6 {
		k := room - 2
		if t.Cells[k-1] == '#' {
			k--
		}
		if strings.Contains(t.Cells, "_/") {
			return t.Cells[:k] + `"`, t.Cells[k:], nil
		}
		return t.Cells[:k] + "-", t.Cells[k:], []string{t.Cells[:k] + "-" + t.Cells[k:]}
	}
	return "", "", nil
}

// unjoin takes two signs apart that are written together where the line has
// room for the first only (before UEB: and, for, of, the, with, a; to).
func (p *press) unjoin(s string, room int) (a, b string) {
	if !p.l.Unjoin || len(s) < 2 || room < 2 {
		return "", ""
	}
	if strings.IndexByte("&=(!)", s[0]) >= 0 && strings.IndexByte("&=(!)a", s[1]) >= 0 && len(s) == 2 {
		return s[:1], s[1:]
	}
	if s[0] == '6' && len(s) > 2 && s[1] >= 'a' && s[1] <= 'z' {
		return "to", s[1:]
	}
	return "", ""
}

func isNumber(s string) bool {
	return len(s) > 1 && s[0] == '#' && strings.Trim(s[1:], "abcdefghij") == ""
}

// ownBreaks lists the places after the hyphens and dashes of a word where its
// line may end.
func ownBreaks(s, system string) []int {
	var out []int
	for i := 2; i < len(s)-2; i++ {
		if s[i] != '-' || s[i+1] == '-' {
			continue
		}
		prev := s[i-1]
		switch {
		case system == "ueb" && prev == ',':
			if s[i-2] != '"' && i > 2 {
				out = append(out, i+1)
			}
		case system != "ueb" && prev == '-':
			if s[i-2] != '-' && i > 2 {
				out = append(out, i+1)
			}
		case prev >= 'a' && prev <= 'z' || strings.IndexByte("!&()=*<%?:$]\\[/+>", prev) >= 0:
			if s[i+1] >= 'a' && s[i+1] <= 'z' {
				out = append(out, i+1)
			}
		}
	}
	return out
}
