package testkit

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// A small truth by hand, so that the comparison is itself compared with
// something that can be read.
func smallTruth() *Truth {
	t := NewTruth(&Layout{})
	t.Title = words(",! ,lantern")
	t.Float("title", t.Title, 2, 2)
	t.Float("imprint", words(",h>b\\r ,press"), 1, 1)
	t.Float("entry", words(",*apt] #b ,home"), 0, 1)
	t.Gone("page head", "! lantern   #ad")
	t.Gone("end of volume", ",5d ( ,volume #a")
	for i, w := range words("8,! sea is cold10 sd ! ferryman4 ,he l5t on ! well-known oar & look$ at ! bell t hung 9 ! mi/4 ,no\"o sp4 ,! tide turn$ 0h k9d m5") {
		w := Want{Cells: w}
		if i == 11 {
			w.Alt = []string{"well-known", "wellknown"}
		}
		t.Body = append(t.Body, w)
	}
	t.Turns = []WantTurn{{"#c", 6, 6, true}, {"#d", 16, 19, false}}
	t.Rules = []int{22}
	for _, w := range words("#a ,a bell ( two tons4 #b ,n a k9d man4") {
		t.Notes = append(t.Notes, Want{Cells: w})
	}
	return t
}

const goodEdition = `,! ,lantern
,3t9u\s brl $i;n
,h>b\r ,press
,! ,lantern
  8,! sea is cold10 sd ! "3#c ferryman4
,he l5t on ! wellknown oar & look$ at
! bell "3#d t hung 9 !
333333333333
mi/4 ,no"o sp4 ,! tide turn$ 0h k9d m5
#a ,a bell ( two tons4 #b ,n a k9d man4
`

func TestCompare(t *testing.T) {
	edit := func(old, new string) string {
		if !strings.Contains(goodEdition, old) {
			panic(old)
		}
		return strings.Replace(goodEdition, old, new, 1)
	}
	for _, c := range []struct{ name, edition, kinds string }{
		{"as it should be", goodEdition, ""},
		{"word lost", edit("hung ", ""), "lost"},
		{"words doubled", edit("bell ", "bell ( bell look$ at ! bell "), "extra or doubled"},
		{"line doubled", edit(",he l5t on !", ",he l5t on ! wellknown oar ,he l5t on !"), "doubled"},
		{"words moved", edit(" ,no\"o sp4", "") + ",no\"o sp4\n", "out of order"},
		{"hyphen and blank", edit("wellknown", "well- known"), "extra lost"},
		{"divided word left at a line end", edit("wellknown oar & look$ at\n", "well-\nknown oar & look$ at\n"), ""},
		{"head left", edit("! bell", "! lantern #ad\n! bell"), "furniture"},
		{"number left", edit("! bell", "#ae\n! bell"), "furniture"},
		{"end of volume left", goodEdition + ",5d ( ,volume #a\n", "furniture"},
		{"title missing once", edit(",! ,lantern\n  8", "  8"), "lost"},
		{"title not first", "\n" + goodEdition, "title"},
		{"imprint twice", edit(",h>b\\r ,press", ",h>b\\r ,press\n,h>b\\r ,press"), "doubled"},
		{"contents entry kept", edit(",h>b\\r ,press", ",h>b\\r ,press\n,*apt] #b ,home"), ""},
		{"contents number kept", edit(",h>b\\r ,press", ",h>b\\r ,press\n,*apt] #b ,home #ab"), "furniture"},
		{"turn missing", edit(`"3#c `, ""), "turn"},
		{"turn one word late", edit(`"3#c ferryman4`, `ferryman4 "3#c`), "turn"},
		{"turn of the head within its page", edit(`"3#d t hung`, `t "3#d hung`), ""},
		{"turn of the head too late", edit(`"3#d t hung 9 !`, `t hung 9 ! "3#d`), "turn"},
		{"turn as a row", edit(`"3#c ferryman4`, "\n---#c\nferryman4"), ""},
		{"turn that is none", edit(`"3#d`, `"3#d "3#e`), "turn"},
		{"separator gone", edit("333333333333\n", ""), "rule"},
		{"note lost", edit(" two tons4", ""), "lost"},
		{"notes before the text", moveNotes(), "notes"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := Compare([]byte(c.edition), smallTruth(), `,3t9u\s brl $i;n`)
			var got []string
			for _, p := range r.Problems {
				got = append(got, p.Kind)
				if !strings.Contains(c.kinds, p.Kind) {
					t.Errorf("not expected: %v", p)
				}
			}
			if c.kinds != "" && len(got) == 0 {
				t.Errorf("nothing noticed, want %s", c.kinds)
			}
		})
	}
}

func moveNotes() string {
	const notes = "#a ,a bell ( two tons4 #b ,n a k9d man4\n"
	s := strings.Replace(goodEdition, notes, "", 1)
	return strings.Replace(s, "  8,!", notes+"  8,!", 1)
}

// On a pressed title, one change anywhere in the text is noticed.
func TestCompareNoticesOneChange(t *testing.T) {
	x := pressed(t, 8)
	good := strings.Split(strings.TrimSuffix(oracle(x.Truth), "\n"), "\n")
	d := Dice(1)
	for i := range 60 {
		k := len(good)/4 + d.N(len(good)/2, "place", i)
		ed := append([]string(nil), good...)
		what := []string{"lost", "doubled", "swapped", "furniture"}[i%4]
		switch what {
		case "lost":
			ed = append(ed[:k:k], ed[k+1:]...)
		case "doubled":
			ed = append(ed[:k+3:k+3], append(append([]string(nil), ed[k:k+3]...), ed[k+3:]...)...)
		case "swapped":
			if ed[k] == ed[k+1] {
				continue
			}
			ed[k], ed[k+1] = ed[k+1], ed[k]
		case "furniture":
			ed = append(ed[:k:k], append([]string{"#abc"}, ed[k:]...)...)
		}
		if r := Compare([]byte(strings.Join(ed, "\n")), x.Truth); r.OK() {
			t.Errorf("change %s", fmt.Sprint(i, what, " at word ", k, " (", good[k], ") not noticed"))
		}
	}
}

// The text ends in the word in which the notes after it end too.
func TestAlignLastWord(t *testing.T) {
	var want []Want
	for _, w := range words("! boat foll[$ hm4") {
		want = append(want, Want{Cells: w})
	}
	var got []etok
	for _, w := range words("! old boat foll[$ hm4 #a rev1l$ unto hm4") {
		got = append(got, etok{s: w})
	}
	if to := align(want, got); !slices.Equal(to, []int{0, 2, 3, 4}) {
		t.Errorf("%v", to)
	}
}
