package decide

import (
	"fmt"

	"continuo/internal/diag"
	"continuo/internal/source"
)

// Decided is what people decided, brought to the places of one run, and the
// questions of that run. It is for one goroutine; a nil Decided answers nothing
// and takes nothing down.
type Decided struct {
	Questions []Question

	file      *File
	rules     []Rule
	answers   map[spot]*Answer
	titles    map[string]*Answer
	whole     map[spot]*Answer // every line that an answer about lines covers
	places    [][]spot         // of the corrections; nil for one without a place
	found     map[*Answer]bool
	asked     map[string]bool
	corrected []Applied
}

// spot is a line of a source.
type spot struct {
	about About
	file  *source.File
	line  int
}

// Applied is what became of one correction: the line of the source that it
// mends, or why it was refused.
type Applied struct {
	Correction
	Number int // in the file, from 1
	File   *source.File
	Line   int // of the source, from 0
	Why    string
	// Candidates are the places of old cells that stand more than once.
	Candidates []Spot
}

// Spot is a line of a source, counted from 0.
type Spot struct {
	File *source.File
	Line int
}

// Resolve finds the places of a file's decisions in the sources. f may be nil.
func Resolve(f *File, rules []Rule, files []*source.File) *Decided {
	d := &Decided{file: f, rules: rules, answers: map[spot]*Answer{}, titles: map[string]*Answer{}, whole: map[spot]*Answer{}, found: map[*Answer]bool{}, asked: map[string]bool{}}
	if f == nil {
		d.file = &File{}
		return d
	}
	at := d.locate(files)
	for i := range f.Answers {
		a := &f.Answers[i]
		k, _ := Find(a.Kind)
		if k.About == Title {
			d.titles[a.ID] = a
			continue
		}
		if s := single(at[a.ID]); s != nil && (k.About != Line || d.cover(*s, a)) {
			d.answers[*s], d.found[a] = a, true
		}
	}
	for _, c := range f.Corrections {
		var list []spot
		if c.Place != "" {
			if list = at[c.Place]; list == nil {
				list = []spot{}
			}
		}
		d.places = append(d.places, list)
	}
	return d
}

func single(list []spot) *spot {
	if len(list) != 1 {
		return nil
	}
	return &list[0]
}

// locate finds the lines of all ids in use. Where several lines have the near
// cells of an id, those with its wide ones are meant.
func (d *Decided) locate(files []*source.File) map[string][]spot {
	near := map[string][]string{} // ids by their part before the wide hash
	for _, a := range d.file.Answers {
		if k, _ := Find(a.Kind); k.About != Title {
			near[nearPart(a.ID)] = append(near[nearPart(a.ID)], a.ID)
		}
	}
	for _, c := range d.file.Corrections {
		if c.Place != "" {
			near[nearPart(c.Place)] = append(near[nearPart(c.Place)], c.Place)
		}
	}
	out := map[string][]spot{}
	if len(near) == 0 {
		return out
	}
	all := map[string][]spot{}
	for _, f := range files {
		for i := range f.Lines {
			if len(f.Text(i)) == 0 {
				continue
			}
			w := window(f, i, nearLines, 10)
			for _, about := range []About{Line, Hyphen, Break} {
				id := string(about) + "-" + w
				if near[id] != nil {
					all[id] = append(all[id], spot{about, f, i})
				}
			}
		}
	}
	for id, list := range all {
		for _, want := range near[id] {
			out[want] = exact(list, want)
		}
	}
	return out
}

func nearPart(id string) string { return id[:max(len(id)-5, 0)] }

// exact are the places with the wide cells of an id too, or all when none has.
func exact(list []spot, id string) []spot {
	var out []spot
	for _, s := range list {
		if PlaceID(s.about, s.file, s.line) == id {
			out = append(out, s)
		}
	}
	if len(out) == 0 {
		return list
	}
	return out
}

// cover notes the lines of an answer about lines; false when they are not what
// they were.
func (d *Decided) cover(s spot, a *Answer) bool {
	lines := append([]int{s.line}, around(s.file, s.line, 1, len(a.Cells)-1)...)
	if len(lines) != len(a.Cells) {
		return false
	}
	for i, l := range lines {
		if oneBlank(string(s.file.Text(l))) != oneBlank(a.Cells[i]) {
			return false
		}
	}
	for _, l := range lines {
		d.whole[spot{Line, s.file, l}] = a
	}
	return true
}

// At returns a person's answer about a line, nil when there is none. Of an
// answer about several lines every one counts.
func (d *Decided) At(about About, f *source.File, line int) *Answer {
	if d == nil {
		return nil
	}
	if about == Line {
		return d.whole[spot{Line, f, line}]
	}
	return d.answers[spot{about, f, line}]
}

