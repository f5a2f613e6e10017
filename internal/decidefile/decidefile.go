// Package decidefile finds, reads and writes the file of decisions that stands
// beside a title.
package decidefile

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"continuo/internal/atomicfile"
	"continuo/internal/decide"
	"continuo/internal/plaintext"
)

// MaxBytes is how large a file of decisions may be.
const MaxBytes = 16 << 20

// Beside is the file of decisions of a title given as SOURCE arguments: in a
// folder title.decisions.toml; beside a zip its name before that; beside
// volume files title.decisions.toml when it is there, else with the common
// name of the volumes, stem, before it.
func Beside(args []string, stem string) string {
	if len(args) == 0 {
		return decide.FileName
	}
	p := args[0]
	info, err := os.Stat(p)
	switch {
	case err == nil && info.IsDir():
		return filepath.Join(p, decide.FileName)
	case strings.EqualFold(filepath.Ext(p), ".zip"):
		return strings.TrimSuffix(p, filepath.Ext(p)) + "." + decide.FileName
	}
	common := filepath.Join(filepath.Dir(p), decide.FileName)
	if _, err := os.Stat(common); err == nil || stem == "" {
		return common
	}
	return filepath.Join(filepath.Dir(p), stem+"."+decide.FileName)
}

// Read returns the text of a file of decisions and what it says; both empty
// when there is no such file.
func Read(path string) (text []byte, f *decide.File, err error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, &decide.File{Version: 1}, nil
	case err != nil:
		return nil, nil, err
	case !info.Mode().IsRegular():
		return nil, nil, &decide.Error{File: path, Why: "not a file"}
	case info.Size() > MaxBytes:
		return nil, nil, &decide.Error{File: path, Why: fmt.Sprintf("too large: %d bytes, the limit is %d", info.Size(), MaxBytes)}
	}
	if text, err = plaintext.ReadFile(path); err != nil {
		return nil, nil, err
	}
	f, err = decide.Parse(path, text)
	return text, f, err
}

// Change reads a file of decisions, changes its text and writes it whole. The
// text is read again just before, so that nothing of another person is lost.
func Change(path string, change func(text []byte) ([]byte, error)) error {
	text, _, err := Read(path)
	if err != nil {
		return err
	}
	out, err := change(text)
	if err != nil {
		return err
	}
	return atomicfile.Write(path, out)
}
