package ebrl_test

import (
	"archive/zip"
	"bytes"
	"hash/crc32"
	"strings"
	"testing"
	"testing/fstest"

	"continuo/internal/ebrl"
)

// pair is one file of a publication.
type pair struct{ name, text string }

// good is a whole publication written by hand from the requirements of eBraille
// 1.0; EPUBCheck and others agree in TestGoodOutside.
func good() []pair {
	return []pair{
		{"mimetype", "application/epub+zip"},
		{"META-INF/container.xml", `<?xml version="1.0" encoding="UTF-8"?>
<container version="1.0" xmlns="urn:oasis:names:tc:opendocument:xmlns:container">
  <rootfiles>
    <rootfile full-path="package.opf" media-type="application/oebps-package+xml"/>
  </rootfiles>
</container>
`},
		{"package.opf", `<?xml version="1.0" encoding="UTF-8"?>
<package xmlns="http://www.idpf.org/2007/opf" version="3.0" unique-identifier="uid" xml:lang="en">
  <metadata xmlns:dc="http://purl.org/dc/elements/1.1/">
    <dc:identifier id="uid">urn:uuid:2c1b5c5e-9d0f-4a73-8f35-0c9a5ad0b001</dc:identifier>
    <dc:title>The Ferry</dc:title>
    <dc:creator>Ada Fennimore</dc:creator>
    <dc:language>en-Brai-GB</dc:language>
    <dc:format>eBraille 1.0</dc:format>
    <dc:date>2026-01-31</dc:date>
    <meta property="dcterms:modified">2026-01-31T12:00:00Z</meta>
    <meta property="dcterms:dateCopyrighted">1974</meta>
    <meta property="a11y:brailleCellType">6</meta>
    <meta property="a11y:brailleSystem">UEB grade2</meta>
    <meta property="a11y:completeTranscription">true</meta>
    <meta property="a11y:producer">The Saltholme Braille Library</meta>
    <meta property="a11y:tactileGraphics">none</meta>
    <meta property="schema:accessMode">tactile</meta>
    <meta property="schema:accessModeSufficient">tactile</meta>
    <meta property="schema:accessibilityFeature">braille</meta>
    <meta property="schema:accessibilityFeature">pageNavigation</meta>
    <meta property="schema:accessibilityHazard">none</meta>
    <meta property="schema:accessibilitySummary">Braille for refreshable displays.</meta>
    <meta property="pageBreakSource">urn:isbn:9780000000002</meta>
  </metadata>
  <manifest>
    <item id="nav" href="index.html" media-type="application/xhtml+xml" properties="nav"/>
    <item id="css" href="ebraille/style.css" media-type="text/css"/>
    <item id="one" href="ebraille/one.xhtml" media-type="application/xhtml+xml"/>
    <item id="two" href="ebraille/two.xhtml" media-type="application/xhtml+xml"/>
  </manifest>
  <spine>
    <itemref idref="one"/>
    <itemref idref="two"/>
  </spine>
</package>
`},
		{"index.html", `<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE html>
<html xmlns="http://www.w3.org/1999/xhtml" xmlns:epub="http://www.idpf.org/2007/ops" lang="en-Brai-GB" xml:lang="en-Brai-GB">
<head>
<title>⠮ ⠋⠻⠗⠽</title>
<link rel="publication" href="package.opf" type="application/oebps-package+xml"/>
<link rel="stylesheet" href="ebraille/style.css"/>
</head>
<body>
<nav epub:type="toc" role="doc-toc">
<h2>⠒⠞⠢⠞⠎</h2>
<ol>
<li><a href="ebraille/one.xhtml">⠮ ⠋⠻⠗⠽</a></li>
<li><a href="ebraille/one.xhtml#c1">⠐⠕</a>
<ol>
<li><a href="ebraille/one.xhtml#s1">⠮ ⠟⠥⠁⠽</a></li>
</ol>
</li>
<li><a href="ebraille/two.xhtml#c2">⠞⠺⠕</a></li>
</ol>
</nav>
<nav epub:type="page-list" role="doc-pagelist">
<ol>
<li><a href="ebraille/one.xhtml#p1" title="1">⠼⠁</a></li>
<li><a href="ebraille/two.xhtml#p2" title="2">⠼⠃</a></li>
</ol>
</nav>
<nav epub:type="landmarks" hidden="hidden">
<ol>
<li><a epub:type="titlepage" href="ebraille/one.xhtml">⠮ ⠋⠻⠗⠽</a></li>
<li><a epub:type="bodymatter" href="ebraille/one.xhtml#c1">⠐⠕</a></li>
</ol>
</nav>
</body>
</html>
`},
		{"ebraille/style.css", `@charset "UTF-8";
/* one cell is 1ch, one line 1rem */
p { margin: 0; text-indent: 2ch; }
ul, ol { list-style-type: none; }
@media (width > 30ch) { h1 { margin-left: 4ch; } }
`},
		{"ebraille/one.xhtml", `<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE html>
<html xmlns="http://www.w3.org/1999/xhtml" xmlns:epub="http://www.idpf.org/2007/ops" lang="en-Brai-GB" xml:lang="en-Brai-GB">
<head>
<title>⠮ ⠋⠻⠗⠽</title>
<link rel="stylesheet" href="style.css"/>
</head>
<body>
<section epub:type="titlepage">
<h1>⠮ ⠋⠻⠗⠽</h1>
<p>⠁⠙⠁ ⠋⠢⠝⠊⠍⠕⠗⠑</p>
</section>
<section role="doc-chapter" epub:type="chapter" id="c1">
<h2>⠐⠕</h2>
<div id="p1" role="doc-pagebreak" epub:type="pagebreak" aria-label="⠼⠁">⠐⠒⠼⠁</div>
<p>⠮ ⠋⠻⠗⠽<a id="r1" href="two.xhtml#n1" role="doc-noteref" epub:type="noteref">⠔⠼⠁</a> ⠉⠗⠕⠎⠎⠫</p>
<section id="s1">
<h3>⠮ ⠟⠥⠁⠽</h3>
<ul class="poetry">
<li>⠮ ⠗⠊⠧⠻<ul>
<li>⠺⠔⠙⠎</li>
</ul>
</li>
<li>⠕⠝</li>
</ul>
<table>
<thead>
<tr><th scope="col"><abbr title="⠙⠁">⠙⠁⠽</abbr></th><th scope="col">⠓⠊⠣</th></tr>
</thead>
<tbody>
<tr><td>⠍⠕⠝</td><td>⠼⠃</td></tr>
</tbody>
</table>
</section>
</section>
</body>
</html>
`},
		{"ebraille/two.xhtml", `<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE html>
<html xmlns="http://www.w3.org/1999/xhtml" xmlns:epub="http://www.idpf.org/2007/ops" lang="en-Brai-GB" xml:lang="en-Brai-GB">
<head>
<title>⠞⠺⠕</title>
<link rel="stylesheet" href="style.css"/>
</head>
<body>
<section role="doc-chapter" epub:type="chapter" id="c2">
<h2>⠞⠺⠕</h2>
<p>⠮ ⠗⠊⠧⠻ <span id="p2" role="doc-pagebreak" epub:type="pagebreak" aria-label="⠼⠃">⠐⠒⠼⠃</span> ⠺⠑⠝⠞ ⠕⠝</p>
<dl class="glossary">
<dt>⠑⠃⠃</dt>
<dd>⠛⠕⠬ ⠳⠞</dd>
</dl>
<pre>⠼⠁⠀⠀⠼⠃</pre>
<aside id="n1" role="doc-footnote" epub:type="footnote">
<p><a href="one.xhtml#r1" role="doc-backlink">⠼⠁</a> ⠁ ⠝⠕⠞⠑</p>
</aside>
</section>
</body>
</html>
`},
	}
}

