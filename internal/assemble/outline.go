package assemble

import (
	"slices"
	"sort"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/structure"
)

// This file gives every heading its level. Headings that are made alike share
// one: the same structure word, or without one the same place on the line and
// the same depth of number. The order of the kinds comes from the levels of
// the contents list where it has several, else from their rank: part, chapter,
// section, then centred, cell 5, cell 7 (BANA, Braille Formats 2016, section 4).

// headRank is what a heading is made like, highest first.
type headRank uint8

const (
	rankPart headRank = iota
	rankChapter
	rankMatter // preface, index, notes: a part of the book that has no number
	rankSection
	rankNumber // a number alone, or before the words
	rankDeeper // 1.2
	rankDeepest
	rankCentred
	rankInner    // centred too, and named by the contents list further in than others
	rankUnlisted // centred too, and not named by a contents list that names others
	rankCell5
	rankCell7
	rankMargin
	nRanks
)

// headingRun is the lines of one heading: blocks From up to To.
type headingRun struct {
	from, to int
	rank     headRank
}

// levels sets the level of every heading of the book.
func (a *assembly) levels() {
	runs := a.headingRuns()
	if len(runs) == 0 {
		return
	}
	a.listedFurtherIn(runs)
	listed, named := a.listedLevels(runs)
	level := levelOf(runs, listed, named)
	for _, r := range runs {
		for i := r.from; i < r.to; i++ {
			a.b.Blocks[i].Level = level[r.rank]
		}
	}
}

// headingRuns groups the lines of headings: lines that follow each other
// without a blank line and are made alike belong together, and so does what
// stands under a structure word with its number.
func (a *assembly) headingRuns() []headingRun {
	var out []headingRun
	a.headIndents()
	for i := range a.b.Blocks {
		bl := &a.b.Blocks[i]
		if bl.Kind != book.Heading || bl.Part == book.ContentsList {
			continue
		}
		r, phrase := a.rankOf(bl)
		if n := len(out); n > 0 && out[n-1].to == i && !bl.Blank.Want && !phrase && (r >= out[n-1].rank && a.sameRun(out[n-1], r) || a.inMiddle(&a.b.Blocks[i-1]) && a.inMiddle(bl)) {
			out[n-1].rank = min(out[n-1].rank, r)
			out[n-1].to++
			continue
		}
		out = append(out, headingRun{i, i + 1, r})
	}
	a.numberedHeads(out)
	a.countedHeads(out)
	a.unlistedHeads(out)
	return out
}

// numberedHeads gives headings with numbers of one depth, "1.2", the rank that most of them have: some stand in the middle by chance.
func (a *assembly) numberedHeads(runs []headingRun) {
	for depth := 2; depth <= 3; depth++ {
		var n [nRanks]int
		var those []int
		most := rankDeeper
		for i, r := range runs {
			bl := &a.b.Blocks[r.from]
			if r.rank < rankNumber || len(bl.Pieces) == 0 || bl.Pieces[0].Vol < 0 {
				continue
			}
			if w := firstToken(a.b.Text(bl.Pieces[0])); len(w) == 0 || w[0] != '#' || decimalDepth(w) != depth {
				continue
			}
			those = append(those, i)
			if n[r.rank]++; n[r.rank] > n[most] {
				most = r.rank
			}
		}
		for _, i := range those {
			runs[i].rank = most
		}
	}
}

// unlistedHeads gives a rank of their own to headings in the middle that the contents list does not name, while it names others
// in each of their volumes, three of each at least: such a list goes down to the chapters.
func (a *assembly) unlistedHeads(runs []headingRun) {
	named := map[int32]bool{}
	for _, l := range a.b.Links {
		named[l.Target] = named[l.Target] || l.Kind == book.ListRef
	}
	var rest []int
	listed, vols := 0, map[int32]bool{}
	for i, r := range runs {
		bl := &a.b.Blocks[r.from]
		if r.rank != rankCentred || bl.Part != book.Text || len(bl.Pieces) == 0 || bl.Pieces[0].Vol < 0 {
			continue
		}
		if named[int32(r.from)] {
			listed++
			vols[bl.Pieces[0].Vol] = true
		} else {
			rest = append(rest, i)
		}
	}
	for _, i := range rest {
		if listed < 3 || len(rest) < 3 || !vols[a.b.Blocks[runs[i].from].Pieces[0].Vol] {
			return
		}
	}
	for _, i := range rest {
		runs[i].rank = rankUnlisted
	}
}

