package english

import (
	"fmt"
	"strings"
	"unicode"

	"continuo/internal/cell"
)

// Write writes short print wording (headings, statements, single words) in
// cells of the variant. The cells are read back before they are returned: the
// error tells the sign that the variant cannot write, or that the cells would
// read as something else. It is not made for running text.
func Write(print string, v Variant) ([]byte, error) {
	if v.Code == UnknownCode {
		return nil, fmt.Errorf("cannot write %q: the braille code is not known", print)
	}
	w := writer{v: v, s: signsOf[v.Code](), older: v.Code.Older()}
	for _, f := range strings.Fields(print) {
		if err := w.chunk(f); err != nil {
			return nil, fmt.Errorf("cannot write %q in %v: %w", print, v, err)
		}
	}
	cells := w.finish()
	if got, want := normal(Read(cells, v)), normal(strings.Join(strings.Fields(print), " ")); got != want && (v.Capitals || got != strings.ToLower(want)) {
		return nil, fmt.Errorf("cannot write %q in %v: the cells would read %q", print, v, got)
	}
	return cells, nil
}

// normal makes print that differs only in the form of quotation marks or in
// accents the older codes do not tell apart compare equal.
func normal(s string) string {
	s = strings.NewReplacer("’", "'", "‘", "'", "“", `"`, "”", `"`, "…", "...", "–", "-").Replace(s)
	var b strings.Builder
	for _, r := range s {
		if base, ok := baseLetter(r); ok {
			b.WriteByte(base)
		} else {
			b.WriteRune(r)
		}
	}
	return b.String()
}

// piece is one word in cells with what decides how it joins its neighbours.
type piece struct {
	cells  []byte
	small  []byte // its cells without capitals
	print  string // lower case, without punctuation, when the chunk is a plain word
	caps   bool   // all capitals, at least one letter
	plain  bool   // letters only
	signed int    // length of the capital sign before it
	lead   bool   // it opens with a letter, number or capital sign
	number bool   // no letters in it
}

type writer struct {
	v      Variant
	s      *signs
	older  bool
	pieces []piece
}

// chunk writes the print between two blanks.
func (w *writer) chunk(f string) error {
	cw := chunkWriter{writer: w, r: []rune(f), open: true}
	letters := strings.IndexFunc(f, unicode.IsLetter) >= 0
	caps := letters && strings.ToUpper(f) == f && w.v.Capitals
	if err := cw.all(); err != nil {
		return err
	}
	p := piece{cells: cw.out, caps: caps, signed: cw.signed, lead: cw.lead, number: !letters}
	if isPlain(f) {
		p.plain, p.print = true, strings.ToLower(f)
	}
	if caps {
		small := *w
		small.v.Capitals = false
		cs := chunkWriter{writer: &small, r: []rune(strings.ToLower(f)), open: true}
		if err := cs.all(); err != nil {
			return err
		}
		p.small = cs.out
	}
	w.pieces = append(w.pieces, p)
	return nil
}

func isPlain(f string) bool {
	for i := 0; i < len(f); i++ {
		if c := f[i] | 0x20; c < 'a' || c > 'z' {
			return false
		}
	}
	return f != ""
}

// finish puts the words together: capital passages in UEB, joined words in the
// older codes.
func (w *writer) finish() []byte {
	if w.v.Code == UEB {
		w.passages()
	}
	if w.older && w.v.Contracted {
		w.joinWords()
	}
	var out []byte
	for i, p := range w.pieces {
		if i > 0 && len(p.cells) > 0 && !w.joined(i) {
			out = append(out, ' ')
		}
		out = append(out, p.cells...)
	}
	return out
}

// passages writes three or more words of capitals, with the numbers between
// them, as a passage (UEB 8.5).
func (w *writer) passages() {
	for i := 0; i < len(w.pieces); {
		end, n := i, 0
		for j := i; j < len(w.pieces) && (w.pieces[j].caps || w.pieces[j].number && n > 0); j++ {
			if w.pieces[j].caps {
				end, n = j+1, n+1
			}
		}
		if n >= 3 {
			w.passage(w.pieces[i:end])
		}
		i = max(end, i+1)
	}
}

func (w *writer) passage(ps []piece) {
	for k := range ps {
		if ps[k].caps {
			ps[k].cells = ps[k].small
		}
	}
	first, last := &ps[0], &ps[len(ps)-1]
	at := openLen(first.cells)
	first.cells = []byte(string(first.cells[:at]) + ",,," + string(first.cells[at:]))
	at = len(last.cells)
	for at > 0 && strings.IndexByte("12346'", last.cells[at-1]) >= 0 {
		at--
	}
	last.cells = []byte(string(last.cells[:at]) + ",'" + string(last.cells[at:]))
}

