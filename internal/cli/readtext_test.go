package cli

import (
	"bufio"
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"continuo/internal/convert"
	"continuo/internal/demo"
	"continuo/internal/layout"
	"continuo/internal/source"
)

// printed is what read prints of a file.
func printed(t *testing.T, x *text, f readFlags) string {
	t.Helper()
	var b bytes.Buffer
	w := bufio.NewWriter(&b)
	newPrinter(x, x.codes(f)).write(w, f)
	w.Flush()
	return b.String()
}

// demoVolumes are the demo's volumes and what make makes of each title at two
// widths.
func demoFiles(t *testing.T) map[string][]byte {
	t.Helper()
	out := map[string][]byte{}
	for _, title := range demo.Titles {
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
			out[name] = raw
		}
		for _, width := range []int{-1, 0, 24} {
			o := convert.Defaults()
			o.Width = width
			r, err := convert.Make(files, o)
			if err != nil {
				t.Fatal(err)
			}
			out[title.Folder+map[int]string{-1: "", 0: " in one line a paragraph", 24: " of 24 cells"}[width]] = r.Edition
		}
	}
	return out
}

// Every cell of every line of text is in the blocks, once and in order.
func TestReadKeepsAll(t *testing.T) {
	for name, raw := range demoFiles(t) {
		f, err := source.Parse(name, raw)
		if err != nil {
			t.Fatal(err)
		}
		x := readText(f, noWidth)
		var want, got strings.Builder
		for i := range x.v.Lines {
			if x.v.Lines[i].Role == layout.Text {
				want.WriteString(strings.ReplaceAll(string(x.v.TextOf(int32(i))), " ", ""))
			}
		}
		for _, bl := range x.b.Blocks {
			for _, p := range bl.Pieces {
				if !x.turn(p) {
					got.WriteString(strings.ReplaceAll(string(x.b.Text(p)), " ", ""))
				}
			}
		}
		if got.String() != want.String() {
			t.Errorf("%s: the blocks hold %d cells, the lines of text %d, or in another order", name, got.Len(), want.Len())
		}
	}
}

var (
	word     = regexp.MustCompile(`[a-z0-9]+(?:['’-][a-z0-9]+)*`)
	pageMark = regexp.MustCompile(`\[(?:p\.|page|print page) \w+\]`)
)

func wordsOf(s string) []string {
	s = pageMark.ReplaceAllString(strings.ToLower(s), " ")
	return word.FindAllString(strings.ReplaceAll(s, "’", "'"), -1)
}

// The text of the demo's editions reads as the print text that the paper
// volumes were set from, word for word, whatever the width.
func TestReadAgainstPrint(t *testing.T) {
	editions := demoFiles(t)
	first := map[string]string{"bell": "the ferry house at larkmouth", "baker": "there was once a baker", "weather": "a weather notebook has one line"}
	for _, title := range demo.Titles {
		print, err := title.PrintText()
		if err != nil {
			t.Fatal(err)
		}
		for _, width := range []string{"", " in one line a paragraph", " of 24 cells"} {
			name := title.Folder + width
			f, err := source.Parse(name, editions[name])
			if err != nil {
				t.Fatal(err)
			}
			compareWords(t, name, first[title.Folder], string(print), printed(t, readText(f, noWidth), readFlags{}))
		}
	}
}

// compareWords compares two texts word by word from the first words of the
// body on. A note may stand at another place: that is a gap on both sides.
func compareWords(t *testing.T, name, first, want, got string) {
	t.Helper()
	from := func(s string) []string {
		_, rest, ok := strings.Cut(strings.Join(wordsOf(s), " "), first)
		if !ok {
			t.Fatalf("%s: %q is not in it", name, first)
		}
		return strings.Fields(rest)
	}
	w, g := from(want), from(got)
	wrong, right := 0, 0
	for i, k := 0, 0; i < len(w) && k < len(g) && right < 3000; i, k = i+1, k+1 {
		if w[i] == g[k] {
			right++
			continue
		}
		di, dk := resume(w[i:], g[k:])
		if wrong++; wrong <= 5 {
			t.Logf("%s: %q, want %q", name, g[k:min(k+dk+1, len(g))], w[i:min(i+di+1, len(w))])
		}
		i, k = i+di, k+dk
	}
	if right < 3000 || wrong > 5 {
		t.Errorf("%s: %d words as in print, %d places not", name, right, wrong)
	}
}

// resume finds where two lists of words agree again for four words.
func resume(w, g []string) (di, dk int) {
	for d := 1; d < 300; d++ {
		for di := 0; di <= d; di++ {
			if dk := d - di; di+4 < len(w) && dk+4 < len(g) && slices.Equal(w[di:di+4], g[dk:dk+4]) {
				return di - 1, dk - 1
			}
		}
	}
	return 300, 300
}

// Fields of the command's own rule for numbers divided at a line end. English
// Braille American Edition, rule on division; British Braille 2004, numbers.
func TestDividedNumber(t *testing.T) {
	for _, c := range []struct {
		last, next, want string
		flags            readFlags
	}{
		{"#a1jjj1-", "jjj", "#a1jjj1jjj", readFlags{code: "ebae"}},
		{"#ab'jjj'-", "jjj4", "#ab'jjj'jjj4", readFlags{code: "seb"}},
		{"#aijb-", "#ci", "#aijb-#ci", readFlags{code: "seb"}},
		{"#ab1jjj\"", "jjj", "#ab1jjjjjj", readFlags{code: "ueb"}},
		{"to-", "day", "today", readFlags{code: "ueb"}},
		{"\"o-", "&", "", readFlags{code: "ueb"}},
		{"and_/", "or", "and_/or", readFlags{code: "ueb"}},
		{"he", "came", "", readFlags{code: "ueb"}},
		{"\"", "came", "", readFlags{code: "ueb"}},
	} {
		f, err := source.Parse("a", []byte("  he came today & n to-day; today\n  he came today\n"))
		if err != nil {
			t.Fatal(err)
		}
		p := newPrinter(readText(f, noWidth), &codeMix{})
		word, ok := p.joined([]byte(c.last), []byte(c.next), c.flags.given(p.codes.whole))
		if string(word) != c.want || ok != (c.want != "") {
			t.Errorf("%s %s: %q, want %q", c.last, c.next, word, c.want)
		}
	}
}

func BenchmarkRead(b *testing.B) {
	raw, err := demo.Titles[0].Volume("bell-2.brf")
	if err != nil {
		b.Fatal(err)
	}
	raw = bytes.Repeat(raw, 30)
	path := filepath.Join(b.TempDir(), "a.brf")
	if err := os.WriteFile(path, raw, 0o666); err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(len(raw)))
	for b.Loop() {
		if code := Run([]string{"read", path}, &bytes.Buffer{}, &bytes.Buffer{}); code > Look || code == Failed {
			b.Fatal(code)
		}
	}
}
