package cli

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/source"
)

// convertFiles makes the edition: of volumes, or again of an edition that is
// there already. fixed are flags that only volumes can take.
func convertFiles(files []*source.File, opt convert.Options, fixed []string) (*convert.Result, error) {
	editions := 0
	for _, f := range files {
		if ok, err := isMade(f); err != nil {
			return nil, err
		} else if ok {
			editions++
		}
	}
	switch {
	case editions == 0:
		return convert.Make(files, opt)
	case len(files) > 1:
		return nil, refuse("name the edition alone", "an edition and %s together; an edition is one whole title", count(len(files)-1, "other file"))
	case len(fixed) > 0:
		return nil, wrong("leave it out, or make the book from its volumes", "--%s has no effect on an edition: it was settled when the edition was made", fixed[0])
	}
	e := convert.Edition{File: files[0]}
	path := accountOf(files[0])
	data, err := os.ReadFile(path)
	switch {
	case err == nil:
		e.Account, e.AccountName = data, filepath.Base(path)
	case files[0].Pieces == nil || !errors.Is(err, fs.ErrNotExist):
		return nil, err
	}
	return convert.Again(e, opt)
}

// accountOf is the account that belongs to a file: that beside it, or of
// another format that of the edition in Braille ASCII beside it.
func accountOf(f *source.File) string {
	if f.Pieces != nil {
		return editionOf(f.Path) + check.AccountSuffix
	}
	return f.Path + check.AccountSuffix
}

// isMade tells whether a file is an edition that this program made: an eBraille
// publication, or a file with its account beside it. A file that was changed
// after it was made is an error, never a guess.
func isMade(f *source.File) (bool, error) {
	if f.Pieces != nil {
		return true, nil
	}
	if f.Encoding != source.ASCII {
		return false, nil
	}
	head, err := accountHead(f.Path + check.AccountSuffix)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	if err != nil {
		return false, refuse("take the file beside it away if it is none", "%s: the account beside it cannot be read: %s", source.Quote(f.Path), err)
	}
	if head.Edition.SHA256 != f.SHA256 {
		return false, refuse("make it from the volumes, or take the account away to use the file as a volume", "%s was changed after it was made: its account is of other bytes", source.Quote(f.Path))
	}
	return true, nil
}

// origin is what an account says of the account before it.
type origin struct {
	Account string `json:"account"`
	SHA256  string `json:"sha256"`
}

// chained proves an edition that was converted again: against the edition
// before it and, where sources besides that one were named, that edition
// against them, and so on.
func chained(book, account []byte, dir string, files []*source.File, words check.Words, people [][]byte, depth int) (check.Report, error) {
	head, err := parseHead(account)
	var from origin
	if err != nil || head.Settings["from"] == nil || json.Unmarshal(head.Settings["from"], &from) != nil || len(head.Sources) != 1 {
		return check.VerifyWith(book, account, files, words, people...), nil
	}
	old, rest, err := editionBefore(head.Sources[0], dir, files)
	if err != nil {
		return check.Report{}, err
	}
	rep := check.VerifyWith(book, account, []*source.File{old}, words, people...)
	if len(rest) == 0 || depth > maxChain {
		return rep, nil
	}
	before := old.Path
	if old.Pieces != nil { // a publication is proved against the edition beside it
		before = editionOf(old.Path)
		same, err := sameWords(old.Path, outputsFor(before))
		if err != nil {
			return rep, err
		}
		addProblems(&rep, same.NProblems, same.Problems)
	}
	oldBook, err := readFile(before, "no edition beside the publication")
	if err != nil {
		return rep, err
	}
	path := filepath.Join(filepath.Dir(before), filepath.Base(from.Account))
	oldAccount, err := readFile(path, "no account of the edition before")
	if err != nil {
		return rep, err
	}
	if sum, _ := fileSum(path); sum != from.SHA256 {
		addProblems(&rep, 1, []check.Problem{{What: fmt.Sprintf("the account %q is not the one that the edition was made with", filepath.Base(path))}})
	}
	first, err := chained(oldBook, oldAccount, filepath.Dir(before), rest, words, people, depth+1)
	if err != nil {
		return rep, err
	}
	first.Problems, rep.Problems = rep.Problems, first.Problems
	addProblems(&first, rep.NProblems, rep.Problems)
	return first, nil
}

// addProblems puts n problems, of which list is told, to a report.
func addProblems(rep *check.Report, n int, list []check.Problem) {
	rep.OK = rep.OK && n == 0
	rep.NProblems += n
	rep.Problems = append(rep.Problems, list...)
}

// maxChain is how many times over an edition may have been converted again.
const maxChain = 50

// editionBefore finds the edition before among the sources, or beside the edition that
// was made from it; the others are what it was made from itself.
func editionBefore(want accountPart, dir string, files []*source.File) (old *source.File, rest []*source.File, err error) {
	for _, f := range files {
		if f.SHA256 == want.SHA256 && old == nil {
			old = f
			continue
		}
		rest = append(rest, f)
	}
	if old != nil {
		return old, rest, nil
	}
	path := filepath.Join(dir, filepath.Base(strings.ReplaceAll(want.Name, `\`, "/")))
	if found, _, err := source.Open([]string{path}); err == nil && len(found) == 1 && found[0].SHA256 == want.SHA256 {
		return found[0], rest, nil
	}
	return nil, nil, refuse("name that file as a SOURCE too", "the edition was made from %s, which is neither among the sources nor beside it", source.Quote(want.Name))
}
