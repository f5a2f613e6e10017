package structure

import (
	"bytes"
	"slices"
	"strings"

	"continuo/internal/cell"
	"continuo/internal/english"
	"continuo/internal/layout"
)

// is reports whether a unit is one of some structure phrases.
func (u *Unit) is(ids ...english.PhraseID) bool {
	if !u.HasPhrase {
		return false
	}
	for _, id := range ids {
		if u.Phrase.ID == id {
			return true
		}
	}
	return false
}

// Statement reports whether a unit says which volume this is, of how many, or
// which pages it holds.
func (u *Unit) Statement() bool {
	return u.Volume || u.is(english.InVolumes, english.PrelimVolume, english.Volume) || u.NamesPages()
}

// NamesPages reports whether a unit says which pages its volume holds.
func (u *Unit) NamesPages() bool {
	return u.is(english.BraillePages, english.PrintPages, english.PagesRange)
}

// pageUnits returns the units of page p as a range.
func (v *Volume) pageUnits(p int32) (from, to int) {
	for from < len(v.Units) && v.Units[from].Page < p {
		from++
	}
	to = from
	for to < len(v.Units) && v.Units[to].Page == p {
		to++
	}
	return from, to
}

// findTitle takes the first page with text as the title page when it names a
// volume or an imprint, or when most of its lines are centred.
func (v *Volume) findTitle() {
	if len(v.Units) == 0 {
		return
	}
	from, to := v.pageUnits(v.Units[0].Page)
	to = v.titleEnd(from, v.pastHalfTitle(from, to))
	v.joinStatements(from, to)
	v.findLabel(from, to)
	centred, phrases, full := 0, 0, 0
	for i := from; i < to; i++ {
		u := &v.Units[i]
		if u.Centred || u.Rule {
			centred++
		}
		if u.Statement() {
			phrases += 2
			v.readStatement(u)
		}
		if u.is(english.PublishedBy, english.ProducedBy, english.TranscribedBy, english.Isbn, english.Copyright, english.FirstPublished, english.By, english.Grade) || v.imprint(u) {
			phrases++
		}
		if !u.Centred && int(u.To) > v.TextWidth*3/4 {
			full++
		}
	}
	n := to - from
	if phrases >= 2 || (phrases == 1 && full*2 < n) || (centred*10 >= n*6 && full*4 < n && n >= 2 && to < len(v.Units)) {
		v.Title = [2]int{from, to}
		v.titleHead()
	}
}

// pastHalfTitle is the end of the title page where the first page, up to unit to, is a half title:
// nothing but a few lines, in the middle or at the margin, the words of which the next page says again before a
// volume statement (common practice of publishers, followed on paper).
func (v *Volume) pastHalfTitle(from, to int) int {
	if to-from > 4 || to >= len(v.Units) {
		return to
	}
	var half []string
	for i := from; i < to; i++ {
		if u := &v.Units[i]; u.Rule || u.Statement() {
			return to
		}
		half = append(half, layout.Normal(v.Units[i].Text))
	}
	first, end := v.pageUnits(v.Units[to].Page)
	row := ""
	for i := first; i < end && i < first+8; i++ {
		row += " " + layout.Normal(v.Units[i].Text)
	}
	if !strings.Contains(row+" ", " "+strings.Join(half, " ")+" ") {
		return to
	}
	for i := first; i < end; i++ {
		if v.Units[i].Statement() {
			return end
		}
	}
	return to
}

// findLabel finds a label of the volume over the title page, as spines and covers have it, in one
// line: the title or its first words, and which volume ("the long road: volume two"). It is a
// volume statement, for the title stands under it again, whole. From memory of UK practice: the
// text of the label can be the first lines of a file.
func (v *Volume) findLabel(from, to int) {
	if from >= to || v.Units[from].HasPhrase || v.Units[from].Rule {
		return
	}
	end, text := from+1, v.Units[from].Text
	n, p := v.statementAfter(text)
	if u := v.Units[min(end, to-1)]; n == 0 && end < to && u.Blanks == 0 && !u.Rule {
		end, text = end+1, append(append(bytes.Clone(text), cell.Blank), u.Text...)
		n, p = v.statementAfter(text)
	}
	if n == 0 {
		return
	}
	short, words := layout.Normal(bytes.TrimRight(text[:n], " 123-,\"")), ""
	for i := to - 1; i >= end; i-- {
		words = layout.Normal(v.Units[i].Text) + " " + words
		if short == "" || !strings.HasPrefix(strings.ReplaceAll(words, " ", ""), strings.ReplaceAll(short, " ", "")) {
			continue
		}
		for ; from < end; from++ {
			v.Units[from].Phrase, v.Units[from].HasPhrase = &p, true
		}
		return
	}
}

// statementAfter finds the volume statement that a line ends with after a comma, colon or dash
// or other words, and where it begins; 0 for none.
func (v *Volume) statementAfter(text []byte) (int, english.Phrase) {
	for i := 1; i < len(text); i++ {
		if text[i-1] != cell.Blank && text[i-1] != '-' {
			continue
		}
		if p, ok := v.Words.Lookup(text[i:]); ok && p.ID == english.Volume && p.N > 0 && len(p.Tail) == 0 {
			return i, p
		}
	}
	return 0, english.Phrase{}
}

// joinStatements finds volume statements that run over two centred lines:
// "complete in four", "braille volumes". The first may be so long that no margin
// shows.
func (v *Volume) joinStatements(from, to int) {
	for i := from + 1; i < to; i++ {
		p, u := &v.Units[i-1], &v.Units[i]
		if p.Rule || !u.Centred || u.Blanks > 0 || p.Statement() || len(p.Text)+len(u.Text) > 60 {
			continue
		}
		both := *p
		both.Text = append(append(append([]byte(nil), p.Text...), cell.Blank), u.Text...)
		if both.lookUp(v.Words); both.Statement() && len(both.Phrase.Tail) == 0 {
			p.Phrase, p.HasPhrase, u.Phrase, u.HasPhrase = both.Phrase, true, both.Phrase, true
		}
	}
}

// titleEnd ends a title page before running text, where the page is longer than
// a page of paper: its end was not found.
func (v *Volume) titleEnd(from, to int) int {
	if to-from <= 32 {
		return to
	}
	for i := from + 1; i+2 < to; i++ {
		a, b, c := &v.Units[i], &v.Units[i+1], &v.Units[i+2]
		flows := !a.Centred && b.From == 0 && c.From <= 2 && b.Blanks+c.Blanks == 0 && slack(a, b) < 0
		if flows && (slack(b, c) < 0 || int(b.To) > v.TextWidth/2) || i-from >= 40 {
			return i
		}
	}
	return to
}

func (v *Volume) imprint(u *Unit) bool {
	p, ok := v.Words.Prefix(u.Text)
	if !ok {
		return false
	}
	switch p.ID {
	case english.PublishedBy, english.ProducedBy, english.TranscribedBy, english.Isbn, english.Copyright, english.FirstPublished:
		return true
	}
	return false
}

