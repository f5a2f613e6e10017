package convert_test

import (
	"bytes"
	"flag"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"continuo/internal/cell"
	"continuo/internal/convert"
	"continuo/internal/testkit"
)

var (
	dictCount = flag.Int("dicts", 24, "dictionaries of the outside check")
	dictSeed  = flag.Int("dictseed", 1, "seed of the first")
	wholeDict = flag.Bool("wholedict", false, "press the whole dictionary once, in contracted UEB")
)

// TestOutsideDictionaries presses parts of an open dictionary (WordNet,
// Debian's dict-wn), put into braille by liblouis, as paper volumes. Every
// entry must have its mark, nothing else; a search for mark and headword must
// land on the first entry of that word; no word may be lost and every edition
// must be proved.
func TestOutsideDictionaries(t *testing.T) {
	terms, err := testkit.Terms()
	testkit.Need(t, err)
	if len(terms) < 50000 {
		t.Fatalf("only %d entries in the dictionary", len(terms))
	}
	n := *dictCount
	if testing.Short() {
		n = min(n, 4)
	}
	var sum dictTally
	for i := range n {
		seed := uint64(*dictSeed + i)
		oneDictionary(t, testkit.DrawDictionary(seed), terms, false, &sum)
	}
	t.Logf("dictionaries: %d; entries: %d, without a mark %d; marks on other lines: %d; searches for mark and word: %d, on another entry %d (without the blank after the word: %d); words lost, doubled or unknown: %d; furniture left: %d",
		sum.books, sum.entries, sum.unmarked, sum.wrong, sum.searches, sum.elsewhere, sum.longer, sum.words, sum.furniture)
	sum.hold(t)
}

// hold holds the bars: 99.5 of 100 entries have their mark, 99.9 of 100 searches
// land on the first entry of the word, no mark stands on a line that is no entry
// but for one in a thousand.
func (s *dictTally) hold(t *testing.T) {
	t.Helper()
	if s.unmarked*200 > s.entries {
		t.Errorf("entries without a mark: %d of %d", s.unmarked, s.entries)
	}
	if s.elsewhere*1000 > s.searches {
		t.Errorf("searches that land elsewhere: %d of %d", s.elsewhere, s.searches)
	}
	if s.wrong*1000 > s.entries {
		t.Errorf("marks on lines that are no entries: %d", s.wrong)
	}
}

// TestWholeDictionary presses the whole dictionary once; it runs on request.
func TestWholeDictionary(t *testing.T) {
	if !*wholeDict {
		t.Skip("only with -wholedict")
	}
	terms, err := testkit.Terms()
	testkit.Need(t, err)
	l := testkit.DrawDictionary(3)
	l.Code = testkit.Code{System: "ueb", Contracted: true, Capitals: true}
	l.Volumes, l.Width, l.Height = 12, 40, 25
	var sum dictTally
	oneDictionary(t, l, terms, true, &sum)
	t.Logf("%+v", sum)
}

type dictTally struct {
	books, entries, unmarked, wrong, searches, elsewhere, longer, words, furniture int
}

