package decide

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"continuo/internal/cell"
	"continuo/internal/lazy"
	"continuo/internal/tomlpos"
)

// FileName is the name of the file that holds a title's decisions, in the
// folder of the title.
const FileName = "title.decisions.toml"

// Answer is one decision of a person. Kind, Where and Cells are for people;
// Cells also says how many lines a decision about lines covers, and must be
// what stands there.
type Answer struct {
	ID     string   `toml:"id"`
	Kind   string   `toml:"kind"`
	Choice string   `toml:"choice"`
	Cells  []string `toml:"cells,omitempty"`
	Where  string   `toml:"where,omitempty"`
	Who    string   `toml:"who,omitempty"`
	Why    string   `toml:"why,omitempty"`
	When   string   `toml:"when,omitempty"` // year-month-day
}

// Correction mends one misprint: Old becomes New in the line known by Place,
// or, without Place, where Old stands once in the whole title.
type Correction struct {
	Place string `toml:"place,omitempty"`
	Old   string `toml:"old"`
	New   string `toml:"new"`
	Where string `toml:"where,omitempty"`
	Who   string `toml:"who,omitempty"`
	Why   string `toml:"why,omitempty"`
	When  string `toml:"when,omitempty"`
}

// By says in words who mended.
func (c Correction) By() string { return by("mended by a person", c.Who, c.Why) }

// File is what people decided about one title.
type File struct {
	Version     int          `toml:"version"`
	Answers     []Answer     `toml:"answer"`
	Corrections []Correction `toml:"correction"`
}

// Error is a file of decisions that cannot be used: where, and why. Line is
// 1-based, 0 when the file as a whole is meant.
type Error struct {
	File string
	Line int
	Why  string
}

func (e *Error) Error() string { return tomlpos.Message("decisions", e.File, e.Line, e.Why) }

const (
	maxEntries = 20000
	maxCells   = 200 // of one correction
	maxWords   = 500 // letters of who and why
)

// Parse reads a file of decisions, strictly: a key that is not known or a value
// that cannot stand is an error with its line. name is used in errors. An empty
// text is a file without decisions.
func Parse(name string, text []byte) (*File, error) {
	f := &File{Version: 1}
	dec := toml.NewDecoder(strings.NewReader(string(text))).DisallowUnknownFields()
	if err := dec.Decode(f); err != nil {
		return nil, decodeError(name, err)
	}
	if f.Version != 1 {
		return nil, &Error{name, 0, fmt.Sprintf("version %d is not known; this program reads version 1", f.Version)}
	}
	if n := len(f.Answers) + len(f.Corrections); n > maxEntries {
		return nil, &Error{name, 0, fmt.Sprintf("%d entries are too many; the limit is %d", n, maxEntries)}
	}
	lines := tomlpos.Lines(text)
	seen := map[string]bool{}
	for i := range f.Answers {
		why := f.Answers[i].fault()
		if seen[f.Answers[i].ID] {
			why = "the place is decided twice: " + f.Answers[i].ID
		}
		if seen[f.Answers[i].ID] = true; why != "" {
			return nil, &Error{name, lines[fmt.Sprintf("answer[%d]", i)], "answer: " + why}
		}
	}
	for i := range f.Corrections {
		if why := f.Corrections[i].fault(); why != "" {
			return nil, &Error{name, lines[fmt.Sprintf("correction[%d]", i)], "correction: " + why}
		}
	}
	return f, nil
}

func decodeError(name string, err error) error {
	f := tomlpos.First(err)
	return &Error{name, f.Line, f.Why}
}

var idForm = lazy.Regexp(`^(title-[0-9a-f]{14}|(line|hyphen|break)-[0-9a-f]{10}-[0-9a-f]{4})$`)

func (a *Answer) fault() string {
	k, ok := Find(a.Kind)
	switch {
	case !idForm().MatchString(a.ID):
		return fmt.Sprintf("%q is no id of a place", a.ID)
	case !ok:
		return fmt.Sprintf("there is no kind of question %q", a.Kind)
	case !strings.HasPrefix(a.ID, string(k.About)+"-"):
		return fmt.Sprintf("the id of a %q begins with %q", a.Kind, k.About)
	case !k.Has(a.Choice):
		return fmt.Sprintf("the choices for %q are %s, not %q", a.Kind, oneOf(k.Names()), a.Choice)
	case k.About != Title && len(a.Cells) == 0:
		return "the cells of the place are missing"
	}
	for i, c := range a.Cells {
		folded, why := fold(c)
		if why != "" {
			return why
		}
		a.Cells[i] = folded
	}
	return wordsFault(a.Where, a.Who, a.Why, a.When)
}