func (v *Volume) readStatement(u *Unit) {
	switch u.Phrase.ID {
	case english.Volume:
		v.Number = u.Phrase.N
		if u.Phrase.M > 0 {
			v.Of = u.Phrase.M
		}
	case english.InVolumes:
		v.Of = u.Phrase.N
	case english.PrelimVolume:
		v.Prelim = true
	}
}

// titleHead counts the lines of the title itself: those up to the first blank
// line, rule, phrase of a title page or author line.
func (v *Volume) titleHead() {
	from, to := v.Title[0], v.Title[1]
	for from < to && (v.Units[from].Rule || v.Units[from].Statement()) {
		from++
	}
	by := v.authorAt()
	for i := from + 1; i < to; i++ { // a half title before it
		if v.Units[i].Page > v.Units[from].Page && layout.Normal(v.Units[i].Text) == layout.Normal(v.Units[from].Text) {
			from = i
		}
	}
	n := 0
	for i := from; i < to && n < 5; i++ {
		u := &v.Units[i]
		if u.Rule || u.Statement() || u.is(english.By, english.PublishedBy, english.ProducedBy, english.TranscribedBy, english.FirstPublished) || i > from && (u.Blanks > 0 || i == by || u.Page != v.Units[from].Page) {
			break
		}
		n++
	}
	v.TitleFrom, v.TitleHead = from, n
}

// TitleLines returns the normalised lines of the title.
func (v *Volume) TitleLines() []string {
	var out []string
	for _, u := range v.TitleUnits() {
		out = append(out, layout.Normal(u.Text))
	}
	return out
}

// TitleUnits returns the lines of the title itself.
func (v *Volume) TitleUnits() []Unit { return v.Units[v.TitleFrom : v.TitleFrom+v.TitleHead] }

// Alone reports whether a unit stands by itself, as a heading does.
func (v *Volume) Alone(i int) bool {
	u := &v.Units[i]
	return u.Centred || u.PageTop || u.Blanks > 0 || (i > 0 && v.Units[i-1].Rule)
}

// CanHead reports whether the place of unit i lets it be the first line of a heading: set apart, or
// begun anew, or further in, after a sentence or a line in the middle, with no end of one itself, over something that is.
func (v *Volume) CanHead(i int) bool {
	if v.Alone(i) {
		return true
	}
	u := &v.Units[i]
	if i == 0 || i+1 >= len(v.Units) || u.Rule || endsClause(u.Text) {
		return false
	}
	prev, next := &v.Units[i-1], &v.Units[i+1]
	if slack(prev, u) < 2 && u.From < prev.From+4 || !EndsSentence(prev.Text) && !prev.Centred {
		return false
	}
	return next.PageTop || next.Blanks > 0 || slack(u, next) >= 0
}

// findContents finds contents lists: a heading that says so and the lines
// after it that look like entries, over pages that repeat the heading or go on
// in the same way.
func (v *Volume) findContents() {
	limit := max(len(v.Units)/2, min(len(v.Units), 80))
	for i := 0; i < limit; i++ {
		u := &v.Units[i]
		if !u.HasPhrase && v.volumesListed(i) {
			u.Phrase, u.HasPhrase = &english.Phrase{ID: english.GeneralContents}, true
		}
		if !u.is(english.Contents, english.GeneralContents) || !v.Alone(i) {
			continue
		}
		general := u.is(english.GeneralContents)
		if v.ofAnotherWork(i) {
			continue
		}
		to := v.contentsEnd(i, general)
		if !general && v.entryShare(i+1, v.numberedTo(i, to)) < 0.34 {
			general = v.namesVolumes(i+1, to)
			if end := v.namedList(i); !general && end > 0 {
				to = end
			} else if !general {
				continue
			}
		}
		if !v.bareListAgain(i, to, general) {
			back := !general && v.Number > 0 && i > v.Title[1] && v.endsVolume(to) // behind the little text of a volume
			v.Contents = append(v.Contents, Region{From: i, To: to, General: general, Back: back})
		}
		i = to - 1
	}
	v.findUnnamedLists()
	v.findBackList()
}

// findBackList finds the contents list that ends the last volume of a book, as it does in many countries (common practice
// in France, Italy and Spain): where no list stands before the text, nothing but what ends the volume comes after it.
func (v *Volume) findBackList() {
	if len(v.Contents) > 0 {
		return
	}
	for i := len(v.Units) / 2; i < len(v.Units); i++ {
		u := &v.Units[i]
		if !u.is(english.Contents) || !u.Centred || !u.PageTop || !v.Alone(i) {
			continue
		}
		if to := v.contentsEnd(i, false); v.entryShare(i+1, to) >= 0.5 && v.endsVolume(to) {
			v.Contents = append(v.Contents, Region{From: i, To: to, Back: true})
		}
		return
	}
}

// endsVolume reports whether from unit i on, on the page of the unit before it, nothing stands but rules and lines that end
// the volume.
func (v *Volume) endsVolume(i int) bool {
	page := v.Units[i-1].Page
	for ; i < len(v.Units); i++ {
		u := &v.Units[i]
		if !u.HasPhrase {
			u.lookUp(v.Words)
		}
		if u.Page != page || !u.Rule && !u.is(english.EndOfVolume, english.EndOfBook, english.ContinuedIn) {
			return false
		}
	}
	return true
}

// bareListAgain adds the entries under heading i, up to unit to, to the list right before it where neither has numbers and
// that has the same heading: one list over several pages, whose entries go over them.
func (v *Volume) bareListAgain(i, to int, general bool) bool {
	n := len(v.Contents)
	if n == 0 || v.Contents[n-1].To != i || v.Contents[n-1].General != general || layout.Normal(v.Units[v.Contents[n-1].From].Text) != layout.Normal(v.Units[i].Text) {
		return false
	}
	last := &v.Contents[n-1]
	if v.entryShare(last.From+1, i) > 0 || v.entryShare(i+1, to) > 0 {
		return false
	}
	last.To = to
	return true
}

// numberedTo is the unit up to which the list under heading i, which ends before unit to, has numbers, where three lines
// or more have them and the entries of later volumes come after those without: a list of all in the first volume.
func (v *Volume) numberedTo(i, to int) int {
	numbers, last := 0, to
	for k := i + 1; k < to; k++ {
		if EndsInLabel(v.Units[k].Text) && !v.partLine(k) {
			numbers, last = numbers+1, k+1
		}
	}
	if numbers < 3 || !v.bareTail(i, to) {
		return to
	}
	return last
}

// volumesListed reports whether unit i heads a list of what stands in which volume, whatever its words: in the
// middle at the top of one of the first pages, and volume 1, volume 2 and so on stand under it in the middle, each
// over its entries.
func (v *Volume) volumesListed(i int) bool {
	u := &v.Units[i]
	if i < v.Title[1] || !u.PageTop || !u.Centred || u.Rule || u.Page >= 12 {
		return false
	}
	volumes, entries, end := 0, 0, v.pageEnd(i)
	for k := i + 1; k < end; k++ {
		switch x := &v.Units[k]; {
		case x.Centred && x.is(english.Volume):
			if x.Phrase.N != volumes+1 || volumes > 0 && entries == 0 {
				return false
			}
			volumes, entries = volumes+1, 0
		case volumes > 0:
			entries++
		}
	}
	return volumes >= 2 && v.listLike(i+1, end)
}

