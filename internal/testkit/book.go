package testkit

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// Tok is one word of braille: the cells between two blanks. Parts are the two
// halves of the word where it may be divided at a line end.
type Tok struct {
	Cells string
	Half  [2]string
	Note  int    // of a note that it refers to, or 0
	Mark  string // of that note
}

// Elem is an element of the body in braille.
type Elem struct {
	Kind   UnitKind
	Lines  [][]Tok
	Level  int    // headings: 0 chapter, 1 sub-heading
	Short  string // headings: as a page information line may have it
	Parent string // headings of numbers in books of books: the name of their book
	Over   string // and the heading they stand under within it
	Deep   []bool // exercises: lines that are lettered parts
	Note   int    // number of the note that a paragraph's last word refers to, or 0
}

// Turn is a print page turn: before body token Pos the page Label begins.
type Turn struct {
	Pos   int
	Label string // canonical cells; "" is a page without a number
}

// Book is a title in braille, before it is set.
type Book struct {
	Lay           *Layout
	Dice          Dice
	Title, Author string // cells
	TitleName     string // the title in print
	Body          []Elem
	Notes         [][]Tok // note n at index n-1
	Turns         []Turn
	tokens        int
	source        string // name of the text
	phrase        map[string]string
	anew          bool // line numbers begin anew in each part
}

// NewBook draws a book for a layout from the open texts.
func NewBook(l *Layout, texts []Text) (*Book, error) {
	d := Dice(l.Seed)
	ph, err := phrases(l.Code)
	if err != nil {
		return nil, err
	}
	b := &Book{Lay: l, Dice: d, phrase: ph}
	b.TitleName = pick(d, titles, "title")
	b.Title = ph[b.TitleName]
	if d.Chance(25, "title capitals") {
		b.Title = ph[strings.ToUpper(b.TitleName)]
	}
	b.Author = ph[pick(d, authors, "author")]
	units := b.slice(texts)
	if err := b.translate(units, texts); err != nil {
		return nil, err
	}
	b.drawTurns()
	return b, nil
}

// endsSentence reports whether a unit ends a sentence: no book ends within one.
func endsSentence(u Unit) bool {
	last := strings.TrimRight(u.Lines[len(u.Lines)-1], "\"'”’)]_ ")
	return last != "" && strings.ContainsAny(last[len(last)-1:], ".!?")
}

// slice takes units from one text, enough for the volumes wanted.
func (b *Book) slice(texts []Text) []Unit {
	l, d := b.Lay, b.Dice
	t := pick(d, texts, "text")
	b.source = t.Name
	lines := l.Height - 1
	if l.Double {
		lines /= 2
	}
	want := l.Volumes * l.PagesEach * lines * l.Width * 8 / 10
	if l.Code.Contracted {
		want = want * 13 / 10
	}
	start := d.N(max(1, len(t.Units)-want/400), "start")
	for start > 0 && t.Units[start].Kind != Heading && t.Name != "dictionary" && t.Name != "opticks" {
		start--
	}
	var out []Unit
	size, since := 0, 0
	for _, u := range append(append([]Unit(nil), t.Units[start:]...), t.Units[:start]...) {
		if k := len(out) - 1; size >= want && size > 0 && k >= 0 && (endsSentence(out[k]) || size >= 2*want) {
			break
		}
		if l.Block && u.Kind == Para && strings.HasSuffix(u.Lines[0], "—") {
			// Where a page cuts block paragraphs apart, a dash at the end might join.
			u.Lines = []string{strings.TrimRight(u.Lines[0], "—")}
		}
		for _, line := range u.Lines {
			size += len(line)
			since += len(line)
		}
		if u.Kind == Heading && since < 400 && len(out) > 0 {
			continue // headings that follow one another: the first stays
		}
		if u.Kind == Heading {
			since = 0
		}
		out = append(out, u)
	}
	for len(out) > 0 && out[len(out)-1].Kind == Heading {
		out = out[:len(out)-1]
	}
	return b.extras(b.addHeadings(out))
}

// extras adds sentences, a table and an index of the press's own.
func (b *Book) extras(out []Unit) []Unit {
	l, d := b.Lay, b.Dice
	if l.Inserts {
		out = b.addInserts(out)
	}
	if l.Table && len(out) > 60 {
		k := len(out)/3 + d.N(len(out)/3, "table at")
		for k < len(out) && out[k].Kind != Para {
			k++
		}
		out = append(out[:k:k], append([]Unit{b.table()}, out[k:]...)...)
	}
	if l.Recipe {
		out = between(out, b.recipe(), len(out)/4+d.N(len(out)/4, "recipe at"))
	}
	if l.Exercise {
		out = between(out, b.exercises(), len(out)/2+d.N(len(out)/4, "exercise at"))
	}
	if l.Index {
		u := Unit{Kind: Index}
		for i, w := range indexWords {
			u.Lines = append(u.Lines, fmt.Sprintf("%s, %d, %d", w, 3+i*7%90, 95+i*11%200))
		}
		out = append(out, Unit{Heading, []string{"Index"}}, u)
	}
	return out
}

