package check

import (
	"bytes"
	"fmt"
	"sort"

	"continuo/internal/cell"
	"continuo/internal/source"
)

// kind is the fate of a source line.
type kind uint8

const (
	none  kind = iota
	kept       // whole, at its place
	moved      // whole, at another place
	out        // left out whole
	swapped
	parted // its cells have several fates
)

type fateOf struct {
	kind   kind
	reason int32 // of out
}

// span is a part of source line line: cells from up to to. Of whole lines,
// lines says how many there are.
type span struct {
	src, line, from, to int
	lines               int
}

// cut is a part of a line left out; swap replaces a span by cells.
type cut struct {
	span
	reason int
}

type swap struct {
	span
	cells   []byte
	reason  int
	edition int // line of the edition, from 1
	account int
}

// tool is text written by the tool between source lines; src and line are
// those of the source text that comes next in the edition, or where the cursor
// stood in the end.
type tool struct {
	cells     []byte
	reason    int
	src, line int
	from      int // cell of that text's first
	edition   int
	account   int
}

// replay runs the records over sources and edition at once.
type replay struct {
	v    *verifier
	acc  *ledger
	src  []*source.File
	ed   *edition
	fate [][]fateOf

	cuts  []cut
	swaps []swap
	tools []tool
	keeps []span // kept parts of parted lines

	keep, move, swap, added, swapped int64
	out                              []int64 // by reason

	s, line, pos int  // the cursor
	open         bool // the line at the cursor is partly used
	moving       int  // reason of the move in force, -1 for none
	high         [3]int

	settled int // tools whose src and line are known
	rec     int // line of the account
	blanks  int // blank lines due before the next text
	started bool
	lost    bool // edition and replay differ; the edition is compared no further
	seam    seam
}

func newReplay(v *verifier) *replay {
	r := &replay{v: v, acc: v.acc, src: v.src, ed: v.ed, moving: -1, out: make([]int64, len(v.acc.reasons)), high: [3]int{-1, 0, 0}, seam: seam{joining: -1}}
	for _, f := range v.src {
		r.fate = append(r.fate, make([]fateOf, len(f.Lines)))
	}
	r.normal()
	return r
}

// run replays all records. It returns false when it had to give up: then sums
// and fates mean nothing.
func (r *replay) run() bool {
	r.loadSplits()
	rest := r.acc.records
	records := 0
	for r.rec = 2; len(rest) > 0; r.rec++ {
		n := bytes.IndexByte(rest, '\n')
		done, err := r.accountLine(rest[:n])
		records += done
		if err != nil {
			r.v.add(Problem{Account: r.rec, What: err.Error() + "; the rest of the account was not checked"})
			return false
		}
		rest = rest[n+1:]
	}
	if records != r.acc.tail.Records {
		r.v.add(Problem{Account: r.rec, What: fmt.Sprintf("the account has %d records, its last line says %d", records, r.acc.tail.Records)})
	}
	r.finish()
	return true
}

// accountLine replays one line of the account: one record as an array, or many
// packed in a string. It returns how many were done.
func (r *replay) accountLine(line []byte) (int, error) {
	if r.acc.head.Account == 1 || len(line) < 3 || line[0] != '"' || line[len(line)-1] != '"' {
		rec, err := r.acc.readRecord(line)
		if err == nil {
			err = r.step(rec)
		}
		return 1, err
	}
	s := scanner{rest: line[1 : len(line)-1]}
	n := 0
	for ; len(s.rest) > 0; n++ {
		rec, err := r.acc.readPacked(&s)
		if err == nil {
			err = r.step(rec)
		}
		if err != nil {
			return n, err
		}
	}
	return n, nil
}

func (r *replay) loadSplits() {
	last := 1
	for _, n := range r.acc.tail.Splits {
		if n <= last || n > r.ed.count {
			r.v.addf("splits: line %d is not a line of the edition after line %d", n, last)
			return
		}
		last = n
		r.ed.splits[n-1] = false
	}
}

