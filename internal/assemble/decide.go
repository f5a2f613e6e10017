package assemble

import (
	"bytes"
	"fmt"
	"strings"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/decide"
	"continuo/internal/diag"
	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/source"
	"continuo/internal/structure"
)

// keepLeave are the choices about a line.
const (
	keepIt   = "keep"
	leaveOut = "leave-out"
)

// middling is how sure a head must be to be left out without asking a person.
const middling = 0.9

// DecideLines asks about the lines of surveyed volumes that are left out as
// heads or numbers with middling confidence, and makes those text that a person
// wants kept. It comes before the volumes are read as parts of a book.
func DecideLines(vols []*layout.Volume, d *decide.Decided) {
	byFile := map[*source.File]*layout.Volume{}
	alike := countHeads(vols)
	for _, v := range vols {
		byFile[v.File] = v
		for i := range v.Lines {
			l := &v.Lines[i]
			if l.Role == layout.Head && l.Sure < middling && alike[layout.Normal(v.TextOf(int32(i)))] < 3 {
				q := d.AskLine("head-in-doubt", v.File, i, 1, decide.Question{Severity: diag.Note, Usual: leaveOut, Alike: layout.Normal(v.TextOf(int32(i))),
					Evidence: "it stands where page heads stand and is like a heading, a title or one other head"})
				if q.ByRule != nil && q.Choice() == keepIt {
					v.KeepWhole(int32(i))
				}
			}
		}
		for _, o := range v.Oddities {
			askOddity(v, o, d)
		}
	}
	d.Lines(func(f *source.File, line int, a *decide.Answer) {
		if v := byFile[f]; v != nil && a.Choice == keepIt {
			v.KeepWhole(int32(line))
		}
	})
}

// countHeads counts the heads of all volumes by their words: a head that stands
// on three pages or more is not in doubt.
func countHeads(vols []*layout.Volume) map[string]int {
	n := map[string]int{}
	for _, v := range vols {
		for i := range v.Lines {
			if v.Lines[i].Role == layout.Head {
				n[layout.Normal(v.TextOf(int32(i)))]++
			}
		}
	}
	return n
}

// askOddity asks about a place that does not fit the layout.
func askOddity(v *layout.Volume, o layout.Oddity, d *decide.Decided) decide.Question {
	q := decide.Question{Severity: gravity(o), Usual: keepIt, Evidence: o.Text, Alike: layout.Normal(v.TextOf(o.Line))}
	if o.ID == "number-out-of-sequence" {
		q.Usual, q.Alike = leaveOut, ""
	}
	return d.AskLine(o.ID, v.File, int(o.Line), 1, q)
}

// gravity is how much an oddity asks of a person.
func gravity(o layout.Oddity) diag.Severity {
	if o.Told {
		return diag.Note
	}
	return diag.Look
}

// oddity tells of a place that does not fit the layout, and leaves it out where
// a house rule says so.
func (a *assembly) oddity(vol int, o layout.Oddity) {
	v := a.vols[vol]
	q := askOddity(v.Volume, o, a.o.Decided)
	a.findAsked(gravity(o), q, v, o.Line, "%s", o.Text)
	if q.ByRule != nil && q.Choice() == leaveOut {
		for k := range v.Units {
			if v.Units[k].Line == o.Line {
				a.leaveDecided(vol, k, q.By())
			}
		}
	}
}

// findAsked is find for a place that a person can decide on.
func (a *assembly) findAsked(s diag.Severity, q decide.Question, v *structure.Volume, line int32, format string, args ...any) {
	a.find(s, q.Kind.ID, v, line, format, args...)
	if q.ID != "" {
		f := &a.findings[len(a.findings)-1]
		*f = q.Settle(*f)
	}
}

// personal leaves out the lines that a person wants left out.
func (a *assembly) personal() {
	for i, v := range a.vols {
		for k := range v.Units {
			ans := a.o.Decided.At(decide.Line, v.File, int(v.Units[k].Line))
			if ans != nil && ans.Choice == leaveOut && a.fates[i][k] != out {
				q := decide.Question{Answer: ans}
				a.leaveDecided(i, k, q.By())
			}
		}
	}
}

// decidedOut tells which units of a volume a person left out: nothing repeats
// what does not stand in the book.
func (a *assembly) decidedOut(vol int) func(unit int) bool {
	return func(unit int) bool {
		id := a.b.Out[vol][a.vols[vol].Units[unit].Line]
		return id != 0 && a.b.Reasons[id].Class == "decision"
	}
}

func (a *assembly) leaveDecided(vol, unit int, by string) {
	a.leave(vol, unit, a.why("decision", "left out by a person", by, 1))
}

