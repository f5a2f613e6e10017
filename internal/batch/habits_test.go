package batch

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/catalogue"
)

// archiveOf are the endings of titles of three volumes each; what stands in odd is
// the ending of the last volume of such a title, or of the one at its position.
func archiveOf(titles int, odd map[int]catalogue.Ending) []catalogue.Ending {
	var out []catalogue.Ending
	for i := range titles {
		key := fmt.Sprintf("t%03d", i)
		for v := 1; v <= 3; v++ {
			e := catalogue.Ending{Key: key, Name: fmt.Sprintf("v%d.brf", v), Position: v, Last: v == 3, Final: "feed", Closing: true}
			if o, ok := odd[i]; ok && (v == o.Position || v == 3 && o.Position == 0) {
				e.Final, e.Closing = o.Final, o.Closing
			}
			out = append(out, e)
		}
	}
	return out
}

func TestUnusual(t *testing.T) {
	cut := map[int]catalogue.Ending{7: {Final: "cell", Closing: true}, 9: {Final: "line", Closing: true}, 11: {Final: "feed"}, 13: {Final: "feed", Position: 2}}
	got := unusual(archiveOf(200, cut))
	for key, want := range map[string]string{"t007": "v3.brf ends in the middle of a line, as only 1 of 600 files", "t009": "does not end with the end of a page, as 598 of 600 files", "t011": "does not say that it ends, as those of 199 of 200 titles", "t013": "v2.brf does not say that it ends, as 399 of 400 volumes"} {
		if !strings.Contains(got[key], want) {
			t.Errorf("%s: %q", key, got[key])
		}
	}
	if len(got) != 4 {
		t.Errorf("%v", got)
	}
	if got := unusual(archiveOf(15, cut)); len(got) != 0 {
		t.Errorf("a small archive has no habits: %v", got)
	}
	many := map[int]catalogue.Ending{}
	for i := range 40 {
		many[i] = catalogue.Ending{Final: "line"}
	}
	if got := unusual(archiveOf(200, many)); len(got) != 0 {
		t.Errorf("an archive of two houses has no habit: %d titles are unlike it", len(got))
	}
}
