// Package collected is a press of its own for tests: it sets works that are read
// piece by piece (collected poems, long poems, plays, scripture, anthologies,
// hymns, recipes, letters, quotations, prayers) as the paper volumes of several
// houses, and keeps the truth. It shares no setting with package testkit.
//
// Published sources of the layouts: UKAAF, Guiding Principles for the
// Presentation of Braille 2016; BANA, Braille Formats 1997, 2011 and 2016;
// English Braille American Edition 1994, rule III and appendix A; Rules of
// Unified English Braille 2013, sections 2, 3, 9, 15 and 16. What they leave
// open is set by common practice.
package collected

import (
	"fmt"
	"strings"

	"continuo/internal/testkit"
)

// House is how one house sets a book.
type House struct {
	Name string
	Code testkit.Code
	W, H int

	// The edges of pages.
	Num       string // braille page number: "top", "foot", "footmid", "outer"
	Share     bool   // text shares the row of a number at its right end
	Head      string // "", "title", "section", "facing"
	HeadOdd   bool   // heads and numbers at the top of odd pages only
	HeadBlank bool   // a blank row under the head
	Plain     bool   // heads without capital signs
	Print     string // print page in the head: "", "left", "right"
	Letters   bool   // continuation letters before it
	Turns     string // "", "centred", "inline", "row", "head"
	TurnSpace bool
	First     string // first page of the text of a volume: "same", "title", "nohead"
	Prelim    string // numbers of preliminary pages: "none", "roman", "p", "counted"
	RunOn     bool   // page numbers run on through the volumes
	OddStart  bool   // the text begins on an odd page
	KeepTop   bool   // a blank line that is wanted stands at the top of a page too

	// Text.
	Block      bool // block paragraphs
	Verse      string
	VFirst     int // first cells of lines of verse, from 0
	VStep      int // of lines set in
	VOver      int // of runovers
	KeepStanza bool
	PiecePage  bool // each poem, hymn or recipe on a new page
	PartPage   bool // each part on a new page
	LineNo     string
	Every      int
	Heads      [3]string // form of headings of level 1, 2, 3: "centre", "cell5", "cell7", "margin"
	Before     [3]int    // blank lines before
	After      [3]int
	Caps       [3]bool
	Rule       string // under each part, or ""
	PieceRule  bool   // under each piece too
	Speaker    string // "stop", "italic", "capitals", "own", "centred", "colon"
	Move       [2]int // cells of stage directions
	Aside      [2]int // of author lines, sources, dates: first, over; -1 at the right margin, -2 in the middle
	Item       [2]int
	Ital       bool // speakers, rubrics and superscriptions in italics

	// Front and back.
	Volumes, Each int
	Cut           string // volumes end "part", "piece", "any"
	Contents      string // "", "braille", "print", "bare"
	General       bool   // volume 1 lists all volumes
	Guide         string // guide sign of contents
	Column        int    // numbers of contents begin here, or 0: at the right margin
	ListLevel     int    // levels of headings that are listed
	Statement     int
	End           int // wording of the ends of volumes, or -1
	Fin           int // wording of the end of the book, or -1
	Over          bool
	Other         bool   // a volume by another hand
	Slip          string // what went wrong once, or ""
}

var houseNames = []string{"uk-seb", "uk-sebplain", "uk-ueb", "uk-small", "commonwealth", "na-ebae", "na-text", "na-ueb", "press", "club"}

