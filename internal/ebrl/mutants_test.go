package ebrl_test

import (
	"archive/zip"
	"slices"
	"strings"
	"testing"

	"continuo/internal/ebrl"
)

const (
	one   = "ebraille/one.xhtml"
	two   = "ebraille/two.xhtml"
	css   = "ebraille/style.css"
	index = "index.html"
	opf   = "package.opf"
	meta  = `<meta property="a11y:producer">The Saltholme Braille Library</meta>`
)

// mutants are the good publication with one fault each: in file, old becomes
// new. rules are all that must be found, those of a MUST and those of a SHOULD.
var mutants = []struct {
	name, file, old, new string
	rules                string
}{
	// Container.
	{"mimetype of eBraille", "mimetype", "application/epub+zip", "application/ebrl+zip", "C3"},
	{"mimetype with a line end", "mimetype", "zip", "zip\n", "C3"},
	{"mimetype with a byte order mark", "mimetype", "application", "\uFEFFapplication", "C3"},
	{"container names another package document", "META-INF/container.xml", `full-path="package.opf"`, `full-path="OPS/package.opf"`, "C5"},
	{"container with another type", "META-INF/container.xml", "application/oebps-package+xml", "application/xml", "C5"},
	{"container without its namespace", "META-INF/container.xml", "urn:oasis:names:tc:opendocument:xmlns:container", "urn:example", "C5"},
	{"container of another version", "META-INF/container.xml", `<container version="1.0"`, `<container version="2.0"`, "C5"},
	{"first rendition in print", "META-INF/container.xml", "<rootfile ", `<rootfile rendition:accessMode="visual" xmlns:rendition="http://www.idpf.org/2013/rendition" `, "C16"},
	{"container without a rootfile", "META-INF/container.xml", "    <rootfile full-path=\"package.opf\" media-type=\"application/oebps-package+xml\"/>\n", "", "C5"},
	{"container with something else among its rootfiles", "META-INF/container.xml", "<rootfiles>", "<rootfiles><link/>", "C5"},
	// Package document: form.
	{"meta without a property", opf, ` property="schema:accessibilitySummary"`, "", "P1"},
	{"HTML in the metadata", opf, meta, meta + "<p>x</p>", "P1"},
	{"text in the metadata", opf, meta, meta + "x", "P1"},
	{"id twice in the metadata", opf, "<dc:title>", `<dc:title id="uid">`, "P1"},
	{"entry page of another type", opf, `href="index.html" media-type="application/xhtml+xml"`, `href="index.html" media-type="text/html"`, "P5"},
	{"version 2.0", opf, `version="3.0"`, `version="2.0"`, "P1"},
	{"another namespace", opf, `xmlns="http://www.idpf.org/2007/opf"`, `xmlns="http://www.idpf.org/2007/opf2"`, "P1"},
	{"identifier that is not there", opf, `unique-identifier="uid"`, `unique-identifier="bookid"`, "P1"},
	{"spine before manifest", opf, "<manifest>", "<spine/><manifest>", "P1 P6"},
	{"empty rights", opf, meta, meta + "<dc:rights> </dc:rights>", "P2"},
	{"empty property", opf, "<meta property=\"schema:accessibilitySummary\">Braille for refreshable displays.", `<meta property="schema:accessibilitySummary">`, "P2"},
	{"fallback", opf, `<item id="one"`, `<item id="one" fallback="two"`, "P3"},
	{"guide", opf, "</spine>", `</spine><guide><reference type="text" href="ebraille/one.xhtml"/></guide>`, "P3"},
	{"collection", opf, "</spine>", `</spine><collection role="index"><link href="ebraille/one.xhtml"/></collection>`, "P3"},
	{"meta name", opf, meta, meta + `<meta name="cover" content="one"/>`, "P3"},
	{"spine toc", opf, "<spine>", `<spine toc="nav">`, "P3"},
	{"legacy table of contents", opf, "</manifest>", `<item id="ncx" href="ebraille/toc.ncx" media-type="application/x-dtbncx+xml"/></manifest>`, "P3 P5"},
	{"orientation", opf, meta, meta + `<meta property="rendition:orientation">landscape</meta>`, "P4"},
	{"viewport", opf, meta, meta + `<meta property="rendition:viewport">width=600, height=800</meta>`, "P4"},
	{"orientation of a document", opf, `<itemref idref="one"`, `<itemref idref="one" properties="rendition:orientation-portrait"`, "P4"},
	{"bindings", opf, "</spine>", "</spine><bindings/>", "P3"},
	{"fixed layout", opf, meta, meta + `<meta property="rendition:layout">pre-paginated</meta>`, "P4"},
	{"fixed layout of a document", opf, `<itemref idref="one"`, `<itemref idref="one" properties="rendition:layout-pre-paginated"`, "P4"},
	{"spread", opf, meta, meta + `<meta property="rendition:spread">both</meta>`, "P4"},
	{"page spread of a document", opf, `<itemref idref="one"`, `<itemref idref="one" properties="page-spread-left"`, "P4"},
	{"same id twice", opf, `<item id="css"`, `<item id="nav"`, "P5"},
	{"item without a type", opf, ` media-type="text/css"`, "", "P5"},
	{"file of the manifest missing", opf, "ebraille/style.css", "ebraille/other.css", "P5 P5-all"},
	{"href with a fragment", opf, `href="ebraille/style.css"`, `href="ebraille/style.css#x"`, "P5"},
	{"same href twice", opf, "</manifest>", `<item id="again" href="ebraille/two.xhtml" media-type="application/xhtml+xml"/></manifest>`, "P5"},
	{"no item with nav", opf, ` properties="nav"`, "", "P5"},
	{"two items with nav", opf, `<item id="two"`, `<item id="two" properties="nav"`, "P5"},
	{"nav on a content document", opf, `<item id="nav" href="index.html" media-type="application/xhtml+xml" properties="nav"/>`, `<item id="nav" href="index.html" media-type="application/xhtml+xml"/><item id="n3" href="ebraille/style.css" media-type="text/css" properties="nav"/>`, "C7 P5"},
	{"mimetype in the manifest", opf, "</manifest>", `<item id="m" href="mimetype" media-type="text/plain"/></manifest>`, "C9"},
	{"container in the manifest", opf, "</manifest>", `<item id="m" href="META-INF/container.xml" media-type="application/xml"/></manifest>`, "C9"},
	{"remote resources", opf, `<item id="one"`, `<item id="one" properties="remote-resources"`, "C12"},
	{"remote item", opf, `href="ebraille/style.css"`, `href="https://example.org/style.css"`, "C12 P5 P5-all"},
	{"item with an absolute path", opf, `href="ebraille/style.css"`, `href="/ebraille/style.css"`, "C12 P5 P5-all"},
	{"item that leads out", opf, `href="ebraille/style.css"`, `href="../style.css"`, "C12 P5 P5-all"},
	{"style sheet in the spine", opf, `<itemref idref="two"/>`, `<itemref idref="two"/><itemref idref="css"/>`, "P6"},
	{"idref of nothing", opf, `<itemref idref="two"/>`, `<itemref idref="two"/><itemref idref="three"/>`, "P6"},
	{"document twice in the spine", opf, `<itemref idref="two"/>`, `<itemref idref="two"/><itemref idref="two"/>`, "P6"},
	{"entry page in the spine", opf, `<itemref idref="one"/>`, `<itemref idref="one"/><itemref idref="nav"/>`, "N2"},
	{"link to a document outside the spine", opf, `<itemref idref="two"/>`, "", "P7"},
	// Metadata.
	{"no title", opf, "<dc:title>The Ferry</dc:title>", "", "M-title"},
	{"no creator", opf, "<dc:creator>Ada Fennimore</dc:creator>", "", "M-creator"},
	{"no identifier", opf, `<dc:identifier id="uid">urn:uuid:2c1b5c5e-9d0f-4a73-8f35-0c9a5ad0b001</dc:identifier>`, "", "M-identifier P1"},
	{"no language", opf, "<dc:language>en-Brai-GB</dc:language>", "", "M-language"},
	{"language in print", opf, "<dc:language>en-Brai-GB", "<dc:language>en-GB", "M-language"},
	{"second language in print", opf, "<dc:language>", "<dc:language>fr</dc:language><dc:language>", "M-language"},
	{"no format", opf, "<dc:format>eBraille 1.0</dc:format>", "", "M-format"},
	{"format in other letters", opf, "eBraille 1.0", "EBraille 1.0", "M-format"},
	{"format twice", opf, "<dc:format>eBraille 1.0</dc:format>", "<dc:format>eBraille 1.0</dc:format><dc:format>eBraille 1.0</dc:format>", "M-format"},
	{"no date", opf, "<dc:date>2026-01-31</dc:date>", "", "M-date"},
	{"no modified", opf, `<meta property="dcterms:modified">2026-01-31T12:00:00Z</meta>`, "", "M-modified"},
	{"modified with an offset", opf, "12:00:00Z", "12:00:00+00:00", "M-modified"},
	{"no copyright date", opf, `<meta property="dcterms:dateCopyrighted">1974</meta>`, "", "M-copyright"},
	{"copyright date unknown", opf, ">1974<", ">Unknown<", "M-copyright"},
	{"copyright date under its older name", opf, "dcterms:dateCopyrighted", "dcterms:copyrightDate", "M-copyright"},
	{"no cell type", opf, `<meta property="a11y:brailleCellType">6</meta>`, "", "M-cell"},
	{"cell type in words", opf, `CellType">6<`, `CellType">six<`, "M-cell"},
	{"no braille system", opf, `<meta property="a11y:brailleSystem">UEB grade2</meta>`, "", "M-system"},
	{"no complete transcription", opf, `<meta property="a11y:completeTranscription">true</meta>`, "", "M-complete"},
	{"complete transcription in words", opf, `Transcription">true`, `Transcription">yes`, "M-complete"},
	{"no producer", opf, meta, "", "M-producer"},
	{"no tactile graphics", opf, `<meta property="a11y:tactileGraphics">none</meta>`, "", "M-tactile"},
	{"tactile graphics as a truth value", opf, `Graphics">none`, `Graphics">false`, "M-tactile"},
	{"date twice", opf, "<dc:date>2026-01-31</dc:date>", "<dc:date>2026-01-31</dc:date><dc:date>2026-01-31</dc:date>", "M-date"},
	{"modified twice", opf, meta, meta + `<meta property="dcterms:modified">2026-01-31T12:00:00Z</meta>`, "M-modified"},
	{"modified without its Z", opf, "12:00:00Z", "12:00:00", "M-modified"},
	{"copyright date twice", opf, meta, meta + `<meta property="dcterms:dateCopyrighted">1974</meta>`, "M-copyright"},
	{"copyright date of a month that is none", opf, ">1974<", ">1974-13<", "M-copyright"},
	{"cell type twice", opf, meta, meta + `<meta property="a11y:brailleCellType">6</meta>`, "M-cell"},
	{"complete transcription twice", opf, meta, meta + `<meta property="a11y:completeTranscription">true</meta>`, "M-complete"},
	{"tactile graphics twice", opf, meta, meta + `<meta property="a11y:tactileGraphics">none</meta>`, "M-tactile"},
	{"tactile graphics of another format", opf, `Graphics">none`, `Graphics">SVG, GIF`, "M-tactile"},
	{"minimum lines twice", opf, meta, meta + `<meta property="a11y:minimumLines">2</meta><meta property="a11y:minimumLines">2</meta>`, "M-size"},
	{"minimum cells of none", opf, meta, meta + `<meta property="a11y:minimumCells">0</meta>`, "M-size"},
	{"producer that refines another", opf, meta, `<meta property="a11y:producer" refines="#uid">The Saltholme Braille Library</meta>`, "M-producer"},
	{"no access mode", opf, `<meta property="schema:accessMode">tactile</meta>`, "", "M-access"},
	{"no hazard", opf, `<meta property="schema:accessibilityHazard">none</meta>`, "", "M-access"},
	{"no page break source", opf, `<meta property="pageBreakSource">urn:isbn:9780000000002</meta>`, "", "M-pages"},
	{"reserved prefix declared", opf, `xml:lang="en">`, `xml:lang="en" prefix="a11y: http://www.idpf.org/epub/vocab/package/a11y/#">`, "M-prefix"},
	// XML of all files.
	{"text in UTF-16 by its declaration", one, `encoding="UTF-8"`, `encoding="UTF-16"`, "C14"},
	{"text in Latin 1 by its declaration", opf, `encoding="UTF-8"`, `encoding="ISO-8859-1"`, "C14"},
	{"bytes that are not UTF-8", two, "⠛⠕⠬", "\xE2\xA0", "C14"},
	{"element left open", two, "</section>", "", "C15"},
	{"named entity", two, "⠁ ⠝⠕⠞⠑", "⠁&nbsp;⠝⠕⠞⠑", "C15"},
	{"document type of HTML 4", two, "<!DOCTYPE html>", `<!DOCTYPE html PUBLIC "-//W3C//DTD XHTML 1.1//EN" "http://www.w3.org/TR/xhtml11/DTD/xhtml11.dtd">`, "C15"},
	{"entities of its own", two, "<!DOCTYPE html>", `<!DOCTYPE html [<!ENTITY a "⠁⠁⠁⠁"><!ENTITY b "&a;&a;&a;&a;">]>`, "C15"},
	{"external entity", opf, "<package", `<!DOCTYPE package [<!ENTITY x SYSTEM "file:///etc/hostname">]><package`, "C15"},
	{"XInclude", two, "<pre>", `<xi:include xmlns:xi="http://www.w3.org/2001/XInclude" href="one.xhtml"/><pre>`, "C15"},
	{"attribute twice", two, `<p>⠮`, `<p class="a" class="b">⠮`, "C15"},
	{"prefix that is not declared", two, "<pre>", `<m:math/><pre>`, "C15"},
	{"two roots", two, "</html>", "</html><html/>", "C15"},
	{"XML declaration without a version", two, `<?xml version="1.0" `, "<?xml ", "C15"},
	{"prefix with an empty namespace", two, `xmlns:epub="http://www.idpf.org/2007/ops"`, `xmlns:epub=""`, "C15"},
	// Entry page.
	{"nav of another type without a heading", index, `epub:type="landmarks"`, `epub:type="lot"`, "N3"},
	{"nav without a type", index, ` epub:type="landmarks"`, "", "N3"},
	{"hidden in other words", index, `hidden="hidden"`, `hidden="yes"`, "X1"},
	{"no link to the package document", index, `<link rel="publication" href="package.opf" type="application/oebps-package+xml"/>`, "", "N1"},
	{"link to another package document", index, `href="package.opf"`, `href="content.opf"`, "N1"},
	{"link to the package document with another type", index, "application/oebps-package+xml", "application/xml", "N1"},
	{"contents without their role", index, ` role="doc-toc"`, "", "N3"},
	{"no contents", index, `epub:type="toc" role="doc-toc"`, `epub:type="lot"`, "N3"},
	{"contents as ul", index, "<h2>⠒⠞⠢⠞⠎</h2>\n<ol>", "<h2>⠒⠞⠢⠞⠎</h2><p>⠁</p>\n<ol>", "N3"},
	{"entry with two links", index, `⠞⠺⠕</a>`, `⠞⠺⠕</a><a href="ebraille/two.xhtml">⠁</a>`, "N3"},
	{"span without a list", index, `<a href="ebraille/two.xhtml#c2">⠞⠺⠕</a>`, "<span>⠞⠺⠕</span>", "N3"},
	{"entry to the world outside", index, `href="ebraille/two.xhtml#c2"`, `href="https://example.org/"`, "N3"},
	{"empty label", index, `<a href="ebraille/two.xhtml#c2">⠞⠺⠕</a>`, `<a href="ebraille/two.xhtml#c2"></a>`, "N4"},
	{"label of blank cells", index, `<a href="ebraille/two.xhtml#c2">⠞⠺⠕</a>`, `<a href="ebraille/two.xhtml#c2">⠀⠀</a>`, "N4"},
	{"entries out of order", index, `<li><a href="ebraille/one.xhtml">⠮ ⠋⠻⠗⠽</a></li>
<li><a href="ebraille/one.xhtml#c1">`, `<li><a href="ebraille/two.xhtml">⠮ ⠋⠻⠗⠽</a></li>
<li><a href="ebraille/one.xhtml#c1">`, "N5"},
	{"page list without its role", index, ` role="doc-pagelist"`, "", "N6"},
	{"page list without print numbers", index, ` title="2"`, "", "N6"},
	{"page list with print numbers in braille", index, ` title="2"`, ` title="⠼⠃"`, "N6"},
	{"page list with the word for page", index, "⠼⠃</a></li>", "⠏⠁⠛⠑ ⠼⠃</a></li>", "N6"},
	{"two page lists", index, `<nav epub:type="landmarks"`, `<nav epub:type="page-list" role="doc-pagelist"><ol><li><a href="ebraille/one.xhtml#p1" title="1">⠼⠁</a></li></ol></nav><nav epub:type="landmarks"`, "N5 N6"},
	{"no page list", index, `epub:type="page-list" role="doc-pagelist">`, `epub:type="lov"><h2>⠏</h2>`, "N7"},
	{"two contents", index, `<nav epub:type="page-list"`, `<nav epub:type="toc" role="doc-toc"><ol><li><a href="ebraille/one.xhtml">⠁</a></li></ol></nav><nav epub:type="page-list"`, "N3 N5"},
	{"two landmark lists", index, `<nav epub:type="landmarks"`, `<nav epub:type="landmarks"><ol><li><a epub:type="bodymatter" href="ebraille/two.xhtml">⠁</a></li></ol></nav><nav epub:type="landmarks"`, "N8"},
	{"landmark to the contents", index, `href="ebraille/one.xhtml#c1">⠐⠕</a></li>
</ol>
</nav>
</body>`, `href="index.html#toc">⠐⠕</a></li>
</ol>
</nav>
</body>`, "P7"},
	{"contents with two headings", index, "<h2>⠒⠞⠢⠞⠎</h2>", "<h2>⠒⠞⠢⠞⠎</h2><h3>⠁</h3>", "N3"},
	{"contents with an empty list", index, "<li><a href=\"ebraille/one.xhtml#s1\">⠮ ⠟⠥⠁⠽</a></li>", "", "N3"},
	{"page list with a list within", index, "⠼⠃</a></li>", "⠼⠃</a><ol><li><a href=\"ebraille/two.xhtml#p2\" title=\"2\">⠼⠃</a></li></ol></li>", "N6"},
	{"page not in the page list", index, `<li><a href="ebraille/two.xhtml#p2" title="2">⠼⠃</a></li>`, "", "N7"},
	{"page break without an id", two, ` id="p2"`, "", "N7 P7"},
	{"landmark without a type", index, `epub:type="bodymatter" `, "", "N8"},
	{"landmark twice", index, `<li><a epub:type="bodymatter"`, `<li><a epub:type="titlepage" href="ebraille/one.xhtml">⠁</a></li><li><a epub:type="bodymatter"`, "N8"},
	{"link to an id that is not there", index, "one.xhtml#s1", "one.xhtml#s9", "P7"},
	{"link to a file that is not there", two, "one.xhtml#r1", "three.xhtml#r1", "P7"},
	{"link to a style sheet", two, "one.xhtml#r1", "style.css", "P7"},
	{"link that begins with a solidus", two, `href="one.xhtml#r1"`, `href="/ebraille/one.xhtml#r1"`, "C12"},
	{"link to a file of the machine", two, `href="one.xhtml#r1"`, `href="file:///tmp/x"`, "C12"},
	{"link out of the publication", two, `href="one.xhtml#r1"`, `href="../../x.xhtml"`, "C12"},
	// Content documents.
	{"paragraph in a paragraph", two, "<p>⠮ ⠗⠊⠧⠻", "<p>⠮ <p>⠗</p>⠊⠧⠻", "X1"},
	{"block in a span", two, "⠺⠑⠝⠞ ⠕⠝", "<span><div>⠺⠑⠝⠞</div></span> ⠕⠝", "X1"},
	{"page break as a block in a paragraph", two, `<span id="p2" role="doc-pagebreak" epub:type="pagebreak" aria-label="⠼⠃">⠐⠒⠼⠃</span>`, `<div id="p2" role="doc-pagebreak" epub:type="pagebreak" aria-label="⠼⠃">⠐⠒⠼⠃</div>`, "X1"},
	{"break between items", one, "</li>\n<li>⠕⠝", "</li>\n<br/><li>⠕⠝", "X1"},
	{"item outside a list", two, "<pre>", "<li>⠁</li><pre>", "X1"},
	{"break between terms", two, "</dt>\n<dd>", "</dt>\n<br/><dd>", "X1"},
	{"term without a meaning", two, "<dd>⠛⠕⠬ ⠳⠞</dd>", "", "X1"},
	{"row in a paragraph", two, "<pre>", "<p><tr><td>⠁</td></tr></p><pre>", "X1"},
	{"block between rows", one, "</tr>\n</thead>", "</tr><div>⠁</div>\n</thead>", "X1"},
	{"text in a list", one, "</li>\n<li>⠕⠝", "</li>⠁\n<li>⠕⠝", "X1"},
	{"same id twice in a document", two, `<h2>⠞⠺⠕`, `<h2 id="c2">⠞⠺⠕`, "X1"},
	{"no title", two, "<title>⠞⠺⠕</title>", "", "X1"},
	{"empty title", two, "<title>⠞⠺⠕</title>", "<title> </title>", "X1"},
	{"element that HTML does not know", two, "<pre>⠼⠁⠀⠀⠼⠃</pre>", "<verse>⠼⠁</verse>", "X1"},
	{"element without a namespace", two, "<pre>", `<x xmlns=""/><pre>`, "X1"},
	{"link in a link", two, "⠼⠁</a>", `<a href="one.xhtml">⠼⠁</a></a>`, "X1"},
	{"heading in a heading", two, "<h2>⠞⠺⠕</h2>", "<h2>⠞⠺⠕<h3>⠁</h3></h2>", "X1"},
	{"script", two, "</body>", "<script>x()</script></body>", "X4"},
	{"script in the head", two, "</head>", `<script src="x.js"></script></head>`, "X4"},
	{"form that is sent", two, "<pre>", `<form action="x"><p>⠁</p></form><pre>`, "X4"},
	{"link that is a script", two, `href="one.xhtml#r1"`, `href="javascript:x()"`, "X4"},
	{"image from outside", two, "<pre>", `<p><img src="https://example.org/x.png" alt="⠁"/></p><pre>`, "C12"},
	{"image that is not in the manifest", two, "<pre>", `<p><img src="x.png" alt="⠁"/></p><pre>`, "P5"},
	{"mathematics without its property", two, "<pre>", `<math xmlns="http://www.w3.org/1998/Math/MathML"><mn>⠼⠁</mn></math><pre>`, "P5"},
	{"SVG without its property", two, "<pre>", `<svg xmlns="http://www.w3.org/2000/svg"/><pre>`, "P5"},
	{"deprecated switch", two, "<pre>", `<epub:switch id="s"/><pre>`, "P3"},
	{"languages that differ", two, `<p>⠮`, `<p lang="fr-Brai" xml:lang="de-Brai">⠮`, "X5-equal"},
	{"document in a print language", two, `lang="en-Brai-GB" xml:lang="en-Brai-GB"`, `lang="en-GB" xml:lang="en-GB"`, "X5"},
	{"document without a language", two, ` lang="en-Brai-GB" xml:lang="en-Brai-GB"`, "", "X5"},
	{"text in print", two, "⠛⠕⠬ ⠳⠞", "going out", "X2"},
	{"text in Braille ASCII", one, "⠁⠙⠁ ⠋⠢⠝⠊⠍⠕⠗⠑", ",ada ,f5nimore", "X2"},
	{"title of a short form in print", one, `title="⠙⠁"`, `title="day"`, "X2"},
	{"short heading in print", one, `<th scope="col"><abbr`, `<th scope="col" abbr="d"><abbr`, "X2"},
	// Style sheets.
	{"property of EPUB's own", css, "margin: 0;", "-epub-hyphens: none;", "X7"},
	{"direction", css, "margin: 0;", "direction: rtl;", "X7"},
	{"unicode-bidi", css, "margin: 0;", "unicode-bidi: embed;", "X7"},
	{"style sheet in Latin 1", css, "UTF-8", "iso-8859-1", "X7"},
	{"direction in an attribute", two, "<pre>", `<pre style="direction: rtl">`, "X7"},
	{"media query for braille", css, "@media (width > 30ch)", "@media braille", "X10"},
	{"media query for braille in a link rule", css, "@media (width > 30ch)", "@media (grid) and (width > 30ch)", "X10-other"},
	{"style sheet from outside", css, `@charset "UTF-8";`, `@charset "UTF-8"; @import url(https://example.org/x.css);`, "C12"},
	{"colour", css, "margin: 0;", "color: red;", "X8"},
	{"font", css, "margin: 0;", "font-size: 2em;", "X8"},
	{"length in pixels", css, "margin: 0;", "margin: 12px;", "X9"},
	{"media query in pixels", css, "30ch", "300px", "X9"},
	{"numbered lists", css, "list-style-type: none", "list-style-type: decimal", "X3"},
	{"lists as the reading system marks them", css, "ul, ol { list-style-type: none; }", "", "X3"},
}

