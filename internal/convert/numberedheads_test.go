package convert_test

import (
	"fmt"
	"strings"
	"testing"
)

// TestHeadsWithoutTheNumber: the heads of pages say the heading of the chapter without its number, beside
// the page number, also on the page where the heading stands (running head and page number on line 1: BANA,
// Braille Formats 2016, 1.8; headings in cell 5: section 4; numbers left out of heads: common practice).
func TestHeadsWithoutTheNumber(t *testing.T) {
	titles := []string{",! ,f]ry", "," + "a ,list ( ,names", ",! ,old ,boat", ",\"u ! ,lamp"}
	s, chapter := &houseVolume{width: 38, height: 25}, 0
	s.head = func(p int) string {
		h, n := strings.ReplaceAll(titles[chapter], ",", ",,"), houseNumber(p)
		left := (s.width - len(h)) / 2
		return strings.Repeat(" ", left) + h + strings.Repeat(" ", s.width-left-len(h)-len(n)) + n
	}
	for i, title := range titles {
		chapter = i
		if i == 1 {
			s.turn()
		}
		s.put("")
		s.put(fmt.Sprintf("    %s4 %s", houseNumber(i+1), title))
		for range 6 {
			s.para(70)
		}
	}
	res := makeOf(t, s.String())
	for _, title := range titles {
		h := strings.ReplaceAll(title, ",", ",,")
		if n := strings.Count(string(res.Edition), h); n > 0 {
			t.Errorf("the head %q is %d times in the edition", h, n)
		}
		if !strings.Contains(string(res.Edition), title) {
			t.Errorf("the heading %q is lost", title)
		}
	}
}

// houseNumber is a number in cells.
func houseNumber(n int) string {
	out := "#"
	for _, d := range fmt.Sprint(n) {
		out += string("jabcdefghi"[d-'0'])
	}
	return out
}
