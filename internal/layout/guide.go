package layout

import (
	"bytes"
	"strings"

	"continuo/internal/cell"
)

// This file finds guide words: heads of dictionaries that name the first entry
// of the page, or the first and the last. They change on every page, so that no
// likeness between pages tells them; what tells them is the page under them.

// findGuides notes the edge lines that may be guide words: centred, not the same
// on many pages, and their words begin the entries at the margin of the page. Away
// from the middle (they share the last line with the page number, BANA, Braille
// Formats 2016, section 21; or stand at the margin of line 1 with the numbers at the foot, common
// practice) both the first entry and the last must be named, but where the two had no room.
func (v *Volume) findGuides(edges []edgeLine) {
	for i := range edges {
		e := &edges[i]
		if e.norm == "" || e.like >= 3 || oneCell(e.norm) || !e.middle && (e.top || !e.number) && !(e.top && v.atEdge(e)) {
			continue
		}
		first, end := v.firstMargins(e), v.lastMargin(e.page, e.line)
		if from, to := guideNumbers(v.spanOf(e)); from != "" {
			if v.numbersUnder(e, from, to) {
				v.ranges = noted(v.ranges, e.line)
			} else {
				v.noRanges++
			}
			continue
		}
		switch {
		case v.guideWords(e, end, append(first[:], v.entryBefore(e.page)...)):
			v.guides = noted(v.guides, e.line)
			if !e.middle {
				if v.feet == nil {
					v.feet = map[int32]int{}
				}
				v.feet[v.guideCell(e.line, e.text.From)]++
			}
		case !e.middle && first[1] != nil && (!e.top || v.Lines[e.line+1].Role == Empty) && (beginsWith(first[0], v.spanOf(e)) || beginsWith(first[1], v.spanOf(e))):
			v.feetFirst = append(v.feetFirst, e.line)
			v.Lines[e.line].Text = e.text
		case !e.middle, first[1] == nil || !e.number && int(e.text.To-e.text.From) > v.Width*2/3:
			// text beside a number, a page without entries, text that fills its line
		default:
			v.noGuides++
		}
	}
}

// guideCell is the cell that guide words away from the middle begin at, -1 where they stand on line 1.
func (v *Volume) guideCell(i, from int32) int32 {
	if i == v.Pages[v.PageOf[i]].Top {
		return -1
	}
	return from
}

// guide reports whether a line is guide words or names the numbers on its page.
func (v *Volume) guide(line int32) bool { return v.guides[line] || v.ranges[line] }

func noted(lines map[int32]bool, line int32) map[int32]bool {
	if lines == nil {
		lines = map[int32]bool{}
	}
	lines[line] = true
	return lines
}

// guideNumbers are the numbers that a head ends with, as heads name the first and the last hymn, verse or line of the page
// (common practice): "12-15", "Ruth 2:3-17"; to is "" where it says one number and no more. Both are "" for other words.
func guideNumbers(t []byte) (from, to string) {
	last := t[bytes.LastIndexByte(t, cell.Blank)+1:]
	a, z, two := bytes.Cut(last, []byte("-"))
	a = a[max(0, bytes.LastIndexByte(a, '#')):]
	if z = bytes.TrimPrefix(z, []byte("#")); !two && len(a) < len(t) || two && len(z) == 0 {
		return "", ""
	}
	for _, n := range [][]byte{a, append([]byte("#"), z...)} {
		if l, ok := cell.ParseLabel(n); (two || len(n) > 1) && (!ok || l.Roman || l.Bare || l.Prefix != "" || l.Suffix != "") {
			return "", ""
		}
	}
	if two {
		to = "#" + string(z)
	}
	return string(a), to
}

// numbersUnder reports whether a number stands on the page of an edge line, or is the last on the page before, and
// another after it, or where one alone is asked for, at the beginning of a line.
func (v *Volume) numbersUnder(e *edgeLine, from, to string) bool {
	found := to != "" && v.lastNumber(e.page-1) == from
	for i := v.Pages[e.page].First; i < v.Pages[e.page].Last; i++ {
		if i == e.line || v.Lines[i].Role != Text {
			continue
		}
		t := v.TextOf(i)
		for k, f := range cell.Fields(t) {
			switch w := strings.TrimRight(string(t[f[0]:f[1]]), "1234"); {
			case w == from && to == "" && k == 0, found && w == to:
				return true
			case w == from:
				found = to != ""
			}
		}
	}
	return false
}

