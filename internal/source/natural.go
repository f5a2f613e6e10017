package source

import (
	"slices"
	"strconv"
	"strings"
)

// Natural tells whether name a comes before name b when numbers in names count
// by their value and case does not matter: v2 before v10, "Vol 1" before
// "vol 2". English number words to twenty count as numbers, "Volume Two" before
// "Volume Three". Equal in that sense, the plain order of bytes decides.
func Natural(a, b string) bool {
	x, y := digitsForWords(strings.ToLower(a)), digitsForWords(strings.ToLower(b))
	for x != "" && y != "" {
		if isDigit(x[0]) && isDigit(y[0]) {
			var m, n string
			m, x = cutNumber(x)
			n, y = cutNumber(y)
			if len(m) != len(n) {
				return len(m) < len(n)
			}
			if m != n {
				return m < n
			}
			continue
		}
		if x[0] != y[0] {
			return x[0] < y[0]
		}
		x, y = x[1:], y[1:]
	}
	if x != y {
		return x == ""
	}
	return a < b
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// cutNumber takes the digits off the start of s, without zeros before them.
func cutNumber(s string) (number, rest string) {
	i := 0
	for i < len(s) && isDigit(s[i]) {
		i++
	}
	return strings.TrimLeft(s[:i], "0"), s[i:]
}

var numberWords = strings.Fields("one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen twenty")

// digitsForWords puts digits in the place of the number words of a name.
func digitsForWords(s string) string {
	isLetter := func(c byte) bool { return c >= 'a' && c <= 'z' || c >= 0x80 }
	var b strings.Builder
	for i := 0; i < len(s); {
		j := i
		for j < len(s) && isLetter(s[j]) {
			j++
		}
		if n := slices.Index(numberWords, s[i:j]); n >= 0 {
			b.WriteString(strconv.Itoa(n + 1))
		} else {
			b.WriteString(s[i:j])
		}
		if i = j; i < len(s) {
			b.WriteByte(s[i])
			i++
		}
	}
	return b.String()
}
