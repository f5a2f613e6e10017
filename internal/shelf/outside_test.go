package shelf

import (
	"path/filepath"
	"testing"

	"continuo/internal/testkit"
	"continuo/internal/testkit/browser"
)

// pages are indexes of a card with many titles and of one with a few.
func pages(t *testing.T) []string {
	t.Helper()
	var out []string
	for _, n := range []int{60, 2} {
		dir := t.TempDir()
		items := library(n)
		items[1].Why = "volume 2 of 3 is missing"
		items = append(items, book("odd", "A <b>bold</b> & \"quoted\" \u017dofie", "By O'Hara & Sons", 1))
		build1(t, dir, items, Options{})
		out = append(out, filepath.Join(dir, indexWeb))
	}
	return out
}

// HTML Living Standard, by html-validate.
func TestIndexIsValid(t *testing.T) {
	faults, err := testkit.HTMLValidate("../write/testdata/htmlvalidate.json", pages(t)...)
	testkit.Need(t, err)
	for _, f := range faults {
		t.Error(f)
	}
}

// WCAG 2.2 as far as axe-core tells, in light, dark and forced colours; no script,
// nothing fetched, no scrolling to the side at 320 pixels (1.4.10).
func TestIndexIsAccessible(t *testing.T) {
	b, err := browser.Start(t.TempDir())
	testkit.Need(t, err)
	defer b.Stop()
	for _, path := range pages(t) {
		p := b.Page(t)
		p.Still(path, "")
		p.Narrow()
	}
}
