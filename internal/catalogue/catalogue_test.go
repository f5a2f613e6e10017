package catalogue

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

var ctx = context.Background()

func open(tb testing.TB, path string) *Catalogue {
	tb.Helper()
	c, err := Open(path)
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() { c.Close() })
	return c
}

func fresh(tb testing.TB) *Catalogue { return open(tb, filepath.Join(tb.TempDir(), FileName)) }

func found(name string) Found {
	return Found{Location: "/books/" + name, Name: name, FoundBy: "folder"}
}

// put plans and saves titles that differ in all that can be asked for.
func put(tb testing.TB, c *Catalogue, n int) []string {
	tb.Helper()
	var list []Found
	for i := range n {
		list = append(list, found(fmt.Sprintf("Book %04d", i)))
	}
	keys, err := c.Plan(ctx, list)
	if err != nil {
		tb.Fatal(err)
	}
	var recs []Record
	var out []string
	for i, f := range list {
		recs = append(recs, record(keys[f.Location], i))
		out = append(out, keys[f.Location])
	}
	if err := c.Save(ctx, recs); err != nil {
		tb.Fatal(err)
	}
	return out
}

func record(key string, i int) Record {
	r := Record{Title: Title{Key: key, State: []State{Ready, Ready, Ready, Look, Stop}[i%5], Confidence: float64(i%100) / 100, Title: fmt.Sprintf("The Lantern of Mull %d", i),
		Author: []string{"by Ada Reed", "by Sören Quay"}[i%2], Code: []string{"UEB", "SEB", "EBAE"}[i%3], Pages: i, Bytes: 1000, Fingerprint: fmt.Sprint(i)},
		Volumes:  []Volume{{Number: 1, Of: 2, Name: "v1.brf", Path: key + "/v1.brf"}, {Number: 2, Of: 2, Name: "v2.brf", Path: key + "/v2.brf"}},
		Editions: []Edition{{Format: "brf", Path: "editions/" + key + ".brf", Bytes: 900, SHA256: "x"}},
		Reasons:  []Reason{{"proved", "every cell is accounted for"}},
		Proof:    &Proof{Proved: i%5 != 4, Cells: 5},
		Figures:  map[string]int64{"volumes": 2, "headings": 30},
		Metadata: []Metadata{{"subject", []string{"gardening", "sea stories"}[i%2], "title.toml"}},
		Event:    Event{Who: "continuo", What: "made"}}
	for k := range 30 {
		r.Headings = append(r.Headings, Heading{Line: k * 10, Level: 1, Cells: "*apt]", Print: fmt.Sprintf("Chapter %d of the tale", k)})
	}
	if i%7 == 0 {
		r.Findings = append(r.Findings, Finding{Place: fmt.Sprint("p", i), Kind: "no-cell", Severity: "look", File: "v1.brf", Page: 3, Line: 2, Text: "no cell"})
		r.Headings = append(r.Headings, Heading{Line: 999, Print: "The Café by the Weir"})
	}
	return r
}

func TestListFiltersAndPages(t *testing.T) {
	c := fresh(t)
	put(t, c, 100)
	for name, k := range map[string]struct {
		f    Filter
		want int
	}{
		"all":               {Filter{}, 100},
		"states":            {Filter{States: []State{Look, Stop}}, 40},
		"text in title":     {Filter{Text: "lantern mull 42"}, 1},
		"beginning":         {Filter{Text: "lant"}, 100},
		"without accents":   {Filter{Text: "soren"}, 50},
		"heading":           {Filter{Text: "cafe weir"}, 15},
		"subject as text":   {Filter{Text: "gardening"}, 50},
		"signs mean little": {Filter{Text: `"lantern" OR -(mull*`}, 0}, // "or" is a word like others
		"author":            {Filter{Author: "ada"}, 50},
		"wildcard is text":  {Filter{Title: "%"}, 0},
		"code":              {Filter{Code: "ueb"}, 34},
		"finding":           {Filter{Finding: "no-cell"}, 15},
		"subject":           {Filter{Subject: "sea"}, 50},
		"confidence":        {Filter{Confidence: 0.5}, 51},
		"unproved":          {Filter{Unproved: true}, 20},
		"gone":              {Filter{Gone: true}, 0},
		"since":             {Filter{Since: "2999"}, 0},
		"key":               {Filter{Key: "book-000"}, 10},
		"two at once":       {Filter{Text: "lantern", States: []State{Stop}, Code: "SEB"}, 7},
	} {
		p, err := c.List(ctx, k.f)
		if err != nil || p.Total != k.want || len(p.Titles) != k.want {
			t.Errorf("%s: %d of %d titles, want %d; %v", name, len(p.Titles), p.Total, k.want, err)
		}
	}
	for _, sort := range Sorts() {
		for _, back := range []bool{false, true} {
			f := Filter{Text: "mull", Sort: sort, Reverse: back}
			whole, err := c.List(ctx, f)
			if err != nil {
				t.Fatal(sort, err)
			}
			var parts []Title
			for f.Limit = 30; f.Offset < 100; f.Offset += 30 {
				p, err := c.List(ctx, f)
				if err != nil || p.Total != 100 {
					t.Fatal(sort, p.Total, err)
				}
				parts = append(parts, p.Titles...)
			}
			if !slices.Equal(whole.Titles, parts) {
				t.Errorf("%s: the pages are not the whole list", sort)
			}
		}
	}
	p, _ := c.List(ctx, Filter{Limit: 1})
	if p.Titles[0].State != Stop || p.Titles[0].Volumes != 2 || p.Titles[0].Best == "" {
		t.Errorf("first: %+v", p.Titles[0])
	}
	for _, f := range []Filter{{Sort: "colour"}, {States: []State{"fine"}}, {Text: "!?"}, {Sort: "match"}} {
		if _, err := c.List(ctx, f); err == nil {
			t.Errorf("%+v: no error", f)
		}
	}
}

