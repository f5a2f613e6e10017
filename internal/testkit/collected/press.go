package collected

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"

	"continuo/internal/testkit"
)

// Title is a title as pressed, with what else is to be compared.
type Title struct {
	*testkit.Title
	Marks Marks
	Genre string
	Own   []string
}

// place is where a heading came to stand.
type place struct {
	vol          int
	braille, prt string
	level        int
	words        []string
}

// book is a title before it is set.
type book struct {
	title, author string
	pieces        []piece
	cells         map[string]string
	code          testkit.Code
	err           error
}

// say is the cells of a wording.
func (b *book) say(s string) string {
	if s == "" {
		return ""
	}
	if c, ok := b.cells[s]; ok {
		return c
	}
	out, err := testkit.Translate(b.code, []string{s})
	if err != nil {
		b.err = err
		return "?"
	}
	b.cells[s] = string(out[0])
	return b.cells[s]
}

var sources = struct {
	sync.Mutex
	s *source
}{}

func sourceOf(texts []testkit.Text) (*source, error) {
	sources.Lock()
	defer sources.Unlock()
	if sources.s == nil {
		s, err := newSource(texts)
		if err != nil {
			return nil, err
		}
		sources.s = s
	}
	return sources.s, nil
}

// Press sets the title of a seed.
func Press(seed uint64, texts []testkit.Text) (*Title, error) { return press(seed, texts, false) }

// PressOtherGrade sets the same book in the other grade of its code.
func PressOtherGrade(seed uint64, texts []testkit.Text) (*Title, error) {
	return press(seed, texts, true)
}

// unfit is what a word that does not fit a line ends a press with.
var unfit = errors.New("a word does not fit a line")

func press(seed uint64, texts []testkit.Text, other bool) (title *Title, err error) {
	defer func() {
		if r := recover(); r != nil {
			if r != unfit {
				panic(r)
			}
			err = unfit
		}
	}()
	src, err := sourceOf(texts)
	if err != nil {
		return nil, err
	}
	d := testkit.Dice(seed ^ 0xc011ec7ed)
	h := draw(d)
	g := genres[d.N(len(genres), "genre")]
	m := &maker{d: d, h: h, src: src, used: map[string]bool{}, v: d.N(len(src.verse), "v"), p: d.N(len(src.prose), "p")}
	want := h.Volumes * h.Each * (h.H - 2) * h.W * 6 / 10
	if h.Code.Contracted {
		want = want * 13 / 10
	}
	if other {
		h.Code.Contracted = !h.Code.Contracted
	}
	b := &book{code: h.Code, title: m.name()}
	b.author = m.person()
	g.make(m, want)
	b.pieces = m.out
	if err := b.translate(h); err != nil {
		return nil, err
	}
	var s, last *setter
	for range 5 {
		s = &setter{h: h, d: d, say: b.say, title: b.say(b.title)}
		s.set(b, last)
		if last != nil && slices.EqualFunc(s.places, last.places, same) && len(s.vols) == len(last.vols) {
			break
		}
		last = s
	}
	if b.err != nil {
		return nil, b.err
	}
	return s.finish(seed, g.name, b)
}

func same(a, b place) bool { return a.vol == b.vol && a.braille == b.braille && a.prt == b.prt }

// translate puts all pieces into braille at once.
func (b *book) translate(h *House) error {
	seen := map[string]bool{}
	var all []string
	add := func(s string) {
		if s != "" && !seen[s] {
			seen[s] = true
			all = append(all, s)
		}
	}
	for _, p := range b.pieces {
		for _, l := range p.lines {
			if p.kind == kHead && h.Caps[p.level-1] {
				l = strings.ToUpper(l)
			}
			for _, c := range strings.Split(l, "\t") {
				add(c)
			}
			if p.kind == kHead {
				add(p.lines[len(p.lines)-1])
			}
		}
		add(p.head)
		for _, x := range []string{"", ".", ":"} {
			if p.name != "" {
				add(p.name + x)
				add(strings.ToUpper(p.name) + x)
			}
		}
	}
	for _, s := range phrases {
		add(s)
	}
	for n := 1; n < 10; n++ {
		for _, s := range append(statement(h.Statement, n, n), ending(max(h.End, 0), n)) {
			add(s)
		}
		add("Volume " + word(n))
		add("In " + word(n) + " Volumes")
	}
	out, err := testkit.Translate(b.code, all)
	if err != nil {
		return err
	}
	b.cells = map[string]string{}
	for i, s := range all {
		b.cells[s] = string(out[i])
	}
	return nil
}

