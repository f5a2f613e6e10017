package meta

import (
	"fmt"
	"net/url"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/language"

	"continuo/internal/lazy"
)

// Problem is one value that no format could use. Key is its place in the file:
// "dates.copyright", "creator[1].role".
type Problem struct{ Key, Why string }

// moment is the form of dcterms:modified in packages (EPUB 3.3, "Last modified
// date").
const moment = "2006-01-02T15:04:05Z"

// maxText is the length of the longest value, in bytes.
const maxText = 10000

// Problems are the faults of metadata that did not come from a file.
func (t Title) Problems() []Problem { return t.problems() }

// Normal is t without blanks at the ends of its values and with its ISBNs as
// URNs.
func (t Title) Normal() Title { return t.normal() }

type rules struct{ out []Problem }

func (r *rules) bad(key, format string, a ...any) {
	r.out = append(r.out, Problem{key, fmt.Sprintf(format, a...)})
}

// problems checks every value, in the order of the file's keys.
func (t Title) problems() []Problem {
	r := &rules{}
	r.line("title", t.Title)
	r.language(t.Language)
	r.list("identifiers", t.Identifiers, r.identifier)
	r.line("publisher", t.Publisher)
	r.list("producers", t.Producers, r.line)
	r.text("rights", t.Rights)
	r.text("description", t.Description)
	r.list("subjects", t.Subjects, r.line)
	if _, err := time.Parse(moment, t.Modified); t.Modified != "" && err != nil {
		r.bad("modified", "%q is not a moment in UTC such as 2026-01-31T12:00:00Z", t.Modified)
	}
	if t.Complete != "" && t.Complete != "true" && t.Complete != "false" {
		r.bad("complete", "must be true or false, not %q", t.Complete)
	}
	r.list("system", t.Systems, r.line)
	for i, c := range t.Creators {
		r.creator(fmt.Sprintf("creator[%d]", i), c)
	}
	r.date("dates.copyright", t.Dates.Copyright)
	r.date("dates.publication", t.Dates.Publication)
	r.date("dates.transcription", t.Dates.Transcription)
	r.identifier("source.identifier", t.Source.Identifier)
	r.line("source.title", t.Source.Title)
	r.line("source.publisher", t.Source.Publisher)
	r.date("source.date", t.Source.Date)
	r.line("source.edition", t.Source.Edition)
	return r.out
}

// text is a value of one or more lines.
func (r *rules) text(key, s string) {
	switch {
	case s == "":
	case strings.TrimSpace(s) == "":
		r.bad(key, "is blank; leave it out")
	case len(s) > maxText:
		r.bad(key, "is longer than %d bytes", maxText)
	case !utf8.ValidString(s):
		r.bad(key, "is not UTF-8 text")
	default:
		for _, c := range s {
			if unicode.IsControl(c) && c != '\n' && c != '\t' && c != '\r' || c == 0xFFFE || c == 0xFFFF {
				r.bad(key, "holds the control character U+%04X", c)
				return
			}
		}
	}
}

// line is a value of one line.
func (r *rules) line(key, s string) {
	n := len(r.out)
	r.text(key, s)
	if len(r.out) == n && strings.ContainsAny(strings.TrimSpace(s), "\n\r") {
		r.bad(key, "must be one line")
	}
}

func (r *rules) list(key string, list []string, check func(key, s string)) {
	seen := map[string]bool{}
	for i, s := range list {
		at := fmt.Sprintf("%s[%d]", key, i)
		switch s = strings.TrimSpace(s); {
		case s == "":
			r.bad(at, "is blank; leave it out")
		case seen[s]:
			r.bad(at, "%q stands there twice", s)
		default:
			check(at, s)
		}
		seen[s] = true
	}
}

func (r *rules) language(tag string) {
	if tag = strings.TrimSpace(tag); tag == "" {
		return
	}
	if _, err := language.Parse(tag); err != nil || strings.Contains(tag, "_") {
		r.bad("language", "%q is not a language tag such as en, en-GB or cy", tag)
	}
}

// role is a code of the MARC relator list (Library of Congress).
var role = lazy.Regexp(`^[a-z]{3}$`)

func (r *rules) creator(key string, c Creator) {
	if strings.TrimSpace(c.Name) == "" {
		r.bad(key+".name", "a creator needs a name")
	}
	r.line(key+".name", c.Name)
	r.line(key+".sort", c.Sort)
	if c.Role != "" && !role().MatchString(c.Role) {
		r.bad(key+".role", "%q is not a code of three small letters: aut author, edt editor, trl translator, ill illustrator, nrt narrator", c.Role)
	}
}

