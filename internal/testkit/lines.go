package testkit

import "strings"

// This file sets words in lines and divides words at line ends.

// setter sets one run of words in lines.
type setter struct {
	p           *press
	toks        []Tok
	i           int    // next word
	rest        string // the second part of a divided word
	first, over int    // indent of the first line and of the others
	kind        byte   // what begins with the first word
	line        string // the line at hand, without its indent
	width       int    // room for it
	full        bool   // the next word did not fit
	how         byte   // how its last word goes on, see row.join
}

// flow sets words in lines: the first from cell first+1, the others from cell
// over+1.
func (p *press) flow(toks []Tok, first, over int, kind byte) {
	s := &setter{p: p, toks: toks, first: first, over: over, kind: kind}
	for s.i < len(s.toks) || s.rest != "" {
		s.oneLine()
	}
}

func (s *setter) oneLine() {
	p := s.p
	p.room(1, false)
	s.noteSoon()
	s.holdTurn()
	if s.rest == "" && p.turnDue() {
		p.turnLine()
		p.room(1, false)
	}
	indent := s.over
	if s.i == 0 && s.rest == "" {
		indent = s.first
	}
	s.line, s.full, s.how = "", false, 0
	s.width = p.width() - indent
	if p.l.LineNumbers && s.kind == 'v' {
		s.width -= 6 // every line is kept short of the numbers
		if p.b.anew && p.l.Width >= 32 {
			s.width-- // which go beyond 1000 in a book of a long poem
		}
	}
	began := s.i
	left := s.leftNumber(indent)
	if s.rest != "" && !s.takeRest(indent) {
		return
	}
	s.fill()
	if s.line == "" && s.i == began {
		if s.full {
			p.skipRow()
		}
		return
	}
	p.putAs("", s.how, s.withLineNo(left+blanks(indent-len(left))+s.line))
	p.footNotes()
}

// takeRest begins the line with the rest of a divided word. A rest that is too
// long for the line is cut again, and false is returned.
func (s *setter) takeRest(indent int) bool {
	p := s.p
	if len(s.rest) <= s.width {
		s.line, s.rest = s.rest, ""
		return true
	}
	if p.cur.rows[p.cur.at].corner != "" {
		p.skipRow()
		return false
	}
	a, b, _ := p.split(Tok{Cells: s.rest}, s.width, true)
	if a == "" {
		sign := "-"
		if strings.Contains(s.rest, "_/") {
			sign = `"`
		}
		a, b = s.rest[:s.width-1]+sign, s.rest[s.width-1:]
	}
	p.putAs("", joinOf(a, strings.HasPrefix(s.rest, a)), blanks(indent)+a)
	s.rest = b
	return false
}

// holdTurn puts a print page turn off that falls behind a word that ends in a
// hyphen or dash; see hangs.
func (s *setter) holdTurn() {
	for s.rest == "" && s.i > 0 && s.i <= len(s.toks) && s.p.turnDue() && strings.HasSuffix(s.toks[s.i-1].Cells, "-") {
		s.p.b.Turns[s.p.turn].Pos++
	}
}

// fill puts words on the line until it is full or a turn needs a new one.
func (s *setter) fill() {
	for !s.full && s.i < len(s.toks) {
		s.holdTurn()
		if s.p.turnDue() {
			if !s.turnInLine() {
				return
			}
			continue
		}
		t := s.toks[s.i]
		if x := spaced(s.line, t.Cells); len(x) <= s.width && !s.p.hangs(s.toks, s.i, s.line, s.width) {
			s.line = x
			s.p.want(t, start(s.i == 0, s.kind))
			s.i++
			continue
		}
		s.full = true
		s.divide(t)
	}
}

// turnInLine takes up a turn in the middle of a line; false ends the line.
func (s *setter) turnInLine() bool {
	p := s.p
	switch p.l.Turns {
	case "centred", "row":
		return false
	case "head":
		p.takeTurn(false)
		return true
	}
	m := p.ukMark(p.b.Turns[p.turn].Label)
	if len(s.line)+1+len(m) > s.width && s.line != "" {
		return false
	}
	s.line = spaced(s.line, m)
	p.takeTurn(true)
	return true
}

// divide fills the end of the line with a part of the next word, if that can be.
func (s *setter) divide(t Tok) {
	p := s.p
	room := s.width - len(s.line) - sep(s.line)
	if a, b := p.unjoin(t.Cells, room); a != "" {
		p.want(Tok{Cells: a}, start(s.i == 0, s.kind))
		p.pos--
		s.line = spaced(s.line, a)
		s.toks = append([]Tok(nil), s.toks...)
		s.toks[s.i] = Tok{Cells: b}
		if s.i == 0 {
			s.first, s.kind = s.over, 0
		}
		return
	}
	if a, b, alt := p.split(t, room, s.line == ""); a != "" {
		n := p.want(t, start(s.i == 0, s.kind))
		p.t.Body[n].Alt = alt
		s.line = spaced(s.line, a)
		s.rest = b
		s.i++
		s.how = joinOf(a, strings.HasPrefix(t.Cells, a))
	}
}

// leftNumber is the number of a verse line at the left margin and the blank after
// it, which a long number has at the cost of the line.
func (s *setter) leftNumber(indent int) string {
	p := s.p
	if p.leftNo == "" || s.i > 0 || p.turnDue() {
		return ""
	}
	p.want(Tok{Cells: p.leftNo}, s.kind)
	p.pos--
	left := p.leftNo + " "
	s.kind, p.leftNo = 0, ""
	s.width -= max(0, len(left)-indent)
	return left
}

// withLineNo adds the number of a verse line at the right margin.
func (s *setter) withLineNo(line string) string {
	p := s.p
	if p.lineNo == "" || s.i < len(s.toks) || s.rest != "" {
		return line
	}
	p.want(Tok{Cells: p.lineNo}, 0)
	p.pos--
	return line + blanks(p.width()-len(line)-len(p.lineNo)) + p.lineNo
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
		panic(errUnfit)
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
		if k <= room && !(lastRow && p.l.Cut == "page") && p.l.Dict == nil {
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
