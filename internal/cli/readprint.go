package cli

import (
	"bufio"
	"bytes"
	"fmt"
	"strings"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/structure"
)

// printer prints a text.
type printer struct {
	t       *text
	codes   *codeMix
	readers map[english.Variant]*english.Reader
	words   *english.Vocabulary
	dashes  dashHabit
	hyphens int // hyphens at line ends of which nothing tells whether they belong to the word
	unread  []unread
	island  bool  // a passage in another code is open
	page    int32 // page that is being printed, -1 before the first
	w       *bufio.Writer
	pages   bool
	mark    []byte // before the headwords of entries, not printed
	buf     []byte
	at      []lineAt
	cuts    []int32 // page breaks in buf: offset, page, offset, page, ...
}

// unread is a place that could not be read.
type unread struct {
	line int32
	what string
}

// lineAt says that the cells from offset on are of a line.
type lineAt struct {
	offset int
	line   int32
}

func newPrinter(t *text, c *codeMix) *printer {
	return &printer{t: t, codes: c, readers: map[english.Variant]*english.Reader{}, page: -1}
}

// write prints the whole text.
func (p *printer) write(w *bufio.Writer, f readFlags) {
	p.w, p.pages = w, f.pages && (len(p.t.v.Pages) > 1 || p.t.v.File.FormFeed)
	heads, first, open := 0, true, false
	for i := range p.t.b.Blocks {
		bl := &p.t.b.Blocks[i]
		more := bl.Kind == book.Heading && open && !bl.Blank.Want
		if !first && !bl.Cont && !more && (bl.Blank.Want || bl.Kind == book.Heading) && !p.newPage(bl) {
			p.line("")
		}
		if open = bl.Kind == book.Heading; open && f.headings && !more {
			heads++
			p.block(bl, fmt.Sprintf("heading %d: ", heads))
		} else {
			p.block(bl, "")
		}
		p.endPassages(i, p.codes.at(bl.Pieces[0].Line))
		first = false
	}
	if p.pages {
		p.turnTo(int32(len(p.t.v.Pages)) - 1)
	}
}

func (p *printer) line(s string) { p.w.WriteString(s); p.w.WriteByte('\n') }

// newPage reports whether a block opens a page that is printed with a line of
// its own.
func (p *printer) newPage(bl *book.Block) bool {
	return p.pages && p.t.v.PageOf[bl.Pieces[0].Line] > p.page
}

// block prints one block on one line, or in page mode on as many as pages it
// stands on.
func (p *printer) block(bl *book.Block, label string) {
	p.gather(bl)
	line := bl.Pieces[0].Line
	if p.pages {
		p.turnTo(p.t.v.PageOf[line])
	}
	p.w.WriteString(label)
	if bl.Kind == book.Rule || bl.Kind != book.Turn && structure.IsRule(p.buf) {
		p.line(ruleInPrint(p.buf))
		return
	}
	p.w.WriteString(strings.Repeat(" ", p.indent(bl)))
	v := p.codes.at(line)
	from := 0
	for i := 0; i < len(p.cuts); i += 2 {
		to := int(p.cuts[i])
		p.line(p.read(p.buf[from:to], from, v))
		p.turnTo(p.cuts[i+1])
		for from = to; from < len(p.buf) && p.buf[from] == cell.Blank; from++ {
		}
	}
	p.line(p.read(p.buf[from:], from, v))
}

// indent is how far a block steps in in print.
func (p *printer) indent(bl *book.Block) int {
	switch bl.Kind {
	case book.Para, book.Line:
		return int(bl.First)
	case book.Entry:
		if bl.First < 10 {
			return int(bl.First)
		}
	}
	return 0
}

// ruleInPrint is a separator line in print.
func ruleInPrint(cells []byte) string {
	if structure.Asterisks(cells) {
		return "* * *"
	}
	return "-----"
}

// turnTo prints the lines before pages up to page.
func (p *printer) turnTo(page int32) {
	for p.page < page {
		p.page++
		if p.page > 0 {
			p.line("")
		}
		p.line(p.pageLine(p.page))
	}
}

