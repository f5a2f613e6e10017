package check

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"continuo/internal/cell"
)

// Every kept line of every title, left out under every class, with edition,
// sums and hashes made to fit: all must be noticed.
func TestEveryLineUnderEveryClass(t *testing.T) {
	tried := 0
	for _, good := range titles() {
		files := good.files(t)
		for s, f := range files {
			for i := range f.Lines {
				if len(f.Text(i)) == 0 {
					continue
				}
				for class := range classes {
					if !allowed(class, "out") {
						continue
					}
					x := good.clone()
					x.reasons["zz"] = class
					if !instead(t, x, s, i+1, `["out",1,"zz"]`, false) {
						continue
					}
					tried++
					if x.verify(t).OK && !excused(class, string(f.Text(i))) {
						t.Errorf("%s, source %d line %d as %s: not noticed: %q", good.name, s+1, i+1, class, f.Text(i))
					}
				}
			}
		}
	}
	if tried < 200 {
		t.Errorf("only %d tried", tried)
	}
}

// excused are losses that the face of a line cannot give away, because it is
// worded as such lines are. Each stands in the report with its reason, for a
// person to see.
func excused(class, text string) bool {
	switch {
	case strings.TrimSpace(text) == ",3t5ts" && class == "contents":
		return true // the word contents
	case strings.TrimSpace(text) == "---------" && (class == "marker" || class == "repeat" || class == "title-repeat"):
		return true // a row beside an end of a volume that was left out
	}
	return false
}

// Every record taken out, written twice, exchanged with the next, or with its
// count one more or less, in an account sealed anew: all must be noticed.
func TestEveryRecord(t *testing.T) {
	for _, good := range titles() {
		for i := range good.records {
			for name, by := range mutations(good.records, i) {
				x := good.clone()
				x.records = by
				if same(walk(by, x.files(t)), walk(good.records, x.files(t))) {
					continue // another way to say the same
				}
				for _, x.packed = range []bool{false, true} {
					if x.verify(t).OK {
						t.Errorf("%s, record %d %s %s, packed %v: not noticed", good.name, i+1, good.records[i], name, x.packed)
					}
				}
			}
		}
	}
}

// same tells whether two walks find the same texts and sums.
func same(a, b *walked) bool {
	return slices.Equal(a.text, b.text) && maps.Equal(a.out, b.out) && [4]int{a.keep, a.move, a.swap, a.add} == [4]int{b.keep, b.move, b.swap, b.add}
}

func mutations(records []string, i int) map[string][]string {
	out := map[string][]string{
		"taken out": slices.Delete(slices.Clone(records), i, i+1),
		"twice":     slices.Insert(slices.Clone(records), i, records[i]),
	}
	if i+1 < len(records) {
		x := slices.Clone(records)
		x[i], x[i+1] = x[i+1], x[i]
		out["exchanged"] = x
	}
	var f []any
	if json.Unmarshal([]byte(records[i]), &f) != nil {
		return out
	}
	if n, ok := f[1].(float64); ok {
		for _, d := range []float64{-1, 1} {
			f[1] = n + d
			b, _ := json.Marshal(f)
			x := slices.Clone(records)
			x[i] = strings.NewReplacer(`\u003c`, "<", `\u003e`, ">", `\u0026`, "&").Replace(string(b))
			out[fmt.Sprintf("count %+d", int(d))] = x
		}
	}
	return out
}

// Every cell of the edition changed, taken out or written twice; every blank
// taken out between words; every line taken out: all must be noticed though
// the edition's hash and sums are made true again.
func TestEveryCellOfTheEdition(t *testing.T) {
	for _, good := range titles() {
		for l, text := range good.edition {
			for i := range text {
				by := map[string]string{"taken out": text[:i] + text[i+1:]}
				if text[i] == cell.Blank {
					if strings.TrimSpace(text[:i]) == "" || text[i-1] == ' ' || text[i+1] == ' ' {
						continue // part of an indent
					}
				} else {
					by["changed"] = text[:i] + "=" + text[i+1:]
					by["twice"] = text[:i] + text[i:i+1] + text[i:]
				}
				for name, line := range by {
					x := good.clone()
					x.edition[l] = line
					if x.verify(t).OK {
						t.Errorf("%s, edition line %d cell %d %s: not noticed", good.name, l+1, i+1, name)
					}
				}
			}
			x := good.clone()
			x.edition = slices.Delete(x.edition, l, l+1)
			if x.verify(t).OK {
				t.Errorf("%s, edition line %d taken out: not noticed", good.name, l+1)
			}
		}
	}
}

// Every cell of every line that is kept whole changed in the sources, and the
// account's hashes and sums made to fit the changed sources.
func TestEveryKeptCellOfTheSources(t *testing.T) {
	for _, good := range titles() {
		fate := walk(good.records, good.files(t)).fate
		for s, src := range good.sources {
			for i := range src.text {
				line := strings.Count(src.text[:i], "\n")
				if _, ok := fate[[2]int{s, line}]; !ok || src.text[i] <= ' ' || src.text[i] == '=' {
					continue
				}
				x := good.clone()
				x.sources[s].text = src.text[:i] + "=" + src.text[i+1:]
				if x.verify(t).OK {
					t.Errorf("%s, source %d byte %d (%q) changed: not noticed", good.name, s+1, i, src.text[max(0, i-10):min(len(src.text), i+5)])
				}
			}
		}
	}
}
