// Package browser drives Debian's Chromium for tests: pages as a person with a
// keyboard has them, in light, dark and forced colours, narrow and enlarged;
// what axe-core finds on them; and the accessibility tree that a screen reader or
// braille display is given.
package browser

import (
	"context"
	"encoding/json"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"continuo/internal/testkit"
)

// Browser is a running Chromium with axe-core read in.
type Browser struct {
	ctx  context.Context
	stop func()
	axe  string
}

// patience is how long one step may take on a busy machine.
const patience = 30 * time.Second

// Start starts Chromium. The error is a testkit.Missing when the browser or
// axe-core is not there. dir is a new folder for its data.
func Start(dir string) (*Browser, error) {
	chromium, err := exec.LookPath("chromium")
	if err != nil {
		return nil, testkit.Missing{What: "chromium"}
	}
	axe, err := testkit.AxeCore()
	if err != nil {
		return nil, err
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(chromium), chromedp.UserDataDir(dir), chromedp.DisableGPU, chromedp.NoFirstRun,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
		chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-dev-shm-usage", true), chromedp.WSURLReadTimeout(patience))
	if os.Getuid() == 0 {
		options = append(options, chromedp.NoSandbox)
	}
	alloc, stopAlloc := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, stop := chromedp.NewContext(alloc)
	if err := chromedp.Do(ctx); err != nil {
		stop()
		stopAlloc()
		return nil, fmt.Errorf("chromium: %w", err)
	}
	return &Browser{ctx, func() { stop(); stopAlloc() }, axe}, nil
}

// Stop ends the browser.
func (b *Browser) Stop() { b.stop() }

// Page is one tab.
type Page struct {
	t   testing.TB
	b   *Browser
	ctx context.Context
}

// Page opens an empty tab that closes with the test. What goes wrong in it ends
// the test.
func (b *Browser) Page(t testing.TB) *Page {
	t.Helper()
	ctx, stop := chromedp.NewContext(b.ctx)
	t.Cleanup(stop)
	if err := chromedp.Do(ctx); err != nil { // the tab lives as long as the context of its first step
		t.Fatal(err)
	}
	p := &Page{t, b, ctx}
	p.Size(1280, 900)
	return p
}

// run does one step within the time that a step may take.
func run[T any](p *Page, step chromedp.Action[T]) T {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patience)
	defer cancel()
	out, err := chromedp.Run(ctx, step)
	if err != nil {
		p.t.Fatalf("browser: %v", err)
	}
	return out
}

// call sends a command of the protocol (Chrome DevTools Protocol) and reads its
// answer without a type of the library, which can be older than the browser.
func (p *Page) call(method string, params map[string]any, answer any) {
	p.t.Helper()
	if answer == nil {
		answer = &struct{}{}
	}
	run(p, chromedp.Func(func(ctx context.Context, t *chromedp.Target) error { return t.Call(ctx, method, params, answer) }))
}

// Open goes to an address and waits until it is there.
func (p *Page) Open(url string) {
	p.t.Helper()
	run(p, chromedp.Navigate(url))
}

// URL is where the tab is.
func (p *Page) URL() string {
	p.t.Helper()
	return Eval[string](p, "location.href")
}

