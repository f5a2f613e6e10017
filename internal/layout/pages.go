package layout

import "continuo/internal/cell"

// divide takes over the pages of the file, or, where it has no form feeds,
// finds the page height at which page numbers recur.
func (v *Volume) divide() {
	f := v.File
	for _, p := range f.Pages {
		v.Pages = append(v.Pages, Page{First: p.First, Last: p.Last})
	}
	if f.FormFeed || len(f.Lines) < 30 {
		return
	}
	if cuts := v.recurring(); cuts != nil {
		v.Divided = true
		v.Pages = v.Pages[:0]
		from := int32(0)
		for _, c := range append(cuts, int32(len(f.Lines))) {
			if c > from {
				v.Pages = append(v.Pages, Page{First: from, Last: c})
				from = c
			}
		}
		return
	}
	v.frontPages()
}

// frontPages divides a file whose pages cannot be found at the gaps of three
// blank lines or more near its start: a title page and the pages after it end
// in blank lines.
func (v *Volume) frontPages() {
	const near, gap = 120, 3
	end := int32(len(v.Lines))
	v.Pages = v.Pages[:0]
	from, blanks, text := int32(0), 0, false
	for i := int32(0); i < end && i < near; i++ {
		if len(v.Raw(i)) == 0 {
			blanks++
			continue
		}
		if blanks >= gap && text {
			v.Pages = append(v.Pages, Page{First: from, Last: i})
			from = i
		}
		blanks, text = 0, true
	}
	v.Pages = append(v.Pages, Page{First: from, Last: end})
}

type numbered struct {
	line  int32
	value int
	kind  byte // 't' or 'p' of a page with that letter before its number, else 0
}

// kindOf is the letter of a page that the transcriber made, or of front matter (BANA, Braille Formats 2011,
// 2.2.1; 1997, rule 1): each is a count of its own, and they stand among each other.
func kindOf(l cell.Label) byte {
	if l.Prefix == "t" || l.Prefix == "p" {
		return l.Prefix[0]
	}
	return 0
}

// recurring looks for lines with a number at an edge that grows by one from
// page to page, or by two from every other page. It returns the lines on which
// pages begin after the first, nil when nothing recurs.
func (v *Volume) recurring() []int32 {
	cands := v.edgeNumbers()
	if len(cands) < 2 {
		return nil
	}
	best, bestH, top := []int(nil), 0, 0
	for h := 15; h <= 45; h++ {
		if chain, score := longestChain(cands, int32(h)); score > top {
			best, bestH, top = chain, h, score
		}
	}
	if len(best) < 3 && !(len(best) == 2 && len(v.Lines) < 4*bestH) {
		return nil
	}
	return v.cutsFrom(cands, best, int32(bestH))
}

// edgeNumbers finds the numbers at the ends of lines, and those between hyphens alone on theirs.
func (v *Volume) edgeNumbers() []numbered {
	var out []numbered
	for i := range v.Lines {
		t := v.Raw(int32(i))
		if len(t) == 0 {
			continue
		}
		if inner := cell.BetweenHyphens(t[cell.Indent(t):]); inner != nil {
			t = inner
		}
		from := lastToken(t)
		if from == 0 || (from >= 2 && t[from-2] == cell.Blank) {
			if l, ok := cell.ParseLabel(t[from:]); ok && !l.Bare && l.Suffix == "" && !continued(l) {
				out = append(out, numbered{int32(i), l.Value, kindOf(l)})
			}
		}
		if to := firstTokenEnd(t, 0); to > 0 && to+2 <= len(t) && t[to+1] == cell.Blank {
			if l, ok := cell.ParseLabel(t[:to]); ok && !l.Bare && l.Suffix == "" && !continued(l) {
				out = append(out, numbered{int32(i), l.Value, kindOf(l)})
			}
		}
	}
	return out
}

// longestChain returns the indexes of the longest run of numbers that grow by
// one every h lines, or two every 2h lines, with restarts allowed where the
// distance still is a whole number of pages.
func longestChain(c []numbered, h int32) ([]int, int) {
	n := len(c)
	score, from := make([]int, n), make([]int, n)
	best := -1
	for j := range c {
		score[j], from[j] = 1, -1
		for i := j - 1; i >= 0 && c[j].line-c[i].line <= 4*h+4; i-- {
			gap := c[j].line - c[i].line
			pages := (gap + h/2) / h
			off := gap - pages*h
			if pages < 1 || off < -2 || off > 2 {
				continue
			}
			gain := 0
			switch {
			case c[j].kind == c[i].kind && c[j].value-c[i].value == int(pages):
				gain = 2
				if off == 0 {
					gain = 3
				}
			case off == 0 && (c[j].value == 1 || c[j].kind != c[i].kind && c[j].kind > 0):
				gain = 1
			default:
				continue
			}
			if s := score[i] + gain; s > score[j] {
				score[j], from[j] = s, i
			}
		}
		if best < 0 || score[j] > score[best] {
			best = j
		}
	}
	var chain []int
	for i := best; i >= 0; i = from[i] {
		chain = append(chain, i)
	}
	for a, b := 0, len(chain)-1; a < b; a, b = a+1, b-1 {
		chain[a], chain[b] = chain[b], chain[a]
	}
	return chain, score[best]
}

// numbersAtTop tells numbers on the first line of pages from those on the last: by the
// pages before the first number and the text after the last one, and where these disagree
// by most of the numbers, which a page of another height shifts.
func (v *Volume) numbersAtTop(c []numbered, chain []int, h int32) bool {
	first, last := c[chain[0]].line, c[chain[len(chain)-1]].line
	top, foot := 0, 0 // signs of either
	if first%h == 0 {
		top++
	} else if (first+1)%h == 0 {
		foot++
	}
	end := int32(len(v.Lines)) - 1
	for end > last && len(v.Raw(end)) == 0 {
		end--
	}
	if end == last {
		foot++
	} else if end > last+h/2 {
		top++
	}
	if top != foot {
		return top > foot
	}
	tops, feet := 0, 0
	for _, k := range chain {
		switch c[k].line % h {
		case 0:
			tops++
		case h - 1:
			feet++
		}
	}
	return tops > feet || tops == feet && (first+1)%h != 0
}

// cutsFrom turns a chain into page starts: the numbers stand on the first line
// of pages, or on the last one, whichever lets the file begin with a page.
func (v *Volume) cutsFrom(c []numbered, chain []int, h int32) []int32 {
	first, atTop := c[chain[0]].line, v.numbersAtTop(c, chain, h)
	var cuts []int32
	prev := int32(0)
	if atTop {
		prev = first % h
		if prev > 0 {
			cuts = append(cuts, prev)
		}
	}
	for _, k := range chain {
		next := c[k].line
		if !atTop {
			next++
		}
		for prev+h+h/2 < next {
			prev += h
			cuts = append(cuts, prev)
		}
		if next > prev {
			cuts = append(cuts, next)
			prev = next
		}
	}
	for prev+h < int32(len(v.Lines)) {
		prev += h
		cuts = append(cuts, prev)
	}
	return cuts
}
