package source

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strings"
	"testing"
	"unicode/utf16"
	"unicode/utf8"

	"continuo/internal/cell"
)

// show writes a file as its pages and lines: lines end in /, pages in |.
func show(f *File) string {
	var b strings.Builder
	for _, p := range f.Pages {
		for i := p.First; i < p.Last; i++ {
			b.Write(f.Text(int(i)))
			b.WriteByte('/')
		}
		b.WriteByte('|')
	}
	return b.String()
}

// The forms of files are those counted over public braille files: line ends,
// form feeds after, before and instead of line ends, padding (common practice;
// the charset is that of Rules of Unified English Braille 2013, 1.1.2).
func TestForms(t *testing.T) {
	for _, c := range []struct {
		name, raw, want string
		control         int64
		foreign         int
	}{
		{"LF", "a\nb\n", "a/b/|", 2, 0},
		{"CRLF", "a\r\nb\r\n", "a/b/|", 4, 0},
		{"CR", "a\rb\r", "a/b/|", 2, 0},
		{"CR CR LF", "a\r\r\nb\r\r\n", "a/b/|", 6, 0},
		{"blank lines by CR", "a\r\rb", "a//b/|", 2, 0},
		{"no end at the last line", "a\nb", "a/b/|", 1, 0},
		{"upper case", ",HELLO ^_[\\]@\n", ",hello ^_[\\]@/|", 1, 0},
		{"other forms", "`{|}~\x7f\n", "@[\\]^_/|", 1, 0},
		{"feed after line end", "a\n\fb\n\f", "a/|b/|", 4, 0},
		{"feed instead of line end", "a\fb\f", "a/|b/|", 2, 0},
		{"feed instead, some pages start blank", "a\fb\f\nc\fd", "a/|b/|/c/|d/|", 4, 0},
		{"feed before line end", "a\nb\f\nc\f\nd\f\n", "a/b/|c/|d/|", 7, 0},
		{"feed before line end, CR LF", "a\r\nb\f\r\nc\f\r\n", "a/b/|c/|", 8, 0},
		{"feed before line end, blank last line", "a\f\nb\n\f\nc\f\n", "a/|b//|c/|", 7, 0},
		{"feed before line end, most last lines blank", "a\n\f\nb\n\f\nc\f\nd\n\f\ne", "a//|b//|c/|d//|e/|", 11, 0},
		{"real blank first line", "a\n\f\nb\n\f\nc\n", "a/|/b/|/c/|", 7, 0},
		{"blanks and a feed", "a\n  \fb", "a//|b/|", 2, 0},
		{"feeds at the end", "a\n\f\f\f", "a/|", 4, 0},
		{"feed and line end at the end", "a\n\fb\n\f\r\n", "a/|b/|", 6, 0},
		{"feed at the start", "\fa\n\fb\n", "a/|b/|", 4, 0},
		{"empty page inside", "a\n\f\fb\n", "a/||b/|", 4, 0},
		{"blank page inside", "a\n\f\n\n\fb\n", "a/|//|b/|", 6, 0},
		{"blank page at the end", "a\n\f\n\n\f", "a/|//|", 5, 0},
		{"Ctrl-Z", "a\r\n\x1a", "a/|", 3, 0},
		{"Ctrl-Z and padding", "a\r\n\f\x1a\x00\x00\r\n \x1a", "a/|", 10, 0},
		{"NULs", "a\n\x00\x00", "a/|", 3, 0},
		{"blanks at the end", "a\n   ", "a/|", 4, 0},
		{"blanks at a line's end", "a  \n  b\n", "a/  b/|", 2, 0},
		{"tab", "a\tb\n", "a b/|", 1, 1},
		{"UTF-8 mark", "\xef\xbb\xbfa\n", "a/|", 4, 0},
		{"foreign bytes", "abcdefghijklmnopqrst\x9cuvw\x1bxyz\n", "abcdefghijklmnopqrst\x9cuvw\x1bxyz/|", 1, 2},
		{"NUL inside", "abcdefghijk\x00lmnopq\n", "abcdefghijk\x80lmnopq/|", 1, 1},
		{"Ctrl-Z inside", "abcdefghijk\x1almnopq\n", "abcdefghijk\x1almnopq/|", 1, 1},
	} {
		f, err := Parse("x.brf", []byte(c.raw))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if got := show(f); got != c.want {
			t.Errorf("%s: got %q, want %q", c.name, got, c.want)
		}
		if f.Control != c.control || f.NForeign != c.foreign {
			t.Errorf("%s: control %d foreign %d, want %d %d", c.name, f.Control, f.NForeign, c.control, c.foreign)
		}
		sound(t, f, []byte(c.raw))
	}
}

