package convert_test

import (
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/convert"
	"continuo/internal/testkit"
)

// formTitles is how many titles of the press with a table, a recipe or
// exercises are tried.
const formTitles = 40

// TestOutsideForms presses open texts with tables, ingredients and exercises
// among them. Rows and items must be one block each, all of them known as what
// they are; in titles without them nothing may be taken for one. Tables as
// lists are proved too.
func TestOutsideForms(t *testing.T) {
	texts, err := testkit.Texts()
	missing(t, err)
	tried, rows, whole, known, wrong := 0, 0, 0, 0, 0
	for seed := uint64(1); tried < formTitles && seed < 1000; seed++ {
		lay := testkit.Draw(seed)
		with := lay.Table || lay.Recipe || lay.Exercise
		if !with && seed%8 != 0 || lay.Volumes*lay.PagesEach > 150 || lay.File.Damage != "" {
			continue
		}
		tried++
		b, err := testkit.NewBook(lay, texts)
		if err != nil {
			t.Fatal(err)
		}
		title, err := testkit.Press(b)
		if err != nil {
			t.Fatal(err)
		}
		res, err := convertTitle(title, convert.Defaults(), 3)
		if err != nil {
			t.Errorf("seed %d: %v", seed, err)
			continue
		}
		have := map[string]book.Form{}
		heads := 0
		for i := range res.Book.Blocks {
			bl := &res.Book.Blocks[i]
			words := strings.Join(strings.Fields(blockText(res.Book, i)), " ")
			have[words] = bl.Form
			if bl.Form == book.TableRow || bl.Form == book.Recipe || bl.Form == book.Exercise {
				wrong++
			}
			if bl.Form == book.TableRow && (strings.Contains(words, "\"3333") || strings.Contains(words, b.TableHead())) {
				heads++
			}
		}
		wrong -= heads
		for _, f := range title.Truth.Forms {
			rows++
			form, ok := have[f.Words]
			if !ok {
				t.Logf("seed %d: no block %q", seed, f.Words)
				continue
			}
			whole++
			if form == map[testkit.UnitKind]book.Form{testkit.Table: book.TableRow, testkit.Recipe: book.Recipe, testkit.Exercise: book.Exercise}[f.Kind] {
				known++
				wrong--
			} else {
				t.Logf("seed %d: %q is %v", seed, f.Words, form)
			}
		}
		lists := convert.Defaults()
		lists.Profile.Tables = "list"
		if res, err := convertTitle(title, lists, 3); err != nil {
			t.Errorf("seed %d: %v", seed, err)
		} else if p := proof(title, res); p != "" {
			t.Errorf("seed %d: tables as lists are not proved: %s", seed, p)
		}
	}
	t.Logf("titles: %d; rows and items: %d, one block each %d, known %d; taken for one wrongly %d", tried, rows, whole, known, wrong)
	if whole < rows || known*100 < rows*95 || wrong > 0 {
		t.Errorf("bars: every row and item one block, 95 of 100 known, none wrongly")
	}
}
