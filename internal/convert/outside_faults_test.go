package convert_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"continuo/internal/convert"
	"continuo/internal/diag"
	"continuo/internal/testkit"
)

// undamaged presses a title whose files are whole.
func undamaged(t *testing.T, seed uint64) (*testkit.Title, *testkit.Book) {
	t.Helper()
	texts, err := testkit.Texts()
	testkit.Need(t, err)
	lay := testkit.Draw(seed)
	lay.File.Damage = ""
	book, err := testkit.NewBook(lay, texts)
	testkit.Need(t, err)
	title, err := testkit.Press(book)
	if err != nil {
		t.Fatal(err)
	}
	return title, book
}

func says(findings []diag.Finding, least diag.Severity, words ...string) bool {
	for _, f := range findings {
		if f.Severity < least {
			continue
		}
		for _, w := range words {
			if strings.Contains(f.Text, w) || strings.Contains(f.Place.File, w) {
				return true
			}
		}
	}
	return false
}

// TestOutsideMissingVolume leaves a middle volume out: the tool must say which
// one is missing.
func TestOutsideMissingVolume(t *testing.T) {
	for seed := uint64(300); seed < 330; seed++ {
		title, _ := undamaged(t, seed)
		n := len(title.Files)
		if n < 3 || title.Lay.PrelimVolume {
			continue
		}
		gone := 1 + int(seed)%(n-2) // 0-based, never the first or the last
		title.Files = append(append([]testkit.File(nil), title.Files[:gone]...), title.Files[gone+1:]...)
		res, err := convertTitle(title, convert.Defaults(), 1)
		if err != nil {
			t.Errorf("seed %d: %v", seed, err)
			continue
		}
		if !says(res.Findings, diag.Stop, fmt.Sprint("volume ", gone+1)) {
			t.Errorf("seed %d: volume %d of %d is missing, and no finding says so: %v\n  %s", seed, gone+1, n, res.Findings, strings.Join(title.Lay.Features(), " "))
		}
	}
}

// TestOutsideRepeatedVolume gives one volume twice: its words must not stand
// twice in the edition, and the copy must be named.
func TestOutsideRepeatedVolume(t *testing.T) {
	for seed := uint64(300); seed < 330; seed++ {
		title, book := undamaged(t, seed)
		plain, err := convertTitle(title, convert.Defaults(), 1)
		if err != nil {
			t.Errorf("seed %d: %v", seed, err)
			continue
		}
		k := int(seed) % len(title.Files)
		title.Files = append(title.Files, testkit.File{Name: "copy of " + title.Files[k].Name, Raw: title.Files[k].Raw})
		res, err := convertTitle(title, convert.Defaults(), 1)
		if err != nil {
			t.Errorf("seed %d: %v", seed, err)
			continue
		}
		one := testkit.Compare(bare(plain), title.Truth, book.Own()...)
		two := testkit.Compare(bare(res), title.Truth, book.Own()...)
		if two.Doubled > one.Doubled || two.Lost > one.Lost || two.Disorder > one.Disorder || two.Extra > one.Extra {
			t.Errorf("seed %d: %s given twice changes the words of the edition: %v", seed, title.Files[k].Name, two.Problems[:min(3, len(two.Problems))])
		}
		if !says(res.Findings, diag.Note, title.Files[k].Name) {
			t.Errorf("seed %d: %s is given twice, and no finding says so: %v", seed, title.Files[k].Name, res.Findings)
		}
	}
}

// TestOutsideForeignVolume puts a volume of another title among the files: the
// tool must refuse and list both titles.
func TestOutsideForeignVolume(t *testing.T) {
	for seed := uint64(300); seed < 330; seed++ {
		title, book := undamaged(t, seed)
		other, otherBook := undamaged(t, seed+1000)
		if strings.EqualFold(strings.ReplaceAll(book.Title, ",", ""), strings.ReplaceAll(otherBook.Title, ",", "")) || book.TitleName == otherBook.TitleName {
			continue
		}
		title.Files = append(title.Files, testkit.File{Name: "other " + other.Files[1].Name, Raw: other.Files[1].Raw})
		_, err := convertTitle(title, convert.Defaults(), 1)
		var many *convert.ManyTitles
		if err != nil && strings.Contains(err.Error(), "other ") {
			continue // refused for another reason, the foreign file named
		}
		if !errors.As(err, &many) {
			t.Errorf("seed %d: a volume of %s among those of %s is not refused (error %v)\n  %s", seed, otherBook.TitleName, book.TitleName, err, strings.Join(title.Lay.Features(), " "))
			continue
		}
		if len(many.Titles) != 2 {
			t.Errorf("seed %d: %d titles are listed, want 2: %v", seed, len(many.Titles), err)
		}
	}
}
