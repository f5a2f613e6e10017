package source

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/xml"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"continuo/internal/cell"
)

// XHTML is the encoding of braille that is read from XHTML: an eBraille
// publication, or a page to read by eye that this program wrote.
const XHTML Encoding = "xhtml"

// Piece is one block of an XHTML text, in order: a paragraph, a heading, an item
// of a list, a row of a table or a line of preformatted text.
type Piece struct {
	Text  string // Unicode braille; blanks as U+0020 but for blanks that were asked for
	Level int    // of a heading 1 to 6, else 0
	Line  bool   // a line of preformatted text, or one that a line break ends
	Verse bool   // a line of verse
	Item  bool   // an item of a list, a term or its meaning
	New   bool   // begins after a gap: the first of a paragraph, list or section
	Part  string // the section it stands in: title page, contents, notes... as its role says; "" for the text
	Turn  bool   // a print page turn on its own
	Form  string // what its elements say of it, see forms; "" for nothing
	Inset int    // of an item or line: cells that it begins further in, lists within lists two each
	Hang  bool   // a paragraph whose runovers step in
	Flush bool   // a paragraph without an indent
	Gap   bool   // a paragraph after a blank line
	More  bool   // goes on the piece before: the meaning after its term
	Links []PieceLink
	Turns []PieceTurn

	links, turns []rawLink
	ids          []string // of elements that begin in it
}

// PieceLink says that some cells of a piece point at another one. From and To
// count the signs of its text; Target is an index into File.Pieces.
type PieceLink struct {
	From, To, Target int
	Note             bool // a reference to a note
}

// PieceTurn is where the mark of a print page turn stands in a piece.
type PieceTurn struct{ From, To int }

// rawLink is a link, or a print page turn, as its file has it; from and to are bytes of the text.
type rawLink struct {
	from, to int
	href     string
	note     bool
}

// forms are the classes and roles that say what a piece is: those of the draft
// note on tagging (17 October 2024), and those that this program writes besides.
var forms = map[string]string{"transcriber-note": "transcriber", "speech": "speech", "recipe": "recipe", "exercise": "exercise", "glossary": "term", "index": "index",
	"lines": "line", "label": "label", "page-turn": "turn", "separator": "rule", "table": "row", "doc-footnote": "note", "doc-endnote": "note", "notes": "note"}

// pageReader gathers the pieces of XHTML texts.
type pageReader struct {
	xmlWalk
	only  bool // only what stands in elements of class "cells" inside main
	asIs  bool // print page turns are their text, nothing put before it
	stack []pageElement
	out   []Piece
	text  []byte // of the open piece
	gap   bool
	size  int
	ids   []string  // of elements that began and have no text yet
	links []rawLink // of the open piece
	turns []rawLink
	noted bool // the open note has a piece already
}

// pageElement is an open element and what it means for what it holds.
type pageElement struct {
	name            string
	skip            bool // what is inside is not read
	pre, item       bool
	verse           bool
	level           int
	part            string
	cells, inMain   bool
	pageBreak       bool
	breakFallback   string // number of a page break without text
	labelStartsText int    // where the text of a page break begins
	form            string
	lists           int // lists that it is in
	inset           int
	hang, flush     bool
	gap, more       bool
	link            *rawLink // of an a element
}

// blocks are the elements that end a piece; the others are inside a line.
var blocks = map[string]bool{}

func init() {
	for _, n := range strings.Fields("html body main section article aside header footer nav div p h1 h2 h3 h4 h5 h6 ul ol li dl dt dd table thead tbody tfoot tr caption pre blockquote figure figcaption address hr br form fieldset details summary hgroup") {
		blocks[n] = true
	}
}

// skipped are elements whose text is no text of the book.
var skippedElements = map[string]bool{"head": true, "script": true, "style": true, "template": true, "noscript": true}

