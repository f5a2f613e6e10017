package ebrl

import (
	"encoding/xml"
	"strings"
	"unicode/utf8"
)

// checkResources reads every file of the manifest.
func (c *checker) checkResources() {
	if !c.pkg.read {
		return
	}
	listed := map[string]bool{opf: true, "mimetype": true}
	styles := map[string]bool{}
	for _, it := range c.pkg.items {
		if listed[it.path] = true; c.files[it.path] == nil || c.docs[it.path] != nil {
			continue
		}
		switch {
		case it.media == xhtml && it.path != entryPage:
			if root := c.readDocument(it.path); root != nil {
				c.properties(it, root)
			}
		case it.media == "text/css":
			if text := c.data(it.path); text != nil {
				styles[it.path] = c.checkSheet(it.path, string(text), 1)
			}
		case strings.HasSuffix(it.media, "+xml") && it.media != xhtml:
			c.scripts(it.path, c.readXML(it.path, false))
		case it.media != xhtml:
			c.verify(it.path)
		}
	}
	for _, name := range c.order {
		if !listed[name] && !strings.HasPrefix(name, "META-INF/") {
			c.add("P5-all", name, 0, "is not in the manifest")
		}
	}
	for _, it := range c.pkg.refs {
		c.markers(it.path, styles)
	}
}

// verify reads a file for its checksum alone.
func (c *checker) verify(name string) {
	if c.failed != nil || c.files[name].size > MaxDocument {
		return
	}
	if _, err := c.files[name].read(); err != nil {
		c.add("C10", name, 0, "cannot be read: %v", err)
	}
}

// markers looks whether the lists of a document have a style that keeps the
// reading system from marking them (6.2.2).
func (c *checker) markers(file string, styles map[string]bool) {
	d := c.docs[file]
	if d == nil || !d.lists || d.styled {
		return
	}
	for _, s := range d.sheets {
		if sets, read := styles[s]; sets || !read {
			return
		}
	}
	c.add("X3", file, 0, "has lists, and no style sheet that sets list-style-type")
}

// properties checks what the manifest says a document has.
func (c *checker) properties(it *item, root *node) {
	root.walk(func(n *node) bool {
		switch {
		case n.space == nsSVG && n.name == "svg" && !has(it.props, "svg"):
			c.add("P5", opf, it.line, "%q has SVG and not the property svg", it.href)
		case n.space == nsMathML && n.name == "math" && !has(it.props, "mathml"):
			c.add("P5", opf, it.line, "%q has MathML and not the property mathml", it.href)
		default:
			return true
		}
		return false
	})
}

// scripts finds scripts in an XML file that is no XHTML.
func (c *checker) scripts(file string, root *node) {
	if root == nil {
		return
	}
	root.walk(func(n *node) bool {
		if n.name == "script" {
			c.add("X4", file, n.line, "has a script")
		}
		return true
	})
}

// readDocument reads an XHTML file, checks it and keeps what links need.
func (c *checker) readDocument(file string) *node {
	root := c.readXML(file, true)
	d := &document{ids: map[string]int{}}
	c.docs[file] = d
	if root == nil {
		d.unread = true
		return nil
	}
	if !root.html("html") {
		c.add("X1", file, root.line, "its root is not html in the namespace of XHTML")
		d.unread = true
		return nil
	}
	v := &visitor{c: c, file: file, d: d, spine: file != entryPage}
	if _, in := c.pkg.spine[file]; in {
		v.spine = true
	}
	v.frame(root)
	v.visit(root)
	return root
}

// visitor goes through one XHTML document.
type visitor struct {
	c     *checker
	file  string
	d     *document
	spine bool // scripts are not allowed
	nav   bool // within a nav of the entry page
	body  bool
	order int
}

func (v *visitor) add(rule string, n *node, format string, a ...any) {
	v.c.add(rule, v.file, n.line, format, a...)
}

