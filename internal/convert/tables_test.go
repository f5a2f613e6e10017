package convert_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/source"
)

// tablePage sets a page of text with a table in it: lines are as they stand on
// paper.
func tablePage(lines ...string) string {
	prose := strings.Repeat("  ,! old f]ry cross$ ! riv] twice a d &\nnobody 9 ! village cd rememb] a \"t x 0\ntime 2fore x4\n", 4)
	return prose + strings.Join(lines, "\n") + "\n\n" + prose
}

func tableBook(t *testing.T, tables string, width int, pages ...string) *convert.Result {
	t.Helper()
	text := "\n\n          ,! ,old ,f]ry\n\n          by ,orla ,penn\n\f" + strings.Join(pages, "\f")
	f, err := source.Parse("ferry.brf", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	o := convert.Defaults()
	o.Profile.Tables, o.Width = tables, width
	res, err := convert.Make([]*source.File{f}, o)
	if err != nil {
		t.Fatal(err)
	}
	if rep := check.Verify(res.Edition, res.Account, []*source.File{f}); !rep.OK {
		t.Fatalf("%s, %d cells: not proved: %v\n%s", tables, width, rep.Problems, res.Edition)
	}
	return res
}

func rowsOfTable(b *book.Book) int {
	n := 0
	for i := range b.Blocks {
		n += map[bool]int{true: 1}[b.Blocks[i].Form == book.TableRow]
	}
	return n
}

// planets is the table of the inner planets with their mass of Earth's and
// moons (facts of astronomy), as columns two blanks apart under headings that
// are underlined one by one (Rules of Unified English Braille 2013, 16.2).
var planets = []string{
	",plan$       ,mass    ,moons",
	`"333333      "33333   "33333`,
	",m]cury      #j4ejj   #j",
	",venus       #j4hae   #j",
	",e>?         #a       #a",
	",m>s         #j4aje   #b",
}

// TestTables: rows stay lines at their cells; as lists each value stands under
// the heading of its column; nothing is lost in any width.
func TestTables(t *testing.T) {
	for _, width := range []int{0, 18, 32, 40} {
		for _, form := range []string{"keep", "list"} {
			res := tableBook(t, form, width, tablePage(planets...))
			if got, want := rowsOfTable(res.Book), map[string]int{"keep": 6, "list": 14}[form]; got != want {
				t.Errorf("%s, %d cells: %d rows, want %d\n%s", form, width, got, want, res.Edition)
			}
			got := strings.ReplaceAll(string(res.Edition), "\r\n", "\n")
			for _, row := range planets {
				if width != 18 && form == "keep" && !strings.Contains(got, "\n"+row+"\n") {
					t.Errorf("%d cells: no row %q\n%s", width, row, got)
				}
			}
			if form == "list" && !strings.Contains(got, "\n,venus\n  ,mass3 #j4hae\n  ,moons3 #j\n") {
				t.Errorf("%d cells: Venus is no list:\n%s", width, got)
			}
		}
	}
}

// TestTableWithoutFirstHeading: nothing stands over the names of the rows, and
// one line parts the headings from them.
func TestTableWithoutFirstHeading(t *testing.T) {
	res := tableBook(t, "list", 40, tablePage("             ,mass    ,moons", strings.Repeat("-", 28), ",m]cury      #j4ejj   #j", ",venus       #j4hae   #j", ",e>?         #a       #a"))
	if got := strings.ReplaceAll(string(res.Edition), "\r\n", "\n"); !strings.Contains(got, "\n,venus\n  ,mass3 #j4hae\n  ,moons3 #j\n,e>?\n") {
		t.Errorf("no list:\n%s", got)
	}
}

// TestTablesKept: a table whose cells do not all stand under one heading stays
// in columns, and that is told.
func TestTablesKept(t *testing.T) {
	head := planets[:2]
	for name, lines := range map[string][]string{
		"a cell goes on":                    append(append([]string{}, head...), ",m]cury      #j4ejj   #j", "  ne>e/      _+", ",venus       #j4hae   #j", ",e>?         #a       #a", ",m>s         #j4aje   #b"),
		"a heading over two columns":        {",plan$       ,mass & ,moons", `"333333      "33333   "33333`, ",m]cury      #j4ejj   #j", ",venus       #j4hae   #j", ",e>?         #a       #a", ",m>s         #j4aje   #b"},
		"a cell goes on below an empty one": append(append([]string{}, head...), ",m]cury               #j", "               _+", ",venus       #j4hae   #j", ",e>?         #a       #a", ",m>s         #j4aje   #b"),
		"a cell that may be one of its own": append(append([]string{}, head...), ",m]cury      #a b      #j", "               c", ",venus       #j4hae d #j", ",e>?         #a       #a", ",m>s         #j4aje   #b"),
		"a divided word":                    append(append([]string{}, head...), ",m]cury      #j4ejj-  #j", "               e>?ly", ",venus       #j4hae   #j", ",e>?         #a       #a", ",m>s         #j4aje   #b"),
		"under two headings":                append(append([]string{}, head...), ",m]cury      #j4ejj & _+ #j", ",venus       #j4hae   #j", ",e>?         #a       #a", ",m>s         #j4aje   #b"),
	} {
		res := tableBook(t, "list", 40, tablePage(lines...))
		told := 0
		for _, f := range res.Findings {
			told += map[bool]int{true: 1}[f.ID == "table-kept"]
		}
		if told != 1 || rowsOfTable(res.Book) != len(lines) {
			t.Errorf("%s: %d findings, %d rows, want 1 and %d\n%s", name, told, rowsOfTable(res.Book), len(lines), res.Edition)
		}
	}
}

// row sets four columns at cells 1, 10, 23 and 29.
func row(a, b, c, d string) string {
	return strings.TrimRight(fmt.Sprintf("%-9s%-13s%-6s%s", a, b, c, d), " ")
}

// TestTableCellsOfTwoLines: cells whose lines after the first stand two cells
// further in, headings of several lines, empty cells and guide dots (BANA, Braille
// Formats 2016, section 11; Rules of Unified English Braille 2013, 16.5) become
// lists; no cell gets words of another.
func TestTableCellsOfTwoLines(t *testing.T) {
	for name, c := range map[string]struct {
		lines []string
		want  string
	}{
		"cells of two lines": {[]string{
			row(`,"d`, `,boat`, `,f>e`, `,crew`), row(`"33333`, `"3333333333`, `"333`, `"3333`),
			row(`,mon"d`, `,! old f]ry`, `#af`, `,tom &`), row(``, `  2l ! mill`, ``, `  ,mary`),
			row(`,tues"d`, `,! punt`, `#ab`, `,tom`),
			row(`,fri"d`, `,! new boat`, `#i`, `,mary &`), row(`  ,sat`, `  t 0 made`, ``, `  ,tom &`), row(``, `  l/ w9t]`, ``, `  ,anna`)},
			`,mon"d|  ,boat3 ,! old f]ry 2l ! mill|  ,f>e3 #af|  ,crew3 ,tom & ,mary|,tues"d|  ,boat3 ,! punt|  ,f>e3 #ab|  ,crew3 ,tom|`},
		"the last cell goes on": {[]string{
			`,"d      ,boat`, `"33333   "33333333`, `,mon"d   ,! punt`, `,tues"d  ,! new boat`, `,fri"d   ,! old f]ry`, `           2l ! mill`},
			`,fri"d|  ,boat3 ,! old f]ry 2l ! mill|`},
		"headings of several lines": {[]string{
			`         ,boats  ,f>e`, `         t       9`, `,"d      cross$  p;e`, `"33333   "33333  "333`,
			`,mon"d   #ab     #af`, `,tues"d  #i      #ab`, `,fri"d   #ca     #dj`},
			`,mon"d|  ,boats t cross$3 #ab|  ,f>e 9 p;e3 #af|,tues"d|  ,boats t cross$3 #i|`},
		"empty cells": {[]string{
			`,"d      ,boat        ,f>e`, `"33333   "33333333    "333`, `,mon"d   ,! old       #af`, `,tues"d               #ab`, `,fri"d   ,! new`, `,sun"d   none         none`},
			`,tues"d|  ,f>e3 #ab|,fri"d|  ,boat3 ,! new|,sun"d|`},
		"guide dots": {[]string{
			`,plan$        ,mass    ,moons`, `"333333       "33333   "33333`, `,m]cury """"" #j4ejj " #j`, `,venus """""" #j4hae   #j`, `,e>? """""""" """""""" #a`, `,m>s          #j4aje   #b`},
			`,venus|  ,mass3 #j4hae|  ,moons3 #j|,e>?|  ,moons3 #a|,m>s|`},
		"a line that cannot be told": {[]string{
			`,"d      ,boat`, `"33333   "33333333`, `,mon"d   ,! punt`, `           old`, `,tues"d  ,! new boat`, `,fri"d   ,! old f]ry`, `         2l ! mill`},
			`,mon"d   ,! punt|           old|,tues"d  ,! new boat|,fri"d   ,! old f]ry|         2l ! mill|`},
	} {
		for _, width := range []int{0, 40} {
			if name == "guide dots" {
				c.lines[2] = `,m]cury """"" #j4ejj   #j`
			}
			res := tableBook(t, "list", width, tablePage(c.lines...))
			got := strings.ReplaceAll(strings.ReplaceAll(string(res.Edition), "\r\n", "\n"), "\n", "|")
			if !strings.Contains(got, c.want) {
				t.Errorf("%s, %d cells: no %s in\n%s", name, width, c.want, res.Edition)
			}
		}
	}
}

// TestNoTables: what has wide gaps and is no table stays what it was: verse
// set as prose with three blanks between lines (English Braille American
// Edition, appendix A, section 2), numbers in the margin of verse.
func TestNoTables(t *testing.T) {
	for name, lines := range map[string][]string{
		"verse as prose": {"  ,tyg] ,tyg]1 burn+ br   ,9 ! =e/s ( !", "ni<t1   ,:at immortal h& or eye   ,cd", "frame thy fe>;l symmetry8   ,9 :at", "4tant deeps or skies   ,burnt ! fire"},
		"margin numbers": {",tyg] ,tyg]1 burn+ bri<t1", ",9 ! =e/s ( ! ni<t2       #b", ",:at immortal h& or eye1", ",cd frame thy fe>;l symmetry8  #d"},
	} {
		for _, form := range []string{"keep", "list"} {
			res := tableBook(t, form, 40, tablePage(lines...))
			for i := range res.Book.Blocks {
				if p := res.Book.Blocks[i].Pieces; len(p) > 1 && p[0].Vol < 0 && p[0].Reason != 0 && res.Book.Reasons[p[0].Reason].Class == "table-label" {
					t.Errorf("%s: a list was made of it", name)
				}
			}
		}
	}
}

// TestFacingPages: columns that go on the page that faces, rows on the same
// lines (BANA, Braille Formats 2016, 1.12), are told; a table that only goes on
// over a page is not.
func TestFacingPages(t *testing.T) {
	left := []string{",plan$       ,mass    ,moons", `"333333      "33333   "33333`}
	right := []string{",day            ,ye>", `"333            "333`}
	on := append([]string{}, left...)
	for _, w := range []string{",m]cury", ",venus", ",e>?", ",m>s", ",jupit]", ",saturn", ",uranus", ",neptune"} {
		left = append(left, w+strings.Repeat(" ", 13-len(w))+"#j4ejj   #j")
		right = append(right, "#ejh            #hh")
		on = append(on, w+strings.Repeat(" ", 13-len(w))+"#a       #b")
	}
	prose := tablePage()
	for name, c := range map[string]struct {
		pages []string
		want  int
	}{
		"facing":  {[]string{prose, strings.Join(left, "\n") + "\n", strings.Join(right, "\n") + "\n", prose}, 1},
		"goes on": {[]string{prose, strings.Join(left, "\n") + "\n", strings.Join(on, "\n") + "\n", prose}, 0},
	} {
		res := tableBook(t, "list", 40, c.pages...)
		if got := strings.Contains(string(res.Edition), ",mass3 #"); got == (c.want == 1) {
			t.Errorf("%s: a list: %v %v\n%s", name, got, res.Findings, res.Edition)
		}
		told := 0
		for _, f := range res.Findings {
			told += map[bool]int{true: 1}[f.ID == "facing-pages"]
		}
		if told != c.want {
			t.Errorf("%s: %d findings, want %d", name, told, c.want)
		}
	}
}

// TestTableHeadsWithoutLine: headings of two lines that end on one line, with no
// line below them (BANA, Braille Formats 2016, section 11: columns of headings
// end on one line); numbers below words tell them.
func TestTableHeadsWithoutLine(t *testing.T) {
	rows := []string{
		`                    ,f>e`,
		`,boat     ,m/]      9 p;e`,
		`,punt     ,tom      #ab`,
		`,! old    ,mary     #af`,
		`  f]ry`,
		`,raft     ,anna     #i`,
		`,ski6     ,tom      #cj`,
		`,swan     ,orla     #ad`,
	}
	want := `|,boat     ,m/]      9 p;e|,punt|  ,m/]3 ,tom|  ,f>e 9 p;e3 #ab|,! old f]ry|  ,m/]3 ,mary|  ,f>e 9 p;e3 #af|`
	got := strings.ReplaceAll(string(tableBook(t, "list", 40, tablePage(rows...)).Edition), "\r\n", "|")
	if !strings.Contains(got, want) {
		t.Errorf("no list:\n%s", strings.ReplaceAll(got, "|", "\n"))
	}
	for k := 2; k < len(rows); k++ { // without numbers nothing tells the headings
		rows[k] = strings.NewReplacer("#ab", ",ab", "#af", ",af", "#i", ",i", "#cj", ",cj", "#ad", ",ad").Replace(rows[k])
	}
	res := tableBook(t, "list", 40, tablePage(rows...))
	if rowsOfTable(res.Book) != len(rows) || strings.Contains(string(res.Edition), ",f>e 9 p;e3") {
		t.Errorf("headings were made of a row:\n%s", res.Edition)
	}
}

// TestTableHeadsAgain: a table that goes on over a page repeats its headings
// there (BANA, Braille Formats 2016, section 11); in a list, where each value has
// its heading, they go, in columns they stay.
func TestTableHeadsAgain(t *testing.T) {
	heads := []string{`                  ,f>e`, `,boat             9 p;e`, `"33333333333333  "33333`}
	first, second := append([]string{}, heads...), append([]string{}, heads...)
	for _, w := range []string{",punt", ",raft", ",ski6"} {
		first = append(first, fmt.Sprintf("%-18s#ab", w))
		second = append(second, fmt.Sprintf("%-18s#ad", w+" ,b"))
	}
	prose := strings.TrimSuffix(tablePage(first...), tablePage()[1:])
	prose = strings.TrimRight(prose[:strings.LastIndex(prose, "#ab")+3], "\n") + "\n"
	next := strings.Join(second, "\n") + "\n\n" + tablePage()
	for form, want := range map[string]int{"list": 1, "keep": 2} {
		got := strings.ReplaceAll(string(tableBook(t, form, 40, prose, next).Edition), "\r\n", "\n")
		if n := strings.Count(got, "\n"+heads[1]+"\n"); n != want {
			t.Errorf("%s: the headings stand %d times, want %d:\n%s", form, n, want, got)
		}
		if form == "list" && !strings.Contains(got, ",ski6\n  ,f>e 9 p;e3 #ab\n,punt ,b\n  ,f>e 9 p;e3 #ad\n") {
			t.Errorf("no list over the page:\n%s", got)
		}
	}
}