// Eval evaluates an expression of JavaScript in the page, promises too.
func Eval[T any](p *Page, expression string) (out T) {
	p.t.Helper()
	return run(p, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
}

// do evaluates an expression whose value nobody wants.
func (p *Page) do(expression string) {
	p.t.Helper()
	run(p, chromedp.Evaluate[chromedp.Void](expression))
}

// Size sets the window in CSS pixels.
func (p *Page) Size(width, height int64) {
	p.t.Helper()
	p.call("Emulation.setDeviceMetricsOverride", map[string]any{"width": width, "height": height, "deviceScaleFactor": 1, "mobile": false}, nil)
}

// Modes are the ways in which a page is shown: a light and a dark scheme of
// colours, and the few colours that a person forces on all pages.
func Modes() []string { return []string{"light", "dark", "forced"} }

// Show sets one of Modes.
func (p *Page) Show(mode string) {
	p.t.Helper()
	scheme, forced := "light", "none"
	switch mode {
	case "dark":
		scheme = "dark"
	case "forced":
		scheme, forced = "dark", "active"
	}
	feature := func(name, value string) map[string]any { return map[string]any{"name": name, "value": value} }
	p.call("Emulation.setEmulatedMedia", map[string]any{"features": []any{feature("prefers-color-scheme", scheme), feature("forced-colors", forced), feature("prefers-reduced-motion", "reduce")}}, nil)
	query := map[string]string{"light": "(prefers-color-scheme: light)", "dark": "(prefers-color-scheme: dark)", "forced": "(forced-colors: active)"}[mode]
	if !Eval[bool](p, fmt.Sprintf("matchMedia(%q).matches", query)) {
		p.t.Fatalf("the browser does not show %s colours", mode)
	}
}

// Scripts lets the page have its script files, or not, from the next page on.
func (p *Page) Scripts(on bool) {
	p.t.Helper()
	blocked := []any{}
	if !on {
		blocked = append(blocked, "*.js", "*.js?*")
	}
	p.call("Network.enable", map[string]any{}, nil)
	p.call("Network.setBlockedURLs", map[string]any{"urls": blocked}, nil)
}

// wcag are the rules of axe-core that stand for success criteria of WCAG 2.0,
// 2.1 and 2.2, levels A and AA.
var wcag = []string{"wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"}

// Axe returns what axe-core finds on the page, one line a rule, and how many rules
// found something to look at.
func (p *Page) Axe() (violations []string, passes int) {
	p.t.Helper()
	if !Eval[bool](p, "typeof axe === 'object'") {
		p.do(p.b.axe)
	}
	tags, _ := json.Marshal(wcag)
	out := Eval[struct {
		Violations []string
		Passes     int
	}](p, fmt.Sprintf(`axe.run(document, {runOnly: {type: "tag", values: %s}, resultTypes: ["violations"]}).then(r => ({passes: r.passes.length,
		violations: r.violations.map(v => v.id + ": " + v.help + ": " + v.nodes.slice(0, 3).map(n => n.html.slice(0, 160) + " " + (n.any[0] || n.all[0] || n.none[0] || {}).message).join(" | "))}))`, tags))
	return out.Violations, out.Passes
}

// TooWide tells what makes the page wider than its window, "" when nothing does.
func (p *Page) TooWide() string {
	p.t.Helper()
	return Eval[string](p, `(() => {
		const room = document.documentElement.clientWidth;
		if (document.scrollingElement.scrollWidth <= room) return "";
		const scrolls = e => { for (e = e.parentElement; e && e !== document.body; e = e.parentElement) if (getComputedStyle(e).overflowX !== "visible") return true; return false; };
		const wide = [...document.body.querySelectorAll("*")].filter(e => e.getBoundingClientRect().right > room + 0.5 && !scrolls(e));
		return document.scrollingElement.scrollWidth + " pixels in a window of " + room + ": " + wide.slice(-3).map(e => e.outerHTML.slice(0, 120)).join(" | ");
	})()`)
}

// Body is the markup of the page.
func (p *Page) Body() string {
	p.t.Helper()
	return Eval[string](p, "document.body.outerHTML")
}

// Invalid are the names of the fields that are told to be wrong.
func (p *Page) Invalid() []string {
	p.t.Helper()
	return Eval[[]string](p, `[...document.querySelectorAll("[aria-invalid=true]")].map(e => e.name)`)
}

// Unmarked lists braille cells of the page that are not marked as braille by a tag of
// language with the script subtag Brai (ISO 15924).
func (p *Page) Unmarked() []string {
	p.t.Helper()
	return Eval[[]string](p, `(() => {
		const out = [], walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
		while (walk.nextNode()) {
			const n = walk.currentNode, e = n.parentElement.closest("[lang]");
			if (/[⠁-⣿]/.test(n.data) && !e.lang.includes("-Brai")) out.push(n.parentElement.outerHTML.slice(0, 160));
		}
		return out;
	})()`)
}

// Wait waits until the page has these words.
func (p *Page) Wait(words string) { p.t.Helper(); p.WaitFor(words, "") }

// WaitFor waits for words; link, when not "", is followed again and again until
// then.
func (p *Page) WaitFor(words, link string) {
	p.t.Helper()
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		if strings.Contains(Eval[string](p, "document.body ? document.body.innerText : ''"), words) {
			return
		}
		if link != "" {
			p.Follow(link)
		}
	}
	p.t.Fatalf("%s: %q does not come: %s", p.URL(), words, p.Body())
}

