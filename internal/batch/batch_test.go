package batch

import (
	"archive/zip"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"continuo/internal/atomicfile"
	"continuo/internal/catalogue"
	"continuo/internal/convert"
	"continuo/internal/demo"
	"continuo/internal/profile"
)

var ctx = context.Background()

// simple converts with the settings that apply when nothing is asked for.
func simple(j Job) (*convert.Result, []byte, error) {
	o := convert.Defaults()
	o.Name, o.Decisions = j.Name, j.Decisions
	res, err := convert.Make(j.Files, o)
	if err != nil {
		return nil, nil, err
	}
	return res, []byte(fmt.Sprintf("report of %s: %d findings\n", j.Name, len(res.Findings))), nil
}

// paper returns the volumes of a demo title.
func paper(tb testing.TB, title int) map[string][]byte {
	tb.Helper()
	out := map[string][]byte{}
	for _, name := range demo.Titles[title].Volumes {
		raw, err := demo.Titles[title].Volume(name)
		if err != nil {
			tb.Fatal(err)
		}
		out[filepath.Base(name)] = raw
	}
	return out
}

func put(tb testing.TB, path string, data []byte) {
	tb.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		tb.Fatal(err)
	}
	if err := os.WriteFile(path, data, 0o666); err != nil {
		tb.Fatal(err)
	}
	old := time.Now().Add(-time.Hour)
	if err := os.Chtimes(path, old, old); err != nil {
		tb.Fatal(err)
	}
}

// shelf writes an archive: folders, one of them numbered files of two titles,
// one zip, strangers.
func shelf(tb testing.TB, dir string) {
	tb.Helper()
	for name, raw := range paper(tb, 0) {
		put(tb, filepath.Join(dir, "fiction", "first book", name), raw)
	}
	for i, t := range []int{0, 1} {
		n := 0
		for _, name := range demo.Titles[t].Volumes {
			n++
			raw, _ := demo.Titles[t].Volume(name)
			put(tb, filepath.Join(dir, "numbered", fmt.Sprintf("4010%dv%02d.brf", i, n)), raw)
		}
	}
	for name, raw := range paper(tb, 2) {
		put(tb, filepath.Join(dir, "third", name), raw)
	}
	zipped(tb, filepath.Join(dir, "second.zip"), paper(tb, 1))
	put(tb, filepath.Join(dir, "third", "notes.doc"), []byte("not braille"))
	put(tb, filepath.Join(dir, "broken", "b1.brf"), []byte("%PDF-1.4 no braille at all"))
}

func zipped(tb testing.TB, path string, files map[string][]byte) {
	tb.Helper()
	f, err := os.Create(path)
	if err != nil {
		tb.Fatal(err)
	}
	defer f.Close()
	z := zip.NewWriter(f)
	for _, name := range sortedKeys(files) {
		w, _ := z.Create(name)
		w.Write(files[name])
	}
	if err := z.Close(); err != nil {
		tb.Fatal(err)
	}
}

func sortedKeys(m map[string][]byte) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	return sorted(out)
}

// once runs over roots with a catalogue in home.
func once(tb testing.TB, home string, change func(*Options), roots ...string) (*Summary, error) {
	tb.Helper()
	cat, done, err := Open(home)
	if err != nil {
		tb.Fatal(err)
	}
	defer done()
	o := Options{Roots: roots, Make: simple, Prove: true, Settings: "test"}
	if change != nil {
		change(&o)
	}
	return Run(ctx, cat, o)
}

func must(tb testing.TB, home string, change func(*Options), roots ...string) *Summary {
	tb.Helper()
	s, err := once(tb, home, change, roots...)
	if err != nil {
		tb.Fatal(err)
	}
	return s
}

// state is everything that a run leaves: the editions' bytes and the
// catalogue's content.
func state(tb testing.TB, home string) string {
	tb.Helper()
	var b strings.Builder
	filepath.WalkDir(filepath.Join(home, Editions), func(p string, e fs.DirEntry, err error) error {
		if err == nil && !e.IsDir() {
			data, _ := os.ReadFile(p)
			rel, _ := filepath.Rel(home, p)
			fmt.Fprintf(&b, "%s %s\n", filepath.ToSlash(rel), sum(data))
		}
		return err
	})
	cat, err := catalogue.Open(filepath.Join(home, catalogue.FileName))
	if err != nil {
		tb.Fatal(err)
	}
	defer cat.Close()
	if list, err := cat.Check(ctx); err != nil || len(list) > 0 {
		tb.Fatalf("the catalogue is not sound: %v %v", list, err)
	}
	if err := cat.Dump(ctx, &b); err != nil {
		tb.Fatal(err)
	}
	return b.String()
}

