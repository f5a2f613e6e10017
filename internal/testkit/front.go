package testkit

import (
	"fmt"
	"strings"
)

// This file sets what stands before and after the text of a volume.

// front sets the title page and the preliminary pages of a volume.
func (p *press) front() {
	p.titlePage()
	l, first := p.l, p.first()
	if first && l.Dedication {
		p.kind = "contents" // p pages in North America
		p.newPage("contents")
		p.skip(p.d.Between(2, 6, "dedication"))
		for _, s := range []string{"For the keepers of every small light", "who wait for the boats to come home"} {
			p.keep("dedication", p.say(s), 1)
		}
	}
	if l.Symbols == "first" && first || l.Symbols == "all" || l.Symbols == "grows" {
		p.symbols()
	}
	if first && l.Notes || l.LateNote && p.vol == 2 {
		p.transcriberNotes()
	}
	if first && l.General {
		p.generalContents()
	}
	if l.Contents != "none" && p.vol > 0 {
		p.contents()
	}
}

func (p *press) say(s string) string { return p.b.say(s) }

// skip leaves blank lines that fill the page.
func (p *press) skip(n int) {
	if p.cur.at < p.cur.last {
		p.cur.at = min(p.cur.at+n, p.cur.last)
	}
}

// keep sets centred lines that must be in the edition once.
func (p *press) keep(name, cells string, must int) {
	for _, line := range wrap(words(cells), p.narrowest()-6) {
		p.room(1, true)
		kind := p.onceMore(name, words(line), must)
		p.putAs(kind, 0, p.centre(line))
	}
}

// onceMore notes a line that must be kept, and tells whether an earlier volume
// has it already: "repeat", or "" for a new line. A line that stands twice in
// one volume is two lines.
func (p *press) onceMore(name string, w []string, must int) string {
	key := join(w)
	p.lineCount[key]++
	n := p.lineCount[key]
	if f := p.t.index[key]; f != nil && f.Max >= n {
		return "repeat"
	}
	p.t.Float(name, w, n*must, n)
	return ""
}

func (p *press) titlePage() {
	l, d := p.l, p.d
	p.kind = "title"
	p.newPage("title")
	p.skip(d.N(4, "above title"))
	if p.first() {
		p.t.Title = words(p.b.Title)
		p.t.Float("title", words(p.b.Title), 1, 1)
	}
	kind := map[bool]string{true: "", false: "repeat"}[p.first()]
	for _, line := range wrap(words(p.b.Title), l.Width-6) {
		p.putAs(kind, 0, p.centre(line))
	}
	p.skip(d.N(3, "under title"))
	switch l.Author {
	case "by":
		p.keep("author", p.say("by")+" "+p.b.Author, 1)
	case "byline":
		p.keep("author", p.say("By"), 1)
		p.keep("author", p.b.Author, 1)
	default:
		p.keep("author", p.b.Author, 1)
	}
	p.skip(d.N(4, "under author"))
	if l.Region == "na" && d.Chance(50, "statement last") {
		p.imprint()
		p.statement()
	} else {
		p.statement()
		p.imprint()
	}
	p.history()
}

func (p *press) statement() {
	l := p.l
	if l.Separators {
		p.putAs("rule", 0, p.centre(l.Rule))
	}
	lines := statementWords(l.Statement, max(p.vol, 1), l.Volumes)
	if p.vol == 0 {
		lines[len(lines)-1] = "Preliminary Volume"
	}
	for _, s := range lines {
		for _, line := range wrap(words(p.say(s)), l.Width-4) {
			p.t.Gone("volume statement", line)
			p.putAs("volume statement", 0, p.centre(line))
		}
	}
	if l.Statement == "pages" && p.pagesLine() != "" {
		p.t.Gone("pages statement", p.pagesLine())
		p.putAs("volume statement", 0, p.centre(p.pagesLine()))
	}
	if l.Separators {
		p.putAs("rule", 0, p.centre(l.Rule))
	}
}

