package source

import (
	"archive/zip"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"sort"
	"strings"
	"sync"
)

// Skipped is a file or folder that was found in a SOURCE and not read, and why.
type Skipped struct {
	Path string // as a person can find it
	Why  string
}

const (
	// MaxFiles is how many files one call of Open reads.
	MaxFiles = 10000
	// MaxTotal is how many bytes a zip, or all the sources together, may hold.
	MaxTotal = 512 << 20
	maxDepth = 6   // folders inside a folder
	maxRatio = 200 // unpacked to packed bytes of one entry of a zip
)

// Open reads what the arguments of a command name: files, folders and zips.
// Of a folder the files in it are read; its sub-folders are read only when it
// holds no braille file itself. Name of a file from a folder or a zip is its
// path there, with slashes, so that several titles can be told apart. The
// files come in the natural order of their names.
//
// Hidden files, this program's own editions, accounts, reports, lists of
// finders and settings, files with the ending of another kind, text files that
// hold print, and short ones that show no sign of braille are passed over and returned as skipped. A file that was
// named as an argument, or that has an ending of braille, and cannot be read is
// an error; all such errors are joined.
func Open(paths []string) (files []*File, skipped []Skipped, err error) {
	o := &opener{seen: map[string]bool{}}
	for i, p := range paths {
		o.arg = i
		o.argument(p)
	}
	files = o.parseAll()
	if err := errors.Join(o.errs...); err != nil {
		return nil, o.skipped, err
	}
	if len(files) == 0 {
		return nil, o.skipped, fmt.Errorf("no braille file in %s", quoted(paths))
	}
	sort.SliceStable(files, func(i, j int) bool { return Natural(files[i].Name, files[j].Name) })
	return files, o.skipped, nil
}

func quoted(paths []string) string {
	var out []string
	for _, p := range paths {
		out = append(out, Quote(p))
	}
	return strings.Join(out, ", ")
}

// opener gathers what is to be read. Errors of several files are told together.
type opener struct {
	jobs    []job
	seen    map[string]bool // full paths, so that nothing is read twice
	arg     int             // which argument is being read
	known   []known
	braille int // files so far whose ending says braille
	total   int64
	full    bool // more files or bytes than are read; said once
	skipped []Skipped
	errs    []error
}

// known is a file or publication that is read already, and of which argument.
type known struct {
	info os.FileInfo
	arg  int
}

// twice reports whether a file is read already: by the same path, or by another
// spelling of it that another argument has (capitals and short names of Windows,
// links). Two names in one folder are two files, also when they are links to one.
func (o *opener) twice(p string, info os.FileInfo) bool {
	key := p
	if abs, err := filepath.Abs(p); err == nil {
		key = abs
	}
	again := o.seen[key] || slices.ContainsFunc(o.known, func(k known) bool {
		return k.arg != o.arg && k.info.Size() == info.Size() && os.SameFile(k.info, info)
	})
	if again {
		o.skip(p, "named twice")
		return true
	}
	o.seen[key] = true
	o.known = append(o.known, known{info, o.arg})
	return false
}

// job is one file to parse. load returns its bytes; it is nil for a folder that
// is a publication.
type job struct {
	name, path string
	shown      string // as a person can find it: with the name inside a zip
	wanted     bool   // named as an argument, or with an ending of braille
	load       func() ([]byte, error)
	sum        string // SHA-256 of what load gives, where it is known
}

// Advised is an error with what a person can do about it.
type Advised struct {
	error
	Advice string
}

// fail notes what is wrong with a file or folder.
func (o *opener) fail(name, format string, args ...any) {
	o.errs = append(o.errs, fmt.Errorf("%s: "+format, append([]any{Quote(name)}, args...)...))
}

// advise gives the last error its advice.
func (o *opener) advise(advice string) {
	last := &o.errs[len(o.errs)-1]
	*last = &Advised{*last, advice}
}

