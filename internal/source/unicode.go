package source

import (
	"bytes"
	"encoding/binary"
	"unicode/utf8"

	"continuo/internal/cell"
)

// detect tells the encoding of raw by its bytes, and the length of its byte
// order mark.
func detect(raw []byte) (Encoding, int) {
	switch {
	case bytes.HasPrefix(raw, []byte{0xEF, 0xBB, 0xBF}):
		return detectUTF8(raw[3:]), 3
	case bytes.HasPrefix(raw, []byte{0xFF, 0xFE}):
		return UTF16LE, 2
	case bytes.HasPrefix(raw, []byte{0xFE, 0xFF}):
		return UTF16BE, 2
	}
	if head := raw[:min(len(raw), 64<<10)&^1]; manyForeign(head) {
		if looksUTF16(head, binary.LittleEndian) {
			return UTF16LE, 0
		}
		if looksUTF16(head, binary.BigEndian) {
			return UTF16BE, 0
		}
	}
	return detectUTF8(raw), 0
}

// detectUTF8 is UTF8 when at least half of the signs that are no ASCII blank
// or control are of Unicode's braille block.
func detectUTF8(raw []byte) Encoding {
	if bytes.IndexByte(raw, 0xE2) < 0 {
		return ASCII
	}
	braille, other := 0, 0
	for i := 0; i < len(raw); i++ {
		switch b := raw[i]; {
		case b == 0xE2 && i+2 < len(raw) && raw[i+1]&0xFC == 0xA0 && raw[i+2]&0xC0 == 0x80:
			braille++
			i += 2
		case b > ' ':
			other++
		}
	}
	if braille >= other && braille > 0 {
		return UTF8
	}
	return ASCII
}

// manyForeign tells whether one byte in twenty or more is no cell of Braille
// ASCII and no line end.
func manyForeign(head []byte) bool {
	fold := cell.FoldTable()
	strange := 0
	for _, b := range head {
		if fold[b] == 0 && b != '\r' && b != '\n' && b != '\f' {
			strange++
		}
	}
	return len(head) > 0 && strange*20 >= len(head)
}

// looksUTF16 tells whether the start of a file without a mark, with many
// foreign bytes, is UTF-16 braille: nine units in ten fit, and a third are of the
// braille block.
func looksUTF16(head []byte, order binary.ByteOrder) bool {
	fit, braille := 0, 0
	for i := 0; i < len(head); i += 2 {
		switch u := order.Uint16(head[i:]); {
		case u>>8 == 0x28:
			braille++
			fit++
		case u == '\r' || u == '\n' || u == '\f' || u == 0x1A || u == 0 || u >= 0x20 && u < 0x80:
			fit++
		}
	}
	return fit*20 >= len(head)*9 && braille*6 >= len(head)
}

// trimTail returns the length of body without what only pads its end: NULs,
// Ctrl-Z and blanks, and line ends and form feeds after a NUL or Ctrl-Z.
func trimTail(body []byte, enc Encoding) int {
	unit := 1
	at := func(i int) uint16 { return uint16(body[i]) }
	n := len(body)
	if enc == UTF16LE || enc == UTF16BE {
		unit = 2
		at = func(i int) uint16 {
			if enc == UTF16BE {
				return binary.BigEndian.Uint16(body[i:])
			}
			return binary.LittleEndian.Uint16(body[i:])
		}
		if n&1 == 1 {
			if !isPad(uint16(body[n-1])) && body[n-1] != '\n' {
				return n
			}
			n--
		}
	}
	cut := n
	for i := n - unit; i >= 0; i -= unit {
		u := at(i)
		if u == 0 || u == 0x1A {
			cut = i
		} else if u != ' ' && u != '\n' && u != '\r' && u != '\f' {
			break
		}
	}
	for cut > 0 && at(cut-unit) == ' ' {
		cut -= unit
	}
	return cut
}

func isPad(u uint16) bool { return u == 0 || u == 0x1A || u == ' ' }

// aside notes an ASCII sign in a Unicode file, the first of its line only.
func (r *reader) aside(fresh *bool) {
	if !*fresh {
		return
	}
	*fresh = false
	r.nAsides++
	if len(r.asides) < MaxForeign {
		r.asides = append(r.asides, len(r.text))
	}
}

// ascii adds a byte below 0x80 of a Unicode file to text.
func (r *reader) ascii(b byte, fresh *bool) {
	switch c, ok := cell.Fold(b); {
	case b == '\n' || b == '\r' || b == '\f':
		*fresh = true
		r.text = append(r.text, b)
	case ok && c != cell.Blank:
		r.aside(fresh)
		r.text = append(r.text, c)
	default:
		r.text = append(r.text, b)
	}
}

func (r *reader) fromUTF8(body []byte) {
	r.text = make([]byte, 0, len(body))
	fresh := true
	for i := 0; i < len(body); {
		b := body[i]
		if b == 0xE2 && i+2 < len(body) && body[i+1] == 0xA0 && body[i+2]&0xC0 == 0x80 {
			r.text = append(r.text, cell.FromDots(body[i+2]))
			i += 3
			continue
		}
		if b < 0x80 {
			r.ascii(b, &fresh)
		} else {
			r.text = append(r.text, b)
		}
		i++
	}
	r.f.NForeign += r.nAsides
}

func (r *reader) fromUTF16(body []byte, big bool) {
	r.text = make([]byte, 0, len(body)*3/2+1)
	var order binary.ByteOrder = binary.LittleEndian
	if big {
		order = binary.BigEndian
	}
	fresh, braille := true, false
	n := len(body) &^ 1
	for i := 0; i < n; i += 2 {
		u := rune(order.Uint16(body[i:]))
		if c, ok := cell.FromRune(u); ok {
			braille = true
			r.text = append(r.text, c)
			continue
		}
		if u < 0x80 {
			r.ascii(byte(u), &fresh)
			continue
		}
		if u >= 0xD800 && u < 0xDC00 && i+3 < n {
			if low := rune(order.Uint16(body[i+2:])); low >= 0xDC00 && low < 0xE000 {
				u = 0x10000 + (u-0xD800)<<10 + low - 0xDC00
				i += 2
			}
		}
		r.text = appendRune(r.text, u)
	}
	if len(body) > n { // half a unit at the end
		r.text = append(r.text, body[n]|0x80)
	}
	if !braille { // Braille ASCII in UTF-16
		r.asides, r.nAsides = nil, 0
	}
	r.f.NForeign += r.nAsides
}

// appendRune is utf8.AppendRune that keeps half a surrogate pair as its own
// three bytes instead of replacing it.
func appendRune(t []byte, u rune) []byte {
	if u >= 0xD800 && u < 0xE000 {
		return append(t, 0xED, 0x80|byte(u>>6)&0x3F, 0x80|byte(u)&0x3F)
	}
	return utf8.AppendRune(t, u)
}
