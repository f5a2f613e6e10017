package english

import (
	"bytes"
	"strings"
)

// PhraseID names a structure phrase, whatever its wording and code.
type PhraseID string

// The structure phrases of braille books. Their wording is in phrases.txt.
const (
	Volume            PhraseID = "volume"             // volume n, vol. n, volume n of m, first volume
	InVolumes         PhraseID = "in-volumes"         // in n volumes, complete in one volume; N and M are both the count
	PrelimVolume      PhraseID = "preliminary-volume" // preliminary volume
	EndOfVolume       PhraseID = "volume-end"         // end of volume n
	EndOfBook         PhraseID = "book-end"           // end of book, the end, finis
	EndOfPart         PhraseID = "part-end"           // end of part n
	ContinuedIn       PhraseID = "continued-in"       // continued in volume n
	ContinuedFrom     PhraseID = "continued-from"     // continued from volume n
	Contents          PhraseID = "contents"           // contents, table of contents, contents of volume n
	GeneralContents   PhraseID = "general-contents"   // general contents
	BraillePages      PhraseID = "braille-pages"      // braille pages, with ranges in Tail
	PrintPages        PhraseID = "print-pages"        // print pages, with ranges in Tail
	PagesRange        PhraseID = "pages-range"        // pages, with ranges in Tail
	BraillePage       PhraseID = "braille-page"       // braille page, column label or with a number
	PrintPage         PhraseID = "print-page"         // print page, column label or with a number
	Page              PhraseID = "page"               // page, column label or with a number
	Columns           PhraseID = "columns"            // column labels of a contents page: chapter, page
	Chapter           PhraseID = "chapter"
	Part              PhraseID = "part"
	Book              PhraseID = "book"
	Section           PhraseID = "section"
	Act               PhraseID = "act"
	Scene             PhraseID = "scene"
	ActScene          PhraseID = "act-scene" // N is the act, M the scene
	Canto             PhraseID = "canto"
	Unit              PhraseID = "unit"
	Letter            PhraseID = "letter"
	Stave             PhraseID = "stave"
	Stanza            PhraseID = "verse"
	TitlePage         PhraseID = "title-page"
	Notes             PhraseID = "notes"
	Footnotes         PhraseID = "footnotes"
	Endnotes          PhraseID = "endnotes"
	SpecialSymbols    PhraseID = "special-symbols"
	TranscribersNotes PhraseID = "transcribers-notes"
	TranscribedBy     PhraseID = "transcribed-by"
	ProducedBy        PhraseID = "produced-by"
	ProofreadBy       PhraseID = "proofread-by"
	EditedBy          PhraseID = "edited-by" // translated, edited, illustrated by
	PublishedBy       PhraseID = "published-by"
	Permission        PhraseID = "permission"
	SponsoredBy       PhraseID = "sponsored-by"
	FirstPublished    PhraseID = "first-published"
	Copyright         PhraseID = "copyright"
	AllRights         PhraseID = "all-rights"
	Isbn              PhraseID = "isbn"
	Preface           PhraseID = "preface"
	Foreword          PhraseID = "foreword"
	Introduction      PhraseID = "introduction"
	Prologue          PhraseID = "prologue"
	Epilogue          PhraseID = "epilogue"
	Dedication        PhraseID = "dedication"
	Epigraph          PhraseID = "epigraph"
	Acknowledgements  PhraseID = "acknowledgements"
	Glossary          PhraseID = "glossary"
	Index             PhraseID = "index"
	Bibliography      PhraseID = "bibliography"
	Appendix          PhraseID = "appendix"
	Afterword         PhraseID = "afterword"
	Postscript        PhraseID = "postscript"
	AboutAuthor       PhraseID = "about-author"
	AlsoBy            PhraseID = "also-by"
	AuthorNote        PhraseID = "author-note" // author's, editor's, publisher's, translator's note
	By                PhraseID = "by"          // "by" alone or before a name
	DedicatedFor      PhraseID = "dedicated-for"
	Illustrations     PhraseID = "illustrations"
	Maps              PhraseID = "maps"
	Abbreviations     PhraseID = "abbreviations"
	Cast              PhraseID = "cast"
	FamilyTree        PhraseID = "family-tree"
	Chronology        PhraseID = "chronology"
	Questions         PhraseID = "questions"
	Answers           PhraseID = "answers"
	FurtherReading    PhraseID = "further-reading"
	Credits           PhraseID = "credits"
	Errata            PhraseID = "errata"
	Cover             PhraseID = "cover" // covers and jacket
	Grade             PhraseID = "grade" // grade and code of the edition
	LargePrint        PhraseID = "large-print"
	Continued         PhraseID = "continued" // continued, cont.
)

