package ebraille

import (
	"fmt"
	"strings"

	"continuo/internal/book"
)

const container = `<?xml version="1.0" encoding="UTF-8"?>
<container version="1.0" xmlns="urn:oasis:names:tc:opendocument:xmlns:container">
<rootfiles>
<rootfile full-path="package.opf" media-type="application/oebps-package+xml"/>
</rootfiles>
</container>
`

// open is the start of every XHTML file: language, title, further lines of the
// head, attributes of the body.
const open = `<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE html>
<html xmlns="http://www.w3.org/1999/xhtml" xmlns:epub="http://www.idpf.org/2007/ops" lang="%[1]s" xml:lang="%[1]s">
<head>
<meta charset="utf-8"/>
<title>%[2]s</title>
%[3]s
</head>
<body%[4]s>
`

// matter is the document partition that a part of the book belongs to (EPUB
// Structural Semantics Vocabulary 1.1).
func matter(p book.Part) string {
	switch p {
	case book.TitlePage, book.Prelims, book.ContentsList:
		return "frontmatter"
	case book.NotesPart, book.BackMatter:
		return "backmatter"
	}
	return "bodymatter"
}

// part is the part of the book that a file is of.
func (f *file) part() book.Part {
	for i := range f.groups {
		if f.groups[i].shape != shapeTurn {
			return f.groups[i].part
		}
	}
	return f.groups[0].part
}

func (f *file) page(language string) []byte {
	out := make([]byte, 0, len(f.body)+600)
	out = fmt.Appendf(out, open, escape(language), plain(f.title), `<link rel="stylesheet" type="text/css" href="style.css"/>`, fmt.Sprintf(` epub:type="%s"`, matter(f.part())))
	out = append(out, f.body...)
	return append(out, "</body>\n</html>\n"...)
}

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;", "\t", " ", "\n", " ", "\r", " ")

// escape is print text for XML: as an element's text or an attribute's value.
func escape(s string) string { return escaper.Replace(strings.ToValidUTF8(s, "\uFFFD")) }

// entryPage is index.html: contents, page list and landmarks (8).
func (w *writer) entryPage(m Metadata) []byte {
	var b strings.Builder
	fmt.Fprintf(&b, open, escape(m.Languages[0]), plain(w.titleCells()),
		`<link rel="publication" type="application/oebps-package+xml" href="package.opf"/>`+"\n"+
			`<link rel="stylesheet" type="text/css" href="`+folder+`style.css"/>`, "")
	w.contents(&b)
	w.pageList(&b)
	w.landmarks(&b)
	b.WriteString("</body>\n</html>\n")
	return []byte(b.String())
}

// entry is one line of the contents.
type entry struct {
	depth int
	href  string
	label []byte
}

// entries lists the title page and every heading. A book without any has its
// first file.
func (w *writer) entries() []entry {
	var out []entry
	if w.title >= 0 {
		out = append(out, entry{1, w.files[w.fileOf[w.title]].name, w.titleCells()})
	}
	for _, h := range w.heads {
		out = append(out, entry{h.depth, w.href(h.block), h.label})
	}
	if len(out) == 0 {
		out = append(out, entry{1, w.files[0].name, w.titleCells()})
	}
	return out
}

// contents writes the contents: one list, nested by the depth of the headings.
func (w *writer) contents(b *strings.Builder) {
	b.WriteString("<nav epub:type=\"toc\" role=\"doc-toc\" id=\"toc\">\n")
	depth := 0
	for _, e := range w.entries() {
		for ; depth > e.depth; depth-- {
			b.WriteString("</li>\n</ol>\n")
		}
		if depth == e.depth {
			b.WriteString("</li>\n")
		}
		for ; depth < e.depth; depth++ {
			b.WriteString("<ol class=\"toc nomark\">\n")
		}
		fmt.Fprintf(b, `<li><a href="%s">%s</a>`, folder+e.href, plain(e.label))
	}
	for ; depth > 0; depth-- {
		b.WriteString("</li>\n</ol>\n")
	}
	b.WriteString("</nav>\n")
}

// pageList writes the page list: numbers in braille, in print as titles (8.3.2).
func (w *writer) pageList(b *strings.Builder) {
	if len(w.pages) == 0 {
		return
	}
	b.WriteString("<nav epub:type=\"page-list\" role=\"doc-pagelist\" id=\"page-list\">\n<ol class=\"nomark\">\n")
	for _, p := range w.pages {
		fmt.Fprintf(b, "<li><a href=\"%s%s#%s\" title=\"%s\">%s</a></li>\n", folder, w.files[w.fileOf[p.block]].name, p.id, escape(p.print), plain(p.number))
	}
	b.WriteString("</ol>\n</nav>\n")
}

// landmarks writes where the text and its parts begin; the labels are their own
// headings (8.3.3).
func (w *writer) landmarks(b *strings.Builder) {
	seen := map[string]bool{}
	line := func(kind, href string, label []byte) {
		if kind == "" || seen[kind] {
			return
		}
		if len(seen) == 0 {
			b.WriteString("<nav epub:type=\"landmarks\" id=\"landmarks\" hidden=\"hidden\">\n<ol class=\"nomark\">\n")
		}
		seen[kind] = true
		fmt.Fprintf(b, "<li><a epub:type=\"%s\" href=\"%s\">%s</a></li>\n", kind, folder+href, plain(label))
	}
	if w.title >= 0 {
		line("titlepage", w.files[w.fileOf[w.title]].name, w.titleCells())
	}
	for _, h := range w.heads {
		if w.b.Blocks[h.block].Part == book.ContentsList {
			line("toc", w.href(h.block), h.label)
		}
		if h.role.aria == "doc-chapter" {
			line("bodymatter", w.href(h.block), h.label)
		}
		if h.role.epub != "chapter" && h.role.epub != "part" {
			line(h.role.epub, w.href(h.block), h.label)
		}
	}
	if len(seen) > 0 {
		b.WriteString("</ol>\n</nav>\n")
	}
}
