package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"

	"continuo/internal/plaintext"
	"continuo/internal/source"
)

// openSources reads what the arguments name.
func openSources(paths []string) ([]*source.File, []source.Skipped, error) {
	for _, p := range paths {
		if err := isThere(p, "SOURCE is a volume file, a folder or a zip"); err != nil {
			return nil, nil, err
		}
	}
	files, skipped, err := source.Open(paths)
	if err == nil {
		return files, skipped, nil
	}
	f := &fault{code: Failed, what: err.Error(), hint: "SOURCE is a volume file in Braille ASCII, Unicode braille or PEF, a folder of such files, or a zip"}
	var advised *source.Advised
	if errors.As(err, &advised) {
		f.hint = advised.Advice
	}
	f.more = skippedLines(skipped)
	return nil, nil, f
}

// isThere refuses a source that is not there or cannot be asked for, with a
// hint. A quotation mark in its name is that of "C:\My Books\", as Windows passes
// it on: no name there has one, and the system says that the name cannot be.
func isThere(path, hint string) error {
	_, err := os.Stat(path)
	var pe *fs.PathError
	switch {
	case err == nil:
		return nil
	case strings.Contains(path, `"`):
		return refuse("leave out the backslash before the closing quotation mark", "no such file or folder: %s", source.Quote(path))
	case !errors.Is(err, fs.ErrNotExist) && errors.As(err, &pe):
		return refuse(hint, "%s: %s", source.Quote(path), pe.Err)
	}
	return refuse(hint, "no such file or folder: %s", source.Quote(path))
}

// readPlain reads a text file that a person wrote; the error names it.
func readPlain(path string) ([]byte, error) {
	text, err := plaintext.ReadFile(path)
	var pe *fs.PathError
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, fmt.Errorf("no such file: %s", source.Quote(path))
	case errors.As(err, &pe):
		return nil, fmt.Errorf("%s: %w", source.Quote(path), pe.Err)
	}
	return text, err
}

func skippedLines(skipped []source.Skipped) []string {
	var out []string
	for _, s := range skipped {
		out = append(out, "passed over: "+s.Path+": "+s.Why)
	}
	return out
}

// braillePages counts the pages of all files, as the files divide them.
func braillePages(files []*source.File) int {
	n := 0
	for _, f := range files {
		n += len(f.Pages)
	}
	return n
}

// oneLine keeps text that comes from outside on one line.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }
