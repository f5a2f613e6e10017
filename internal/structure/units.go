// Package structure reads the surveyed lines of a volume as the parts of a
// book: title page, contents, preliminary matter, text, notes, end lines. Flow
// then makes blocks of them: headings, paragraphs, verse, rules. What cannot
// be told safely stays line by line.
package structure

import (
	"bytes"
	"strings"

	"continuo/internal/cell"
	"continuo/internal/english"
	"continuo/internal/layout"
)

// PrintTurn is a print page turn before a unit: a line of the source, or, with
// Line < 0, a turn known only from a number on the page.
type PrintTurn struct {
	Vol   int32 // of the line; set when volumes are put in order
	Line  int32
	Page  int32
	Label cell.Label
	Row   bool
	Bare  bool
	Text  []byte // cells of the label
}

// Unit is one line of text on its page, without numbers and heads.
type Unit struct {
	Vol, Line int32
	Page      int32
	From, To  int32 // text in the line
	BlankLine int32 // the last blank line before it, -1 if none
	PageTop   bool
	Centred   bool
	Rule      bool
	HasPhrase bool
	Listed    bool // an entry of a contents list names it as a heading
	Note      bool // a note within the text begins with it
	entry     entryPart
	headword  bool // an entry of a dictionary begins with it
	Volume    bool // it names the volume by the word for another part: "book 2 of 3"
	wide      bool // its text holds columns, see wideGap
	refs      bool // its text may hold references to notes
	Side      bool // a line of a heading in cell 5 or cell 7
	Blanks    int  // blank lines before it on its page
	Filler    int  // blank lines at the end of the page before, when it is the first of a page
	Avail     int  // last cell that text could have reached on this line, 0 unknown
	Turns     []PrintTurn
	After     [][]*Unit       // notes that are set after its paragraph
	Phrase    *english.Phrase // an empty one when HasPhrase is false; not to be changed
	Text      []byte
}

// noPhrase is the Phrase of all units that are none.
var noPhrase english.Phrase

// lookUp looks for a structure phrase that is the whole text.
func (u *Unit) lookUp(words english.Words) {
	p, ok := words.Lookup(u.Text)
	if n := guidedHeading(u.Text, words); !ok && n > 0 {
		p, ok = words.Lookup(u.Text[:n])
	}
	if ok {
		found := p // only what is found goes to the heap
		u.Phrase, u.HasPhrase = &found, true
	}
}

// GuidedHeading is how many cells the heading of a contents list takes in its line
// where guide dots and the name of the volume follow it: "contents", dots, "volume 2"
// (English Braille American Edition 1994, rule III, 15b), or the number of its page, which no
// other page has there. 0 for any other text.
func (v *Volume) GuidedHeading(t []byte) int { return guidedHeading(t, v.Words) }

func guidedHeading(t []byte, words english.Words) int {
	if at := labelAt(t); at > 3 && string(t[at-3:at]) == "   " {
		head := bytes.TrimRight(t[:at], " ")
		if p, ok := words.Lookup(head); ok && (p.ID == english.Contents || p.ID == english.GeneralContents) {
			return len(head)
		}
		return 0
	}
	dots := bytes.Index(t, []byte(` ""`))
	if dots < 1 {
		return 0
	}
	rest := bytes.TrimLeft(t[dots+1:], `"`)
	if len(rest) < 2 || rest[0] != cell.Blank {
		return 0
	}
	p, ok := words.Lookup(t[:dots])
	q, volume := words.Lookup(rest[1:])
	if !ok || !volume || p.ID != english.Contents || q.ID != english.Volume || len(q.Tail) > 0 {
		return 0
	}
	return dots
}

// Indent is the place of the first cell in its line.
func (u *Unit) Indent() int { return int(u.From) }

