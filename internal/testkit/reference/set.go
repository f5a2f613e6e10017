package reference

import (
	"slices"
	"strings"

	"continuo/internal/testkit"
)

// place is where a heading came to stand.
type place struct {
	vol   int // from 1
	page  string
	print string // print page
	shown string // print page in the head of its braille page
	body  int
	on    *page
}

// page is a braille page.
type page struct {
	kind         string // "title", "prelim", "list", "front", "text", "notes", "blank"
	n            int    // in its volume's row of numbers
	label        string
	rows         []string
	from, to     string // first and last print page
	cont         int    // how many braille pages of this print page went before
	first, last  string // headwords
	section      string
	top, bottom  int // rows of page information
	topLen, foot int // cells of a number that shares the first, the last row
	notes        []string
	noted        int  // notes referred to
	opens        bool // its section begins on it
	firstText    bool
	body         int // first word of the text on it
	turns        []string
	shown        string // print page in its head
}

// volume is a volume: its preliminary pages and those of its text.
type volume struct {
	text, all []*page
	front     int // pages of its text that hold prefatory matter
}

// waiting is a note that is referred to and not set yet.
type waiting struct {
	n, ref        int
	mark, atNote  string
	chapter, page string
	no            int
}

// press sets a book.
type press struct {
	b    *book
	h    *house
	d    testkit.Dice
	t    *testkit.Truth
	vols []*volume
	cur  *page
	kind string // of pages that begin

	label, first string // print page at hand, and of the page's first word
	cont         int
	section      string
	chapter      string // wording of the chapter's number over its notes
	chapterHead  *elem
	noteNo       int
	remarks      int
	unseen       *testkit.WantTurn // a turn that the head of the next page may show
	pend         []waiting
	carry        []string // lines of a note that go over the page end
	opening      bool     // the next page begins with a heading
	closing      bool     // notes at the end of a volume are being set

	noted      map[string]int // notes set so far, by their number and words
	places     map[*elem]place
	known      map[*elem]place // of the pass before
	fronts     []counts        // of the pass before
	target     *[]*page        // where pages go
	frontPages int             // of the volume at hand, so far
	say        map[string]string
}

func (p *press) vol() int           { return len(p.vols) }
func (p *press) v() *volume         { return p.vols[len(p.vols)-1] }
func center(s string, w int) string { return strings.Repeat(" ", max(0, (w-len(s))/2)) + s }
func blanks(n int) string           { return strings.Repeat(" ", max(0, n)) }

// house is the house's habits in the volume at hand.
func (p *press) odd() bool { return p.cur.n%2 == 1 }

// begin begins a page.
func (p *press) begin() {
	if p.cur != nil {
		p.close()
	}
	pages := p.target
	n, label := p.number(p.kind, len(*pages))
	opens := p.opening || p.kind == "prelim"
	p.opening = false
	if p.kind == "front" {
		p.frontPages++
		p.v().front = p.frontPages
	}
	p.cur = &page{kind: p.kind, n: n, label: label, opens: opens, firstText: p.kind == "text" && len(*pages) == p.frontPages, section: p.section, from: p.label, cont: p.cont, body: len(p.t.Body)}
	*pages = append(*pages, p.cur)
	p.frame(p.cur)
	if len(p.carry) > 0 {
		if p.h.noteRule {
			p.cur.notes = []string{p.noteRuleLine()}
		}
		n := min(len(p.carry), p.h.height-10)
		p.cur.notes = append(p.cur.notes, p.carry[:n]...)
		p.carry = p.carry[n:]
		p.noShare()
	}
}

// noShare gives the number at the foot a row of its own, under notes.
func (p *press) noShare() {
	if p.cur.foot > 0 {
		p.cur.foot, p.cur.bottom = 0, 1
	}
}