// pageLine tells the numbers and the head of a page.
func (p *printer) pageLine(page int32) string {
	pg := &p.t.v.Pages[page]
	var b strings.Builder
	fmt.Fprintf(&b, "[page %d of the file", page+1)
	if pg.Braille != nil {
		b.WriteString("; braille page " + pg.Braille.String())
	}
	if pg.Print != nil {
		b.WriteString("; print page " + pg.Print.String())
	}
	for i := pg.First; i < pg.Last; i++ {
		if p.t.v.Lines[i].Role == layout.Head {
			if head := oneLine(english.Read(p.t.v.TextOf(i), p.codes.at(i))); head != "" {
				b.WriteString("; head: " + head)
			}
		}
	}
	return b.String() + "]"
}

// gather puts the cells of a block in a row: p.buf, p.at and p.cuts.
func (p *printer) gather(bl *book.Block) {
	p.buf, p.at, p.cuts = p.buf[:0], p.at[:0], p.cuts[:0]
	page := p.t.v.PageOf[bl.Pieces[0].Line]
	joinable := false
	for i, piece := range bl.Pieces {
		cells, end := p.t.b.Text(piece), len(p.buf)
		turn := p.t.turn(piece)
		if turn {
			cells = append([]byte(`"3`), turnLabel(cells)...)
		} else if joinable {
			end, cells = p.join(cells, piece.Line)
		}
		p.blank()
		if now := p.t.v.PageOf[piece.Line]; p.pages && now != page && i > 0 {
			p.cuts = append(p.cuts, int32(end), now)
			page = now
		}
		if len(cells) > 0 {
			p.at = append(p.at, lineAt{len(p.buf), piece.Line})
			p.buf = append(p.buf, cells...)
		}
		joinable = !turn
	}
}

// blank ends a word.
func (p *printer) blank() {
	if n := len(p.buf); n > 0 && p.buf[n-1] != cell.Blank {
		p.buf = append(p.buf, cell.Blank)
	}
}

// turnLabel is what a print page turn says after its sign.
func turnLabel(cells []byte) []byte {
	t := strings.TrimSpace(string(cells))
	if rest, ok := strings.CutPrefix(t, `"3`); ok {
		t = rest
	}
	return []byte(strings.TrimLeft(strings.TrimLeft(t, "-"), " "))
}

// reader returns the reader of a variant; it remembers what is open.
func (p *printer) reader(v english.Variant) *english.Reader {
	r := p.readers[v]
	if r == nil {
		r = english.NewReader(v)
		p.readers[v] = r
	}
	return r
}

// read reads cells to print; base is where they begin in p.buf. Print page turns
// and guide dots are put in words and dots.
func (p *printer) read(cells []byte, base int, v english.Variant) string {
	var out strings.Builder
	from := 0
	flush := func(to int) {
		if to > from {
			s, m := p.reader(v).Mapped(cells[from:to])
			p.note(s, m, base+from)
			out.WriteString(s)
		}
		from = to
	}
	fields := cell.Fields(cells)
	for i := 0; i < len(fields); i++ {
		tok := cells[fields[i][0]:fields[i][1]]
		if len(p.mark) > 0 && len(tok) > len(p.mark) && bytes.HasPrefix(tok, p.mark) {
			flush(fields[i][0]) // the mark is for searching in the cells alone
			from = fields[i][0] + len(p.mark)
			continue
		}
		words, n := signInPrint(tok, cells, fields[i+1:], v)
		if n == 0 {
			continue
		}
		if flush(fields[i][0]); p.island {
			continue
		}
		out.WriteString(words)
		i += n - 1
		from = fields[i][1]
	}
	flush(len(cells))
	return strings.TrimRight(out.String(), " ")
}

