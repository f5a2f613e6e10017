package catalogue

import (
	"context"
	"path/filepath"
	"testing"
)

// A reason that the archive gives makes a ready title one to look at, and ready
// again when it goes.
func TestSetReason(t *testing.T) {
	ctx := context.Background()
	c, err := Open(filepath.Join(t.TempDir(), FileName))
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	keys, err := c.Plan(ctx, []Found{{Location: "/a/bell", Name: "bell"}, {Location: "/a/quay", Name: "quay"}})
	if err != nil {
		t.Fatal(err)
	}
	for i, state := range []State{Ready, Stop} {
		key := keys[[]string{"/a/bell", "/a/quay"}[i]]
		rec := Record{Title: Title{Key: key, State: state, Confidence: 0.98}, Reasons: []Reason{{"proved", "all is there"}}, Volumes: []Volume{{Name: "v1.brf", Final: "feed"}, {Name: "v2.brf", Final: "cell", Closing: true}}}
		if err := c.Save(ctx, []Record{rec}); err != nil {
			t.Fatal(err)
		}
	}
	ends, err := c.Endings(ctx)
	if err != nil || len(ends) != 4 || ends[0].Last || !ends[1].Last || ends[1].Final != "cell" || !ends[1].Closing {
		t.Errorf("%+v, %v", ends, err)
	}
	both := map[string]string{"bell": "v2.brf is cut", "quay": "v2.brf is cut"}
	for range 2 { // the second time nothing changes
		if _, err := c.SetReason(ctx, "odd", both, 0.3, 0.98); err != nil {
			t.Fatal(err)
		}
		d, err := c.Show(ctx, "bell")
		if err != nil || d.State != Look || d.Confidence != 0.3 || len(d.Reasons) != 2 || d.Reasons[0].Text != "v2.brf is cut" {
			t.Errorf("%+v, %v", d.Title, err)
		}
	}
	if d, err := c.Show(ctx, "quay"); err != nil || d.State != Stop || len(d.Reasons) != 1 {
		t.Errorf("%+v, %v", d.Title, err)
	}
	changed, err := c.SetReason(ctx, "odd", nil, 0.3, 0.98)
	if err != nil || len(changed) != 1 {
		t.Errorf("%v, %v", changed, err)
	}
	if d, err := c.Show(ctx, "bell"); err != nil || d.State != Ready || d.Confidence != 0.98 || len(d.Reasons) != 1 || d.Reasons[0].Kind != "proved" {
		t.Errorf("%+v, %v", d.Title, err)
	}
}
