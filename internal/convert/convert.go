// Package convert turns one title into a continuous book, from end to end and
// in memory. It touches no disk, clock or random source, and gives the same
// bytes for the same files and settings.
package convert

import (
	"bytes"
	"fmt"
	"strings"

	"continuo/internal/account"
	"continuo/internal/assemble"
	"continuo/internal/book"
	"continuo/internal/decide"
	"continuo/internal/diag"
	"continuo/internal/english"
	"continuo/internal/finders"
	"continuo/internal/layout"
	"continuo/internal/profile"
	"continuo/internal/source"
	"continuo/internal/structure"
	"continuo/internal/write/brf"
)

// Version is the tool's version, as it stands in accounts.
const Version = "0.1.0"

// Options are the settings of one conversion.
type Options struct {
	Width      int    // cells a line; -1 the width of the sources, 0 one line a paragraph
	Blank      string // "sparse" or "none"
	EndMarkers string // "keep" or "drop"
	Rejoin     string // hyphens at line ends: "always", "evidence" or "never" dropped
	Profile    profile.Profile
	Words      english.Words // structure words, English and those of the profile
	Name       string        // the edition's file name, for the account
	Finders    bool          // compute search strings, see Result.Finders
	Decisions  *decide.File  // what people decided about the title; nil for nothing
}

// Defaults are the settings that apply when nothing is asked for.
func Defaults() Options {
	return Options{Width: -1, Blank: "sparse", EndMarkers: "keep", Rejoin: "evidence", Profile: profile.Default(), Name: "edition.brf"}
}

// Result is a finished conversion.
type Result struct {
	Edition, Account []byte
	Findings         []diag.Finding
	Questions        []decide.Question // every doubtful place that a person can decide on
	Corrected        []decide.Applied  // what became of the corrections
	Survey           *Survey
	Stats            Stats
	Book             *book.Book      // the edition's blocks, for other formats and finders
	Variant          english.Variant // the code that the tool's own words are written in
	Starts           []int           // 1-based line of the edition on which each block begins; as long as Book.Blocks
	Finders          *finders.List   // proved search strings; nil when they were not asked for
	Pages            [][]int32       // per file of Book.Files: the line, from 0, on which each paper page begins; nil of an edition converted again
}

// Stats are the figures of a conversion. Marks are cells that are not blank.
type Stats struct {
	Volumes, BraillePages     int
	SourceLines, EditionLines int
	Width                     int
	Marks, Kept, Moved        int64
	Swapped, Left, Written    int64
	LeftBy                    map[string]int64
	Turns, Headings           int
	BlankBefore, BlankAfter   int
	Entries                   int    // dictionary entries
	Parents                   int    // headings that carry the name of their book
	EntryMark                 string // cells before the headword of each, "" if none
}

// ManyTitles is the error of a source that holds more than one title.
type ManyTitles struct{ Titles []TitleSurvey }

func (e *ManyTitles) Error() string {
	var b strings.Builder
	fmt.Fprintf(&b, "the source holds %d titles", len(e.Titles))
	for _, t := range e.Titles {
		fmt.Fprintf(&b, "; %q in", t.Title)
		for _, v := range t.Volumes {
			b.WriteString(" " + v.File)
		}
	}
	return b.String()
}

// VolumeTwice is the error of two different files that both say they are the
// same volume.
type VolumeTwice struct {
	A, B   string // names of the files
	Number int
}

func (e *VolumeTwice) Error() string {
	return fmt.Sprintf("%s and %s both say that they are volume %d, and differ", e.A, e.B, e.Number)
}

// Make converts the volumes of one title, given in any order.
func Make(files []*source.File, o Options) (*Result, error) {
	decided := decide.Resolve(o.Decisions, o.Profile.Rules, files)
	titles, survey := prepare(files, o.Words, decided)
	switch {
	case len(titles) == 0:
		return nil, fmt.Errorf("no volumes")
	case len(titles) > 1:
		return nil, &ManyTitles{survey.Titles}
	}
	t := titles[0]
	if x, y := t.Clash(); x != nil {
		return nil, &VolumeTwice{x.File.Name, y.File.Name, x.Number}
	}
	det := survey.Titles[0].Detection
	r := assemble.Make(t, det, assemble.Options{Profile: o.Profile, DropMarkers: o.EndMarkers == "drop", Rejoin: o.Rejoin, Decided: decided})
	x := &setting{b: r.Book, o: o, r: r, det: det, width: o.Width, upper: upper(t.Volumes)}
	if x.width < 0 {
		x.width = r.Book.Width
	}
	x.set()
	x.find()
	if r.Mark != "" && !assemble.MarkedOnly(x.out.Data, r.Mark, r.Entries) {
		return nil, fmt.Errorf("internal fault, nothing was written: the mark %q of headwords stands elsewhere in the edition too", r.Mark)
	}
	res, err := x.finish(survey.Titles[0].Title, nil, decided)
	if err != nil {
		return nil, err
	}
	endsNamed(survey.Titles[0].Volumes, t.Volumes)
	res.Survey = survey
	res.Findings = append(append(append(foreign(t.Volumes), survey.Titles[0].Findings...), r.Findings...), decided.Lost()...)
	res.Findings = append(res.Findings, otherLayout(survey.Titles[0].Volumes, o.Profile.Layout)...)
	res.Questions, res.Corrected = decided.Questions, decided.Corrected()
	res.Pages = pagesOf(t.Volumes)
	for i := range res.Questions {
		surveyed(&res.Questions[i].Place, t.Volumes)
	}
	countVolumes(&res.Stats, t.Volumes)
	return res, nil
}

