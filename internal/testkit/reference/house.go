package reference

import (
	"fmt"
	"reflect"

	"continuo/internal/testkit"
)

// house is how a braille house sets a book. What a field can say stands in its
// comment; draw says which houses do what.
type house struct {
	name          string
	code          testkit.Code
	width, height int
	volumePages   int
	cut           string // where volumes end: "chapter", "paragraph", "page"

	// Lines of page information.
	number     string // braille page number: "tr", "br", "bl", "bm", "tl"
	printAt    string // print page number: "", "tl", "tr", "bl", "br"
	letters2   bool   // continuation letters before it
	printRange bool   // first and last print page of the braille page
	head       string // line 1: "", "title", "section", "guide", "author"
	headFoot   bool   // the head stands on the last line
	headOdd    bool   // heads on odd pages only
	oddOnly    bool   // numbers on odd pages only
	headPlain  bool   // without capital signs
	headLeft   bool   // at cell 1, where no number stands there
	centreIn   bool   // centred in the room that is left
	shareTop   bool   // text goes on beside a number at the right of line 1
	shareFoot  bool   // the same on the last line
	underHead  bool   // a blank line under the head
	firstPlain bool   // no head on the first page of the text
	gapCells   int    // least blanks between text and a number
	guideForm  string // "both": first - last at the right of the head; "sides"; "first"
	runOn      bool   // braille pages run on through the volumes
	prelims    string // numbers of preliminary pages: "roman", "p", "counted", "none"

	// Print page turns.
	turns        string // "none", "centred", "inline", "row", "head"
	turnSpace    bool
	turnAtTop    bool // marked at the top of a page too
	chapterTurns bool // chapters begin a print page
	letterPages  bool
	plates       bool

	// Headings and text.
	headForm       string // "two" lines, "run" on with a colon, "figure", "title" alone
	ordinal        string // "figure", "word", "roman"
	headCaps       bool
	partBare       bool // parts without a number
	sectionNumbers bool
	chapterAt      string // "centre", "cell5", "left"
	sectionAt      int    // indent
	blankBefore    bool
	blankAfter     bool
	chapterPage    bool
	block          bool // paragraphs in cell 1 after a blank line
	listOver       int  // indent of runovers of lists beyond the deepest item
	listOwn        bool // at the item's own cell
	boxes          bool
	endRule        bool // a rule after each chapter
	topBlank       bool

	// Contents.
	contents   string // "whole": all in volume 1, later volumes their part; "volume"; "general": a list of all by volume, and volume lists; "first"; "back"; "none"
	listAt     string // "title": after the title page; "preface": after the prefatory matter
	numbers    string // "braille", "print", "both", "print volume"
	guide      string // guide dots
	place      string // of the numbers: "right", "column", "comma"
	listOver2  int    // indent of runovers of entries
	listStep   int    // indent a level
	listNames  string // heading of the list
	again      string // on its later pages: "", "same", "cont"
	columnHead string // "page", "kind", "chapter page", ""
	entryLabel string // "with", "title", "number", "stop", "above"
	entryShort bool
	entryPlain bool
	subEntries bool // sub-entries in dictionaries
	listSubs   bool // sections are listed
	listBlank  bool // a blank line between entries of the first level
	partCentre bool

	// Notes.
	notes       string // "none", "foot", "print", "after", "chapter", "volume", "book"
	noteMark    string // "number", "asterisk", "square", "round"
	noteCount   string // "run", "chapter", "page"
	notePlain   string // mark at the note: "same", "number", "stop"
	noteAt      int    // indents
	noteOver    int
	noteShare   int // notes in 100 paragraphs
	noteRule    bool
	noteHead    string // over gathered notes: "notes", "to chapter", "chapter", "pages"
	noteLong    bool
	noteParas   bool
	noteHeading string // wording

	// Dictionaries and indexes.
	letters      string // "none", "centre", "cell5"
	termPlain    bool
	termCaps     bool
	termSep      string
	termOver     int
	termBlank    bool
	senses       bool
	indexLetters string // "heading", "blank", "none"
	indexStep    int

	// Preliminary matter.
	statement  string // form of the volume statement
	separators bool
	extras     int // bits: imprint, notes page, symbols page, dedication, history, in later volumes too
	endLine    string
	chapterOn  bool // a chapter that goes on in a new volume has its heading again
	other      int  // the volume that another transcriber set, -1 for none
	slip       string
	file       testkit.FileForm
}

