package check

import (
	"bytes"
	"cmp"
	"slices"
	"sort"
	"strings"

	"continuo/internal/cell"
	"continuo/internal/source"
)

// classes says with which records a class of reason can stand. "join" and
// "blank" can stand with any.
var classes = map[string]string{
	"head":             " out out-cells ",
	"page-number":      " out out-cells ",
	"filler":           " out ",
	"spacing":          " out double ",
	"title-repeat":     " out out-cells ",
	"repeat":           " out out-cells ",
	"volume-statement": " out out-cells ",
	"volume-end":       " out out-cells ",
	"contents":         " out out-cells ",
	"contents-number":  " out-cells add ",
	"marker":           " out out-cells ",
	"rule":             " swap swap-cells ",
	"rejoin":           " out-cells ",
	"split":            "",
	"continuation":     " out-cells ",
	"rewritten":        " out-cells swap-cells ",
	"turn":             " swap swap-cells add ",
	"statement":        " swap swap-cells add ",
	"notes":            " move add out ",
	"contents-order":   " move add ",
	"prelims":          " move add ",
	"duplicate":        " out ",
	"table-label":      " add ",
	"table-cell":       " out out-cells swap swap-cells ",
	"table-heads":      " out ",
	"paper-page":       " swap swap-cells ",
	"entry-mark":       " add ",
	"parent":           " add ",
	"number-cut":       " out-cells swap swap-cells add ",
	"way":              " add out ",
	"decision":         " out out-cells ",
	"correction":       " out out-cells swap swap-cells ",
}

func allowed(class, op string) bool {
	return op == "join" || op == "blank" || strings.Contains(classes[class], " "+op+" ")
}

// left is one line, or part of one, that is not in the edition as it was.
type left struct {
	span
	text  []byte
	class string
	whole bool
}

// faces holds what the look at all reasons needs.
type faces struct {
	v         *verifier
	titles    *likeness // over kept lines that can be titles or headings
	start     *likeness // over kept lines near the start of their source
	entries   *likeness // over kept lines that look like contents
	left      []left
	groups    map[string]*group
	labels    map[labelKey][]int // of heads and page numbers: their pages, see pageKey
	heads     map[[2]int]int     // head lines a page
	lastKept  map[[2]int]int     // of parted lines: the end of the last kept cells
	isEntry   map[[2]int]bool    // parted lines that lost the number of a contents entry
	thinned   map[[2]int]bool    // parted lines that lost more than a sign or a page number
	front     [][]int32          // per source: for each line, its number among lines with marks
	fronts    [][]int32          // per source: those numbers of front matter, in order
	contents  [][]int32          // per source: those numbers of contents
	volumes   [][]int32          // per source: lines (not numbers) where a statement or end of a volume stands
	headLines [][]left           // per source: what was left out as heads
	guides    map[[2]int]bool    // heads that are guide words, see guideHead
	rows      map[[2]int][]swap  // cells of tables put together, by their line; see rowHas
	above     shortLine          // the last kept line that is no entry
	words     [][]byte           // of the kept line at hand
	base      []int              // per source: the place of its first line, in reading order
	tall      int                // lines of most pages, see papers; 0 before it is asked for
}

type labelKey struct {
	roman bool
	value int
}

// checkFaces looks at everything left out, replaced or added, and finds what
// its reason does not explain on its face.
func (v *verifier) checkFaces() {
	f := &faces{v: v, titles: newLikeness(), start: newLikeness(), entries: newLikeness(), groups: map[string]*group{}, labels: map[labelKey][]int{}, heads: map[[2]int]int{}, lastKept: map[[2]int]int{}, thinned: map[[2]int]bool{}, isEntry: map[[2]int]bool{}}
	f.gather()
	f.needParents()
	f.number()
	f.readKept()
	for _, l := range f.left {
		if why := f.wrong(l); why != "" {
			v.at(l.src, l.line, "left out as %q, but %s: %q", l.class, why, clip(l.text))
		}
	}
	f.checkSwaps()
	f.checkCorrections()
	f.checkTools()
	f.checkWay()
	f.checkOldWay()
	f.checkDuplicates()
}

