// Package layout surveys a volume as it was laid out for paper: its pages, its
// width and line spacing, which corner carries which page number, which lines
// are page information lines or running heads, where the print page turns. It
// marks lines and deletes nothing.
//
// All decisions are made from evidence over the whole volume: page numbers are
// recognised as sequences over pages, heads by likeness between pages.
package layout

import (
	"fmt"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"sync"

	"golang.org/x/sync/errgroup"

	"continuo/internal/cell"
	"continuo/internal/english"
	"continuo/internal/source"
)

// Role says what a source line is on its page.
type Role uint8

const (
	Text    Role = iota // holds text, perhaps beside numbers that are cut off
	Empty               // blank
	Head                // page information line or running head
	Number              // page numbers alone
	Spacing             // blank line of double line spacing
	Turn                // print page turn alone on its line
)

func (r Role) String() string {
	return [...]string{"text", "empty", "head", "number", "spacing", "turn"}[r]
}

// Span is a range of cells of a line, To not included.
type Span struct{ From, To int32 }

// Line is the survey of one source line. Text is the span of what is left when
// the numbers in Cuts are cut off; blanks at both ends are outside it.
type Line struct {
	Role  Role
	Row   bool    // a Turn in the form of a row of dots 3-6
	Bare  bool    // a Turn without a number
	Sure  float64 // how sure the role is, 0 to 1
	Text  Span
	Left  Span // page number cut off at the left, empty if none
	Right Span
	Label *cell.Label // of a Turn with a number, else nil
}

// Slot is a place of page numbers: line 1 or the last line; left, centre, right.
type Slot uint8

const (
	TopLeft Slot = iota
	TopCentre
	TopRight
	BottomLeft
	BottomCentre
	BottomRight
	NSlots
)

func (s Slot) String() string {
	return [...]string{"line 1, left", "line 1, centre", "line 1, right", "last line, left", "last line, centre", "last line, right"}[s]
}

// Use says what stands in a slot.
type Use uint8

const (
	Nothing Use = iota
	BraillePage
	PrintPage
	VolumeMark // the number of the volume, the same on every page
)

// Page is one braille page: lines First up to Last (not included).
type Page struct {
	First, Last int32
	Braille     *cell.Label // braille page number on it
	Print       *cell.Label // print page number on it
	Head        bool        // it has a head or number on line 1
	Double      bool
	Top         int32 // first line that is not blank, -1 if none
	Bottom      int32 // last line that is not blank
}

// Volume is the survey of one file.
type Volume struct {
	File      *source.File
	Words     english.Words // structure words of the book's languages
	Pages     []Page
	Lines     []Line
	PageOf    []int32 // page of each line
	Width     int     // cells a line of the paper
	TextWidth int     // right-most cell that running text reaches
	Height    int     // lines a page
	Double    bool    // most pages are double-spaced
	Divided   bool    // the pages were found by recurring numbers, not by form feeds
	Slots     [NSlots]Use
	OddOnly   bool                   // numbers and heads stand on every other page only
	Heads     int                    // lines marked Head
	Reserved  bool                   // line 1 holds nothing but heads and numbers
	Rows      int                    // print page turns as rows of dots 3-6
	Marks     int                    // print page turns as dot 5, dots 2-5 and a number
	Inline    map[int32][]cell.Label // print page turns within lines of text
	Oddities  []Oddity

	level     [24]bool          // indents at which text stands that is not centred
	compound  bool              // print pages are pages of chapters (9-1)
	headed    bool              // heads that are alike stand beside numbers on line 1
	sureWidth bool              // Width is told by where numbers end, not by the longest line
	nearly    bool              // line 1 holds nothing but these on all pages but one
	numbered  int               // pages with a number on line 1
	footHeads int               // last lines of pages that are alike and centred
	guides    map[int32]bool    // lines that are guide words, see findGuides
	margin    [3][2]marginCount // by the parity of pages: at the foot, at the top beside a number, at the top alone: see countMarginHeads
	noGuides  int               // edge lines that could be and are none
	lists     []Span            // lines of contents lists, see addListed
	ranges    map[int32]bool    // lines that name the numbers on their page, see guideNumbers
	noRanges  int               // edge lines that end in other numbers
	feet      map[int32]int     // by start cell: guide words at the foot that do not stand in the middle
	feetFirst []int32           // last lines of pages, not in the middle, that say the first entry alone
	everyPage bool              // heads stand on line 1 of all pages, see headsOnEveryPage
	said      said              // what begins in the text, see findSaid
	textPages []int             // the first two pages full of running text
	freeSide  [2]bool           // line 1 of pages with an even index, or an odd one, has no numbers, as that of the others has
	amid      map[string]bool   // what stood without a number over a sentence that goes on: heads
	past      *pastHeadings     // while heads are counted and marked, else nil
	footPlace [2]bool           // nearly all pages with an even index, or an odd one, have a head at the foot
	bareHeads int               // first lines of pages that are alike, centred and without a number
}

