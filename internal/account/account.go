// Package account writes the ledger of a conversion: the fate of every line
// and cell of the sources, in the order of the edition. Its format is in
// docs/architecture.md.
package account

import (
	"fmt"

	"continuo/internal/book"
	"continuo/internal/cell"
)

type op struct {
	name   string
	n, m   int32 // m: cells cut, of a cut
	vol    int32
	line   int32
	text   []byte
	reason book.ReasonID
}

// Ledger takes down what a writer does, piece by piece, and fills in what was
// left out between the pieces.
type Ledger struct {
	b    *book.Book
	ops  []op
	done [][]bool // line has its records
	vol  int32    // cursor
	line int32
	open bool // the line at the cursor is partly used
	from int  // the first record of the open line
	pos  int32
	mode book.ReasonID // reason of the move in force, or 0
	tot  totals
	err  error
}

type totals struct {
	keep, move, swap, add int64
	out                   map[book.ReasonID]int64
}

// NewLedger returns an empty ledger over the sources of b.
func NewLedger(b *book.Book) *Ledger {
	l := &Ledger{b: b, ops: make([]op, 0, 1024), tot: totals{out: map[book.ReasonID]int64{}}}
	for _, f := range b.Files {
		l.done = append(l.done, make([]bool, len(f.Lines)))
	}
	return l
}

func (l *Ledger) fail(format string, args ...any) {
	if l.err == nil {
		l.err = fmt.Errorf("account: "+format, args...)
	}
}

func (l *Ledger) push(o op) {
	if n := len(l.ops); n > 0 && (o.name == "keep" || o.name == "out") {
		if p := &l.ops[n-1]; p.name == o.name && p.reason == o.reason {
			p.n += o.n
			return
		}
	}
	l.ops = append(l.ops, o)
}

// Piece takes down one piece of a block. moved is the reason why the block
// stands at another place, or 0.
func (l *Ledger) Piece(p book.Piece, moved book.ReasonID) {
	if p.Join != 0 && !(p.Vol >= 0 && l.open && p.Vol == l.vol && p.Line == l.line) {
		l.closeIfOther(p)
		l.joinAfter(p, moved)
		return
	}
	if p.Join != 0 {
		l.push(op{name: "join", reason: p.Join})
	}
	l.place(p, moved)
}

func (l *Ledger) joinAfter(p book.Piece, moved book.ReasonID) {
	l.push(op{name: "join", reason: p.Join})
	p.Join = 0
	l.place(p, moved)
}

func (l *Ledger) closeIfOther(p book.Piece) {
	if l.open && (p.Vol != l.vol || p.Line != l.line) {
		l.closeLine()
	}
}

func (l *Ledger) place(p book.Piece, moved book.ReasonID) {
	if p.Vol < 0 { // a line that is partly used stays open
		l.push(op{name: "add", text: p.Tool, reason: p.Reason})
		l.tot.add += int64(cell.Marks(p.Tool))
		return
	}
	if !l.open || l.vol != p.Vol || l.line != p.Line {
		if l.open {
			l.closeLine()
		}
		l.goTo(p.Vol, p.Line, moved)
		if l.b.Out[p.Vol][p.Line] != 0 {
			l.fail("source %d line %d is both kept and left out", p.Vol+1, p.Line+1)
		}
	}
	end := l.end(p.Vol, p.Line)
	whole := !l.open && p.Tool == nil && len(l.b.Cuts[p.Vol][p.Line]) == 0 && l.blank(p.Vol, p.Line, 0, p.From) && p.To == end
	if whole {
		l.push(op{name: "keep", n: 1})
		l.count(p.Vol, p.Line, 0, end, moved)
		l.finish()
		return
	}
	if !l.open && p.Tool != nil && l.b.Reasons[p.Reason].Class != "rewritten" && p.From == 0 && p.To == end && len(l.b.Cuts[p.Vol][p.Line]) == 0 {
		l.push(op{name: "swap", n: 1, text: p.Tool, reason: p.Reason})
		l.tot.swap += l.marks(p.Vol, p.Line, 0, end)
		l.finish()
		return
	}
	if !l.open {
		l.open, l.from = true, len(l.ops)
	}
	l.upTo(p.From, moved)
	if p.Tool != nil {
		l.push(op{name: "swap-cells", n: p.To - l.pos, text: p.Tool, reason: p.Reason})
		l.tot.swap += l.marks(p.Vol, p.Line, l.pos, p.To)
	} else {
		l.keepCells(p.To-l.pos, moved)
	}
	l.pos = p.To
}

