package assemble

import (
	"continuo/internal/book"
	"continuo/internal/decide"
	"continuo/internal/diag"
	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/structure"
)

// dropGeneral leaves out a general contents list whose entries stand in the
// volumes' own lists or as headings; what does not is kept.
func (a *assembly) dropGeneral(i int, v *structure.Volume, r structure.Region) {
	why := a.why("contents", "which volume holds what", "the volumes' lists have the entries", 0.93)
	have := map[string]bool{}
	for _, l := range a.list.lines {
		have[l.norm] = true
	}
	named := false
	for k := r.From; k < r.To; k++ {
		if a.fates[i][k] != asText {
			continue
		}
		u := &v.Units[k]
		named = named || u.HasPhrase && u.Phrase.ID == english.Volume
		units := []int{k}
		for k+1 < r.To && !u.Rule && !u.HasPhrase && a.runsOver(v, units[0], k, k+1) && a.fates[i][k+1] == asText {
			k++
			units = append(units, k)
		}
		n := layout.Normal(a.entryText(v, units))
		joined := n
		if k+1 < r.To {
			joined = n + " " + layout.Normal(v.Units[k+1].Text)
		}
		switch {
		case !named || u.Rule || u.HasPhrase || have[n] || a.heads[structure.HeadingKey(n)] != nil || a.within(n, have) || namesVolume(u.Text):
		case have[joined]:
			k++
			units = append(units, k)
		default:
			a.generalLine(i, v, units, n)
			continue
		}
		for _, n := range units {
			a.leave(i, n, why)
		}
	}
}

// generalLine keeps an entry of the general contents that is told nowhere else,
// unless a house rule leaves it out.
func (a *assembly) generalLine(i int, v *structure.Volume, units []int, norm string) {
	u := &v.Units[units[0]]
	q := a.o.Decided.AskLine("general-contents", v.File, int(u.Line), len(units), decide.Question{Severity: diag.Look, Usual: keepIt, Alike: norm,
		Evidence: "no list of a volume has it, and no heading"})
	q.Kind.ID = "general-contents"
	a.findAsked(diag.Look, q, v, u.Line, "a line of the general contents that no list of a volume has; it is kept")
	if q.Choice() == leaveOut {
		for _, k := range units {
			a.leaveDecided(i, k, q.By())
		}
		return
	}
	for _, k := range units {
		a.fates[i][k] = asList
	}
	a.list.lines = append(a.list.lines, listLine{vol: i, units: units, kind: book.Entry, norm: norm, general: true})
}

// within reports whether the words are part of an entry or an entry of them.
func (a *assembly) within(n string, have map[string]bool) bool {
	if len(n) < 6 {
		return false
	}
	for h := range have {
		if contains(h, n) || (len(h) >= 6 && contains(n, h)) || layout.Alike(h, n) {
			return true
		}
	}
	return false
}

func contains(s, sub string) bool { return hasInside([]byte(s), sub) }

func namesVolume(t []byte) bool { return contains(layout.Normal(t), "volume") }
