package source

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// PEF is the encoding of a volume of a PEF file (PEF 1.0, public draft of 2011).
const PEF Encoding = "pef"

const (
	// MaxXML is the size of the largest XML file that is read.
	MaxXML = 64 << 20
	// maxNest is how deep the elements of an XML file may be nested.
	maxNest = 200
	// maxVolumes is how many volumes a PEF file may hold.
	maxVolumes = 1000
)

// About is one Dublin Core element that a file carries: "title", "creator".
type About struct{ Name, Value string }

// ParseAll reads one file that may hold several volumes: the volumes of a PEF
// file, each as a File of its own, an eBraille publication as ParseEBraille
// does, and everything else as Parse does, each volume for itself where volumes
// with title pages of their own were put one after the other.
//
// Of a PEF file a row is a line and a page a page. Line spacing (rowgap) is
// layout and makes no blank lines, but where a row asks for at least one line
// more than the rows around it. Under duplex a section begins on a new sheet: a
// blank page stands for the empty back. The Bytes of a volume are those of the
// whole file, its Control is 0; its SHA256 is that of the file or, where the
// file has several volumes, that of the file's bytes, one zero byte and the
// number of the volume in digits.
func ParseAll(name string, raw []byte) ([]*File, error) { return parseAll(name, raw, "") }

// parseAll is ParseAll of bytes whose SHA-256 may be known.
func parseAll(name string, raw []byte, sum string) ([]*File, error) {
	if looksEBraille(raw) {
		f, err := ParseEBraille(name, raw, false)
		if err != nil {
			return nil, err
		}
		return []*File{f}, nil
	}
	if !looksPEF(raw) {
		return parseVolumes(name, raw, sum)
	}
	return parsePEF(name, raw)
}

// looksPEF tells whether the first element of an XML file is that of PEF.
func looksPEF(raw []byte) bool {
	head := raw[:min(len(raw), 64<<10)]
	if !bytes.HasPrefix(bytes.TrimLeft(head, "\xEF\xBB\xBF \t\r\n"), []byte("<")) && !utf16XML(raw) {
		return false
	}
	if utf16XML(raw) && !utf16Tag(head) {
		return false
	}
	text, err := xmlText(head)
	if err != nil {
		return false
	}
	d := newXML(text)
	for {
		tok, err := d.RawToken()
		if err != nil {
			return false
		}
		if el, ok := tok.(xml.StartElement); ok {
			return strings.EqualFold(el.Name.Local, "pef")
		}
	}
}

// utf16Tag reports whether the first sign of an UTF-16 file that is no blank
// opens a tag.
func utf16Tag(raw []byte) bool {
	for _, b := range raw {
		switch b {
		case 0, 0xFF, 0xFE, ' ', '\t', '\r', '\n':
		default:
			return b == '<'
		}
	}
	return false
}

func utf16XML(raw []byte) bool {
	return len(raw) > 4 && (raw[0] == 0xFF && raw[1] == 0xFE || raw[0] == 0xFE && raw[1] == 0xFF || raw[0] == '<' && raw[1] == 0 || raw[0] == 0 && raw[1] == '<')
}

// xmlText is an XML file as UTF-8.
func xmlText(raw []byte) ([]byte, error) {
	if !utf16XML(raw) {
		return bytes.TrimPrefix(raw, []byte("\xEF\xBB\xBF")), nil
	}
	big := raw[0] == 0xFE || raw[0] == 0
	units := make([]uint16, 0, len(raw)/2)
	for i := 0; i+1 < len(raw); i += 2 {
		u := uint16(raw[i]) | uint16(raw[i+1])<<8
		if big {
			u = uint16(raw[i])<<8 | uint16(raw[i+1])
		}
		if i > 0 || u != 0xFEFF {
			units = append(units, u)
		}
	}
	return []byte(string(utf16.Decode(units))), nil
}

// newXML returns a strict reader. It knows no entities but the five of XML, so
// that none is expanded, and fetches nothing.
func newXML(text []byte) *xml.Decoder {
	d := xml.NewDecoder(bytes.NewReader(text))
	d.CharsetReader = func(charset string, in io.Reader) (io.Reader, error) {
		switch strings.ToLower(charset) {
		case "utf-8", "utf8", "utf-16", "utf-16le", "utf-16be", "us-ascii": // already UTF-8
			return in, nil
		}
		return nil, fmt.Errorf("the encoding %q is not read; UTF-8 and UTF-16 are", charset)
	}
	return d
}

