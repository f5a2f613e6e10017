package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"continuo/internal/atomicfile"
	"continuo/internal/convert"
	"continuo/internal/finders"
	"continuo/internal/profile"
	"continuo/internal/source"
)

// findFlags are the flags of find as they were given.
type findFlags struct {
	profile       string
	asJSON, force bool
}

func findCommand(c console) *cobra.Command {
	var f findFlags
	cmd := &cobra.Command{
		Use:   "find FILE [SOURCE...]",
		Short: "search strings that land on headings, print pages, notes and headwords",
		Long: `FILE is an edition, or any braille text without pages. For each place in it that a reader may look for, the shortest string is told that the search command of a display finds there first, in print and in cells. Each string was searched for in FILE; where none lands, it says so.
Writes FILE.finders.html, for people who help, and FILE.finders.txt, with the cells in Unicode braille. With the sources of an edition named too, the places come from the work that made it; without them they are read from FILE.
make --finders writes the same files beside a new edition.`,
		Example: "continuo find mybook-continuous.brf\ncontinuo find mybook-continuous.brf mybook/\ncontinuo find --json mybook-continuous.brf",
		Args:    atLeast(1, "a FILE"),
		RunE: func(_ *cobra.Command, args []string) error {
			return findIn(c, args[0], args[1:], f)
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&f.profile, "profile", "", "`FILE` house settings with which the edition was made, or the name of settings that come with the program")
	completeOrFile(cmd, "profile", profile.Names()...)
	flags.BoolVar(&f.asJSON, "json", false, "print one JSON object instead of lines, and write no files")
	flags.BoolVar(&f.force, "force", false, "write over files that this program did not make")
	return cmd
}

func findIn(c console, path string, sources []string, f findFlags) error {
	work := c.begin("searching")
	defer work.end()
	opt := convert.Defaults()
	if err := useProfile(&opt, f.profile); err != nil {
		return err
	}
	list, err := findersOf(path, sources, opt)
	if err != nil {
		return err
	}
	if f.asJSON {
		return c.json(findJSON(path, list))
	}
	out, err := finderFiles(path, filepath.Base(path), list)
	if err != nil {
		return err
	}
	if err := writeFinders(out, append(sources, path), f.force); err != nil {
		return err
	}
	c.say("done: %s", count(len(list.Finders), "place"))
	for _, s := range out {
		c.say("finders: %s", s.path)
	}
	for _, line := range finderLines(list) {
		c.say("%s", line)
	}
	return nil
}

// findersOf computes the finders of an edition, with its sources or without.
func findersOf(path string, sources []string, opt convert.Options) (*finders.List, error) {
	raw, err := readFile(path, "no such file")
	if err != nil {
		return nil, err
	}
	if len(sources) > 0 {
		return findersAgain(path, raw, sources, opt)
	}
	files, err := source.ParseAll(path, raw)
	if err != nil {
		return nil, refuse("FILE is an edition or another braille file", "%s", err)
	}
	file := files[0]
	if file.Pieces != nil || file.Encoding == source.PEF {
		return nil, refuse("name the edition in Braille ASCII: continuo find "+quoted(editionOf(path)), "%s is no file that a display searches as it is", source.Quote(path))
	}
	if file.FormFeed {
		return nil, refuse("continuo make makes an edition of paper volumes", "%s has pages; find takes an edition", source.Quote(path))
	}
	width := editionWidth(path)
	if width == noWidth {
		width = 1 // set for a width that is not known
	}
	t := readText(file, width)
	src := finders.Source{Book: t.b, Lines: make([][]byte, len(file.Lines)), Variant: t.codes(readFlags{}).whole, Words: opt.Words, Upper: file.Upper}
	for i := range src.Lines {
		src.Lines[i] = file.Text(i)
	}
	t.b.Turns = finders.TurnsOf(t.b)
	for i := range t.b.Blocks {
		src.Starts = append(src.Starts, int(t.b.Blocks[i].Pieces[0].Line)+1)
	}
	return finders.Make(src), nil
}

// findersAgain makes the edition of the sources again, with the settings of
// its account; only then what is known of the book is true of the file.
func findersAgain(path string, raw []byte, sources []string, opt convert.Options) (*finders.List, error) {
	files, _, err := openSources(sources)
	if err != nil {
		return nil, err
	}
	if err := settingsOf(path, &opt); err != nil {
		return nil, err
	}
	opt.Finders = true
	res, err := convert.Make(files, opt)
	if err != nil {
		return nil, explain(err)
	}
	if !bytes.Equal(res.Edition, raw) {
		return nil, refuse("name the sources, and with --profile the settings, that the edition was made with; or leave the sources out", "these sources do not make %s", source.Quote(path))
	}
	return res.Finders, nil
}

// settingsOf reads the settings of an edition from the account beside it.
func settingsOf(path string, opt *convert.Options) error {
	head, err := accountHead(outputsFor(path).account)
	if err != nil {
		return refuse("continuo make writes the edition with its account beside it; or leave the sources out", "no account beside %s", source.Quote(path))
	}
	for key, to := range map[string]any{"width": &opt.Width, "blank-lines": &opt.Blank, "end-markers": &opt.EndMarkers, "rejoin": &opt.Rejoin} {
		if raw, ok := head.Settings[key]; ok && json.Unmarshal(raw, to) != nil {
			return refuse("make the edition again", "the account of %s has no good setting %q", source.Quote(path), key)
		}
	}
	var name string
	if json.Unmarshal(head.Settings["profile"], &name) == nil && opt.Profile.Name == profile.Default().Name && slices.Contains(profile.Names(), name) {
		return useProfile(opt, name)
	}
	return nil
}

// finderFiles are the files of search strings beside an edition.
func finderFiles(edition, name string, list *finders.List) ([]sibling, error) {
	page, err := list.HTML(name)
	if err != nil {
		return nil, refuse("please report this", "internal fault, nothing was written: %s", err)
	}
	names := finderNames(edition)
	return []sibling{
		{path: names[0], f: format{name: "finders", about: "search strings for helpers"}, data: page},
		{path: names[1], f: format{name: "finders", about: "search strings in cells"}, data: list.Text(name)},
	}, nil
}

// writeFinders makes the files of search strings in memory, when they are asked
// for.
func (m *made) writeFinders() error {
	if m.result.Finders == nil {
		return nil
	}
	list, err := finderFiles(m.out.edition, filepath.Base(m.out.edition), m.result.Finders)
	m.siblings = append(m.siblings, list...)
	return err
}

func finderNames(edition string) []string {
	return []string{edition + ".finders.html", edition + ".finders.txt"}
}

// finderFile reports whether a file is a list of search strings by this
// program.
func finderFile(path string) bool {
	if !strings.HasSuffix(path, ".finders.html") && !strings.HasSuffix(path, ".finders.txt") {
		return false
	}
	text, err := os.ReadFile(path)
	return err == nil && finders.IsList(text)
}

// writeFinders writes files of search strings, over such files only.
func writeFinders(out []sibling, inputs []string, force bool) error {
	var items []atomicfile.Item
	var paths []string
	for _, s := range out {
		if _, err := os.Lstat(s.path); err == nil && !force && !finderFile(s.path) {
			return refuse("give --force to write over it", "%s exists and is not a file of search strings", source.Quote(s.path))
		}
		paths = append(paths, s.path)
		items = append(items, atomicfile.Item{Path: s.path, Data: s.data})
	}
	if err := atomicfile.Guard(paths, inputs); err != nil {
		return refuse("choose another name", "%s", err)
	}
	if err := atomicfile.WriteAll(items); err != nil {
		return refuse("nothing was written; --json tells the strings without files", "%s", err)
	}
	return nil
}

// finderLines tell how many places of each class a search finds, and those that
// none does.
func finderLines(list *finders.List) []string {
	var out []string
	for _, class := range finders.Classes() {
		if n, promised := list.Count(class); n > 0 {
			out = append(out, fmt.Sprintf("found by a search, %s: %d of %d", class, promised, n))
		}
	}
	for i := range list.Finders {
		if f := &list.Finders[i]; !f.Promised() {
			out = append(out, fmt.Sprintf("no string: %s, line %d: %s: %s", f.Class, f.Line, list.Print(f), f.Why))
		}
	}
	return out
}

// jsonFinder is one finder. First is the number of the finder in the list, from
// 0, that is searched first; absent when the search begins at the start.
type jsonFinder struct {
	Kind   string `json:"kind"`
	Line   int    `json:"line"`
	Cells  string `json:"cells"`
	Print  string `json:"print"`
	Search string `json:"search,omitempty"`
	Plain  string `json:"search_without_blanks,omitempty"`
	First  *int   `json:"search_first,omitempty"`
	Hit    int    `json:"hit,omitempty"`
	Why    string `json:"why_none,omitempty"`
}

// jsonFound is how many places of a kind a search finds.
type jsonFound struct {
	Kind   string `json:"kind"`
	Places int    `json:"places"`
	Found  int    `json:"found"`
}

func foundJSON(list *finders.List) []jsonFound {
	out := []jsonFound{}
	for _, class := range finders.Classes() {
		if list == nil {
			break
		}
		if n, promised := list.Count(class); n > 0 {
			out = append(out, jsonFound{class.String(), n, promised})
		}
	}
	return out
}

type jsonFind struct {
	Outcome string       `json:"outcome"`
	File    string       `json:"file"`
	Finders []jsonFinder `json:"finders"`
}

func findJSON(path string, list *finders.List) jsonFind {
	out := jsonFind{"done", path, []jsonFinder{}}
	for i := range list.Finders {
		f := &list.Finders[i]
		j := jsonFinder{Kind: f.Class.String(), Line: f.Line, Cells: string(f.Name), Print: list.Print(f), Search: string(list.Cells(f.Search)), Plain: string(list.Cells(f.Plain)), Hit: f.Times, Why: f.Why}
		if f.From != finders.Start {
			j.First = &f.From
		}
		out.Finders = append(out.Finders, j)
	}
	return out
}
