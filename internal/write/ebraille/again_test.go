package ebraille_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"continuo/internal/convert"
	"continuo/internal/demo"
	"continuo/internal/source"
	"continuo/internal/write/ebraille"
)

// again reads a publication as a source and makes it anew.
func again(t *testing.T, ed *ebraille.Edition) (*convert.Result, *ebraille.Edition) {
	t.Helper()
	pack, err := ed.Pack()
	if err != nil {
		t.Fatal(err)
	}
	f, err := source.ParseEBraille("a.ebrl", pack, false)
	if err != nil {
		t.Fatal(err)
	}
	res, err := convert.Again(convert.Edition{File: f}, convert.Defaults())
	if err != nil {
		t.Fatal(err)
	}
	o := options(res)
	o.TitleLines = titleLines(content(ed))
	return res, written(t, res.Book, metadata("T"), o)
}

// titleLines is how many lines the title has.
func titleLines(text string) int {
	_, title, _ := strings.Cut(text, "<h1")
	title, _, _ = strings.Cut(title, "</h1>")
	return 1 + strings.Count(title, "<br/>")
}

// TestPrintReadPrint: a publication that is read and written again is the same
// publication, but for what it does not hold: the ids of its blocks are those of
// the new book, so links are compared by where they lead.
func TestPrintReadPrint(t *testing.T) {
	all := map[string]*ebraille.Edition{"everything": everything(t)}
	for _, d := range demo.Titles {
		res := demoBook(t, d)
		all[d.Folder] = written(t, res.Book, metadata(d.Name), options(res))
	}
	for name, ed := range all {
		res, next := again(t, ed)
		if len(res.Book.Links) != ed.Linked {
			t.Errorf("%s: %d links of %d are left", name, len(res.Book.Links), ed.Linked)
		}
		got, want := strings.Split(named(content(next)), "\n"), strings.Split(named(content(ed)), "\n")
		bad := 0
		for i := range max(len(got), len(want)) {
			if i < len(got) && i < len(want) && (got[i] == want[i] || inPage.MatchString(want[i]) && anyLink.ReplaceAllString(got[i], "") == anyLink.ReplaceAllString(want[i], "")) {
				continue
			}
			if bad++; bad < 12 {
				t.Errorf("%s line %d:\n got %s\nwant %s", name, i, at(got, i), at(want, i))
			}
		}
		if next.Pages != ed.Pages || next.Headings != ed.Headings || next.Linked != ed.Linked {
			t.Errorf("%s: %d pages, %d headings, %d links; before %d, %d, %d", name, next.Pages, next.Headings, next.Linked, ed.Pages, ed.Headings, ed.Linked)
		}
	}
}

func at(list []string, i int) string {
	if i < len(list) {
		return ascii(list[i])
	}
	return "nothing"
}

// tags are what differs for reasons of its own: where files and sections begin
// follows from the levels of headings, which a publication tells more of than
// the book had; a file is named in links, and a block by its number.
var (
	shell = regexp.MustCompile(`(?s)<\?xml.*?<body[^>]*>\n|</body>\n</html>\n|</?section[^>]*>\n`)
	file  = regexp.MustCompile(`href="[^"#]*`)
	block = regexp.MustCompile(`([#"])b(\d+)"`)

	inPage  = regexp.MustCompile(`href="#page-`) // to a page that begins within a paragraph: that paragraph
	anyLink = regexp.MustCompile(`href="[^"]*"`)
)

// named is a text without them, its blocks named in the order in which they are
// met.
func named(text string) string {
	text = file.ReplaceAllString(shell.ReplaceAllString(text, ""), `href="`)
	seen := map[string]string{}
	return block.ReplaceAllStringFunc(text, func(s string) string {
		n := s[1 : len(s)-1]
		if seen[n] == "" {
			seen[n] = fmt.Sprint("x", len(seen)+1)
		}
		return s[:1] + seen[n] + `"`
	})
}
