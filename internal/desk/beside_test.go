package desk

import (
	"context"
	"net/http"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"continuo/internal/batch"
	"continuo/internal/convert"
)

// Pages answer while a run makes every title again and writes the catalogue, to
// several readers at once.
func TestPagesBesideARun(t *testing.T) {
	var paper string
	cat := archive(t, func(dir string) { paper = dir })
	b := visit(t, cat)
	done := make(chan error, 1)
	go func() { done <- remake(cat.Folder(), paper, 6) }()
	var readers sync.WaitGroup
	for range 3 {
		readers.Add(1)
		go func() {
			defer readers.Done()
			own := &browser{t, b.desk, map[string]string{b.desk.cookieName("desk"): b.jar[b.desk.cookieName("desk")]}}
			for _, p := range []string{"/", "/title/bell", "/title/baker/compare?page=4", "/title/weather/places?all=1", "/title/bell/read?window=9", "/?text=baker", "/"} {
				if w := own.get(p); w.Code != http.StatusOK {
					t.Errorf("%s beside a run: %d\n%s", p, w.Code, w.Body)
				}
			}
		}()
	}
	readers.Wait()
	if err := <-done; err != nil {
		t.Error(err)
	}
}

// remake makes all titles anew, n times.
func remake(home, paper string, n int) error {
	for range n {
		cat, end, err := batch.Open(home)
		if err != nil {
			return err
		}
		_, err = batch.Run(context.Background(), cat, batch.Options{Roots: []string{paper}, Again: true, Prove: true, Make: func(j batch.Job) (*convert.Result, []byte, error) {
			o := convert.Defaults()
			o.Name, o.Decisions = j.Name, j.Decisions
			res, err := convert.Make(j.Files, o)
			return res, []byte("report\n"), err
		}})
		if e := end(); err == nil {
			err = e
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// A look at whether a run is on does not keep one from beginning.
func TestLookingAtTheLockKeepsNobodyOut(t *testing.T) {
	home := filepath.Join(t.TempDir(), "c")
	_, end, err := batch.Open(home)
	must(t, err)
	if !batch.Running(home) {
		t.Error("a run is on and not seen")
	}
	must(t, end())
	stop := make(chan bool)
	var looking sync.WaitGroup
	looking.Add(1)
	go func() {
		defer looking.Done()
		for {
			select {
			case <-stop:
				return
			default:
				batch.Running(home)
				time.Sleep(time.Millisecond)
			}
		}
	}()
	for range 50 {
		_, end, err := batch.Open(home)
		if err != nil {
			t.Error(err)
			break
		}
		must(t, end())
	}
	close(stop)
	looking.Wait()
}
