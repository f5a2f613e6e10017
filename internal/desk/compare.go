package desk

import (
	"fmt"
	"net/http"
	"strconv"

	"continuo/internal/book"
)

// compareData is one page of a paper volume and what became of it.
type compareData struct {
	Key           string
	Vol, Page     int // from 1
	From, To, Of  int // lines of the page that are shown, when not all are
	Volumes       []crumb
	Pages         int
	File          string
	Paper         []paperLine
	Edition       []edited
	Gap           bool // lines of the edition between are not shown
	Side          bool
	Before, After string
	Other         string // path of the other way to show it
	Read          string
}

// paperLine is a line of a source. What says what became of it, when it does not
// just stand in the edition.
type paperLine struct {
	Number int // on its page
	Cells  string
	Blank  bool
	What   string
	Path   string // its account
	To     []int  // lines of the edition
}

// comparePath is the path of a page, volume from 0 and page from 1, that shows the
// line on it, from 0.
func comparePath(key string, vol, page int, on int32) string {
	p := fmt.Sprintf("%s/compare?volume=%d&page=%d", titlePath(key), vol+1, page)
	if on >= maxLines {
		p += fmt.Sprintf("&from=%d", on/maxLines*maxLines)
	}
	return p
}

func linePath(key string, vol, line int) string {
	return fmt.Sprintf("%s/line?volume=%d&line=%d", titlePath(key), vol+1, line+1)
}

func (d *Desk) compare(r *request) (*view, error) {
	x, t, err := d.both(r)
	if err != nil {
		return nil, err
	}
	q := r.URL.Query()
	vol := number(q.Get("volume"), 1, len(t.files), 1) - 1
	page := number(q.Get("page"), 1, t.pages(vol), 1)
	data := &compareData{Key: x.Key, Vol: vol + 1, Page: page, Pages: t.pages(vol), File: t.files[vol].Name, Side: q.Get("view") != "after"}
	for i, f := range t.files {
		data.Volumes = append(data.Volumes, crumb{strconv.Itoa(i + 1), f.Name})
	}
	first, end := t.span(vol, page-1)
	from := int32(number(q.Get("from"), 0, int(end-first)-1, 0)) / maxLines * maxLines
	keep := ""
	if data.Other = comparePath(x.Key, vol, page, from); data.Side {
		data.Other += "&view=after"
	} else {
		keep = "&view=after"
	}
	if b := t.beside(x.Key, vol, page, from, -1); b != "" {
		data.Before = b + keep
	}
	if b := t.beside(x.Key, vol, page, from, 1); b != "" {
		data.After = b + keep
	}
	data.fill(t, first+from, min(end, first+from+maxLines))
	if end-first > maxLines {
		data.From, data.To, data.Of = int(from)+1, int(min(end-first, from+maxLines)), int(end-first)
	}
	return about(x, &view{Page: "compare", Title: fmt.Sprintf("Before and after: volume %d, page %d", vol+1, page), Trail: trail(x), Data: data, Variant: t.variant()}), nil
}

// beside is the path of what comes before or after a page, or the part of a long
// one that begins at a line; "" at the ends of the book.
func (t *title) beside(key string, vol, page int, from int32, step int) string {
	first, end := t.span(vol, page-1)
	if at := from + int32(step)*maxLines; at >= 0 && at < end-first {
		return comparePath(key, vol, page, at)
	}
	page += step
	switch {
	case page < 1 && vol == 0, page > t.pages(vol) && vol == len(t.files)-1:
		return ""
	case page < 1:
		vol--
		page = t.pages(vol)
	case page > t.pages(vol):
		vol, page = vol+1, 1
	}
	if first, end = t.span(vol, page-1); step > 0 {
		end = first + 1
	}
	return comparePath(key, vol, page, end-first-1)
}

// maxLines is how many lines of a page are shown at once: a file in which no pages
// can be told is one page.
const maxLines = 60

