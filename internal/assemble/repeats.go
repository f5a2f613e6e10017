package assemble

import (
	"bytes"
	"slices"
	"strings"

	"continuo/internal/cell"
	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/structure"
)

// repeats leaves out what later volumes repeat of the preliminary matter:
// title page, symbols, notes. What is new in it is kept.
func (a *assembly) repeats() {
	first := a.first()
	ref := newReference()
	for i, v := range a.vols {
		if v.RepeatOf != nil {
			continue
		}
		if i <= first {
			ref.add(v, a.bodyUnit(v), a.decidedOut(i))
			ref.addPages(v, a.bodyUnit(v))
			continue
		}
		a.repeatsOf(i, v, ref)
		ref.add(v, a.frontEnd(i), a.decidedOut(i))
	}
}

// reference is the preliminary matter seen so far.
type reference struct {
	words, lists wordRow         // lists has the words of contents lists
	pages        map[string]bool // short pages after it, each as a whole
}

// wordRow is text as one row of words. Words keeps each of them apart: most
// lines that are looked for have one that is not there.
type wordRow struct {
	text  strings.Builder
	words map[string]bool
}

func newReference() *reference {
	r := &reference{pages: map[string]bool{}}
	for _, row := range []*wordRow{&r.words, &r.lists} {
		row.words = map[string]bool{}
		row.text.WriteByte(' ')
	}
	return r
}

func (r *wordRow) add(n string) {
	r.text.WriteString(n)
	r.text.WriteByte(' ')
	for w := range strings.SplitSeq(n, " ") {
		r.words[w] = true
	}
}

// has reports whether the words of a normal text stand in a row.
func (r *wordRow) has(n string) bool {
	for w := range strings.SplitSeq(n, " ") {
		if !r.words[w] {
			return false
		}
	}
	return strings.Contains(r.text.String(), " "+n+" ")
}

// mayHave is a quick test: false where a word without capital and typeform signs, which
// a normal text has as it stands, is not known.
func (r *wordRow) mayHave(t []byte) bool {
	for from, to := range cell.Words(t) {
		if w := t[from:to]; !r.words[string(w)] && bytes.IndexAny(w, ",.^_@") < 0 {
			return false
		}
	}
	return true
}

func (r *reference) add(v *structure.Volume, to int, gone func(unit int) bool) {
	list := map[int]bool{}
	for _, c := range v.Contents {
		for k := c.From; k < c.To; k++ {
			list[k] = true
		}
	}
	for k := 0; k < to; k++ {
		if gone(k) {
			continue
		}
		to := &r.words
		if list[k] { // its entries are the headings of the text
			to = &r.lists
		}
		to.add(layout.Normal(v.Units[k].Text))
	}
}

// addPages takes down the pages before the first that is more than half full, from a unit on: notes to the reader and the
// like may stand there, numbered with the text and without a heading that tells, and later volumes have the very same page.
func (r *reference) addPages(v *structure.Volume, from int) {
	for k := from; k < len(v.Units) && v.Units[k].Page < 12; {
		n, said := pageOf(v, k)
		if 2*n > v.Height || k+n == len(v.Units) {
			return
		}
		if n > 1 {
			r.pages[said] = true
		}
		k += n
	}
}

// pageOf is how many units stand on a page from unit k on, and what they say.
func pageOf(v *structure.Volume, k int) (n int, said string) {
	for ; k+n < len(v.Units) && v.Units[k+n].Page == v.Units[k].Page; n++ {
		said += layout.Normal(v.Units[k+n].Text) + "\n"
	}
	return n, said
}

// listed reports whether a text stands in a contents list seen so far.
func (r *reference) listed(t []byte) bool { return r.lists.has(layout.Normal(t)) }

// has reports whether the words of a text stand in the reference, in a row.
func (r *reference) has(t []byte) bool { return r.words.mayHave(t) && r.words.has(layout.Normal(t)) }

// explained says what the units of a volume's first pages are.
type explained uint8

const (
	unknown explained = iota
	repeated
	statement
	contents
	rule
)

// repeatsOf goes through the first pages of a later volume. A page is
// preliminary matter when most of its lines are explained; the lines that are
// not stay, and are put with the preliminary matter of the book.
func (a *assembly) repeatsOf(i int, v *structure.Volume, ref *reference) {
	what := a.explain(v, ref)
	last := a.lastFront(v, what)
	keepTogether(v, what)
	if last < 0 {
		return
	}
	title := a.why("title-repeat", "title page again", "same words on the first title page", 0.98)
	rep := a.why("repeat", "repeats an earlier volume", "same words there", 0.97)
	state := a.why("volume-statement", "names volume or pages", "wording, title page", 0.98)
	marker := a.framed()
	words := a.why("contents", "names only a volume or kind of page", "wording, in a contents list", 0.95)
	for k := 0; k < len(v.Units) && v.Units[k].Page <= last; {
		end := a.blockEnd(v, k, last)
		again := true
		for n := k; n < end; n++ {
			again = again && what[n] != unknown
		}
		for ; k < end; k++ {
			switch {
			case what[k] == contents, a.fates[i][k] == out: // or left out by a person
			case what[k] == statement:
				a.leave(i, k, state)
			case what[k] == rule:
				a.leave(i, k, marker)
			case what[k] == repeated && v.Units[k].HasPhrase && pageWords[v.Units[k].Phrase.ID]:
				a.leave(i, k, words)
			case what[k] == repeated && again && k < v.Title[1]:
				a.leave(i, k, title)
			case what[k] == repeated && again:
				a.leave(i, k, rep)
			case inMatter(v, k, english.SpecialSymbols) && a.matterEnd(english.SpecialSymbols) > 0:
				a.fates[i][k] = asSymbol
			case inMatter(v, k, english.TranscribersNotes) && a.matterEnd(english.TranscribersNotes) > 0:
				a.fates[i][k] = asRemark
			default:
				a.fates[i][k] = asPrelim
			}
		}
	}
	a.askNew(i, v)
}

