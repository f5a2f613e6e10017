package collected

import (
	"strings"

	"continuo/internal/testkit"
)

// page is a page being filled.
type page struct {
	rows      []string
	at        int // next row
	top, last int
	corner    map[int]string // at the right end of a row that text may share
	kind, num string         // num in cells
	n         int            // its place in its series of numbers, from 1
	label     string         // print page as the head shows it
	head      string
	headRow   int // or -1
	first     bool
	word      int // of the body, that it begins with
}

// setter sets the pieces of one title.
type setter struct {
	h      *House
	d      testkit.Dice
	t      *testkit.Truth
	say    func(string) string
	title  string
	vols   [][]*page
	cur    *page
	kind   string
	head   string // running head of the section, cells
	num    int    // braille page of the text
	pre    int    // of the preliminary matter
	print  int    // print page at hand
	turn   int    // the body word that the next print page begins with
	since  int    // braille pages begun on this print page
	want   bool   // a blank line is wanted before what comes next
	prev   kind   // of the piece before
	open   []int  // turns that only a head will show
	line   int    // of the poem at hand
	note   string // line number to be set with the line at hand
	marks  Marks
	places []place
}

// Marks are what the comparison of package testkit does not look at.
type Marks struct {
	Lines   []int // words of the body that begin lines of verse, speeches, directions, list items
	Stanzas []int // words that a blank line stands before, within verse
	Inside  []int // words that begin lines with no blank line before them, within stanzas
	Either  []int // words of lines under a heading that may be taken for more of it
}

func blanks(n int) string { return strings.Repeat(" ", max(0, n)) }

func (s *setter) body() int { return len(s.t.Body) }

// newPage begins a page.
func (s *setter) newPage() {
	p := &page{rows: make([]string, s.h.H), kind: s.kind, word: s.body(), corner: map[int]string{}, headRow: -1}
	switch s.kind {
	case "text":
		s.num++
		p.n, p.num = s.num, testkit.Number(s.num)
		p.label = testkit.Number(s.print)
		if s.h.Letters && s.since > 0 {
			p.label = string(rune('a'+(s.since-1)%26)) + p.label
		}
		s.since++
	default:
		s.pre++
		p.n = s.pre
		p.num = s.prelimNumber(s.pre)
	}
	s.cur = p
	v := len(s.vols) - 1
	p.first = s.kind == "text" && (len(s.vols[v]) == 0 || s.vols[v][len(s.vols[v])-1].kind != "text")
	s.vols[v] = append(s.vols[v], p)
	s.edges(p)
	for k, i := range s.open {
		s.t.Turns[i].To = s.body()
		if k+1 < len(s.open) {
			s.t.Turns[i].From = -1 // a page that begins and ends on one braille page
		}
	}
	s.open = s.open[:0]
}

func (s *setter) prelimNumber(n int) string {
	switch s.h.Prelim {
	case "roman":
		if n > 1 {
			return ";" + testkit.Roman(n)
		}
	case "p":
		if s.h.Code.System == "ueb" {
			return "p" + testkit.Number(n)
		}
		return ";p" + testkit.Number(n)
	case "counted":
		s.num++
		if n > 1 {
			return testkit.Number(s.num)
		}
	}
	return ""
}

// edges lays out the first and the last row of a page.
func (s *setter) edges(p *page) {
	h := s.h
	p.rows = make([]string, h.H)
	p.corner = map[int]string{}
	p.top, p.last, p.headRow = 0, h.H, -1
	num, odd := p.num, p.n%2 == 1
	left, mid, right := "", "", ""
	if h.Num == "top" {
		right = num
		if h.HeadOdd && !odd && !h.Share {
			right = ""
		}
	}
	if p.kind == "text" {
		mid = s.headText(p, odd)
		switch h.Print {
		case "left":
			left = p.label
		case "right":
			right = p.label
		}
		if h.HeadOdd && !odd {
			left = ""
		}
	}
	switch {
	case mid != "" || left != "":
		p.headRow, p.head = 0, mid
		p.rows[0] = topRow(h.W, left, mid, right)
		if h.HeadBlank {
			p.top = 1
		}
		p.top++
		s.t.Gone("page head", p.rows[0])
		if len(strings.Fields(mid)) > 2 {
			s.t.Gone("page head", mid)
		}
	case right != "" && (h.Share || p.kind != "text" && h.HeadOdd):
		p.corner[0] = right
	case right != "":
		p.rows[0] = blanks(h.W-len(right)) + right
		p.top = 1
	}
	if h.Num != "top" && num != "" {
		s.foot(p, num, odd)
	}
	p.at = p.top
}