// listedFurtherIn gives a rank of their own to headings in the middle that the contents list names further in than others, three of
// them under two at least: poems under the parts of a book that look as they do.
func (a *assembly) listedFurtherIn(runs []headingRun) {
	depth := a.listedDepths()
	top, inner := 0, 0
	for _, r := range runs {
		if d := depth[int32(r.from)]; r.rank == rankCentred {
			top, inner = top+boolInt(d == 1), inner+boolInt(d > 1)
		}
	}
	for i := range runs {
		if top >= 2 && inner >= 3 && runs[i].rank == rankCentred && depth[int32(runs[i].from)] > 1 {
			runs[i].rank = rankInner
		}
	}
}

// headIndents finds whether headings begin in cell 5 or cell 7: three lines of headings or more that stand there and not in the
// middle. Others that do stand in the middle there are of the same kind.
func (a *assembly) headIndents() {
	var n [len(a.setIn)]int
	for i := range a.b.Blocks {
		bl := &a.b.Blocks[i]
		if bl.Kind != book.Heading || bl.Part == book.ContentsList || len(bl.Pieces) == 0 || bl.Pieces[0].Vol < 0 {
			continue
		}
		if u := a.unitOf(bl.Pieces[0].Vol, bl.Pieces[0].Line); u != nil && (u.From == 4 || u.From == 6) && !a.vols[bl.Pieces[0].Vol].Middle(u) {
			n[u.From]++
		}
	}
	for k := range n {
		a.setIn[k] = n[k] >= 3
	}
}

// countedHeads gives the rank of numbers to headings that count up through the book, from one on, three at least: in words, "three ,why
// ,rivers ,matter", or wherever they stand on their lines. Numbers that begin anew under other headings count in the middle only.
func (a *assembly) countedHeads(runs []headingRun) {
	var counted []int
	next, again, anew := 1, -1, false // again is a heading with the number one after others
	for i, r := range runs {
		bl := &a.b.Blocks[r.from]
		if r.rank < rankNumber || r.rank == rankDeeper || r.rank == rankDeepest || len(bl.Pieces) == 0 || bl.Pieces[0].Vol < 0 {
			continue
		}
		switch n := a.vols[bl.Pieces[0].Vol].Words.Number(a.b.Text(bl.Pieces[0])); {
		case n == next:
			counted, next = append(counted, i), n+1
		case n == 1:
			again = i
		case n == 2 && again >= 0:
			counted, next, again, anew = append(counted, again, i), 3, -1, true
		}
	}
	for _, i := range counted {
		if len(counted) >= 3 && (!anew || runs[i].rank == rankCentred) {
			runs[i].rank = rankNumber
		}
	}
}

// inMiddle reports whether the line of a heading stands in the middle of its page to the cell.
func (a *assembly) inMiddle(bl *book.Block) bool {
	if len(bl.Pieces) == 0 || bl.Pieces[0].Vol < 0 {
		return false
	}
	p := bl.Pieces[0]
	u := a.unitOf(p.Vol, p.Line)
	return u != nil && u.Centred && a.vols[p.Vol].Middle(u)
}

// sameRun reports whether a line of rank r can go on a heading: both centred,
// or both at the same indent.
func (a *assembly) sameRun(h headingRun, r headRank) bool {
	return r == h.rank || r == rankCentred && h.rank < rankCentred
}