// draw draws a house and what it does with one book.
func draw(seed uint64) *house {
	d := testkit.Dice(seed*104729 + 3)
	h := &house{}
	h.name = pick(d, []string{"college", "royal", "school", "library", "foot", "press", "canada", "study"}, "house")
	yes := func(percent int, name string) bool { return d.Chance(percent, name) }
	h.general(d)
	caps := testkit.Code{System: "ueb", Contracted: !yes(20, "uncontracted"), Capitals: true}
	old := testkit.Code{System: pick(d, []string{"seb", "ebae"}, "old code"), Contracted: !yes(15, "uncontracted"), Capitals: true}
	h.code = caps
	switch h.name {
	case "college": // United Kingdom, page information line on every page (UKAAF 2016, sections 6 to 8)
		h.width, h.height = pick(d, []int{38, 38, 40}, "width"), pick(d, []int{26, 27, 25}, "height")
		if yes(50, "old") {
			h.code = old
			h.code.System, h.code.Capitals = "seb", yes(40, "capitals")
		}
		h.number, h.printAt, h.head = "tr", "tl", pick(d, []string{"section", "title", "section", ""}, "head")
		h.printRange = yes(40, "range")
		h.turns = pick(d, []string{"centred", "centred", "inline"}, "turns")
	case "royal": // United Kingdom, heads on odd pages, often no print pages
		h.width, h.height = pick(d, []int{38, 36, 32}, "width"), pick(d, []int{26, 24, 25}, "height")
		h.code.System, h.code.Capitals = pick(d, []string{"seb", "seb", "ueb"}, "code"), yes(50, "capitals")
		if h.code.System == "ueb" {
			h.code.Capitals = true
		}
		h.number, h.head, h.headOdd = "tr", pick(d, []string{"title", "section"}, "head"), yes(70, "odd")
		h.oddOnly = h.headOdd && yes(50, "odd numbers")
		h.turns = pick(d, []string{"none", "none", "centred"}, "turns")
		h.shareTop = h.headOdd && !h.oddOnly && yes(50, "share")
	case "school": // North America, textbooks (BANA, Braille Formats 2016, section 1)
		h.width, h.height = 40, 25
		if yes(35, "old") {
			h.code = old
			h.code.System = "ebae"
		}
		h.number, h.printAt, h.letters2, h.turns = "br", "tr", true, "row"
		h.head, h.shareTop, h.shareFoot = pick(d, []string{"", "title", "title"}, "head"), true, true
	case "library": // North America, no print pages (English Braille American Edition, rule III)
		h.width, h.height = 40, pick(d, []int{25, 27}, "height")
		if yes(60, "old") {
			h.code = old
			h.code.System = "ebae"
		}
		h.number, h.head, h.turns = pick(d, []string{"tr", "tr", "br"}, "number"), pick(d, []string{"title", "", "title"}, "head"), "none"
		h.shareTop, h.shareFoot = yes(60, "share"), yes(60, "share foot")
	case "foot": // all of it on the last line (ICEB 2001, items 1 and 2)
		h.width, h.height = pick(d, []int{40, 30, 42}, "width"), pick(d, []int{25, 28}, "height")
		h.number, h.printAt, h.letters2, h.head, h.headFoot = "bl", "br", true, "section", true
		h.turns = pick(d, []string{"row", "row", "centred"}, "turns")
	case "press": // numbers in the middle or at the left of the last line
		h.width, h.height = pick(d, []int{32, 36, 40}, "width"), pick(d, []int{25, 29}, "height")
		h.code = pick(d, []testkit.Code{caps, old}, "code")
		h.number, h.turns = pick(d, []string{"bm", "bl", "tl"}, "number"), pick(d, []string{"none", "inline", "centred"}, "turns")
		h.head = pick(d, []string{"", "title", "section"}, "head")
	case "canada": // both numbers at the right, marks as rows
		h.width, h.height = 40, pick(d, []int{25, 25, 27}, "height")
		h.number, h.printAt, h.letters2, h.turns = "br", "tr", yes(70, "letters"), "row"
		h.head, h.shareTop, h.shareFoot = pick(d, []string{"section", "author", "title", ""}, "head"), yes(70, "share"), yes(70, "share foot")
	case "study": // print pages in the head only
		h.width, h.height = pick(d, []int{38, 40}, "width"), pick(d, []int{25, 26, 28}, "height")
		h.code = pick(d, []testkit.Code{caps, old}, "code")
		h.number, h.printAt, h.turns, h.printRange = "tr", "tl", pick(d, []string{"head", "inline"}, "turns"), yes(50, "range")
		h.head = pick(d, []string{"title", "section", ""}, "head")
	}
	h.depends(d)
	h.file = testkit.DrawFile(d, &testkit.Layout{Seed: seed, Volumes: 2, Width: h.width, Height: h.height})
	h.file.Lost, h.file.Damage = "", ""
	if h.file.Breaks == "none" {
		h.file.Trim = false
	}
	return h
}