func TestRunAndRunAgain(t *testing.T) {
	dir, home := t.TempDir(), t.TempDir()
	shelf(t, dir)
	s := must(t, home, nil, dir)
	if s.Made != 5 || s.Failed != 1 || len(s.Outcomes) != 6 || !s.Whole || len(s.PassedOver) != 1 {
		t.Fatalf("%+v", s)
	}
	var keys []string
	for _, o := range s.Outcomes {
		keys = append(keys, o.Key+"="+string(o.State))
	}
	want := "broken=stop first-book=ready 40100=ready 40101=ready second=ready third=ready"
	if got := strings.Join(keys, " "); got != want {
		t.Errorf("got  %s\nwant %s\n%+v", got, want, s.Outcomes)
	}
	before := state(t, home)
	s = must(t, home, nil, dir)
	if s.Made != 0 || s.Unchanged != 5 || s.Failed != 1 || state(t, home) != before {
		t.Errorf("a second run changes something: %+v", s)
	}
	s = must(t, home, func(o *Options) { o.Again, o.Workers = true, 7 }, dir)
	if s.Made != 5 {
		t.Errorf("again: %+v", s)
	}
	again := state(t, home)
	if drop(again, "history ") != drop(before, "history ") {
		t.Error("other bytes with 7 workers")
	}
}

// drop leaves out the lines of a table.
func drop(s, table string) string {
	var out []string
	for _, l := range strings.Split(s, "\n") {
		if !strings.HasPrefix(l, table) {
			out = append(out, l)
		}
	}
	return strings.Join(out, "\n")
}

func TestOnlyWhatChanged(t *testing.T) {
	dir, home := t.TempDir(), t.TempDir()
	shelf(t, dir)
	must(t, home, nil, dir)
	made := func(what string, want int, change func(*Options)) {
		t.Helper()
		if s := must(t, home, change, dir); s.Made != want {
			t.Errorf("%s: %d made, want %d: %+v", what, s.Made, want, s.Outcomes)
		}
	}
	path := filepath.Join(dir, "numbered", "40100v01.brf")
	raw, _ := os.ReadFile(path)
	now := time.Now()
	os.Chtimes(path, now, now)
	made("a new time alone", 0, nil)
	changed := []byte(strings.Replace(string(raw), "e", "i", 1))
	os.WriteFile(path, changed, 0o666)
	made("a changed volume", 1, nil)
	os.Chtimes(path, now.Add(-24*time.Hour), now.Add(-24*time.Hour))
	put(t, path, raw) // back, with an old time: the clock does not matter
	made("an older volume", 1, nil)
	put(t, filepath.Join(dir, "third", "title.toml"), []byte("title = \"The Third\"\nsubjects = [\"gardens\"]\n"))
	made("metadata", 1, nil)
	put(t, filepath.Join(dir, "numbered", "40101.title.decisions.toml"), []byte("# none yet\n"))
	made("decisions", 1, nil)
	made("other settings", 5, func(o *Options) { o.Settings = "other" })
	made("the old settings", 5, nil)
	os.Remove(filepath.Join(home, Editions, "second", "second.brf.account.jsonl"))
	made("an edition's file lost", 1, nil)
	made("nothing", 0, nil)
	made("nothing, read whole", 0, func(o *Options) { o.Rehash = true })
	cat, done, err := Open(home)
	if err != nil {
		t.Fatal(err)
	}
	defer done()
	if d, err := cat.Show(ctx, "third"); err != nil || d.Title.Title != "The Third" || len(d.Metadata) != 2 {
		t.Errorf("%+v %v", d, err)
	}
	if p, err := cat.List(ctx, catalogue.Filter{Text: "gardens"}); err != nil || p.Total != 1 {
		t.Errorf("%+v %v", p, err)
	}
}

// An edition that somebody changed is left alone, unless force is set.
func TestChangedEditionIsLeftAlone(t *testing.T) {
	dir, home := t.TempDir(), t.TempDir()
	shelf(t, dir)
	must(t, home, nil, dir)
	path := filepath.Join(home, Editions, "third", "third.brf")
	os.WriteFile(path, []byte("mended by hand\n"), 0o666)
	for range 2 {
		s := must(t, home, nil, dir)
		if s.Failed != 2 || s.Made != 0 {
			t.Errorf("%+v", s)
		}
		if got, _ := os.ReadFile(path); string(got) != "mended by hand\n" {
			t.Fatal("it was written over")
		}
	}
	if s := must(t, home, func(o *Options) { o.Force = true }, dir); s.Made != 1 {
		t.Errorf("with force: %+v", s)
	}
	if s := must(t, home, nil, dir); s.Failed != 1 || s.Unchanged != 5 {
		t.Errorf("after force: %+v", s)
	}
}

