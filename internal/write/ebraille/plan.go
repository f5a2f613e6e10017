package ebraille

import (
	"fmt"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/english"
)

// shape is what a run of blocks becomes.
type shape uint8

const (
	shapeTitle shape = iota // lines of the title page
	shapeHeading
	shapePara
	shapeLines // lines of which no more is known
	shapeVerse // one stanza
	shapeList
	shapeTable
	shapeFixed
	shapeTerms
	shapeNotes // notes gathered after the text
	shapeNote  // one note in the text
	shapeTranscriber
	shapeSpeech
	shapeRecipe
	shapeExercise
	shapeRule
	shapeTurn
	shapeEntries
	shapeLabel
)

// item is one element and its blocks: print page turns before it within a
// group, the block itself, and turns with what goes on the same paragraph
// after them. An item of shapeTurn is turns alone.
type item struct {
	from, to int
	more     []item // parts of a note that begin anew
}

// group is a run of items of one shape.
type group struct {
	shape shape
	part  book.Part
	items []item
}

func (g *group) first() int { return g.items[0].from }

// shapeOf tells what a block becomes by itself.
func shapeOf(bl *book.Block) shape {
	switch bl.Kind {
	case book.TitleLine:
		return shapeTitle
	case book.Heading:
		return shapeHeading
	case book.Rule:
		return shapeRule
	case book.Turn:
		return shapeTurn
	case book.Entry:
		return shapeEntries
	case book.Label:
		return shapeLabel
	}
	return formShape(bl)
}

// formShape is the shape of a paragraph or a line.
func formShape(bl *book.Block) shape {
	switch bl.Form {
	case book.Verse:
		return shapeVerse
	case book.ListItem:
		return shapeList
	case book.TableRow:
		return shapeTable
	case book.Fixed:
		return shapeFixed
	case book.Term:
		return shapeTerms
	case book.Note, book.NoteMore:
		if bl.Part == book.NotesPart {
			return shapeNotes
		}
		return shapeNote
	case book.TranscriberNote:
		return shapeTranscriber
	case book.Speech:
		return shapeSpeech
	case book.Recipe:
		return shapeRecipe
	case book.Exercise:
		return shapeExercise
	}
	if bl.Kind == book.Line {
		return shapeLines
	}
	return shapePara
}

// items divides the blocks: a turn by itself, or a block with what goes on it.
func (w *writer) items() []item {
	bl := w.b.Blocks
	var out []item
	for i := 0; i < len(bl); {
		j := i + 1
		if bl[i].Kind != book.Turn {
			for k := j; k < len(bl) && (bl[k].Kind == book.Turn || goesOnBlock(bl, i, j, k)); k++ {
				if bl[k].Kind != book.Turn {
					j = k + 1
				}
			}
		}
		out = append(out, item{from: i, to: j})
		i = j
	}
	return out
}

// goesOnBlock says whether block k goes on the element that began with block i
// and has the blocks up to j. Besides what the book says of itself, a paragraph
// goes on after a turn where it begins like a runover and no blank line stands
// between: a new one would step in as the one before the turn does.
func goesOnBlock(bl []book.Block, i, j, k int) bool {
	if bl[k].Kind != bl[i].Kind || bl[k].Form != bl[i].Form || bl[k].Part != bl[i].Part {
		return false
	}
	if bl[k].Cont {
		return true
	}
	if k == j || bl[k].Kind != book.Para || bl[k].Form != book.Plain || bl[i].First <= bl[i].Run {
		return false
	}
	for n := j; n <= k; n++ {
		if bl[n].Blank.Want {
			return false
		}
	}
	return bl[k].First == bl[i].Run && bl[k].Run == bl[i].Run
}

// main is the block that an item is named after: the first that is no turn.
func (w *writer) main(it item) int {
	for i := it.from; i < it.to; i++ {
		if w.b.Blocks[i].Kind != book.Turn {
			return i
		}
	}
	return it.from
}

// groups gathers items that belong in one element. Turns between two of them
// go into the second one; other turns are groups of their own.
func (w *writer) groups() []group {
	var out []group
	var turns []item
	for _, it := range w.items() {
		bl := &w.b.Blocks[it.from]
		if bl.Kind == book.Turn {
			turns = append(turns, it)
			continue
		}
		s := shapeOf(bl)
		if n := len(out); n > 0 && w.goesOn(&out[n-1], s, it.from, len(turns) > 0) {
			if len(turns) > 0 {
				it.from = turns[0].from
			}
			out[n-1].add(it, bl.Form == book.NoteMore && (s == shapeNote || s == shapeNotes))
		} else {
			out = append(append(out, turnGroups(turns, bl.Part)...), group{s, bl.Part, []item{it}})
		}
		turns = nil
	}
	return append(out, turnGroups(turns, book.Text)...)
}

// add puts an item at the end of a group, or into its last item.
func (g *group) add(it item, more bool) {
	if last := &g.items[len(g.items)-1]; more {
		last.more = append(last.more, it)
		return
	}
	g.items = append(g.items, it)
}

func turnGroups(turns []item, part book.Part) []group {
	var out []group
	for _, t := range turns {
		out = append(out, group{shapeTurn, part, []item{t}})
	}
	return out
}

