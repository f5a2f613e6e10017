package layout

// markSpacing marks the blank lines of double line spacing, page by page: of
// the blank lines between two lines of text one is spacing, the others are
// the text's. A page is double-spaced when nearly all its lines are.
func (v *Volume) markSpacing() {
	doubled, counted := 0, 0
	verdict := make([]int, len(v.Pages)) // 1 double, -1 single, 0 cannot say
	for p := range v.Pages {
		single, double := v.gaps(&v.Pages[p])
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
		pg := &v.Pages[p]
		single, _ := v.gaps(pg)
		if verdict[p] == 1 || (verdict[p] == 0 && v.Double && single == 0) {
			pg.Double = true
			v.markPage(pg)
		}
	}
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
