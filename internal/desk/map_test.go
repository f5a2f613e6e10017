package desk

import (
	"fmt"
	"regexp"
	"strings"
	"testing"
)

func TestRanges(t *testing.T) {
	for want, pages := range map[string][]int{"": nil, "page 4": {4}, "pages 4, 5": {4, 5}, "pages 4, 6 to 9, 11": {4, 6, 7, 8, 9, 11}} {
		if got := ranges(pages); got != want {
			t.Errorf("%v: %q", pages, got)
		}
	}
}

// The table after the map says all that the image shows: of each page what is on it,
// whether a heading begins there and whether a print page turns.
func TestMapInWords(t *testing.T) {
	b := visit(t, archive(t, nil))
	for _, key := range []string{"bell", "baker", "weather"} {
		page := b.page("/title/" + key)
		var open *title
		for _, k := range b.desk.titles.kept {
			open = k
		}
		m := mapOf(open)
		said := 0
		for _, r := range m.Runs {
			pages := pagesOfVolume(open, r.Volume-1)
			for n := r.First; n <= r.Last; n++ {
				p := pages[n-1]
				if p.what != r.What || r.First < r.Last && (p.headings > 0) != named(r.HeadingsOn, n) || r.First < r.Last && (len(p.print) > 0) != named(r.PrintOn, n) {
					t.Errorf("%s volume %d page %d: %+v, told as %+v", key, r.Volume, n, p, r)
				}
				said++
			}
			for _, words := range []string{r.HeadingsOn, r.PrintOn} {
				if !strings.Contains(page, words) {
					t.Errorf("%s: the page does not say %q", key, words)
				}
			}
		}
		if said != m.Pages || said < 20 {
			t.Errorf("%s: %d of %d pages are told", key, said, m.Pages)
		}
		clear(b.desk.titles.kept)
	}
}

// named reports whether words name a page.
func named(words string, page int) bool {
	for _, m := range regexp.MustCompile(`([0-9]+)(?: to ([0-9]+))?`).FindAllStringSubmatch(words, -1) {
		from, to := 0, 0
		fmt.Sscan(m[1], &from)
		if to = from; m[2] != "" {
			fmt.Sscan(m[2], &to)
		}
		if page >= from && page <= to {
			return true
		}
	}
	return false
}
