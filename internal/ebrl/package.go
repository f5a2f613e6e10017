package ebrl

import (
	"slices"
	"strconv"
	"strings"
)

// packageDoc is what is read of package.opf.
type packageDoc struct {
	read  bool // the package document is well-formed
	items []*item
	byID  map[string]*item
	paths map[string]bool // files of the manifest
	spine map[string]int  // path to its place
	refs  []*item         // spine in order, what is not there left out
	nav   *item
	lines map[string]int // path to the line of its itemref
	away  []*item        // in the spine, not linear
}

// item is one item of the manifest. path is where it is in the publication.
type item struct {
	id, href, path, media, props string
	line                         int
}

const opf = "package.opf"

// checkPackage checks the package document.
func (c *checker) checkPackage() {
	c.pkg = &packageDoc{byID: map[string]*item{}, paths: map[string]bool{}, spine: map[string]int{}, lines: map[string]int{}}
	if c.files[opf] == nil {
		c.add("C6", "", 0, "there is no package.opf in the root")
		return
	}
	root := c.readXML(opf, false)
	if root == nil {
		return
	}
	c.pkg.read = true
	c.packageRoot(root)
	for _, n := range root.elements() {
		switch n.name {
		case "metadata":
			c.metadata(n)
		case "manifest":
			c.manifest(n)
		case "spine":
			c.readSpine(n)
		}
	}
	c.legacy(root)
}

// packageRoot checks root element, version, identifier and the order of the
// parts.
func (c *checker) packageRoot(root *node) {
	if root.space != nsOPF || root.name != "package" {
		c.add("P1", opf, root.line, "its root is not package in the namespace of OPF")
	}
	if v := root.value("version"); v != "3.0" {
		c.add("P1", opf, root.line, "its version is %q, not 3.0", v)
	}
	id, found := root.value("unique-identifier"), false
	var parts []string
	for _, n := range root.elements() {
		parts = append(parts, n.name)
		if allowed := partsOf[n.name]; allowed != nil {
			c.parts(n, allowed)
		} else if n.space == nsOPF {
			c.add("P1", opf, n.line, "package cannot hold %s", n.name)
		}
		for _, m := range n.elements() {
			found = found || n.name == "metadata" && m.space == nsDC && m.name == "identifier" && id != "" && m.value("id") == id
		}
	}
	if !found {
		c.add("P1", opf, root.line, "unique-identifier %q is not the id of a dc:identifier", id)
	}
	if len(parts) < 3 || !slices.Equal(parts[:3], []string{"metadata", "manifest", "spine"}) {
		c.add("P1", opf, root.line, "its parts are %s, not metadata, manifest, spine", strings.Join(parts, ", "))
	}
	for word := range strings.FieldsSeq(root.value("prefix")) {
		if name, ok := strings.CutSuffix(word, ":"); ok && slices.Contains([]string{"a11y", "dcterms", "schema", "marc", "rendition", "media", "onix", "xsd"}, name) {
			c.add("M-prefix", opf, root.line, "declares the reserved prefix %q", name)
		}
	}
}

// partsOf says what the parts of a package document may hold, besides elements
// of Dublin Core in metadata.
var partsOf = map[string]map[string]bool{
	"metadata": set("meta link"), "manifest": set("item"), "spine": set("itemref"),
	"guide": {}, "bindings": {}, "tours": {}, "collection": {}, // told under P3
}

// dublinCore are the elements of Dublin Core that EPUB knows.
var dublinCore = set("contributor coverage creator date description format identifier language publisher relation rights source subject title type")

// parts checks what stands in a part of the package document.
func (c *checker) parts(part *node, allowed map[string]bool) {
	if len(allowed) == 0 {
		return
	}
	for _, n := range part.kids {
		switch {
		case n.name == "" && strings.TrimSpace(n.text) != "":
			c.add("P1", opf, n.line, "%s holds text", part.name)
		case n.name == "" || n.space == nsOPF && allowed[n.name] || part.name == "metadata" && n.space == nsDC && dublinCore[n.name]:
		case n.space == nsOPF || n.space == nsDC:
			c.add("P1", opf, n.line, "%s cannot hold %s", part.name, n.name)
		}
	}
}

// properties of the package document that fix the layout (7).
var fixedLayout = []string{"rendition:layout", "rendition:spread", "rendition:orientation", "rendition:viewport"}

