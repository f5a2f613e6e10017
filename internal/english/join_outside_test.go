package english

import (
	"bufio"
	"os"
	"strings"
	"testing"
)

// hyphenator finds break points with liblouis' copy of the American
// hyphenation patterns (hyph_en_US.dic; Liang, Word Hy-phen-a-tion by
// Com-put-er, 1983).
type hyphenator map[string][]int

func newHyphenator(t testing.TB) hyphenator {
	f, err := os.Open("/usr/share/liblouis/tables/hyph_en_US.dic")
	if err != nil {
		missing(t, "the hyphenation patterns hyph_en_US.dic", "liblouis-data", err)
	}
	defer f.Close()
	h := hyphenator{}
	sc := bufio.NewScanner(f)
	for sc.Scan() {
		var letters []byte
		values := []int{0}
		for _, c := range []byte(sc.Text()) {
			if c >= '0' && c <= '9' {
				values[len(values)-1] = int(c - '0')
			} else {
				letters, values = append(letters, c), append(values, 0)
			}
		}
		h[string(letters)] = values
	}
	return h
}

// breaks lists where a word may be divided, at least two letters on both sides.
func (h hyphenator) breaks(w string) []int {
	d := "." + w + "."
	v := make([]int, len(d)+1)
	for i := range d {
		for j := i + 1; j <= len(d); j++ {
			for k, x := range h[d[i:j]] {
				v[i+k] = max(v[i+k], x)
			}
		}
	}
	var out []int
	for i := 2; i <= len(w)-2; i++ {
		if v[i+1]%2 == 1 {
			out = append(out, i)
		}
	}
	return out
}

// division is one word divided at a line end in the trial.
type division struct {
	first, second string // cells
	whole         string // its cells undivided, as liblouis writes them
	hard          bool   // divided at a hyphen of its own
	print         string
}

// divide sets paragraphs in lines of 38 cells, dividing words, and returns the
// divisions and the vocabulary of the undivided words.
func divide(t testing.TB, v Variant, paras []string, h hyphenator) ([]division, *Vocabulary) {
	cells := eachWord(t, v, paras)
	s := signsOf[v.Code]()
	var out []division
	var words []string
	voc := &Vocabulary{}
	for _, p := range paras {
		room := 36
		for k, w := range strings.Fields(p) {
			tok := cells[w]
			if len(tok)+1 > room && k > 0 {
				room = 38
				if d, ok := cutWord(v, s, h, strings.TrimRight(w, ",;:.!?"), room); ok {
					out, words = append(out, d), append(words, d.print)
					room -= len(d.second) + 1
					continue
				}
			}
			voc.Add(tok)
			room -= len(tok) + 1
		}
	}
	var could []division
	for i, c := range louisCells(t, v, words) {
		out[i].whole = string(c)
		if out[i].hard || len(out[i].first) < len(c) { // nobody divides a word that has room where its first part has
			could = append(could, out[i])
		}
	}
	return could, voc
}

// eachWord translates every different word of the paragraphs by itself.
func eachWord(t testing.TB, v Variant, paras []string) map[string][]byte {
	out := map[string][]byte{}
	var words []string
	for _, p := range paras {
		for _, w := range strings.Fields(p) {
			if _, ok := out[w]; !ok {
				out[w] = nil
				words = append(words, w)
			}
		}
	}
	for i, c := range louisCells(t, v, words) {
		out[words[i]] = c
	}
	return out
}

// cutWord divides a lower-case word at its hyphen, or else at a break point.
func cutWord(v Variant, s *signs, h hyphenator, w string, room int) (division, bool) {
	if i := strings.IndexByte(w, '-'); i > 1 && i < len(w)-2 && isPlain(w[:i]+w[i+1:]) && strings.ToLower(w) == w {
		first, second := w[:i], w[i+1:]
		if v.Contracted {
			first, second = s.spelledPart(first, true), s.spelledPart(second, true)
		}
		return division{first + "-", second, "", true, w}, true
	}
	if !isPlain(w) || strings.ToLower(w) != w || len(w) < 5 {
		return division{}, false
	}
	b := h.breaks(w)
	if len(b) == 0 {
		return division{}, false
	}
	at := b[len(w)*7%len(b)]
	first, second := w[:at], w[at:]
	if v.Contracted {
		first, second = s.spelledPart(first, false), s.spelledPart(second, false)
	}
	return division{first + "-", second, "", false, w}, true
}

// spelledPart writes a part of a word; whole parts stand between hyphens and
// may be wordsigns.
func (s *signs) spelledPart(w string, whole bool) string {
	if whole && !s.lowerWord[w] {
		return s.word(w)
	}
	return s.run(w)
}

// joinTally is how a trial of divided words came out.
type joinTally struct {
	all, soft, softKept, hardDropped, likeLouis, unlikeLouis int
}

func tryJoins(t *testing.T, v Variant, ds []division, voc *Vocabulary) joinTally {
	var n joinTally
	for _, d := range ds {
		j := voc.Join([]byte(d.first), []byte(d.second), v)
		n.all++
		switch {
		case d.hard && j.DropHyphen:
			n.hardDropped++
		case d.hard:
		case !j.DropHyphen:
			n.soft++
			n.softKept++
		case string(j.Cells) == d.whole:
			n.soft++
			n.likeLouis++
		default:
			n.soft++
			n.unlikeLouis++
			t.Logf("   %s, %s%s: joined as %s, liblouis %s (%s)", d.print, d.first, d.second, j.Cells, d.whole, j.Reason)
		}
	}
	return n
}

// TestJoinOpenTexts divides words of open texts at line ends, at the break
// points of published hyphenation patterns and at their own hyphens, and joins
// them again. A hyphen that belongs to the word is lost in at most 3 of 1,000
// divisions, most others go, and 99.9 % of the joined words are contracted as
// liblouis writes them undivided (the project's bar).
func TestJoinOpenTexts(t *testing.T) {
	h := newHyphenator(t)
	for _, text := range []struct {
		name  string
		paras []string
		lost  int // hyphens of words lost, in 1,000 divisions
		stay  int // soft hyphens that stay, in 100
	}{{"prideprejudice", some(novel(t, "prideprejudice"), 80_000), 1, 2}, {"quotations", some(quotations(t), 60_000), 7, 9}} {
		for _, v := range []Variant{{UEB, true, true}, {UEB, false, true}, {SEB, true, false}, {EBAE, true, true}} {
			ds, voc := divide(t, v, text.paras, h)
			n := tryJoins(t, v, ds, voc)
			t.Logf("%-15s %v: %d divided; of %d soft hyphens %d stay; %d hyphens of words are lost; contracted as liblouis %d, not %d", text.name, v, n.all, n.soft, n.softKept, n.hardDropped, n.likeLouis, n.unlikeLouis)
			if n.hardDropped*1000 > text.lost*n.all {
				t.Errorf("%s in %v: %d hyphens of words lost in %d divisions", text.name, v, n.hardDropped, n.all)
			}
			if n.softKept*100 > text.stay*n.soft {
				t.Errorf("%s in %v: %d of %d soft hyphens stay", text.name, v, n.softKept, n.soft)
			}
			if n.unlikeLouis*1000 > n.likeLouis {
				t.Errorf("%s in %v: %d of %d joined words not as liblouis writes them", text.name, v, n.unlikeLouis, n.likeLouis)
			}
		}
	}
}
