package triage

import (
	"testing"

	"continuo/internal/convert"
)

// TestEndsOpen: a last volume whose text breaks off over "end of volume one" wants another
// volume (common practice: volumes are cut between paragraphs or within one, books end with a sentence).
func TestEndsOpen(t *testing.T) {
	ended := func(n int) func(*convert.VolumeSurvey) {
		return func(v *convert.VolumeSurvey) { v.EndLine, v.Evidence.EndOf = true, n }
	}
	prose := func(v *convert.VolumeSurvey) { v.Evidence.Prose = true }
	broken := within(true, true)
	for what, c := range map[string]struct {
		vol  convert.VolumeSurvey
		want bool
	}{
		"within a sentence over its end line":  {ev(1, 40, broken, prose, ended(1)), true},
		"over a line that the book ends":       {ev(1, 40, broken, prose, ended(0)), false},
		"a whole sentence over its end line":   {ev(1, 40, prose, ended(1)), false},
		"lines of verse over such a line":      {ev(1, 40, broken, func(v *convert.VolumeSurvey) { v.Evidence.Prose = false }, ended(1)), false},
		"within a sentence, and nothing under": {ev(1, 40, broken, prose), true},
	} {
		if got := endsOpen(&c.vol); got != c.want {
			t.Errorf("%s: %v", what, got)
		}
	}
}

// TestPartOfMore: a file alone that is a part of several by its title page.
func TestPartOfMore(t *testing.T) {
	part := func(v *convert.VolumeSurvey) { v.Evidence.Parts = 2 }
	one, two := ev(1, 40, part), ev(41, 80, part)
	if len(partOfMore([]convert.VolumeSurvey{one})) != 1 {
		t.Error("a part alone is not told")
	}
	if len(partOfMore([]convert.VolumeSurvey{one, two})) != 0 {
		t.Error("two parts, and one is said to be alone")
	}
}
