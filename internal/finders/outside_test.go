package finders_test

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"regexp"
	"slices"
	"strings"
	"testing"

	"continuo/internal/account"
	"continuo/internal/book"
	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/english"
	"continuo/internal/finders"
	"continuo/internal/source"
	"continuo/internal/testkit"
	"continuo/internal/write/brf"
)

// share is how many of a hundred headings, print pages and headwords must have
// a promised finder.
const share = 99

func bars(t *testing.T, sum map[finders.Class]*score, classes ...finders.Class) {
	t.Helper()
	for _, c := range finders.Classes() {
		if s := sum[c]; s != nil {
			t.Logf("%v: %d of %d", c, s.promised, s.targets)
		}
	}
	for _, c := range classes {
		if s := sum[c]; s == nil || s.promised*100 < s.targets*share {
			t.Errorf("%v: too few have a finder: %+v", c, s)
		}
	}
}

// TestPressedTitles proves every finder of editions made of pressed open texts
// (testkit: novels, books of the King James text, Opticks), in three widths, by
// a plain search of the bytes.
func TestPressedTitles(t *testing.T) {
	texts, err := testkit.Texts()
	testkit.Need(t, err)
	sum := map[finders.Class]*score{}
	for seed := uint64(1); seed <= 16; seed++ {
		b, err := testkit.NewBook(testkit.Draw(seed), texts)
		testkit.Need(t, err)
		title, err := testkit.Press(b)
		testkit.Need(t, err)
		for _, width := range []int{-1, 0, 20} {
			way := []string{"none", "front", "end"}[(int(seed)+width+1)%3]
			res := makeTitle(t, title, width, way)
			for _, w := range judge(res.Edition, res.Finders, sum) {
				t.Errorf("title %d, width %d, way %s: %s", seed, width, way, w)
			}
			for i := range res.Finders.Finders {
				if f := &res.Finders.Finders[i]; !f.Promised() {
					t.Logf("title %d, width %d: %v %q on line %d: %s", seed, width, f.Class, f.Name, f.Line, f.Why)
				}
			}
			if pages, _ := res.Finders.Count(finders.Page); pages != res.Stats.Turns {
				t.Errorf("title %d, width %d: %d print pages among the places, the edition has %d", seed, width, pages, res.Stats.Turns)
			}
		}
	}
	bars(t, sum, finders.Heading, finders.Page, finders.Contents)
}

// pageSigns are print page turns before the first word of a line.
var pageSigns = regexp.MustCompile(`^("3 ?[#;]?[a-j,;]+ )+`)

// TestDictionaries: of dictionaries pressed from an open one (WordNet, Debian's
// dict-wn) every headword's finder lands on its entry and none on a mention.
func TestDictionaries(t *testing.T) {
	terms, err := testkit.Terms()
	testkit.Need(t, err)
	sum := map[finders.Class]*score{}
	for seed := uint64(1); seed <= 4; seed++ {
		b, err := testkit.NewDictionary(testkit.DrawDictionary(seed), terms, false)
		testkit.Need(t, err)
		title, err := testkit.Press(b)
		testkit.Need(t, err)
		res := makeTitle(t, title, -1, []string{"none", "front"}[seed%2])
		for _, w := range judge(res.Edition, res.Finders, sum) {
			t.Errorf("dictionary %d: %s", seed, w)
		}
		lines := strings.Split(strings.ToLower(string(res.Edition)), "\r\n")
		words := 0
		for i := range res.Finders.Finders {
			f := &res.Finders.Finders[i]
			if f.Class != finders.Word {
				continue
			}
			words++
			if l := pageSigns.ReplaceAllString(strings.TrimSpace(lines[f.Line-1]), ""); !strings.HasPrefix(l, res.Stats.EntryMark) {
				t.Errorf("dictionary %d: headword %q on line %d stands at no mark: %q", seed, f.Name, f.Line, l)
			}
			if !f.Promised() {
				t.Logf("dictionary %d: %q: %s", seed, f.Name, f.Why)
			}
		}
		if words*share < len(title.Truth.Terms)*(share-1) || words > len(title.Truth.Terms)*101/100 {
			t.Errorf("dictionary %d: %d headwords, the truth has %d", seed, words, len(title.Truth.Terms))
		}
	}
	bars(t, sum, finders.Word, finders.Heading, finders.Page)
}

// TestNarrowDictionary: on lines of 20 cells, where many headwords do not fit on
// their line, nearly all have a finder still (WordNet, as above).
func TestNarrowDictionary(t *testing.T) {
	terms, err := testkit.Terms()
	testkit.Need(t, err)
	b, err := testkit.NewDictionary(testkit.DrawDictionary(1), terms, false)
	testkit.Need(t, err)
	title, err := testkit.Press(b)
	testkit.Need(t, err)
	res := makeTitle(t, title, 20, "none")
	sum := map[finders.Class]*score{}
	for _, w := range judge(res.Edition, res.Finders, sum) {
		t.Error(w)
	}
	bars(t, sum, finders.Word)
	if !slices.ContainsFunc(res.Finders.Finders, func(f finders.Finder) bool { return f.Class == finders.Word && f.From == finders.Start && f.Times > 2 }) {
		t.Error("no headword is found by counting hits")
	}
}

