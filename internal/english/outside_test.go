package english

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"compress/zlib"
	"context"
	"encoding/binary"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"sync"
	"testing"

	"continuo/internal/cell"
	"continuo/internal/louis"
)

// The tests take their open texts and word lists from Debian packages and from
// the Go source tree, and their braille from liblouis. What is missing is
// skipped loudly, or fails where CONTINUO_REQUIRE_OUTSIDE=1 is set.

// missing skips or fails the test for want of a package.
func missing(t testing.TB, what, pkg string, err error) {
	t.Helper()
	if os.Getenv("CONTINUO_REQUIRE_OUTSIDE") == "1" {
		t.Fatalf("%s is missing: install the package %s (%v)", what, pkg, err)
	}
	t.Skipf("SKIPPED: %s is missing (install the package %s); nothing was checked against it: %v", what, pkg, err)
}

var findLouis = sync.OnceValues(louis.Find)

// table names liblouis' table of a code and grade.
func table(v Variant) string {
	switch {
	case v.Code == UEB && v.Contracted:
		return "en-ueb-g2.ctb"
	case v.Code == UEB:
		return "en-ueb-g1.ctb"
	case v.Code == SEB && v.Contracted:
		return "en-GB-g2.ctb"
	case v.Code == SEB:
		return "en-gb-g1.utb"
	case v.Contracted:
		return "en-us-g2.ctb"
	}
	return "en-us-g1.ctb"
}

// louisCells translates lines of print to canonical cells with liblouis. For a
// variant without capitals the lines are made lower case first.
func louisCells(t testing.TB, v Variant, lines []string) [][]byte {
	t.Helper()
	tr, ok := findLouis()
	if !ok {
		missing(t, "liblouis' program lou_translate", "liblouis-bin and liblouis-data", exec.ErrNotFound)
	}
	if !v.Capitals {
		low := make([]string, len(lines))
		for i, l := range lines {
			low[i] = strings.ToLower(l)
		}
		lines = low
	}
	got, err := tr.Forward(context.Background(), table(v), lines)
	if err != nil {
		t.Fatal(err)
	}
	out := make([][]byte, len(got))
	for i, g := range got {
		for _, r := range g {
			if c, ok := cell.FromRune(r); ok {
				out[i] = append(out[i], c)
			} else {
				out[i] = append(out[i], string(r)...)
			}
		}
		if v.Code == EBAE {
			out[i] = withoutLetterSigns(out[i])
		}
	}
	return out
}

// withoutLetterSigns mends liblouis' letter signs before the words a, I and O:
// EBAE 1994, rule II, section 12 gives these words none.
func withoutLetterSigns(cells []byte) []byte {
	fields := strings.Split(string(cells), " ")
	for i, f := range fields {
		fields[i] = letterSignWord.ReplaceAllString(f, "$1$2$3")
	}
	return []byte(strings.Join(fields, " "))
}

var letterSignWord = regexp.MustCompile(`^([^a-z;]*);(,?[aio])([^a-z]*|'[a-z]+|--.*)$`)

// kjvBible returns the King James Bible, a verse a line (package bible-kjv).
func kjvBible(t testing.TB) []string {
	t.Helper()
	out, err := exec.Command("bible", "-f", "-l3000", "gen1:1-rev22:21").Output()
	if err != nil || len(out) == 0 {
		missing(t, "the King James Bible", "bible-kjv", err)
	}
	var verses []string
	for _, l := range strings.Split(string(out), "\n") {
		if _, v, ok := strings.Cut(l, " "); ok {
			verses = append(verses, tidy(v))
		}
	}
	return verses
}

// novel returns the paragraphs of one of the novels in package
// r-cran-janeaustenr: emma, mansfieldpark, northangerabbey, persuasion,
// prideprejudice, sensesensibility.
func novel(t testing.TB, name string) []string {
	t.Helper()
	all, err := allNovels()
	if err != nil || len(all[name]) == 0 {
		missing(t, "the novel "+name, "r-cran-janeaustenr", err)
	}
	return paragraphs(all[name])
}

var allNovels = sync.OnceValues(readNovels)

// readNovels reads R's lazy-load data file: chunks of a length and zlib data,
// each a serialised object whose strings are tagged 00 04 00 09 (R Internals,
// serialisation formats).
func readNovels() (map[string][]string, error) {
	files, _ := filepath.Glob("/usr/lib/R/site-library/janeaustenr/data/Rdata.rdb")
	if len(files) == 0 {
		return nil, errors.New("no janeaustenr data file")
	}
	data, err := os.ReadFile(files[0])
	if err != nil {
		return nil, err
	}
	out := map[string][]string{}
	for len(data) > 6 {
		r := bytes.NewReader(data[4:])
		z, err := zlib.NewReader(r)
		if err != nil {
			return nil, err
		}
		obj, err := io.ReadAll(z)
		if err != nil {
			return nil, err
		}
		if lines := rStrings(obj); len(lines) > 100 {
			out[novelName(lines)] = lines
		}
		data = data[len(data)-r.Len():]
	}
	return out, nil
}

func rStrings(obj []byte) []string {
	tag := []byte{0, 4, 0, 9}
	var out []string
	for i := bytes.Index(obj, tag); i >= 0 && i+8 <= len(obj); {
		n := int(binary.BigEndian.Uint32(obj[i+4:]))
		if n > len(obj)-i-8 {
			break
		}
		out = append(out, string(obj[i+8:i+8+n]))
		obj = obj[i+8+n:]
		i = bytes.Index(obj, tag)
	}
	return out
}

