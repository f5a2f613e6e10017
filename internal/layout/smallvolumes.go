package layout

// countPages settles the corner of the braille pages where no volume has pages
// enough for a sequence: leaflets, and volumes of a few pages with heads on odd
// pages. The numbers of one corner must count the pages from the first one of the
// file: three of them, or two that stand alone on their lines.
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
		if (hits >= 3 || alone >= 2) && hits*5 >= count*4 && hits > most {
			best, most = s, hits
		}
	}
	if best == nKeys {
		return
	}
	for _, n := range all {
		if n.count[best] > 0 {
			n.use[best] = BraillePage
		}
	}
}
