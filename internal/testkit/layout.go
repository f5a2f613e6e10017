package testkit

import "fmt"

// Layout is everything that may differ between two paper editions of the same
// text. Each field names a choice that the published layouts allow.
type Layout struct {
	Seed   uint64
	Region string // "uk" or "na"
	Code   Code

	Width, Height int
	Sizes         bool // the volumes are on paper of different sizes, this and smaller
	Volumes       int
	PagesEach     int  // braille pages of text a volume, about
	Double        bool // double line spacing

	// Corners and heads.
	Style     string // "all", "odd", "bottom", "corner", "alternate", "iceb", "foot"; "textbook", "literary", "press"
	Head      string // text in the page information line: "none", "title", "section"
	HeadForm  string // "full", "plain" (capital signs left out), "short" (words dropped), "capitals" (a title in capitals)
	FirstPage string // first page of a volume's text: "full", "nohead", "nothing"
	EvenLine  string // pages without a head when heads are on odd pages: "text", "number", "share"
	Share     bool   // numbers in corners share their line with text
	Gap       int    // least blanks between text and a number on one line
	NumberTop bool   // style corner: at the top rather than at the foot
	Middle    bool   // style corner: the number stands alone in the middle of the last line
	HeadSome  bool   // head section: one in three has none
	RunOn     bool   // braille page numbers run on through the volumes
	VolDigit  bool   // the volume digit stands before the number sign
	Prelim    string // numbers of preliminary pages: "none", "roman", "tp", "counted", "own"
	OddStart  bool   // text starts on an odd page, blank pages fill
	BlankNum  bool   // such blank pages carry their number

	// Print pages.
	Turns      string // "none", "centred", "inline", "row", "head"
	TurnSpace  bool   // a blank between dots 5, 2-5 and the number
	TurnTop    bool   // a turn at the top of a braille page is marked there too
	HeadRange  bool   // page information line shows first and last print page
	FirstPrint int
	PrintWords int // words a print page, about

	// Volumes and preliminaries.
	Statement   string // wording: "word", "figure", "roman", "capitals", "of", "pages", "mixed"
	Separators  bool   // statement between separators
	Rule        string // the separator
	Author      string // "by", "byline", "bare"
	History     string // publication history: "none", "first", "all"
	Imprint     bool
	Dedication  bool
	Notes       bool // transcriber's notes page
	Symbols     string
	General     bool   // general contents
	Contents    string // "none", "braille", "print"
	Guide       string // guide dots: `"`, `-` or none
	ColumnLeft  bool   // contents numbers left-aligned in a column
	ColumnLabel bool
	Repeat      string // title at the start of the text: "all", "first", "none"
	RepeatRule  bool
	EndLine     string // "none", "centred", "last", "share", "brackets"
	EndWording  string
	TheEnd      bool
	Cut         string // where volumes end: "chapter", "paragraph", "page"

	// Text.
	HeadingStyle string // "centred", "tight", "cell5", "two"
	Block        bool   // paragraphs in cell 1 after a blank line
	BreakSign    string // scene breaks: "asterisks", "rule", "dots2", "blank"
	EndMark      bool   // a separator after each chapter
	ChapterPage  bool   // chapters start on a new page
	VerseIndent  int
	Divide       bool // words divided at line ends
	EndNotes     bool // notes collected at the end of each volume
	Footnotes    bool // notes between text lines, at the foot of print pages
	TopBlank     bool // a blank line that falls at the top of a page is kept
	VerseRun     bool // verse run on as prose with the line sign (Rules of UEB 2013, 15.1.2)
	LineNumbers  bool // every fifth line of verse has its number at the right margin
	Lists        bool // some runs of paragraphs set as lists: cell 1, runover cell 3
	Remarks      bool // transcriber's notes between paragraphs
	Unjoin       bool // signs written together come apart at line ends (before UEB)
	ChapterOdd   bool // chapters start on an odd page; blank pages fill
	SubEntries   bool // contents list sub-headings too
	HeadSlips    bool // a head is misspelt on a few pages
	Heights      bool // some pages have one line more or less
	SingleText   bool // some pages of a double-spaced book are single-spaced
	Unnumbered   bool // some print pages have no number
	PrintRoman   bool // preliminary pages have roman print page numbers
	PrelimVolume bool // a volume without a number holds the preliminary matter
	VolMark      bool // style foot: a volume mark at the left of line 1
	Table        bool // a table with column heads that every page repeats
	Recipe       bool // a list of ingredients among the text
	Exercise     bool // exercises with lettered parts among the text
	Index        bool // an index at the end of the book
	Inserts      bool // paragraphs with years, long numbers and addresses
	LateNote     bool // a transcriber's note that only a later volume has

	// Notes of DrawNotes; see notes.go.
	NotePlace string // "foot", "print", "after", "chapter", "volume"; "" as EndNotes and Footnotes say
	NoteMark  string // "number" through the book, "chapter" anew in each chapter, "asterisk"
	NoteRule  bool   // a line of dots 2-5 parts them from the text
	NoteOut   bool   // cell 1, runover cell 3; else cell 3, runover cell 1

	File FileForm

	// LineLetters has the number of every fifth line of a stanza at the left margin,
	// in letters without the number sign, the lines from cell 5.
	LineLetters bool

	// Speaker is how plays of DrawWork give who speaks: "stop" in capitals with a
	// full stop, "italic" with the sign for italics, "line" alone on its line,
	// "centred" alone in the middle.
	Speaker string

	Dict *DictForm // how dictionary entries are set; nil in other books
}

