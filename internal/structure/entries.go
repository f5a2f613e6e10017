package structure

import (
	"sort"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/english"
)

// This file finds the entries of dictionaries, glossaries and encyclopaedias.
// Two signs must agree over enough entries: the shape (headwords at the margin,
// runovers and senses indented; BANA Braille Formats 2016, sections 20 and 21,
// from memory; common practice in the United Kingdom) and alphabetical order,
// read to print through the book's code.

// How much a run must show.
const (
	minEntries  = 10 // entries with a headword
	keyCells    = 90 // cells of an entry that are read for its headword
	glanceCells = 32 // cells that are read of some entries, whether it is worth while
)

// EntryRun is a run of dictionary entries: indexes of blocks, in order. Strays
// stand at the margin among them and out of order: nobody can tell whether they
// are entries.
type EntryRun struct {
	Entries, Strays []int
}

// margin is a block that may be an entry.
type margin struct {
	block int
	head  headword
	last  bool // ends in a page label, as an index entry does
	words bool // three words or more
}

// headword is how an entry begins, read to print: only letters, lower case,
// without accents.
type headword struct {
	word string // its first word
	all  string // the letters up to the first punctuation mark, in one
}

// stretch is the blocks between two headings that are no letters.
type stretch struct {
	margins []margin
	body    int // indented paragraphs of prose
	barred  bool
}

// FindEntries finds the runs of dictionary entries among the blocks of a book.
// The headwords are read to print as braille of variant v or, where that
// explains their order better, as uncontracted braille.
func FindEntries(b *book.Book, v english.Variant) []EntryRun {
	s := stretches(b)
	f := &entryFinder{b: b, readers: headReaders(v)}
	accepted := make([]*EntryRun, len(s))
	for i := range s {
		if len(s[i].margins) >= minEntries && !s[i].barred && f.promising(&s[i]) {
			f.read(s[i].margins)
			accepted[i] = judgeEntries(&s[i])
		}
	}
	for i := range s {
		if accepted[i] == nil && !s[i].barred && i > 0 && accepted[i-1] != nil && len(s[i].margins) > 0 {
			accepted[i] = f.goesOnRun(s, accepted, i)
		}
	}
	var out []EntryRun
	for _, r := range accepted {
		if r != nil {
			out = append(out, *r)
		}
	}
	return out
}

type entryFinder struct {
	b       *book.Book
	readers []headReader
	use     int // reader of the last margins read
}

// headReader is a way to read headwords: as braille of one variant, the signs
// of capitals and type taken off before or not. Where the code is not sure, the
// signs of one mislead the reader of another.
type headReader struct {
	r     *english.Reader
	strip bool
}

// headReaders lists the ways to read headwords of a book.
func headReaders(v english.Variant) []headReader {
	plain := v
	plain.Contracted = false
	p := english.NewReader(plain)
	out := []headReader{{p, false}, {p, true}}
	if v.Contracted {
		c := english.NewReader(v)
		out = append(out, headReader{c, false}, headReader{c, true})
	}
	return out
}

// stretches parts the blocks at headings that are more than a letter. A
// stretch under a heading of an index, of a bibliography or the like is
// barred: its entries are in order and are no dictionary.
func stretches(b *book.Book) []stretch {
	out := []stretch{{}}
	for i := range b.Blocks {
		bl := &b.Blocks[i]
		cur := &out[len(out)-1]
		switch {
		case bl.Kind == book.Heading && letterHeading(b, bl):
		case bl.Kind == book.Heading:
			next := stretch{}
			if p, ok := english.Lookup(blockStart(b, bl)); ok {
				next.barred = otherLists[p.ID]
			}
			out = append(out, next)
		case bl.Kind != book.Para && bl.Kind != book.Line || bl.Cont:
		case bl.Part == book.NotesPart, bl.Form == book.Note, bl.Form == book.NoteMore:
		case bl.First == 0 && (bl.Run > 0 || bl.Kind == book.Line):
			cur.margins = append(cur.margins, margin{block: i})
		case bl.Kind == book.Para && bl.Run < bl.First:
			cur.body++
		}
	}
	return out
}

