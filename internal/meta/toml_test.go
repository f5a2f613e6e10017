package meta

import (
	"testing"
	"testing/quick"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// What is written is read back as it was.
func TestTOML(t *testing.T) {
	want, err := Parse("t", []byte(whole))
	if err != nil {
		t.Fatal(err)
	}
	got, err := Parse("t", want.TOML())
	if d := cmp.Diff(want, got); d != "" || err != nil {
		t.Error(err, d)
	}
	if got, err := Parse("t", Title{}.TOML()); err != nil || !got.IsZero() {
		t.Error(got, err)
	}
}

// Any values without a fault are written and read back the same.
func TestTOMLOfAnything(t *testing.T) {
	seen := 0
	f := func(a, b, c string, list []string) bool {
		in := Title{Title: a, Rights: b, Subjects: list, Creators: []Creator{{Name: c}}, Source: Source{Edition: a}}
		if len(in.Problems()) > 0 {
			in = Title{Rights: "x" + b} // lines and signs of any kind
			if len(in.Problems()) > 0 {
				return true
			}
		}
		seen++
		got, err := Parse("t", in.TOML())
		return err == nil && cmp.Equal(in.Normal(), got, cmpopts.EquateEmpty())
	}
	if err := quick.Check(f, nil); err != nil || seen == 0 {
		t.Error(err, seen)
	}
}

func TestComments(t *testing.T) {
	text := append(Offer([]Found{{"title", "The Pond", "page 1"}}), "# lent to us until May\n"...)
	if got := Comments(text); len(got) != 1 || got[0] != "# lent to us until May" {
		t.Errorf("%q", got)
	}
	if got := Comments(Title{Title: "x"}.TOML()); len(got) != 0 {
		t.Errorf("%q", got)
	}
	if About("title") == "" || About("none") != "" {
		t.Error("what keys are")
	}
}
