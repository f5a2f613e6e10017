package testkit

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"continuo/internal/cell"
)

// Problem is one difference between an edition and the truth.
type Problem struct {
	Kind string // "lost", "doubled", "out of order", "furniture", "extra", "turn", "title", "rule"
	What string
	Line int // of the edition, 1-based; 0 when the place is in the truth only
	Near string
}

func (p Problem) String() string {
	if p.Line > 0 {
		return fmt.Sprintf("%s: %s (edition line %d: %s)", p.Kind, p.What, p.Line, p.Near)
	}
	return fmt.Sprintf("%s: %s (near: %s)", p.Kind, p.What, p.Near)
}

// Report is the outcome of a comparison.
type Report struct {
	Problems  []Problem
	Lost      int // words
	Doubled   int
	Disorder  int
	Furniture int // lines left over
	Turns     int // print page turns missing or at the wrong word
	Extra     int // words that nobody can place
	WantTurns int
	Words     int

	// The shape of the text, which the words alone do not show.
	Starts, StartsWrong int // headings and paragraphs that begin; begun in the middle of a line or like a runover
	Mids, MidsWrong     int // words inside a paragraph; cut off from the word before as if a new one began
	Divided             int // words left divided at the ends of lines
	Shapes              []Problem
}

// OK reports whether nothing is wrong.
func (r *Report) OK() bool { return len(r.Problems) == 0 }

func (r *Report) add(p Problem) { r.Problems = append(r.Problems, p) }

// etok is a word of the edition.
type etok struct {
	s    string
	line int
}

type eturn struct {
	label string
	at    int // before this edition word
	line  int
}

// edition is an edition read for comparison.
type edition struct {
	lines []string
	toks  []etok
	turns []eturn
	rules []int // before these words
	left  int   // words left divided at line ends

	foreign int // bytes that are no cells
}

// withoutForeign takes out words that are one stray byte.
func (e *edition) withoutForeign(f []string) []string {
	out := f[:0]
	for _, s := range f {
		if len(s) == 1 && !cell.Is(s[0]) || s == "\uFFFD" {
			e.foreign++
			continue
		}
		out = append(out, s)
	}
	return out
}

// Compare tells how an edition (Braille ASCII) differs from the truth. Line
// ends and blanks are of no account. Wordings of the tool itself (own) may
// stand anywhere.
func Compare(ed []byte, t *Truth, own ...string) *Report {
	e := readEdition(ed, t.forms())
	r := &Report{Words: len(t.Body) + len(t.Notes), WantTurns: len(t.Turns)}
	used := make([]bool, len(e.toks))
	count := longFloats(e, t, used, r)
	to := alignRest(t.Body, e, used) // truth word to edition word, -1 where there is none
	mark := func(to []int) {
		for _, k := range to {
			if k >= 0 {
				used[k] = true
			}
		}
	}
	mark(to)
	notes := alignRest(t.Notes, e, used)
	mark(notes)
	rest := residue(e, used)
	if len(t.Notes)+len(t.WantNotes) > 0 {
		rest = noteLabels(e, rest, to, t)
	}
	left := sortResidue(e, rest, t, own, count, r)
	stray := strays(e, left)
	moved := map[string]int{}
	judge(t.Body, to, stray, moved, r)
	judge(t.Notes, notes, stray, moved, r)
	judgeLeft(e, left, moved, t, r)
	if len(t.WantNotes) == 0 {
		checkNotes(e, t, to, notes, r)
	}
	checkTitle(e, t, r)
	checkTurns(e, t, to, r)
	checkRules(e, t, to, r)
	checkShape(e, t, to, r)
	r.Divided = e.left
	if e.foreign < t.Foreign {
		r.Lost += t.Foreign - e.foreign
		r.add(Problem{Kind: "lost", What: "a byte that is no cell"})
	}
	return r
}

// forms lists every way in which a word of the text may be written.
func (t *Truth) forms() map[string]bool {
	m := map[string]bool{}
	for _, list := range [][]Want{t.Body, t.Notes} {
		for _, w := range list {
			m[w.Cells] = true
			for _, a := range w.Alt {
				m[a] = true
			}
		}
	}
	return m
}

