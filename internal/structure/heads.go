package structure

import (
	"bytes"
	"strings"

	"continuo/internal/cell"
	"continuo/internal/english"
)

// This file tells headings in the middle from lines of text that stand there by chance.

// sign is something that tells of a unit, and what it is called.
type sign struct {
	name string
	of   func(f *Flow, i int) bool
}

// noHeading is what tells that a line in the middle is of text.
var noHeading = [...]sign{
	{"a note begins with it", func(f *Flow, i int) bool { return f.units[i].Note }},
	{"as long as lines of text", func(f *Flow, i int) bool { return len(f.units[i].Text) > f.Vols[f.units[i].Vol].TextWidth-6 }},
	{"its last word goes on", func(f *Flow, i int) bool { return dividedWord(f.units[i].Text) }},
	{"a comma ends it", func(f *Flow, i int) bool { return f.endsInComma(i) }},
	{"ends the sentence of the line before", (*Flow).endsLineBefore},
	{"a sentence in brackets", func(f *Flow, i int) bool { return aside(f.units[i].Text) }},
	{"it has a runover", func(f *Flow, i int) bool { return f.runsOn(i) && !f.severalLines(i) }},
	{"displayed text begins with it", (*Flow).displayed},
	{"within a transcriber's note", (*Flow).noteSigns},
	{"under a line that steps in", (*Flow).underLine},
	{"a paragraph begins with it", (*Flow).opensParagraph},
	{"lines at its cell stand around it", (*Flow).amongLines},
	{"of an imprint", (*Flow).imprint},
	{"the end of a letter", (*Flow).letterEnd},
	{"among lines with numbers", (*Flow).besideLeftNumbers},
	{"in brackets over several lines", func(f *Flow, i int) bool {
		return i+1 < len(f.units) && f.inBrackets(i, i+1) || i > 0 && f.inBrackets(i-1, i)
	}},
	{"a full line goes on with it", (*Flow).goesOnFull},
	{"a direction under its scene", (*Flow).underScene},
	{"a bracket stays open", func(f *Flow, i int) bool {
		t := f.units[i].Text
		return opensBracket(t) && !bracketCloses(t) && !(i+1 < len(f.units) && f.exactMiddle(i) && f.exactMiddle(i+1))
	}},
	{"a name under text", (*Flow).name},
	{"a name right under text", (*Flow).tightName},
}

// heading reports whether unit i is a line of a heading: known for one, or centred, and not the
// runover of a full line before it. Where the volume has a level of text at
// the same indent, blank lines must set it apart.
func (f *Flow) heading(i int) bool {
	u := f.units[i]
	switch {
	case u.Listed && (i == 0 || f.gap[i].hard || u.PageTop):
		return true
	case f.refrain(i):
		return false
	case u.Side:
		return true
	}
	if !u.Centred || u.entry != noEntry || f.sense(i) {
		return false
	}
	if t := u.Text; (f.linesInMiddle(i) || f.underPart(i)) && !f.tightName(i) && !aside(t) && (!opensBracket(t) || bracketCloses(t)) && !f.imprint(i) && !f.letterEnd(i) && !f.noteSigns(i) {
		return true
	}
	for k := range noHeading {
		if noHeading[k].of(f, i) {
			return false
		}
	}
	v := f.Vols[u.Vol]
	return !v.Levels[min(u.Indent(), len(v.Levels)-1)] || f.severalLines(i) || f.headingAtLevel(i)
}

// headingAtLevel reports whether a centred unit at an indent of text is a line of a heading.
func (f *Flow) headingAtLevel(i int) bool {
	u := f.units[i]
	if f.directs(i) {
		return false
	}
	apart := i == 0 || f.gap[i].hard || u.PageTop || f.units[i-1].Centred && f.units[i-1].From != u.From && f.heading(i-1)
	after := i+1 == len(f.units) || f.gap[i+1].hard || f.units[i+1].From < u.From && (!f.fullFirst(i) || f.overParagraph(i)) ||
		f.units[i+1].From > u.From && (f.units[i+1].Side || f.twoInMiddle(i)) // verse may step in
	return apart && after && (i == 0 || f.gap[i].hard || f.gap[i].fits)
}

