package convert

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"continuo/internal/assemble"
	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/layout"
	"continuo/internal/source"
)

// outline is the structure of an edition as its account keeps it, so that the
// edition can be made again without the volumes: what its lines are, and where
// print page turns and links stand. It is packed, as the whole account is to
// be small; docs/architecture.md has its form.
type outline struct {
	Title  string  `json:"title"`           // in cells
	Styles string  `json:"styles"`          // kind, form, part, level, first indent, runover, flags of each style
	Blocks string  `json:"blocks"`          // styles of the blocks, with the lines to the next where these are not as predicted
	Turns  *string `json:"turns,omitempty"` // absent when every indicator in the text is a turn, and no other
	Links  string  `json:"links,omitempty"`
}

// place is cells of a block: how many that are not blank stand before them, and
// how many they are.
type place struct{ block, before, in int }

// Flags of a style.
const (
	flagBlank = 1 << iota // a blank line is wanted before the block
	flagCont              // goes on the paragraph before it
)

// shapeOf is what an outline is read with: the indents of the lines of the
// edition, emptyLine for one without a cell, its width, and whether it has no
// blank lines, so that the styles must say where one is wanted.
type shapeOf struct {
	indents []int32
	width   int
	noBlank bool
}

// emptyLine stands for the indent of a line without a cell.
const emptyLine = -1

// indentOf is the indent of a line, or emptyLine.
func indentOf(line []byte) int32 {
	if n := cell.Indent(line); n < len(line) {
		return int32(n)
	}
	return emptyLine
}

// next predicts the line, from 0, on which the block after one that begins at
// line at begins: lines at the indent of runovers go on the block.
func (s shapeOf) next(at, first, run int) int {
	if s.width > 0 { // as the writer sets them
		first, run = min(first, s.width/3), min(run, s.width/3)
	}
	k := at + 1
	for first != run && k < len(s.indents) && int(s.indents[k]) == run {
		k++
	}
	if k < len(s.indents) && s.indents[k] == emptyLine {
		k++
	}
	return k
}

func outlineOf(b *book.Book, starts []int, title string, shape shapeOf) outline {
	o := outline{Title: title}
	known := map[[7]int]int{}
	var styles []string
	var blocks []byte
	same, last := 0, -1
	flush := func() {
		if same > 1 {
			blocks = strconv.AppendInt(append(blocks, '*'), int64(same), 10)
		}
		same, last = 0, -1
	}
	for i := range b.Blocks {
		s := styleOf(&b.Blocks[i])
		if !shape.noBlank {
			s[6] &^= flagBlank // the blank line stands in the edition
		}
		n, ok := known[s]
		if !ok {
			n = len(styles)
			known[s] = n
			styles = append(styles, packStyle(s))
		}
		end := len(shape.indents)
		if i+1 < len(starts) {
			end = starts[i+1] - 1
		}
		asThought := i+1 == len(starts) || end == shape.next(starts[i]-1, s[4], s[5])
		if n == last && asThought {
			same++
			continue
		}
		flush()
		blocks = appendStyle(blocks, n)
		if asThought {
			same, last = 1, n
		} else {
			blocks = strconv.AppendInt(blocks, int64(end-starts[i]+1), 10)
		}
	}
	flush()
	o.Blocks, o.Styles = string(blocks), strings.Join(styles, " ")
	turns := turnPlaces(b, b.Turns)
	if !slices.Equal(turns, turnPlaces(b, assemble.Turns(b))) {
		text := packPlaces(turns)
		o.Turns = &text
	}
	o.Links = packLinks(b)
	return o
}

// packStyle writes the numbers of a style: digits and small letters up to 35,
// larger ones in decimal between brackets, zeros at the end left off.
func packStyle(s [7]int) string {
	n := len(s)
	for n > 1 && s[n-1] == 0 {
		n--
	}
	var b strings.Builder
	for _, v := range s[:n] {
		if v >= 0 && v < 36 {
			b.WriteString(strconv.FormatInt(int64(v), 36))
		} else {
			fmt.Fprintf(&b, "(%d)", v)
		}
	}
	return b.String()
}

// readStyle is what packStyle wrote.
func readStyle(t string) (s [7]int, err error) {
	for i := 0; len(t) > 0; i++ {
		text, rest := t[:1], t[1:]
		base := 36
		if t[0] == '(' {
			var ok bool
			if text, rest, ok = strings.Cut(t[1:], ")"); !ok {
				return s, errOutline
			}
			base = 10
		}
		n, err := strconv.ParseInt(text, base, 32)
		if err != nil || i == len(s) || n < 0 || int(n) >= limits[i] {
			return s, errOutline
		}
		s[i], t = int(n), rest
	}
	return s, nil
}

