package triage

import (
	"slices"
	"strconv"
	"strings"

	"continuo/internal/catalogue"
	"continuo/internal/decide"
	"continuo/internal/diag"
	"continuo/internal/source"
)

// Ask returns a question for each sign that a person can settle by looking and
// that no question of the conversion is about: volumes that end in an unusual
// way, notes without a reference. Its answer holds for these sources; when one
// of them changes, or more places are found, it is asked anew. A house rule answers what
// the way of the house explains.
func Ask(in Input) []decide.Question {
	if in.Err != nil || in.Result == nil {
		return nil
	}
	var out []decide.Question
	for _, s := range signs(in) {
		q, ok := question(s, in)
		if !ok {
			continue
		}
		if i := slices.IndexFunc(out, func(o decide.Question) bool { return o.ID == q.ID }); i >= 0 {
			out[i].Evidence += "; " + s.text
			continue
		}
		out = append(out, q)
	}
	return out
}

// question is what is asked about a sign; false when it is settled otherwise: by
// a question of its own, by another supply of the files, by mending the title's
// settings.
func question(s sign, in Input) (decide.Question, bool) {
	if s.state != catalogue.Look || s.asked {
		return decide.Question{}, false
	}
	switch s.kind {
	case "settings", "foreign-beside", "volumes-unsure", "decision-lost", "correction-refused":
		return decide.Question{}, false
	}
	kind := decide.LookedAt
	if s.kind == decide.EndUntold {
		kind = s.kind
	}
	k, _ := decide.Find(kind)
	q := decide.Question{ID: lookedAt(sums(in.Files), s.kind, s.places), Kind: k, Severity: diag.Look, Evidence: s.kind + ": " + s.text, Usual: "the title stays one to look at"}
	if in.Decisions != nil {
		if a := in.Decisions.Answer(q.ID); a != nil && k.Has(a.Choice) {
			q.Answer = a
		}
	}
	for i := range in.Rules {
		if r := &in.Rules[i]; k.Rule && q.Answer == nil && r.Kind == k.ID && k.Has(r.Choice) {
			q.ByRule = r
		}
	}
	return q, true
}

// lookedAt is the id of the question about a sign.
func lookedAt(sums []string, kind string, places int) string {
	return decide.TitleID(decide.LookedAt, append(slices.Clone(sums), kind, strconv.Itoa(places))...)
}

// HabitPassed reports whether a person passed a title on that is unlike the archive;
// sums are the hashes of its sources.
func HabitPassed(sums []string, d *decide.File) bool {
	a := d.Answer(lookedAt(slices.Sorted(slices.Values(sums)), Habit, 0))
	return a != nil && a.Choice == decide.PassOn
}

// sums are the hashes of the sources, in an order that does not depend on names.
func sums(files []*source.File) []string {
	var out []string
	for _, f := range files {
		out = append(out, f.SHA256)
	}
	slices.Sort(out)
	return out
}

// settle applies what people answered about signs: what they looked at and
// passed on is told, and weighs nothing; what is to wait stops the title.
func settle(list []sign, in Input) (left []sign, passed []string) {
	for _, s := range list {
		q, ok := question(s, in)
		switch {
		case !ok || !q.Settled():
		case q.Choice() == decide.PassOn:
			if words := s.kind + ", " + q.By(); !slices.Contains(passed, words) {
				passed = append(passed, words)
			}
			continue
		default:
			s.state, s.text = catalogue.Stop, s.text+"; "+q.By()+": "+q.Choice()
		}
		left = append(left, s)
	}
	return left, passed
}

// looked tells what a person passed on.
func looked(passed []string) string {
	if len(passed) == 0 {
		return "every cell is in the edition or accounted for, and no doubt keeps it back"
	}
	return "every cell is in the edition or accounted for, and a person looked at what was doubtful: " + strings.Join(passed, "; ")
}
