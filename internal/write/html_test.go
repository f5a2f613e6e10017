package write_test

import (
	"regexp"
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/write"
	"continuo/internal/write/html"
	"continuo/internal/write/pef"
	"continuo/internal/write/text"
)

func all(re, s string) []string {
	var out []string
	for _, m := range regexp.MustCompile(re).FindAllStringSubmatch(s, -1) {
		out = append(out, m[1])
	}
	return out
}

// Every heading is in the contents list and every print page in the page list,
// in order; every link leads somewhere; no heading skips a level (WCAG 2.2,
// technique G141); braille and print say what language they are.
func TestPageToJumpBy(t *testing.T) {
	for name, e := range editions(t) {
		data, err := html.Write(e)
		if err != nil {
			t.Fatal(err)
		}
		page := string(data)
		nav, main, _ := strings.Cut(page, "<main")
		heads := all(`<h[2-6] id="(b\d+)"`, main)
		if got := all(`<li><a href="#(b\d+)">`, nav); strings.Join(got, " ") != strings.Join(heads, " ") {
			t.Errorf("%s: %d headings, %d in the contents list", name, len(heads), len(got))
		}
		turns := all(`<span id="(page-[^"]+)" class="turn" role="doc-pagebreak"`, main)
		if got := all(`<li><a href="#(page-[^"]+)">`, nav); name != "lot" && (strings.Join(got, " ") != strings.Join(turns, " ") || len(got) != len(e.Book.Turns)) {
			t.Errorf("%s: %d print pages of %d, %d in the page list", name, len(turns), len(e.Book.Turns), len(got))
		}
		ids := map[string]bool{}
		for _, id := range all(` id="([^"]+)"`, page) {
			if ids[id] {
				t.Errorf("%s: id %s twice", name, id)
			}
			ids[id] = true
		}
		for _, id := range all(`href="#([^"]+)"`, page) {
			if !ids[id] && name != "lot" { // by lot, links point at blocks inside headings and at nothing but blanks
				t.Errorf("%s: a link to %s, which is nowhere", name, id)
			}
		}
		last := 1
		for _, l := range all(`<h([1-6])`, page) {
			if n := int(l[0] - '0'); n > last+1 {
				t.Errorf("%s: h%d after h%d", name, n, last)
			} else {
				last = n
			}
		}
		if name == "bell" && (!strings.Contains(page, `lang="en-Brai-GB"`) || !strings.Contains(page, `lang="en-GB"`) || !strings.Contains(page, "A &lt;Bell&gt; &amp; Water")) {
			t.Errorf("%s: languages or title", name)
		}
	}
}

// A note called from the text has a way back to it.
func TestPageNotes(t *testing.T) {
	for name, e := range editions(t) {
		refs := 0
		targets := map[int32]bool{}
		for _, l := range e.Book.Links {
			if l.Kind == book.NoteRef && !targets[l.Target] {
				targets[l.Target] = true
				refs++
			}
		}
		data, err := html.Write(e)
		if err != nil {
			t.Fatal(err)
		}
		if name != "lot" && strings.Count(string(data), "back to the text") != refs {
			t.Errorf("%s: %d notes called, %d ways back", name, refs, strings.Count(string(data), "back to the text"))
		}
	}
}

// Time and memory of the writers, on a demo title repeated to 600 pages of 25
// lines: go test -bench Writers ./internal/write
func BenchmarkWriters(b *testing.B) {
	e := long(b)
	for name, write := range map[string]func(*write.Edition) ([]byte, error){
		"text": text.Write, "html": html.Write, "pef": func(e *write.Edition) ([]byte, error) { return pef.Write(e, pef.Options{}) }, "pef-paged": paged(32, 27, "top-right"), "ebraille": packed,
	} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := write(e); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(strings.Count(string(e.Data), "\n"))/25, "pages")
		})
	}
}
