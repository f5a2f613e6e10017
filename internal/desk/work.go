package desk

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"os"
	"slices"
	"sync"

	"continuo/internal/batch"
	"continuo/internal/catalogue"
	"continuo/internal/convert"
	"continuo/internal/decide"
	"continuo/internal/decidefile"
	"continuo/internal/english"
	"continuo/internal/finders"
	"continuo/internal/source"
	"continuo/internal/triage"
)

// title is one title as the pages look into it: its sources, the edition that a
// run would make of them now, and where each line went. Nothing in it changes.
type title struct {
	files     []*source.File // in reading order
	res       *convert.Result
	settings  Settings
	decisions string       // the file of decisions
	decided   *decide.File // what it says
	trace     *trace
	fresh     bool // the edition on disk is this one

	offered  sync.Once // what the volumes say of the title is read when it is asked for
	offers   []offer
	noOffers string

	searched sync.Once // search strings too
	strings  *finders.List
}

// finders are the search strings of the edition.
func (t *title) finders() *finders.List {
	t.searched.Do(func() { t.strings = convert.Search(t.res, t.settings.Make) })
	return t.strings
}

// variant is the code that the title is read in.
func (t *title) variant() english.Variant { return batch.Variant(t.res) }

// keptTitles is how many titles are kept ready.
const keptTitles = 6

// titles keeps the titles that were looked into last, by all that they depend on.
type titles struct {
	mu    sync.Mutex
	kept  map[string]*title
	order []string // the one used last at the end

	remembered string // what the settings were made of
	profile    string
	settings   Settings
}

// show reads what the catalogue knows of the title that a path names.
func (d *Desk) show(r *request) (*catalogue.Detail, error) {
	return d.cat.Show(r.Context(), r.PathValue("key"))
}

// open converts a title in memory as the next run would, with the decisions of
// now, or returns it as it is kept.
func (d *Desk) open(ctx context.Context, x *catalogue.Detail) (*title, error) {
	d.titles.mu.Lock()
	defer d.titles.mu.Unlock()
	set, err := d.settingsNow(ctx)
	if err != nil {
		return nil, err
	}
	path := batch.DecisionsFile(x.Title)
	text, people, err := decidefile.Read(path)
	if err != nil {
		return nil, &problem{http.StatusConflict, err.Error(), "docs/usage.md lists the keys; edit the file, or move it away"}
	}
	id := d.titles.id(x, text)
	if t := d.titles.get(id); t != nil {
		return t, nil
	}
	t, err := d.make(x, set, people)
	if err != nil {
		return nil, err
	}
	t.decisions, t.decided = path, people
	d.titles.put(id, t)
	return t, nil
}

func (d *Desk) make(x *catalogue.Detail, set Settings, people *decide.File) (t *title, err error) {
	defer func() {
		if p := recover(); p != nil {
			t, err = nil, &problem{http.StatusInternalServerError, fmt.Sprintf("internal fault in the conversion of this title: %v", p), "the other titles are not touched by it"}
		}
	}()
	if x.Fault != "" && len(x.VolumeList) == 0 {
		return nil, &problem{http.StatusConflict, "there is nothing to look into: " + x.Fault, "supply the sources again; continuo archive run looks at them"}
	}
	if len(x.VolumeList) == 0 {
		return nil, &problem{http.StatusNotFound, "this title was not made yet: there is nothing to look into", "continuo archive run makes it"}
	}
	files, _, err := batch.SourcesOf(x)
	if err != nil {
		return nil, &problem{http.StatusConflict, err.Error(), "continuo archive run looks at the sources again"}
	}
	o := set.Make
	o.Name, o.Decisions, o.Finders = x.Key+".brf", people, false
	res, err := convert.Make(files, o)
	if err != nil {
		return nil, &problem{http.StatusConflict, "no edition can be made of this title: " + err.Error(), "the page of the title says what a run found"}
	}
	others, err := batch.OthersOf(context.Background(), d.cat, x.Title)
	if err != nil {
		return nil, err
	}
	res.Questions = append(res.Questions, triage.Ask(triage.Input{Files: files, Result: res, Others: others, Habit: batch.HabitOf(x), Decisions: people, Rules: o.Profile.Rules})...)
	t = &title{files: res.Book.Files, res: res, settings: set}
	t.fresh = slices.ContainsFunc(x.Editions, func(e catalogue.Edition) bool { return e.Format == "brf" && e.SHA256 == sum(res.Edition) })
	t.trace, err = traceOf(res)
	return t, err
}

