package testkit

import (
	"compress/gzip"
	"fmt"
	"io"
	"os"
	"regexp"
	"sort"
	"strings"
	"sync"
)

// This file presses dictionaries.

// Entry is a dictionary entry: its lines are the entry and, further in, its
// senses.
const Entry UnitKind = 100

// A Term is an entry of a dictionary in print: its headword, its number among
// entries of the same headword (0 if it is the only one), its senses.
type Term struct {
	Word   string
	Number int
	Senses []string
}

// DictForm is how dictionary entries are set. The published layouts (BANA
// Braille Formats 2016, sections 20 and 21; common practice in the United
// Kingdom) leave each of these open.
type DictForm struct {
	Order   string // "letter": blanks and hyphens do not count; "word": shorter first words first
	Over    int    // indent of runovers: 2 or 4
	Blank   bool   // a blank line between entries
	Guide   string // page heads: "none" (the layout's own), "both", "first", "apart"
	Sep     string // after the headword: "comma", "colon", "dash", "blank"
	Type    string // type of headwords: "none", "bold", "italic"
	Plain   bool   // headwords uncontracted
	Letters bool   // a letter heading before the entries of a letter
	Senses  bool   // senses on lines of their own
	Numbers bool   // homographs are numbered
	Foot    bool   // guide words stand at the left of the last line, which the page number ends (BANA, Braille Formats 2016, section 21, from memory)
}

// WantTerm is a headword in the truth: its cells as they stand in the entry,
// with the signs of its type, the headword alone, and the word of the body that
// it begins with.
type WantTerm struct {
	Cells, Short string
	Body         int
}

// DrawDictionary draws the layout of a dictionary.
func DrawDictionary(seed uint64) *Layout {
	l := Draw(seed)
	d := Dice(seed)
	l.Dict = &DictForm{
		Order: pick(d, []string{"letter", "word"}, "dict order"), Over: pick(d, []int{2, 2, 4}, "dict over"), Blank: d.Chance(15, "dict blank"),
		Guide: pick(d, []string{"none", "both", "both", "first", "apart"}, "dict guide"), Sep: pick(d, []string{"comma", "colon", "dash", "blank"}, "dict sep"),
		Type: pick(d, []string{"none", "none", "bold", "italic"}, "dict type"), Plain: d.Chance(60, "dict plain"), Letters: d.Chance(60, "dict letters"),
		Senses: d.Chance(40, "dict senses"), Numbers: d.Chance(50, "dict numbers"),
	}
	l.Dict.Foot = (l.Style == "textbook" || l.Style == "literary") && l.Dict.Guide == "both" && d.Chance(50, "dict foot")
	l.Contents, l.General, l.File.Damage = "none", false, ""
	l.Recipe, l.Exercise = false, false
	l.Block, l.EndNotes, l.Footnotes, l.Lists, l.Table, l.Index, l.Inserts, l.Remarks, l.Divide = false, false, false, false, false, false, false, false, false
	l.ChapterPage, l.ChapterOdd, l.EndMark = false, false, false
	if l.Dict.Guide != "none" && l.Style != "corner" && l.Head == "none" {
		l.Head = "title"
	}
	return l
}

// DictFeatures names the choices of the dictionary's form.
func (f *DictForm) DictFeatures() []string {
	out := []string{"order=" + f.Order, fmt.Sprint("over=", f.Over), "guide=" + f.Guide, "sep=" + f.Sep, "type=" + f.Type}
	for name, on := range map[string]bool{"blank": f.Blank, "plain": f.Plain, "letters": f.Letters, "senses": f.Senses, "numbers": f.Numbers, "foot": f.Foot} {
		if on {
			out = append(out, name)
		}
	}
	sort.Strings(out)
	return out
}

var (
	wnSense = regexp.MustCompile(`^ {4}(n|v|adj|adv) 1: (.*)|^ {7,9}(\d+): (.*)`)
	wnPart  = regexp.MustCompile(`^ {4}(n|v|adj|adv)\b`)
	wnDrop  = regexp.MustCompile(`\[[^\]]*\]|"[^"]*"|\([^)]*\)`)
	wnWord  = regexp.MustCompile(`^[A-Za-z][A-Za-z' -]*[A-Za-z]$`)
)

// Terms returns the entries of an open dictionary (WordNet, Debian's dict-wn),
// one for each part of speech of a word, in the order of the file.
func Terms() ([]Term, error) { return loadTerms() }