// signInPrint puts a print page turn, guide dots or a reference mark of the older
// codes into print and tells how many tokens they take; 0 for other tokens.
func signInPrint(tok, cells []byte, next [][2]int, v english.Variant) (string, int) {
	if len(tok) >= 2 && tok[0] == '"' && tok[1] == '3' {
		label, n := tok[2:], 1
		if len(label) == 0 && len(next) > 0 {
			label, n = cells[next[0][0]:next[0][1]], 2
		}
		if l, ok := cell.ParseLabel(label); ok && !l.Bare {
			return "[page " + l.String() + "]", n
		}
		if len(tok) == 2 {
			return "[new page]", 1
		}
	}
	switch {
	case english.GuideDots(tok):
		return "...", 1
	case v.Code.Older() && bytes.HasPrefix(tok, []byte("99")): // reference mark
		if len(tok) == 2 {
			return "*", 1
		}
		if l, ok := cell.ParseLabel(tok[2:]); ok && !l.Bare {
			return "*" + l.String(), 1
		}
	}
	return "", 0
}

// note takes down what could not be read. A passage in another code can go on
// from one call to the next.
func (p *printer) note(print string, m english.Map, base int) {
	if !p.island && !strings.ContainsFunc(print, notPrint) {
		return
	}
	start := -1
	told := p.island // its beginning was told
	for i, r := range print {
		switch {
		case string(r) == english.IslandOpen:
			p.island, told, start = true, false, i
		case string(r) == english.IslandClose:
			if !told {
				p.unread = append(p.unread, unread{p.lineOf(base + m.Cell(start)), "passage in another code, printed as braille: " + oneLine(print[start:i]+english.IslandClose)})
			}
			p.island, start = false, -1
		case p.island:
		case isBraille(r) && start < 0:
			start = i
		case !isBraille(r) && start >= 0:
			p.cellsUnread(print[start:i], m.Cell(start)+base)
			start = -1
		}
	}
	switch {
	case p.island && !told:
		p.unread = append(p.unread, unread{p.lineOf(base + m.Cell(start)), "passage in another code, printed as braille, begins: " + oneLine(print[start:])})
	case start >= 0:
		p.cellsUnread(print[start:], m.Cell(start)+base)
	}
}

// passages are the signs of UEB that open and close a passage of capitals, of
// grade 1 and of Nemeth Code (Rules of Unified English Braille 2013, 8.5, 5.4,
// 14.6).
var passages = [][2]string{{",,,", ",'"}, {";;;", ";'"}, {"_%", "_:"}}

// maxPassage is how many blocks further on a passage may close.
const maxPassage = 40

// endPassages ends a passage that block i, which stands in p.buf, opens and
// nothing closes: a slip must not change how the rest of a book reads.
func (p *printer) endPassages(i int, v english.Variant) {
	for _, sign := range passages {
		k := bytes.LastIndex(p.buf, []byte(sign[0]))
		if k < 0 || v.Code.Older() || bytes.Contains(p.buf[k+len(sign[0]):], []byte(sign[1])) || p.closes(i, sign) {
			continue
		}
		delete(p.readers, v)
		p.island = false
		p.unread = append(p.unread, unread{p.lineOf(k), "passage that nothing closes, read as if it ended with its paragraph: " + sign[0]})
	}
}

// closes reports whether one of the blocks after i closes a passage before
// another one begins.
func (p *printer) closes(i int, sign [2]string) bool {
	blocks := p.t.b.Blocks
	for k := i + 1; k < len(blocks) && k <= i+maxPassage; k++ {
		for _, piece := range blocks[k].Pieces {
			cells := p.t.b.Text(piece)
			open, end := bytes.Index(cells, []byte(sign[0])), bytes.Index(cells, []byte(sign[1]))
			if open >= 0 || end >= 0 {
				return end >= 0 && (open < 0 || end < open)
			}
		}
	}
	return false
}

func (p *printer) cellsUnread(s string, at int) {
	p.unread = append(p.unread, unread{p.lineOf(at), "not read, printed as braille: " + s})
}

func isBraille(r rune) bool { return r >= 0x2800 && r <= 0x28ff }

// notPrint reports whether a character stands for cells that were not read. A
// byte that is no cell is told of elsewhere.
func notPrint(r rune) bool { return isBraille(r) || string(r) == english.IslandOpen }

// lineOf is the line from which the cell at an offset of p.buf comes.
func (p *printer) lineOf(offset int) int32 {
	line := int32(0)
	for _, a := range p.at {
		if a.offset > offset {
			break
		}
		line = a.line
	}
	return line
}
