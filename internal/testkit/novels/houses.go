package novels

import (
	"fmt"
	"reflect"
	"strings"

	"continuo/internal/testkit"
)

// dice draws with the numbers of the test kit.
type dice struct{ testkit.Dice }

func one[T any](d dice, name string, choices ...T) T { return choices[d.N(len(choices), name)] }

// form is how a house sets a book. Corner fields say what stands there: "braille"
// or "print" (page numbers), "title", "chapter", or nothing.
type form struct {
	House         string
	Kind          string // of the book
	Code          testkit.Code
	Width, Height int
	Double        string // double line spacing: "all", "later" (from volume 2 on), "front" (volume 1 alone)

	TopL, TopM, TopR string
	BotL, BotM, BotR string
	TopOn, BotOn     string // "all" or "odd" pages
	Even             string // number alone on pages without a head: "top", "foot"
	Share, ShareFoot bool   // text goes on beside a number that stands alone
	Swap             bool   // left pages have right and left of the head changed over
	Gap              int
	HeadForm         string // of the running head: "full", "short", "plain", "capitals"
	FirstText        string // head of a volume's first page of text: "full", "number", "nothing", "title"
	RunOn            bool   // braille pages run on through the volumes
	Prelim           string // numbers of preliminary pages: "none", "roman", "tp", "counted", "own"
	OddText          bool   // the text begins on a right-hand page

	Turns      string // print pages: "none", "centred", "row", "inline", "head"
	TurnSpace  bool
	TopTurn    bool // a turn at the top of a page is marked although the head shows it
	Letters    bool // continuation letters before the print page in the corner
	Range      bool // the head shows first and last print page
	PrintWords int
	FirstPrint int

	Volumes, PagesEach int
	ShortLast          bool
	Cut                string // volumes end with a "chapter", a "para", or a "page"
	TwoInOne           bool   // the first two volumes are one file
	GoesOn             string // at the start of a volume that goes on with a chapter: "", "again", "continued"
	OtherHand          int    // volume set by another transcriber, or 0

	TitleCase  string // "title", "capitals"
	Subtitle   bool
	Author     string // "by", "byline", "bare", "close" (bare, no blank line)
	TitleSide  bool   // the title page is set at the margin
	Statement  string // "words", "figures", "of", "roman", "capitals", "ordinal", "brackets"
	PagesLine  bool   // the title page tells the braille pages
	Separators bool
	Rule       string
	HalfTitle  bool
	SecondPage bool // a second title page with author and publisher
	Copyright  string
	AlsoBy     string // list of other books: "", "front", "back"
	Dedication bool
	Epigraph   bool // of the book
	NotesPage  string
	Symbols    bool
	About      bool   // a paragraph about the author in the first volume
	StartTitle string // title over the text: "", "first", "all"
	StartBy    bool   // and the author under it

	Contents  string // "", "braille", "print"
	General   string // "", "whole" (volume 1 lists everything), "divided" (by volumes)
	EntryForm string // "all", "name", "number"
	Guide     string
	Column    bool // numbers in a column, left-aligned
	ColLabel  bool
	EntryRun  int
	EndLine   string // "", "centred", "last", "share", "brackets"
	EndWords  string
	TheEnd    string

	Head         string // wording of chapter headings
	HeadPlace    string // "centred", "ceil", "cell5", "margin"
	HeadBefore   bool
	HeadAfter    bool
	ChapterPage  string // chapters begin a page: "", "page", "odd"
	ChapterRule  bool
	Parts        bool
	PartPage     bool
	PartEpigraph bool
	PartEnd      bool // "End of Book Two" of the print book
	Sections     bool // headings within chapters
	Special      bool // a prologue and an epilogue without number

	Block     bool
	FirstFlat bool   // the first paragraph of a chapter at the margin
	Letter    string // displayed letters: "4/2", "6/4", "blocked"
	Sign      string // signatures: "right", "cell5", "indent"
	Diary     string // dates of a diary: "", "para", "margin", "centred", "right"
	Poem      int    // cell of quoted poems, from 0
	PoemGap   bool
	Extract   string // "", "4/2", "2/2"
	Break     string // scene breaks: "asterisks", "rule", "blank", "three"
	NotePlace string // "", "foot", "after", "chapter", "volume"
	NoteMark  string // "number", "asterisk", "bracket", "letter"
	NoteTight bool   // a mark in brackets hard on its word
	NoteLabel string // how a gathered note begins: "number", "stop", "mark"
	NoteOut   bool
	NoteRule  bool
	Hyphens   bool // lines end at hyphens of words
	Dashes    bool // and at dashes
	TopBlank  bool

	Slips string // "", "no number", "wrong number", "misprint", "long page", "short page"
	File  testkit.FileForm
}

