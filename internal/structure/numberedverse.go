package structure

// numberedStanza reports whether units a up to b are a stanza whose first line, a number
// before it, steps in: all others stand at the margin, and those after the second begin
// anew, two at least, with room on the lines before them. Then the second begins anew
// too, although the first was full; in a code with capitals it begins as they do.
func (f *Flow) numberedStanza(a, b int) bool {
	base := f.base(a, b)
	if b-a < 4 || b-a > stanzaLines || !itemNumber(f.units[a].Text) || f.units[a].Indent() <= base || f.units[a+1].Indent() != base {
		return false
	}
	capital := f.units[a+1].Text[0] == ','
	for i := a + 2; i < b; i++ {
		if u := f.units[i]; u.Indent() != base || !f.gap[i].known || !f.gap[i].fits || (u.Text[0] == ',') && !capital {
			return false
		}
	}
	return true
}
