package assemble

import (
	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/diag"
	"continuo/internal/english"
	"continuo/internal/structure"
)

// titlePage keeps the first title page, without what it says of volumes: the
// edition statement will stand in place of one line, the others go.
func (a *assembly) titlePage() {
	i := a.first()
	v := a.vols[i]
	st := a.statementUnits(v)
	gone := a.why("volume-statement", "names volume or pages", "wording, title page", 0.98)
	marker := a.framed()
	a.stateUnit = -1
	for k := v.Title[0]; k < v.Title[1]; k++ {
		if a.fates[i][k] != asText {
			continue
		}
		u := &v.Units[k]
		a.fates[i][k] = asTitle
		switch {
		case st[k] && a.stateUnit < 0 && k >= v.TitleFrom && len(a.b.Cuts[i][u.Line]) == 0 && a.statement(i) != nil:
			a.stateUnit = k
		case st[k]:
			a.leave(i, k, gone)
		case u.Rule && a.frames(v, st, k):
			a.leave(i, k, marker)
		}
	}
	for k := v.Title[1]; k < len(v.Units) && v.Units[k].Page < v.BodyPage; k++ {
		switch {
		case a.fates[i][k] != asText:
		case v.FrontStatement(k):
			a.leave(i, k, gone)
		case v.Units[k].Rule && (k > 0 && v.FrontStatement(k-1) || k+1 < len(v.Units) && v.FrontStatement(k+1)):
			a.leave(i, k, marker)
		}
	}
}

// layTitle writes the title page: its lines without the blank lines that
// filled it, and the edition statement.
func (a *assembly) layTitle(i int) {
	v := a.vols[i]
	at := len(a.b.Blocks)
	state := a.why("statement", "edition statement in its place", "named the number of volumes", 0.98)
	for k := v.Title[0]; k < v.Title[1]; k++ {
		if a.fates[i][k] != asTitle {
			continue
		}
		u := &v.Units[k]
		p := book.Piece{Vol: u.Vol, Line: u.Line, From: u.From, To: u.To}
		if k == a.stateUnit {
			p.From, p.Tool, p.Reason = 0, a.statement(i), state
		}
		a.titleLine(v, k, p)
	}
	if a.stateUnit < 0 {
		a.addStatement(i)
	}
	if i == 0 {
		return
	}
	moved := a.why("prelims", "only a later volume has a title page", "the first has none", 0.8)
	for k := at; k < len(a.b.Blocks); k++ {
		a.b.Blocks[k].Moved = moved
	}
}

func (a *assembly) titleLine(v *structure.Volume, k int, p book.Piece) {
	for _, t := range v.Units[k].Turns {
		if t.Line >= 0 || k > v.Title[0] {
			// print page turns on a title page stay before its next line
			a.turnBefore(v, t)
		}
	}
	kind, run := book.TitleLine, int16(2)
	if v.Units[k].Rule {
		kind = book.Rule
	}
	a.b.Blocks = append(a.b.Blocks, book.Block{Kind: kind, Run: run, Pieces: []book.Piece{p}})
}

func (a *assembly) turnBefore(v *structure.Volume, t structure.PrintTurn) {
	if t.Line < 0 {
		return
	}
	raw := a.vols[t.Vol].Raw(t.Line)
	p := book.Piece{Vol: t.Vol, Line: t.Line, From: int32(cell.Indent(raw)), To: int32(len(raw))}
	a.b.Blocks = append(a.b.Blocks, book.Block{Kind: book.Turn, Pieces: []book.Piece{p}})
}

// statementUnits are the units of the title page that name volumes or pages,
// and lines that go on one of these.
func (a *assembly) statementUnits(v *structure.Volume) map[int]bool {
	st := map[int]bool{}
	for k := v.Title[0]; k < v.Title[1]; k++ {
		u := &v.Units[k]
		if u.Statement() || pagesGoOn(v, k) {
			st[k] = true
		}
	}
	return st
}

// pagesGoOn reports whether unit k goes on a statement of the pages of a volume:
// labels alone, with no blank line before them. A year alone is none.
func pagesGoOn(v *structure.Volume, k int) bool {
	for ; k > 0 && v.Units[k].Blanks == 0 && onlyLabels(v.Units[k].Text); k-- {
		if v.Units[k-1].NamesPages() {
			return true
		}
	}
	return false
}

// onlyLabels reports whether a text is page labels and "and" only.
func onlyLabels(t []byte) bool {
	n := 0
	for from, to := range cell.Words(t) {
		w := t[from:to]
		for len(w) > 0 && w[len(w)-1] == '1' { // comma
			w = w[:len(w)-1]
		}
		if string(w) == "&" || string(w) == "and" {
			continue
		}
		if l, ok := cell.ParseLabel(w); !ok || l.Bare {
			return false
		}
		n++
	}
	return n > 0
}

// frames reports whether a rule stands right beside a volume statement.
func (a *assembly) frames(v *structure.Volume, st map[int]bool, k int) bool {
	return (k+1 < v.Title[1] && st[k+1]) || (k > v.Title[0] && st[k-1] && !a.closes(v, k))
}

// closes reports whether nothing else stands on the title page after k.
func (a *assembly) closes(v *structure.Volume, k int) bool { return k+1 >= v.Title[1] }

// statement is the edition statement in the book's code, nil if there is none.
func (a *assembly) statement(i int) []byte {
	p := a.o.Profile
	if p.StatementCells != "" {
		out := make([]byte, 0, len(p.StatementCells))
		for _, c := range []byte(p.StatementCells) {
			if x, ok := cell.Fold(c); ok {
				out = append(out, x)
			}
		}
		return out
	}
	if p.Statement == "" {
		return nil
	}
	v := a.variant
	if v.Code == english.UnknownCode {
		v.Code = english.UEB
	}
	t, err := english.Write(p.Statement, v)
	if err != nil {
		a.find(diag.Look, "statement-not-written", a.vols[i], -1, "the edition statement %q could not be written in %s: %v", p.Statement, v, err)
		return nil
	}
	return t
}

// addStatement writes the edition statement where no volume statement stood under the title.
func (a *assembly) addStatement(i int) {
	t := a.statement(i)
	if t == nil || len(a.b.Blocks) == 0 {
		return
	}
	why := a.why("statement", "edition statement", "no volume statement stands under the title", 1)
	a.b.Blocks = append(a.b.Blocks, book.Block{Kind: book.Label, Run: 2, Pieces: []book.Piece{{Vol: -1, Tool: t, Reason: why}}})
}
