// Package check is the distrustful reader: from an edition, its account and
// the sources, all read again, it proves that every cell of every source line
// is in the edition or is left out for a reason that is plausible on its face,
// or says where the proof fails. It shares no code with the stages that write
// the account; the format it expects is in docs/architecture.md.
package check

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strings"

	"continuo/internal/cell"
	"continuo/internal/source"
)

// AccountSuffix is what the name of an edition's account adds to its own.
const AccountSuffix = ".account.jsonl"

// MaxShown is how many problems a report lists; NProblems counts all.
const MaxShown = 50

// Problem is one place where the proof fails. Page, Line and Edition count
// from 1; 0 when they do not apply.
type Problem struct {
	Source  string `json:"source,omitempty"` // name of the source file
	Page    int    `json:"page,omitempty"`   // braille page in it
	Line    int    `json:"line,omitempty"`   // line on that page
	Edition int    `json:"edition,omitempty"`
	Account int    `json:"account,omitempty"` // line of the account
	What    string `json:"what"`
}

// String is the problem as one line of plain words, place first.
func (p Problem) String() string {
	var at []string
	if p.Source != "" {
		s := fmt.Sprintf("%q", p.Source)
		if p.Line > 0 {
			s += fmt.Sprintf(" page %d line %d", p.Page, p.Line)
		}
		at = append(at, s)
	}
	if p.Edition > 0 {
		at = append(at, fmt.Sprintf("edition line %d", p.Edition))
	}
	if p.Account > 0 {
		at = append(at, fmt.Sprintf("account line %d", p.Account))
	}
	if len(at) == 0 {
		return p.What
	}
	return strings.Join(at, ", ") + ": " + p.What
}

// Figures are cells that are not blank: those of the sources by their fate,
// and those that the tool wrote. Keep+Move+Swap and all of Out make Sources.
type Figures struct {
	Files   int              `json:"files"`
	Pages   int              `json:"pages"`
	Lines   int              `json:"lines"`
	Sources int64            `json:"cells"`
	Keep    int64            `json:"kept"`
	Move    int64            `json:"moved"`
	Swap    int64            `json:"replaced"`
	Out     map[string]int64 `json:"left_out"` // by class of reason
	Add     int64            `json:"written"`  // by the tool: added, or in place of others
	Edition int64            `json:"edition_cells"`
	Printed int              `json:"edition_lines"`
}

// Report is the outcome of a check. OK is true only when everything is proved.
type Report struct {
	OK        bool      `json:"ok"`
	Problems  []Problem `json:"problems"`
	NProblems int       `json:"problem_count"`
	Figures   Figures   `json:"figures"`
}

// Verify checks edition and account against the sources, given in any order.
// people are the files of decisions and house rules that the edition was made
// with: what people changed is proved against them, and against nothing else.
func Verify(edition, account []byte, sources []*source.File, people ...[]byte) Report {
	return VerifyWith(edition, account, sources, Words{}, people...)
}

// VerifyWith is Verify with the structure words of one more language.
func VerifyWith(edition, account []byte, sources []*source.File, words Words, people ...[]byte) Report {
	v := &verifier{more: newPhraseBook(words)}
	for _, text := range people {
		v.readPeople(text)
	}
	v.rep.Figures.Out = map[string]int64{}
	v.run(edition, account, sources)
	v.rep.OK = v.rep.NProblems == 0
	return v.rep
}

// verifier is one run of a check.
type verifier struct {
	rep Report
	acc *ledger
	src []*source.File // in the order of the account
	ed  *edition
	r   *replay
	ppl people

	more *phraseBook // structure words of another language
}

func (v *verifier) run(edition, account []byte, sources []*source.File) {
	acc, err := readLedger(account)
	if err != nil {
		v.add(Problem{Account: err.line, What: err.what})
		return
	}
	v.acc = acc
	v.ed = readEdition(edition)
	v.checkEdition(edition)
	if !v.matchSources(sources) {
		return
	}
	v.r = newReplay(v)
	if !v.r.run() {
		return
	}
	v.checkTotals()
	v.checkFates()
	v.checkFaces()
}

// add takes a problem down.
func (v *verifier) add(p Problem) {
	v.rep.NProblems++
	if len(v.rep.Problems) < MaxShown {
		v.rep.Problems = append(v.rep.Problems, p)
	}
}

func (v *verifier) addf(format string, args ...any) {
	v.add(Problem{What: fmt.Sprintf(format, args...)})
}

// at is a problem at line i of source s.
func (v *verifier) at(s, i int, format string, args ...any) {
	p := Problem{What: fmt.Sprintf(format, args...)}
	if s < len(v.src) && i < len(v.src[s].Lines) {
		p.Source = v.src[s].Name
		p.Page, p.Line = v.src[s].Place(i)
	}
	v.add(p)
}

