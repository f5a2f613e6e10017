package shelf

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"continuo/internal/safename"
	"continuo/internal/testkit"
)

// book is a title whose edition holds n lines.
func book(key, title, author string, n int) Item {
	data := []byte(strings.Repeat(",! bell r+s "+key+"\r\n", n))
	return Item{Key: key, Title: title, Author: author, Code: "UEB contracted", Contracted: true, Pages: n, Edition: sum(data), Bytes: int64(len(data)), Load: func() ([]byte, error) { return data, nil }}
}

func library(n int) []Item {
	words := []string{"bell", "harbour", "lantern", "weather", "mill", "pond", "stair", "quay", "orchard", "winter", "ferry", "river"}
	var out []Item
	for i := range n {
		out = append(out, book(fmt.Sprintf("t%04d", i), fmt.Sprintf("The %s under the %s", words[i%12], words[(i*7+i/12)%12]), "By Orla Quist", 40+i%200))
	}
	return out
}

func build1(t *testing.T, dir string, items []Item, o Options) *Result {
	t.Helper()
	if o.Wishes.Format == "" {
		o.Wishes = Default()
	}
	r, err := Build(context.Background(), dir, items, o)
	if err != nil {
		t.Fatal(err)
	}
	if _, faults, err := Verify(dir); err != nil || len(faults) > 0 {
		t.Fatalf("verify: %v, %v", faults, err)
	}
	if _, err := os.Stat(filepath.Join(dir, filepath.FromSlash(planFile))); err == nil {
		t.Fatal("the plan is still there")
	}
	return r
}

// state notes time and size of every file.
func state(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	filepath.Walk(dir, func(p string, info os.FileInfo, err error) error {
		if err == nil && !info.IsDir() {
			rel, _ := filepath.Rel(dir, p)
			out[filepath.ToSlash(rel)] = fmt.Sprint(info.ModTime().UnixNano(), info.Size())
		}
		return nil
	})
	return out
}

// A second build with ten new titles writes these, the index and the records,
// and nothing else.
func TestSecondBuild(t *testing.T) {
	dir := t.TempDir()
	all := library(120)
	first := build1(t, dir, all[:110], Options{Reader: "r17"})
	if len(first.Written) != 110 || first.Titles != 110 || first.Unchanged != 0 {
		t.Fatalf("%+v", first)
	}
	before := state(t, dir)
	time.Sleep(20 * time.Millisecond)
	second := build1(t, dir, all, Options{})
	if len(second.Written) != 10 || second.Unchanged != 110 || second.Titles != 120 {
		t.Fatalf("%+v", second)
	}
	touched := 0
	for p, s := range state(t, dir) {
		switch {
		case before[p] == s:
		case before[p] == "" && strings.HasPrefix(p, booksDir):
			touched++
		case p != indexBRF && p != indexWeb && p != indexCSV && p != sumsFile && p != cardFile:
			t.Errorf("%s was written again", p)
		}
	}
	if touched != 10 {
		t.Errorf("%d new books", touched)
	}
	if c, err := Read(dir); err != nil || c.Reader != "r17" {
		t.Errorf("reader code: %+v, %v", c, err)
	}
	// It is not filled for another reader.
	var other *OtherReader
	if _, err := Build(context.Background(), dir, all, Options{Reader: "r18", Wishes: Default()}); !errors.As(err, &other) || other.Has != "r17" {
		t.Errorf("filled for another reader: %v", err)
	}
	// One edition changes: only it is written, at its place.
	all[3] = book(all[3].Key, all[3].Title, "", 7)
	third := build1(t, dir, all, Options{})
	if len(third.Written) != 1 || third.Unchanged != 119 {
		t.Errorf("%+v", third)
	}
	// Titles that are not chosen stay; with Remove they go.
	if r := build1(t, dir, all[:5], Options{}); r.Titles != 120 {
		t.Errorf("%d titles after a small choice", r.Titles)
	}
	if r := build1(t, dir, all[:5], Options{Remove: true}); r.Titles != 5 || len(r.Removed) != 115 {
		t.Errorf("%d titles, %d removed", r.Titles, len(r.Removed))
	}
}

