// Package ebraille writes a book as an eBraille 1.0 publication (DAISY
// Specification, 14 August 2025; the sections named in this package are that
// edition's): a package document, a primary entry page with contents and page
// list, and XHTML files in Unicode braille, split by chapter.
//
// Every cell of the book's words stands in the publication once and in order.
// A blank between words is U+0020, further blanks of a run are U+2800. The
// publication adds no text of its own.
//
// Element names, roles and classes follow EPUB 3.3, DPUB-ARIA 1.1 and the draft
// note eBraille Tagging Best Practices (17 October 2024).
package ebraille

import (
	"fmt"
	"slices"

	"continuo/internal/book"
	"continuo/internal/english"
)

// Options say what the book does not hold itself.
type Options struct {
	// Variant is the code of the book's words, for the metadata; the zero
	// value stands for a code that is not known.
	Variant english.Variant
	// Words finds chapters, glossaries and the like by their headings.
	Words english.Words
	// TitleLines is how many lines of the title page are the title itself; 0
	// counts as 1.
	TitleLines int
}

// File is one file of a publication. Name is its path in it, with slashes.
type File struct {
	Name string
	Data []byte
}

// Edition is a finished publication. Files are in the order in which they are
// packed, mimetype first. Foreign counts the bytes that are no braille cell.
type Edition struct {
	Files                             []File
	Chapters, Headings, Pages, Linked int
	Foreign                           int
}

// UnknownBlock is the error of a block that this writer cannot put into words
// of the format.
type UnknownBlock struct {
	Block int
	Kind  uint8
	Form  uint8
	Part  uint8
}

func (e *UnknownBlock) Error() string {
	return fmt.Sprintf("block %d is of a kind that eBraille is not written for: kind %d, form %d, part %d", e.Block, e.Kind, e.Form, e.Part)
}

// Empty is the error of a book without a single word.
type Empty struct{}

func (Empty) Error() string { return "the book has no words" }

// Write sets b as a publication. The same book, metadata and options give the
// same bytes. Its errors are *Incomplete, *UnknownBlock and Empty; nothing is
// called eBraille then.
func Write(b *book.Book, m Metadata, o Options) (*Edition, error) {
	w := &writer{b: b, o: o, ed: &Edition{}}
	if err := w.known(); err != nil {
		return nil, err
	}
	w.index()
	w.plan()
	if len(w.files) == 0 {
		return nil, Empty{}
	}
	for i := range w.files {
		w.render(&w.files[i])
	}
	m, err := w.complete(m)
	if err != nil {
		return nil, err
	}
	w.ed.Files = append(w.ed.Files,
		File{"mimetype", []byte("application/epub+zip")},
		File{"META-INF/container.xml", []byte(container)},
		File{"package.opf", w.packageDocument(m)},
		File{"index.html", w.entryPage(m)},
		File{folder + "style.css", []byte(style)})
	for i := range w.files {
		w.ed.Files = append(w.ed.Files, File{folder + w.files[i].name, w.files[i].page(m.Languages[0])})
	}
	w.ed.Chapters, w.ed.Pages = len(w.files), len(w.pages)
	return w.ed, nil
}

// folder holds everything but package document and entry page (4.2, note).
const folder = "ebraille/"

// writer is the work on one book.
type writer struct {
	b  *book.Book
	o  Options
	ed *Edition

	marks  map[int][]mark // by block: page turns and links, in order
	target map[int]bool   // blocks that a link points at
	anchor []string       // by block: id of the element that holds it
	fileOf []int32        // by block: index into files
	refs   map[int]ref    // by block of a note: the first reference to it
	files  []file
	pages  []page
	heads  []head
	headAt map[int]int // by first block: index into heads
	title  int         // first block of the title page, or -1

	cells  []byte // text of one block, reused
	starts []int
}

// ref is where a note reference stands.
type ref struct {
	block int
	id    string
}

// head is a heading, for the contents.
type head struct {
	depth int // 1 for the highest
	block int // its first block
	label []byte
	role  role
}

// page is a print page turn, for the page list.
type page struct {
	id     string
	block  int
	number []byte // cells of the number alone
	print  string
}

// known is an error when a block has a kind, form or part that is not handled.
func (w *writer) known() error {
	for i := range w.b.Blocks {
		bl := &w.b.Blocks[i]
		if bl.Kind > book.Label || bl.Form > book.Exercise || bl.Part > book.BackMatter {
			return &UnknownBlock{i, uint8(bl.Kind), uint8(bl.Form), uint8(bl.Part)}
		}
	}
	return nil
}

// mark is a page turn or a link within the text of a block. Page is an index
// into pages, or -1 for a link; id is that of a note reference.
type mark struct {
	from, to int
	page     int
	link     book.Link
	id       string
}

// index finds page turns and links in the texts of their blocks. What lies
// within another one, or points at nothing, is plain text.
func (w *writer) index() {
	n := len(w.b.Blocks)
	w.title = slices.IndexFunc(w.b.Blocks, func(bl book.Block) bool { return bl.Kind == book.TitleLine })
	w.anchor, w.fileOf = make([]string, n), make([]int32, n)
	w.marks, w.target, w.refs = map[int][]mark{}, map[int]bool{}, map[int]ref{}
	has := func(i int32) bool { return i >= 0 && int(i) < n }
	used := map[string]int{}
	for _, t := range w.b.Turns {
		if has(t.Block) && w.addMark(t.Block, t.Piece, t.From, t.To, mark{page: len(w.pages)}) {
			w.pages = append(w.pages, w.newPage(t, used))
		}
	}
	refs := 0
	for _, l := range w.b.Links {
		m := mark{page: -1, link: l}
		if l.Kind == book.NoteRef {
			m.id = fmt.Sprintf("ref%d", refs+1)
		}
		if !has(l.Block) || !has(l.Target) || !w.addMark(l.Block, l.Piece, l.From, l.To, m) {
			continue
		}
		w.target[int(l.Target)] = true
		w.ed.Linked++
		if l.Kind != book.NoteRef {
			continue
		}
		refs++
		if _, twice := w.refs[int(l.Target)]; !twice {
			w.refs[int(l.Target)] = ref{int(l.Block), m.id}
		}
	}
	for _, list := range w.marks {
		slices.SortFunc(list, func(a, b mark) int { return a.from - b.from })
	}
}

// addMark puts a mark into the list of its block, unless it holds no cell or
// cuts into another one.
func (w *writer) addMark(block, piece, from, to int32, m mark) bool {
	bl := &w.b.Blocks[block]
	w.set(int(block))
	var ok bool
	if m.from, m.to, ok = w.place(bl, piece, from, to); !ok || !free(w.marks[int(block)], m.from, m.to) {
		return false
	}
	w.marks[int(block)] = append(w.marks[int(block)], m)
	return true
}
