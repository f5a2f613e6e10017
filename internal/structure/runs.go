package structure

// divisions are what tells that two things stand in the units a up to b, though no blank line
// divides them: each says where the second begins, 0 where there is none.
var divisions = [...]func(f *Flow, a, b int) int{
	(*Flow).overItems,
	(*Flow).underSalutation,
	(*Flow).besideDirection,
	(*Flow).listAtPageTurn,
	(*Flow).otherAtPageTurn,
}

// underSalutation is the first unit of a run after the line that opens a letter: its text,
// whatever the indents of address and date (BANA, Braille Formats 2016, section 12, from memory;
// common practice).
func (f *Flow) underSalutation(a, b int) int {
	for i := a; i < b-1; i++ {
		if f.salutation(i) && (i == a || !f.full(i)) {
			return i + 1
		}
	}
	return 0
}

// besideDirection is where a stage direction in brackets begins or ends in a run of speeches
// that stand further out: it is set for itself, and tells nothing of their runovers.
func (f *Flow) besideDirection(a, b int) int {
	base := f.base(a, b)
	for i := a; i < b; i++ {
		end := f.stageDirection(i, b)
		switch {
		case end == i:
		case i > a && f.gap[i].known && f.gap[i].fits:
			return i
		case i == a && end < b && f.units[end].Indent() == base && f.units[i].Indent() > base+2 && !f.full(end):
			return end
		}
		i = max(i, end-1)
	}
	return 0
}

// otherAtPageTurn is the first unit of a page within a run at which other text begins: items
// that run over further in after paragraphs, or paragraphs after such items. Each side must tell
// by itself what it is. A blank line parts them (BANA, Braille Formats 2016, section 8; common
// practice), which went with the page turn.
func (f *Flow) otherAtPageTurn(a, b int) int {
	for i := a + 1; i < b; i++ {
		if !f.gap[i].newPage || f.full(i) && !EndsSentence(f.units[i-1].Text) {
			continue
		}
		if one, other := f.tells(a, i), f.tells(i, f.pageEnd(i, b)); one != lines && other != lines && one != other && !f.overAsBefore(i) {
			return i
		}
	}
	return 0
}

// overAsBefore reports whether unit i, full, stands where the line before runs over from its item, and no text is
// displayed there: it goes on that item.
func (f *Flow) overAsBefore(i int) bool {
	in := f.units[i].Indent()
	return in > 0 && in <= farIndent && f.full(i) && f.full(i-1) && f.units[i-1].Indent() == in && !f.displays[in].text()
}

// tells is what the units a up to b are for certain: hanging, of which two runovers at least
// tell, or prose, of which two lines at the margin do; otherwise lines.
func (f *Flow) tells(a, b int) model {
	base := f.base(a, b)
	var full, anew [2]int // at the base, further in
	for i := a; i < b; i++ {
		k := boolInt(f.units[i].Indent() > base)
		if i > a && f.gap[i].known {
			anew[k] += boolInt(f.gap[i].fits)
			full[k] += boolInt(!f.gap[i].fits)
		}
	}
	switch {
	case f.units[a].Indent() == base && full[1] >= 2 && anew[1] == 0 && anew[0] > 0:
		return hanging
	case full[0] >= 2 && anew[0] == 0 && full[1] == 0 && !f.eachCapital(a, b):
		return prose
	}
	return lines
}

// overItems is the unit of a run from which it is items with numbers or letters under
// lines that stand further in: a heading in cell 5 or 7, after which no blank line stands
// (BANA, Braille Formats 2016, section 4), or directions in cell 5 (section 10), whose
// last line was not full or ended a page. 0 if there is none.
func (f *Flow) overItems(a, b int) int {
	k := a + 1
	for k < b && f.units[k].Indent() == f.units[a].Indent() && f.full(k) && !f.item(k) {
		k++
	}
	if b-k < 2 || f.units[a].Indent() < 4 || f.item(a) || !f.item(k) || f.units[k].Indent() >= f.units[a].Indent() {
		return 0
	}
	if f.gap[k].known && f.gap[k].fits || f.gap[k].newPage && EndsSentence(f.units[k-1].Text) {
		return k
	}
	return 0
}

// listAtPageTurn is the first unit of a page within a run at which a list begins after
// prose that ended with the page before, or prose after a list. A blank line stands
// before a list and after it (BANA, Braille Formats 2016, section 8), so only a page turn
// can have taken it. 0 if there is none.
func (f *Flow) listAtPageTurn(a, b int) int {
	base := f.base(a, b)
	stepped := false // a paragraph was begun
	items := false   // an item at the margin was begun, and no paragraph since
	for i := a; i < b; i++ {
		in, g := f.units[i].Indent(), f.gap[i]
		turn := i > a && g.newPage && EndsSentence(f.units[i-1].Text)
		paragraph := in == base+2 && i+1 < b && f.units[i+1].Indent() == base && f.full(i+1) && !itemNumber(f.units[i+1].Text)
		switch {
		case turn && in == base && stepped && !items && (!(g.known && g.fits) && f.itemsFrom(i, b, base) || f.levelled(i, f.pageEnd(i, b))):
			return i
		case turn && paragraph && f.listUpTo(a, i):
			return i
		}
		items = !paragraph && (items || i > a && in == base && g.known && g.fits)
		stepped = stepped || in == base+2 && (i == a || !f.full(i))
	}
	return 0
}

// listUpTo reports whether the units a up to b are a list: its lines at the margin begin
// anew, and those that step in are runovers or levels.
func (f *Flow) listUpTo(a, b int) bool {
	if f.levelled(a, b) {
		return true
	}
	m, tie := f.weigh(a, b)
	return b-a >= 3 && !tie && (m == hanging || m == lines && f.allAnew(a, b))
}

// allAnew reports whether the units a up to b stand at one indent and none but the first
// had no room on the line before.
func (f *Flow) allAnew(a, b int) bool {
	for i := a + 1; i < b; i++ {
		if f.full(i) || f.units[i].Indent() != f.units[a].Indent() {
			return false
		}
	}
	return true
}

// pageEnd is the unit before b that begins the page after that of unit i, or b.
func (f *Flow) pageEnd(i, b int) int {
	for i++; i < b && !f.gap[i].newPage; i++ {
	}
	return i
}

// itemsFrom reports whether unit i and what follows on its page are items at indent
// base: the next line there that is no runover in cell 3 begins anew for certain, and so
// no paragraph began over it.
func (f *Flow) itemsFrom(i, b, base int) bool {
	for k := i + 1; k < b && !f.gap[k].newPage; k++ {
		switch u := f.units[k]; {
		case u.Indent() == base && f.gap[k].known && f.gap[k].fits:
			return true
		case u.Indent() != base && u.Indent() != base+2 || !f.full(k):
			return false
		}
	}
	return false
}

// pageWithin is the first unit of a run, but for its first, that begins a page and
// was begun anew: a blank line that stood before it went with the page turn, so
// that two things may stand in the run. 0 if there is none, and where the model m of
// the run says that such a unit is no other thing: in prose one that steps in.
func (f *Flow) pageWithin(a, b int, m model, usual bool) int {
	base := f.base(a, b)
	for i := a + 1; i < b; i++ {
		if f.gap[i].newPage && f.gap[i].known && f.gap[i].fits && (m == lines || usual || m == prose && f.units[i].Indent() == base) {
			return i
		}
	}
	return 0
}
