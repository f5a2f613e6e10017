package assemble

import (
	"sort"
	"strings"

	"continuo/internal/cell"
	"continuo/internal/layout"
	"continuo/internal/structure"
)

// maxHeadLines is over how many lines a heading may stand: the number of a chapter, and a title of five lines.
const maxHeadLines = 6

// place is where a heading stands.
type place struct {
	vol, unit int
	lines     int // of the heading, those whose words were compared
	print     cell.Label
	hasPrint  bool

	all  int       // lines of the whole heading, 0 not read yet
	head headTitle // of all its lines
}

// printCells is the print page of a place in cells, nil when it is not known.
func (p *place) printCells() []byte {
	if !p.hasPrint {
		return nil
	}
	return p.print.Cells()
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
			if k < from && !a.prelimHeading(i, k) || a.inContents(i, k) || u.Rule || !v.CanHead(k) && !firstSide(v, k) {
				continue
			}
			pl := place{vol: i, unit: k, lines: 1, print: cur, hasPrint: set || beginsPage(v, k, cur)}
			a.places = append(a.places, pl)
			n := structure.HeadingKey(layout.Normal(u.Text))
			a.heads[n] = append(a.heads[n], pl)
			for j := k + 1; j < len(v.Units) && j < k+maxHeadLines && v.HeadingGoesOn(k, j); j++ {
				pl.lines++
				n += " " + structure.HeadingKey(layout.Normal(v.Units[j].Text))
				a.heads[n] = append(a.heads[n], pl)
				for _, short := range withoutWord(u, n) {
					a.heads[short] = append(a.heads[short], pl)
				}
			}
		}
		if lab := turnAtEnd(v); lab != nil {
			cur, set = *lab, true
		}
	}
}

// turnAtEnd is the print page that a mark in the last line of a volume, or after it, turns to,
// nil for none: the text of the next volume begins on it.
func turnAtEnd(v *structure.Volume) (lab *cell.Label) {
	if n := len(v.Units); n > 0 {
		for _, l := range v.Inline[v.Units[n-1].Line] {
			lab = &l
		}
	}
	for _, t := range v.Tail {
		if t.Line >= 0 && !t.Bare {
			lab = &t.Label
		}
	}
	return lab
}

// firstSide reports whether unit k is the first line of a heading at an indent.
func firstSide(v *structure.Volume, k int) bool {
	return v.Units[k].Side && (k == 0 || !v.Units[k-1].Side || !v.HeadingGoesOn(k-1, k))
}

// beginsPage reports whether unit k begins a braille page, or stands under a title that
// does, whose number names print page cur alone, in a volume that tells print pages by numbers only: such a number is that of
// the page on which the text of the braille page begins (observed in UK volumes; BANA
// Braille Formats 2016, 1.11).
func beginsPage(v *structure.Volume, k int, cur cell.Label) bool {
	if v.Marks+v.Rows > 0 {
		return false
	}
	for j := k; j > 0 && v.Units[j-1].Page == v.Units[k].Page; j-- {
		if !v.Units[j-1].Centred {
			return false
		}
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
// no number (BANA Braille Formats 2016, 1.11.6; BRL session 4). Where a third of the
// pages or more have none, those that do stand together, as they do not where heads are on every other page.
func lettered(v *structure.Volume) bool {
	letters, with, together, all := 0, 0, 0, 0
	for p := range v.Pages {
		if v.Pages[p].Top < 0 || int32(p) < v.BodyPage {
			continue
		}
		all++
		if l := v.Pages[p].Print; l != nil {
			with++
			if p > 0 && v.Pages[p-1].Print != nil {
				together++
			}
			if l.Prefix != "" {
				letters++
			}
		}
	}
	return letters >= 3 && (with*3 >= all*2 || together*4 >= with*3)
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

// prelimSide reports whether a unit of the preliminary matter stands as a heading in cell 5 or cell 7 does, over
// text further out.
func prelimSide(v *structure.Volume, k int) bool {
	u := &v.Units[k]
	if u.From != 4 && u.From != 6 || k+1 >= len(v.Units) || structure.EndsSentence(u.Text) {
		return false
	}
	n := &v.Units[k+1]
	return n.Page == u.Page && n.From <= 2 && len(u.Text) <= v.TextWidth*2/3
}

// prelimHeading reports whether a unit can be the heading of a preface or other
// preliminary matter that the book keeps.
func (a *assembly) prelimHeading(i, k int) bool {
	v := a.vols[i]
	u := &v.Units[k]
	return i == a.first() && k >= v.Title[1] && (u.PageTop || u.Blanks > 0) && (u.Centred || prelimSide(v, k))
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