func (l *Ledger) keepCells(n int32, moved book.ReasonID) {
	if n <= 0 {
		return
	}
	l.count(l.vol, l.line, l.pos, l.pos+n, moved)
	if k := len(l.ops); k > 0 && l.ops[k-1].name == "keep-cells" && l.pos > 0 {
		l.ops[k-1].n += n
		return
	}
	l.push(op{name: "keep-cells", n: n})
}

// upTo brings the open line from pos to cell n: cuts are left out, blanks kept.
func (l *Ledger) upTo(n int32, moved book.ReasonID) {
	for _, c := range l.b.Cuts[l.vol][l.line] {
		if c.From < l.pos || c.To > n {
			continue
		}
		l.blanksTo(c.From)
		l.push(op{name: "out-cells", n: c.To - c.From, reason: c.Reason})
		l.tot.out[c.Reason] += l.marks(l.vol, l.line, c.From, c.To)
		l.pos = c.To
	}
	l.blanksTo(n)
}

func (l *Ledger) blanksTo(n int32) {
	if n <= l.pos {
		return
	}
	if !l.blank(l.vol, l.line, l.pos, n) {
		l.fail("source %d line %d: cells %d to %d have no fate", l.vol+1, l.line+1, l.pos+1, n)
	}
	l.keepCells(n-l.pos, 0)
	l.pos = n
}

func (l *Ledger) closeLine() {
	l.upTo(l.end(l.vol, l.line), 0)
	l.finish()
}

// finish marks the line at the cursor as done and steps to the next.
func (l *Ledger) finish() {
	if l.done[l.vol][l.line] {
		l.fail("source %d line %d has two fates", l.vol+1, l.line+1)
	}
	l.done[l.vol][l.line] = true
	if l.open {
		l.foldCut()
	}
	l.open, l.pos = false, 0
	l.line++
	l.norm()
}

// foldCut makes one record of a line that is kept but for one part.
func (l *Ledger) foldCut() {
	ops := l.ops[l.from:]
	cut := op{name: "cut"}
	if len(ops) < 2 || ops[0].name != "keep-cells" || ops[1].name != "out-cells" {
		return
	}
	cut.n, ops = ops[0].n, ops[1:]
	cut.m, cut.reason = ops[0].n, ops[0].reason
	if ops = ops[1:]; len(ops) > 1 || len(ops) == 1 && ops[0].name != "keep-cells" {
		return
	}
	l.ops = append(l.ops[:l.from], cut)
}

func (l *Ledger) norm() {
	for int(l.vol) < len(l.done) && int(l.line) >= len(l.done[l.vol]) {
		l.vol, l.line = l.vol+1, 0
	}
}

// goTo brings the cursor to a line, writing what was left out in between.
func (l *Ledger) goTo(vol, line int32, moved book.ReasonID) {
	l.norm()
	if l.mode == moved && l.allOut(vol, line) {
		for l.vol != vol || l.line != line {
			l.out()
		}
		return
	}
	if moved != 0 {
		l.push(op{name: "move", vol: vol, line: line, reason: moved})
	} else {
		l.push(op{name: "at", vol: vol, line: line})
	}
	l.vol, l.line, l.mode = vol, line, moved
}

func (l *Ledger) allOut(vol, line int32) bool {
	v, i := l.vol, l.line
	for v < vol || (v == vol && i < line) {
		if int(i) >= len(l.done[v]) {
			v, i = v+1, 0
			continue
		}
		if l.done[v][i] || l.b.Out[v][i] == 0 {
			return false
		}
		i++
	}
	return v == vol && i == line
}

// out leaves the line at the cursor out.
func (l *Ledger) out() {
	r := l.b.Out[l.vol][l.line]
	l.push(op{name: "out", n: 1, reason: r})
	l.tot.out[r] += l.marks(l.vol, l.line, 0, l.end(l.vol, l.line))
	l.finish()
}

