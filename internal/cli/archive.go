package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"continuo/internal/batch"
	"continuo/internal/catalogue"
	"continuo/internal/convert"
	"continuo/internal/plaintext"
	"continuo/internal/profile"
	"continuo/internal/source"
)

// catalogueFolder is where a catalogue is looked for and made without
// --catalogue.
const catalogueFolder = "continuo-catalogue"

func archiveCommand(c console) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "archive COMMAND",
		Short: "a whole archive: editions of all titles, and a catalogue of them",
		Long: `Finds the titles in folders and zips, makes and proves an edition of each, and keeps a catalogue of them in a folder of its own: --catalogue FOLDER, without it ` + catalogueFolder + ` in this folder.
Each title is ready (proved complete, nothing doubtful), look (some places want a person) or stop (a volume is missing, damaged or foreign). The sources are never touched.`,
		Example: "continuo archive run books/\n  makes and proves editions of all titles in books\ncontinuo archive list --state stop,look\n  what wants a person, the most doubtful first\ncontinuo archive find lantern\ncontinuo archive show 40172",
	}
	return group(cmd, archiveRunCommand(c), archiveListCommand(c), archiveFindCommand(c), archiveShowCommand(c), archiveStatsCommand(c), archiveVerifyCommand(c), archiveBackupCommand(c))
}

// addCatalogue adds the flag that names the folder of the catalogue.
func addCatalogue(cmd *cobra.Command, to *string) {
	cmd.Flags().StringVar(to, "catalogue", catalogueFolder, "`FOLDER` of the catalogue and the editions")
}

// openCatalogue opens a catalogue that must be there, to read.
func openCatalogue(folder string) (*catalogue.Catalogue, error) {
	return catalogueIn(folder, catalogue.OpenReadOnly)
}

// catalogueIn opens a catalogue that must be there.
func catalogueIn(folder string, open func(string) (*catalogue.Catalogue, error)) (*catalogue.Catalogue, error) {
	path := filepath.Join(folder, catalogue.FileName)
	info, err := os.Stat(path)
	if err != nil {
		return nil, refuse("continuo archive run FOLDER... makes one; --catalogue FOLDER names another", "no catalogue in %s", source.Quote(folder))
	}
	if info.Size() == 0 {
		return nil, refuse(catalogueHint(nil), "catalogue %s is an empty file", source.Quote(path))
	}
	cat, err := open(path)
	if err != nil {
		return nil, &fault{code: Failed, what: err.Error(), hint: catalogueHint(err), from: err}
	}
	return cat, nil
}

// catalogueHint is what to do about a catalogue that cannot be opened.
func catalogueHint(err error) string {
	switch {
	case errors.Is(err, catalogue.ErrUnwritable):
		return "give yourself the right to write to the folder of the catalogue, or choose another folder with --catalogue FOLDER"
	case errors.Is(err, catalogue.ErrNewer):
		return "use that newer continuo, or another catalogue: --catalogue FOLDER"
	}
	return "put a backup in its place, or begin anew: continuo archive run FOLDER... --catalogue NEW"
}

// archiveRun are the flags of archive run.
type archiveRun struct {
	makeFlags
	folder                       string
	workers                      int
	noProof, again, rehash, json bool
}

