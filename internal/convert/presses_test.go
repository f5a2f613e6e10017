package convert_test

import (
	"runtime"
	"sync"

	"continuo/internal/book"
	"continuo/internal/convert"
	"continuo/internal/finders"
)

// allSeeds judges the title of each seed, on all cores.
func allSeeds[T any](seeds []uint64, one func(seed uint64) T) []T {
	out := make([]T, len(seeds))
	var wg sync.WaitGroup
	next := make(chan int)
	for range runtime.GOMAXPROCS(0) {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for i := range next {
				out[i] = one(seeds[i])
			}
		}()
	}
	for i := range seeds {
		next <- i
	}
	close(next)
	wg.Wait()
	return out
}

// seedsOf are the seeds that the flags ask for, or the first n where they ask for none.
func seedsOf(n int) (seeds []uint64) {
	if *titleCount != defaultTitles {
		n = *titleCount
	}
	for i := range n {
		seeds = append(seeds, uint64(*firstSeed+i))
	}
	return seeds
}

// headingBlocks are the headings of an edition by the line on which they begin, and those
// that have a search string of their own that is proved.
func headingBlocks(res *convert.Result) (at map[int]int, promised map[int]bool) {
	at, promised = map[int]int{}, map[int]bool{}
	for i := range res.Book.Blocks {
		if res.Book.Blocks[i].Kind == book.Heading {
			at[res.Starts[i]] = i
		}
	}
	if res.Finders == nil {
		return at, promised
	}
	for _, f := range res.Finders.Finders {
		if f.Promised() && f.Class == finders.Heading {
			promised[f.Block] = true
		}
	}
	return at, promised
}
