package desk

import (
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// prefs are what a person set for this browser; they stand in a cookie.
type prefs struct {
	Braille string // cells, ascii or print
	Cells   int    // cells of the display that the edition is read on
	Who     string // who decides
}

// shown are the ways in which braille can be shown, with their words.
var shown = []crumb{{"cells", "Braille cells"}, {"ascii", "Braille ASCII"}, {"print", "Print"}}

const (
	maxDisplay = 200
	maxWords   = 200 // letters of a name or a reason
	oneYear    = 365 * 24 * 3600
)

// prefsOf reads the cookie; what is not right in it is as if it were not there.
func (d *Desk) prefsOf(r *http.Request) prefs {
	p := prefs{Braille: "cells", Cells: 40, Who: d.o.Who}
	c, err := r.Cookie(d.cookieName("view"))
	if err != nil {
		return p
	}
	q, err := url.ParseQuery(c.Value)
	if err != nil {
		return p
	}
	if b := q.Get("braille"); isShown(b) {
		p.Braille = b
	}
	if n, err := strconv.Atoi(q.Get("cells")); err == nil && n >= 1 && n <= maxDisplay {
		p.Cells = n
	}
	if w := q.Get("who"); w != "" && wordsFault(w) == "" {
		p.Who = w
	}
	return p
}

func isShown(name string) bool {
	return slices.ContainsFunc(shown, func(c crumb) bool { return c.Path == name })
}

// wordsFault says what is wrong with a name or a reason, "" when nothing is.
func wordsFault(w string) string {
	switch {
	case !utf8.ValidString(w) || strings.ContainsFunc(w, unicode.IsControl):
		return "has signs that cannot be written"
	case utf8.RuneCountInString(w) > maxWords:
		return "is too long"
	}
	return ""
}

func (d *Desk) keepPrefs(r *request, p prefs) {
	q := url.Values{"braille": {p.Braille}, "cells": {strconv.Itoa(p.Cells)}}
	if p.Who != "" {
		q.Set("who", p.Who)
	}
	d.setCookie(r.w, "view", q.Encode(), oneYear)
}

// Shown lists the ways in which braille can be shown.
func (s *screen) Shown() []crumb { return shown }

// saveBraille is the switch that stands on every page.
func (d *Desk) saveBraille(r *request) (string, error) {
	p := r.prefs
	if p.Braille = r.PostForm.Get("braille"); !isShown(p.Braille) {
		return "", &problem{http.StatusBadRequest, "braille cannot be shown in this way", "choose cells, Braille ASCII or print"}
	}
	d.keepPrefs(r, p)
	return local(r.PostForm.Get("back")), nil
}

// local is a path of the desk; anything else leads to the first page.
func local(to string) string {
	u, err := url.Parse(to)
	if err != nil || u.IsAbs() || u.Host != "" || !strings.HasPrefix(u.Path, "/") || strings.HasPrefix(u.Path, "//") || strings.ContainsAny(to, "\\\r\n\t") {
		return "/"
	}
	return to
}

// settingsData is the form of what a person can set.
type settingsData struct {
	Form  url.Values
	Wrong []wrong
}

// Why is what is wrong with a field.
func (d *settingsData) Why(id string) string { return whyOf(d.Wrong, id) }

func (d *settingsData) view() *view { return &view{Page: "settings", Title: "Settings", Data: d} }

func (d *Desk) settingsPage(r *request) (*view, error) {
	p := r.prefs
	return (&settingsData{Form: url.Values{"braille": {p.Braille}, "cells": {strconv.Itoa(p.Cells)}, "who": {p.Who}}}).view(), nil
}

func (d *Desk) saveSettings(r *request) (string, error) {
	data := &settingsData{Form: r.PostForm}
	bad := func(id, label, why string) { data.Wrong = append(data.Wrong, wrong{id, label, why}) }
	p := r.prefs
	p.Braille, p.Who = r.PostForm.Get("braille"), strings.TrimSpace(r.PostForm.Get("who"))
	if !isShown(p.Braille) {
		bad("b-cells", "Braille is shown as", "choose cells, Braille ASCII or print")
	}
	n, err := strconv.Atoi(strings.TrimSpace(r.PostForm.Get("cells")))
	if err != nil || n < 1 || n > maxDisplay {
		bad("cells", "Cells of the display", "write the number of cells of your display, 1 to "+strconv.Itoa(maxDisplay))
	}
	if why := wordsFault(p.Who); why != "" {
		bad("who", "Your name", "the name "+why+"; write another")
	}
	if len(data.Wrong) > 0 {
		return "", &again{data.view()}
	}
	p.Cells = n
	d.keepPrefs(r, p)
	return "/settings?done=settings", nil
}
