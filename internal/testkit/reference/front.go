package reference

import (
	"fmt"
	"strings"

	"continuo/internal/testkit"
)

// counts is how many pages of each kind a volume has before its text.
type counts struct{ pre, list, front int }

// number gives the number of page i of a kind in the volume at hand, and its
// label.
func (p *press) number(kind string, i int) (int, string) {
	h, v := p.h, p.vol()-1
	var c counts
	if v < len(p.fronts) {
		c = p.fronts[v]
	}
	n := i + 1
	switch kind {
	case "title":
		return 1, ""
	case "list":
		if n += c.pre; h.listAt == "preface" {
			n += c.front
		}
	case "front":
		if n += c.pre; h.listAt != "preface" {
			n += c.list
		}
	case "text", "notes", "back":
		n = i + 1 - p.frontPages
		if h.prelims == "counted" {
			n += c.pre + c.list + p.frontPages
		}
		if h.runOn {
			for k, o := range p.vols[:v] {
				n += len(o.text) - o.front
				if h.prelims == "counted" && k < len(p.fronts) {
					n += p.fronts[k].pre + p.fronts[k].list + o.front
				}
			}
		}
		return n, testkit.Number(n)
	}
	switch h.prelims {
	case "roman":
		if s := testkit.Roman(n); h.code.System != "ueb" || len(s) == 1 {
			return n, ";" + s
		} else {
			return n, s
		}
	case "p":
		return n, "p" + testkit.Number(n)
	case "none":
		return n, ""
	}
	if h.runOn {
		for k, o := range p.vols[:v] {
			if k < len(p.fronts) {
				n += p.fronts[k].pre + p.fronts[k].list + len(o.text)
			}
		}
	}
	return n, testkit.Number(n)
}

var numberWords = strings.Fields("zero one two three four five six seven eight nine")