var loadTerms = sync.OnceValues(func() ([]Term, error) {
	f, err := os.Open("/usr/share/dictd/wn.dict.dz")
	if err != nil {
		return nil, Missing{"dict-wn"}
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		return nil, err
	}
	b, err := io.ReadAll(z)
	if err != nil {
		return nil, err
	}
	return wordNet(strings.Split(string(b), "\n")), nil
})

func wordNet(lines []string) []Term {
	var out []Term
	word, sense := "", ""
	flush := func() {
		s := wnDrop.ReplaceAllString(sense, "")
		s, _, _ = strings.Cut(s, ";")
		s, _, _ = strings.Cut(s, "[")
		s = clean(strings.TrimSpace(s))
		if strings.Contains(s+" ", "- ") || strings.Contains(s, " -") || strings.ContainsAny(s, "0123456789") {
			s = ""
		}
		if s != "" && len(out) > 0 && out[len(out)-1].Word == word && len(out[len(out)-1].Senses) < 3 {
			out[len(out)-1].Senses = append(out[len(out)-1].Senses, s)
		}
		sense = ""
	}
	for _, l := range lines {
		switch m := wnSense.FindStringSubmatch(l); {
		case l != "" && l[0] != ' ':
			flush()
			if word = l; !wnWord.MatchString(word) {
				word = ""
			}
		case word == "":
		case m != nil:
			flush()
			if m[1] != "" || wnPart.MatchString(l) {
				out = append(out, Term{Word: word})
			}
			sense = m[2] + m[4]
		case wnPart.MatchString(l):
			flush()
			out = append(out, Term{Word: word})
			_, sense, _ = strings.Cut(l, ": ")
		default:
			sense += " " + strings.TrimSpace(l)
		}
	}
	flush()
	full := out[:0]
	for _, t := range out {
		if len(t.Senses) > 0 {
			full = append(full, t)
		}
	}
	return full
}

// letters are the letters of a word in lower case.
func letters(s string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'A' && r <= 'Z' {
			return r + 'a' - 'A'
		}
		if r >= 'a' && r <= 'z' {
			return r
		}
		return -1
	}, s)
}

// sorted puts terms in the order of a dictionary and numbers homographs.
func (f *DictForm) sorted(terms []Term) []Term {
	out := append([]Term(nil), terms...)
	key := func(t *Term) string { return letters(t.Word) }
	if f.Order == "word" {
		key = func(t *Term) string {
			var w []string
			for _, x := range strings.Fields(t.Word) {
				w = append(w, letters(x))
			}
			return strings.Join(w, " ")
		}
	}
	sort.SliceStable(out, func(i, j int) bool {
		a, b := key(&out[i]), key(&out[j])
		return a < b || a == b && out[i].Word < out[j].Word
	})
	for i := 0; i < len(out); {
		j := i + 1
		for j < len(out) && out[j].Word == out[i].Word {
			j++
		}
		for k := i; k < j && j-i > 1; k++ {
			out[k].Number = k - i + 1
		}
		i = j
	}
	return out
}

// NewDictionary makes a dictionary of as many of the terms as fill the volumes
// of the layout, taken evenly from all of them; all of them with all set.
func NewDictionary(l *Layout, terms []Term, all bool) (*Book, error) {
	d := Dice(l.Seed)
	ph, err := phrases(l.Code)
	if err != nil {
		return nil, err
	}
	b := &Book{Lay: l, Dice: d, phrase: ph, source: "dictionary", TitleName: pick(d, titles, "title")}
	b.Title, b.Author = ph[b.TitleName], ph[pick(d, authors, "author")]
	if !all {
		terms = spread(terms, l)
	}
	if err := b.putTerms(l.Dict.sorted(terms)); err != nil {
		return nil, err
	}
	b.drawTurns()
	return b, nil
}

// spread takes terms from the whole dictionary, in groups of neighbours, enough
// for the layout's volumes.
func spread(terms []Term, l *Layout) []Term {
	lines := l.Height - 1
	if l.Double {
		lines /= 2
	}
	n := min(l.Volumes*l.PagesEach*lines/2, len(terms)/8)
	const group = 8
	step := len(terms) * group / n
	first := Dice(l.Seed).N(max(1, step-group), "dict start")
	var out []Term
	for i := first; i+group <= len(terms); i += step {
		out = append(out, terms[i:i+group]...)
	}
	return out
}

