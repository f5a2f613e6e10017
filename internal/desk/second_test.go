package desk_test

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/json"
	"html"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"continuo/internal/batch"
	"continuo/internal/catalogue"
	"continuo/internal/cli"
	"continuo/internal/convert"
	"continuo/internal/demo"
	"continuo/internal/desk"
	"continuo/internal/meta"
	"continuo/internal/shelf"
)

// house is an archive of the demo's titles with a desk on a port of this machine,
// with the functions of the command line.
type house struct {
	t      testing.TB
	cat    *catalogue.Catalogue
	desk   *desk.Desk
	server *httptest.Server
	paper  string // folder of the titles
	client *http.Client
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// open makes the house. The settings of its runs are those of a first run.
func open(t testing.TB) *house {
	t.Helper()
	h := &house{t: t, paper: t.TempDir()}
	for _, title := range demo.Titles {
		dir := filepath.Join(h.paper, title.Folder)
		must(t, os.MkdirAll(dir, 0o777))
		for _, v := range title.Volumes {
			text, err := title.Volume(v)
			must(t, err)
			must(t, os.WriteFile(filepath.Join(dir, v), text, 0o666))
		}
	}
	cat, done, err := batch.Open(t.TempDir())
	must(t, err)
	t.Cleanup(func() { done() })
	h.cat = cat
	h.run()
	text, err := json.Marshal(map[string]any{"Roots": []string{h.paper}, "Width": -1, "Blank": convert.Defaults().Blank, "Markers": convert.Defaults().EndMarkers, "Rejoin": convert.Defaults().Rejoin, "Profile": "", "NoProof": false})
	must(t, err)
	must(t, cat.Set(t.Context(), "run", string(text)))
	h.serve()
	return h
}

// run makes what is new or changed.
func (h *house) run() {
	h.t.Helper()
	_, err := batch.Run(h.t.Context(), h.cat, batch.Options{Roots: []string{h.paper}, Prove: true, Make: func(j batch.Job) (*convert.Result, []byte, error) {
		o := convert.Defaults()
		o.Name, o.Decisions, o.Finders = j.Name, j.Decisions, true
		res, err := convert.Make(j.Files, o)
		return res, []byte("report\n"), err
	}})
	must(h.t, err)
}

// serve starts the desk on a free port and lets a client in.
func (h *house) serve() {
	h.t.Helper()
	h.server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { h.desk.ServeHTTP(w, r) }))
	h.t.Cleanup(h.server.Close)
	d, err := desk.New(desk.Options{Catalogue: h.cat, Settings: cli.DeskSettings, Who: "Ann", Today: func() string { return "2026-01-31" }, Shared: cli.DeskShared()}, strings.TrimPrefix(h.server.URL, "http://"))
	must(h.t, err)
	h.desk = d
	jar, err := cookiejar.New(nil)
	must(h.t, err)
	h.client = &http.Client{Jar: jar}
	h.get(strings.TrimPrefix(d.Link(), h.server.URL))
}

// answer is what a page said.
type answer struct {
	Code int
	Path string // after redirects
	Body string
}

func (h *house) answer(res *http.Response, err error) answer {
	h.t.Helper()
	must(h.t, err)
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	must(h.t, err)
	return answer{res.StatusCode, res.Request.URL.RequestURI(), string(body)}
}

func (h *house) get(path string) answer {
	h.t.Helper()
	return h.answer(h.client.Get(h.server.URL + path))
}

// page wants a page that is there.
func (h *house) page(path string) string {
	h.t.Helper()
	a := h.get(path)
	if a.Code != http.StatusOK {
		h.t.Fatalf("%s: %d %s", path, a.Code, a.Body)
	}
	return a.Body
}

var (
	tokenField = regexp.MustCompile(`name="token" value="([0-9a-f]+)"`)
	stampField = regexp.MustCompile(`name="stamp" value="([0-9a-f]+)"`)
)