// general draws what any house may do.
func (h *house) general(d testkit.Dice) {
	yes := func(percent int, name string) bool { return d.Chance(percent, name) }
	h.volumePages, h.cut = d.Between(9, 24, "volume pages"), pick(d, []string{"chapter", "paragraph", "page", "page"}, "cut")
	h.headPlain, h.centreIn, h.underHead, h.firstPlain, h.runOn = yes(25, "head plain"), yes(20, "centre in"), yes(15, "under head"), yes(20, "first plain"), yes(30, "run on")
	h.headLeft, h.gapCells = yes(10, "head left"), pick(d, []int{3, 3, 4, 2}, "gap")
	h.prelims = pick(d, []string{"roman", "p", "counted", "counted", "none"}, "prelims")
	h.turnSpace, h.turnAtTop, h.chapterTurns, h.letterPages, h.plates = yes(15, "turn space"), yes(30, "turn at top"), yes(60, "chapter turns"), yes(30, "letter pages"), yes(40, "plates")
	h.headForm, h.ordinal = pick(d, []string{"two", "two", "run", "figure", "title"}, "head form"), pick(d, []string{"figure", "figure", "word", "roman"}, "ordinal")
	h.headCaps, h.partBare, h.sectionNumbers = yes(25, "head caps"), yes(40, "part bare"), yes(30, "section numbers")
	h.chapterAt, h.sectionAt = pick(d, []string{"centre", "centre", "centre", "cell5"}, "chapter at"), pick(d, []int{4, 4, 4, -1, -1, 6, 0}, "section at")
	h.blankBefore, h.blankAfter, h.chapterPage = true, yes(60, "blank after"), yes(50, "chapter page")
	h.block, h.listOver, h.listOwn, h.endRule = yes(12, "block"), pick(d, []int{2, 2, 4}, "list over"), yes(10, "list own"), yes(20, "end rule")
	h.topBlank = yes(20, "top blank")
	h.contents = pick(d, []string{"whole", "whole", "volume", "volume", "general", "first", "back", "none"}, "contents")
	h.listAt, h.numbers = pick(d, []string{"title", "title", "preface"}, "list at"), pick(d, []string{"braille", "print", "both", "print volume"}, "numbers")
	h.guide, h.place = pick(d, []string{`"`, `"`, "-", ""}, "guide"), pick(d, []string{"right", "right", "column", "comma"}, "place")
	h.listOver2, h.listStep = pick(d, []int{2, 4, 6}, "entry over"), pick(d, []int{2, 2, 4}, "entry step")
	h.listNames = pick(d, []string{"Contents", "Contents", "CONTENTS", "Table of Contents", "List of Contents"}, "list name")
	h.again, h.columnHead = pick(d, []string{"", "same", "cont"}, "again"), pick(d, []string{"page", "kind", "chapter page", ""}, "column head")
	h.entryLabel, h.entryShort, h.entryPlain = pick(d, []string{"with", "title", "number", "stop", "above"}, "entry label"), yes(30, "entry short"), yes(25, "entry plain")
	h.subEntries, h.listSubs, h.listBlank, h.partCentre = yes(40, "sub-entries"), yes(40, "list subs"), yes(10, "list blank"), yes(50, "part centre")
	h.notes = pick(d, []string{"none", "foot", "foot", "print", "after", "chapter", "chapter", "volume", "book", "book"}, "notes")
	h.noteMark, h.noteCount = pick(d, []string{"number", "number", "number", "asterisk", "square", "round"}, "note mark"), pick(d, []string{"run", "chapter", "page"}, "note count")
	h.notePlain = pick(d, []string{"same", "same", "number", "stop"}, "note plain")
	h.noteAt, h.noteOver = 0, 2
	if k := d.N(4, "note indent"); k == 0 {
		h.noteAt, h.noteOver = 2, 0
	} else if k == 1 {
		h.noteAt, h.noteOver = 6, 4
	}
	h.noteShare, h.noteRule = pick(d, []int{10, 25, 45}, "note share"), yes(70, "note rule")
	h.noteHead, h.noteHeading = pick(d, []string{"notes", "to chapter", "chapter", "pages"}, "note head"), pick(d, []string{"Notes", "Notes", "NOTES", "Footnotes", "Endnotes"}, "note heading")
	h.noteLong, h.noteParas = yes(50, "note long"), yes(40, "note paras")
	h.letters = pick(d, []string{"none", "centre", "centre", "cell5"}, "letters")
	h.termPlain, h.termCaps, h.termSep = yes(50, "term plain"), yes(30, "term caps"), pick(d, []string{"comma", "colon", "blank"}, "term sep")
	h.termOver, h.termBlank, h.senses = pick(d, []int{2, 2, 4}, "term over"), yes(15, "term blank"), yes(40, "senses")
	h.indexLetters, h.indexStep = pick(d, []string{"heading", "blank", "none"}, "index letters"), 2
	h.statement, h.separators = pick(d, []string{"word", "figure", "roman", "of", "of word"}, "statement"), yes(40, "separators")
	h.extras = d.N(64, "extras")
	h.endLine, h.chapterOn = pick(d, []string{"", "centred", "last", "signs", "go on"}, "end line"), yes(15, "chapter on")
	h.guideForm = pick(d, []string{"both", "sides", "first"}, "guide form")
	h.slip, h.other = pick(d, []string{"", "", "number", "head", "long", "short"}, "slip"), -1
	if yes(15, "other") {
		h.other = d.Between(0, 2, "other volume")
	}
}

