package convert

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"

	"continuo/internal/account"
	"continuo/internal/assemble"
	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/english"
	"continuo/internal/finders"
	"continuo/internal/source"
	"continuo/internal/structure"
)

// Edition is an edition that is converted again: the file, and the account
// beside it. Of an eBraille publication there may be no account.
type Edition struct {
	File        *source.File
	Account     []byte
	AccountName string // base name of the account's file
}

// Again converts an edition again, to another width, without the volumes. The
// account of the new edition is about the old one, and names the old one's
// account. Profile and hyphens stay as the old edition has them, and so do end
// markers unless they are to go.
func Again(e Edition, o Options) (*Result, error) {
	var b *book.Book
	var title string
	var err error
	if e.File.Pieces != nil {
		b, title = fromPieces(e.File, o.Profile.HeadingIndent)
	} else if b, title, err = fromEdition(e); err != nil {
		return nil, fmt.Errorf("%s: %w", source.Quote(e.File.Name), err)
	}
	det := detectAgain(b)
	files := []*source.File{e.File}
	r := &assemble.Result{Book: b, Variant: det.Best(), Headings: headingsOf(b), Turns: len(b.Turns), Mark: markOf(e)}
	x := &setting{b: b, o: o, r: r, det: det, width: o.Width, upper: upperFiles(files)}
	if x.width < 0 {
		x.width = b.Width
	}
	if o.EndMarkers == "drop" {
		x.dropMarkers()
	}
	x.anew()
	res, err := x.finish(title, chain(e), nil)
	if err != nil {
		return nil, err
	}
	res.Survey = surveyAgain(e.File, title, det)
	res.Findings = append(foreignFiles(files), r.Findings...)
	return res, nil
}

// anew sets the book. A page "finding your way" is left out and written anew,
// for its search strings are those of the edition before; where that cannot be
// done it stays, and this is told.
func (x *setting) anew() {
	from, to, v, ok := finders.FindWay(x.b, wording(x.o.Profile.WayWords))
	if !ok && x.o.Profile.WayWords != nil { // it may be in English all the same
		if from, to, v, ok = finders.FindWay(x.b, finders.English); ok {
			x.o.Profile.WayWords = nil
		}
	}
	if !ok {
		x.set()
		x.find()
		return
	}
	x.o.Profile.Way = "end"
	if from <= afterTitle(x.b) {
		x.o.Profile.Way = "front"
	}
	whole := *x.b
	whole.Links, whole.Turns = slices.Clone(x.b.Links), slices.Clone(x.b.Turns)
	gone := slices.Clone(x.b.Blocks[from:to])
	why := x.b.Why(book.Reason{Class: "way", Why: "page that tells how to find one's way in the edition before", Evidence: "its first words; a page with the strings of this edition stands in its place", Confidence: 1})
	code := x.r.Variant
	x.r.Variant = v
	defer func() { x.r.Variant = code }()
	x.b.Remove(from, to)
	fate(x.b, gone, why)
	x.set()
	if x.find(); !x.told("way-not-written") {
		return
	}
	fate(x.b, gone, 0)
	x.b.Blocks, x.b.Links, x.b.Turns = whole.Blocks, whole.Links, whole.Turns
	x.o.Profile.Way = "none"
	x.set()
	x.find()
	x.r.Findings[len(x.r.Findings)-1].Text += "; the page of the edition before stays, and its strings may not land"
}

// dropMarkers leaves out the separators of the text after which a heading
// follows, or nothing.
func (x *setting) dropMarkers() {
	b := x.b
	why := b.Why(book.Reason{Class: "marker", Why: "end marker", Evidence: "left out by request", Confidence: 1})
	blank := b.Why(book.Reason{Class: "filler", Why: "blank set by the tool", Evidence: "before a heading or after the title page", Confidence: 1})
	for i := len(b.Blocks) - 1; i >= 0; i-- {
		bl, last := &b.Blocks[i], i+1 == len(b.Blocks)
		text := bl.Part == book.Text || bl.Part == book.Prelims || bl.Part == book.BackMatter
		if bl.Kind != book.Rule || !text || !last && b.Blocks[i+1].Kind != book.Heading || asterisks(b, bl) {
			continue
		}
		if !last && !b.Blocks[i+1].Blank.Want {
			setOff(b, i, blank)
		}
		fate(b, b.Blocks[i:i+1], why)
		b.Remove(i, i+1)
	}
}