// legacy finds what eBraille leaves out of EPUB, in all of the package document.
func (c *checker) legacy(root *node) {
	ids := map[string]bool{}
	root.walk(func(n *node) bool {
		if id := n.value("id"); id != "" && n.name != "item" {
			if ids[id] {
				c.add("P1", opf, n.line, "the id %q stands twice", id)
			}
			ids[id] = true
		}
		switch n.name {
		case "collection":
			c.add("P3", opf, n.line, "has a collection")
		case "guide", "bindings", "tours":
			c.add("P3", opf, n.line, "has the legacy element %s", n.name)
		case "meta":
			if _, ok := n.attr("name"); ok {
				c.add("P3", opf, n.line, "has the legacy element meta name")
			}
			c.layout(n)
		case "item":
			if _, ok := n.attr("fallback"); ok {
				c.add("P3", opf, n.line, "has a manifest fallback")
			}
			if n.value("media-type") == "application/x-dtbncx+xml" {
				c.add("P3", opf, n.line, "has a legacy NCX")
			}
		case "spine":
			if _, ok := n.attr("toc"); ok {
				c.add("P3", opf, n.line, "names a legacy NCX in its spine")
			}
		case "itemref":
			for p := range strings.FieldsSeq(n.value("properties")) {
				if p == "rendition:layout-pre-paginated" || strings.HasPrefix(p, "rendition:spread-") || strings.HasPrefix(p, "rendition:orientation-") ||
					strings.HasPrefix(p, "rendition:page-spread-") || strings.HasPrefix(p, "page-spread-") {
					c.add("P4", opf, n.line, "has the fixed-layout property %s", p)
				}
			}
		}
		return true
	})
}

func (c *checker) layout(n *node) {
	p := n.value("property")
	if !slices.Contains(fixedLayout, p) {
		return
	}
	if v := strings.TrimSpace(n.all()); p != "rendition:layout" || v != "reflowable" {
		c.add("P4", opf, n.line, "has the fixed-layout property %s with %q", p, v)
	}
}

// manifest reads the items.
func (c *checker) manifest(m *node) {
	hrefs := map[string]bool{}
	for _, n := range m.elements() {
		if n.name != "item" {
			continue
		}
		it := &item{id: n.value("id"), href: n.value("href"), media: n.value("media-type"), props: n.value("properties"), line: n.line}
		if it.id == "" || it.href == "" || it.media == "" {
			c.add("P5", opf, n.line, "an item has no id, href or media-type")
		}
		if c.pkg.byID[it.id] != nil {
			c.add("P5", opf, n.line, "the id %q stands twice", it.id)
		} else {
			c.pkg.byID[it.id] = it
		}
		c.pkg.items = append(c.pkg.items, it)
		c.place(it, hrefs)
	}
	if c.pkg.nav == nil {
		c.add("P5", opf, m.line, "no item has the property nav")
	}
}

// place finds the file of an item and checks what is said of it.
func (c *checker) place(it *item, hrefs map[string]bool) {
	u := c.resolve(opf, it.href)
	if strings.Contains(it.href, "#") {
		c.add("P5", opf, it.line, "the href %q has a fragment", it.href)
	}
	switch {
	case u.bad != "":
		c.add("C12", opf, it.line, "the href %q %s", it.href, u.bad)
		return
	case u.scheme != "":
		c.add("C12", opf, it.line, "the resource %q is not in the publication", it.href)
		return
	}
	it.path = u.path
	if hrefs[it.path] {
		c.add("P5", opf, it.line, "the href %q stands twice", it.href)
	}
	hrefs[it.path], c.pkg.paths[it.path] = true, true
	if c.files[it.path] == nil {
		c.add("P5", opf, it.line, "the file %q is not there", it.path)
	}
	if it.path == opf || it.path == "mimetype" || strings.HasPrefix(it.path, "META-INF/") {
		c.add("C9", opf, it.line, "%q is in the manifest", it.path)
	}
	if has(it.props, "remote-resources") {
		c.add("C12", opf, it.line, "%q has the property remote-resources", it.href)
	}
	if !has(it.props, "nav") {
		return
	}
	if c.pkg.nav != nil {
		c.add("P5", opf, it.line, "a second item has the property nav")
		return
	}
	c.pkg.nav = it
	if it.media != xhtml {
		c.add("P5", opf, it.line, "the entry page is of type %q, not %s", it.media, xhtml)
	}
	if it.path != entryPage {
		c.add("C7", opf, it.line, "the property nav is on %q, not on index.html", it.path)
	}
}

const xhtml = "application/xhtml+xml"

// readSpine reads the order of the documents.
func (c *checker) readSpine(s *node) {
	linear := 0
	for _, n := range s.elements() {
		if n.name != "itemref" {
			continue
		}
		it := c.pkg.byID[n.value("idref")]
		switch {
		case it == nil:
			c.add("P6", opf, n.line, "idref %q names no item of the manifest", n.value("idref"))
			continue
		case it.media != xhtml:
			c.add("P6", opf, n.line, "%q is of type %q and cannot be in the spine", it.href, it.media)
			continue
		}
		if _, twice := c.pkg.spine[it.path]; twice {
			c.add("P6", opf, n.line, "%q is in the spine twice", it.href)
			continue
		}
		if n.value("linear") == "no" {
			c.pkg.away = append(c.pkg.away, it)
		} else {
			linear++
		}
		c.pkg.spine[it.path], c.pkg.lines[it.path] = len(c.pkg.spine), n.line
		c.pkg.refs = append(c.pkg.refs, it)
	}
	if linear == 0 {
		c.add("P6", opf, s.line, "the spine has no linear document")
	}
	if it := c.pkg.nav; it != nil {
		if _, in := c.pkg.spine[it.path]; in {
			c.add("N2", opf, c.pkg.lines[it.path], "the entry page is in the spine")
		}
	}
	c.rep.Documents = len(c.pkg.refs)
}

