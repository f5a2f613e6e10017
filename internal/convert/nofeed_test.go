package convert_test

import (
	"strings"
	"testing"

	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/source"
)

// TestNoPages: a file without form feeds and page numbers has no pages to go
// by; its title page ends where the text begins, and paragraphs are whole.
func TestNoPages(t *testing.T) {
	p := newPaper(t, "uk", "ueb", 0)
	p.height = 1 << 20
	p.pages[0] = append(p.pages[0], "", p.centred(",9 ,two ,volumes"), p.centred(`,volume ,"o`), "", "", "", "")
	first := p.paragraph(p.sentences(30))
	p.text(150)
	p.put("")
	verse := p.paragraph(p.sentences(20))
	p.text(50)
	f, err := source.Parse("v1.brf", []byte(strings.ReplaceAll(string(p.bytes()), "\f", "")))
	if err != nil {
		t.Fatal(err)
	}
	o := convert.Defaults()
	o.Width = 0
	res, err := convert.Make([]*source.File{f}, o)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"\r\n\r\n" + first + "\r\n", "\r\n\r\n" + verse + "\r\n"} {
		if !strings.Contains(string(res.Edition), want) {
			t.Errorf("not whole: %q\n%.600s", want, res.Edition)
		}
	}
	if rep := check.Verify(res.Edition, res.Account, []*source.File{f}); !rep.OK {
		t.Error(rep.Problems)
	}
}
