package testkit

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var dump = flag.String("dump", "", "write the titles of the press test to this folder")
var seeds = flag.Int("seeds", 40, "titles of the press test")
var firstSeed = flag.Int("first", 1, "seed of the first")

// oracle is the edition that the truth describes, one word a line.
func oracle(t *Truth) string {
	var b strings.Builder
	b.WriteString(join(t.Title) + "\n")
	for _, f := range t.Floats {
		n := f.Must
		if join(f.Toks) == join(t.Title) {
			n--
		}
		for ; n > 0; n-- {
			b.WriteString(join(f.Toks) + "\n")
		}
	}
	turn := map[int]string{}
	for _, x := range t.Turns {
		if x.Label == "" {
			turn[x.From] += "---\n"
			continue
		}
		turn[x.From] += "\"3" + x.Label + "\n"
	}
	b.WriteString(strings.Repeat("\xa3\n", t.Foreign))
	rule := map[int]bool{}
	for _, x := range t.Rules {
		rule[x] = true
	}
	for i, w := range append(append([]Want(nil), t.Body...), t.Notes...) {
		if rule[i] {
			b.WriteString("333333333333\n")
		}
		b.WriteString(turn[i] + w.Cells)
		if isRule(w.Cells) {
			b.WriteString(" ") // a line of a table, not a separator
			continue
		}
		b.WriteString("\n")
	}
	return b.String()
}

func pressed(t *testing.T, seed uint64) *Title {
	t.Helper()
	texts, err := Texts()
	Need(t, err)
	b, err := NewBook(Draw(seed), texts)
	Need(t, err)
	x, err := Press(b)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// unpress reads a title back with the knowledge of what each row is: the
// strictest reader there can be.
func unpress(x *Title) string {
	var text, notes strings.Builder
	for v, pages := range x.vols {
		for n, pg := range pages {
			b := &text
			if pg.kind == "notes" {
				b = &notes
			}
			for i := range pg.rows {
				r := &pg.rows[i]
				if r.full || r.kind != "" && r.kind != "page number" && r.kind != "print page" || r.text == "" {
					continue
				}
				if got := string(x.Pages[v][n][min(i, len(x.Pages[v][n])-1)]); x.Lay.File.Damage == "" && !strings.HasPrefix(got, r.text) {
					b.WriteString("ROW DIFFERS: " + got)
				}
				s := r.text
				switch r.join {
				case 0:
					s += "\n"
				case 'd':
					s = s[:len(s)-1]
				}
				if r.join != 0 || strings.TrimSpace(s) != "" {
					b.WriteString(strings.TrimLeft(s, " "))
				}
			}
		}
	}
	return text.String() + notes.String() + strings.Repeat("\xa3\n", x.Truth.Foreign)
}

// Every title that is pressed can be read back with the knowledge of its
// furniture, and gives the straight translation.
func TestPress(t *testing.T) {
	for seed := *firstSeed; seed < *firstSeed+*seeds; seed++ {
		x := pressed(t, uint64(seed))
		if r := Compare([]byte(oracle(x.Truth)), x.Truth); !r.OK() {
			t.Errorf("seed %d: the truth does not agree with itself: %v", seed, r.Problems[:min(5, len(r.Problems))])
		}
		if r := Compare([]byte(unpress(x)), x.Truth); !r.OK() {
			for _, p := range r.Problems[:min(6, len(r.Problems))] {
				if x.Truth.index[strings.TrimPrefix(p.What, "contents entry: ")] != nil || p.Kind == "turn" && strings.Contains(p.What, "from the head") {
					continue // contents and heads are left out by this reader
				}
				t.Errorf("seed %d: %v", seed, p)
			}
		}
		for v, pages := range x.Pages {
			for n, p := range pages {
				for _, l := range p {
					if len(l) > x.Lay.Width && x.Lay.File.Damage != "long line" {
						t.Errorf("seed %d volume %d page %d: line of %d cells, width %d: %s", seed, v+1, n+1, len(l), x.Lay.Width, l)
					}
				}
			}
		}
		t.Logf("seed %d: %d volumes, %d pages, %d words, %d turns: %s", seed, len(x.Files), x.Truth.Pages, len(x.Truth.Body), len(x.Truth.Turns), strings.Join(x.Lay.Features(), " "))
		if *dump != "" {
			dir := filepath.Join(*dump, fmt.Sprint(seed))
			os.MkdirAll(dir, 0o755)
			for i, f := range x.Files {
				os.WriteFile(filepath.Join(dir, f.Name), f.Raw, 0o644)
				var b strings.Builder
				for k := range x.Pages[i] {
					fmt.Fprintf(&b, "--- page %d\n%s", k+1, x.Show(i, k))
				}
				os.WriteFile(filepath.Join(dir, fmt.Sprintf("pages%d.txt", i+1)), []byte(b.String()), 0o644)
			}
		}
	}
}
