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

// settingsPage is the form of what a person can set.
func (d *Desk) settingsPage(*request) (*view, error) {
	return &view{Page: "settings", Title: "Settings"}, nil
}

func (d *Desk) saveSettings(r *request) (string, error) {
	p := r.prefs
	p.Braille, p.Who = r.PostForm.Get("braille"), strings.TrimSpace(r.PostForm.Get("who"))
	n, err := strconv.Atoi(strings.TrimSpace(r.PostForm.Get("cells")))
	switch {
	case !isShown(p.Braille):
		return "", &problem{http.StatusBadRequest, "braille cannot be shown in this way", "choose cells, Braille ASCII or print"}
	case err != nil || n < 1 || n > maxDisplay:
		return "", &problem{http.StatusBadRequest, "the number of cells must be 1 to 200", "go back and write the number of cells of your display"}
	case wordsFault(p.Who) != "":
		return "", &problem{http.StatusBadRequest, "the name " + wordsFault(p.Who), "go back and write another"}
	}
	p.Cells = n
	d.keepPrefs(r, p)
	return "/settings?done=settings", nil
}
