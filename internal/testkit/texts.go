package testkit

import (
	"bytes"
	"compress/gzip"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"sync"
)

// UnitKind is what one unit of a print text is.
type UnitKind int

const (
	Heading UnitKind = iota
	Para
	Verse    // one stanza
	Break    // a scene break
	Table    // lines of columns; the first line is the heads
	Index    // entries with numbers, each a line
	Recipe   // ingredients, each a line
	Exercise // exercises, each a line; lettered parts begin with a tab
)

// Unit is a heading (its lines), a paragraph (one line) or a stanza (its lines).
type Unit struct {
	Kind  UnitKind
	Lines []string
}

// Text is an open text, cleaned, in its order.
type Text struct {
	Name  string
	Units []Unit
}

// Missing says which part of the outside material is not installed.
type Missing struct{ What string }

func (m Missing) Error() string { return "not installed: " + m.What }

// Texts returns the open texts: six English novels (Debian's
// r-cran-janeaustenr), books of the King James text (bible-kjv-text), a
// dictionary with verse (dict-devil) and Newton's Opticks (testdata of the Go
// source tree). What is not installed is named in the error; the others are
// returned all the same.
func Texts() ([]Text, error) { return loadTexts() }

var loadTexts = sync.OnceValues(func() ([]Text, error) {
	var all []Text
	var missing []string
	for _, load := range []func() ([]Text, error){novels, bibleBooks, devil, opticks} {
		t, err := load()
		if err != nil {
			missing = append(missing, err.Error())
		}
		all = append(all, t...)
	}
	if missing != nil {
		return all, Missing{strings.Join(missing, "; ")}
	}
	return all, nil
})

// root is the top of the source tree.
func root() string {
	_, file, _, _ := runtime.Caller(0)
	return filepath.Join(filepath.Dir(file), "..", "..")
}

// novels reads the lazy-load database of the R package: each entry is a length
// and a zlib stream with a vector of lines in R's XDR form.
func novels() ([]Text, error) {
	const sub = "usr/lib/R/site-library/janeaustenr/data/Rdata.rdb"
	var data []byte
	for _, dir := range []string{"/", filepath.Join(root(), ".cache/texts/r-cran-janeaustenr")} {
		if b, err := os.ReadFile(filepath.Join(dir, sub)); err == nil {
			data = b
			break
		}
	}
	if data == nil {
		return nil, Missing{"r-cran-janeaustenr"}
	}
	var out []Text
	for r := bytes.NewReader(data); r.Len() > 4; {
		r.Seek(4, io.SeekCurrent)
		z, err := zlib.NewReader(r)
		if err != nil {
			return out, err
		}
		body, err := io.ReadAll(z)
		if err != nil {
			return out, err
		}
		lines := rStrings(body)
		if len(lines) < 100 {
			return out, fmt.Errorf("r-cran-janeaustenr: an entry of %d lines", len(lines))
		}
		t := fromLines("novel", lines)
		out = append(out, t)
		out[len(out)-1].Name = fmt.Sprint("novel", len(out))
	}
	return out, nil
}

// rStrings reads the strings of a serialised character vector.
func rStrings(b []byte) []string {
	i := bytes.Index(b, []byte{0, 0, 0, 16, 0, 0})
	if i < 0 {
		return nil
	}
	var out []string
	for i += 8; i+8 <= len(b) && binary.BigEndian.Uint32(b[i:])&255 == 9; {
		n := int(binary.BigEndian.Uint32(b[i+4:]))
		if i += 8; n < 0 || i+n > len(b) {
			break
		}
		out = append(out, string(b[i:i+n]))
		i += n
	}
	return out
}

var chapterLine = regexp.MustCompile(`^(?i:chapter|volume|book|part)\s+[IVXLC0-9]+\.?$`)

// fromLines groups plain lines at blank lines: chapter lines are headings,
// blocks with an indent are verse, the rest are paragraphs.
func fromLines(name string, lines []string) Text {
	t := Text{Name: name}
	var block []string
	flush := func() {
		if len(block) > 0 {
			t.add(block)
		}
		block = nil
	}
	for _, l := range lines {
		if strings.TrimSpace(l) == "" {
			flush()
			continue
		}
		block = append(block, strings.TrimRight(l, " \r"))
	}
	flush()
	return t
}

func (t *Text) add(block []string) {
	first := strings.TrimSpace(block[0])
	switch {
	case len(block) == 1 && chapterLine.MatchString(first):
		t.Units = append(t.Units, Unit{Heading, []string{strings.TrimSuffix(first, ".")}})
	case indented(block):
		var u Unit
		u.Kind = Verse
		for _, l := range block {
			if c := strings.TrimRight(clean(l), "—-"); c != "" { // at a line end a dash might join
				u.Lines = append(u.Lines, c)
			}
		}
		if len(u.Lines) > 0 && len(u.Lines) <= 12 {
			t.Units = append(t.Units, u)
		}
	default:
		if c := clean(strings.Join(block, " ")); len(c) > 20 {
			t.Units = append(t.Units, Unit{Para, []string{c}})
		}
	}
}

func indented(block []string) bool {
	for _, l := range block {
		if !strings.HasPrefix(l, "   ") || len(l) > 74 {
			return false
		}
	}
	return len(block) > 1
}