// TestMutants: each fault is found under its rule, and nothing else is said.
func TestMutants(t *testing.T) {
	n := 0
	for _, m := range mutants {
		if m.rules == "" {
			continue
		}
		n++
		t.Run(m.name, func(t *testing.T) {
			files := with(t, good(), m.file, m.old, m.new, false)
			rep, err := check(t, "ferry.ebrl", pack(t, files, nil))
			if err != nil {
				t.Fatal(err)
			}
			found(t, rep, m.rules)
		})
	}
	if n < 75 {
		t.Errorf("%d mutants", n)
	}
}

// found compares the rules of the findings with those that are wanted, and
// looks whether the outcome follows from them.
func found(t *testing.T, rep *ebrl.Report, rules string) {
	t.Helper()
	must := map[string]bool{}
	for _, r := range ebrl.Rules() {
		must[r.ID] = r.Must
	}
	var got []string
	ok := true
	for _, f := range rep.Findings {
		if !slices.Contains(got, f.Rule) {
			got = append(got, f.Rule)
		}
		if f.Must != must[f.Rule] || f.Section == "" || f.Text == "" {
			t.Errorf("a finding that does not follow from its rule: %+v", f)
		}
		ok = ok && !f.Must
	}
	slices.Sort(got)
	if want := strings.Fields(rules); !slices.Equal(got, want) {
		t.Errorf("found %q, want %q: %+v", got, want, rep.Findings)
	}
	if rep.OK != ok {
		t.Errorf("ok is %v with %+v", rep.OK, rep.Findings)
	}
}

