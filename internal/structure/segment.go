package structure

import (
	"bytes"
	"math"
	"slices"

	"continuo/internal/book"
	"continuo/internal/cell"
)

// shapes is how the paragraphs and items of a volume are set, counted where it is
// certain that one begins: after a blank line, or where its first word would have
// fitted on the line before. In a novel they begin in cell 3 and go on in cell 1; in
// the lists of the same volume they begin in cell 1 and go on in cell 3 (Braille
// Formats 2016, sections 1 and 8; British practice is the same).
type shapes struct {
	starts          [farIndent + 1]float64                // what speaks against beginning at an indent, see rare
	pairs           [farIndent + 1][farIndent + 1]float64 // against beginning at one and going on at another
	sentence, other float64                               // against an end that ends a sentence, and one that does not
	opens           [farIndent + 1][2]float64             // against beginning at an indent without a capital or number, and with one
	within          [2]float64                            // the same of going on
}

// shapesOf counts the shapes of the text of a volume.
func shapesOf(v *Volume, tolerance int) *shapes {
	s := &shapes{} // counts, at first
	ends, sentences := 0.0, 0.0
	on := [2]float64{}
	certain := true
	for i := v.firstUnitOf(v.BodyPage); i < len(v.Units); i++ {
		u := &v.Units[i]
		if i == 0 || u.Rule || v.apart(u) {
			certain = true
			continue
		}
		p := &v.Units[i-1]
		begins := u.Blanks > 0 || p.Rule || v.apart(p)
		if !begins && len(u.Turns) == 0 && slack(p, u) >= tolerance && !dividedWord(p.Text) {
			begins = true
			ends++
			sentences += float64(boolInt(EndsSentence(p.Text)))
		}
		in, before := min(u.Indent(), farIndent), min(p.Indent(), farIndent)
		switch {
		case begins:
			s.starts[in]++
			s.opens[in][boolInt(opensHeading(u.Text))]++
		case certain && !EndsSentence(p.Text):
			s.pairs[before][in]++
			on[boolInt(opensHeading(u.Text))]++
		}
		certain = begins
	}
	share := (sentences + 1) / (ends + 2)
	s.sentence, s.other = rare(share), rare(1-share)
	s.weighOpenings(on)
	weigh(s.starts[:], 0.5, 0.5)
	for from := range s.pairs {
		weigh(s.pairs[from][:], 0.3, 1)
	}
	return s
}

// weighOpenings makes of counts of lines that begin, without a capital or number and with
// one, what speaks against each; on are those of lines that go on. An indent at which few
// lines begin is like the others.
func (s *shapes) weighOpenings(on [2]float64) {
	all := [2]float64{1, 1}
	for _, n := range s.opens {
		all[0], all[1] = all[0]+n[0], all[1]+n[1]
	}
	for k := range on {
		s.within[k] = rare((on[k] + 1) / (on[0] + on[1] + 2))
	}
	for in, n := range s.opens {
		for k := range n {
			s.opens[in][k] = rare((n[k] + 4*all[k]/(all[0]+all[1])) / (n[0] + n[1] + 4))
		}
	}
}

// weigh makes of counts what speaks against each, at the given weight; unseen is what
// one that was never counted counts.
func weigh(counts []float64, unseen, weight float64) {
	all := 1.0
	for _, n := range counts {
		all += n
	}
	for i, n := range counts {
		counts[i] = weight * rare((n+unseen)/all)
	}
}

// What speaks against a line that begins anew, and against one that goes on, in
// natural logarithms of how rare it is; bounds keep one rare thing from deciding.
const (
	againstFull     = 1.2 // a last line that happens to be full
	againstFits     = 5.0 // a line that goes on though its first word had fitted before
	againstBound    = 2.5
	againstSentence = 0.7 // a line that goes on after the end of a sentence
	againstModel    = 1.0 // the other way than the model of the run says
)

func rare(share float64) float64 { return min(againstBound, -math.Log(share)) }

func (s *shapes) start(in int) float64 { return s.starts[min(in, farIndent)] }

func (s *shapes) goesOn(from, at int) float64 {
	return s.pairs[min(from, farIndent)][min(at, farIndent)]
}

