package brf_test

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"continuo/internal/account"
	"continuo/internal/book"
	"continuo/internal/source"
	"continuo/internal/write/brf"
)

// set writes blocks, one a source line, and returns the edition's lines.
func set(t *testing.T, o brf.Options, first, run int16, kind book.Kind, lines ...string) ([]string, brf.Output) {
	t.Helper()
	f, err := source.Parse("v1.brf", []byte(strings.Join(lines, "\n")+"\n"))
	if err != nil {
		t.Fatal(err)
	}
	b := book.NewBook([]*source.File{f})
	for i, l := range lines {
		b.Blocks = append(b.Blocks, book.Block{Kind: kind, First: first, Run: run, Pieces: []book.Piece{{Line: int32(i), To: int32(len(l))}}})
	}
	l := account.NewLedger(b)
	out := brf.Write(b, o, l)
	if _, err := l.Finish(account.Edition{Name: "x", Data: out.Data, Lines: out.Lines, Marks: out.Marks}); err != nil {
		t.Fatal(err)
	}
	got := strings.Split(string(out.Data), "\r\n")
	if got[len(got)-1] != "" {
		t.Errorf("the edition does not end in a line end: %q", out.Data)
	}
	return got[:len(got)-1], out
}

func TestWrap(t *testing.T) {
	for _, c := range []struct {
		name       string
		width      int
		first, run int16
		kind       book.Kind
		in         string
		want       []string
		splits     []int
	}{
		{"paragraph, cell 3 and 1", 20, 2, 0, book.Para, "! old f]ry cross$ ! riv] twice a day",
			[]string{"  ! old f]ry cross$", "! riv] twice a day"}, nil},
		{"the last word fits to the last cell", 10, 2, 0, book.Para, "! old f]ry", []string{"  ! old", "f]ry"}, nil},
		{"exactly the line", 12, 2, 0, book.Para, "! old f]ry", []string{"  ! old f]ry"}, nil},
		{"verse with its runover", 28, 0, 4, book.Line, "! old f]ry cross$ ! riv] twice a", []string{"! old f]ry cross$ ! riv]", "    twice a"}, nil},
		{"its runover on a short line", 20, 0, 4, book.Line, "! old f]ry cross$ ! riv] twice", []string{"! old f]ry cross$ !", "  riv] twice"}, nil},
		{"runs of blanks are one in flowed text", 40, 2, 0, book.Para, "! old   f]ry", []string{"  ! old f]ry"}, nil},
		{"columns keep their blanks", 40, 0, 2, book.Line, "apples     #ab", []string{"apples     #ab"}, nil},
		{"a page indicator stays with its label", 16, 0, 0, book.Para, `! old f]ry x "3 #ab cross$`, []string{"! old f]ry x", `"3 #ab cross$`}, nil},
		{"also where the label would begin a line", 15, 0, 0, book.Para, `! old f]ry "3 #abcd`, []string{"! old f]ry", `"3 #abcd`}, nil},
		{"a word longer than the line is cut, nothing added", 18, 0, 0, book.Para, "a www4abcdefghijklmnopqrstuv",
			[]string{"a", "www4abcdefghijklmn", "opqrstuv"}, []int{3}},
		{"a long word after its hyphen", 18, 0, 0, book.Para, "abcdefghijkl-mnopqrstuv", []string{"abcdefghijkl-", "mnopqrstuv"}, []int{2}},
		{"a long word after a solidus", 18, 0, 0, book.Para, "abcdefghijk_/mnopqrstuv", []string{"abcdefghijk_/", "mnopqrstuv"}, []int{2}},
		{"width 0: one line a paragraph", 0, 2, 0, book.Para, "! old f]ry cross$ ! riv] twice a day & nobody 9 ! village cd rememb] a time",
			[]string{"  ! old f]ry cross$ ! riv] twice a day & nobody 9 ! village cd rememb] a time"}, nil},
		{"a deep indent on a narrow line", 12, 10, 10, book.Line, "! old f]ry cross$", []string{"    ! old", "    f]ry", "    cross$"}, nil},
		{"one cell a line", 1, 2, 2, book.Para, "! ab", []string{"!", "a", "b"}, []int{3}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, out := set(t, brf.Options{Width: c.width}, c.first, c.run, c.kind, c.in)
			if !slices.Equal(got, c.want) || !slices.Equal(out.Splits, c.splits) {
				t.Errorf("got %q splits %v\nwant %q splits %v", got, out.Splits, c.want, c.splits)
			}
			if out.Lines != len(got) {
				t.Errorf("%d lines told, %d written", out.Lines, len(got))
			}
			if want := len(strings.ReplaceAll(c.in, " ", "")); out.Marks != int64(want) {
				t.Errorf("%d cells told, %d given", out.Marks, want)
			}
		})
	}
}

