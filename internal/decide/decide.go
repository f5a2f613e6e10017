// Package decide holds what people decide about a title: answers to questions
// about doubtful places, and corrections of misprints. They stand in a small
// TOML file beside the title, title.decisions.toml, and are applied at every
// run.
//
// A place is known by the cells around it, never by a line number or a file's
// name alone, so that an answer outlives another run, a newer program, a volume
// that is supplied again and a file that is renamed. When a place cannot be
// found, or stands there twice, its answer is not applied and this is told.
package decide

import (
	"fmt"
	"strings"

	"continuo/internal/diag"
)

// About is what a question decides on. It is the first part of an id.
type About string

const (
	Line   About = "line"   // whether a line stays in the edition
	Hyphen About = "hyphen" // whether a hyphen at a line end stays
	Break  About = "break"  // whether a paragraph begins at a line
	Title  About = "title"  // something about the title as a whole
)

// Choice is one answer that a question can have. Name is what is written in
// files and typed; Words says it for people.
type Choice struct{ Name, Words string }

// Kind is a kind of question, named as the finding that raises it.
type Kind struct {
	ID      string
	About   About
	Ask     string // the question in plain words
	Choices []Choice
	Rule    bool // can be raised to a house rule
}

var (
	keepOrLeave = []Choice{{"keep", "keep it in the edition"}, {"leave-out", "leave it out"}}
	goOnOrWait  = []Choice{{"go-on", "go on with what is here"}, {"wait", "wait; the edition is not to be passed on yet"}}

	passOnOrWait = []Choice{{PassOn, "it is in order: pass the edition on"}, {Wait, "wait; the edition is not to be passed on yet"}}
)

// Wait is the choice that keeps a title from being passed on.
const Wait = "wait"

// LookedAt is the kind of question about what only the title as a whole tells,
// and about findings that nothing but a look can settle.
const LookedAt = "looked-at"

// EndUntold is the kind of question about a book of which nothing says that it ends where its
// last volume does. In a house whose books never say so a rule answers it.
const EndUntold = "end-untold"

// PassOn is its choice that lets the title be passed on.
const PassOn = "pass-on"

// kinds are the questions in the order in which they are told.
var kinds = []Kind{
	{"volume-missing", Title, "a volume is missing: go on without it?", goOnOrWait, false},
	{"order-disagrees", Title, "which order of the volumes is right?", []Choice{{"statements", "the order that the volumes themselves state"}, {"names", "the order of the file names"}}, true},
	{"volume-repeated", Title, "two files hold the same: go on?", goOnOrWait, false},
	{"extent-disagrees", Title, "the volumes disagree on how many there are: go on?", goOnOrWait, false},
	{"print-pages-disagree", Title, "the print pages of two volumes do not follow each other: go on?", goOnOrWait, false},
	{LookedAt, Title, "look at this: is it in order, so that the edition can be passed on?", passOnOrWait, false},
	{EndUntold, Title, "does the book end where its last volume does, so that the edition can be passed on?", passOnOrWait, true},
	{"head-or-heading", Line, "is this line text, or a page head to be left out?", keepOrLeave, true},
	{"head-in-doubt", Line, "is this line a page head to be left out, or text?", keepOrLeave, true},
	{"number-out-of-sequence", Line, "is this number text, or a page number to be left out?", keepOrLeave, false},
	{"repeat-in-doubt", Line, "does this line only repeat the title or an earlier volume?", keepOrLeave, true},
	{"new-preliminary-matter", Line, "does this preliminary matter of a later volume belong in the book?", keepOrLeave, true},
	{"end-in-doubt", Line, "does this last line of a volume only say that the volume ends?", keepOrLeave, true},
	{"general-contents", Line, "does this line of the general contents belong in the book?", keepOrLeave, true},
	{"paragraph-in-doubt", Break, "does a new paragraph begin here?", []Choice{{"new-paragraph", "yes, a new paragraph begins"}, {"goes-on", "no, the text goes on"}}, false},
	{"hyphen-in-doubt", Hyphen, "does this hyphen at a line end belong to the word?", []Choice{{"keep", "it belongs to the word: keep it"}, {"take-out", "it only divides the word: take it out"}}, true},
}

// information are findings that are only told: there is nothing to choose. A
// new finding of the program belongs here or to kinds; a test holds this.
var information = map[string]string{
	"other-layout":           "a volume is laid out otherwise than the house does it",
	"no-cell":                "a byte that is no braille cell; a correction mends it",
	"print":                  "the file looks like print; supply another",
	"statement-not-written":  "the wording of the profile cannot be written in the book's code",
	"note-not-joined":        "a note that no reference is found for",
	"reference-without-note": "a reference whose note is not found",
	"contents-entry":         "an entry of the contents list that no heading is found for",
	"contents-number":        "the contents list says another print page than the text",
	"contents-within":        "a contents list that stands within the text, as that of a second work",
	"contents-made":          "a contents list was made of the headings",
	"page-reference":         "the text names a page that the edition does not show",
	"page-reference-changed": "a reference to a page of the paper volumes was made one to the print page",
	"table-kept":             "a table that stays in columns although the profile wants lists",
	"notes-go-on":            "notes at the end of a volume that go on in the next one",
	"facing-pages":           "columns of a table on two pages that face each other",
	"index-pages":            "an index names pages that the edition does not show",
	"entries":                "how many dictionary entries there are",
	"parents":                "how many headings carry the name of their book",
	"entry-order":            "an entry of a dictionary out of the order of its letters",
	"entry-mark":             "no mark before headwords could be chosen",
	"way-not-written":        "the page that tells the way cannot be written in the book's code",
	"decision-lost":          "a decision whose place is no longer there; take it back, or answer again",
	"correction-refused":     "a correction whose old cells are no longer there once; take it back, or give it again",
}