var houses = []func(dice, *form){oldPress, cityLibrary, handGroup, prairie, textHouse, pressBraille, southern, navigation}

// oldPress is a British house before 2015: 38 cells, heads on right-hand pages.
func oldPress(d dice, f *form) {
	f.House = "old press"
	f.Code = testkit.Code{System: "seb", Contracted: true, Capitals: d.Chance(40, "caps")}
	f.Width, f.Height = one(d, "width", 38, 38, 36, 34, 32), d.Between(22, 27, "height")
	f.TopM, f.TopR = one(d, "top middle", "title", "title", "chapter", ""), "braille"
	f.TopOn, f.Even = "odd", one(d, "even", "", "", "top", "foot")
	if d.Chance(25, "all heads") {
		f.TopOn = "all"
	}
	f.Prelim = one(d, "prelim", "none", "counted", "own")
	f.Turns = one(d, "turns", "none", "none", "none", "centred")
	f.Rule, f.Separators = strings.Repeat("3", 12), d.Chance(80, "separators")
	f.Contents, f.General = one(d, "contents", "braille", "braille", ""), one(d, "general", "", "divided")
	f.Guide = one(d, "guide", "-", "", `"`)
	f.Statement = one(d, "statement", "words", "words", "ordinal", "figures")
	f.HeadAfter, f.HeadBefore = d.Chance(25, "after"), d.Chance(50, "before")
}

// cityLibrary is a British house of today: print page left, section in the
// middle, braille page right, on every page (uk-paper-layout, 18).
func cityLibrary(d dice, f *form) {
	f.House = "city library"
	f.Code = testkit.Code{System: "ueb", Contracted: d.Chance(85, "contracted"), Capitals: true}
	f.Width, f.Height = one(d, "width", 38, 38, 40, 30), one(d, "height", 27, 27, 26, 25)
	f.TopL, f.TopM, f.TopR, f.TopOn = "print", one(d, "top middle", "chapter", "title", ""), "braille", "all"
	f.Turns = one(d, "turns", "centred", "centred", "head", "inline", "none")
	if f.Turns == "none" {
		f.TopL = ""
	}
	f.Range = d.Chance(20, "range")
	f.Prelim = one(d, "prelim", "counted", "none", "roman")
	f.Rule, f.Separators = `"33333333333`, d.Chance(60, "separators")
	f.Contents = one(d, "contents", "braille", "braille", "print", "")
	f.Guide = one(d, "guide", "-", `"`, `"`)
	f.Column, f.ColLabel = d.Chance(50, "column"), d.Chance(60, "label")
	f.Statement = one(d, "statement", "of", "words", "figures", "brackets")
	f.HeadAfter, f.HeadBefore = d.Chance(30, "after"), d.Chance(50, "before")
}

// handGroup is a group of volunteers: number at the foot, no head.
func handGroup(d dice, f *form) {
	f.House = "hand group"
	f.Code = testkit.Code{System: one(d, "system", "ueb", "seb"), Contracted: d.Chance(60, "contracted"), Capitals: true}
	f.Width, f.Height = one(d, "width", 30, 32, 34, 28), d.Between(22, 28, "height")
	f.BotR, f.BotOn = "braille", "all"
	if d.Chance(25, "middle") {
		f.BotR, f.BotM = "", "braille"
	}
	f.ShareFoot, f.Swap = d.Chance(50, "share"), d.Chance(15, "swap")
	f.TopM, f.TopOn = one(d, "top middle", "", "", "title", "chapter"), one(d, "top on", "odd", "all")
	f.Prelim = one(d, "prelim", "none", "own", "roman")
	f.Turns = one(d, "turns", "none", "none", "inline", "centred")
	f.Rule, f.Separators = strings.Repeat("7", 10), d.Chance(30, "separators")
	f.Contents, f.Guide = one(d, "contents", "braille", "", ""), one(d, "guide", `"`, "", "-")
	f.Statement = one(d, "statement", "figures", "of", "words", "brackets")
	f.HeadAfter, f.HeadBefore = d.Chance(40, "after"), d.Chance(60, "before")
	f.Block = d.Chance(35, "block")
}

