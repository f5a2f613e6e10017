package assemble

import (
	"bytes"
	"math/bits"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/english"
	"continuo/internal/structure"
)

// joiner decides how two lines of a paragraph are joined, by the rules of the
// codes for line ends (Rules of Unified English Braille 2013, 6.10, 7.2, 7.4,
// 8.4, 9.3, 10.13; common practice of the older codes) and by the book's own
// words.
type joiner struct {
	a           *assembly
	words       *english.Vocabulary
	full        int           // lines of the book that are nearly full
	divided     int           // of these, lines that end in a hyphen which only divides a word
	counted     chan struct{} // closed when words, full and divided are those of the book
	spacedDash  bool
	dashCounted bool
}

func (j *joiner) join(first, next []byte) structure.Seam {
	n := len(first)
	if n == 0 || len(next) == 0 || !mayJoin(first[n-1], next) {
		return structure.Seam{}
	}
	switch {
	case endsWith(first, "_/") && n > 2:
		return j.solidus(first, next)
	case first[n-1] == '"':
		return j.continuation(first, next)
	case loneDash(first) || loneDash(next): // a word of its own: spaced in print
		return structure.Seam{}
	case endsWith(first, "--") && !endsWith(first, "---") && next[0] == '-' && !j.dashStart(next) && !j.comStart(next):
		return j.drop("no dash has three cells of dots 3-6: one is the hyphen of the division", 0.9)
	case j.dashEnd(first) || j.dashStart(next):
		if j.dashSpaced() {
			return structure.Seam{}
		}
		return shut(j.a.why("rejoin", "dash at a line end; the book writes dashes without blanks", "RUEB 7.2.2, 10.13.6", 0.9))
	case first[n-1] == '-' && n > 1:
		return j.hyphen(first, next)
	}
	return structure.Seam{}
}

// mayJoin is a quick test that holds for all ends and starts of lines that join decides on:
// a hyphen, a solidus or dots 5 at the end, a dash at the start.
func mayJoin(end byte, next []byte) bool {
	return end == '-' || end == '/' || end == '"' || bytes.IndexByte(next[:min(3, len(next))], '-') >= 0
}

// shut joins without a blank and takes nothing off.
func shut(why book.ReasonID) structure.Seam { return structure.Seam{Join: why} }

func endsWith(t []byte, s string) bool { return len(t) >= len(s) && string(t[len(t)-len(s):]) == s }

// romanLabel reports whether a word is a letter sign and a roman number.
func romanLabel(t []byte) bool {
	l, ok := cell.ParseLabel(t)
	return ok && l.Roman && !l.Bare
}

// loneDash reports whether a word is a dash and nothing else.
func loneDash(t []byte) bool {
	switch string(t) {
	case "--", "----", ",-", "\",-", "-":
		return true
	}
	return false
}

// solidus handles a solidus at a line end: words may be divided there, and go on without a
// blank (RUEB 7.4.1), but the path of a folder ends in one too. The book's own words decide,
// then whether the word begins with one and the next has none.
func (j *joiner) solidus(first, next []byte) structure.Seam {
	<-j.counted
	switch {
	case j.words.Seen(first):
		return structure.Seam{}
	case !j.words.Seen(append(bytes.Clone(first), next...)) && bytes.HasPrefix(first, []byte("_/")) && !bytes.Contains(next, []byte("_/")):
		return structure.Seam{}
	}
	return shut(j.a.why("rejoin", "solidus at a line end", "RUEB 7.4.1", 0.98))
}

// continuation handles dots 5 at a line end: a number, an address or another
// long string goes on (RUEB 6.10.3), two of them with a blank (6.10.4). No
// word ends in dots 5 in any of the codes; guide dots are dots 5 alone.
func (j *joiner) continuation(first, next []byte) structure.Seam {
	n := len(first)
	guide := true
	for _, c := range first {
		guide = guide && c == '"'
	}
	if guide || endsWith(first, "\"\"\"") || (n == 2 && first[0] == '"') || next[0] == '"' {
		return structure.Seam{}
	}
	return structure.Seam{Drop: 1, DropWhy: j.a.why("continuation", "line continuation sign", "RUEB 6.10.3, 6.10.4", 0.95),
		Join: j.a.why("rejoin", "goes on after a line continuation sign", "RUEB 6.10.3", 0.95)}
}

func hasInside(t []byte, s string) bool {
	for i := 0; i+len(s) <= len(t); i++ {
		if string(t[i:i+len(s)]) == s {
			return true
		}
	}
	return false
}