// rankOf says what the line of a heading is made like, and whether a structure
// word says so.
func (a *assembly) rankOf(bl *book.Block) (headRank, bool) {
	if len(bl.Pieces) == 0 || bl.Pieces[0].Vol < 0 {
		return rankCentred, false
	}
	p := bl.Pieces[0]
	u, v := a.unitOf(p.Vol, p.Line), a.vols[p.Vol]
	if u == nil {
		return rankCentred, false
	}
	if ph, ok := v.Words.Prefix(u.Text); ok {
		if r, ok := phraseRank(ph); ok && !(r == rankMatter && chapterNotes(ph.ID) && bl.Part == book.Text) {
			return r, true
		}
	}
	r := numberRank(u.Text)
	switch in := u.Indent(); {
	case (!u.Side || u.Listed) && (u.Centred || v.Middle(u)) && !(in < len(a.setIn) && a.setIn[in]):
	case in == 6 || in > 6 && !u.Listed:
		r = rankCell7
	case in >= 3:
		r = rankCell5
	case r == rankCentred && in == 0:
		r = rankMargin
	}
	return r, false
}

// phraseRank is the rank of a structure word. A word of the book's matter
// counts when it is the whole line.
func phraseRank(p english.Phrase) (headRank, bool) {
	if structural(p) {
		switch p.ID {
		case english.Part, english.Book:
			return rankPart, true
		case english.Section, english.Scene:
			return rankSection, true
		}
		return rankChapter, true
	}
	if len(p.Tail) > 0 {
		return 0, false
	}
	if p.ID == english.Prologue || p.ID == english.Epilogue || frontMatter(p.ID) || backMatter(p.ID) {
		return rankMatter, true
	}
	return 0, false
}

// numberRank is the rank of a centred line without a structure word: by the
// depth of the number that it begins with.
func numberRank(t []byte) headRank {
	w := firstToken(t)
	if len(w) > 1 && w[0] == '#' {
		switch decimalDepth(w) {
		case 1:
			if len(w) == len(t) && len(w) == 5 {
				return rankCentred // a year
			}
			return rankNumber
		case 2:
			return rankDeeper
		default:
			return rankDeepest
		}
	}
	if l, ok := cell.ParseLabel(w); ok && l.Roman && (len(w) == len(t) || len(w) > 2) {
		return rankNumber
	}
	return rankCentred
}

// decimalDepth counts the numbers of a decimal number: dots 256 in UEB, dots 46
// in EBAE, dot 2 in SEB. A full stop at the end is none.
func decimalDepth(w []byte) int {
	n := 1
	for i := 1; i+1 < len(w); i++ {
		if (w[i] == '4' || w[i] == '.' || w[i] == '1') && (w[i+1] >= 'a' && w[i+1] <= 'j' || w[i+1] == '#') {
			n++
		}
	}
	return n
}

// frontMatter and backMatter tell the named parts that stand before and after
// the text.
func frontMatter(id english.PhraseID) bool {
	switch id {
	case english.Preface, english.Foreword, english.Introduction, english.Acknowledgements, english.AuthorNote, english.Dedication, english.Epigraph,
		english.Cast, english.Abbreviations, english.Maps, english.Illustrations, english.FamilyTree, english.Copyright, english.SpecialSymbols, english.TranscribersNotes:
		return true
	}
	return false
}

func backMatter(id english.PhraseID) bool {
	switch id {
	case english.Index, english.Glossary, english.Bibliography, english.Appendix, english.Afterword, english.Postscript, english.Notes, english.Footnotes,
		english.Endnotes, english.AboutAuthor, english.AlsoBy, english.FurtherReading, english.Credits, english.Errata, english.Answers, english.Questions, english.Chronology:
		return true
	}
	return false
}

