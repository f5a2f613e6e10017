package desk

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"continuo/internal/batch"
	"continuo/internal/catalogue"
)

// attack is a request that somebody sends who wants to do harm, and what may
// come of it: an error, or, where harmless, a page as always.
type attack struct {
	name         string
	method, path string
	head         map[string]string
	form         url.Values
	body         string
	stranger     bool // a browser that was not let in
	harmless     bool // may be answered as if nothing was wrong
}

func attacks(id string) []attack {
	own := "http://" + testHost
	decide := "/title/weather/place/" + id
	good := func() url.Values { return url.Values{"choice": {"leave-out"}, "who": {"Mallory"}} }
	list := []attack{
		{name: "no cookie", path: "/", stranger: true},
		{name: "no cookie, a title", path: "/title/weather", stranger: true},
		{name: "no cookie, a decision", method: "POST", path: decide, form: good(), head: map[string]string{"Origin": own}, stranger: true},
		{name: "link again", path: "/in?token=used", stranger: true},
		{name: "link without token", path: "/in", stranger: true},
		{name: "link with an empty token", path: "/in?token=", stranger: true},
		{name: "link posted", method: "POST", path: "/in", head: map[string]string{"Origin": own}, stranger: true},
		{name: "forged cookie", path: "/", head: map[string]string{"Cookie": "continuo-desk-8020=AAAA"}, stranger: true},
		{name: "empty cookie", path: "/", head: map[string]string{"Cookie": "continuo-desk-8020="}, stranger: true},
		{name: "forged host", path: "/", head: map[string]string{"Host": "evil.example"}},
		{name: "host of another port", path: "/", head: map[string]string{"Host": "127.0.0.1:80"}},
		{name: "host by name", path: "/", head: map[string]string{"Host": "localhost:8020"}},
		{name: "no host", path: "/", head: map[string]string{"Host": ""}},
		{name: "host with a tail", path: "/", head: map[string]string{"Host": testHost + ".evil.example"}},
		{name: "foreign origin", method: "POST", path: decide, form: good(), head: map[string]string{"Origin": "https://evil.example"}},
		{name: "origin null", method: "POST", path: decide, form: good(), head: map[string]string{"Origin": "null"}},
		{name: "no origin", method: "POST", path: decide, form: good()},
		{name: "origin of another port", method: "POST", path: decide, form: good(), head: map[string]string{"Origin": "http://127.0.0.1:80"}},
		{name: "origin with https", method: "POST", path: decide, form: good(), head: map[string]string{"Origin": "https://" + testHost}},
		{name: "foreign origin, reading", path: "/", head: map[string]string{"Origin": "https://evil.example"}},
		{name: "cross-site reading", path: "/title/weather", head: map[string]string{"Sec-Fetch-Site": "cross-site"}},
		{name: "same-site reading", path: "/title/weather", head: map[string]string{"Sec-Fetch-Site": "same-site"}},
		{name: "cross-site deciding", method: "POST", path: decide, form: good(), head: map[string]string{"Origin": own, "Sec-Fetch-Site": "cross-site"}},
		{name: "no form token", method: "POST", path: decide, form: good(), head: map[string]string{"Origin": own}},
		{name: "foreign form token", method: "POST", path: decide, form: url.Values{"choice": {"leave-out"}, "who": {"Mallory"}, "token": {strings.Repeat("0", 64)}}, head: map[string]string{"Origin": own}},
		{name: "form token in the address", method: "POST", path: decide + "?token=TOKEN&choice=leave-out&who=Mallory", head: map[string]string{"Origin": own}},
		{name: "deciding by GET", path: decide + "?choice=leave-out&who=Mallory", harmless: true},
		{name: "undoing by GET", path: decide + "?undo=1&who=Mallory", harmless: true},
		{name: "settings without token", method: "POST", path: "/settings", form: url.Values{"braille": {"print"}, "cells": {"9"}}, head: map[string]string{"Origin": own}},
		{name: "the switch without token", method: "POST", path: "/settings/braille", form: url.Values{"braille": {"print"}}, head: map[string]string{"Origin": own}},
		{name: "a rule without token", method: "POST", path: decide + "/rule", form: good(), head: map[string]string{"Origin": own}},
		{name: "body as JSON", method: "POST", path: decide, body: `{"choice":"leave-out","who":"Mallory"}`, head: map[string]string{"Origin": own, "Content-Type": "application/json"}},
		{name: "body as text", method: "POST", path: decide, body: "choice=leave-out&who=Mallory&token=TOKEN", head: map[string]string{"Origin": own, "Content-Type": "text/plain"}},
		{name: "oversize body", method: "POST", path: decide, form: url.Values{"choice": {"leave-out"}, "who": {"Mallory"}, "token": {"TOKEN"}, "why": {strings.Repeat("x", 1<<20)}}, head: map[string]string{"Origin": own}},
		{name: "oversize address", path: "/?text=" + strings.Repeat("x", 5000)},
		{name: "traversal", path: "/title/../../../../etc/passwd"},
		{name: "traversal, written out", path: "/title/..%2f..%2f..%2fetc%2fpasswd"},
		{name: "traversal, twice written out", path: "/title/%252e%252e%252fetc%252fpasswd"},
		{name: "traversal to a file of the desk", path: "/templates/layout.html"},
		{name: "backslashes", path: `/title/..%5c..%5cwindows%5cwin.ini`},
		{name: "a null", path: "/title/weather%00.html"},
		{name: "a stylesheet elsewhere", path: "/desk.css/../../etc/passwd"},
		{name: "SQL in a key", path: "/title/x'%20OR%20'1'='1"},
		{name: "SQL in a search", path: "/?text=" + url.QueryEscape(`x" OR title:* NEAR(`), harmless: true},
		{name: "SQL in an order", path: "/?sort=" + url.QueryEscape("t.key; DROP TABLE titles")},
		{name: "SQL in a code", path: "/?code=" + url.QueryEscape("'; DROP TABLE titles; --"), harmless: true},
		{name: "markup in a search", path: "/?text=" + url.QueryEscape("<script>alert(1)</script>"), harmless: true},
		{name: "markup in an id", path: "/title/weather/place/" + url.PathEscape("<script>alert(1)</script>")},
		{name: "numbers out of range", path: "/title/weather/compare?volume=-1&page=99999999999999999999", harmless: true},
		{name: "windows out of range", path: "/title/weather/read?cells=0&window=-5", harmless: true},
		{name: "an offset out of range", path: "/?from=999999999", harmless: true},
		{name: "a message of one's own", path: "/?done=" + url.QueryEscape("<b>you won</b>"), harmless: true},
		{name: "PUT", method: "PUT", path: "/"},
		{name: "DELETE", method: "DELETE", path: decide},
		{name: "TRACE", method: "TRACE", path: "/"},
		{name: "OPTIONS", method: "OPTIONS", path: "/", head: map[string]string{"Origin": "https://evil.example", "Access-Control-Request-Method": "POST"}},
		{name: "a foul cookie of settings", path: "/settings", head: map[string]string{"Cookie": "continuo-view-8020=braille=%3Cscript%3E&cells=-1&who=%00%3Cimg%3E"}, harmless: true},
		{name: "a foreign choice", method: "POST", path: decide, form: url.Values{"choice": {"keep\"\n[[answer]]"}, "who": {"Mallory"}, "token": {"TOKEN"}}, head: map[string]string{"Origin": own}},
		{name: "TOML in a name", method: "POST", path: decide, form: url.Values{"choice": {"keep"}, "who": {"M\"\n[[correction]]\nold = \"a\""}, "token": {"TOKEN"}}, head: map[string]string{"Origin": own}},
	}
	return list
}

