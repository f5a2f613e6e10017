package english

import "strings"

// Tell is a pattern of cells that speaks for one code or one family of codes.
type Tell int

// The tells that Detect counts. "Older" stands for SEB and EBAE alike. Source:
// the lists of signs that UEB dropped, kept and added (UEB 2013, appendix 3 and
// 10; British Braille 2004; EBAE 1994 rules II, VII, XII).
const (
	TellToBy         Tell = iota // UEB: to, by, into as words before another word
	TellSpacedPair               // UEB: of the, and the, with a, ... with a blank
	TellUEBBracket               // UEB: 5 126 and 5 345 round brackets, 46 126 square
	TellUEBDash                  // UEB: 6 36 dash
	TellUEBSign                  // UEB: capital passage, slash 456 34, asterisk 5 35, ellipsis 256 256 256
	TellUEBSpelled               // UEB: -ation, -ble, com-, dd written without the dropped signs
	TellJoinedPair               // older: of the, and the, with a, ... as one word
	TellJoinedPrefix             // older: 235, 35 235 and 356 against the next word
	TellDroppedSign              // older: ation, ally, ble, com, dd signs
	TellOlderBracket             // older: 2356 round brackets
	TellOlderDash                // older: 36 36 dash
	TellOlderSign                // older: ellipsis 3 3 3, asterisk 35 35, inner quotes
	TellSEBNumber                // SEB: dot 3 in thousands
	TellSEBSign                  // SEB: pound sign l before a number
	TellSEBWord                  // SEB: a contraction over a prefix (reduce, mistake, profess)
	TellEBAENumber               // EBAE: no second number sign after a hyphen; decimal sign 46
	TellEBAEWord                 // EBAE: the same words without it
	tellCount
)

var tellNames = [tellCount]string{
	"to, by, into as words (UEB)", "of the, and the with a blank (UEB)", "brackets 5 126, 5 345 (UEB)", "dash 6 36 (UEB)",
	"capital passages, slash, asterisk, ellipsis (UEB)", "ation, ble, com, dd spelled (UEB)", "of the, and the as one word (older)",
	"to, into, by against the next word (older)", "ation, ally, ble, com, dd signs (older)", "brackets 2356 (older)", "dash 36 36 (older)",
	"ellipsis 3 3 3, asterisk 35 35, inner quotes (older)", "dot 3 in numbers (SEB)", "pound sign (SEB)", "contraction over a prefix (SEB)",
	"number signs and decimal sign (EBAE)", "no contraction over a prefix (EBAE)",
}

// String says what the tell is and, in brackets, what it speaks for.
func (t Tell) String() string { return tellNames[t] }

// Evidence is what Detect counted.
type Evidence struct {
	Words        int            // words, the first of each line left out
	Cells        int            // cells of those words
	Strong       int            // cells that only contracted braille has many of
	Capitals     int            // words that open with a capital sign
	Counts       [tellCount]int // by Tell
	GradeMargin  float64        // distance from the border, -1 (uncontracted) to 1
	CapsMargin   float64        // the same for capitals, -1 (none) to 1
	FamilyMargin float64        // log odds (base e): above 0 UEB, below 0 the older codes
	OlderMargin  float64        // log odds: above 0 SEB, below 0 EBAE; 0 when UEB
}

// Detection is the variant that the cells tell, and which parts of it are
// sure. Code is UnknownCode when the cells cannot say; Older then tells
// whether they can at least say that it is one of the two older codes.
type Detection struct {
	Variant
	CodeSure, GradeSure, CapsSure bool
	Older                         bool
	Evidence                      Evidence
}

// detectSample is the most cells Detect looks at; a longer text is sampled in
// evenly spaced lines.
const detectSample = 160_000

// Detect counts the tells in lines of body text, each without page numbers and
// page heads; title pages and contents pages should be left out. The first
// word of each line is not counted: word division and joining rules make line
// starts and ends differ from the rest.
func Detect(lines [][]byte) Detection {
	total := 0
	for _, l := range lines {
		total += len(l)
	}
	step := 1 + total/detectSample
	var e Evidence
	sampled(lines, step, e.line)
	d := e.decide()
	if d.Older && d.Contracted {
		sampled(lines, step, e.olderWords)
		d = e.decide()
	}
	return d
}

