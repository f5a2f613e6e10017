// Package reference is a second press, used by tests only. It sets invented
// books with apparatus (textbooks, histories, handbooks, dictionaries) as
// several houses would, and keeps the truth about them: contents lists, notes,
// indexes, glossaries and page turns of every form that the published layouts
// leave open. Nothing here knows how the converter works, and nothing of the
// setting is shared with the press of package testkit.
//
// Published sources of the layouts: Rules of Unified English Braille 2013;
// UKAAF, Guiding Principles for the Presentation of Braille 2016; BANA, Braille
// Formats 1997, 2011 and 2016; English Braille American Edition 1994; ICEB,
// recommendations on page numbering 2001. Where these are silent: common
// practice of braille houses.
package reference

import (
	"fmt"
	"slices"
	"strings"

	"continuo/internal/testkit"
)

// kind is what an element of a book is.
type kind int

const (
	heading kind = iota
	para
	item     // of a list, exercises, an index or a glossary
	entry    // of a dictionary
	tableRow // the words of a row's columns
	boxTop
	boxEnd
	gap     // a blank line
	remark  // of the transcriber
	newPage // what follows begins a page
)

// word is a word of the text in cells.
type word struct {
	cells string
	note  int   // of the note that stands behind it, from 1; 0 for none
	turn  *turn // a print page that begins before it
}

type turn struct{ label string }

// note is a note: its paragraphs, in print and in cells.
type note struct {
	paras []string
	cells [][]string
}

// elem is an element of a book.
type elem struct {
	kind   kind
	level  int      // of a heading: 0 part, 1 chapter, 2 section; of an item, its depth
	print  []string // lines of a heading, the text of anything else
	words  [][]word
	list   string // wording in the contents
	over   string // label on a line of its own over the contents entry
	short  string // as a running head
	term   string // headword of an entry, print; its cells begin the words
	front  bool   // before the numbered text
	matter bool   // a preface, an index: of no level where the book has parts
	listed bool

	name string // over its notes

	listCells, overCells, shortCells, termCells, nameCells string
}

// book is a book in braille, before it is set.
type book struct {
	d      testkit.Dice
	h      *house
	title  []string
	author string
	elems  []*elem
	notes  []*note
	kind   string
	topic  string
	used   map[string]bool
	text   []string // paragraphs of an open text
	at     int

	say []saying

	lettered, letterOf int // last letter of a print page, and of which
}

// saying is print that is to be put into cells.
type saying struct {
	print string
	plain bool // uncontracted
	into  *string
}

var (
	topics     = strings.Split("Lighthouses Rivers Bees Clocks Glass Wool Bridges Maps Salt Kites Harbours Gardens Bells Canals Ropes Lenses Weather Roads Trees Tides", " ")
	adjectives = strings.Split("Early Hidden Northern Common Lost Great Small Wooden Silent Modern Public Narrow Golden Distant Useful Broken", " ")
	nouns      = strings.Split("Workshop Market Voyage Season Tool Letter Journey Engine Kitchen Orchard Signal Island Measure Pattern Winter Valley Custom Trade Bargain Machine", " ")
	places     = strings.Split("Arden Belmore Corran Dunholm Elswick Farrow Glenroy Harwood Inver Kestle Lorne Marsk Norby Ostry", " ")
	people     = strings.Split("Orla Penn,Tobias Quill,Maud Ferrier,Silas Wren,Ines Holloway,Edgar Thorne,Nell Ashby,Rufus Vane", ",")
)

func pick[T any](d testkit.Dice, list []T, parts ...any) T { return list[d.N(len(list), parts...)] }

