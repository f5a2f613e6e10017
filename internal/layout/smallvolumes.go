package layout

// countPages settles the corner of the braille pages where no volume has pages
// enough for a sequence: leaflets, and volumes of a few pages with heads on odd
// pages. The numbers of one corner must count the pages from the first one of the
// file: three of them, or two that stand alone on their lines; or, see countFrom, from
// the first one of the text.
func countPages(all []*numbers) {
	for _, n := range all {
		for s := range n.use {
			if n.use[s] != Nothing {
				return
			}
		}
	}
	best, most := nKeys, 0
	for s := key(0); s < nKeys; s += 2 {
		hits, count, alone := 0, 0, 0
		for _, n := range all {
			for i := range n.cands {
				c := &n.cands[i]
				if n.key(c) != s {
					continue
				}
				count++
				if c.counts() && !c.label.Roman {
					hits++
					if c.alone {
						alone++
					}
				}
			}
		}
		if h := countFrom(all, s); h > hits {
			hits, alone = h, 0
		}
		if (hits >= 3 || alone >= 2) && hits*5 >= count*4 && hits > most {
			best, most = s, hits
		}
	}
	if best == nKeys {
		return
	}
	print := risesBeside(all, best)
	for _, n := range all {
		if n.count[best] > 0 {
			n.use[best] = BraillePage
		}
		if print < nKeys && n.count[print] > 0 {
			n.use[print] = PrintPage
		}
	}
}

// risesBeside is the corner whose numbers, three or more, all stand on the lines of the
// braille pages and never fall from volume to volume: the print pages. nKeys when there
// is none.
func risesBeside(all []*numbers, braille key) key {
	for s := key(0); s < nKeys; s += 2 {
		both, count, last, falls := 0, 0, 0, false
		for _, n := range all {
			lines := map[int32]bool{}
			for i := range n.cands {
				if c := &n.cands[i]; n.key(c) == braille {
					lines[c.line] = true
				}
			}
			for i := range n.cands {
				c := &n.cands[i]
				if n.key(c) != s || c.label.Roman || c.label.Bare {
					continue
				}
				count++
				if lines[c.line] {
					both++
				}
				falls = falls || c.label.Value < last
				last = c.label.Value
			}
		}
		if s != braille && both >= 3 && both == count && !falls {
			return s
		}
	}
	return nKeys
}

// countFrom counts the numbers of a corner that count the pages of their volume from
// another page than the first, since pages before the text have none: in two volumes or
// more two numbers at least do, and nowhere one does not. The first is 1 there.
func countFrom(all []*numbers, s key) int {
	hits, volumes := 0, 0
	for _, n := range all {
		off, in := 0, 0
		for i := range n.cands {
			c := &n.cands[i]
			if n.key(c) != s {
				continue
			}
			if d := c.label.Value - int(c.page); c.label.Bare || c.label.Roman || c.label.Prefix != "" || d > 1 || in > 0 && d != off {
				return 0
			} else if in == 0 && c.label.Value != 1 {
				return 0
			} else {
				off = d
			}
			in++
		}
		hits += in
		if in >= 2 {
			volumes++
		}
	}
	if volumes < 2 {
		return 0
	}
	return hits
}
