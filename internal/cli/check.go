package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sort"
	"strings"

	"github.com/spf13/cobra"

	"continuo/internal/check"
	"continuo/internal/decidefile"
	"continuo/internal/plaintext"
	"continuo/internal/profile"
	"continuo/internal/source"
)

func checkCommand(c console) *cobra.Command {
	var asJSON bool
	var decisions, house string
	cmd := &cobra.Command{
		Use:   "check FILE [SOURCE...]",
		Short: "prove that an edition lost nothing of its sources; check the rules of eBraille",
		Long: `FILE is an edition; its account is looked for beside it as FILE.account.jsonl. SOURCE is a volume file, a folder or a zip.
FILE may be a file of another format too (.txt, .html, .pef, .ebrl, an eBraille folder): the edition in Braille ASCII beside it is proved, and then that the file holds the same words, cell for cell.
An edition that was made again from an edition is proved against that one; where its own volumes are named too, that one is proved against them.
A second reader, which shares no code with make, reads edition, account and sources again and adds them up to the last cell. Exit code 0 only when all of it is proved.
With an eBraille publication alone, a .ebrl file or a folder, its rules are checked: everything that eBraille 1.0 demands, with file and line. Exit code 0 only when none is broken.`,
		Example: "continuo check mybook-continuous.brf mybook/\ncontinuo check mybook-continuous.html mybook/\ncontinuo check --json out.brf mybook-1.brf mybook-2.brf\ncontinuo check llyfr.brf llyfr/ --profile cymraeg.toml\ncontinuo check mybook.ebrl\n  the rules of eBraille",
		Args:    checkArgs,
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 1 {
				return checkPublication(c, args[0], asJSON)
			}
			return checkEdition(c, args[0], args[1:], proofs{decisions, house}, asJSON)
		},
	}
	cmd.Flags().StringVar(&house, "profile", "", "`FILE` house settings that the edition was made with, for their structure words and house rules")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one JSON object instead of lines")
	addDecisions(cmd, &decisions)
	completeOrFile(cmd, "profile", profile.Names()...)
	return cmd
}

// proofs are the files that say what people decided.
type proofs struct{ decisions, house string }

// texts reads them; a file of decisions that was not named may be missing.
func (p proofs) texts(files []*source.File, args []string) ([][]byte, error) {
	var out [][]byte
	path := decisionsPath(p.decisions, files, args)
	text, _, err := decidefile.Read(path)
	if err != nil {
		return nil, refuse("", "%s", err)
	}
	if text != nil {
		out = append(out, text)
	}
	if p.house != "" && !slices.Contains(profile.Names(), p.house) {
		if text, err = readFile(p.house, "no such profile"); err != nil {
			return nil, err
		}
		out = append(out, plaintext.Decode(text))
	}
	return out, nil
}

func checkEdition(c console, edition string, sources []string, p proofs, asJSON bool) error {
	work := c.begin("reading edition, account and sources")
	defer work.end()
	file := ""
	if isFormat(edition) {
		file, edition = edition, editionOf(edition)
	}
	out, rep, err := verify(edition, sources, p)
	if err != nil {
		return err
	}
	var same *check.FormatReport
	if file != "" {
		if same, err = sameWords(file, out); err != nil {
			return err
		}
	}
	if asJSON {
		err = c.json(jsonCheck{proved(rep, same), out.edition, out.account, file, same, rep})
	} else {
		c.proof(rep, file, same)
	}
	if err == nil && proved(rep, same) != "proved" {
		return &fault{code: Failed, what: "the edition is not proved", hint: notProvedHint(out, p.house)}
	}
	return err
}

// isFormat tells whether a file is one of another format than Braille ASCII: by
// its ending, and because no account stands beside it.
func isFormat(path string) bool {
	if isFolder(path) {
		return isPublication(path)
	}
	if !slices.Contains(check.Formats, strings.ToLower(filepath.Ext(path))) {
		return false
	}
	_, err := os.Stat(path + check.AccountSuffix)
	return err != nil
}

// editionOf is the edition in Braille ASCII that a file of another format
// stands beside.
func editionOf(path string) string {
	path = filepath.Clean(path)
	if isFolder(path) {
		return strings.TrimSuffix(path, folderEnding) + ".brf"
	}
	return strings.TrimSuffix(path, filepath.Ext(path)) + ".brf"
}

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

