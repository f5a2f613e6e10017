package assemble

import (
	"bytes"
	"slices"
	"sort"

	"continuo/internal/book"
	"continuo/internal/diag"
	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/structure"
)

// This file joins notes to their references and decides where they go. Notes
// within the text interrupt it on paper; they are moved only when every note
// of their group is joined for sure. What is not joined stays and is told.

// noteRef is a mark in the text that refers to a note.
type noteRef struct {
	vol, unit int
	from, to  int32 // cells of the unit's text
	mark      structure.NoteMark
	chapter   int  // number of the chapter it stands in, 0 before the first
	note      int  // index into notes, -1 none
	loose     bool // a number in brackets, a word of its own: of notes with such marks only
}

// note is one note: it begins with unit, in group.
type note struct {
	vol, unit, end int
	mark           structure.NoteMark
	group          int
	ref            int // index into references, -1 none
	confidence     float64
}

// noteGroup is notes that stand together in a volume.
type noteGroup struct {
	structure.NoteGroup
	vol     int
	chapter int // of its last reference
	notes   []int
	named   []int // of each note, the chapter that a heading over it names
	moved   bool  // goes to the end
	after   bool  // goes after its paragraphs
}

// notebook is the notes of a book and the references to them.
type notebook struct {
	refs   []noteRef
	notes  []note
	groups []noteGroup
	heads  []place // first line of the heading of each chapter, from chapter 1 on
	named  []int   // chapters that headings over notes name, in order
}

// joinNotes joins the notes of all volumes and decides their places.
func (a *assembly) joinNotes() {
	nb := &a.notes
	for i, v := range a.vols {
		if v.RepeatOf != nil {
			continue
		}
		for _, g := range a.groupsOf(i) {
			if g = a.stillText(i, g); len(g.Starts)+g.Rest > 0 && (!g.Early || a.volumeBefore(i, g)) {
				nb.groups = append(nb.groups, noteGroup{NoteGroup: g, vol: i})
			}
		}
	}
	if len(nb.groups) == 0 {
		return
	}
	a.findReferences()
	for g := range nb.groups {
		a.addNotes(g)
		nb.named = append(nb.named, nb.groups[g].named...)
	}
	slices.Sort(nb.named)
	for g := range nb.groups {
		a.joinGroup(g)
	}
	a.joinOver()
	a.rivals()
	a.placeGroups()
	a.tellNotes()
}

// volumeBefore reports whether the volume before volume i refers, on its last
// pages, to the first note of an early group.
func (a *assembly) volumeBefore(i int, g structure.NoteGroup) bool {
	p := a.previous(i)
	if p < 0 {
		return false
	}
	v := a.vols[p]
	m, _, _, _ := structure.ReadMark(a.vols[i].Units[g.Starts[0]].Text)
	found := false
	for k := a.lastPages(p, a.pagesBack(i, g)); k < len(v.Units); k++ {
		if a.fates[p][k] == asText {
			v.References(k, func(_, _ int, r structure.NoteMark) { found = found || r == m })
		}
	}
	return found
}

// previous is the volume with text before volume i, -1 if there is none.
func (a *assembly) previous(i int) int {
	for i--; i >= 0 && a.vols[i].RepeatOf != nil; i-- {
	}
	return i
}

// lastPages is the unit with which the last n pages with text of a volume begin.
func (a *assembly) lastPages(vol, n int) int {
	v, k := a.vols[vol], len(a.vols[vol].Units)
	last := int32(-1)
	for i := k - 1; i >= 0; i-- {
		if a.fates[vol][i] != asText {
			continue
		}
		if last < 0 {
			last = v.Units[i].Page
		}
		if v.Units[i].Page <= last-int32(n) {
			break
		}
		k = i
	}
	return k
}

// pagesBack is how many pages before its own a group of notes within the text
// may be referred to from.
func (a *assembly) pagesBack(vol int, g structure.NoteGroup) int {
	u := a.vols[vol].Units
	if len(g.Starts) == 0 {
		return 0
	}
	m, _, _, _ := structure.ReadMark(u[g.Starts[0]].Text)
	return int(structure.PagesBack(m, u[g.From].Rule))
}