var (
	dateForm   = lazily(`^[0-9]{4}(-(0[1-9]|1[0-2])(-(0[1-9]|[12][0-9]|3[01]))?)?$`)
	momentForm = lazily(`^[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])T([01][0-9]|2[0-3]):[0-5][0-9]:[0-5][0-9]Z$`)
	cellForm   = lazily(`^(6|8|6, ?8|8, ?6)$`)
	tactile    = lazily(`^(none|(JPG|PNG|SVG|PDF)(, ?(JPG|PNG|SVG|PDF))*)$`)
)

// told is one value of the metadata.
type told struct {
	value string
	line  int
}

// metadata checks the elements of 5.3.3 and those of A.3 and 10.
func (c *checker) metadata(m *node) {
	dc, meta := map[string][]told{}, map[string][]told{}
	for _, n := range m.elements() {
		v := told{strings.TrimSpace(n.all()), n.line}
		_, legacy := n.attr("name")
		if n.name == "meta" && n.value("property") == "" && !legacy {
			c.add("P1", opf, n.line, "a meta has no property")
		}
		if v.value == "" && n.name != "link" && !legacy {
			c.add("P2", opf, n.line, "%s is empty", strings.TrimSpace(n.name+" "+n.value("property")))
			continue
		}
		if n.space == nsDC {
			dc[n.name] = append(dc[n.name], v)
		} else if _, refines := n.attr("refines"); n.name == "meta" && !refines {
			meta[n.value("property")] = append(meta[n.value("property")], v)
		}
	}
	c.dublinCore(m.line, dc)
	c.braille(m.line, meta)
	c.accessible(m.line, meta)
}

// some wants at least one value, once exactly one; form is what it must be.
func (c *checker) some(rule, name string, line int, list []told) {
	if len(list) == 0 {
		c.add(rule, opf, line, "%s is missing", name)
	}
}

func (c *checker) once(rule, name string, line int, list []told, ok func(string) bool) {
	c.some(rule, name, line, list)
	for i, v := range list {
		if i > 0 {
			c.add(rule, opf, v.line, "%s stands more than once", name)
		} else if ok != nil && !ok(v.value) {
			c.add(rule, opf, v.line, "%s cannot be %q", name, v.value)
		}
	}
}

func (c *checker) dublinCore(line int, dc map[string][]told) {
	c.some("M-title", "dc:title", line, dc["title"])
	c.some("M-creator", "dc:creator", line, dc["creator"])
	c.some("M-identifier", "dc:identifier", line, dc["identifier"])
	c.some("M-language", "dc:language", line, dc["language"])
	for _, l := range dc["language"] {
		if !braiTag(l.value) {
			c.add("M-language", opf, l.line, "the language %q is without the script Brai", l.value)
		}
	}
	c.once("M-format", "dc:format", line, dc["format"], func(v string) bool { return v == "eBraille 1.0" })
	c.once("M-date", "dc:date", line, dc["date"], nil)
}

// braiTag reports whether a language tag has the script subtag Brai.
func braiTag(tag string) bool {
	for i, part := range strings.Split(tag, "-") {
		if i > 0 && strings.EqualFold(part, "Brai") {
			return true
		}
	}
	return false
}

func (c *checker) braille(line int, meta map[string][]told) {
	c.once("M-modified", "dcterms:modified", line, meta["dcterms:modified"], momentForm().MatchString)
	c.once("M-copyright", "dcterms:dateCopyrighted", line, meta["dcterms:dateCopyrighted"], dateForm().MatchString)
	c.once("M-cell", "a11y:brailleCellType", line, meta["a11y:brailleCellType"], cellForm().MatchString)
	c.some("M-system", "a11y:brailleSystem", line, meta["a11y:brailleSystem"])
	c.once("M-complete", "a11y:completeTranscription", line, meta["a11y:completeTranscription"], func(v string) bool { return v == "true" || v == "false" })
	c.some("M-producer", "a11y:producer", line, meta["a11y:producer"])
	c.once("M-tactile", "a11y:tactileGraphics", line, meta["a11y:tactileGraphics"], tactile().MatchString)
	for _, name := range []string{"a11y:minimumCells", "a11y:minimumLines"} {
		if list := meta[name]; len(list) > 0 {
			c.once("M-size", name, line, list, func(v string) bool { n, err := strconv.Atoi(v); return err == nil && n > 0 })
		}
	}
}

// accessible looks for the discovery metadata (10), which is recommended.
func (c *checker) accessible(line int, meta map[string][]told) {
	modes := meta["schema:accessMode"]
	if !slices.ContainsFunc(modes, func(v told) bool { return v.value == "tactile" }) {
		c.add("M-access", opf, line, "schema:accessMode does not have the value tactile")
	}
	for _, name := range []string{"schema:accessibilityFeature", "schema:accessibilityHazard"} {
		if len(meta[name]) == 0 {
			c.add("M-access", opf, line, "%s is missing", name)
		}
	}
	c.pkg.lines["pageBreakSource"] = len(meta["pageBreakSource"])
}