// post sends a form with the token and stamp of the page at from.
func (h *house) post(from, to string, form url.Values) answer {
	h.t.Helper()
	body := h.page(from)
	form.Set("token", tokenField.FindStringSubmatch(body)[1])
	if m := stampField.FindStringSubmatch(body); m != nil && !form.Has("stamp") {
		form.Set("stamp", m[1])
	}
	r, err := http.NewRequest("POST", h.server.URL+to, strings.NewReader(form.Encode()))
	must(h.t, err)
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Origin", h.server.URL)
	return h.answer(h.client.Do(r))
}

// holds wants words on a page, as text.
func holds(t testing.TB, page string, want ...string) {
	t.Helper()
	text := html.UnescapeString(page)
	for _, w := range want {
		if !strings.Contains(text, w) {
			t.Errorf("the page does not have %q", w)
		}
	}
}

// The try-out lands where the promised strings of the list say, typed as Braille
// ASCII; print is written in the code of the book.
func TestFinding(t *testing.T) {
	h := open(t)
	for _, title := range demo.Titles {
		page := h.page("/title/" + title.Folder + "/find")
		rows := regexp.MustCompile(`(?s)aria-label="Read from line ([0-9]+)".*?data-label="How">(.*?)<a href="([^"]+)">Try`).FindAllStringSubmatch(page, -1)
		tried := 0
		for _, r := range rows {
			if strings.Contains(r[2], "search") { // not from the start
				continue
			}
			holds(t, h.page(html.UnescapeString(r[3])), "the first is on line "+r[1]+".")
			tried++
		}
		if tried == 0 {
			t.Errorf("%s: no string to try", title.Folder)
		}
	}
	page := h.page("/title/weather/find?text=weather&as=print")
	holds(t, page, "Where it lands", "Found:", "the first is on line")
	holds(t, h.page("/title/weather/find?text=zzqx&as=print"), "nowhere")
	holds(t, h.page("/title/weather/find?text="+url.QueryEscape("a€")+"&as=cells"), "Not searched", "is no braille cell")
	holds(t, h.page("/title/weather/find?text="+url.QueryEscape("<b>")+"&as=print"), "<b>")
	if strings.Contains(h.page("/title/weather/find?text="+url.QueryEscape("<b>x")), "<b>x") {
		t.Error("what was typed is markup")
	}
}

