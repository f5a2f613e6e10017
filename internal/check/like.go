package check

import (
	"bytes"
	"hash/maphash"
	"slices"
	"sort"

	"continuo/internal/cell"
)

// likeness finds words of left-out lines again in the text that is kept. It
// knows the kept text as one stream of bare words, and the places in it of
// every word that some left-out line holds.
type likeness struct {
	stream [][]byte // spans of the sources or copies, after bare
	at     []int    // where each is from, in reading order
	places map[uint64][]int32
	needed [64]uint64  // a bit for each mark of a word of places
	few    [][2]int32  // kept lines of a few words, in stream
	lines  []shortLine // of few, made when first asked for
	memo   map[asked]bool
	budget int // words and cells that may still be compared, against hostile files
	size   int // about how many words are to come
	seed   maphash.Seed
}

// shortLine is a kept line of a few words, these joined.
type shortLine struct {
	text []byte
	at   int
}

// asked is a question that was answered before.
type asked struct {
	words  string
	before int
}

func newLikeness() *likeness {
	return &likeness{places: map[uint64][]int32{}, memo: map[asked]bool{}, budget: 20_000_000, seed: maphash.MakeSeed()}
}

func (k *likeness) hash(w []byte) uint64 { return maphash.Bytes(k.seed, w) }

// mark is a number below 4096 that equal words share: of most words it tells
// without a hash that they are not needed.
func mark(w []byte) uint {
	return (uint(w[0])*61 + uint(w[len(w)/2])*17 + uint(w[len(w)-1])*5 + uint(len(w))) % 4096
}

// need makes the words of a left-out text findable; call it before add.
func (k *likeness) need(text []byte) {
	for _, w := range words(text) {
		if h := k.hash(w); k.places[h] == nil {
			k.places[h] = []int32{}
			m := mark(w)
			k.needed[m/64] |= 1 << (m % 64)
		}
	}
}

// maxShort is how many distinct short kept lines are held for comparison
// letter by letter.
const maxShort = 20000

// idle tells that nothing will be looked for.
func (k *likeness) idle() bool { return len(k.places) == 0 }

// add takes the words of the kept text of one place into the stream; places
// must rise.
func (k *likeness) add(ws [][]byte, at int) {
	if k.idle() {
		return
	}
	if k.stream == nil {
		k.stream, k.at = make([][]byte, 0, k.size), make([]int, 0, k.size)
	}
	from := int32(len(k.stream))
	for _, w := range ws {
		if m := mark(w); k.needed[m/64]&(1<<(m%64)) != 0 {
			h := k.hash(w)
			if places, ok := k.places[h]; ok {
				k.places[h] = append(places, int32(len(k.stream)))
			}
		}
		k.stream = append(k.stream, w)
		k.at = append(k.at, at)
	}
	if len(ws) > 0 && len(ws) <= 7 {
		k.few = append(k.few, [2]int32{from, from + int32(len(ws))})
	}
}

// shortLines are the distinct kept lines of a few words, where they stand first.
func (k *likeness) shortLines() []shortLine {
	if k.lines != nil || len(k.few) == 0 {
		return k.lines
	}
	seen := make(map[string]bool, len(k.few))
	for _, x := range k.few {
		line := bytes.Join(k.stream[x[0]:x[1]], nil)
		if seen[string(line)] {
			continue
		}
		if seen[string(line)] = true; len(seen) > maxShort {
			break
		}
		k.lines = append(k.lines, shortLine{line, k.at[x[0]]})
	}
	return k.lines
}

// maxLooked is how many cells of a line are compared. Lines of braille pages
// have 40.
const maxLooked = 160

// found tells whether the words of text stand in the kept text before a place,
// by likeness: three quarters of their cells, or all of up to three words, in
// order within a few words of one another. Capitals, misspelling and
// shortening do not matter.
func (k *likeness) found(text []byte, before int) bool {
	ws := words(text[:min(len(text), maxLooked)])
	q := asked{string(bytes.Join(ws, []byte{' '})), before}
	if q.words == "" {
		return false
	}
	yes, ok := k.memo[q]
	if !ok {
		end := sort.SearchInts(k.at, before)
		yes = k.near(ws, end) || k.spelt(ws, before)
		k.memo[q] = yes
	}
	return yes
}

// near looks around the places of the rarest words, in the stream up to end.
func (k *likeness) near(ws [][]byte, end int) bool {
	type anchor struct {
		word   int
		places []int32
	}
	var as []anchor
	for i, w := range ws {
		if at := k.places[k.hash(w)]; len(at) > 0 {
			as = append(as, anchor{i, at})
		}
	}
	sort.SliceStable(as, func(i, j int) bool { return len(as[i].places) < len(as[j].places) })
	slack, want := 2+len(ws)/4, size(ws)
	if len(ws) > 3 {
		want -= want / 4
	}
	for _, a := range as[:min(len(as), 5)] {
		for _, p := range a.places[:min(len(a.places), 400)] {
			if k.budget < 0 || int(p) >= end {
				break
			}
			from := max(0, int(p)-a.word-slack)
			to := min(end, int(p)+len(ws)-a.word+slack)
			k.budget -= len(ws) * (to - from)
			if common(ws, k.stream[from:to]) >= want {
				return true
			}
		}
	}
	return false
}

