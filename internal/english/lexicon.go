package english

import (
	"bytes"
	_ "embed"
	"fmt"
	"slices"
	"strings"
	"sync"

	"continuo/internal/cell"
)

//go:embed phrases.txt
var phrasesText string

//go:embed forms.txt
var formsText string

type elemKind uint8

const (
	elemWord elemKind = iota
	elemNumber
	elemOrdinal
	elemLabel
	elemRanges
)

type elem struct {
	kind   elemKind
	second bool // the pattern's second number
	word   uint16
}

type pattern struct {
	id    PhraseID
	elems []elem
}

// lexicon is phrases.txt and forms.txt made ready for matching.
type lexicon struct {
	ids          map[string]uint16 // print word to its id, from 1
	forms        map[string]uint16 // cells to word id
	nums, ords   []int32           // by word id
	byFirst      [][]pattern       // by id of the first word, or one of the two below
	numberStart  int
	ordinalStart int
	hundred, and uint16
	maxForm      int            // cells of the longest form
	opens        [256][4]uint64 // first cells of tokens that a pattern may begin with, and the cells after them
}

var theLexicon = sync.OnceValue(buildLexicon)

// buildLexicon makes the English lexicon of the embedded files, which a test
// holds to be without fault.
func buildLexicon() *lexicon {
	lx := &lexicon{}
	lx.addForms(dataLines(formsText))
	lx.addNumbers()
	lx.hundred, lx.and = lx.ids["hundred"], lx.ids["and"]
	if err := lx.addPhrases(dataLines(phrasesText)); err != nil {
		panic("english: phrases.txt: " + err.Error())
	}
	return lx
}

// addForms reads lines of a word and its forms in cells.
func (lx *lexicon) addForms(lines []string) {
	lx.ids = make(map[string]uint16, len(lines)+8)
	lx.forms = make(map[string]uint16, 2*len(lines))
	for _, f := range lines {
		w := strings.Fields(f)
		id := lx.ids[w[0]]
		if id == 0 {
			id = uint16(len(lx.ids) + 1)
			lx.ids[w[0]] = id
		}
		for _, form := range w[1:] {
			lx.forms[form] = id
			lx.maxForm = max(lx.maxForm, len(form))
		}
	}
	lx.nums = make([]int32, len(lx.ids)+1)
	lx.ords = make([]int32, len(lx.ids)+1)
}

// addPhrases reads lines of an id, a colon and wordings between bars.
func (lx *lexicon) addPhrases(lines []string) error {
	n := len(lx.ids) + 1
	lx.numberStart, lx.ordinalStart = n, n+1
	lx.byFirst = make([][]pattern, n+2)
	for _, l := range lines {
		id, alternatives, ok := strings.Cut(l, ":")
		if !ok {
			return fmt.Errorf("line %q has no colon after its id", l)
		}
		for _, a := range strings.Split(alternatives, "|") {
			if err := lx.addPattern(PhraseID(strings.TrimSpace(id)), strings.Fields(a)); err != nil {
				return err
			}
		}
	}
	lx.addOpens()
	return nil
}

// addOpens takes down the first two cells of every token that a pattern may
// begin with. Nine lines of text in ten begin with none of them, and need not
// be cut into tokens.
func (lx *lexicon) addOpens() {
	for form, id := range lx.forms {
		if len(lx.byFirst[id]) == 0 && lx.nums[id] == 0 && lx.ords[id] == 0 {
			continue
		}
		if len(form) > 1 {
			lx.open(form[0], form[1])
			continue
		}
		for _, next := range []byte(" 1234-,") { // alone, before punctuation, hyphen or dash
			lx.open(form[0], next)
		}
	}
	for c := range lx.opens {
		anyNext := strings.IndexByte("#;,&=(!)609", byte(c)) >= 0 || isLeader([]byte{byte(c), byte(c)}) || indicatorCell[c]
		for next := range 256 {
			letter := next >= 'a' && next <= 'z'
			if anyNext || indicatorCell[next] || romanLetter(byte(c)) && (!letter || romanLetter(byte(next))) {
				lx.open(byte(c), byte(next))
			}
		}
	}
}