func archiveRunCommand(c console) *cobra.Command {
	var f archiveRun
	cmd := &cobra.Command{
		Use:   "run [SOURCE...]",
		Short: "make and prove what is new or changed",
		Long: `SOURCE is a folder that holds the archive, or several, or zips. Without it the ones of the last run are searched again.
Titles are told by their file names (a title number and the volume), one folder or zip a title, or by their title pages; a profile can say how a house names its files. What did not change since the last run is left as it is.
Can be stopped at any moment; the next run goes on. Without flags a run has the settings of the last one.`,
		Example: "continuo archive run books/\ncontinuo archive run\n  the same again: only what is new or changed\ncontinuo archive run /media/braille --catalogue /srv/continuo --profile house.toml",
		RunE: func(cmd *cobra.Command, args []string) error {
			return f.run(c, cmd, args)
		},
	}
	flags := cmd.Flags()
	addCatalogue(cmd, &f.folder)
	flags.IntVar(&f.width, "width", -1, "`N` cells a line, 12 to 200, or 0 for one line a paragraph; without it the width of the source")
	for _, x := range f.choices() {
		flags.StringVar(x.value, x.flag, x.values[0], x.usage)
		complete(cmd, x.flag, x.values...)
	}
	flags.StringVar(&f.profile, "profile", "", "`FILE` house settings, or the name of settings that come with the program: uk, north-america")
	flags.IntVar(&f.workers, "workers", 0, "`N` titles at once; without it as many as there are cores")
	flags.BoolVar(&f.noProof, "no-proof", false, "leave the proof out; no title is ready then")
	flags.BoolVar(&f.again, "again", false, "make every title again, changed or not")
	flags.BoolVar(&f.rehash, "rehash", false, "read every source, also where size and time say that it did not change")
	flags.BoolVar(&f.force, "force", false, "write over editions that somebody changed")
	flags.BoolVar(&f.json, "json", false, "print one JSON object instead of lines")
	return cmd
}

// remembered are the settings of a run that the catalogue keeps for the next.
type remembered struct {
	Roots   []string
	Width   int
	Blank   string
	Markers string
	Rejoin  string
	Profile string
	NoProof bool
}

// settingFlags are the flags whose values a catalogue keeps.
var settingFlags = []string{"width", "blank-lines", "end-markers", "rejoin", "profile", "no-proof"}

// recall fills in what was not given from the last run, and keeps what holds
// now.
func (f *archiveRun) recall(ctx context.Context, cat *catalogue.Catalogue, cmd *cobra.Command, args []string) ([]string, error) {
	var last remembered
	text, err := cat.Setting(ctx, "run")
	if err != nil {
		return nil, err
	}
	if text != "" {
		if err := json.Unmarshal([]byte(text), &last); err != nil {
			return nil, err
		}
		given := false
		for _, name := range settingFlags {
			given = given || cmd.Flags().Changed(name)
		}
		if !given {
			f.width, f.blank, f.markers, f.rejoin, f.profile, f.noProof = last.Width, last.Blank, last.Markers, last.Rejoin, last.Profile, last.NoProof
		}
	}
	roots := last.Roots
	if len(args) > 0 {
		roots = nil
		for _, a := range args {
			full, err := filepath.Abs(a)
			if err != nil {
				return nil, err
			}
			roots = append(roots, full)
		}
	}
	if len(roots) == 0 {
		return nil, wrong("use: continuo archive run SOURCE...", "the first run needs a SOURCE: the folder of the archive")
	}
	return roots, nil
}

func (f *archiveRun) keep(ctx context.Context, cat *catalogue.Catalogue, roots []string) error {
	house := f.profile
	if house != "" {
		if _, err := os.Stat(house); err == nil {
			if house, err = filepath.Abs(house); err != nil {
				return err
			}
		}
	}
	text, err := json.Marshal(remembered{roots, f.width, f.blank, f.markers, f.rejoin, house, f.noProof})
	if err != nil {
		return err
	}
	return cat.Set(ctx, "run", string(text))
}

func (f *archiveRun) run(c console, cmd *cobra.Command, args []string) error {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	for _, a := range args {
		if err := isThere(a, "SOURCE is a folder that holds titles, or a zip"); err != nil {
			return err
		}
	}
	_, fresh := os.Stat(filepath.Join(f.folder, catalogue.FileName))
	cat, done, err := batch.Open(f.folder)
	switch {
	case errors.Is(err, batch.ErrLocked):
		return refuse("wait for it, or stop it; its work is kept", "%s: %s", err, source.Quote(f.folder))
	case err != nil && fresh == nil:
		return refuse(catalogueHint(err), "%s", err)
	case err != nil:
		return refuse("choose another folder with --catalogue FOLDER", "%s", err)
	}
	defer done()
	roots, err := f.recall(ctx, cat, cmd, args)
	if err != nil {
		return err
	}
	opt, err := f.options(f.width != -1)
	if err != nil {
		return err
	}
	if err := f.keep(ctx, cat, roots); err != nil {
		return err
	}
	o := batch.Options{Roots: roots, Rule: opt.Profile.Files, Words: opt.Words, Make: archiveMaker(opt), Rules: opt.Profile.Rules, Settings: f.settings(opt), Prove: !f.noProof,
		Again: f.again, Rehash: f.rehash, Force: f.force, Workers: f.workers, Progress: c.batchProgress}
	if err := proofOf(f.profile, &o); err != nil {
		return err
	}
	sum, err := batch.Run(ctx, cat, o)
	if e := batch.SyncDecisions(ctx, cat, o.Who); e != nil && err == nil && ctx.Err() == nil {
		fmt.Fprintf(c.err, "decisions that cannot be read: %s\n", oneLine(e.Error()))
	}
	return f.report(c, cat, sum, err)
}

