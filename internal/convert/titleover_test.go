package convert_test

import (
	"strings"
	"testing"
)

// The title stands over the text of each volume (common practice in the United Kingdom), on two lines of which the first leaves so
// little room that it begins in cell 3, in the middle, where paragraphs begin too: the second volume's goes.
func TestLongTitleOverLaterVolumes(t *testing.T) {
	var vols []string
	for v := range 2 {
		s := &houseVolume{width: 30, height: 22, next: 900 * v}
		s.head = func(p int) string { return s.right(p) }
		title := []string{",half a ,bridge3 ,! ,life (", ",an ,5g9e]"}
		s.put("")
		for _, l := range title {
			s.centre(l)
		}
		s.put("")
		s.centre("by ,orla ,penn")
		s.put("")
		s.centre(",volume " + []string{",\"o", ",two"}[v])
		s.turn()
		for _, l := range title {
			s.centre(l)
		}
		s.put("")
		s.centre(",*apt] " + []string{"#a", "#b"}[v])
		s.put("")
		for range 8 {
			s.para(60)
		}
		vols = append(vols, s.String())
	}
	res := makeOf(t, vols...)
	if n := strings.Count(string(res.Edition), ",half a ,bridge3"); n > 2 {
		t.Errorf("the title stands %d times\n%s", n, res.Edition[:min(len(res.Edition), 1500)])
	}
}

// The pages have the names of their chapters beside the number, and a page of preliminary matter, which has none, the title
// (common practice): over a dedication it is a head like the others, not the title over the text.
func TestTitleOverDedication(t *testing.T) {
	s, name := &houseVolume{width: 38, height: 24}, ",! ,l;g ,road"
	s.head = func(p int) string {
		if p == 1 {
			return ""
		}
		return strings.Repeat(" ", (38-len(name))/2) + name + s.right(p)[(38-len(name))/2+len(name):]
	}
	s.titleAlone()
	s.put("")
	s.put("")
	s.centre(",6! keep]s")
	s.centre(":o n\"e slept")
	for _, name = range []string{",wat] 9 ,m>%", ",old ,bri*", ",l$g]s & ,books", ",boats & ,salt"} {
		s.turn()
		s.put("")
		s.centre(name)
		s.put("")
		for range 5 {
			s.para(70)
		}
	}
	_, ed := hardBook(t, nil, s.String())
	if n := strings.Count(ed, ",! ,l;g ,road"); n != 1 {
		t.Errorf("the title stands %d times\n%s", n, ed[:min(len(ed), 700)])
	}
}
