package source

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"sort"
)

// Member is one file on disk that belongs to a title. Name is what messages and
// accounts call it; "" stands for the base name.
type Member struct {
	Path, Name string
	Raw        []byte // its bytes where they are known, nil to have them read
	SHA256     string // of Raw
}

// OpenMembers reads files that stand in a folder, as Open reads those of a
// folder: what has an ending of braille must be readable, what holds print is
// passed over. A member that is a zip is opened. The files come in the natural
// order of their names.
func OpenMembers(list []Member) (files []*File, skipped []Skipped, err error) {
	o := &opener{seen: map[string]bool{}}
	for _, m := range list {
		o.one(m)
	}
	files = o.parseAll()
	if err := errors.Join(o.errs...); err != nil {
		return nil, o.skipped, err
	}
	if len(files) == 0 {
		if len(o.skipped) > 0 {
			return nil, o.skipped, fmt.Errorf("no braille file; %s: %s", filepath.Base(o.skipped[0].Path), o.skipped[0].Why)
		}
		return nil, o.skipped, errors.New("no braille file")
	}
	sort.SliceStable(files, func(i, j int) bool { return Natural(files[i].Name, files[j].Name) })
	return files, o.skipped, nil
}

func (o *opener) one(m Member) {
	name := m.Name
	if name == "" {
		name = filepath.Base(m.Path)
	}
	info, err := os.Stat(m.Path)
	_, wanted := class(filepath.Base(m.Path))
	switch {
	case err != nil:
		o.fail(m.Path, "%s", plain(err))
	case !info.Mode().IsRegular():
		o.fail(m.Path, "not a file")
	case isZip(m.Path):
		o.zip(m.Path)
	default:
		o.file(m.Path, name, info, wanted)
		if n := len(o.jobs); m.Raw != nil && n > 0 && o.jobs[n-1].path == m.Path {
			o.jobs[n-1].load, o.jobs[n-1].sum = func() ([]byte, error) { return m.Raw, nil }, m.SHA256
		}
	}
}

// Kind is what the name of a file in a folder says of it.
type Kind int

const (
	Other   Kind = iota // no part of a title
	Braille             // a braille file by its ending
	Maybe               // may hold braille: .txt, or no ending that tells
	Zip                 // a zip
)

// KindOf tells by the name alone what a file in a folder is, and for Other why.
func KindOf(name string) (Kind, string) {
	why, wanted := class(name)
	switch {
	case why != "":
		return Other, why
	case isZip(name):
		return Zip, ""
	case wanted:
		return Braille, ""
	}
	return Maybe, ""
}

// LooksPrint reports whether a file that was read as Braille ASCII looks like
// print: its commas and full stops stand at the ends of words, where braille
// has none of these cells. (In Nemeth Code a comma can stand so; that is why
// such a file is read all the same.)
func LooksPrint(f *File) bool {
	if f.Encoding != ASCII {
		return false
	}
	ends, starts := stops(f.Cells, 5)
	return ends >= 3 && ends > 4*starts && brailleWords(f.Cells) < ends
}

// StrayCase counts the letters of a Braille ASCII file that are in the other
// case than all the others, when these are few: at most one in 400, in files of
// 2,000 letters and more. A file is written in one case, or in two by habit; a
// few such letters are what damage to single bits leaves behind.
func StrayCase(f *File) int64 {
	up, low := f.Letters[0], f.Letters[1]
	few := min(up, low)
	if up+low < 2000 || few*400 > up+low {
		return 0
	}
	return few
}

// Sniff reports whether a file whose name does not say what it is holds braille
// as far as its beginning tells. A file that cannot be read holds none.
func Sniff(path string) bool {
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	raw := make([]byte, 16<<10)
	n, _ := io.ReadFull(f, raw)
	raw = raw[:n]
	if n == 0 || looksPrint(raw) || shortPrint(raw) {
		return false
	}
	_, err = Parse(filepath.Base(path), raw)
	return err == nil
}
