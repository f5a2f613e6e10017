package decide

import (
	"crypto/sha256"
	"encoding/hex"
	"hash"

	"continuo/internal/cell"
	"continuo/internal/source"
)

// The cells that make an id: those of a line and of so many lines with cells
// before and after it. The wide ones tell places apart whose near ones are the
// same.
const (
	nearLines = 3
	wideLines = 24
)

// PlaceID is the stable id of a line: "line-" and the hash of the cells of the
// line and the three lines before and after it, then a short hash of the
// twenty-four before and after. Blank lines, line numbers and the file's name
// do not count.
func PlaceID(about About, f *source.File, line int) string {
	return string(about) + "-" + window(f, line, nearLines, 10) + "-" + window(f, line, wideLines, 4)
}

// TitleID is the stable id of a question about a title as a whole, made of
// what it is about.
func TitleID(kind string, parts ...string) string {
	h := sha256.New()
	for _, p := range append([]string{kind}, parts...) {
		h.Write([]byte(p))
		h.Write([]byte{0})
	}
	return string(Title) + "-" + hex.EncodeToString(h.Sum(nil))[:14]
}

// window hashes a line with n lines that have cells on each side, in digits
// hexadecimal digits.
func window(f *source.File, line, n, digits int) string {
	h := sha256.New()
	before := around(f, line, -1, n)
	for i := len(before) - 1; i >= 0; i-- {
		addLine(h, f.Text(before[i]))
	}
	h.Write([]byte{1}) // which of the lines it is
	addLine(h, f.Text(line))
	for _, i := range around(f, line, 1, n) {
		addLine(h, f.Text(i))
	}
	return hex.EncodeToString(h.Sum(nil))[:digits]
}

func addLine(h hash.Hash, text []byte) {
	h.Write(text[cell.Indent(text):])
	h.Write([]byte{'\n'})
}

// around lists up to n lines with cells before (step -1) or after a line, the
// nearest first.
func around(f *source.File, line, step, n int) []int {
	var out []int
	for i := line + step; i >= 0 && i < len(f.Lines) && len(out) < n; i += step {
		if len(f.Text(i)) > 0 {
			out = append(out, i)
		}
	}
	return out
}

// Show returns a line, or several in a row that have cells, with two lines
// round it.
func Show(f *source.File, line, lines int) []Shown {
	var out []Shown
	before := around(f, line, -1, 2)
	for i := len(before) - 1; i >= 0; i-- {
		out = append(out, Shown{string(f.Text(before[i])), false})
	}
	out = append(out, Shown{string(f.Text(line)), true})
	for n, i := range around(f, line, 1, lines+1) {
		out = append(out, Shown{string(f.Text(i)), n < lines-1})
	}
	return out
}
