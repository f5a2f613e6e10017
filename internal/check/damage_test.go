package check

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"continuo/internal/source"
)

// swapAt replaces record i, which must be want, by others.
func swapAt(t *testing.T, x *triple, want string, by ...string) {
	t.Helper()
	i := slices.Index(x.records, want)
	if i < 0 {
		t.Fatalf("no record %s", want)
	}
	x.records = slices.Replace(x.records, i, i+1, by...)
}

// line replaces a line of the edition.
func line(t *testing.T, x *triple, want string, by ...string) {
	t.Helper()
	i := slices.Index(x.edition, want)
	if i < 0 {
		t.Fatalf("no line %q", want)
	}
	x.edition = slices.Replace(x.edition, i, i+1, by...)
}

func inSource(t *testing.T, x *triple, i int, old, by string) {
	t.Helper()
	if !strings.Contains(x.sources[i].text, old) {
		t.Fatalf("no %q in source", old)
	}
	x.sources[i].text = strings.Replace(x.sources[i].text, old, by, 1)
}

// Damage where hashes, sizes and sums are made true again afterwards: only the
// sense of edition, account and sources can give it away.
func TestResealedDamage(t *testing.T) {
	s := func(x *triple, want string, by ...string) func(*testing.T) {
		return func(t *testing.T) { swapAt(t, x, want, by...) }
	}
	for _, c := range []struct {
		name, want string
		title      func() *triple
		damage     func(*testing.T, *triple)
	}{
		{"a word of the edition is changed", "the edition has", sea, func(t *testing.T, x *triple) { line(t, x, "o>s4", "o>m4") }},
		{"a cell is lost", "", sea, func(t *testing.T, x *triple) { line(t, x, "o>s4", "o>4") }},
		{"a cell is added", "", sea, func(t *testing.T, x *triple) { line(t, x, "o>s4", "o>s44") }},
		{"a line is lost", "", sea, func(t *testing.T, x *triple) { line(t, x, "! qu>t1 & %e k5 t ! boat was g\"o4") }},
		{"a line is there twice", "", sea, func(t *testing.T, x *triple) { line(t, x, "o>s4", "o>s4", "o>s4") }},
		{"a line is added at the end", "stands after the end", sea, func(t *testing.T, x *triple) { x.edition = append(x.edition, "more") }},
		{"the last line is lost", "", sea, func(t *testing.T, x *triple) { x.edition = x.edition[:len(x.edition)-1] }},
		{"two lines are exchanged", "the edition has", sea, func(t *testing.T, x *triple) { x.edition[12], x.edition[13] = x.edition[13], x.edition[12] }},
		{"two words run together", "run together", sea, func(t *testing.T, x *triple) {
			line(t, x, "#aj o'clock1 & wi? x came a s.d (", "#aj o'clock1& wi? x came a s.d (")
		}},
		{"a word is cut in two", "", sea, func(t *testing.T, x *triple) {
			line(t, x, "#aj o'clock1 & wi? x came a s.d (", "#aj o'c lock1 & wi? x came a s.d (")
		}},
		{"a word is cut by a line end that the splits do not name", "", hill, func(t *testing.T, x *triple) { x.splits = nil }},
		{"a split is named that is none", "does not go on", hill, func(t *testing.T, x *triple) { x.splits = []int{3, 18} }},
		{"splits out of order", "splits", hill, func(t *testing.T, x *triple) { x.splits = []int{18, 17} }},
		{"a split beyond the edition", "splits", hill, func(t *testing.T, x *triple) { x.splits = []int{18, 1000} }},
		{"a blank line is added", "blank lines before this line are in no record", sea, func(t *testing.T, x *triple) { line(t, x, "o>s4", "", "o>s4") }},
		{"a blank line is lost", "blank lines are missing", sea, func(t *testing.T, x *triple) {
			line(t, x, "    ,*apt] ,two")
			line(t, x, "", "", "    ,*apt] ,two")
			x.edition = slices.Delete(x.edition, 2, 3)
		}},
		{"a blank line at the end is lost", "ends with 0 blank lines", hill, func(t *testing.T, x *triple) { x.edition = x.edition[:len(x.edition)-1] }},
		{"a blank line before the first", "blank lines before this line", sea, func(t *testing.T, x *triple) { x.edition = append([]string{""}, x.edition...) }},
		{"a paragraph is divided", "begins a new line in the middle", sea, func(t *testing.T, x *triple) {
			line(t, x, ",x _m a wide y.e ;ell[ r+ on ! wat]4", ",x _m a", "  wide y.e ;ell[ r+ on ! wat]4")
		}},
		{"a form feed in the edition", "", sea, func(t *testing.T, x *triple) { line(t, x, "    ,*apt] ,two", "\f   ,*apt] ,two") }},
		{"a tab in the edition", "", sea, func(t *testing.T, x *triple) { line(t, x, "    ,*apt] ,two", "\t,*apt] ,two") }},
		{"a foreign byte in the edition", "", sea, func(t *testing.T, x *triple) { line(t, x, "    ,*apt] ,two", "    ,*apt] ,tw\x9c") }},
		{"a body line is left out as a head", "like no other head", sea, func(t *testing.T, x *triple) { s(x, `["keep",3]`, `["keep",2]`, `["out",1,"h"]`)(t); fixKeep(t, x) }},
		{"a body line at the top of its page is left out as a head", "like no other head", sea, func(t *testing.T, x *triple) {
			i := slices.Index(x.records, `["add","\"3#c","tu"]`)
			x.records[i+1] = `["keep",1]`
			x.records = slices.Insert(x.records, i+1, `["out",1,"h"]`)
			x.reset(t)
		}},
		{"a kept line is declared filler", "not blank", sea, func(t *testing.T, x *triple) { lose(t, x, 0, 17, "fi") }},
		{"a kept line is declared a page number", "more than page labels", sea, func(t *testing.T, x *triple) { x.reasons["pn"] = "page-number"; lose(t, x, 0, 17, "pn") }},
		{"a kept line is declared spacing", "not blank", hill, func(t *testing.T, x *triple) { lose(t, x, 0, 15, "sp") }},
		{"a kept line is declared a repeat", "words stand nowhere", sea, func(t *testing.T, x *triple) { lose(t, x, 0, 17, "tr") }},
		{"a kept line is declared a volume statement", "names no volume", sea, func(t *testing.T, x *triple) { lose(t, x, 0, 17, "vs") }},
		{"a kept line is declared a volume's end", "names no volume", sea, func(t *testing.T, x *triple) { lose(t, x, 0, 17, "ve") }},
		{"a kept line is declared contents", "", sea, func(t *testing.T, x *triple) { lose(t, x, 0, 17, "c") }},
		{"a kept line is declared a marker", "not one cell repeated", sea, func(t *testing.T, x *triple) { lose(t, x, 0, 17, "m") }},
		{"a scene break is left out as a marker", "frames nothing", sea, func(t *testing.T, x *triple) {
			inSource(t, x, 0, "  ,%e sat d{n6all *s1 & wait$4", "         99 99 99\n  ,%e sat")
			inSource(t, x, 0, "       ,! ,s1 ,tale           #b\n", "a\nb\nc\n       ,! ,s1 ,tale           #b\n")
			i := slices.Index(x.records, `["join","rj"]`)
			x.records = slices.Replace(x.records, i+1, i+2, `["keep",1]`, `["out",1,"m"]`, `["keep",4]`)
			x.reset(t)
		}},
		{"a kept line is declared a duplicate", "is said to repeat", sea, func(t *testing.T, x *triple) { x.reasons["d"] = "duplicate"; lose(t, x, 0, 17, "d") }},
		{"a source is declared a duplicate", "no source in the edition has the same cells", sea, func(t *testing.T, x *triple) {
			x.reasons["d"] = "duplicate"
			i := slices.Index(x.records, `["out",2,"tr"]`)
			x.records = append(x.records[:i], `["out",17,"d"]`)
			x.reset(t)
		}},
		{"a line is swallowed by the statement", "names no volume", sea, func(t *testing.T, x *triple) {
			swapAt(t, x, `["keep",3]`, `["keep",1]`)
			swapAt(t, x, `["swap",2,",3t9u\"\\s ,brl ,$i;n","st"]`, `["swap",4,",3t9u\"\\s ,brl ,$i;n","st"]`)
			x.reset(t)
		}},
		{"a statement in the middle of the text swallows a line", "names no volume", sea, func(t *testing.T, x *triple) {
			swapLine(t, x, 0, 17, "st")
		}},
		{"a text line is swapped as a rule", "rows of the same cell", sea, func(t *testing.T, x *triple) { x.reasons["r"] = "rule"; swapLine(t, x, 0, 17, "r") }},
		{"a text line is swapped as a turn", "print page turns", sea, func(t *testing.T, x *triple) { swapLine(t, x, 0, 17, "tu") }},
		{"a rule becomes another cell", "same cell", hill, func(t *testing.T, x *triple) {
			swapAt(t, x, `["swap",1,"777777777777","r"]`, `["swap",1,"gggggggggggg","r"]`)
			x.reset(t)
		}},
		{"a turn gets another number", "numbers differ", hill, func(t *testing.T, x *triple) {
			swapAt(t, x, `["swap",1,"---#ba","tu"]`, `["swap",1,"---#bb","tu"]`)
			x.reset(t)
		}},
		{"a turn is added that no head names", "no head or page number", sea, func(t *testing.T, x *triple) {
			swapAt(t, x, `["add","\"3#c","tu"]`, `["add","\"3#i","tu"]`)
			x.reset(t)
		}},
		{"words are added as a turn", "not a print page turn", sea, func(t *testing.T, x *triple) { swapAt(t, x, `["add","\"3#c","tu"]`, `["add","n #c","tu"]`); x.reset(t) }},
		{"the added text is not in the edition", "", sea, func(t *testing.T, x *triple) { swapAt(t, x, `["add","\"3#c","tu"]`) }},
		{"a hyphen is left out and the word not joined", "not joined", sea, func(t *testing.T, x *triple) { swapAt(t, x, `["join","rj"]`); x.reset(t) }},
		{"two whole words are joined", "nothing explains", sea, func(t *testing.T, x *triple) {
			swapAt(t, x, `["keep",3]`, `["keep",1]`)
			fixKeep(t, x, `["join","rj"]`, `["keep",1]`)
		}},
		{"more than a hyphen is left out", "not the one cell", sea, func(t *testing.T, x *triple) {
			swapAt(t, x, `["keep-cells",35]`, `["keep-cells",34]`)
			swapAt(t, x, `["out-cells",1,"rj"]`, `["out-cells",2,"rj"]`)
			x.reset(t)
		}},
		{"a hyphen inside a line is left out", "end of its line", hill, func(t *testing.T, x *triple) {
			inSource(t, x, 0, "FAR SIDE", "FAR-SIDE")
			x.reasons["rj"] = "rejoin"
			swapAt(t, x, `["keep-cells",31]`, `["keep-cells",13]`, `["out-cells",1,"rj"]`, `["join","rj"]`, `["keep-cells",17]`)
			x.reset(t)
		}},
		{"a number is cut out of the text as a page number", "two blanks", hill, func(t *testing.T, x *triple) {
			i := slices.Index(x.records, `["double",1,"sp"]`)
			x.records = slices.Replace(x.records, i, i+1, `["keep-cells",35]`, `["out-cells",3,"pn"]`, `["out",1,"sp"]`)
			x.reset(t)
		}},
		{"words are cut as a page number", "more than page labels", hill, func(t *testing.T, x *triple) {
			swapAt(t, x, `["keep-cells",31]`, `["keep-cells",25]`)
			swapAt(t, x, `["out-cells",5,"pn"]`, `["out-cells",11,"pn"]`)
			x.reset(t)
		}},
		{"words are cut as a contents number", "guide dots", sea, func(t *testing.T, x *triple) {
			swapAt(t, x, `["keep-cells",11]`, `["keep-cells",7]`)
			swapAt(t, x, `["out-cells",19,"cn"]`, `["out-cells",23,"cn"]`)
			x.reset(t)
		}},
		{"a word is cut in two by the records", "cut in two", song, func(t *testing.T, x *triple) {
			swapAt(t, x, `["keep-cells",8]`, `["keep-cells",5]`, `["keep-cells",3]`)
			x.reset(t)
		}},
		{"the copy of a source has another cell", "no source in the edition has the same cells", song, func(t *testing.T, x *triple) { inSource(t, x, 2, "bread", "bready") }},
		{"a foreign byte is lost", "", song, func(t *testing.T, x *triple) { line(t, x, "      a h&ful \x9c bread1", "      a h&ful bread1") }},
		{"a runover of verse is set as a line of its own", "begins a new line", song, func(t *testing.T, x *triple) { line(t, x, "    ,i hear !m keep", "    ,i", "    hear !m keep") }},
		{"two records are exchanged", "comes later in the sources", sea, func(t *testing.T, x *triple) {
			swapAt(t, x, `["keep",2]`, `["at",1,18]`)
			x.records = slices.Insert(x.records, 3, `["keep",1]`)
			x.records = x.records[:0:0]
			x.records = append(x.records, `["keep",3]`, `["at",1,8]`, `["keep",2]`, `["at",1,4]`, `["swap",2,",3t9u\"\\s ,brl ,$i;n","st"]`, `["out",2,"fi"]`, `["at",1,10]`)
			x.records = append(x.records, sea().records[4:]...)
			x.reset(t)
		}},
		{"a line is kept twice", "two fates", sea, func(t *testing.T, x *triple) { x.records = append(x.records, `["at",1,18]`, `["keep",1]`); x.reset(t) }},
		{"a line has no fate", "neither in the edition nor left out", sea, func(t *testing.T, x *triple) { lose(t, x, 0, 17, ""); x.reset(t) }},
		{"the end of a source has no fate", "neither in the edition nor left out", sea, func(t *testing.T, x *triple) {
			swapAt(t, x, `["at",2,16]`)
			swapAt(t, x, `["move",2,14,"n"]`)
			x.records = x.records[:len(x.records)-3]
			x.reset(t)
		}},
		{"a line is used up to its middle only", "middle", sea, func(t *testing.T, x *triple) { swapAt(t, x, `["out-cells",1,"rj"]`); x.reset(t) }},
		{"cells beyond the end of a line", "cells left", sea, func(t *testing.T, x *triple) { swapAt(t, x, `["out-cells",1,"rj"]`, `["out-cells",2,"rj"]`) }},
		{"lines beyond the last source", "after the last line", sea, func(t *testing.T, x *triple) {
			x.records[slices.Index(x.records, `["at",2,16]`)+1] = `["keep",3]`
		}},
		{"a huge count", "after the last line", sea, func(t *testing.T, x *triple) { x.records[0] = `["keep",999999999]` }},
		{"a count too large to read", "not well formed", sea, func(t *testing.T, x *triple) { x.records[0] = `["keep",99999999999999999999]` }},
		{"a negative count", "not well formed", sea, func(t *testing.T, x *triple) { x.records[0] = `["keep",-3]` }},
		{"a count of nothing", "not well formed", sea, func(t *testing.T, x *triple) { x.records[0] = `["keep",0]` }},
		{"a count with a fraction", "not well formed", sea, func(t *testing.T, x *triple) { x.records[0] = `["keep",3.0]` }},
		{"a blank inside a record", "not well formed", sea, func(t *testing.T, x *triple) { x.records[0] = `["keep", 3]` }},
		{"a record too long", "not well formed", sea, func(t *testing.T, x *triple) { x.records[0] = `["keep",3,"h"]` }},
		{"a record cut short", "not well formed", sea, func(t *testing.T, x *triple) { x.records[0] = `["keep"` }},
		{"an unknown record", "unknown record", sea, func(t *testing.T, x *triple) { x.records[0] = `["hold",3]` }},
		{"an unknown reason", "unknown reason", sea, func(t *testing.T, x *triple) { delete(x.reasons, "h") }},
		{"an unknown class", "unknown class", sea, func(t *testing.T, x *triple) { x.reasons["h"] = "nothing" }},
		{"a class that does not fit its record", "cannot stand with", sea, func(t *testing.T, x *triple) { x.reasons["n"] = "head" }},
		{"a source that does not exist", "does not exist", sea, func(t *testing.T, x *triple) { swapAt(t, x, `["move",2,14,"n"]`, `["move",3,14,"n"]`) }},
		{"a line that does not exist", "does not exist", sea, func(t *testing.T, x *triple) { swapAt(t, x, `["move",2,14,"n"]`, `["move",2,99,"n"]`) }},
		{"moved text is not marked", "comes later in the sources", sea, func(t *testing.T, x *triple) { swapAt(t, x, `["move",2,14,"n"]`, `["at",2,14]`) }},
		{"a join with nothing after it", "no text after", sea, func(t *testing.T, x *triple) { x.records = append(x.records, `["join","rj"]`) }},
		{"a blank line inside a join", "blank line between two texts", sea, func(t *testing.T, x *triple) { swapAt(t, x, `["join","rj"]`, `["join","rj"]`, `["blank","n"]`) }},
		{"text of the tool is no cell", "is no cell", sea, func(t *testing.T, x *triple) { swapAt(t, x, `["add","\"3#c","tu"]`, `["add","\"3#C","tu"]`) }},
		{"an entry of a made contents list names no heading", "words stand nowhere", sea, func(t *testing.T, x *triple) {
			x.reasons["co"] = "contents-order"
			x.records = append(x.records, `["add","qzxq jkvw zzgq","co"]`)
			x.reset(t)
		}},
		{"text of the tool is blank", "is blank", sea, func(t *testing.T, x *triple) { swapAt(t, x, `["add","\"3#c","tu"]`, `["add"," ","tu"]`) }},
		{"a source is changed", "the edition has", sea, func(t *testing.T, x *triple) { inSource(t, x, 0, "lamp", "dark") }},
		{"a source has a line more", "", sea, func(t *testing.T, x *triple) { inSource(t, x, 1, "   ,notes\n", "   ,notes\n#b4 ,sea4\n") }},
		{"a source has a line less", "", sea, func(t *testing.T, x *triple) { inSource(t, x, 1, "#a4 ,quay is sd key4\n", "") }},
		{"a sum is wrong", "totals: keep", sea, func(t *testing.T, x *triple) {
			x.edit = func(_, tail map[string]any) { tail["totals"].(map[string]any)["keep"] = 1 }
		}},
		{"a sum of a reason is wrong", "totals: left out", sea, func(t *testing.T, x *triple) {
			x.edit = func(_, tail map[string]any) { tail["totals"].(map[string]any)["out"] = map[string]int{"h": 5} }
		}},
		{"a sum of no reason", "is not in the account", sea, func(t *testing.T, x *triple) {
			x.edit = func(_, tail map[string]any) { tail["totals"].(map[string]any)["out"].(map[string]int)["zz"] = 0 }
		}},
		{"the number of records is wrong", "records", sea, func(t *testing.T, x *triple) { x.edit = func(_, tail map[string]any) { tail["records"] = 5 } }},
		{"the marks of the edition are wrong", "cells that are not blank", sea, func(t *testing.T, x *triple) {
			x.edit = func(h, _ map[string]any) { h["edition"].(map[string]any)["marks"] = 5 }
		}},
		{"the lines of the edition are wrong", "lines", sea, func(t *testing.T, x *triple) {
			x.edit = func(h, _ map[string]any) { h["edition"].(map[string]any)["lines"] = 5 }
		}},
		{"the control bytes of a source are wrong", "control", sea, func(t *testing.T, x *triple) {
			x.edit = func(h, _ map[string]any) { h["sources"].([]any)[0].(map[string]any)["control"] = 5 }
		}},
		{"the encoding of a source is wrong", "encoding", sea, func(t *testing.T, x *triple) {
			x.edit = func(h, _ map[string]any) { h["sources"].([]any)[0].(map[string]any)["encoding"] = "utf-8" }
		}},
		{"the sources stand in another order", "", sea, func(t *testing.T, x *triple) { slices.Reverse(x.sources) }},
		{"an unknown field", "unknown field", sea, func(t *testing.T, x *triple) { x.edit = func(h, _ map[string]any) { h["more"] = 1 } }},
		{"a field in capitals", "unknown field", sea, func(t *testing.T, x *triple) { x.edit = func(h, _ map[string]any) { h["Account"] = 1 } }},
		{"another version", "version 3", sea, func(t *testing.T, x *triple) { x.edit = func(h, _ map[string]any) { h["account"] = 3 } }},
		{"confidence above one", "confidence", sea, func(t *testing.T, x *triple) {
			x.edit = func(h, _ map[string]any) { h["reasons"].(map[string]any)["h"].(map[string]any)["confidence"] = 1.5 }
		}},
		{"no end", "cut off", sea, func(t *testing.T, x *triple) { x.edit = func(_, tail map[string]any) { tail["end"] = false } }},
		{"statements without end", "edition statements", sea, func(t *testing.T, x *triple) {
			x.records = append(slices.Repeat([]string{`["add","x","st"]`}, 5), x.records...)
			x.reset(t)
		}},
		{"a long text as a label of notes", "too long", sea, func(t *testing.T, x *triple) {
			x.records = append(x.records, `["add","`+strings.Repeat("a ", 50)+`","n"]`)
			x.reset(t)
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			x := c.title()
			c.damage(t, x)
			noticed(t, x.verify(t), c.want)
		})
	}
}