func (r *replay) finish() {
	if r.open {
		r.problem("line ends in the middle: cell %d of %d", r.pos, r.width())
	}
	r.seam.end(r)
	if r.lost {
		return
	}
	n, text := r.ed.left()
	if text {
		r.ed.gap()
		r.v.add(Problem{Edition: r.ed.line + 1, What: fmt.Sprintf("stands after the end of the account: %q", r.ed.here())})
	} else if n != r.blanks {
		r.v.add(Problem{Edition: r.ed.count, What: fmt.Sprintf("ends with %d blank lines, the account says %d", n, r.blanks)})
	}
	var unused []int
	for l, used := range r.ed.splits {
		if !used {
			unused = append(unused, l)
		}
	}
	sort.Ints(unused)
	for _, l := range unused {
		r.v.add(Problem{Edition: l + 1, What: "does not go on a word of the line before, as the account says"})
	}
}

// problem is one at the cursor.
func (r *replay) problem(format string, args ...any) {
	p := Problem{Account: r.rec, What: fmt.Sprintf(format, args...)}
	if r.s < len(r.src) && r.line < len(r.src[r.s].Lines) {
		p.Source = r.src[r.s].Name
		p.Page, p.Line = r.src[r.s].Place(r.line)
	}
	r.v.add(p)
}

func (r *replay) step(rec record) error {
	if rec.reason >= 0 {
		class := r.acc.reasons[rec.reason].Class
		if op := rec.op; !allowed(class, op) && !(op == "cut" && allowed(class, "out-cells")) {
			return fmt.Errorf("class %q cannot stand with %q", class, rec.op)
		}
	}
	switch rec.op {
	case "keep-cells", "out-cells", "swap-cells":
		return r.part(rec)
	case "add":
		return r.addTool(rec)
	case "join":
		return r.seam.join(rec.reason)
	}
	if r.open {
		return fmt.Errorf("%q stands in the middle of a line: cell %d of %d", rec.op, r.pos, r.width())
	}
	switch rec.op {
	case "cut":
		return r.cut(rec)
	case "keep":
		return r.eachLine(rec.n, r.keepLine)
	case "double":
		return r.eachLine(rec.n, func() error { return r.double(rec) })
	case "out":
		return r.eachLine(rec.n, func() error { return r.outLine(rec.reason) })
	case "swap":
		return r.swapLines(rec)
	case "blank":
		return r.blankLine()
	case "at":
		r.moving = -1
		return r.goTo(rec)
	case "move":
		r.moving = rec.reason
		return r.goTo(rec)
	}
	return fmt.Errorf("unknown record %q", rec.op)
}

// cut keeps the line at the cursor but for rec.m cells after rec.n.
func (r *replay) cut(rec record) error {
	if err := r.part(record{op: "keep-cells", n: rec.n, reason: -1}); err != nil {
		return err
	}
	if !r.open {
		return fmt.Errorf("the line has no cells to cut after %d", rec.n)
	}
	if err := r.part(record{op: "out-cells", n: rec.m, reason: rec.reason}); err != nil || !r.open {
		return err
	}
	return r.part(record{op: "keep-cells", n: r.width() - r.pos, reason: -1})
}

func (r *replay) goTo(rec record) error {
	if rec.src >= len(r.src) || rec.line >= len(r.src[rec.src].Lines) {
		return fmt.Errorf("source %d line %d does not exist", rec.src+1, rec.line+1)
	}
	r.s, r.line = rec.src, rec.line
	return nil
}

// normal brings a cursor at the end of a source to the start of the next.
func (r *replay) normal() {
	for r.s < len(r.src) && r.line >= len(r.src[r.s].Lines) {
		r.s, r.line = r.s+1, 0
	}
}

func (r *replay) eachLine(n int, do func() error) error {
	for range n {
		if err := do(); err != nil {
			return err
		}
	}
	return nil
}

// take gives the line at the cursor its fate. A second fate is an error, so
// hostile counts end soon.
func (r *replay) take(k kind, reason int) error {
	if r.s >= len(r.src) {
		return fmt.Errorf("the record goes on after the last line of the last source")
	}
	f := &r.fate[r.s][r.line]
	if f.kind != none {
		page, line := r.src[r.s].Place(r.line)
		return fmt.Errorf("%q page %d line %d has two fates", r.src[r.s].Name, page, line)
	}
	*f = fateOf{k, int32(reason)}
	return nil
}