func attr(t xml.StartElement, name string) string {
	for _, a := range t.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

func hasWord(list, word string) bool { return slices.Contains(strings.Fields(list), word) }

// parts are the roles that say which part of a book a section is.
var parts = map[string]string{"doc-toc": "contents", "doc-endnotes": "notes", "doc-glossary": "back", "doc-index": "back", "doc-bibliography": "back", "doc-appendix": "back",
	"doc-preface": "front", "doc-foreword": "front", "doc-dedication": "front", "doc-acknowledgments": "front", "titlepage": "title"}

// partTypes are the same by the types of EPUB (Structural Semantics Vocabulary 1.1).
var partTypes = map[string]string{"titlepage": "title", "frontmatter": "front", "backmatter": "back"}

func (r *pageReader) read() error {
	for {
		tok, err := r.next()
		if err != nil {
			return err
		}
		switch t := tok.(type) {
		case nil:
			r.flush()
			return nil
		case xml.StartElement:
			r.start(t)
		case xml.EndElement:
			r.end()
		case xml.CharData:
			r.chars(t)
		}
		if len(r.links)+len(r.turns) > maxLinks {
			return r.errAt("more than %d links and page breaks in one paragraph", maxLinks)
		}
		if r.size > MaxXML {
			return r.errAt("more than %d bytes of text", MaxXML)
		}
	}
}

func (r *pageReader) start(t xml.StartElement) {
	el := pageElement{name: t.Name.Local}
	if n := len(r.stack); n > 0 {
		up := r.stack[n-1]
		el.skip, el.pre, el.item, el.verse, el.level, el.part, el.cells, el.inMain = up.skip, up.pre, up.item, up.verse, up.level, up.part, up.cells, up.inMain
		el.form, el.lists, el.inset, el.hang, el.flush, el.gap, el.more = up.form, up.lists, up.inset, up.hang, up.flush, up.gap, up.more
	}
	class, role, kind := attr(t, "class"), attr(t, "role"), attr(t, "type")
	_, hidden := hiddenAttr(t)
	el.skip = el.skip || skippedElements[el.name] || hidden
	el.inMain = el.inMain || el.name == "main"
	el.cells = el.cells || hasWord(class, "cells")
	if hasWord(class, "print") && r.only {
		el.skip = true
	}
	el.pre = el.pre || el.name == "pre"
	el.verse = el.verse || hasWord(class, "poetry")
	if p := parts[role]; p != "" {
		el.part = p
	}
	for _, word := range strings.Fields(kind) {
		if p := partTypes[word]; p != "" {
			el.part = p
		}
	}
	if el.name == "ol" || el.name == "ul" {
		switch {
		case hasWord(class, "toc"):
			el.part = "contents"
		case hasWord(class, "notes"):
			el.part = "notes"
		}
	}
	if blocks[el.name] {
		r.flush()
	}
	r.shape(&el, class, role)
	r.anchor(&el, t)
	switch el.name {
	case "li", "dt", "dd":
		el.item = true
	case "h1", "h2", "h3", "h4", "h5", "h6":
		el.level = int(el.name[1] - '0')
		r.gap = true
	case "p":
		r.gap = r.gap || el.form != "line" // lines that belong together are paragraphs too
	case "div":
		r.gap = r.gap || hasWord(class, "lines")
	case "ul", "ol", "dl", "pre", "section", "table", "hr", "blockquote":
		r.gap = true
	case "td", "th":
		if r.blank(); len(r.text) > 0 {
			r.text = append(r.text, ' ') // two blanks part columns
		}
	}
	if hasWord(role, "doc-pagebreak") || hasWord(kind, "pagebreak") {
		el.pageBreak, el.breakFallback, el.labelStartsText = true, attr(t, "aria-label"), len(r.text)
	}
	r.stack = append(r.stack, el)
}

// shape reads what the classes and the role of an element say of its form.
func (r *pageReader) shape(el *pageElement, class, role string) {
	for _, w := range append(strings.Fields(class), strings.Fields(role)...) {
		if f := forms[w]; f != "" && (w != "table" || el.name == "pre") {
			r.noted = r.noted && f != "note"
			el.form = f
		}
		if n, ok := strings.CutPrefix(w, "inset-"); ok {
			if k, err := strconv.Atoi(n); err == nil && k >= 0 && k <= maxInset {
				el.inset = k
			}
		}
	}
	switch el.name {
	case "ul", "ol":
		el.lists++
	case "tr":
		el.form = "row"
	case "dt", "dd":
		el.form, el.more = "term", el.name == "dd"
	case "p":
		el.hang, el.flush, el.gap = hasWord(class, "hanging"), hasWord(class, "left-aligned"), hasWord(class, "gap")
	case "li":
		if el.part == "notes" && el.form == "" {
			el.form = "note"
		}
		r.noted = r.noted && el.form != "note"
	}
}

// maxInset is the deepest inset that is believed, in cells.
const maxInset = 40

// anchor takes down the id of an element and, of an a element, where it points.
func (r *pageReader) anchor(el *pageElement, t xml.StartElement) {
	if el.skip {
		return
	}
	if id := attr(t, "id"); id != "" && len(r.ids) < maxIDs {
		r.ids = append(r.ids, id)
	}
	role := attr(t, "role")
	if href := attr(t, "href"); el.name == "a" && href != "" && !hasWord(role, "doc-backlink") {
		el.link = &rawLink{from: len(r.text), href: href, note: hasWord(role, "doc-noteref") || hasWord(attr(t, "type"), "noteref")}
	}
}

// maxIDs is how many elements with ids may begin at one place.
const maxIDs = 1000

func hiddenAttr(t xml.StartElement) (string, bool) {
	for _, a := range t.Attr {
		if a.Name.Local == "hidden" {
			return a.Value, true
		}
	}
	return "", false
}

func (r *pageReader) end() {
	n := len(r.stack) - 1
	el := r.stack[n]
	if el.pageBreak && !el.skip {
		if r.pageBreak(el); len(r.text) > el.labelStartsText {
			r.turns = append(r.turns, rawLink{from: el.labelStartsText, to: len(r.text)})
		}
	}
	if el.link != nil && el.link.from < len(r.text) {
		el.link.to = len(r.text)
		r.links = append(r.links, *el.link)
	}
	if blocks[el.name] {
		r.flush()
	}
	r.stack = r.stack[:n]
}

// pageBreak gives a print page turn the form that braille has for one within
// text, dot 5, dots 2-5 and the number (common practice), where the file holds
// the number alone or in a label. Read as it is, a turn is its own text.
func (r *pageReader) pageBreak(el pageElement) {
	at := min(el.labelStartsText, len(r.text))
	text := bytes.TrimSpace(r.text[at:])
	if len(text) == 0 {
		text = []byte(strings.Join(strings.Fields(strings.ReplaceAll(el.breakFallback, "\u2800", " ")), " "))
	} else if r.asIs {
		return
	}
	if len(text) == 0 || r.asIs && r.only {
		return
	}
	text = bytes.Clone(text)
	if l, ok := cell.ParseLabel(toCells(text)); ok && !l.Bare && !r.asIs {
		r.text = r.text[:at]
		r.blank()
		r.text = append(append(r.text, "⠐⠒"...), text...)
	} else if len(bytes.TrimSpace(r.text[at:])) == 0 {
		r.text = append(r.text, text...)
	}
}

// maxLinks is how many links and print page turns one piece may have. They are
// looked up one by one in its text, so all of them, times the bytes of their
// pieces, are no more than maxLookups in a publication.
const (
	maxLinks   = 100_000
	maxLookups = int64(1) << 32
)

// toCells is Unicode braille as cells; other characters are left out.
func toCells(text []byte) []byte {
	var out []byte
	for _, c := range string(text) {
		if b, ok := cell.FromRune(c); ok {
			out = append(out, b)
		}
	}
	return out
}

// blank parts two words.
func (r *pageReader) blank() {
	if n := len(r.text); n > 0 && r.text[n-1] != ' ' {
		r.text = append(r.text, ' ')
	}
}

func (r *pageReader) chars(t []byte) {
	n := len(r.stack)
	if n == 0 || r.stack[n-1].skip || r.only && !(r.stack[n-1].cells && r.stack[n-1].inMain) {
		return
	}
	r.size += len(t)
	el := &r.stack[n-1]
	for _, c := range string(t) {
		switch {
		case c == 0xAD: // soft hyphen
		case el.pre && c == '\n':
			r.flush()
		case c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\f':
			if el.pre {
				r.text = append(r.text, ' ')
			} else {
				r.blank()
			}
		case c == 0xA0:
			r.text = append(r.text, "\u2800"...)
		default:
			r.text = append(r.text, string(c)...)
		}
	}
}

// flush ends the open piece.
func (r *pageReader) flush() {
	n := len(r.stack)
	text := bytes.TrimRight(r.text, " ")
	r.text = r.text[:0]
	if n == 0 || len(bytes.Trim(text, " \u2800")) == 0 {
		r.links, r.turns = nil, nil
		return
	}
	el := r.stack[n-1]
	p := Piece{Text: string(text), Level: el.level, Line: el.pre, Verse: el.verse, Item: el.item, New: r.gap, Part: el.part, Turn: el.name == "div" && el.pageBreak,
		Form: el.form, Inset: el.inset + 2*max(0, el.lists-1), Hang: el.hang, Flush: el.flush, Gap: el.gap, More: el.more, links: r.links, turns: r.turns, ids: r.ids}
	switch {
	case el.form == "turn":
		p.Turn = true
	case el.form == "note" && r.noted:
		p.More = true
	}
	r.noted = r.noted || el.form == "note"
	r.out = append(r.out, p)
	r.gap, r.ids, r.links, r.turns = false, nil, nil, nil
}

// pieces reads one XHTML text.
func pieces(raw []byte, only, asIs bool) ([]Piece, error) {
	text, err := xmlText(raw)
	if err != nil {
		return nil, err
	}
	if len(text) > MaxXML {
		return nil, fmt.Errorf("too large: %d bytes, the limit for XML is %d", len(text), MaxXML)
	}
	r := &pageReader{xmlWalk: xmlWalk{d: newXML(text)}, only: only, asIs: asIs}
	if err := r.read(); err != nil {
		return nil, err
	}
	return r.out, nil
}

// ParsePage reads the braille of a page to read by eye that this program wrote:
// what stands in elements of class "cells" inside main, one line a block or, of
// preformatted text, a line.
func ParsePage(name string, raw []byte) (*File, error) {
	list, err := pieces(raw, true, true)
	if err != nil {
		return nil, fmt.Errorf("%s: not a readable page: %w", Quote(name), err)
	}
	if len(list) == 0 {
		return nil, fmt.Errorf("%s: not a page of this program: it holds no braille marked as such", Quote(name))
	}
	var text []byte
	for _, p := range list {
		text = append(append(text, p.Text...), '\n')
	}
	return fileOf(name, text, raw)
}

// fileOf makes a File of Unicode braille that was taken out of raw.
func fileOf(name string, text, raw []byte) (*File, error) {
	f, err := Parse(name, text)
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(raw)
	f.Encoding, f.Bytes, f.Control, f.SHA256 = XHTML, int64(len(raw)), 0, hex.EncodeToString(sum[:])
	return f, nil
}