// checkShape counts headings and paragraphs that begin as such, and paragraphs
// that were cut on paper and are whole again.
func checkShape(e *edition, t *Truth, to []int, r *Report) {
	kind := byte(0)
	turnAt := map[int]bool{}
	for _, x := range e.turns {
		turnAt[x.at] = true
	}
	for i, w := range t.Body {
		if w.Start != 0 {
			kind = w.Start
		}
		if i == 0 || to[i] < 0 || to[i-1] < 0 || strings.IndexByte("vlbsd", kind) >= 0 {
			continue
		}
		a, b := e.toks[to[i-1]].line, e.toks[to[i]].line
		indent := len(e.lines[b-1]) - len(strings.TrimLeft(e.lines[b-1], " "))
		gap := false
		for k := a; k < b-1; k++ {
			gap = gap || strings.TrimSpace(e.lines[k]) == ""
		}
		switch {
		case w.Start != 0:
			r.Starts++
			if a == b || indent == 0 && !gap {
				r.StartsWrong++
				r.Shapes = append(r.Shapes, e.problem("shape", "does not begin as "+map[byte]string{'h': "a heading", 'p': "a paragraph"}[kind]+": "+wantText(t.Body, i, i+4), to[i]))
			}
		case kind == 'p':
			r.Mids++
			if a != b && (indent > 0 || gap) && !turnAt[to[i]] {
				r.MidsWrong++
				r.Shapes = append(r.Shapes, e.problem("shape", "cut in the middle of a paragraph: "+wantText(t.Body, max(0, i-3), i)+" | "+wantText(t.Body, i, i+3), to[i]))
			}
		}
	}
}

// readEdition reads an edition. A word that it leaves divided at the end of a
// line, where verse or unsure matter keeps its lines, is one word.
func readEdition(ed []byte, forms map[string]bool) *edition {
	e := &edition{}
	for n, raw := range strings.Split(string(ed), "\n") {
		raw = strings.TrimRight(raw, "\r\f\x1a ")
		b := []byte(raw)
		for i, c := range b {
			if f, ok := cell.Fold(c); ok {
				b[i] = f
			}
		}
		e.lines = append(e.lines, string(b))
		f := e.withoutForeign(strings.Fields(string(b)))
		if len(f) == 1 && len(f[0]) >= 3 && strings.Trim(f[0], "-") == "" {
			e.turns = append(e.turns, eturn{"", len(e.toks), len(e.lines)})
			continue
		}
		if len(f) == 1 && isRule(f[0]) {
			e.rules = append(e.rules, len(e.toks))
			continue
		}
		for i := 0; i < len(f); i++ {
			if label, n, ok := turnMark(f[i:], len(f)); ok {
				e.turns = append(e.turns, eturn{label, len(e.toks), len(e.lines)})
				i += n - 1
				continue
			}
			if i == 0 && e.divided(f[0], n, forms) {
				continue
			}
			e.toks = append(e.toks, etok{f[i], n + 1})
		}
	}
	return e
}

// divided joins the first word of line n (0-based) to the last of the line
// before, when they are the parts of one word of the text.
func (e *edition) divided(s string, n int, forms map[string]bool) bool {
	k := len(e.toks) - 1
	if k < 0 || e.toks[k].line != n || len(e.turns) > 0 && e.turns[len(e.turns)-1].at == k+1 {
		return false
	}
	x := e.toks[k].s
	if !strings.HasSuffix(x, "-") && !strings.HasSuffix(x, `"`) || x == ",-" || x == "-" {
		return false // a dash alone is a word
	}
	for _, whole := range []string{x + s, x[:len(x)-1] + s} {
		if forms[whole] {
			e.toks[k].s = whole
			e.left++
			return true
		}
	}
	return false
}

// isRule reports whether a word is a separator: one cell repeated, perhaps
// after a line sign.
func isRule(s string) bool {
	s = strings.TrimPrefix(s, `"`)
	if len(s) < 3 || strings.IndexByte(`3=71g"`, s[0]) < 0 {
		return false
	}
	return strings.Trim(s, s[:1]) == ""
}

