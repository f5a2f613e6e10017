package convert

import (
	"bytes"
	"slices"

	"continuo/internal/cell"
	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/source"
	"continuo/internal/structure"
)

// Evidence is what a volume shows of being whole. Page numbers are those of
// the pages of its text, 0 when they show none.
type Evidence struct {
	First, Last           int    // braille pages
	PrintFirst, PrintLast int    // print pages, arabic
	Gaps                  []int  // pages of the file, from 1, whose number is further on than they are
	Open                  bool   // the last line of text ends in the middle of a sentence: within it, or in a comma or the like with no room left
	Within                bool   // it ends in a word without any punctuation, and no number
	Ended                 bool   // it ends as a sentence does, in a full stop, a question or exclamation mark
	Closed                bool   // it says that the book ends
	Comma                 bool   // it ends in a comma
	Full                  bool   // that line stands as low on its page as the last lines of other pages do
	Short                 bool   // it stands three lines or more above that, and the file ends there: nothing fills the page
	Wide                  bool   // that line leaves no room for a word
	Foot                  bool   // the text of three pages in four goes no more than two lines lower
	Pages, AsHigh         int    // how many pages of text are before that one, and those of them whose text goes no lower
	Heading               bool   // it is the heading of a chapter, with nothing under it
	Room                  int    // how many lines the last page of the file has less than a page of the paper
	Filled                bool   // blank lines or a number stand below that line, to the end of the page
	Prose                 bool   // that line and the two before it are of a paragraph, as far as their indents tell
	Said                  int    // the last braille page by the volume's statement, 0 when it names none
	PrintSaid             int    // the last print page by it
	EndOf                 int    // the number of the volume that the line at its end says has ended, 0 none
	Parts                 int    // how many parts there are, where the title page says which of them this is
	Reached               int    // the last page of the file, counted on from the last that shows a number
	Numbered              bool   // the last page shows its number
	Shown                 int    // how many pages before the last show theirs, of the pages that should; 0 where one does not
	Steps                 int    // print page turns marked in the text, each to the next page; 0 when one leaves pages out
	Jump                  int    // by how many print pages the number on a page can be further than on the one before: the most that comes twice, or 1
	Unshown               [2]int // how many such pages more could stand before the first, and after the last
	Anew                  bool   // the text begins with a heading or at an indent: a new paragraph
	Mid                   bool   // the text begins at the margin with a small letter, in a volume that has capitals
	Final                 source.Final
	Tail                  string // see source.File
	Padded                bool   // the file is filled to a record
}

// evidence reads it off a volume.
func evidence(v *structure.Volume) Evidence {
	e := Evidence{Final: v.File.Final, Tail: v.File.Tail, Padded: v.File.Padded}
	e.braille(v)
	e.print(v)
	e.said(v)
	e.endOf(v)
	e.begin(v)
	e.ending(v)
	e.paper(v)
	return e
}

// braille reads the numbers of the text's pages; a page without one counts on.
func (e *Evidence) braille(v *structure.Volume) {
	var seen []numbered
	first := firstPage(v)
	for p := first; p < len(v.Pages); p++ {
		b := v.Pages[p].Braille
		if b == nil || b.Roman || b.Bare || b.Last > b.Value || letters(b.Prefix) {
			continue
		}
		seen = append(seen, numbered{p, b.Value})
	}
	if len(seen) > 0 {
		last := seen[len(seen)-1]
		e.First, e.Last = seen[0].number, last.number
		e.Reached = last.number + len(v.Pages) - 1 - last.page
	}
	seen = withoutSlips(seen)
	e.Gaps = gaps(seen)
	if len(seen) > 0 && seen[0].page == first && begunLate(seen[0]) && !counted(v, seen[0]) {
		e.Gaps = append([]int{seen[0].page + 1}, e.Gaps...)
	}
	e.numbers(v)
}

