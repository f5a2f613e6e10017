package triage

import (
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/convert"
	"continuo/internal/diag"
	"continuo/internal/source"
)

func heading(v *convert.VolumeSurvey) { v.Evidence.Heading = true }

func closed(v *convert.VolumeSurvey) { v.Evidence.Closed = true }

func notes(n int) func(*convert.VolumeSurvey) {
	return func(v *convert.VolumeSurvey) { v.Notes = n }
}

// partWay is a volume whose text ends above the foot of its last page.
func partWay(v *convert.VolumeSurvey) { v.Evidence.Full = false }

// paper is a file whose last page lacks so many lines of a page of the paper, or is filled.
func paper(room int, final source.Final) func(*convert.VolumeSurvey) {
	return func(v *convert.VolumeSurvey) {
		v.Height, v.Evidence.Room, v.Evidence.Final = 25, room, final
		v.Evidence.Filled = room == 0
	}
}

// TestCuts: volumes that are cut off at the end of a page, and what is the way of a house
// or of a book.
func TestCuts(t *testing.T) {
	type vols = []convert.VolumeSurvey
	broken := within(true, true) // within a sentence, at the foot of the page
	for _, c := range []struct {
		what string
		vols vols
		want string
	}{
		{"volumes filled to one thickness", vols{ev(1, 40, broken), ev(1, 38, broken), ev(1, 41, broken), ev(1, 12, partWay)}, ""},
		{"one breaks off after two thirds of that", vols{ev(1, 40, broken), ev(1, 27, broken), ev(1, 41, broken), ev(1, 12, closed)}, "volume-short "},
		{"the first of two", vols{ev(1, 20, broken), ev(1, 40, closed)}, "volume-short "},
		{"it says that it ends", vols{ev(1, 20, broken, endLine), ev(1, 40, closed)}, ""},
		{"its numbers go on in the next one", vols{ev(1, 20, broken), ev(21, 60, broken), ev(61, 90)}, ""},
		{"a short chapter", vols{ev(1, 40, partWay), ev(1, 27, partWay), ev(1, 41, partWay), ev(1, 30, partWay)}, ""},
		{"one that fills its last page", vols{ev(1, 40, partWay), ev(1, 17), ev(1, 41, partWay), ev(1, 30, partWay)}, "volume-short "},
		{"the last volume has what is left", vols{ev(1, 40, endLine), ev(1, 38, endLine), ev(1, 12, partWay)}, ""},
		{"files filled to the end of the paper", vols{ev(1, 20, paper(0, source.FinalLine)), ev(1, 20, paper(0, source.FinalLine))}, ""},
		{"all but one", vols{ev(1, 20, paper(0, source.FinalLine)), ev(1, 20, paper(9, source.FinalLine)), ev(1, 20, paper(0, source.FinalLine))}, "cut-off "},
		{"all but one, with the end of a page", vols{ev(1, 20, paper(0, source.FinalFeed)), ev(1, 20, paper(9, source.FinalFeed)), ev(1, 20, paper(0, source.FinalFeed))}, ""},
		{"all but a preliminary volume without page numbers", vols{ev(1, 9, prelim, paper(9, source.FinalLine)), ev(1, 20, paper(0, source.FinalLine)), ev(1, 20, paper(0, source.FinalLine))}, ""},
		{"files that are not filled", vols{ev(1, 20, paper(7, source.FinalLine)), ev(1, 20, paper(9, source.FinalLine)), ev(1, 20, paper(0, source.FinalLine))}, ""},
		{"the heading of a chapter at the end", vols{ev(1, 20), ev(1, 20, heading)}, "cut-off "},
	} {
		got := ""
		for _, list := range [][]sign{shorter(c.vols), unfilled(c.vols), headingLast(c.vols)} {
			for _, s := range list {
				got += s.kind + " "
			}
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", c.what, got, c.want)
		}
	}
}

// prelim is a preliminary volume whose pages have no numbers.
func prelim(v *convert.VolumeSurvey) { v.Prelim, v.Evidence.Numbered = true, false }