// turnMark reads a print page turn: `"3#ab`, `"3 #ab`, or dots 3-6 and the
// number alone on a line.
func turnMark(f []string, inLine int) (label string, n int, ok bool) {
	if rest, found := strings.CutPrefix(f[0], `"3`); found {
		if rest == "" && len(f) > 1 && isLabel(f[1]) {
			return f[1], 2, true
		}
		return rest, 1, isLabel(rest)
	}
	if strings.HasPrefix(f[0], "---") && inLine == 1 {
		rest := strings.TrimLeft(f[0], "-")
		return rest, 1, isLabel(rest)
	}
	return "", 0, false
}

// isLabel reports whether a word is a page label in digits or roman.
func isLabel(s string) bool {
	s = strings.TrimPrefix(s, ";")
	for len(s) > 0 && s[0] != '#' && (s[0] >= 'a' && s[0] <= 'z' || s[0] >= '1' && s[0] <= '9') && strings.Contains(s, "#") {
		s = s[1:]
	}
	if strings.HasPrefix(s, "#") {
		return len(s) > 1 && s[1] >= 'a' && s[1] <= 'j' && strings.Trim(s, "#abcdefghij-;") == ""
	}
	return s != "" && strings.Trim(s, "ivxlcdm") == ""
}

// longFloats takes out preliminary lines of four words and more before the
// text is aligned, so that a word that both have does not tear them apart. Of those that the
// text has too, it takes out what stands between other words than there.
func longFloats(e *edition, t *Truth, used []bool, r *Report) map[*Float]int {
	count := map[*Float]int{}
	starts := map[string][]*Float{}
	twice := map[*Float]bool{}
	body := " " + wantAll(t.Body) + " " + wantAll(t.Notes) + " "
	for _, f := range t.Floats {
		if len(f.Toks) >= 4 {
			twice[f] = strings.Contains(body, " "+join(f.Toks)+" ")
			starts[f.Toks[0]] = append(starts[f.Toks[0]], f)
		}
	}
	for _, list := range starts { // one note may be the beginning of another
		slices.SortStableFunc(list, func(a, b *Float) int { return len(b.Toks) - len(a.Toks) })
	}
	for i := 0; i < len(e.toks); i++ {
		for _, f := range starts[e.toks[i].s] {
			if has(e, i, len(e.toks), f.Toks) && !(twice[f] && (f.Must == 0 || count[f] == f.Must || besideSame(e, i, f.Toks, body))) {
				count[f]++
				n := len(f.Toks)
				n += takeEntryEnd(e, i, i+n, len(e.toks), t, r)
				for k := range n {
					used[i+k] = true
				}
				i += n - 1
				break
			}
		}
	}
	return count
}

// besideSame reports whether the words at i of the edition have the word before or after them that
// they have in the text.
func besideSame(e *edition, i int, words []string, body string) bool {
	all := " " + join(words) + " "
	return i > 0 && strings.Contains(body, " "+e.toks[i-1].s+all) || i+len(words) < len(e.toks) && strings.Contains(body, all+e.toks[i+len(words)].s+" ")
}

func wantAll(want []Want) string {
	var b strings.Builder
	for _, w := range want {
		b.WriteString(w.Cells)
		b.WriteByte(' ')
	}
	return strings.TrimSuffix(b.String(), " ")
}

// run is a stretch of edition words [from, to).
type run struct{ from, to int }

func residue(e *edition, used []bool) []run {
	var out []run
	for i := 0; i < len(used); i++ {
		if used[i] {
			continue
		}
		j := i
		for j < len(used) && !used[j] {
			j++
		}
		out = append(out, run{i, j})
		i = j
	}
	return out
}

