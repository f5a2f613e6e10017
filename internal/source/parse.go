package source

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"sort"
	"strings"
	"sync"
	"unicode/utf8"

	"continuo/internal/cell"
)

const (
	// MaxBytes is the size of the largest file that is read.
	MaxBytes = 256 << 20
	// MaxLines is how many lines and form feeds a file may have together.
	MaxLines = 20 << 20
	// NUL stands in Cells for a foreign byte 0x00, so that cells never hold a
	// zero byte. An edition carries it as this byte too.
	NUL = 0x80
)

// Parse reads one file from memory. It decides by content, never by the ending
// of the name: Braille ASCII in either case (with the forms ` { | } ~ and
// DEL), or Unicode braille as UTF-8 or UTF-16 with or without a byte order
// mark. Any of LF, CR LF and CR ends a line (CR CR LF counts as one end).
//
// A form feed ends a page, and a line when one is open. Where most form feeds
// of a file stand right after text and before a line end, that line end
// belongs to the form feed; otherwise a line end after a form feed is a blank
// first line. A form feed at the very start and form feeds at the end make no
// pages of their own; one line end after the last form feed makes no line.
//
// Control counts the bytes that are in no line: line ends, form feeds, byte
// order mark, and at the end of the file NULs, blanks, Ctrl-Z and line ends
// after one of these. So, with n the cells of all lines up to Full, Control+n
// is Bytes for ASCII. In Unicode files a six-dot cell takes 3 (UTF-8) or 2
// (UTF-16) bytes, an ASCII blank or sign 1 or 2, and a foreign character its
// own length in the file; with these, Control and the lines again add up to
// Bytes exactly.
//
// Foreign matter stays in Cells: a byte as itself (0x00 as NUL), a character of
// a Unicode file as its UTF-8 bytes. A tab becomes one blank and a sign of
// ASCII in a Unicode file becomes its cell; both are told in Foreign.
//
// A file that is plainly no braille is an error that names the file and the
// first wrong place.
func Parse(name string, raw []byte) (*File, error) { return parse(name, raw, "") }

// parse is Parse of bytes whose SHA-256 may be known.
func parse(name string, raw []byte, known string) (*File, error) {
	if len(raw) > MaxBytes {
		return nil, fmt.Errorf("%s: too large: %d bytes, the limit is %d", Quote(name), len(raw), MaxBytes)
	}
	if len(raw) == 0 {
		return nil, fmt.Errorf("%s: not a braille file: it is empty", Quote(name))
	}
	f := &File{Name: name, Path: name, Bytes: int64(len(raw))}
	sum := func() string { return known }
	if known == "" {
		sum = sync.OnceValue(hashAside(raw))
	}
	defer sum()
	r := &reader{f: f}
	if err := r.decode(raw); err != nil {
		return nil, err
	}
	if err := r.split(); err != nil {
		return nil, err
	}
	if err := r.judge(); err != nil {
		return nil, err
	}
	f.SHA256 = sum()
	return f, nil
}

// hashAside starts the SHA-256 of raw, beside the reading when raw is large,
// and returns what waits for it.
func hashAside(raw []byte) func() string {
	if len(raw) < 1<<20 {
		return func() string { h := sha256.Sum256(raw); return hex.EncodeToString(h[:]) }
	}
	done := make(chan struct{})
	var text string
	go func() {
		h := sha256.Sum256(raw)
		text = hex.EncodeToString(h[:])
		close(done)
	}()
	return func() string { <-done; return text }
}

// reader holds the state of one reading. text is the file as one byte a cell
// with its line ends and form feeds; of a Unicode file it is a decoded copy.
type reader struct {
	f       *File
	text    []byte
	unit    int64 // bytes of a line end in the file
	unicode bool
	asides  []int // offsets in text of the first ASCII sign of a line (Unicode files)
	nAsides int
	strange int64 // foreign bytes or characters that are no tab and no ASCII sign
	signs   int64 // cells and foreign characters that are not blank

	i          int // offset in text
	start, end int // of the open line in Cells
	j          int // where Cells goes on
	first      int // first line of the open page

	swallow bool // a line end after a form feed belongs to the form feed

	crlf, loneEnds int
	letters        uint64 // upper-case letters in the high half, lower-case in the low
}

