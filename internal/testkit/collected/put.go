package collected

import (
	"strings"

	"continuo/internal/testkit"
)

type kind int

const (
	kHead   kind = iota
	kPara        // a paragraph
	kStanza      // lines of verse
	kSpeech      // who speaks, and prose
	kVerses      // who speaks, and verse
	kMove        // a stage direction or rubric
	kAside       // an author line, a source, a date, the close of a letter
	kItem        // an item of a list
	kRow         // a row of a table
	kBreak       // a scene break
	kNumber      // a verse of scripture with its number at the margin
)

// piece is one element of a book in print.
type piece struct {
	kind   kind
	level  int // headings: 1 to 3
	name   string
	lines  []string
	step   []int // stanzas: lines set in
	page   bool  // begins a page whatever the house does
	piece  bool  // headings: of a poem, hymn, recipe or letter
	head   string
	number bool // stanzas: their lines are counted
	hang   bool // paragraphs: first in the cell of runovers, as after a heading
}

func (s *setter) cells(print string) []string { return strings.Fields(s.say(print)) }

// italics marks words that stand in italics (UEB 9.2; older codes: dots 46).
func (s *setter) italics(w []string) []string {
	sign := "."
	if s.h.Code.System == "ueb" {
		sign = ".1"
	}
	out := append([]string(nil), w...)
	if len(out) > 2 && s.h.Code.System == "ueb" {
		out[0] = ".7" + out[0]
		out[len(out)-1] += ".'"
		return out
	}
	if len(out) > 3 {
		out[0], out[len(out)-1] = ".."+out[0], "."+out[len(out)-1]
		return out
	}
	for i := range out {
		out[i] = sign + out[i]
	}
	return out
}

// setPiece sets one element; next is the one after it.
func (s *setter) setPiece(p, next *piece) {
	defer func(n int) {
		if s.prev == kHead && (p.kind == kAside || p.kind == kMove && !strings.HasSuffix(p.lines[0], ".")) {
			for ; n < s.body(); n++ {
				s.marks.Either = append(s.marks.Either, n)
			}
		}
		s.prev = p.kind
	}(s.body())
	if s.prev == kStanza && p.kind != kAside && p.kind != kHead {
		s.blank(1)
	}
	switch p.kind {
	case kHead:
		s.heading(p, next)
	case kPara:
		s.paragraph(p)
	case kStanza:
		s.stanza(p)
	case kSpeech, kVerses:
		s.speech(p)
	case kMove:
		s.move(p)
	case kAside:
		s.aside(p)
	case kItem:
		s.item(p)
	case kRow:
		s.row(p)
	case kBreak:
		s.scene()
	case kNumber:
		s.scripture(p)
	}
}

func (s *setter) heading(p, next *piece) {
	h := s.h
	l := p.level - 1
	var lines []string
	var words []string
	form := h.Heads[l]
	for _, x := range p.lines {
		if h.Caps[l] {
			x = strings.ToUpper(x)
		}
		w := s.cells(x)
		words = append(words, w...)
		if form == "centre" {
			for _, y := range wrap(w, h.W-8) {
				lines = append(lines, s.centre(y))
			}
			continue
		}
		at := map[string]int{"cell5": 4, "cell7": 6, "margin": 0}[form]
		for _, y := range wrap(w, h.W-at-2) {
			lines = append(lines, blanks(at)+y)
		}
	}
	if p.page || h.PiecePage && p.piece && s.prev != kHead || h.PartPage && p.level == 1 {
		if s.cur.at > s.cur.top || s.cur.kind != "text" {
			s.head = s.headOf(p)
			s.newPage()
		}
	}
	s.blank(h.Before[l])
	need := len(lines) + h.After[l] + 2
	if next != nil && next.kind == kStanza && h.KeepStanza && len(next.lines) < 9 {
		need += len(next.lines)
	}
	if next != nil && next.kind == kHead {
		need += 2 + h.Before[next.level-1]
	}
	s.room(need)
	if s.cur.at == s.cur.top {
		s.head = s.headOf(p)
		if s.cur.word == s.body() && s.cur.kind == "text" {
			s.edges(s.cur)
			s.blank(h.Before[l])
		}
	}
	s.turnLine()
	s.room(need)
	s.head = s.headOf(p)
	s.t.Heads = append(s.t.Heads, testkit.Head{At: s.body(), Words: strings.Join(words, " "), Level: p.level, Listed: p.level <= h.ListLevel && h.Contents != ""})
	s.places = append(s.places, place{len(s.vols) - 1, s.cur.num, testkit.Number(s.print), p.level, words})
	for k, line := range lines {
		for len(line)+1 > s.width() && s.cur.corner[s.cur.at] != "" && s.cur.at+1 < s.cur.last {
			s.cur.at++
		}
		for j, w := range strings.Fields(line) {
			start := byte(0)
			if k == 0 && j == 0 {
				start = 'h'
			}
			s.word(w, start)
		}
		s.put(line)
	}
	s.blank(h.After[l])
	s.line = 0
}