// gather collects what is left out with marks on it. Lines that must be blank
// are judged at once.
func (f *faces) gather() {
	r := f.v.r
	for s, lines := range r.fate {
		for i, x := range lines {
			if x.kind != out {
				continue
			}
			text := r.src[s].Text(i)
			l := left{span{src: s, line: i, to: len(text)}, text, r.acc.reasons[x.reason].Class, true}
			f.take(l)
		}
	}
	for _, c := range r.cuts {
		text := r.src[c.src].Text(c.line)[c.from:c.to]
		f.take(left{c.span, text, r.acc.reasons[c.reason].Class, false})
	}
	for _, t := range r.tools {
		if r.acc.reasons[t.reason].Class == "contents-order" {
			f.titles.need(t.cells)
		}
	}
	for _, k := range r.keeps {
		f.lastKept[[2]int{k.src, k.line}] = k.to
	}
	for _, pages := range f.labels {
		slices.Sort(pages)
	}
	for _, g := range f.groups {
		g.seal()
	}
}

func (f *faces) take(l left) {
	if len(l.text) == 0 || cell.Marks(l.text) == 0 {
		return
	}
	switch l.class {
	case "filler", "spacing", "duplicate":
	case "head":
		rest, _, _ := edges(l.text)
		f.titles.need(rest)
		f.group(l.class).add(rest)
	case "title-repeat", "repeat", "contents":
		f.titles.need(l.text)
		f.start.need(l.text)
		f.entries.need(l.text)
	case "volume-statement", "volume-end":
		f.group(l.class).add(l.text)
	}
	if l.class == "head" || l.class == "page-number" {
		f.takeLabels(l)
	} else if l.whole {
		f.takeCorners(l)
	}
	at := [2]int{l.src, l.line}
	switch {
	case l.whole, l.class == "correction", l.class == "rejoin", l.class == "rewritten", l.class == "continuation", l.class == "page-number", l.class == "number-cut":
	case l.class == "contents-number":
		f.isEntry[at] = true
		fallthrough
	default:
		f.thinned[at] = true
	}
	f.left = append(f.left, l)
}

func (f *faces) group(class string) *group {
	if f.groups[class] == nil {
		f.groups[class] = &group{}
	}
	return f.groups[class]
}

// takeLabels remembers the labels of a head and the page they stand on.
func (f *faces) takeLabels(l left) {
	for _, x := range cell.Fields(l.text) {
		tok := bytes.TrimLeft(l.text[x[0]:x[1]], "-")
		lab, ok := cell.ParseLabel(tok)
		if !ok {
			continue
		}
		for n := lab.Value; n <= lab.Last && n < lab.Value+50; n++ {
			k := labelKey{lab.Roman, n}
			f.labels[k] = append(f.labels[k], f.pageKey(l.src, l.line))
		}
	}
}

// takeCorners remembers the page numbers at the ends of another line that went.
func (f *faces) takeCorners(l left) {
	if _, last, gap := lastTokens(l.text); gap >= 2 {
		f.takeLabels(left{span: l.span, text: last})
	}
	text := bytes.TrimLeft(l.text, " ")
	if first, _, ok := bytes.Cut(text, []byte("  ")); ok && len(cell.Fields(first)) == 1 {
		f.takeLabels(left{span: l.span, text: first})
	}
}

// pageKey numbers the pages of all sources, far apart from source to source.
func (f *faces) pageKey(src, line int) int {
	return src<<32 + int(f.v.src[src].Lines[line].Page)
}

// frontClass is front matter of a volume, and its end.
func frontClass(c string) bool {
	switch c {
	case "title-repeat", "repeat", "volume-statement", "volume-end", "contents", "contents-number", "contents-order", "statement":
		return true
	}
	return false
}