// wanted reports whether a person wants a unit kept.
func (a *assembly) wanted(vol, unit int) bool {
	v := a.vols[vol]
	ans := a.o.Decided.At(decide.Line, v.File, int(v.Units[unit].Line))
	return ans != nil && ans.Choice == keepIt
}

// keepWanted gives a unit that a person wants kept its place: the text, or the
// preliminary matter of a later volume.
func (a *assembly) keepWanted(vol, unit int) {
	if vol > a.first() && a.vols[vol].Units[unit].Page < a.vols[vol].BodyPage {
		a.fates[vol][unit] = asPrelim
	}
}

// leaveAsked leaves out a unit that only resembles what it repeats, unless a
// house rule says otherwise.
func (a *assembly) leaveAsked(vol, unit int, why book.ReasonID, evidence string) bool {
	v := a.vols[vol]
	u := &v.Units[unit]
	q := a.o.Decided.AskLine("repeat-in-doubt", v.File, int(u.Line), 1, decide.Question{Severity: diag.Note, Usual: leaveOut, Evidence: evidence, Alike: layout.Normal(u.Text)})
	if q.ByRule != nil && q.Choice() == keepIt {
		a.keepWanted(vol, unit)
		return false
	}
	return a.leave(vol, unit, why)
}

// askNew asks about the preliminary matter that only a later volume has, block
// by block: lines with cells that follow each other.
func (a *assembly) askNew(i int, v *structure.Volume) {
	for k := 0; k < len(v.Units); k++ {
		if f := a.fates[i][k]; f != asPrelim && f != asSymbol && f != asRemark || a.wanted(i, k) {
			continue
		}
		end := k + 1
		for end < len(v.Units) && a.fates[i][end] == a.fates[i][k] && follows(v, end) {
			end++
		}
		a.askBlock(i, v, k, end)
		k = end - 1
	}
}

// follows reports whether no line with cells stands between a unit and the one
// before it.
func follows(v *structure.Volume, k int) bool {
	for l := v.Units[k-1].Line + 1; l < v.Units[k].Line; l++ {
		if len(v.Raw(l)) > 0 {
			return false
		}
	}
	return true
}

// textLines is how many lines one after the other on a title page are more than a statement of
// the publisher's, or a motto.
const textLines = 6

func (a *assembly) askBlock(i int, v *structure.Volume, from, to int) {
	var alike []string
	for k := from; k < to; k++ {
		alike = append(alike, layout.Normal(v.Units[k].Text))
	}
	severity, words := diag.Look, "preliminary matter that the first volume does not have; it is kept, with the preliminary matter of the book"
	switch {
	case a.fates[i][from] == asSymbol:
		severity, words = diag.Note, "special symbols that the first volume does not have; they are kept, in its list"
	case a.fates[i][from] == asRemark:
		severity, words = diag.Note, "a transcriber's note that the first volume does not have; it is kept, with its notes"
	case endsNumbered(v.Units[from].Text):
		words = "stands before the text, has a number at its edge as page heads and volume statements have, and the first volume does not have it; it is kept"
	case to <= v.Title[1] && to-from >= textLines:
		words = "lines of text on the title page that the first volume does not have: the end of that page may not have been found; they are kept, with the preliminary matter of the book"
	case speaks(v.Units[from:to]):
		severity = diag.Note
	}
	q := a.o.Decided.AskLine("new-preliminary-matter", v.File, int(v.Units[from].Line), to-from, decide.Question{Severity: severity, Usual: keepIt,
		Evidence: "it stands before the text of a later volume, and the first volume does not have it", Alike: strings.Join(alike, " ")})
	q.Kind.ID = "new-preliminary-matter"
	a.findAsked(severity, q, v, v.Units[from].Line, "%s", words)
	for k := from; k < to && q.ByRule != nil && q.Choice() == leaveOut; k++ {
		a.leaveDecided(i, k, q.By())
	}
}

// speaks reports whether lines are surely text of their own, not a title or
// statement in other words: a sentence ends in them, a line has six words or
// more, or they are a heading that names preliminary matter.
func speaks(units []structure.Unit) bool {
	if units[0].HasPhrase {
		switch units[0].Phrase.ID {
		case english.TranscribersNotes, english.Dedication, english.Epigraph, english.Acknowledgements, english.Preface, english.Foreword, english.Introduction:
			return true
		}
	}
	for i := range units {
		if len(bytes.Fields(units[i].Text)) >= 6 {
			return true
		}
	}
	return structure.EndsSentence(units[len(units)-1].Text)
}

