package ebrl_test

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"strings"
	"testing"
	"testing/fstest"

	"continuo/internal/ebrl"
)

// bomb packs files and one more whose header tells size while its bytes are
// packed ones.
func bomb(t *testing.T, name string, packed []byte, size uint64, files []pair) []byte {
	t.Helper()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, f := range files {
		w, err := z.CreateRaw(&zip.FileHeader{Name: f.name, CRC32: crc32.ChecksumIEEE([]byte(f.text)), ReaderVersion: 20, CompressedSize64: uint64(len(f.text)), UncompressedSize64: uint64(len(f.text))})
		if err != nil {
			t.Fatal(err)
		}
		io.WriteString(w, f.text)
	}
	w, err := z.CreateRaw(&zip.FileHeader{Name: name, Method: zip.Deflate, ReaderVersion: 20, CompressedSize64: uint64(len(packed)), UncompressedSize64: size})
	if err != nil {
		t.Fatal(err)
	}
	w.Write(packed)
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func deflated(n int) []byte {
	var b bytes.Buffer
	w, _ := flate.NewWriter(&b, flate.BestCompression)
	w.Write(make([]byte, n))
	w.Close()
	return b.Bytes()
}

// many is a package of n empty files.
func many(t *testing.T, n int) []byte {
	t.Helper()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for i := range n {
		if _, err := z.CreateRaw(&zip.FileHeader{Name: fmt.Sprintf("%x", i)}); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// shared makes two entries of the directory name the same bytes.
func shared(t *testing.T) []byte {
	t.Helper()
	data := pack(t, append(good(), pair{"ebraille/x1", "xxxxxxxx"}, pair{"ebraille/x2", "xxxxxxxx"}), nil)
	first := bytes.Index(data, []byte("ebraille/x1")) - 30
	dir := bytes.LastIndex(data, []byte("ebraille/x2")) - 46
	data[dir+42], data[dir+43] = byte(first), byte(first>>8)
	return data
}

// TestHostilePackages: what cannot be checked within the limits is refused, in
// words, without a finding and without reading it.
func TestHostilePackages(t *testing.T) {
	whole := pack(t, good(), nil)
	for _, c := range []struct {
		name string
		data []byte
		why  string
	}{
		{"nothing", nil, "not a ZIP file"},
		{"text", []byte(strings.Repeat("no zip at all ", 100)), "not a ZIP file"},
		{"cut short", whole[:len(whole)/2], "not a ZIP file"},
		{"a file that shrinks too well", bomb(t, "ebraille/bomb", deflated(8<<20), 8<<20, good()), "200 times"},
		{"a file said to have 10 GB", bomb(t, "ebraille/bomb", deflated(1<<10), 10<<30, good()), "is said to have"},
		{"too many files", many(t, ebrl.MaxEntries+1), "10001 files"},
		{"a directory beyond the budget", many(t, 400_000), "directory of the ZIP file is too large"},
		{"files that share their bytes", shared(t), "share their bytes"},
	} {
		rep, err := check(t, "x.ebrl", c.data)
		var r *ebrl.Refused
		if !errors.As(err, &r) || !strings.Contains(err.Error(), c.why) {
			t.Errorf("%s: %v, want %q", c.name, err, c.why)
		}
		if rep != nil {
			t.Errorf("%s: a report of what was refused", c.name)
		}
	}
}

// lies is a reader of a size without bytes; it must not be asked for any.
type lies struct{ t *testing.T }

func (l lies) ReadAt(p []byte, _ int64) (int, error) {
	l.t.Error("bytes are read of a package that is too large")
	return len(p), nil
}

func TestTenGigabytes(t *testing.T) {
	if _, err := ebrl.Package("x.ebrl", lies{t}, 10<<30); err == nil || !strings.Contains(err.Error(), "bytes, more than") {
		t.Errorf("%v", err)
	}
}

// TestFileLargerThanSaid: a file that unpacks to more than its header says is
// read no further than that, and told.
func TestFileLargerThanSaid(t *testing.T) {
	data := bomb(t, "ebraille/bomb", deflated(64<<20), 100,
		with(t, good(), opf, "</manifest>", `<item id="b" href="ebraille/bomb" media-type="image/png"/></manifest>`, false))
	rep, err := check(t, "x.ebrl", data)
	if err != nil {
		t.Fatal(err)
	}
	found(t, rep, "C10")
}

// TestHostileDocuments: nesting and elements without end are refused.
func TestHostileDocuments(t *testing.T) {
	for _, c := range []struct{ name, text, why string }{
		{"deep", strings.Repeat("<div>", 5000) + strings.Repeat("</div>", 5000), "deep"},
		{"without end", strings.Repeat("<br/>", ebrl.MaxElements+1), "elements"},
		{"too long", strings.Repeat("<p>⠁</p> ", ebrl.MaxDocument/10), "bytes, more than"},
	} {
		for _, name := range []string{two, index} {
			files := with(t, good(), name, "<body>", "<body>"+c.text, false)
			if _, err := check(t, "x.ebrl", pack(t, files, nil)); err == nil || !strings.Contains(err.Error(), c.why) {
				t.Errorf("%s in %s: %v", c.name, name, err)
			}
		}
	}
}

// TestDocumentsTogether: documents that are each allowed are refused when they
// are too many.
func TestDocumentsTogether(t *testing.T) {
	files, items := good(), ""
	long := "\xFF" + strings.Repeat(" ", ebrl.MaxDocument-1)
	for i := range ebrl.MaxText/ebrl.MaxDocument + 1 {
		name := fmt.Sprintf("ebraille/%d.xhtml", i)
		files = append(files, pair{name, long})
		items += fmt.Sprintf(`<item id="m%d" href="%s" media-type="application/xhtml+xml"/>`, i, name)
	}
	files = with(t, files, opf, "</manifest>", items+"</manifest>", false)
	dir := fstest.MapFS{}
	for _, f := range files {
		dir[f.name] = &fstest.MapFile{Data: []byte(f.text)}
	}
	if _, err := ebrl.Folder(dir); err == nil || !strings.Contains(err.Error(), "together") {
		t.Errorf("%v", err)
	}
}

// TestManyFindings: a book in print does not make a report without end.
func TestManyFindings(t *testing.T) {
	files := with(t, good(), two, "<pre>", strings.Repeat("<p>print</p>\n", 50_000)+"<pre>", false)
	rep, err := check(t, "x.ebrl", pack(t, files, nil))
	if err != nil {
		t.Fatal(err)
	}
	if rep.Shoulds != 50_000 || len(rep.Findings) > 100 || !rep.OK {
		t.Errorf("%d findings, %d kept, ok %v", rep.Shoulds, len(rep.Findings), rep.OK)
	}
}

// TestFolderLeadsNowhere: a link in a folder is told and not followed.
func TestFolderLeadsNowhere(t *testing.T) {
	dir := fstest.MapFS{}
	for _, f := range good() {
		dir[f.name] = &fstest.MapFile{Data: []byte(f.text)}
	}
	dir[css].Mode |= 1 << 27 // fs.ModeSymlink
	rep, err := ebrl.Folder(dir)
	if err != nil {
		t.Fatal(err)
	}
	found(t, rep, "C10 P5")
}

// FuzzPackage: any bytes are refused or checked, never a panic.
func FuzzPackage(f *testing.F) {
	whole := pack(f, good(), nil)
	f.Add(whole)
	f.Add(whole[:len(whole)-30])
	f.Add([]byte("PK\x05\x06"))
	f.Fuzz(func(t *testing.T, data []byte) {
		rep, err := ebrl.Package("x.ebrl", bytes.NewReader(data), int64(len(data)))
		if (rep == nil) == (err == nil) {
			t.Errorf("report %v, error %v", rep, err)
		}
	})
}

// FuzzFiles puts any text in the place of one file of the good publication.
func FuzzFiles(f *testing.F) {
	for i, p := range good() {
		f.Add(i, p.text)
		f.Add(i, p.text[:len(p.text)/2])
	}
	f.Add(3, `<html xmlns="http://www.w3.org/1999/xhtml"><nav/></html>`)
	f.Add(2, `<package/>`)
	f.Add(4, "a{b:url(")
	f.Add(5, "<a:b xmlns:a='x'/>")
	f.Fuzz(func(t *testing.T, i int, text string) {
		files := good()
		files[uint(i)%uint(len(files))].text = text
		rep, err := check(t, "x.ebrl", pack(t, files, nil))
		if (rep == nil) == (err == nil) {
			t.Errorf("report %v, error %v", rep, err)
		}
	})
}

// BenchmarkPackage checks a publication of 60 documents of 30 kB.
func BenchmarkPackage(b *testing.B) {
	files := good()
	items, refs := "", ""
	for i := range 60 {
		name := fmt.Sprintf("ebraille/m%d.xhtml", i)
		text := strings.Replace(files[6].text, "<pre>", strings.Repeat("<p>⠮ ⠗⠊⠧⠻ ⠺⠑⠝⠞ ⠕⠝ ⠯ ⠕⠝ ⠯ ⠕⠝</p>\n", 400)+"<pre>", 1)
		text = strings.NewReplacer(` id="p2" role="doc-pagebreak" epub:type="pagebreak"`, "", `href="one.xhtml#r1" role="doc-backlink"`, `href="one.xhtml"`).Replace(text)
		files = append(files, pair{name, text})
		items += fmt.Sprintf(`<item id="m%d" href="%s" media-type="application/xhtml+xml"/>`, i, name)
		refs += fmt.Sprintf(`<itemref idref="m%d"/>`, i)
	}
	files = with(b, with(b, files, opf, "</manifest>", items+"</manifest>", false), opf, "</spine>", refs+"</spine>", false)
	data := pack(b, files, nil)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		rep, err := check(b, "x.ebrl", data)
		if err != nil || !rep.OK {
			b.Fatal(err, rep)
		}
	}
}