// listedLevels counts, for each rank, the levels that the contents list gives
// its headings: indents of entries, in the order of their depth.
// A few that it names tell nothing of the others of their rank. named has the ranks that it names, however few depths it has.
func (a *assembly) listedLevels(runs []headingRun) (mean [nRanks]float64, named [nRanks]bool) {
	var sum, n, all [nRanks]float64
	listed, depths := a.listedDepths(), len(a.entryDepths())
	for _, r := range runs {
		all[r.rank]++
		for i := r.from; i < r.to; i++ {
			if d := listed[int32(i)]; d > 0 {
				sum[r.rank] += d
				n[r.rank]++
			}
		}
	}
	for r := range mean {
		if named[r] = n[r] > 0 && n[r]*3 >= all[r]; named[r] && depths > 1 {
			mean[r] = sum[r] / n[r]
		}
	}
	return mean, named
}

// listedDepths gives the headings that contents lists name for sure the depth of their entries.
func (a *assembly) listedDepths() map[int32]float64 {
	depth, out := a.entryDepths(), map[int32]float64{}
	for _, l := range a.b.Links {
		if l.Kind == book.ListRef && l.Confidence >= sure && a.b.Blocks[l.Target].Kind == book.Heading {
			out[l.Target] = depth[a.b.Blocks[l.Block].First]
		}
	}
	return out
}

// entryDepths gives each indent of the contents entries its depth, 1 and up;
// an indent that hardly any entry has is none of its own.
func (a *assembly) entryDepths() map[int16]float64 {
	count, total := map[int16]int{}, 0
	for i := range a.b.Blocks {
		if bl := &a.b.Blocks[i]; bl.Kind == book.Entry {
			count[bl.First]++
			total++
		}
	}
	var indents []int16
	for in, n := range count {
		if n >= 2 && n*50 >= total {
			indents = append(indents, in)
		}
	}
	sort.Slice(indents, func(i, j int) bool { return indents[i] < indents[j] })
	depth := map[int16]float64{}
	for k, in := range indents {
		depth[in] = float64(k + 1)
	}
	return depth
}

// levelOf numbers the ranks that a book has. Ranks that the contents list puts
// at one level share it; named matter stands as high as the highest.
func levelOf(runs []headingRun, listed [nRanks]float64, named [nRanks]bool) (level [nRanks]uint8) {
	var used [nRanks]bool
	for _, r := range runs {
		used[r.rank] = true
	}
	next, last := uint8(0), 0.0
	for _, r := range sortedRanks(rankOrder(used), runs, listed, named) {
		if !used[r] || r == rankMatter {
			continue
		}
		if next == 0 || listed[r] == 0 || last == 0 || listed[r]-last >= 0.5 {
			next++
		}
		if listed[r] > 0 {
			last = listed[r]
		}
		level[r] = min(next, 6)
	}
	level[rankMatter] = 1
	return level
}

// rankOrder is the ranks, highest first: sections numbered "1.2" stand under chapters in the middle where these have no number.
func rankOrder(used [nRanks]bool) (order []headRank) {
	for r := rankPart; r < nRanks; r++ {
		order = append(order, r)
	}
	if !used[rankChapter] && !used[rankNumber] {
		order = slices.DeleteFunc(order, func(r headRank) bool { return r == rankCentred })
		order = slices.Insert(order, int(rankDeeper), rankCentred)
	}
	return order
}

// sortedRanks puts ranks into another order where the book tells it: ranks that the contents list puts further out stand above
// those further in, and headings that it names, or of which a third or more stand right over one of another rank, stand above that rank, as the parts
// of a book of hymns do over the numbers of these.
func sortedRanks(order []headRank, runs []headingRun, listed [nRanks]float64, named [nRanks]bool) []headRank {
	var over [nRanks][nRanks]int
	var all [nRanks]int
	for i, r := range runs {
		all[r.rank]++
		if i+1 < len(runs) && runs[i+1].from == r.to {
			over[r.rank][runs[i+1].rank]++
		}
	}
	above := func(a, b headRank) bool { // a, which stands lower
		if listed[a] > 0 && listed[b] > 0 {
			return listed[b]-listed[a] >= 0.9
		}
		if a == rankMatter || b == rankMatter || b == rankPart || over[b][a] > 0 {
			return false
		}
		return over[a][b] >= 2 && over[a][b]*3 >= all[a] || named[a] && !named[b] && all[a] >= 3 && all[b] >= 3
	}
	for i := 1; i < len(order); i++ {
		for k := 0; k < i; k++ {
			if above(order[i], order[k]) {
				r := order[i]
				copy(order[k+1:i+1], order[k:i])
				order[k] = r
				break
			}
		}
	}
	return order
}

