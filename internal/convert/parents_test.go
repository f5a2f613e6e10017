package convert_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/profile"
	"continuo/internal/source"
)

// workPages sets works as paper pages of 38 cells: a title page, then for each
// work its heading, and chapters of two pages each, under page heads.
func workPages(works []string, heading func(i int) string, head func(i int) string, label string, again bool) string {
	var b strings.Builder
	centred := func(s string) string { return strings.Repeat(" ", (38-len(s))/2) + s }
	b.WriteString("\n\n" + centred(",! ,two ,shores") + "\n\n" + centred(",maud ,askerley") + "\n\f")
	words := strings.Fields(",! old f]ry cross$ ! riv] twice a \"d & nobody 9 ! village cd rememb] a \"t :5 x _h n ,at ni<t ! lamps 7 lit")
	page, n, k := 0, 0, 0
	text := func(lines int, first string) {
		for i := range lines {
			line := first
			if first != "" {
				line = "  " + line
			}
			first = ""
			for len(line) < 28 {
				line += " " + words[(k*7+i)%len(words)]
				k++
			}
			b.WriteString(strings.TrimLeft(line, " ")[:min(37, len(strings.TrimLeft(line, " ")))] + "\n")
		}
	}
	top := func(i int) {
		page++
		num := "#" + strings.NewReplacer("0", "j", "1", "a", "2", "b", "3", "c", "4", "d", "5", "e", "6", "f", "7", "g", "8", "h", "9", "i").Replace(fmt.Sprint(page))
		line := centred(head(i))
		b.WriteString(line + strings.Repeat(" ", 38-len(num)-len(line)) + num + "\n")
	}
	for i := range works {
		if again {
			n = 0
		}
		for c := range 4 {
			n++
			top(i)
			if h := heading(i); c == 0 && h != "" {
				b.WriteString("\n" + centred(h) + "\n\n")
			}
			b.WriteString(centred(label+" #"+string(rune('a'-1+n))) + "\n\n")
			text(18, ",")
			b.WriteString("\f")
			top(i)
			text(22, "")
			b.WriteString("\f")
		}
	}
	return b.String()
}

// TestParents: chapter headings carry the name of their book where the paper
// relies on heads or headings for it, and only there.
func TestParents(t *testing.T) {
	works := []string{",! ,long ,tide", ",h&ful ( ,salt", ",n[ ,doors"}
	name := func(i int) string { return works[i] }
	none := func(int) string { return "" }
	title := func(int) string { return ",! ,two ,shores" }
	part := func(i int) string { return ",\"p #" + string(rune('a'+i)) }
	all := []string{}
	for _, w := range works {
		for c := 1; c < 5; c++ {
			all = append(all, w+" ,*apt] #"+string(rune('a'-1+c)))
		}
	}
	for _, c := range []struct {
		test          string
		heading, head func(int) string
		again         bool
		off           bool
		want          []string
	}{
		{test: "headings and heads that change by book", heading: name, head: name, again: true, want: all},
		{test: "heads alone", heading: none, head: name, again: true, want: all},
		{test: "headings alone, one head in the whole book", heading: name, head: title, again: true, want: all},
		{test: "switched off", heading: name, head: name, again: true, off: true},
		{test: "chapters numbered once through the book", heading: name, head: name},
		{test: "a novel in numbered parts", heading: part, head: title, again: true},
		{test: "a novel in numbered parts with the part in the head", heading: part, head: part, again: true},
		{test: "the title of the whole as head, shortened in the last part", heading: none, head: func(i int) string { return []string{",! ,two ,shores", ",\"p #b", ",! ,two"}[i] }, again: true},
		{test: "nothing says which book it is", heading: none, head: title, again: true},
	} {
		t.Run(c.test, func(t *testing.T) {
			text := workPages(works, c.heading, c.head, ",*apt]", c.again)
			f, err := source.Parse("v1.brf", []byte(text))
			if err != nil {
				t.Fatal(err)
			}
			opt := convert.Defaults()
			opt.Profile.ParentNames = !c.off
			res, err := convert.Make([]*source.File{f}, opt)
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, l := range strings.Split(strings.ToLower(string(res.Edition)), "\r\n") {
				if l = strings.TrimSpace(l); strings.Contains(l, " ,*apt] #") {
					got = append(got, l)
				}
			}
			if !slices.Equal(got, c.want) || res.Stats.Parents != len(c.want) {
				t.Errorf("%d named: %q, want %q", res.Stats.Parents, got, c.want)
			}
			if n := strings.Count(strings.ToLower(string(res.Edition)), ",*apt] #"); n != 12 {
				t.Errorf("%d chapter headings in the edition, want 12", n)
			}
			if rep := check.Verify(res.Edition, res.Account, []*source.File{f}); !rep.OK {
				t.Errorf("not proved: %v", rep.Problems[0])
			}
		})
	}
}

// TestNotesAreNoBook: chapters that stand again as headings over their notes, at
// the end of the book under heads of their own, make no second book of it.
func TestNotesAreNoBook(t *testing.T) {
	var b strings.Builder
	centred := func(s string) string { return strings.Repeat(" ", (38-len(s))/2) + s }
	for p := range 3 {
		fmt.Fprintf(&b, "%s%s#i%c\n", centred(",at ! ,end"), strings.Repeat(" ", 24-len(",at ! ,end")/2-8), 'a'+p)
		if p == 0 {
			b.WriteString(centred(",notes") + "\n")
		}
		b.WriteString("\n" + centred(",*apt] #"+string(rune('a'+p))) + "\n\n")
		for n := range 9 {
			fmt.Fprintf(&b, "#%c ,! old f]ry cross$ ! riv]4\n", 'a'+n)
		}
		b.WriteString("\f")
	}
	text := workPages([]string{",! ,long ,tide"}, func(int) string { return ",! ,long ,tide" }, func(int) string { return ",! ,long ,tide" }, ",*apt]", true)
	f, err := source.Parse("v1.brf", []byte(text+b.String()))
	if err != nil {
		t.Fatal(err)
	}
	res, err := convert.Make([]*source.File{f}, convert.Defaults())
	if err != nil {
		t.Fatal(err)
	}
	if res.Stats.Parents != 0 {
		t.Errorf("%d headings named:\n%s", res.Stats.Parents, res.Edition)
	}
}

// TestParentNamesKey: the profile's key is read.
func TestParentNamesKey(t *testing.T) {
	p, err := profile.Parse("house.toml", []byte("parent_names = false\n"))
	if err != nil || p.ParentNames {
		t.Errorf("parent_names = false: %v, error %v", p.ParentNames, err)
	}
}
