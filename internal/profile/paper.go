package profile

import (
	"fmt"
	"slices"
	"strings"
)

// Paper is the page of an embosser, for the formats that have pages. With
// Lines 0 there are none.
type Paper struct {
	Cells int `toml:"cells"` // cells a line
	Lines int `toml:"lines"` // lines a page, the page number's included
	// Numbers says where the page number stands, on a line of its own: one of
	// PaperNumbers, "" for the first.
	Numbers string `toml:"numbers"`
	// BothSides says that the paper is embossed on both sides.
	BothSides bool `toml:"both_sides"`
	// VolumePages is how many pages, sides of paper, a volume has at most; 0
	// for one volume.
	VolumePages int `toml:"volume_pages"`
}

// PaperNumbers are the places of page numbers.
var PaperNumbers = []string{"top-right", "top-centre", "top-left", "bottom-right", "bottom-centre", "bottom-left", "none"}

// Limits of a page, in cells and lines.
const (
	MinCells, MaxCells = 12, 200
	MinLines, MaxLines = 5, 100

	MinVolumePages, MaxVolumePages = 5, 1000
)

// Problem tells which value cannot stand, and why; "" for none.
func (p Paper) Problem() (key, why string) {
	switch {
	case p.Numbers != "" && !slices.Contains(PaperNumbers, p.Numbers):
		return "numbers", fmt.Sprintf("must be one of %s, not %q", quoted(PaperNumbers), p.Numbers)
	case p.VolumePages != 0 && (p.VolumePages < MinVolumePages || p.VolumePages > MaxVolumePages):
		return "volume_pages", fmt.Sprintf("must be %d to %d pages a volume, not %d", MinVolumePages, MaxVolumePages, p.VolumePages)
	case p.VolumePages != 0 && p.Lines == 0:
		return "volume_pages", "needs a page size; without one there are no pages"
	case p.Lines == 0 && p.Cells == 0:
		return "", ""
	case p.Cells < MinCells || p.Cells > MaxCells:
		return "cells", fmt.Sprintf("must be %d to %d cells a line, not %d", MinCells, MaxCells, p.Cells)
	case p.Lines < MinLines || p.Lines > MaxLines:
		return "lines", fmt.Sprintf("must be %d to %d lines a page, not %d", MinLines, MaxLines, p.Lines)
	}
	return "", ""
}

// ParsePaper reads a size such as 32x27: cells a line, lines a page.
func ParsePaper(s string) (Paper, error) {
	var p Paper
	n, err := fmt.Sscanf(strings.ToLower(s), "%dx%d", &p.Cells, &p.Lines)
	if err != nil || n != 2 || fmt.Sprintf("%dx%d", p.Cells, p.Lines) != strings.ToLower(s) {
		return p, fmt.Errorf("must be cells and lines, such as 32x27, not %q", s)
	}
	if key, why := p.Problem(); why != "" || p.Lines == 0 {
		return p, fmt.Errorf("%s %s", key, why)
	}
	return p, nil
}
