package meta

import (
	"fmt"
	"strings"
)

// TOML returns t as a metadata file: what Parse reads as t again, in the order
// of the keys, with nothing for what was not given.
func (t Title) TOML() []byte {
	w := &writer{}
	w.b.WriteString("# Metadata of one title, for Continuo.\n")
	w.line("title", t.Title)
	w.line("language", t.Language)
	w.list("identifiers", t.Identifiers)
	w.list("producers", t.Producers)
	w.line("publisher", t.Publisher)
	w.line("rights", t.Rights)
	w.list("subjects", t.Subjects)
	w.line("description", t.Description)
	if t.Complete != "" {
		fmt.Fprintf(&w.b, "complete = %s\n", t.Complete)
	}
	w.line("modified", t.Modified)
	w.list("system", t.Systems)
	w.table("[dates]", "copyright", t.Dates.Copyright, "publication", t.Dates.Publication, "transcription", t.Dates.Transcription)
	for _, c := range t.Creators {
		w.table("[[creator]]", "name", c.Name, "role", c.Role, "sort", c.Sort)
	}
	s := t.Source
	w.table("[source]", "identifier", s.Identifier, "title", s.Title, "publisher", s.Publisher, "date", s.Date, "edition", s.Edition)
	return []byte(w.b.String())
}

type writer struct{ b strings.Builder }

func (w *writer) line(key, value string) {
	if value != "" {
		fmt.Fprintf(&w.b, "%s = %s\n", key, quote(value))
	}
}

func (w *writer) list(key string, values []string) {
	var out []string
	for _, v := range values {
		out = append(out, quote(v))
	}
	if len(out) > 0 {
		fmt.Fprintf(&w.b, "%s = [%s]\n", key, strings.Join(out, ", "))
	}
}

// table writes a table of pairs of key and value, when a value was given.
func (w *writer) table(head string, pairs ...string) {
	all := ""
	for i := 1; i < len(pairs); i += 2 {
		all += pairs[i]
	}
	if all == "" {
		return
	}
	fmt.Fprintf(&w.b, "\n%s\n", head)
	for i := 0; i < len(pairs); i += 2 {
		w.line(pairs[i], pairs[i+1])
	}
}

// Comments are the comment lines of a metadata file that a person wrote: not
// those of Offer and TOML.
func Comments(text []byte) []string {
	own := map[string]bool{"# Metadata of one title, for Continuo.": true}
	for _, l := range strings.Split(string(Offer(nil)), "\n") {
		own[strings.TrimSpace(l)] = true
	}
	var out []string
	for _, l := range strings.Split(string(text), "\n") {
		l = strings.TrimSpace(l)
		if strings.HasPrefix(l, "# ") && !own[l] && !strings.HasPrefix(l, "# to confirm, ") {
			out = append(out, l)
		}
	}
	return out
}

// About says what a key of the file is, in a sentence; "" for none.
func About(key string) string {
	for _, k := range keys {
		if k.key == key {
			return k.about
		}
	}
	return ""
}