// proofOf gives a run or a look over an archive what the proof needs of a profile: its
// house rules and its structure words.
func proofOf(house string, o *batch.Options) (err error) {
	if house == "" {
		return nil
	}
	if !slices.Contains(profile.Names(), house) {
		text, err := readFile(house, "no such profile")
		if err != nil {
			return err
		}
		o.House = plaintext.Decode(text)
	}
	o.Said, err = checkWords(house)
	return err
}

// settings are all that the bytes of an edition and its record depend on.
func (f *archiveRun) settings(opt convert.Options) string {
	house, _ := json.Marshal(opt.Profile) // plain values; it cannot fail
	return fmt.Sprintf("%d %s %s %s %v %s", opt.Width, opt.Blank, opt.EndMarkers, opt.Rejoin, f.noProof, house)
}

// batchProgress prints one plain line.
func (c console) batchProgress(p batch.Progress) {
	line := fmt.Sprintf("working: %d of %d titles", p.Done, p.Total)
	if p.Failed > 0 {
		line += fmt.Sprintf(", %d failed", p.Failed)
	}
	if s := p.Elapsed.Seconds(); s > 0 {
		line += fmt.Sprintf(", %.1f MB a second", float64(p.Bytes)/1e6/s)
	}
	if p.Left > 0 {
		line += ", " + period(p.Left) + " left"
	}
	fmt.Fprintln(c.err, line)
}

// period is a time in words: seconds, or minutes from two on.
func period(d time.Duration) string {
	if d < 2*time.Minute {
		return count(int(d.Round(time.Second).Seconds()), "second")
	}
	return count(int(d.Round(time.Minute).Minutes()), "minute")
}

// archiveMaker converts a title with the given settings, and writes the report
// that make writes but for the rides.
func archiveMaker(opt convert.Options) batch.Maker {
	return func(j batch.Job) (*convert.Result, []byte, error) {
		o := opt
		o.Name, o.Decisions = j.Name, j.Decisions
		res, err := convert.Make(j.Files, o)
		if err != nil {
			return nil, nil, err
		}
		for _, f := range j.Files {
			res.Findings = append(printDoubt(f), res.Findings...)
		}
		m := &made{files: j.Files, skipped: j.Skipped, out: outputsFor(j.Name), result: res, words: opt.Words}
		if j.DecisionsFile != "" {
			m.decisions = filepath.Base(j.DecisionsFile)
		}
		m.describe()
		return res, m.text(), nil
	}
}

// shownTitles is how many titles the end of a run lists.
const shownTitles = 50

type jsonRun struct {
	Outcome    string                 `json:"outcome"`
	Catalogue  string                 `json:"catalogue"`
	Titles     int                    `json:"titles"`
	Made       int                    `json:"made"`
	Unchanged  int                    `json:"unchanged"`
	Failed     int                    `json:"failed"`
	Gone       int                    `json:"gone"`
	Moved      int                    `json:"moved"`
	Seconds    float64                `json:"seconds"`
	Bytes      int64                  `json:"bytes"`
	MadeBytes  int64                  `json:"made_bytes"`
	States     []catalogue.Count      `json:"states"`
	Wanting    []catalogue.Title      `json:"wanting"`
	PassedOver []catalogue.PassedOver `json:"passed_over"`
}

