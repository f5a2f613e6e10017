package assemble

import (
	"bytes"
	"slices"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/diag"
	"continuo/internal/source"
	"continuo/internal/structure"
)

// This file finds what refers to pages: "page 12" in the text, and the numbers
// of an index. Where the book shows its print pages they become links to the
// place where the page begins. Pages of the paper volumes no longer exist: what
// names them is told.

// maxDead is how many references to pages of the paper are told one by one.
const maxDead = 10

// pageMap is the block in which each print page begins.
type pageMap struct {
	at          map[pageKey]int32
	first, last int
}

type pageKey struct {
	roman bool
	value int
}

// printPages maps the print page turns of the book, when these are known.
func (a *assembly) printPages() pageMap {
	m := pageMap{at: map[pageKey]int32{}, first: 1 << 30}
	for _, t := range a.b.Turns {
		if t.Label.Suffix != "" {
			continue
		}
		for n := t.Label.Value; n <= max(t.Label.Last, t.Label.Value) && n < t.Label.Value+20; n++ {
			if k := (pageKey{t.Label.Roman, n}); m.at[k] == 0 {
				m.at[k] = t.Block
			}
			if !t.Label.Roman {
				m.first, m.last = min(m.first, n), max(m.last, n)
			}
		}
	}
	return m
}

// locator is a page number in the text, and where it stands.
type locator struct {
	block, piece int32
	from, to     int32
	label        cell.Label
	volume       bool // a volume stands before it: a page of the paper volumes
}

// crossRefs makes links of references to print pages, and tells those to pages
// that no longer exist. index tells the block of each line of the sources.
func (a *assembly) crossRefs(index blockIndex) {
	pages := a.printPages()
	var dead []locator
	for i := range a.b.Blocks {
		bl := &a.b.Blocks[i]
		if bl.Kind == book.Heading || bl.Kind == book.Entry || bl.Kind == book.Turn || bl.Part != book.Text && bl.Part != book.NotesPart {
			continue
		}
		for _, l := range a.pageWords(int32(i)) {
			to, ok := pages.at[pageKey{l.label.Roman, l.label.Value}]
			at, paper := a.paperText[a.cellOf(l)]
			switch {
			case paper:
				a.linkPaper(l, at, index)
				dead = append(dead, l)
			case l.volume || len(pages.at) < 2:
				dead = append(dead, l)
			case ok:
				a.link(l, to, 0.9)
			}
		}
	}
	a.tellDead(append(dead, a.indexLinks(pages, index)...))
}

// linkPaper makes a link of a page of the paper to the text that began it.
func (a *assembly) linkPaper(l locator, at onPage, index blockIndex) bool {
	to := a.pageStart(at, index)
	if to >= 0 {
		a.link(l, to, 0.9)
	}
	return to >= 0
}

func (a *assembly) link(l locator, to int32, confidence float64) {
	a.b.Links = append(a.b.Links, book.Link{Kind: book.CrossRef, Block: l.block, Piece: l.piece, From: l.from, To: l.to, Target: to, Confidence: confidence})
}

// refStems are what a word that refers to a page or a volume begins with.
var refStems = [][]byte{[]byte("page"), []byte("vol")}

// mayRefer reports whether the line of a piece has such a word.
func (a *assembly) mayRefer(p book.Piece) bool {
	if p.Tool != nil {
		return slices.ContainsFunc(refStems, func(w []byte) bool { return bytes.Contains(p.Tool, w) })
	}
	if a.refLines == nil {
		a.refLines = make([][]bool, len(a.vols))
		for i, v := range a.vols {
			a.refLines[i] = linesWith(v.File, refStems)
		}
	}
	return a.refLines[p.Vol][p.Line]
}

// linesWith says of every line of a file whether it has one of the words.
func linesWith(f *source.File, words [][]byte) []bool {
	out := make([]bool, len(f.Lines))
	for _, w := range words {
		line, at := 0, 0
		for {
			n := bytes.Index(f.Cells[at:], w)
			if n < 0 {
				break
			}
			at += n
			for line+1 < len(f.Lines) && int(f.Lines[line+1].Start) <= at {
				line++
			}
			out[line] = true
			at += len(w)
		}
	}
	return out
}

