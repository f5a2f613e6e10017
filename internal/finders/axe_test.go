package finders_test

import (
	"os"
	"path/filepath"
	"testing"

	"continuo/internal/testkit"
	"continuo/internal/testkit/browser"
)

// TestAxe has axe-core (npm, by Deque) look at the page of finders in Debian's
// Chromium, in light, dark and forced colours: no violation of WCAG 2.2 A and AA,
// none of its best practices.
func TestAxe(t *testing.T) {
	b, err := browser.Start(t.TempDir())
	testkit.Need(t, err)
	defer b.Stop()
	page, err := small(t).HTML("x.brf")
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "page.html")
	if err := os.WriteFile(path, page, 0o666); err != nil {
		t.Fatal(err)
	}
	p := b.Page(t)
	p.Still(path, "")
	p.Narrow()
}