// keepTogether keeps a repeated line that ends in the word by, "transcribed by", before a name that is new: another
// hand set this volume.
func keepTogether(v *structure.Volume, what []explained) {
	for k := 0; k+1 < len(v.Units); k++ {
		u, n := &v.Units[k], &v.Units[k+1]
		if what[k] == repeated && what[k+1] == unknown && n.Page == u.Page && n.Blanks == 0 && u.HasPhrase && len(u.Phrase.Tail) == 0 && byPhrases[u.Phrase.ID] {
			what[k] = unknown
		}
	}
}

// byPhrases are the structure words after which a name comes.
var byPhrases = map[english.PhraseID]bool{
	english.By: true, english.TranscribedBy: true, english.ProducedBy: true, english.PublishedBy: true, english.ProofreadBy: true, english.EditedBy: true,
}

// explain compares the units of a volume with the reference.
func (a *assembly) explain(v *structure.Volume, ref *reference) []explained {
	what := make([]explained, len(v.Units))
	inList := map[int]bool{}
	for _, r := range v.Contents {
		for k := r.From; k < r.To; k++ {
			inList[k] = true
		}
	}
	for k := range v.Units {
		u := &v.Units[k]
		if u.Page > 24 {
			break
		}
		switch {
		case inList[k]:
			what[k] = contents
		case u.Statement() && k < v.Title[1], v.FrontStatement(k), pagesGoOn(v, k):
			what[k] = statement
		case u.Rule:
			what[k] = rule
		case ref.has(u.Text), u.HasPhrase && u.Phrase.ID == english.Contents && ref.listed(u.Text), k > 0 && underContents(v, what, k) && ref.listed(u.Text):
			what[k] = repeated
		case u.Centred && a.alikeTitle(u.Text):
			what[k] = repeated
		}
	}
	for k := 0; len(ref.pages) > 0 && k < len(v.Units) && v.Units[k].Page <= 24; {
		n, said := pageOf(v, k)
		for i := k; ref.pages[said] && i < k+n; i++ {
			what[i] = repeated
		}
		k += n
	}
	return what
}

// underContents reports whether the heading of a contents list stands before
// unit k on its page, with nothing but repeated lines between.
func underContents(v *structure.Volume, what []explained, k int) bool {
	for n := k - 1; n >= 0 && v.Units[n].Page == v.Units[k].Page && what[n] == repeated; n-- {
		if v.Units[n].HasPhrase && v.Units[n].Phrase.ID == english.Contents {
			return true
		}
	}
	return false
}

func (a *assembly) alikeTitle(t []byte) bool {
	ref := a.vols[a.first()]
	n := layout.Normal(t)
	for k := ref.Title[0]; k < ref.Title[1]; k++ {
		if o := layout.Normal(ref.Units[k].Text); layout.Alike(o, n) && !otherShortWord(o, n) {
			return true
		}
	}
	return false
}

// otherShortWord reports whether two texts of as many words differ in a word of
// up to three cells: that is no slip but may be a number ("volumo unu", "volumo
// du"), in a language whose words are not known.
func otherShortWord(a, b string) bool {
	x, y := strings.Fields(a), strings.Fields(b)
	if len(x) != len(y) {
		return false
	}
	for i := range x {
		if x[i] != y[i] && min(len(x[i]), len(y[i])) <= 3 {
			return true
		}
	}
	return false
}

// isTitle reports whether a unit is the title itself, which stands again at the
// start of the text.
func (a *assembly) isTitle(v *structure.Volume, k int) bool {
	return alikeAny(a.vols[a.first()].TitleLines(), layout.Normal(v.Units[k].Text))
}

