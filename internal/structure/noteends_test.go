package structure

import (
	"strings"
	"testing"

	"continuo/internal/layout"
)

// volumeOf makes a volume of text lines on pages of 26 lines, 38 cells wide; "\f"
// begins a page.
func volumeOf(text ...string) *Volume {
	v := &Volume{Volume: &layout.Volume{Width: 38, TextWidth: 38}}
	page := int32(0)
	for _, t := range text {
		top := t == "\f"
		if top {
			page++
			continue
		}
		n := 0
		for t[n] == ' ' {
			n++
		}
		v.Units = append(v.Units, Unit{Line: int32(len(v.Units)), Page: page, From: int32(n), To: int32(len(t)), Avail: 38, Text: []byte(t[n:]), Phrase: &noPhrase})
	}
	v.Notes = [2]int{len(v.Units), len(v.Units)}
	return v
}

// TestNoteEnds: where a note within the text ends, when its last line is full and
// ends a sentence (BANA, Braille Formats 2016, section 16: notes begin in cell 7,
// runovers in cell 5).
func TestNoteEnds(t *testing.T) {
	for _, c := range []struct {
		name string
		text []string
		want int
	}{
		{"a paragraph follows", []string{"      99#a !n !y s5t ! old f]ry ag1 e4", "  ye old m5 ( ! riv] h se5 x -e & g", "ag4"}, 1},
		{"its runover follows", []string{"      99#a !n !y s5t ! old f]ry ag1 e4", "    ye old m5 ( ! riv] h se5 x -e & g", "    ag4"}, 3},
		{"it goes on over the page", []string{"      99#a !n !y s5t ! old f]ry ag1 6e,", "    ye old m5 ( ! riv] h se5 x -e & g8", "\f", "    & !y answ]$1 let ! f]ry g", "  ! old man"}, 3},
		{"a heading in cell 5 begins the next page", []string{"      99#a !n !y s5t ! old f]ry ag1 e4", "    ye old m5 ( ! riv] h se5 x -e1 & g4", "\f", "    ,package 9itializa;n", "  ,)9 a package1 ! v>iables >e made"}, 2},
		{"its last line begins the next page", []string{"      99#a !n !y s5t ! old f]ry ag1 e4", "    ye old m5 ( ! riv] h se5 x -e1 & g4", "\f", "    ,& g4", "  ,)9 a package1 ! v>iables >e made"}, 3},
		{"its first line stands in the middle", []string{"      99#ah ,s 9 all copies t 7 se54", "\f", "    ,! ,9kwell4", "  ,? is 9su6]ably hot10 sd ,miss"}, 2},
	} {
		v := volumeOf(c.text...)
		v.Units[0].Centred = strings.Contains(c.name, "middle")
		if got := v.noteEnd(0); got != c.want {
			t.Errorf("%s: %d lines, want %d", c.name, got, c.want)
		}
	}
}

// TestNotesGoOn: the last note of a volume ends without the end of a sentence. The next volume
// goes on with it where it begins at the cell of the note's runovers, and not where
// it begins a paragraph (notes like paragraphs, cells 3 and 1).
func TestNotesGoOn(t *testing.T) {
	for _, c := range []struct {
		notes []string
		next  string
		want  bool
	}{
		{[]string{"  #c ,& ! old man sd unto h]1 ,d :at", "seeme? !e gd 9 ! eyes ( ! villag]s2"}, "  ,likewise1 ,i say unto y1 \"! is joy", false},
		{[]string{"  #c ,& ! old man sd unto h]1 ,d :at", "seeme? !e gd 9 ! eyes ( ! villag]s2"}, "&notwi?/&+ ye % se y ! f]ry ag", true},
		{[]string{"  #c ,& ! old man sd unto h]1 ,d :ate"}, "  ,likewise1 ,i say unto y1", false},
		{[]string{"#c ,& ! old man sd unto h]1 ,d :ate!"}, "  likewise1 ,i say unto y1", true},
	} {
		v := volumeOf(append([]string{"  ,! text ends4", "\f"}, c.notes...)...)
		v.Notes = [2]int{1, len(v.Units)}
		next := volumeOf(c.next)
		next.Units[0].PageTop = true
		if got := v.NotesGoOn(&next.Units[0], false); got != c.want {
			t.Errorf("%q after %q: goes on %v", c.next, c.notes[len(c.notes)-1], got)
		}
	}
}

