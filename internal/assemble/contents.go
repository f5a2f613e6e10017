package assemble

import (
	"slices"
	"sort"
	"strings"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/decide"
	"continuo/internal/diag"
	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/structure"
)

// contentsList is the one contents list of the book, made of the volumes'
// lists.
type contentsList struct {
	lines []listLine
	print bool // its numbers are print pages and stay
	two   bool // the volumes' lists have a column of print pages and one of braille pages
	first bool // the print pages stand in the first of these

	paired bool // the entries of the list that is read now are of two lines
	left   bool // the numbers of the list that is read now stand before the words
	whole  bool // each of its lines without a number has lines further in after it, the last of them alone with one
}

// listLine is one line of the list: units of one volume that belong together.
type listLine struct {
	vol      int
	units    []int
	kind     book.Kind
	repeat   bool // an earlier list has the same entry
	general  bool // left of a general list
	isRule   bool
	norm     string
	print    []byte // print page number to be written after it
	numbered bool
	lead     bool // its number stands at the end of its first line, runovers after it
	left     bool // its number stands before its words

	to         place   // the heading that it names
	confidence float64 // of that, 0 when none was found
}

// contents makes one list of the volumes' contents lists. A list whose numbers
// are braille pages loses them; a general list that only says which volume
// holds what goes when the volumes have lists of their own.
func (a *assembly) contents() {
	own := false
	for i, v := range a.vols {
		for _, r := range v.Contents {
			own = own || (!r.General && v.RepeatOf == nil && a.open(i, r))
		}
	}
	a.findHeadings()
	a.findInnerHeads()
	a.list.print = a.printNumbers()
	for i, v := range a.vols {
		if v.RepeatOf != nil {
			continue
		}
		for _, r := range v.Contents {
			if r.General && own {
				continue
			}
			a.addRegion(i, v, r)
		}
	}
	a.joinEntries()
	a.keepOneHeading()
	for i, v := range a.vols {
		for _, r := range v.Contents {
			if r.General && own && v.RepeatOf == nil {
				a.dropGeneral(i, v, r)
			}
		}
	}
	a.joinEntries()
	a.markListed()
	a.markSpelled()
	a.listPages()
	a.tellList()
}

// listPages finds the print page of each entry that loses a braille page.
func (a *assembly) listPages() {
	for k := range a.list.lines {
		if l := &a.list.lines[k]; l.numbered && !a.list.print && l.confidence >= sure {
			l.print = l.to.printCells()
		}
	}
}

// open reports whether units of a region still have no fate.
func (a *assembly) open(i int, r structure.Region) bool {
	for k := r.From; k < r.To; k++ {
		if a.fates[i][k] == asText {
			return true
		}
	}
	return false
}

// place is where a heading stands.
type place struct {
	vol, unit int
	lines     int // of the heading, those whose words were compared
	print     cell.Label
	hasPrint  bool
}

// findHeadings finds the headings of the text, in reading order and by their words.
func (a *assembly) findHeadings() {
	a.heads = map[string][]place{}
	var cur cell.Label
	var ahead marksAhead
	set, one := false, a.beginsOnPageOne()
	for i, v := range a.vols {
		if v.RepeatOf != nil {
			continue
		}
		from, lettered := a.bodyUnit(v), lettered(v)
		for k := range v.Units {
			u := &v.Units[k]
			if one && k >= from {
				cur, set, one = cell.Label{Value: 1}, true, false
			}
			for _, t := range u.Turns {
				cur, set = t.Label, !t.Bare && (t.Line >= 0 || !ahead.turnsOn(v, u.Page))
			}
			if k > 0 {
				for _, lab := range v.Inline[v.Units[k-1].Line] {
					cur, set = lab, true
				}
			}
			if k > 0 && u.Page != v.Units[k-1].Page {
				switch here := v.Pages[u.Page].Print; {
				case v.Marks+v.Rows == 0:
					set = here != nil && !ahead.turnsOn(v, u.Page)
				case lettered && len(u.Turns) == 0:
					set = here != nil && here.Value == cur.Value && here.Roman == cur.Roman
				}
			}
			if k < from && !a.prelimHeading(i, k) || a.inContents(i, k) || u.Rule || !v.CanHead(k) {
				continue
			}
			pl := place{i, k, 1, cur, set || beginsPage(v, k, cur)}
			a.places = append(a.places, pl)
			n := structure.HeadingKey(layout.Normal(u.Text))
			a.heads[n] = append(a.heads[n], pl)
			for j := k + 1; j < len(v.Units) && j < k+4 && v.HeadingGoesOn(k, j); j++ {
				pl.lines++
				n += " " + structure.HeadingKey(layout.Normal(v.Units[j].Text))
				a.heads[n] = append(a.heads[n], pl)
				for _, short := range withoutWord(u, n) {
					a.heads[short] = append(a.heads[short], pl)
				}
			}
		}
	}
}

