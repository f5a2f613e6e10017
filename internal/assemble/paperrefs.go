package assemble

import (
	"bytes"
	"fmt"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/diag"
	"continuo/internal/layout"
	"continuo/internal/structure"
)

// This file turns references to pages of the paper volumes, "volume 2, page
// 14", into references to print pages, where that is certain. A book may name
// the volumes of another book in just that way; so all such references must
// find their page, and words round the reference must stand on it.

// sureRef is how sure a reference is that is written anew.
const sureRef = 0.95

// paperRef is a reference to a page of a paper volume. Its cells lie on one
// piece, or on two that follow each other: then cut is where the second begins.
type paperRef struct {
	block        int
	words        []refWord
	from, to     int // words of the reference
	pageAt       int // its word "page"
	volume, page int
	vol, onPage  int  // where that page is, -1 when it is not found
	print        int  // the print page, 0 when it is not certain
	rare         int  // rare words round it that stand on the page
	see          bool // "see" stands before it
}

// refWord is a word of a block: cells from up to to of the text of a piece,
// and those without punctuation.
type refWord struct {
	piece    int
	from, to int
	bare     []byte
	at       int // of bare in the piece's text
}

// paperRefs writes references to pages of the paper volumes anew, where the
// print page is certain, and tells it.
func (a *assembly) paperRefs() {
	refs := a.findPaperRefs()
	if len(refs) == 0 {
		return
	}
	shown := a.printOnPages()
	lost := false
	for i := range refs {
		a.findPage(&refs[i], shown)
		lost = lost || refs[i].onPage < 0
	}
	a.weighRefs(refs)
	told := 0
	for i := len(refs) - 1; i >= 0; i-- { // from the end, so that pieces keep their places
		r := &refs[i]
		if !lost && r.print > 0 && (r.rare > 1 || r.rare == 1 && r.see) {
			a.writeRef(r, told < maxDead)
			told++
		} else if r.onPage >= 0 {
			p := a.b.Blocks[r.block].Pieces[r.words[r.pageAt].piece]
			a.underHeading(r, [2]int32{p.Vol, p.Line})
		}
	}
}

// findPaperRefs finds the references of the book that name volume and page.
func (a *assembly) findPaperRefs() (out []paperRef) {
	for i := range a.b.Blocks {
		bl := &a.b.Blocks[i]
		if bl.Kind != book.Para && bl.Kind != book.Line || bl.Part == book.TitlePage || bl.Part == book.ContentsList || !a.hasVolumeWord(bl) {
			continue
		}
		words := a.refWords(bl)
		for k := 0; k+3 < len(words); k++ {
			if r, ok := readRef(words, k); ok {
				r.block = i
				if a.plainPieces(bl, &r) {
					out = append(out, r)
				}
				k = r.to - 1
			}
		}
	}
	return out
}

func (a *assembly) hasVolumeWord(bl *book.Block) bool {
	for _, p := range bl.Pieces {
		if p.Vol >= 0 && a.mayRefer(p) && bytes.Contains(a.b.Text(p), []byte("vol")) {
			return true
		}
	}
	return false
}

func (a *assembly) refWords(bl *book.Block) (out []refWord) {
	for k, p := range bl.Pieces {
		t := a.b.Text(p)
		for from, to := range cell.Words(t) {
			w := structure.Bare(t[from:to])
			out = append(out, refWord{k, from, to, w, from + bytes.Index(t[from:to], w)})
		}
	}
	return out
}

// readRef reads "volume 2, page 14" or "page 14 of volume 2" at word k.
func readRef(words []refWord, k int) (r paperRef, ok bool) {
	r = paperRef{words: words, from: k, vol: -1, onPage: -1}
	next := k + 2
	switch first := string(words[k].bare); {
	case isVolumeWord(first):
		r.pageAt, r.to = next, next+2
		ok = isPageWord(string(words[next].bare)) && refNumber(words[k+1], &r.volume) && refNumber(words[next+1], &r.page)
	case isPageWord(first):
		for next < len(words)-1 && ofWord(string(words[next].bare)) {
			next++
		}
		if next+1 >= len(words) || next > k+4 {
			return r, false
		}
		r.pageAt, r.to = k, next+2
		ok = isVolumeWord(string(words[next].bare)) && refNumber(words[k+1], &r.page) && refNumber(words[next+1], &r.volume)
	}
	if !ok {
		return r, false
	}
	return r, r.to >= len(words) || !listGoesOn(words[r.to])
}