// makeTitle makes an edition with finders, and proves it where it holds a page
// of the tool's own.
func makeTitle(t *testing.T, title *testkit.Title, width int, way string) *convert.Result {
	t.Helper()
	var files []*source.File
	for _, f := range title.Files {
		s, err := source.Parse(f.Name, f.Raw)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, s)
	}
	o := convert.Defaults()
	o.Finders, o.Width, o.Profile.Way = true, width, way
	res, err := convert.Make(files, o)
	if err != nil {
		t.Fatal(err)
	}
	if way == "none" || width >= 0 {
		return res
	}
	for _, f := range res.Findings {
		if f.ID == "way-not-written" {
			t.Errorf("no page that tells the way: %s", f.Text)
		}
	}
	if rep := check.Verify(res.Edition, res.Account, files); !rep.OK {
		o.Profile.Way = "none"
		if plain, err := convert.Make(files, o); err == nil && check.Verify(plain.Edition, plain.Account, files).OK {
			t.Errorf("not proved with the page that tells the way: %v", rep.Problems[0])
		}
	}
	return res
}

// setBook sets blocks, each one line of a source, and computes their finders.
func setBook(t testing.TB, blocks []book.Block, lines []string, width int) (finders.Source, []byte) {
	t.Helper()
	f, err := source.Parse("v1.brf", []byte(strings.Join(lines, "\n")+"\n"))
	if err != nil {
		t.Fatal(err)
	}
	b := book.NewBook([]*source.File{f})
	b.Blocks = blocks
	for i := range blocks {
		blocks[i].Pieces = []book.Piece{{Line: int32(i), To: int32(len(lines[i]))}}
	}
	b.Turns = finders.TurnsOf(b)
	out := brf.Write(b, brf.Options{Width: width, Upper: true, Keep: finders.Keeps(b)}, account.NewLedger(b))
	var text [][]byte
	for _, l := range strings.Split(strings.TrimSuffix(string(out.Data), "\r\n"), "\r\n") {
		text = append(text, []byte(l))
	}
	return finders.Source{Book: b, Starts: out.Starts, Lines: text, Variant: english.Variant{Code: english.UEB, Capitals: true}, Upper: true}, out.Data
}

// plain writes print in uncontracted cells: letters, capitals, numbers (Rules
// of Unified English Braille 2013, 6 and 8).
func plain(s string) string {
	var b strings.Builder
	number := false
	for _, r := range s {
		switch {
		case r >= '0' && r <= '9':
			if !number {
				b.WriteByte('#')
			}
			b.WriteByte("jabcdefghi"[r-'0'])
		case r >= 'A' && r <= 'Z':
			b.WriteString("," + string(r|0x20))
		case r >= 'a' && r <= 'z', r == ' ', r == '\'', r == '-':
			b.WriteRune(r)
		default:
			if k := strings.IndexRune(",;:.!?", r); k >= 0 {
				b.WriteByte("123468"[k])
			}
		}
		number = r >= '0' && r <= '9'
	}
	return b.String()
}

// kingJames makes a book of the King James text (Debian's bible-kjv): 66 books,
// 1,189 chapters, 31,102 verses. bare leaves the name of the book out of the
// headings of its chapters.
func kingJames(t testing.TB, bare bool) (blocks []book.Block, lines []string) {
	t.Helper()
	if _, err := exec.LookPath("bible"); err != nil {
		testkit.Need(t, testkit.Missing{What: "bible-kjv"})
	}
	raw, err := exec.Command("bible", "-f", "gen1:1-rev22:21").Output()
	if err != nil {
		t.Fatal(err)
	}
	add := func(text string, bl book.Block) { lines, blocks = append(lines, text), append(blocks, bl) }
	add(plain("The Bible"), book.Block{Kind: book.TitleLine, Part: book.TitlePage})
	add(plain("Contents"), book.Block{Kind: book.Heading, First: 4, Part: book.ContentsList, Blank: book.Blank{Want: true, Reason: 1}})
	var entries, body []string
	var shapes []book.Block
	name, chapter, verses := "", "", 0
	for sc := bufio.NewScanner(strings.NewReader(string(raw))); sc.Scan(); {
		ref, text, _ := strings.Cut(sc.Text(), " ")
		at, verse, ok := strings.Cut(ref, ":")
		if !ok {
			continue
		}
		verses++
		n := strings.TrimRight(at, "0123456789")
		if n != name {
			entries = append(entries, plain(n))
			body, shapes = append(body, plain(n)), append(shapes, book.Block{Kind: book.Heading, First: 4, Level: 1, Blank: book.Blank{Want: true, Reason: 1}})
		}
		if at != chapter {
			h := n + " " + at[len(n):]
			if bare {
				h = "Chapter " + at[len(n):]
			}
			body, shapes = append(body, plain(h)), append(shapes, book.Block{Kind: book.Heading, First: 4, Level: 2, Blank: book.Blank{Want: true, Reason: 1}})
		}
		name, chapter = n, at
		body, shapes = append(body, plain(verse+" "+text)), append(shapes, book.Block{Kind: book.Para, First: 2})
	}
	for _, e := range entries {
		add(e, book.Block{Kind: book.Entry, Run: 4, Part: book.ContentsList})
	}
	if len(entries) != 66 || verses != 31102 {
		t.Fatalf("%d books, %d verses", len(entries), verses)
	}
	return append(blocks, shapes...), append(lines, body...)
}