// TestEndUntold: a last volume that ends as its pages do, and nothing says that the book ends.
func TestEndUntold(t *testing.T) {
	file := func(tail string) func(*convert.VolumeSurvey) {
		return func(v *convert.VolumeSurvey) {
			v.FormFeeds, v.Evidence.Tail, v.Evidence.Final = true, tail, source.FinalFeed
			if feeds(tail) == 0 {
				v.Evidence.Final = source.FinalLine
			}
		}
	}
	foot := func(v *convert.VolumeSurvey) { v.Evidence.Foot, v.Evidence.Full = true, false }
	high := func(n int) func(*convert.VolumeSurvey) {
		return func(v *convert.VolumeSurvey) { v.Evidence.Full, v.Evidence.Pages, v.Evidence.AsHigh = false, 30, n }
	}
	padded := func(v *convert.VolumeSurvey) { v.Evidence.Padded = true }
	for _, c := range []struct {
		what   string
		vol    convert.VolumeSurvey
		listed bool
		want   bool
	}{
		{"at the foot of its page", ev(1, 12, foot, file("nf")), true, true},
		{"a line above it, as no other page", ev(1, 32, high(0), foot, file("nf")), true, false},
		{"a line above it, as another page", ev(1, 32, high(1), foot, file("nf")), true, true},
		{"and says that the book ends", ev(1, 12, foot, file("nf"), closed), true, false},
		{"and notes stand after the text", ev(1, 12, foot, file("nf"), notes(9)), true, false},
		{"a page more that is empty", ev(1, 12, foot, file("nff")), true, false},
		{"signs that fill the file", ev(1, 12, foot, file("nf"), padded), true, false},
		{"nearly at the foot, in a line", ev(1, 12, foot, file("n")), true, false},
		{"at the very foot, in a line", ev(1, 12, file("n")), true, true},
		{"no form feeds, at the end of the paper", ev(1, 12, foot), true, true},
		{"no form feeds, above it", ev(1, 12, foot, paper(9, source.FinalLine)), true, false},
		{"above the foot", ev(1, 12, high(0), file("nf")), false, false},
		{"as before chapters", ev(1, 12, high(2), file("nf")), false, true},
		{"as before chapters that a list names", ev(1, 12, high(2), file("nf")), true, false},
		{"as one page does", ev(1, 12, high(1), file("nf")), false, false},
	} {
		if got := len(endUntold([]convert.VolumeSurvey{c.vol}, c.listed, false)) > 0; got != c.want {
			t.Errorf("%s: %v", c.what, got)
		}
	}
}

// TestNotesGone: a volume with marks of notes and without the notes, where others have theirs.
func TestNotesGone(t *testing.T) {
	mark := func(file string) diag.Finding {
		return diag.Finding{ID: "reference-without-note", Place: diag.Place{File: file}}
	}
	volumes := func(a, b int) []convert.VolumeSurvey {
		list := []convert.VolumeSurvey{ev(1, 20, notes(a)), ev(1, 20, notes(b))}
		list[0].File, list[1].File = "a", "b"
		return list
	}
	for _, c := range []struct {
		what  string
		vols  []convert.VolumeSurvey
		marks []diag.Finding
		want  bool
	}{
		{"all notes are there", volumes(5, 4), nil, false},
		{"no notes in the second", volumes(5, 0), []diag.Finding{mark("b")}, true},
		{"two of its notes are not", volumes(5, 4), []diag.Finding{mark("b"), mark("b")}, true},
		{"one mark that may be none", volumes(5, 4), []diag.Finding{mark("b")}, false},
		{"no notes anywhere", volumes(0, 0), []diag.Finding{mark("b")}, false},
		{"marks without notes in both", volumes(5, 0), []diag.Finding{mark("a"), mark("b")}, false},
	} {
		if got := len(notesGone(c.vols, c.marks)) > 0; got != c.want {
			t.Errorf("%s: %v", c.what, got)
		}
	}
}

// TestNumberGone: a last page without its number.
func TestNumberGone(t *testing.T) {
	shown := func(n int, has bool) func(*convert.VolumeSurvey) {
		return func(v *convert.VolumeSurvey) { v.Evidence.Shown, v.Evidence.Numbered = n, has }
	}
	for _, c := range []struct {
		what string
		vols []convert.VolumeSurvey
		want bool
	}{
		{"all last pages show theirs", []convert.VolumeSurvey{ev(1, 9, shown(8, true)), ev(1, 9, shown(8, true))}, false},
		{"one does not", []convert.VolumeSurvey{ev(1, 9, shown(8, true)), ev(1, 4, shown(3, false))}, true},
		{"no page shows one", []convert.VolumeSurvey{ev(1, 9, shown(0, false)), ev(1, 9, shown(0, false))}, false},
		{"two do not", []convert.VolumeSurvey{ev(1, 9, shown(8, false)), ev(1, 9, shown(8, false))}, false},
		{"a line that ends the volume stands there", []convert.VolumeSurvey{ev(1, 9, shown(8, true)), ev(1, 9, shown(8, false), endLine)}, false},
	} {
		if got := len(numberGone(c.vols)) > 0; got != c.want {
			t.Errorf("%s: %v", c.what, got)
		}
	}
}

// TestIndexEnds: an index whose last entry begins with one of the last letters ends the book; one that stops earlier may be cut off.
func TestIndexEnds(t *testing.T) {
	entries := strings.Fields("boats oars quay riv] salt tide wat] wreck")
	for _, c := range []struct {
		drop int
		want bool
	}{{0, true}, {4, false}} {
		lines := append([]string{"9dex"}, entries[:len(entries)-c.drop]...)
		f, err := source.Parse("v.brf", []byte(strings.Join(lines, "\n")+"\n"))
		if err != nil {
			t.Fatal(err)
		}
		b := book.NewBook([]*source.File{f})
		for k, l := range lines {
			kind := book.Line
			if k == 0 {
				kind = book.Heading
			}
			b.Blocks = append(b.Blocks, book.Block{Kind: kind, Part: book.BackMatter, Pieces: []book.Piece{{Line: int32(k), To: int32(len(l))}}})
		}
		if got := indexEnds(b); got != c.want {
			t.Errorf("without %d entries: %v", c.drop, got)
		}
	}
}
