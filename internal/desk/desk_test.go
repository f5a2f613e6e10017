package desk

import (
	"context"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"continuo/internal/batch"
	"continuo/internal/catalogue"
	"continuo/internal/convert"
	"continuo/internal/demo"
)

// SharedForTests is what the command line shares with the desk; the tests of
// package desk_test, which can import it, put it here.
var SharedForTests func() Shared

const testHost = "127.0.0.1:8020"

// archive makes a catalogue of the demo's titles, and of more that add puts into
// the folder.
func archive(tb testing.TB, add func(dir string)) *catalogue.Catalogue {
	tb.Helper()
	dir, home := tb.TempDir(), tb.TempDir()
	for _, t := range demo.Titles {
		paper := filepath.Join(dir, t.Folder)
		must(tb, os.MkdirAll(paper, 0o777))
		for _, v := range t.Volumes {
			text, err := t.Volume(v)
			must(tb, err)
			must(tb, os.WriteFile(filepath.Join(paper, v), text, 0o666))
		}
	}
	if add != nil {
		add(dir)
	}
	run(tb, home, dir)
	cat, err := catalogue.Open(filepath.Join(home, catalogue.FileName))
	must(tb, err)
	tb.Cleanup(func() { cat.Close() })
	return cat
}

// run makes what is new or changed, as continuo archive run does.
func run(tb testing.TB, home, dir string) {
	tb.Helper()
	cat, end, err := batch.Open(home)
	must(tb, err)
	defer end()
	_, err = batch.Run(context.Background(), cat, batch.Options{Roots: []string{dir}, Prove: true, Make: func(j batch.Job) (*convert.Result, []byte, error) {
		o := convert.Defaults()
		o.Name, o.Decisions = j.Name, j.Decisions
		res, err := convert.Make(j.Files, o)
		return res, []byte("report\n"), err
	}})
	must(tb, err)
}

func must(tb testing.TB, err error) {
	tb.Helper()
	if err != nil {
		tb.Fatal(err)
	}
}

// browser asks a desk as a browser does.
type browser struct {
	tb   testing.TB
	desk *Desk
	jar  map[string]string
}

// visit opens a desk with its link.
func visit(tb testing.TB, cat *catalogue.Catalogue, change ...func(*Options)) *browser {
	tb.Helper()
	o := Options{Catalogue: cat, Shared: SharedForTests(), Today: func() string { return "2026-01-31" }, Settings: func(string) (Settings, error) { return Settings{Make: convert.Defaults()}, nil }}
	for _, f := range change {
		f(&o)
	}
	d, err := New(o, testHost)
	must(tb, err)
	b := &browser{tb, d, map[string]string{}}
	w := b.get(strings.TrimPrefix(d.Link(), "http://"+testHost))
	if w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/" {
		tb.Fatalf("the link does not let in: %d", w.Code)
	}
	return b
}

func (b *browser) do(r *http.Request) *httptest.ResponseRecorder {
	b.tb.Helper()
	r.Host = testHost
	for n, v := range b.jar {
		r.AddCookie(&http.Cookie{Name: n, Value: v})
	}
	w := httptest.NewRecorder()
	b.desk.ServeHTTP(w, r)
	for _, c := range w.Result().Cookies() {
		b.jar[c.Name] = c.Value
	}
	return w
}

func (b *browser) get(path string) *httptest.ResponseRecorder {
	b.tb.Helper()
	return b.do(httptest.NewRequest("GET", path, nil))
}

// page wants a page and returns it.
func (b *browser) page(path string) string {
	b.tb.Helper()
	w := b.get(path)
	if w.Code != http.StatusOK {
		b.tb.Fatalf("%s: %d\n%s", path, w.Code, w.Body)
	}
	return w.Body.String()
}

// post sends a form with the token of the session.
func (b *browser) post(path string, form url.Values) *httptest.ResponseRecorder {
	b.tb.Helper()
	r := httptest.NewRequest("GET", "/", nil)
	for n, v := range b.jar {
		r.AddCookie(&http.Cookie{Name: n, Value: v})
	}
	if form.Get("token") == "" {
		form.Set("token", b.desk.formToken(r))
	}
	p := httptest.NewRequest("POST", path, strings.NewReader(form.Encode()))
	p.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	p.Header.Set("Origin", "http://"+testHost)
	return b.do(p)
}

// every page of every title answers.
func TestPages(t *testing.T) {
	b := visit(t, archive(t, nil))
	for _, key := range []string{"bell", "baker", "weather"} {
		for _, p := range []string{"", "/places", "/places?all=1", "/headings", "/compare", "/compare?volume=2&page=3&view=after", "/line?volume=1&line=3", "/line?edition=20", "/read", "/read?window=5&cells=14&hard=1"} {
			b.page("/title/" + key + p)
		}
	}
	b.page("/")
	b.page("/settings")
}