// prairie is a North American literary house before 2013: title and braille page
// on line 1 (English Braille American Edition 1994, rule III).
func prairie(d dice, f *form) {
	f.House = "prairie"
	f.Code = testkit.Code{System: "ebae", Contracted: d.Chance(85, "contracted"), Capitals: true}
	f.Width, f.Height = one(d, "width", 40, 40, 38, 39), 25
	f.TopM, f.TopR, f.TopOn = one(d, "top middle", "title", "title", "title", ""), "braille", "all"
	f.Share = d.Chance(60, "share")
	f.Prelim, f.FirstText = "roman", one(d, "first text", "title", "full", "number")
	f.Turns = "none"
	f.Rule = strings.Repeat("3", 12)
	f.Contents, f.Guide = "braille", `"`
	f.Statement, f.PagesLine = one(d, "statement", "roman", "capitals", "words"), d.Chance(70, "pages line")
	f.HeadBefore, f.HeadAfter = d.Chance(75, "before"), d.Chance(50, "after")
	f.EndLine = one(d, "end line", "last", "last", "share", "centred")
	f.SecondPage = d.Chance(30, "second")
}

// textHouse sets by Braille Formats: print page above, braille page below.
func textHouse(d dice, f *form) {
	f.House = "text house"
	f.Code = testkit.Code{System: one(d, "system", "ueb", "ueb", "ebae"), Contracted: d.Chance(80, "contracted"), Capitals: true}
	f.Width, f.Height = one(d, "width", 40, 40, 30), 25
	f.TopM, f.TopR, f.TopOn = one(d, "top middle", "", "title"), "print", "all"
	f.BotR, f.BotOn = "braille", "all"
	f.Share, f.ShareFoot = d.Chance(60, "share"), d.Chance(70, "share foot")
	f.Turns, f.Letters = "row", d.Chance(80, "letters")
	f.Prelim, f.FirstText, f.RunOn = "tp", one(d, "first text", "title", "full"), d.Chance(60, "run on")
	f.Rule = strings.Repeat("3", 12)
	f.Contents, f.General, f.Guide = "print", one(d, "general", "", "whole"), `"`
	f.Statement, f.PagesLine = one(d, "statement", "figures", "roman", "of"), d.Chance(70, "pages line")
	f.HeadBefore, f.HeadAfter = true, d.Chance(70, "after")
	f.EndLine = one(d, "end line", "last", "centred", "brackets")
	f.SecondPage = d.Chance(30, "second")
}

// pressBraille is a North American press: numbers on odd pages or in turn at the
// outer edge.
func pressBraille(d dice, f *form) {
	f.House = "press braille"
	f.Code = testkit.Code{System: one(d, "system", "ebae", "ueb"), Contracted: true, Capitals: true}
	f.Width, f.Height = d.Between(36, 40, "width"), d.Between(24, 27, "height")
	f.TopM, f.TopR, f.TopOn = one(d, "top middle", "title", "chapter", ""), "braille", one(d, "top on", "odd", "all")
	f.Even, f.Swap = one(d, "even", "", "top"), d.Chance(40, "swap")
	f.Share = d.Chance(50, "share")
	f.Prelim = one(d, "prelim", "roman", "none", "own")
	f.Turns = one(d, "turns", "none", "none", "head")
	if f.Turns == "head" {
		f.BotL, f.BotOn = "print", "all"
	}
	f.Rule = strings.Repeat(one(d, "rule", "3", "="), 12)
	f.Contents, f.Guide = one(d, "contents", "braille", ""), one(d, "guide", `"`, "")
	f.Statement = one(d, "statement", "roman", "figures", "words", "capitals")
	f.HeadBefore, f.HeadAfter = d.Chance(70, "before"), d.Chance(40, "after")
	f.RunOn = d.Chance(30, "run on")
}

// southern is an Australian house: 30 by 25, both numbers right.
func southern(d dice, f *form) {
	f.House = "southern"
	f.Code = testkit.Code{System: "ueb", Contracted: d.Chance(80, "contracted"), Capitals: true}
	f.Width, f.Height = one(d, "width", 30, 32, 40), one(d, "height", 25, 25, 27)
	f.TopR, f.TopM, f.TopOn = one(d, "top right", "print", "print", ""), one(d, "top middle", "title", "", "chapter"), "all"
	f.BotR, f.BotOn, f.ShareFoot = "braille", "all", d.Chance(40, "share foot")
	f.Turns = one(d, "turns", "row", "centred", "head")
	if f.TopR == "" {
		f.Turns = one(d, "turns without", "none", "row", "centred")
	}
	f.Letters = d.Chance(50, "letters")
	f.Prelim = one(d, "prelim", "roman", "own", "counted", "tp")
	f.Rule = `"33333333333`
	f.Separators = d.Chance(40, "separators")
	f.Contents, f.Guide = one(d, "contents", "braille", "print", "print"), `"`
	if f.Turns == "none" {
		f.Contents = "braille"
	}
	f.Statement = one(d, "statement", "of", "figures", "words", "brackets")
	f.HeadBefore, f.HeadAfter = d.Chance(70, "before"), d.Chance(30, "after")
}