// openLen returns the length of the opening signs of a chunk.
func openLen(c []byte) int {
	n := 0
	for n+1 < len(c) {
		switch {
		case c[n] == '8':
			n++
		case (c[n] == '"' || c[n] == '.') && c[n+1] == '<', c[n] == ',' && c[n+1] == '8':
			n += 2
		default:
			return n
		}
	}
	return n
}

// joinWords writes to, into and by against the next word, and after them no
// lower wordsign.
func (w *writer) joinWords() {
	for i := 0; i+1 < len(w.pieces); i++ {
		p, next := &w.pieces[i], &w.pieces[i+1]
		sign, ok := map[string]string{"to": "6", "into": "96", "by": "0"}[p.print]
		if !ok || !next.lead || i > 0 && w.pieces[i-1].print == "\x00" {
			continue
		}
		p.cells = append(p.cells[:p.signed:p.signed], sign...)
		p.print = "\x00"
		if next.plain && (w.s.lowerWord[next.print] || next.print == "to" || next.print == "by" || next.print == "into") {
			next.cells = append(next.cells[:next.signed:next.signed], w.s.spelled(next.print)...)
		}
	}
}

// joined reports whether piece i stands against the one before it.
func (w *writer) joined(i int) bool {
	if !w.older || !w.v.Contracted {
		return false
	}
	before, p := w.pieces[i-1], w.pieces[i]
	if before.print == "\x00" {
		return true
	}
	return before.plain && p.plain && p.signed == 0 && joinable(before.print) && (joinable(p.print) || p.print == "a") && p.print != "\x00"
}

func joinable(word string) bool {
	switch word {
	case "and", "for", "of", "the", "with":
		return true
	}
	return false
}

// spelled writes a word without a sign for the whole word, and with no lower
// sign where it would consist of one.
func (s *signs) spelled(w string) string {
	c := s.run(w)
	if s.readsAsWord(c) {
		return w
	}
	return c
}

// chunkWriter writes one chunk.
type chunkWriter struct {
	*writer
	r      []rune
	i      int
	out    []byte
	open   bool // a word here stands alone on its left side
	signed int  // length of the capital sign that the chunk opens with
	lead   bool // opens with a letter or number
	number bool // just after digits
}

func (cw *chunkWriter) all() error {
	for cw.i < len(cw.r) {
		if err := cw.step(); err != nil {
			return err
		}
	}
	return nil
}

func (cw *chunkWriter) step() error {
	r := cw.r[cw.i]
	switch {
	case r >= '0' && r <= '9':
		cw.digits()
	case r < 128 && unicode.IsLetter(r):
		cw.word()
	default:
		if base, ok := baseLetter(r); ok {
			cw.accented(r, base)
			return nil
		}
		return cw.sign(r)
	}
	return nil
}

func (cw *chunkWriter) first() {
	if len(cw.out) == 0 {
		cw.lead = true
	}
}

// digits writes a number (UEB 6; EBAE rule IX; British Braille 2004, 4).
func (cw *chunkWriter) digits() {
	cw.first()
	ebaeRange := cw.v.Code == EBAE && len(cw.out) > 1 && cw.out[len(cw.out)-1] == '-' && digitCell[cw.out[len(cw.out)-2]] && cw.out[0] == '#'
	if !ebaeRange {
		cw.out = append(cw.out, '#')
	}
	for cw.i < len(cw.r) {
		r := cw.r[cw.i]
		if r >= '0' && r <= '9' {
			cw.out = append(cw.out, cell.Number(int(r - '0'))[1])
			cw.i++
			continue
		}
		next := cw.i+1 < len(cw.r) && cw.r[cw.i+1] >= '0' && cw.r[cw.i+1] <= '9'
		if next && r == ':' && cw.v.Code == EBAE {
			cw.out = append(cw.out, '3')
			cw.i++
			continue
		}
		if !next || r != ',' && r != '.' {
			break
		}
		cw.out = append(cw.out, numberSigns[cw.v.Code][r == '.'])
		cw.i++
	}
	cw.open, cw.number = false, true
}

// numberSigns: the thousands mark and (true) the decimal point.
var numberSigns = map[Code]map[bool]byte{UEB: {false: '1', true: '4'}, SEB: {false: '\'', true: '1'}, EBAE: {false: '1', true: '.'}}

// word writes a run of letters up to a change from small letters to capitals.
func (cw *chunkWriter) word() {
	cw.first()
	end := cw.i
	for end < len(cw.r) && cw.r[end] < 128 && unicode.IsLetter(cw.r[end]) {
		end++
	}
	whole := string(cw.r[cw.i:end])
	if cw.older && cw.v.Contracted && cw.open && cw.oclock() {
		return
	}
	alone := cw.open && cw.aloneAfter(end)
	if strings.ToLower(whole) == whole || !cw.v.Capitals {
		cw.part(strings.ToLower(whole), alone, 0)
	} else if strings.ToUpper(whole) == whole {
		n := 1
		if len(whole) > 1 {
			n = 2
		}
		cw.part(strings.ToLower(whole), alone, n)
	} else {
		cw.mixed(whole, alone)
	}
	cw.i = end
	cw.open, cw.number = false, false
}

