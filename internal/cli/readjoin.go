package cli

import (
	"bytes"

	"continuo/internal/cell"
	"continuo/internal/english"
)

// join puts the first word of the cells to the last word in p.buf where they
// are one, and returns where the word ends in p.buf and the cells that are left
// over. Rules of line ends: Rules of Unified English Braille 2013, 6.10, 7.2,
// 7.4, 10.13; British Braille 2004 and English Braille American Edition,
// division of words and numbers.
func (p *printer) join(cells []byte, line int32) (end int, rest []byte) {
	from := bytes.LastIndexByte(p.buf, cell.Blank) + 1
	last := p.buf[from:]
	n := bytes.IndexByte(cells, cell.Blank)
	if n < 0 {
		n = len(cells)
	}
	next := cells[:n]
	v := p.codes.at(line)
	word, ok := p.joined(last, next, v)
	if !ok {
		return len(p.buf), cells
	}
	p.buf = append(p.buf[:from], word...)
	return len(p.buf), bytes.TrimLeft(cells[n:], " ")
}

// joined is the word that two parts at a line end make, ok false when they stay
// apart.
func (p *printer) joined(last, next []byte, v english.Variant) (word []byte, ok bool) {
	n := len(last)
	if n == 0 || len(next) == 0 {
		return nil, false
	}
	plain := func(drop int) ([]byte, bool) {
		return append(append([]byte(nil), last[:n-drop]...), next...), true
	}
	switch {
	case n > 2 && bytes.HasSuffix(last, []byte("_/")):
		return plain(0)
	case last[n-1] == '"':
		if english.GuideDots(last) || n < 2 || last[n-2] == '"' || next[0] == '"' {
			return nil, false
		}
		return plain(1)
	case dashEnd(last, v) || dashStart(next, v):
		if p.spacedDash(v) {
			return nil, false
		}
		return plain(0)
	case last[n-1] != '-' || n < 2:
		return nil, false
	case dividedNumber(last, next, v):
		return plain(1)
	}
	switch string(english.Strip(next)) {
	case "&", "or", "to", "and": // a hanging hyphen: one- to three-
		return nil, false
	}
	p.countWords()
	j := p.words.Join(last, next, v)
	if !j.DropHyphen && j.Confidence < 0.75 {
		p.hyphens++
	}
	return j.Cells, true
}

// dividedNumber reports whether a hyphen divides a number of the older codes:
// it stands after the separator of thousands (SEB dot 3, EBAE dot 2), and the
// next line goes on without a number sign.
func dividedNumber(last, next []byte, v english.Variant) bool {
	n := len(last)
	separator := map[english.Code]byte{english.SEB: '\'', english.EBAE: '1'}[v.Code]
	if n < 4 || separator == 0 || last[n-2] != separator || next[0] < 'a' || next[0] > 'j' {
		return false
	}
	sign := bytes.LastIndexByte(last, '#')
	return sign >= 0 && len(bytes.Trim(last[sign+1:n-2], "abcdefghij'1")) == 0
}

// dashEnd reports whether a word ends in a dash: dots 6-36 of UEB, or two or
// four cells of dots 3-6 of the older codes.
func dashEnd(t []byte, v english.Variant) bool {
	return !v.Code.Older() && bytes.HasSuffix(t, []byte(",-")) || bytes.HasSuffix(t, []byte("--"))
}

func dashStart(t []byte, v english.Variant) bool {
	if v.Code.Older() {
		n := len(t) - len(bytes.TrimLeft(t, "-"))
		return n < len(t) && (n == 2 || n == 4)
	}
	return len(t) > 2 && t[0] == ',' && t[1] == '-'
}

// dashHabit is whether a text writes its dashes between blanks.
type dashHabit uint8

const (
	dashNotCounted dashHabit = iota
	dashTight
	dashSpaced
)

func (p *printer) spacedDash(v english.Variant) bool {
	if p.dashes == dashNotCounted {
		spaced, tight := 0, 0
		for i := range p.t.v.Units {
			countDash(p.t.v.Units[i].Text, !v.Code.Older(), &spaced, &tight)
		}
		p.dashes = dashTight
		if spaced > tight {
			p.dashes = dashSpaced
		}
	}
	return p.dashes == dashSpaced
}

// countDash counts dashes within a line that stand between blanks, and those
// that do not.
func countDash(t []byte, ueb bool, spaced, tight *int) {
	sign := []byte("--")
	if ueb {
		sign = []byte(",-")
	}
	for i := 1; i+len(sign) < len(t); i++ {
		if !bytes.HasPrefix(t[i:], sign) || t[i-1] == '-' || t[i+2] == '-' {
			continue
		}
		if t[i-1] == cell.Blank && t[i+2] == cell.Blank {
			*spaced++
		} else if t[i-1] != cell.Blank && t[i+2] != cell.Blank {
			*tight++
		}
	}
}

// countWords takes the undivided words of the text into the vocabulary.
func (p *printer) countWords() {
	if p.words != nil {
		return
	}
	p.words = &english.Vocabulary{}
	for i := range p.t.v.Units {
		t := p.t.v.Units[i].Text
		for _, f := range cell.Fields(t) {
			if f[1] < len(t) || t[f[1]-1] != '-' {
				p.words.Add(t[f[0]:f[1]])
			}
		}
	}
}
