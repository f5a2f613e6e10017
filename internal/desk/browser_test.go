package desk_test

import (
	"bytes"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"

	"continuo/internal/catalogue"
	"continuo/internal/decidefile"
	"continuo/internal/demo"
	"continuo/internal/meta"
	"continuo/internal/shelf"
	"continuo/internal/testkit"
	"continuo/internal/testkit/browser"
)

// A state is one page as a person can come upon it: an address, or what comes of a
// form that was sent.
type state struct {
	name, path string
	form       url.Values // sent to action from the page at path
	action     string
	taken      bool // the form is one that can be taken, so nothing is told to be wrong
	invalid    bool // a field is told to be wrong although no form was sent
}

// states are the pages in all their states: every row of the table of pages, each
// way of showing braille, empty and full lists, errors.
func (h *house) states() []state {
	h.t.Helper()
	must(h.t, h.cat.Log(h.t.Context(), "", "Ann", "note", "test"))
	h.damaged()
	h.post("/requests", "/requests", url.Values{"reader": {"r17"}, "title": {"weather"}, "due": {"2026-02-01"}})
	h.post("/requests", "/requests", url.Values{"reader": {"r18"}, "title": {"a book that nobody has"}})
	h.post("/profile/uk", "/profile/uk", url.Values{"copy": {"1"}, "name": {"harbour"}})
	job := h.finished(h.post("/shelf", "/shelf", url.Values{"withlook": {"1"}}))
	key := "/title/" + doubtful
	list := []state{
		{name: "overview", path: "/"}, {name: "overview, nothing found", path: "/?text=zzz"}, {name: "overview, one state", path: "/?state=look"},
		{name: "title", path: key}, {name: "headings", path: key + "/headings"}, {name: "places", path: key + "/places?all=1"},
		{name: "compare", path: key + "/compare"}, {name: "compare, after", path: key + "/compare?volume=1&page=2&view=after"},
		{name: "line", path: key + "/line?volume=1&line=3"}, {name: "line of the edition", path: key + "/line?edition=20"},
		{name: "read", path: key + "/read"}, {name: "read, 14 cells", path: key + "/read?window=5&cells=14&hard=1"},
		{name: "find", path: key + "/find"}, {name: "find, tried", path: key + "/find?as=print&text=the"}, {name: "find, wrong", path: key + "/find?as=cells&text=%E2%82%AC", invalid: true},
		{name: "metadata", path: key + "/metadata"},
		{name: "metadata, wrong", path: key + "/metadata", action: key + "/metadata", form: url.Values{"language": {"english"}, "creator1.name": {"Ann Lee"}, "creator1.role": {"author"}}},
		{name: "metadata, taken", path: key + "/metadata", action: key + "/metadata", form: url.Values{"take": {"0"}}, taken: true},
		{name: "shelf", path: "/shelf"}, {name: "shelf, chosen", path: "/shelf?choose=1&withlook=1"},
		{name: "shelf, wrong", path: "/shelf?choose=1&withlook=1", action: "/shelf", form: url.Values{"withlook": {"1"}, "to": {"card"}, "card": {"none"}, "width": {"x"}, "reader": {"Mary"}}},
		{name: "job", path: job.Path},
		{name: "requests", path: "/requests"}, {name: "requests, none", path: "/requests?state=closed"},
		{name: "requests, wrong", path: "/requests", action: "/requests", form: url.Values{"reader": {"Mary Smith"}, "title": {"weather"}}},
		{name: "request", path: "/request/1"}, {name: "request, wrong", path: "/request/2", action: "/request/2/send", form: url.Values{"to": {"card"}, "card": {"none"}}},
		{name: "profiles", path: "/profiles"}, {name: "profile of the program", path: "/profile/uk"}, {name: "profile", path: "/profile/file-1-harbour"},
		{name: "profile, wrong", path: "/profile/file-1-harbour", action: "/profile/file-1-harbour", form: url.Values{"text": {"nmae = 1\nturns = \"<b>\"\n\nheading_indent = \"six\""}}},
		{name: "copy, wrong", path: "/profile/uk", action: "/profile/uk", form: url.Values{"copy": {"1"}, "name": {"UK"}}},
		{name: "settings", path: "/settings"}, {name: "settings, wrong", path: "/settings", action: "/settings", form: url.Values{"braille": {"cells"}, "cells": {"0"}, "who": {strings.Repeat("x", 300)}}},
		{name: "settings, kept", path: "/settings", action: "/settings", form: url.Values{"braille": {"cells"}, "cells": {"40"}, "who": {"Ann"}}, taken: true},
		{name: "help", path: "/help"}, {name: "no such page", path: "/none"}, {name: "no such title", path: "/title/none"},
		{name: "title, stop", path: "/title/broken"}, {name: "title that cannot be looked into", path: "/title/broken/places"}, {name: "overview, wrong search", path: "/?text=%21%21", invalid: true},
		{name: "title, pages not told", path: "/title/run-on"}, {name: "compare, a part of a page", path: "/title/run-on/compare?from=120"},
		{name: "places, none", path: "/title/baker/places"}, {name: "find, nowhere", path: key + "/find?as=print&text=zzqx"},
		{name: "request, send refused", path: "/request/1", action: "/request/1", form: url.Values{"title": {"nobody has this"}, "state": {"open"}}},
	}
	rule := ""
	for i, id := range h.placeIDs() {
		path := key + "/place/" + id + "?all=1"
		list = append(list, state{name: fmt.Sprint("place ", i+1), path: path})
		if m := regexp.MustCompile(`href="([^"]+/rule\?choice=[^"]+)"`).FindStringSubmatch(h.page(path)); m != nil {
			rule = strings.ReplaceAll(m[1], "&amp;", "&")
		}
	}
	list = append(list, state{name: "rule", path: rule})
	list = append(list, h.shownOtherwise(key, h.placeIDs()[0])...)
	list = append(list, h.decided(key, h.placeIDs()[0])...)
	if rule == "" || len(list) < 60 {
		h.t.Fatalf("%d states, rule %q", len(list), rule)
	}
	return list
}