// set sets all volumes; last is the setting before, which tells the numbers.
func (s *setter) set(b *book, last *setter) {
	s.t = testkit.NewTruth(&testkit.Layout{Code: s.h.Code})
	s.print = 1
	s.turn = s.d.Between(120, 380, "first print page")
	s.t.Optional[testkit.Number(1)] = true
	s.begin(b, last)
	text := 0
	for i := range b.pieces {
		p := &b.pieces[i]
		if v := s.h.Volumes; len(s.vols) < v && s.cut(b, i, text) {
			s.end(b, false, last)
			s.begin(b, last)
			text = 0
			s.again(b, i)
		}
		var next *piece
		if i+1 < len(b.pieces) {
			next = &b.pieces[i+1]
		}
		if i > 0 && p.kind == kHead && s.body() > 0 {
			s.rules(p)
		}
		s.setPiece(p, next)
		text = len(s.vols[len(s.vols)-1])
	}
	s.rules(&piece{kind: kHead, level: 1})
	s.end(b, true, last)
}

func (s *setter) rules(p *piece) {
	if p.level == 1 {
		s.ruled(s.h.Rule)
	} else if p.piece && s.h.PieceRule && p.level > 1 {
		s.ruled(s.h.Rule)
	}
}

// cut reports whether a volume ends before a piece.
func (s *setter) cut(b *book, i, pages int) bool {
	p := b.pieces[i]
	if pages < s.h.Each || b.pieces[i-1].kind == kHead {
		return false
	}
	switch {
	case pages > s.h.Each+14:
		return p.kind == kHead || p.kind == kPara
	case s.h.Cut == "part":
		return p.kind == kHead && p.level == 1
	case s.h.Cut == "piece":
		return p.kind == kHead && p.level < 3
	}
	return p.kind == kHead || p.kind == kPara || p.kind == kStanza
}

// again repeats the heading of a piece that a volume cuts apart.
func (s *setter) again(b *book, i int) {
	if !s.h.Over || b.pieces[i].kind == kHead {
		return
	}
	for k := i - 1; k >= 0; k-- {
		if p := b.pieces[k]; p.kind == kHead {
			for _, l := range p.lines {
				if s.h.Caps[p.level-1] {
					l = strings.ToUpper(l)
				}
				c := s.say(l)
				for _, line := range wrap(strings.Fields(c), s.h.W-8) {
					s.t.Float("heading again", strings.Fields(line), 0, 1)
					s.put(s.centre(line))
				}
			}
			c := s.say("(continued)")
			s.t.Float("heading again", strings.Fields(c), 0, s.h.Volumes)
			s.put(s.centre(c))
			s.blank(1)
			return
		}
	}
}

// begin begins a volume: its front matter and the first page of its text.
func (s *setter) begin(b *book, last *setter) {
	s.vols = append(s.vols, nil)
	s.pre = 0
	if !s.h.RunOn || len(s.vols) == 1 {
		s.num = 0
	}
	if s.h.Other && len(s.vols) == 2 {
		s.otherHand()
	}
	s.front(b, last)
	s.kind = "text"
	if n := len(s.vols[len(s.vols)-1]); s.h.OddStart && n%2 == 1 {
		s.kind = "blank"
		s.newPage()
		s.kind = "text"
	}
	s.newPage()
	if s.h.First == "same" && s.cur.head != "" { // a head and the title over the text look alike
		s.t.Float("title", strings.Fields(s.title), 1, 2)
	}
	if s.h.First == "title" {
		if len(s.vols) == 1 {
			s.t.Float("title", strings.Fields(s.title), 1, 2)
		}
		for _, l := range wrap(strings.Fields(s.title), s.h.W-8) {
			s.put(s.centre(l))
		}
		if s.h.Rule != "" {
			s.put(s.centre(s.h.Rule))
		} else {
			s.cur.at++
		}
	}
}

// otherHand changes the habits that differ between transcribers of one house.
func (s *setter) otherHand() {
	h := *s.h
	for i := range h.After {
		h.After[i] = 1 - min(1, h.After[i])
	}
	h.Before[0] = 3 - h.Before[0]
	h.Share = h.Share && s.d.Chance(50, "other share")
	h.KeepTop, h.KeepStanza = !h.KeepTop, !h.KeepStanza
	h.Item[1] = 6 - h.Item[1]
	s.h = &h
}