// beginsPage reports whether unit k begins a braille page whose number names print page
// cur alone, in a volume that tells print pages by numbers only: such a number is that of
// the page on which the text of the braille page begins (observed in UK volumes; BANA
// Braille Formats 2016, 1.11).
func beginsPage(v *structure.Volume, k int, cur cell.Label) bool {
	if v.Marks+v.Rows > 0 || k > 0 && v.Units[k-1].Page == v.Units[k].Page {
		return false
	}
	here := v.Pages[v.Units[k].Page].Print
	return here != nil && here.Last <= here.Value && here.SamePage(cur)
}

// beginsOnPageOne reports whether the first print page turn of the text, marked in it, is to
// page 2, and no page has its print page in a corner: what stands before is page 1.
func (a *assembly) beginsOnPageOne() bool {
	for _, v := range a.vols {
		if v.RepeatOf != nil || a.bodyUnit(v) == len(v.Units) {
			continue
		}
		for p := range v.Pages {
			if v.Pages[p].Print != nil {
				return false
			}
		}
		l := new(marksAhead).next(v, v.Units[a.bodyUnit(v)].Page)
		return l != nil && l.Value == 2 && !l.Roman && l.Prefix == "" && l.Suffix == ""
	}
	return false
}

// lettered reports whether the print page stands on the pages of a volume with a
// letter where it goes on: then a page without it is of a print page that has
// no number (BANA Braille Formats 2016, 1.11.6; BRL session 4).
func lettered(v *structure.Volume) bool {
	letters, with, all := 0, 0, 0
	for p := range v.Pages {
		if v.Pages[p].Top < 0 || int32(p) < v.BodyPage {
			continue
		}
		all++
		if l := v.Pages[p].Print; l != nil {
			with++
			if l.Prefix != "" {
				letters++
			}
		}
	}
	return letters >= 3 && with*3 >= all*2
}

// withoutWord is the words of a heading of several lines, its first one the name and
// number of a chapter or another part, as a contents list may give them: without the
// name, the number as it stands or in digits.
func withoutWord(u *structure.Unit, words string) (out []string) {
	if !u.HasPhrase || !structural(*u.Phrase) || u.Phrase.N == 0 || len(u.Phrase.Tail) > 0 {
		return nil
	}
	_, rest, ok := strings.Cut(words, " ")
	number, title, more := strings.Cut(rest, " ")
	if !ok || !more {
		return nil
	}
	out = append(out, rest)
	if digits := string(cell.Number(u.Phrase.N)); digits != number {
		out = append(out, digits+" "+title)
	}
	return out
}

// prelimHeading reports whether a unit can be the heading of a preface or other
// preliminary matter that the book keeps.
func (a *assembly) prelimHeading(i, k int) bool {
	v := a.vols[i]
	u := &v.Units[k]
	return i == a.first() && k >= v.Title[1] && u.Centred && (u.PageTop || u.Blanks > 0)
}

// turnsOn reports whether the print page may turn within a braille page that
// tells it by its number only: the next number is another one, or not known. It does
// not where the next turn that is marked in the text is to the print page after.
func (m *marksAhead) turnsOn(v *structure.Volume, page int32) bool {
	here := v.Pages[page].Print
	if here == nil || here.Last > here.Value {
		return true
	}
	if l := m.next(v, page); l != nil && l.Value == here.Value+1 && l.Roman == here.Roman && l.Own() == here.Own() {
		return false
	}
	for p := page + 1; int(p) < len(v.Pages); p++ {
		if next := v.Pages[p].Print; next != nil {
			return next.Value != here.Value || next.Roman != here.Roman || next.Own() != here.Own()
		}
	}
	return true
}

// marksAhead finds next marks for pages in rising order: it remembers the last answer.
type marksAhead struct {
	of       *structure.Volume
	from, at int // the answer holds for units from up to at
	label    *cell.Label
}

// next is the label of the first print page turn that is marked in the text of a
// page or of those after it, nil if there is none.
func (m *marksAhead) next(v *structure.Volume, page int32) *cell.Label {
	k := sort.Search(len(v.Units), func(k int) bool { return v.Units[k].Page >= page })
	if m.of != v || k < m.from || k > m.at {
		at, label := markFrom(v, k)
		*m = marksAhead{v, k, at, label}
	}
	return m.label
}

// markFrom is the first mark from unit k on, and its unit; nil and the number of units
// when there is none.
func markFrom(v *structure.Volume, k int) (int, *cell.Label) {
	for ; k < len(v.Units); k++ {
		for i := range v.Units[k].Turns {
			if t := &v.Units[k].Turns[i]; t.Line >= 0 && !t.Bare {
				return k, &t.Label
			}
		}
		if l := v.Inline[v.Units[k].Line]; len(l) > 0 {
			return k, &l[0]
		}
	}
	return k, nil
}

// printNumbers decides whether the numbers of the lists are print pages, by
// looking up where the headings of the entries stand.
func (a *assembly) printNumbers() bool {
	if a.list.two, a.list.first = a.twoColumns(); a.list.two {
		return true
	}
	braille, print, label := 0, 0, 0
	for i, v := range a.vols {
		for _, r := range v.Contents {
			a.list.left = a.leftNumbers(v, r)
			for k := r.From; k < r.To; k++ {
				u := &v.Units[k]
				switch {
				case u.HasPhrase && u.Phrase.ID == english.BraillePage:
					label--
				case u.HasPhrase && u.Phrase.ID == english.PrintPage:
					label++
				}
				b, p := a.vote(i, v, r, k)
				braille, print = braille+b, print+p
			}
		}
	}
	if braille != print {
		return print > braille
	}
	return label > 0 && a.knowsPrint()
}

