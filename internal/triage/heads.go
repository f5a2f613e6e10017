package triage

import (
	"bytes"
	"strings"

	"continuo/internal/book"
	"continuo/internal/convert"
	"continuo/internal/layout"
)

// headOrText looks for lines kept as text that say what lines left out as page
// heads say: one of them was taken for the other. A refrain at the top of a
// page may have gone as a head, or a head may have stayed. Headings, the title
// and contents entries say what heads say, and are none of these. A line at
// the top or foot of a page, which begins as a heading does and breaks off, is
// like a head too.
func headOrText(b *book.Book, title string, edge map[[2]int32]bool) []sign {
	heads := headsOut(b)
	names := headings(b)
	title = headWords([]byte(title))
	for i := range b.Blocks {
		bl := &b.Blocks[i]
		if bl.Part == book.TitlePage || bl.Part == book.Prelims {
			continue
		}
		switch bl.Kind {
		case book.Heading, book.TitleLine, book.Entry, book.Turn, book.Label:
			continue
		}
		for _, p := range bl.Pieces {
			if p.Tool != nil || !wholeLine(b, p) {
				continue
			}
			k := headWords(b.Text(p))
			switch {
			case len(k) < minHead, len(k) < len(title) && strings.HasPrefix(title, k) && !edge[[2]int32{p.Vol, p.Line}]: // the title over two lines
			case heads[k]:
				return []sign{look("head-or-text", "a line of the text says what a line left out as a page head says: %q", bytes.TrimSpace(b.Text(p)))}
			case edge[[2]int32{p.Vol, p.Line}] && begins(names, k):
				return []sign{look("head-or-text", "a line at the edge of a page has the words of a heading: %q", bytes.TrimSpace(b.Text(p)))}
			}
		}
	}
	return nil
}

// headings is what the headings say, line by line.
func headings(b *book.Book) map[string]bool {
	out := map[string]bool{}
	for i := range b.Blocks {
		if bl := &b.Blocks[i]; bl.Kind == book.Heading {
			if k := headWords(entryText(b, bl)); len(k) >= minHead {
				out[k] = true
			}
		}
	}
	return out
}

// begins reports whether a heading says the words, or begins with two of them
// or more.
func begins(names map[string]bool, words string) bool {
	if names[words] {
		return true
	}
	if strings.IndexByte(words, ' ') < 0 {
		return false
	}
	for n := range names {
		if strings.HasPrefix(n, words+" ") {
			return true
		}
	}
	return false
}

// headsOut is what the lines say that were left out as page heads, without
// page numbers.
func headsOut(b *book.Book) map[string]bool {
	out := map[string]bool{}
	isHead := func(r book.ReasonID) bool { return b.Reasons[r].Class == "head" }
	for v := range b.Out {
		f := b.Files[v]
		for l, why := range b.Out[v] {
			if isHead(why) {
				out[headWords(f.Text(l))] = true
			}
		}
		for l, cuts := range b.Cuts[v] {
			for _, c := range cuts {
				if isHead(c.Reason) {
					start := f.Lines[l].Start
					out[headWords(f.Cells[start+c.From:start+c.To])] = true
				}
			}
		}
	}
	return out
}

// wholeLine reports whether a piece holds all the words of its line.
func wholeLine(b *book.Book, p book.Piece) bool {
	l := b.Files[p.Vol].Lines[p.Line]
	cells := b.Files[p.Vol].Cells
	return len(headWords(cells[l.Start:l.Start+p.From])) == 0 && len(headWords(cells[l.Start+p.To:l.End])) == 0
}

// headWords is a line without the page labels set off at its ends and without
// capital signs; punctuation at its end is one full stop.
func headWords(t []byte) string {
	t = bytes.TrimSpace(t)
	if isLabel(t) {
		return ""
	}
	if i := bytes.LastIndex(t, []byte("  ")); i > 0 && isLabel(t[i:]) {
		t = t[:i]
	}
	if i := bytes.Index(t, []byte("  ")); i > 0 && isLabel(t[:i]) {
		t = t[i:]
	}
	n := layout.Normal(bytes.TrimSpace(t))
	if w := strings.TrimRight(n, "123468"); len(w) < len(n) {
		return w + "4"
	}
	return n
}

// headingTwice looks for a heading at the top or foot of a page that says what
// the last heading of its kind said, or breaks off what an earlier one says: a
// page head that was kept for a heading. The kind of a heading is its first
// word. A heading that ends the book is one that nothing follows.
func headingTwice(b *book.Book, edge map[[2]int32]bool) []sign {
	last := map[string]string{}
	before := map[string]bool{}
	for i := range b.Blocks {
		bl := &b.Blocks[i]
		if bl.Kind != book.Heading || len(bl.Pieces) == 0 {
			continue
		}
		t := sourceText(b, bl)
		k := headWords(t)
		kind, _, more := strings.Cut(k, " ")
		p := bl.Pieces[len(bl.Pieces)-1]
		if p.Tool == nil && edge[[2]int32{p.Vol, p.Line}] && len(k) >= minHead && (last[kind] == k || more && !before[k] && begins(before, k)) {
			return []sign{look("heading-twice", "a heading at the edge of a page says what an earlier heading says: %q", bytes.TrimSpace(t))}
		}
		last[kind], before[k] = k, true
	}
	return nil
}

// sourceText is what a block has of the sources.
func sourceText(b *book.Book, bl *book.Block) []byte {
	var out []byte
	for _, p := range bl.Pieces {
		if p.Tool == nil {
			out = append(append(out, b.Text(p)...), ' ')
		}
	}
	return bytes.TrimSpace(out)
}

// heads looks at what may be page heads in the text, or text among the heads.
func heads(r *convert.Result, title string) []sign {
	if r.Book == nil || r.Pages == nil {
		return nil
	}
	edge := edges(r.Book, r.Pages)
	return append(headOrText(r.Book, title, edge), headingTwice(r.Book, edge)...)
}

// edges are the first and the last line with cells of each page, by file and
// line.
func edges(b *book.Book, pages [][]int32) map[[2]int32]bool {
	out := map[[2]int32]bool{}
	for v, starts := range pages {
		f := b.Files[v]
		for k, from := range starts {
			to := int32(len(f.Lines))
			if k+1 < len(starts) {
				to = starts[k+1]
			}
			for l := from; l < to; l++ {
				if len(bytes.TrimSpace(f.Text(int(l)))) > 0 {
					out[[2]int32{int32(v), l}] = true
					break
				}
			}
			for l := to - 1; l >= from; l-- {
				if len(bytes.TrimSpace(f.Text(int(l)))) > 0 {
					out[[2]int32{int32(v), l}] = true
					break
				}
			}
		}
	}
	return out
}
