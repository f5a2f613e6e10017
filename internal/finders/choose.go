package finders

import (
	"bytes"
	"sort"
)

// What strings cost: each word beyond the name, a blank after the last word
// (easily typed, but it must be known). And what they may be: their cost, cells
// in all, hits passed over, how far back a place may stand that is searched
// first, in cells.
const (
	wordCost  = 2
	blankCost = 1
	maxCost   = 8 * wordCost
	maxCells  = 40
	maxTimes  = 9
	maxReach  = 1 << 18
	maxBack   = 400 // headwords looked back over
)

// searchBudget and the size of the edition bound what is searched for strings
// from earlier places, in cells: a book of nothing but one heading ends too.
const searchBudget = 1 << 27

// candidate is a string and what it costs.
type candidate struct {
	span
	cost int
}

// chooser chooses a string for every target.
type chooser struct {
	text    *text
	targets []target
	list    *List
	need    []int32 // of each spot of each target, in order
	first   []int   // index in need of a target's first spot
	budget  int64   // cells that may still be searched for strings from earlier places
	places  []int   // targets with a string of their own that others may be searched from
}

func (c *chooser) choose() {
	var spans []span
	for _, t := range c.targets {
		c.first = append(c.first, len(spans))
		for _, s := range t.spots {
			spans = append(spans, span{s.from, min(s.to, s.from+maxCells)})
		}
	}
	c.need = firsts(c.text.code, spans)
	for i := range c.targets {
		c.fromStart(i, c.patience(i))
	}
	for i, f := range c.list.Finders {
		if f.Promised() && f.Class != Note && f.Class != Word {
			c.places = append(c.places, i)
		}
	}
	c.fromPlaces()
}

// patience is what a string from the start of the file may cost. Of a note or a
// headword the reader knows the name only.
func (c *chooser) patience(i int) int {
	switch c.targets[i].Class {
	case Note, Word:
		return blankCost
	}
	return maxCost
}

// fromStart gives target i the cheapest string that is found first at it.
func (c *chooser) fromStart(i, patience int) bool {
	t := &c.targets[i]
	best := candidate{cost: patience + 1}
	for k, s := range t.spots {
		need := c.need[c.first[i]+k]
		for _, x := range c.candidates(s) {
			if x.to-x.from < need {
				continue
			}
			if x.cost < best.cost || x.cost == best.cost && best.to > 0 && x.to-x.from < best.to-best.from {
				best = x
			}
			break // the next ones cost more
		}
	}
	if best.to == 0 {
		return false
	}
	f := &c.list.Finders[i]
	f.Search, f.From, f.Times = cells(c.text.code[best.from:best.to]), Start, 1
	if f.Blanks() > 0 {
		f.Plain = c.plain(i)
	}
	return true
}

// plain is the shortest string without blanks at its start that is found first
// at target i, for displays that take such blanks off what is typed; nil when
// there is none.
func (c *chooser) plain(i int) []byte {
	for k, s := range c.targets[i].spots {
		if c.text.code[s.from] == 0 {
			continue
		}
		for _, x := range c.candidates(s) {
			if x.to-x.from >= c.need[c.first[i]+k] {
				return cells(c.text.code[x.from:x.to])
			}
		}
	}
	return nil
}

// candidates are the strings that may begin at a spot, the cheapest first:
// whole words, the last one without the signs that may follow it, or with the
// blank that does.
func (c *chooser) candidates(s spot) []candidate {
	var out []candidate
	limit := min(s.to, s.from+maxCells)
	add := func(to int32, cost int) {
		if n := len(out); to-s.from >= s.least && to > s.from && to <= limit && (n == 0 || to > out[n-1].to) {
			out = append(out, candidate{span{s.from, to}, cost})
		}
	}
	cost := s.cost
	for i := c.text.indent(s.from, s.to); i < limit && cost <= maxCost; {
		end := i
		for end < s.to && c.text.code[end] != 0 {
			end++
		}
		if end-s.from >= s.least {
			bare := end
			for bare-1 > i && punctuation[c.text.code[bare-1]] {
				bare--
			}
			add(max(bare, s.from+s.least), cost)
			add(end, cost)
			if end < s.to && end >= s.known {
				add(end+1, cost+blankCost)
			}
			if end >= s.known {
				cost += wordCost
			}
		}
		for i = end; i < s.to && c.text.code[i] == 0; {
			i++
		}
	}
	return out
}

// punctuation is the cells that can follow a word and are no part of it.
var punctuation = func() (t [256]bool) {
	for _, c := range []byte("12346'80") {
		t[codes[c]] = true
	}
	return t
}()