// setOff gives the heading after separator i the blank line of the separator, or
// one of its own. A print page turn before them stays with the heading.
func setOff(b *book.Book, i int, why book.ReasonID) {
	at := i
	for at > 0 && b.Blocks[at-1].Kind == book.Turn {
		at--
	}
	if at < i {
		if !b.Blocks[at].Blank.Want {
			b.Blocks[at].Blank = book.Blank{Want: true, Reason: why}
		}
		return
	}
	if b.Blocks[i+1].Blank = b.Blocks[i].Blank; !b.Blocks[i].Blank.Want && at > 0 && b.Blocks[at-1].Kind != book.Heading {
		b.Blocks[i+1].Blank = book.Blank{Want: true, Reason: why}
	}
}

// asterisks reports whether a separator is a row of asterisks, a scene break.
func asterisks(b *book.Book, bl *book.Block) bool {
	for _, p := range bl.Pieces {
		if structure.Asterisks(b.Text(p)) {
			return true
		}
	}
	return false
}

// told reports whether the last finding is of a kind.
func (x *setting) told(id string) bool {
	n := len(x.r.Findings)
	return n > 0 && x.r.Findings[n-1].ID == id
}

// fate leaves the lines of blocks out for a reason, or, with none, keeps them.
func fate(b *book.Book, blocks []book.Block, why book.ReasonID) {
	for i := range blocks {
		for _, p := range blocks[i].Pieces {
			b.Out[p.Vol][p.Line] = why
		}
	}
}

// markOf is the mark before the headwords of an edition, "" if it has none.
func markOf(e Edition) string {
	var mark string
	if head, err := account.Read(e.Account); err == nil && json.Unmarshal(head.Settings["entry-mark"], &mark) != nil {
		return ""
	}
	return mark
}

// chain is what the new account says of the old one.
func chain(e Edition) map[string]any {
	if e.Account == nil {
		return nil
	}
	sum := sha256.Sum256(e.Account)
	return map[string]any{"account": e.AccountName, "sha256": hex.EncodeToString(sum[:])}
}

// fromEdition makes the book of an edition in Braille ASCII from the outline in
// its account.
func fromEdition(e Edition) (*book.Book, string, error) {
	head, err := account.Read(e.Account)
	if err != nil {
		return nil, "", err
	}
	if head.Edition.SHA256 != e.File.SHA256 {
		return nil, "", fmt.Errorf("it was changed after it was made: its account is of other bytes")
	}
	o, err := readOutline(head.Settings)
	if err != nil {
		return nil, "", err
	}
	b := book.NewBook([]*source.File{e.File})
	if err := json.Unmarshal(head.Settings["width"], &b.Width); err != nil {
		return nil, "", fmt.Errorf("the account does not say how wide the edition is")
	}
	if err := laid(b, o, head.Splits, string(head.Settings["blank-lines"]) == `"none"`); err != nil {
		return nil, "", err
	}
	return b, o.Title, o.marks(b)
}

