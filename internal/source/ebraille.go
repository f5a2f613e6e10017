package source

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/url"
	"os"
	"path"
	"strings"

	"continuo/internal/cell"
)

// packageName is the package document of an eBraille publication, and what
// tells its folder from others (eBraille 1.0, 4.2).
const packageName = "package.opf"

// maxSpine is how many content documents a publication may have.
const maxSpine = 5000

// publication is an eBraille publication on its way to a File.
type publication struct {
	name  string
	fsys  fs.FS
	total int64
	asIs  bool
	sum   interface{ Write([]byte) (int, error) }
}

// ParseEBraille reads a packaged eBraille publication (an EPUB container whose
// content is braille). Its text is that of the documents of the spine, in
// order: one line a block, what each line is in Pieces. Print page turns get
// the form that braille has for them within text (dot 5, dots 2-5, number)
// where the file has the number alone, but not with asIs. Publications that break rules of the
// standard are read as far as they can be.
func ParseEBraille(name string, raw []byte, asIs bool) (*File, error) {
	fail := func(err error) (*File, error) {
		return nil, fmt.Errorf("%s: not a readable eBraille publication: %w", Quote(name), err)
	}
	z, err := zip.NewReader(bytes.NewReader(raw), int64(len(raw)))
	if err != nil && !errors.Is(err, zip.ErrInsecurePath) {
		return fail(err)
	}
	if len(z.File) > MaxFiles {
		return fail(fmt.Errorf("%d entries, the limit is %d", len(z.File), MaxFiles))
	}
	for _, e := range z.File {
		if e.Flags&1 != 0 {
			return fail(fmt.Errorf("%s is locked with a password", Quote(e.Name)))
		}
		if e.UncompressedSize64 > 1<<20 && e.UncompressedSize64/maxRatio > e.CompressedSize64 {
			return fail(fmt.Errorf("%s is packed more tightly than any book: %d bytes in %d", Quote(e.Name), e.UncompressedSize64, e.CompressedSize64))
		}
	}
	p := &publication{name: name, fsys: z, sum: sha256.New(), asIs: asIs}
	f, err := p.read()
	if err != nil {
		return fail(err)
	}
	sum := sha256.Sum256(raw)
	f.Bytes, f.SHA256 = int64(len(raw)), hex.EncodeToString(sum[:])
	return f, nil
}

// ParseEBrailleFolder reads an unpackaged publication. Its Bytes are those of
// the files that were read, and its SHA256 is that of these files one after the
// other, in the order of reading, each with its name and a zero byte before it.
// asIs leaves print page turns in their own form, as in ParseEBraille.
func ParseEBrailleFolder(name, dir string, asIs bool) (*File, error) {
	fail := func(err error) (*File, error) {
		return nil, fmt.Errorf("%s: not a readable eBraille publication: %w", Quote(name), err)
	}
	root, err := os.OpenRoot(dir) // nothing outside the folder is read, not even through links
	if err != nil {
		return fail(err)
	}
	defer root.Close()
	h := sha256.New()
	p := &publication{name: name, fsys: root.FS(), sum: h, asIs: asIs}
	f, err := p.read()
	if err != nil {
		return fail(err)
	}
	f.Bytes, f.SHA256 = p.total, hex.EncodeToString(h.Sum(nil))
	return f, nil
}

// isPublication tells whether a folder holds an unpackaged publication.
func isPublication(dir string) bool {
	info, err := os.Stat(dir + string(os.PathSeparator) + packageName)
	return err == nil && info.Mode().IsRegular()
}

// looksEBraille tells a publication from other zips by its first entry.
func looksEBraille(raw []byte) bool {
	return bytes.HasPrefix(raw, []byte("PK\x03\x04")) && bytes.Contains(raw[:min(len(raw), 200)], []byte("mimetypeapplication/epub+zip"))
}

