package convert_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"continuo/internal/cell"
)

// paper sets an invented story as a paper volume around the lines of a case:
// a title page, pages with heads and numbers, paragraphs that begin in cell 3,
// and, where print pages are wanted, a print page turn now and then.
//
// "uk": 38 cells, 26 lines; line 1 of each page holds the title and, at the
// right, the braille page number; print page turns are dot 5, dots 2-5 and the
// number, centred alone (W3C w3c-wai-hc 1997, 0306 and 0312).
//
// "uk-odd": the same, but with line 1 of even pages given to the text (W3C
// w3c-wai-hc 1997, 0336: the page information line on right-hand pages only).
//
// "us": 40 cells, 25 lines; line 1 holds the running head and the print page
// number, with a continuation letter; the last line holds text and, after at
// least 3 blanks, the braille page number; print page turns are rows of dots
// 3-6 (BANA Braille Formats 2016, 1.11; BRL session 4).
type paper struct {
	kind   string
	width  int
	height int
	title  string
	words  []string // the story, word by word
	next   int
	pages  [][]string
	print  int    // print page in force, 0 for none
	since  int    // braille pages begun since the last turn
	letter byte   // continuation letter of the next page, 0 for none
	label  string // print page label in force, when it is no plain number
	pool   map[int][]string
	picks  int
	began  int      // print page on which the lines of the case begin
	raw    []string // the lines set since
}

// story reads the invented story in a code: "ueb", "ebae" or "seb".
func story(tb testing.TB, code string) []string {
	tb.Helper()
	b, err := os.ReadFile(filepath.Join("testdata", "filler", code+".txt"))
	if err != nil {
		tb.Fatal(err)
	}
	return strings.Fields(string(b))
}

func newPaper(tb testing.TB, kind, code string, print int) *paper {
	p := &paper{kind: kind, width: 38, height: 26, title: ",! ,f]ry ,l$g]", print: print, words: story(tb, code), pool: map[int][]string{}}
	if kind == "us" {
		p.width, p.height = 40, 25
	}
	if code == "seb" {
		p.title = "! f]ry l$g]"
	}
	for _, w := range p.words {
		if strings.IndexAny(w, ",14'") < 0 {
			p.pool[len(w)] = append(p.pool[len(w)], w)
		}
	}
	p.titlePage()
	return p
}

func (p *paper) centred(t string) string { return strings.Repeat(" ", (p.width-len(t))/2) + t }

// titlePage is the first page; it has no head and no number.
func (p *paper) titlePage() {
	author := ",hannah ,r[e"
	if p.title[0] != ',' {
		author = "hannah r[e"
	}
	p.pages = append(p.pages, []string{"", "", p.centred(p.title), "", p.centred(author)})
}

// corner sets number at the right margin of a line.
func (p *paper) corner(line, number string) string {
	return line + strings.Repeat(" ", p.width-len(line)-len(number)) + number
}

// newPage begins a page with its head.
func (p *paper) newPage() {
	n := len(p.pages) + 1
	head := p.centred(p.title)
	if p.kind == "us" {
		p.finishLast()
		if p.print > 0 {
			lab := p.printLabel()
			if p.letter >= 'a' {
				lab = string(p.letter) + lab
			}
			head = p.corner(head, lab)
			p.letter = max('a'-1, p.letter) + 1
		}
	} else {
		if p.print > 0 {
			lab := p.printLabel()
			head = lab + head[len(lab):]
		}
		head = p.corner(head, string(cell.Number(n)))
	}
	p.pages = append(p.pages, []string{head})
	if p.kind == "uk-odd" && n%2 == 0 {
		p.pages[n-1] = []string{}
	}
	p.since++
}

func (p *paper) printLabel() string {
	if p.label != "" {
		return p.label
	}
	return string(cell.Number(p.print))
}

// turned follows a print page turn in the lines of a case.
func (p *paper) turned(line string) {
	t := strings.TrimSpace(line)
	row := strings.HasPrefix(t, "------")
	if t = strings.TrimLeft(t, "-"); !row {
		if !strings.HasPrefix(t, `"3`) {
			return
		}
		t = strings.TrimSpace(strings.Fields(t[2:] + " .")[0])
	}
	if lab, ok := cell.ParseLabel([]byte(t)); ok && p.print > 0 && !lab.Roman {
		p.print, p.label, p.since, p.letter = lab.Last, t, 0, 'a'-1
	}
}

