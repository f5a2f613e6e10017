package book

import (
	"slices"

	"continuo/internal/cell"
)

// Part is the part of the book that a block belongs to.
type Part uint8

const (
	Text         Part = iota // the running text of the book
	TitlePage                // the one title page, edition statement included
	Prelims                  // matter before the text: imprint, preface, special symbols
	ContentsList             // the one contents list
	NotesPart                // notes gathered after the text
	BackMatter               // what follows the text: glossary, index, end of the book
)

func (p Part) String() string {
	return [...]string{"text", "title page", "preliminary matter", "contents", "notes", "back matter"}[p]
}

// Form is what a block is, for formats and finders that tell more apart than
// Kind does. Kind alone decides how a block is set in Braille ASCII.
type Form uint8

const (
	Plain           Form = iota // a paragraph, or lines of which no more is known
	Verse                       // one line of verse; a stanza begins with a wanted blank line
	ListItem                    // one item of a list
	TableRow                    // one row of a table, its columns as they are
	Fixed                       // a line that must stay as it is: a layout that was not understood
	Term                        // entry of a dictionary, glossary or index
	Note                        // beginning of a note
	NoteMore                    // a note goes on
	TranscriberNote             // transcriber's note
	Speech                      // speech of a play, the speaker's name first
	Recipe                      // ingredient or step of a recipe
	Exercise                    // numbered exercise
)

func (f Form) String() string {
	return [...]string{"plain", "verse", "list item", "table row", "fixed", "term", "note", "note goes on", "transcriber's note",
		"speech", "recipe", "exercise"}[f]
}

// LinkKind is what a link says.
type LinkKind uint8

const (
	NoteRef  LinkKind = iota // a note reference, to its note; the way back is From and To of the same link
	ListRef                  // an entry of the contents list, to its heading
	CrossRef                 // a cross reference or index locator, to a heading or the block where a print page begins
)

// Link says that some cells of the edition point at a block. Block and Piece
// are indexes into Book.Blocks and its Pieces; From and To are cells of the
// piece's text. Confidence is 0 to 1.
type Link struct {
	Kind         LinkKind
	Block, Piece int32
	From, To     int32
	Target       int32 // index into Book.Blocks
	Confidence   float64
}

// PageMark is a print page turn in the edition: cells From up to To of the
// text of a piece. Block and Piece are indexes as in Link.
type PageMark struct {
	Block, Piece int32
	From, To     int32
	Label        cell.Label
}

// Keep says that cells From up to To of a block, as AppendPiece sets them, stay
// on one line of the edition where they fit one.
type Keep struct {
	Block, From, To int32
}

// Insert puts blocks before block at; links and marks go on pointing at what
// they pointed at.
func (b *Book) Insert(at int, blocks []Block) {
	b.Blocks = slices.Insert(b.Blocks, at, blocks...)
	n, from := int32(len(blocks)), int32(at)
	move := func(i *int32) {
		if *i >= from {
			*i += n
		}
	}
	for i := range b.Links {
		move(&b.Links[i].Block)
		move(&b.Links[i].Target)
	}
	for i := range b.Turns {
		move(&b.Turns[i].Block)
	}
}

// Remove takes blocks from up to to out; links from them and to them, and marks
// in them, go with them.
func (b *Book) Remove(from, to int) {
	b.Blocks = slices.Concat(b.Blocks[:from], b.Blocks[to:])
	n, lo, hi := int32(to-from), int32(from), int32(to)
	gone := func(i int32) bool { return i >= lo && i < hi }
	move := func(i int32) int32 {
		if i >= hi {
			return i - n
		}
		return i
	}
	b.Links = slices.DeleteFunc(b.Links, func(l Link) bool { return gone(l.Block) || gone(l.Target) })
	for i := range b.Links {
		b.Links[i].Block, b.Links[i].Target = move(b.Links[i].Block), move(b.Links[i].Target)
	}
	b.Turns = slices.DeleteFunc(b.Turns, func(t PageMark) bool { return gone(t.Block) })
	for i := range b.Turns {
		b.Turns[i].Block = move(b.Turns[i].Block)
	}
}
