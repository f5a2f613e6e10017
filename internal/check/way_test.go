package check

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// wayAt puts a page that tells the way before record i.
func wayAt(t *testing.T, x *triple, i int, paras ...string) {
	t.Helper()
	x.reasons["w"] = "way"
	page := []string{`["blank","fi"]`}
	for _, p := range paras {
		page = append(page, fmt.Sprintf(`["add",%q,"w"]`, p))
	}
	x.records = slices.Insert(x.records, i, append(page, `["blank","fi"]`)...)
	x.reset(t)
}

func TestWay(t *testing.T) {
	x := sea()
	wayAt(t, x, 3, ",f9d+ ,yr ,way", ",3t5ts3 two blanks & ,3t5ts")
	if r := x.verify(t); !r.OK {
		t.Errorf("at the front: %s", show(r))
	}
}

// TestWayDamage makes of the page what no such page is; sums and hashes are
// true.
func TestWayDamage(t *testing.T) {
	for _, c := range []struct {
		name, want string
		damage     func(*testing.T, *triple)
	}{
		{"a long text", "too long", func(t *testing.T, x *triple) { wayAt(t, x, 3, strings.Repeat("a ", 80)+"b") }},
		{"many paragraphs", "more than 24", func(t *testing.T, x *triple) {
			wayAt(t, x, 3, slices.Repeat([]string{"! way"}, 30)...)
		}},
		{"two pages", "does not stand together", func(t *testing.T, x *triple) {
			wayAt(t, x, 3, ",f9d+ ,yr ,way")
			wayAt(t, x, slices.Index(x.records, `["add","\"3#c","tu"]`), ",f9d+ ,yr ,way")
		}},
		{"text of a source left out for no page", "no page with its heading", func(t *testing.T, x *triple) {
			x.reasons["w"] = "way"
			lose(t, x, 0, 17, "w")
		}},
		{"text of a source left out for a page", "no page with its heading", func(t *testing.T, x *triple) {
			wayAt(t, x, 3, ",f9d+ ,yr ,way", ",se>* f ! />t (! book4")
			lose(t, x, 0, 17, "w")
		}},
		{"text of a source replaced by it", "cannot stand with", func(t *testing.T, x *triple) {
			x.reasons["w"] = "way"
			swapLine(t, x, 0, 17, "w")
		}},
		{"far from both ends", "far from both ends", func(t *testing.T, x *triple) {
			lines := strings.Repeat("a l9e ( ! text t goes on & on\n", 500)
			x.sources = append(x.sources, raw{"v3.brf", lines})
			x.records = append(x.records, `["at",3,1]`, `["keep",250]`, `["keep",250]`)
			wayAt(t, x, len(x.records)-1, ",f9d+ ,yr ,way")
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			x := sea()
			c.damage(t, x)
			noticed(t, x.verify(t), c.want)
		})
	}
}