func TestPanicIsOneTitlesFailure(t *testing.T) {
	dir, home := t.TempDir(), t.TempDir()
	shelf(t, dir)
	boom := func(j Job) (*convert.Result, []byte, error) {
		if j.Key == "third" {
			var m map[string]int
			m["x"] = 1
		}
		return simple(j)
	}
	s := must(t, home, func(o *Options) { o.Make = boom }, dir)
	if s.Made != 4 || s.Failed != 2 {
		t.Errorf("%+v", s)
	}
	for _, o := range s.Outcomes {
		if o.Key == "third" && (!strings.Contains(o.Fault, "internal fault") || o.State != catalogue.Stop) {
			t.Errorf("%+v", o)
		}
	}
}

func TestGoneAndMoved(t *testing.T) {
	dir, home := t.TempDir(), t.TempDir()
	shelf(t, dir)
	must(t, home, nil, dir)
	if err := os.Rename(filepath.Join(dir, "third"), filepath.Join(dir, "moved")); err != nil {
		t.Fatal(err)
	}
	os.RemoveAll(filepath.Join(dir, "fiction"))
	s := must(t, home, nil, dir)
	if s.Moved != 1 || s.Gone != 1 || s.Unchanged != 4 || s.Made != 0 {
		t.Errorf("%+v", s)
	}
	if _, err := os.Stat(filepath.Join(home, Editions, "first-book", "first-book.brf")); err != nil {
		t.Error("the edition of a title that is gone was deleted")
	}
	entries, _ := os.ReadDir(dir)
	for _, e := range entries {
		os.RemoveAll(filepath.Join(dir, e.Name()))
	}
	if _, err := once(t, home, nil, dir); err == nil || !strings.Contains(err.Error(), "is the disk there") {
		t.Errorf("an empty place marks all titles as gone: %v", err)
	}
	if _, err := once(t, home, nil, filepath.Join(dir, "none")); err == nil {
		t.Error("a place that is not there is no error")
	}
}

// A folder of several titles whose names tell nothing is divided by the title
// pages; a stranger in a title's folder is named.
func TestTitlePages(t *testing.T) {
	dir, home := t.TempDir(), t.TempDir()
	names := strings.Fields("kx.brf qa.brf mm.brf zz.brf ab.brf cd.brf ef.brf gh.brf ij.brf kl.brf")
	i := 0
	for t0 := range 2 {
		for _, name := range demo.Titles[t0].Volumes {
			raw, _ := demo.Titles[t0].Volume(name)
			put(t, filepath.Join(dir, "mixed", names[i]), raw)
			i++
		}
	}
	s := must(t, home, nil, dir)
	if len(s.Outcomes) != 2 || s.Made != 2 {
		t.Fatalf("%+v", s)
	}
	for _, o := range s.Outcomes {
		if !strings.HasPrefix(o.Key, "mixed-") || o.State != catalogue.Ready {
			t.Errorf("%+v", o)
		}
	}
	before := state(t, home)
	if s = must(t, home, nil, dir); s.Unchanged != 2 || state(t, home) != before {
		t.Errorf("again: %+v", s)
	}
	// A third title's volume among them.
	raw, _ := demo.Titles[2].Volume(demo.Titles[2].Volumes[0])
	put(t, filepath.Join(dir, "mixed", "stranger.brf"), raw)
	if s = must(t, home, nil, dir); len(s.Outcomes) != 3 || s.Made != 1 || s.Unchanged != 2 {
		t.Errorf("with another: %+v", s)
	}
	os.Remove(filepath.Join(dir, "mixed", "stranger.brf"))
	if s = must(t, home, nil, dir); len(s.Outcomes) != 2 {
		t.Errorf("without it: %+v", s)
	}
	// In the folder of a title that has an edition a stranger stops it.
	for name, raw := range paper(t, 0) {
		put(t, filepath.Join(dir, "own", name), raw)
	}
	must(t, home, nil, dir)
	put(t, filepath.Join(dir, "own", "stranger.brf"), raw)
	s = must(t, home, nil, dir)
	for _, o := range s.Outcomes {
		if o.Key == "own" && (o.State != catalogue.Stop || !strings.Contains(o.Reason, "stranger.brf")) {
			t.Errorf("%+v", o)
		}
	}
}