func TestShowAndSaveAgain(t *testing.T) {
	c := fresh(t)
	keys := put(t, c, 8)
	d, err := c.Show(ctx, keys[7])
	if err != nil {
		t.Fatal(err)
	}
	if len(d.VolumeList) != 2 || len(d.Headings) != 31 || len(d.Findings) != 1 || d.Proof == nil || d.Figures["headings"] != 30 || len(d.Metadata) != 1 || len(d.History) != 1 {
		t.Errorf("%+v", d)
	}
	r := record(keys[7], 7)
	r.Headings, r.Findings = r.Headings[:2], nil
	if err := c.Save(ctx, []Record{r}); err != nil {
		t.Fatal(err)
	}
	if d, _ = c.Show(ctx, keys[7]); len(d.Headings) != 2 || len(d.Findings) != 0 || len(d.History) != 2 {
		t.Errorf("after the second time: %d headings, %d findings, %d events", len(d.Headings), len(d.Findings), len(d.History))
	}
	if p, _ := c.List(ctx, Filter{Text: "cafe"}); p.Total != 1 { // of titles 0 and 7
		t.Errorf("search finds old headings: %d", p.Total)
	}
	if _, err := c.Show(ctx, "no-such"); !errors.Is(err, ErrNotFound) {
		t.Errorf("got %v", err)
	}
	if err := c.Save(ctx, []Record{record("no-such", 1)}); err == nil || !strings.Contains(err.Error(), "no-such") {
		t.Errorf("got %v", err)
	}
}

func TestKeysStay(t *testing.T) {
	c := fresh(t)
	list := []Found{found("Ärger & Co."), {Location: "/a/Bell", Name: "Bell"}, {Location: "/b/bell", Name: "bell"}, found("CON"), found("!!!")}
	keys, err := c.Plan(ctx, list)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, f := range list {
		k := keys[f.Location]
		if k == "" || seen[k] || strings.Trim(k, "abcdefghijklmnopqrstuvwxyz0123456789-") != "" || k == "con" {
			t.Errorf("%s: key %q", f.Location, k)
		}
		seen[k] = true
	}
	// Another order and more titles: the old keys stay.
	slices.Reverse(list)
	again, err := c.Plan(ctx, append([]Found{{Location: "/c/bell", Name: "BELL"}}, list...))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range list {
		if again[f.Location] != keys[f.Location] {
			t.Errorf("%s: %q became %q", f.Location, keys[f.Location], again[f.Location])
		}
	}
	if err := c.Move(ctx, "bell", Found{Location: "/z/bell"}, "continuo"); err != nil {
		t.Fatal(err)
	}
	if d, err := c.Show(ctx, "bell"); err != nil || d.Location != "/z/bell" || d.History[0].What != "moved" {
		t.Errorf("%+v %v", d, err)
	}
}

func TestGoneTitlesKeepTheirHistory(t *testing.T) {
	c := fresh(t)
	keys := put(t, c, 3)
	for range 2 {
		if err := c.MarkGone(ctx, keys[:1], "continuo"); err != nil {
			t.Fatal(err)
		}
	}
	if p, _ := c.List(ctx, Filter{}); p.Total != 2 {
		t.Errorf("%d titles are there", p.Total)
	}
	if p, _ := c.List(ctx, Filter{Gone: true}); p.Total != 1 {
		t.Errorf("%d titles are gone", p.Total)
	}
	d, err := c.Show(ctx, keys[0])
	if err != nil || len(d.History) != 2 || d.History[1].What != "gone" || len(d.Editions) != 1 {
		t.Errorf("%+v %v", d.History, err)
	}
	if s, err := c.Stats(ctx); err != nil || s.Titles != 2 || s.Gone != 1 || s.Volumes != 4 || s.Proved != 2 {
		t.Errorf("%+v %v", s, err)
	}
}

