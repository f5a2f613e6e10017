package write_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"continuo/internal/account"
	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/demo"
	"continuo/internal/english"
	"continuo/internal/meta"
	"continuo/internal/profile"
	"continuo/internal/source"
	"continuo/internal/write"
	"continuo/internal/write/brf"
	"continuo/internal/write/ebraille"
	"continuo/internal/write/html"
	"continuo/internal/write/pef"
	"continuo/internal/write/text"
)

// This file is the contract of all writers: every kind, form and part of a
// block; every line accounted; what is read back is the same book, word for word
// and cell for cell, as the edition in Braille ASCII; two runs give the same
// bytes; what a writer does not know is an error.

// writers are all writers by the ending of what they write.
var writers = []struct {
	name  string
	write func(*write.Edition) ([]byte, error)
}{
	{"a.txt", text.Write},
	{"a.html", html.Write},
	{"a.pef", func(e *write.Edition) ([]byte, error) { return pef.Write(e, pef.Options{}) }},
	{"paged.pef", paged(32, 27, "top-right")},
	{"narrow.pef", paged(12, 5, "bottom-centre")},
	{"bare.pef", paged(18, 9, "none")},
	{"volumes.pef", func(e *write.Edition) ([]byte, error) {
		return pef.Write(e, pef.Options{Paper: profile.Paper{Cells: 24, Lines: 12, VolumePages: 5, BothSides: true}})
	}},
	{"a.ebrl", packed},
}

func paged(cells, lines int, numbers string) func(*write.Edition) ([]byte, error) {
	return func(e *write.Edition) ([]byte, error) {
		return pef.Write(e, pef.Options{Paper: profile.Paper{Cells: cells, Lines: lines, Numbers: numbers}})
	}
}

func packed(e *write.Edition) ([]byte, error) {
	ed, err := ebraille.Write(e.Book, ebraille.Metadata{Titles: []string{"A"}, Creators: []ebraille.Person{{Name: "B"}}, Producers: []string{"C"}, Languages: []string{"en-Brai"},
		Date: "2026-01-31", Modified: "2026-01-31T00:00:00Z", Copyright: "1999", Complete: "true"}, ebraille.Options{Variant: e.Variant})
	if err != nil {
		return nil, err
	}
	return ed.Pack()
}

// set writes a book in Braille ASCII with its account.
func set(t testing.TB, b *book.Book, width int) (*write.Edition, []int) {
	t.Helper()
	ledger := account.NewLedger(b)
	out := brf.Write(b, brf.Options{Width: width}, ledger)
	if _, err := ledger.Finish(account.Edition{Name: "a.brf", Data: out.Data, Lines: out.Lines, Marks: out.Marks, Splits: out.Splits, Settings: map[string]any{}}); err != nil {
		t.Fatalf("not every line is accounted for: %v", err)
	}
	return &write.Edition{Book: b, Meta: meta.Title{Title: "A & <B>"}, Variant: english.Variant{Code: english.UEB, Contracted: true, Capitals: true}, Data: out.Data, Starts: out.Starts, Width: width, Name: "a"}, out.Splits
}

// holds checks every writer with one edition.
func holds(t *testing.T, what string, e *write.Edition, splits []int) {
	t.Helper()
	for _, w := range writers {
		data, err := w.write(e)
		if err != nil {
			t.Errorf("%s, %s: %v", what, w.name, err)
			continue
		}
		again, err := w.write(e)
		if err != nil || !bytes.Equal(data, again) {
			t.Errorf("%s, %s: two runs differ", what, w.name)
		}
		rep, err := check.Format(w.name, data, e.Data, splits)
		if err != nil || !rep.OK {
			t.Errorf("%s, %s: not the same words: %v %v", what, w.name, err, rep.Problems)
		}
	}
}

// maker draws books by lot.
type maker struct {
	*rand.Rand
	b     *book.Book
	lines []string
	out   map[int]bool
}

// word is a word of cells; some are long, some hold what is no cell.
func (m *maker) word() string {
	n := 1 + m.IntN(9)
	if m.IntN(40) == 0 {
		n = 30 + m.IntN(30)
	}
	w := make([]byte, n)
	for i := range w {
		for w[i] = cell.Blank; w[i] == cell.Blank; {
			w[i] = cell.FromDots(byte(m.IntN(64)))
		}
	}
	if m.IntN(60) == 0 {
		w[m.IntN(n)] = 0xE9
	}
	return string(w)
}

// line adds a line to the source and returns its number; runs of blanks stand
// in it too.
func (m *maker) line() int {
	t := strings.Repeat(" ", m.IntN(5)) + m.word()
	for range m.IntN(8) {
		t += strings.Repeat(" ", 1+m.IntN(20)/17) + m.word()
	}
	m.lines = append(m.lines, t)
	return len(m.lines) - 1
}

// block adds a block with one to three pieces, some of them joined or written
// by the tool.
func (m *maker) block(bl book.Block) {
	for k := range 1 + m.IntN(3) {
		n := m.line()
		from := cell.Indent([]byte(m.lines[n]))
		p := book.Piece{Line: int32(n), From: int32(from), To: int32(len(m.lines[n]))}
		if k > 0 && m.IntN(5) == 0 {
			p.Join = m.b.Why(book.Reason{Class: "rejoin", Why: "a test", Confidence: 1})
		}
		bl.Pieces = append(bl.Pieces, p)
		if m.IntN(9) == 0 {
			bl.Pieces = append(bl.Pieces, book.Piece{Vol: -1, Tool: []byte(m.word()), Reason: m.b.Why(book.Reason{Class: "turn", Why: "a test", Confidence: 1})})
		}
	}
	bl.First, bl.Run = int16(m.IntN(6)), int16(m.IntN(6))
	bl.Level = uint8(m.IntN(8))
	if m.IntN(3) == 0 {
		bl.Blank = book.Blank{Want: true, Reason: m.b.Why(book.Reason{Class: "filler", Why: "a test", Confidence: 1})}
	}
	m.b.Blocks = append(m.b.Blocks, bl)
}

