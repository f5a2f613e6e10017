package layout

// findDouble tells which pages are double-spaced: those where nearly all lines are,
// and short ones of a volume whose pages mostly are.
func (v *Volume) findDouble() {
	doubled, counted := 0, 0
	verdict := make([]int, len(v.Pages)) // 1 double, -1 single, 0 cannot say
	none := make([]bool, len(v.Pages))   // no two lines without a blank line between
	for p := range v.Pages {
		single, double := v.gaps(&v.Pages[p])
		none[p] = single == 0
		switch {
		case double >= 3 && single*5 <= double:
			verdict[p] = 1
			doubled++
			counted++
		case single+double >= 3:
			verdict[p] = -1
			counted++
		}
	}
	v.Double = counted > 0 && doubled*2 > counted
	for p := range v.Pages {
		v.Pages[p].Double = verdict[p] == 1 || verdict[p] == 0 && v.Double && none[p]
	}
}

// markSpacing marks the blank lines of double line spacing, page by page: of
// the blank lines between two lines of text one is spacing, the others are
// the text's.
func (v *Volume) markSpacing() {
	v.findDouble()
	for p := range v.Pages {
		if pg := &v.Pages[p]; pg.Double {
			v.markPage(pg)
		} else if v.Double {
			v.markMixed(pg)
		}
	}
}

// markMixed marks the blank lines of double spacing on a page of a double-spaced volume
// that holds single-spaced matter too, a table or a list (common practice): between three
// lines or more, none of which stands right under another, or two at an end of the page.
func (v *Volume) markMixed(pg *Page) {
	var chain []int32
	settle := func(edge bool) {
		if len(chain) > 2 || len(chain) == 2 && edge {
			for _, i := range chain[:len(chain)-1] {
				v.Lines[i+1].Role = Spacing
			}
		}
		chain = chain[:0]
	}
	first, last := int32(-1), int32(-1)
	for i := pg.First; i < pg.Last; i++ {
		if r := v.Lines[i].Role; r != Text && r != Turn {
			continue
		}
		if first < 0 {
			first = i
		}
		if last >= 0 && i-last == 1 {
			if n := len(chain); n > 0 {
				chain = chain[:n-1] // the line before is of what is single-spaced
			}
			settle(len(chain) > 0 && chain[0] == first)
		} else if last < 0 || v.Lines[last+1].Role == Empty {
			chain = append(chain, i)
		}
		last = i
	}
	settle(true)
}

// near is the line before line i (d -1) or after it (d 1), but for one blank line of
// a page that is double-spaced.
func (v *Volume) near(i, d int32) int32 {
	pg := &v.Pages[v.PageOf[i]]
	if i += d; pg.Double && i >= pg.First && i < pg.Last && v.Lines[i].Role == Empty {
		i += d
	}
	return i
}

// gaps counts pairs of neighbouring text lines without and with a blank line
// between them. A number alone may follow the last line directly.
func (v *Volume) gaps(pg *Page) (single, double int) {
	last := int32(-1)
	for i := pg.First; i < pg.Last; i++ {
		switch v.Lines[i].Role {
		case Text, Turn:
			if last >= 0 && i-last == 1 {
				single++
			} else if last >= 0 {
				double++
			}
			last = i
		}
	}
	return single, double
}

func (v *Volume) markPage(pg *Page) {
	last := int32(-1)
	for i := pg.First; i < pg.Last; i++ {
		switch v.Lines[i].Role {
		case Empty:
			if last >= 0 && i-last == 1 {
				v.Lines[i].Role = Spacing
			}
		default:
			last = i
		}
	}
}