func (lx *lexicon) open(c, next byte) { lx.opens[c][next>>6] |= 1 << (next & 63) }

// mayStart reports whether a pattern may begin with the first token of line; it
// is wrong in one direction only.
func (lx *lexicon) mayStart(line []byte) bool {
	for len(line) > 1 && line[0] == ',' && (line[1] == ',' || letterCell[line[1]]) { // capital signs
		line = line[1:]
	}
	next := byte(' ')
	if len(line) > 1 {
		next = line[1]
	}
	if lx.opens[line[0]][next>>6]&(1<<(next&63)) != 0 {
		return true
	}
	tok := firstToken(line)
	return strings.IndexByte(string(tok), ';') >= 0 || mayHaveIndicator(tok)
}

func firstToken(line []byte) []byte {
	for i, c := range line {
		if c == ' ' {
			return line[:i]
		}
	}
	return line
}

// dataLines returns the lines of an embedded file without comments.
func dataLines(text string) []string {
	var out []string
	for _, l := range strings.Split(text, "\n") {
		if l != "" && l[0] != '#' {
			out = append(out, l)
		}
	}
	return out
}

// numberWords in order from one; the tens follow twenty.
const (
	numberWords  = "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen twenty"
	ordinalWords = "first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth thirteenth fourteenth fifteenth sixteenth seventeenth eighteenth nineteenth twentieth"
	tensWords    = "thirty forty fifty sixty seventy eighty ninety"
)

func (lx *lexicon) addNumbers() {
	for i, w := range strings.Fields(numberWords) {
		lx.nums[lx.ids[w]] = int32(i + 1)
	}
	for i, w := range strings.Fields(tensWords) {
		lx.nums[lx.ids[w]] = int32(30 + 10*i)
	}
	for i, w := range strings.Fields(ordinalWords) {
		lx.ords[lx.ids[w]] = int32(i + 1)
	}
	lx.nums[0], lx.ords[0] = 0, 0
}

// addPattern compiles one wording; words in square brackets may be absent.
func (lx *lexicon) addPattern(id PhraseID, words []string) error {
	p := pattern{id: id}
	numbers := 0
	if len(words) == 0 {
		return fmt.Errorf("phrase %s has an empty wording", id)
	}
	for i, w := range words {
		if w[0] == '[' {
			with := append(append(append([]string{}, words[:i]...), strings.Trim(w, "[]")), words[i+1:]...)
			if err := lx.addPattern(id, with); err != nil {
				return err
			}
			return lx.addPattern(id, append(append([]string{}, words[:i]...), words[i+1:]...))
		}
		e := elem{}
		switch w {
		case "{n}", "{m}":
			e.kind = elemNumber
		case "{o}":
			e.kind = elemOrdinal
		case "{x}":
			e.kind = elemLabel
		case "{r}":
			e.kind = elemRanges
		default:
			e.word = lx.ids[w]
			if e.word == 0 {
				return fmt.Errorf("phrase %s: no cells are given for the word %q", id, w)
			}
		}
		if e.kind == elemNumber || e.kind == elemOrdinal || e.kind == elemLabel {
			if e.second = numbers > 0 || w == "{m}"; w != "{m}" {
				numbers++
			}
		}
		p.elems = append(p.elems, e)
	}
	first := int(p.elems[0].word)
	switch p.elems[0].kind {
	case elemNumber:
		first = lx.numberStart
	case elemOrdinal:
		first = lx.ordinalStart
	}
	lx.byFirst[first] = append(lx.byFirst[first], p)
	return nil
}

// starts reports whether any pattern can begin with the token.
func (lx *lexicon) starts(t *token) bool {
	return t.word != 0 && len(lx.byFirst[t.word]) > 0 || t.num != 0 || t.ord != 0
}

