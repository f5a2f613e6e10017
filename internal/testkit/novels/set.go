package novels

import (
	"slices"
	"strings"

	"continuo/internal/testkit"
)

// row is a line of a page. Text may take its first most cells; taken rows hold
// furniture or none.
type row struct {
	s     string
	most  int
	right string // number that shares the row
	taken bool
}

// sheet is one side of a leaf.
type sheet struct {
	kind       string // "title", "prelim", "text", "notes", "blank"
	n          int    // place in the volume, from 1
	label      string // braille page
	print, end string // print page at its start and end, letters with it
	chapter    string
	first      bool // of the text of its volume
	odd        bool
	rows       []row
	at, limit  int
	foot       []string
	word       int // first word of the text on it
	last       int // last row used by text
}

// setter sets a book in pages.
type setter struct {
	f, g               *form // of the book, and of the hand that sets the volume
	d                  dice
	say                func(string) string
	t                  *testkit.Truth
	vols               [][]*sheet
	cur                *sheet
	kind               string
	vol, total         int
	gap                bool // a blank line is due
	seq                int  // braille page number
	prelims            int
	pos                int // words of the text set
	turns              []turn
	label              string // print page now
	since              int    // braille pages begun on it
	pagesText          int    // of text in the volume
	chapter            string
	marks              []mark // headings of this pass
	known              []mark // of the last
	shown              []turn
	due                []ref
	free               map[int]bool
	may                map[string]bool
	count              map[string]int // lines of preliminary matter in this volume
	noteNo             int
	inFlow             bool
	closing            bool
	pages              map[int]string // braille pages of volumes, of the last pass
	nowPages           map[int]string
	heads              int
	noteHeads          map[string]int
	again              map[string]int
	chapterItem        *item
	afterHead, newPage bool
}

type turn struct {
	pos   int
	label string
}

type mark struct {
	entry          string
	braille, print string
	vol, level     int
}

type ref struct {
	at         int
	mark, text string
	label      string
	chapter    string
}

type word struct {
	cells string
	note  *ref
	whole *testkit.Want // of which it is the second part
}

func split(s string) []word {
	var out []word
	for _, w := range strings.Fields(s) {
		out = append(out, word{cells: w})
	}
	return out
}

func blanks(n int) string { return strings.Repeat(" ", max(0, n)) }

// middle puts text in the middle of a width.
func (s *setter) middle(text string, width int) string {
	n := width - len(text)
	if s.g.HeadPlace == "ceil" {
		n++
	}
	return blanks(n/2) + text
}

func (s *setter) step() int {
	switch s.f.Double {
	case "all":
		return 2
	case "later":
		if s.vol > 1 {
			return 2
		}
	case "front":
		if s.vol == 1 {
			return 2
		}
	}
	return 1
}

// has reports whether the pages on which heads stand include this one.
func on(which string, p *sheet) bool { return which == "all" || p.odd }

func (s *setter) shows(p *sheet, what string) bool {
	f := s.f
	return on(f.TopOn, p) && (f.TopL == what || f.TopM == what || f.TopR == what) || on(f.BotOn, p) && (f.BotL == what || f.BotM == what || f.BotR == what)
}

// newSheet begins a page.
func (s *setter) newSheet() {
	f := s.f
	if s.kind == "text" && s.inFlow && f.Cut == "page" && s.pagesText >= f.PagesEach && !s.closing {
		s.endVolume(true)
		s.startVolume(true)
		return
	}
	s.finish()
	pages := s.vols[s.vol-1]
	p := &sheet{kind: s.kind, n: len(pages) + 1, rows: make([]row, f.Height), limit: f.Height, chapter: s.chapter, word: s.pos}
	if s.kind == "text" || s.kind == "notes" {
		s.pagesText++
		p.first = s.pagesText == 1
	}
	s.number(p)
	if p.kind == "text" {
		s.turnAtTop(p)
		p.print = s.printLabel()
		s.since++
	}
	for i := range p.rows {
		p.rows[i].most = f.Width
	}
	s.reserve(p, 0, s.corners(p, true), f.Share)
	s.reserve(p, f.Height-1, s.corners(p, false), f.ShareFoot)
	if p.rows[0].taken && s.step() == 2 {
		p.at = 2
	}
	if s.kind == "text" && f.Cut == "page" && s.pagesText >= f.PagesEach && f.EndLine != "" {
		p.limit -= 3 * s.step()
	}
	s.vols[s.vol-1] = append(pages, p)
	s.cur = p
	if p.first && s.kind == "text" {
		s.startTitle(p)
	}
}

