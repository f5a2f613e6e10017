package assemble

import (
	"bytes"
	"strings"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/layout"
	"continuo/internal/structure"
)

// This file marks the speeches of a play. The speaker's name stands before them
// with a full stop (English Braille American Edition, appendix A, section 8) or a
// colon, in italics, or alone on a line, in the middle or at the margin (UKAAF,
// Guiding Principles 2016, appendix K). Names come again and again between two
// headings; what does so but once or twice is none.

// nameKind is how the name of a speaker stands.
type nameKind uint8

const (
	noName   nameKind = iota
	stopped           // before a full stop or colon, on the line of the speech
	emphatic          // in italics or another type form, on the line of the speech
	inMiddle          // alone on a line in the middle: laid as a heading
	atMargin          // alone on a line, the speech further in
	nKinds
)

// A scene's names must be so many, and each there twice on the average.
const sceneNames = 6

// speaking is a block that may begin a speech.
type speaking struct {
	block int
	name  string
}

// speeches marks the blocks that begin speeches with their form. Names in the
// middle of a line are no headings.
func (a *assembly) speeches() {
	cand := a.speakings()
	for kind := stopped; kind < nKinds; kind++ {
		a.speechesOf(kind, cand[kind])
	}
}

// speakings are the blocks that may begin speeches, by how a name would stand in
// them.
func (a *assembly) speakings() (out [nKinds][]speaking) {
	for k := range a.b.Blocks {
		bl := &a.b.Blocks[k]
		if bl.Part != book.Text || bl.Cont || len(bl.Pieces) == 0 {
			continue
		}
		if n, kind := a.speaker(bl); kind != noName {
			out[kind] = append(out[kind], speaking{k, n})
		}
		if n, kind := a.nameAlone(k); kind != noName {
			out[kind] = append(out[kind], speaking{k, n})
		}
	}
	return out
}

// speechesOf marks the speeches whose names stand in one way, scene by scene: a
// scene that has enough of them, and, between two such scenes, every block with a
// name that they have.
func (a *assembly) speechesOf(kind nameKind, cand []speaking) {
	if len(cand) < sceneNames {
		return
	}
	total := map[string]int{}
	for _, c := range cand {
		total[c.name]++
	}
	names := map[string]int{}
	first, last := -1, -1
	for from := 0; from < len(cand); {
		to := from + 1
		for to < len(cand) && !a.sceneBetween(kind, total, cand[to-1].block, cand[to].block) {
			to++
		}
		if a.isScene(kind, cand[from:to], total) {
			for _, c := range cand[from:to] {
				names[c.name]++
			}
			if first < 0 {
				first = from
			}
			last = to
		}
		from = to
	}
	for k := first; k >= 0 && k < last; k++ {
		if c := cand[k]; names[c.name] >= 2 || total[c.name] >= 2 && names[c.name] > 0 || kind == inMiddle && a.amongNames(c, cand) {
			a.markSpeech(kind, c.block)
		}
	}
}

// sceneBetween reports whether a heading that is no name stands between two
// blocks, or is the second of them.
func (a *assembly) sceneBetween(kind nameKind, total map[string]int, from, to int) bool {
	for k := from + 1; k <= to; k++ {
		bl := &a.b.Blocks[k]
		if bl.Kind != book.Heading {
			continue
		}
		if n, as := a.nameAlone(k); kind != inMiddle || as != inMiddle || total[n] < 2 {
			return true
		}
	}
	return false
}

// isScene reports whether blocks that may begin speeches are those of a scene.
// Where names stand on the line of the speech, half of the blocks at their indent
// must have one.
func (a *assembly) isScene(kind nameKind, cand []speaking, total map[string]int) bool {
	count, again := map[string]int{}, 0
	for _, c := range cand {
		count[c.name]++
		again += boolInt(total[c.name] >= 2)
	}
	if len(cand) < sceneNames || len(count)*2 > len(cand) || again*3 < len(cand)*2 {
		return false
	}
	if kind == inMiddle || kind == atMargin {
		return true
	}
	at, all := a.b.Blocks[cand[0].block].First, 0
	for k := cand[0].block; k <= cand[len(cand)-1].block; k++ {
		bl := &a.b.Blocks[k]
		all += boolInt(spoken(bl) && bl.First == at)
	}
	return len(cand)*2 >= all
}

