package cli

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/spf13/cobra"

	"continuo/internal/batch"
	"continuo/internal/catalogue"
	"continuo/internal/plaintext"
	"continuo/internal/source"
)

// listFlags are the filters of archive list and find.
type listFlags struct {
	folder                string
	states                []string
	f                     catalogue.Filter
	asJSON, asCSV, passed bool
}

func (l *listFlags) add(cmd *cobra.Command) {
	flags := cmd.Flags()
	addCatalogue(cmd, &l.folder)
	flags.StringSliceVar(&l.states, "state", nil, "`STATES` any of stop, look, ready, new; with commas")
	flags.StringVar(&l.f.Title, "title", "", "`TEXT` that is in the title")
	flags.StringVar(&l.f.Author, "author", "", "`TEXT` that is in the author line")
	flags.StringVar(&l.f.Subject, "subject", "", "`TEXT` that is in a subject of title.toml")
	flags.StringVar(&l.f.Code, "code", "", "`CODE` UEB, SEB, EBAE or unknown")
	flags.StringVar(&l.f.Finding, "finding", "", "`KIND` of a finding, reason or question, such as volume-missing; continuo archive stats lists findings and reasons")
	flags.Var((*since)(&l.f.Since), "since", "`DATE` made on this day or later, as 2026-01-31")
	flags.Float64Var(&l.f.Confidence, "confidence", 0, "`N` at most this sure, 0 to 1")
	flags.BoolVar(&l.f.Unproved, "unproved", false, "only titles that are not proved")
	flags.BoolVar(&l.f.Gone, "gone", false, "only titles whose sources are no longer there")
	flags.StringVar(&l.f.Sort, "sort", "", "`ORDER` "+either(catalogue.Sorts())+"; without it by state, the most doubtful first")
	flags.BoolVar(&l.f.Reverse, "reverse", false, "the other way round")
	flags.IntVar(&l.f.Limit, "limit", 0, "`N` titles at most; without it all")
	flags.IntVar(&l.f.Offset, "offset", 0, "`N` titles to leave out at the start")
	flags.BoolVar(&l.asJSON, "json", false, "print one JSON object instead of lines")
	flags.BoolVar(&l.asCSV, "csv", false, "print a table for spreadsheets")
	complete(cmd, "state", "stop", "look", "ready", "new")
	complete(cmd, "code", "UEB", "SEB", "EBAE", "unknown")
	complete(cmd, "sort", catalogue.Sorts()...)
}

func archiveListCommand(c console) *cobra.Command {
	var l listFlags
	cmd := &cobra.Command{
		Use:     "list",
		Short:   "titles of the catalogue, the most doubtful first",
		Example: "continuo archive list --state stop,look\ncontinuo archive list --author lee --sort title\ncontinuo archive list --csv > titles.csv\ncontinuo archive list --passed-over\n  files that are no part of any edition, and why",
		Args:    atMost(0),
		RunE:    func(*cobra.Command, []string) error { return l.print(c, "") },
	}
	l.add(cmd)
	cmd.Flags().BoolVar(&l.passed, "passed-over", false, "list files that are no part of any edition, and why")
	return cmd
}

func archiveFindCommand(c console) *cobra.Command {
	var l listFlags
	cmd := &cobra.Command{
		Use:     "find WORD...",
		Short:   "titles by words of their title, author, headings or subjects",
		Long:    "All WORDs must be there, each at least as the beginning of a word. Capitals and accents do not matter. A title number, or the beginning of a key, is found too.",
		Example: "continuo archive find lantern tide\ncontinuo archive find chapter moon --state ready --json",
		Args:    atLeast(1, "at least one WORD"),
		RunE:    func(_ *cobra.Command, args []string) error { return l.print(c, strings.Join(args, " ")) },
	}
	l.add(cmd)
	return cmd
}