func (s *setter) headOf(p *piece) string {
	if p.head != "" {
		return s.say(p.head)
	}
	if p.level == 1 {
		return s.say(p.lines[len(p.lines)-1])
	}
	return s.head
}

func (s *setter) paragraph(p *piece) {
	st := style{first: 2, start: 'p', inline: true}
	if s.h.Block {
		s.blank(1)
		st.first = 0
	}
	for _, l := range p.lines {
		s.flow(s.cells(l), st)
	}
	if s.h.Block {
		s.blank(1)
	}
}

func (s *setter) stanza(p *piece) {
	h := s.h
	before, left := s.cur, s.cur.last-s.cur.at
	s.blank(1)
	if h.KeepStanza && len(p.lines) < 9 {
		s.room(min(len(p.lines)+1, h.H-3))
	} else {
		s.room(min(2, len(p.lines)))
	}
	if h.Verse != "lines" {
		s.runOn(p)
		return
	}
	for i, l := range p.lines {
		n, at := s.body(), s.cur
		st := style{first: h.VFirst, over: h.VOver, start: 'v'}
		if p.step != nil {
			st.first += h.VStep * p.step[i]
			st.over += h.VStep * maxOf(p.step)
		}
		s.line++
		if p.number && h.LineNo != "" && s.line%h.Every == 0 {
			switch x := testkit.Number(s.line); h.LineNo {
			case "right":
				st.number = x
			case "left":
				st.left = x
			default:
				st.left = x[1:]
			}
			if len(st.left) > st.first-1 {
				st.left = ""
			}
		}
		s.flow(s.cells(l), st)
		same := s.cur == at && at.at > at.top
		if i == 0 && s.prev == kStanza && s.t.Body[n].Start == 'v' && (s.cur == before && left > 0 || left > 3) {
			s.marks.Stanzas = append(s.marks.Stanzas, n) // a page with room left ends a stanza
		} else if i > 0 && same {
			s.marks.Inside = append(s.marks.Inside, n)
		}
	}
}

func maxOf(n []int) int {
	m := 0
	for _, x := range n {
		m = max(m, x)
	}
	return m
}

// runOn sets a stanza as a paragraph, with line signs or three blanks.
func (s *setter) runOn(p *piece) {
	st := style{first: 2, start: 'p', inline: true, gaps: map[int]bool{}}
	var words []string
	for i, l := range p.lines {
		w := s.cells(l)
		if s.h.Verse == "signs" && i+1 < len(p.lines) {
			w = append([]string(nil), w...)
			w[len(w)-1] += "_"
		} else if s.h.Verse == "gaps" && i > 0 {
			st.gaps[len(words)] = true
		}
		words = append(words, w...)
	}
	s.flow(words, st)
}

func (s *setter) speech(p *piece) {
	h := s.h
	name := p.name
	if h.Speaker == "capitals" || h.Speaker == "stop" && h.Caps[0] {
		name = strings.ToUpper(name)
	}
	st := style{over: 4, start: 's'}
	first := []string(nil)
	if name != "" {
		switch h.Speaker {
		case "stop":
			first = s.cells(name + ".")
		case "colon":
			first = s.cells(name + ":")
		case "italic":
			first = s.italics(s.cells(name))
		case "capitals":
			first = s.cells(name)
		default:
			s.speaker(s.cells(name))
		}
	}
	for i, l := range p.lines {
		w := s.cells(l)
		own := h.Speaker == "own" || h.Speaker == "centred"
		switch {
		case i == 0 && first != nil:
			w = append(append([]string(nil), first...), w...)
		case own && p.kind == kSpeech && i == 0:
			st.first, st.over, st.start = 2, 0, 'd'
			if h.Speaker == "own" {
				st.first, st.over = 2, 2
			}
		default:
			st.first, st.start = 2, 'v'
		}
		s.flow(w, st)
	}
}

