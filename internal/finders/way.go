package finders

import (
	"bytes"
	"slices"
	"strings"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/english"
)

// Saying is one paragraph of the page "finding your way": words in the book's
// own code, with the cells to search for among them.
type Saying struct {
	Cells  []byte
	Search []byte // the promised string that it names, nil when it names none
}

// Wording is what the page says, line by line: print, that is written in the
// book's code, or, with Cells, cells that stand as they are. {cells} is where
// the cells to search for stand; {blanks} says how many blanks come before them,
// in the words of Blanks (the first for one blank), and goes away where there
// are none. A line without wording is left out.
type Wording struct {
	Title    string // heads the page
	Start    string // where a search begins
	Contents string
	Heading  string // an example of how headings are searched for
	Pages    string // print pages: an indicator, then the number
	Apart    string // the same with a blank between
	Notes    string
	Index    string
	Words    string // headwords: a mark, then the word
	Blanks   []string
	Cells    bool
}

// English is the wording without another.
var English = Wording{
	Title:    "Finding Your Way",
	Start:    "Search from the start of the book.",
	Contents: "Contents: {blanks} {cells}",
	Heading:  "A heading: {blanks} its first words, such as {cells}",
	Pages:    "A print page: {cells} and its number.",
	Apart:    "A print page: {cells} then a blank and its number.",
	Notes:    "Notes: {blanks} {cells} then for the number of the note.",
	Index:    "Index: {blanks} {cells}",
	Words:    "A headword: {cells} and the word.",
	Blanks: []string{"one blank and", "two blanks and", "three blanks and", "four blanks and", "five blanks and", "six blanks and", "seven blanks and",
		"eight blanks and", "nine blanks and", "ten blanks and", "eleven blanks and", "twelve blanks and"},
}

// Way is the page "finding your way": its heading, and what it says in words w.
// It names only strings that are promised. A string stands there without the
// blanks it begins with, so that a search with them passes the page by; nothing
// on the page steps in, for the same reason. The error tells what cannot be
// written in the code of the book.
func (l *List) Way(v english.Variant, words Wording) (heading []byte, sayings []Saying, err error) {
	w := wayWriter{v: v, words: words}
	heading = w.write(words.Title)
	w.put(words.Start, nil, 0)
	w.say(words.Contents, l.first(Contents))
	for i := range l.Finders {
		if f := &l.Finders[i]; f.example() && !bytes.Equal(f.Name, heading) {
			w.say(words.Heading, f)
			break
		}
	}
	l.wayPages(&w)
	w.say(words.Notes, l.first(Notes))
	w.say(words.Index, l.first(Index))
	if len(l.mark) > 0 && !l.otherwise(Word) {
		w.put(words.Words, l.mark, 0)
	}
	return heading, w.out, w.err
}

// wayExample is how many cells, blanks apart, the string of an example has at
// least: an article alone would teach little.
const wayExample = 4

// example reports whether a heading's string shows how headings are found.
func (f *Finder) example() bool {
	return f.Class == Heading && f.Promised() && f.From == Start && f.Times == 1 && f.Blanks() > 0 && len(f.Search)-f.Blanks() >= wayExample
}

// first is the first promised finder of a class that is searched from the start.
func (l *List) first(c Class) *Finder {
	for i := range l.Finders {
		if f := &l.Finders[i]; f.Class == c && f.Promised() && f.From == Start && f.Times == 1 {
			return f
		}
	}
	return nil
}

// wayPages tells how print pages are searched for: by what stands before every
// number.
func (l *List) wayPages(w *wayWriter) {
	sign := l.common(Page, func(name []byte) []byte { return name[:len(name)-len(lastLabel(name))] })
	switch bare := bytes.TrimRight(sign, " "); {
	case len(bare) < 2, l.otherwise(Page):
	case len(bare) < len(sign):
		w.put(w.words.Apart, bare, 0)
	default:
		w.put(w.words.Pages, bare, 0)
	}
}

// lastLabel is the number of a mark: what follows the indicator.
func lastLabel(name []byte) []byte {
	for i := range name {
		if _, ok := cell.ParseLabel(name[i:]); ok && (name[i] != '3' || i > 1) {
			return name[i:]
		}
	}
	return nil
}

// finderMark is the mark that stands before every headword: two cells or more
// that are no letters; nil when there is none.
func (l *List) finderMark(b *book.Book) []byte {
	for _, r := range b.Reasons {
		if r.Class == markClass {
			return writtenFor(b, r)
		}
	}
	mark := l.common(Word, func(name []byte) []byte {
		n := 0
		for n < len(name) && n < maxMark && bytes.IndexByte([]byte(";_^.\"@,"), name[n]) >= 0 {
			n++
		}
		return name[:n]
	})
	if len(mark) < 2 {
		return nil
	}
	return mark
}

// markClass is the class of the reason for marks before headwords.
const markClass = "entry-mark"

// writtenFor is what the tool wrote first for a reason.
func writtenFor(b *book.Book, r book.Reason) []byte {
	for i := range b.Blocks {
		for _, p := range b.Blocks[i].Pieces {
			if p.Vol < 0 && b.Reasons[p.Reason] == r {
				return p.Tool
			}
		}
	}
	return nil
}

// maxMark is how many cells the mark before a headword has at most.
const maxMark = 3