// number gives the lines with marks of each source their numbers, and notes
// those of front matter and where volumes begin and end.
func (f *faces) number() {
	r := f.v.r
	cuts := map[[2]int]string{}
	for _, l := range f.left {
		if !l.whole && frontClass(l.class) {
			cuts[[2]int{l.src, l.line}] = l.class
		}
	}
	place := 0
	for s, lines := range r.fate {
		f.base = append(f.base, place)
		place += len(lines)
		nums := make([]int32, len(lines))
		var fronts, contents, volumes []int32
		n := int32(0)
		for i, x := range lines {
			nums[i] = n
			if len(r.src[s].Text(i)) == 0 {
				continue
			}
			class := ""
			if x.kind == out || x.kind == swapped || x.kind == moved {
				class = r.acc.reasons[x.reason].Class
			} else if x.kind == parted {
				class = cuts[[2]int{s, i}]
			}
			if frontClass(class) || x.kind == swapped || x.kind == moved {
				fronts = append(fronts, n)
			}
			switch class {
			case "contents", "contents-number", "contents-order", "repeat":
				contents = append(contents, n)
			case "volume-statement", "volume-end", "statement":
				volumes = append(volumes, int32(i))
			}
			n++
		}
		f.front, f.fronts, f.contents, f.volumes = append(f.front, nums), append(f.fronts, fronts), append(f.contents, contents), append(f.volumes, volumes)
	}
}

// readKept takes kept and replaced text into the likenesses. Lines that look
// like contents are kept apart: that a heading stands in the contents does not
// make up for the heading.
func (f *faces) readKept() {
	r := f.v.r
	for _, src := range r.src {
		f.titles.size += min(len(src.Lines), 4*titleLines) * 4
		f.start.size += min(len(src.Lines), startLines) * 8
	}
	parts := slices.Clone(r.keeps)
	slices.SortFunc(parts, func(a, b span) int {
		return cmp.Or(cmp.Compare(a.src, b.src), cmp.Compare(a.line, b.line), cmp.Compare(a.from, b.from))
	})
	mended := f.mendedLines()
	for s, lines := range r.fate {
		short := usualWidth(r.src[s]) * 7 / 10
		for i, x := range lines {
			text, at := r.src[s].Text(i), f.base[s]+i
			switch x.kind {
			case kept, moved, swapped:
				f.addKept(text, at, f.front[s][i], short, looksEntry(text))
			case parted:
				if mended[[2]int{s, i}] {
					f.addKept(text, at, f.front[s][i], short, f.isEntry[[2]int{s, i}])
				}
				for len(parts) > 0 && parts[0].src == s && parts[0].line == i {
					f.addKept(text[parts[0].from:parts[0].to], at, f.front[s][i], short, f.isEntry[[2]int{s, i}])
					parts = parts[1:]
				}
			}
		}
	}
}

const (
	titleLines = 60  // lines with marks at the start of a source that are all taken for titles
	startLines = 500 // those among which repeated matter stands the first time
)

func (f *faces) addKept(text []byte, at int, n int32, short int, entry bool) {
	if entry {
		if f.above.at == at-1 { // the first line of an entry of two
			f.entries.add(words(f.above.text), at-1)
		}
		f.entries.add(words(text), at)
		return
	}
	f.above = shortLine{text, at}
	indent := cell.Indent(text)
	title := !f.titles.idle() && (n < titleLines || indent > 2 || len(bytes.TrimRight(text, " "))-indent <= short)
	start := !f.start.idle() && n < startLines
	if !title && !start {
		return
	}
	f.words = appendWords(f.words[:0], text)
	if title {
		f.titles.add(f.words, at)
	}
	if start {
		f.start.add(f.words, at)
	}
}

// usualWidth is the length that 19 lines with marks in 20 do not exceed.
func usualWidth(f *source.File) int {
	var t tally
	for _, l := range f.Lines {
		if l.End > l.Start {
			t.add(int(l.End - l.Start))
		}
	}
	return t.most(19, 20)
}

