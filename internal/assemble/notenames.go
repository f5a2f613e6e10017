package assemble

import (
	"sort"

	"continuo/internal/book"
	"continuo/internal/structure"
)

// This file names the chapter or part that notes belong to, where their numbers begin
// anew and they stand together at the end of the book.

// noteNames tells under which heading of the text each group of notes belongs.
type noteNames struct {
	runs  []headingRun // headings that notes can belong to, in order
	index blockIndex
	known bool // all of them are known to be of chapters
	from  int  // block in which the notes named last end, or are referred to last
	last  int  // heading that was named last, -1 for none
}

// noteNames finds the headings that notes can belong to, in the text that is laid:
// those of chapters, by their words or the contents list, else all; of these down to the
// level at which nine in ten of the places where numbers begin anew have a heading.
func (a *assembly) noteNames() *noteNames {
	n := &noteNames{index: a.blockIndex(), known: len(a.notes.heads) > 0 && (a.hasChapters() || a.flatList()), last: -1, from: -1}
	heads := map[int32]bool{}
	for _, h := range a.notes.heads {
		if b, ok := n.index.at(int32(h.vol), a.vols[h.vol].Units[h.unit].Line); ok {
			heads[b] = true
		}
	}
	a.levels()
	for _, r := range a.headingRuns() {
		named := false
		for i := r.from; i < r.to; i++ {
			named = named || heads[int32(i)]
		}
		if r.from >= a.bodyAt && (named || len(heads) == 0 && !a.alikeTitle(a.runName(r))) {
			n.runs = append(n.runs, r)
		}
	}
	n.upToLevel(a)
	return n
}

// flatList reports whether the entries of the contents list that name headings stand at
// one indent.
func (a *assembly) flatList() bool {
	in := map[int32]int{}
	for k := range a.list.lines {
		if l := &a.list.lines[k]; l.confidence >= sure {
			in[a.vols[l.vol].Units[l.units[0]].From]++
		}
	}
	return len(in) == 1
}

// upToLevel leaves the headings of the highest level, and those above it, that explain
// where numbers begin anew; all where no level does.
func (n *noteNames) upToLevel(a *assembly) {
	begins := a.newBeginnings(n.index)
	for level := uint8(1); level <= 6 && len(begins) > 0; level++ {
		runs, good := runsTo(a.b, n.runs, level), 0
		for _, g := range begins {
			good += boolInt(headingIn(runs, g[0], g[1]))
		}
		if good*10 >= len(begins)*9 {
			n.runs = runs
			return
		}
	}
}

// newBeginnings are the pairs of blocks, with the reference to a note and the reference to
// the next note in the book, where the number of the second is not larger.
func (a *assembly) newBeginnings(index blockIndex) [][2]int {
	var out [][2]int
	before, at := -1, 0
	for _, r := range a.notes.refs {
		if r.note < 0 || !r.mark.Number() || a.notes.notes[r.note].confidence < sure {
			continue
		}
		b, ok := index.at(int32(r.vol), a.vols[r.vol].Units[r.unit].Line)
		if !ok {
			continue
		}
		if before >= 0 && r.mark.N <= before {
			out = append(out, [2]int{at, int(b)})
		}
		before, at = r.mark.N, int(b)
	}
	return out
}

// runsTo are the headings of a level and those above it.
func runsTo(b *book.Book, runs []headingRun, level uint8) []headingRun {
	var out []headingRun
	for _, r := range runs {
		if b.Blocks[r.from].Level <= level {
			out = append(out, r)
		}
	}
	return out
}

// headingIn reports whether a heading stands after block from, up to block to.
func headingIn(runs []headingRun, from, to int) bool {
	i := sort.Search(len(runs), func(i int) bool { return runs[i].from > from })
	return i < len(runs) && runs[i].from <= to
}