func (a *assembly) knowsPrint() bool {
	for _, v := range a.vols {
		if v.Marks+v.Rows > 0 {
			return true
		}
		for _, s := range v.Slots {
			if s == layout.PrintPage {
				return true
			}
		}
	}
	return false
}

// vote checks the number of the entry that ends in unit k, or begins with it where the numbers stand
// before the words, against the place of its heading.
func (a *assembly) vote(i int, v *structure.Volume, r structure.Region, k int) (braille, print int) {
	t := v.Units[k].Text
	if a.list.left {
		if e, ok := leftEntry(t); ok {
			return a.voteFor(i, v, e.text, t[e.from:e.to])
		}
		return 0, 0
	}
	e, ok := splitEntry(t)
	if !ok {
		return 0, 0
	}
	return a.voteFor(i, v, a.wordsBefore(v, r, k, e.text), t[e.from:e.to])
}

// wordsBefore is the words of the entry whose last line is unit k, its own words text: with as many
// lines above that stand further out and have no number as are a heading together.
func (a *assembly) wordsBefore(v *structure.Volume, r structure.Region, k int, text []byte) []byte {
	words := text
	for n := k - 1; n > r.From && n >= k-4; n-- {
		u := &v.Units[n]
		if u.Rule || u.Centred || u.From > v.Units[k].From || listHeading(u) || structure.EndsInLabel(u.Text) {
			break
		}
		words = append(append(append([]byte(nil), u.Text...), cell.Blank), words...)
		if u.From < v.Units[k].From && a.heads[structure.HeadingKey(layout.Normal(words))] != nil {
			return words
		}
	}
	return text
}

// leftEntry takes the number off an entry that begins with it.
func leftEntry(t []byte) (e entryParts, ok bool) {
	num := len(firstToken(t))
	l, ok := cell.ParseLabel(t[:num])
	if !ok || l.Bare || num == len(t) {
		return entryParts{t, 0, 0}, false
	}
	at := num
	for at < len(t) && t[at] == cell.Blank {
		at++
	}
	return entryParts{t[at:], 0, num}, true
}

// leftNumbers reports whether the numbers of a list stand before the words (print pages at the left:
// common practice): nearly all its entries begin with one and end in none, and what
// follows is a heading of the text, with the number none.
func (a *assembly) leftNumbers(v *structure.Volume, r structure.Region) bool {
	n, left, named := 0, 0, 0
	for k := r.From + 1; k < r.To; k++ {
		u := &v.Units[k]
		if u.Rule || u.Centred || listHeading(u) || listWords(u) {
			continue
		}
		n++
		e, ok := leftEntry(u.Text)
		if !ok || structure.EndsInLabel(u.Text) {
			continue
		}
		left++
		named += boolInt(a.heads[structure.HeadingKey(layout.Normal(e.text))] != nil && a.heads[structure.HeadingKey(layout.Normal(u.Text))] == nil)
	}
	return named >= 2 && left*2 >= n && named*2 >= left
}

// voteFor checks a number of an entry against the place of its heading.
func (a *assembly) voteFor(i int, v *structure.Volume, text, number []byte) (braille, print int) {
	lab, _ := cell.ParseLabel(number)
	for _, pl := range a.heads[structure.HeadingKey(layout.Normal(text))] {
		if pl.hasPrint && lab.SamePage(pl.print) {
			print = 1
		}
		if pl.vol != i {
			continue
		}
		b := v.Pages[v.Units[pl.unit].Page].Braille
		if b != nil && b.Value == lab.Value || b == nil && int(v.Units[pl.unit].Page)+1 == lab.Value {
			braille = 1
		}
	}
	if braille+print == 2 {
		return 0, 0
	}
	return braille, print
}

// entryParts is a contents entry taken apart: its text, and its number with the
// cells from up to to of the line. Guide dots, and in a list with two columns the
// other number, are what is left.
type entryParts struct {
	text     []byte
	from, to int
}

// splitEntry takes guide dots and number off a contents entry.
func splitEntry(t []byte) (e entryParts, ok bool) {
	if !structure.EndsInLabel(t) {
		return entryParts{t, 0, 0}, false
	}
	num := len(t)
	for num > 0 && t[num-1] != cell.Blank {
		num--
	}
	text := t[:guideFrom(t, num)]
	if len(text) == num-1 && ownNumber(t) {
		return entryParts{t, 0, 0}, false
	}
	return entryParts{text, num, len(t)}, true
}

// split is splitEntry for the lists of the book: of two numbers it takes that of
// the print page.
func (a *assembly) split(t []byte) (entryParts, bool) {
	e, ok := splitEntry(t)
	if !ok || !a.list.two {
		return e, ok
	}
	if first, found := otherNumber(t, e); found {
		if !a.list.first {
			first.from, first.to = e.from, e.to
		}
		return first, true
	}
	return e, true
}

