package convert_test

import (
	"strings"
	"testing"
)

// TestSceneBreakUnderTheTitle: the title stands again above the text of every volume
// (common practice; BANA Braille Formats 2016, 1.8, for the first page of text), and
// goes with the rule under it. Asterisks and rows of other cells are no such rule: where a volume begins
// with a scene break they stay, unless another volume has them there too.
func TestSceneBreakUnderTheTitle(t *testing.T) {
	for _, c := range []struct {
		name, one, two string
		want           int // such rows in the edition
	}{
		{"scene break", `"33333333333`, `"9 "9 "9`, 1},
		{"scene break without a rule elsewhere", "", `"9 "9 "9`, 1},
		{"rule of the house", `"9 "9 "9`, `"9 "9 "9`, 1},
		{"rule", `"33333333333`, `"33333333333`, 1},
		{"rule of the title page", "", `333333333333`, 1},
		{"row that parts scenes", "", `"11111111111`, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			vol := func(n, rule string) string {
				s := &houseVolume{width: 38, height: 25}
				s.put("")
				s.centre(",! ,f]ry ,l$g]")
				s.put("")
				s.centre(",9 ,two ,volumes")
				s.centre(",volume " + n)
				s.centre("333333333333")
				s.turn()
				s.centre(",! ,f]ry ,l$g]")
				if rule != "" {
					s.put("")
					s.centre(rule)
				}
				s.put("")
				for range 40 {
					s.para(30)
				}
				return s.String()
			}
			res := makeOf(t, vol(",\"o", c.one), vol(",two", c.two))
			if got := strings.Count(string(res.Edition), c.two); got != c.want {
				t.Errorf("%d rows, want %d: %.300s", got, c.want, res.Edition)
			}
		})
	}
}
