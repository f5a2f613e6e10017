package check_test

import (
	"flag"
	"strings"
	"testing"

	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/source"
	"continuo/internal/testkit"
)

var (
	titleCount = flag.Int("titles", 30, "titles pressed from open texts")
	firstSeed  = flag.Int("seed", 1, "seed of the first")
)

// TestOutsideProof converts titles pressed from open English texts (put into
// braille by liblouis) and wants the distrustful reader to prove each edition:
// an alarm without cause is as much a fault as a loss that is not noticed.
func TestOutsideProof(t *testing.T) {
	texts, err := testkit.Texts()
	testkit.Need(t, err)
	n := *titleCount
	if testing.Short() {
		n = min(n, 5)
	}
	for i := range n {
		seed := uint64(*firstSeed + i)
		lay := testkit.Draw(seed)
		book, err := testkit.NewBook(lay, texts)
		if err != nil {
			t.Fatalf("seed %d: press: %v", seed, err)
		}
		title, err := testkit.Press(book)
		if err != nil {
			t.Fatalf("seed %d: press: %v", seed, err)
		}
		var files []*source.File
		for _, f := range title.Files {
			s, err := source.Parse(f.Name, f.Raw)
			if err != nil {
				t.Fatalf("seed %d: %v", seed, err)
			}
			files = append(files, s)
		}
		res, err := convert.Make(files, opts(seed))
		if err != nil {
			t.Logf("seed %d: not converted: %v", seed, err) // the converter's own tests judge this
			continue
		}
		if rep := check.Verify(res.Edition, res.Account, files); !rep.OK {
			var b strings.Builder
			for _, p := range rep.Problems[:min(len(rep.Problems), 6)] {
				b.WriteString("\n  " + p.String())
			}
			t.Errorf("seed %d: %d problems:%s", seed, rep.NProblems, b.String())
		}
	}
}

// opts varies the settings from title to title.
func opts(seed uint64) convert.Options {
	o := convert.Defaults()
	o.Width = [...]int{-1, 0, 20, 32, -1}[seed%5]
	if seed%3 == 0 {
		o.Blank = "none"
	}
	if seed%7 == 0 {
		o.EndMarkers = "drop"
	}
	return o
}
