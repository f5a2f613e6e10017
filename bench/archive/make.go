package main

import (
	"bytes"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"sync"

	"continuo/internal/testkit"
)

// makeArchive presses a number of titles with every layout mixed and writes
// them again and again, each time with other words, up to the number of titles
// and the size that are wanted. Nothing is kept in the project.
func makeArchive(args []string) error {
	fs := flag.NewFlagSet("make", flag.ExitOnError)
	titles := fs.Int("titles", 2000, "titles")
	distinct := fs.Int("distinct", 50, "titles that are pressed; the others vary these")
	faults := fs.Int("faults", 0, "every so many titles one with a fault; 0: none")
	seed := fs.Int("seed", 20_000, "seed of the first title")
	mb := fs.Float64("mb", 0.5, "size of a title in MB, about: shorter ones get more volumes' text")
	fs.Parse(args)
	if fs.NArg() != 1 {
		return fmt.Errorf("use: archive make DIR")
	}
	texts, err := testkit.Texts()
	if err != nil {
		return err
	}
	pressed, err := pressAll(*distinct, uint64(*seed), texts, *mb)
	if err != nil {
		return err
	}
	var total int64
	for i := range *titles {
		t := pressed[i%len(pressed)]
		if *faults > 0 && i%*faults == *faults-1 {
			t = spoil(t, i/(*faults), texts)
		}
		n, err := write(fs.Arg(0), i, t)
		if err != nil {
			return err
		}
		total += n
	}
	fmt.Printf("archive: %d titles, %.1f MB, of %d pressed\n", *titles, float64(total)/1e6, len(pressed))
	return nil
}

// pressAll presses titles on all cores. The seed of each is drawn until its
// size is not far below the wanted one.
func pressAll(n int, seed uint64, texts []testkit.Text, mb float64) ([]*testkit.Title, error) {
	out := make([]*testkit.Title, n)
	errs := make([]error, n)
	sem := make(chan struct{}, runtime.NumCPU())
	var wg sync.WaitGroup
	for i := range n {
		sem <- struct{}{}
		wg.Go(func() {
			defer func() { <-sem }()
			out[i], errs[i] = press(seed+uint64(i), texts, mb)
		})
	}
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

func press(seed uint64, texts []testkit.Text, mb float64) (*testkit.Title, error) {
	l := testkit.Draw(seed)
	l.File.Damage = ""
	l.PagesEach = max(8, int(mb*1e6/float64(l.Volumes)/float64(l.Width*l.Height)*1.2))
	b, err := testkit.NewBook(l, texts)
	if err != nil {
		return nil, err
	}
	return testkit.Press(b)
}

// spoil returns a title with one fault, of each kind in turn; where a title has
// no place for it, the title as it is.
func spoil(t *testkit.Title, n int, texts []testkit.Text) *testkit.Title {
	kinds := testkit.Faults()
	planted := testkit.Plant(t, kinds[n%len(kinds)], 0, texts)
	if planted == nil {
		return t
	}
	spoilt := *t
	spoilt.Files = planted
	return &spoilt
}

// write writes title number i; copies of the same pressed title differ in some
// words of every page.
func write(dir string, i int, t *testkit.Title) (int64, error) {
	folder := filepath.Join(dir, fmt.Sprintf("shelf %02d", i/100), fmt.Sprintf("%05d", 40_000+i))
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return 0, err
	}
	var total int64
	for _, f := range t.Files {
		raw := vary(f.Raw, uint64(i))
		total += int64(len(raw))
		if err := os.WriteFile(filepath.Join(folder, f.Name), raw, 0o666); err != nil {
			return 0, err
		}
	}
	return total, nil
}

// vary puts another vowel into a word here and there in full lines of the later
// pages, so that no two files have the same bytes; lines keep their lengths.
func vary(raw []byte, seed uint64) []byte {
	if seed < 50 {
		return raw
	}
	rnd := rand.New(rand.NewPCG(seed, 7))
	out := bytes.Clone(raw)
	for at := len(out) / 4; at < len(out); {
		end := at + bytes.IndexByte(out[at:], '\n') + 1
		if end == at {
			break
		}
		if line := out[at:end]; len(line) > 20 && isLow(line[0]) && !bytes.Contains(line, []byte("  ")) && rnd.IntN(20) == 0 {
			for k := 8; k+2 < len(line); k++ {
				if isLow(line[k]) && isLow(line[k-1]) && isLow(line[k+1]) {
					line[k] = "aeiou"[rnd.IntN(5)]
					break
				}
			}
		}
		at = end
	}
	return out
}

func isLow(b byte) bool { return b >= 'a' && b <= 'z' }
