// Package finders computes search strings. A reader of one long braille file
// has one universal means, the search command of the display; a finder is a
// short string in the book's own cells that this command finds first at one
// place: the contents, a heading, a print page, a note, the index and its
// letters, a headword.
//
// A finder is promised only when a search of the finished edition proved it.
// The search starts at the start of the file, or at an earlier place that has
// a finder of its own, or goes on to the next hit of the same string. Letters
// are compared without regard to case. A line end is read as itself and as one
// blank, for displays differ: a promised string is found first at its place in
// both readings. The string itself never goes over a line end.
//
// The work is linear in the size of the edition: all wanted strings go into
// one tree, which every cell of the edition walks once.
package finders

import (
	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/english"
)

// Class is what a target is.
type Class uint8

const (
	Contents Class = iota // the one contents list
	Heading               // a heading of the text or of its matter
	Page                  // a print page: the place where it begins
	Notes                 // the heading of gathered notes
	Note                  // one note
	Index                 // the heading of an index
	Letter                // a letter of an index, glossary or dictionary
	Word                  // a headword
	nClasses
)

func (c Class) String() string {
	return [...]string{"contents", "heading", "print page", "notes", "note", "index", "letter", "headword"}[c]
}

// Classes lists all classes in the order in which they are told.
func Classes() []Class {
	out := make([]Class, nClasses)
	for i := range out {
		out[i] = Class(i)
	}
	return out
}

// Target is a place that a reader may look for.
type Target struct {
	Class Class
	Block int        // index into Book.Blocks
	Line  int        // line of the edition, from 1
	Name  []byte     // its own cells: the words of a heading, the mark of a page or note, a headword
	Label cell.Label // of a print page
	Level uint8      // of a heading, 0 not known
}

// Start is the From of a finder that is searched from the start of the file.
const Start = -1

// Finder is a target with its search string. A finder that is not promised has
// no string, and Why tells the reason.
type Finder struct {
	Target
	Search []byte // canonical cells, blanks at its start included; nil when not promised
	From   int    // Start, or the index of the finder that is searched first
	Times  int    // which hit it is, counted from there: 1 the first
	Plain  []byte // of a string with blanks at its start: another one without, found the same way; nil where there is none
	Why    string // why nothing is promised
}

// Promised reports whether the finder was proved.
func (f *Finder) Promised() bool { return f.Search != nil }

// Blanks is how many blanks the string begins with.
func (f *Finder) Blanks() int { return cell.Indent(f.Search) }

// List is the finders of one edition, in the order of the edition.
type List struct {
	Finders []Finder
	Title   []byte          // first title line, cells
	Variant english.Variant // the code that the book is read with
	Upper   bool            // the edition has upper-case letters
	mark    []byte          // before every headword, nil for none
	byBlock map[int]int
}

// Source is an edition with what is known of it.
type Source struct {
	Book    *book.Book
	Starts  []int    // 1-based line on which each block begins
	Lines   [][]byte // of the finished edition, without line ends
	Variant english.Variant
	Words   english.Words
	Upper   bool
}

// Make computes the finders of an edition.
func Make(s Source) *List {
	g := gather(s)
	l := &List{Title: g.title, Variant: s.Variant, Upper: s.Upper, Finders: make([]Finder, len(g.targets))}
	for i := range g.targets {
		l.Finders[i] = Finder{Target: g.targets[i].Target, From: Start}
	}
	c := chooser{text: g.text, targets: g.targets, list: l}
	c.choose()
	l.mark = l.finderMark(s.Book)
	return l
}

// For returns the promised finder of the target that begins with a block, such
// as the heading that a contents entry points at (Link.Target). A block has at
// most one besides its print pages.
func (l *List) For(block int) (*Finder, bool) {
	if l.byBlock == nil {
		l.byBlock = map[int]int{}
		for i := range l.Finders {
			if f := &l.Finders[i]; f.Class != Page && f.Promised() {
				l.byBlock[f.Block] = i
			}
		}
	}
	i, ok := l.byBlock[block]
	if !ok {
		return nil, false
	}
	return &l.Finders[i], true
}

// Count is how many targets of a class there are, and how many of them have a
// promised finder.
func (l *List) Count(c Class) (targets, promised int) {
	for i := range l.Finders {
		if l.Finders[i].Class == c {
			targets++
			if l.Finders[i].Promised() {
				promised++
			}
		}
	}
	return targets, promised
}

// Cells is a search string in the case of the edition.
func (l *List) Cells(search []byte) []byte {
	out := append([]byte(nil), search...)
	if l.Upper {
		for i, c := range out {
			if c >= 'a' && c <= 'z' {
				out[i] = c - 0x20
			}
		}
	}
	return out
}