// next is the name over a group of notes that is laid now; nil when it was named already
// or is not known.
func (n *noteNames) next(a *assembly, gr *noteGroup) []byte {
	first, last := n.referred(a, gr)
	if first < 0 {
		return nil
	}
	i := n.heading(n.from, first)
	if n.from = last; gr.Place == structure.AtChapter || gr.Place == structure.AtVolume {
		n.from = max(last, n.stood(a, gr))
	}
	if i < 0 || i == n.last {
		return nil
	}
	n.last = i
	return a.runName(n.runs[i])
}

// referred is the blocks with the first and the last sure reference to notes of a group,
// -1 for none.
func (n *noteNames) referred(a *assembly, gr *noteGroup) (first, last int) {
	first, last = -1, -1
	for _, id := range gr.notes {
		x := &a.notes.notes[id]
		if x.ref < 0 || x.confidence < sure {
			continue
		}
		r := &a.notes.refs[x.ref]
		b, ok := n.index.at(int32(r.vol), a.vols[r.vol].Units[r.unit].Line)
		if ok && first < 0 {
			first = int(b)
		}
		if ok {
			last = max(last, int(b))
		}
	}
	return first, last
}

// stood is the last block of the text before a group of notes, where it stood; -1 for none.
func (n *noteNames) stood(a *assembly, gr *noteGroup) int {
	for k := gr.From - 1; k >= 0; k-- {
		if a.fates[gr.vol][k] == asText {
			b, ok := n.index.at(int32(gr.vol), a.vols[gr.vol].Units[k].Line)
			return int(b)*boolInt(ok) - boolInt(!ok)
		}
	}
	return -1
}

// heading is the heading of the chapter of a reference in block to, -1 for none. Where
// chapters are not known from sections the notes before, which end in block from, tell:
// the chapter is the first heading after them of the highest level, or the lowest of several
// headings there without text between.
func (n *noteNames) heading(from, to int) int {
	last := sort.Search(len(n.runs), func(i int) bool { return n.runs[i].from > to }) - 1
	i := sort.Search(len(n.runs), func(i int) bool { return n.runs[i].from > from })
	if n.known || i > last {
		return last
	}
	for k := i + 1; k <= last; k++ {
		if r := n.runs[k].rank; r < n.runs[i].rank && r != rankMatter {
			i = k
		}
	}
	for i < last && n.runs[i+1].from == n.runs[i].to && n.runs[i+1].rank > n.runs[i].rank {
		i++
	}
	return i
}

// runName is the words of a heading: its first line, with the lines after it where the
// first is no number of a chapter.
func (a *assembly) runName(r headingRun) []byte {
	var t []byte
	for i := r.from; i < r.to; i++ {
		line := clean(a.headText(i))
		if i > r.from && (r.rank <= rankChapter || r.rank == rankNumber || len(t)+1+len(line) > maxLabel || len(line) == 0) {
			break
		}
		if i > r.from {
			t = append(t, ' ')
		}
		t = append(t, line...)
	}
	return t
}

// maxLabel is how many cells the name over notes has at most: the proof of an edition
// allows 80.
const maxLabel = 76

// labelGroup writes, under the heading of a group of notes at the end of volume i, which
// begins with block at, the name of the part that they belong to: by their references,
// else the first heading of the volume.
func (a *assembly) labelGroup(i, at int, names *noteNames, why book.ReasonID) {
	for g := range a.notes.groups {
		if gr := &a.notes.groups[g]; len(names.runs) > 0 && gr.vol == i && len(gr.notes) > 0 && a.fates[i][gr.From] != asText && !gr.moved {
			if t := names.next(a, gr); len(t) > 0 {
				a.labelAt(at, t, why)
			}
			return
		}
	}
	v := a.vols[i]
	for k := a.bodyUnit(v); k < len(v.Units); k++ {
		u := &v.Units[k]
		if a.fates[i][k] != asText || !u.Centred || u.Rule || a.alikeTitle(u.Text) {
			continue
		}
		if text := clean(u.Text); len(text) > 0 {
			a.labelAt(at, text, why)
		}
		return
	}
}
