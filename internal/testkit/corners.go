package testkit

import "strings"

// This file sets up the furniture of a page: where its head and its numbers
// stand, and which rows text may share; and it fills it in when the page is
// done.

// corners sets up a new page by the layout's style.
func (p *press) corners(pg *page) {
	l, last := p.l, len(pg.rows)-1
	pg.num = pg.label
	if pg.kind == "title" || pg.kind == "blank" {
		p.numberOnly(pg)
		return
	}
	if l.PrintRoman && pg.kind == "contents" {
		pg.startTurn = ";" + Roman(len(p.volPages())+2)
		pg.shows = true
		pg.rows[0].corner, pg.rows[0].kind = pg.startTurn, "print page"
		p.t.Optional[pg.startTurn] = true
	}
	switch l.Style {
	case "all", "odd", "press", "alternate":
		p.topLine(pg)
	case "bottom":
		if pg.headOn = pg.odd && p.hasHead(pg); pg.headOn {
			pg.fill(last)
		} else {
			p.numberAt(pg, last)
		}
	case "corner":
		if l.Middle {
			if pg.num != "" {
				pg.fill(last)
			}
			return
		}
		if l.NumberTop {
			last = 0
		}
		p.numberAt(pg, last)
	case "iceb":
		pg.headOn = p.hasHead(pg) && l.Head == "section"
		pg.shows = p.hasPrint(pg)
		if pg.headOn || pg.shows || pg.num != "" {
			pg.fill(last)
		}
	case "foot":
		p.topAndFoot(pg)
	case "textbook", "literary":
		p.northAmerican(pg)
	}
}

// hasHead reports whether the page is one that carries a running title.
func (p *press) hasHead(pg *page) bool {
	l := p.l
	if l.Head == "none" || pg.first && l.FirstPage != "full" {
		return false
	}
	if l.HeadSome && l.Head == "section" && (pg.kind == "text" || pg.kind == "notes") && p.d.N(3, "headed", pg.chapter) == 0 {
		return false
	}
	return l.Head == "title" || pg.kind != "prelim" && pg.kind != "contents"
}

func (p *press) hasPrint(pg *page) bool { return p.l.Turns != "none" && pg.kind == "text" }

// fill takes the first or the last row for furniture.
func (pg *page) fill(r int) {
	pg.rows[r].corner, pg.rows[r].full = "", true
	pg.headRow = r
	if r == 0 {
		pg.at = 1
	} else {
		pg.last = r
	}
}

// numberAt puts the braille page number at the right end of a row: shared with
// text, or on the row alone.
func (p *press) numberAt(pg *page, r int) {
	switch {
	case pg.num == "":
	case p.l.Share && pg.kind == "text":
		pg.rows[r].corner, pg.rows[r].kind = pg.num, "page number"
	default:
		pg.fill(r)
	}
}

// numberOnly is for title pages and blank pages: a number at most.
func (p *press) numberOnly(pg *page) {
	l, r := p.l, 0
	if l.Style == "bottom" || l.Style == "iceb" || l.Style == "textbook" || l.Style == "literary" || l.Style == "corner" && (!l.NumberTop || l.Middle) {
		r = len(pg.rows) - 1
	}
	if pg.num != "" && (l.Style != "odd" || pg.odd) {
		pg.fill(r)
	}
}

// topLine is the page information line at the top, on all pages or odd pages.
func (p *press) topLine(pg *page) {
	l := p.l
	if l.Style == "odd" && !pg.odd {
		switch {
		case l.EvenLine == "number" && pg.num != "":
			pg.fill(0)
		case l.EvenLine == "share":
			p.numberAt(pg, 0)
		default:
			pg.num = ""
		}
		return
	}
	if pg.first && l.FirstPage == "nothing" {
		pg.num = ""
		return
	}
	pg.headOn = p.hasHead(pg)
	pg.shows = p.hasPrint(pg) && l.Style != "press" && !(l.Style == "alternate" && !pg.odd)
	if pg.headOn || pg.shows || pg.num != "" {
		pg.fill(0)
	}
}

// topAndFoot has the numbers on line 1 and a short title at the foot of odd
// pages.
func (p *press) topAndFoot(pg *page) {
	pg.shows = p.hasPrint(pg)
	if pg.first && p.l.FirstPage == "nothing" {
		pg.num, pg.shows = "", false
	}
	if pg.headOn = pg.odd && p.hasHead(pg); pg.headOn {
		pg.fill(len(pg.rows) - 1)
	}
	if pg.shows || pg.num != "" {
		pg.fill(0)
	}
}

// northAmerican has the print page at the right of line 1, the head on line 1
// and the braille page at the right of the last line.
func (p *press) northAmerican(pg *page) {
	l := p.l
	pg.shows = pg.shows || p.hasPrint(pg)
	if p.guidesAtFoot(pg) {
		pg.fill(len(pg.rows) - 1)
	} else {
		p.numberAt(pg, len(pg.rows)-1)
	}
	pg.headRow = -1
	if pg.headOn = p.hasHead(pg); pg.headOn {
		pg.fill(0)
	} else if pg.shows {
		pg.rows[0].corner, pg.rows[0].kind = p.printCorner(pg), "print page"
		if !l.Share || pg.kind != "text" {
			pg.fill(0)
		}
	}
}