// otherNumber finds a second number before that of an entry: after guide dots or
// two blanks, and two blanks before the other (column of print pages and column of
// braille pages: common practice).
func otherNumber(t []byte, e entryParts) (entryParts, bool) {
	to := e.from
	for to > 0 && t[to-1] == cell.Blank {
		to--
	}
	from := to
	for from > 0 && t[from-1] != cell.Blank {
		from--
	}
	l, ok := cell.ParseLabel(t[from:to])
	if !ok || l.Bare || e.from-to < 2 || from < 2 || t[from-2] != cell.Blank && guideFrom(t, from) == from-1 {
		return entryParts{}, false
	}
	return entryParts{t[:guideFrom(t, from)], from, to}, true
}

// twoColumns decides whether the volumes' lists have two columns of numbers, and
// whether the first is that of the print pages: by the places of the headings, or
// else by the labels over the columns.
func (a *assembly) twoColumns() (two, first bool) {
	n, both, lead, label := 0, 0, 0, 0
	for i, v := range a.vols {
		for _, r := range v.Contents {
			for k := r.From; k < r.To; k++ {
				t := v.Units[k].Text
				label += printLabelFirst(v, &v.Units[k])
				e, ok := splitEntry(t)
				if !ok {
					continue
				}
				n++
				if f, ok := otherNumber(t, e); ok {
					both++
					words := a.wordsBefore(v, r, k, f.text)
					b, p := a.voteFor(i, v, words, t[f.from:f.to])
					lead += p - b
					b, p = a.voteFor(i, v, words, t[e.from:e.to])
					lead += b - p
				}
			}
		}
	}
	if lead == 0 {
		lead = label
	}
	return both >= 2 && both*4 >= n*3 && lead != 0, lead > 0
}

// printLabelFirst reads the labels over two columns: 1 when that of the print pages
// comes first, -1 when it comes second, 0 for any other line.
func printLabelFirst(v *structure.Volume, u *structure.Unit) int {
	cols := structure.Columns(u.Text, 0)
	if len(cols) != 2 {
		return 0
	}
	p, ok := v.Words.Lookup(u.Text[cols[0].From:cols[0].To])
	q, ok2 := v.Words.Lookup(u.Text[cols[1].From:cols[1].To])
	switch {
	case ok && p.ID == english.PrintPage || ok2 && q.ID == english.BraillePage:
		return 1
	case ok && p.ID == english.BraillePage || ok2 && q.ID == english.PrintPage:
		return -1
	}
	return 0
}

// ownNumber reports whether a text is a structure word and its number, such as
// "chapter 3": the number is no page.
func ownNumber(t []byte) bool {
	p, ok := english.Lookup(t) // an English book's own words: chapter, part
	if !ok || len(p.Tail) > 0 {
		return false
	}
	switch p.ID {
	case english.Chapter, english.Part, english.Book, english.Section, english.Act, english.Scene, english.ActScene, english.Canto, english.Unit, english.Letter, english.Stave, english.Appendix:
		return true
	}
	return false
}

// guideFrom is where the guide dots and blanks before cell num begin.
func guideFrom(t []byte, num int) int {
	i := num
	for i > 0 && t[i-1] == cell.Blank {
		i--
	}
	end := i
	for i > 0 && cell.Guide(t[i-1]) && t[i-1] == t[end-1] {
		i--
	}
	if end-i < 2 || (i > 0 && t[i-1] != cell.Blank) {
		return end
	}
	for i > 0 && t[i-1] == cell.Blank {
		i--
	}
	return i
}

// pageWords head the columns of numbers of contents lists.
var pageWords = map[english.PhraseID]bool{english.BraillePage: true, english.Page: true, english.PrintPage: true, english.Columns: true,
	english.BraillePages: true, english.PrintPages: true, english.PagesRange: true}

// addRegion adds the lines of one contents list.
func (a *assembly) addRegion(i int, v *structure.Volume, r structure.Region) {
	words := a.why("contents", "names only a volume or kind of page", "wording, in a contents list", 0.95)
	marker := a.why("marker", "line under a contents list", "the lists are one", 0.9)
	seen := map[string]bool{}
	for _, l := range a.list.lines {
		seen[l.norm] = true
	}
	a.list.paired, a.list.left = a.paired(v, r), a.leftNumbers(v, r)
	a.list.whole = wholeEntries(v, r)
	for k := r.From; k < r.To; k++ {
		u := &v.Units[k]
		if a.fates[i][k] != asText {
			continue
		}
		switch {
		case u.Rule && len(a.list.lines) > 0 && !structure.Asterisks(u.Text) && a.underList(i, v, k):
			a.leave(i, k, marker)
		case listHeading(u):
			a.fates[i][k] = asList
			a.list.lines = append(a.list.lines, listLine{vol: i, units: []int{k}, kind: book.Heading, norm: "\x00contents"})
		case listWords(u):
			a.leave(i, k, words)
		default:
			k = a.addEntry(i, v, k, r.To, seen, words)
		}
	}
}

// listHeading reports whether a unit is the heading of a contents list, or of
// one that goes on.
func listHeading(u *structure.Unit) bool {
	return u.HasPhrase && (u.Phrase.ID == english.Contents || u.Phrase.ID == english.GeneralContents || u.Phrase.ID == english.Continued)
}

