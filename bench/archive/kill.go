package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"

	"crypto/sha256"

	"continuo/internal/catalogue"
)

// kills runs over an archive without disturbance, then again and again with a
// kill at a random moment followed by a resume, and compares: editions and
// catalogue must be the same to the last byte.
func kills(args []string) error {
	f := flag.NewFlagSet("kill", flag.ExitOnError)
	n := f.Int("kills", 100, "kills")
	seed := f.Uint64("seed", 1, "seed of the moments")
	f.Parse(args)
	if f.NArg() != 3 {
		return errors.New("use: archive kill CONTINUO SOURCES WORK")
	}
	k := killer{program: f.Arg(0), sources: f.Arg(1), work: f.Arg(2), rnd: rand.New(rand.NewPCG(*seed, 1))}
	start := time.Now()
	if err := k.run("calm"); err != nil {
		return err
	}
	whole := time.Since(start)
	want, err := k.state("calm")
	if err != nil {
		return err
	}
	fmt.Printf("an undisturbed run: %.2f s\n", whole.Seconds())
	done := 0
	for round := 0; done < *n; round++ {
		home := fmt.Sprintf("round%d", round)
		// Several kills in one catalogue, each a little further on.
		for i := 0; i < 5 && done < *n; i++ {
			hit, err := k.kill(home, time.Duration(k.rnd.Int64N(int64(whole))))
			if err != nil {
				return fmt.Errorf("kill %d: %w", done+1, err)
			}
			if hit {
				done++
			} else {
				break // it was done before the kill
			}
		}
		if err := k.run(home); err != nil {
			return fmt.Errorf("resume after kill %d: %w", done, err)
		}
		got, err := k.state(home)
		if err != nil {
			return fmt.Errorf("after kill %d: %w", done, err)
		}
		if got != want {
			return fmt.Errorf("after kill %d: %s", done, difference(want, got))
		}
		os.RemoveAll(filepath.Join(k.work, home))
	}
	fmt.Printf("kills: %d, each followed by a resume: the same bytes and the same catalogue every time\n", done)
	return nil
}

type killer struct {
	program, sources, work string
	rnd                    *rand.Rand
}

func (k *killer) command(home string) *exec.Cmd {
	return exec.Command(k.program, "archive", "run", k.sources, "--catalogue", filepath.Join(k.work, home))
}

func (k *killer) run(home string) error {
	out, err := k.command(home).CombinedOutput()
	var exit *exec.ExitError
	if errors.As(err, &exit) && exit.ExitCode() == 3 {
		return nil
	}
	if err != nil {
		return fmt.Errorf("%w: %s", err, out)
	}
	return nil
}

// kill starts a run and kills it after a while; whether the kill hit.
func (k *killer) kill(home string, after time.Duration) (bool, error) {
	cmd := k.command(home)
	var out bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &out
	if err := cmd.Start(); err != nil {
		return false, err
	}
	time.Sleep(after)
	cmd.Process.Kill()
	err := cmd.Wait()
	var exit *exec.ExitError
	switch {
	case err == nil || errors.As(err, &exit) && exit.ExitCode() == 3:
		return false, nil
	case exit != nil && exit.ExitCode() == -1:
		return true, k.whole(home)
	}
	return false, fmt.Errorf("%w: %s", err, out.String())
}

// whole looks, right after a kill, whether every file is whole and the
// catalogue sound.
func (k *killer) whole(home string) error {
	path := filepath.Join(k.work, home, catalogue.FileName)
	if _, err := os.Stat(path); err != nil {
		return nil // it was killed before it had one
	}
	cat, err := catalogue.Open(path)
	if err != nil {
		return err
	}
	defer cat.Close()
	if list, err := cat.Check(context.Background()); err != nil || len(list) > 0 {
		return fmt.Errorf("the catalogue is not sound: %v %v", list, err)
	}
	known, _, err := cat.Known(context.Background())
	if err != nil {
		return err
	}
	for _, t := range known {
		for _, e := range t.Editions {
			raw, err := os.ReadFile(filepath.Join(k.work, home, filepath.FromSlash(e.Path)))
			if err != nil || fmt.Sprintf("%x", sha256.Sum256(raw)) != e.SHA256 {
				return fmt.Errorf("%s is not as the catalogue says: %v", e.Path, err)
			}
		}
	}
	return nil
}

// state is all files of editions with their hashes, and the catalogue's
// content.
func (k *killer) state(home string) (string, error) {
	var b strings.Builder
	root := filepath.Join(k.work, home)
	err := filepath.WalkDir(filepath.Join(root, "editions"), func(p string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		raw, err := os.ReadFile(p)
		rel, _ := filepath.Rel(root, p)
		fmt.Fprintf(&b, "%s %x\n", rel, sha256.Sum256(raw))
		return err
	})
	if err != nil {
		return "", err
	}
	cat, err := catalogue.Open(filepath.Join(root, catalogue.FileName))
	if err != nil {
		return "", err
	}
	defer cat.Close()
	err = cat.Dump(context.Background(), &b)
	return b.String(), err
}

func difference(want, got string) string {
	a, b := strings.Split(want, "\n"), strings.Split(got, "\n")
	for i := range a {
		if i >= len(b) || a[i] != b[i] {
			x := ""
			if i < len(b) {
				x = b[i]
			}
			return fmt.Sprintf("line %d differs:\nwant %.300s\ngot  %.300s", i+1, a[i], x)
		}
	}
	return fmt.Sprintf("%d lines more", len(b)-len(a))
}
