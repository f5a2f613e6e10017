package shelf

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"sort"
	"strings"
	"syscall"

	"continuo/internal/lazy"
)

// Entry is one edition on a card. Path is relative to the card, with slashes.
type Entry struct {
	Key     string `json:"key"`
	Title   string `json:"title"`
	Author  string `json:"author,omitempty"`
	Cells   string `json:"title_cells,omitempty"`
	Code    string `json:"code,omitempty"`
	Pages   int    `json:"braille_pages,omitempty"`
	Path    string `json:"path"`
	Bytes   int64  `json:"bytes"`
	SHA256  string `json:"sha256"`
	Edition string `json:"edition"` // fingerprint of the edition in the archive
}

// Missing is a title that was wanted and is not on the card, and why.
type Missing struct {
	Key   string `json:"key"`
	Title string `json:"title"`
	Why   string `json:"why"`
}

// Card is the record of a card, kept on it as continuo/card.json.
type Card struct {
	Version  int       `json:"card"`
	Reader   string    `json:"reader,omitempty"` // a reader code, never a name
	Grouping string    `json:"folders"`
	Wishes   Wishes    `json:"wishes"`
	Titles   []Entry   `json:"titles"`
	Missing  []Missing `json:"not_delivered,omitempty"`
}

const (
	cardFile = dataDir + "/card.json"
	planFile = dataDir + "/plan.json"
	sumsFile = dataDir + "/sha256.txt"
	lockFile = dataDir + "/card.lock"
	indexBRF = "index.brf"
	indexWeb = "index.html"
	indexCSV = "index.csv"
)

// ErrNoCard is the error of a folder that holds no record of a card.
var ErrNoCard = errors.New("no record of a card")

// Damaged is the error of a card whose record cannot be used.
type Damaged struct{ Why string }

func (d *Damaged) Error() string { return d.Why }

// maxRecord bounds the record that is read from a card.
const maxRecord = 64 << 20

// Read reads the record of a card.
func Read(dir string) (*Card, error) { return readCard(dir, cardFile) }

func readCard(dir, name string) (*Card, error) {
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		return nil, ErrNoCard
	}
	f, err := os.Open(filepath.Join(dir, filepath.FromSlash(name)))
	if errors.Is(err, fs.ErrNotExist) || errors.Is(err, syscall.ENOTDIR) {
		return nil, ErrNoCard
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, maxRecord))
	if err != nil {
		return nil, err
	}
	c := &Card{}
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.DisallowUnknownFields()
	if err := dec.Decode(c); err != nil || c.Version != 1 {
		return nil, &Damaged{name + " on the card is damaged, or of a newer program"}
	}
	seen := map[string]bool{}
	for _, e := range c.Titles {
		if !safe(e.Path) || seen[strings.ToLower(e.Path)] {
			return nil, &Damaged{fmt.Sprintf("%s on the card names the file %q, which cannot be", name, e.Path)}
		}
		seen[strings.ToLower(e.Path)] = true
	}
	return c, nil
}

var safePath = lazy.Regexp(`^books(/[a-z0-9-]+)?/[a-z0-9-]+\.[a-z]+$`)

// safe reports whether a path of a record is one that this program gives.
func safe(p string) bool { return safePath().MatchString(p) && path.Clean(p) == p }

func (c *Card) encode() []byte {
	sort.Slice(c.Titles, func(i, j int) bool { return c.Titles[i].Path < c.Titles[j].Path })
	out, _ := json.MarshalIndent(c, "", " ")
	return append(out, '\n')
}

func sum(data []byte) string {
	h := sha256.Sum256(data)
	return hex.EncodeToString(h[:])
}

// fileSum hashes a file of a card.
func fileSum(p string) (string, int64, error) {
	f, err := os.Open(p)
	if err != nil {
		return "", 0, err
	}
	defer f.Close()
	h := sha256.New()
	n, err := io.Copy(h, f)
	return hex.EncodeToString(h.Sum(nil)), n, err
}

// sums is the list of checksums of a card, as sha256sum reads it.
func sums(list map[string]string) []byte {
	var paths []string
	for p := range list {
		paths = append(paths, p)
	}
	sort.Strings(paths)
	var b bytes.Buffer
	for _, p := range paths {
		fmt.Fprintf(&b, "%s *%s\n", list[p], p)
	}
	return b.Bytes()
}

// Fault is a file of a card that is not as it should be.
type Fault struct {
	Path string `json:"path"`
	Why  string `json:"why"`
}

// Verify reads every file of a card and compares it with the list of
// checksums.
func Verify(dir string) (files int, faults []Fault, err error) {
	card, err := Read(dir)
	if err != nil {
		return 0, nil, err
	}
	text, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(sumsFile)))
	if err != nil {
		return 0, []Fault{{sumsFile, "is missing or cannot be read"}}, nil
	}
	want := map[string]string{}
	for _, line := range strings.Split(strings.TrimSpace(string(text)), "\n") {
		if h, p, ok := strings.Cut(line, " *"); ok {
			want[p] = h
		}
	}
	for _, e := range card.Titles {
		if want[e.Path] != e.SHA256 {
			faults = append(faults, Fault{e.Path, "has another checksum in the list than in the record of the card"})
			want[e.Path] = e.SHA256
		}
	}
	var paths []string
	for p := range want {
		paths = append(paths, p)
	}
	sort.Strings(paths)
	for _, p := range paths {
		if !fs.ValidPath(p) {
			faults = append(faults, Fault{p, "is no path of a card"})
			continue
		}
		got, _, err := fileSum(filepath.Join(dir, filepath.FromSlash(p)))
		switch {
		case errors.Is(err, fs.ErrNotExist):
			faults = append(faults, Fault{p, "is missing"})
		case err != nil:
			faults = append(faults, Fault{p, "cannot be read: " + err.Error()})
		case got != want[p]:
			faults = append(faults, Fault{p, "was changed or is damaged"})
		}
	}
	return len(paths), faults, nil
}
