package demo

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"continuo/internal/cell"
)

// pages cuts a volume into pages and their lines.
func pages(t *testing.T, title Title, name string) [][]string {
	t.Helper()
	text, err := title.Volume(name)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.HasSuffix(text, []byte("\f")) {
		t.Errorf("%s does not end with a form feed", name)
	}
	var out [][]string
	for _, p := range strings.Split(strings.TrimSuffix(string(text), "\f"), "\f") {
		p = strings.ReplaceAll(p, "\r\n", "\n")
		out = append(out, strings.Split(strings.TrimSuffix(p, "\n"), "\n"))
	}
	return out
}

// Each volume must be a volume: all pages of one height, no line over the
// width, nothing but cells. Sizes: UK 36 or 38 cells by 27 lines, North America
// 40 by 25 (English Braille American Edition; UK sizes common practice).
func TestVolumesArePaper(t *testing.T) {
	size := map[string][2]int{"bell": {38, 27}, "baker": {36, 27}, "weather": {40, 25}}
	for _, title := range Titles {
		for _, name := range title.Volumes {
			for n, page := range pages(t, title, name) {
				if len(page) != size[title.Folder][1] {
					t.Errorf("%s page %d: %d lines", name, n+1, len(page))
				}
				for i, line := range page {
					if len(line) > size[title.Folder][0] {
						t.Errorf("%s page %d line %d: %d cells", name, n+1, i+1, len(line))
					}
					checkCells(t, name, line)
				}
			}
		}
	}
}

func checkCells(t *testing.T, name, line string) {
	t.Helper()
	for i := 0; i < len(line); i++ {
		if _, ok := cell.Fold(line[i]); !ok {
			t.Errorf("%s: %q holds %q, which is no cell", name, line, line[i])
		}
	}
}

var (
	printTurn = regexp.MustCompile(`\[p\. (\w+)\]`)
	paperTurn = regexp.MustCompile(`(?m)^(?: *"3 ?|-{20,})(#[a-j]+|;[ivxl]+)\r?$`)
	pageLine  = regexp.MustCompile(`^([a-z]?)(#[a-j]+|;[ivxl]+)  `)
	cornerEnd = regexp.MustCompile(`  ([a-z]*)(#[a-j]+|;[ivxl]+)$`)
)

// Every print page of the print text must stand in the paper volumes, in the
// text or in the head of a page, and in the right order.
func TestPrintPages(t *testing.T) {
	for _, title := range Titles {
		text, err := title.PrintText()
		if err != nil {
			t.Fatal(err)
		}
		seen := map[string]bool{}
		for _, name := range title.Volumes {
			for _, page := range pages(t, title, name) {
				notePrintPages(title, page, seen)
			}
		}
		for _, m := range printTurn.FindAllStringSubmatch(string(text), -1) {
			if want := label(m[1]); !seen[want] {
				// a double-spaced volume has no print pages in its heads, so
				// that the first of a volume shows nowhere
				if title.Folder != "baker" {
					t.Errorf("%s: print page %s (%s) is nowhere in the volumes", title.Folder, m[1], want)
				}
			}
		}
	}
}

func notePrintPages(title Title, page []string, seen map[string]bool) {
	all := strings.ToLower(strings.Join(page, "\n"))
	for _, m := range paperTurn.FindAllStringSubmatch(all, -1) {
		seen[m[1]] = true
	}
	first, _, _ := strings.Cut(all, "\n")
	at := pageLine
	if title.Folder == "weather" {
		at = cornerEnd
	}
	if m := at.FindStringSubmatch(first); m != nil {
		seen[m[2]] = true
	}
}

func label(print string) string {
	if print[0] < '0' || print[0] > '9' {
		return ";" + print
	}
	n := 0
	for _, c := range print {
		n = n*10 + int(c-'0')
	}
	return string(cell.Number(n))
}

// The texts must be large enough to fill their volumes.
func TestSizes(t *testing.T) {
	least := map[string]int{"bell": 8000, "baker": 4500, "weather": 5000}
	for _, title := range Titles {
		text, err := title.PrintText()
		if err != nil {
			t.Fatal(err)
		}
		if n := len(bytes.Fields(text)); n < least[title.Folder] {
			t.Errorf("%s: %d words", title.Folder, n)
		}
	}
}

func TestWrite(t *testing.T) {
	dir := t.TempDir()
	for _, title := range Titles {
		paper, err := title.Write(dir)
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range title.Volumes {
			got, err := os.ReadFile(filepath.Join(paper, name))
			want, _ := title.Volume(name)
			if err != nil || !bytes.Equal(got, want) {
				t.Errorf("%s is not as in the program: %v", name, err)
			}
		}
		if _, err := title.Write(dir); err == nil {
			t.Errorf("%s: written over a folder that exists", title.Folder)
		}
	}
}
