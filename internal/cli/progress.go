package cli

import (
	"fmt"
	"sync"
	"time"
)

// every is the time between two lines of progress.
const every = 5 * time.Second

// progress prints a plain line on the error stream every few seconds while
// long work goes on; short work prints nothing.
type progress struct {
	mu    sync.Mutex
	stage string
	stop  chan struct{}
	done  sync.WaitGroup
}

func (c console) begin(stage string) *progress {
	p := &progress{stage: stage, stop: make(chan struct{})}
	start := time.Now()
	tick := time.NewTicker(every)
	p.done.Go(func() {
		defer tick.Stop()
		for {
			select {
			case <-p.stop:
				return
			case now := <-tick.C:
				p.mu.Lock()
				fmt.Fprintf(c.err, "working: %s, %d seconds\n", p.stage, int(now.Sub(start).Seconds()))
				p.mu.Unlock()
			}
		}
	})
	return p
}

// next names the stage that begins now.
func (p *progress) next(stage string) {
	p.mu.Lock()
	p.stage = stage
	p.mu.Unlock()
}

// end stops the lines; it may be called once.
func (p *progress) end() { close(p.stop); p.done.Wait() }
