package testkit

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
)

// File is one paper volume as a file.
type File struct {
	Name string
	Raw  []byte
}

// Title is a title as pressed: its files, and the truth about them.
type Title struct {
	Lay   *Layout
	Files []File
	Truth *Truth
	Pages [][][][]byte // volume, page, line
	vols  [][]*page
}

type row struct {
	text   string
	corner string // at the right end of the row, shared with the text
	full   bool   // no text on this row
	kind   string // what the row is, when it is no text of the book
	tail   string // furniture at the end of a row of text
	join   byte   // the row's last word goes on in the next: 'k' as it is, 'd' without the last cell
}

type page struct {
	width     int
	kind      string // "title", "prelim", "contents", "text", "notes", "blank"
	label     string // braille page number
	odd       bool
	first     bool // first page of the volume's text
	rows      []row
	at, last  int
	top       int
	startWord int    // index of the first body word set on the page
	startTurn string // print page at the start
	endTurn   string
	shows     bool // the head shows the print page
	chapter   string
	headRow   int // -1: none
	num       string
	headOn    bool
	single    bool     // in a double-spaced book
	cont      int      // continuation letters
	foot      []string // notes at its foot
	footEnd   int      // row after the last that text or a note may take
}

type mark struct {
	braille, print string
	seen           string // the print page that the last mark or head before it shows
	vol, elem      int
}

// shown is a print page number that a head shows, and the first word of its
// page.
type shown struct {
	label string
	word  int
}

// press sets one book.
type press struct {
	b     *Book
	l     *Layout
	d     Dice
	t     *Truth
	vols  [][]*page
	vol   int // 1-based
	cur   *page
	kind  string // kind of the pages being filled
	pos   int    // body tokens set
	turn  int    // next of b.Turns
	label string // print page now
	seen  string // print page that was last shown, by a mark or a head
	since int    // braille pages begun since the print page began
	exact bool   // the print page began at the top of a braille page
	seq   int    // braille page number
	tseq  int
	pseq  int

	chapter   string
	target    []int
	known     []mark // headings of the last pass
	marks     []mark // headings of this pass
	notes     []int  // notes referred to in this volume
	remarks   int
	footnotes int
	listLeft  int
	verseNo   int
	lineNo    string         // number of the verse line being set, where it is shown
	leftNo    string         // the same at the left margin, until its line is set
	lineCount map[string]int // lines of preliminary matter set in this volume
	opened    bool           // the first text page of the volume is begun
	shown     []shown
	listed    map[int]bool // elements that a contents list has
	closing   bool         // the volume is being closed
	size      [2]int       // cells and lines of the largest paper
	due2      []pending    // notes referred to and not set yet
	noteHeads int          // headings over the notes of a chapter so far
}

// errUnfit is what the setter panics with when a word is longer than a line.
var errUnfit = errors.New("a word does not fit a line")

// Press sets a book and writes its files. A book with a word that is longer
// than a line of the layout is an error.
func Press(b *Book) (out *Title, err error) {
	defer func() {
		if r := recover(); r == errUnfit {
			out, err = nil, fmt.Errorf("seed %d: %w", b.Lay.Seed, errUnfit)
		} else if r != nil {
			panic(r)
		}
	}()
	var p *press
	var known []mark
	size := [2]int{b.Lay.Width, b.Lay.Height}
	defer func() { b.Lay.Width, b.Lay.Height = size[0], size[1] }()
	for pass := 0; pass < 6; pass++ {
		p = &press{b: b, l: b.Lay, d: b.Dice, t: NewTruth(b.Lay), known: known, listed: map[int]bool{}, size: size}
		p.run()
		if p.vol < b.Lay.Volumes {
			b.Lay.Cut = "page" // too few chapters to end every volume with one
			continue
		}
		if fmt.Sprint(p.marks) == fmt.Sprint(known) {
			break
		}
		known = p.marks
	}
	if p.vol != b.Lay.Volumes {
		return nil, fmt.Errorf("seed %d: %d volumes, %d wanted", b.Lay.Seed, p.vol, b.Lay.Volumes)
	}
	p.turnsFromHeads()
	p.t.onlyKnownJoins(b.Lay)
	b.Lay.Width, b.Lay.Height = size[0], size[1]
	t := &Title{Lay: b.Lay, Truth: p.t, vols: p.vols}
	for _, v := range p.vols {
		var pages [][][]byte
		for _, pg := range v {
			pages = append(pages, p.lines(pg))
			p.t.Pages++
		}
		t.Pages = append(t.Pages, pages)
	}
	t.damage(p)
	n := len(t.Pages)
	first := 1
	if b.Lay.PrelimVolume {
		first = 0
	}
	for i, pages := range t.Pages {
		t.Files = append(t.Files, File{b.Lay.File.name(i+first, n), b.Lay.File.losing(b.Dice, i, n, len(pages)).Encode(b.Dice, pages, b.Lay.Width)})
	}
	return t, nil
}