// frame settles which rows of a page are free.
func (p *press) frame(pg *page) {
	h := p.h
	left, mid, right := p.topLine(pg)
	switch {
	case left+mid == "" && right == "":
	case left+mid == "" && h.shareTop:
		pg.topLen = max(len(right), len(p.printLabel(pg)))
	default:
		pg.top = 1
		if h.underHead && mid != "" {
			pg.top = 2
		}
	}
	left, mid, right = p.footLine(pg)
	switch {
	case left+mid+right == "":
	case left+mid == "" && h.shareFoot:
		pg.foot = len(right)
	default:
		pg.bottom = 1
	}
}

// printLabel is the print page number in a page's corner.
func (p *press) printLabel(pg *page) string {
	if pg.kind != "text" && pg.kind != "front" && !(pg.kind == "notes" && p.h.notes == "book") {
		return ""
	}
	s := pg.from
	if s == "" {
		return ""
	}
	if p.h.letters2 && pg.cont > 0 {
		s = string(rune('a'+(pg.cont-1)%26)) + s
	}
	if p.h.printRange && pg.to != "" && pg.to != pg.from {
		to := pg.to
		if p.h.code.System == "ebae" && strings.HasPrefix(s, "#") {
			to = strings.TrimPrefix(to, "#")
		}
		s += "-" + to
	}
	return s
}

func (p *press) numbered(pg *page) bool {
	return pg.label != "" && !(p.h.oddOnly && pg.n%2 == 0)
}

// headWords is the running head of a page.
func (p *press) headWords(pg *page) string {
	h := p.h
	if h.head == "" || h.headOdd && pg.n%2 == 0 || pg.firstText && h.firstPlain || pg.kind == "title" || pg.kind == "blank" {
		return ""
	}
	if pg.opens && h.head == "section" && (!strings.HasPrefix(h.number, "t") || !p.numbered(pg)) && (!strings.HasPrefix(h.printAt, "t") || p.printLabel(pg) == "") && !h.headFoot {
		return "" // nobody sets a head alone on its line right over its heading
	}
	s := p.say["title"]
	switch {
	case pg.first != "" && p.b.kind == "dictionary":
		switch h.guideForm {
		case "both", "sides":
			s = pg.first + " - " + pg.last
			if p.h.code.System == "ueb" {
				s = pg.first + "-" + pg.last
			}
		default:
			s = pg.first
		}
	case h.head == "section" && pg.section != "":
		s = pg.section
	case h.head == "author":
		s = p.say["author"] + " " + s
	}
	if h.headPlain {
		s = strings.ReplaceAll(s, ",", "")
		if h.code.System != "ueb" {
			s = p.say["title"]
		}
	}
	return s
}

// topLine gives the left, middle and right of line 1.
func (p *press) topLine(pg *page) (left, mid, right string) {
	h := p.h
	if pg.kind == "title" || pg.kind == "blank" {
		return
	}
	if !h.headFoot {
		mid = p.headWords(pg)
	}
	if p.numbered(pg) {
		switch h.number {
		case "tr":
			right = pg.label
		case "tl":
			left = pg.label
		}
	}
	if h.headOdd && pg.n%2 == 0 {
		return // such pages have no print page either
	}
	switch h.printAt {
	case "tl":
		left = p.printLabel(pg)
	case "tr":
		right = p.printLabel(pg)
	}
	return
}

// footLine gives the left, middle and right of the last line.
func (p *press) footLine(pg *page) (left, mid, right string) {
	h := p.h
	if pg.kind == "title" || pg.kind == "blank" {
		return
	}
	if h.headFoot {
		mid = p.headWords(pg)
	}
	if p.numbered(pg) {
		switch h.number {
		case "br":
			right = pg.label
		case "bl":
			left = pg.label
		case "bm":
			mid = pg.label
		}
	}
	switch h.printAt {
	case "bl":
		left = p.printLabel(pg)
	case "br":
		right = p.printLabel(pg)
	}
	return
}