// damaged adds a title that is no braille and one in whose file no page can be told,
// and a run that was begun.
func (h *house) damaged() {
	h.t.Helper()
	text, err := demo.Titles[2].Volume(demo.Titles[2].Volumes[0])
	must(h.t, err)
	flat := regexp.MustCompile(`[#;][A-J#;P-]+`).ReplaceAll(regexp.MustCompile(`(?m)^\s*\n`).ReplaceAll(bytes.ReplaceAll(text, []byte("\f"), nil), nil), []byte("QQQ"))
	for name, text := range map[string][]byte{"broken/b1.brf": []byte("\x89PNG\x00\x01\x02<b>\xff\xfe\x00"), "run-on/one.brf": flat} {
		file := filepath.Join(h.paper, filepath.FromSlash(name))
		must(h.t, os.MkdirAll(filepath.Dir(file), 0o777))
		must(h.t, os.WriteFile(file, text, 0o666))
	}
	h.run()
	_, err = h.cat.Begin(h.t.Context(), "test")
	must(h.t, err)
}

// shownOtherwise are pages with braille in its other forms, and back.
func (h *house) shownOtherwise(key, id string) (list []state) {
	turn := func(name, path, as string) {
		list = append(list, state{name: name, path: "/settings", action: "/settings/braille", form: url.Values{"braille": {as}, "back": {path}}, taken: true})
	}
	for _, as := range []string{"ascii", "print"} {
		turn("place, in "+as, key+"/place/"+id+"?all=1", as)
		turn("compare, in "+as, key+"/compare", as)
		turn("read, in "+as, key+"/read", as)
		turn("title, in "+as, key, as)
	}
	turn("read, in cells again", key+"/read", "cells")
	return list
}

// decided are the states of a place on the way of a decision.
func (h *house) decided(key, id string) []state {
	place := key + "/place/" + id
	return []state{
		{name: "place, no name", path: place, action: place, form: url.Values{"choice": {"keep"}, "who": {""}, "why": {strings.Repeat("x", 300)}}},
		{name: "place, foreign choice", path: place, action: place, form: url.Values{"choice": {"burn"}, "who": {"Ann"}}, taken: true},
		{name: "place, decided", path: place, action: place, form: url.Values{"choice": {"leave-out"}, "who": {"Ann"}, "why": {"test"}}, taken: true},
		{name: "places, answered", path: key + "/places?all=1"}, {name: "title, decided on", path: key},
		{name: "places, taken back", path: key + "/places?all=1", action: place, form: url.Values{"undo": {"1"}, "who": {"Ann"}}, taken: true},
	}
}

