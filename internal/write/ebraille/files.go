package ebraille

import (
	"fmt"

	"continuo/internal/book"
	"continuo/internal/cell"
)

// Sizes of a content file in cells. A chapter, a heading of the highest known
// level, begins a file unless the one before it is very short; a heading of
// unknown level begins one when the file before it is of a sane size; no file
// goes far beyond the largest size, even inside a chapter.
const (
	shortSize   = 1_000
	saneSize    = 6_000
	largestSize = 120_000
)

// file is one content file.
type file struct {
	name   string
	groups []group
	title  []byte // cells of its title element
	body   []byte
	notes  bool
}

// split puts the groups into files. Turns before a heading go with it.
func (w *writer) split(groups []group) {
	size, start := 0, 0
	at := 0 // heading that comes next
	for i := range groups {
		g := &groups[i]
		cut := false
		if i > 0 {
			cut = size > 0 && g.part != groups[i-1].part && g.shape != shapeTurn
			cut = cut || groups[start].shape == shapeTitle && g.shape != shapeTitle && g.shape != shapeRule && g.shape != shapeTurn
			cut = cut || size > largestSize
			cut = cut || g.shape == shapeHeading && w.cutsAt(at, size)
		}
		if g.shape == shapeHeading {
			at++
		}
		if cut {
			if k := beforeTurns(groups, start, i); k > start {
				w.addFile(groups[start:k])
				start, size = k, 0
			}
		}
		size += w.sizeOf(g)
	}
	if start < len(groups) {
		w.addFile(groups[start:])
	}
}

// cutsAt says whether heading k begins a file after one of size cells.
func (w *writer) cutsAt(k, size int) bool {
	h := w.heads[k]
	if w.b.Blocks[h.block].Level == 0 {
		return size >= saneSize
	}
	return h.depth == 1 && size >= shortSize || size >= largestSize/4
}

// beforeTurns is the group from which turns stand right before group i.
func beforeTurns(groups []group, start, i int) int {
	for i > start && groups[i-1].shape == shapeTurn {
		i--
	}
	return i
}

// sizeOf is the size of a group in cells.
func (w *writer) sizeOf(g *group) int {
	return w.measure(g, func(t []byte) int { return len(t) })
}

// measure adds up what the pieces of a group measure.
func (w *writer) measure(g *group, of func([]byte) int) int {
	n := 0
	for _, it := range g.items {
		for i := it.from; i < it.to; i++ {
			for _, p := range w.b.Blocks[i].Pieces {
				n += of(w.b.Text(p))
			}
		}
		n += w.measure(&group{items: it.more}, of)
	}
	return n
}

// addFile makes a file of groups. One that holds no mark at all is left out.
func (w *writer) addFile(groups []group) {
	marks := 0
	for i := range groups {
		if marks = w.measure(&groups[i], cell.Marks); marks > 0 {
			break
		}
	}
	if marks == 0 {
		return
	}
	w.files = append(w.files, file{name: fmt.Sprintf("part-%03d.xhtml", len(w.files)+1), groups: groups})
}

// titleCells is the title in braille: the first lines of the title page, else
// the first heading, else the first words of the book.
func (w *writer) titleCells() []byte {
	var out []byte
	for i, n := 0, 0; i < len(w.b.Blocks) && n < max(1, w.o.TitleLines); i++ {
		if w.b.Blocks[i].Kind == book.TitleLine {
			out = w.appendLabel(out, i)
			n++
		}
	}
	if len(out) == 0 && len(w.heads) > 0 {
		out = w.heads[0].label
	}
	for i := 0; i < len(w.b.Blocks) && len(out) == 0; i++ {
		f := cell.Fields(w.set(i))
		if len(f) > 0 {
			out = append(out, w.cells[f[0][0]:f[min(6, len(f))-1][1]]...)
		}
	}
	return out
}
