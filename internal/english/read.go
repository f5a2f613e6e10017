package english

import (
	"slices"
	"unicode/utf8"

	"continuo/internal/cell"
)

// Read reads cells of one variant to print. Blanks and line ends stay as they
// are. Cells that the code does not read, and passages in other codes, come
// out as Unicode braille; such passages stand between IslandOpen and
// IslandClose. Typeform indicators are left out. For more than a line or two
// make a Reader.
func Read(cells []byte, v Variant) string { return NewReader(v).Text(cells) }

// IslandOpen and IslandClose stand around a passage of another code (Nemeth,
// computer braille) that is passed through as Unicode braille.
const (
	IslandOpen  = "⟦"
	IslandClose = "⟧"
)

// Reader reads cells of one variant to print. It remembers chunks it has read
// and modes that are open at the end of a text (capital passages and the
// like), so it is for one goroutine and one text, in order.
type Reader struct {
	v    Variant
	t    *readTable
	memo map[string]reading
	mode modes
	out  output
}

// modes are what can outlive a blank.
type modes struct {
	caps   bool // capital passage
	grade1 bool // grade 1 passage
	island byte // cell that ends an island after 456, 0 outside
}

// reading is the print of a chunk and the cell each of its bytes comes from;
// at is nil where nobody asked for these.
type reading struct {
	print string
	at    []uint8
}

// output collects print and the cell that each byte of it comes from.
type output struct {
	b    []byte
	at   []int32
	base int32 // cell of the chunk's first cell
	maps bool
}

func (o *output) add(s string, at int) {
	o.b = append(o.b, s...)
	if o.maps {
		for i := 0; i < len(s); i++ {
			o.at = append(o.at, o.base+int32(at))
		}
	}
}

// maxMemo bounds the chunks a reader remembers.
const maxMemo = 1 << 16

// NewReader returns a reader for the variant; an unknown code is read as UEB.
func NewReader(v Variant) *Reader {
	if v.Code == UnknownCode {
		v.Code = UEB
	}
	return &Reader{v: v, t: tableOf(v), memo: map[string]reading{}}
}

// Text reads cells to print.
func (r *Reader) Text(cells []byte) string {
	r.out = output{b: slices.Grow(r.out.b[:0], len(cells)*3/2)}
	r.text(cells)
	return string(r.out.b)
}

// Map ties print to the cells it was read from.
type Map struct {
	at []int32 // by byte of print
}

// Cell returns the cell from which the print byte at offset was read.
func (m Map) Cell(offset int) int {
	switch {
	case len(m.at) == 0 || offset < 0:
		return 0
	case offset >= len(m.at):
		return int(m.at[len(m.at)-1])
	}
	return int(m.at[offset])
}

