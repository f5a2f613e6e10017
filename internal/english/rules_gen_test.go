package english

import (
	"flag"
	"fmt"
	"hash/fnv"
	"os"
	"sort"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "make rules.txt anew from the word lists and liblouis")

// seg is one sign in a written word.
type seg struct {
	pos   int
	print string
}

// align finds the signs of which cells, a written w, consists.
func (s *signs) align(w, cells string) []seg {
	type key struct{ i, j int }
	dead := map[key]bool{}
	var segs []seg
	var walk func(i, j int) bool
	walk = func(i, j int) bool {
		if i == len(w) {
			return j == len(cells)
		}
		if j == len(cells) || dead[key{i, j}] {
			return false
		}
		if w[i] >= 'a' && w[i] <= 'z' {
			for _, g := range s.byLetter[w[i]-'a'] {
				if strings.HasPrefix(w[i:], g.print) && strings.HasPrefix(cells[j:], g.cells) {
					segs = append(segs, seg{i, g.print})
					if walk(i+len(g.print), j+len(g.cells)) {
						return true
					}
					segs = segs[:len(segs)-1]
				}
			}
		}
		if w[i] == cells[j] && walk(i+1, j+1) {
			return true
		}
		dead[key{i, j}] = true
		return false
	}
	if !walk(0, 0) {
		return nil
	}
	return segs
}

// occurrence is one place of a sign's print in a word.
type occurrence struct {
	w      string
	i, end int
}

// learner finds rules under which the writer writes words as liblouis does.
type learner struct {
	s       *signs
	want    map[string]string
	words   []string
	used    map[string][]occurrence // by print of the sign: where liblouis uses it
	unused  map[string][]occurrence
	rules   map[string]map[rule]int // by print of the sign: support
	aligned map[string][]seg
	found   map[string][]rule
	least   int // words a rule must explain; 1 takes rules for one word
}

func newLearner(s *signs, words []string, cells [][]byte) *learner {
	l := &learner{s: s, want: map[string]string{}, used: map[string][]occurrence{}, unused: map[string][]occurrence{}, rules: map[string]map[rule]int{}, aligned: map[string][]seg{}}
	s.setRules(nil)
	for i, w := range words {
		c := string(cells[i])
		segs := s.align(w, c)
		if _, ok := s.short[w]; ok || segs == nil && c != w {
			continue
		}
		l.words = append(l.words, w)
		l.want[w], l.aligned[w] = c, segs
		for _, g := range s.groups {
			for at := 0; at+len(g.print) <= len(w); at++ {
				if w[at:at+len(g.print)] != g.print {
					continue
				}
				o := occurrence{w, at, at + len(g.print)}
				if hasSeg(segs, at, g.print) {
					l.used[g.print] = append(l.used[g.print], o)
				} else {
					l.unused[g.print] = append(l.unused[g.print], o)
				}
			}
		}
	}
	return l
}

func hasSeg(segs []seg, pos int, print string) bool {
	for _, s := range segs {
		if s.pos == pos && s.print == print {
			return true
		}
	}
	return false
}

// round finds where the writer is wrong now and adds rules; it returns how
// many words were wrong.
func (l *learner) round() int {
	forbid, use := map[string][]occurrence{}, map[string][]occurrence{}
	wrong := 0
	for _, w := range l.words {
		got := l.s.word(w)
		if got == l.want[w] {
			continue
		}
		wrong++
		mine := l.s.align(w, got)
		for _, g := range mine {
			if !hasSeg(l.aligned[w], g.pos, g.print) {
				forbid[g.print] = append(forbid[g.print], occurrence{w, g.pos, g.pos + len(g.print)})
			}
		}
		for _, g := range l.aligned[w] {
			if !hasSeg(mine, g.pos, g.print) && !l.s.fitsAt(g.print, w, g.pos) {
				use[g.print] = append(use[g.print], occurrence{w, g.pos, g.pos + len(g.print)})
			}
		}
	}
	for p, errs := range forbid {
		l.learn(p, errs, l.used[p], false)
	}
	for p, errs := range use {
		l.learn(p, errs, l.unused[p], true)
	}
	l.install()
	return wrong
}

func (s *signs) fitsAt(print, w string, i int) bool {
	for _, g := range s.byLetter[print[0]-'a'] {
		if g.print == print {
			return s.fits(&g, w, i)
		}
	}
	return false
}

// learn covers the wrong places of one sign by contexts that no place in
// against has: first those that cover most.
func (l *learner) learn(print string, errs, against []occurrence, use bool) {
	if l.rules[print] == nil {
		l.rules[print] = map[rule]int{}
	}
	left := errs
	for len(left) > 0 {
		best, bestN := rule{}, 0
		tried := map[rule]bool{}
		for _, o := range left {
			for _, r := range contexts(o, use) {
				if use && len(print) > 3 && (r.before != "^"+o.w[:o.i] || len(r.after) < 2 && r.after != "$") {
					continue // shortforms: listed words only
				}
				if tried[r] {
					continue
				}
				tried[r] = true
				if n := covers(r, left); n > bestN || n == bestN && better(r, best) {
					if covers(r, against) == 0 {
						best, bestN = r, n
					}
				}
			}
		}
		if bestN == 0 || bestN < l.least {
			return
		}
		if bestN == 1 {
			for _, o := range left {
				l.rules[print][single(o, against, use)]++
			}
			return
		}
		l.rules[print][best] = bestN
		var rest []occurrence
		for _, o := range left {
			if !best.holds(o.w, o.i, o.end) {
				rest = append(rest, o)
			}
		}
		left = rest
	}
}

func better(a, b rule) bool {
	if d := len(a.before) + len(a.after) - len(b.before) - len(b.after); d != 0 {
		return d > 0
	}
	return a.before+"("+a.after < b.before+"("+b.after
}

