package convert_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/cell"
)

// listForm is a contents list as it is set, and as the one book has it. Its headings are set
// as chapters of the text, two to a page turn; ~ parts the lines of one, | one from another.
type listForm struct {
	name    string
	heading string // of the list
	lines   []string
	heads   []string
	want    string // the list of the edition
	joined  int
	targets int // to how many headings, 0 for as many
}

// listForms are lists as the standards and houses lay them: entries in cell 1, the next level in cell 3, runovers two
// cells further in than the deepest (BANA Braille Formats 2016, 2.10, from memory), no guide dots or those of dot 5 (Rules of
// Unified English Braille 2013, 16.5.1), numbers before the words, or none (common practice).
var listForms = []listForm{
	{
		name: "novel, no numbers", heading: ",3t5ts",
		lines: []string{",! ,quay", ",! ,h>b\\r", ",! ,la/ ,boat"},
		heads: []string{",! ,quay", ",! ,h>b\\r", ",! ,la/ ,boat"},
		want:  "    ,3t5ts\n,! ,quay\n,! ,h>b\\r\n,! ,la/ ,boat\n", joined: 3,
	},
	{
		name: "parts and chapters, no numbers", heading: ",3t5ts",
		lines: []string{",book ,\"o", "  ,\"o", "  ,two", ",book ,two", "  ,?ree"},
		heads: []string{",book ,\"o~,\"o", ",two", ",book ,two~,?ree"},
		want:  "    ,3t5ts\n,book ,\"o\n  ,\"o\n  ,two\n,book ,two\n  ,?ree\n", joined: 5,
	},
	{
		name: "under other words", heading: ",l/ ( ,*apt]s",
		lines: []string{",*apt] #a", ",*apt] #b", ",*apt] #c"},
		heads: []string{",*apt] #a", ",*apt] #b", ",*apt] #c"},
		want:  "    ,l/ ( ,*apt]s\n,*apt] #a\n,*apt] #b\n,*apt] #c\n", joined: 3,
	},
	{
		name: "anthology, no guide dots, narrow runovers", heading: ",! ,/ories",
		lines: []string{",! ,quay3", "    by ,ivo", "    ,r\\d  #c", ",salt3 by", "    ,may ,l;g  #d", ",boats3 by", "    ,ada ,cr1g  #e"},
		heads: []string{",! ,quay~by ,ivo ,r\\d", ",salt~by ,may ,l;g", ",boats~by ,ada ,cr1g"},
		want:  "    ,! ,/ories\n,! ,quay3 by ,ivo ,r\\d\n,salt3 by ,may ,l;g\n,boats3 by ,ada ,cr1g\n", joined: 3,
	},
	{
		name: "number on the first line", heading: ",3t5ts",
		lines: []string{",! ,quay \"\"\"\"\"\"\"\"\"\"\"\"\" #c", ",:at ! ,f]ry ,did \"\"\"\"\" #d", "  ,:5 x ,came 6! ,end", ",salt \"\"\"\"\"\"\"\"\"\"\"\"\"\"\"\" #e"},
		heads: []string{",! ,quay", ",:at ! ,f]ry ,did~,:5 x ,came 6! ,end", ",salt"},
		want:  "    ,3t5ts\n,! ,quay\n,:at ! ,f]ry ,did ,:5 x ,came 6! ,end\n,salt\n", joined: 3,
	},
	{
		name: "numbers before the words", heading: ",3t5ts",
		lines: []string{"#c   ,! ,quay", "#d   ,! ,h>b\\r", "#e   ,salt"},
		heads: []string{",! ,quay", ",! ,h>b\\r", ",salt"},
		want:  "    ,3t5ts\n,! ,quay\n,! ,h>b\\r\n,salt\n", joined: 3,
	},
	{
		name: "numbers over the words, which the headings have in a row", heading: ",3t5ts",
		lines: []string{",*apt] #a", ",h[ ! ,boat ,came to ,>d5 \"\"\"\" #c", ",*apt] #b", ",salt & ,rope \"\"\"\"\"\"\"\"\" #d", ",*apt] #c", ",! ,\"w%op & ,xs ,boats \"\" #e"},
		heads: []string{",*apt] #a3 ,h[ ! ,boat~,came to ,>d5", ",*apt] #b3 ,salt & ,rope", ",*apt] #c3 ,! ,\"w%op~& ,xs ,boats"},
		want:  "    ,3t5ts\n,*apt] #a\n,h[ ! ,boat ,came to ,>d5\n,*apt] #b\n,salt & ,rope\n,*apt] #c\n,! ,\"w%op & ,xs ,boats\n", joined: 6, targets: 3,
	},
	{
		name: "letters of appendixes without the word", heading: ",3t5ts",
		lines: []string{",! ,quay #c", ",a ,salt #d", ",b ,! ,brok5 ,or*>d 9 ,gl5roy & ,:at", "    ,2came ( ,x #e"},
		heads: []string{",! ,quay", ",app5dix ,a~,salt", ",app5dix ,b~,! ,brok5~,or*>d 9~,gl5roy~& ,:at~,2came ( ,x"},
		want:  "    ,3t5ts\n,! ,quay\n,a ,salt\n,b ,! ,brok5 ,or*>d 9 ,gl5roy & ,:at ,2came ( ,x\n", joined: 3,
	},
	{
		name: "textbook of three levels", heading: ",3t5ts",
		lines: []string{",unit #a ,wat] \"\"\"\"\"\"\"\"\" #c", "  ,*apt] #a ,riv]s \"\"\"\"\" #c", "    ,floods \"\"\"\"\"\"\"\"\"\"\"\" #c", "  ,*apt] #b ,lakes \"\"\"\"\"\" #d", ",unit #b ,/" + "one \"\"\"\"\"\"\"\" #e", "  ,*apt] #c ,clay \"\"\"\"\"\"\" #e"},
		heads: []string{",unit #a ,wat]|,*apt] #a ,riv]s|,floods", ",*apt] #b ,lakes", ",unit #b ,/one|,*apt] #c ,clay"},
		want:  "    ,3t5ts\n,unit #a ,wat]\n  ,*apt] #a ,riv]s\n    ,floods\n  ,*apt] #b ,lakes\n,unit #b ,/one\n  ,*apt] #c ,clay\n", joined: 6,
	},
}

