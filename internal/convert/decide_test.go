package convert_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"continuo/internal/cell"
	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/decide"
	"continuo/internal/diag"
	"continuo/internal/source"
	"continuo/internal/testkit"
)

// pressed presses the title of a seed.
func pressed(t *testing.T, seed uint64, texts []testkit.Text) *testkit.Title {
	t.Helper()
	book, err := testkit.NewBook(testkit.Draw(seed), texts)
	testkit.Need(t, err)
	title, err := testkit.Press(book)
	testkit.Need(t, err)
	return title
}

func parsed(t *testing.T, title *testkit.Title) []*source.File {
	t.Helper()
	var out []*source.File
	for _, f := range title.Files {
		s, err := source.Parse(f.Name, f.Raw)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, s)
	}
	return out
}

// with converts with a file of decisions, and proves the edition with it.
func with(t *testing.T, title *testkit.Title, text []byte) *convert.Result {
	t.Helper()
	f, err := decide.Parse("title.decisions.toml", text)
	if err != nil {
		t.Fatalf("%v in\n%s", err, text)
	}
	opt := convert.Defaults()
	opt.Decisions = f
	files := parsed(t, title)
	res, err := convert.Make(files, opt)
	if err != nil {
		t.Fatal(err)
	}
	if rep := check.Verify(res.Edition, res.Account, files, text); !rep.OK {
		t.Errorf("not proved: %v", rep.Problems[:min(5, len(rep.Problems))])
	}
	return res
}

// otherThan is a choice that is not the usual one.
func otherThan(q decide.Question) string {
	for _, c := range q.Kind.Choices {
		if c.Name != q.Usual {
			return c.Name
		}
	}
	return ""
}

func answerTo(q decide.Question, choice string) decide.Answer {
	a := decide.Answer{ID: q.ID, Kind: q.Kind.ID, Choice: choice, Cells: q.Cells, Who: "Ann", Where: q.Place.String()}
	return a
}

const decideSeeds = 40

// Every question of pressed open texts, answered otherwise than the program
// would: the edition is proved with the file of decisions, the answer is told,
// and without the file the edition is what it was.
func TestOutsideAnswers(t *testing.T) {
	texts, err := testkit.Texts()
	testkit.Need(t, err)
	asked, changed := map[string]int{}, map[string]int{}
	for seed := uint64(1); seed <= decideSeeds; seed++ {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			title := pressed(t, seed, texts)
			plain := with(t, title, nil)
			var text []byte
			for _, q := range plain.Questions {
				if asked[q.Kind.ID]++; q.Kind.ID == "order-disagrees" {
					continue // the wrong order is tried below
				}
				if text, err = decide.Put("x", text, answerTo(q, otherThan(q))); err != nil {
					t.Fatal(err)
				}
			}
			res := with(t, title, text)
			for _, q := range res.Questions {
				if q.Kind.ID != "order-disagrees" && !q.Settled() && known(plain.Questions, q.ID) {
					t.Errorf("%s is not answered: %s", q.ID, q.Kind.ID)
				}
			}
			for _, f := range res.Findings {
				if f.ID == "decision-lost" {
					t.Errorf("lost: %s", f.Text)
				}
			}
			if !bytes.Equal(res.Edition, plain.Edition) {
				for _, q := range plain.Questions {
					changed[q.Kind.ID]++
				}
			}
		})
	}
	t.Logf("asked: %v; in titles that came out otherwise: %v", asked, changed)
	for _, kind := range []string{"hyphen-in-doubt", "new-preliminary-matter", "paragraph-in-doubt", "head-in-doubt"} {
		if changed[kind] == 0 {
			t.Errorf("no answer to %q changed an edition", kind)
		}
	}
}

func known(list []decide.Question, id string) bool {
	for _, q := range list {
		if q.ID == id {
			return true
		}
	}
	return false
}

// The ids of a title's places are the same when its files have other names,
// another volume was changed, and the order of the files given is another.
func TestOutsidePlacesStay(t *testing.T) {
	texts, err := testkit.Texts()
	testkit.Need(t, err)
	for seed := uint64(1); seed <= 12; seed++ {
		title := pressed(t, seed, texts)
		files := parsed(t, title)
		before := places(t, files)
		for i, f := range files {
			f.Name = fmt.Sprintf("other-%03d.brf", i)
		}
		after := places(t, files)
		for id, kind := range before {
			if after[id] == "" && kind != "order-disagrees" {
				t.Errorf("seed %d: %s (%s) is gone when the files have other names", seed, id, kind)
			}
		}
		// One more line in the last volume: the places of the others stay.
		last := len(files) - 1
		raw := append([]byte("zzz zzz\r\n"), title.Files[last].Raw...)
		if len(files) < 2 || files[last].Encoding != source.ASCII {
			continue
		}
		changed, err := source.Parse("other.brf", raw)
		if err != nil {
			t.Fatal(err)
		}
		for id, f := range filesOf(t, files) {
			if f == files[last] {
				continue
			}
			again := filesOf(t, append(append([]*source.File(nil), files[:last]...), changed))
			if strings.HasPrefix(id, "hyphen") && again[id] == nil {
				t.Errorf("seed %d: %s is gone when another volume was changed", seed, id)
			}
		}
	}
}