// Lines calls f for every line that a person wants kept or left out.
func (d *Decided) Lines(f func(file *source.File, line int, a *Answer)) {
	if d == nil {
		return
	}
	for s, a := range d.whole {
		f(s.file, s.line, a)
	}
}

// Ask takes a question down, with its answer if there is one: of a person at
// the place, of a house rule, or by nobody. The question is returned as it
// stands in the list. A place that is asked about twice is one question.
func (d *Decided) Ask(q Question) Question {
	if d == nil {
		return q
	}
	if a := d.file.Answer(q.ID); a != nil && q.Kind.Has(a.Choice) && (q.Kind.About == Title || d.found[a]) {
		q.Answer = a
		d.found[a] = true
	}
	for i := range d.rules {
		if r := &d.rules[i]; q.Answer == nil && q.ByRule == nil && r.Kind == q.Kind.ID && q.Kind.Rule && r.Alike == q.Alike {
			q.ByRule = r
		}
	}
	if !d.asked[q.ID] {
		d.asked[q.ID] = true
		d.Questions = append(d.Questions, q)
	}
	return q
}

// AskLine is Ask for a question about n lines of a file from one on.
func (d *Decided) AskLine(kind string, f *source.File, line, n int, q Question) Question {
	k, ok := Find(kind)
	if d == nil || !ok {
		return q
	}
	q.Kind, q.ID, q.Lines = k, PlaceID(k.About, f, line), Show(f, line, n)
	q.Place.File = f.Name
	page, on := f.Place(line)
	q.Place.Page, q.Place.Line = page, on
	if q.Cells == nil {
		q.Cells = []string{string(f.Text(line))}
		for _, i := range around(f, line, 1, n-1) {
			q.Cells = append(q.Cells, string(f.Text(i)))
		}
	}
	return d.Ask(q)
}

// Corrections are the corrections of the file in their order. Lines are those
// that a correction may stand in; nil says that any may.
func (d *Decided) Corrections(do func(n int, c Correction, may func(f *source.File, line int) bool)) {
	if d == nil {
		return
	}
	for i, c := range d.file.Corrections {
		may := func(*source.File, int) bool { return true }
		if list := d.places[i]; list != nil {
			may = func(f *source.File, line int) bool {
				for _, s := range list {
					if s.file == f && s.line == line {
						return true
					}
				}
				return false
			}
		}
		do(i+1, c, may)
	}
}

// Took notes what became of a correction.
func (d *Decided) Took(a Applied) { d.corrected = append(d.corrected, a) }

// Corrected is what became of the corrections.
func (d *Decided) Corrected() []Applied { return d.corrected }

// Lost tells of answers whose place was not found, and of corrections that
// were refused.
func (d *Decided) Lost() []diag.Finding {
	if d == nil {
		return nil
	}
	var out []diag.Finding
	for i := range d.file.Answers {
		a := &d.file.Answers[i]
		if d.found[a] || d.titles[a.ID] != nil {
			continue
		}
		out = append(out, diag.Finding{ID: "decision-lost", Severity: diag.Look, Text: fmt.Sprintf("the decision %s (%s, %s) is not applied: its cells are not in the sources, or stand there twice; it stood at %s", a.ID, a.Kind, a.Choice, or(a.Where, "a place that is not noted")), Cells: first(a.Cells)})
	}
	for _, c := range d.corrected {
		if c.Why == "" {
			continue
		}
		out = append(out, diag.Finding{ID: "correction-refused", Severity: diag.Stop, Text: fmt.Sprintf("correction %d is refused: %s; it stood at %s", c.Number, c.Why, or(c.Where, "a place that is not noted")), Cells: c.Old})
	}
	return out
}

func or(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

func first(list []string) string {
	if len(list) == 0 {
		return ""
	}
	return list[0]
}

// Applied lists what was decided and holds in this run, for the account: id,
// choice and who.
func (d *Decided) Applied() []map[string]string {
	if d == nil {
		return nil
	}
	var out []map[string]string
	for i := range d.file.Answers {
		if a := &d.file.Answers[i]; d.found[a] {
			out = append(out, map[string]string{"id": a.ID, "kind": a.Kind, "choice": a.Choice, "who": a.Who})
		}
	}
	for i := range d.Questions {
		if q := &d.Questions[i]; q.ByRule != nil {
			out = append(out, map[string]string{"id": q.ID, "kind": q.Kind.ID, "choice": q.ByRule.Choice, "who": q.ByRule.Who, "rule": "house"})
		}
	}
	return out
}