// rivals doubts the joins of notes within the text whose reference a note at
// the end of the chapter or volume, itself without one, could claim as well.
func (a *assembly) rivals() {
	nb := &a.notes
	for _, x := range nb.notes {
		gr := &nb.groups[x.group]
		if x.ref >= 0 || gr.Place == structure.AtFoot || gr.Place == structure.AfterPara {
			continue
		}
		lo, hi := a.window(gr)
		for r := lo; r < hi; r++ {
			if n := nb.refs[r].note; n >= 0 && nb.refs[r].mark == x.mark && nb.notes[n].group != x.group {
				nb.notes[n].confidence = min(nb.notes[n].confidence, 0.6)
			}
		}
	}
}

// joinOver joins the last notes of a volume to references at the start of the
// next one: its last paragraph may go on there. The numbers must go on from the
// note before, and the references stand before all others of that volume that
// have a note.
func (a *assembly) joinOver() {
	nb := &a.notes
	before := structure.NoteMark{Kind: 'n'} // the last note of the volume before
	for g := range nb.groups {
		gr := &nb.groups[g]
		if gr.Place != structure.AtVolume || len(gr.notes) == 0 {
			continue
		}
		n, prev := len(gr.notes), before
		before = nb.notes[gr.notes[n-1]].mark
		for n > 0 && nb.notes[gr.notes[n-1]].ref < 0 {
			n--
		}
		r := sort.Search(len(nb.refs), func(i int) bool { return nb.refs[i].vol > gr.vol })
		if n > 0 {
			prev = nb.notes[gr.notes[n-1]].mark
		}
		for ; n < len(gr.notes) && r < len(nb.refs) && nb.refs[r].note < 0; r++ {
			x := &nb.notes[gr.notes[n]]
			if nb.refs[r].loose && !structure.Bracketed(a.vols[x.vol].Units[x.unit].Text) {
				continue
			}
			if nb.refs[r].mark != x.mark || !x.mark.Number() || x.mark.N != prev.N+1 {
				break
			}
			x.ref, x.confidence, prev = r, sure, x.mark
			nb.refs[r].note = gr.notes[n]
			n++
		}
		a.complete(gr)
	}
}

// complete trusts the joins of a volume's numbered notes that were doubted only
// because others of them had no reference, when all have one now.
func (a *assembly) complete(gr *noteGroup) {
	over := false
	for _, id := range gr.notes {
		x := &a.notes.notes[id]
		if x.ref < 0 || !x.mark.Number() {
			return
		}
		over = over || a.notes.refs[x.ref].vol > gr.vol
	}
	for _, id := range gr.notes {
		if over {
			a.notes.notes[id].confidence = max(a.notes.notes[id].confidence, sure)
		}
	}
}

// stillText leaves out of a group the notes whose lines have another fate
// already.
func (a *assembly) stillText(vol int, g structure.NoteGroup) structure.NoteGroup {
	var starts []int
	for _, k := range g.Starts {
		if f := a.fates[vol][k]; f == asText || f == asNotes {
			starts = append(starts, k)
		}
	}
	g.Starts = starts
	return g
}

// findReferences finds the references of the text, and the chapters.
func (a *assembly) findReferences() {
	nb := &a.notes
	chapters := a.hasChapters()
	for i, v := range a.vols {
		if v.RepeatOf != nil {
			continue
		}
		inNotes := a.noteUnits(i)
		for k := v.Title[1]; k < len(v.Units); k++ { // prefatory matter may have notes
			u := &v.Units[k]
			if a.fates[i][k] != asText || u.Rule || inNotes[k] {
				continue
			}
			if chapters == (u.HasPhrase && opensChapter(*u.Phrase)) && (u.Listed || chapters && u.Centred && v.Alone(k)) {
				nb.heads = append(nb.heads, place{vol: i, unit: k})
			}
			at := len(nb.refs)
			v.AllReferences(k, func(from, to int, m structure.NoteMark, loose bool) {
				nb.refs = append(nb.refs, noteRef{i, k, int32(from), int32(to), m, len(nb.heads), -1, loose})
			})
			slices.SortFunc(nb.refs[at:], func(a, b noteRef) int { return int(a.from - b.from) })
		}
	}
}

// hasChapters reports whether structure words open the chapters of the book;
// else the headings that its contents list names do.
func (a *assembly) hasChapters() bool {
	for i, v := range a.vols {
		for k := range v.Units {
			if u := &v.Units[k]; u.HasPhrase && opensChapter(*u.Phrase) && u.Centred && a.fates[i][k] == asText && u.Page >= v.BodyPage {
				return true
			}
		}
	}
	return false
}

