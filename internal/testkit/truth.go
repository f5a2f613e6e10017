package testkit

import "strings"

// Want is one word of the text that a continuous edition must have.
type Want struct {
	Cells string
	Alt   []string // other forms that are as right: a divided word joined, or with its hyphen
	Start byte     // 'h' heading line, 'p' paragraph, 'v' verse line, 'b' scene break, 's' speech, 'd' stage direction, 0 otherwise
}

// WantTurn is a print page turn that the edition must show: before a word of
// the body between From and To.
type WantTurn struct {
	Label    string
	From, To int
	Marked   bool // by a mark in the paper text; otherwise known from the heads only
}

// Head is a heading of the text: it begins with word At of the body.
type Head struct {
	At     int
	Words  string // as a contents entry has them
	Level  int    // 1 the highest
	Listed bool   // a contents list has it

	elem int
}

// Formed is a line of a table, a recipe or exercises.
type Formed struct {
	Kind         UnitKind
	First, Words string // its first word, and all of them with single blanks
}

// Float is a line of preliminary or other matter outside the body. It must be
// in the edition Must times at least and Max times at most.
type Float struct {
	Name      string
	Toks      []string
	Must, Max int
}

// Truth is what an edition of a book must hold, by the standards alone.
type Truth struct {
	Seed      uint64
	Features  []string
	Title     []string // the edition's first words
	Body      []Want
	Turns     []WantTurn
	Rules     []int // separators stand in the text before these words of the body
	Notes     []Want
	Floats    []*Float
	Furniture map[string]string   // words of a line that must be gone, to its kind
	EntryPage map[string][]string // words of a contents entry to the print page of its chapter, as known on paper
	Forms     []Formed            // rows of tables, ingredients and exercises, in order
	Heads     []Head              // the headings of the text, in order
	Optional  map[string]bool     // turn labels that may be shown anywhere
	Parents   []WantParent        // headings of books of books that need the name of their book
	Terms     []WantTerm          // headwords of dictionary entries, in order
	WantNotes []WantNote
	Foreign   int
	Pages     int
	Volumes   int
	index     map[string]*Float
}

// NewTruth begins the truth of a title that is set by a layout.
func NewTruth(l *Layout) *Truth {
	return &Truth{
		Seed: l.Seed, Features: l.Features(), Furniture: map[string]string{}, Optional: map[string]bool{},
		EntryPage: map[string][]string{}, index: map[string]*Float{}, Volumes: l.Volumes,
	}
}

// Float notes a line outside the body. The same words noted again are the same
// line, which a later volume repeats; must and max are raised, never lowered.
func (t *Truth) Float(name string, words []string, must, most int) {
	if len(words) == 0 {
		return
	}
	key := join(words)
	f := t.index[key]
	if f == nil {
		f = &Float{Name: name, Toks: words}
		t.index[key] = f
		t.Floats = append(t.Floats, f)
	}
	f.Must = max(f.Must, must)
	f.Max = max(f.Max, most)
}

// Gone notes the words of a line that must be in no edition, and what it is.
func (t *Truth) Gone(kind, line string) {
	if w := words(line); len(w) > 0 {
		t.Furniture[join(w)] = kind
	}
}

// onlyKnownJoins takes the form without its hyphen from the words that were
// cut at a hyphen of their own, unless the book divides words or has that form
// elsewhere: then nobody can tell.
func (t *Truth) onlyKnownJoins(l *Layout) {
	if l.Divide {
		return
	}
	seen := map[string]bool{}
	for _, w := range t.Body {
		seen[bareWord(w.Cells)] = true
	}
	for i := range t.Body {
		if w := &t.Body[i]; len(w.Alt) == 1 && !seen[bareWord(w.Alt[0])] && len(w.Alt[0]) == len(w.Cells)-1 {
			w.Alt = nil
		}
	}
}

// bareWord is a word without capital signs, quotation marks and punctuation.
func bareWord(s string) string {
	return strings.TrimRight(strings.TrimLeft(s, ",8\"7<"), "1234680'7\">")
}
