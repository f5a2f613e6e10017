package convert_test

import (
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/convert"
	"continuo/internal/testkit"
)

// workTitles is how many titles of a work are pressed, two parts in each.
const workTitles = 10

// worked is what pressed parts of a work count.
type worked struct {
	words, wrong, left      int // words of the text; lost, doubled or out of order; lines of furniture left
	lines, begun            map[byte]int
	speeches, names         int // blocks known as speeches where one begins; names of speakers known as headings
	heads, headings, finder int // headings of the text; known as headings; with a search string that is proved
}

// work presses parts of a work and adds up what comes of them.
func (w *worked) work(t *testing.T, l *testkit.Layout, parts ...[]testkit.Unit) *convert.Result {
	t.Helper()
	b, err := testkit.NewWork(l, parts...)
	if err != nil {
		t.Fatal(err)
	}
	title, err := testkit.Press(b)
	if err != nil {
		t.Fatal(err)
	}
	o := convert.Defaults()
	o.Finders = true
	res, err := convertTitle(title, o, 3)
	if err != nil {
		t.Fatalf("seed %d: %v", l.Seed, err)
	}
	if p := proof(title, res); p != "" {
		t.Errorf("seed %d: not proved: %.300s", l.Seed, p)
	}
	ed := withoutMarks(whole(withoutLabels(res), res.Account), res.Stats.EntryMark)
	r := testkit.Compare(ed, title.Truth, b.Own()...)
	if !r.OK() {
		t.Log(describe(outcome{seed: l.Seed, features: title.Lay.Features(), report: r}))
	}
	w.words += r.Words
	w.wrong += r.Lost + r.Doubled + r.Disorder
	w.left += r.Furniture
	bad := w.linesBegun(t, res, title)
	bad += w.headingsFound(t, res, title)
	if bad > 0 || !r.OK() {
		keep(title, res.Edition)
	}
	return res
}

// linesBegun counts the lines of verse, speeches and stage directions that begin
// a line of the edition.
func (w *worked) linesBegun(t *testing.T, res *convert.Result, title *testkit.Title) (bad int) {
	if w.lines == nil {
		w.lines, w.begun = map[byte]int{}, map[byte]int{}
	}
	places := testkit.Places(withoutLabels(res), title.Truth)
	at := map[int]*book.Block{}
	for i := range res.Book.Blocks {
		at[res.Starts[i]] = &res.Book.Blocks[i]
	}
	for i, x := range title.Truth.Body {
		if bl := at[places[i]]; x.Start == 's' && bl != nil {
			w.speeches += map[bool]int{true: 1}[bl.Form == book.Speech]
			w.names += map[bool]int{true: 1}[bl.Kind == book.Heading]
		}
		if i == 0 || places[i] == 0 || strings.IndexByte("vsd", x.Start) < 0 {
			continue
		}
		if w.lines[x.Start]++; places[i] != places[i-1] {
			w.begun[x.Start]++
		} else if bad++; bad <= 5 {
			t.Logf("seed %d: %c does not begin a line: %s", title.Lay.Seed, x.Start, wordsFrom(title.Truth, i))
		}
	}
	return bad
}

func wordsFrom(tr *testkit.Truth, i int) string {
	var w []string
	for k := max(0, i-4); k < min(len(tr.Body), i+5); k++ {
		if k == i {
			w = append(w, "|")
		}
		w = append(w, tr.Body[k].Cells)
	}
	return strings.Join(w, " ")
}

// headingsFound counts the headings of the text that are headings of the edition
// and have a search string of their own that is proved.
func (w *worked) headingsFound(t *testing.T, res *convert.Result, title *testkit.Title) (bad int) {
	places := testkit.Places(withoutLabels(res), title.Truth)
	at, promised := headingBlocks(res)
	for _, h := range title.Truth.Heads {
		w.heads++
		i, ok := at[places[h.At]]
		if ok {
			w.headings++
		}
		if ok && promised[i] {
			w.finder++
		} else {
			bad++
			t.Logf("seed %d: heading %q: known as one %v", title.Lay.Seed, h.Words, ok)
		}
	}
	return bad
}

// judge holds the sums against the bars.
func (w *worked) judge(t *testing.T, least map[byte]int) {
	t.Helper()
	t.Logf("words %d, wrong %d, lines of furniture left %d; lines of verse %d, begin a line %d; speeches %d, begin a line %d, known %d; stage directions %d, begin a line %d; headings %d, known %d, with a proved search string %d",
		w.words, w.wrong, w.left, w.lines['v'], w.begun['v'], w.lines['s'], w.begun['s'], w.speeches, w.lines['d'], w.begun['d'], w.heads, w.headings, w.finder)
	if w.wrong > 0 || w.left > 0 {
		t.Errorf("words wrong: %d; lines of furniture left: %d", w.wrong, w.left)
	}
	if all := w.lines['s']; w.speeches*100 < all*97 || w.names*100 > all {
		t.Errorf("speeches: %d, known as such %d, %d names are headings", all, w.speeches, w.names)
	}
	for kind, n := range least {
		if all, good := w.lines[kind], w.begun[kind]; all < n || good*1000 < all*995 {
			t.Errorf("%c: %d of %d begin a line (at least %d wanted)", kind, good, all, n)
		}
	}
	if w.headings < w.heads || w.finder < w.heads {
		t.Errorf("headings: %d, known as such %d, with a proved search string %d", w.heads, w.headings, w.finder)
	}
}

// TestOutsideVersePlay presses acts of As You Like It (Canterbury corpus 1997, in the
// public domain) in the layouts of both regions: speakers in italics or in the
// middle of their own line (UKAAF, Guiding Principles 2016, on plays), in capitals with
// a full stop (English Braille American Edition 1994, appendix A, section 8), stage
// directions from cell 5. 97 of 100 speeches are known as such, and no name is a
// heading, whichever way it stands.
func TestOutsideVersePlay(t *testing.T) {
	acts, err := testkit.AsYouLikeIt()
	testkit.Need(t, err)
	if len(acts) != 5 {
		t.Fatalf("%d acts", len(acts))
	}
	var w worked
	for k := range workTitles {
		l := testkit.DrawWork(uint64(1101+k), 2+k%2)
		w.work(t, l, acts[k%4], acts[k%4+1])
	}
	w.judge(t, map[byte]int{'v': 3000, 's': 1500, 'd': 300})
}

// TestOutsideLongPoem presses books of Paradise Lost (Canterbury corpus 1997, in
// the public domain) with and without line numbers: lines from cell 1, runovers
// further in (BANA, Braille Formats 2016, section 13; line numbers: section 15).
func TestOutsideLongPoem(t *testing.T) {
	books, err := testkit.ParadiseLost()
	testkit.Need(t, err)
	if len(books) != 12 {
		t.Fatalf("%d books", len(books))
	}
	var w worked
	for k := range workTitles {
		l := testkit.DrawWork(uint64(1201+k), 2+k%2)
		l.LineNumbers, l.LineLetters = k%3 == 1, k%3 == 2
		w.work(t, l, books[k%11], books[k%11+1])
	}
	w.judge(t, map[byte]int{'v': 9000})
}