// oclock writes the older shortform o'c.
func (cw *chunkWriter) oclock() bool {
	const long = "o'clock"
	rest := strings.Replace(string(cw.r[cw.i:]), "’", "'", 1)
	if !strings.HasPrefix(strings.ToLower(rest), long) || !cw.aloneAfter(cw.i+len(long)) {
		return false
	}
	switch head := rest[:len(long)]; {
	case head == long || !cw.v.Capitals:
		cw.out = append(cw.out, "o'c"...)
	case head[0] == 'O' && head[1:] == long[1:]:
		cw.out = append(cw.out, ",o'c"...)
	default:
		return false
	}
	cw.i += len(long)
	cw.open = false
	return true
}

// mixed writes a word of both cases, cut before each capital: Volume, McCall.
func (cw *chunkWriter) mixed(whole string, alone bool) {
	for i := 0; i < len(whole); {
		j := i + 1
		for j < len(whole) && whole[j] >= 'A' && whole[j] <= 'Z' {
			j++
		}
		caps := j - i
		for j < len(whole) && whole[j] >= 'a' {
			j++
		}
		part := whole[i:j]
		switch {
		case part[0] >= 'a':
			cw.part(part, false, 0)
		case caps == 1 || j == i+caps:
			cw.part(strings.ToLower(part), alone && len(part) == len(whole), min(caps, 2))
		default: // ABCs: capitals end within the word
			cw.part(strings.ToLower(part[:caps]), false, 2)
			cw.out = append(cw.out, ",'"...)
			cw.part(part[caps:], false, 0)
		}
		i = j
	}
}

// part writes letters with a capital sign of n cells before them.
func (cw *chunkWriter) part(w string, alone bool, n int) {
	cells := w
	switch {
	case !cw.v.Contracted:
		if alone && cw.needsLetterSign(w, n) && cw.v.Code == SEB {
			cw.out = append(cw.out, ';')
		}
	case cw.number && cw.v.Code == UEB:
		if w[0] <= 'j' && n == 0 {
			cw.out = append(cw.out, ';')
		}
	case alone && cw.needsLetterSign(w, n):
		cw.out = append(cw.out, ';')
	case alone && len(w) == 1, alone && isRoman(w):
	case alone && (!cw.s.lowerWord[w] || cw.lowerWordFits(w)):
		cells = cw.s.word(w)
	case alone:
		cells = cw.s.spelled(w)
	case cw.number:
		if w[0] <= 'j' && cw.s.run(w)[0] == w[0] {
			cw.out = append(cw.out, ';')
		}
		cells = cw.s.run(w)
	default:
		cells = cw.s.run(w)
		if len(cw.out) > 0 && cw.out[len(cw.out)-1] == '\'' {
			cells = w // 's, 't, 'll
			if len(w) > 2 {
				cells = cw.s.run(w)
			}
		}
	}
	if strings.HasPrefix(cells, ";") && n > 0 {
		cw.out = append(cw.out, ';')
		cells = cells[1:]
	}
	if len(cw.out) == 0 {
		cw.signed = n
	}
	cw.out = append(cw.out, ",,"[:n]...)
	cw.out = append(cw.out, cells...)
}

// needsLetterSign: a single letter that would be a wordsign, and roman numbers
// as the codes ask for it (UEB 5.7, 6.9; British Braille 2004, 2; EBAE rule II).
func (cw *chunkWriter) needsLetterSign(w string, capitals int) bool {
	if len(w) == 1 {
		if w == "a" || w == "o" || w == "i" && (capitals > 0 || cw.v.Code == UEB || !cw.v.Capitals) {
			return false
		}
		return cw.v.Contracted
	}
	if !isRoman(w) {
		return false
	}
	switch cw.v.Code {
	case SEB:
		return true
	case EBAE:
		return capitals == 0
	}
	return cw.s.readsAsWord(w)
}

func isRoman(w string) bool {
	if w == "mix" || w == "dix" || len(w) == 2 && strings.Trim(w, "ivx") != "" {
		return false // words, and abbreviations such as cm
	}
	return len(w) > 1 && romanLetter(w[0]) && numberToken([]byte(w)) > 0
}

