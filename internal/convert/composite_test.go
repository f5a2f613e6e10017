package convert_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"continuo/internal/cell"
	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/source"
)

// composite sets an invented volume of 38 cells and 26 lines under UK rules:
// line 1 has the print page, the running head and the braille page; print page
// turns are dot 5, dots 2-5 and the number, centred (W3C w3c-wai-hc 1997, 0306
// and 0312).
type composite struct {
	pages  [][]string
	open   bool
	head   string
	print  string
	number int
	next   int
	paras  []string
	turns  []string
}

func middle(s string) string { return strings.Repeat(" ", (38-len(s))/2) + s }

// titlePage sets a page of centred lines.
func (c *composite) titlePage(lines ...string) {
	page := []string{"", ""}
	for _, l := range lines {
		page = append(page, middle(l))
	}
	c.pages, c.open = append(c.pages, page), false
	c.number++
}

func (c *composite) newPage() {
	c.number++
	num := string(cell.Number(c.number))
	line := c.print
	line += strings.Repeat(" ", max(2, (38-len(c.head))/2-len(line))) + c.head
	line += strings.Repeat(" ", 38-len(num)-len(line)) + num
	c.pages, c.open = append(c.pages, []string{line}), true
}

func (c *composite) left() int {
	if !c.open {
		return 0
	}
	return 26 - len(c.pages[len(c.pages)-1])
}

func (c *composite) put(s string) {
	if c.left() == 0 {
		c.newPage()
	}
	c.pages[len(c.pages)-1] = append(c.pages[len(c.pages)-1], s)
}

func (c *composite) heading(s string) {
	if c.left() < 6 {
		c.newPage()
	}
	c.put("")
	c.put(middle(s))
	c.put("")
}

// para sets a paragraph that no other is like.
func (c *composite) para() {
	list := strings.Fields("! old f]ry cross$ riv] twice a \"d & nobody 9 village cd rememb] :5 x _h n at ni<t lamps 7 lit ,maud ,sea well d[n n[ h\\se tide")
	text, line := "", "  "
	for range 45 + c.next%23 {
		c.next++
		w := list[(c.next*7+c.next/13)%len(list)]
		if text != "" {
			text += " "
		}
		text += w
		if len(line)+1+len(w) > 38 {
			c.put(line)
			line = ""
		}
		if line != "" && line != "  " {
			line += " "
		}
		line += w
	}
	c.put(line)
	c.paras = append(c.paras, text)
}

// section sets print pages of three paragraphs each.
func (c *composite) section(labels ...string) {
	for _, l := range labels {
		c.turns = append(c.turns, l)
		if c.print = l; c.left() < 4 {
			c.newPage() // the head shows the turn
		} else {
			c.put(middle(`"3` + l))
		}
		for range 3 {
			c.para()
		}
	}
}

func labels(prefix string, from, to int) []string {
	var out []string
	for n := from; n <= to; n++ {
		out = append(out, prefix+string(cell.Number(n)))
	}
	return out
}

