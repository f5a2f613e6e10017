package layout

// This file has volumes without enough pages of their own follow the others of their title in
// what their corners carry.

// pool lets volumes without enough pages of their own follow the others.
func pool(all []*numbers) {
	alignParity(all)
	shareSplits(all)
	shareParts(all)
	countPages(all)
	settleTies(all)
	countEach(all)
	dropSingle(all)
	var sum [nKeys][3]float64
	for _, n := range all {
		for s := range sum {
			for u, use := range n.votes[s] {
				if Use(u) == n.use[s] || n.use[s] == Nothing {
					sum[s][u] += use
				}
			}
			if n.use[s] != Nothing {
				sum[s][n.use[s]] += 1
			}
		}
	}
	for _, n := range all {
		n.follow(&sum)
		for n.followOne(&sum) { // one corner after the other, where they alternate
		}
		for s := key(0); s < nKeys; s++ {
			if n.use[s] != Nothing || n.count[s] == 0 {
				continue
			}
			switch {
			case sum[s][BraillePage] > sum[s][PrintPage]:
				n.use[s] = BraillePage
			case sum[s][PrintPage] > 0:
				n.use[s] = PrintPage
			}
		}
	}
}

// dropSingle has a corner at the left carry nothing where one number of the whole title counts the pages there, on a
// page without another: it is that of a verse or an item, for a corner has the numbers of more pages than one.
func dropSingle(all []*numbers) {
	for _, slot := range [...]Slot{TopLeft, BottomLeft} {
		for k := 2 * key(slot); k <= 2*key(slot)+1; k++ {
			used := 0
			for _, n := range all {
				if n.use[k] == BraillePage {
					used += len(n.br[k].idx)
				}
			}
			for _, n := range all {
				if used == 1 && n.use[k] == BraillePage {
					n.use[k] = Nothing
				}
			}
		}
	}
}

// alignParity has the odd pages of a short volume be those of the whole title: by the
// slot that carries the braille pages of most volumes, where a volume with few pages took
// the numbers of another one for them.
func alignParity(all []*numbers) {
	var braille [NSlots]float64
	for _, n := range all {
		for s := range braille {
			if !n.split[s] && n.use[2*s] == BraillePage {
				braille[s] += n.br[2*s].weight
			}
		}
	}
	best := Slot(0)
	for s := range braille {
		if braille[s] > braille[best] {
			best = Slot(s)
		}
	}
	for _, n := range all {
		c := n.br[2*best]
		if n.split[best] || n.use[2*best] == BraillePage || c.weight < 2 || n.parity(c) == n.odd {
			continue
		}
		n.odd = n.parity(c)
		for s := Slot(0); s < NSlots; s++ {
			if n.split[s] {
				n.chains(s)
			}
		}
		n.votes = [nKeys][3]float64{}
		n.assign()
	}
}

// shareSplits tells a slot apart by parity in volumes that have too few numbers in it
// to tell, where that is done in most of the volumes that can; where it is done in three of
// four of them, in a volume too whose numbers are explained as well: print pages may keep
// step with braille pages throughout one volume. The same holds where print pages of the volume would stand
// in a corner that has braille pages in the others.
func shareSplits(all []*numbers) {
	for s := Slot(0); s < NSlots; s++ {
		apart, whole := 0, 0
		for _, n := range all {
			switch {
			case n.split[s]:
				apart++
			case n.use[2*s] != Nothing:
				whole++
			}
		}
		if apart <= whole {
			continue
		}
		for _, n := range all {
			if n.split[s] || n.count[2*s] == 0 || n.use[2*s] != Nothing && apart < 3*whole && !n.otherwise(s, all) {
				continue
			}
			was := n.best(s)
			n.split[s] = true
			if n.chains(s); n.use[2*s] != Nothing && n.best(s) < was {
				n.split[s] = false
				n.chains(s)
				continue
			}
			n.votes = [nKeys][3]float64{}
			n.assign()
		}
	}
}

// otherwise reports whether a corner that is not told apart, other than s, has the print pages of this volume
// and the braille pages of all volumes in which s is told apart by parity, two at least.
func (n *numbers) otherwise(s Slot, all []*numbers) bool {
	for t := range NSlots {
		if t == s || n.split[t] || n.use[2*t] != PrintPage {
			continue
		}
		braille, others := 0, 0
		for _, o := range all {
			switch {
			case o == n || !o.split[s]:
			case !o.split[t] && o.use[2*t] == BraillePage:
				braille++
			default:
				others++
			}
		}
		if braille >= 2 && others == 0 {
			return true
		}
	}
	return false
}

