package finders_test

import (
	"net/url"
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
	if browser.Missing(err) {
		testkit.Need(t, err)
	}
	if err != nil {
		t.Fatal(err)
	}
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
	p.Open((&url.URL{Scheme: "file", Path: path}).String())
	for _, mode := range browser.Modes() {
		p.Show(mode)
		violations, passes := p.Axe()
		for _, v := range violations {
			t.Errorf("%s: %s", mode, v)
		}
		if passes < 10 {
			t.Errorf("%s: only %d rules of axe-core looked at anything", mode, passes)
		}
		t.Logf("%s: %d rules passed", mode, passes)
	}
}