// newBook makes a book of an open text for a house.
func newBook(seed uint64, h *house, texts []testkit.Text) (*book, error) {
	b := &book{d: testkit.Dice(seed*7919 + 17), h: h, used: map[string]bool{}}
	b.source(texts)
	b.topic = pick(b.d, topics, "topic")
	b.kind = pick(b.d, []string{"textbook", "textbook", "history", "history", "handbook", "handbook", "guide", "guide", "encyclopaedia", "dictionary"}, "book kind")
	b.title = strings.Split(fmt.Sprintf(pick(b.d, map[string][]string{
		"textbook":      {"%s: A First Course", "Understanding %s", "%s|A Textbook for the Middle Years", "The Science of %s"},
		"history":       {"A Short History of %s", "%s and the People Who Made Them", "The Story of %s|From the Earliest Times"},
		"handbook":      {"The Handbook of %s", "%s: A Practical Handbook", "The Keeper of %s|A Handbook"},
		"guide":         {"A Guide to %s", "%s for Beginners", "Discovering %s|A Guide in Easy Stages"},
		"encyclopaedia": {"The Encyclopaedia of %s", "%s from A to Z"},
		"dictionary":    {"A Dictionary of %s", "The Pocket Dictionary|of %s"},
	}[b.kind], "title"), b.topic), "|")
	b.author = pick(b.d, people, "author")
	if b.kind == "dictionary" || b.kind == "encyclopaedia" {
		if err := b.dictionary(); err != nil {
			return nil, err
		}
	} else {
		b.chapters()
	}
	b.back()
	if err := b.braille(); err != nil {
		return nil, err
	}
	b.markNotes()
	b.turns()
	return b, nil
}

// source takes the paragraphs of an open text from a place in it.
func (b *book) source(texts []testkit.Text) {
	t := texts[b.d.N(len(texts), "text")]
	for _, u := range t.Units {
		if u.Kind == testkit.Para && len(u.Lines[0]) > 60 && len(u.Lines[0]) < 800 {
			b.text = append(b.text, u.Lines[0])
		}
	}
	if len(b.text) < 150 {
		b.source(slices.DeleteFunc(slices.Clone(texts), func(o testkit.Text) bool { return o.Name == t.Name }))
		return
	}
	b.at = b.d.N(len(b.text), "from")
}

func (b *book) paragraph() string {
	b.at++
	return b.text[b.at%len(b.text)]
}

// sentence is a sentence of the text, at least 20 and at most 150 letters.
func (b *book) sentence() string {
	for range 400 {
		s, _, _ := strings.Cut(b.paragraph(), ". ")
		s = strings.TrimLeft(strings.NewReplacer("—“ ", "—", "—” ", "—", "“", "", "”", "").Replace(s), "0123456789 ") // at a line end nobody tells a dash with a blank after it from one without
		if s = strings.TrimSuffix(s, "."); len(s) > 20 && len(s) < 150 && !strings.HasSuffix(s, "—") {
			return s + "."
		}
	}
	return "No more is known of this."
}

// phrase is a few words of the text, as a list has them.
func (b *book) phrase(from, to int, parts ...any) string {
	w := strings.Fields(b.sentence())
	n := min(len(w), b.d.Between(from, to, parts...))
	return strings.Trim(strings.NewReplacer("(", "", ")", "", ";", "", ":", "").Replace(strings.Join(w[:n], " ")), ",.;:—-'!?")
}

// heading invents the words of a heading that the book has not yet.
func (b *book) heading(parts ...any) string {
	for k := 0; ; k++ {
		at := append([]any{"heading", k}, parts...)
		n, m, a, p := pick(b.d, nouns, append(at, "n")...), pick(b.d, nouns, append(at, "m")...), pick(b.d, adjectives, append(at, "a")...), pick(b.d, places, append(at, "p")...)
		s := pick(b.d, []string{
			"The " + a + " " + n, n + " and " + m, "How the " + n + " Came to " + p, "From " + p + " to the " + a + " " + n, a + " " + b.topic, p,
			"The " + n + ": What It Is and What It Is Not", "What the " + n + " Taught " + p, "Of the Manner in Which the " + a + " " + n + " Was Carried to " + p + " and What Became of It There",
			b.topic + " of " + p, "Why " + b.topic + " Matter", "A Note on the " + n, "The " + n + " in " + p + " Before and After the " + a + " " + m,
		}, append(at, "form")...)
		if n != m && !b.used[s] {
			b.used[s] = true
			return s
		}
	}
}

func (b *book) add(k kind, level int, print ...string) *elem {
	e := &elem{kind: k, level: level, print: print}
	b.elems = append(b.elems, e)
	return e
}