// Nothing is in the file that was not saved; offers come into the form by their
// buttons only; faults stand beside their fields and nothing is written; what is
// saved is what the command line reads.
func TestMetadataForm(t *testing.T) {
	h := open(t)
	path := filepath.Join(h.paper, "bell", "title.toml")
	page := h.page("/title/bell/metadata")
	holds(t, page, "To confirm, read on the title page", "Take this into the form")
	if m := regexp.MustCompile(`<input id="f-title" name="title" value="([^"]*)"`).FindStringSubmatch(page); m == nil || m[1] != "" {
		t.Errorf("the title is guessed: %v", m)
	}
	n := regexp.MustCompile(`name="take" value="([0-9]+)"`).FindStringSubmatch(page)
	a := h.post("/title/bell/metadata", "/title/bell/metadata", url.Values{"take": {n[1]}, "publisher": {"Quay"}})
	if a.Code != http.StatusUnprocessableEntity || !regexp.MustCompile(`name="title" value="[^"]+"`).MatchString(a.Body) || !strings.Contains(a.Body, `value="Quay"`) {
		t.Errorf("an offer does not come into the form: %d %s", a.Code, a.Body)
	}
	if _, err := os.Stat(path); err == nil {
		t.Error("an offer was written")
	}
	bad := url.Values{"title": {"The Bell"}, "language": {"english"}, "dates.copyright": {"c. 1999"}, "subjects": {"a\na"}, "creator1.name": {"Ann Lee"}, "creator1.role": {"author"}, "creator2.name": {""}, "creator2.sort": {"x"}}
	a = h.post("/title/bell/metadata", "/title/bell/metadata", bad)
	if a.Code != http.StatusUnprocessableEntity {
		t.Errorf("faults: %d", a.Code)
	}
	holds(t, a.Body, "Not saved", `id="f-language-wrong"`, `id="f-dates-copyright-wrong"`, `id="f-subjects-wrong"`, `id="creator1-role-wrong"`, `id="creator2-name-wrong"`, `value="english"`, `href="#creator1-role"`)
	if _, err := os.Stat(path); err == nil {
		t.Error("faults were written")
	}
	must(t, os.WriteFile(path, []byte("# lent to us\ntitle = \"Bell\"\n"), 0o666))
	good := url.Values{"title": {"The Bell"}, "language": {"en-GB"}, "subjects": {"bells\r\nharbours\r\n"}, "rights": {"One.\r\nTwo."}, "complete": {"true"}, "creator1.name": {"Ann Lee"}, "creator1.role": {"aut"}, "source.identifier": {"0-306-40615-2"}}
	if a := h.post("/title/bell/metadata", "/title/bell/metadata", mergeValues(good, url.Values{"stamp": {"0"}})); a.Code != http.StatusUnprocessableEntity || !strings.Contains(a.Body, "changed while the form was open") {
		t.Errorf("a change by another is written over: %d", a.Code)
	}
	good.Del("stamp")
	if a = h.post("/title/bell/metadata", "/title/bell/metadata", good); a.Code != http.StatusOK {
		t.Fatalf("not saved: %d %s", a.Code, a.Body)
	}
	got, err := meta.Load(path)
	must(t, err)
	if got.Title != "The Bell" || got.Rights != "One.\nTwo." || len(got.Subjects) != 2 || got.Creators[0].Name != "Ann Lee" || got.Source.Identifier != "urn:isbn:0306406152" {
		t.Errorf("%+v", got)
	}
	if text, _ := os.ReadFile(path); !strings.Contains(string(text), "# lent to us") {
		t.Error("a comment is lost")
	}
	must(t, os.WriteFile(path, []byte("titel = 1\n"), 0o666))
	if a := h.get("/title/bell/metadata"); a.Code != http.StatusConflict || !strings.Contains(a.Body, "line 1") {
		t.Errorf("a file that cannot be read: %d", a.Code)
	}
}

func mergeValues(a, b url.Values) url.Values {
	out := url.Values{}
	for _, v := range []url.Values{a, b} {
		for k, l := range v {
			out[k] = l
		}
	}
	return out
}

// finished waits for a job and returns its page.
func (h *house) finished(a answer) answer {
	h.t.Helper()
	for end := time.Now().Add(time.Minute); strings.Contains(a.Body, "<strong>Working:") && time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		a = h.get(a.Path)
	}
	if !strings.Contains(a.Body, "<strong>Done:") {
		h.t.Fatalf("%d %s: %s", a.Code, a.Path, a.Body)
	}
	return a
}

// A card filled here holds what the command line puts on one, byte for byte; a
// download holds the same files.
func TestShelf(t *testing.T) {
	h := open(t)
	holds(t, h.page("/shelf?choose=1&withlook=1"), "titles can be delivered", "weather")
	card, other := t.TempDir(), t.TempDir()
	for _, c := range []struct {
		form url.Values
		want string
	}{
		{url.Values{"to": {"card"}, "card": {"here"}}, "write the whole path"},
		{url.Values{"to": {"card"}, "card": {filepath.Join(card, "none")}}, "there is no such folder"},
		{url.Values{"to": {"card"}, "card": {card}, "width": {"7"}}, "the width must be"},
		{url.Values{"to": {"card"}, "card": {card}, "width": {"x"}}, "write a number of cells"},
		{url.Values{"to": {"card"}, "card": {card}, "reader": {"Mary Smith"}}, "is no reader code"},
		{url.Values{"text": {"nothinglikethis"}}, "no title is meant"},
	} {
		if a := h.post("/shelf", "/shelf", c.form); a.Code != http.StatusUnprocessableEntity || !strings.Contains(html.UnescapeString(a.Body), c.want) {
			t.Errorf("%v: %d, want %q", c.form, a.Code, c.want)
		}
	}
	h.finished(h.post("/shelf", "/shelf", url.Values{"withlook": {"1"}, "width": {"20"}, "to": {"card"}, "card": {card}, "reader": {"r17"}}))
	if _, faults, err := shelf.Verify(card); err != nil || len(faults) > 0 {
		t.Error(err, faults)
	}
	code := cli.Run([]string{"shelf", "build", other, "--with-look", "--width", "20", "--reader", "r17", "--catalogue", h.cat.Folder()}, io.Discard, io.Discard)
	if code != cli.Done && code != cli.Look {
		t.Fatal(code)
	}
	sameFiles(t, card, other)
	a := h.finished(h.post("/shelf", "/shelf", url.Values{"withlook": {"1"}, "format": {"text"}}))
	zipped := h.get(regexp.MustCompile(`/shelf/job/[0-9]+/download`).FindString(a.Body))
	z, err := zip.NewReader(bytes.NewReader([]byte(zipped.Body)), int64(len(zipped.Body)))
	if err != nil || len(z.File) < 4 {
		t.Errorf("the download: %v", err)
	}
}

