package source

import (
	"fmt"
	"runtime"
	"strings"
	"testing"
	"time"
	"unicode/utf16"

	"continuo/internal/cell"
)

const pefHead = `<?xml version="1.0" encoding="UTF-8"?>
<pef version="2008-1" xmlns="http://www.daisy.org/ns/2008/pef"><head><meta xmlns:dc="http://purl.org/dc/elements/1.1/">
<dc:format>application/x-pef+xml</dc:format><dc:identifier>x</dc:identifier><dc:title> The
Sea </dc:title></meta></head><body>`

// onePEF has one page of one row.
var onePEF = pefOf(`<volume cols="40" rows="25" rowgap="0" duplex="false"><section><page><row>%</row></page></section></volume>`, "sea")

// pefOf puts cells for every % of a body.
func pefOf(body string, cells ...string) string {
	for _, c := range cells {
		body = strings.Replace(body, "%", cell.Unicode([]byte(c)), 1)
	}
	return pefHead + body + "</body></pef>"
}

// shape is a file in short: lines with | between, / at the ends of pages.
func shape(f *File) string {
	var b strings.Builder
	for p, pg := range f.Pages {
		if p > 0 {
			b.WriteString("/")
		}
		for i := pg.First; i < pg.Last; i++ {
			if i > pg.First {
				b.WriteByte('|')
			}
			b.Write(f.Text(int(i)))
			if f.Lines[i].Page != int32(p) {
				b.WriteString("(wrong page)")
			}
		}
	}
	return b.String()
}

