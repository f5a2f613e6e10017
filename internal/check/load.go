package check

import (
	"fmt"
	"io"
	"os"

	"continuo/internal/source"
)

// AccountSuffix is what the name of an edition's account adds to its own.
const AccountSuffix = ".account.jsonl"

// maxEdition bounds the files that are read besides the sources.
const maxEdition = 1 << 30

// Files reads an edition, the account beside it and the sources from disk and
// checks them. An error means that one of them could not be read at all;
// skipped are files in the sources that were passed over. people are the files
// of decisions and house rules.
func Files(edition string, sources []string, people ...string) (rep Report, skipped []source.Skipped, err error) {
	ed, err := read(edition)
	if err != nil {
		return rep, nil, err
	}
	acc, err := read(edition + AccountSuffix)
	if err != nil {
		return rep, nil, err
	}
	files, skipped, err := source.Open(sources)
	if err != nil {
		return rep, skipped, err
	}
	var texts [][]byte
	for _, p := range people {
		text, err := read(p)
		if err != nil {
			return rep, skipped, err
		}
		texts = append(texts, text)
	}
	return Verify(ed, acc, files, texts...), skipped, nil
}

func read(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	info, err := f.Stat()
	switch {
	case err != nil:
		return nil, err
	case !info.Mode().IsRegular():
		return nil, fmt.Errorf("%q: not a file", path)
	case info.Size() > maxEdition:
		return nil, fmt.Errorf("%q: too large: %d bytes, the limit is %d", path, info.Size(), maxEdition)
	}
	return io.ReadAll(io.LimitReader(f, maxEdition))
}