// goesOn says whether block i belongs in group g: of the same shape, and with
// nothing that ends it, a blank line before a stanza or another level.
func (w *writer) goesOn(g *group, s shape, i int, turn bool) bool {
	bl := &w.b.Blocks[i]
	if g.shape != s || g.part != bl.Part {
		return false
	}
	switch s {
	case shapePara, shapeRule, shapeSpeech, shapeTurn, shapeLabel:
		return false
	case shapeHeading:
		return !turn && !bl.Blank.Want && bl.Level == w.b.Blocks[g.first()].Level
	case shapeVerse, shapeLines, shapeFixed:
		return !bl.Blank.Want
	case shapeTable:
		last := g.items[len(g.items)-1]
		return !bl.Blank.Want || len(columns(w.set(i))) == len(columns(w.set(w.main(last))))
	case shapeNote:
		return bl.Form == book.NoteMore
	}
	return true
}

// plan divides the book into groups, headings and files, and gives every
// target of a link its id and file.
func (w *writer) plan() {
	groups := w.groups()
	w.levels(groups)
	w.split(groups)
	for f := range w.files {
		for g := range w.files[f].groups {
			w.name(&w.files[f].groups[g], f)
		}
	}
	for i := range w.pages {
		if bl := w.pages[i].block; w.b.Blocks[bl].Kind == book.Turn {
			w.anchor[bl] = w.pages[i].id
		}
	}
}

// name gives the blocks of a group their file, and ids where something points
// at them.
func (w *writer) name(g *group, f int) {
	whole := ""
	if g.shape == shapeHeading {
		whole = fmt.Sprintf("b%d", g.first()+1)
	}
	for _, it := range g.items {
		w.nameItem(it, whole, f)
	}
}

func (w *writer) nameItem(it item, whole string, f int) {
	pointed := whole
	for i := it.from; i < it.to; i++ {
		w.fileOf[i] = int32(f)
		if w.target[i] && pointed == "" {
			pointed = fmt.Sprintf("b%d", w.main(it)+1)
		}
	}
	for i := it.from; i < it.to; i++ {
		w.anchor[i] = pointed
	}
	for _, more := range it.more {
		w.nameItem(more, "", f)
	}
}

// levels finds the headings and their depth. A level that is not known counts
// as the highest; no depth is passed over on the way down.
func (w *writer) levels(groups []group) {
	var open []int
	w.headAt = map[int]int{}
	for i := range groups {
		g := &groups[i]
		if g.shape != shapeHeading {
			continue
		}
		first := g.first()
		level := max(1, int(w.b.Blocks[first].Level))
		for len(open) > 0 && open[len(open)-1] >= level {
			open = open[:len(open)-1]
		}
		open = append(open, level)
		h := head{depth: len(open), block: first}
		for _, it := range g.items {
			h.label = w.appendLabel(h.label, it.from)
		}
		h.role = w.roleOf(g)
		w.headAt[first] = len(w.heads)
		w.heads = append(w.heads, h)
	}
	w.ed.Headings = len(w.heads)
}

// appendLabel adds a line of a heading without its print page turns.
func (w *writer) appendLabel(dst []byte, block int) []byte {
	cells := w.set(block)
	keep := append([]byte(nil), cells...)
	for _, m := range w.marks[block] {
		for i := m.from; i < m.to && m.page >= 0; i++ {
			keep[i] = cell.Blank
		}
	}
	if cell.Marks(keep) == 0 {
		keep = cells
	}
	for _, f := range cell.Fields(keep) {
		if len(dst) > 0 {
			dst = append(dst, cell.Blank)
		}
		dst = append(dst, keep[f[0]:f[1]]...)
	}
	return dst
}

// role is what a section is called in DPUB-ARIA 1.1 and in the EPUB structural
// semantics vocabulary 1.1; both are empty where the heading does not say.
type role struct{ aria, epub string }

var roles = map[english.PhraseID]role{
	english.Chapter:          {"doc-chapter", "chapter"},
	english.Part:             {"doc-part", "part"},
	english.Preface:          {"doc-preface", "preface"},
	english.Foreword:         {"doc-foreword", "foreword"},
	english.Introduction:     {"doc-introduction", "introduction"},
	english.Prologue:         {"doc-prologue", "prologue"},
	english.Epilogue:         {"doc-epilogue", "epilogue"},
	english.Dedication:       {"doc-dedication", "dedication"},
	english.Epigraph:         {"", "epigraph"},
	english.Acknowledgements: {"doc-acknowledgments", "acknowledgments"},
	english.Glossary:         {"doc-glossary", "glossary"},
	english.Bibliography:     {"", "bibliography"},
	english.Appendix:         {"doc-appendix", "appendix"},
	english.Afterword:        {"doc-afterword", "afterword"},
	english.Notes:            {"doc-endnotes", "endnotes"},
	english.Endnotes:         {"doc-endnotes", "endnotes"},
	// "index" as a type asks for a structure that volumes do not show (EPUB
	// Indexes 1.0), so that only the role is given.
	english.Index: {"doc-index", ""},
}

// roleOf reads the role of a section off its heading.
func (w *writer) roleOf(g *group) role {
	line := w.set(g.items[0].from)
	p, ok := w.o.Words.Lookup(line)
	if !ok {
		if p, ok = w.o.Words.Prefix(line); !ok || p.ID != english.Chapter && p.ID != english.Part && p.ID != english.Appendix {
			return role{}
		}
	}
	r := roles[p.ID]
	if r.aria == "doc-endnotes" && g.part != book.NotesPart {
		return role{}
	}
	return r
}