// listWords reports whether a unit of a contents list names only a volume or a
// kind of page.
func listWords(u *structure.Unit) bool {
	if !u.HasPhrase {
		return false
	}
	return (u.Phrase.ID == english.Volume || pageWords[u.Phrase.ID]) && !structure.EndsInLabel(u.Text) ||
		u.Phrase.ID == english.Volume && len(u.Phrase.Tail) == 0
}

// overHead is the unit with which the entry of unit k may go on: the next one,
// or the one under the heading that the list has again at the top of the next page.
func (a *assembly) overHead(i int, v *structure.Volume, k, to int) int {
	n := k + 1
	for n+1 < to && a.fates[i][n] == asText && v.Units[n].Page == v.Units[k].Page+1 && (listHeading(&v.Units[n]) || listWords(&v.Units[n])) {
		n++
	}
	return n
}

// underList reports whether an entry with a number, or a line that is left
// out, stands within three lines before unit k.
func (a *assembly) underList(i int, v *structure.Volume, k int) bool {
	for n := k - 1; n >= 0 && n >= k-3; n-- {
		if _, numbered := splitEntry(v.Units[n].Text); numbered || a.fates[i][n] == out {
			return true
		}
	}
	return false
}

// addEntry adds the entry that unit k begins and returns its last unit. What
// stands between its lines goes for the reason words.
func (a *assembly) addEntry(i int, v *structure.Volume, k, to int, seen map[string]bool, words book.ReasonID) int {
	l := listLine{vol: i, units: []int{k}, kind: book.Entry}
	u := &v.Units[k]
	if u.Rule {
		l.kind, l.isRule = book.Rule, true
		a.fates[i][k] = asList
		a.list.lines = append(a.list.lines, l)
		return k
	}
	for next := k + 1; !structure.EndsInLabel(v.Units[k].Text) && next < to; next = k + 1 {
		if next = a.overHead(i, v, k, to); a.lowerEntry(v, l.units, next) || a.fates[i][next] != asText || !a.runsOver(v, l.units[0], k, next) && !a.namesTogether(v, l.units, next, to) {
			break
		}
		for k++; k < next; k++ {
			a.leave(i, k, words)
		}
		l.units = append(l.units, k)
	}
	if n := a.leadsOn(i, v, k, to); n > k && len(l.units) == 1 {
		for l.lead = true; k < n; {
			k++
			l.units = append(l.units, k)
		}
	}
	if a.list.left {
		_, l.left = leftEntry(u.Text)
	}
	l.norm = layout.Normal(a.lineText(&l))
	_, l.numbered = a.numberOf(&l)
	l.repeat = seen[l.norm] && l.norm != ""
	for _, n := range l.units {
		a.fates[i][n] = asList
	}
	a.list.lines = append(a.list.lines, l)
	return k
}

// lowerEntry reports whether unit next is an entry of a lower level than the entry of units, which
// may have no numbers: these have the words of a heading, and it begins with the name and number of
// a part.
func (a *assembly) lowerEntry(v *structure.Volume, units []int, next int) bool {
	n := &v.Units[next]
	if n.From <= v.Units[units[0]].From || structure.EndsInLabel(n.Text) || a.heads[structure.HeadingKey(layout.Normal(a.entryText(v, units)))] == nil {
		return false
	}
	p, ok := v.Words.Prefix(n.Text)
	return ok && structural(p)
}

// runsOver reports whether unit next goes on the entry that unit first begins and unit
// k goes on: it stands further in, where its other runovers stand, and the line before
// it was full, or it has the number after other runovers.
func (a *assembly) runsOver(v *structure.Volume, first, k, next int) bool {
	u, n := &v.Units[k], &v.Units[next]
	if n.From <= v.Units[first].From || k > first && n.From != u.From {
		return false
	}
	if n.Rule || n.Centred && !structure.EndsInLabel(n.Text) || u.Centred || n.Blanks > 0 && next == k+1 && !n.PageTop || n.HasPhrase && n.Phrase.ID == english.Chapter {
		return false
	}
	if !structure.EndsInColon(u.Text) && a.headBegins(n.Text) && a.headBegins(a.entryText(v, []int{first})) {
		return false // a part and its first chapter
	}
	reach := int(u.To) + 1 + len(firstToken(n.Text))
	return a.list.whole || reach > v.TextWidth-8 || reach > v.ListReach(k) || k > first && structure.EndsInLabel(n.Text)
}

// wholeEntries reports whether no line of a list without a number is more than the first of an entry
// whose number stands on its last line: each has lines further in after it, of which the last alone has
// one. Under the name of a part, all have.
func wholeEntries(v *structure.Volume, r structure.Region) bool {
	n := 0
	for k := r.From + 1; k < r.To; k++ {
		u := &v.Units[k]
		if u.Rule || u.Centred || listHeading(u) || listWords(u) || structure.EndsInLabel(u.Text) {
			continue
		}
		last := k + 1
		for last < r.To && v.Units[last].From > u.From && !structure.EndsInLabel(v.Units[last].Text) && !v.Units[last].Rule {
			last++
		}
		if last == r.To || v.Units[last].From <= u.From || v.Units[last].Rule || last+1 < r.To && !v.Units[last+1].Rule && v.Units[last+1].From > u.From && !v.Units[last+1].Centred {
			return false
		}
		if p, ok := v.Words.Prefix(v.Units[k+1].Text); ok && structural(p) {
			return false
		}
		n++
		k = last
	}
	return n > 0
}