// lastFront is the last page of preliminary matter of a later volume, -1 if
// it has none.
func (a *assembly) lastFront(v *structure.Volume, what []explained) int32 {
	last, news := int32(-1), 0
	for k := 0; k < len(v.Units); {
		p := v.Units[k].Page
		if p > 24 || slices.ContainsFunc(v.Contents, func(r structure.Region) bool { return r.Back && v.Units[r.From].Page == p }) {
			break
		}
		from := k
		if a.newChapter(v, what, from) {
			return last
		}
		hits, n := 0, 0
		for k < len(v.Units) && v.Units[k].Page == p {
			if what[k] != rule {
				n++
				if what[k] != unknown {
					hits++
				}
			}
			k++
		}
		switch {
		case n == 0: // rules only: the last line of a page that did not hold it
			if last >= 0 && last == p-1 {
				last = p
			}
		case hits*2 >= n && (hits >= 2 || (hits == 1 && n == 1 && (what[from] != repeated || !a.isTitle(v, from)))) || (from == 0 && v.Title[1] > 0 && hits >= 2) || (k <= v.Title[1] && hits == n):
			last, news = p, 0
		case news < 3 && k < v.End[0] && a.prelimish(v, from, p): // the last page of a volume is none
			news++
			if a.strongPrelim(v, from, p) {
				last = p
			}
		case news < 3 && hits == n: // the title alone: the pages after it tell whether the text begins there
			news++
		default:
			return last
		}
	}
	return last
}

// newChapter reports whether a page begins with the heading of a numbered part, under the mark of a print page or not, that
// nothing explains: text, whatever of its words stood before.
func (a *assembly) newChapter(v *structure.Volume, what []explained, from int) bool {
	u := &v.Units[from]
	return what[from] == unknown && u.Centred && u.HasPhrase && structural(*u.Phrase)
}

// prelimish reports whether a page that nothing explains can be preliminary
// matter: it has a heading of such matter, or is numbered apart from the text.
func (a *assembly) prelimish(v *structure.Volume, from int, p int32) bool {
	return a.strongPrelim(v, from, p) || v.Units[from].HasPhrase && v.Units[from].Centred
}

func (a *assembly) strongPrelim(v *structure.Volume, from int, p int32) bool {
	if b := v.Pages[p].Braille; b != nil && (b.Roman || b.Prefix == "t" || b.Prefix == "p") && a.arabicLater(v) {
		return true
	}
	u := &v.Units[from]
	if !u.HasPhrase || !(u.Centred || u.PageTop) {
		return false
	}
	switch u.Phrase.ID {
	case english.SpecialSymbols, english.TranscribersNotes, english.Copyright, english.FirstPublished, english.Isbn, english.AllRights:
		return true
	}
	return false
}

func (a *assembly) arabicLater(v *structure.Volume) bool {
	for p := range v.Pages {
		if b := v.Pages[p].Braille; b != nil && !b.Roman && b.Prefix == "" {
			return true
		}
	}
	return false
}

// inMatter reports whether unit k stands in a part of the preliminary matter, the
// special symbols or the transcriber's notes: its heading is the last heading
// before it, on its page or the one before.
func inMatter(v *structure.Volume, k int, id english.PhraseID) bool {
	for n := k; n >= 0 && v.Units[n].Page >= v.Units[k].Page-1; n-- {
		u := &v.Units[n]
		if u.Rule || !u.Centred && !(u.PageTop && u.HasPhrase) {
			continue
		}
		return u.HasPhrase && u.Phrase.ID == id && n < k
	}
	return false
}

// matterEnd is the unit after such a part in the first volume's preliminary
// matter, 0 if it has none.
func (a *assembly) matterEnd(id english.PhraseID) int {
	first := a.first()
	v, end := a.vols[first], 0
	for k := v.Title[1]; k < len(v.Units) && v.Units[k].Page < v.BodyPage; k++ {
		if a.fates[first][k] == asText && !v.Units[k].Rule && inMatter(v, k, id) && !a.inContents(first, k) {
			end = k + 1
		}
	}
	return end
}

// blockEnd is the unit after the last one of the block that k begins: a
// paragraph, or an item with its runovers.
func (a *assembly) blockEnd(v *structure.Volume, k int, last int32) int {
	first, inward := v.Units[k].From, false
	j := k + 1
	for ; j < len(v.Units) && v.Units[j].Page <= last; j++ {
		u, p := &v.Units[j], &v.Units[j-1]
		if u.Blanks > 0 || u.Rule || p.Rule || u.Centred || p.Centred {
			return j
		}
		if full := int(p.To)+1+len(firstToken(u.Text)) > p.Avail; !full {
			return j
		}
		if u.From == first && inMatter(v, j, english.SpecialSymbols) { // each symbol is an item
			return j
		}
		if first >= 2 && u.From >= first || first == 0 && inward && u.From == 0 {
			return j
		}
		inward = inward || u.From > 0
	}
	return j
}

func firstToken(t []byte) []byte {
	n := 0
	for n < len(t) && t[n] != cell.Blank {
		n++
	}
	return t[:n]
}

// frontEnd is the unit at which the text of a later volume begins.
func (a *assembly) frontEnd(i int) int {
	for k, f := range a.fates[i] {
		if f == asText && !a.inContents(i, k) {
			return k
		}
	}
	return 0
}

func (a *assembly) inContents(i, k int) bool {
	for _, r := range a.vols[i].Contents {
		if k >= r.From && k < r.To {
			return true
		}
	}
	return false
}