// opensChapter reports whether a structure word opens a chapter or a larger
// part.
func opensChapter(p english.Phrase) bool {
	return structural(p) && p.ID != english.Section && p.ID != english.Scene
}

// noteUnits are the units of a volume that belong to notes.
func (a *assembly) noteUnits(vol int) map[int]bool {
	in := map[int]bool{}
	for _, g := range a.notes.groups {
		for k := g.From; k < g.To && g.vol == vol; k++ {
			in[k] = true
		}
	}
	return in
}

func (a *assembly) addNotes(g int) {
	nb := &a.notes
	gr := &nb.groups[g]
	v := a.vols[gr.vol]
	for n, k := range gr.Starts {
		m, _, _, _ := structure.ReadMark(v.Units[k].Text)
		end := gr.To
		if n+1 < len(gr.Starts) {
			end = gr.Starts[n+1]
		}
		gr.notes = append(gr.notes, len(nb.notes))
		nb.notes = append(nb.notes, note{vol: gr.vol, unit: k, end: end, mark: m, group: g, ref: -1})
	}
	gr.named = a.noteChapters(gr)
}

// within reports whether a reference stands in a chapter that a heading over notes names: under its heading or one of its
// sections, before the next chapter that is named so.
func (nb *notebook) within(r noteRef, chapter int) bool {
	next, _ := slices.BinarySearch(nb.named, chapter+1)
	return chapter > 0 && r.chapter >= chapter && (next == len(nb.named) || r.chapter < nb.named[next])
}

// looseRow reports whether the numbers in round brackets that are words of their own, among references lo to hi, are
// those of notes that are gathered under a heading, each once and in order: they refer to them, though the notes have
// no brackets.
func (a *assembly) looseRow(gr *noteGroup, lo, hi int) bool {
	if gr.Place != structure.AtVolume && gr.Place != structure.AtChapter || len(gr.notes) == 0 {
		return false
	}
	n := 0
	for r := lo; r < hi; r++ {
		x := &a.notes.refs[r]
		if x.note >= 0 || !x.mark.Number() {
			continue
		}
		if !x.loose || n == len(gr.notes) || x.mark != a.notes.notes[gr.notes[n]].mark {
			return false
		}
		n++
	}
	return n == len(gr.notes)
}

// joinGroup joins the notes of a group, in order, to references with their
// marks that are not joined yet and stand where such notes refer from.
func (a *assembly) joinGroup(g int) {
	nb := &a.notes
	gr := &nb.groups[g]
	lo, hi := a.window(gr)
	lo = a.chapterBefore(gr, lo, hi)
	cands := make([][]candidate, len(gr.notes))
	byMark := map[structure.NoteMark][]int{}
	for r := lo; r < hi; r++ {
		if nb.refs[r].note < 0 {
			byMark[nb.refs[r].mark] = append(byMark[nb.refs[r].mark], r)
		}
	}
	row := a.looseRow(gr, lo, hi)
	for n, id := range gr.notes {
		bracketed := row || structure.Bracketed(a.vols[gr.vol].Units[nb.notes[id].unit].Text)
		for _, r := range byMark[nb.notes[id].mark] {
			if nb.refs[r].loose && !bracketed || a.namesChapter(gr) && gr.named[n] > 0 && !nb.within(nb.refs[r], gr.named[n]) {
				continue
			}
			c := candidate{rank: r - lo, likes: 1, weight: 1}
			if nb.within(nb.refs[r], gr.named[n]) {
				c.page, c.weight = true, 1.5
			}
			cands[n] = append(cands[n], c)
		}
	}
	chain := heaviest(cands, hi-lo)
	joined := 0
	for _, c := range chain {
		joined += boolInt(c >= 0)
	}
	for n, id := range gr.notes {
		if chain[n] < 0 {
			continue
		}
		x := &nb.notes[id]
		x.ref = lo + cands[n][chain[n]].rank
		x.confidence = noteConfidence(inChain(cands, chain, n), joined, len(chain), x.mark.Number())
		if a.namesChapter(gr) && gr.named[n] == 0 {
			x.confidence = min(x.confidence, 0.7) // of which chapter they are is said, but not known
		}
		nb.refs[x.ref].note = id
		gr.chapter = nb.refs[x.ref].chapter
	}
}

