package assemble

import (
	"bytes"
	"fmt"
	"slices"
	"sort"
	"strings"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/decide"
	"continuo/internal/diag"
	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/profile"
	"continuo/internal/source"
	"continuo/internal/structure"
)

// Options are the settings of one conversion that shape the book itself.
type Options struct {
	Profile     profile.Profile
	DropMarkers bool            // leave out end markers
	Rejoin      string          // hyphens at line ends: "always", "evidence" or "never" drop them
	Decided     *decide.Decided // what people decided; nil for nothing
}

// Result is a book and what was noticed while making it.
type Result struct {
	Book     *book.Book
	Findings []diag.Finding
	Variant  english.Variant
	Headings int // lines of headings: a heading of two lines counts as two
	Turns    int
	Entries  int    // dictionary entries
	Parents  int    // headings that carry the name of their book
	Mark     string // cells before the headword of each, "" if none
}

// fate of a unit in the edition.
type fate uint8

const (
	asText   fate = iota
	out           // left out
	asTitle       // line of the title page
	asList        // part of the one contents list
	asNotes       // gathered notes
	asPrelim      // preliminary matter that only a later volume has
	asFoot        // notes that stood within the text
	asSymbol      // special symbols that only a later volume has
	asRemark      // transcriber's notes that only a later volume has
)

type assembly struct {
	setIn      [7]bool // cells at which headings begin, see headIndents
	o          Options
	vols       []*structure.Volume
	b          *book.Book
	det        english.Detection
	variant    english.Variant
	read       english.Variant // what the book is read with
	reader     *english.Reader // reads blocks one by one, see print
	set        []byte          // the block that it reads
	fates      [][]fate
	findings   []diag.Finding
	stateUnit  int // unit of the title page that the edition statement replaces, -1 if none
	flow       *structure.Flow
	join       *joiner
	list       contentsList
	inner      []listLine // entries of contents lists within the text, see innerLists
	innerHeads []place    // headings of these lists
	notes      notebook
	over       map[int]structure.NoteGroup // volumes whose text begins with notes that go on from the volume before
	facing     []facingPair
	bodyAt     int                // first block of the text
	heads      map[string][]place // headings of the text by their words
	places     []place            // the same, each once, in reading order
	numbered   *[]numberHead      // those that are a number alone, nil before they are asked for
	entryMark  string             // see entries
	nEntries   int
	nParents   int                 // headings with the name of their book, see parents
	refPlaces  map[[2]int32]string // volume and line of a reference to a paper page: where that page is

	refLines              [][]bool              // see mayRefer
	paperIndex, paperText map[sourceCell]onPage // page numbers that stay though they are pages of the paper, see paperNumbers

	exercise   *exercise      // the last one asked for, see exerciseOf
	quantities []quantityKind // what the blocks begin with, see lineForms
}

// Make assembles the volumes of a title, in reading order.
func Make(t Title, det english.Detection, o Options) *Result {
	a := &assembly{o: o, vols: t.Volumes, det: det, variant: det.Variant, read: det.Best()}
	files := make([]*source.File, len(a.vols))
	for i, v := range a.vols {
		v.Index = int32(i)
		for k := range v.Units {
			v.Units[k].Vol = int32(i)
			own(v.Units[k].Turns, i)
		}
		own(v.Tail, i)
		files[i] = v.File
		a.fates = append(a.fates, make([]fate, len(v.Units)))
	}
	a.b = book.NewBook(files)
	a.join = newJoiner(a)
	a.furniture()
	for i, v := range a.vols {
		if v.RepeatOf != nil {
			a.leaveAll(i)
		}
	}
	a.sameOpenings()
	a.personal()
	a.titlePage()
	a.repeats()
	a.contents()
	a.ends()
	a.joinNotes()
	a.startFlow()
	a.lay()
	a.innerLists()
	a.correct()
	a.paperRefs()
	a.paperNumbers()
	a.entries()
	a.parents()
	a.makeContents()
	a.links()
	a.widths()
	return a.result()
}

// own says which volume print page turns stand in.
func own(turns []structure.PrintTurn, vol int) {
	for k := range turns {
		turns[k].Vol = int32(vol)
	}
}

func (a *assembly) why(class, why, evidence string, confidence float64) book.ReasonID {
	return a.b.Why(book.Reason{Class: class, Why: why, Evidence: evidence, Confidence: confidence})
}

