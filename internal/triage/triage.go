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
// weights, each kind counted once. The weights are fitted to generated titles, with
// and without planted faults (bench/triage.sh); TestCalibration compares the outcome with the truth on
// others.
package triage

import (
	"bytes"
	"errors"
	"fmt"
	"sort"
	"strings"

	"continuo/internal/book"
	"continuo/internal/catalogue"
	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/decide"
	"continuo/internal/diag"
	"continuo/internal/english"
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
	Others   []string        // names of the files of other titles that the title pages told from this one's
	Doubt    string          // why it is not sure that all volumes were found, "" nothing
	Habit    string          // in what its files are unlike those of the whole archive, "" nothing
	Settings string          // what is wrong in the title's own settings, "" nothing

	Decisions *decide.File  // what people decided about the title, nil nothing
	Rules     []decide.Rule // house rules
}

// Verdict is the outcome.
type Verdict struct {
	State      catalogue.State
	Confidence float64            // 0 to 1
	Reasons    []catalogue.Reason // the best first; of a ready title one, why it is ready
}

// sign is one thing that speaks against a title.
type sign struct {
	kind    string
	state   catalogue.State // Look or Stop
	weight  float64         // share of titles with it that are right all the same
	text    string
	cells   []byte      // what it is about, nil when the text says it
	at      *book.Piece // where these stand
	missing []int       // numbers of volumes that it says are missing
	places  int         // how many findings it stands for, 0 for signs of the whole title
	asked   bool        // the conversion asks about it
}

// most is how many reasons a verdict gives.
const most = 5

// Judge judges one title.
func Judge(in Input) Verdict {
	left, passed := settle(signs(in), in)
	return verdict(left, passed, in)
}

// signs are all that speaks against a title.
func signs(in Input) []sign {
	var out []sign
	switch {
	case in.Err != nil || in.Result == nil:
		out = append(out, failure(in.Err))
	default:
		out = append(out, unproved(in.Proof)...)
		out = append(out, findings(in.Result.Findings)...)
		out = append(out, whole(in)...)
		out = append(out, copies(in.Files)...)
	}
	out = append(out, files(in.Files)...)
	out = append(out, others(in)...)
	for i := range out {
		out[i].quote(in.Result)
	}
	return out
}

// quote puts the cells that a sign is about into its text, and what they are in print.
func (s *sign) quote(r *convert.Result) {
	cells := bytes.TrimSpace(s.cells)
	if len(cells) == 0 {
		return
	}
	if place := placeOf(s.at, r); place != "" {
		s.text = place + ": " + s.text
	}
	s.text += "; cells: " + string(cells)
	if len(r.Survey.Titles) == 0 {
		return
	}
	if print := english.ReadLine(cells, r.Survey.Titles[0].Detection.Best()); print != "" {
		s.text += "; in print: " + print
	}
}

// placeOf names file, page and line of a piece, "" when they are not known.
func placeOf(p *book.Piece, r *convert.Result) string {
	if p == nil || r.Book == nil || int(p.Vol) >= len(r.Pages) {
		return ""
	}
	starts := r.Pages[p.Vol]
	page := sort.Search(len(starts), func(i int) bool { return starts[i] > p.Line })
	if page == 0 {
		return ""
	}
	return diag.Place{File: r.Book.Files[p.Vol].Name, Page: page, Line: int(p.Line-starts[page-1]) + 1}.String()
}

// rank orders signs, the best reasons first: the weightiest, and what names the file at
// fault before what only follows from it.
func (s *sign) rank() float64 {
	switch s.kind {
	case "heading-missing":
		return max(s.weight, 0.2)
	case "not-proved": // what is damaged, missing or print is told before
		return max(s.weight, 0.015)
	}
	return s.weight
}

func verdict(signs []sign, passed []string, in Input) Verdict {
	sort.SliceStable(signs, func(i, j int) bool { return signs[i].rank() < signs[j].rank() })
	v := Verdict{State: catalogue.Ready, Confidence: base}
	counted := map[string]bool{}
	for _, s := range signs {
		if !counted[s.kind] {
			counted[s.kind] = true
			v.Confidence *= s.weight
		}
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
		v.Reasons = []catalogue.Reason{{Kind: "proved", Text: looked(passed)}}
	}
	if in.Proof == nil && v.State == catalogue.Ready {
		v.State = catalogue.Look
		v.Reasons = []catalogue.Reason{{Kind: "no-proof", Text: "no doubt keeps it back, but the proof was left out"}}
	}
	return v
}

// failure is why there is no edition.
func failure(err error) sign {
	var many *convert.ManyTitles
	var twin *convert.VolumeTwice
	switch {
	case err == nil:
		return sign{kind: "no-edition", state: catalogue.Stop, weight: 0.01, text: "there is no edition"}
	case errors.As(err, &many):
		return sign{kind: "foreign-volume", state: catalogue.Stop, weight: 0.01, text: foreign(many)}
	case errors.As(err, &twin):
		return sign{kind: "volume-twice", state: catalogue.Stop, weight: 0.01, text: err.Error()}
	case strings.Contains(err.Error(), "edition that was made before is kept"):
		return sign{kind: "worse-than-before", state: catalogue.Stop, weight: 0.01, text: err.Error()}
	case strings.Contains(err.Error(), "internal fault"):
		return sign{kind: "internal-fault", state: catalogue.Stop, weight: 0.01, text: err.Error()}
	}
	return sign{kind: "unreadable", state: catalogue.Stop, weight: 0.01, text: strings.ReplaceAll(err.Error(), "\n", "; ")}
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
	return []sign{{kind: "not-proved", state: catalogue.Stop, weight: weight["not-proved"], text: text}}
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
		if i, ok := at[f.ID]; ok {
			out[i].asked = out[i].asked || f.Question != ""
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
		out = append(out, sign{kind: f.ID, state: state, weight: weightOf(f.ID, state), text: text, asked: f.Question != ""})
	}
	for kind, i := range at {
		out[i].places = count[kind]
		if n := count[kind] - 1; n > 0 {
			out[i].text += fmt.Sprintf("; %s more like it", counted(n, "place"))
		}
	}
	return out
}
