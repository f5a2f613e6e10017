package triage

import (
	"slices"

	"continuo/internal/convert"
	"continuo/internal/diag"
	"continuo/internal/source"
)

// This file looks for volumes that are cut off at the end of a page, where no line and
// no sentence need break off: by what the other volumes of the title have and this one has
// not. Nothing of it holds for one volume alone.

// Shares of the pages that the volumes of a title usually have. Volumes are bound for about
// one thickness: a volume may be shorter because a chapter ends, but hardly one that ends where the
// paper does.
const (
	muchShorter = 0.75 // within a sentence, and of the last volume
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
// seen: their text goes to the foot of the last page, and they do not say that they end. Notes at the
// end of the last volume stand after all the text.
func shorter(vols []convert.VolumeSurvey) []sign {
	step := usualStep(vols)
	for i := range vols {
		v := &vols[i]
		last := i == len(vols)-1
		if says(v) || v.Prelim || !v.Evidence.Full || last && v.Notes > 0 || !last && runsOn(v, &vols[i+1], step) {
			continue
		}
		share := farShorter
		if e := &v.Evidence; last || e.Within || e.Comma || e.Open {
			share = muchShorter
		}
		n, usual := textPages(v), usualPages(vols, i)
		switch {
		case float64(n) >= share*float64(usual):
		case last:
			return []sign{look("last-short", "%s, the last volume, has %s of text, others about %d; it fills its last page, and does not say that the book ends: it may be cut off", v.File, counted(n, "page"), usual)}
		default:
			return []sign{look("volume-short", "%s has %s of text, other volumes about %d; it fills its last page, and does not say that it ends: it may be cut off", v.File, counted(n, "page"), usual)}
		}
	}
	return nil
}

// unfilled looks for one file whose last page stops above the end of the paper, where those of
// all others go to it and blank lines or a number fill it.
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
		case stops != nil || says(v) || e.Final == source.FinalFeed:
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
