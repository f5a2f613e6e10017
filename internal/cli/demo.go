package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"continuo/internal/convert"
	"continuo/internal/demo"
	"continuo/internal/source"
)

func demoCommand(c console) *cobra.Command {
	return &cobra.Command{
		Use:   "demo [DIR]",
		Short: "the whole work on three invented books",
		Long: `Writes the paper volumes and print texts of three invented titles into a new folder, makes the continuous editions, checks them, and says what was done.
DIR is the new folder; without it continuo-demo, or continuo-demo-2 and so on, in this folder. Nothing needs to be installed.`,
		Example: "continuo demo\ncontinuo demo /tmp/try",
		Args:    atMost(1),
		RunE: func(_ *cobra.Command, args []string) error {
			dir, err := demoFolder(args)
			if err != nil {
				return err
			}
			if err := runDemo(c, dir); err != nil {
				return refuse("the demo is not whole; what it made stands in "+quoted(dir)+" and can be removed", "%s", err)
			}
			return nil
		},
	}
}

// maxDemo is how many demo folders are tried without DIR.
const maxDemo = 1000

// demoFolder makes the new folder.
func demoFolder(args []string) (string, error) {
	if len(args) == 1 {
		if _, err := os.Lstat(args[0]); err == nil {
			return "", refuse("name a folder that does not exist yet", "%s exists already", source.Quote(args[0]))
		}
		if err := os.MkdirAll(args[0], 0o777); err != nil {
			return "", refuse("name a folder in a place where you may write", "the folder cannot be made: %s", err)
		}
		return args[0], nil
	}
	for n := 1; n <= maxDemo; n++ {
		dir := "continuo-demo"
		if n > 1 {
			dir = fmt.Sprintf("continuo-demo-%d", n)
		}
		err := os.Mkdir(dir, 0o777)
		if err == nil {
			return dir, nil
		}
		if !os.IsExist(err) {
			return "", refuse("give DIR in a place where you may write: continuo demo DIR", "the folder cannot be made: %s", err)
		}
	}
	return "", refuse("remove some of them, or give DIR", "%d folders named continuo-demo exist already", maxDemo)
}

func runDemo(c console, dir string) error {
	c.say("demo: folder %s", dir)
	var editions []string
	for i, t := range demo.Titles {
		c.say("")
		c.say("book %d of %d: %s", i+1, len(demo.Titles), t.Name)
		c.say("paper edition: %s", t.About)
		edition, err := demoTitle(c, dir, t)
		if err != nil {
			return err
		}
		editions = append(editions, edition)
	}
	c.say("")
	c.say("done: %s made and proved", count(len(editions), "edition"))
	c.next(dir, editions)
	return nil
}

// next says where to look.
func (c console) next(dir string, editions []string) {
	for _, e := range editions {
		c.say("to read: %s", e)
	}
	c.say("what wants a person's eye: FILE.report.txt beside each edition")
	c.say("the fate of every cell: FILE.account.jsonl beside each edition")
	paper := filepath.Join(dir, demo.Titles[0].Folder, "paper")
	c.say("to try: continuo read %s", editions[0])
	c.say("to try: continuo look %s", paper)
	c.say("to try: continuo make %s --width 0 -o %s", paper, filepath.Join(dir, "one-line-a-paragraph.brf"))
	for _, line := range cautions {
		c.say("%s", line)
	}
}

// demoTitle writes, makes, checks and shows one title.
func demoTitle(c console, dir string, t demo.Title) (string, error) {
	paper, err := t.Write(dir)
	if err != nil {
		return "", err
	}
	work := c.begin("making " + t.Name)
	defer work.end()
	edition := filepath.Join(dir, t.Folder, t.Folder+"-continuous.brf")
	m, err := build([]string{paper}, edition, false, convert.Defaults(), work.next)
	if err != nil {
		return "", err
	}
	work.next("checking " + t.Name)
	_, rep, err := verify(edition, []string{paper}, proofs{})
	if err != nil {
		return "", err
	}
	s := m.result.Stats
	c.say("paper: %s, %s", paper, count(s.Volumes, "volume"))
	c.say("edition: %s", edition)
	c.say("before: %d pages, %d lines, %d of them blank", s.BraillePages, s.SourceLines, s.BlankBefore)
	c.say("after: no pages, %d lines, %d of them blank", s.EditionLines, s.BlankAfter)
	c.say("left out: %d of %d cells, each with its reason in the account", s.Left, s.Marks)
	for _, f := range leftOut(s) {
		c.say("%s: %d", f.label, f.value)
	}
	if !rep.OK {
		c.proof(rep, "", nil)
		return "", refuse("please report this", "the edition of %q is not proved", t.Name)
	}
	c.say("check: proved, every cell of the paper volumes is in the edition or accounted for")
	if n := wanting(m.result.Findings); n > 0 {
		c.say("look: %s", wants(n))
	}
	return edition, c.excerpt(t, m.result.Edition)
}

// excerpt shows a place where paper cut the text, before and after.
func (c console) excerpt(t demo.Title, edition []byte) error {
	x := t.Excerpt
	before, err := x.Before(t)
	if err != nil {
		return err
	}
	c.say("excerpt in print: %s", x.Print)
	c.say("on paper, %s, the end of page %d and the start of the next:", t.Volumes[x.Volume], x.Page)
	c.cells(before)
	after := x.After(t, edition)
	if len(after) == 0 {
		return refuse("please report this", "the excerpt of %q is not in the edition", t.Name)
	}
	c.say("in the edition:")
	c.cells(after)
	return nil
}

// cells prints lines of braille as they are.
func (c console) cells(lines [][]byte) {
	for _, line := range lines {
		c.say("%s", strings.TrimRight("  "+string(line), " \r"))
	}
}
