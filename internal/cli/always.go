package cli

import (
	"os"
	"path/filepath"
	"sort"
	"strings"

	"continuo/internal/convert"
	"continuo/internal/decide"
	"continuo/internal/decidefile"
	"continuo/internal/profile"
	"continuo/internal/source"
)

// raise makes an answer a house rule: what it would change is named first, and
// it is stored only with --yes.
func (f *decideCall) raise(c console, t *title) error {
	if err := f.needWho(); err != nil {
		return err
	}
	q, choice, err := t.cutAnswer(f.always)
	if err != nil {
		return err
	}
	rule := decide.Rule{Kind: q.Kind.ID, Alike: q.Alike, Choice: choice, Who: f.who, Why: f.why}
	if why := rule.Fault(); why != "" {
		return refuse("answer it for this title with --answer", "no house rule: %s", why)
	}
	if err := f.ownProfile(t, rule); err != nil {
		return err
	}
	c.say("house rule: %s, always %s", q.Kind.ID, choice)
	if q.Alike != "" {
		c.say("for places with these words: %s; in print: %s", q.Alike, inPrint(q.Alike, t.variant()))
	}
	changed := c.wouldChange("this title", t.result.Questions, rule)
	more, err := f.elsewhere(c, t, rule)
	if err != nil {
		return err
	}
	changed += more
	c.say("would change: %s", count(changed, "place"))
	if !f.yes {
		c.say("nothing is stored: give --yes to store the rule in %s", f.profile)
		return person
	}
	if err := profile.AddRule(f.profile, rule); err != nil {
		return refuse("nothing was stored", "%s", err)
	}
	c.say("stored: %s", f.profile)
	return nil
}

// ownProfile wants a profile file that does not have the rule yet.
func (f *decideCall) ownProfile(t *title, rule decide.Rule) error {
	if f.profile == "" {
		return wrong(profile.OwnHint, "a house rule stands in a profile: --profile FILE is missing")
	}
	if why, hint := profile.Refuses(t.opt.Profile, f.profile, rule); why != "" {
		return refuse(hint, "%s", why)
	}
	return nil
}

// wouldChange names the places of a title that a rule would change: those that
// are alike, that nobody has answered, and that come out otherwise.
func (c console) wouldChange(name string, list []decide.Question, r decide.Rule) int {
	changed := r.Changes(list)
	for _, q := range changed {
		c.say("would change: %s, %s: %s, now %s", name, or(q.Place.String(), "the title"), q.ID, q.Choice())
	}
	return len(changed)
}

// elsewhere names what a rule would change in the titles of --among, or in those of
// the catalogue that the title was named by.
func (f *decideCall) elsewhere(c console, t *title, r decide.Rule) (int, error) {
	if t.archive != nil && len(f.among) == 0 {
		return f.inCatalogue(c, t, r)
	}
	n, seen := 0, 0
	own, _ := filepath.Abs(t.args[0])
	for _, dir := range f.among {
		list, err := titlesIn(dir)
		if err != nil {
			return 0, err
		}
		work := c.begin("looking at the titles in " + dir)
		for _, p := range list {
			if full, _ := filepath.Abs(p); full == own {
				continue
			}
			seen++
			questions, err := questionsOf(p, t.opt)
			if err != nil {
				c.say("not looked at: %s: %s", p, oneLine(err.Error()))
				continue
			}
			n += c.wouldChange(p, questions, r)
		}
		work.end()
	}
	if len(f.among) == 0 {
		c.say("other titles: not looked at; --among FOLDER names what would change there")
	} else {
		c.say("other titles looked at: %d", seen)
	}
	return n, nil
}

// titlesIn lists the folders and zips in a folder, one title each.
func titlesIn(dir string) ([]string, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, refuse("--among wants a folder that holds titles, one folder or zip each", "%s", err)
	}
	var out []string
	for _, e := range entries {
		if !strings.HasPrefix(e.Name(), ".") && (e.IsDir() || strings.EqualFold(filepath.Ext(e.Name()), ".zip")) {
			out = append(out, filepath.Join(dir, e.Name()))
		}
	}
	sort.Slice(out, func(i, j int) bool { return source.Natural(out[i], out[j]) })
	return out, nil
}

// questionsOf are the questions about another title, made with the same
// settings and its own decisions.
func questionsOf(path string, opt convert.Options) ([]decide.Question, error) {
	files, _, err := source.Open([]string{path})
	if err != nil {
		return nil, err
	}
	if _, opt.Decisions, err = decidefile.Read(decisionsPath("", files, []string{path})); err != nil {
		return nil, err
	}
	res, err := convert.Make(files, opt)
	if err != nil {
		return nil, err
	}
	return res.Questions, nil
}
