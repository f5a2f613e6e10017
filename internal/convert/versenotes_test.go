package convert_test

import (
	"strings"
	"testing"

	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/source"
)

// TestNotesInVerse: notes that stand within a stanza under a separation line
// (BANA, Braille Formats 2016, section 16; the same line once more below them is
// common practice) go after it: its lines stay together, the separation lines go,
// and the blank line before the next stanza stays. Verse made up for the test.
func TestNotesInVerse(t *testing.T) {
	prose := strings.Repeat("  ,! old f]ry cross$ ! riv] twice a d &\nnobody 9 ! village cd rememb] a \"t x 0\ntime 2fore x4\n", 3)
	poem := func(rule, below string) string {
		return strings.NewReplacer("RULE\n", rule, "BELOW\n", below).Replace(`
,! f]ry lies 2s ! quay
  ,& all ! lamps >e lit;9#a
RULE
#a ,a f]ry ran "h until ! bridge 0
  built4
BELOW
,! boatman s+s ( "ds at sea
  ,& ": ! old m5 sit

,o n"e m ! we/]n li<t
  ,% fall ^u ! hill
,& n"e m "?\t ! ni<t
  ,! :eel turn at ! mill;9#b
RULE
#b ,x burn$ d[n 9 ! ye> ( ! flood4
BELOW

,b we :o /ay$ % keep ! door
  ,& trim ! lant]n's flame

`)
	}
	want := `
,! f]ry lies 2s ! quay
  ,& all ! lamps >e lit;9#a
,! boatman s+s ( "ds at sea
  ,& ": ! old m5 sit
#a ,a f]ry ran "h until ! bridge 0
  built4

,o n"e m ! we/]n li<t
  ,% fall ^u ! hill
,& n"e m "?\t ! ni<t
  ,! :eel turn at ! mill;9#b
#b ,x burn$ d[n 9 ! ye> ( ! flood4

,b we :o /ay$ % keep ! door
`
	for _, below := range []string{"", "\"333333\n"} {
		text := "\n\n          ,! ,old ,f]ry\n\n          by ,orla ,penn\n\f" + prose + poem("\"333333\n", below) + prose
		f, err := source.Parse("ferry.brf", []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		o := convert.Defaults()
		o.Profile.Notes = "paragraph"
		res, err := convert.Make([]*source.File{f}, o)
		if err != nil {
			t.Fatal(err)
		}
		if rep := check.Verify(res.Edition, res.Account, []*source.File{f}); !rep.OK {
			t.Fatalf("not proved: %v\n%s", rep.Problems, res.Edition)
		}
		if got := strings.ReplaceAll(string(res.Edition), "\r\n", "\n"); !strings.Contains(got, want) {
			t.Errorf("line below %q: no\n%s\nin\n%s", below, want, got)
		}
	}
}

// TestNumberedStanzas: the number of a stanza stands before its first line, which
// steps in (common practice of hymn books); a second line that had no room on a full
// first one is a line of its own where the others are. Verse made up for the test.
func TestNumberedStanzas(t *testing.T) {
	stanzas := `
  #a ,! f]ry lies 2s ! quay
,& all ! lamps >e lit
,! boatman s+s ( "ds at sea
,& ": ! old m5 sit

  #b ,! tide comes sl[ly up ! s&
,al;g ! brok5 wall
,a * has writt5 ) h] h&
,! lrs "o & all

  #c ,o n"e m ! we/]n li<t
,% fall ^u ! hill
,& n"e m "?\t ! ni<t
,! :eel turn at ! mill

`
	prose := strings.Repeat("  ,! old f]ry cross$ ! riv] twice a d\n& nobody 9 ! village cd rememb] a \"t x\n0 2fore x4\n", 4)
	f, err := source.Parse("ferry.brf", []byte("\n\n          ,! ,old ,f]ry\n\n          by ,orla ,penn\n\f"+prose+stanzas+prose))
	if err != nil {
		t.Fatal(err)
	}
	res, err := convert.Make([]*source.File{f}, convert.Defaults())
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.ReplaceAll(string(res.Edition), "\r\n", "\n"); !strings.Contains(got, stanzas) {
		t.Errorf("the lines of the stanzas are not those of the paper:\n%s", got)
	}
}

// The name of who wrote a poem stands far in at the top of the page after its last line, which is full and ends in a dash
// (attributions: BANA, Braille Formats 2016, section 9; common practice): it is a line of its own.
func TestAttributionAfterADash(t *testing.T) {
	s := hardVolume(1, 1)
	var names []string
	for n := range 8 {
		s.chapter(",poem "+houseNumber(n+1), 1)
		for len(s.pages[len(s.pages)-1]) < s.height-6 {
			s.para(9)
		}
		s.put("")
		for k := len(s.pages[len(s.pages)-1]); k < s.height; k++ {
			l := "," + s.word()
			for w := s.word(); len(l)+1+len(w) <= 36; w = s.word() {
				l += " " + w
			}
			if k == s.height-1 {
				l = l[:min(len(l), 32)] + "x,-"
			}
			s.put(l)
		}
		name := ",orla ,penn1 #ag" + string("abcdefghi"[n]) + "b"
		names = append(names, name)
		s.put(strings.Repeat(" ", 38-len(name)) + name)
	}
	_, ed := hardBook(t, nil, s.ends(1))
	for _, name := range names {
		if !strings.Contains(ed, " "+name+"\n") || strings.Contains(ed, "-"+name) {
			t.Errorf("%q is no line of its own\n%s", name, ed)
			return
		}
	}
}