// twoInMiddle reports whether unit i and the next ones, four lines at most, stand in the middle to the cell
// and are all of a heading, whose last line ends no sentence: a blank line, a rule or text in cell 3 or 1 stands under them.
func (f *Flow) twoInMiddle(i int) bool {
	k := i + 1
	for k < len(f.units) && k < i+4 && !f.gap[k].hard && f.exactMiddle(k-1) && f.exactMiddle(k) {
		k++
	}
	if k == i+1 || EndsSentence(f.units[k-1].Text) {
		return false
	}
	return k == len(f.units) || f.gap[k].hard || f.units[k].Rule || f.units[k].From <= 2
}

// overParagraph reports whether unit i, in the middle to the cell, is as long as a first line and a paragraph in cell 3
// begins under it with a capital: on a narrow page its first word had no room beside a heading.
func (f *Flow) overParagraph(i int) bool {
	n := f.units[i+1]
	return f.exactMiddle(i) && !f.Vols[n.Vol].Small && n.From == 2 && opensHeading(n.Text) && f.units[i].From >= 4 && !EndsSentence(f.units[i].Text)
}

// underScene reports whether unit i, right under the number of an act or a scene, is the first line of a stage direction
// without brackets: it ends a sentence, and the next line stands two cells further out (cells 7-5, common practice).
func (f *Flow) underScene(i int) bool {
	if i == 0 || i+1 >= len(f.units) || f.gap[i].hard || f.gap[i+1].hard || f.units[i+1].From != f.units[i].From-2 {
		return false
	}
	t := f.units[i].Text
	return numberedPart(f.units[i-1]) && EndsSentence(t) && t[len(t)-1] == '4' && bytes.Count(t, []byte{cell.Blank}) >= 2
}

// underPart reports whether unit i is the title right under the number of a part, both in the middle to the cell.
func (f *Flow) underPart(i int) bool {
	if i == 0 || f.gap[i].hard || !f.exactMiddle(i) || !f.exactMiddle(i-1) || f.units[i].From == f.units[i-1].From || f.underScene(i) {
		return false
	}
	if i+1 < len(f.units) && f.fullFirst(i) && (f.Vols[f.units[i].Vol].Small || withinSentence(f.units[i+1].Text)) {
		return false // a paragraph begins with it
	}
	p := f.units[i-1]
	return p.HasPhrase && partNumber(*p.Phrase) && p.Page == f.units[i].Page
}

// linesInMiddle reports whether unit i is of two lines or more, with nothing else between blank lines,
// that stand in the middle to the cell, at different cells: one of them at no indent of text, or a
// rule under them, tells that they are not verse.
func (f *Flow) linesInMiddle(i int) bool {
	if !f.exactMiddle(i) {
		return false
	}
	a, b := i, i+1
	for a > 0 && !f.gap[a].hard && !f.units[a].PageTop && f.exactMiddle(a-1) {
		a--
	}
	for b < len(f.units) && !f.gap[b].hard && !f.units[b].PageTop && f.exactMiddle(b) && !f.underHeading(b) {
		b++
	}
	if b-a < 2 || b-a > 5 || a > 0 && !f.gap[a].hard && !f.units[a].PageTop {
		return false
	}
	ruled := b < len(f.units) && f.units[b].Rule
	if b < len(f.units) && !f.gap[b].hard && !f.units[b].PageTop && !ruled && !f.underHeading(b) && !f.atRight(b) {
		return false
	}
	if f.twoAlike(a, b) {
		return true
	}
	differ, free := false, ruled
	for _, u := range f.units[a:b] {
		differ = differ || u.From != f.units[a].From
		free = free || f.Vols[u.Vol].apart(u)
	}
	return differ && free
}

// atRight reports whether unit i ends at the right margin, far from the left one: an author, a date.
func (f *Flow) atRight(i int) bool {
	u := f.units[i]
	w := f.Vols[u.Vol].Width
	return int(u.From) >= w/3 && int(u.From)+len(u.Text) >= w-1
}

