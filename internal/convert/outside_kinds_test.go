package convert_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/convert"
	"continuo/internal/testkit"
)

// kindTitles is how many titles of one kind are pressed.
const kindTitles = 10

// pressOf presses one of some open texts in a layout.
func pressOf(t *testing.T, l *testkit.Layout, texts ...testkit.Text) (*testkit.Book, *testkit.Title) {
	t.Helper()
	b, err := testkit.NewBook(l, texts)
	if err != nil {
		t.Fatal(err)
	}
	title, err := testkit.Press(b)
	if err != nil {
		t.Fatal(err)
	}
	return b, title
}

// wordsWrong converts a title, has its edition proved, and counts the words that
// are lost, doubled or out of order. Page heads that stay are told.
func wordsWrong(t *testing.T, b *testkit.Book, title *testkit.Title) (*convert.Result, int) {
	t.Helper()
	res, err := convertTitle(title, convert.Defaults(), 3)
	if err != nil {
		t.Fatalf("seed %d: %v", title.Lay.Seed, err)
	}
	if p := proof(title, res); p != "" {
		t.Errorf("seed %d: not proved: %.300s", title.Lay.Seed, p)
	}
	ed := withoutMarks(whole(withoutLabels(res), res.Account), res.Stats.EntryMark)
	r := testkit.Compare(ed, title.Truth, b.Own()...)
	if !r.OK() {
		keep(title, res.Edition)
		t.Log(describe(outcome{seed: title.Lay.Seed, features: title.Lay.Features(), report: r}))
	}
	return res, r.Lost + r.Doubled + r.Disorder
}

// begun counts the lines of verse that begin a line of the edition.
func begun(res *convert.Result, title *testkit.Title) (all, good int) {
	places := testkit.Places(withoutLabels(res), title.Truth)
	for i, w := range title.Truth.Body {
		if w.Start != 'v' || i == 0 || places[i] == 0 {
			continue
		}
		all++
		if places[i] != places[i-1] {
			good++
		}
	}
	return all, good
}

func textNamed(t *testing.T, name string) testkit.Text {
	t.Helper()
	texts, err := testkit.Texts()
	testkit.Need(t, err)
	for _, x := range texts {
		if x.Name == name {
			return x
		}
	}
	t.Fatalf("no open text %q", name)
	return testkit.Text{}
}

// TestOutsidePoem presses a long poem, the Psalms of the King James text
// (Debian's bible-kjv-text) cut into lines: no word is lost, and 99.5 of 100 of
// its lines begin a line of the edition.
func TestOutsidePoem(t *testing.T) {
	poem := textNamed(t, "psalms")
	all, good, wrong := 0, 0, 0
	for seed := uint64(501); seed < 501+kindTitles; seed++ {
		l := testkit.Draw(seed)
		l.VerseRun, l.File.Damage = false, ""
		b, title := pressOf(t, l, poem)
		res, w := wordsWrong(t, b, title)
		n, g := begun(res, title)
		all, good, wrong = all+n, good+g, wrong+w
	}
	t.Logf("lines of verse: %d, begin a line %d; words wrong: %d", all, good, wrong)
	if all < 3000 || good*1000 < all*995 || wrong > 0 {
		t.Errorf("lines of verse: %d of %d begin a line; words wrong: %d", good, all, wrong)
	}
}

// turnOfSpeech is a verse of Job that tells who speaks next.
var turnOfSpeech = regexp.MustCompile(`\b(Job|Eliphaz|Bildad|Zophar|Elihu|LORD|Satan)\b.*(said|spake)[,.]?$`)

// playOfJob is the book of Job as a play: its chapters are scenes, two verses a
// speech under the name of who speaks, the narrator's too.
func playOfJob(t *testing.T) testkit.Text {
	t.Helper()
	parts, err := testkit.Scripture()
	testkit.Need(t, err)
	out := testkit.Text{Name: "job"}
	for _, p := range parts {
		if p.Name != "Job" {
			continue
		}
		for n, verses := range p.Chapters {
			out.Units = append(out.Units, testkit.Unit{Kind: testkit.Heading, Lines: []string{fmt.Sprintf("Scene %d", n+1)}})
			who, speech := "NARRATOR", ""
			say := func() {
				if speech != "" {
					out.Units = append(out.Units, testkit.Unit{Kind: testkit.Verse, Lines: []string{who + ". " + strings.TrimSpace(speech)}})
				}
				speech = ""
			}
			for k, v := range verses {
				_, text, _ := strings.Cut(v, " ")
				if m := turnOfSpeech.FindStringSubmatch(text); m != nil {
					say()
					who = strings.ToUpper(m[1])
					continue
				}
				if speech += " " + text; k%2 == 1 {
					say()
				}
			}
			say()
		}
	}
	return out
}

