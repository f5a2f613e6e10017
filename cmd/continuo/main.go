// Command continuo makes one continuous braille book for a refreshable braille
// display out of the paper volumes of a title, and accounts for every cell.
package main

import (
	"os"
	"runtime"
	"runtime/debug"
	"runtime/metrics"

	"continuo/internal/cli"
)

// A title takes some 20 MB: the first garbage collection comes at firstPercent
// of 4 MB, so that most runs need none. From then on the heap may grow to the
// fivefold between two, but not by more than maxGrowth unless that is less than
// its double.
const (
	firstPercent = 1500
	mostPercent  = 400
	leastPercent = 100
	maxGrowth    = 192 << 20
)

// tuneCollector sets when garbage is collected, anew after each collection.
func tuneCollector() {
	debug.SetGCPercent(firstPercent)
	percent := firstPercent
	var collected func(*[]byte)
	collected = func(*[]byte) {
		live := []metrics.Sample{{Name: "/gc/heap/live:bytes"}}
		metrics.Read(live)
		if p := growth(live[0].Value.Uint64()); p != percent {
			percent = p
			debug.SetGCPercent(p)
		}
		runtime.SetFinalizer(new([]byte), collected)
	}
	runtime.SetFinalizer(new([]byte), collected) // runs after a collection
}

// growth is how many percent a heap with so many bytes in use may grow.
func growth(heap uint64) int {
	return int(min(mostPercent, max(leastPercent, maxGrowth*100/max(heap, 1))))
}

func main() {
	if os.Getenv("GOGC") == "" {
		tuneCollector()
	}
	code := cli.Run(os.Args[1:], os.Stdout, os.Stderr)
	stayOpen()
	os.Exit(code)
}
