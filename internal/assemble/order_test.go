package assemble_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/assemble"
	"continuo/internal/cell"
	"continuo/internal/diag"
	"continuo/internal/layout"
	"continuo/internal/source"
	"continuo/internal/structure"
)

// A vol is one volume of a test: its file name, title and what its title page
// says below the title.
type vol struct {
	name, title string
	statement   []string
	text        string // what its text begins with
}

func centre(t string) string { return strings.Repeat(" ", (38-len(t))/2) + t }

// file sets a volume as eight pages with numbers at the right of line 1.
func (v vol) file(t *testing.T) *source.File {
	t.Helper()
	var b strings.Builder
	b.WriteString("\n\n" + centre(v.title) + "\n\n" + centre(",hannah ,r[e") + "\n\n")
	for _, s := range v.statement {
		b.WriteString(centre(s) + "\n")
	}
	b.WriteString("\f")
	for p := 2; p <= 8; p++ {
		n := string(cell.Number(p))
		fmt.Fprintf(&b, "%s%s\n", strings.Repeat(" ", 38-len(n)), n)
		for k := range 20 {
			fmt.Fprintf(&b, "%s! old f]ry cross$ ! riv] twice %s\n", []string{"", "  "}[min(1, k%4/3)], v.text+string(rune('a'+(p*k+p)%26)))
		}
		b.WriteString("\f")
	}
	f, err := source.Parse(v.name, []byte(b.String()))
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func titles(t *testing.T, vols []vol) []assemble.Title {
	t.Helper()
	var files []*source.File
	for _, v := range vols {
		files = append(files, v.file(t))
	}
	var read []*structure.Volume
	for i, s := range layout.Survey(files) {
		read = append(read, structure.Read(s, i))
	}
	return assemble.Titles(read)
}

// of is a volume with a number in words or digits ("" for none).
func of(name, number string) vol {
	v := vol{name: name, title: ",! ,f]ry ,l$g]", text: strings.TrimSuffix(name, ".brf")}
	if number != "" {
		v.statement = []string{",9 #c ,volumes", ",volume " + number}
	}
	return v
}

// TestOrder: volume statements (digits, words, roman) decide; without them the
// file names in natural order; a preliminary volume comes first.
func TestOrder(t *testing.T) {
	prelim := of("z.brf", "")
	prelim.statement = []string{",prelim9>y ,volume"}
	for _, c := range []struct {
		name  string
		vols  []vol
		want  string
		finds string // ids of findings
	}{
		{"names and statements agree", []vol{of("v2.brf", "#b"), of("v3.brf", "#c"), of("v1.brf", "#a")}, "v1 v2 v3", ""},
		{"numbers in words", []vol{of("c.brf", ",?ree"), of("b.brf", ",two"), of("a.brf", `,"o`)}, "a b c", ""},
		{"roman numbers", []vol{of("c.brf", ",,iii"), of("b.brf", ",,ii"), of("a.brf", ",i")}, "a b c", ""},
		{"statements against names", []vol{of("a.brf", "#c"), of("b.brf", "#b"), of("c.brf", "#a")}, "c b a", "order-disagrees"},
		{"no statements: natural order of names", []vol{of("v10.brf", ""), of("v9.brf", ""), of("v1.brf", "")}, "v1 v9 v10", ""},
		{"preliminary volume first", []vol{of("a.brf", "#a"), of("b.brf", "#b"), prelim, of("c.brf", "#c")}, "z a b c", ""},
		{"one missing in the middle", []vol{of("a.brf", "#a"), of("c.brf", "#c")}, "a c", "volume-missing"},
		{"the last missing", []vol{of("a.brf", "#a"), of("b.brf", "#b")}, "a b", "volume-missing"},
		{"the first missing", []vol{of("b.brf", "#b"), of("c.brf", "#c")}, "b c", "volume-missing"},
	} {
		t.Run(c.name, func(t *testing.T) {
			ts := titles(t, c.vols)
			if len(ts) != 1 {
				t.Fatalf("%d titles, want 1", len(ts))
			}
			var got, ids []string
			for _, v := range ts[0].Volumes {
				got = append(got, strings.TrimSuffix(v.File.Name, ".brf"))
			}
			for _, f := range ts[0].Findings {
				ids = append(ids, f.ID)
			}
			if g := strings.Join(got, " "); g != c.want {
				t.Errorf("order %s, want %s", g, c.want)
			}
			if g := strings.Join(ids, " "); g != c.finds {
				t.Errorf("findings %q, want %q: %v", g, c.finds, ts[0].Findings)
			}
		})
	}
}

// TestMissingIsNamed: the finding says which volume is missing, and asks for
// a stop.
func TestMissingIsNamed(t *testing.T) {
	f := titles(t, []vol{of("a.brf", "#a"), of("c.brf", "#c")})[0].Findings
	if len(f) != 1 || f[0].Severity != diag.Stop || !strings.Contains(f[0].Text, "volume 2 of 3 is in none of the files") {
		t.Errorf("findings: %v", f)
	}
}

// TestRepeatedAndClashing: a file given twice is named as a repeat; two
// different files that say they are the same volume clash.
func TestRepeatedAndClashing(t *testing.T) {
	a, b := of("a.brf", "#a"), of("b.brf", "#b")
	c := of("c.brf", "#c")
	twin := b
	twin.name = "b2.brf"
	ts := titles(t, []vol{a, twin, b, c})
	if len(ts) != 1 {
		t.Fatalf("%d titles", len(ts))
	}
	repeats := 0
	for _, v := range ts[0].Volumes {
		if v.RepeatOf != nil {
			repeats++
		}
	}
	if f := ts[0].Findings; repeats != 1 || len(f) != 1 || f[0].ID != "volume-repeated" {
		t.Errorf("%d repeats, findings %v", repeats, f)
	}
	if x, y := ts[0].Clash(); x != nil {
		t.Errorf("%s and %s clash, but are the same", x.File.Name, y.File.Name)
	}
	twin.text = "q"
	ts = titles(t, []vol{a, b, twin, c})
	if x, y := ts[0].Clash(); x == nil || x.Number != 2 || y.Number != 2 || x == y {
		t.Errorf("no clash of two volumes 2: %v %v", x, y)
	}
}

// TestForeign: a volume of another title is a title of its own; folders keep
// like titles apart.
func TestForeign(t *testing.T) {
	other := of("x.brf", "#a")
	other.title = ",bells ov] ,ry,n"
	if ts := titles(t, []vol{of("a.brf", "#a"), other, of("b.brf", "#b"), of("c.brf", "#c")}); len(ts) != 2 || len(ts[0].Volumes) != 3 || ts[1].Volumes[0].File.Name != "x.brf" {
		t.Errorf("titles: %v", ts)
	}
	one, two := of("one/a.brf", "#a"), of("two/a.brf", "#a")
	if ts := titles(t, []vol{one, two}); len(ts) != 2 {
		t.Errorf("%d titles of two folders", len(ts))
	}
}