// appendStyle writes the number of a style: one small letter, or a capital and
// a small letter.
func appendStyle(dst []byte, n int) []byte {
	if n >= 26 {
		dst = append(dst, byte('A'+(n/26-1)%26))
	}
	return append(dst, byte('a'+n%26))
}

func turnPlaces(b *book.Book, list []book.PageMark) []place {
	var out []place
	for _, t := range list {
		before, in := marksAt(b, t.Block, t.Piece, t.From, t.To)
		out = append(out, place{int(t.Block), before, in})
	}
	return out
}

// packPlaces writes places as "block.before.in" with blanks between.
func packPlaces(list []place) string {
	var out []string
	for _, p := range list {
		out = append(out, fmt.Sprintf("%d.%d.%d", p.block, p.before, p.in))
	}
	return strings.Join(out, " ")
}

// linkLetters are the kinds of links.
const linkLetters = "nlc"

// packLinks writes each link as a letter for its kind, how many blocks after
// that of the link before it stands, the cells before it and in it, how many
// blocks after its own block the target stands, and its confidence in hundredths
// when that is another than before.
func packLinks(b *book.Book) string {
	var out []string
	last, sure := 0, -1
	for _, l := range b.Links {
		before, in := marksAt(b, l.Block, l.Piece, l.From, l.To)
		t := fmt.Sprintf("%c%d.%d.%d.%d", linkLetters[l.Kind], int(l.Block)-last, before, in, int(l.Target-l.Block))
		if c := int(math.Round(l.Confidence * 100)); c != sure {
			t += fmt.Sprintf(".%d", c)
			sure = c
		}
		last = int(l.Block)
		out = append(out, t)
	}
	return strings.Join(out, " ")
}

func styleOf(bl *book.Block) [7]int {
	flags := 0
	if bl.Blank.Want {
		flags |= flagBlank
	}
	if bl.Cont {
		flags |= flagCont
	}
	return [7]int{int(bl.Kind), int(bl.Form), int(bl.Part), int(bl.Level), int(bl.First), int(bl.Run), flags}
}

// marksAt counts the cells that are not blank before cells from up to to of a
// piece in the text of its block, and in them.
func marksAt(b *book.Book, block, piece, from, to int32) (before, in int) {
	bl := &b.Blocks[block]
	for k := int32(0); k < piece; k++ {
		before += cell.Marks(b.Text(bl.Pieces[k]))
	}
	text := b.Text(bl.Pieces[piece])
	from, to = min(from, int32(len(text))), min(to, int32(len(text)))
	return before + cell.Marks(text[:from]), cell.Marks(text[from:to])
}

// limits are one more than the largest value of each part of a style.
var limits = [7]int{int(book.Label) + 1, int(book.Exercise) + 1, int(book.BackMatter) + 1, 256, 1 << 15, 1 << 15, flagCont << 1}

// readOutline reads the outline out of the first line of an account.
func readOutline(settings map[string]json.RawMessage) (*outline, error) {
	var o outline
	raw := settings["outline"]
	if raw == nil {
		return nil, fmt.Errorf("the account does not say what the lines of the edition are")
	}
	if err := json.Unmarshal(raw, &o); err != nil {
		return nil, fmt.Errorf("the outline in the account cannot be read: %w", err)
	}
	return &o, nil
}

var errOutline = errors.New("the outline in the account is not as it should be")

// blocks makes the blocks, without their text; starts has the line, from 0, on
// which each begins.
func (o *outline) blocks(shape shapeOf) (list []book.Block, starts []int, err error) {
	var styles []book.Block
	for _, text := range strings.Fields(o.Styles) {
		s, err := readStyle(text)
		if err != nil {
			return nil, nil, err
		}
		styles = append(styles, styled(s))
	}
	at := 0
	for t := o.Blocks; len(t) > 0; {
		n := 0
		if t[0] >= 'A' && t[0] <= 'Z' && len(t) > 1 {
			n, t = 26*int(t[0]-'A'+1), t[1:]
		}
		if t[0] < 'a' || t[0] > 'z' || n+int(t[0]-'a') >= len(styles) {
			return nil, nil, errOutline
		}
		bl, lines, times := styles[n+int(t[0]-'a')], -1, 1
		if t = t[1:]; strings.HasPrefix(t, "*") {
			times, t, err = number(t[1:], 0)
		} else {
			lines, t, err = number(t, -1)
		}
		if err != nil || len(list)+times > source.MaxLines {
			return nil, nil, errOutline
		}
		for range times {
			if at > len(shape.indents) {
				return nil, nil, errText
			}
			if !shape.noBlank {
				bl.Blank.Want = at > 0 && shape.indents[at-1] == emptyLine
			}
			list, starts = append(list, bl), append(starts, at)
			if lines >= 0 {
				at += lines
			} else {
				at = shape.next(at, int(bl.First), int(bl.Run))
			}
		}
	}
	return list, starts, nil
}

