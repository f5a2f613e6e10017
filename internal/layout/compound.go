package layout

import "continuo/internal/cell"

// compound reports whether a label is the page of a chapter or an appendix, 9-1 or
// no braille page is numbered so.
func compound(l cell.Label) bool {
	own := l.Own()
	return own != "" && own[len(own)-1] == '-'
}

// pagesOfChapters reads labels such as 9-1 as pages of chapters, and not as
// ranges, where the title has them so (BANA, Braille Formats 2016, 1.14): three
// at least, and half of all with a hyphen, whose second number is not the first
// one's next or next but two.
func pagesOfChapters(vols []*Volume, finds []*numbers) {
	odd, all := 0, 0
	count := func(l cell.Label) {
		if l.After > 0 && !l.Roman && l.Own() == "" {
			all++
			if l.After <= l.Value || l.After > l.Value+3 {
				odd++
			}
		}
	}
	for k, v := range vols {
		for i := range finds[k].cands {
			count(finds[k].cands[i].label)
		}
		for i := range v.Lines {
			if t := v.Raw(int32(i)); len(t) > 6 && (t[0] == '-' || t[0] == cell.Blank) {
				if lab, ok := rowLabel(t); ok {
					count(lab)
				}
			}
		}
	}
	if odd < 3 || odd*2 < all {
		return
	}
	for k, v := range vols {
		v.compound = true
		finds[k].ofChapters()
	}
}

// ofChapters reads the labels as pages of chapters.
func (n *numbers) ofChapters() {
	for i := range n.cands {
		n.cands[i].label = n.cands[i].label.Compound()
	}
	n.sequences()
}

// rowLabel is the label at the end of a row of dots 3-6.
func rowLabel(t []byte) (cell.Label, bool) {
	i := cell.Indent(t)
	from := i
	for i < len(t) && t[i] == '-' {
		i++
	}
	if i-from < 6 || i == len(t) {
		return cell.Label{}, false
	}
	return cell.ParseLabel(t[i:])
}