// compose sets the parts of a page information line. Words that do not fit are
// left out from the end (common practice).
func (p *press) compose(left, mid, right string) string {
	w := p.h.width
	room := w - 2*max(len(left), len(right)) - 6
	if p.h.centreIn {
		room = w - len(left) - len(right) - 6
	}
	for len(mid) > room {
		i := strings.LastIndexByte(mid, ' ')
		if i < 0 {
			mid = ""
			break
		}
		mid = strings.TrimRight(mid[:i], " -3")
	}
	at := (w - len(mid)) / 2
	if p.h.centreIn {
		at = len(left) + (w-len(left)-len(right)-len(mid))/2
	}
	if p.h.headLeft && left == "" {
		at = 0
	}
	s := left
	if mid != "" {
		s += blanks(at-len(s)) + mid
	}
	if right != "" {
		s += blanks(w-len(s)-len(right)) + right
	}
	if s != "" {
		p.t.Gone("page head", s)
		if mid != "" {
			p.t.Gone("page head", mid)
		}
	}
	return s
}

// close fills a page: its notes, its lines of page information.
func (p *press) close() {
	pg, h := p.cur, p.h
	if pg == nil {
		return
	}
	pg.to = p.label
	p.cont++
	body := h.height - pg.top - pg.bottom
	free := body - len(pg.notes)
	for len(pg.rows) < free {
		pg.rows = append(pg.rows, "")
	}
	pg.rows = append(pg.rows, pg.notes...)
	p.furnish(pg)
	if h.turns == "head" {
		p.headTurns(pg)
	}
	p.cur = nil
}

// furnish puts the lines of page information on a page.
func (p *press) furnish(pg *page) {
	h := p.h
	left, mid, right := p.topLine(pg)
	top := p.compose(left, mid, right)
	switch {
	case pg.top > 0:
		rows := []string{top}
		for len(rows) < pg.top {
			rows = append(rows, "")
		}
		pg.rows = append(rows, pg.rows...)
	case right != "" && pg.topLen > 0:
		pg.rows[0] += blanks(h.width-len(pg.rows[0])-len(right)) + right
	}
	left, mid, right = p.footLine(pg)
	switch {
	case pg.bottom > 0:
		pg.rows = append(pg.rows, p.compose(left, mid, right))
	case pg.foot > 0:
		for len(pg.rows) < h.height {
			pg.rows = append(pg.rows, "")
		}
		k := len(pg.rows) - 1
		pg.rows[k] += blanks(h.width-len(pg.rows[k])-len(right)) + right
	}
	pg.shown = p.printLabel(pg)
}

// headTurns notes the turns that only the heads show: the edition can show one
// anywhere from the top of its page to that of the next.
func (p *press) headTurns(pg *page) {
	if w := p.unseen; w != nil {
		if p.unseen = nil; pg.from == w.Label {
			p.t.Turns = append(p.t.Turns, *w)
		} else {
			p.t.Optional[w.Label] = true // no page begins with it
		}
	}
	for i, l := range pg.turns {
		w := testkit.WantTurn{Label: l, From: pg.body, To: len(p.t.Body)}
		switch {
		case l == "":
			p.t.Optional[l] = true
		case pg.from == l || i == len(pg.turns)-1 && p.h.printRange:
			p.t.Turns = append(p.t.Turns, w)
		case i == len(pg.turns)-1:
			p.unseen = &w
		default:
			p.t.Optional[l] = true
		}
	}
}

// left is how many rows are free.
func (p *press) left() int {
	return p.h.height - p.cur.top - p.cur.bottom - len(p.cur.rows) - len(p.cur.notes)
}

func (p *press) atTop() bool { return p.cur == nil || len(p.cur.rows) == 0 }

// room begins a page, or a volume, where fewer than n rows are free.
func (p *press) room(n int) {
	if p.cur != nil && p.left() >= n {
		return
	}
	if p.cur != nil && p.h.cut == "page" && p.full() {
		p.endVolume()
	}
	p.begin()
}