// Kinds returns every kind of question, in the order in which they are told.
func Kinds() []Kind { return append([]Kind(nil), kinds...) }

// Find returns the kind of a finding, false when it has no answer.
func Find(id string) (Kind, bool) {
	for _, k := range kinds {
		if k.ID == id {
			return k, true
		}
	}
	return Kind{}, false
}

// Information says what a finding without an answer is, "" when it has one or
// is not known.
func Information(id string) string { return information[id] }

// Has reports whether a choice is one of the kind's.
func (k Kind) Has(choice string) bool {
	for _, c := range k.Choices {
		if c.Name == choice {
			return true
		}
	}
	return false
}

// Names lists the choices by name.
func (k Kind) Names() []string {
	var out []string
	for _, c := range k.Choices {
		out = append(out, c.Name)
	}
	return out
}

// Shown is one line of the sources as a question shows it.
type Shown struct {
	Cells string
	Here  bool // the question is about this line
}

// Question is one doubtful place. Usual is what happens without an answer.
type Question struct {
	ID       string
	Kind     Kind
	Severity diag.Severity
	Place    diag.Place
	Evidence string   // in words
	Lines    []Shown  // the place with the lines round it
	Cells    []string // the lines that the answer is about; of a hyphen both words
	Usual    string
	Alike    string  // what places have in common that a house rule covers; "" none
	Answer   *Answer // nil: not answered
	ByRule   *Rule   // not nil: answered by a house rule
}

// Choice is what holds for a question: the answer, or what is usual.
func (q *Question) Choice() string {
	switch {
	case q.Answer != nil:
		return q.Answer.Choice
	case q.ByRule != nil:
		return q.ByRule.Choice
	}
	return q.Usual
}

// Settled reports whether a person has answered, here or by a house rule.
func (q *Question) Settled() bool { return q.Answer != nil || q.ByRule != nil }

// Open reports whether a question still wants an answer: nobody has answered
// or the answer is to wait.
func (q *Question) Open() bool { return !q.Settled() || q.Choice() == Wait }

// With is the answer to a question as it is written down: the choice, who made it
// and why, and the day (year-month-day).
func (q *Question) With(choice, who, why, when string) Answer {
	a := Answer{ID: q.ID, Kind: q.Kind.ID, Choice: choice, Where: q.Place.String(), Who: who, Why: why, When: when}
	if q.Kind.ID == LookedAt || q.Kind.ID == EndUntold {
		a.Where = q.Evidence
	}
	for _, line := range q.Cells {
		a.Cells = append(a.Cells, strings.Join(strings.Fields(line), " "))
	}
	return a
}

// By says in words who decided, "" when nobody has.
func (q *Question) By() string {
	switch {
	case q.Answer != nil:
		return by("decided by a person", q.Answer.Who, q.Answer.Why)
	case q.ByRule != nil:
		return by("decided by a person, for all files like this", q.ByRule.Who, q.ByRule.Why)
	}
	return ""
}

func by(words, who, why string) string {
	if who != "" {
		words += ": " + who
	}
	if why != "" {
		words += " (" + why + ")"
	}
	return words
}

// Settle returns a finding as it stands after the answer: a note that says who
// decided, or, when the answer is to wait, a reason to stop.
func (q *Question) Settle(f diag.Finding) diag.Finding {
	f.Question = q.ID
	switch {
	case !q.Settled():
	case q.Choice() == Wait:
		f.Severity = diag.Stop
		f.Text += "; " + q.By() + ": " + q.Choice()
	default:
		f.Severity = diag.Note
		f.Text += "; " + q.By() + ": " + q.Choice()
	}
	return f
}

// Rule is a house rule: the answer for all places of a kind that are alike.
type Rule struct {
	Kind   string `toml:"kind"`
	Alike  string `toml:"alike"` // cells; empty for kinds about a title as a whole
	Choice string `toml:"choice"`
	Who    string `toml:"who,omitempty"`
	Why    string `toml:"why,omitempty"`
}

// Changes are the questions whose places come out otherwise under a rule: those
// that are alike, that nobody has answered, and that have another choice now.
func (r Rule) Changes(list []Question) []*Question {
	var out []*Question
	for i := range list {
		q := &list[i]
		if q.Kind.ID == r.Kind && q.Alike == r.Alike && !q.Settled() && q.Choice() != r.Choice {
			out = append(out, q)
		}
	}
	return out
}

// Fault says what is wrong with a rule, "" when nothing is.
func (r Rule) Fault() string {
	k, ok := Find(r.Kind)
	switch {
	case !ok:
		return fmt.Sprintf("there is no kind of question %q", r.Kind)
	case !k.Rule:
		return fmt.Sprintf("%q is about one place; there is no house rule for it", r.Kind)
	case !k.Has(r.Choice):
		return fmt.Sprintf("the choices for %q are %s, not %q", r.Kind, oneOf(k.Names()), r.Choice)
	case k.About != Title && r.Alike == "":
		return fmt.Sprintf("a rule for %q needs the cells that places have in common", r.Kind)
	}
	return ""
}

func oneOf(names []string) string {
	out := ""
	for i, n := range names {
		switch {
		case i > 0 && i == len(names)-1:
			out += " or "
		case i > 0:
			out += ", "
		}
		out += n
	}
	return out
}
