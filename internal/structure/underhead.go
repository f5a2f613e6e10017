package structure

// A blank line between the head of a page and its text is of the layout where it stands on most
// pages, but paragraphs that are set apart by blank lines may begin there too (common practice).

// How many pages whose text certainly goes on from the page before, and has a blank line above, tell
// that it stands under all heads; one in ten of such pages may have none.
const headBlanks = 5

// blanksUnderHeads reports whether a blank line stands under the heads of a volume though text goes
// on there: it does on nearly all pages that begin within a sentence.
func (v *Volume) blanksUnderHeads() bool {
	with, without := 0, 0
	for i := 1; i < len(v.Units); i++ {
		if u := &v.Units[i]; u.PageTop && v.Pages[u.Page].Head && u.Page > v.BodyPage && withinSentence(u.Text) && v.goesOnOverPage(&v.Units[i-1], u) {
			with += boolInt(u.Blanks == 1)
			without += boolInt(u.Blanks == 0)
		}
	}
	return with >= headBlanks && with >= 9*without
}

// goesOnOverPage reports whether a unit is the last of a full page, as far as its place and its words
// tell, and the next goes on: it is full itself and ends no sentence, and the next stands at the margin.
func (v *Volume) goesOnOverPage(p, next *Unit) bool {
	return !p.Rule && !v.apart(p) && !p.Side && next.From == 0 && !EndsSentence(p.Text) && !endsClause(p.Text) && slack(p, next) < 0
}

// blankUnderHead reports whether the blank line before unit i, the first of a page, only stands
// under the head of the page: the line before is full and ends no sentence, and this one stands
// at the margin and begins within one, or blank lines stand under all heads of the volume.
func (f *Flow) blankUnderHead(i int) bool {
	u, p := f.units[i], f.units[i-1]
	v := f.Vols[u.Vol]
	if !u.PageTop || u.Blanks != 1 || u.Vol != p.Vol || !v.Pages[u.Page].Head || v.Blocked && !v.HeadBlanks {
		return false
	}
	return v.goesOnOverPage(p, u) && (v.HeadBlanks || withinSentence(u.Text)) || v.HeadBlanks && u.From > 0 && onOverFiller(p, u)
}

// withinSentence reports whether a text begins without a capital, a number, an opening
// quotation mark or bracket, as one that goes on does.
func withinSentence(t []byte) bool {
	switch t[0] {
	case ',', '8', '7', '#', '"', '.', '^', '_':
		return false
	}
	return !itemNumber(t)
}
