package english

import (
	"context"
	"os/exec"
	"strings"
	"testing"

	"continuo/internal/cell"
)

var (
	germanPhrases = []string{"volume: band {n} | band {n} von {m}", "contents: inhalt | inhaltsverzeichnis", "volume-end: ende von band {n}", "book-end: ende", "chapter: kapitel {x}"}
	germanNumbers = map[string]int{"eins": 1, "zwei": 2, "drei": 3}
)

// TestPhraseListGivenInCells: a language whose words a profile gives in cells.
func TestPhraseListGivenInCells(t *testing.T) {
	cells := map[string][]string{}
	for _, w := range PhraseWords(germanPhrases, germanNumbers) {
		cells[w] = []string{w}
	}
	l, err := NewPhraseList(germanPhrases, cells, germanNumbers)
	if err != nil {
		t.Fatal(err)
	}
	if p, ok := l.Lookup([]byte("   band zwei von #c")); !ok || p.ID != Volume || p.N != 2 || p.M != 3 {
		t.Errorf("band zwei von 3: %v %+v", ok, p)
	}
	if p, ok := l.Prefix([]byte("kapitel #d der /urm")); !ok || p.ID != Chapter || string(p.Tail) != "der /urm" {
		t.Errorf("kapitel 4: %v %+v", ok, p)
	}
	if _, ok := l.Lookup([]byte("volume #a")); ok {
		t.Error("an English phrase is found in the German list")
	}
	for _, bad := range []struct {
		phrases []string
		want    string
	}{{[]string{"volum: band {n}"}, "volum"}, {[]string{"volume: tome {n}"}, "tome"}, {[]string{"volume band"}, "volume band"}, {[]string{"volume: band | "}, "empty"}} {
		if _, err := NewPhraseList(bad.phrases, cells, nil); err == nil || !strings.Contains(err.Error(), bad.want) {
			t.Errorf("%q: error %v, want one that names %q", bad.phrases, err, bad.want)
		}
	}
}

// TestPhraseListThroughLiblouis: the same words in German contracted braille as
// liblouis writes them.
func TestPhraseListThroughLiblouis(t *testing.T) {
	tr, ok := findLouis()
	if !ok {
		missing(t, "liblouis' program lou_translate", "liblouis-bin and liblouis-data", exec.ErrNotFound)
	}
	ws := PhraseWords(germanPhrases, germanNumbers)
	lines := append(append([]string{}, ws...), "ende von band drei")
	got, err := tr.Forward(context.Background(), "de-g2.ctb", lines)
	if err != nil {
		t.Fatal(err)
	}
	cells := map[string][]string{}
	for i, w := range ws {
		cells[w] = []string{canonical(t, got[i])}
	}
	l, err := NewPhraseList(germanPhrases, cells, germanNumbers)
	if err != nil {
		t.Fatal(err)
	}
	line := canonical(t, got[len(ws)])
	if p, ok := l.Lookup([]byte(line)); !ok || p.ID != EndOfVolume || p.N != 3 {
		t.Errorf("%q: %v %+v", line, ok, p)
	}
}

func canonical(t *testing.T, braille string) string {
	var b []byte
	for _, r := range braille {
		c, ok := cell.FromRune(r)
		if r == ' ' {
			c, ok = ' ', true
		}
		if !ok {
			t.Fatalf("%q holds a cell of eight dots", braille)
		}
		b = append(b, c)
	}
	return string(b)
}
