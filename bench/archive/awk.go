package main

import (
	"fmt"
	"os"
	"os/exec"
	"strings"
	"time"
)

// baseline times the plain awk program over the files of a list (each name
// ended by a zero byte), a title's folder at a time.
func baseline(args []string) error {
	if len(args) != 3 {
		return fmt.Errorf("use: archive awk LIST PROGRAM OUT")
	}
	list, err := os.ReadFile(args[0])
	if err != nil {
		return err
	}
	out, err := os.Create(args[2])
	if err != nil {
		return err
	}
	defer out.Close()
	names := strings.Split(strings.TrimSuffix(string(list), "\x00"), "\x00")
	var bytes int64
	for _, n := range names {
		if info, err := os.Stat(n); err == nil {
			bytes += info.Size()
		}
	}
	start, cpu := time.Now(), time.Duration(0)
	for len(names) > 0 {
		k := min(500, len(names)) // as many as a command line takes
		cmd := exec.Command("awk", append([]string{"-f", args[1]}, names[:k]...)...)
		cmd.Stdout = out
		if err := cmd.Run(); err != nil {
			return err
		}
		cpu += cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
		names = names[k:]
	}
	wall := time.Since(start).Seconds()
	fmt.Printf("awk, wall time: %.2f s\nawk, processor time: %.2f s\nawk, speed: %.1f MB/s\n", wall, cpu.Seconds(), float64(bytes)/1e6/wall)
	return nil
}