// A name of a folder may hold any sign that the file system takes.
func TestAnyPath(t *testing.T) {
	for _, name := range []string{"with blank", "per%20cent", "hash#tag", "a?b=c&d", "semi;colon", "ünïcode", "plus+sign"} {
		dir := filepath.Join(t.TempDir(), name)
		if err := os.MkdirAll(dir, 0o777); err != nil {
			t.Logf("%s: not possible here: %v", name, err)
			continue
		}
		path := filepath.Join(dir, FileName)
		c := open(t, path)
		put(t, c, 1)
		if _, err := os.Stat(path); err != nil {
			t.Errorf("%s: the catalogue stands elsewhere: %v", name, err)
		}
		if err := c.Backup(ctx, filepath.Join(dir, "copy of it.db")); err != nil {
			t.Errorf("%s: backup: %v", name, err)
		}
		c.Close()
		ro, err := OpenReadOnly(path)
		if err != nil {
			t.Fatal(name, err)
		}
		if p, err := ro.List(ctx, Filter{}); err != nil || p.Total != 1 {
			t.Errorf("%s: %d titles, %v", name, p.Total, err)
		}
		if err := ro.Set(ctx, "a", "b"); !errors.Is(err, errReadOnly) {
			t.Errorf("%s: writing gives %v", name, err)
		}
		ro.Close()
	}
}

func TestBackupIsTheSame(t *testing.T) {
	c := fresh(t)
	put(t, c, 20)
	to := filepath.Join(t.TempDir(), "copy.db")
	if err := c.Backup(ctx, to); err != nil {
		t.Fatal(err)
	}
	if err := c.Backup(ctx, to); err == nil {
		t.Error("a backup is written over")
	}
	var a, b strings.Builder
	if err := c.Dump(ctx, &a); err != nil {
		t.Fatal(err)
	}
	if err := open(t, to).Dump(ctx, &b); err != nil {
		t.Fatal(err)
	}
	if a.String() != b.String() || !strings.Contains(a.String(), "The Lantern of Mull 7") {
		t.Error("the copy differs")
	}
	if entries, _ := os.ReadDir(filepath.Dir(to)); slices.ContainsFunc(entries, func(e os.DirEntry) bool { return strings.HasSuffix(e.Name(), ".tmp") }) {
		t.Errorf("left over: %v", entries)
	}
}

func TestCheckFindsDamage(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, FileName)
	c := open(t, path)
	put(t, c, 50)
	if list, err := c.Check(ctx); err != nil || len(list) != 0 {
		t.Fatalf("sound: %v %v", list, err)
	}
	if _, err := c.w.Exec("DELETE FROM search WHERE rowid = 3; PRAGMA foreign_keys = 0; DELETE FROM titles WHERE id = 4"); err != nil {
		t.Fatal(err)
	}
	if list, err := c.Check(ctx); err != nil || len(list) == 0 {
		t.Errorf("a row whose title is gone is not told: %v", err)
	}
	if _, err := c.w.Exec("PRAGMA wal_checkpoint(TRUNCATE)"); err != nil {
		t.Fatal(err)
	}
	c.Close()
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for i := 8192; i < len(raw)-4096; i += 4096 { // most pages are gone
		copy(raw[i:], make([]byte, 4096))
	}
	if err := os.WriteFile(path, raw, 0o666); err != nil {
		t.Fatal(err)
	}
	d, err := Open(path)
	if err == nil {
		var list []string
		list, err = d.Check(ctx)
		d.Close()
		if err == nil && len(list) == 0 {
			t.Error("a catalogue of zeros is called sound")
		}
	}
}

func TestNoCatalogue(t *testing.T) {
	dir := t.TempDir()
	if _, err := OpenReadOnly(filepath.Join(dir, "none.db")); err == nil {
		t.Error("a catalogue that is not there is opened")
	}
	text := filepath.Join(dir, "text.db")
	os.WriteFile(text, []byte(strings.Repeat("this is no catalogue at all\n", 40)), 0o666)
	for _, f := range []func(string) (*Catalogue, error){Open, OpenReadOnly} {
		if _, err := f(text); err == nil || !strings.Contains(err.Error(), "no catalogue of this program") {
			t.Errorf("got %v", err)
		}
	}
	if _, err := Open(filepath.Join(dir, "no", "folder.db")); err == nil || !strings.Contains(err.Error(), "cannot be opened") {
		t.Errorf("got %v", err)
	}
	if _, err := Open(dir); err == nil {
		t.Error("a folder is opened")
	}
}