// number gives a page its braille page number.
func (s *setter) number(p *sheet) {
	f := s.f
	front := p.kind == "title" || p.kind == "prelim"
	switch {
	case front && f.Prelim == "counted":
		s.seq++
		p.label = testkit.Number(s.seq)
	case front || p.kind == "blank" && s.pagesText == 0 && f.Prelim != "counted":
		s.prelims++
		switch f.Prelim {
		case "roman":
			if p.label = testkit.Roman(s.prelims); f.Code.System != "ueb" || strings.Contains("ivxlcdm", p.label) {
				p.label = ";" + p.label
			}
		case "tp":
			letter := "p"
			if p.kind == "title" {
				letter = "t"
			}
			if p.label = letter + testkit.Number(s.prelims); f.Code.System != "ueb" {
				p.label = ";" + p.label
			}
		case "own":
			p.label = testkit.Number(s.prelims)
		}
	default:
		s.seq++
		p.label = testkit.Number(s.seq)
	}
	if p.odd = p.n%2 == 1; p.kind == "text" || p.kind == "notes" {
		p.odd = s.seq%2 == 1 // right-hand pages have odd numbers
	}
	if p.kind == "title" && p.n == 1 {
		p.label = ""
	}
}

// turnAtTop takes a print page that begins with this page and needs no mark.
func (s *setter) turnAtTop(p *sheet) {
	for len(s.turns) > 0 && s.turns[0].pos <= s.pos && (s.f.Turns == "head" || s.shows(p, "print") && !s.f.TopTurn) {
		s.label, s.since = s.turns[0].label, 0
		s.t.Turns = append(s.t.Turns, testkit.WantTurn{Label: s.label, From: s.pos, To: s.pos})
		s.turns = s.turns[1:]
	}
	if s.shows(p, "print") {
		s.shown = append(s.shown, turn{s.pos, s.label})
	}
}

func (s *setter) printLabel() string {
	if s.f.Letters && s.since > 0 && s.since <= 26 {
		return string(rune('a'+s.since-1)) + s.label
	}
	return s.label
}

// reserve keeps a row for what stands in its corners. A number alone shares it
// with text where the house does so.
func (s *setter) reserve(p *sheet, r int, c [3]string, share bool) {
	if c == [3]string{} {
		return
	}
	if share && c[0] == "" && c[1] == "" && (p.kind == "text" || p.kind == "notes") {
		p.rows[r].most, p.rows[r].right = s.f.Width-s.f.Gap-len(c[2]), c[2]
		return
	}
	p.rows[r].taken = true
}

// corners is what stands at left, middle and right of the first or last line.
func (s *setter) corners(p *sheet, top bool) (c [3]string) {
	f := s.f
	what, where, even := [3]string{f.TopL, f.TopM, f.TopR}, f.TopOn, "top"
	if !top {
		what, where, even = [3]string{f.BotL, f.BotM, f.BotR}, f.BotOn, "foot"
	}
	if f.Even == even && !on(f.TopOn, p) {
		return [3]string{"", "", p.label}
	}
	if !on(where, p) {
		return c
	}
	for i, x := range what {
		c[i] = s.cornerText(p, x)
	}
	if f.Swap && !p.odd && (what[0] == "braille" || what[2] == "braille") {
		c[0], c[2] = c[2], c[0]
	}
	return c
}

