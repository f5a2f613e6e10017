package main

import (
	"fmt"
	"os"
	"os/exec"
	"time"

	"continuo/bench/peak"
)

// timed runs a program and tells wall time, processor time and peak memory.
func timed(args []string) error {
	if len(args) == 0 {
		return fmt.Errorf("use: archive run PROGRAM ARGS...")
	}
	cmd := exec.Command(args[0], args[1:]...)
	cmd.Stdout, cmd.Stderr = os.Stdout, os.Stderr
	start := time.Now()
	err := cmd.Run()
	wall := time.Since(start)
	if cmd.ProcessState == nil {
		return err
	}
	if code := cmd.ProcessState.ExitCode(); code != 0 && code != 3 {
		return fmt.Errorf("%s: exit code %d", args[0], code)
	}
	fmt.Printf("wall time: %.2f s\n", wall.Seconds())
	fmt.Printf("processor time: %.2f s\n", (cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()).Seconds())
	if p := peak.Of(cmd.ProcessState); p > 0 {
		fmt.Printf("peak memory: %.1f MB\n", float64(p)/1e6)
	}
	return nil
}