// depends settles what goes only with something else.
func (h *house) depends(d testkit.Dice) {
	if h.printAt == "" && h.turns == "none" || h.turns == "none" {
		h.numbers = "braille" // no print page stands anywhere
	}
	if h.notes == "print" && h.turns != "row" && h.turns != "centred" {
		h.notes = "foot"
	}
	if h.notes != "foot" && h.notes != "print" && h.notes != "after" {
		if h.noteMark == "asterisk" {
			h.noteMark = "number"
		}
		if h.noteCount == "page" {
			h.noteCount = "chapter"
		}
	}
	if h.notes == "volume" && h.noteCount == "chapter" && h.noteHead == "notes" {
		h.noteHead = "chapter" // or one number would name two notes
	}
	if h.notes == "book" && h.noteCount == "chapter" && (h.noteHead == "notes" || h.noteHead == "pages") {
		h.noteHead = "to chapter"
	}
	if h.noteHead == "pages" && h.turns == "none" {
		h.noteHead = "notes"
	}
	if h.noteMark == "asterisk" {
		h.noteCount, h.notePlain, h.noteShare = "page", "same", min(h.noteShare, 25)
	}
	if h.notes == "after" { // English Braille American Edition, rule IV: cells 7 and 5, with the mark
		h.noteAt, h.noteOver, h.notePlain = 6, 4, "same"
	}
	if h.notes == "foot" || h.notes == "print" {
		h.noteRule = h.noteRule || h.noteAt != 0 || h.notes == "print" || h.notePlain != "same"
	}
	if h.headForm == "title" && (h.entryLabel == "with" || h.entryLabel == "above") {
		h.entryLabel = "title"
	}
	if h.noteHead != "notes" && h.headForm == "title" && (h.notes == "volume" || h.notes == "book") {
		h.headForm = "two"
	}
	if h.place == "comma" {
		h.guide, h.columnHead = "", ""
		if h.numbers == "both" {
			h.numbers = "print"
		}
	}
	if h.guide == "-" && h.code.System != "seb" && h.code.System != "ueb" {
		h.guide = `"`
	}
	if h.width < 34 && h.numbers == "both" {
		h.numbers = "print"
	}
	if h.chapterAt == "cell5" && h.sectionAt == 4 || h.chapterAt == "cell5" && h.sectionAt < 0 {
		h.sectionAt = 6
	}
	if h.block {
		h.blankBefore, h.sectionAt = true, 4
		if h.chapterAt == "cell5" {
			h.chapterAt = "centre"
		}
	}
	if h.sectionAt == 0 {
		h.blankAfter = true // or nothing tells a heading in cell 1 from text
	}
	if h.headFoot {
		h.shareFoot, h.headOdd, h.underHead = false, false, false
	}
	if h.head == "" || h.head == "guide" {
		h.headOdd = false
	}
	if h.printAt == "tl" || h.number == "tl" {
		h.headLeft = false
	}
	h.boxes = h.width >= 36
}

// features names the choices of a house, for tables of what goes with failures.
func (h *house) features() []string {
	out := []string{"house=" + h.name, "code=" + h.code.String()}
	v := reflect.ValueOf(*h)
	for i := range v.NumField() {
		f, name := v.Field(i), v.Type().Field(i).Name
		switch {
		case name == "name":
		case f.Kind() == reflect.Bool && f.Bool():
			out = append(out, name)
		case f.Kind() == reflect.String, f.Kind() == reflect.Int:
			out = append(out, fmt.Sprintf("%s=%v", name, f))
		}
	}
	return out
}