func (p *press) run() {
	l := p.l
	n := l.Volumes
	for v := 1; v < n; v++ {
		p.target = append(p.target, p.b.tokens*v/n)
	}
	p.target = append(p.target, 1<<30)
	if l.Turns != "none" {
		p.label = p.b.Turns[0].Label
		p.turn = 1
		p.exact = true
	}
	if l.PrelimVolume {
		p.openVolume(0)
		p.finish()
	}
	p.openVolume(1)
	for i := range p.b.Body {
		e := &p.b.Body[i]
		if p.due() && l.Cut != "page" && (l.Cut == "paragraph" && (e.Kind == Para || e.Kind == Entry || e.Kind == Speech) || e.Kind == Heading && e.Level == 0) {
			p.closeVolume()
			p.openVolume(p.vol + 1)
		}
		switch e.Kind {
		case Heading:
			p.heading(e, i)
		case Para:
			p.para(e)
		case Verse:
			p.verse(e, i)
		case Break:
			p.scene(i)
		case Table:
			p.table(e)
		case Entry:
			p.entry(e)
		case Speech, SpeechOn:
			p.speech(e)
		case Direction:
			p.flow(e.Lines[0], 4, 4, 'd')
		case Stanza:
			p.stanza(e)
		case Recipe, Exercise:
			p.set(e)
		case Index:
			for _, line := range e.Lines {
				p.flow(line, 0, 2, 'l')
			}
		}
	}
	p.closeVolume()
}

// due reports whether the volume has had its share of the text.
func (p *press) due() bool { return p.pos >= p.target[p.vol-1] && p.vol < p.l.Volumes }

func (p *press) openVolume(v int) {
	p.finish()
	p.vol = v
	p.paper(v)
	p.vols = append(p.vols, nil)
	p.cur, p.opened, p.notes = nil, false, nil
	p.tseq, p.pseq = 0, 0
	p.lineCount = map[string]int{}
	if !p.l.RunOn {
		p.seq = 0
	}
	p.front()
	if v > 0 {
		p.startText()
	}
}

// paper sets the size of a volume's pages.
func (p *press) paper(v int) {
	if !p.l.Sizes {
		return
	}
	p.l.Height = max(15, p.size[1]-p.d.N(4, "height of volume", v))
	if p.size[0] >= 34 && !p.l.Table {
		p.l.Width = p.size[0] - p.d.N(4, "width of volume", v)
	}
}

// narrowest is the width of the narrowest paper: what stands in every volume is set
// for it, that it is the same lines in all.
func (p *press) narrowest() int {
	if p.l.Sizes && p.size[0] >= 34 && !p.l.Table {
		return p.size[0] - 3
	}
	return p.l.Width
}

// first reports whether this is the first volume of all.
func (p *press) first() bool { return len(p.vols) == 1 }

// volPages is the pages of the volume at hand.
func (p *press) volPages() []*page { return p.vols[len(p.vols)-1] }

// startText opens the first page of a volume's text, with the title again
// where the layout has it.
func (p *press) startText() {
	p.kind = "text"
	if p.l.OddStart && len(p.volPages())%2 == 1 {
		p.newPage("blank")
	}
	p.newPage("text")
	if p.l.Repeat == "all" || p.l.Repeat == "first" && p.vol == 1 {
		if p.vol == 1 {
			p.t.Float("title", words(p.b.Title), 2, 2)
			for _, line := range wrap(words(p.b.Title), p.l.Width-6) {
				p.room(1, true)
				p.put(p.centre(line))
			}
		} else {
			p.centred(p.b.Title, "title repeat")
		}
		if p.l.RepeatRule {
			p.putAs("rule", 0, p.centre(p.l.Rule))
		} else if p.d.Chance(50, "repeat blank") {
			p.blank()
		}
	} else if p.vol == 1 && p.bareTitle() {
		p.t.Float("title", words(p.b.Title), 1, 2)
	}
}