func TestLargeSetIsDividedByTitlePages(t *testing.T) {
	var files []string
	dir := t.TempDir()
	for t0 := range 2 {
		for i, name := range demo.Titles[t0].Volumes {
			raw, _ := demo.Titles[t0].Volume(name)
			p := filepath.Join(dir, fmt.Sprintf("%c%d.brf", 'z'-rune(t0), i))
			put(t, p, raw)
			files = append(files, p)
		}
	}
	r := &run{}
	var list []Source
	for _, p := range files {
		info, _ := os.Stat(p)
		list = append(list, Source{p, filepath.Base(p), info.Size(), info.ModTime()})
	}
	disk, _, raw, err := r.hash(list, false)
	if err != nil {
		t.Fatal(err)
	}
	open, _, err := r.open(list, disk, raw)
	if err != nil {
		t.Fatal(err)
	}
	parts := byTitlePages(open)
	if len(parts) != 2 || len(parts[0].files) != len(demo.Titles[1].Volumes) || parts[0].doubt != "" {
		t.Errorf("%+v", parts)
	}
}

func TestRules(t *testing.T) {
	dir := t.TempDir()
	one, two := paper(t, 0), paper(t, 1)
	n := 0
	for _, name := range sortedKeys(one) {
		n++
		put(t, filepath.Join(dir, "a", fmt.Sprintf("bell_part%d.brf", n)), one[name])
		put(t, filepath.Join(dir, "vols", fmt.Sprintf("Volume %d", n), "text.brf"), one[name])
		put(t, filepath.Join(dir, "named", fmt.Sprintf("Bell vol %d", n), "text.brf"), one[name])
	}
	n = 0
	for _, name := range sortedKeys(two) {
		n++
		put(t, filepath.Join(dir, "a", fmt.Sprintf("winter_part%d.brf", n)), two[name])
	}
	put(t, filepath.Join(dir, "a", "odd.brf"), []byte("abc def\n"))
	find := func(rule *profile.Files) string {
		c, stray, err := Find([]string{dir}, rule, "")
		if err != nil {
			t.Fatal(err)
		}
		var out []string
		for _, x := range c {
			out = append(out, fmt.Sprintf("%s:%s:%d", x.Name, x.FoundBy, len(x.Sources)))
		}
		for _, s := range stray {
			out = append(out, filepath.Base(s.Path)+"!")
		}
		return strings.Join(out, " ")
	}
	v, w := len(one), len(two)
	for _, c := range []struct {
		rule *profile.Files
		want string
	}{
		{nil, fmt.Sprintf("a:folder:%d Bell:folder:%d vols:folder:%d", v+w+1, v, v)},
		{&profile.Files{Titles: "names", Names: []string{"{title}_part{volume}"}}, fmt.Sprintf("bell:name:%d winter:name:%d odd.brf! text.brf! text.brf! text.brf! text.brf!", v, w)},
		{&profile.Files{Titles: "auto", Names: []string{"{title}_part{volume}"}}, fmt.Sprintf("a:folder:1 bell:name:%d winter:name:%d Bell:folder:%d vols:folder:%d", v, w, v, v)},
		{&profile.Files{Titles: "title-pages"}, fmt.Sprintf("a:title page:%d Bell:folder:%d vols:folder:%d", v+w+1, v, v)},
	} {
		got := find(c.rule)
		if v > 2 {
			c.want = strings.Replace(c.want, "text.brf! text.brf! text.brf! text.brf!", strings.TrimSpace(strings.Repeat("text.brf! ", 2*v)), 1)
		}
		if got != c.want {
			t.Errorf("%+v:\ngot  %s\nwant %s", c.rule, got, c.want)
		}
	}
}

func TestOneRunACatalogue(t *testing.T) {
	home := t.TempDir()
	_, done, err := Open(home)
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := Open(home); !errors.Is(err, ErrLocked) {
		t.Errorf("got %v", err)
	}
	if err := done(); err != nil {
		t.Fatal(err)
	}
	_, done, err = Open(home)
	if err != nil {
		t.Fatal(err)
	}
	done()
}