// namedList is the unit after the entries without numbers under contents heading i, 0 where
// there are none: the headings of the text bear them out, or, at the top of one of the first pages,
// they are no running text.
func (v *Volume) namedList(i int) int {
	u := &v.Units[i]
	if i+1 == len(v.Units) || v.Units[i+1].Page != u.Page {
		return 0
	}
	to, sure := v.bareEntries(i + 1)
	if sure || u.PageTop && u.Centred && u.Page < 12 && int(u.Page) <= len(v.Pages)/3 && to >= i+2 && v.listLike(i+1, to) {
		return to
	}
	return 0
}

// contentsEnd returns the unit after the last one of the contents list whose
// heading is unit i.
func (v *Volume) contentsEnd(i int, general bool) int {
	j := i + 1
	for j < len(v.Units) {
		u := &v.Units[j]
		if u.Page != v.Units[j-1].Page && (!v.contentsGoesOn(j, general) && !v.itemsGoOn(i, j) && !((general || v.bareTail(i, j) || v.noNumber(j-1) && v.entriesAlone(j)) && v.bareGoesOn(i+1, j, j-i-1, nil)) || v.numbersBegin(i, j)) {
			return j
		}
		if u.Rule {
			if j > i+3 && !v.contentsAfterRule(j+1, general) {
				return j + 1
			}
		} else if v.newSection(j, general) {
			return j
		}
		j++
	}
	return j
}

// itemsGoOn reports whether the page that unit j begins goes on the numbers that the entries under heading i begin with,
// those of hymns: its first two at their cell count on by one.
func (v *Volume) itemsGoOn(i, j int) bool {
	last, k := 0, j
	for last == 0 && k > i+1 {
		k--
		last = leadingNumber(v.Units[k].Text)
	}
	found, in := 0, v.Units[k].From
	for k := j; k < v.pageEnd(j) && found < 2 && last > 0; k++ {
		if v.Units[k].From == in {
			if found++; leadingNumber(v.Units[k].Text) != last+found {
				return false
			}
		}
	}
	return found == 2
}

// leadingNumber is the number, with its sign, that a text begins with before other words, 0 for none.
func leadingNumber(t []byte) int {
	w := firstWord(t)
	if l, ok := cell.ParseLabel(bytes.TrimRight(w, "4")); ok && w[0] == '#' && len(w) < len(t) && l.Last == l.Value {
		return l.Value
	}
	return 0
}

// bareTail reports whether six units or more before unit j, of the list under heading i, have no numbers: the entries of
// later volumes in a list of all. The number of a hymn or the like at the end of an entry, one blank off, is none where
// those of pages are set off from theirs.
func (v *Volume) bareTail(i, j int) bool {
	apart := slices.ContainsFunc(v.Units[i+1:j], func(u Unit) bool { return setOff(u.Text) })
	for k := j - 1; k >= j-6; k-- {
		if k <= i || EndsInLabel(v.Units[k].Text) && !v.partLine(k) && (!apart || setOff(v.Units[k].Text)) || v.Units[k].Rule {
			return false
		}
	}
	return true
}

// noNumber reports whether unit k can be an entry of a list, or a line of one, that has no number.
func (v *Volume) noNumber(k int) bool {
	u := &v.Units[k]
	return !u.Rule && (!EndsInLabel(u.Text) || v.partLine(k))
}

// entriesAlone reports whether the page that unit j begins holds nothing but entries without numbers: no blank line stands
// among them, and one in five at most ends as clauses of text and lines of verse do.
func (v *Volume) entriesAlone(j int) bool {
	n, ended := 0, 0
	for k, end := j, v.pageEnd(j); k < end; k++ {
		u := &v.Units[k]
		if k > j && u.Blanks > 0 || !v.noNumber(k) {
			return false
		}
		n, ended = n+1, ended+boolInt(endsClause(u.Text))
	}
	return n > 0 && ended*5 <= n
}

// setOff reports whether a text ends in a label behind guide dots or two blanks.
func setOff(t []byte) bool {
	i := labelAt(t)
	return i >= 2 && (t[i-2] == cell.Blank || guideEnds(t[:i-1]))
}

// numbersBegin reports whether the page that unit j begins has a contents heading too,
// and entries with numbers, where the list under heading i has had none: that was the
// end of a general contents over several pages, or the second line of a heading over
// something else, "symbols used" and under it "in this volume".
func (v *Volume) numbersBegin(i, j int) bool {
	return v.Units[j].is(english.Contents) && (v.secondLine(i) || v.namesVolumes(i+1, j)) && v.entryShare(i+1, j) == 0 && v.entryShare(j+1, v.pageEnd(j)) >= 0.6
}

// secondLine reports whether unit i stands in the middle, hard under another line that does.
func (v *Volume) secondLine(i int) bool {
	if i == 0 {
		return false
	}
	p, u := &v.Units[i-1], &v.Units[i]
	return p.Centred && u.Centred && p.Page == u.Page && u.Blanks == 0
}

func (v *Volume) contentsAfterRule(j int, general bool) bool {
	if j >= len(v.Units) {
		return false
	}
	if v.Units[j].Page == v.Units[j-1].Page {
		to := v.pageEnd(j)
		return !general && v.entryShare(j, to) >= 0.5
	}
	return v.contentsGoesOn(j, general)
}

func (v *Volume) pageEnd(j int) int {
	p := v.Units[j].Page
	for j < len(v.Units) && v.Units[j].Page == p {
		j++
	}
	return j
}

// contentsGoesOn reports whether the page that unit j begins still belongs to
// the list.
func (v *Volume) contentsGoesOn(j int, general bool) bool {
	u := &v.Units[j]
	if u.is(english.GeneralContents) {
		return general
	}
	if u.is(english.Contents) {
		return u.Phrase.Continued || !general
	}
	if general && (u.is(english.Volume) || u.is(english.Continued) || v.volumeGroups(j) || v.entriesFlow(j)) {
		return true
	}
	return !general && v.entriesGoOn(j)
}

