package triage

import (
	"bytes"
	"slices"

	"continuo/internal/book"
	"continuo/internal/convert"
	"continuo/internal/diag"
	"continuo/internal/english"
	"continuo/internal/source"
)

// This file looks for volumes that are cut off at the end of a page, where no line and
// no sentence need break off: by what the other volumes of the title have and this one has
// not. Nothing of it holds for one volume alone.

// Shares of the pages that the volumes of a title usually have. Volumes are bound for about
// one thickness: a volume may be shorter because a chapter ends, but hardly one that ends where the
// paper does.
const (
	muchShorter = 0.75 // within a sentence
	farShorter  = 0.66 // with a sentence
)

// textPages is how many pages of a volume are text.
func textPages(v *convert.VolumeSurvey) int { return v.Pages - v.BodyPage + 1 }

// usualPages is the middle number of pages of text of all volumes but one, those without
// text left aside; 0 when there are no others.
func usualPages(vols []convert.VolumeSurvey, but int) int {
	var pages []int
	for i := range vols {
		if i != but && !vols[i].Prelim {
			pages = append(pages, textPages(&vols[i]))
		}
	}
	if len(pages) == 0 {
		return 0
	}
	slices.Sort(pages)
	return pages[len(pages)/2]
}

// says reports whether a volume says that it, or the book, ends.
func says(v *convert.VolumeSurvey) bool { return v.EndLine || v.Evidence.Closed }

// shorter looks for volumes that are shorter than the others for no reason that is to be
// seen: their text goes to the foot of the last page, and they do not say that they end.
// The last volume has what is left; see endUntold.
func shorter(vols []convert.VolumeSurvey) []sign {
	step := usualStep(vols)
	for i := range vols[:len(vols)-1] {
		v := &vols[i]
		if says(v) || v.Prelim || !v.Evidence.Full || runsOn(v, &vols[i+1], step) {
			continue
		}
		share := farShorter
		if e := &v.Evidence; e.Within || e.Comma || e.Open {
			share = muchShorter
		}
		if n, usual := textPages(v), usualPages(vols, i); float64(n) < share*float64(usual) {
			return []sign{look("volume-short", "%s has %s of text, other volumes about %d; it fills its last page, and does not say that it ends: it may be cut off", v.File, counted(n, "page"), usual)}
		}
	}
	return nil
}

// fewAsHigh is how many pages of a volume that end as high up as the last one, and one in how many of
// its pages, tell that pages end so within the book. Where none of somePages ends a line or two
// above the foot, as the last one does, none does by chance.
const (
	fewAsHigh   = 2
	shareAsHigh = 20
	somePages   = 12
)

// fewEntries is how many entries an index has that is known to end.
const fewEntries = 8

// indexEnds reports whether the book ends with the entries of its index, the last of which begins with one of the last letters
// of the alphabet, from t on, contracted or not: it is the last part of a book (common practice).
func indexEnds(b *book.Book) bool {
	if b == nil {
		return false
	}
	entries := 0
	for i := len(b.Blocks) - 1; i >= 0; i-- {
		bl := &b.Blocks[i]
		t := bytes.TrimLeft(sourceText(b, bl), ",;.\"_^'8")
		switch {
		case bl.Kind == book.Turn || bl.Kind == book.Rule || len(t) == 0:
		case bl.Kind == book.Heading:
			if p, ok := english.Lookup(sourceText(b, bl)); ok {
				return p.ID == english.Index && entries >= fewEntries
			}
			if len(t) > 1 { // no letter over entries
				return false
			}
		case bl.Part != book.BackMatter || entries == 0 && (t[0] < 't' || t[0] > 'z') && bytes.IndexByte([]byte("?!:)"), t[0]) < 0:
			return false
		default:
			entries++
		}
	}
	return false
}