// Sources that vanish between the search and the reading.
func TestVanishedSource(t *testing.T) {
	dir, home := t.TempDir(), t.TempDir()
	shelf(t, dir)
	must(t, home, nil, dir)
	edition := filepath.Join(home, Editions, "third", "third.brf")
	before, _ := os.ReadFile(edition)
	s := must(t, home, func(o *Options) {
		o.Again, o.Workers = true, 1
		o.Make = func(j Job) (*convert.Result, []byte, error) {
			os.RemoveAll(filepath.Join(dir, "third"))
			return simple(j)
		}
	}, dir)
	for _, o := range s.Outcomes {
		if o.Key == "third" && (o.State != catalogue.Stop || !strings.Contains(o.Fault, "no such file") && runtime.GOOS != "windows") {
			t.Errorf("%+v", o)
		}
	}
	if after, _ := os.ReadFile(edition); string(after) != string(before) {
		t.Error("the old edition is gone")
	}
	// The files are back: the title is made anew without being asked twice.
	for name, raw := range paper(t, 2) {
		put(t, filepath.Join(dir, "third", name), raw)
	}
	s = must(t, home, nil, dir)
	for _, o := range s.Outcomes {
		if o.Key == "third" && (!o.Made || o.State != catalogue.Ready) {
			t.Errorf("%+v", o)
		}
	}
}

// When the whole archive goes, a disk that was taken out, the run ends and no title is
// at fault; when it is there again, the next run goes on.
func TestVanishedArchive(t *testing.T) {
	dir, home := filepath.Join(t.TempDir(), "archive"), t.TempDir()
	away := dir + " away"
	shelf(t, dir)
	s, err := once(t, home, func(o *Options) {
		o.Workers = 1
		o.Make = func(j Job) (*convert.Result, []byte, error) {
			_ = os.Rename(dir, away) // there once only
			return simple(j)
		}
	}, dir)
	if err == nil || !strings.Contains(err.Error(), "no longer there") || s == nil || s.Failed > 0 {
		t.Fatalf("%+v %v", s, err)
	}
	state(t, home) // sound
	if err := os.Rename(away, dir); err != nil {
		t.Fatal(err)
	}
	if s := must(t, home, nil, dir); s.Made+s.Unchanged != 5 {
		t.Errorf("%+v", s)
	}
}

func TestTargetThatCannotBeWritten(t *testing.T) {
	dir, home := t.TempDir(), t.TempDir()
	shelf(t, dir)
	put(t, filepath.Join(home, Editions, "40100"), []byte("a file where a folder must go"))
	s, err := once(t, home, nil, dir)
	if err == nil && s.Failed != 2 {
		t.Errorf("%+v %v", s, err)
	}
	os.Remove(filepath.Join(home, Editions, "40100"))
	if s := must(t, home, nil, dir); s.Made+s.Unchanged != 5 {
		t.Errorf("%+v", s)
	}
}

// A disk that is full, or may not be written to, stops the run with a clear
// error; what is whole stands, and the next run goes on.
func TestFullDisk(t *testing.T) {
	for _, c := range []struct {
		err  error
		want string
	}{{syscall.ENOSPC, "the disk is full"}, {&fs.PathError{Op: "open", Path: "x", Err: fs.ErrPermission}, "cannot be written to"}} {
		dir, home := t.TempDir(), t.TempDir()
		shelf(t, dir)
		var n atomic.Int32
		s, err := once(t, home, func(o *Options) {
			o.Workers = 1
			o.writeAll = func(list []atomicfile.Item) error {
				if n.Add(1) > 2 {
					return fmt.Errorf("%q: %w", list[0].Path, c.err)
				}
				return atomicfile.WriteAll(list)
			}
		}, dir)
		if err == nil || !strings.Contains(err.Error(), c.want) || s == nil {
			t.Fatalf("%v: got %v", c.err, err)
		}
		state(t, home) // sound
		if s = must(t, home, nil, dir); s.Made+s.Unchanged != 5 || s.Unchanged < 2 {
			t.Errorf("%+v", s)
		}
	}
}

func TestStoppedByThePerson(t *testing.T) {
	dir, home := t.TempDir(), t.TempDir()
	shelf(t, dir)
	cat, done, err := Open(home)
	if err != nil {
		t.Fatal(err)
	}
	c, cancel := context.WithCancel(ctx)
	s, err := Run(c, cat, Options{Roots: []string{dir}, Prove: true, Settings: "test", Workers: 1, Make: func(j Job) (*convert.Result, []byte, error) {
		cancel()
		return simple(j)
	}})
	done()
	if !errors.Is(err, context.Canceled) || s.Whole || s.Made == 0 || s.Made == 5 {
		t.Errorf("%+v %v", s, err)
	}
	if s := must(t, home, nil, dir); s.Made+s.Unchanged != 5 || s.Unchanged == 0 {
		t.Errorf("%+v", s)
	}
}
