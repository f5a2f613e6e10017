// Command measure times continuo make and awk on the same volumes by turns, and
// prints wall time, processor time, peak memory, MB/s and their ratio. The
// middle of the repeats counts; the least is told beside it, because a shared
// machine only ever makes things slower.
package main

import (
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"sort"
	"time"

	"continuo/bench/peak"
)

func main() {
	repeats := flag.Int("repeats", 9, "repeats")
	work := flag.String("work", ".", "folder with continuo and paper")
	awk := flag.String("awk", "strip.awk", "awk program")
	flag.Parse()
	if err := measure(*work, *awk, *repeats); err != nil {
		fmt.Fprintln(os.Stderr, "measure: error:", err)
		os.Exit(1)
	}
}

// sample is one run of a program.
type sample struct {
	wall, cpu time.Duration
	peak      int64 // bytes; 0 unknown
}

func measure(work, awk string, repeats int) error {
	files, err := filepath.Glob(filepath.Join(work, "paper", "*.brf"))
	if err != nil || len(files) == 0 {
		return fmt.Errorf("no volumes in %s (%v)", work, err)
	}
	bytes, pages := size(files)
	out := filepath.Join(work, "out.brf")
	mine := append([]string{"make", "-o", out}, files...)
	theirs := append([]string{"-f", awk}, files...)
	var a, b []sample
	for i := 0; i <= repeats; i++ { // the first of each warms the disk
		x, err := run(filepath.Join(work, "continuo"), mine, "")
		if err != nil {
			return err
		}
		y, err := run("awk", theirs, filepath.Join(work, "awk.brf"))
		if err != nil {
			return err
		}
		if i > 0 {
			a, b = append(a, x), append(b, y)
		}
	}
	fmt.Printf("title: %d volumes, %d pages, %.2f MB\n", len(files), pages, float64(bytes)/1e6)
	fmt.Printf("repeats: %d, by turns\n", repeats)
	tell("continuo make", a, bytes)
	tell("awk", b, bytes)
	fmt.Printf("ratio of middle times, continuo to awk: %.2f\n", middle(a).Seconds()/middle(b).Seconds())
	fmt.Printf("ratio of least times, continuo to awk: %.2f\n", least(a).Seconds()/least(b).Seconds())
	fmt.Printf("ratio of processor times, continuo to awk: %.2f\n", cpu(a).Seconds()/cpu(b).Seconds())
	return sizes(out, bytes)
}

func size(files []string) (total int64, pages int) {
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			continue
		}
		total += int64(len(text))
		for _, c := range text {
			if c == '\f' {
				pages++
			}
		}
	}
	return total, pages
}

// run runs a program once; its output goes to a file, or nowhere.
func run(name string, args []string, to string) (sample, error) {
	cmd := exec.Command(name, args...)
	if to != "" {
		f, err := os.Create(to)
		if err != nil {
			return sample{}, err
		}
		defer f.Close()
		cmd.Stdout = f
	}
	start := time.Now()
	err := cmd.Run()
	s := sample{wall: time.Since(start)}
	if cmd.ProcessState == nil {
		return s, err
	}
	s.cpu = cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
	s.peak = peak.Of(cmd.ProcessState)
	if code := cmd.ProcessState.ExitCode(); code != 0 && code != 3 { // 3: done, something to look at
		return s, fmt.Errorf("%s: exit code %d", name, code)
	}
	return s, nil
}

func sorted(list []sample) []time.Duration {
	var out []time.Duration
	for _, s := range list {
		out = append(out, s.wall)
	}
	sort.Slice(out, func(i, j int) bool { return out[i] < out[j] })
	return out
}

func middle(list []sample) time.Duration { s := sorted(list); return s[len(s)/2] }
func least(list []sample) time.Duration  { return sorted(list)[0] }

// cpu is the average processor time.
func cpu(list []sample) time.Duration {
	var sum time.Duration
	for _, s := range list {
		sum += s.cpu
	}
	return sum / time.Duration(len(list))
}

func tell(name string, list []sample, bytes int64) {
	var top int64
	for _, s := range list {
		top = max(top, s.peak)
	}
	all := sorted(list)
	fmt.Printf("%s, wall time: middle %.3f s, least %.3f s, most %.3f s\n", name, middle(list).Seconds(), all[0].Seconds(), all[len(all)-1].Seconds())
	fmt.Printf("%s, processor time: %.3f s on the average\n", name, cpu(list).Seconds())
	fmt.Printf("%s, speed: %.1f MB/s\n", name, float64(bytes)/1e6/middle(list).Seconds())
	if top > 0 {
		fmt.Printf("%s, peak memory: %.1f MB\n", name, float64(top)/1e6)
	}
}

// sizes tells how large edition and account are.
func sizes(edition string, sources int64) error {
	for _, f := range []struct{ name, path string }{{"edition", edition}, {"account", edition + ".account.jsonl"}} {
		info, err := os.Stat(f.path)
		if err != nil {
			return err
		}
		fmt.Printf("%s: %d bytes, %.1f %% of the sources\n", f.name, info.Size(), 100*float64(info.Size())/float64(sources))
	}
	return nil
}