// TestKingJames: the finder of each of the 66 books and 1,189 chapters lands,
// with the name of the book in the heading of a chapter and without it.
func TestKingJames(t *testing.T) {
	for _, bare := range []bool{false, true} {
		blocks, lines := kingJames(t, bare)
		src, edition := setBook(t, blocks, lines, 40)
		list := finders.Make(src)
		sum := map[finders.Class]*score{}
		for _, w := range judge(edition, list, sum) {
			t.Error(w)
		}
		if s := sum[finders.Heading]; s.targets != 66+1189 || s.promised != s.targets {
			t.Errorf("bare %v: %d of %d headings have a finder, want all of %d", bare, s.promised, s.targets, 66+1189)
		}
		words := 0
		for i := range list.Finders {
			f := &list.Finders[i]
			if bare && f.Level == 2 && f.From != finders.Start {
				words++
			}
			if !bare && f.From != finders.Start {
				t.Errorf("%q is not found from the start", f.Name)
			}
		}
		t.Logf("bare %v: %d chapters found from the heading above them", bare, words)
	}
}

// dictionary makes entries of the words of Debian's wbritish-huge, each with a
// mark before it and mentions of other words after it; every hundredth word has
// a second entry.
func dictionary(t testing.TB, most int) (blocks []book.Block, lines []string) {
	t.Helper()
	raw, err := os.ReadFile("/usr/share/dict/british-english-huge")
	if err != nil {
		testkit.Need(t, testkit.Missing{What: "wbritish-huge"})
	}
	var words []string
	for _, w := range strings.Fields(string(raw)) {
		if w == strings.ToLower(w) && !strings.Contains(w, "'") && plain(w) == w {
			words = append(words, w)
		}
	}
	step := max(1, len(words)/most)
	for i := 0; i < len(words) && len(lines) < most; i += step {
		senses := 1
		if i%(100*step) == 0 {
			senses = 2
		}
		for n := range senses {
			at := func(k int) string { return words[(i+k*7919)%len(words)] }
			lines = append(lines, fmt.Sprintf(";;%s %s %s%s %s %s4", words[i], at(n+1), at(2), "1"[:n], at(3), at(4)))
			blocks = append(blocks, book.Block{Kind: book.Line, Run: 2, Form: book.Term})
		}
	}
	return blocks, lines
}

// TestDictionary: the finder of every headword lands on its entry and none on a
// mention; words with two entries are told apart.
func TestDictionary(t *testing.T) {
	blocks, lines := dictionary(t, 5000)
	src, edition := setBook(t, blocks, lines, 40)
	list := finders.Make(src)
	sum := map[finders.Class]*score{}
	for _, w := range judge(edition, list, sum) {
		t.Error(w)
	}
	if sum[finders.Word].targets != len(blocks) {
		t.Errorf("%d headwords, want %d", sum[finders.Word].targets, len(blocks))
	}
	bars(t, sum, finders.Word)
	again := 0
	for i := range list.Finders {
		f := &list.Finders[i]
		if f.Times == 2 {
			again++
		}

		if f.Promised() && f.From == finders.Start && f.Times == 1 && !strings.HasPrefix(string(f.Search), ";;") {
			t.Errorf("%q would be found at a mention", f.Search)
		}
	}
	if again == 0 {
		t.Error("no second entry is told apart")
	}
	t.Logf("%d second entries", again)
}

func benchmark(b *testing.B, blocks []book.Block, lines []string) {
	src, edition := setBook(b, blocks, lines, 40)
	b.SetBytes(int64(len(edition)))
	for b.Loop() {
		finders.Make(src)
	}
}

// BenchmarkDictionary: 50,000 headwords.
func BenchmarkDictionary(b *testing.B) {
	blocks, lines := dictionary(b, 50000)
	benchmark(b, blocks, lines)
}

func BenchmarkKingJames(b *testing.B) {
	blocks, lines := kingJames(b, true)
	benchmark(b, blocks, lines)
}
