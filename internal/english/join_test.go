package english

import (
	"strings"
	"testing"
)

// TestJoinCases: one case for each way to decide. Words of the book are given
// in cells; UEB contracted unless the case says otherwise.
func TestJoinCases(t *testing.T) {
	ueb, ebae := Variant{UEB, true, true}, Variant{EBAE, true, true}
	for _, c := range []struct {
		book, first, second string
		v                   Variant
		drop                bool
		cells, reason       string
	}{
		{"! remem2r$ words", "rememb-", "]$4", ueb, true, "rememb]$4", "neither part"},
		{"rememb]$", "remem-", "b]$4", ueb, true, "rememb]$4", "has the word undivided"},
		{",rememb]$", "8,remem-", "b]$10", ueb, true, "8,rememb]$10", "has the word undivided"},
		{"well-br$ people", "well-", "br$", ueb, false, "well-br$", "with its hyphen"},
		{"walk$ away", "walk-", "9g", ueb, true, "walk+", "another form"},
		{"c l", "gd-", "look+", ueb, false, "gd-look+", "word of its own"},
		{"x", "#aiij-", "#ie", ueb, false, "#aiij-#ie", "number"},
		{"x", ",anglo-", ",saxon", ueb, false, ",anglo-,saxon", "capital"},
		{"x", "sd--", "y", ebae, false, "sd--y", "dash"},
		{"dam goods", "dam-", "age", ueb, true, "damage", "ending"},
		{"n", "na-", "tion", ebae, true, "n,n", "ending"},
		{"sun set", "sun-", "set", ueb, false, "sun-set", "both parts"},
		{"email", "\"<;e-", "mail\">2", ueb, false, "\"<;e-mail\">2", "letter by itself"},
	} {
		var voc Vocabulary
		for _, w := range strings.Fields(c.book) {
			voc.Add([]byte(w))
		}
		j := voc.Join([]byte(c.first), []byte(c.second), c.v)
		if j.DropHyphen != c.drop || string(j.Cells) != c.cells || !strings.Contains(j.Reason, c.reason) {
			t.Errorf("%s %s in a book with %q: %v %q (%s), want %v %q (%s)", c.first, c.second, c.book, j.DropHyphen, j.Cells, j.Reason, c.drop, c.cells, c.reason)
		}
	}
}

// TestDividedOlderVerbs: verbs of older English that look like a shortform with letters
// added, divided at a line end, are written as liblouis writes the whole word (Debian's
// liblouis, tables en-ueb-g2, en-GB-g2, en-us-g2).
func TestDividedOlderVerbs(t *testing.T) {
	for _, x := range []struct {
		code                  Code
		first, second, joined string
	}{
		{UEB, "p]-", "ceive/", "p]ceive/"}, {UEB, "3-", "ceive?", "3ceive?"}, {UEB, "de-", "cl>e/", "decl>e/"},
		{SEB, "p]-", "ceive/", "p]cv/"}, {EBAE, "p]-", "ceive/", "p]cv/"}, {EBAE, "p]-", "ceive?", "p]cv?"},
	} {
		got := (&Vocabulary{}).Join([]byte(x.first), []byte(x.second), Variant{Code: x.code, Contracted: true, Capitals: true})
		if string(got.Cells) != x.joined {
			t.Errorf("%v: %s %s joined as %s, want %s", x.code, x.first, x.second, got.Cells, x.joined)
		}
	}
}

// TestShortformsAreNotDivided: a book of older spelling has to-morrow and the shortform of
// tomorrow; a line that ends in "to-" divides no shortform (EBAE 1994, a shortform is not
// divided between lines; from memory), whichever the book has more of.
func TestShortformsAreNotDivided(t *testing.T) {
	v := &Vocabulary{}
	for _, w := range []string{"tm", "tm", "tm", "to-morr["} {
		v.Add([]byte(w))
	}
	if got := v.Join([]byte("to-"), []byte("morr["), Variant{Code: EBAE, Contracted: true, Capitals: true}); got.DropHyphen {
		t.Errorf("joined as %s: %s", got.Cells, got.Reason)
	}
}

// A shortform that had room where the first part with its hyphen stands was not
// divided: the hyphen is the word's own ("to-morrow"), though the book has
// "tomorrow" elsewhere.
func TestShortformWithRoomIsNotDivided(t *testing.T) {
	var v Vocabulary
	for range 3 {
		v.Add([]byte("tm1"))
	}
	j := v.Join([]byte("to-"), []byte("morr[1"), Variant{Code: SEB, Contracted: true})
	if j.DropHyphen {
		t.Errorf("joined as %s: %s", j.Cells, j.Reason)
	}
}

// A word that had room on its line whole was not divided, however short the first part: the
// hyphen of "to-morrow" is its own though the book has "tomorrow" elsewhere. Without that room the
// sentence mark after it would not have fitted.
func TestWordThatHadRoomIsNotDivided(t *testing.T) {
	var v Vocabulary
	for range 3 {
		v.Add([]byte("tm1"))
	}
	of := Variant{Code: EBAE, Contracted: true, Capitals: true}
	if got := v.JoinWithin([]byte("to-"), []byte("morr[40"), of, 2); got.DropHyphen {
		t.Errorf("with room joined as %s: %s", got.Cells, got.Reason)
	}
	if got := v.JoinWithin([]byte("to-"), []byte("morr[40"), of, 0); !got.DropHyphen {
		t.Errorf("without room joined as %s: %s", got.Cells, got.Reason)
	}
}

// "To us-ward" is joined by a hyphen in older English (the Bible of 1611; from memory), "to-ward" is a
// divided word.
func TestPronounAndDirection(t *testing.T) {
	var v Vocabulary
	for _, w := range []string{"us", "to"} {
		v.Add([]byte(w))
	}
	of := Variant{Code: UEB, Capitals: true}
	if got := v.Join([]byte("us-"), []byte("ward3"), of); got.DropHyphen {
		t.Errorf("joined as %s: %s", got.Cells, got.Reason)
	}
	if got := v.Join([]byte("to-"), []byte("ward"), of); !got.DropHyphen {
		t.Errorf("joined as %s: %s", got.Cells, got.Reason)
	}
}
