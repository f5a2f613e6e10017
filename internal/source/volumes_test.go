package source

import (
	"fmt"
	"strings"
	"testing"
)

// joined is volumes with title pages, one after the other: of each the lines of the
// title page, then pages of text with a head and a number (UK practice, common practice).
func joined(end, feed string, says ...string) (raw string, at []int) {
	for v, say := range says {
		at = append(at, len(raw))
		page := []string{"", "             ! old f]ry", "", "              by a ;n", "", "          " + say, "", "            quay books"}
		for len(page) < 20 {
			page = append(page, "")
		}
		for p := 0; p < 6; p++ {
			raw += strings.Join(page, end) + end + feed
			page = []string{fmt.Sprintf("             ! old f]ry          #%c", 'a'+p)}
			for l := 1; l < 20; l++ {
				page = append(page, fmt.Sprintf("%c;? l9e ( page #%c h\\se #%c", 'a'+l, 'a'+p, 'a'+v))
			}
		}
	}
	return raw, at
}

// Files that hold several volumes, as people put them together by hand (common
// practice), are cut where each begins, and nowhere else; no byte is lost.
func TestVolumesInOneFile(t *testing.T) {
	for _, c := range []struct {
		name string
		says []string
		n    int
	}{
		{"volumes", []string{"volume \"o", "volume two", "volume ?ree"}, 3},
		{"books of", []string{"book #a ( #c", "book #b ( #c", "book #c ( #c"}, 3},
		{"one", []string{"volume \"o"}, 1},
		{"the same title page again", []string{"volume \"o", "volume \"o"}, 1},
		{"no statement", []string{"a novel", "pictures"}, 1},
		{"the volume named again above its text", []string{"9 #c volumes1 volume #b", "volume #b"}, 1},
		{"a list of volumes goes on under the title", []string{"volume \"o", "volume six\nvolume sev5\nvolume ei<t"}, 1},
	} {
		for _, end := range []string{"\n", "\r\n", "\r"} {
			for _, feed := range []string{"\f", ""} {
				raw, at := joined(end, feed, c.says...)
				for _, text := range []string{raw, strings.ToUpper(raw), toUnicode(raw)} {
					files, err := ParseAll("a.brf", []byte(text))
					if err != nil {
						t.Fatal(err)
					}
					if c.name == "books of" && feed == "" {
						continue // nothing tells it from a text that repeats itself
					}
					if len(files) != c.n {
						t.Errorf("%s, end %q, feed %q: %d volumes, want %d", c.name, end, feed, len(files), c.n)
						continue
					}
					var bytes int64
					for i, f := range files {
						if c.n > 1 && (f.Name != fmt.Sprintf("a.brf volume %d", i+1) || f.Whole == "" || f.Whole == f.SHA256) {
							t.Errorf("%s: volume %d is %q, whole %q", c.name, i+1, f.Name, f.Whole)
						}
						if text == raw && bytes != int64(at[i]) {
							t.Errorf("%s, end %q, feed %q: volume %d begins at %d, want %d", c.name, end, feed, i+1, bytes, at[i])
						}
						bytes += f.Bytes
					}
					if bytes != int64(len(text)) {
						t.Errorf("%s: %d bytes of %d", c.name, bytes, len(text))
					}
				}
			}
		}
	}
}

// toUnicode is Braille ASCII in UTF-8 braille.
func toUnicode(t string) string {
	const cells = " a1b'k2l@cif/msp\"e3h9o6r^djg>ntq,*5<-u8v.%[$+x!&;:4\\0z7(_?w]#y)="
	return strings.Map(func(c rune) rune {
		if i := strings.IndexRune(cells, c); i >= 0 {
			return rune(0x2800 + i)
		}
		return c
	}, t)
}

// FuzzVolumes cuts any bytes; the parts together are the file.
func FuzzVolumes(f *testing.F) {
	for _, feed := range []string{"\f", ""} {
		raw, _ := joined("\n", feed, "volume \"o", "volume two")
		f.Add([]byte(raw))
		f.Add([]byte(toUnicode(raw)))
	}
	f.Fuzz(func(t *testing.T, raw []byte) {
		last := 0
		for _, at := range volumeCuts(raw) {
			if at <= last || at >= len(raw) {
				t.Fatalf("cut at %d after %d, of %d bytes", at, last, len(raw))
			}
			last = at
		}
	})
}