// laid gives every block its lines.
func laid(b *book.Book, o *outline, splits []int, noBlank bool) error {
	f := b.Files[0]
	split := map[int]bool{}
	for _, n := range splits {
		split[n-1] = true
	}
	filler := b.Why(book.Reason{Class: "filler", Why: "blank line of the edition before", Evidence: "stands where its outline has one", Confidence: 1})
	again := b.Why(book.Reason{Class: "filler", Why: "blank line that the text means", Evidence: "outline of the edition before", Confidence: 1})
	join := b.Why(book.Reason{Class: "split", Why: "word that was longer than a line of the edition before", Evidence: "its account names the line", Confidence: 1})
	for i := range f.Lines {
		if len(f.Text(i)) == 0 {
			b.Out[0][i] = filler
		}
	}
	shape := shapeOf{width: b.Width, noBlank: noBlank}
	for i := range f.Lines {
		shape.indents = append(shape.indents, indentOf(f.Text(i)))
	}
	blocks, starts, err := o.blocks(shape)
	if err != nil {
		return err
	}
	b.Blocks = blocks
	if n := len(starts); n > 0 && (starts[n-1] > len(f.Lines) || marksBefore(f, starts[0])) {
		return errText
	}
	starts = append(starts, len(f.Lines))
	for i := range b.Blocks {
		bl := &b.Blocks[i]
		if bl.Blank.Want {
			if n := starts[i] - 1; n >= 0 && n < len(f.Lines) && len(f.Text(n)) == 0 {
				bl.Blank.Line = int32(n)
			} else {
				bl.Blank.Reason = again
			}
		}
		for k := starts[i]; k < starts[i+1]; k++ {
			text := f.Text(k)
			if len(text) == 0 {
				continue
			}
			p := book.Piece{Line: int32(k), From: int32(cell.Indent(text)), To: int32(len(text))}
			if split[k] && len(bl.Pieces) > 0 {
				p.Join = join
			}
			bl.Pieces = append(bl.Pieces, p)
		}
	}
	return nil
}

func marksBefore(f *source.File, n int) bool {
	for i := 0; i < n; i++ {
		if len(f.Text(i)) > 0 {
			return true
		}
	}
	return false
}

// fromPieces makes the book of an eBraille publication.
func fromPieces(f *source.File, indent int) (*book.Book, string) {
	b := book.NewBook([]*source.File{f})
	blank := b.Why(book.Reason{Class: "filler", Why: "blank line set by the tool", Evidence: "before a heading, a stanza or a list", Confidence: 1})
	title := ""
	in := make([]place, len(f.Pieces)) // block and piece that each is in, and its indent
	for i := range f.Lines {
		text := f.Text(i)
		if in[i].block = len(b.Blocks); len(text) == 0 {
			continue
		}
		p := &f.Pieces[i]
		from := cell.Indent(text)
		piece := book.Piece{Line: int32(i), From: int32(from), To: int32(len(text))}
		in[i].in = from
		if n := len(b.Blocks) - 1; p.More && p.Form == "term" && n >= 0 && b.Blocks[n].Form == book.Term {
			in[i].block, in[i].before = n, len(b.Blocks[n].Pieces)
			b.Blocks[n].Pieces = append(b.Blocks[n].Pieces, piece)
			continue
		}
		bl := blockOf(p, indent)
		if isRule(text) && bl.Kind != book.Heading && bl.Kind != book.Turn && bl.Form != book.TableRow && bl.Form != book.Fixed {
			bl.Kind, bl.Form, bl.First, bl.Run = book.Rule, book.Plain, int16(indent), int16(indent)
		}
		if n := len(b.Blocks); n > 0 {
			wantBlank(&b.Blocks[n-1], &bl, p, n > 1, blank)
		}
		if bl.Form == book.Fixed || bl.Form == book.TableRow {
			bl.First, bl.Run = int16(from), int16(from)
		}
		if title == "" && (bl.Kind == book.TitleLine || bl.Kind == book.Heading) {
			title = string(text[from:])
		}
		bl.Pieces = []book.Piece{piece}
		b.Blocks = append(b.Blocks, bl)
		b.Width = defaultWidth
	}
	contentsHeads(b.Blocks)
	runovers(b.Blocks)
	links(b, f.Pieces, in)
	if turns(b, f.Pieces, in); len(b.Turns) == 0 {
		b.Turns = assemble.Turns(b)
	}
	return b, title
}

