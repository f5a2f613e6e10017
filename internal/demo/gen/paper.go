package main

import (
	"strings"

	"continuo/internal/cell"
)

// style is how a house lays out its paper. Sizes are in cells and lines.
type style struct {
	width, height int
	double        bool // every second line is blank
	// head returns line 1 of a page, "" for none: then text stands there.
	// It is asked when the page opens (does line 1 belong to the head?) and
	// again when it closes.
	head func(p *page) string
	// corners returns the numbers that share line 1 and the last line with
	// text, "" for none.
	corners func(s *setter, p *page, print string) (top, bottom string)
	// turn sets a print page turn at the present place.
	turn func(s *setter, label string)
}

// page is one braille page. Print is the print page on which its text begins.
type page struct {
	lines  []string
	number int
	print  string
	plain  bool            // no head and no corners: title pages
	front  bool            // preliminary page
	used   bool            // some text stands on it
	prints map[string]bool // print pages that it holds text of
}

// setter fills the pages of one volume.
type setter struct {
	style
	pages  []*page
	cur    *page
	next   int            // index of the next line to fill
	foot   int            // lines kept free at the end of the page
	number int            // of the page that opens next
	print  string         // print page at the present place
	front  bool           // pages that open are preliminary
	seen   map[string]int // braille pages before this one, by print page they hold
	turned func() bool    // called before a page opens; true: it has opened one
}

func (s *setter) step() int {
	if s.double && !s.cur.plain {
		return 2
	}
	return 1
}

// open begins a page.
func (s *setter) open(plain bool) {
	s.close()
	if s.turned != nil && !plain && s.turned() {
		return
	}
	s.cur = &page{lines: make([]string, s.height), number: s.number, print: s.print, plain: plain, front: s.front, prints: map[string]bool{}}
	s.number++
	s.next = 0
	if !plain && s.head != nil && s.head(s.cur) != "" {
		s.next = s.step()
	}
}

// close finishes the page: head and corners are written now.
func (s *setter) close() {
	p := s.cur
	if p == nil {
		return
	}
	s.cur = nil
	s.pages = append(s.pages, p)
	if !p.plain {
		s.finish(p)
	}
	for label := range p.prints {
		s.seen[label]++
	}
}

// finish writes the head and the corners of a page.
func (s *setter) finish(p *page) {
	if s.head != nil {
		if h := s.head(p); h != "" {
			p.lines[0] = h
		}
	}
	if s.corners != nil {
		top, bottom := s.corners(s, p, p.print)
		p.lines[0] = flush(p.lines[0], top, s.width)
		p.lines[s.height-1] = flush(p.lines[s.height-1], bottom, s.width)
	}
}

// flush puts right at the right margin of a line.
func flush(line, right string, width int) string {
	if right == "" {
		return line
	}
	return line + strings.Repeat(" ", width-len(line)-len(right)) + right
}

func (s *setter) full() bool { return s.cur == nil || s.next >= s.height-s.foot }

// room is how many cells the next line of text may hold.
func (s *setter) room() int {
	if s.full() {
		s.open(false)
	}
	if s.corners == nil || s.cur.plain {
		return s.width
	}
	print := s.print
	if s.cur.used {
		print = s.cur.print
	}
	top, bottom := s.corners(s, s.cur, print)
	switch {
	case s.next == 0 && top != "":
		return s.width - len(top) - 3
	case s.next == s.height-1 && bottom != "":
		return s.width - len(bottom) - 3
	}
	return s.width
}

// put sets one line of text.
func (s *setter) put(line string) {
	if s.full() {
		s.open(false)
	}
	if !s.cur.used {
		s.cur.used, s.cur.print = true, s.print
	}
	s.cur.prints[s.print] = true
	s.cur.lines[s.next] = strings.TrimRight(line, " ")
	s.next += s.step()
}

// blank leaves a blank line, but not at the top of a page nor after another.
func (s *setter) blank() {
	if !s.full() && s.cur.used && s.cur.lines[s.next-s.step()] != "" {
		s.next += s.step()
	}
}

// skip leaves n lines blank wherever it stands.
func (s *setter) skip(n int) { s.next += n }

// need opens a new page unless n more lines fit on this one.
func (s *setter) need(n int) {
	if s.cur != nil && s.cur.used && s.next+(n-1)*s.step() >= s.height-s.foot {
		s.open(false)
	}
}

// fill sets tokens as a paragraph: first line and runovers with their indents.
func (s *setter) fill(toks []token, first, run int) {
	line, empty := strings.Repeat(" ", first), true
	breakLine := func() {
		if !empty {
			s.put(line)
		}
		line, empty = strings.Repeat(" ", run), true
	}
	for _, t := range toks {
		if t.turn != "" {
			breakLine()
			s.turn(s, t.turn)
			continue
		}
		w := t.cells
		if !empty && len(line)+1+len(w) > s.room() {
			if head, rest, ok := atHyphen(w, s.room()-len(line)-1); ok {
				line, w = line+" "+head, rest
			}
			breakLine()
		}
		if !empty {
			line += " "
		}
		line, empty = line+w, false
	}
	breakLine()
}

// atHyphen divides a compound word at its own hyphen so that the first part
// takes at most room cells.
func atHyphen(w string, room int) (head, rest string, ok bool) {
	for i := min(room, len(w)-1) - 1; i > 1; i-- {
		if w[i] == '-' && letter(w[i-1]) && letter(w[i-2]) && i+1 < len(w) && letter(w[i+1]) {
			return w[:i+1], w[i+1:], true
		}
	}
	return "", "", false
}

func letter(c byte) bool { return c >= 'a' && c <= 'z' }

// centre sets cells in the middle of the line, over several lines if need be.
func (s *setter) centre(cells string) {
	for cells != "" {
		line := cells
		if limit := min(s.width-6, s.room()-3); len(line) > limit {
			line = line[:strings.LastIndexByte(line[:limit+1], ' ')]
		}
		s.put(middle(line, s.width))
		cells = strings.TrimSpace(cells[len(line):])
	}
}

func middle(line string, width int) string {
	return strings.Repeat(" ", max(0, (width-len(line))/2)) + line
}

// entry sets a line of contents: words, guide, number at column col (0-based).
// A guide of fewer than two cells is left out (Rules of Unified English
// Braille 2013, 16.5.1).
func (s *setter) entry(words, guide, number string, col int) {
	line, sep := "", ""
	for _, w := range strings.Fields(words) {
		if sep != "" && len(line)+1+len(w) > col-4 {
			s.put(line)
			line, sep = "  ", ""
		}
		line += sep + w
		sep = " "
	}
	if n := col - len(line) - 2; n >= 2 {
		line += " " + strings.Repeat(guide, n) + " "
	}
	s.put(line + strings.Repeat(" ", max(0, col-len(line))) + number)
}

// bytes returns the volume as Braille ASCII, a form feed after each page.
func (s *setter) bytes(eol string) []byte {
	s.close()
	var out strings.Builder
	for _, p := range s.pages {
		for _, line := range p.lines {
			out.WriteString(line + eol)
		}
		out.WriteByte('\f')
	}
	return []byte(out.String())
}

// number returns a page label in cells: digits with their sign, roman with a
// letter sign.
func number(label string) string {
	if label[0] >= '0' && label[0] <= '9' {
		return string(cell.Number(atoi(label)))
	}
	return ";" + label
}