// speaker sets a name alone on its line, with the line after it on its page.
func (s *setter) speaker(w []string) {
	s.turnLine()
	s.room(3)
	s.marks.Lines = append(s.marks.Lines, s.body())
	for i, x := range w {
		s.word(x, "s\x00"[min(i, 1)])
	}
	text := strings.Join(w, " ")
	if s.h.Speaker == "centred" {
		text = s.centre(text)
	}
	s.put(text)
}

func (s *setter) move(p *piece) {
	w := s.cells(p.lines[0])
	if s.h.Ital {
		w = s.italics(w)
	}
	s.flow(w, style{first: s.h.Move[0], over: s.h.Move[1], start: 'd'})
}

// aside sets lines that belong to what stands before or after them.
func (s *setter) aside(p *piece) {
	s.turnLine()
	s.room(len(p.lines))
	for _, l := range p.lines {
		w := s.cells(l)
		if s.h.Aside[0] >= 0 {
			s.flow(w, style{first: s.h.Aside[0], over: s.h.Aside[1], start: 'l'})
			continue
		}
		for _, line := range wrap(w, s.h.W-12) {
			s.turnLine()
			s.room(1)
			if s.h.Aside[0] == -1 && s.width() == s.h.W {
				line = blanks(s.h.W-len(line)) + line
			} else {
				line = s.centre(line)
			}
			for len(line)+1 > s.width() && s.cur.corner[s.cur.at] != "" {
				s.cur.at++
				s.room(1)
			}
			for j, x := range strings.Fields(line) {
				if j == 0 {
					s.marks.Lines = append(s.marks.Lines, s.body())
				}
				s.word(x, "l\x00"[min(j, 1)])
			}
			s.put(line)
		}
	}
}

func (s *setter) item(p *piece) {
	for _, l := range p.lines {
		s.flow(s.cells(l), style{first: s.h.Item[0], over: s.h.Item[1], start: 'l'})
	}
}

// row sets the cells of a table, which tabs part, in columns.
func (s *setter) row(p *piece) {
	s.blank(1)
	s.room(min(len(p.lines)+1, s.h.H-4))
	var width [8]int
	var cells [][]string
	for _, l := range p.lines {
		var row []string
		for i, c := range strings.Split(l, "\t") {
			c = s.say(c)
			row = append(row, c)
			width[i] = max(width[i], len(c))
		}
		cells = append(cells, row)
	}
	for _, row := range cells {
		line := ""
		for i, c := range row {
			if i+1 < len(row) {
				c += blanks(width[i] + 2 - len(c))
			}
			line += c
		}
		s.turnLine()
		s.room(1)
		for len(line) > s.width() && s.cur.corner[s.cur.at] != "" {
			s.cur.at++
			s.room(1)
		}
		for j, x := range strings.Fields(line) {
			s.word(x, "l\x00"[min(j, 1)])
		}
		s.put(strings.TrimRight(line, " "))
	}
	s.blank(1)
}

func (s *setter) scene() {
	w := []string{"99", "99", "99"}
	if s.h.Code.System == "ueb" {
		w = []string{`"9`, `"9`, `"9`}
	}
	s.turnLine()
	s.room(3)
	s.blank(s.h.After[0])
	for j, x := range w {
		s.word(x, "b\x00"[min(j, 1)])
	}
	s.put(s.centre(strings.Join(w, " ")))
	s.blank(s.h.After[0])
}

// scripture sets a verse with its number at the margin.
func (s *setter) scripture(p *piece) {
	s.flow(s.cells(p.lines[0]), style{first: 0, over: 2, start: 'l'})
}

// ruled sets a line of one cell under what ends.
func (s *setter) ruled(cells string) {
	if cells == "" || s.cur.last-s.cur.at < 2 || s.cur.at == s.cur.top {
		return
	}
	if s.cur.corner[s.cur.at] != "" || s.cur.corner[s.cur.at+1] != "" {
		return
	}
	s.want = false
	s.put(s.centre(cells))
}
