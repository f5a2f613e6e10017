package browser

import (
	"context"
	"fmt"
	"strings"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// Focus is the element that has the keyboard.
type Focus struct {
	Name    string // as a person would call it: label, text or title
	Tag     string // small letters; of a field with its type: "input/text"
	HTML    string
	Visible string // "" when its focus can be seen, else why not
}

// focused asks the page which element has the keyboard, what it is called, and
// whether a person can see that it has it: it lies in the window (WCAG 2.2,
// 2.4.11), and it has an outline or looks otherwise than before (2.4.7).
const focused = `(() => {
	const e = document.activeElement;
	if (!e || e === document.body) return {Name: "", Tag: "body", HTML: "", Visible: ""};
	const label = e.labels && e.labels.length ? [...e.labels].map(l => l.innerText).join(" ") : "";
	const by = e.getAttribute("aria-labelledby");
	const name = e.getAttribute("aria-label") || (by ? by.split(" ").map(i => (document.getElementById(i) || {}).innerText || "").join(" ") : "") || label || e.innerText || e.value || e.title || "";
	const s = getComputedStyle(e), r = e.getBoundingClientRect();
	let why = "";
	if (s.outlineStyle === "none" || parseFloat(s.outlineWidth) < 2) why = "its outline is " + s.outlineStyle + " " + s.outlineWidth;
	if (r.bottom <= 0 || r.top >= innerHeight || r.right <= 0 || r.left >= innerWidth || r.width === 0) why = "it is out of sight";
	else {
		const at = document.elementFromPoint(Math.min(Math.max(r.left + r.width / 2, 1), innerWidth - 1), Math.min(Math.max(r.top + Math.min(r.height / 2, 12), 1), innerHeight - 1));
		if (at && at !== e && !e.contains(at) && !at.contains(e) && !(e.labels && [...e.labels].some(l => l.contains(at)))) why = "it is covered by " + at.outerHTML.slice(0, 80);
	}
	return {Name: name.trim().replace(/\s+/g, " "), Tag: e.tagName.toLowerCase() + (e.type && e.tagName === "INPUT" ? "/" + e.type : ""), HTML: e.outerHTML.slice(0, 160), Visible: why};
})()`

// Focus is what has the keyboard now.
func (p *Page) Focus() Focus {
	p.t.Helper()
	return Eval[Focus](p, focused)
}

// Keys presses keys, one after the other: characters, or those of package kb.
func (p *Page) Keys(keys string) {
	p.t.Helper()
	run(p, chromedp.KeyEvent(keys))
}

// maxTabs is more stops than any page may have before the one that is wanted.
const maxTabs = 400

// Tab goes on by the Tab key until something has the keyboard whose name holds the
// words, in any case. Every stop on the way must be visible.
func (p *Page) Tab(name string) Focus {
	p.t.Helper()
	return p.tab(name, 0)
}

func (p *Page) tab(name string, shift int) Focus {
	p.t.Helper()
	var seen []string
	ends := 0
	for range maxTabs {
		if shift == 1 {
			run(p, chromedp.KeyEvent(kb.Tab, chromedp.KeyModifiers(chromedp.ModifierShift)))
		} else {
			p.Keys(kb.Tab)
		}
		f := p.Focus()
		if f.Visible != "" {
			p.t.Errorf("%s: the keyboard is at %q and it cannot be seen: %s: %s", p.URL(), f.Name, f.Visible, f.HTML)
		}
		if f.Tag != "body" && strings.Contains(strings.ToLower(f.Name), strings.ToLower(name)) {
			return f
		}
		seen = append(seen, f.Name)
		if f.Tag != "body" {
			continue
		}
		if ends++; ends > 1 { // once round
			break
		}
	}
	p.t.Fatalf("%s: no way by Tab to %q; stops: %s", p.URL(), name, strings.Join(seen, " / "))
	return Focus{}
}

// Press presses Enter where the keyboard is and waits for the next page.
func (p *Page) Press() { p.t.Helper(); p.leave(kb.Enter) }

// Space presses the blank where the keyboard is: it ticks a box, or works a
// button.
func (p *Page) Space() { p.t.Helper(); p.Keys(" ") }

// leave presses a key that leads to another page.
func (p *Page) leave(key string) {
	p.t.Helper()
	mark := fmt.Sprintf("left%d", time.Now().UnixNano())
	p.do("void (window." + mark + " = true)")
	p.Keys(key)
	p.arrived(mark)
}

// arrived waits for the page after the one that has a mark.
func (p *Page) arrived(mark string) {
	p.t.Helper()
	for end := time.Now().Add(patience / 2); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		ctx, cancel := context.WithTimeout(p.ctx, patience)
		there, err := chromedp.Run(ctx, chromedp.Evaluate[bool]("!window."+mark+" && document.readyState === 'complete'"))
		cancel()
		if err == nil && there { // between two pages there is none to ask
			return
		}
	}
	p.t.Fatalf("%s: nothing happens at %q", p.URL(), p.Focus().Name)
}

// Follow goes by Tab to what has this name and presses Enter there.
func (p *Page) Follow(name string) {
	p.t.Helper()
	p.Tab(name)
	p.Press()
}

// FollowIn goes by Tab to the first stop within what a selector of style sheets
// means, whose name holds the words, and presses Enter there.
func (p *Page) FollowIn(within, name string) {
	p.t.Helper()
	p.TabTo(within+" a", within+" button", within+" input")
	for n := 0; !strings.Contains(strings.ToLower(p.Focus().Name), strings.ToLower(name)); n++ {
		if n > maxTabs {
			p.t.Fatalf("%s: no way by Tab to %q in %s", p.URL(), name, within)
		}
		p.Keys(kb.Tab)
	}
	p.Press()
}

// TabTo goes on by the Tab key until an element has the keyboard that one of the
// selectors means.
func (p *Page) TabTo(selectors ...string) {
	p.t.Helper()
	for range maxTabs {
		p.Keys(kb.Tab)
		if Eval[bool](p, fmt.Sprintf("document.activeElement.matches(%q)", strings.Join(selectors, ", "))) {
			return
		}
	}
	p.t.Fatalf("%s: no way by Tab to %v", p.URL(), selectors)
}

// Fill goes by Tab to the field with this label and types into it, over what
// stands in it.
func (p *Page) Fill(label, text string) {
	p.t.Helper()
	if f := p.Tab(label); !strings.HasPrefix(f.Tag, "input/") && f.Tag != "textarea" {
		p.t.Fatalf("%q is a %s", label, f.Tag)
	}
	run(p, chromedp.KeyEvent("a", chromedp.KeyModifiers(chromedp.ModifierCtrl)))
	p.Keys(kb.Delete + text)
}

// Stops lists all stops of the Tab key on the page, from its start, and tells of
// those that cannot be seen. It fails when the keyboard cannot leave an element.
func (p *Page) Stops() []Focus {
	p.t.Helper()
	p.do("document.activeElement && document.activeElement.blur(); scrollTo(0, 0)")
	var out []Focus
	for range maxTabs {
		p.Keys(kb.Tab)
		f := p.Focus()
		if f.Tag == "body" {
			return out
		}
		if n := len(out); n > 1 && out[n-1].HTML == f.HTML && out[n-2].HTML == f.HTML {
			p.t.Errorf("%s: the keyboard cannot leave %q", p.URL(), f.HTML)
			return out
		}
		if len(out) > 0 && out[0].HTML == f.HTML {
			return out
		}
		out = append(out, f)
	}
	p.t.Errorf("%s: more than %d stops", p.URL(), maxTabs)
	return out
}