// sortResidue takes from the words that belong to no text what is known:
// preliminary lines, wordings of the tool, furniture. It returns the rest.
func sortResidue(e *edition, rest []run, t *Truth, own []string, count map[*Float]int, r *Report) []run {
	floats := append([]*Float(nil), t.Floats...)
	sort.SliceStable(floats, func(i, j int) bool { return len(floats[i].Toks) > len(floats[j].Toks) })
	var mine [][]string
	for _, o := range own {
		mine = append(mine, words(o))
	}
	var left []run
	for _, x := range rest {
		from := x.from
		for i := x.from; i < x.to; {
			n := takeFloat(e, i, x.to, floats, count)
			if n > 0 {
				n += takeEntryEnd(e, i, i+n, x.to, t, r)
			}
			if n == 0 {
				n = takeOwn(e, i, x.to, mine)
			}
			if n == 0 {
				n = takeKnown(e, i, x.to, t, r)
			}
			if n == 0 {
				i++
				continue
			}
			if i > from {
				left = append(left, run{from, i})
			}
			i += n
			from = i
		}
		if from < x.to {
			left = append(left, run{from, x.to})
		}
	}
	for _, f := range t.Floats {
		if c := count[f]; c < f.Must {
			r.Lost += len(f.Toks)
			r.add(Problem{Kind: "lost", What: f.Name + ": " + join(f.Toks), Near: fmt.Sprintf("found %d of %d", c, f.Must)})
		} else if c > f.Max {
			r.Doubled += len(f.Toks)
			r.add(Problem{Kind: "doubled", What: f.Name + ": " + join(f.Toks), Near: fmt.Sprintf("found %d, at most %d", c, f.Max)})
		}
	}
	return left
}

// noteLabels takes out the labels that the tool may set before the notes of
// each volume: whole indented lines after the end of the text.
func noteLabels(e *edition, rest []run, to []int, t *Truth) []run {
	last := -1
	for _, k := range to {
		last = max(last, k)
	}
	var out []run
	for _, x := range rest {
		if x.from <= last {
			out = append(out, x)
			continue
		}
		for from := x.from; from < x.to; {
			to := from
			for to < x.to && e.toks[to].line == e.toks[from].line {
				to++
			}
			if !e.isLabelLine(from, to, t) {
				out = append(out, run{from, to})
			}
			from = to
		}
	}
	return out
}

// isLabelLine reports whether the words [from, to) are a whole indented line
// that is no line of the book.
func (e *edition) isLabelLine(from, to int, t *Truth) bool {
	line := e.lines[e.toks[from].line-1]
	if len(words(line)) != to-from || !strings.HasPrefix(line, "    ") || isLabel(e.toks[from].s) {
		return false
	}
	f := t.index[e.text(from, to)]
	return f == nil || f.Must == 0 || f.Name == "contents entry"
}

func has(e *edition, i, end int, w []string) bool {
	if len(w) == 0 || i+len(w) > end {
		return false
	}
	for k, s := range w {
		if e.toks[i+k].s != s {
			return false
		}
	}
	return true
}

func takeFloat(e *edition, i, end int, floats []*Float, count map[*Float]int) int {
	for _, f := range floats {
		if has(e, i, end, f.Toks) {
			count[f]++
			return len(f.Toks)
		}
	}
	return 0
}

func floatAt(e *edition, i, end int, floats []*Float) bool {
	return slices.ContainsFunc(floats, func(f *Float) bool { return has(e, i, end, f.Toks) })
}

// takeEntryEnd takes the guide dots and the number behind a contents entry. The
// number must be the print page of the chapter.
func takeEntryEnd(e *edition, from, i, end int, t *Truth, r *Report) int {
	pages, entry := t.EntryPage[e.text(from, i)]
	n := 0
	for i+n < end && entry {
		s := e.toks[i+n].s
		if e.toks[i+n].line != e.toks[i+n-1].line && floatAt(e, i+n, end, t.Floats) {
			break // an entry of its own that begins with a number
		}
		if len(s) > 1 && (strings.Trim(s, `"`) == "" || strings.Trim(s, "-") == "") {
			n++
			continue
		}
		if slices.Contains(pages, s) {
			return n + 1
		}
		if at := e.toks[i+n].line; at != e.toks[i+n-1].line && (t.index[s] != nil || len(words(e.lines[at-1])) > 1) {
			break // the next entry begins with a number, or is one
		}
		if isLabel(s) && strings.Contains(s, "#") {
			r.Furniture++
			r.add(e.problem("furniture", "contents number "+s+", print page "+join(pages[:1]), i+n))
			return n + 1
		}
		break
	}
	return n
}

