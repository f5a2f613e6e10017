package learn

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"continuo/internal/profile"
	"continuo/internal/testkit"
)

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// write puts files into a folder.
func write(t *testing.T, dir string, files map[string]string) {
	t.Helper()
	must(t, os.MkdirAll(dir, 0o777))
	for name, text := range files {
		must(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666))
	}
}

// house presses titles that differ in all that the house of a profile leaves
// open, and returns the folder of them.
func house(t *testing.T, titles int, set func(l *testkit.Layout)) string {
	t.Helper()
	texts, err := testkit.Texts()
	testkit.Need(t, err)
	dir := t.TempDir()
	for seed := uint64(700); titles > 0; seed++ {
		l := testkit.Draw(seed)
		set(l)
		b, err := testkit.NewBook(l, texts)
		if err != nil {
			continue
		}
		title, err := testkit.Press(b)
		if err != nil {
			continue // a word longer than the line
		}
		files := map[string]string{}
		for _, f := range title.Files {
			files[f.Name] = string(f.Raw)
		}
		write(t, filepath.Join(dir, fmt.Sprint("title", seed)), files)
		titles--
	}
	return dir
}

// british is a house with page heads on all pages: print page at the left of line
// 1, braille page at its right (UKAAF, Guiding Principles for the Presentation of
// Braille, 2016; as internal/testkit sets it).
func british(l *testkit.Layout) {
	*l = *testkit.Draw(l.Seed)
	l.Region, l.Style, l.Head, l.Turns, l.HeadRange = "uk", "all", "title", "centred", false
	l.Code = testkit.Code{System: "ueb", Contracted: true, Capitals: true}
	l.Width, l.Height, l.Volumes, l.PagesEach = 36, 26, 3, 12
	l.Double, l.SingleText, l.Heights, l.PrelimVolume, l.Imprint, l.VolDigit = false, false, false, false, true, false
	l.File = testkit.FileForm{Encoding: "ascii", Case: "upper", EOL: "\r\n", Breaks: "after", Final: "feed", Names: "vol"}
}

// A profile is learnt that the program takes, with the house's page size, corners,
// line spacing, form of print page turns, names and wording.
func TestLearnsAHouse(t *testing.T) {
	dir := house(t, 4, british)
	l, err := From(dir, 10, nil)
	must(t, err)
	if l.Titles != 4 || l.Looked != 4 || l.Volumes != 12 || l.Files != 12 || len(l.Failed) != 0 {
		t.Fatalf("titles %d, looked at %d, volumes %d, files %d, failed %v", l.Titles, l.Looked, l.Volumes, l.Files, l.Failed)
	}
	toml := l.TOML("harbour")
	p, err := profile.Parse("proposal", toml)
	if err != nil {
		t.Fatalf("the proposal is no profile: %v\n%s", err, toml)
	}
	want := profile.Layout{Cells: 36, Lines: 26, BraillePage: "line 1, right", PrintPage: "line 1, left", Spacing: "single"}
	if p.Layout == nil || *p.Layout != want {
		t.Errorf("layout %+v, want %+v\n%s", p.Layout, want, toml)
	}
	if p.Turns != "inline" { // dots 5, dots 2-5 and the number, as this house marks them
		t.Errorf("turns %q\n%s", p.Turns, toml)
	}
	if len(l.Patterns) != 1 || l.Patterns[0] != (Count{"{title} vol {volume}", 12}) {
		t.Errorf("names: %v", l.Patterns)
	}
	if w := wording(l, "Harbour Braille Press"); w != 4 {
		t.Errorf("the imprint stands in %d of 4 titles: %v", w, l.Wording)
	}
	if len(l.Codes) == 0 || !strings.HasPrefix(l.Codes[0].What, "UEB") {
		t.Errorf("codes: %v", l.Codes)
	}
}

func wording(l *Learned, line string) int {
	for _, c := range l.Wording {
		if strings.EqualFold(c.What, line) {
			return c.Count
		}
	}
	return 0
}