// TestNotesEndAtHeading: a chapter's heading right under the notes of the chapter before, without a
// blank line, ends them, however long it is; a runover that happens to stand in the middle does not
// (common practice in the United Kingdom: headings in the middle, and no blank line about them;
// notes like paragraphs, cells 3 and 1, or hung from cell 5 to cell 3 and from cell 1 to cell 5).
func TestNotesEndAtHeading(t *testing.T) {
	for _, c := range []struct {
		name string
		text []string
		want int
	}{
		{"a long heading", []string{"  #a ,? 0 s 9 ! f/ pr9t+2 lat] \"os", "di6]4", "  #b ,s 9 all copies t 7 se54", "     ,program 9itializ,n & execu;n", "  ,:5 /orage is allocat$ x is 7"}, 3},
		{"a short heading", []string{"  #a ,s 9 all copies t 7 se54", "           ,! old f]ry", "  ,:5 ! f]ry 7 new x 7 r$4"}, 1},
		{"runovers of hanging notes", []string{"#a ,s 9 all copies ( ! book t 7 se54", "    ,! o!rs 7 lo/ 2f ! fire8", "#b ,s 9 all copies t 7 se5 lat]4"}, 3},
		{"the first note in the middle by chance", []string{"      99#a ,s 9 all copies t 7 se5", "    lat] ?an ?is4", "      99#b ,s 9 all copies4"}, 3},
		{"a short paragraph in the middle", []string{"#a ,s 9 all copies ( ! book t 7 se5 x4", "  ,s 9 all4", "    ,& no grt h>m if x does1 sd ,mr4", "#b ,s 9 all copies4"}, 4},
		{"the first runover of hanging notes", []string{"#a ,s 9 all copies ( ! book t 7 se5 x4", "     ,! o!rs 7 lo/ 2f ! fire1 & nobody", "     see e4", "#b ,s 9 all4"}, 4},
	} {
		v := volumeOf(c.text...)
		for i := range v.Units {
			n := int32(len(v.Units[i].Text))
			d := v.Units[i].From - (38-n)/2
			v.Units[i].Centred = v.Units[i].From >= 3 && d >= -2 && d <= 2
		}
		v.Units[0].Blanks = 1 // under their heading
		if got := v.notesEnd(0, len(v.Units)); got != c.want {
			t.Errorf("%s: %d lines, want %d", c.name, got, c.want)
		}
	}
}

// TestNotesAfterFullLines: a note whose number stands after a full line begins anew where it counts on from the one before, though
// paragraphs of notes stand at the same cell (notes like paragraphs, cells 3 and 1; common practice).
func TestNotesAfterFullLines(t *testing.T) {
	v := volumeOf("  #a ,?9k y ,mr4 ,b5net sd x 0 so84", "  ,c]ta9ly s1 & x has !n an advantage", "( be+ 9 vogue am;g ! less poli%$4 ,x4", "  #b ,s 9 all copies t 7 se5 lat] 9 \"!", "& if !y 7 n1 !n ?is is ! last ( !m1 x4", "  #c ,s 9 all4")
	if g := v.group(AtChapter, 0, len(v.Units)); len(g.Starts) != 3 {
		t.Errorf("%d notes, want 3", len(g.Starts))
	}
}

// TestParagraphsOfNotesAtTheFoot: notes under a separation line in cell 1 run over to cell 3, and a paragraph of one begins in
// cell 5, right under its first line too (BANA, Braille Formats 2016, section 16; common practice).
func TestParagraphsOfNotesAtTheFoot(t *testing.T) {
	v := volumeOf("#a ,two or ?ree mon?s6 cri$ ,mrs4", "    ,my de> ma'am1 sd ,el9or1 :at c y", "  ?9k+ ( ,colonel ,br&on's only", "  object4", "#b ,s 9 all4")
	if end, starts := v.ruledEnd(0); end != 5 || len(starts) != 2 {
		t.Errorf("the notes end with line %d, %d of them; want 5 and 2", end, len(starts))
	}
}

// TestItemAgain: an asterisk before each item of a list refers to nothing (common practice: codes
// before UEB have no other bullet), also where the line before is full.
func TestItemAgain(t *testing.T) {
	for _, c := range []struct {
		name string
		text []string
		want int
	}{
		{"items", []string{"99 ,! old m5 ( ! riv] h se5 x -e & g %", "99 ,!y answ]$1 let ! f]ry g ag1 to4"}, 0},
		{"with a runover", []string{"99 ,! old m5 ( ! riv] h se5 x -e &", "  g ag1 & ag1 & ag1 & ag1 & ag1 & ag1", "99 ,!y answ]$4"}, 0},
		{"a mark that begins a line of a paragraph", []string{"  ,! old m5 ( ! riv] h se5 x -e & g1", "99 & !y answ]$1 let ! f]ry g4"}, 1},
	} {
		v, got := volumeOf(c.text...), 0
		for k := range v.Units {
			v.Units[k].refs = HasReferences(v.Units[k].Text)
			v.References(k, func(_, _ int, _ NoteMark) { got++ })
		}
		if got != c.want {
			t.Errorf("%s: %d references, want %d", c.name, got, c.want)
		}
	}
}
