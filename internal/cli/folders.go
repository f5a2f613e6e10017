package cli

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"continuo/internal/atomicfile"
	"continuo/internal/source"
	"continuo/internal/write/ebraille"
)

// folderEnding ends the name of the folder of an unpackaged publication, beside
// the edition: mybook-continuous-ebraille.
const folderEnding = "-ebraille"

// sumFiles is the SHA-256 of files by their names, hex: of each its name, a
// zero byte, its length in bytes, a zero byte and its bytes.
func sumFiles(files []ebraille.File) string {
	list := slices.Clone(files)
	slices.SortFunc(list, func(a, b ebraille.File) int { return strings.Compare(a.Name, b.Name) })
	h := sha256.New()
	for _, f := range list {
		addFile(h, f.Name, f.Data)
	}
	return hex.EncodeToString(h.Sum(nil))
}

func addFile(h hash.Hash, name string, data []byte) {
	fmt.Fprintf(h, "%s\x00%d\x00", name, len(data))
	h.Write(data)
}

// folderSum is sumFiles of the files that a folder holds, without following
// links.
func folderSum(dir string) (string, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return "", err
	}
	defer root.Close()
	var files []ebraille.File
	err = fs.WalkDir(root.FS(), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		if !d.Type().IsRegular() {
			return fmt.Errorf("%s is no file", source.Quote(name))
		}
		data, err := root.ReadFile(name)
		files = append(files, ebraille.File{Name: name, Data: data})
		return err
	})
	return sumFiles(files), err
}

// pathSum is the sum of a file, or of the files of a folder.
func pathSum(path string) (string, error) {
	if info, err := os.Lstat(path); err == nil && info.IsDir() {
		return folderSum(path)
	}
	return fileSum(path)
}

// folder is a folder on its way: temp holds the new files, old is where the
// folder that stood there was moved to.
type folder struct {
	path, temp, old string
	placed          bool
}

// folders are the folders of one edition: all appear or none.
type folders []*folder

// stageFolders writes the files of every sibling that is a folder into a folder
// of another name beside the wanted one.
func stageFolders(list []sibling) (folders, error) {
	var out folders
	for _, s := range list {
		if s.files == nil {
			continue
		}
		temp, err := os.MkdirTemp(filepath.Dir(s.path), ".ebraille-")
		if err != nil {
			return out, err
		}
		out = append(out, &folder{path: s.path, temp: temp})
		if err := fillFolder(temp, s.files); err != nil {
			return out, err
		}
	}
	return out, nil
}

func fillFolder(dir string, files []ebraille.File) error {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return err
	}
	for _, f := range files {
		if err == nil {
			err = writeBelow(root, f.Name, f.Data)
		}
	}
	if closed := root.Close(); err == nil {
		err = closed
	}
	if err == nil {
		err = os.Chmod(dir, 0o755)
	}
	return err
}

// place puts the folders in their places; what stood there is moved aside.
func (l folders) place() error {
	for _, f := range l {
		if _, err := os.Lstat(f.path); err == nil {
			old, err := os.MkdirTemp(filepath.Dir(f.path), ".ebraille-old-")
			if err != nil {
				return err
			}
			if err := atomicfile.Rename(f.path, filepath.Join(old, "was")); err != nil {
				os.Remove(old)
				return err
			}
			f.old = old
		}
		if err := atomicfile.Rename(f.temp, f.path); err != nil {
			return err
		}
		f.placed = true
	}
	return nil
}

// end is called when all is over: with an error everything is as it was before,
// without one nothing of the old folders is left.
func (l folders) end(failed error) error {
	for _, f := range l {
		if failed != nil && f.placed {
			failed = errors.Join(failed, atomicfile.Rename(f.path, f.temp))
		}
		if failed != nil && f.old != "" {
			if err := atomicfile.Rename(filepath.Join(f.old, "was"), f.path); err != nil {
				failed = errors.Join(failed, fmt.Errorf("the old folder is kept as %s: %w", source.Quote(f.old), err))
				continue
			}
		}
		os.RemoveAll(f.temp)
		if f.old != "" {
			os.RemoveAll(f.old)
		}
	}
	return failed
}

// commit puts the files and folders of an edition in their places, or none.
func (m *made) commit(files interface{ Commit() error }) error {
	list, err := stageFolders(m.siblings)
	if err == nil {
		err = list.place()
	}
	if err == nil {
		err = files.Commit()
	}
	return list.end(err)
}
