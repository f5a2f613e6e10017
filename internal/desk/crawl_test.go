package desk

import (
	"bytes"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"continuo/internal/catalogue"
	"continuo/internal/demo"
)

// maxPage is how large a page may be.
const maxPage = 150_000

// foul is a title as somebody would write it who wants to do harm.
const foul = `"><script>alert(1)</script><img src=x onerror=alert(2)> {{.}} ' & javascript:alert(3)`

// twin puts a copy of the demo's third title into the archive, with a foul title
// and a file that is no braille beside it.
func twin(tb testing.TB) func(dir string) {
	return func(dir string) {
		t := demo.Titles[2]
		paper := filepath.Join(dir, "twin")
		must(tb, os.MkdirAll(paper, 0o777))
		for _, v := range t.Volumes {
			text, err := t.Volume(v)
			must(tb, err)
			must(tb, os.WriteFile(filepath.Join(paper, v), text, 0o666))
		}
		must(tb, os.WriteFile(filepath.Join(paper, "title.toml"), []byte("title = '''"+foul+"'''\n"), 0o666))
		broken := filepath.Join(dir, "broken")
		must(tb, os.MkdirAll(broken, 0o777))
		must(tb, os.WriteFile(filepath.Join(broken, "b1.brf"), []byte("\x89PNG\x00\x01\x02<b>\xff\xfe\x00"), 0o666))
	}
}

// Every page that can be reached is well made, in every way to show braille, and
// small.
func TestEveryPage(t *testing.T) {
	cat := archive(t, twin(t))
	for _, c := range shown {
		b := visit(t, cat)
		b.post("/settings/braille", url.Values{"braille": {c.Path}, "back": {"/"}})
		seen := crawl(t, b, 260)
		for _, part := range []string{"/", "/title/weather", "/title/weather/places", "/title/weather/compare", "/title/weather/read", "/title/weather/headings", "/settings", "/help", "/title/broken", "/shelf", "/requests", "/profiles", "/title/weather/find", "/title/weather/metadata"} {
			if !seen[part] {
				t.Errorf("%s: the crawl did not reach %s", c.Path, part)
			}
		}
	}
}

// crawl follows links breadth first, at most so many, and looks at every page.
func crawl(t *testing.T, b *browser, most int) map[string]bool {
	seen, kinds := map[string]bool{"/": true}, map[string]int{}
	todo := []string{"/"}
	for n := 0; len(todo) > 0 && n < most; n++ {
		at := todo[0]
		todo = todo[1:]
		page := b.page(at)
		if len(page) > maxPage {
			t.Errorf("%s: %d bytes", at, len(page))
		}
		root := tree(t, page)
		for _, f := range faults(root) {
			t.Errorf("%s: %s", at, f)
		}
		for _, l := range links(root) {
			u, err := url.Parse(l)
			must(t, err)
			u.Fragment = "" // a browser does not send it
			l = u.String()
			kind := u.Path
			if i := strings.LastIndex(kind, "/place/"); i >= 0 {
				kind = kind[:i+7]
			}
			if seen[l] || kinds[kind] >= 8 {
				continue
			}
			seen[l] = true
			kinds[kind]++
			todo = append(todo, l)
		}
	}
	return seen
}

// What a catalogue or an address says is text, never markup.
func TestMarkupIsText(t *testing.T) {
	b := visit(t, archive(t, twin(t)))
	for _, p := range []string{"/", "/title/twin", "/title/twin/places", "/title/twin/read", "/?text=" + url.QueryEscape(foul), "/?code=" + url.QueryEscape(foul), "/title/broken"} {
		page := b.page(p)
		for _, f := range faults(tree(t, page)) {
			t.Errorf("%s: %s", p, f)
		}
		if strings.Contains(page, "<script") || strings.Contains(page, "<img") {
			t.Errorf("%s: markup from outside", p)
		}
	}
	if !strings.Contains(b.page("/title/twin"), "&lt;script&gt;alert(1)") {
		t.Error("the title is not shown as it is")
	}
	b.post("/settings/braille", url.Values{"braille": {"ascii"}})
	if page := b.page("/title/weather/compare?volume=1&page=8"); !strings.Contains(page, "&lt;") && !strings.Contains(page, "&amp;") {
		t.Error("no cell that means something in HTML; take another page")
	} else {
		tree(t, page)
	}
}

// A page tells what is not there, or is not right, and what to do.
func TestStates(t *testing.T) {
	cat := archive(t, twin(t))
	b := visit(t, cat)
	for path, want := range map[string]int{"/title/none": 404, "/title/none/places": 404, "/title/weather/place/line-0-0": 404, "/title/weather/line": 404, "/title/weather/line?volume=1&line=99999": 404,
		"/nowhere": 404, "/?sort=foul": 400, "/?state=foul": 400, "/settings/braille": 405, "/title/weather/place/line-0-0/rule": 404, "/title/broken/places": 409} {
		w := b.get(path)
		if w.Code != want {
			t.Errorf("%s: %d, want %d", path, w.Code, want)
		}
		for _, f := range faults(tree(t, w.Body.String())) {
			t.Errorf("%s: %s", path, f)
		}
		if !strings.Contains(w.Body.String(), "What to do:") {
			t.Errorf("%s does not say what to do", path)
		}
	}
	if page := b.page("/?text=%21%21"); !strings.Contains(page, "no word to look for") || len(faults(tree(t, page))) > 0 {
		t.Error("a search without words is not told")
	}
	if page := b.page("/?text=lantern+zeppelin"); !strings.Contains(page, "No title.") {
		t.Error("an empty list is not told")
	}
	if page := b.page("/?text=weath"); !strings.Contains(page, "Backyard Weather") || strings.Contains(page, "Farrowgate") {
		t.Error("the search does not find")
	}
	if page := b.page("/?text=brok"); !strings.Contains(page, "/title/broken") || strings.Contains(page, "/title/bell") {
		t.Error("a title number is not found")
	}
	if page := b.page("/shelf?choose=1&text=twi"); !strings.Contains(page, "/title/twin") || strings.Contains(page, "/title/weather") {
		t.Error("a title number is not found for the shelf")
	}
	if page := b.page("/?state=stop"); !strings.Contains(page, "/title/broken") || strings.Contains(page, "/title/bell") {
		t.Error("the filter does not hold")
	}
}

