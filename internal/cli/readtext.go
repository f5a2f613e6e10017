package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/source"
	"continuo/internal/structure"
)

// text is one braille file as blocks of running text. Pieces of blocks are
// spans of the lines of the file, or print page turns.
type text struct {
	v              *structure.Volume
	b              *book.Book
	edition        bool // an edition: no pages, headings at an indent
	long           bool // one line a paragraph
	dense          bool // an edition without any blank line
	heads, numbers int  // page heads, page numbers that are no part of the text
}

// noWidth says that it is not known how wide an edition was set.
const noWidth = -1

// readText reads a file as running text. width is what editionWidth found.
func readText(f *source.File, width int) *text {
	return readSurveyed(layout.Survey([]*source.File{f})[0], width)
}

// readVolumes reads files that belong together.
func readVolumes(files []*source.File, words english.Words) []*text {
	var out []*text
	for _, lv := range layout.SurveyWith(files, words) {
		out = append(out, readSurveyed(lv, noWidth))
	}
	return out
}

func readSurveyed(lv *layout.Volume, width int) *text {
	t := prepareText(lv, width)
	t.fill()
	return t
}

// prepareText reads the structure of a surveyed file.
func prepareText(lv *layout.Volume, width int) *text {
	f := lv.File
	edition := width != noWidth
	if edition {
		onePage(lv)
	} else if !f.FormFeed && !lv.Divided {
		edition, width = true, 1
	}
	if edition {
		editionTurns(lv)
		if width >= minWidth {
			lv.Width, lv.TextWidth = width, width
		}
	}
	v := structure.Read(lv, 0)
	if edition {
		shortTitle(v)
		if longest(f) > maxWidth {
			width = 0
		}
	}
	return &text{v: v, b: book.NewBook([]*source.File{f}), edition: edition, long: width == 0}
}

// editionTurns marks the print page turns that stand on lines of their own as
// short rows of dots 3-6.
func editionTurns(v *layout.Volume) {
	for i := range v.Lines {
		l := &v.Lines[i]
		raw := v.Raw(int32(i))
		row := bytes.TrimLeft(raw, "-")
		if l.Role != layout.Text || len(raw)-len(row) < 3 {
			continue
		}
		if label, ok := cell.ParseLabel(row); ok && !label.Bare {
			found := label // only what is found goes to the heap
			l.Role, l.Label, l.Row = layout.Turn, &found, true
		}
	}
}

// shortTitle ends the title page of an edition where the first blank line or
// the first line that steps in stands: an edition has no pages.
func shortTitle(v *structure.Volume) {
	from, to := v.Title[0], v.Title[1]
	for i := from + 1; i < to; i++ {
		if u := &v.Units[i]; u.Blanks > 0 || u.Indent() >= 2 && !u.Rule {
			to = i
		}
	}
	v.Title[1] = to
	v.TitleHead = max(0, min(v.TitleHead, to-v.TitleFrom))
}

// onePage takes back what the survey of an edition found of pages: it has none.
func onePage(v *layout.Volume) {
	v.Pages = []layout.Page{{Last: int32(len(v.Lines)), Top: -1}}
	v.Divided = false
	pg := &v.Pages[0]
	for i := range v.Lines {
		l := &v.Lines[i]
		v.PageOf[i] = 0
		t := v.Raw(int32(i))
		if len(t) == 0 {
			continue
		}
		if l.Role != layout.Turn {
			*l = layout.Line{Role: layout.Text, Sure: 1, Text: layout.Span{From: int32(cell.Indent(t)), To: int32(len(t))}}
		}
		if pg.Bottom = int32(i); pg.Top < 0 {
			pg.Top = int32(i)
		}
	}
}

func longest(f *source.File) int {
	n := 0
	for i := range f.Lines {
		n = max(n, len(f.Text(i)))
	}
	return n
}

// editionWidth is the width that an edition was set for, from the account
// beside it; 0 for one line a paragraph, noWidth when there is no account of
// these very bytes.
func editionWidth(path string) int {
	head, err := accountHead(outputsFor(path).account)
	if err != nil {
		return noWidth
	}
	if sum, err := fileSum(path); err != nil || sum != head.Edition.SHA256 {
		return noWidth
	}
	var width int
	if json.Unmarshal(head.Settings["width"], &width) != nil || width < 0 {
		return noWidth
	}
	return width
}

// editionMark is the mark before the headwords of an edition's entries, from the
// account beside it; "" when it has none.
func editionMark(path string) string {
	head, err := accountHead(outputsFor(path).account)
	if err != nil {
		return ""
	}
	var mark string
	if json.Unmarshal(head.Settings["entry-mark"], &mark) != nil {
		return ""
	}
	return mark
}

// fill makes the blocks.
func (t *text) fill() {
	v := t.v
	flow := structure.NewFlow(t.b, []*structure.Volume{v}, structure.Style{HeadingIndent: 4, Turns: "source"})
	kinds := t.kinds()
	for i := 0; i < len(kinds); {
		j := i + 1
		for j < len(kinds) && kinds[j] == kinds[i] {
			j++
		}
		if kinds[i] == book.Para && !t.long {
			n := len(t.b.Blocks)
			flow.Text(pointers(v.Units[i:j]), 0)
			t.b.Blocks[n].Blank.Want = v.Units[i].Blanks > 0
		} else {
			t.single(kinds[i], v.Units[i:j])
		}
		i = j
	}
	flow.Tail(v)
	for i := range t.b.Blocks {
		if bl := &t.b.Blocks[i]; bl.Kind == book.Heading && t.endLine(bl) {
			bl.Kind = book.TitleLine
		}
	}
	t.placeTurns()
	t.furniture()
}