// looksEntry tells whether a line ends as an entry of contents does: guide
// dots, or a page label set off by two blanks.
func looksEntry(text []byte) bool {
	before, last, gap := lastTokens(text)
	if len(before) == 0 {
		return false
	}
	dots := len(before) > 1 && cell.Guide(before[0]) && (before[0] == '\'' || before[0] == '"' || len(before) > 2) && before[1] == before[0] && len(bytes.Trim(before, string(before[:1]))) == 0
	return (dots || gap > 1 || mayBeLabel(before) && isLabel(before) && looksEntry(text[:bytes.LastIndex(text, last)])) && isLabel(last)
}

// afterComma tells whether a line ends in a page label after a comma, as entries of contents may (common practice).
func afterComma(text []byte) bool {
	before, last, gap := lastTokens(text)
	return len(before) > 1 && before[len(before)-1] == '1' && gap == 1 && isLabel(last)
}

// wrong says why a left-out text is not what its class says, or nothing.
func (f *faces) wrong(l left) string {
	switch l.class {
	case "filler", "spacing":
		return "it is not blank"
	case "page-number", "number-cut":
		return f.wrongNumber(l)
	case "head":
		return f.wrongHead(l)
	case "title-repeat", "repeat":
		return f.wrongRepeat(l)
	case "volume-statement", "volume-end":
		return f.wrongVolume(l)
	case "contents":
		return f.wrongContents(l)
	case "contents-number":
		return f.wrongEntryEnd(l)
	case "marker":
		return f.wrongMarker(l)
	case "rejoin":
		return f.wrongSign(l, "-")
	case "continuation":
		return f.wrongSign(l, `"`)
	case "decision":
		return f.wrongDecision(l)
	case "table-cell":
		return f.wrongTableCell(l)
	case "table-heads":
		return f.wrongTableHeads(l)
	case "notes":
		return f.wrongNotesHeading(l)
	case "duplicate", "rewritten", "correction", "way":
		return "" // judged for the whole source or page, or with the word that replaces it
	}
	return "nothing is known of this class"
}

func (f *faces) wrongNumber(l left) string {
	if inner := cell.BetweenHyphens(bytes.TrimSpace(l.text)); inner != nil && l.whole && isLabel(inner) {
		return ""
	}
	fs := cell.Fields(l.text)
	for _, x := range fs {
		if tok := l.text[x[0]:x[1]]; !isLabel(tok) && (string(tok) != "-" || len(fs) != 3) && !f.unsigned(l, tok) {
			return "it holds more than page labels"
		}
	}
	if len(fs) > 3 {
		return "it holds more than three labels"
	}
	if l.whole || l.class == "number-cut" {
		return ""
	}
	line := f.v.src[l.src].Text(l.line)
	before, after := line[:l.from+fs[0][0]], line[l.from+fs[len(fs)-1][1]:]
	switch {
	case cell.Marks(before) == 0 && (cell.Marks(after) == 0 || cell.Indent(after) >= 2):
		return ""
	case cell.Marks(after) == 0 && len(before)-len(bytes.TrimRight(before, " ")) >= 2:
		return ""
	case cell.Marks(after) == 0 && len(fs) == 1 && l.text[fs[0][0]] == '#' && afterRow(before):
		return ""
	}
	return "it does not stand at an edge of its line, two blanks off the text"
}

// afterRow reports whether a text is a row of dots 3-6, six cells at least, and a print page label: a page
// number may stand hard against it.
func afterRow(t []byte) bool {
	label := bytes.TrimLeft(t, "-")
	return len(t)-len(label) >= 6 && len(label) > 1 && isLabel(label)
}