func noticed(t *testing.T, r Report, want string) {
	t.Helper()
	if r.OK || r.NProblems == 0 || len(r.Problems) == 0 {
		t.Fatal("not noticed")
	}
	if !strings.Contains(show(r), want) {
		t.Errorf("no word of %q in:\n%s", want, show(r))
	}
}

// fixKeep puts records after the first short keep of the third page and writes
// the edition anew.
func fixKeep(t *testing.T, x *triple, more ...string) {
	t.Helper()
	if len(more) == 0 {
		x.records[0], x.records = `["keep",3]`, slices.Delete(x.records, 1, 2)
		lose(t, x, 0, 17, "h")
		return
	}
	x.records = slices.Insert(x.records, 1, more...)
	x.records = slices.Insert(x.records, 3, `["keep",1]`)
	x.reset(t)
}

// lose gives one line (from 1) that is kept another reason, as consistently as
// can be: the record is parted and the edition written anew. An empty reason
// takes the line out of the account altogether.
func lose(t testing.TB, x *triple, src, line int, reason string) {
	t.Helper()
	if !instead(t, x, src, line, `["out",1,"`+reason+`"]`, reason == "") {
		t.Fatal("the line is not kept whole")
	}
}

func swapLine(t *testing.T, x *triple, src, line int, reason string) {
	t.Helper()
	if !instead(t, x, src, line, `["swap",1,"---#c","`+reason+`"]`, false) {
		t.Fatal("the line is not kept whole")
	}
}