// TestListForms: a contents list of any of these forms is one list in the edition, entry by entry, each joined to its
// heading, without the numbers of braille pages.
func TestListForms(t *testing.T) {
	for _, f := range listForms {
		t.Run(f.name, func(t *testing.T) {
			s := hardVolume(1, 1)
			s.turn()
			s.centre(f.heading)
			s.put("")
			for _, l := range f.lines {
				s.put(l)
			}
			for _, h := range f.heads {
				s.turn()
				for _, one := range strings.Split(h, "|") {
					s.put("")
					for _, line := range strings.Split(one, "~") {
						s.centre(line)
					}
					s.put("")
					s.para(20)
				}
				s.para(40)
				s.para(30)
			}
			res, ed := hardBook(t, nil, s.String())
			if !strings.Contains(strings.ReplaceAll(ed, "\n\n", "\n"), f.want) {
				t.Errorf("no list %q\n%s", f.want, ed[:min(len(ed), 900)])
			}
			if n := linksOf(res, book.ListRef); n != f.joined {
				t.Errorf("%d entries joined, want %d", n, f.joined)
			}
			targets := map[int32]bool{}
			for _, l := range res.Book.Links {
				targets[l.Target] = targets[l.Target] || l.Kind == book.ListRef
			}
			if f.targets > 0 && len(targets) != f.targets {
				t.Errorf("joined to %d headings, want %d", len(targets), f.targets)
			}
		})
	}
}