// lowerWordFits reports whether be, enough, were, his, in or was may be one
// sign here (UEB 10.5): no punctuation but brackets, or for in and enough a
// hyphen and letters.
func (cw *chunkWriter) lowerWordFits(w string) bool {
	var rest []rune
	rest = append(rest, cw.r[:cw.i]...)
	rest = append(rest, cw.r[cw.i+len(w):]...)
	for _, r := range rest {
		switch {
		case cw.v.Code == UEB && (r == '(' || r == ')' || r == '[' || r == ']'):
		case r == '-' && cw.v.Code != EBAE && (w == "in" || w == "enough"):
		case unicode.IsLetter(r) && cw.v.Code != EBAE && (w == "in" || w == "enough"):
		default:
			return false
		}
	}
	return true
}

// aloneAfter reports whether a word that ends at end stands alone on its right
// side.
func (cw *chunkWriter) aloneAfter(end int) bool {
	if end < len(cw.r) && (cw.r[end] == '\'' || cw.r[end] == '’') {
		switch tail := strings.ToLower(strings.TrimRight(string(cw.r[end+1:]), ".,;:!?)”]")); tail {
		case "s", "t", "d", "ll", "re", "ve":
			return true
		case "":
		default:
			return false
		}
	}
	for _, r := range cw.r[end:] {
		switch {
		case r == '-' || r == '—' || r == '–':
			return true
		case strings.ContainsRune(".,;:!?)]}”’'\"…", r):
		default:
			return false
		}
	}
	return true
}

// accented writes a letter with an accent: its own sign in UEB (4.2), dot 4 in
// the older codes.
func (cw *chunkWriter) accented(r rune, base byte) {
	cw.first()
	if cw.v.Capitals && unicode.IsUpper(r) {
		cw.out = append(cw.out, ',')
	}
	sign := "@"
	if cw.v.Code == UEB {
		sign = accentSign(unicode.ToLower(r))
	}
	cw.out = append(append(cw.out, sign...), base|0x20)
	cw.open = false
	cw.i++
}

// baseLetter returns the letter of an accented one that the accent list has.
func baseLetter(r rune) (byte, bool) {
	if r < 128 {
		return 0, false
	}
	low := unicode.ToLower(r)
	for _, a := range accents {
		if k := runeIndex(a[1], low); k >= 0 {
			b := a[0][k]
			if low != r {
				b -= 0x20
			}
			return b, true
		}
	}
	return 0, false
}

func accentSign(r rune) string {
	for sign, a := range accents {
		if runeIndex(a[1], r) >= 0 {
			return sign
		}
	}
	return ""
}

func runeIndex(s string, r rune) int {
	for k, x := range []rune(s) {
		if x == r {
			return k
		}
	}
	return -1
}

// sign writes punctuation and symbols.
func (cw *chunkWriter) sign(r rune) error {
	key := r
	if r == '"' {
		key = '”'
		if cw.open && cw.i+1 < len(cw.r) {
			key = '“'
		}
	}
	if strings.HasPrefix(string(cw.r[cw.i:]), "...") {
		key = '…'
		cw.i += 2
	}
	if key == '’' && cw.i+1 < len(cw.r) && unicode.IsLetter(cw.r[cw.i+1]) {
		key = '\''
	}
	table := uebPrint
	if cw.older {
		table = olderPrint
	}
	c, ok := table[key]
	if !ok || key == '£' && cw.older && !(cw.i+1 < len(cw.r) && unicode.IsDigit(cw.r[cw.i+1])) {
		return fmt.Errorf("no sign for %q", r)
	}
	cw.out = append(cw.out, c...)
	cw.i++
	switch key {
	case '-', '—', '–':
		cw.open = true
	case '(', '[', '{', '“', '‘', '\'':
	default:
		cw.open = false
	}
	cw.number = false
	return nil
}

// Print signs in cells (UEB 3 and 7; the older codes' punctuation lists).
var (
	commonPrint = map[rune]string{',': "1", ';': "2", ':': "3", '.': "4", '!': "6", '?': "8", '“': "8", '”': "0", '\'': "'", '-': "-", '–': "-", '/': "_/"}
	uebPrint    = withCommon(map[rune]string{'(': "\"<", ')': "\">", '[': ".<", ']': ".>", '{': "_<", '}': "_>", '‘': ",8", '’': ",0", '—': ",-", '…': "444",
		'&': "@&", '@': "@a", '%': ".0", '*': "\"9", '+': "\"6", '=': "\"7", '$': "@s", '£': "@l", '€': "@e", '#': "_?", '©': "^c", '°': "^j", '•': "_4"})
	olderPrint = withCommon(map[rune]string{'(': "7", ')': "7", '[': ",7", ']': "7'", '‘': ",8", '’': "0'", '—': "--", '…': "'''", '*': "99", '£': "l", '$': "4"})
)

func withCommon(m map[rune]string) map[rune]string {
	for r, c := range commonPrint {
		m[r] = c
	}
	return m
}
