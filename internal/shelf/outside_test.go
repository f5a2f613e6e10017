package shelf

import (
	"path/filepath"
	"testing"

	"continuo/internal/testkit"
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

// WCAG 2.2 as far as axe-core tells, in light and dark; no script, nothing
// fetched, no scrolling to the side at 320 pixels (1.4.10).
func TestIndexIsAccessible(t *testing.T) {
	list, err := testkit.LookAtPages("testdata/page.cjs", pages(t)...)
	testkit.Need(t, err)
	if len(list) != 2 {
		t.Errorf("%d pages looked at", len(list))
	}
	for _, p := range list {
		for _, f := range append(p.Findings, p.Errors...) {
			t.Error(f)
		}
		if p.Requests > 0 || p.Scripts > 0 || p.Width > 320 {
			t.Errorf("%d requests, %d scripts, %d pixels wide in a window of 320", p.Requests, p.Scripts, p.Width)
		}
	}
}
