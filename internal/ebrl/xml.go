package ebrl

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"unicode/utf8"
)

// Namespaces.
const (
	nsXHTML     = "http://www.w3.org/1999/xhtml"
	nsOPF       = "http://www.idpf.org/2007/opf"
	nsDC        = "http://purl.org/dc/elements/1.1/"
	nsOPS       = "http://www.idpf.org/2007/ops"
	nsContainer = "urn:oasis:names:tc:opendocument:xmlns:container"
	nsXML       = "http://www.w3.org/XML/1998/namespace"
	nsXInclude  = "http://www.w3.org/2001/XInclude"
	nsSVG       = "http://www.w3.org/2000/svg"
	nsMathML    = "http://www.w3.org/1998/Math/MathML"
	nsRendition = "http://www.idpf.org/2013/rendition"
	nsXLink     = "http://www.w3.org/1999/xlink"
)

// node is an element, or with an empty name a run of text.
type node struct {
	space, name string
	attrs       []xml.Attr
	text        string
	line        int
	kids        []*node
	up          *node
}

// html reports whether n is the XHTML element of that name.
func (n *node) html(name string) bool { return n.space == nsXHTML && n.name == name }

// attr is the value of an attribute without a namespace.
func (n *node) attr(name string) (string, bool) { return n.attrNS("", name) }

func (n *node) attrNS(space, name string) (string, bool) {
	for _, a := range n.attrs {
		if a.Name.Space == space && a.Name.Local == name {
			return a.Value, true
		}
	}
	return "", false
}

// value is an attribute, trimmed, or empty.
func (n *node) value(name string) string {
	v, _ := n.attr(name)
	return strings.TrimSpace(v)
}

// all is the text below n.
func (n *node) all() string {
	var b strings.Builder
	n.walk(func(x *node) bool {
		b.WriteString(x.text)
		return true
	})
	return b.String()
}

// walk visits n and what is below it, until visit returns false for a node.
func (n *node) walk(visit func(*node) bool) {
	if !visit(n) {
		return
	}
	for _, k := range n.kids {
		k.walk(visit)
	}
}

// elements are the children that are no text.
func (n *node) elements() []*node {
	var out []*node
	for _, k := range n.kids {
		if k.name != "" {
			out = append(out, k)
		}
	}
	return out
}

// has reports whether a list of words, set off by white space, has a word.
func has(list, word string) bool {
	for _, w := range strings.Fields(list) {
		if w == word {
			return true
		}
	}
	return false
}

// reader reads one XML file.
type reader struct {
	c        *checker
	file     string
	d        *xml.Decoder
	root, at *node
	depth    int
	elements int
	declared map[string]bool
	html     bool
}

// readXML reads a file of the publication into a tree, and is nil when it is not
// well-formed or not there. Entities are never expanded, nothing is fetched.
// html allows the DOCTYPE of HTML.
func (c *checker) readXML(file string, html bool) *node {
	raw := c.data(file)
	if raw == nil {
		return nil
	}
	if bytes.HasPrefix(raw, []byte{0xFE, 0xFF}) || bytes.HasPrefix(raw, []byte{0xFF, 0xFE}) || bytes.HasPrefix(raw, []byte{0, '<'}) || bytes.HasPrefix(raw, []byte{'<', 0}) {
		c.add("C14", file, 0, "is in UTF-16")
		return nil
	}
	raw = bytes.TrimPrefix(raw, []byte("\xEF\xBB\xBF"))
	if line := badUTF8(raw); line > 0 {
		c.add("C14", file, line, "is not UTF-8 here")
		return nil
	}
	d := xml.NewDecoder(bytes.NewReader(raw))
	d.CharsetReader = func(_ string, in io.Reader) (io.Reader, error) { return in, nil }
	r := &reader{c: c, file: file, d: d, html: html, declared: map[string]bool{nsXML: true, "xmlns": true, "": true}}
	if !r.read() {
		return nil
	}
	return r.root
}

// badUTF8 is the line of the first byte that is not UTF-8, or 0.
func badUTF8(b []byte) int {
	if utf8.Valid(b) {
		return 0
	}
	line := 1
	for len(b) > 0 {
		r, n := utf8.DecodeRune(b)
		if r == utf8.RuneError && n == 1 {
			return line
		}
		if r == '\n' {
			line++
		}
		b = b[n:]
	}
	return line
}

// read takes the file token by token; false when it cannot be used.
func (r *reader) read() bool {
	for {
		line, _ := r.d.InputPos()
		tok, err := r.d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return r.fault(err)
		}
		if !r.token(tok, line) {
			return false
		}
	}
	if r.root == nil {
		r.c.add("C15", r.file, 0, "has no element")
		return false
	}
	return true
}