// wantBlank says whether a blank line is wanted before a block.
func wantBlank(last, bl *book.Block, p *source.Piece, second bool, why book.ReasonID) {
	bl.Blank.Want = p.New && (bl.Kind == book.Heading || bl.Kind != last.Kind && last.Kind != book.Heading || bl.Form == book.Verse || bl.Part != last.Part || p.Form == "line")
	bl.Blank.Want = bl.Blank.Want || p.Gap || last.Kind == book.TitleLine && bl.Kind != book.TitleLine
	bl.Blank.Reason = why
	switch {
	case bl.Kind == book.Turn, bl.Kind == book.Rule, bl.Kind == book.TitleLine:
		bl.Blank.Want = false
	case last.Kind == book.Turn && bl.Kind == book.Heading: // the turn stays with what follows it
		last.Blank.Want, last.Blank.Reason, bl.Blank.Want = second, why, false
	}
}

// turns puts the print page turns of a publication into its book, in whatever
// form they are.
func turns(b *book.Book, pieces []source.Piece, in []place) {
	for i := range pieces {
		for _, t := range pieces[i].Turns {
			at := in[i]
			if at.block >= len(b.Blocks) {
				continue
			}
			cells := b.Text(b.Blocks[at.block].Pieces[at.before])
			from, to := max(t.From-at.in, 0), min(t.To-at.in, len(cells))
			for from < to && cells[from] == cell.Blank {
				from++
			}
			if from >= to {
				continue
			}
			if lab, ok := turnLabel(cells[from:to]); ok {
				b.Turns = append(b.Turns, book.PageMark{Block: int32(at.block), Piece: int32(at.before), From: int32(from), To: int32(to), Label: lab})
			}
		}
	}
}

// contentsHeads puts the headings right before a contents list into it.
func contentsHeads(blocks []book.Block) {
	for i := len(blocks) - 1; i > 0; i-- {
		if bl := &blocks[i-1]; blocks[i].Part == book.ContentsList && bl.Kind == book.Heading {
			bl.Part = book.ContentsList
		}
	}
}

// runovers sets those of the lines of one verse or list two cells further in
// than the furthest first line, so that they are told from one.
func runovers(blocks []book.Block) {
	for i := 0; i < len(blocks); {
		bl, to, most := &blocks[i], i, int16(0)
		for ; to < len(blocks) && (to == i || blocks[to].Kind == bl.Kind && blocks[to].Form == bl.Form && blocks[to].Part == bl.Part); to++ {
			most = max(most, blocks[to].First)
		}
		if bl.Kind == book.Entry || bl.Kind == book.Line && bl.Form != book.Fixed && bl.Form != book.TableRow {
			for k := i; k < to; k++ {
				blocks[k].Run = max(blocks[k].Run, most+2)
			}
		}
		i = to
	}
}

// links puts the links of a publication into its book.
func links(b *book.Book, pieces []source.Piece, in []place) {
	for i := range pieces {
		for _, l := range pieces[i].Links {
			at, to := in[i], in[l.Target].block
			if at.block >= len(b.Blocks) || to >= len(b.Blocks) || l.From < at.in {
				continue
			}
			kind := book.CrossRef
			switch {
			case l.Note:
				kind = book.NoteRef
			case b.Blocks[at.block].Kind == book.Entry:
				kind = book.ListRef
			}
			b.Links = append(b.Links, book.Link{Kind: kind, Block: int32(at.block), Piece: int32(at.before), From: int32(l.From - at.in), To: int32(l.To - at.in), Target: int32(to), Confidence: 1})
		}
	}
}

// defaultWidth is the width of an edition from a source that has none: the
// displays most in use have 40 cells (common practice).
const defaultWidth = 40

var partOf = map[string]book.Part{"contents": book.ContentsList, "notes": book.NotesPart, "back": book.BackMatter, "front": book.Prelims, "title": book.TitlePage}