// lastNumber is the last number on a page, "" if there is none: of the verse that goes on over the page.
func (v *Volume) lastNumber(page int) string {
	if page < 0 {
		return ""
	}
	for i := v.Pages[page].Last - 1; i > v.Pages[page].Top; i-- {
		if v.Lines[i].Role != Text {
			continue
		}
		t := v.TextOf(i)
		for f := cell.Fields(t); len(f) > 0; f = f[:len(f)-1] {
			if w := f[len(f)-1]; t[w[0]] == '#' {
				return strings.TrimRight(string(t[w[0]:w[1]]), "1234")
			}
		}
	}
	return ""
}

// atMargin is the text of line i when it begins at the margin and not with a
// number, else nil; the page number cut off at the left does not count. Where a print page turns under
// it, the entry goes on behind that line.
func (v *Volume) atMargin(i int32) []byte {
	l := &v.Lines[i]
	if l.Role != Text || l.Text.From > l.Left.To || l.Text.From > 0 && l.Left.To == 0 || v.turnLine(i) {
		return nil
	}
	t := v.TextOf(i)
	if _, ok := cell.ParseLabel(t[:firstTokenEnd(t, 0)]); ok {
		return nil
	}
	if i+2 < v.Pages[v.PageOf[i]].Last && v.turnLine(i+1) && v.Lines[i+2].Role == Text {
		return append(append(bytes.Clone(t), cell.Blank), v.TextOf(i+2)...)
	}
	return t
}

// firstMargins are the first two lines at the margin of an edge line's page;
// the edge line itself does not count.
func (v *Volume) firstMargins(e *edgeLine) (first [2][]byte) {
	n := 0
	for i := v.Pages[e.page].First; i < v.Pages[e.page].Last && n < 2; i++ {
		if i == e.line {
			continue
		}
		if t := v.atMargin(i); t != nil {
			first[n] = t
			n++
		}
	}
	return first
}

// longestEntry is over how many pages an entry is looked for that goes on.
const longestEntry = 12

// entryBefore lists the lines that may begin the entry that goes on at the top of a page: the last
// at the margin of the page before, or of one before that where none stands there, and the last over its
// foot, where guide words may stand.
// An entry of a contents list goes on nowhere: the chapter that it names begins there.
func (v *Volume) entryBefore(page int) (out [][]byte) {
	for p := page - 1; p >= max(0, page-longestEntry) && len(out) == 0; p-- {
		for _, but := range []int32{-1, v.Pages[p].Bottom} {
			if t := v.lastMargin(p, but); t != nil && !ofContents(t) {
				out = append(out, t)
			}
		}
	}
	return out
}

// ofContents reports whether a line ends in a number after guide dots or two blanks.
func ofContents(t []byte) bool {
	at := bytes.LastIndexByte(t, cell.Blank)
	if lab, ok := cell.ParseLabel(t[at+1:]); !ok || lab.Bare || at < 2 {
		return false
	}
	before := bytes.TrimRight(t[:at], " ")
	n := len(before)
	return at-n >= 1 || n > 2 && cell.Guide(before[n-1]) && before[n-2] == before[n-1]
}

// lastMargin is the last line at the margin of a page that is not line but.
func (v *Volume) lastMargin(page int, but int32) []byte {
	for i := v.Pages[page].Last - 1; i >= v.Pages[page].First; i-- {
		if i == but {
			continue
		}
		if t := v.atMargin(i); t != nil {
			return t
		}
	}
	return nil
}