// common is the beginning that the names of all targets of a class share, as
// far as head goes.
func (l *List) common(c Class, head func([]byte) []byte) []byte {
	var out []byte
	first := true
	for i := range l.Finders {
		if l.Finders[i].Class != c {
			continue
		}
		h := head(l.Finders[i].Name)
		if first {
			out, first = h, false
		}
		n := 0
		for n < len(out) && n < len(h) && out[n] == h[n] {
			n++
		}
		out = out[:n]
	}
	return out
}

// byName reports whether a target is found from the start by its name, or by
// the beginning of it.
func (f *Finder) byName() bool {
	return f.Promised() && bytes.HasPrefix(f.Name, f.Search) && f.From == Start && f.Times == 1
}

// otherwise reports whether more than one target in a hundred of a class is
// found otherwise than by its name from the start.
func (l *List) otherwise(c Class) bool {
	n, others := 0, 0
	for i := range l.Finders {
		if f := &l.Finders[i]; f.Class == c {
			n++
			if !f.byName() {
				others++
			}
		}
	}
	return others*100 > n
}

// wayWriter writes sayings in a code.
type wayWriter struct {
	v     english.Variant
	words Wording
	out   []Saying
	err   error
}

// write writes a wording, or takes it as it is.
func (w *wayWriter) write(t string) []byte {
	if t = strings.Join(strings.Fields(t), " "); t == "" || w.words.Cells {
		return []byte(t)
	}
	c, err := english.Write(t, w.v)
	if err != nil && w.err == nil {
		w.err = err
	}
	return c
}

// say names the string of a finder: how many blanks it begins with, and its
// other cells.
func (w *wayWriter) say(line string, f *Finder) {
	if f == nil || f.Blanks() > len(w.words.Blanks) {
		return
	}
	if w.put(line, f.Search[f.Blanks():], f.Blanks()) {
		w.out[len(w.out)-1].Search = f.Search
	}
}

// put adds a line with cells in it that stand as they are.
func (w *wayWriter) put(line string, raw []byte, blanks int) bool {
	if line == "" {
		return false
	}
	how := ""
	if blanks > 0 {
		how = w.words.Blanks[blanks-1]
	}
	before, after, _ := strings.Cut(strings.ReplaceAll(line, "{blanks}", how), "{cells}")
	var parts [][]byte
	for _, p := range [][]byte{w.write(before), bytes.TrimSpace(raw), w.write(after)} {
		if len(p) > 0 {
			parts = append(parts, p)
		}
	}
	w.out = append(w.out, Saying{Cells: bytes.Join(parts, []byte{cell.Blank})})
	return true
}

// Blocks makes blocks of the page. why is the reason for its cells, blank the
// one for blank lines, indent the indent of headings.
func Blocks(heading []byte, sayings []Saying, why, blank book.ReasonID, indent int) []book.Block {
	piece := func(c []byte) []book.Piece { return []book.Piece{{Vol: -1, Tool: c, Reason: why}} }
	out := []book.Block{{Kind: book.Heading, First: int16(indent), Run: int16(indent + 2), Part: book.Prelims, Level: 1,
		Blank: book.Blank{Want: true, Reason: blank}, Pieces: piece(heading)}}
	for _, s := range sayings {
		out = append(out, book.Block{Kind: book.Para, Part: book.Prelims, Pieces: piece(s.Cells)})
	}
	return out
}

// Holds reports whether every string that a page names is promised by the list
// as it stands there.
func (l *List) Holds(sayings []Saying) bool {
	for _, s := range sayings {
		if s.Search != nil && !slices.ContainsFunc(l.Finders, func(f Finder) bool { return bytes.Equal(f.Search, s.Search) && f.From == Start && f.Times == 1 }) {
			return false
		}
	}
	return true
}

// FindWay finds the page "finding your way" in a book that was made of an
// edition: blocks from up to to, written in the code v. Its heading and its
// first paragraph must be those that this program writes in words w, in one of
// the codes; it ends where anything but such a paragraph stands, or a blank line
// is wanted.
func FindWay(b *book.Book, w Wording) (from, to int, v english.Variant, ok bool) {
	for i := 0; i+1 < len(b.Blocks); i++ {
		if b.Blocks[i].Kind != book.Heading {
			continue
		}
		if v, ok = isWay(wordsOf(b, i), wordsOf(b, i+1), w); !ok {
			continue
		}
		to := i + 1
		for to < len(b.Blocks) && to < i+1+maxSayings && b.Blocks[to].Kind == book.Para && b.Blocks[to].Form == book.Plain && (to == i+1 || !b.Blocks[to].Blank.Want) {
			to++
		}
		return i, to, v, true
	}
	return 0, 0, english.Variant{}, false
}

// maxSayings is how many paragraphs a page "finding your way" has at most.
const maxSayings = 23

// wordsOf are the words of a block with one blank between two.
func wordsOf(b *book.Book, i int) []byte {
	var text []byte
	for k := range b.Blocks[i].Pieces {
		text = b.AppendPiece(text, &b.Blocks[i], k)
	}
	return bytes.Join(bytes.Fields(text), []byte{cell.Blank})
}

// isWay tells the first words of such a page, in any code.
func isWay(heading, first []byte, words Wording) (english.Variant, bool) {
	for _, code := range []english.Code{english.UEB, english.SEB, english.EBAE} {
		for n := range 4 {
			v := english.Variant{Code: code, Contracted: n&1 == 0, Capitals: n&2 == 0}
			w := wayWriter{v: v, words: words}
			if bytes.Equal(heading, w.write(words.Title)) && bytes.Equal(first, w.write(words.Start)) {
				return v, true
			}
		}
	}
	return english.Variant{}, false
}
