package structure_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/english"
	"continuo/internal/source"
	"continuo/internal/structure"
)

// entryBook makes a book of lines: at the margin an entry, "# " a heading, with
// two blanks a sense, with four a runover of the line before.
func entryBook(t *testing.T, lines []string) *book.Book {
	t.Helper()
	f, err := source.Parse("v1.brf", []byte(strings.Join(lines, "\n")+"\n"))
	if err != nil {
		t.Fatal(err)
	}
	b := book.NewBook([]*source.File{f})
	for i, l := range lines {
		p := book.Piece{Line: int32(i), To: int32(len(l))}
		switch {
		case strings.HasPrefix(l, "    "):
			last := &b.Blocks[len(b.Blocks)-1]
			last.Pieces = append(last.Pieces, p)
			last.Run = 4
		case strings.HasPrefix(l, "  "):
			b.Blocks = append(b.Blocks, book.Block{Kind: book.Line, First: 2, Run: 4, Pieces: []book.Piece{p}})
		case strings.HasPrefix(l, "# "):
			p.From = 2
			b.Blocks = append(b.Blocks, book.Block{Kind: book.Heading, First: 4, Run: 6, Pieces: []book.Piece{p}})
		default:
			b.Blocks = append(b.Blocks, book.Block{Kind: book.Line, Run: 2, Pieces: []book.Piece{p}})
		}
	}
	return b
}

var ueb = english.Variant{Code: english.UEB, Contracted: true, Capitals: true}

// glossary is an invented glossary in contracted UEB, its headwords contracted.
var glossary = strings.Split(`an*or1 an iron hook
ankle1 a jo9t
>m1 ! "p 2t h& & %\ld]
b>1 a bank ( s&
b1m1 ! widest "p (a boat
c>go1 :at a %ip c>ries
*>t1 a map (! sea
*ild #a1 a y;g p]son
*ild #b1 : _w (a d1l]
d>k1 )\t li<t
d1l]1 "o :o sells
sea ,l,n1 a l>ge s1l
s1l1 an animal (! sea`, "\n")

func TestEntries(t *testing.T) {
	letters := func(format string) []string {
		var out []string
		for c := 'a'; c <= 'z'; c++ {
			out = append(out, fmt.Sprintf(format, string(c)))
		}
		return out
	}
	shuffled := slices.Clone(glossary)
	for i := range shuffled {
		j := (i*7 + 3) % len(shuffled)
		shuffled[i], shuffled[j] = shuffled[j], shuffled[i]
	}
	with := func(at int, more ...string) []string { return slices.Insert(slices.Clone(glossary), at, more...) }
	numbered := slices.Clone(glossary)
	for i := range numbered {
		numbered[i] += "1 #a" + string(rune('a'+i%9))
	}
	for _, c := range []struct {
		name           string
		lines          []string
		runs, entries  int
		strays, beyond int // beyond: the block that must be no entry
	}{
		{name: "a glossary in contracted braille, sorted in print order", lines: glossary, runs: 1, entries: 13, beyond: -1},
		{name: "letter headings and senses stand between", lines: with(3, "# ;b", "  #b a s5se", "    ( two l9es"), runs: 1, entries: 13, beyond: -1},
		{name: "a print page turn before a headword", lines: append([]string{`"3#ab acid1 a s\r ?+`}, glossary...), runs: 1, entries: 14, beyond: -1},
		{name: "a line at the margin that is no entry", lines: with(6, "z a l9e ( v]se 9 _m"), runs: 0, entries: 0, beyond: -1},
		{name: "too few", lines: glossary[:9], beyond: -1},
		{name: "not in order", lines: shuffled, beyond: -1},
		{name: "an alphabet in verse (A was an archer, common practice in nursery books)", lines: letters("%s 0 an >*] :o %ot at a frog"), beyond: -1},
		{name: "answers a to z", lines: letters("%s4 ! s5t;e is \":e"), beyond: -1},
		{name: "an index", lines: numbered, beyond: -1},
		{name: "a bibliography", lines: append([]string{"# ,bibliography"}, glossary...), beyond: -1},
		{name: "a list of words without a text", lines: strings.Fields("anchor ankle arm bar beam cargo chart dark deal ear eat"), beyond: -1},
		{name: "a litany: the same word again and again, in no order", lines: strings.Split("praise hm ! sun & moon\npraise hm all /}s ( li<t\npraise hm & fly\npraise hm : he>t\npraise hm 9 his\npraise hm c{d & s\npraise hm us ?y n\npraise hm v y m\npraise hm & 2 glad\npraise hm s be x\npraise hm all hills\npraise hm trees", "\n"), beyond: -1},
	} {
		t.Run(c.name, func(t *testing.T) {
			runs := structure.FindEntries(entryBook(t, c.lines), ueb)
			entries, strays := 0, 0
			for _, r := range runs {
				entries += len(r.Entries)
				strays += len(r.Strays)
			}
			if len(runs) != c.runs || entries != c.entries || strays != c.strays {
				t.Errorf("%d runs, %d entries, %d strays; want %d, %d, %d", len(runs), entries, strays, c.runs, c.entries, c.strays)
			}
		})
	}
}

// TestEntryStrays: in a long run one line out of order stays unmarked and is
// told; a line out of order among those of its letter is an entry.
func TestEntryStrays(t *testing.T) {
	var lines []string
	for c := 'b'; c <= 'y'; c++ {
		lines = append(lines, string(c)+"ab1 a ^w ( no use", string(c)+"ob1 ano!r ^w")
	}
	lines = slices.Insert(lines, 11, "zebra1 /r1y & n at h")
	runs := structure.FindEntries(entryBook(t, lines), ueb)
	if len(runs) != 1 || !slices.Equal(runs[0].Strays, []int{11}) || len(runs[0].Entries) != 48 {
		t.Fatalf("runs %+v, want one with the stray block 11", runs)
	}
	lines[11] = "gyb1 ! ?ird ^w ( its lr"
	if runs = structure.FindEntries(entryBook(t, lines), ueb); len(runs) != 1 || len(runs[0].Strays) != 0 || len(runs[0].Entries) != 49 {
		t.Fatalf("runs %+v, want no stray", runs)
	}
}

func TestSkipTurns(t *testing.T) {
	for _, c := range []struct {
		text string
		want int
	}{{`"3#ab acid`, 6}, {`"3 #ab acid`, 7}, {"acid", 0}, {`"3333333`, 0}, {`"3#ab`, 5}, {`"3#a "3#b x`, 10}} {
		if got := structure.SkipTurns([]byte(c.text)); got != c.want {
			t.Errorf("%q: %d, want %d", c.text, got, c.want)
		}
	}
}
