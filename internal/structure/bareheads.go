package structure

import (
	"bytes"
	"strconv"

	"continuo/internal/cell"
	"continuo/internal/layout"
)

// This file finds headings at an indent in books that leave no blank line before them (older British books
// leave none before or after any heading, common practice), and letters over the entries of an index that
// no blank line sets apart or that all are.

// bareHabit is how many of them, over running text, show that a title has such headings.
const bareHabit = 5

// bareLines is what tells of lines at an indent that begin anew without a blank line before them.
type bareLines struct {
	at                     [][2]int        // volume and unit of each that may be a heading
	full                   [][2]int        // the same after a line with no room for their first word
	words                  map[string]bool // with the heading in the middle that they stand under
	same                   map[string]int  // by the word with which a short paragraph under them begins, "serves 4"
	over, all, ends, apart int             // over running text; begun anew in any way; before a heading in the middle or at the end; headings with a blank line before
}

// FindBareHeads finds headings in cell 5 or 7 that no blank line sets apart: a line begun anew after the
// end of a sentence or under a heading in the middle, which ends none itself, and text or a numbered item
// right under it. One such line tells nothing. Several over running text do, with different words in each chapter, where nearly
// all lines that begin anew in that cell are such: verse is not, nor are names under what somebody wrote,
// after which a chapter ends, nor speakers.
func FindBareHeads(vols []*Volume) {
	for _, v := range vols {
		if v.RepeatOf == nil {
			v.markNumberedParts()
		}
	}
	for _, in := range sideIndents {
		var b bareLines
		b.words, b.same = map[string]bool{}, map[string]int{}
		for n, v := range vols {
			if v.RepeatOf == nil && !v.Blocked {
				v.countBare(&b, n, in)
			}
		}
		for _, n := range b.same {
			if n >= bareHabit {
				b.over += n
			}
		}
		if b.over < bareHabit || b.apart*2 > len(b.at) || b.ends*12 > b.over || len(b.at)*5 < b.all*4 || len(b.words)*3 < len(b.at)*2 {
			continue
		}
		for _, x := range append(b.at, b.full...) {
			vols[x[0]].Units[x[1]].Side = true
			vols[x[0]].runoversBefore(x[1])
		}
	}
}

// countBare counts the lines of a volume at an indent.
func (v *Volume) countBare(b *bareLines, vol int, in int32) {
	under := -1 // the last heading in the middle
	for i := v.firstUnitOf(v.BodyPage); i < v.End[0] && i+1 < len(v.Units); i++ {
		u := &v.Units[i]
		if v.apart(u) && !u.Rule {
			under = i
		}
		if u.From != in || u.Rule || v.apart(u) && u.Blanks > 0 || i == 0 || onlyNumber(u.Text) {
			continue
		}
		if !v.begunHere(i) && !(EndsSentence(v.Units[i-1].Text) && (v.overText(i+1) || v.overFirst(i))) {
			if n := &v.Units[i+1]; EndsSentence(v.Units[i-1].Text) && v.bareLine(i) && n.Page == u.Page && n.Blanks == 0 && slack(u, n) >= 0 && (n.From == 2 || itemNumber(n.Text)) {
				b.full = append(b.full, [2]int{vol, i})
			}
			continue
		}
		b.all++
		switch n := &v.Units[i+1]; {
		case u.Side && u.Blanks > 0:
			b.apart++
			b.all--
		case u.Blanks > 0, !u.Side && !v.bareLine(i):
		case v.apart(n) || n.Blanks > 1 || n.Filler > 2:
			b.ends++
		case (n.Blanks == 0 || v.overFirst(i)) && !n.Rule && n.From < in && (slack(u, n) >= 0 || !v.Small && opensHeading(n.Text)):
			b.at = append(b.at, [2]int{vol, i})
			if n.From == 2 && v.overText(i+1) || v.overFirst(i) {
				b.over++
			} else if n.From == 2 {
				b.same[string(firstWord(n.Text))]++
			}
			b.words[strconv.Itoa(vol)+" "+strconv.Itoa(under)+" "+layout.Normal(u.Text)] = true
		}
	}
}

// overFirst reports whether unit i stands over the first of numbered items, or the first verse of a chapter.
func (v *Volume) overFirst(i int) bool {
	n := &v.Units[i+1]
	return n.Page == v.Units[i].Page && (bytes.HasPrefix(n.Text, []byte("#a ")) || bytes.HasPrefix(n.Text, []byte("#a4 ")))
}