// DetectParts tells the variant of a book from all its parts (chapters,
// volumes) together, and names the parts, by index, that for sure are written
// in another one.
func DetectParts(parts [][][]byte) (whole Detection, differ []int) {
	votes := map[Variant]int{}
	own := make([]Detection, len(parts))
	best := Variant{}
	var all [][]byte
	for i, p := range parts {
		own[i] = Detect(p)
		v := own[i].family()
		votes[v] += own[i].Evidence.Cells
		if votes[v] > votes[best] || len(votes) == 1 {
			best = v
		}
	}
	for i, p := range parts {
		if own[i].family() == best {
			all = append(all, p...)
		}
	}
	whole = Detect(all)
	for i, d := range own {
		if d.GradeSure && d.Contracted != best.Contracted || d.CapsSure && whole.CapsSure && d.Capitals != best.Capitals ||
			d.familySure() && whole.familySure() && d.Older != whole.Older {
			differ = append(differ, i)
		}
	}
	return whole, differ
}

// family returns the variant with SEB and EBAE taken for one.
func (d Detection) family() Variant {
	v := d.Variant
	if d.Older {
		v.Code = EBAE
	}
	return v
}

// familySure reports whether UEB or older is beyond doubt.
func (d Detection) familySure() bool {
	return d.Evidence.FamilyMargin > 12 || d.Evidence.FamilyMargin < -12
}

// sampled calls f for one block of 16 lines in step; a block keeps the text
// of its lines together.
func sampled(lines [][]byte, step int, f func([]byte)) {
	for i := 0; i < len(lines); i += 16 * step {
		for j := i; j < len(lines) && j < i+16; j++ {
			f(lines[j])
		}
	}
}

// strongCell marks the 21 cells that stand for contractions and little else.
var strongCell = cellSet("!&()=*<%?:$]\\[/>+")

// letterCell marks the cells that can be letters of a word.
var letterCell = cellSet("abcdefghijklmnopqrstuvwxyz!&()=*<%?:$]\\[/>+")

var digitCell = cellSet("abcdefghij")

func cellSet(s string) (set [256]bool) {
	for i := 0; i < len(s); i++ {
		set[s[i]] = true
	}
	return set
}

// line counts the words of one line.
func (e *Evidence) line(line []byte) {
	i, n := 0, len(line)
	for i < n && line[i] == ' ' {
		i++
	}
	if i+1 < n && line[i] == ',' && (letterCell[line[i+1]] && line[i+1] != '+' || line[i+1] == ',') {
		e.Capitals++
	}
	for i < n && line[i] != ' ' {
		i++
	}
	prev := line[:0]
	for i < n {
		for i < n && line[i] == ' ' {
			i++
		}
		j := i
		for j < n && line[j] != ' ' {
			j++
		}
		if j > i {
			tok := line[i:j]
			e.word(tok, prev, j >= n)
			prev = tok
		}
		i = j
	}
}

// word counts one word; prev is the word before it on the line, if any.
func (e *Evidence) word(tok, prev []byte, last bool) {
	e.Words++
	e.Cells += len(tok)
	body := tok
	if len(tok) > 1 && tok[0] == ',' {
		if tok[1] == ',' || letterCell[tok[1]] && tok[1] != '+' {
			e.Capitals++
		}
		for len(body) > 0 && body[0] == ',' {
			body = body[1:]
		}
	}
	if len(body) == 0 {
		return
	}
	for i, c := range body {
		if strongCell[c] {
			if i == 0 || !signPair(body[i-1], c) {
				e.Strong++
			} else if c == '>' && (body[i-1] == '"' || body[i-1] == '.') {
				e.Counts[TellUEBBracket]++
			}
			continue
		}
		if i > 0 && !(c >= 'a' && c <= 'z') {
			e.inside(body, i)
		}
	}
	e.opening(tok, body)
	e.whole(body, prev, last)
}

