package convert_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"sort"
	"strings"
	"testing"

	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/source"
	"continuo/internal/testkit"
)

// defaultTitles is how many titles the outside check sets unless it is told.
const defaultTitles = 200

var (
	titleCount = flag.Int("titles", defaultTitles, "titles of the outside check")
	firstSeed  = flag.Int("seed", 1, "seed of its first title")
	only       = flag.String("only", "", "only titles with all of these layout features (comma between), or without (! before)")
	keepDir    = flag.String("keep", "", "write failing titles (volumes, pages as text, edition) to this folder")
	shapes     = flag.Bool("shapes", false, "show headings and paragraphs that lost their shape too")
	problems   = flag.Int("problems", 6, "problems shown a title")
)

// outcome is what came of one title.
type outcome struct {
	seed     uint64
	forms    []string // taken for a table, a recipe or exercises, and none
	features []string
	pages    int
	report   *testkit.Report
	proof    string // what the distrustful reader holds against it, or ""
	sources  int    // bytes
	account  int    // bytes
	joins    joins  // of contents entries and headings
	err      error
	skipped  bool
}

func (o *outcome) failed() bool {
	return o.err != nil || o.proof != "" || o.report == nil || !o.report.OK()
}

// titleSeeds are the seeds of the outside check: a range, and titles that were once
// wrong. 100272: a misprinted print page in the page information line; 100313: heads at
// the foot of pages shorter than the paper; 101016: a title page higher than the pages,
// its number over the title, where blank lines at the end of pages are left out; 102139: a
// number of the text beside the page number; 102228: a title page that runs into a page
// with nothing on line 1 but its print page; 103059: a contents list that runs into the text;
// 103206: a quotation beside the page number, and again under it; 103389: the title above the
// text on a page without a number; 104119, 110270: a general contents list that goes on under the title; 110034: "it" at the
// left of a foot where roman numbers were; 110243: pages a line longer than most, their number below it; 110364: the title
// under the head with the title, double-spaced; 112050, 116332: notes set narrower than the text; 112203: a head with a slip in
// its number; 113191: a form feed missing under a title page; 113345: the last line of an exercise beside the number at the
// foot; 114191: two missing in a row, under a contents list; 114278: the head of the volume before over the next chapter;
// 115083: numbers of verses at the foot, one of which is that of its page; 117379: a shortened title with a slip on a
// preliminary page; 118204, 118213, 120284: lines of verse that come again, at the edges of pages; 120205: a head at the foot
// right under double-spaced verse; 150162: a head within verse set in as far; 150209: the next chapter's head at a volume's
// end; 160061: the number of a verse beside the number at the foot, where roman numbers were; 170058, 170209, 170314, 180171:
// heads where few pages have them, or that go on from the volume before; 170133: a list that has an entry on two lines;
// 170388: print pages without numbers; 180057: an entry of the contents list at a page's foot; 180254: the title alone on a page
// before the list of symbols; 180363: the first of a list of chapters without its number.
func titleSeeds() (seeds []uint64) {
	if seeds = seedsOf(defaultTitles); testing.Short() {
		seeds = seeds[:min(len(seeds), 20)]
	}
	if *firstSeed == 1 {
		seeds = append(seeds, 100272, 100313, 101016, 102139, 102228, 103059, 103206, 103389, 104119, 110034, 110243, 110270, 110364,
			112050, 112203, 113191, 113345, 114191, 114278, 115083, 116332, 117379, 118204, 118213, 120205, 120284, 150162, 150209, 160061,
			170058, 170133, 170209, 170314, 170388, 180057, 180171, 180254, 180363)
	}
	return seeds
}

// TestOutsideTitles presses open English texts, put into braille by liblouis,
// as paper volumes under UK and North American rules, converts them, and
// compares the editions with the straight translation.
func TestOutsideTitles(t *testing.T) {
	texts, err := testkit.Texts()
	testkit.Need(t, err)
	judgeAll(t, allSeeds(titleSeeds(), func(seed uint64) outcome { return oneTitle(seed, texts) }))
}

