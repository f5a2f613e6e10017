package triage

import (
	"testing"

	"continuo/internal/convert"
)

func volumes(names ...string) []convert.VolumeSurvey {
	var out []convert.VolumeSurvey
	for i, n := range names {
		out = append(out, convert.VolumeSurvey{File: n, Number: i + 1})
	}
	return out
}

// Numbers in names count the volumes of a title, those of another title in the
// folder left aside.
func TestNames(t *testing.T) {
	for _, c := range []struct {
		vols   []convert.VolumeSurvey
		others []string
		want   string
	}{
		{volumes("b1.brf", "b2.brf"), nil, ""},
		{volumes("b5.brf", "b6.brf", "b7.brf"), []string{"b1.brf", "b2.brf", "b3.brf", "b4.brf"}, ""},
		{volumes("b1.brf", "b2.brf"), []string{"b3.brf", "b4.brf"}, ""},
		{volumes("b_v2of2.brf", "b_v1of2.brf"), nil, "file-number-disagrees "},
		{volumes("b_v1of2.brf", "b_v2of2.brf"), nil, ""},
		{volumes("b1.brf", "b3.brf"), nil, "file-number-disagrees file-number-missing "},
		{volumes("b1.brf", "b3.brf"), []string{"b2.brf"}, "file-number-disagrees file-number-missing "},
		{volumes("aa1.brf", "aa2.brf"), []string{"zz1.brf", "zz2.brf"}, ""},
	} {
		got := ""
		for _, s := range names(c.vols, c.others) {
			got += s.kind + " "
		}
		if got != c.want {
			t.Errorf("%v beside %v: %q, want %q", c.vols[0].File, c.others, got, c.want)
		}
	}
}
