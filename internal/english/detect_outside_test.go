package english

import (
	"fmt"
	"testing"
)

// pages wraps translated paragraphs to 38 cells and cuts them into texts of
// about size cells each.
func pages(paras [][]byte, size int) [][][]byte {
	var out [][][]byte
	var cur [][]byte
	n := 0
	for _, p := range paras {
		for _, l := range wrap(p, 38) {
			cur = append(cur, l)
			if n += len(l); n >= size {
				out, cur, n = append(out, cur), nil, 0
			}
		}
	}
	return out
}

// wrap sets one paragraph in lines, the first indented by two cells.
func wrap(p []byte, width int) [][]byte {
	var out [][]byte
	line := []byte("  ")
	for _, w := range fieldsOf(p) {
		if len(line) > 2 && len(line)+1+len(w) > width {
			out = append(out, line)
			line = nil
		}
		if len(line) > 0 && line[len(line)-1] != ' ' {
			line = append(line, ' ')
		}
		line = append(line, w...)
	}
	return append(out, line)
}

func fieldsOf(p []byte) [][]byte {
	var out [][]byte
	start := -1
	for i, c := range p {
		if c == ' ' {
			if start >= 0 {
				out = append(out, p[start:i])
			}
			start = -1
		} else if start < 0 {
			start = i
		}
	}
	if start >= 0 {
		out = append(out, p[start:])
	}
	return out
}

type detectScore struct {
	pages, grade, caps                    int
	family, familyOpen, familyWrong       int
	code, codeOpen, codeWrong, wrongAtAll int
}

func scoreDetect(t *testing.T, v Variant, paras []string, size int) detectScore {
	var s detectScore
	for _, p := range pages(louisCells(t, v, paras), size) {
		d := Detect(p)
		s.pages++
		if d.Contracted == v.Contracted {
			s.grade++
		} else if d.GradeSure {
			s.wrongAtAll++
		}
		if d.Capitals == v.Capitals {
			s.caps++
		} else if d.CapsSure {
			s.wrongAtAll++
		}
		switch {
		case d.Code == UnknownCode && !d.Older:
			s.familyOpen++
		case d.Older == v.Code.Older():
			s.family++
		default:
			s.familyWrong++
			t.Logf("%v told as %v: margin %.1f %v", v, d.Variant, d.Evidence.FamilyMargin, d.Evidence.Counts)
		}
		switch {
		case d.Code == UnknownCode:
			s.codeOpen++
		case d.Code == v.Code:
			s.code++
		default:
			s.codeWrong++
			if d.CodeSure {
				s.wrongAtAll++
			}
		}
	}
	return s
}

func TestDetectReport(t *testing.T) {
	texts := map[string][]string{"bible": some(kjvBible(t), 100_000), "sense": some(novel(t, "sensesensibility"), 100_000)}
	for name, paras := range texts {
		for _, size := range []int{500, 2000, 20000} {
			for _, v := range Variants() {
				s := scoreDetect(t, v, paras, size)
				fmt.Printf("%-8s %5d %-32s pages %4d grade %4d caps %4d | family %4d open %4d WRONG %d | code %4d open %4d wrong %d | sure and wrong %d\n", name, size, v, s.pages, s.grade, s.caps, s.family, s.familyOpen, s.familyWrong, s.code, s.codeOpen, s.codeWrong, s.wrongAtAll)
			}
		}
	}
}