func (f *faces) wrongHead(l left) string {
	page := [2]int{l.src, int(f.v.src[l.src].Lines[l.line].Page)}
	file := f.v.src[l.src]
	rest, labels, apart := edges(l.text)
	if file.FormFeed {
		most := 4 * f.papers(l)
		if f.heads[page]++; f.heads[page] > most {
			return "its page has more than four such lines"
		}
		if most == 4 && !f.atEdge(l) && !(apart && len(labels) > 0 && f.group("head").twin(rest, 1)) && !f.overFront(l) {
			return "it stands in the middle of its page"
		}
	}
	if len(words(rest)) == 0 && len(labels) > 0 || apart {
		return ""
	}
	firstPage := file.FormFeed && page[1] == 0 && len(labels) == 0
	if !firstPage && f.group("head").twin(rest, 1) || f.titles.found(rest, everywhere) || f.guideHead(l) || f.onPage(l, rest) {
		return ""
	}
	return "it has no page number of its own and is like no other head and no kept line"
}

// onPage reports whether another line of a head's page that is left out for another reason, and judged by that, has its words:
// the heading that it says.
func (f *faces) onPage(l left, rest []byte) bool {
	file := f.v.src[l.src]
	p := file.Pages[file.Lines[l.line].Page]
	for i := int(p.First); i < int(p.Last) && key(rest) != ""; i++ {
		if x := f.v.r.fate[l.src][i]; i != l.line && x.kind == out && f.v.acc.reasons[x.reason].Class != "head" && key(file.Text(i)) == key(rest) {
			return true
		}
	}
	return false
}

// overFront reports whether the words of a line are those of five other heads, and it stands over another line of the same
// preliminary pages: a form feed may be missing before it.
func (f *faces) overFront(l left) bool {
	file := f.v.src[l.src]
	return l.whole && file.Lines[l.line].Page < 6 && f.group("head").count[key(l.text)] > 5 && l.line+1 < len(file.Lines) && cell.Indent(file.Text(l.line+1)) >= 3
}

// papers is how many pages of paper the page of a line can be: more than one where it
// has three lines more than most pages of the sources, for form feeds may be missing.
func (f *faces) papers(l left) int {
	if f.tall == 0 {
		f.tall = usualHeight(f.v.src)
	}
	p := f.v.src[l.src].Pages[f.v.src[l.src].Lines[l.line].Page]
	lines := int(p.Last - p.First)
	if lines <= f.tall+2 {
		return 1
	}
	return lines/f.tall + 1
}

// usualHeight is how many lines the pages of sources with form feeds have, as most of
// them do; ten at least.
func usualHeight(files []*source.File) int {
	count := map[int]int{}
	best := 10
	for _, f := range files {
		for _, p := range f.Pages {
			h := int(p.Last - p.First)
			if !f.FormFeed || h < 10 {
				continue
			}
			if count[h]++; count[h] > count[best] || count[h] == count[best] && h < best {
				best = h
			}
		}
	}
	return best
}

// atEdge tells whether a line is among the first four or last three lines with
// marks on its page.
func (f *faces) atEdge(l left) bool {
	p := f.v.src[l.src].Pages[f.v.src[l.src].Lines[l.line].Page]
	nums := f.front[l.src]
	n := nums[l.line]
	first := nums[p.First]
	end := nums[p.Last-1]
	if len(f.v.src[l.src].Text(int(p.Last-1))) > 0 {
		end++
	}
	return n-first < 4 || end-n <= 3
}

// everywhere is a place behind all text.
const everywhere = 1 << 40

// near tells whether one of the numbers stands within so many lines with marks
// before the line, or after it.
func (f *faces) near(l left, numbers []int32, before, after int32) bool {
	n := f.front[l.src][l.line]
	i := sort.Search(len(numbers), func(i int) bool { return numbers[i] >= n })
	if i > 0 && n-numbers[i-1] <= before {
		return true
	}
	if i < len(numbers) && numbers[i] == n {
		i++
	}
	return i < len(numbers) && numbers[i]-n <= after
}

// earlier is the place before which text must stand that a line can repeat:
// the start of its source or, in a source of several volumes, the last
// statement or end of a volume before the line.
func (f *faces) earlier(l left) int {
	vs := f.volumes[l.src]
	if i := sort.Search(len(vs), func(i int) bool { return int(vs[i]) >= l.line }); i > 0 {
		return f.base[l.src] + int(vs[i-1])
	}
	return f.base[l.src]
}