func title(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// statement words the volume statement: of how many, and which.
func (h *house) statement2(v, n int) []string {
	of := "In " + title(numberWords[n]) + " Volumes"
	if n == 1 {
		of = "In One Volume"
	}
	switch h.statement {
	case "word":
		return []string{of, "Volume " + title(numberWords[v])}
	case "figure":
		return []string{strings.Replace(of, title(numberWords[n]), fmt.Sprint(n), 1), fmt.Sprint("Volume ", v)}
	case "roman":
		return []string{of, "Volume " + strings.ToUpper(testkit.Roman(v))}
	case "of":
		return []string{fmt.Sprintf("Volume %d of %d", v, n)}
	}
	return []string{fmt.Sprintf("Volume %s of %s", title(numberWords[v]), title(numberWords[n]))}
}

// wordings is the print of everything that is no text of the book.
func (p *press) wordings(n int) map[string]string {
	b, h := p.b, p.h
	of := func(v int) string {
		switch h.statement {
		case "word", "of word":
			return title(numberWords[v])
		case "roman":
			return strings.ToUpper(testkit.Roman(v))
		}
		return fmt.Sprint(v)
	}
	m := map[string]string{
		"title": b.title[0], "author": b.author, "by": "by", "notes": h.noteHeading, "notes to": title(strings.ToLower(h.noteHeading)) + " to", "notes to pages": "Notes to Pages",
		"continued": pick(p.d, []string{"(continued)", "(cont.)"}, "continued"), "the end": pick(p.d, []string{"The End", "End of the Book", "THE END"}, "the end"),
		"contents": h.listNames, "general": pick(p.d, []string{"General Contents", "Contents of All Volumes"}, "general"), "cont": h.listNames + pick(p.d, []string{" (continued)", " (cont.)"}, "continued"),
		"page": "Page", "braille page": "Braille Page", "print page": "Print Page", "print": "Print", "braille": "Braille", "chapter word": "Chapter", "divided": "The braille edition is divided as follows:",
		"own": "Continuous braille edition",
	}
	for i, s := range b.title {
		m[fmt.Sprint("title", i)] = s
	}
	for v := 1; v <= n; v++ {
		m[mapEnd(v)], m[mapNext(v)] = "End of Volume "+of(v), "Continued in Volume "+of(v)
		m[fmt.Sprint("volume", v)] = "Volume " + of(v)
		for i, s := range h.statement2(v, n) {
			m[fmt.Sprint("statement", v, i)] = s
		}
	}
	for i, s := range p.imprint() {
		m[fmt.Sprint("imprint", i)] = s
	}
	for k, list := range p.matter() {
		for i, s := range list {
			m[fmt.Sprint(k, i)] = s
		}
	}
	return m
}

func mapEnd(v int) string  { return fmt.Sprint("end", v) }
func mapNext(v int) string { return fmt.Sprint("next", v) }

// imprint invents publisher and transcriber.
func (p *press) imprint() []string {
	d := p.d
	year := d.Between(1961, 2022, "year")
	place := pick(d, places, "published")
	return pick(d, [][]string{
		{"Published by the " + place + " Press", place, fmt.Sprint("Copyright ", year, " by ", p.b.author)},
		{"First published in print by " + place + " and Sons", fmt.Sprint("ISBN 0 ", d.Between(1000, 9999, "isbn"), " 1234 5")},
		{"Produced by the Braille Unit of " + place, "For personal use only"},
		{fmt.Sprint("Transcribed ", year, " by"), "Volunteers of " + place, "With permission of the publisher"},
	}, "imprint form")
}

// matter is the preliminary matter: the first line of each is its heading.
func (p *press) matter() map[string][]string {
	d, x := p.d, p.h.extras
	m := map[string][]string{}
	if x&2 != 0 {
		m["tn"] = []string{"Transcriber's Notes", pick(d, []string{"Print page numbers stand where the house has them.", "The order of the notes is that of print."}, "tn1"),
			"Captions of pictures are left out where the text says the same.", "Small slips of print were mended without a word."}[:2+d.N(3, "tn")]
	}
	if x&4 != 0 {
		m["sym"] = []string{"Special Symbols Used in This Volume"}
	}
	if x&8 != 0 {
		m["ded"] = pick(d, [][]string{{"For my sisters"}, {"To the keepers", "who never slept"}, {"In memory of a good dog"}}, "dedication")
	}
	if x&16 != 0 {
		m["his"] = []string{pick(d, []string{"Publication History", "About This Edition"}, "history"), fmt.Sprintf("This book was first published in %d and has been printed again in %d.", 1900+d.N(40, "h"), 1950+d.N(40, "h2")),
			"The braille edition follows the text of the second printing, with its index."}
	}
	return m
}

// centred puts centred lines and notes them.
func (p *press) centred(name, s string, must, most int) {
	lines := wrap(strings.Fields(s), p.h.width-6, 0, 0)
	for _, l := range lines {
		p.put(center(l, p.h.width))
	}
	p.t.Float(name, strings.Fields(s), must, most)
}

// titlePage sets the title page of the volume at hand.
func (p *press) titlePage(v, n int) {
	h, d := p.h, p.d
	p.kind = "title"
	p.begin()
	skip := func(k int) {
		for range k {
			p.put("")
		}
	}
	skip(d.N(4, "title top"))
	for i := range p.b.title {
		for _, l := range wrap(strings.Fields(p.say[fmt.Sprint("title", i)]), h.width-6, 0, 0) {
			p.put(center(l, h.width))
		}
	}
	skip(1)
	if d.Chance(50, "by line") {
		p.put(center(p.say["by"], h.width))
		p.centred("author", p.say["author"], 1, 2)
		p.t.Float("by", []string{p.say["by"]}, 0, 2)
	} else {
		p.centred("author", p.say["by"]+" "+p.say["author"], 1, 2)
	}
	skip(2)
	imprint := func() {
		if h.extras&1 == 0 {
			return
		}
		for i := range p.imprint() {
			p.centred("imprint", p.say[fmt.Sprint("imprint", i)], 1, 1)
		}
		skip(1)
	}
	first := d.Chance(40, "imprint first")
	if first {
		imprint()
	}
	if h.separators {
		p.put(center(p.rule(), h.width))
	}
	for i := range h.statement2(v, n) {
		s := p.say[fmt.Sprint("statement", v, i)]
		p.put(center(s, h.width))
		p.t.Gone("volume statement", s)
	}
	if h.separators {
		p.put(center(p.rule(), h.width))
	}
	skip(1)
	if !first {
		imprint()
	}
	p.close()
}

// matterPages sets the preliminary matter on pages of its own.
func (p *press) matterPages() {
	p.kind = "prelim"
	m := p.matter()
	for _, k := range []string{"ded", "his", "tn", "sym"} {
		list := m[k]
		if len(list) == 0 || p.vol() > 1 && (p.h.extras&32 == 0 || k == "ded") {
			continue
		}
		p.section = p.say[k+"0"]
		if k == "ded" {
			p.section = ""
		}
		p.begin()
		if p.width() < p.h.width || k == "ded" {
			p.put("")
		}
		for i := range list {
			s := p.say[fmt.Sprint(k, i)]
			if i == 0 || k == "ded" {
				p.centred("preliminary heading", s, 1, 1)
				if i == 0 && k != "ded" {
					p.put("")
				}
				continue
			}
			p.lines(strings.Fields(s), 2, 0)
			p.t.Float("preliminary matter", strings.Fields(s), 1, 1)
		}
		if k == "sym" {
			p.symbols()
		}
		p.close()
	}
}

// symbols lists signs with their names.
func (p *press) symbols() {
	for i, s := range [][2]string{{`"9`, "asterisk"}, {"_/", "solidus"}, {"@.<", "opening note sign"}, {"@,?", "dagger"}}[:2+p.d.N(3, "signs")] {
		sign := s[0]
		if p.h.code.System == "ueb" {
			sign = ".=" + sign
		}
		line := append([]string{sign}, strings.Fields(p.say[fmt.Sprint("sign", i)])...)
		p.lines(line, 0, 2)
		p.t.Float("symbol", line, 1, 1)
	}
}

// listEntry is a line of a contents list.
type listEntry struct {
	e     *elem
	at    place
	group string // name of a volume that begins before it
}

// entriesOf lists the headings of a volume, of all with 0.
func (p *press) entriesOf(v int) []listEntry {
	var out []listEntry
	last := 0
	for _, e := range p.b.elems {
		at, ok := p.known[e]
		if !e.listed || !ok || v > 0 && at.vol != v {
			continue
		}
		x := listEntry{e: e, at: at}
		if v == 0 && at.vol != last {
			x.group = p.say[fmt.Sprint("volume", at.vol)]
			last = at.vol
		}
		out = append(out, x)
	}
	return out
}

// lists sets the contents lists of the volume at hand.
func (p *press) lists(volumes int) {
	h, v := p.h, p.vol()
	groups := h.numbers != "print" && volumes > 1
	switch h.contents {
	case "whole", "first":
		if v == 1 {
			p.list(p.entriesOf(0), p.say["contents"], true, groups)
		} else if h.contents == "whole" {
			p.list(p.entriesOf(v), p.say["contents"], true, false)
		}
	case "volume":
		p.list(p.entriesOf(v), p.say["contents"], true, false)
	case "general":
		if v == 1 && volumes > 1 {
			p.list(p.entriesOf(0), p.say["general"], false, true)
		}
		p.list(p.entriesOf(v), p.say["contents"], true, false)
	case "back":
		if v == volumes {
			p.list(p.entriesOf(0), p.say["contents"], true, groups)
		}
	}
}

// list sets a contents list (UKAAF 2016, appendix H; BANA, Braille Formats 2016,
// section 2; Rules of UEB 2013, 16.5).
func (p *press) list(entries []listEntry, name string, numbers, groups bool) {
	h := p.h
	if len(entries) == 0 {
		return
	}
	p.section = name
	p.opening = true
	p.begin()
	top := func(first bool) {
		if p.width() < h.width {
			p.put("")
		}
		s := name
		if !first {
			if h.again == "" {
				return
			}
			if h.again == "cont" {
				s = p.say["cont"]
				p.t.Gone("contents heading again", s)
			}
		}
		p.put(center(s, h.width))
		if first {
			p.t.Float("contents heading", strings.Fields(s), 0, 1)
			p.put("")
		}
		if numbers {
			p.columnHeads()
		}
	}
	top(true)
	for i, x := range entries {
		lines := p.entryLines(x, numbers)
		if groups && x.group != "" {
			if p.left() < 3+len(lines) {
				p.begin()
				top(false)
			}
			p.blank()
			p.put(center(x.group, h.width))
			p.t.Gone("volume in contents", x.group)
		}
		if p.left() < len(lines)+1 {
			p.begin()
			top(false)
		}
		if i > 0 && (x.e.level == 0 || h.listBlank && x.e.level == 1) {
			p.blank()
		}
		for _, l := range lines {
			p.put(l)
		}
	}
	if h.separators && p.left() > 1 {
		p.put(center(p.rule(), h.width))
	}
	p.close()
}

// columnHeads sets the labels over the numbers.
func (p *press) columnHeads() {
	h := p.h
	var s string
	word := p.say["page"]
	if h.columnHead == "kind" {
		word = p.say["braille page"]
		if h.numbers != "braille" {
			word = p.say["print page"]
		}
	}
	switch {
	case h.columnHead == "":
		return
	case h.numbers == "both":
		s = p.say["print"] + "  " + p.say["braille"]
	case h.columnHead == "chapter page":
		c := p.say["chapter word"]
		s = c + blanks(h.width-len(c)-len(word)) + word
	default:
		s = word
	}
	line := blanks(h.width-len(s)) + s
	p.put(line)
	p.t.Float("column heads", strings.Fields(s), 0, 5)
}

// entryLines sets an entry.
func (p *press) entryLines(x listEntry, numbers bool) []string {
	h, e := p.h, x.e
	var out []string
	if e.level == 0 && h.partCentre {
		if e.overCells != "" {
			out = append(out, center(e.overCells, h.width))
			p.t.Float("contents entry", strings.Fields(e.overCells), 1, 2)
		}
		p.t.Float("contents entry", strings.Fields(e.listCells), 1, 2)
		for _, l := range wrap(strings.Fields(e.listCells), h.width-8, 0, 0) {
			out = append(out, center(l, h.width))
		}
		return out
	}
	if e.overCells != "" {
		p.t.Float("contents entry", strings.Fields(e.overCells), 1, 2)
		out = append(out, blanks(0)+e.overCells)
	}
	indent := 0
	if e.level == 2 {
		indent = h.listStep
	}
	over := max(h.listOver2, indent+2)
	ws := strings.Fields(e.listCells)
	num, plain := x.at.page, x.at.page
	switch h.numbers {
	case "print", "print volume":
		num, plain = x.at.print, x.at.print
	case "both":
		num = fmt.Sprintf("%5s  %6s", x.at.print, x.at.page)
	}
	if strings.Contains(num, "#") && h.numbers != "braille" {
		num = strings.SplitN(num, "-", 2)[0]
	}
	if !numbers || e.level == 0 && h.partBare || strings.TrimSpace(num) == "" {
		num, plain = "", ""
	}
	_ = plain
	if h.place == "comma" && num != "" {
		ws[len(ws)-1] += "1"
		p.entryTruth(ws, x)
		return append(out, wrap(append(ws, num), h.width-2, indent, over)...)
	}
	p.entryTruth(ws, x)
	room := h.width - len(num) - 3
	if h.place == "column" && h.numbers != "both" {
		room = h.width - 7
	}
	lines := wrap(ws, room, indent, over)
	if num == "" {
		return append(out, lines...)
	}
	last := lines[len(lines)-1]
	at := h.width - len(num)
	if h.place == "column" && h.numbers != "both" {
		at = h.width - 5
	}
	dots := at - len(last) - 2
	if h.guide != "" && dots >= 2 {
		last += " " + strings.Repeat(h.guide, dots) + " "
	} else {
		last += blanks(at - len(last))
	}
	lines[len(lines)-1] = last + num
	return append(out, lines...)
}

// entryTruth notes an entry and the print page of its heading.
func (p *press) entryTruth(ws []string, x listEntry) {
	alike := 0
	for _, e := range p.b.elems {
		if e.listed && e.listCells == x.e.listCells {
			alike++
		}
	}
	must := 1
	if h := p.h; h.place == "comma" && !strings.HasSuffix(ws[len(ws)-1], "1") && !(x.e.level == 0 && h.partBare) {
		must = 0 // the other list has it with a comma
	}
	p.t.Float("contents entry", ws, must, alike)
	if x.at.print != "" {
		key := strings.Join(ws, " ")
		first, _, _ := strings.Cut(x.at.print, "-")
		p.t.EntryPage[key] = append(p.t.EntryPage[key], x.at.print, first)
		if at := p.known[x.e]; at.shown != "" {
			p.t.EntryPage[key] = append(p.t.EntryPage[key], at.shown)
		}
	}
}
