package structure

import (
	"bytes"
	"slices"
	"strings"

	"continuo/internal/cell"
	"continuo/internal/english"
	"continuo/internal/layout"
)

// This file tells contents lists whose entries have no numbers, or whose heading no word
// tells: by what their lines are like, and by the headings of the text that they name.

// findUnnamedLists finds contents lists under a heading that no word tells for one, such
// as "the stories", or a heading in another language: on one of the first pages a
// heading in the middle, and under it nothing but entries that stand again as headings.
// Where a list is found already, it looks at the page behind it only: that was the general
// one.
func (v *Volume) findUnnamedLists() {
	lists := len(v.Contents)
	for i := 0; i < len(v.Units) && v.Units[i].Page < 12 && int(v.Units[i].Page) <= len(v.Pages)/3; i++ {
		u := &v.Units[i]
		if !u.PageTop || !u.Centred || u.HasPhrase || EndsInLabel(u.Text) || v.entryInMiddle(i) || lists > 0 && !v.behindList(i, lists) {
			continue
		}
		from := i + 1
		for from < len(v.Units) && v.Units[from].Page == u.Page && v.Units[from].is(english.Page, english.BraillePage, english.PrintPage, english.Columns, english.Volume) {
			from++
		}
		end := v.pageEnd(i)
		guided := from < end && v.guidedEntries(from, end)
		if !guided && (from >= end || !v.plainEntries(from, end)) {
			continue
		}
		u.Phrase, u.HasPhrase = &english.Phrase{ID: english.Contents}, true
		to := end
		if guided {
			to = v.contentsEnd(i, false)
		} else if n := v.bareList(from); n > to {
			to = n
		}
		v.Contents = append(v.Contents, Region{From: i, To: to})
		i = to - 1
	}
}

// behindList reports whether unit i stands right behind the last of the first n lists.
func (v *Volume) behindList(i, n int) bool { return i == v.Contents[n-1].To }

// plainEntries reports whether the units of a page are entries without numbers by themselves:
// two or more, and every one stands again as a heading, or, in a list for several volumes, the first three do.
func (v *Volume) plainEntries(from, to int) bool {
	if !v.listLike(from, to) {
		return false // running text; no heading is so long
	}
	end := to - boolInt(v.Units[to-1].Rule)
	if slices.ContainsFunc(v.Units[from:end], func(u Unit) bool { return u.Rule || u.Centred }) {
		return false
	}
	heads := v.headingKeys(to)
	n, hits, first := 0, 0, 0
	for i := from; i < end; {
		next, hit := v.entryAt(i, end, heads)
		if n++; hit {
			if hits++; hits == n {
				first = n
			}
		}
		i = next
	}
	return hits >= 2 && hits == n || first >= 3 && v.fillsPage(to-1)
}

// fillsPage reports whether a unit stands at the foot of its page.
func (v *Volume) fillsPage(i int) bool {
	return v.Units[i].Line+3 >= v.Pages[v.Units[i].Page].Last
}

// guidedEntries reports whether the units of a page are the entries of a contents list
// by themselves: nearly all have numbers, which hardly fall, and they name headings of the text,
// half of them where most numbers stand behind guide dots or a gap, nearly all where not; in a list for several
// volumes, three in a row.
func (v *Volume) guidedEntries(from, to int) bool {
	guided, first, last, falls, other := 0, 0, 0, 0, 0
	var keys []string
	for i := from; i < to; i++ {
		if v.Units[i].Rule {
			continue
		}
		end := v.entryLast(i, to)
		if end < 0 {
			if v.Units[i].Centred {
				return false
			}
			if i+4 < to || !v.fillsPage(to-1) {
				other++
			}
			continue
		}
		t := v.Units[end].Text
		num := labelAt(t)
		if l, _ := cell.ParseLabel(t[num:]); !l.Roman {
			if falls += boolInt(l.Value < last && l.Value > first+2); first == 0 {
				first = l.Value
			}
			last = l.Value // they begin anew in each volume
		}
		_, led := withoutNumber(t)
		guided += boolInt(led)
		keys = append(keys, v.entryWords(i, end))
		i = end
	}
	if len(keys) < 2 || falls*4 > len(keys) || other*4 > len(keys) {
		return false
	}
	heads, found, row, rows := v.headingKeys(to), 0, 0, 0
	for _, key := range keys {
		if row++; !heads.has(key) {
			row = 0
		}
		found, rows = found+boolInt(heads.has(key)), max(rows, row)
	}
	if guided*3 < len(keys)*2 {
		return found >= 3 && found*5 >= len(keys)*4
	}
	return found*2 >= len(keys) || rows >= 3
}