// full reports whether the volume has its pages, and text enough follows.
func (p *press) full() bool {
	return !p.closing && p.kind == "text" && len(p.v().text) >= p.h.volumePages && p.vol() < 5
}

// width is the room on the next row.
func (p *press) width() int {
	w := p.h.width
	if len(p.cur.rows) == 0 && p.cur.topLen > 0 {
		w -= p.cur.topLen + p.h.gapCells
	}
	if p.cur.foot > 0 && p.left() == 1 && len(p.cur.notes) == 0 {
		w -= p.cur.foot + p.h.gapCells
	}
	return w
}

func (p *press) put(s string) {
	p.cur.rows = append(p.cur.rows, s)
}

// blank puts a blank line, but not at the top of a page.
func (p *press) blank() {
	if p.cur == nil || len(p.cur.rows) > 0 && p.cur.rows[len(p.cur.rows)-1] == "" {
		return
	}
	if p.atTop() && !p.h.topBlank {
		return
	}
	if p.left() > 0 {
		p.cur.rows = append(p.cur.rows, "")
	}
}

// turnLine takes up a print page turn at the start of a line.
func (p *press) turnLine(t *turn) {
	h := p.h
	old := p.label
	p.flush("print")
	set := func() { p.label, p.cont = t.label, 0 }
	n := len(p.t.Body)
	want := func(marked bool) {
		p.t.Turns = append(p.t.Turns, testkit.WantTurn{Label: t.label, From: n, To: n, Marked: marked})
	}
	if h.turns == "head" {
		p.room(1) // the page that ends does not show it
	}
	need := 2
	if p.cur != nil && p.left() >= need && !p.atTop() || h.turns == "head" {
		set()
		if h.turns == "head" {
			p.headTurn(t, n)
			return
		}
		p.mark(t.label)
		want(true)
		return
	}
	// It falls at the top of a page, whose corner tells it where there is one.
	if p.cur == nil || !p.atTop() {
		if p.cur != nil && h.cut == "page" && p.full() {
			p.endVolume()
		} else if p.cur != nil {
			p.close()
		}
		set()
		p.begin()
	} else {
		set()
		p.cur.from, p.cur.cont = t.label, 0
		if p.cur.topLen > 0 {
			p.cur.topLen = max(len(p.printLabel(p.cur)), 1)
		}
	}
	p.cur.from = t.label
	corner := h.printAt != "" && t.label != "" && !(h.headOdd && p.cur.n%2 == 0)
	switch {
	case t.label == "" && corner, t.label == "":
		p.t.Optional[""] = true
	case !corner || h.turnAtTop && h.turns != "row":
		p.mark(t.label)
		want(true)
	default:
		want(false)
	}
	_ = old
}

// headTurn takes up a turn that the heads alone tell.
func (p *press) headTurn(t *turn, n int) {
	if p.atTop() && len(p.cur.turns) == 0 {
		p.cur.from, p.cur.cont = t.label, 0
	}
	p.cur.turns = append(p.cur.turns, t.label)
}

// mark sets the mark of a print page turn on a line of its own.
func (p *press) mark(label string) {
	h := p.h
	if h.turns == "row" {
		p.put(strings.Repeat("-", h.width-len(label)) + label)
		return
	}
	p.put(center(p.inline(label), h.width))
}

func (p *press) inline(label string) string {
	if p.h.turnSpace {
		return `"3 ` + label
	}
	return `"3` + label
}