// chapterBefore is the first reference behind the last notes of a chapter in the volume before, where the text of a
// volume has no reference to the first of the notes at its end: they are those of the chapter that goes on from there.
// Else it is lo.
func (a *assembly) chapterBefore(gr *noteGroup, lo, hi int) int {
	nb := &a.notes
	if gr.Place != structure.AtVolume || len(gr.notes) == 0 {
		return lo
	}
	refers := func(r noteRef) bool { return r.note < 0 && !r.loose && r.mark == nb.notes[gr.notes[0]].mark }
	if slices.ContainsFunc(nb.refs[lo:hi], refers) {
		return lo
	}
	vol, unit, prev := -1, 0, a.previous(gr.vol)
	for g := range nb.groups {
		if x := &nb.groups[g]; x.vol == prev && x.Place == structure.AtChapter {
			vol, unit = x.vol, x.To
		}
	}
	from := sort.Search(len(nb.refs), func(i int) bool { return !before(nb.refs[i], vol, unit) })
	if vol < 0 || from >= lo || !refers(nb.refs[from]) {
		return lo
	}
	return from
}

// noteConfidence lowers the confidence of a join where many notes of its group
// have none, and where signs that are used again and again are not all joined.
func noteConfidence(c float64, joined, all int, number bool) float64 {
	switch {
	case joined*10 < all*6:
		return min(c, 0.7)
	case joined < all && !number:
		return min(c, 0.75)
	case joined < all:
		return min(c, 0.93)
	}
	return c
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}

// window is the range of references that a group of notes can belong to: for
// notes within the text those of the last pages before them, at most from the
// group before; for those of a chapter or volume all of it.
func (a *assembly) window(gr *noteGroup) (lo, hi int) {
	refs := a.notes.refs
	v := a.vols[gr.vol]
	first := 0
	vol, back := gr.vol, a.pagesBack(gr.vol, gr.NoteGroup)
	switch {
	case gr.Early:
		vol = a.previous(vol)
		first = a.lastPages(vol, back)
	case gr.Place == structure.AtFoot || gr.Place == structure.AfterPara:
		first = v.Back(gr.From, int32(back))
	}
	switch {
	case gr.Place == structure.AtChapter:
		vol, first = a.groupBefore(gr)
	case gr.Place == structure.AtVolume:
		vol = a.volumesOf(gr)
	}
	lo = sort.Search(len(refs), func(i int) bool { return !before(refs[i], vol, first) })
	hi = sort.Search(len(refs), func(i int) bool { return !before(refs[i], gr.vol, gr.From) })
	return min(lo, hi), hi
}

// volumesOf is the first volume that the notes at the end of one can belong to: the
// one after the last that has such notes itself, or notes at the end of chapters.
// Those that go on from the volume before belong to what these belong to.
func (a *assembly) volumesOf(gr *noteGroup) int {
	at := gr.vol
	if _, on := a.over[at]; on && gr.From == a.over[at].From {
		at--
	}
	for n := at - 1; n >= 0; n-- {
		for g := range a.notes.groups {
			if x := &a.notes.groups[g]; x.vol == n && x.Place >= structure.AtChapter && a.over[n].From != x.From {
				return at
			}
		}
		if a.vols[n].RepeatOf == nil {
			at = n
		}
	}
	return at
}

// groupBefore is where the notes of the chapter before end: the chapter may
// have begun in an earlier volume. Groups that follow each other with no text between are gathered notes of
// several chapters: the notes before the first of them.
func (a *assembly) groupBefore(gr *noteGroup) (vol, unit int) {
	var last *noteGroup
	for g := range a.notes.groups {
		x := &a.notes.groups[g]
		if x.Place != structure.AtChapter && x.Place != structure.AtVolume {
			continue
		}
		if last != nil && !(last.vol == x.vol && last.To == x.From && a.namesChapter(x)) {
			vol, unit = last.vol, last.To
		}
		if last = x; x == gr {
			break
		}
	}
	return vol, unit
}

func before(r noteRef, vol, unit int) bool {
	return r.vol < vol || r.vol == vol && r.unit < unit
}

// namesChapter reports whether the heading of a chapter's notes says of which chapter they are.
func (a *assembly) namesChapter(gr *noteGroup) bool {
	v := a.vols[gr.vol]
	return gr.Place == structure.AtChapter && len(structure.BehindNotes(v.Words, v.Units[gr.From].Text)) > 0
}