func (s *setter) cornerText(p *sheet, what string) string {
	f := s.f
	text := p.kind == "text"
	switch what {
	case "braille":
		if p.first && text && f.FirstText == "nothing" {
			return ""
		}
		return p.label
	case "print":
		if !text {
			return ""
		}
		if f.Range && p.end != "" && p.end != p.print {
			return p.print + "-" + p.end
		}
		return p.print
	case "title", "chapter":
		if !text && (p.kind != "notes" || what == "chapter") || p.first && text && f.FirstText != "full" {
			return ""
		}
		return s.head(what, p.chapter)
	}
	return ""
}

// head is the words of a running head, cut to a room.
func (s *setter) head(what, chapter string) string {
	text := s.titleWords()
	if what == "chapter" {
		if text = chapter; text == "" {
			text = s.book()[1]
		}
	} else if s.g.HeadForm == "short" {
		text = s.book()[1]
	}
	switch s.g.HeadForm {
	case "plain":
		text = strings.ToLower(text)
	case "capitals":
		text = strings.ToUpper(text)
	}
	small := strings.Fields("a an the of and in is on at to which")
	parts := strings.Fields(text)
	w := strings.Fields(s.say(text))
	for len(parts) > 1 && len(strings.Join(w, " ")) > s.f.Width-12 {
		for parts = parts[:len(parts)-1]; len(parts) > 1 && slices.Contains(small, strings.ToLower(parts[len(parts)-1])); {
			parts = parts[:len(parts)-1]
		}
		w = strings.Fields(s.say(strings.TrimRight(strings.Join(parts, " "), ",:")))
	}
	if out := strings.Join(w, " "); len(out) <= s.f.Width-12 {
		return out
	}
	return ""
}

// finish fills the corners of the page at hand and its notes.
func (s *setter) finish() {
	p := s.cur
	if p == nil {
		return
	}
	s.cur = nil
	if p.kind == "text" {
		p.end = s.label
		if n := len(s.t.Turns); s.f.Range && s.f.Turns == "head" && p.end != p.print && n > 0 {
			s.t.Turns[n-1].From = p.word // the head says that it is on the page, not where
		}
	}
	for _, top := range []bool{true, false} {
		r := &p.rows[0]
		if !top {
			r = &p.rows[len(p.rows)-1]
		}
		switch {
		case r.right != "":
			r.s = r.s + blanks(s.f.Width-len(r.s)-len(r.right)) + r.right
			s.t.Gone("page number", r.right)
		case r.taken && r.s == "":
			r.s = s.compose(s.corners(p, top))
			s.t.Gone("page head", r.s)
		}
	}
	for i, l := range p.foot {
		p.rows[p.limit+i].s = l
	}
}

// compose sets left, middle and right in one line.
func (s *setter) compose(c [3]string) string {
	w := s.f.Width
	line := c[0]
	if c[1] != "" {
		at := (w - len(c[1])) / 2
		if at < len(line)+2 && line != "" {
			at = len(line) + 2
		}
		line += blanks(at-len(line)) + c[1]
	}
	if c[2] != "" {
		line += blanks(max(w-len(c[2])-len(line), 2)) + c[2]
	}
	return line
}

// next finds the next row that takes least cells, on a new page where this is full.
func (s *setter) next(least int) *row {
	for {
		p := s.cur
		if p.at >= p.limit {
			s.newSheet()
			continue
		}
		if s.gap {
			s.gap = false
			if !s.atTop() || s.f.TopBlank && p.kind == "text" && !p.first {
				p.at += s.step()
				continue
			}
		}
		r := &p.rows[p.at]
		if r.taken || r.most < least {
			if s.step() == 2 && p.at > 0 && p.at == p.limit-1 {
				s.newSheet()
				continue
			}
			p.at++
			continue
		}
		p.last = p.at
		p.at += s.step()
		return r
	}
}

// atTop reports whether nothing stands on the page at hand yet but its head.
func (s *setter) atTop() bool {
	for i := 0; i < min(s.cur.at, len(s.cur.rows)); i++ {
		if s.cur.rows[i].s != "" {
			return false
		}
	}
	return true
}