// decode tells the encoding, takes mark and padding off and fills text.
func (r *reader) decode(raw []byte) error {
	f := r.f
	enc, bom := detect(raw)
	f.Encoding = enc
	f.Control = int64(bom)
	body := raw[bom:]
	r.unit = 1
	if enc == UTF16LE || enc == UTF16BE {
		r.unit = 2
	}
	end := trimTail(body, enc)
	f.Control += int64(len(body) - end)
	body = body[:end]
	switch enc {
	case ASCII:
		r.text = body
	case UTF8:
		r.unicode = true
		r.fromUTF8(body)
	default:
		r.unicode = true
		r.fromUTF16(body, enc == UTF16BE)
	}
	f.Final, f.Tail, f.Padded = final(r.text), tail(r.text), end < len(raw)-bom
	return r.refuse()
}

// tail is what follows the last cell of a text: n for line ends, f for each form feed.
func tail(text []byte) string {
	var out []byte
	i := len(text)
	for i > 0 && (text[i-1] == cell.Blank || text[i-1] == '\n' || text[i-1] == '\r' || text[i-1] == '\f') {
		i--
	}
	for _, c := range text[i:] {
		switch {
		case c == '\f':
			out = append(out, 'f')
		case c != cell.Blank && (len(out) == 0 || out[len(out)-1] != 'n'):
			out = append(out, 'n')
		}
	}
	return string(out)
}

func final(text []byte) Final {
	if len(text) == 0 {
		return FinalCell
	}
	switch text[len(text)-1] {
	case '\f':
		return FinalFeed
	case '\n', '\r':
		return FinalLine
	}
	return FinalCell
}

// magics are starts of files that hold printable text but no braille.
var magics = []struct{ start, what string }{
	{"<?xml", "it is an XML file other than PEF"},
	{"<pef", "its start looks like PEF and is damaged"},
	{"<!doctype", "it is an HTML file"},
	{"<html", "it is an HTML file"},
	{`{\rtf`, "it is a word processor file (RTF)"},
	{"%pdf-", "it is a PDF file"},
	{"pk\x03\x04", "it is a zip archive inside another file"},
}

func (r *reader) refuse() error {
	head := r.text[:min(len(r.text), 200)]
	head = bytes.ToLower(bytes.TrimLeft(head, " \t\r\n"))
	if r.unicode {
		head = bytes.ReplaceAll(head, []byte(`[\rtf`), []byte(`{\rtf`))
	}
	for _, m := range magics {
		if bytes.HasPrefix(head, []byte(m.start)) {
			return fmt.Errorf("%s: not a braille file: %s", Quote(r.f.Name), m.what)
		}
	}
	return nil
}

// split cuts text into lines and pages and folds its cells.
func (r *reader) split() error {
	f, text := r.f, r.text
	ends := bytes.Count(text, []byte{'\n'})
	crs := bytes.Count(text, []byte{'\r'})
	if crs > ends {
		ends = crs
	}
	feeds := bytes.Count(text, []byte{'\f'})
	if ends+feeds > MaxLines {
		return fmt.Errorf("%s: not a braille file: more than %d lines", Quote(f.Name), MaxLines)
	}
	r.swallow = feedBeforeEnd(text)
	f.Lines = make([]Line, 0, ends+feeds+1)
	f.Pages = make([]Page, 0, feeds+1)
	if r.unicode {
		f.Cells = text // folded in place: a cell is never written after where it is read
	} else {
		f.Cells = make([]byte, len(text))
	}
	r.scan()
	sort.SliceStable(f.Foreign, func(i, j int) bool {
		a, b := f.Foreign[i], f.Foreign[j]
		return a.Line < b.Line || a.Line == b.Line && a.Col < b.Col
	})
	f.CRLF = r.crlf > r.loneEnds
	f.Letters = [2]int64{int64(r.letters >> 32), int64(r.letters & (1<<32 - 1))}
	f.Upper = f.Letters[0] > f.Letters[1]
	f.FormFeed = len(f.Pages) > 1
	return nil
}

