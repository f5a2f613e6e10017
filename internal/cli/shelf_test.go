package cli

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"continuo/internal/batch"
	"continuo/internal/convert"
)

// stock fills the catalogue of a script from its folder library: stock.
func stock(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 0 {
		ts.Fatalf("use: stock")
	}
	cat, done, err := batch.Open(ts.MkAbs("continuo-catalogue"))
	ts.Check(err)
	defer done()
	_, err = batch.Run(context.Background(), cat, batch.Options{Roots: []string{ts.MkAbs("library")}, Prove: true, Every: time.Hour, Make: func(j batch.Job) (*convert.Result, []byte, error) {
		opt := convert.Defaults()
		opt.Name = j.Name
		res, err := convert.Make(j.Files, opt)
		return res, []byte("report\n"), err
	}})
	ts.Check(err)
}

func TestBytesOf(t *testing.T) {
	for s, want := range map[string]int64{"": 0, "12": 12, "500M": 500 << 20, "4g": 4 << 30, "10 kB": 10 << 10} {
		if got, err := bytesOf(s); err != nil || got != want {
			t.Errorf("%q: %d, %v", s, got, err)
		}
	}
	for _, s := range []string{"x", "0", "-5M", "5X", "5 M M", "99999999999999G"} {
		if n, err := bytesOf(s); err == nil {
			t.Errorf("%q is %d", s, n)
		}
	}
}

func TestReaderCode(t *testing.T) {
	for _, s := range []string{"r17", "LIB-0042", "7", "AB.12c"} {
		if err := readerCode(s); err != nil {
			t.Errorf("%q: %v", s, err)
		}
	}
	for _, s := range []string{"", "Ann", "Ann Lee", "ann@mill.example", "12 Mill Lane", "5551234", "01223 555123", "r17,r18", "M\u00fcller1"} {
		if readerCode(s) == nil {
			t.Errorf("%q passes for a reader code", s)
		}
	}
}

// What is accepted of any table has a reader code and a title, and no more.
func FuzzRequests(f *testing.F) {
	f.Add("reader,title\nr1,bell\n")
	f.Add("reader,title,name\nr1,bell,Ann\n")
	f.Fuzz(func(t *testing.T, text string) {
		p := filepath.Join(t.TempDir(), "r.csv")
		os.WriteFile(p, []byte(text), 0o666)
		list, err := readRequests(p)
		if err != nil {
			return
		}
		for _, r := range list {
			if readerCode(r.Reader) != nil || r.Wanted == "" {
				t.Errorf("accepted %+v", r)
			}
		}
	})
}
