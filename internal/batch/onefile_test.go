package batch

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"continuo/internal/catalogue"
)

// Files that hold several volumes, a PEF file and a text file to which people joined the
// volumes, are taken in, stay as they are in a second run, and are proved again.
func TestSeveralVolumesInOneFile(t *testing.T) {
	books, home := t.TempDir(), t.TempDir()
	volumes := paper(t, 0)
	var joined []byte
	pef := `<pef version="2008-1" xmlns="http://www.daisy.org/ns/2008/pef"><head><meta xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:format>application/x-pef+xml</dc:format><dc:identifier>a</dc:identifier></meta></head><body>`
	for _, name := range sortedKeys(volumes) {
		joined = append(joined, volumes[name]...)
		pef += `<volume cols="38" rows="27" rowgap="0" duplex="false"><section>`
		for _, page := range bytes.Split(bytes.Trim(volumes[name], "\f\r\n"), []byte("\f")) {
			pef += "<page>"
			for row := range strings.Lines(strings.Trim(string(page), "\r\n")) {
				pef += "<row>" + unicodeCells(strings.TrimRight(row, " \r\n")) + "</row>"
			}
			pef += "</page>"
		}
		pef += "</section></volume>"
	}
	put(t, filepath.Join(books, "one", "joined.brf"), joined)
	put(t, filepath.Join(books, "two", "book.pef"), []byte(pef+"</body></pef>"))
	if s := must(t, home, nil, books); s.Made != 2 || s.Failed != 0 {
		t.Fatalf("made %d, failed %d: %+v", s.Made, s.Failed, s.Outcomes)
	}
	if s := must(t, home, func(o *Options) { o.Rehash = true }, books); s.Unchanged != 2 {
		t.Errorf("unchanged in the second run: %d of 2", s.Unchanged)
	}
	cat, done, err := Open(home)
	if err != nil {
		t.Fatal(err)
	}
	defer done()
	page, err := cat.List(ctx, catalogue.Filter{})
	if err != nil {
		t.Fatal(err)
	}
	for _, title := range page.Titles {
		d, err := cat.Show(ctx, title.Key)
		if err != nil {
			t.Fatal(err)
		}
		if len(d.VolumeList) != len(volumes) {
			t.Errorf("%s: %d volumes, want %d", title.Key, len(d.VolumeList), len(volumes))
		}
		files, changed, err := SourcesOf(d)
		if err != nil || changed || len(files) != len(volumes) {
			t.Errorf("%s: %d sources, changed %v, error %v", title.Key, len(files), changed, err)
		}
	}
	verified, err := Verify(ctx, cat, page.Titles, Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range verified {
		if !v.Proved {
			t.Errorf("not proved: %v", fmt.Sprint(v.NotProved))
		}
	}
}

// unicodeCells is Braille ASCII as Unicode braille, for a row of PEF.
func unicodeCells(t string) string {
	const cells = " a1b'k2l@cif/msp\"e3h9o6r^djg>ntq,*5<-u8v.%[$+x!&;:4\\0z7(_?w]#y)="
	return strings.Map(func(c rune) rune { return rune(0x2800 + strings.IndexRune(cells, c)) }, strings.ToLower(t))
}
