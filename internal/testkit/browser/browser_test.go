package browser

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"continuo/internal/testkit"
)

const good = `<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>Pond</title><meta name="viewport" content="width=device-width">
<style>a{display:inline-block;min-height:24px}a:focus,input:focus,button:focus{outline:3px solid #00f}</style></head><body>
<header><a href="#main">to the text</a><nav aria-label="pages"><a href="/two">second page</a></nav></header>
<main id="main"><h1>Pond</h1><h2>Fish</h2><p>Some words.</p>
<form action="/two"><label for="q">Word</label> <input id="q" name="q"> <label><input type="checkbox" name="b"> Box</label> <button>Go on</button></form></main><script src="/own.js"></script></body></html>`

const bad = `<!DOCTYPE html><html><head><meta charset="utf-8"><style>*:focus{outline:none}#w{width:900px}</style></head><body>
<h2>First</h2><h4>Deep</h4><div tabindex="0">x</div><main><input><button></button><img src="data:,"><p style="color:#aaa;background:#bbb">pale</p>
<div style="overflow:hidden;height:4px">cut off text<br>cut off text</div><div id="w">wide</div></main><main>again</main><nav><a href="#x">one</a></nav><nav><a href="#y">two</a></nav></body></html>`

// The helper sees what is wrong with a bad page and nothing on a good one, and
// works a form by the keyboard alone, with scripts and without.
func TestBrowser(t *testing.T) {
	b, err := Start(t.TempDir())
	testkit.Need(t, err)
	defer b.Stop()
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", "default-src 'none'; script-src 'self'; style-src 'unsafe-inline'")
		switch r.URL.Path {
		case "/own.js":
			w.Header().Set("Content-Type", "text/javascript")
			fmt.Fprint(w, `document.body.dataset.script = "ran"`)
		case "/bad":
			fmt.Fprint(w, bad)
		case "/two":
			fmt.Fprint(w, strings.ReplaceAll(good, "Pond", "two "+r.FormValue("q")+r.FormValue("b")))
		default:
			fmt.Fprint(w, good)
		}
	}))
	defer server.Close()
	p := b.Page(t)
	for _, scripts := range []bool{true, false} {
		p.Scripts(scripts)
		p.Open(server.URL)
		p.Fill("word", "pike")
		p.Tab("box")
		p.Space()
		if got := Eval[string](p, "document.body.dataset.script || ''"); (got == "ran") != scripts {
			t.Errorf("scripts %v: %q", scripts, got)
		}
		p.Follow("go on")
		if got := Eval[string](p, "document.title"); got != "two pikeon" {
			t.Errorf("scripts %v: %s", scripts, got)
		}
	}
	p.Scripts(true)
	p.Open(server.URL)
	for _, mode := range Modes() {
		p.Show(mode)
		if v, passes := p.Axe(); len(v) > 0 || passes < 10 {
			t.Errorf("%s: %v, %d", mode, v, passes)
		}
	}
	if list := Judge(p.Tree()); len(list) > 0 {
		t.Error(list)
	}
	if n := len(p.Stops()); n != 5 {
		t.Errorf("%d stops", n)
	}
	p.Show("light")
	p.Open(server.URL + "/bad")
	v, _ := p.Axe()
	seen := strings.Join(append(v, Judge(p.Tree())...), "\n")
	for _, want := range []string{"color-contrast", "html-has-lang", "label: ", "button-name", "2 of main", "no name: button", "level 2", "after one of level 2", "text outside"} {
		if !strings.Contains(seen, want) {
			t.Errorf("not seen: %s", want)
		}
	}
	p.Size(320, 600)
	if p.TooWide() == "" || len(p.Clipped()) == 0 {
		t.Error("not seen: wide, cut off")
	}
	if stops := p.Stops(); len(stops) == 0 || stops[0].Visible == "" {
		t.Errorf("not seen: no outline: %v", stops)
	}
}