// TestOutsideDialogue is the same with another text, hardly a paragraph of which fills a line.
func TestOutsideDialogue(t *testing.T) {
	texts, err := testkit.Dialogue()
	testkit.Need(t, err)
	judgeAll(t, allSeeds(seedsOf(24), func(seed uint64) outcome { return oneTitle(seed, texts) }))
}

func oneTitle(seed uint64, texts []testkit.Text) (o outcome) {
	o.seed = seed
	lay := testkit.Draw(seed)
	o.features = lay.Features()
	if !chosen(o.features, *only) {
		o.skipped = true
		return o
	}
	book, err := testkit.NewBook(lay, texts)
	if err != nil {
		o.err = fmt.Errorf("press: %w", err)
		return o
	}
	title, err := testkit.Press(book)
	if err != nil {
		o.err = fmt.Errorf("press: %w", err)
		return o
	}
	o.features = lay.Features()
	o.pages = title.Truth.Pages
	res, err := convertTitle(title, convert.Defaults(), 3)
	if err != nil {
		o.err = err
		keep(title, nil)
		return o
	}
	edition := bare(res)
	o.report = testkit.Compare(edition, title.Truth, book.Own()...)
	o.proof = proof(title, res)
	if lay.File.Damage == "" {
		o.forms = falseForms(res.Book, title, book)
	}
	o.joins = listJoins(res, title.Truth, testkit.Places(withoutLabels(res), title.Truth))
	o.sources, o.account = sizes(title), len(res.Account)
	o.report.Problems = append(o.report.Problems, lineProblems(res.Edition, lay.Width, lay.File.Damage == "long line", 1)...)
	if !o.report.OK() || o.account*5 >= o.sources || o.proof != "" || len(o.joins.problems) > 0 {
		keep(title, edition, res.Account...)
	}
	o.err = otherOptions(title, book, res)
	return o
}

// otherOptions converts a title again with other settings, the volumes given in
// another order: the words must be right all the same, and the order of the
// files given must not matter.
func otherOptions(title *testkit.Title, book *testkit.Book, first *convert.Result) error {
	d := testkit.Dice(title.Lay.Seed)
	opt := convert.Defaults()
	again, err := convertTitle(title, opt, 7)
	if err != nil || !bytes.Equal(again.Edition, first.Edition) {
		return fmt.Errorf("the volumes given in another order: another edition (error %v)", err)
	}
	opt.Width = []int{0, 20, 40, 32}[d.N(4, "width option")]
	if opt.Width == 20 && title.Lay.Table {
		opt.Width = 34 // a table's rows would be cut, and a rule of it stand alone
	}
	truth := *title.Truth
	most := 1
	if d.Chance(50, "blank option") {
		opt.Blank, most = "none", 0
	}
	if d.Chance(50, "marker option") {
		opt.EndMarkers, truth.Rules = "drop", nil
	}
	res, err := convertTitle(title, opt, 3)
	if err != nil {
		return fmt.Errorf("width %d, blank lines %s, end markers %s: %w", opt.Width, opt.Blank, opt.EndMarkers, err)
	}
	if p := proof(title, res); p != "" && proof(title, first) == "" {
		return fmt.Errorf("width %d, blank lines %s, end markers %s: not proved: %s", opt.Width, opt.Blank, opt.EndMarkers, p)
	}
	r := testkit.Compare(bare(res), &truth, book.Own()...)
	plain := testkit.Compare(bare(first), title.Truth, book.Own()...)
	for _, p := range lineProblems(res.Edition, opt.Width, false, most) {
		return fmt.Errorf("width %d, blank lines %s: %v", opt.Width, opt.Blank, p)
	}
	if r.Lost+r.Doubled+r.Disorder+r.Extra+r.Turns > plain.Lost+plain.Doubled+plain.Disorder+plain.Extra+plain.Turns {
		return fmt.Errorf("width %d, blank lines %s, end markers %s: more is wrong than with the defaults: %v", opt.Width, opt.Blank, opt.EndMarkers, r.Problems[:min(4, len(r.Problems))])
	}
	return nil
}

