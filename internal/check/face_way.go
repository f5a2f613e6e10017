package check

import "fmt"

// What a page that tells how to find one's way may be: paragraphs, cells of
// each, and the lines of the edition, from its start or to its end, within
// which it stands.
const (
	maxWay      = 24
	maxWayCells = 120
	wayLines    = 200
)

// checkWay looks at the page "finding your way": it is short, stands in one
// place with nothing of the sources in it, and near the start or the end.
func (f *faces) checkWay() {
	n := 0
	var last tool
	for _, t := range f.v.r.tools {
		if f.v.acc.reasons[t.reason].Class != "way" {
			continue
		}
		why := ""
		switch {
		case n == maxWay:
			why = fmt.Sprintf("it has more than %d paragraphs", maxWay)
		case len(t.cells) > maxWayCells:
			why = "it is too long for a page that tells the way"
		case t.edition > wayLines && t.edition < f.v.r.ed.count-wayLines:
			why = "it stands far from both ends of the edition"
		case n > 0 && (t.src != last.src || t.line != last.line || t.account > last.account+2):
			why = "it does not stand together with the rest of the page"
		}
		if why != "" {
			f.v.add(Problem{Edition: t.edition, Account: t.account, What: fmt.Sprintf("written by the tool as %q, but %s: %q", "way", why, clip(t.cells))})
		}
		n, last = n+1, t
	}
}
