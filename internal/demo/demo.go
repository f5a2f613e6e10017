// Package demo holds three invented titles: their print texts and the paper
// braille volumes that were set from them. Authors, publishers, libraries and
// places are made up; any likeness is chance. The volumes are made by the
// generator in gen with liblouis (go generate) and kept here, so that the demo
// needs nothing installed.
package demo

import (
	"bytes"
	"embed"
	"fmt"
	"os"
	"path"
	"path/filepath"
)

//go:generate go run ./gen

//go:embed data
var data embed.FS

// Title is one demo title.
type Title struct {
	Folder  string   // its folder, in data and in what Write makes
	Name    string   // as on its title page
	About   string   // the paper edition, in plain words
	Print   string   // name of the print text
	Volumes []string // names of the paper volumes, in order
	Excerpt Excerpt
}

// Titles lists the demo's titles.
var Titles = []Title{
	{"bell", "The Bell Under the Water",
		"United Kingdom, UEB contracted; three volumes; a page line on every page; notes at the end of each volume; volume two ends in mid-sentence of a chapter",
		"print.txt", []string{"bell-1.brf", "bell-2.brf", "bell-3.brf"},
		Excerpt{0, 12, 2, 3, 4, "a calf, and he turned the leaves with the tip of a paper knife. \"Here we are. 'Paid to Jn. Arkle, founder, for one bell, the weight 31 hundredweight, the sum of 212 pounds. ..."}},
	{"baker", "The Winter Baker",
		"United Kingdom, SEB contracted, no capitals; two volumes; double line spacing; a page line on odd pages only",
		"print.txt", []string{"Winter Baker vol 1.brf", "Winter Baker vol 2.brf"},
		Excerpt{0, 12, 3, 5, 4, "He tried wood. The grate was too small, and it smoked. He tried to knead by hand, as the machine had frozen, but the patent yeast had died in its tin."}},
	{"weather", "The Backyard Weather Book",
		"North America, EBAE contracted; two volumes; page numbers in corners shared with text; full rows for print page turns; a glossary",
		"print.txt", []string{"WEATHERv01.BRF", "WEATHERv02.BRF"},
		Excerpt{0, 14, 2, 2, 3, "eyes, as sailors did for hundreds of years before there were cups. Here is the scale that I go by. It has been worn down to fit a yard."}},
}

// Volume returns one paper volume of the title.
func (t Title) Volume(name string) ([]byte, error) {
	return data.ReadFile(path.Join("data", t.Folder, name))
}

// PrintText returns the print text of the title.
func (t Title) PrintText() ([]byte, error) {
	return data.ReadFile(path.Join("data", t.Folder, t.Print))
}

// Write puts the paper volumes and the print text of the title into the
// folders dir/Folder/paper and dir/Folder, and returns the folder of the
// volumes. dir/Folder must not exist yet.
func (t Title) Write(dir string) (paper string, err error) {
	folder := filepath.Join(dir, t.Folder)
	paper = filepath.Join(folder, "paper")
	if _, err := os.Lstat(folder); err == nil {
		return "", fmt.Errorf("folder %q exists already", folder)
	}
	if err := os.MkdirAll(paper, 0o777); err != nil {
		return "", err
	}
	text, err := t.PrintText()
	if err != nil {
		return "", err
	}
	if err := os.WriteFile(filepath.Join(folder, t.Print), text, 0o666); err != nil {
		return "", err
	}
	for _, name := range t.Volumes {
		text, err := t.Volume(name)
		if err != nil {
			return "", err
		}
		if err := os.WriteFile(filepath.Join(paper, name), text, 0o666); err != nil {
			return "", err
		}
	}
	return paper, nil
}

// Excerpt is a place where a page of paper ends in mid-text.
type Excerpt struct {
	Volume, Page int    // index of the volume; page from 1
	Up, Down     int    // lines shown of the end of the page and of the next one
	Lines        int    // lines shown of the edition
	Print        string // the text there
}

// Before returns the lines on paper; blank lines at the end of the page are
// passed over, the number in its last line is shown.
func (x Excerpt) Before(t Title) ([][]byte, error) {
	text, err := t.Volume(t.Volumes[x.Volume])
	if err != nil {
		return nil, err
	}
	pages := bytes.Split(text, []byte("\f"))
	first := bytes.Split(bytes.TrimRight(pages[x.Page-1], "\r\n"), []byte("\n"))
	next := bytes.Split(pages[x.Page], []byte("\n"))
	return append(first[len(first)-x.Up:], next[:x.Down]...), nil
}

// After returns the lines of the edition that hold the same text: from the
// line that has the first words of the excerpt; none when they are not there.
func (x Excerpt) After(t Title, edition []byte) [][]byte {
	before, err := x.Before(t)
	if err != nil {
		return nil
	}
	words := bytes.Fields(bytes.ToLower(before[0]))
	words = words[:min(3, len(words))]
	lines := bytes.Split(edition, []byte("\n"))
	for i := range lines {
		if holds(lines[i:], words) {
			return lines[i:min(len(lines), i+x.Lines)]
		}
	}
	return nil
}

// holds reports whether the words begin in the first of the lines, one after
// another.
func holds(lines [][]byte, words [][]byte) bool {
	here := bytes.Fields(bytes.ToLower(bytes.Join(lines[:min(2, len(lines))], []byte(" "))))
	first := len(bytes.Fields(lines[0]))
	for i := 0; i < first && i+len(words) <= len(here); i++ {
		n := 0
		for n < len(words) && bytes.Equal(here[i+n], words[n]) {
			n++
		}
		if n == len(words) {
			return true
		}
	}
	return false
}
