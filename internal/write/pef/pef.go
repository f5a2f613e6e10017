// Package pef writes an edition as PEF 1.0 (Portable Embosser Format, public
// draft of 2011): paged for an embosser, in one volume or in volumes of so many
// pages, or as one page that holds every line of the edition. Every volume has
// one section.
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
	var volumes []volume
	cols, rows := o.Cells, o.Lines
	if o.Lines == 0 {
		page := lines(e.Data)
		cols, rows = 1, max(len(page), 1)
		for _, l := range page {
			cols = max(cols, len(l))
		}
		volumes = []volume{{page}}
	} else {
		volumes = paged(e, o)
	}
	var b bytes.Buffer
	head(&b, e)
	b.WriteString("<body>\n")
	for _, v := range volumes {
		fmt.Fprintf(&b, "<volume cols=\"%d\" rows=\"%d\" rowgap=\"0\" duplex=\"%t\">\n<section>\n", cols, rows, o.BothSides)
		for _, p := range v {
			writePage(&b, p)
		}
		b.WriteString("</section>\n</volume>\n")
	}
	b.WriteString("</body>\n</pef>\n")
	return b.Bytes(), nil
}

// volume is the pages of a volume, each the lines of it.
type volume [][][]byte

func writePage(b *bytes.Buffer, lines [][]byte) {
	b.WriteString("<page>\n")
	for _, l := range lines {
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

// sheet is a text being cut into pages: its lines, which of them a page must
// not begin with, and how many fit a page.
type sheet struct {
	all  [][]byte
	keep []bool
	room int
}

// paged sets the book for the width of the page and cuts it into volumes of
// pages. Numbers run on through the volumes; the blank back of a last leaf
// counts, so that odd numbers stay on right-hand pages.
func paged(e *write.Edition, o Options) []volume {
	out := brf.Write(e.Book, brf.Options{Width: o.Cells, NoBlank: o.NoBlank}, account.NewLedger(e.Book))
	s := sheet{all: lines(out.Data), room: o.Lines}
	s.keep = together(e.Book, out.Starts, len(s.all))
	if o.Numbers != "none" {
		s.room--
	}
	heads := headLines(e.Book, out.Starts)
	var volumes []volume
	n := 0
	for at := 0; ; {
		spans := s.volume(at, o.VolumePages, heads)
		if len(spans) == 0 {
			break
		}
		var v volume
		for _, p := range spans {
			n++
			v = append(v, numbered(s.all[p[0]:p[1]:p[1]], n, o))
		}
		if o.BothSides && n%2 == 1 {
			n++
		}
		volumes, at = append(volumes, v), spans[len(spans)-1][1]
	}
	return volumes
}

// volume cuts off the pages of the volume that begins at line at, most of them;
// with most 0 all that are left. A volume that is not the last ends before a
// heading of the highest level where its last fifth has one.
func (s *sheet) volume(at, most int, heads []headLine) [][2]int {
	spans := s.pages(at, len(s.all), most)
	if len(spans) == 0 || most == 0 || !s.more(spans[len(spans)-1][1]) {
		return spans
	}
	from, to := spans[len(spans)*4/5][0], spans[len(spans)-1][1]
	best := headLine{}
	for _, h := range heads {
		if h.line >= from && h.line <= to && (best.line == 0 || h.level <= best.level) {
			best = h
		}
	}
	if best.line > 0 {
		return s.pages(at, best.line, most)
	}
	return spans
}

// more says whether a line with cells is left from line at on.
func (s *sheet) more(at int) bool {
	return slices.ContainsFunc(s.all[at:], func(l []byte) bool { return len(l) > 0 })
}

// pages cuts the lines from at up to stop into pages, most of them or, with
// most 0, all; each is the first line and the one after the last. No page
// begins or ends with a blank line.
func (s *sheet) pages(at, stop, most int) [][2]int {
	var out [][2]int
	for at < stop && (most == 0 || len(out) < most) {
		if len(s.all[at]) == 0 {
			at++
			continue
		}
		end := min(at+s.room, stop)
		for end < stop && end > at+1 && s.keep[end] {
			end--
		}
		if end == at+1 { // nothing but lines that belong together
			end = min(at+s.room, stop)
		}
		last := end
		for len(s.all[last-1]) == 0 {
			last--
		}
		out = append(out, [2]int{at, last})
		at = end
	}
	return out
}

// headLine is where a heading begins: its line, from 0, and its level, 1 for
// the highest; a level that is not known comes after all others.
type headLine struct{ line, level int }

func headLines(b *book.Book, starts []int) []headLine {
	var out []headLine
	for i := range b.Blocks {
		bl := &b.Blocks[i]
		if bl.Kind != book.Heading || i > 0 && b.Blocks[i-1].Kind == book.Heading && !bl.Blank.Want {
			continue
		}
		level := int(bl.Level)
		if level == 0 {
			level = 256
		}
		line := starts[i] - 1
		for k := i - 1; k >= 0 && b.Blocks[k].Kind == book.Turn; k-- { // a print page turn before it goes with it
			line = starts[k] - 1
		}
		out = append(out, headLine{line, level})
	}
	return out
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