// doubtful is the demo's title with the most doubtful places.
const doubtful = "weather"

// placeIDs are the first places of the title.
func (h *house) placeIDs() []string {
	var out []string
	for _, m := range regexp.MustCompile(`/place/([^"?]+)\?all=1"`).FindAllStringSubmatch(h.page("/title/"+doubtful+"/places?all=1"), 3) {
		out = append(out, m[1])
	}
	return out
}

// body is the page of a state.
func (h *house) body(s state) string {
	h.t.Helper()
	if s.form == nil {
		return h.get(s.path).Body
	}
	return h.post(s.path, s.action, s.form).Body
}

// arrive brings a tab to a state.
func (h *house) arrive(p *browser.Page, s state) {
	h.t.Helper()
	p.Open(h.server.URL + s.path)
	if s.form != nil {
		p.Submit(s.action, s.form)
	}
}

// enter lets the browser in.
func (h *house) enter(b *browser.Browser) *browser.Page {
	h.t.Helper()
	p := b.Page(h.t)
	p.Open(h.desk.Link())
	return p
}

// HTML Living Standard, by html-validate, on every page in every state.
func TestPagesAreValid(t *testing.T) {
	h := open(t)
	dir := t.TempDir()
	var files []string
	for i, s := range h.states() {
		f := filepath.Join(dir, fmt.Sprintf("%02d %s.html", i, strings.ReplaceAll(s.name, ",", "")))
		must(t, os.WriteFile(f, []byte(h.body(s)), 0o666))
		files = append(files, f)
	}
	faults, err := testkit.HTMLValidate("testdata/htmlvalidate.json", files...)
	testkit.Need(t, err)
	for _, f := range faults {
		t.Error(f)
	}
}

// One browser sees every page in every state: axe-core (npm, by Deque) at WCAG 2.2
// A and AA in light, dark and forced colours; the accessibility tree; stops of the
// keyboard; 320 pixels (1.4.10), the spacing of text of 1.4.12, and text at 400
// hundredths (1.4.4 asks for 200).
// Then every main task is done by keyboard alone, without the pages' scripts too.
func TestInTheBrowser(t *testing.T) {
	b, err := browser.Start(t.TempDir())
	testkit.Need(t, err)
	defer b.Stop()
	t.Run("pages", func(t *testing.T) { everyPage(t, b) })
	t.Run("keyboard", func(t *testing.T) { byKeyboard(t, b) })
}

func everyPage(t *testing.T, b *browser.Browser) {
	h := open(t)
	stranger := b.Page(t)
	stranger.Open(h.server.URL + "/")
	h.looksAt(stranger, state{name: "not let in"})
	nothing := &house{t: t, cat: emptyCatalogue(t)}
	nothing.serve()
	e := nothing.enter(b)
	for _, path := range []string{"/", "/shelf?choose=1", "/requests", "/profiles"} {
		e.Open(nothing.server.URL + path)
		nothing.looksAt(e, state{name: "empty archive, " + path})
	}
	p := h.enter(b)
	trouble := p.Watch(strings.TrimPrefix(h.server.URL, "http://"))
	for _, s := range h.states() {
		h.arrive(p, s)
		h.looksAt(p, s)
	}
	if s := trouble.String(); s != "" {
		t.Error(s)
	}
}

func emptyCatalogue(t *testing.T) *catalogue.Catalogue {
	t.Helper()
	cat, err := catalogue.Open(filepath.Join(t.TempDir(), catalogue.FileName))
	must(t, err)
	t.Cleanup(func() { cat.Close() })
	return cat
}

// looksAt looks at a page in every way that a program can.
func (h *house) looksAt(p *browser.Page, s state) {
	t := h.t
	for _, mode := range browser.Modes() {
		p.Show(mode)
		violations, passes := p.Axe()
		for _, v := range violations {
			t.Errorf("%s, %s: %s", s.name, mode, v)
		}
		if passes < 10 {
			t.Errorf("%s, %s: only %d rules looked at anything", s.name, mode, passes)
		}
	}
	p.Show("light")
	for _, fault := range browser.Judge(p.Tree()) {
		t.Errorf("%s: %s", s.name, fault)
	}
	for _, m := range p.Unmarked() {
		t.Errorf("%s: braille that is not marked: %s", s.name, m)
	}
	if s.form != nil && !s.taken && !browser.Eval[bool](p, `document.activeElement.matches("section.wrong")`) {
		t.Errorf("%s: the focus is not on what is wrong", s.name)
	}
	if moving := browser.Eval[int](p, `document.getAnimations().length + document.querySelectorAll("marquee, blink, [http-equiv=refresh]").length`); moving > 0 {
		t.Errorf("%s: %d things move", s.name, moving)
	}
	h.fits(p, s)
	if (s.form != nil && !s.taken || s.invalid) != (len(p.Invalid()) > 0) {
		t.Errorf("%s: fields told to be wrong: %v", s.name, p.Invalid())
	}
}

