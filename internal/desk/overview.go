package desk

import (
	"context"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"sync"

	"continuo/internal/batch"
	"continuo/internal/catalogue"
)

// perPage is how many titles or places a page lists.
const perPage = 50

// overviewData is what the archive page shows.
type overviewData struct {
	Stats   *catalogue.Stats
	States  []stateLink
	Page    catalogue.Page
	Query   url.Values
	Wrong   string // what is wrong with the search
	Sorts   []crumb
	Paging  paging
	Run     *runData
	Wanting bool // titles that want a look are there and the list is not theirs
}

type stateLink struct {
	Name, Words, Path string
	Count             int
	Here              bool
}

// runData is how far a run is.
type runData struct {
	*catalogue.Run
	Going bool
	Made  int // titles made since it began
}

// paging are the links to the parts of a list.
type paging struct {
	First, Last, Total int
	Before, After      string // paths, "" none
}

// stateWords say what a state is.
var stateWords = map[catalogue.State]string{
	catalogue.Stop: "a volume is missing, damaged or foreign, or there is no edition", catalogue.Look: "some places want a person",
	catalogue.Ready: "proved complete, and no doubt keeps it back", catalogue.New: "found, not converted yet",
}

// sortNames are the orders of the list.
var sortNames = []crumb{{"", "what asks most first"}, {"key", "title number"}, {"title", "title"}, {"author", "author"}, {"confidence", "confidence, lowest first"}, {"made", "when it was made"}, {"pages", "pages"}}

func (d *Desk) overview(r *request) (*view, error) {
	ctx := r.Context()
	stats, err := d.stats(ctx)
	if err != nil {
		return nil, err
	}
	q := r.URL.Query()
	data := &overviewData{Stats: stats, Query: q, Sorts: sortNames}
	f := filterOf(q)
	if data.Page, f, err = d.list(ctx, f); err != nil {
		if q.Get("text") == "" {
			return nil, &problem{http.StatusBadRequest, err.Error(), "go back to the archive page"}
		}
		data.Wrong = err.Error()
	}
	data.States = stateLinks(stats, q)
	data.Paging = pagesOf(r.URL, f.Offset, len(data.Page.Titles), data.Page.Total)
	if data.Run, err = d.running(r, stats.LastRun); err != nil {
		return nil, err
	}
	return &view{Page: "overview", Title: "Archive", Data: data}, nil
}

// filterOf reads a filter off an address.
func filterOf(q url.Values) catalogue.Filter {
	f := catalogue.Filter{Text: cut(q.Get("text")), Code: cut(q.Get("code")), Finding: cut(q.Get("finding")), Author: cut(q.Get("author")), Subject: cut(q.Get("subject")), Sort: q.Get("sort"), Limit: perPage, Offset: number(q.Get("from"), 0, 1<<30, 0)}
	for _, s := range q["state"] {
		if s != "" {
			f.States = append(f.States, catalogue.State(s))
		}
	}
	return f
}

// list lists the titles that a filter means. Words that no title has are taken as the
// beginning of a title number; the filter that was used comes back.
func (d *Desk) list(ctx context.Context, f catalogue.Filter) (catalogue.Page, catalogue.Filter, error) {
	page, err := d.cat.List(ctx, f)
	if err != nil || page.Total > 0 || f.Text == "" {
		return page, f, err
	}
	byKey := f
	if byKey.Key, byKey.Text = strings.TrimSpace(f.Text), ""; byKey.Sort == "match" {
		byKey.Sort = ""
	}
	other, err := d.cat.List(ctx, byKey)
	if err != nil || other.Total == 0 {
		return page, f, err
	}
	return other, byKey, nil
}

// cut is at most 200 bytes of what a person typed.
func cut(s string) string { return s[:min(len(s), 200)] }

// number reads a number between two others; anything else is or.
func number(s string, least, most, or int) int {
	n, err := strconv.Atoi(s)
	if err != nil || n < least || n > most {
		return or
	}
	return n
}

func stateLinks(s *catalogue.Stats, q url.Values) []stateLink {
	var out []stateLink
	for _, st := range catalogue.States() {
		n := 0
		for _, c := range s.States {
			if c.Name == string(st) {
				n = c.Count
			}
		}
		out = append(out, stateLink{string(st), stateWords[st], "/?state=" + string(st), n, slices.Equal(q["state"], []string{string(st)})})
	}
	return out
}

// pagesOf makes the links of a list that begins at offset.
func pagesOf(u *url.URL, offset, n, total int) paging {
	p := paging{First: min(offset+1, total), Last: offset + n, Total: total}
	at := func(from int) string {
		q := u.Query()
		q.Del("done")
		q.Set("from", strconv.Itoa(from))
		return u.EscapedPath() + "?" + q.Encode()
	}
	if offset > 0 {
		p.Before = at(max(0, offset-perPage))
	}
	if offset+n < total && n > 0 {
		p.After = at(offset + n)
	}
	return p
}

// counted are the figures of the archive and the version of the catalogue that they
// are of.
type counted struct {
	mu      sync.Mutex
	version int64
	stats   *catalogue.Stats
}

// stats are the figures of the archive; they are counted again when somebody has written
// to the catalogue.
func (d *Desk) stats(ctx context.Context) (*catalogue.Stats, error) {
	d.counted.mu.Lock()
	defer d.counted.mu.Unlock()
	v, err := d.cat.Version(ctx)
	if err != nil {
		return nil, err
	}
	if d.counted.stats == nil || d.counted.version != v {
		if d.counted.stats, err = d.cat.Stats(ctx); err != nil {
			return nil, err
		}
		d.counted.version = v
	}
	return d.counted.stats, nil
}

// help says how to work with the desk.
func (d *Desk) help(*request) (*view, error) {
	data := &struct{ States []stateLink }{}
	for _, s := range catalogue.States() {
		data.States = append(data.States, stateLink{Name: string(s), Words: stateWords[s]})
	}
	return &view{Page: "help", Title: "Help", Data: data}, nil
}

// running says how far the last run is when it did not end: it goes on, or was
// stopped.
func (d *Desk) running(r *request, last *catalogue.Run) (*runData, error) {
	if last == nil || last.Ended != "" {
		return nil, nil
	}
	made, err := d.cat.List(r.Context(), catalogue.Filter{Since: last.Started, Limit: 1})
	return &runData{Run: last, Going: batch.Running(d.cat.Folder()), Made: made.Total}, err
}
