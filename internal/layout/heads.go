package layout

import (
	"bytes"
	"slices"

	"continuo/internal/cell"
	"continuo/internal/english"
)

// countHeads counts the heads of the volume that give themselves away.
func (v *Volume) countHeads(edges []edgeLine, hb *headbook) {
	v.past = &pastHeadings{}
	v.findTextPages()
	v.findSaid(edges)
	numbered, headlike := 0, 0
	v.headed = false
	for i := range edges {
		e := &edges[i]
		if e.top && e.number {
			numbered++
			v.headed = v.headed || e.norm != "" && e.like >= 2 && e.centred && !e.recurs() || v.guide(e.line)
			if e.norm == "" || v.guide(e.line) || e.like >= 2 && !e.recurs() || (e.centred && hb.likeHeading(e.norm, true)) {
				headlike++
			}
		}
	}
	v.numbered = numbered
	v.freeSide = v.sidesWithoutNumbers(edges)
	v.countMarginHeads(edges, hb)
	v.everyPage = v.headsOnEveryPage(edges, hb)
	v.Reserved = numbered >= 2 && headlike*10 >= numbered*9 || v.everyPage
	v.headed = v.headed || v.everyPage
	v.nearly = v.Reserved || numbered >= 4 && headlike >= numbered-1
	v.headed = v.headed || v.Reserved && v.repeatsHeadings(edges, hb)
	for i := range edges {
		switch e := &edges[i]; {
		case !e.centred || oneCell(e.norm) || e.recurs():
		case !e.top && (v.guide(e.line) || e.like >= 3 && (e.number || e.loose*4 <= e.like) || e.middle && (e.number || v.lastLine(e)) && v.followsHeading(e, hb)):
			v.footHeads++
		case e.top && !e.number && !e.opener && (e.like >= 2 || e.middle && (v.followsHeading(e, hb) || v.sameUnder(e))):
			v.bareHeads++
		}
	}
	v.findFootPlace(edges)
}

// headsOnEveryPage reports whether words stand in the middle of nearly every line 1 with a number,
// ten at least, and a sentence goes on under every third of them: no text stands there, though no
// head may stand twice.
func (v *Volume) headsOnEveryPage(edges []edgeLine, hb *headbook) bool {
	if !hb.running.capitals() { // the sentences do not tell
		return false
	}
	numbered, middle, within := 0, 0, 0
	for i := range edges {
		if e := &edges[i]; e.top && e.number {
			numbered++
			if e.middle && e.norm != "" && !oneCell(e.norm) && !e.recurs() {
				middle++
				if v.withinSentence(e, hb) {
					within++
				}
			}
		}
	}
	return numbered >= 10 && middle*10 >= numbered*9 && within*3 >= middle
}

// headingsAmongHeads reports whether a line beside a number at the top of a page, no title, is
// the first of its like and stands nowhere in the text: the heading of what the others are heads of
// (BANA, Braille Formats 2016, 1.8).
func (v *Volume) headingsAmongHeads(edges []edgeLine, hb *headbook) bool {
	return slices.ContainsFunc(edges, func(e edgeLine) bool {
		return e.top && e.number && e.middle && e.first && e.like >= 2 && v.begun(e.page) > 1 && !hb.isTitle(e.norm) && !hb.running.title.form(e.norm) && !v.saidWithin(&e, 60)
	})
}

// findFootPlace finds out whether a line stands in the middle at the foot of nearly all full
// pages with an even index, or an odd one: text does so by chance on few.
func (v *Volume) findFootPlace(edges []edgeLine) {
	var foot [2]int
	for i := range edges {
		if e := &edges[i]; !e.top && e.middle && v.lastLine(e) && !oneCell(e.norm) && !e.recurs() && (e.like >= 3 || v.byItself(e)) {
			foot[e.page%2]++
		}
	}
	full := v.filled()
	for k := range foot {
		v.footPlace[k] = foot[k] >= 3 && foot[k]*5 >= full[k]*4
	}
}

// sidesWithoutNumbers tells of the pages with an even index, and of those with an odd one,
// that line 1 has no numbers there while nearly all others have: it is for text (UK
// practice; the page information line on right-hand pages only, W3C w3c-wai-hc 1997, 0336).
func (v *Volume) sidesWithoutNumbers(edges []edgeLine) (free [2]bool) {
	var with [2]int
	for i := range edges {
		if e := &edges[i]; e.top && e.number {
			with[e.page%2]++
		}
	}
	for k := range free {
		free[k] = with[1-k] >= 5 && 10*with[1-k] >= 4*len(v.Pages) && 20*with[k] <= len(v.Pages)
	}
	return free
}

// byItself reports whether an edge line stands at no level of the text, and in no run of
// lines that begin where it does.
func (v *Volume) byItself(e *edgeLine) bool {
	return !v.atLevel(e.line) && !v.inRun(e.line, e.text.From)
}

// filled counts the pages with text on the last line of the paper, those with an even index
// and those with an odd one.
func (v *Volume) filled() (full [2]int) {
	for p := range v.Pages {
		if pg := &v.Pages[p]; pg.Bottom-pg.First >= int32(v.Height)-2 {
			full[p%2]++
		}
	}
	return full
}