// entriesGoOn reports whether the page that unit j begins goes on a contents
// list: it does not begin with a heading or as page one of the text, most of
// its lines are entries, and its first number does not fall behind the last, but under the name of a volume.
func (v *Volume) entriesGoOn(j int) bool {
	u := &v.Units[j]
	if u.Centred && !EndsInLabel(u.Text) && !u.is(english.Page, english.BraillePage, english.PrintPage, english.Columns, english.Continued, english.Volume) && v.restOfEntry(j) == j && !v.entryInMiddle(j) {
		return false
	}
	if v.numbersAnew(j) || v.underlined(j) || v.endsShort(j) { // the text begins, or headings of columns
		return false
	}
	if u.is(english.Index, english.Glossary, english.Bibliography) && !EndsInLabel(u.Text) && j+1 < len(v.Units) && v.Units[j+1].Blanks > 0 {
		return false // a heading at an indent
	}
	if rest, end := v.restOfEntry(j), v.pageEnd(j); v.entryShare(rest, v.lastNumbered(j, end)) < 0.6 && !(rest > j && (v.onlyRules(rest, end) || setOff(v.Units[rest-1].Text) && v.entriesAlone(rest) && v.listLike(rest, end))) || v.columns(j, 1) && !v.columns(j-1, -1) {
		return false
	}
	last, next := v.entryLabel(j-1, -1), v.entryLabel(j, 1)
	return last == nil || next == nil || last.Roman != next.Roman || next.Value >= last.Value || u.is(english.Volume) || v.begunAnew(j)
}

// lastNumbered is the unit after the last with a number, set off, on the page of unit j, which ends before unit end: of two at
// least, where more than six units without come after, in no running text: the entries of later volumes. It is end elsewhere.
func (v *Volume) lastNumbered(j, end int) int {
	n, last := 0, j
	for k := j; k < end; k++ {
		if setOff(v.Units[k].Text) {
			n, last = n+1, k+1
		}
	}
	if n < 2 || end-last <= 6 || !v.fillsPage(j-1) || !v.listLike(last, end) {
		return end
	}
	return last
}

// begunAnew reports whether the numbers of the entries on the page that ends before unit j fall already, as those of a list for
// several volumes do that is numbered anew in each, and most on its own page have guide dots.
func (v *Volume) begunAnew(j int) bool {
	fell, last := false, 0
	for k := j - 1; k >= 0 && v.Units[k].Page == v.Units[j-1].Page; k-- {
		if at := labelAt(v.Units[k].Text); at > 0 {
			l, _ := cell.ParseLabel(v.Units[k].Text[at:])
			fell = fell || last > 0 && l.Value > last
			last = l.Value
		}
	}
	n, led := v.ledNumbers(j, v.pageEnd(j))
	return fell && led*2 > n
}

// ledNumbers counts the units that end in a number, and those that guide dots or a gap lead to.
func (v *Volume) ledNumbers(from, to int) (n, led int) {
	for k := from; k < to; k++ {
		if EndsInLabel(v.Units[k].Text) {
			_, by := withoutNumber(v.Units[k].Text)
			n, led = n+1, led+boolInt(by)
		}
	}
	return n, led
}

// endsShort reports whether the page before unit j, of entries with their numbers led to, has room for more, and no number is
// led to on the page of unit j: an index or a glossary begins there.
func (v *Volume) endsShort(j int) bool {
	if v.fillsPage(j-1) || v.Units[j].is(english.Volume) {
		return false
	}
	from := j - 1
	for from > 0 && v.Units[from-1].Page == v.Units[j-1].Page {
		from--
	}
	before, led := v.ledNumbers(from, j)
	_, now := v.ledNumbers(j, v.pageEnd(j))
	return led > 0 && led == before && now == 0
}

// numbersAnew reports whether the braille pages are numbered anew from the page that unit j
// begins on, as they are where the text begins.
func (v *Volume) numbersAnew(j int) bool {
	b, before := v.Pages[v.Units[j].Page].Braille, v.Pages[v.Units[j-1].Page].Braille
	return b != nil && (b.Value == 1 && !b.Roman && b.Prefix == "" || before != nil && (b.Roman != before.Roman || b.Prefix != before.Prefix))
}

// underlined reports whether one of the units after unit j, three at most and on its page, underlines
// the headings of columns: a table, no list of entries (Rules of Unified English Braille 2013, 16.2).
func (v *Volume) underlined(j int) bool {
	for k := j + 1; k < len(v.Units) && k <= j+3 && v.Units[k].Page == v.Units[j].Page; k++ {
		if t := v.Units[k].Text; Underlines(t) && bytes.IndexByte(t, cell.Blank) > 0 {
			return true
		}
	}
	return false
}

// restOfEntry is the unit after the runovers with which unit j, the first of a page, goes on
// an entry of the page before, down to the one with its number; j when it goes on none.
func (v *Volume) restOfEntry(j int) int {
	u, p := &v.Units[j], &v.Units[j-1]
	runs := u.From > p.From || u.From == p.From && v.outdent(j)
	if u.From == 0 || !runs || p.Rule || p.Centred && !v.listRunover(j-1) || EndsInLabel(p.Text) {
		return j
	}
	for k, end := j, min(j+6, v.pageEnd(j)); k < end && v.Units[k].From == u.From && (k == j || v.Units[k].Blanks == 0); k++ {
		if EndsInLabel(v.Units[k].Text) {
			return k + 1
		}
	}
	return j
}

// outdent reports whether a unit before unit j, four at most, on the page before stands further out.
func (v *Volume) outdent(j int) bool {
	for k := j - 1; k >= max(1, j-4) && v.Units[k].Page == v.Units[j-1].Page && (!v.Units[k].Centred || v.listRunover(k)); k-- {
		if v.Units[k].From < v.Units[j].From {
			return !EndsInLabel(v.Units[k].Text)
		}
	}
	return false
}

// onlyRules reports whether no unit from one up to another is anything but a rule.
func (v *Volume) onlyRules(from, to int) bool {
	for ; from < to; from++ {
		if !v.Units[from].Rule {
			return false
		}
	}
	return true
}

// columns reports whether half of the units of a page, three of them at least, from unit i on in
// steps, end in two numbers set apart: the rows of a table.
func (v *Volume) columns(i, step int) bool {
	n, rows := 0, 0
	for page := v.Units[i].Page; i >= 0 && i < len(v.Units) && v.Units[i].Page == page; i += step {
		t := v.Units[i].Text
		from := labelAt(t)
		if from == 0 {
			continue
		}
		n++
		for from > 0 && t[from-1] == cell.Blank {
			from--
		}
		if labelAt(t[:from]) > 0 {
			rows++
		}
	}
	return n >= 3 && 2*rows >= n // the title of a chapter may end in a number
}

// entryLabel is the label of the first unit from i on, in steps, on one page
// that ends in one.
func (v *Volume) entryLabel(i, step int) *cell.Label {
	for page := v.Units[i].Page; i >= 0 && i < len(v.Units) && v.Units[i].Page == page; i += step {
		t := v.Units[i].Text
		if from := labelAt(t); from > 0 {
			l, _ := cell.ParseLabel(t[from:])
			return &l
		}
	}
	return nil
}

// volumeGroups reports whether the page that unit j begins names a volume in a
// heading, or stands before another contents page, and holds no running text.
func (v *Volume) volumeGroups(j int) bool {
	end := v.pageEnd(j)
	named := end < len(v.Units) && v.Units[end].is(english.Contents) && !v.Units[j].Centred && !v.Units[j].HasPhrase
	full := 0
	for k := j; k < end; k++ {
		u := &v.Units[k]
		named = named || u.Centred && u.is(english.Volume)
		if k > j && !u.Rule && !u.Centred && slack(&v.Units[k-1], u) < 0 && u.From == 0 && !v.numbered(u) {
			full++
		}
	}
	return named && full*4 <= end-j
}

