package convert_test

import (
	"fmt"
	"sort"
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/convert"
	"continuo/internal/ride"
	"continuo/internal/source"
	"continuo/internal/testkit"
	"continuo/internal/testkit/novels"
)

// novelTitles is how many titles the second press sets in a run without -titles.
const novelTitles = 40

// novel is what came of one title of the second press.
type novel struct {
	outcome
	notes  joins
	heads  headCount
	titled string // what is wrong with the title that the metadata offer
}

// headCount counts headings of the text that are headings of the edition, those
// with a proved search string, and headings that are none.
type headCount struct {
	all, known, finder, wrong int
	problems                  []string
}

// novelSeeds are the seeds of the second press: a range, and titles that were once wrong. 157, 187, 291, 326: the name of a
// chapter under the notes of the one before it; 236, 364: a chapter that goes on, its number before "continued"; 297: a head
// with the first and the last print page of its page; 477: the number of a chapter at the end of a contents page; 328, 388: a
// part's number over the page under notes; 397: a chapter's roman number at the margin where page numbers stand.
func novelSeeds() []uint64 {
	seeds := seedsOf(novelTitles)
	if *firstSeed == 1 {
		seeds = append(seeds, 157, 187, 236, 291, 297, 326, 328, 364, 388, 397, 477)
	}
	return seeds
}

// TestOutsideNovels presses open texts as eight other houses would set novels,
// lives, stories, essays and letters (package novels; UKAAF, Guiding Principles
// for the Presentation of Braille 2016; BANA, Braille Formats 1997 to 2016;
// English Braille American Edition 1994), and holds the editions against the
// truth.
func TestOutsideNovels(t *testing.T) {
	texts, err := testkit.Texts()
	testkit.Need(t, err)
	judgeNovels(t, allSeeds(novelSeeds(), func(seed uint64) novel { return oneNovel(seed, texts) }))
}

func oneNovel(seed uint64, texts []testkit.Text) (o novel) {
	o.seed = seed
	b, err := novels.Press(seed, texts)
	if err != nil {
		o.err = fmt.Errorf("press: %w", err)
		return o
	}
	o.features, o.pages = b.Features, b.Truth.Pages
	if !chosen(o.features, *only) {
		o.skipped = true
		return o
	}
	opt := convert.Defaults()
	opt.Finders = true
	res, err := convertTitle(b.Title, opt, 3)
	if err != nil {
		o.err = err
		keep(b.Title, nil)
		return o
	}
	edition := withoutMarks(whole(withoutLabels(res), res.Account), res.Stats.EntryMark)
	o.report = testkit.Compare(edition, b.Truth, b.Own...)
	o.proof = proof(b.Title, res)
	places := testkit.Places(withoutLabels(res), b.Truth)
	o.joins = listJoins(res, b.Truth, places)
	o.notes = noteJoins(res, b.Truth, places)
	o.heads = countHeads(res, b, places)
	o.titled = titleOffered(res, b)
	o.sources, o.account = sizes(b.Title), len(res.Account)
	o.report.Problems = append(o.report.Problems, lineProblems(res.Edition, b.Lay.Width, false, 1)...)
	if o.failed() || len(o.heads.problems)+len(o.joins.problems)+len(o.notes.problems) > 0 || *shapes {
		keep(b.Title, res.Edition, res.Account...)
	}
	return o
}

// titleOffered holds the title and the author that the metadata offer against those of the book.
func titleOffered(res *convert.Result, b *novels.Book) string {
	s := res.Survey.Titles[0]
	by := strings.TrimLeft(s.Author, ",")
	for _, w := range []string{"by ", "0"} {
		by = strings.TrimPrefix(by, w)
	}
	switch {
	case s.Title != b.Name && s.Title != strings.TrimSpace(b.Name+" "+b.Subtitle) && !b.TitleOpen:
		return fmt.Sprintf("title %q, want %q", s.Title, b.Name)
	case strings.TrimLeft(by, ",") != strings.TrimLeft(b.Author, ",") && !b.TitleOpen:
		return fmt.Sprintf("author %q, want %q", s.Author, b.Author)
	}
	return ""
}

// countHeads holds the headings of the edition against those of the text.
func countHeads(res *convert.Result, b *novels.Book, places []int) (h headCount) {
	at, promised := headingBlocks(res)
	mine := map[int]bool{}
	for _, x := range b.Truth.Heads {
		h.all++
		i, ok := at[places[x.At]]
		if ok {
			h.known++
		}
		if ok && promised[i] {
			h.finder++
		} else {
			h.problems = append(h.problems, fmt.Sprintf("heading %q: known %v", x.Words, ok))
		}
	}
	start := byte(0)
	for i, w := range b.Truth.Body {
		if w.Start != 0 {
			start = w.Start
		}
		if start == 'h' || start == 'd' || start == 'b' || b.Free[i] {
			mine[places[i]] = true
		}
	}
	first, last := places[0], 0
	for _, p := range places {
		last = max(last, p)
	}
	for line, i := range at {
		if bl := res.Book.Blocks[i]; line > first && line <= last && !mine[line] && bl.Part == book.Text && !b.May[blockText(res.Book, i)] {
			h.wrong++
			h.problems = append(h.problems, fmt.Sprintf("line %d is no heading: %.60q", line, blockText(res.Book, i)))
		}
	}
	sort.Strings(h.problems)
	return h
}

