package ebrl

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"sort"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"
)

// budget is a reader that refuses to read more than it has left. A negative
// budget has no end.
type budget struct {
	r    io.ReaderAt
	left int64
}

var errBudget = errors.New("the directory of the ZIP file is too large")

func (b *budget) ReadAt(p []byte, off int64) (int, error) {
	if b.left >= 0 {
		if int64(len(p)) > b.left {
			return 0, errBudget
		}
		b.left -= int64(len(p))
	}
	return b.r.ReadAt(p, off)
}

// openZip lists a package. The directory is read within MaxDirectory bytes
// whatever it says of itself.
func (c *checker) openZip(name string, r io.ReaderAt, size int64) error {
	if size > MaxPackage {
		return refuse("the package has %d bytes, more than %d", size, MaxPackage)
	}
	c.packaged = true
	if !strings.HasSuffix(name, ".ebrl") {
		c.add("C1", "", 0, "the name %q does not end in \".ebrl\"", name)
	}
	b := &budget{r, MaxDirectory}
	z, err := zip.NewReader(b, size)
	switch {
	case errors.Is(err, errBudget):
		return refuse("%v: more than %d bytes", err, MaxDirectory)
	case err != nil && !errors.Is(err, zip.ErrInsecurePath):
		return refuse("not a ZIP file, or a damaged one: %v", err)
	case len(z.File) > MaxEntries:
		return refuse("the package has %d files, more than %d", len(z.File), MaxEntries)
	}
	b.left = -1
	if err := c.bounded(z.File); err != nil {
		return err
	}
	c.checkFirst(r, size)
	for _, f := range z.File {
		c.addEntry(f)
	}
	return nil
}

// bounded refuses packages that would unpack to absurd sizes: too much in all,
// files that shrink too well, and files that share their bytes.
func (c *checker) bounded(files []*zip.File) error {
	var total uint64
	type part struct {
		from, to int64
		name     string
	}
	var parts []part
	for _, f := range files {
		if f.UncompressedSize64 > MaxTotal || f.CompressedSize64 > MaxPackage {
			return refuse("%q is said to have %d bytes, more than %d", f.Name, max(f.UncompressedSize64, f.CompressedSize64), MaxTotal)
		}
		if total += f.UncompressedSize64; total > MaxTotal {
			return refuse("the files of the package have more than %d bytes together", MaxTotal)
		}
		if f.UncompressedSize64 > 1<<20 && f.UncompressedSize64 > MaxRatio*max(f.CompressedSize64, 1) {
			return refuse("%q unpacks to more than %d times its size", f.Name, MaxRatio)
		}
		at, err := f.DataOffset()
		if err != nil {
			return refuse("%q is damaged: %v", f.Name, err)
		}
		if f.CompressedSize64 > 0 {
			parts = append(parts, part{at, at + int64(f.CompressedSize64), f.Name})
		}
	}
	sort.Slice(parts, func(i, j int) bool { return parts[i].from < parts[j].from })
	for i := 1; i < len(parts); i++ {
		if parts[i].from < parts[i-1].to {
			return refuse("%q and %q share their bytes in the package", parts[i-1].name, parts[i].name)
		}
	}
	return nil
}

const mediaType = "application/epub+zip"

// checkFirst looks at the first entry as it stands in the file (EPUB 3.3, OCF
// ZIP container media type identification).
func (c *checker) checkFirst(r io.ReaderAt, size int64) {
	head := make([]byte, 30+8+len(mediaType))
	if size < int64(len(head)) {
		return
	}
	if _, err := r.ReadAt(head, 0); err != nil && !errors.Is(err, io.EOF) {
		c.add("C3", "mimetype", 0, "cannot be read: %v", err)
		return
	}
	u16 := func(i int) uint16 { return binary.LittleEndian.Uint16(head[i:]) }
	name, extra := u16(26), u16(28)
	switch {
	case !bytes.HasPrefix(head, []byte("PK\x03\x04")):
		c.add("C3", "mimetype", 0, "something stands before the first entry of the package")
	case name != 8 || string(head[30:38]) != "mimetype":
		c.add("C3", "mimetype", 0, "the first entry of the package is another one")
	case u16(8) != 0:
		c.add("C3", "mimetype", 0, "is packed with method %d, not stored", u16(8))
	case u16(6)&1 != 0:
		c.add("C3", "mimetype", 0, "is encrypted")
	case extra != 0:
		c.add("C3", "mimetype", 0, "has an extra field of %d bytes in its header", extra)
	}
}

