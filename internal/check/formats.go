package check

import (
	"bytes"
	"fmt"
	"path"
	"path/filepath"
	"strings"

	"continuo/internal/cell"
	"continuo/internal/source"
)

// FormatReport is the outcome of a check of a file of another format against
// the edition in Braille ASCII that it was made with.
type FormatReport struct {
	OK        bool      `json:"ok"`
	Problems  []Problem `json:"problems"`
	NProblems int       `json:"problem_count"`
	Words     int       `json:"words"`
	Cells     int64     `json:"cells"`
}

// Formats are the endings of the formats that can be compared.
var Formats = []string{".txt", ".html", ".pef", ".ebrl"}

// Splits are the lines of the edition that go on a word of the line before, as
// its account names them.
func Splits(account []byte) ([]int, error) {
	acc, err := readLedger(account)
	if err != nil {
		return nil, fmt.Errorf("the account, line %d: %s", err.line, err.what)
	}
	return acc.tail.Splits, nil
}

// Format reads a file of another format and compares it, word for word and cell
// for cell, with the edition; splits are the lines of the edition that go on a
// word, as its account names them. What is no braille cell in the edition may
// be the cell of eight dots in the file.
func Format(name string, data, edition []byte, splits []int) (FormatReport, error) {
	files, err := formatFiles(name, data)
	if err != nil {
		return FormatReport{}, err
	}
	return compareFiles(name, files, edition, splits), nil
}

// FormatFolder is Format of an unpackaged eBraille publication.
func FormatFolder(dir string, edition []byte, splits []int) (FormatReport, error) {
	f, err := source.ParseEBrailleFolder(filepath.Base(dir), dir, true)
	if err != nil {
		return FormatReport{}, err
	}
	return compareFiles(f.Name, []*source.File{f}, edition, splits), nil
}

// compareFiles compares files, one after the other, with the edition.
func compareFiles(name string, files []*source.File, edition []byte, splits []int) FormatReport {
	want := wholeWords(edition, splits)
	rep := compareWords(name, want, linesOf(files, false))
	if !rep.OK {
		if less := compareWords(name, want, linesOf(files, true)); less.OK || less.Words > rep.Words {
			return less
		}
	}
	return rep
}

// compareWords compares every word of the edition with the lines of a file.
func compareWords(name string, want []wholeWord, lines [][]byte) FormatReport {
	rep := FormatReport{Problems: []Problem{}}
	add := func(line int, format string, a ...any) {
		rep.NProblems++
		rep.Problems = append(rep.Problems, Problem{Edition: line, What: fmt.Sprintf(format, a...)})
	}
	got := &otherWords{lines: lines}
	for i, w := range want {
		at, ok := got.match(w.text)
		if !ok {
			add(w.line, "word %d of the edition is %q, %s has %q there", i+1, clip(w.text), source.Quote(name), clip(at))
			return rep
		}
		rep.Words++
		rep.Cells += int64(len(w.text))
	}
	if more, ok := got.more(); ok {
		add(0, "%s has %q after the last word of the edition", source.Quote(name), clip(more))
	}
	rep.OK = rep.NProblems == 0
	return rep
}

// formatFiles reads a file of another format.
func formatFiles(name string, data []byte) ([]*source.File, error) {
	switch strings.ToLower(path.Ext(name)) {
	case ".html":
		f, err := source.ParsePage(name, data)
		return []*source.File{f}, err
	case ".ebrl":
		f, err := source.ParseEBraille(name, data, true)
		return []*source.File{f}, err
	case ".pef", ".txt":
		return source.ParseAll(name, data)
	}
	return nil, fmt.Errorf("%s: the endings that can be compared are %s", source.Quote(name), strings.Join(Formats, ", "))
}

// linesOf are the lines of files, without page numbers if asked.
func linesOf(files []*source.File, bare bool) [][]byte {
	var out [][]byte
	next := 1
	for _, f := range files {
		if bare {
			out = append(out, withoutNumbers(f, &next)...)
		} else {
			out = append(out, allLines(f, nil)...)
		}
	}
	return out
}