// A build that is stopped at any file leaves whole files only, and the next one
// goes on: nothing that was written is written again, and the card is the same
// as one that was built undisturbed.
func TestStoppedBuild(t *testing.T) {
	all := library(30)
	whole := t.TempDir()
	build1(t, whole, all, Options{})
	want := state(t, whole)
	for stop := 1; stop < 30; stop += 4 {
		dir := t.TempDir()
		ctx, cancel := context.WithCancel(context.Background())
		_, err := Build(ctx, dir, all, Options{Wishes: Default(), Progress: func(done, total int) {
			if done == stop {
				cancel()
			}
		}})
		if !errors.Is(err, context.Canceled) {
			t.Fatalf("stop at %d: %v", stop, err)
		}
		os.WriteFile(filepath.Join(dir, booksDir, ".bell.brf.12-0.tmp"), []byte("half"), 0o666)
		r := build1(t, dir, all, Options{})
		if len(r.Written) != 30-stop || r.Unchanged != stop {
			t.Errorf("stop at %d: %d written, %d unchanged", stop, len(r.Written), r.Unchanged)
		}
		got := state(t, dir)
		if len(got) != len(want) {
			t.Errorf("stop at %d: %d files, want %d", stop, len(got), len(want))
		}
		for p := range want {
			a, _, _ := fileSum(filepath.Join(whole, p))
			if b, _, _ := fileSum(filepath.Join(dir, p)); a != b {
				t.Errorf("stop at %d: %s differs", stop, p)
			}
		}
	}
}

// Names are safe on FAT32, short, and no two are the same when capitals do not
// count (long file names of FAT are matched without regard to case; Microsoft
// FAT specification).
func TestNames(t *testing.T) {
	fat := regexp.MustCompile(`^books(/[a-z0-9-]{1,16})?/[a-z0-9]([a-z0-9-]{0,35}[a-z0-9])?\.[a-z]{3,4}$`)
	odd := []string{"The Bell", "the bell", "Bell!", "CON", "nul", "...", "", "A", "\u00c9clair", "a-b", strings.Repeat("long title ", 9), "\u4e2d\u6587", "a/b\\c:d", "\x00"}
	rng := rand.New(rand.NewPCG(1, 2))
	for range 2000 {
		var items []Item
		for i := range 1 + rng.IntN(30) {
			s := odd[rng.IntN(len(odd))]
			if rng.IntN(3) == 0 {
				s = string([]rune{rune(rng.IntN(0x3000)), rune(rng.IntN(128)), rune(rng.IntN(128)), ' ', rune(rng.IntN(128))})
			}
			items = append(items, Item{Key: fmt.Sprintf("k%d", i), Title: s, Author: s})
		}
		seen := map[string]bool{}
		for key, p := range names(items, Groupings()[rng.IntN(3)], "brf", map[string]bool{}) {
			if !fat.MatchString(p) || !safe(p) || len(p) > 64 {
				t.Fatalf("%s: %q", key, p)
			}
			if base := strings.TrimSuffix(filepath.Base(p), ".brf"); safename.Device(base) || safename.Device(strings.Split(p, "/")[1]) {
				t.Fatalf("%q is a device", p)
			}
			if seen[strings.ToLower(p)] {
				t.Fatalf("%q twice", p)
			}
			seen[strings.ToLower(p)] = true
		}
		if len(seen) != len(items) {
			t.Fatalf("%d names for %d titles", len(seen), len(items))
		}
	}
}

