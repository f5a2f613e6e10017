// Package learn looks over an archive and proposes a house profile: page size,
// where numbers stand, print page turns, file naming and wording, each with how
// often it was met. It proposes; a person decides.
package learn

import (
	"bytes"
	"fmt"
	"path"
	"sort"
	"strings"

	"continuo/internal/batch"
	"continuo/internal/convert"
	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/lazy"
	"continuo/internal/profile"
	"continuo/internal/source"
)

// Count is something that was met, and how often.
type Count struct {
	What  string `json:"what"`
	Count int    `json:"count"`
}

// Learned is what was met in an archive.
type Learned struct {
	Folder  string   `json:"folder"`
	Titles  int      `json:"titles"`      // that were found
	Looked  int      `json:"looked_at"`   // of these
	Failed  []string `json:"not_read"`    // and why
	Volumes int      `json:"volumes"`     // of the titles looked at
	Files   int      `json:"named_files"` // whose names were looked at

	Pages    []Count `json:"page_sizes"` // cells x lines
	Braille  []Count `json:"braille_page_numbers"`
	Print    []Count `json:"print_page_numbers"`
	Spacing  []Count `json:"line_spacing"`
	Codes    []Count `json:"codes"`
	Turns    []Count `json:"print_page_turns"` // forms, by volumes
	Patterns []Count `json:"file_names"`
	Wording  []Count `json:"wording"` // lines of title pages that several titles have, in print
}

type counter map[string]int

func (c counter) list() []Count {
	var out []Count
	for w, n := range c {
		out = append(out, Count{w, n})
	}
	sort.Slice(out, func(i, j int) bool {
		if out[i].Count != out[j].Count {
			return out[i].Count > out[j].Count
		}
		return out[i].What < out[j].What
	})
	return out
}

type learner struct {
	l                                                   *Learned
	pages, braille, print, spacing, codes, turns, names counter
	lines                                               counter           // normal lines of title pages, by titles
	said                                                map[string]string // the first form in print
}

// From looks at up to most titles of an archive, evenly spread over it.
// progress may be nil.
func From(dir string, most int, progress func(done, total int)) (*Learned, error) {
	found, _, err := batch.Find([]string{dir}, nil, "")
	if err != nil {
		return nil, err
	}
	if len(found) == 0 {
		return nil, fmt.Errorf("no title is found in %s", source.Quote(dir))
	}
	x := &learner{l: &Learned{Folder: dir, Titles: len(found)}, pages: counter{}, braille: counter{}, print: counter{}, spacing: counter{}, codes: counter{}, turns: counter{}, names: counter{}, lines: counter{}, said: map[string]string{}}
	for _, c := range found {
		for _, s := range c.Sources {
			x.name(path.Base(strings.ReplaceAll(s.Path, "\\", "/")))
		}
	}
	step := max(1, (len(found)+most-1)/most)
	for i := 0; i < len(found); i += step {
		if progress != nil {
			progress(i, len(found))
		}
		x.title(found[i])
	}
	return x.done(), nil
}

// title looks at one title.
func (x *learner) title(c batch.Candidate) {
	var paths []string
	for _, s := range c.Sources {
		paths = append(paths, s.Path)
	}
	files, _, err := source.Open(paths)
	if err == nil {
		var s *convert.Survey
		if s, err = convert.Look(files, convert.Defaults()); err == nil {
			x.survey(s, files)
			x.l.Looked++
			return
		}
	}
	x.l.Failed = append(x.l.Failed, strings.ReplaceAll(err.Error(), "\n", "; "))
}

func (x *learner) survey(s *convert.Survey, files []*source.File) {
	for _, t := range s.Titles {
		if t.Detection.CodeSure {
			x.codes[t.Detection.Best().String()]++
		}
		for _, v := range t.Volumes {
			x.l.Volumes++
			x.pages[fmt.Sprintf("%dx%d", v.Width, v.Height)]++
			x.braille[corner(v.BraillePage)]++
			x.print[corner(v.PrintPage)]++
			x.spacing[map[bool]string{true: "double", false: "single"}[v.Double]]++
			switch {
			case v.InlineTurns > v.RowTurns:
				x.turns["inline"]++
			case v.RowTurns > 0:
				x.turns["row"]++
			}
		}
	}
	x.wording(s, files)
}

// corner is where numbers stand, on every other page or not.
func corner(s string) string {
	if s = strings.TrimSuffix(s, ", every other page"); s == "" {
		return "none"
	}
	return s
}

// firstLines is how many lines with cells the wording is looked for in.
const firstLines = 25

// wording counts the lines at the start of a title's volumes.
func (x *learner) wording(s *convert.Survey, files []*source.File) {
	seen := map[string]bool{}
	v := english.Variant{}
	if len(s.Titles) > 0 {
		v = s.Titles[0].Detection.Best()
	}
	for _, f := range files {
		n := 0
		for i := 0; i < len(f.Lines) && n < firstLines; i++ {
			text := bytes.TrimSpace(f.Text(i))
			if len(text) == 0 {
				continue
			}
			n++
			key := layout.Normal(text)
			if words := strings.Fields(key); len(words) < 2 || seen[key] {
				continue
			}
			seen[key] = true
			x.lines[key]++
			if x.said[key] == "" {
				x.said[key] = strings.Join(strings.Fields(english.Read(text, v)), " ")
			}
		}
	}
}

