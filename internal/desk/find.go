package desk

import (
	"fmt"
	"net/url"
	"strings"

	"continuo/internal/cell"
	"continuo/internal/english"
	"continuo/internal/finders"
)

// findData is the page of search strings and of a try-out.
type findData struct {
	Key     string
	Classes []classLink
	Group   *finders.Group // the class that is listed
	Rows    []finders.Row
	Paging  paging
	Text    string // as typed
	As      string // print or cells
	From    int
	Lines   int
	Wrong   string
	Try     *tried
}

type classLink struct {
	Name, Path      string
	Places, Promise int
	Here            bool
}

// tried is where a string lands.
type tried struct {
	Search string // canonical cells
	Hits   []landed
	Total  int
	More   int
	Over   bool // the first hit goes over a line end
}

// landed is one hit: the line in three parts, the found cells in the middle.
type landed struct {
	Line                  int
	Before, Found, Behind string
	Over                  bool
	Under                 string // the last heading before it, in print
	Read, Account         string
}

// maxHits is how many hits a try-out shows.
const maxHits = 5

func (d *Desk) find(r *request) (*view, error) {
	x, t, err := d.both(r)
	if err != nil {
		return nil, err
	}
	q := r.URL.Query()
	data := &findData{Key: x.Key, Text: cut(q.Get("text")), As: q.Get("as"), Lines: len(t.trace.lines), From: number(q.Get("line"), 1, len(t.trace.lines), 1)}
	if data.As != "cells" {
		data.As = "print"
	}
	data.list(t, r.URL)
	if strings.TrimSpace(data.Text) != "" {
		data.try(t)
	}
	return about(x, &view{Page: "find", Title: "Finding places", Trail: trail(x), Data: data, Variant: t.variant()}), nil
}

// list takes a part of the search strings of one class.
func (d *findData) list(t *title, u *url.URL) {
	groups := t.finders().Groups(true)
	want := u.Query().Get("class")
	for i := range groups {
		g := &groups[i]
		here := g.ID == want || want == "" && i == 0
		d.Classes = append(d.Classes, classLink{g.Class, titlePath(d.Key) + "/find?class=" + url.QueryEscape(g.ID) + "#list", g.Targets, g.Promised, here})
		if here {
			d.Group = g
		}
	}
	if d.Group != nil {
		from := min(number(u.Query().Get("from"), 0, 1<<30, 0), len(d.Group.Rows))
		d.Rows = d.Group.Rows[from:min(len(d.Group.Rows), from+perPage)]
		d.Paging = pagesOf(u, from, len(d.Rows), len(d.Group.Rows))
	}
}

// try searches the edition for what was typed.
func (d *findData) try(t *title) {
	search, err := typed(d.Text, d.As, t.variant())
	if err != nil {
		d.Wrong = err.Error()
		return
	}
	hits, total := finders.Try(t.trace.lines, search, d.From, maxHits)
	d.Try = &tried{Search: string(search), Total: total, More: total - len(hits)}
	for _, h := range hits {
		d.Try.Hits = append(d.Try.Hits, d.landed(t, h))
	}
	d.Try.Over = len(hits) > 0 && hits[0].Over
}

func (d *findData) landed(t *title, h finders.Hit) landed {
	l := string(t.trace.lines[h.Line-1])
	from, to := min(h.From, len(l)), min(h.To, len(l))
	out := landed{Line: h.Line, Before: l[:from], Found: l[from:to], Behind: l[to:], Over: h.Over}
	out.Read = fmt.Sprintf("%s/read?line=%d", titlePath(d.Key), h.Line)
	out.Account = fmt.Sprintf("%s/line?edition=%d", titlePath(d.Key), h.Line)
	f := t.finders()
	for i := range f.Finders {
		if f.Finders[i].Class == finders.Heading && f.Finders[i].Line <= h.Line {
			out.Under = f.Print(&f.Finders[i])
		}
	}
	return out
}

// typed are the cells that a person meant: print written in the code of the book,
// or cells as Unicode braille or Braille ASCII, blanks at the start included.
func typed(text, as string, v english.Variant) ([]byte, error) {
	if as == "print" {
		if v.Code == english.UnknownCode {
			v.Code = english.UEB
		}
		out, err := english.Write(strings.TrimSpace(text), v)
		if err != nil {
			return nil, fmt.Errorf("this cannot be written in the code of the book: %w", err)
		}
		return out, nil
	}
	var out []byte
	for _, c := range text {
		b, ok := cell.FromRune(c)
		if !ok && c < 0x80 {
			b, ok = cell.Fold(byte(c))
		}
		if !ok {
			return nil, fmt.Errorf("%q is no braille cell and no sign of Braille ASCII", c)
		}
		out = append(out, b)
	}
	return out, nil
}
