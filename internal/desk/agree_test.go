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

// One answer for all places of a title with the same words, on the desk, is the same
// file of decisions as their answers one by one on the command line; it is taken back
// as a whole too.
func TestAnswersForAllAlike(t *testing.T) {
	if now := time.Now(); now.Add(time.Minute).Day() != now.Day() {
		t.Skip("midnight is near, and the day stands in the file")
	}
	byDesk, byLine := shelfOf(t), shelfOf(t)
	for _, dir := range []string{byDesk, byLine} { // two pages with a number that cannot be theirs
		again(t, filepath.Join(dir, "weather"))
	}
	home := filepath.Join(t.TempDir(), "c")
	continuo(t, "archive", "run", byDesk, "--catalogue", home)
	v := visitDesk(t, home)
	ids := v.all("/title/weather/places?all=1", `/place/(line-[0-9a-f-]+)\?all=1`)
	var place string
	for _, id := range ids {
		if strings.Contains(v.page("/title/weather/place/"+id), "Answer so at 1 other place of this title") {
			place = "/title/weather/place/" + id
		}
	}
	if place == "" {
		t.Fatalf("no place has another like it among %v", ids)
	}
	token := v.find(place, `name="token" value="([0-9a-f]+)"`)
	send := func(form url.Values) {
		form.Set("token", token)
		form.Set("who", "Ann")
		if r := v.ask("POST", place, form); r.StatusCode != http.StatusSeeOther {
			t.Fatalf("the desk answers %d", r.StatusCode)
		}
	}
	file := filepath.Join(byDesk, "weather", "title.decisions.toml")
	send(url.Values{"choice": {"leave-out"}, "like": {"1"}})
	answered := regexp.MustCompile(`(?m)^id = .(line-[0-9a-f-]+)`).FindAllStringSubmatch(string(read(t, file)), -1)
	if len(answered) != 2 {
		t.Fatalf("%d answers: %s", len(answered), read(t, file))
	}
	args := []string{"decide", filepath.Join(byLine, "weather"), "--who", "Ann"}
	for _, m := range answered {
		args = append(args, "--answer", m[1]+"=leave-out")
	}
	continuo(t, args...)
	same(t, file, filepath.Join(byLine, "weather", "title.decisions.toml"))
	send(url.Values{"undo": {"1"}, "like": {"1"}})
	if n := strings.Count(string(read(t, file)), "[[answer]]"); n != 0 {
		t.Errorf("%d answers are left", n)
	}
}

// again puts the same number, out of their sequence, on two pages of the second volume.
func again(t *testing.T, dir string) {
	t.Helper()
	names, err := filepath.Glob(filepath.Join(dir, "*02.*"))
	if err != nil || len(names) != 1 {
		t.Fatal(err, names)
	}
	pages := bytes.Split(read(t, names[0]), []byte("\f"))
	for _, k := range []int{8, 11} {
		lines := bytes.Split(pages[k], []byte("\n"))
		lines[len(lines)-2] = []byte("                                   #IIII\r")
		pages[k] = bytes.Join(lines, []byte("\n"))
	}
	if err := os.WriteFile(names[0], bytes.Join(pages, []byte("\f")), 0o666); err != nil {
		t.Fatal(err)
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
	v := visitDesk(t, home)
	id := v.all("/title/weather/places?all=1", `/place/([a-z]+-[0-9a-f-]+)`)[0]
	place := "/title/weather/place/" + id
	form := url.Values{"token": {v.find(place, `name="token" value="([0-9a-f]+)"`)}, "choice": {choice}, "who": {"Ann"}, "why": {"it is not for readers"}}
	if r := v.ask("POST", place, form); r.StatusCode != http.StatusSeeOther {
		t.Fatalf("the desk answers %d", r.StatusCode)
	}
	return id
}

// visitor is a browser at a desk that has the day of today.
type visitor struct {
	t       *testing.T
	desk    *desk.Desk
	cookies []*http.Cookie
}

func visitDesk(t *testing.T, home string) *visitor {
	t.Helper()
	cat, err := catalogue.Open(filepath.Join(home, catalogue.FileName))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { cat.Close() })
	d, err := desk.New(desk.Options{Catalogue: cat, Settings: func(string) (desk.Settings, error) { return desk.Settings{Make: convert.Defaults()}, nil }, Shared: cli.DeskShared()}, "127.0.0.1:8020")
	if err != nil {
		t.Fatal(err)
	}
	v := &visitor{t: t, desk: d}
	link, err := url.Parse(d.Link())
	if err != nil {
		t.Fatal(err)
	}
	v.ask("GET", link.RequestURI(), nil)
	return v
}

func (v *visitor) ask(method, path string, form url.Values) *http.Response {
	r := httptest.NewRequest(method, path, strings.NewReader(form.Encode()))
	r.Host = "127.0.0.1:8020"
	if form != nil {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("Origin", "http://127.0.0.1:8020")
	}
	for _, c := range v.cookies {
		r.AddCookie(c)
	}
	w := httptest.NewRecorder()
	v.desk.ServeHTTP(w, r)
	v.cookies = append(v.cookies, w.Result().Cookies()...)
	return w.Result()
}

func (v *visitor) page(path string) string {
	var b bytes.Buffer
	b.ReadFrom(v.ask("GET", path, nil).Body)
	return b.String()
}

// all are what the group of a pattern means on a page.
func (v *visitor) all(path, pattern string) (out []string) {
	v.t.Helper()
	for _, m := range regexp.MustCompile(pattern).FindAllStringSubmatch(v.page(path), -1) {
		out = append(out, m[1])
	}
	if out == nil {
		v.t.Fatalf("%s lacks %s:\n%s", path, pattern, v.page(path))
	}
	return out
}

// find is the first of them.
func (v *visitor) find(path, pattern string) string {
	v.t.Helper()
	return v.all(path, pattern)[0]
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
