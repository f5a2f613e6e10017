package cli

import (
	"errors"
	"fmt"

	"continuo/internal/book"
	"continuo/internal/write"
	"continuo/internal/write/ebraille"
)

// publication is an edition as eBraille.
func publication(e *write.Edition) (*ebraille.Edition, error) {
	return ebraille.Write(e.Book, ebrailleMetadata(e), ebraille.Options{Variant: e.Variant, Words: e.Words, TitleLines: e.Title})
}

// writeEBraille writes the packaged form of eBraille.
func writeEBraille(e *write.Edition, _ extra) ([]byte, error) {
	ed, err := publication(e)
	if err != nil {
		return nil, err
	}
	return ed.Pack()
}

// ebrailleFiles are the files of the unpackaged form.
func ebrailleFiles(e *write.Edition) ([]ebraille.File, error) {
	ed, err := publication(e)
	if err != nil {
		return nil, err
	}
	return ed.Files, nil
}

// ebrailleMetadata is the metadata of a title as eBraille names it. What was
// not given stays empty; the writer says what it cannot do without.
func ebrailleMetadata(e *write.Edition) ebraille.Metadata {
	m := e.Meta
	out := ebraille.Metadata{Producers: m.Producers, Date: m.Dates.Publication, Modified: m.Moment(), Copyright: m.Dates.Copyright, Complete: m.Complete,
		Systems: m.Systems, Publisher: m.Publisher, Rights: m.Rights, Description: m.Description, Subjects: m.Subjects, Source: ebraille.Source(m.Source)}
	if m.Title != "" {
		out.Titles = []string{m.Title}
	}
	for _, c := range m.Creators {
		out.Creators = append(out.Creators, ebraille.Person(c))
	}
	if len(m.Identifiers) > 0 {
		out.Identifier = m.Identifiers[0]
	}
	if lang := e.Language(); lang != "und-Brai" {
		out.Languages = []string{lang}
	}
	return out
}

// titleLines counts the lines of the title page that are the title itself.
func (m *made) titleLines() int {
	if m.result.Survey == nil || len(m.result.Survey.Titles) == 0 {
		return 0
	}
	want, got := m.result.Survey.Titles[0].Title, ""
	b := m.result.Book
	for i := range b.Blocks {
		bl := &b.Blocks[i]
		if bl.Kind != book.TitleLine {
			break
		}
		var text []byte
		for k := range bl.Pieces {
			text = b.AppendPiece(text, bl, k)
		}
		if i > 0 {
			got += " "
		}
		if got += string(text); got == want {
			return i + 1
		}
	}
	return 0
}

// cannotWrite is the refusal of a format, with everything that is missing.
func cannotWrite(f format, err error) error {
	out := &fault{code: Failed, what: fmt.Sprintf("%s: %s", f.name, err), hint: "nothing was written; leave " + f.name + " out of --format"}
	var want *ebraille.Incomplete
	if !errors.As(err, &want) {
		return out
	}
	out.hint = "nothing was written; give these in title.toml beside the volumes (continuo metadata SOURCE... offers one) or by flags, or leave " + f.name + " out of --format"
	for _, w := range want.Wants {
		line := fmt.Sprintf("missing: %s (%s): %s", w.Key, w.Name, w.How)
		if w.Bad != "" {
			line = fmt.Sprintf("not right: %s (%s), %q: %s", w.Key, w.Name, w.Bad, w.How)
		}
		out.more = append(out.more, line)
	}
	return out
}
