package cli

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"continuo/internal/decide"
	"continuo/internal/diag"
	"continuo/internal/english"
)

type correctCall struct {
	decideFlags
	old, new, place string
	print           bool
	undo            int
}

func correctCommand(c console) *cobra.Command {
	var f correctCall
	cmd := &cobra.Command{
		Use:   "correct SOURCE...",
		Short: "mend a misprint that a reader reports",
		Long: `SOURCE is a volume file, a folder of volume files or a zip, all of one title; or the key of a title in the catalogue.
The old cells, as they stand in the edition, are replaced by the new ones whenever the title is made. The correction stands in title.decisions.toml beside the title; the sources are never touched. In the account it is a person's change, with who made it.
The old cells must stand there exactly once. When they stand more than once, the places are listed with their ids. A correction is refused, and the title told as one to stop at, when the old cells are no longer there.`,
		Example: `continuo correct mybook/ --who Ann --old ",*is" --new ",*ri/" --why "misprint, a reader told us"
continuo correct mybook/ --who Ann --print --old "the the" --new "the"
  the words in print, written in the book's code
continuo correct mybook/ --who Ann --old "and" --new "&" --place line-3fa9c2d1b0-9f2c
continuo correct mybook/ --list
continuo correct mybook/ --undo 2`,
		Args: atLeast(1, "at least one SOURCE"),
		RunE: func(_ *cobra.Command, args []string) error { return f.run(c, args) },
	}
	f.add(cmd)
	flags := cmd.Flags()
	flags.StringVar(&f.old, "old", "", "`CELLS` what stands in the edition, in Braille ASCII or Unicode braille")
	flags.StringVar(&f.new, "new", "", "`CELLS` what is right")
	flags.StringVar(&f.place, "place", "", "`ID` of the line, when the old cells stand more than once")
	flags.BoolVar(&f.print, "print", false, "--old and --new are in print; they are written in the book's code")
	flags.IntVar(&f.undo, "undo", 0, "`N` take correction N back")
	return cmd
}

func (f *correctCall) run(c console, args []string) error {
	work := c.begin("reading the title")
	t, err := f.open(args)
	work.end()
	if err != nil {
		return err
	}
	defer t.close()
	switch {
	case f.undo != 0:
		err = f.takeBack(c, t)
	case f.list || f.asJSON && f.old == "":
	default:
		err = f.mend(c, t)
	}
	if err != nil {
		return err
	}
	return f.tell(c, t)
}

// tell lists the corrections.
func (f *correctCall) tell(c console, t *title) error {
	refused := 0
	for _, m := range t.result.Corrected {
		if m.Why != "" {
			refused++
		}
	}
	if f.asJSON {
		out := jsonDecisions(t, nil)
		if out.Outcome = "done"; refused > 0 {
			out.Outcome = "look"
		}
		if err := c.json(out); err != nil {
			return err
		}
	} else {
		c.say("corrections: %d, refused: %d", len(t.result.Corrected), refused)
		c.say("decisions file: %s", t.path)
		for _, m := range t.result.Corrected {
			c.correction(m, t.variant())
		}
		c.runAgain(t)
	}
	if refused > 0 {
		return person
	}
	return nil
}

func (c console) correction(m decide.Applied, v english.Variant) {
	c.say("correction %d: %s", m.Number, or(m.Why, "mended"))
	c.say("old: %s; in print: %s", m.Old, inPrint(m.Old, v))
	c.say("new: %s; in print: %s", m.New, inPrint(m.New, v))
	if m.Where != "" {
		c.say("place: %s", m.Where)
	}
	if m.Who != "" || m.Why == "" {
		c.say("by: %s", m.Correction.By())
	}
}

