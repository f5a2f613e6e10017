package louis

import (
	"context"
	"errors"
	"os"
	"strings"
	"testing"
)

// need skips the test, loudly, where liblouis is not installed.
func need(t testing.TB) *Translator {
	t.Helper()
	tr, ok := Find()
	if !ok {
		if os.Getenv("CONTINUO_REQUIRE_OUTSIDE") == "1" {
			t.Fatal("lou_translate is missing: install liblouis-bin and liblouis-data")
		}
		t.Skip("SKIPPED: lou_translate is missing (install liblouis-bin and liblouis-data); nothing was checked against liblouis")
	}
	return tr
}

func TestForwardAndBack(t *testing.T) {
	tr := need(t)
	// Cells of the published sign lists: UEB 2013, 10.3 (the), 10.4 (ing).
	lines := []string{"the thing", "", `a\b`, "  two   blanks"}
	got, err := tr.Forward(context.Background(), "en-ueb-g2.ctb", lines)
	if err != nil {
		t.Fatal(err)
	}
	if want := "⠮ ⠹⠬"; got[0] != want {
		t.Errorf("the thing: got %q, want %q", got[0], want)
	}
	if got[1] != "" || !strings.Contains(got[2], "⠸⠡") { // UEB 3.7: backslash 456 16
		t.Errorf("empty line and backslash: got %q, %q", got[1], got[2])
	}
	back, err := tr.Back(context.Background(), "en-ueb-g2.ctb", got[:1])
	if err != nil || back[0] != "the thing" {
		t.Errorf("back: got %q, %v", back, err)
	}
}

// TestLongLine: the program cuts long lines without a word, so the package
// must not send any; no word may be lost.
func TestLongLine(t *testing.T) {
	tr := need(t)
	long := strings.TrimSuffix(strings.Repeat("and xyz ", 2000), " ")
	got, err := tr.Forward(context.Background(), "en-ueb-g2.ctb", []string{"a", long, strings.Repeat("q", 2*MaxLine), "b"})
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(got[1], "⠯ ⠭⠽⠵"); n != 2000 {
		t.Errorf("long line: %d pairs of words of 2000", n)
	}
	if n := strings.Count(got[2], "⠟"); n != 2*MaxLine {
		t.Errorf("line without blanks: %d letters of %d", n, 2*MaxLine)
	}
}

func TestNoSuchTable(t *testing.T) {
	tr := need(t)
	for _, table := range []string{"no-such-table.ctb", "", "--version"} {
		if _, err := tr.Forward(context.Background(), table, []string{"x"}); !errors.Is(err, ErrTable) {
			t.Errorf("table %q: error %v, want ErrTable", table, err)
		}
	}
}

func TestLineEndRefused(t *testing.T) {
	if _, _, err := cut([]string{"ok", "a\nb"}); err == nil || !strings.Contains(err.Error(), "line 2") {
		t.Errorf("a line end inside a line: error %v", err)
	}
}

func TestFindMissing(t *testing.T) {
	t.Setenv("PATH", t.TempDir())
	if _, ok := Find(); ok {
		t.Error("found a translator in an empty folder")
	}
}

func TestSplitKeepsAll(t *testing.T) {
	l := strings.Repeat("word ", 500) + strings.Repeat("y", 1500)
	parts := split(l)
	for _, p := range parts {
		if len(p) > MaxLine {
			t.Errorf("a part of %d characters", len(p))
		}
	}
	if got := strings.Join(parts, " "); strings.ReplaceAll(got, " ", "") != strings.ReplaceAll(l, " ", "") {
		t.Error("characters were lost")
	}
}