// frame checks the root, its head and its language.
func (v *visitor) frame(root *node) {
	lang, _ := root.attr("lang")
	xmlLang, _ := root.attrNS(nsXML, "lang")
	if !braiTag(lang) || !braiTag(xmlLang) {
		v.add("X5", root, "its lang is %q and its xml:lang %q; both need the script Brai", lang, xmlLang)
	}
	kids := root.elements()
	if len(kids) != 2 || !kids[0].html("head") || !kids[1].html("body") {
		v.add("X1", root, "html holds something else than one head and one body")
		return
	}
	for _, n := range kids[0].elements() {
		if n.html("title") {
			if blank(n.all()) {
				v.add("X1", n, "the title is empty")
			}
			return
		}
	}
	v.add("X1", kids[0], "head has no title")
}

func (v *visitor) visit(n *node) {
	if n.name == "" {
		v.text(n)
		return
	}
	v.ids(n)
	v.languages(n)
	v.model(n)
	v.sources(n)
	v.behaviour(n)
	v.pageBreak(n)
	body, nav := v.body, v.nav
	v.body = v.body || n.html("body")
	v.nav = v.nav || v.file == entryPage && n.html("nav")
	for _, k := range n.kids {
		v.visit(k)
	}
	v.body, v.nav = body, nav
}

// text checks that rendered text is Unicode braille (6.2.1).
func (v *visitor) text(n *node) {
	if up := n.up; !v.body || up.html("style") || up.html("script") || up.space == nsSVG && up.name == "style" {
		return
	}
	line := n.line
	for _, r := range n.text {
		if r == '\n' {
			line++
		}
		if !brailleRune(r) {
			v.c.add("X2", v.file, line, "the text %q is not Unicode braille", around(n.text, r))
			return
		}
	}
}

// around is a few words of a text from its first r.
func around(s string, r rune) string {
	s = s[strings.IndexRune(s, r):]
	s, _, _ = strings.Cut(s, "\n")
	for i := range s {
		if utf8.RuneCountInString(s[:i]) == 20 {
			return s[:i]
		}
	}
	return s
}

func brailleRune(r rune) bool {
	return r >= 0x2800 && r <= 0x28FF || r == '\t' || r == '\n' || r == '\r' || r == ' ' || r == 0xA0 || r == 0xAD
}

func (v *visitor) ids(n *node) {
	id, ok := n.attr("id")
	if !ok {
		return
	}
	if id == "" || strings.ContainsAny(id, " \t\r\n") {
		v.add("X1", n, "the id %q is empty or has a blank", id)
	}
	if _, twice := v.d.ids[id]; twice {
		v.add("X1", n, "the id %q stands twice", id)
		return
	}
	v.order++
	v.d.ids[id] = v.order
}

func (v *visitor) languages(n *node) {
	lang, ok := n.attr("lang")
	xmlLang, ok2 := n.attrNS(nsXML, "lang")
	if ok && ok2 && !strings.EqualFold(lang, xmlLang) {
		v.add("X5-equal", n, "lang is %q and xml:lang is %q", lang, xmlLang)
	}
}

// printed are attributes whose values are rendered (6.2.1).
var printed = []struct{ element, attr string }{{"img", "alt"}, {"area", "alt"}, {"th", "abbr"}, {"abbr", "title"}, {"dfn", "title"}, {"track", "label"}}

// behaviour checks scripts, forms and rendered attributes, and what EPUB
// has given up.
func (v *visitor) behaviour(n *node) {
	switch {
	case n.space == nsOPS:
		v.add("P3", n, "uses the deprecated element epub:%s", n.name)
	case n.name == "script" && v.spine:
		v.add("X4", n, "has a script")
	}
	for _, name := range []string{"action", "formaction"} {
		if _, ok := n.attr(name); ok {
			v.add("X4", n, "has a form with the attribute %s", name)
		}
	}
	for _, p := range printed {
		value, _ := n.attr(p.attr)
		if i := strings.IndexFunc(value, func(r rune) bool { return !brailleRune(r) }); n.html(p.element) && i >= 0 {
			v.add("X2", n, "the %s %q is not Unicode braille", p.attr, value)
		}
	}
	if style, ok := n.attr("style"); ok {
		v.c.checkSheet(v.file, "*{"+style+"}", n.line)
	}
	if n.html("style") {
		v.d.styled = v.c.checkSheet(v.file, n.all(), n.line) || v.d.styled
	}
	v.d.lists = v.d.lists || v.body && (n.html("ul") || n.html("ol"))
}