// signPair reports whether a strong cell is the second of a bracket, a bar or a
// slash and no contraction.
func signPair(before, c byte) bool {
	switch c {
	case '<', '>':
		return before == '"' || before == '.' || before == '_' || before == '@'
	case '/', '\\':
		return before == '_' || before == '^' || before == '"' && c == '/'
	case '+':
		return before == ',' || before == '@'
	}
	return false
}

// opening looks at the first cells of a word.
func (e *Evidence) opening(tok, body []byte) {
	next := byte(0)
	if len(body) > 1 {
		next = body[1]
		if next == ',' && len(body) > 2 {
			next = body[2]
		}
	}
	switch body[0] {
	case '6', '0':
		if letterCell[next] || next == '#' {
			e.Counts[TellJoinedPrefix]++
		}
	case '9':
		if next == '6' && len(body) > 2 {
			e.Counts[TellJoinedPrefix]++
		}
	case '-':
		if letterCell[next] && len(body) > 2 {
			e.Counts[TellDroppedSign]++
		}
	case '7':
		if letterCell[next] || next == ',' {
			e.Counts[TellOlderBracket]++
		}
	case '"':
		if next == '<' {
			e.Counts[TellUEBBracket]++
		} else if next == '9' && len(body) == 2 {
			e.Counts[TellUEBSign]++
		}
	case 'c':
		if len(body) > 4 && body[1] == 'o' && body[2] == 'm' && (body[3] == 'm' || body[3] == 'p') {
			e.Counts[TellUEBSpelled]++
		}
	case '.':
		if next == '<' {
			e.Counts[TellUEBBracket]++
		}
	case 'l':
		if next == '#' {
			e.Counts[TellSEBSign]++
		}
	}
	if len(tok)-len(body) == 3 {
		e.Counts[TellUEBSign]++
	}
}

// inside looks at a cell that is no letter, not the first of the word.
func (e *Evidence) inside(body []byte, i int) {
	before, after := body[i-1], byte(0)
	if i+1 < len(body) {
		after = body[i+1]
	}
	switch body[i] {
	case ',':
		e.insideComma(body, i, before, after)
	case '-':
		if after == '-' && before != '-' && before != ',' {
			e.Counts[TellOlderDash]++
		}
	case '#':
		if i > 1 && letterCell[before] && letterCell[body[i-2]] && !digitCell[after] {
			e.Counts[TellDroppedSign]++
		}
	case '4':
		if letterCell[before] && letterCell[after] && i+2 < len(body) && body[0] != '#' {
			e.Counts[TellDroppedSign]++
		} else if before == '4' && after == '4' {
			e.Counts[TellUEBSign]++
		}
	case '\'':
		e.insideDot3(body, i, before, after)
	case ';':
		if after == 'n' && before == 'a' {
			e.Counts[TellUEBSpelled]++
		}
	case '.':
		if body[0] == '#' && digitCell[before] && digitCell[after] {
			e.Counts[TellEBAENumber]++
		}
	}
}

func (e *Evidence) insideComma(body []byte, i int, before, after byte) {
	switch after {
	case '-':
		if letterCell[before] || before >= '0' && before <= '9' || before == '\'' {
			e.Counts[TellUEBDash]++
		}
	case 'n', 'y':
		if i > 0 && letterCell[before] && body[0] != '#' {
			e.Counts[TellDroppedSign]++
		}
	}
}

func (e *Evidence) insideDot3(body []byte, i int, before, after byte) {
	switch {
	case after == '\'' && i+2 < len(body) && body[i+2] == '\'' && before != '\'':
		e.Counts[TellOlderSign]++
	case body[0] == '#' && digitCell[before] && i+3 < len(body) && digitCell[after] && digitCell[body[i+2]] && digitCell[body[i+3]]:
		e.Counts[TellSEBNumber]++
	}
}