func instead(t testing.TB, x *triple, src, line int, record string, none bool) bool {
	t.Helper()
	files := x.files(t)
	i, ok := walk(x.records, files).fate[[2]int{src, line - 1}]
	if !ok {
		return false
	}
	var f []any
	if err := json.Unmarshal([]byte(x.records[i]), &f); err != nil {
		t.Fatal(err)
	}
	n := int(f[1].(float64))
	at := func(s, l int) string { return fmt.Sprintf(`["at",%d,%d]`, s+1, l) }
	before := 0
	for k := 1; k < n; k++ {
		if j, ok := walk(x.records, files).fate[[2]int{src, line - 1 - k}]; !ok || j != i {
			break
		}
		before++
	}
	var by []string
	if before > 0 {
		by = append(by, fmt.Sprintf(`["keep",%d]`, before))
	}
	if none {
		if line < len(files[src].Lines) {
			by = append(by, at(src, line+1))
		} else if src+1 < len(files) {
			by = append(by, at(src+1, 1))
		}
	} else {
		by = append(by, record)
	}
	if after := n - before - 1; after > 0 {
		by = append(by, fmt.Sprintf(`["keep",%d]`, after))
	}
	x.records = slices.Replace(x.records, i, i+1, by...)
	x.reset(t)
	return true
}

