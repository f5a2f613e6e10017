package desk_test

import (
	"html"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Forms without the desk's own token change nothing, and what people write comes
// out of the pages as text.
func TestFormsOfOthers(t *testing.T) {
	h := open(t)
	h.post("/requests", "/requests", url.Values{"reader": {"r17"}, "title": {"weather"}})
	h.post("/profile/uk", "/profile/uk", url.Values{"copy": {"1"}, "name": {"harbour"}})
	card := t.TempDir()
	for path, form := range map[string]url.Values{
		"/title/bell/metadata": {"title": {"x"}}, "/shelf": {"to": {"card"}, "card": {card}, "withlook": {"1"}}, "/requests": {"reader": {"r18"}, "title": {"bell"}},
		"/request/1": {"state": {"closed"}}, "/request/1/send": {"to": {"card"}, "card": {card}, "withlook": {"1"}}, "/profile/file-1-harbour": {"text": {"name = \"x\""}}, "/profile/uk": {"use": {"1"}},
	} {
		for _, token := range []string{"", strings.Repeat("0", 64)} {
			form.Set("token", token)
			r, err := http.NewRequest("POST", h.server.URL+path, strings.NewReader(form.Encode()))
			must(t, err)
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			r.Header.Set("Origin", h.server.URL)
			if a := h.answer(h.client.Do(r)); a.Code != http.StatusForbidden {
				t.Errorf("%s: %d", path, a.Code)
			}
		}
	}
	list, err := h.cat.Requests(t.Context(), "", "")
	must(t, err)
	if len(list) != 1 || list[0].State != "open" {
		t.Errorf("%+v", list)
	}
	if files, _ := os.ReadDir(card); len(files) > 0 {
		t.Error("a card was filled")
	}
	if _, err := os.Stat(filepath.Join(h.paper, "bell", "title.toml")); err == nil {
		t.Error("metadata were written")
	}
	const markup = `"><script>x</script>`
	pages := []string{
		h.post("/requests", "/requests", url.Values{"reader": {"r1"}, "title": {markup}}).Body,
		h.post("/requests", "/requests", url.Values{"reader": {markup}, "title": {markup}}).Body,
		h.post("/title/bell/metadata", "/title/bell/metadata", url.Values{"title": {markup}, "language": {markup}}).Body,
		h.post("/profile/file-1-harbour", "/profile/file-1-harbour", url.Values{"text": {markup}}).Body,
		h.post("/profile/uk", "/profile/uk", url.Values{"copy": {"1"}, "name": {markup}}).Body,
		h.post("/shelf", "/shelf", url.Values{"to": {"card"}, "card": {markup}, "text": {"weather"}, "withlook": {"1"}, "reader": {markup}}).Body,
		h.page("/title/bell/find?text=" + url.QueryEscape(markup)), h.page("/request/2"),
	}
	for i, p := range pages {
		if strings.Contains(p, "<script") || !strings.Contains(html.UnescapeString(p), "<script>x") {
			t.Errorf("page %d: what was written is markup, or is gone", i+1)
		}
	}
	for _, path := range []string{"/shelf/job/1", "/shelf/job/1/download", "/shelf/job/../../x", "/request/x", "/profile/file-9-none", "/profile/..%2f..%2fetc", "/title/none/find", "/title/none/metadata"} {
		if a := h.get(path); a.Code != http.StatusNotFound {
			t.Errorf("%s: %d", path, a.Code)
		}
	}
}
