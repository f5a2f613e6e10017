package triage

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/source"
)

// A volume that is there twice, once with misprints mended, is told (common
// practice: the old file and the mended one lie in one folder). Two volumes of a
// book that share a refrain and page heads are two volumes.
func TestCopies(t *testing.T) {
	volume := func(name string, words func(i int) string) *source.File {
		var b strings.Builder
		for i := range 120 {
			fmt.Fprintf(&b, "%s\n", words(i))
			if i%25 == 24 {
				b.WriteString("! old refra9 ( ! mill4\n\f")
			}
		}
		f, err := source.Parse(name, []byte(b.String()))
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	lines := func(word string) func(int) string {
		return func(i int) string { return fmt.Sprintf("%s %c%c went 6! mill ag", word, 'a'+i/26, 'a'+i%26) }
	}
	mended := func(i int) string {
		if i%10 == 0 {
			return "m5d$ " + lines("old")(i)
		}
		return lines("old")(i)
	}
	one, two, three := volume("b1.brf", lines("old")), volume("b1 new.brf", mended), volume("b2.brf", lines("young"))
	got := copies([]*source.File{one, three, two})
	if len(got) != 1 || !strings.Contains(got[0].text, "b1 new.brf and b1.brf") {
		t.Errorf("a mended copy: got %v", got)
	}
	if got := copies([]*source.File{one, three}); len(got) != 0 {
		t.Errorf("two volumes: got %v", got)
	}
}