// Oddity is a place that does not fit the layout.
type Oddity struct {
	Line int32
	ID   string
	Text string
	Told bool // what it is is sure: nothing to ask, only to tell
}

// TextOf returns the text of line i without its cut numbers.
func (v *Volume) TextOf(i int32) []byte {
	l := v.File.Lines[i]
	s := v.Lines[i].Text
	return v.File.Cells[l.Start+s.From : l.Start+s.To]
}

// KeepWhole makes line i text, with the numbers on it, whatever it was taken
// for: a person wants it kept.
func (v *Volume) KeepWhole(i int32) {
	l := &v.Lines[i]
	raw := v.Raw(i)
	if len(raw) == 0 {
		return
	}
	if l.Role == Head {
		v.Heads--
	}
	*l = Line{Role: Text, Sure: 1, Text: Span{int32(cell.Indent(raw)), int32(len(raw))}}
}

// Raw returns the whole text of line i.
func (v *Volume) Raw(i int32) []byte { return v.File.Text(int(i)) }

// Survey surveys volumes with the English structure words; see SurveyWith.
func Survey(files []*source.File) []*Volume { return SurveyWith(files, english.Words{}) }

// SurveyWith surveys volumes that belong together; what the pages of one do not
// settle, the others may.
func SurveyWith(files []*source.File, words english.Words) []*Volume {
	vols := make([]*Volume, len(files))
	given := files
	files = sorted(files)
	finds := make([]*numbers, len(files))
	Each(len(files), func(i int) {
		vols[i] = newVolume(files[i])
		vols[i].Words = words
		vols[i].measure()
		finds[i] = vols[i].findNumbers()
	})
	pagesOfChapters(vols, finds)
	shareWidth(vols, finds)
	pool(finds)
	if restoreFeeds(vols, finds) {
		pool(finds)
	}
	Each(len(files), func(i int) { finds[i].followTurns(vols[i]) })
	dropAgainstTurns(vols, finds)
	heads, edges := newHeadbook(), make([][]edgeLine, len(vols))
	Each(len(files), func(i int) { vols[i].settle(finds[i]) })
	beside := [2]map[string]int{{}, {}}
	for i, v := range vols {
		finds[i].addBeside(v, &beside)
	}
	Each(len(files), func(i int) {
		vols[i].settleLone(finds[i], &beside)
		vols[i].findDouble()
		edges[i] = vols[i].edgeLines(finds[i])
		vols[i].countLike(edges[i])
		vols[i].countInner(edges[i])
		vols[i].level = vols[i].levels()
		vols[i].findGuides(edges[i])
	})
	countAnywhere(vols, edges)
	countInOthers(edges)
	findOpeners(vols, edges)
	believeGuides(vols)
	for i, v := range vols {
		heads.addHeadings(v, edges[i])
	}
	for i, v := range vols {
		v.fillRoom(edges[i], heads)
		heads.addRunning(v, edges[i])
		heads.addCapitals(v, edges[i])
	}
	heads.running.addShort()
	heads.addLastHeads(vols, edges)
	kept := 0
	for i, v := range vols {
		v.countHeads(edges[i], heads)
		heads.countPlain(v, edges[i])
		heads.footHeads += v.footHeads
		heads.bareHeads += v.bareHeads
		heads.pages += len(v.Pages)
		if v.nearly && v.headed {
			kept += len(v.Pages)
		}
	}
	heads.reserved = kept*4 >= heads.pages*3
	for i, v := range vols {
		v.markHeads(edges[i], heads)
	}
	Each(len(files), func(i int) {
		vols[i].markTurns()
	})
	markDividers(vols)
	Each(len(files), func(i int) {
		vols[i].markSpacing()
		vols[i].textWidth()
	})
	return inOrder(vols, given)
}