// whole looks at the word as a whole.
func (e *Evidence) whole(body, prev []byte, last bool) {
	switch n := len(body); {
	case n == 1:
		if joins(body[0]) && len(prev) == 1 && joinsNext(prev[0]) {
			e.Counts[TellSpacedPair]++
		} else if body[0] == 'a' && len(prev) == 1 && joinsNext(prev[0]) {
			e.Counts[TellSpacedPair]++
		}
	case n <= 3:
		e.short(body, last)
	}
	if body[0] == '#' {
		e.number(body)
	}
}

func joins(c byte) bool     { return c == '&' || c == '=' || c == '(' || c == '!' || c == ')' }
func joinsNext(c byte) bool { return joins(c) }

func (e *Evidence) short(body []byte, last bool) {
	switch string(body) {
	case "to", "by", "9to":
		if !last {
			e.Counts[TellToBy]++
		}
		return
	case "'''":
		e.Counts[TellOlderSign]++
		return
	case "444":
		e.Counts[TellUEBSign]++
		return
	case "--":
		e.Counts[TellOlderDash]++
		return
	case ",-":
		e.Counts[TellUEBDash]++
		return
	case "99":
		e.Counts[TellOlderSign]++
		return
	}
	for i, c := range body {
		if !joins(c) && !(c == 'a' && i == len(body)-1 && i > 0) {
			return
		}
	}
	e.Counts[TellJoinedPair]++
}

// number looks for a hyphen with digits on both sides.
func (e *Evidence) number(body []byte) {
	for i := 2; i+1 < len(body); i++ {
		if body[i] == '-' && digitCell[body[i-1]] && digitCell[body[i+1]] {
			for _, c := range body[i+1:] {
				if !digitCell[c] {
					return
				}
			}
			e.Counts[TellEBAENumber]++
		}
	}
}

// weights are log odds of one hit (natural logarithm), above 0 for UEB.
var weights = [tellCount]float64{
	TellToBy: 2.5, TellSpacedPair: 4, TellUEBBracket: 4, TellUEBDash: 3, TellUEBSign: 2.5, TellUEBSpelled: 2,
	TellJoinedPair: -4, TellJoinedPrefix: -3, TellDroppedSign: -1.5, TellOlderBracket: -3, TellOlderDash: -3, TellOlderSign: -2,
	TellSEBNumber: -2, TellSEBSign: -1, TellEBAENumber: -1.5,
}

// uncontractedTells are the tells that mean something in uncontracted text.
var uncontractedTells = [...]Tell{TellUEBBracket, TellUEBDash, TellUEBSign, TellOlderBracket, TellOlderDash, TellOlderSign, TellSEBNumber, TellEBAENumber}

func (e Evidence) decide() Detection {
	var d Detection
	e.decideGrade(&d)
	e.decideCaps(&d)
	e.decideCode(&d)
	d.Evidence = e
	return d
}

// decideGrade: contracted prose has about 14 strong cells in 100, uncontracted
// under 1; the border is 4.
func (e *Evidence) decideGrade(d *Detection) {
	if e.Cells == 0 {
		return
	}
	share := float64(e.Strong) / float64(e.Cells)
	d.Contracted = share >= 0.04
	if d.Contracted {
		e.GradeMargin = min(1, (share-0.04)/0.08)
	} else {
		e.GradeMargin = max(-1, (share-0.04)/0.03)
	}
	m := e.GradeMargin
	d.GradeSure = e.Cells >= 150 && (m > 0.3 || m < -0.3)
}

// decideCaps: with capitals about one word in ten opens with a capital sign;
// without them hardly any does. Here the first words of lines count too.
func (e *Evidence) decideCaps(d *Detection) {
	if e.Words == 0 {
		return
	}
	share := float64(e.Capitals) / float64(e.Words)
	d.Capitals = share >= 0.004
	if d.Capitals {
		e.CapsMargin = min(1, (share-0.004)/0.03)
		d.CapsSure = e.Capitals >= 3 && share >= 0.01
	} else {
		e.CapsMargin = (share - 0.004) / 0.004
		d.CapsSure = e.Words >= 500 && share < 0.002
	}
}