func (a *assembly) find(s diag.Severity, id string, v *structure.Volume, line int32, format string, args ...any) {
	p := diag.Place{File: v.File.Name}
	f := diag.Finding{ID: id, Severity: s, Text: fmt.Sprintf(format, args...)}
	if line >= 0 {
		pg := v.PageOf[line]
		p.Page, p.Line = int(pg)+1, int(line-v.Pages[pg].First)+1
		f.Cells = string(v.Raw(line))
	}
	f.Place = p
	a.findings = append(a.findings, f)
}

// furniture leaves out heads, numbers and blank lines, and cuts numbers off
// text.
func (a *assembly) furniture() {
	where, heads, pages := a.slotWords(), 0, 0
	for _, v := range a.vols {
		heads, pages = heads+v.Heads, pages+len(v.Pages)
	}
	for i, v := range a.vols {
		head := a.why("head", "page head", fmt.Sprintf("%d of %d pages alike", heads, pages), 0.98)
		number := a.why("page-number", "page number", where, 0.97)
		filler := a.why("filler", "blank without meaning", "fills a page or beside another", 0.95)
		spacing := a.why("spacing", "double line spacing", "after nearly every line of its page", 0.98)
		for k := range v.Lines {
			l := &v.Lines[k]
			switch l.Role {
			case layout.Head:
				if a.b.Out[i][k] = head; structure.IsRule(v.TextOf(int32(k))) {
					a.b.Out[i][k] = a.framed()
				}
			case layout.Number:
				a.b.Out[i][k] = number
			case layout.Empty:
				a.b.Out[i][k] = filler
			case layout.Spacing:
				a.b.Out[i][k] = spacing
			case layout.Text:
				a.cuts(i, int32(k), l, number)
			case layout.Turn:
				if !l.Row || l.Right.To > 0 {
					a.cuts(i, int32(k), l, number)
				}
			}
		}
		for _, o := range v.Oddities {
			a.oddity(i, o)
		}
	}
}

func (a *assembly) cuts(vol int, line int32, l *layout.Line, why book.ReasonID) {
	for _, s := range []layout.Span{l.Left, l.Right} {
		if s.To > 0 {
			a.b.AddCut(vol, line, book.Cut{From: s.From, To: s.To, Reason: why})
		}
	}
}

// framed is why a rule goes that framed what was left out.
func (a *assembly) framed() book.ReasonID {
	return a.why("marker", "framed what was left out", "beside it", 0.9)
}

// slotWords says in plain words where numbers stand in the volumes.
func (a *assembly) slotWords() string {
	var parts []string
	for s := layout.Slot(0); s < layout.NSlots; s++ {
		var has [layout.VolumeMark + 1]bool
		for _, v := range a.vols {
			has[v.Slots[s]] = true
		}
		if has[layout.BraillePage] {
			parts = append(parts, "braille page: "+s.String())
		}
		if has[layout.PrintPage] {
			parts = append(parts, "print page: "+s.String())
		}
	}
	if len(parts) == 0 {
		return "no page numbers"
	}
	return strings.Join(parts, "; ")
}

// leave leaves a unit out, unless a person wants it kept. What was cut off its
// line goes with it.
func (a *assembly) leave(vol, unit int, why book.ReasonID) bool {
	u := &a.vols[vol].Units[unit]
	if a.wanted(vol, unit) {
		a.keepWanted(vol, unit)
		return false
	}
	a.fates[vol][unit] = out
	a.b.Out[vol][u.Line] = why
	delete(a.b.Cuts[vol], u.Line)
	return true
}

func (a *assembly) leaveAll(vol int) {
	why := a.why("duplicate", "file repeats another one", "the same bytes as "+a.vols[vol].RepeatOf.File.Name, 1)
	for k := range a.b.Out[vol] {
		a.b.Out[vol][k] = why
		delete(a.b.Cuts[vol], int32(k))
	}
	for u := range a.fates[vol] {
		a.fates[vol][u] = out
	}
	v := a.vols[vol]
	for u := range v.Units {
		v.Units[u].Turns = nil
	}
	v.Tail = nil
}

// first is the volume whose title page the book keeps.
func (a *assembly) first() int {
	for i, v := range a.vols {
		if v.RepeatOf == nil && v.Title[1] > v.Title[0] {
			return i
		}
	}
	return 0
}

