package check

import (
	"strings"
	"testing"
)

// tableTitle is a table of two columns with headings underlined one by one
// (Rules of Unified English Braille 2013, 16.2), and the records of its second
// row.
func tableTitle(second ...string) *triple {
	text := "  ,! table 0 %ort3\n,plan$    ,mass   ,moons\n\"333333   \"33333  \"33333\n,venus    #j4hae  #j\n,e>?      #a      #a\n"
	return &triple{name: "table", sources: []raw{{"1.brf", text}}, reasons: map[string]string{"t": "table-label", "fi": "filler"},
		records: append([]string{`["keep",4]`}, second...)}
}

// TestTableLabel: what may stand before a value of a table.
func TestTableLabel(t *testing.T) {
	for _, c := range []struct {
		name   string
		second []string
		want   string // "" when it is right
	}{
		{"both headings", []string{`["keep-cells",10]`, `["add",",mass3","t"]`, `["keep-cells",8]`, `["add",",moons3","t"]`, `["keep-cells",2]`}, ""},
		{"without a colon", []string{`["keep-cells",10]`, `["add",",mass","t"]`, `["keep-cells",10]`}, ""},
		{"the heading of another column", []string{`["keep-cells",10]`, `["add",",moons3","t"]`, `["keep-cells",10]`}, "heading of that column"},
		{"part of a heading", []string{`["keep-cells",10]`, `["add",",mas3","t"]`, `["keep-cells",10]`}, "heading of that column"},
		{"words of the text", []string{`["keep-cells",10]`, `["add","table","t"]`, `["keep-cells",10]`}, "heading of that column"},
		{"words that stand nowhere", []string{`["keep-cells",10]`, `["add",",weight3","t"]`, `["keep-cells",10]`}, "heading of that column"},
		{"another sign than a colon", []string{`["keep-cells",10]`, `["add",",mass4","t"]`, `["keep-cells",10]`}, "heading of that column"},
		{"before the first column", []string{`["add",",plan$3","t"]`, `["keep",1]`}, "stands in no column"},
		{"within a value", []string{`["keep-cells",2]`, `["add",",plan$3","t"]`, `["keep-cells",18]`}, "stands in no column"},
		{"with no value", []string{`["keep",1]`, `["add",",moons3","t"]`}, "no value comes after"},
	} {
		x := tableTitle(c.second...)
		x.reset(t)
		got := x.verify(t)
		switch all := show(got); {
		case c.want == "" && !got.OK:
			t.Errorf("%s: %s", c.name, all)
		case c.want != "" && !strings.Contains(all, c.want):
			t.Errorf("%s: want %q, got %s", c.name, c.want, all)
		}
	}
}