// addInserts puts sentences with years, long numbers and addresses between the
// paragraphs.
func (b *Book) addInserts(units []Unit) []Unit {
	var out []Unit
	n := 0
	for i, u := range units {
		out = append(out, u)
		if u.Kind == Para && b.Dice.Chance(4, "insert", i) {
			s := inserts[n%len(inserts)]
			if b.Lay.Code.System == "ueb" && n%4 == 3 {
				s = address
			}
			n++
			out = append(out, Unit{Para, []string{fmt.Sprintf(s, 41+n*83%5000)}})
		}
	}
	return out
}

// between puts a unit before the first paragraph from unit k on that comes after
// another paragraph.
func between(units []Unit, u Unit, k int) []Unit {
	for k = max(k, 1); k < len(units); k++ {
		if units[k].Kind == Para && units[k-1].Kind == Para {
			return append(units[:k:k], append([]Unit{u}, units[k:]...)...)
		}
	}
	return units
}

// recipe is a list of ingredients; quantities and measures are drawn.
func (b *Book) recipe() Unit {
	u := Unit{Kind: Recipe}
	things := []string{"flour", "milk", "butter", "sugar", "chopped almonds", "grated cheese", "dried figs, cut into strips and soaked in cold water", "oats", "honey"}
	with := []string{"%d g %s", "%d ml %s", "%d tablespoons %s", "%d oz %s", "%d cups %s"}
	first := b.Dice.N(len(with), "recipe measure")
	for i := range 5 + b.Dice.N(4, "recipe lines") {
		u.Lines = append(u.Lines, fmt.Sprintf(with[(first+i%2)%len(with)], 2+b.Dice.N(48, "quantity", i), things[i%len(things)]))
	}
	return u
}

// exercises are questions with lettered parts, which begin with a tab.
func (b *Book) exercises() Unit {
	u := Unit{Kind: Exercise}
	asked := []string{"Who came to the river first?", "What did the two of them carry with them across the water, and why did nobody ask?", "Where did the road end?", "How long was the journey?"}
	for i := range 2 + b.Dice.N(3, "exercise items") {
		u.Lines = append(u.Lines, fmt.Sprintf("%d. %s", i+1, asked[i%len(asked)]))
		for k := range []int{2, 0, 3}[(i+b.Dice.N(3, "exercise parts"))%3] {
			u.Lines = append(u.Lines, fmt.Sprintf("\t%c. %s", 'a'+k, asked[(i+k+1)%len(asked)]))
		}
	}
	if len(u.Lines) < 4 {
		u.Lines = append([]string{"1. " + asked[0], "\ta. " + asked[1], "\tb. " + asked[2]}, "2. "+asked[3])
	}
	return u
}

// table is a table of tides: a day and two numbers a line.
func (b *Book) table() Unit {
	u := Unit{Kind: Table, Lines: []string{"Day High Low"}}
	days := []string{"Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"}
	for i := range b.Lay.Height * 5 / 4 {
		u.Lines = append(u.Lines, fmt.Sprintf("%s %d %d", days[i%7], 3+i*7%50, 100+i*13%80))
	}
	return u
}

// addHeadings renumbers the chapters, names them, and adds sub-headings and
// scene breaks. All wordings are invented.
func (b *Book) addHeadings(units []Unit) []Unit {
	d := b.Dice
	var out []Unit
	chapter, sub, since := 0, 0, 0
	every := d.Between(1500, 9000, "heading every")
	style := d.N(3, "chapter wording")
	for i, u := range units {
		isHead := u.Kind == Heading
		if isHead && chapter >= 60 {
			continue
		}
		if isHead || i == 0 || since > 4*every && chapter < 59 && u.Kind == Para {
			chapter++
			since = 0
			out = append(out, Unit{Heading, b.chapterLines(chapter, style)})
			if isHead {
				continue
			}
		} else if since > every && u.Kind == Para && sub < 30 && d.Chance(12, "sub", i) {
			if d.Chance(40, "scene", i) {
				out = append(out, Unit{Kind: Break})
			} else if style != 2 {
				out = append(out, Unit{Heading, []string{"", headingNames[(sub*7+d.N(30, "sub0"))%len(headingNames)]}})
				sub++
			}
			since = 0
		}
		for _, line := range u.Lines {
			since += len(line)
		}
		out = append(out, u)
	}
	return out
}