// fits looks at a page in a narrow window and with large text.
func (h *house) fits(p *browser.Page, s state) {
	h.t.Helper()
	p.Size(320, 640)
	if wide := p.TooWide(); wide != "" {
		h.t.Errorf("%s at 320 pixels: %s", s.name, wide)
	}
	for _, f := range append(p.OutOfOrder(), p.Misnamed()...) {
		h.t.Errorf("%s: %s", s.name, f)
	}
	p.Size(1280, 900)
	p.Spacing(true)
	for _, c := range append(p.Clipped(), p.TooWide()) {
		if c != "" {
			h.t.Errorf("%s with wide spacing: %s", s.name, c)
		}
	}
	p.Spacing(false)
	p.Enlarge(400)
	if wide := p.TooWide(); wide != "" {
		h.t.Errorf("%s with text at 400 %%: %s", s.name, wide)
	}
	for _, c := range p.Clipped() {
		h.t.Errorf("%s with text at 400 %%: cut off: %s", s.name, c)
	}
	p.Enlarge(100)
}

// byKeyboard does every main task with Tab, Enter, blank and letters. Every stop on
// the way must be seen (2.4.7, 2.4.11).
func byKeyboard(t *testing.T, b *browser.Browser) {
	h := open(t)
	must(t, os.CopyFS(filepath.Join(h.paper, "numbers"), os.DirFS(filepath.Join(h.paper, doubtful))))
	again(t, filepath.Join(h.paper, "numbers"))
	h.run()
	p := h.enter(b)
	p.Scripts(false)

	// past the head, find a title, open it
	p.Tab("skip to the content")
	p.Keys(kb.Enter)
	p.Keys(kb.Tab)
	if !browser.Eval[bool](p, `!!document.activeElement.closest("main")`) {
		t.Errorf("past the head: %s", p.Focus().HTML)
	}
	p.Fill("title number", "under wat")
	p.Follow("find")
	p.Follow("the bell")
	at(t, p, "/title/bell")
	p.Open(h.server.URL + "/title/" + doubtful)

	// decide a doubtful place, see it, take it back
	p.Follow("doubtful places")
	if h.page("/title/"+doubtful+"/places") == "" || !strings.Contains(p.Body(), "/place/") {
		p.Follow("list them too")
	}
	h.decideOne(p)

	// read, jump
	p.Open(h.server.URL + "/title/" + doubtful)
	p.Follow("read it as on a display")
	p.Follow("next")
	if !strings.Contains(p.URL(), "window=2") {
		t.Errorf("next: %s", p.URL())
	}
	p.Keys(kb.Tab) // the keyboard goes on where the new content begins
	if f := p.Focus(); f.Name != "Next window" {
		t.Errorf("after next the keyboard goes on at %q", f.Name)
	}
	p.Fill("cells of the display", "14")
	p.Follow("go there")
	if !strings.Contains(p.Body(), "A display of 14 cells") {
		t.Error("it is not read on 14 cells")
	}
	p.Open(h.server.URL + "/title/" + doubtful)
	p.Follow("headings")
	p.FollowIn("main", "")
	if !strings.Contains(p.URL(), "/read") && !strings.Contains(p.URL(), "/line") {
		t.Errorf("a heading leads to %s", p.URL())
	}

	// before and after, account
	p.Open(h.server.URL + "/title/" + doubtful)
	p.Follow("before and after")
	at(t, p, "/title/"+doubtful+"/compare")
	p.Follow("next page")
	p.Follow("show one after the other")
	p.Follow("account of line")
	at(t, p, "/title/"+doubtful+"/line")
	p.Follow("the whole page, before and after")
	at(t, p, "/title/"+doubtful+"/compare")

	// show braille in another way, on any page
	p.Follow("braille ascii")
	if !strings.Contains(p.Body(), `class="ascii"`) {
		t.Error("braille is not shown as Braille ASCII")
	}

	h.finding(p)
	h.describing(p)
	h.delivering(p)
	h.settingUp(p)
	h.doingForAll(p)
}