func (c *Correction) fault() string {
	var why string
	if c.Place != "" && (!idForm().MatchString(c.Place) || !strings.HasPrefix(c.Place, string(Line))) {
		return fmt.Sprintf("%q is no id of a line", c.Place)
	}
	if c.Old, why = foldOld(c.Old); why != "" {
		return "old cells: " + why
	}
	if c.New, why = fold(c.New); why != "" {
		return "new cells: " + why
	}
	c.Old, c.New = oneBlank(c.Old), oneBlank(c.New)
	switch {
	case c.Old == "":
		return "the old cells are missing"
	case c.New == "":
		return "the new cells are missing; to take a word out, give the word beside it too"
	case c.Old == c.New:
		return "old and new cells are the same"
	case len(c.Old) > maxCells || len(c.New) > maxCells:
		return fmt.Sprintf("at most %d cells are mended at a time", maxCells)
	}
	return wordsFault(c.Where, c.Who, c.Why, c.When)
}

// oneBlank makes runs of blanks one, and takes them off the ends.
func oneBlank(s string) string {
	var out []byte
	for _, b := range []byte(s) {
		if b != cell.Blank || len(out) > 0 && out[len(out)-1] != cell.Blank {
			out = append(out, b)
		}
	}
	return strings.TrimRight(string(out), " ")
}

// foldOld folds cells that stand in a source. A byte that is no cell may be
// among them, written as the letter of that number: it may be what is mended.
func foldOld(s string) (string, string) {
	var out []byte
	for _, r := range s {
		c, why := fold(string(r))
		switch {
		case why == "" && r == ' ':
			out = append(out, ' ')
		case why == "":
			out = append(out, c...)
		case r > 0x20 && r < 0x100:
			out = append(out, byte(r))
		default:
			return "", why
		}
	}
	return string(out), ""
}

// latin writes the bytes of old cells as letters.
func latin(s string) string {
	var out []rune
	for _, b := range []byte(s) {
		out = append(out, rune(b))
	}
	return string(out)
}

// fold brings cells into lower-case Braille ASCII; Unicode braille is taken
// too.
func fold(s string) (string, string) {
	var out []byte
	for _, r := range s {
		switch c, ok := cell.FromRune(r); {
		case ok:
			out = append(out, c)
		case r < 0x80:
			if f, ok := cell.Fold(byte(r)); ok {
				out = append(out, f)
				continue
			}
			return "", fmt.Sprintf("%q is not a cell of Braille ASCII", r)
		default:
			return "", fmt.Sprintf("%q is not a cell of Braille ASCII", r)
		}
	}
	return strings.TrimRight(string(out), " "), ""
}

// Fold is cells in lower-case Braille ASCII, from Braille ASCII in any case or
// Unicode braille; the error names what is no cell.
func Fold(s string) (string, error) {
	out, why := fold(s)
	if why != "" {
		return "", errors.New(why)
	}
	return out, nil
}

func wordsFault(words ...string) string {
	for _, w := range words {
		if len(w) > maxWords {
			return fmt.Sprintf("more than %d letters", maxWords)
		}
		if strings.ContainsFunc(w, func(r rune) bool { return r < 0x20 || r == 0x7F }) {
			return fmt.Sprintf("%q is not one line", w)
		}
	}
	return ""
}

// Answer returns the answer with an id, nil if there is none.
func (f *File) Answer(id string) *Answer {
	for i := range f.Answers {
		if f.Answers[i].ID == id {
			return &f.Answers[i]
		}
	}
	return nil
}

const head = `# What people decided about this title. It is read at every run of continuo and
# belongs to the title: keep the two together. Written by "continuo decide" and
# "continuo correct"; it may be edited by hand.
version = 1
`

// Put returns the text of a file with an answer added, or put in place of the
// one with the same id. What else stands in the text, comments too, stays.
func Put(name string, text []byte, a Answer) ([]byte, error) {
	if f, err := Parse(name, text); err != nil {
		return nil, err
	} else if f.Answer(a.ID) != nil {
		if text, err = Remove(name, text, a.ID); err != nil {
			return nil, err
		}
	}
	return grown(name, text, a.toml(), 1, 0)
}

// AddCorrection returns the text of a file with a correction added at its end.
func AddCorrection(name string, text []byte, c Correction) ([]byte, error) {
	f, err := Parse(name, text)
	if err != nil {
		return nil, err
	}
	for _, o := range f.Corrections {
		if o.Place == c.Place && o.Old == c.Old {
			return nil, &Error{name, 0, fmt.Sprintf("the cells %q of this place are mended already", c.Old)}
		}
	}
	return grown(name, text, c.toml(), 0, 1)
}