var (
	odd     = regexp.MustCompile(`[^A-Za-z0-9 .,;:!?'"()\-]|\.{2,}|^[^A-Za-z]*$`)
	spaces  = regexp.MustCompile(`\s+`)
	hanging = regexp.MustCompile(`([a-z])- ([a-z])`)
	dashes  = regexp.MustCompile(`\s*--+\s*`)
)

// clean makes plain text of print: no italics signs, directed quotation marks,
// straight apostrophes, unspaced dashes. Text with any other sign comes out
// empty: tables, formulas and notes of the editors are no prose.
func clean(s string) string {
	s = strings.NewReplacer("_", "", "’", "'", "‘", "'", "“", `"`, "”", `"`, "—", "--", "&c", "etc").Replace(s)
	s = strings.TrimSpace(spaces.ReplaceAllString(s, " "))
	if odd.MatchString(s) || strings.Contains(s, "  ") {
		return ""
	}
	s = dashes.ReplaceAllString(s, "—")
	s = hanging.ReplaceAllString(s, "$1-$2") // a hyphen before a blank and one at a line end look the same
	var b strings.Builder
	prev := ' '
	for _, r := range s {
		if r == '"' {
			if prev == ' ' || prev == '—' || prev == '(' {
				r = '“'
			} else {
				r = '”'
			}
		}
		b.WriteRune(r)
		prev = r
	}
	return b.String()
}

var bibleRanges = []struct{ name, spec string }{
	{"genesis", "Gen1:1-50:26"}, {"samuel", "1Sam1:1-31:13"}, {"psalms", "Psa1:1-150:6"},
	{"proverbs", "Prov1:1-31:31"}, {"matthew", "Matt1:1-28:20"}, {"luke", "Luke1:1-24:53"}, {"acts", "Acts1:1-28:31"},
}

var verseLine = regexp.MustCompile(`^[0-9]?[A-Za-z]+(\d+):(\d+) (.*)$`)

// bibleBooks asks the bible program for whole books, a verse a line. Genesis
// and Acts keep the verse numbers, a paragraph a verse; Psalms and Proverbs
// are set as verse.
func bibleBooks() ([]Text, error) {
	if _, err := exec.LookPath("bible"); err != nil {
		return nil, Missing{"bible-kjv"}
	}
	var out []Text
	for _, b := range bibleRanges {
		raw, err := exec.Command("bible", "-f", b.spec).Output()
		if err != nil {
			return out, fmt.Errorf("bible %s: %v", b.spec, err)
		}
		out = append(out, bibleText(b.name, strings.Split(string(raw), "\n")))
	}
	return out, nil
}

func bibleText(name string, lines []string) Text {
	t := Text{Name: name}
	chapter, pending := "", ""
	flush := func() {
		if pending != "" {
			t.Units = append(t.Units, Unit{Para, []string{pending}})
		}
		pending = ""
	}
	for _, l := range lines {
		m := verseLine.FindStringSubmatch(l)
		if m == nil {
			continue
		}
		if m[1] != chapter {
			flush()
			chapter = m[1]
			t.Units = append(t.Units, Unit{Heading, []string{"Chapter " + chapter}})
		}
		text := clean(m[3])
		switch {
		case text == "":
		case name == "psalms" || name == "proverbs":
			t.stanza(text)
		case name == "genesis" || name == "acts":
			t.Units = append(t.Units, Unit{Para, []string{m[2] + " " + text}})
		default:
			pending = strings.TrimSpace(pending + " " + text)
			if len(pending) > 300 {
				flush()
			}
		}
	}
	flush()
	return t
}

// stanza adds a verse cut at its colons and semicolons, two verses a stanza.
func (t *Text) stanza(text string) {
	var lines []string
	for text != "" {
		i := strings.IndexAny(text, ":;")
		if i < 0 || i+1 >= len(text) {
			lines = append(lines, strings.TrimSpace(text))
			break
		}
		lines = append(lines, strings.TrimSpace(text[:i+1]))
		text = text[i+1:]
	}
	if n := len(t.Units); n > 0 && t.Units[n-1].Kind == Verse && len(t.Units[n-1].Lines)+len(lines) <= 5 {
		t.Units[n-1].Lines = append(t.Units[n-1].Lines, lines...)
		return
	}
	t.Units = append(t.Units, Unit{Verse, lines})
}

// devil reads the dictionary, a gzip file with plain text.
func devil() ([]Text, error) {
	for _, f := range []string{"/usr/share/dictd/devil.dict.dz", filepath.Join(root(), ".cache/texts/dict-devil/usr/share/dictd/devil.dict.dz")} {
		raw, err := os.Open(f)
		if err != nil {
			continue
		}
		defer raw.Close()
		z, err := gzip.NewReader(raw)
		if err != nil {
			return nil, err
		}
		b, err := io.ReadAll(z)
		if err != nil {
			return nil, err
		}
		return []Text{fromLines("dictionary", strings.Split(string(b), "\n"))}, nil
	}
	return nil, Missing{"dict-devil"}
}

// opticks reads Newton's Opticks from the Go source tree.
func opticks() ([]Text, error) {
	out, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return nil, Missing{"the Go source tree"}
	}
	b, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(out)), "src/testdata/Isaac.Newton-Opticks.txt"))
	if err != nil {
		return nil, Missing{"testdata of the Go source tree"}
	}
	return []Text{fromLines("opticks", strings.Split(string(b), "\n"))}, nil
}
