package triage

import (
	"bytes"
	"maps"
	"slices"
	"strings"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/layout"
	"continuo/internal/source"
)

// edgeLines are the first (1) and the last (2) line with cells of each page, by file
// and line; 3 is a line alone on its page.
type edgeLines [][]uint8

// has reports whether a piece of a source stands on one of them.
func (e edgeLines) has(p book.Piece) bool {
	return int(p.Vol) < len(e) && int(p.Line) < len(e[p.Vol]) && e[p.Vol][p.Line] > 0
}

// alone reports whether a piece of a source has its page for itself.
func (e edgeLines) alone(p book.Piece) bool { return e.has(p) && e[p.Vol][p.Line] == 3 }

// edges finds the first and the last line with cells of each page, page numbers that
// stand alone left aside.
func edges(b *book.Book, pages [][]int32) edgeLines {
	out := make(edgeLines, len(pages))
	for v, starts := range pages {
		f := b.Files[v]
		out[v] = make([]uint8, len(f.Lines))
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
				out[v][from] |= 1
				out[v][to-1] |= 2
			}
		}
	}
	return out
}

// numberAtEdge looks for a paragraph with a page label after three blanks at the end of a
// line at the top or foot of a page: a number that shares its line with text.
func numberAtEdge(b *book.Book, edge edgeLines) []sign {
	for i := range b.Blocks {
		if b.Blocks[i].Kind != book.Para {
			continue
		}
		for _, p := range b.Blocks[i].Pieces {
			if p.Tool != nil || !edge.has(p) {
				continue
			}
			t := bytes.TrimRight(b.Text(p), " ")
			if at := bytes.LastIndex(t, []byte("   ")); at > 0 && pageNumber(t[at:]) {
				return []sign{lookAt("head-left", t, "a number set off as page numbers are stands at the end of a line of text")}
			}
		}
	}
	return nil
}

// pageNumber reports whether cells are a page label that is no line number, as every
// fifth line of a poem has.
func pageNumber(t []byte) bool {
	l, ok := cell.ParseLabel(bytes.TrimSpace(t))
	return ok && !l.Bare && (l.Value%5 != 0 || l.Prefix != "")
}

// titleSlip looks for a line at the top or foot of a page, not on the title page, that says
// what the title says but for a slip, or breaks it off; or, among the preliminary matter,
// what page heads say that were left out.
func titleSlip(b *book.Book, title string, edge edgeLines, heads *outHeads) []sign {
	title = headWords([]byte(title))
	for i := range b.Blocks {
		bl := &b.Blocks[i]
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
		if again || at && (slip || breaksOff(b, i, k, title)) {
			return []sign{lookAt("head-left", b.Text(bl.Pieces[0]), "a line at the edge of a page may be a page head: it says what the title says, or nearly that")}
		}
	}
	return nil
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
	count, ends := map[string]int{}, map[string][]byte{}
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
				ends[k] = t
			}
		}
	}
	for _, k := range slices.Sorted(maps.Keys(ends)) {
		if count[k] <= fewHeads {
			return []sign{lookAt("head-or-text", ends[k], "a line left out as a page head on a few pages ends as a sentence does")}
		}
	}
	return nil
}

// headOverRule looks for a line with the words of the title, and no page number, that was
// left out as a page head and has a rule right under it and then a heading: the title over
// the text may stand so.
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
			if k := headWords(t); len(k) < minHead || !strings.HasPrefix(title, k) || bytes.Contains(t, []byte("  ")) {
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
				return []sign{lookAt("head-or-text", t, "a line with the words of the title was left out as a page head, and has a rule under it")}
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