// letterKind holds 1 for a lower-case letter, 1<<32 for an upper-case one.
var letterKind [256]uint64

func init() {
	for c := 'a'; c <= 'z'; c++ {
		letterKind[c], letterKind[c-0x20] = 1, 1<<32
	}
}

// scan is the one pass over text.
func (r *reader) scan() {
	f, text := r.f, r.text
	fold := cell.FoldTable()
	for r.i < len(text) {
		n, last, marks, letters := foldRun(f.Cells[r.j:], text[r.i:], fold)
		if last > 0 {
			r.end = r.j + last
		}
		f.Marks += int64(marks)
		r.letters += letters
		r.i, r.j = r.i+n, r.j+n
		if r.i < len(text) {
			r.special(text[r.i])
		}
	}
	if r.j > r.start {
		r.closeLine()
	}
	if len(f.Lines) > r.first {
		r.closePage()
	}
	n := len(f.Pages)
	for n > 0 && f.Pages[n-1].First == f.Pages[n-1].Last {
		n--
	}
	f.Pages = f.Pages[:n]
	f.Cells = f.Cells[:r.j:r.j]
	r.signs += f.Marks
}

// foldRun folds src into dst up to the first byte that is no cell. It returns
// how many cells it wrote, where the last one that is not blank ends, how many
// are not blank, and the letters by case. dst may be src.
func foldRun(dst, src []byte, fold *[256]byte) (n, last, marks int, letters uint64) {
	dst = dst[:len(src)]
	for n < len(src) {
		b := src[n]
		c := fold[b]
		if c == 0 {
			return
		}
		letters += letterKind[b]
		dst[n] = c
		n++
		if c != cell.Blank {
			marks++
			last = n
		}
	}
	return
}

// special reads what starts with byte b and is no cell.
func (r *reader) special(b byte) {
	f, t := r.f, r.text[r.i:]
	switch b {
	case '\n', '\r':
		n := endLen(t)
		r.countEnd(b, n)
		r.closeLine()
		r.skip(n)
	case '\f':
		r.feed(t)
	case '\t':
		r.tell(len(f.Lines), r.j-r.start, tabText)
		f.Cells[r.j] = cell.Blank
		r.i, r.j = r.i+1, r.j+1
	default:
		n := r.foreign(t)
		r.strange++
		r.signs -= int64(n - 1)
		f.Marks += int64(n)
		copy(f.Cells[r.j:], t[:n])
		if b == 0 {
			f.Cells[r.j] = NUL
		}
		r.i, r.j = r.i+n, r.j+n
		r.end = r.j
	}
}

// feed reads the form feed that t starts with, and the line end that belongs
// to it.
func (r *reader) feed(t []byte) {
	n := 0
	if r.swallow && r.i > 0 {
		n = endLen(t[1:])
	}
	if r.i > 0 {
		if r.j > r.start || n > 0 {
			r.closeLine()
		}
		r.closePage()
	}
	if rest := t[1+n:]; len(rest) > 0 && endLen(rest) == len(rest) {
		n = len(t) - 1 // one line end after the last form feed
	}
	r.skip(1 + n)
}

// skip passes n bytes of text that are control.
func (r *reader) skip(n int) {
	r.f.Control += int64(n) * r.unit
	r.i += n
}

func (r *reader) closeLine() {
	f := r.f
	if len(r.asides) > 0 && r.asides[0] < r.i {
		if len(f.Foreign) < MaxForeign {
			f.Foreign = append(f.Foreign, Foreign{len(f.Lines), r.asides[0] - (r.i - (r.j - r.start)), asideText})
		}
		r.asides = r.asides[1:]
	}
	f.Lines = append(f.Lines, Line{int32(r.start), int32(max(r.end, r.start)), int32(r.j), int32(len(f.Pages))})
	r.start = r.j
}

