package check

import (
	"strings"
	"testing"

	"continuo/internal/source"
)

// TestPapers: a page with three lines more than most pages can be several pages of paper,
// for form feeds are missing in files of several producers; one that is a line or two off
// (24 and 26 lines among 25 in the published BANA samples) is one page.
func TestPapers(t *testing.T) {
	pages := strings.Repeat(strings.Repeat("text\n", 25)+"\f", 6)
	for lines, want := range map[int]int{9: 1, 24: 1, 26: 1, 27: 1, 28: 2, 50: 3, 75: 4} {
		f, err := source.Parse("v1.brf", []byte(pages+strings.Repeat("text\n", lines)+"\f"))
		if err != nil {
			t.Fatal(err)
		}
		fs := &faces{v: &verifier{src: []*source.File{f}}}
		if got := fs.papers(left{span: span{line: 151}}); got != want {
			t.Errorf("page of %d lines: %d pages of paper at most, want %d", lines, got, want)
		}
	}
}
