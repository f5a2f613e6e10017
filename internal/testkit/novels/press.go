// Package novels is a second press of the tests. It sets novels, lives, stories,
// essays and books of travel as eight houses would, by the published standards:
// Rules of Unified English Braille 2013; UKAAF, Guiding Principles for the
// Presentation of Braille 2016; BANA, Braille Formats 1997 to 2016; English
// Braille American Edition 1994; recommendations of ICEB's format committee 2001.
package novels

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"continuo/internal/testkit"
)

var unfit = errors.New("a word or a note finds no room")

// Book is a title as pressed.
type Book struct {
	*testkit.Title
	Features []string
	Own      []string        // wordings that the converter may add, in the book's code
	Free     map[int]bool    // words of the text that may begin a heading or not
	Name     string          // the title in braille
	Author   string          // and the author
	May      map[string]bool // other lines that may be headings
	Subtitle string          // or none
	// TitleOpen says that nothing tells where the title ends and the author begins.
	TitleOpen bool
}

// Press draws and sets the book of a seed.
func Press(seed uint64, texts []testkit.Text) (*Book, error) { return press(seed, draw(seed), texts) }

// PressOtherGrade sets the same book in the other grade of its code.
func PressOtherGrade(seed uint64, texts []testkit.Text) (*Book, error) {
	f := draw(seed)
	f.Code.Contracted = !f.Code.Contracted
	return press(seed, f, texts)
}

func press(seed uint64, f *form, texts []testkit.Text) (b *Book, err error) {
	defer func() {
		if r := recover(); r != nil {
			if r != unfit {
				panic(r)
			}
			err = unfit
		}
	}()
	d := dice{testkit.Dice(seed*104729 + 7)}
	if f.Contents == "print" && f.Turns == "none" {
		f.Contents = "braille"
	}
	f.Letters = f.Letters && !f.Range
	items := build(f, d, texts)
	said, asked := map[string]string{}, map[string]bool{}
	say := func(print string) string {
		if c, ok := said[print]; ok {
			return c
		}
		asked[print] = true
		return print
	}
	s := &setter{}
	for pass := 0; pass < 9; pass++ {
		before := s
		s = newSetter(f, d, say, before)
		s.set(items)
		if len(asked) > 0 {
			if err := translate(f.Code, asked, said); err != nil {
				return nil, err
			}
			continue
		}
		if s.same(before) {
			break
		}
	}
	return s.done(seed)
}

func translate(c testkit.Code, asked map[string]bool, said map[string]string) error {
	var list []string
	for p := range asked {
		list = append(list, p)
	}
	sortStrings(list)
	cells, err := testkit.Translate(c, list)
	if err != nil {
		return err
	}
	for i, p := range list {
		said[p] = string(cells[i])
		delete(asked, p)
	}
	return nil
}

func newSetter(f *form, d dice, say func(string) string, before *setter) *setter {
	s := &setter{f: f, d: d, say: say, total: max(1, len(before.vols)), known: before.marks, pages: before.nowPages}
	s.t = testkit.NewTruth(&testkit.Layout{Volumes: s.total})
	s.may, s.again = map[string]bool{}, map[string]int{}
	s.free, s.nowPages, s.count, s.noteHeads = map[int]bool{}, map[int]string{}, map[string]int{}, map[string]int{}
	if f.Turns == "none" {
		return s
	}
	n := f.FirstPrint
	s.label = testkit.Number(n)
	s.t.Optional[s.label] = true
	for pos := 0; pos < 60_000; {
		pos += f.PrintWords * d.Between(70, 130, "print", n) / 100
		n++
		s.turns = append(s.turns, turn{pos, testkit.Number(n)})
	}
	return s
}

// same reports whether a pass gave what the one before gave.
func (s *setter) same(o *setter) bool {
	if len(s.vols) != len(o.vols) || len(s.marks) != len(o.marks) {
		return false
	}
	for i := range s.marks {
		if s.marks[i] != o.marks[i] {
			return false
		}
	}
	for v, p := range s.nowPages {
		if o.nowPages[v] != p {
			return false
		}
	}
	return true
}

// hand is the form of the volume at hand: another transcriber has slightly other
// habits.
func (s *setter) otherHand() *form {
	g := *s.f
	if s.vol != s.f.OtherHand {
		return s.f
	}
	d := s.d
	g.HeadForm = one(d, "other head form", "full", "short", "plain")
	g.HeadAfter = d.Chance(50, "other after") || g.HeadPlace == "margin"
	g.EndWords = one(d, "other end", "end of volume", "capitals", "end of volume of")
	g.Statement = one(d, "other statement", g.Statement, "figures", "words", "of")
	g.Poem = one(d, "other poem", 2, 4)
	return &g
}