// namesTogether reports whether the units of an entry and the next one, or that and a few more, which
// stand further in, are the words of one heading together, and the
// next by itself is none.
func (a *assembly) namesTogether(v *structure.Volume, units []int, k, to int) bool {
	u := &v.Units[units[0]]
	if u.Centred || !a.list.paired && !structure.EndsInColon(v.Units[units[len(units)-1]].Text) && a.headBegins(a.entryText(v, []int{k})) {
		return false
	}
	for units = slices.Clone(units); k < to && len(units) < maxSpelled && !(v.Units[k].Rule || v.Units[k].Blanks > 0 || v.Units[k].From <= u.From); k++ {
		if units = append(units, k); a.heads[structure.HeadingKey(layout.Normal(a.entryText(v, units)))] != nil {
			return true
		}
		if structure.EndsInLabel(v.Units[k].Text) {
			break
		}
	}
	return false
}

// headBegins reports whether words are a heading, or the first line of one.
func (a *assembly) headBegins(words []byte) bool {
	return slices.ContainsFunc(a.heads[structure.HeadingKey(layout.Normal(words))], func(p place) bool { return !a.vols[p.vol].FurtherLine(p.unit) })
}

// leadsOn is the last unit of an entry whose first line, unit k, has its number: the lines after it have
// none, stand further in and are one heading with it, and by themselves none. It is k where there are none.
func (a *assembly) leadsOn(i int, v *structure.Volume, k, to int) int {
	e, ok := a.split(v.Units[k].Text)
	if !ok {
		return k
	}
	words := slices.Clone(e.text)
	for n := k + 1; n < to && n < k+maxSpelled && a.fates[i][n] == asText; n++ {
		u := &v.Units[n]
		if u.Rule || u.From <= v.Units[k].From || u.Blanks > 0 || structure.EndsInLabel(u.Text) || a.headBegins(u.Text) {
			break
		}
		words = append(append(words, cell.Blank), u.Text...)
		if a.heads[structure.HeadingKey(layout.Normal(words))] != nil {
			return n
		}
	}
	return k
}

// numberOf takes the line of an entry apart that has its number.
func (a *assembly) numberOf(l *listLine) (entryParts, bool) {
	us := a.vols[l.vol].Units
	switch {
	case l.left:
		return leftEntry(us[l.units[0]].Text)
	case l.lead:
		return a.split(us[l.units[0]].Text)
	}
	return a.split(us[l.units[len(l.units)-1]].Text)
}

// numberUnit is the unit of an entry that has its number.
func (l *listLine) numberUnit() int {
	if l.left || l.lead {
		return l.units[0]
	}
	return l.units[len(l.units)-1]
}

// lineText is the words of an entry.
func (a *assembly) lineText(l *listLine) []byte {
	v := a.vols[l.vol]
	if !l.left && !l.lead {
		return a.entryText(v, l.units)
	}
	e, _ := a.numberOf(l)
	text := slices.Clone(e.text)
	for _, k := range l.units[1:] {
		text = append(append(text, cell.Blank), v.Units[k].Text...)
	}
	return text
}

// paired reports whether the entries of a list are of two lines, as title and author: nine in
// ten lines that have a number and stand further in are, with the line above them, which
// has none, the words of one heading.
func (a *assembly) paired(v *structure.Volume, r structure.Region) bool {
	n, pairs := 0, 0
	for k := r.From + 1; k < r.To; k++ {
		u, above := &v.Units[k], &v.Units[k-1]
		if u.Rule || u.Centred && !structure.EndsInLabel(u.Text) || u.From == 0 || !structure.EndsInLabel(u.Text) {
			continue
		}
		n++
		if above.Rule || above.Centred || structure.EndsInLabel(above.Text) || above.From >= u.From || u.Blanks > 0 {
			continue
		}
		pairs += boolInt(a.heads[structure.HeadingKey(layout.Normal(a.entryText(v, []int{k - 1, k})))] != nil)
	}
	return pairs >= 3 && pairs*10 >= n*9
}

func (a *assembly) entryText(v *structure.Volume, units []int) []byte {
	var text []byte
	for n, k := range units {
		t := v.Units[k].Text
		if n == len(units)-1 {
			e, _ := a.split(t)
			t = e.text
		}
		if n > 0 {
			text = append(text, cell.Blank)
		}
		text = append(text, t...)
	}
	return text
}

// printCells is the print page of a place in cells, nil when it is not known.
func (p *place) printCells() []byte {
	if !p.hasPrint {
		return nil
	}
	l := p.print
	l.Suffix = ""
	return l.Cells()
}

