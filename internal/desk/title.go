package desk

import (
	"net/url"
	"strings"

	"continuo/internal/catalogue"
	"continuo/internal/diag"
	"continuo/internal/lazy"
)

// titleData is what the page of a title shows.
type titleData struct {
	*catalogue.Detail
	Open    int // doubtful places that want a person's eye and have no answer
	Small   int // small doubts without one
	Map     *bookMap
	Trouble *problem // why it cannot be looked into
	Fresh   bool
	Found   []catalogue.Finding // as many as are shown
	More    int
	Heads   int
}

// maxFindings is how many findings a page shows.
const maxFindings = 60

// path is the address of a title's page.
func titlePath(key string) string { return "/title/" + url.PathEscape(key) }

// trail are the pages above one of a title.
func trail(x *catalogue.Detail) []crumb {
	return []crumb{{"/", "Archive"}, {titlePath(x.Key), nameOf(x)}}
}

// about says of a page which title it is about.
func about(x *catalogue.Detail, v *view) *view {
	v.Key, v.Lang = x.Key, langOf(x)
	return v
}

// languageTag is what a language may be called by (BCP 47).
var languageTag = lazy.Regexp(`^[A-Za-z]{2,8}(-[A-Za-z0-9]{1,8})*$`)

// langOf is the language of a title when its metadata name another than the pages'
// own.
func langOf(x *catalogue.Detail) string {
	for _, m := range x.Metadata {
		if m.Name == "language" && languageTag().MatchString(m.Value) && m.Value != "en" && !strings.HasPrefix(m.Value, "en-") {
			return m.Value
		}
	}
	return ""
}

func nameOf(x *catalogue.Detail) string {
	if x.Title.Title != "" {
		return x.Title.Title
	}
	return x.Key
}

func (d *Desk) titlePage(r *request) (*view, error) {
	x, err := d.show(r)
	if err != nil {
		return nil, err
	}
	data := &titleData{Detail: x, Found: x.Findings, Heads: len(x.Headings)}
	if len(data.Found) > maxFindings {
		data.Found, data.More = data.Found[:maxFindings], len(data.Found)-maxFindings
	}
	v := &view{Page: "title", Title: nameOf(x), Trail: trail(x)[:1], Data: data, Lang: langOf(x)}
	t, err := d.open(r.Context(), x)
	if err != nil {
		data.Trouble = problemOf(err)
		return v, nil
	}
	data.Map, data.Fresh, v.Variant = mapOf(t), t.fresh, t.variant()
	for _, q := range asked(t, true) {
		switch {
		case q.Open() && q.Severity == diag.Note:
			data.Small++
		case q.Open():
			data.Open++
		}
	}
	return v, nil
}

// headings lists the headings of the edition, with the line on which each is.
func (d *Desk) headings(r *request) (*view, error) {
	x, err := d.show(r)
	if err != nil {
		return nil, err
	}
	from := number(r.URL.Query().Get("from"), 0, 1<<30, 0)
	list := x.Headings[min(from, len(x.Headings)):]
	list = list[:min(len(list), perPage)]
	data := &struct {
		Key    string
		List   []catalogue.Heading
		Paging paging
	}{x.Key, list, pagesOf(r.URL, from, len(list), len(x.Headings))}
	v := about(x, &view{Page: "headings", Title: "Headings", Trail: trail(x), Data: data})
	if t, err := d.open(r.Context(), x); err == nil {
		v.Variant = t.variant()
	}
	return v, nil
}