// numbered reports whether a unit begins with the name and number of a part:
// "chapter 5", as contents entries do.
func (v *Volume) numbered(u *Unit) bool {
	p, ok := v.Words.Prefix(u.Text)
	return ok && p.N > 0
}

// entriesFlow reports whether the page that unit j begins goes on with the
// entries of a general list: the page before is full, the lines begin at the
// same cell, and no running text follows.
func (v *Volume) entriesFlow(j int) bool {
	u, p := &v.Units[j], &v.Units[j-1]
	if u.Filler > 1 || u.Centred || u.Rule || u.Blanks > 0 || p.Centred || u.From != p.From {
		return false
	}
	before, _ := v.Words.Prefix(p.Text)
	here, ok := v.Words.Prefix(u.Text)
	goesOn := ok && here.ID == before.ID && here.N > before.N ||
		u.is(english.Index, english.Notes, english.Endnotes, english.Glossary, english.Bibliography, english.Afterword)
	if !goesOn && (before.N > 0 || int(u.To) > v.TextWidth*3/4) {
		return false
	}
	for k, end := j+1, v.pageEnd(j); k < end && !v.Units[k].Rule; k++ {
		if v.Units[k].From == 0 && !v.numbered(&v.Units[k]) && slack(&v.Units[k-1], &v.Units[k]) < 0 {
			return false
		}
	}
	return true
}

// newSection reports whether unit j, on a page of the list, begins something
// else: a centred heading after which no entries stand; none is the last line of a page.
func (v *Volume) newSection(j int, general bool) bool {
	u := &v.Units[j]
	if !u.Centred || EndsInLabel(u.Text) || v.listRunover(j) {
		return false
	}
	if u.is(english.Volume, english.Page, english.BraillePage, english.PrintPage, english.Columns, english.Chapter, english.Part, english.Book, english.Section, english.Contents, english.Continued) {
		return false
	}
	if general {
		return u.HasPhrase && !u.is(english.GeneralContents)
	}
	end := v.pageEnd(j)
	return v.entryShare(j+1, end) < 0.34 && (j+1 < end || v.Units[j-1].From >= u.From || !v.fillsPage(j))
}

// listRunover reports whether unit j of a list, in the middle by chance, goes on the entry of the
// line before it, which has no number, from the page before perhaps, under the heading and the heads of columns again: it
// stands further in, where another line before it or on its page does that has a number or is not in the middle, or the
// line before it ends in a word that no heading ends in.
func (v *Volume) listRunover(j int) bool {
	u, o := &v.Units[j], j-1
	for o > 0 && v.Units[o].Page == u.Page && v.Units[o].is(english.Contents, english.Page, english.BraillePage, english.PrintPage, english.Columns) {
		o--
	}
	p, again := &v.Units[o], o < j-1
	if again && (p.Page == u.Page || p.Centred) {
		return false
	}
	if u.Blanks > 0 && !again && u.Page == p.Page || p.Rule || p.Centred && p.From != u.From || p.HasPhrase && !v.numbered(p) || EndsInLabel(p.Text) || u.From < p.From {
		return false
	}
	if u.From > p.From && (endsNothing[layout.Normal(lastWord(p.Text))] || beginsNothing[string(firstWord(u.Text))]) {
		return true
	}
	if u.Page != p.Page && !again && (j+1 == len(v.Units) || v.likeMiddle(j+1, u) || v.Units[j+1].Page != u.Page || v.Units[j+1].Blanks > 0) {
		return false // a heading
	}
	for k, end := max(1, j-200), v.pageEnd(j); k < end; k++ {
		x, o := &v.Units[k], k-1
		if k == j || x.From != u.From || v.likeMiddle(k, u) && !EndsInLabel(x.Text) && !(again && k < j) {
			continue
		}
		for o > 0 && v.Units[o].From == u.From { // the lines of the entry before its last
			o--
		}
		if v.Units[o].From < u.From && !EndsInLabel(v.Units[k-1].Text) {
			return true
		}
	}
	return false
}

// endsNothing are words that no heading and no entry ends in, in every English code, and beginsNothing some without a
// capital that none begins with.
var endsNothing, beginsNothing = setOf("the ! a an of ( and & &! (! &(! &( =! )!"), setOf("and & &! &( &(!")

// likeMiddle reports whether unit k stands in the middle and could as well if another that begins at its cell does: both
// are of one length, or nearly.
func (v *Volume) likeMiddle(k int, u *Unit) bool {
	x := &v.Units[k]
	differ := len(x.Text) - len(u.Text)
	return x.Centred && !(x.From == u.From && (differ < -1 || differ > 1))
}

// entryShare is the share of entries, among the units that can begin one, that
// end in a page label.
func (v *Volume) entryShare(from, to int) float64 {
	n, hits := 0, 0
	for i := from; i < to; i++ {
		u := &v.Units[i]
		if u.Rule || u.Centred && !EndsInLabel(u.Text) || u.is(english.Contents, english.Volume, english.Page, english.BraillePage, english.PrintPage, english.Columns) || v.partLine(i) {
			continue
		}
		n++
		if last := v.entryLast(i, to); last >= 0 {
			hits++
			i = last
		}
	}
	if n == 0 {
		return 0
	}
	return float64(hits) / float64(n)
}

// ListReach is how far the text of the contents list with unit k reaches, its numbers
// and their guide dots apart: entries are kept short of the column of numbers. It is
// the width of the text where three lines or fewer tell.
func (v *Volume) ListReach(k int) int {
	for _, c := range v.Contents {
		if k < c.From || k >= c.To {
			continue
		}
		var ends []int
		for i := c.From; i < c.To; i++ {
			if u := &v.Units[i]; !u.Rule && !u.Centred && !u.HasPhrase && !EndsInLabel(u.Text) && int(u.From)*2 < v.TextWidth { // the heads of its columns stand at the right
				ends = append(ends, int(u.To))
			}
		}
		if n := len(ends); n > 3 {
			slices.Sort(ends)
			return ends[n-1-n/10] // one in ten may be no entry
		}
	}
	return v.TextWidth
}

// entryLast is the unit with the number of the entry that unit i begins: itself, or a
// runover further in, the sixth at most. -1 when there is none.
func (v *Volume) entryLast(i, to int) int {
	for j := i; j < to && j <= i+6; j++ {
		u := &v.Units[j]
		if j > i && (u.From <= v.Units[i].From || u.Rule || u.Blanks > 0) {
			break
		}
		if EndsInLabel(u.Text) || j > i && LabelAlone(u.Text) {
			return j
		}
	}
	return -1
}

