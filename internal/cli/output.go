package cli

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"continuo/internal/atomicfile"
	"continuo/internal/source"
)

// outputs are the three files of one edition, and more of other formats.
type outputs struct {
	edition, account, report string
	more                     []string
}

func outputsFor(edition string) outputs {
	return outputs{edition: edition, account: edition + ".account.jsonl", report: edition + ".report.txt"}
}

func (o outputs) all() []string { return append([]string{o.edition, o.account, o.report}, o.more...) }

// place decides where the edition goes: -o FILE, -o FOLDER, or a name made
// from the volumes in the current folder.
func place(o string, files []*source.File, args []string) (outputs, error) {
	if o == "" {
		return outputsFor(defaultName(files, args)), nil
	}
	if info, err := os.Stat(o); err == nil && info.IsDir() {
		return outputsFor(filepath.Join(o, defaultName(files, args))), nil
	}
	if strings.HasSuffix(o, "/") || strings.HasSuffix(o, string(filepath.Separator)) {
		return outputs{}, refuse("make the folder first", "no such folder: %s", source.Quote(o))
	}
	if info, err := os.Stat(filepath.Dir(o)); err != nil || !info.IsDir() {
		return outputs{}, refuse("make the folder first", "no such folder: %s", source.Quote(filepath.Dir(o)))
	}
	return outputsFor(o), nil
}

// allow refuses to write over a source, whatever its name, and over any file
// that is not an edition of this program with its account beside it, unless
// force is set.
func (o outputs) allow(args []string, files []*source.File, force bool) error {
	for _, p := range o.all() {
		if _, err := os.Lstat(p); err != nil && !errors.Is(err, fs.ErrNotExist) {
			var pe *fs.PathError
			errors.As(err, &pe)
			return refuse("choose another name with -o FILE", "%s: %s", source.Quote(p), pe.Err)
		}
	}
	inputs := append([]string(nil), args...)
	for _, f := range files {
		inputs = append(inputs, f.Path)
	}
	if err := atomicfile.Guard(o.all(), inputs); err != nil {
		return refuse("choose another name with -o FILE", "%s", err)
	}
	if force {
		return o.oursFolders()
	}
	return o.ours()
}

// oursFolders is an error when a folder is to be written over that this program
// did not make as it is: whatever else is in it would be gone.
func (o outputs) oursFolders() error {
	known := earlier(o.report)
	for _, p := range o.more {
		info, err := os.Lstat(p)
		if err != nil || !info.IsDir() {
			continue
		}
		if sum, err := pathSum(p); err != nil || sum != known[filepath.Base(p)] {
			return refuse("take it away, or choose another name with -o FILE", "%s is a folder that is not as this program made it; it is not written over", source.Quote(p))
		}
	}
	return nil
}

// ours is an error when one of the files is there and is not what this program
// wrote.
func (o outputs) ours() error {
	hint := "choose another name with -o FILE, or give --force to write over it"
	head, err := accountHead(o.account)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		for _, p := range o.all() {
			if _, err := os.Lstat(p); err == nil {
				return refuse(hint, "%s exists and no account of this program stands beside it", source.Quote(p))
			}
		}
		return nil
	case err != nil:
		return refuse(hint, "%s exists and is no account of this program", source.Quote(o.account))
	}
	sum, err := fileSum(o.edition)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return err
	case sum != head.Edition.SHA256:
		return refuse(hint, "%s was changed after it was made", source.Quote(o.edition))
	}
	return o.oursToo(hint)
}

// accountStart is what is read of the first line of an account.
type accountStart struct {
	Account int `json:"account"`
	Edition struct {
		SHA256 string `json:"sha256"`
	} `json:"edition"`
	Sources  []accountPart              `json:"sources"`
	Settings map[string]json.RawMessage `json:"settings"`
}

// accountPart is a source as an account names it.
type accountPart struct {
	Name   string `json:"name"`
	SHA256 string `json:"sha256"`
}

var errNoAccount = errors.New("not an account of this program")

// accountHead reads the first line of an account.
func accountHead(path string) (accountStart, error) {
	var head accountStart
	f, err := os.Open(path)
	if err != nil {
		return head, err
	}
	defer f.Close()
	line, err := bufio.NewReaderSize(f, 1<<16).ReadBytes('\n')
	if err != nil || json.Unmarshal(bytes.TrimSpace(line), &head) != nil || head.Account < 1 || head.Account > 2 {
		return head, errNoAccount
	}
	return head, nil
}

// parseHead reads the first line of an account in memory.
func parseHead(account []byte) (accountStart, error) {
	var head accountStart
	line, _, _ := bytes.Cut(account, []byte{'\n'})
	if json.Unmarshal(line, &head) != nil || head.Account < 1 || head.Account > 2 {
		return head, errNoAccount
	}
	return head, nil
}

func fileSum(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	sum := sha256.New()
	if _, err := io.Copy(sum, f); err != nil {
		return "", err
	}
	return hex.EncodeToString(sum.Sum(nil)), nil
}

// stage begins to write edition and account; what stands beside them follows.
func (o outputs) stage(edition, account []byte) *atomicfile.Staged {
	return atomicfile.Stage(atomicfile.Item{Path: o.edition, Data: edition}, atomicfile.Item{Path: o.account, Data: account})
}

// reports are the files beside the edition and its account.
func (m *made) reports() []atomicfile.Item {
	items := []atomicfile.Item{{Path: m.out.report, Data: m.report}}
	for _, s := range m.siblings {
		if s.files != nil {
			continue // a folder
		}
		items = append(items, atomicfile.Item{Path: s.path, Data: s.data})
	}
	return items
}
