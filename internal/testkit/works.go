package testkit

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
)

// This file presses works of literature in their own order: a play in verse and
// prose with acts and scenes, a long poem in books.

// CorpusModule is the Go module, with its version, whose test data hold texts of
// the Canterbury corpus of 1997. ./test puts it into the module cache.
const CorpusModule = "github.com/dsnet/compress@v0.0.1"

// Units of works beside those of other texts.
const (
	Speech    UnitKind = iota + 200 // who speaks, then what is said in prose
	SpeechOn                        // the same, said in verse, each line a line
	Direction                       // a stage direction, with its brackets
	Stanza                          // lines of verse; one that begins with a tab is set deeper
)

var moduleCache = sync.OnceValue(func() string {
	out, err := exec.Command("go", "env", "GOMODCACHE").Output()
	if err != nil {
		return ""
	}
	return strings.TrimSpace(string(out))
})

// corpus reads lines of a text of the Canterbury corpus.
func corpus(name string) ([]string, error) {
	b, err := os.ReadFile(filepath.Join(moduleCache(), filepath.FromSlash(CorpusModule), "brotli", "testdata", name))
	if err != nil {
		return nil, Missing{"the Go module " + CorpusModule}
	}
	return strings.Split(strings.ReplaceAll(string(b), "\r", ""), "\n"), nil
}

// clearLine is clean for a line whose every sign is kept: what clean has no room
// for is an error.
func clearLine(s string) (string, error) {
	s = strings.NewReplacer("[", "(", "]", ")").Replace(s)
	c := clean(s)
	if c == "" {
		return "", fmt.Errorf("a line with other signs than the press has: %q", s)
	}
	return c, nil
}

var (
	actLine    = regexp.MustCompile(`^ACT [IVX]+$`)
	sceneLine  = regexp.MustCompile(`^(SCENE [IVX]+)\t(.*)$`)
	speakerRow = regexp.MustCompile(`^([A-Z][A-Za-z ]+)\t(.*)$`)
)

// AsYouLikeIt returns the acts of the play (Canterbury corpus, asyoulik.txt):
// each has its heading, then its scenes. The list of persons and the epilogue
// are left out.
func AsYouLikeIt() ([][]Unit, error) {
	lines, err := corpus("asyoulik.txt")
	if err != nil {
		return nil, err
	}
	r := &playReader{}
	for _, l := range lines {
		if strings.TrimSpace(l) == "EPILOGUE" {
			break
		}
		r.line(l)
	}
	r.flush()
	return r.acts, r.err
}

// playReader reads a play a line at a time.
type playReader struct {
	acts  [][]Unit
	act   string
	who   string   // of the block at hand
	block []string // its lines
	err   error
}

func (r *playReader) add(u Unit) { r.acts[len(r.acts)-1] = append(r.acts[len(r.acts)-1], u) }

func (r *playReader) line(l string) {
	switch m, s := sceneLine.FindStringSubmatch(l), speakerRow.FindStringSubmatch(l); {
	case actLine.MatchString(l):
		if r.flush(); l != r.act { // the text has the act again over each scene
			r.act = l
			r.acts = append(r.acts, nil)
			r.add(Unit{Heading, []string{l}})
		}
	case r.act == "" || strings.TrimSpace(l) == "AS YOU LIKE IT":
	case strings.TrimSpace(l) == "":
		r.flush()
	case m != nil:
		r.flush()
		r.add(Unit{Heading, []string{"", m[1]}})
		r.who, r.block = "", []string{"[" + m[2] + "]"}
	case s != nil && r.block == nil:
		r.who, r.block = s[1], []string{s[2]}
	default:
		r.block = append(r.block, strings.TrimSpace(l))
	}
}

