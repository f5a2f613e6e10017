package convert_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/cell"
)

// TestRowHardAgainstNumber: a print page turn on line 1, a row of dots 3-6 with its number (BRL session 4), is
// written where the braille page number stands hard against its own, which is left out; the turn is proved.
func TestRowHardAgainstNumber(t *testing.T) {
	num := func(n int) string { return string(cell.Number(n)) }
	var b strings.Builder
	for p := 1; p <= 12; p++ {
		top := "nobody 9 ! village cd rememb]"
		if top += strings.Repeat(" ", 38-len(top)-len(num(p))) + num(p); p == 5 || p == 9 {
			end := num(40+p) + num(p)
			top = strings.Repeat("-", 38-len(end)) + end
		}
		b.WriteString(top + "\n")
		for range 10 {
			fmt.Fprintf(&b, "  ,! old f]ry cross$ ! riv] twice a\n\"d & nobody 9 ! village cd rememb]4\n")
		}
		b.WriteString("\f")
	}
	_, edition := hardBook(t, nil, b.String())
	for _, p := range []int{5, 9} {
		if n := strings.Count(edition, "---"+num(40+p)+"\n"); n != 1 {
			t.Errorf("the turn to print page %d stands %d times\n%s", 40+p, n, edition)
		}
		if strings.Contains(edition, num(40+p)+num(p)) {
			t.Errorf("the page number %d is left beside the turn", p)
		}
	}
}
