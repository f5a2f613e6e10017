package batch

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"continuo/internal/assemble"
	"continuo/internal/catalogue"
	"continuo/internal/convert"
	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/source"
	"continuo/internal/structure"
)

// largeSet is the size of a set of files above which its title pages are read
// file by file, before anything is converted.
const largeSet = 48 << 20

// part is one title in a set of files that the title pages divide.
type part struct {
	name  string // of the title, in print
	files []*source.File
	doubt string // why it may not be whole
}

// fromSurvey divides files as a conversion found their titles.
func fromSurvey(many *convert.ManyTitles, files []*source.File) []part {
	byName := map[string]*source.File{}
	for _, f := range files {
		byName[f.Name] = f
	}
	var out []part
	for i := range many.Titles {
		t := &many.Titles[i]
		p := part{name: Read(t.Title, t.Detection.Best()), doubt: unsure(t.Volumes)}
		for _, v := range t.Volumes {
			p.files = append(p.files, byName[v.File])
		}
		out = append(out, p)
	}
	return out
}

// unsure says why volumes that only their title pages brought together may not
// be all: they do not say how many there are.
func unsure(vols []convert.VolumeSurvey) string {
	have, of := map[int]bool{}, 0
	for _, v := range vols {
		have[v.Number] = true
		of = max(of, v.Of)
	}
	for n := 1; n <= of; n++ {
		if !have[n] {
			return fmt.Sprintf("volume %d of %d is not among the files of its folder", n, of)
		}
	}
	if of == 0 {
		return "its volumes were told from others in the folder by their title pages, and do not say how many they are"
	}
	return ""
}

// byTitlePages divides files by their title pages, one file in memory as
// volume after the other.
func byTitlePages(files []*source.File) []part {
	var vols []*structure.Volume
	names := map[string]string{}
	for _, f := range files {
		v := structure.Read(layout.Survey([]*source.File{f})[0], 0)
		var lines []string
		for _, u := range v.TitleUnits() {
			lines = append(lines, string(u.Text))
		}
		names[f.Name] = Read(strings.Join(lines, " "), english.Variant{Code: english.UEB, Contracted: true, Capitals: true})
		vols = append(vols, &structure.Volume{Volume: &layout.Volume{File: f}, Units: slices.Clone(v.Units[:v.Title[1]]), Title: v.Title, TitleFrom: v.TitleFrom, TitleHead: v.TitleHead, Number: v.Number, Of: v.Of, Prelim: v.Prelim})
	}
	var out []part
	for _, t := range assemble.Titles(vols) {
		p := part{}
		var surveys []convert.VolumeSurvey
		for _, v := range t.Volumes {
			if p.name == "" {
				p.name = names[v.File.Name]
			}
			p.files = append(p.files, v.File)
			surveys = append(surveys, convert.VolumeSurvey{File: v.File.Name, Number: v.Number, Of: v.Of, Prelim: v.Prelim})
		}
		p.doubt = unsure(surveys)
		out = append(out, p)
	}
	return out
}

// split converts the titles of a divided set.
func (r *run) split(t task, s subject, parts []part) []item {
	var found []catalogue.Found
	for i := range parts {
		found = append(found, parts[i].found(t.Candidate, found))
	}
	print := groupPrint(s.fingerprint, found)
	keys, err := r.cat.Split(r.ctx, t.Location, t.key, print, found)
	if err != nil {
		r.abort(err)
		return nil
	}
	known := map[string]*catalogue.Known{}
	for _, k := range t.subs {
		known[k.Location] = k
	}
	var out []item
	for i := range parts {
		sub := r.part(s, parts, i)
		sub.Found, sub.key, sub.known = found[i], keys[i], known[found[i].Location]
		sub.fingerprint = partPrint(r.o.Settings, found[i].Sidecar, parts[i].files)
		if i == 0 {
			sub.skipped = s.skipped
		}
		out = append(out, r.convertPart(sub))
	}
	return out
}