// ends leaves out what only says that a volume ends, and the title where a
// later volume repeats it at the start of its text.
func (a *assembly) ends() {
	first, text := a.first(), a.firstText()
	a.nameEnds()
	for i, v := range a.vols {
		if v.RepeatOf != nil {
			continue
		}
		a.endLines(i, v)
		if i != first && i != text {
			a.titleAgain(i, v)
			a.statementAgain(i, v)
			if a.goesOnAgain(i, v) {
				a.titleAgain(i, v) // it stood under the name of the part
			}
		} else {
			a.statementAgain(i, v)
		}
	}
	a.askEnds()
	for i, v := range a.vols {
		if v.RepeatOf != nil || !a.notesOver(i) {
			continue
		}
		for k := v.Notes[0]; k < v.Notes[1]; k++ {
			if a.fates[i][k] == asText {
				a.fates[i][k] = asNotes
			}
		}
	}
}

// firstText is the first volume that holds text of the book, not only
// preliminary matter.
func (a *assembly) firstText() int {
	for i, v := range a.vols {
		if v.RepeatOf == nil && !v.Prelim {
			return i
		}
	}
	return 0
}

func (a *assembly) lastVolume() int {
	for i := len(a.vols) - 1; i >= 0; i-- {
		if a.vols[i].RepeatOf == nil {
			return i
		}
	}
	return 0
}

func (a *assembly) endLines(i int, v *structure.Volume) {
	why := a.why("volume-end", "volume ends", "wording, last lines of the file", 0.98)
	marker := a.framed()
	last := i == a.lastVolume()
	ended := false
	for k := v.End[0]; k < v.End[1]; k++ {
		u := &v.Units[k]
		switch {
		case a.fates[i][k] == asList: // a contents list at the end of the file
		case otherEnd(v, u): // a line of the book
		case u.HasPhrase && (u.Phrase.ID == english.EndOfVolume || u.Phrase.ID == english.ContinuedIn):
			a.leave(i, k, why)
			ended = true
		case ended && u.Centred && i < a.lastVolume() && pointsTo(v, u, v.Number+1): // "now read volume 2"
			a.leave(i, k, why)
		case u.Rule && !ended && (a.endMarker(i, v) || a.partsScenes(u.Text)):
		case u.Rule && (!last || ended):
			a.leave(i, k, marker)
		}
	}
	if t := v.EndTail; t.To > 0 {
		a.b.AddCut(i, v.EndLine, book.Cut{From: t.From, To: t.To, Reason: why})
	}
}

// otherEnd reports whether a line says that another volume ends than its own, which ends
// with a line that says so: the print book had volumes too.
func otherEnd(v *structure.Volume, u *structure.Unit) bool {
	names := func(u *structure.Unit, own bool) bool {
		return u.HasPhrase && u.Phrase.ID == english.EndOfVolume && u.Phrase.N > 0 && (u.Phrase.N == v.Number) == own
	}
	if v.Number == 0 || !names(u, false) {
		return false
	}
	for k := v.End[0]; k < v.End[1]; k++ {
		if names(&v.Units[k], true) {
			return true
		}
	}
	return false
}

// endMarker reports whether the rule before an end-of-volume line closes a
// chapter: chapters of the volume close with a rule, and the next volume
// begins with a heading.
func (a *assembly) endMarker(i int, v *structure.Volume) bool {
	marked := false
	for k := a.bodyUnit(v); k+1 < v.End[0] && !marked; k++ {
		marked = v.Units[k].Rule && headlike(&v.Units[k+1]) && k > a.bodyUnit(v)+2
	}
	if !marked || i+1 >= len(a.vols) {
		return marked
	}
	next := a.vols[i+1]
	for k := range next.Units {
		if u := &next.Units[k]; a.fates[i+1][k] == asText && u.Page >= next.BodyPage && !u.Rule && !a.alikeTitle(u.Text) {
			return headlike(u)
		}
	}
	return false
}

// partsScenes reports whether a rule stands between paragraphs three times, and on no
// title page: before the end of a volume, too, it parts scenes of the text.
func (a *assembly) partsScenes(rule []byte) bool {
	n := 0
	for _, v := range a.vols {
		for k := range v.Units {
			switch {
			case !v.Units[k].Rule || !bytes.Equal(v.Units[k].Text, rule):
			case k < v.Title[1]:
				return false
			case k > a.bodyUnit(v) && k+1 < v.End[0] && !headlike(&v.Units[k-1]) && !headlike(&v.Units[k+1]):
				n++
			}
		}
	}
	return n >= 3
}

// headlike reports whether a unit can be a heading: it begins in cell 4 or
// later, or is a structure word.
func headlike(u *structure.Unit) bool {
	return !u.Rule && (u.Centred || u.Indent() >= 3 || u.HasPhrase)
}

// authorOf is the name that a line says after the word by, in the words to be compared, or "".
func authorOf(v *structure.Volume, u *structure.Unit) string {
	p, ok := v.Words.Prefix(u.Text)
	if !ok || p.ID != english.By || len(p.Tail) == 0 {
		return ""
	}
	return layout.Normal(p.Tail)
}