// endsNumbered reports whether the first or the last word of a line is a
// number, as in page heads and in statements of the volume.
func endsNumbered(t []byte) bool {
	w := bytes.Fields(t)
	return len(w) > 0 && (isNumber(w[0]) || isNumber(w[len(w)-1]))
}

func isNumber(word []byte) bool {
	l, ok := cell.ParseLabel(word)
	return ok && !l.Bare
}

// askHyphen asks about a hyphen at a line end that nothing decides.
func (j *joiner) askHyphen(first, next []byte, evidence string) decide.Question {
	prev := j.a.flow.Prev
	if prev == nil {
		return decide.Question{Usual: keepIt}
	}
	v := j.a.vols[prev.Vol]
	return j.a.o.Decided.AskLine("hyphen-in-doubt", v.File, int(prev.Line), 1, decide.Question{Severity: diag.Note, Usual: keepIt, Evidence: evidence,
		Cells: []string{string(first), string(next)}, Alike: string(english.Strip(first)) + " " + string(english.Strip(next))})
}

// decided is a person's answer about the hyphen at the end of the line before.
func (j *joiner) decided(first, next []byte) (structure.Seam, bool) {
	prev := j.a.flow.Prev
	if prev == nil {
		return structure.Seam{}, false
	}
	ans := j.a.o.Decided.At(decide.Hyphen, j.a.vols[prev.Vol].File, int(prev.Line))
	if ans == nil {
		return structure.Seam{}, false
	}
	q := j.askHyphen(first, next, "asked before")
	return j.asDecided(q), true
}

func (j *joiner) asDecided(q decide.Question) structure.Seam {
	if q.Choice() == keepIt {
		return shut(j.a.why("rejoin", "hyphen at a line end stays", q.By(), 1))
	}
	return j.drop(q.By(), 1)
}

// Breaks decides whether a line goes on the paragraph before it: a person's
// answer, or what the layout says. It asks where layout and language disagree:
// a paragraph that breaks off at a page end without the end of a sentence, and
// goes on without a capital.
func (a *assembly) breaks(prev, next *structure.Unit, on, prose bool) bool {
	f := a.vols[next.Vol].File
	ans := a.o.Decided.At(decide.Break, f, int(next.Line))
	doubt := prose && !on && (prev.Page != next.Page || prev.Vol != next.Vol) && a.unfinished(prev.Text, next.Text)
	if ans == nil && !doubt {
		return on
	}
	usual := map[bool]string{true: "goes-on", false: "new-paragraph"}[on]
	q := a.o.Decided.AskLine("paragraph-in-doubt", f, int(next.Line), 1, decide.Question{Severity: diag.Note, Usual: usual,
		Evidence: "the layout begins a paragraph at a page end, but no sentence ends before it"})
	return q.Choice() == "goes-on"
}

// unfinished reports whether no sentence ends at the end of one line and none
// begins with the next.
func (a *assembly) unfinished(prev, next []byte) bool {
	if len(prev) == 0 || !a.det.Capitals {
		return false
	}
	switch prev[len(prev)-1] {
	case '4', '6', '8', '0', '\'', '3', '7', '-': // full stop and other ends; colon; dash
		return false
	}
	return next[0] >= 'a' && next[0] <= 'z'
}

// match is a stretch of the text of a block.
type match struct {
	block    int
	from, to int // cells of its text
}

// cellAt says where a cell of a block's text is from: cell of the text of a
// piece, or, with at < 0, the blank before it.
type cellAt struct{ piece, at int }

// correct mends the misprints that people reported. A correction whose old
// cells do not stand exactly once where it says is refused.
func (a *assembly) correct() {
	a.o.Decided.Corrections(func(n int, c decide.Correction, may func(*source.File, int) bool) {
		done := decide.Applied{Correction: c, Number: n}
		hits := a.matches(c.Old, may)
		switch {
		case len(hits) == 0 && a.leftOut(c.Old, may):
			done.Why = "the old cells stand only in what is left out"
		case len(hits) == 0:
			done.Why = "the old cells are no longer there"
		case len(hits) > 1:
			done.Why = fmt.Sprintf("the old cells stand there %d times, not once", len(hits))
			done.Candidates = a.whereStands(hits)
		default:
			done.File, done.Line, done.Why = a.mend(hits[0], c)
		}
		a.o.Decided.Took(done)
	})
}

// maxCandidates is how many places of ambiguous cells are told.
const maxCandidates = 20