// pageWords finds "page" or "pages" and a number in a block. The words are the
// same in all English codes, contracted or not.
func (a *assembly) pageWords(block int32) (out []locator) {
	bl := &a.b.Blocks[block]
	open, volume := false, -9
	n := 0
	for k, p := range bl.Pieces {
		if p.Vol < 0 || !open && volume < 0 && !a.mayRefer(p) {
			continue
		}
		t := a.b.Text(p)
		for from, to := range cell.Words(t) {
			w := structure.Bare(t[from:to])
			n++
			if open {
				if lab, ok := cell.ParseLabel(w); ok && !lab.Bare && lab.Prefix == "" {
					at := int32(from + bytes.Index(t[from:to], w))
					out = append(out, locator{block, int32(k), at, at + int32(len(w)), lab, n-volume <= 4})
				}
			}
			open = string(w) == "page" || string(w) == "pages"
			if isVolumeWord(string(w)) {
				volume = n
			}
		}
	}
	return out
}

// tellDead reports references to pages of the paper volumes.
func (a *assembly) tellDead(dead []locator) {
	for n, l := range dead {
		p := a.b.Blocks[l.block].Pieces[l.piece]
		if n == maxDead {
			a.find(diag.Note, "page-reference", a.vols[p.Vol], -1, "%d more references to pages that the edition does not show", len(dead)-n)
			return
		}
		a.find(diag.Note, "page-reference", a.vols[p.Vol], p.Line, "refers to page %d, which the edition does not show%s", l.label.Value, a.refPlaces[[2]int32{p.Vol, p.Line}])
	}
}

// indexLinks makes links of the page numbers of an index, when nine in ten of
// them are print pages that the book shows; else it tells so. It returns the pages of
// paper volumes that are named with their volume.
func (a *assembly) indexLinks(pages pageMap, index blockIndex) (paper []locator) {
	var all []locator
	in := 0
	for i := range a.b.Blocks {
		if bl := &a.b.Blocks[i]; bl.Part != book.BackMatter || bl.Form != book.Term {
			continue
		}
		for _, l := range a.locators(int32(i)) {
			if l.volume {
				paper = append(paper, l)
			} else {
				all = append(all, l)
			}
		}
	}
	for _, l := range all {
		in += boolInt(l.label.Value >= pages.first && l.label.Value <= pages.last)
	}
	if len(all) < 5 {
		return paper
	}
	p := a.b.Blocks[all[0].block].Pieces[all[0].piece]
	if len(a.paperIndex) > 0 {
		lead := 0
		for _, l := range all {
			lead += boolInt(a.linkPaper(l, a.paperIndex[a.cellOf(l)], index))
		}
		a.find(diag.Look, "index-pages", a.vols[p.Vol], p.Line, "the index names pages of the paper volumes, and not for all of them is the print page certain; the numbers stay; in formats with links %d of %d lead to where the page began", lead, len(all))
		return paper
	}
	if len(pages.at) < 2 || in*10 < len(all)*9 {
		a.find(diag.Note, "index-pages", a.vols[p.Vol], p.Line, "the index names pages that the edition does not show: %d of %d numbers are none of its print pages", len(all)-in, len(all))
		return paper
	}
	for _, l := range all {
		if to, ok := pages.at[pageKey{l.label.Roman, l.label.Value}]; ok {
			a.link(l, to, 0.9)
		}
	}
	return paper
}

// locators are the page numbers of an index entry: numbers after its words. Those after the
// number of a volume are pages of it.
func (a *assembly) locators(block int32) (out []locator) {
	words := 0
	volume, named := false, false // the last word was one for a volume; a volume was named
	for k, p := range a.b.Blocks[block].Pieces {
		if p.Vol < 0 {
			continue
		}
		t := a.b.Text(p)
		for _, f := range cell.Fields(t) {
			w := structure.Bare(t[f[0]:f[1]])
			if lab, ok := cell.ParseLabel(w); ok && !lab.Bare && lab.Prefix == "" && words > 0 {
				if at := int32(f[0] + bytes.Index(t[f[0]:f[1]], w)); !volume {
					out = append(out, locator{block: block, piece: int32(k), from: at, to: at + int32(len(w)), label: lab, volume: named})
				}
				named, volume = named || volume, false
				continue
			}
			volume = words > 0 && isVolumeWord(string(w)) && (bytes.HasSuffix(t[f[0]:f[1]], w) || t[f[1]-1] == '4')
			words++
		}
	}
	return out
}