const copyAgain = "the zip is damaged; copy or download it again"

func (o *opener) skip(path, why string) { o.skipped = append(o.skipped, Skipped{path, why}) }

func (o *opener) argument(p string) {
	info, err := os.Stat(p)
	switch {
	case err != nil:
		o.fail(p, "%s", plain(err))
	case info.IsDir() && isPublication(p):
		o.publication(p, filepath.Base(p), info)
	case info.IsDir():
		o.folder(p, "", 0)
	case !info.Mode().IsRegular():
		o.fail(p, "neither a file nor a folder")
	case isZip(p):
		o.zip(p)
	default:
		o.file(p, filepath.Base(p), info, true)
	}
}

// plain is the cause of a file system error, without the path.
func plain(err error) string {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err.Error()
	}
	return err.Error()
}

func (o *opener) file(p, name string, info os.FileInfo, wanted bool) {
	if o.twice(p, info) || !o.room(p, info.Size()) {
		return
	}
	o.jobs = append(o.jobs, job{name: name, path: p, shown: p, wanted: wanted, load: func() ([]byte, error) { return readFile(p) }})
}

// publication takes an unpackaged eBraille publication as one file.
func (o *opener) publication(dir, name string, info os.FileInfo) {
	if o.twice(dir, info) {
		return
	}
	o.jobs = append(o.jobs, job{name: name, path: dir, shown: dir, wanted: true})
}

// room tells whether one more file of this size can be read.
func (o *opener) room(p string, size int64) bool {
	switch {
	case size > MaxBytes:
		o.fail(p, "too large: %d bytes, the limit is %d", size, MaxBytes)
		return false
	case o.full:
		return false
	case len(o.jobs) >= MaxFiles:
		o.full = true
		o.fail(p, "more than %d files", MaxFiles)
	case o.total+size > MaxTotal:
		o.full = true
		o.fail(p, "with it the sources are larger than %d bytes together", MaxTotal)
	}
	o.total += size
	return !o.full
}

func readFile(p string) ([]byte, error) {
	f, err := os.Open(p)
	if err != nil {
		return nil, fmt.Errorf("%s: %s", Quote(p), plain(err))
	}
	defer f.Close()
	raw, err := readUpTo(f, MaxBytes)
	if err != nil {
		return nil, fmt.Errorf("%s: %s", Quote(p), plain(err))
	}
	return raw, nil
}

// readUpTo reads r whole, or fails when it holds more than limit bytes.
func readUpTo(r io.Reader, limit int64) ([]byte, error) {
	size := int64(0)
	if f, ok := r.(*os.File); ok {
		if info, err := f.Stat(); err == nil {
			size = info.Size()
		}
	}
	buf := make([]byte, 0, min(size, limit)+512)
	for {
		n, err := r.Read(buf[len(buf):cap(buf)])
		buf = buf[:len(buf)+n]
		switch {
		case int64(len(buf)) > limit:
			return nil, fmt.Errorf("too large: more than %d bytes", limit)
		case err == io.EOF:
			return buf, nil
		case err != nil:
			return nil, err
		}
		if len(buf) == cap(buf) {
			buf = slices.Grow(buf, len(buf))
		}
	}
}

// folder gathers the files of one folder; at is its path inside the argument.
func (o *opener) folder(dir, at string, depth int) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		o.fail(dir, "%s", plain(err))
		return
	}
	names := map[string]bool{}
	for _, e := range entries {
		names[e.Name()] = true
	}
	found := o.braille
	var folders []string
	infos := map[string]os.FileInfo{}
	for _, e := range entries {
		p := filepath.Join(dir, e.Name())
		info, err := os.Stat(p)
		switch {
		case err != nil:
			o.fail(p, "%s", plain(err))
		case info.IsDir():
			folders = append(folders, e.Name())
			infos[e.Name()] = info
		case !info.Mode().IsRegular():
			o.skip(p, "neither a file nor a folder")
		default:
			o.member(p, path.Join(at, e.Name()), info, names)
		}
	}
	here := o.braille > found
	for _, name := range folders {
		p := filepath.Join(dir, name)
		switch {
		case hidden(name):
			o.skip(p, "hidden")
		case here:
			o.skip(p, "a folder beside braille files is not read")
		case isPublication(p):
			o.publication(p, path.Join(at, name), infos[name])
		case depth == maxDepth:
			o.skip(p, "too deep inside other folders")
		default:
			o.folder(p, path.Join(at, name), depth+1)
		}
	}
}

