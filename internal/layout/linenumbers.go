package layout

import (
	"slices"

	"continuo/internal/cell"
)

// margin is the numbers at one margin of a volume's lines: those of numbered
// lines of verse, of numbered verses or of exercises grow by one step from
// each to the next, within pages too.
type margin struct {
	line  []int32
	value []int
	reach int // how many lines away a number tells of another
}

// dropLineNumbers takes out the candidates that share their line with text and
// go on a count at their margin: they are line numbers of the text, not page
// numbers. Lines of poetry are numbered at a margin, mostly every fifth (common
// practice).
func (n *numbers) dropLineNumbers(v *Volume) {
	edge := make([]bool, len(v.Lines))
	shared := false
	for i := range n.cands {
		edge[n.cands[i].line] = true
		shared = shared || !n.cands[i].alone
	}
	if !shared {
		return
	}
	left, right := v.margins(edge)
	n.dropMultiples(&left, TopLeft, BottomLeft)
	n.dropMultiples(&right, TopRight, BottomRight)
	ls, rs := left.step(), right.step()
	for found := true; found; { // one that is found may show the next
		found = false
		n.cands = slices.DeleteFunc(n.cands, func(c cand) bool {
			m, step := &right, rs
			if c.slot == TopLeft || c.slot == BottomLeft {
				m, step = &left, ls
			}
			if c.alone || c.label.Roman || c.label.Prefix != "" {
				return false
			}
			m.reach = 60
			near := m.goesOn(c.line, c.label.Value, step)
			if !near {
				m.reach = 120 // in double spacing
				near = m.goesOn(c.line, c.label.Value, step) && v.alternate(int(c.page))
			}
			if !near || n.neighbours(&c) >= 2 {
				return false
			}
			m.insert(c.line, c.label.Value)
			found = true
			return true
		})
	}
}

// dropMultiples takes out the candidates of two corners that share their line with text where the
// numbers at their margin within pages, ten at least, are all multiples of five, as they are, and none near
// them in their corner is the one before or after: poems whose lines are counted anew.
func (n *numbers) dropMultiples(m *margin, corners ...Slot) {
	high := 0
	for _, x := range m.value {
		if high = max(high, x); x%5 != 0 {
			return
		}
	}
	if len(m.value) < 10 {
		return
	}
	near := func(c *cand) bool {
		return slices.ContainsFunc(n.cands, func(d cand) bool {
			return d.slot == c.slot && abs(int(d.page-c.page)) <= 4 && (d.label.Prefix != "" || d.label.Value != c.label.Value && abs(d.label.Value-c.label.Value) <= 4)
		})
	}
	keep := n.cands[:0:0]
	for i := range n.cands {
		c := &n.cands[i]
		if l := c.label; !slices.Contains(corners, c.slot) || c.alone || l.Roman || l.Prefix != "" || l.Suffix != "" || l.Value%5 != 0 || l.Value > high || near(c) {
			keep = append(keep, *c)
			continue
		}
		m.insert(c.line, c.label.Value)
	}
	n.cands = keep
}

// neighbours counts the candidates at the same end of the pages, on the two pages before and after
// and those four away, where right-hand pages alone may have numbers, that count the pages with this
// one: then it is a page number, though a line number could stand there too. None where none of them
// is on the same side of the paper.
func (n *numbers) neighbours(c *cand) int {
	hits, side := 0, false
	for i := range n.cands {
		d := &n.cands[i]
		if d.slot/BottomLeft != c.slot/BottomLeft || d.label.Roman != c.label.Roman || d.label.Prefix != c.label.Prefix {
			continue
		}
		if far := abs(int(d.page - c.page)); far == 0 || far > 2 && far != 4 {
			continue
		}
		if d.label.Value-int(d.page) == c.label.Value-int(c.page) {
			hits++
			side = side || (d.page-c.page)%2 == 0
		}
	}
	if !side {
		return 0
	}
	return hits
}

// margins collects the plain numbers at the margins of lines that are no edge
// of their page, set off from text by two blanks.
func (v *Volume) margins(edge []bool) (left, right margin) {
	for i := range v.Lines {
		if edge[i] {
			continue
		}
		t := v.Raw(int32(i))
		from, indent := lastToken(t), cell.Indent(t)
		if from <= indent || from >= len(t) {
			continue
		}
		if gapBefore(t, from) >= 2 {
			right.add(int32(i), t[from:])
		}
		if to := firstTokenEnd(t, indent); indent <= 1 && gapAfter(t, to) >= 2 {
			left.add(int32(i), t[indent:to])
		}
	}
	return left, right
}

func (m *margin) add(line int32, tok []byte) {
	if l, ok := cell.ParseLabel(tok); ok && !l.Roman && l.Prefix == "" && l.Suffix == "" && l.Last == l.Value {
		m.line = append(m.line, line)
		m.value = append(m.value, l.Value)
	}
}