func (s *setter) foot(p *page, num string, odd bool) {
	h := s.h
	last := h.H - 1
	switch {
	case h.Num == "footmid":
		p.rows[last] = blanks((h.W-len(num))/2) + num
	case h.Num == "outer" && !odd:
		p.rows[last] = num
	case h.Share:
		p.corner[last] = num
		return
	default:
		p.rows[last] = blanks(h.W-len(num)) + num
	}
	p.last = last
}

func (s *setter) headText(p *page, odd bool) string {
	h := s.h
	if p.first && h.First != "same" || h.HeadOdd && !odd {
		return ""
	}
	mid := ""
	switch {
	case h.Head == "title" || h.Head == "facing" && !odd:
		mid = s.title
	case h.Head == "section" || h.Head == "facing":
		mid = s.head
	}
	if h.Plain {
		mid = plain(mid)
	}
	for len(mid) > h.W-14 && strings.Contains(mid, " ") {
		mid = mid[:strings.LastIndex(mid, " ")]
	}
	return mid
}

// plain takes the capital signs off.
func plain(s string) string {
	w := strings.Fields(s)
	for i := range w {
		w[i] = strings.TrimSuffix(strings.TrimLeft(w[i], ","), ",'")
	}
	return strings.Join(w, " ")
}

func topRow(w int, left, mid, right string) string {
	row := left
	if mid != "" {
		row += blanks(max((w-len(mid))/2-len(row), 3*min(1, len(left)))) + mid
	}
	if right != "" {
		row += blanks(w-len(right)-len(row)) + right
	}
	return row
}

// room makes sure that n rows are left on the page.
func (s *setter) room(n int) {
	if s.cur.last-s.cur.at < n && s.cur.at > s.cur.top || s.cur.at >= s.cur.last {
		s.newPage()
	}
}

// width is what text may take of the row at hand.
func (s *setter) width() int {
	if c := s.cur.corner[s.cur.at]; c != "" {
		return s.h.W - len(c) - 3
	}
	return s.h.W
}

// put sets a row; what does not fit beside a corner goes to the next row.
func (s *setter) put(text string) {
	s.room(1)
	for len(text) > s.width() && s.cur.corner[s.cur.at] != "" {
		s.cur.at++
		s.room(1)
	}
	s.cur.rows[s.cur.at] = text
	s.cur.at++
	s.want = false
}

// blank wants n blank lines before what comes next.
func (s *setter) blank(n int) {
	p := s.cur
	if n == 0 || s.want || p.at == p.top && !s.h.KeepTop || p.at >= p.last {
		return
	}
	if p.at == p.top && (p.word == s.body() && p.first || s.kind != "text") {
		return
	}
	p.at += n
	if p.at > p.last {
		p.at = p.last
	}
	s.want = true
}

func (s *setter) skip(n int) {
	s.cur.at = min(s.cur.at+n, s.cur.last-1)
}

func (s *setter) centre(text string) string { return blanks((s.h.W-len(text))/2) + text }

// wrap breaks words into lines.
func wrap(words []string, w int) (out []string) {
	line := ""
	for _, x := range words {
		if line != "" && len(line)+1+len(x) > w {
			out = append(out, line)
			line = ""
		}
		if line != "" {
			line += " "
		}
		line += x
	}
	return append(out, line)
}

// word notes a word of the body.
func (s *setter) word(cells string, start byte) {
	s.t.Body = append(s.t.Body, testkit.Want{Cells: cells, Start: start})
}

// due reports whether a print page turns before the next word.
func (s *setter) due() bool { return s.h.Turns != "" && s.kind == "text" && s.body() >= s.turn }

// takeTurn goes on to the next print page.
func (s *setter) takeTurn(marked bool) string {
	s.print++
	s.since = 0
	label := testkit.Number(s.print)
	n := s.body()
	s.t.Turns = append(s.t.Turns, testkit.WantTurn{Label: label, From: n, To: n, Marked: marked})
	s.turn = n + s.d.Between(160, 420, "print page", s.print)
	return label
}

