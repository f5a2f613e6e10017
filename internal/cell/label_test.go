package cell

import "testing"

// Forms from the UK and North American paper layouts: W3C w3c-wai-hc list 1997
// messages 0306 and 0336 (page numbers and indicators), BRL session 4 and BANA
// Braille Formats samples (continuation letters, t and p pages), Rules of
// Unified English Braille 2013 5.7.1 and 6.5.2 (roman, letter after number).
func TestParseLabel(t *testing.T) {
	for tok, want := range map[string]Label{
		"#ab":     {Value: 12, Last: 12},
		"#cfi":    {Value: 369, Last: 369},
		"a#c":     {Prefix: "a", Value: 3, Last: 3},
		"t#a":     {Prefix: "t", Value: 1, Last: 1},
		";p#f":    {Prefix: "p", Value: 6, Last: 6},
		"#bc-#bd": {Value: 23, Last: 24, After: 24},
		"#a-ij":   {Value: 1, Last: 90, After: 90, Short: true},
		"#c-d":    {Value: 3, Last: 4, After: 4, Short: true},
		"a#h-i":   {Prefix: "a", Value: 8, Last: 9, After: 9, Short: true},
		";iv":     {Roman: true, Value: 4, Last: 4},
		"iv":      {Roman: true, Bare: true, Value: 4, Last: 4},
		"a;iv":    {Roman: true, Prefix: "a", Value: 4, Last: 4},
		"1;iv":    {Roman: true, Prefix: "1", Value: 4, Last: 4},
		"viii-;x": {Roman: true, Bare: true, Value: 8, Last: 10, After: 10},
		"#ab;a":   {Value: 12, Last: 12, Suffix: "a"},
		"#c;,b":   {Value: 3, Last: 3, Suffix: "b"},
		"1#fa":    {Prefix: "1", Value: 61, Last: 61},
		",a#c":    {Prefix: ",a", Value: 3, Last: 3},
		"#i-#a":   {Value: 9, Last: 9, After: 1},
		",a-#c":   {Prefix: ",a-", Value: 3, Last: 3},
		"a,r#ab":  {Prefix: "a,r", Value: 12, Last: 12},
		"ab,a-#c": {Prefix: "ab,a-", Value: 3, Last: 3},
	} {
		got, ok := ParseLabel([]byte(tok))
		if !ok || got != want {
			t.Errorf("ParseLabel(%q) = %+v %v, want %+v", tok, got, ok, want)
		}
	}
	for _, tok := range []string{"", "!", "9", "and", "#", "#ab4", "abc#a", "iiii", "#abcdef", "ta#4", "a#4", "8;,i", "8;i"} { // words of EBAE: table, able, and I after a quotation mark
		if got, ok := ParseLabel([]byte(tok)); ok {
			t.Errorf("ParseLabel(%q) = %+v, want none", tok, got)
		}
	}
	for _, n := range []int{0, 1, 9, 10, 109, 600} {
		if l, ok := ParseLabel(Number(n)); !ok || l.Value != n {
			t.Errorf("Number(%d) reads back as %+v", n, l)
		}
	}
}

// TestCompound: pages of chapters and appendixes (BANA Braille Formats 2016, 1.13
// and 1.14), with and without the second number sign of UEB, as they are printed
// and in cells.
func TestCompound(t *testing.T) {
	for tok, want := range map[string][2]string{
		"#i-#a": {"9-1", "#i-#a"}, "a#i-#ab": {"a9-12", "#i-#ab"}, "#i-a": {"9-1", "#i-a"}, ",a-#c": {"A-3", ",a-#c"},
		"b,r#c": {"bR3", ",r#c"}, ",a#c": {"A3", ",a#c"}, ";iv": {"iv", ";iv"}, "#ab;a": {"12a", "#ab;a"}, "t#a": {"t1", "#a"},
	} {
		l, ok := ParseLabel([]byte(tok))
		if l = l.Compound(); !ok || l.String() != want[0] || string(l.Cells()) != want[1] {
			t.Errorf("%q: %q, cells %q, want %q", tok, l, l.Cells(), want)
		}
	}
	page := func(tok string) Label { l, _ := ParseLabel([]byte(tok)); return l }
	for _, c := range []struct {
		entry, print string
		same         bool
	}{{"#i-#a", "#i-#a", true}, {"#i-#b", "#i-#a", false}, {"#h-#a", "#i-#a", false}, {"#a", "#i-#a", false}} {
		if got := page(c.entry).SamePage(page(c.print).Compound()); got != c.same {
			t.Errorf("%q names %q: %v", c.entry, c.print, got)
		}
	}
	if page(",a#c").SamePage(page("#c")) || !page("#c").SamePage(page("a#c")) {
		t.Error("letters of an appendix belong to a page, continuation letters do not")
	}
}