func judgeNovels(t *testing.T, out []novel) {
	var a tally
	var heads headCount
	var notes joins
	var plain []outcome
	titled := 0
	for _, o := range out {
		if o.skipped {
			continue
		}
		a.add(o.outcome)
		plain = append(plain, o.outcome)
		notes.add(o.notes)
		heads.all, heads.known = heads.all+o.heads.all, heads.known+o.heads.known
		heads.finder, heads.wrong = heads.finder+o.heads.finder, heads.wrong+o.heads.wrong
		if o.err != nil {
			t.Errorf("seed %d: %v\n  %s", o.seed, o.err, strings.Join(o.features, " "))
			continue
		}
		if o.titled != "" {
			titled++
			t.Logf("seed %d: %s", o.seed, o.titled)
		}
		if o.proof != "" {
			t.Errorf("seed %d: the check does not prove the edition: %.400s", o.seed, o.proof)
		}
		list := append(append(append([]string(nil), o.joins.problems...), o.notes.problems...), o.heads.problems...)
		if !o.report.OK() || *shapes && len(o.report.Shapes) > 0 || len(list) > 0 {
			t.Logf("%s  %s", describe(o.outcome), strings.Join(list[:min(len(list), *problems)], "\n  "))
		}
	}
	t.Logf("titles: %d, failed %d; braille pages: %d; words: %d, lost %d, doubled %d, out of order %d, unknown %d; furniture lines left: %d; turns: %d, wrong %d; not proved: %d",
		a.titles, a.failed, a.pages, a.Words, a.Lost, a.Doubled, a.Disorder, a.Extra, a.Furniture, a.WantTurns, a.Turns, a.unproved)
	t.Logf("headings: %d, known %d, with a finder %d, false %d; contents entries: %d, joined %d, wrong %d, of these with high confidence %d; wrong level %d of %d; notes: %d, joined %d, wrong %d",
		heads.all, heads.known, heads.finder, heads.wrong, a.joins.want, a.joins.right, a.joins.wrong, a.joins.wrongSure, a.joins.levels, a.joins.heads, notes.want, notes.right, notes.wrong)
	t.Logf("shape: %d beginnings, %d wrong; %d places inside paragraphs, %d cut off; title or author wrong: %d; other %d", a.Starts, a.StartsWrong, a.Mids, a.MidsWrong, titled, a.odd)
	if a.failed > 0 {
		t.Log(correlate(plain))
	}
	holdNovels(t, &a, heads, notes)
}

// holdNovels holds the sums against the bars of the project.
func holdNovels(t *testing.T, a *tally, heads headCount, notes joins) {
	if a.titles == 0 {
		t.Fatal("no title was converted")
	}
	if n := a.Lost + a.Doubled + a.Disorder + a.Extra + a.Furniture + a.Turns + a.unproved; n > 0 {
		t.Errorf("words lost, doubled, out of order or unknown, furniture, turns, proofs: %d must be 0", n)
	}
	if heads.finder*100 < heads.all*99 {
		t.Errorf("headings with a finder: %d of %d, must be 99 %%", heads.finder, heads.all)
	}
	if a.joins.right*1000 < a.joins.want*995 || notes.right*1000 < notes.want*995 || a.joins.wrongSure+notes.wrongSure > 0 {
		t.Errorf("contents entries joined: %d of %d, notes: %d of %d, must be 99.5 %%", a.joins.right, a.joins.want, notes.right, notes.want)
	}
}

// TestOutsideNovelsRide plays the titles of the second press on a display of 20
// cells, the paper volumes and the edition: with the settings of make, each title
// saves 5 of 100 moves; set for the display and in one line a paragraph, a quarter
// in the mean (common practice of displays; package ride).
func TestOutsideNovelsRide(t *testing.T) {
	texts, err := testkit.Texts()
	testkit.Need(t, err)
	plain, long, narrow := convert.Defaults(), convert.Defaults(), convert.Defaults()
	long.Width = 0
	narrow.Width, narrow.Blank = 20, "none"
	names := []string{"as the paper is wide", "in one line a paragraph", "for the display"}
	saved := make([][]float64, len(names))
	for seed := uint64(1); seed <= novelTitles; seed++ {
		b, err := novels.Press(seed, texts)
		if err != nil {
			t.Fatal(err)
		}
		paper := 0
		for i, o := range []convert.Options{plain, long, narrow} {
			res, err := convertTitle(b.Title, o, 3)
			if err != nil {
				t.Fatal(err)
			}
			ed, err := source.Parse("edition.brf", res.Edition)
			if err != nil {
				t.Fatal(err)
			}
			if i == 0 {
				paper = paperMoves(t, b)
			}
			moves := ride.Volumes([]*source.File{ed}).Play(ride.Display{Cells: 20}).Moves()
			saved[i] = append(saved[i], 100-100*float64(moves)/float64(paper))
		}
	}
	for i, s := range saved {
		sort.Float64s(s)
		sum := 0.0
		for _, x := range s {
			sum += x
		}
		mean := sum / float64(len(s))
		t.Logf("%s: of 100 moves saved least %.1f, mean %.1f, most %.1f", names[i], s[0], mean, s[len(s)-1])
		if s[0] < 5 || i > 0 && mean < 25 {
			t.Errorf("%s: too few moves saved", names[i])
		}
	}
}

// paperMoves is how often a reader of the paper volumes pans.
func paperMoves(t *testing.T, b *novels.Book) int {
	var files []*source.File
	for _, f := range b.Files {
		s, err := source.ParseAll(f.Name, f.Raw)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, s...)
	}
	return ride.Volumes(files).Play(ride.Display{Cells: 20}).Moves()
}