// proof has the distrustful reader check the edition and its account against
// the sources, read anew.
func proof(title *testkit.Title, res *convert.Result) string {
	var files []*source.File
	for _, f := range title.Files {
		s, err := source.ParseAll(f.Name, f.Raw)
		if err != nil {
			return err.Error()
		}
		files = append(files, s...)
	}
	rep := check.Verify(res.Edition, res.Account, files)
	if rep.OK {
		return ""
	}
	s := fmt.Sprintf("%d problems", rep.NProblems)
	for _, p := range rep.Problems[:min(2, len(rep.Problems))] {
		s += "; " + p.String()
	}
	return s
}

func sizes(title *testkit.Title) int {
	n := 0
	for _, f := range title.Files {
		n += len(f.Raw)
	}
	return n
}

// lineProblems finds lines that are too long and blank lines in a row, and line
// ends other than CR LF.
func lineProblems(edition []byte, width int, longOnPaper bool, blanks int) []testkit.Problem {
	var out []testkit.Problem
	lines := strings.SplitAfter(string(edition), "\n")
	row := 0
	for i, l := range lines {
		if l == "" {
			continue
		}
		if !strings.HasSuffix(l, "\r\n") {
			out = append(out, testkit.Problem{Kind: "line", What: "a line end that is not CR LF", Line: i + 1, Near: l})
		}
		l = strings.TrimRight(l, "\r\n")
		if row++; l != "" {
			row = 0
		}
		if row > blanks {
			out = append(out, testkit.Problem{Kind: "line", What: fmt.Sprintf("%d blank lines in a row", row), Line: i + 1})
		}
		if width > 0 && len(l) > width && !longOnPaper {
			out = append(out, testkit.Problem{Kind: "line", What: fmt.Sprintf("%d cells, width %d", len(l), width), Line: i + 1, Near: l})
		}
	}
	return out[:min(len(out), 3)]
}

func chosen(features []string, want string) bool {
	for _, w := range strings.Split(want, ",") {
		not := strings.HasPrefix(w, "!")
		w = strings.TrimPrefix(w, "!")
		found := w == ""
		for _, f := range features {
			found = found || f == w
		}
		if found == not {
			return false
		}
	}
	return true
}

// convertTitle gives the volumes to the converter in an order that is not
// theirs. A panic is an error like any other.
func convertTitle(title *testkit.Title, opt convert.Options, from int) (res *convert.Result, err error) {
	defer func() {
		if r := recover(); r != nil {
			buf := make([]byte, 4096)
			err = fmt.Errorf("panic: %v\n%s", r, buf[:runtime.Stack(buf, false)])
		}
	}()
	var files []*source.File
	for i := range title.Files {
		f := title.Files[(i*5+from)%len(title.Files)]
		if len(title.Files)%5 == 0 {
			f = title.Files[(len(title.Files)-1-i+from)%len(title.Files)]
		}
		s, err := source.ParseAll(f.Name, f.Raw)
		if err != nil {
			return nil, fmt.Errorf("read %s: %w", f.Name, err)
		}
		files = append(files, s...)
	}
	return convert.Make(files, opt)
}

// bare is the text of an edition to be compared with the book: without the
// marks before headwords, words longer than the line made whole.
func bare(res *convert.Result) []byte {
	return withoutMarks(whole(res.Edition, res.Account), res.Stats.EntryMark)
}

// whole joins the lines that the account lists as going on a word of the line
// before: words longer than the line.
func whole(edition, account []byte) []byte {
	lines := bytes.Split(bytes.TrimSpace(account), []byte("\n"))
	var end struct{ Splits []int }
	if err := json.Unmarshal(lines[len(lines)-1], &end); err != nil || len(end.Splits) == 0 {
		return edition
	}
	split := map[int]bool{}
	for _, n := range end.Splits {
		split[n] = true
	}
	var out []byte
	for i, l := range bytes.SplitAfter(edition, []byte("\n")) {
		if split[i+1] {
			out = append(bytes.TrimRight(out, "\r\n"), bytes.TrimLeft(l, " ")...)
			continue
		}
		out = append(out, l...)
	}
	return out
}