// markNumberedParts marks the numbers of acts and scenes in cell 5 or 7 that begin anew, one right under another, over a
// stage direction or between blank lines, and the heading of the list of characters over that list: their words tell.
func (v *Volume) markNumberedParts() {
	for i := len(v.Units) - 2; i >= v.firstUnitOf(v.BodyPage); i-- {
		u, n := &v.Units[i], &v.Units[i+1]
		if u.From != 4 && u.From != 6 || !u.HasPhrase || i == 0 || i >= v.End[0] || n.Page != u.Page || !v.begunHere(i) {
			continue
		}
		apart := n.Blanks > 0 && (u.Blanks > 0 || u.PageTop)
		part := numberedPart(u) && len(u.Phrase.Tail) == 0 && (n.Side && n.From != u.From || v.overDirection(i) || apart)
		if part || v.namesMatter(i) && n.From == 0 {
			u.Side = true
		}
	}
}

// onlyNumber reports whether a text is a number alone: see FindNumberHeads.
func onlyNumber(t []byte) bool { return t[0] == '#' && bytes.IndexByte(t, cell.Blank) < 0 }

// begunHere reports whether unit i begins anew: the line before it had room for its first word, or is no text.
func (v *Volume) begunHere(i int) bool {
	p, u := &v.Units[i-1], &v.Units[i]
	return u.Blanks > 0 || p.Rule || v.apart(p) || p.Page != u.Page && !v.midSentence(i) || slack(p, u) >= 2 && !dividedWord(p.Text)
}

// bareLine reports whether unit i has the words and the place of a heading at an indent that no blank line sets apart.
func (v *Volume) bareLine(i int) bool {
	u, p := &v.Units[i], &v.Units[i-1]
	if u.wide || ForTranscriber(u.Text) || !v.Small && !opensHeading(u.Text) && !numberedPart(u) || len(u.Text) > v.sideRoom() || endsClause(u.Text) && !EndsSentence(u.Text) || aside(u.Text) || opensBracket(u.Text) {
		return false
	}
	if n := len(u.Text); u.Text[n-1] == '4' || u.Text[n-1] == '-' || u.Text[n-1] == '"' || EndsInLabel(u.Text) && !v.partLine(i) && !v.overFirst(i) {
		return false
	}
	return p.Rule || v.apart(p) || p.Side || EndsSentence(p.Text) || closesBracket(p.Text) || v.partLine(i)
}

// letterHabit is how many letters, in the order of the alphabet, show that a list is parted by them.
const letterHabit = 4

// FindLetterHeads finds letters alone on their lines over the entries that begin with them, in cell 3 or further in, set apart
// or not: each comes later in the alphabet than the one before, and most entries under them
// begin so (an index with its letters as headings, common practice).
func FindLetterHeads(vols []*Volume) {
	type at struct {
		v *Volume
		i int
	}
	var run []at
	last, with := byte(0), 0
	end := func() {
		if len(run) >= letterHabit && with*2 >= len(run) {
			for _, x := range run {
				x.v.Units[x.i].Side = true
			}
		}
		run, last, with = run[:0], 0, 0
	}
	for _, v := range vols {
		if v.RepeatOf != nil {
			continue
		}
		for i := v.firstUnitOf(v.BodyPage); i+1 < len(v.Units); i++ {
			c := v.letterAlone(i)
			if c == 0 {
				continue
			}
			if c <= last {
				end()
			}
			run, last = append(run, at{v, i}), c
			with += boolInt(beginsWith(v.Units[i+1].Text, c))
		}
	}
	end()
}

// entrySigns are the signs of capitals, emphasis, quotation and letters that the word of an entry may begin with.
const entrySigns = ",;.^_127"

// letterAlone is the letter that is all of unit i, over a line that begins further out; 0 for none.
func (v *Volume) letterAlone(i int) byte {
	u, n := &v.Units[i], &v.Units[i+1]
	if u.From < 2 || len(u.Text) > 4 || n.From >= u.From || n.Rule || n.Blanks > 2 {
		return 0
	}
	c := loneLetter(u.Text)
	if i > 0 && !v.begunHere(i) && !beginsWith(n.Text, c) {
		return 0
	}
	return c
}

// loneLetter is the letter that is all of a text but for signs before it, 0 for none.
func loneLetter(text []byte) byte {
	t := bytes.TrimLeft(text, entrySigns)
	if len(t) != 1 || t[0] < 'a' || t[0] > 'z' {
		return 0
	}
	return t[0]
}

// beginsWith reports whether a letter is the first of a text, signs before it aside.
func beginsWith(text []byte, c byte) bool {
	return bytes.HasPrefix(bytes.TrimLeft(text, entrySigns), []byte{c})
}
