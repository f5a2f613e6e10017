package shelf

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"sort"
	"strings"

	"github.com/gofrs/flock"

	"continuo/internal/atomicfile"
	"continuo/internal/lazy"
)

// Options say how a card is built.
type Options struct {
	Reader   string // a reader code
	Wishes   Wishes
	Grouping string // none, letter or author; "": as the card has it, else by the number of titles
	Remove   bool   // take titles off the card that are not among the chosen
	Limit    int64  // bytes that may be used; 0: what is free
	Progress func(done, total int)
}

// Result is what a build did.
type Result struct {
	Written   []string // paths of editions written, new or changed
	Unchanged int      // editions that were there
	Removed   []string
	Changed   []string // files of the record that somebody changed: left as they are, their titles stand anew
	Missing   []Missing
	Titles    int   // on the card now
	Bytes     int64 // of all files on the card
	Verified  int   // files written and read back
}

// manyTitles is how many titles stand in one folder before they are divided by
// letter.
const manyTitles = 40

// Full is the error of a card that is too small.
type Full struct{ Need, Free int64 }

func (e *Full) Error() string {
	return fmt.Sprintf("the card is too small: %d bytes are needed, %d are free", e.Need, e.Free)
}

// ErrBusy is the error of a card that another build works on.
var ErrBusy = errors.New("another build is working on this card")

// plan is what a build is about to write.
type plan struct {
	Version int     `json:"plan"`
	Titles  []Entry `json:"titles"` // SHA256 is "" where it is not known yet
}

type build struct {
	dir  string
	o    Options
	card *Card
	res  *Result
	have map[string]Entry // by key, on the card and whole

	adopted []Entry // of these, those that no record of the card names yet: they stay in the plan
	loads   map[string]func() ([]byte, error)
	files   map[string]string // checksums of all files
}

// NoFolder is the error of a card that is not there.
type NoFolder struct{ Dir string }

func (e *NoFolder) Error() string { return fmt.Sprintf("no such folder: %q", e.Dir) }

// OtherReader is the error of a card that was built for another reader.
type OtherReader struct{ Has, Want string }

func (e *OtherReader) Error() string {
	return fmt.Sprintf("the card is that of reader %s, not of %s", e.Has, e.Want)
}

// Build fills a card: the folder dir, which must be there. Items that cannot
// be delivered are listed in the result with the reason.
func Build(ctx context.Context, dir string, items []Item, o Options) (*Result, error) {
	if info, err := os.Stat(dir); err != nil || !info.IsDir() {
		return nil, &NoFolder{dir}
	}
	if _, err := o.Wishes.Variant(); err != nil {
		return nil, err
	}
	if err := os.MkdirAll(filepath.Join(dir, dataDir), 0o777); err != nil {
		return nil, err
	}
	lock := flock.New(filepath.Join(dir, filepath.FromSlash(lockFile)))
	if ok, err := lock.TryLock(); err != nil || !ok {
		return nil, errors.Join(ErrBusy, err)
	}
	defer func() {
		lock.Unlock()
		os.Remove(lock.Path())
		os.Remove(filepath.Join(dir, dataDir)) // goes only when nothing was written
	}()
	b := &build{dir: dir, o: o, res: &Result{}, loads: map[string]func() ([]byte, error){}, files: map[string]string{}}
	if err := b.resume(); err != nil {
		return nil, err
	}
	return b.res, b.run(ctx, items)
}

// resume reads the record of the card and the files it names, for cards lose bytes
// in silence, and adopts what an interrupted build wrote.
func (b *build) resume() error {
	card, err := Read(b.dir)
	switch {
	case errors.Is(err, ErrNoCard):
		card = &Card{Version: 1}
	case err != nil:
		return err
	}
	if b.o.Reader != "" && card.Reader != "" && !strings.EqualFold(b.o.Reader, card.Reader) {
		return &OtherReader{card.Reader, b.o.Reader}
	}
	b.card, b.have = card, map[string]Entry{}
	for _, e := range card.Titles {
		switch got, _, err := fileSum(b.at(e.Path)); {
		case errors.Is(err, fs.ErrNotExist):
		case err == nil && got == e.SHA256:
			b.have[e.Key] = e
		default:
			b.res.Changed = append(b.res.Changed, e.Path)
		}
	}
	text, err := os.ReadFile(b.at(planFile))
	if err != nil {
		return nil
	}
	var p plan
	if json.Unmarshal(text, &p) != nil || p.Version != 1 {
		return nil
	}
	for _, e := range p.Titles {
		if safe(e.Path) {
			b.adopt(e)
		}
	}
	return nil
}