// endsNamed surveys the volumes again whose last line was taken for their end when all
// volumes were compared.
func endsNamed(surveys []VolumeSurvey, vols []*structure.Volume) {
	for i, v := range vols {
		if v.End[1] > v.End[0] && !surveys[i].EndLine {
			surveys[i] = volumeSurvey(v)
		}
	}
}

// finish closes the account of a book that is set. from is what the account
// says of the account of an edition that was converted again.
func (x *setting) finish(title string, from map[string]any, d *decide.Decided) (*Result, error) {
	set := settings(x.o, x.width, d)
	if x.r.Mark != "" {
		set["entry-mark"] = x.r.Mark
	}
	set["outline"] = outlineOf(x.b, x.out.Starts, title, x.shape())
	if from != nil {
		set["from"] = from
	}
	acc, err := x.ledger.Finish(account.Edition{Name: x.o.Name, Data: x.out.Data, Lines: x.out.Lines, Marks: x.out.Marks, Splits: x.out.Splits,
		Tool: "continuo " + Version, Settings: set})
	if err != nil {
		return nil, fmt.Errorf("internal fault, nothing was written: %w", err)
	}
	res := &Result{Edition: x.out.Data, Account: acc, Book: x.b, Variant: x.r.Variant, Starts: x.out.Starts, Finders: x.list}
	res.Stats = stats(x.r, x.out, x.ledger)
	res.Stats.Width = x.width
	return res, nil
}

// shape is the finished edition as its outline is read with.
func (x *setting) shape() shapeOf {
	s := shapeOf{indents: make([]int32, 0, x.out.Lines), width: x.width, noBlank: x.o.Blank == "none"}
	for l := range bytes.SplitSeq(bytes.TrimSuffix(x.out.Data, []byte("\r\n")), []byte("\r\n")) {
		s.indents = append(s.indents, indentOf(l))
	}
	return s
}

func settings(o Options, width int, d *decide.Decided) map[string]any {
	s := map[string]any{"width": width, "blank-lines": o.Blank, "end-markers": o.EndMarkers, "rejoin": o.Rejoin, "profile": o.Profile.Name}
	if list := d.Applied(); len(list) > 0 {
		s["decided"] = list
	}
	if w := o.Profile.Words; w != nil {
		s["words"] = w.Language // structure words of the profile were used too
	}
	return s
}

// otherLayout tells of volumes that are laid out otherwise than the house does
// it.
func otherLayout(vols []VolumeSurvey, house *profile.Layout) []diag.Finding {
	f := diag.Finding{ID: "other-layout", Severity: diag.Note}
	n := 0
	for _, v := range vols {
		if why := house.Differs(v.Width, v.Height, v.BraillePage, v.PrintPage, v.Double); why != "" {
			if n++; n == 1 {
				f.Place.File, f.Text = v.File, why
			}
		}
	}
	switch {
	case n == 0:
		return nil
	case n > 1:
		f.Text += fmt.Sprintf("; %d of %d volumes are laid out otherwise than the house does it", n, len(vols))
	}
	return []diag.Finding{f}
}

// prepare surveys the files and groups them by title.
func prepare(files []*source.File, words english.Words, d *decide.Decided) ([]assemble.Title, *Survey) {
	vols := layout.SurveyWith(files, words)
	if d != nil {
		assemble.DecideLines(vols, d)
	}
	titles := assemble.TitlesDecided(structure.ReadAll(vols), d)
	for _, t := range titles {
		structure.EndTitles(t.Volumes)
		structure.FindSideHeads(t.Volumes)
		structure.FindMarginHeads(t.Volumes)
		structure.FindBlockHeads(t.Volumes)
		structure.FindNumberHeads(t.Volumes)
		structure.FindLetterHeads(t.Volumes)
		structure.FindBareHeads(t.Volumes)
		structure.FindIndents(t.Volumes)
	}
	return titles, survey(titles)
}

// maxDetect is how many cells of text are looked at to tell the code.
const maxDetect = 100_000

// detect tells the code from the running text, with the line ends' first words
// left to the detector to skip.
func detect(vols []*structure.Volume) english.Detection {
	lines := make([][]byte, 0, maxDetect/32)
	n := 0
	for pass := 0; pass < 2 && n == 0; pass++ {
		for _, v := range vols {
			share := 0
			for i := range v.Units {
				u := &v.Units[i]
				if (pass == 0 && u.Page < v.BodyPage) || u.Rule || u.Centred {
					continue
				}
				lines = append(lines, u.Text)
				n += len(u.Text)
				if share += len(u.Text); share > maxDetect/len(vols) {
					break
				}
			}
		}
	}
	return english.Detect(lines)
}