// outerMatter marks, in the text from block at on, the matter before it and
// after it: named parts that no chapter or section comes before, and those
// after which none follows.
func (a *assembly) outerMatter(at int) {
	first, last := -1, -1
	named := map[int]english.PhraseID{}
	for i := at; i < len(a.b.Blocks); i++ {
		bl := &a.b.Blocks[i]
		if bl.Kind != book.Heading || bl.Part != book.Text || len(bl.Pieces) == 0 || bl.Pieces[0].Vol < 0 {
			continue
		}
		t := a.b.Text(bl.Pieces[0])
		p, ok := a.vols[bl.Pieces[0].Vol].Words.Prefix(t)
		switch {
		case ok && structural(p) && p.ID != english.Appendix, numberRank(t) == rankNumber:
			if first < 0 {
				first = i
			}
			last = i
		case ok && (len(p.Tail) == 0 || p.ID == english.Appendix) && (frontMatter(p.ID) || backMatter(p.ID)):
			named[i] = p.ID
		}
	}
	if first < 0 {
		first, last = at, at+(len(a.b.Blocks)-at)*3/4
	}
	a.markMatter(at, first, last, named)
}

// markMatter marks what stands from named matter on, before block first and
// after block last.
func (a *assembly) markMatter(at, first, last int, named map[int]english.PhraseID) {
	before := false
	for i := at; i < first; i++ {
		before = before || frontMatter(named[i])
		if before && a.b.Blocks[i].Part == book.Text {
			a.b.Blocks[i].Part = book.Prelims
		}
	}
	after := false
	for i := last + 1; i < len(a.b.Blocks); i++ {
		after = after || backMatter(named[i]) && !chapterNotes(named[i])
		if after && a.b.Blocks[i].Part == book.Text {
			a.b.Blocks[i].Part = book.BackMatter
		}
	}
}

// chapterNotes reports whether a named part may close a chapter as well as the
// book.
func chapterNotes(id english.PhraseID) bool {
	switch id {
	case english.Notes, english.Footnotes, english.Endnotes, english.Questions, english.Answers, english.FurtherReading:
		return true
	}
	return false
}

// forms marks what only the part of the book tells: notes in the notes, terms
// in an index.
func (a *assembly) forms() {
	index := false
	for i := range a.b.Blocks {
		bl := &a.b.Blocks[i]
		if len(bl.Pieces) == 0 {
			continue
		}
		text := bl.Kind == book.Para || bl.Kind == book.Line
		switch {
		case bl.Kind == book.Heading:
			index = bl.Part == book.BackMatter && a.isIndex(bl) || index && len(a.b.Text(bl.Pieces[0])) <= 4
		case bl.Part == book.NotesPart && text:
			bl.Form = book.NoteMore
			if !bl.Cont && structure.NoteStart(a.b.Text(bl.Pieces[0])) {
				bl.Form = book.Note
			}
		case index && bl.Kind == book.Line && !bl.Cont:
			bl.Form = book.Term
		}
	}
}

func (a *assembly) isIndex(bl *book.Block) bool {
	p := bl.Pieces[0]
	if p.Vol < 0 {
		return false
	}
	ph, ok := a.vols[p.Vol].Words.Lookup(a.b.Text(p))
	n := layout.Normal(a.b.Text(p)) // index of names, and the like
	return ok && ph.ID == english.Index || wordsWithin(n, "9dex") || wordsWithin(n, "index")
}
