package html

import (
	"fmt"
	"html"
	"sort"
	"strings"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/english"
)

// title is the name of the page: the title that a person gave, else that of the
// title page as the program reads it, else the name of the edition's files. read
// says that it is in the language of the book.
func (w *writer) title() (text string, read bool) {
	if w.e.Meta.Title != "" {
		return w.e.Meta.Title, true
	}
	var t []string
	for i := range w.b.Blocks {
		if w.b.Blocks[i].Kind != book.TitleLine || i >= max(1, w.e.Title) {
			break
		}
		t = append(t, w.inPrint(w.marks.Runs(w.b, i)))
	}
	if text = strings.TrimSpace(strings.Join(t, " ")); text != "" && w.e.Variant.Code != english.UnknownCode {
		return text, true
	}
	return w.e.Name, false
}

// titleLang is the attribute for a title in the language of the book.
func (w *writer) titleLang(read bool) string {
	if !read || w.print == "und" {
		return ""
	}
	return fmt.Sprintf(" lang=%q", w.print)
}

// page puts the whole together.
func (w *writer) page() []byte {
	var b strings.Builder
	b.WriteString("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n" +
		"<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n<meta name=\"color-scheme\" content=\"light dark\"/>\n")
	title, _ := w.title()
	fmt.Fprintf(&b, "<title>%s</title>\n<meta name=\"generator\" content=\"continuo\"/>\n", html.EscapeString(title))
	w.metaTag(&b, "author", w.e.Meta.ByRole())
	w.metaTag(&b, "description", w.e.Meta.Description)
	w.metaTag(&b, "keywords", strings.Join(w.e.Meta.Subjects, ", "))
	b.WriteString("<style>\n" + style)
	w.indents(&b)
	b.WriteString("</style>\n</head>\n<body>\n<p class=\"skip\"><a href=\"#book\">to the book</a></p>\n")
	w.header(&b)
	w.contents(&b)
	w.pages(&b)
	fmt.Fprintf(&b, "<main id=\"book\" tabindex=\"-1\">\n%s</main>\n", w.out.String())
	w.footer(&b)
	b.WriteString("</body>\n</html>\n")
	return []byte(b.String())
}

func (w *writer) metaTag(b *strings.Builder, name, content string) {
	if content != "" {
		fmt.Fprintf(b, "<meta name=%q content=\"%s\"/>\n", name, html.EscapeString(content))
	}
}

func (w *writer) header(b *strings.Builder) {
	title, read := w.title()
	fmt.Fprintf(b, "<header>\n<h1%s>%s</h1>\n", w.titleLang(read), html.EscapeString(title))
	if by := w.e.Meta.ByRole(); by != "" {
		fmt.Fprintf(b, "<p%s>%s</p>\n", w.titleLang(true), html.EscapeString(by))
	}
	b.WriteString(`<form>
<fieldset>
<legend>Show</legend>
<label><input type="radio" name="show" id="show-cells" checked="checked"/> braille</label>
<label><input type="radio" name="show" id="show-both"/> braille and print</label>
<label><input type="radio" name="show" id="show-print"/> print</label>
</fieldset>
</form>
<p>The print is a reading of the cells by a program, for looking things up. A qualified proofreader decides where a slip can hurt: medicine doses, exams, legal text.</p>
</header>
`)
}

// contents lists the headings, nested by their levels.
func (w *writer) contents(b *strings.Builder) {
	depth, first := 1, true
	for i := range w.elements {
		el := &w.elements[i]
		if el.tag != "h" {
			continue
		}
		if first {
			b.WriteString("<nav role=\"doc-toc\" aria-label=\"Headings\">\n")
			first = false
		}
		switch {
		case el.level > depth:
			b.WriteString("<ol class=\"plain\">\n<li>")
		default:
			b.WriteString(strings.Repeat("</li>\n</ol>\n", depth-el.level) + "</li>\n<li>")
		}
		depth = el.level
		fmt.Fprintf(b, "<a href=\"#%s\"><span lang=%q>%s</span> <span lang=%q>%s</span></a>", w.headID(el), w.braille,
			soft(w.headCells(el)), w.print, html.EscapeString(w.headPrint(el)))
	}
	if !first {
		b.WriteString(strings.Repeat("</li>\n</ol>\n", depth-1) + "</nav>\n")
	}
}

// soft is cells as Unicode braille with U+0020 between words.
func soft(cells []byte) string {
	var out []byte
	for _, c := range cells {
		if c == cell.Blank {
			out = append(out, ' ')
			continue
		}
		out = cell.AppendBraille(out, []byte{c})
	}
	return string(out)
}

// pages lists the print pages.
func (w *writer) pages(b *strings.Builder) {
	if len(w.b.Turns) == 0 {
		return
	}
	b.WriteString("<nav role=\"doc-pagelist\" aria-label=\"Print pages\">\n<details>\n<summary>Print pages</summary>\n<ol class=\"plain row\">\n")
	for i, t := range w.b.Turns {
		fmt.Fprintf(b, "<li><a href=\"#%s\">%s</a></li>\n", w.turnIDs[i], html.EscapeString(t.Label.String()))
	}
	b.WriteString("</ol>\n</details>\n</nav>\n")
}