// at wants a path.
func at(t testing.TB, p *browser.Page, path string) {
	t.Helper()
	if u, err := url.Parse(p.URL()); err != nil || u.Path != path {
		t.Fatalf("at %s, not at %s", p.URL(), path)
	}
}

// decideOne answers the first place of the list and takes the answer back.
func (h *house) decideOne(p *browser.Page) {
	t := h.t
	p.FollowIn("main ol", "")
	place := p.URL()
	path := filepath.Join(h.paper, doubtful, "title.decisions.toml")
	p.Fill("your name", "Ann")
	p.TabTo("button[name=choice]")
	p.Press()
	_, f, err := decidefile.Read(path)
	if err != nil || len(f.Answers) != 1 || f.Answers[0].Who != "Ann" {
		t.Fatalf("the decision: %v %+v", err, f)
	}
	p.Open(place)
	if !strings.Contains(p.Body(), "Take the answer back") { // it does not arise any more
		p.Open(h.server.URL + "/title/" + doubtful + "/places")
	}
	p.TabTo("button[name=undo]")
	p.Press()
	if _, f, err = decidefile.Read(path); err != nil || len(f.Answers) != 0 {
		t.Errorf("not taken back: %v %+v", err, f)
	}
}

// finding tries a search and goes on reading from where it lands.
func (h *house) finding(p *browser.Page) {
	p.Open(h.server.URL + "/title/" + doubtful)
	p.Follow("finding places")
	p.Fill("search for", "the")
	p.Keys(kb.Enter)
	p.Wait("Where it lands")
	p.Follow("read from line")
	at(h.t, p, "/title/"+doubtful+"/read")
}

// describing takes an offer into the metadata and saves it.
func (h *house) describing(p *browser.Page) {
	p.Open(h.server.URL + "/title/" + doubtful)
	p.Follow("metadata")
	p.Follow("take this into the form")
	p.Fill("language", "en-GB")
	p.Follow("save the metadata")
	got, err := meta.Load(filepath.Join(h.paper, doubtful, meta.FileName))
	if err != nil || got.Title == "" || got.Language != "en-GB" {
		h.t.Errorf("%+v %v", got, err)
	}
}

// delivering takes in a request, sends it to a card, and packs a download.
func (h *house) delivering(p *browser.Page) {
	t := h.t
	p.Follow("requests")
	p.Fill("reader code, such as r17", "r17")
	p.Fill("title number", "weather")
	p.Follow("take it in")
	p.Follow("request 1")
	card := t.TempDir()
	p.Tab("a download")
	p.Keys(kb.ArrowDown) // to "a card"
	p.Fill("folder of the card", card)
	p.Tab("a title that wants")
	p.Space()
	p.Follow("send")
	p.WaitFor("Done:", "look again")
	if c, err := shelf.Read(card); err != nil || len(c.Titles) != 1 {
		t.Errorf("the card: %+v %v", c, err)
	}
	if list, err := h.cat.Requests(t.Context(), catalogue.Sent, "r17"); err != nil || len(list) != 1 {
		t.Errorf("the request: %+v %v", list, err)
	}
	p.Follow("shelf")
	p.Tab("titles that want")
	p.Space()
	p.Follow("show what would go on it")
	p.Follow("build it")
	p.WaitFor("Done:", "look again")
	if f := p.Tab("download shelf.zip"); f.Tag != "a" {
		t.Errorf("the download is %s", f.HTML)
	}
}

// settingUp copies a profile, makes a slip in it, mends it; and sets the cells of the
// display.
func (h *house) settingUp(p *browser.Page) {
	t := h.t
	p.Follow("profiles")
	p.Follow("uk")
	p.Fill("name of the copy", "harbour")
	p.Follow("copy")
	p.Fill("the profile, in toml", "nmae = \"harbour\"")
	p.Follow("check and save")
	if !strings.Contains(p.Body(), "Line 1:") {
		t.Error("a slip in a profile passes")
	}
	p.Fill("the profile, in toml", "name = \"harbour\"")
	p.Follow("check and save")
	text, err := os.ReadFile(filepath.Join(h.cat.Folder(), "profiles", "harbour.toml"))
	if err != nil || string(text) != "name = \"harbour\"" {
		t.Errorf("%q %v", text, err)
	}
	p.Follow("settings")
	p.Fill("cells of the display", "20")
	p.Follow("keep these settings")
	p.Open(h.server.URL + "/title/" + doubtful + "/read")
	if !strings.Contains(p.Body(), "20 cells") && !strings.Contains(p.Body(), `value="20"`) {
		t.Error("the cells of the display are not kept")
	}
}