// flush adds the block at hand: a direction, a speech, or more of a speech that
// a direction stands in.
func (r *playReader) flush() {
	who, block := r.who, r.block
	if r.who, r.block = "", nil; block == nil {
		return
	}
	u := Unit{Kind: SpeechOn, Lines: []string{who}}
	switch {
	case strings.HasPrefix(block[0], "["):
		u, block = Unit{Kind: Direction}, []string{strings.Join(block, " ")}
	case !inVerse(block):
		u.Kind, block = Speech, []string{strings.Join(block, " ")}
	}
	for _, l := range block {
		c, err := clearLine(l)
		if err != nil {
			r.err = err
			return
		}
		u.Lines = append(u.Lines, c)
	}
	r.add(u)
}

// inVerse tells verse from prose: each line after the first begins with a
// capital.
func inVerse(block []string) bool {
	for _, l := range block[1:] {
		if f := strings.TrimLeft(l, `"'([`); f == "" || f[0] < 'A' || f[0] > 'Z' {
			return false
		}
	}
	return len(block) > 1
}

// ParadiseLost returns the twelve books of the poem (Canterbury corpus,
// plrabn12.txt): each has its heading and its lines.
func ParadiseLost() ([][]Unit, error) {
	lines, err := corpus("plrabn12.txt")
	if err != nil {
		return nil, err
	}
	var books [][]Unit
	for _, l := range lines {
		switch t := strings.TrimSpace(l); {
		case bookLine.MatchString(t):
			books = append(books, []Unit{{Heading, []string{t}}, {Kind: Stanza}})
		case books == nil || t == "":
		case strings.HasPrefix(t, "[The End]"):
			return books, nil
		case strings.Trim(t, "0123456789") == "": // a number of the copyists
		default:
			c, err := clearLine(strings.TrimSpace(strings.NewReplacer("$", "", "***", "").Replace(t))) // their marks
			if err != nil {
				return nil, err
			}
			if l[0] == ' ' { // a new paragraph of the poem
				c = "\t" + c
			}
			u := &books[len(books)-1][1]
			u.Lines = append(u.Lines, c)
		}
	}
	return books, nil
}

var bookLine = regexp.MustCompile(`^Book [IVX]+$`)

// DrawWork draws the layout of a work in so many volumes. What the press puts
// into other books of its own is left out.
func DrawWork(seed uint64, volumes int) *Layout {
	l := Draw(seed)
	d := Dice(seed)
	l.Volumes = volumes
	l.Recipe, l.Exercise, l.Table, l.Index, l.Inserts, l.Lists, l.Remarks = false, false, false, false, false, false, false
	l.EndNotes, l.Footnotes, l.VerseRun, l.Divide, l.File.Damage = false, false, false, false, ""
	l.Speaker = pick(d, []string{"italic", "italic", "centred"}, "speaker")
	if l.Region == "na" {
		l.Speaker = pick(d, []string{"stop", "stop", "line"}, "speaker na")
	}
	return l
}

// NewWork makes a book of parts of a work, in their order.
func NewWork(l *Layout, parts ...[]Unit) (*Book, error) {
	d := Dice(l.Seed)
	ph, err := phrases(l.Code)
	if err != nil {
		return nil, err
	}
	b := &Book{Lay: l, Dice: d, phrase: ph, source: "work", TitleName: pick(d, titles, "title"), anew: true}
	b.Title, b.Author = ph[b.TitleName], ph[pick(d, authors, "author")]
	var units []Unit
	var print []string
	for _, p := range parts {
		for _, u := range p {
			if l.Region == "uk" && u.Kind == Direction { // print's square brackets become round in North America only
				u.Lines = []string{"[" + strings.TrimSuffix(strings.TrimPrefix(u.Lines[0], "("), ")") + "]"}
			}
			u.Lines = append([]string(nil), u.Lines...)
			if who := &u.Lines[0]; (u.Kind == Speech || u.Kind == SpeechOn) && *who != "" {
				*who = l.speakerName(*who)
			}
			units = append(units, u)
			print = append(print, u.Lines...)
		}
	}
	for i := range print {
		print[i] = strings.TrimPrefix(print[i], "\t")
	}
	cells, err := Translate(l.Code, print)
	if err != nil {
		return nil, err
	}
	b.putWork(units, cells)
	b.drawTurns()
	return b, nil
}