// sound checks what must hold of every file that is read.
func sound(t *testing.T, f *File, raw []byte) {
	t.Helper()
	h := sha256.Sum256(raw)
	if f.SHA256 != hex.EncodeToString(h[:]) || f.Bytes != int64(len(raw)) {
		t.Errorf("hash or size is not that of the bytes")
	}
	var marks, cells int64
	at := int32(0)
	for i, l := range f.Lines {
		if l.Start != at || l.End < l.Start || l.Full < l.End {
			t.Fatalf("line %d: spans %+v after %d", i, l, at)
		}
		at = l.Full
		cells += int64(l.Full - l.Start)
		marks += int64(cell.Marks(f.Text(i)))
		if int(l.Page) >= len(f.Pages) || int(f.Pages[l.Page].First) > i || int(f.Pages[l.Page].Last) <= i {
			t.Fatalf("line %d: page %d does not hold it", i, l.Page)
		}
		if l.End > l.Start && f.Cells[l.End-1] == ' ' || len(bytes.Trim(f.Cells[l.End:l.Full], " ")) > 0 {
			t.Fatalf("line %d: blanks at the end are not told apart", i)
		}
	}
	if int(at) != len(f.Cells) || marks != f.Marks {
		t.Errorf("cells %d of %d, marks %d of %d", at, len(f.Cells), marks, f.Marks)
	}
	if bytes.ContainsAny(f.Cells, "\x00\r\n\f\t") {
		t.Errorf("cells hold a control byte")
	}
	if f.Encoding == ASCII && f.Control+cells != f.Bytes {
		t.Errorf("control %d and cells %d are not %d bytes", f.Control, cells, f.Bytes)
	}
	if len(f.Foreign) > MaxForeign || f.NForeign < len(f.Foreign) {
		t.Errorf("%d places of %d foreign", len(f.Foreign), f.NForeign)
	}
}

// encode writes canonical cells as Unicode braille, other bytes as they are.
func encode(s string, blank rune) []rune {
	var out []rune
	for _, c := range s {
		switch {
		case c == ' ':
			out = append(out, blank)
		case c < 0x80 && cell.Is(byte(c)):
			out = append(out, cell.Rune(byte(c)))
		default:
			out = append(out, c)
		}
	}
	return out
}

func utf16Bytes(rs []rune, big bool) []byte {
	var out []byte
	for _, u := range utf16.Encode(rs) {
		if big {
			out = append(out, byte(u>>8), byte(u))
		} else {
			out = append(out, byte(u), byte(u>>8))
		}
	}
	return out
}

func TestUnicodeForms(t *testing.T) {
	const text = ",the s=e\r\n  of \"3#ab\r\n\fnext page  x\r\n\f"
	const want = ",the s=e/  of \"3#ab/|next page  x/|"
	cells := int64(8 + 10 + 12)
	for _, blank := range []rune{0x2800, ' '} {
		for _, mark := range []string{"", "\ufeff"} {
			rs := append([]rune(mark), encode(text, blank)...)
			for enc, raw := range map[Encoding][]byte{UTF8: []byte(string(rs)), UTF16LE: utf16Bytes(rs, false), UTF16BE: utf16Bytes(rs, true)} {
				f, err := Parse("x.brf", raw)
				if err != nil {
					t.Errorf("%s: %v", enc, err)
					continue
				}
				if got := show(f); got != want || f.Encoding != enc || f.NForeign != 0 || !f.CRLF {
					t.Errorf("%s: got %q as %s, foreign %v", enc, got, f.Encoding, f.Foreign)
				}
				sound(t, f, raw)
				width := map[Encoding]int64{UTF8: 3, UTF16LE: 2, UTF16BE: 2}[enc]
				lines := cells * width
				if enc == UTF8 && blank == ' ' {
					lines -= 2 * int64(cells-f.Marks)
				}
				if f.Control+lines != f.Bytes {
					t.Errorf("%s: control %d and lines %d are not %d bytes", enc, f.Control, lines, f.Bytes)
				}
			}
		}
	}
}

func TestUnicodeForeign(t *testing.T) {
	line := string(encode("abcdefghij klmnopqrst", 0x2800))
	text := line + "\n" + line + "ab" + "\n" + line + "\u28c1\n" + line + "\u00e9\U0001F600x\n"
	want := "abcdefghij klmnopqrst/abcdefghij klmnopqrstab/abcdefghij klmnopqrst\u28c1/abcdefghij klmnopqrst\u00e9\U0001F600x/|"
	places := "[{1 21 " + asideText + "} {2 21 U+28C1} {3 21 U+00E9} {3 23 U+1F600} {3 27 " + asideText + "}]"
	for _, raw := range [][]byte{[]byte(text), utf16Bytes([]rune(text), false)} {
		f, err := Parse("x.utf8", raw)
		if err != nil {
			t.Fatal(err)
		}
		if got := show(f); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
		if got := fmt.Sprint(f.Foreign); got != places || f.NForeign != 5 {
			t.Errorf("foreign %s", got)
		}
		sound(t, f, raw)
	}
}

func TestUpperAndFeeds(t *testing.T) {
	f, err := Parse("x", []byte(",HELLO \n\f,WORLD a\n"))
	if err != nil || !f.Upper || !f.FormFeed || f.CRLF {
		t.Errorf("%+v %v", f, err)
	}
	f, err = Parse("x", []byte(",hello A\r\n\f"))
	if err != nil || f.Upper || f.FormFeed || !f.CRLF {
		t.Errorf("%+v %v", f, err)
	}
	if p, l := f.Place(0); p != 1 || l != 1 {
		t.Errorf("place %d %d", p, l)
	}
}

