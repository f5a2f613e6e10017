package convert_test

import (
	"flag"
	"fmt"
	"strings"
	"testing"

	"continuo/internal/convert"
	"continuo/internal/testkit"
)

var (
	partCount = flag.Int("parts", 8, "layouts of the check of books of books, each in several kinds")
	partSeed  = flag.Int("partseed", 1, "seed of the first")
	wholeText = flag.Bool("wholetext", false, "press all verses of every chapter")
)

// partTally is what came of books of books.
type partTally struct {
	books, headings, broken, unnamed, elsewhere, other, words, furniture, proved int
}

// TestOutsideScripture presses the King James text (Debian's bible-kjv-text) as
// many volumes with running heads that change by book, in the three codes: every
// chapter heading must carry its book's name, a search for heading and number
// must land there first, and no word may be lost.
func TestOutsideScripture(t *testing.T) {
	parts, err := testkit.Scripture()
	testkit.Need(t, err)
	chapters, verses := 0, 0
	for _, p := range parts {
		chapters += len(p.Chapters)
		for _, c := range p.Chapters {
			verses += len(c)
		}
	}
	if len(parts) != 66 || chapters != 1189 || verses != 31102 {
		t.Fatalf("%d books, %d chapters, %d verses", len(parts), chapters, verses)
	}
	if !*wholeText {
		parts = testkit.Shortened(parts, 4)
	}
	var sum partTally
	for i := range *partCount {
		l := testkit.DrawParts(uint64(*partSeed + i))
		l.Code = []testkit.Code{{System: "ueb", Contracted: true, Capitals: true}, {System: "seb", Contracted: true, Capitals: i%4 == 1}, {System: "ebae", Contracted: true, Capitals: true}}[i%3]
		l.Volumes = 6 + i%7
		label := "Chapter"
		if i%2 == 1 {
			label = ""
		}
		for k := range parts {
			parts[k].Label = label
		}
		onePart(t, l, parts, &sum)
	}
	sum.hold(t)
}

// TestOutsideCollections presses collected plays (acts and scenes) and stories
// with bare numbers, of paragraphs of open novels under invented names.
func TestOutsideCollections(t *testing.T) {
	texts, err := testkit.Texts()
	testkit.Need(t, err)
	var sum partTally
	for i := range *partCount {
		seed := uint64(100 + *partSeed + i)
		l := testkit.DrawParts(seed)
		onePart(t, l, testkit.Collection(seed, texts, i%2 == 0), &sum)
	}
	sum.hold(t)
}

func onePart(t *testing.T, l *testkit.Layout, parts []testkit.Part, sum *partTally) {
	t.Helper()
	name := fmt.Sprintf("book of books %d", l.Seed)
	book, err := testkit.NewParts(l, parts)
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
	own := book.Own()
	for i := range res.Book.Blocks {
		for _, x := range res.Book.Blocks[i].Pieces {
			if x.Vol < 0 && res.Book.Reasons[x.Reason].Class == "parent" {
				own = append(own, string(x.Tool))
			}
		}
	}
	edition := whole(res.Edition, res.Account)
	r := testkit.Compare(edition, title.Truth, own...)
	before := *sum
	sum.books++
	sum.words += r.Lost + r.Doubled + r.Disorder + r.Extra
	sum.furniture += r.Furniture
	searchParents(byLine(edition), flat(edition), title.Truth.Parents, res.Stats.Parents, sum)
	if p := proof(title, res); p != "" {
		t.Errorf("%s: not proved: %s", name, p)
	}
	if r.Lost+r.Doubled+r.Disorder > 0 {
		t.Errorf("%s: words lost %d, doubled %d, out of order %d", name, r.Lost, r.Doubled, r.Disorder)
	}
	if !r.OK() || sum.unnamed > before.unnamed || sum.elsewhere > before.elsewhere || sum.other > before.other {
		keep(title, edition)
		t.Logf("%s: %d headings, %d without their book's name, %d found elsewhere first, %d other names\n%s", name, len(title.Truth.Parents),
			sum.unnamed-before.unnamed, sum.elsewhere-before.elsewhere, sum.other-before.other, describe(outcome{seed: l.Seed, report: r, features: l.Features(), pages: title.Truth.Pages}))
	}
}

// byLine is an edition as a search sees it that stays within lines.
func byLine(edition []byte) string {
	var b strings.Builder
	for _, l := range strings.Split(string(edition), "\n") {
		b.WriteString(flat([]byte(l)) + "\n")
	}
	return b.String()
}

// searchParents searches for the name and number of every heading, in order.
func searchParents(text, all string, want []testkit.WantParent, names int, sum *partTally) {
	sum.headings += len(want)
	from, found := 0, 0
	for _, w := range want {
		s, i := "", -1
		for name := strings.Fields(w.Name); len(name) > 0 && i < 0; name = name[:len(name)-1] { // as many words as fit the line
			s = " " + strings.Join(strings.Fields(strings.Join(name, " ")+" "+w.Over+" "+w.Label), " ") + " "
			if i = strings.Index(text[from:], s); i < 0 && strings.Contains(all, s) {
				break
			}
		}
		if i < 0 && strings.Contains(all, s) {
			sum.broken++ // too long for a line of this width
			found++
			continue
		}
		if i < 0 {
			if *problems > 6 {
				fmt.Printf("unnamed %q\n", s)
			}
			sum.unnamed++
			continue
		}
		found++
		if from += i; strings.Index(text, s) != from {
			if *problems > 6 {
				fmt.Printf("elsewhere %q\n", s)
			}
			sum.elsewhere++
		}
		from++
	}
	sum.other += max(0, names-found)
}

// hold holds the bars: 99.5 of 100 headings named, none found elsewhere first.
func (s *partTally) hold(t *testing.T) {
	t.Helper()
	t.Logf("books of books: %d; headings that say a number: %d, over a line end %d, without their book's name %d, found elsewhere first %d, other names %d; words lost, doubled or unknown: %d; furniture left: %d",
		s.books, s.headings, s.broken, s.unnamed, s.elsewhere, s.other, s.words, s.furniture)
	if s.unnamed*200 > s.headings || s.elsewhere > 0 || s.other*1000 > s.headings {
		t.Errorf("headings: %d, unnamed %d, found elsewhere %d, other names %d", s.headings, s.unnamed, s.elsewhere, s.other)
	}
}
