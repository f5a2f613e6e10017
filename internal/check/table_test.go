package check

import (
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
		x.wants(t, c.name, c.want)
	}
}

// TestTableCell: what may be written in the place of cells of two lines, and what
// may be left out of a table for it (BANA, Braille Formats 2016, section 11: lines
// of a cell after its first stand two cells further in).
func TestTableCell(t *testing.T) {
	text := "  ,! table 0 %ort3\n,\"d    ,boat   ,crew\n\"333   \"333    \"333\n,mon\"d  ,old    ,tom \"\"\n          f]ry    ,mary\n,fri\"d  ,punt   ,anna\n"
	for _, c := range []struct {
		name    string
		records []string
		want    string // "" when it is right
	}{
		{"both cells", []string{`["keep-cells",8]`, `["swap-cells",4,",old f]ry","c"]`, `["keep-cells",4]`, `["swap-cells",4,",tom ,mary","c"]`, `["keep-cells",1]`, `["out-cells",2,"c"]`, `["out",1,"c"]`, `["keep",1]`}, ""},
		{"cells mixed", []string{`["keep-cells",8]`, `["swap-cells",4,",old ,mary","c"]`, `["keep-cells",4]`, `["swap-cells",4,",tom f]ry","c"]`, `["keep-cells",1]`, `["out-cells",2,"c"]`, `["out",1,"c"]`, `["keep",1]`}, "not the cell with what goes on"},
		{"a part is lost", []string{`["keep-cells",8]`, `["swap-cells",4,",old f]ry","c"]`, `["keep-cells",8]`, `["keep-cells",1]`, `["out-cells",2,"c"]`, `["out",1,"c"]`, `["keep",1]`}, "nothing was put together"},
		{"a word is lost", []string{`["keep-cells",8]`, `["swap-cells",4,",old","c"]`, `["keep-cells",4]`, `["swap-cells",4,",tom ,mary","c"]`, `["keep-cells",1]`, `["out-cells",2,"c"]`, `["out",1,"c"]`, `["keep",1]`}, "not the cell with what goes on"},
		{"a row is left out", []string{`["keep",2]`, `["out",1,"c"]`}, "nothing was put together"},
		{"a cell is left out", []string{`["keep-cells",16]`, `["out-cells",4,"c"]`, `["keep-cells",3]`, `["keep",2]`}, "no guide dots"},
	} {
		x := &triple{name: "table", sources: []raw{{"1.brf", text}}, reasons: map[string]string{"c": "table-cell", "fi": "filler"}, records: append([]string{`["keep",3]`}, c.records...)}
		x.wants(t, c.name, c.want)
	}
}
