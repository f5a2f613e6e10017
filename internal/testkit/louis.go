package testkit

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"

	"continuo/internal/cell"
)

// Code is one of the six English codes, with or without capitals.
type Code struct {
	System     string // "ueb", "seb" or "ebae"
	Contracted bool
	Capitals   bool
}

// String names the code in a few letters: ueb2c is contracted with capitals.
func (c Code) String() string {
	s := c.System + "1"
	if c.Contracted {
		s = c.System + "2"
	}
	if c.Capitals {
		return s + "c"
	}
	return s + "n"
}

// table is the liblouis table of the code.
func (c Code) table() string {
	switch c.System + fmt.Sprint(c.Contracted) {
	case "uebtrue":
		return "en-ueb-g2.ctb"
	case "uebfalse":
		return "en-ueb-g1.ctb"
	case "sebtrue":
		return "en-GB-g2.ctb"
	case "sebfalse":
		return "en-gb-g1.utb"
	case "ebaetrue":
		return "en-us-g2.ctb"
	}
	return "en-us-g1.ctb"
}

// piece is the longest text sent in one line: lou_translate cuts lines of
// about 680 Unicode cells.
const piece = 400

var louisVersion = sync.OnceValues(func() (string, error) {
	out, err := exec.Command("lou_translate", "--version").Output()
	if err != nil {
		return "", Missing{"liblouis-bin"}
	}
	return strings.SplitN(string(out), "\n", 2)[0], nil
})

// Translate puts lines of print into braille: one result a line, canonical
// cells. Longer lines go in pieces cut at the ends of sentences where that can
// be. Results are kept in the user's cache folder.
func Translate(c Code, lines []string) ([][]byte, error) {
	version, err := louisVersion()
	if err != nil {
		return nil, err
	}
	var in []string
	var from []int
	for i, l := range lines {
		if !c.Capitals {
			l = strings.ToLower(l)
		}
		for _, p := range pieces(l) {
			in = append(in, p)
			from = append(from, i)
		}
	}
	cells, err := cached(version+"|"+c.table(), strings.Join(in, "\n"), func(text string) ([]byte, error) {
		return runLouis(c.table(), text)
	})
	if err != nil {
		return nil, err
	}
	res := bytes.Split(bytes.TrimSuffix(cells, []byte("\n")), []byte("\n"))
	if len(res) != len(in) {
		return nil, fmt.Errorf("lou_translate %s: %d lines in, %d out", c.table(), len(in), len(res))
	}
	out := make([][]byte, len(lines))
	for k, r := range res {
		i := from[k]
		if len(out[i]) > 0 {
			out[i] = append(out[i], cell.Blank)
		}
		out[i] = append(out[i], bytes.TrimSpace(r)...)
	}
	return out, nil
}

// pieces cuts a line at blanks into parts of at most piece letters.
func pieces(l string) []string {
	var out []string
	for len(l) > piece {
		cut := -1
		for _, end := range []string{". ", "; ", ", ", " "} {
			if cut = strings.LastIndex(l[:piece], end); cut > piece/4 {
				cut += len(end)
				break
			}
		}
		if cut <= 0 {
			break
		}
		out = append(out, strings.TrimSpace(l[:cut]))
		l = l[cut:]
	}
	return append(out, l)
}

func runLouis(table, text string) ([]byte, error) {
	cmd := exec.Command("lou_translate", "unicode.dis,"+table)
	cmd.Stdin = strings.NewReader(text + "\n")
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("lou_translate %s: %v: %s", table, err, errs.String())
	}
	var cells []byte
	for _, r := range string(out) {
		if r == '\n' {
			cells = append(cells, '\n')
			continue
		}
		c, ok := cell.FromRune(r)
		if !ok {
			c = cell.Blank // a plain blank, or eight dots: never in these tables
		}
		cells = append(cells, c)
	}
	return cells, nil
}

// cached runs make once for each key and text, over runs of the tests too.
func cached(key, text string, make func(string) ([]byte, error)) ([]byte, error) {
	sum := sha256.Sum256([]byte(key + "\x00" + text))
	dir, err := os.UserCacheDir()
	if err != nil {
		return make(text)
	}
	dir = filepath.Join(dir, "continuo-testkit")
	name := filepath.Join(dir, hex.EncodeToString(sum[:12]))
	if b, err := os.ReadFile(name); err == nil {
		return b, nil
	}
	b, err := make(text)
	if err != nil {
		return nil, err
	}
	if os.MkdirAll(dir, 0o755) == nil {
		tmp, err := os.CreateTemp(dir, "new")
		if err == nil {
			_, werr := tmp.Write(b)
			if cerr := tmp.Close(); werr != nil || cerr != nil || os.Rename(tmp.Name(), name) != nil {
				os.Remove(tmp.Name())
			}
		}
	}
	return b, nil
}