// firstPage is the first page of text with a line of it: a blank page that is
// numbered with the pages before it may stand there.
func firstPage(v *structure.Volume) int {
	for i := range v.Units {
		if p := v.Units[i].Page; p >= v.BodyPage {
			return int(p)
		}
	}
	return int(v.BodyPage)
}

// begunLate reports whether the first page of the text is number 2 or 3 where it would be 1, or
// its place in the file: the pages before it have no numbers of that row.
func begunLate(first numbered) bool {
	return (first.number == 2 || first.number == 3) && first.page > first.number
}

// counted reports whether the pages right before the first of the text are counted with it: the one
// before has the number before, a heading and no text; or as many as are wanting are blank.
func counted(v *structure.Volume, first numbered) bool {
	if b := v.Pages[first.page-1].Braille; b != nil && !b.Roman {
		return b.Value == first.number-1
	}
	for i := range v.Units {
		if p := int(v.Units[i].Page); p < first.page && p > first.page-first.number {
			return false
		}
	}
	return true
}

// numbers reads whether the last page shows its braille page number, and how many
// pages of text before it do (where only every other page shows one, those). A
// number at the foot of the page goes where a file is cut off within it.
func (e *Evidence) numbers(v *structure.Volume) {
	last, step := len(v.Pages)-1, 1
	for last > 0 && v.Pages[last].Top < 0 { // empty pages come after the text
		last--
	}
	if v.OddOnly {
		step = 2
	}
	e.Numbered = last < 0 || v.Pages[last].Braille != nil
	for p := last - step; p > int(v.BodyPage); p -= step {
		if v.Pages[p].Braille == nil {
			e.Shown = 0
			return
		}
		e.Shown++
	}
}

// said reads which pages the title page says that the volume has ("Braille
// pages 1-84"; "pages" alone may be either kind, and is taken for both).
func (e *Evidence) said(v *structure.Volume) {
	for i := v.Title[0]; i < v.Title[1]; i++ {
		u := &v.Units[i]
		if !u.HasPhrase {
			continue
		}
		last := 0
		for _, w := range bytes.Fields(u.Phrase.Tail) {
			if l, ok := cell.ParseLabel(w); ok && !l.Roman && !letters(l.Prefix) {
				last = max(l.Value, l.Last)
			}
		}
		switch u.Phrase.ID {
		case english.BraillePages:
			e.Said = max(e.Said, last)
		case english.Part:
			if u.Phrase.N > 0 {
				e.Parts = max(e.Parts, u.Phrase.M)
			}
		case english.PrintPages:
			e.PrintSaid = max(e.PrintSaid, last)
		case english.PagesRange:
			if last > e.PrintLast {
				e.Said = max(e.Said, last)
			}
		}
	}
}

// endOf reads which volume the line at the end of a volume says has ended.
func (e *Evidence) endOf(v *structure.Volume) {
	for i := v.End[0]; i < v.End[1]; i++ {
		if u := &v.Units[i]; u.HasPhrase && u.Phrase.ID == english.EndOfVolume {
			e.EndOf = u.Phrase.N
		}
	}
}

// begin tells how the text of a volume begins, the title again left aside and headings over a new paragraph.
func (e *Evidence) begin(v *structure.Volume) {
	if v.Blocked {
		return
	}
	title, headed := v.TitleLines(), false
	for i := range v.Units {
		u := &v.Units[i]
		if u.Page < v.BodyPage || u.Rule || slices.Contains(title, layout.Normal(u.Text)) || u.Statement() {
			continue
		}
		switch {
		case u.Listed || u.HasPhrase && !headed:
			e.Anew = true
		case u.Centred || u.Side:
			headed = true
			continue
		case u.From > 0: // a paragraph, not verse: its second line is at the margin; nor the runover of a line of verse
			e.Anew = i+1 < len(v.Units) && v.Units[i+1].From == 0 && v.Units[i+1].Page == u.Page && (capital(u.Text) || v.Small)
		case !headed && len(u.Text) > 0 && u.Text[0] >= 'a' && u.Text[0] <= 'z' && !v.Small:
			e.Mid = true
		}
		return
	}
}