// withoutNumber is an entry without its number, or the numbers of its two columns, and
// what leads to them, and whether guide dots or a gap do.
func withoutNumber(t []byte) (text []byte, led bool) {
	num := labelAt(t)
	led = num > 1 && t[num-2] == cell.Blank
	t = bytes.TrimRight(t[:num], " ")
	if before := labelAt(t); before > 0 && (guideEnds(bytes.TrimRight(t[:before], " ")) || before > 1 && t[before-2] == cell.Blank) {
		t = bytes.TrimRight(t[:before], " ")
	}
	if guideEnds(t) {
		led = true
		t = bytes.TrimRight(bytes.TrimRight(t, string(t[len(t)-1:])), " ")
	}
	return t, led
}

// bareList reads the lines under a contents heading as a list without numbers: nearly
// all its entries stand again as headings of the volume, or, in a list for several
// volumes, the first ones do. It goes on over pages of such entries, to a rule. It
// returns the unit after the list, 0 if they are none.
func (v *Volume) bareList(from int) int {
	to, sure := v.bareEntries(from)
	if !sure {
		return 0
	}
	return to
}

// bareEntries reads the lines under a heading as entries without numbers: the unit after
// them, and whether the headings of the text bear them out.
func (v *Volume) bareEntries(from int) (to int, sure bool) {
	heads := v.headingKeys(v.pageEnd(from - 1))
	hits, n := 0, 0
	prefix := 0 // of the entries, the first ones that nearly all are headings
	for to = from; to < len(v.Units) && !v.Units[to].Rule; {
		end := v.pageEnd(to)
		if to > from {
			heads = v.headingKeys(end) // its own lines are none
		}
		if v.Units[to].Page != v.Units[from-1].Page && !v.bareGoesOn(from, to, n, heads) {
			break
		}
		if to > from {
			to = v.restAtTop(to, end, heads)
		}
		for to < end && !v.Units[to].Rule {
			next, hit := v.entryAt(to, end, heads)
			if n++; hit {
				if hits++; hits*5 >= n*4 {
					prefix = n
				}
			}
			to = next
		}
	}
	sure = hits > 0 && (hits*5 >= n*4 || prefix >= 3)
	if to > from && to < len(v.Units) && v.Units[to].Rule && v.Units[to].Page == v.Units[to-1].Page {
		to++
	}
	return to, sure
}

// bareGoesOn reports whether the page that unit i begins goes on a list without numbers
// of n entries so far, from unit from on, which fills the page before: no heading stands at its top, its
// lines begin where those of the list do, and they are no running text.
func (v *Volume) bareGoesOn(from, i, n int, heads headKeys) bool {
	end := v.pageEnd(i)
	if n < 6 || v.Units[i].Centred && !v.listRunover(i) || v.numbersAnew(i) || !v.fillsPage(i-1) || !v.listLike(i, end) {
		return false
	}
	var at [24]bool
	for k := from; k < i; k++ {
		at[min(max(v.Units[k].From, 0), int32(len(at)-1))] = true
	}
	same, all := 0, 0
	rest := v.restAtTop(i, end, heads)
	if rest > i { // where entries run over
		at[min(v.Units[i].From, int32(len(at)-1))] = true
	}
	for k := rest; k < end && !v.Units[k].Rule; k++ {
		in := min(max(v.Units[k].From, 0), int32(len(at)-1))
		if k > rest && in > v.Units[k-1].From && v.partLine(k-1) {
			at[in] = true // what stands in the parts of the book
		}
		all++
		same += boolInt(at[in])
	}
	return same*10 >= all*9
}

// listLike reports whether the units from one up to another, the first rule at most, are no running text: few
// lines go on a full one from the same cell or further out. Runovers of entries stand further in.
func (v *Volume) listLike(from, to int) bool {
	full, n := 0, 0
	for i := from; i < to && !v.Units[i].Rule; i++ {
		n++
		full += boolInt(i > from && v.Units[i].From <= v.Units[i-1].From && slack(&v.Units[i-1], &v.Units[i]) < 0 && !v.numbered(&v.Units[i]))
	}
	return n > 0 && full*5 <= 2*n
}

// restAtTop is the unit after the runovers at the top of a page, from unit i up to end, that
// go on an entry of the page before.
func (v *Volume) restAtTop(i, end int, heads headKeys) int {
	if v.Units[i].From < v.Units[i-1].From || v.Units[i].From == v.Units[i-1].From && !v.outdent(i) {
		return i
	}
	in := v.Units[i].From
	for i < end && v.Units[i].From >= in && in <= 8 && (!v.Units[i].Centred || v.listRunover(i)) && !v.Units[i].Rule && !heads[v.entryKey(i, i+1)] {
		i++
	}
	return i
}

// entryAt is the unit after the entry that unit i begins, and whether its words stand again
// as a heading: as many lines as are one together, each further in than the first and none a
// heading by itself. Where they are none, runovers stand further in.
func (v *Volume) entryAt(i, end int, heads headKeys) (next int, hit bool) {
	next = i + 1
	hit = heads.has(v.entryKey(i, next))
	k := next
	for k < end && k < i+6 && v.Units[k].From > v.Units[i].From && !v.Units[k].Centred && !v.Units[k].Rule && (EndsInColon(v.Units[k-1].Text) || !heads[v.entryKey(k, k+1)]) {
		if k++; heads.has(v.entryKey(i, k)) {
			next, hit = k, true
		}
	}
	if hit {
		return next, true
	}
	return k, false
}