// A database of another program is left as it is.
func TestOtherDatabase(t *testing.T) {
	path := filepath.Join(t.TempDir(), FileName)
	db, err := connect(path, "rwc", 1)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := db.Exec("CREATE TABLE songs (name TEXT)"); err != nil {
		t.Fatal(err)
	}
	db.Close()
	for _, f := range []func(string) (*Catalogue, error){Open, OpenReadOnly} {
		if _, err := f(path); err == nil || !strings.Contains(err.Error(), "of another program") {
			t.Errorf("got %v", err)
		}
	}
}

// A catalogue of a newer program is left alone.
func TestNewerCatalogue(t *testing.T) {
	path := filepath.Join(t.TempDir(), FileName)
	c := open(t, path)
	if _, err := c.w.Exec("PRAGMA user_version = 999"); err != nil {
		t.Fatal(err)
	}
	c.Close()
	for _, f := range []func(string) (*Catalogue, error){Open, OpenReadOnly} {
		if _, err := f(path); err == nil || !strings.Contains(err.Error(), "newer continuo") {
			t.Errorf("got %v", err)
		}
	}
}

// Several openers at once make one catalogue, and writers wait for each other.
func TestManyAtOnce(t *testing.T) {
	path := filepath.Join(t.TempDir(), FileName)
	var wg sync.WaitGroup
	for i := range 8 {
		wg.Go(func() {
			c, err := Open(path)
			if err != nil {
				t.Error(err)
				return
			}
			defer c.Close()
			for k := range 10 {
				f := found(fmt.Sprint(i, "-", k))
				keys, err := c.Plan(ctx, []Found{f})
				if err == nil {
					err = c.Save(ctx, []Record{record(keys[f.Location], k)})
				}
				if err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
	if p, err := open(t, path).List(ctx, Filter{}); err != nil || p.Total != 80 {
		t.Errorf("%d titles, %v", p.Total, err)
	}
}

// A title's standing decision is one; taken back, another can stand.
func TestOneStandingDecision(t *testing.T) {
	c := fresh(t)
	put(t, c, 1)
	ins := "INSERT INTO decisions (title_id, place, kind, choice, who, at, undone) VALUES (1, 'p', 'no-cell', 'keep', 'ann', 'now', ?)"
	for _, k := range []struct {
		undone string
		ok     bool
	}{{"yesterday", true}, {"", true}, {"", false}, {"today", true}} {
		if _, err := c.w.Exec(ins, k.undone); (err == nil) != k.ok {
			t.Errorf("%+v: %v", k, err)
		}
	}
	if err := c.Save(ctx, []Record{record("book-0000", 0)}); err != nil {
		t.Fatal(err)
	}
	if d, _ := c.Show(ctx, "book-0000"); len(d.Decisions) != 3 {
		t.Errorf("%d decisions after a run", len(d.Decisions))
	}
}

// The clock may go back: nothing depends on it.
func TestClockSetBack(t *testing.T) {
	c := fresh(t)
	put(t, c, 2)
	c.now = func() time.Time { return time.Date(1999, 1, 1, 0, 0, 0, 0, time.UTC) }
	keys := put(t, c, 3)
	d, err := c.Show(ctx, keys[0])
	if err != nil || len(d.History) != 2 || !strings.HasPrefix(d.History[1].At, "1999") {
		t.Errorf("the later event does not stand last: %+v %v", d.History, err)
	}
}

func BenchmarkList(b *testing.B) {
	c := fresh(b)
	put(b, c, 2000)
	for name, f := range map[string]Filter{"page": {Limit: 50}, "text": {Text: "chapter lantern", Limit: 50, Sort: "match"}, "filters": {States: []State{Look}, Author: "ada", Limit: 50}, "all": {}} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := c.List(ctx, f); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	b.Run("stats", func(b *testing.B) {
		for b.Loop() {
			if _, err := c.Stats(ctx); err != nil {
				b.Fatal(err)
			}
		}
	})
}

func BenchmarkSave(b *testing.B) {
	c := fresh(b)
	keys := put(b, c, 50)
	for b.Loop() {
		var recs []Record
		for i, k := range keys {
			recs = append(recs, record(k, i))
		}
		if err := c.Save(ctx, recs); err != nil {
			b.Fatal(err)
		}
	}
}

// Keys are plain letters, whatever the accents, and never a device of Windows.
func TestSlug(t *testing.T) {
	for name, want := range map[string]string{"Élan Łódź": "elan-lodz", "Straße": "strasse", "Reader's Ærø": "readers-aero", "aux": "aux-title", "Книга": "title", "Книга 3": "3", "e\u0301tude": "etude"} {
		if got := Slug(name); got != want {
			t.Errorf("Slug(%q) = %q, want %q", name, got, want)
		}
	}
}