// Volume is one volume read as parts of a book. Ranges are indexes into Units,
// the second not included.
type Volume struct {
	*layout.Volume
	Index         int32
	Units         []Unit
	Title         [2]int     // units of the title page; empty if there is none
	holdsNotes    bool       // references, or a heading of notes
	bare          bareCounts // what may be notes in the volume
	bareMarks     [2]bool    // numbers without a sign begin notes, see bareForm
	bareIn        [2]bool    // they do where they stand further in than paragraphs begin
	TitleFrom     int        // where the title itself begins: a statement or label of the volume may stand before it
	TitleHead     int        // units from TitleFrom on that are the title itself
	titleEnds     bool       // where it ends is told by heads or the text, see EndTitles
	Contents      []Region
	BodyPage      int32       // page on which the text begins, as far as the volume itself tells
	Notes         [2]int      // notes gathered at the end of the volume
	Groups        []NoteGroup // notes that stand together: within the text, then at the end
	End           [2]int      // lines that end the volume
	EndTail       layout.Span // end-of-volume words on the last line of text
	EndLine       int32
	Tail          []PrintTurn
	Blocked       bool     // paragraphs begin at the margin after a blank line
	HeadBlanks    bool     // a blank line stands under the heads of pages on which text goes on
	Small         bool     // hardly a word has a capital sign
	Spaced        bool     // paragraphs begin within a line, after three blanks
	FullPages     bool     // hardly a page ends one line short
	NumberEdge    int      // last cell that text beside margin numbers may reach, 0 if there are none
	tightNames    bool     // names stand in the middle right under text
	tightClosings bool     // and what else closes pieces
	HeadsApart    bool     // nine in ten centred lines have a blank line, a rule or another above
	Levels        [24]bool // indents at which text stands that is not centred
	Number        int      // from the volume statement, 0 unknown
	Of            int
	Prelim        bool
	sides         [len(sideIndents)]sideCount
	names         [24]bool // indents at which names stand under verses or letters
	room          int      // blanks that are left free between text and a number at its right
	RepeatOf      *Volume  // another volume with the same bytes
}

// Region is a contents list.
type Region struct {
	From, To int
	General  bool // says what stands in which volume, without pages
	Back     bool // stands behind the text
}

// Read reads a surveyed volume by itself.
func Read(v *layout.Volume, index int) *Volume {
	sv := begin(v, index)
	sv.finish(&sv.bare)
	return sv
}

// ReadAll reads the surveyed volumes of a title.
func ReadAll(vols []*layout.Volume) []*Volume {
	out := make([]*Volume, len(vols))
	layout.Each(len(vols), func(i int) { out[i] = begin(vols[i], i) })
	var bare bareCounts
	for _, v := range out {
		bare.add(&v.bare)
	}
	layout.Each(len(vols), func(i int) { out[i].finish(&bare) })
	return out
}

// begin reads a volume as far as it tells its parts by itself.
func begin(v *layout.Volume, index int) *Volume {
	sv := &Volume{Volume: v, Index: int32(index)}
	sv.makeUnits()
	sv.findLevels()
	sv.findTitle()
	sv.findContents()
	sv.findBody()
	sv.findInnerLists()
	sv.firstTurn()
	sv.findEnd()
	sv.findNotes()
	sv.findGroups()
	return sv
}

// finish reads the rest; bare counts what may be notes in the title.
func (sv *Volume) finish(bare *bareCounts) {
	sv.moreGroups(bare)
	sv.findCapitals()
	sv.findHabits()
	sv.findSideHeads()
	sv.HeadBlanks = sv.blanksUnderHeads()
	sv.findNumberEdge()
}

func (v *Volume) makeUnits() {
	n := 0
	for i := range v.Lines {
		n += boolInt(v.Lines[i].Role == layout.Text)
	}
	v.Units = make([]Unit, 0, n)
	tt := turnTracker{v: v}
	top := v.topBlanks()
	v.room = v.roomBeforeNumber()
	var pending []PrintTurn
	for p := range v.Pages {
		pg := &v.Pages[p]
		filler, first := v.fillerBefore(p), true
		pending = append(pending, tt.atPage(p)...)
		blanks, blankLine := 0, int32(-1)
		if p > 0 {
			blankLine = v.lastBlank(p - 1)
		}
		for i := pg.First; i < pg.Last; i++ {
			switch l := &v.Lines[i]; l.Role {
			case layout.Empty:
				blanks, blankLine = blanks+1, i
				if first && pg.Head == false && i < pg.Top {
					blankLine = i
				}
			case layout.Turn:
				pending = append(pending, tt.line(i, int32(p)))
			case layout.Text:
				if i > pg.Bottom {
					continue
				}
				v.Units = append(v.Units, Unit{Vol: v.Index, Line: i, Page: int32(p), From: l.Text.From, To: l.Text.To, Blanks: blanks, BlankLine: blankLine, PageTop: first, Turns: v.StillOn(pending, int32(p)), Phrase: &noPhrase})
				u := &v.Units[len(v.Units)-1]
				if first {
					u.Filler = filler
					u.Blanks = max(0, blanks-top[pg.Head])
				}
				v.describe(u, l)
				tt.inline(i)
				pending, blanks, blankLine, first = nil, 0, -1, false
			}
		}
	}
	v.Tail = pending
}