// TestTwoChaptersOfOneTitle: two chapters have one title, and the print page stands beside the heading on line 1 of
// its page (BANA Braille Formats 2016, 1.11.1). The contents list has both with their pages: the second is no
// head that repeats the first.
func TestTwoChaptersOfOneTitle(t *testing.T) {
	s := &houseVolume{width: 38, height: 25, next: 9}
	s.titleAlone()
	s.centre(",3t5ts")
	names := []string{",! ,quay", ",f]ry ,hill", ",f]ry ,hill", ",salt", ",! ,w>f", ",! ,la/ ,boat"}
	at := []int{1, 12, 26, 35, 47, 58}
	for i, n := range names {
		s.put(n + " " + strings.Repeat("\"", 30-len(n)) + " " + string(cell.Number(at[i])))
	}
	for i, n := range names {
		s.turn()
		l := string(cell.Number(at[i]))
		line := strings.Repeat(" ", (s.width-len(n))/2) + n
		s.put(line + strings.Repeat(" ", s.width-len(line)-len(l)) + l)
		s.put("")
		for k := range 5 {
			for range 4 {
				s.para(40)
			}
			if k < 4 {
				l := string(cell.Number(at[i] + k + 1))
				s.put(strings.Repeat("-", s.width-len(l)) + l)
			}
		}
	}
	_, ed := hardBook(t, nil, s.String())
	if n := strings.Count(ed, "\n    ,f]ry ,hill\n"); n != 2 {
		t.Errorf("%d headings of one title, want 2\n%s", n, ed[:min(len(ed), 1500)])
	}
}

// TestListNumberedAnew: one list for all volumes stands in each, under "in this volume", with the braille page beside its heading, and
// its numbers begin anew in each volume (common practice). It is one list without dead numbers.
func TestListNumberedAnew(t *testing.T) {
	var vols []string
	for v := 1; v <= 2; v++ {
		s := hardVolume(v, 2)
		s.head = nil
		s.turn()
		s.put(fmt.Sprintf("           ,9 ,? ,volume%14s", string(cell.Number(2))))
		for c := 1; c <= 6; c++ {
			x := ",*apt] " + string(cell.Number(c))
			s.put(x + " " + strings.Repeat("-", 24) + " " + string(cell.Number(3+(c-1)%3*2)))
		}
		for c := 3*v - 2; c <= 3*v; c++ {
			s.turn()
			s.chapter(",*apt] "+string(cell.Number(c)), 7)
		}
		vols = append(vols, s.ends(v))
	}
	res, ed := hardBook(t, nil, vols...)
	want := ",9 ,? ,volume\n,*apt] #a\n,*apt] #b\n,*apt] #c\n,*apt] #d\n,*apt] #e\n,*apt] #f\n"
	if n := linksOf(res, book.ListRef); n != 6 || strings.Contains(ed, "---") || strings.Count(strings.ReplaceAll(ed, "\n\n", "\n"), want) != 1 {
		t.Errorf("%d entries joined\n%s", n, ed[:min(len(ed), 1500)])
	}
}

// TestSymbolsInThisVolume: the heading of the special symbols page takes two lines, the second of them "in this volume", and a
// contents list stands on the next page (symbols page before the contents, in every volume: English Braille
// American Edition, appendix A). The contents heading is that of the list; the symbols stand under theirs.
func TestSymbolsInThisVolume(t *testing.T) {
	var vols []string
	for v := 1; v <= 2; v++ {
		s := hardVolume(v, 2)
		s.head = nil
		s.turn()
		s.centre(",special ,symbols ,us$")
		s.centre("9 ,? ,volume")
		s.put("")
		s.put("\"3 pr9t page turn 9dicator")
		s.turn()
		s.centre(",3t5ts")
		s.put("")
		for c := 3*v - 2; c <= 3*v; c++ {
			s.put(",*apt] " + string(cell.Number(c)) + " " + strings.Repeat("\"", 24) + " " + string(cell.Number(c)))
		}
		for c := 3*v - 2; c <= 3*v; c++ {
			s.turn()
			s.chapter(",*apt] "+string(cell.Number(c)), 7)
		}
		vols = append(vols, s.ends(v))
	}
	res, ed := hardBook(t, nil, vols...)
	inOrder(t, ed, "9 ,? ,volume\n", "\"3 pr9t page", ",3t5ts\n", ",*apt] #a\n,*apt] #b\n,*apt] #c\n,*apt] #d\n,*apt] #e\n,*apt] #f\n")
	if n := linksOf(res, book.ListRef); n != 6 {
		t.Errorf("%d entries joined\n%s", n, ed[:min(len(ed), 1500)])
	}
}