// entryWords is a contents entry without its number, or two of them, and guide dots.
func entryWords(text []byte) []byte {
	before, last, _ := lastTokens(text)
	text = bytes.TrimRight(text, " ")
	text = bytes.TrimRight(text[:len(text)-len(last)], " ")
	if isLabel(before) && looksEntry(text) {
		return entryWords(text)
	}
	text = bytes.TrimRight(text, " \"'-")
	if n := len(text); n > 2 && cell.Guide(text[n-1]) && text[n-2] == text[n-1] && text[n-3] == text[n-1] {
		text = bytes.TrimRight(text, string(text[n-1:]))
	}
	return bytes.TrimRight(text, " ")
}

func (f *faces) wrongRepeat(l left) string {
	if f.front[l.src][l.line] >= 40 && !f.near(l, f.fronts[l.src], 60, 0) {
		return "it stands far from the front matter of its volume"
	}
	before, entry := f.earlier(l), looksEntry(l.text) || f.near(l, f.contents[l.src], 2, 2) && afterComma(l.text)
	rest, _, apart := edges(l.text)
	numbered := l.whole && apart && len(rest) > 0 && f.atEdge(l) // a page number stands on its line
	if numbered && entry && f.start.found(rest, before) {
		return "" // or one at each end
	}
	if entry {
		l.text = entryWords(l.text)
	} else if numbered {
		l.text = rest
	}
	if why, judged := f.wrongGoesOn(l, before); judged {
		return why
	}
	if f.start.found(l.text, before) || f.bareMatter(l.text) && f.near(l, f.fronts[l.src], 3, 3) {
		return ""
	}
	if (f.front[l.src][l.line] < 12 || f.near(l, f.fronts[l.src], 6, 0)) && f.titles.found(l.text, before) {
		return "" // the heading of a part that goes on
	}
	if (entry || f.near(l, f.contents[l.src], 2, 2)) && f.entries.found(l.text, before) {
		return ""
	}
	return "its words stand nowhere in the text that is kept of the volumes before"
}

// wrongNotesHeading judges the heading of notes left out because they stand under
// that of other notes: the next line with marks went to the notes, or stands in
// the last source, whose notes stay where they are; a line with the same words
// before it went to the notes.
func (f *faces) wrongNotesHeading(l left) string {
	if !l.whole {
		return "it is not a whole line"
	}
	next := l.line + 1
	for next < len(f.v.src[l.src].Lines) && (len(f.v.src[l.src].Text(next)) == 0 || f.v.r.fate[l.src][next].kind == out || markedTurn(f.v.src[l.src].Text(next))) {
		next++
	}
	if next == len(f.v.src[l.src].Lines) || !f.isNote(l.src, next) && !f.lastOfBook(l.src) && f.v.r.fate[l.src][next].kind != parted {
		return "no notes that were gathered stand under it"
	}
	if rest, _, apart := edges(l.text); apart && len(rest) > 0 && f.atEdge(l) {
		l.text = rest // a page number stands on its line
	}
	w := words(l.text)
	for s := l.src; s >= 0; s-- {
		for i := range f.v.r.fate[s] {
			text, x := f.v.src[s].Text(i), f.v.r.fate[s][i]
			if cell.Marks(text) > 2*cell.Marks(l.text)+8 { // signs and all, no heading of these words
				continue
			}
			if x.kind == parted && !f.thinned[[2]int{s, i}] { // its page number went
				text, _, _ = edges(text)
			} else if !f.isNote(s, i) && x.kind != kept {
				continue
			}
			if (s < l.src || i < l.line) && beginsAs(w, words(text)) {
				return ""
			}
		}
	}
	return "no notes under the same words stand before it"
}

// beginsAs tells whether words are those of a heading, and a word that says that
// it goes on or none.
func beginsAs(w, heading [][]byte) bool {
	return len(heading) > 0 && len(w) >= len(heading) && len(w) <= len(heading)+1 && slices.EqualFunc(w[:len(heading)], heading, bytes.Equal)
}

