package cli

import (
	"errors"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"continuo/internal/atomicfile"
	"continuo/internal/ebrl"
	"continuo/internal/source"
)

func unpackCommand(c console) *cobra.Command {
	var output string
	cmd := &cobra.Command{
		Use:   "unpack FILE.ebrl",
		Short: "an eBraille publication as a folder",
		Long: `Writes the files of a packaged eBraille publication into a new folder, the unpackaged form of eBraille 1.0: for a web server, or for a display that reads folders.
The folder is there whole or not at all. A package that is damaged, too large, or has names that lead elsewhere is refused.`,
		Example: "continuo unpack mybook.ebrl\n  makes the folder mybook\ncontinuo unpack mybook.ebrl -o card/mybook",
		Args:    exactly(1, "one eBraille publication"),
		RunE: func(_ *cobra.Command, args []string) error {
			return unpackTo(c, args[0], output)
		},
	}
	cmd.Flags().StringVarP(&output, "output", "o", "", "`FOLDER` to make; without it the name of the file without its ending, in this folder")
	return cmd
}

func unpackTo(c console, file, folder string) error {
	if folder == "" {
		base := filepath.Base(file)
		if folder = strings.TrimSuffix(base, filepath.Ext(base)); folder == base || folder == "" {
			return wrong("give -o FOLDER", "%s has no ending to take off", source.Quote(file))
		}
	}
	if _, err := os.Lstat(folder); err == nil {
		return refuse("choose another name with -o FOLDER", "%s exists", source.Quote(folder))
	}
	work := c.begin("unpacking the publication")
	defer work.end()
	n, err := unpackWhole(file, folder)
	var refused *ebrl.Refused
	switch {
	case errors.Is(err, fs.ErrNotExist) && isFolder(filepath.Dir(folder)):
		return refuse("name a file that ends in .ebrl", "no such file: %s", source.Quote(file))
	case errors.Is(err, fs.ErrNotExist):
		return refuse("make the folder first", "no such folder: %s", source.Quote(filepath.Dir(folder)))
	case errors.As(err, &refused):
		return refuse("continuo check "+quoted(file)+" names what is wrong; nothing was written", "%s: %s", source.Quote(file), refused)
	case err != nil:
		return refuse("nothing was written", "%s", err)
	}
	c.say("done: %s unpacked", count(n, "file"))
	c.say("folder: %s", folder)
	c.say("to check it: continuo check %s", quoted(folder))
	return nil
}

// unpackWhole unpacks into a folder of another name beside the wanted one, and
// renames it when all is there.
func unpackWhole(file, folder string) (n int, err error) {
	f, err := os.Open(file)
	if err != nil {
		return 0, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return 0, err
	}
	if info.IsDir() {
		return 0, &ebrl.Refused{Why: "is a folder, not a package"}
	}
	temp, err := os.MkdirTemp(filepath.Dir(folder), ".unpack-")
	if err != nil {
		return 0, err
	}
	defer os.RemoveAll(temp)
	root, err := os.OpenRoot(temp)
	if err != nil {
		return 0, err
	}
	err = ebrl.Unpack(filepath.Base(file), f, info.Size(), func(name string, data []byte) error {
		n++
		return writeBelow(root, name, data)
	})
	if closed := root.Close(); err == nil {
		err = closed
	}
	if err != nil {
		return 0, err
	}
	if err := os.Chmod(temp, 0o755); err != nil {
		return 0, err
	}
	return n, atomicfile.Rename(temp, folder)
}

// writeBelow writes a file into a folder that it cannot leave.
func writeBelow(root *os.Root, name string, data []byte) error {
	if dir := path.Dir(name); dir != "." {
		if err := root.MkdirAll(filepath.FromSlash(dir), 0o777); err != nil {
			return err
		}
	}
	return root.WriteFile(filepath.FromSlash(name), data, 0o666)
}
