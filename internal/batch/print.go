package batch

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io"
	"os"
	"path/filepath"
	"time"

	"continuo/internal/catalogue"
	"continuo/internal/convert"
)

// racy is how much older than the moment of reading a file's time must be, so
// that a change right after the reading shows in it. The coarsest clock of file
// systems in use counts two seconds (FAT).
const racy = 3 * time.Second

// hashes knows the hashes of files that have not changed since an earlier run.
type hashes struct {
	known  map[string]catalogue.File
	rehash bool
}

// of returns a file with its hash, whether its bytes were read for it, and these where keep
// asks for them.
func (h *hashes) of(s Source, keep bool) (f catalogue.File, read bool, raw []byte, err error) {
	k, ok := h.known[s.Path]
	if ok && !h.rehash && k.Bytes == s.Bytes && k.Modified.Equal(s.Modified) && k.Modified.Before(k.Seen.Add(-racy)) {
		return k, false, nil, nil
	}
	f = catalogue.File{Path: s.Path, Modified: s.Modified, Seen: time.Now()}
	if keep {
		if raw, err = os.ReadFile(s.Path); err != nil {
			return f, true, nil, errors.New(quote(s.Path) + ": " + cause(err))
		}
		f.SHA256, f.Bytes = sum(raw), int64(len(raw))
		return f, true, raw, nil
	}
	f.SHA256, f.Bytes, err = sumFile(s.Path)
	return f, true, nil, err
}

func sumFile(path string) (sum string, size int64, err error) {
	f, err := os.Open(path)
	if err != nil {
		return "", 0, errors.New(quote(path) + ": " + cause(err))
	}
	defer f.Close()
	h := sha256.New()
	if size, err = io.Copy(h, f); err != nil {
		return "", 0, errors.New(quote(path) + ": " + cause(err))
	}
	return hex.EncodeToString(h.Sum(nil)), size, nil
}

func sum(data []byte) string { h := sha256.Sum256(data); return hex.EncodeToString(h[:]) }

// fingerprint is what an edition depends on: the tool, the settings, the names
// and bytes of the sources, and the files of the title beside them.
func fingerprint(settings, sidecar string, list []Source, files []catalogue.File) string {
	h := sha256.New()
	field(h, convert.Version)
	field(h, settings)
	for _, suffix := range []string{metadataSuffix, decisionsSuffix} {
		text, err := os.ReadFile(sidecar + suffix)
		switch {
		case err == nil:
			field(h, sum(text))
		case errors.Is(err, os.ErrNotExist):
			field(h, "")
		default:
			field(h, err.Error())
		}
	}
	for i, s := range list {
		field(h, s.Name)
		field(h, files[i].SHA256)
	}
	return hex.EncodeToString(h.Sum(nil))
}

func field(h hash.Hash, s string) { fmt.Fprintf(h, "%d:%s", len(s), s) }

// content names the bytes of the sources, whatever their names and order.
func content(files []catalogue.File) string {
	var sums []string
	for _, f := range files {
		sums = append(sums, f.SHA256)
	}
	return sum([]byte(fmt.Sprint(sorted(sums))))
}

// intact reports whether the files of an edition are as they were written. A
// file whose size or time differs is read.
func intact(folder string, list []catalogue.Edition) bool {
	if len(list) == 0 {
		return false
	}
	for _, e := range list {
		path := filepath.Join(folder, filepath.FromSlash(e.Path))
		info, err := os.Stat(path)
		if err != nil || info.Size() != e.Bytes {
			return false
		}
		if !info.ModTime().Equal(e.Modified) {
			if got, _, err := sumFile(path); err != nil || got != e.SHA256 {
				return false
			}
		}
	}
	return true
}
