package structure

import "testing"

// TestDecimalHeads: sections that begin with a decimal number at the margin are headings where their numbers count on; exercises
// that are numbered so, but end sentences, and numbers in disorder are none (numbers of sections: common practice of textbooks;
// the decimal signs: Rules of Unified English Braille 2013, 6.1; English Braille American Edition 1994; dot 2 in SEB, common practice).
func TestDecimalHeads(t *testing.T) {
	for _, c := range []struct {
		name  string
		lines []string
		want  int
	}{
		{"sections", []string{"#a4a ,riv]s", "#a4b ,lakes", "#b4a ,! ,old ,mill & ,xs ,wheel", "#b4b ,boats"}, 4},
		{"sections, dots 46", []string{"#a.a ,riv]s", "#a.b ,lakes", "#c.a ,mills", "#c.b ,boats"}, 4},
		{"sections, dot 2", []string{"#a1a ,riv]s", "#a1b ,lakes", "#b1a ,mills", "#b1b ,boats"}, 4},
		{"exercises", []string{"#a4a ,name ?ree riv]s4", "#a4b ,name two lakes4", "#a4c ,:5 did !y flood8", "#b4a ,name ! mills4"}, 0},
		{"disorder", []string{"#a4a ,riv]s", "#c4g ,lakes", "#b4i ,mills", "#b4b ,boats", "#a4f ,m>%es"}, 0},
	} {
		var text []string
		for _, l := range c.lines {
			text = append(text, l, "  ,! ! old m5 ( ! riv] h se5 x -e & g", "ag1 & !y answ]$1 let ! f]ry g4")
		}
		v := volumeOf(text...)
		v.End = [2]int{len(v.Units), len(v.Units)}
		for k := 0; k < len(v.Units); k += 3 {
			v.Units[k].Blanks = 1
		}
		FindNumberHeads([]*Volume{v})
		got := 0
		for k := range v.Units {
			got += boolInt(v.Units[k].Side)
		}
		if got != c.want {
			t.Errorf("%s: %d headings, want %d", c.name, got, c.want)
		}
	}
}