// doingForAll answers for all places of a title with the same words, and takes that
// back; then takes the profile into use and stores a house rule in it.
func (h *house) doingForAll(p *browser.Page) {
	t := h.t
	p.Open(h.server.URL + "/title/numbers/places")
	p.Follow("is this number text")
	path := filepath.Join(h.paper, "numbers", "title.decisions.toml")
	for _, c := range []struct {
		box, button string
		answers     int
	}{{"answer so at 1 other place", "keep it", 2}, {"take the same answer back at 1 other place", "take the answer back", 0}} {
		p.Tab(c.box)
		p.Space()
		p.Follow(c.button)
		if _, f, err := decidefile.Read(path); err != nil || len(f.Answers) != c.answers {
			t.Fatalf("%s: %v %+v", c.button, err, f)
		}
		if c.answers > 0 {
			p.Follow("back to the place that was just decided")
		}
	}
	p.Follow("profiles")
	p.Follow("harbour.toml")
	p.Follow("use it from the next run on")
	p.Open(h.server.URL + "/title/" + doubtful + "/place/" + h.placeIDs()[0])
	p.Follow("always: leave it out")
	p.Fill("your name", "Ann")
	p.Follow("store the rule")
	if text, err := os.ReadFile(filepath.Join(h.cat.Folder(), "profiles", "harbour.toml")); err != nil || !strings.Contains(string(text), "[[rule]]") {
		t.Errorf("no rule: %v %s", err, text)
	}
}

// Pictures for the README: CONTINUO_PICTURES names the folder to write them to.
func TestPictures(t *testing.T) {
	dir := os.Getenv("CONTINUO_PICTURES")
	if dir == "" {
		t.Skip("CONTINUO_PICTURES=docs/images makes the pictures of the README")
	}
	if !filepath.IsAbs(dir) {
		dir = filepath.Join("..", "..", dir)
	}
	b, err := browser.Start(t.TempDir())
	testkit.Need(t, err)
	defer b.Stop()
	h := open(t)
	p := h.enter(b)
	p.Size(960, 640)
	key := "/title/" + doubtful
	for name, path := range map[string]string{"desk-place": key + "/place/" + h.placeIDs()[0] + "?all=1", "desk-compare": "/title/baker/compare?volume=1&page=8", "desk-read": key + "/read?line=20&cells=40"} {
		p.Open(h.server.URL + path)
		p.Shot(filepath.Join(dir, name+".png"))
	}
	if os.Getenv("CONTINUO_PICTURES_ALL") != "" {
		h.protocol(p, filepath.Join(dir, "all"))
	}
}

// protocol writes what the manual protocol of docs/accessibility.md looks at: every
// page in narrow, enlarged and forced form, with its stops of the keyboard and its
// accessibility tree.
func (h *house) protocol(p *browser.Page, dir string) {
	for i, s := range h.states() {
		name := filepath.Join(dir, fmt.Sprintf("%02d-%s", i, strings.NewReplacer(",", "", " ", "-").Replace(s.name)))
		h.arrive(p, s)
		p.Size(320, 1600)
		p.Shot(name + "-320.png")
		p.Size(1280, 1400)
		for _, mode := range browser.Modes() {
			p.Show(mode)
			p.Shot(name + "-" + mode + ".png")
		}
		p.Show("light")
		p.Size(1280, 4000)
		p.Enlarge(400)
		p.Shot(name + "-400.png")
		p.Enlarge(100)
		var text strings.Builder
		for n, f := range p.Stops() {
			fmt.Fprintf(&text, "stop %d: %s %q %s\n", n+1, f.Tag, f.Name, f.Visible)
		}
		for _, n := range p.Tree() {
			if n.Role != "StaticText" {
				fmt.Fprintln(&text, n)
			}
		}
		must(h.t, os.WriteFile(name+".txt", []byte(text.String()), 0o666))
	}
}