// LabelAlone reports whether a line is a page number and no more.
func LabelAlone(t []byte) bool {
	l, ok := cell.ParseLabel(t)
	return ok && !l.Bare
}

// entryInMiddle reports whether unit i, in the middle by chance, begins an entry: its number stands on a runover, and another
// unit of its page that has a number or is not in the middle begins at its cell.
func (v *Volume) entryInMiddle(i int) bool {
	end := v.pageEnd(i)
	return v.entryLast(i, end) > i && slices.ContainsFunc(v.Units[i:end], func(u Unit) bool { return u.From == v.Units[i].From && (!u.Centred || EndsInLabel(u.Text)) })
}

func (v *Volume) namesVolumes(from, to int) bool {
	for i := from; i < to; i++ {
		if v.Units[i].is(english.Volume) {
			return true
		}
	}
	return false
}

// EndsInLabel reports whether the last word of a text is a page label.
func EndsInLabel(t []byte) bool {
	from := labelAt(t)
	return from > 0
}

// labelAt returns where the page label at the end of a contents entry begins,
// 0 if there is none. A bare roman counts after guide dots or a gap only.
func labelAt(t []byte) int {
	i := len(t)
	for i > 0 && t[i-1] != cell.Blank {
		i--
	}
	if i == 0 {
		return 0
	}
	l, ok := cell.ParseLabel(t[i:])
	if !ok {
		return 0
	}
	if l.Bare && !(i >= 2 && (t[i-2] == cell.Blank || guideEnds(t[:i-1]))) {
		return 0
	}
	return i
}

func guideEnds(t []byte) bool {
	n := len(t)
	return n >= 2 && t[n-1] == t[n-2] && cell.Guide(t[n-1])
}

// findBody estimates on which page the text begins: after the last page, near
// the start, that shows signs of preliminary matter.
func (v *Volume) findBody() {
	last := int32(-1)
	if v.Title[1] > 0 {
		last = v.Units[v.Title[0]].Page
		if v.Number == 0 && v.onlyStatements(last+1) {
			last++
		}
	}
	for _, r := range v.Contents {
		if p := v.Units[r.To-1].Page; p > last && p < 60 && !r.Back {
			last = p
		}
	}
	limit := int32(min(40, len(v.Pages)/2+1))
	for _, r := range v.Contents {
		if r.Back {
			limit = min(limit, v.Units[r.From].Page-1)
		}
	}
	for p := last + 1; p <= limit && int(p) < len(v.Pages) && v.Pages[p].Braille != nil && v.Pages[p].Braille.Prefix == "t"; p++ {
		last = p // pages that the transcriber made (BANA Braille Formats 2011, 2.2.1)
	}
	for i := range v.Units {
		u := &v.Units[i]
		if u.Page > limit {
			break
		}
		if u.Page > last && v.Alone(i) && u.is(english.SpecialSymbols, english.TranscribersNotes, english.Copyright, english.FirstPublished, english.Isbn, english.AllRights, english.Dedication, english.TranscribedBy, english.ProducedBy, english.Permission) {
			last = u.Page
		}
	}
	v.BodyPage = last + 1
	if p := v.restartPage(limit); p > v.BodyPage {
		v.BodyPage = p
	}
	if p := v.titleAgain(limit); p > v.BodyPage {
		v.BodyPage = p
	}
	v.readFront()
}

// onlyStatements reports whether a page holds centred volume statements and rules,
// and nothing else: the title page had no room for them.
func (v *Volume) onlyStatements(p int32) bool {
	said := false
	from, to := v.pageUnits(p)
	for i := from; i < to; i++ {
		u := &v.Units[i]
		if !u.Rule && !(u.Centred && u.Statement()) {
			return false
		}
		said = said || u.is(english.Volume)
	}
	return said
}

// readFront reads volume statements that stand on other pages of the
// preliminary matter than the title page.
func (v *Volume) readFront() {
	for i := v.Title[1]; i < len(v.Units) && v.Units[i].Page < v.BodyPage; i++ {
		if u := &v.Units[i]; v.FrontStatement(i) && v.Number == 0 && v.Of == 0 || u.is(english.Volume, english.PrelimVolume) && v.FrontStatement(i) && v.Number == 0 {
			v.readStatement(u)
		}
	}
}

// FrontStatement reports whether unit i, after the title page, is a volume
// statement of its own: centred, on one of the next pages, in no contents list.
func (v *Volume) FrontStatement(i int) bool {
	u := &v.Units[i]
	if !u.Centred || !u.Statement() || u.Page > 3 || u.Page >= v.BodyPage {
		return false
	}
	for _, r := range v.Contents {
		if i >= r.From && i < r.To {
			return false
		}
	}
	return true
}

// restartPage is the page on which braille page numbers begin at one again
// after pages numbered in another way, 0 if none.
func (v *Volume) restartPage(limit int32) int32 {
	for p := int32(1); p <= limit && int(p) < len(v.Pages); p++ {
		b := v.Pages[p].Braille
		if b == nil || b.Roman || b.Prefix != "" || b.Value > 2 {
			continue
		}
		if b.Value == 1 {
			return p
		}
	}
	return 0
}

// titleAgain is the page at whose top the title stands again, 0 if none.
func (v *Volume) titleAgain(limit int32) int32 {
	if v.TitleHead == 0 {
		return 0
	}
	title := strings.Join(v.TitleLines()[:v.TitleHead], " ") + " "
	for i := v.Title[1]; i < len(v.Units) && v.Units[i].Page <= limit; i++ {
		u := &v.Units[i]
		if !u.PageTop || !u.Centred || layout.Normal(u.Text) != v.TitleLines()[0] {
			continue
		}
		said := layout.Normal(u.Text) + " "
		if i+1 < len(v.Units) && v.FurtherLine(i+1) {
			said += layout.Normal(v.Units[i+1].Text) + " " // of another heading that begins so
		}
		if strings.HasPrefix(title, said) || strings.HasPrefix(said, title) {
			return u.Page
		}
	}
	return 0
}

// findEnd finds the lines at the end of the volume that only say so.
func (v *Volume) findEnd() {
	n := len(v.Units)
	v.End = [2]int{n, n}
	low := n - 5
	for i := n - 2; i > 0 && v.Units[i].Page == v.Units[n-1].Page; i-- {
		if v.separation(i) && NoteStart(v.Units[i+1].Text) { // notes at the foot of the last page
			low = i - 2
		}
	}
	for i := n - 1; i >= 0 && i >= low; i-- {
		u := &v.Units[i]
		if !u.HasPhrase {
			u.lookUp(v.Words)
		}
		if i+1 < n {
			v.joinEnds(u, &v.Units[i+1])
		}
		if u.is(english.EndOfVolume, english.ContinuedIn) && (u.Indent() > 2 || u.Blanks > 0 || i == n-1 || v.Units[i+1].Rule) {
			v.End[0] = i
		}
	}
	if v.End[0] == n && !v.endBeforeNotes() {
		v.endTail()
		return
	}
	v.endRules()
}