// sources checks links and what a document needs besides itself.
func (v *visitor) sources(n *node) {
	href, hasHref := n.attr("href")
	switch {
	case (n.html("a") || n.html("area")) && hasHref && !v.nav:
		v.c.addLink(v.file, href, n.line, "")
	case n.html("link") && hasHref && has(n.value("rel"), "stylesheet"):
		v.d.sheets = append(v.d.sheets, v.c.resource(v.file, href, n.line))
	case n.html("base"):
		v.add("C12", n, "the element base makes all URLs lead elsewhere")
	}
	for _, name := range []string{"src", "data", "poster"} {
		if src, ok := n.attr(name); ok && n.space == nsXHTML && n.name != "script" {
			v.c.resource(v.file, src, n.line)
		}
	}
	if n.space == nsSVG && (n.name == "image" || n.name == "use") {
		link, ok := n.attrNS(nsXLink, "href")
		if !ok {
			link, ok = href, hasHref
		}
		if ok && !strings.HasPrefix(link, "#") {
			v.c.resource(v.file, link, n.line)
		}
	}
}

func (v *visitor) pageBreak(n *node) {
	if !has(n.value("role"), "doc-pagebreak") && !has(kindOf(n), "pagebreak") {
		return
	}
	v.d.breaks = append(v.d.breaks, mark{n.value("id"), n.line})
}

// Content models of the HTML standard, as far as they concern which element may
// stand in which.
var (
	phrasing = set(`a abbr area audio b bdi bdo br button canvas cite code data datalist del dfn em embed i iframe img input ins kbd label link map mark
		meta meter noscript object output picture progress q ruby s samp script select slot small span strong sub sup template textarea time u var video wbr`)
	flow = set(`address article aside blockquote details dialog div dl fieldset figure footer form h1 h2 h3 h4 h5 h6 header hgroup hr main menu nav ol p pre
		search section table ul`)
	// phrasingOnly hold no other elements than phrasing ones.
	phrasingOnly = set(`p h1 h2 h3 h4 h5 h6 span em strong b i u s small abbr cite code q sub sup kbd samp var dfn mark label pre time data bdi bdo`)
	// transparent elements hold what their parent may hold.
	transparent = set(`a ins del map object noscript audio video canvas slot`)
	void        = set(`area base br col embed hr img input link meta source track wbr`)
	// within says what an element may hold, where that is a short list.
	within = map[string]map[string]bool{
		"html": set("head body"), "head": set("title meta link base style script noscript template"),
		"ul": set("li script template"), "ol": set("li script template"), "menu": set("li script template"), "dl": set("dt dd div script template"),
		"table": set("caption colgroup thead tbody tfoot tr script template"), "thead": set("tr script template"), "tbody": set("tr script template"),
		"tfoot": set("tr script template"), "tr": set("td th script template"), "colgroup": set("col template"),
		"select": set("option optgroup script template hr"), "optgroup": set("option script template"), "datalist": set("option script template"),
		"ruby": set("rt rp rb rtc"), "picture": set("source img script template"),
	}
	// parents says in which elements one may stand, where that is a short list.
	parents = map[string]map[string]bool{
		"head": set("html"), "body": set("html"), "title": set("head"), "li": set("ul ol menu"), "dt": set("dl div"), "dd": set("dl div"),
		"caption": set("table"), "colgroup": set("table"), "col": set("colgroup"), "thead": set("table"), "tbody": set("table"), "tfoot": set("table"),
		"tr": set("table thead tbody tfoot"), "td": set("tr"), "th": set("tr"), "figcaption": set("figure"), "summary": set("details"),
		"legend": set("fieldset"), "option": set("select optgroup datalist"), "optgroup": set("select"), "source": set("picture audio video"),
		"track": set("audio video"), "param": set("object"), "rt": set("ruby rtc"), "rp": set("ruby"), "rb": set("ruby"), "rtc": set("ruby"),
		"base": set("head"), "style": set("head"), "html": set(""),
	}
)