func (a *assembly) whereStands(hits []match) []decide.Spot {
	var out []decide.Spot
	for _, m := range hits[:min(len(hits), maxCandidates)] {
		_, from := a.blockText(&a.b.Blocks[m.block])
		p := a.b.Blocks[m.block].Pieces[from[m.from].piece]
		out = append(out, decide.Spot{File: a.vols[p.Vol].File, Line: int(p.Line)})
	}
	return out
}

// leftOut reports whether cells stand in a line that is left out.
func (a *assembly) leftOut(old string, may func(*source.File, int) bool) bool {
	for i, v := range a.vols {
		for l := range v.Lines {
			if a.b.Out[i][l] != 0 && may(v.File, l) && wholeWords(string(v.Raw(int32(l))), old) >= 0 {
				return true
			}
		}
	}
	return false
}

// blockText is the text of a block with single blanks, and where each cell is
// from.
func (a *assembly) blockText(bl *book.Block) ([]byte, []cellAt) {
	var text []byte
	var from []cellAt
	for k, p := range bl.Pieces {
		for n, c := range a.b.Text(p) {
			switch {
			case c != cell.Blank:
				if n == 0 && len(text) > 0 && p.Join == 0 && text[len(text)-1] != cell.Blank {
					text, from = append(text, cell.Blank), append(from, cellAt{k, -1})
				}
				text, from = append(text, c), append(from, cellAt{k, n})
			case len(text) > 0 && text[len(text)-1] != cell.Blank && !(n == 0 && p.Join != 0):
				text, from = append(text, c), append(from, cellAt{k, n})
			}
		}
	}
	return text, from
}

// wholeWords finds cells that neither begin nor end within a word, or -1.
func wholeWords(text, old string) int {
	for at := 0; ; {
		i := strings.Index(text[at:], old)
		if i < 0 {
			return -1
		}
		i += at
		if (i == 0 || text[i-1] == ' ') && (i+len(old) == len(text) || text[i+len(old)] == ' ') {
			return i
		}
		at = i + 1
	}
}

// matches finds where the old cells stand in the book as whole words, or, when
// they nowhere do, as part of words.
func (a *assembly) matches(old string, may func(*source.File, int) bool) []match {
	var whole, part []match
	for b := range a.b.Blocks {
		text, from := a.blockText(&a.b.Blocks[b])
		for at := 0; ; {
			i := strings.Index(string(text[at:]), old)
			if i < 0 {
				break
			}
			i += at
			at = i + 1
			p := a.b.Blocks[b].Pieces[from[i].piece]
			if p.Vol >= 0 && !may(a.vols[p.Vol].File, int(p.Line)) || p.Vol < 0 {
				continue
			}
			m := match{b, i, i + len(old)}
			part = append(part, m)
			if (i == 0 || text[i-1] == cell.Blank) && (m.to == len(text) || text[m.to] == cell.Blank) {
				whole = append(whole, m)
			}
		}
	}
	if len(whole) > 0 {
		return whole
	}
	return part
}

// mend puts the new cells in place of the old.
func (a *assembly) mend(m match, c decide.Correction) (*source.File, int, string) {
	bl := &a.b.Blocks[m.block]
	_, from := a.blockText(bl)
	first, last := from[m.from], from[m.to-1]
	why := a.why("correction", "misprint mended by a person: "+c.Old+" to "+c.New, c.By(), 1)
	p := bl.Pieces[first.piece]
	switch {
	case first.piece == last.piece && p.Tool == nil:
		a.mendWithin(bl, first.piece, p.From+int32(first.at), p.From+int32(last.at)+1, c.New, why)
	case first.piece == last.piece && a.b.Reasons[p.Reason].Class == "rewritten":
		q := &bl.Pieces[first.piece]
		q.Tool = []byte(string(q.Tool[:first.at]) + c.New + string(q.Tool[last.at+1:]))
		a.recut(bl, first.piece, q.Reason, why)
		q.Reason = why
	default:
		if bad := a.mendAcross(bl, first, last, c.New, why); bad != "" {
			return nil, 0, bad
		}
	}
	return a.vols[p.Vol].File, int(p.Line), ""
}

