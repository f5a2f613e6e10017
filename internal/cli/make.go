package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"continuo/internal/batch"
	"continuo/internal/convert"
	"continuo/internal/english"
	"continuo/internal/profile"
	"continuo/internal/source"
)

// makeFlags are the flags of make as they were given.
type makeFlags struct {
	output, blank, markers, rejoin, profile string
	decisions                               string
	width, display                          int
	asJSON, force, finders                  bool
	formats                                 []string
	title                                   titleFlags
	paper                                   paperFlags
}

// Limits of --width in cells; 0 stands for one line a paragraph. The shortest
// displays in use have 12 cells or more (common practice).
const (
	minWidth = 12
	maxWidth = 200
)

func makeCommand(c console) *cobra.Command {
	var f makeFlags
	cmd := &cobra.Command{
		Use:   "make SOURCE...",
		Short: "one continuous book from the paper volumes of one title",
		Long: `SOURCE is a volume file, a folder of volume files or a zip, all of one title.
Writes the edition and beside it FILE.account.jsonl, the fate of every cell, and FILE.report.txt, what a person should know. The sources are never touched.
SOURCE may be an edition with its account beside it, or an eBraille publication: it is made again, to another width or other formats, without the volumes.
Files of other formats stand beside the edition, which is always written in Braille ASCII too: its account proves them all.
A qualified proofreader decides where a slip can hurt: medicine doses, exams, legal text.`,
		Example: `continuo make mybook/
  writes mybook-continuous.brf in this folder
continuo make mybook-1.brf mybook-2.brf -o out.brf
continuo make mybook/ --display 20
  for a display of 20 cells
continuo make mybook.zip --width 0
  one line a paragraph
continuo make mybook/ --rejoin never
  every hyphen at a line end stays
continuo make mybook/ --profile north-america
continuo make mybook-continuous.brf --width 20 -o mybook-20.brf
  makes an edition again, without the volumes
continuo make mybook/ --format text,html
  writes mybook-continuous.txt and mybook-continuous.html too
continuo make mybook/ --format pef --page-size 32x27 --title "The Pond" --creator "Ann Lee"
  metadata by flags; without them it is read from mybook/title.toml`,
		Args: atLeast(1, "at least one SOURCE"),
		RunE: func(cmd *cobra.Command, args []string) error {
			shown, err := forDisplay(cmd, f.display, &f.width, &f.blank)
			if err != nil {
				return err
			}
			opt, err := f.options(shown || cmd.Flags().Changed("width"))
			if err != nil {
				return err
			}
			x := extra{}
			if x.formats, err = chosen(f.formats); err != nil {
				return err
			}
			if x.title, x.from, err = f.title.load(args); err != nil {
				return err
			}
			if x.paper, err = f.paper.over(opt.Profile.Paper, x.formats); err != nil {
				return err
			}
			for _, name := range []string{"end-markers", "rejoin", "profile"} {
				if cmd.Flags().Changed(name) && (name != "end-markers" || f.markers != "drop") { // what is not there cannot be kept
					x.fixed = append(x.fixed, name)
				}
			}
			x.noBlank = opt.Blank == "none"
			x.decisions = f.decisions
			return makeOne(c, args, f, opt, x)
		},
	}
	flags := cmd.Flags()
	flags.StringVarP(&f.output, "output", "o", "", "`FILE` where the edition goes, or a folder for it; without it a name made from the volumes, in this folder")
	flags.IntVar(&f.width, "width", -1, "`N` cells a line, 12 to 200, or 0 for one line a paragraph; without it the width of the source")
	addDisplay(cmd, &f.display)
	for _, x := range f.choices() {
		flags.StringVar(x.value, x.flag, x.values[0], x.usage)
		complete(cmd, x.flag, x.values...)
	}
	flags.StringVar(&f.profile, "profile", "", "`FILE` house settings, or the name of settings that come with the program: uk, north-america")
	flags.BoolVar(&f.finders, "finders", false, "write FILE.finders.html and FILE.finders.txt too: search strings that land on headings, print pages, notes and headwords")
	flags.BoolVar(&f.asJSON, "json", false, "print one JSON object instead of lines")
	flags.BoolVar(&f.force, "force", false, "write over files that this program did not make; sources are never written over")
	flags.StringSliceVar(&f.formats, "format", nil, "`LIST` formats, with commas or given several times: brf, text, html, pef, ebraille, ebraille-folder; brf is always written; without it brf alone")
	f.paper.add(cmd)
	addDecisions(cmd, &f.decisions)
	f.title.add(cmd)
	complete(cmd, "width", "0\tone line a paragraph")
	complete(cmd, "format", formatValues()...)
	completeOrFile(cmd, "profile", profile.Names()...)
	return cmd
}

