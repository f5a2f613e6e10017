package layout

import "strings"

// said is where the words of a volume's headings stand in its text: lines set apart, with the line
// after them, from the first page full of running text on. A line of which these are the words
// says nothing that the text lacks, however its headings are laid out.
type said map[string][]saidLine

type saidLine struct {
	line int32
	text string // with the words of the next line
	own  int    // cells of the line itself
}

// findSaid takes down the first two lines of what is set apart in a volume, by their first words.
func (v *Volume) findSaid(edges []edgeLine) {
	v.said = said{}
	if len(v.textPages) == 0 {
		return
	}
	skip := v.linesOf(edges)
	for i := v.Pages[max(0, v.textPages[0]-1)].First; int(i) < len(v.Lines); i++ {
		if v.Lines[i].Role != Text || skip[i] || !v.apartAtTop(i, skip) || !v.holdsText(int(v.PageOf[i])) {
			continue
		}
		for n := int32(0); n < 2 && int(i+n) < len(v.Lines) && v.PageOf[i+n] == v.PageOf[i] && v.Lines[i+n].Role == Text && !skip[i+n]; n++ {
			v.addSaid(i+n, skip)
		}
	}
}

// addSaid takes down a line, with the next one.
func (v *Volume) addSaid(i int32, skip []bool) {
	own := Normal(v.TextOf(i))
	text := own
	if next := i + 1; int(next) < len(v.Lines) && v.PageOf[next] == v.PageOf[i] && v.Lines[next].Role == Text && !skip[next] {
		text += " " + Normal(v.TextOf(next))
	}
	first, _, _ := strings.Cut(own, " ")
	v.said[first] = append(v.said[first], saidLine{i, text, len(own)})
}

// holdsText reports whether three lines of running text stand on a page: it is no list of contents.
func (v *Volume) holdsText(p int) bool {
	return v.begun(p+1) > 0 || v.runningText(p) >= 3
}

// apartAtTop reports whether nothing but a blank line or an edge line stands right over line i.
func (v *Volume) apartAtTop(i int32, edge []bool) bool {
	return i == v.Pages[v.PageOf[i]].First || v.Lines[i-1].Role != Text || edge[i-1]
}

// saidWithin reports whether the words of an edge line stand in the text, on its page or one of so
// many before it: those of a whole line, or the first ones, two at least, of what begins there.
func (v *Volume) saidWithin(e *edgeLine, pages int) bool {
	first, rest, _ := strings.Cut(e.norm, " ")
	for _, l := range v.said[first] {
		if d := e.page - int(v.PageOf[l.line]); d < 0 || d > pages {
			continue
		}
		after, begins := strings.CutPrefix(l.text+" ", e.norm)
		if begins && (l.own == len(e.norm) || rest != "" && strings.ContainsAny(after[:1], " 134")) { // comma, colon, full stop
			return true
		}
	}
	return false
}

// saidAtTop reports whether the very words of a last line stand on line 1 of its page or of one of
// eight before it: a heading at an indent of the text, which is told from text there by nothing else.
func (v *Volume) saidAtTop(e *edgeLine) bool {
	for p := e.page; p >= 0 && p > e.page-9; p-- {
		if i := v.Pages[p].Top; i >= 0 && i != e.line && v.Lines[i].Role == Text && Normal(v.TextOf(i)) == e.norm {
			return true
		}
	}
	return false
}