func sameFiles(t *testing.T, a, b string) {
	t.Helper()
	n := 0
	must(t, filepath.WalkDir(a, func(p string, e os.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		rel, _ := filepath.Rel(a, p)
		x, _ := os.ReadFile(p)
		y, err := os.ReadFile(filepath.Join(b, rel))
		if n++; err != nil || !bytes.Equal(x, y) {
			t.Errorf("%s is not the same: %v", rel, err)
		}
		return nil
	}))
	if n < 5 {
		t.Errorf("%d files", n)
	}
}

// Requests come in, are cleared up, sent and noted; none with a name.
func TestRequests(t *testing.T) {
	h := open(t)
	for _, c := range [][2]string{{"Mary Smith", "is no reader code"}, {"07700900123", "is no reader code"}} {
		if a := h.post("/requests", "/requests", url.Values{"reader": {c[0]}, "title": {"weather"}}); a.Code != http.StatusUnprocessableEntity || !strings.Contains(html.UnescapeString(a.Body), c[1]) || !strings.Contains(a.Body, `id="reader-wrong"`) {
			t.Errorf("%v: %d", c, a.Code)
		}
	}
	if a := h.post("/requests", "/requests", url.Values{"reader": {"r17"}, "title": {"weather"}, "due": {"soon"}}); !strings.Contains(a.Body, `id="due-wrong"`) {
		t.Errorf("a bad date: %d %s", a.Code, a.Body)
	}
	holds(t, h.post("/requests", "/requests", url.Values{"reader": {"r17"}, "title": {"no such thing"}}).Body, "in the queue", "unclear")
	holds(t, h.post("/requests", "/requests", url.Values{"reader": {"r17"}, "title": {"weather"}, "format": {"brf"}, "width": {"20"}, "due": {"2026-02-01"}}).Body, "2026-02-01")
	if a := h.post("/request/1", "/request/1/send", url.Values{}); a.Code != http.StatusUnprocessableEntity || !strings.Contains(a.Body, "say first which title") {
		t.Errorf("an unclear request is sent: %d", a.Code)
	}
	if a := h.post("/request/1", "/request/1", url.Values{"title": {"nor this"}, "state": {"open"}}); a.Code != http.StatusUnprocessableEntity {
		t.Errorf("a title that is not there: %d", a.Code)
	}
	holds(t, h.post("/request/1", "/request/1", url.Values{"title": {"bell"}, "state": {"unclear"}}).Body, "<strong>open</strong>", "/title/bell")
	card := t.TempDir()
	h.finished(h.post("/request/2", "/request/2/send", url.Values{"to": {"card"}, "card": {card}, "withlook": {"1"}, "all": {"1"}}))
	list, err := h.cat.Requests(context.Background(), "", "r17")
	must(t, err)
	for _, r := range list {
		if r.State != catalogue.Sent || r.Note != "to "+card {
			t.Errorf("%+v", r)
		}
	}
	if len(list) != 2 {
		t.Errorf("%d requests", len(list))
	}
	if c, err := shelf.Read(card); err != nil || len(c.Titles) != 2 || c.Reader != "r17" {
		t.Errorf("%+v %v", c, err)
	}
	if a := h.get("/request/99"); a.Code != http.StatusNotFound {
		t.Errorf("%d", a.Code)
	}
}