func set(words string) map[string]bool {
	out := map[string]bool{}
	for _, w := range strings.Fields(words) {
		out[w] = true
	}
	return out
}

// model checks that an element may stand where it stands.
func (v *visitor) model(n *node) {
	if n.space != nsXHTML {
		if n.space == "" {
			v.add("X1", n, "<%s> is in no namespace", n.name)
		}
		return
	}
	if !phrasing[n.name] && !flow[n.name] && parents[n.name] == nil {
		v.add("X1", n, "<%s> is no element of HTML", n.name)
		return
	}
	v.attributes(n)
	if void[n.name] && len(n.kids) > 0 {
		v.add("X1", n, "<%s> cannot hold anything", n.name)
	}
	if n.html("dl") {
		v.pairs(n)
	}
	if within[n.name] != nil && n.name != "ruby" && n.name != "datalist" {
		v.looseText(n)
	}
	up := n.up
	if up == nil || up.space != nsXHTML {
		return
	}
	if list := within[up.name]; list != nil {
		if !list[n.name] && !(up.name == "ruby" && phrasing[n.name]) {
			v.add("X1", n, "<%s> cannot stand in <%s>", n.name, up.name)
			return
		}
	}
	if list := parents[n.name]; list != nil {
		if !list[up.name] {
			v.add("X1", n, "<%s> cannot stand in <%s>", n.name, up.name)
		}
		return
	}
	v.inline(n, up)
}

// inline checks elements in running text, and links in links.
func (v *visitor) inline(n, up *node) {
	holder := up
	for holder.up != nil && transparent[holder.name] {
		if n.html("a") && holder.html("a") {
			v.add("X1", n, "a link cannot stand in a link")
			return
		}
		holder = holder.up
	}
	if phrasingOnly[holder.name] && !phrasing[n.name] {
		v.add("X1", n, "<%s> cannot stand in <%s>", n.name, holder.name)
		return
	}
	for x := up; n.html("a") && x != nil; x = x.up {
		if x.html("a") {
			v.add("X1", n, "a link cannot stand in a link")
			return
		}
	}
}

// looseText finds text in an element that holds elements alone.
func (v *visitor) looseText(n *node) {
	for _, k := range n.kids {
		if k.name == "" && strings.TrimSpace(k.text) != "" {
			v.add("X1", k, "text cannot stand in <%s>", n.name)
			return
		}
	}
}

// pairs checks that terms and meanings of a dl alternate.
func (v *visitor) pairs(dl *node) {
	last := ""
	for _, n := range dl.elements() {
		if n.name == "dd" && last == "" {
			v.add("X1", n, "a dl begins with a meaning without a term")
			return
		}
		if n.name == "dt" || n.name == "dd" {
			last = n.name
		}
	}
	if last == "dt" {
		v.add("X1", dl, "a dl ends in a term without a meaning")
	}
}

// obsolete attributes that only change the look (HTML, non-conforming features).
var obsolete = set("align bgcolor border cellpadding cellspacing valign")

func (v *visitor) attributes(n *node) {
	for _, a := range n.attrs {
		if a.Name == (xml.Name{Local: a.Name.Local}) && obsolete[a.Name.Local] {
			v.add("X1", n, "%s is no attribute of <%s>", a.Name.Local, n.name)
		}
	}
	if hidden, ok := n.attr("hidden"); ok && hidden != "" && hidden != "hidden" && hidden != "until-found" {
		v.add("X1", n, "hidden cannot be %q", hidden)
	}
	if n.html("img") {
		if _, ok := n.attr("src"); !ok {
			v.add("X1", n, "an img has no src")
		}
	}
}