// roomBeforeNumber is how many blanks stand at least between text and a page
// number at its right: two to five, three where fewer than five lines tell.
func (v *Volume) roomBeforeNumber() int {
	least, n := 5, 0
	for i := range v.Lines {
		if l := &v.Lines[i]; l.Role == layout.Text && l.Right.To > 0 && l.Text.To > l.Text.From && l.Text.From < 3 {
			least = min(least, int(l.Right.From-l.Text.To))
			n++
		}
	}
	if n < 5 {
		return 3
	}
	return max(least, 2)
}

// topBlanks finds how many blank lines stand before the text of nearly every page,
// told apart by whether the page has a head: the place of a head on the pages that
// have none, or the room under it. They are of the layout and part no paragraphs
// (common practice).
func (v *Volume) topBlanks() map[bool]int {
	var count [2][4]int
	for p := range v.Pages {
		if n := v.blanksAtTop(p); n >= 0 {
			count[boolInt(v.Pages[p].Head)][min(n, 3)]++
		}
	}
	habit := map[bool]int{}
	for k, c := range count {
		all := c[0] + c[1] + c[2] + c[3]
		for n, least := 1, all-c[0]; n <= 2; n++ {
			if least >= 4 && least*10 >= all*9 || least >= 5 && least+1 == all { // in a short volume the contents page may differ
				habit[k == 1] = n
			}
			least -= c[n]
		}
	}
	return habit
}

// blanksAtTop counts the blank lines of a page before its first line of text; -1
// if it has no text, or no head and is one of the first two, which may be title
// pages, or its number is of preliminary pages.
func (v *Volume) blanksAtTop(p int) int {
	if l := v.Pages[p].Braille; l != nil && (l.Roman || strings.IndexAny(l.Prefix, "pt") >= 0) {
		return -1
	}
	n := 0
	for i := v.Pages[p].First; i < v.Pages[p].Last; i++ {
		switch v.Lines[i].Role {
		case layout.Empty:
			n++
		case layout.Text, layout.Turn:
			if p < 2 && !v.Pages[p].Head {
				return -1
			}
			return n
		}
	}
	return -1
}

// StillOn keeps the turns before text that stood on an earlier page, or before
// lines that are left out, as far as they count for the text on a page: all
// that stand in the source, and of those known from numbers only those of the
// page itself and the one to the print page that it shows.
func (v *Volume) StillOn(turns []PrintTurn, page int32) []PrintTurn {
	var kept []PrintTurn
	here := v.Pages[page].Print
	for _, t := range turns {
		if t.Line >= 0 || t.Page == page || here != nil && here.Value == t.Label.Value && here.Roman == t.Label.Roman {
			kept = append(kept, t)
		}
	}
	return kept
}

// firstTurn moves the turn to print page 1, told by a number only, to the start of
// the text, where the pages before it carry no number and the volume marks its turns
// in the text: the first page of the text has no head, and no print page comes before.
func (v *Volume) firstTurn() {
	if v.Marks+v.Rows == 0 {
		return
	}
	start := -1
	for k := range v.Units {
		u := &v.Units[k]
		if start < 0 && u.Page >= v.BodyPage {
			start = k
		}
		if start < 0 {
			continue
		}
		if len(u.Turns) > 0 {
			if t := &u.Turns[0]; t.Line < 0 && t.Label.Value == 1 && !t.Label.Roman && k > start && u.Page-v.Units[start].Page <= 2 {
				first := &v.Units[start]
				first.Turns, u.Turns = []PrintTurn{u.Turns[0]}, u.Turns[1:]
				first.Turns[0].Page = first.Page
			}
			return
		}
		if len(v.Inline[u.Line]) > 0 {
			return
		}
	}
}

