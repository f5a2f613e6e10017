package english

import (
	"sort"
	"sync"
)

// readTable is the sign list of one code and grade, indexed by cell.
type readTable struct {
	signs      *signs
	older      bool
	contracted bool
	letter     [256]string // letters and strong signs
	dot5       [256]string // after 5, 45, 456: initial-letter contractions
	dot45      [256]string
	dot456     [256]string
	dot46      [256]string // after 46, 56, 6: final-letter groupsigns
	dot56      [256]string
	dot6       [256]string
	start      [256]string // lower signs at a word start
	middle     [256]string // lower signs between letters
	any        [256]string // lower signs anywhere
	wordOf     [256]string // wordsigns of one cell
	shortAt    map[string][]group
	shortPair  [128][128]bool // first two cells of a shortform
}

var tables [4][2]struct {
	once sync.Once
	t    *readTable
}

func tableOf(v Variant) *readTable {
	g := 0
	if v.Contracted {
		g = 1
	}
	e := &tables[v.Code][g]
	e.once.Do(func() { e.t = buildTable(v) })
	return e.t
}

func buildTable(v Variant) *readTable {
	t := &readTable{signs: signsOf[v.Code](), older: v.Code.Older(), contracted: v.Contracted}
	for c := byte('a'); c <= 'z'; c++ {
		t.letter[c] = string(c)
	}
	if !v.Contracted {
		return t
	}
	for _, p := range pairs(strongContractions + " " + strongGroups) {
		t.letter[p.cells[0]] = p.print
	}
	for _, p := range pairs(initials) {
		t.after(p.cells[0])[p.cells[1]] = p.print
	}
	for _, p := range pairs(finals) {
		t.after(p.cells[0])[p.cells[1]] = p.print
	}
	fill(&t.start, lowerStart)
	fill(&t.middle, lowerMiddle)
	fill(&t.any, lowerAny)
	if t.older {
		fill(&t.start, olderStart)
		fill(&t.middle, olderMiddle)
		t.dot6['n'], t.dot6['y'] = "ation", "ally"
	}
	for c, w := range t.signs.wordOf {
		t.wordOf[c[0]] = w
	}
	t.shortAt = map[string][]group{}
	for _, g := range t.signs.groups {
		if c := g.cells; g.place == byRule && t.signs.shortOf[c] == g.print {
			t.shortPair[c[0]][c[1]] = true
			t.shortAt[c[:2]] = append(t.shortAt[c[:2]], g)
		}
	}
	for _, list := range t.shortAt {
		sort.Slice(list, func(i, j int) bool {
			a, b := list[i].cells, list[j].cells
			return len(a) > len(b) || len(a) == len(b) && a < b
		})
	}
	return t
}

func fill(to *[256]string, list string) {
	for _, p := range pairs(list) {
		to[p.cells[0]] = p.print
	}
}

func (t *readTable) after(prefix byte) *[256]string {
	switch prefix {
	case '"':
		return &t.dot5
	case '^':
		return &t.dot45
	case '_':
		return &t.dot456
	case '.':
		return &t.dot46
	}
	return &t.dot56
}