// noteChapters finds, for each note of a group, the chapter that a heading
// among the notes names; 0 where none does.
func (a *assembly) noteChapters(gr *noteGroup) []int {
	out := make([]int, len(gr.notes))
	v := a.vols[gr.vol]
	if a.namesChapter(gr) {
		for n := range out {
			out[n] = a.chapterNamed(v, v.Said(gr.From, gr.Starts[0]))
		}
	}
	if gr.Place != structure.AtVolume {
		return out
	}
	now, n := 0, 0
	for k := gr.From; k < gr.To && n < len(gr.notes); k++ {
		if u := &v.Units[k]; u.Centred || u.HasPhrase {
			if c := a.chapterNamed(v, u.Text); c > 0 {
				now = c
			}
		}
		if k == a.notes.notes[gr.notes[n]].unit {
			out[n] = now
			n++
		}
	}
	return out
}

// chapterNamed is the chapter whose heading has the words of a text, or that these name behind the word for notes ("notes to
// chapter 3"); 0 if none or several have.
func (a *assembly) chapterNamed(v *structure.Volume, t []byte) int {
	hit := 0
	key := structure.HeadingKey(layout.Normal(t))
	for c, h := range a.notes.heads {
		if structure.HeadingKey(layout.Normal(a.vols[h.vol].Units[h.unit].Text)) == key {
			if hit > 0 {
				return 0
			}
			hit = c + 1
		}
	}
	if hit > 0 {
		return hit
	}
	if rest := structure.BehindNotes(v.Words, t); len(rest) > 0 {
		t = rest
	}
	best := 0.0
	for c := range a.notes.heads {
		h := &a.notes.heads[c]
		switch s := a.titleOf(v, t).likes(a.wholeHeading(h)); {
		case s < 0.85:
		case s > best:
			hit, best = c+1, s
		case s == best:
			hit = 0
		}
	}
	return hit
}

// placeGroups decides for each group within the text whether it goes to the
// end, goes after its paragraphs, or stays where it is.
func (a *assembly) placeGroups() {
	nb := &a.notes
	marker := a.why("marker", "line that parted notes from the text", "the notes under it stand elsewhere", 0.95)
	found, whole := a.findable(), a.wholeNotes()
	for g := range nb.groups {
		gr := &nb.groups[g]
		if gr.Place == structure.AtVolume || !whole[g] {
			continue
		}
		gr.moved = a.o.Profile.Notes == "end" && found[g] || gr.Place == structure.AtChapter
		gr.after = !gr.moved
		if gr.Place == structure.AtChapter {
			a.moveUnits(gr)
			continue
		}
		if u := &a.vols[gr.vol].Units[gr.From]; u.Rule {
			a.leave(gr.vol, gr.From, marker)
		}
		if k := a.ruleBelow(gr); k >= 0 {
			a.leave(gr.vol, k, marker)
		}
		a.moveUnits(gr)
		a.closeGap(gr)
	}
	for g := range nb.groups {
		if nb.groups[g].after {
			a.setAfter(&nb.groups[g])
		}
	}
}

// wholeNotes reports, for each group, whether its notes are joined for sure and end for sure: where a note goes on in the
// group after, both.
func (a *assembly) wholeNotes() []bool {
	groups := a.notes.groups
	whole := make([]bool, len(groups))
	for g := range groups {
		whole[g] = !groups[g].Doubt && a.allJoined(&groups[g]) && (groups[g].Rest == 0 || g > 0 && whole[g-1])
	}
	for g := len(groups) - 1; g > 0; g-- {
		whole[g-1] = whole[g-1] && (groups[g].Rest == 0 || whole[g])
	}
	return whole
}

// restOf is the units that go on the last note of a group in the one after, nil if there are none.
func (a *assembly) restOf(gr *noteGroup) (us []*structure.Unit) {
	for g := range a.notes.groups {
		next := &a.notes.groups[g]
		if g == 0 || &a.notes.groups[g-1] != gr || next.Rest == 0 || next.vol != gr.vol {
			continue
		}
		for k := next.From; k < next.Rest; k++ {
			if u := &a.vols[gr.vol].Units[k]; a.fates[gr.vol][k] == asFoot {
				u.Blanks = 0
				us = append(us, u)
			}
		}
	}
	return us
}

