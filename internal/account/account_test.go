package account_test

import (
	"strings"
	"testing"

	"continuo/internal/account"
	"continuo/internal/book"
	"continuo/internal/source"
	"continuo/internal/write/brf"
)

// small is a book of one source of five lines, nothing in it yet.
func small(t *testing.T) (*book.Book, book.ReasonID) {
	t.Helper()
	f, err := source.Parse("v1.brf", []byte("            #a\n! old f]ry\ncross$ ! riv]\n\n! 5d\n"))
	if err != nil {
		t.Fatal(err)
	}
	b := book.NewBook([]*source.File{f})
	why := b.Why(book.Reason{Class: "page-number", Why: "page number alone", Evidence: "test", Confidence: 1})
	b.Out[0][0] = why
	b.Out[0][3] = b.Why(book.Reason{Class: "filler", Why: "blank", Evidence: "test", Confidence: 1})
	return b, why
}

func piece(line, to int32) book.Piece { return book.Piece{Line: line, To: to} }

func para(p ...book.Piece) book.Block { return book.Block{Kind: book.Para, First: 2, Pieces: p} }

// seal writes the edition and ends the account.
func seal(b *book.Book) (*account.Ledger, string, error) {
	l := account.NewLedger(b)
	out := brf.Write(b, brf.Options{Width: 40}, l)
	acc, err := l.Finish(account.Edition{Name: "x.brf", Data: out.Data, Lines: out.Lines, Marks: out.Marks, Splits: out.Splits, Tool: "test"})
	return l, string(acc), err
}

// TestEveryLineHasOneFate: no fate, two fates, kept and left out, cells without
// a fate: each is an error that names the line.
func TestEveryLineHasOneFate(t *testing.T) {
	for _, c := range []struct {
		name, want string
		make       func(b *book.Book, why book.ReasonID)
	}{
		{"all is well", "", func(b *book.Book, _ book.ReasonID) {}},
		{"a line in no block and not left out", "line 5 has no fate", func(b *book.Book, _ book.ReasonID) { b.Blocks = b.Blocks[:1] }},
		{"a blank line without a fate", "line 4 has no fate", func(b *book.Book, _ book.ReasonID) { b.Out[0][3] = 0 }},
		{"a line twice", "line 3", func(b *book.Book, _ book.ReasonID) {
			b.Blocks = append(b.Blocks, para(piece(2, 13)))
		}},
		{"kept and left out", "line 3 is both kept and left out", func(b *book.Book, why book.ReasonID) { b.Out[0][2] = why }},
		{"cells before a piece without a fate", "line 3", func(b *book.Book, _ book.ReasonID) { b.Blocks[0].Pieces[1].From = 4 }},
		{"cells after a piece without a fate", "line 3", func(b *book.Book, _ book.ReasonID) { b.Blocks[0].Pieces[1].To = 9 }},
		{"the same cells twice", "", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			b, why := small(t)
			b.Blocks = []book.Block{para(piece(1, 10), piece(2, 13)), para(piece(4, 4))}
			if c.make == nil {
				b.Blocks[0].Pieces = []book.Piece{piece(1, 10), piece(2, 13), {Line: 2, From: 7, To: 13}}
				c.want = "line 3"
			} else {
				c.make(b, why)
			}
			_, acc, err := seal(b)
			switch {
			case c.want == "" && err != nil:
				t.Errorf("refused: %v", err)
			case c.want != "" && err == nil:
				t.Errorf("not noticed; account:\n%s", acc)
			case c.want != "" && !strings.Contains(err.Error(), c.want):
				t.Errorf("error %q does not say %q", err, c.want)
			case err != nil && acc != "":
				t.Error("an account beside an error")
			}
		})
	}
}

// TestTotals: kept, moved, replaced and left out make up the sources; cuts and
// text of the tool are counted apart.
func TestTotals(t *testing.T) {
	b, why := small(t)
	moved := b.Why(book.Reason{Class: "notes", Why: "moved", Evidence: "test", Confidence: 1})
	swap := b.Why(book.Reason{Class: "statement", Why: "in its place", Evidence: "test", Confidence: 1})
	b.AddCut(0, 2, book.Cut{From: 9, To: 13, Reason: why})
	last := para(piece(1, 10))
	last.Moved = moved
	b.Blocks = []book.Block{
		para(book.Piece{Line: 2, To: 8}),
		{Kind: book.Line, Pieces: []book.Piece{{Line: 4, To: 4, Tool: []byte("f9,"), Reason: swap}}},
		{Kind: book.Label, Pieces: []book.Piece{{Vol: -1, Tool: []byte("no \"te"), Reason: swap}}},
		last,
	}
	l, acc, err := seal(b)
	if err != nil {
		t.Fatal(err)
	}
	got := l.Totals()
	// "#a" and "riv]" out; "cross$ !" kept; "! old f]ry" moved; "! 5d" replaced.
	if got.Keep != 7 || got.Move != 8 || got.Swap != 3 || got.Out != 6 || got.Add != 5 {
		t.Errorf("totals %+v\n%s", got, acc)
	}
	if got.ByClass["page-number"] != 6 || got.ByClass["filler"] != 0 {
		t.Errorf("by class: %v", got.ByClass)
	}
	for _, r := range []string{`"page-number"`, `s{f9,}`, `["add","no \"te",`, `m1:2D`, `c9-4A`} {
		if !strings.Contains(acc, r) {
			t.Errorf("no %s in the account:\n%s", r, acc)
		}
	}
}
