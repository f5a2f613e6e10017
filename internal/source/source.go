// Package source reads braille files into pages and lines of canonical cells.
// Lines are spans into the cells of their file, and every byte of the file is
// accounted for: as a cell of a line, or as control (line ends, form feeds,
// marks of encoding, padding at the end).
package source

import (
	"strconv"
	"strings"
)

// Encoding is how a file writes its cells.
type Encoding string

const (
	ASCII   Encoding = "ascii"    // Braille ASCII, one byte a cell
	UTF8    Encoding = "utf-8"    // Unicode braille, three bytes a cell
	UTF16LE Encoding = "utf-16le" // Unicode braille, two bytes a cell
	UTF16BE Encoding = "utf-16be"
)

// Line is one line of a file. Cells[Start:End] is its text without blanks at
// the end; Cells[Start:Full] has these too.
type Line struct {
	Start, End, Full int32
	Page             int32 // index into File.Pages
}

// Page is one braille page as the file divides it: lines First up to Last
// (not included). A file without form feeds has one page.
type Page struct{ First, Last int32 }

// Foreign is a byte or character in the file that is no cell. It stays in the
// text as it is.
type Foreign struct {
	Line, Col int // 0-based line in the file, 0-based place in the line
	What      string
}

// File is one source file, read whole. Nothing in it changes after reading.
type File struct {
	Name     string // base name, or the path inside a zip
	Path     string // as given by the person
	Bytes    int64
	SHA256   string // of the file's bytes, hex
	Whole    string // of a volume of a file that holds several: the SHA-256 of all the file's bytes, hex
	Encoding Encoding
	Upper    bool // most letters of Braille ASCII are upper-case
	CRLF     bool // most line ends are CR LF
	FormFeed bool // the file has form feeds between its pages
	Final    Final
	Tail     string // what follows the last sign that is neither blank nor padding: n for line ends, f for each form feed
	Padded   bool   // signs that fill a record stand at its end (Ctrl-Z, NUL)
	Cells    []byte
	Lines    []Line
	Pages    []Page
	Foreign  []Foreign // at most MaxForeign of them
	NForeign int       // all of them
	Letters  [2]int64  // upper-case and lower-case letters of Braille ASCII
	Marks    int64     // cells that are not blank, foreign bytes included
	Control  int64     // bytes that are no part of a line
	About    []About   // Dublin Core elements that the file carries, of PEF and eBraille
	Pieces   []Piece   // of eBraille: what each line is, as many as Lines
}

// MaxForeign is how many places of foreign bytes are kept a file.
const MaxForeign = 100

// Text returns line i without blanks at its end.
func (f *File) Text(i int) []byte { l := f.Lines[i]; return f.Cells[l.Start:l.End] }

// Quote is the name of a file as messages show it: in double quotes, control
// characters and double quotes escaped, and the backslashes of Windows paths as
// people write them.
func Quote(name string) string { return strings.ReplaceAll(strconv.Quote(name), `\\`, `\`) }

// Final is what the last sign of a file is, padding left aside.
type Final byte

const (
	FinalCell Final = iota // a cell: the last line has no end
	FinalLine              // a line end
	FinalFeed              // a form feed
)
