package batch

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"continuo/internal/catalogue"
	"continuo/internal/convert"
)

// run is one run over an archive.
type run struct {
	o      Options
	cat    *catalogue.Catalogue
	ctx    context.Context // for the catalogue; never cancelled in the middle of a write
	home   string
	hashes hashes

	stop  context.CancelFunc
	fault atomic.Pointer[error]

	start               time.Time
	done, failures      atomic.Int64
	doneBytes, allBytes atomic.Int64
	total               int
}

// Run finds the titles of an archive, converts what is new or changed, and
// brings the catalogue up to date. The caller holds the lock of the catalogue.
// When ctx ends, the titles at work are finished and the rest is left for the
// next run. The summary is whole also when an error stopped the run early: what
// was done until then stands.
func Run(ctx context.Context, cat *catalogue.Catalogue, o Options) (*Summary, error) {
	o.defaults()
	r := &run{o: o, cat: cat, ctx: context.WithoutCancel(ctx), home: cat.Folder(), start: time.Now()}
	var work context.Context
	work, r.stop = context.WithCancel(ctx)
	defer r.stop()
	if full, err := filepath.Abs(r.home); err == nil {
		r.home = full
	}
	if err := sweep(r.home); err != nil {
		return nil, err
	}
	sum := &Summary{}
	tasks, err := r.plan(sum)
	if err != nil {
		return nil, err
	}
	id, err := cat.Begin(r.ctx, convert.Version)
	if err != nil {
		return nil, err
	}
	items := r.all(work, tasks)
	if r.fault.Load() == nil && ctx.Err() == nil {
		if err := r.habits(items); err != nil {
			r.abort(err)
		}
	}
	sum.fill(items)
	sum.Elapsed = time.Since(r.start)
	sum.Whole = int(r.done.Load()) == len(tasks)
	if p := r.fault.Load(); p != nil {
		return sum, *p
	}
	if err := ctx.Err(); err != nil {
		return sum, err
	}
	return sum, cat.End(r.ctx, catalogue.Run{ID: id, Titles: len(sum.Outcomes), Made: sum.Made, Unchanged: sum.Unchanged, Failed: sum.Failed})
}

// abort stops the run: the first error counts.
func (r *run) abort(err error) {
	if r.fault.CompareAndSwap(nil, &err) {
		r.stop()
	}
}

// plan finds the titles, gives them keys and looks up what is known of them.
func (r *run) plan(sum *Summary) ([]task, error) {
	found, stray, err := Find(r.o.Roots, r.o.Rule, r.home)
	if err != nil {
		return nil, err
	}
	sum.PassedOver = stray
	known, files, err := r.cat.Known(r.ctx)
	if err != nil {
		return nil, err
	}
	groups, err := r.cat.Groups(r.ctx)
	if err != nil {
		return nil, err
	}
	r.hashes = hashes{known: files, rehash: r.o.Rehash}
	if err := r.missing(found, known, sum); err != nil {
		return nil, err
	}
	if err := r.cat.Stray(r.ctx, stray); err != nil {
		return nil, err
	}
	var list []catalogue.Found
	for i := range found {
		list = append(list, found[i].Found)
	}
	keys, err := r.cat.Plan(r.ctx, list)
	if err != nil {
		return nil, err
	}
	return r.tasks(found, keys, known, groups), nil
}

func (r *run) tasks(found []Candidate, keys map[string]string, known map[string]*catalogue.Known, groups map[string]catalogue.Group) []task {
	subs := map[string][]*catalogue.Known{}
	for loc, k := range known {
		if i := strings.LastIndexByte(loc, '#'); i >= 0 && !k.Gone {
			subs[loc[:i]] = append(subs[loc[:i]], k)
		}
	}
	var out []task
	for i, c := range found {
		t := task{Candidate: c, at: i, key: keys[c.Location], known: known[c.Location]}
		if g, ok := groups[c.Location]; ok {
			t.group, t.subs = &g, subs[c.Location]
			sort.Slice(t.subs, func(i, j int) bool { return t.subs[i].Location < t.subs[j].Location })
		}
		r.allBytes.Add(c.Size())
		out = append(out, t)
	}
	r.total = len(out)
	return out
}

// missing marks titles whose sources are no longer there, unless these were
// moved as they are to another place.
func (r *run) missing(found []Candidate, known map[string]*catalogue.Known, sum *Summary) error {
	there := map[string]bool{}
	for i := range found {
		there[found[i].Location] = true
	}
	var gone []*catalogue.Known
	inRoots := 0
	for loc, k := range known {
		set := loc
		if i := strings.LastIndexByte(loc, '#'); i >= 0 && known[loc[:i]] == nil {
			set = loc[:i]
		}
		if !r.inRoots(loc) {
			continue
		}
		inRoots++
		if !there[set] && !k.Gone {
			gone = append(gone, k)
		}
	}
	if len(found) == 0 && len(gone) > 0 {
		return fmt.Errorf("no title is found where the catalogue knows %d: is the disk there?", inRoots)
	}
	sort.Slice(gone, func(i, j int) bool { return gone[i].Location < gone[j].Location })
	if len(gone) > 0 {
		var err error
		if gone, err = r.moved(found, known, gone, sum); err != nil {
			return err
		}
	}
	var keys []string
	for _, k := range gone {
		keys = append(keys, k.Key)
	}
	sum.Gone = len(keys)
	return r.cat.MarkGone(r.ctx, keys, r.o.Who)
}

