package layout

import "testing"

// TestLongLines: a line longer than the page is text to its last cell and does
// not change the width.
func TestLongLines(t *testing.T) {
	s := newSheet(10, 38, 26)
	furniture := map[string]bool{}
	for p := range s.pages {
		s.pages[p][0] = s.head("", "! f]ry l$g]", num(p+1))
		furniture[s.pages[p][0]] = true
	}
	s.pages[4][9] = s.line(120)
	v := s.survey(t)
	if v.Width != 38 {
		t.Errorf("width %d, want 38", v.Width)
	}
	whole(t, v, furniture)
}