// number reads digits at the start of t, or takes none for a value.
func number(t string, none int) (n int, rest string, err error) {
	i := 0
	for i < len(t) && t[i] >= '0' && t[i] <= '9' {
		i++
	}
	if i == 0 {
		return none, t, nil
	}
	n, err = strconv.Atoi(t[:i])
	if err != nil || n > source.MaxLines {
		return 0, t, errOutline
	}
	return n, t[i:], nil
}

func styled(s [7]int) book.Block {
	bl := book.Block{Kind: book.Kind(s[0]), Form: book.Form(s[1]), Part: book.Part(s[2]), Level: uint8(s[3]), First: int16(s[4]), Run: int16(s[5])}
	bl.Blank.Want, bl.Cont = s[6]&flagBlank != 0, s[6]&flagCont != 0
	return bl
}

// errText says that the outline and the edition do not fit.
var errText = errors.New("the outline in the account names text that the edition does not have")

// marks puts turns and links back.
func (o *outline) marks(b *book.Book) error {
	b.Turns = assemble.Turns(b)
	if o.Turns != nil {
		b.Turns = nil
		for _, f := range strings.Fields(*o.Turns) {
			if err := o.turn(b, f); err != nil {
				return err
			}
		}
	}
	last, sure := 0, 0
	for _, f := range strings.Fields(o.Links) {
		x, err := numbers(f[1:])
		kind := strings.IndexByte(linkLetters, f[0])
		if err != nil || kind < 0 || len(x) < 4 || len(x) > 5 {
			return errOutline
		}
		if len(x) == 5 {
			sure = x[4]
		}
		last += x[0]
		piece, from, to, ok := spanAt(b, last, x[1], x[2])
		target := last + x[3]
		if !ok || target < 0 || target >= len(b.Blocks) {
			return errText
		}
		b.Links = append(b.Links, book.Link{Kind: book.LinkKind(kind), Block: int32(last), Piece: piece, From: from, To: to, Target: int32(target), Confidence: float64(sure) / 100})
	}
	return nil
}

// turn reads one turn, "block.before.in".
func (o *outline) turn(b *book.Book, text string) error {
	x, err := numbers(text)
	if err != nil || len(x) != 3 {
		return errOutline
	}
	piece, from, to, ok := spanAt(b, x[0], x[1], x[2])
	if !ok {
		return errText
	}
	cells := b.Text(b.Blocks[x[0]].Pieces[piece])[from:to]
	lab, ok := turnLabel(cells)
	if !ok {
		return errText
	}
	b.Turns = append(b.Turns, book.PageMark{Block: int32(x[0]), Piece: piece, From: from, To: to, Label: lab})
	return nil
}

// turnLabel is the label in the mark of a print page turn.
func turnLabel(cells []byte) (cell.Label, bool) {
	if lab, ok := layout.MarkLabel(cells); ok {
		return lab, true
	}
	return cell.ParseLabel(trimMark(cells))
}

// numbers reads numbers with full stops between.
func numbers(t string) ([]int, error) {
	var out []int
	for _, s := range strings.Split(t, ".") {
		n, err := strconv.Atoi(s)
		if err != nil || n > source.MaxLines || n < -source.MaxLines {
			return nil, errOutline
		}
		out = append(out, n)
	}
	return out, nil
}

// trimMark takes the row or the indicator before a page number off.
func trimMark(t []byte) []byte {
	for len(t) > 0 && (t[0] == ' ' || t[0] == '-' || t[0] == '"' || t[0] == '3') {
		t = t[1:]
	}
	return t
}

// spanAt finds the cells of a block after before cells that are not blank, up
// to in of them, within one piece.
func spanAt(b *book.Book, block, before, in int) (piece, from, to int32, ok bool) {
	if block < 0 || block >= len(b.Blocks) || before < 0 || in <= 0 {
		return 0, 0, 0, false
	}
	for k, p := range b.Blocks[block].Pieces {
		text := b.Text(p)
		if n := cell.Marks(text); before >= n {
			before -= n
			continue
		}
		for i, c := range text {
			switch {
			case c == cell.Blank:
			case before > 0:
				before--
			default:
				if to == 0 {
					from = int32(i)
				}
				to = int32(i) + 1
				if in--; in == 0 {
					return int32(k), from, to, true
				}
			}
		}
		return int32(k), from, to, to > from // it goes on in the next line
	}
	return 0, 0, 0, false
}
