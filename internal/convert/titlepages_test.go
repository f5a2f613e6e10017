package convert_test

import (
	"fmt"
	"strings"
	"testing"
)

// TestSecondTitlePage: pages that the transcriber made have t before their number (BANA
// Braille Formats 2011, 2.2.1): title page and second title page. The volume statement on
// the second one goes, though the text follows right after it and braille page numbers do
// not begin anew in a later volume. So it goes where these pages have no number, as a title
// page that goes on has none.
func TestSecondTitlePage(t *testing.T) {
	for _, mark := range []string{"t", ""} {
		secondTitlePage(t, mark)
	}
}

func secondTitlePage(t *testing.T, mark string) {
	t.Helper()
	label := func(n string) string {
		if mark == "" {
			return ""
		}
		return mark + n
	}
	number := 0
	vol := func(n string) string {
		s := &houseVolume{width: 38, height: 18}
		page := func(label string) {
			for len(s.pages[len(s.pages)-1]) < s.height-1 {
				s.put("")
			}
			s.put(fmt.Sprintf("%38s", label))
		}
		s.put("")
		s.centre(",! ,f]ry ,l$g]")
		s.put("")
		s.centre("by ,hannah ,r[e")
		s.put("")
		s.centre(",produc$ & publi%$ by")
		s.centre(",h>b\\r ,brl ,press")
		s.put("")
		s.centre("\"33333333333")
		s.centre(",9 #c ,volumes")
		page(label("#a"))
		s.turn()
		s.centre(",volume " + n)
		s.centre("\"33333333333")
		page(label("#b"))
		for range 14 {
			s.turn()
			s.para(60)
			number++
			page("#" + strings.Map(func(r rune) rune { return rune("jabcdefghi"[r-'0']) }, fmt.Sprint(number)))
		}
		return s.String()
	}
	res := makeOf(t, vol("#a"), vol("#b"), vol("#c"))
	for _, n := range []string{"#a", "#b", "#c"} {
		if l := lineOf(res, ",volume "+n); l != "" {
			t.Errorf("pages numbered %q: volume statement left: %q", mark, l)
		}
	}
}