// bareTitle reports whether the first page of the text begins with the title
// as its head, without a number beside it. Paper where the title stands once
// more above the first heading looks the same to the last cell, so that an
// edition may keep it.
func (p *press) bareTitle() bool {
	l := p.l
	return (l.Style == "textbook" || l.Style == "literary") && l.Head == "title" && l.FirstPage == "full" && l.Turns == "none"
}

// newPage ends the page and begins another.
func (p *press) newPage(kind string) {
	if kind == "text" && p.opened && !p.closing && p.due() && p.l.Cut == "page" {
		p.closeVolume()
		p.openVolume(p.vol + 1)
		return
	}
	p.finish()
	h := p.l.Height
	if p.l.Heights && kind == "text" && p.d.Chance(12, "height", len(p.vols), len(p.volPages())) {
		h += p.d.Between(0, 1, "more or less", len(p.vols), len(p.volPages()))*2 - 1
	}
	pg := &page{kind: kind, rows: make([]row, h), width: p.l.Width, last: h, headRow: -1}
	v := len(p.vols) - 1
	p.vols[v] = append(p.vols[v], pg)
	pg.single = p.l.SingleText && p.d.Chance(15, "single", v, len(p.vols[v]))
	p.cur = pg
	if kind == "text" {
		pg.first = !p.opened
		p.opened = true
		pg.startTurn = p.label
		pg.startWord = len(p.t.Body)
		if p.turn < len(p.b.Turns) && p.b.Turns[p.turn].Pos == p.pos && p.l.Turns != "inline" {
			pg.startTurn = p.b.Turns[p.turn].Label
			p.since, p.exact = 0, true
		}
		pg.cont = p.since
		if p.exact && p.since == 0 {
			pg.cont = 0
		}
		p.since++
	}
	pg.chapter = p.chapter
	p.number(pg)
	p.corners(pg)
	pg.top = pg.at
	if p.l.Double && pg.headRow == 0 && p.doubled() && p.d.Chance(50, "double top") {
		pg.at++
		pg.top = pg.at
	}
	if pg.footEnd = pg.last; pg.rows[pg.last-1].corner != "" {
		pg.footEnd--
	}
	if kind == "text" && p.l.Cut == "page" && p.vol < p.l.Volumes && p.l.EndLine != "none" && p.l.EndLine != "share" {
		if p.pos+p.perPage() >= p.target[p.vol-1] {
			pg.last -= 3
		}
	}
}

// perPage guesses the words of one page from the pages set so far.
func (p *press) perPage() int {
	n := 0
	for _, v := range p.vols {
		for _, pg := range v {
			if pg.kind == "text" {
				n++
			}
		}
	}
	return p.pos / max(1, n-1)
}

// number gives a page its braille page number.
func (p *press) number(pg *page) {
	phys := len(p.volPages())
	pg.odd = phys%2 == 1
	inText := pg.kind == "blank" && p.opened // before a chapter
	if pg.kind == "text" || pg.kind == "notes" || inText {
		if p.l.Prelim == "counted" && p.seq == 0 {
			p.seq = phys - 1
		}
		p.seq++
		pg.odd = p.seq%2 == 1
		pg.label = Number(p.seq)
		if p.l.VolDigit {
			pg.label = string(rune('0'+p.vol)) + pg.label
		}
		if inText && !p.l.BlankNum {
			pg.label = "" // counted, not shown
		}
		return
	}
	switch p.l.Prelim {
	case "roman":
		pg.label = Roman(phys)
		if p.l.Code.System != "ueb" || p.l.Region == "na" || len(pg.label) == 1 {
			pg.label = ";" + pg.label
		}
	case "counted", "own":
		pg.label = Number(phys)
	case "tp":
		if pg.kind == "title" || pg.kind == "prelim" {
			p.tseq++
			pg.label = "t" + Number(p.tseq)
		} else {
			p.pseq++
			pg.label = "p" + Number(p.pseq)
		}
		if p.l.Code.System == "ebae" {
			pg.label = ";" + pg.label
		}
	}
	if pg.kind == "title" && p.l.Prelim != "tp" {
		pg.label = "" // counted, not shown
	}
	if pg.kind == "blank" && !p.l.BlankNum {
		pg.label = ""
	}
}

