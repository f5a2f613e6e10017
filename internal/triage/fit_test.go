package triage_test

import (
	"bufio"
	"encoding/json"
	"flag"
	"math"
	"os"
	"sort"
	"testing"

	"continuo/internal/catalogue"
)

var (
	record = flag.String("record", "", "add what was judged to this file, for -fit")
	fit    = flag.String("fit", "", "fit the weights to what such a file holds, and print them")
)

// seen is one judged title as a line of the file of -record.
type seen struct {
	Seed  uint64
	Fault string
	Right bool
	Ready bool
	Signs []string
}

func recordAll(t *testing.T, all []judged) {
	f, err := os.OpenFile(*record, os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o644)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	enc := json.NewEncoder(f)
	for _, j := range all {
		if err := enc.Encode(seen{j.seed, j.fault, j.right, j.verdict.State == catalogue.Ready, j.signs}); err != nil {
			t.Fatal(err)
		}
	}
}

// fewTitles is how many titles with a sign its weight needs to be fitted.
const fewTitles = 8

// TestFit fits the weights to judged titles, as bench/triage.sh does: confidence
// is the product of the weights of a title's signs and of the base, and the
// weights are those under which what came of the titles is most likely. A sign that
// hardly ever stands alone is not known by this: so each is given one title more
// in which it does, as many of them right as of all titles with it. Signs with few
// titles are told and not fitted.
func TestFit(t *testing.T) {
	if *fit == "" {
		t.Skip("-fit FILE names what to fit the weights to")
	}
	titles := readSeen(t)
	count, good := map[string]int{}, map[string]int{}
	clean, right := 0.0, 0.0
	for _, x := range titles {
		for _, s := range x.Signs {
			count[s]++
			if x.Right {
				good[s]++
			}
		}
		if len(x.Signs) == 0 {
			clean++
			right += is(x.Right)
		}
	}
	weight := map[string]float64{}
	var kinds []string
	for s := range count {
		weight[s] = 0.3
		kinds = append(kinds, s)
	}
	sort.Strings(kinds)
	base := right / clean
	for range 25 {
		for _, k := range kinds {
			share := (float64(good[k]) + 0.25) / (float64(count[k]) + 0.5)
			weight[k] = best(titles, weight, base, k, share)
		}
	}
	t.Logf("titles: %d, without a sign: %.0f, base: %.3f", len(titles), clean, base)
	sort.SliceStable(kinds, func(i, j int) bool { return weight[kinds[i]] > weight[kinds[j]] })
	for _, k := range kinds {
		few := ""
		if count[k] < fewTitles {
			few = " // too few to fit"
		}
		t.Logf("%q: %.2f, // %d titles, %d right%s", k, weight[k], count[k], good[k], few)
	}
}

func readSeen(t *testing.T) []seen {
	f, err := os.Open(*fit)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var out []seen
	for s := bufio.NewScanner(f); s.Scan(); {
		var x seen
		if err := json.Unmarshal(s.Bytes(), &x); err != nil {
			t.Fatal(err)
		}
		out = append(out, x)
	}
	return out
}

// best is the weight of one sign that makes what came of the titles with it most
// likely, the other weights given.
func best(titles []seen, weight map[string]float64, base float64, kind string, share float64) float64 {
	type part struct {
		rest  float64 // the product of all other weights
		right float64 // so many right titles
		wrong float64
	}
	parts := []part{{1, share, 1 - share}}
	for _, x := range titles {
		p, has := base, false
		for _, s := range x.Signs {
			if s == kind {
				has = true
			} else {
				p *= weight[s]
			}
		}
		if has {
			parts = append(parts, part{p, is(x.Right), is(!x.Right)})
		}
	}
	likely, at := math.Inf(-1), 0.0
	for w := 0.005; w < 1; w += 0.005 {
		sum := 0.0
		for _, x := range parts {
			sum += x.right*math.Log(x.rest*w) + x.wrong*math.Log(1-x.rest*w)
		}
		if sum > likely {
			likely, at = sum, w
		}
	}
	return at
}