// amongNames reports whether a name in the middle that comes but once stands as
// the others do: between blocks that are no headings.
func (a *assembly) amongNames(c speaking, cand []speaking) bool {
	bl, other := &a.b.Blocks[c.block], &a.b.Blocks[cand[0].block]
	return bl.Blank.Reason != 0 == (other.Blank.Reason != 0) && bl.Blank.Want == other.Blank.Want && !strings.Contains(c.name, "#")
}

// markSpeech marks a block as the beginning of a speech.
func (a *assembly) markSpeech(kind nameKind, k int) {
	bl := &a.b.Blocks[k]
	bl.Form = book.Speech
	if kind == inMiddle {
		if bl.Kind = book.Line; bl.Blank.Reason != 0 { // set before a heading
			bl.Blank = book.Blank{}
		}
	}
}

// spoken reports whether a block can be a speech.
func spoken(bl *book.Block) bool {
	return bl.Part == book.Text && !bl.Cont && len(bl.Pieces) > 0 && (bl.Kind == book.Para || bl.Kind == book.Line) && (bl.Form == book.Plain || bl.Form == book.Verse || bl.Form == book.ListItem)
}

// speaker is the name that a block begins with, and how it stands: one to three
// words, the last with a full stop or colon, or in a type form, and words after
// it. Numbers are no names.
func (a *assembly) speaker(bl *book.Block) (string, nameKind) {
	if !spoken(bl) {
		return "", noName
	}
	t := a.b.Text(bl.Pieces[a.firstWords(bl)])
	if n := structure.Emphasised(t); n > 0 && (n < len(t) || len(bl.Pieces) > 1) {
		return layout.Normal(t[:n]), emphatic
	}
	n := 0
	for from, to := range cell.Words(t) {
		w := t[from:to]
		if n++; n > 3 || bytes.IndexByte(w, '#') >= 0 {
			return "", noName
		}
		for len(w) > 1 && w[len(w)-1] == '\'' { // the end of capitals or of a typeform
			w = w[:len(w)-1]
		}
		if c := w[len(w)-1]; len(w) > 1 && (c == '4' || c == '3') {
			if to == len(t) && len(bl.Pieces) == 1 {
				return "", noName
			}
			if n == 1 && len(bytes.TrimLeft(w, ";")) == 2 {
				return "", noName // the letter of an item
			}
			return string(t[:to]), stopped
		}
	}
	return "", noName
}

// nameAlone is the name that a block is if it holds nothing else, and how it
// stands: a line in the middle between blocks of text, or a line at the margin
// over text further in.
func (a *assembly) nameAlone(k int) (string, nameKind) {
	bl := &a.b.Blocks[k]
	if k+1 >= len(a.b.Blocks) || len(bl.Pieces) == 0 || len(bl.Pieces) > 2 || bl.Kind != book.Heading && !spoken(bl) {
		return "", noName
	}
	next := k + 1
	for next+1 < len(a.b.Blocks) && a.b.Blocks[next].Kind == book.Turn {
		next++
	}
	p := bl.Pieces[len(bl.Pieces)-1]
	if p.Vol < 0 || a.firstWords(bl) != len(bl.Pieces)-1 || a.b.Blocks[next].Kind == book.Heading || a.b.Blocks[next].Part != book.Text {
		return "", noName
	}
	name := layout.Normal(a.b.Text(p))
	if ws := strings.Count(name, " ") + 1; name == "" || ws > structure.NameWords || strings.Contains(name, "#") {
		return "", noName
	}
	switch {
	case bl.Kind == book.Heading:
		if _, ok := a.vols[p.Vol].Words.Prefix(a.b.Text(p)); ok || k > 0 && a.b.Blocks[k-1].Kind == book.Heading && !bl.Blank.Want {
			return "", noName
		}
		return name, inMiddle
	case bl.First == 0 && a.b.Blocks[next].First > 0 && !a.b.Blocks[next].Cont:
		return name, atMargin
	}
	return "", noName
}