// flow sets words in lines.
func (p *press) flow(ws []word, first, over int, start byte) {
	for i := 0; i < len(ws); {
		if t := ws[i].turn; t != nil && p.h.turns != "inline" {
			p.turnLine(t)
			ws[i].turn = nil
			continue
		}
		p.room(1)
		indent := over
		if i == 0 {
			indent = first
		}
		line, n, refs, turns := p.line(ws[i:], p.width()-indent)
		if n == 0 && line == "" {
			if p.width() < p.h.width {
				p.put("") // beside a number there is no room
				continue
			}
			line, n = ws[i].cells, 1
		}
		if len(refs) > 0 && p.h.notes == "foot" && !p.footRoom(refs) {
			p.skipPage()
			continue
		}
		for k, l := range turns {
			if l != "" {
				if k == 0 && len(p.cur.rows) == 0 {
					p.cur.from, p.cur.cont = l, 0
				}
				at := len(p.t.Body) + k
				p.t.Turns = append(p.t.Turns, testkit.WantTurn{Label: l, From: at, To: at, Marked: true})
				p.label, p.cont = l, 0
			}
		}
		p.want(ws[i:i+n], refs, i == 0, start)
		p.put(blanks(indent) + line)
		i += n
	}
}

// skipPage ends a page that has no room for the notes of the next line.
func (p *press) skipPage() {
	if p.h.cut == "page" && p.full() {
		p.endVolume()
	}
	p.begin()
}

// line takes as many words as fit; turns says which begin a print page that is
// marked in the line.
func (p *press) line(ws []word, width int) (line string, n int, refs []waiting, turns []string) {
	for n < len(ws) {
		w := ws[n]
		s, label := w.cells, ""
		if w.turn != nil {
			if p.h.turns != "inline" && n > 0 {
				break
			}
			if p.h.turns == "inline" {
				label = w.turn.label
			}
		}
		var ref waiting
		if w.note > 0 {
			ref = p.ref(w.note, len(refs))
			if p.detached() {
				s += " " + ref.mark
			} else {
				s += ref.mark
			}
		}
		if label != "" {
			s = p.inline(label) + " " + s
		}
		if line != "" {
			s = line + " " + s
		}
		if len(s) > width {
			break
		}
		line, n, turns = s, n+1, append(turns, label)
		if w.note > 0 {
			refs = append(refs, ref)
		}
	}
	return
}

// want notes the words of a line in the truth, and the notes they refer to.
func (p *press) want(ws []word, refs []waiting, first bool, start byte) {
	for k, w := range ws {
		x := testkit.Want{Cells: w.cells}
		if first && k == 0 {
			x.Start = start
		}
		if w.note == 0 {
			p.t.Body = append(p.t.Body, x)
			continue
		}
		r := refs[0]
		refs = refs[1:]
		if p.detached() {
			p.t.Body = append(p.t.Body, x, testkit.Want{Cells: r.mark})
		} else {
			x.Cells += r.mark
			p.t.Body = append(p.t.Body, x)
		}
		r.ref = len(p.t.Body) - 1
		p.refer(r)
	}
}

// group sets lines that stay together: a heading with rows of text after it.
func (p *press) group(lines []string, after int) {
	p.room(len(lines) + after)
}

// wrap divides words into lines.
func wrap(ws []string, width, first, over int) []string {
	var out []string
	line, indent := "", first
	for _, w := range ws {
		if line != "" && indent+len(line)+1+len(w) > width {
			out = append(out, blanks(indent)+line)
			line, indent = "", over
		}
		if line != "" {
			line += " "
		}
		line += w
	}
	if line != "" {
		out = append(out, blanks(indent)+line)
	}
	return out
}

func cellsOf(ws []word) []string {
	var out []string
	for _, w := range ws {
		out = append(out, w.cells)
	}
	return out
}

