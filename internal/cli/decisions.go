package cli

import (
	"fmt"
	"strings"
	"unicode"

	"github.com/spf13/cobra"

	"continuo/internal/convert"
	"continuo/internal/decide"
	"continuo/internal/decidefile"
	"continuo/internal/diag"
	"continuo/internal/source"
	"continuo/internal/triage"
)

// addDecisions puts the flag on a command that reads decisions.
func addDecisions(cmd *cobra.Command, path *string) {
	cmd.Flags().StringVar(path, "decisions", "", "`FILE` what people decided about the title; without it title.decisions.toml beside the volumes")
}

// decisionsPath is the file of decisions of a title.
func decisionsPath(named string, files []*source.File, args []string) string {
	if named != "" {
		return named
	}
	return decidefile.Beside(args, strings.TrimSuffix(defaultName(files, args), "-continuous.brf"))
}

// decisionsOf reads the file of decisions of a title; path is empty when there
// is none. A file that was named must be there.
func decisionsOf(named string, files []*source.File, args []string) (path string, f *decide.File, err error) {
	path = decisionsPath(named, files, args)
	text, f, err := decidefile.Read(path)
	switch {
	case err != nil:
		return path, nil, refuse("docs/usage.md lists the keys; edit the file, or move it away", "%s", err)
	case text == nil && named != "":
		return path, nil, refuse("continuo decide writes it", "no such file of decisions: %s", source.Quote(named))
	case text == nil:
		return "", f, nil
	}
	return path, f, nil
}

// decisionLines tell what people decided and what can still be decided.
func (m *made) decisionLines() []string {
	var out []string
	line := func(format string, a ...any) { out = append(out, fmt.Sprintf(format, a...)) }
	settled, small := 0, 0
	for _, q := range m.result.Questions {
		switch {
		case q.Settled():
			settled++
		case q.Severity == diag.Note:
			small++
		}
	}
	if m.decisions != "" {
		line("decisions file: %s", m.decisions)
	}
	if settled > 0 {
		line("places decided by a person: %d", settled)
	}
	for _, a := range m.result.Corrected {
		if a.Why == "" {
			line("mended: correction %d: %s to %s", a.Number, a.Old, a.New)
		}
	}
	if small > 0 {
		line("small doubts that can be decided: %d; continuo decide --all asks about them", small)
	}
	return out
}

// title is one title as decide and correct need it: its conversion with what
// is decided already.
type title struct {
	args   []string
	files  []*source.File
	opt    convert.Options
	path   string // of the file of decisions, also when it is not there yet
	file   *decide.File
	result *convert.Result

	others  []string   // files of other titles of the same set, see triage.Input
	habit   string     // see triage.Input
	archive *inArchive // the catalogue it was named by, nil when its files were named
	who     string
	changed bool // its decisions were
}

// decideFlags are the flags that decide and correct share.
type decideFlags struct {
	decisions, profile, who, why string
	folder                       string // of the catalogue
	asJSON, list                 bool
}

func (f *decideFlags) add(cmd *cobra.Command) {
	flags := cmd.Flags()
	addDecisions(cmd, &f.decisions)
	addCatalogue(cmd, &f.folder)
	flags.StringVar(&f.profile, "profile", "", "`FILE` house settings that the title is made with")
	flags.StringVar(&f.who, "who", "", "`NAME` who decides; it stands in the file and in the account")
	flags.StringVar(&f.why, "why", "", "`TEXT` why, for those who come after")
	flags.BoolVar(&f.list, "list", false, "list and ask nothing")
	flags.BoolVar(&f.asJSON, "json", false, "print one JSON object instead of lines")
}

// open reads a title and converts it in memory: the one whose files are named, or
// the one of the catalogue that has the key.
func (f *decideFlags) open(args []string) (*title, error) {
	a, err := f.keyed(args)
	if err != nil {
		return nil, err
	}
	if a != nil {
		return f.openKeyed(a)
	}
	t := &title{args: args, opt: convert.Defaults()}
	if err := useProfile(&t.opt, f.profile); err != nil {
		return nil, err
	}
	if t.files, _, err = openSources(args); err != nil {
		return nil, err
	}
	t.path = decisionsPath(f.decisions, t.files, args)
	return t, t.again()
}

// again reads the decisions anew and converts with them.
func (t *title) again() error {
	_, file, err := readDecisions(t.path)
	if err != nil {
		return err
	}
	t.file, t.opt.Decisions = file, file
	return t.convert()
}

// convert makes the title in memory.
func (t *title) convert() (err error) {
	if t.result, err = convert.Make(t.files, t.opt); err != nil {
		return explain(err)
	}
	t.result.Questions = append(t.result.Questions, triage.Ask(triage.Input{Files: t.files, Result: t.result, Others: t.others, Habit: t.habit, Decisions: t.opt.Decisions, Rules: t.opt.Profile.Rules})...)
	return nil
}

func readDecisions(path string) ([]byte, *decide.File, error) {
	text, f, err := decidefile.Read(path)
	if err != nil {
		err = refuse("docs/usage.md lists the keys; edit the file, or move it away", "%s", err)
	}
	return text, f, err
}

// needWho refuses to write a decision that nobody stands for.
func (f *decideFlags) needWho() error {
	if strings.TrimSpace(f.who) == "" {
		return wrong("the name stands in the file and in the account: --who NAME", "who decides? --who is missing")
	}
	for flag, words := range map[string]string{"who": f.who, "why": f.why} {
		if strings.ContainsFunc(words, unicode.IsControl) {
			return wrong("leave line ends and tabs out", "--%s is not one line: %q", flag, words)
		}
	}
	return nil
}

// needWhoOf refuses to take back a decision about a title of a catalogue without
// a name: the catalogue's history keeps who decided what and when. A file beside
// a title on its own keeps no history.
func (f *decideFlags) needWhoOf(t *title) error {
	if t.archive == nil {
		return nil
	}
	return f.needWho()
}

// change writes the file of decisions.
func (t *title) change(do func(text []byte) ([]byte, error)) error {
	if err := decidefile.Change(t.path, do); err != nil {
		return refuse("nothing was changed", "%s", err)
	}
	t.changed = true
	return t.sync()
}