// grown appends an entry and reads the result back.
func grown(name string, text []byte, entry string, answers, corrections int) ([]byte, error) {
	before, err := Parse(name, text)
	if err != nil {
		return nil, err
	}
	if len(strings.TrimSpace(string(text))) == 0 {
		text = []byte(head)
	}
	if !strings.HasSuffix(string(text), "\n") {
		text = append(slices.Clone(text), '\n')
	}
	out := append(slices.Clone(text), []byte("\n"+entry)...)
	after, err := Parse(name, out)
	if err != nil {
		return nil, err
	}
	if len(after.Answers) != len(before.Answers)+answers || len(after.Corrections) != len(before.Corrections)+corrections {
		return nil, &Error{name, 0, "the entry cannot be added; edit the file by hand"}
	}
	return out, nil
}

// Remove returns the text without the answer with an id, or the correction
// named "correction N", counted from 1.
func Remove(name string, text []byte, id string) ([]byte, error) {
	f, err := Parse(name, text)
	if err != nil {
		return nil, err
	}
	kind, i := "answer", slices.IndexFunc(f.Answers, func(a Answer) bool { return a.ID == id })
	if n := 0; i < 0 {
		if _, err := fmt.Sscanf(id, "correction %d", &n); err != nil || n < 1 || n > len(f.Corrections) {
			return nil, &Error{name, 0, fmt.Sprintf("there is no decision %q", id)}
		}
		kind, i = "correction", n-1
	}
	lines := strings.SplitAfter(string(text), "\n")
	from, to := span(lines, tomlpos.Lines(text)[fmt.Sprintf("%s[%d]", kind, i)]-1)
	if from < 0 {
		return nil, &Error{name, 0, "the entry cannot be taken out; edit the file by hand"}
	}
	out := []byte(strings.Join(slices.Concat(lines[:from], lines[to:]), ""))
	after, err := Parse(name, out)
	if err != nil || len(after.Answers)+len(after.Corrections) != len(f.Answers)+len(f.Corrections)-1 || after.Answer(id) != nil {
		return nil, &Error{name, 0, "the entry cannot be taken out; edit the file by hand"}
	}
	return out, nil
}

// span is the lines of the entry whose header is at: up to the next table or
// the comments before it.
func span(lines []string, header int) (from, to int) {
	if header < 0 || header >= len(lines) {
		return -1, -1
	}
	to = header + 1
	for to < len(lines) && !strings.HasPrefix(strings.TrimSpace(lines[to]), "[") {
		to++
	}
	for to < len(lines) && to > header+1 && strings.HasPrefix(strings.TrimSpace(lines[to-1]), "#") {
		to--
	}
	return header, to
}

func (a Answer) toml() string {
	w := entry{}
	w.WriteString("[[answer]]\n")
	w.field("id", a.ID)
	w.field("kind", a.Kind)
	w.field("choice", a.Choice)
	if len(a.Cells) > 0 {
		w.WriteString("cells = [")
		for i, c := range a.Cells {
			if i > 0 {
				w.WriteString(", ")
			}
			w.WriteString(quote(c))
		}
		w.WriteString("]\n")
	}
	w.whoAndWhy(a.Where, a.Who, a.Why, a.When)
	return w.String()
}

func (c Correction) toml() string {
	w := entry{}
	w.WriteString("[[correction]]\n")
	w.some("place", c.Place)
	w.field("old", latin(c.Old))
	w.field("new", c.New)
	w.whoAndWhy(c.Where, c.Who, c.Why, c.When)
	return w.String()
}

// TOML is a rule as it stands in a profile.
func (r Rule) TOML() string {
	w := entry{}
	w.WriteString("[[rule]]\n")
	w.field("kind", r.Kind)
	w.some("alike", r.Alike)
	w.field("choice", r.Choice)
	w.some("who", r.Who)
	w.some("why", r.Why)
	return w.String()
}

type entry struct{ strings.Builder }

func (w *entry) field(key, value string) { w.WriteString(key + " = " + quote(value) + "\n") }

func (w *entry) some(key, value string) {
	if value != "" {
		w.field(key, value)
	}
}

func (w *entry) whoAndWhy(where, who, why, when string) {
	w.some("where", where)
	w.some("who", who)
	w.some("why", why)
	w.some("when", when)
}

// quote writes a TOML string: cells are read best without escapes.
func quote(s string) string {
	if !strings.ContainsAny(s, "'\x00\n\r\t") {
		return "'" + s + "'"
	}
	out, err := toml.Marshal(map[string]string{"k": s})
	if err != nil {
		return fmt.Sprintf("%q", s)
	}
	return strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(string(out)), "k = "))
}