// putTerms puts entries into braille.
func (b *Book) putTerms(terms []Term) error {
	f := b.Lay.Dict
	var words, text []string
	for _, t := range terms {
		words = append(words, t.Word)
		text = append(text, t.Senses...)
	}
	plain := b.Lay.Code
	if f.Plain {
		plain.Contracted = false
	}
	heads, err := Translate(plain, words)
	if err != nil {
		return err
	}
	cells, err := Translate(b.Lay.Code, text)
	if err != nil {
		return err
	}
	initial, k := byte(0), 0
	for i, t := range terms {
		if c := letters(t.Word)[0]; c != initial && f.Letters {
			initial = c
			b.letterHeading(c)
		}
		e := Elem{Kind: Entry, Short: string(heads[i])}
		for s := range t.Senses {
			line := string(cells[k])
			k++
			if s == 0 {
				e.Lines = append(e.Lines, toks(b.headLine(&t, string(heads[i]))+" "+line, nil))
				e.Note = len(strings.Fields(string(heads[i])))
			} else if f.Senses {
				e.Lines = append(e.Lines, toks(Number(s+1)+" "+line, nil))
			} else {
				e.Lines[0] = append(e.Lines[0], toks(line, nil)...)
			}
		}
		for _, line := range e.Lines {
			b.tokens += len(line)
		}
		b.Body = append(b.Body, e)
	}
	return nil
}

func (b *Book) letterHeading(c byte) {
	s := string(c)
	if b.Lay.Code.Capitals {
		s = "," + s
	}
	if b.Lay.Code.System != "ueb" || c != 'a' && c != 'i' && c != 'o' {
		s = ";" + s
	}
	e := Elem{Kind: Heading, Level: 1, Short: s, Lines: [][]Tok{{{Cells: s}}}}
	b.tokens++
	b.Body = append(b.Body, e)
}

// headLine is the headword as the entry begins: in its type, with its number
// and what parts it from the text.
func (b *Book) headLine(t *Term, cells string) string {
	f, ueb := b.Lay.Dict, b.Lay.Code.System == "ueb"
	one := !strings.Contains(cells, " ")
	switch {
	case f.Type == "bold" && ueb && one:
		cells = "^1" + cells
	case f.Type == "bold" && ueb:
		cells = "^7" + cells + "^'"
	case f.Type == "italic" && ueb && one:
		cells = ".1" + cells
	case f.Type == "italic" && ueb:
		cells = ".7" + cells + ".'"
	case f.Type != "none" && one:
		cells = "." + cells
	}
	if t.Number > 0 && f.Numbers {
		cells += " " + Number(t.Number)
	}
	switch f.Sep {
	case "comma":
		return cells + "1"
	case "colon":
		return cells + "3"
	case "dash":
		if ueb {
			return cells + " ,-"
		}
		return cells + " --"
	}
	return cells
}

// entry sets one entry.
func (p *press) entry(e *Elem) {
	f := p.l.Dict
	if f.Blank {
		p.blank()
	}
	for i, line := range e.Lines {
		if i > 0 {
			p.flow(line, 2, f.Over+2, 'l')
			continue
		}
		var w []string
		for k := 0; k < e.Note; k++ {
			w = append(w, line[k].Cells)
		}
		p.t.Terms = append(p.t.Terms, WantTerm{join(w), e.Short, len(p.t.Body)})
		p.flow(line, 0, f.Over, 'l')
	}
}

// guideWords is the head of a dictionary's page: its first and last headword.
func (p *press) guideWords(pg *page, room int) string {
	f := p.l.Dict
	if f == nil || f.Guide == "none" || pg.kind != "text" {
		return ""
	}
	var g [2]string
	for i := len(p.t.Terms) - 1; i >= 0 && p.t.Terms[i].Body >= pg.startWord; i-- {
		if t := p.t.Terms[i]; t.Body < len(p.t.Body) {
			if g[0] = t.Short; g[1] == "" {
				g[1] = t.Short
			}
		}
	}
	if n := len(p.t.Terms); g[0] == "" && n > 0 { // an entry that fills the page
		g[0], g[1] = p.t.Terms[n-1].Short, p.t.Terms[n-1].Short
	}
	if g[0] == "" {
		return ""
	}
	s := g[0]
	switch f.Guide {
	case "both":
		s = g[0] + "-" + g[1]
	case "apart":
		s = g[0] + " - " + g[1]
		if p.l.Code.System == "ueb" {
			s = g[0] + " ,- " + g[1]
		}
	}
	if len(s) > room {
		s = g[0]
	}
	w := words(s)
	for len(w) > 1 && len(join(w)) > room {
		w = w[:len(w)-1]
	}
	if len(join(w)) > room {
		return ""
	}
	return join(w)
}