// otherLists are the headings of lists in alphabetical order that are no
// dictionaries.
var otherLists = map[english.PhraseID]bool{
	english.Index: true, english.Notes: true, english.Footnotes: true, english.Endnotes: true, english.Bibliography: true, english.FurtherReading: true, english.Cast: true, english.Illustrations: true, english.Maps: true,
}

// letterHeading reports whether a heading is a letter of the alphabet, alone,
// twice (capital and small) or a range of two: it stands over the entries that
// begin with it.
func letterHeading(b *book.Book, bl *book.Block) bool {
	n, run := 0, 0
	for _, c := range blockStart(b, bl) {
		switch {
		case c >= 'a' && c <= 'z':
			n, run = n+1, run+1
		case strings.IndexByte(" ,;.-_^\"@#1247", c) >= 0:
			run = 0
		default:
			return false
		}
		if run > 2 {
			return false
		}
	}
	return n == 1 || n == 2
}

// blockStart is the text of a block as it is set, its first cells.
func blockStart(b *book.Book, bl *book.Block) []byte {
	var t []byte
	for i := range bl.Pieces {
		if t = b.AppendPiece(t, bl, i); len(t) > keyCells {
			break
		}
	}
	return t
}

// promising looks at some margins only: most of their headwords must
// rise, or verse would be read for nothing.
func (f *entryFinder) promising(s *stretch) bool {
	n := len(s.margins)
	from := max(0, min(n/3, n-4*minEntries)) // beyond lists at the front
	some := s.margins[from:min(n, from+4*minEntries)]
	best, of := -1, 0
	for i := range f.readers {
		f.readWith(some, i, glanceCells)
		m := lettered(some)
		row := max(len(rising(m, firstWordKey)), len(rising(m, lettersKey)))
		if row > best {
			best, of, f.use = row, len(m), i
		}
	}
	return best*10 >= of*7
}

func firstWordKey(h *headword) string { return h.word }
func lettersKey(h *headword) string   { return h.all }

// read reads the headwords of margins with the reader in use.
func (f *entryFinder) read(margins []margin) { f.readWith(margins, f.use, keyCells) }

// readWith reads the headwords of margins with one reader, of that many cells.
func (f *entryFinder) readWith(margins []margin, reader, cells int) {
	for i := range margins {
		m := &margins[i]
		t := blockStart(f.b, &f.b.Blocks[m.block])
		t = t[SkipTurns(t):]
		m.head = f.readers[reader].headword(t[:min(len(t), cells)])
		fields := cell.Fields(t)
		m.words = len(fields) >= 3 || len(f.b.Blocks[m.block].Pieces) > 1
		m.last = endsInLabel(f.b, &f.b.Blocks[m.block])
	}
}

func endsInLabel(b *book.Book, bl *book.Block) bool {
	if len(bl.Pieces) == 0 {
		return false
	}
	w := lastWord(b.Text(bl.Pieces[len(bl.Pieces)-1]))
	l, ok := cell.ParseLabel(w)
	return ok && !l.Bare
}

// SkipTurns returns where a text begins after print page turns that stand
// before its first word: dot 5, dots 2-5 and a number.
func SkipTurns(t []byte) int {
	at := 0
	for {
		w := firstWord(t[at:])
		if len(w) < 2 || w[0] != '"' || w[1] != '3' {
			return at
		}
		n := len(w)
		if n == 2 {
			if n = len(firstWord(t[min(at+3, len(t)):])) + 3; n == 3 {
				return at
			}
		} else if _, ok := cell.ParseLabel(w[2:]); !ok {
			return at
		}
		for at += n; at < len(t) && t[at] == cell.Blank; at++ {
		}
		if at >= len(t) {
			return len(t)
		}
	}
}