func draw(d testkit.Dice) *House {
	h := &House{Name: pick(d, houseNames, "house")}
	two := d.Chance(75, "contracted")
	seb := testkit.Code{System: "seb", Contracted: two, Capitals: d.Chance(40, "capitals")}
	ueb := testkit.Code{System: "ueb", Contracted: two, Capitals: true}
	ebae := testkit.Code{System: "ebae", Contracted: two, Capitals: true}
	h.Verse, h.VStep, h.VOver, h.Column = "lines", 2, 4, 0
	h.Gen(d)
	switch h.Name {
	case "uk-seb":
		h.Code, h.W, h.H = seb, 38, d.Between(25, 27, "h")
		h.Num, h.Head, h.HeadOdd = "top", pick(d, []string{"title", "section"}, "head"), d.Chance(60, "odd")
		h.Print, h.Turns = d1(d, 35, "print", "left", ""), ""
		h.Rule, h.Column = "333333333333", 34
	case "uk-sebplain":
		h.Code, h.W, h.H = seb, d.Between(32, 40, "w"), d.Between(24, 28, "h")
		h.Num, h.Share = pick(d, []string{"top", "foot"}, "num"), d.Chance(60, "share")
	case "uk-ueb":
		h.Code, h.W, h.H = ueb, pick(d, []int{38, 40}, "w"), d.Between(26, 28, "h")
		h.Num, h.Head, h.Plain = "top", pick(d, []string{"section", "title"}, "head"), d.Chance(60, "plain")
		h.Print = d1(d, 70, "print", "left", "")
		h.Rule = d1(d, 50, "rule", `"33333333333`, "")
	case "uk-small":
		h.Code, h.W, h.H = ueb, d.Between(28, 32, "w"), d.Between(24, 28, "h")
		h.Num, h.Share = pick(d, []string{"foot", "footmid", "outer"}, "num"), d.Chance(50, "share")
		h.Head = d1(d, 30, "head", "title", "")
	case "commonwealth":
		h.Code, h.W, h.H = ueb, 40, d.Between(25, 28, "h")
		h.Num, h.Print = "foot", d1(d, 60, "print", "right", "")
		h.Head = pick(d, []string{"title", "section", ""}, "head")
		h.Share = h.Head == "" && d.Chance(40, "share")
	case "na-ebae":
		h.Code, h.W, h.H = ebae, pick(d, []int{38, 39, 40}, "w"), 25
		h.Num, h.Head = "top", pick(d, []string{"title", "title", ""}, "head")
		h.HeadBlank = h.Head != "" && d.Chance(30, "headblank")
		h.Share = d.Chance(50, "share")
		h.Prelim = "roman"
	case "na-text":
		h.Code, h.W, h.H = ueb, 40, 25
		if d.Chance(35, "old") {
			h.Code = ebae
		}
		h.Num, h.Print, h.Letters, h.Share = "foot", "right", true, true
		h.Head = d1(d, 60, "head", "title", "")
		h.Prelim = "p"
	case "na-ueb":
		h.Code, h.W, h.H = ueb, pick(d, []int{40, 40, 32}, "w"), 25
		h.Num, h.Share, h.Head = "foot", true, d1(d, 70, "head", "title", "")
	case "press":
		h.Code, h.W, h.H = pick(d, []testkit.Code{ueb, ebae, seb}, "pc"), d.Between(36, 42, "w"), d.Between(25, 29, "h")
		h.Num, h.Head = "top", "facing"
		h.HeadOdd = d.Chance(30, "odd")
	case "club":
		h.Code, h.W, h.H = pick(d, []testkit.Code{ueb, seb}, "pc"), d.Between(30, 40, "w"), d.Between(22, 28, "h")
		h.Num, h.Block = pick(d, []string{"footmid", "outer", "foot"}, "num"), d.Chance(70, "block")
	}
	h.settle(d)
	return h
}

