// Package demo holds three invented titles: their print texts and the paper
// braille volumes that were set from them. Authors, publishers, libraries and
// places are made up; any likeness is chance. The volumes are made by the
// generator in gen with liblouis (go generate) and kept here, so that the demo
// needs nothing installed.
package demo

import (
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
}

// Titles lists the demo's titles.
var Titles = []Title{
	{"bell", "The Bell Under the Water",
		"United Kingdom, UEB contracted; three volumes; a page line on every page; notes at the end of each volume; volume two ends in mid-sentence of a chapter",
		"print.txt", []string{"bell-1.brf", "bell-2.brf", "bell-3.brf"}},
	{"baker", "The Winter Baker",
		"United Kingdom, SEB contracted, no capitals; two volumes; double line spacing; a page line on odd pages only",
		"print.txt", []string{"Winter Baker vol 1.brf", "Winter Baker vol 2.brf"}},
	{"weather", "The Backyard Weather Book",
		"North America, EBAE contracted; two volumes; page numbers in corners shared with text; full rows for print page turns",
		"print.txt", []string{"WEATHERv01.BRF", "WEATHERv02.BRF"}},
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