// report tells what came of a run.
func (f *archiveRun) report(c console, cat *catalogue.Catalogue, sum *batch.Summary, failed error) error {
	if sum == nil {
		return refuse("nothing was changed", "%s", failed)
	}
	ctx := context.Background()
	stats, err := cat.Stats(ctx)
	if err != nil {
		return errors.Join(failed, err)
	}
	page, err := cat.List(ctx, catalogue.Filter{States: []catalogue.State{catalogue.Stop, catalogue.Look}})
	if err != nil {
		return errors.Join(failed, err)
	}
	outcome := "done"
	switch {
	case failed != nil:
		outcome = "stopped"
	case page.Total > 0:
		outcome = "look"
	}
	if f.json {
		err = c.json(jsonRun{outcome, cat.Path(), len(sum.Outcomes), sum.Made, sum.Unchanged, sum.Failed, sum.Gone, sum.Moved, sum.Elapsed.Seconds(), sum.Bytes, sum.MadeBytes, stats.States, page.Titles, sum.PassedOver})
	} else {
		f.tell(c, cat, outcome, sum, stats, page)
	}
	switch {
	case errors.Is(failed, context.Canceled):
		return refuse("continuo archive run goes on where it stopped", "stopped before the end; what was made is whole")
	case failed != nil:
		return refuse("what was made is whole; when the cause is mended, continuo archive run goes on", "catalogue in %s: %s", source.Quote(f.folder), failed)
	case err == nil && page.Total > 0:
		return person
	}
	return err
}

func (f *archiveRun) tell(c console, cat *catalogue.Catalogue, outcome string, sum *batch.Summary, stats *catalogue.Stats, page catalogue.Page) {
	switch outcome {
	case "look":
		c.say("done, look: %s a person", counts(page.Total, "title wants", "titles want"))
	case "stopped":
		c.say("stopped: %s done", count(len(sum.Outcomes), "title"))
	default:
		c.say("done: %s", count(len(sum.Outcomes), "title"))
	}
	c.say("catalogue: %s", cat.Path())
	c.say("titles in this run: %d", len(sum.Outcomes))
	c.say("made: %d", sum.Made)
	c.say("unchanged: %d", sum.Unchanged)
	c.say("failed: %d", sum.Failed)
	if sum.Moved > 0 {
		c.say("moved to another place: %d", sum.Moved)
	}
	if sum.Gone > 0 {
		c.say("sources no longer there: %d", sum.Gone)
	}
	for _, s := range stats.States {
		c.say("%s: %d", s.Name, s.Count)
	}
	c.say("sources: %.1f MB, converted %.1f MB in %.1f seconds", float64(sum.Bytes)/1e6, float64(sum.MadeBytes)/1e6, sum.Elapsed.Seconds())
	for i, t := range page.Titles {
		if i == shownTitles {
			c.say("titles not shown: %d; continuo archive list --state stop,look shows all", page.Total-i)
			break
		}
		c.say("%s", titleLine(t))
	}
	for i, p := range sum.PassedOver {
		if i == shownTitles {
			c.say("passed over, not shown: %d; continuo archive list --passed-over shows all", len(sum.PassedOver)-i)
			break
		}
		c.say("passed over: %s: %s", p.Path, p.Why)
	}
}

// counts is a number with its words: "1 title wants", "2 titles want".
func counts(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// titleLine is a title on one line, its state first.
func titleLine(t catalogue.Title) string {
	parts := []string{fmt.Sprintf("%s: %s", t.State, t.Key)}
	if name := oneLine(t.Title); name != "" {
		parts = append(parts, name)
	}
	if a := oneLine(t.Author); a != "" {
		parts = append(parts, a)
	}
	if t.State == catalogue.Ready || t.State == catalogue.New {
		if t.Volumes > 0 {
			parts = append(parts, count(t.Volumes, "volume")+", "+count(t.Pages, "page"))
		}
	} else if t.Best != "" {
		parts = append(parts, oneLine(t.Best))
	}
	return strings.Join(parts, "; ")
}