// single makes the rule of a place that shares its context with no other: the
// word's start up to three letters after the sign, or more where needed.
func single(o occurrence, against []occurrence, use bool) rule {
	for n := 3; o.end+n < len(o.w); n++ {
		r := rule{"^" + o.w[:o.i], o.w[o.end : o.end+n], use}
		if use && n < 4 {
			continue
		}
		if covers(r, against) == 0 {
			return r
		}
	}
	r := rule{"^" + o.w[:o.i], o.w[o.end:], use}
	if covers(r, against) == 0 && !use {
		return r
	}
	r.after += "$"
	return r
}

func covers(r rule, os []occurrence) int {
	n := 0
	for _, o := range os {
		if r.holds(o.w, o.i, o.end) {
			n++
		}
	}
	return n
}

// contexts lists the rules that would hold at o, three letters or more in all.
func contexts(o occurrence, use bool) []rule {
	var out []rule
	before := []string{""}
	for a := 1; a <= 5 && a <= o.i; a++ {
		before = append(before, o.w[o.i-a:o.i])
	}
	before = append(before, "^"+o.w[:o.i])
	after := []string{""}
	for b := 1; b <= 5 && o.end+b <= len(o.w); b++ {
		after = append(after, o.w[o.end:o.end+b])
	}
	after = append(after, o.w[o.end:]+"$")
	for _, b := range before {
		for _, a := range after {
			if len(b)+len(a) >= 2 {
				out = append(out, rule{b, a, use})
			}
		}
	}
	return out
}

// install gives the writer the rules found so far, the longest first.
func (l *learner) install() {
	l.found = map[string][]rule{}
	for p, rs := range l.rules {
		for r := range rs {
			l.found[p] = append(l.found[p], r)
		}
		sortRules(l.found[p])
	}
	l.s.setRules(l.found)
}

func sortRules(rs []rule) {
	sort.Slice(rs, func(i, j int) bool {
		a, b := len(rs[i].before)+len(rs[i].after), len(rs[j].before)+len(rs[j].after)
		if a != b {
			return a > b
		}
		return rs[i].before+"("+rs[i].after < rs[j].before+"("+rs[j].after
	})
}

func TestMakeRules(t *testing.T) {
	if !*update {
		t.Skip("run with -update to make rules.txt anew")
	}
	words, more := trainingWords(t)
	lines := map[string]string{}
	for _, c := range []Code{UEB, SEB, EBAE} {
		l := newLearner(buildSigns(c), append(words[:len(words):len(words)], more...), louisCells(t, Variant{c, true, false}, append(words[:len(words):len(words)], more...)))
		all := l.words
		for i := 0; i < 9; i++ {
			l.least, l.words = 4, all
			if i > 3 { // the common words one by one
				l.least, l.words = 1, onlyOf(all, words)
			}
			n := l.round()
			t.Logf("%v round %d: %d words of %d differ", c, i, n, len(l.words))
		}
		for p, rs := range l.found {
			for _, r := range rs {
				plus := ""
				if r.use {
					plus = "+"
				}
				k := plus + r.before + "(" + p + ")" + r.after
				lines[k] += c.String()[:1]
			}
		}
	}
	var out []string
	for k, v := range lines {
		out = append(out, k+" "+v)
	}
	sort.Slice(out, func(i, j int) bool {
		// by sign; within one sign the longest context first, as it is tried
		a, b := signIn(out[i]), signIn(out[j])
		if a != b {
			return a < b
		}
		x, y := strings.Trim(out[i], "+USE "), strings.Trim(out[j], "+USE ")
		if len(x) != len(y) {
			return len(x) > len(y)
		}
		return out[i] < out[j]
	})
	head := fmt.Sprintf("%s\n", rulesHead)
	if err := os.WriteFile("rules.txt", []byte(head+strings.Join(out, "\n")+"\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	t.Logf("%d rules, %d bytes", len(out), len(head)+len(strings.Join(out, "\n")))
}

// trainingWords returns the common words of the British and American lists, and
// the rare words of the larger list without the tenth that stays unseen.
func trainingWords(t testing.TB) (common, rare []string) {
	seen := map[string]bool{}
	for _, l := range [][2]string{{"british-english", "wbritish"}, {"american-english", "wamerican"}} {
		for _, w := range wordList(t, l[0], l[1]) {
			if !seen[w] {
				seen[w] = true
				common = append(common, w)
			}
		}
	}
	for _, w := range wordList(t, "british-english-huge", "wbritish-huge") {
		if !seen[w] && !heldOut(w) {
			rare = append(rare, w)
		}
	}
	return common, rare
}

// heldOut picks one rare word in ten, with all words of the same first five
// letters, so that no form of it is seen.
func heldOut(w string) bool {
	h := fnv.New32a()
	h.Write([]byte(w[:min(5, len(w))]))
	return h.Sum32()%10 == 0
}

func onlyOf(words, keep []string) []string {
	in := map[string]bool{}
	for _, w := range keep {
		in[w] = true
	}
	var out []string
	for _, w := range words {
		if in[w] {
			out = append(out, w)
		}
	}
	return out
}

func signIn(l string) string { return l[strings.IndexByte(l, '(') : strings.IndexByte(l, ')')+1] }

const rulesHead = `# Where English words do not take a groupsign that would fit, or take one (+)
# that would not be guessed: the letters around the sign, the sign in round
# brackets, ^ and $ for the ends of the word, and the codes U S E it holds for.
# Facts about words, found by go test -run MakeRules -update from liblouis'
# braille of the word lists wbritish and wamerican, and of wbritish-huge where a
# rule explains four words or more. The first rule that holds decides.`