// repeatsHeadings reports whether three lines in the middle of line 1, beside a number, repeat the
// heading before them: heads of chapters so short that no head stands twice.
func (v *Volume) repeatsHeadings(edges []edgeLine, hb *headbook) bool {
	n := 0
	for i := range edges {
		if e := &edges[i]; e.top && e.number && e.middle && n < 3 && v.followsHeading(e, hb) {
			n++
		}
	}
	return n >= 3
}

// markHeads gives line 1 and the last line of every page their role.
func (v *Volume) markHeads(edges []edgeLine, hb *headbook) {
	v.past, v.amid = &pastHeadings{}, map[string]bool{}
	v.everyPage = v.everyPage && !v.headingsAmongHeads(edges, hb)
	for i := range edges {
		v.markEdge(&edges[i], hb)
	}
	v.past = nil
	v.findOddOnly()
}

// markEdge decides what an edge line is.
func (v *Volume) markEdge(e *edgeLine, hb *headbook) {
	l := &v.Lines[e.line]
	if e.number && e.norm == "" {
		l.Role = Number
		v.Pages[e.page].Head = v.Pages[e.page].Head || e.top
		return
	}
	s := v.evidenceOf(e, hb)
	r := s.verdict()

	if v.guide(e.line) && (!s.opensNamed || s.around().follows) {
		r.sure = max(r.sure, 0.95)
	}
	if r.sure > 0 {
		if e.top && !e.number && s.within {
			v.amid[e.norm] = true
		}
		l.Role, l.Sure, l.Text = Head, r.sure, e.text
		v.Pages[e.page].Head = v.Pages[e.page].Head || e.top
		v.Heads++
		return
	}
	l.Text = e.text
	if e.top && e.number && e.middle && v.behindPart(v.TextOf(e.line)) != nil {
		v.addSaid(e.line) // the heading that begins its page
	}
	if e.number && e.top && e.centred && v.Reserved && !s.structural && !s.headsNext && !v.opensItsHeads(e, hb) {
		v.Oddities = append(v.Oddities, Oddity{e.line, "head-or-heading", "stands where the page information line is; kept as text: " + r.why, v.namesSection(e)})
	}
}

// opensItsHeads reports whether an edge line is the heading or title that the heads
// of its pages repeat: the first of its kind, on other pages too, or the title
// above the text (BANA, Braille Formats 2016, 1.8).
func (v *Volume) opensItsHeads(e *edgeLine, hb *headbook) bool {
	return e.first && e.like >= 3 || hb.isTitle(e.norm) && v.firstNumbered(e.page) || v.titleGoesOn(e, hb) || v.onTitlePage(e, hb)
}

// namesSection reports whether a line that is like no other edge line of the volume is a heading:
// its words are those of a part of a book, or it begins the first page of the text.
func (v *Volume) namesSection(e *edgeLine) bool {
	_, words := v.Words.Lookup([]byte(e.norm))
	return e.like <= 1 && (words || v.firstNumbered(e.page))
}

// structural reports whether the line is a structure word of its own, such as
// a contents heading that is repeated on each of its pages.
func (v *Volume) structural(e *edgeLine) bool {
	if e.number && (e.like*5 >= len(v.Pages) || v.overItsWords(e)) {
		return false
	}
	p, ok := v.Words.Lookup([]byte(e.norm))
	if !ok {
		return false
	}
	if top := v.Pages[e.page].Top; !e.top && top >= 0 && top < e.line && Normal(v.TextOf(top)) == e.norm {
		return false // the head of the page that begins with that heading
	}
	switch p.ID {
	case english.Contents, english.GeneralContents, english.EndOfVolume, english.EndOfBook, english.ContinuedIn, english.Volume, english.InVolumes:
		return !e.number || e.like < 3
	}
	return headsNotes(p) && e.top && (!e.number || e.like < 3) && v.overFirstNote(e.line)
}

// headsNotes reports whether a structure word is the heading of notes.
func headsNotes(p english.Phrase) bool {
	return p.ID == english.Notes || p.ID == english.Footnotes || p.ID == english.Endnotes
}

// overFirstNote reports whether the line under line i begins as the first of several notes
// does: with the number one, or with a sign that has none.
func (v *Volume) overFirstNote(i int32) bool {
	number, ok := v.noteUnder(i)
	return ok && (number == "" || number == "#a")
}

// noteUnder is the number with which the line under line i begins as a note does, "" for a sign
// that has none.
func (v *Volume) noteUnder(i int32) (number string, ok bool) {
	next := v.below(i)
	if next < 0 {
		return "", false
	}
	w, _, _ := bytes.Cut(v.TextOf(next), []byte{cell.Blank})
	n := bytes.TrimLeft(w, ";7<")
	sign := false
	for _, s := range []string{"99", "\"9", "@,?", "9"} {
		if rest, ok := bytes.CutPrefix(n, []byte(s)); ok {
			n, sign = rest, len(s) > 1
			break
		}
	}
	if n = bytes.TrimRight(n, "47\">"); len(n) > 0 && n[0] == '#' {
		return string(n), true
	}
	return "", sign
}

// findOddOnly reports numbers or heads on line 1 of every other page only.
func (v *Volume) findOddOnly() {
	var with, total [2]int
	for p := range v.Pages {
		total[p%2]++
		if v.Pages[p].Head {
			with[p%2]++
		}
	}
	for k := range with {
		if total[k] >= 3 && total[1-k] >= 3 && with[k]*10 >= total[k]*7 && with[1-k]*10 <= total[1-k] {
			v.OddOnly = true
		}
	}
}
