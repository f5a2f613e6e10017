package structure_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/structure"
)

// TestReadMark: marks of notes (Rules of Unified English Braille 2013, 1.3.3, 3.3 and
// 6.5; English Braille American Edition, rule IV).
func TestReadMark(t *testing.T) {
	for text, want := range map[string]string{
		";9#ab ,! f]ry":      "n12 5 true",
		"9#ab ,! f]ry":       "n12 4 true",
		"#ab ,! f]ry":        "n12 3 false",
		"#ab4 ,! f]ry":       "n12 4 false",
		"\"<#b\"> ,! f]ry":   "n2 6 false",
		"7#b7 ,! f]ry":       "n2 4 false",
		"99#b ,! f]ry":       "n2 4 true",
		"99 ,! f]ry":         "*1 2 true",
		"9999 ,! f]ry":       "*2 4 true",
		"\"9 ,! f]ry":        "*1 2 true",
		"\"9,! f]ry":         "*1 2 true",
		"\"9\"9 ,! f]ry":     "*2 4 true",
		"@,? ,! f]ry":        "+1 3 true",
		"@,] ,! f]ry":        "=1 3 true",
		";9a ,! f]ry":        "a97 3 true",
		".<#c ,! f]ry":       "n3 4 false",
		",! f]ry":            "",
		"#ab":                "",
		"99":                 "",
		"9 ! f]ry":           "",
		"\"9 \"9 \"9":        "*1 2 true", // a separator: told apart as a rule
		"#aiea-#aief ! w>":   "",
		"#ajjjjj ( ! people": "",
	} {
		got := ""
		if m, n, strong, ok := structure.ReadMark([]byte(text)); ok {
			got = fmt.Sprintf("%c%d %d %v", m.Kind, m.N, n, strong)
		}
		if got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// TestReferences: the same signs hard after a word, with punctuation behind
// them or not; numbers and signs of other kinds are none.
func TestReferences(t *testing.T) {
	for text, want := range map[string]string{
		"! f]ry;9#b cross$":     "6-10 n2",
		"! f]ry;9#b4":           "6-10 n2",
		"! f]ry4;9#b":           "7-11 n2",
		"! f]ry ;9#b cross$":    "7-11 n2", // common practice: set off by a blank, as the asterisk before
		"9 #aiei9#c x":          "7-10 n3",
		"! f]ry\"9 cross$":      "6-8 *1",
		"! f]ry\"9\"9":          "6-10 *2",
		"! f]ry 99 cross$":      "7-9 *1",
		"! f]ry 99#ac cross$":   "7-12 n13",
		"! f]ry@,?1 cross$":     "6-9 +1",
		"! f]ry\"<#d\"> cross$": "6-12 n4",
		"! f]ry7#d7 cross$":     "6-10 n4",
		"! f]ry;9c cross$":      "6-9 a99",
		"! f]ry #b cross$":      "",
		"9 #aiei x 0":           "",
		"!n9 9 ! w9d":           "",
	} {
		var got []string
		structure.References([]byte(text), func(from, to int, m structure.NoteMark, _ bool) {
			got = append(got, fmt.Sprintf("%d-%d %c%d", from, to, m.Kind, m.N))
		})
		if s := strings.Join(got, " "); s != want {
			t.Errorf("%q: %q, want %q", text, s, want)
		}
	}
}

// TestEndsSentence: signs hard after a word end a sentence; the same cells on
// their own are words.
func TestEndsSentence(t *testing.T) {
	for text, want := range map[string]bool{
		"! f]ry cross$4": true, "! f]ry cross$40": true, ":at8": true, "oh6": true, "! f]ry cross$4;9#b": true, "! f]ry cross$4\">": true,
		"! f]ry cross$": false, "! f]ry cross$1": false, "he saw 8": false, "he 0": false, "g 6": false, "": false,
	} {
		if got := structure.EndsSentence([]byte(text)); got != want {
			t.Errorf("%q: %v, want %v", text, got, want)
		}
	}
}
