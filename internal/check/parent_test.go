package check

import (
	"strings"
	"testing"
)

// shores is an invented book of two books: page heads name them, chapters are
// numbered anew, and the tool wrote the names.
func shores() *triple {
	page := func(head, label, num, heading string) string {
		return "     " + head + strings.Repeat(" ", 30-len(head)) + num + "\n" + heading + "         " + label + "\n  ,! tide 0 \\ & nobody came d[n to !m\n"
	}
	x := &triple{
		sources: []raw{{"v1.brf", page(",long ,tide", ",*apt] #a", "#a", "       ,long ,tide\n") + "\f" + page(",long ,tide", ",*apt] #b", "#b", "") + "\f" +
			page(",n[ ,doors", ",*apt] #a", "#c", "       ,n[ ,doors\n") + "\f" + page(",n[ ,doors", ",*apt] #b", "#d", "")}},
		reasons: map[string]string{"h": "head", "p": "parent"},
		records: []string{`["out",1,"h"]`, `["keep",1]`, `["add",",long ,tide","p"]`, `["keep",2]`, `["out",1,"h"]`, `["add",",long ,tide","p"]`, `["keep",2]`,
			`["out",1,"h"]`, `["keep",1]`, `["add",",n[ ,doors","p"]`, `["keep",2]`, `["out",1,"h"]`, `["add",",n[ ,doors","p"]`, `["keep",2]`},
	}
	return x
}

func TestParentNamesAreProved(t *testing.T) {
	x := shores()
	x.reset(t)
	if r := x.verify(t); !r.OK {
		t.Fatalf("not proved:\n%s", show(r))
	}
}

// A colon between the number and the name of a lesson ("Lesson 1: ...", common practice) is no part of the number.
func TestParentBeforeNumberWithColon(t *testing.T) {
	x := shores()
	x.sources[0].text = strings.ReplaceAll(strings.ReplaceAll(x.sources[0].text, ",*apt] #a\n", ",*apt] #a3 ,flood\n"), ",*apt] #b\n", ",*apt] #b3 ,ebb\n")
	x.reset(t)
	if r := x.verify(t); !r.OK {
		t.Fatalf("not proved:\n%s", show(r))
	}
}

// Damage to the names before headings: each must be noticed.
func TestParentDamage(t *testing.T) {
	long := `["add",",long ,tide","p"]`
	for _, c := range []struct {
		name, want string
		by         []string
	}{
		{"a name of no head and no heading", "in no head near by", []string{`["add",",s\\t ,h\\se","p"]`}},
		{"a name too long", "too long", []string{`["add","` + strings.TrimSpace(strings.Repeat(",long ,tide ", 8)) + `","p"]`}},
		{"a name of no word", "has no word", []string{`["add","@;","p"]`}},
		{"a name joined to the heading", "nothing explains", []string{long, `["join","p"]`}},
	} {
		t.Run(c.name, func(t *testing.T) {
			x := shores()
			swapAt(t, x, long, c.by...)
			x.reset(t)
			noticed(t, x.verify(t), c.want)
		})
	}
	t.Run("a name before text without a number", func(t *testing.T) {
		x := shores()
		swapAt(t, x, long)
		swapAt(t, x, `["keep",2]`, `["keep",1]`, long, `["keep",1]`)
		x.reset(t)
		noticed(t, x.verify(t), "no number stands in the heading")
	})
	t.Run("a name in the middle of a line", func(t *testing.T) {
		x := shores()
		swapAt(t, x, long)
		swapAt(t, x, `["keep",2]`, `["keep-cells",15]`, long, `["keep-cells",3]`, `["keep",1]`)
		x.reset(t)
		noticed(t, x.verify(t), "does not begin its line")
	})
	t.Run("the name of another book, far from its heads", func(t *testing.T) {
		x := shores()
		x.sources[0].text = strings.Replace(x.sources[0].text, "  ,! tide 0 \\ & nobody came d[n to !m\n", "  ,! tide 0 \\ & nobody came d[n to !m\n"+strings.Repeat("! sea is d>k & wide t d & nobody s\n", 160), 1)
		swapAt(t, x, `["keep",2]`, `["keep",162]`)
		swapAt(t, x, long, `["add",",n[ ,doors","p"]`)
		x.reset(t)
		noticed(t, x.verify(t), "in no head near by")
	})
}
