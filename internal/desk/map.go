package desk

import (
	"fmt"
	"strconv"
	"strings"

	"continuo/internal/book"
)

// bookMap shows what is on each paper page of a book: as runs of pages in words,
// and as rows of marks for an image.
type bookMap struct {
	Runs  []mapRun
	Rows  []mapRow
	Pages int
	Width int // of the image, in its own units
	High  int
}

// mapRun is a run of pages of one volume that hold the same part of the book.
type mapRun struct {
	Volume      int
	File        string
	First, Last int // pages of the file
	What        string
	Headings    int
	HeadingsOn  string // the pages on which they begin, "" for a run of one page
	Print       string // print pages that turn on them
	PrintOn     string // the pages on which these turn
}

// mapRow is a row of the image: paths of squares by part, of headings and of
// print page turns.
type mapRow struct {
	Y      int
	Shapes []mapShape
}

// mapShape is all squares of one look in a row.
type mapShape struct{ Class, Path string }

// mapPage is one page.
type mapPage struct {
	what     string
	headings int
	print    []string
}

const (
	acrossMap = 60 // pages in a row
	square    = 10 // of the image
	rowHeight = 26
	leftOut   = "nothing that stays"
)

func mapOf(t *title) *bookMap {
	m := &bookMap{Width: acrossMap * square}
	for v := range t.files {
		pages := pagesOfVolume(t, v)
		m.Pages += len(pages)
		m.runs(t, v, pages)
		for from := 0; from < len(pages); from += acrossMap {
			row := mapRow{Y: m.High}
			row.draw(pages[from:min(len(pages), from+acrossMap)])
			m.Rows = append(m.Rows, row)
			m.High += rowHeight
		}
	}
	return m
}

// pagesOfVolume tells what is on each page of a file: the part of the book that
// most of its lines belong to.
func pagesOfVolume(t *title, v int) []mapPage {
	f, b := t.files[v], t.res.Book
	out := make([]mapPage, t.pages(v))
	for p := range out {
		count := map[string]int{}
		for l, end := t.span(v, p); l < end; l++ {
			for _, k := range t.trace.blocks[v][l] {
				count[partOf(b, k)]++
			}
		}
		out[p].what = leftOut
		best := 0
		for _, name := range partNames {
			if count[name] > best {
				out[p].what, best = name, count[name]
			}
		}
	}
	at := func(p book.Piece) *mapPage {
		if int(p.Vol) != v || p.Line >= int32(len(f.Lines)) {
			return nil
		}
		page, _ := t.pageOf(v, p.Line)
		return &out[page]
	}
	for k := range b.Blocks {
		if b.Blocks[k].Kind == book.Heading && len(b.Blocks[k].Pieces) > 0 {
			if p := at(b.Blocks[k].Pieces[0]); p != nil {
				p.headings++
			}
		}
	}
	for _, mark := range b.Turns {
		if p := at(b.Blocks[mark.Block].Pieces[mark.Piece]); p != nil {
			p.print = append(p.print, mark.Label.String())
		}
	}
	return out
}

// partNames are the parts of a book in words, in the order in which they stand.
var partNames = []string{"title page", "preliminary matter", "contents", "text", "notes", "back matter"}

func partOf(b *book.Book, k int32) string {
	if f := b.Blocks[k].Form; f == book.Note || f == book.NoteMore {
		return book.NotesPart.String()
	}
	return b.Blocks[k].Part.String()
}

func (m *bookMap) runs(t *title, v int, pages []mapPage) {
	for i := 0; i < len(pages); {
		j := i
		r := mapRun{Volume: v + 1, File: t.files[v].Name, First: i + 1, What: pages[i].what}
		var print []string
		var headed, turned []int
		for ; j < len(pages) && pages[j].what == r.What; j++ {
			r.Headings += pages[j].headings
			print = append(print, pages[j].print...)
			if pages[j].headings > 0 {
				headed = append(headed, j+1)
			}
			if len(pages[j].print) > 0 {
				turned = append(turned, j+1)
			}
		}
		if r.Last = j; r.Last > r.First {
			r.HeadingsOn, r.PrintOn = ranges(headed), ranges(turned)
		}
		if n := len(print); n == 1 {
			r.Print = print[0]
		} else if n > 1 {
			r.Print = print[0] + " to " + print[n-1]
		}
		m.Runs = append(m.Runs, r)
		i = j
	}
}

// ranges are rising numbers in words: "page 4", "pages 4, 6 to 9".
func ranges(pages []int) string {
	var parts []string
	for i := 0; i < len(pages); {
		j := i
		for j+1 < len(pages) && pages[j+1] == pages[j]+1 {
			j++
		}
		switch {
		case j == i:
			parts = append(parts, strconv.Itoa(pages[i]))
		case j == i+1:
			parts = append(parts, strconv.Itoa(pages[i]), strconv.Itoa(pages[j]))
		default:
			parts = append(parts, fmt.Sprintf("%d to %d", pages[i], pages[j]))
		}
		i = j + 1
	}
	switch {
	case len(pages) == 0:
		return ""
	case len(pages) == 1:
		return "page " + parts[0]
	}
	return "pages " + strings.Join(parts, ", ")
}

// draw makes the squares of a row. Parts differ in the height and form of their
// squares, not in colour alone.
func (r *mapRow) draw(pages []mapPage) {
	paths := map[string]*strings.Builder{}
	add := func(class, format string, a ...any) {
		if paths[class] == nil {
			paths[class] = &strings.Builder{}
		}
		fmt.Fprintf(paths[class], format, a...)
	}
	for i, p := range pages {
		x, y := i*square, r.Y
		switch p.what {
		case "text":
			add("m-text", "M%d %dh8v12h-8z", x, y+7)
		case "notes":
			add("m-notes", "M%d %dh8v2h-8zm0 4h8v2h-8zm0 4h8v2h-8z", x, y+8)
		case leftOut:
			add("m-out", "M%d %dh8", x, y+18)
		default:
			add("m-front", "M%d.5 %d.5h7v11h-7z", x, y+7)
		}
		if p.headings > 0 {
			add("m-head", "M%d %dl3 5h-6z", x+4, y)
		}
		if len(p.print) > 0 {
			add("m-print", "M%d %dv4", x+4, y+21)
		}
	}
	for _, class := range []string{"m-text", "m-front", "m-notes", "m-out", "m-head", "m-print"} {
		if b := paths[class]; b != nil {
			r.Shapes = append(r.Shapes, mapShape{class, b.String()})
		}
	}
}
