package check

import (
	"math/rand/v2"
	"sort"
	"testing"

	"continuo/internal/cell"
	"continuo/internal/convert"
	"continuo/internal/source"
	"continuo/internal/testkit"
)

// TestPower measures how often the loss of one line would go unnoticed if the
// account gave it a wrong reason and everything else were made to fit: kept
// lines of pressed titles, drawn by lot, under every class that can leave a
// line out. Lines of one word or less are not counted.
func TestPower(t *testing.T) {
	texts, err := testkit.Texts()
	testkit.Need(t, err)
	tried, missed := 0, map[string]int{}
	for seed := uint64(1); seed <= 8; seed++ {
		v := converted(t, seed, texts)
		if v == nil {
			continue
		}
		v.rep = Report{}
		v.checkFaces() // alarms that are there already do not count
		rng := rand.New(rand.NewPCG(seed, 7))
		for range 8 {
			s := rng.IntN(len(v.src))
			i := rng.IntN(len(v.src[s].Lines))
			text := v.src[s].Text(i)
			if f := v.r.fate[s][i]; f.kind != kept || len(cell.Fields(text)) < 2 {
				continue
			}
			for class := range classes {
				if !allowed(class, "out") {
					continue
				}
				tried++
				if !v.wouldNotice(s, i, class) {
					missed[class]++
					t.Logf("seed %d, %s line %d as %s: not noticed: %q", seed, v.src[s].Name, i+1, class, text)
				}
			}
		}
	}
	total := 0
	var names []string
	for c, n := range missed {
		total += n
		names = append(names, c)
	}
	sort.Strings(names)
	for _, c := range names {
		t.Logf("%s: %d", c, missed[c])
	}
	t.Logf("%d losses made, %d not noticed", tried, total)
	if tried < 200 || total*100 > tried {
		t.Errorf("%d of %d losses are not noticed, more than one in a hundred", total, tried)
	}
}

// converted is the verifier of a title after a replay.
func converted(t *testing.T, seed uint64, texts []testkit.Text) *verifier {
	t.Helper()
	book, err := testkit.NewBook(testkit.Draw(seed), texts)
	if err != nil {
		t.Fatal(err)
	}
	title, err := testkit.Press(book)
	if err != nil {
		t.Fatal(err)
	}
	var files []*source.File
	for _, f := range title.Files {
		x, err := source.Parse(f.Name, f.Raw)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, x)
	}
	res, err := convert.Make(files, convert.Defaults())
	if err != nil {
		return nil
	}
	v := &verifier{more: newPhraseBook(Words{})}
	v.rep.Figures.Out = map[string]int64{}
	v.run(res.Edition, res.Account, files)
	if v.r == nil {
		t.Fatalf("seed %d: %s", seed, show(v.rep))
	}
	return v
}

// wouldNotice gives one kept line another fate and looks at the faces anew.
func (v *verifier) wouldNotice(s, i int, class string) bool {
	old, rep := v.r.fate[s][i], v.rep
	n := len(v.acc.reasons)
	v.acc.reasons = append(v.acc.reasons, reason{Class: class})
	v.r.fate[s][i] = fateOf{out, int32(n)}
	v.rep = Report{}
	v.checkFaces()
	noticed := v.rep.NProblems > rep.NProblems
	v.acc.reasons = v.acc.reasons[:n]
	v.r.fate[s][i], v.rep = old, rep
	return noticed
}