// addEntry takes a file of a package into the list, and checks what the ZIP
// format says of it.
func (c *checker) addEntry(f *zip.File) {
	if strings.HasSuffix(f.Name, "/") {
		return
	}
	switch {
	case f.Flags&0x2041 != 0:
		c.add("C10", f.Name, 0, "is encrypted")
	case f.Method != zip.Store && f.Method != zip.Deflate:
		c.add("C10", f.Name, 0, "is packed with method %d, not stored or deflated", f.Method)
	case f.Mode()&fs.ModeType != 0:
		c.add("C10", f.Name, 0, "is a link or a device, not a file")
	}
	if v := f.ReaderVersion; v != 10 && v != 20 && v != 45 {
		c.add("C10", f.Name, 0, "asks for version %d of ZIP, not 10, 20 or 45", v)
	}
	if f.NonUTF8 && !ascii(f.Name) {
		c.add("C10", f.Name, 0, "its name is not marked as UTF-8")
	}
	if c.files[f.Name] != nil {
		c.add("C11", f.Name, 0, "stands twice in the package")
		return
	}
	c.order = append(c.order, f.Name)
	c.files[f.Name] = &entry{int64(f.UncompressedSize64), func() ([]byte, error) { return readEntry(f) }}
}

func ascii(s string) bool {
	for i := range len(s) {
		if s[i] >= 0x80 {
			return false
		}
	}
	return true
}

// readEntry unpacks a file, never more than it is said to have, and proves its
// checksum.
func readEntry(f *zip.File) ([]byte, error) {
	r, err := f.Open()
	if err != nil {
		return nil, err
	}
	defer r.Close()
	b, err := io.ReadAll(io.LimitReader(r, int64(f.UncompressedSize64)+1))
	if err == nil && uint64(len(b)) != f.UncompressedSize64 {
		err = fmt.Errorf("has another size than is said")
	}
	return b, err
}

// openFolder lists an unpackaged publication.
func (c *checker) openFolder(dir fs.FS) error {
	var total int64
	err := fs.WalkDir(dir, ".", func(name string, e fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case e.IsDir():
			return nil
		case e.Type() != 0:
			c.add("C10", name, 0, "is a link or a device, not a file")
			return nil
		}
		info, err := e.Info()
		if err != nil {
			return err
		}
		if total += info.Size(); len(c.order) >= MaxEntries || total > MaxTotal {
			return refuse("the folder has more than %d files or %d bytes", MaxEntries, MaxTotal)
		}
		c.order = append(c.order, name)
		c.files[name] = &entry{info.Size(), func() ([]byte, error) { return readFile(dir, name) }}
		return nil
	})
	var r *Refused
	if err != nil && !errors.As(err, &r) {
		return refuse("the folder cannot be read: %v", err)
	}
	return err
}

func readFile(dir fs.FS, name string) ([]byte, error) {
	f, err := dir.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, MaxDocument+1))
}

// checkNames checks the names of all files (EPUB 3.3, file paths and file
// names).
func (c *checker) checkNames() {
	fold := cases.Fold()
	folded := map[string]string{}
	for _, name := range c.order {
		if why := badName(name); why != "" {
			c.add("C11", name, 0, "%s", why)
		}
		if strings.ContainsFunc(name, unicode.IsSpace) {
			c.add("C11-blank", name, 0, "has a blank in its name")
		}
		key := norm.NFC.String(fold.String(norm.NFC.String(name)))
		if other, twice := folded[key]; twice {
			c.add("C11", name, 0, "differs from %q only in case or in the form of its characters", other)
		}
		folded[key] = name
	}
}

