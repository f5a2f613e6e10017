package convert

import (
	"bytes"
	"slices"

	"continuo/internal/account"
	"continuo/internal/assemble"
	"continuo/internal/book"
	"continuo/internal/diag"
	"continuo/internal/english"
	"continuo/internal/finders"
	"continuo/internal/profile"
	"continuo/internal/write/brf"
)

// setting is one book on its way to an edition.
type setting struct {
	b      *book.Book
	o      Options
	r      *assemble.Result
	det    english.Detection
	width  int
	upper  bool
	out    brf.Output
	ledger *account.Ledger
	list   *finders.List
}

// set sets the book; what readers search for stays on one line.
func (x *setting) set() {
	x.ledger = account.NewLedger(x.b)
	x.out = brf.Write(x.b, brf.Options{Width: x.width, NoBlank: x.o.Blank == "none", Upper: x.upper, Keep: finders.Keeps(x.b)}, x.ledger)
}

// find computes the finders of the edition when they are asked for, and sets
// the page "finding your way" when the profile wants it.
func (x *setting) find() {
	way := x.o.Profile.Way
	if way != "front" && way != "end" {
		if x.o.Finders {
			x.list = x.finders()
		}
		return
	}
	x.list = x.finders()
	x.way(way == "front")
	if !x.o.Finders {
		x.list = nil
	}
}

func (x *setting) finders() *finders.List {
	return findersOf(x.b, x.out.Starts, x.out.Data, x.det.Best(), x.o.Words, x.upper)
}

func findersOf(b *book.Book, starts []int, edition []byte, v english.Variant, w english.Words, upper bool) *finders.List {
	return finders.Make(finders.Source{Book: b, Starts: starts, Lines: bytes.Split(bytes.TrimSuffix(edition, []byte("\r\n")), []byte("\r\n")), Variant: v, Words: w, Upper: upper})
}

// Search computes the search strings of a title that Make made without them, with
// the same options.
func Search(r *Result, o Options) *finders.List {
	return findersOf(r.Book, r.Starts, r.Edition, r.Survey.Titles[0].Detection.Best(), o.Words, upperFiles(r.Book.Files))
}

// wayRounds is how often the page may be written anew: what it names must be
// promised for the edition that it stands in.
const wayRounds = 4

// way writes the page, sets the book with it and computes the finders anew,
// until the page names what they are.
func (x *setting) way(front bool) {
	why := x.b.Why(book.Reason{Class: "way", Why: "page that tells how to find one's way", Evidence: "asked for by the profile; every string was searched for", Confidence: 1})
	blank := x.b.Why(book.Reason{Class: "filler", Why: "blank line set by the tool", Evidence: "round the page that tells how to find one's way", Confidence: 1})
	blocks, links, turns := slices.Clone(x.b.Blocks), slices.Clone(x.b.Links), slices.Clone(x.b.Turns)
	restore := func() {
		x.b.Blocks, x.b.Links, x.b.Turns = slices.Clone(blocks), slices.Clone(links), slices.Clone(turns)
	}
	v := x.r.Variant
	if v.Code == english.UnknownCode {
		v.Code = english.UEB
	}
	why2 := "its strings change with it"
	for range wayRounds {
		heading, sayings, err := x.list.Way(v, wording(x.o.Profile.WayWords))
		if err != nil {
			why2 = err.Error()
			break
		}
		restore()
		at := len(x.b.Blocks)
		if front {
			at = afterTitle(x.b)
		}
		if at < len(x.b.Blocks) && !x.b.Blocks[at].Blank.Want {
			x.b.Blocks[at].Blank = book.Blank{Want: true, Reason: blank}
		}
		x.b.Insert(at, finders.Blocks(heading, sayings, why, blank, x.o.Profile.HeadingIndent))
		x.set()
		if x.list = x.finders(); x.list.Holds(sayings) {
			return
		}
	}
	restore()
	x.set()
	x.list = x.finders()
	x.r.Findings = append(x.r.Findings, diag.Finding{ID: "way-not-written", Severity: diag.Look, Text: "the page \"finding your way\" could not be written: " + why2})
}

// wording is what the page says: the words of the profile, or English.
func wording(w *profile.WayWords) finders.Wording {
	if w == nil {
		return finders.English
	}
	return finders.Wording{Title: w.Title, Start: w.Start, Contents: w.Contents, Heading: w.Heading, Pages: w.Pages, Apart: w.Apart, Notes: w.Notes, Index: w.Index, Words: w.Words, Blanks: w.Blanks, Cells: true}
}

// afterTitle is the block after the title page: the title stays the first
// thing in the edition.
func afterTitle(b *book.Book) int {
	n := 0
	for n < len(b.Blocks) && (b.Blocks[n].Part == book.TitlePage || b.Blocks[n].Kind == book.TitleLine) {
		n++
	}
	return n
}
