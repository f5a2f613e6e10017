package batch

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"syscall"
	"time"

	"golang.org/x/sync/errgroup"

	"continuo/internal/catalogue"
	"continuo/internal/triage"
)

// Titles are written in groups, so that the catalogue is not written to for
// each: as many as this at once, or what there is after this time.
const (
	groupTitles = 16
	groupTime   = 300 * time.Millisecond
)

// collect writes what the workers made, and returns what came of all titles.
func (r *run) collect(results chan []item) []item {
	var all, group []item
	t := time.NewTicker(groupTime)
	defer t.Stop()
	flush := func() {
		if len(group) > 0 && r.fault.Load() == nil {
			r.write(group)
			for i := range group {
				group[i].release()
			}
			if r.fault.Load() == nil {
				all = append(all, group...)
				r.count(group)
			}
		}
		group = nil
	}
	for {
		select {
		case items, ok := <-results:
			if !ok {
				flush()
				return all
			}
			group = append(group, items...)
			if len(group) >= groupTitles {
				flush()
			}
		case <-t.C:
			flush()
		}
	}
}

// release lets go of what is on disk now.
func (it *item) release() {
	it.files, it.known, it.seen = nil, nil, nil
	if it.record != nil {
		it.record = &catalogue.Record{}
	}
}

func (r *run) count(group []item) {
	for _, it := range group {
		if it.sub == 0 {
			r.done.Add(1)
		}
		if it.outcome.Fault != "" {
			r.failures.Add(1)
		}
		r.doneBytes.Add(it.outcome.Bytes)
	}
}

// write puts a group of titles on disk and into the catalogue, in the order
// that the package's comment tells.
func (r *run) write(group []item) {
	pending := map[string][]catalogue.Edition{}
	for i := range group {
		it := &group[i]
		if len(it.files) == 0 {
			continue
		}
		if err := r.mayWrite(it); err != nil {
			it.refuse(err, r)
			continue
		}
		pending[it.record.Key] = it.record.Editions
	}
	if len(pending) > 0 {
		if err := r.cat.Pending(r.ctx, pending); err != nil {
			r.abort(err)
			return
		}
	}
	r.save(r.writeGroup(group))
}

// writersAtOnce is how many titles are written side by side: a disk takes
// about as long to make sure of several files as of one.
const writersAtOnce = 8

// writeGroup writes the editions of a group and returns the titles that are
// whole: all of them, or the run is aborted.
func (r *run) writeGroup(group []item) []item {
	errs := make([]error, len(group))
	var writers errgroup.Group
	writers.SetLimit(writersAtOnce)
	for i := range group {
		if len(group[i].files) > 0 {
			writers.Go(func() error {
				errs[i] = r.writeFiles(&group[i])
				return nil
			})
		}
	}
	writers.Wait()
	var whole []item
	for i := range group {
		if errs[i] == nil {
			whole = append(whole, group[i])
			continue
		}
		r.abort(fmt.Errorf("the edition of %q cannot be written: %w", group[i].record.Key, errs[i]))
	}
	return whole
}

func (r *run) save(group []item) {
	var records []catalogue.Record
	var seen []catalogue.File
	for i := range group {
		if rec := group[i].record; rec != nil {
			records = append(records, *rec)
		}
		seen = append(seen, group[i].seen...)
	}
	if len(records) > 0 {
		if err := r.cat.Save(r.ctx, records); err != nil {
			r.abort(err)
			return
		}
	}
	if len(seen) > 0 {
		if err := r.cat.Seen(r.ctx, seen); err != nil {
			r.abort(err)
		}
	}
}

// refuse turns a title that must not be written into a failure.
func (it *item) refuse(err error, r *run) {
	rec := it.record
	rec.Fault, rec.Proof, rec.Fingerprint = err.Error(), nil, ""
	rec.Editions = nil
	if it.known != nil {
		rec.Editions = it.known.Editions
	}
	r.judge(rec, triage.Judge(triage.Input{Err: err}))
	rec.Event = catalogue.Event{Who: r.o.Who, What: "failed", Text: rec.Fault}
	it.files = nil
	it.outcome.Made, it.outcome.Fault, it.outcome.State, it.outcome.Reason = false, rec.Fault, rec.State, rec.Fault
}

func (r *run) writeFiles(it *item) error {
	dir := filepath.Dir(it.files[0].Path)
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return errors.New(quote(dir) + ": " + cause(err))
	}
	if err := r.o.writeAll(it.files); err != nil {
		return plainly(err)
	}
	for i := range it.record.Editions {
		info, err := os.Stat(it.files[i].Path)
		if err != nil {
			return err
		}
		it.record.Editions[i].Modified = info.ModTime()
	}
	return nil
}

// plainly puts the errors of a full or locked disk into plain words.
func plainly(err error) error {
	switch {
	case errors.Is(err, syscall.ENOSPC) || isDiskFull(err):
		return fmt.Errorf("the disk is full (%w)", err)
	case errors.Is(err, syscall.EROFS) || errors.Is(err, os.ErrPermission):
		return fmt.Errorf("the folder cannot be written to (%w)", err)
	}
	return err
}

// mayWrite refuses to write over a file that is there and that this program
// did not write: one that is not as the catalogue says, nor as it was about to
// be written when a run was stopped, nor as it would be written now.
func (r *run) mayWrite(it *item) error {
	if r.o.Force {
		return nil
	}
	old := map[string]catalogue.Edition{}
	pending := map[string]string{}
	if it.known != nil {
		for _, e := range it.known.Editions {
			old[e.Path] = e
		}
		pending = it.known.Pending
	}
	for i, e := range it.record.Editions {
		path := it.files[i].Path
		info, err := os.Lstat(path)
		if errors.Is(err, os.ErrNotExist) {
			continue
		}
		if err != nil {
			return errors.New(quote(path) + ": " + cause(err))
		}
		o, had := old[e.Path]
		if had && info.Size() == o.Bytes && info.ModTime().Equal(o.Modified) {
			continue
		}
		got, _, err := sumFile(path)
		if err != nil {
			return err
		}
		if got != e.SHA256 && got != pending[e.Path] && !(had && got == o.SHA256) {
			return fmt.Errorf("%s was changed after it was made, or is not of this program; it is left alone", quote(path))
		}
	}
	return nil
}
