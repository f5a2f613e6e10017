package english

import (
	"strconv"
	"strings"
	"testing"
)

// wording is one wording of phrases.txt with numbers put in.
type wording struct {
	print string
	id    PhraseID
	n, m  int
}

// wordings lists every wording with numbers as digits, words and roman.
func wordings() []wording {
	var out []wording
	for _, l := range dataLines(phrasesText) {
		id, alternatives, _ := strings.Cut(l, ":")
		for _, a := range strings.Split(alternatives, "|") {
			for k, style := range []func(int) string{strconv.Itoa, numberWord, romanNumber} {
				numbers, ok := 0, strings.Contains(a, "{")
				if !ok && k > 0 {
					break
				}
				w := wording{id: PhraseID(id)}
				var words []string
				for _, f := range strings.Fields(a) {
					switch f {
					case "{n}", "{x}", "{m}":
						v := []int{3, 12}[min(numbers, 1)]
						words = append(words, style(v))
						if f == "{m}" || w.n > 0 {
							w.m = v
						} else {
							w.n = v
						}
						numbers++
					case "{o}":
						words = append(words, "second")
						w.n, numbers = 2, 1
					case "{r}":
						words = append(words, "1-96")
					default:
						words = append(words, strings.Trim(f, "[]"))
					}
				}
				w.print = strings.Join(words, " ")
				if w.id == InVolumes {
					w.m = w.n
				}
				out = append(out, w)
			}
		}
	}
	return out
}

func numberWord(n int) string { return strings.Fields(numberWords)[n-1] }

func romanNumber(n int) string { return map[int]string{3: "iii", 12: "xii"}[n] }

// styled returns the four ways capitals are set in headings.
func styled(print string) []string {
	words := strings.Fields(print)
	for i, w := range words {
		words[i] = strings.ToUpper(w[:1]) + w[1:]
	}
	return []string{print, strings.ToUpper(print[:1]) + print[1:], strings.Join(words, " "), strings.ToUpper(print)}
}

// TestPhrasesAsLiblouisWritesThem: every wording, in every code and four styles
// of capitals, as liblouis writes it, is found as its phrase with its numbers.
func TestPhrasesAsLiblouisWritesThem(t *testing.T) {
	ws := wordings()
	rows := 0
	for _, v := range Variants() {
		if !v.Capitals {
			continue
		}
		var lines []string
		for _, w := range ws {
			lines = append(lines, styled(w.print)...)
		}
		for i, cells := range louisCells(t, v, lines) {
			if strings.Contains(string(cells), "';,") {
				continue // listed in testdata/disagreements.txt
			}
			rows++
			w := ws[i/4]
			p, ok := Lookup(cells)
			if !ok || p.N != w.n || p.M != w.m || p.ID != w.id {
				t.Errorf("%v: %q = %q: found %v %s %d %d, want %s %d %d", v, lines[i], cells, ok, p.ID, p.N, p.M, w.id, w.n, w.m)
			}
			if q, ok := Prefix(append(cells, "  xyzzy"...)); !ok || string(q.Tail[max(0, len(q.Tail)-5):]) != "xyzzy" {
				t.Errorf("%v: %q with more behind it: found %v, tail %q", v, lines[i], ok, q.Tail)
			}
		}
	}
	t.Logf("%d wordings, %d rows", len(ws), rows)
}

// TestWriteAsLiblouis: the tool's own wording is written as liblouis writes it;
// what differs is listed with the rule that decides it.
func TestWriteAsLiblouis(t *testing.T) {
	known := disagreements(t)
	ws := wordings()
	rows, differ := 0, 0
	for _, v := range Variants() {
		var lines []string
		for _, w := range ws {
			lines = append(lines, styled(w.print)...)
		}
		for i, want := range louisCells(t, v, lines) {
			rows++
			got, err := Write(lines[i], v)
			if err != nil {
				t.Errorf("%v", err)
				continue
			}
			if string(got) != string(want) {
				if rule := known.rule(v.Code, lines[i], string(got), string(want)); rule == "" {
					differ++
					if differ < 40 {
						t.Errorf("%v: %q: written %q, liblouis %q", v, lines[i], got, want)
					}
				}
			}
		}
	}
	t.Logf("%d rows, %d differ without a rule", rows, differ)
}

// TestNoPhraseInProse: in running prose no line that layout would allow to be a
// phrase (alone between blank lines, indented beyond a paragraph) is one, and
// hardly any other line.
func TestNoPhraseInProse(t *testing.T) {
	v := Variant{UEB, true, true}
	total, lines, hits := 0, 0, 0
	for _, paras := range [][]string{some(kjvBible(t), 500_000), novel(t, "prideprejudice"), novel(t, "emma"), novel(t, "mansfieldpark"), novel(t, "persuasion")} {
		var prose []string
		for _, p := range paras {
			if len(p) > 60 { // shorter ones are headings in print too
				prose = append(prose, p)
			}
		}
		total += words(prose)
		for _, p := range louisCells(t, v, prose) {
			for _, l := range wrap(p, 38) {
				lines++
				ph, ok := Lookup(l)
				if !ok {
					continue
				}
				hits++
				if len(l) > 4 && string(l[:5]) == "     " {
					t.Errorf("a centred line of prose is found as %s: %q", ph.ID, l)
				}
				t.Logf("a line of prose reads as %s: %q", ph.ID, l)
			}
		}
	}
	t.Logf("%d words, %d lines, %d whole lines that read as a phrase without layout evidence", total, lines, hits)
	if total < 1_000_000 || hits > 20 {
		t.Errorf("%d words, %d hits: want a million words and at most 20", total, hits)
	}
}