// openedWith reports whether the text of the first volume begins with the words of a line too, on one of its first lines.
func (a *assembly) openedWith(u *structure.Unit) bool {
	ref, words := a.vols[a.first()], layout.Normal(u.Text)
	for k, n := a.bodyUnit(ref), 0; k < len(ref.Units) && n < 6; k, n = k+1, n+1 {
		if layout.Normal(ref.Units[k].Text) == words {
			return true
		}
	}
	return false
}

// titleAgain leaves out the title at the start of a later volume's text, and
// the rule under it.
func (a *assembly) titleAgain(i int, v *structure.Volume) {
	ref := a.vols[a.first()]
	titles := map[string]bool{}
	for k := ref.Title[0]; k < ref.Title[1]; k++ {
		titles[layout.Normal(ref.Units[k].Text)] = true
	}
	head := ref.TitleLines()
	if own := v.TitleLines(); strings.Join(own, " ") == strings.Join(head, " ") { // other paper, other lines
		for _, l := range append(own, strings.Join(head, " ")) {
			titles[l] = true
		}
	}
	why := a.why("title-repeat", "title again before a later volume's text", "same words on the first title page", 0.97)
	marker := a.why("marker", "line under a repeated title", "under it", 0.9)
	k := 0
	for k < len(v.Units) && a.fates[i][k] != asText {
		k++
	}
	hit := false
	for n := a.titleInLines(i, k); n > 0; k, n = k+1, n-1 {
		a.leave(i, k, why)
		hit = true
	}
	for n := 0; k < len(v.Units) && n < 6; k, n = k+1, n+1 {
		u := &v.Units[k]
		if u.HasPhrase && u.Phrase.ID == english.By && len(u.Phrase.Tail) == 0 && !(k+1 < len(v.Units) && titles[layout.Normal(v.Units[k+1].Text)]) {
			return // the last word of a sentence before a print page turn, not of an author
		}
		author := hit && n == 0 && titles[authorOf(v, u)] && a.openedWith(u)
		same := headlike(u) && (titles[layout.Normal(u.Text)] || author) || u.Centred && alikeAny(head, layout.Normal(u.Text)) // a page number beside it moves the middle
		switch {
		case same && !u.Rule && !titles[layout.Normal(u.Text)] && !author && !exactly(head, layout.Normal(u.Text)):
			a.leaveAsked(i, k, why, "it is like the title, but not the same")
			hit = true
		case same && !u.Rule:
			a.leave(i, k, why)
			hit = true
		case u.Rule && hit:
			if a.underTitle(i, u.Text) {
				a.leave(i, k, marker)
			}
			return
		default:
			return
		}
	}
}

// titleInLines is how many lines from unit k of a volume on have the words of lines of the
// title page, 0 if none do: a title of several lines is divided where its page has room, and at
// the start of the text a page number or a narrower middle leaves less than on the title page.
func (a *assembly) titleInLines(i, k int) int {
	v := a.vols[i]
	words, n := "", 0
	for j := k; j < len(v.Units) && j < k+6 && v.Units[j].Page == v.Units[k].Page; j++ {
		u := &v.Units[j]
		wide := j == k && int(u.To)+roomForWord > v.TextWidth // in the middle, and begins where paragraphs do
		if a.fates[i][j] != asText || !headlike(u) && !wide || j > k && u.Blanks > 0 {
			break
		}
		words = strings.TrimPrefix(words+" "+layout.Normal(u.Text), " ")
		if a.onTitlePage(words) && headlike(u) {
			n = j + 1 - k
		}
	}
	return n
}

// roomForWord is how many cells at the end of a line most words fit in.
const roomForWord = 8

// onTitlePage reports whether lines of the first title page that follow each other have these
// words, all of them and no others.
func (a *assembly) onTitlePage(words string) bool {
	v := a.vols[a.first()]
	for from := v.Title[0]; from < v.Title[1]; from++ {
		row := ""
		for k := from; k < v.Title[1] && len(row) < len(words); k++ {
			u := &v.Units[k]
			if u.Rule || k > from && u.Blanks > 0 {
				break
			}
			if row = strings.TrimPrefix(row+" "+layout.Normal(u.Text), " "); row == words {
				return true
			}
		}
	}
	return false
}

// farFront is how many lines of preliminary matter of a first volume are so many that a volume
// statement after them is no sign of the start of the volume.
const farFront = 50