// heading sets a heading.
func (p *press) heading(e *elem) {
	h := p.h
	if e.level < 3 {
		p.section = e.shortCells
		if e.level == 2 {
			p.section = p.chapterShort()
		}
		p.opening = p.cur == nil
	}
	for _, l := range e.words {
		for j := range l {
			if t := l[j].turn; t != nil {
				p.turnLine(t)
				l[j].turn = nil
			}
		}
	}
	if e.level < 3 {
		if p.cur != nil && p.atTop() {
			p.cur.section, p.cur.opens = p.section, e.level < 2
		}
	}
	other := p.vol()-1 == h.other
	lines := p.headLines(e, other)
	blank := h.blankBefore || other
	n := len(lines) + 3
	p.opening = e.level < 2 && (p.cur == nil || p.left() < n)
	p.room(n)
	p.opening = false
	if p.atTop() && p.cur.topLen > 0 {
		lines = p.headLines(e, other) // beside a number there is less room
	}
	if blank {
		p.blank()
	}
	p.places[e] = place{vol: p.vol(), page: p.cur.label, print: p.label, body: len(p.t.Body), on: p.cur}
	list := e.listCells
	if h.place == "comma" && !(e.level == 0 && (h.partBare || h.partCentre)) {
		list += "1" // as its entry has it
	}
	level := e.level + 1
	if e.matter {
		level = 0
	}
	p.t.Heads = append(p.t.Heads, testkit.Head{At: len(p.t.Body), Words: list, Level: level, Listed: e.listed})
	at := 'h'
	for _, l := range e.words {
		for _, w := range l {
			p.t.Body = append(p.t.Body, testkit.Want{Cells: w.cells, Start: byte(at)})
			at = 0
		}
	}
	for _, l := range lines {
		p.put(l)
	}
	if h.blankAfter && e.level < 2 || e.level == 2 && h.sectionAt == 0 || e.level < 2 && h.chapterAt == "centre" && other {
		p.blank()
	}
}

func (p *press) chapterShort() string {
	if p.chapterHead == nil {
		return p.section
	}
	return p.chapterHead.shortCells
}

// headLines divides a heading into lines.
func (p *press) headLines(e *elem, other bool) []string {
	h := p.h
	at := -1
	switch {
	case e.level == 3 && h.letters == "cell5":
		at = 4
	case e.level == 2:
		if at = h.sectionAt; other && at >= 0 {
			at = 4 - at
		}
	case e.level == 1 && h.chapterAt == "cell5":
		at = 4
	}
	var out []string
	for _, l := range e.words {
		if at >= 0 {
			room := h.width - 6
			if p.cur != nil && p.atTop() && p.cur.topLen > 0 {
				room = min(room, h.width-p.cur.topLen-max(3, h.gapCells))
			}
			out = append(out, wrap(cellsOf(l), room, at, at)...)
			continue
		}
		room := h.width - 8
		if p.cur != nil && p.atTop() && p.cur.topLen > 0 {
			room = h.width - 2*(p.cur.topLen+max(3, h.gapCells))
		}
		for _, s := range wrap(cellsOf(l), room, 0, 0) {
			out = append(out, center(s, h.width))
		}
	}
	return out
}

// endVolume ends the volume at hand and begins the next.
func (p *press) endVolume() {
	p.closing = true
	kind := p.kind
	p.flushPages()
	p.flush("print")
	p.flush("volume")
	p.endLine(false)
	p.close()
	p.closing, p.kind = false, kind
	p.vols = append(p.vols, &volume{})
	p.target, p.frontPages = &p.v().text, 0
}

// flushPages sets what is left of a note that goes over the end of a page.
func (p *press) flushPages() {
	for len(p.carry) > 0 {
		p.begin()
	}
}

// endLine says that the volume, or the book, ends.
func (p *press) endLine(book bool) {
	h := p.h
	s := p.say[mapEnd(p.vol())]
	if book {
		s = p.say["the end"]
	} else if h.endLine == "go on" {
		s = p.say[mapNext(p.vol()+1)]
	}
	if h.endLine == "" || s == "" {
		return
	}
	if h.endLine == "signs" {
		open, shut := p.signs()
		s = open + s + shut
	}
	p.room(2)
	if p.left() < 1 {
		return
	}
	if h.endLine == "last" && len(p.cur.notes) == 0 {
		for p.left() > 1 {
			p.put("")
		}
		if len(s)+p.cur.foot+8 > h.width {
			return
		}
	} else {
		p.put("")
	}
	if p.left() < 1 {
		return
	}
	p.put(center(s, h.width))
	if book {
		p.t.Float("end of book", strings.Fields(s), map[bool]int{true: 0, false: 1}[h.endLine == "signs"], 1)
	} else {
		p.t.Gone("end of volume", s)
	}
}

