package triage_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"runtime"
	"slices"
	"sort"
	"strings"
	"sync"
	"testing"

	"continuo/internal/catalogue"
	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/source"
	"continuo/internal/testkit"
	"continuo/internal/triage"
)

var (
	count = flag.Int("titles", 60, "titles of the outside check")
	seed  = flag.Int("seed", 5000, "seed of its first title")
	show  = flag.Bool("show", false, "show every title that is not as wanted")
)

func missing(t *testing.T, err error) {
	t.Helper()
	if err == nil {
		return
	}
	if v := os.Getenv("CONTINUO_REQUIRE_OUTSIDE"); v != "" && v != "0" {
		t.Fatal("outside check required: ", err)
	}
	t.Skip("OUTSIDE CHECK NOT RUN: ", err)
}

// judged is one title, with or without a fault, and what came of it.
type judged struct {
	seed    uint64
	fault   string
	verdict triage.Verdict
	right   bool // no word lost, doubled or out of order, no furniture left
	what    string
	lay     string
}

// judge converts files as a run does and compares the edition with the truth.
func judge(title *testkit.Title, own []string, files []testkit.File, fault string) judged {
	j := judged{seed: title.Lay.Seed, fault: fault, lay: strings.Join(title.Lay.Features(), " ")}
	var in triage.Input
	for _, f := range files {
		s, err := source.Parse(f.Name, f.Raw)
		if err != nil {
			in.Err = err
			continue
		}
		in.Files = append(in.Files, s)
	}
	if in.Err == nil {
		in.Result, in.Err = convert.Make(in.Files, convert.Defaults())
	}
	if in.Err == nil {
		rep := check.Verify(in.Result.Edition, in.Result.Account, in.Files)
		in.Proof = &rep
		r := testkit.Compare(whole(in.Result.Edition, in.Result.Account), title.Truth, own...)
		j.right = r.Lost == 0 && r.Furniture == 0 && r.Doubled == 0 && r.Disorder == 0
		j.what = fmt.Sprint(r.Problems[:min(2, len(r.Problems))])
	} else {
		j.what = in.Err.Error()
	}
	j.verdict = triage.Judge(in)
	return j
}

// judgeMany presses titles and judges each whole and with one or two faults.
func judgeMany(t *testing.T, n, first int) []judged {
	t.Helper()
	texts, err := testkit.Texts()
	missing(t, err)
	out := make([][]judged, n)
	var wg sync.WaitGroup
	next := make(chan int)
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for i := range next {
				out[i] = judgeSeed(t, uint64(first+i), texts)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	wg.Wait()
	var all []judged
	for _, list := range out {
		all = append(all, list...)
	}
	return all
}

func judgeSeed(t *testing.T, s uint64, texts []testkit.Text) []judged {
	lay := testkit.Draw(s)
	lay.File.Damage = ""
	book, err := testkit.NewBook(lay, texts)
	if err != nil {
		t.Error(err)
		return nil
	}
	title, err := testkit.Press(book)
	if err != nil {
		t.Error(err)
		return nil
	}
	out := []judged{judge(title, book.Own(), title.Files, "")}
	kinds := testkit.Faults()
	for k := range 2 {
		kind := kinds[(int(s)*2+k)%len(kinds)]
		if files := testkit.Plant(title, kind, texts); files != nil {
			out = append(out, judge(title, book.Own(), files, kind))
		}
	}
	return out
}

func TestCalibration(t *testing.T) {
	all := judgeMany(t, *count, *seed)
	type tally struct{ n, right, ready, look, stop int }
	byFault, bySign := map[string]*tally{}, map[string]*tally{}
	add := func(m map[string]*tally, k string, j judged) {
		if m[k] == nil {
			m[k] = &tally{}
		}
		x := m[k]
		x.n++
		if j.right {
			x.right++
		}
		switch j.verdict.State {
		case catalogue.Ready:
			x.ready++
		case catalogue.Look:
			x.look++
		default:
			x.stop++
		}
	}
	for _, j := range all {
		add(byFault, j.fault, j)
		for _, r := range j.verdict.Reasons {
			add(bySign, r.Kind+map[bool]string{true: " (whole)", false: " (fault)"}[j.fault == ""], j)
		}
		bad := j.fault == "" && (j.verdict.State != catalogue.Ready || !j.right) || j.fault != "" && j.verdict.State == catalogue.Ready
		if bad && *show {
			t.Logf("seed %d fault %q: %s, right %v: %v\n    %s\n    %s", j.seed, j.fault, j.verdict.State, j.right, j.verdict.Reasons, j.what, j.lay)
		}
	}
	for _, m := range []map[string]*tally{byFault, bySign} {
		var names []string
		for k := range m {
			names = append(names, k)
		}
		sort.Strings(names)
		for _, k := range names {
			t.Logf("%-40q %+v", k, *m[k])
		}
	}
}

// whole joins the lines that the account lists as going on a word of the line
// before: words longer than the line.
func whole(edition, account []byte) []byte {
	lines := bytes.Split(bytes.TrimSpace(account), []byte("\n"))
	var end struct{ Splits []int }
	if err := json.Unmarshal(lines[len(lines)-1], &end); err != nil || len(end.Splits) == 0 {
		return edition
	}
	var out []byte
	for i, l := range bytes.SplitAfter(edition, []byte("\n")) {
		if slices.Contains(end.Splits, i+1) {
			out = append(bytes.TrimRight(out, "\r\n"), bytes.TrimLeft(l, " ")...)
			continue
		}
		out = append(out, l...)
	}
	return out
}