// mark is a turn as the text shows it.
func (s *setter) mark(label string) string {
	if s.h.TurnSpace {
		return `"3 ` + label
	}
	return `"3` + label
}

// turnLine sets a turn that is due, between lines.
func (s *setter) turnLine() {
	if !s.due() {
		return
	}
	s.room(1)
	p := s.cur
	switch {
	case p.at == p.top && p.word == s.body() && s.h.Turns != "centred" && s.h.Turns != "inline":
		s.relabel()
	case s.h.Turns == "head" && p.word == s.body() && strings.Join(p.rows[p.top:p.at], "") == "": // blank lines alone
		at := p.at - p.top
		s.relabel()
		p.at = p.top + at
	case s.h.Turns == "row" && p.last-p.at <= 2:
		s.newPage()
		s.relabel()
	case s.h.Turns == "row":
		label := s.takeTurn(true)
		s.put(strings.Repeat("-", s.width()-len(label)) + label)
		s.since = 1
	case s.h.Turns == "head":
		s.takeTurn(false)
		s.open = append(s.open, len(s.t.Turns)-1)
	default:
		if p.last-p.at < 2 {
			s.newPage()
		}
		s.put(s.centre(s.mark(s.takeTurn(true))))
	}
}

// relabel begins a print page with the page at hand, whose head tells it.
func (s *setter) relabel() {
	s.cur.label = s.takeTurn(false)
	s.since = 1
	s.edges(s.cur)
}

// style is where the lines of an element stand.
type style struct {
	first, over int
	start       byte
	inline      bool // print page turns may stand within its lines
	number      string
	left        string
	gaps        map[int]bool // words with three blanks before them
}

// flow sets words as one element.
func (s *setter) flow(words []string, st style) {
	for i := 0; i < len(words); {
		s.turnDue(i, st)
		s.room(1)
		indent := st.over
		if i == 0 {
			indent = st.first
		}
		w := s.width()
		if s.h.LineNo == "right" && st.start == 'v' {
			if w < s.h.W && st.number != "" {
				s.cur.at++ // no line number beside another number
				continue
			}
			w -= 7
		}
		line, k := s.fill(words, i, indent, w, st)
		if k == i && strings.TrimSpace(line) == "" {
			if s.width() == s.h.W {
				panic(unfit)
			}
			s.cur.at++ // no word fits beside the corner
			continue
		}
		i = k
		if i == len(words) && st.number != "" {
			line += blanks(s.width()-len(line)-len(st.number)) + st.number
			s.word(st.number, 0)
		}
		s.put(line)
	}
}

func (s *setter) turnDue(i int, st style) {
	if !s.due() || i > 0 && st.start != 'p' {
		return
	}
	if i > 0 && st.inline && s.h.Turns == "inline" {
		return // fill sets it
	}
	s.turnLine()
}

// fill makes a line of words from word i on, and returns the word after it.
func (s *setter) fill(words []string, i, indent, w int, st style) (string, int) {
	line, began := blanks(indent), i
	if i == 0 && st.left != "" {
		s.word(st.left, st.start)
		st.start = 0
		line = st.left + blanks(indent-len(st.left))
	}
	for i < len(words) {
		sep := ""
		if i > began {
			sep = " "
			if st.gaps[i] {
				sep = "   "
			}
		}
		if i > 0 && st.inline && s.h.Turns == "inline" && s.due() {
			m := s.mark(testkit.Number(s.print + 1))
			if len(line)+len(sep)+len(m) > w {
				break
			}
			s.takeTurn(true)
			line += sep + m
			sep = " "
		} else if i > began && s.due() && st.start == 'p' && s.h.Turns != "head" {
			break // the line is cut short where the print page ends
		}
		if len(line)+len(sep)+len(words[i]) > w {
			break
		}
		if s.due() && s.h.Turns == "head" && st.start == 'p' {
			s.takeTurn(false)
			s.open = append(s.open, len(s.t.Turns)-1)
		}
		line += sep + words[i]
		start := byte(0)
		if i == 0 {
			start = st.start
			if start != 'p' && start != 'h' && start != 0 {
				s.marks.Lines = append(s.marks.Lines, s.body())
			}
		}
		s.word(words[i], start)
		i++
	}
	return line, i
}