// twoAlike reports whether the units a up to b, which stand in the middle to the cell at one cell, are two lines of a heading
// that happen to be of one length: none ends in a mark of punctuation, and the second goes on the first, which opens
// with a capital, or ends in a short word without one.
func (f *Flow) twoAlike(a, b int) bool {
	if b-a != 2 || f.units[a].From != f.units[a+1].From || f.units[a].From < 3 {
		return false
	}
	one, two := f.units[a].Text, f.units[a+1].Text
	small := f.Vols[f.units[a].Vol].Small
	if endsClause(one) || endsClause(two) || !small && !opensHeading(one) {
		return false
	}
	last := one[bytes.LastIndexByte(one, cell.Blank)+1:]
	return withinSentence(two) || !small && last[0] != ',' && len(last) < 4 // "and of the" ends no line of a poem without a stop
}

// underHeading reports whether unit i, right under lines in the middle, is the first line of a
// paragraph in cell 3 or 1, for which the line before had room, or that opens with a capital in cell 3.
func (f *Flow) underHeading(i int) bool {
	if i+1 >= len(f.units) || f.units[i].From > 2 || !f.gap[i].known || f.gap[i+1].hard || !f.full(i+1) {
		return false
	}
	u, n := f.units[i], f.units[i+1]
	if !f.gap[i].fits && (u.From != 2 || f.Vols[u.Vol].Small || !opensHeading(u.Text) || endsClause(f.units[i-1].Text)) {
		return false // a long first word has no room beside the heading
	}
	return u.From == 2 && n.From == 0 || u.From == 0 && n.From <= 4
}

// endsInComma reports whether unit i ends in a comma or a semicolon, as no heading does but
// over several lines: a line of verse, of an address or of the close of a letter.
func (f *Flow) endsInComma(i int) bool {
	t := f.units[i].Text
	if n := len(t); n < 3 || t[n-1] != '1' && t[n-1] != '2' || t[n-2] == cell.Blank {
		return false
	}
	return i+1 == len(f.units) || f.gap[i+1].hard || !(f.exactMiddle(i) && f.exactMiddle(i+1))
}

// endsLineBefore reports whether unit i ends in a full stop the sentence that the line before, which is no line of a heading,
// leaves open: a line of verse.
func (f *Flow) endsLineBefore(i int) bool {
	if i == 0 || f.gap[i].hard || f.units[i-1].Rule || f.units[i-1].Side {
		return false
	}
	t, p := f.units[i].Text, f.units[i-1]
	if t[len(t)-1] != '4' || !EndsSentence(t) || EndsSentence(p.Text) {
		return false
	}
	return p.From == f.units[i].From && endsClause(p.Text) || !f.exactMiddle(i-1) && f.Vols[p.Vol].Levels[min(p.Indent(), len(f.Vols[p.Vol].Levels)-1)]
}

// severalLines reports whether unit i begins with a number and is the first of the lines of a
// heading.
func (f *Flow) severalLines(i int) bool {
	return i+1 < len(f.units) && itemNumber(f.units[i].Text) && !f.gap[i+1].hard && f.lineOfHeading(i+1)
}

// opensParagraph reports whether a full unit i is the first line of what goes on further out, in
// from the margin. A number alone in the middle is none: where all lines are short, the width of the text tells little.
func (f *Flow) opensParagraph(i int) bool {
	if onlyNumber(f.units[i].Text) && f.exactMiddle(i) {
		return false
	}
	return i+1 < len(f.units) && f.units[i+1].From > 0 && f.fullFirst(i) && !f.severalLines(i) && !f.stepsIn(i+1)
}