// withoutNumbers are the lines of a file without its page numbers: where every
// page has its own number alone on its first line or on its last one, these
// lines go. The first page has the number next, or in a later volume the one
// after it, when the blank back of the leaf before counts.
func withoutNumbers(f *source.File, next *int) [][]byte {
	first := *next
	if first > 1 && len(f.Pages) > 0 && !numbered(f, first, true) && !numbered(f, first, false) {
		first++
	}
	*next = first + len(f.Pages)
	skip := map[int32]bool{}
	top, bottom := numbered(f, first, true), numbered(f, first, false)
	for _, p := range f.Pages {
		switch {
		case top:
			skip[p.First] = true
		case bottom:
			skip[p.Last-1] = true
		}
	}
	return allLines(f, skip)
}

// numbered reports whether every page of a file has its number, from first on,
// alone on its first line, or on its last one.
func numbered(f *source.File, first int, top bool) bool {
	for i, p := range f.Pages {
		line := p.Last - 1
		if top {
			line = p.First
		}
		if p.First == p.Last || !bytes.Equal(bytes.TrimLeft(f.Text(int(line)), " "), cell.Number(first+i)) {
			return false
		}
	}
	return true
}

func allLines(f *source.File, skip map[int32]bool) [][]byte {
	var out [][]byte
	for i := range f.Lines {
		if !skip[int32(i)] {
			out = append(out, f.Text(i))
		}
	}
	return out
}

// wholeWord is a word of the edition and the line it begins on.
type wholeWord struct {
	text []byte
	line int
}

// wholeWords are the words of an edition, those that a line end splits whole.
func wholeWords(edition []byte, splits []int) []wholeWord {
	split := map[int]bool{}
	for _, n := range splits {
		split[n] = true
	}
	var out []wholeWord
	for i, l := range readEdition(edition).lines {
		goOn := split[i+1]
		for {
			var tok []byte
			if tok, l = cutToken(l); len(tok) == 0 {
				break
			}
			if goOn && len(out) > 0 {
				last := &out[len(out)-1]
				last.text = append(bytes.Clone(last.text), tok...)
				goOn = false
				continue
			}
			out = append(out, wholeWord{tok, i + 1})
		}
	}
	return out
}

// otherWords is a cursor over the words of the other file.
type otherWords struct {
	lines [][]byte
	i     int
	rest  []byte
}

// next takes the next word; last says that it ends its line.
func (w *otherWords) next() (tok []byte, last, ok bool) {
	for {
		if tok, w.rest = cutToken(w.rest); len(tok) > 0 {
			return tok, len(bytes.Trim(w.rest, " ")) == 0, true
		}
		if w.i == len(w.lines) {
			return nil, false, false
		}
		w.rest = w.lines[w.i]
		w.i++
	}
}

// match takes the next word, which must be want; a word that a line end splits
// in the file may go on in its next line.
func (w *otherWords) match(want []byte) ([]byte, bool) {
	tok, last, ok := w.next()
	for ok && last && unit(tok) < len(want) && sameCells(tok, want[:unit(tok)]) {
		more, l, there := w.next()
		if !there {
			break
		}
		tok, last = append(bytes.Clone(tok), more...), l
	}
	return tok, ok && sameCells(tok, want)
}

func (w *otherWords) more() ([]byte, bool) {
	tok, _, ok := w.next()
	return tok, ok
}

// noCell is the cell of eight dots as it is read: three bytes that are no cell.
var noCell = []byte("\u28FF")

// unit is how many bytes of the edition a word of the file stands for.
func unit(tok []byte) int { return len(tok) - 2*bytes.Count(tok, noCell) }

// sameCells tells whether a word of the file is a word of the edition, where every
// byte that is no cell is the cell of eight dots.
func sameCells(tok, want []byte) bool {
	if bytes.Equal(tok, want) {
		return true
	}
	var as []byte
	for _, c := range want {
		if cell.Is(c) {
			as = append(as, c)
		} else {
			as = append(as, noCell...)
		}
	}
	return bytes.Equal(tok, as)
}
