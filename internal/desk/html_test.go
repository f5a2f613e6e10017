package desk

import (
	"fmt"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// tree parses a page as a browser does (HTML standard, parsing).
func tree(t *testing.T, page string) *html.Node {
	t.Helper()
	n, err := html.Parse(strings.NewReader(page))
	must(t, err)
	return n
}

// each calls f on every element.
func each(n *html.Node, f func(*html.Node)) {
	for x := range n.Descendants() {
		if x.Type == html.ElementNode {
			f(x)
		}
	}
}

func attr(n *html.Node, name string) (string, bool) {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val, true
		}
	}
	return "", false
}

func text(n *html.Node) string {
	var b strings.Builder
	for x := range n.Descendants() {
		if x.Type == html.TextNode {
			b.WriteString(x.Data)
		}
	}
	return strings.TrimSpace(b.String())
}

// faults are what is wrong with the structure of a page: WCAG 2.2, 1.3.1, 2.4.1,
// 2.4.2, 2.4.6, 3.1.1, 3.3.2, 4.1.2, and our own rules.
func faults(root *html.Node) []string {
	var out []string
	bad := func(format string, a ...any) { out = append(out, fmt.Sprintf(format, a...)) }
	ids, labels, count := map[string]bool{}, map[string]bool{}, map[string]int{}
	level := 0
	each(root, func(n *html.Node) {
		count[n.Data]++
		if id, ok := attr(n, "id"); ok {
			if ids[id] {
				bad("the id %q stands twice", id)
			}
			ids[id] = true
		}
		if f, ok := attr(n, "for"); ok {
			labels[f] = true
		}
		if len(n.Data) == 2 && n.Data[0] == 'h' && n.Data[1] >= '1' && n.Data[1] <= '6' {
			if l := int(n.Data[1] - '0'); l > level+1 {
				bad("heading level %d after %d: %s", l, level, text(n))
			}
			level = int(n.Data[1] - '0')
			if text(n) == "" {
				bad("a heading without text")
			}
		}
	})
	for name, want := range map[string]int{"h1": 1, "main": 1, "title": 1, "footer": 1} {
		if count[name] != want {
			bad("%d elements %s", count[name], name)
		}
	}
	each(root, func(n *html.Node) { element(n, ids, labels, bad) })
	return out
}

// element looks at one element.
func element(n *html.Node, ids, labels map[string]bool, bad func(string, ...any)) {
	get := func(name string) string { v, _ := attr(n, name); return v }
	for _, ref := range []string{"aria-labelledby", "aria-describedby"} {
		if v, ok := attr(n, ref); ok && !ids[v] {
			bad("%s names %q, which is not there", ref, v)
		}
	}
	for _, a := range n.Attr {
		if strings.HasPrefix(a.Key, "on") || a.Key == "style" || a.Key == "accesskey" {
			bad("attribute %s on %s", a.Key, n.Data)
		}
	}
	switch n.Data {
	case "html":
		if get("lang") != "en" {
			bad("html has no language")
		}
	case "input", "select", "textarea":
		if get("type") != "hidden" && !labels[get("id")] {
			bad("a field without a label: %s", get("name"))
		}
	case "a":
		if text(n) == "" || get("href") == "" {
			bad("a link without words or target")
		}
		if strings.Contains(get("href"), "//") || get("target") != "" {
			bad("a link that leads elsewhere: %s", get("href"))
		}
	case "button":
		if text(n) == "" {
			bad("a button without words")
		}
	case "table":
		if n.FirstChild == nil || !has(n, "caption") {
			bad("a table without a caption")
		}
	case "th":
		if get("scope") == "" {
			bad("a head cell without scope: %s", text(n))
		}
	case "nav":
		if get("aria-label") == "" {
			bad("a navigation without a name")
		}
	case "section":
		if get("aria-labelledby") == "" {
			bad("a section without a name")
		}
	case "form":
		if strings.EqualFold(get("method"), "post") && !hasToken(n) {
			bad("a form without its token")
		}
	case "svg":
		if get("role") != "img" || get("aria-label") == "" {
			bad("an image without words")
		}
	case "script", "iframe", "object", "embed", "base":
		bad("an element %s", n.Data)
	}
	if strings.ContainsFunc(own(n), func(r rune) bool { return r >= 0x2800 && r <= 0x28FF }) && get("lang") != "en-Brai" {
		bad("braille without its language in %s", n.Data)
	}
}

// own is the text that stands in an element itself.
func own(n *html.Node) string {
	var b strings.Builder
	for c := range n.ChildNodes() {
		if c.Type == html.TextNode {
			b.WriteString(c.Data)
		}
	}
	return b.String()
}

func has(n *html.Node, name string) (found bool) {
	each(n, func(x *html.Node) { found = found || x.Data == name })
	return found
}

func hasToken(n *html.Node) (found bool) {
	each(n, func(x *html.Node) {
		name, _ := attr(x, "name")
		value, _ := attr(x, "value")
		found = found || name == "token" && len(value) == 64
	})
	return found
}

// links are the addresses that a page leads to.
func links(root *html.Node) []string {
	var out []string
	each(root, func(n *html.Node) {
		if href, ok := attr(n, "href"); ok && n.Data == "a" && strings.HasPrefix(href, "/") {
			out = append(out, href)
		}
	})
	return out
}
