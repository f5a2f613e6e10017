package cli

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"continuo/internal/ebrl"
	"continuo/internal/source"
)

// isPublication tells whether a path is an eBraille publication, by its name or
// by what a folder holds.
func isPublication(path string) bool {
	info, err := os.Stat(path)
	if err != nil || !info.IsDir() {
		return strings.EqualFold(filepath.Ext(path), ".ebrl")
	}
	for _, name := range []string{"package.opf", filepath.Join("META-INF", "container.xml")} {
		if _, err := os.Stat(filepath.Join(path, name)); err == nil {
			return true
		}
	}
	return false
}

// checkArgs wants an edition with sources, or one publication alone.
func checkArgs(cmd *cobra.Command, args []string) error {
	if len(args) == 1 && isPublication(args[0]) {
		return nil
	}
	return atLeast(2, "an edition and at least one SOURCE")(cmd, args)
}

type jsonRules struct {
	Outcome     string `json:"outcome"` // "kept" or "not kept"
	Publication string `json:"publication"`
	*ebrl.Report
}

// checkPublication checks a publication against the rules of eBraille.
func checkPublication(c console, path string, asJSON bool) error {
	work := c.begin("reading the publication")
	defer work.end()
	rep, err := readPublication(path)
	var refused *ebrl.Refused
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return refuse("name a file that ends in .ebrl, or a folder that holds package.opf", "no such publication: %s", source.Quote(path))
	case errors.As(err, &refused):
		return refuse("nothing of it was checked", "%s: %s", source.Quote(path), refused)
	case err != nil:
		return err
	}
	if asJSON {
		err = c.json(jsonRules{keptWord(rep), path, rep})
	} else {
		c.rules(rep)
	}
	if err == nil && !rep.OK {
		return &fault{code: Failed, what: "the publication breaks rules of eBraille 1.0", hint: "the lines that begin with must name rule, file and line"}
	}
	return err
}

func readPublication(path string) (*ebrl.Report, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if info.IsDir() {
		root, err := os.OpenRoot(path)
		if err != nil {
			return nil, err
		}
		defer root.Close()
		return ebrl.Folder(root.FS())
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return ebrl.Package(filepath.Base(path), f, info.Size())
}

func keptWord(rep *ebrl.Report) string {
	if rep.OK {
		return "kept"
	}
	return "not kept"
}

// rules prints the outcome of a check of rules.
func (c console) rules(rep *ebrl.Report) {
	if rep.OK {
		c.say("kept: every rule that eBraille 1.0 demands and that a program can check")
	} else {
		c.say("not kept: what eBraille 1.0 demands, in %s", count(rep.Musts, "place"))
	}
	c.say("places that break what it demands: %d", rep.Musts)
	c.say("places that break what it recommends: %d", rep.Shoulds)
	c.say("files: %d", rep.Files)
	c.say("documents: %d", rep.Documents)
	c.say("print pages: %d", rep.Pages)
	for _, f := range rep.Findings {
		word := "should"
		if f.Must {
			word = "must"
		}
		place := ""
		if f.File != "" {
			place = oneLine(f.Place()) + ": "
		}
		c.say("%s, rule %s: %s%s; %s", word, f.Rule, place, oneLine(f.Text), f.Section)
	}
	if n := rep.Musts + rep.Shoulds - len(rep.Findings); n > 0 {
		c.say("places not shown: %d", n)
	}
}