func (b *Book) chapterLines(n, style int) []string {
	first := fmt.Sprint("Chapter ", n)
	if style == 1 && n < len(numberWords) {
		first = "Chapter " + titleCase(numberWords[n])
	}
	if b.Dice.Chance(30, "chapter capitals") {
		first = fmt.Sprint("CHAPTER ", n)
	}
	name := headingNames[(n*11+b.Dice.N(30, "chapter0"))%len(headingNames)]
	switch style {
	case 2:
		return []string{first, name}
	}
	return []string{first}
}

func (b *Book) translate(units []Unit, texts []Text) error {
	var print []string
	for _, u := range units {
		if u.Kind != Heading && u.Kind != Table {
			for _, line := range u.Lines {
				print = append(print, strings.TrimPrefix(line, "\t"))
			}
		}
	}
	nText := len(print)
	words := b.divisible(print)
	for _, w := range words {
		print = append(print, w[0]+w[1], w[0], w[1])
	}
	nWords := len(print)
	if b.Lay.EndNotes {
		for _, s := range noteTexts(texts, b.source, b.Dice) {
			if b.Lay.NotePlace != "" { // a note ends as a sentence does
				s = s[:len(s)-1] + "."
			}
			print = append(print, s)
		}
	}
	cells, err := Translate(b.Lay.Code, print)
	if err != nil {
		return err
	}
	halves := map[string][2]string{}
	for i := range words {
		whole, a, z := cells[nText+3*i], cells[nText+3*i+1], cells[nText+3*i+2]
		halves[string(whole)] = [2]string{string(a), string(z)}
	}
	var notes [][]Tok
	for _, n := range cells[nWords:] {
		notes = append(notes, toks(string(n), halves))
	}
	b.elements(units, cells[:nText], halves, notes)
	return nil
}

// elements makes the body of the translated lines, in the order of the units.
func (b *Book) elements(units []Unit, cells [][]byte, halves map[string][2]string, notes [][]Tok) {
	k, inChapter := 0, 0
	for i, u := range units {
		e := Elem{Kind: u.Kind}
		for _, line := range u.Lines {
			switch {
			case u.Kind == Heading && line == "":
				e.Level = 1
			case u.Kind == Heading:
				e.Lines = append(e.Lines, toks(b.say(line), nil))
			case u.Kind == Table:
				e.Lines = append(e.Lines, toks(b.tableLine(line), nil))
			default:
				e.Lines = append(e.Lines, toks(string(cells[k]), halves))
				e.Deep = append(e.Deep, strings.HasPrefix(line, "\t"))
				k++
			}
		}
		if u.Kind == Heading {
			e.Short = joinToks(e.Lines[len(e.Lines)-1])
		}
		if u.Kind == Heading && e.Level == 0 {
			inChapter = 0
		}
		if b.Lay.NotePlace != "" {
			if u.Kind == Para && len(b.Notes) < len(notes) && b.Dice.Chance(9, "note", i) {
				if w := b.marked(e.Lines[0], len(b.Notes)+1, inChapter+1, i); w != nil {
					b.Notes = append(b.Notes, notes[len(b.Notes)])
					inChapter++
					e.Lines[0] = w
				}
			}
		} else if u.Kind == Para && len(b.Notes) < len(notes) && b.Dice.Chance(6, "note", i) {
			b.Notes = append(b.Notes, notes[len(b.Notes)])
			e.Note = len(b.Notes)
			b.mark(&e)
		}
		n := 0
		for _, l := range e.Lines {
			n += len(l)
		}
		if n > 0 || u.Kind == Break {
			b.tokens += n
			b.Body = append(b.Body, e)
		}
	}
}

// tableLine puts a row of a table into braille, each number with a sign.
func (b *Book) tableLine(line string) string {
	f := strings.Fields(line)
	if f[0] == "Day" {
		return b.say(line)
	}
	s := b.say(f[0])
	for _, x := range f[1:] {
		n, _ := strconv.Atoi(x)
		s += " " + Number(n)
	}
	return s
}

// mark puts the mark of a note after the last word of a paragraph: a raised
// number in UEB (Rules of UEB 2013, 6.5), an asterisk sign and number of its
// own before UEB.
func (b *Book) mark(e *Elem) {
	last := e.Lines[len(e.Lines)-1]
	if b.Lay.Code.System == "ueb" {
		t := last[len(last)-1]
		last[len(last)-1] = Tok{Cells: t.Cells + ";9" + Number(e.Note)}
		return
	}
	e.Lines[len(e.Lines)-1] = append(last, Tok{Cells: "99" + Number(e.Note)})
}

