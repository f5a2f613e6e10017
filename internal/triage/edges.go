package triage

import (
	"bytes"
	"maps"
	"slices"
	"sort"
	"strings"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/layout"
	"continuo/internal/source"
)

// edgeLines are the first (1) and the last (2) line with cells of each page, by file
// and line; 3 is a line alone on its page.
type edgeLines struct {
	lines [][]uint8
	pages [][]int32 // per file: the line on which each page begins
}

// has reports whether a piece of a source stands on one of them.
func (e edgeLines) has(p book.Piece) bool {
	return int(p.Vol) < len(e.lines) && int(p.Line) < len(e.lines[p.Vol]) && e.lines[p.Vol][p.Line] > 0
}

// alone reports whether a piece of a source has its page for itself.
func (e edgeLines) alone(p book.Piece) bool { return e.has(p) && e.lines[p.Vol][p.Line] == 3 }

// edges finds the first and the last line with cells of each page, page numbers that
// stand alone left aside.
func edges(b *book.Book, pages [][]int32) edgeLines {
	out := edgeLines{make([][]uint8, len(pages)), pages}
	for v, starts := range pages {
		f := b.Files[v]
		out.lines[v] = make([]uint8, len(f.Lines))
		bare := func(l int32) bool {
			return cell.Marks(f.Text(int(l))) == 0 || b.Reasons[b.Out[v][l]].Class == "page-number"
		}
		for k, from := range starts {
			to := int32(len(f.Lines))
			if k+1 < len(starts) {
				to = starts[k+1]
			}
			for from < to && bare(from) {
				from++
			}
			for to > from && bare(to-1) {
				to--
			}
			if from < to {
				out.lines[v][from] |= 1
				out.lines[v][to-1] |= 2
			}
		}
	}
	return out
}

// row is on which line of its page a piece stands, and on which page, both from 0.
func (e edgeLines) row(p book.Piece) (row, page int32) {
	starts := e.pages[p.Vol]
	i := sort.Search(len(starts), func(i int) bool { return starts[i] > p.Line }) - 1
	return p.Line - starts[max(i, 0)], int32(i)
}

// tallest is how many lines the longest page of a file has.
func (e edgeLines) tallest(vol int32) int32 {
	most, starts := int32(0), e.pages[vol]
	for i := 1; i < len(starts); i++ {
		most = max(most, starts[i]-starts[i-1])
	}
	return most
}

// pagesOf counts the pages of all files.
func (e edgeLines) pagesOf() (n int) {
	for _, p := range e.pages {
		n += len(p)
	}
	return n
}

// numberAtEdge looks for a paragraph with a page label after three blanks at the end of a
// line at the top or foot of a page: a number that shares its line with text.
func numberAtEdge(b *book.Book, edge edgeLines) []sign {
	return paraAtEdge(b, edge, func(p book.Piece) []sign {
		t := bytes.TrimRight(b.Text(p), " ")
		if at := bytes.LastIndex(t, []byte("   ")); at > 0 && pageNumber(t[at:]) {
			return []sign{lookAt("head-left", p, t, "a number set off as page numbers are stands at the end of a line of text")}
		}
		return nil
	})
}

// paraAtEdge is the first sign of one of the lines of paragraphs at the top or foot of a page.
func paraAtEdge(b *book.Book, edge edgeLines, sign func(p book.Piece) []sign) []sign {
	for i := range b.Blocks {
		if b.Blocks[i].Kind != book.Para {
			continue
		}
		for _, p := range b.Blocks[i].Pieces {
			if p.Tool == nil && edge.has(p) {
				if s := sign(p); s != nil {
					return s
				}
			}
		}
	}
	return nil
}

// headAtEdge looks for a line of a paragraph at the top or foot of a page that says a heading, or its
// first words, and a page label behind it: a head so long that no room was left to set the number off.
func headAtEdge(b *book.Book, edge edgeLines) []sign {
	var names map[string]bool
	return paraAtEdge(b, edge, func(p book.Piece) []sign {
		t := bytes.TrimSpace(b.Text(p))
		at := bytes.LastIndexByte(t, ' ')
		if at < minHead || t[at+1] != '#' || !pageNumber(t[at:]) || !wholeLine(b, p) {
			return nil
		}
		if names == nil {
			names = headings(b)
		}
		if k := headWords(t[:at]); len(k) >= minHead && names[k] {
			return []sign{lookAt("head-left", p, t, "a line at the edge of a page says a heading, and a page number behind it")}
		}
		return nil
	})
}