func (s *setter) startVolume(mid bool) {
	s.vol++
	s.vols = append(s.vols, nil)
	s.g = s.otherHand()
	s.prelims, s.pagesText, s.gap = 0, 0, false
	if !s.f.RunOn || s.vol == 1 {
		s.seq = 0
	}
	s.count = map[string]int{}
	flow := s.inFlow
	s.inFlow = false
	s.prelimPages()
	s.kind = "blank"
	if s.f.OddText && len(s.vols[s.vol-1])%2 == 1 {
		s.newSheet()
		s.finish()
	}
	s.kind = "text"
	s.newSheet()
	s.inFlow = flow
	if mid && s.chapterItem != nil && s.f.GoesOn != "" {
		s.goesOn()
	}
}

// goesOn sets the heading of the chapter with which a volume goes on again.
func (s *setter) goesOn() {
	l := s.chapterItem.lines
	if s.f.GoesOn == "continued" {
		l = []string{s.chapterItem.lines[0] + " (continued)"}
	}
	var all []string
	for _, x := range l {
		for _, line := range lines(strings.Fields(s.say(x)), s.f.Width-6, 0, 0) {
			s.put(s.middle(line, s.f.Width))
			s.may[line] = true
		}
		all = append(all, s.say(x))
	}
	s.gap = s.g.HeadAfter
	key := strings.Join(all, " ")
	s.may[key] = true
	s.again[key]++
}

// startTitle sets the title over the text.
func (s *setter) startTitle(p *sheet) {
	f := s.f
	switch {
	case f.FirstText == "title" && (f.TopM == "title" || f.TopM == "chapter"):
		cells := strings.Fields(s.say(s.titleWords()))
		n := strings.Join(cells, " ")
		if c := s.corners(p, true); len(n)+2*max(len(c[0]), len(c[2]))+6 <= f.Width {
			c[1] = n
			p.rows[0].s, p.rows[0].taken, p.rows[0].right = s.compose(c), true, ""
			s.t.Gone("page head", p.rows[0].s)
			s.count["title"]++
			s.t.Float("title", cells, 1, s.count["title"])
			if p.at == 0 {
				p.at = s.step()
			}
		}
	case f.StartTitle == "all" || f.StartTitle == "first" && s.vol == 1:
		s.title()
		if f.StartBy {
			s.count["start by"]++
			s.byAuthor("by")
		}
		if f.Separators {
			s.put(s.middle(f.Rule, f.Width))
		}
		s.gap = s.d.Chance(60, "start gap")
	}
}

// endVolume closes a volume; last is told by the text at its end.
func (s *setter) endVolume(mid bool) {
	s.closing = true
	defer func() { s.closing = false }()
	flow := s.inFlow
	s.inFlow = false
	if s.f.NotePlace == "volume" {
		s.gathered("Notes")
	}
	words := s.endWords()
	last := s.vol == s.total && !mid
	if last && s.f.AlsoBy == "back" {
		s.kind = "notes"
		s.alsoBy()
	}
	if last && s.f.TheEnd != "volume" {
		words = map[string]string{"": "", "the end": "The End", "end of book": "End of Book"}[s.f.TheEnd]
	}
	if s.f.EndLine != "" && words != "" && (s.total > 1 || last) {
		s.endLine(words, last && s.f.TheEnd == "the end", last && s.f.TheEnd == "end of book")
	}
	s.finish()
	pages := s.vols[s.vol-1]
	s.nowPages[s.vol] = pagesOf(pages)
	s.inFlow = flow
	s.vols[s.vol-1] = pages
}

func pagesOf(pages []*sheet) string {
	text := 0
	for _, p := range pages {
		if p.kind == "text" || p.kind == "notes" {
			text++
		}
	}
	return fmt.Sprintf("i-%s and 1-%d", testkit.Roman(max(1, len(pages)-text)), text)
}

func (s *setter) endLine(print string, keep, free bool) {
	f := s.f
	cells := s.say(print)
	if f.EndLine == "brackets" {
		if f.Code.System == "ueb" {
			cells = "@.<" + cells + "@.>"
		} else {
			cells = ",7" + cells + "7'"
		}
	}
	switch w := strings.Fields(cells); {
	case keep && f.EndLine != "brackets":
		s.t.Float("the end", w, 1, 1)
	case keep || free:
		s.t.Float("end of book", w, 0, 1)
	default:
		s.t.Gone("end of volume", cells)
	}
	s.gap = false
	p := s.cur
	p.limit = max(p.limit, len(p.rows)-len(p.foot))
	if n := len(p.rows) - 1; (f.EndLine == "last" || f.EndLine == "brackets") && len(p.foot) == 0 {
		if p.rows[n].taken || p.rows[n].right != "" {
			n--
		}
		if n >= p.at && p.rows[n].s == "" {
			p.rows[n].s, p.at = s.middle(cells, f.Width), n+1
			return
		}
	}
	if r := &p.rows[p.last]; f.EndLine == "share" && r.right == "" && r.s != "" && len(r.s)+3+len(cells) <= f.Width && !r.taken {
		r.s += blanks(f.Width-len(r.s)-len(cells)) + cells
		return
	}
	s.gap = true
	s.put(s.middle(cells, f.Width))
}

