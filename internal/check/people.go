package check

import (
	"bytes"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"continuo/internal/cell"
)

// people is what people decided, from the files that were given.
type people struct {
	Answers []struct {
		Choice string   `toml:"choice"`
		Cells  []string `toml:"cells"`
	} `toml:"answer"`
	Corrections []struct {
		Old string `toml:"old"`
		New string `toml:"new"`
	} `toml:"correction"`
	Rules []struct {
		Choice string `toml:"choice"`
		Alike  string `toml:"alike"`
	} `toml:"rule"`
}

// readPeople takes in one file of decisions or house rules.
func (v *verifier) readPeople(text []byte) {
	var p people
	if err := toml.Unmarshal(text, &p); err != nil {
		v.addf("a file of decisions cannot be read: %v", err)
		return
	}
	v.ppl.Answers = append(v.ppl.Answers, p.Answers...)
	v.ppl.Corrections = append(v.ppl.Corrections, p.Corrections...)
	v.ppl.Rules = append(v.ppl.Rules, p.Rules...)
}

// plainCells brings cells of a file into the form of the sources, with single
// blanks. Unicode braille is taken too; other letters are bytes that are no
// cell.
func plainCells(s string) string {
	var out []byte
	for _, r := range s {
		b := byte(r)
		if c, ok := cell.FromRune(r); ok {
			b = c
		} else if c, ok := cell.Fold(byte(r)); ok && r < 0x80 {
			b = c
		}
		out = append(out, b)
	}
	return single(out)
}

// single is text with single blanks and none at its ends.
func single(text []byte) string {
	var out []byte
	for _, x := range cell.Fields(text) {
		if len(out) > 0 {
			out = append(out, cell.Blank)
		}
		out = append(out, text[x[0]:x[1]]...)
	}
	return string(out)
}

// wrongDecision wants a decision that leaves out these very cells, or a house
// rule that leaves out their words.
func (f *faces) wrongDecision(l left) string {
	want := single(l.text)
	for _, a := range f.v.ppl.Answers {
		if a.Choice != "leave-out" {
			continue
		}
		for _, c := range a.Cells {
			if plainCells(c) == want {
				return ""
			}
		}
	}
	ws := spaced(words(l.text))
	if rest, _, apart := edges(l.text); apart && len(words(rest)) > 0 { // a rule has the words of a head, not its page number
		ws = spaced(words(rest))
	}
	for _, r := range f.v.ppl.Rules {
		if r.Choice == "leave-out" && strings.Contains(spaced(words([]byte(plainCells(r.Alike)))), ws) {
			return ""
		}
	}
	if len(f.v.ppl.Answers)+len(f.v.ppl.Rules) == 0 {
		return "a person is said to have decided this, and no file of decisions was given that says so"
	}
	return "the file of decisions does not say so"
}

func spaced(ws [][]byte) string { return " " + string(bytes.Join(ws, []byte(" "))) + " " }

// checkCorrections holds every mended misprint against the file of decisions:
// the old cells stand in the source, the new ones in the edition.
func (f *faces) checkCorrections() {
	var rest []left
	for _, l := range f.left {
		if l.class == "correction" {
			rest = append(rest, l)
		}
	}
	for _, w := range f.v.r.swaps {
		if f.v.acc.reasons[w.reason].Class != "correction" {
			continue
		}
		var parts []left
		parts, rest = f.partsOf(w, rest)
		if why := f.wrongCorrection(w, parts); why != "" {
			f.v.at(w.src, w.line, "replaced as %q, but %s: %q by %q", "correction", why, clip(f.replaced(w)), clip(w.cells))
		}
	}
	for _, l := range rest {
		f.v.at(l.src, l.line, "left out as %q, but no mended text stands in its place: %q", "correction", clip(l.text))
	}
}

// maxMended is how many lines after the first part of mended text its other
// parts may stand: heads and page ends come between.
const maxMended = 80

// partsOf takes from list the parts that were left out because the text before
// them, in w, was mended.
func (f *faces) partsOf(w swap, list []left) (parts, rest []left) {
	for _, l := range list {
		after := l.src == w.src && l.line > w.line && l.line <= w.line+maxMended && !f.mendedBetween(w, l) || l.src == w.src+1 && l.line <= maxMended && !f.mendedBetween(w, l)
		if after {
			parts = append(parts, l)
		} else {
			rest = append(rest, l)
		}
	}
	return parts, rest
}

// mendedBetween tells whether another mended text begins between w and l.
func (f *faces) mendedBetween(w swap, l left) bool {
	for _, o := range f.v.r.swaps {
		if f.v.acc.reasons[o.reason].Class == "correction" && (o.src > w.src || o.src == w.src && (o.line > w.line || o.line == w.line && o.from > w.from)) &&
			(o.src < l.src || o.src == l.src && o.line < l.line) {
			return true
		}
	}
	return false
}

func (f *faces) wrongCorrection(w swap, parts []left) string {
	if len(f.v.ppl.Corrections) == 0 {
		return "a person is said to have mended this, and no file of decisions was given that says so"
	}
	first, news := single(f.replaced(w)), single(w.cells)
	for _, c := range f.v.ppl.Corrections {
		from, to := plainCells(c.Old), plainCells(c.New)
		if news == to && contains(joinings(first, parts), from) || rewrittenFrom(first, parts, news, from, to) {
			return ""
		}
	}
	return "the file of decisions has no such correction"
}

// mendedLines are the lines in which a misprint was mended: what repeats them
// repeats the misprint.
func (f *faces) mendedLines() map[[2]int]bool {
	out := map[[2]int]bool{}
	for _, w := range f.v.r.swaps {
		if f.v.acc.reasons[w.reason].Class == "correction" {
			out[[2]int{w.src, w.line}] = true
		}
	}
	return out
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

// joinings are the ways in which text on several lines can read as one: with a
// blank, or as a word divided at the line end, with its hyphen or without.
func joinings(first string, parts []left) []string {
	out := []string{first}
	for _, p := range parts {
		var next []string
		for _, s := range out {
			t := single(p.text)
			next = append(next, s+" "+t, s+t, strings.TrimSuffix(s, "-")+t, strings.TrimSuffix(s, `"`)+t)
		}
		if out = next; len(out) > 4096 {
			break
		}
	}
	return out
}

// rewrittenFrom tells whether a word divided at a line end was written anew and
// then mended: with the old cells for the new it has most of its cells from its
// two parts.
func rewrittenFrom(first string, parts []left, news, from, to string) bool {
	if len(parts) != 1 || !strings.HasSuffix(first, "-") || !strings.Contains(news, to) {
		return false
	}
	before := strings.Replace(news, to, from, 1)
	return 2*sharedCells([]byte(before), []byte(first), parts[0].text) >= len(before) && len(before) <= len(first)+len(parts[0].text)
}
