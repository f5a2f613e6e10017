package ebraille_test

import (
	"encoding/xml"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
	"testing"

	"continuo/internal/convert"
	"continuo/internal/demo"
	"continuo/internal/english"
	"continuo/internal/source"
	"continuo/internal/write/ebraille"
)

// inlines are elements that do not end a word.
var inlines = map[string]bool{"span": true, "a": true}

// wordsOf reads the words of XHTML files, heads left out, back into cells, with
// the standard library's XML reader.
func wordsOf(text string) []string {
	var b strings.Builder
	for _, doc := range strings.Split(text, "<?xml")[1:] {
		d := xml.NewDecoder(strings.NewReader("<?xml" + doc))
		head := false
		for {
			tok, err := d.Token()
			if err != nil {
				if err != io.EOF {
					panic(err)
				}
				break
			}
			switch t := tok.(type) {
			case xml.StartElement:
				head = head || t.Name.Local == "head"
				if !inlines[t.Name.Local] {
					b.WriteByte('\n')
				}
			case xml.EndElement:
				head = head && t.Name.Local != "head"
				if !inlines[t.Name.Local] {
					b.WriteByte('\n')
				}
			case xml.CharData:
				if !head {
					b.Write(t)
				}
			}
		}
	}
	return strings.Fields(strings.ReplaceAll(ascii(b.String()), "~", " "))
}

// edition is the Braille ASCII edition of the same sources, with one line a
// paragraph.
func edition(tb testing.TB, files []*source.File) []string {
	tb.Helper()
	o := convert.Defaults()
	o.Width = 0
	res, err := convert.Make(files, o)
	if err != nil {
		tb.Fatal(err)
	}
	return strings.Fields(strings.ToLower(string(res.Edition)))
}

// TestWordsOfDemo: the words are those of the Braille ASCII edition, cell for
// cell and in order.
func TestWordsOfDemo(t *testing.T) {
	for _, d := range demo.Titles {
		res := demoBook(t, d)
		ed := written(t, res.Book, metadata(d.Name), options(res))
		sameWords(t, d.Name, wordsOf(content(ed)), edition(t, res.Book.Files))
		entries(t, d.Name, ed)
	}
}

func TestWordsOfLargeBook(t *testing.T) {
	res := large(t)
	ed := written(t, res.Book, metadata("Novels"), options(res))
	sameWords(t, "large", wordsOf(content(ed)), edition(t, res.Book.Files))
	entries(t, "large", ed)
	for _, f := range ed.Files {
		if len(f.Data) > 600_000 {
			t.Errorf("%s has %d bytes", f.Name, len(f.Data))
		}
	}
}

// options has the variant of a book, and where it is not sure one that it may
// be: what the demo says of itself.
func options(res *convert.Result) ebraille.Options {
	v := res.Variant
	if v.Code == english.UnknownCode {
		v = english.Variant{Code: english.SEB, Contracted: true}
	}
	return ebraille.Options{Variant: v}
}

func sameWords(t *testing.T, name string, got, want []string) {
	t.Helper()
	if slices.Equal(got, want) {
		return
	}
	i := 0
	for i < min(len(got), len(want)) && got[i] == want[i] {
		i++
	}
	t.Errorf("%s: %d words, want %d; they differ at word %d: %q, want %q", name, len(got), len(want), i,
		got[i:min(len(got), i+6)], want[i:min(len(want), i+6)])
}

var (
	breaks = regexp.MustCompile(`id="([^"]*)" role="doc-pagebreak"`)
	titles = regexp.MustCompile(`<h[1-6]( id="([^"]*)")?>`)
	hrefs  = regexp.MustCompile(`href="ebraille/[^"#]*#([^"]*)"`)
)

// entries: every print page is in the page list and every heading in the
// contents, once and in order.
func entries(t *testing.T, name string, ed *ebraille.Edition) {
	t.Helper()
	text, nav := content(ed), fileOf(t, ed, "index.html")
	_, pages, _ := strings.Cut(nav, `role="doc-pagelist"`)
	pages, _, _ = strings.Cut(pages, "</nav>")
	toc, _, _ := strings.Cut(nav, "</nav>")
	if got, want := ids(hrefs, pages, 1), ids(breaks, text, 1); !slices.Equal(got, want) || len(got) != ed.Pages {
		t.Errorf("%s: the page list has %d pages, the text %d, and %d are told", name, len(got), len(want), ed.Pages)
	}
	if got, want := ids(hrefs, toc, 1), ids(titles, text, 2); !slices.Equal(got, want) || len(got) != ed.Headings {
		t.Errorf("%s: the contents have %d headings, the text %d, and %d are told", name, len(got), len(want), ed.Headings)
	}
}

func ids(re *regexp.Regexp, text string, group int) []string {
	var out []string
	for _, m := range re.FindAllStringSubmatch(text, -1) {
		if m[group] != "" {
			out = append(out, m[group])
		}
	}
	return out
}

// TestPageLabels: page numbers in print, for the titles of the page list. The
// braille forms are those of cell.ParseLabel's cases.
func TestPageLabels(t *testing.T) {
	for mark, want := range map[string][2]string{
		`"3#ab`: {"12", "#ab"}, `"3 #ab`: {"12", "#ab"}, `"3;ix`: {"ix", ";ix"}, `-------;iv`: {"iv", ";iv"}, `---#bc-#bd`: {"23-24", "#bc-#bd"},
		`"3,a#c`: {"A3", ",a#c"}, `"3#ab;a`: {"12a", "#ab;a"}, `"3;,,xii`: {"XII", ";,,xii"}, `"3#j`: {"0", "#j"}, `"3b#c`: {"b3", "b#c"},
	} {
		ed := written(t, build(t, fmt.Sprintf("turn {%s}", mark), "para x"), metadata("T"), ueb)
		nav := ascii(fileOf(t, ed, "index.html"))
		if !strings.Contains(nav, fmt.Sprintf(`title="%s">%s</a>`, want[0], want[1])) {
			t.Errorf("%s: want %q in\n%s", mark, want, nav)
		}
	}
	ed := written(t, build(t, `turn {"3#c}`, "para x", `turn {"3#c}`, "para y"), metadata("T"), ueb)
	if got := ids(breaks, content(ed), 1); !slices.Equal(got, []string{"page-3", "page-3.2"}) {
		t.Errorf("the same page twice has ids %q", got)
	}
}