// endBeforeNotes finds the line that says that the volume ends where the notes of the volume stand under their heading
// after it, as they do when they are made up last (common practice in the United Kingdom).
func (v *Volume) endBeforeNotes() bool {
	n := len(v.Units)
	for head := n - 2; head > n*2/5; head-- {
		if h := &v.Units[head]; !h.is(english.Notes, english.Footnotes, english.Endnotes) || !v.Alone(head) {
			continue
		}
		u := &v.Units[head-1]
		if !u.HasPhrase {
			u.lookUp(v.Words)
		}
		if !u.is(english.EndOfVolume, english.ContinuedIn) || u.Blanks == 0 && u.Indent() <= 2 {
			continue
		}
		if !v.looksLikeNotes(head+1, n) {
			return false
		}
		v.End = [2]int{head - 1, head}
		return true
	}
	return false
}

// EndAt takes unit k for the line that says that the volume ends, whatever its words.
func (v *Volume) EndAt(k int) {
	u := &v.Units[k]
	u.Phrase, u.HasPhrase = &english.Phrase{ID: english.EndOfVolume, N: v.Number}, true
	v.End = [2]int{k, len(v.Units)}
	v.endRules()
}

// endRules takes the rules before the line that says that the volume ends with it; not
// asterisks, which break a scene.
func (v *Volume) endRules() {
	for v.End[0] > 0 && v.Units[v.End[0]-1].Rule && !Asterisks(v.Units[v.End[0]-1].Text) {
		v.End[0]--
	}
}

// joinEnds finds the words that end a volume on two centred lines: "the story
// continues in", "volume two".
func (v *Volume) joinEnds(p, u *Unit) {
	if !p.Centred || !u.Centred || u.Blanks > 0 || p.HasPhrase || u.is(english.EndOfVolume, english.ContinuedIn) || len(p.Text)+len(u.Text) > 60 {
		return
	}
	both := *p
	both.Text = append(append(append([]byte(nil), p.Text...), cell.Blank), u.Text...)
	if both.lookUp(v.Words); both.is(english.EndOfVolume, english.ContinuedIn) && len(both.Phrase.Tail) == 0 {
		p.Phrase, p.HasPhrase, u.Phrase, u.HasPhrase = both.Phrase, true, both.Phrase, true
	}
}

// endTail finds end-of-volume words that share the last line of text (EBAE
// common practice: after three blanks or more).
func (v *Volume) endTail() {
	if len(v.Units) == 0 {
		return
	}
	u := &v.Units[len(v.Units)-1]
	t := u.Text
	for i := len(t) - 1; i > 3; i-- {
		if t[i] == cell.Blank || t[i-1] != cell.Blank || t[i-2] != cell.Blank || t[i-3] != cell.Blank {
			continue
		}
		if p, ok := v.Words.Lookup(t[i:]); ok && (p.ID == english.EndOfVolume || p.ID == english.ContinuedIn) {
			v.EndTail, v.EndLine = layout.Span{From: u.From + int32(i), To: u.To}, u.Line
			for i > 0 && t[i-1] == cell.Blank {
				i--
			}
			u.To, u.Text, u.wide = u.From+int32(i), t[:i], wideGap(t[:i])
		}
		return
	}
}

// findNotes finds notes gathered at the end of the volume: the last heading
// that says so, after which most entries begin with a mark or a number, and
// no other heading of the kind stands earlier in the text.
func (v *Volume) findNotes() {
	v.Notes = [2]int{v.End[0], v.End[0]}
	if n := len(v.Units); v.End[1] < n {
		v.Notes = [2]int{v.End[1], n}
		return
	}
	if v.notesUnderEnd() {
		v.Notes = [2]int{len(v.Units), len(v.Units)}
	}
	head, end := -1, v.End[0]
	for _, r := range v.Contents {
		if r.Back && r.From > v.Title[1] {
			end = min(end, r.From)
		}
	}
	for i := end - 1; i > v.Title[1] && (i > end*2/5 || head < 0); i-- { // most of a last volume may be notes
		u := &v.Units[i]
		if u.is(english.Notes, english.Footnotes, english.Endnotes) && (u.Centred || u.PageTop) && v.Alone(i) && len(BehindNotes(v.Words, u.Text)) == 0 {
			if head >= 0 && !v.sameHead(i, head) {
				return // notes stand at the end of chapters
			}
			head = i
		}
	}
	if head < 0 || !v.looksLikeNotes(head+1, end) {
		return
	}
	v.Notes = [2]int{head, end}
	for v.Notes[0] > 0 && v.Units[v.Notes[0]-1].Rule && v.Units[v.Notes[0]-1].Page == v.Units[head].Page {
		v.Notes[0]--
	}
}

// notesUnderEnd reports whether notes stand at the foot of the last page, under a separation line, while the
// line that says that the volume ends stands right under the text.
func (v *Volume) notesUnderEnd() bool {
	for k := v.End[0] + 1; k+1 < len(v.Units); k++ {
		if v.separation(k) && NoteStart(v.Units[k+1].Text) {
			return true
		}
	}
	return false
}

// sameHead reports whether two notes headings are one, repeated on the next
// page.
func (v *Volume) sameHead(i, j int) bool {
	return v.Units[j].PageTop && v.Units[j].Page > v.Units[i].Page && v.looksLikeNotes(i+1, j)
}

func (v *Volume) looksLikeNotes(from, to int) bool {
	marks, starts := 0, 0
	for i := from; i < to; i++ {
		u := &v.Units[i]
		mark := NoteStart(u.Text)
		if u.Rule || u.Centred && !mark { // a short note may stand in the middle by chance
			continue
		}
		if mark {
			marks++
			starts++
		} else if u.From >= 4 && i+1 < to && NoteStart(v.Units[i+1].Text) && !EndsSentence(u.Text) {
			continue // the name of a chapter over its notes, at cell 5
		} else if u.Blanks > 0 || i > from && !v.fullBefore(i) && EndsSentence(v.Units[i-1].Text) {
			starts++
		}
	}
	return marks >= 1 && marks*2 >= starts && v.headsHoldNotes(from, to)
}

