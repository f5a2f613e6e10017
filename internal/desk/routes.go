package desk

import (
	"errors"
	"net/http"

	"continuo/internal/catalogue"
)

// A route is one page, or one thing that can be done. Pattern is that of
// net/http without the method. Show answers GET and HEAD with a view; do answers
// POST and returns the path to go to. A route with a nav label stands in the
// navigation of every page.
type route struct {
	pattern string
	nav     string
	show    func(*Desk, *request) (*view, error)
	do      func(*Desk, *request) (to string, err error)
}

// table is every page of the desk.
func table() []route {
	return []route{
		{pattern: "/{$}", nav: "Archive", show: (*Desk).overview},
		{pattern: "/title/{key}", show: (*Desk).titlePage},
		{pattern: "/title/{key}/headings", show: (*Desk).headings},
		{pattern: "/title/{key}/places", show: (*Desk).places},
		{pattern: "/title/{key}/place/{id}", show: (*Desk).place, do: (*Desk).decide},
		{pattern: "/title/{key}/place/{id}/rule", show: (*Desk).rule, do: (*Desk).storeRule},
		{pattern: "/title/{key}/compare", show: (*Desk).compare},
		{pattern: "/title/{key}/line", show: (*Desk).account},
		{pattern: "/title/{key}/read", show: (*Desk).read},
		{pattern: "/title/{key}/find", show: (*Desk).find},
		{pattern: "/title/{key}/metadata", show: (*Desk).metadata, do: (*Desk).saveMetadata},
		{pattern: "/shelf", nav: "Shelf", show: (*Desk).shelfPage, do: (*Desk).buildShelf},
		{pattern: "/shelf/job/{number}", show: (*Desk).jobPage},
		{pattern: "/shelf/job/{number}/download", show: (*Desk).download},
		{pattern: "/requests", nav: "Requests", show: (*Desk).requests, do: (*Desk).addRequest},
		{pattern: "/request/{id}", show: (*Desk).request, do: (*Desk).setRequest},
		{pattern: "/request/{id}/send", do: (*Desk).sendRequest},
		{pattern: "/profiles", nav: "Profiles", show: (*Desk).profilesPage},
		{pattern: "/profile/{id}", show: (*Desk).profilePage, do: (*Desk).saveProfile},
		{pattern: "/settings", nav: "Settings", show: (*Desk).settingsPage, do: (*Desk).saveSettings},
		{pattern: "/help", nav: "Help", show: (*Desk).help},
		{pattern: "/settings/braille", do: (*Desk).saveBraille},
	}
}

// routes puts the table into a multiplexer.
func (d *Desk) routes() *http.ServeMux {
	m := http.NewServeMux()
	m.HandleFunc("GET "+stylePath, style)
	m.HandleFunc("GET "+iconPath, icon)
	for _, r := range table() {
		m.HandleFunc(r.pattern, func(w http.ResponseWriter, hr *http.Request) { d.answer(w, requestOf(hr), r) })
	}
	m.HandleFunc("/", func(w http.ResponseWriter, hr *http.Request) {
		d.fail(w, requestOf(hr), &problem{http.StatusNotFound, "there is no such page", "the archive page lists all titles"})
	})
	return m
}

// answer shows a page or does what was asked.
func (d *Desk) answer(w http.ResponseWriter, r *request, to route) {
	post := r.Method == http.MethodPost
	if post && to.do == nil || !post && to.show == nil {
		d.fail(w, r, &problem{http.StatusMethodNotAllowed, "this page does not take this kind of request", "go back to the archive page"})
		return
	}
	r.w = w
	if !post {
		v, err := to.show(d, r)
		if err != nil {
			d.fail(w, r, problemOf(err))
			return
		}
		if v != nil { // else it answered itself
			d.render(w, r, http.StatusOK, v)
		}
		return
	}
	if p := d.form(r); p != nil {
		d.fail(w, r, p)
		return
	}
	where, err := to.do(d, r)
	if a := (*again)(nil); errors.As(err, &a) {
		d.render(w, r, http.StatusUnprocessableEntity, a.view)
		return
	}
	if err != nil {
		d.fail(w, r, problemOf(err))
		return
	}
	http.Redirect(w, r.Request, where, http.StatusSeeOther)
}

// problem is an error that a page tells: what happened and what to do.
type problem struct {
	status     int
	What, Hint string
}

func (p *problem) Error() string { return p.What }

// problemOf is the problem of any error.
func problemOf(err error) *problem {
	var p *problem
	switch {
	case errors.As(err, &p):
		return p
	case errors.Is(err, catalogue.ErrNotFound):
		return &problem{http.StatusNotFound, err.Error(), "the archive page lists all titles"}
	}
	return &problem{http.StatusInternalServerError, err.Error(), "nothing was changed; continuo archive verify looks the archive over"}
}