// titled adds a heading with its number and title, as the house words it and
// as its contents list does.
func (b *book) titled(level int, word string, n int, title string) *elem {
	h, number := b.h, fmt.Sprint(n)
	if word == "Appendix" {
		number = string(rune('A' + n - 1))
	} else if h.ordinal == "word" {
		number = []string{"", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten", "Eleven", "Twelve"}[n]
	} else if h.ordinal == "roman" && word != "Section" {
		number = strings.ToUpper(testkit.Roman(n))
	}
	label := word + " " + number
	var lines []string
	switch {
	case word == "" || h.headForm == "title" && word == "Chapter":
		lines, label = []string{title}, ""
	case h.headForm == "figure" && word == "Chapter":
		label = number
		if h.ordinal == "figure" {
			label += "."
		}
		lines = []string{label + " " + title}
	case h.headForm == "run":
		lines = []string{label + ": " + title}
	default:
		lines = []string{label, title}
	}
	if h.headCaps && level < 2 {
		for i := range lines {
			lines[i] = strings.ToUpper(lines[i])
		}
	}
	e := b.add(heading, level, lines...)
	e.short, e.matter = title, word == "" || word == "Appendix"
	if e.name = word + " " + number; word == "" || h.headForm == "title" {
		e.name = title
	}
	b.wording(e, label, number, title)
	return e
}

// wording is how the contents list words a heading.
func (b *book) wording(e *elem, label, number, title string) {
	h := b.h
	if h.entryShort {
		title, _, _ = strings.Cut(title, ":")
	}
	if h.entryPlain { // other capitals than the heading has
		f := strings.Fields(title)
		for i := 1; i < len(f); i++ {
			if !slices.Contains(places, f[i]) && f[i] != b.topic {
				f[i] = strings.ToLower(f[i])
			}
		}
		title = strings.Join(f, " ")
	}
	e.list = title
	if label == "" {
		return
	}
	switch h.entryLabel {
	case "with":
		e.list = label + " " + title
		if h.headForm == "run" {
			e.list = label + ": " + title
		}
	case "number":
		e.list = number + " " + title
	case "stop":
		e.list = number + ". " + title
	case "above":
		e.over = label
	}
}

// chapters fills the book with prefatory matter and chapters.
func (b *book) chapters() {
	d := b.d
	if d.Chance(60, "preface") {
		for i, name := range pick(d, [][]string{{"Preface"}, {"Introduction"}, {"Foreword", "Acknowledgements"}, {"Preface", "How to Use This Book"}, {"Preface to the Second Edition", "Preface"}}, "front") {
			e := b.titled(1, "", 0, name)
			e.front = true
			b.prose(d.Between(2, 5, "front paras", i), "front", i)
		}
	}
	n := d.Between(4, 10, "chapters")
	parts := d.Chance(30, "parts")
	part := 0
	for c := 1; c <= n; c++ {
		if parts && (c == 1 || c == n/2+1) {
			part++
			e := b.titled(0, "Part", part, b.heading("part", c))
			if b.h.partBare {
				e.print, e.over = e.print[len(e.print)-1:], ""
				e.list = e.short
			}
		}
		b.titled(1, "Chapter", c, b.heading("chapter", c))
		if d.Chance(15, "remark", c) {
			b.add(remark, 0, pick(d, []string{"The pictures in this chapter are left out.", "Figures are described where they are first named.", "Print has the words below in a box of two colours."}, "remark", c))
		}
		sections := 0
		if b.kind != "history" || d.Chance(40, "history sections") {
			sections = d.Between(0, 4, "sections", c)
		}
		b.prose(d.Between(2, 6, "paras", c), c)
		for s := 1; s <= sections; s++ {
			title := b.heading("section", c, s)
			if b.h.sectionNumbers {
				e := b.add(heading, 2, fmt.Sprintf("%d.%d %s", c, s, title))
				e.short, e.list = title, e.print[0]
			} else {
				e := b.add(heading, 2, title)
				e.short, e.list = title, title
			}
			b.prose(d.Between(1, 4, "paras", c, s), c, s)
			b.display(c, s)
		}
		b.display(c, 0)
	}
}

// prose adds paragraphs.
func (b *book) prose(n int, parts ...any) {
	for i := range n {
		p := b.paragraph()
		if b.h.block { // where a page cuts block paragraphs apart, a dash at the end might join
			p = strings.TrimRight(p, "—")
		}
		if b.d.Chance(6, append(parts, "cross", i)...) && !strings.HasSuffix(p, "—") {
			p += " " + fmt.Sprintf(pick(b.d, []string{"See page %d.", "This is told on pages %d and 140.", "Compare page %d above."}, append(parts, "form", i)...), b.d.Between(2, 90, append(parts, "page", i)...))
		}
		b.add(para, 0, p)
	}
}

// display adds a list, exercises, a table or a box by chance.
func (b *book) display(parts ...any) {
	d := b.d
	at := func(s string, more ...any) []any { return append(append(slices.Clone(parts), s), more...) }
	switch pick(d, []string{"", "", "list", "numbers", "exercises", "table", "box"}, at("display")...) {
	case "list", "numbers":
		b.add(gap, 0)
		for i := range d.Between(3, 8, at("items")...) {
			s := b.phrase(3, 16, at("phrase", i)...)
			if d.Chance(50, at("numbered")...) {
				s = fmt.Sprintf("%d. %s", i+1, s)
			}
			b.add(item, 0, s)
		}
		b.add(gap, 0)
	case "exercises":
		if b.kind != "textbook" {
			return
		}
		e := b.add(heading, 2, pick(d, []string{"Exercises", "Questions", "Things to Do"}, "exercises")+fmt.Sprint(" ", parts[0], ".", parts[1]))
		e.short, e.list = e.print[0], e.print[0]
		for i := range d.Between(3, 7, at("items")...) {
			b.add(item, 0, fmt.Sprintf("%d. %s", i+1, b.sentence()))
			for k := range d.N(4, at("subs", i)...) {
				b.add(item, 1, fmt.Sprintf("(%c) %s", 'a'+k, b.phrase(2, 7, at("sub", i, k)...)))
			}
		}
		b.add(gap, 0)
	case "table":
		b.table(parts...)
	case "box":
		b.add(boxTop, 0)
		b.prose(d.Between(1, 2, at("box")...), at("box text")...)
		b.add(boxEnd, 0)
	}
}

// table adds a small table of three columns.
func (b *book) table(parts ...any) {
	b.add(gap, 0)
	b.add(tableRow, 1, strings.Fields(pick(b.d, []string{"Place Day Price", "Name Height Built", "Town Lamps Bells"}, append(parts, "heads")...))...)
	for i := range b.d.Between(3, 7, append(parts, "rows")...) {
		at := append(slices.Clone(parts), "row", i)
		b.add(tableRow, 0, places[(i*3+b.d.N(3, at...))%len(places)], fmt.Sprint(b.d.Between(3, 98, append(at, 1)...)), fmt.Sprint(b.d.Between(100, 999, append(at, 2)...)))
	}
	b.add(gap, 0)
}

// dictionary fills the book with entries of an open dictionary under letters.
func (b *book) dictionary() error {
	terms, err := testkit.Terms()
	if err != nil {
		return err
	}
	d := b.d
	if d.Chance(60, "preface") {
		e := b.titled(1, "", 0, pick(d, []string{"Preface", "How to Use This Dictionary", "Introduction"}, "front"))
		e.front = true
		b.prose(d.Between(2, 4, "front paras"), "front")
	}
	letters := d.Between(2, 4, "letters")
	first := d.N(22, "first letter")
	for k := range letters {
		c := string(rune('a' + first + k))
		if b.h.letters != "none" {
			e := b.add(heading, 1, strings.ToUpper(c))
			e.short, e.list = e.print[0], e.print[0]
		}
		var of []testkit.Term
		for _, t := range terms {
			if strings.HasPrefix(t.Word, c) && len(t.Word) < 20 && !strings.Contains(t.Word, "'") {
				of = append(of, t)
			}
		}
		at, prev := d.N(max(1, len(of)-900), "entries", k), ""
		count := 0
		for n := d.Between(50, 110, "count", k); count < n && at < len(of); at += 1 + d.N(7, "step", k, at) {
			if t := of[at]; t.Word != prev && len(t.Senses) > 0 {
				b.term(t)
				prev = t.Word
				count++
			}
		}
	}
	return nil
}

// term adds an entry: headword, senses, sub-entries, in an encyclopaedia a text.
func (b *book) term(t testkit.Term) {
	head := t.Word
	if b.h.termCaps {
		head = strings.ToUpper(head[:1]) + head[1:]
	}
	e := b.add(entry, 0)
	e.term = head
	text := strings.Join(t.Senses, "; ")
	if b.h.senses && len(t.Senses) > 1 {
		text = ""
		for i, s := range t.Senses {
			text += fmt.Sprintf("%d. %s; ", i+1, s)
		}
		text = strings.TrimSuffix(text, "; ")
	}
	if b.kind == "encyclopaedia" {
		text += ". " + b.sentence()
		if b.d.Chance(30, "long", t.Word) {
			text += " " + b.paragraph()
		}
	}
	e.print = []string{text}
	if b.h.subEntries && b.d.Chance(12, "sub", t.Word) {
		b.add(item, 1, t.Word+" "+strings.ToLower(pick(b.d, nouns, "sub", t.Word))+": "+b.phrase(3, 9, "subtext", t.Word))
	}
}

// back adds appendixes, a glossary and an index.
func (b *book) back() {
	d := b.d
	if b.kind == "dictionary" || b.kind == "encyclopaedia" {
		if d.Chance(30, "appendix") {
			b.titled(1, "Appendix", 1, b.heading("appendix"))
			b.table("appendix")
			b.prose(3, "appendix")
		}
		return
	}
	if d.Chance(45, "appendix") {
		for i := range d.Between(1, 3, "appendixes") {
			b.titled(1, "Appendix", i+1, b.heading("appendix", i))
			b.prose(d.Between(1, 4, "appendix paras", i), "appendix", i)
			b.display("appendix", i)
		}
	}
	if d.Chance(40, "glossary") {
		b.titled(1, "", 0, "Glossary")
		seen := map[string]bool{}
		var list []string
		for i := range d.Between(8, 24, "glossary words") {
			w := strings.ToLower(pick(d, nouns, "gloss", i)) + []string{"", " rope", " house", " maker"}[d.N(4, "gloss form", i)]
			if !seen[w] {
				seen[w] = true
				list = append(list, w)
			}
		}
		slices.Sort(list)
		for i, w := range list {
			b.add(item, 0, w+pick(d, []string{": ", ", ", " - "}[:2], "gloss sep")+b.phrase(4, 14, "gloss text", i))
		}
	}
	if d.Chance(30, "reading") {
		b.titled(1, "", 0, pick(d, []string{"Further Reading", "Bibliography", "Books to Read"}, "reading"))
		for i := range d.Between(5, 12, "reading") {
			b.add(item, 0, fmt.Sprintf("%s, %s. %s, %d.", strings.Fields(pick(d, people, "who", i))[1], pick(d, people, "first", i)[:1], b.heading("reading", i), d.Between(1890, 1999, "year", i)))
		}
	}
	if d.Chance(65, "index") {
		b.index()
	}
}

// index adds an index with letters, sub-entries and references to others.
func (b *book) index() {
	d := b.d
	b.titled(1, "", 0, pick(d, []string{"Index", "General Index", "Index"}, "index name"))
	var list []string
	for _, e := range nouns {
		list = append(list, strings.ToLower(e))
	}
	list = append(append(list, places...), strings.ToLower(b.topic))
	slices.SortFunc(list, func(x, y string) int { return strings.Compare(strings.ToLower(x), strings.ToLower(y)) })
	last := byte(0)
	for i, w := range list {
		if d.Chance(25, "left", i) {
			continue
		}
		if c := strings.ToUpper(w)[0]; c != last {
			last = c
			switch b.h.indexLetters {
			case "heading":
				e := b.add(heading, 3, string(rune(c)))
				e.short = e.print[0]
			case "blank":
				b.add(gap, 0)
			}
		}
		at := func() string {
			n := d.Between(1, 190, "page", i, b.at)
			b.at++
			if d.Chance(25, "range", i) {
				return fmt.Sprintf("%d-%d", n, n+d.Between(1, 9, "to", i))
			}
			return fmt.Sprint(n)
		}
		s := w
		switch {
		case d.Chance(10, "see", i):
			s += ", see " + pick(d, []string{"also ", ""}, "also", i) + pick(d, nouns, "see", i)
		case d.Chance(30, "no pages", i):
		default:
			s += ", " + at()
			for range d.N(4, "more", i) {
				s += ", " + at()
			}
		}
		e := b.add(item, 0, s)
		e.short = w
		for k := range d.N(4, "subs", i) {
			b.add(item, 1, strings.ToLower(pick(d, adjectives, "sub", i, k))+" "+pick(d, []string{"kinds", "uses", "history", "in the north", "and how they are kept"}, "sub form", i, k)+", "+at())
		}
	}
}