// inRoots reports whether a location lies in what this run searches.
func (r *run) inRoots(location string) bool {
	for _, root := range r.o.Roots {
		full, err := filepath.Abs(root)
		if err == nil && (location == full || strings.HasPrefix(location, full+string(filepath.Separator)) || strings.HasPrefix(location, full+"#")) {
			return true
		}
	}
	return false
}

// moved gives titles that stand at a new place with the same bytes their old
// keys, and returns those that are gone.
func (r *run) moved(found []Candidate, known map[string]*catalogue.Known, gone []*catalogue.Known, sum *Summary) ([]*catalogue.Known, error) {
	byContent := map[string]*catalogue.Known{}
	for _, k := range gone {
		if k.Content != "" && byContent[k.Content] == nil {
			byContent[k.Content] = k
		}
	}
	taken := map[string]bool{}
	for i := range found {
		c := &found[i]
		if known[c.Location] != nil {
			continue
		}
		disk, _, _, err := r.hash(c.Sources, false)
		if err != nil {
			continue // told when the title's turn comes
		}
		k := byContent[content(disk)]
		if k == nil || taken[k.Key] {
			continue
		}
		if err := r.cat.Move(r.ctx, k.Key, c.Found, r.o.Who); err != nil {
			return nil, err
		}
		taken[k.Key] = true
		sum.Moved++
		delete(known, k.Location)
		k.Location, k.Sidecar = c.Location, c.Sidecar
		known[c.Location] = k
	}
	var left []*catalogue.Known
	for _, k := range gone {
		if !taken[k.Key] {
			left = append(left, k)
		}
	}
	return left, nil
}

// all runs the tasks on the workers and writes what they make.
func (r *run) all(ctx context.Context, tasks []task) []item {
	next := make(chan task)
	results := make(chan []item, groupTitles) // the workers go on while a group is written
	var workers sync.WaitGroup
	for range r.o.Workers {
		workers.Go(func() {
			for t := range next {
				items := r.work(t)
				if r.fault.Load() == nil {
					results <- items
				}
			}
		})
	}
	go func() {
		defer func() { close(next); workers.Wait(); close(results) }()
		for _, t := range tasks {
			select {
			case <-ctx.Done():
				return
			default:
			}
			select {
			case next <- t:
			case <-ctx.Done():
				return
			}
		}
	}()
	stopped := make(chan struct{})
	var ticker sync.WaitGroup
	ticker.Go(func() { r.o.tell(stopped, r.progress) })
	items := r.collect(results)
	close(stopped)
	ticker.Wait()
	sort.SliceStable(items, func(i, j int) bool {
		if items[i].at != items[j].at {
			return items[i].at < items[j].at
		}
		return items[i].sub < items[j].sub
	})
	return items
}

// tell calls Progress every so often until stopped is closed.
func (o *Options) tell(stopped chan struct{}, now func() Progress) {
	t := time.NewTicker(o.Every)
	defer t.Stop()
	for {
		select {
		case <-stopped:
			return
		case <-t.C:
			o.Progress(now())
		}
	}
}

func (r *run) progress() Progress {
	p := Progress{Done: int(r.done.Load()), Total: r.total, Failed: int(r.failures.Load()), Bytes: r.doneBytes.Load(), TotalBytes: r.allBytes.Load(), Elapsed: time.Since(r.start)}
	p.guess()
	return p
}

// guess tells the time that is left from what was done until now.
func (p *Progress) guess() {
	if p.Bytes > 0 {
		p.Left = time.Duration(float64(p.Elapsed) * float64(p.TotalBytes-p.Bytes) / float64(p.Bytes))
	}
}

func (s *Summary) fill(items []item) {
	for _, it := range items {
		o := it.outcome
		s.Outcomes = append(s.Outcomes, o)
		s.Bytes += o.Bytes
		switch {
		case o.Made:
			s.Made++
			s.MadeBytes += o.Bytes
		case it.record == nil && o.Fault == "":
			s.Unchanged++
		}
		if o.Fault != "" {
			s.Failed++
		}
	}
}

// makeHome makes the folder of a catalogue.
func makeHome(folder string) error {
	if err := os.MkdirAll(filepath.Join(folder, Editions), 0o777); err != nil {
		return errors.New(quote(folder) + ": " + cause(err))
	}
	return nil
}

// Open makes the folder of a catalogue where it is not there, takes its lock
// and opens the catalogue for a run. close gives both back.
func Open(folder string) (cat *catalogue.Catalogue, done func() error, err error) {
	if err := makeHome(folder); err != nil {
		return nil, nil, err
	}
	lock, err := Lock(folder)
	if err != nil {
		return nil, nil, err
	}
	cat, err = catalogue.Open(filepath.Join(folder, catalogue.FileName))
	if err != nil {
		lock.Unlock()
		return nil, nil, err
	}
	return cat, func() error { return errors.Join(cat.Close(), lock.Unlock()) }, nil
}
