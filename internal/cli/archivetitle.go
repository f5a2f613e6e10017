package cli

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"

	"continuo/internal/batch"
	"continuo/internal/catalogue"
	"continuo/internal/decide"
	"continuo/internal/decidefile"
	"continuo/internal/source"
)

// inArchive is a title that was named by its key in a catalogue.
type inArchive struct {
	cat   *catalogue.Catalogue
	title *catalogue.Detail
}

// keyed opens the catalogue when the argument is the key of a title in it and no
// file or folder; nil when it is to be read as files.
func (f *decideFlags) keyed(args []string) (*inArchive, error) {
	if len(args) != 1 {
		return nil, nil
	}
	if _, err := os.Lstat(args[0]); err == nil {
		return nil, nil
	}
	if _, err := os.Stat(filepath.Join(f.folder, catalogue.FileName)); err != nil && f.folder == catalogueFolder {
		return nil, nil
	}
	cat, err := shelfCatalogue(f.folder)
	if errors.Is(err, catalogue.ErrUnwritable) { // it takes in what is decided in the next run
		cat, err = openCatalogue(f.folder)
	}
	if err != nil {
		return nil, err
	}
	d, err := cat.Show(context.Background(), args[0])
	if err != nil {
		cat.Close()
		return nil, refuse("continuo archive list shows the keys of the catalogue; continuo archive find WORD looks for one", "no such file, folder, or title of the catalogue: %s", source.Quote(args[0]))
	}
	return &inArchive{cat, d}, nil
}

// openKeyed reads a title of the catalogue and converts it in memory as the next run
// would.
func (f *decideFlags) openKeyed(a *inArchive) (*title, error) {
	d := a.title
	if len(d.VolumeList) == 0 {
		return nil, refuse("supply its files again; continuo archive run looks at them", "title %s cannot be looked into: %s", source.Quote(d.Key), or(d.Fault, "it was not made yet"))
	}
	text, err := a.cat.Setting(context.Background(), "run")
	if err != nil {
		return nil, err
	}
	set, err := deskSettings(text)
	if err != nil {
		return nil, refuse("continuo archive run --profile FILE names another profile", "the settings of the last run cannot be used: %s", err)
	}
	t := &title{args: []string{d.Location}, opt: set.Make, path: f.decisions, archive: a, who: f.who}
	if f.profile == "" {
		f.profile = set.Profile // where a house rule goes
	} else {
		if err := useProfile(&t.opt, f.profile); err != nil {
			return nil, err
		}
	}
	if t.files, _, err = batch.SourcesOf(d); err != nil {
		return nil, refuse("continuo archive run looks at the sources again", "%s", err)
	}
	if t.others, err = batch.OthersOf(context.Background(), a.cat, d.Title); err != nil {
		return nil, err
	}
	t.habit = batch.HabitOf(d)
	if t.path == "" {
		t.path = batch.DecisionsFile(d.Title)
	}
	return t, t.again()
}

// sync brings what the catalogue knows of the decisions in line with their file.
func (t *title) sync() error {
	if t.archive == nil || t.path != batch.DecisionsFile(t.archive.title.Title) {
		return nil
	}
	if err := batch.SyncTitle(context.Background(), t.archive.cat, t.archive.title.Title, or(t.who, "continuo")); err != nil {
		return refuse("the decision stands in "+t.path+"; the next run takes it in", "the catalogue was not changed: %s", err)
	}
	return nil
}

// inCatalogue names what a rule would change in the other titles of the catalogue
// that have doubts of its kind.
func (f *decideCall) inCatalogue(c console, t *title, r decide.Rule) (int, error) {
	page, err := t.archive.cat.List(context.Background(), catalogue.Filter{Asked: r.Kind})
	if err != nil {
		return 0, err
	}
	work := c.begin("looking at the titles of the catalogue")
	defer work.end()
	n, seen := 0, 0
	for _, o := range page.Titles {
		if o.Key == t.archive.title.Key {
			continue
		}
		seen++
		work.next(o.Key)
		questions, err := questionsIn(t.archive.cat, o, t)
		if err != nil {
			c.say("not looked at: %s: %s", o.Key, oneLine(err.Error()))
			continue
		}
		n += c.wouldChange(o.Key, questions, r)
	}
	c.say("other titles with such doubts: %d", seen)
	return n, nil
}

// questionsIn are the questions about another title of the catalogue, made with the
// same settings and its own decisions.
func questionsIn(cat *catalogue.Catalogue, o catalogue.Title, t *title) ([]decide.Question, error) {
	d, err := cat.Show(context.Background(), o.Key)
	if err != nil {
		return nil, err
	}
	files, _, err := batch.SourcesOf(d)
	if err != nil {
		return nil, err
	}
	opt := t.opt
	if _, opt.Decisions, err = decidefile.Read(batch.DecisionsFile(o)); err != nil {
		return nil, err
	}
	res, err := convertFiles(files, opt, nil)
	if err != nil {
		return nil, err
	}
	return res.Questions, nil
}

// close closes the catalogue that a title was named by.
func (t *title) close() {
	if t.archive != nil {
		t.archive.cat.Close()
	}
}

// runAgain tells how the edition of the archive comes to what was decided.
func (c console) runAgain(t *title) {
	if t.archive != nil && t.changed {
		c.say("to make the edition anew: continuo archive run%s", strings.TrimSuffix(" --catalogue "+t.archive.cat.Folder(), " --catalogue "+catalogueFolder))
	}
}
