package layout

// A number at an edge of a page is told from text by what the numbers of its corner are over all pages:
//
//	corners.go        which tokens can be page numbers, and which of these are none after all
//	sequences.go      what of a corner's numbers count the pages, or never fall
//	cornerrules.go    what a corner carries in one volume
//	cornerpool.go     what it carries where a volume has too few pages to tell
//	turnnumbers.go    what it carries where only the turns in the text tell
//	insequence.go     the numbers that are taken, since they stand in sequence
//	outofsequence.go  those that are taken, or left to the text, though they do not

// numbers is what was found in one volume.
type numbers struct {
	cands []cand
	split [NSlots]bool // the slot is told apart by the parity of the page
	odd   int32        // 1 where pages with an even index have odd braille page numbers
	count [nKeys]int   // candidates
	br    [nKeys]chain // the best sequence of braille pages, and of print pages
	pr    [nKeys]chain
	use   [nKeys]Use
	votes [nKeys][3]float64 // by use
	taken []Use             // of each candidate
	parts [NSlots]bool      // the slot holds the numbers of chapters, see findParts

	misprint map[int]bool // candidates taken whose value is not to be believed
}

// key is a slot, or a slot on the pages of one parity where left and right
// pages carry different numbers in it: first those with even braille page numbers,
// then those with odd ones, so that the keys of all volumes of a title say the same,
// however many pages without a number stand at the start of each.
type key uint8

const nKeys = key(2 * NSlots)

func (n *numbers) key(c *cand) key {
	if n.split[c.slot] {
		return key(2*c.slot) + key((c.page+n.odd)&1)
	}
	return key(2 * c.slot)
}

// findNumbers finds the numbers at the edges of a volume's pages, their sequences, and what each
// corner carries as far as the volume itself tells.
func (v *Volume) findNumbers() *numbers {
	n := &numbers{}
	n.findCands(v)
	for _, r := range noPageNumbers {
		r.drop(n, v)
	}
	n.findParts(v)
	n.sequences()
	return n
}

// sequences finds the sequences of every slot and what it carries.
func (n *numbers) sequences() {
	n.taken = make([]Use, len(n.cands))
	n.split = [NSlots]bool{}
	n.votes = [nKeys][3]float64{}
	heaviest := chain{weight: 2}
	for s := Slot(0); s < NSlots; s++ {
		n.chains(s)
		if c := n.br[2*s]; c.weight > heaviest.weight {
			heaviest = c
		}
	}
	n.odd = n.parity(heaviest)
	for s := Slot(0); s < NSlots; s++ {
		n.trySplit(s)
	}
	n.assign()
}

// settle takes the candidates of the settled slots that stand in sequence.
func (v *Volume) settle(n *numbers) {
	for s := Slot(0); s < NSlots; s++ {
		v.Slots[s] = n.use[2*s]
		if v.Slots[s] == Nothing || (n.use[2*s+1] == BraillePage) {
			v.Slots[s] = max(v.Slots[s], n.use[2*s+1])
		}
	}
	n.takeSequences()
	n.joinBraille()
	n.dropOffColumn()
}

// settleLone takes the numbers that stand in no sequence of their volume, now
// that the heads of all volumes of the title are known.
func (v *Volume) settleLone(n *numbers, heads *[2]map[string]int) {
	n.lone(v, heads)
	n.fillGaps(v)
	n.unsigned(v)
}