func keep(title *testkit.Title, edition []byte, account ...byte) {
	if *keepDir == "" {
		return
	}
	dir := filepath.Join(*keepDir, fmt.Sprint(title.Lay.Seed))
	os.RemoveAll(dir)
	os.MkdirAll(dir, 0o755)
	for i, f := range title.Files {
		os.WriteFile(filepath.Join(dir, f.Name), f.Raw, 0o644)
		var b strings.Builder
		for k := range title.Pages[i] {
			fmt.Fprintf(&b, "--- page %d\n%s", k+1, title.Show(i, k))
		}
		os.WriteFile(filepath.Join(dir, fmt.Sprintf("pages%d.text", i+1)), []byte(b.String()), 0o644)
	}
	os.WriteFile(filepath.Join(dir, "edition.out"), edition, 0o644)
	os.WriteFile(filepath.Join(dir, "account.out"), account, 0o644)
}

// tally is what came of all titles.
type tally struct {
	testkit.Report
	titles, pages, failed, unproved int
	sources, accounts               int
	joins                           joins
	odd                             int // titles not at the start, separators gone and the like
}

func (a *tally) add(o outcome) {
	a.titles++
	a.pages += o.pages
	if o.failed() {
		a.failed++
	}
	if o.proof != "" {
		a.unproved++
	}
	if o.report == nil {
		return
	}
	a.sources += o.sources
	a.joins.add(o.joins)
	a.accounts += o.account
	r := o.report
	a.Lost += r.Lost
	a.Doubled += r.Doubled
	a.Disorder += r.Disorder
	a.Extra += r.Extra
	a.Furniture += r.Furniture
	a.Turns += r.Turns
	a.WantTurns += r.WantTurns
	a.Words += r.Words
	a.Starts += r.Starts
	a.StartsWrong += r.StartsWrong
	a.Mids += r.Mids
	a.MidsWrong += r.MidsWrong
	a.Divided += r.Divided
	for _, p := range r.Problems {
		switch p.Kind {
		case "title", "rule", "line", "notes":
			a.odd++
		}
	}
}

// judgeAll prints a summary and holds the bars: no word lost, doubled or out
// of order, less than one line of furniture left in 1,000 braille pages, every
// print page turn at its word, every edition proved.
func judgeAll(t *testing.T, out []outcome) {
	var a tally
	for _, o := range out {
		if o.skipped {
			continue
		}
		a.add(o)
		if o.err != nil {
			t.Errorf("seed %d: %v\n  %s", o.seed, o.err, strings.Join(o.features, " "))
		}
		if o.sources >= 25_000 && o.account*5 >= o.sources {
			t.Errorf("seed %d: the account takes %d bytes, the sources %d: must be under a fifth", o.seed, o.account, o.sources)
		}
		for _, x := range o.forms {
			t.Errorf("seed %d: taken for another form: %.200s", o.seed, x)
		}
		if o.proof != "" && a.unproved <= 12 {
			t.Errorf("seed %d: the check does not prove the edition: %.400s", o.seed, o.proof)
		}
		for _, p := range o.joins.problems[:min(len(o.joins.problems), *problems)] {
			t.Logf("seed %d: %s", o.seed, p)
		}
		if o.report != nil && (!o.report.OK() || *shapes && len(o.report.Shapes) > 0) {
			t.Log(describe(o))
		}
	}
	t.Logf("titles: %d, failed %d; braille pages: %d; words: %d, lost %d, doubled %d, out of order %d, unknown %d; furniture lines left: %d; turns: %d, wrong %d",
		a.titles, a.failed, a.pages, a.Words, a.Lost, a.Doubled, a.Disorder, a.Extra, a.Furniture, a.WantTurns, a.Turns)
	t.Logf("proof: %d of %d editions not proved by the check; accounts are %.1f %% of the sources' size", a.unproved, a.titles, 100*float64(a.accounts)/float64(max(a.sources, 1)))
	t.Logf("contents entries: %d, joined right %d, wrong %d, of these with high confidence %d; headings: %d, wrong level %d", a.joins.want, a.joins.right, a.joins.wrong, a.joins.wrongSure, a.joins.heads, a.joins.levels)
	t.Logf("shape: %d headings and paragraphs, %d do not begin as such; %d places inside paragraphs, %d cut off; %d words left divided at line ends", a.Starts, a.StartsWrong, a.Mids, a.MidsWrong, a.Divided)
	if a.failed > 0 {
		t.Log(correlate(out))
	}
	holdBars(t, &a)
}

