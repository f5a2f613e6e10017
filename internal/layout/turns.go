package layout

import (
	"bytes"

	"continuo/internal/cell"
)

// markTurns marks print page turns that stand alone on a line: dot 5, dots
// 2-5 and a number (W3C w3c-wai-hc 1997, 0306 and 0312), or a row of dots 3-6
// from the left margin with the number at its end (BRL session 4; BANA Braille
// Formats 2016, 1.11). A row without a number counts where the volume has rows
// with numbers or the row fills the width of the paper.
func (v *Volume) markTurns() {
	var bare []int32
	for i := range v.Lines {
		l := &v.Lines[i]
		if l.Role != Text {
			continue
		}
		t := v.TextOf(int32(i))
		if lab, ok := MarkLabel(t); ok {
			l.Role, l.Sure = Turn, 0.98
			v.label(l, lab)
			v.Marks++
			continue
		}
		v.markInline(int32(i), t)
		lab, to, has, ok := v.rowAt(int32(i))
		switch {
		case ok && has:
			l.Role, l.Row, l.Sure = Turn, true, 0.99
			v.label(l, lab)
			if l.Text.To = to; l.Right.From < to {
				l.Right = Span{}
			}
			v.Rows++
		case ok:
			bare = append(bare, int32(i))
		}
	}
	if v.Rows == 0 {
		return
	}
	for _, i := range bare {
		l := &v.Lines[i]
		l.Role, l.Row, l.Bare, l.Sure = Turn, true, true, 0.9
	}
}

// label keeps the label of a line; only those kept go to the heap.
func (v *Volume) label(l *Line, lab cell.Label) {
	if v.compound {
		lab = lab.Compound()
	}
	l.Label = &lab
}

// markInline takes down print page indicators within a line of text.
func (v *Volume) markInline(line int32, t []byte) {
	Marks(t, func(_, _ int, lab cell.Label) {
		if v.Inline == nil {
			v.Inline = map[int32][]cell.Label{}
		}
		if v.compound {
			lab = lab.Compound()
		}
		v.Inline[line] = append(v.Inline[line], lab)
		v.Marks++
	})
}

// Marks calls f for every print page indicator within a line of text, with the
// cells from up to to that it takes.
func Marks(t []byte, f func(from, to int, lab cell.Label)) {
	for i := 0; i+3 < len(t); i++ {
		k := bytes.IndexByte(t[i:], '"')
		if k < 0 || i+k+3 >= len(t) {
			return
		}
		i += k
		if t[i+1] != '3' || (i > 0 && t[i-1] != cell.Blank) {
			continue
		}
		from := i + 2
		if t[from] == cell.Blank {
			from++
		}
		to := firstTokenEnd(t, from)
		if lab, ok := MarkLabel(t[i:to]); ok {
			f(i, to, lab)
		}
		i = to
	}
}

// MarkLabel reads a whole text as a print page indicator: dot 5, dots 2-5 and
// a page label after at most one blank. Without the dot 5 the label must have
// a number sign.
func MarkLabel(t []byte) (cell.Label, bool) {
	if len(t) < 2 || t[0] != '3' && (t[0] != '"' || t[1] != '3') { // most lines
		return cell.Label{}, false
	}
	return markLabel(t)
}

func markLabel(t []byte) (cell.Label, bool) {
	dot5 := len(t) > 0 && t[0] == '"'
	if dot5 {
		t = t[1:]
	}
	if len(t) < 2 || t[0] != '3' {
		return cell.Label{}, false
	}
	t = t[1:]
	if t[0] == cell.Blank {
		t = t[1:]
	}
	lab, ok := cell.ParseLabel(t)
	if !ok || (!dot5 && lab.Roman) {
		return cell.Label{}, false
	}
	return lab, true
}

// rowAt reads line i as a row of dots 3-6, up to cell to, the page number at its right end cut off.
func (v *Volume) rowAt(i int32) (lab cell.Label, to int32, has, ok bool) {
	l, t := &v.Lines[i], v.Raw(i)
	if lab, has, ok = v.row(l, t); !ok && l.Right.To > 0 {
		t = bytes.TrimRight(t[:l.Right.From], " ")
		lab, has, ok = v.row(l, t)
		ok = ok && has
	}
	return lab, int32(len(t)), has, ok
}

// numberAfterRow is where a page number begins in a token that is a row of dots 3-6 with its print page
// and, with no room for a blank, the braille page number; 0 in all others.
func numberAfterRow(t []byte) int {
	row := len(t) - len(bytes.TrimLeft(t, "-"))
	from := bytes.LastIndexByte(t, '#')
	if row < 6 || from <= row {
		return 0
	}
	print, ok := cell.ParseLabel(t[row:from])
	own, plain := cell.ParseLabel(t[from:])
	if !ok || print.Bare || !plain || own.Bare || own.Last != own.Value || own.Prefix != "" || own.Suffix != "" {
		return 0
	}
	return from
}

// row reads a line as a row of dots 3-6 from the margin, with a page label
// set hard against its end or without one.
func (v *Volume) row(l *Line, t []byte) (lab cell.Label, has, ok bool) {
	if len(t) < 8 || t[0] != '-' && !(t[0] == cell.Blank && t[1] == '-') {
		return lab, false, false
	}
	i := cell.Indent(t)
	from := i
	for i < len(t) && t[i] == '-' {
		i++
	}
	n := i - from
	if i == len(t) {
		return lab, false, n >= v.Width-2
	}
	if n < 6 || len(t) < v.TextWidth*2/3 {
		return lab, false, false
	}
	lab, has = cell.ParseLabel(t[i:])
	return lab, has, has
}