// adopt takes a file that an interrupted build wrote, if it is there and what
// was planned.
func (b *build) adopt(e Entry) {
	got, n, err := fileSum(b.at(e.Path))
	old, known := b.have[e.Key]
	if err != nil || e.SHA256 != "" && got != e.SHA256 || known && old.Path == e.Path && old.SHA256 == got {
		return
	}
	e.SHA256, e.Bytes = got, n
	b.have[e.Key] = e
	b.adopted = append(b.adopted, e)
}

func (b *build) at(p string) string { return filepath.Join(b.dir, filepath.FromSlash(p)) }

func (b *build) run(ctx context.Context, items []Item) error {
	chosen, fresh := b.choose(items)
	grouping := b.grouping(len(chosen))
	b.place(chosen, fresh, grouping)
	todo := b.todo(chosen)
	gone := b.gone(chosen)
	if err := b.space(todo); err != nil {
		return err
	}
	b.sweep()
	if err := b.write(planFile, mustJSON(plan{1, append(b.adopted, todo...)})); err != nil {
		return err
	}
	if err := b.copyAll(ctx, todo); err != nil {
		return err
	}
	for _, e := range gone {
		if err := os.Remove(b.at(e.Path)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		delete(b.have, e.Key)
		b.res.Removed = append(b.res.Removed, e.Path)
	}
	return b.finish(grouping)
}

func mustJSON(v any) []byte {
	out, _ := json.MarshalIndent(v, "", " ")
	return append(out, '\n')
}

// choose parts what can be delivered from what cannot. fresh are the keys that
// need a new place.
func (b *build) choose(items []Item) (chosen []Entry, fresh []Item) {
	seen := map[string]bool{}
	for _, it := range items {
		if seen[it.Key] {
			continue
		}
		seen[it.Key] = true
		if why := b.o.Wishes.Refuse(it); why != "" {
			b.res.Missing = append(b.res.Missing, Missing{it.Key, it.Title, why})
			continue
		}
		e := Entry{Key: it.Key, Title: it.Title, Author: it.Author, Cells: it.TitleCells, Code: it.Code, Pages: it.Pages, Bytes: it.Bytes, Edition: b.edition(it)}
		if old, ok := b.have[it.Key]; ok && path.Ext(old.Path) == endings[b.o.Wishes.Format] {
			e.Path = old.Path
		} else {
			fresh = append(fresh, it)
		}
		chosen = append(chosen, e)
		b.loads[it.Key] = it.Load
	}
	return chosen, fresh
}

// Refuse says why an item cannot be delivered as it is wished for, "" when it
// can.
func (w Wishes) Refuse(it Item) string {
	switch {
	case it.Why != "":
		return it.Why
	case w.Uncontracted && it.Contracted:
		return "it is in contracted braille"
	case it.Bytes > MaxFile:
		return "it is larger than a card can hold in one file"
	}
	return ""
}

// edition is the fingerprint of what a title is on this card: the edition in
// the archive and the wishes.
func (b *build) edition(it Item) string {
	if b.o.Wishes.AsMade() {
		return it.Edition
	}
	w := b.o.Wishes
	s := fmt.Sprintf("%s %s %d %s", it.Edition, w.Format, w.Width, w.Blank)
	if w.Markers == "drop" {
		s += " no end markers"
	}
	return s
}

func (b *build) grouping(n int) string {
	switch {
	case b.o.Grouping != "":
		return b.o.Grouping
	case b.card.Grouping != "":
		return b.card.Grouping
	case n > manyTitles:
		return "letter"
	}
	return "none"
}

// place gives the fresh titles their paths. What is on the card, ours or not,
// keeps its name.
func (b *build) place(chosen []Entry, fresh []Item, grouping string) {
	used := map[string]bool{}
	for _, e := range b.have {
		used[strings.ToLower(e.Path)] = true
	}
	filepath.WalkDir(b.at(booksDir), func(p string, e fs.DirEntry, err error) error {
		if err == nil && !e.IsDir() {
			if rel, err := filepath.Rel(b.dir, p); err == nil {
				used[strings.ToLower(filepath.ToSlash(rel))] = true
			}
		}
		return nil
	})
	for key, p := range names(fresh, grouping, b.o.Wishes.Format, used) {
		for i := range chosen {
			if chosen[i].Key == key {
				chosen[i].Path = p
			}
		}
	}
}

// todo are the editions that are not on the card as they should be.
func (b *build) todo(chosen []Entry) []Entry {
	var out []Entry
	for _, e := range chosen {
		old, ok := b.have[e.Key]
		if ok && old.Path == e.Path && old.Edition == e.Edition {
			e.Bytes, e.SHA256 = old.Bytes, old.SHA256 // its wording may be new
			b.have[e.Key] = e
			b.res.Unchanged++
			continue
		}
		if b.o.Wishes.AsMade() {
			e.SHA256 = e.Edition
		}
		out = append(out, e)
	}
	sort.Slice(out, func(i, j int) bool { return out[i].Path < out[j].Path })
	return out
}

// gone are the titles to take off the card.
func (b *build) gone(chosen []Entry) []Entry {
	keep := map[string]bool{}
	for _, e := range chosen {
		keep[e.Key] = true
	}
	var out []Entry
	for _, e := range b.have {
		if !keep[e.Key] && b.o.Remove {
			out = append(out, e)
		}
	}
	sort.Slice(out, func(i, j int) bool { return out[i].Path < out[j].Path })
	return out
}

// cluster is the room that a small file takes on a large card (FAT32).
const cluster = 32 << 10

func rounded(n int64) int64 { return (n + cluster - 1) / cluster * cluster }

// space compares what is to be written with what is free.
func (b *build) space(todo []Entry) error {
	need := int64(8 * cluster) // index, checksums, record
	for _, e := range todo {
		need += rounded(e.Bytes) + 2*int64(len(e.Title)+200)
		if old, ok := b.have[e.Key]; ok {
			need -= rounded(old.Bytes)
		}
	}
	if b.o.Limit > 0 {
		used := int64(0)
		for _, e := range b.have {
			used += rounded(e.Bytes)
		}
		if used+need > b.o.Limit {
			return &Full{used + need, b.o.Limit}
		}
	}
	if free, ok := freeBytes(b.dir); ok && need > free {
		return &Full{need, free}
	}
	return nil
}

var leftover = lazy.Regexp(`^\..*\.[0-9]+-[0-9]+\.tmp$`)

// sweep removes the temporary files of an interrupted build.
func (b *build) sweep() {
	for _, dir := range []string{booksDir, dataDir} {
		filepath.WalkDir(b.at(dir), func(p string, e fs.DirEntry, err error) error {
			if err == nil && e.Type().IsRegular() && leftover().MatchString(e.Name()) {
				os.Remove(p)
			}
			return nil
		})
	}
	entries, _ := os.ReadDir(b.dir)
	for _, e := range entries {
		if e.Type().IsRegular() && leftover().MatchString(e.Name()) && strings.HasPrefix(e.Name(), ".index.") {
			os.Remove(filepath.Join(b.dir, e.Name()))
		}
	}
}

// write writes one file whole and reads it back.
func (b *build) write(p string, data []byte) error {
	full := b.at(p)
	if err := os.MkdirAll(filepath.Dir(full), 0o777); err != nil {
		return err
	}
	if err := atomicfile.Write(full, data); err != nil {
		return err
	}
	got, _, err := fileSum(full)
	if err != nil {
		return err
	}
	if want := sum(data); got != want {
		return fmt.Errorf("%q was read back otherwise than it was written: the card may be worn out", p)
	}
	b.res.Verified++
	return nil
}

// copyAll writes the editions, one by one. One that cannot be had is told and
// the others are written; when the card fails, the build ends.
func (b *build) copyAll(ctx context.Context, todo []Entry) error {
	for i, e := range todo {
		if b.o.Progress != nil {
			b.o.Progress(i, len(todo))
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		data, err := b.loads[e.Key]()
		if err != nil {
			b.res.Missing = append(b.res.Missing, Missing{e.Key, e.Title, strings.ReplaceAll(err.Error(), "\n", "; ")})
			continue
		}
		if e.SHA256 != "" && sum(data) != e.SHA256 {
			b.res.Missing = append(b.res.Missing, Missing{e.Key, e.Title, "its edition in the archive was changed since it was made"})
			continue
		}
		if err := b.write(e.Path, data); err != nil {
			return err
		}
		e.SHA256, e.Bytes = sum(data), int64(len(data))
		if old, ok := b.have[e.Key]; ok && old.Path != e.Path {
			os.Remove(b.at(old.Path))
		}
		b.have[e.Key] = e
		b.res.Written = append(b.res.Written, e.Path)
	}
	return nil
}

// finish writes the index, the checksums and the record.
func (b *build) finish(grouping string) error {
	c := &Card{Version: 1, Reader: b.o.Reader, Grouping: grouping, Wishes: b.o.Wishes, Missing: b.res.Missing}
	if c.Reader == "" {
		c.Reader = b.card.Reader
	}
	for _, e := range b.have {
		c.Titles = append(c.Titles, e)
		b.files[e.Path] = e.SHA256
		b.res.Bytes += e.Bytes
	}
	b.res.Titles = len(c.Titles)
	record := c.encode()
	index, err := c.index()
	if err != nil {
		return err
	}
	for _, x := range index {
		if err := b.write(x.Path, x.Data); err != nil {
			return err
		}
		b.files[x.Path] = sum(x.Data)
		b.res.Bytes += int64(len(x.Data))
	}
	if err := b.write(sumsFile, sums(b.files)); err != nil {
		return err
	}
	if err := b.write(cardFile, record); err != nil {
		return err
	}
	return os.Remove(b.at(planFile))
}