// endUntold looks for a book that ends as its pages do, and nothing in it says that it ends there: no
// line, no notes, no whole index, no room on the last page or no more than pages before a new chapter have, no
// contents list whose last chapter it is, and the file ends as any page does. It may be cut off
// at the end of a page.
func endUntold(vols []convert.VolumeSurvey, listed, indexed bool) []sign {
	v := &vols[len(vols)-1]
	e := &v.Evidence
	page := pageEnd(v)
	switch {
	case says(v) || v.Notes > 0 || v.Prelim || indexed:
	case page && (e.Full || e.Foot && (e.AsHigh > 0 || e.Pages < somePages)) || e.Full && !e.Padded && feeds(e.Tail) == 0:
		return []sign{look("end-untold", "%s, the last volume, ends at the foot of a page, and nothing in it says that the book ends there: it may be cut off", v.File)}
	case page && !listed && e.AsHigh >= fewAsHigh && shareAsHigh*e.AsHigh >= e.Pages:
		return []sign{look("end-untold", "%s, the last volume, ends as high up on its page as %d other pages of it do, no contents list names its last chapter, and nothing says that the book ends there: it may be cut off", v.File, e.AsHigh)}
	}
	return nil
}

// pageEnd reports whether a file ends as every page of it does: with one form feed, or without any at the
// end of the paper.
func pageEnd(v *convert.VolumeSurvey) bool {
	e := &v.Evidence
	if !v.FormFeeds {
		return !e.Padded && e.Room == 0
	}
	return !e.Padded && e.Final == source.FinalFeed && feeds(e.Tail) == 1
}

// unfilled looks for one file whose last page stops above the end of the paper, where those of
// all others go to it and blank lines or a number fill it. Preliminary pages may have no number.
func unfilled(vols []convert.VolumeSurvey) []sign {
	var stops *convert.VolumeSurvey
	filled := 0
	for i := range vols {
		v := &vols[i]
		switch e := &v.Evidence; {
		case v.Height == 0:
			return nil
		case e.Room <= fewRoom:
			filled += is(e.Filled)
		case stops != nil || says(v) || e.Final == source.FinalFeed || v.Prelim && !e.Numbered:
			return nil
		default:
			stops = v
		}
	}
	if stops == nil || filled == 0 {
		return nil
	}
	return []sign{look("cut-off", "the last page of %s stops %s above the end of the paper, those of the other files are filled: it may be cut off", stops.File, counted(stops.Evidence.Room, "line"))}
}

// fewRoom is how many lines a last page may have less than a page of the paper: a line
// for its number and one blank line.
const fewRoom = 2

// headingLast looks for a volume that ends with the heading of a chapter.
func headingLast(vols []convert.VolumeSurvey) []sign {
	for i := range vols {
		if v := &vols[i]; v.Evidence.Heading && !says(v) {
			return []sign{look("cut-off", "%s ends with the heading of a chapter, and nothing stands under it: it may be cut off", v.File)}
		}
	}
	return nil
}

// notesGone looks for a volume that refers to notes and has none, or lacks several, where other
// volumes have theirs.
func notesGone(vols []convert.VolumeSurvey, findings []diag.Finding) []sign {
	refs := map[string]int{} // marks without a note, by file
	for _, f := range findings {
		if f.ID == "reference-without-note" {
			refs[f.Place.File]++
		}
	}
	if len(refs) == 0 || !slices.ContainsFunc(vols, func(v convert.VolumeSurvey) bool { return v.Notes > 0 && refs[v.File] == 0 }) {
		return nil
	}
	for i := range vols {
		v := &vols[i]
		switch n := refs[v.File]; {
		case n > 0 && v.Notes == 0:
			return []sign{look("notes-gone", "%s refers to notes (%s) and has none, other volumes have theirs: its last pages may be missing", v.File, counted(n, "mark"))}
		case n > 1:
			return []sign{look("notes-gone", "%s has %s without a note, other volumes have all their notes: its last pages may be missing", v.File, counted(n, "mark"))}
		}
	}
	return nil
}