func (m *margin) insert(line int32, value int) {
	k, _ := slices.BinarySearch(m.line, line)
	m.line = slices.Insert(m.line, k, line)
	m.value = slices.Insert(m.value, k, value)
}

// step is by how much the numbers of a margin grow most of the time; 0 when
// there are fewer than five, they do not count, or they count by one, as pages
// do.
func (m *margin) step() int {
	count := map[int]int{}
	for i := 1; i < len(m.value); i++ {
		if d := m.value[i] - m.value[i-1]; d > 0 && d <= 20 {
			count[d]++
		}
	}
	best := 0
	for d, c := range count {
		if c > count[best] || c == count[best] && d < best {
			best = d
		}
	}
	if len(m.value) < 5 || best < 2 || count[best]*2 < len(m.value)-1 {
		return 0
	}
	return best
}

// goesOn reports whether a number on a line goes on the count of the numbers
// near it, by the step of the margin, by five or by ten.
func (m *margin) goesOn(line int32, value, step int) bool {
	return step > 0 && m.counts(line, value, step) || m.counts(line, value, 5) || m.counts(line, value, 10)
}

// counts reports whether a number follows one number and comes before another,
// or follows two or comes before two, each a step apart; one number may lack on either side of one
// between two.
func (m *margin) counts(line int32, value, step int) bool {
	if value%5 != 0 && step%5 == 0 {
		return false
	}
	k, _ := slices.BinarySearch(m.line, line)
	if m.has(k-1, line, value) || m.has(k, line, value) {
		return false // the line of that number is another
	}
	hits := 0
	for d := 1; d <= 2 && m.has(k-d, line, value-d*step) && m.evenly(line, k-1, k-2); d++ {
		hits++
	}
	for d := 1; d <= 2 && m.has(k+d-1, line, value+d*step) && m.evenly(line, k, k+1); d++ {
		hits++
	}
	before := m.has(k-1, line, value-step) || m.has(k-1, line, value-2*step)
	after := m.has(k, line, value+step) || m.has(k, line, value+2*step)
	return hits >= 2 || before && after
}

// evenly reports whether a line is not much further from the line of number k than that is from number
// far: numbered lines come at even steps, a stanza or a page end between them.
func (m *margin) evenly(line int32, k, far int) bool {
	if k < 0 || far < 0 || k >= len(m.line) || far >= len(m.line) {
		return true
	}
	return abs(int(m.line[k]-line)) <= 3*abs(int(m.line[k]-m.line[far]))+12
}

// has reports whether number k is value and stands within reach.
func (m *margin) has(k int, line int32, value int) bool {
	return k >= 0 && k < len(m.value) && m.value[k] == value && abs(int(m.line[k]-line)) <= m.reach
}

// dropHigh takes out the candidates at the end of a page that stop short of the
// row on which the numbers at the foot of the volume's pages stand, share their
// line with text and count no pages with another near them: a contents entry
// on a page that is not full ends in such a number. Two numbers on such a line are an entry where
// the page has that row, and nothing on it.
func (n *numbers) dropHigh(v *Volume) {
	row := func(c *cand) int32 { return c.line - v.Pages[c.page].First }
	count := map[int32]int{}
	all := 0
	var low int32
	for i := range n.cands {
		if c := &n.cands[i]; c.slot >= BottomLeft {
			count[row(c)]++
			all++
		}
	}
	for r, k := range count {
		if k > count[low] || k == count[low] && r > low {
			low = r
		}
	}
	if count[low] < 3 || count[low]*5 < all*3 {
		return
	}
	before := slices.Clone(n.cands)
	n.cands = slices.DeleteFunc(n.cands, func(c cand) bool {
		return c.slot >= BottomLeft && row(&c) < low-2 && (!c.alone && !n.countsNear(&c) || twins(before, &c) && v.Pages[c.page].First+low < v.Pages[c.page].Last)
	})
}

// twins reports whether another candidate stands on the line of one: an entry of a contents list that is a number
// alone, and its page.
func twins(all []cand, c *cand) bool {
	return slices.ContainsFunc(all, func(d cand) bool { return d.line == c.line && d.slot != c.slot })
}

// countsNear reports whether another candidate of the slot, on one of the four
// pages before or after, is as far from the number of its page.
func (n *numbers) countsNear(c *cand) bool {
	for i := range n.cands {
		d := &n.cands[i]
		if d.slot != c.slot || d.page == c.page || abs(int(d.page-c.page)) > 4 || d.label.Roman != c.label.Roman || d.label.Prefix != c.label.Prefix {
			continue
		}
		if d.label.Value-int(d.page) == c.label.Value-int(c.page) {
			return true
		}
	}
	return false
}
