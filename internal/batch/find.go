package batch

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"sort"
	"strings"
	"time"

	"continuo/internal/catalogue"
	"continuo/internal/profile"
	"continuo/internal/source"
)

// Source is one file on disk that may be a volume, or a zip of volumes. Name is
// what accounts and messages call it.
type Source struct {
	Path, Name string
	Bytes      int64
	Modified   time.Time
}

// Candidate is a set of files that the search takes for one title. Telling says
// that file names, a folder of their own or the house's rule say so; otherwise
// the title pages decide whether they are one title or several.
type Candidate struct {
	catalogue.Found
	Sources []Source
	Telling bool
}

// Size is the bytes of the candidate's files on disk.
func (c *Candidate) Size() int64 {
	var n int64
	for _, s := range c.Sources {
		n += s.Bytes
	}
	return n
}

// maxFolders is how deep folders are searched.
const maxFolders = 24

// finder searches folders for titles.
type finder struct {
	rule     profile.Files
	matchers []*regexp.Regexp
	least    int    // digits that the number of a title has, when no profile names the form
	skip     string // the folder of the catalogue
	out      []Candidate
	stray    []catalogue.PassedOver
	seen     map[string]bool
}

// Find searches files, folders and zips for titles by a house's rule; rule nil
// stands for the common one. skip is a folder that is not searched: the one of
// the catalogue. What is no part of any title is returned with why. Candidates
// come in the order of their locations, whatever the order of the roots.
func Find(roots []string, rule *profile.Files, skip string) ([]Candidate, []catalogue.PassedOver, error) {
	f := &finder{least: 4, seen: map[string]bool{}}
	f.rule = profile.DefaultFiles()
	if rule != nil {
		f.rule.Titles = rule.Titles
		if len(rule.Names) > 0 {
			f.rule.Names, f.least = rule.Names, 1
		}
		if f.rule.Titles == "" {
			f.rule.Titles = "auto"
		}
	}
	f.matchers = f.rule.Matchers()
	if full, err := filepath.Abs(skip); err == nil && skip != "" {
		f.skip = full
	}
	var known []fs.FileInfo
	for _, root := range roots {
		full, err := filepath.Abs(root)
		if err != nil {
			return nil, nil, err
		}
		info, err := os.Stat(full)
		if err != nil {
			return nil, nil, errors.New(source.Quote(root) + ": " + cause(err))
		}
		if slices.ContainsFunc(known, func(k fs.FileInfo) bool { return os.SameFile(k, info) }) {
			continue // named twice, perhaps with other capitals or by a link
		}
		known = append(known, info)
		if info.IsDir() {
			f.folder(full, 0)
		} else {
			f.loose(full, info)
		}
	}
	sort.SliceStable(f.out, func(i, j int) bool { return source.Natural(f.out[i].Location, f.out[j].Location) })
	sort.Slice(f.stray, func(i, j int) bool { return f.stray[i].Path < f.stray[j].Path })
	return f.out, f.stray, nil
}

// cause is what went wrong, without the path.
func cause(err error) string {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err.Error()
	}
	return err.Error()
}

func (f *finder) pass(path, why string) {
	f.stray = append(f.stray, catalogue.PassedOver{Path: path, Why: why})
}

func (f *finder) add(c Candidate) {
	if len(c.Sources) == 0 || f.seen[c.Location] {
		return
	}
	f.seen[c.Location] = true
	sort.SliceStable(c.Sources, func(i, j int) bool { return source.Natural(c.Sources[i].Name, c.Sources[j].Name) })
	f.out = append(f.out, c)
}

// loose is a file that was named itself.
func (f *finder) loose(path string, info fs.FileInfo) {
	base := filepath.Base(path)
	s := Source{path, base, info.Size(), info.ModTime()}
	switch kind, why := source.KindOf(base); kind {
	case source.Zip:
		f.zip(s)
	case source.Other:
		f.pass(path, why)
	default:
		name := strings.TrimSuffix(base, filepath.Ext(base))
		f.add(Candidate{Found: catalogue.Found{Location: path, Name: name, FoundBy: "name", Sidecar: sidecar(filepath.Dir(path), name)}, Sources: []Source{s}, Telling: true})
	}
}