func places(t *testing.T, files []*source.File) map[string]string {
	t.Helper()
	res, err := convert.Make(files, convert.Defaults())
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, q := range res.Questions {
		out[q.ID] = q.Kind.ID
	}
	return out
}

func filesOf(t *testing.T, files []*source.File) map[string]*source.File {
	t.Helper()
	res, err := convert.Make(files, convert.Defaults())
	if err != nil {
		return nil
	}
	out := map[string]*source.File{}
	for _, q := range res.Questions {
		for _, f := range files {
			if f.Name == q.Place.File {
				out[q.ID] = f
			}
		}
	}
	return out
}

// Words of pressed open texts are mended at random, one, two or three in a row,
// over line ends and in words divided there too. Each correction is applied at
// its place and nowhere else, or refused with a reason; the edition is proved.
func TestOutsideCorrections(t *testing.T) {
	texts, err := testkit.Texts()
	testkit.Need(t, err)
	mended, across, refused := 0, 0, map[string]int{}
	for seed := uint64(1); seed <= decideSeeds; seed++ {
		title := pressed(t, seed, texts)
		plain := with(t, title, nil)
		rng := rand.New(rand.NewPCG(seed, 7))
		var text []byte
		var news []string
		for n := range 12 {
			old := someCells(plain, rng, 1+n%3)
			if old == "" {
				continue
			}
			c := decide.Correction{Old: old, New: fmt.Sprintf("mend$ qzq%cqqz", 'a'+n), Who: "Ann", Why: "test"}
			if more, err := decide.AddCorrection("x", text, c); err == nil {
				text, news = more, append(news, c.New)
			}
		}
		res := with(t, title, text)
		flat := " " + flatten(res.Edition) + " "
		for i, m := range res.Corrected {
			if m.Why != "" {
				refused[m.Why[:min(24, len(m.Why))]]++
				continue
			}
			mended++
			if strings.Contains(m.Old, " ") {
				across++
			}
			if strings.Count(flat, " "+strings.ToLower(news[i])) != 1 {
				t.Errorf("seed %d: %q stands %d times for %q", seed, news[i], strings.Count(flat, news[i]), m.Old)
			}
		}
	}
	t.Logf("mended %d, of several words %d, refused %v", mended, across, refused)
	if mended < 100 || across < 40 {
		t.Errorf("only %d mended, %d of several words", mended, across)
	}
}

func flatten(edition []byte) string {
	return strings.ToLower(strings.Join(strings.Fields(string(edition)), " "))
}

// someCells are n words in a row from somewhere in the running text, taken
// where the lines of the edition are cut anew.
func someCells(res *convert.Result, rng *rand.Rand, n int) string {
	for range 50 {
		bl := &res.Book.Blocks[rng.IntN(len(res.Book.Blocks))]
		var text []byte
		for k := range bl.Pieces {
			text = res.Book.AppendPiece(text, bl, k)
		}
		fs := cell.Fields(text)
		if len(fs) < n+2 {
			continue
		}
		at := rng.IntN(len(fs) - n)
		s := string(text[fs[at][0]:fs[at+n-1][1]])
		if len(s) > 4 && !strings.Contains(s, "\"3") {
			return s
		}
	}
	return ""
}

// A correction whose old cells are gone, or stand twice, is refused and told;
// nothing else is changed.
func TestCorrectionRefused(t *testing.T) {
	page := "  ,! cat sat on ! mat4 ,! cat sl5pt4\r\n  ,! dog sat on ! mat too4\r\n"
	f, err := source.Parse("a.brf", []byte(page))
	if err != nil {
		t.Fatal(err)
	}
	plain, err := convert.Make([]*source.File{f}, convert.Defaults())
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ old, why string }{
		{"c[", "no longer there"}, {",! cat", "2 times, not once"}, {"sat on !", "2 times, not once"}, {"sl5pt4 ,! cat", "no longer there"},
	} {
		opt := convert.Defaults()
		opt.Decisions = &decide.File{Version: 1, Corrections: []decide.Correction{{Old: c.old, New: "x"}}}
		res, err := convert.Make([]*source.File{f}, opt)
		if err != nil {
			t.Fatal(err)
		}
		if got := res.Corrected[0].Why; !strings.Contains(got, c.why) {
			t.Errorf("%q: %q", c.old, got)
		}
		if !bytes.Equal(res.Edition, plain.Edition) {
			t.Errorf("%q: the edition changed", c.old)
		}
		last := res.Findings[len(res.Findings)-1]
		if last.ID != "correction-refused" || last.Severity != diag.Stop {
			t.Errorf("%q: %+v", c.old, last)
		}
	}
}
