package layout

import (
	"slices"
	"strings"

	"continuo/internal/english"
)

// This file keeps what heads may repeat: the headings and titles of all volumes.

// headbook holds the edge lines of all volumes and the headings that a head
// may be a short form of.
type headbook struct {
	inner   shelf           // centred lines within pages, and the lines of title pages
	tops    shelf           // centred lines at the top of a page without a number
	apart   map[string]bool // centred lines within pages that are set apart, as headings are
	authors []string        // of the title pages
	titles  []string

	titleRest map[string]string // titles of two lines by their first

	ends      map[partEnd]bool // parts in which volumes break off
	endTitles map[string]bool  // and their titles

	headBefore    map[*Volume]string   // the running head with which the volume before ends
	headingBefore map[*Volume][]string // the words of its last heading

	listed map[string][]int // entries that stand twice in a contents list, with their numbers
	named  map[string]bool  // all entries of these lists

	running

	margin [3]marginCount // of all volumes

	footHeads int  // last lines of pages, in all volumes, that are alike and centred
	bareHeads int  // first lines, in all volumes, that are alike or say the last heading or that right under them, centred and without a number
	pages     int  // pages of all volumes
	reserved  bool // most of the pages stand in volumes whose line 1 is for heads alone
}

func newHeadbook() *headbook {
	return &headbook{inner: newShelf(), tops: newShelf(), apart: map[string]bool{}, titleRest: map[string]string{}, ends: map[partEnd]bool{}, endTitles: map[string]bool{}, listed: map[string][]int{}, named: map[string]bool{}, running: newRunning()}
}

// footed reports whether heads stand at the foot of pages: on an eighth of
// them at least.
func (hb *headbook) footed() bool { return hb.footHeads >= 3 && hb.footHeads*8 >= hb.pages }

// bareTops reports whether heads without a number stand at the top of pages: on a third
// of them, or on a third of those of the title and in a volume that is not short on some.
func (v *Volume) bareTops(hb *headbook) bool {
	return v.bareHeads*3 >= len(v.Pages) || hb.bareHeads*3 >= hb.pages && (v.bareHeads >= 3 || len(v.Pages) <= fewPages)
}

// shelf is a set of headings that can be asked for a like one.
type shelf struct {
	headings []heading // to be compared by likeness, so many of each volume
	room     int       // how many more of this volume
	exact    map[string]bool
	known    map[string]bool // answers so far
}

func (s *shelf) add(norm string) {
	if len(norm) < 2 || s.exact[norm] {
		return
	}
	s.exact[norm] = true
	if s.room > 0 {
		s.room--
		s.headings = append(s.headings, heading{norm, strings.Fields(norm)})
	}
}

func newShelf() shelf { return shelf{exact: map[string]bool{}, known: map[string]bool{}} }

func (s *shelf) like(norm string) bool { return s.asked(norm, s.search) }

// asked is whether the shelf has a text, or what search says of it, asked once.
func (s *shelf) asked(norm string, search func(string) bool) bool {
	k, ok := s.known[norm]
	if !ok {
		k = s.exact[norm] || search(norm)
		s.known[norm] = k
	}
	return k
}

func (s *shelf) search(norm string) bool {
	words := strings.Fields(norm)
	for i := range s.headings {
		h := &s.headings[i]
		if Alike(h.norm, norm) || shortForm(h.words, words) {
			return true
		}
	}
	return false
}

// begins reports whether a text is like the first words of a heading, two or
// more of them.
func (s *shelf) begins(norm string) bool {
	words := strings.Fields(norm)
	if len(words) < 2 {
		return false
	}
	for i := range s.headings {
		if h := s.headings[i].words; len(h) > len(words) && Alike(strings.Join(h[:len(words)], " "), norm) {
			return true
		}
	}
	return false
}

// partEnd is a kind of part and a number: chapter 5.
type partEnd struct {
	id english.PhraseID
	n  int
}

type heading struct {
	norm  string
	words []string
}

// likeHeading reports whether a head repeats a heading or title of the book:
// the same, misspelt, or some of its words. A line without a number is not
// compared with its own like at the top of other pages.
func (hb *headbook) likeHeading(norm string, number bool) bool {
	return hb.inner.like(norm) || number && hb.tops.like(norm)
}

// isTitle reports whether a text is the first line of a title page.
func (hb *headbook) isTitle(norm string) bool {
	for _, t := range hb.titles {
		if Alike(t, norm) {
			return true
		}
	}
	return false
}

