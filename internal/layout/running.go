package layout

import (
	"bytes"
	"strings"

	"continuo/internal/cell"
)

// running holds the running heads of all volumes of a title: the texts that
// stand as heads on three pages or more, and how they are written.
type running struct {
	heads  shelf
	forms  map[string]int  // heads as they are written, with their capitals: pages
	titles map[string]bool // lines of title pages as they are written
	title  shelf           // the title: the first lines of title pages

	capital     map[string]bool // headings that are written with capitals
	plain, caps int             // heads of such headings: without their capitals, with them

	sentences, capped int // sentences that begin within lines; of these, with a capital
	between, mid      int // texts between two numbers on line 1; of these, in the middle
}

// onlyHeads reports whether the texts between two numbers stand in the middle:
// they are heads, not text that shares the line.
func (r *running) onlyHeads() bool { return r.mid >= 5 && r.mid*10 >= r.between*9 }

// capitals reports whether the book writes capitals: sentences begin with them.
func (r *running) capitals() bool { return r.sentences >= 20 && r.capped*10 >= r.sentences*8 }

// small reports whether the book writes no capitals: sentences begin without.
func (r *running) small() bool { return r.sentences >= 20 && r.capped*10 <= r.sentences }

// longestPage is more lines than a page of paper has: a volume that is not
// divided into pages is one page here.
const longestPage = 60

func newRunning() running {
	return running{heads: newShelf(), title: newShelf(), capital: map[string]bool{}, forms: map[string]int{}, titles: map[string]bool{}}
}

// addRunning takes down the running heads and the title page of a volume.
func (hb *headbook) addRunning(v *Volume, edges []edgeLine) {
	hb.running.heads.room = 40
	for i := range edges {
		e := &edges[i]
		if !v.firstPage(e.page) && e.middle && e.like >= 3 && !e.recurs() && !e.opener && (e.number || e.bare == e.like) {
			hb.running.heads.add(e.norm)
			hb.running.forms[string(v.spanOf(e))]++
		}
	}
	if len(edges) == 0 {
		return
	}
	hb.running.title.room = 3
	joined, lines := "", 0
	for pg, i := &v.Pages[edges[0].page], v.Pages[edges[0].page].First; i < pg.Last && lines < longestPage; i++ {
		if v.Lines[i].Role != Text || i == edges[0].line && edges[0].number && edges[0].norm == "" {
			continue
		}
		hb.running.titles[string(v.TextOf(i))] = true
		if lines++; lines <= 3 {
			joined = strings.TrimSpace(joined + " " + Normal(v.TextOf(i)))
			hb.running.title.add(joined)
		}
	}
}

// addShort takes the running heads that are short forms of the title for
// titles, so that their slips are known too.
func (r *running) addShort() {
	r.title.room = len(r.heads.headings)
	for _, h := range r.heads.headings {
		if r.title.searchForm(h.norm) {
			r.title.add(h.norm)
		}
	}
}

// spanOf is the text of an edge line as it is written.
func (v *Volume) spanOf(e *edgeLine) []byte {
	return v.Raw(e.line)[e.text.From:e.text.To]
}

// has reports whether a text is a running head.
func (r *running) has(norm string) bool { return r.heads.form(norm) }

// form reports whether a text is one of the shelf: the same, misspelt, or one
// a short form of the other.
func (s *shelf) form(norm string) bool { return s.asked(norm, s.searchForm) }

// cutWithin reports whether a text is the beginning of one of the shelf that breaks off
// within a word, half of it or more.
func (s *shelf) cutWithin(norm string) bool {
	for _, h := range s.headings {
		if n := len(norm); 2*n >= len(h.norm) && n < len(h.norm) && h.norm[:n] == norm && h.norm[n] != cell.Blank && !s.exact[norm] {
			return true
		}
	}
	return false
}

func (s *shelf) searchForm(norm string) bool {
	words := strings.Fields(norm)
	for _, h := range s.headings {
		if Alike(h.norm, norm) || shortened(h.norm, norm) || shortForm(h.words, words) {
			return true
		}
	}
	return false
}

// written tells by the capitals and the length whether a text is the title (-1) or a running
// head (1), where a book writes these in two ways; 0 when it does not tell.
func (r *running) written(raw string) int {
	switch own := r.forms[raw]; {
	case own >= 3 && !r.titles[raw]:
		return 1
	case !r.titles[raw]:
		return 0
	default:
		for f, n := range r.forms {
			if n >= 3 && n > 3*own && !r.titles[f] {
				return -1
			}
		}
	}
	return 0
}

