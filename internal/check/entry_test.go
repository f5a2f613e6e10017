package check

import (
	"strings"
	"testing"
)

// lexicon is a small dictionary, invented: three entries with a mark before each.
func lexicon() *triple {
	x := &triple{
		sources: []raw{{"v1.brf", "          ,salt ,^ws\n\nanchor3 an iron hook t holds a boat\nbuoy3 a float on a *a9\n  ;,see anchor\n\"3#ab capstan3 a drum t winds ! rope\n"}},
		reasons: map[string]string{"em": "entry-mark", "fi": "filler"},
		records: []string{`["keep",1]`, `["keep",1]`, `["add",";;","em"]`, `["join","em"]`, `["keep",1]`, `["add",";;","em"]`, `["join","em"]`, `["keep",2]`,
			`["keep-cells",5]`, `["add",";;","em"]`, `["join","em"]`, `["keep-cells",31]`},
	}
	x.edition = []string{"          ,salt ,^ws", "", ";;anchor3 an iron hook t holds a boat", ";;buoy3 a float on a *a9", "  ;,see anchor", `"3#ab ;;capstan3 a drum t winds ! rope`}
	return x
}

func TestEntryMarksAreProved(t *testing.T) {
	if r := lexicon().verify(t); !r.OK {
		t.Fatalf("not proved:\n%s", show(r))
	}
}

// Damage to the marks before headwords: each must be noticed.
func TestEntryMarkDamage(t *testing.T) {
	at := func(x *triple, want string, by ...string) func(*testing.T) {
		return func(t *testing.T) { swapAt(t, x, want, by...); x.reset(t) }
	}
	for _, c := range []struct {
		name, want string
		damage     func(*testing.T, *triple)
	}{
		{"a mark that is not joined to its word", "not joined to the headword", func(t *testing.T, x *triple) { at(x, `["join","em"]`)(t) }},
		{"another mark before one word", "another mark", func(t *testing.T, x *triple) { at(x, `["add",";;","em"]`, `["add","^^","em"]`)(t) }},
		{"a mark with a letter", "without a letter", func(t *testing.T, x *triple) { at(x, `["add",";;","em"]`, `["add","x;","em"]`)(t) }},
		{"a word as a mark", "two or three cells", func(t *testing.T, x *triple) { at(x, `["add",";;","em"]`, `["add",";;;;;;","em"]`)(t) }},
		{"a mark in the middle of a line", "does not begin its line", func(t *testing.T, x *triple) {
			at(x, `["keep",2]`, `["keep-cells",6]`, `["add",";;","em"]`, `["join","em"]`, `["keep-cells",16]`, `["keep",1]`)(t)
		}},
		{"the mark in the text", "stands 4 times", func(t *testing.T, x *triple) {
			inSource(t, x, 0, "a *a9", ";;*a9")
			x.reset(t)
		}},
		{"a mark that is not in the edition", "the edition has", func(t *testing.T, x *triple) { line(t, x, ";;buoy3 a float on a *a9", "buoy3 a float on a *a9") }},
		{"a mark that is not in the account", "the edition has", func(t *testing.T, x *triple) { line(t, x, "  ;,see anchor", "  ;;;,see anchor") }},
		{"text left out as a mark", "cannot stand with", func(t *testing.T, x *triple) { at(x, `["keep",2]`, `["out",1,"em"]`, `["keep",1]`)(t) }},
	} {
		t.Run(c.name, func(t *testing.T) {
			x := lexicon()
			c.damage(t, x)
			noticed(t, x.verify(t), c.want)
		})
	}
}

// TestGuideWords: heads that name the entries of their pages stand on their
// face when there are five of them, and one alone does not.
func TestGuideWords(t *testing.T) {
	title := func(pages int) *triple {
		x := &triple{reasons: map[string]string{"h": "head"}}
		names := []string{"alder", "birch", "cedar", "elder", "fir", "hazel"}
		var b strings.Builder
		b.WriteString(strings.Repeat("  ! sea is d>k & wide t d\n", 62) + "\f") // beyond the titles at the front
		x.records = append(x.records, `["keep",62]`)
		for i := range pages {
			b.WriteString("        " + names[i] + "\n")
			for range 8 {
				b.WriteString("  ! sea is d>k & wide t d\n")
			}
			b.WriteString(names[i] + "3 a tree t is n ! tree of ! page 2f\n\f")
			x.records = append(x.records, `["out",1,"h"]`, `["keep",9]`)
		}
		x.sources = []raw{{"v1.brf", strings.TrimSuffix(b.String(), "\f")}}
		x.reset(t)
		return x
	}
	if r := title(6).verify(t); !r.OK {
		t.Errorf("six guide words are not proved:\n%s", show(r))
	}
	noticed(t, title(2).verify(t), "like no other head")
}