// listedBeforeText looks for a heading that a contents list names among the preliminary matter of a
// later volume: a chapter may begin there.
func listedBeforeText(b *book.Book) []sign {
	for _, l := range b.Links {
		if l.Kind != book.ListRef || int(l.Target) >= len(b.Blocks) {
			continue
		}
		bl := &b.Blocks[l.Target]
		if bl.Kind == book.Heading && bl.Part == book.Prelims && len(bl.Pieces) > 0 && bl.Pieces[0].Tool == nil && bl.Pieces[0].Vol > 0 {
			return []sign{lookAt("new-preliminary-matter", bl.Pieces[0], sourceText(b, bl), "a heading of the contents list stands among the preliminary matter of a later volume")}
		}
	}
	return nil
}

// pageNumber reports whether cells are a page label that is no line number, as every
// fifth line of a poem has; none is 0, as page 10 without its first digit is.
func pageNumber(t []byte) bool {
	l, ok := cell.ParseLabel(bytes.TrimSpace(t))
	return ok && !l.Bare && (l.Value%5 != 0 || l.Value == 0 || l.Prefix != "")
}

// titleSlip looks for a line at the top or foot of a page, not on the title page, that says
// what the title says but for a slip, or breaks it off; or, among the preliminary matter,
// what page heads say that were left out.
func titleSlip(b *book.Book, title string, edge edgeLines, heads *outHeads) []sign {
	title = headWords([]byte(title))
	said := map[string]bool{} // on the title page
	for i := range b.Blocks {
		bl := &b.Blocks[i]
		if bl.Part == book.TitlePage {
			said[headWords(sourceText(b, bl))] = true
		}
		if bl.Part == book.TitlePage || bl.Kind == book.Entry || len(bl.Pieces) != 1 || bl.Pieces[0].Tool != nil {
			continue
		}
		at, front := edge.has(bl.Pieces[0]), bl.Part == book.Prelims || overContents(b, i)
		if !at && !front {
			continue
		}
		k := headWords(b.Text(bl.Pieces[0]))
		if len(k) < minHead || len(k) > 2*len(title) {
			continue
		}
		slip := len(k) >= 2*minHead && !strings.HasPrefix(title, k) && layout.Alike(k, firstWords(title, k))
		again := front && heads.words[k] && strings.HasPrefix(title+" ", k+" ") && !edge.alone(bl.Pieces[0])
		if (again || at && heads.couldStand(b, edge, bl.Pieces[0]) && (slip || breaksOff(b, i, k, title))) && !(front && titlePageAgain(b, i, said)) {
			return []sign{lookAt("head-left", bl.Pieces[0], b.Text(bl.Pieces[0]), "a line at the edge of a page may be a page head: it says what the title says, or nearly that")}
		}
	}
	return nil
}

// titlePageAgain reports whether the three blocks after block i say what a line of the title page does, such as
// the author's name: the title page of the print follows that of the braille edition.
func titlePageAgain(b *book.Book, i int, said map[string]bool) bool {
	own, next := headWords(sourceText(b, &b.Blocks[i])), ""
	for j := i + 1; j < min(i+4, len(b.Blocks)); j++ {
		next += headWords(sourceText(b, &b.Blocks[j])) + " "
	}
	for s := range said {
		if len(s) >= minHead && s != own && strings.Contains(next, s+" ") {
			return true
		}
	}
	return false
}

// titleOverVolume looks for the title, on one line or two, where the text of a later volume
// begins: UK practice sets it there in every volume (common practice), and one of them is enough.
func titleOverVolume(b *book.Book, title string) []sign {
	title = headWords([]byte(title))
	text, here := int32(-1), int32(-1) // the volume of the first text, and the last one with text before
	for i := range b.Blocks {
		bl := &b.Blocks[i]
		if bl.Part == book.TitlePage || bl.Part == book.Prelims || len(bl.Pieces) == 0 || bl.Pieces[0].Tool != nil {
			continue
		}
		p := bl.Pieces[0]
		if text >= 0 && p.Vol > text && p.Vol > here && len(title) >= minHead && saysTitle(b, i, title) {
			return []sign{lookAt("head-left", p, b.Text(p), "the title stands again where the text of a later volume begins")}
		}
		switch bl.Kind {
		case book.Para, book.Line:
			if here = p.Vol; text < 0 {
				text = here
			}
		}
	}
	return nil
}

// saysTitle reports whether block i, or it and the next one, are the title.
func saysTitle(b *book.Book, i int, title string) bool {
	k := headWords(sourceText(b, &b.Blocks[i]))
	if k == title {
		return true
	}
	rest, ok := strings.CutPrefix(title, k+" ")
	return ok && k != "" && i+1 < len(b.Blocks) && headWords(sourceText(b, &b.Blocks[i+1])) == rest
}