// addCapitals takes down the headings of a volume that are written with
// capitals.
func (hb *headbook) addCapitals(v *Volume, edges []edgeLine) {
	numbered := make([]bool, len(v.Lines))
	for i := range edges {
		numbered[edges[i].line] = edges[i].number || !edges[i].top
	}
	for i := range v.Lines {
		if l := &v.Lines[i]; l.Role == Text && l.Text.From <= 2 && int(l.Text.To) > v.Width/2 {
			hb.running.addSentences(v.TextOf(int32(i)))
		}
		if l := &v.Lines[i]; l.Role == Text && l.Text.From >= 3 && !numbered[i] && v.Centred(int32(i)) {
			if t := v.TextOf(int32(i)); len(t) > 0 && (t[0] == ',' || t[0] == '#' && bytes.Contains(t, []byte(" ,"))) { // behind its number, it may be
				hb.running.capital[Normal(t)] = true
			}
		}
	}
}

// signs are the cells that can stand before the first letter of a word.
var signs = func() (set [256]bool) {
	for _, c := range []byte(" ,;78#.\"_@^'-") {
		set[c] = true
	}
	return set
}()

// addSentences counts the sentences that begin within a line, with a capital or
// a letter: after a full stop and a blank. Behind the number of a verse or paragraph a
// capital tells, for there mostly one sentence stands; the items of lists begin without.
func (r *running) addSentences(t []byte) {
	if t[0] == '#' {
		if n := firstTokenEnd(t, 0); n+2 < len(t) && t[n] == cell.Blank && t[n+1] == ',' && !signs[t[n+2]] {
			r.sentences++
			r.capped++
		}
	}
	for i := 3; i+1 < len(t); i++ {
		if t[i-2] != '4' || t[i-1] != cell.Blank || t[i-3] == cell.Blank || t[i] != ',' && signs[t[i]] {
			continue
		}
		if t[lastToken(t[:i-2])] == '#' {
			continue // the number of an item
		}
		r.sentences++
		if t[i] == ',' {
			r.capped++
		}
	}
}

// countPlain counts heads that are written without the capitals of the
// headings they repeat, and texts between two numbers.
func (hb *headbook) countPlain(v *Volume, edges []edgeLine) {
	for i := range edges {
		e := &edges[i]
		if l := &v.Lines[e.line]; e.top && e.norm != "" && l.Left.To > 0 && l.Right.To > 0 {
			hb.running.between++
			if e.middle {
				hb.running.mid++
			}
		}
		if !e.middle || e.norm == "" || !hb.running.capital[e.norm] || v.firstPage(e.page) {
			continue
		}
		if string(v.spanOf(e)) == e.norm {
			hb.running.plain++
		} else if e.number {
			hb.running.caps++
		}
	}
}

// plainHead reports whether an edge line is a heading without its capitals,
// where heads are written so.
func (v *Volume) plainHead(e *edgeLine, hb *headbook) bool {
	r := &hb.running
	return e.middle && r.plain >= 3 && r.plain > 4*r.caps && r.capital[e.norm] && string(v.spanOf(e)) == e.norm && strings.IndexByte(e.norm, ',') < 0
}

// prelimPage reports whether an edge line stands on a page of preliminary
// matter: numbered as such, under the line a heading of such matter, or nothing
// but centred lines on the page.
func (v *Volume) prelimPage(e *edgeLine) bool {
	pg := &v.Pages[e.page]
	if b := pg.Braille; b != nil && (b.Roman || b.Prefix == "t" || b.Prefix == "p") {
		return true
	}
	first, running := true, false
	for i := e.line + 1; i < pg.Last; i++ {
		if v.Lines[i].Role != Text {
			continue
		}
		t := v.TextOf(i)
		if first {
			if p, ok := v.Words.Prefix(t); ok && apart[p.ID] {
				return true
			}
			if oneCellIn(t) {
				return false
			}
		}
		first = false
		running = running || v.Lines[i].Text.From <= 2 && int(v.Lines[i].Text.To) > v.Width/2
	}
	return !first && !running && int32(pg.Bottom-pg.First) < int32(v.Height)*2/3 && e.page < 12
}

// followed reports whether running text stands under a heading, on its page.
func (v *Volume) followed(i int32) bool {
	for k := i + 1; k < v.Pages[v.PageOf[i]].Last; k++ {
		if l := &v.Lines[k]; l.Role == Text && l.Text.From <= 4 && int(l.Text.To) > v.Width/2 {
			return true
		}
	}
	return false
}