// findLevels finds the indents, of three cells or more, at which lines of many
// lengths begin: levels of verse, lists or runovers, not of centred lines.
func (v *Volume) findLevels() {
	var in, out [24]int
	apart, tight := 0, 0
	for i := range v.Units {
		u := &v.Units[i]
		switch {
		case !u.Centred || u.PageTop || i > 0 && v.Units[i-1].Centred:
		case u.Blanks > 0 || i > 0 && v.Units[i-1].Rule:
			apart++
		default:
			tight++
		}
		if k := u.Indent(); k < 24 && !u.Rule {
			if u.Centred {
				in[k]++
			} else {
				out[k]++
			}
		}
	}
	for k := 3; k < 24; k++ {
		v.Levels[k] = out[k] >= 3 && out[k]*3 >= in[k]
	}
	v.HeadsApart = apart >= 5 && tight*9 <= apart
}

// findHabits finds out whether paragraphs are blocks (runs of four full lines
// or more at the margin between blank lines) or begin within lines, and whether
// pages are filled.
func (v *Volume) findHabits() {
	blocks, run := 0, 0
	short, pages := 0, 0
	for i := range v.Units {
		u := &v.Units[i]
		if u.PageTop && u.Page > v.BodyPage {
			pages++
			if u.Filler == 1 {
				short++
			}
		}
		switch {
		case u.PageTop && u.Blanks > 0 && v.Pages[u.Page].Head: // the blank line may only stand under the head
			run = -1000
		case u.From != 0 || u.Rule || i > 0 && u.Blanks == 0 && (v.Units[i-1].From != 0 || slack(&v.Units[i-1], u) >= 0):
			run = -1000
		case u.Blanks > 0 || i == 0:
			run = 1
		default:
			run++
		}
		if run == 4 {
			blocks++
		}
	}
	v.Blocked = blocks >= 2 && blocks*20 >= len(v.Pages)
	v.FullPages = short*6 <= pages
	v.Spaced = v.spaced()
}

// findCapitals finds out whether the volume is written without capital signs, as British
// braille was (Standard English Braille, common practice): under one line in twenty has a
// word that begins with one, of a hundred at least.
func (v *Volume) findCapitals() {
	from, with := v.firstUnitOf(v.BodyPage), 0
	lines := len(v.Units) - from
	for i := from; i < len(v.Units) && with*20 < lines; i++ {
		with += boolInt(capitalised(v.Units[i].Text))
	}
	v.Small = lines >= 100 && with*20 < lines
}

// findNumberEdge finds line numbers at the right margin: numbers after a gap
// that end at the right edge on five lines or more outside contents lists, or on two
// that count by five from the first on.
func (v *Volume) findNumberEdge() {
	n, edge := 0, v.TextWidth
	last, at, fives := 0, 0, true
	for i := range v.Units {
		u := &v.Units[i]
		if u.Page < v.BodyPage || int(u.To) < v.Width-1 || !marginNumber(u) {
			continue
		}
		n++
		edge = min(edge, int(u.From)+len(u.Text)-len(lastWord(u.Text))-2)
		l, _ := cell.ParseLabel(lastWord(u.Text))
		fives = fives && (l.Value == 5 || n > 1 && l.Value == last+5) && (l.Value == 5 || i-at >= 5)
		last, at = l.Value, i
	}
	if n >= 5 || n >= 2 && last >= 10 && fives {
		v.NumberEdge = v.reached(edge)
	}
}

