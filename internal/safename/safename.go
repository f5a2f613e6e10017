// Package safename makes names of files that every file system takes and every
// display shows alike: letters without accents, and no name that Windows keeps
// for a device. It imports nothing of the project.
package safename

import (
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// apart are small letters that Unicode does not take apart into a letter and an
// accent, as they are commonly written without.
var apart = map[rune]string{
	'ß': "ss", 'æ': "ae", 'œ': "oe", 'ø': "o", 'ð': "d", 'đ': "d", 'þ': "th",
	'ł': "l", 'ħ': "h", 'ı': "i", 'ŋ': "ng", 'ŧ': "t", 'ĸ': "k", 'ə': "e",
}

// Fold is a text in small letters without accents; letters of other scripts stay.
// Forms that mean the same (ligatures, full-width letters, raised digits) become
// the plain ones.
func Fold(s string) string {
	var b strings.Builder
	for _, r := range norm.NFKD.String(strings.ToLower(s)) {
		switch plain, ok := apart[r]; {
		case unicode.Is(unicode.Mn, r):
		case ok:
			b.WriteString(plain)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// ports end the names of serial and printer ports.
var ports = []string{"0", "1", "2", "3", "4", "5", "6", "7", "8", "9", "¹", "²", "³"}

// Device reports whether Windows keeps a name for a device. It does so whatever
// the capitals and whatever comes after a full stop: AUX, aux.brf, Com1 .txt.
// Source: "Naming Files, Paths, and Namespaces", Microsoft Learn.
func Device(name string) bool {
	base, _, _ := strings.Cut(name, ".")
	base = strings.ToLower(strings.TrimRight(base, " "))
	switch base {
	case "con", "prn", "aux", "nul", "conin$", "conout$":
		return true
	}
	rest, ok := strings.CutPrefix(base, "com")
	if !ok {
		rest, ok = strings.CutPrefix(base, "lpt")
	}
	return ok && slices.Contains(ports, rest)
}