// xmlWalk calls start, text and end for what an XML text holds, and tells
// errors with their line.
type xmlWalk struct {
	d     *xml.Decoder
	depth int
}

// errAt is an error at the line that the reader has come to.
func (w *xmlWalk) errAt(format string, a ...any) error {
	line, _ := w.d.InputPos()
	return fmt.Errorf("line %d: "+format, append([]any{line}, a...)...)
}

// next returns the next token, nil at the end.
func (w *xmlWalk) next() (xml.Token, error) {
	tok, err := w.d.Token()
	var bad *xml.SyntaxError
	switch {
	case err == io.EOF:
		return nil, nil
	case errors.As(err, &bad):
		return nil, fmt.Errorf("line %d: damaged XML: %s", bad.Line, bad.Msg)
	case err != nil:
		return nil, w.errAt("%s", strings.TrimPrefix(err.Error(), "xml: "))
	}
	switch tok.(type) {
	case xml.StartElement:
		if w.depth++; w.depth > maxNest {
			return nil, w.errAt("elements are nested more than %d deep", maxNest)
		}
	case xml.EndElement:
		w.depth--
	}
	return tok, nil
}

// space are the settings of a PEF element that those inside it inherit.
type space struct {
	gap    int // rowgap, in quarters of a line
	duplex bool
}

// pefReader reads one PEF file.
type pefReader struct {
	xmlWalk
	volumes []pefVolume
	about   []About
	stack   []pefElement
	row     []byte // of the open row, nil outside
}

type pefElement struct {
	name string
	dc   bool // of Dublin Core
	space
}

// pefVolume is a volume on its way to a File: its text as Unicode braille with
// line ends and form feeds.
type pefVolume struct {
	text  []byte
	lead  int // pages without a row at the start
	pages int
	rows  int
}

func parsePEF(name string, raw []byte) ([]*File, error) {
	fail := func(err error) ([]*File, error) {
		return nil, fmt.Errorf("%s: not a readable PEF file: %w", Quote(name), err)
	}
	if len(raw) > MaxXML {
		return nil, fmt.Errorf("%s: too large: %d bytes, the limit for XML is %d", Quote(name), len(raw), MaxXML)
	}
	text, err := xmlText(raw)
	if err != nil {
		return fail(err)
	}
	r := &pefReader{xmlWalk: xmlWalk{d: newXML(text)}}
	if err := r.read(); err != nil {
		return fail(err)
	}
	var out []*File
	for i := range r.volumes {
		f, err := r.file(name, raw, i)
		if err != nil {
			return nil, err
		}
		if f != nil {
			out = append(out, f)
		}
	}
	if len(out) == 0 {
		return fail(errors.New("it holds no cell that is not blank"))
	}
	return out, nil
}

func (r *pefReader) read() error {
	for {
		tok, err := r.next()
		if err != nil {
			return err
		}
		switch t := tok.(type) {
		case nil:
			return nil
		case xml.StartElement:
			err = r.start(t)
		case xml.EndElement:
			r.end()
		case xml.CharData:
			err = r.chars(t)
		}
		if err != nil {
			return err
		}
	}
}

// dcSpace is the namespace of the Dublin Core element set.
const dcSpace = "http://purl.org/dc/elements/1.1/"

func (r *pefReader) start(t xml.StartElement) error {
	el := pefElement{name: strings.ToLower(t.Name.Local)}
	if n := len(r.stack); n > 0 {
		el.space = r.stack[n-1].space
	}
	if t.Name.Space == dcSpace {
		el.dc = true
		r.about = append(r.about, About{Name: el.name})
	}
	for _, a := range t.Attr {
		switch a.Name.Local {
		case "rowgap":
			gap, err := strconv.Atoi(strings.TrimSpace(a.Value))
			if err != nil || gap < 0 || gap > 1000 {
				return r.errAt("rowgap must be a number from 0, not %q", a.Value)
			}
			el.gap = gap
		case "duplex":
			el.duplex = a.Value == "true" || a.Value == "1"
		}
	}
	r.stack = append(r.stack, el)
	switch el.name {
	case "volume":
		if len(r.volumes) == maxVolumes {
			return r.errAt("more than %d volumes", maxVolumes)
		}
		r.volumes = append(r.volumes, pefVolume{})
	case "section":
		r.section(el.duplex)
	case "page":
		r.volume().pages++
	case "row":
		if r.row != nil {
			return r.errAt("a row inside a row")
		}
		r.row = make([]byte, 0, 160)
	}
	return nil
}