// ruleBelow is the line that parts notes from the text below them: the one above
// them once more, right under their last line; -1 if there is none.
func (a *assembly) ruleBelow(gr *noteGroup) int {
	v := a.vols[gr.vol]
	if gr.To >= len(v.Units) || !v.Units[gr.From].Rule || a.fates[gr.vol][gr.To] != asText {
		return -1
	}
	u, above := &v.Units[gr.To], &v.Units[gr.From]
	if !u.Rule || u.From != above.From || !bytes.Equal(u.Text, above.Text) || u.Page != v.Units[gr.To-1].Page || u.Blanks > 0 || len(u.Turns) > 0 {
		return -1
	}
	return gr.To
}

// allJoined reports whether every note of a group is joined for sure; of the
// notes of a chapter nine in ten must be.
func (a *assembly) allJoined(gr *noteGroup) bool {
	good := 0
	for _, id := range gr.notes {
		good += boolInt(a.notes.notes[id].confidence >= sure)
	}
	if gr.Place == structure.AtChapter {
		return good*10 >= len(gr.notes)*9
	}
	return good == len(gr.notes)
}

// findable reports, for each group, whether its notes can be told apart at the
// end of the book: their numbers do not come again in their chapter.
func (a *assembly) findable() []bool {
	nb := &a.notes
	type key struct {
		chapter int
		mark    structure.NoteMark
	}
	times := map[key]int{}
	for _, n := range nb.notes {
		if n.ref >= 0 {
			times[key{nb.refs[n.ref].chapter, n.mark}]++
		}
	}
	repeats, all := 0, 0
	for _, n := range nb.notes {
		if p := nb.groups[n.group].Place; n.ref >= 0 && (p == structure.AtFoot || p == structure.AfterPara) {
			all++
			repeats += boolInt(!n.mark.Number() && n.mark.Kind != 'a' || times[key{nb.refs[n.ref].chapter, n.mark}] > 1)
		}
	}
	out := make([]bool, len(nb.groups))
	for g := range out { // one way for the whole book
		out[g] = repeats*10 <= all
	}
	return out
}

// moveUnits takes the units of a group out of the text.
func (a *assembly) moveUnits(gr *noteGroup) {
	for k := gr.From; k < gr.To; k++ {
		if a.fates[gr.vol][k] == asText {
			a.fates[gr.vol][k] = asFoot
		}
	}
}

// closeGap lets a sentence that the notes interrupted go on: the blank line
// after them belongs to them.
func (a *assembly) closeGap(gr *noteGroup) {
	v := a.vols[gr.vol]
	last, next := gr.From-1, gr.To
	for last >= 0 && a.fates[gr.vol][last] != asText {
		last--
	}
	for next < len(v.Units) && a.fates[gr.vol][next] != asText {
		next++
	}
	if last < 0 || next >= len(v.Units) {
		return
	}
	p, u := &v.Units[last], &v.Units[next]
	on := len(u.Turns) > 0 || int(p.To)+1+bytes.IndexByte(append(u.Text[:len(u.Text):len(u.Text)], ' '), ' ') > p.Avail // else a stanza or an item ended
	if u.Blanks > 0 && on && u.From <= p.From && !u.Centred && !u.Rule && !p.Centred && !structure.EndsSentence(p.Text) {
		u.Blanks = 0
	}
}

// setAfter hands the notes of a group to the last units of their references'
// lines: the flow sets them after that paragraph.
func (a *assembly) setAfter(gr *noteGroup) {
	v := a.vols[gr.vol]
	for _, id := range gr.notes { // none in a group that is the rest of a note
		n := &a.notes.notes[id]
		r := a.notes.refs[n.ref]
		u := &a.vols[r.vol].Units[r.unit]
		var lines []*structure.Unit
		for k := n.unit; k < n.end; k++ {
			if a.fates[gr.vol][k] == asFoot {
				lines = append(lines, &v.Units[k])
			}
		}
		if id == gr.notes[len(gr.notes)-1] {
			lines = append(lines, a.restOf(gr)...)
		}
		u.After = append(u.After, lines)
	}
}

// tellNotes reports notes and references that are not joined.
func (a *assembly) tellNotes() {
	nb := &a.notes
	told := 0
	for _, n := range nb.notes {
		v := a.vols[n.vol]
		if n.confidence >= sure {
			continue
		}
		if told++; told <= 20 {
			what := "no reference to this note was found"
			if n.ref >= 0 {
				what = "the reference to this note is not certain"
			}
			a.find(diag.Look, "note-not-joined", v, v.Units[n.unit].Line, "%s; the note is kept %s", what, nb.groups[n.group].Place)
		}
	}
	if told > 20 {
		a.find(diag.Look, "note-not-joined", a.vols[a.first()], -1, "%d more notes are not joined to a reference", told-20)
	}
	a.tellReferences()
}

