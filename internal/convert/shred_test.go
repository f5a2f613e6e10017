package convert_test

import (
	"bytes"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/source"
)

var (
	shreds     = flag.Int("shreds", 400, "shredded titles")
	firstShred = flag.Uint64("shred", 1, "seed of the first of them")
)

// TestShredded cuts volumes to pieces at random and puts the pieces together in
// any order, the second file often without form feeds: whatever make succeeds
// with, the check must prove.
func TestShredded(t *testing.T) {
	vols := volumesToShred(t)
	for i := range uint64(*shreds) {
		seed := *firstShred + i
		r := rand.New(rand.NewPCG(seed, 5))
		a := shred(r, vols[r.IntN(len(vols))])
		var b []byte
		if r.IntN(3) > 0 {
			b = shred(r, vols[r.IntN(len(vols))])
			if r.IntN(2) == 0 {
				b = bytes.ReplaceAll(b, []byte("\f"), nil)
			}
		}
		width := []int{-1, 0, 17, 38, 51}[r.IntN(5)]
		if why := disagree(a, b, width); why != "" {
			t.Errorf("seed %d, width %d: %s", seed, width, why)
		}
	}
}

// disagree converts the files; it says what the check holds against an edition,
// or what is wrong with an error.
func disagree(a, b []byte, width int) string {
	var files []*source.File
	for i, raw := range [][]byte{a, b} {
		if f, err := source.Parse(fmt.Sprintf("v%d.brf", i+1), raw); err == nil {
			files = append(files, f)
		}
	}
	o := convert.Defaults()
	o.Width = width
	res, err := convert.Make(files, o)
	if err != nil {
		if strings.Contains(err.Error(), "internal fault") {
			return err.Error()
		}
		return ""
	}
	rep := check.Verify(res.Edition, res.Account, files)
	if rep.OK {
		return ""
	}
	return fmt.Sprintf("not proved, %d problems: %s", rep.NProblems, rep.Problems[0])
}

// volumesToShred are the volumes of the demo and three of the tests' own press.
func volumesToShred(t *testing.T) [][]byte {
	t.Helper()
	names, _ := filepath.Glob("../demo/data/[a-z]*/*.[bB][rR][fF]")
	if len(names) == 0 {
		t.Fatal("no volumes of the demo")
	}
	var out [][]byte
	for _, n := range names {
		raw, err := os.ReadFile(n)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, bytes.ReplaceAll(raw, []byte("\r\n"), []byte("\n")))
	}
	for _, x := range []struct {
		kind, code string
		print      int
	}{{"uk", "ueb", 7}, {"uk-odd", "seb", 12}, {"us", "ebae", 30}} {
		p := newPaper(t, x.kind, x.code, x.print)
		p.newPage()
		p.text(200)
		p.paragraph(p.sentences(9))
		out = append(out, p.bytes())
	}
	return out
}

// shred takes pages, parts of pages and single lines of a volume, most in
// their order, some not.
func shred(r *rand.Rand, raw []byte) []byte {
	pages := strings.Split(string(raw), "\f")
	var b strings.Builder
	at := r.IntN(len(pages))
	for range 2 + r.IntN(14) {
		page := strings.SplitAfter(pages[at%len(pages)], "\n")
		from, to := 0, len(page)
		switch r.IntN(5) {
		case 0:
			from = r.IntN(to)
		case 1:
			to = r.IntN(to + 1)
		case 2:
			from = r.IntN(to)
			to = min(to, from+1+r.IntN(4))
		}
		b.WriteString(strings.Join(page[from:to], ""))
		if r.IntN(7) > 0 {
			b.WriteByte('\f')
		}
		if r.IntN(6) == 0 {
			b.WriteString(strings.Repeat(" ", r.IntN(14)) + tricky[r.IntN(len(tricky))] + "\n")
		}
		if at++; r.IntN(5) == 0 {
			at = r.IntN(len(pages))
		}
	}
	return []byte(b.String())
}