// footer lists the metadata that was given.
func (w *writer) footer(b *strings.Builder) {
	m := w.e.Meta
	b.WriteString("<footer>\n<dl>\n")
	row := func(name, value string) {
		if value != "" {
			fmt.Fprintf(b, "<dt>%s</dt><dd>%s</dd>\n", name, html.EscapeString(value))
		}
	}
	row("Edition", m.Identifier(w.e.Data))
	row("Producer", strings.Join(m.Producers, ", "))
	row("Publisher", m.Publisher)
	row("Published", m.Dates.Publication)
	row("Copyright", m.Dates.Copyright)
	row("Rights", m.Rights)
	row("Print edition", strings.Join(nonEmpty(m.Source.Title, m.Source.Edition, m.Source.Publisher, m.Source.Date, m.Source.Identifier), ", "))
	row("Braille transcribed", m.Dates.Transcription)
	row("Language", w.braille)
	b.WriteString("</dl>\n</footer>\n")
}

func nonEmpty(list ...string) []string {
	var out []string
	for _, s := range list {
		if s != "" {
			out = append(out, s)
		}
	}
	return out
}

// indentClass names the indents of a block in the style sheet.
func indentClass(in [2]int16) string { return fmt.Sprintf("i%d-%d", in[0], in[1]) }

// indents writes the rules for the indents that occur, in order.
func (w *writer) indents(b *strings.Builder) {
	var list [][2]int16
	for in := range w.used {
		list = append(list, in)
	}
	sort.Slice(list, func(i, k int) bool {
		return list[i][0] < list[k][0] || list[i][0] == list[k][0] && list[i][1] < list[k][1]
	})
	for _, in := range list {
		first, run := max(int(in[0]), 0), max(int(in[1]), 0)
		fmt.Fprintf(b, ".%s{padding-inline-start:min(%dem,25%%);text-indent:max(%dem,-20vw)}\n", indentClass(in), run, first-run)
	}
}

// style is small on purpose: colours with a contrast of at least 7 to 1 (WCAG
// 2.2, 1.4.6) in light and dark, text that flows in a window of 320 pixels
// (1.4.10), a visible focus (2.4.7).
const style = `:root{color-scheme:light dark;--ink:#111;--paper:#fdfdfb;--quiet:#3b3b3b;--link:#00357a;--edge:#767676}
@media (prefers-color-scheme:dark){:root{--ink:#f2f2ee;--paper:#121212;--quiet:#d0d0cc;--link:#a9cbff;--edge:#8c8c8c}}
*{box-sizing:border-box}
body{margin:0 auto;padding:1rem;max-width:80rem;color:var(--ink);background:var(--paper);font:1.125rem/1.6 system-ui,sans-serif;overflow-wrap:anywhere}
a{color:var(--link);text-underline-offset:.25em}
:focus-visible{outline:3px solid var(--link);outline-offset:2px}
fieldset{border:1px solid var(--edge)}
label{display:inline-block;margin-inline-end:1.5rem;padding:.25rem 0}
input{inline-size:1.25rem;block-size:1.25rem;vertical-align:middle}
summary{padding:.25rem 0}
.cells,[lang*="-Brai"]{font-size:1.25em}
h1{font-size:1.6em}
h2{font-size:1.3em}
h3,h4,h5,h6{font-size:1.15em}
main .cells{font-weight:normal}
:is(h2,h3,h4,h5,h6) .print{display:block;font-size:.85em}
p,pre{margin:0;padding:0}
.gap,section,header,nav,footer{margin-block-start:1.2rem}
.line,pre{white-space:pre-wrap}
pre{overflow-x:auto;white-space:pre;font-family:inherit}
.tn{border-inline-start:3px solid var(--edge)}
.turn{border:1px solid var(--edge);padding:0 .2em}
.print{color:var(--quiet)}
.plain{list-style:none;padding-inline-start:1rem;margin:0}
.row{display:flex;flex-wrap:wrap;gap:.25rem 1rem}
.row a,nav a{display:inline-block;min-block-size:1.5rem;min-inline-size:1.5rem}
dt{font-weight:bold}
dd{margin-inline-start:1rem}
.skip a:not(:focus){position:absolute;inset-inline-start:-100rem}
@supports selector(:has(*)){
body:has(#show-cells:checked) main .print{display:none}
body:has(#show-print:checked) main .cells{display:none}
body:has(#show-both:checked) .pair{display:grid;grid-template-columns:1fr 1fr;gap:0 2rem}
}
@media (max-width:40rem){body:has(#show-both:checked) .pair{grid-template-columns:1fr}}
@media print{header form,nav,.skip{display:none}}
`
