package convert_test

import (
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/convert"
	"continuo/internal/source"
)

// crossBook is a short book with an index and references to pages. With turns
// it shows its print pages by dots 5, 2-5 and the number (W3C w3c-wai-hc 1997,
// 0312: common practice in the United Kingdom).
func crossBook(turns bool) []byte {
	var b strings.Builder
	b.WriteString("\n\n          ,! ,old ,f]ry\n\n          by ,orla ,penn\n\f")
	para := func(s string) { b.WriteString("  " + s + "\n") }
	for n := 1; n <= 9; n++ {
		label := "#" + string(rune('a'+n-1))
		if turns {
			b.WriteString("                \"3" + label + "\n")
		}
		if n%3 == 1 {
			b.WriteString("\n              ,*apt] #" + string(rune('a'+n/3)) + "\n\n")
		}
		for range 6 {
			para(",! old f]ry cross$ ! riv] twice a")
			b.WriteString("\"d & nobody 9 ! village cd rememb] a\ntime 2fore x4\n")
		}
		if n == 5 {
			para(",see page #b = ! bell1 & volume #b1")
			b.WriteString("page #g = ! rope4\n")
		}
		b.WriteString("\f")
	}
	b.WriteString("\n               ,9dex\n\n")
	for k, w := range []string{"anchor", "bell", "cable", "d\\k", "f]ry", "grain", "harb\\r"} {
		b.WriteString(w + "1 #" + string(rune('a'+k)) + "1 #" + string(rune('b'+k)) + "\n")
	}
	return []byte(b.String())
}

// TestCrossReferences: references to print pages that the edition shows are
// links to the block where the page begins; those to pages of the paper
// volumes are told.
func TestCrossReferences(t *testing.T) {
	for _, turns := range []bool{true, false} {
		f, err := source.Parse("ferry.brf", crossBook(turns))
		if err != nil {
			t.Fatal(err)
		}
		res, err := convert.Make([]*source.File{f}, convert.Defaults())
		if err != nil {
			t.Fatal(err)
		}
		links, dead, index := 0, 0, 0
		for _, l := range res.Book.Links {
			if l.Kind != book.CrossRef {
				continue
			}
			links++
			label := string(res.Book.Text(res.Book.Blocks[l.Block].Pieces[l.Piece])[l.From:l.To])
			found := false
			for _, m := range res.Book.Turns {
				found = found || m.Block == l.Target && "#"+string(rune('a'+m.Label.Value-1)) == label
			}
			if !found {
				t.Errorf("%q is linked to block %d, where no such page begins: %q", label, l.Target, blockText(res.Book, int(l.Target)))
			}
		}
		for _, x := range res.Findings {
			switch x.ID {
			case "page-reference":
				dead++
			case "index-pages":
				index++
			}
		}
		wantLinks, wantDead, wantIndex := 15, 1, 0
		if !turns {
			wantLinks, wantDead, wantIndex = 0, 2, 1
		}
		if links != wantLinks || dead != wantDead || index != wantIndex {
			t.Errorf("print pages %v: %d links, %d dead references, %d findings on the index; want %d, %d, %d", turns, links, dead, index, wantLinks, wantDead, wantIndex)
		}
	}
}