// pagesLine says which braille pages the volume has, as known from the pass
// before.
func (p *press) pagesLine() string {
	from, to := "", ""
	for _, m := range p.known {
		if m.vol == p.vol && m.braille != "" {
			if from == "" {
				from = m.braille
			}
			to = m.braille
		}
	}
	if from == "" || from == to {
		return ""
	}
	if p.l.Code.System == "ebae" {
		to = to[1:]
	}
	return p.say("Braille pages") + " " + from + "-" + to
}

func (p *press) imprint() {
	l, d := p.l, p.d
	if l.Imprint {
		p.skip(d.N(5, "above imprint"))
		for _, s := range []string{"Produced and published by", "Harbour Braille Press", "Saltmere"} {
			p.keep("imprint", p.say(s), 1)
		}
		if l.Separators {
			p.skip(1)
			p.putAs("rule", 0, p.centre(l.Rule))
		}
	}
}

// history sets the publication history, under the imprint or on the back of
// the title leaf.
func (p *press) history() {
	l, d := p.l, p.d
	if l.History == "all" || l.History == "first" && p.first() {
		if p.rowsLeft() < 6 || d.Chance(40, "history page") {
			p.newPage("prelim")
		} else {
			p.skip(3)
		}
		p.keep("history", p.say("First published by Quayside Books")+" "+Number(1994), 1)
		p.keep("history", p.say("Braille edition made at Saltmere")+" "+Number(2001), 1)
		p.keep("history", p.say("All rights reserved"), 1)
		if l.Separators {
			p.putAs("rule", 0, p.centre(l.Rule))
		}
	}
}

func (p *press) transcriberNotes() {
	p.kind = "prelim"
	p.newPage("prelim")
	p.keep("notes heading", p.say("Transcriber's Notes"), 1)
	p.skip(1)
	notes := []string{
		"Pictures of the print book are left out.", "Words set in another type in print are not marked in this edition.",
		"The map at the front of the print book is described in a few words at its place.",
	}
	if !p.first() {
		notes = append(notes[:p.d.N(2, "late")], "The letters in this volume are set as the writer spelled them.")
	}
	for _, s := range notes {
		p.block("transcriber's note", p.say(s), 2, 0)
	}
	if p.l.Separators {
		p.putAs("rule", 0, p.centre(p.l.Rule))
	}
}

// block sets a paragraph of preliminary matter that must be kept once.
func (p *press) block(name, cells string, first, over int) {
	kind := p.onceMore(name, words(cells), 1)
	p.lay(kind, cells, first, over)
}

func (p *press) lay(kind, cells string, first, over int) {
	lines := wrap(append([]string{blanksMark(first)}, words(cells)...), p.l.Width)
	if first == 0 {
		lines = wrap(words(cells), p.l.Width)
	}
	if over > 0 {
		lines = hang(words(cells), p.l.Width, first, over)
	}
	for _, line := range lines {
		p.room(1, true)
		p.putAs(kind, 0, strings.ReplaceAll(line, "\x01", " "))
	}
}

// blanksMark stands for n-1 blanks that wrap must not take for a gap.
func blanksMark(n int) string { return strings.Repeat("\x01", max(0, n-1)) }

func hang(w []string, width, first, over int) []string {
	var out []string
	line := blanks(first)
	empty := true
	for _, x := range w {
		if !empty && len(line)+1+len(x) > width {
			out = append(out, line)
			line, empty = blanks(over), true
		}
		if !empty {
			line += " "
		}
		line += x
		empty = false
	}
	return append(out, line)
}