// Draw draws a layout.
func Draw(seed uint64) *Layout {
	d := Dice(seed)
	l := &Layout{Seed: seed}
	l.Region = pick(d, []string{"uk", "uk", "uk", "na", "na"}, "region")
	l.Code = drawCode(d, l.Region)
	l.Width = d.Between(28, 40, "width")
	l.Height = d.Between(18, 28, "height")
	if d.Chance(40, "usual size") {
		l.Width, l.Height = 38, d.Between(25, 27, "usual height")
		if l.Region == "na" {
			l.Width, l.Height = 40, 25
		}
	} else if d.Chance(5, "wide") {
		l.Width = d.Between(41, 42, "wide")
	}
	if d.Chance(6, "unusual size") {
		l.Width, l.Height = d.Between(28, 42, "odd width"), d.Between(15, 30, "odd height")
	}
	l.Volumes = pick(d, []int{2, 2, 2, 3, 3, 3, 4, 4, 5, 6, 7, 8, 10, 12}, "volumes")
	l.PagesEach = d.Between(10, 24, "pages")
	if l.Volumes <= 3 && d.Chance(30, "long") {
		l.PagesEach = d.Between(25, 55, "long pages")
	}
	l.Double = d.Chance(12, "double")
	l.corners(d)
	l.printPages(d)
	l.prelims(d)
	l.File = DrawFile(d, l)
	l.text(d)
	l.Sizes = d.Chance(8, "sizes")
	return l
}

func drawCode(d Dice, region string) Code {
	c := Code{System: "seb", Contracted: d.Chance(70, "contracted"), Capitals: d.Chance(60, "capitals")}
	if region == "na" {
		c.System = "ebae"
		c.Capitals = d.Chance(92, "na capitals")
	}
	if d.Chance(45, "ueb") {
		c.System = "ueb"
		c.Capitals = d.Chance(90, "ueb capitals")
	}
	return c
}

func (l *Layout) corners(d Dice) {
	l.Head = pick(d, []string{"title", "title", "section", "none"}, "head")
	l.HeadForm = pick(d, []string{"full", "plain", "short", "capitals"}, "head form")
	l.FirstPage = pick(d, []string{"full", "nohead", "nothing"}, "first page")
	l.EvenLine = pick(d, []string{"text", "text", "number", "share"}, "even")
	l.Share = d.Chance(65, "share")
	l.Gap = 3
	if d.Chance(12, "gap") {
		l.Gap = 2
	}
	l.NumberTop = d.Chance(50, "number top")
	l.Middle = d.Chance(30, "number in the middle")
	l.HeadSome = d.Chance(12, "heads on some sections")
	l.RunOn = d.Chance(25, "run on")
	l.Prelim = pick(d, []string{"none", "none", "roman", "counted", "own", "tp"}, "prelim")
	l.OddStart = d.Chance(40, "odd start")
	l.BlankNum = d.Chance(40, "blank num")
	if l.Region == "uk" {
		l.Style = pick(d, []string{"all", "all", "odd", "odd", "bottom", "corner", "alternate", "iceb", "foot"}, "style")
		if l.Prelim == "tp" {
			l.Prelim = "counted"
		}
		l.VolDigit = !l.RunOn && l.Volumes < 10 && d.Chance(10, "vol digit")
	} else {
		l.Style = pick(d, []string{"textbook", "textbook", "literary", "press"}, "style")
		l.RunOn = d.Chance(60, "run on na")
		if l.Style == "press" || l.Code.System == "ebae" {
			l.Prelim = pick(d, []string{"roman", "roman", "tp", "none"}, "prelim na")
		} else {
			l.Prelim = pick(d, []string{"tp", "tp", "tp", "roman"}, "prelim na")
		}
	}
	if l.Prelim == "counted" {
		l.RunOn = false
	}
	if (l.Style == "all" || l.Style == "odd" || l.Style == "press") && l.Head == "none" && d.Chance(70, "some head") {
		l.Head = "title"
	}
	if l.Style == "corner" {
		l.Head = "none"
	}
}