// statementAgain leaves out the volume statement under the title at the start of a volume's
// text (common practice), and the rule under it, unless the book has volumes of its own in
// print: then a heading names one elsewhere too.
func (a *assembly) statementAgain(i int, v *structure.Volume) {
	k := a.bodyUnit(v)
	titled := false
	for ; k < len(v.Units) && !v.Units[k].Rule && (a.fates[i][k] == out || v.Units[k].Centred && a.alikeTitle(v.Units[k].Text)); k++ {
		titled = true
	}
	named := func(v *structure.Volume, k int) bool {
		u := &v.Units[k]
		return u.Centred && u.HasPhrase && u.Phrase.ID == english.Volume && u.Phrase.N > 0
	}
	if !titled || k >= len(v.Units) || k >= farFront && i == a.first() || a.fates[i][k] != asText || !named(v, k) || v.Units[k].Phrase.N != v.Number {
		return
	}
	for j, o := range a.vols {
		for n := a.bodyUnit(o) + 8; n < len(o.Units); n++ {
			if a.fates[j][n] == asText && named(o, n) && n < o.End[0] {
				return
			}
		}
	}
	a.leave(i, k, a.why("volume-statement", "names volume or pages", "wording, under the title before the text", 0.95))
	if n := k + 1; i != a.first() && n < len(v.Units) && v.Units[n].Rule && a.underTitle(i, v.Units[n].Text) {
		a.leave(i, n, a.why("marker", "line under a repeated title", "under it", 0.9))
	}
}

// underTitle reports whether a rule under the title at the start of a volume's text belongs to
// the title: it stands so in another volume, or it is an unbroken row that the title page
// has too and the title does not stand at the start of two other volumes without it. Other rows
// and asterisks part scenes of the text.
func (a *assembly) underTitle(vol int, rule []byte) bool {
	bare := 0
	for i, v := range a.vols {
		if i == vol {
			continue
		}
		under, titled := a.ruleUnderTitle(v)
		if bytes.Equal(under, rule) {
			return true
		}
		bare += boolInt(titled && under == nil)
	}
	v := a.vols[a.first()]
	for k := v.Title[0]; k < v.Title[1] && bare < 2 && !layout.Broken(rule); k++ {
		if u := &v.Units[k]; u.Rule && bytes.Equal(u.Text, rule) {
			return true
		}
	}
	return false
}

// ruleUnderTitle is the rule under the title at the start of a volume's text, nil if there
// is none, and whether the title stands there.
func (a *assembly) ruleUnderTitle(v *structure.Volume) (rule []byte, titled bool) {
	for k := a.bodyUnit(v); k < len(v.Units); k++ {
		switch u := &v.Units[k]; {
		case u.Centred && !u.Rule && a.alikeTitle(u.Text):
			titled = true
		case titled && u.Centred && u.HasPhrase && u.Phrase.ID == english.Volume:
		case titled && u.Rule:
			return u.Text, true
		default:
			return nil, titled
		}
	}
	return nil, titled
}

