package triage

import (
	"bytes"

	"continuo/internal/book"
	"continuo/internal/convert"
	"continuo/internal/source"
)

// Bounds of a block of lines that stands twice, one copy right after the other.
const (
	blockLines = 220 // lines of a block at most: four pages of the largest paper
	blockLong  = 8   // long lines in it at least; a chorus sung twice has no more
	blockLoose = 2   // lines that the damage itself may have changed, where one copy ends and the other begins
)

// textTwice looks for a page or a block of text that stands twice in a file, the second copy
// right after the first: a page that was copied or saved twice, or a block of a disk written
// twice. Refrains and lines of a table have other text between.
func textTwice(r *convert.Result, vols []convert.VolumeSurvey) []sign {
	if r.Book == nil {
		return nil
	}
	body := map[string]int{}
	for i := range vols {
		body[vols[i].File] = vols[i].BodyPage
	}
	var seen [2048]int32
	for v, pages := range r.Pages {
		f := r.Book.Files[v]
		from := body[f.Name] - 1
		if from < 0 || from >= len(pages) {
			continue
		}
		clear(seen[:])
		if at := blockAgain(f, pages[from], &seen); at >= 0 {
			return []sign{lookAt("text-twice", book.Piece{Vol: int32(v), Line: at}, f.Text(int(at)), "lines of the text stand twice, one copy right after the other")}
		}
	}
	return nil
}

// blockAgain is the line on which the second copy of a block begins, from line first on; -1 for
// none. seen is room for where lines were last seen, by the cells that they begin and end with.
func blockAgain(f *source.File, first int32, seen *[2048]int32) int32 {
	for l := first; l < int32(len(f.Lines)); l++ {
		t := f.Text(int(l))
		if len(t) < longLine {
			continue
		}
		last := &seen[(begins(t)^begins(t[len(t)-8:]))%uint64(len(seen))]
		o := *last - 1
		*last = l + 1
		if o >= first && l-o <= blockLines && bytes.Equal(f.Text(int(o)), t) && twiceFrom(f, o, l) {
			return l
		}
	}
	return -1
}

// twiceFrom reports whether the lines from o on stand again from l on, down to line l or nearly so.
func twiceFrom(f *source.File, o, l int32) bool {
	n, long := int32(0), 0
	for ; l+n < int32(len(f.Lines)) && o+n < l; n++ {
		t := f.Text(int(l + n))
		if !bytes.Equal(f.Text(int(o+n)), t) {
			break
		}
		long += is(len(t) >= longLine)
	}
	return o+n >= l-blockLoose && long >= blockLong
}
