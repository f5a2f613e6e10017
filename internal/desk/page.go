package desk

import (
	"bytes"
	"context"
	"embed"
	"html/template"
	"io/fs"
	"net/http"
	"net/url"
	"path"
	"strings"

	"continuo/internal/batch"
	"continuo/internal/cell"
	"continuo/internal/english"
)

//go:embed templates desk.css
var files embed.FS

const stylePath = "/desk.css"

// style answers with the one stylesheet.
func style(w http.ResponseWriter, _ *http.Request) {
	text, _ := files.ReadFile("desk.css") // embedded: it is there
	w.Header().Set("Content-Type", "text/css; charset=utf-8")
	w.Header().Set("Cache-Control", "private, max-age=3600")
	w.Write(text)
}

// request is a request with what is known of who asks.
type request struct {
	*http.Request
	w     http.ResponseWriter
	desk  *Desk
	prefs prefs
}

type ctxKey struct{}

func with(ctx context.Context, r *request) context.Context {
	return context.WithValue(ctx, ctxKey{}, r)
}

// requestOf is the request as the guard made it, with what the multiplexer
// found in the path.
func requestOf(r *http.Request) *request {
	q := *r.Context().Value(ctxKey{}).(*request)
	q.Request = r
	return &q
}

// view is what a handler returns: the name of its template, the heading of the
// page, the pages above it and the data of the template, there called .Data.
type view struct {
	Page    string // name of the template's file without its ending
	Title   string // heading and title of the page
	Trail   []crumb
	Data    any
	Variant english.Variant // the code that cells on the page are read in
	Lang    string          // language of print that was read off braille, "" for that of the page
	Key     string          // the title that the page is about, "" none
}

// crumb is a page above another one.
type crumb struct{ Path, Name string }

// screen is what templates see: the view and all that stands around it.
type screen struct {
	*view
	Nav    []crumb
	Here   string // path of the page
	Back   string // path with the query, to come back to
	Prefs  prefs
	Token  string
	Done   string // what was just done, in words
	Locked bool   // not let in: no navigation
}

// done are the words of what was just done; a page is told the name only.
var done = map[string]string{
	"decided":    "The decision is noted in the file of decisions of this title. The next run makes the edition with it.",
	"decidedall": "The decision is noted in the file of decisions of this title, for all its places with the same words. The next run makes the edition with it.",
	"undoneall":  "The decision is taken back at all places of this title with the same words. The next run makes the edition without it.",
	"undone":     "The decision is taken back. The next run makes the edition without it.",
	"rule":       "The house rule is stored in the profile. The next run applies it to all titles.",
	"metadata":   "The metadata are saved. The next run puts them into editions that carry metadata.",
	"request":    "The request is in the queue.",
	"waits":      "The same request is in the queue already.",
	"requestset": "The change of the request is kept.",
	"profile":    "The profile is saved. The next run makes the titles anew with it, when it is the one in use.",
	"copied":     "The copy is made. It can be changed here.",
	"used":       "The next run uses this profile.",
	"settings":   "The settings are kept in this browser.",
}

// faultList is what the template "faults" shows: what was not done, and why.
type faultList struct {
	Title string
	List  []wrong
}

func titled(title string, list []wrong) faultList { return faultList{title, list} }