// listGoesOn reports whether what follows a number is one more: "page 14 and 16".
func listGoesOn(w refWord) bool {
	switch string(w.bare) {
	case "&", "and", "to", "6", "-", ",-":
		return true
	}
	_, ok := cell.ParseLabel(w.bare)
	return ok
}

func isVolumeWord(w string) bool { return w == "volume" || w == "vol" }
func isPageWord(w string) bool   { return w == "page" || w == "p" }

// ofWord reports whether a word can stand between page and volume: of, in, the,
// contracted or not, in every English code.
func ofWord(w string) bool {
	switch w {
	case "of", "(", "in", "9", "the", "!", "(!", "brl", "braille":
		return true
	}
	return false
}

// refNumber reads a word that is one arabic number.
func refNumber(w refWord, to *int) bool {
	l, ok := cell.ParseLabel(w.bare)
	*to = l.Value
	return ok && !l.Roman && l.Prefix == "" && l.Suffix == "" && l.Last == l.Value && l.Value > 0
}

// plainPieces reports whether a reference lies in one piece of the sources or
// in two that follow each other, nothing of the tool among them, and no
// punctuation but a comma within it.
func (a *assembly) plainPieces(bl *book.Block, r *paperRef) bool {
	first, last := r.words[r.from].piece, r.words[r.to-1].piece
	if last > first+1 {
		return false
	}
	for k := first; k <= last; k++ {
		if p := bl.Pieces[k]; p.Vol < 0 || p.Tool != nil || k > first && p.Join != 0 {
			return false
		}
	}
	for k := r.from; k < r.to; k++ {
		w := r.words[k]
		before, after := w.at-w.from, w.to-w.at-len(w.bare)
		t := a.b.Text(bl.Pieces[w.piece])
		abbreviated := after == 1 && t[w.to-1] == '4'
		comma := after == 1 && t[w.to-1] == '1'
		capital := before == 1 && t[w.from] == ','
		if k > r.from && before > 0 && !capital || k < r.to-1 && after > 0 && !comma && !abbreviated {
			return false
		}
	}
	return true
}

// shownPage is the print page of a braille page: the one that all of it lies
// on, or 0.
type shownPage = int

// printOnPages tells, for each page of each volume, the one print page that it
// lies on; 0 where it is not known, or turns on the page.
func (a *assembly) printOnPages() [][]shownPage {
	out := make([][]shownPage, len(a.vols))
	var ahead marksAhead
	for i, v := range a.vols {
		out[i] = make([]shownPage, len(v.Pages))
		marked := v.Rows+v.Marks > 0
		at := 0
		for p := range v.Pages {
			here, turned := pageTurns(v, p, &at)
			switch corner := v.Pages[p].Print; {
			case turned:
			case marked && (corner == nil || arabic(corner) && corner.Value == here):
				out[i][p] = here
			case !marked && arabic(corner) && !ahead.turnsOn(v, int32(p)):
				out[i][p] = corner.Value
			}
		}
	}
	return out
}

func arabic(l *cell.Label) bool {
	return l != nil && !l.Roman && l.Suffix == "" && l.Last == l.Value
}

// pageTurns follows the print page turns on page p, the print page before it
// in at. It returns the print page at the page's first text, and whether
// another begins after that.
func pageTurns(v *structure.Volume, p int, at *int) (here int, turned bool) {
	begun := false
	turn := func(l *cell.Label) {
		if turned = turned || begun; arabic(l) && l.Prefix == "" {
			*at = l.Value
		} else {
			*at = 0
		}
	}
	pg := v.Pages[p]
	here = *at
	for i := pg.First; i < pg.Last; i++ {
		switch v.Lines[i].Role {
		case layout.Turn:
			turn(v.Lines[i].Label)
		case layout.Text:
			if !begun {
				here, begun = *at, true
			}
			for _, l := range v.Inline[i] {
				turn(&l)
			}
		}
	}
	return here, turned
}

// findPage finds the page that a reference names: of the one volume that says
// it has that number, the one page with that braille page number.
func (a *assembly) findPage(r *paperRef, shown [][]shownPage) {
	for i, v := range a.vols {
		if v.RepeatOf == nil && v.Number == r.volume {
			if r.vol >= 0 {
				return
			}
			r.vol = i
		}
	}
	if r.vol < 0 {
		return
	}
	n := 0
	for p := range a.vols[r.vol].Pages {
		if b := a.vols[r.vol].Pages[p].Braille; b != nil && !b.Roman && b.Suffix == "" && (b.Prefix == "" || b.Prefix[0] < 'a') && b.Value == r.page {
			r.onPage, n = p, n+1
		}
	}
	if n != 1 {
		r.onPage = -1
		return
	}
	r.print = shown[r.vol][r.onPage]
}

