package layout

// innerTitle reports whether an edge line is the first line of a title page
// within a volume: of the second of two works that are bound together. The page
// holds a few centred lines and no more, and a head like the line is new: it
// stands on the next pages, and another on the pages before.
func (v *Volume) innerTitle(e *edgeLine) bool {
	if !e.top || e.number || !e.first || e.like < 3 || v.begun(e.page) == 0 {
		return false
	}
	pg, n := &v.Pages[e.page], 0
	for i := pg.First; i < pg.Last; i++ {
		if v.Lines[i].Role != Text {
			continue
		}
		if n++; n > 8 || !v.Centred(i) {
			return false
		}
	}
	return n > 0
}