// navigation keeps the last line for both numbers and the section
// (uk-paper-layout 2: ICEB recommendation of 2001).
func navigation(d dice, f *form) {
	f.House = "navigation"
	f.Code = testkit.Code{System: "ueb", Contracted: d.Chance(80, "contracted"), Capitals: d.Chance(85, "caps")}
	f.Width, f.Height = one(d, "width", 40, 38, 36), d.Between(24, 28, "height")
	f.BotL, f.BotM, f.BotR, f.BotOn = "braille", one(d, "middle", "chapter", "", "title"), "print", "all"
	f.Turns, f.Letters = one(d, "turns", "row", "head", "centred"), d.Chance(40, "letters")
	f.Prelim = one(d, "prelim", "own", "roman", "none")
	f.Rule = `"33333333333`
	f.Contents, f.Guide = one(d, "contents", "print", "braille"), one(d, "guide", `"`, "-")
	f.Statement = one(d, "statement", "of", "words", "figures", "brackets")
	f.HeadBefore, f.HeadAfter = d.Chance(60, "before"), d.Chance(40, "after")
	f.ColLabel = d.Chance(50, "label")
}

// draw draws what all houses choose freely.
func draw(seed uint64) *form {
	d := dice{testkit.Dice(seed*7919 + 13)}
	f := &form{BotOn: "all", TopOn: "all", EndLine: one(d, "end line", "centred", "last", "share", ""), FirstText: one(d, "first text", "full", "number", "nothing", "title")}
	houses[int(seed)%len(houses)](d, f)
	f.Kind = one(d, "kind", "novel", "novel", "novel", "biography", "stories", "essays", "travel", "letters")
	f.Gap, f.HeadForm = d.Between(2, 4, "gap"), one(d, "head form", "full", "short", "plain", "short")
	f.OddText = d.Chance(20, "odd text")
	if f.TopOn == "odd" || f.Swap {
		f.OddText = true
	}
	f.TurnSpace = f.Code.System == "seb" && d.Chance(30, "turn space")
	f.TopTurn = d.Chance(30, "top turn")
	f.PrintWords, f.FirstPrint = d.Between(150, 420, "print words"), d.Between(1, 19, "first print")
	f.Volumes, f.PagesEach = one(d, "volumes", 1, 2, 2, 3, 3, 4, 5), d.Between(9, 20, "pages each")
	f.ShortLast = d.Chance(25, "short last")
	f.Cut = one(d, "cut", "chapter", "chapter", "para", "page", "page")
	f.TwoInOne = d.Chance(6, "two in one")
	f.GoesOn = one(d, "goes on", "", "", "again", "continued")
	if d.Chance(20, "other hand") && f.Volumes > 1 {
		f.OtherHand = d.Between(2, f.Volumes, "which hand")
	}
	if d.Chance(14, "double") {
		f.Double = one(d, "double in", "all", "all", "later", "front")
	}
	drawFront(d, f)
	drawText(d, f)
	f.Slips = one(d, "slips", "", "", "", "no number", "wrong number", "misprint", "long page", "short page")
	f.File = testkit.DrawFile(testkit.Dice(seed), &testkit.Layout{})
	f.File.Damage, f.File.Lost = "", ""
	if f.File.Breaks == "none" && strings.HasSuffix(f.Slips, "page") {
		f.Slips = ""
	}
	return f
}

func drawFront(d dice, f *form) {
	f.TitleCase, f.Subtitle = one(d, "title case", "title", "title", "capitals"), d.Chance(20, "subtitle")
	f.Author = one(d, "author", "by", "by", "byline", "bare", "close", "close")
	f.TitleSide = d.Chance(8, "title side")
	f.HalfTitle, f.SecondPage = d.Chance(20, "half title"), f.SecondPage || d.Chance(10, "second page")
	f.Copyright = one(d, "copyright", "", "first", "all")
	f.AlsoBy = one(d, "also by", "", "", "front", "back")
	f.Dedication, f.Epigraph = d.Chance(35, "dedication"), d.Chance(20, "epigraph")
	f.NotesPage, f.Symbols = one(d, "notes page", "", "", "first", "all"), d.Chance(12, "symbols")
	f.About = d.Chance(20, "about")
	f.StartTitle, f.StartBy = one(d, "start title", "", "first", "all"), d.Chance(25, "start by")
	if f.FirstText == "title" {
		f.StartTitle, f.StartBy = "", false
	}
	f.EntryForm, f.EntryRun = one(d, "entry form", "all", "all", "name", "number"), one(d, "entry run", 2, 4)
	f.EndWords = one(d, "end words", "end of volume", "end of the volume", "end of first volume", "continued", "end of volume of", "capitals")
	f.TheEnd = one(d, "the end", "", "the end", "end of book", "volume")
}

