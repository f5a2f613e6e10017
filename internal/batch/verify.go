package batch

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"continuo/internal/catalogue"
	"continuo/internal/decidefile"
	"continuo/internal/source"
)

// Verified is what a second look at one title found, nothing when all is well.
type Verified struct {
	Key       string   `json:"key"`
	Problems  []string `json:"problems"`
	NotProved []string `json:"not_proved"`      // what the proof found
	Changed   bool     `json:"sources_changed"` // the sources are not those of the edition; a run makes it anew
	Proved    bool     `json:"proved"`
}

// Verify reads the editions, accounts and sources of titles again from disk,
// compares them with the catalogue, and proves every edition anew. The outcomes
// are in the order of the titles.
func Verify(ctx context.Context, cat *catalogue.Catalogue, titles []catalogue.Title, o Options) ([]Verified, error) {
	o.defaults()
	out := make([]Verified, len(titles))
	var done, bytes, all atomic.Int64
	for i := range titles {
		all.Add(titles[i].Bytes)
	}
	start := time.Now()
	next := make(chan int)
	var workers sync.WaitGroup
	for range o.Workers {
		workers.Go(func() {
			for i := range next {
				out[i] = o.verifyOne(ctx, cat, titles[i].Key)
				done.Add(1)
				bytes.Add(titles[i].Bytes)
			}
		})
	}
	stopped := make(chan struct{})
	go o.tell(stopped, func() Progress {
		p := Progress{Done: int(done.Load()), Total: len(titles), Bytes: bytes.Load(), TotalBytes: all.Load(), Elapsed: time.Since(start)}
		p.guess()
		return p
	})
	for i := range titles {
		if ctx.Err() != nil {
			break
		}
		next <- i
	}
	close(next)
	workers.Wait()
	close(stopped)
	return out, ctx.Err()
}

func (o *Options) verifyOne(ctx context.Context, cat *catalogue.Catalogue, key string) (v Verified) {
	v.Key = key
	bad := func(format string, a ...any) { v.Problems = append(v.Problems, fmt.Sprintf(format, a...)) }
	defer func() {
		if x := recover(); x != nil {
			bad("internal fault: %v", x)
		}
	}()
	d, err := cat.Show(ctx, key)
	if err != nil {
		bad("%s", err)
		return v
	}
	data := map[string][]byte{}
	for _, e := range d.Editions {
		path := filepath.Join(cat.Folder(), filepath.FromSlash(e.Path))
		raw, err := os.ReadFile(path)
		switch {
		case err != nil:
			bad("%s: %s", quote(path), cause(err))
		case sum(raw) != e.SHA256:
			bad("%s is not as it was written", quote(path))
		default:
			data[e.Format] = raw
		}
	}
	if d.Fault != "" || data["brf"] == nil || data["account"] == nil {
		if len(d.Editions) == 0 && d.Fault == "" {
			bad("there is no edition; continuo archive run makes it")
		}
		return v
	}
	files, changed, err := SourcesOf(d)
	v.Changed = changed
	if err != nil {
		bad("%s", err)
		return v
	}
	people, _, err := decidefile.Read(d.Sidecar + decisionsSuffix)
	if err != nil {
		bad("%s", err)
		return v
	}
	rep := o.prove(data["brf"], data["account"], files, people)
	v.Proved = rep.OK
	for i, p := range rep.Problems {
		if i == 5 {
			v.NotProved = append(v.NotProved, fmt.Sprintf("%d more problems", rep.NProblems-i))
			break
		}
		v.NotProved = append(v.NotProved, "not proved: "+p.String())
	}
	return v
}

// SourcesOf opens the sources of a title as they were when it was made; changed
// says that they are others now, and comes with an error.
func SourcesOf(d *catalogue.Detail) (out []*source.File, changed bool, err error) {
	want := map[string]int{}
	var members []source.Member
	seen := map[string]bool{}
	for _, v := range d.VolumeList {
		want[v.SHA256]++
		if !seen[v.Path] {
			seen[v.Path] = true
			members = append(members, source.Member{Path: v.Path, Name: v.Name})
		}
	}
	files, _, err := source.OpenMembers(members)
	if err != nil {
		return nil, true, err
	}
	for _, f := range files {
		if want[f.SHA256] > 0 {
			want[f.SHA256]--
			out = append(out, f)
		}
	}
	if len(out) < len(d.VolumeList) {
		return nil, true, errors.New("the sources were changed since the edition was made")
	}
	return out, false, nil
}

// OthersOf are the names of the files of the other titles that the title pages told
// from a title in the same set of files; nil for a title that has its files alone.
func OthersOf(ctx context.Context, cat *catalogue.Catalogue, t catalogue.Title) ([]string, error) {
	set, _, divided := strings.Cut(t.Location, "#")
	if !divided {
		return nil, nil
	}
	page, err := cat.List(ctx, catalogue.Filter{})
	if err != nil {
		return nil, err
	}
	var out []string
	for _, o := range page.Titles {
		if o.Key == t.Key || !strings.HasPrefix(o.Location, set+"#") {
			continue
		}
		d, err := cat.Show(ctx, o.Key)
		if err != nil {
			return nil, err
		}
		for _, v := range d.VolumeList {
			out = append(out, v.Name)
		}
	}
	return out, nil
}
