package convert_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"continuo/internal/cell"
	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/demo"
	"continuo/internal/source"
)

// pefVolumes writes surveyed paper volumes as one PEF file, a page a page.
// Double line spacing is told by rowgap, as embossing programs do, where the
// volume is double-spaced.
func pefVolumes(files []*source.File, double bool) []byte {
	var b strings.Builder
	b.WriteString("<?xml version=\"1.0\"?>\n<pef version=\"2008-1\" xmlns=\"http://www.daisy.org/ns/2008/pef\"><body>\n")
	for _, f := range files {
		gap := 0
		if double {
			gap = 4
		}
		fmt.Fprintf(&b, "<volume cols=\"60\" rows=\"60\" rowgap=\"%d\" duplex=\"false\"><section>\n", gap)
		for _, p := range f.Pages {
			b.WriteString("<page>\n")
			for i := p.First; i < p.Last; i++ {
				text := f.Text(int(i))
				if double && i > p.First && len(text) == 0 && len(f.Text(int(i-1))) > 0 {
					continue // the blank line after a line of text is its spacing
				}
				fmt.Fprintf(&b, "<row>%s</row>\n", cell.Unicode(text))
			}
			b.WriteString("</page>\n")
		}
		b.WriteString("</section></volume>\n")
	}
	b.WriteString("</body></pef>\n")
	return []byte(b.String())
}

func demoFiles(t *testing.T, title demo.Title) []*source.File {
	t.Helper()
	var files []*source.File
	for _, name := range title.Volumes {
		raw, err := title.Volume(name)
		if err != nil {
			t.Fatal(err)
		}
		f, err := source.Parse(name, raw)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f)
	}
	return files
}

// A PEF of several volumes is several volumes of one title: the edition is that
// of the same volumes in Braille ASCII, and is proved against the PEF.
func TestPEFVolumesAreOneTitle(t *testing.T) {
	for _, title := range demo.Titles {
		files := demoFiles(t, title)
		want, err := convert.Make(files, convert.Defaults())
		if err != nil {
			t.Fatal(err)
		}
		raw := pefVolumes(files, false)
		from, err := source.ParseAll("title.pef", raw)
		if err != nil || len(from) != len(files) {
			t.Fatalf("%s: %d volumes, %v", title.Folder, len(from), err)
		}
		got, err := convert.Make(from, convert.Defaults())
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(lower(want.Edition), lower(got.Edition)) {
			t.Errorf("%s: the edition from PEF differs", title.Folder)
		}
		if rep := check.Verify(got.Edition, got.Account, from); !rep.OK {
			t.Errorf("%s: %v", title.Folder, rep.Problems)
		}
	}
}

// lower takes the case away, which a PEF file has none of.
func lower(b []byte) []byte { return bytes.ToLower(b) }

// Double line spacing by rowgap reads as single-spaced pages do: no blank line
// of it comes into the edition, and no word is lost.
func TestPEFRowGap(t *testing.T) {
	title := demo.Titles[1] // double-spaced
	files := demoFiles(t, title)
	want, err := convert.Make(files, convert.Defaults())
	if err != nil {
		t.Fatal(err)
	}
	from, err := source.ParseAll("title.pef", pefVolumes(files, true))
	if err != nil {
		t.Fatal(err)
	}
	got, err := convert.Make(from, convert.Defaults())
	if err != nil {
		t.Fatal(err)
	}
	if w, g := strings.Fields(string(lower(want.Edition))), strings.Fields(string(lower(got.Edition))); strings.Join(w, " ") != strings.Join(g, " ") {
		t.Errorf("%d words, want %d", len(g), len(w))
	}
	if rep := check.Verify(got.Edition, got.Account, from); !rep.OK {
		t.Error(rep.Problems)
	}
}