// A profile is saved whole or not at all, with the line of what is wrong.
func TestProfiles(t *testing.T) {
	h := open(t)
	holds(t, h.page("/profiles"), "uk", "north-america")
	if a := h.post("/profile/uk", "/profile/uk", url.Values{"text": {"name = \"x\""}}); a.Code != http.StatusBadRequest {
		t.Errorf("a profile of the program is changed: %d", a.Code)
	}
	for _, name := range []string{"", "../x", "UK", "uk", "con", "a/b", strings.Repeat("a", 41)} {
		if a := h.post("/profile/uk", "/profile/uk", url.Values{"copy": {"1"}, "name": {name}}); a.Code != http.StatusUnprocessableEntity {
			t.Errorf("a copy named %q: %d", name, a.Code)
		}
	}
	a := h.post("/profile/uk", "/profile/uk", url.Values{"copy": {"1"}, "name": {"harbour"}})
	link := regexp.MustCompile(`/profile/file-[a-z0-9-]+`).FindString(a.Body)
	path := filepath.Join(h.cat.Folder(), "profiles", "harbour.toml")
	before, err := os.ReadFile(path)
	must(t, err)
	if !strings.Contains(string(before), "\nname = \"harbour\"\n") {
		t.Errorf("the copy is named %s", before[:min(len(before), 200)])
	}
	holds(t, a.Body, "The copy is made", "Profile harbour.toml")
	for text, want := range map[string]string{
		"name = \"harbour\"\nheading_indnt = 4\n":                                  "Line 2:",
		"name = \"harbour\"\n\nheading_indent = 400\n":                             "Line 3:",
		"name = \"harbour":                                                         "Line 1:",
		"name = \"h\"\n[words]\nlanguage = \"cy\"\nphrases = [\"nonsense\"]":       "Line 4:",
		"name = \"h\"\n[words]\nlanguage = \"cy\"\nphrases = [\"nonsense: gair\"]": "<strong>Line 2:</strong> words: no cells are given for gair",
		"\xff": "UTF-8",
	} {
		a := h.post(link, link, url.Values{"text": {text}})
		now, _ := os.ReadFile(path)
		if a.Code != http.StatusUnprocessableEntity || !strings.Contains(a.Body, want) || !bytes.Equal(now, before) {
			t.Errorf("%q: %d, want %q: %s", text, a.Code, want, regexp.MustCompile(`(?s)<ul id="faults">.*?</ul>`).FindString(a.Body))
		}
	}
	many := h.post(link, link, url.Values{"text": {"nmae = \"harbour\"\nturns = \"<b>\"\n\nheading_indent = \"six\"\n"}}).Body
	holds(t, many, "Line 1:", "Line 2:", "Line 4:", "must be a whole number", `<li><code>turns = "<b>"</code><br><strong>Wrong:</strong> turns: must be one of`)
	if strings.Contains(many, "<b>") {
		t.Error("what was typed is markup")
	}
	if a := h.post(link, link, url.Values{"text": {"name = \"harbour\"\r\nheading_indent = 6\r\n"}}); a.Code != http.StatusOK {
		t.Errorf("%d %s", a.Code, a.Body)
	}
	if now, _ := os.ReadFile(path); string(now) != "name = \"harbour\"\nheading_indent = 6\n" {
		t.Errorf("%q", now)
	}
	holds(t, h.post(link, link, url.Values{"use": {"1"}}).Body, "The next run uses this profile")
	text, err := h.cat.Setting(context.Background(), "run")
	must(t, err)
	set, err := cli.DeskSettings(text)
	if err != nil || set.Make.Profile.HeadingIndent != 6 || set.Profile != path {
		t.Errorf("%v %+v", err, set.Profile)
	}
	holds(t, h.page("/profiles"), "the next run uses it")
}