// isNote tells whether a line went to the gathered notes.
func (f *faces) isNote(s, i int) bool {
	x := f.v.r.fate[s][i]
	return x.kind == moved && f.v.acc.reasons[x.reason].Class == "notes"
}

// lastOfBook tells whether only sources that repeat others come after one.
func (f *faces) lastOfBook(src int) bool {
	for s := src + 1; s < len(f.v.src); s++ {
		for i, x := range f.v.r.fate[s] {
			if len(f.v.src[s].Text(i)) > 0 && (x.kind != out || f.v.r.acc.reasons[x.reason].Class != "duplicate") {
				return false
			}
		}
	}
	return true
}

// bareMatter tells whether text is a rule, or has no word.
func (f *faces) bareMatter(text []byte) bool {
	return framing(text) || len(words(text)) == 0 || onlyLabels(text)
}

// besideVolume tells whether a statement or end of a volume stands within two
// lines of the line.
func (f *faces) besideVolume(l left) bool {
	vs := f.volumes[l.src]
	i := sort.Search(len(vs), func(i int) bool { return int(vs[i]) >= l.line })
	if i > 0 && l.line-int(vs[i-1]) <= 2 {
		return true
	}
	if i < len(vs) && int(vs[i]) == l.line {
		i++
	}
	return i < len(vs) && int(vs[i])-l.line <= 2
}

// atVolumeEdge tells whether a line stands near the start or the end of its
// source, or near front matter.
func (f *faces) atVolumeEdge(l left) bool {
	n, nums := f.front[l.src][l.line], f.front[l.src]
	return n < 60 || nums[len(nums)-1]-n < 60 || f.near(l, f.fronts[l.src], 60, 60)
}

func (f *faces) wrongVolume(l left) string {
	numbers := onlyNumbers(l.text, f.v.more.numbers) && !markedTurn(l.text) && f.besideVolume(l)
	switch {
	case !f.atVolumeEdge(l):
		return "it stands far from the edges of its volume"
	case numbers || f.group(l.class).twin(l.text, 1):
		return ""
	}
	for _, text := range [][]byte{l.text, f.joined(l, -1), f.joined(l, 1)} {
		if f.namesIt(l, text) {
			return ""
		}
	}
	if l.class == "volume-end" {
		return "it names no volume's end"
	}
	return "it names no volume and no pages"
}

// lastLines tells whether a line is one of the last three with marks of its source.
func (f *faces) lastLines(l left) bool {
	nums := f.front[l.src]
	return nums[len(nums)-1]-nums[l.line] < 3
}

// joined is a whole line with the one before it or after it, where this was left out for
// the same class of reason: "the story continues in", "volume two". Nil when it was not.
func (f *faces) joined(l left, step int) []byte {
	i := l.line + step
	if !l.whole || i < 0 || i >= len(f.v.r.fate[l.src]) {
		return nil
	}
	x := f.v.r.fate[l.src][i]
	if x.kind != out || f.v.acc.reasons[x.reason].Class != l.class {
		return nil
	}
	if step < 0 {
		return slices.Concat(f.v.src[l.src].Text(i), []byte{cell.Blank}, l.text)
	}
	return slices.Concat(l.text, []byte{cell.Blank}, f.v.src[l.src].Text(i))
}

// namesIt tells whether a text names a volume or pages as a statement does, or the end of
// a volume.
func (f *faces) namesIt(l left, text []byte) bool {
	ws := words(text)
	volume := namesPart(text)
	if l.class == "volume-statement" {
		return volume || has(ws, pageWords) || f.v.more.names(text, NamesVolume, NamesPages)
	}
	return f.v.more.names(text, NamesEnd) || has(ws, endWords) && volume || has(ws, goesOnWords) && len(ws) < 6 || volume && len(ws) < 8 && (f.besideVolume(l) || f.lastLines(l))
}

