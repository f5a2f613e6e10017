package testkit

// set sets ingredients 1-3, and exercises 1-5 with their lettered parts 3-5
// (BANA, Braille Formats 2016, section 10), a blank line before and after.
func (p *press) set(e *Elem) {
	p.blank()
	for i, line := range e.Lines {
		first, over := 0, 2
		if e.Kind == Exercise {
			if over = 4; e.Deep[i] {
				first = 2
			}
		}
		p.t.Forms = append(p.t.Forms, Formed{Kind: e.Kind, First: line[0].Cells, Words: joinToks(line)})
		p.flow(line, first, over, 'l')
	}
	p.blank()
}

// TableHead is the headings of the press's table, with single blanks.
func (b *Book) TableHead() string { return b.say("Day High Low") }