// speakerName writes a name as the layout has it: in capitals with a full stop
// (English Braille American Edition 1994, appendix A, section 8), or as in the
// text, for italics or the middle of a line (UKAAF, Guiding Principles 2016).
func (l *Layout) speakerName(who string) string {
	switch l.Speaker {
	case "stop":
		return who + "."
	case "italic":
		var w []string
		for _, f := range strings.Fields(who) {
			w = append(w, titleCase(strings.ToLower(f)))
		}
		return strings.Join(w, " ")
	}
	return who
}

// italics puts the sign of the code before each word of a name.
func (b *Book) italics(name []Tok) {
	sign := "."
	if b.Lay.Code.System == "ueb" {
		sign = ".1"
	}
	for i := range name {
		name[i].Cells = sign + name[i].Cells
	}
}

func (b *Book) putWork(units []Unit, cells [][]byte) {
	k := 0
	for _, u := range units {
		e := Elem{Kind: u.Kind}
		for _, line := range u.Lines {
			t := toks(string(cells[k]), nil)
			k++
			if u.Kind == Heading && line == "" {
				e.Level = 1
				continue
			}
			b.tokens += len(t)
			e.Lines = append(e.Lines, t)
			e.Deep = append(e.Deep, strings.HasPrefix(line, "\t"))
		}
		switch {
		case u.Kind == Heading:
			e.Short = joinToks(e.Lines[0])
		case (u.Kind == Speech || u.Kind == SpeechOn) && b.Lay.Speaker == "italic":
			b.italics(e.Lines[0])
		}
		b.Body = append(b.Body, e)
	}
}

// speech sets a speech: its name at the margin, its lines further in and their
// runovers in cell 5, as lists of two levels have them (BANA, Braille Formats
// 2016, section 8); or the name on a line of its own, at the margin or in the
// middle, and prose as paragraphs under it.
func (p *press) speech(e *Elem) {
	name, said := e.Lines[0], e.Lines[1:]
	alone := p.l.Speaker == "centred" || p.l.Speaker == "line"
	switch {
	case len(name) == 0: // it goes on after a stage direction
	case alone:
		p.nameLine(name)
	default:
		first := append(append([]Tok(nil), name...), said[0]...)
		p.flow(first, 0, 4, 's')
		said = said[1:]
	}
	for _, line := range said {
		switch {
		case e.Kind == SpeechOn:
			p.flow(line, 2, 4, 'v')
		case p.l.Speaker == "line": // displayed, so that no name looks like the line that prose goes on with
			p.flow(line, 4, 2, 'd')
		case alone:
			p.flow(line, 2, 0, 'p')
		default:
			p.flow(line, 2, 4, 'd')
		}
	}
}

// nameLine sets a name alone on its line, with the line after it on its page.
func (p *press) nameLine(name []Tok) {
	p.room(1, false)
	p.turnLine()
	p.room(3, true)
	p.turnLineAtTop()
	for p.turnDue() && p.l.Turns == "inline" {
		p.put(p.centre(p.ukMark(p.takeTurn(true))))
	}
	p.room(2, true)
	for k, w := range name {
		p.want(w, start(k == 0, 's'))
	}
	if p.l.Speaker == "centred" {
		p.put(p.centre(joinToks(name)))
	} else {
		p.put(joinToks(name))
	}
	p.passTurns()
}

// stanza sets lines of verse; a deep one begins two cells further in, and all
// runovers stand two cells further in than that.
func (p *press) stanza(e *Elem) {
	p.blank()
	n := p.l.VerseIndent
	if p.l.LineLetters {
		n = 4
	}
	for i, line := range e.Lines {
		p.verseNo++
		if p.l.LineLetters && p.verseNo%5 == 0 {
			p.leftNo = Number(p.verseNo)[1:]
		}
		p.lineNo = ""
		if p.l.LineNumbers && p.verseNo%5 == 0 {
			p.lineNo = Number(p.verseNo)
		}
		at := n
		if e.Deep[i] {
			at += 2
		}
		p.flow(line, at, n+4, 'v')
	}
	p.lineNo = ""
}