func exactly(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

func alikeAny(list []string, s string) bool {
	for _, x := range list {
		if layout.Alike(x, s) {
			return true
		}
	}
	return false
}

// startFlow readies the flow of running text.
func (a *assembly) startFlow() {
	st := structure.Style{HeadingIndent: a.o.Profile.HeadingIndent, Turns: a.o.Profile.Turns, Tables: a.o.Profile.Tables}
	rows, marks, right := 0, 0, 0
	for _, v := range a.vols {
		rows += v.Rows
		marks += v.Marks
		if v.Slots[layout.TopRight] == layout.PrintPage || v.Slots[layout.BottomRight] == layout.PrintPage {
			right++
		}
	}
	st.RowTurns = rows > marks || (rows == marks && right > 0)
	structure.MarkHeadwords(a.vols, a.read)
	f := structure.NewFlow(a.b, a.vols, st)
	f.Join = a.join.join
	f.Break = a.breaks
	f.Why.Turn = a.why("turn", "turn in its short form", "row of dots 3-6", 0.99)
	f.Why.TurnHead = a.why("turn", "turn known from page numbers", "the print page changes there", 0.8)
	f.Why.Note = a.why("notes", "note after its paragraph", "its mark and the reference's are the same", 0.9)
	f.Why.Table = a.why("table-label", "heading of a column before its value", "it stands over it, a line under the headings", 0.95)
	f.Why.Cell = a.why("table-cell", "cell of several lines put together", "runovers two cells further in, in its column", 0.9)
	f.Why.Heads = a.why("table-heads", "headings of a table again", "the same lines at the top of a page, each value has its heading", 0.95)
	f.Why.Blank = a.why("filler", "blank set by the tool", "before a heading or after the title page", 1)
	a.flow = f
	a.findFacing()
}

// lay puts the parts of the book in order.
func (a *assembly) lay() {
	a.dropMarkers()
	a.oneNotesHeading()
	a.handOnTurns()
	first := a.first()
	a.layTitle(first)
	n := len(a.b.Blocks)
	prelims := a.why("prelims", "only a later volume has it", "before the text of its volume", 0.8)
	for i := 0; i < first; i++ {
		a.flowRange(i, 0, a.bodyUnit(a.vols[i]), asText, 0)
	}
	at := a.listStart(first)
	a.layFront(first, 0, at)
	list := len(a.b.Blocks)
	a.layList(first, at)
	front := len(a.b.Blocks)
	a.layFront(first, at, a.bodyUnit(a.vols[first]))
	for i := range a.vols {
		a.flowFate(i, asPrelim, prelims)
	}
	body := len(a.b.Blocks)
	a.bodyAt = body
	a.flowBody(first)
	a.titleApart(body)
	notes := len(a.b.Blocks)
	a.layNotes()
	end := len(a.b.Blocks)
	a.flow.Tail(a.vols[a.lastVolume()])
	a.frontMoved(body, prelims)
	a.tellTables()
	a.mark([]int{0, n, list, front, body, notes, end})
}

// titleApart puts a blank line between the title at the start of the text, block at or
// the one after a print page turn there, and the first heading, where the paper has
// neither a blank line nor a rule: they are not one heading.
func (a *assembly) titleApart(at int) {
	v := a.vols[a.first()]
	title, seen := strings.Join(v.TitleLines(), " "), ""
	if at < len(a.b.Blocks) && a.b.Blocks[at].Kind == book.Turn {
		at++
	}
	for k := at; k+1 < len(a.b.Blocks) && a.b.Blocks[k].Kind == book.Heading; k++ {
		text, _ := a.blockText(&a.b.Blocks[k])
		if seen = strings.TrimSpace(seen + " " + layout.Normal(text)); !strings.HasPrefix(title, seen) {
			return
		}
		if next := &a.b.Blocks[k+1]; seen == title && next.Kind == book.Heading && !next.Blank.Want && !a.ruleBetween(&a.b.Blocks[k], next) {
			next.Blank = book.Blank{Want: true, Reason: a.flow.Why.Blank}
			return
		}
	}
}

// ruleBetween reports whether a rule stands between two blocks on the paper.
func (a *assembly) ruleBetween(above, under *book.Block) bool {
	_, from, ok := sourceLines(above)
	to, _, both := sourceLines(under)
	if !ok || !both || from[0] != to[0] {
		return true
	}
	for i := range a.vols[from[0]].Units {
		if u := &a.vols[from[0]].Units[i]; u.Rule && u.Line > from[1] && u.Line < to[1] {
			return true
		}
	}
	return false
}

// frontMoved marks what stands before the text, up to block body, as moved where
// it comes after some of that text in the sources: preliminary matter of a later
// volume when the first has none, a contents list behind the text.
func (a *assembly) frontMoved(body int, why book.ReasonID) {
	least := [2]int32{1 << 30, 0} // volume and line of the earliest text behind
	for k := len(a.b.Blocks) - 1; k >= 0; k-- {
		bl := &a.b.Blocks[k]
		from, to, ok := sourceLines(bl)
		switch {
		case !ok || bl.Moved != 0:
		case k < body && comesBefore(least, to):
			bl.Moved = why
		case comesBefore(from, least):
			least = from
		}
	}
}

// sourceLines are the first and last lines of the sources, volume and line, that
// a block has pieces of; false when it has none.
func sourceLines(bl *book.Block) (from, to [2]int32, ok bool) {
	for _, p := range bl.Pieces {
		at := [2]int32{p.Vol, p.Line}
		if p.Vol < 0 {
			continue
		}
		if !ok || comesBefore(at, from) {
			from = at
		}
		if !ok || comesBefore(to, at) {
			to = at
		}
		ok = true
	}
	return from, to, ok
}

// comesBefore reports whether a place, volume and line, comes before another.
func comesBefore(a, b [2]int32) bool { return a[0] < b[0] || a[0] == b[0] && a[1] < b[1] }

// mark says which part of the book each block belongs to, what it is, and which
// headings the contents list names. The parts begin at blocks at: title page,
// preliminary matter, contents list, preliminary matter, text, notes, the rest.
func (a *assembly) mark(at []int) {
	for k, p := range []book.Part{book.TitlePage, book.Prelims, book.ContentsList, book.Prelims, book.Text, book.NotesPart} {
		for i := at[k]; i < at[k+1]; i++ {
			a.b.Blocks[i].Part = p
		}
	}
	a.outerMatter(at[4])
	a.forms()
	a.speeches()
	a.lineForms()
}

// links finds the print page turns, joins the places of the edition that point
// at others, and gives the headings their levels, when no block changes any more.
func (a *assembly) links() {
	a.b.Turns = a.turnMarks()
	index := a.blockIndex()
	a.listLinks(index)
	a.innerLinks(index)
	a.noteLinks(index)
	a.crossRefs(index)
	sort.SliceStable(a.b.Links, func(i, j int) bool { return a.b.Links[i].Block < a.b.Links[j].Block })
	a.levels()
}

// layFront lays the preliminary matter of the first volume from unit from up to
// unit to; new special symbols and transcriber's notes of later volumes stand
// after its own.
func (a *assembly) layFront(first, from, to int) {
	moved := a.why("prelims", "only a later volume has it", "same part of that volume's preliminary matter", 0.9)
	late := []struct {
		end int
		of  fate
	}{{a.matterEnd(english.SpecialSymbols), asSymbol}, {a.matterEnd(english.TranscribersNotes), asRemark}}
	if late[0].end > late[1].end {
		late[0], late[1] = late[1], late[0]
	}
	for _, m := range late {
		if m.end <= from || m.end > to {
			continue
		}
		a.flowRange(first, from, m.end, asText, 0)
		from = m.end
		for i := range a.vols {
			at := len(a.b.Blocks)
			if a.flowFate(i, m.of, moved); at < len(a.b.Blocks) {
				a.b.Blocks[at].Blank = book.Blank{} // it goes on what stands before
			}
		}
	}
	a.flowRange(first, from, to, asText, 0)
}

// bodyUnit is the first unit of a volume's text.
func (a *assembly) bodyUnit(v *structure.Volume) int {
	if v.Prelim && len(a.vols) > 1 {
		return len(v.Units)
	}
	for k := range v.Units {
		if v.Units[k].Page >= v.BodyPage {
			return k
		}
	}
	return len(v.Units)
}

func (a *assembly) flowRange(i, from, to int, want fate, moved book.ReasonID) {
	var us []*structure.Unit
	for k := from; k < to; k++ {
		if a.fates[i][k] == want {
			us = append(us, &a.vols[i].Units[k])
		}
	}
	if len(us) > 0 {
		a.flow.Text(us, moved)
	}
}

func (a *assembly) flowFate(i int, want fate, moved book.ReasonID) {
	a.flowRange(i, 0, len(a.vols[i].Units), want, moved)
}

// flowStart is the unit of volume i from which on its text flows with that of
// the others; first is the first volume with a title page.
func (a *assembly) flowStart(i, first int) int {
	if i <= first {
		return a.bodyUnit(a.vols[i])
	}
	return 0
}

// flowBody flows the text of all volumes as one.
func (a *assembly) flowBody(first int) {
	n := 0
	for _, v := range a.vols {
		n += len(v.Units)
	}
	us := make([]*structure.Unit, 0, n)
	a.b.Blocks = slices.Grow(a.b.Blocks, n/3) // a paragraph has some three lines or more
	for i, v := range a.vols {
		for k := a.flowStart(i, first); k < len(v.Units); k++ {
			if a.fates[i][k] == asText {
				us = append(us, &v.Units[k])
			}
		}
	}
	if len(us) > 0 {
		a.flow.Text(us, 0)
	}
}

// textAfterNotes reports whether text of a volume stands after its notes.
func (a *assembly) textAfterNotes(i int) bool {
	notes := false
	for _, f := range a.fates[i] {
		if notes && f == asText {
			return true
		}
		notes = notes || f == asNotes
	}
	return false
}

// layNotes puts the notes of the volumes before the last after the text, each
// group under its own heading and with the name of the part it belongs to.
func (a *assembly) layNotes() {
	why := a.why("notes", "notes gathered after the text", "end of the volume, under a heading of notes", 0.9)
	groups := 0
	for i := range a.vols {
		groups += boolInt(a.hasNotes(i, a.over[i].To))
	}
	moved, label := a.footNotes()
	label = label || groups > 1 && a.restarts()
	var names *noteNames
	if label {
		names = a.noteNames()
	}
	if moved && groups == 0 && !a.headedNotes() {
		a.notesHeading(why)
	}
	for i := range a.vols {
		a.layFootNotes(i, names, why)
		if count(a.fates[i], asNotes) == 0 {
			continue
		}
		at := len(a.b.Blocks)
		if a.layGathered(i, why); at == len(a.b.Blocks) {
			continue // they went on those of the volume before
		}
		if names != nil {
			a.labelGroup(i, at, names, why)
		}
		if at > 0 && at < len(a.b.Blocks) && a.b.Blocks[at].Kind != book.Label && a.vols[i].Notes[1] > a.vols[i].Notes[0] && a.fates[i][a.vols[i].Notes[0]] == out {
			noBlank(a.b, at) // they go on those before, under one heading
		}
	}
}

// footNotes reports whether notes from within the text go to the end, and
// whether marks come again among all notes that stand there: then each group
// needs the name of its chapter.
func (a *assembly) footNotes() (moved, again bool) {
	seen := map[structure.NoteMark]bool{}
	for _, n := range a.notes.notes {
		g := &a.notes.groups[n.group]
		moved = moved || g.moved
		if g.moved || g.Place == structure.AtVolume {
			again = again || seen[n.mark]
			seen[n.mark] = true
		}
	}
	return moved, moved && again
}

func count(fates []fate, want fate) int {
	n := 0
	for _, f := range fates {
		if f == want {
			n++
		}
	}
	return n
}

// restarts reports whether the notes of the volumes are numbered anew: then
// each group needs the name of its part.
func (a *assembly) restarts() bool {
	last := -1
	for _, n := range a.notes.notes {
		if a.notes.groups[n.group].Place != structure.AtVolume || !n.mark.Number() || a.fates[n.vol][n.unit] != asNotes {
			continue
		}
		if n.mark.N <= last {
			return true
		}
		last = n.mark.N
	}
	return false
}

// clean copies cells that are braille; a text with foreign bytes gives none.
func clean(t []byte) []byte {
	for _, c := range t {
		if !cell.Is(c) {
			return nil
		}
	}
	return append([]byte(nil), t...)
}

// dropMarkers leaves out end markers when asked: rules after which a heading
// or nothing follows.
func (a *assembly) dropMarkers() {
	if !a.o.DropMarkers {
		return
	}
	why := a.why("marker", "end marker", "left out by request", 1)
	for i, v := range a.vols {
		for k := range v.Units {
			u := &v.Units[k]
			if a.fates[i][k] != asText || !u.Rule || structure.Asterisks(u.Text) {
				continue
			}
			if k+1 == len(v.Units) || v.Units[k+1].Centred {
				a.leave(i, k, why)
			}
		}
	}
}

// handOnTurns moves the print page turns before units that are left out, or
// stand elsewhere, to the next unit of the text, so that none is lost.
func (a *assembly) handOnTurns() {
	for i, v := range a.vols {
		var pending []structure.PrintTurn
		for k := range v.Units {
			u := &v.Units[k]
			if f := a.fates[i][k]; f == out || f == asFoot {
				pending = append(pending, u.Turns...)
				u.Turns = nil
				continue
			}
			if len(pending) > 0 {
				u.Turns = append(v.StillOn(pending, u.Page), u.Turns...)
				pending = nil
			}
		}
		v.Tail = append(pending, v.Tail...)
	}
	a.handOnTails()
}

// handOnTails moves the print page turns after the last text of a volume to
// the first text of the next.
func (a *assembly) handOnTails() {
	var pending []structure.PrintTurn
	first, last := a.first(), a.lastVolume()
	for i, v := range a.vols {
		for k := a.flowStart(i, first); k < len(v.Units); k++ {
			if len(pending) > 0 && a.fates[i][k] == asText {
				v.Units[k].Turns = append(pending, v.Units[k].Turns...)
				pending = nil
			}
		}
		if i != last && v.RepeatOf == nil {
			for _, t := range v.Tail {
				if t.Line >= 0 {
					pending = append(pending, t)
				}
			}
			v.Tail = nil
		}
	}
	a.vols[last].Tail = append(pending, a.vols[last].Tail...)
}

// widths sets the width of the book and shortens rules that are wider.
func (a *assembly) widths() {
	for _, v := range a.vols {
		a.b.Width = max(a.b.Width, v.Width)
	}
}

func (a *assembly) result() *Result {
	r := &Result{Book: a.b, Findings: a.findings, Variant: a.variant, Entries: a.nEntries, Parents: a.nParents, Mark: a.entryMark}
	r.Turns = len(a.b.Turns)
	for i := range a.b.Blocks {
		if a.b.Blocks[i].Kind == book.Heading {
			r.Headings++
		}
	}
	return r
}