// TestNoWordLost sets a text at every width from 0 to 60: the cells are the
// same, no line is longer than the width, and two runs give the same bytes.
func TestNoWordLost(t *testing.T) {
	in := []string{"! old f]ry cross$ ! riv] twice a day & nobody 9 ! village cd rememb] a time 2fore x4", "www4! l;ge/-address_/9_/! village4ex", `x "3#ab y "3 #ac z`}
	for width := 0; width <= 60; width++ {
		lines, one := set(t, brf.Options{Width: width}, 2, 0, book.Para, in...)
		_, two := set(t, brf.Options{Width: width}, 2, 0, book.Para, in...)
		if !bytes.Equal(one.Data, two.Data) {
			t.Errorf("width %d: two runs differ", width)
		}
		if got, want := strings.Join(strings.Fields(string(one.Data)), ""), strings.ReplaceAll(strings.Join(in, ""), " ", ""); got != want {
			t.Errorf("width %d: cells differ: %q", width, got)
		}
		for _, l := range lines {
			if width > 0 && len(l) > width {
				t.Errorf("width %d: a line of %d cells: %q", width, len(l), l)
			}
		}
	}
}

func TestUpper(t *testing.T) {
	got, _ := set(t, brf.Options{Width: 40, Upper: true}, 2, 0, book.Para, `,! old f]ry "3#ab`)
	if want := []string{`  ,! OLD F]RY "3#AB`}; !slices.Equal(got, want) {
		t.Errorf("got %q want %q", got, want)
	}
}

// TestBlankLines: wanted blank lines, at most one together, none at the start,
// none at all when asked.
func TestBlankLines(t *testing.T) {
	for _, none := range []bool{false, true} {
		f, err := source.Parse("v1.brf", []byte("a\n\nb\nc\n"))
		if err != nil {
			t.Fatal(err)
		}
		b := book.NewBook([]*source.File{f})
		why := b.Why(book.Reason{Class: "filler", Why: "set by the tool", Evidence: "test", Confidence: 1})
		if none {
			b.Out[0][1] = why
		}
		line := func(i int32, bl book.Blank) book.Block {
			return book.Block{Kind: book.Line, Blank: bl, Pieces: []book.Piece{{Line: i, To: 1}}}
		}
		b.Blocks = []book.Block{line(0, book.Blank{Want: true, Reason: why}), line(2, book.Blank{Want: true, Line: 1}), line(3, book.Blank{Want: true, Reason: why})}
		l := account.NewLedger(b)
		out := brf.Write(b, brf.Options{Width: 40, NoBlank: none}, l)
		want := "a\r\n\r\nb\r\n\r\nc\r\n"
		if none {
			want = "a\r\nb\r\nc\r\n"
		}
		if string(out.Data) != want || out.Blanks != strings.Count(want, "\r\n\r\n") {
			t.Errorf("none %v: %q with %d blank lines", none, out.Data, out.Blanks)
		}
		if _, err := l.Finish(account.Edition{Data: out.Data, Lines: out.Lines, Marks: out.Marks}); err != nil {
			t.Error(err)
		}
	}
}

// TestKeep: kept cells stay on one line where they fit one, at every width;
// nothing is lost for it.
func TestKeep(t *testing.T) {
	in := `! old f]ry "3#ab cross$ ! riv] twice "3#ab a day & nobody 9 ! village`
	f, err := source.Parse("v1.brf", []byte(in+"\n"))
	if err != nil {
		t.Fatal(err)
	}
	b := book.NewBook([]*source.File{f})
	b.Blocks = []book.Block{{Kind: book.Para, First: 2, Pieces: []book.Piece{{To: int32(len(in))}}}}
	var keep []book.Keep
	for _, s := range []string{`"3#ab cross$`, `"3#ab a day`} {
		i := strings.Index(in, s)
		keep = append(keep, book.Keep{From: int32(i), To: int32(i + len(s))})
	}
	for width := 4; width < 60; width++ {
		l := account.NewLedger(b)
		out := brf.Write(b, brf.Options{Width: width, Keep: keep}, l)
		if got, want := strings.Join(strings.Fields(string(out.Data)), ""), strings.ReplaceAll(in, " ", ""); got != want {
			t.Fatalf("width %d: %q", width, got)
		}
		for _, k := range keep {
			if s := in[k.From:k.To]; width >= len(s)+2 && !strings.Contains(string(out.Data), s) {
				t.Errorf("width %d: %q is broken:\n%s", width, s, out.Data)
			}
		}
		for _, line := range strings.Split(string(out.Data), "\r\n") {
			if len(line) > width {
				t.Errorf("width %d: line %q", width, line)
			}
		}
	}
}