func takeOwn(e *edition, i, end int, own [][]string) int {
	for _, w := range own {
		if has(e, i, end, w) {
			return len(w)
		}
	}
	return 0
}

// takeKnown takes furniture lines that were left in, page labels, foreign
// bytes and the guide dots and print page numbers of contents.
func takeKnown(e *edition, i, end int, t *Truth, r *Report) int {
	s := e.toks[i].s
	for n := min(end-i, 16); n > 0; n-- {
		w := e.text(i, i+n)
		if kind, ok := t.Furniture[w]; ok {
			r.Furniture++
			r.add(e.problem("furniture", kind+" left in: "+w, i))
			return n
		}
	}
	if isLabel(s) && strings.Contains(s, "#") {
		r.Furniture++
		r.add(e.problem("furniture", "number left in: "+s, i))
		return 1
	}
	return 0
}

func (e *edition) problem(kind, what string, i int) Problem {
	if i >= len(e.toks) {
		return Problem{Kind: kind, What: what, Near: "the end"}
	}
	line := e.toks[i].line
	return Problem{Kind: kind, What: what, Line: line, Near: strings.TrimSpace(e.lines[line-1])}
}

// judge finds words lost and words out of order: those that stand elsewhere.
func judge(want []Want, to []int, stray, moved map[string]int, r *Report) {
	for i := 0; i < len(want); {
		if to[i] >= 0 {
			i++
			continue
		}
		j := i
		for j < len(want) && to[j] < 0 {
			j++
		}
		kind := "lost"
		if elsewhere(want[i:j], stray) {
			kind = "out of order"
			r.Disorder += j - i
			for k := i; k < j; k++ {
				stray[want[k].Cells]--
				moved[want[k].Cells]++
			}
		} else {
			r.Lost += j - i
		}
		r.add(Problem{Kind: kind, What: wantText(want, i, j), Near: wantText(want, max(0, i-6), min(len(want), j+6))})
		i = j
	}
}

// elsewhere reports whether all words stand among those that have no place.
func elsewhere(want []Want, stray map[string]int) bool {
	n := map[string]int{}
	for _, w := range want {
		n[w.Cells]++
		if n[w.Cells] > stray[w.Cells] {
			return false
		}
	}
	return true
}

func strays(e *edition, left []run) map[string]int {
	stray := map[string]int{}
	for _, x := range left {
		for i := x.from; i < x.to; i++ {
			stray[e.toks[i].s]++
		}
	}
	return stray
}

// alignRest pairs the words of the notes with words that are no words of the
// body.
func alignRest(want []Want, e *edition, used []bool) []int {
	var rest []etok
	var at []int
	for i, x := range e.toks {
		if !used[i] {
			rest = append(rest, x)
			at = append(at, i)
		}
	}
	to := align(want, rest)
	for i, k := range to {
		if k >= 0 {
			to[i] = at[k]
		}
	}
	return to
}

// checkNotes requires the notes of all volumes in one place after the text.
func checkNotes(e *edition, t *Truth, to, notes []int, r *Report) {
	last := -1
	for _, k := range to {
		last = max(last, k)
	}
	for i, k := range notes {
		if k >= 0 && k < last && (i == 0 || notes[i-1] < 0 || notes[i-1] > last || t.Notes[i].Start != 0) {
			r.add(e.problem("notes", "a note stands before the end of the text: "+wantText(t.Notes, i, min(i+6, len(t.Notes))), k))
			return
		}
	}
}

// judgeLeft tells words that stand twice from words that nobody knows.
func judgeLeft(e *edition, left []run, moved map[string]int, t *Truth, r *Report) {
	in := gramSet(append(append([]Want(nil), t.Body...), t.Notes...))
	for _, x := range left {
		for x.from < x.to && moved[e.toks[x.from].s] > 0 {
			moved[e.toks[x.from].s]--
			x.from++
		}
		n := x.to - x.from
		if n == 0 {
			continue
		}
		text := e.text(x.from, x.to)
		if n >= 3 && in[e.text(x.from, x.from+3)] {
			r.Doubled += n
			r.add(e.problem("doubled", text, x.from))
			continue
		}
		r.Extra += n
		r.add(e.problem("extra", text, x.from))
	}
}