// reached is the last cell that lines without a number reach beside margin
// numbers, edge at most: lines are kept short by the width of the longest number,
// those with short numbers too (BANA, Braille Formats 2016, section 15). Runs of
// lines that go beyond the edge are no numbered text.
func (v *Volume) reached(edge int) int {
	far, lines := 0, 0
	for i := v.firstUnitOf(v.BodyPage); i < len(v.Units); {
		j, most := i, 0
		for ; j < len(v.Units) && (j == i || v.Units[j].Blanks == 0); j++ {
			if u := &v.Units[j]; !marginNumber(u) && !u.Rule {
				most = max(most, int(u.To))
			}
		}
		if most <= edge {
			far, lines = max(far, most), lines+j-i
		}
		i = j
	}
	if lines < 40 {
		return edge
	}
	return far
}

// firstUnitOf is the first unit on a page or after it.
func (v *Volume) firstUnitOf(page int32) int {
	for i := range v.Units {
		if v.Units[i].Page >= page {
			return i
		}
	}
	return len(v.Units)
}

// fillerBefore counts blank lines at the end of the page before p, those that
// were trimmed from the file too.
func (v *Volume) fillerBefore(p int) int {
	if p == 0 {
		return 0
	}
	pg := &v.Pages[p-1]
	last := pg.First - 1
	for i := pg.First; i < pg.Last; i++ {
		if r := v.Lines[i].Role; r == layout.Text || r == layout.Turn {
			last = i
		}
	}
	end := pg.First + int32(v.Height)
	if pg.Bottom > last {
		end = pg.Bottom // a number on the last line
	} else if pg.Last > end {
		end = pg.Last
	}
	n := int(end-last) - 1
	if v.Pages[p-1].Double && n > 0 {
		n--
	}
	return max(n, 0)
}

// lastBlank is a blank line at the end of page p, -1 if none.
func (v *Volume) lastBlank(p int) int32 {
	pg := &v.Pages[p]
	for i := pg.Last - 1; i >= pg.First; i-- {
		switch v.Lines[i].Role {
		case layout.Empty:
			return i
		case layout.Text, layout.Turn, layout.Head:
			return -1
		}
	}
	return -1
}

// Where lines that nothing sets apart can be structure phrases: on the first
// pages of a volume, and of a file without pages on as many lines.
const (
	frontPages = 40
	frontLines = 2000
)

func (v *Volume) describe(u *Unit, l *layout.Line) {
	u.Text = v.TextOf(u.Line)
	u.Rule = IsRule(u.Text) && !(string(u.Text) == "9999" && u.From == 0) // a mark of a note, two asterisks
	u.wide, u.refs = wideGap(u.Text), HasReferences(u.Text)
	u.Centred = !u.Rule && v.Centred(u.Line) && !u.wide
	u.Avail = v.TextWidth
	if l.Right.To > 0 {
		u.Avail = int(l.Right.From) - v.room
	}
	if u.Centred || u.PageTop || u.Blanks > 0 || u.Page < frontPages && (u.Line < frontLines || u.Indent() > 2) {
		if len(u.Text) <= 60 {
			u.lookUp(v.Words)
		}
	}
}

// IsRule reports whether a text is a separator: one cell four times or more,
// perhaps after a line sign (dot 5) and before dot 3, with corner cells of a
// box or not; or asterisks (SEB and EBAE dots 35-35, UEB 5-35) and nothing else.
func IsRule(t []byte) bool {
	if len(t) < 3 {
		return false
	}
	if Asterisks(t) {
		return true
	}
	if t[0] == '"' && len(t) > 4 {
		t = t[1:]
	}
	if t[len(t)-1] == '\'' && len(t) > 4 {
		t = t[:len(t)-1]
	}
	if len(t) < 4 {
		return false
	}
	c := t[len(t)/2]
	if box(t, c) {
		return true
	}
	switch c {
	case '3', '-', '=', '7', '1', 'g', '\'', '"', '9', '2', ':', '_':
	default:
		return false
	}
	for _, x := range t {
		if x != c {
			return false
		}
	}
	return true
}

// box reports whether a text is the top or bottom line of a box: one cell
// repeated but for a corner in its first or second cell and in its last.
func box(t []byte, c byte) bool {
	if len(t) < 10 {
		return false
	}
	other := 0
	for i, x := range t {
		if x != c && i > 1 && i < len(t)-1 {
			return false
		}
		if x != c {
			other++
		}
	}
	return other <= 2
}