// Damage to the bytes of the finished files.
func TestRawDamage(t *testing.T) {
	for _, c := range []struct {
		name, want string
		damage     func(ed, acc *[]byte, files *[]*source.File)
	}{
		{"no account", "cut off", func(_, acc *[]byte, _ *[]*source.File) { *acc = nil }},
		{"account of one line", "one line only", func(_, acc *[]byte, _ *[]*source.File) { *acc = []byte("{}\n") }},
		{"account cut off inside a line", "cut off", func(_, acc *[]byte, _ *[]*source.File) { *acc = (*acc)[:len(*acc)-10] }},
		{"account cut off after a line", "", func(_, acc *[]byte, _ *[]*source.File) {
			*acc = (*acc)[:bytes.LastIndexByte((*acc)[:len(*acc)-1], '\n')+1]
		}},
		{"a line of the account taken out", "sha256", func(_, acc *[]byte, _ *[]*source.File) {
			i := bytes.Index(*acc, []byte(`["out",2,"vs"]`))
			*acc = slices.Delete(*acc, i, i+15)
		}},
		{"a reason of the account reworded", "sha256", func(_, acc *[]byte, _ *[]*source.File) { *acc = bytes.Replace(*acc, []byte("test"), []byte("rest"), 1) }},
		{"something after the account", "", func(_, acc *[]byte, _ *[]*source.File) { *acc = append(*acc, "{}\n"...) }},
		{"a field twice", "twice", func(_, acc *[]byte, _ *[]*source.File) { *acc = append([]byte(`{"account":1,`), (*acc)[1:]...) }},
		{"an account that nests without end", "", func(_, acc *[]byte, _ *[]*source.File) { *acc = []byte(strings.Repeat("[", 100000) + "\n{}\n") }},
		{"the edition empty", "not the one of the account", func(ed, _ *[]byte, _ *[]*source.File) { *ed = nil }},
		{"the edition cut off", "not the one of the account", func(ed, _ *[]byte, _ *[]*source.File) { *ed = (*ed)[:100] }},
		{"a blank more in the edition", "not the one of the account", func(ed, _ *[]byte, _ *[]*source.File) { *ed = bytes.Replace(*ed, []byte("\n"), []byte(" \n"), 1) }},
		{"the edition in other capitals", "not the one of the account", func(ed, _ *[]byte, _ *[]*source.File) { *ed = bytes.ToUpper(*ed) }},
		{"no sources", `"v1.brf": is missing`, func(_, _ *[]byte, files *[]*source.File) { *files = nil }},
		{"a source is missing", `"v2.brf": is missing`, func(_, _ *[]byte, files *[]*source.File) { *files = (*files)[:1] }},
		{"a source was changed", `"v1.brf": was changed`, func(_, _ *[]byte, files *[]*source.File) {
			(*files)[0], _ = source.Parse("v1.brf", []byte(strings.Replace(uk1, "lamp", "LAMP", 1)))
		}},
		{"a source too many", `"v3.brf": is not one of the sources`, func(_, _ *[]byte, files *[]*source.File) {
			f, _ := source.Parse("v3.brf", []byte("more\n"))
			*files = append(*files, f)
		}},
		{"a source twice", `is not one of the sources`, func(_, _ *[]byte, files *[]*source.File) { *files = append(*files, (*files)[0]) }},
	} {
		t.Run(c.name, func(t *testing.T) {
			ed, acc, files := sea().sealed(t)
			c.damage(&ed, &acc, &files)
			noticed(t, Verify(ed, acc, files), c.want)
		})
	}
}

func TestAnyOrder(t *testing.T) {
	ed, acc, files := sea().sealed(t)
	slices.Reverse(files)
	if r := Verify(ed, acc, files); !r.OK {
		t.Error(show(r))
	}
}