// weighRefs counts the rare words round each reference that stand on the page
// it names.
func (a *assembly) weighRefs(refs []paperRef) {
	on, total := a.pagesOfWords()
	for i := range refs {
		r := &refs[i]
		seen := map[string]bool{}
		for k := max(0, r.from-14); k < min(len(r.words), r.to+8) && r.onPage >= 0; k++ {
			w := string(r.words[k].bare)
			if k >= r.from && k < r.to || seen[w] || len(w) < 4 || w[0] == '#' {
				continue
			}
			seen[w] = true
			if pages := on[w]; len(pages) <= max(3, total/30) && pages[[2]int{r.vol, r.onPage}] {
				r.rare++
			}
		}
		for k := max(0, r.from-2); k < r.from; k++ {
			r.see = r.see || string(r.words[k].bare) == "see"
		}
	}
}

// pagesOfWords tells on which pages each word of four cells or more stands,
// and how many pages there are.
func (a *assembly) pagesOfWords() (map[string]map[[2]int]bool, int) {
	on, total := map[string]map[[2]int]bool{}, 0
	for i, v := range a.vols {
		total += len(v.Pages)
		for k := range v.Units {
			u := &v.Units[k]
			for from, to := range cell.Words(u.Text) {
				if w := structure.Bare(u.Text[from:to]); len(w) >= 4 {
					if on[string(w)] == nil {
						on[string(w)] = map[[2]int]bool{}
					}
					on[string(w)][[2]int{i, int(u.Page)}] = true
				}
			}
		}
	}
	return on, total
}

// writeRef writes a reference anew: the word "page" as the book has it, and
// the print page. Where it lies on two lines each part is replaced by one of
// the two.
func (a *assembly) writeRef(r *paperRef, tell bool) {
	bl := &a.b.Blocks[r.block]
	why := a.why("paper-page", "page of a paper volume made a print page",
		fmt.Sprintf("page %d of volume %d lies on print page %d; words round it stand there", r.page, r.volume, r.print), sureRef)
	word := r.words[r.pageAt]
	page := string(word.bare)
	if t := a.b.Text(bl.Pieces[word.piece]); word.to > word.at+len(word.bare) && t[word.to-1] == '4' {
		page += "4"
	}
	label := string(cell.Number(r.print))
	first, last := r.words[r.from], r.words[r.to-1]
	p := bl.Pieces[first.piece]
	if tell {
		a.find(diag.Note, "page-reference-changed", a.vols[p.Vol], p.Line, "page %d of volume %d is print page %d, and is called so in the edition", r.page, r.volume, r.print)
	}
	q := bl.Pieces[last.piece]
	from, to := p.From+int32(first.at), q.From+int32(last.at+len(last.bare))
	if first.piece == last.piece {
		a.mendWithin(bl, first.piece, from, to, page+" "+label, why)
		return
	}
	cut := r.from
	for r.words[cut].piece == first.piece {
		cut++
	}
	end := r.words[cut-1]
	a.mendWithin(bl, last.piece, q.From+int32(r.words[cut].from), to, label, why)
	a.mendWithin(bl, first.piece, from, p.From+int32(end.to), page, why)
}

// underHeading remembers, for the finding on a reference that stays, what its
// page stood under.
func (a *assembly) underHeading(r *paperRef, at [2]int32) {
	v := a.vols[r.vol]
	var head []byte
	for k := range v.Units {
		if u := &v.Units[k]; int(u.Page) > r.onPage {
			break
		} else if a.fates[r.vol][k] == asText && u.Centred && !u.Rule && (int(u.Page) < r.onPage || u.PageTop) {
			head = u.Text
		}
	}
	if a.refPlaces == nil {
		a.refPlaces = map[[2]int32]string{}
	}
	switch {
	case r.print > 0:
		a.refPlaces[at] = fmt.Sprintf("; in volume %d that page lies on print page %d", r.volume, r.print)
	case len(head) > 0:
		a.refPlaces[at] = fmt.Sprintf("; in volume %d that page stands under %q", r.volume, bytes.TrimSpace(head))
	}
}