// followed tells of each unit of a run whether it goes on the block before it: by
// the model of the run, and where paragraphs and items may stand mixed, by all lines
// of the run together. It returns the model too, mixed where the lines say so.
func (f *Flow) followed(a, b int, m model) ([]bool, model) {
	base := f.base(a, b)
	f.usual, f.entries = f.usualOver(a, b, base), f.endsNumbered(a, b)
	on := make([]bool, b-a)
	for i, s, run := a+1, a, -1; i < b; i++ {
		if on[i-a] = f.goesOn(m, base, s, i, run); on[i-a] {
			run = f.units[i].Indent()
		} else {
			s, run = i, -1
		}
	}
	if f.segments(a, b, m) {
		if by := f.segment(a, b, on); !slices.Equal(by, on) {
			on = by
			if m == lines || m == prose {
				m = mixed
			}
		}
	}
	f.byCapitals(a, b, m, on)
	f.staircase(a, b, on)
	f.displayedWithin(a, b, on)
	f.runsOver(a, b, on)
	if m == lines || m == hanging || m == mixed {
		f.fullStretches(a, b, on)
	}
	if f.numberedStanza(a, b) {
		on[1] = false
	}
	for i, start := a+1, a; i < b; i++ {
		if on[i-a] = on[i-a] && !f.letterLine(i) && !f.signsOff(start, i); !on[i-a] {
			start = i
		}
	}
	f.stageDirections(a, b, on)
	f.besideNumbers(a, b, on)
	f.innerEntry(a, b, on)
	if f.Break != nil {
		for i := a + 1; i < b; i++ {
			on[i-a] = f.Break(f.units[i-1], f.units[i], on[i-a], m != lines)
		}
	}
	return on, m
}

// besideNumbers keeps the runover of a line that has its number at the right margin
// on a line of its own: the number stays at the end of its line, as on paper (BANA,
// Braille Formats 2016, section 15), and does not come to stand among the words.
func (f *Flow) besideNumbers(a, b int, on []bool) {
	v := f.Vols[f.units[a].Vol]
	if v.NumberEdge == 0 {
		return
	}
	for i := a + 1; i < b; i++ {
		p := f.units[i-1]
		on[i-a] = on[i-a] && !(int(p.To) >= v.Width-1 && marginNumber(p))
	}
}

// segments reports whether a run may hold paragraphs and items mixed. Where no model
// fits, it does if most of its lines had no room on the line before, or where questions
// with their parts stand in it.
func (f *Flow) segments(a, b int, m model) bool {
	if f.inAndOut || f.left[f.units[a].Vol] > 0 || f.form == book.Fixed || f.form == book.Verse {
		return false
	}
	if f.Vols[f.units[a].Vol].NumberEdge > 0 && slices.ContainsFunc(f.units[a:b], marginNumber) {
		return false // verse with its line numbers
	}
	if m != lines {
		return m != block
	}
	if f.base(a, b) == f.units[a].Indent() && f.overIndent(a, b) == 0 && f.eachCapital(a, b) {
		return false // lines of verse
	}
	full, known, items := 0, 0, 0
	for i := a + 1; i < b; i++ {
		known += boolInt(f.gap[i].known)
		full += boolInt(f.full(i))
		items += boolInt(f.item(i))
	}
	return 2*full > known || items >= 4 && 4*items >= known || f.fullSpeeches(a, b)
}

// segment divides a run into its paragraphs and items at once, so that the whole is
// the likeliest: text in cells 3-1 and items in cells 1-3 stand in one run where no
// blank line divides them, and a line is only understood with those around it. It
// returns whether each unit goes on the block before it; model is what the model of
// the run says of each, and counts as one witness.
func (f *Flow) segment(a, b int, model []bool) []bool {
	s := f.shapes[f.units[a].Vol]
	f.numbered = f.allNumbered(a, b)
	// fresh: the block begins with this line; on: this line goes on at its indent
	fresh, on := 0.0, math.Inf(1)
	type step struct{ fresh, on bool } // whether the line before was one that goes on
	back := make([]step, b-a)
	for i := a + 1; i < b; i++ {
		begin, cont := f.costs(s, i, model[i-a])
		u, p := f.units[i], f.units[i-1]
		fromFresh, fromOn := fresh+cont+s.goesOn(p.Indent(), u.Indent()), math.Inf(1)
		if u.Indent() == p.Indent() {
			fromOn = on + cont
		}
		if !model[i-a] && (u.Indent() == p.Indent() || max(u.Indent(), p.Indent()) >= farIndent) {
			fromFresh += againstFits // lines of verse, of a list or of an address, each of its own
		}
		back[i-a] = step{fresh: on < fresh, on: fromOn < fromFresh}
		fresh, on = min(fresh, on)+begin, min(fromFresh, fromOn)
	}
	out := make([]bool, b-a)
	last := on < fresh
	for i := b - 1; i > a; i-- {
		if out[i-a] = last; last {
			last = back[i-a].on
		} else {
			last = back[i-a].fresh
		}
	}
	return out
}