// dashEnd: dots 6-36 of UEB, or two or four cells of dots 3-6 of the older
// codes. A single cell of dots 3-6 is a hyphen.
func (j *joiner) dashEnd(t []byte) bool {
	return endsWith(t, ",-") && j.a.variant.Code != english.SEB && j.a.variant.Code != english.EBAE || endsWith(t, "--")
}

func (j *joiner) dashStart(t []byte) bool {
	if len(t) > 2 && t[0] == '-' && t[1] == '-' {
		n := 2
		for n < len(t) && t[n] == '-' {
			n++
		}
		return n < len(t) && (n == 2 || n == 4)
	}
	return len(t) >= 2 && t[0] == ',' && t[1] == '-' && j.a.variant.Code == english.UEB
}

// comStart reports whether a word begins with dots 3-6 as the sign for com, which stands at the beginning of
// words in the contracted older codes (English Braille American Edition 1994, on the lower signs; from memory).
func (j *joiner) comStart(t []byte) bool {
	v := j.a.variant
	return v.Contracted && (v.Code == english.SEB || v.Code == english.EBAE) && len(t) > 2 && t[0] == '-' && t[1] != '-'
}

// dashSpaced counts how the book writes dashes within its lines.
func (j *joiner) dashSpaced() bool {
	if j.dashCounted {
		return j.spacedDash
	}
	j.dashCounted = true
	spaced, tight := 0, 0
	for _, v := range j.a.vols {
		for i := range v.Units {
			countDashes(v.Units[i].Text, j.a.variant.Code == english.UEB, &spaced, &tight)
		}
	}
	j.spacedDash = spaced > tight
	return j.spacedDash
}

func countDashes(t []byte, ueb bool, spaced, tight *int) {
	for i := 1; i+2 < len(t); i++ {
		if t[i+1] != '-' || (ueb && t[i] != ',') || (!ueb && (t[i] != '-' || t[i+2] == '-')) {
			continue
		}
		switch {
		case t[i-1] == cell.Blank && t[i+2] == cell.Blank:
			*spaced++
		case t[i-1] != cell.Blank && t[i+2] != cell.Blank:
			*tight++
		}
		i++
	}
}

// hyphen decides on a hyphen at a line end: the word's own stays, one that
// only divided the word goes. The book's own words decide, then reading;
// unsure, it stays.
func (j *joiner) hyphen(first, next []byte) structure.Seam {
	switch {
	case j.hanging(first, next):
		return structure.Seam{}
	case romanLabel(next): // no part of a word
		return shut(j.a.why("rejoin", "hyphen at a line end stays", "a roman number follows", 0.9))
	case j.a.o.Rejoin == "never":
		return shut(j.a.why("rejoin", "hyphen at a line end stays", "as asked for", 1))
	case len(next) > 2 && next[0] == '_' && next[1] == '/':
		return j.drop("a solidus follows", 0.85)
	}
	if s, ok := j.decided(first, next); ok {
		return s
	}
	<-j.counted
	d := j.words.JoinWithin(first, next, j.a.read, j.room())
	conf := float64(int(d.Confidence*20+0.5)) / 20
	switch {
	case d.DropHyphen && j.a.o.Rejoin != "always" && j.dividesNone():
		return shut(j.a.why("rejoin", "hyphen at a line end stays", "hardly a line of the book ends in one: it divides no words", 0.9))
	case d.DropHyphen && !bytes.Equal(d.Cells, d.Plain) && clean(d.Cells) != nil && known(d.Cells, d.Plain):
		return structure.Seam{Whole: d.Cells, WholeWhy: j.a.why("rewritten", "divided word written anew", d.Reason, conf)}
	case d.DropHyphen:
		return j.drop(d.Reason, conf)
	case j.a.o.Rejoin == "always" && d.Confidence < 0.9:
		return j.drop("as asked for", conf)
	case d.Confidence < 0.75:
		if q := j.askHyphen(first, next, d.Reason); q.Settled() {
			return j.asDecided(q)
		}
	}
	return shut(j.a.why("rejoin", "hyphen at a line end stays", d.Reason, conf))
}

// known reports whether two in five cells of a word written anew are those of its
// parts, so that a second reader sees that it is the same word.
func known(word, parts []byte) bool {
	var have [256]int
	for _, c := range parts {
		have[c]++
	}
	n := 0
	for _, c := range word {
		if have[c] > 0 {
			have[c]--
			n++
		}
	}
	return 5*n >= 2*len(word)
}