// capital reports whether a capital sign stands in the first three cells.
func capital(t []byte) bool { return bytes.IndexByte(t[:min(3, len(t))], ',') >= 0 }

// numbered is a page, from 0, and the number on it.
type numbered struct{ page, number int }

// gaps lists the pages, from 1, whose number is further on than they are, and
// so is the number after it. Three jumps over one page and more, each to an odd
// one, are blank backs of pages that the file has not.
func gaps(seen []numbered) []int {
	ahead := func(a, b numbered) bool { return b.number-a.number > b.page-a.page }
	var out []int
	blank := 0
	for i := 1; i < len(seen); i++ {
		a, b := seen[i-1], seen[i]
		if !ahead(a, b) || i+1 < len(seen) && !ahead(a, seen[i+1]) {
			continue
		}
		out = append(out, b.page+1)
		if b.number%2 == 1 && b.number-a.number == b.page-a.page+1 {
			blank++
		}
	}
	if blank >= 3 && blank == len(out) {
		return nil
	}
	return out
}

// withoutSlips drops numbers that the pages before and after count over: misprints.
func withoutSlips(seen []numbered) []numbered {
	out := seen[:min(1, len(seen))]
	for i := 1; i < len(seen); i++ {
		a, b := out[len(out)-1], seen[i]
		if i+1 < len(seen) {
			if c := seen[i+1]; b.number-a.number != b.page-a.page && c.number-a.number == c.page-a.page && c.page-a.page <= 4 {
				continue
			}
		}
		out = append(out, b)
	}
	return out
}

// letters reports whether a prefix says more than the volume.
func letters(prefix string) bool { return prefix != "" && !(prefix[0] >= '0' && prefix[0] <= '9') }

func (e *Evidence) print(v *structure.Volume) {
	see := func(l *cell.Label) {
		if l == nil || l.Roman || l.Bare {
			return
		}
		if e.PrintFirst == 0 || l.Value < e.PrintFirst {
			e.PrintFirst = l.Value
		}
		e.PrintLast = max(e.PrintLast, l.Value, l.Last)
	}
	before, steps, whole := 0, 0, true
	for i := range v.Units {
		if v.Units[i].Page < v.BodyPage {
			continue
		}
		for k := range v.Units[i].Turns {
			l := &v.Units[i].Turns[k].Label
			see(l)
			if l.Roman || l.Bare {
				continue
			}
			if before > 0 {
				steps++
				whole = whole && l.Value == before+1
			}
			before = max(l.Value, l.Last)
		}
	}
	if whole && v.Rows+v.Marks+len(v.Inline) >= steps {
		e.Steps = steps
	}
	e.jump(v)
	for i := range v.Tail {
		see(&v.Tail[i].Label)
	}
	for p := int(v.BodyPage); p < len(v.Pages); p++ {
		see(v.Pages[p].Print)
	}
}

// jump reads the greatest difference of print pages between pages that show one and
// follow one another, of those that come twice at least, and how far from the ends of the
// text the first and the last such page are.
func (e *Evidence) jump(v *structure.Volume) {
	e.Jump = 1
	count, before := map[int]int{}, 0
	first, last, span := -1, -1, 0
	for p := int(v.BodyPage); p < len(v.Pages); p++ {
		l := v.Pages[p].Print
		if l == nil || l.Roman || l.Bare {
			continue
		}
		if d := l.Value - before; before > 0 && d > e.Jump {
			if count[d]++; count[d] > 1 {
				e.Jump = d
			}
		}
		before = max(l.Value, l.Last)
		if first < 0 {
			first = p
		} else if span == 0 || p-last < span {
			span = p - last
		}
		last = p
	}
	if e.Jump > 1 {
		e.Unshown = [2]int{(first - int(v.BodyPage)) / span, (len(v.Pages) - 1 - last) / span}
	}
}
