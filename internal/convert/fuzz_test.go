package convert_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/source"
)

// proved converts one or two files of any bytes at a width: the outcome is a
// clear error, or an edition that the distrustful reader proves.
func proved(t *testing.T, a, b []byte, width int) {
	t.Helper()
	var files []*source.File
	for i, raw := range [][]byte{a, b} {
		if i == 1 && len(raw) == 0 {
			continue
		}
		f, err := source.Parse(fmt.Sprintf("v%d.brf", i+1), raw)
		if err != nil {
			if err.Error() == "" {
				t.Error("an empty error")
			}
			return
		}
		files = append(files, f)
	}
	o := convert.Defaults()
	o.Width = width
	res, err := convert.Make(files, o)
	if err != nil {
		if strings.Contains(err.Error(), "internal fault") {
			t.Errorf("%v\n%q\n%q", err, a, b)
		}
		return
	}
	if rep := check.Verify(res.Edition, res.Account, files); !rep.OK {
		t.Errorf("not proved: %v\n%q\n%q\nedition %q", rep.Problems, a, b, res.Edition)
	}
	again, err := convert.Make(files, o)
	if err != nil || !bytes.Equal(again.Edition, res.Edition) || !bytes.Equal(again.Account, res.Account) {
		t.Error("a second run gives other bytes")
	}
}

// FuzzMake converts arbitrary bytes.
func FuzzMake(f *testing.F) {
	pages := func(p *paper) []byte {
		p.newPage()
		p.text(80)
		p.paragraph(p.sentences(9))
		return p.bytes()
	}
	uk, us := pages(newPaper(f, "uk-odd", "ueb", 12)), pages(newPaper(f, "us", "ebae", 30))
	f.Add(uk, []byte{}, 38)
	f.Add(us, uk, 0)
	f.Add(us, us, 20)
	f.Add([]byte("\f\f\f"), []byte(" \n \n"), 40)
	f.Add([]byte("abc-\n-\n\"\n\"3#a\n---------#b\n,-\n_/\n"), []byte("\x80\xff abc\n#a\n"), 1)
	f.Add([]byte("#a\n\f#b\n\f#c\n\f#d\n"), []byte("#a #b\n"), 3)
	for i := range uint64(40) {
		a, b := shredded(rand.New(rand.NewPCG(i, 1)), uk), shredded(rand.New(rand.NewPCG(i, 2)), us)
		if i%2 == 0 {
			b = nil
		}
		f.Add(a, b, int(i%5)*17)
	}
	f.Fuzz(func(t *testing.T, a, b []byte, width int) {
		if len(a)+len(b) > 1<<16 {
			return
		}
		proved(t, a, b, max(-1, width%200))
	})
}

// tricky are lines that mean something, or nearly do.
var tricky = []string{`"3#ab`, `"3`, `"3 #b`, `          "3#ai`, strings.Repeat("-", 38), strings.Repeat("-", 35) + "#ac", "-", "--", `"`, `""`, "_/", ",-",
	"                                   #af", "#af", ";iv", "t#a", "333333333333", "   ,5d ( ,volume #b", "      ,3t5ts", `,a """" #ab`, "      ,notes", "#a ,9 ! boat",
	"a-", "abc\"", "#abc\"", "            ,volume #b", "          ,9 #c ,volumes", "  ,para", "", "", "\f", "\x80", "      ,! ,5d", "99 99 99", "a    b    c    #b"}

// shredded takes pieces of paper pages and tricky lines in any order.
func shredded(r *rand.Rand, raw []byte) []byte {
	lines := strings.Split(string(raw), "\n")
	var b strings.Builder
	for range 10 + r.IntN(120) {
		switch r.IntN(4) {
		case 0:
			b.WriteString(strings.Repeat(" ", r.IntN(3)*r.IntN(12)) + tricky[r.IntN(len(tricky))] + "\n")
		default:
			k := r.IntN(len(lines))
			for range 1 + r.IntN(8) {
				if k < len(lines) {
					b.WriteString(lines[k] + "\n")
				}
				k++
			}
		}
		if r.IntN(9) == 0 {
			b.WriteString("\f")
		}
	}
	return []byte(b.String())
}