// left is how many rows the page still has for whole lines.
func (s *setter) left() int {
	n := 0
	for r := s.cur.at; r < s.cur.limit; r += s.step() {
		if !s.cur.rows[r].taken && s.cur.rows[r].right == "" {
			n++
		}
	}
	return n
}

// need begins a new page where fewer rows are left; a blank line that is due counts.
func (s *setter) need(n int) {
	if s.gap {
		n++
	}
	if s.left() < n && !s.atTop() {
		s.newSheet()
	}
}

// put sets a line of no text.
func (s *setter) put(line string) {
	s.next(len(line)).s = line
}

// flow sets words of the text, the first line and the others from their cells.
func (s *setter) flow(ws []word, first, over int, start byte) {
	s.inFlow = true
	defer func() { s.inFlow = false }()
	for i := 0; i < len(ws); {
		if s.turnDue() && s.f.Turns != "inline" {
			s.markTurn()
			continue
		}
		in := over
		if i == 0 && ws[0].whole == nil {
			in = first
		}
		s.roomForNotes(ws[i:])
		r := s.next(in + min(s.f.Width-in, max(9, len(ws[i].cells))))
		if s.turnDue() && s.f.Turns != "inline" {
			s.cur.at -= s.step()
			continue
		}
		i = s.fill(r, ws, i, in, start)
	}
}

// fill sets as many words as a row takes and returns the next.
func (s *setter) fill(r *row, ws []word, i, in int, start byte) int {
	line := ""
	for from := i; i < len(ws); i++ {
		if s.turnDue() && i > from && s.f.Turns != "inline" {
			break
		}
		piece := ws[i].cells
		if s.turnDue() && s.f.Turns == "inline" {
			piece = s.turnToken() + " " + piece
		}
		room := r.most - in - len(line)
		if line != "" {
			room--
		}
		if len(piece) > room {
			if head, tail, alt := s.cut(ws[i], room); head != "" && piece == ws[i].cells {
				line = strings.TrimLeft(line+" "+head, " ")
				ws[i] = word{cells: tail, whole: &testkit.Want{Cells: head + tail, Alt: alt, Start: startOf(i, start)}}
			} else if i == from && piece != ws[i].cells {
				line = s.turnToken()
				s.takeTurn(true)
			} else if i == from {
				panic(unfit)
			}
			break
		}
		if piece != ws[i].cells {
			s.takeTurn(true)
		}
		line = strings.TrimLeft(line+" "+piece, " ")
		s.word(ws[i], startOf(i, start))
	}
	r.s = blanks(in) + line
	return i
}

func startOf(i int, start byte) byte {
	if i == 0 {
		return start
	}
	return 0
}

// cut divides a word at a dash or a hyphen of its own (Rules of UEB 2013, 7.2.2
// and 10.13.2). Whether a hyphen at a line end is the word's own the paper does
// not tell.
func (s *setter) cut(w word, room int) (head, tail string, alt []string) {
	if w.note != nil || w.whole != nil || strings.ContainsAny(w.cells, "#") {
		return
	}
	dash := "--"
	if s.f.Code.System == "ueb" {
		dash = ",-"
	}
	if k := strings.Index(w.cells, dash); k > 0 {
		k += 2
		if s.f.Dashes && k <= room && k < len(w.cells) {
			return w.cells[:k], w.cells[k:], nil
		}
		return
	}
	k := strings.IndexByte(w.cells, '-')
	if !s.f.Hyphens || k < 2 || k+1 > room || k+2 >= len(w.cells) || strings.Count(w.cells, "-") > 1 {
		return
	}
	return w.cells[:k+1], w.cells[k+1:], []string{w.cells[:k] + w.cells[k+1:]}
}

// word takes down a word of the text.
func (s *setter) word(w word, start byte) {
	for s.f.Turns == "head" && len(s.turns) > 0 && s.turns[0].pos <= s.pos {
		s.takeTurn(false)
	}
	want := testkit.Want{Cells: w.cells, Start: start}
	if w.whole != nil {
		want = *w.whole
	}
	s.t.Body = append(s.t.Body, want)
	if w.note != nil {
		n := *w.note
		n.at, n.chapter = s.pos, s.chapter
		s.due = append(s.due, n)
		if s.f.NotePlace == "foot" {
			s.footNote(n)
		}
	}
	s.pos++
}