// finishLast puts the braille page number on the last line of the page.
func (p *paper) finishLast() {
	n := len(p.pages)
	if n < 2 {
		return
	}
	pg := p.pages[n-1]
	for len(pg) < p.height {
		pg = append(pg, "")
	}
	pg[p.height-1] = p.corner(pg[p.height-1], string(cell.Number(n)))
	p.pages[n-1] = pg
}

// line is the number of the next line on its page, from 1.
func (p *paper) line() int { return len(p.pages[len(p.pages)-1]) + 1 }

// room is how many cells the next line has.
func (p *paper) room() int {
	if p.line() > p.height {
		p.newPage()
	}
	if p.kind == "us" && p.line() == p.height {
		return p.width - 3 - len(cell.Number(len(p.pages)))
	}
	return p.width
}

func (p *paper) put(t string) {
	p.room()
	k := len(p.pages) - 1
	p.pages[k] = append(p.pages[k], t)
	p.raw = append(p.raw, t)
	p.turned(t)
}

func (p *paper) word() string {
	w := p.words[p.next%len(p.words)]
	p.next++
	return w
}

// fill returns words of the story that take exactly n cells.
func (p *paper) fill(n int) string {
	var out []string
	for n > 6 {
		w := p.word()
		for len(w) > 8 || n-len(w)-1 < 2 {
			w = p.word()
		}
		out = append(out, w)
		n -= len(w) + 1
	}
	if n < 2 {
		panic(fmt.Sprintf("no room for running text: %d cells", n))
	}
	p.picks++
	out = append(out, p.pool[n][p.picks%len(p.pool[n])])
	return strings.Join(out, " ")
}

// paragraph sets words as lines as full as they go, from cell 3.
func (p *paper) paragraph(words []string) string {
	line := "  "
	for i, w := range words {
		switch room := p.room(); {
		case i == 0:
			line += w
		case len(line)+1+len(w) > room:
			p.put(line)
			line = w
		default:
			line += " " + w
		}
	}
	p.put(line)
	return "  " + strings.Join(words, " ")
}

// sentences are at least n words of the story, to the end of a sentence.
func (p *paper) sentences(n int) []string {
	var out []string
	for len(out) < n || out[len(out)-1][len(out[len(out)-1])-1] != '4' {
		out = append(out, p.word())
	}
	return out
}

// text adds paragraphs of the story until at least lines more lines are set.
func (p *paper) text(lines int) {
	for from := p.count(); p.count() < from+lines; {
		p.paragraph(p.sentences(25 + 13*(p.next%3)))
		p.turnNow()
	}
}

func (p *paper) count() int { return (len(p.pages)-2)*p.height + len(p.pages[len(p.pages)-1]) }

// turnNow lets the print page turn, when the last turn is some time ago.
func (p *paper) turnNow() {
	if p.print == 0 || p.since < 2 || p.line() < 4 || p.line() > p.height-4 {
		return
	}
	p.print++
	p.label, p.since, p.letter = "", 0, 'a'-1
	if lab := string(cell.Number(p.print)); p.kind == "us" {
		p.put(strings.Repeat("-", p.width-len(lab)) + lab)
	} else {
		p.put(p.centred(`"3` + lab))
	}
}

// bytes is the file: LF at line ends, a form feed after each page.
func (p *paper) bytes() []byte {
	if p.kind == "us" {
		p.finishLast()
	}
	var b strings.Builder
	for _, pg := range p.pages {
		for _, l := range pg {
			b.WriteString(l + "\n")
		}
		b.WriteString("\f")
	}
	return []byte(b.String())
}

// nearest is what the edition has in place of the wanted lines.
func nearest(text string, want []string) string {
	lines := strings.Split(text, "\r\n")
	from, to := -1, len(lines)
	head := want[0]
	if len(head) > 40 {
		head = head[:40]
	}
	for i, l := range lines {
		if strings.HasPrefix(l, head) && (from < 0 || l == want[0]) {
			from, to = i, len(lines)
		}
		if from >= 0 && l == want[len(want)-1] {
			to = min(to, i+1)
		}
	}
	if from < 0 {
		return "(not found: " + head + ")"
	}
	return strings.Join(lines[from:min(to, from+len(want)+8)], "\n")
}
