package cli

import (
	"bufio"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"continuo/internal/decide"
	"continuo/internal/diag"
	"continuo/internal/english"
)

// answers is where questions are answered; tests put something else there.
var answers io.Reader = os.Stdin

// today is the day of a decision, year-month-day.
func today() string { return time.Now().Format(time.DateOnly) }

type decideCall struct {
	decideFlags
	answer, undo, among []string
	always              string
	all, yes            bool
}

func decideCommand(c console) *cobra.Command {
	var f decideCall
	cmd := &cobra.Command{
		Use:   "decide SOURCE...",
		Short: "answer the questions about doubtful places of a title",
		Long: `SOURCE is a volume file, a folder of volume files or a zip, all of one title; or the key of a title in the catalogue, as continuo archive list tells it.
Asks one plain question at a time, with the lines in cells and in print, and takes the number of a choice as the answer. Answers stand in title.decisions.toml beside the title, are applied whenever the title is made, and can be taken back. The sources are never touched.
The id of a place is made of the cells around it: it stays the same when the title is made again, with a newer program too, when a file is renamed or another volume is supplied again.
A house rule is an answer for all places that are alike, in all titles made with a profile. Before it is stored, what it would change is named.`,
		Example: `continuo decide mybook/ --who Ann
  asks about the places that want a person's eye
continuo decide mybook/ --who Ann --all
  asks about small doubts too, such as hyphens at line ends
continuo decide 40172 --who Ann
  asks about the title 40172 of the catalogue
continuo decide mybook/ --list
continuo decide mybook/ --who Ann --answer line-3fa9c2d1b0-9f2c=keep --why "a chapter begins there"
continuo decide mybook/ --undo line-3fa9c2d1b0-9f2c
continuo decide mybook/ --who Ann --always line-3fa9c2d1b0-9f2c=leave-out --profile harbour.toml --among archive/
  names what the rule would change; with --yes it is stored in harbour.toml`,
		Args: atLeast(1, "at least one SOURCE"),
		RunE: func(_ *cobra.Command, args []string) error { return f.run(c, args) },
	}
	f.add(cmd)
	flags := cmd.Flags()
	flags.BoolVar(&f.all, "all", false, "small doubts too, not only places that want a person's eye")
	flags.StringArrayVar(&f.answer, "answer", nil, "`ID=CHOICE` answer one question; may be given several times")
	flags.StringArrayVar(&f.undo, "undo", nil, "`ID` take an answer back; may be given several times")
	flags.StringVar(&f.always, "always", "", "`ID=CHOICE` make the answer a house rule in the file of --profile")
	flags.StringArrayVar(&f.among, "among", nil, "`FOLDER` of titles: with --always, what the rule would change there is named too; may be given several times")
	flags.BoolVar(&f.yes, "yes", false, "with --always: store the rule")
	return cmd
}

func (f *decideCall) run(c console, args []string) error {
	work := c.begin("reading the title")
	t, err := f.open(args)
	work.end()
	if err != nil {
		return err
	}
	defer t.close()
	switch {
	case f.always != "":
		return f.raise(c, t)
	case len(f.undo) > 0:
		err = f.takeBack(c, t)
	case len(f.answer) > 0:
		err = f.write(c, t)
	case f.list || f.asJSON:
	default:
		return f.askAll(c, t)
	}
	if err != nil {
		return err
	}
	return f.tell(c, t)
}

// asked are the questions to tell or ask, the gravest first; of those that
// want a person's eye and, with --all, the small ones.
func (f *decideCall) asked(t *title) []decide.Question {
	var out []decide.Question
	for _, q := range t.result.Questions {
		if f.all || q.Severity != diag.Note || q.Settled() {
			out = append(out, q)
		}
	}
	slices.SortStableFunc(out, func(a, b decide.Question) int { return int(b.Severity) - int(a.Severity) })
	return out
}