// date is a date of the W3C date form (W3C note "Date and Time Formats", 1997).
func (r *rules) date(key, s string) {
	if s = strings.TrimSpace(s); s == "" {
		return
	}
	for _, form := range []string{"2006", "2006-01", time.DateOnly} {
		if _, err := time.Parse(form, s); err == nil {
			return
		}
	}
	r.bad(key, "%q is not a date; write a year, 2019, a month, 2019-05, or a day, 2019-05-31", s)
}

// identifier is a URN or URL, or an ISBN, whose check digit must be right.
func (r *rules) identifier(key, s string) {
	if s = strings.TrimSpace(s); s == "" {
		return
	}
	if n, ok := isbn(s); ok {
		if !validISBN(n) {
			r.bad(key, "%q is no ISBN: its last digit does not fit the others", s)
		}
		return
	}
	u, err := url.Parse(s)
	if err != nil || u.Scheme == "" || strings.ContainsFunc(s, unicode.IsSpace) || u.Opaque == "" && u.Host == "" {
		r.bad(key, "%q is neither an ISBN nor a URN or URL such as urn:uuid:... or https://...", s)
	}
}

// isbn takes the digits out of what is meant as an ISBN: "ISBN 978-...",
// "urn:isbn:..." or the number alone, of 10 or 13 digits.
func isbn(s string) (string, bool) {
	low := strings.ToLower(strings.TrimSpace(s))
	named := false
	for _, p := range []string{"urn:isbn:", "isbn-13", "isbn-10", "isbn"} {
		if rest, ok := strings.CutPrefix(low, p); ok {
			low, named = strings.TrimLeft(rest, " :"), true
			break
		}
	}
	n := strings.NewReplacer("-", "", " ", "", "\u2010", "", "\u2011", "", "\u2013", "").Replace(low)
	for i, c := range n {
		if (c < '0' || c > '9') && !(c == 'x' && i == 9 && len(n) == 10) {
			return "", named && n == ""
		}
	}
	return strings.ToUpper(n), named || len(n) == 10 || len(n) == 13
}

// validISBN checks the check digit (ISO 2108: weights 10 to 1 modulo 11 for ten
// digits, 1 and 3 modulo 10 for thirteen).
func validISBN(n string) bool {
	sum := 0
	for i := 0; i < len(n); i++ {
		d := int(n[i] - '0')
		if n[i] == 'X' {
			d = 10
		}
		switch {
		case len(n) == 10:
			sum += (10 - i) * d
		case i%2 == 1:
			sum += 3 * d
		default:
			sum += d
		}
	}
	return len(n) == 10 && sum%11 == 0 || len(n) == 13 && sum%10 == 0
}

// ISBN finds the first valid ISBN in a line of print and returns it as a URN.
func ISBN(line string) (string, bool) {
	for _, m := range isbnLike().FindAllString(line, -1) {
		if n, ok := isbn(m); ok && validISBN(n) {
			return "urn:isbn:" + n, true
		}
	}
	return "", false
}

var isbnLike = lazy.Regexp(`(?i)[0-9][0-9 -]{8,20}[0-9x]`)

func (t Title) normal() Title {
	trim := strings.TrimSpace
	trimAll := func(l []string) (out []string) {
		for _, s := range l {
			out = append(out, trim(s))
		}
		return out
	}
	out := Title{Title: trim(t.Title), Language: trim(t.Language), Publisher: trim(t.Publisher), Rights: trim(t.Rights),
		Description: trim(t.Description), Producers: trimAll(t.Producers), Subjects: trimAll(t.Subjects), Modified: t.Modified, Complete: t.Complete, Systems: trimAll(t.Systems)}
	for _, id := range t.Identifiers {
		out.Identifiers = append(out.Identifiers, urn(id))
	}
	for _, c := range t.Creators {
		out.Creators = append(out.Creators, Creator{trim(c.Name), c.Role, trim(c.Sort)})
	}
	out.Dates = Dates{trim(t.Dates.Copyright), trim(t.Dates.Publication), trim(t.Dates.Transcription)}
	s := t.Source
	out.Source = Source{urn(s.Identifier), trim(s.Title), trim(s.Publisher), trim(s.Date), trim(s.Edition)}
	return out
}

// urn is an ISBN as a URN (RFC 8141 namespace isbn); other identifiers stay.
func urn(s string) string {
	s = strings.TrimSpace(s)
	if n, ok := isbn(s); ok && validISBN(n) {
		return "urn:isbn:" + n
	}
	return s
}
