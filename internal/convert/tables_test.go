package convert_test

import (
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
		"a cell goes on": append(append([]string{}, head...), ",m]cury      #j4ejj   #j", "  ne>e/      _+", ",venus       #j4hae   #j", ",e>?         #a       #a", ",m>s         #j4aje   #b"),
		"guide dots":     append(append([]string{}, head...), `,m]cury """""  #j4ejj   #j`, `,venus """"""  #j4hae   #j`, `,e>? """"""""  #a       #a`, `,m>s """"""""  #j4aje   #b`),
		"headings of two lines": {",plan$       ,mass    ,moons", "             ( ,e>?", `"333333      "33333   "33333`, ",m]cury      #j4ejj   #j",
			",venus       #j4hae   #j", ",e>?         #a       #a", ",m>s         #j4aje   #b"},
		"under two headings": append(append([]string{}, head...), ",m]cury      #j4ejj & _+ #j", ",venus       #j4hae   #j", ",e>?         #a       #a", ",m>s         #j4aje   #b"),
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
		res := tableBook(t, "keep", 40, c.pages...)
		told := 0
		for _, f := range res.Findings {
			told += map[bool]int{true: 1}[f.ID == "facing-pages"]
		}
		if told != c.want {
			t.Errorf("%s: %d findings, want %d", name, told, c.want)
		}
	}
}