// Asterisks reports whether a text is asterisks only: a scene break.
func Asterisks(t []byte) bool {
	if len(t) < 2 || t[0] != '9' && t[0] != '"' {
		return false
	}
	for i := 0; i < len(t); {
		switch {
		case t[i] == cell.Blank:
			i++
			continue
		case t[i] == '9' && i+1 < len(t) && t[i+1] == '9', t[i] == '"' && i+1 < len(t) && t[i+1] == '9':
			i += 2
		case t[i] == '9':
			i++
		default:
			return false
		}
		if i < len(t) && t[i] != cell.Blank {
			return false
		}
	}
	return true
}

// turnTracker knows which print page the text is on.
type turnTracker struct {
	v   *Volume
	cur cell.Label
	set bool
}

func (t *turnTracker) line(i, page int32) PrintTurn {
	l := &t.v.Lines[i]
	raw := t.v.Raw(i)
	tr := PrintTurn{Line: i, Page: page, Row: l.Row, Bare: l.Bare}
	if !l.Bare && l.Label != nil {
		tr.Label = *l.Label
		t.cur, t.set = *l.Label, true
		if l.Label.Last > l.Label.Value {
			t.cur.Value = l.Label.Last
		}
	}
	if l.Row {
		if l.Right.To > 0 { // the braille page number
			raw = raw[:l.Text.To]
		}
		k := len(raw)
		for k > 0 && raw[k-1] != '-' {
			k--
		}
		if lab, ok := rangeStart(raw); ok {
			k = lab
		}
		tr.Text = raw[k:]
	}
	return tr
}

// rangeStart finds where the label of a row begins when it is a range, which
// holds a hyphen itself.
func rangeStart(raw []byte) (int, bool) {
	i := cell.Indent(raw)
	for i < len(raw) && raw[i] == '-' {
		i++
	}
	return i, i < len(raw)
}

// inline follows the marks within a line of text.
func (t *turnTracker) inline(i int32) {
	for _, lab := range t.v.Inline[i] {
		t.cur, t.set = lab, true
		t.cur.Value = lab.Last
	}
}

// atPage returns the turns that only the numbers on page p tell: a print page
// number that is new and has no mark of its own on the page.
func (t *turnTracker) atPage(p int) []PrintTurn {
	pg := &t.v.Pages[p]
	if pg.Print == nil || pg.Top < 0 {
		return nil
	}
	lab := *pg.Print
	out := t.fromHead(nil, p, lab, lab.Value)
	if lab.Last > lab.Value {
		out = t.fromHead(out, p, lab, lab.Last)
	}
	return out
}

// fromHead adds the turn to one print page, if it is new and not marked.
func (t *turnTracker) fromHead(out []PrintTurn, p int, lab cell.Label, value int) []PrintTurn {
	if lab.Prefix = lab.Own(); t.set && lab.Roman == t.cur.Roman && lab.Suffix == t.cur.Suffix && lab.Prefix == t.cur.Own() {
		if d := value - t.cur.Value; d == 0 || (d < 0 && d >= -3) {
			return out
		}
	}
	if t.markedOn(p, value, lab) {
		return out
	}
	lab.Value, lab.Last = value, value
	t.cur, t.set = lab, true
	return append(out, PrintTurn{Line: -1, Page: int32(p), Label: lab, Text: lab.Cells()})
}

// markedOn reports whether the turn to a print page is marked in the text of
// page p.
func (t *turnTracker) markedOn(p, value int, want cell.Label) bool {
	same := func(l *cell.Label) bool {
		return (l.Value == value || l.Last == value) && l.Roman == want.Roman && l.Suffix == want.Suffix && (l.Own() == want.Prefix || l.Last > l.Value)
	}
	pg := &t.v.Pages[p]
	for i := pg.First; i < pg.Last; i++ {
		l := &t.v.Lines[i]
		if l.Role == layout.Turn && !l.Bare && l.Label != nil && same(l.Label) {
			return true
		}
		for _, lab := range t.v.Inline[i] {
			if same(&lab) {
				return true
			}
		}
	}
	return false
}
