// Package pef writes an edition as PEF 1.0 (Portable Embosser Format, public
// draft of 2011): one volume with one section, either paged for an embosser or
// as one page that holds every line of the edition.
package pef

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"slices"
	"strings"

	"continuo/internal/account"
	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/meta"
	"continuo/internal/profile"
	"continuo/internal/write"
	"continuo/internal/write/brf"
)

// Options say how the file is paged. With Paper.Lines 0 all lines of the edition
// stand on one page, as wide as the longest. NoBlank leaves blank lines out, as
// in the edition.
type Options struct {
	profile.Paper
	NoBlank bool
}

// Write writes the edition.
func Write(e *write.Edition, o Options) ([]byte, error) {
	if err := write.Known(e.Book); err != nil {
		return nil, err
	}
	if key, why := o.Problem(); why != "" {
		return nil, fmt.Errorf("%s: %s", key, why)
	}
	if o.Numbers == "" {
		o.Numbers = profile.PaperNumbers[0]
	}
	var pages [][][]byte
	cols, rows := o.Cells, o.Lines
	if o.Lines == 0 {
		page := lines(e.Data)
		cols, rows = 1, max(len(page), 1)
		for _, l := range page {
			cols = max(cols, len(l))
		}
		pages = [][][]byte{page}
	} else {
		pages = paged(e, o)
	}
	var b bytes.Buffer
	head(&b, e)
	fmt.Fprintf(&b, "<body>\n<volume cols=\"%d\" rows=\"%d\" rowgap=\"0\" duplex=\"%t\">\n<section>\n", cols, rows, o.BothSides)
	for _, p := range pages {
		b.WriteString("<page>\n")
		for _, l := range p {
			if len(l) == 0 {
				b.WriteString("<row/>\n")
				continue
			}
			b.WriteString("<row>")
			b.Write(cell.AppendBraille(nil, l))
			b.WriteString("</row>\n")
		}
		b.WriteString("</page>\n")
	}
	b.WriteString("</section>\n</volume>\n</body>\n</pef>\n")
	return b.Bytes(), nil
}

// lines are the lines of an edition as cells.
func lines(data []byte) [][]byte {
	var out [][]byte
	fold := cell.FoldTable()
	for len(data) > 0 {
		line, rest, _ := bytes.Cut(data, []byte{'\n'})
		line = bytes.Clone(bytes.TrimSuffix(line, []byte{'\r'}))
		for i, b := range line {
			if c := fold[b]; c != 0 {
				line[i] = c
			}
		}
		out = append(out, line)
		data = rest
	}
	return out
}

// head writes the metadata. Elements of Dublin Core only; at most one title,
// description and date, the date a whole day.
func head(b *bytes.Buffer, e *write.Edition) {
	b.WriteString("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<pef version=\"2008-1\" xmlns=\"http://www.daisy.org/ns/2008/pef\">\n" +
		"<head>\n<meta xmlns:dc=\"http://purl.org/dc/elements/1.1/\">\n")
	dc := func(name string, values ...string) {
		for _, v := range values {
			if v != "" {
				fmt.Fprintf(b, "<dc:%s>%s</dc:%s>\n", name, escape(v), name)
			}
		}
	}
	m := e.Meta
	dc("format", "application/x-pef+xml")
	dc("identifier", m.Identifier(e.Data))
	dc("title", m.Title)
	for _, c := range m.Creators {
		if c.Role == "" || c.Role == "aut" {
			dc("creator", c.Name)
		} else {
			dc("contributor", c.Name)
		}
	}
	dc("language", e.Language())
	dc("date", day(m))
	dc("publisher", m.Publisher)
	dc("rights", m.Rights)
	dc("description", m.Description)
	dc("subject", m.Subjects...)
	dc("source", m.Source.Identifier)
	b.WriteString("</meta>\n</head>\n")
}

// day is the date of publication when it is a whole day.
func day(m meta.Title) string {
	if len(m.Dates.Publication) == len("2006-01-02") {
		return m.Dates.Publication
	}
	return ""
}

func escape(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(s)) // a strings.Builder does not fail
	return b.String()
}

// paged sets the book for the width of the page and cuts it into pages.
func paged(e *write.Edition, o Options) [][][]byte {
	out := brf.Write(e.Book, brf.Options{Width: o.Cells, NoBlank: o.NoBlank}, account.NewLedger(e.Book))
	all := lines(out.Data)
	keep := together(e.Book, out.Starts, len(all))
	room := o.Lines
	if o.Numbers != "none" {
		room--
	}
	var pages [][][]byte
	for at := 0; at < len(all); {
		if len(all[at]) == 0 {
			at++ // no blank line at the top of a page
			continue
		}
		end := min(at+room, len(all))
		for end < len(all) && end > at+1 && keep[end] {
			end--
		}
		if end == at+1 { // nothing but lines that belong together
			end = min(at+room, len(all))
		}
		page := all[at:end:end]
		for len(page[len(page)-1]) == 0 {
			page = page[:len(page)-1]
		}
		pages = append(pages, numbered(page, len(pages)+1, o))
		at = end
	}
	return pages
}

// together tells of every line whether a page must not begin with it: the lines
// of a heading after its first one, and the two lines of text after it.
func together(b *book.Book, starts []int, n int) []bool {
	keep := make([]bool, n+1)
	for i := range b.Blocks {
		if b.Blocks[i].Kind != book.Heading {
			continue
		}
		from := starts[i] // 1-based, so this is the line after the first one
		to := n
		if i+1 < len(starts) {
			to = starts[i+1] + 1
		}
		for k := from; k < min(to, n); k++ {
			keep[k] = true
		}
	}
	return keep
}

// numbered puts the page number on its line.
func numbered(page [][]byte, n int, o Options) [][]byte {
	if o.Numbers == "none" {
		return page
	}
	where, side, _ := strings.Cut(o.Numbers, "-")
	label := cell.Number(n)
	indent := 0
	switch side {
	case "right":
		indent = o.Cells - len(label)
	case "centre":
		indent = (o.Cells - len(label)) / 2
	}
	line := append(bytes.Repeat([]byte{cell.Blank}, indent), label...)
	if where == "top" {
		return append([][]byte{line}, page...)
	}
	out := slices.Clone(page)
	for len(out) < o.Lines-1 {
		out = append(out, nil)
	}
	return append(out, line)
}