func novelName(lines []string) string {
	first := strings.ToLower(lines[0])
	for _, n := range []string{"emma", "mansfield park", "northanger abbey", "persuasion", "pride and prejudice", "sense and sensibility"} {
		if strings.Contains(first, n) {
			return strings.ReplaceAll(strings.ReplaceAll(n, " and ", ""), " ", "")
		}
	}
	return first
}

// opticks returns Newton's Opticks from the Go source tree.
func opticks(t testing.TB) []string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(runtime.GOROOT(), "src/testdata/Isaac.Newton-Opticks.txt"))
	if err != nil {
		missing(t, "the Opticks text", "of the Go source tree", err)
	}
	return paragraphs(strings.Split(strings.ReplaceAll(string(b), "_", ""), "\n"))
}

// devil returns the entries of the Devil's Dictionary (package dict-devil).
func devil(t testing.TB) []string {
	t.Helper()
	f, err := os.Open("/usr/share/dictd/devil.dict.dz")
	if err != nil {
		missing(t, "the Devil's Dictionary", "dict-devil", err)
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	b, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	return paragraphs(strings.Split(string(b), "\n"))
}

// quotations returns modern short quotations (package fortunes).
func quotations(t testing.TB) []string {
	t.Helper()
	var lines []string
	for _, n := range []string{"people", "literature", "men-women", "law", "work", "politics", "science"} {
		b, err := os.ReadFile("/usr/share/games/fortunes/" + n)
		if err != nil {
			missing(t, "the quotations "+n, "fortunes", err)
		}
		lines = append(lines, strings.Split(strings.ReplaceAll(string(b), "\n%\n", "\n\n"), "\n")...)
	}
	return paragraphs(lines)
}

// wordList returns the words of a Debian word list made of a-z only, in lower
// case, without doubles.
func wordList(t testing.TB, name, pkg string) []string {
	t.Helper()
	f, err := os.Open("/usr/share/dict/" + name)
	if err != nil {
		missing(t, "the word list "+name, pkg, err)
	}
	defer f.Close()
	var out []string
	seen := map[string]bool{}
	plain := regexp.MustCompile(`^[a-zA-Z]?[a-z]+$`)
	sc := bufio.NewScanner(f)
	for sc.Scan() {
		w := sc.Text()
		if l := strings.ToLower(w); plain.MatchString(w) && !seen[l] {
			seen[l] = true
			out = append(out, l)
		}
	}
	return out
}

// paragraphs joins lines up to blank ones and tidies the result.
func paragraphs(lines []string) []string {
	var out []string
	var cur []string
	flush := func() {
		if len(cur) > 0 {
			if p := tidy(strings.Join(cur, " ")); p != "" {
				out = append(out, p)
			}
			cur = cur[:0]
		}
	}
	for _, l := range lines {
		if strings.TrimSpace(l) == "" {
			flush()
			continue
		}
		cur = append(cur, strings.TrimSpace(l))
	}
	flush()
	return out
}

var (
	openQuote  = regexp.MustCompile(`(^|[\s(\[—-])"([^\s"])`)
	blankRuns  = regexp.MustCompile(`\s+`)
	doubleDash = regexp.MustCompile(`\s*--+\s*`)
	notPrint   = regexp.MustCompile("[^ -~—“”£éèêàâôüöïëçæœ]")
	dotRows    = regexp.MustCompile(`\.\s?\.\s?\.[. ]*`)
)

// tidy makes one paragraph of print: directed double quotes, straight
// apostrophes, one dash sign, single blanks, no markup.
func tidy(p string) string {
	p = strings.NewReplacer("_", "", "’", "'", "‘", "'", "*", "", "{", "", "}", "", "`", "'").Replace(p)
	p = doubleDash.ReplaceAllString(p, "—")
	p = openQuote.ReplaceAllString(p, "$1“$2")
	p = strings.ReplaceAll(p, `"`, "”")
	p = notPrint.ReplaceAllString(p, "")
	p = dotRows.ReplaceAllString(p, "... ")
	return strings.TrimSpace(blankRuns.ReplaceAllString(p, " "))
}

// words counts the words of lines.
func words(lines []string) int {
	n := 0
	for _, l := range lines {
		n += len(strings.Fields(l))
	}
	return n
}

// some returns lines from the start up to about n words.
func some(lines []string, n int) []string {
	for i, l := range lines {
		if n -= len(strings.Fields(l)); n < 0 {
			return lines[:i]
		}
	}
	return lines
}

func TestCorpora(t *testing.T) {
	for name, lines := range map[string][]string{"bible": kjvBible(t), "emma": novel(t, "emma"), "opticks": opticks(t), "devil": devil(t), "quotations": quotations(t)} {
		n := words(lines)
		t.Logf("%-10s %d paragraphs, %d words; %q", name, len(lines), n, lines[len(lines)/2])
		if n < 30_000 {
			t.Errorf("%s has %d words: its text was not read whole", name, n)
		}
		if dir := os.Getenv("DUMP"); dir != "" {
			os.WriteFile(dir+"/"+name+".txt", []byte(strings.Join(lines, "\n")), 0o644)
		}
	}
}