// lines writes a page out as lines.
func (p *press) lines(pg *page) [][]byte {
	var out [][]byte
	for _, r := range pg.rows {
		s := r.text
		if r.tail != "" {
			s += blanks(pg.width-len(r.tail)-len(s)) + r.tail
		}
		if r.corner != "" {
			s += blanks(pg.width-len(r.corner)-len(s)) + r.corner
		}
		out = append(out, bytes.TrimRight([]byte(s), " "))
	}
	return out
}

// doubled reports whether the page is double-spaced: pages of contents and
// preliminary matter stay single.
func (p *press) doubled() bool {
	return p.l.Double && !p.cur.single && (p.cur.kind == "text" || p.cur.kind == "notes")
}

// room makes sure that n more lines fit on the page, the first of them at
// once; plain asks that no number stands on those rows.
func (p *press) room(n int, plain bool) {
	if p.cur == nil || p.cur.at >= p.cur.last {
		p.newPage(p.kind)
	}
	step := 1
	if p.doubled() {
		step = 2
	}
	if p.cur.at > p.cur.top && p.cur.at+(n-1)*step >= p.cur.last {
		p.newPage(p.kind)
	}
	if plain {
		for p.cur.at < p.cur.last && p.cur.rows[p.cur.at].corner != "" {
			p.cur.at++
		}
		if p.cur.at >= p.cur.last {
			p.newPage(p.kind)
			if p.cur.rows[p.cur.at].corner != "" {
				p.cur.at++
			}
		}
	}
}

// width is the room for text on the row at hand.
func (p *press) width() int {
	if c := p.cur.rows[p.cur.at].corner; c != "" {
		return p.l.Width - len(c) - p.l.Gap
	}
	return p.l.Width
}

func (p *press) put(s string) { p.putAs("", 0, s) }

// putAs sets one line and says what it is: "" is text of the book. join tells
// how its last word goes on in the next line.
func (p *press) putAs(kind string, join byte, s string) {
	p.room(1, false)
	r := &p.cur.rows[p.cur.at]
	r.text, r.kind, r.join = s, kind, join
	p.cur.at++
	if p.doubled() {
		p.cur.at++
	}
}

// blank leaves a blank line that means something; at the top of a page it is
// lost, unless the layout keeps it there.
func (p *press) blank() {
	if p.cur == nil || p.cur.at >= p.cur.last {
		return
	}
	if p.cur.at == p.cur.top && (!p.l.TopBlank || p.cur.first) {
		return
	}
	p.cur.at++
	if p.doubled() {
		p.cur.at++
	}
}

func (p *press) centre(s string) string {
	return blanks((p.l.Width-len(s)+p.d.N(2, "centre"))/2) + s
}

// centred puts words on as many centred lines as they need.
func (p *press) centred(cells, kind string) {
	for _, line := range wrap(words(cells), p.l.Width-6) {
		p.room(1, true)
		p.t.Gone(kind, line)
		p.putAs(kind, 0, p.centre(line))
	}
}

func wrap(w []string, width int) []string {
	var out []string
	line := ""
	for _, x := range w {
		if line != "" && len(line)+1+len(x) > width {
			out = append(out, line)
			line = ""
		}
		if line != "" {
			line += " "
		}
		line += x
	}
	if line != "" {
		out = append(out, line)
	}
	return out
}

func words(s string) []string  { return strings.Fields(s) }
func join(w []string) string   { return strings.Join(w, " ") }
func (p *press) atTop() bool   { return p.cur.at == p.cur.top }
func (p *press) step() int     { return map[bool]int{true: 2, false: 1}[p.doubled()] }
func (p *press) rowsLeft() int { return (p.cur.last - p.cur.at + p.step() - 1) / p.step() }