// Print returns the offset of the first print byte read from the cell, or from
// the next one that made print.
func (m Map) Print(c int) int {
	lo, hi := 0, len(m.at)
	for lo < hi {
		mid := (lo + hi) / 2
		if int(m.at[mid]) < c {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	return lo
}

// Mapped reads cells to print as Text does, with the map between the two.
func (r *Reader) Mapped(cells []byte) (string, Map) {
	r.out = output{b: slices.Grow(r.out.b[:0], len(cells)*3/2), at: make([]int32, 0, len(cells)*3/2), maps: true}
	r.text(cells)
	return string(r.out.b), Map{r.out.at}
}

func (r *Reader) text(cells []byte) {
	for i := 0; i < len(cells); {
		if c := cells[i]; c == ' ' || c == '\n' {
			r.out.base = int32(i)
			r.out.add(string(cells[i:i+1]), 0)
			i++
			continue
		}
		j := i + 1
		for j < len(cells) && cells[j] != ' ' && cells[j] != '\n' {
			j++
		}
		if r.t.older && hasPrefix(cells[i:j], "3p") {
			r.closePercent()
		}
		r.out.base = int32(i)
		r.chunk(cells[i:j])
		i = j
	}
}

// closePercent takes back the blank between a number and the older percent
// sign, which print does not have.
func (r *Reader) closePercent() {
	n := len(r.out.b)
	if n < 2 || r.out.b[n-1] != ' ' || r.out.b[n-2] < '0' || r.out.b[n-2] > '9' {
		return
	}
	r.out.b = r.out.b[:n-1]
	if r.out.maps {
		r.out.at = r.out.at[:n-1]
	}
}

// chunk reads the cells between two blanks, from memory where it can.
func (r *Reader) chunk(c []byte) {
	if r.mode != (modes{}) {
		r.readChunk(c)
		return
	}
	if m, ok := r.memo[string(c)]; ok && (m.at != nil || !r.out.maps) {
		r.recall(m)
		return
	}
	from, atFrom := len(r.out.b), len(r.out.at)
	r.readChunk(c)
	if r.mode == (modes{}) && len(r.memo) < maxMemo && len(c) < 250 {
		m := reading{print: string(r.out.b[from:])}
		if r.out.maps {
			m.at = make([]uint8, len(r.out.at)-atFrom)
			for i, a := range r.out.at[atFrom:] {
				m.at[i] = uint8(a - r.out.base)
			}
		}
		r.memo[string(c)] = m
	}
}

func (r *Reader) recall(m reading) {
	r.out.b = append(r.out.b, m.print...)
	if r.out.maps {
		for _, a := range m.at {
			r.out.at = append(r.out.at, r.out.base+int32(a))
		}
	}
}

// capsState says which letters come next as capitals.
type capsState uint8

const (
	capsNone capsState = iota
	capsNext           // the next letter
	capsWord           // to the end of the letters
)

// chunkReader is the state within one chunk.
type chunkReader struct {
	*Reader
	c       []byte
	i       int
	open    bool // only opening signs and indicators since the chunk's start, a hyphen or a dash
	start   bool // the chunk's start, or after joined words: com can stand here
	caps    capsState
	letters bool // letter sign: the next run is no wordsign
	raw     bool // grade 1 word, or UEB letters after digits
	bracket bool // older: a round bracket is open
	digits  bool // the sign before was a number
	partial bool // the chunk is a part of a divided word: letters follow its end
	half    bool // the chunk is a part of a divided word
}

func (r *Reader) readChunk(c []byte) {
	cr := chunkReader{Reader: r, c: c, open: true, start: true}
	for cr.i < len(c) {
		if r.mode.island != 0 {
			cr.island()
			continue
		}
		cr.step()
	}
}

// peek returns the cell k after the current one, a blank beyond the end.
func (cr *chunkReader) peek(k int) byte {
	if cr.i+k < len(cr.c) {
		return cr.c[cr.i+k]
	}
	return ' '
}

// put writes print for the next n cells and goes past them.
func (cr *chunkReader) put(s string, n int) {
	cr.out.add(s, cr.i)
	cr.i += n
}

// closing writes a sign after which no word opens.
func (cr *chunkReader) closing(s string, n int) {
	cr.put(s, n)
	cr.open, cr.start, cr.caps, cr.raw = false, false, capsNone, false
}

// opening writes a bracket or quotation mark that opens; a word after it stands
// alone if one could have stood before it (UEB 2.6.2).
func (cr *chunkReader) opening(s string, n int) {
	cr.put(s, n)
	cr.caps, cr.raw = capsNone, false
}

// breaking writes a hyphen or dash, after which a word stands alone.
func (cr *chunkReader) breaking(s string, n int) {
	cr.opening(s, n)
	cr.open = true
}

// unread passes one cell through as Unicode braille.
func (cr *chunkReader) unread() {
	c := cr.c[cr.i]
	if !cell.Is(c) {
		cr.closing(string(utf8.RuneError), 1)
		return
	}
	cr.closing(string(cell.Rune(c)), 1)
}

// step reads what stands at the current cell.
func (cr *chunkReader) step() {
	if cr.c[cr.i] == '#' && cr.number() {
		return
	}
	cr.digits = false
	if cr.t.older && cr.open && cr.money() {
		return
	}
	if cr.v.Contracted && cr.wholeWord() {
		return
	}
	if n := cr.runLen(cr.i); n > 0 {
		cr.readRun(n)
		return
	}
	if cr.indicator() || cr.punctuation() {
		return
	}
	cr.unread()
}

// island passes cells through until its end indicator, 456 and another cell.
func (cr *chunkReader) island() {
	if cr.peek(0) == '_' && cr.peek(1) == cr.mode.island {
		cr.mode.island = 0
		cr.opening(IslandClose, 2)
		return
	}
	cr.put(string(cell.Rune(cr.c[cr.i])), 1)
}
