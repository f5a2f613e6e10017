package batch

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"continuo/internal/catalogue"
)

// TestMain lets the test binary be the program that is killed.
func TestMain(m *testing.M) {
	if dir := os.Getenv("CONTINUO_TEST_RUN"); dir != "" {
		cat, done, err := Open(os.Getenv("CONTINUO_TEST_HOME"))
		if err == nil {
			fmt.Println("begun")
			_, err = Run(context.Background(), cat, Options{Roots: []string{dir}, Make: simple, Prove: true, Settings: "test"})
			done()
		}
		if err != nil {
			fmt.Println(err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// TestKilledRuns kills runs at random moments and resumes them: editions and
// catalogue are those of a run that nobody disturbed, to the last byte. The
// bench script does it a hundred times on a larger archive.
func TestKilledRuns(t *testing.T) {
	dir := t.TempDir()
	for i := range 4 {
		shelf(t, filepath.Join(dir, fmt.Sprint("part", i)))
	}
	calm := t.TempDir()
	start := time.Now()
	must(t, calm, nil, dir)
	whole := time.Since(start) + 200*time.Millisecond // the program has to start too
	want := state(t, calm)
	rnd := rand.New(rand.NewPCG(1, 2))
	hits := 0
	for range 4 {
		home := t.TempDir()
		for range 3 {
			if killed(t, dir, home, time.Duration(rnd.Int64N(int64(whole)*2/3))) {
				hits++
				sound(t, home)
			}
		}
		must(t, home, nil, dir)
		if got := state(t, home); got != want {
			t.Fatalf("another state after %d kills:\nwant %s\ngot  %s", hits, want, got)
		}
		left, _ := filepath.Glob(filepath.Join(home, Editions, "*", ".*.tmp"))
		if len(left) > 0 {
			t.Errorf("left over: %v", left)
		}
	}
	if t.Logf("kills that hit a run at work: %d of 12", hits); hits == 0 {
		t.Error("no kill hit a run at work")
	}
}

func killed(t *testing.T, dir, home string, after time.Duration) bool {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), "CONTINUO_TEST_RUN="+dir, "CONTINUO_TEST_HOME="+home)
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	time.Sleep(after)
	cmd.Process.Kill()
	return cmd.Wait() != nil
}

// sound looks over what a kill left: a catalogue without a fault, and every
// edition in it whole.
func sound(t *testing.T, home string) {
	t.Helper()
	if !exists(filepath.Join(home, catalogue.FileName)) {
		return
	}
	state(t, home)
	cat, err := catalogue.Open(filepath.Join(home, catalogue.FileName))
	if err != nil {
		t.Fatal(err)
	}
	defer cat.Close()
	known, _, err := cat.Known(ctx)
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range known {
		for _, e := range k.Editions {
			if got, _, err := sumFile(filepath.Join(home, filepath.FromSlash(e.Path))); err != nil || got != e.SHA256 {
				t.Errorf("%s is not as the catalogue says: %v", e.Path, err)
			}
		}
	}
}