func (r *reader) closePage() {
	r.f.Pages = append(r.f.Pages, Page{int32(r.first), int32(len(r.f.Lines))})
	r.first = len(r.f.Lines)
}

// endLen is the length of the line end that t starts with, 0 for none.
func endLen(t []byte) int {
	switch {
	case len(t) == 0:
		return 0
	case t[0] == '\n':
		return 1
	case t[0] != '\r':
		return 0
	case len(t) > 1 && t[1] == '\n':
		return 2
	case len(t) > 2 && t[1] == '\r' && t[2] == '\n':
		return 3
	}
	return 1
}

func (r *reader) countEnd(b byte, n int) {
	if b == '\r' && n > 1 {
		r.crlf++
	} else {
		r.loneEnds++
	}
}

// feedBeforeEnd tells whether form feeds stand before the line end of the last line of
// their page: a line end follows nearly all of them, and one in ten or more stands
// right after text.
func feedBeforeEnd(text []byte) bool {
	all, ends, so := 0, 0, 0
	for i := 0; ; i++ {
		k := bytes.IndexByte(text[i:], '\f')
		if k < 0 {
			break
		}
		i += k
		if i == 0 || i == len(text)-1 || text[i+1] == '\f' {
			continue
		}
		all++
		if endLen(text[i+1:]) == 0 {
			continue
		}
		ends++
		if strings.IndexByte("\n\r\f", text[i-1]) < 0 {
			so++
		}
	}
	return ends*20 >= all*19 && so*10 >= all && so > 0
}

// judge refuses what is plainly no braille.
func (r *reader) judge() error {
	f := r.f
	if f.Marks == 0 {
		return fmt.Errorf("%s: not a braille file: it holds no cell that is not blank", Quote(f.Name))
	}
	if r.strange*10 <= r.signs {
		return nil
	}
	var at Foreign
	for _, x := range f.Foreign {
		if at = x; !x.Read() {
			break
		}
	}
	page := f.Lines[at.Line].Page
	return fmt.Errorf("%s: not a braille file: %d of its %d signs are no braille cells; the first is %s on page %d, line %d, cell %d",
		Quote(f.Name), r.strange, r.signs, at.What, page+1, at.Line-int(f.Pages[page].First)+1, at.Col+1)
}

// foreign tells the foreign byte or character that t starts with and returns
// its length in t.
func (r *reader) foreign(t []byte) int {
	n, what := 1, "byte 0x%02X"
	u := rune(t[0])
	if r.unicode {
		if c, k := utf8.DecodeRune(t); k > 1 {
			n, u, what = k, c, "U+%04X"
		}
	}
	if len(r.f.Foreign) < MaxForeign {
		what = fmt.Sprintf(what, u)
	}
	r.tell(len(r.f.Lines), r.j-r.start, what)
	return n
}

// tell adds one place of foreign matter.
func (r *reader) tell(line, col int, what string) {
	f := r.f
	f.NForeign++
	if len(f.Foreign) < MaxForeign {
		f.Foreign = append(f.Foreign, Foreign{line, col, what})
	}
}

// What Foreign says of what is read as a cell all the same: a tab, and an ASCII
// sign in a Unicode file.
const (
	tabText   = "tab, read as one blank"
	asideText = "ASCII sign among Unicode braille, read as its cell"
)

// Read tells whether the place holds no cell and is read as one all the same.
func (x Foreign) Read() bool { return x.What == tabText || x.What == asideText }

// Place says where line i of the file stands: its page and the line on that
// page, both from 1.
func (f *File) Place(i int) (page, line int) {
	p := f.Lines[i].Page
	return int(p) + 1, i - int(f.Pages[p].First) + 1
}
