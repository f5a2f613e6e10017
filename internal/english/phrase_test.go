package english

import "testing"

// TestLookupCases: forms met on paper that liblouis does not write. Common
// practice of UK and North American braille production.
func TestLookupCases(t *testing.T) {
	for _, c := range []struct {
		line  string
		id    PhraseID
		n, m  int
		cont  bool
		tail  string
		whole bool // Lookup finds it, not only Prefix
	}{
		{"@.<,! ,5d@.>", EndOfBook, 0, 0, false, "", true},
		{",',5d (! volume,'", EndOfVolume, 0, 0, false, "", true},
		{"          ,volume ,,ii", Volume, 2, 0, false, "", true},
		{",3t5ts \"<3t4\">", Contents, 0, 0, true, "", true},
		{",3t5ts 73t47", Contents, 0, 0, true, "", true},
		{",,3t5ts1 3t9u$", Contents, 0, 0, true, "", true},
		{"\"<cont4\">", Continued, 0, 0, false, "", true},
		{",,3t5ts \"\"\"\"\"\"\"\" ,,volume ,i", Contents, 1, 0, false, "", true},
		{",brl pages ;t#a-;t#d1 ;p#a-;p#f & #a-ij", BraillePages, 0, 0, false, ";t#a-;t#d1 ;p#a-;p#f & #a-ij", true},
		{",brl pages t#a-t#d1 p#a-p#f & #a-#ij", BraillePages, 0, 0, false, "t#a-t#d1 p#a-p#f & #a-#ij", true},
		{",pages i-ix & #a-#hh", PagesRange, 0, 0, false, "i-ix & #a-#hh", true},
		{",pr9t ,pages #a-fe                   p#a", PrintPages, 0, 0, false, "#a-fe                   p#a", true},
		{",transcrib$ 0,jo ,writ]", TranscribedBy, 0, 0, false, ",jo ,writ]", false},
		{",*apt] #d ,! ,/orm", Chapter, 4, 0, false, ",! ,/orm", false},
		{",*apt] ,f\\r--,! ,/orm", Chapter, 4, 0, false, "--,! ,/orm", false},
		{",*apt] ,twenty-,\"o", Chapter, 21, 0, false, "", true},
		{",*apt] ,\"o ,hundr$ & ,two", Chapter, 102, 0, false, "", true},
		{",,act ,,iii1 ,,sc5e ,,iv", ActScene, 3, 4, false, "", true},
		{",appendix ;,b", Appendix, 0, 0, false, "", true},
		{".1,glossary", Glossary, 0, 0, false, "", true},
		{",f/ ,volume", Volume, 1, 0, false, "", true},
		{",9 ,?ree ,volumes3 ,volume ,,ii", Volume, 2, 3, false, "", true},
		{",volume #b1 pages #ca-fj", Volume, 2, 0, false, "#ca-fj", true},
		{",volume ,,ii 7pages #ca 6#fj7", Volume, 2, 0, false, "#ca 6#fj7", true},
		{",volume ,,ii \"<pages #ca to #fj\">", Volume, 2, 0, false, "#ca to #fj\">", true},
		{",brl volume #b ( #c1 pages #ca-fj", Volume, 2, 3, false, "#ca-fj", true},
		{",volume ,two \"<( ,f\\r\">", Volume, 2, 4, false, "", true},
		{",volume ,two 7( ,f\\r7", Volume, 2, 4, false, "", true},
		{",volume #b \"<of #d\">", Volume, 2, 4, false, "", true},
		{",? volume 3ta9s pages #ca-#fj", BraillePages, 0, 0, false, "#ca-#fj", true},
		{",,! ,,5d ,,( ,,volume ,i", EndOfVolume, 1, 0, false, "", true},
		{",prelim9>y ,volume", PrelimVolume, 0, 0, false, "", true},
		{",,isbn #igh\"ajbc", Isbn, 0, 0, false, "#igh\"ajbc", false},
	} {
		p, ok := Prefix([]byte(c.line))
		if !ok || p.ID != c.id || p.N != c.n || p.M != c.m || p.Continued != c.cont || string(p.Tail) != c.tail {
			t.Errorf("Prefix(%q) = %v %+v tail %q", c.line, ok, p, p.Tail)
		}
		if p, ok := Lookup([]byte(c.line)); ok != c.whole || ok && p.ID != c.id {
			t.Errorf("Lookup(%q) = %v %+v, want found %v", c.line, ok, p, c.whole)
		}
	}
	for _, none := range []string{"", "   ", ",! cat sat", "volume1", ",*apt] two1", "! 5d ( ! day", "5\\<", "#ab", "8", ",,", "@.<@.>", "7"} {
		if p, ok := Lookup([]byte(none)); ok {
			t.Errorf("Lookup(%q) finds %+v", none, p)
		}
	}
	if p, ok := Lookup([]byte(",appendix ;,b")); !ok || p.Letter != 'b' {
		t.Errorf("appendix B: %v %+v", ok, p)
	}
}

// TestFormsAreWritten: every form of forms.txt reads as its word in one of the
// codes, and the writer writes only forms that are listed.
func TestFormsAreWritten(t *testing.T) {
	lx := theLexicon()
	for word, id := range lx.ids {
		for _, v := range Variants() {
			if cells, err := Write(word, v); err == nil && lx.forms[string(cells)] != id && word != "by" && word != "to" && word != "into" {
				t.Errorf("%s is written %s in %v: no form of it in forms.txt", word, cells, v)
			}
		}
	}
}