const maxTokens = 24

// token is one word of a line.
type token struct {
	start, end int32 // span in the line, with its indicators
	word       uint16
	num, ord   int32
	numWord    bool // the number is written as a word
	letter     byte // one letter alone
	punct      byte // punctuation taken off its end, 0 for none
}

// scanner cuts a line into tokens.
type scanner struct {
	lx   *lexicon
	line []byte
	pos  int
	toks [maxTokens]token
	n    int
}

// has reads on until the line's token at index at is known; false when the line
// has no such token.
func (sc *scanner) has(at int) bool {
	for sc.n <= at {
		if !sc.next() {
			return false
		}
	}
	return true
}

// next reads one token; false at the end of the line or when there is no room.
func (sc *scanner) next() bool {
	for sc.pos < len(sc.line) && sc.line[sc.pos] == ' ' {
		sc.pos++
	}
	if sc.pos >= len(sc.line) || sc.n >= maxTokens {
		return false
	}
	end := sc.pos
	for end < len(sc.line) && sc.line[end] != ' ' {
		end++
	}
	t := &sc.toks[sc.n]
	*t = token{start: int32(sc.pos), end: int32(end)}
	sc.n++
	if isLeader(sc.line[sc.pos:end]) {
		sc.n--
		sc.pos = end
		return sc.next()
	}
	sc.read(t)
	sc.pos = int(t.end)
	return true
}

// isLeader reports whether a token is a row of guide dots.
func isLeader(t []byte) bool {
	if len(t) < 2 || t[0] != '"' && t[0] != '\'' && t[0] != '1' && t[0] != '3' && t[0] != '4' {
		return false
	}
	for _, c := range t {
		if c != t[0] {
			return false
		}
	}
	return true
}

// read fills in what the token means; a token of joined words is cut short
// after its first word.
func (sc *scanner) read(t *token) {
	from, end := int(t.start), int(t.end)
	for from < end {
		n := indicatorAt(sc.line[:end], from, true)
		if n == 0 {
			break
		}
		from += n
	}
	body := sc.line[from:end]
	var buf [40]byte
	if len(body) <= len(buf) && mayHaveIndicator(body) {
		if s := AppendStrip(buf[:0], body); len(s) != len(body) {
			if sc.lx.fill(t, s) {
				return
			}
		}
	}
	if sc.lx.fill(t, body) {
		return
	}
	if rest, ok := unbracketed(body); ok && sc.lx.fill(t, rest) {
		if t.word == sc.lx.ids["pages"] || t.word == sc.lx.ids["braille"] || t.word == sc.lx.ids["of"] && from > 0 { // volume 2 (pages 91-180), volume 2 (of 3)
			return
		}
		*t = token{start: t.start, end: t.end}
	}
	if rest, ok := closed(body); ok && sc.lx.fill(t, rest) {
		if t.num > 0 {
			return
		}
		*t = token{start: t.start, end: t.end}
	}
	if n := joinedLen(body); n > 0 {
		t.end = int32(from + n)
		if sc.lx.fillJoined(t, body[:n]) {
			return
		}
		t.end = int32(end)
	}
	if n := dashAt(body); n > 0 && sc.lx.fill(t, body[:n]) {
		t.end = int32(from + n)
	}
}

// unbracketed is a token without the round bracket that it begins with.
func unbracketed(body []byte) ([]byte, bool) {
	for _, b := range [...]string{"\"<", "7"} {
		if rest := body[min(len(b), len(body)):]; hasPrefix(body, b) && (len(rest) > 3 || string(rest) == "(" || string(rest) == "of") {
			return rest, true
		}
	}
	return body, false
}

// closed is a token without the round bracket that it ends with.
func closed(body []byte) ([]byte, bool) {
	for _, b := range [...]string{"\">", "7"} {
		if n := len(body) - len(b); n > 1 && string(body[n:]) == b {
			return body[:n], true
		}
	}
	return body, false
}

