package check

import (
	"slices"
	"strings"
	"testing"
)

// paperTitle has a reference to braille page 3 of volume 1, on which print
// page 12 is shown by dots 5, 2-5 and its number (common practice); second is
// the line after it.
func paperTitle(line, second string, records ...string) *triple {
	one := "       ,hills                  #a\n  ,! pa? leads up1 see volume #b\n" + line + "\n" + second + "\n" +
		"\f       ,hills                  #b\n  ,! mill 0 old4\n\f       ,hills                  #c\n         \"3#ab\n  ,! ridge 0 wide4\n" +
		"\f       ,hills                  #d\n         \"3#ac\n  ,! l/ hill4\n"
	x := &triple{name: "paper", sources: []raw{{"1.brf", one}}, reasons: map[string]string{"h": "head", "pp": "paper-page", "fi": "filler"},
		records: append(append([]string{`["out",1,"h"]`, `["keep",1]`}, records...),
			`["out",1,"h"]`, `["keep",1]`, `["out",1,"h"]`, `["keep",2]`, `["out",1,"h"]`, `["keep",2]`)}
	return x
}

// TestPaperPage: what a reference to a page of a paper volume may become.
func TestPaperPage(t *testing.T) {
	for _, c := range []struct {
		name, line, second string
		records            []string
		want               string // "" when it is right
	}{
		{"on one line", "volume #a1 page #c4", "x", []string{`["swap-cells",18,"page #ab","pp"]`, `["join","pp"]`, `["keep-cells",1]`, `["keep",1]`}, ""},
		{"page first", "page #c ( volume #a4", "x", []string{`["swap-cells",19,"page #ab","pp"]`, `["join","pp"]`, `["keep-cells",1]`, `["keep",1]`}, ""},
		{"on two lines", "volume #a1", "page #c x", []string{`["swap",1,"page","pp"]`, `["swap-cells",7,"#ab","pp"]`, `["keep-cells",2]`}, ""},
		{"another print page", "volume #a1 page #c4", "x", []string{`["swap-cells",18,"page #ac","pp"]`, `["join","pp"]`, `["keep-cells",1]`, `["keep",1]`}, "lies on the print page"},
		{"no such print page", "volume #a1 page #c4", "x", []string{`["swap-cells",18,"page #ai","pp"]`, `["join","pp"]`, `["keep-cells",1]`, `["keep",1]`}, "lies on the print page"},
		{"another page", "volume #i1 page #h4", "x", []string{`["swap-cells",18,"page #ab","pp"]`, `["join","pp"]`, `["keep-cells",1]`, `["keep",1]`}, "lies on the print page"},
		{"no volume", "old f]ry1 page #c4", "x", []string{`["swap-cells",17,"page #ab","pp"]`, `["join","pp"]`, `["keep-cells",1]`, `["keep",1]`}, "holds more than"},
		{"a word goes with it", "hill volume #a1 page #c4", "x", []string{`["swap-cells",23,"page #ab","pp"]`, `["join","pp"]`, `["keep-cells",1]`, `["keep",1]`}, "holds more than"},
		{"a page alone", "page #c4", "x", []string{`["swap-cells",7,"page #ab","pp"]`, `["join","pp"]`, `["keep-cells",1]`, `["keep",1]`}, "one volume and one page"},
		{"another word is written", "volume #a1 page #c4", "x", []string{`["swap-cells",18,"hill #ab","pp"]`, `["join","pp"]`, `["keep-cells",1]`, `["keep",1]`}, "not the word for page"},
		{"more is written", "volume #a1 page #c4", "x", []string{`["swap-cells",18,"page #ab #ab","pp"]`, `["join","pp"]`, `["keep-cells",1]`, `["keep",1]`}, "not the word for page"},
		{"a range is written", "volume #a1 page #c4", "x", []string{`["swap-cells",18,"page #ab-#ac","pp"]`, `["join","pp"]`, `["keep-cells",1]`, `["keep",1]`}, "not one page"},
		{"the number never comes", "volume #a1", "page #c x", []string{`["swap",1,"page","pp"]`, `["keep",1]`}, "has no page number"},
		{"three numbers", "volume #a1 page #c #d4", "x", []string{`["swap-cells",21,"page #ab","pp"]`, `["join","pp"]`, `["keep-cells",1]`, `["keep",1]`}, "one volume and one page"},
	} {
		x := paperTitle(c.line, c.second, c.records...)
		x.wants(t, c.name, c.want)
	}
}

// TestPaperPageEveryLine: no line of the titles can be replaced as such a
// reference.
func TestPaperPageEveryLine(t *testing.T) {
	tried := 0
	for _, good := range titles() {
		files := good.files(t)
		for s, f := range files {
			for i := range f.Lines {
				x := good.clone()
				x.reasons["zz"] = "paper-page"
				if len(f.Text(i)) == 0 || !instead(t, x, s, i+1, `["swap",1,"page #b","zz"]`, false) {
					continue
				}
				if tried++; x.verify(t).OK {
					t.Errorf("%s, source %d line %d: not noticed: %q", good.name, s+1, i+1, f.Text(i))
				}
			}
		}
	}
	if tried < 20 || !slices.Contains(strings.Fields(classes["paper-page"]), "swap") {
		t.Errorf("only %d tried", tried)
	}
}
