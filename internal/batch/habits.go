package batch

import (
	"fmt"

	"continuo/internal/catalogue"
	"continuo/internal/decidefile"
	"continuo/internal/triage"
)

// How many files, titles and volumes (last ones, and others) must be known before they tell a habit,
// and how many in a hundred must agree.
const (
	habitFiles   = 60
	habitTitles  = 20
	habitVolumes = 40
	habitShare   = 98
)

// habits compares how the files of each title end with how those of the whole
// archive do, and makes a ready title that is unlike one to look at: a file of it may
// be cut off where nothing in the title tells. A title that a person passed on stays
// ready. It depends on what the catalogue holds in the end alone, not on the order of
// the work.
func (r *run) habits(items []item) error {
	list, err := r.cat.Endings(r.ctx)
	if err != nil {
		return err
	}
	texts := unusual(list)
	for key := range texts {
		passed, err := r.habitPassed(key)
		if err != nil {
			continue // the file of decisions was told when the title was made
		}
		if passed {
			delete(texts, key)
		}
	}
	changed, err := r.cat.SetReason(r.ctx, triage.Habit, texts, triage.WithHabit(), triage.Base)
	if err != nil {
		return err
	}
	is := map[string]bool{}
	for _, key := range changed {
		is[key] = true
	}
	for i := range items {
		o := &items[i].outcome
		switch text := texts[o.Key]; {
		case !is[o.Key]:
		case text != "":
			o.State, o.Reason = catalogue.Look, text
		default:
			o.State, o.Reason = catalogue.Ready, ""
		}
	}
	return nil
}

// HabitOf is in what a title is unlike the archive, as the last run found; "" in
// nothing.
func HabitOf(d *catalogue.Detail) string {
	for _, x := range d.Reasons {
		if x.Kind == triage.Habit {
			return x.Text
		}
	}
	return ""
}

func (r *run) habitPassed(key string) (bool, error) {
	d, err := r.cat.Show(r.ctx, key)
	if err != nil {
		return false, err
	}
	_, people, err := decidefile.Read(DecisionsFile(d.Title))
	if err != nil {
		return false, err
	}
	var sums []string
	for _, v := range d.VolumeList {
		sums = append(sums, v.SHA256)
	}
	return triage.HabitPassed(sums, people), nil
}

// unusual says of titles, by key, in what their files end as hardly any other of the
// archive does. Where the files of an archive end in many ways it says nothing.
func unusual(list []catalogue.Ending) map[string]string {
	finals, titles := map[string]int{}, map[string]bool{}
	var lasts, others saying
	usual := ""
	for _, e := range list {
		titles[e.Key] = true
		if finals[e.Final]++; finals[e.Final] > finals[usual] {
			usual = e.Final
		}
		if e.Last {
			lasts.count(e.Closing)
		} else {
			others.count(e.Closing)
		}
	}
	out := map[string]string{}
	ends := len(list) >= habitFiles && len(titles) >= habitTitles && 100*finals[usual] >= habitShare*len(list)
	for _, e := range list {
		switch {
		case out[e.Key] != "":
		case ends && e.Final == "cell" && usual != "cell":
			out[e.Key] = fmt.Sprintf("%s ends in the middle of a line, as only %d of %d files of the archive do: it may be cut off", e.Name, finals[e.Final], len(list))
		case ends && e.Final == "line" && usual == "feed":
			out[e.Key] = fmt.Sprintf("%s does not end with the end of a page, as %d of %d files of the archive do: it may be cut off", e.Name, finals[usual], len(list))
		case e.Closing:
		case e.Last && lasts.habit():
			out[e.Key] = fmt.Sprintf("%s, the last volume, does not say that it ends, as those of %d of %d titles do: it may be cut off", e.Name, lasts.do, lasts.all)
		case !e.Last && others.habit():
			out[e.Key] = fmt.Sprintf("%s does not say that it ends, as %d of %d volumes do that are not the last: it may be cut off", e.Name, others.do, others.all)
		}
	}
	return out
}

// saying counts volumes, and those that say that they end.
type saying struct{ all, do int }

func (s *saying) count(does bool) {
	if s.all++; does {
		s.do++
	}
}

func (s *saying) habit() bool {
	return s.all >= habitVolumes && 100*s.do >= habitShare*s.all
}