// found names a title in a divided set.
func (p *part) found(c Candidate, before []catalogue.Found) catalogue.Found {
	name := p.name
	if catalogue.Slug(name) == "title" {
		base := path.Base(filepath.ToSlash(p.files[0].Name))
		name = strings.TrimSuffix(base, path.Ext(base))
	}
	slug := catalogue.Slug(name)
	at := func(s string) string { return c.Location + "#" + s }
	for n := 2; slices.ContainsFunc(before, func(f catalogue.Found) bool { return f.Location == at(slug) }); n++ {
		slug = fmt.Sprintf("%s-%d", catalogue.Slug(name), n)
	}
	dir := c.Location
	if info, err := os.Stat(dir); err != nil || !info.IsDir() {
		dir = filepath.Dir(dir)
	}
	return catalogue.Found{Location: at(slug), Name: name, FoundBy: "title page", Sidecar: sidecar(dir, slug)}
}

// part is the subject of one title of a divided set. Where one title has most
// of the files, the others' incomplete ones are strangers among them.
func (r *run) part(s subject, parts []part, i int) subject {
	sub := subject{files: parts[i].files, doubt: parts[i].doubt}
	onDisk := map[string]catalogue.File{}
	for _, f := range s.disk {
		onDisk[f.Path] = f
	}
	for _, f := range sub.files {
		sub.bytes += f.Bytes
		if d, ok := onDisk[f.Path]; ok {
			sub.disk = append(sub.disk, d)
			delete(onDisk, f.Path) // of a zip once
		}
	}
	for k := range parts {
		for _, f := range parts[k].files {
			if k != i {
				sub.others = append(sub.others, f.Name)
			}
		}
	}
	if 2*len(parts[i].files) > len(s.files) {
		for k := range parts {
			if k != i && parts[k].doubt != "" {
				sub.beside = parts[k].files[0].Name
			}
		}
	}
	return sub
}

func (r *run) convertPart(s subject) (it item) {
	defer func() {
		if x := recover(); x != nil {
			it = r.failed(s, fmt.Errorf("internal fault: %v", x), "")
		}
	}()
	if r.same(s.known, s.fingerprint) {
		return r.unchanged(s, false)
	}
	job, people, err := r.job(s)
	if err != nil {
		return r.failed(s, err, "")
	}
	res, report, err := r.o.Make(job)
	return r.made(s, res, report, people, job.Decisions, err)
}

// partPrint is the fingerprint of a title in a divided set.
func partPrint(settings, sidecar string, files []*source.File) string {
	var list []Source
	var disk []catalogue.File
	for _, f := range files {
		list = append(list, Source{Name: f.Name})
		disk = append(disk, catalogue.File{SHA256: f.SHA256})
	}
	return fingerprint(settings, sidecar, list, disk)
}

// groupPrint is the fingerprint of a divided set: its own and what stands
// beside it for each title in it.
func groupPrint(own string, in []catalogue.Found) string {
	var sides []string
	for _, f := range in {
		sides = append(sides, f.Location+" "+fingerprint("", f.Sidecar, nil, nil))
	}
	h := sha256.Sum256([]byte(own + "\n" + strings.Join(sorted(sides), "\n")))
	return hex.EncodeToString(h[:])
}

// sameGroup reports whether nothing changed in a divided set.
func (r *run) sameGroup(t task, own string) bool {
	if r.o.Again || len(t.subs) == 0 {
		return false
	}
	var in []catalogue.Found
	for _, k := range t.subs {
		if k.Fingerprint == "" || k.State == catalogue.New || k.Fault == "" && !intact(r.home, k.Editions) {
			return false
		}
		in = append(in, catalogue.Found{Location: k.Location, Sidecar: k.Sidecar})
	}
	return groupPrint(own, in) == t.group.Fingerprint
}

func (r *run) unchangedGroup(t task, read bool) []item {
	var out []item
	for i, k := range t.subs {
		s := subject{Found: catalogue.Found{Location: k.Location}, key: k.Key, known: k}
		if i == 0 {
			s.bytes = t.Size()
			s.disk, _, _, _ = r.hash(t.Sources, false)
		}
		out = append(out, r.unchanged(s, read && i == 0))
	}
	return out
}