// Blank takes down a blank line before a block.
func (l *Ledger) Blank(bl book.Blank, moved book.ReasonID) {
	if l.open {
		l.closeLine()
	}
	if bl.Reason != 0 {
		l.push(op{name: "blank", reason: bl.Reason})
		return
	}
	l.goTo(bl.Vol, bl.Line, moved)
	l.push(op{name: "keep", n: 1})
	l.finish()
}

func (l *Ledger) end(vol, line int32) int32 {
	s := l.b.Files[vol].Lines[line]
	return s.End - s.Start
}

func (l *Ledger) text(vol, line, from, to int32) []byte {
	s := l.b.Files[vol].Lines[line]
	return l.b.Files[vol].Cells[s.Start+from : s.Start+to]
}

func (l *Ledger) blank(vol, line, from, to int32) bool { return l.marks(vol, line, from, to) == 0 }

func (l *Ledger) marks(vol, line, from, to int32) int64 {
	return int64(cell.Marks(l.text(vol, line, from, to)))
}

func (l *Ledger) count(vol, line, from, to int32, moved book.ReasonID) {
	n := l.marks(vol, line, from, to)
	if moved != 0 {
		l.tot.move += n
	} else {
		l.tot.keep += n
	}
}

// Edition is what the account says of the edition it belongs to.
type Edition struct {
	Name     string
	Data     []byte
	Lines    int
	Marks    int64
	Splits   []int // lines that go on a word of the line before
	Tool     string
	Settings map[string]any
}

// Totals are the marks of the sources by fate, and those the tool wrote.
type Totals struct {
	Keep, Move, Swap, Out, Add int64
	ByClass                    map[string]int64 // Out, by class of reason
}

// Totals sums up what was taken down so far.
func (l *Ledger) Totals() Totals {
	t := Totals{Keep: l.tot.keep, Move: l.tot.move, Swap: l.tot.swap, Add: l.tot.add, ByClass: map[string]int64{}}
	for r, n := range l.tot.out {
		t.Out += n
		t.ByClass[l.b.Reasons[r].Class] += n
	}
	return t
}

// Finish takes down the lines left out that no piece has passed yet and
// returns the account. It fails when a line has no fate or two, or when the
// parts do not add up to the sources.
func (l *Ledger) Finish(e Edition) ([]byte, error) {
	if l.open {
		l.closeLine()
	}
	for v := range l.done {
		for i := range l.done[v] {
			if l.done[v][i] {
				continue
			}
			if l.b.Out[v][i] == 0 {
				l.fail("source %d (%s) line %d has no fate", v+1, l.b.Files[v].Name, i+1)
				continue
			}
			l.norm()
			if l.vol != int32(v) || l.line != int32(i) {
				l.push(op{name: "at", vol: int32(v), line: int32(i)})
				l.vol, l.line, l.mode = int32(v), int32(i), 0
			}
			l.out()
		}
	}
	l.balance()
	if l.err != nil {
		return nil, l.err
	}
	return l.encode(e)
}

func (l *Ledger) balance() {
	var want int64
	for _, f := range l.b.Files {
		want += f.Marks
	}
	t := l.Totals()
	if got := t.Keep + t.Move + t.Swap + t.Out; got != want && l.err == nil {
		l.fail("the parts add up to %d cells, the sources hold %d", got, want)
	}
}

// doubles folds "one line kept, one blank line left out" repeated three times
// or more into one record.
func (l *Ledger) doubles() []op {
	ops := l.ops
	out := make([]op, 0, len(ops))
	for i := 0; i < len(ops); {
		k := 0
		for j := i; j+1 < len(ops); j += 2 {
			first := j == i
			if ops[j].name != "keep" || (!first && ops[j].n != 1) || ops[j+1].name != "out" || ops[j+1].n != 1 || ops[j+1].reason != ops[i+1].reason || l.b.Reasons[ops[j+1].reason].Class != "spacing" {
				break
			}
			k++
		}
		if k < 3 {
			out = append(out, ops[i])
			i++
			continue
		}
		if ops[i].n > 1 {
			out = append(out, op{name: "keep", n: ops[i].n - 1})
		}
		out = append(out, op{name: "double", n: int32(k), reason: ops[i+1].reason})
		i += 2 * k
	}
	return out
}
