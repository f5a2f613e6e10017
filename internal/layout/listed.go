package layout

import (
	"bytes"
	"slices"

	"continuo/internal/cell"
)

// This file takes down what contents lists name twice: two chapters with one title. The second
// stands on the page that the list says, and is no head that repeats the first.

// listedPages is how many pages at the start of a volume may hold its contents list.
const listedPages = 12

// addListed takes down, by their words, the entries of a volume's contents list, and those that stand twice in it, with their numbers, which rise.
func (hb *headbook) addListed(v *Volume) {
	pages := map[string][]int{}
	for p := 0; p < min(listedPages, len(v.Pages)/3); p++ {
		var entries, over [][]byte
		last := int32(0)
		for i := v.Pages[p].First; i < v.Pages[p].Last; i++ {
			if t := v.TextOf(i); v.Lines[i].Role == Text && ofContents(t) && (i != v.Pages[p].Top && i != v.Pages[p].Bottom || guided(t)) {
				entries = append(entries, t)
				over = append(over, v.overEntry(i))
				last = i
			}
		}
		if len(entries) >= 3 {
			v.lists = append(v.lists, Span{v.Pages[p].First, last + 1})
		}
		for k, t := range entries {
			if words, page := listEntry(t); len(entries) >= 3 && words != "" {
				pages[words] = append(pages[words], page)
				if over[k] != nil {
					hb.named[Normal(over[k])+" "+words] = true
				}
			}
		}
	}
	for key, at := range pages {
		hb.named[key] = true
		if len(at) == 2 && at[0] < at[1] {
			hb.listed[key] = at
		}
	}
}

// inList reports whether line i stands among the entries of a contents list, some of which have no number.
func (v *Volume) inList(i int32) bool {
	return slices.ContainsFunc(v.lists, func(s Span) bool { return i >= s.From && i < s.To })
}

// overEntry is what the lines of a contents list say that line i, further in and with the number, goes on; nil for none.
func (v *Volume) overEntry(i int32) (text []byte) {
	own := v.Lines[i].Text.From
	for k := i - 1; k >= max(i-3, v.Pages[v.PageOf[i]].First); k-- {
		l := &v.Lines[k]
		if l.Role != Text || l.Text.From > own || ofContents(v.TextOf(k)) {
			return nil
		}
		text = append(append(bytes.Clone(v.TextOf(k)), cell.Blank), text...)
		if l.Text.From < own {
			return text
		}
	}
	return nil
}

// namedOpening reports whether an edge line is the first of its words at the top of a page without a number, set
// apart, and an entry of a contents list: its chapter begins there. Beside a number it is the only one like it, over a
// blank line, by itself or with the lines in the middle under it: headings share line 1 with a page number too.
func (v *Volume) namedOpening(e *edgeLine, hb *headbook) bool {
	if !e.top || !e.first || !e.centred || !v.setApart(e.line) {
		return false
	}
	if !e.number {
		return hb.named[e.norm]
	}
	if e.like > 1 {
		return false
	}
	if next := v.near(e.line, 1); next < v.Pages[e.page].Last && v.Lines[next].Role == Empty && hb.named[e.norm] {
		return true
	}
	return slices.ContainsFunc(v.joinedHeading(e.line, e.norm), func(t string) bool { return hb.named[t] })
}

// opensChapter reports whether a chapter that a contents list names begins with the line: no heading
// before it or under it says the same, and the volume before ends in no such chapter.
func (s *evidence) opensChapter() bool {
	return s.opensNamed && !s.goesOnFrom && !s.within && !s.saidUnder && !s.around().over && !s.around().follows
}

// listEntry is the words of an entry, normal, and its number.
func listEntry(t []byte) (words string, page int) {
	at := bytes.LastIndexByte(t, cell.Blank)
	label, _ := cell.ParseLabel(t[at+1:])
	dots := guided(t)
	t = bytes.TrimRight(t[:at], " ")
	if dots {
		t = bytes.TrimRight(t, string(t[len(t)-1:]))
	}
	return Normal(t), label.Value
}

// guided reports whether guide dots stand before the last word of a line.
func guided(t []byte) bool {
	t = bytes.TrimRight(t[:max(bytes.LastIndexByte(t, cell.Blank), 0)], " ")
	n := len(t)
	return n > 2 && cell.Guide(t[n-1]) && t[n-2] == t[n-1]
}

// entryLine reports whether a line ends in guide dots after words, the page number behind them or taken off.
func entryLine(norm string) bool {
	t := []byte(norm)
	if n := len(t); n > 4 && cell.Guide(t[n-1]) && t[n-2] == t[n-1] && t[n-3] == t[n-1] && bytes.IndexByte(t, cell.Blank) > 0 {
		return true
	}
	return ofContents(t) && guided(t)
}

// listedHere reports whether a contents list has the words of an edge line twice, once with the
// number that stands beside the line, and fewer lines within the pages of the volume say them.
func (v *Volume) listedHere(e *edgeLine, hb *headbook) bool {
	pages := hb.listed[e.norm]
	if len(pages) <= e.inner || !e.number || !e.top {
		return false
	}
	l := &v.Lines[e.line]
	raw := v.Raw(e.line)
	for _, s := range []Span{l.Left, l.Right} {
		if label, ok := cell.ParseLabel(raw[s.From:s.To]); ok && s.To > s.From && slices.Contains(pages, label.Value) {
			return true
		}
	}
	return false
}