// Submit posts the values by the form of the page that goes to action, over what
// stands in it. Values without a field of the form are sent too.
func (p *Page) Submit(action string, values url.Values) {
	p.t.Helper()
	text, err := json.Marshal(values)
	if err != nil {
		p.t.Fatal(err)
	}
	p.do("void (window.sent = true)")
	found := Eval[bool](p, fmt.Sprintf(`(() => {
		const form = [...document.forms].find(f => f.method === "post" && f.getAttribute("action") === %q);
		if (!form) return false;
		for (const [name, list] of Object.entries(%s)) {
			for (const e of [...form.elements]) if (e.name === name) e.removeAttribute("name");
			for (const v of list) {
				const i = document.createElement("textarea");
				i.name = name; i.value = v; i.hidden = true;
				form.append(i);
			}
		}
		HTMLFormElement.prototype.submit.call(form);
		return true;
	})()`, action, text))
	if !found {
		p.t.Fatalf("%s: no form that goes to %s", p.URL(), action)
	}
	p.arrived("sent")
}

// Enlarge sets the size of text to so many hundredths of what it was.
func (p *Page) Enlarge(percent int) {
	p.t.Helper()
	p.do(fmt.Sprintf(`document.documentElement.style.fontSize = "%d%%"`, percent))
}

// Spacing sets the distances of lines, paragraphs, letters and words that WCAG 2.2,
// 1.4.12, names; or takes them back.
func (p *Page) Spacing(on bool) {
	p.t.Helper()
	p.do(fmt.Sprintf(`(() => {
		const sheet = new CSSStyleSheet();
		sheet.replaceSync("* { line-height: 1.5 !important; letter-spacing: .12em !important; word-spacing: .16em !important } p { margin-bottom: 2em !important }");
		document.adoptedStyleSheets = %v ? [sheet] : [];
	})()`, on))
}

// Clipped lists elements whose text is cut off by a box that cannot grow.
func (p *Page) Clipped() []string {
	p.t.Helper()
	return Eval[[]string](p, `[...document.body.querySelectorAll("*")].filter(e => {
		const s = getComputedStyle(e), hides = v => v === "hidden" || v === "clip";
		if (!e.innerText || e.closest("[aria-hidden=true], svg") || s.display === "inline" || s.position === "absolute" && e.clientWidth <= 1) return false;
		return hides(s.overflowX) && e.scrollWidth > e.clientWidth + 1 || hides(s.overflowY) && e.scrollHeight > e.clientHeight + 1;
	}).map(e => e.outerHTML.slice(0, 120))`)
}

// OutOfOrder lists stops of the Tab key that stand above the one before them. Asked in
// a narrow window, where all is in one column: there the order of the stops must be
// that in which the page is read (WCAG 2.2, 1.3.2 and 2.4.3).
func (p *Page) OutOfOrder() []string {
	p.t.Helper()
	return Eval[[]string](p, `(() => {
		const out = [], stops = [...document.querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, [tabindex='0']")].filter(e => !e.classList.contains("skip") && e.getClientRects().length);
		for (let i = 1; i < stops.length; i++) {
			const before = stops[i-1].getClientRects()[0], now = stops[i].getClientRects()[0];
			if (now.bottom <= before.top) out.push(stops[i].outerHTML.slice(0, 120) + " stands above " + stops[i-1].outerHTML.slice(0, 120));
		}
		return out.concat([...document.querySelectorAll("[tabindex]")].filter(e => e.tabIndex > 0).map(e => "a place of its own in the order: " + e.outerHTML.slice(0, 120)));
	})()`)
}

// Misnamed lists what has a name that does not hold its visible words (WCAG 2.2,
// 2.5.3).
func (p *Page) Misnamed() []string {
	p.t.Helper()
	return Eval[[]string](p, `[...document.querySelectorAll("a[aria-label], button[aria-label], input[aria-label]")].filter(e => !e.getAttribute("aria-label").toLowerCase().includes(e.innerText.trim().toLowerCase())).map(e => e.outerHTML.slice(0, 160))`)
}

// Shot writes a picture of the window, as PNG.
func (p *Page) Shot(path string) {
	p.t.Helper()
	data := run(p, chromedp.CaptureScreenshot())
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		p.t.Fatal(err)
	}
	if err := os.WriteFile(path, data, 0o644); err != nil {
		p.t.Fatal(err)
	}
}

// Problems are the errors that the page wrote to its console or that a content
// security policy refused, since Watch.
type Problems struct {
	mu   sync.Mutex
	list []string
}

// Watch notes errors of scripts, refused content and requests to other hosts,
// from now on. host is the one that pages may ask.
func (p *Page) Watch(host string) *Problems {
	w := &Problems{}
	if err := chromedp.Listen(p.ctx, w.listen(host)); err != nil {
		p.t.Fatal(err)
	}
	return w
}

// String lists what went wrong, one a line.
func (w *Problems) String() string {
	w.mu.Lock()
	defer w.mu.Unlock()
	return strings.Join(w.list, "\n")
}

func (w *Problems) add(s string) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.list = append(w.list, s)
}
