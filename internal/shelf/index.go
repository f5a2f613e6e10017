package shelf

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"html/template"
	"path"
	"sort"
	"strings"

	"continuo/internal/atomicfile"
	"continuo/internal/english"
	"continuo/internal/lazy"
	"continuo/internal/plaintext"
)

// ordered are the titles of a card as an index lists them.
func (c *Card) ordered() []Entry {
	out := append([]Entry(nil), c.Titles...)
	sort.SliceStable(out, func(i, j int) bool {
		if a, b := sortKey(out[i].Title), sortKey(out[j].Title); a != b {
			return a < b
		}
		return out[i].Key < out[j].Key
	})
	return out
}

// index makes the three forms of a card's index.
func (c *Card) index() ([]atomicfile.Item, error) {
	b, err := c.braille()
	if err != nil {
		return nil, err
	}
	w, err := c.web()
	if err != nil {
		return nil, err
	}
	t, err := c.table()
	if err != nil {
		return nil, err
	}
	return []atomicfile.Item{{Path: indexBRF, Data: b}, {Path: indexWeb, Data: w}, {Path: indexCSV, Data: t}}, nil
}

const (
	indexWidth = 32
	runover    = 4
)

// braille is the index in braille: each title with its author, and under it the
// place of its file, uncontracted, as a display names it.
func (c *Card) braille() ([]byte, error) {
	v, err := c.Wishes.Variant()
	if err != nil {
		return nil, err
	}
	w := setter{width: indexWidth}
	if c.Wishes.IndexWidth > 0 {
		w.width = c.Wishes.IndexWidth
	}
	names := v
	names.Contracted = false
	w.line(4, write(fmt.Sprintf("%d titles", len(c.Titles)), v, ""))
	if len(c.Titles) == 1 {
		w.out.Reset()
		w.line(4, write("1 title", v, ""))
	}
	for _, e := range c.ordered() {
		text := write(e.Title, v, e.Cells)
		if e.Author != "" {
			text += " " + write(e.Author, v, "")
		}
		w.line(0, text)
		w.line(2, write(strings.TrimPrefix(strings.ReplaceAll(strings.TrimSuffix(e.Path, path.Ext(e.Path)), "/", " "), booksDir+" "), names, ""))
	}
	if len(c.Missing) > 0 {
		w.line(4, write("Not on this card", v, ""))
		for _, m := range c.Missing {
			w.line(0, write(m.Title, v, "")+" "+write(m.Why, v, ""))
		}
	}
	return w.out.Bytes(), nil
}

// write writes print in cells. Wording that the code cannot write has its
// accents and rare signs taken off; the last resort is the book's own cells.
func write(print string, v english.Variant, cells string) string {
	if t, err := english.Write(print, v); err == nil {
		return string(t)
	}
	if cells != "" {
		return strings.Join(strings.Fields(cells), " ")
	}
	var words []string
	for _, w := range strings.FieldsFunc(plain(print), func(r rune) bool { return !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9') }) {
		if t, err := english.Write(w, v); err == nil {
			words = append(words, string(t))
		}
	}
	return strings.Join(words, " ")
}

// setter sets lines of braille.
type setter struct {
	width int
	out   bytes.Buffer
}

// line sets a text with an indent; what does not fit goes on further in.
func (s *setter) line(indent int, text string) {
	at, used := 0, 0
	for i, word := range strings.Fields(text) {
		switch {
		case i == 0:
			at = indent
			s.out.WriteString(strings.Repeat(" ", at))
			used = at
		case used+1+len(word) <= s.width:
			s.out.WriteByte(' ')
			used++
		default:
			s.out.WriteString("\r\n" + strings.Repeat(" ", indent+runover))
			used = indent + runover
		}
		for used+len(word) > s.width && s.width > indent+runover+4 {
			n := s.width - used
			s.out.WriteString(word[:n] + "\r\n" + strings.Repeat(" ", indent+runover))
			word, used = word[n:], indent+runover
		}
		s.out.WriteString(word)
		used += len(word)
	}
	s.out.WriteString("\r\n")
}

// table is the index as a CSV file (RFC 4180). A text that a table program
// would take for a formula gets a quotation mark before it.
func (c *Card) table() ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	w.Write([]string{"title", "author", "code", "braille pages", "file", "bytes", "sha256", "key", "not delivered because"})
	for _, e := range c.ordered() {
		w.Write([]string{plaintext.Inert(e.Title), plaintext.Inert(e.Author), plaintext.Inert(e.Code), fmt.Sprint(e.Pages), e.Path, fmt.Sprint(e.Bytes), e.SHA256, plaintext.Inert(e.Key), ""})
	}
	for _, m := range c.Missing {
		w.Write([]string{plaintext.Inert(m.Title), "", "", "", "", "", "", plaintext.Inert(m.Key), plaintext.Inert(m.Why)})
	}
	w.Flush()
	return b.Bytes(), w.Error()
}

