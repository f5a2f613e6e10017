package ebrl

import (
	"strings"
)

const entryPage = "index.html"

// checkEntryPage checks index.html: the link to the package document and the
// navs (8).
func (c *checker) checkEntryPage() {
	if c.files[entryPage] == nil {
		c.add("C7", "", 0, "there is no index.html in the root")
		return
	}
	root := c.readDocument(entryPage)
	if root == nil {
		return
	}
	c.publicationLink(root)
	counts := map[string]int{}
	root.walk(func(n *node) bool {
		if !n.html("nav") {
			return true
		}
		kinds := strings.Fields(kindOf(n))
		if len(kinds) == 0 {
			kinds = []string{""}
		}
		for _, kind := range kinds {
			counts[kind]++
			c.nav(n, kind, counts[kind])
		}
		return false
	})
	if counts["toc"] == 0 {
		c.add("N3", entryPage, root.line, "has no nav of type toc")
	}
	breaks := 0
	for _, it := range c.pkg.refs {
		breaks += len(c.docs[it.path].marks())
	}
	c.pageLists = counts["page-list"]
	if c.pageLists == 0 && breaks > 0 {
		c.add("N7", entryPage, root.line, "has no page list, and the text has %d page breaks", breaks)
	}
}

func kindOf(n *node) string {
	v, _ := n.attrNS(nsOPS, "type")
	return v
}

// publicationLink checks the link to the package document (8.2).
func (c *checker) publicationLink(root *node) {
	found := false
	root.walk(func(n *node) bool {
		if n.html("body") {
			return false
		}
		if n.html("link") && has(n.value("rel"), "publication") {
			found = true
			if n.value("href") != opf {
				c.add("N1", entryPage, n.line, "the link of rel publication leads to %q, not to package.opf", n.value("href"))
			}
			if n.value("type") != "application/oebps-package+xml" {
				c.add("N1", entryPage, n.line, "the link of rel publication has the type %q, not application/oebps-package+xml", n.value("type"))
			}
		}
		return true
	})
	if !found {
		c.add("N1", entryPage, root.line, "has no link of rel publication in its head")
	}
}

// nav checks one nav element; nth counts those of its type.
func (c *checker) nav(n *node, kind string, nth int) {
	role := n.value("role")
	switch kind {
	case "toc":
		c.navRole(n, "N3", role, "doc-toc", nth)
		c.navList(n, "N3", kind, true)
	case "page-list":
		c.navRole(n, "N6", role, "doc-pagelist", nth)
		c.navList(n, "N6", kind, false)
		c.titles(n)
	case "landmarks":
		if nth > 1 {
			c.add("N8", entryPage, n.line, "has a second nav of type landmarks")
		}
		c.navList(n, "N8", kind, false)
		c.landmarks(n)
	default:
		if kids := n.elements(); len(kids) == 0 || !isHeading(kids[0].name) {
			c.add("N3", entryPage, n.line, "a nav of type %q does not begin with a heading", kind)
		}
		c.navList(n, "N3", kind, true)
	}
}

func (c *checker) navRole(n *node, rule, role, want string, nth int) {
	if !has(role, want) {
		c.add(rule, entryPage, n.line, "the nav of type %s does not have the role %s", kindOf(n), want)
	}
	if nth > 1 {
		c.add(rule, entryPage, n.line, "has a second nav of type %s", kindOf(n))
	}
}

// navList checks the content of a nav: a heading or none, then one ol.
func (c *checker) navList(n *node, rule, kind string, nested bool) {
	kids := n.elements()
	if len(kids) > 0 && kids[0].space == nsXHTML && isHeading(kids[0].name) {
		if blank(kids[0].all()) {
			c.add("N4", entryPage, kids[0].line, "the heading of a nav is empty")
		}
		kids = kids[1:]
	}
	if len(kids) != 1 || !kids[0].html("ol") {
		c.add(rule, entryPage, n.line, "a nav holds something else than a heading and one ol")
		return
	}
	c.navItems(kids[0], rule, kind, nested)
}

func (c *checker) navItems(ol *node, rule, kind string, nested bool) {
	if len(ol.elements()) == 0 {
		c.add(rule, entryPage, ol.line, "a list of a nav is empty")
	}
	for _, li := range ol.elements() {
		kids := li.elements()
		if !li.html("li") || len(kids) == 0 || !kids[0].html("a") && !kids[0].html("span") {
			c.add(rule, entryPage, li.line, "an entry of a nav is not one li that begins with a or span")
			continue
		}
		label := kids[0]
		if blank(label.all()) {
			c.add("N4", entryPage, label.line, "an entry of a nav has an empty label")
		}
		if href, ok := label.attr("href"); label.html("a") && !ok {
			c.add(rule, entryPage, label.line, "an entry of a nav has no href")
		} else if ok {
			c.addLink(entryPage, href, label.line, kind)
		}
		switch {
		case len(kids) == 2 && kids[1].html("ol"):
			if !nested {
				c.add(rule, entryPage, kids[1].line, "a list of type %s has another list in it", kind)
			}
			c.navItems(kids[1], rule, kind, nested)
		case len(kids) > 1:
			c.add(rule, entryPage, li.line, "an entry of a nav holds something else than a label and one ol")
		case label.html("span"):
			c.add(rule, entryPage, li.line, "an entry without a link has no list after it")
		}
	}
}

// titles checks the links of the page list: the title has the number in print,
// the text the number in braille alone (8.3.2).
func (c *checker) titles(n *node) {
	n.walk(func(a *node) bool {
		if !a.html("a") {
			return true
		}
		text := strings.Trim(a.all(), " \t\r\n\u00a0\u2800")
		switch title := a.value("title"); {
		case title == "":
			c.add("N6", entryPage, a.line, "the entry %q of the page list has no title with the number in print", text)
		case strings.ContainsFunc(title, isCell):
			c.add("N6", entryPage, a.line, "the title %q of an entry of the page list is in braille, not in print", title)
		}
		if strings.ContainsAny(text, " \t\r\n\u00a0\u2800") {
			c.add("N6", entryPage, a.line, "the entry %q of the page list holds more than a number", text)
		}
		return true
	})
}

// isCell reports whether a character is a braille pattern.
func isCell(r rune) bool { return r >= 0x2800 && r <= 0x28FF }

func (c *checker) landmarks(n *node) {
	seen := map[string]bool{}
	n.walk(func(a *node) bool {
		if !a.html("a") {
			return true
		}
		kind := strings.TrimSpace(kindOf(a))
		if kind == "" {
			c.add("N8", entryPage, a.line, "a landmark has no epub:type")
		}
		key := kind + " " + a.value("href")
		if seen[key] {
			c.add("N8", entryPage, a.line, "the landmark %q stands twice", key)
		}
		seen[key] = true
		return true
	})
}

// blank reports whether a label shows nothing: white space or cells without
// dots.
func blank(s string) bool {
	return strings.Trim(s, " \t\r\n\u00a0\u00ad\u2800") == ""
}

func isHeading(name string) bool {
	return len(name) == 2 && name[0] == 'h' && name[1] >= '1' && name[1] <= '6'
}