// open counts the questions that want a person's eye and have no answer.
func open(list []decide.Question) int {
	n := 0
	for i := range list {
		if list[i].Severity != diag.Note && list[i].Open() {
			n++
		}
	}
	return n
}

// variantOf is the code that a title is read with.
func (t *title) variant() english.Variant {
	if s := t.result.Survey; s != nil && len(s.Titles) > 0 {
		return s.Titles[0].Detection.Best()
	}
	return english.Variant{}
}

// tell lists the questions.
func (f *decideCall) tell(c console, t *title) error {
	list := f.asked(t)
	if f.asJSON {
		if err := c.json(jsonDecisions(t, list)); err != nil {
			return err
		}
	} else {
		c.say("open: %s", wants(open(list)))
		c.say("decisions file: %s", t.path)
		for i, q := range list {
			c.question(q, t.variant(), i+1, len(list))
		}
		for i, m := range t.result.Corrected {
			c.say("correction %d: %s to %s, %s", i+1, m.Old, m.New, or(m.Why, "mended"))
		}
		for _, a := range t.answered() {
			q := decide.Question{Answer: &a}
			c.say("answered: %s, %s: %s; %s; cells: %s", a.ID, a.Kind, a.Choice, q.By(), strings.Join(a.Cells, " / "))
		}
		lost := t.lost()
		for _, a := range lost {
			c.say("lost: %s, %s: %s; its place is not in the sources, or twice", a.ID, a.Kind, a.Choice)
		}
		f.small(c, t)
		c.runAgain(t)
	}
	if open(list)+len(t.lost()) > 0 {
		return person
	}
	return nil
}