// Phrase is a structure phrase found in a line.
type Phrase struct {
	ID        PhraseID
	N, M      int    // its first and second number; 0 when it has none
	Letter    byte   // letter in place of a number (appendix b): 'a' to 'z', else 0
	Continued bool   // "(cont.)" or "continued" follows it
	Tail      []byte // what follows on the line: a chapter's title, page ranges; a slice of the line
}

// Lookup reports the phrase that line, one whole line of cells, consists of.
// Blanks around it, capital signs, typeforms, note brackets and round brackets
// around the whole do not count; the code need not be known. Page ranges may
// follow "braille pages" and the like, and are the Tail.
func Lookup(line []byte) (Phrase, bool) { return theLexicon().match(line, true) }

// Prefix reports the longest phrase that line begins with; Tail is the rest of
// the line without the blanks before it.
func Prefix(line []byte) (Phrase, bool) { return theLexicon().match(line, false) }

func (lx *lexicon) match(line []byte, whole bool) (Phrase, bool) {
	line = trimLine(line)
	if len(line) == 0 || !lx.mayStart(line) {
		return Phrase{}, false
	}
	var sc scanner
	sc.lx, sc.line = lx, line
	if !sc.next() || !lx.starts(&sc.toks[0]) {
		return Phrase{}, false
	}
	best, bestLen := Phrase{}, -1
	for _, id := range [...]int{int(sc.toks[0].word), lx.numberStart, lx.ordinalStart} {
		for i := range lx.byFirst[id] {
			p := &lx.byFirst[id][i]
			if !sc.mayBegin(p) {
				continue
			}
			if ph, n, ok := sc.try(p, whole); ok && n > bestLen {
				best, bestLen = ph, n
			}
		}
	}
	return best, bestLen >= 0
}

// mayBegin reports whether the first two tokens can be the pattern's first two elements, of
// which a number may take several; it is cheaper than try.
func (sc *scanner) mayBegin(p *pattern) bool {
	e := p.elems
	return sc.mayBe(e[0], 0) && (len(e) < 2 || e[0].kind != elemWord || sc.mayBe(e[1], 1))
}

// trimLine takes blanks, note brackets and round brackets off the ends.
func trimLine(line []byte) []byte {
	line = trimBlanks(line)
	if len(line) == 0 || !opensBracket[line[0]] {
		return line
	}
	for _, b := range [...][2]string{{"@.<", "@.>"}, {"\"<", "\">"}, {",'", ",'"}, {"7", "7"}, {".<", ".>"}, {",7", "7'"}} {
		n := len(line)
		if n > len(b[0])+len(b[1]) && hasPrefix(line, b[0]) && string(line[n-len(b[1]):]) == b[1] {
			return trimBlanks(line[len(b[0]) : n-len(b[1])])
		}
	}
	if hasPrefix(line, "@.<") { // a note that goes on
		return trimBlanks(line[3:])
	}
	return line
}

// opensBracket marks the cells that the brackets of trimLine begin with.
var opensBracket = cellSet("@\",7.")

func trimBlanks(b []byte) []byte {
	for len(b) > 0 && b[0] == ' ' {
		b = b[1:]
	}
	for len(b) > 0 && b[len(b)-1] == ' ' {
		b = b[:len(b)-1]
	}
	return b
}

func hasPrefix(b []byte, p string) bool { return len(b) >= len(p) && string(b[:len(p)]) == p }

// goesOn is a quick test: behind the tokens before at the line has more words than a remark
// that something is continued.
func (sc *scanner) goesOn(at int) bool {
	rest := trimBlanks(sc.line[sc.toks[at-1].end:])
	return len(rest) > 0 && strings.IndexByte("\"'134", rest[0]) < 0 && bytes.Count(rest, []byte{' '}) > 1
}

