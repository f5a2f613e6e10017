package english

import "testing"

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

// trueOrOpen checks a whole book's detection: right, or honestly open.
func trueOrOpen(t *testing.T, name string, v Variant, d Detection) {
	t.Helper()
	e := d.Evidence
	if d.Contracted != v.Contracted || !d.GradeSure || d.Capitals != v.Capitals || !d.CapsSure {
		t.Errorf("%s, a whole book in %v: told as %v, grade sure %v, capitals sure %v", name, v, d.Variant, d.GradeSure, d.CapsSure)
	}
	if d.Code != UnknownCode && d.Code != v.Code || d.Older && !v.Code.Older() {
		t.Errorf("%s, a whole book in %v: told as %v, margins %.1f and %.1f, %v", name, v, d.Variant, e.FamilyMargin, e.OlderMargin, e.Counts)
	}
	t.Logf("%-15s %-34v whole book: %v, code sure %v", name, v, d.Variant, d.CodeSure)
}

// TestDetectOpenTexts tells the variant from pages of 2,000 cells and from
// whole books, with texts that played no part in choosing the tells. The bars
// are the project's: grade and capitals 100 %, UEB or older 99.9 % in
// contracted text, never wrong where the code is said to be sure.
func TestDetectOpenTexts(t *testing.T) {
	for _, text := range []struct {
		name  string
		paras []string
	}{{"prideprejudice", some(novel(t, "prideprejudice"), 30_000)}, {"opticks", some(ordinary(opticks(t)), 40_000)}, {"quotations", some(quotations(t), 30_000)}, {"devil", some(devil(t), 30_000)}} {
		for _, v := range Variants() {
			n, family, open, code := 0, 0, 0, 0
			var whole [][]byte
			for _, p := range pages(louisCells(t, v, text.paras), 2000) {
				n++
				whole = append(whole, p...)
				d := Detect(p)
				if d.Contracted != v.Contracted || d.Capitals != v.Capitals {
					t.Errorf("%s, page %d of %v: told as %v", text.name, n, v, d.Variant)
				}
				if d.CodeSure && d.Code != v.Code {
					t.Errorf("%s, page %d of %v: told as %v and sure: %v", text.name, n, v, d.Variant, d.Evidence.Counts)
				}
				switch {
				case d.Code == UnknownCode && !d.Older:
					open++
				case d.Older == v.Code.Older():
					family++
				}
				if d.Code == v.Code {
					code++
				}
			}
			t.Logf("%-15s %-34v %3d pages: family right %d, open %d, wrong %d; code named %d", text.name, v, n, family, open, n-family-open, code)
			if v.Contracted && float64(family) < 0.999*float64(n) {
				t.Errorf("%s in %v: UEB or older right on %d pages of %d", text.name, v, family, n)
			}
			trueOrOpen(t, text.name, v, Detect(whole))
		}
	}
}

// TestDetectParts: a book that changes its code after a chapter is told part by
// part.
func TestDetectParts(t *testing.T) {
	paras := some(novel(t, "emma"), 12_000)
	var parts [][][]byte
	for i, v := range []Variant{{EBAE, true, true}, {EBAE, true, true}, {UEB, true, true}, {EBAE, false, true}} {
		var part [][]byte
		for _, p := range louisCells(t, v, paras[i*len(paras)/4:(i+1)*len(paras)/4]) {
			part = append(part, wrap(p, 38)...)
		}
		parts = append(parts, part)
	}
	_, differ := DetectParts(parts)
	if len(differ) != 2 || differ[0] != 2 || differ[1] != 3 {
		t.Errorf("parts that differ: %v, want the third and fourth", differ)
	}
}