// choice is a flag with a few values; the first is the one without the flag.
type choice struct {
	flag, usage string
	value       *string
	values      []string
}

func (f *makeFlags) choices() []choice {
	return []choice{
		{"blank-lines", "`WHICH` sparse: one blank line only where the text means it; none: no blank lines; without it sparse", &f.blank, []string{"sparse", "none"}},
		{"end-markers", "`WHAT` keep: one short line after a chapter or section; drop: no such lines; without it keep", &f.markers, []string{"keep", "drop"}},
		{"rejoin", "`WHEN` hyphens of words divided at a line end. evidence: a hyphen goes only when the book's own words or the reading say so; always: it goes unless the book has the word with its hyphen; never: it stays; without it evidence", &f.rejoin, []string{"evidence", "always", "never"}},
	}
}

// either is "a or b", "a, b or c".
func either(values []string) string {
	n := len(values) - 1
	return strings.Join(values[:n], ", ") + " or " + values[n]
}

// options checks the flags.
func (f *makeFlags) options(widthSet bool) (convert.Options, error) {
	opt := convert.Defaults()
	hint := "continuo help make lists the flags"
	if widthSet {
		if f.width != 0 && (f.width < minWidth || f.width > maxWidth) {
			return opt, wrong(hint, "--width must be 0 or %d to %d, not %d", minWidth, maxWidth, f.width)
		}
		opt.Width = f.width
	}
	for _, c := range f.choices() {
		if !slices.Contains(c.values, *c.value) {
			return opt, wrong(hint, "--%s must be %s, not %q", c.flag, either(c.values), *c.value)
		}
	}
	opt.Blank, opt.EndMarkers, opt.Rejoin = f.blank, f.markers, f.rejoin
	err := useProfile(&opt, f.profile)
	opt.Finders = f.finders || opt.Profile.Finders
	return opt, err
}

// made is one finished edition.
type made struct {
	files     []*source.File
	skipped   []source.Skipped
	out       outputs
	siblings  []sibling
	stale     []string // files of other formats that an earlier run wrote and this one does not
	extra     extra
	words     english.Words
	result    *convert.Result
	author    string    // author line of the edition, in cells
	headings  []heading // of the edition, by its lines
	rides     []ridden  // sources and edition on displays
	report    []byte
	decisions string // the file of decisions, "" when there is none
}

// variant is the braille code that the edition is read with.
func (m *made) variant() english.Variant {
	if m.result.Survey == nil || len(m.result.Survey.Titles) == 0 {
		return english.Variant{}
	}
	return m.result.Survey.Titles[0].Detection.Best()
}

// describe tells author line and headings of the finished edition.
func (m *made) describe() {
	if t := m.result.Survey.Titles; len(t) > 0 {
		m.author = t[0].Author
	}
	for _, h := range batch.Headings(m.result) {
		m.headings = append(m.headings, heading{line: h.Line, cells: h.Cells, print: h.Print})
	}
}

func makeOne(c console, args []string, f makeFlags, opt convert.Options, x extra) error {
	work := c.begin("reading the sources")
	defer work.end()
	m, err := buildWith(args, f.output, f.force, opt, x, work.next)
	if err != nil {
		return err
	}
	if f.asJSON {
		err = c.json(makeJSON(m))
	} else {
		m.print(c)
	}
	if err == nil && wanting(m.result.Findings) > 0 {
		return person
	}
	return err
}

// build makes one edition and writes it. stage is told what goes on.
func build(args []string, output string, force bool, opt convert.Options, stage func(string)) (*made, error) {
	return buildWith(args, output, force, opt, extra{}, stage)
}

// buildWith makes one edition with files of other formats beside it, unless an interrupt
// stops it before these appear.
func buildWith(args []string, output string, force bool, opt convert.Options, x extra, stage func(string)) (*made, error) {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	return buildUntil(ctx, args, output, force, opt, x, stage)
}