// done makes the files and closes the truth.
func (s *setter) done(seed uint64) (*Book, error) {
	f := s.f
	s.t.Seed = seed
	s.turnsKnown()
	for key, n := range s.again { // an edition may keep them
		for _, x := range s.t.Floats {
			if strings.Join(x.Toks, " ") == key {
				n += x.Max
			}
		}
		s.t.Float("chapter goes on", strings.Fields(key), 0, n)
	}
	t := &testkit.Title{Lay: &testkit.Layout{Seed: seed, Width: f.Width, Height: f.Height, Volumes: len(s.vols), File: f.File}, Truth: s.t}
	b := &Book{Title: t, Features: f.features(), Free: s.free, Name: s.say(s.titleWords()), Author: s.say(s.author()), May: s.may}
	if f.Subtitle {
		b.Subtitle = s.say(s.book()[2])
	}
	b.TitleOpen = f.Author == "close" && f.StartTitle == "" && (f.TopM != "title" && f.BotM != "title" || f.HeadForm == "short" && s.book()[0] != s.book()[1] || len(b.Name) > f.Width-12)
	s.slip()
	for v, pages := range s.vols {
		var out [][][]byte
		for _, p := range pages {
			var page [][]byte
			for _, r := range p.rows {
				page = append(page, []byte(strings.TrimRight(r.s, " ")))
			}
			out = append(out, page)
		}
		s.t.Pages += len(out)
		t.Pages = append(t.Pages, out)
		raw := f.File.Encode(s.d.Dice, out, f.Width)
		name := fmt.Sprintf([]string{"vol%d.brf", "tale-%d.brf", "%d.brl", "Book V%02d.BRF", "b%03d.txt"}[s.d.N(5, "names")], v+1)
		if whole := f.File.Encoding == "ascii" && f.File.Padding == "" && f.File.Final == "feed" && f.File.Breaks == "after"; v == 1 && f.TwoInOne && whole {
			t.Files[0].Raw = bytes.Join([][]byte{t.Files[0].Raw, raw}, nil)
			continue
		}
		t.Files = append(t.Files, testkit.File{Name: name, Raw: raw})
	}
	s.t.Title = strings.Fields(b.Name)
	own, err := testkit.Translate(f.Code, []string{"Continuous braille edition"})
	if err != nil {
		return nil, err
	}
	o := string(own[0])
	b.Own = []string{o, strings.Replace(o, "edi;n", "$i;n", 1), strings.Replace(o, "edi,n", "$i,n", 1)}
	return b, nil
}

// turnsKnown keeps the turns that a mark or a head shows.
func (s *setter) turnsKnown() {
	var kept []testkit.WantTurn
	for _, t := range s.t.Turns {
		for _, x := range s.shown {
			if t.Marked {
				break
			}
			if x.label == t.Label && x.pos >= t.From {
				t.To, t.Marked = x.pos, true
				kept = append(kept, t)
				kept[len(kept)-1].Marked = false
				break
			}
		}
		if t.Marked && (len(kept) == 0 || kept[len(kept)-1].Label != t.Label) {
			kept = append(kept, t)
		}
		s.t.Optional[t.Label] = s.t.Optional[t.Label] || !t.Marked
	}
	s.t.Turns = kept
}

// slip spoils one page, as real volumes have it.
func (s *setter) slip() {
	pages := s.vols[s.d.N(len(s.vols), "slip volume")]
	p := pages[len(pages)/2+s.d.N(max(1, len(pages)/3), "slip page")]
	if p.kind != "text" || p.first || p.label == "" {
		return
	}
	for _, k := range []int{0, len(p.rows) - 1} {
		r := &p.rows[k]
		if !strings.HasSuffix(r.s, " "+p.label) && !strings.HasPrefix(r.s, p.label+" ") || !r.taken && r.right == "" {
			continue
		}
		switch s.f.Slips {
		case "no number":
			r.s = strings.TrimRight(strings.TrimSuffix(r.s, p.label), " ")
			if strings.HasPrefix(r.s, p.label+" ") {
				r.s = blanks(len(p.label)) + r.s[len(p.label):]
			}
		case "wrong number":
			if strings.HasSuffix(r.s, p.label) {
				r.s = r.s[:len(r.s)-1] + string("abcdefghij"[s.d.N(10, "wrong")])
			}
		case "misprint":
			if c := strings.TrimSpace(strings.TrimSuffix(r.s, p.label)); r.taken && len(c) > 5 && !strings.Contains(c, "#") {
				at := strings.Index(r.s, c) + len(c)/2
				r.s = r.s[:at] + string("=/9%&("[s.d.N(6, "misprint")]) + r.s[at+1:]
			}
		}
		s.t.Gone("page head", r.s)
	}
	if last := len(p.rows) - 1; s.f.Slips == "long page" {
		p.rows = append(p.rows, row{})
	} else if s.f.Slips == "short page" && p.rows[last].s == "" {
		p.rows = p.rows[:last]
	}
}