func gramSet(want []Want) map[string]bool {
	m := map[string]bool{}
	for i := 0; i+3 <= len(want); i++ {
		m[want[i].Cells+" "+want[i+1].Cells+" "+want[i+2].Cells] = true
	}
	return m
}

func (e *edition) text(from, to int) string {
	var w []string
	for i := from; i < to && len(w) < 24; i++ {
		w = append(w, e.toks[i].s)
	}
	return join(w)
}

func wantText(want []Want, i, j int) string {
	var w []string
	j = min(j, len(want))
	for k := i; k < j && len(w) < 24; k++ {
		w = append(w, want[k].Cells)
	}
	return join(w)
}

// checkTitle requires the title's words to be the first of the edition.
func checkTitle(e *edition, t *Truth, r *Report) {
	if !has(e, 0, len(e.toks), t.Title) || len(e.lines) == 0 || strings.TrimSpace(e.lines[0]) == "" {
		r.add(e.problem("title", "the edition does not begin with the title "+join(t.Title), 0))
	}
}

// checkTurns requires every turn at its word, and no other.
func checkTurns(e *edition, t *Truth, to []int, r *Report) {
	place := func(i int) int { // edition word of body word i, or of the next that is there
		for ; i < len(to); i++ {
			if to[i] >= 0 {
				return to[i]
			}
		}
		return len(e.toks)
	}
	spent := make([]bool, len(e.turns))
	for _, w := range t.Turns {
		lo, hi := place(w.From), place(w.To)
		before := 0
		if w.From > 0 && to[w.From-1] >= 0 {
			before = to[w.From-1] + 1
		}
		lo = min(lo, max(before, 0))
		found, elsewhere := -1, -1
		for k, x := range e.turns {
			if spent[k] || strings.TrimPrefix(x.label, ";") != strings.TrimPrefix(w.Label, ";") { // UEB writes roman numbers with and without it
				continue
			}
			if x.at >= lo && x.at <= hi {
				found = k
				break
			}
			elsewhere = k
		}
		if found >= 0 {
			spent[found] = true
			continue
		}
		r.Turns++
		near := wantText(t.Body, max(0, w.From-4), min(len(t.Body), w.From+4))
		how := "marked"
		if !w.Marked {
			how = "known from the head"
		}
		if elsewhere >= 0 {
			spent[elsewhere] = true
			r.add(Problem{Kind: "turn", What: fmt.Sprintf("%s (%s) at the wrong word", w.Label, how), Line: e.turns[elsewhere].line, Near: e.lines[e.turns[elsewhere].line-1] + " | should be in: " + near})
		} else {
			r.add(Problem{Kind: "turn", What: fmt.Sprintf("%s (%s) is missing", w.Label, how), Near: near})
		}
	}
	for k, x := range e.turns {
		roman := !strings.Contains(x.label, "#") && x.label != ""
		if !spent[k] && (!t.Optional[x.label] || roman && x.at > place(0)) {
			r.Turns++
			r.add(Problem{Kind: "turn", What: x.label + " is shown, but no turn is there", Line: x.line, Near: e.lines[x.line-1]})
		}
	}
}

// checkRules requires a separator where the text has one, as the edition keeps
// end markers.
func checkRules(e *edition, t *Truth, to []int, r *Report) {
	for _, w := range t.Rules {
		if w >= len(to) || w == 0 || to[w] < 0 || to[w-1] < 0 {
			continue
		}
		ok := false
		for _, at := range e.rules {
			if at > to[w-1] && at <= to[w] {
				ok = true
			}
		}
		if !ok {
			r.add(Problem{Kind: "rule", What: "a separator in the text is gone", Near: wantText(t.Body, max(0, w-4), min(len(t.Body), w+4))})
		}
	}
}
