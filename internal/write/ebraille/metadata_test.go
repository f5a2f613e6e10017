package ebraille_test

import (
	"archive/zip"
	"bytes"
	"errors"
	"io"
	"slices"
	"strings"
	"testing"

	"continuo/internal/write/ebraille"
)

// TestIncomplete: all that is missing is listed at once, with what to give. The
// list is that of eBraille 1.0, 5.3.3; what the book itself tells is not asked
// for.
func TestIncomplete(t *testing.T) {
	all := []string{"title", "creator", "language", "producers", "dates.copyright", "dates.publication", "complete", "modified", "system"}
	for _, c := range []struct {
		name string
		set  func(*ebraille.Metadata)
		o    ebraille.Options
		want []string
	}{
		{"nothing given", func(m *ebraille.Metadata) { *m = ebraille.Metadata{} }, ebraille.Options{}, all},
		{"the code is known", func(m *ebraille.Metadata) { *m = ebraille.Metadata{} }, ueb, all[:8]},
		{"all given", func(m *ebraille.Metadata) {}, ueb, nil},
		{"values of blanks are none", func(m *ebraille.Metadata) {
			m.Titles, m.Producers, m.Creators = []string{" "}, []string{"\t"}, []ebraille.Person{{Name: " "}}
		}, ueb, []string{"title", "creator", "producers"}},
		{"a language without the script", func(m *ebraille.Metadata) { m.Languages = []string{"en-Brai", "en-GB"} }, ueb, []string{"language"}},
		{"a copyright date of words", func(m *ebraille.Metadata) { m.Copyright = "Unknown" }, ueb, []string{"dates.copyright"}},
		{"a date that is none", func(m *ebraille.Metadata) { m.Date = "2026-13" }, ueb, []string{"dates.publication"}},
		{"a moment outside UTC", func(m *ebraille.Metadata) { m.Modified = "2026-01-31T12:00:00+00:00" }, ueb, []string{"modified"}},
		{"yes and no in other words", func(m *ebraille.Metadata) { m.Complete = "yes" }, ueb, []string{"complete"}},
		{"a cell type that is none", func(m *ebraille.Metadata) { m.CellType = "7" }, ueb, []string{"cell-type"}},
	} {
		m := metadata("T")
		c.set(&m)
		_, err := ebraille.Write(build(t, "para x"), m, c.o)
		var got []string
		var in *ebraille.Incomplete
		if errors.As(err, &in) {
			for _, w := range in.Wants {
				got = append(got, w.Key)
				if w.How == "" || w.Name == "" {
					t.Errorf("%s: %s does not say what to give", c.name, w.Key)
				}
			}
		} else if err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %q are missing, want %q", c.name, got, c.want)
		}
	}
}

func TestPackageDocument(t *testing.T) {
	m := metadata("Bread & <Salt>")
	m.Source.Identifier = "urn:isbn:9780000000002"
	opf := fileOf(t, written(t, build(t, `para {"3#a} x`), m, ueb), "package.opf")
	for _, want := range []string{
		`xml:lang="en-GB"`, "<dc:title>Bread &amp; &lt;Salt&gt;</dc:title>", "<dc:language>en-Brai-GB</dc:language>", "<dc:format>eBraille 1.0</dc:format>",
		`<meta property="a11y:brailleCellType">6</meta>`, `<meta property="a11y:brailleSystem">UEB grade2</meta>`, `<meta property="a11y:tactileGraphics">none</meta>`,
		`<meta refines="#creator1" property="role" scheme="marc:relators">aut</meta>`, `<meta property="dcterms:publisher" refines="#src">Quillet &amp; Daughters</meta>`,
		`<meta property="pageBreakSource">urn:isbn:9780000000002</meta>`, "urn:uuid:",
	} {
		if !strings.Contains(opf, want) {
			t.Errorf("no %s in\n%s", want, opf)
		}
	}
	m.Identifier = "urn:isbn:9780000000001"
	if opf = fileOf(t, written(t, build(t, "para x"), m, ueb), "package.opf"); strings.Contains(opf, "urn:uuid") || strings.Contains(opf, "pageBreak") {
		t.Errorf("the identifier given is not used, or pages are told where there are none:\n%s", opf)
	}
}

// TestIdentifierFollowsWords: the same words have the same identifier, whatever
// the metadata; other words have another.
func TestIdentifierFollowsWords(t *testing.T) {
	id := func(m ebraille.Metadata, lines ...string) string {
		_, rest, _ := strings.Cut(fileOf(t, written(t, build(t, lines...), m, ueb), "package.opf"), "urn:uuid:")
		return rest[:36]
	}
	later := metadata("T")
	later.Modified = "2027-01-31T12:00:00Z"
	one, two, other := id(metadata("T"), "para x"), id(later, "para x"), id(metadata("T"), "para y")
	if one != two || one == other || one[14] != '8' {
		t.Errorf("identifiers %s, %s and %s", one, two, other)
	}
}

// TestPack: mimetype first and bare (EPUB 3.3, OCF ZIP container), every file
// whole.
func TestPack(t *testing.T) {
	ed := written(t, build(t, "para x"), metadata("T"), ueb)
	pack, err := ed.Pack()
	if err != nil {
		t.Fatal(err)
	}
	if string(pack[30:38]) != "mimetype" || string(pack[38:58]) != "application/epub+zip" || !bytes.Equal(pack[28:30], []byte{0, 0}) || pack[6]|pack[7]|pack[8] != 0 {
		t.Errorf("the first entry is %q", pack[:60])
	}
	z, err := zip.NewReader(bytes.NewReader(pack), int64(len(pack)))
	if err != nil {
		t.Fatal(err)
	}
	for i, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		data, err := io.ReadAll(r)
		if err != nil || f.Name != ed.Files[i].Name || !bytes.Equal(data, ed.Files[i].Data) {
			t.Errorf("%s: %d bytes, %v", f.Name, len(data), err)
		}
		if f.ReaderVersion != 20 || f.Flags != 0 || len(f.Extra) != 0 {
			t.Errorf("%s: version %d, flags %x, %d extra bytes", f.Name, f.ReaderVersion, f.Flags, len(f.Extra))
		}
	}
}

// BenchmarkWrite sets and packs a book of 600 pages.
func BenchmarkWrite(b *testing.B) {
	res := large(b)
	n := 0
	for _, f := range res.Book.Files {
		n += len(f.Cells)
	}
	b.SetBytes(int64(n))
	for b.Loop() {
		ed := written(b, res.Book, metadata("Novels"), options(res))
		if _, err := ed.Pack(); err != nil {
			b.Fatal(err)
		}
	}
}
