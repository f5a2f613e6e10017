package cli

import (
	"errors"
	"time"
)

// since is the value of a flag: a day, month or year, or a moment of RFC 3339.
type since string

// Set takes a value that is a date.
func (s *since) Set(text string) error {
	for _, form := range []string{time.DateOnly, "2006-01", "2006", time.RFC3339} {
		if _, err := time.Parse(form, text); err == nil {
			*s = since(text)
			return nil
		}
	}
	return errors.New("a date is written as 2026-01-31")
}

func (s *since) String() string { return string(*s) }

// Type names the kind of the value.
func (s *since) Type() string { return "date" }