// end ends a volume.
func (s *setter) end(b *book, book bool, last *setter) {
	h := s.h
	line, kind := "", "end of volume"
	if !book && h.End >= 0 {
		line = ending(h.End, len(s.vols))
	} else if book && h.Fin >= 0 {
		line, kind = []string{"The End", "THE END", "End of Book", "Finis"}[h.Fin], "end of book"
	}
	if line == "" {
		return
	}
	c := s.say(line)
	if h.Code.System == "ueb" && h.Name[:2] == "na" {
		c = "@.<" + c + "@.>"
	}
	if len(c) > h.W-14 {
		return
	}
	switch {
	case !book:
		s.t.Gone(kind, c)
	case strings.HasPrefix(c, "@"):
		s.t.Float(kind, strings.Fields(c), 0, 1)
	default:
		s.t.Float(kind, strings.Fields(c), 1, 1)
	}
	s.want = false
	if s.cur.last-s.cur.at < 3 {
		s.newPage()
	}
	if s.d.Chance(50, "end at the foot") && s.cur.corner[s.cur.last-1] == "" {
		s.cur.rows[s.cur.last-1] = s.centre(c)
		return
	}
	s.cur.at++
	s.put(s.centre(c))
}

// finish makes the files.
func (s *setter) finish(seed uint64, genre string, b *book) (*Title, error) {
	h, t := s.h, s.t
	var kept []testkit.WantTurn
	for _, w := range t.Turns {
		if w.From >= 0 && w.From < s.body() {
			kept = append(kept, w)
		}
		t.Optional[w.Label] = true
	}
	t.Turns = kept
	for _, i := range s.open { // no head came after them
		t.Turns = slices.DeleteFunc(t.Turns, func(w testkit.WantTurn) bool { return w.Label == testkit.Number(s.print) && !w.Marked && i >= 0 })
	}
	lay := &testkit.Layout{Seed: seed, Code: h.Code, Width: h.W, Height: h.H}
	lay.File = testkit.DrawFile(s.d, lay)
	out := &testkit.Title{Lay: lay, Truth: t}
	t.Seed, t.Features, t.Volumes = seed, append(h.features(genre), "file="+lay.File.Breaks, "trim="+fmt.Sprint(lay.File.Trim), "enc="+lay.File.Encoding), len(s.vols)
	for v, pages := range s.vols {
		var bytes [][][]byte
		for k, p := range pages {
			var rows [][]byte
			for i, r := range p.rows {
				if c := p.corner[i]; c != "" {
					r += blanks(h.W-len(r)-len(c)) + c
				}
				rows = append(rows, []byte(strings.TrimRight(r, " ")))
			}
			bytes = append(bytes, s.slip(rows, p, v, k, lay.File.Breaks == "none"))
			t.Pages++
		}
		out.Pages = append(out.Pages, bytes)
		out.Files = append(out.Files, testkit.File{Name: fileName(s.d, v+1), Raw: lay.File.Encode(s.d, bytes, h.W)})
	}
	own := b.say("Continuous braille edition")
	mine := []string{own, strings.Replace(own, "edi;n", "$i;n", 1), strings.Replace(own, "edi,n", "$i,n", 1)}
	for _, p := range s.places { // the name of a book may stand before the numbers of its chapters
		if p.level == 1 {
			mine = append(mine, strings.Join(p.words, " "))
		}
	}
	return &Title{out, s.marks, genre, mine}, b.err
}

// slip sets one page of the title as it ought not to be.
func (s *setter) slip(rows [][]byte, p *page, v, k int, plain bool) [][]byte {
	h, pages := s.h, s.vols[v]
	if h.Slip == "" || v != s.d.N(len(s.vols), "slip volume") || k != len(pages)/3+s.d.N(max(1, len(pages)/2), "slip page") || p.kind != "text" || p.first || k+2 >= len(pages) {
		return rows
	}
	row := h.H - 1
	if h.Num == "top" {
		row = 0
	}
	line := string(rows[row])
	switch h.Slip {
	case "no number":
		if row == 0 && strings.HasSuffix(line, p.num) && p.num != "" {
			line = strings.TrimRight(strings.TrimSuffix(line, p.num), " ")
		}
	case "wrong number":
		if p.num != "" && strings.HasSuffix(line, p.num) {
			line = line[:len(line)-1] + string("abcdefghij"[s.d.N(10, "wrong")])
		}
	case "misprint":
		if i := strings.Index(string(rows[0]), p.head); p.head != "" && i >= 0 && len(p.head) > 8 {
			x := rows[0]
			x[i+len(p.head)/2] = "etaoinsr"[s.d.N(8, "misprint")]
			s.t.Gone("page head", string(x))
			s.t.Gone("page head", string(x[i:i+len(p.head)]))
			return rows
		}
	case "no head":
		if p.headRow == 0 && h.Num != "top" && h.Print == "" {
			rows[0] = nil
		}
		return rows
	case "short page":
		if !plain && h.Num == "top" && len(rows[len(rows)-1]) == 0 {
			return rows[:len(rows)-1]
		}
		return rows
	case "long page":
		if !plain {
			return append(rows, nil)
		}
		return rows
	}
	rows[row] = []byte(line)
	if p.headRow == row {
		s.t.Gone("page head", line)
	}
	return rows
}