func (r *replay) next() {
	r.line++
	r.normal()
}

func (r *replay) width() int {
	if r.s >= len(r.src) {
		return 0
	}
	l := r.src[r.s].Lines[r.line]
	return int(l.End - l.Start)
}

func (r *replay) keepLine() error {
	k := kept
	if r.moving >= 0 {
		k = moved
	}
	if err := r.take(k, r.moving); err != nil {
		return err
	}
	text := r.src[r.s].Text(r.line)
	if len(text) == 0 {
		if err := r.blankLine(); err != nil {
			return err
		}
	} else {
		r.count(text)
		r.inOrder(0)
		r.emit(text, piece{src: r.s, line: r.line, to: len(text)})
	}
	r.next()
	return nil
}

// count adds kept text to the sums.
func (r *replay) count(text []byte) {
	if n := int64(cell.Marks(text)); r.moving >= 0 {
		r.move += n
	} else {
		r.keep += n
	}
}

// inOrder holds text against what stands before it in the edition.
func (r *replay) inOrder(from int) {
	if r.moving >= 0 {
		return
	}
	at := [3]int{r.s, r.line, from}
	for i := range at {
		if at[i] < r.high[i] {
			r.problem("stands after text that comes later in the sources, and is not marked as moved")
			return
		}
		if at[i] > r.high[i] {
			break
		}
	}
	r.high = at
}

func (r *replay) double(rec record) error {
	if err := r.keepLine(); err != nil {
		return err
	}
	return r.outLine(rec.reason)
}

func (r *replay) outLine(reason int) error {
	if err := r.take(out, reason); err != nil {
		return err
	}
	r.out[reason] += int64(cell.Marks(r.src[r.s].Text(r.line)))
	r.next()
	return nil
}

func (r *replay) blankLine() error {
	if r.seam.joining >= 0 {
		return fmt.Errorf("a blank line between two texts that are joined")
	}
	r.blanks++
	return nil
}

func (r *replay) swapLines(rec record) error {
	s, line, marks := r.s, r.line, 0
	if s < len(r.src) && rec.n > len(r.src[s].Lines)-line {
		return fmt.Errorf("the record goes on after the last line of its source")
	}
	r.inOrder(0)
	for range rec.n {
		if err := r.take(swapped, rec.reason); err != nil {
			return err
		}
		marks += cell.Marks(r.src[r.s].Text(r.line))
		r.next()
	}
	if marks == 0 {
		return fmt.Errorf("blank lines are replaced by text")
	}
	r.swap += int64(marks)
	return r.replace(rec, span{src: s, line: line, lines: rec.n})
}

// replace writes the cells of a swap record for sp.
func (r *replay) replace(rec record, sp span) error {
	if err := proper(rec.cells); err != nil {
		return err
	}
	r.swapped += int64(cell.Marks(rec.cells))
	r.emit(rec.cells, piece{src: sp.src, line: sp.line, from: sp.from, tool: true, class: r.acc.reasons[rec.reason].Class, swap: true})
	r.swaps = append(r.swaps, swap{sp, rec.cells, rec.reason, r.ed.line + 1, r.rec})
	return nil
}

// proper tells that text of the tool is cells, and not only blanks.
func proper(t []byte) error {
	for _, c := range t {
		if !cell.Is(c) {
			return fmt.Errorf("byte 0x%02X in the text of the tool is no cell", c)
		}
	}
	if cell.Marks(t) == 0 {
		return fmt.Errorf("the text of the tool is blank")
	}
	return nil
}

func (r *replay) addTool(rec record) error {
	if err := proper(rec.cells); err != nil {
		return err
	}
	r.added += int64(cell.Marks(rec.cells))
	r.emit(rec.cells, piece{src: -1, tool: true, class: r.acc.reasons[rec.reason].Class})
	r.tools = append(r.tools, tool{cells: rec.cells, reason: rec.reason, src: r.s, line: r.line, edition: r.ed.line + 1, account: r.rec})
	return nil
}