// send sends an attack with the token of the session where it has one.
func (b *browser) send(a attack) *httptest.ResponseRecorder {
	plain := httptest.NewRequest("GET", "/", nil)
	for n, v := range b.jar {
		plain.AddCookie(&http.Cookie{Name: n, Value: v})
	}
	token := b.desk.formToken(plain)
	body := strings.ReplaceAll(a.body, "TOKEN", token)
	if a.form != nil {
		body = strings.ReplaceAll(a.form.Encode(), "TOKEN", token)
	}
	if a.method == "" {
		a.method = "GET"
	}
	r := httptest.NewRequest(a.method, "/", strings.NewReader(body))
	u, err := url.ParseRequestURI(strings.ReplaceAll(a.path, "TOKEN", token))
	must(b.tb, err)
	r.URL, r.RequestURI, r.Host = u, u.RequestURI(), testHost
	if a.form != nil {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	if !a.stranger {
		for n, v := range b.jar {
			r.AddCookie(&http.Cookie{Name: n, Value: v})
		}
	}
	for k, v := range a.head {
		switch k {
		case "Host":
			r.Host = v
		case "Cookie":
			r.Header.Add(k, v)
		default:
			r.Header.Set(k, v)
		}
	}
	w := httptest.NewRecorder()
	b.desk.ServeHTTP(w, r)
	return w
}

func TestHostileRequests(t *testing.T) {
	cat := archive(t, nil)
	b := visit(t, cat)
	id := b.first()
	before, jar := dump(t, cat), fmt.Sprint(b.jar)
	list := attacks(id)
	if len(list) < 50 {
		t.Fatalf("only %d", len(list))
	}
	for _, a := range list {
		w := b.send(a)
		page := w.Body.String()
		switch {
		case !a.harmless && (w.Code < 300 || w.Code >= 500):
			t.Errorf("%s: %d", a.name, w.Code)
		case a.harmless && w.Code != http.StatusOK && w.Code/100 != 4:
			t.Errorf("%s: %d", a.name, w.Code)
		case w.Code/100 == 3 && !strings.HasPrefix(w.Header().Get("Location"), "/"):
			t.Errorf("%s leads to %s", a.name, w.Header().Get("Location"))
		}
		if strings.Contains(page, "<script") || strings.Contains(page, "<img") || strings.Contains(page, "<b>you won") || strings.Contains(page, "root:") {
			t.Errorf("%s: foul content comes back", a.name)
		}
		if len(w.Result().Cookies()) > 0 {
			t.Errorf("%s: a cookie was set", a.name)
		}
		for h, want := range map[string]string{"Content-Security-Policy": csp, "X-Content-Type-Options": "nosniff", "Referrer-Policy": "same-origin", "X-Frame-Options": "DENY", "Access-Control-Allow-Origin": ""} {
			if got := w.Header().Get(h); got != want {
				t.Errorf("%s: %s is %q", a.name, h, got)
			}
		}
	}
	if after := dump(t, cat); after != before {
		t.Error("the catalogue or a file of decisions changed")
	}
	if fmt.Sprint(b.jar) != jar {
		t.Error("the cookies changed")
	}
	b.page("/title/weather/place/" + id) // and the desk still works
}

// dump is the whole catalogue as text, with the files of decisions.
func dump(t *testing.T, cat *catalogue.Catalogue) string {
	t.Helper()
	var out strings.Builder
	must(t, cat.Dump(t.Context(), &out))
	list, err := cat.List(t.Context(), catalogue.Filter{})
	must(t, err)
	for _, x := range list.Titles {
		text, _ := os.ReadFile(batch.DecisionsFile(x))
		out.Write(text)
	}
	return out.String()
}

// A link opens the desk once, for the browser that came first.
func TestLinkWorksOnce(t *testing.T) {
	cat, err := catalogue.Open(filepath.Join(t.TempDir(), catalogue.FileName))
	must(t, err)
	defer cat.Close()
	var said []string
	b := visit(t, cat, func(o *Options) { o.Say = func(s string) { said = append(said, s) } })
	if len(said) != 1 || !strings.Contains(said[0], b.desk.Link()) {
		t.Errorf("the next link is not told: %q", said)
	}
	c := &browser{t, b.desk, map[string]string{}}
	ahead := httptest.NewRequest("GET", strings.TrimPrefix(b.desk.Link(), "http://"+testHost), nil)
	ahead.Header.Set("Sec-Purpose", "prefetch")
	if w := c.do(ahead); w.Code != http.StatusForbidden {
		t.Errorf("fetching ahead: %d", w.Code)
	}
	link := strings.TrimPrefix(b.desk.Link(), "http://"+testHost)
	w := c.get(link)
	if w.Code != http.StatusSeeOther {
		t.Errorf("the second link: %d", w.Code)
	}
	cookie := w.Result().Cookies()[0]
	if !cookie.HttpOnly || cookie.SameSite != http.SameSiteStrictMode || cookie.Path != "/" {
		t.Errorf("the cookie is %s", cookie)
	}
	if w := c.get(link); w.Code != http.StatusForbidden {
		t.Errorf("a link twice: %d", w.Code)
	}
	c.page("/")
	if w := c.post("/settings/braille", url.Values{"braille": {"print"}, "token": {b.desk.formToken(&http.Request{Header: http.Header{"Cookie": {b.desk.cookieName("desk") + "=" + b.jar[b.desk.cookieName("desk")]}}})}}); w.Code != http.StatusForbidden {
		t.Errorf("the form token of another browser: %d", w.Code)
	}
	for from, to := range map[string]string{"//evil.example/": "/", "https://evil.example/": "/", "/\\evil.example": "/", "javascript:alert(1)": "/", "/settings": "/settings", "/title/a?page=2": "/title/a?page=2", "/\n/x": "/"} {
		if got := local(from); got != to {
			t.Errorf("local(%q) is %q", from, got)
		}
	}
}