// cells are the old and new cells as the file holds them.
func (f *correctCall) cells(t *title) (old, news string, err error) {
	hint := "continuo help correct has examples"
	if f.old == "" || f.new == "" {
		return "", "", wrong(hint, "--old and --new are both needed")
	}
	for i, s := range []string{f.old, f.new} {
		var cells string
		if f.print {
			v := t.variant()
			if v.Code == english.UnknownCode {
				v.Code = english.UEB
			}
			var b []byte
			if b, err = english.Write(s, v); err != nil {
				return "", "", refuse("give the cells, without --print", "%q cannot be written in %s: %s", s, v, err)
			}
			cells = string(b)
		} else if cells, err = decide.Fold(s); err != nil {
			return "", "", refuse("cells are Braille ASCII or Unicode braille; --print takes print", "%q: %s", s, err)
		}
		if i == 0 {
			old = cells
		}
		news = cells
	}
	if old == news {
		return "", "", wrong(hint, "--old and --new are the same cells: %q", old)
	}
	return old, news, nil
}

// mend adds one correction, when its old cells stand there once.
func (f *correctCall) mend(c console, t *title) error {
	if err := f.needWho(); err != nil {
		return err
	}
	old, news, err := f.cells(t)
	if err != nil {
		return err
	}
	add := decide.Correction{Place: f.place, Old: old, New: news, Who: f.who, Why: f.why, When: today()}
	got, err := t.try(add)
	if err != nil {
		return err
	}
	if got.Why != "" {
		return t.refused(got)
	}
	add.Place = decide.PlaceID(decide.Line, got.File, got.Line)
	page, line := got.File.Place(got.Line)
	add.Where = diag.Place{File: got.File.Name, Page: page, Line: line}.String()
	if err := t.change(func(text []byte) ([]byte, error) { return decide.AddCorrection(t.path, text, add) }); err != nil {
		return err
	}
	if !f.asJSON {
		c.say("mended: %s", add.Where)
	}
	return t.again()
}

// try makes the title with one correction more, and says what became of it.
func (t *title) try(add decide.Correction) (decide.Applied, error) {
	text, _, err := readDecisions(t.path)
	if err != nil {
		return decide.Applied{}, err
	}
	if text, err = decide.AddCorrection(t.path, text, add); err != nil {
		return decide.Applied{}, refuse("continuo correct SOURCE... --list lists the corrections", "%s", err)
	}
	trial := *t
	if trial.opt.Decisions, err = decide.Parse(t.path, text); err != nil {
		return decide.Applied{}, err
	}
	if err := trial.convert(); err != nil {
		return decide.Applied{}, err
	}
	list := trial.result.Corrected
	return list[len(list)-1], nil
}

// refused says why a correction cannot be made, and where its old cells stand.
func (t *title) refused(m decide.Applied) error {
	why := strings.Replace(m.Why, "are no longer there", "do not stand in the edition", 1) // it is a new one
	f := &fault{code: Failed, what: "the correction is refused: " + why, hint: "give the old cells as they stand in the edition; continuo read FILE shows it in print"}
	for _, s := range m.Candidates {
		page, line := s.File.Place(s.Line)
		id := decide.PlaceID(decide.Line, s.File, s.Line)
		f.more = append(f.more, fmt.Sprintf("place: %s: %s; cells: %s; in print: %s", id, diag.Place{File: s.File.Name, Page: page, Line: line},
			oneLine(string(s.File.Text(s.Line))), inPrint(string(s.File.Text(s.Line)), t.variant())))
	}
	if len(m.Candidates) > 0 {
		f.hint = "give --place ID with the id of the line that is meant, or more of the words beside it"
	}
	return f
}

// takeBack takes correction N back.
func (f *correctCall) takeBack(c console, t *title) error {
	if err := f.needWhoOf(t); err != nil {
		return err
	}
	name := fmt.Sprintf("correction %d", f.undo)
	if f.undo < 1 || f.undo > len(t.file.Corrections) {
		return refuse("continuo correct SOURCE... --list lists the corrections", "there is no correction %d of this title", f.undo)
	}
	if err := t.change(func(text []byte) ([]byte, error) { return decide.Remove(t.path, text, name) }); err != nil {
		return err
	}
	if !f.asJSON {
		c.say("taken back: %s", strings.TrimSpace(name))
	}
	return t.again()
}
