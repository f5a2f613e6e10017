package structure

import (
	"continuo/internal/layout"
)

// marginHabit is how many headings at the margin, with different words, show that a volume
// has such headings.
const marginHabit = 4

// FindMarginHeads finds headings that begin at the margin (a style without centring that
// some producers in the United Kingdom have, common practice; "marginal headings", BANA,
// Braille Formats 2011, 4.7): up to three lines, set apart before, that end no sentence and leave room
// for the first word of what follows, which is a paragraph that steps in. One such line tells
// nothing; several of the title with different words do. Names of speakers come again and again.
func FindMarginHeads(vols []*Volume) {
	words, found := map[string]bool{}, map[*Volume][][2]int{}
	sure := 0
	for _, v := range vols {
		if v.RepeatOf != nil || v.Blocked {
			continue
		}
		for i := range v.Units {
			n := v.marginHead(i)
			if n == 0 {
				continue
			}
			found[v] = append(found[v], [2]int{i, i + n})
			if v.overText(i+n) || v.Units[i+n].Side {
				sure++
				words[layout.Normal(v.Units[i].Text)+" "+layout.Normal(v.Units[i+n-1].Text)] = true
			}
		}
	}
	if sure < marginHabit || len(words) < marginHabit || len(words)*3 < sure*2 {
		return
	}
	for v, list := range found {
		for _, r := range list {
			for k := r[0]; k < r[1]; k++ {
				v.Units[k].Side = true
			}
		}
	}
}

// marginHead is how many lines a heading at the margin has that begins with unit i, 0 for
// none.
func (v *Volume) marginHead(i int) int {
	u := &v.Units[i]
	if u.Page < v.BodyPage || u.Blanks == 0 && !(u.PageTop && (i == 0 || v.Units[i-1].Rule || u.Filler > 2 || EndsSentence(v.Units[i-1].Text))) {
		return 0
	}
	for n := 1; n <= 3; n++ {
		k := i + n - 1
		if !v.marginLine(k) || k+1 >= len(v.Units) {
			return 0
		}
		h, next := &v.Units[k], &v.Units[k+1]
		over := next.From == 0 && next.Blanks == 0 // its runover, it may be
		if next.Page != h.Page || next.Blanks > 2 || next.Rule || slack(h, next) < 0 && !over {
			return 0
		}
		if next.From > 0 && next.From <= 4 && (!next.Centred || next.Side) {
			return n
		}
	}
	return 0
}

// marginLine reports whether unit i has the place and the words of such a line.
func (v *Volume) marginLine(i int) bool {
	u := &v.Units[i]
	if u.From != 0 || u.Rule || i >= v.End[0] || u.wide || ForTranscriber(u.Text) || len(u.Text) > v.TextWidth-6 || EndsSentence(u.Text) || endsClause(u.Text) || dividedWord(u.Text) {
		return false
	}
	return len(u.Text) > 1
}