// volume is the open volume; rows outside any make one.
func (r *pefReader) volume() *pefVolume {
	if len(r.volumes) == 0 {
		r.volumes = append(r.volumes, pefVolume{})
	}
	return &r.volumes[len(r.volumes)-1]
}

// section begins a section: under duplex on a new sheet.
func (r *pefReader) section(duplex bool) {
	v := r.volume()
	if duplex && v.pages%2 == 1 {
		v.pages++
		v.text = append(v.text, '\f')
	}
}

func (r *pefReader) end() {
	n := len(r.stack) - 1
	el := r.stack[n]
	r.stack = r.stack[:n]
	switch el.name {
	case "row":
		r.endRow(el.gap)
	case "page":
		if v := r.volume(); v.rows == 0 {
			v.lead++
		} else {
			v.text = append(v.text, '\f')
		}
	}
}

// endRow writes a row as a line. What a row asks for above the spacing around
// it makes blank lines after it, four quarters each (PEF 1.0, rowgap).
func (r *pefReader) endRow(gap int) {
	v := r.volume()
	v.rows++
	v.text = append(append(v.text, r.row...), '\n')
	r.row = nil
	around := 0
	if n := len(r.stack); n > 0 {
		around = r.stack[n-1].gap
	}
	for more := (gap - around) / 4; more > 0; more-- {
		v.text = append(v.text, '\n')
	}
}

// chars reads text: of a row its cells, of Dublin Core elements their value.
// Braille elsewhere in the body is text that would be lost.
func (r *pefReader) chars(t xml.CharData) error {
	n := len(r.stack)
	if r.row != nil {
		for _, b := range t {
			if b != '\n' && b != '\r' && b != '\f' {
				r.row = append(r.row, b)
			}
		}
		return nil
	}
	if n > 0 && r.stack[n-1].dc {
		r.about[len(r.about)-1].Value += string(t)
		return nil
	}
	for _, el := range r.stack {
		if el.name == "body" && bytes.ContainsFunc(t, func(c rune) bool { return c >= 0x2801 && c <= 0x28FF }) {
			return r.errAt("braille that stands in no row")
		}
	}
	return nil
}

// file makes volume i a File, nil when it is blank.
func (r *pefReader) file(name string, raw []byte, i int) (*File, error) {
	v := &r.volumes[i]
	if !bytes.ContainsFunc(v.text, func(c rune) bool { return c > ' ' && c != 0x2800 && c != utf8.RuneError }) {
		return nil, nil
	}
	shown := name
	if len(r.volumes) > 1 {
		shown = fmt.Sprintf("%s volume %d", name, i+1)
	}
	f, err := Parse(shown, trimRows(v.text))
	if err != nil {
		return nil, err
	}
	h := sha256.New()
	h.Write(raw)
	if len(r.volumes) > 1 {
		f.Whole = hex.EncodeToString(h.Sum(nil))
		fmt.Fprintf(h, "\x00%d", i+1)
	}
	f.Encoding, f.Bytes, f.Control, f.SHA256 = PEF, int64(len(raw)), 0, hex.EncodeToString(h.Sum(nil))
	for _, a := range r.about {
		if a.Value = strings.Join(strings.Fields(a.Value), " "); a.Value != "" {
			f.About = append(f.About, a)
		}
	}
	if v.lead > 0 && v.rows > 0 {
		f.leadPages(v.lead)
	}
	return f, nil
}

// trimRows takes form feeds off the end, so that they make no pages.
func trimRows(text []byte) []byte { return bytes.TrimRight(text, "\f") }

// leadPages puts blank pages before the first.
func (f *File) leadPages(n int) {
	f.Pages = append(make([]Page, n), f.Pages...)
	for i := range f.Lines {
		f.Lines[i].Page += int32(n)
	}
}