// What is not in nine of ten volumes is told and not proposed.
func TestProposesNothingThatIsMixed(t *testing.T) {
	n := 0
	dir := house(t, 4, func(l *testkit.Layout) {
		british(l)
		if n++; n%2 == 0 {
			l.Width, l.Height = 32, 22
		}
	})
	l, err := From(dir, 10, nil)
	must(t, err)
	toml := string(l.TOML("mixed"))
	p, err := profile.Parse("proposal", []byte(toml))
	must(t, err)
	if p.Layout == nil {
		t.Fatalf("nothing of the layout is proposed, not even where the numbers stand\n%s", toml)
	}
	if p.Layout.Cells != 0 || p.Layout.Lines != 0 {
		t.Errorf("%d cells and %d lines are proposed\n%s", p.Layout.Cells, p.Layout.Lines, toml)
	}
	for _, size := range []string{"#   6: 36x26", "#   6: 32x22"} {
		if !strings.Contains(toml, size+"\n") {
			t.Errorf("no %q in\n%s", size, toml)
		}
	}
	if p.Layout.BraillePage != "line 1, right" {
		t.Errorf("braille pages %q: they stand alike in all", p.Layout.BraillePage)
	}
}

// volume is one made by hand: a title page and pages with a number at the right
// of the last line.
func volume(number string, pages int) string {
	var b strings.Builder
	b.WriteString("\r\n\r\n        ,! ,quiet ,pond\r\n\r\n        ,volume " + number + "\r\n")
	b.WriteString(strings.Repeat("\r\n", 5) + "\f")
	for p := 1; p <= pages; p++ {
		for range 9 {
			b.WriteString("! w1!r lay / & no\"o came d[n\r\n")
		}
		fmt.Fprintf(&b, "%28s%c\r\n\f", "#", 'a'+byte(p-1))
	}
	return b.String()
}

// File names are read as their forms; the number alone is a form too.
func TestNames(t *testing.T) {
	dir := t.TempDir()
	for _, n := range []string{"40172", "40173"} {
		write(t, filepath.Join(dir, n), map[string]string{n + "v01.brf": volume("#a", 6), n + "v02.brf": volume("#b", 6)})
	}
	write(t, filepath.Join(dir, "odd"), map[string]string{"pond.brf": volume("#a", 6)})
	l, err := From(dir, 10, nil)
	must(t, err)
	want := []Count{{"{number} v {volume}", 4}, {"no volume number is told", 1}}
	if fmt.Sprint(l.Patterns) != fmt.Sprint(want) {
		t.Errorf("names %v, want %v", l.Patterns, want)
	}
	if toml := string(l.TOML("pond")); !strings.Contains(toml, `names = ["{number} v {volume}"]`) {
		t.Errorf("the form of the names is not proposed:\n%s", toml)
	}
	if b := l.Braille[0].What; b != "last line, right" {
		t.Errorf("braille pages: %v", l.Braille)
	}
}

// Of an archive larger than asked for, titles are looked at that lie spread over
// it; progress is told.
func TestLooksAtSome(t *testing.T) {
	dir := t.TempDir()
	for i := range 9 {
		write(t, filepath.Join(dir, fmt.Sprint("t", i)), map[string]string{"pond1.brf": volume("#a", 4)})
	}
	calls := 0
	l, err := From(dir, 3, func(done, total int) {
		if calls++; total != 9 || done >= total {
			t.Errorf("%d of %d", done, total)
		}
	})
	must(t, err)
	if l.Titles != 9 || l.Looked != 3 || calls != 3 {
		t.Errorf("%d titles, %d looked at, %d times told", l.Titles, l.Looked, calls)
	}
}

// A title that cannot be read is told with the reason, and the others count.
func TestTellsWhatItCannotRead(t *testing.T) {
	dir := t.TempDir()
	write(t, filepath.Join(dir, "good"), map[string]string{"pond1.brf": volume("#a", 4)})
	write(t, filepath.Join(dir, "bad"), map[string]string{"pond1.brf": "\x89PNG\r\n\x1a\n" + strings.Repeat("\x00\xff", 400)})
	l, err := From(dir, 10, nil)
	must(t, err)
	if l.Looked != 1 || len(l.Failed) != 1 || !strings.Contains(l.Failed[0], "pond1.brf") {
		t.Errorf("%d looked at, failed %v", l.Looked, l.Failed)
	}
	if _, err := From(t.TempDir(), 10, nil); err == nil {
		t.Error("a folder without titles teaches nothing, and that is an error")
	}
}
