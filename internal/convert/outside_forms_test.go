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
// among them. Rows and items must be one block each and known as what they
// are, but where the end of a page hides that the text goes on under them;
// nothing else may be taken for one. Tables as
// lists are proved too.
func TestOutsideForms(t *testing.T) {
	texts, err := testkit.Texts()
	testkit.Need(t, err)
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
		have := formBlocks(res.Book)
		for _, x := range falseForms(res.Book, title, b) {
			t.Logf("seed %d: %s", seed, x)
			wrong++
		}
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
	if tried < formTitles || rows < 300 || whole*100 < rows*98 || known*100 < rows*95 || wrong > 0 {
		t.Errorf("bars: 98 of 100 rows and items one block, 95 known, nothing else taken for one")
	}
}

// formBlocks are the blocks of a book by their words, with single blanks; what
// goes on a block after a print page turn is counted with it.
func formBlocks(b *book.Book) map[string]book.Form {
	out := map[string]book.Form{}
	words, form := "", book.Plain
	for i := range b.Blocks {
		bl := &b.Blocks[i]
		if bl.Kind == book.Turn {
			continue
		}
		text := withoutTurns(blockText(b, i))
		if bl.Cont {
			words += " " + text
			continue
		}
		out[words] = form
		words, form = text, bl.Form
	}
	out[words] = form
	delete(out, "")
	return out
}

// withoutTurns are the words of a block without the print page turns before or among them, in
// one word or two.
func withoutTurns(text string) string {
	fields := strings.Fields(text)
	var out []string
	for i, f := range fields {
		turn := strings.HasPrefix(f, "\"3#") || f == "\"3" && i+1 < len(fields) && strings.HasPrefix(fields[i+1], "#")
		if !turn && !(i > 0 && fields[i-1] == "\"3" && strings.HasPrefix(f, "#")) {
			out = append(out, f)
		}
	}
	return strings.Join(out, " ")
}

// falseForms are the blocks that are taken for rows of a table, ingredients or
// exercises, and are none.
func falseForms(made *book.Book, title *testkit.Title, b *testkit.Book) (out []string) {
	in := b.TableHead() + " \"3333 \"3333 \"333"
	for _, f := range title.Truth.Forms {
		in += " " + f.Words
	}
	for words, form := range formBlocks(made) {
		if (form == book.TableRow || form == book.Recipe || form == book.Exercise) && !strings.Contains(in, words) {
			out = append(out, form.String()+": "+words)
		}
	}
	return out
}