// overContents reports whether a contents list begins within three blocks after block i.
func overContents(b *book.Book, i int) bool {
	for j := i + 1; j < min(i+4, len(b.Blocks)); j++ {
		if b.Blocks[j].Kind == book.Entry {
			return true
		}
	}
	return false
}

// breaksOff reports whether the words of block i, three and more, begin the title among the
// preliminary matter, and the next block does not go on with it. Over the text the title
// may stand without its second line.
func breaksOff(b *book.Book, i int, words, title string) bool {
	rest, ok := strings.CutPrefix(title, words+" ")
	if !ok || strings.Count(words, " ") < 2 || b.Blocks[i].Part != book.Prelims {
		return false
	}
	return i+1 == len(b.Blocks) || len(b.Blocks[i+1].Pieces) == 0 || !strings.HasPrefix(rest, firstWords(headWords(sourceText(b, &b.Blocks[i+1])), "one"))
}

// firstWords are as many words of the title as others have: an author's name may follow.
func firstWords(title, words string) string {
	w := strings.Fields(title)
	return strings.Join(w[:min(len(w), len(strings.Fields(words)))], " ")
}

// fewHeads is on how many pages a head stands at most that is looked at for being text.
const fewHeads = 3

// headEndsSentence looks for a line left out as a page head on a few pages that ends in a
// full stop or the like: the last word of a sentence at the top of a page.
func headEndsSentence(b *book.Book) []sign {
	count, at := map[string]int{}, map[string]book.Piece{}
	for v := range b.Out {
		f := b.Files[v]
		for l, why := range b.Out[v] {
			if b.Reasons[why].Class != "head" {
				continue
			}
			t := f.Text(l)
			k := headWords(t)
			last := k[strings.LastIndexByte(k, ' ')+1:]
			if count[k]++; len(last) > 2 && last[len(last)-1] == '4' {
				at[k] = book.Piece{Vol: int32(v), Line: int32(l)}
			}
		}
	}
	for _, k := range slices.Sorted(maps.Keys(at)) {
		if count[k] <= fewHeads {
			return []sign{lookAt("head-or-text", at[k], b.Files[at[k].Vol].Text(int(at[k].Line)), "a line left out as a page head on a few pages ends as a sentence does")}
		}
	}
	return nil
}

// headOverRule looks for a line with the first words of the title, and no page number, that was
// left out as a page head and has a rule right under it and then a heading: a heading over
// the text may stand so. The whole title does too, and is kept on the title page.
func headOverRule(b *book.Book, title string) []sign {
	title = headWords([]byte(title))
	var heading map[[2]int32]bool // lines of headings
	for v := range b.Out {
		f := b.Files[v]
		for l, why := range b.Out[v] {
			if b.Reasons[why].Class != "head" {
				continue
			}
			t := bytes.TrimSpace(f.Text(l))
			if k := headWords(t); len(k) < minHead || k == title || !strings.HasPrefix(title, k) || bytes.Contains(t, []byte("  ")) {
				continue
			}
			rule := below(f, l)
			if rule < 0 || !isRule(f.Text(rule)) {
				continue
			}
			if heading == nil {
				heading = headingLines(b)
			}
			if heading[[2]int32{int32(v), int32(below(f, rule))}] {
				return []sign{lookAt("head-or-text", book.Piece{Vol: int32(v), Line: int32(l)}, t, "a line with the words of the title was left out as a page head, and has a rule under it")}
			}
		}
	}
	return nil
}

func headingLines(b *book.Book) map[[2]int32]bool {
	out := map[[2]int32]bool{}
	for i := range b.Blocks {
		if b.Blocks[i].Kind != book.Heading {
			continue
		}
		for _, p := range b.Blocks[i].Pieces {
			if p.Tool == nil {
				out[[2]int32{p.Vol, p.Line}] = true
			}
		}
	}
	return out
}

// below is the next line with cells, three blank lines between at most, -1 for none.
func below(f *source.File, l int) int {
	for i := l + 1; i < min(l+5, len(f.Lines)); i++ {
		if cell.Marks(f.Text(i)) > 0 {
			return i
		}
	}
	return -1
}

// isRule reports whether a line is one cell six times and more, another before it or not.
func isRule(t []byte) bool {
	t = bytes.TrimSpace(t)
	if len(t) > 1 && t[0] != t[1] {
		t = t[1:]
	}
	return len(t) >= 6 && len(bytes.Trim(t, string(t[:1]))) == 0
}