func (p *press) symbols() {
	p.kind = "prelim"
	p.newPage("prelim")
	p.keep("symbols heading", p.say("Special Symbols"), 1)
	p.skip(1)
	n := 3
	if p.l.Symbols == "grows" {
		n = min(2+p.vol, 6)
	}
	signs := []string{"99", "_/", ",7", "7'", "@?", "#n"}
	names := []string{"asterisk", "solidus", "opening note sign", "closing note sign", "dagger", "section mark"}
	if p.l.Code.System == "ueb" {
		signs = []string{`.="9`, ".=_/", ".=@.<", ".=@.>", ".=@,?", ".=^s"}
	}
	for i := 0; i < n; i++ {
		p.block("symbol", signs[i]+" "+p.say(names[i]), 0, 2)
	}
}

// entries lists the chapters of a volume: their words and where they are.
func (p *press) entries(vol int, sub bool) (text []string, at []mark) {
	k := 0
	pages := map[string][]string{} // headings that say the same have the pages of all
	for i := range p.b.Body {
		e := &p.b.Body[i]
		if e.Kind != Heading {
			continue
		}
		if k < len(p.known) {
			first, _, _ := strings.Cut(p.known[k].print, "-")
			w := entryWords(e)
			pages[w] = append(pages[w], p.known[k].print, first, p.known[k].seen)
			p.t.EntryPage[w] = pages[w]
		}
		if k < len(p.known) && (vol == 0 || p.known[k].vol == vol) && (e.Level == 0 || p.l.SubEntries && sub) {
			s := blanks(2 * e.Level)
			for _, h := range e.Lines {
				if strings.TrimSpace(s) != "" {
					s += " "
				}
				s += joinToks(h)
			}
			text = append(text, s)
			at = append(at, p.known[k])
		}
		k++
	}
	return text, at
}

// alike counts the headings of the book that say the same, 1 at least.
func (b *Book) alike(w []string) (n int) {
	for i := range b.Body {
		if e := &b.Body[i]; e.Kind == Heading && entryWords(e) == join(w) {
			n++
		}
	}
	return max(n, 1)
}

func entryWords(e *Elem) string {
	var w []string
	for _, h := range e.Lines {
		w = append(w, joinToks(h))
	}
	return join(w)
}

func (p *press) generalContents() {
	p.kind = "contents"
	p.newPage("contents")
	p.optional("contents", p.say("General Contents"))
	p.putAs("contents", 0, p.centre(p.say("General Contents")))
	p.skip(1)
	s := p.say("This braille edition is divided as follows")
	p.optional("contents", s)
	p.lay("contents", s, 2, 0)
	for v := 1; v <= p.l.Volumes; v++ {
		name := p.say(statementWords("word", v, v)[1])
		p.room(3, true)
		p.t.Gone("volume in contents", name)
		p.putAs("contents", 0, p.centre(name))
		text, _ := p.entries(v, false)
		for _, e := range text {
			p.optional("contents entry", e)
			p.lay("contents", e, 0, 4)
		}
	}
	if p.l.Separators {
		p.room(1, true)
		p.putAs("rule", 0, p.centre(p.l.Rule))
	}
}

// remark sets a transcriber's note between two paragraphs (cell 7, runover
// cell 5), once a wording. In UEB it stands in note signs, before in square
// brackets (Rules of UEB 2013, 3.27).
func (p *press) remark() {
	if p.remarks >= 2 {
		return
	}
	s := p.say([]string{"A drawing of the harbour wall stands here in print.", "Here the print book has a small picture of a lantern."}[p.remarks])
	p.remarks++
	if p.l.Code.System == "ueb" {
		s = "@.<" + s + "@.>"
	} else {
		s = ",7" + s + "7'"
	}
	p.t.Float("remark", words(s), 1, 1)
	lines := hang(words(s), p.l.Width-8, 6, 4)
	p.room(len(lines)+1, true)
	for _, line := range lines {
		p.room(1, true)
		p.put(line)
	}
}

func (p *press) optional(name, cells string) { p.t.Float(name, words(cells), 0, 1) }