// part gives the next cells of the line at the cursor a fate.
func (r *replay) part(rec record) error {
	if !r.open {
		if err := r.take(parted, -1); err != nil {
			return err
		}
		r.open, r.pos = true, 0
	}
	if rec.n > r.width()-r.pos {
		return fmt.Errorf("the line has %d cells left, the record takes %d", r.width()-r.pos, rec.n)
	}
	sp := span{src: r.s, line: r.line, from: r.pos, to: r.pos + rec.n}
	text := r.src[r.s].Text(r.line)[sp.from:sp.to]
	r.pos = sp.to
	if err := r.partAs(rec, sp, text); err != nil {
		return err
	}
	if r.pos == r.width() {
		r.open, r.pos = false, 0
		r.next()
	}
	return nil
}

func (r *replay) partAs(rec record, sp span, text []byte) error {
	switch rec.op {
	case "keep-cells":
		r.count(text)
		if cell.Marks(text) > 0 {
			r.inOrder(sp.from)
			r.emit(text, piece{src: sp.src, line: sp.line, from: sp.from, to: sp.to, part: true})
			r.keeps = append(r.keeps, sp)
		}
	case "out-cells":
		r.out[rec.reason] += int64(cell.Marks(text))
		r.cuts = append(r.cuts, cut{sp, rec.reason})
		r.seam.cut(sp, r.acc.reasons[rec.reason].Class)
	default:
		if cell.Marks(text) == 0 {
			return fmt.Errorf("blanks are replaced by text")
		}
		r.inOrder(sp.from)
		r.swap += int64(cell.Marks(text))
		return r.replace(rec, sp)
	}
	return nil
}

// piece says where a text is from: a span of a source line, or the tool.
type piece struct {
	src, line, from, to int
	part                bool // of a parted line
	tool, swap          bool
	class               string // of the tool's reason
}

// emit holds text against the edition at its cursor.
func (r *replay) emit(text []byte, p piece) {
	if p.src >= 0 {
		for ; r.settled < len(r.tools); r.settled++ {
			r.tools[r.settled].src, r.tools[r.settled].line, r.tools[r.settled].from = p.src, p.line, p.from
		}
	}
	joined := r.seam.meet(r, text, p)
	text = bytes.TrimRight(text, " ")
	first, gap := true, 1
	for i := cell.Indent(text); i < len(text) && !r.lost; {
		if !first || !joined {
			r.between(first || gap > 1, p)
		}
		j := i
		if !r.lost {
			j += r.words(text[i:], p)
		}
		for i = j; i < len(text) && text[i] == cell.Blank; i++ {
		}
		first, gap = false, i-j
	}
	r.started = true
}

// words holds the first word of text, and those after it that stand behind it as they
// are, against the edition at its cursor. It returns how many cells these are.
func (r *replay) words(text []byte, p piece) int {
	if n := r.ed.same(text); n > 0 {
		return n
	}
	tok, _ := cutToken(text)
	if !r.ed.match(tok) {
		r.differ(text, p)
	}
	return len(tok)
}

// between passes the gap before a token; free tells that a new line may begin
// there whatever the line before has room for.
func (r *replay) between(free bool, p piece) {
	line := r.ed.line
	n, ok := r.ed.gap()
	want := r.blanks
	r.blanks = 0
	switch {
	case !ok:
		r.differAt("two words run together", p)
	case n != want && n < want:
		r.blame(p, "%d blank lines are missing before this line", want-n)
	case n != want:
		r.blame(p, "%d blank lines before this line are in no record", n-want)
	case !free && !p.tool && line >= 0 && r.ed.line != line && r.ed.loose():
		r.blame(p, "begins a new line in the middle of a source line though its first words fit on the line before: %q", r.ed.here())
	}
}

// blame is a problem of the edition at its cursor.
func (r *replay) blame(p piece, format string, args ...any) {
	x := Problem{Edition: r.ed.line + 1, Account: r.rec, What: fmt.Sprintf(format, args...)}
	if p.src >= 0 {
		f := r.src[p.src]
		x.Source = f.Name
		x.Page, x.Line = f.Place(p.line)
	}
	r.v.add(x)
}

func (r *replay) differ(want []byte, p piece) {
	r.differAt(fmt.Sprintf("the edition has %q where the account says %q", r.ed.here(), clip(want)), p)
}

func (r *replay) differAt(what string, p piece) {
	r.lost = true
	r.blame(p, "%s; the edition was compared no further", what)
}