func buildUntil(ctx context.Context, args []string, output string, force bool, opt convert.Options, x extra, stage func(string)) (*made, error) {
	files, skipped, err := openSources(args)
	if err != nil {
		return nil, err
	}
	m := &made{files: files, skipped: skipped, extra: x, words: opt.Words}
	if m.out, err = place(asEdition(output, x.formats), files, args); err != nil {
		return nil, err
	}
	for _, f := range x.formats {
		m.out.more = append(m.out.more, f.beside(m.out.edition))
	}
	if opt.Finders {
		m.out.more = append(m.out.more, finderNames(m.out.edition)...)
	}
	if err := m.out.allow(args, files, force); err != nil {
		return nil, err
	}
	m.stale = m.out.stale()
	if m.decisions, opt.Decisions, err = decisionsOf(x.decisions, files, args); err != nil {
		return nil, err
	}
	opt.Name = filepath.Base(m.out.edition)
	stage(fmt.Sprintf("making one book of %s, %s", count(len(files), "file"), count(braillePages(files), "page")))
	if m.result, err = until(ctx, func() (*convert.Result, error) { return convertFiles(files, opt, x.fixed) }); err != nil {
		return nil, explain(err)
	}
	for _, f := range files {
		m.result.Findings = append(printDoubt(f), m.result.Findings...)
	}
	stage("writing the edition")
	set := m.out.stage(m.result.Edition, m.result.Account) // written while the report is made
	defer set.Cancel()
	m.describe()
	m.rides = rides(m.result)
	if err := m.writeFormats(x); err != nil {
		return nil, err
	}
	if err := m.writeFinders(); err != nil {
		return nil, err
	}
	m.report = m.text()
	set.Add(m.reports()...)
	if ctx.Err() != nil {
		return nil, stoppedEarly()
	}
	if err := m.commit(set); err != nil {
		return nil, refuse("nothing was written", "%s", err)
	}
	return m, nil
}

// explain lists the titles when there is more than one.
func explain(err error) error {
	var many *convert.ManyTitles
	var twin *convert.VolumeTwice
	switch {
	case errors.As(err, &twin):
		return &fault{code: Failed, what: err.Error(), hint: "find out which of the two is right, and name the files without the other: continuo make FILE..."}
	case !errors.As(err, &many):
		return err
	}
	f := &fault{code: Failed, what: fmt.Sprintf("%s found; make takes the volumes of one title", count(len(many.Titles), "title")),
		hint: "name the files of one title, out of a zip unpacked first: continuo make FILE..."}
	for i, t := range many.Titles {
		line := fmt.Sprintf("title %d: %s", i+1, titleName(t))
		if print := titlePrint(t); print != "" {
			line += "; in print: " + print
		}
		f.more = append(f.more, line)
		for _, v := range t.Volumes {
			f.more = append(f.more, fmt.Sprintf("%s: %s", volumeLabel(v), v.File))
		}
	}
	return f
}

// print says what was made, the outcome first.
func (m *made) print(c console) {
	if n := wanting(m.result.Findings); n > 0 {
		c.say("done, look: %s", wants(n))
	} else {
		c.say("done: one edition of %s", count(m.result.Stats.Volumes, "volume"))
	}
	c.say("edition: %s", m.out.edition)
	c.say("account: %s", m.out.account)
	c.say("report: %s", m.out.report)
	for _, s := range m.siblings {
		c.say("%s: %s", s.f.name, s.path)
	}
	for _, p := range m.stale {
		c.say("not made again: %s", p)
	}
	for _, line := range metadataLines(m.extra) {
		c.say("%s", line)
	}
	for _, t := range m.result.Survey.Titles {
		c.fact("title in print", titlePrint(t))
		c.fact("author line in print", inPrint(m.author, m.variant()))
		c.say("code: %s", codeName(t))
	}
	for _, f := range figures(m.result.Stats) {
		c.say("%s: %d", f.label, f.value)
	}
	for _, line := range m.decisionLines() {
		c.say("%s", line)
	}
	for _, line := range findingLines(m.result.Findings, m.variant()) {
		c.say("%s", line)
	}
	for _, line := range skippedLines(m.skipped) {
		c.say("%s", line)
	}
}

// wants is "1 place wants a person's eye", "2 places want a person's eye".
func wants(n int) string {
	if n == 1 {
		return "1 place wants a person's eye"
	}
	return count(n, "place") + " want a person's eye"
}