func (p *press) contents() {
	l := p.l
	p.kind = "contents"
	vol := p.vol
	if l.Region == "na" && l.Contents == "print" && p.vol == 1 {
		vol = 0 // volume 1 of a textbook holds the whole contents
	}
	text, at := p.entries(vol, true)
	if len(text) == 0 {
		return
	}
	label := ""
	if l.ColumnLabel {
		label = p.say(map[string]string{"braille": pick(p.d, []string{"Page", "Braille page"}, "label"), "print": "Print page"}[l.Contents])
	}
	p.contentsTop(label, true)
	for i, e := range text {
		p.listed[at[i].elem] = true
		n := at[i].braille
		if l.Contents == "print" {
			n = at[i].print
		}
		must := 0
		if l.Contents == "print" {
			must = 1
		}
		p.t.Float("contents entry", words(e), must, p.b.alike(words(e)))
		for _, line := range p.entryLines(e, n) {
			if p.cur.at >= p.cur.last || p.rowsPlain() < 1 {
				p.newPage("contents")
				p.contentsTop(label, false)
			}
			p.room(1, true)
			p.putAs("contents", 0, line)
		}
	}
	if l.Separators && p.rowsLeft() > 1 {
		p.putAs("rule", 0, p.centre(l.Rule))
	}
}

func (p *press) rowsPlain() int {
	n := 0
	for r := p.cur.at; r < p.cur.last; r++ {
		if p.cur.rows[r].corner == "" {
			n++
		}
	}
	return n
}

func (p *press) contentsTop(label string, first bool) {
	if first {
		p.newPage("contents")
	}
	p.room(1, true)
	p.optional("contents", p.say("Contents"))
	p.putAs("contents", 0, p.centre(p.say("Contents")))
	if first {
		p.skip(1)
	}
	if label != "" {
		p.room(1, true)
		p.optional("contents label", label)
		p.putAs("contents", 0, blanks(p.l.Width-len(label))+label)
	}
}

// entryLines sets one contents entry: text, guide dots, number.
func (p *press) entryLines(text, num string) []string {
	l := p.l
	col := l.Width - len(num)
	if l.ColumnLeft {
		col = l.Width - 6
		if len(num) > 6 {
			col = l.Width - len(num)
		}
	}
	lines := hang(words(text), col-1, len(text)-len(strings.TrimLeft(text, " ")), 4)
	if num == "" {
		return lines
	}
	last := lines[len(lines)-1]
	gap := col - len(last)
	guide := ""
	if l.Guide != "" && gap >= 4 {
		guide = " " + strings.Repeat(l.Guide, gap-2) + " "
	} else {
		guide = blanks(gap)
	}
	lines[len(lines)-1] = last + guide + num
	return lines
}

// closeVolume sets what follows the text of a volume.
func (p *press) closeVolume() {
	if p.cur != nil {
		p.setFoot(p.cur)
	}
	for _, where := range []string{"print", "chapter"} {
		if p.cur != nil {
			p.closing = true
			p.flushNotes(where)
			p.closing = false
		}
	}
	if p.cur != nil {
		p.cur.last = len(p.cur.rows)
		if p.cur.rows[p.cur.last-1].full {
			p.cur.last--
		}
	}
	// A separator that ends the volume might belong to the end line.
	for n := len(p.t.Rules); n > 0 && p.t.Rules[n-1] == len(p.t.Body); n-- {
		p.t.Rules = p.t.Rules[:n-1]
	}
	last := p.vol == p.l.Volumes
	if last && p.l.TheEnd {
		p.endOfBook()
	}
	if len(p.notes) > 0 && p.l.NotePlace == "" {
		p.volumeNotes()
	}
	p.notesOfVolume()
	if !last && p.l.EndLine != "none" {
		p.endLine(p.say(endWords(p.l.EndWording, p.vol)), "end of volume")
	}
	p.finish()
}

