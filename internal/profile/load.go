package profile

import (
	"embed"
	"errors"
	"os"
	"strings"

	"github.com/pelletier/go-toml/v2"

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
	text, err := os.ReadFile(path)
	if errors.Is(err, os.ErrNotExist) {
		return Profile{}, &Error{File: path, Why: "no such file, and no profile of that name (there are " + strings.Join(Names(), ", ") + ")"}
	}
	if err != nil {
		return Profile{}, &Error{File: path, Why: err.Error()}
	}
	return Parse(path, text)
}

// Parse reads a profile from TOML text; name is used in errors. What the text
// does not set is as in Default.
func Parse(name string, text []byte) (Profile, error) {
	p := Default()
	dec := toml.NewDecoder(strings.NewReader(string(text))).DisallowUnknownFields()
	if err := dec.Decode(&p); err != nil {
		return Profile{}, decodeError(name, err)
	}
	lines := tomlpos.Lines(text)
	var bad []problem
	if p.Words != nil {
		p.Words.file, p.Words.lines = name, lines
		bad = p.Words.normal()
	}
	if bad = append(bad, p.problems()...); len(bad) > 0 {
		return Profile{}, &Error{name, tomlpos.Of(lines, bad[0].key), bad[0].key + ": " + bad[0].why}
	}
	p.StatementCells = canonical(p.StatementCells)
	if p.EntryMark != NoMark {
		p.EntryMark = canonical(p.EntryMark)
	}
	return p, nil
}

// decodeError turns an error of the TOML reader into one with file and line.
func decodeError(name string, err error) error {
	line, why := tomlpos.Fault(err)
	return &Error{name, line, why}
}