// dividesNone reports whether so few lines of the book end in a hyphen that only
// divides a word, fewer than one in 300, that all can be those of compounds:
// books that divide words do so on one line in a hundred or more (counted over
// open texts).
func (j *joiner) dividesNone() bool { return j.full >= 400 && j.divided*300 < j.full }

// drop joins without the hyphen.
func (j *joiner) drop(evidence string, conf float64) structure.Seam {
	why := j.a.why("rejoin", "divided word", evidence, conf)
	return structure.Seam{Drop: 1, DropWhy: why, Join: why}
}

// hanging reports whether the next word is one that follows a hanging hyphen: and, or,
// to. After "to" another word with a hyphen or the end of the line comes ("one- to
// three-day"), or a number stands before it; else the hyphen is that of a compound that ends
// in the word ("put-to").
func (j *joiner) hanging(first, next []byte) bool {
	switch string(english.Strip(next)) {
	case "&", "or", "and":
		return true
	case "to":
		return bytes.IndexByte(first, '#') >= 0 || j.hyphenFollows(next)
	}
	return false
}

// hyphenFollows reports whether one of the two words after the next one has a hyphen within it
// or at its end, or the next one is the last of its line.
func (j *joiner) hyphenFollows(next []byte) bool {
	u := j.a.flow.Next
	if u == nil {
		return true
	}
	w := bytes.Fields(u.Text)
	if len(w) < 2 || !bytes.Equal(w[0], next) {
		return true
	}
	for _, x := range w[1:min(3, len(w))] {
		if k := bytes.IndexByte(x, '-'); k > 0 && !bytes.HasPrefix(x[k:], []byte("--")) && x[k-1] != ',' {
			return true
		}
	}
	return false
}

// room is how many cells more the line had before the word that Join is asked about; 0 where
// a page number shares it.
func (j *joiner) room() int {
	u := j.a.flow.Prev
	if u == nil {
		return 0
	}
	v := j.a.vols[u.Vol]
	if v.Lines[u.Line].Right.To > 0 {
		return 0
	}
	return v.TextWidth - int(u.To)
}

// newJoiner starts to count the book's words, beside the work that does not
// need them, if any line ends in a hyphen or a solidus.
func newJoiner(a *assembly) *joiner {
	j := &joiner{a: a, words: &english.Vocabulary{}, counted: make(chan struct{})}
	if !dividesAny(a.vols) {
		close(j.counted)
		return j
	}
	go func() {
		defer close(j.counted)
		for _, v := range a.vols {
			for i := range v.Units {
				j.countUnit(&v.Units[i])
			}
		}
		for _, v := range a.vols {
			for i := range v.Units {
				j.countLine(v, i)
			}
		}
		j.words.Prepare(a.read)
	}()
	return j
}

// dividesAny reports whether any line ends in a cell at which a word may be divided.
func dividesAny(vols []*structure.Volume) bool {
	for _, v := range vols {
		for i := range v.Units {
			if t := v.Units[i].Text; mayDivide(t) {
				return true
			}
		}
	}
	return false
}

func mayDivide(t []byte) bool { return len(t) > 1 && t[len(t)-1] == '-' || endsWith(t, "_/") }

// countLine counts a line that is three quarters full, and whether it ends in
// a hyphen that only divides a word.
func (j *joiner) countLine(v *structure.Volume, i int) {
	t := v.Units[i].Text
	n := len(t)
	if n < 4 || n*4 < v.TextWidth*3 {
		return
	}
	j.full++
	if t[n-1] != '-' || t[n-2] == '-' || t[n-2] == ',' || i+1 >= len(v.Units) {
		return
	}
	next := v.Units[i+1].Text
	if k := bytes.IndexByte(next, cell.Blank); k > 0 {
		next = next[:k]
	}
	if j.words.Divides(t[bytes.LastIndexByte(t, cell.Blank)+1:], next, j.a.read) {
		j.divided++
	}
}

func (j *joiner) countUnit(u *structure.Unit) {
	t := u.Text
	if len(t) > 64 {
		for from, to := range cell.Words(t) {
			j.countWord(t, from, to)
		}
		return
	}
	for marks := cell.Mask(t); marks != 0; {
		from := bits.TrailingZeros64(marks)
		to := from + bits.TrailingZeros64(^(marks >> from))
		j.countWord(t, from, to)
		marks &= ^uint64(0) << to
	}
}

// countWord counts a word of a line, unless it is divided at the end of the line.
func (j *joiner) countWord(line []byte, from, to int) {
	if to < len(line) || !mayDivide(line) {
		j.words.Add(line[from:to])
	}
}