// sorted returns files in the order of their names, so that nothing depends on
// the order in which they are given.
func sorted(files []*source.File) []*source.File {
	out := slices.Clone(files)
	slices.SortStableFunc(out, func(a, b *source.File) int {
		switch {
		case source.Natural(a.Name, b.Name):
			return -1
		case source.Natural(b.Name, a.Name):
			return 1
		}
		return strings.Compare(a.SHA256, b.SHA256)
	})
	return out
}

// inOrder returns volumes in the order of their files.
func inOrder(vols []*Volume, files []*source.File) []*Volume {
	byFile := map[*source.File]*Volume{}
	for _, v := range vols {
		byFile[v.File] = v
	}
	out := make([]*Volume, len(files))
	for i, f := range files {
		out[i] = byFile[f]
	}
	return out
}

// Each calls f for 0 to n-1, on as many goroutines as there are cores. What f
// does for one volume must not depend on another.
func Each(n int, f func(int)) {
	var g errgroup.Group
	var mu sync.Mutex
	var fault any
	g.SetLimit(runtime.GOMAXPROCS(0))
	for i := range n {
		g.Go(func() error {
			defer func() {
				if r := recover(); r != nil {
					mu.Lock()
					defer mu.Unlock()
					fault = fmt.Sprintf("%v\n%s", r, debug.Stack())
				}
			}()
			f(i)
			return nil
		})
	}
	_ = g.Wait() // no f fails
	if fault != nil {
		panic(fault) // where the caller can recover
	}
}

func newVolume(f *source.File) *Volume {
	v := &Volume{File: f, Lines: make([]Line, len(f.Lines)), PageOf: make([]int32, len(f.Lines))}
	for i := range f.Lines {
		t := f.Text(i)
		v.Lines[i].Text = Span{int32(cell.Indent(t)), int32(len(t))}
		v.Lines[i].Sure = 1
		if len(t) == 0 {
			v.Lines[i].Role = Empty
		}
	}
	v.divide()
	v.findEdges()
	return v
}

// findEdges finds the page of every line, and the first and last line of every
// page that are not blank.
func (v *Volume) findEdges() {
	for p := range v.Pages {
		pg := &v.Pages[p]
		pg.Top, pg.Bottom = -1, -1
		for i := pg.First; i < pg.Last; i++ {
			v.PageOf[i] = int32(p)
			if v.Lines[i].Role != Empty {
				if pg.Top < 0 {
					pg.Top = i
				}
				pg.Bottom = i
			}
		}
	}
}

// measure finds the width and height of the paper. The width is where most
// numbers and full rules end; without these, the longest line that recurs.
func (v *Volume) measure() {
	var ends, edges [256]int
	for i := range v.Lines {
		if n := int(v.Lines[i].Text.To); n < 256 && n > 0 {
			ends[n]++
		}
	}
	for p := range v.Pages {
		v.countEdges(&v.Pages[p], &edges)
	}
	best := 0
	for n := 18; n < 256; n++ {
		if edges[n] > edges[best] || (edges[n] == edges[best] && edges[n] > 0) {
			best = n
		}
	}
	wide, longer := widest(&ends, len(v.Lines)), 0
	for n := best + 1; n < 256; n++ {
		longer += ends[n]
	}
	// A few lines may be longer than the paper; the numbers end where it ends.
	if best > 0 && edges[best]*4 >= len(v.Pages) && (best >= wide-1 || longer <= 1+len(v.Lines)/100) {
		wide = min(wide, best)
		v.Width, v.sureWidth = best, true
	} else {
		v.Width = max(wide, 1)
	}
	v.TextWidth = wide
	var heights [128]int
	top := 0
	for p := range v.Pages {
		h := int(v.Pages[p].Last - v.Pages[p].First)
		if h < 128 {
			heights[h]++
			top = max(top, h)
		}
	}
	v.Height = top
	for h := top; h > 0; h-- {
		if heights[h]*10 >= len(v.Pages) && heights[h] >= 2 {
			v.Height = h
			break
		}
	}
}

