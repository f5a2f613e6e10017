package convert_test

import (
	"fmt"
	"strings"
	"testing"
)

// turnRow is a line that says that the print page turns (BANA Braille Formats 2016, 1.11).
func turnRow(width int, page string) string {
	return strings.Repeat("-", width-len(page)) + page
}

// TestListPages: in a list with a column of print pages and one of braille pages, a number that stands alone in
// the second is a braille page, for no mark tells the print page of that heading (common practice), and goes with the
// others. A heading on a page that was put between two of the print has the letter too in a list that gets
// print pages.
func TestListPages(t *testing.T) {
	names := []string{",! ,quay", ",! ,h>b\\r", ",salt", ",boats"}
	pages := []string{"", "#d", "#d;a", "#f"}
	for name, c := range map[string]struct {
		entry func(n int) string
		want  string
	}{
		"two columns": {
			func(n int) string { return fmt.Sprintf("%-24s%6s%7s", names[n], pages[n], "#"+string(rune('c'+2*n))) },
			",! ,quay\n,! ,h>b\\r #d\n,salt #d;a\n,boats #f\n",
		},
		"braille pages": {
			func(n int) string { return fmt.Sprintf("%-30s%7s", names[n], "#"+string(rune('c'+2*n))) },
			",! ,quay\n,! ,h>b\\r #d\n,salt #d;a\n,boats #f\n",
		},
	} {
		t.Run(name, func(t *testing.T) {
			s := hardVolume(1, 1)
			s.centre(",3t5ts")
			s.put("")
			for n := range names {
				s.put(c.entry(n))
			}
			for n, h := range names {
				s.turn()
				if pages[n] != "" {
					s.put(turnRow(38, pages[n]))
				}
				s.put("")
				s.centre(h)
				s.put("")
				s.para(60)
				if n == 0 {
					s.put(turnRow(38, "#c"))
				}
				s.para(120)
				s.para(70)
			}
			_, ed := hardBook(t, nil, s.ends(1))
			if !strings.Contains(ed, c.want) {
				t.Errorf("no list %q\n%s", c.want, ed[:min(len(ed), 900)])
			}
		})
	}
}