// lineForms are the forms of lines, paraForms those of paragraphs.
var (
	lineForms = map[string]book.Form{"recipe": book.Recipe, "exercise": book.Exercise, "row": book.TableRow, "line": book.Plain}
	paraForms = map[string]book.Form{"transcriber": book.TranscriberNote, "speech": book.Speech}
)

// blockOf is what a piece of a publication is in a book, with the indents that
// the other editions have for it.
func blockOf(p *source.Piece, indent int) book.Block {
	bl := book.Block{Kind: book.Para, First: 2, Part: partOf[p.Part], Level: uint8(p.Level)}
	line, isLine := lineForms[p.Form]
	para, isPara := paraForms[p.Form]
	switch {
	case p.Form == "rule":
		bl.Kind, bl.First, bl.Run = book.Rule, int16(indent), int16(indent)
	case bl.Part == book.TitlePage:
		bl.Kind, bl.First, bl.Run = book.TitleLine, 0, 2
	case p.Level > 0:
		bl.Kind, bl.First, bl.Run = book.Heading, int16(indent), int16(indent)
	case p.Turn:
		bl.Kind, bl.First = book.Turn, 0
	case p.Form == "label":
		bl.Kind, bl.First = book.Label, 0
	case p.Form == "note":
		if bl.Form = book.Note; p.More {
			bl.Form = book.NoteMore
		}
	case p.Form == "term", p.Form == "index":
		if p.Form == "index" {
			bl.Kind = book.Line
		}
		bl.Form, bl.First, bl.Run = book.Term, int16(p.Inset), 2
		if p.Inset > 0 {
			bl.Run = int16(p.Inset) + 2
		}
	case p.Verse:
		bl.Kind, bl.Form, bl.First, bl.Run = book.Line, book.Verse, int16(p.Inset), 2
	case isLine:
		bl.Kind, bl.Form, bl.First, bl.Run = book.Line, line, int16(p.Inset), 2
	case isPara:
		bl.Form = para
		if p.Hang {
			bl.First, bl.Run = 0, 2
		}
	case p.Line:
		bl.Kind, bl.Form, bl.First = book.Line, book.Fixed, 0
	case p.Item && bl.Part == book.ContentsList:
		bl.Kind, bl.First, bl.Run = book.Entry, int16(p.Inset), 4
	case p.Item:
		bl.Kind, bl.Form, bl.First, bl.Run = book.Line, book.ListItem, int16(p.Inset), 2
	case p.Hang:
		bl.First, bl.Run = 0, 2
	case p.Flush:
		bl.First = 0
	}
	return bl
}

// isRule tells whether a line is one cell repeated, as separators are, with or
// without dot 5 before it.
func isRule(t []byte) bool {
	t = bytes.TrimPrefix(bytes.TrimLeft(t, " "), []byte{'"'})
	return len(t) >= 4 && len(bytes.TrimLeft(t, string(t[:1]))) == 0
}

func headingsOf(b *book.Book) int {
	n := 0
	for i := range b.Blocks {
		if b.Blocks[i].Kind == book.Heading {
			n++
		}
	}
	return n
}

// detectAgain tells the code from the paragraphs of a book.
func detectAgain(b *book.Book) english.Detection {
	var lines [][]byte
	n := 0
	for i := range b.Blocks {
		bl := &b.Blocks[i]
		if bl.Kind != book.Para && bl.Kind != book.Line || n > maxDetect {
			continue
		}
		for _, p := range bl.Pieces {
			lines = append(lines, b.Text(p))
			n += len(b.Text(p))
		}
	}
	return english.Detect(lines)
}

func surveyAgain(f *source.File, title string, det english.Detection) *Survey {
	v := VolumeSurvey{File: f.Name, Encoding: string(f.Encoding), Pages: len(f.Pages), Height: len(f.Lines)}
	for i := range f.Lines {
		v.Width = max(v.Width, len(f.Text(i)))
	}
	return &Survey{Titles: []TitleSurvey{{Title: title, Volumes: []VolumeSurvey{v}, Code: det.Best(), Detection: det}}}
}