// badName says why the path of a file is not allowed, or nothing.
func badName(name string) string {
	switch {
	case !utf8.ValidString(name):
		return "its name is not UTF-8"
	case len(name) > 65535:
		return "its path is longer than 65535 bytes"
	case strings.HasPrefix(name, "/") || strings.Contains(name, `\`) || path.Clean(name) != name || name == ".." || strings.HasPrefix(name, "../"):
		return "its path leads out of the publication, or goes a roundabout way"
	}
	for _, part := range strings.Split(name, "/") {
		switch {
		case len(part) > 255:
			return "its name is longer than 255 bytes"
		case strings.HasSuffix(part, "."):
			return "its name ends in a dot"
		case strings.ContainsAny(part, `"*:<>?|`):
			return "its name has a character that is not allowed"
		case strings.ContainsFunc(part, badRune):
			return "its name has a control or private character"
		}
	}
	return ""
}

func badRune(r rune) bool {
	return r < 0x20 || r >= 0x7F && r < 0xA0 || r >= 0xE000 && r <= 0xF8FF || r >= 0xF0000 || r >= 0xFDD0 && r <= 0xFDEF || r&0xFFFE == 0xFFFE || r >= 0xFFF0 && r <= 0xFFFF || r >= 0xE0000 && r <= 0xE0FFF
}

// checkContainer checks META-INF and the mimetype file.
func (c *checker) checkContainer() {
	if c.files["mimetype"] != nil {
		if b := c.data("mimetype"); b != nil && string(b) != mediaType {
			c.add("C3", "mimetype", 0, "holds %q, not %q", clip(string(b[:min(len(b), 60)])), mediaType)
		}
	} else if c.packaged {
		c.add("C3", "mimetype", 0, "is missing")
	}
	if c.files["META-INF/encryption.xml"] != nil {
		c.add("C13", "META-INF/encryption.xml", 0, "says that files are encrypted or fonts obfuscated")
	}
	const name = "META-INF/container.xml"
	if c.files[name] == nil {
		if c.packaged {
			c.add("C5", name, 0, "is missing")
		}
		return
	}
	if root := c.readXML(name, false); root != nil {
		c.rootFiles(name, root)
	}
}

// rootFiles checks that the container names package.opf first.
func (c *checker) rootFiles(name string, root *node) {
	if root.space != nsContainer || root.name != "container" || root.value("version") != "1.0" {
		c.add("C5", name, root.line, "its root is not container, version 1.0, in the namespace of OCF")
	}
	first := true
	lists := root.elements()
	if len(lists) == 0 || lists[0].space != nsContainer || lists[0].name != "rootfiles" {
		c.add("C5", name, root.line, "its root does not begin with rootfiles")
		return
	}
	for _, n := range lists[1:] {
		if n.space == nsContainer && n.name != "links" {
			c.add("C5", name, n.line, "has %s after rootfiles", n.name)
		}
	}
	for _, n := range lists[0].elements() {
		if n.name != "rootfile" || n.space != nsContainer {
			c.add("C5", name, n.line, "has %s among its rootfiles", n.name)
			continue
		}
		if first {
			if n.value("full-path") != "package.opf" || n.value("media-type") != "application/oebps-package+xml" {
				c.add("C5", name, n.line, "the first rootfile is %q of type %q, not package.opf of type application/oebps-package+xml", n.value("full-path"), n.value("media-type"))
			}
			if mode, ok := n.attrNS(nsRendition, "accessMode"); ok && mode != "tactile" {
				c.add("C16", name, n.line, "the first rendition has the access mode %q, not tactile", mode)
			}
		}
		first = false
	}
	if first {
		c.add("C5", name, root.line, "names no rootfile")
	}
}
