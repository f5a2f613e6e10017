package desk_test

import (
	"bytes"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"continuo/internal/catalogue"
	"continuo/internal/cli"
	"continuo/internal/convert"
	"continuo/internal/demo"
	"continuo/internal/desk"
)

func init() { desk.SharedForTests = cli.DeskShared }

// A decision on the desk and the same on the command line: the same file of
// decisions and the same edition, account and all, byte for byte.
func TestDeskAndCommandLineAgree(t *testing.T) {
	if now := time.Now(); now.Add(time.Minute).Day() != now.Day() {
		t.Skip("midnight is near, and the day stands in the file")
	}
	byDesk, byLine := shelfOf(t), shelfOf(t)
	deskHome, lineHome := filepath.Join(t.TempDir(), "c"), filepath.Join(t.TempDir(), "c")
	continuo(t, "archive", "run", byDesk, "--catalogue", deskHome)
	continuo(t, "archive", "run", byLine, "--catalogue", lineHome)

	id := decideOnDesk(t, deskHome, "leave-out")
	continuo(t, "decide", filepath.Join(byLine, "weather"), "--who", "Ann", "--why", "it is not for readers", "--answer", id+"=leave-out")
	same(t, filepath.Join(byDesk, "weather", "title.decisions.toml"), filepath.Join(byLine, "weather", "title.decisions.toml"))

	before := read(t, filepath.Join(deskHome, "editions", "weather", "weather.brf"))
	continuo(t, "archive", "run", "--catalogue", deskHome)
	continuo(t, "archive", "run", "--catalogue", lineHome)
	for _, ending := range []string{"", ".account.jsonl", ".report.txt"} {
		same(t, filepath.Join(deskHome, "editions", "weather", "weather.brf"+ending), filepath.Join(lineHome, "editions", "weather", "weather.brf"+ending))
	}
	if bytes.Equal(before, read(t, filepath.Join(deskHome, "editions", "weather", "weather.brf"))) {
		t.Error("the decision changed nothing")
	}
}

func shelfOf(t *testing.T) string {
	dir := filepath.Join(t.TempDir(), "books")
	title := demo.Titles[2]
	paper := filepath.Join(dir, title.Folder)
	if err := os.MkdirAll(paper, 0o777); err != nil {
		t.Fatal(err)
	}
	for _, v := range title.Volumes {
		text, err := title.Volume(v)
		if err == nil {
			err = os.WriteFile(filepath.Join(paper, v), text, 0o666)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// continuo runs the command line.
func continuo(t *testing.T, args ...string) {
	t.Helper()
	var out bytes.Buffer
	if code := cli.Run(args, &out, &out); code != cli.Done && code != cli.Look {
		t.Fatalf("%v: exit code %d\n%s", args, code, out.String())
	}
}

// decideOnDesk answers the first doubtful place and returns its id.
func decideOnDesk(t *testing.T, home, choice string) string {
	t.Helper()
	cat, err := catalogue.Open(filepath.Join(home, catalogue.FileName))
	if err != nil {
		t.Fatal(err)
	}
	defer cat.Close()
	d, err := desk.New(desk.Options{Catalogue: cat, Settings: func(string) (desk.Settings, error) { return desk.Settings{Make: convert.Defaults()}, nil }, Shared: cli.DeskShared()}, "127.0.0.1:8020")
	if err != nil {
		t.Fatal(err)
	}
	var cookies []*http.Cookie
	ask := func(method, path string, form url.Values) *http.Response {
		r := httptest.NewRequest(method, path, strings.NewReader(form.Encode()))
		r.Host = "127.0.0.1:8020"
		if form != nil {
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			r.Header.Set("Origin", "http://127.0.0.1:8020")
		}
		for _, c := range cookies {
			r.AddCookie(c)
		}
		w := httptest.NewRecorder()
		d.ServeHTTP(w, r)
		cookies = append(cookies, w.Result().Cookies()...)
		return w.Result()
	}
	find := func(path, pattern string) string {
		var b bytes.Buffer
		b.ReadFrom(ask("GET", path, nil).Body)
		m := regexp.MustCompile(pattern).FindStringSubmatch(b.String())
		if m == nil {
			t.Fatalf("%s lacks %s:\n%s", path, pattern, b.String())
		}
		return m[1]
	}
	link, err := url.Parse(d.Link())
	if err != nil {
		t.Fatal(err)
	}
	ask("GET", link.RequestURI(), nil)
	id := find("/title/weather/places", `/place/([a-z]+-[0-9a-f-]+)`)
	place := "/title/weather/place/" + id
	form := url.Values{"token": {find(place, `name="token" value="([0-9a-f]+)"`)}, "choice": {choice}, "who": {"Ann"}, "why": {"it is not for readers"}}
	if r := ask("POST", place, form); r.StatusCode != http.StatusSeeOther {
		t.Fatalf("the desk answers %d", r.StatusCode)
	}
	return id
}

func read(t *testing.T, path string) []byte {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func same(t *testing.T, a, b string) {
	t.Helper()
	if x, y := read(t, a), read(t, b); !bytes.Equal(x, y) {
		t.Errorf("%s differ:\n%s\n\n%s", filepath.Base(a), x[:min(len(x), 600)], y[:min(len(y), 600)])
	}
}
