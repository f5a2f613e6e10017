package layout_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/cell"
	"continuo/internal/layout"
	"continuo/internal/source"
)

// dictionaryPages sets pages of entries under heads that are made of the first
// and the last headword of each page (guide words: BANA Braille Formats 2016,
// section 21, from memory).
func dictionaryPages(t *testing.T, pages int, head func(first, last string) string) *layout.Volume {
	t.Helper()
	var b strings.Builder
	n := 0
	word := func() string { n++; return "w" + string(rune('a'+n/25%26)) + string(rune('a'+n%25)) + "ld" }
	for p := range pages {
		var lines []string
		var words []string
		for range 11 {
			w := word()
			words = append(words, w)
			lines = append(lines, w+"1 a t+ t is us$ on a boat or", "  n>r ! sea & _h no o!r use")
		}
		h, num := head(words[0], words[10]), string(cell.Number(p+1))
		line, margin := strings.CutPrefix(h, "margin ")
		if !margin {
			line = strings.Repeat(" ", (36-len(h))/2) + h
		}
		fmt.Fprintf(&b, "%s%s%s\n%s\n\f", line, strings.Repeat(" ", 38-len(num)-len(line)), num, strings.Join(lines, "\n"))
	}
	f, err := source.Parse("v1.brf", []byte(b.String()))
	if err != nil {
		t.Fatal(err)
	}
	return layout.Survey([]*source.File{f})[0]
}

func TestGuideWordsAreHeads(t *testing.T) {
	for name, c := range map[string]struct {
		head func(a, z string) string
		want int
	}{
		"both, hyphen":        {func(a, z string) string { return a + "-" + z }, 12},
		"both, spaced hyphen": {func(a, z string) string { return a + " - " + z }, 12},
		"both, UEB dash":      {func(a, z string) string { return a + " ,- " + z }, 12},
		"both, wide apart":    {func(a, z string) string { return a + "     " + z }, 12},
		"first only":          {func(a, _ string) string { return "," + a }, 12},
		"last only":           {func(_, z string) string { return "," + z }, 12},
		"other words":         {func(a, z string) string { return z + " x" + a }, 0},
		"both, at the margin": {func(a, z string) string { return "margin " + a + "-" + z }, 12},
		"text at the margin":  {func(a, z string) string { return "margin " + a + "-knots" }, 0},
	} {
		t.Run(name, func(t *testing.T) {
			if v := dictionaryPages(t, 12, c.head); v.Heads != c.want {
				t.Errorf("%d heads, want %d", v.Heads, c.want)
			}
		})
	}
	if v := dictionaryPages(t, 4, func(a, z string) string { return a + "-" + z }); v.Heads != 0 {
		t.Errorf("four pages are believed: %d heads", v.Heads)
	}
}

// TestGuideWordsAtTheFoot: guide words share the last line with the page number, at
// the margin or a few cells in (BANA, Braille Formats 2016, section 21, from memory);
// both the first entry and the last must be named there, for a line of an entry can begin
// with any word.
func TestGuideWordsAtTheFoot(t *testing.T) {
	for name, c := range map[string]struct {
		foot func(a, z string) string
		want int
	}{
		"at the margin": {func(a, z string) string { return a + "-" + z }, 12},
		"in cell 5":     {func(a, z string) string { return "    " + a + "-" + z }, 12},
		"first only":    {func(a, _ string) string { return a }, 0},
		"other words":   {func(a, _ string) string { return a + "-knots" }, 0},
	} {
		t.Run(name, func(t *testing.T) {
			var b strings.Builder
			n := 0
			for p := range 12 {
				var words []string
				for k := range 11 {
					w := "w" + string(rune('a'+n/25%26)) + string(rune('a'+n%25)) + "ld"
					if n++; k == 0 && p > 0 { // an entry that goes on
						fmt.Fprintf(&b, "  ! %sld rope (a ^w b l;g ago\n", words0(n))
					}
					words = append(words, w)
					fmt.Fprintf(&b, "%s1 a t+ t is us$ on a boat or\n  n>r ! sea & _h no o!r use\n", w)
				}
				f, num := c.foot(words[0], words[10]), string(cell.Number(p+1))
				fmt.Fprintf(&b, "%s%s%s\n\f", f, strings.Repeat(" ", 38-len(num)-len(f)), num)
			}
			f, err := source.Parse("v1.brf", []byte(b.String()))
			if err != nil {
				t.Fatal(err)
			}
			if v := layout.Survey([]*source.File{f})[0]; v.Heads != c.want {
				t.Errorf("%d heads, want %d", v.Heads, c.want)
			}
		})
	}
}