// Gen draws what any house may choose.
func (h *House) Gen(d testkit.Dice) {
	h.First = pick(d, []string{"same", "title", "nohead"}, "first")
	h.Prelim = pick(d, []string{"none", "roman", "p", "counted"}, "prelim")
	h.RunOn, h.OddStart, h.KeepTop = d.Chance(40, "runon"), d.Chance(30, "oddstart"), d.Chance(30, "keeptop")
	h.VFirst = pick(d, []int{0, 0, 0, 2, 4}, "vfirst")
	h.VOver = h.VFirst + pick(d, []int{2, 4, 4, 6}, "vover")
	h.KeepStanza, h.PiecePage, h.PartPage = d.Chance(35, "keepstanza"), d.Chance(25, "piecepage"), d.Chance(60, "partpage")
	h.Every = pick(d, []int{5, 5, 10}, "every")
	for i := range h.Heads {
		h.Heads[i] = "centre"
		h.Before[i], h.After[i] = 1, d.N(2, "after", i)
	}
	h.Heads[1] = pick(d, []string{"centre", "centre", "centre", "cell5"}, "head2")
	h.Heads[2] = pick(d, []string{"cell5", "cell5", "cell7", "centre"}, "head3")
	h.Before[0] += d.N(2, "before")
	h.Caps[0], h.Caps[1] = d.Chance(50, "caps1"), d.Chance(20, "caps2")
	h.PieceRule = d.Chance(15, "piecerule")
	h.Speaker = pick(d, []string{"stop", "italic", "capitals", "own", "centred", "colon"}, "speaker")
	h.Move = pick(d, [][2]int{{4, 4}, {6, 4}, {4, 2}, {2, 0}}, "move")
	h.Aside = pick(d, [][2]int{{4, 6}, {-1, -1}, {-2, -2}, {6, 6}, {4, 4}}, "aside")
	h.Item = pick(d, [][2]int{{0, 2}, {0, 4}, {2, 4}}, "item")
	h.Ital = d.Chance(50, "italics")
	h.Volumes, h.Each = d.Between(1, 4, "volumes"), d.Between(12, 26, "each")
	h.Cut = pick(d, []string{"part", "piece", "piece", "any"}, "cut")
	h.Contents = pick(d, []string{"braille", "braille", "print", "bare", ""}, "contents")
	h.General = d.Chance(35, "general")
	h.Guide = pick(d, []string{`"`, `"`, "-", ""}, "guide")
	h.ListLevel = d.Between(1, 2, "listlevel")
	h.Statement, h.End, h.Fin = d.N(8, "statement"), d.N(9, "end")-1, d.N(5, "fin")-1
	h.Over = d.Chance(50, "over")
	h.Other = d.Chance(20, "other hand")
	if d.Chance(35, "slip") {
		h.Slip = pick(d, []string{"no number", "wrong number", "misprint", "no head", "short page", "long page"}, "which slip")
	}
}

// settle makes the choices agree with one another.
func (h *House) settle(d testkit.Dice) {
	if h.Print != "" {
		h.Turns = pick(d, []string{"centred", "centred", "inline", "head"}, "turns")
		if h.Letters {
			h.Turns = "row"
		} else if h.Name == "commonwealth" && d.Chance(40, "row") {
			h.Turns = "row"
		}
		h.TurnSpace = d.Chance(20, "turnspace")
	}
	if h.Turns == "inline" && h.Code.System != "ueb" {
		h.Turns = "centred"
	}
	if h.Print == "" && h.Contents == "print" {
		h.Contents = "braille"
	}
	if h.Code.System == "ueb" || h.Guide == "" {
		h.Guide = strings.ReplaceAll(h.Guide, "-", `"`)
	}
	if d.Chance(30, "line numbers") {
		h.LineNo = pick(d, []string{"right", "right", "left", "letters"}, "line number place")
		if h.LineNo != "right" {
			h.VFirst, h.VOver = 4, 8
		}
	}
	if d.Chance(12, "verse signs") { // RUEB 15.1.2; EBAE appendix A, section 2
		h.Verse, h.LineNo = "signs", ""
		if h.Code.System == "ebae" {
			h.Verse = "gaps"
		}
	}
	if h.Num == "outer" || h.Num == "footmid" {
		h.Share = false
	}
	if h.HeadOdd && d.Chance(40, "even share") {
		h.Share = true
	}
}

// Features lists the choices, for reports.
func (h *House) features(genre string) []string {
	s := fmt.Sprintf("%+v", *h)
	var out []string
	for _, f := range strings.Fields(strings.Trim(s, "{}")) {
		if !strings.HasSuffix(f, ":") && !strings.HasSuffix(f, ":false") {
			out = append(out, f)
		}
	}
	return append([]string{"genre=" + genre}, out...)
}

func pick[T any](d testkit.Dice, choices []T, parts ...any) T {
	return choices[d.N(len(choices), parts...)]
}

func d1(d testkit.Dice, percent int, part string, yes, no string) string {
	if d.Chance(percent, part) {
		return yes
	}
	return no
}