// settleTies changes the uses of two slots over where both count the pages of a
// volume equally well and the other one counts those of the whole title better:
// print pages on the same pages keep step with braille pages for a while only.
func settleTies(all []*numbers) {
	var sum [nKeys]float64
	for _, n := range all {
		for s := range sum {
			sum[s] += n.br[s].weight
		}
	}
	for _, n := range all {
		for s := key(0); s < nKeys; s++ {
			for t := key(0); t < nKeys && n.use[s] == BraillePage; t++ {
				if n.use[t] == PrintPage && n.br[t].weight >= n.br[s].weight && sum[t] > sum[s]+0.5 && !n.disjoint(s, t) {
					n.use[s], n.use[t] = PrintPage, BraillePage
				}
			}
		}
	}
}

// countEach changes the uses of two corners over where one counts the pages of every volume from its first on
// without a slip, and the other, taken for the braille page, none of them so: print pages of about a braille page
// each nearly keep step, but go on from volume to volume (BANA, Braille Formats 2016, 1.13; common practice of
// volumes that are numbered each by itself). Two volumes must tell.
func countEach(all []*numbers) {
	counts := make([][nKeys]firstCount, len(all))
	for i, n := range all {
		counts[i] = n.fromFirst()
	}
	for s := key(0); s < nKeys; s++ {
		for t := key(0); t < nKeys; t++ {
			tell, against := 0, false
			for i, n := range all {
				c, other := &counts[i][s], &counts[i][t]
				against = against || c.off || !other.off && other.n >= 3
				if c.n >= 3 && (n.use[s] == PrintPage && n.use[t] == BraillePage || n.use[s] == BraillePage && n.use[t] == PrintPage) {
					tell++
				}
			}
			for _, n := range all {
				if s != t && tell >= 2 && !against {
					n.use[s], n.use[t] = BraillePage, PrintPage
				}
			}
		}
	}
}

// firstCount is how many numbers a corner has that count the pages of the volume from its first on, or from the
// first of its text, and whether one of them does not.
type firstCount struct {
	n, ahead int
	off      bool
}

// fromFirst is the firstCount of every corner.
func (n *numbers) fromFirst() (out [nKeys]firstCount) {
	for i := range n.cands {
		c := &n.cands[i]
		f := &out[n.key(c)]
		if c.label.Roman || f.off {
			continue
		}
		ahead := int(c.page) + 1 - c.label.Value
		if f.off = f.n > 0 && ahead != f.ahead || ahead < 0; !f.off {
			f.n, f.ahead = f.n+1, ahead
		}
	}
	return out
}

// follow changes the uses of two slots over where both count the pages of this
// volume, one nearly as well as the other, and the title as a whole has them the other way round.
func (n *numbers) follow(sum *[nKeys][3]float64) {
	for s := key(0); s < nKeys; s++ {
		if n.use[s] != BraillePage || n.votes[s][PrintPage] == 0 || sum[s][PrintPage] <= 2*sum[s][BraillePage] {
			continue
		}
		for t := key(0); t < nKeys; t++ {
			if n.use[t] == PrintPage && n.votes[t][BraillePage] > 0 && 4*n.votes[t][BraillePage] >= 3*n.votes[s][BraillePage] && sum[t][BraillePage] > 2*sum[t][PrintPage] {
				n.use[s], n.use[t] = PrintPage, BraillePage
				break
			}
		}
	}
}

// followOne takes the print page of a slot for the braille page where the title
// as a whole has braille pages there, and the volume has no braille page but two print
// pages, or one that no other volume has there, or its braille pages stand on other
// pages. It reports whether there was one.
func (n *numbers) followOne(sum *[nKeys][3]float64) bool {
	prints, braille := 0, false
	best, alone := nKeys, false
	for s := key(0); s < nKeys; s++ {
		switch n.use[s] {
		case BraillePage:
			braille = true
		case PrintPage:
			prints++
			others := sum[s][PrintPage] - n.votes[s][PrintPage] - 1 // as pool adds them up
			if sum[s][BraillePage] > 2*others && (best == nKeys || sum[s][BraillePage] > sum[best][BraillePage]) {
				best, alone = s, others <= 0
			}
		}
	}
	if best < nKeys && (braille && n.apart(best) || !braille && (prints > 1 || alone)) {
		n.use[best] = BraillePage
		return true
	}
	return false
}