// headword reads how an entry begins.
func (h headReader) headword(t []byte) headword {
	h.r.Reset()
	if h.strip {
		t = english.Strip(t)
	}
	return headwordOf(h.r.Text(t))
}

// headwordOf finds the headword in the print of an entry's first cells.
func headwordOf(print string) headword {
	if !plainASCII(print) {
		print = norm.NFD.String(print)
	}
	all := make([]byte, 0, len(print))
	first := -1 // letters of the first word, in all
	blanks := 0
scan:
	for _, c := range print {
		switch {
		case c == ' ':
			blanks++
			if first < 0 && len(all) > 0 {
				first = len(all)
			}
			if blanks == 2 && len(all) > 0 {
				break scan
			}
			continue
		case unicode.IsLetter(c):
			all = utf8.AppendRune(all, unicode.ToLower(c))
		case len(all) == 0:
		case strings.ContainsRune(".,:;()[]=/–—", c) || unicode.IsDigit(c):
			break scan
		}
		blanks = 0
	}
	h := headword{all: string(all)}
	if h.word = h.all; first >= 0 {
		h.word = h.all[:first]
	}
	return h
}

func plainASCII(s string) bool {
	for i := range len(s) {
		if s[i] >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

// judgeEntries decides on a stretch: nil when it is no run of entries.
func judgeEntries(s *stretch) *EntryRun {
	m := lettered(s.margins)
	if len(m) < minEntries || len(m)*10 < len(s.margins)*9 || s.body > 3*len(m) {
		return nil
	}
	m, in := trim(m, inOrder(m))
	if len(m) < minEntries || !worded(m) {
		return nil
	}
	if n := count(in); n < minEntries || n*20 < len(m)*19 {
		in = pairsInOrder(m, in)
	}
	if n := count(in); n < minEntries || n*20 < len(m)*19 {
		return nil
	}
	run := &EntryRun{}
	for i := range m {
		if in[i] || nearLetter(m, in, i) {
			run.Entries = append(run.Entries, m[i].block)
		} else {
			run.Strays = append(run.Strays, m[i].block)
		}
	}
	for _, x := range s.margins {
		if x.head.word == "" && x.block > m[0].block && x.block < m[len(m)-1].block {
			run.Strays = append(run.Strays, x.block)
		}
	}
	sort.Ints(run.Strays)
	return run
}

// trim takes lines that stand before or after the entries off the ends of a
// stretch, a list of symbols or an imprint: ten margins of which two are out of
// order.
func trim(m []margin, in []bool) ([]margin, []bool) {
	loose := func(in []bool) bool {
		n := 0
		for _, ok := range in {
			if !ok {
				n++
			}
		}
		return n >= 2
	}
	for len(m) >= minEntries && (!in[0] || loose(in[:minEntries])) {
		m, in = m[1:], in[1:]
	}
	for n := len(m); n >= minEntries && (!in[n-1] || loose(in[n-minEntries:])); n = len(m) {
		m, in = m[:n-1], in[:n-1]
	}
	return m, in
}

func count(in []bool) int {
	n := 0
	for _, ok := range in {
		if ok {
			n++
		}
	}
	return n
}

// pairsInOrder marks margins that no single key sorts but that stand in order
// with both neighbours by one key or another: headwords of several words with
// nothing to part them from the text, sorted letter by letter. The row that is
// in order by one key must be long all the same.
func pairsInOrder(m []margin, in []bool) []bool {
	if len(m) < 2*minEntries || count(in)*4 < len(m)*3 {
		return in
	}
	ok := func(i int) bool {
		return i < 0 || i+1 >= len(m) || m[i].head.word <= m[i+1].head.word || m[i].head.all <= m[i+1].head.all
	}
	out := make([]bool, len(in))
	for i := range in {
		out[i] = ok(i-1) && ok(i)
	}
	return out
}

// lettered are the margins that begin with letters.
func lettered(all []margin) []margin {
	var out []margin
	for _, m := range all {
		if m.head.word != "" {
			out = append(out, m)
		}
	}
	return out
}

// worded reports whether entries say something of words: most have three words
// or more, few end in page numbers as an index does, few begin with a single
// letter as lists of answers and alphabet verses do, those that repeat the
// word before them do not do so in any order as litanies do, and the headwords are
// many: speeches of a play and rows of a knitting pattern begin alike.
func worded(m []margin) bool {
	long, label, single, again, fallen := 0, 0, 0, 0, 0
	words := map[string]bool{}
	for i := range m {
		words[m[i].head.all] = true
		if m[i].words {
			long++
		}
		if m[i].last {
			label++
		}
		if len(m[i].head.word) == 1 {
			single++
		}
		if i > 0 && m[i].head.word == m[i-1].head.word {
			again++
			if m[i].head.all < m[i-1].head.all {
				fallen++
			}
		}
	}
	n := len(m)
	return len(words)*2 >= n && long*2 >= n && label*2 < n && single*2 < n && (again*2 < n || fallen*5 < again)
}

// inOrder marks the longest row of margins whose headwords never fall: by the
// first word, or by all letters of the headword, whichever explains more.
func inOrder(m []margin) []bool {
	a, b := rising(m, firstWordKey), rising(m, lettersKey)
	if len(b) > len(a) {
		a = b
	}
	in := make([]bool, len(m))
	for _, i := range a {
		in[i] = true
	}
	return in
}

// rising is the longest row of margins whose keys never fall, as indexes.
func rising(m []margin, key func(*headword) string) []int {
	prev := make([]int, len(m))
	var ends []int // ends[k] ends the row of k+1 margins with the least last key
	for i := range m {
		k := key(&m[i].head)
		at := sort.Search(len(ends), func(j int) bool { return key(&m[ends[j]].head) > k })
		prev[i] = -1
		if at > 0 {
			prev[i] = ends[at-1]
		}
		if at == len(ends) {
			ends = append(ends, i)
		} else {
			ends[at] = i
		}
	}
	if len(ends) == 0 {
		return nil
	}
	out := make([]int, len(ends))
	for i, k := ends[len(ends)-1], len(ends)-1; k >= 0; i, k = prev[i], k-1 {
		out[k] = i
	}
	return out
}

// nearLetter reports whether a margin that is out of order begins with the
// letter of its neighbours that are in order: an entry that print sorts in
// another way.
func nearLetter(m []margin, in []bool, i int) bool {
	a, z := i-1, i+1
	for a >= 0 && !in[a] {
		a--
	}
	for z < len(m) && !in[z] {
		z++
	}
	c := m[i].head.word[0]
	return (a < 0 || m[a].head.word[0] == c) && (z >= len(m) || m[z].head.word[0] == c)
}

// goesOnRun accepts a stretch too short to be believed by itself that stands
// right after a run and goes on its alphabet: the few entries of a letter under
// a heading of its own.
func (f *entryFinder) goesOnRun(s []stretch, accepted []*EntryRun, i int) *EntryRun {
	f.read(s[i].margins)
	m := s[i].margins
	before := lettered(s[i-1].margins)
	if len(lettered(m)) != len(m) || len(m) < 1 || len(before) == 0 || len(rising(m, firstWordKey)) != len(m) {
		return nil
	}
	last := before[len(before)-1].head.word
	if m[0].head.word < last || m[0].head.word[0] > last[0]+3 {
		return nil
	}
	if i+1 < len(s) && accepted[i+1] != nil {
		if next := lettered(s[i+1].margins); len(next) > 0 && next[0].head.word < m[len(m)-1].head.word {
			return nil
		}
	} else if len(m) < 2 || !worded(m) {
		return nil
	}
	run := &EntryRun{}
	for k := range m {
		run.Entries = append(run.Entries, m[k].block)
	}
	return run
}