func holdBars(t *testing.T, a *tally) {
	if a.titles == 0 {
		t.Fatal("no title was converted")
	}
	if a.Lost+a.Doubled+a.Disorder+a.Extra > 0 {
		t.Errorf("words lost %d, doubled %d, out of order %d, unknown %d: all must be 0", a.Lost, a.Doubled, a.Disorder, a.Extra)
	}
	if a.Furniture*1000 >= max(a.pages, 1) {
		t.Errorf("furniture lines left: %d on %d braille pages: must be under 1 in 1,000", a.Furniture, a.pages)
	}
	if a.Turns > 0 {
		t.Errorf("print page turns wrong: %d of %d: must be 0", a.Turns, a.WantTurns)
	}
	if a.unproved > 0 {
		t.Errorf("editions not proved by the check: %d", a.unproved)
	}
	if a.accounts*5 >= a.sources {
		t.Errorf("accounts take %d bytes, sources %d: must be under a fifth", a.accounts, a.sources)
	}
	if j := a.joins; j.right*1000 < j.want*995 || j.wrongSure > 0 || j.levels*100 > j.heads {
		t.Errorf("contents entries: %d of %d joined right, %d wrongly with high confidence; levels of headings wrong: %d of %d: must be 99.5 %%, 0 and 1 %%", j.right, j.want, j.wrongSure, j.levels, j.heads)
	}
	if a.odd > 0 {
		t.Errorf("titles not at the start, separators gone, notes out of place, lines too long: %d", a.odd)
	}
	// One in fifty beginnings may lose its shape: on paper some cannot be told.
	if a.StartsWrong*50 > a.Starts || a.MidsWrong*1000 > a.Mids {
		t.Errorf("shape: %d of %d beginnings and %d of %d places inside paragraphs are wrong", a.StartsWrong, a.Starts, a.MidsWrong, a.Mids)
	}
}

func describe(o outcome) string {
	r := o.report
	var b strings.Builder
	fmt.Fprintf(&b, "seed %d: lost %d, doubled %d, out of order %d, unknown %d, furniture %d, turns %d of %d; %d pages\n",
		o.seed, r.Lost, r.Doubled, r.Disorder, r.Extra, r.Furniture, r.Turns, r.WantTurns, o.pages)
	fmt.Fprintf(&b, "  layout: %s\n", strings.Join(o.features, " "))
	shown := r.Problems
	if *shapes {
		shown = append(append([]testkit.Problem(nil), shown...), r.Shapes...)
	}
	for i, p := range shown {
		if i == *problems {
			fmt.Fprintf(&b, "  and %d more\n", len(shown)-i)
			break
		}
		s := p.String()
		if len(s) > 260 {
			s = s[:260] + "…"
		}
		fmt.Fprintf(&b, "  %s\n", s)
	}
	return b.String()
}

// correlate lists the layout features that go with failures most: how many of
// the titles with a feature failed, beside all titles.
func correlate(out []outcome) string {
	bad, all := map[string]int{}, map[string]int{}
	titles, failed := 0, 0
	for _, o := range out {
		if o.skipped {
			continue
		}
		titles++
		fail := o.failed()
		if fail {
			failed++
		}
		for _, f := range o.features {
			all[f]++
			if fail {
				bad[f]++
			}
		}
	}
	type row struct {
		f    string
		lift float64
	}
	var rows []row
	base := float64(failed) / float64(titles)
	for f, n := range all {
		if bad[f] >= 2 {
			rows = append(rows, row{f, (float64(bad[f])+base)/(float64(n)+1) - base})
		}
	}
	sort.Slice(rows, func(i, j int) bool { return rows[i].lift > rows[j].lift })
	var b strings.Builder
	fmt.Fprintf(&b, "features that go with failures (all: %d of %d failed):", failed, titles)
	for i, r := range rows {
		if i == 12 || r.lift <= 0 {
			break
		}
		fmt.Fprintf(&b, "\n  %s: %d of %d", r.f, bad[r.f], all[r.f])
	}
	return b.String()
}