// parsePages reads every template together with the layout.
func parsePages() (map[string]*template.Template, error) {
	funcs := template.FuncMap{"add": func(a, b int) int { return a + b }, "key": url.PathEscape, "marked": marked, "titled": titled}
	base, err := template.New("layout.html").Funcs(funcs).Funcs(words()).ParseFS(files, "templates/layout.html", "templates/parts.html")
	if err != nil {
		return nil, err
	}
	names, err := fs.Glob(files, "templates/*.html")
	if err != nil {
		return nil, err
	}
	out := map[string]*template.Template{}
	for _, n := range names {
		name := strings.TrimSuffix(path.Base(n), ".html")
		if name == "layout" || name == "parts" {
			continue
		}
		t, err := base.Clone()
		if err == nil {
			out[name], err = t.ParseFS(files, n)
		}
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

// render writes a page whole, or an error in its place.
func (d *Desk) render(w http.ResponseWriter, r *request, status int, v *view) {
	s := &screen{view: v, Here: r.URL.Path, Back: backOf(r.URL), Prefs: r.prefs, Done: done[r.URL.Query().Get("done")], Locked: d.session(r.Request) == ""}
	if !s.Locked {
		s.Token = d.formToken(r.Request)
		for _, x := range table() {
			if x.nav != "" {
				s.Nav = append(s.Nav, crumb{strings.TrimSuffix(x.pattern, "{$}"), x.nav})
			}
		}
	}
	var b bytes.Buffer
	if err := d.pages[v.Page].ExecuteTemplate(&b, "layout.html", s); err != nil {
		http.Error(w, "continuo: error: internal fault in a page: "+err.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	w.Write(b.Bytes())
}

// backOf is the path of a page with its query, without what was just done.
func backOf(u *url.URL) string {
	q := u.Query()
	q.Del("done")
	if len(q) == 0 {
		return u.EscapedPath()
	}
	return u.EscapedPath() + "?" + q.Encode()
}

// fail answers with a page that tells a problem, and leads back to where it can be
// mended.
func (d *Desk) fail(w http.ResponseWriter, r *request, p *problem) {
	title, back := "This cannot be shown", ""
	if r.Method == http.MethodPost {
		title = "This was not done"
		for _, x := range table() {
			if x.show != nil && x.do != nil && r.Pattern == x.pattern {
				back = r.URL.EscapedPath()
			}
		}
	}
	v := &view{Page: "problem", Title: title, Data: struct {
		*problem
		Back string
	}{p, back}}
	if key := r.PathValue("key"); key != "" && p.status != http.StatusForbidden {
		if x, err := d.cat.Show(r.Context(), key); err == nil {
			v.Trail = trail(x)
		}
	}
	d.render(w, r, p.status, v)
}

// Braille shows cells as the person wants them: cells, Braille ASCII or print.
func (s *screen) Braille(cells string) template.HTML {
	if s.Prefs.Braille == "print" && strings.TrimSpace(cells) != "" {
		indent := strings.Repeat("\u00a0", cell.Indent([]byte(cells)))
		return template.HTML(`<span class="inprint">` + indent + string(s.Print(cells)) + `</span>`)
	}
	return braille(cells, s.Prefs.Braille)
}

// Print is cells in print, on one line. What cannot be read stays in braille.
func (s *screen) Print(cells string) template.HTML { return s.Read(batch.Read(cells, s.Variant)) }

// Read is print that was read off braille, marked with its language.
func (s *screen) Read(print string) template.HTML {
	if s.Lang == "" {
		return marked(print)
	}
	return template.HTML(`<span lang="` + template.HTMLEscapeString(s.Lang) + `">` + string(marked(print)) + `</span>`)
}

// step is a page of a title.
type step struct {
	Path, Name string
	Here       bool
}

// Steps are the pages of the title that a page is about.
func (s *screen) Steps() []step {
	if s.Key == "" {
		return nil
	}
	var out []step
	for _, c := range []crumb{{"", "Overview of the title"}, {"/places", "Doubtful places"}, {"/compare", "Before and after"}, {"/read", "Read as on a display"}, {"/headings", "Headings"}, {"/find", "Finding places"}, {"/metadata", "Metadata"}} {
		path := titlePath(s.Key) + c.Path
		out = append(out, step{path, c.Name, path == s.Here})
	}
	return out
}

// marked is text in which braille may stand: that is marked as what it is.
func marked(text string) template.HTML {
	var b strings.Builder
	inside := false
	turn := func(to bool) {
		if to != inside {
			b.WriteString(map[bool]string{true: `<span lang="en-Brai" translate="no">`, false: `</span>`}[to])
		}
		inside = to
	}
	for _, r := range text {
		turn(r >= 0x2800 && r <= 0x28FF)
		b.WriteString(template.HTMLEscapeString(string(r)))
	}
	turn(false)
	return template.HTML(b.String())
}

// braille is markup for cells, or for Braille ASCII. All of the text is escaped.
func braille(cells, as string) template.HTML {
	cells = strings.TrimRight(cells, " ")
	if cells == "" {
		return `<span class="empty">blank line</span>`
	}
	if as == "ascii" {
		return template.HTML(`<span class="ascii" translate="no">` + template.HTMLEscapeString(cells) + `</span>`)
	}
	return template.HTML(`<span class="cells" lang="en-Brai" translate="no">` + spaced(cells) + `</span>`)
}

// spaced is cells as Unicode braille. The last blank of a run is a plain one,
// where a line may break; the others are braille blanks.
func spaced(cells string) string {
	var out []byte
	indent := cell.Indent([]byte(cells))
	for i := 0; i < len(cells); i++ {
		if i > indent && cells[i] == cell.Blank && cells[i+1] != cell.Blank { // the text does not end in a blank
			out = append(out, ' ')
			continue
		}
		out = cell.AppendBraille(out, []byte{cells[i]})
	}
	return string(out)
}
