// Command continuo makes one continuous braille book for a refreshable braille
// display out of the paper volumes of a title, and accounts for every cell.
package main

import (
	"os"
	"runtime/debug"

	"continuo/internal/cli"
)

// gcPercent lets the heap grow fivefold between collections: a title takes
// some 20 MB, and the collector would take a quarter of the time.
const gcPercent = 400

func main() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(gcPercent)
	}
	os.Exit(cli.Run(os.Args[1:], os.Stdout, os.Stderr))
}
