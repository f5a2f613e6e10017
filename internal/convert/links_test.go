package convert_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/convert"
	"continuo/internal/testkit"
)

// sureLink is the confidence from which a wrong join counts as one made with
// high confidence.
const sureLink = 0.9

// joins is how the links of an edition compare with the truth.
type joins struct {
	want, right, wrong, wrongSure int
	heads, levels                 int // headings of the text; those with a level that is not theirs
	problems                      []string
}

func (j *joins) add(o joins) {
	j.want += o.want
	j.right += o.right
	j.wrong += o.wrong
	j.wrongSure += o.wrongSure
	j.heads += o.heads
	j.levels += o.levels
}

func (j *joins) problem(format string, args ...any) {
	j.problems = append(j.problems, fmt.Sprintf(format, args...))
}

// blockText is the text of a block as it is set, in one line.
func blockText(b *book.Book, i int) string {
	var out []byte
	for _, p := range b.Blocks[i].Pieces {
		if t := b.Text(p); len(t) > 0 {
			if p.Join == 0 && len(out) > 0 {
				out = append(out, ' ')
			}
			out = append(out, t...)
		}
	}
	return strings.Join(strings.Fields(string(out)), " ")
}

// listJoins compares the joins of contents entries with the headings where they
// stand, and the levels of the headings.
func listJoins(res *convert.Result, t *testkit.Truth, places []int) (j joins) {
	link := map[int32]book.Link{}
	for _, l := range res.Book.Links {
		if l.Kind == book.ListRef {
			link[l.Block] = l
		}
	}
	for _, e := range entriesOf(res.Book, t) {
		j.want++
		l, ok := link[e.block]
		line := places[e.head.At]
		switch {
		case !ok:
			j.problem("entry %q is not joined", e.head.Words)
		case res.Starts[l.Target] == line:
			j.right++
		default:
			j.wrong++
			if l.Confidence >= sureLink {
				j.wrongSure++
			}
			j.problem("entry %q (confidence %.2f) is joined to line %d %q, its heading is on line %d", e.head.Words, l.Confidence, res.Starts[l.Target], blockText(res.Book, int(l.Target)), line)
		}
	}
	j.compareLevels(res, t, places)
	return j
}

type entryHead struct {
	block int32
	head  testkit.Head
}

// entriesOf pairs the entries of the edition's contents list with the headings
// of the truth: the same words, in the same order.
func entriesOf(b *book.Book, t *testkit.Truth) (out []entryHead) {
	next := map[string]int{}
	for i := range b.Blocks {
		if b.Blocks[i].Kind != book.Entry {
			continue
		}
		text := blockText(b, i)
		best := -1
		for k, h := range t.Heads {
			rest, ok := strings.CutPrefix(text, h.Words)
			if ok && h.Listed && (rest == "" || rest[0] == ' ' && len(strings.Fields(rest)) == 1) && k >= next[h.Words] && (best < 0 || len(h.Words) > len(t.Heads[best].Words)) {
				best = k
			}
		}
		if best >= 0 {
			next[t.Heads[best].Words] = best + 1
			out = append(out, entryHead{int32(i), t.Heads[best]})
		}
	}
	return out
}

// compareLevels counts headings whose level is not theirs: sub-headings that
// are not deeper than the chapter before them, chapters of unlike levels.
func (j *joins) compareLevels(res *convert.Result, t *testkit.Truth, places []int) {
	at := map[int]*book.Block{}
	for i := range res.Book.Blocks {
		if bl := &res.Book.Blocks[i]; bl.Kind == book.Heading {
			at[res.Starts[i]] = bl
		}
	}
	var chapter *book.Block
	for _, h := range t.Heads {
		bl := at[places[h.At]]
		if bl == nil || h.Words == "" {
			continue
		}
		j.heads++
		bad := bl.Level == 0
		if h.Level == 1 {
			bad = bad || chapter != nil && bl.Level != chapter.Level
			chapter = bl
		} else {
			bad = bad || chapter != nil && bl.Level <= chapter.Level
		}
		if bad {
			j.levels++
			j.problem("heading %q has level %d", h.Words, bl.Level)
		}
	}
}

// TestOutsideLinks presses titles from open texts, converts them and compares
// the joins of contents entries, and the levels of headings, with the truth.
// The bars: 99.5 % of the entries joined to their heading, none joined wrongly
// with high confidence.
func TestOutsideLinks(t *testing.T) {
	texts, err := testkit.Texts()
	missing(t, err)
	var sum joins
	n := *titleCount
	if testing.Short() {
		n = min(n, 20)
	}
	for i := range n {
		lay := testkit.Draw(uint64(*firstSeed + i))
		if lay.Contents == "none" || !chosen(lay.Features(), *only) {
			continue
		}
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
			t.Fatal(err)
		}
		j := listJoins(res, title.Truth, testkit.Places(res.Edition, title.Truth))
		sum.add(j)
		if len(j.problems) > 0 {
			keep(title, res.Edition)
			t.Logf("seed %d (%s): %s", lay.Seed, strings.Join(lay.Features(), " "), strings.Join(j.problems[:min(len(j.problems), *problems)], "\n  "))
		}
	}
	t.Logf("contents entries: %d, joined right %d, wrong %d, of these with high confidence %d; headings: %d, wrong level %d", sum.want, sum.right, sum.wrong, sum.wrongSure, sum.heads, sum.levels)
	if sum.want == 0 || sum.right*1000 < sum.want*995 || sum.wrongSure > 0 {
		t.Errorf("%d of %d entries joined right, %d wrongly with high confidence", sum.right, sum.want, sum.wrongSure)
	}
}