// What cannot be delivered is told with the reason, in the result and in every
// index; the others are delivered.
func TestMissing(t *testing.T) {
	dir := t.TempDir()
	all := library(3)
	all[0].Why = "volume 2 of 3 is missing"
	all[1].Load = func() ([]byte, error) { return nil, errors.New("the disk of the archive cannot be read") }
	changed := book("c", "Changed", "", 3)
	changed.Edition = sum([]byte("before"))
	plain := book("p", "Plain Words", "", 3)
	plain.Contracted = false
	r := build1(t, dir, append(all, changed, plain), Options{})
	if len(r.Missing) != 3 || r.Titles != 2 {
		t.Fatalf("%+v", r)
	}
	web, _ := os.ReadFile(filepath.Join(dir, indexWeb))
	table, _ := os.ReadFile(filepath.Join(dir, indexCSV))
	for _, why := range []string{"volume 2 of 3 is missing", "cannot be read", "was changed since it was made"} {
		if !bytes.Contains(web, []byte(why)) || !bytes.Contains(table, []byte(why)) {
			t.Errorf("%q is not in the index", why)
		}
	}
	w := Default()
	w.Uncontracted = true
	dir = t.TempDir()
	if r := build1(t, dir, []Item{all[2], plain}, Options{Wishes: w}); r.Titles != 1 || len(r.Missing) != 1 || !strings.Contains(r.Missing[0].Why, "contracted braille") {
		t.Errorf("uncontracted only: %+v", r)
	}
}

// A file on the card that is not ours is never written over; a title whose name
// it has gets another.
func TestForeignFiles(t *testing.T) {
	dir := t.TempDir()
	os.MkdirAll(filepath.Join(dir, booksDir), 0o777)
	mine := filepath.Join(dir, booksDir, "BELL-UNDER-THE-BELL.BRF")
	os.WriteFile(mine, []byte("mine"), 0o666)
	one := book("x", "The Bell under the Bell", "", 3)
	r := build1(t, dir, []Item{one}, Options{})
	if len(r.Written) != 1 || r.Written[0] != "books/bell-under-the-bell-2.brf" {
		t.Errorf("%v", r.Written)
	}
	if text, _ := os.ReadFile(mine); string(text) != "mine" {
		t.Error("a foreign file was changed")
	}
}

func TestRefusals(t *testing.T) {
	dir := t.TempDir()
	if _, err := Build(context.Background(), filepath.Join(dir, "none"), library(1), Options{Wishes: Default()}); err == nil {
		t.Error("a card that is not there")
	}
	var full *Full
	if _, err := Build(context.Background(), dir, library(30), Options{Wishes: Default(), Limit: 200_000}); !errors.As(err, &full) {
		t.Errorf("a small card: %v", err)
	}
	if _, err := os.Stat(filepath.Join(dir, booksDir)); err == nil {
		t.Error("something was written to a card that is too small")
	}
	os.MkdirAll(filepath.Join(dir, dataDir), 0o777)
	os.WriteFile(filepath.Join(dir, cardFile), []byte(`{"card":1,"titles":[{"path":"../x"}]}`), 0o666)
	if _, err := Build(context.Background(), dir, library(1), Options{Wishes: Default()}); err == nil || !strings.Contains(err.Error(), `"../x"`) {
		t.Errorf("a record that leads elsewhere: %v", err)
	}
	os.WriteFile(filepath.Join(dir, cardFile), []byte(`{"card":2}`), 0o666)
	if _, err := Read(dir); err == nil {
		t.Error("a record of another version")
	}
}

// Damage on a card is found, file by file; so says the standard tool too.
func TestVerify(t *testing.T) {
	dir := t.TempDir()
	r := build1(t, dir, library(12), Options{})
	if path, err := exec.LookPath("sha256sum"); err == nil { // GNU coreutils reads the same list
		cmd := exec.Command(path, "-c", "--quiet", sumsFile)
		cmd.Dir = dir
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Errorf("sha256sum: %v\n%s", err, out)
		}
	} else if testkit.Required() {
		t.Fatal("outside check required: ", err)
	}
	a, b := filepath.Join(dir, r.Written[0]), filepath.Join(dir, r.Written[1])
	text, _ := os.ReadFile(a)
	text[5] ^= 1
	os.WriteFile(a, text, 0o666)
	os.Remove(b)
	_, faults, err := Verify(dir)
	if err != nil || len(faults) != 2 || faults[0].Path != r.Written[0] || faults[1].Why != "is missing" {
		t.Errorf("%v, %v", faults, err)
	}
	// A build writes both titles again, and leaves the changed file where it is.
	mended := build1Mend(t, dir)
	if len(mended.Written) != 2 || len(mended.Changed) != 1 || mended.Changed[0] != r.Written[0] || slices.Contains(mended.Written, r.Written[0]) {
		t.Errorf("%+v", mended)
	}
	if _, faults, err := Verify(dir); err != nil || len(faults) > 0 {
		t.Errorf("after a second build: %v, %v", faults, err)
	}
}