// sidecar is where the files of a title that shares its folder go.
func sidecar(dir, name string) string { return filepath.Join(dir, name+".title") }

func (f *finder) zip(s Source) {
	name := strings.TrimSuffix(s.Name, filepath.Ext(s.Name))
	f.add(Candidate{Found: catalogue.Found{Location: s.Path, Name: name, FoundBy: "zip", Sidecar: sidecar(filepath.Dir(s.Path), name)}, Sources: []Source{s}})
}

// contents is what one folder holds.
type contents struct {
	files   []Source // braille, by their names at least
	braille int      // files whose ending says braille
	zips    []Source
	folders []string
	other   []catalogue.PassedOver
}

func (f *finder) read(dir string) (contents, error) {
	var c contents
	entries, err := os.ReadDir(dir)
	if err != nil {
		return c, err
	}
	names := map[string]bool{}
	for _, e := range entries {
		names[e.Name()] = true
	}
	for _, e := range entries {
		path := filepath.Join(dir, e.Name())
		switch {
		case e.IsDir():
			c.folders = append(c.folders, path)
		case names[e.Name()+".account.jsonl"]:
			c.other = append(c.other, catalogue.PassedOver{Path: path, Why: "an edition: its account stands beside it"})
		default:
			c.file(path, e)
		}
	}
	return c, nil
}

func (c *contents) file(path string, e fs.DirEntry) {
	pass := func(why string) { c.other = append(c.other, catalogue.PassedOver{Path: path, Why: why}) }
	kind, why := source.KindOf(e.Name())
	if kind == source.Other {
		if !quiet(e.Name()) {
			pass(why)
		}
		return
	}
	info, err := os.Stat(path) // what a link points to
	switch {
	case err != nil:
		pass(cause(err))
	case info.IsDir():
		pass("a link to a folder is not followed")
	case !info.Mode().IsRegular():
		pass("neither a file nor a folder")
	default:
		s := Source{path, e.Name(), info.Size(), info.ModTime()}
		if kind == source.Zip {
			c.zips = append(c.zips, s)
			return
		}
		c.files = append(c.files, s)
		if kind == source.Braille {
			c.braille++
		}
	}
}

// quiet tells which files are not worth a word: hidden ones, and this program's
// own settings and reports.
func quiet(name string) bool {
	return strings.HasPrefix(name, ".") || strings.HasSuffix(name, ".toml") || strings.HasSuffix(name, ".account.jsonl") || strings.HasSuffix(name, ".report.txt")
}

// folder searches one folder and those in it.
func (f *finder) folder(dir string, depth int) {
	if dir == f.skip {
		return
	}
	c, err := f.read(dir)
	switch {
	case err != nil:
		f.pass(dir, cause(err))
		return
	case exists(filepath.Join(dir, catalogue.FileName)):
		f.pass(dir, "the folder of a catalogue")
		return
	}
	f.stray = append(f.stray, c.other...)
	for _, z := range c.zips {
		f.zip(z)
	}
	f.group(dir, c)
	volumes := f.volumeFolders(dir, c)
	for _, sub := range c.folders {
		switch {
		case strings.HasPrefix(filepath.Base(sub), ".") || filepath.Base(sub) == "__MACOSX" || volumes[sub]:
		case depth == maxFolders:
			f.pass(sub, "too deep inside other folders")
		default:
			f.folder(sub, depth+1)
		}
	}
}

func exists(path string) bool { _, err := os.Stat(path); return err == nil }