// allNumbered reports whether nearly all lines of a run that begin anew for certain
// begin with a number, a letter or a sign of a list.
func (f *Flow) allNumbered(a, b int) bool {
	n, all := 0, 0
	for i := a; i < b; i++ {
		if i == a || f.gap[i].known && f.gap[i].fits {
			all++
			n += boolInt(f.item(i) || Bullet(f.units[i].Text))
		}
	}
	return n >= 2 && 5*n >= 4*all
}

// endsNumbered reports whether two thirds of what ends for certain in a run and near it,
// with nothing further in under it, end in a page number and nothing after it: the
// entries of an index, among entries that only refer to others.
func (f *Flow) endsNumbered(a, b int) bool {
	const near = 30
	n, all := 0, 0
	for i := max(a-near, 0) + 1; i < min(b+near, len(f.units)); i++ {
		if (f.gap[i].hard || f.gap[i].fits) && f.units[i].Indent() <= f.units[i-1].Indent() {
			all++
			n += boolInt(endsInPage(f.units[i-1].Text))
		}
	}
	return n >= 4 && 3*n >= 2*all
}

// afterEntry reports whether unit i stands in an index after a line that ends in a page
// number without a comma, and begins with none: that entry has ended.
func (f *Flow) afterEntry(i int) bool {
	if !f.entries || !endsInPage(f.units[i-1].Text) {
		return false
	}
	_, more := cell.ParseLabel(bytes.TrimRight(firstWord(f.units[i].Text), "14"))
	return !more
}

// endsInPage reports whether the last word of a text, not its only one, is a page
// number with nothing after it.
func endsInPage(t []byte) bool {
	w := lastWord(t)
	l, ok := cell.ParseLabel(w)
	return ok && !l.Roman && len(w) < len(t)
}

// costs is what speaks against unit i as the first line of a block, and against its
// going on the line before.
func (f *Flow) costs(s *shapes, i int, model bool) (begin, cont float64) {
	u, p, g := f.units[i], f.units[i-1], f.gap[i]
	switch {
	case model:
		begin += againstModel
	case u.Indent() < p.Indent():
		cont += 2 * againstModel // what lines that step out do is measured in the whole run
	default:
		cont += againstModel
	}
	if dividedWord(p.Text) {
		return begin + 4*againstFits, cont
	}
	if g.known && g.fits {
		cont += againstFits
	} else if g.known {
		begin += againstFull
	}
	if f.over > 0 && u.Indent() > p.Indent() && u.Indent() < f.over {
		cont += againstFits // all runovers of the run stand further in
	}
	begin += s.start(u.Indent())
	if opens := boolInt(opensHeading(u.Text)); !EndsSentence(p.Text) { // a new sentence opens with a capital, wherever it stands
		begin, cont = begin+s.opens[min(u.Indent(), farIndent)][opens]/2, cont+s.within[opens]/2
	}
	switch {
	case EndsSentence(p.Text):
		begin += s.sentence
		cont += againstSentence
	case EndsInColon(p.Text):
	default:
		begin += s.other
	}
	switch {
	case f.item(i) || Bullet(u.Text):
		cont += againstFull
		if f.numbered {
			cont += againstFits
		}
	case f.afterEntry(i):
		cont += againstFits
	case f.numbered:
		begin += againstFull
	}
	return begin, cont
}

// EndsInColon reports whether a text ends in a colon (dots 2-5), after which a list
// may begin.
func EndsInColon(t []byte) bool {
	n := len(t)
	return n > 2 && t[n-1] == '3' && t[n-2] != cell.Blank && t[n-2] != '3'
}

// apart reports whether a unit stands in the middle, at no indent of text.
func (v *Volume) apart(u *Unit) bool {
	return u.Centred && !v.Levels[min(u.Indent(), len(v.Levels)-1)]
}
