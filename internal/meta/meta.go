// Package meta holds the metadata of a title: what the formats ask for and the
// braille volumes do not say in a form that a program may take without asking.
// A person writes it into a small strict TOML file, title.toml, beside the
// volumes, or gives it by flags. What a program read on the title page is only
// offered there, behind a comment sign, until a person has confirmed it.
//
// The names are those of the Dublin Core element set (DCMI Metadata Terms,
// 2020-01-20) where it has one; docs/usage.md lists the pairs.
package meta

import (
	"crypto/sha256"
	"fmt"
	"strings"

	"golang.org/x/text/language"
)

// Title is the metadata of one title. A field that is empty was not given, and
// no writer makes one up in its place.
type Title struct {
	Title       string    // dc:title, in print
	Creators    []Creator // dc:creator, the most important first
	Identifiers []string  // dc:identifier of this edition, the first names it; a URN or URL
	Language    string    // dc:language of the text, BCP 47 without the script: en-GB
	Publisher   string    // dc:publisher of this edition
	Producers   []string  // who made the braille
	Rights      string    // dc:rights
	Description string    // dc:description
	Subjects    []string  // dc:subject
	Dates       Dates
	Modified    string   // dcterms:modified, YYYY-MM-DDThh:mm:ssZ; empty: from the date of publication
	Complete    string   // whether the braille has all of the work: "true", "false" or empty
	Systems     []string // braille systems of the text, as "UEB grade2"; empty: as found
	Source      Source
}

// Creator is a person or body that made the work.
type Creator struct {
	Name string // as it is printed
	Role string // code of the MARC relator list (three letters: aut, edt, trl), or empty
	Sort string // the name as it is sorted, or empty
}

// Dates are dates of the W3C date form: YYYY, YYYY-MM or YYYY-MM-DD.
type Dates struct {
	Copyright     string // dcterms:dateCopyrighted of the work in print
	Publication   string // dc:date of this edition
	Transcription string // when the braille volumes were made
}

// Source is the print edition that the braille was made from (dc:source).
type Source struct {
	Identifier string // a URN or URL; of an ISBN urn:isbn:...
	Title      string // when it is another than that of the braille
	Publisher  string
	Date       string // W3C date form
	Edition    string // words: "second edition, large format"
}

// IsZero reports whether nothing at all was given.
func (t Title) IsZero() bool {
	return t.Title == "" && t.Language == "" && t.Publisher == "" && t.Rights == "" && t.Description == "" &&
		len(t.Creators)+len(t.Identifiers)+len(t.Producers)+len(t.Subjects)+len(t.Systems) == 0 && t.Modified+t.Complete == "" && t.Dates == Dates{} && t.Source == Source{}
}

// Over returns t with the fields that over gives in place of its own. Lists are
// replaced whole.
func (t Title) Over(over Title) Title {
	text := func(to *string, s string) {
		if s != "" {
			*to = s
		}
	}
	list := func(to *[]string, l []string) {
		if len(l) > 0 {
			*to = l
		}
	}
	text(&t.Title, over.Title)
	text(&t.Language, over.Language)
	text(&t.Publisher, over.Publisher)
	text(&t.Rights, over.Rights)
	text(&t.Description, over.Description)
	list(&t.Identifiers, over.Identifiers)
	list(&t.Producers, over.Producers)
	list(&t.Subjects, over.Subjects)
	list(&t.Systems, over.Systems)
	text(&t.Modified, over.Modified)
	text(&t.Complete, over.Complete)
	if len(over.Creators) > 0 {
		t.Creators = over.Creators
	}
	text(&t.Dates.Copyright, over.Dates.Copyright)
	text(&t.Dates.Publication, over.Dates.Publication)
	text(&t.Dates.Transcription, over.Dates.Transcription)
	text(&t.Source.Identifier, over.Source.Identifier)
	text(&t.Source.Title, over.Source.Title)
	text(&t.Source.Publisher, over.Source.Publisher)
	text(&t.Source.Date, over.Source.Date)
	text(&t.Source.Edition, over.Source.Edition)
	return t
}

// Brai is a language tag with the script subtag for braille (ISO 15924 Brai):
// en-GB gives en-Brai-GB. A tag that cannot be read comes back as it is, an
// empty one as und-Brai, the tag of a language that is not known.
func Brai(tag string) string {
	if tag == "" {
		return "und-Brai"
	}
	t, err := language.Parse(tag)
	if err != nil {
		return tag
	}
	base, _, region := t.Raw()
	parts := []any{base, language.MustParseScript("Brai"), region}
	for _, v := range t.Variants() {
		parts = append(parts, v)
	}
	b, err := language.Compose(parts...)
	if err != nil {
		return tag
	}
	return b.String()
}

// Identifier returns the identifier of an edition: the first one that was
// given, else a UUID made from the edition's own bytes, so that the same
// edition always has the same one (RFC 9562, version 8, from SHA-256).
func (t Title) Identifier(edition []byte) string {
	if len(t.Identifiers) > 0 {
		return t.Identifiers[0]
	}
	h := sha256.Sum256(edition)
	u := h[:16]
	u[6] = u[6]&0x0F | 0x80
	u[8] = u[8]&0x3F | 0x80
	return fmt.Sprintf("urn:uuid:%x-%x-%x-%x-%x", u[:4], u[4:6], u[6:8], u[8:10], u[10:])
}

// Moment is when the edition was last changed: Modified, or midnight UTC of the
// day of publication; empty when neither is known to the day.
func (t Title) Moment() string {
	if t.Modified == "" && len(t.Dates.Publication) == len("2006-01-02") {
		return t.Dates.Publication + "T00:00:00Z"
	}
	return t.Modified
}

// ByRole returns the names of the creators in one line, those of a role other
// than author with its code: "Ann Lee, Bo Ray (trl)".
func (t Title) ByRole() string {
	var out []string
	for _, c := range t.Creators {
		if c.Role != "" && c.Role != "aut" {
			out = append(out, c.Name+" ("+c.Role+")")
			continue
		}
		out = append(out, c.Name)
	}
	return strings.Join(out, ", ")
}