// words0 is a word that differs from page to page.
func words0(n int) string { return string(rune('b'+n/11%20)) + string(rune('e'+n%13)) + "pth" }

// Small volumes list one chapter on the page before it: the chapter's heading at the top of
// its page names the last entry of the page before, and is no guide word (contents before
// the text: BANA Braille Formats 2016, section 2, from memory).
func TestChapterAfterItsContentsIsNoGuideWord(t *testing.T) {
	var files []*source.File
	for v, name := range []string{"! h>b\\r", "! lr", "f[l & fi%", "an old frd", "! way home", "rest & p1ce"} {
		num := string(cell.Number(7*v + 1))
		page := func(top string, lines int) string {
			out := top + "\n\n"
			for l := range lines {
				out += fmt.Sprintf("  l9e %c (a day 9 ! w>m sun\nshone on all ! h\\ses alike\n", 'a'+l)
			}
			return out + "\f"
		}
		raw := "      ! old f]ry\n\n      volume " + num + "\n\f" + "           3t5ts\n\n" + name + " " + strings.Repeat("\"", 26-len(name)-len(num)) + " " + num + "\n\f"
		raw += page(strings.Repeat(" ", (36-len(name))/2)+name, 9)
		for p := range 5 {
			raw += page(fmt.Sprintf("and %c boat went on to the riv] again", 'a'+5*v+p), 9)
		}
		f, err := source.Parse(fmt.Sprintf("v%d.brf", v+1), []byte(raw))
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f)
	}
	for _, v := range layout.Survey(files) {
		if v.Heads > 0 {
			t.Errorf("%s: %d heads, want none", v.File.Name, v.Heads)
		}
	}
}

// TestSectionsThatAListNames: among pages with guide words a section begins at the top of a
// page without a number, under the name of its first entry. The contents list has that name:
// the line is a heading (guide words: BANA, Braille Formats 2016, section 21, from memory; new
// sections on new pages: common practice).
func TestSectionsThatAListNames(t *testing.T) {
	const pages, every = 24, 4
	for named, want := range map[bool]int{true: pages - pages/every, false: pages} {
		var b, body strings.Builder
		fmt.Fprintf(&b, "%14s,3t5ts\n\n", "")
		for p := range pages {
			num := string(cell.Number(p + 2))
			name := fmt.Sprintf("%co%cu%ce", 'a'+p, 'x'-p, 'a'+7*p%24)
			w := name
			if head := strings.Repeat(" ", 17) + w; p%every == 0 {
				fmt.Fprintf(&body, "%s\n\n", head)
				if !named {
					w = "x" + w
				}
				fmt.Fprintf(&b, "%s %s %s\n", w, strings.Repeat("\"", 26), num)
			} else {
				fmt.Fprintf(&body, "%s%s%s\n", head, strings.Repeat(" ", 38-len(num)-len(head)), num)
			}
			for k := range 11 {
				fmt.Fprintf(&body, "%s%s1 a t+ t is us$ on a boat\n  n>r ! sea & _h no o!r use\n", name, strings.Repeat("y", k))
			}
			body.WriteString("\f")
		}
		f, err := source.Parse("v1.brf", []byte(b.String()+"\f"+body.String()))
		if err != nil {
			t.Fatal(err)
		}
		if v := layout.Survey([]*source.File{f})[0]; v.Heads != want {
			t.Errorf("names in the list %v: %d heads, want %d", named, v.Heads, want)
		}
	}
}

// TestGuideWordsOfAnEntryOverPages: entries as long as an encyclopaedia's fill pages; the guide words name such an entry as the
// first and the last, over pages on which no entry begins too.
func TestGuideWordsOfAnEntryOverPages(t *testing.T) {
	var b strings.Builder
	for p := range 14 {
		w, num := "w"+words0(7*(p/2)+7), string(cell.Number(p+1))
		line := strings.Repeat(" ", 13) + []string{"w" + words0(7*(p/2)), w}[p%2] + " - " + w
		fmt.Fprintf(&b, "%s%s%s\n", line, strings.Repeat(" ", 38-len(num)-len(line)), num)
		for i := range 22 {
			if p%2 == 0 && i == 4 || p == 0 && i == 0 {
				b.WriteString([]string{"w" + words0(0), w}[i/4] + "1 a t+ t is us$ on a boat or\n")
			} else {
				b.WriteString("  n>r ! sea & _h no o!r use 9 p>ts\n")
			}
		}
		b.WriteString("\f")
	}
	f, err := source.Parse("v1.brf", []byte(b.String()))
	if err != nil {
		t.Fatal(err)
	}
	if v := layout.Survey([]*source.File{f})[0]; v.Heads != 14 {
		t.Errorf("%d heads, want 14", v.Heads)
	}
}