// fault tells of XML that is not well-formed.
func (r *reader) fault(err error) bool {
	line, _ := r.d.InputPos()
	why := err.Error()
	var syntax *xml.SyntaxError
	if errors.As(err, &syntax) {
		line, why = syntax.Line, syntax.Msg
	}
	r.c.add("C15", r.file, line, "is not well-formed: %s", why)
	return false
}

func (r *reader) token(tok xml.Token, line int) bool {
	switch t := tok.(type) {
	case xml.StartElement:
		return r.start(t, line)
	case xml.EndElement:
		r.at, r.depth = r.at.up, r.depth-1
	case xml.CharData:
		if r.at == nil {
			if len(bytes.TrimSpace(t)) > 0 {
				r.c.add("C15", r.file, line, "has text outside its root element")
				return false
			}
			return true
		}
		r.at.kids = append(r.at.kids, &node{text: string(t), line: line, up: r.at})
	case xml.ProcInst:
		return r.instruction(t, line)
	case xml.Directive:
		return r.directive(string(t), line)
	}
	return true
}

// declaration is the version that an XML declaration begins with (XML 1.0,
// production 23).
var declaration = lazily(`^\s*version\s*=\s*("1\.[0-9]+"|'1\.[0-9]+')(\s|$)`)

// instruction looks at the XML declaration.
func (r *reader) instruction(t xml.ProcInst, line int) bool {
	if t.Target != "xml" {
		return true
	}
	if !declaration().Match(t.Inst) {
		r.c.add("C15", r.file, line, "is not well-formed: its XML declaration has no version")
		return false
	}
	_, rest, ok := strings.Cut(string(t.Inst), "encoding=")
	if !ok || rest == "" {
		return true
	}
	name, _, _ := strings.Cut(rest[1:], rest[:1])
	if !strings.EqualFold(name, "utf-8") {
		r.c.add("C14", r.file, line, "is declared to be in %q", name)
		return false
	}
	return true
}

// directive looks at the DOCTYPE: that of HTML or none. A file with an entity
// of its own is not read further.
func (r *reader) directive(t string, line int) bool {
	f := strings.Fields(t)
	plain := len(f) == 2 && f[0] == "DOCTYPE" && f[1] == "html"
	if r.html && plain || r.html && strings.Join(f, " ") == `DOCTYPE html SYSTEM "about:legacy-compat"` {
		return true
	}
	if strings.Contains(t, "ENTITY") {
		r.c.add("C15", r.file, line, "declares entities, which are never expanded")
		return false
	}
	r.c.add("C15", r.file, line, "has a document type other than that of HTML: %q", "<!"+strings.Join(f, " ")+">")
	return true
}

func (r *reader) start(t xml.StartElement, line int) bool {
	r.elements++
	r.c.elements++
	r.depth++
	switch {
	case r.depth > MaxDepth:
		r.c.failed = refuse("%q line %d: elements stand more than %d deep", r.file, line, MaxDepth)
		return false
	case r.elements > MaxElements:
		r.c.failed = refuse("%q has more than %d elements", r.file, MaxElements)
		return false
	case r.c.elements > MaxAll:
		r.c.failed = refuse("the documents have more than %d elements together", MaxAll)
		return false
	case r.at == nil && r.root != nil:
		r.c.add("C15", r.file, line, "has a second root element")
		return false
	}
	n := &node{space: t.Name.Space, name: t.Name.Local, attrs: append([]xml.Attr(nil), t.Attr...), line: line, up: r.at}
	if !r.names(n) {
		return false
	}
	if r.at == nil {
		r.root = n
	} else {
		r.at.kids = append(r.at.kids, n)
	}
	r.at = n
	return true
}

// names checks the names of an element: no attribute twice, no prefix that is
// not declared, no XInclude.
func (r *reader) names(n *node) bool {
	seen := map[xml.Name]bool{}
	for _, a := range n.attrs {
		if a.Name.Space == "xmlns" || a.Name.Space == "" && a.Name.Local == "xmlns" {
			r.declared[a.Value] = true
			if a.Name.Space == "xmlns" && a.Value == "" {
				r.c.add("C15", r.file, n.line, "is not well-formed: the prefix %q has an empty namespace", a.Name.Local)
				return false
			}
		}
		if seen[a.Name] {
			r.c.add("C15", r.file, n.line, "is not well-formed: the attribute %q stands twice in <%s>", a.Name.Local, n.name)
			return false
		}
		seen[a.Name] = true
	}
	for _, space := range append([]string{n.space}, spaces(n.attrs)...) {
		if !r.declared[space] {
			r.c.add("C15", r.file, n.line, "is not well-formed: the prefix %q is not declared", space)
			return false
		}
	}
	if n.space == nsXInclude {
		r.c.add("C15", r.file, n.line, "uses XInclude")
	}
	return true
}

func spaces(attrs []xml.Attr) []string {
	var out []string
	for _, a := range attrs {
		if a.Name.Space != "" {
			out = append(out, a.Name.Space)
		}
	}
	return out
}
