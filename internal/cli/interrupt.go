package cli

import "context"

// stoppedEarly is the fault of work that a person interrupted before anything was
// written.
func stoppedEarly() error {
	return refuse("nothing was written", "stopped by an interrupt")
}

// until runs work that touches no disk, and waits for it no longer once ctx ends.
func until[T any](ctx context.Context, work func() (T, error)) (T, error) {
	type outcome struct {
		value T
		err   error
	}
	done := make(chan outcome, 1)
	go func() {
		v, err := work()
		done <- outcome{v, err}
	}()
	select {
	case o := <-done:
		return o.value, o.err
	case <-ctx.Done():
		var none T
		return none, stoppedEarly()
	}
}
