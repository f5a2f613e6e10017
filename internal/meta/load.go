package meta

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"
	"time"

	"github.com/pelletier/go-toml/v2"

	"continuo/internal/plaintext"
	"continuo/internal/tomlpos"
)

// FileName is the name of a metadata file beside the volumes of a title.
const FileName = "title.toml"

// MaxBytes is the size of the largest metadata file that is read.
const MaxBytes = 1 << 20

// Error is a metadata file that cannot be used: where, and why. Line is
// 1-based, 0 when the file as a whole is meant.
type Error struct {
	File string
	Line int
	Why  string
}

func (e *Error) Error() string { return tomlpos.Message("metadata", e.File, e.Line, e.Why) }

// Load reads a metadata file. Its errors are of type *Error.
func Load(path string) (Title, error) {
	f, err := os.Open(path)
	if err != nil {
		return Title{}, &Error{File: path, Why: plain(err)}
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, MaxBytes+1))
	switch {
	case err != nil:
		return Title{}, &Error{File: path, Why: plain(err)}
	case len(text) > MaxBytes:
		return Title{}, &Error{File: path, Why: fmt.Sprintf("too large: more than %d bytes", MaxBytes)}
	}
	return Parse(path, plaintext.Decode(text))
}

// plain is the cause of a file system error, without the path.
func plain(err error) string {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err.Error()
	}
	return err.Error()
}

// file is the TOML form. Dates may be written as text, as a TOML date or as a
// year alone.
type file struct {
	Title       string        `toml:"title"`
	Language    string        `toml:"language"`
	Identifiers []string      `toml:"identifiers"`
	Publisher   string        `toml:"publisher"`
	Producers   []string      `toml:"producers"`
	Rights      string        `toml:"rights"`
	Description string        `toml:"description"`
	Subjects    []string      `toml:"subjects"`
	Modified    any           `toml:"modified"`
	Complete    *bool         `toml:"complete"`
	Systems     []string      `toml:"system"`
	Creators    []creatorFile `toml:"creator"`
	Dates       struct {
		Copyright     any `toml:"copyright"`
		Publication   any `toml:"publication"`
		Transcription any `toml:"transcription"`
	} `toml:"dates"`
	Source struct {
		Identifier string `toml:"identifier"`
		Title      string `toml:"title"`
		Publisher  string `toml:"publisher"`
		Date       any    `toml:"date"`
		Edition    string `toml:"edition"`
	} `toml:"source"`
}

type creatorFile struct {
	Name string `toml:"name"`
	Role string `toml:"role"`
	Sort string `toml:"sort"`
}

// Parse reads metadata from TOML text; name is used in errors. A key that is
// not known is an error, and so is a value that no format could use.
func Parse(name string, text []byte) (Title, error) {
	var f file
	dec := toml.NewDecoder(strings.NewReader(string(text))).DisallowUnknownFields()
	if err := dec.Decode(&f); err != nil {
		f := tomlpos.First(err)
		return Title{}, &Error{name, f.Line, f.Why}
	}
	t := f.title()
	if bad := t.problems(); len(bad) > 0 {
		return Title{}, &Error{name, tomlpos.Of(tomlpos.Lines(text), bad[0].Key), bad[0].Key + ": " + bad[0].Why}
	}
	return t.normal(), nil
}

func (f *file) title() Title {
	t := Title{Title: f.Title, Language: f.Language, Identifiers: f.Identifiers, Publisher: f.Publisher, Producers: f.Producers,
		Rights: f.Rights, Description: f.Description, Subjects: f.Subjects, Systems: f.Systems, Modified: momentText(f.Modified)}
	if f.Complete != nil {
		t.Complete = fmt.Sprint(*f.Complete)
	}
	for _, c := range f.Creators {
		t.Creators = append(t.Creators, Creator(c))
	}
	t.Dates = Dates{dateText(f.Dates.Copyright), dateText(f.Dates.Publication), dateText(f.Dates.Transcription)}
	s := f.Source
	t.Source = Source{s.Identifier, s.Title, s.Publisher, dateText(s.Date), s.Edition}
	return t
}

// dateText is a date of any TOML type as text; what is no date at all comes
// out as text that is none, and is told with the other faults.
func dateText(v any) string {
	switch v := v.(type) {
	case nil:
		return ""
	case string:
		return v
	case int64:
		return fmt.Sprint(v)
	case toml.LocalDate:
		return v.String()
	case toml.LocalDateTime:
		return v.LocalDate.String()
	case time.Time:
		return v.Format(time.DateOnly)
	}
	return fmt.Sprint(v)
}

// momentText is a moment of any TOML type as text, in UTC.
func momentText(v any) string {
	if m, ok := v.(time.Time); ok {
		return m.UTC().Format(moment)
	}
	return dateText(v)
}