// volumeNotes sets the notes that the volume's text refers to, on a new page.
func (p *press) volumeNotes() {
	p.finish()
	p.kind = "notes"
	p.newPage("notes")
	p.optionalMany("notes heading", p.say("Notes"))
	p.putAs("notes heading", 0, p.centre(p.say("Notes")))
	p.blank()
	for _, n := range p.notes {
		w := append([]string{Number(n)}, strings.Fields(joinToks(p.b.Notes[n-1]))...)
		for k, x := range w {
			p.t.Notes = append(p.t.Notes, Want{Cells: x, Start: start(k == 0, 'p')})
		}
		for _, line := range hang(w, p.l.Width-7, 2, 0) {
			p.put(line)
		}
	}
	p.kind = "text"
}

func (p *press) optionalMany(name, cells string) {
	p.t.Float(name, words(cells), 0, p.l.Volumes)
}

func (p *press) endOfBook() {
	s := p.say(pick(p.d, []string{"The End", "THE END"}, "the end"))
	if p.d.Chance(30, "end in brackets") {
		open, shut := ",7", "7'"
		if p.l.Code.System == "ueb" {
			open, shut = "@.<", "@.>"
		}
		s = open + s + shut
		p.t.Float("end of book in note signs", words(s), 0, 1)
	} else {
		p.t.Float("end of book", words(s), 1, 1)
	}
	p.blank()
	p.room(1, true)
	p.put(p.centre(s))
}

func (p *press) endLine(s, kind string) {
	l := p.l
	if l.EndLine == "brackets" {
		if l.Code.System == "ueb" {
			s = "@.<" + s + "@.>"
		} else {
			s = ",7" + s + "7'"
		}
	}
	p.t.Gone(kind, s)
	if len(s) > l.Width-2 {
		return // a wording too long for the line is left out
	}
	pg := p.cur
	if l.EndLine == "share" && pg.at > pg.top+p.step() {
		r := &pg.rows[pg.at-p.step()]
		if r.corner == "" && r.text != "" && len(r.text)+3+len(s) <= l.Width {
			r.tail = s
			return
		}
	}
	if pg.at >= pg.last {
		p.newPageNoCut()
		pg = p.cur
	}
	if l.EndLine == "last" || l.EndLine == "brackets" {
		r := len(pg.rows) - 1
		if !pg.rows[r].full && pg.rows[r].text == "" {
			if pg.rows[r].corner != "" && p.d.Chance(60, "end for number") {
				pg.rows[r].corner = "" // the end line stands in place of the number
			}
			if c := pg.rows[r].corner; c == "" || (l.Width+len(s))/2+3+len(c) < l.Width {
				pg.rows[r].text, pg.rows[r].kind = blanks((l.Width-len(s))/2)+s, kind
				return
			}
		}
	}
	p.blank()
	if pg.at < pg.last && pg.rows[pg.at].corner != "" {
		pg.at++
	}
	if pg.at >= pg.last {
		p.newPageNoCut()
	}
	for p.cur.rows[p.cur.at].corner != "" {
		p.cur.at++
	}
	p.putAs(kind, 0, p.centre(s))
}

// newPageNoCut begins a page of the same volume for an end line alone.
func (p *press) newPageNoCut() {
	p.finish()
	p.kind = "notes"
	p.newPage("notes")
	p.kind = "text"
}

// turnsFromHeads works out where turns that no mark shows are known from the
// heads: at the first braille page whose head has the new number.
func (p *press) turnsFromHeads() {
	var kept []WantTurn
	for _, t := range p.t.Turns {
		if t.Marked {
			kept = append(kept, t)
			continue
		}
		if a, b, found := strings.Cut(t.Label, "-"); found {
			// From a head alone nobody can tell one page with two numbers from
			// two pages: both readings are as right.
			p.t.Optional[t.Label], p.t.Optional[a], p.t.Optional["#"+strings.TrimPrefix(b, "#")] = true, true, true
			continue
		}
		for _, s := range p.shown {
			if t.Label == "" {
				break // a turn without a number at the top of a page is lost
			}
			if s.label == t.Label && s.word >= t.From {
				t.To = s.word
				kept = append(kept, t)
				break
			}
		}
		p.t.Optional[t.Label] = true
	}
	p.t.Turns = kept
	if len(p.b.Turns) > 0 {
		p.t.Optional[p.b.Turns[0].Label] = true
	}
}

