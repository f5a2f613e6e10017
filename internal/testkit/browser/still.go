package browser

import (
	"net/url"
	"path/filepath"
)

// Still opens a page from a file, does what is given in JavaScript ("" for
// nothing), and wants of it: no finding of axe-core in light, dark and forced
// colours, no script of its own, no error, nothing fetched from a host.
func (p *Page) Still(path, do string) {
	p.t.Helper()
	name := filepath.Base(path)
	problems := p.Watch("")
	p.Open((&url.URL{Scheme: "file", Path: filepath.ToSlash(path)}).String())
	if n := Eval[int](p, "document.scripts.length"); n > 0 {
		p.t.Errorf("%s: %d scripts", name, n)
	}
	if do != "" {
		p.do(do)
	}
	for _, mode := range Modes() {
		p.Show(mode)
		violations, passes := p.Axe()
		for _, v := range violations {
			p.t.Errorf("%s, %s %s: %s", name, mode, do, v)
		}
		if passes < 10 {
			p.t.Errorf("%s, %s: only %d rules of axe-core looked at anything", name, mode, passes)
		}
	}
	if s := problems.String(); s != "" {
		p.t.Errorf("%s: %s", name, s)
	}
}

// Narrow wants the page that is open to need no scrolling to the side in a window
// 320 pixels wide (WCAG 2.2, 1.4.10).
func (p *Page) Narrow() {
	p.t.Helper()
	p.Size(320, 640)
	if s := p.TooWide(); s != "" {
		p.t.Errorf("%s: %s", p.URL(), s)
	}
}
