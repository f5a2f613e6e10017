package main

import (
	"fmt"
	"os"
	"regexp"
	"strings"
)

// kind says what a block of the print text is.
type kind int

const (
	paragraph kind = iota
	chapter        // "# Heading"
	section        // "## Heading"
	verse          // lines that begin with four blanks
	items          // "- item" or "1. item"
	scene          // "* * *"
	turn           // "[p. 7]" between two blocks
)

// block is one element of a print text. Lines holds the lines of verse and the
// items of a list; Text everything else.
type block struct {
	kind  kind
	text  string
	lines []string
}

// title is a print text: its title page as fields, its blocks, its notes by
// number.
type title struct {
	fields map[string]string
	blocks []block
	notes  map[string]string
}

var (
	turnAlone = regexp.MustCompile(`^\[p\. (\w+)\]$`)
	noteStart = regexp.MustCompile(`^\[(\d+)\] `)
	itemStart = regexp.MustCompile(`^(- |\d+\. |\[p\. )`)
)

// readTitle parses the print text in file.
func readTitle(file string) (*title, error) {
	raw, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	parts := strings.Split(strings.TrimSpace(string(raw)), "\n\n")
	t := &title{fields: map[string]string{}, notes: map[string]string{}}
	for _, line := range strings.Split(parts[0], "\n") {
		key, value, ok := strings.Cut(line, ": ")
		if !ok {
			return nil, fmt.Errorf("%s: %q is no field of the title page", file, line)
		}
		t.fields[key] = value
	}
	for _, p := range parts[1:] {
		if m := noteStart.FindStringSubmatch(p); m != nil {
			t.notes[m[1]] = unwrap(p[len(m[0]):])
		} else if p != "# Notes" {
			t.blocks = append(t.blocks, readBlock(p))
		}
	}
	return t, nil
}

func readBlock(p string) block {
	switch {
	case turnAlone.MatchString(p):
		return block{kind: turn, text: turnAlone.FindStringSubmatch(p)[1]}
	case strings.HasPrefix(p, "## "):
		return block{kind: section, text: p[3:]}
	case strings.HasPrefix(p, "# "):
		return block{kind: chapter, text: p[2:]}
	case p == "* * *":
		return block{kind: scene}
	case strings.HasPrefix(p, "    "):
		return block{kind: verse, lines: trimAll(strings.Split(p, "\n"))}
	case itemStart.MatchString(p) && !strings.HasPrefix(p, "[p"):
		return block{kind: items, lines: strings.Split(p, "\n")}
	}
	return block{kind: paragraph, text: unwrap(p)}
}

func unwrap(p string) string { return strings.Join(strings.Fields(p), " ") }

func trimAll(lines []string) []string {
	for i := range lines {
		lines[i] = strings.TrimSpace(lines[i])
	}
	return lines
}
