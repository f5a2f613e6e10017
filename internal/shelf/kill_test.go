package shelf

import (
	"context"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"
)

// TestMain lets the test binary be the build that is killed.
func TestMain(m *testing.M) {
	if dir := os.Getenv("SHELF_BUILD"); dir != "" {
		if _, err := Build(context.Background(), dir, library(80), Options{Wishes: Default()}); err != nil {
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// A build that is killed at random moments, again and again, leaves whole files
// only; in the end the card is the same as one that was built undisturbed, and
// nothing else is on it.
func TestKilledBuild(t *testing.T) {
	whole, dir := t.TempDir(), t.TempDir()
	build1(t, whole, library(80), Options{})
	want := state(t, whole)
	rng := rand.New(rand.NewPCG(3, 3))
	killed := 0
	for range 12 {
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), "SHELF_BUILD="+dir)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		timer := time.AfterFunc(time.Duration(5+rng.IntN(120))*time.Millisecond, func() { cmd.Process.Kill() })
		if cmd.Wait() != nil {
			killed++
		}
		timer.Stop()
		for p := range state(t, dir) { // what is there under its name is whole
			if got, _, _ := fileSum(filepath.Join(dir, p)); filepath.Ext(p) == ".brf" && filepath.Dir(p) != "." {
				if sumOf, _, _ := fileSum(filepath.Join(whole, p)); got != sumOf {
					t.Fatalf("%s is not whole", p)
				}
			}
		}
	}
	build1(t, dir, library(80), Options{})
	got := state(t, dir)
	for p := range want {
		a, _, _ := fileSum(filepath.Join(whole, p))
		if b, _, err := fileSum(filepath.Join(dir, p)); err != nil || a != b {
			t.Errorf("%s differs: %v", p, err)
		}
	}
	for p := range got {
		if want[p] == "" {
			t.Errorf("%s is left over", p)
		}
	}
	t.Logf("killed %d times", killed)
}
