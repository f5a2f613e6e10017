package cli

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"continuo/internal/louis"
	"continuo/internal/profile"
	"continuo/internal/testkit"
)

// needLouis skips the test, loudly, where liblouis is not installed.
func needLouis(t *testing.T) *louis.Translator {
	t.Helper()
	tr, ok := louis.Find()
	if !ok {
		testkit.Need(t, testkit.Missing{What: "liblouis-bin and liblouis-data"})
	}
	return tr
}

const (
	germanTable = "de-g2-detailed.ctb"
	germanWidth = 34
)

// german is a profile whose words liblouis writes in German contracted
// braille. Its capital sign is not the English one.
const german = `name = "germanhouse"
statement_cells = "neue ausgabe"
[words]
language = "de"
table = "` + germanTable + `"
phrases = [
  "volume: Band {n} | {n} Band",
  "in-volumes: in {n} Bänden",
  "contents: Inhalt | Inhaltsverzeichnis",
  "volume-end: Ende von Band {n}",
  "book-end: Ende",
  "chapter: Kapitel {x}",
]
[words.numbers]
eins = 1
zwei = 2
erster = 1
`

// germanVolumes are two invented volumes, their lines written whole by
// liblouis, with capitals.
var germanVolumes = [][][]string{
	{
		{"", "_Der Teich", "", "_In zwei Bänden", "_Band eins", "", "_Mühle Verlag"},
		{"_Inhalt", "", "Kapitel 1 2", "Kapitel 2 3"},
		{"_Kapitel 1", "  Der Teich lag hinter den", "Häusern und niemand hatte je", "den Boden gesehen."},
		{"_Kapitel 2", "  Sie glaubten es nicht und", "saßen auf der Bank.", "", "_Ende von Band eins"},
	},
	{
		{"", "_Der Teich", "", "_In zwei Bänden", "_Band zwei", "", "_Mühle Verlag"},
		{"_Inhalt", "", "Kapitel 3 2"},
		{"_Kapitel 3", "  Eines Tages kamen sie mit", "einem Brot und einem Buch", "an das Wasser."},
		{"  Die Sonne ging unter und", "dann gingen alle heim.", "", "_Ende"},
	},
}

// germanPages writes the volumes into a new folder; a line with "_" is centred.
func germanPages(t *testing.T, tr *louis.Translator) string {
	t.Helper()
	dir := t.TempDir()
	for i, volume := range germanVolumes {
		var b bytes.Buffer
		for n, page := range volume {
			lines := make([]string, 12)
			copy(lines, page)
			if n > 0 { // a head with title and page number
				lines = append([]string{fmt.Sprintf("_Der Teich %d", n+1)}, lines[:11]...)
			}
			for _, line := range lines {
				b.WriteString(germanLine(t, tr, line) + "\n")
			}
			b.WriteByte('\f')
		}
		if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("teich%d.brf", i+1)), b.Bytes(), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// germanLine sets one line: the page number of a head stands at the right.
func germanLine(t *testing.T, tr *louis.Translator, line string) string {
	t.Helper()
	got, err := tr.Forward(context.Background(), germanTable, []string{strings.Trim(line, "_ ")})
	if err != nil {
		t.Fatal(err)
	}
	var words []string
	for _, w := range strings.Fields(got[0]) {
		cells, ok := cellsOf(w)
		if !ok {
			t.Fatalf("%q: %q is no braille", line, w)
		}
		words = append(words, cells)
	}
	out, last := strings.Join(words, " "), len(words)-1
	switch {
	case strings.HasPrefix(line, " "):
		return "  " + out
	case !strings.HasPrefix(line, "_"):
		return out
	case strings.HasPrefix(line, "_Der Teich "):
		head := strings.Join(words[:last], " ")
		return fmt.Sprintf("%*s%*s", 20, head, germanWidth-20, words[last])
	}
	return strings.Repeat(" ", (germanWidth-len(out))/2) + out
}

// TestGermanWordsThroughLiblouis: without the profile the second title page,
// the contents list and the end of volume stay; with it they go. The outside
// truth is how liblouis writes whole lines with this table, against single
// words that the profile has it write.
func TestGermanWordsThroughLiblouis(t *testing.T) {
	tr := needLouis(t)
	dir := germanPages(t, tr)
	house := filepath.Join(t.TempDir(), "house.toml")
	if err := os.WriteFile(house, []byte(german), 0o666); err != nil {
		t.Fatal(err)
	}
	statement, end, contents := germanLine(t, tr, "In zwei Bänden"), germanLine(t, tr, "Ende von Band eins"), germanLine(t, tr, "Inhalt")
	title, chapter := germanLine(t, tr, "Der Teich"), germanLine(t, tr, "Kapitel 3")
	for _, c := range []struct {
		args                                        []string
		statement, end, contents, edition, chapters int
	}{
		{nil, 1, 1, 2, 0, 2},
		{[]string{"--profile", house}, 0, 0, 1, 1, 2},
	} {
		out := filepath.Join(t.TempDir(), "teich.brf")
		var said, wrong bytes.Buffer
		if code := Run(append([]string{"make", dir, "-o", out}, c.args...), &said, &wrong); code != Done && code != Look {
			t.Fatalf("%v: code %d: %s", c.args, code, wrong.String())
		}
		text, err := os.ReadFile(out)
		if err != nil {
			t.Fatal(err)
		}
		for line, want := range map[string]int{statement: c.statement, end: c.end, contents: c.contents, "neue ausgabe": c.edition, title: 1, chapter: c.chapters} {
			if got := countLines(string(text), line); got != want {
				t.Errorf("%v: %q stands %d times, want %d\n%s", c.args, line, got, want, text)
			}
		}
	}
}

// countLines counts the lines of text that are line, blanks around it left out
// (and a contents entry's number after it).
func countLines(text, line string) int {
	n := 0
	for _, l := range strings.Split(text, "\n") {
		l = strings.TrimSpace(l)
		if l == line || strings.HasPrefix(l, line+" #") {
			n++
		}
	}
	return n
}

// TestNoLiblouis: what is said when the profile needs liblouis and it is not
// there; with all words in cells it is not needed.
func TestNoLiblouis(t *testing.T) {
	t.Setenv("PATH", t.TempDir())
	text := "[words]\nlanguage = \"eo\"\ntable = \"eo-g1.ctb\"\nphrases = [\"volume-end: fino de volumo {n}\"]\n[words.cells]\nde = [\"de\"]\n"
	err := profileWords(t, text)
	if want := `profile "eo.toml" line 3: words.table: lou_translate is not found, which writes the words without cells: fino, volumo; give their cells in [words.cells], or install liblouis`; err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
	if err := profileWords(t, text+"fino = [\"fino\"]\nvolumo = [\"volumo\"]\n"); err != nil {
		t.Errorf("all words in cells: %v", err)
	}
}

// TestTableErrors: a table that is not there, and one that writes eight dots.
func TestTableErrors(t *testing.T) {
	needLouis(t)
	for table, want := range map[string]string{
		"no-such-table.ctb": "braille table cannot be used",
		"de-de-comp8.ctb":   "not one word of six-dot cells",
	} {
		err := profileWords(t, "[words]\nlanguage = \"de\"\ntable = \""+table+"\"\nphrases = [\"book-end: Ende\"]\n")
		if err == nil || !strings.Contains(err.Error(), `"eo.toml" line 3: words.table: `) || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: got %v, want %q", table, err, want)
		}
	}
}

func profileWords(t *testing.T, text string) error {
	t.Helper()
	p, err := profile.Parse("eo.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	_, err = structureWords(p.Words)
	return err
}