var headWords = map[string][]string{
	"novel":     {"chapter", "chapter word", "bare", "roman", "bare name", "chapter name", "chapter capitals", "word", "joined", "stop", "place"},
	"biography": {"chapter name", "years", "bare name", "roman name", "name", "joined", "place"},
	"stories":   {"name", "name", "name by", "bare name", "capitals"},
	"essays":    {"name", "roman name", "stop", "capitals", "chapter name"},
	"travel":    {"place", "chapter name", "bare name", "name", "stop", "place"},
	"letters":   {"letter", "roman", "chapter", "bare"},
}

func drawText(d dice, f *form) {
	words := headWords[f.Kind]
	f.Head = words[d.N(len(words), "head")]
	f.HeadPlace = one(d, "head place", "centred", "centred", "centred", "ceil", "cell5", "margin")
	f.Block = f.Block || d.Chance(8, "block text")
	if f.HeadPlace == "margin" || f.HeadPlace == "cell5" {
		f.HeadBefore = true
	}
	if f.HeadPlace == "margin" && f.Block {
		f.HeadPlace = "centred"
	}
	f.ChapterPage = one(d, "chapter page", "", "", "", "page", "odd")
	f.ChapterRule = d.Chance(20, "chapter rule")
	f.Parts = (f.Kind == "novel" || f.Kind == "biography") && d.Chance(30, "parts")
	f.PartPage, f.PartEpigraph, f.PartEnd = d.Chance(50, "part page"), d.Chance(60, "part epigraph"), d.Chance(35, "part end")
	f.Sections = (f.Kind == "essays" || f.Kind == "travel" || f.Kind == "biography") && d.Chance(50, "sections")
	f.Special = f.Kind != "letters" && d.Chance(30, "special")
	f.FirstFlat = !f.Block && d.Chance(10, "first flat")
	f.Letter, f.Sign = one(d, "letter", "4/2", "4/2", "6/4", "blocked"), one(d, "sign", "right", "cell5", "indent")
	f.Diary = one(d, "diary", "", "", "para", "margin", "centred", "right")
	f.Poem, f.PoemGap = one(d, "poem", 2, 4, 4, 6), d.Chance(75, "poem gap")
	f.Extract = one(d, "extract", "", "4/2", "2/2")
	f.Break = one(d, "break", "asterisks", "rule", "blank", "three")
	f.Hyphens, f.Dashes, f.TopBlank = d.Chance(50, "hyphens"), d.Chance(40, "dashes"), d.Chance(20, "top blank")
	if d.Chance(45, "notes") {
		f.NotePlace = one(d, "note place", "foot", "after", "chapter", "volume")
	}
	f.NoteMark = one(d, "note mark", "number", "number", "asterisk", "bracket")
	if f.NoteMark == "asterisk" && (f.NotePlace == "chapter" || f.NotePlace == "volume") {
		f.NoteMark = "number"
	}
	f.NoteTight = d.Chance(40, "tight")
	f.NoteLabel = one(d, "note label", "number", "stop", "mark")
	f.NoteOut, f.NoteRule = d.Chance(50, "note out"), d.Chance(75, "note rule")
	if f.Double != "" && f.NotePlace == "foot" {
		f.NotePlace = "after"
	}
}

// features names the choices in short words.
func (f *form) features() []string {
	var out []string
	v := reflect.ValueOf(*f)
	for i := range v.NumField() {
		name, x := strings.ToLower(v.Type().Field(i).Name), v.Field(i)
		switch x.Kind() {
		case reflect.Bool:
			if x.Bool() {
				out = append(out, name)
			}
		case reflect.String:
			if x.String() != "" {
				out = append(out, name+"="+strings.ReplaceAll(x.String(), " ", "_"))
			}
		case reflect.Int:
			if x.Int() != 0 {
				out = append(out, fmt.Sprintf("%s=%d", name, x.Int()))
			}
		}
	}
	return append(out, "code="+f.Code.String(), "breaks="+f.File.Breaks)
}