// keepOneHeading leaves out every contents heading and every line but the first,
// and the entries that stand in an earlier list already.
func (a *assembly) keepOneHeading() {
	again := a.why("contents", "contents heading again", "the book has one list", 0.97)
	rep := a.why("repeat", "entry of an earlier list", "same words there", 0.95)
	marker := a.why("marker", "line of a contents list again", "the lists are one", 0.9)
	kept := a.list.lines[:0]
	heading, rule := false, false
	earlier := keptEntries{at: map[string][]int{}, statements: a.statementsBefore()}
	for _, l := range a.list.lines {
		switch {
		case l.isRule && rule:
			a.leave(l.vol, l.units[0], marker)
			continue
		case l.isRule:
			rule = true
		case l.kind == book.Heading && heading:
			a.leave(l.vol, l.units[0], again)
			continue
		case l.kind == book.Heading:
			heading = true
		case l.repeat && earlier.name(kept, &l):
			for _, k := range l.units {
				a.leave(l.vol, k, rep)
			}
			continue
		}
		earlier.at[l.norm] = append(earlier.at[l.norm], len(kept))
		kept = append(kept, l)
	}
	a.list.lines = kept
}

// keptEntries are the lines of the contents list kept so far.
type keptEntries struct {
	at         map[string][]int // where lines of the same words stand among them
	statements [][]int32
}

// name reports whether the lines kept so far have an entry with the words of l
// that names the same heading, in an earlier volume: of another file, or of the
// same one when a volume statement stands between.
func (e *keptEntries) name(kept []listLine, l *listLine) bool {
	for _, k := range e.at[l.norm] {
		o := &kept[k]
		if sameHeading(o, l) && (o.vol != l.vol || e.statements[l.vol][o.units[0]] < e.statements[l.vol][l.units[0]]) {
			return true
		}
	}
	return false
}

// statementsBefore counts, for each unit of each volume, the volume statements
// left out before it: a file can hold several volumes.
func (a *assembly) statementsBefore() [][]int32 {
	out := make([][]int32, len(a.vols))
	for i, v := range a.vols {
		out[i] = make([]int32, len(v.Units)+1)
		for k := range v.Units {
			out[i][k+1] = out[i][k]
			if why := a.b.Out[i][v.Units[k].Line]; why != 0 && a.b.Reasons[why].Class == "volume-statement" {
				out[i][k+1]++
			}
		}
	}
	return out
}

// dropGeneral leaves out a general contents list whose entries stand in the
// volumes' own lists or as headings; what does not is kept.
func (a *assembly) dropGeneral(i int, v *structure.Volume, r structure.Region) {
	why := a.why("contents", "which volume holds what", "the volumes' lists have the entries", 0.93)
	have := map[string]bool{}
	for _, l := range a.list.lines {
		have[l.norm] = true
	}
	named := false
	for k := r.From; k < r.To; k++ {
		if a.fates[i][k] != asText {
			continue
		}
		u := &v.Units[k]
		named = named || u.HasPhrase && u.Phrase.ID == english.Volume
		units := []int{k}
		for k+1 < r.To && !u.Rule && !u.HasPhrase && a.runsOver(v, units[0], k, k+1) && a.fates[i][k+1] == asText {
			k++
			units = append(units, k)
		}
		n := layout.Normal(a.entryText(v, units))
		joined := n
		if k+1 < r.To {
			joined = n + " " + layout.Normal(v.Units[k+1].Text)
		}
		switch {
		case !named || u.Rule || u.HasPhrase || have[n] || a.heads[structure.HeadingKey(n)] != nil || a.within(n, have) || namesVolume(u.Text):
		case have[joined]:
			k++
			units = append(units, k)
		default:
			a.generalLine(i, v, units, n)
			continue
		}
		for _, n := range units {
			a.leave(i, n, why)
		}
	}
}

// generalLine keeps an entry of the general contents that is told nowhere else,
// unless a house rule leaves it out.
func (a *assembly) generalLine(i int, v *structure.Volume, units []int, norm string) {
	u := &v.Units[units[0]]
	q := a.o.Decided.AskLine("general-contents", v.File, int(u.Line), len(units), decide.Question{Severity: diag.Look, Usual: keepIt, Alike: norm,
		Evidence: "no list of a volume has it, and no heading"})
	q.Kind.ID = "general-contents"
	a.findAsked(diag.Look, q, v, u.Line, "a line of the general contents that no list of a volume has; it is kept")
	if q.Choice() == leaveOut {
		for _, k := range units {
			a.leaveDecided(i, k, q.By())
		}
		return
	}
	for _, k := range units {
		a.fates[i][k] = asList
	}
	a.list.lines = append(a.list.lines, listLine{vol: i, units: units, kind: book.Entry, norm: norm, general: true})
}

// within reports whether the words are part of an entry or an entry of them.
func (a *assembly) within(n string, have map[string]bool) bool {
	if len(n) < 6 {
		return false
	}
	for h := range have {
		if contains(h, n) || (len(h) >= 6 && contains(n, h)) || layout.Alike(h, n) {
			return true
		}
	}
	return false
}

func contains(s, sub string) bool { return hasInside([]byte(s), sub) }

func namesVolume(t []byte) bool { return contains(layout.Normal(t), "volume") }

