package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"continuo/internal/atomicfile"
	"continuo/internal/learn"
	"continuo/internal/plaintext"
	"continuo/internal/profile"
	"continuo/internal/source"
)

func profileCommand(c console) *cobra.Command {
	cmd := &cobra.Command{
		Use:     "profile COMMAND",
		Short:   "house settings: those that come with the program, and a proposal from an archive",
		Example: "continuo profile list\ncontinuo profile show uk > house.toml\ncontinuo profile learn archive/ -o house.toml",
	}
	return group(cmd, profileListCommand(c), profileShowCommand(c), profileLearnCommand(c))
}

func profileListCommand(c console) *cobra.Command {
	return &cobra.Command{
		Use:     "list",
		Short:   "the profiles that come with the program",
		Example: "continuo profile list",
		Args:    atMost(0),
		RunE: func(*cobra.Command, []string) error {
			for _, name := range profile.Names() {
				text, _ := profile.Text(name)
				first, _, _ := strings.Cut(string(text), "\n")
				c.say("%s: %s", name, strings.TrimSpace(strings.TrimPrefix(first, "#")))
			}
			return nil
		},
	}
}

func profileShowCommand(c console) *cobra.Command {
	cmd := &cobra.Command{
		Use:       "show NAME",
		Short:     "the text of a profile, to start one of your own from; of a file, whether it can be used",
		Example:   "continuo profile show uk\ncontinuo profile show uk > house.toml\ncontinuo profile show house.toml\n  says too what is wrong with it",
		ValidArgs: profile.Names(),
		Args:      exactly(1, "the name of a profile"),
		RunE: func(_ *cobra.Command, args []string) error {
			text, ok := profile.Text(args[0])
			if !ok {
				var err error
				if text, err = checkedProfile(args[0]); err != nil {
					return err
				}
			}
			c.say("%s", strings.TrimRight(string(text), "\n"))
			return nil
		},
	}
	return cmd
}

// checkedProfile is the text of a file that can be used as a profile; else the
// error tells all that is wrong with it.
func checkedProfile(path string) ([]byte, error) {
	const hint = "continuo profile list has the names; docs/usage.md lists the keys"
	text, err := plaintext.ReadFile(path)
	if err != nil {
		_, err := profile.Load(path)
		return nil, refuse(hint, "%s", err)
	}
	bad := profile.Check(path, text)
	if len(bad) == 0 {
		return text, nil
	}
	f := &fault{code: Failed, what: bad[0].Error(), hint: hint}
	for _, e := range bad[1:] {
		f.more = append(f.more, fmt.Sprintf("line %d: %s", e.Line, oneLine(e.Why)))
	}
	return nil, f
}

func profileLearnCommand(c console) *cobra.Command {
	var out, name string
	var titles int
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "learn FOLDER",
		Short: "propose a profile from an archive, with counts",
		Long: `FOLDER holds an archive. Page sizes, the places of numbers, print page turns, file names and recurring wording are counted, and a profile is proposed, with the counts in its comments.
It goes to standard output, or to a new file; nothing is written over. Look it over before you use it.`,
		Example: "continuo profile learn archive/\ncontinuo profile learn archive/ -o house.toml --name harbour\ncontinuo profile learn archive/ --json",
		Args:    exactly(1, "one folder"),
		RunE: func(_ *cobra.Command, args []string) error {
			if titles < 1 {
				return wrong("continuo help profile learn lists the flags", "--titles must be 1 or more, not %d", titles)
			}
			if _, err := os.Lstat(out); out != "" && err == nil {
				return refuse("name a file that is not there yet", "%s exists already", source.Quote(out))
			}
			if name == "" {
				name = strings.TrimSuffix(filepath.Base(out), filepath.Ext(out))
			}
			if name == "" || name == "." {
				name = "house"
			}
			return learnFrom(c, args[0], out, name, titles, asJSON)
		},
	}
	flags := cmd.Flags()
	flags.StringVarP(&out, "output", "o", "", "`FILE` a new file for the profile; without it standard output")
	flags.StringVar(&name, "name", "", "`NAME` of the profile; without it that of the file")
	flags.IntVar(&titles, "titles", 200, "`N` titles are looked at, spread over the archive; file names are all looked at")
	flags.BoolVar(&asJSON, "json", false, "print the counts as one JSON object; no profile")
	return cmd
}

func learnFrom(c console, dir, out, name string, titles int, asJSON bool) error {
	work := c.begin("looking for titles")
	defer work.end()
	l, err := learn.From(dir, titles, func(done, total int) { work.next(fmt.Sprintf("at title %d of %d", done+1, total)) })
	if err != nil {
		return refuse("FOLDER holds an archive: folders or zips of titles, or volume files", "%s", err)
	}
	text := l.TOML(name)
	if _, err := profile.Parse(name, text); err != nil {
		return refuse("please report this", "internal fault, nothing was written: %s", err)
	}
	switch {
	case asJSON:
		err = c.json(l)
	case out == "":
		c.say("%s", strings.TrimRight(string(text), "\n"))
	default:
		if err := atomicfile.Write(out, text); err != nil {
			return refuse("nothing was written", "%s", err)
		}
		c.say("profile: %s", out)
		c.say("titles found: %d, looked at: %d", l.Titles, l.Looked)
		c.say("next: look it over, then continuo make mybook/ --profile %s", quoted(out))
	}
	for _, f := range l.Failed[:min(len(l.Failed), 20)] {
		fmt.Fprintf(c.err, "not read: %s\n", oneLine(f))
	}
	if err == nil && len(l.Failed) > 0 {
		return person
	}
	return err
}
