// Package book holds the sealed set of blocks that make one continuous book,
// and the fate of every line of the sources that is not in it.
//
// A block is a list of pieces; a piece is a span of one source line, or text
// that the tool wrote itself. So every cell of an edition can be traced.
package book

import "continuo/internal/source"

// Kind is what a block is. A writer that meets a kind it does not know must
// fail.
type Kind uint8

const (
	TitleLine Kind = iota // a line of the title page
	Heading               // one line of a heading
	Para                  // flowed text: line ends of the source mean nothing
	Line                  // one line of verse, of a list, or of matter left as it is
	Rule                  // separator or end marker
	Turn                  // print page turn on a line of its own
	Entry                 // entry of a contents list
	Label                 // line written by the tool: edition statement, label of a group
)

func (k Kind) String() string {
	return [...]string{"title line", "heading", "paragraph", "line", "rule", "print page turn", "contents entry", "label"}[k]
}

// ReasonID names an entry of Book.Reasons; 0 is no reason.
type ReasonID int32

// Reason says why something was left out, replaced, written or moved. Class
// is one of the classes of docs/architecture.md; Confidence is 0 to 1.
type Reason struct {
	Class, Why, Evidence string
	Confidence           float64
}

// Piece is a part of a block. With Vol >= 0 it covers cells From up to To of
// source line Line; Tool, when not nil, stands in their place. With Vol < 0
// it is Tool alone, written by the tool for Reason.
type Piece struct {
	Vol, Line, From, To int32
	Tool                []byte
	Reason              ReasonID // for Tool
	Join                ReasonID // not 0: no blank between the piece before and this one
}

// Blank says whether a blank line stands before a block, and where it is from.
type Blank struct {
	Want      bool
	Vol, Line int32    // a blank line of the source, when Reason is 0
	Reason    ReasonID // not 0: written by the tool
}

// Block is one element of the book.
type Block struct {
	Kind       Kind
	First, Run int16 // indent of the first line and of runovers, in cells
	Blank      Blank
	Moved      ReasonID // not 0: stands at another place than in the sources
	Cont       bool     // goes on the paragraph before it (after a turn on its own line)
	Part       Part
	Form       Form
	Level      uint8 // of a heading, 1 the highest; 0 not known
	Pieces     []Piece
}

// Cut is a part of a line that is left out while the rest is kept.
type Cut struct {
	From, To int32
	Reason   ReasonID
}

// Book is one title, ready to be written.
type Book struct {
	Files   []*source.File // in reading order
	Reasons []Reason       // index 0 is unused
	Blocks  []Block
	Out     [][]ReasonID      // per source and line: left out whole, or 0
	Cuts    []map[int32][]Cut // per source: cuts of a line, in order
	Width   int               // cells a line in the sources
	Links   []Link            // in the order of the edition
	Turns   []PageMark        // every print page turn, in the order of the edition
}

// NewBook returns a book over files with nothing in it and nothing left out.
func NewBook(files []*source.File) *Book {
	b := &Book{Files: files, Reasons: make([]Reason, 1)}
	for _, f := range files {
		b.Out = append(b.Out, make([]ReasonID, len(f.Lines)))
		b.Cuts = append(b.Cuts, map[int32][]Cut{})
	}
	return b
}

// Why registers a reason and returns its id; the same reason keeps its id.
func (b *Book) Why(r Reason) ReasonID {
	for i := len(b.Reasons) - 1; i > 0; i-- {
		if b.Reasons[i] == r {
			return ReasonID(i)
		}
	}
	b.Reasons = append(b.Reasons, r)
	return ReasonID(len(b.Reasons) - 1)
}

// Text returns the cells of a piece that come from the sources, or the tool's.
func (b *Book) Text(p Piece) []byte {
	if p.Tool != nil {
		return p.Tool
	}
	l := b.Files[p.Vol].Lines[p.Line]
	return b.Files[p.Vol].Cells[l.Start+p.From : l.Start+p.To]
}

// AddCut leaves a part of a line out; cuts of a line are kept in order.
func (b *Book) AddCut(vol int, line int32, c Cut) {
	cuts := append(b.Cuts[vol][line], Cut{})
	i := len(cuts) - 1
	for i > 0 && cuts[i-1].From > c.From {
		cuts[i] = cuts[i-1]
		i--
	}
	cuts[i] = c
	b.Cuts[vol][line] = cuts
}
