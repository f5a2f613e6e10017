package ebraille_test

import (
	"bytes"
	"flag"
	"fmt"
	"testing"

	"continuo/internal/convert"
	"continuo/internal/ebrl"
	"continuo/internal/source"
	"continuo/internal/testkit"
)

var seeds = flag.Int("seeds", 8, "titles of the press test")

// TestPressed: titles of the press in every layout keep the rules of eBraille
// and all words.
func TestPressed(t *testing.T) {
	texts, err := testkit.Texts()
	if err != nil {
		testkit.Need(t, err)
	}
	made := 0
	for seed := uint64(1); seed <= uint64(*seeds); seed++ {
		b, err := testkit.NewBook(testkit.Draw(seed), texts)
		if err != nil {
			testkit.Need(t, err)
		}
		x, err := testkit.Press(b)
		if err != nil {
			t.Fatal(err)
		}
		var files []*source.File
		for _, f := range x.Files {
			s, err := source.Parse(f.Name, f.Raw)
			if err != nil {
				t.Fatal(err)
			}
			files = append(files, s)
		}
		res, err := convert.Make(files, convert.Defaults())
		if err != nil {
			continue // a title with damage that is refused
		}
		made++
		ed := written(t, res.Book, metadata("T"), options(res))
		name := fmt.Sprintf("seed %d", seed)
		if ed.Foreign == 0 {
			sameWords(t, name, wordsOf(content(ed)), edition(t, res.Book.Files))
		}
		entries(t, name, ed)
		if _, next := again(t, ed); next.Pages != ed.Pages || next.Headings != ed.Headings || next.Linked != ed.Linked {
			t.Errorf("%s: read and written again %d pages, %d headings, %d links; before %d, %d, %d", name, next.Pages, next.Headings, next.Linked, ed.Pages, ed.Headings, ed.Linked)
		}
		pack, err := ed.Pack()
		if err != nil {
			t.Fatal(err)
		}
		rep, err := ebrl.Package("x.ebrl", bytes.NewReader(pack), int64(len(pack)))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range rep.Findings {
			t.Errorf("%s: %s %s: %s", name, f.Rule, f.Place(), f.Text)
		}
	}
	if made < *seeds/2 {
		t.Errorf("%d of %d titles were made", made, *seeds)
	}
}