// group makes candidates of the files of one folder.
func (f *finder) group(dir string, c contents) {
	if c.braille == 0 && !slices.ContainsFunc(c.files, func(s Source) bool { return source.Sniff(s.Path) }) {
		for _, s := range c.files { // a folder of texts is no title
			f.pass(s.Path, "it does not look like braille, and no braille file stands beside it")
		}
		return
	}
	own := catalogue.Found{Location: dir, Name: filepath.Base(dir), FoundBy: "folder", Sidecar: filepath.Join(dir, "title")}
	switch f.rule.Titles {
	case "folder":
		f.add(Candidate{Found: own, Sources: c.files, Telling: true})
		return
	case "title-pages":
		own.FoundBy = "title page"
		f.add(Candidate{Found: own, Sources: c.files})
		return
	}
	groups, order, rest := f.byNames(c.files)
	if f.rule.Titles == "names" {
		for _, s := range rest {
			f.pass(s.Path, "its name does not follow the rule of the profile")
		}
		rest = nil
	}
	if len(order) == 1 && f.rule.Titles == "auto" {
		// One number: whatever stands beside it belongs to it or is foreign.
		groups[order[0]] = append(groups[order[0]], rest...)
		rest = nil
	}
	for _, name := range order {
		found := catalogue.Found{Location: filepath.Join(dir, name+"*"), Name: name, FoundBy: "name", Sidecar: sidecar(dir, name)}
		if len(order) == 1 && len(rest) == 0 {
			found.Sidecar = own.Sidecar
		}
		f.add(Candidate{Found: found, Sources: groups[name], Telling: true})
	}
	if len(rest) > 0 {
		f.add(Candidate{Found: own, Sources: rest, Telling: len(rest) == 1})
	}
}

// byNames groups files whose names follow a rule. Names that differ in case
// alone are one.
func (f *finder) byNames(files []Source) (groups map[string][]Source, order []string, rest []Source) {
	groups = map[string][]Source{}
	for _, s := range files {
		name := f.titleIn(s.Name)
		if name == "" {
			rest = append(rest, s)
			continue
		}
		if groups[name] == nil {
			order = append(order, name)
		}
		groups[name] = append(groups[name], s)
	}
	return groups, order, rest
}

// titleIn is the number or name of the title in the name of a file, "" when it
// follows no rule.
func (f *finder) titleIn(name string) string {
	stem := strings.TrimSuffix(name, filepath.Ext(name))
	for _, re := range f.matchers {
		if m := re.FindStringSubmatch(stem); m != nil {
			if t := strings.ToLower(strings.Trim(m[re.SubexpIndex("title")], " _.-")); len(t) >= f.least {
				return t
			}
		}
	}
	return ""
}

// volumeFolders makes one title of folders of one volume each, two at least, in a
// folder that holds no braille itself, and returns these folders. Their title has
// the name of the folder around them, or the one that their own names begin with.
func (f *finder) volumeFolders(dir string, c contents) map[string]bool {
	if len(c.files) > 0 || f.rule.Titles == "names" {
		return nil
	}
	type set struct {
		name    string
		folders []string
		sources []Source
		other   []catalogue.PassedOver
	}
	sets, order := map[string]*set{}, []string{}
	for _, sub := range c.folders {
		name, ok := source.VolumeFolder(filepath.Base(sub))
		if !ok || sub == f.skip {
			continue
		}
		in, err := f.read(sub)
		if err != nil || len(in.files) == 0 || in.braille == 0 && !source.Sniff(in.files[0].Path) || len(in.folders) > 0 {
			continue
		}
		k := strings.ToLower(name)
		if sets[k] == nil {
			sets[k], order = &set{name: name}, append(order, k)
		}
		s := sets[k]
		s.folders, s.other = append(s.folders, sub), append(s.other, in.other...)
		for _, file := range in.files {
			file.Name = filepath.Base(sub) + " " + file.Name
			s.sources = append(s.sources, file)
		}
	}
	taken := map[string]bool{}
	for _, k := range order {
		s := sets[k]
		if len(s.folders) < 2 {
			continue
		}
		for _, sub := range s.folders {
			taken[sub] = true
		}
		f.stray = append(f.stray, s.other...)
		found := catalogue.Found{Location: dir, Name: filepath.Base(dir), FoundBy: "folder", Sidecar: filepath.Join(dir, "title")}
		if k != "" {
			found = catalogue.Found{Location: s.folders[0], Name: s.name, FoundBy: "folder", Sidecar: sidecar(dir, s.name)}
		}
		f.add(Candidate{Found: found, Sources: s.sources})
	}
	return taken
}
