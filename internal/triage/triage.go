// Package triage says what a title asks of a person: ready (proved complete,
// nothing doubtful), look (some places want a person) or stop (a volume is
// missing, damaged or foreign, or there is no edition), with the best reasons
// first, and how sure the edition is right.
//
// It adds to the findings of a conversion what only a whole title can tell:
// numbers in file names that do not run on, pages missing between volumes,
// volumes that end in another way than the others, a volume in another code.
// Every sign has a weight, the share of titles with that sign whose edition is
// right all the same; the confidence of a title is the product of its signs'
// weights. The weights are measured on generated titles, with and without
// planted faults; TestCalibration compares the outcome with the truth on
// others.
package triage

import (
	"errors"
	"fmt"
	"sort"
	"strings"

	"continuo/internal/catalogue"
	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/diag"
	"continuo/internal/source"
)

// Input is what is known of one title after a run over it.
type Input struct {
	Files    []*source.File
	Skipped  []source.Skipped
	Result   *convert.Result // nil when there is no edition
	Err      error           // why there is none
	Proof    *check.Report   // nil: the proof was not asked for
	Beside   string          // a file of another title in the title's folder, "" none
	Doubt    string          // why it is not sure that all volumes were found, "" nothing
	Settings string          // what is wrong in the title's own settings, "" nothing
}

// Verdict is the outcome.
type Verdict struct {
	State      catalogue.State
	Confidence float64            // 0 to 1
	Reasons    []catalogue.Reason // the best first; of a ready title one, why it is ready
}

// sign is one thing that speaks against a title.
type sign struct {
	kind   string
	state  catalogue.State // Look or Stop
	weight float64         // share of titles with it that are right all the same
	text   string
}

// most is how many reasons a verdict gives.
const most = 5

// Judge judges one title.
func Judge(in Input) Verdict {
	var signs []sign
	switch {
	case in.Err != nil || in.Result == nil:
		signs = append(signs, failure(in.Err))
	default:
		signs = append(signs, unproved(in.Proof)...)
		signs = append(signs, findings(in.Result.Findings)...)
		signs = append(signs, whole(in)...)
	}
	signs = append(signs, files(in.Files)...)
	signs = append(signs, others(in)...)
	return verdict(signs, in)
}

func verdict(signs []sign, in Input) Verdict {
	sort.SliceStable(signs, func(i, j int) bool { return signs[i].weight < signs[j].weight })
	v := Verdict{State: catalogue.Ready, Confidence: base}
	for _, s := range signs {
		v.Confidence *= s.weight
		if s.state == catalogue.Stop {
			v.State = catalogue.Stop
		} else if v.State == catalogue.Ready {
			v.State = catalogue.Look
		}
		if len(v.Reasons) < most {
			v.Reasons = append(v.Reasons, catalogue.Reason{Kind: s.kind, Text: s.text})
		}
	}
	if len(signs) == 0 && in.Proof != nil {
		v.Reasons = []catalogue.Reason{{Kind: "proved", Text: "every cell is in the edition or accounted for, and nothing is doubtful"}}
	}
	if in.Proof == nil && v.State == catalogue.Ready {
		v.State = catalogue.Look
		v.Reasons = []catalogue.Reason{{Kind: "no-proof", Text: "nothing is doubtful, but the proof was left out"}}
	}
	return v
}

// failure is why there is no edition.
func failure(err error) sign {
	var many *convert.ManyTitles
	switch {
	case err == nil:
		return sign{"no-edition", catalogue.Stop, 0.01, "there is no edition"}
	case errors.As(err, &many):
		return sign{"foreign-volume", catalogue.Stop, 0.01, foreign(many)}
	case strings.Contains(err.Error(), "both say that they are volume"):
		return sign{"volume-twice", catalogue.Stop, 0.01, err.Error()}
	case strings.Contains(err.Error(), "edition that was made before is kept"):
		return sign{"worse-than-before", catalogue.Stop, 0.01, err.Error()}
	case strings.Contains(err.Error(), "internal fault"):
		return sign{"internal-fault", catalogue.Stop, 0.01, err.Error()}
	}
	return sign{"unreadable", catalogue.Stop, 0.01, strings.ReplaceAll(err.Error(), "\n", "; ")}
}

// foreign names the files of the smaller titles.
func foreign(many *convert.ManyTitles) string {
	big := 0
	for i, t := range many.Titles {
		if len(t.Volumes) > len(many.Titles[big].Volumes) {
			big = i
		}
	}
	var names []string
	for i, t := range many.Titles {
		for _, v := range t.Volumes {
			if i != big {
				names = append(names, v.File)
			}
		}
	}
	return fmt.Sprintf("files of %d titles: %s seems to be of another title than the rest", len(many.Titles), strings.Join(first(names, 3), ", "))
}

func first(list []string, n int) []string {
	if len(list) > n {
		return append(append([]string(nil), list[:n]...), fmt.Sprintf("and %d more", len(list)-n))
	}
	return list
}

func unproved(p *check.Report) []sign {
	if p == nil || p.OK {
		return nil
	}
	text := fmt.Sprintf("the proof fails in %s", counted(p.NProblems, "place"))
	if len(p.Problems) > 0 {
		text += ": " + p.Problems[0].String()
	}
	return []sign{{"not-proved", catalogue.Stop, weight["not-proved"], text}}
}

func counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// minor reports findings that ask nothing of a person when the whole title is
// looked at: that file names and volume statements give different orders is
// judged by the numbers in the names (see names).
func minor(f diag.Finding) bool { return f.ID == "order-disagrees" }

// findings makes one sign of all findings of a kind. Notes ask for nothing.
func findings(list []diag.Finding) []sign {
	var out []sign
	at := map[string]int{}
	count := map[string]int{}
	for _, f := range list {
		if f.Severity == diag.Note || minor(f) {
			continue
		}
		count[f.ID]++
		if _, ok := at[f.ID]; ok {
			continue
		}
		at[f.ID] = len(out)
		state := catalogue.Look
		if f.Severity == diag.Stop {
			state = catalogue.Stop
		}
		text := f.Text
		if p := f.Place.String(); p != "" {
			text = p + ": " + text
		}
		out = append(out, sign{f.ID, state, weightOf(f.ID, state), text})
	}
	for kind, i := range at {
		if n := count[kind] - 1; n > 0 {
			out[i].text += fmt.Sprintf("; %s more like it", counted(n, "place"))
		}
	}
	return out
}