// tellReferences reports references without a note, where the book's other
// references look like them, or where one counts on from the only other one.
func (a *assembly) tellReferences() {
	nb := &a.notes
	raised, last := map[byte]int{}, map[byte]int{}
	for _, r := range nb.refs {
		if r.note >= 0 {
			raised[r.mark.Kind]++
			last[r.mark.Kind] = r.mark.N
		}
	}
	told := 0
	for _, r := range nb.refs {
		next := raised[r.mark.Kind] == 1 && r.mark.Number() && r.mark.N == last[r.mark.Kind]+1
		if r.note >= 0 || r.loose || raised[r.mark.Kind] < 2 && !next {
			continue
		}
		if told++; told <= 20 {
			v := a.vols[r.vol]
			a.find(diag.Note, "reference-without-note", v, v.Units[r.unit].Line, "a mark like those of the notes, but no note was found for it")
		}
	}
	if told > 20 {
		a.find(diag.Note, "reference-without-note", a.vols[a.first()], -1, "%d more marks without a note", told-20)
	}
}

// layFootNotes lays the notes of a volume's groups that go to the end; with
// names each chapter's under its name.
func (a *assembly) layFootNotes(vol int, names *noteNames, why book.ReasonID) {
	for g := range a.notes.groups {
		gr := &a.notes.groups[g]
		if gr.vol != vol || !gr.moved {
			continue
		}
		at := len(a.b.Blocks)
		a.flowNotes(gr, why)
		if at == len(a.b.Blocks) || names == nil {
			continue
		}
		if t := names.next(a, gr); len(t) > 0 {
			a.labelAt(at, t, why)
		}
	}
}

// flowNotes flows the notes of a group one by one, so that none runs into the
// next.
func (a *assembly) flowNotes(gr *noteGroup, why book.ReasonID) {
	at := max(gr.From, gr.Rest)
	for n := 0; n <= len(gr.notes); n++ {
		end := gr.To
		if n < len(gr.notes) {
			end = a.notes.notes[gr.notes[n]].unit
		}
		from := len(a.b.Blocks)
		if rest := a.restOf(gr); n == len(gr.notes) && n > 0 && len(rest) > 0 {
			for k := end - 1; k >= at; k-- {
				if a.fates[gr.vol][k] == asFoot {
					rest = append([]*structure.Unit{&a.vols[gr.vol].Units[k]}, rest...)
				}
			}
			a.flow.Text(rest, why)
		} else {
			a.flowRange(gr.vol, at, end, asFoot, why)
		}
		if n > 0 {
			noBlank(a.b, from)
		}
		at = end
	}
}

// noBlank takes away the blank line before block at, which follows another of
// its kind.
func noBlank(b *book.Book, at int) {
	if at < len(b.Blocks) && at > 0 && b.Blocks[at].Blank.Reason != 0 {
		b.Blocks[at].Blank = book.Blank{}
	}
}

// labelAt writes a label before block at, or after it where it is a heading.
func (a *assembly) labelAt(at int, text []byte, why book.ReasonID) {
	in := int16(a.o.Profile.HeadingIndent)
	key := structure.HeadingKey(layout.Normal(text))
	for at < len(a.b.Blocks) && (a.b.Blocks[at].Kind == book.Heading || a.b.Blocks[at].Kind == book.Rule) {
		if n := structure.HeadingKey(layout.Normal(a.headText(at))); wordsWithin(n, key) {
			return // the sources name it themselves
		}
		at++
	}
	label := book.Block{Kind: book.Label, First: in, Run: in, Moved: a.b.Blocks[len(a.b.Blocks)-1].Moved, Pieces: []book.Piece{{Vol: -1, Tool: text, Reason: why}}}
	a.b.Blocks = append(a.b.Blocks, book.Block{})
	copy(a.b.Blocks[at+1:], a.b.Blocks[at:])
	a.b.Blocks[at] = label
	if at+1 < len(a.b.Blocks) {
		a.b.Blocks[at].Blank, a.b.Blocks[at+1].Blank = a.b.Blocks[at+1].Blank, book.Blank{}
	}
}