// damage spoils one or two places of the title.
func (t *Title) damage(p *press) {
	l, d := t.Lay, p.d
	if l.File.Damage == "" {
		return
	}
	v := d.N(len(t.Pages), "damage volume")
	pages := t.Pages[v]
	n := len(pages)
	at := n/3 + d.N(max(1, n/2), "damage page")
	pg := p.vols[v][at]
	if pg.kind != "text" || pg.first || at+2 >= n {
		l.File.Damage = ""
		return
	}
	page := pages[at]
	h := len(page)
	switch l.File.Damage {
	case "wrong number", "no number", "misspelt head", "flipped head":
		t.damageHead(p, pg, page)
	case "short page":
		if len(page[h-1]) == 0 && l.File.Breaks != "none" {
			pages[at] = page[:h-1]
		}
	case "long page":
		if l.File.Breaks != "none" {
			pages[at] = append(page, nil)
		}
	case "long line":
		for r := h / 3; r+1 < h; r++ {
			a, b := words(string(page[r])), words(string(page[r+1]))
			row, next := pg.rows[r], pg.rows[r+1]
			if len(a) > 4 && len(b) > 4 && !row.full && !next.full && row.corner == "" && next.corner == "" && page[r+1][0] != ' ' && page[r][0] != ' ' {
				if c := page[r][len(page[r])-1]; c == '-' || c == '"' {
					continue
				}
				page[r] = []byte(string(page[r]) + " " + b[0])
				page[r+1] = []byte(strings.Join(b[1:], " "))
				break
			}
		}
	case "foreign byte":
		if l.File.Encoding != "ascii" {
			l.File.Damage = ""
			return
		}
		r := h / 2
		if len(page[r]) > 0 && len(page[r]) < l.Width-2 && pg.rows[r].corner == "" && !pg.rows[r].full {
			page[r] = append(page[r], ' ', 0xa3)
			t.Truth.Foreign++
		}
	}
}

func (t *Title) damageHead(p *press, pg *page, page [][]byte) {
	r := pg.headRow
	if r < 0 {
		return
	}
	s := string(page[r])
	switch t.Lay.File.Damage {
	case "wrong number":
		if pg.num != "" && strings.HasSuffix(s, pg.num) {
			s = s[:len(s)-1] + string("abcdefghij"[p.d.N(10, "wrong")])
		}
	case "no number":
		if pg.num != "" && pg.headOn {
			s = strings.TrimRight(strings.TrimSuffix(s, pg.num), " ")
		}
	case "flipped head":
		if k := len(s)/2 - 1; pg.headOn && k > 0 && s[k] != ' ' && s[k-1] != '#' {
			s = s[:k] + string("=/9%&("[p.d.N(6, "flipped")]) + s[k+1:]
		}
	case "misspelt head":
		if k := strings.IndexByte(strings.TrimLeft(s, " #"), ' '); pg.headOn && k >= 0 {
			b := []byte(s)
			for i := len(b) / 2; i+1 < len(b); i++ {
				if b[i] >= 'a' && b[i+1] >= 'a' && b[i] != b[i+1] {
					b[i], b[i+1] = b[i+1], b[i]
					break
				}
			}
			s = string(b)
		}
	}
	page[r] = []byte(s)
	t.Truth.Gone("page head", s)
}

// Show prints a page, for a failure's message.
func (t *Title) Show(vol, page int) string {
	var b strings.Builder
	for i, l := range t.Pages[vol][page] {
		fmt.Fprintf(&b, "%2d|%s\n", i+1, l)
	}
	return b.String()
}