var volumeName = lazy.Regexp(`(?i)^(.+?)([ _.-]*)(volume|vol|part|pt|v)?([ _.-]*)([0-9]{1,3})$`)

// name counts the pattern of one file name.
func (x *learner) name(base string) {
	stem := strings.TrimSuffix(base, path.Ext(base))
	x.l.Files++
	m := volumeName().FindStringSubmatch(stem)
	if m == nil || m[2] == "" && m[3] == "" && m[4] == "" {
		x.names["no volume number is told"]++
		return
	}
	title := "{title}"
	if strings.Trim(m[1], "0123456789") == "" {
		title = "{number}"
	}
	x.names[strings.Join(strings.Fields(title+" "+strings.ToLower(m[3])+" {volume}"), " ")]++
}

func (x *learner) done() *Learned {
	l := x.l
	l.Pages, l.Braille, l.Print, l.Spacing = x.pages.list(), x.braille.list(), x.print.list(), x.spacing.list()
	l.Codes, l.Turns, l.Patterns = x.codes.list(), x.turns.list(), x.names.list()
	for _, c := range x.lines.list() {
		if c.Count >= 3 && c.Count*5 >= l.Looked {
			l.Wording = append(l.Wording, Count{x.said[c.What], c.Count})
		}
	}
	return l
}

// most is what nearly all have: the first of a list, when nine in ten are so.
func most(list []Count) (string, bool) {
	total := 0
	for _, c := range list {
		total += c.Count
	}
	if len(list) == 0 || list[0].Count*10 < total*9 {
		return "", false
	}
	return list[0].What, true
}

// TOML is the proposal as a profile, with the counts in comments.
func (l *Learned) TOML(name string) []byte {
	var b bytes.Buffer
	say := func(format string, a ...any) { fmt.Fprintf(&b, format+"\n", a...) }
	say("# A proposal, learnt from %s: %d titles found, %d looked at with %d volumes.", oneLine(l.Folder), l.Titles, l.Looked, l.Volumes)
	say("# Look it over. What is not in nine of ten is proposed in a comment only.")
	say("name = %q", name)
	say("")
	l.turns(say)
	say("")
	say("# How volumes are laid out. It never changes how a volume is read; one that is")
	say("# laid out otherwise is told in a note.")
	say("[layout]")
	l.size(say)
	key(say, "braille_page", l.Braille)
	key(say, "print_page", l.Print)
	key(say, "spacing", l.Spacing)
	say("")
	l.files(say)
	counts(say, "codes, by titles", l.Codes)
	counts(say, "lines at the start of volumes that several titles have", l.Wording)
	return b.Bytes()
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// counts are told in comments.
func counts(say func(string, ...any), what string, list []Count) {
	if len(list) == 0 {
		return
	}
	say("# %s:", what)
	for _, c := range list[:min(len(list), 12)] {
		say("#   %d: %s", c.Count, oneLine(c.What))
	}
	if len(list) > 12 {
		say("#   and %d more", len(list)-12)
	}
}

// key proposes a value that nearly all volumes have.
func key(say func(string, ...any), name string, list []Count) {
	counts(say, name+", by volumes", list)
	v, ok := most(list)
	test := fmt.Sprintf("[layout]\n%s = %q\n", name, v)
	if _, err := profile.Parse("proposal", []byte(test)); err != nil || v == "" {
		ok = false
	}
	if ok {
		say("%s = %q", name, v)
	}
}

func (l *Learned) size(say func(string, ...any)) {
	counts(say, "cells and lines, by volumes", l.Pages)
	var cells, lines int
	if v, ok := most(l.Pages); ok {
		fmt.Sscanf(v, "%dx%d", &cells, &lines)
	}
	if cells >= 10 && cells <= 100 && lines >= 5 && lines <= 60 {
		say("cells = %d", cells)
		say("lines = %d", lines)
	}
}

func (l *Learned) turns(say func(string, ...any)) {
	counts(say, "print page turns in the text, by volumes", l.Turns)
	say("# Print page turns in the edition: source, inline or row.")
	if v, ok := most(l.Turns); ok && v != "" {
		say("turns = %q", v)
		return
	}
	say("turns = \"source\"")
}

func (l *Learned) files(say func(string, ...any)) {
	counts(say, fmt.Sprintf("names of %d files", l.Files), l.Patterns)
	var names []string
	told := 0
	for _, c := range l.Patterns {
		if strings.Contains(c.What, "{") && c.Count*50 >= l.Files {
			names = append(names, fmt.Sprintf("%q", c.What))
			told += c.Count
		}
	}
	if len(names) > 0 {
		comment := ""
		if told*10 < l.Files*9 { // as for all else: the other files go by their folders
			comment = "# "
		}
		say("%s[files]", comment)
		say("%stitles = \"auto\"", comment)
		say("%snames = [%s]", comment, strings.Join(names, ", "))
	}
	say("")
}