// file reads one file of the publication.
func (p *publication) file(name string) ([]byte, error) {
	f, err := p.fsys.Open(name)
	if err != nil {
		return nil, fmt.Errorf("%s: %s", Quote(name), plain(err))
	}
	defer f.Close()
	data, err := readUpTo(f, MaxXML)
	if err == nil {
		if p.total += int64(len(data)); p.total > MaxBytes {
			err = fmt.Errorf("the files together are larger than %d bytes", MaxBytes)
		}
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %s", Quote(name), plain(err))
	}
	fmt.Fprintf(p.sum.(io.Writer), "%s\x00", name)
	p.sum.Write(data)
	return data, nil
}

func (p *publication) read() (*File, error) {
	opf := p.rootfile()
	data, err := p.file(opf)
	if err != nil {
		return nil, err
	}
	spine, about, err := readPackage(data)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", Quote(opf), err)
	}
	var all []Piece
	var docs []document
	for _, href := range spine {
		name, err := inside(path.Dir(opf), href)
		if err != nil {
			return nil, err
		}
		doc, err := p.file(name)
		if err != nil {
			return nil, err
		}
		list, err := pieces(doc, false, p.asIs)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", Quote(name), err)
		}
		docs = append(docs, document{name, len(all)})
		all = append(all, list...)
	}
	if err := resolve(all, docs); err != nil {
		return nil, err
	}
	return p.lines(all, about)
}

// document is a file of the publication and its first piece.
type document struct {
	name  string
	first int
}

// resolve gives every link its target: the piece in which the element with the
// id begins, or the first piece of a document. A link that leads nowhere, out of
// the publication, or out of text that is no braille, is left out.
func resolve(all []Piece, docs []document) error {
	lookups := int64(0)
	for i := range all {
		if lookups += int64(len(all[i].links)+len(all[i].turns)) * int64(len(all[i].Text)); lookups > maxLookups {
			return errors.New("more links and page breaks in its paragraphs than any book has")
		}
	}
	at := map[string]int{}
	for d, doc := range docs {
		end := len(all)
		if d+1 < len(docs) {
			end = docs[d+1].first
		}
		if doc.first < end {
			at[doc.name] = doc.first
		}
		for i := doc.first; i < end; i++ {
			for _, id := range all[i].ids {
				if _, twice := at[doc.name+"#"+id]; !twice {
					at[doc.name+"#"+id] = i
				}
			}
		}
	}
	for d, doc := range docs {
		end := len(all)
		if d+1 < len(docs) {
			end = docs[d+1].first
		}
		for i := doc.first; i < end; i++ {
			all[i].resolve(doc.name, at)
		}
	}
	return nil
}

// resolve gives the links of a piece their targets, and counts its turns in signs.
func (p *Piece) resolve(doc string, at map[string]int) {
	defer func() { p.links, p.turns, p.ids = nil, nil, nil }()
	sign, plain := signs(p.Text, p.links, p.turns)
	if !plain {
		return
	}
	for _, l := range p.links {
		if target, ok := at[linked(doc, l.href)]; ok && sign[l.from] < sign[l.to] {
			p.Links = append(p.Links, PieceLink{sign[l.from], sign[l.to], target, l.note})
		}
	}
	for _, t := range p.turns {
		if sign[t.from] < sign[t.to] {
			p.Turns = append(p.Turns, PieceTurn{sign[t.from], sign[t.to]})
		}
	}
}

// linked is where a link of a document leads: a path of the publication, with
// its fragment if it has one; "" for a link that leads out of it.
func linked(doc, href string) string {
	ref, id, _ := strings.Cut(href, "#")
	if ref != "" {
		name, err := inside(path.Dir(doc), href)
		if err != nil {
			return ""
		}
		doc = name
	}
	if un, err := url.PathUnescape(id); err == nil && id != "" {
		doc += "#" + un
	}
	return doc
}

// signs counts, for each end of a link or turn, the signs of text before it;
// plain says that all of text is cells and blanks.
func signs(text string, lists ...[]rawLink) (at map[int]int, plain bool) {
	at = map[int]int{}
	for _, list := range lists {
		for _, l := range list {
			at[l.from], at[l.to] = 0, 0
		}
	}
	n := 0
	for i, c := range text {
		if _, ok := cell.FromRune(c); !ok && c != ' ' {
			return nil, false
		}
		if _, wanted := at[i]; wanted {
			at[i] = n
		}
		n++
	}
	for i := range at {
		if i >= len(text) {
			at[i] = n
		}
	}
	return at, true
}