// upper reports whether the edition is written in upper-case letters, as most
// of its sources are.
func upper(vols []*structure.Volume) bool {
	var files []*source.File
	for _, v := range vols {
		files = append(files, v.File)
	}
	return upperFiles(files)
}

func upperFiles(files []*source.File) bool {
	n := 0
	for _, f := range files {
		if f.Upper || f.Encoding != source.ASCII {
			n++
		}
	}
	return 2*n > len(files)
}

// foreignFiles are the findings of bytes that are no cells, by the files' own
// pages.
func foreignFiles(files []*source.File) []diag.Finding {
	var out []diag.Finding
	for _, f := range files {
		out = append(out, NoCells(f, f.Place)...)
	}
	return out
}

// foreign are these findings by the pages of the survey.
func foreign(vols []*structure.Volume) []diag.Finding {
	var out []diag.Finding
	for _, v := range vols {
		out = append(out, NoCells(v.File, func(line int) (int, int) {
			pg := v.PageOf[line]
			return int(pg) + 1, line - int(v.Pages[pg].First) + 1
		})...)
	}
	return out
}

// NoCells are the findings of what is no cell in a file: each byte that is kept
// as it is, and once for all tabs or ASCII signs that are read as cells. place
// gives page and line, from 1, of a line of the file.
func NoCells(f *source.File, place func(line int) (page, n int)) []diag.Finding {
	var out []diag.Finding
	add := func(line int, text string) {
		page, n := place(line)
		out = append(out, diag.Finding{ID: "no-cell", Severity: diag.Look, Place: diag.Place{File: f.Name, Page: page, Line: n}, Text: text, Cells: string(f.Text(line))})
	}
	first, times := map[string]int{}, map[string]int{}
	var read []string
	for _, x := range f.Foreign {
		if !x.Read() {
			add(x.Line, x.What+" is no braille cell; it is kept as it is")
			continue
		}
		if times[x.What]++; times[x.What] == 1 {
			first[x.What] = x.Line
			read = append(read, x.What)
		}
	}
	for _, what := range read {
		text := what
		if n := times[what]; n > 1 {
			text += fmt.Sprintf("; the first of %d such places in the file", n)
		}
		add(first[what], text)
	}
	if more := f.NForeign - len(f.Foreign); more > 0 {
		out = append(out, diag.Finding{ID: "no-cell", Severity: diag.Look, Place: diag.Place{File: f.Name}, Text: fmt.Sprintf("%d more places like these hold no braille cell", more)})
	}
	return out
}

// stats are the figures of a book; those of its files as the files divide them.
func stats(r *assemble.Result, out brf.Output, l *account.Ledger) Stats {
	s := Stats{Volumes: len(r.Book.Files), EditionLines: out.Lines, BlankAfter: out.Blanks, Turns: r.Turns, Headings: r.Headings, Entries: r.Entries, Parents: r.Parents, EntryMark: r.Mark}
	for _, f := range r.Book.Files {
		s.BraillePages += len(f.Pages)
		s.SourceLines += len(f.Lines)
		s.Marks += f.Marks
		for i := range f.Lines {
			if len(f.Text(i)) == 0 {
				s.BlankBefore++
			}
		}
	}
	t := l.Totals()
	s.Kept, s.Moved, s.Swapped, s.Left, s.Written, s.LeftBy = t.Keep, t.Move, t.Swap, t.Out, t.Add, t.ByClass
	return s
}

// surveyed turns a place by the page ends of a file into one by the pages of the survey,
// which findings name: a file without page ends has pages too.
func surveyed(p *diag.Place, vols []*structure.Volume) {
	for _, v := range vols {
		if v.File.Name != p.File || p.Page < 1 || p.Page > len(v.File.Pages) {
			continue
		}
		line := v.File.Pages[p.Page-1].First + int32(p.Line) - 1
		pg := v.PageOf[line]
		p.Page, p.Line = int(pg)+1, int(line-v.Pages[pg].First)+1
		return
	}
}

// pagesOf are the lines on which pages begin. Files without page ends have those
// that recurring numbers tell.
func pagesOf(vols []*structure.Volume) [][]int32 {
	out := make([][]int32, len(vols))
	for i, v := range vols {
		for _, p := range v.Pages {
			out[i] = append(out[i], p.First)
		}
	}
	return out
}

// countVolumes counts pages and blank lines as the survey has them.
func countVolumes(s *Stats, vols []*structure.Volume) {
	s.BraillePages, s.BlankBefore = 0, 0
	for _, v := range vols {
		s.BraillePages += len(v.Pages)
		for i := range v.Lines {
			if v.Lines[i].Role == layout.Empty || v.Lines[i].Role == layout.Spacing {
				s.BlankBefore++
			}
		}
	}
}