// fill looks the cells of a token up, with and without closing punctuation.
func (lx *lexicon) fill(t *token, body []byte) bool {
	if lx.fillExact(t, body) {
		return true
	}
	n := len(body)
	if n < 2 || body[n-1] < '1' || body[n-1] > '4' {
		return false
	}
	if lx.fillExact(t, body[:n-1]) {
		t.punct = body[n-1]
		return true
	}
	return false
}

func (lx *lexicon) fillExact(t *token, body []byte) bool {
	if len(body) == 0 {
		return false
	}
	if len(body) <= lx.maxForm {
		t.word = lx.forms[string(body)]
		t.num, t.ord = lx.nums[t.word], lx.ords[t.word]
		t.numWord = t.num != 0
	}
	if t.num == 0 && t.ord == 0 {
		t.num = int32(numberToken(body))
	}
	if t.num == 0 && t.ord == 0 {
		lx.compound(t, body)
	}
	t.letter = letterAlone(body)
	return t.word != 0 || t.num != 0 || t.ord != 0 || t.letter != 0
}

// compound reads twenty-one and twenty-first.
func (lx *lexicon) compound(t *token, body []byte) {
	for i := 2; i < len(body)-1 && len(body) <= 24; i++ {
		if body[i] != '-' {
			continue
		}
		tens, unit := lx.forms[string(body[:i])], lx.forms[string(body[i+1:])]
		if v := lx.nums[tens]; v >= 20 && v%10 == 0 {
			if u := lx.nums[unit]; u > 0 && u < 10 {
				t.num, t.numWord = v+u, true
			} else if o := lx.ords[unit]; o > 0 && o < 10 {
				t.ord = v + o
			}
		}
		return
	}
}

// numberToken reads digits after a number sign, or a roman number, with or
// without a letter sign; 0 when the token is neither.
func numberToken(body []byte) int {
	switch c := body[0]; {
	case c == '#':
		l, ok := cell.ParseLabel(body)
		if !ok || l.Prefix != "" || l.Suffix != "" || l.Last != l.Value {
			return 0
		}
		return l.Value
	case c != ';' && c != ',' && !romanLetter(c):
		return 0
	}
	for len(body) > 1 && (body[0] == ';' || body[0] == ',') {
		body = body[1:]
	}
	if len(body) > 9 || !romanLetter(body[0]) {
		return 0
	}
	l, ok := cell.ParseLabel(body)
	if !ok || !l.Roman || l.Last != l.Value {
		return 0
	}
	return l.Value
}

func romanLetter(c byte) bool {
	return c == 'i' || c == 'v' || c == 'x' || c == 'l' || c == 'c' || c == 'd' || c == 'm'
}

// letterAlone returns the letter of a token of one letter, with or without a
// letter sign and capital sign, else 0.
func letterAlone(body []byte) byte {
	for len(body) > 1 && (body[0] == ';' || body[0] == ',') {
		body = body[1:]
	}
	if len(body) == 1 && body[0] >= 'a' && body[0] <= 'z' {
		return body[0]
	}
	return 0
}

// joinedLen returns the cells of the first of several words written as one in
// the older codes: and, for, of, the, with; to, into, by (British Braille 2004
// and EBAE: 6, 96 and 0 stand against the next word).
func joinedLen(body []byte) int {
	if len(body) < 2 {
		return 0
	}
	switch body[0] {
	case '&', '=', '(', '!', ')':
		switch body[1] {
		case '&', '=', '(', '!', ')', 'a', ',':
			return 1
		}
	case '6', '0':
		if body[1] > ' ' && body[1] != '4' && body[1] != '1' {
			return 1
		}
	case '9':
		if body[1] == '6' && len(body) > 2 {
			return 2
		}
	}
	return 0
}