// with returns the files with one text in one of them replaced; it must be there
// exactly once, or, when all is set, at least once.
func with(tb testing.TB, files []pair, name, old, new string, all bool) []pair {
	tb.Helper()
	for i := range files {
		if files[i].name != name {
			continue
		}
		if n := strings.Count(files[i].text, old); n != 1 && (!all || n == 0) {
			tb.Fatalf("%q stands %d times in %s", old, n, name)
		}
		files[i].text = strings.ReplaceAll(files[i].text, old, new)
		return files
	}
	tb.Fatalf("no file %s", name)
	return nil
}

// pack makes a package. change may alter a header before it is written.
func pack(tb testing.TB, files []pair, change func(*zip.FileHeader)) []byte {
	tb.Helper()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, f := range files {
		h := &zip.FileHeader{Name: f.name, Method: zip.Store, CRC32: crc32.ChecksumIEEE([]byte(f.text)), ReaderVersion: 20,
			CompressedSize64: uint64(len(f.text)), UncompressedSize64: uint64(len(f.text)), ModifiedDate: 0x21}
		if change != nil {
			change(h)
		}
		w, err := z.CreateRaw(h)
		if err != nil {
			tb.Fatal(err)
		}
		if _, err := w.Write([]byte(f.text)); err != nil {
			tb.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		tb.Fatal(err)
	}
	return out.Bytes()
}

// check checks a package.
func check(tb testing.TB, name string, data []byte) (*ebrl.Report, error) {
	tb.Helper()
	return ebrl.Package(name, bytes.NewReader(data), int64(len(data)))
}

func TestGood(t *testing.T) {
	rep, err := check(t, "ferry.ebrl", pack(t, good(), nil))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range rep.Findings {
		t.Errorf("%s %s: %s", f.Rule, f.Place(), f.Text)
	}
	if !rep.OK || rep.Documents != 2 || rep.Pages != 2 || rep.Files != len(good()) {
		t.Errorf("%+v", rep)
	}
}

// TestGoodFolder: unpackaged, with mimetype and META-INF and without (EBR 4.6).
func TestGoodFolder(t *testing.T) {
	for _, skip := range []int{0, 2} {
		dir := fstest.MapFS{}
		for _, f := range good()[skip:] {
			dir[f.name] = &fstest.MapFile{Data: []byte(f.text)}
		}
		rep, err := ebrl.Folder(dir)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range rep.Findings {
			t.Errorf("%s %s: %s", f.Rule, f.Place(), f.Text)
		}
	}
}