// TestMutantPackages: faults of the package itself.
func TestMutantPackages(t *testing.T) {
	swap := func(f []pair) []pair { f[0], f[1] = f[1], f[0]; return f }
	without := func(name string) func([]pair) []pair {
		return func(f []pair) []pair { return slices.DeleteFunc(f, func(p pair) bool { return p.name == name }) }
	}
	plus := func(p pair) func([]pair) []pair { return func(f []pair) []pair { return append(f, p) } }
	rename := func(old, name string) func([]pair) []pair {
		return func(f []pair) []pair {
			for i := range f {
				if f[i].name == old {
					f[i].name = name
				}
			}
			return f
		}
	}
	for _, m := range []struct {
		name, file string
		files      func([]pair) []pair
		header     func(*zip.FileHeader)
		rules      string
	}{
		{"another ending", "ferry.epub", nil, nil, "C1"},
		{"the ending in capitals", "ferry.EBRL", nil, nil, "C1"},
		{"mimetype not first", "", swap, nil, "C3"},
		{"no mimetype", "", without("mimetype"), nil, "C3"},
		{"no container", "", without("META-INF/container.xml"), nil, "C5"},
		{"no package document", "", without(opf), nil, "C6"},
		{"package document in a folder", "", rename(opf, "ebraille/package.opf"), nil, "C6"},
		{"no entry page", "", without(index), nil, "C7 P5"},
		{"entry page of another name", "", rename(index, "Index.html"), nil, "C7 P5 P5-all"},
		{"mimetype with an extra field", "", nil, func(h *zip.FileHeader) {
			if h.Name == "mimetype" {
				h.Extra = []byte{0x55, 0x54, 1, 0, 0}
			}
		}, "C3"},
		{"mimetype that is deflated", "", nil, func(h *zip.FileHeader) {
			if h.Name == "mimetype" {
				h.Method = zip.Deflate
			}
		}, "C10 C3"},
		{"method that EPUB does not know", "", nil, func(h *zip.FileHeader) {
			if h.Name == css {
				h.Method = 12
			}
		}, "C10"},
		{"text in UTF-16", "", func(f []pair) []pair {
			for i := range f {
				if f[i].name == two {
					f[i].text = utf16(f[i].text)
				}
			}
			return f
		}, nil, "C14"},
		{"a name with an asterisk", "", plus(pair{"ebraille/a*.css", "p {}"}), nil, "C11 P5-all"},
		{"a name with a question mark", "", plus(pair{"ebraille/a?.css", "p {}"}), nil, "C11 P5-all"},
		{"a name of private use", "", plus(pair{"ebraille/\ue000.css", "p {}"}), nil, "C10 C11 P5-all"},
		{"encrypted file", "", nil, func(h *zip.FileHeader) {
			if h.Name == css {
				h.Flags |= 1
			}
		}, "C10"},
		{"version 63 needed", "", nil, func(h *zip.FileHeader) {
			if h.Name == css {
				h.ReaderVersion = 63
			}
		}, "C10"},
		{"damaged file", "", nil, func(h *zip.FileHeader) {
			if h.Name == css {
				h.CRC32++
			}
		}, "C10"},
		{"a link in place of a file", "", nil, func(h *zip.FileHeader) {
			if h.Name == css {
				h.CreatorVersion, h.ExternalAttrs = 3<<8|20, 0o120777<<16
			}
		}, "C10"},
		{"a name twice", "", plus(pair{css, "p {}"}), nil, "C11"},
		{"names that differ in case", "", plus(pair{"ebraille/STYLE.css", "p {}"}), nil, "C11 P5-all"},
		{"names that differ in the form of a character", "", func(f []pair) []pair {
			return append(f, pair{"ebraille/\u00e9.css", "p {}"}, pair{"ebraille/e\u0301.css", "p {}"})
		}, nil, "C10 C11 P5-all"},
		{"a name that leads out", "", plus(pair{"../evil.css", "p {}"}), nil, "C11 P5-all"},
		{"a name from the root", "", plus(pair{"/evil.css", "p {}"}), nil, "C11 P5-all"},
		{"a name of Windows", "", plus(pair{`..\evil.css`, "p {}"}), nil, "C11 P5-all"},
		{"a name with a colon", "", plus(pair{"c:evil.css", "p {}"}), nil, "C11 P5-all"},
		{"a name with a dot at its end", "", plus(pair{"ebraille/x.", "p {}"}), nil, "C11 P5-all"},
		{"a name with a control character", "", plus(pair{"ebraille/x\x07", "p {}"}), nil, "C11 P5-all"},
		{"a name that is too long", "", plus(pair{"ebraille/" + strings.Repeat("x", 256), "p {}"}), nil, "C11 P5-all"},
		{"a name with a blank", "", plus(pair{"ebraille/a b.css", "p {}"}), nil, "C11-blank P5-all"},
		{"a file outside the manifest", "", plus(pair{"ebraille/notes.txt", "x"}), nil, "P5-all"},
		{"obfuscated fonts", "", plus(pair{"META-INF/encryption.xml", "<encryption/>"}), nil, "C13"},
	} {
		t.Run(m.name, func(t *testing.T) {
			files := good()
			if m.files != nil {
				files = m.files(files)
			}
			if m.file == "" {
				m.file = "ferry.ebrl"
			}
			rep, err := check(t, m.file, pack(t, files, m.header))
			if err != nil {
				t.Fatal(err)
			}
			found(t, rep, m.rules)
		})
	}
}