func (e *Evidence) decideCode(d *Detection) {
	if d.Contracted {
		for t, n := range e.Counts {
			e.FamilyMargin += weights[t] * float64(n)
		}
	} else {
		for _, t := range uncontractedTells {
			e.FamilyMargin += weights[t] * float64(e.Counts[t])
		}
	}
	switch {
	case e.FamilyMargin > 4:
		d.Code = UEB
		d.CodeSure = e.FamilyMargin > 12
	case e.FamilyMargin < -4:
		d.Older = true
		e.decideOlder(d)
	}
}

// decideOlder tells SEB from EBAE. Prose hardly does: some words in a thousand
// differ, and numbers; so a clear majority of such places is asked for.
func (e *Evidence) decideOlder(d *Detection) {
	c := &e.Counts
	seb := 2*float64(c[TellSEBNumber]) + 2*float64(c[TellSEBSign]) + 1.5*float64(c[TellSEBWord])
	ebae := 2*float64(c[TellEBAENumber]) + 1.5*float64(c[TellEBAEWord])
	e.OlderMargin = seb - ebae
	switch {
	case e.OlderMargin >= 3 && seb >= 4*ebae:
		d.Code = SEB
	case e.OlderMargin <= -3 && ebae >= 4*seb:
		d.Code = EBAE
	}
	d.CodeSure = d.Code != UnknownCode && (e.OlderMargin >= 9 || e.OlderMargin <= -9)
}

// Best returns the variant to read with. Where the code is open it is a guess
// that costs nothing in prose: SEB for an older code without capitals, EBAE
// with them (common practice), UEB otherwise.
func (d Detection) Best() Variant {
	v := d.Variant
	if v.Code != UnknownCode {
		return v
	}
	switch {
	case d.Older && !v.Capitals:
		v.Code = SEB
	case d.Older:
		v.Code = EBAE
	default:
		v.Code = UEB
	}
	return v
}

// Words in which SEB contracts over a prefix or before an ending and EBAE does
// not (British Braille 2004, section 5; EBAE 1994, rules XII and XIII; as in
// liblouis' tables). Each is the start of a word.
var (
	sebStarts  = startsOf("pr(ess pr(.d pr(u pr(an pr$i pr$om r$uc r$eem r$emp r5ew r5[n r5\\n d$uc d5ot d5\\n d]iv s$uc s^w mi/ak 5orm 5um un1s f\"e b5evol")
	ebaeStarts = startsOf("profes prof. profu profan predic predom reduc redeem redemp renew ren[n ren\\n deduc denot den\\n deriv seduc sword mistak enorm enum uneas fev] 2nevol")
)

func startsOf(words string) (byFirst [256][]string) {
	for _, w := range strings.Fields(words) {
		byFirst[w[0]] = append(byFirst[w[0]], w)
	}
	return byFirst
}

// olderWords counts the words of a line that tell SEB from EBAE.
func (e *Evidence) olderWords(line []byte) {
	for i := 0; i < len(line); {
		for i < len(line) && (line[i] == ' ' || line[i] == ',' || line[i] == '8' || line[i] == '7') {
			i++
		}
		j := i
		for j < len(line) && line[j] != ' ' {
			j++
		}
		if j-i >= 3 {
			e.olderWord(line[i:j])
		}
		i = j
	}
}

func (e *Evidence) olderWord(w []byte) {
	if startsWith(w, &sebStarts) || holds(w, "1#") || holds(w, "5c$") || holds(w, "e$om") {
		e.Counts[TellSEBWord]++
	} else if startsWith(w, &ebaeStarts) || holds(w, "ea#") || holds(w, ";ed") || holds(w, "eedom") {
		e.Counts[TellEBAEWord]++
	}
}

func startsWith(w []byte, byFirst *[256][]string) bool {
	for _, s := range byFirst[w[0]] {
		if hasPrefix(w, s) {
			return true
		}
	}
	return false
}

// holds reports whether part stands in w, not at its start.
func holds(w []byte, part string) bool {
	for i := 1; i+len(part) <= len(w); i++ {
		if w[i] == part[0] && string(w[i:i+len(part)]) == part {
			return true
		}
	}
	return false
}
