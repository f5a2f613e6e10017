package convert_test

import (
	"strings"
	"testing"

	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/source"
)

// TestTurnAtVolumeEnd: a print page turn that is the last line of a volume
// stands before the text of the next volume, in both countries' forms.
func TestTurnAtVolumeEnd(t *testing.T) {
	for _, kind := range []string{"uk", "us"} {
		one, two := newPaper(t, kind, "ueb", 12), newPaper(t, kind, "ueb", 12)
		one.pages[0] = append(one.pages[0], one.centred(",9 ,two ,volumes"), one.centred(`,volume ,"o`))
		two.pages[0] = append(two.pages[0], two.centred(",9 ,two ,volumes"), two.centred(",volume ,two"))
		one.newPage()
		one.text(120)
		for one.line() < 6 || one.line() > 18 {
			one.paragraph(one.sentences(9))
		}
		one.since = 9
		one.turnNow()
		two.print, two.words = one.print, append(two.words[101:], two.words...)
		two.newPage()
		first := two.paragraph(two.sentences(30))
		two.text(120)
		two.paragraph(two.sentences(9))
		a, _ := source.Parse("v1.brf", one.bytes())
		b, _ := source.Parse("v2.brf", two.bytes())
		o := convert.Defaults()
		o.Width = 0
		res, err := convert.Make([]*source.File{a, b}, o)
		if err != nil {
			t.Fatal(err)
		}
		label := one.printLabel()
		want := map[string]string{"uk": `"3` + label + " ", "us": "---" + label + "\r\n  "}[kind] + strings.TrimSpace(first)
		if strings.Count(string(res.Edition), want) != 1 {
			i := strings.Index(string(res.Edition), strings.TrimSpace(first))
			t.Errorf("%s: want %q, got %q", kind, want, string(res.Edition)[max(0, i-40):i+60])
		}
		if rep := check.Verify(res.Edition, res.Account, []*source.File{a, b}); !rep.OK {
			t.Errorf("%s: %v", kind, rep.Problems)
		}
	}
}