func noteTexts(texts []Text, body string, d Dice) []string {
	var out []string
	for _, t := range texts {
		if t.Name == body || t.Name != "luke" && t.Name != "samuel" || body == "matthew" && t.Name == "luke" {
			continue
		}
		for i := d.N(20, "notes from"); i < len(t.Units) && len(out) < 60; i += 3 {
			if u := t.Units[i]; u.Kind == Para {
				s := u.Lines[0]
				if k := strings.IndexAny(s, ".;"); k > 30 {
					out = append(out, s[:k+1])
				}
			}
		}
	}
	return out
}

// say returns a fixed wording in the book's code.
func (b *Book) say(s string) string {
	c, ok := b.phrase[s]
	if !ok {
		panic("testkit: no such wording: " + s)
	}
	return c
}

func toks(cells string, halves map[string][2]string) []Tok {
	var out []Tok
	for _, f := range strings.Fields(cells) {
		t := Tok{Cells: f}
		core := strings.TrimRight(f, "123456890'")
		tail := f[len(core):]
		head := ""
		for _, h := range []string{"8,", ",", "8"} {
			if strings.HasPrefix(core, h) {
				head, core = h, core[len(h):]
				break
			}
		}
		if h, ok := halves[core]; ok {
			t.Half = [2]string{head + h[0], h[1] + tail}
		}
		out = append(out, t)
	}
	return out
}

func joinToks(t []Tok) string {
	var s []string
	for _, x := range t {
		s = append(s, x.Cells)
	}
	return strings.Join(s, " ")
}

var (
	plainWord = regexp.MustCompile(`\b[a-z]{7,14}\b`)
	syllable  = regexp.MustCompile(`[aeiou][bcdfglmnprst]([bcdfglmprt][aeiou])`)
)

// divisible finds words of the text that may be divided, with their two parts:
// between two consonants that stand between vowels, neither part short, and
// neither part a word that has a sign of its own (Rules of UEB 2013, 10.13;
// English Braille American Edition, rule on division).
func (b *Book) divisible(print []string) [][2]string {
	if !b.Lay.Divide {
		return nil
	}
	seen := map[string]bool{}
	var out [][2]string
	for _, line := range print {
		for _, w := range plainWord.FindAllString(line, -1) {
			if seen[w] || len(out) >= 500 {
				continue
			}
			seen[w] = true
			m := syllable.FindStringSubmatchIndex(w)
			if m == nil || m[2] < 3 || len(w)-m[2] < 3 {
				continue
			}
			a, z := w[:m[2]], w[m[2]:]
			if signed[a] || signed[z] || badStart.MatchString(z) {
				continue
			}
			out = append(out, [2]string{a, z})
		}
	}
	return out
}

var badStart = regexp.MustCompile(`^(be|con|dis|com|ing|ble|ea|bb|cc|dd|ff|gg|men|ity|tion|sion|ness|ful|less|ance|ence|ong|ound|ount|ally|ation)`)

// signed lists words that a part of a divided word may not be, because the
// whole word has a sign or short form (from memory of the codes).
var signed = func() map[string]bool {
	m := map[string]bool{}
	for _, w := range strings.Fields(`but can do every from go have just knowledge like more not people quite rather so that us very will it you as and for
		of the with child shall this which out still be enough to were his in into by was had about above according across after again against also almost
		already altogether although always because before behind below beneath beside between beyond blind braille children conceive could deceive declare
		deceiving either first friend good great herself him himself immediate its itself letter little much must myself necessary neither paid perceive
		perhaps quick receive rejoice said should such today together tomorrow tonight would your day ever father here know lord mother name one ought part
		question right some spirit there through time under where work young character these those upon whose word cannot many world their con dis com`) {
		m[w] = true
	}
	return m
}()

// drawTurns lays print pages over the body.
func (b *Book) drawTurns() {
	l, d := b.Lay, b.Dice
	if l.Turns == "none" {
		return
	}
	n := l.FirstPrint
	b.Turns = []Turn{{0, Number(n)}}
	for pos, i := 0, 0; ; i++ {
		pos += l.PrintWords * d.Between(70, 130, "print page", i) / 100
		if pos >= b.tokens-20 {
			return
		}
		n++
		label := Number(n)
		if l.Turns != "head" && d.Chance(2, "two print pages", i) {
			n++
			second := Number(n)
			if l.Code.System == "ebae" {
				second = second[1:]
			}
			label += "-" + second
		}
		if l.Unnumbered && d.Chance(12, "no number", i) {
			n--
			label = ""
		}
		b.Turns = append(b.Turns, Turn{pos, label})
	}
}

// Own lists wordings that the converter may add in the book's code.
func (b *Book) Own() []string {
	own := b.say("Continuous braille edition")
	// The published rules allow both ways to write the ed of edition.
	return []string{own, strings.Replace(own, "edi;n", "$i;n", 1), strings.Replace(own, "edi,n", "$i,n", 1)}
}
