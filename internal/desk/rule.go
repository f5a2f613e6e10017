package desk

import (
	"net/http"
	"net/url"

	"continuo/internal/catalogue"
	"continuo/internal/decide"
	"continuo/internal/profile"
)

// ruleData is what a house rule would change.
type ruleData struct {
	*decide.Question
	Key     string
	Choice  string
	Words   string
	Profile string
	OfHouse bool   // the profile is a file of the house
	Refused string // why it cannot be stored
	Hint    string
	Here    []ruleChange
	Other   searchState
	Total   int
	Again   string // path of the page, to look again how far it is
	Place   string
	Form    url.Values
	Wrong   []wrong
}

// Why is what is wrong with a field.
func (d *ruleData) Why(id string) string { return whyOf(d.Wrong, id) }

// ruleChange is a place that comes out otherwise.
type ruleChange struct {
	Key, Title, ID, Where, Now string
}

// rule tells what else "always" would change, before it is stored.
func (d *Desk) rule(r *request) (*view, error) {
	return d.ruleView(r, r.URL.Query().Get("choice"), url.Values{"who": {r.prefs.Who}}, nil)
}

func (d *Desk) ruleView(r *request, choice string, form url.Values, w []wrong) (*view, error) {
	x, t, rule, q, err := d.ruleOf(r, choice, "", "")
	if err != nil {
		return nil, err
	}
	data := &ruleData{Question: q, Key: x.Key, Choice: rule.Choice, Profile: t.settings.Profile, Place: placePath(x.Key, q.ID, false), Form: form, Wrong: w}
	data.Words = choiceWords(q.Kind, rule.Choice)
	_, shipped := profile.Text(data.Profile)
	data.OfHouse = data.Profile != "" && !shipped
	data.Refused, data.Hint = profile.Refuses(t.settings.Make.Profile, t.settings.Profile, rule)
	data.Here = changes(x, rule.Changes(t.res.Questions))
	data.Other = d.elsewhere(x, t, rule)
	data.Total = len(data.Here) + data.Other.Changes
	data.Again = titlePath(x.Key) + "/place/" + url.PathEscape(q.ID) + "/rule?choice=" + url.QueryEscape(rule.Choice)
	return about(x, &view{Page: "rule", Title: "Always do so", Trail: append(trail(x), crumb{data.Place, "Doubtful place"}), Data: data, Variant: t.variant()}), nil
}

func (d *Desk) ruleOf(r *request, choice, who, why string) (*catalogue.Detail, *title, decide.Rule, *decide.Question, error) {
	x, t, err := d.both(r)
	if err != nil {
		return nil, nil, decide.Rule{}, nil, err
	}
	q, err := t.question(r.PathValue("id"))
	if err != nil {
		return nil, nil, decide.Rule{}, nil, err
	}
	rule := decide.Rule{Kind: q.Kind.ID, Alike: q.Alike, Choice: choice, Who: who, Why: why}
	if why := rule.Fault(); why != "" {
		err = &problem{http.StatusBadRequest, "no house rule: " + why, "answer it for this title"}
	}
	return x, t, rule, q, err
}

func changes(x *catalogue.Detail, list []*decide.Question) []ruleChange {
	var out []ruleChange
	for _, q := range list {
		out = append(out, ruleChange{x.Key, nameOf(x), q.ID, q.Place.String(), choiceWords(q.Kind, q.Choice())})
	}
	return out
}

// storeRule writes the rule into the profile.
func (d *Desk) storeRule(r *request) (string, error) {
	who, why, w := whoDecides(r)
	if len(w) > 0 {
		v, err := d.ruleView(r, r.PostForm.Get("choice"), r.PostForm, w)
		if err != nil {
			return "", err
		}
		return "", &again{v}
	}
	x, t, rule, q, err := d.ruleOf(r, r.PostForm.Get("choice"), who, why)
	if err != nil {
		return "", err
	}
	if why, hint := profile.Refuses(t.settings.Make.Profile, t.settings.Profile, rule); why != "" {
		return "", &problem{http.StatusConflict, why, hint}
	}
	if err := profile.AddRule(t.settings.Profile, rule); err != nil {
		return "", &problem{http.StatusConflict, err.Error(), "nothing was stored"}
	}
	d.keepWho(r, who)
	return titlePath(x.Key) + "/place/" + url.PathEscape(q.ID) + "?done=rule", nil
}