// headText is the text of a block that is one line of a heading.
func (a *assembly) headText(at int) []byte {
	var t []byte
	for i := range a.b.Blocks[at].Pieces {
		t = a.b.AppendPiece(t, &a.b.Blocks[at], i)
	}
	return t
}

// oneNotesHeading leaves out the heading over gathered notes where the notes
// before them, which they follow, have the same words as their heading.
func (a *assembly) oneNotesHeading() {
	why := a.why("notes", "heading of notes again", "the notes stand together, under the same words", 0.95)
	marker := a.framed()
	first := ""
	for i, v := range a.vols {
		if v.RepeatOf != nil {
			continue
		}
		for k := range v.Units {
			u := &v.Units[k]
			if !u.HasPhrase || !structure.NotesHeading(*u.Phrase) || !a.overNotes(i, k) {
				continue
			}
			switch n := layout.Normal(u.Text); {
			case first == "":
				first = n
			case n == first && a.leave(i, k, why):
				for n := k - 1; n >= 0 && a.fates[i][n] == asNotes && v.Units[n].Rule; n-- {
					a.leave(i, n, marker)
				}
			}
		}
	}
}

// headedNotes reports whether the first notes that go from within the text to the end take
// their heading with them.
func (a *assembly) headedNotes() bool {
	for i := range a.notes.groups {
		if g := &a.notes.groups[i]; g.moved {
			return g.Place == structure.AtChapter && a.fates[g.vol][g.From] == asFoot
		}
	}
	return false
}

// overNotes reports whether unit k is the heading of notes that go to the end of
// the book, or that heading again at the top of a page.
func (a *assembly) overNotes(vol, k int) bool {
	v, f := a.vols[vol], a.fates[vol]
	if u := &v.Units[k]; !(u.Centred || u.PageTop) || !v.Alone(k) || k+1 == len(f) || f[k+1] != f[k] {
		return false
	}
	if f[k] == asNotes {
		return true
	}
	for _, g := range a.notes.groups {
		if g.vol == vol && g.From == k && g.Place == structure.AtChapter {
			return g.moved && f[k] == asFoot
		}
	}
	return false
}

// notesHeading writes the heading over the notes, in the book's own code,
// where the sources have none.
func (a *assembly) notesHeading(why book.ReasonID) {
	v := a.variant
	if v.Code == english.UnknownCode {
		v.Code = english.UEB
	}
	t, err := english.Write("Notes", v)
	if err != nil {
		return
	}
	in := int16(a.o.Profile.HeadingIndent)
	a.b.Blocks = append(a.b.Blocks, book.Block{Kind: book.Label, First: in, Run: in, Moved: why, Blank: book.Blank{Want: true, Reason: a.flow.Why.Blank},
		Pieces: []book.Piece{{Vol: -1, Tool: t, Reason: why}}})
}

// noteLinks makes links of the joins, when the blocks are laid.
func (a *assembly) noteLinks(index blockIndex) {
	for _, n := range a.notes.notes {
		if n.ref < 0 {
			continue
		}
		r := a.notes.refs[n.ref]
		u, w := &a.vols[r.vol].Units[r.unit], &a.vols[n.vol].Units[n.unit]
		from, ok := a.pieceAt(index, int32(r.vol), u.Line, u.From+r.from)
		to, ok2 := a.pieceAt(index, int32(n.vol), w.Line, w.From)
		if !ok || !ok2 {
			continue
		}
		p := a.b.Blocks[from.Block].Pieces[from.Piece]
		l := book.Link{Kind: book.NoteRef, Block: from.Block, Piece: from.Piece, From: u.From + r.from - p.From, To: min(u.From+r.to, p.To) - p.From, Target: to.Block, Confidence: n.confidence}
		a.b.Links = append(a.b.Links, l)
	}
}

// pieceAt is the piece that holds a cell of a source line.
func (a *assembly) pieceAt(index blockIndex, vol, line, c int32) (book.Link, bool) {
	first, ok := index.at(vol, line)
	if !ok {
		return book.Link{}, false
	}
	for b := first; int(b) < len(a.b.Blocks) && b < first+6; b++ {
		for k, p := range a.b.Blocks[b].Pieces {
			if p.Vol == vol && p.Line == line && p.Tool == nil && c >= p.From && c < p.To {
				return book.Link{Block: b, Piece: int32(k)}, true
			}
		}
	}
	return book.Link{}, false
}
