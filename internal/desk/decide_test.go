package desk

import (
	"net/http"
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
	"continuo/internal/convert"
	"continuo/internal/profile"
)

// locked calls f while a run holds the catalogue.
func locked(t *testing.T, cat *catalogue.Catalogue, f func()) {
	l, err := batch.Lock(cat.Folder())
	must(t, err)
	defer l.Unlock()
	f()
}

var placeLink = regexp.MustCompile(`/title/weather/place/((?:line|hyphen|break|title)-[0-9a-f-]+)`)

// first is the id of the first doubtful place of the demo's third title.
func (b *browser) first() string {
	b.tb.Helper()
	m := placeLink.FindStringSubmatch(b.page("/title/weather/places?all=1"))
	if m == nil {
		b.tb.Fatal("no doubtful place")
	}
	return m[1]
}

// went wants an answer that leads on, and follows it.
func (b *browser) went(w *httptest.ResponseRecorder) string {
	b.tb.Helper()
	if w.Code != http.StatusSeeOther {
		b.tb.Fatalf("%d\n%s", w.Code, w.Body)
	}
	return b.page(w.Header().Get("Location"))
}

func TestDecideAndUndo(t *testing.T) {
	cat := archive(t, nil)
	b := visit(t, cat)
	id := b.first()
	path := "/title/weather/place/" + id
	if page := b.page(path); !strings.Contains(page, "Without an answer:") || !strings.Contains(page, "On paper") || !strings.Contains(page, "In the edition, as it is decided now") {
		t.Error("the place is not shown whole")
	}
	if page := b.went(b.post(path, url.Values{"choice": {"leave-out"}, "who": {"Ann"}, "why": {"a test"}})); !strings.Contains(page, "The decision is noted") {
		t.Error("the decision is not told")
	}
	x, err := cat.Show(t.Context(), "weather")
	must(t, err)
	text, err := os.ReadFile(batch.DecisionsFile(x.Title))
	must(t, err)
	for _, want := range []string{id, `choice = "leave-out"`, `who = "Ann"`, `why = "a test"`, `when = "2026-01-31"`} {
		if !strings.Contains(strings.ReplaceAll(string(text), "'", `"`), want) {
			t.Errorf("the file lacks %s:\n%s", want, text)
		}
	}
	if len(x.Decisions) != 1 || x.Decisions[0].Who != "Ann" || x.Decisions[0].Undone != "" {
		t.Errorf("the catalogue has %+v", x.Decisions)
	}
	if page := b.page("/title/weather"); !strings.Contains(page, "The edition on disk is another one") {
		t.Error("that the edition is to be made anew is not told")
	}
	if page := b.went(b.post(path, url.Values{"undo": {"1"}, "who": {"Ann"}})); !strings.Contains(page, "taken back") {
		t.Error("the undoing is not told")
	}
	x, err = cat.Show(t.Context(), "weather")
	must(t, err)
	if len(x.Decisions) != 1 || x.Decisions[0].Undone == "" {
		t.Errorf("the catalogue has %+v", x.Decisions)
	}
	if strings.Contains(b.page("/title/weather"), "The edition on disk is another one") {
		t.Error("the edition is told as another one")
	}
}

// A decision that is not right changes nothing.
func TestDecideRefused(t *testing.T) {
	cat := archive(t, nil)
	b := visit(t, cat)
	path := "/title/weather/place/" + b.first()
	for name, f := range map[string]url.Values{"no name": {"choice": {"keep"}}, "foreign choice": {"choice": {"burn"}, "who": {"Ann"}}, "no choice": {"who": {"Ann"}},
		"nothing to undo": {"undo": {"1"}, "who": {"Ann"}}, "long reason": {"choice": {"keep"}, "who": {"Ann"}, "why": {strings.Repeat("x", 300)}}, "control": {"choice": {"keep"}, "who": {"A\x01n"}}} {
		if w := b.post(path, f); w.Code < 400 || w.Code >= 500 || !strings.Contains(w.Body.String(), "What to do:") && !strings.Contains(w.Body.String(), `aria-invalid="true"`) {
			t.Errorf("%s: %d", name, w.Code)
		}
	}
	x, err := cat.Show(t.Context(), "weather")
	must(t, err)
	if _, err := os.Stat(batch.DecisionsFile(x.Title)); !os.IsNotExist(err) {
		t.Error("a file of decisions was written")
	}
}

// searched is the page of a rule when all titles were looked at.
func (b *browser) searched(path string) string {
	b.tb.Helper()
	for end := time.Now().Add(time.Minute); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if page := b.page(path); !strings.Contains(page, "Look again how far it is") {
			return page
		}
	}
	b.tb.Fatalf("%s: the search does not end", path)
	return ""
}

// What a house rule changes is told first, in other titles too; it is stored in
// a profile of one's own only.
func TestRule(t *testing.T) {
	cat := archive(t, twin(t))
	b := visit(t, cat)
	path := "/title/weather/place/" + b.first() + "/rule"
	page := b.searched(path + "?choice=leave-out")
	for _, want := range []string{"In other titles", "/title/twin/place/", "It cannot be stored", "<dd>2 places</dd>"} {
		if !strings.Contains(page, want) {
			t.Errorf("no %q:\n%s", want, page)
		}
	}
	if w := b.post(path, url.Values{"choice": {"leave-out"}, "who": {"Ann"}}); w.Code != http.StatusConflict {
		t.Errorf("a rule without a profile: %d", w.Code)
	}
	house := filepath.Join(t.TempDir(), "house.toml")
	must(t, os.WriteFile(house, []byte("name = \"house\"\n"), 0o666))
	b = visit(t, cat, func(o *Options) {
		o.Settings = func(string) (Settings, error) {
			p, err := profile.Find(house)
			set := Settings{Make: convert.Defaults(), Profile: house}
			set.Make.Profile = p
			return set, err
		}
	})
	if page := b.page(path + "?choice=leave-out"); !strings.Contains(page, "Store the rule in") {
		t.Error("the rule cannot be stored")
	}
	if page := b.went(b.post(path, url.Values{"choice": {"leave-out"}, "who": {"Ann"}})); !strings.Contains(page, "house rule is stored") || !strings.Contains(page, "for all files like this") {
		t.Error("the rule does not hold")
	}
	p, err := profile.Find(house)
	must(t, err)
	if len(p.Rules) != 1 || p.Rules[0].Choice != "leave-out" || p.Rules[0].Who != "Ann" {
		t.Errorf("the profile has %+v", p.Rules)
	}
	if w := b.post(path, url.Values{"choice": {"keep"}, "who": {"Ann"}}); w.Code != http.StatusConflict {
		t.Errorf("a second rule for the same places: %d", w.Code)
	}
}