// TestOutsidePlay presses the dialogues of Job (King James text, Debian's
// bible-kjv-text) as a play, speeches with their runovers further in: no word is
// lost, and 99 of 100 speeches begin a block of their own that is known as a speech.
func TestOutsidePlay(t *testing.T) {
	play := playOfJob(t)
	all, good, known, wrong := 0, 0, 0, 0
	for seed := uint64(701); seed < 701+kindTitles; seed++ {
		l := testkit.Draw(seed)
		l.VerseRun, l.LineNumbers, l.Index, l.File.Damage = false, false, false, ""
		b, title := pressOf(t, l, play)
		res, w := wordsWrong(t, b, title)
		n, g := begun(res, title)
		all, good, wrong = all+n, good+g, wrong+w
		for i := range res.Book.Blocks {
			if res.Book.Blocks[i].Form == book.Speech && !res.Book.Blocks[i].Cont {
				known++
			}
		}
	}
	t.Logf("speeches: %d, begin a line %d, known as speeches %d; words wrong: %d", all, good, known, wrong)
	if all < 300 || good*100 < all*99 || known*100 < all*90 || wrong > 0 {
		t.Errorf("speeches: %d of %d begin a line, %d known; words wrong: %d", good, all, known, wrong)
	}
}

// opticksNotes are notes for Opticks: its own first, then sentences of its text.
// The press takes its notes from a text with this name, every third unit.
func opticksNotes(text testkit.Text) testkit.Text {
	out := testkit.Text{Name: "samuel"}
	for _, own := range []bool{true, false} {
		for _, u := range text.Units {
			if is := opticksNote.MatchString(u.Lines[0]); u.Kind == testkit.Para && is == own {
				for range 3 {
					out.Units = append(out.Units, testkit.Unit{Kind: testkit.Para, Lines: []string{opticksNote.ReplaceAllString(u.Lines[0], "")}})
				}
			}
		}
	}
	return out
}

// opticksNote is how a note of Opticks begins in print.
var opticksNote = regexp.MustCompile(`^\[[A-Z]\] `)

// TestOutsideOpticks presses Newton's Opticks (testdata of the Go source tree)
// with footnotes and tables: no word is lost, 99.5 of 100 notes are joined to
// their references, 98 of 100 rows are one block each.
func TestOutsideOpticks(t *testing.T) {
	text := textNamed(t, "opticks")
	var sum joins
	rows, whole, wrong := 0, 0, 0
	for seed := uint64(901); seed < 901+kindTitles; seed++ {
		l := testkit.DrawNotes(seed)
		l.Table, l.File.Damage = true, ""
		b, title := pressOf(t, l, text, text, text, opticksNotes(text))
		res, w := wordsWrong(t, b, title)
		j := noteJoins(res, title.Truth, testkit.Places(withoutLabels(res), title.Truth))
		for _, p := range j.problems {
			t.Logf("seed %d: %s", seed, p)
		}
		sum.add(j)
		wrong += w
		have := formBlocks(res.Book)
		for _, f := range title.Truth.Forms {
			rows++
			if _, ok := have[f.Words]; ok {
				whole++
			}
		}
	}
	t.Logf("notes: %d, joined right %d, wrong %d, of these with high confidence %d; rows: %d, one block each %d; words wrong: %d", sum.want, sum.right, sum.wrong, sum.wrongSure, rows, whole, wrong)
	if sum.want < 30 || sum.right*1000 < sum.want*995 || sum.wrongSure > 0 || rows < 40 || whole*100 < rows*98 || wrong > 0 {
		t.Errorf("notes joined right %d of %d, wrongly with high confidence %d; rows in one block %d of %d; words wrong %d", sum.right, sum.want, sum.wrongSure, whole, rows, wrong)
	}
}
