package structure

import (
	"bytes"

	"continuo/internal/english"
	"continuo/internal/layout"
)

// This file marks the lines with which entries of a dictionary begin, before the text flows: a headword at the margin right
// under a full line would else be taken for a runover of it, where senses or runovers stand further in. The alphabet tells: a line that goes on stands hardly ever in
// order between the headwords above and below.

// headLine is a line at the margin that may begin an entry.
type headLine struct {
	unit int
	sure bool // it begins anew by its place
}

// MarkHeadwords marks them in the volumes of a title, read as braille of variant r: between two headings that are
// more than a letter, nineteen in twenty of the lines at the margin that begin anew for certain must rise, and
// nine in ten of the others stand in order between them. Where fewer do, paragraphs stand among the entries; then only those are
// headwords that stand in order after the end of a sentence.
func MarkHeadwords(vols []*Volume, r english.Variant) {
	layout.Each(len(vols), func(n int) {
		v := vols[n]
		if v.RepeatOf != nil {
			return
		}
		var f *entryFinder
		for i := v.firstUnitOf(v.BodyPage); i < v.End[0]; {
			lines, to := v.marginLines(i)
			if len(lines) >= minEntries && v.mayRise(lines) {
				if f == nil {
					f = &entryFinder{readers: headReaders(r)}
				}
				v.markHeadwords(f, lines)
			}
			i = max(to, i+1)
		}
	})
}

// marginLines lists the lines at the margin from unit i to the next heading that is more than a letter, and the
// unit after that heading. Under the heading of an index and the like there are none.
func (v *Volume) marginLines(i int) (out []headLine, to int) {
	barred := i > 0 && v.Units[i-1].HasPhrase && otherLists[v.Units[i-1].Phrase.ID]
	for ; i < v.End[0]; i++ {
		u := &v.Units[i]
		switch {
		case u.Rule:
		case u.Side || v.apart(u) && (u.Blanks > 0 || u.PageTop) && !itemNumber(u.Text):
			if len(bytes.Trim(u.Text, entrySigns+" ")) > 2 {
				if barred {
					out = nil
				}
				return out, i + 1
			}
		case u.From == 0 && !u.Centred:
			out = append(out, headLine{i, i == 0 || v.begunHere(i)})
		}
	}
	if barred {
		out = nil
	}
	return out, i
}

// mayRise asks of the lines that begin anew, before any is read, whether there are enough, some that
// do not, and whether their first letters hardly fall.
func (v *Volume) mayRise(lines []headLine) bool {
	n, falls, open, last := 0, 0, 0, byte(0)
	for _, l := range lines {
		if !l.sure {
			open++
			continue
		}
		t := bytes.TrimLeft(v.Units[l.unit].Text, entrySigns)
		if len(t) == 0 || t[0] < 'a' || t[0] > 'z' {
			continue
		}
		n, falls, last = n+1, falls+boolInt(t[0] < last), t[0]
	}
	return open > 0 && n >= minEntries && falls*8 <= n
}

// markHeadwords marks the lines of one stretch, if they are entries.
func (v *Volume) markHeadwords(f *entryFinder, lines []headLine) {
	var sure []headLine
	for _, l := range lines {
		if l.sure {
			sure = append(sure, l)
		}
	}
	if !f.readsRising(v, sure) {
		return
	}
	m, key := f.readLines(v, sure)
	m, in := trim(m, inOrder(m))
	if c := count(in); c < minEntries || c*20 < len(m)*19 || distinct(m)*3 < len(m)*2 {
		return
	}
	var marks, ended []int
	prev, fit, open, s := "", 0, 0, 0
	next := nextKeys(m, in, key)
	for _, l := range lines {
		if l.unit < m[0].block {
			continue
		}
		if l.sure {
			if s == len(m) {
				break
			}
			if in[s] {
				prev = key(&m[s].head)
				marks = append(marks, l.unit)
			}
			s++
			continue
		}
		if dividedWord(v.Units[l.unit-1].Text) {
			continue
		}
		h := f.lineHead(v, l.unit)
		switch w := key(&h); {
		case between(prev, w, next[s]):
			fit, open, prev = fit+1, open+1, w
			marks = append(marks, l.unit)
			if EndsSentence(v.Units[l.unit-1].Text) {
				ended = append(ended, l.unit)
			}
		case s == len(m):
			s++ // what stands behind the last entry is none
		default:
			open++
		}
		if s > len(m) {
			break
		}
	}
	if fit*10 < open*9 {
		marks = ended // paragraphs stand among the entries
	}
	for _, i := range marks {
		v.Units[i].headword = true
	}
}

// distinct counts the headwords of margins, each once: names of speakers come again and again.
func distinct(m []margin) int {
	words := make(map[string]bool, len(m))
	for i := range m {
		words[m[i].head.all] = true
	}
	return len(words)
}

// between reports whether a headword stands in order between those above and below, "" for none, and begins as one of them
// does.
func between(above, w, below string) bool {
	if len(w) < 2 || w < above || below != "" && w > below {
		return false
	}
	return above != "" && w[0] == above[0] || below != "" && w[0] == below[0]
}

// nextKeys is, for each margin and the end, the key of the first one from it on that is in order, "" for none.
func nextKeys(m []margin, in []bool, key func(*headword) string) []string {
	out := make([]string, len(m)+1)
	for i := len(m) - 1; i >= 0; i-- {
		if out[i] = out[i+1]; in[i] {
			out[i] = key(&m[i].head)
		}
	}
	return out
}

// readsRising chooses the reader with which most headwords of some lines rise.
func (f *entryFinder) readsRising(v *Volume, sure []headLine) bool {
	some := sure[max(0, min(len(sure)/3, len(sure)-4*minEntries)):]
	some = some[:min(len(some), 4*minEntries)]
	best, of, use := -1, 0, 0
	for r := range f.readers {
		f.use = r
		m, _ := f.readLines(v, some)
		if row := max(len(rising(m, firstWordKey)), len(rising(m, lettersKey))); row > best {
			best, of, use = row, len(m), r
		}
	}
	f.use = use
	return of >= minEntries && best*10 >= of*8
}

// readLines reads the headwords of lines, those that have letters, and tells which key explains their order better.
func (f *entryFinder) readLines(v *Volume, lines []headLine) ([]margin, func(*headword) string) {
	m := make([]margin, 0, len(lines))
	for _, l := range lines {
		m = append(m, margin{block: l.unit, head: f.lineHead(v, l.unit)})
	}
	if len(rising(m, lettersKey)) > len(rising(m, firstWordKey)) {
		return m, lettersKey
	}
	return m, firstWordKey
}

// lineHead reads the headword of a line.
func (f *entryFinder) lineHead(v *Volume, unit int) headword {
	t := v.Units[unit].Text
	t = t[SkipTurns(t):]
	return f.readers[f.use].headword(t[:min(len(t), keyCells)])
}

// sense reports whether unit i is a numbered sense of the entry of a dictionary, a few lines under its headword.
func (f *Flow) sense(i int) bool {
	if !itemNumber(f.units[i].Text) {
		return false
	}
	for k := i - 1; k >= 0 && k >= i-8; k-- {
		if f.units[k].headword {
			return true
		}
	}
	return false
}