func (lx *lexicon) fillJoined(t *token, sign []byte) bool {
	switch string(sign) {
	case "6":
		t.word = lx.ids["to"]
	case "0":
		t.word = lx.ids["by"]
	case "96":
		t.word = lx.ids["into"]
	default:
		t.word = lx.forms[string(sign)]
	}
	return t.word != 0
}

// dashAt returns where a dash stands inside a token, 0 for none.
func dashAt(body []byte) int {
	for i := 1; i+1 < len(body); i++ {
		if body[i+1] == '-' && (body[i] == '-' || body[i] == ',') {
			return i
		}
	}
	return 0
}

// continuedForms are "continued", "cont" and "contd" in cells.
var continuedForms = [...]string{"3t9u$", "continued", "cont", "3t", "contd", "3td", "cont'd", "3t'd", "3t9ues", "continues"}

// CutContinued takes "continued" off the end of a heading that goes on from another
// page or volume; false when it does not end so. Nothing is left of a line that says
// no more. Behind other words it must be in brackets or after a dash: bare, it may be
// of the title ("the journey continued").
func CutContinued(text []byte) (rest []byte, ok bool) {
	last := bytes.LastIndexByte(text, ' ') + 1
	before := bytes.LastIndexByte(text[:max(last-1, 0)], ' ') + 1
	for _, k := range [...]int{before, last} { // a dash may stand apart
		if n := continuedLen(text[k:]); n > 0 && k+n == len(text) {
			rest = trimBlanks(text[:k])
			return rest, len(rest) == 0 || !slices.Contains(continuedForms[:], string(Strip(text[k:])))
		}
	}
	return text, false
}

// continuedLen returns the length of a "continued" remark at the start of
// rest, in brackets of any code or bare, with a comma or dash before it.
func continuedLen(rest []byte) int {
	i := 0
	for _, p := range [...]string{"1 ", "1", "-- ", "--", ",- ", ",-", "- "} {
		if hasPrefix(rest, p) {
			i = len(p)
			break
		}
	}
	open := ""
	for _, p := range [...][2]string{{"\"<", "\">"}, {"7", "7"}, {",7", "7'"}, {".<", ".>"}, {"@.<", "@.>"}, {",'", ",'"}} {
		if hasPrefix(rest[i:], p[0]) {
			open = p[1]
			i += len(p[0])
			break
		}
	}
	j := i
	for j < len(rest) && rest[j] != ' ' {
		j++
	}
	return continuedWord(rest, i, j, open)
}

func continuedWord(rest []byte, i, j int, closing string) int {
	word := Strip(rest[i:j])
	if n := len(word) - len(closing); closing != "" && n > 0 && string(word[n:]) == closing {
		word = word[:n]
	}
	if n := len(word); n > 1 && (word[n-1] == '4' || word[n-1] == '3') {
		word = word[:n-1]
	}
	for _, f := range continuedForms {
		if string(word) == f {
			return j
		}
	}
	return 0
}

// allRanges reports whether rest is empty or consists of page labels, ranges
// and the words between them.
func allRanges(rest []byte) bool {
	for _, f := range cell.Fields(rest) {
		if !rangeToken(rest[f[0]:f[1]]) {
			return false
		}
	}
	return true
}

func rangeToken(t []byte) bool {
	if n := len(t); n > 3 && t[n-1] == '7' {
		t = t[:n-1]
	} else if n > 3 && t[n-2] == '"' && t[n-1] == '>' {
		t = t[:n-2]
	}
	for len(t) > 1 && (t[len(t)-1] == '1' || t[len(t)-1] == '4' || t[len(t)-1] == '2') {
		t = t[:len(t)-1]
	}
	for len(t) > 1 && t[0] == '6' { // older codes: to joined
		t = t[1:]
	}
	switch string(t) {
	case "&", "and", "to", "-", "3":
		return true
	}
	if isLeader(t) {
		return true
	}
	_, ok := cell.ParseLabel(t)
	return ok
}