func (v *Volume) entryKey(from, to int) string {
	if to == from+1 {
		return HeadingKey(layout.Normal(v.Units[from].Text))
	}
	var words []string
	for k := from; k < to; k++ {
		words = append(words, layout.Normal(v.Units[k].Text))
	}
	return HeadingKey(strings.Join(words, " "))
}

// headKeys are the headings of a text by their words: true for those that a heading begins
// with, false for what stands only as a further line of one.
type headKeys map[string]bool

// has reports whether words are a heading or lines of one.
func (h headKeys) has(key string) bool { _, ok := h[key]; return ok }

// headingKeys is the headings of the volume from unit i on, of one line up to three: lines
// in the middle, or lines that stand apart and begin at the same cell.
func (v *Volume) headingKeys(i int) headKeys { return v.headingKeysOf(i, len(v.Units)) }

// headingKeysOf is the headings of the units from i up to another.
func (v *Volume) headingKeysOf(i, to int) headKeys {
	heads := headKeys{}
	for ; i < to; i++ {
		begins := !v.FurtherLine(i)
		for k := i; k < len(v.Units) && k < i+3 && (v.Units[k].Centred || v.CanHead(i) && (k == i || v.goesOnHead(i, k))); k++ {
			key := v.entryKey(i, k+1)
			heads[key] = heads[key] || begins
		}
	}
	return heads
}

// HeadingGoesOn reports whether unit j can be a further line of a heading that unit k begins: both are in the
// middle of a page, or it goes on short lines at one cell. A transcriber's note goes on no heading.
func (v *Volume) HeadingGoesOn(k, j int) bool {
	u, n := &v.Units[k], &v.Units[j]
	return n.Page == u.Page && !ForTranscriber(n.Text) && (u.Centred && n.Centred || v.goesOnHead(k, j))
}

// FurtherLine reports whether a unit in the middle stands right under another, as a further line of
// its heading does, and neither is the name of a part with its number.
func (v *Volume) FurtherLine(i int) bool {
	u := &v.Units[i]
	if i == 0 || !u.Centred || u.PageTop || u.Blanks > 0 || u.HasPhrase {
		return false
	}
	p := &v.Units[i-1]
	return p.Centred && !p.Rule && !p.HasPhrase && !v.isTitle(i-1)
}

// EndsName reports whether unit i stands right under a line that a comma or the like ends: the year under the name of an
// author.
func (v *Volume) EndsName(i int) bool {
	if i == 0 || v.Units[i].Blanks > 0 || v.Units[i].PageTop || !endsClause(v.Units[i-1].Text) {
		return false
	}
	return v.FurtherLine(i) || !EndsSentence(v.Units[i-1].Text)
}

// isTitle reports whether unit i, after the title page, says the title again: it is no line of a heading.
func (v *Volume) isTitle(i int) bool {
	return v.TitleHead > 0 && i >= v.Title[1] && v.Units[i].PageTop && layout.Normal(v.Units[i].Text) == v.TitleLines()[v.TitleHead-1]
}

// goesOnHead reports whether unit k can be a further line of a heading that unit i begins
// off the middle: it stands at the same cell, no blank line between, and the lines are short or known to be
// headings, or stand at an indent under a number alone.
func (v *Volume) goesOnHead(i, k int) bool {
	u, p := &v.Units[k], &v.Units[k-1]
	most := max(v.TextWidth*3/4, v.sideRoom())
	return u.From == v.Units[i].From && u.Blanks == 0 && u.Page == p.Page && !u.Rule && (u.Side && p.Side || len(u.Text) <= most && len(p.Text) <= most || u.From >= 4 && k <= i+3 && v.partLine(i))
}

// HeadingKey is a normal text as entries and headings are compared: without
// punctuation at word ends, which a contents list sets between the parts of a
// heading. "Was" with a capital, a word by itself, is no closing quotation mark.
func HeadingKey(n string) string {
	out := make([]byte, 0, len(n))
	for i := 0; i <= len(n); i++ {
		if i < len(n) && n[i] != cell.Blank {
			out = append(out, n[i])
			continue
		}
		for k := len(out); k > 1 && out[k-1] != cell.Blank && strings.IndexByte("12346", out[k-1]) >= 0; k-- {
			out = out[:k-1]
		}
		if k := len(out) - 2; k >= 0 && out[k] == ',' && out[k+1] == '0' && (k == 0 || out[k-1] == cell.Blank) {
			out = append(out[:k], '0')
		}
		if i < len(n) {
			out = append(out, cell.Blank)
		}
	}
	return string(out)
}
