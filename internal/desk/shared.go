package desk

import (
	"context"
	"errors"
	"net/http"

	"continuo/internal/catalogue"
	"continuo/internal/convert"
	"continuo/internal/meta"
	"continuo/internal/shelf"
	"continuo/internal/source"
)

// Shared are the functions of the command line that pages call too, so that a card
// filled, a request taken in or a title described here and there are the same.
type Shared struct {
	// Offers is what the pages before the text say of a title, as a survey found it,
	// to be confirmed.
	Offers func(files []*source.File, survey *convert.Survey, o convert.Options) ([]meta.Found, error)
	// Wishes says what is wrong with wishes, and Reader with a reader code.
	Wishes func(shelf.Wishes) error
	Reader func(code string) error
	// Request reads a line of a table of requests: columns and their values.
	Request func(columns, values []string) (catalogue.Request, error)
	// TakeIn puts requests into the queue, all or none; again is true for those
	// that are there already, which are not put in twice.
	TakeIn func(cat *catalogue.Catalogue, list []catalogue.Request) (again []bool, err error)
	// Meant is the title that a key or words mean, or why there is none.
	Meant func(cat *catalogue.Catalogue, words string) (t catalogue.Title, why string)
	// Items are titles as they go on a card, with the reason for each that cannot.
	Items func(cat *catalogue.Catalogue, titles []catalogue.Title, w shelf.Wishes, withLook bool) ([]shelf.Item, error)
	// Fill builds a card and notes it in the catalogue.
	Fill func(ctx context.Context, cat *catalogue.Catalogue, dir string, items []shelf.Item, o shelf.Options) (*shelf.Result, error)
	// Parcel is what requests of one reader ask for; Sent notes what became of them.
	Parcel func(cat *catalogue.Catalogue, list []catalogue.Request, withLook bool) ([]shelf.Item, shelf.Options, error)
	Sent   func(cat *catalogue.Catalogue, list []catalogue.Request, r *shelf.Result, to string) error
}

// hinted are errors of the command line, which say what to do.
type hinted interface{ Hint() string }

// said is what an error says, with what to do.
func said(err error) string {
	var h hinted
	if errors.As(err, &h) && h.Hint() != "" {
		return err.Error() + "; " + h.Hint()
	}
	return err.Error()
}

// again is the answer to a form that cannot be taken as it is: the form once more,
// with what was filled in and what is wrong with it. Nothing was changed.
type again struct{ view *view }

func (a *again) Error() string { return "the form cannot be taken as it is" }

// bad is a problem of what was sent.
func bad(what, hint string) error { return &problem{http.StatusBadRequest, what, hint} }