// guidesAtFoot reports whether the last line of a page is for guide words and its number.
func (p *press) guidesAtFoot(pg *page) bool {
	return p.l.Dict != nil && p.l.Dict.Foot && pg.kind == "text"
}

// printCorner is the print page label of a North American page, with its
// continuation letter.
func (p *press) printCorner(pg *page) string {
	s := pg.startTurn
	if pg.cont > 0 && s != "" {
		n := pg.cont
		letter := ""
		for ; n > 0; n = (n - 1) / 26 {
			letter = string(rune('a'+(n-1)%26)) + letter
		}
		s = letter + s
	}
	return s
}

// finish fills in the furniture of the page at hand and notes it.
func (p *press) finish() {
	pg := p.cur
	if pg == nil {
		return
	}
	p.cur = nil
	p.setFoot(pg)
	if pg.kind == "text" && len(p.t.Body) == pg.startWord {
		pg.shows = false
	}
	pg.endTurn = p.label
	if pg.chapter == "" {
		pg.chapter = p.chapter
	}
	for i := range pg.rows {
		if pg.rows[i].full {
			p.fillRow(pg, i)
		}
	}
	if !pg.shows || pg.kind != "text" {
		return
	}
	if p.l.Turns == "head" {
		p.seen = pg.startTurn
	}
	p.shown = append(p.shown, shown{pg.startTurn, pg.startWord})
}

func (p *press) fillRow(pg *page, i int) {
	left, right := p.ends(pg, i)
	head := ""
	if p.l.Style == "corner" && p.l.Middle {
		left, head, right = "", right, ""
	}
	if pg.headOn && i == p.headLine(pg) {
		head = p.headText(pg, pg.width-len(left)-len(right)-8)
		if p.l.HeadSlips && head != "" && !strings.Contains(head, "#") && p.d.Chance(4, "slip", len(p.vols), len(p.volPages())/2) {
			head = misspell(head)
		}
	}
	r := &pg.rows[i]
	r.text, r.kind = corners(pg.width, left, head, right), "head"
	p.t.Gone("page head", r.text)
	if len(words(head)) > 2 {
		p.t.Gone("page head", head)
	}
}

// ends gives what stands at the left and the right end of a furniture row.
func (p *press) ends(pg *page, i int) (left, right string) {
	l := p.l
	print := ""
	if pg.shows {
		print = pg.startTurn
	}
	switch {
	case i > 0 && p.guidesAtFoot(pg):
		return p.guideWords(pg, l.Width-len(pg.num)-3), pg.num
	case l.Style == "foot" && i > 0:
		return "", ""
	case l.Style == "foot" && l.Turns == "none" && l.VolMark:
		return "v" + Number(p.vol), pg.num
	case l.Style == "iceb" && i > 0:
		return pg.num, print
	case (l.Style == "textbook" || l.Style == "literary") && i == 0:
		if pg.shows {
			return "", p.printCorner(pg)
		}
		return "", ""
	case l.Style == "alternate" && !pg.odd && pg.kind != "title":
		return pg.num, ""
	}
	if pg.shows && l.HeadRange && pg.endTurn != pg.startTurn && !strings.Contains(pg.startTurn+pg.endTurn, "-") {
		second := pg.endTurn
		if l.Code.System == "ebae" {
			second = second[1:]
		}
		print += "-" + second
	}
	return print, pg.num
}

func (p *press) headLine(pg *page) int {
	if p.l.Style == "bottom" || p.l.Style == "iceb" || p.l.Style == "foot" {
		return len(pg.rows) - 1
	}
	return 0
}

// corners sets a line with something at the left margin, something centred and
// something at the right margin.
func corners(w int, left, mid, right string) string {
	b := []byte(blanks(w))
	copy(b, left)
	copy(b[w-len(right):], right)
	if mid != "" {
		at := (w - len(mid)) / 2
		at = max(at, len(left)+3)
		at = min(at, w-len(right)-3-len(mid))
		if at < 0 || left != "" && at < len(left)+1 {
			return strings.TrimRight(string(b), " ")
		}
		copy(b[at:], mid)
	}
	return strings.TrimRight(string(b), " ")
}

// misspell changes two letters of a head, or adds one.
func misspell(s string) string {
	b := []byte(s)
	for i := len(b) / 2; i+1 < len(b); i++ {
		if b[i] >= 'a' && b[i] <= 'z' && b[i+1] >= 'a' && b[i+1] <= 'z' && b[i] != b[i+1] {
			b[i], b[i+1] = b[i+1], b[i]
			return string(b)
		}
	}
	return s + "e"
}

// headText is the running title, made to fit.
func (p *press) headText(pg *page, room int) string {
	s := p.b.Title
	if p.l.Head == "section" && pg.kind != "prelim" && pg.kind != "contents" {
		s = pg.chapter
	}
	switch p.l.HeadForm {
	case "plain", "short":
		s = plainHead(s)
	case "capitals":
		if s == p.b.Title {
			s = p.say(strings.ToUpper(p.b.TitleName))
		}
	}
	if g := p.guideWords(pg, room); g != "" && !p.guidesAtFoot(pg) {
		return g
	}
	w := strings.Fields(s)
	if p.l.HeadForm == "short" && len(w) > 3 {
		w = w[:3]
	}
	for len(w) > 0 && len(strings.Join(w, " ")) > room {
		w = w[:len(w)-1]
	}
	return strings.Join(w, " ")
}