// letterGroup is the titles of one letter.
type letterGroup struct {
	Letter string
	Titles []Entry
}

func (c *Card) groups() []letterGroup {
	var out []letterGroup
	for _, e := range c.ordered() {
		l := "0-9"
		if k := notPlain().ReplaceAllString(sortKey(e.Title), ""); k != "" && k[0] >= 'a' {
			l = strings.ToUpper(k[:1])
		}
		if n := len(out); n == 0 || out[n-1].Letter != l {
			out = append(out, letterGroup{Letter: l})
		}
		out[len(out)-1].Titles = append(out[len(out)-1].Titles, e)
	}
	return out
}

var page = lazy.Template(func() (*template.Template, error) {
	return template.New("index").Funcs(template.FuncMap{"id": func(s string) string { return "letter-" + strings.ToLower(s) }}).Parse(`<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8"/>
<title>Index of this card: {{len .Titles}} title{{if ne (len .Titles) 1}}s{{end}}</title>
<meta name="viewport" content="width=device-width, initial-scale=1"/>
<style>
:root { color-scheme: light dark }
body { font-family: sans-serif; line-height: 1.5; max-width: 45em; margin: 1em auto; padding: 0 1em; color: CanvasText; background: Canvas }
nav a { display: inline-block; min-width: 1.5rem; padding: .25rem; text-align: center }
li { margin-bottom: .5em }
</style>
</head>
<body>
<main>
<h1>Index of this card</h1>
<p>{{len .Titles}} title{{if ne (len .Titles) 1}}s{{end}}{{if .Missing}}; not delivered: {{len .Missing}}{{end}}.</p>
{{- if gt (len .Groups) 1}}
<nav aria-label="Letters">
<p>{{range .Groups}}<a href="#{{id .Letter}}">{{.Letter}}</a> {{end}}{{if .Missing}}<a href="#not-delivered">Not delivered</a>{{end}}</p>
</nav>
{{- end}}
{{- range .Groups}}
<h2 id="{{id .Letter}}">{{.Letter}}</h2>
<ul>
{{- range .Titles}}
<li><a href="{{.Path}}">{{.Title}}</a>{{if .Author}}, {{.Author}}{{end}}. {{if .Code}}{{.Code}}. {{end}}{{if .Pages}}{{.Pages}} braille pages on paper. {{end}}File {{.Path}}.</li>
{{- end}}
</ul>
{{- end}}
{{- if .Missing}}
<h2 id="not-delivered">Not delivered</h2>
<ul>
{{- range .Missing}}
<li>{{.Title}}: {{.Why}}.</li>
{{- end}}
</ul>
{{- end}}
</main>
</body>
</html>
`)
})

// web is the index as a web page that needs no script.
func (c *Card) web() ([]byte, error) {
	var b bytes.Buffer
	err := page().Execute(&b, struct {
		Titles  []Entry
		Groups  []letterGroup
		Missing []Missing
	}{c.Titles, c.groups(), c.Missing})
	return b.Bytes(), err
}
