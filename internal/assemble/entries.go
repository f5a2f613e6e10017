package assemble

import (
	"bytes"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/diag"
	"continuo/internal/layout"
	"continuo/internal/profile"
	"continuo/internal/structure"
)

// MarkClass is the class of reasons for the marks before headwords.
const MarkClass = "entry-mark"

// entries finds dictionary entries and puts the mark before each headword, so
// that a search for mark and word lands on the entry and not on a mention.
func (a *assembly) entries() {
	runs := structure.FindEntries(a.b, a.read)
	if len(runs) == 0 {
		return
	}
	a.entryMark = a.chooseMark()
	why := book.ReasonID(0)
	if a.entryMark != "" {
		why = a.why(MarkClass, "mark before the headword of an entry, for searching", "entries at the margin in alphabetical order; the mark stands nowhere else", 0.97)
	}
	for _, r := range runs {
		for _, i := range r.Entries {
			bl := &a.b.Blocks[i]
			bl.Form = book.Term
			if why != 0 {
				bl.Pieces = a.marked(bl, []byte(a.entryMark), why)
			}
		}
		a.nEntries += len(r.Entries)
		a.tellStrays(r.Strays)
	}
	if why != 0 {
		a.find(diag.Note, "entries", a.vols[a.first()], -1, "%d dictionary entries; a search for %q and a headword lands on its entry", a.nEntries, a.entryMark)
	}
}

// maxStrays is how many places out of order are told one by one.
const maxStrays = 20

func (a *assembly) tellStrays(strays []int) {
	for n, i := range strays {
		p, ok := firstOf(&a.b.Blocks[i])
		if !ok {
			continue
		}
		if n == maxStrays {
			a.find(diag.Note, "entry-order", a.vols[p.Vol], -1, "%d more lines at the margin among the entries are out of alphabetical order", len(strays)-n)
			return
		}
		a.find(diag.Look, "entry-order", a.vols[p.Vol], p.Line, "stands at the margin among the entries and out of alphabetical order: not marked as an entry")
	}
}

// firstOf is the first piece of a block that is from the sources.
func firstOf(bl *book.Block) (book.Piece, bool) {
	for _, p := range bl.Pieces {
		if p.Vol >= 0 {
			return p, true
		}
	}
	return book.Piece{}, false
}

// marked returns the pieces of an entry with the mark before its headword:
// after print page turns that stand before it on its first line.
func (a *assembly) marked(bl *book.Block, mark []byte, why book.ReasonID) []book.Piece {
	k := 0
	for k < len(bl.Pieces)-1 && a.isTurn(bl.Pieces[k]) {
		k++
	}
	out := append([]book.Piece(nil), bl.Pieces[:k]...)
	word := bl.Pieces[k]
	if word.Tool == nil {
		t := a.b.Text(word)
		if n := structure.SkipTurns(t); n > 0 && n < len(t) {
			turn := word
			turn.To = word.From + int32(len(bytes.TrimRight(t[:n], " ")))
			out = append(out, turn)
			word.From, word.Join = word.From+int32(n), 0
		}
	}
	m := book.Piece{Vol: -1, Tool: mark, Reason: why, Join: word.Join}
	word.Join = why
	return append(append(out, m, word), bl.Pieces[k+1:]...)
}

// isTurn reports whether a piece is a print page turn and nothing else.
func (a *assembly) isTurn(p book.Piece) bool {
	if p.Tool != nil {
		return a.b.Reasons[p.Reason].Class == "turn"
	}
	return a.vols[p.Vol].Lines[p.Line].Role == layout.Turn
}

// chooseMark returns the first mark that stands nowhere in the book: the
// profile's, else one of the list. It is "" when marks are switched off or none
// is free.
func (a *assembly) chooseMark() string {
	want := a.o.Profile.EntryMark
	if want == profile.NoMark {
		return ""
	}
	taken := a.taken(append([]string{want}, profile.EntryMarks...))
	if !taken[want] {
		return want
	}
	for _, m := range profile.EntryMarks {
		if !taken[m] {
			a.find(diag.Note, "entry-mark", a.vols[a.first()], -1, "headwords are marked with %q, for %q stands in the text of the book", m, want)
			return m
		}
	}
	a.find(diag.Look, "entry-mark", a.vols[a.first()], -1, "headwords have no mark, for every mark that may be used stands in the text of the book")
	return ""
}

// taken tells which marks stand somewhere in the blocks of the book.
func (a *assembly) taken(marks []string) map[string]bool {
	out := map[string]bool{}
	var t []byte
	for i := range a.b.Blocks {
		bl := &a.b.Blocks[i]
		t = t[:0]
		for k := range bl.Pieces {
			t = a.b.AppendPiece(t, bl, k)
		}
		for _, m := range marks {
			if !out[m] && bytes.Contains(t, []byte(m)) {
				out[m] = true
			}
		}
	}
	return out
}

// MarkedOnly reports whether a mark stands right before something in a finished
// edition n times: so often the book has it, and a mark is chosen that its text
// has nowhere. A headword that begins with the mark's last cell is no second
// mark; a mark with a blank after it is one that is spoken of.
func MarkedOnly(edition []byte, mark string, n int) bool {
	cells := make([]byte, len(edition))
	for i, c := range edition {
		if cells[i] = c; cell.FoldTable()[c] != 0 {
			cells[i] = cell.FoldTable()[c]
		}
	}
	for m := []byte(mark); ; {
		i := bytes.Index(cells, m)
		if i < 0 {
			return n == 0
		}
		if cells = cells[i+len(m):]; len(cells) > 0 && cells[0] != cell.Blank && cells[0] != '\r' && cells[0] != '\n' {
			n--
		}
	}
}
