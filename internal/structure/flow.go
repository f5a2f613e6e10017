package structure

import (
	"bytes"
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

// Seam says how two lines of a paragraph are joined. Drop cells are taken off
// the end of the first (a hyphen, a continuation sign) for DropWhy; with a
// reason to Join no blank stands between them. Whole, when not nil, stands in
// place of both words: the word written anew in the book's code.
type Seam struct {
	Drop          int
	DropWhy, Join book.ReasonID
	Whole         []byte
	WholeWhy      book.ReasonID
}

// Joiner decides how two lines of a paragraph are joined, from the last word of
// one and the first word of the next.
type Joiner func(first, next []byte) Seam

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

	noTable     int   // units before it begin no table
	tolerance   []int // per volume: blanks that a full line may leave
	left        []int // per volume: indent of text whose lines are numbered at the left margin, 0 for none
	shapes      []*shapes
	units       []*Unit
	form        book.Form // of the run at hand
	begin       int       // its first unit
	end         int       // the unit after its last
	over        int       // indent of the runovers of an outline
	deep        deepHabit // of the runs of the text
	displays    displays  // of the runs of the text
	steps       runovers  // of the lines of the text
	usual       int       // that of nearly all first runovers of the run at hand, 0 if it varies
	gap         []gap
	hang        hangHabit
	numbered    bool // nearly all that begins in the run at hand begins with a number
	entries     bool // most of what ends in the run at hand ends in a page number
	inAndOut    bool // lines of the run at hand step in and out, each begun anew
	indents     indents
	runs        []verdict
	anewDirects [farIndent + 1]int // stage directions begun anew, by their indent
	near        []nearRun
	hung        bool              // the runs near the one at hand tell that what steps in are runovers
	opens       map[string][2]int // see openings
	last        cell.Label        // last print page written
	lastSet     bool
}