// mendWithin splits a piece in what comes before, the new cells, and what comes
// after.
func (a *assembly) mendWithin(bl *book.Block, at int, from, to int32, text string, why book.ReasonID) {
	p := bl.Pieces[at]
	raw := a.b.Files[p.Vol].Text(int(p.Line))
	var parts []book.Piece
	mid := book.Piece{Vol: p.Vol, Line: p.Line, From: from, To: to, Tool: []byte(text), Reason: why, Join: p.Join}
	if cell.Marks(raw[p.From:from]) > 0 {
		before := p
		before.To = from
		for before.To > before.From && raw[before.To-1] == cell.Blank {
			before.To--
		}
		parts = append(parts, before)
		if mid.Join = 0; before.To == from {
			mid.Join = why
		}
	}
	parts = append(parts, mid)
	if cell.Marks(raw[to:p.To]) > 0 {
		after := book.Piece{Vol: p.Vol, Line: p.Line, From: to, To: p.To}
		for raw[after.From] == cell.Blank {
			after.From++
		}
		if after.From == to {
			after.Join = why
		}
		parts = append(parts, after)
	}
	bl.Pieces = append(bl.Pieces[:at], append(parts, bl.Pieces[at+1:]...)...)
}

// mendAcross mends cells that stand on two lines or more: the new cells stand
// in place of the first part, the others are left out with it.
func (a *assembly) mendAcross(bl *book.Block, first, last cellAt, text string, why book.ReasonID) string {
	for k := first.piece; k <= last.piece; k++ {
		if p := bl.Pieces[k]; p.Vol < 0 || p.Tool != nil {
			return "the old cells go over a print page turn or what the program wrote; mend the words one by one"
		} else if k > first.piece && a.numberBeside(p) {
			return "a page number stands beside the old cells; mend the words one by one"
		}
	}
	for k := last.piece; k > first.piece; k-- {
		q := &bl.Pieces[k]
		to := q.To
		if k == last.piece {
			to = q.From + int32(last.at) + 1
		} else {
			to += a.swallow(q.Vol, q.Line, q.To)
		}
		a.takeOut(bl, k, to, why)
	}
	head := &bl.Pieces[first.piece]
	head.To += a.swallow(head.Vol, head.Line, head.To)
	a.mendWithin(bl, first.piece, head.From+int32(first.at), head.To, text, why)
	return ""
}

// takeOut leaves out the start of piece k up to a cell of its line; what is
// left of it follows the mended text.
func (a *assembly) takeOut(bl *book.Block, k int, to int32, why book.ReasonID) {
	q := &bl.Pieces[k]
	raw := a.b.Files[q.Vol].Text(int(q.Line))
	if to < q.To && cell.Marks(raw[to:q.To]) > 0 {
		a.b.AddCut(int(q.Vol), q.Line, book.Cut{From: q.From, To: to, Reason: why})
		if q.Join = 0; raw[to] != cell.Blank {
			q.Join = why
		}
		for q.From = to; raw[q.From] == cell.Blank; {
			q.From++
		}
		return
	}
	if a.others(bl, k) {
		a.b.AddCut(int(q.Vol), q.Line, book.Cut{From: q.From, To: to, Reason: why})
	} else {
		a.b.Out[q.Vol][q.Line] = why
	}
	bl.Pieces = append(bl.Pieces[:k], bl.Pieces[k+1:]...)
}

// numberBeside reports whether something else is cut off the line of a piece
// than the sign at its end.
func (a *assembly) numberBeside(p book.Piece) bool {
	for _, c := range a.b.Cuts[p.Vol][p.Line] {
		if class := a.b.Reasons[c.Reason].Class; class != "rejoin" && class != "continuation" {
			return true
		}
	}
	return false
}

// others reports whether another piece of the block is from the line of piece
// k.
func (a *assembly) others(bl *book.Block, k int) bool {
	for i, p := range bl.Pieces {
		if i != k && p.Vol == bl.Pieces[k].Vol && p.Line == bl.Pieces[k].Line {
			return true
		}
	}
	return false
}

// swallow takes back the cut of a hyphen at the end of a line that is mended
// with what stands before it, and returns its cells.
func (a *assembly) swallow(vol, line, at int32) int32 {
	cuts := a.b.Cuts[vol][line]
	for i, c := range cuts {
		class := a.b.Reasons[c.Reason].Class
		if c.From == at && (class == "rejoin" || class == "continuation") {
			a.b.Cuts[vol][line] = append(append([]book.Cut(nil), cuts[:i]...), cuts[i+1:]...)
			return c.To - c.From
		}
	}
	return 0
}

// recut gives the second part of a word that was written anew the reason of
// the correction.
func (a *assembly) recut(bl *book.Block, at int, old, why book.ReasonID) {
	for k := at + 1; k < len(bl.Pieces); k++ {
		p := bl.Pieces[k]
		if p.Vol < 0 {
			continue
		}
		cuts := a.b.Cuts[p.Vol][p.Line]
		for i := range cuts {
			if cuts[i].Reason == old && cuts[i].To <= p.From {
				cuts[i].Reason = why
				return
			}
		}
		if p.Tool == nil {
			return
		}
	}
}