func (l *Layout) printPages(d Dice) {
	l.Turns = "none"
	switch l.Style {
	case "all", "odd", "iceb", "foot":
		l.Turns = pick(d, []string{"none", "centred", "centred", "inline", "head"}, "turns")
	case "bottom", "corner", "alternate":
		l.Turns = pick(d, []string{"none", "none", "centred", "inline"}, "turns")
	case "textbook":
		l.Turns = "row"
	}
	if l.Style == "iceb" && d.Chance(50, "iceb row") {
		l.Turns = "row"
	}
	l.TurnSpace = d.Chance(15, "turn space")
	l.TurnTop = d.Chance(40, "turn top")
	l.HeadRange = l.Turns != "head" && l.Style != "iceb" && l.Style != "textbook" && d.Chance(25, "head range")
	l.FirstPrint = pick(d, []int{1, 1, 1, 3, 5, 7, 9, 97, 361}, "first print")
	l.PrintWords = d.Between(150, 420, "print words")
}

func (l *Layout) prelims(d Dice) {
	l.Statement = pick(d, []string{"word", "word", "figure", "roman", "capitals", "of", "pages", "mixed", "only"}, "statement")
	l.Separators = d.Chance(50, "separators")
	l.Rule = "333333333333"
	if l.Code.System == "ueb" && d.Chance(60, "line sign") {
		l.Rule = `"33333333333`
	}
	l.Author = pick(d, []string{"by", "byline", "bare"}, "author")
	l.History = pick(d, []string{"none", "first", "all"}, "history")
	l.Imprint = d.Chance(75, "imprint")
	l.Dedication = d.Chance(40, "dedication")
	l.Notes = d.Chance(40, "notes")
	l.Symbols = pick(d, []string{"none", "none", "first", "all", "grows"}, "symbols")
	l.General = d.Chance(30, "general")
	l.Contents = pick(d, []string{"none", "braille", "braille", "print"}, "contents")
	if l.Contents == "print" && l.Turns == "none" {
		l.Contents = "braille"
	}
	l.Guide = pick(d, []string{`"`, `-`, ""}, "guide")
	if l.Region == "na" {
		l.Guide = pick(d, []string{`"`, `"`, ""}, "guide na")
	}
	l.ColumnLeft = l.Region == "uk" && d.Chance(50, "column")
	l.ColumnLabel = d.Chance(60, "column label")
	l.Repeat = pick(d, []string{"all", "first", "none"}, "repeat")
	l.RepeatRule = d.Chance(50, "repeat rule")
	l.EndLine = pick(d, []string{"none", "centred", "centred", "last", "share", "brackets"}, "end line")
	l.EndWording = pick(d, []string{"End of Volume %w", "End of Volume %d", "End of Volume %r", "END OF VOLUME %R", "Continued in Volume %n", "End of %o Volume"}, "end wording")
	l.TheEnd = d.Chance(50, "the end")
	if l.Statement == "of" && l.FirstPrint > 1 && l.FirstPrint < 10 && l.EndLine != "share" { // volumes called by another word (common practice)
		l.Statement = map[bool]string{true: "part of", false: "book of"}[l.FirstPrint > 5]
		l.EndWording = map[bool]string{true: "End of Part %d", false: "End of Book %w"}[l.FirstPrint > 5]
	}
	l.Cut = pick(d, []string{"chapter", "chapter", "paragraph", "page", "page"}, "cut")
}

