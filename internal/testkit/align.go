package testkit

import (
	"sort"
	"strings"
)

// align pairs the words of the truth with words of the edition in order, as
// many as it can: anchors of word runs that occur once on both sides first,
// then the gaps between them.
func align(want []Want, got []etok) []int {
	norm := map[string]string{}
	plain := map[string]bool{}
	for _, w := range want {
		plain[w.Cells] = true
	}
	for _, w := range want {
		for _, a := range w.Alt {
			if !plain[a] {
				norm[a] = w.Cells
			}
		}
	}
	a := make([]string, len(want))
	for i, w := range want {
		a[i] = w.Cells
	}
	b := make([]string, len(got))
	for i, g := range got {
		b[i] = g.s
		if n, ok := norm[g.s]; ok {
			b[i] = n
		}
	}
	to := make([]int, len(want))
	for i := range to {
		to[i] = -1
	}
	eq := func(i, j int) bool {
		if a[i] == b[j] {
			return true
		}
		for _, x := range want[i].Alt {
			if x == got[j].s {
				return true
			}
		}
		return false
	}
	al := &aligner{a, b, to, eq}
	al.run(0, len(a), 0, len(b), 6)
	al.slide()
	return to
}

type aligner struct {
	a, b []string
	to   []int
	eq   func(i, j int) bool
}

// slide moves a lone pair to the right where it touches the next pair: of two
// words alike, the one beside its neighbour is meant. The last pair, which run takes
// from the very end, moves to the left where it touches the pair before.
func (al *aligner) slide() {
	if i := len(al.to) - 1; i > 0 && al.to[i-1] >= 0 && al.to[i] > al.to[i-1]+1 && al.eq(i, al.to[i-1]+1) {
		al.to[i] = al.to[i-1] + 1
	}
	for i := len(al.to) - 2; i >= 0; i-- {
		j, next := al.to[i], al.to[i+1]
		if j < 0 || next <= j+1 || i > 0 && al.to[i-1] >= 0 && al.to[i-1] == j-1 {
			continue
		}
		if al.eq(i, next-1) {
			al.to[i] = next - 1
		}
	}
}

func (al *aligner) run(a0, a1, b0, b1, gram int) {
	for a0 < a1 && b0 < b1 && al.eq(a0, b0) {
		al.to[a0] = b0
		a0, b0 = a0+1, b0+1
	}
	for a0 < a1 && b0 < b1 && al.eq(a1-1, b1-1) {
		a1, b1 = a1-1, b1-1
		al.to[a1] = b1
	}
	if a0 == a1 || b0 == b1 {
		return
	}
	if (a1-a0)*(b1-b0) <= 250000 {
		al.table(a0, a1, b0, b1)
		return
	}
	anchors := al.anchors(a0, a1, b0, b1, gram)
	if len(anchors) == 0 {
		if gram > 1 {
			al.run(a0, a1, b0, b1, gram-1)
		}
		return
	}
	i, j := a0, b0
	for _, k := range anchors {
		if k[0] < i || k[1] < j {
			continue
		}
		al.run(i, k[0], j, k[1], gram)
		i, j = k[0], k[1]
		for i < a1 && j < b1 && al.eq(i, j) {
			al.to[i] = j
			i, j = i+1, j+1
		}
	}
	al.run(i, a1, j, b1, gram)
}

// anchors returns runs of gram words that occur once on both sides, in an
// order that rises on both.
func (al *aligner) anchors(a0, a1, b0, b1, gram int) [][2]int {
	once := func(s []string, from, to int) map[string]int {
		m := map[string]int{}
		for i := from; i+gram <= to; i++ {
			k := strings.Join(s[i:i+gram], " ")
			if _, seen := m[k]; seen {
				m[k] = -1
			} else {
				m[k] = i
			}
		}
		return m
	}
	in := once(al.b, b0, b1)
	var pairs [][2]int
	for k, i := range once(al.a, a0, a1) {
		if j, ok := in[k]; ok && i >= 0 && j >= 0 {
			pairs = append(pairs, [2]int{i, j})
		}
	}
	sort.Slice(pairs, func(x, y int) bool { return pairs[x][0] < pairs[y][0] })
	return rising(pairs)
}

// rising returns the longest run of pairs that rises in the second number.
func rising(p [][2]int) [][2]int {
	var tails []int
	back := make([]int, len(p))
	for i := range p {
		k := sort.Search(len(tails), func(x int) bool { return p[tails[x]][1] >= p[i][1] })
		back[i] = -1
		if k > 0 {
			back[i] = tails[k-1]
		}
		if k == len(tails) {
			tails = append(tails, i)
		} else {
			tails[k] = i
		}
	}
	var out [][2]int
	if len(tails) > 0 {
		for i := tails[len(tails)-1]; i >= 0; i = back[i] {
			out = append(out, p[i])
		}
	}
	for i, j := 0, len(out)-1; i < j; i, j = i+1, j-1 {
		out[i], out[j] = out[j], out[i]
	}
	return out
}

// table aligns two short runs by their longest common subsequence.
func (al *aligner) table(a0, a1, b0, b1 int) {
	n, m := a1-a0, b1-b0
	t := make([]int32, (n+1)*(m+1))
	for i := n - 1; i >= 0; i-- {
		for j := m - 1; j >= 0; j-- {
			best := max(t[(i+1)*(m+1)+j], t[i*(m+1)+j+1])
			if al.eq(a0+i, b0+j) {
				best = max(best, t[(i+1)*(m+1)+j+1]+1)
			}
			t[i*(m+1)+j] = best
		}
	}
	for i, j := 0, 0; i < n && j < m; {
		switch {
		case t[i*(m+1)+j] == t[i*(m+1)+j+1]:
			j++
		case al.eq(a0+i, b0+j) && t[i*(m+1)+j] == t[(i+1)*(m+1)+j+1]+1:
			al.to[a0+i] = b0 + j
			i, j = i+1, j+1
		default:
			i++
		}
	}
}
