package convert_test

import (
	"bytes"
	"strings"
	"testing"

	"continuo/internal/convert"
	"continuo/internal/profile"
	"continuo/internal/source"
)

// harbourWords is an invented glossary on one paper volume, uncontracted UEB.
const harbourWords = `            ,harbour ,words


` + "\f" + `            ,harbour ,words           #b

anchor1 an iron hook that holds a
  boat
barnacle1 what grows on hulls
buoy1 a float on a chain
capstan1 a drum that winds a rope
davit1 a small crane for a boat
ebb1 the going out of the tide
fathom1 six feet of water
galley1 where the cook works
hawser1 a thick rope1 see anchor
jetty1 a wall out into the water
keel1 the backbone of a boat
lee1 the side away from the wind
`

func glossaryOf(t *testing.T, text string, p func(*profile.Profile)) *convert.Result {
	t.Helper()
	f, err := source.Parse("v1.brf", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	opt := convert.Defaults()
	p(&opt.Profile)
	res, err := convert.Make([]*source.File{f}, opt)
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// TestEntryMark: the mark stands before every headword and nowhere else; where
// the text has it, another is taken and said; it can be named and switched off.
func TestEntryMark(t *testing.T) {
	keep := func(*profile.Profile) {}
	named := func(m string) func(*profile.Profile) { return func(p *profile.Profile) { p.EntryMark = m } }
	taken := strings.Replace(harbourWords, "a float on a chain", "a float ;;on a chain", 1)
	full := strings.Replace(taken, "six feet", "^^ @@ _^ ^@", 1)
	for _, c := range []struct {
		name, text string
		with       func(*profile.Profile)
		mark       string
		finding    string
	}{
		{"the common mark", harbourWords, keep, ";;", "entries"},
		{"one of the house", harbourWords, named("@;"), "@;", "entries"},
		{"none wanted", harbourWords, named(profile.NoMark), "", ""},
		{"the text has it", taken, keep, "^^", "entry-mark"},
		{"the text has all", full, keep, "", "entry-mark"},
	} {
		t.Run(c.name, func(t *testing.T) {
			res := glossaryOf(t, c.text, c.with)
			if res.Stats.Entries != 12 || res.Stats.EntryMark != c.mark {
				t.Errorf("%d entries, mark %q; want 12, %q", res.Stats.Entries, res.Stats.EntryMark, c.mark)
			}
			if n := bytes.Count(res.Edition, []byte(c.mark)); c.mark != "" && n != 12 {
				t.Errorf("the mark stands %d times, want 12", n)
			}
			if c.mark != "" && !bytes.Contains(res.Edition, []byte("\r\n"+c.mark+"anchor1 an iron")) {
				t.Errorf("no mark right before a headword in:\n%s", res.Edition)
			}
			found := c.finding == ""
			for _, f := range res.Findings {
				found = found || f.ID == c.finding
			}
			if !found {
				t.Errorf("no finding %q in %v", c.finding, res.Findings)
			}
			proved(t, []byte(c.text), nil, 0)
		})
	}
}