// sameWords compares a file of another format with its edition.
func sameWords(file string, out outputs) (*check.FormatReport, error) {
	book, err := os.ReadFile(out.edition)
	if err != nil {
		return nil, err
	}
	account, err := os.ReadFile(out.account)
	if err != nil {
		return nil, err
	}
	splits, err := check.Splits(account)
	if err != nil {
		splits = nil // the proof of the edition tells what is wrong with it
	}
	var rep check.FormatReport
	if isFolder(file) {
		rep, err = check.FormatFolder(file, book, splits)
	} else {
		var data []byte
		if data, err = readFile(file, "no such file"); err != nil {
			return nil, err
		}
		rep, err = check.Format(filepath.Base(file), data, book, splits)
	}
	if err != nil {
		return nil, refuse("make it again with continuo make --format", "%s", err)
	}
	return &rep, nil
}

// notProvedHint says what to do; an edition that was made with the structure
// words of a profile wants that profile.
func notProvedHint(out outputs, house string) string {
	head, err := accountHead(out.account)
	if language := string(head.Settings["words"]); err == nil && house == "" && language != "" {
		return fmt.Sprintf("the edition was made with the structure words of a profile (%s); give it with --profile FILE", strings.Trim(language, `"`))
	}
	return "make it again with continuo make, or see what was changed"
}

// verify reads everything from disk and checks it.
func verify(edition string, sources []string, p proofs) (outputs, check.Report, error) {
	out := outputsFor(edition)
	book, err := readFile(edition, "no such edition")
	if err != nil {
		return out, check.Report{}, err
	}
	account, err := readFile(out.account, "no account beside the edition")
	if err != nil {
		return out, check.Report{}, err
	}
	files, _, err := openSources(sources)
	if err != nil {
		return out, check.Report{}, err
	}
	people, err := p.texts(files, sources)
	if err != nil {
		return out, check.Report{}, err
	}
	words, err := checkWords(p.house)
	if err != nil {
		return out, check.Report{}, err
	}
	rep, err := chained(book, account, filepath.Dir(edition), files, words, people, 0)
	return out, rep, err
}

func readFile(path, missing string) ([]byte, error) {
	data, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, refuse("continuo make writes the edition with its account beside it", "%s: %s", missing, source.Quote(path))
	}
	return data, err
}

// proved is the outcome in a word; same may be nil.
func proved(rep check.Report, same *check.FormatReport) string {
	if rep.OK && (same == nil || same.OK) {
		return "proved"
	}
	return "not proved"
}

// proof prints the outcome of a check, and of the file of another format if
// there is one.
func (c console) proof(rep check.Report, file string, same *check.FormatReport) {
	problems := rep.Problems
	if same != nil {
		rep.NProblems += same.NProblems
		problems = append(slices.Clone(problems), same.Problems...)
	}
	if proved(rep, same) == "proved" {
		c.say("proved: every cell of %s is in the edition or accounted for", count(rep.Figures.Files, "source"))
	} else {
		c.say("not proved: %s", count(rep.NProblems, "problem"))
	}
	switch {
	case same == nil:
	case same.OK:
		c.say("same words, cell for cell: %s, %s", file, count(same.Words, "word"))
	default:
		c.say("not the same words: %s", file)
	}
	f := rep.Figures
	c.say("braille pages read: %d", f.Pages)
	c.say("lines read: %d", f.Lines)
	c.say("cells in the sources: %d", f.Sources)
	c.say("kept in their place: %d", f.Keep)
	c.say("kept in another place: %d", f.Move)
	c.say("replaced: %d", f.Swap)
	for _, class := range sortedKeys(f.Out) {
		c.say("left out, %s: %d", class, f.Out[class])
	}
	c.say("written by the tool: %d", f.Add)
	c.say("lines in the edition: %d", f.Printed)
	for i, p := range problems {
		c.say("problem %d: %s", i+1, oneLine(p.String()))
	}
	if n := rep.NProblems - len(problems); n > 0 {
		c.say("problems not shown: %d", n)
	}
}

func sortedKeys(m map[string]int64) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}
