// Package louis translates print to braille and back with liblouis, through
// its lou_translate program in a process of its own: the library is not safe
// for threads and linking it would end the single static binary. The program
// is optional; its absence is no error.
package louis

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os/exec"
	"strings"
	"unicode/utf8"
)

// MaxLine is the most characters of one line that lou_translate is given; it
// cuts lines of about 680 braille characters without a word.
const MaxLine = 600

// Program is the name of the translator's program file.
const Program = "lou_translate"

// ErrTable says that the translator has no such table, or a damaged one.
var ErrTable = errors.New("the braille table cannot be used")

// Translator runs the lou_translate program at one path. It holds no state, so
// any number of goroutines may use it; each call starts a process.
type Translator struct {
	path, version string
}

// Find looks for the translator in the search path and asks its version. ok is
// false when it is not there or does not answer.
func Find() (t *Translator, ok bool) {
	p, err := exec.LookPath(Program)
	if err != nil {
		return nil, false
	}
	out, err := exec.Command(p, "--version").Output()
	if err != nil {
		return nil, false
	}
	first, _, _ := strings.Cut(string(out), "\n")
	i := strings.LastIndexByte(first, ' ')
	return &Translator{path: p, version: strings.TrimSpace(first[i+1:])}, true
}

// Path returns the program file's path.
func (t *Translator) Path() string { return t.path }

// Version returns liblouis' version, for example "3.24.0".
func (t *Translator) Version() string { return t.version }

// Forward translates lines of print, each without line end, to Unicode braille
// (U+2800 to U+28FF, a blank cell as a blank), one result a line. A line longer
// than MaxLine is translated in parts cut at blanks; blanks at line ends are
// not kept. table is the name of a liblouis table or a list of them.
func (t *Translator) Forward(ctx context.Context, table string, lines []string) ([]string, error) {
	out, err := t.run(ctx, "--forward", table, lines)
	for i := range out {
		out[i] = strings.ReplaceAll(out[i], "\u2800", " ")
	}
	return out, err
}

// Back translates lines of Unicode braille to print, one result a line, with
// the same cutting of long lines as Forward.
func (t *Translator) Back(ctx context.Context, table string, lines []string) ([]string, error) {
	in := make([]string, len(lines))
	for i, l := range lines {
		in[i] = strings.ReplaceAll(l, " ", "\u2800")
	}
	return t.run(ctx, "--backward", table, in)
}

// run sends one batch through one process: all is written, then all is read.
func (t *Translator) run(ctx context.Context, direction, table string, lines []string) ([]string, error) {
	if len(lines) == 0 {
		return nil, nil
	}
	if table == "" || strings.HasPrefix(table, "-") {
		return nil, fmt.Errorf("%w: %q is no table name", ErrTable, table)
	}
	parts, counts, err := cut(lines)
	if err != nil {
		return nil, err
	}
	cmd := exec.CommandContext(ctx, t.path, direction, "unicode.dis,"+table)
	cmd.Stdin = strings.NewReader(strings.Join(parts, "\n") + "\n")
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	if err := cmd.Run(); err != nil {
		return nil, fmt.Errorf("%s: %w: %s", Program, err, firstLine(stderr.String()))
	}
	got := strings.Split(strings.TrimSuffix(stdout.String(), "\n"), "\n")
	if stdout.Len() == 0 || len(got) != len(parts) {
		if msg := firstLine(stderr.String()); msg != "" {
			return nil, fmt.Errorf("%w: %s: %s", ErrTable, table, msg)
		}
		return nil, fmt.Errorf("%s: %d lines in, %d lines out with table %s", Program, len(parts), len(got), table)
	}
	return join(got, counts), nil
}

func firstLine(s string) string {
	s, _, _ = strings.Cut(strings.TrimSpace(s), "\n")
	return s
}

// cut makes the lines that are sent; counts tells how many parts a line has.
func cut(lines []string) (parts []string, counts []int, err error) {
	counts = make([]int, len(lines))
	for i, l := range lines {
		if strings.ContainsAny(l, "\n\r\x00") {
			return nil, nil, fmt.Errorf("%s: line %d of the batch holds a line end", Program, i+1)
		}
		for _, p := range split(l) {
			// the program reads backslash as an escape sign
			parts = append(parts, strings.ReplaceAll(p, `\`, `\\`))
			counts[i]++
		}
	}
	return parts, counts, nil
}

// split cuts a line into parts of at most MaxLine characters at blanks, or in
// mid-word where there is no blank.
func split(l string) []string {
	if utf8.RuneCountInString(l) <= MaxLine {
		return []string{l}
	}
	var out []string
	r := []rune(l)
	for len(r) > MaxLine {
		at := MaxLine
		for i := MaxLine; i > 0; i-- {
			if r[i] == ' ' || r[i] == 0x2800 {
				at = i
				break
			}
		}
		out = append(out, string(r[:at]))
		r = r[at:]
		for len(r) > 0 && (r[0] == ' ' || r[0] == 0x2800) {
			r = r[1:]
		}
	}
	return append(out, string(r))
}

// join puts the parts of each line together again.
func join(got []string, counts []int) []string {
	out := make([]string, len(counts))
	for i, n := range counts {
		if n == 1 {
			out[i] = got[0]
		} else {
			out[i] = strings.Join(got[:n], " ")
		}
		got = got[n:]
	}
	return out
}