// goesOnFull reports whether unit i goes on a full line: a divided word, the runover of an item
// or of a line that steps in.
func (f *Flow) goesOnFull(i int) bool {
	if i == 0 || f.gap[i].hard || f.units[i-1].entry != noEntry {
		return false
	}
	u, p := f.units[i], f.units[i-1]
	switch {
	case u.Vol != p.Vol && EndsSentence(p.Text) && !dividedWord(p.Text):
		return false
	case f.gap[i].known && !f.gap[i].fits && u.From <= p.From+4 && itemNumber(p.Text) && !f.lineOfHeading(i), dividedWord(p.Text):
		return true
	case f.amongRunovers(i) && !f.exactMiddle(i):
		return true
	case p.Centred || f.gap[i].fits:
		return false
	case (f.gap[i].known && p.From >= 2 && !EndsSentence(p.Text) && !u.PageTop && !u.HasPhrase && u.Text[0] != '#' || f.amongRunovers(i)) &&
		!f.comesAgain(i): // the name of a speaker, after one who breaks off
		return true
	}
	return p.From >= u.From-2 || p.From >= 3 && u.From <= p.From+6
}

// comesAgain reports whether the words of unit i stand in the middle of a line near it once more.
func (f *Flow) comesAgain(i int) bool {
	for k := max(0, i-80); k < min(len(f.units), i+80); k++ {
		if k != i && f.units[k].Centred && bytes.Equal(f.units[k].Text, f.units[i].Text) {
			return true
		}
	}
	return false
}

// amongRunovers reports whether unit i, further in than the full line before it, has another unit
// near it, without a blank line between, that stands so at the same cell though it is longer or
// shorter: lines of a stanza and their runovers.
func (f *Flow) amongRunovers(i int) bool {
	u, p := f.units[i], f.units[i-1]
	over := func(k int) bool {
		d := len(f.units[k].Text) - len(u.Text)
		return f.units[k].From == u.From && f.units[k-1].From == p.From && f.gap[k].known && !f.gap[k].fits && (d < -1 || d > 1)
	}
	if u.From <= p.From || !f.gap[i].known {
		return false
	}
	for k := i - 1; k > 0 && k > i-8 && !f.gap[k].hard; k-- {
		if over(k) {
			return true
		}
	}
	for k := i + 1; k < len(f.units) && k < i+8 && !f.gap[k].hard; k++ {
		if over(k) {
			return true
		}
	}
	return false
}

// fullFirst reports whether unit i is the full first line of a paragraph: the next line
// stands further out, without a blank line between, and its first word had no room.
func (f *Flow) fullFirst(i int) bool {
	g := f.gap[i+1]
	return f.units[i+1].From < f.units[i].From && !g.hard && g.known && !g.fits
}

// lineOfHeading reports whether unit i and the one before it, which begins with a number, stand
// in the middle to the cell, and no line before them stands where that one does: lines of a heading.
func (f *Flow) lineOfHeading(i int) bool {
	if !f.exactMiddle(i-1) || !f.exactMiddle(i) {
		return false
	}
	return i < 2 || f.units[i-2].From != f.units[i-1].From
}

// stepsIn reports whether unit i is the first line of a paragraph that steps in: the line under
// it, without a blank line between, stands further out.
func (f *Flow) stepsIn(i int) bool {
	return i+1 < len(f.units) && !f.gap[i+1].hard && f.units[i+1].From < f.units[i].From && f.gap[i+1].known && !f.gap[i+1].fits
}

// noteSigns reports whether unit i stands within the signs of a transcriber's note that
// begins at most six lines before it: @.< and @.> (Rules of Unified English Braille 2013,
// 3.27), or dots 6, 3 on both sides (English Braille American Edition, from memory).
func (f *Flow) noteSigns(i int) bool {
	for k := i; k >= 0 && k > i-7; k-- {
		t := f.units[k].Text
		if ForTranscriber(t) {
			return true
		}
		if k < i && (bytes.HasSuffix(t, []byte("@.>")) || bytes.HasSuffix(t, []byte(",'"))) || f.gap[k].hard {
			return false
		}
	}
	return false
}