func size(ws [][]byte) int {
	n := 0
	for _, w := range ws {
		n += len(w)
	}
	return n
}

// common is the number of cells of the words of a that stand in b in the same
// order.
func common(a, b [][]byte) int {
	row := make([]int, len(b)+1)
	for _, w := range a {
		diagonal := 0
		for j, x := range b {
			best := max(row[j+1], row[j])
			if diagonal+len(w) > best && alike(w, x) {
				best = diagonal + len(w)
			}
			diagonal, row[j+1] = row[j+1], best
		}
	}
	return row[len(b)]
}

// alike tells whether two bare words are the same, one a beginning of the
// other of three cells or more, or one slip in four cells apart.
func alike(a, b []byte) bool {
	if bytes.Equal(a, b) {
		return true
	}
	short, long := a, b
	if len(short) > len(long) {
		short, long = long, short
	}
	if len(short) >= 3 && bytes.HasPrefix(long, short) {
		return true
	}
	if len(long) > 40 {
		return false
	}
	limit := len(long) / 4
	return limit > 0 && len(long)-len(short) <= limit && (distance(a, b, limit) <= limit || exchanged(a, b))
}

// exchanged tells whether two neighbouring cells of a stand in the other order in
// b, the commonest slip of the hand.
func exchanged(a, b []byte) bool {
	if len(a) != len(b) {
		return false
	}
	i := 0
	for i < len(a) && a[i] == b[i] {
		i++
	}
	return i+1 < len(a) && a[i] == b[i+1] && a[i+1] == b[i] && bytes.Equal(a[i+2:], b[i+2:])
}

// distance is how many cells must be changed, added or taken away to make b of
// a; more than limit may come back as limit+1.
func distance(a, b []byte, limit int) int {
	var space [64]int
	row := space[:]
	if len(b)+1 > len(row) {
		row = make([]int, len(b)+1)
	}
	for j := range len(b) + 1 {
		row[j] = j
	}
	for i := range a {
		diagonal, least := row[0], i+1
		row[0] = i + 1
		for j := range b {
			cost := diagonal
			if a[i] != b[j] {
				cost++
			}
			diagonal = row[j+1]
			row[j+1] = min(cost, row[j]+1, diagonal+1)
			least = min(least, row[j+1])
		}
		if least > limit {
			return limit + 1
		}
	}
	return row[len(b)]
}

// spelt compares the words as one string with the short kept lines, for a
// wording where every word is spelt in another way.
func (k *likeness) spelt(ws [][]byte, before int) bool {
	line := bytes.Join(ws, nil)
	if len(line) < 5 || len(ws) > 7 {
		return false
	}
	limit := min(len(line)/5, 2) // "chapter two" is not "chapter six"
	for _, l := range k.shortLines() {
		if d := len(l.text) - len(line); d > limit || -d > limit || l.at >= before {
			continue
		}
		if k.budget -= len(line); k.budget < 0 {
			return false
		}
		if distance(line, l.text, limit) <= limit || exchanged(line, l.text) {
			return true
		}
	}
	return false
}

// group is the wording of lines of one class, to find lines that are like
// another one.
type group struct {
	count map[string]int
	order []string
}

// key is the wording of a line with its numbers taken out.
func key(text []byte) string {
	var out []byte
	text = text[:min(len(text), maxLooked)]
	for _, f := range cell.Fields(text) {
		tok := text[f[0]:f[1]]
		if isLabel(tok) && bytes.IndexByte(tok, '#') >= 0 {
			continue
		}
		out = append(out, bare(tok)...)
	}
	return string(out)
}

func (g *group) add(text []byte) {
	if g.count == nil {
		g.count = map[string]int{}
	}
	k := key(text)
	if g.count[k]++; g.count[k] == 1 {
		g.order = append(g.order, k)
	}
}

// seal puts the commonest wordings first.
func (g *group) seal() {
	slices.SortStableFunc(g.order, func(a, b string) int { return g.count[b] - g.count[a] })
}

// twin tells whether another line of the group has nearly this wording; own is
// how many lines of the group text itself is.
func (g *group) twin(text []byte, own int) bool {
	k := key(text)
	if k == "" {
		return false
	}
	if g.count[k] > own {
		return true
	}
	limit := len(k) / 3
	for _, o := range g.order[:min(len(g.order), 200)] {
		if o == k || o == "" {
			continue
		}
		short, long := o, k
		if len(short) > len(long) {
			short, long = long, short
		}
		if len(short) >= 4 && len(long) >= len(short) && long[:len(short)] == short {
			return true
		}
		if len(long)-len(short) <= limit && distance([]byte(o), []byte(k), limit) <= limit || len(k) >= 4 && exchanged([]byte(o), []byte(k)) {
			return true
		}
	}
	return false
}
