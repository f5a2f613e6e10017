package finders

// tree holds wanted strings, each the text from an offset on, branching only as
// deep as strings differ. Walking it from every offset of the text, from the
// first to the last, tells of each string how long its beginning must be to be
// found first at its own offset.
type tree struct {
	code  []byte
	spans []span
	nodes []node
	next  []int32 // strings that end at the same node, or are equal
	seen  []int32 // of each string that is a leaf: cells in which an earlier offset agrees with it
}

// span is a string of the text.
type span struct{ from, to int32 }

// node is a place in the tree: first is the offset from which it was reached
// first, child the node (above 0) or string (below 0, its index complemented)
// for each next cell.
type node struct {
	first int32
	depth int32
	ends  int32 // first of the strings that end here, -1 for none
	child [64]int32
}

const never = int32(-1)

// firsts returns, for each string, the number of cells that its beginning must
// have at least to be found first at its own offset; more than it has when it
// cannot.
func firsts(code []byte, spans []span) []int32 {
	t := &tree{code: code, spans: spans, next: make([]int32, len(spans)), seen: make([]int32, len(spans))}
	t.grow(0)
	for i := range spans {
		t.add(int32(i))
	}
	t.scan()
	need := make([]int32, len(spans))
	for i := range spans {
		need[i] = t.need(int32(i))
	}
	return need
}

// grow adds a node.
func (t *tree) grow(depth int32) int32 {
	t.nodes = append(t.nodes, node{first: never, depth: depth, ends: -1})
	return int32(len(t.nodes) - 1)
}

// add puts string i into the tree. A string of no cells, or with a byte that
// is no cell, is left out: nothing finds it.
func (t *tree) add(i int32) {
	t.next[i] = -1
	s := t.code[t.spans[i].from:t.spans[i].to]
	at := int32(0)
	for d, c := range s {
		if c == foreign {
			return
		}
		switch k := t.nodes[at].child[c]; {
		case k > 0:
			at = k
		case k == 0:
			t.nodes[at].child[c] = ^i
			return
		default:
			at = t.split(at, c, ^k, int32(d)+1)
		}
	}
	if len(s) > 0 {
		t.next[i], t.nodes[at].ends = t.nodes[at].ends, i
	}
}

// split puts a node in place of string k, the child for c of a node.
func (t *tree) split(at int32, c byte, k, depth int32) int32 {
	n := t.grow(depth)
	t.nodes[at].child[c] = n
	x := t.spans[k]
	if x.from+depth == x.to {
		t.next[k], t.nodes[n].ends = t.nodes[n].ends, k
	} else if d := t.code[x.from+depth]; d != foreign {
		t.nodes[n].child[d] = ^k
	}
	return n
}

// scan walks the tree from every offset.
func (t *tree) scan() {
	for q := range t.code {
		t.walk(int32(q))
	}
}

func (t *tree) walk(q int32) {
	at, i := int32(0), q
	for int(i) < len(t.code) {
		c := t.code[i]
		if c == foreign {
			return
		}
		k := t.nodes[at].child[c]
		i++
		switch {
		case k == 0:
			return
		case k < 0:
			t.agree(^k, q, i-q)
			return
		}
		at = k
		if n := &t.nodes[at]; n.first == never {
			n.first = q
		}
	}
}

// agree takes down in how many cells the text from offset q agrees with string
// k; d of them are known.
func (t *tree) agree(k, q, d int32) {
	x := t.spans[k]
	if q >= x.from {
		return
	}
	for x.from+d < x.to && int(q+d) < len(t.code) && t.code[x.from+d] == t.code[q+d] && t.code[q+d] != foreign {
		d++
	}
	t.seen[k] = max(t.seen[k], d)
}

// need is the least beginning of string i that no earlier offset has.
func (t *tree) need(i int32) int32 {
	x := t.spans[i]
	at := int32(0)
	none := x.to - x.from + 1
	for d := int32(0); x.from+d < x.to; d++ {
		c := t.code[x.from+d]
		if c == foreign {
			return none
		}
		k := t.nodes[at].child[c]
		if k <= 0 { // the string itself, alone from here on
			if d = max(t.seen[i], d); x.from+d < x.to && t.code[x.from+d] == foreign {
				return none
			}
			return d + 1
		}
		at = k
		if t.nodes[at].first == x.from {
			return d + 1
		}
	}
	return none
}
