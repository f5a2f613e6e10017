package batch

import (
	"context"
	"errors"
	"fmt"

	"continuo/internal/catalogue"
	"continuo/internal/decide"
	"continuo/internal/decidefile"
)

// SyncDecisions brings what the catalogue knows of people's decisions in line
// with the files of decisions beside the titles. who stands in the history for
// what was taken back. Files that cannot be read are told together, and the
// others are taken in all the same.
func SyncDecisions(ctx context.Context, cat *catalogue.Catalogue, who string) error {
	page, err := cat.List(ctx, catalogue.Filter{})
	if err != nil {
		return err
	}
	known, err := cat.WithDecisions(ctx)
	if err != nil {
		return err
	}
	var faults []error
	for _, t := range page.Titles {
		text, f, err := decidefile.Read(DecisionsFile(t))
		switch {
		case err != nil:
			faults = append(faults, fmt.Errorf("%s: %w", t.Key, err))
		case text != nil || known[t.Key]:
			if err := cat.Decided(ctx, t.Key, who, decisionsIn(f), correctionsIn(f)); err != nil {
				return err
			}
		}
	}
	return errors.Join(faults...)
}

// SyncTitle is SyncDecisions for one title, whose decisions were just changed.
func SyncTitle(ctx context.Context, cat *catalogue.Catalogue, t catalogue.Title, who string) error {
	_, f, err := decidefile.Read(DecisionsFile(t))
	if err != nil {
		return err
	}
	return cat.Decided(ctx, t.Key, who, decisionsIn(f), correctionsIn(f))
}

// DecisionsFile is where the decisions about a title stand.
func DecisionsFile(t catalogue.Title) string { return t.Sidecar + decisionsSuffix }

func decisionsIn(f *decide.File) []catalogue.Decision {
	var out []catalogue.Decision
	for _, a := range f.Answers {
		out = append(out, catalogue.Decision{Place: a.ID, Kind: a.Kind, Choice: a.Choice, Who: a.Who, Note: a.Why})
	}
	return out
}

func correctionsIn(f *decide.File) []catalogue.Correction {
	var out []catalogue.Correction
	for _, c := range f.Corrections {
		out = append(out, catalogue.Correction{Place: c.Place, Where: c.Where, Old: c.Old, New: c.New, Who: c.Who, Why: c.Why})
	}
	return out
}