// signs are those of transcriber's notes.
func (p *press) signs() (open, shut string) {
	switch p.h.code.System {
	case "ueb":
		return "@.<", "@.>"
	case "ebae":
		return ",'", ",'"
	}
	return ",7", "7'"
}

// body sets the elements of the book.
func (p *press) body() {
	p.vols = []*volume{{}}
	p.target = &p.v().text
	for i, e := range p.b.elems {
		p.elem(i, e)
	}
	if p.cur != nil {
		p.closing = true
		p.flush("chapter")
		p.flush("print")
		p.flushPages()
		p.flush("volume")
		p.flush("book")
		if p.h.contents != "back" {
			p.endLine(true)
		}
		p.close()
	}
}

// elem sets an element.
func (p *press) elem(i int, e *elem) {
	h := p.h
	major := e.kind == heading && e.level < 2
	if major && e.level == 1 || major && e.level == 0 {
		p.flush("chapter")
		if h.endRule && p.cur != nil && p.left() > 2 && !p.atTop() {
			p.put(center(p.rule(), h.width))
		}
	}
	kind := "text"
	if e.front || p.kind == "front" && !major && e.kind != entry {
		kind = "front"
	}
	if p.cur != nil && (p.kind != kind || major && h.chapterPage && !p.afterPart(i)) {
		if p.kind == "text" && p.full() && p.b.elems[i-1].kind != heading {
			p.endVolume()
		} else {
			p.close()
		}
	} else if p.cur != nil && p.full() && (h.cut == "paragraph" && e.kind == para || major) && p.b.elems[i-1].kind != heading {
		p.endVolume()
	}
	p.kind = kind
	if p.vol() > 1 && len(p.v().text) == 0 {
		p.volumeStart(e)
	}
	if major {
		p.flush("book chapter")
		if h.noteCount == "chapter" {
			p.noteNo = 0
		}
		if e.level == 1 {
			p.chapterHead = e
			p.chapter = e.nameCells
		}
	}
	p.one(i, e)
}

func (p *press) afterPart(i int) bool {
	return i > 0 && p.b.elems[i-1].kind == heading && p.b.elems[i-1].level == 0
}

func (p *press) rule() string {
	if p.h.code.System == "ueb" {
		return `"33333333333`
	}
	return "333333333333"
}

// one sets an element where it stands.
func (p *press) one(i int, e *elem) {
	h := p.h
	switch e.kind {
	case heading:
		p.heading(e)
	case para:
		if h.block {
			p.blank()
			p.flow(e.words[0], 0, 0, 'p')
		} else {
			p.flow(e.words[0], 2, 0, 'p')
		}
		p.flush("after")
	case item:
		p.item(e)
	case entry:
		p.entry(e)
	case tableRow:
		p.table(e)
	case boxTop, boxEnd:
		p.box(e)
	case gap:
		p.blank()
	case remark:
		p.remark(e)
	}
}

// item sets an item of a list: runovers beyond the deepest item, or at its own
// cell.
func (p *press) item(e *elem) {
	over := 2 + p.h.listOver
	if p.h.listOwn && p.b.kind == "handbook" {
		over = 2 * e.level
	}
	p.head(e.shortCells)
	p.flow(e.words[0], 2*e.level, over, 'l')
}

func (p *press) head(s string) {
	if s == "" || p.cur == nil {
		return
	}
}

