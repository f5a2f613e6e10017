package ebrl

import "io"

// Unpack gives every file of a package to write, whole and in the order of the
// package, with its path, slashes between. A package beyond the limits, with
// names that are not allowed, or damaged, is refused with *Refused; names are
// all looked at before the first file is written.
func Unpack(name string, r io.ReaderAt, size int64, write func(path string, data []byte) error) error {
	c := newChecker()
	if err := c.openZip(name, r, size); err != nil {
		return err
	}
	if c.files["mimetype"] == nil && c.files["package.opf"] == nil {
		return refuse("it is a zip, but no eBraille publication: there is neither mimetype nor package.opf in it")
	}
	c.checkNames()
	for _, f := range c.rep.Findings {
		if f.Must && (f.Rule == "C10" || f.Rule == "C11") {
			return refuse("%q: %s", f.File, f.Text)
		}
	}
	for _, p := range c.order {
		for i := range p {
			if p[i] == '/' && c.files[p[:i]] != nil {
				return refuse("%q is a file and a folder", p[:i])
			}
		}
	}
	for _, p := range c.order {
		data, err := c.files[p].read()
		if err != nil {
			return refuse("%q cannot be read: %v", p, err)
		}
		if err := write(p, data); err != nil {
			return err
		}
	}
	return nil
}