// fill puts lines of the page and those of the edition that hold their cells.
func (c *compareData) fill(t *title, from, end int32) {
	v := int32(c.Vol - 1)
	first, last := int32(-1), int32(-1)
	here := map[int32]bool{}
	for l := from; l < end; l++ {
		_, on := t.pageOf(int(v), l)
		c.Paper = append(c.Paper, t.paper(c.Key, v, l, int(on)+1))
		for _, to := range t.trace.to[v][l] {
			here[to] = true
			if first < 0 || to < first {
				first = to
			}
			last = max(last, to)
		}
	}
	if first < 0 {
		return
	}
	c.Read = fmt.Sprintf("%s/read?line=%d", titlePath(c.Key), first+1)
	for l := first; l <= last; l++ {
		if !here[l] && !(l > first && here[l-1] && len(t.trace.lines[l]) == 0) {
			c.Gap = true // moved matter stands far away
			continue
		}
		c.Edition = append(c.Edition, edited{int(l) + 1, string(t.trace.lines[l]), here[l]})
	}
}

// paper is a line of a source with what became of it.
func (t *title) paper(key string, vol, line int32, number int) paperLine {
	text := t.files[vol].Text(int(line))
	out := paperLine{Number: number, Cells: string(text), Blank: len(text) == 0, Path: linePath(key, int(vol), int(line))}
	for _, l := range t.trace.to[vol][line] {
		out.To = append(out.To, int(l)+1)
	}
	if out.Blank {
		return out
	}
	b := t.res.Book
	switch id := b.Out[vol][line]; {
	case id != 0:
		out.What = "left out: " + b.Reasons[id].Why
	case len(b.Cuts[vol][line]) > 0:
		out.What = "part of it left out: " + b.Reasons[b.Cuts[vol][line][0].Reason].Why
	default:
		out.What = t.touched(vol, line)
	}
	return out
}

// touched says whether cells of a line were replaced or moved.
func (t *title) touched(vol, line int32) string {
	b := t.res.Book
	for _, k := range t.trace.blocks[vol][line] {
		bl := &b.Blocks[k]
		if bl.Moved != 0 {
			return "moved: " + b.Reasons[bl.Moved].Why
		}
		for _, p := range bl.Pieces {
			if p.Vol == vol && p.Line == line && p.Tool != nil {
				return "replaced: " + why(b, p.Reason)
			}
		}
	}
	return ""
}

func why(b *book.Book, id book.ReasonID) string {
	if id <= 0 || int(id) >= len(b.Reasons) {
		return "no reason is noted"
	}
	return b.Reasons[id].Why
}

// lineData is the account of one line, of a source or of the edition.
type lineData struct {
	Key      string
	Paper    *paperLine
	Where    string
	Compare  string
	Facts    []fact
	Edition  []edited
	Sources  []paperLine
	Written  []fact // what the tool wrote on a line of the edition
	Before   string
	After    string
	OfSource bool
	Volumes  []crumb // numbers and names
	Vol      int     // that of the line, from 1
	Number   int     // of the line in its volume or the edition
	Lines    int     // of the edition
}

// fact is one thing about a line.
type fact struct{ What, Why, Evidence, Cells string }

// account is the account of a line: ?volume=1&line=12 of a source, ?edition=12 of
// the edition.
func (d *Desk) account(r *request) (*view, error) {
	x, t, err := d.both(r)
	if err != nil {
		return nil, err
	}
	q := r.URL.Query()
	data := &lineData{Key: x.Key, Lines: len(t.trace.lines), Vol: 1, Number: 1}
	for i, f := range t.files {
		data.Volumes = append(data.Volumes, crumb{strconv.Itoa(i + 1), fmt.Sprintf("%s, %s", f.Name, count(len(f.Lines), "line"))})
	}
	v := about(x, &view{Page: "line", Trail: trail(x), Data: data, Variant: t.variant()})
	if n := number(q.Get("edition"), 1, len(t.trace.lines), 0); n > 0 {
		v.Title = fmt.Sprintf("Account of line %d of the edition", n)
		data.Number = n
		data.ofEdition(t, n-1)
		return v, nil
	}
	vol := number(q.Get("volume"), 1, len(t.files), 0) - 1
	if vol < 0 {
		return nil, noLine
	}
	line := number(q.Get("line"), 1, len(t.files[vol].Lines), 0) - 1
	if line < 0 {
		return nil, noLine
	}
	v.Title = fmt.Sprintf("Account of line %d of volume %d", line+1, vol+1)
	data.Vol, data.Number = vol+1, line+1
	data.ofSource(t, vol, line)
	return v, nil
}