// TestComposites: volumes that hold more than the pages of one plain text.
// Nothing is lost, and every print page turn has its own number.
func TestComposites(t *testing.T) {
	oneTitle := func() *composite {
		c := &composite{head: ",! ,two ,shores", print: "#a"}
		c.titlePage(",! ,two ,shores", ",maud ,askerley", "", `,9 "o ,volume`)
		return c
	}
	for _, x := range []struct {
		name  string
		set   func() *composite
		lines []string // lines that must stand in the edition, in order
	}{
		{"two works, each with its title page, author and page numbers", func() *composite {
			c := &composite{head: ",! ,long ,tide", print: "#a"}
			c.titlePage(",! ,long ,tide", "&", ",h&ful ( ,salt", "", ",maud ,askerley", "& ,ivo ,p5hallock", `,9 "o ,volume`)
			c.heading(",*apt] #a")
			c.section(labels("", 1, 8)...)
			c.heading(",*apt] #b")
			c.section(labels("", 9, 14)...)
			c.head, c.print = ",h&ful ( ,salt", "#a"
			c.titlePage(",h&ful ( ,salt", ",ivo ,p5hallock")
			c.heading(",*apt] #a")
			c.section(labels("", 1, 7)...)
			c.heading(",*apt] #b")
			c.section(labels("", 8, 12)...)
			return c
		}, []string{",! ,long ,tide", ",h&ful ( ,salt", ",maud ,askerley", ",! ,long ,tide ,*apt] #a", ",! ,long ,tide ,*apt] #b", ",h&ful ( ,salt", ",ivo ,p5hallock", ",h&ful ( ,salt ,*apt] #a", ",h&ful ( ,salt ,*apt] #b"}},
		{"appendices with print pages A1 and B1", func() *composite {
			c := oneTitle()
			c.heading(",*apt] #a")
			c.section(labels("", 1, 19)...)
			c.heading(",app5dix ,a")
			c.section(labels(",a", 1, 6)...)
			c.heading(",app5dix ,b")
			c.section(labels(",b", 1, 5)...)
			return c
		}, []string{",*apt] #a", ",app5dix ,a", ",app5dix ,b"}},
		{"an appendix whose print pages begin again with 1", func() *composite {
			c := oneTitle()
			c.heading(",*apt] #a")
			c.section(labels("", 1, 19)...)
			c.heading(",app5dix")
			c.section(labels("", 1, 8)...)
			return c
		}, []string{",*apt] #a", ",app5dix"}},
		{"plates without numbers, and print pages left out", func() *composite {
			c := oneTitle()
			c.heading(",*apt] #a")
			c.section(labels("", 1, 6)...)
			c.put(middle(`"3,plates`))
			c.para()
			c.para()
			c.section(labels("", 7, 9)...)
			c.section(labels("", 13, 20)...)
			return c
		}, []string{",*apt] #a", `"3,plates`}},
		{"preliminary matter at the back, with roman pages", func() *composite {
			c := oneTitle()
			c.heading(",*apt] #a")
			c.section(labels("", 1, 18)...)
			c.heading(",a.t ! ,au?or")
			c.section(";iii", ";iv", ";v")
			c.heading(",copy\"r")
			c.section(";vi")
			return c
		}, []string{",*apt] #a", ",a.t ! ,au?or", ",copy\"r"}},
	} {
		t.Run(x.name, func(t *testing.T) { oneComposite(t, x.set(), x.lines) })
	}
}

var markedTurn = regexp.MustCompile(`"3([#;,][^ ]*) `)

func oneComposite(t *testing.T, c *composite, lines []string) {
	t.Helper()
	var b strings.Builder
	for _, p := range c.pages {
		b.WriteString(strings.Join(p, "\n") + "\n\f")
	}
	f, err := source.Parse("v1.brf", []byte(b.String()))
	if err != nil {
		t.Fatal(err)
	}
	res, err := convert.Make([]*source.File{f}, convert.Defaults())
	if err != nil {
		t.Fatal(err)
	}
	if rep := check.Verify(res.Edition, res.Account, []*source.File{f}); !rep.OK {
		t.Errorf("not proved: %v", rep.Problems[0])
	}
	text := " " + strings.Join(strings.Fields(string(res.Edition)), " ") + " "
	var turns []string
	for _, m := range markedTurn.FindAllStringSubmatch(text, -1) {
		if m[1] != ",plates" {
			turns = append(turns, m[1])
		}
	}
	if !slices.Equal(turns, c.turns) {
		t.Errorf("print page turns %v, want %v", turns, c.turns)
	}
	bare := strings.Join(strings.Fields(markedTurn.ReplaceAllString(text, "")), " ")
	at := 0
	for i, p := range c.paras {
		k := strings.Index(bare[at:], p)
		if k < 0 {
			t.Fatalf("paragraph %d is lost or out of order: %s", i+1, p)
		}
		at += k + len(p)
	}
	rest := string(res.Edition)
	for _, l := range lines {
		_, after, ok := strings.Cut(rest, l+"\r\n")
		if !ok {
			t.Fatalf("no line %q, in its order, in:\n%s", l, fmt.Sprintf("%.600s", res.Edition))
		}
		rest = after
	}
}