// A short line: runovers step in two cells, but not to where another line of the
// same matter begins, a print page turn between them or not.
func TestRunoversOnShortLines(t *testing.T) {
	f, err := source.Parse("v1.brf", []byte("! old f]ry cross$ ! riv]\n\"3#c\n! riv] ran ")) // runovers at 5 for the inset line's sake
	if err != nil {
		t.Fatal(err)
	}
	for inset, want := range map[int16]string{2: "! old f]ry cross$\r\n    ! riv]\r\n\"3#c\r\n  ! riv] ran\r\n", 0: "! old f]ry cross$\r\n  ! riv]\r\n\"3#c\r\n! riv] ran\r\n"} {
		b := book.NewBook([]*source.File{f})
		for i, l := range f.Lines {
			b.Blocks = append(b.Blocks, book.Block{Kind: book.Line, Form: book.Verse, Run: 4, Pieces: []book.Piece{{Line: int32(i), To: l.End - l.Start}}})
		}
		b.Blocks[1].Kind, b.Blocks[1].Form, b.Blocks[1].Run = book.Turn, book.Plain, 0
		b.Blocks[2].First = inset
		if got := string(brf.Write(b, brf.Options{Width: 18}, account.NewLedger(b)).Data); got != want {
			t.Errorf("an inset of %d: %q, want %q", inset, got, want)
		}
	}
}

// Paragraphs that only a blank line marks get an indent where blank lines are
// left out; others stay.
func TestParagraphsWithoutBlankLines(t *testing.T) {
	f, err := source.Parse("v1.brf", []byte("! old f]ry\n! riv]\nwas low\n"))
	if err != nil {
		t.Fatal(err)
	}
	b := book.NewBook([]*source.File{f})
	why := b.Why(book.Reason{Class: "filler", Why: "a test", Confidence: 1})
	for i, l := range f.Lines {
		b.Blocks = append(b.Blocks, book.Block{Kind: book.Para, Blank: book.Blank{Want: i == 1, Reason: why}, Pieces: []book.Piece{{Line: int32(i), To: l.End - l.Start}}})
	}
	for noBlank, want := range map[bool]string{false: "! old f]ry\r\n\r\n! riv]\r\nwas low\r\n", true: "! old f]ry\r\n  ! riv]\r\nwas low\r\n"} {
		if got := string(brf.Write(b, brf.Options{Width: 40, NoBlank: noBlank}, account.NewLedger(b)).Data); got != want {
			t.Errorf("no blank lines %v: %q, want %q", noBlank, got, want)
		}
	}
}

// TestStanzasWithoutBlankLines: where blank lines are left out, the first line of a stanza
// after another stands deeper than any line or runover of the verse, at widths with room.
func TestStanzasWithoutBlankLines(t *testing.T) {
	in := "! old f]ry cross$ ! riv]1\ntwice a day4\nnobody 9 ! village1\nc rememb]4\n"
	f, err := source.Parse("v1.brf", []byte(in))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		width, step int
		want        string
	}{
		{20, 0, "! old f]ry cross$ !\n  riv]1\ntwice a day4\n    nobody 9 !\n  village1\nc rememb]4\n"},
		{20, 2, "! old f]ry cross$ !\n    riv]1\n  twice a day4\n      nobody 9 !\n    village1\n  c rememb]4\n"},
		{20, 6, "! old f]ry cross$ !\n  riv]1\n      twice a day4\nnobody 9 ! village1\n      c rememb]4\n"},
		{40, 0, "! old f]ry cross$ ! riv]1\ntwice a day4\n      nobody 9 ! village1\nc rememb]4\n"},
		{0, 2, "! old f]ry cross$ ! riv]1\n  twice a day4\n      nobody 9 ! village1\n  c rememb]4\n"},
	} {
		b := book.NewBook([]*source.File{f})
		for i, n := range []int32{25, 12, 19, 10} {
			bl := book.Block{Kind: book.Line, Form: book.Verse, First: int16(i % 2 * c.step), Run: 4, Pieces: []book.Piece{{Line: int32(i), To: n}}}
			bl.Blank.Want = i%2 == 0
			b.Blocks = append(b.Blocks, bl)
		}
		l := account.NewLedger(b)
		out := brf.Write(b, brf.Options{Width: c.width, NoBlank: true}, l)
		if got := strings.ReplaceAll(string(out.Data), "\r", ""); got != c.want {
			t.Errorf("width %d, step %d:\n%swant\n%s", c.width, c.step, got, c.want)
		}
	}
}