// gap is what stands between a unit and the one before it.
type gap struct {
	hard    bool // a blank line, a heading, a rule: nothing goes on over it
	known   bool // whether the fit test says anything
	fits    bool // the first word would have fitted on the line before
	turned  bool // a print page turn stands between
	newPage bool
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

// slack is how many cells would have stayed free had the first word of u stood
// on the line of prev; negative when it did not fit.
func slack(prev, u *Unit) int {
	n := 0
	for n < len(u.Text) && u.Text[n] != cell.Blank {
		n++
	}
	return prev.Avail - int(prev.To) - 1 - n
}

// tolerance measures how loosely a volume's lines of text are filled: the number
// of free cells that hardly any line inside a paragraph leaves. Lines that leave
// eight cells or more are ends of paragraphs, items and verse, and tell nothing; nor
// do lines that end a sentence, after which a speech of a play may begin at the
// margin, or in a number, as rows of a timetable and entries of a list do. Where most lines that step in could not have stood on the line before,
// they are runovers, of verse or of items, and the lines at the margin begin anew:
// these tell nothing either.
func tolerance(v *Volume) int {
	if v.hung() {
		return 0
	}
	var over [5]int
	n := 0
	for i := max(v.firstUnitOf(v.BodyPage)+1, 2); i < len(v.Units); i++ {
		u, p := &v.Units[i], &v.Units[i-1]
		if u.From != 0 || p.From > 2 || p.Avail != v.TextWidth || u.Blanks > 0 || len(u.Turns) > 0 || u.Rule || p.Rule || itemNumber(u.Text) || EndsSentence(p.Text) || endsInNumber(p.Text) {
			continue
		}
		if p.From > 0 && p.Blanks == 0 && slack(&v.Units[i-2], p) < 0 {
			continue // p is the runover of an item, it may be, and u the next item
		}
		n++
		s := slack(p, u)
		for k := range over {
			over[k] += boolInt(s >= 2*k)
		}
	}
	wide := over[len(over)-1]
	for k, c := range over[:len(over)-1] {
		if (c-wide)*20 < n-wide {
			return 2 * k
		}
	}
	return 0
}

// endsInNumber reports whether the last word of a text is a number.
func endsInNumber(t []byte) bool {
	w := lastWord(t)
	return len(w) > 1 && w[0] == '#' && len(w) < len(t)
}

// hung reports whether the lines of text that step in from the margin are runovers:
// twice as many, ten at least, had no room on the line before as had it.
func (v *Volume) hung() bool {
	var in [2]int
	for i := v.firstUnitOf(v.BodyPage) + 1; i < len(v.Units); i++ {
		u, p := &v.Units[i], &v.Units[i-1]
		if p.From == 0 && u.From > 0 && p.Avail == v.TextWidth && u.Blanks == 0 && len(u.Turns) == 0 && !u.Rule && !p.Rule && !u.Centred {
			in[boolInt(slack(p, u) >= 0)]++
		}
	}
	return in[0] >= 10 && in[0] >= 2*in[1]
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

func (f *Flow) gapBefore(i int) gap {
	if i == 0 {
		return gap{hard: true}
	}
	u, p := f.units[i], f.units[i-1]
	g := gap{turned: len(u.Turns) > 0, newPage: u.Page != p.Page || u.Vol != p.Vol}
	g.hard = u.Blanks > 0 && !f.blankUnderHead(i) || p.Rule || g.newPage && u.opensPage()
	for _, t := range u.Turns {
		g.known = g.known || t.Line < 0
	}
	if g.turned && g.newPage && f.Vols[u.Vol].Rows > 0 {
		g.known = false // where turns are rows, one at the foot of a page begins a page, and cuts the line before it short (BRL session 4, "pages")
	}
	g.known = !g.turned || g.known
	if n := len(p.Text); n > 0 && (p.Text[n-1] == '-' || p.Text[n-1] == '"') && !endsInDash(p.Text) {
		g.known = false
	}
	if u.Vol != p.Vol && u.From == 0 && !g.hard && !EndsSentence(p.Text) && !p.Centred && withinSentence(u.Text) {
		g.known = false // a volume is cut where it is full; its last line may be short
	}
	if u.Vol != p.Vol && f.Vols[u.Vol].Blocked && EndsSentence(p.Text) {
		g.known = true // block paragraphs: the blank line between them went with the end of the volume
	}
	g.fits = g.known && (slack(p, u) >= f.tolerance[p.Vol] || otherSpeaker(p.Text, u.Text))
	return g
}

// otherSpeaker reports whether a speech ends with one line, with its sentence, and
// another begins with the next: nobody closes quotation marks to open them at once.
func otherSpeaker(prev, next []byte) bool {
	n := len(prev)
	if n < 3 || prev[n-1] != '0' || bytes.IndexByte([]byte("468"), prev[n-2]) < 0 || prev[n-3] == cell.Blank {
		return false
	}
	return len(next) > 2 && next[0] == '8' && (next[1] == ',' || next[1] >= 'a' && next[1] <= 'z')
}

// opensPage reports whether a unit is a centred line at the top of a page where the
// page before was left unfilled: a chapter, a poem or a part that begins on a new page.
func (u *Unit) opensPage() bool { return u.PageTop && u.Centred && u.Filler >= 3 }

// endsInDash reports whether a text ends in a dash of any code: a line may be
// divided after it as at a blank.
func endsInDash(t []byte) bool {
	n := len(t)
	return n > 2 && t[n-1] == '-' && (t[n-2] == ',' || t[n-2] == '-')
}

// model is how the lines of a run hang together.
type model uint8

const (
	lines   model = iota // cannot tell: line by line
	prose                // first lines indented, the others at the margin
	hanging              // first lines at the margin, runovers indented
	block                // all at the same indent, one paragraph
	mixed                // prose and hanging text without a blank line between
	outline              // items with numbers or letters at several indents, runovers deeper than all
)

// judge tells the model of a run of units from which lines were full.
func (f *Flow) judge(a, b int) model {
	m, tie := f.weigh(a, b)
	return f.asNear(a, b, f.settle(a, b, m, tie))
}

// weigh is judge without the habit of the runs before; tie says that the run can
// be read as prose and as hanging text alike.
func (f *Flow) weigh(a, b int) (m model, tie bool) {
	base, over := f.base(a, b), 0
	var known, bad [2]int // at base, over base
	swallowed := 0        // blank lines before blocked paragraphs that the top of a page took
	for i := a; i < b; i++ {
		k := 0
		if f.units[i].Indent() > base {
			k, over = 1, over+1
		}
		if i > a && f.gap[i].known {
			known[k]++
			if f.gap[i].fits {
				bad[k]++
				swallowed += boolInt(f.gap[i].newPage && f.Vols[f.units[i].Vol].Blocked)
			}
		}
	}
	switch {
	case over == 0 && f.eachCapital(a, b):
		return lines, false
	case over == 0 && (bad[0]-swallowed)*10 <= known[0] && (known[0] >= 3 || f.Vols[f.units[a].Vol].Blocked):
		return block, false
	case over == 0 && bad[0] == 0 && (known[0] > 0 && f.directions(a, b) || f.displayedBlock(a, b)):
		return block, false
	case over == 0:
		return lines, false
	}
	first := f.units[a].Indent() > base
	tie = !first && known[0] > 0 && known[1] > 0 && ratio(bad[0], known[0]) <= 0.15 && ratio(bad[1], known[1]) <= 0.15
	return closer(known, bad, first), tie
}

// eachCapital reports whether four units or more that stand at one indent each begin
// with a capital, also after lines that end no sentence: lines of verse that are full
// by chance (BANA, Braille Formats 2016, section 13).
func (f *Flow) eachCapital(a, b int) bool {
	within := false
	for i := a; i < b; i++ {
		if !f.beginsCapital(i) {
			return false
		}
		within = within || i > a && !EndsSentence(f.units[i-1].Text)
	}
	return within && b-a >= 4
}

// beginsCapital reports whether unit i begins with a capital, after quotation marks or
// brackets perhaps.
func (f *Flow) beginsCapital(i int) bool {
	t := f.units[i].Text
	return opensHeading(t) && !bytes.HasPrefix(bytes.TrimLeft(t, ".^_87\"<;"), []byte("#"))
}

// closer tells prose from hanging text by how often a line that would go on
// the one before could have stood on it: bad of known, for lines at the margin
// and for lines that step in. first says that the first line steps in.
func closer(known, bad [2]int, first bool) model {
	proseBad, hangBad := ratio(bad[0], known[0]), ratio(bad[1], known[1])
	switch {
	case known[0] == 0 && known[1] == 0:
		return lines
	case known[0] == 0:
		switch {
		case first:
			return prose
		case hangBad <= 0.15:
			return hanging
		}
		return lines
	case proseBad <= 0.15 && hangBad <= 0.15 && known[0] >= 2 && known[1] >= 3:
		return mixed
	case proseBad <= 0.15 && (proseBad < hangBad || known[1] == 0 || first):
		return prose
	case hangBad <= 0.15 && known[1] > 0 && hangBad < proseBad:
		return hanging
	case proseBad <= 0.15:
		return prose
	}
	return lines
}

func ratio(a, b int) float64 {
	if b == 0 {
		return 0
	}
	return float64(a) / float64(b)
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
	if k := f.overItems(a, b); k > 0 {
		f.run(a, k, moved)
		f.run(k, b, moved)
		return
	}
	if k := f.listAtPageTurn(a, b); k > 0 {
		f.run(a, k, moved)
		f.run(k, b, moved)
		return
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

// overItems is the unit of a run from which it is items with numbers or letters under
// lines that stand further in: a heading in cell 5 or 7, after which no blank line stands
// (BANA, Braille Formats 2016, section 4), or directions in cell 5 (section 10), whose
// last line was not full or ended a page. 0 if there is none.
func (f *Flow) overItems(a, b int) int {
	k := a + 1
	for k < b && f.units[k].Indent() == f.units[a].Indent() && f.full(k) && !itemNumber(f.units[k].Text) {
		k++
	}
	if b-k < 2 || f.units[a].Indent() < 4 || itemNumber(f.units[a].Text) || !itemNumber(f.units[k].Text) || f.units[k].Indent() >= f.units[a].Indent() {
		return 0
	}
	if f.gap[k].known && f.gap[k].fits || f.gap[k].newPage && EndsSentence(f.units[k-1].Text) {
		return k
	}
	return 0
}

// listAtPageTurn is the first unit of a page within a run at which a list begins after
// prose that ended with the page before, or prose after a list. A blank line stands
// before a list and after it (BANA, Braille Formats 2016, section 8), so only a page turn
// can have taken it. 0 if there is none.
func (f *Flow) listAtPageTurn(a, b int) int {
	base := f.base(a, b)
	stepped := false // a paragraph was begun
	items := false   // an item at the margin was begun, and no paragraph since
	for i := a; i < b; i++ {
		in, g := f.units[i].Indent(), f.gap[i]
		turn := i > a && g.newPage && EndsSentence(f.units[i-1].Text)
		paragraph := in == base+2 && i+1 < b && f.units[i+1].Indent() == base && f.full(i+1) && !itemNumber(f.units[i+1].Text)
		switch {
		case turn && in == base && stepped && !items && (!(g.known && g.fits) && f.itemsFrom(i, b, base) || f.levelled(i, f.pageEnd(i, b))):
			return i
		case turn && paragraph && f.listUpTo(a, i):
			return i
		}
		items = !paragraph && (items || i > a && in == base && g.known && g.fits)
		stepped = stepped || in == base+2 && (i == a || !f.full(i))
	}
	return 0
}

// listUpTo reports whether the units a up to b are a list: its lines at the margin begin
// anew, and those that step in are runovers or levels.
func (f *Flow) listUpTo(a, b int) bool {
	if f.levelled(a, b) {
		return true
	}
	m, tie := f.weigh(a, b)
	return b-a >= 3 && !tie && (m == hanging || m == lines && f.allAnew(a, b))
}

// allAnew reports whether the units a up to b stand at one indent and none but the first
// had no room on the line before.
func (f *Flow) allAnew(a, b int) bool {
	for i := a + 1; i < b; i++ {
		if f.full(i) || f.units[i].Indent() != f.units[a].Indent() {
			return false
		}
	}
	return true
}

// pageEnd is the unit before b that begins the page after that of unit i, or b.
func (f *Flow) pageEnd(i, b int) int {
	for i++; i < b && !f.gap[i].newPage; i++ {
	}
	return i
}

// itemsFrom reports whether unit i and what follows on its page are items at indent
// base: the next line there that is no runover in cell 3 begins anew for certain, and so
// no paragraph began over it.
func (f *Flow) itemsFrom(i, b, base int) bool {
	for k := i + 1; k < b && !f.gap[k].newPage; k++ {
		switch u := f.units[k]; {
		case u.Indent() == base && f.gap[k].known && f.gap[k].fits:
			return true
		case u.Indent() != base && u.Indent() != base+2 || !f.full(k):
			return false
		}
	}
	return false
}

// pageWithin is the first unit of a run, but for its first, that begins a page and
// was begun anew: a blank line that stood before it went with the page turn, so
// that two things may stand in the run. 0 if there is none, and where the model m of
// the run says that such a unit is no other thing: in prose one that steps in.
func (f *Flow) pageWithin(a, b int, m model, usual bool) int {
	base := f.base(a, b)
	for i := a + 1; i < b; i++ {
		if f.gap[i].newPage && f.gap[i].known && f.gap[i].fits && (m == lines || usual || m == prose && f.units[i].Indent() == base) {
			return i
		}
	}
	return 0
}

// narrow judges a run anew whose lines all end before the numbers that stand
// at the right margin of line-numbered text: these make its lines shorter.
func (f *Flow) narrow(a, b int) {
	edge := f.Vols[f.units[a].Vol].NumberEdge
	if edge == 0 {
		return
	}
	for i := a; i < b; i++ {
		if int(f.units[i].To) > edge && !marginNumber(f.units[i]) {
			return
		}
	}
	for i := a + 1; i < b; i++ {
		p, u := f.units[i-1], f.units[i]
		if f.gap[i].known && p.Avail > edge {
			f.gap[i].fits = slack(p, u)-(p.Avail-edge)+tailLen(p) >= 0
		}
	}
}

// numberedProse reports whether a run is prose whose lines are numbered at the
// right margin, so that lines are referred to by their numbers: they stay as they
// are (BANA, Braille Formats 2016, section 15), and no number comes to stand
// within a sentence.
func (f *Flow) numberedProse(a, b int, m model) bool {
	edge := f.Vols[f.units[a].Vol].NumberEdge
	if edge == 0 || m != prose && m != block && m != mixed {
		return false
	}
	numbered := false
	for i := a; i < b; i++ {
		if marginNumber(f.units[i]) {
			numbered = true
		} else if int(f.units[i].To) > edge {
			return false
		}
	}
	return numbered
}

// tailLen is how many cells at the end of a unit are a margin number and the
// blanks before it.
func tailLen(u *Unit) int {
	if !marginNumber(u) {
		return 0
	}
	n := len(u.Text)
	for n > 0 && u.Text[n-1] != cell.Blank {
		n--
	}
	for n > 0 && u.Text[n-1] == cell.Blank {
		n--
	}
	return len(u.Text) - n
}

// marginNumber reports whether a unit ends in a number after two blanks or
// more.
func marginNumber(u *Unit) bool {
	n := len(u.Text)
	for n > 0 && u.Text[n-1] != cell.Blank {
		n--
	}
	if n < 2 || u.Text[n-2] != cell.Blank {
		return false
	}
	_, ok := cell.ParseLabel(u.Text[n:])
	return ok
}

// farIn is how many cells further in than the next a line stands that is the first of
// no paragraph, and so many cells from the margin a line begins that has no runovers at another
// cell: address, date and signature of a letter, which end at the right margin, stand under one
// another or step in (BANA, Braille Formats 2016, section 12, from memory; common practice).
const farIn = 10

// goesOn reports whether unit j goes on the block that unit s began and whose
// runovers stand at indent run (-1 when it has none yet).
func (f *Flow) goesOn(m model, base, s, j, run int) bool {
	if f.gap[j].fits || f.atLeftNumber(j) {
		return false
	}
	if dividedWord(f.units[j-1].Text) {
		return true
	}
	if f.opensSpeech(j) || f.afterEntry(j) {
		return false
	}
	if f.inBrackets(s, j) {
		return true
	}
	start, in := f.units[s].Indent(), f.units[j].Indent()
	if run >= 0 && in != run || f.letterLine(j) {
		return false
	}
	if m == outline && f.over == overEach {
		return in > start && !itemNumber(f.units[j].Text)
	}
	if in > start && f.indents.begin[min(in, farIndent)] || in < start && (start == f.indents.over || f.indents.alone[min(start, farIndent)]) {
		return false
	}
	if in < start && !f.inAndOut && f.stepsOut(m, base, s, j, run) {
		return true
	}
	switch m {
	case mixed:
		return f.mixedOn(base, s, j, run)
	case prose:
		return in == base && start-in < farIn || (in == start-2 && in > base && f.gap[j].known)
	case hanging:
		return in > start && (run >= 0 || start > base || f.usual == 0 || in < f.usual+2 && in > f.usual-2)
	case outline:
		return in > start && in == f.over && !itemNumber(f.units[j].Text)
	case block:
		return true
	}
	// Told by its own line: first line indented, this one full; where lines step in
	// and out, one may be full by chance.
	return in < start && in == base && !f.inAndOut
}

// signsOff reports whether unit j is the name under a verse or a quotation, though the line before it
// may be full: it stands further in than the block, in cell 5 at least, a sentence ends before it
// and none with it, nothing that stands as far in follows, and its few words have capitals where
// the lines before have them (attributions: BANA, Braille Formats 2016, section 9; common practice).
func (f *Flow) signsOff(s, j int) bool {
	u, p := f.units[j], f.units[j-1]
	if u.Indent() < 4 || u.Indent() <= f.units[s].Indent() || !EndsSentence(p.Text) || endsClause(u.Text) || EndsSentence(u.Text) {
		return false
	}
	if j+1 < len(f.units) && !f.gap[j+1].hard && f.units[j+1].Indent() >= u.Indent() {
		return false
	}
	words, capitals := 0, 0
	for from := range cell.Words(u.Text) {
		words++
		if u.Text[from] == ',' {
			capitals++
		}
	}
	if words > 4 {
		return false
	}
	return capitals == words || capitals == 0 && words > 1 && !capitalised(f.units[s].Text) && !capitalised(p.Text)
}

// capitalised reports whether a word of a text begins with a capital sign.
func capitalised(t []byte) bool {
	for from, to := range cell.Words(t) {
		if to-from > 1 && t[from] == ',' && t[from+1] >= 'a' && t[from+1] <= 'z' {
			return true
		}
	}
	return false
}

// stepsOut reports whether unit j, which begins further out than unit s, goes on
// its paragraph: two cells further out but not at the margin, as displayed text
// and notes are set (cells 5-3 and 7-5; BANA, Braille Formats 2016, sections 3 and
// 9), or, among hanging text, at the margin as in a paragraph of three lines or
// more.
func (f *Flow) stepsOut(m model, base, s, j, run int) bool {
	start, in := f.units[s].Indent(), f.units[j].Indent()
	switch {
	case in > base && in != start-2, in == base && (m != hanging || start > 2):
		return false
	case run == in:
		return true
	case !f.full(j) || itemNumber(f.units[j].Text) || Bullet(f.units[j].Text):
		return false
	case in == base:
		return j+1 < f.end && f.units[j+1].Indent() == base && f.full(j+1) && !itemNumber(f.units[j+1].Text)
	}
	for k := f.begin + 1; k < f.end; k++ { // items of more levels have their runovers deeper
		if f.units[k].Indent() > start && f.full(k) {
			return false
		}
	}
	return true
}

// mixedOn decides within a mixed run: text that steps out to the margin goes
// on a paragraph; text that steps in goes on a hanging one when the next line
// steps in too and was not started anew, or nothing follows.
func (f *Flow) mixedOn(base, s, j, run int) bool {
	start, in := f.units[s].Indent(), f.units[j].Indent()
	switch {
	case run > start:
		return true
	case in < start:
		return in == base
	case in > start:
		return j+1 >= len(f.units) || f.gap[j+1].hard || f.gap[j+1].fits || f.units[j+1].Indent() == in
	}
	return run >= 0 || in == base
}

// inBrackets reports whether unit s begins with a bracket that unit j, or one soon after it,
// closes: a stage direction of a few full lines, which step in or out by two cells at most
// (English Braille American Edition 1994, appendix A, section 8).
func (f *Flow) inBrackets(s, j int) bool {
	if u := f.units[s]; u.Indent() < 2 || !opensBracket(u.Text) || closes(u.Text) {
		return false
	}
	for k := s + 1; k < len(f.units) && k < s+8; k++ {
		d := f.units[k].Indent() - f.units[s].Indent()
		if !f.full(k) || f.gap[k].hard || d < -2 || d > 2 || f.units[k].Indent() != f.units[s+1].Indent() || opensBracket(f.units[k].Text) {
			return false
		}
		if closes(f.units[k].Text) {
			return j <= k
		}
	}
	return false
}

// closes reports whether a word of a text ends in a closing bracket, a stop or quotation
// marks after it perhaps.
func closes(t []byte) bool {
	for _, w := range bytes.Fields(t) {
		if closesBracket(bytes.TrimRight(w, "124680")) {
			return true
		}
	}
	return false
}

// dividedWord reports whether a text ends in a hyphen after a letter, in a
// solidus, or in the sign that a string goes on: the next line goes on, whatever
// the layout (Rules of Unified English Braille 2013, 6.10, 7.4, 10.13).
func dividedWord(t []byte) bool {
	n := len(t)
	if n < 3 || t[n-2] == cell.Blank {
		return false
	}
	if t[n-1] == '/' && t[n-2] == '_' {
		return t[n-3] != cell.Blank
	}
	return t[n-1] == '-' && t[n-2] != '-' && t[n-2] != ',' || t[n-1] == '"' && t[n-2] != '"'
}

// paragraph makes one block, or several where print page turns stand on lines
// of their own, of units i up to j.
func (f *Flow) paragraph(i, j, runIndent int, m model, moved book.ReasonID) {
	u := f.units[i]
	bl := book.Block{Kind: book.Para, First: int16(u.Indent()), Moved: moved, Blank: f.blank(i)}
	switch {
	case runIndent >= 0:
		bl.Run = int16(runIndent)
	case m == hanging || m == lines || m == outline || (m == mixed && u.Indent() == 0) || (m == block && u.Indent() == 0):
		bl.Kind, bl.Run = book.Line, int16(u.Indent()+2)
	case u.Indent() >= 4 && m != prose:
		bl.Kind, bl.Run = book.Line, int16(u.Indent())
	}
	if u.wide && j == i+1 {
		bl.Kind = book.Line
	}
	if f.form == book.Fixed {
		bl.Kind, bl.Run = book.Line, bl.First
	} else if bl.First > 10 {
		bl.First, bl.Run = 10, 10
	} else if bl.First == 3 && m == prose && f.Vols[u.Vol].Spaced {
		bl.First = 2
	}
	if bl.Form = f.form; ForTranscriber(u.Text) {
		bl.Form = book.TranscriberNote
	} else if bl.Kind == book.Para {
		bl.Form = book.Plain
	}
	bl.Pieces = make([]book.Piece, 0, j-i)
	for k := i; k < j; k++ {
		bl = f.addUnit(bl, k, k == i)
	}
	f.Book.Blocks = append(f.Book.Blocks, bl)
}

// wideGap reports whether a text holds columns: two blanks together.
func wideGap(t []byte) bool { return bytes.Contains(t, twoBlanks) }

var twoBlanks = []byte("  ")

// addUnit adds unit k to a block, its print page turns before it. A turn on a
// line of its own ends the block and begins another.
func (f *Flow) addUnit(bl book.Block, k int, first bool) book.Block {
	u := f.units[k]
	rest := u.From
	if !first && f.dividedBefore(k) {
		bl, rest = f.firstPart(bl, k)
	}
	for _, t := range u.Turns {
		p, row, ok := f.turnPiece(t)
		if !ok {
			continue
		}
		if row || bl.Kind == book.Line {
			bl = f.ownLine(bl, p, first)
		} else {
			bl.Pieces = append(bl.Pieces, p)
		}
	}
	f.seeInline(u)
	if rest == u.To {
		return bl
	}
	p := book.Piece{Vol: u.Vol, Line: u.Line, From: rest, To: u.To}
	if !first && rest == u.From {
		p = f.joined(&bl, k, p)
	}
	if f.Vols[u.Vol].Spaced {
		bl, p = f.inLine(bl, u, p)
	}
	bl.Pieces = append(bl.Pieces, p)
	return bl
}

// dividedBefore reports whether turns known only from numbers stand between
// the parts of a word, or of words joined by a dash: the word comes first.
func (f *Flow) dividedBefore(k int) bool {
	u := f.units[k]
	for _, t := range u.Turns {
		if t.Line >= 0 {
			return false
		}
	}
	if len(u.Turns) == 0 {
		return false
	}
	t := f.units[k-1].Text
	return dividedWord(t) || endsInDash(t) && f.Join != nil && f.Join(lastWord(t), firstWord(u.Text)).Join != 0
}

// firstPart adds the first word of unit k to the block and returns where the
// rest of its line begins.
func (f *Flow) firstPart(bl book.Block, k int) (book.Block, int32) {
	u := f.units[k]
	end := u.From + int32(len(firstWord(u.Text)))
	p := f.joined(&bl, k, book.Piece{Vol: u.Vol, Line: u.Line, From: u.From, To: end})
	bl.Pieces = append(bl.Pieces, p)
	for end < u.To && u.Text[end-u.From] == cell.Blank {
		end++
	}
	return bl, end
}

// seeInline follows the print page turns within a line.
func (f *Flow) seeInline(u *Unit) {
	for _, lab := range f.Vols[u.Vol].Inline[u.Line] {
		f.last, f.lastSet = lab, true
		f.last.Value = lab.Last
	}
}

// ownLine puts a turn on a line of its own and returns the block that goes on
// after it.
func (f *Flow) ownLine(bl book.Block, p book.Piece, first bool) book.Block {
	turn := book.Block{Kind: book.Turn, Moved: bl.Moved, Pieces: []book.Piece{p}}
	if first && len(bl.Pieces) == 0 {
		turn.Blank, bl.Blank = bl.Blank, book.Blank{}
		f.Book.Blocks = append(f.Book.Blocks, turn)
		return bl
	}
	f.Book.Blocks = append(f.Book.Blocks, bl, turn)
	return book.Block{Kind: bl.Kind, First: bl.Run, Run: bl.Run, Moved: bl.Moved, Form: bl.Form, Cont: true}
}

// joined decides how unit k follows the one before it in the same block.
func (f *Flow) joined(bl *book.Block, k int, p book.Piece) book.Piece {
	n := len(bl.Pieces)
	if n == 0 || f.Join == nil || bl.Pieces[n-1].Vol < 0 || bl.Pieces[n-1].Tool != nil {
		return p
	}
	prev, u := f.units[k-1], f.units[k]
	if bl.Pieces[n-1].Line != prev.Line || bl.Pieces[n-1].Vol != prev.Vol {
		return p
	}
	first, next := lastWord(prev.Text), firstWord(u.Text)
	f.Prev, f.Next = prev, u
	s := f.Join(first, next)
	q := &bl.Pieces[n-1]
	if s.Whole != nil && int(q.To-q.From) >= len(first) {
		f.rewrite(bl, p, len(first), len(next), s)
		p.From = min(p.From+int32(len(next)), p.To)
		return p
	}
	if s.Drop > 0 {
		f.Book.AddCut(int(q.Vol), q.Line, book.Cut{From: q.To - int32(s.Drop), To: q.To, Reason: s.DropWhy})
		q.To -= int32(s.Drop)
	}
	p.Join = s.Join
	return p
}

// rewrite puts the whole word in place of the last word of the block, and
// leaves out the word that p begins with.
func (f *Flow) rewrite(bl *book.Block, p book.Piece, first, next int, s Seam) {
	n := len(bl.Pieces)
	q := bl.Pieces[n-1]
	word := book.Piece{Vol: q.Vol, Line: q.Line, From: q.To - int32(first), To: q.To, Tool: s.Whole, Reason: s.WholeWhy}
	if q.To = word.From; q.To <= q.From {
		word.Join = q.Join
		bl.Pieces[n-1] = word
	} else {
		bl.Pieces[n-1] = q
		bl.Pieces = append(bl.Pieces, word)
	}
	f.Book.AddCut(int(p.Vol), p.Line, book.Cut{From: p.From, To: p.From + int32(next), Reason: s.WholeWhy})
}

func lastWord(t []byte) []byte {
	i := len(t)
	for i > 0 && t[i-1] != cell.Blank {
		i--
	}
	return t[i:]
}

func firstWord(t []byte) []byte {
	i := 0
	for i < len(t) && t[i] != cell.Blank {
		i++
	}
	return t[:i]
}

// turnPiece is the piece that writes a print page turn, and whether it stands
// on a line of its own.
func (f *Flow) turnPiece(t PrintTurn) (p book.Piece, row, ok bool) {
	if t.Line < 0 {
		if d := t.Label.Value - f.last.Value; f.lastSet && d <= 0 && d >= -3 && f.last.Roman == t.Label.Roman && f.last.Suffix == t.Label.Suffix && f.last.Own() == t.Label.Own() {
			return p, false, false
		}
		f.last, f.lastSet = t.Label, true
		row = f.Style.Turns == "row" || (f.Style.Turns == "source" && f.Style.RowTurns)
		return book.Piece{Vol: -1, Tool: mark(row, t.Text), Reason: f.Why.TurnHead}, row, true
	}
	if !t.Bare {
		f.last, f.lastSet = t.Label, true
		f.last.Value = t.Label.Last
	}
	raw := f.Vols[t.Vol].Raw(t.Line)
	p = book.Piece{Vol: t.Vol, Line: t.Line, From: int32(cell.Indent(raw)), To: int32(len(raw))}
	if l := &f.Vols[t.Vol].Lines[t.Line]; l.Left.To > 0 || l.Right.To > 0 { // a page number stands on its line
		p.From, p.To = l.Text.From, l.Text.To
		raw = raw[p.From:p.To]
	}
	row = t.Row
	switch want := f.Style.Turns; {
	case t.Row && (want != "inline" || t.Bare):
		p.From, p.Tool, p.Reason = 0, mark(true, t.Text), f.Why.Turn
	case t.Row:
		p.From, p.Tool, p.Reason, row = 0, mark(false, t.Text), f.Why.Turn, false
	case want == "row":
		p.From, p.Tool, p.Reason, row = 0, mark(true, labelOf(raw)), f.Why.Turn, true
	}
	return p, row, true
}

// mark writes a turn: three cells of dots 3-6 and the number, or dot 5, dots
// 2-5 and the number.
func mark(row bool, label []byte) []byte {
	if row {
		return append([]byte("---"), label...)
	}
	return append([]byte("\"3"), label...)
}

// labelOf is the label of a dot 5, dots 2-5 indicator.
func labelOf(raw []byte) []byte {
	t := raw[cell.Indent(raw):]
	for len(t) > 0 && (t[0] == '"' || t[0] == '3' || t[0] == cell.Blank) {
		t = t[1:]
	}
	return t
}

// single makes a block of one unit; its turns come before it on their own
// lines.
func (f *Flow) single(i int, kind book.Kind, indent int16, moved book.ReasonID) {
	u := f.units[i]
	bl := book.Block{Kind: kind, First: indent, Run: indent + 2, Moved: moved, Blank: f.blank(i)}
	for _, t := range u.Turns {
		if p, _, ok := f.turnPiece(t); ok {
			turn := book.Block{Kind: book.Turn, Moved: moved, Blank: bl.Blank, Pieces: []book.Piece{p}}
			f.Book.Blocks = append(f.Book.Blocks, turn)
			bl.Blank = book.Blank{}
		}
	}
	bl.Pieces = []book.Piece{{Vol: u.Vol, Line: u.Line, From: u.From, To: u.To}}
	f.seeInline(u)
	f.Book.Blocks = append(f.Book.Blocks, bl)
	f.notesOf(i, i+1)
}

// notesOf sets the notes that units i up to j refer to after the block that
// they made.
func (f *Flow) notesOf(i, j int) {
	for k := i; k < j; k++ {
		for _, note := range f.units[k].After {
			units, gaps, runs, near, deep, displays, steps, directs, opens, form, none, at := f.units, f.gap, f.runs, f.near, f.deep, f.displays, f.steps, f.anewDirects, f.opens, f.form, f.noTable, len(f.Book.Blocks)
			f.gap, f.runs, f.near = nil, nil, nil
			f.Text(note, f.Why.Note)
			f.units, f.gap, f.runs, f.near, f.deep, f.displays, f.steps, f.anewDirects, f.opens, f.form, f.noTable = units, gaps, runs, near, deep, displays, steps, directs, opens, form, none
			for b := at; b < len(f.Book.Blocks); b++ {
				if f.Book.Blocks[b].Form = book.NoteMore; b == at {
					f.Book.Blocks[b].Form, f.Book.Blocks[b].Blank = book.Note, book.Blank{}
				}
			}
		}
	}
}

// blank decides on the blank line before unit i: one that stands there in the
// source with meaning, or one before a heading.
func (f *Flow) blank(i int) book.Blank {
	u := f.units[i]
	if i == 0 {
		return book.Blank{Want: true, Reason: f.Why.Blank}
	}
	p := f.units[i-1]
	want := u.Blanks > 0
	head := f.heading(i) && (!f.heading(i-1) || u.PageTop && u.Centred && u.Filler >= 3) && !p.Rule // a heading after a page left unfilled is another
	stanza := u.Filler == 1 && f.Vols[u.Vol].FullPages && !head && f.verse(i-1) && u.Vol == p.Vol
	if !want && !head && !stanza {
		return book.Blank{}
	}
	if u.BlankLine >= 0 && want {
		return book.Blank{Want: true, Vol: u.Vol, Line: u.BlankLine}
	}
	return book.Blank{Want: true, Reason: f.Why.Blank}
}

// verse reports whether unit i and the one before it are single lines that
// were not full.
func (f *Flow) verse(i int) bool {
	if i == 0 {
		return false
	}
	return f.gap[i].known && f.gap[i].fits && !f.units[i].Centred && f.units[i].From == f.units[i-1].From
}

// Tail writes the turns that stand after the last unit of a volume.
func (f *Flow) Tail(v *Volume) {
	for _, t := range v.Tail {
		if t.Line < 0 {
			continue
		}
		if p, _, ok := f.turnPiece(t); ok {
			f.Book.Blocks = append(f.Book.Blocks, book.Block{Kind: book.Turn, Pieces: []book.Piece{p}})
		}
	}
}