func or(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// answered are the answers that hold and whose question is not asked any more,
// because they do what they say before it would arise.
func (t *title) answered() []decide.Answer {
	lost := t.lost()
	var out []decide.Answer
	for _, a := range t.file.Answers {
		same := func(o decide.Answer) bool { return o.ID == a.ID }
		if !slices.ContainsFunc(t.result.Questions, func(q decide.Question) bool { return q.ID == a.ID }) && !slices.ContainsFunc(lost, same) {
			out = append(out, a)
		}
	}
	return out
}

// lost are the answers about places that were not found.
func (t *title) lost() []decide.Answer {
	var out []decide.Answer
	for _, a := range t.file.Answers {
		for _, x := range t.result.Findings {
			if x.ID == "decision-lost" && strings.Contains(x.Text, a.ID) {
				out = append(out, a)
			}
		}
	}
	return out
}

// small says how many small doubts were not told.
func (f *decideCall) small(c console, t *title) {
	n := 0
	for _, q := range t.result.Questions {
		if q.Severity == diag.Note && !q.Settled() {
			n++
		}
	}
	if n > 0 && !f.all {
		c.say("small doubts not told: %d; --all tells them", n)
	}
}

// question prints one question, one fact a line.
func (c console) question(q decide.Question, v english.Variant, n, of int) {
	c.say("question %d of %d: %s", n, of, q.Kind.Ask)
	c.say("id: %s", q.ID)
	c.say("kind: %s", q.Kind.ID)
	if p := q.Place.String(); p != "" {
		c.say("place: %s", p)
	}
	before := true
	for _, l := range q.Lines {
		label := map[bool]string{true: "before", false: "after"}[before]
		if l.Here {
			label, before = "here", false
		}
		c.say("%s: %s", label, oneLine(l.Cells))
		c.say("%s, in print: %s", label, inPrint(l.Cells, v))
	}
	if q.Kind.About == decide.Hyphen && len(q.Cells) == 2 {
		c.say("kept: %s%s", q.Cells[0], q.Cells[1])
		c.say("taken out: %s%s", strings.TrimSuffix(q.Cells[0], "-"), q.Cells[1])
	}
	c.say("evidence: %s", oneLine(q.Evidence))
	if q.Settled() {
		c.say("%s: %s", q.By(), q.Choice())
		return
	}
	c.say("without an answer: %s", q.Usual)
	for i, x := range q.Kind.Choices {
		c.say("choice %d: %s: %s", i+1, x.Name, x.Words)
	}
}

// askAll asks one question after the other and writes every answer at once.
func (f *decideCall) askAll(c console, t *title) error {
	if err := f.needWho(); err != nil {
		return err
	}
	in := bufio.NewScanner(answers)
	done, list := 0, f.asked(t)
	list = slices.DeleteFunc(list, func(q decide.Question) bool { return q.Settled() })
	for i, q := range list {
		c.question(q, t.variant(), i+1, len(list))
		c.say("choice %d: later", len(q.Kind.Choices)+1)
		choice, stop := c.choose(in, q)
		if stop {
			break
		}
		if choice == "" {
			continue
		}
		if err := t.put(q, choice, f.who, f.why); err != nil {
			return err
		}
		done++
		c.say("noted: %s", choice)
	}
	if err := t.again(); err != nil {
		return err
	}
	c.say("answered: %d", done)
	c.say("open: %s", wants(open(t.result.Questions)))
	if done > 0 {
		c.say("decisions file: %s", t.path)
	}
	f.small(c, t)
	c.runAgain(t)
	if open(t.result.Questions) > 0 {
		return person
	}
	return nil
}

// choose reads the number of a choice: its name, "" for later; stop at the end
// of the input or a q.
func (c console) choose(in *bufio.Scanner, q decide.Question) (choice string, stop bool) {
	for {
		c.say("answer by number, or q to stop:")
		if !in.Scan() {
			return "", true
		}
		text := strings.TrimSpace(in.Text())
		n, err := strconv.Atoi(text)
		switch {
		case text == "q" || text == "Q":
			return "", true
		case text == "" || err == nil && n == len(q.Kind.Choices)+1:
			return "", false
		case err == nil && n >= 1 && n <= len(q.Kind.Choices):
			return q.Kind.Choices[n-1].Name, false
		case q.Kind.Has(text):
			return text, false
		}
		c.say("not a choice: %s; give a number from 1 to %d", source1(text), len(q.Kind.Choices)+1)
	}
}

func source1(s string) string { return strconv.Quote(oneLine(s)) }

// put writes one answer.
func (t *title) put(q decide.Question, choice, who, why string) error {
	a := q.With(choice, who, why, today())
	return t.change(func(text []byte) ([]byte, error) { return decide.Put(t.path, text, a) })
}

// find is the question with an id.
func (t *title) find(id string) (decide.Question, error) {
	for _, q := range t.result.Questions {
		if q.ID == id {
			return q, nil
		}
	}
	return decide.Question{}, refuse("continuo decide SOURCE... --list --all lists the questions with their ids", "there is no question %q about this title", id)
}

// cutAnswer reads ID=CHOICE and finds its question.
func (t *title) cutAnswer(s string) (decide.Question, string, error) {
	id, choice, ok := strings.Cut(s, "=")
	if !ok {
		return decide.Question{}, "", wrong("for example --answer line-3fa9c2d1b0-9f2c=keep", "%q is not ID=CHOICE", s)
	}
	q, err := t.find(id)
	if err == nil && !q.Kind.Has(choice) {
		err = wrong("continuo help decide has examples", "the choices for %s are %s, not %q", id, either(q.Kind.Names()), choice)
	}
	return q, choice, err
}

// write takes the answers of --answer down: all, or none when one is wrong.
func (f *decideCall) write(c console, t *title) error {
	if err := f.needWho(); err != nil {
		return err
	}
	for _, s := range f.answer {
		if _, _, err := t.cutAnswer(s); err != nil {
			return err
		}
	}
	for _, s := range f.answer {
		q, choice, _ := t.cutAnswer(s)
		if err := t.put(q, choice, f.who, f.why); err != nil {
			return err
		}
		if !f.asJSON {
			c.say("noted: %s: %s", q.ID, choice)
		}
	}
	return t.again()
}

// takeBack takes the answers of --undo back.
func (f *decideCall) takeBack(c console, t *title) error {
	if err := f.needWhoOf(t); err != nil {
		return err
	}
	for _, id := range f.undo {
		if t.file.Answer(id) == nil {
			return refuse("continuo decide SOURCE... --list lists the answers", "there is no answer to %q in %q", id, t.path)
		}
	}
	for _, id := range f.undo {
		if err := t.change(func(text []byte) ([]byte, error) { return decide.Remove(t.path, text, id) }); err != nil {
			return err
		}
		if !f.asJSON {
			c.say("taken back: %s", id)
		}
	}
	return t.again()
}

type jsonQuestion struct {
	ID       string       `json:"id"`
	Kind     string       `json:"kind"`
	Severity string       `json:"severity"`
	Ask      string       `json:"ask"`
	File     string       `json:"file,omitempty"`
	Page     int          `json:"page,omitempty"`
	Line     int          `json:"line,omitempty"`
	Lines    []jsonShown  `json:"lines"`
	Evidence string       `json:"evidence"`
	Choices  []jsonChoice `json:"choices"`
	Usual    string       `json:"without_an_answer"`
	Choice   string       `json:"choice"`
	By       string       `json:"by,omitempty"`
	Rule     bool         `json:"can_be_a_house_rule"`
}

type jsonShown struct {
	Cells string `json:"cells"`
	Print string `json:"print"`
	Here  bool   `json:"here"`
}

type jsonChoice struct {
	Name  string `json:"name"`
	Words string `json:"words"`
}

type jsonCorrection struct {
	Number  int    `json:"number"`
	Old     string `json:"old"`
	New     string `json:"new"`
	Refused string `json:"refused,omitempty"`
}

type jsonDecision struct {
	Outcome     string           `json:"outcome"`
	File        string           `json:"decisions_file"`
	Open        int              `json:"open"`
	Questions   []jsonQuestion   `json:"questions"`
	Corrections []jsonCorrection `json:"corrections"`
	Answered    []jsonAnswer     `json:"answered"` // answers whose question does not arise any more
	Lost        []string         `json:"lost"`
}

type jsonAnswer struct {
	ID     string   `json:"id"`
	Kind   string   `json:"kind"`
	Choice string   `json:"choice"`
	Who    string   `json:"who"`
	Why    string   `json:"why,omitempty"`
	Cells  []string `json:"cells"`
}

func jsonDecisions(t *title, list []decide.Question) jsonDecision {
	out := jsonDecision{Outcome: "done", File: t.path, Open: open(list), Questions: []jsonQuestion{}, Corrections: []jsonCorrection{}, Answered: []jsonAnswer{}, Lost: []string{}}
	for _, a := range t.answered() {
		out.Answered = append(out.Answered, jsonAnswer{a.ID, a.Kind, a.Choice, a.Who, a.Why, a.Cells})
	}
	for _, q := range list {
		jq := jsonQuestion{ID: q.ID, Kind: q.Kind.ID, Severity: q.Severity.String(), Ask: q.Kind.Ask, File: q.Place.File, Page: q.Place.Page, Line: q.Place.Line,
			Evidence: q.Evidence, Usual: q.Usual, Choice: q.Choice(), By: q.By(), Rule: q.Kind.Rule, Lines: []jsonShown{}}
		for _, l := range q.Lines {
			jq.Lines = append(jq.Lines, jsonShown{l.Cells, inPrint(l.Cells, t.variant()), l.Here})
		}
		for _, x := range q.Kind.Choices {
			jq.Choices = append(jq.Choices, jsonChoice(x))
		}
		out.Questions = append(out.Questions, jq)
	}
	for _, m := range t.result.Corrected {
		out.Corrections = append(out.Corrections, jsonCorrection{m.Number, m.Old, m.New, m.Why})
	}
	for _, a := range t.lost() {
		out.Lost = append(out.Lost, a.ID)
	}
	if out.Open+len(out.Lost) > 0 {
		out.Outcome = "look"
	}
	return out
}
