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
		"#bc-#bd": {Value: 23, Last: 24},
		"#a-ij":   {Value: 1, Last: 90},
		";iv":     {Roman: true, Value: 4, Last: 4},
		"iv":      {Roman: true, Bare: true, Value: 4, Last: 4},
		"a;iv":    {Roman: true, Prefix: "a", Value: 4, Last: 4},
		"viii-;x": {Roman: true, Bare: true, Value: 8, Last: 10},
		"#ab;a":   {Value: 12, Last: 12, Suffix: "a"},
		"#c;,b":   {Value: 3, Last: 3, Suffix: "b"},
		"1#fa":    {Prefix: "1", Value: 61, Last: 61},
		",a#c":    {Prefix: ",a", Value: 3, Last: 3},
		"#i-#a":   {Value: 9, Last: 9},
	} {
		got, ok := ParseLabel([]byte(tok))
		if !ok || got != want {
			t.Errorf("ParseLabel(%q) = %+v %v, want %+v", tok, got, ok, want)
		}
	}
	for _, tok := range []string{"", "!", "9", "and", "#", "#ab4", "abc#a", "iiii", "#abcdef"} {
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