func oneDictionary(t *testing.T, lay *testkit.Layout, terms []testkit.Term, all bool, sum *dictTally) {
	t.Helper()
	name := fmt.Sprintf("dictionary %d", lay.Seed)
	book, err := testkit.NewDictionary(lay, terms, all)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	title, err := testkit.Press(book)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	res, err := convertTitle(title, convert.Defaults(), 3)
	if err != nil {
		t.Errorf("%s: %v", name, err)
		return
	}
	edition := whole(res.Edition, res.Account)
	bare := withoutMarks(edition, res.Stats.EntryMark)
	r := testkit.Compare(bare, title.Truth, book.Own()...)
	before := *sum
	sum.books++
	sum.words += r.Lost + r.Doubled + r.Disorder + r.Extra
	sum.furniture += r.Furniture
	searchTerms(flat(edition), res.Stats.EntryMark, title.Truth.Terms, sum)
	if p := proof(title, res); p != "" {
		t.Errorf("%s: not proved: %s", name, p)
	}
	if r.Lost > 0 || r.Doubled+r.Disorder > 0 {
		t.Errorf("%s: words lost %d, doubled %d, out of order %d", name, r.Lost, r.Doubled, r.Disorder)
	}
	if !r.OK() || sum.unmarked > before.unmarked || sum.wrong > before.wrong || sum.elsewhere > before.elsewhere {
		keep(title, edition)
		t.Logf("%s: entries %d, unmarked %d, wrong %d, elsewhere %d\n  %v\n  %v", name, len(title.Truth.Terms), sum.unmarked-before.unmarked,
			sum.wrong-before.wrong, sum.elsewhere-before.elsewhere, lay.Dict.DictFeatures(), describe(outcome{seed: lay.Seed, report: r, features: lay.Features(), pages: title.Truth.Pages}))
	}
}

// withoutMarks takes the marks off the starts of lines.
func withoutMarks(edition []byte, mark string) []byte {
	if mark == "" {
		return edition
	}
	out := bytes.ReplaceAll(edition, []byte("\n"+mark), []byte("\n"))
	return bytes.ReplaceAll(bytes.ReplaceAll(out, []byte(" "+mark), []byte(" ")), []byte("\n"+strings.ToUpper(mark)), []byte("\n"))
}

// flat is an edition as a search sees it that knows no line ends.
func flat(edition []byte) string {
	cells := make([]byte, 0, len(edition))
	for _, c := range edition {
		if f, ok := cell.Fold(c); ok {
			c = f
		}
		cells = append(cells, c)
	}
	text := " " + strings.Join(strings.Fields(string(cells)), " ") + " "
	return turnSign.ReplaceAllString(text, " ")
}

// turnSign is a print page turn, which may stand within a headword.
var turnSign = regexp.MustCompile(` ("3 ?|---)(#[a-j]+)(-#?[a-j]+)? `)

// searchTerms holds the marks of an edition against the truth, in order, and
// searches for every headword.
func searchTerms(text, mark string, want []testkit.WantTerm, sum *dictTally) {
	sum.entries += len(want)
	if mark == "" {
		sum.unmarked += len(want)
		return
	}
	var at []int // of marks
	for i := strings.Index(text, " "+mark); i >= 0; {
		at = append(at, i+1)
		next := strings.Index(text[i+1:], " "+mark)
		if next < 0 {
			break
		}
		i += 1 + next
	}
	k := 0
	first := map[string]int{}
	for _, w := range want {
		j := k
		for j < len(at) && !strings.HasPrefix(text[at[j]+len(mark):], w.Cells) {
			j++
		}
		if j == len(at) || j > k+40 {
			if *problems > 6 {
				fmt.Printf("unmarked %q\n", w.Cells)
			}
			sum.unmarked++
			continue
		}
		for i := k; i < j && *problems > 6; i++ {
			fmt.Printf("wrong %q before %q\n", text[at[i]:min(at[i]+40, len(text))], w.Cells)
		}
		sum.wrong += j - k
		if _, ok := first[w.Cells]; !ok {
			first[w.Cells] = at[j]
		}
		k = j + 1
	}
	sum.wrong += len(at) - k
	// Every mark is known, so that a search for mark and word can only land on one.
	lands := map[string]int{}
	for _, place := range at {
		s := text[place+len(mark) : min(place+len(mark)+120, len(text))]
		for i := range s {
			if _, ok := lands[s[:i]]; s[i] == ' ' && !ok {
				lands[s[:i]] = place
			}
		}
	}
	for w, place := range first {
		sum.searches++
		if len(first) < 20000 && strings.Index(text, mark+w) != place {
			sum.longer++
		}
		if i, ok := lands[w]; ok && i != place || !ok && strings.Index(text, mark+w) != place {
			sum.elsewhere++
		}
	}
}
