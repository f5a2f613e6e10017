// Command continuo makes one continuous braille book for a refreshable braille
// display out of the paper volumes of a title, and accounts for every cell.
package main

import (
	"os"
	"runtime"
	"runtime/debug"

	"continuo/internal/cli"
)

// A title takes some 20 MB: the first garbage collection comes at firstPercent
// of 4 MB, so that most runs need none; from then on the heap may grow to the
// threefold between two.
const (
	firstPercent = 1500
	laterPercent = 200
)

// tuneCollector sets when garbage is collected.
func tuneCollector() {
	debug.SetGCPercent(firstPercent)
	runtime.SetFinalizer(new(*byte), func(any) { debug.SetGCPercent(laterPercent) }) // runs after the first collection
}

func main() {
	if os.Getenv("GOGC") == "" {
		tuneCollector()
	}
	os.Exit(cli.Run(os.Args[1:], os.Stdout, os.Stderr))
}