// try matches one pattern from the first token on. It returns how many tokens
// were used.
func (sc *scanner) try(p *pattern, whole bool) (Phrase, int, bool) {
	ph := Phrase{ID: p.id}
	at := 0
	for k, e := range p.elems {
		if e.kind == elemRanges {
			return sc.ranges(p, ph, at, whole)
		}
		if k > 0 && p.elems[k-1].kind == elemWord && e.kind != elemWord && sc.commaBefore(at) {
			return ph, 0, false // "in a letter, 1788" numbers no letter
		}
		n := sc.element(e, at, &ph)
		if n == 0 {
			return ph, 0, false
		}
		at += n
	}
	if p.id == InVolumes {
		ph.M = ph.N
	}
	if whole && sc.goesOn(at) {
		return ph, 0, false
	}
	rest := sc.restFrom(at)
	if n := continuedLen(rest); n > 0 && p.id != Continued {
		ph.Continued = true
		rest = trimBlanks(rest[n:])
	}
	if whole && (len(rest) > 0 || !ph.Continued && sc.endsOpen(at)) {
		return ph, 0, false
	}
	ph.Tail = rest
	return ph, at, true
}

// commaBefore reports whether the word before the token at an index ends in a comma (dot 2).
func (sc *scanner) commaBefore(at int) bool {
	if !sc.has(at) {
		return false
	}
	before := trimBlanks(sc.line[:sc.toks[at].start])
	return len(before) > 0 && before[len(before)-1] == '1'
}

// mayBe reports whether the token at an index can be the element; it is cheaper than element.
func (sc *scanner) mayBe(e elem, at int) bool {
	if e.kind == elemRanges {
		return true
	}
	if !sc.has(at) {
		return false
	}
	t := &sc.toks[at]
	switch e.kind {
	case elemWord:
		return t.word == e.word
	case elemOrdinal:
		return t.ord != 0
	}
	return t.num != 0 || e.kind == elemLabel && t.letter != 0
}

// element matches one element of a pattern and returns the tokens it took.
func (sc *scanner) element(e elem, at int, ph *Phrase) int {
	if !sc.has(at) {
		return 0
	}
	t := &sc.toks[at]
	switch e.kind {
	case elemWord:
		if t.word != e.word {
			return 0
		}
		return 1
	case elemOrdinal:
		if t.ord == 0 {
			return 0
		}
		ph.addNumber(int(t.ord), e.second)
		return 1
	case elemLabel:
		if c := t.letter; c != 0 && c != 'i' && c != 'v' && c != 'x' {
			ph.Letter = c
			return 1
		}
	}
	v, n := sc.number(at)
	if n > 0 {
		ph.addNumber(v, e.second)
	}
	return n
}

func (ph *Phrase) addNumber(v int, second bool) {
	if second {
		ph.M = v
	} else {
		ph.N = v
	}
}

// number reads a number at a token: digits, roman, or words up to 999.
func (sc *scanner) number(at int) (v, n int) {
	t := &sc.toks[at]
	if t.num == 0 {
		return 0, 0
	}
	v, n = int(t.num), 1
	if !t.numWord || sc.lx.hundred == 0 || !sc.has(at+1) || sc.toks[at+1].word != sc.lx.hundred {
		return v, n
	}
	v, n = v*100, 2
	if sc.has(at+2) && sc.toks[at+2].word == sc.lx.and {
		if sc.has(at+3) && sc.toks[at+3].numWord && sc.toks[at+3].num < 100 {
			return v + int(sc.toks[at+3].num), 4
		}
	} else if sc.has(at+2) && sc.toks[at+2].numWord && sc.toks[at+2].num < 100 {
		return v + int(sc.toks[at+2].num), 3
	}
	return v, n
}

// counts reports whether a pattern has a number of its own.
func (p *pattern) counts() bool {
	for _, e := range p.elems {
		if e.kind == elemNumber {
			return true
		}
	}
	return false
}

// ranges matches page labels and ranges to the end of the line.
func (sc *scanner) ranges(p *pattern, ph Phrase, at int, whole bool) (Phrase, int, bool) {
	rest := sc.restFrom(at)
	if whole && !allRanges(rest) {
		return ph, 0, false
	}
	if sc.has(at) && sc.toks[at].num > 0 && len(p.elems) == at+1 && !p.counts() {
		ph.N = int(sc.toks[at].num)
	}
	ph.Tail = rest
	return ph, at, true
}

// restFrom returns the line from a token on.
func (sc *scanner) restFrom(at int) []byte {
	from := sc.pos
	if sc.has(at) {
		from = int(sc.toks[at].start)
	}
	if at > 0 && at <= sc.n && int(sc.toks[at-1].end) > from {
		from = int(sc.toks[at-1].end)
	}
	return trimBlanks(sc.line[from:])
}

// endsOpen reports whether the last token before at ends in a comma or a
// semicolon: such a line goes on and is no whole phrase.
func (sc *scanner) endsOpen(at int) bool {
	return at > 0 && (sc.toks[at-1].punct == '1' || sc.toks[at-1].punct == '2')
}