func (f *faces) wrongContents(l left) string {
	if inner := cell.BetweenHyphens(bytes.TrimSpace(l.text)); inner != nil && isLabel(inner) {
		return "" // a page number among the entries
	}
	ws := words(l.text)
	if has(ws, contentWords) || has(ws, pageWords) || has(ws, volumeWords) || f.v.more.names(l.text, NamesContents, NamesPages, NamesVolume) {
		return ""
	}
	if !f.near(l, f.contents[l.src], 6, 6) { // an entry takes five lines
		return "no other line of contents stands beside it"
	}
	fs := cell.Fields(l.text)
	last := fs[len(fs)-1]
	if isLabel(l.text[last[0]:last[1]]) || has(ws, editionWords) || f.goesOn(l) || f.bareMatter(l.text) || f.titles.found(l.text, everywhere) || f.start.found(l.text, everywhere) || f.near(l, f.contents[l.src], 1, 1) && f.entries.found(l.text, everywhere) {
		return ""
	}
	return "it ends in no number and its words stand nowhere in the text that is kept"
}

// goesOn tells whether a line goes on the sentence that comes before a general
// contents: the line before it, left out as contents, speaks of the edition.
func (f *faces) goesOn(l left) bool {
	for i := l.line - 1; i >= 0; i-- {
		text := f.v.src[l.src].Text(i)
		if len(text) == 0 {
			continue
		}
		x := f.v.r.fate[l.src][i]
		return x.kind == out && f.v.acc.reasons[x.reason].Class == "contents" && has(words(text), editionWords)
	}
	return false
}

// wrongEntryEnd judges the end of a contents entry: guide dots and page labels,
// with nothing but page labels after them on the line; or the page label before its words.
func (f *faces) wrongEntryEnd(l left) string {
	line := f.v.src[l.src].Text(l.line)
	if f.numberBefore(l) {
		return ""
	}
	for _, x := range cell.Fields(line[l.to:]) {
		if !isLabel(line[l.to+x[0] : l.to+x[1]]) {
			return "more than page labels stand after it on its line"
		}
	}
	for _, x := range cell.Fields(l.text) {
		tok := l.text[x[0]:x[1]]
		dots := len(bytes.Trim(tok, string(tok[:1]))) == 0 && !cellIsLetter(tok[0])
		if !dots && !isLabel(tok) && !isLabel(bytes.TrimLeft(tok, `"'-`)) {
			return "it is not guide dots and a label"
		}
	}
	return ""
}

func cellIsLetter(c byte) bool { return c >= 'a' && c <= 'z' }

func (f *faces) wrongMarker(l left) string {
	if rest, _, apart := edges(l.text); l.whole && apart && len(rest) > 0 && f.atEdge(l) {
		l.text = rest // a page number stands on its line
	}
	if !framing(l.text) {
		return "it is not one cell repeated"
	}
	if f.v.acc.head.Settings["end-markers"] == "drop" {
		return "" // left out by request
	}
	fate := f.v.r.fate[l.src]
	for _, step := range []int{-1, 1} {
		lines := 0
		for i := l.line + step; i >= 0 && i < len(fate) && lines < 3; i += step {
			if len(f.v.src[l.src].Text(i)) == 0 {
				continue
			}
			lines++
			if text := f.v.src[l.src].Text(i); looksEntry(text) || afterComma(text) {
				return "" // a row under a list of contents that was put together with others
			}
			if k := fate[i].kind; k != kept && (k != parted || f.thinned[[2]int{l.src, i}]) {
				return ""
			}
		}
		if lines == 0 {
			return "" // the edge of the file
		}
	}
	return "it frames nothing that was left out"
}

// wrongSign judges a sign left out at a line end.
func (f *faces) wrongSign(l left, sign string) string {
	if t := bytes.TrimSpace(l.text); string(t) != sign {
		return "it is not the one cell " + sign
	}
	if cell.Marks(f.v.src[l.src].Text(l.line)[l.to:]) == 0 || f.lastKept[[2]int{l.src, l.line}] <= l.from {
		return ""
	}
	return "it does not stand at the end of its line"
}
