package source

import (
	"archive/zip"
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"continuo/internal/cell"
)

const opf = `<?xml version="1.0" encoding="UTF-8"?>
<package xmlns="http://www.idpf.org/2007/opf" version="3.0" unique-identifier="i"><metadata xmlns:dc="http://purl.org/dc/elements/1.1/">
<dc:title id="t">The Sea</dc:title><dc:creator>Ann <!-- x -->Lee</dc:creator><meta property="a11y:producer">Mill Lane</meta><meta property="x">y</meta></metadata>
<manifest><item id="nav" href="index.html" properties="nav"/><item id="b" href="text/two%20b.xhtml"/><item id="a" href="text/a.xhtml"/></manifest>
<spine><itemref idref="a"/><itemref idref="b"/></spine></package>`

// book is a small publication; its words are spelled out in braille by br.
func publicationFiles() map[string]string {
	return map[string]string{
		"mimetype":               "application/epub+zip",
		"META-INF/container.xml": `<container xmlns="urn:oasis:names:tc:opendocument:xmlns:container" version="1.0"><rootfiles><rootfile full-path="package.opf" media-type="application/oebps-package+xml"/></rootfiles></container>`,
		"package.opf":            opf,
		"index.html":             doc(`<nav><ol><li>` + br("nav") + `</li></ol></nav>`),
		"text/a.xhtml": doc(`<section role="doc-toc"><h1>` + br("list") + `</h1><ol><li><a href="b">` + br("one") + `</a> ` + br("#a") + `</li></ol></section>
<section><h2>` + br("one") + `<br/>` + br("sea") + `</h2><p>` + br("a") + "\n  <em>" + br("b") + `</em>` + br("c") + `&#160;` + br("d") + "\u00AD" + br("e") + `</p>
<p>` + br("x") + ` <span id="p2" role="doc-pagebreak">` + br("#b") + `</span> ` + br("y") + `<span epub:type="pagebreak" aria-label="` + br("#c") + ` "></span></p></section>`),
		"text/two b.xhtml": doc(`<nav hidden="">` + br("gone") + `</nav><ul class="poetry"><li>` + br("v") + `</li><li>` + br("w") + `</li></ul><pre>` + br("  r  s") + "\n" + br("t") + `</pre>
<table><tr><td>` + br("l") + `</td><td>` + br("m") + `</td></tr></table><dl><dt>` + br("k") + `</dt><dd>` + br("j") + `</dd></dl><div role="doc-pagebreak">` + br(`"3#d`) + `</div><script>` + br("no") + `</script>`),
	}
}

func br(cells string) string { return cell.Unicode([]byte(cells)) }

func doc(body string) string {
	return `<?xml version="1.0" encoding="UTF-8"?><!DOCTYPE html><html xmlns="http://www.w3.org/1999/xhtml" xmlns:epub="http://www.idpf.org/2007/ops"><head><title>` + br("title") + `</title></head><body>` + body + `</body></html>`
}