// headsHoldNotes reports whether notes begin after each heading among the units:
// headings of chapters stand over their notes, which begin at the same cell as
// those before, not over text.
func (v *Volume) headsHoldNotes(from, to int) bool {
	first, run := v.noteCell(from, to), int32(-1) // run is the indent of runovers
	headed := false
	for i := from; i+1 < to; i++ {
		refers := false
		v.References(i, func(at, _ int, m NoteMark) { refers = refers || at > 0 && m.Number() })
		if refers && headed { // notes do not refer to notes
			return false
		}
		if i > from+1 && v.chapterOverText(from, i, to, first, run) {
			return false
		}
		if u := &v.Units[i]; u.PageTop && from > 0 && i > from && layout.Normal(u.Text) == layout.Normal(v.Units[from-1].Text) {
			continue // the heading of the notes again
		}
		if u := &v.Units[i]; !u.Centred || u.Rule || u.Blanks == 0 && !u.PageTop || NoteStart(u.Text) && (first < 0 || u.From == first) {
			if i > from && u.Blanks == 0 && !NoteStart(u.Text) && NoteStart(v.Units[i-1].Text) {
				run = u.From
			}
			continue
		} else if u.Blanks == 0 && i > from && !v.Units[i-1].Rule && (!EndsSentence(v.Units[i-1].Text) || u.From == run && slack(&v.Units[i-1], u) < 0) {
			continue // the head of a page, within a sentence, or a runover that stands in the middle by chance
		}
		if u := &v.Units[i]; first >= 0 && i > from+1 && u.is(english.Chapter, english.Part, english.Book) && !v.headedBefore(from, u) && !v.namesNext(from, i) {
			return false // a chapter begins
		}
		name := &v.Units[i]
		for headed = true; i+1 < to && (v.Units[i+1].Centred || v.sameLeft(name, i+1, first)) && !(NoteStart(v.Units[i+1].Text) && v.Units[i+1].From == first); {
			i++ // a short note may stand in the middle by chance
		}
		if n := i + 1; n < to && !v.Units[n].Rule && (!NoteStart(v.Units[n].Text) || v.Units[n].From != first) {
			return false
		}
	}
	return true
}

// namesNext reports whether unit i, a chapter's name over notes that begin anew or go on counting, follows another name right under the
// heading of the notes, unit from: the notes of a whole book name its chapters, which stand in other volumes.
func (v *Volume) namesNext(from, i int) bool {
	u, first := &v.Units[i], &v.Units[from]
	one, next := v.noteUnder(from), v.noteUnder(i)
	if NoteStart(first.Text) || one < 0 || next < 0 || first.HasPhrase && first.Phrase.ID == u.Phrase.ID && u.Phrase.N <= first.Phrase.N {
		return false
	}
	n, last := NoteNumber(v.Units[next].Text), i-1
	for last > one && !NoteStart(v.Units[last].Text) {
		last--
	}
	return n == 1 || n == NoteNumber(v.Units[last].Text)+1
}

// noteUnder is the note under a name of a few lines that begins with unit i, -1 if there is none.
func (v *Volume) noteUnder(i int) int {
	for k := i + 1; k < len(v.Units) && k <= i+maxNameLines; k++ {
		if NoteStart(v.Units[k].Text) {
			return k
		}
	}
	return -1
}

// chapterOverText reports whether unit i, among notes from unit from on that begin at indent first, begins a chapter at the margin or
// further in: a number of a part, or a line that stands where no note does, with no note under its name.
func (v *Volume) chapterOverText(from, i, to int, first, run int32) bool {
	u := &v.Units[i]
	ended := v.Units[i-1].Rule || EndsSentence(v.Units[i-1].Text)
	numbered := (u.Blanks > 0 || u.PageTop && ended) && u.HasPhrase && v.partLine(i)
	if u.Centred || u.Rule || v.headedBefore(from, u) || !numbered && !(ended && v.standsApart(i, from, first, run) && !NotesHeading(*u.Phrase)) {
		return false
	}
	n := i + 1
	for !numbered && n < to && n < i+maxNameLines && v.Units[n].From == u.From && v.Units[n].Blanks == 0 && !v.marked(n) {
		n++
	}
	return n < to && !(NoteStart(v.Units[n].Text) && v.Units[n].From == first)
}

// maxNameLines is how many lines the number and the name of a chapter take at most.
const maxNameLines = 4

// sameLeft reports whether unit k goes on a name at an indent, unit u, over notes that begin at another cell.
func (v *Volume) sameLeft(u *Unit, k int, first int32) bool {
	n := &v.Units[k]
	return n.From == u.From && n.From >= 4 && n.From != first && n.Blanks == 0 && !n.Rule && !NoteStart(n.Text)
}

// noteCell is the indent of the first note among the units that does not stand in the
// middle; where all do, as by chance on narrow pages, of most notes; -1 without notes.
// Where half of them begin with a mark that can be nothing else, only these are notes: numbers
// without a sign are those of chapters over them.
func (v *Volume) noteCell(from, to int) int32 {
	first, most, signs := int32(-1), map[int32]int{}, v.mostSigned(from, to)
	for i := from; i < to; i++ {
		u := &v.Units[i]
		if u.Rule || !NoteStart(u.Text) || signs && !surelyMark(u.Text) {
			continue
		}
		if !u.Centred {
			return u.From
		}
		if most[u.From]++; first < 0 || most[u.From] > most[first] {
			first = u.From
		}
	}
	return first
}

// mostSigned reports whether most of the units that begin as notes do begin with a mark that can
// hardly be anything else.
func (v *Volume) mostSigned(from, to int) bool {
	n, signs := 0, 0
	for i := from; i < to; i++ {
		if u := &v.Units[i]; !u.Rule && NoteStart(u.Text) {
			n, signs = n+1, signs+boolInt(surelyMark(u.Text))
		}
	}
	return signs*2 >= n
}

// surelyMark reports whether a text begins with the mark of a note that can hardly be anything else.
func surelyMark(t []byte) bool {
	_, _, strong, ok := ReadMark(t)
	return ok && strong
}

// headedBefore reports whether a heading before unit from has the words of u.
func (v *Volume) headedBefore(from int, u *Unit) bool {
	words := layout.Normal(u.Text)
	for i := 0; i < from; i++ {
		if p := &v.Units[i]; v.Alone(i) && p.HasPhrase && p.Page >= v.BodyPage && layout.Normal(p.Text) == words {
			return true
		}
	}
	return false
}

// NoteStart reports whether a text begins as a note does: with a number, an
// asterisk of any code, a dagger or a superscript number.
func NoteStart(t []byte) bool {
	w := noteMark(t)
	switch string(w) {
	case "99", "\"9", "9", "@,?", "*", "1":
		return true
	}
	l, ok := cell.ParseLabel(w)
	return ok && !l.Roman
}

// NoteNumber is the number that a note begins with, -1 if it has none.
func NoteNumber(t []byte) int {
	if l, ok := cell.ParseLabel(noteMark(t)); ok && !l.Roman {
		return l.Value
	}
	return -1
}

// noteMark is the first word of a note without brackets, stop or sign of a
// superscript.
func noteMark(t []byte) []byte {
	w := firstWord(t)
	for _, b := range brackets[:2] { // square ones
		if r, ok := bytes.CutPrefix(w, []byte(b[0])); ok && bytes.HasSuffix(r, []byte(b[1])) {
			w = r[:len(r)-len(b[1])]
		}
	}
	for len(w) > 0 && (w[len(w)-1] == '4' || w[len(w)-1] == '7') { // full stop, bracket
		w = w[:len(w)-1]
	}
	w = bytes.TrimSuffix(w, []byte("\">"))
	for _, p := range []string{"\"<", "7", ";9", "99", "\"9", "9"} {
		if len(w) > len(p) && string(w[:len(p)]) == p {
			return w[len(p):]
		}
	}
	return w
}