func (s *setter) turnDue() bool {
	return s.f.Turns != "head" && len(s.turns) > 0 && s.turns[0].pos <= s.pos
}

func (s *setter) takeTurn(marked bool) {
	s.label, s.since = s.turns[0].label, 0
	s.t.Turns = append(s.t.Turns, testkit.WantTurn{Label: s.label, From: s.pos, To: s.pos, Marked: marked})
	s.turns = s.turns[1:]
	if s.cur != nil && s.cur.kind == "text" {
		s.since = 1
	}
}

func (s *setter) turnToken() string {
	if s.f.TurnSpace {
		return `"3 ` + s.turns[0].label
	}
	return `"3` + s.turns[0].label
}

// markTurn sets a print page turn on its own line, never on the last one.
func (s *setter) markTurn() {
	gap := s.gap
	s.gap = false
	s.need(3)
	if !s.turnDue() {
		s.gap = gap
		return
	}
	m := s.turnToken()
	if s.f.Turns == "row" {
		m = strings.Repeat("-", s.f.Width-len(s.turns[0].label)) + s.turns[0].label
		s.next(s.f.Width).s = m
	} else {
		r := s.next(s.f.Width)
		r.s = s.middle(m, s.f.Width)
	}
	if s.turnDue() { // a new page may have shown it
		s.takeTurn(true)
	}
	s.gap = gap
}

// lines breaks words into lines.
func lines(ws []string, width, first, over int) []string {
	var out []string
	line, in := "", first
	for _, w := range ws {
		if line != "" && in+len(line)+1+len(w) > width {
			out = append(out, blanks(in)+line)
			line, in = "", over
		}
		line = strings.TrimLeft(line+" "+w, " ")
	}
	if line != "" {
		out = append(out, blanks(in)+line)
	}
	return out
}

// noteLines is a note as it is set, taken down in the truth.
func (s *setter) noteLines(n ref, first, over int) []string {
	w := append([]string{n.label}, strings.Fields(n.text)...)
	s.t.Float("note", w, 1, 1)
	s.t.WantNotes = append(s.t.WantNotes, testkit.WantNote{Ref: n.at, Mark: n.mark, Words: w, Place: s.f.NotePlace})
	return lines(w, s.f.Width, first, over)
}

func (s *setter) noteIndents() (int, int) {
	if s.f.NoteOut {
		return 0, 2
	}
	return 2, 0
}

func (s *setter) noteRule() string {
	if s.f.Code.System == "ueb" {
		return `"333333`
	}
	return "333333"
}

// footNote sets a note at the foot of the page that has its mark.
func (s *setter) footNote(n ref) {
	p := s.cur
	if len(p.foot) == 0 {
		end := len(p.rows)
		if last := p.rows[end-1]; last.taken || last.right != "" {
			p.rows[end-1].taken = true
			end--
		}
		if p.limit = min(p.limit, end); s.f.NoteRule {
			p.foot = []string{s.noteRule()}
			p.limit--
		}
	}
	a, b := s.noteIndents()
	add := s.noteLines(n, a, b)
	p.foot = append(p.foot, add...)
	if p.limit -= len(add); p.limit < p.at {
		panic(unfit)
	}
	s.due = nil
}

// roomForNotes begins a new page where the notes of the next words find no room.
func (s *setter) roomForNotes(ws []word) {
	if s.f.NotePlace != "foot" {
		return
	}
	need := 0
	for i := 0; i < len(ws) && i < s.f.Width/2; i++ {
		if n := ws[i].note; n != nil {
			need += len(lines(strings.Fields(n.label+" "+n.text), s.f.Width, 2, 2)) + 1
		}
	}
	if need > 0 && s.left() < need+4 && !s.atTop() {
		s.newSheet()
	}
}
