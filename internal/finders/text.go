package finders

import (
	"bytes"
	"sort"

	"continuo/internal/cell"
)

// code is a cell as a number from 0 (the blank) to 63; foreign is a byte that
// is no cell and matches nothing.
const foreign = 255

var codes = func() (t [256]byte) {
	for i := range t {
		t[i] = foreign
		if c, ok := cell.Fold(byte(i)); ok {
			if c >= 'a' {
				c -= 0x20
			}
			t[i] = c - 0x20
		}
	}
	return t
}()

// text is an edition as one run of codes, a line end read as one blank.
type text struct {
	code  []byte
	start []int32 // of each line, and of the end
}

// newText reads the lines of an edition.
func newText(lines [][]byte) *text {
	n := 0
	for _, l := range lines {
		n += len(l) + 1
	}
	t := &text{code: make([]byte, 0, n), start: make([]int32, 0, len(lines)+1)}
	for _, l := range lines {
		t.start = append(t.start, int32(len(t.code)))
		for _, c := range l {
			t.code = append(t.code, codes[c])
		}
		t.code = append(t.code, 0)
	}
	t.start = append(t.start, int32(len(t.code)))
	return t
}

// line returns the span of line i, from 0, without its end and the blanks
// before it.
func (t *text) line(i int) (from, to int32) {
	from, to = t.start[i], t.start[i+1]-1
	for to > from && t.code[to-1] == 0 {
		to--
	}
	return from, to
}

// indent is the first cell of the span that is not blank.
func (t *text) indent(from, to int32) int32 {
	for from < to && t.code[from] == 0 {
		from++
	}
	return from
}

// cells turns codes back into canonical cells.
func cells(code []byte) []byte {
	out := make([]byte, len(code))
	for i, c := range code {
		out[i] = c + 0x20
		if out[i] >= 'A' && out[i] <= 'Z' {
			out[i] += 0x20
		}
	}
	return out
}

// encode turns canonical cells into codes.
func encode(s []byte) []byte {
	out := make([]byte, len(s))
	for i, c := range s {
		out[i] = codes[c]
	}
	return out
}

// between reports whether a string begins anywhere from offset from up to, not
// including, offset to.
func (t *text) between(from, to int32, s []byte) bool {
	end := min(int(to)+len(s)-1, len(t.code))
	return from < to && bytes.Contains(t.code[from:end], s)
}

// onLine reports whether n cells from an offset on lie on one line.
func (t *text) onLine(at int32, n int) bool {
	i := sort.Search(len(t.start), func(i int) bool { return t.start[i] > at }) - 1
	return i >= 0 && i+1 < len(t.start) && int(at)+n < int(t.start[i+1])
}

// hits counts how often a string begins from offset from on and ends up to offset to; ok says
// that none of them goes over a line end, where only one of the two readings finds it.
func (t *text) hits(from, to int32, s []byte) (n int, ok bool) {
	for {
		k := bytes.Index(t.code[from:to], s)
		if k < 0 {
			return n, true
		}
		if from += int32(k); !t.onLine(from, len(s)) {
			return 0, false
		}
		n, from = n+1, from+1
	}
}

// shared is the most cells in which the text at an offset from from on, and
// before x, agrees with the text at x, up to offset to; where nothing agrees
// with all of x it is less than x has.
func (t *text) shared(from int32, x span, to int32) int32 {
	s, most := t.code[x.from:x.to], int32(len(t.code[x.from:x.to])-1)
	for from < x.from {
		k := bytes.Index(t.code[from:min(int(x.from)+len(s)-1, len(t.code))], s)
		if k < 0 {
			break
		}
		at := from + int32(k)
		n := int32(len(s))
		for x.from+n < to && t.code[at+n] == t.code[x.from+n] {
			n++
		}
		most, from = max(most, n), at+1
	}
	return most
}
