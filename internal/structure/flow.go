package structure

import (
	"slices"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/layout"
)

// Style is how the flow writes what it finds.
type Style struct {
	HeadingIndent int
	Turns         string // "source", "inline" or "row"
	Tables        string // "keep" or "list"
	RowTurns      bool   // turns known only from numbers are written as rows
}

// Flow makes blocks of units.
type Flow struct {
	Book  *book.Book
	Style Style
	Join  Joiner
	Prev  *Unit                                       // while Join decides: the unit whose last word it is given
	Next  *Unit                                       // and the one whose first word it is given
	Break func(prev, next *Unit, on, prose bool) bool // has the last word on whether next goes on the paragraph of prev; nil: none
	Why   struct{ Turn, TurnHead, Blank, Note, Table, Cell, Heads book.ReasonID }
	Vols  []*Volume

	Facing func(u *Unit) bool // whether a unit stands on a page of a table whose columns go on on the page that faces; nil: none does

	Tables []Table // that were found

	tolerance []int // per volume: blanks that a full line may leave
	left      []int // per volume: indent of text whose lines are numbered at the left margin, 0 for none
	shapes    []*shapes

	last    cell.Label // last print page written
	lastSet bool

	passage
}

// passage is the text that the flow is at, a part of the book or a note in it, and what is
// known of all of it.
type passage struct {
	units       []*Unit
	gap         []gap
	noTable     int       // units before it begin no table
	deep        deepHabit // of the runs
	displays    displays  // of the runs
	steps       runovers  // of the lines
	runs        []verdict
	near        []nearRun
	hang        hangHabit
	anewDirects [farIndent + 1]int // stage directions begun anew, by their indent
	opens       map[string][2]int  // see openings
	said        map[string]int     // see countSayings

	atHand
}

// atHand is the run at hand, which no blank line divides.
type atHand struct {
	form     book.Form
	begin    int  // its first unit
	end      int  // the unit after its last
	over     int  // indent of the runovers of an outline
	usual    int  // that of nearly all first runovers, 0 if it varies
	numbered bool // nearly all that begins begins with a number
	entries  bool // most of what ends ends in a page number
	inAndOut bool // lines step in and out, each begun anew
	hung     bool // the runs near it tell that what steps in are runovers
	indents  indents
}

// NewFlow prepares a flow over volumes; Join and Why are set by the caller.
func NewFlow(b *book.Book, vols []*Volume, st Style) *Flow {
	n := len(vols)
	f := &Flow{Book: b, Style: st, Vols: vols, tolerance: make([]int, n), left: make([]int, n), shapes: make([]*shapes, n)}
	layout.Each(n, func(i int) {
		f.tolerance[i], f.left[i] = tolerance(vols[i]), leftNumbered(vols[i])
		f.shapes[i] = shapesOf(vols[i], f.tolerance[i])
	})
	return f
}

// Text flows units as running text and appends the blocks to the book. moved
// is the reason why they stand at another place, or 0.
func (f *Flow) Text(units []*Unit, moved book.ReasonID) {
	f.units, f.noTable = units, 0
	f.gap = slices.Grow(f.gap[:0], len(units))
	for i := range units {
		f.gap = append(f.gap, f.gapBefore(i))
	}
	f.openings()
	f.countSayings()
	f.verdicts()
	f.countSteps()
	f.countNear()
	f.countDirects()
	for i := 0; i < len(units); {
		u := units[i]
		t, table := f.tableAt(i)
		switch {
		case table:
			f.table(t, moved)
			i = t.to
		case u.Rule:
			f.single(i, book.Rule, int16(min(u.Indent(), f.Style.HeadingIndent)), moved)
			i++
		case f.imprint(i):
			f.single(i, book.Line, int16(f.Style.HeadingIndent), moved)
			i++
		case f.heading(i):
			f.single(i, book.Heading, int16(f.Style.HeadingIndent), moved)
			i++
		default:
			j := i + 1
			for j < len(units) && !f.gap[j].hard && !units[j].Rule && !f.heading(j) && !f.imprint(j) && !f.tableBegins(j) {
				j++
			}
			f.run(i, j, moved)
			i = j
		}
	}
}

// noteLines is how many lines a stanza has at most that notes wait for the end of.
const noteLines = 40

// run makes blocks of the units a up to b, which no blank line divides.
func (f *Flow) run(a, b int, moved book.ReasonID) {
	f.begin, f.end = a, b
	f.narrow(a, b)
	if f.nameEnds(a, b) {
		f.run(a, b-1, moved)
		f.run(b-1, b, moved)
		return
	}
	for _, parts := range divisions {
		if k := parts(f, a, b); k > a && k < b {
			f.run(a, k, moved)
			f.run(k, b, moved)
			return
		}
	}
	m, usual := f.judge(a, b), false
	if f.over = -1; f.itemised(a, b) || f.stepped(a, b) || (m == lines || m == prose || m == mixed) && f.levelled(a, b) {
		m = outline
	} else if usual = f.levelledAsUsual(a, b); usual {
		m = outline
	}
	if k := f.pageWithin(a, b, m, usual); k > 0 {
		f.run(a, k, moved)
		f.run(k, b, moved)
		return
	}
	f.form = f.formOf(a, b, m)
	m = f.stanza(a, b, m)
	f.indents = f.indentsOf(a, b, m)
	if f.numberedProse(a, b, m) || f.numberedLeft(a, b) {
		f.form = book.Fixed
		for i := a; i < b; i++ {
			f.paragraph(i, i+1, -1, lines, moved)
			f.notesOf(i, i+1)
		}
		return
	}
	on, m := f.followed(a, b, m)
	whole := b-a <= noteLines && (f.form == book.Verse || f.inAndOut || m == lines && f.form == book.Plain)
	for i := a; i < b; {
		j, runIndent := i+1, -1
		for j < b && on[j-a] {
			runIndent = f.units[j].Indent()
			j++
		}
		f.paragraph(i, j, runIndent, m, moved)
		if !whole {
			f.notesOf(i, j)
		}
		i = j
	}
	if whole {
		f.notesOf(a, b)
	}
}

// notesOf sets the notes that units i up to j refer to after the block that
// they made.
func (f *Flow) notesOf(i, j int) {
	for k := i; k < j; k++ {
		for _, note := range f.units[k].After {
			around, at := f.passage, len(f.Book.Blocks)
			f.passage = passage{}
			f.Text(note, f.Why.Note)
			f.passage = around
			f.noteForms(at)
		}
	}
}

// noteForms marks the blocks from the given one on as a note and what goes on it.
func (f *Flow) noteForms(at int) {
	for b := at; b < len(f.Book.Blocks); b++ {
		if f.Book.Blocks[b].Form = book.NoteMore; b == at {
			f.Book.Blocks[b].Form, f.Book.Blocks[b].Blank = book.Note, book.Blank{}
		}
	}
}
