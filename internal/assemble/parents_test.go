package assemble

import (
	"testing"

	"continuo/internal/book"
	"continuo/internal/layout"
	"continuo/internal/profile"
	"continuo/internal/structure"
)

// TestShortNames: where the name of a book and the heading of a chapter have no room on a line of the paper, the first words of
// the name stand for it; they end within no phrase.
func TestShortNames(t *testing.T) {
	a := &assembly{vols: []*structure.Volume{{Volume: &layout.Volume{Width: 32}}}}
	a.o.Profile = profile.Profile{HeadingIndent: 4}
	work := ",! ,s;g ( ,solomon"
	got := a.shortNames([]structure.Parent{{Work: []byte(work), Own: 12}, {Work: []byte(",jonah"), Own: 12}})
	if s := string(got[work]); s != ",! ,s;g" {
		t.Errorf("%q", s)
	}
}

// TestEntriesOfAnEarlierList: a later volume's list has as two entries what an earlier one has as one.
func TestEntriesOfAnEarlierList(t *testing.T) {
	e := keptEntries{at: map[string][]int{"\"p #a wexcombe": {0}}}
	kept := []listLine{{kind: book.Entry, units: []int{3, 4}}}
	part, name := listLine{vol: 2, kind: book.Entry, norm: "\"p #a"}, listLine{vol: 2, kind: book.Entry, norm: "wexcombe"}
	if !e.joined(kept, &part, &name) || e.joined(kept, &name, &part) {
		t.Error("the two are one entry of an earlier list, in that order")
	}
	part.vol, name.vol = 0, 0
	if e.joined(kept, &part, &name) {
		t.Error("they are of the same list")
	}
}