// The rules are those of PEF 1.0 (public draft of 2011): User Agent
// Conformance, Processing Unknown Content, rowgap, duplex.
func TestPEF(t *testing.T) {
	vol := func(attr, in string) string { return `<volume cols="40" rows="25" ` + attr + `>` + in + `</volume>` }
	plain := func(in string) string { return vol(`rowgap="0" duplex="false"`, "<section>"+in+"</section>") }
	for _, c := range []struct{ name, body, want string }{
		{"pages and blank rows", plain(`<page><row>%</row><row/><row>%</row></page><page/><page><row>%</row></page>`), "a||b//c"},
		{"blank first page", plain(`<page/><page><row>%</row></page>`), "/a"},
		{"indent and blanks at the end", plain("<page><row>\u2800\u2800%\u2800</row></page>"), "  a"},
		{"double spacing is layout", vol(`rowgap="4" duplex="false"`, `<section><page><row>%</row><row>%</row><row/><row>%</row></page></section>`), "a|b||c"},
		{"one row set off", plain(`<page><row rowgap="4">%</row><row>%</row><row rowgap="3">%</row></page>`), "a||b|c"},
		{"row gap of a page", plain(`<page rowgap="4"><row>%</row><row>%</row></page>`), "a|b"},
		{"a section on a new sheet", vol(`rowgap="0" duplex="true"`, `<section><page><row>%</row></page></section><section><page><row>%</row></page></section>`), "a//b"},
		{"an even section", vol(`rowgap="0" duplex="1"`, `<section><page><row>%</row></page><page><row>%</row></page></section><section><page><row>%</row></page></section>`), "a/b/c"},
		{"one side", vol(`rowgap="0" duplex="false"`, `<section><page><row>%</row></page></section><section><page><row>%</row></page></section>`), "a/b"},
		{"unknown elements", plain(`<x:w xmlns:x="urn:x">text<page><x:y><row>%</row></x:y></page></x:w>`), "a"},
		{"line ends and blanks in a row", plain("<page><row>\n%  %\n</row></page>"), "a  b"},
		{"character references", plain("<page><row>&#x2801;&#10243;</row></page>"), "ab"},
		{"rows in no page", `<row>%</row><row>%</row>`, "a|b"},
	} {
		files, err := ParseAll("b.pef", []byte(pefOf(c.body, "a", "b", "c")))
		if err != nil || len(files) != 1 {
			t.Errorf("%s: %d files, %v", c.name, len(files), err)
			continue
		}
		if got := shape(files[0]); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

func TestPEFOfSeveralVolumes(t *testing.T) {
	v := `<volume cols="40" rows="25" rowgap="0" duplex="false"><section><page><row>%</row></page></section></volume>`
	raw := []byte(pefOf(v+v+`<volume cols="9" rows="9" rowgap="0" duplex="false"><section><page><row/></page></section></volume>`, "a", "b"))
	files, err := ParseAll("b.pef", raw)
	if err != nil || len(files) != 2 {
		t.Fatal(len(files), err)
	}
	a, b := files[0], files[1]
	if a.Name != "b.pef volume 1" || b.Name != "b.pef volume 2" || a.SHA256 == b.SHA256 || a.Encoding != PEF || a.Bytes != int64(len(raw)) || a.Marks != 1 || shape(b) != "b" {
		t.Errorf("%+v\n%+v", a, b)
	}
	if want := []About{{"format", "application/x-pef+xml"}, {"identifier", "x"}, {"title", "The Sea"}}; fmt.Sprint(a.About) != fmt.Sprint(want) {
		t.Errorf("%v", a.About)
	}
}

func TestPEFInUTF16(t *testing.T) {
	text := strings.Replace(onePEF, "UTF-8", "UTF-16", 1)
	for _, big := range []bool{false, true} {
		var raw []byte
		for _, u := range append([]uint16{0xFEFF}, utf16.Encode([]rune(text))...) {
			if big {
				raw = append(raw, byte(u>>8), byte(u))
			} else {
				raw = append(raw, byte(u), byte(u>>8))
			}
		}
		files, err := ParseAll("b.pef", raw)
		if err != nil || shape(files[0]) != "sea" {
			t.Errorf("big %v: %v", big, err)
		}
	}
}

// What is no cell of six dots is kept and told, as in other files.
func TestPEFForeign(t *testing.T) {
	files, err := ParseAll("b.pef", []byte(pefOf("<page><row>%\u28FF</row></page>", "the sea is here and he")))
	if err != nil || files[0].NForeign != 1 {
		t.Fatalf("%v %+v", err, files)
	}
}

func TestDamagedPEF(t *testing.T) {
	for _, c := range []struct{ body, want string }{
		{"<volume>\n<section><page><row>%</row></page></volume>", `line 5: damaged XML: element <section> closed by </volume>`},
		{"<page><row>%&nbsp;</row></page>", `line 4: damaged XML: invalid character entity &nbsp;`},
		{"<page><row>%<row/></row></page>", "line 4: a row inside a row"},
		{"<page>%</page>", "line 4: braille that stands in no row"},
		{`<page rowgap="x"><row>%</row></page>`, `line 4: rowgap must be a number from 0, not "x"`},
		{"<page><row/></page>", "it holds no cell that is not blank"},
		{strings.Repeat("<x>", maxNest), "nested more than 200 deep"},
		{strings.Repeat("<volume/>", maxVolumes+1), "more than 1000 volumes"},
	} {
		_, err := ParseAll("b.pef", []byte(pefOf(c.body, "a")))
		if err == nil || !strings.Contains(err.Error(), `"b.pef": not a readable PEF file: `) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%.40s: %v, want %q", c.body, err, c.want)
		}
	}
	for _, text := range []string{onePEF[:len(onePEF)-9], strings.Replace(onePEF, "UTF-8", "Shift_JIS", 1), strings.Replace(onePEF, "The", "T\xffe", 1)} {
		if _, err := ParseAll("b.pef", []byte(text)); err == nil {
			t.Errorf("read: %.80q", text)
		}
	}
}

// Entities that a file declares are never expanded, and nothing is fetched.
func TestHostilePEF(t *testing.T) {
	bomb := `<?xml version="1.0"?><!DOCTYPE pef [<!ENTITY a "ha">`
	for i := 'b'; i < 'z'; i++ {
		bomb += fmt.Sprintf(`<!ENTITY %c "%s">`, i, strings.Repeat(fmt.Sprintf("&%c;", i-1), 20))
	}
	bomb += `]><pef><body><page><row>&y;</row></page></body></pef>`
	deep := `<pef>` + strings.Repeat("<a>", 5_000_000)
	outside := `<?xml version="1.0"?><!DOCTYPE pef SYSTEM "file:///etc/passwd" [<!ENTITY x SYSTEM "file:///etc/passwd">]><pef><body><row>&x;</row></body></pef>`
	long := `<pef ` + strings.Repeat(`a="b" `, 1_000_000)
	huge := "<pef>" + strings.Repeat(" ", MaxXML)
	for name, text := range map[string]string{"bomb": bomb, "deep": deep, "outside": outside, "attributes": long, "huge": huge} {
		start := time.Now()
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, err := ParseAll("b.pef", []byte(text))
		runtime.ReadMemStats(&after)
		if err == nil || !strings.Contains(err.Error(), "b.pef") {
			t.Errorf("%s: %v", name, err)
		}
		// Bounds, not measures: a bomb would take hours and all memory.
		if took, grew := time.Since(start), after.TotalAlloc-before.TotalAlloc; took > time.Minute || grew > 1<<30 {
			t.Errorf("%s: %v and %d bytes", name, took, grew)
		}
	}
}

func TestLooksPEF(t *testing.T) {
	for text, want := range map[string]bool{onePEF: true, "<pef>": true, "\xEF\xBB\xBF <!-- x --><PEF a='b'/>": true, "<html>": false, "<p": false, "pef": false, "": false, "<?xml?><a><pef/></a>": false} {
		if got := looksPEF([]byte(text)); got != want {
			t.Errorf("%.30q: %v", text, got)
		}
	}
	if _, err := ParseAll("b.xml", []byte(`<?xml version="1.0"?><a/>`)); err == nil || !strings.Contains(err.Error(), "an XML file other than PEF") {
		t.Error(err)
	}
}

func FuzzPEF(f *testing.F) {
	f.Add([]byte(onePEF))
	f.Fuzz(func(t *testing.T, raw []byte) {
		files, err := ParseAll("f.pef", raw)
		if err != nil {
			return
		}
		for _, file := range files {
			for _, p := range file.Pages {
				if p.First > p.Last || int(p.Last) > len(file.Lines) {
					t.Errorf("page %v of %d lines", p, len(file.Lines))
				}
			}
		}
	})
}
