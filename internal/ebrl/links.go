package ebrl

import (
	"net/url"
	"path"
	"strings"
)

// target is a URL as seen from a file of the publication: a path in it and a
// fragment, or a scheme of its own. bad says why it cannot be used.
type target struct {
	path, fragment, scheme, bad string
}

// resolve reads a URL in a file.
func (c *checker) resolve(from, href string) target {
	u, err := url.Parse(strings.TrimSpace(href))
	switch {
	case err != nil:
		return target{bad: "is no URL"}
	case strings.EqualFold(u.Scheme, "file"):
		return target{bad: "is a file URL"}
	case u.Scheme != "":
		return target{scheme: strings.ToLower(u.Scheme)}
	case u.Host != "":
		return target{scheme: "https"}
	case strings.HasPrefix(u.Path, "/"):
		return target{bad: "begins with a solidus"}
	}
	if u.Path == "" {
		return target{path: from, fragment: u.Fragment}
	}
	p := path.Join(path.Dir(from), u.Path)
	if p == ".." || strings.HasPrefix(p, "../") {
		return target{bad: "leads out of the publication"}
	}
	return target{path: p, fragment: u.Fragment}
}

// link is a hyperlink within the publication. nav is the type of the nav element
// that it stands in.
type link struct {
	file, path, fragment string
	line                 int
	nav                  string
}

// document is what is kept of an XHTML file after it was read.
type document struct {
	unread bool           // not well-formed: its ids are not known
	ids    map[string]int // id to its place in the file
	breaks []mark         // print page breaks
	lists  bool           // has ul or ol
	sheets []string       // style sheets that it uses
	styled bool           // has list-style in a style element
}

// mark is a print page break.
type mark struct {
	id   string
	line int
}

// addLink takes down a hyperlink; what leads to the world outside is allowed.
func (c *checker) addLink(file, href string, line int, nav string) {
	u := c.resolve(file, href)
	switch {
	case u.bad != "":
		c.add("C12", file, line, "the link %q %s", href, u.bad)
		return
	case u.scheme == "javascript":
		c.add("X4", file, line, "a link is a script")
		return
	case u.scheme != "" && nav != "":
		c.add("N3", file, line, "the entry %q leads out of the publication", href)
		return
	case u.scheme != "":
		return
	}
	if c.nLink++; c.nLink > MaxLinks {
		c.failed = refuse("the publication has more than %d links", MaxLinks)
		return
	}
	c.links = append(c.links, link{file, u.path, u.fragment, line, nav})
}

// resource checks a URL that a document needs: it must be in the manifest.
func (c *checker) resource(file, href string, line int) string {
	u := c.resolve(file, href)
	switch {
	case u.bad != "":
		c.add("C12", file, line, "the resource %q %s", href, u.bad)
	case u.scheme == "data":
	case u.scheme != "":
		c.add("C12", file, line, "the resource %q is not in the publication", href)
	case c.pkg.read && !c.pkg.paths[u.path]:
		c.add("P5", file, line, "the resource %q is not in the manifest", u.path)
	default:
		return u.path
	}
	return ""
}

// checkLinks checks where links lead, their order in the entry page, and that
// the page list has every break.
func (c *checker) checkLinks() {
	if !c.pkg.read {
		return
	}
	reached := map[string]bool{}
	listed := map[string]bool{}
	for _, l := range c.links {
		reached[l.path] = true
		if l.nav == "page-list" {
			listed[l.path+"#"+l.fragment] = true
		}
		c.checkLink(l)
	}
	for _, it := range c.pkg.away {
		if !reached[it.path] {
			c.add("P6", opf, c.pkg.lines[it.path], "%q is not linear and no link leads to it", it.href)
		}
	}
	c.checkOrder("toc")
	c.checkOrder("page-list")
	for _, it := range c.pkg.refs {
		for _, b := range c.docs[it.path].marks() {
			c.rep.Pages++
			switch {
			case b.id == "":
				c.add("N7", it.path, b.line, "a page break has no id, so that no page list can name it")
			case !listed[it.path+"#"+b.id] && c.files[entryPage] != nil && !c.docs[entryPage].unread && c.pageLists > 0:
				c.add("N7", it.path, b.line, "the page break %q is not in the page list", b.id)
			}
		}
	}
	if c.rep.Pages > 0 && c.pkg.lines["pageBreakSource"] == 0 {
		c.add("M-pages", opf, 0, "pageBreakSource is missing")
	}
}

func (d *document) marks() []mark {
	if d == nil {
		return nil
	}
	return d.breaks
}

func (c *checker) checkLink(l link) {
	where := l.path
	if l.fragment != "" {
		where += "#" + l.fragment
	}
	if _, in := c.pkg.spine[l.path]; !in {
		if c.files[l.path] == nil {
			c.add("P7", l.file, l.line, "the link to %q: there is no such file", where)
		} else if l.path != l.file || l.file != entryPage || l.nav != "" {
			c.add("P7", l.file, l.line, "the link to %q: the file is not in the spine", where)
		}
		return
	}
	if d := c.docs[l.path]; l.fragment != "" && d != nil && !d.unread {
		if _, ok := d.ids[l.fragment]; !ok {
			c.add("P7", l.file, l.line, "the link to %q: there is no such id in the file", where)
		}
	}
}

// checkOrder says where entries of a nav are not in the order of the text.
func (c *checker) checkOrder(nav string) {
	lastDoc, lastID := -1, -1
	for _, l := range c.links {
		doc, in := c.pkg.spine[l.path]
		if l.nav != nav || !in {
			continue
		}
		at := -1
		if d := c.docs[l.path]; d != nil && l.fragment != "" {
			if at = d.ids[l.fragment]; at == 0 {
				continue // told elsewhere
			}
		}
		if doc < lastDoc || doc == lastDoc && at < lastID {
			c.add("N5", l.file, l.line, "the entry for %q stands before what comes earlier in the text", l.path+"#"+l.fragment)
		}
		lastDoc, lastID = doc, at
	}
}