// addHeadings takes down the centred lines of a volume that are no edge lines
// with a number and no last lines: what a head may repeat.
func (hb *headbook) addHeadings(v *Volume, edges []edgeLine) {
	skip := v.linesOf(edges)
	hb.addEnds(v)
	hb.addListed(v)
	hb.inner.room, hb.tops.room = 400, 400
	if len(edges) > 0 {
		top := v.Pages[edges[0].page].Top
		if edges[0].line == top && edges[0].number && edges[0].norm == "" { // a number alone, and the title below it
			top = v.below(top)
		}
		if top >= 0 && v.Centred(top) {
			hb.titles = append(hb.titles, Normal(v.TextOf(top)))
			hb.addTitleRest(v, top)
			if a := v.authorUnder(top); a != "" {
				hb.authors = append(hb.authors, a)
			}
		}
	}
	for i := range v.Lines {
		l := &v.Lines[i]
		if l.Role != Text || skip[i] || !v.Centred(int32(i)) || v.atLevel(int32(i)) {
			continue
		}
		norm := Normal(v.TextOf(int32(i)))
		hb.inner.add(norm)
		hb.inner.add(behindNumber(norm))
		apart := v.setApart(int32(i))
		if apart {
			hb.apart[norm] = true
		}
		v.addJoined(hb, int32(i), apart)
	}
	for i := range edges {
		e := &edges[i]
		if !e.top || e.number || !e.centred {
			continue
		}
		if v.firstPage(e.page) {
			hb.inner.add(e.norm)
			hb.apart[e.norm] = true
			v.addJoined(hb, e.line, true)
		} else if e.first {
			hb.tops.add(e.norm)
			for _, joined := range v.joinedHeading(e.line, e.norm) {
				hb.tops.add(joined)
			}
		}
	}
}

// addJoined takes down a heading that runs over two or three centred lines,
// of which line i is the first, set apart or not.
func (v *Volume) addJoined(hb *headbook, i int32, apart bool) {
	for _, joined := range v.joinedHeading(i, Normal(v.TextOf(i))) {
		hb.inner.add(joined)
		if apart {
			hb.apart[joined] = true
		}
	}
}

// addTitleRest takes down the second line of a title that runs over two lines, the first line of a
// title page and the one right under it, where the author's line stands further down, with the word for "by".
func (hb *headbook) addTitleRest(v *Volume, top int32) {
	next, last := v.nextCentred(top), v.Pages[v.PageOf[top]].Last
	if next < 0 {
		return
	}
	for i := next + 1; i < last; i++ {
		if p, ok := v.Words.Prefix(v.TextOf(i)); ok && v.Lines[i].Role == Text {
			if p.ID == english.By {
				hb.titleRest[Normal(v.TextOf(top))] = Normal(v.TextOf(next))
			}
			return
		}
	}
}

// authorUnder is the name of the author on a title page, behind the word for "by" or on the line under that word; "" if
// it has none.
func (v *Volume) authorUnder(top int32) string {
	for i := v.below(top); i >= 0; i = v.below(i) {
		p, ok := v.Words.Prefix(v.TextOf(i))
		if !ok || p.ID != english.By {
			continue
		}
		if len(p.Tail) > 0 {
			return Normal(p.Tail)
		}
		if next := v.below(i); next >= 0 {
			return Normal(v.TextOf(next))
		}
	}
	return ""
}

// namesBoth reports whether a text is the author's name and the title, or its first words, one behind the other: a page
// head, and no heading (common practice).
func (hb *headbook) namesBoth(norm string) bool {
	for _, a := range hb.authors {
		rest, before := strings.CutPrefix(norm, a+" ")
		if !before {
			rest, before = strings.CutSuffix(norm, " "+a)
		}
		if before && slices.ContainsFunc(hb.titles, func(t string) bool { return Alike(t, rest) || strings.HasPrefix(t, rest+" ") }) {
			return true
		}
	}
	return false
}

// addEnds takes down the parts in which a volume breaks off: of every kind, the
// last one that a centred line names with its number, but for those that name the
// notes at the end.
func (hb *headbook) addEnds(v *Volume) {
	var ends []partEnd
	title, notes := "", true
	for i := int32(len(v.Lines)) - 1; i >= 0; i-- {
		if l := &v.Lines[i]; l.Role != Text || l.Text.From < 3 || !v.Centred(i) {
			continue
		}
		p, ok := v.Words.Lookup(v.TextOf(i))
		if ok && notes && headsNotes(p) { // what stood after it are their headings
			ends, title = ends[:0], ""
		}
		if !ok || p.N == 0 || ofVolumes[p.ID] || slices.ContainsFunc(ends, func(e partEnd) bool { return e.id == p.ID }) {
			continue
		}
		if next := i + 1; len(ends) == 0 && next < v.Pages[v.PageOf[i]].Last && v.Lines[next].Role == Text && v.Centred(next) {
			title = Normal(v.TextOf(next))
		}
		ends = append(ends, partEnd{p.ID, p.N})
		_, note := v.noteUnder(i)
		notes = notes && note
	}
	for _, e := range ends {
		hb.ends[e] = true
	}
	if title != "" {
		hb.endTitles[title] = true
	}
}

// ofVolumes are phrases with numbers of volumes, which are no parts of the text.
var ofVolumes = map[english.PhraseID]bool{english.Volume: true, english.InVolumes: true, english.EndOfVolume: true, english.ContinuedIn: true}