// placeTurns gives print page turns that no line of the file shows the place
// of the text that follows them.
func (t *text) placeTurns() {
	line := int32(max(0, len(t.v.Lines)-1))
	for i := len(t.b.Blocks) - 1; i >= 0; i-- {
		pieces := t.b.Blocks[i].Pieces
		for k := len(pieces) - 1; k >= 0; k-- {
			if pieces[k].Vol < 0 {
				pieces[k].Line = line
			}
			line = pieces[k].Line
		}
	}
}

func pointers(units []structure.Unit) []*structure.Unit {
	out := make([]*structure.Unit, len(units))
	for i := range units {
		out[i] = &units[i]
	}
	return out
}

// kinds says of each unit whether it is a block of its own (a line of the title
// page, a contents entry, a heading of an edition) or running text.
func (t *text) kinds() []book.Kind {
	v := t.v
	kinds := make([]book.Kind, len(v.Units))
	t.dense = !slices.ContainsFunc(v.Units, func(u structure.Unit) bool { return u.Blanks > 0 })
	for i := range kinds {
		kinds[i] = book.Para
		if t.long && v.Units[i].Rule {
			kinds[i] = book.Rule
		}
		if t.edition {
			if t.editionHeading(i) {
				kinds[i] = book.Heading
			}
		}
	}
	if t.edition {
		for i := range v.Units {
			v.Units[i].Centred = false
		}
	}
	for i := v.Title[0]; i < v.Title[1]; i++ {
		kinds[i] = book.TitleLine
	}
	for _, r := range v.Contents {
		for i := r.From; i < r.To; i++ {
			if kinds[i] == book.Para {
				kinds[i] = book.Entry
			}
		}
	}
	return kinds
}

// maxHeadingLines is how many lines a heading of an edition may have.
const maxHeadingLines = 3

// editionHeading reports whether a line of an edition is a heading: it steps in
// further than a paragraph, few lines step in with it, and it stands apart.
func (t *text) editionHeading(i int) bool {
	units := t.v.Units
	if units[i].Rule || units[i].Indent() < 3 {
		return false
	}
	from, to := i, i+1
	for from > 0 && t.sameHeading(from-1, from) {
		from--
	}
	for to < len(units) && t.sameHeading(to-1, to) {
		to++
	}
	if to-from > maxHeadingLines {
		return false
	}
	for k := from + 1; k < to; k++ {
		if in := units[k].Indent() - units[from].Indent(); in < 0 || in > 2 {
			return false
		}
	}
	return t.apartBefore(from, to) && (to == len(units) || units[to].Blanks > 0 || units[to].Rule || units[to].Indent() < 3)
}

// apartBefore reports whether the lines from up to to are no runover of what
// stands before them: a blank line, a rule or a print page turn is there, or
// their first word would have fitted on the line before and a paragraph
// follows.
func (t *text) apartBefore(from, to int) bool {
	units := t.v.Units
	if from == 0 || t.dense || units[from].Blanks > 0 || units[from-1].Rule || len(units[from].Turns) > 0 {
		return true
	}
	first, _, _ := bytes.Cut(units[from].Text, []byte{cell.Blank})
	fits := int(units[from-1].To)+1+len(first) <= t.v.TextWidth
	return fits && to < len(units) && units[to].Indent() == 2 && units[to].Blanks == 0
}

// sameHeading reports whether two units in a row could be one heading.
func (t *text) sameHeading(a, b int) bool {
	ua, ub := &t.v.Units[a], &t.v.Units[b]
	return !ua.Rule && !ub.Rule && ub.Blanks == 0 && ua.Indent() >= 3 && ub.Indent() >= 3
}

// single makes a block of each unit, its print page turns before it.
func (t *text) single(kind book.Kind, units []structure.Unit) {
	for i := range units {
		u := &units[i]
		for _, turn := range u.Turns {
			p := book.Piece{Line: u.Line, Tool: append([]byte(`"3`), turn.Text...)}
			if turn.Line >= 0 {
				p = book.Piece{Line: turn.Line, From: 0, To: int32(len(t.v.Raw(turn.Line)))}
			}
			t.b.Blocks = append(t.b.Blocks, book.Block{Kind: book.Turn, Pieces: []book.Piece{p}})
		}
		bl := book.Block{Kind: kind, First: int16(min(u.Indent(), 10)), Blank: book.Blank{Want: u.Blanks > 0}}
		bl.Pieces = []book.Piece{{Line: u.Line, From: u.From, To: u.To}}
		t.b.Blocks = append(t.b.Blocks, bl)
	}
}

// furniture counts what of the pages is no part of the text.
func (t *text) furniture() {
	for i := range t.v.Lines {
		switch l := &t.v.Lines[i]; {
		case l.Role == layout.Head:
			t.heads++
		case l.Role == layout.Number:
			t.numbers++
		default:
			for _, s := range []layout.Span{l.Left, l.Right} {
				if s.To > s.From {
					t.numbers++
				}
			}
		}
	}
}

// turn reports whether a piece is a print page turn.
func (t *text) turn(p book.Piece) bool {
	return p.Tool != nil || t.v.Lines[p.Line].Role == layout.Turn
}

// place says where a line stands, for people.
func (t *text) place(line int32) string {
	page := t.v.PageOf[line]
	if len(t.v.Pages) == 1 {
		return fmt.Sprintf("line %d", line+1)
	}
	return fmt.Sprintf("page %d line %d", page+1, line-t.v.Pages[page].First+1)
}

// endLine reports whether a block says that the volume ends.
func (t *text) endLine(bl *book.Block) bool {
	line := bl.Pieces[0].Line
	for i := t.v.End[0]; i < t.v.End[1]; i++ {
		if t.v.Units[i].Line == line {
			return true
		}
	}
	return false
}