func (l *Layout) text(d Dice) {
	l.HeadingStyle = pick(d, []string{"centred", "tight", "cell5", "two"}, "heading style")
	l.Block = d.Chance(12, "block")
	l.BreakSign = pick(d, []string{"asterisks", "rule", "dots2", "blank"}, "break sign")
	l.EndMark = d.Chance(30, "end mark")
	l.ChapterPage = d.Chance(30, "chapter page")
	l.VerseIndent = pick(d, []int{0, 0, 2, 4}, "verse indent")
	l.Divide = l.Code.System != "ueb" && d.Chance(35, "divide") || l.Code.System == "ueb" && d.Chance(8, "divide ueb")
	l.EndNotes = d.Chance(25, "end notes")
	l.Footnotes = l.Style == "textbook" && l.Code.System == "ueb" && d.Chance(30, "footnotes")
	l.VerseRun = l.Code.System == "ueb" && d.Chance(15, "verse run")
	l.LineNumbers = !l.VerseRun && d.Chance(12, "line numbers")
	l.Lists = d.Chance(20, "lists")
	l.Remarks = d.Chance(20, "remarks")
	l.Unjoin = l.Code.System != "ueb" && l.Code.Contracted && d.Chance(30, "unjoin")
	l.ChapterOdd = l.ChapterPage && l.OddStart && d.Chance(50, "chapter odd")
	l.SubEntries = d.Chance(25, "sub-entries")
	l.HeadSlips = d.Chance(20, "head slips")
	l.Heights = l.File.Breaks != "none" && d.Chance(10, "heights")
	l.SingleText = l.Double && d.Chance(40, "single text")
	l.Unnumbered = l.Turns == "row" && d.Chance(20, "unnumbered")
	l.PrintRoman = l.Style == "textbook" && d.Chance(35, "print roman")
	l.PrelimVolume = l.Volumes < 12 && d.Chance(6, "preliminary volume")
	l.VolMark = l.Style == "foot" && d.Chance(50, "volume mark")
	l.Table = l.Width >= 30 && d.Chance(12, "table")
	l.Index = d.Chance(12, "index")
	l.Recipe = d.Chance(10, "recipe")
	l.Exercise = d.Chance(10, "exercise")
	l.Inserts = d.Chance(35, "inserts")
	l.LateNote = d.Chance(15, "late note")
	l.TopBlank = d.Chance(30, "top blank")
}

// Features lists the choices of a layout in short words, for finding out which
// of them go with failures.
func (l *Layout) Features() []string {
	f := []string{
		l.Region, "code=" + l.Code.String(), "system=" + l.Code.System, "style=" + l.Style, "head=" + l.Head,
		"headform=" + l.HeadForm, "first=" + l.FirstPage, "prelim=" + l.Prelim, "turns=" + l.Turns,
		"statement=" + l.Statement, "contents=" + l.Contents, "endline=" + l.EndLine, "repeat=" + l.Repeat,
		"cut=" + l.Cut, "heading=" + l.HeadingStyle, "break=" + l.BreakSign, "file=" + l.File.Breaks, "enc=" + l.File.Encoding,
		"symbols=" + l.Symbols, fmt.Sprint("gap=", l.Gap),
	}
	if l.NotePlace != "" {
		f = append(f, "notes="+l.NotePlace, "mark="+l.NoteMark, fmt.Sprint("noterule=", l.NoteRule), fmt.Sprint("notehang=", l.NoteOut))
	}
	if l.File.Lost != "" {
		f = append(f, "lost="+l.File.Lost)
	}
	if l.Style == "odd" {
		f = append(f, "even="+l.EvenLine)
	}
	for name, on := range map[string]bool{
		"double": l.Double, "sizes": l.Sizes, "headsome": l.HeadSome, "middle": l.Middle && l.Style == "corner", "share": l.Share, "runon": l.RunOn, "voldigit": l.VolDigit, "oddstart": l.OddStart,
		"headrange": l.HeadRange, "general": l.General, "block": l.Block, "endmark": l.EndMark, "divide": l.Divide,
		"endnotes": l.EndNotes, "turntop": l.TurnTop, "chapterpage": l.ChapterPage, "topblank": l.TopBlank,
		"footnotes": l.Footnotes, "caps": l.Code.Capitals, "contracted": l.Code.Contracted, "separators": l.Separators,
		"versrun": l.VerseRun, "linenumbers": l.LineNumbers, "lists": l.Lists, "remarks": l.Remarks, "unjoin": l.Unjoin, "chapterodd": l.ChapterOdd,
		"subentries": l.SubEntries, "headslips": l.HeadSlips, "heights": l.Heights, "singletext": l.SingleText, "unnumbered": l.Unnumbered,
		"printroman": l.PrintRoman, "prelimvolume": l.PrelimVolume, "latenote": l.LateNote, "table": l.Table, "recipe": l.Recipe, "exercise": l.Exercise, "index": l.Index, "inserts": l.Inserts, "damage=" + l.File.Damage: l.File.Damage != "", "trimmed": l.File.Trim,
	} {
		if on {
			f = append(f, name)
		}
	}
	return f
}
