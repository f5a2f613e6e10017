package main

import (
	"strconv"
	"strings"
)

// house holds the rules of one paper edition beyond the style of its pages.
type house struct {
	paper    style
	code     code
	text     string   // folder of the title under data
	names    []string // file names of the volumes
	eol      string
	upper    bool           // Braille ASCII in capital letters
	before   []string       // volumes 2, 3 ... begin before these chapters
	after    map[int]int    // or volume n ends when its text fills this many pages
	body     string         // chapters before this one are preliminary matter
	prelims  func(b *press) // what stands before the text of a volume
	start    func(b *press) // the title again where the text of a volume starts
	chapter  func(b *press, words string)
	section  func(b *press, words string)
	verse    func(b *press, lines []string)
	noteText func(b *press, numbers []string) // after a paragraph with notes
	end      func(b *press, last bool)        // end of a volume
}

// volume is what is known of a finished volume; the title page and contents of
// the next round use it.
type volume struct {
	setter
	headings    []heading
	front, text int    // pages of either kind
	first, last int    // braille numbers of the text
	from, to    string // print pages
}

// heading is a chapter and where it stands.
type heading struct {
	words, print string
	page         int
	front        bool
}

// press sets one title as paper volumes.
type press struct {
	*house
	*setter
	t     *title
	tr    *translator
	n     int // number of the volume at work
	done  []*volume
	last  []*volume // from the round before
	heads []heading
	notes []string // numbers of notes called in this volume
	ended bool     // the volume is being closed
	fresh bool     // the text of the volume has just begun
}

// words translates a short piece of print.
func (b *press) words(print string) string { return b.tr.cells(print) }

// previous returns volume n as the round before made it.
func (b *press) previous(n int) *volume {
	if n <= len(b.last) {
		return b.last[n-1]
	}
	return &volume{from: "1", to: "1"}
}

// run sets the whole title once.
func (b *press) run() {
	b.n, b.done, b.heads, b.notes = 1, nil, nil, nil
	b.setter = &setter{style: b.paper, number: 1, seen: map[string]int{}}
	b.turned = b.pageTurned
	inText := false
	for i := 0; i < len(b.t.blocks); i++ {
		bl := b.t.blocks[i]
		next := ""
		if bl.kind == turn && i+1 < len(b.t.blocks) && b.t.blocks[i+1].kind == chapter {
			next = b.t.blocks[i+1].text
		} else if bl.kind == chapter {
			next = bl.text
		}
		switch {
		case i == 0:
			b.openVolume()
		case len(b.before) >= b.n && next != "" && strings.HasPrefix(next, b.before[b.n-1]):
			b.endVolume(false)
			if bl.kind == turn {
				b.print = bl.text
			}
			b.openVolume()
		}
		if !inText && strings.HasPrefix(next, b.body) && next != "" {
			inText = true
			b.startText(bl)
		}
		b.block(bl)
	}
	b.endVolume(true)
}

// startText begins the text of a volume on a new page. A print page turn that
// comes first shows only in the head of the page.
func (b *press) startText(bl block) {
	b.close()
	if bl.kind == turn {
		b.print = bl.text
	}
	b.setter.front = false
	if len(b.done) == 0 {
		b.number = b.firstTextPage()
	}
	b.start(b)
	b.fresh = true
}

// pageTurned ends a volume in mid-text when its pages are full, and says
// whether it has opened the next page already.
func (b *press) pageTurned() bool {
	limit, ok := b.after[b.n]
	if !ok || b.ended || b.setter.front || len(b.pages) < limit {
		return false
	}
	b.endVolume(false)
	b.openVolume()
	return true
}

// openVolume sets the preliminary pages and, but in volume 1, the start of the
// text.
func (b *press) openVolume() {
	print := b.print
	b.setter.front, b.print = true, ""
	b.prelims(b)
	b.close()
	if b.n > 1 {
		b.print = print
		b.setter.front = false
		b.number = b.firstTextPage()
		b.start(b)
		b.fresh = true
	}
}

// firstTextPage is the braille number of the first page of the text.
func (b *press) firstTextPage() int {
	switch b.text {
	case "weather": // runs on through the volumes
		if b.n > 1 {
			return b.done[b.n-2].last + 1
		}
		return 1
	case "baker": // begins again at 1
		return 1
	}
	return len(b.pages) + 1 // one run from the title page on
}

// endVolume closes the volume and keeps it.
func (b *press) endVolume(last bool) {
	b.ended = true
	b.end(b, last)
	b.close()
	v := &volume{setter: *b.setter, headings: b.heads}
	for _, p := range v.pages {
		v.count(p)
	}
	b.done = append(b.done, v)
	*b.setter = setter{style: b.paper, number: 1, print: b.print, seen: b.seen, turned: b.turned}
	b.heads, b.notes, b.ended = nil, nil, false
	b.n++
}

func (v *volume) count(p *page) {
	if p.front || p.plain {
		v.setter.front = true
		v.front++
		return
	}
	if v.text++; v.first == 0 {
		v.first, v.from = p.number, p.print
	}
	v.last, v.to = p.number, v.print
}

// block sets one block of the print text.
func (b *press) block(bl block) {
	switch bl.kind {
	case turn:
		if b.print != bl.text {
			b.turn(b.setter, bl.text)
		}
	case chapter:
		b.chapter(b, bl.text)
	case section:
		b.section(b, bl.text)
	case verse:
		b.verse(b, bl.lines)
	case items:
		b.list(bl.lines)
	case scene:
		b.need(3)
		b.centre(b.code.sceneMark)
	default:
		var notes []string
		b.fill(b.tr.tokens(bl.text, &notes), 2, 0)
		b.notes = append(b.notes, notes...)
		if len(notes) > 0 && b.noteText != nil {
			b.noteText(b, notes)
		}
	}
}

// list sets items in cell 1, runovers in cell 3, blank lines round the list.
func (b *press) list(lines []string) {
	b.blank()
	for _, line := range lines {
		if m := turnAlone.FindStringSubmatch(line); m != nil {
			b.turn(b.setter, m[1])
			continue
		}
		b.fill(b.tr.tokens(strings.TrimPrefix(line, "- "), &b.notes), 0, 2)
	}
	b.blank()
}

// heading takes down where a chapter stands.
func (b *press) heading(words string) {
	b.fresh = false
	b.heads = append(b.heads, heading{words, b.print, b.cur.number, b.setter.front})
}

// numberWord writes small numbers as words, as title pages do.
func numberWord(n int) string {
	if words := []string{"", "One", "Two", "Three"}; n < len(words) {
		return words[n]
	}
	return strconv.Itoa(n)
}
