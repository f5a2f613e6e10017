package convert_test

import (
	"regexp"
	"strings"
	"testing"

	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/demo"
	"continuo/internal/profile"
)

// TestWayInOtherWords: the page "finding your way" says in the words of the
// profile what it says in English, with the same strings, and is proved.
func TestWayInOtherWords(t *testing.T) {
	page := func(o convert.Options) []string {
		files := demoFiles(t, demo.Titles[0])
		res, err := convert.Make(files, o)
		if err != nil {
			t.Fatal(err)
		}
		if rep := check.Verify(res.Edition, res.Account, files); !rep.OK {
			t.Fatalf("not proved: %v", rep.Problems)
		}
		var out []string
		for i := range res.Book.Blocks {
			if bl := &res.Book.Blocks[i]; len(bl.Pieces) == 1 && bl.Pieces[0].Vol < 0 && res.Book.Reasons[bl.Pieces[0].Reason].Class == "way" {
				out = append(out, blockText(res.Book, i))
			}
		}
		return out
	}
	o := convert.Defaults()
	o.Profile.Way = "end"
	english := page(o)
	line := func(key string) string { return key + " {blanks} <{cells}>" }
	o.Profile.WayWords = &profile.WayWords{Title: "titl", Start: "dechrau", Contents: line("cynnwys"), Heading: line("pennawd"), Pages: "tudalen <{cells}>", Apart: "tudalen <{cells}> bwlch",
		Notes: line("nodiadau"), Index: line("mynegai"), Words: "gair <{cells}>", Blanks: strings.Split("abcdefghijkl", "")}
	own := page(o)
	if len(own) != len(english) || len(own) < 5 || own[0] != "titl" || own[1] != "dechrau" {
		t.Fatalf("%d lines, %d in English: %q", len(own), len(english), own)
	}
	raw := regexp.MustCompile(`^[a-z]+ ([a-l] )?< ?(.+) >( bwlch)?$`)
	for i := 2; i < len(own); i++ {
		m := raw.FindStringSubmatch(own[i])
		if m == nil || !strings.Contains(english[i], m[2]) {
			t.Errorf("line %d is %q, in English %q", i+1, own[i], english[i])
		}
	}
}