// underLine reports whether a centred line stands right under a line of cell 5 or further
// in that is not centred, in a volume whose centred lines, nine in ten, have a blank line,
// a rule or another of them above, or ends a sentence itself: the name under a verse, a line of
// it that stands in the middle by chance.
func (f *Flow) underLine(i int) bool {
	if i == 0 || f.gap[i].hard || f.units[i].PageTop || f.Vols[f.units[i].Vol].apart(f.units[i-1]) || f.units[i-1].From < 4 || f.gap[i].turned || f.units[i].HasPhrase || endsInNumber(f.units[i].Text) {
		return false
	}
	t := f.units[i].Text // a heading over two lines may end in a question mark
	return f.Vols[f.units[i].Vol].HeadsApart || EndsSentence(t) && (t[len(t)-1] == '4' || !f.exactMiddle(i-1))
}

// aside reports whether a text is a sentence in round or square brackets: a stage
// direction or a remark that stands in the middle by chance.
func aside(t []byte) bool {
	for _, b := range [...][2]string{{"7", "7"}, {"\"<", "\">"}, {",7", "7'"}, {".<", ".>"}} {
		if rest, ok := bytes.CutPrefix(t, []byte(b[0])); ok {
			rest, ok = bytes.CutSuffix(rest, []byte(b[1]))
			if n := len(rest); ok && n > 1 && bytes.IndexByte(rest, cell.Blank) > 0 && strings.IndexByte("468", rest[n-1]) >= 0 {
				return true
			}
		}
	}
	return false
}

// amongLines reports whether unit i stands among lines that begin at the same
// cell, without a blank line between, and are not all centred, or differ in length
// too much for that: verse, of which a line may stand in the middle by chance.
func (f *Flow) amongLines(i int) bool {
	from := f.units[i].From
	a, b := i, i+1
	for a > 0 && !f.gap[a].hard && f.units[a-1].From == from && !f.units[a-1].Rule {
		a--
	}
	for b < len(f.units) && !f.gap[b].hard && f.units[b].From == from && !f.units[b].Rule {
		b++
	}
	least, most := len(f.units[i].Text), len(f.units[i].Text)
	for _, u := range f.units[a:b] {
		if !u.Centred {
			return true
		}
		least, most = min(least, len(u.Text)), max(most, len(u.Text))
	}
	return most-least >= 4
}

// imprint reports whether unit i, before the text, is of a group of centred lines
// that begins with the wording of an imprint: "first published", "copyright",
// "produced by".
func (f *Flow) imprint(i int) bool {
	if u := f.units[i]; !u.Centred || u.Page >= f.Vols[u.Vol].BodyPage {
		return false
	}
	for i > 0 && !f.gap[i].hard && f.units[i-1].Centred {
		i--
	}
	p, ok := f.Vols[f.units[i].Vol].Words.Prefix(f.units[i].Text)
	return ok && ofImprint[p.ID]
}

var ofImprint = map[english.PhraseID]bool{english.FirstPublished: true, english.Copyright: true, english.AllRights: true, english.Isbn: true,
	english.PublishedBy: true, english.ProducedBy: true, english.TranscribedBy: true, english.Permission: true}

// runsOn reports whether the next unit is the runover of unit i: it stands
// further in and would not have fitted.
func (f *Flow) runsOn(i int) bool {
	if i+1 >= len(f.units) || f.gap[i+1].hard || f.gap[i+1].fits {
		return false
	}
	u, n := f.units[i], f.units[i+1]
	if u.Centred && n.Centred && (n.From > u.From+2 || f.exactMiddle(i) && f.exactMiddle(i+1)) && (i+2 >= len(f.units) || f.gap[i+2].hard || f.units[i+2].Rule) {
		return false // two centred lines of a heading
	}
	return n.From > u.From && (u.From+n.From)/2 < u.From+3 && !n.Rule
}

// exactMiddle reports whether unit i stands in the middle to the cell, on either side of it
// where it cannot (both are met: common practice).
func (f *Flow) exactMiddle(i int) bool {
	u := f.units[i]
	return u.Centred && f.Vols[u.Vol].Middle(u)
}

// Middle reports whether a unit stands in the middle of its line to the cell, on either side of it where it cannot.
func (v *Volume) Middle(u *Unit) bool {
	d := v.Width - len(u.Text) - 2*int(u.From)
	return d >= -1 && d <= 1
}