// member takes one file of a folder, or passes it over.
func (o *opener) member(p, name string, info os.FileInfo, names map[string]bool) {
	why, wanted := class(filepath.Base(p))
	switch {
	case why != "":
		o.skip(p, why)
	case isEdition(filepath.Base(p), names):
		o.skip(p, "an edition: its account stands beside it")
	case isZip(p):
		o.skip(p, "a zip inside a folder is not read; name it as a source")
	default:
		if wanted {
			o.braille++
		}
		o.file(p, name, info, wanted)
	}
}

// isEdition tells whether an account stands beside a file: its own, or that of
// the Braille ASCII edition that it is another format of.
func isEdition(name string, names map[string]bool) bool {
	return names[name+".account.jsonl"] || names[strings.TrimSuffix(name, path.Ext(name))+".brf.account.jsonl"]
}

func hidden(name string) bool { return strings.HasPrefix(name, ".") || name == "__MACOSX" }

func isZip(p string) bool { return strings.EqualFold(path.Ext(filepath.ToSlash(p)), ".zip") }

// class tells by its name alone why a file of a folder is passed over, or
// whether its ending is one of braille.
func class(name string) (why string, braille bool) {
	low := strings.ToLower(name)
	switch {
	case hidden(name):
		return "hidden", false
	case strings.HasSuffix(low, ".account.jsonl"), strings.HasSuffix(low, ".report.txt"), strings.Contains(low, ".finders."), strings.HasSuffix(low, ".toml"):
		return "written by or for this program", false
	}
	switch ext := path.Ext(low); ext {
	case ".brf", ".brl", ".bra", ".utf8", ".pef", ".ebrl":
		return "", true
	case ".txt", "", ".zip":
		return "", false
	default:
		if strings.Trim(ext[1:], "0123456789") == "" { // title.1, title.02
			return "", false
		}
		return fmt.Sprintf("the ending %q is not one of braille", ext), false
	}
}

// parseAll reads every job, two at a time, and keeps the order.
func (o *opener) parseAll() []*File {
	files := make([][]*File, len(o.jobs))
	errs := make([]error, len(o.jobs))
	sem := make(chan struct{}, 2)
	var wg sync.WaitGroup
	for i := range o.jobs {
		wg.Add(1)
		sem <- struct{}{}
		go func() {
			defer wg.Done()
			defer func() {
				if r := recover(); r != nil {
					errs[i] = fmt.Errorf("%s: internal fault: %v", Quote(o.jobs[i].shown), r)
				}
				<-sem
			}()
			files[i], errs[i] = o.jobs[i].parse()
		}()
	}
	wg.Wait()
	var out []*File
	for i, f := range files {
		var no notBraille
		switch {
		case errors.As(errs[i], &no):
			o.skip(o.jobs[i].shown, no.why)
		case errs[i] != nil:
			o.errs = append(o.errs, errs[i])
		default:
			out = append(out, f...)
		}
	}
	return out
}

// notBraille is the reason to pass over a file whose name does not say braille.
type notBraille struct{ why string }

func (n notBraille) Error() string { return n.why }

