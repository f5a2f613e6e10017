// Command archive writes a large archive of paper titles for the benchmark,
// kills runs over it, and compares what they leave. It is driven by
// bench/archive.sh.
//
//	archive make [-titles N] [-distinct N] DIR   an archive of generated titles
//	archive kill [-kills N] [-seed N] CONTINUO SOURCES WORK
//	archive run PROGRAM ARGS...                  runs a program, tells time and peak memory
//	archive awk LIST PROGRAM OUT                 the plain awk over the same files
package main

import (
	"errors"
	"fmt"
	"os"
)

func main() {
	if len(os.Args) < 2 {
		fail(errors.New("use: archive make|kill|run|awk ..."))
	}
	var err error
	switch args := os.Args[2:]; os.Args[1] {
	case "make":
		err = makeArchive(args)
	case "kill":
		err = kills(args)
	case "run":
		err = timed(args)
	case "awk":
		err = baseline(args)
	default:
		err = fmt.Errorf("no such command: %s", os.Args[1])
	}
	if err != nil {
		fail(err)
	}
}

func fail(err error) {
	fmt.Fprintln(os.Stderr, "archive: error:", err)
	os.Exit(1)
}
