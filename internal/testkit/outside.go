package testkit

import (
	"errors"
	"os"
	"testing"
)

// Required reports whether every outside check must be made: the variable
// CONTINUO_REQUIRE_OUTSIDE is set, and not to 0.
func Required() bool {
	v := os.Getenv("CONTINUO_REQUIRE_OUTSIDE")
	return v != "" && v != "0"
}

// Need skips a test, loudly, when what it checks against is Missing, or fails it
// where outside checks are required; it fails it for any other error.
func Need(tb testing.TB, err error) {
	tb.Helper()
	var missing Missing
	switch {
	case err == nil:
	case !errors.As(err, &missing):
		tb.Fatal(err)
	case Required():
		tb.Fatal("outside check required: ", err)
	default:
		tb.Skip("OUTSIDE CHECK NOT RUN: ", err)
	}
}
