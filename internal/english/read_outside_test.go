package english

import (
	"fmt"
	"os"
	"strings"
	"testing"
)

// readScore counts words read right: exact, and letters and digits only.
type readScore struct{ words, exact, letters int }

func lettersOnly(w string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(unaccent(w)) {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			b.WriteRune(r)
		}
	}
	return b.String()
}

var unaccented = strings.NewReplacer("é", "e", "è", "e", "ê", "e", "à", "a", "â", "a", "ô", "o", "ü", "u", "ö", "o", "ï", "i", "ë", "e", "ç", "c", "æ", "ae", "œ", "oe", "É", "E")

func unaccent(s string) string { return unaccented.Replace(s) }

// scoreRead reads translated paragraphs and compares them word for word with
// the print they were made from.
func scoreRead(t testing.TB, v Variant, paras []string, note func(want, got, cells string)) readScore {
	cells := louisCells(t, v, paras)
	r := NewReader(v)
	var s readScore
	for i, p := range paras {
		if !v.Capitals {
			p = strings.ToLower(p)
		}
		got := r.Text(cells[i])
		if v.Code.Older() { // one accent sign for all; liblouis' inner quotes for apostrophes
			p = unaccent(p)
			got = strings.NewReplacer("’", "'", "‘", "'").Replace(got)
		}
		r.mode = modes{}
		a, b := strings.Fields(p), strings.Fields(got)
		s.words += len(a)
		for _, m := range alignWords(a, b) {
			if a[m[0]] == b[m[1]] {
				s.exact++
			}
			if lettersOnly(a[m[0]]) == lettersOnly(b[m[1]]) {
				s.letters++
			}
		}
		if note != nil {
			noteDiffs(a, b, string(cells[i]), note)
		}
	}
	return s
}

func noteDiffs(a, b []string, cells string, note func(want, got, cells string)) {
	paired := alignWords(a, b)
	if len(a) != len(b) {
		i := 0
		for i < len(a) && i < len(b) && a[i] == b[i] {
			i++
		}
		j := 0
		for j < len(a)-i && j < len(b)-i && a[len(a)-1-j] == b[len(b)-1-j] {
			j++
		}
		note(strings.Join(a[i:len(a)-j], " "), strings.Join(b[i:len(b)-j], " "), "")
		return
	}
	f := strings.Fields(cells)
	for _, m := range paired {
		if a[m[0]] != b[m[1]] {
			c := ""
			if len(f) == len(a) {
				c = f[m[0]]
			}
			note(a[m[0]], b[m[1]], c)
		}
	}
}

// alignWords pairs the words of two texts: one by one when they are as many,
// else from both ends to the first difference, and by the next equal word.
func alignWords(a, b []string) [][2]int {
	var out [][2]int
	if len(a) == len(b) {
		for i := range a {
			out = append(out, [2]int{i, i})
		}
		return out
	}
	i, j := 0, 0
	for i < len(a) && j < len(b) {
		if lettersOnly(a[i]) == lettersOnly(b[j]) {
			out = append(out, [2]int{i, j})
			i, j = i+1, j+1
			continue
		}
		found := false
		for d := 1; d < 12 && !found; d++ {
			for x := 0; x <= d && !found; x++ {
				if i+x < len(a) && j+d-x < len(b) && a[i+x] == b[j+d-x] {
					i, j, found = i+x, j+d-x, true
				}
			}
		}
		if !found {
			i, j = i+1, j+1
		}
	}
	return out
}

// ordinary leaves out paragraphs with signs for which the older tables have no
// agreed cells, or addresses and tables of figures: mathematics and computer
// text are islands that a literary code does not read.
func ordinary(paras []string) []string {
	var out []string
	for _, p := range paras {
		odd := strings.IndexFunc(p, func(r rune) bool {
			return !(r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune(" .,;:!?'“”()[]—-&£$%éèêàâôüöïëç", r))
		})
		if odd < 0 && !strings.Contains(p, "www.") && !strings.Contains(p, " - ") && !strings.Contains(p+" ", " ” ") {
			out = append(out, p)
		}
	}
	return out
}

// TestReadOpenTexts reads what liblouis wrote from texts that played no part in
// making the reader and the rules, and counts the words that come back exactly,
// with capitals and punctuation. The bars are the project's.
func TestReadOpenTexts(t *testing.T) {
	bars := map[Code]float64{UEB: 99.98, SEB: 99.9, EBAE: 99.9}
	for _, text := range []struct {
		name  string
		paras []string
	}{{"prideprejudice", novel(t, "prideprejudice")}, {"emma", some(novel(t, "emma"), 60_000)}, {"persuasion", novel(t, "persuasion")}, {"opticks", opticks(t)}, {"quotations", quotations(t)}} {
		paras := ordinary(text.paras)
		for _, v := range Variants() {
			if !v.Capitals && (text.name != "emma" || v.Code != SEB) {
				continue // without capitals there is less to go wrong: one novel in SEB
			}
			bar := bars[v.Code]
			if !v.Contracted {
				bar = 99.98
			}
			var wrong []string
			s := scoreRead(t, v, paras, func(want, got, cells string) {
				wrong = append(wrong, fmt.Sprintf("%s | %s | %s", want, got, cells))
			})
			exact, letters := 100*float64(s.exact)/float64(s.words), 100*float64(s.letters)/float64(s.words)
			t.Logf("%-15s %-34v %6d words: exact %.3f %%, letters %.3f %%", text.name, v, s.words, exact, letters)
			if exact < bar {
				t.Errorf("%s in %v: %.3f %% of the words right, the bar is %.2f", text.name, v, exact, bar)
			}
			if os.Getenv("CONTINUO_SHOW") != "" {
				t.Log("\n" + strings.Join(wrong, "\n"))
			}
		}
	}
}