func (l *listFlags) print(c console, text string) error {
	if l.asJSON && l.asCSV {
		return wrong("give one of them", "--json and --csv do not go together")
	}
	for _, s := range l.states {
		if !slices.Contains(catalogue.States(), catalogue.State(s)) {
			return wrong("continuo help archive list lists the flags", "--state must be stop, look, ready or new, not %q", s)
		}
		l.f.States = append(l.f.States, catalogue.State(s))
	}
	if l.f.Sort != "" && (!slices.Contains(catalogue.Sorts(), l.f.Sort) || l.f.Sort == "match" && text == "") {
		return wrong("continuo help archive list lists the flags", "--sort must be %s, not %q", either(catalogue.Sorts()), l.f.Sort)
	}
	if l.f.Confidence < 0 || l.f.Confidence > 1 {
		return wrong("continuo help archive list lists the flags", "--confidence is from 0 to 1, not %g", l.f.Confidence)
	}
	cat, err := openCatalogue(l.folder)
	if err != nil {
		return err
	}
	defer cat.Close()
	if l.passed {
		return passedOver(c, cat, l.asJSON)
	}
	if l.f.Text = text; text != "" && l.f.Sort == "" {
		l.f.Sort = "match"
	}
	page, err := l.search(cat)
	switch {
	case err != nil:
		return refuse("continuo help archive list lists the filters", "%s", err)
	case l.asJSON:
		return c.json(page)
	case l.asCSV:
		return titlesCSV(c, page.Titles)
	}
	c.say("found: %s", count(page.Total, "title"))
	for _, t := range page.Titles {
		c.say("%s", titleLine(t))
	}
	if n := page.Total - page.Offset - len(page.Titles); n > 0 {
		c.say("more: %s", count(n, "title"))
	}
	return nil
}

// search lists the titles that are meant. One word that no title has, or that has
// figures, may be the beginning of a key.
func (l *listFlags) search(cat *catalogue.Catalogue) (catalogue.Page, error) {
	word := strings.TrimSpace(l.f.Text)
	if word != "" && !strings.ContainsFunc(word, unicode.IsSpace) {
		byKey := l.f
		byKey.Text, byKey.Key = "", word
		if byKey.Sort == "match" {
			byKey.Sort = "key"
		}
		keyed, err := cat.List(context.Background(), byKey)
		if err == nil && keyed.Total > 0 {
			found, err := cat.List(context.Background(), l.f)
			if err != nil || found.Total == 0 || strings.ContainsAny(word, "0123456789") {
				return keyed, nil
			}
			return found, nil
		}
	}
	return cat.List(context.Background(), l.f)
}

func passedOver(c console, cat *catalogue.Catalogue, asJSON bool) error {
	list, err := cat.PassedOverFiles(context.Background())
	if err != nil {
		return err
	}
	if asJSON {
		return c.json(list)
	}
	c.say("passed over: %s", count(len(list), "file"))
	for _, p := range list {
		c.say("%s: %s", p.Path, p.Why)
	}
	return nil
}

// titlesCSV prints a table with a line of names.
func titlesCSV(c console, list []catalogue.Title) error {
	w := csv.NewWriter(c.out)
	w.UseCRLF = true // RFC 4180
	w.Write([]string{"key", "state", "confidence", "title", "author", "code", "contracted", "volumes", "pages", "bytes", "reason", "fault", "location", "found_by", "made"})
	for _, t := range list {
		w.Write([]string{t.Key, string(t.State), fmt.Sprintf("%.3f", t.Confidence), plaintext.Inert(t.Title), plaintext.Inert(t.Author), t.Code, strconv.FormatBool(t.Contracted), strconv.Itoa(t.Volumes),
			strconv.Itoa(t.Pages), strconv.FormatInt(t.Bytes, 10), plaintext.Inert(t.Best), plaintext.Inert(t.Fault), t.Location, t.FoundBy, t.Made})
	}
	w.Flush()
	return w.Error()
}