func TestRefused(t *testing.T) {
	for raw, want := range map[string]string{
		"":                                "it is empty",
		"\n\n\f":                          "holds no cell",
		"   ":                             "holds no cell",
		"\x00\x00\x1a":                    "holds no cell",
		"\xef\xbb\xbf":                    "holds no cell",
		"\xff\xfe":                        "holds no cell",
		"abc\nd\x80\x81f\n":               "2 of its 7 signs are no braille cells; the first is byte 0x80 on page 1, line 2, cell 2",
		"\xef\xbb\xbf<?xml version=\"1\"": "XML",
		" <!DOCTYPE html><p>":             "HTML",
		`{\rtf1\ansi`:                     "RTF",
		"%PDF-1.4":                        "PDF",
		"PK\x03\x04abc":                   "zip",
	} {
		_, err := Parse("bad.brf", []byte(raw))
		if err == nil || !strings.Contains(err.Error(), want) || !strings.HasPrefix(err.Error(), `"bad.brf": `) {
			t.Errorf("%q: got %v, want %q", raw, err, want)
		}
	}
}

func TestTooManyLines(t *testing.T) {
	if testing.Short() {
		t.Skip("needs 21 MB")
	}
	raw := bytes.Repeat([]byte{'\n'}, MaxLines+1)
	raw[0] = 'a'
	raw = append(raw, '\n')
	if _, err := Parse("x", raw); err == nil || !strings.Contains(err.Error(), "lines") {
		t.Errorf("got %v", err)
	}
}

// sample is about n bytes of invented braille pages of 25 lines by 38 cells.
func sample(n int) []byte {
	var b bytes.Buffer
	line := ",! s=e 0 \"us & \"! is no o!r way \\t1 ?"
	for i := 0; b.Len() < n; i++ {
		fmt.Fprintf(&b, "%s\n", line[:len(line)-i%9])
		if i%25 == 24 {
			b.WriteByte('\f')
		}
	}
	return b.Bytes()
}

func TestLarge(t *testing.T) {
	raw := sample(3 << 20)
	f, err := Parse("x", raw)
	if err != nil {
		t.Fatal(err)
	}
	sound(t, f, raw)
	if !bytes.Equal(raw[:30], append([]byte(nil), f.Cells[:30]...)) {
		t.Error("cells are not those of the file")
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"a\nb\f\nc", ",HELLO\r\n\f\x1a\x00", "\xff\xfe\x01\x28\x0a\x00", "\xe2\xa0\x81\n\xe2\xa3\xbf", "\x28\x01\x00\x0a\x28", "\t\x00\x80", "\f\f\n\f", "<?xml"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, raw []byte) {
		keep := bytes.Clone(raw)
		x, err := Parse("x", raw)
		if !bytes.Equal(keep, raw) {
			t.Fatal("the bytes given were changed")
		}
		if err != nil {
			return
		}
		sound(t, x, raw)
		if x.Encoding != ASCII {
			unicodeBytes(t, x)
		}
	})
}

// unicodeBytes checks Control of a Unicode file against its cells where every
// cell has one length in the file: no blanks, and nothing foreign.
func unicodeBytes(t *testing.T, x *File) {
	if x.NForeign > 0 || !utf8.Valid(x.Cells) {
		return
	}
	n, blanks := int64(len(x.Cells)), int64(len(x.Cells))-x.Marks
	if x.Encoding == UTF8 {
		if low, high := x.Control+3*n-2*blanks, x.Control+3*n; x.Bytes < low || x.Bytes > high {
			t.Fatalf("control %d, %d cells: not %d bytes", x.Control, n, x.Bytes)
		}
	} else if x.Control+2*n != x.Bytes {
		t.Fatalf("control %d, %d cells: not %d bytes", x.Control, n, x.Bytes)
	}
}

func BenchmarkParse(b *testing.B) {
	raw := sample(4 << 20)
	for _, enc := range []string{"ascii", "utf-8"} {
		in := raw
		if enc == "utf-8" {
			in = []byte(string(encode(string(raw), 0x2800)))
		}
		b.Run(enc, func(b *testing.B) {
			b.SetBytes(int64(len(in)))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Parse("x", in); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// TestTail: what follows the last cell of a file, which files of one house share (counted over
// public braille files, as the forms above).
func TestTail(t *testing.T) {
	for raw, want := range map[string]string{
		"a\nb": "", "a\r\nb\r\n": "n", "a\f": "f", "a\n\f": "nf", "a\r\n\f\f": "nff", "a\n\f\n\n  \n\f": "nfnf", "a\r\n\f\x1a\x1a": "nf",
	} {
		f, err := Parse("x.brf", []byte(raw))
		if err != nil || f.Tail != want || f.Padded != strings.Contains(raw, "\x1a") {
			t.Errorf("%q ends in %q, padded %v (error %v); want %q", raw, f.Tail, f.Padded, err, want)
		}
	}
}