// utf16 is a text in UTF-16 with its mark, little end first.
func utf16(text string) string {
	out := "\xFF\xFE"
	for _, r := range text {
		out += string([]byte{byte(r), byte(r >> 8)})
	}
	return out
}

// TestLines: a finding names the line of its element, also after text of many
// lines.
func TestLines(t *testing.T) {
	for _, m := range []struct {
		file, old, new string
		line           int
	}{
		{opf, "<dc:language>en-Brai-GB", "<dc:language>en-GB", 7},
		{index, "one.xhtml#s1", "one.xhtml#s9", 16},
		{two, "⠛⠕⠬ ⠳⠞", "⠛⠕⠬\n⠁\nout", 16},
		{two, "</section>\n", "</section>\n</p>\n", 21},
		{css, "margin: 0;", "\n/* a\nb */ direction: rtl;", 5},
		{two, "<pre>", "<pre style=\"direction: rtl\">", 16},
	} {
		rep, err := check(t, "ferry.ebrl", pack(t, with(t, good(), m.file, m.old, m.new, false), nil))
		if err != nil {
			t.Fatal(err)
		}
		if len(rep.Findings) != 1 || rep.Findings[0].File != m.file || rep.Findings[0].Line != m.line {
			t.Errorf("%q in %s: %+v, want line %d", m.new, m.file, rep.Findings, m.line)
		}
	}
}

// TestEveryRuleHasAMutant: no rule is without a test.
func TestEveryRuleHasAMutant(t *testing.T) {
	seen := map[string]bool{}
	for _, m := range mutants {
		for _, r := range strings.Fields(m.rules) {
			seen[r] = true
		}
	}
	for _, r := range strings.Fields("C1 C6 C10 C11 C11-blank C13 P5-all") { // TestMutantPackages
		seen[r] = true
	}
	for _, r := range ebrl.Rules() {
		if !seen[r.ID] {
			t.Errorf("no mutant for %s: %s", r.ID, r.Text)
		}
	}
}