// completeKeys offers the keys of the catalogue's titles.
func completeKeys(cmd *cobra.Command, args []string, begin string) ([]string, cobra.ShellCompDirective) {
	folder, err := cmd.Flags().GetString("catalogue")
	if err != nil {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	cat, err := openCatalogue(folder)
	if err != nil {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	defer cat.Close()
	keys, _ := cat.Keys(context.Background(), begin, 100)
	return keys, cobra.ShellCompDirectiveNoFileComp
}

func archiveShowCommand(c console) *cobra.Command {
	var folder string
	var asJSON bool
	cmd := &cobra.Command{
		Use:               "show KEY",
		Short:             "all that is known of one title",
		Example:           "continuo archive show 40172\ncontinuo archive show the-bell --json",
		Args:              exactly(1, "the KEY of a title, as list shows it"),
		ValidArgsFunction: completeKeys,
		RunE: func(_ *cobra.Command, args []string) error {
			cat, err := openCatalogue(folder)
			if err != nil {
				return err
			}
			defer cat.Close()
			d, err := cat.Show(context.Background(), args[0])
			if errors.Is(err, catalogue.ErrNotFound) {
				return refuse("continuo archive list shows the keys; continuo archive find WORD looks for one", "no such title: %s", source.Quote(args[0]))
			}
			if err != nil {
				return err
			}
			if asJSON {
				return c.json(d)
			}
			c.show(d)
			return nil
		},
	}
	addCatalogue(cmd, &folder)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one JSON object instead of lines")
	return cmd
}

// show prints a title, what matters most first.
func (c console) show(d *catalogue.Detail) {
	c.say("%s: %s", d.State, d.Key)
	if d.Gone {
		c.say("sources: no longer there; what was made of them is kept")
	}
	c.fact("title", oneLine(d.Title.Title))
	c.fact("author", oneLine(d.Author))
	for _, r := range d.Reasons {
		c.say("because: %s", oneLine(r.Text))
	}
	c.say("confidence: %.3f", d.Confidence)
	if p := d.Proof; p != nil {
		c.say("%s: %s", map[bool]string{true: "proved", false: "not proved"}[p.Proved], p.At)
	}
	c.fact("title in cells", d.TitleCells)
	c.say("found by: %s", d.FoundBy)
	c.say("found in: %s", d.Location)
	c.fact("code", codeOf(d))
	c.fact("layout", d.Layout)
	for i, v := range d.VolumeList {
		number := strconv.Itoa(i + 1)
		if v.Number > 0 && v.Of > 0 {
			number = fmt.Sprintf("%d of %d", v.Number, v.Of)
		}
		c.say("volume %s: %s, %s, sha256 %s", number, v.Path, count(v.Pages, "page"), v.SHA256)
	}
	for _, e := range d.Editions {
		c.say("%s: %s, %d bytes", e.Format, e.Path, e.Bytes)
	}
	for _, m := range d.Metadata {
		c.say("%s, from %s: %s", m.Name, m.Origin, oneLine(m.Value))
	}
	for _, p := range d.PassedOver {
		c.say("passed over: %s: %s", p.Path, p.Why)
	}
	for _, f := range d.Findings {
		at := ""
		if f.Page > 0 {
			at = fmt.Sprintf("%s page %d line %d: ", f.File, f.Page, f.Line)
		} else if f.File != "" {
			at = f.File + ": "
		}
		c.say("%s: %s%s", f.Severity, at, oneLine(f.Text))
		if f.Cells != "" {
			c.fact("cells", oneLine(f.Cells))
			c.fact("in print", f.Print)
		}
	}
	for _, x := range d.Decisions {
		back := ""
		if x.Undone != "" {
			back = "; taken back, " + x.Undone + ", " + x.UndoneBy
		}
		c.say("decision, %s, %s: %s: %s%s", x.At, x.Who, x.Kind, x.Choice, back)
	}
	c.say("headings: %d", len(d.Headings))
	for _, h := range d.Headings {
		c.say("heading, line %d: %s", h.Line, h.Print)
	}
	for _, e := range d.History {
		c.say("history, %s, %s: %s", e.At, e.Who, strings.TrimSpace(e.What+" "+oneLine(e.Text)))
	}
}

func codeOf(d *catalogue.Detail) string {
	if d.Code == "" {
		return ""
	}
	s := d.Code
	if d.Contracted {
		s += " contracted"
	}
	if d.Capitals {
		s += ", with capitals"
	}
	if !d.CodeSure {
		s += " (not sure)"
	}
	return s
}

func archiveStatsCommand(c console) *cobra.Command {
	var folder string
	var asJSON bool
	cmd := &cobra.Command{
		Use:     "stats",
		Short:   "figures of the whole archive",
		Example: "continuo archive stats\ncontinuo archive stats --json",
		Args:    atMost(0),
		RunE: func(*cobra.Command, []string) error {
			cat, err := openCatalogue(folder)
			if err != nil {
				return err
			}
			defer cat.Close()
			s, err := cat.Stats(context.Background())
			if err != nil {
				return err
			}
			if asJSON {
				return c.json(s)
			}
			c.stats(s)
			return nil
		},
	}
	addCatalogue(cmd, &folder)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one JSON object instead of lines")
	return cmd
}

func (c console) stats(s *catalogue.Stats) {
	c.say("titles: %d", s.Titles)
	for _, x := range s.States {
		c.say("%s: %d", x.Name, x.Count)
	}
	c.say("proved: %d", s.Proved)
	c.say("without an edition of their sources: %d", s.Failed)
	c.say("volumes: %d", s.Volumes)
	c.say("pages: %d", s.Pages)
	c.say("sources: %.1f MB", float64(s.Bytes)/1e6)
	c.say("titles whose sources are gone: %d", s.Gone)
	c.say("files passed over: %d", s.PassedOver)
	for _, x := range s.Codes {
		c.say("code %s: %d", x.Name, x.Count)
	}
	for _, x := range s.Reasons {
		c.say("first reason %s: %d", x.Name, x.Count)
	}
	for _, x := range s.Findings {
		c.say("finding %s: %d", x.Name, x.Count)
	}
	if r := s.LastRun; r != nil {
		c.say("last run: %s", r.Started)
		if r.Ended == "" {
			c.say("last run: stopped before its end; continuo archive run goes on")
		}
	}
}

func archiveVerifyCommand(c console) *cobra.Command {
	var folder string
	var asJSON bool
	var workers int
	cmd := &cobra.Command{
		Use:   "verify [KEY...]",
		Short: "prove all editions again from disk, and look the catalogue over",
		Long:  "Reads every edition, account and source again, compares them with the catalogue, and proves each edition anew. An edition that the run could not prove either is named and is no fault. Exit code 1 when something is not as it should be. With KEYs only these titles are read.",
		Example: `continuo archive verify
continuo archive verify 40172 the-bell`,
		ValidArgsFunction: completeKeys,
		RunE: func(_ *cobra.Command, args []string) error {
			return verifyArchive(c, folder, args, workers, asJSON)
		},
	}
	addCatalogue(cmd, &folder)
	cmd.Flags().IntVar(&workers, "workers", 0, "`N` titles at once; without it as many as there are cores")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one JSON object instead of lines")
	return cmd
}

type jsonVerify struct {
	Outcome   string           `json:"outcome"`
	Titles    int              `json:"titles"`
	Proved    int              `json:"proved"`
	Catalogue []string         `json:"catalogue_problems"`
	Problems  []batch.Verified `json:"problems"`
	Before    []string         `json:"not_proved_before"` // editions that the catalogue knows as not proved
}

// lastProof gives a look over the archive what the proof needs of the profile of the
// last run.
func lastProof(ctx context.Context, cat *catalogue.Catalogue, o *batch.Options) error {
	text, err := cat.Setting(ctx, "run")
	if err != nil || text == "" {
		return err
	}
	var last remembered
	if err := json.Unmarshal([]byte(text), &last); err != nil {
		return err
	}
	return proofOf(last.Profile, o)
}

func verifyArchive(c console, folder string, keys []string, workers int, asJSON bool) error {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	cat, err := openCatalogue(folder)
	if err != nil {
		return err
	}
	if full, err := catalogue.Open(cat.Path()); err == nil { // where it can be written to, its search is looked over too
		cat.Close()
		cat = full
	}
	defer cat.Close()
	page, err := cat.List(ctx, catalogue.Filter{Sort: "key"})
	if err != nil {
		return err
	}
	titles := page.Titles
	if len(keys) > 0 {
		titles = slices.DeleteFunc(titles, func(t catalogue.Title) bool { return !slices.Contains(keys, t.Key) })
		for _, k := range keys {
			if !slices.ContainsFunc(titles, func(t catalogue.Title) bool { return t.Key == k }) {
				return refuse("continuo archive list shows the keys", "no such title: %s", source.Quote(k))
			}
		}
	}
	wrongs, err := cat.Check(ctx)
	if err != nil {
		return refuse("a backup can take its place", "%s", err)
	}
	o := batch.Options{Workers: workers, Progress: c.batchProgress}
	if err := lastProof(ctx, cat, &o); err != nil {
		return err
	}
	list, err := batch.Verify(ctx, cat, titles, o)
	if err != nil {
		return refuse("nothing was changed", "stopped before the end")
	}
	unproved, err := cat.List(ctx, catalogue.Filter{Unproved: true})
	if err != nil {
		return err
	}
	out := jsonVerify{Titles: len(titles), Catalogue: append([]string{}, wrongs...), Problems: []batch.Verified{}, Before: []string{}}
	for _, v := range list {
		if v.Proved {
			out.Proved++
		}
		if len(v.NotProved) > 0 && slices.ContainsFunc(unproved.Titles, func(t catalogue.Title) bool { return t.Key == v.Key }) {
			out.Before, v.NotProved = append(out.Before, v.Key), nil // a run has told it
		}
		if len(v.Problems)+len(v.NotProved) > 0 {
			out.Problems = append(out.Problems, v)
		}
	}
	return out.tell(c, asJSON)
}

func (v jsonVerify) tell(c console, asJSON bool) error {
	v.Outcome = "sound"
	bad := len(v.Catalogue)+len(v.Problems) > 0
	if bad {
		v.Outcome = "not sound"
	}
	if asJSON {
		if err := c.json(v); err != nil {
			return err
		}
	} else {
		c.say("%s: %s read", v.Outcome, count(v.Titles, "title"))
		c.say("proved: %d", v.Proved)
		for _, s := range v.Catalogue {
			c.say("catalogue: %s", s)
		}
		for _, p := range v.Problems {
			for _, s := range append(p.Problems, p.NotProved...) {
				c.say("%s: %s", p.Key, s)
			}
		}
		for _, key := range v.Before {
			c.say("not proved, as the run found: %s", key)
		}
	}
	if bad {
		return &fault{code: Failed, what: "the archive is not as the catalogue says", hint: "continuo archive run makes again what is lost or whose sources changed; with --force what somebody changed too"}
	}
	return nil
}

func archiveBackupCommand(c console) *cobra.Command {
	var folder string
	cmd := &cobra.Command{
		Use:     "backup FILE",
		Short:   "a copy of the catalogue, also while a run is on",
		Long:    "FILE must not be there yet. The copy is one file and whole; to use it, put it in the place of " + catalogue.FileName + ".",
		Example: "continuo archive backup catalogue-2026-01-31.db",
		Args:    exactly(1, "the name of a FILE"),
		RunE: func(_ *cobra.Command, args []string) error {
			cat, err := openCatalogue(folder)
			if err != nil {
				return err
			}
			defer cat.Close()
			if err := cat.Backup(context.Background(), args[0]); err != nil {
				return refuse("choose another name", "%s", err)
			}
			c.say("done: %s", args[0])
			return nil
		},
	}
	addCatalogue(cmd, &folder)
	return cmd
}