// marks puts turns and links on some blocks.
func (m *maker) marks() {
	for i := range m.b.Blocks {
		for k, p := range m.b.Blocks[i].Pieces {
			n := int32(len(m.b.Text(p)))
			from := m.Int32N(n)
			to := from + 1 + m.Int32N(n-from)
			switch m.IntN(6) {
			case 0:
				m.b.Turns = append(m.b.Turns, book.PageMark{Block: int32(i), Piece: int32(k), From: from, To: to, Label: cell.Label{Value: m.IntN(9), Roman: m.IntN(9) == 0, Suffix: []string{"", "a", "?"}[m.IntN(3)]}})
			case 1:
				m.b.Links = append(m.b.Links, book.Link{Kind: book.LinkKind(m.IntN(3)), Block: int32(i), Piece: int32(k), From: from, To: to, Target: m.Int32N(int32(len(m.b.Blocks))), Confidence: 1})
			}
		}
	}
}

// drawn draws a book with every kind, form and part.
func drawn(t testing.TB, seed uint64) *book.Book {
	t.Helper()
	m := &maker{Rand: rand.New(rand.NewPCG(seed, 1)), b: book.NewBook(nil), out: map[int]bool{}}
	var all []book.Block
	for kind := book.TitleLine; kind <= book.Label; kind++ {
		for form := book.Plain; form <= book.Exercise; form++ {
			all = append(all, book.Block{Kind: kind, Form: form, Part: book.Part(m.IntN(int(book.BackMatter) + 1))})
		}
	}
	for range 60 { // runs of one kind, as books have them
		for range m.IntN(4) {
			all = append(all, all[m.IntN(len(all))])
		}
	}
	m.Shuffle(len(all), func(i, k int) { all[i], all[k] = all[k], all[i] })
	for i, bl := range all {
		if i > 0 && m.IntN(2) == 0 {
			bl.Part = all[i-1].Part
			all[i].Part = bl.Part
		}
		m.block(bl)
	}
	f, err := source.Parse("a.brf", []byte(strings.Join(m.lines, "\n")+"\n"))
	if err != nil {
		t.Fatal(err)
	}
	fresh := book.NewBook([]*source.File{f})
	fresh.Blocks, fresh.Reasons = m.b.Blocks, m.b.Reasons
	m.b = fresh
	m.marks()
	return fresh
}

func TestContractOnBooksByLot(t *testing.T) {
	for seed := range uint64(6) {
		b := drawn(t, seed)
		for _, width := range []int{40, 12, 0} {
			e, splits := set(t, b, width)
			holds(t, fmt.Sprintf("seed %d, width %d", seed, width), e, splits)
		}
	}
}

func TestContractOnTheDemo(t *testing.T) {
	for _, title := range demo.Titles {
		var files []*source.File
		for _, name := range title.Volumes {
			raw, err := title.Volume(name)
			if err != nil {
				t.Fatal(err)
			}
			f, err := source.Parse(name, raw)
			if err != nil {
				t.Fatal(err)
			}
			files = append(files, f)
		}
		for _, width := range []int{-1, 15, 0} {
			o := convert.Defaults()
			o.Width = width
			r, err := convert.Make(files, o)
			if err != nil {
				t.Fatal(err)
			}
			splits, err := check.Splits(r.Account)
			if err != nil {
				t.Fatal(err)
			}
			e := &write.Edition{Book: r.Book, Variant: r.Survey.Titles[0].Detection.Best(), Data: r.Edition, Starts: r.Starts, Width: r.Stats.Width, Name: title.Folder}
			holds(t, fmt.Sprintf("%s, width %d", title.Folder, width), e, splits)
		}
	}
}

// What a writer was not written for is an error, never left out.
func TestContractOnUnknownBlocks(t *testing.T) {
	for what, change := range map[string]func(*book.Block){
		"kind": func(bl *book.Block) { bl.Kind = book.Label + 1 },
		"form": func(bl *book.Block) { bl.Form = book.Exercise + 1 },
		"part": func(bl *book.Block) { bl.Part = book.BackMatter + 1 },
	} {
		b := drawn(t, 1)
		e, _ := set(t, b, 40)
		change(&b.Blocks[len(b.Blocks)/2])
		for _, w := range writers {
			if _, err := w.write(e); err == nil {
				t.Errorf("%s: an unknown %s is written", w.name, what)
			}
		}
	}
}

// A file in which one cell, one word or one line is another, missing or twice is
// not the same book.
func TestContractIsBroken(t *testing.T) {
	e, splits := set(t, drawn(t, 3), 40)
	for _, w := range writers {
		if strings.HasSuffix(w.name, ".ebrl") {
			continue // packed: cells cannot be changed in place
		}
		data, err := w.write(e)
		if err != nil {
			t.Fatal(err)
		}
		at := bytes.LastIndex(data[:len(data)*2/3], []byte("\u2801")) // a cell well inside the text
		for what, bad := range map[string][]byte{
			"a cell changed": bytes.Join([][]byte{data[:at], []byte("\u2803"), data[at+3:]}, nil),
			"a cell missing": bytes.Join([][]byte{data[:at], data[at+3:]}, nil),
			"a cell twice":   bytes.Join([][]byte{data[:at], data[at : at+3], data[at:]}, nil),
		} {
			if rep, err := check.Format(w.name, bad, e.Data, splits); err == nil && rep.OK {
				t.Errorf("%s: %s, and it passes", w.name, what)
			}
		}
	}
}