func build1Mend(t *testing.T, dir string) *Result {
	t.Helper()
	r, err := Build(context.Background(), dir, library(12), Options{Wishes: Default()})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// The index in braille keeps to its width, and names every file; the table has
// a line a title and no formula; the page names every file.
func TestIndex(t *testing.T) {
	dir := t.TempDir()
	items := append(library(50), book("q", "=cmd|' /C calc'!A0", "By \u017dofie", 2), book("z", "42 Sparrows", "", 2))
	for _, code := range []string{"ueb", "seb", "ebae"} {
		w := Default()
		w.IndexCode, w.IndexWidth = code, 20
		r := build1(t, dir, items, Options{Wishes: w})
		brf, _ := os.ReadFile(filepath.Join(dir, indexBRF))
		lines := strings.Split(strings.TrimSuffix(string(brf), "\r\n"), "\r\n")
		for _, l := range lines {
			if len(l) > 20 || l == "" {
				t.Errorf("%s: %q", code, l)
			}
		}
		if len(lines) < 2*r.Titles {
			t.Errorf("%s: %d lines for %d titles", code, len(lines), r.Titles)
		}
	}
	text, _ := os.ReadFile(filepath.Join(dir, indexCSV))
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil || len(rows) != 53 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	web, _ := os.ReadFile(filepath.Join(dir, indexWeb))
	for _, row := range rows[1:] {
		if strings.HasPrefix(row[0], "=") {
			t.Errorf("a formula: %q", row[0])
		}
		if !bytes.Contains(web, []byte(`href="`+row[4]+`"`)) {
			t.Errorf("the page does not name %s", row[4])
		}
	}
}

// A download has what a card has, and the same titles give the same bytes.
func TestPack(t *testing.T) {
	items := library(45)
	o := Options{Wishes: Default()}
	data, r, err := Pack(context.Background(), items, o)
	if err != nil || r.Titles != 45 {
		t.Fatalf("%+v, %v", r, err)
	}
	if again, _, _ := Pack(context.Background(), items, o); !bytes.Equal(again, data) {
		t.Error("other bytes the second time")
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	dir, card := t.TempDir(), t.TempDir()
	for _, f := range z.File {
		p := filepath.Join(dir, filepath.FromSlash(f.Name))
		os.MkdirAll(filepath.Dir(p), 0o777)
		in, _ := f.Open()
		var b bytes.Buffer
		b.ReadFrom(in)
		os.WriteFile(p, b.Bytes(), 0o666)
	}
	if n, faults, err := Verify(dir); err != nil || len(faults) > 0 || n != 48 {
		t.Errorf("%d files, %v, %v", n, faults, err)
	}
	build1(t, card, items, o)
	if a, b := state(t, dir), state(t, card); len(a) != len(b) {
		t.Errorf("%d files in the download, %d on the card", len(a), len(b))
	}
	var full *Full
	if _, _, err := Pack(context.Background(), items, Options{Wishes: Default(), Limit: 1000}); !errors.As(err, &full) {
		t.Errorf("a download that is too large: %v", err)
	}
}

// BenchmarkCard builds and verifies a card of 700 titles of half a megabyte.
func BenchmarkCard(b *testing.B) {
	items := library(700)
	data := bytes.Repeat([]byte(",! bell r+s \"u ! wat]4\r\n"), 20_000)
	for i := range items {
		items[i].Edition, items[i].Bytes, items[i].Load = sum(data), int64(len(data)), func() ([]byte, error) { return data, nil }
	}
	for b.Loop() {
		dir := b.TempDir()
		if _, err := Build(context.Background(), dir, items, Options{Wishes: Default()}); err != nil {
			b.Fatal(err)
		}
		if _, faults, err := Verify(dir); err != nil || len(faults) > 0 {
			b.Fatal(faults, err)
		}
		os.RemoveAll(dir)
	}
}