func (v *verifier) checkEdition(data []byte) {
	want := v.acc.head.Edition
	h := sha256.Sum256(data)
	if got := hex.EncodeToString(h[:]); got != want.SHA256 || int64(len(data)) != want.Bytes {
		v.addf("the edition is not the one of the account: it has %d bytes and sha256 %.12s…, the account says %d and %.12s…", len(data), got, want.Bytes, want.SHA256)
	}
	if v.ed.count != want.Lines {
		v.addf("the edition has %d lines, the account says %d", v.ed.count, want.Lines)
	}
	if v.ed.marks != want.Marks {
		v.addf("the edition has %d cells that are not blank, the account says %d", v.ed.marks, want.Marks)
	}
	v.rep.Figures.Edition, v.rep.Figures.Printed = v.ed.marks, v.ed.count
}

// matchSources puts the sources into the order of the account, by their bytes.
func (v *verifier) matchSources(files []*source.File) bool {
	ok := true
	used := make([]bool, len(files))
	for _, want := range v.acc.head.Sources {
		found := -1
		for i, f := range files {
			if !used[i] && f.SHA256 == want.SHA256 {
				found = i
				break
			}
		}
		if found < 0 {
			ok = false
			v.add(Problem{Source: want.Name, What: absent(want.Name, v.acc.head.Sources, files)})
			v.src = append(v.src, nil)
			continue
		}
		used[found] = true
		v.src = append(v.src, files[found])
		v.compareSource(want, files[found])
	}
	for i, f := range files {
		if !used[i] && !namedChanged(f.Name, v.acc.head.Sources, v.src) {
			v.add(Problem{Source: f.Name, What: "is not one of the sources in the account"})
		}
	}
	return ok
}

// absent says what became of a source whose bytes are not there.
func absent(name string, all []partOf, files []*source.File) string {
	for _, f := range files {
		if f.Name == name && !known(f.SHA256, all) {
			return "was changed since the edition was made: its bytes are not those in the account"
		}
	}
	return "is missing: the account was made from it"
}

func known(sum string, all []partOf) bool {
	for _, p := range all {
		if p.SHA256 == sum {
			return true
		}
	}
	return false
}

// namedChanged tells whether a file was already told as a changed source.
func namedChanged(name string, all []partOf, src []*source.File) bool {
	for i, p := range all {
		if p.Name == name && src[i] == nil {
			return true
		}
	}
	return false
}

func (v *verifier) compareSource(want partOf, f *source.File) {
	fig := &v.rep.Figures
	fig.Files++
	fig.Pages += len(f.Pages)
	fig.Lines += len(f.Lines)
	fig.Sources += f.Marks
	for _, c := range []struct {
		what      string
		got, want any
	}{
		{"bytes", f.Bytes, want.Bytes}, {"encoding", string(f.Encoding), want.Encoding}, {"lines", len(f.Lines), want.Lines},
		{"cells that are not blank", f.Marks, want.Marks}, {"control bytes", f.Control, want.Control},
	} {
		if c.got != c.want {
			v.add(Problem{Source: f.Name, What: fmt.Sprintf("%s: the file has %v, the account says %v", c.what, c.got, c.want)})
		}
	}
	var marks, full int64
	for i := range f.Lines {
		marks += int64(cell.Marks(f.Text(i)))
		full += int64(f.Lines[i].Full - f.Lines[i].Start)
	}
	if marks != f.Marks || f.Encoding == source.ASCII && full+f.Control != f.Bytes {
		v.add(Problem{Source: f.Name, What: "lines and control do not add up to the bytes of the file"})
	}
}

// checkTotals compares the sums of the account with those of the replay.
func (v *verifier) checkTotals() {
	t, r := v.acc.tail.Totals, v.r
	for _, c := range []struct {
		what      string
		got, want int64
	}{{"keep", r.keep, t.Keep}, {"move", r.move, t.Move}, {"swap", r.swap, t.Swap}, {"add", r.added, t.Add}} {
		if c.got != c.want {
			v.addf("totals: %s is %d cells by its records, the account says %d", c.what, c.got, c.want)
		}
	}
	sum := r.keep + r.move + r.swap
	for i, n := range r.out {
		id := v.acc.ids[i]
		sum += n
		v.rep.Figures.Out[v.acc.reasons[i].Class] += n
		if t.Out[id] != n {
			v.addf("totals: left out for %q are %d cells by its records, the account says %d", id, n, t.Out[id])
		}
	}
	for id := range t.Out {
		if _, ok := v.acc.reasonOf[id]; !ok {
			v.addf("totals: reason %q is not in the account", id)
		}
	}
	f := &v.rep.Figures
	f.Keep, f.Move, f.Swap, f.Add = r.keep, r.move, r.swap, r.added+r.swapped
	for class, n := range f.Out {
		if n == 0 {
			delete(f.Out, class)
		}
	}
	if sum != f.Sources {
		v.addf("the parts add up to %d cells, the sources hold %d", sum, f.Sources)
	}
}

// checkFates finds source lines that no record names.
func (v *verifier) checkFates() {
	for s, lines := range v.r.fate {
		for i := 0; i < len(lines); i++ {
			if lines[i].kind != none {
				continue
			}
			k := i
			for k+1 < len(lines) && lines[k+1].kind == none {
				k++
			}
			v.at(s, i, "%d lines from here on are neither in the edition nor left out", k-i+1)
			i = k
		}
	}
}