// lines makes a File of the pieces, one line each.
func (p *publication) lines(all []Piece, about []About) (*File, error) {
	if len(all) == 0 {
		return nil, errors.New("it holds no text")
	}
	var text []byte
	for _, x := range all {
		text = append(append(text, x.Text...), '\n')
	}
	f, err := Parse(p.name, text)
	if err != nil {
		return nil, errors.New(strings.TrimPrefix(err.Error(), Quote(p.name)+": "))
	}
	if len(f.Lines) != len(all) {
		return nil, fmt.Errorf("its text holds line ends: %d lines of %d blocks", len(f.Lines), len(all))
	}
	f.Encoding, f.Control, f.Pieces, f.About = XHTML, 0, all, about
	return f, nil
}

// rootfile is the package document that the container names first, else the one
// in the root (4.6).
func (p *publication) rootfile() string {
	data, err := p.file("META-INF/container.xml")
	if err != nil {
		return packageName
	}
	w := xmlWalk{d: newXML(data)}
	for {
		tok, err := w.next()
		if err != nil || tok == nil {
			return packageName
		}
		if el, ok := tok.(xml.StartElement); ok && el.Name.Local == "rootfile" {
			if name, err := inside(".", attr(el, "full-path")); err == nil {
				return name
			}
			return packageName
		}
	}
}

// inside is a path of the publication; one that leads out of it is an error.
func inside(dir, href string) (string, error) {
	ref, _, _ := strings.Cut(href, "#")
	un, err := url.PathUnescape(ref)
	if err != nil {
		return "", fmt.Errorf("%s is no path", Quote(href))
	}
	name := path.Join(dir, un)
	if un == "" || path.IsAbs(un) || strings.Contains(un, ":") || strings.Contains(un, `\`) || !fs.ValidPath(name) {
		return "", fmt.Errorf("%s leads out of the publication", Quote(href))
	}
	return name, nil
}

// readPackage reads the order of the documents and the Dublin Core metadata of
// a package document (EPUB 3.3).
func readPackage(data []byte) (spine []string, about []About, err error) {
	text, err := xmlText(data)
	if err != nil {
		return nil, nil, err
	}
	w := xmlWalk{d: newXML(text)}
	items, open := map[string]string{}, -1
	var refs []string
	for {
		tok, err := w.next()
		if err != nil {
			return nil, nil, err
		}
		switch t := tok.(type) {
		case nil:
			return spineOf(refs, items, about)
		case xml.StartElement:
			open = -1
			switch {
			case t.Name.Local == "item":
				items[attr(t, "id")] = attr(t, "href")
			case t.Name.Local == "itemref":
				refs = append(refs, attr(t, "idref"))
			case t.Name.Space == dcSpace:
				open = len(about)
				about = append(about, About{Name: t.Name.Local})
			case attr(t, "property") == "a11y:producer" || attr(t, "property") == "dcterms:dateCopyrighted":
				open = len(about)
				about = append(about, About{Name: attr(t, "property")})
			}
		case xml.EndElement:
			open = -1
		case xml.CharData:
			if open >= 0 {
				about[open].Value += string(t)
			}
		}
	}
}

func spineOf(refs []string, items map[string]string, about []About) ([]string, []About, error) {
	if len(refs) == 0 {
		return nil, nil, errors.New("it has no spine, so the order of its text is not known")
	}
	if len(refs) > maxSpine {
		return nil, nil, fmt.Errorf("%d documents in the spine, the limit is %d", len(refs), maxSpine)
	}
	for i := range about {
		about[i].Value = strings.Join(strings.Fields(about[i].Value), " ")
	}
	var spine []string
	for _, r := range refs {
		href, ok := items[r]
		if !ok {
			return nil, nil, fmt.Errorf("the spine names %q, which is not in the manifest", r)
		}
		spine = append(spine, href)
	}
	return spine, about, nil
}
