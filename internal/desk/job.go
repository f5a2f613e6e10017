package desk

import (
	"bytes"
	"context"
	"fmt"
	"net/http"
	"sync"
	"time"

	"continuo/internal/shelf"
)

// A job is the filling of a card or the packing of a download. It goes on while
// its page is closed; one goes at a time. The desk keeps the last one.
type job struct {
	Number      int
	To          string // the card, or the name of the download
	Download    bool
	mu          sync.Mutex
	Done, Total int // titles written
	Over        bool
	Result      *shelf.Result
	Fault       string
	data        []byte // of a download
}

// state is the job as it is now.
func (j *job) state() jobData {
	j.mu.Lock()
	defer j.mu.Unlock()
	return jobData{Number: j.Number, To: j.To, Download: j.Download, Done: j.Done, Total: j.Total, Over: j.Over, Result: j.Result, Fault: j.Fault, Bytes: int64(len(j.data))}
}

// jobData is what the page of a job shows.
type jobData struct {
	Number      int
	To          string
	Download    bool
	Done, Total int
	Over        bool
	Result      *shelf.Result
	Fault       string
	Bytes       int64
}

// Files are the first of the files that were written.
func (j *jobData) Files() []string { return j.Result.Written[:min(len(j.Result.Written), maxWritten)] }

// jobs are the jobs of a desk.
type jobs struct {
	mu   sync.Mutex
	last *job
}

// quick is how long an answer waits for a job that may be done soon.
const quick = 1500 * time.Millisecond

// start begins a job and returns its page. after is called when it went well.
func (d *Desk) start(j *job, items []shelf.Item, o shelf.Options, after func(*shelf.Result) error) (string, error) {
	d.jobs.mu.Lock()
	defer d.jobs.mu.Unlock()
	if l := d.jobs.last; l != nil && !l.state().Over {
		return "", &problem{http.StatusConflict, "another card or download is being filled: " + l.To, "wait until it is done; the page of the shelf tells how far it is"}
	}
	j.Number = 1
	if d.jobs.last != nil {
		j.Number = d.jobs.last.Number + 1
	}
	j.Total = len(items)
	d.jobs.last = j
	o.Progress = func(done, total int) {
		j.mu.Lock()
		j.Done, j.Total = done, total
		j.mu.Unlock()
	}
	over := make(chan struct{})
	go func() {
		defer close(over)
		j.work(d, items, o, after)
	}()
	select {
	case <-over:
	case <-time.After(quick):
	}
	return fmt.Sprintf("/shelf/job/%d", j.Number), nil
}

// work does the job and keeps what came of it.
func (j *job) work(d *Desk, items []shelf.Item, o shelf.Options, after func(*shelf.Result) error) {
	var r *shelf.Result
	var data []byte
	var err error
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("internal fault: %v", p)
		}
		j.mu.Lock()
		defer j.mu.Unlock()
		j.Over, j.Result, j.data = true, r, data
		if err != nil {
			j.Fault = said(err)
		}
	}()
	ctx := context.Background() // a card that is left half done is whole all the same
	if j.Download {
		data, r, err = shelf.Pack(ctx, items, o)
	} else {
		r, err = d.o.Shared.Fill(ctx, d.cat, j.To, items, o)
	}
	if err == nil && after != nil {
		err = after(r)
	}
}

// theJob is the job that a path names: the last one.
func (d *Desk) theJob(r *request) (*job, error) {
	d.jobs.mu.Lock()
	defer d.jobs.mu.Unlock()
	if j := d.jobs.last; j != nil && r.PathValue("number") == fmt.Sprint(j.Number) {
		return j, nil
	}
	return nil, &problem{http.StatusNotFound, "this card or download is not known any more", "the page of the shelf begins another one"}
}

func (d *Desk) jobPage(r *request) (*view, error) {
	j, err := d.theJob(r)
	if err != nil {
		return nil, err
	}
	s := j.state()
	title := "Filling a card"
	if s.Download {
		title = "Packing a download"
	}
	return &view{Page: "job", Title: title, Trail: []crumb{{"/shelf", "Shelf"}}, Data: &s}, nil
}

// download answers with the bytes of a download.
func (d *Desk) download(r *request) (*view, error) {
	j, err := d.theJob(r)
	if err != nil {
		return nil, err
	}
	j.mu.Lock()
	data := j.data
	j.mu.Unlock()
	if len(data) == 0 {
		return nil, &problem{http.StatusNotFound, "there is no download here", "the page of the shelf packs one"}
	}
	h := r.w.Header()
	h.Set("Content-Type", "application/zip")
	h.Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", j.To))
	http.ServeContent(r.w, r.Request, j.To, time.Time{}, bytes.NewReader(data))
	return nil, nil
}