// fromPlaces gives the targets that have no string yet one that is searched
// from an earlier place.
func (c *chooser) fromPlaces() {
	same := map[string]int{} // the last target of a name
	c.budget = searchBudget + 16*int64(len(c.text.code))
	for i := range c.targets {
		f := &c.list.Finders[i]
		name := string(f.Name)
		switch {
		case f.Promised():
		case len(c.targets[i].spots) == 0:
			f.Why = "its mark goes over a line end"
		case f.Class == Word && c.again(i, same, name):
		case c.near(i, c.patience(i)):
		case c.patience(i) < maxCost && (c.fromStart(i, maxCost) || c.near(i, maxCost)):
		case f.Class != Word && c.again(i, same, name):
		case f.Class == Word && c.counted(i):
		case c.budget < 0:
			f.Why = "too many places of the book have the same words"
		default:
			f.Why = "its words stand earlier too, and no place before it helps"
		}
		same[name] = i
	}
}

// again finds target i as the next hit of the string of an earlier target of
// the same name.
func (c *chooser) again(i int, same map[string]int, name string) bool {
	k, ok := same[name]
	if !ok {
		return false
	}
	f, before := &c.list.Finders[i], &c.list.Finders[k]
	if !before.Promised() || before.Times >= maxTimes {
		return false
	}
	s := encode(before.Search)
	from, at := c.hit(k), c.targets[i].at-int32(before.Blanks())
	if int(at)+len(s) > len(c.text.code) || !c.text.onLine(at, len(s)) || !bytes.Equal(c.text.code[at:int(at)+len(s)], s) || c.text.between(from+1, at, s) {
		return false
	}
	f.Search, f.From, f.Times = before.Search, before.From, before.Times+1
	return true
}

// counted finds a headword whose line holds no more than others before it do, as
// "court" of "court martial" on a narrow display: as the n-th hit, counted from
// the start.
func (c *chooser) counted(i int) bool {
	for _, s := range c.targets[i].spots {
		var x candidate
		for _, y := range c.candidates(s) {
			if y.cost <= c.patience(i) {
				x = y
			}
		}
		text := c.text.code[x.from:x.to]
		first := c.firstLike(i, text)
		if len(text) == 0 || first < 0 {
			continue
		}
		if n, ok := c.text.hits(first, x.to, text); ok && n <= maxTimes {
			f := &c.list.Finders[i]
			f.Search, f.From, f.Times = cells(text), Start, n
			return true
		}
	}
	return false
}

// firstLike is where text is found first from the start of the file, if that is
// at one of the headwords before target i; else -1.
func (c *chooser) firstLike(i int, text []byte) int32 {
	for k := i - 1; k >= max(0, i-maxBack); k-- {
		for n, s := range c.targets[k].spots {
			if c.targets[k].Class == Word && bytes.HasPrefix(c.text.code[s.from:s.to], text) && int(c.need[c.first[k]+n]) <= len(text) {
				return s.from
			}
		}
	}
	return -1
}

// hit is the offset at which the string of target i is found.
func (c *chooser) hit(i int) int32 {
	f, t := &c.list.Finders[i], &c.targets[i]
	s := encode(f.Search)
	for _, x := range t.spots {
		if int(x.to-x.from) >= len(s) && bytes.Equal(c.text.code[x.from:int(x.from)+len(s)], s) {
			return x.from
		}
	}
	return t.at
}

// near gives target i a string that is found first from an earlier place: the
// heading above it, the last heading, the last print page.
func (c *chooser) near(i, patience int) bool {
	t := &c.targets[i]
	for _, k := range c.before(i) {
		line := c.text.start[c.targets[k].Line-1]
		if c.targets[k].at >= t.at || t.at-line > maxReach || c.budget < 0 {
			continue
		}
		best := candidate{cost: patience + 1}
		for _, s := range t.spots {
			if x, ok := c.after(line, s, best.cost); ok {
				best = x
			}
		}
		if best.to > 0 {
			f := &c.list.Finders[i]
			f.Search, f.From, f.Times = cells(c.text.code[best.from:best.to]), k, 1
			return true
		}
	}
	return false
}

// after is the cheapest string at a spot that is found first from offset from
// and costs less than most.
func (c *chooser) after(from int32, s spot, most int) (candidate, bool) {
	list := c.candidates(s)
	if len(list) == 0 {
		return candidate{}, false
	}
	c.budget -= int64(s.from - from)
	need := c.text.shared(from, list[0].span, s.to) + 1
	for _, x := range list {
		if x.cost < most && x.to-x.from >= need {
			return x, true
		}
	}
	return candidate{}, false
}

// before lists the places that target i may be searched from, best first.
func (c *chooser) before(i int) []int {
	var out []int
	n := sort.SearchInts(c.places, i)
	level := c.targets[i].Level
	above, last, page := -1, -1, -1
	for k := n - 1; k >= 0 && (above < 0 || last < 0 || page < 0) && n-k < 400; k-- {
		switch x := &c.targets[c.places[k]]; {
		case x.Class == Page:
			page = max(page, c.places[k])
		case level > 0 && x.Level > 0 && x.Level < level:
			above, last = max(above, c.places[k]), max(last, c.places[k])
		default:
			last = max(last, c.places[k])
			if level == 0 {
				above = max(above, last)
			}
		}
	}
	for _, k := range []int{above, last, page} {
		if k >= 0 && (len(out) == 0 || out[len(out)-1] != k) {
			out = append(out, k)
		}
	}
	return out
}
