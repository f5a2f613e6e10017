package triage

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/source"
)

// TestBlockAgain: a page or a part of one that stands twice is found; a verse with its chorus
// after each stanza, and a short chorus sung twice, are not (common practice of hymn books).
func TestBlockAgain(t *testing.T) {
	page := func(n int) []string {
		var out []string
		for i := range 20 {
			out = append(out, fmt.Sprintf("! rope ( page #a%c w5t l9e %c a/]n", 'a'+n, 'a'+i))
		}
		return out
	}
	join := func(parts ...[]string) []string {
		var out []string
		for _, p := range parts {
			out = append(out, p...)
		}
		return out
	}
	chorus := []string{"  s+ ! bell1 o s+ ! bell1", "  9 ! ha1d ( ! n[t1", "  s+ x l\\d1 s+ x cle>1", "  un6! morn+ li<t4", ""}
	cut := append(join(page(0), page(1)[:11]), page(1)[10][:20]+page(1)[0][9:])
	for _, c := range []struct {
		what  string
		lines []string
		want  int32
	}{
		{"pages", join(page(0), page(1), page(2)), -1},
		{"a page twice", join(page(0), page(1), page(1), page(2)), 40},
		{"a block twice, cut within lines", join(cut, page(1)[1:], page(2)), 32},
		{"a chorus after each stanza", join(page(0)[:6], chorus, page(1)[:6], chorus, page(2)[:6], chorus), -1},
		{"a chorus twice", join(page(0)[:6], chorus, chorus, page(1)), -1},
	} {
		f, err := source.Parse("v.brf", []byte(strings.Join(c.lines, "\r\n")+"\r\n"))
		if err != nil {
			t.Fatal(err)
		}
		var seen [2048]int32
		if got := blockAgain(f, 0, &seen); got != c.want {
			t.Errorf("%s: line %d, want %d", c.what, got, c.want)
		}
	}
}