// listStart is the unit of the first volume before which the contents list
// stands: its own first line, or the start of the text.
func (a *assembly) listStart(first int) int {
	at := a.bodyUnit(a.vols[first])
	for _, l := range a.list.lines {
		if l.vol == first && !l.general {
			at = min(at, l.units[0])
		}
	}
	return at
}

// layList writes the one contents list in place of unit at of the first
// volume.
func (a *assembly) layList(first, at int) {
	gone := a.why("contents-number", "guide dots, braille page", "these pages are gone", 0.9)
	dots := a.why("contents-number", "guide dots", "only fill a line", 0.97)
	moved := a.why("contents-order", "entry moved to the one list", "the book has one list", 0.97)
	page := a.why("contents-number", "print page of the heading", "found in the text", 0.9)
	var end []listLine
	n := 0
	lay := func(l listLine) {
		why := book.ReasonID(0)
		if l.vol != first || l.general || a.textBetween(first, at, l.units[0]) {
			why = moved
		}
		a.layEntry(l, n == 0, why, gone, dots, page)
		n++
	}
	for _, l := range a.list.lines {
		if l.isRule {
			end = append(end, l)
			continue
		}
		lay(l)
	}
	for _, l := range end {
		lay(l)
	}
}

// textBetween reports whether text that is no part of the list stands between
// two units.
func (a *assembly) textBetween(vol, from, to int) bool {
	for k := from; k < to; k++ {
		if a.fates[vol][k] == asText {
			return true
		}
	}
	return to < from
}

func (a *assembly) layEntry(l listLine, blank bool, moved, gone, dots, page book.ReasonID) {
	v := a.vols[l.vol]
	bl := book.Block{Kind: l.kind, Run: 4, Moved: moved}
	if l.kind == book.Heading {
		bl.First, bl.Run = int16(a.o.Profile.HeadingIndent), int16(a.o.Profile.HeadingIndent+2)
	} else if l.kind == book.Entry {
		bl.First = int16(min(v.Units[l.units[0]].Indent(), 8))
		bl.Run = bl.First + 4
	}
	if blank {
		bl.Blank = book.Blank{Want: true, Reason: a.flow.Why.Blank}
	}
	for _, k := range l.units {
		u := &v.Units[k]
		for _, t := range u.Turns {
			a.turnBefore(v, t)
		}
		p := book.Piece{Vol: u.Vol, Line: u.Line, From: u.From, To: u.To}
		if l.numbered && l.left && a.list.print {
			l.numbered = false // it stays as it is
		}
		if l.numbered && k == l.numberUnit() {
			bl.Pieces = append(bl.Pieces, a.entryPieces(u, p, l, gone, dots)...)
			continue
		}
		if n := v.GuidedHeading(u.Text); l.kind == book.Heading && n > 0 {
			p.To = p.From + int32(n)
			why := a.why("contents", "names only a volume or kind of page", "wording, in a contents list", 0.95)
			if structure.EndsInLabel(u.Text) {
				why = a.why("page-number", "number of the page", "beside the heading of a contents list", 0.9)
			}
			a.cutSpan(u, n, len(u.Text), why)
		}
		bl.Pieces = append(bl.Pieces, p)
	}
	if l.numbered && l.print != nil {
		bl.Pieces = append(bl.Pieces, book.Piece{Vol: -1, Tool: l.print, Reason: page})
	}
	a.b.Blocks = append(a.b.Blocks, bl)
}

// entryPieces cuts guide dots, and a dead number, off the line of an
// entry that has them.
func (a *assembly) entryPieces(u *structure.Unit, p book.Piece, l listLine, gone, dots book.ReasonID) []book.Piece {
	e, _ := a.numberOf(&l)
	if l.left {
		a.cutSpan(u, e.from, e.to, gone)
		p.From += int32(len(u.Text) - len(e.text))
		return []book.Piece{p}
	}
	p.To = u.From + int32(len(e.text))
	if a.list.print {
		why := dots
		if other, ok := otherNumber(u.Text, entryParts{from: e.from}); a.list.two && ok && other.from < e.from {
			why = gone
		}
		a.cutSpan(u, len(e.text), e.from, why)
		a.cutSpan(u, e.to, len(u.Text), gone)
		out := []book.Piece{{Vol: u.Vol, Line: u.Line, From: u.From + int32(e.from), To: u.From + int32(e.to)}}
		if len(e.text) > 0 {
			out = append([]book.Piece{p}, out...)
		}
		return out
	}
	a.cutSpan(u, len(e.text), len(u.Text), gone)
	return []book.Piece{p}
}

// cutSpan leaves out the cells from up to to of a unit, blanks at both ends apart.
func (a *assembly) cutSpan(u *structure.Unit, from, to int, why book.ReasonID) {
	if cell.Marks(u.Text[from:to]) == 0 {
		return
	}
	s, e := trimSpan(u.Text, from, to)
	a.b.AddCut(int(u.Vol), u.Line, book.Cut{From: u.From + int32(s), To: u.From + int32(e), Reason: why})
}

func trimSpan(t []byte, from, to int) (int, int) {
	for from < to && t[from] == cell.Blank {
		from++
	}
	for to > from && t[to-1] == cell.Blank {
		to--
	}
	return from, to
}