func sum(b []byte) string { s := sha256.Sum256(b); return hex.EncodeToString(s[:]) }

// settingsNow are the settings of the last run; they are made again when that or
// the file of the profile changed.
func (d *Desk) settingsNow(ctx context.Context) (Settings, error) {
	text, err := d.cat.Setting(ctx, "run")
	if err != nil {
		return Settings{}, err
	}
	t := &d.titles
	if t.settings.Make.Name != "" && text == t.remembered && stamp(t.settings.Profile) == t.profile {
		return t.settings, nil
	}
	set, err := d.o.Settings(text)
	if err != nil {
		return set, &problem{http.StatusConflict, "the settings of the last run cannot be used: " + err.Error(), "continuo archive run --profile FILE names another profile"}
	}
	t.settings, t.remembered, t.profile = set, text, stamp(set.Profile)
	return set, nil
}

// stamp is size and time of a file, "" when it is none.
func stamp(path string) string {
	info, err := os.Stat(path)
	if err != nil {
		return ""
	}
	return fmt.Sprintf("%d %d", info.Size(), info.ModTime().UnixNano())
}

// id names all that the conversion of a title depends on.
func (t *titles) id(x *catalogue.Detail, decisions []byte) string {
	id := []string{x.Key, x.Fingerprint, sum(decisions), t.remembered, t.profile}
	for _, v := range x.VolumeList {
		id = append(id, v.Path, stamp(v.Path))
	}
	for _, e := range x.Editions {
		id = append(id, e.SHA256)
	}
	text, _ := json.Marshal(id) // plain strings; it cannot fail
	return string(text)
}

func (t *titles) get(id string) *title {
	x := t.kept[id]
	if x != nil {
		t.order = append(slices.DeleteFunc(t.order, func(s string) bool { return s == id }), id)
	}
	return x
}

func (t *titles) put(id string, x *title) {
	t.kept[id], t.order = x, append(t.order, id)
	if len(t.order) > keptTitles {
		delete(t.kept, t.order[0])
		t.order = t.order[1:]
	}
}

// question is the question with an id, and where it stands among the questions.
func (t *title) question(id string) (*decide.Question, error) {
	for i := range t.res.Questions {
		if t.res.Questions[i].ID == id {
			return &t.res.Questions[i], nil
		}
	}
	return nil, &problem{http.StatusNotFound, "there is no such question about this title", "the list of doubtful places has all of them"}
}

// pages is how many paper pages a volume has, as the survey tells them.
func (t *title) pages(vol int) int { return len(t.res.Pages[vol]) }

// span are the lines of a page, from 0: the first, and the one after the last.
func (t *title) span(vol, page int) (first, end int32) {
	starts := t.res.Pages[vol]
	if page+1 < len(starts) {
		return starts[page], starts[page+1]
	}
	return starts[page], int32(len(t.files[vol].Lines))
}

// pageOf is the page that a line stands on, and the line on it, from 0.
func (t *title) pageOf(vol int, line int32) (page int, on int32) {
	starts := t.res.Pages[vol]
	page, found := slices.BinarySearch(starts, line)
	if !found {
		page = max(page-1, 0)
	}
	return page, line - starts[page]
}

// lineOf finds a place of the sources: volume and line, both from 0.
func (t *title) lineOf(file string, page, line int) (vol, at int, err error) {
	for v, f := range t.files {
		if f.Name != file || page < 1 || page > t.pages(v) {
			continue
		}
		first, _ := t.span(v, page-1)
		return v, int(first) + max(line, 1) - 1, nil
	}
	return 0, 0, errors.New("no such place")
}