func (j job) parse() ([]*File, error) {
	if j.load == nil {
		f, err := ParseEBrailleFolder(j.name, j.path, false)
		if err != nil {
			return nil, err
		}
		f.Path = j.path
		return []*File{f}, nil
	}
	raw, err := j.load()
	if err != nil {
		return nil, err
	}
	switch {
	case j.wanted, looksEBraille(raw):
	case looksPrint(raw):
		return nil, notBraille{"it holds print, not braille"}
	case shortPrint(raw):
		return nil, notBraille{"a short text without a sign of braille; name it as a source if it is a volume"}
	}
	files, err := parseAll(j.name, raw, j.sum)
	if err != nil && !j.wanted {
		return nil, notBraille{strings.TrimPrefix(err.Error(), Quote(j.name)+": ")}
	}
	if err != nil {
		return nil, err
	}
	for _, f := range files {
		f.Path = j.path
	}
	return files, nil
}

// zip gathers the entries of a zip. Their names are only names: nothing is
// ever written, so a path that leads elsewhere does no harm.
func (o *opener) zip(p string) {
	info, err := os.Stat(p)
	if err != nil {
		o.fail(p, "%s", plain(err))
		return
	}
	if o.twice(p, info) {
		return
	}
	if info.Size() > MaxTotal {
		o.fail(p, "too large: %d bytes, the limit is %d", info.Size(), MaxTotal)
		return
	}
	z, err := zip.OpenReader(p)
	if err != nil && !errors.Is(err, zip.ErrInsecurePath) {
		o.fail(p, "not a readable zip: %s", plain(err))
		o.advise(copyAgain)
		return
	}
	defer z.Close()
	if len(z.File) > MaxFiles {
		o.fail(p, "%d entries, the limit is %d", len(z.File), MaxFiles)
		return
	}
	names := map[string]bool{}
	for _, e := range z.File {
		names[e.Name] = true
	}
	for _, e := range z.File {
		if !strings.HasSuffix(e.Name, "/") {
			o.entry(p, e, names)
		}
	}
}

func (o *opener) entry(p string, e *zip.File, names map[string]bool) {
	name := strings.TrimLeft(path.Clean("/"+strings.ReplaceAll(e.Name, `\`, "/")), "/")
	shown := p + ": " + name
	why, wanted := class(path.Base(name))
	for _, dir := range strings.Split(path.Dir(name), "/") {
		if dir != "." && hidden(dir) {
			why = "hidden"
		}
	}
	switch {
	case why != "":
		o.skip(shown, why)
	case isEdition(e.Name, names):
		o.skip(shown, "an edition: its account stands beside it")
	case isZip(name):
		o.skip(shown, "a zip inside a zip is not read")
	case e.Flags&1 != 0:
		o.fail(shown, "locked with a password")
		o.advise("unpack the zip with its password, and name the folder")
	case e.UncompressedSize64 > MaxBytes:
		o.fail(shown, "too large: %d bytes, the limit is %d", e.UncompressedSize64, MaxBytes)
	case e.UncompressedSize64 > 1<<20 && e.UncompressedSize64/maxRatio > e.CompressedSize64:
		o.fail(shown, "packed more tightly than any book: %d bytes in %d", e.UncompressedSize64, e.CompressedSize64)
	default:
		o.unpack(shown, p, name, e, wanted)
	}
}

// unpack reads an entry at once, because the zip is closed afterwards. It reads
// no more than the size that the zip states, so that the sum of sizes holds.
func (o *opener) unpack(shown, p, name string, e *zip.File, wanted bool) {
	if !o.room(shown, int64(e.UncompressedSize64)) {
		return
	}
	r, err := e.Open()
	if err != nil {
		o.fail(shown, "cannot be read from its zip: %s", plain(err))
		o.advise(copyAgain)
		return
	}
	defer r.Close()
	raw, err := readUpTo(r, int64(e.UncompressedSize64))
	if err != nil {
		o.fail(shown, "damaged in its zip: %s", plain(err))
		o.advise(copyAgain)
		return
	}
	o.jobs = append(o.jobs, job{name: name, path: p, shown: shown, wanted: wanted, load: func() ([]byte, error) { return raw, nil }})
}