// fewPages is how many pages a volume has at most whose longest line may be much
// shorter than the paper.
const fewPages = 12

// shareWidth gives short volumes without numbers, whose longest line may be much
// shorter than the paper, the width that most of the other volumes have.
func shareWidth(vols []*Volume, finds []*numbers) {
	best := commonWidth(vols, func(v *Volume) bool { return v.sureWidth })
	if best == 0 { // no numbers at the right: full lines of longer volumes tell
		best = commonWidth(vols, func(v *Volume) bool { return len(v.Pages) > fewPages })
	}
	for i, v := range vols {
		if !v.sureWidth && v.Width < best && len(v.Pages) <= fewPages {
			v.Width = best
			finds[i] = v.findNumbers()
		}
	}
}

// commonWidth is the width that most of the chosen volumes have, the larger of two
// that as many have; 0 when none is chosen.
func commonWidth(vols []*Volume, chosen func(*Volume) bool) (best int) {
	count := map[int]int{}
	for _, v := range vols {
		if !chosen(v) {
			continue
		}
		count[v.Width]++
		if c := count[v.Width]; c > count[best] || c == count[best] && v.Width > best {
			best = v.Width
		}
	}
	return best
}

func (v *Volume) countEdges(pg *Page, edges *[256]int) {
	for _, i := range []int32{pg.Top, pg.Bottom} {
		if i < 0 {
			continue
		}
		t := v.Raw(i)
		from := lastToken(t)
		if len(t) < 256 && from >= 2 && t[from-2] == ' ' {
			if _, ok := cell.ParseLabel(t[from:]); ok {
				edges[len(t)]++
			}
		}
	}
}

// widest returns the largest line end that enough lines share. One line alone may be longer
// than the paper where running text fills shorter lines.
func widest(ends *[256]int, lines int) int {
	need, sum, top := min(max(lines/400, 1), 3), 0, 0
	for n := 255; n > 0; n-- {
		if ends[n] == 0 {
			continue
		}
		top = max(top, n)
		if sum += ends[n]; sum >= need && (sum > 1 || n < 3 || ends[n-1]+ends[n-2] > 0 || !filled(ends, n-3, lines)) {
			return n
		}
	}
	return top
}

// fewFull is how many lines at least tell the edge of the paper.
const fewFull = 20

// filled reports whether a sixth of all lines, fewFull at least, end within four cells of the largest line end
// up to n, as lines of running text do at the edge of the paper.
func filled(ends *[256]int, n, lines int) bool {
	for n > 0 && ends[n] == 0 {
		n--
	}
	full := 0
	for _, k := range ends[max(n-3, 0):max(n+1, 0)] {
		full += k
	}
	return full >= fewFull && 6*full >= lines
}

// textWidth measures again what running text reaches, now that heads are
// known.
func (v *Volume) textWidth() {
	var ends [256]int
	n := 0
	for i := range v.Lines {
		l := &v.Lines[i]
		if l.Role != Text || l.Right.To > 0 {
			continue
		}
		if e := int(l.Text.To); e > 0 && e < 256 {
			ends[e]++
			n++
		}
	}
	if n == 0 {
		return
	}
	v.TextWidth = widest(&ends, n)
	if longer := 0; v.TextWidth > v.Width { // one line longer than the paper is no text width
		for _, k := range ends[v.Width+1:] {
			longer += k
		}
		if longer <= 1+n/100 {
			v.TextWidth = v.Width
		}
	}
}

func lastToken(t []byte) int {
	i := len(t)
	for i > 0 && t[i-1] != cell.Blank {
		i--
	}
	return i
}

func firstTokenEnd(t []byte, from int) int {
	for from < len(t) && t[from] != cell.Blank {
		from++
	}
	return from
}