// guideWords reports whether an edge line names the first entry of its page (one
// of first) or the last, end, and both where it names two, as it must away from the
// middle; an entry that fills its page is both.
func (v *Volume) guideWords(e *edgeLine, end []byte, first [][]byte) bool {
	begins := func(g []byte, lines ...[]byte) bool {
		for _, l := range lines {
			if beginsWith(l, g) {
				return true
			}
		}
		return false
	}
	t := v.spanOf(e)
	if p, ok := v.Words.Lookup(t); ok && p.N > 0 {
		return false // "chapter 8"
	}
	for _, g := range guideParts(t) {
		if (g[1] != nil || e.middle) && begins(g[0], first...) && (g[1] == nil || bytes.Equal(g[0], g[1]) || begins(g[1], end) || v.entryOn(e, g[1])) {
			return true
		}
		if g[1] == nil && e.middle && begins(g[0], end) { // the last entry alone (common practice of right-hand pages)
			return true
		}
	}
	return false
}

// entryOn reports whether a line at the margin of an edge line's page begins with a guide word: the list
// ends there, and other matter follows.
func (v *Volume) entryOn(e *edgeLine, guide []byte) bool {
	for i := v.Pages[e.page].First; i < v.Pages[e.page].Last; i++ {
		if i != e.line && beginsWith(v.atMargin(i), guide) {
			return true
		}
	}
	return false
}

// guideParts lists the ways to read a head as one guide word or two: parted by
// a hyphen, a dash of any code or three blanks.
func guideParts(t []byte) [][2][]byte {
	out := [][2][]byte{{t, nil}}
	for i := 1; i+1 < len(t); i++ {
		switch {
		case t[i] == '-':
			a, z := bytes.TrimRight(t[:i], " -"), bytes.TrimLeft(t[i:], " -")
			if n := len(a); n > 1 && a[n-1] == ',' { // dots 6-36
				a = bytes.TrimRight(a[:n-1], " ")
			}
			out = append(out, [2][]byte{a, z})
		case t[i] == cell.Blank && t[i-1] != cell.Blank && bytes.HasPrefix(t[i:], []byte("   ")):
			out = append(out, [2][]byte{t[:i], bytes.TrimLeft(t[i:], " ")})
		}
	}
	return out
}

// beginsWith reports whether a line begins with the words of a guide, two cells
// or more, without regard to capitals and type.
func beginsWith(line, guide []byte) bool {
	l, g := strings.TrimLeft(Normal(line), "._^@"), strings.TrimLeft(Normal(guide), "._^@")
	if len(g) < 2 || !strings.HasPrefix(l, g) {
		return len(g) >= 4 && len(l) >= len(g) && Alike(l[:len(g)], g) // a slip
	}
	rest := l[len(g):]
	return rest == "" || rest[0] < 'a' || rest[0] > 'z'
}

// believeGuides keeps the guide words found when there are enough of them over
// all volumes: on five pages, and two thirds of the lines that could be heads.
// Then they are heads, for the entries themselves stand on the page.
func believeGuides(vols []*Volume) {
	found, others, ranges, noRanges := 0, 0, 0, 0
	for _, v := range vols {
		found += len(v.guides)
		others += v.noGuides
		ranges += len(v.ranges)
		noRanges += v.noRanges
	}
	for _, v := range vols {
		if ranges < 5 || ranges < 2*noRanges {
			v.ranges = nil
		}
	}
	if found >= 5 && found >= 2*others {
		for _, v := range vols {
			v.addFeet()
		}
		return
	}
	for _, v := range vols {
		v.guides = nil
	}
}

// addFeet takes the lines that name the first entry alone for guide words too, where
// five that name both begin at the same cell.
func (v *Volume) addFeet() {
	for _, i := range v.feetFirst {
		if v.feet[v.guideCell(i, v.Lines[i].Text.From)] >= 5 {
			v.guides[i] = true
		}
	}
}

// letterAlone reports whether a number is one letter that stands alone in the
// middle of its line: over the entries of a dictionary that begin with it, not a
// roman number outside every sequence. Low numbers may be those of preliminary
// pages at the front of a volume.
func (v *Volume) letterAlone(c *cand) bool {
	t := bytes.Trim(v.Raw(c.line), " ;,1247")
	if !c.alone || !c.label.Roman || len(t) != 1 || c.tok.From < 3 || int(c.tok.To) > v.Width-3 {
		return false
	}
	return c.label.Value > 10 || v.PageOf[c.line] >= 12
}
