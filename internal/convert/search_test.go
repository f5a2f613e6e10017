package convert_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"continuo/internal/convert"
	"continuo/internal/demo"
	"continuo/internal/source"
)

// Search strings computed afterwards are those that a conversion computes.
func TestSearchAfterwards(t *testing.T) {
	for _, title := range demo.Titles {
		var files []*source.File
		for _, v := range title.Volumes {
			text, err := title.Volume(v)
			if err != nil {
				t.Fatal(err)
			}
			f, err := source.Parse(v, text)
			if err != nil {
				t.Fatal(err)
			}
			files = append(files, f)
		}
		for _, way := range []string{"none", "front", "end"} {
			o := convert.Defaults()
			o.Profile.Way = way
			without, err := convert.Make(files, o)
			if err != nil {
				t.Fatal(err)
			}
			o.Finders = true
			with, err := convert.Make(files, o)
			if err != nil {
				t.Fatal(err)
			}
			want, got := with.Finders.Groups(true), convert.Search(without, o).Groups(true)
			if len(want) == 0 {
				t.Errorf("%s, %s: no search strings", title.Folder, way)
			}
			if d := cmp.Diff(want, got); d != "" {
				t.Errorf("%s, %s: %s", title.Folder, way, d)
			}
		}
	}
}