// entry sets an entry of a dictionary.
func (p *press) entry(e *elem) {
	if p.h.termBlank {
		p.blank()
	}
	if p.cur == nil || p.left() < 1 {
		p.room(1)
	}
	if p.cur.first == "" {
		p.cur.first = e.termCells
	}
	f := strings.Fields(e.termCells)
	if ws := e.words[0]; ws[0].turn != nil {
		p.turnLineOrNot(&ws[0])
	}
	cells := strings.Join(cellsOf(e.words[0][:len(f)]), " ")
	p.t.Terms = append(p.t.Terms, testkit.WantTerm{Cells: cells, Short: e.termCells, Body: len(p.t.Body)})
	p.room(1)
	if p.cur.first == "" {
		p.cur.first = e.termCells
	}
	p.cur.last = e.termCells
	p.flow(e.words[0], 0, p.h.termOver, 'l')
}

func (p *press) turnLineOrNot(w *word) {
	if p.h.turns != "inline" {
		p.turnLine(w.turn)
		w.turn = nil
	}
}

// table sets a row of a table; the first has a line under each column (Rules of
// UEB 2013, 16.2).
func (p *press) table(e *elem) {
	ws := slices.Concat(e.words...)
	for i := range ws {
		if t := ws[i].turn; t != nil {
			p.turnLine(t)
			ws[i].turn = nil
		}
	}
	n := 1
	if e.level == 1 {
		n = 5
	}
	p.room(n)
	if p.width() < p.h.width {
		p.put("")
		if p.left() < n {
			p.begin()
			if p.width() < p.h.width {
				p.put("")
			}
		}
	}
	s, under := "", ""
	for i, w := range ws {
		s += blanks(i*11-len(s)) + w.cells
		under += blanks(i*11-len(under)) + `"` + strings.Repeat("3", max(2, len(w.cells)-1))
	}
	p.want(ws, nil, true, 'l')
	p.put(s)
	if e.level == 1 {
		for _, w := range strings.Fields(under) {
			p.t.Body = append(p.t.Body, testkit.Want{Cells: w})
		}
		p.put(under)
	}
}

// box sets the line over or under a box (BANA, Braille Formats 2016, section 7).
func (p *press) box(e *elem) {
	if !p.h.boxes {
		return
	}
	if e.kind == boxTop {
		p.room(5)
		p.blank()
		if p.width() < p.h.width {
			p.put("")
		}
		p.put(strings.Repeat("7", p.h.width))
		return
	}
	p.room(1)
	if p.width() < p.h.width {
		p.begin()
		if p.width() < p.h.width {
			p.put("")
		}
	}
	p.put(strings.Repeat("g", p.h.width))
	p.blank()
}

// remark sets a note of the transcriber between paragraphs, in cells 7 and 5.
func (p *press) remark(e *elem) {
	open, shut := p.signs()
	ws := cellsOf(e.words[0])
	for i := range e.words[0] {
		if t := e.words[0][i].turn; t != nil {
			p.turnLine(t)
			e.words[0][i].turn = nil
		}
	}
	ws[0] = open + ws[0]
	ws[len(ws)-1] += shut
	lines := wrap(ws, p.h.width-8, 6, 4)
	p.room(len(lines) + 1)
	if p.width() < p.h.width {
		p.put("")
	}
	p.remarks++ // the same words may stand in several chapters
	p.t.Float("remark", slices.Clone(ws), 1, p.remarks)
	for _, l := range lines {
		p.put(l)
	}
}

// volumeStart begins a later volume's text: the title or the chapter's heading
// may stand there again.
func (p *press) volumeStart(e *elem) {
	if !p.h.chapterOn || p.chapterHead == nil || e.kind == heading {
		return
	}
	p.begin()
	s := strings.Join(cellsOf(p.chapterHead.words[len(p.chapterHead.words)-1]), " ") + " " + p.say["continued"]
	room := p.h.width - 8
	if p.cur.topLen > 0 { // beside a number there is less room
		room = p.h.width - 2*(p.cur.topLen+max(3, p.h.gapCells))
	}
	for _, l := range wrap(strings.Fields(s), room, 0, 0) {
		p.put(center(l, p.h.width))
	}
	p.put("")
	p.t.Float("chapter that goes on", strings.Fields(s), 0, 5)
}
