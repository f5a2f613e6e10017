package profile

import (
	"bytes"
	"embed"
	"errors"
	"os"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"continuo/internal/plaintext"
	"continuo/internal/tomlpos"
)

//go:embed data/*.toml
var data embed.FS

// shipped names the profiles in the program and their files.
var shipped = map[string]string{
	"uk":            "data/uk.toml",
	"north-america": "data/north-america.toml",
}

// Error is a profile that cannot be used: where, and why. Line is 1-based, 0
// when the file as a whole is meant.
type Error struct {
	File string
	Line int
	Why  string
}

func (e *Error) Error() string { return tomlpos.Message("profile", e.File, e.Line, e.Why) }

// Find returns a profile by the name of one that comes with the program, or
// from a TOML file.
func Find(nameOrFile string) (Profile, error) {
	if file, ok := shipped[nameOrFile]; ok {
		text, err := data.ReadFile(file)
		if err != nil {
			return Profile{}, err
		}
		return Parse(nameOrFile, text)
	}
	return Load(nameOrFile)
}

// Text is the text of a profile that comes with the program, false when there
// is none of that name.
func Text(name string) ([]byte, bool) {
	file, ok := shipped[name]
	if !ok {
		return nil, false
	}
	text, err := data.ReadFile(file)
	return text, err == nil
}

// Load reads a profile from a TOML file.
func Load(path string) (Profile, error) {
	text, err := plaintext.ReadFile(path)
	if errors.Is(err, os.ErrNotExist) {
		return Profile{}, &Error{File: path, Why: "no such file, and no profile of that name (there are " + strings.Join(Names(), ", ") + ")"}
	}
	if err != nil {
		return Profile{}, &Error{File: path, Why: err.Error()}
	}
	return Parse(path, text)
}

// Parse reads a profile from TOML text; name is used in errors. What the text
// does not set is as in Default. The error is one of those of Check: of what cannot
// be read, before what cannot stand.
func Parse(name string, text []byte) (Profile, error) {
	p, bad := read(name, text)
	if len(bad) > 0 {
		return Profile{}, bad[0]
	}
	return p, nil
}

// Check lists all that is wrong with the text of a profile, line by line.
func Check(name string, text []byte) []*Error {
	_, bad := read(name, text)
	slices.SortStableFunc(bad, func(a, b *Error) int { return a.Line - b.Line })
	return bad
}

// read reads a text as far as it can be read, with all that is wrong with it.
func read(name string, text []byte) (Profile, []*Error) {
	var p Profile
	var out []*Error
	faults, whole := tomlpos.Decode(text, func(text []byte) error {
		p = Default()
		return toml.NewDecoder(bytes.NewReader(text)).DisallowUnknownFields().Decode(&p)
	})
	for _, f := range faults {
		out = append(out, &Error{name, f.Line, f.Why})
	}
	if !whole {
		return p, out
	}
	lines := tomlpos.Lines(text)
	var bad []problem
	if p.Words != nil {
		p.Words.file, p.Words.lines = name, lines
		bad = p.Words.normal()
	}
	for _, b := range append(bad, p.problems()...) {
		line := tomlpos.Of(lines, b.key)
		if !slices.ContainsFunc(faults, func(f tomlpos.Fault) bool { return f.Line == line && line > 0 }) { // what stands there was not read
			out = append(out, &Error{name, line, b.key + ": " + b.why})
		}
	}
	p.StatementCells = canonical(p.StatementCells)
	if p.EntryMark != NoMark {
		p.EntryMark = canonical(p.EntryMark)
	}
	return p, out
}