func pack(t *testing.T, files map[string]string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	w, err := z.CreateHeader(&zip.FileHeader{Name: "mimetype", Method: zip.Store})
	if err != nil {
		t.Fatal(err)
	}
	fmt.Fprint(w, files["mimetype"])
	for name, text := range files {
		if name == "mimetype" {
			continue
		}
		if w, err = z.Create(name); err != nil {
			t.Fatal(err)
		}
		fmt.Fprint(w, text)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// The forms are those of the draft notes on tagging (17 October 2024) and of
// eBraille 1.0, 6.2.1: blanks as U+0020 or U+2800, soft hyphens, page breaks as
// text or label; U+00A0 does not break.
var publicationLines = `list h1 contents
one #a item contents
one h2
sea h2
a bc de p
x "3#b y "3#c p
v verse
w verse
  r  s pre
t pre
l  m row
k term
j meaning
"3#d turn`

func linesOfPublication(f *File) string {
	var out []string
	for i := range f.Lines {
		p := f.Pieces[i]
		kind := "p"
		switch {
		case p.Level > 0:
			kind = fmt.Sprintf("h%d", p.Level)
		case p.Turn:
			kind = "turn"
		case p.Verse:
			kind = "verse"
		case p.Line:
			kind = "pre"
		case p.Form == "row", p.Form == "term":
			if kind = p.Form; p.More {
				kind = "meaning"
			}
		case p.Item:
			kind = "item"
		}
		out = append(out, strings.TrimSpace(string(f.Text(i))+" "+kind+" "+p.Part))
		if strings.HasPrefix(string(f.Text(i)), " ") {
			out[len(out)-1] = string(f.Text(i)) + " " + kind
		}
	}
	return strings.Join(out, "\n")
}

func TestEBraille(t *testing.T) {
	files := publicationFiles()
	f, err := ParseEBraille("sea.ebrl", pack(t, files), false)
	if err != nil {
		t.Fatal(err)
	}
	if got := linesOfPublication(f); got != publicationLines {
		t.Errorf("got\n%s\nwant\n%s", got, publicationLines)
	}
	if fmt.Sprint(f.About) != "[{title The Sea} {creator Ann Lee} {a11y:producer Mill Lane}]" || f.Encoding != XHTML {
		t.Errorf("%v %v", f.About, f.Encoding)
	}
	dir := tree(t, files)
	g, err := ParseEBrailleFolder("sea", dir, false)
	if err != nil || linesOfPublication(g) != publicationLines {
		t.Errorf("folder: %v", err)
	}
	for _, args := range []string{dir, filepath.Dir(dir)} {
		list, _, err := Open([]string{args})
		if err != nil || len(list) != 1 || list[0].SHA256 != g.SHA256 {
			t.Errorf("Open %s: %v", args, err)
		}
	}
	delete(files, "META-INF/container.xml") // allowed in a folder, and not missed in a package
	if f, err := ParseEBraille("sea.ebrl", pack(t, files), false); err != nil || linesOfPublication(f) != publicationLines {
		t.Errorf("without a container: %v", err)
	}
}

// Links lead to the piece in which the element with the id begins, or to the
// first of a document (EPUB 3.3, XHTML content documents); those that lead
// nowhere, out of the publication or back from a note are left out.
func TestEBrailleLinks(t *testing.T) {
	files := publicationFiles()
	files["text/a.xhtml"] = doc(`<p id="here">` + br("a") + ` <a href="two%20b.xhtml">` + br("b c") + `</a> <a href="two%20b.xhtml#last" role="doc-noteref">` + br("d") + `</a><a href="#here">` + br("e") + `</a>
<a href="#gone">` + br("f") + `</a><a href="../../x.xhtml">` + br("g") + `</a><a href="https://example.org/">` + br("h") + `</a><a href="" role="doc-backlink">` + br("i") + `</a></p>
<p>` + br("j") + ` <a href="a.xhtml#here">x</a></p><p><a href="#p9">` + br("k") + `</a> <span role="doc-pagebreak" id="p9">` + br("#i") + `</span></p>`)
	files["text/two b.xhtml"] = doc(`<ul><li>` + br("l") + `</li></ul><aside role="doc-footnote" id="last"><p><a role="doc-backlink" href="a.xhtml#here">` + br("m") + `</a></p><p>` + br("n") + `</p></aside>`)
	f, err := ParseEBraille("sea.ebrl", pack(t, files), false)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for i, p := range f.Pieces {
		for _, l := range p.Links {
			got = append(got, fmt.Sprintf("%s>%s,%v", f.Text(i)[l.From:l.To], f.Text(l.Target), l.Note))
		}
		for _, turn := range p.Turns {
			got = append(got, "turn "+strings.TrimSpace(string(f.Text(i)[turn.From:turn.To])))
		}
		if p.Form == "note" {
			got = append(got, fmt.Sprint("note ", string(f.Text(i)), p.More))
		}
	}
	want := `[b c>l,false d>m,true e>a b c de fghi,false k>k "3#i,false turn "3#i note mfalse note ntrue]`
	if fmt.Sprint(got) != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

func TestBadEBraille(t *testing.T) {
	swap := func(name, from, to string) func(map[string]string) {
		return func(m map[string]string) { m[name] = strings.Replace(m[name], from, to, 1) }
	}
	for _, c := range []struct {
		name   string
		change func(map[string]string)
		want   string
	}{
		{"no package", func(m map[string]string) { delete(m, "package.opf") }, `"package.opf": file does not exist`},
		{"no document", func(m map[string]string) { delete(m, "text/a.xhtml") }, `"text/a.xhtml": file does not exist`},
		{"no spine", swap("package.opf", `<itemref idref="a"/><itemref idref="b"/>`, ""), "it has no spine"},
		{"unknown item", swap("package.opf", `idref="a"`, `idref="z"`), `the spine names "z", which is not in the manifest`},
		{"path out", swap("package.opf", "text/a.xhtml", "../../etc/passwd"), `"../../etc/passwd" leads out of the publication`},
		{"path from the root", swap("package.opf", "text/a.xhtml", "/etc/passwd"), `leads out of the publication`},
		{"path in disguise", swap("package.opf", "text/a.xhtml", "%2e%2e/%2e%2e/x"), `leads out of the publication`},
		{"remote", swap("package.opf", "text/a.xhtml", "https://example.org/a.xhtml"), `leads out of the publication`},
		{"damaged", swap("text/a.xhtml", "</em>", ""), `"text/a.xhtml": line 3: damaged XML: element <em> closed by </p>`},
		{"entity", swap("text/a.xhtml", "&#160;", "&nbsp;"), "invalid character entity &nbsp;"},
		{"bomb", swap("text/a.xhtml", "<!DOCTYPE html>", `<!DOCTYPE html [<!ENTITY a "aaaaaaaa"><!ENTITY b "&a;&a;&a;">]>`), ""},
		{"deep", swap("text/a.xhtml", "<section>", strings.Repeat("<div>", maxNest+1)), "nested more than 200 deep"},
		{"tight", func(m map[string]string) { m["text/a.xhtml"] = strings.Repeat(" ", 8<<20) }, "packed more tightly than any book"},
		{"print", func(m map[string]string) {
			m["text/a.xhtml"], m["text/two b.xhtml"] = doc("<p>Здравствуйте</p>"), doc("<p>ще</p>")
		}, "not a braille file"},
		{"empty", func(m map[string]string) { m["text/a.xhtml"], m["text/two b.xhtml"] = doc(""), doc("<p> </p>") }, "it holds no text"},
	} {
		files := publicationFiles()
		c.change(files)
		_, err := ParseEBraille("sea.ebrl", pack(t, files), false)
		if c.want == "" { // an entity that is declared and not used does no harm
			if err != nil {
				t.Errorf("%s: %v", c.name, err)
			}
			continue
		}
		if err == nil || !strings.HasPrefix(err.Error(), `"sea.ebrl": not a readable eBraille publication: `) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
	if _, err := ParseEBraille("x.ebrl", []byte("PK\x03\x04 cut off"), false); err == nil {
		t.Error("a damaged zip was read")
	}
}

// More links than anybody reads are an error, not work without end.
func TestEBrailleManyLinks(t *testing.T) {
	links := func(n int) []byte {
		return []byte(doc(`<p id="x">` + strings.Repeat(`<a href="#x">`+br("a")+"</a> ", n) + "</p>"))
	}
	if _, err := pieces(links(maxLinks+2), false, false); err == nil || !strings.Contains(err.Error(), "more than 100000 links and page breaks in one paragraph") {
		t.Errorf("%v", err)
	}
	list, err := pieces(links(maxLinks/2), false, false)
	if err != nil {
		t.Fatal(err)
	}
	if err := resolve(list, []document{{"a", 0}}); err == nil || !strings.Contains(err.Error(), "more links and page breaks in its paragraphs than any book has") {
		t.Errorf("%v", err)
	}
	list, err = pieces(links(2_000), false, false)
	if err != nil || resolve(list, []document{{"a", 0}}) != nil || len(list[0].Links) != 2_000 {
		t.Errorf("2,000 links: %v", err)
	}
}

// A link in a folder that leads out of it is not followed.
func TestEBrailleFolderStaysInside(t *testing.T) {
	files := publicationFiles()
	files["text/a.xhtml"] = ""
	dir := tree(t, files)
	out := filepath.Join(t.TempDir(), "secret.xhtml")
	if err := os.WriteFile(out, []byte(doc(br("s"))), 0o644); err != nil {
		t.Fatal(err)
	}
	link := filepath.Join(dir, "text", "a.xhtml")
	if err := os.Remove(link); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(out, link); err != nil {
		t.Skip("no symbolic links here")
	}
	if _, err := ParseEBrailleFolder("sea", dir, false); err == nil || !strings.Contains(err.Error(), "a.xhtml") {
		t.Errorf("%v", err)
	}
}

func TestParsePage(t *testing.T) {
	page := doc(`<header class="cells">` + br("no") + `</header><main><p class="cells i2">` + br("the sea") + `</p><p class="print">sea</p><h2><span class="cells">` + br("a") + `</span> <span class="print">x</span></h2><pre class="cells">` + br("p") + "\n" + br("q") + `</pre></main>`)
	f, err := ParsePage("x.html", []byte(page))
	if err != nil || shape(f) != "the sea|a|p|q" {
		t.Errorf("%v %q", err, shape(f))
	}
	for _, bad := range []string{doc("<p>x</p>"), "<html>", "", "text"} {
		if _, err := ParsePage("x.html", []byte(bad)); err == nil || !strings.Contains(err.Error(), `"x.html"`) {
			t.Errorf("%.30q: %v", bad, err)
		}
	}
}

func FuzzXHTML(f *testing.F) {
	for _, text := range publicationFiles() {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, raw []byte) {
		for _, only := range []bool{false, true} {
			list, err := pieces(raw, only, only)
			if err != nil {
				continue
			}
			for _, p := range list {
				if strings.ContainsAny(p.Text, "\n\r\f") {
					t.Errorf("line end in %q", p.Text)
				}
			}
		}
	})
}