var noLine = &problem{http.StatusNotFound, "there is no such line in this title", "the pages of before and after lead to every line"}

func (l *lineData) ofSource(t *title, vol, line int) {
	f := t.files[vol]
	page, on := t.pageOf(vol, int32(line))
	p := t.paper(l.Key, int32(vol), int32(line), int(on)+1)
	l.OfSource, l.Paper, l.Where = true, &p, fmt.Sprintf("%s, page %d, line %d", f.Name, page+1, on+1)
	l.Compare = comparePath(l.Key, vol, page+1, on)
	if line > 0 {
		l.Before = linePath(l.Key, vol, line-1)
	}
	if line+1 < len(f.Lines) {
		l.After = linePath(l.Key, vol, line+1)
	}
	l.fates(t, int32(vol), int32(line))
	for _, n := range p.To {
		l.Edition = append(l.Edition, edited{n, string(t.trace.lines[n-1]), true})
	}
}

// fates are what became of a line, with the reasons as the account has them.
func (l *lineData) fates(t *title, vol, line int32) {
	b := t.res.Book
	text := string(t.files[vol].Text(int(line)))
	if id := b.Out[vol][line]; id != 0 {
		l.Facts = append(l.Facts, factOf(b, "left out whole", id, text))
	}
	for _, c := range b.Cuts[vol][line] {
		l.Facts = append(l.Facts, factOf(b, "left out of the line", c.Reason, part(text, c.From, c.To)))
	}
	for _, k := range t.trace.blocks[vol][line] {
		bl := &b.Blocks[k]
		if bl.Moved != 0 {
			l.Facts = append(l.Facts, factOf(b, "moved to another place", bl.Moved, ""))
		}
		for _, p := range bl.Pieces {
			if p.Vol != vol || p.Line != line {
				continue
			}
			if p.Tool != nil {
				l.Facts = append(l.Facts, factOf(b, "replaced by "+string(p.Tool), p.Reason, part(text, p.From, p.To)))
			}
			if p.Join != 0 {
				l.Facts = append(l.Facts, factOf(b, "joined to what stands before it", p.Join, ""))
			}
		}
	}
}

func part(s string, from, to int32) string {
	n := int32(len(s))
	return s[min(max(from, 0), n):min(max(to, from, 0), n)]
}

func factOf(b *book.Book, what string, id book.ReasonID, cells string) fact {
	f := fact{What: what, Why: why(b, id), Cells: cells}
	if id > 0 && int(id) < len(b.Reasons) {
		r := b.Reasons[id]
		f.Evidence = r.Evidence
		if r.Confidence > 0 {
			f.Evidence += fmt.Sprintf("; confidence %.2f", r.Confidence)
		}
	}
	return f
}

func (l *lineData) ofEdition(t *title, line int) {
	b := t.res.Book
	l.Edition = []edited{{line + 1, string(t.trace.lines[line]), true}}
	l.Where = fmt.Sprintf("edition, line %d of %d", line+1, len(t.trace.lines))
	at := func(n int) string { return fmt.Sprintf("%s/line?edition=%d", titlePath(l.Key), n+1) }
	if line > 0 {
		l.Before = at(line - 1)
	}
	if line+1 < len(t.trace.lines) {
		l.After = at(line + 1)
	}
	for _, s := range t.trace.from[line] {
		_, on := t.pageOf(int(s.vol), s.line)
		l.Sources = append(l.Sources, t.paper(l.Key, s.vol, s.line, int(on)+1))
	}
	if k := t.trace.block[line]; k >= 0 {
		for _, p := range b.Blocks[k].Pieces {
			if p.Tool != nil {
				l.Written = append(l.Written, factOf(b, "written by the program in this paragraph", p.Reason, string(p.Tool)))
			}
		}
	}
}
