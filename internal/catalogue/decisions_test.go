package catalogue

import (
	"context"
	"path/filepath"
	"slices"
	"testing"
)

// The catalogue follows the file of decisions: what is new is taken in once,
// what is gone is marked and kept, and the history says who.
func TestDecided(t *testing.T) {
	ctx := context.Background()
	c, err := Open(filepath.Join(t.TempDir(), FileName))
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	keys, err := c.Plan(ctx, []Found{{Location: "/a/bell", Name: "bell"}})
	if err != nil {
		t.Fatal(err)
	}
	key := keys["/a/bell"]
	one := Decision{Place: "line-1", Kind: "head-or-heading", Choice: "keep", Who: "Ann"}
	two := Decision{Place: "line-2", Kind: "head-or-heading", Choice: "leave-out", Who: "Ben"}
	mend := Correction{Place: "line-3", Where: "v1.brf page 2 line 3", Old: "a", New: "b", Who: "Ann"}
	say := func(decisions []Decision, corrections []Correction) {
		t.Helper()
		if err := c.Decided(ctx, key, "the run", decisions, corrections); err != nil {
			t.Fatal(err)
		}
	}
	say([]Decision{one, two}, []Correction{mend})
	say([]Decision{one, two}, []Correction{mend})
	other := one
	other.Choice, other.Who = "leave-out", "Cleo"
	mend.State = "the old cells are no longer there"
	say([]Decision{other}, []Correction{mend})
	say([]Decision{other}, nil)
	d, err := c.Show(ctx, key)
	if err != nil {
		t.Fatal(err)
	}
	standing := 0
	for _, x := range d.Decisions {
		if x.Undone == "" {
			standing++
			if x.Place != "line-1" || x.Choice != "leave-out" || x.Who != "Cleo" {
				t.Errorf("standing: %+v", x)
			}
		} else if x.UndoneBy != "the run" {
			t.Errorf("taken back: %+v", x)
		}
	}
	if len(d.Decisions) != 3 || standing != 1 {
		t.Errorf("%d decisions, %d standing", len(d.Decisions), standing)
	}
	what := map[string]int{}
	for _, e := range d.History {
		what[e.What]++
	}
	if what["decided"] != 3 || what["mended"] != 1 || what["taken back"] != 3 {
		t.Errorf("history: %v", what)
	}
	list, err := c.Corrections(ctx, key)
	if err != nil || len(list) != 1 || list[0].Undone == "" || list[0].State != mend.State {
		t.Errorf("%+v, %v", list, err)
	}
	if err := c.Decided(ctx, "nobody", "x", nil, nil); err == nil {
		t.Error("a title that is not there")
	}
}

func TestRequests(t *testing.T) {
	ctx := context.Background()
	c, err := Open(filepath.Join(t.TempDir(), FileName))
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	keys, err := c.Plan(ctx, []Found{{Location: "/a/bell", Name: "bell"}})
	if err != nil {
		t.Fatal(err)
	}
	ids, _, err := c.AddRequests(ctx, []Request{{Reader: "r1", Key: keys["/a/bell"], Wanted: "bell", State: Waiting, Due: "2026-12-24"}, {Reader: "r2", Wanted: "quay", State: Unclear}, {Reader: "r1", Wanted: "mill", State: Waiting, Due: "2026-12-01"}})
	if err != nil || len(ids) != 3 {
		t.Fatal(ids, err)
	}
	more, again, err := c.AddRequests(ctx, []Request{{Reader: "R2", Wanted: "Quay", State: Unclear}, {Reader: "r2", Wanted: "mill", State: Waiting}, {Reader: "r1", Wanted: "the bell", Key: "bell", State: Waiting, Due: "2026-12-24"}, {Reader: "r2", Wanted: "mill", State: Waiting}})
	if err != nil || !slices.Equal(again, []bool{true, false, true, true}) || more[0] != ids[1] || more[2] != ids[0] || more[3] != more[1] {
		t.Error("taken in twice:", more, again, err)
	}
	if err := c.SetRequest(ctx, more[1], "", Closed, ""); err != nil {
		t.Error(err)
	}
	list, err := c.Requests(ctx, "", "")
	list = slices.DeleteFunc(list, func(r Request) bool { return r.State == Closed })
	if err != nil || len(list) != 3 || list[0].Wanted != "mill" || list[1].Key != "bell" || list[2].Reader != "r2" {
		t.Errorf("%+v, %v", list, err)
	}
	if err := c.SetRequest(ctx, ids[1], "bell", Sent, "to a card"); err != nil {
		t.Error(err)
	}
	if list, _ := c.Requests(ctx, Sent, "r2"); len(list) != 1 || list[0].Key != "bell" || list[0].Note != "to a card" || list[0].Changed == "" {
		t.Errorf("%+v", list)
	}
	if err := c.SetRequest(ctx, 99, "", Sent, ""); err == nil {
		t.Error("a request that is not there was set")
	}
	if err := c.AddCard(ctx, "card", "r1", "{}", []CardTitle{{Key: "bell", Format: "brf", Path: "books/bell.brf", Bytes: 3, SHA256: "x"}}); err != nil {
		t.Error(err)
	}
	if bad, err := c.Check(ctx); err != nil || len(bad) > 0 {
		t.Errorf("%v, %v", bad, err)
	}
}