// Volumes without page ends have the pages that their numbers tell, and each of
// their lines can be reached; so can each line of a file in which no page can be told.
func TestVolumesWithoutPageEnds(t *testing.T) {
	cat := archive(t, func(dir string) {
		strip := func(text []byte) []byte { return bytes.ReplaceAll(text, []byte("\f"), nil) }
		for folder, change := range map[string]func([]byte) []byte{"run-on": strip, "no-pages": func(text []byte) []byte { return withoutNumbers(strip(text)) }} {
			must(t, os.MkdirAll(filepath.Join(dir, folder), 0o777))
			for _, v := range demo.Titles[2].Volumes {
				text, err := demo.Titles[2].Volume(v)
				must(t, err)
				must(t, os.WriteFile(filepath.Join(dir, folder, v), change(text), 0o666))
			}
		}
	})
	b := visit(t, cat)
	pages := regexp.MustCompile(`Each mark is one of ([0-9]+) paper pages`)
	count := func(key string) int {
		n, _ := strconv.Atoi(pages.FindStringSubmatch(b.page("/title/" + key))[1])
		return n
	}
	if got, want := count("run-on"), count("weather"); got != want {
		t.Errorf("%d pages, with page ends %d", got, want)
	}
	if page := b.page("/title/run-on/compare?volume=2&page=4"); !strings.Contains(page, `class="pairs"`) || len(faults(tree(t, page))) > 0 {
		t.Error("page 4 of volume 2 is not shown")
	}
	for _, key := range []string{"run-on", "no-pages"} {
		lines, next := 0, "/title/"+key+"/compare"
		for n := 0; next != "" && n < 200; n++ {
			root := tree(t, b.page(next))
			for _, f := range faults(root) {
				t.Errorf("%s: %s", next, f)
			}
			lines += paperLines(root)
			next = nextLink(root)
		}
		want := 0
		x, err := cat.Show(t.Context(), key)
		must(t, err)
		for _, v := range x.VolumeList {
			text, err := os.ReadFile(v.Path)
			must(t, err)
			want += bytes.Count(text, []byte("\n"))
		}
		if lines != want {
			t.Errorf("%s: %d lines of paper can be reached, the files have %d", key, lines, want)
		}
	}
	if page := b.page("/title/no-pages/compare"); !strings.Contains(page, "Lines 1 to 60 of") {
		t.Error("pages are told in a file that shows none")
	}
	for _, m := range regexp.MustCompile(`/title/run-on/place/[^"?]+`).FindAllString(b.page("/title/run-on/places?all=1"), -1) {
		if page := b.page(m); !strings.Contains(page, "The whole page, before and after") {
			t.Errorf("%s has no page", m)
		}
	}
}

// withoutNumbers takes all numbers and blank lines out, so that no page can be told.
func withoutNumbers(text []byte) []byte {
	text = regexp.MustCompile(`(?m)^\s*\n`).ReplaceAll(text, nil)
	return regexp.MustCompile(`[#;][A-J#;P-]+`).ReplaceAllFunc(text, func(b []byte) []byte { return bytes.Repeat([]byte("Q"), len(b)) })
}

// paperLines counts the lines in the part "before".
func paperLines(root *html.Node) (n int) {
	each(root, func(x *html.Node) {
		if by, _ := attr(x, "aria-labelledby"); by == "before" {
			each(x, func(y *html.Node) {
				if y.Data == "li" {
					n++
				}
			})
		}
	})
	return n
}

// nextLink is the first link to what follows, without its fragment.
func nextLink(root *html.Node) (to string) {
	each(root, func(x *html.Node) {
		if rel, _ := attr(x, "rel"); rel == "next" && to == "" {
			href, _ := attr(x, "href")
			to, _, _ = strings.Cut(href, "#")
		}
	})
	return to
}

// A run that goes on, or was stopped, is told.
func TestRunGoingOn(t *testing.T) {
	cat := archive(t, nil)
	b := visit(t, cat)
	if strings.Contains(b.page("/"), `id="run"`) {
		t.Fatal("a run that ended is told as going on")
	}
	_, err := cat.Begin(t.Context(), "test")
	must(t, err)
	if page := b.page("/"); !strings.Contains(page, "The last run was stopped") {
		t.Error("a run that was stopped is not told")
	}
	locked(t, cat, func() {
		page := b.page("/")
		if !strings.Contains(page, "A run is going on") || !strings.Contains(page, "Look again") || strings.Contains(page, `http-equiv="refresh"`) {
			t.Error("a run that goes on is not told")
		}
		for _, f := range faults(tree(t, page)) {
			t.Error(f)
		}
	})
}

// An archive without a title says how to fill it.
func TestEmpty(t *testing.T) {
	cat, err := catalogue.Open(filepath.Join(t.TempDir(), catalogue.FileName))
	must(t, err)
	defer cat.Close()
	page := visit(t, cat).page("/")
	if !strings.Contains(page, "continuo archive run FOLDER") {
		t.Error("an empty archive is not told")
	}
	for _, f := range faults(tree(t, page)) {
		t.Error(f)
	}
}
