package english

import (
	"bytes"
	"strings"
)

// runLen returns how many cells from i on are letters of one run: letters and
// contractions that touch. 0 when none starts there.
func (cr *chunkReader) runLen(i int) int {
	j := i
	for j < len(cr.c) {
		_, n := cr.letterAt(j, i)
		if n == 0 {
			break
		}
		j += n
	}
	return j - i
}

// letterAt reads the letters of one sign at j in a run that starts at from. n
// is 0 when no letters stand there.
func (cr *chunkReader) letterAt(j, from int) (print string, n int) {
	c := cr.c[j]
	if c >= 128 {
		return "", 0
	}
	if p := cr.t.letter[c]; p != "" {
		if (cr.raw || cr.mode.grade1) && len(p) > 1 {
			return "", 0
		}
		return p, 1
	}
	if !cr.t.contracted || cr.raw || cr.mode.grade1 {
		return "", 0
	}
	switch c {
	case '"', '^', '_', '.', ';', ',':
		return cr.twoCells(j, from)
	case '#':
		if cr.t.older && cr.bleAt(j, from) {
			return "ble", 1
		}
		return "", 0
	}
	return cr.lowerAt(j, from)
}

// twoCells reads an initial-letter contraction or a final-letter groupsign.
func (cr *chunkReader) twoCells(j, from int) (string, int) {
	next := byte(' ')
	if j+1 < len(cr.c) && cr.c[j+1] < 128 {
		next = cr.c[j+1]
	}
	p := ""
	switch cr.c[j] {
	case '"':
		p = cr.t.dot5[next]
	case '^':
		p = cr.t.dot45[next]
	case '_':
		p = cr.t.dot456[next]
	case '.':
		if j > from {
			p = cr.t.dot46[next]
		}
	case ';':
		if j > from {
			p = cr.t.dot56[next]
		}
	case ',':
		if j > from && !cr.capitalInside(from, j) {
			p = cr.t.dot6[next]
		}
	}
	if p == "" {
		return "", 0
	}
	return p, 2
}

// capitalInside reports whether dot 6 within letters is a capital sign: after
// Mc, Mac and the like, and where the letters after n or y do not go on a word
// in -ation or -ally: McNeil, VietNam.
func (cr *chunkReader) capitalInside(from, j int) bool {
	if cr.caps != capsNone {
		switch string(cr.c[from:j]) {
		case "mc", "mac", "de", "fitz", "la", "le", "van", "di":
			return true
		}
	}
	if j+2 >= len(cr.c) {
		return false
	}
	switch cr.c[j+2] {
	case 'e', 'o', 'u', '[':
		return true
	case 'a':
		return j+3 >= len(cr.c) || cr.c[j+3] != 'l'
	}
	return false
}

// bleAt decides whether a number sign after letters is the sign for ble: no
// digits and nothing else come after it, unless it makes -bled.
func (cr *chunkReader) bleAt(j, from int) bool {
	if j == from || cr.letters && !cr.half {
		return false
	}
	k := j + 1
	for k < len(cr.c) && digitCell[cr.c[k]] {
		k++
	}
	if k == j+1 {
		return true
	}
	if cr.caps == capsWord && j-from <= 3 {
		return false
	}
	if k < len(cr.c) && (letterCell[cr.c[k]] || cr.c[k] == '9' || cr.c[k] == '5' || cr.c[k] == ';' && k+1 < len(cr.c)) {
		return j-from >= 2 || cr.caps == capsNone
	}
	if cr.caps == capsNone && k+1 < len(cr.c) && cr.c[k] == '1' && letterCell[cr.c[k+1]] {
		return true // marblehead
	}
	if string(cr.c[j+1:k]) == "bee" {
		return true // bumblebee
	}
	return k == j+2 && cr.c[j+1] == 'd' && (j-from >= 2 || cr.caps == capsNone)
}

// lowerAt reads a lower groupsign.
func (cr *chunkReader) lowerAt(j, from int) (string, int) {
	c := cr.c[j]
	if j > from {
		if p := cr.t.any[c]; p != "" {
			return p, 1
		}
		if p := cr.t.middle[c]; p != "" && cr.lettersFollow(j+1) && (c == '1' || cr.doubled(j, from)) {
			return p, 1
		}
		return "", 0
	}
	if cr.letters && !cr.half {
		return "", 0 // after a letter sign a lower sign is punctuation
	}
	if !cr.lettersFollow(j + 1) {
		if j > 0 && cr.c[j-1] == '\'' && !cr.open {
			return cr.t.any[c], len(cr.t.any[c]) / 2 // e'en, Go'in
		}
		return "", 0
	}
	if p := cr.t.any[c]; p != "" {
		return p, 1
	}
	if p := cr.t.start[c]; p != "" && cr.open && (c != '-' || cr.start || j > 0 && cr.c[j-1] == ',') {
		return p, 1
	}
	return "", 0
}

// doubled decides whether a lower sign between letters is bb, cc, dd, ff or gg
// or punctuation. Most punctuation never stands between letters; 256 is a full
// stop in e.g. and other initials, and 2356 a bracket of the older codes.
func (cr *chunkReader) doubled(j, from int) bool {
	if j+1 == len(cr.c) {
		return true // a part of a word
	}
	switch cr.c[j] {
	case '4':
		if !afterVowel(cr.c[j-1]) {
			return j-from >= 2 && bytes.Count(cr.c, []byte{'4'}) == 1
		}
		return !allInitials(cr.c[from:])
	case '7':
		if cr.bracket {
			return false
		}
		if !cr.t.older || bytes.IndexByte(cr.c[j+1:], '7') < 0 {
			return true
		}
		return afterVowel(cr.c[j-1]) && strings.IndexByte("tmnpbdfkqvxz#,;", cr.c[j+1]) < 0
	}
	return true
}

// afterVowel reports whether a sign of letters ends in a vowel.
func afterVowel(c byte) bool {
	return c == 'a' || c == 'e' || c == 'i' || c == 'o' || c == 'u' || c == 'y' || c == '1' || c == '\\'
}

// allInitials reports whether cells are letters with a full stop each.
func allInitials(c []byte) bool {
	k, n := 0, 0
	for k+1 < len(c) && c[k] >= 'a' && c[k] <= 'z' && c[k+1] == '4' {
		k, n = k+2, n+1
		if k < len(c) && c[k] == ';' {
			k++
		}
	}
	return n >= 2 && !(k < len(c) && letterCell[c[k]])
}

// lettersFollow reports whether the cell at j, after a sign of letters, makes
// letters itself.
func (cr *chunkReader) lettersFollow(j int) bool {
	if j >= len(cr.c) || cr.c[j] >= 128 {
		return cr.partial && j == len(cr.c)
	}
	c := cr.c[j]
	if cr.t.letter[c] != "" || cr.t.any[c] != "" {
		return true
	}
	switch c {
	case '"', '^', '_', '.', ';', ',':
		_, n := cr.twoCells(j, j-1)
		return n > 0
	case '#':
		return cr.t.older && (j+1 >= len(cr.c) || !digitCell[cr.c[j+1]])
	}
	return cr.t.middle[c] != "" && cr.lettersFollow(j+1)
}

// readRun reads the run of n cells at the current place.
func (cr *chunkReader) readRun(n int) {
	end := cr.i + n
	run := cr.c[cr.i:end]
	plain := cr.letters || cr.raw || cr.mode.grade1 || !cr.t.contracted
	switch {
	case plain:
	case cr.t.older && cr.open && n == 1 && run[0] == 'o' && cr.oclock():
		return
	case cr.open && cr.endsAlone(end):
		if n == 1 && cr.initial(run[0], end) {
			break
		}
		if n == 1 && cr.t.wordOf[run[0]] != "" {
			cr.putWord(cr.t.wordOf[run[0]], end)
			return
		}
		if w, ok := cr.t.signs.shortOf[string(run)]; ok {
			cr.putWord(w, end)
			return
		}
		if cr.longerShortform(end) {
			return
		}
	case cr.longerShortform(end):
		return
	}
	cr.putSigns(end, cr.i)
	cr.endRun()
}

// initial reports whether a wordsign stands for its letter: EBAE has no letter
// sign before the initials of names, and nobody writes "but's".
func (cr *chunkReader) initial(c byte, end int) bool {
	if !cr.t.older || end >= len(cr.c) {
		return false
	}
	if cr.v.Code == EBAE && cr.caps == capsNext && cr.c[end] == '4' && (end == 2 || cr.c[end-3] == '-') {
		return true // ,f4 is F., not From.
	}
	if cr.c[end] == '\'' && cr.t.older && end+1 < len(cr.c) && cr.c[end+1] == 's' {
		switch c {
		case 'b', 'c', 'd', 'e', 'f', 'g', 'h', 'j', 'k', 'n', 'q', 'r', 'u', 'v':
			return true
		}
	}
	return false
}

// oclock reads the older shortform o'c.
func (cr *chunkReader) oclock() bool {
	if !hasPrefix(cr.c[cr.i:], "o'") {
		return false
	}
	k := 2
	if cr.peek(k) == ',' {
		k++
	}
	if cr.peek(k) != 'c' || !cr.endsAlone(cr.i+k+1) {
		return false
	}
	cr.putLetters("o", 1)
	cr.put("'", 1)
	if cr.peek(0) == ',' {
		cr.caps = capsNext
		cr.i++
	}
	cr.putWord("clock", cr.i+1)
	return true
}

// putLetters writes the letters of one sign, with capitals.
func (cr *chunkReader) putLetters(p string, n int) {
	cr.out.add(p, cr.i)
	tail := cr.out.b[len(cr.out.b)-len(p):]
	switch {
	case cr.mode.caps || cr.caps == capsWord:
		upper(tail)
	case cr.caps == capsNext:
		upper(tail[:1])
		cr.caps = capsNone
	}
	cr.i += n
}

func upper(b []byte) {
	for i, c := range b {
		if c >= 'a' && c <= 'z' {
			b[i] = c - 0x20
		}
	}
}

func (cr *chunkReader) putWord(w string, end int) {
	cr.putLetters(w, end-cr.i)
	cr.endRun()
}

func (cr *chunkReader) endRun() {
	cr.open, cr.start, cr.letters = false, false, false
	if cr.i < len(cr.c) && cr.c[cr.i] == '\'' && cr.t.older && !cr.possessive() {
		return // capitals go on: O'BRIEN
	}
	cr.caps = capsNone
}

func (cr *chunkReader) possessive() bool {
	return cr.peek(1) == 's' && !letterCell[cr.peek(2)]
}

// endsAlone reports whether a run that ends at j stands alone on its right
// side: only closing signs up to a blank, a hyphen or a dash, or 's 't 'd 'll
// 're 've before that (UEB 2.6 and 10.1.2).
func (cr *chunkReader) endsAlone(j int) bool {
	c := cr.c
	if j < len(c) && c[j] == '\'' {
		k := j + 1
		for k < len(c) && c[k] == ',' {
			k++
		}
		from := k
		for k < len(c) && c[k] >= 'a' && c[k] <= 'z' {
			k++
		}
		switch string(c[from:k]) {
		case "s", "t", "d", "ll", "re", "ve", "m":
			j = k
		}
	}
	for j < len(c) {
		n := cr.closingSign(j)
		if n == 0 {
			return false
		}
		if c[j] == '-' || c[j] == ',' && j+1 < len(c) && c[j+1] == '-' {
			return true
		}
		j += n
	}
	return true
}

// closingSign returns the length of the closing sign, hyphen or dash at j.
func (cr *chunkReader) closingSign(j int) int {
	next := byte(' ')
	if j+1 < len(cr.c) {
		next = cr.c[j+1]
	}
	switch cr.c[j] {
	case '1', '2', '3', '4', '6', '8', '0', '\'', '-':
		return 1
	case '7':
		if cr.t.older {
			return 1
		}
	case ',':
		switch next {
		case '0', '\'':
			return 2
		case '-':
			if !cr.t.older {
				return 2
			}
		}
	case '"', '.':
		if next == '>' || next == '\'' && cr.c[j] == '.' {
			return 2
		}
		if next == ',' && cr.c[j] == '"' {
			return 1
		}
	case '^', '_':
		if next == '\'' || next == '0' || next == '>' {
			return 2
		}
	case '@':
		if next == '.' && j+2 < len(cr.c) && cr.c[j+2] == '>' {
			return 3
		}
	case ';':
		if next == '\'' {
			return 2
		}
	}
	return 0
}

// found is a shortform at cells [from, to) of a run.
type found struct {
	print    string
	from, to int
}

// longerShortform reads a run in which a shortform is part of a longer word:
// one that the code's rules write so, else one whose cells can be no other word.
func (cr *chunkReader) longerShortform(end int) bool {
	from := cr.i
	f, ok := cr.shortformIn(from, end)
	if !ok {
		return false
	}
	cr.putSigns(f.from, from)
	cr.putLetters(f.print, f.to-f.from)
	cr.putSigns(end, f.from)
	cr.endRun()
	return true
}

// shortformIn looks for a shortform in the run [from, end).
func (cr *chunkReader) shortformIn(from, end int) (only found, ok bool) {
	for k := from; k+2 <= end; k++ {
		if !cr.t.shortPair[cr.c[k]&127][cr.c[k+1]&127] {
			continue
		}
		list := cr.t.shortAt[string(cr.c[k:k+2])]
		for n := range list {
			g := &list[n]
			e := k + len(g.cells)
			if e > end || e == end && k == from || string(cr.c[k:e]) != g.cells {
				continue
			}
			before, ok1 := cr.lettersOf(from, k, from)
			after, ok2 := cr.lettersOf(e, end, k)
			if !ok1 || !ok2 || len(after) > 1 && !hasVowel(after) && !ending[after] && !bareEnding(g.cells, after) {
				continue
			}
			if w := before + g.print + after; cr.t.signs.fits(g, w, len(before)) && cr.rewrites(w, from, end) {
				return found{g.print, k, e}, true
			}
			if !ok && cr.caps != capsWord && onlyShortform(g.cells, before, after) {
				only, ok = found{g.print, k, e}, true
			}
		}
	}
	return only, ok
}

// putSigns writes the letters up to a cell, sign by sign.
func (cr *chunkReader) putSigns(end, from int) {
	for cr.i < end {
		p, n := cr.letterAt(cr.i, from)
		cr.putLetters(p, n)
	}
}

// rewrites reports whether the word is written with the cells [from, end).
func (cr *chunkReader) rewrites(w string, from, end int) bool {
	return cr.t.signs.run(w) == string(cr.c[from:end])
}

// bareEnding reports whether an ending without a vowel can follow a shortform.
func bareEnding(cells, after string) bool {
	switch after {
	case "st", "rs":
		return true
	case "th": // receiveth
		return strings.HasSuffix(cells, "cv") || cells == "dcl" || cells == "rjc"
	}
	return false
}

// onlyShortform reports whether the cells can be nothing but the shortform: no
// English word has these letters there.
func onlyShortform(cells, before, after string) bool {
	if before != "" && !hasVowel(before) || after != "" && !hasVowel(after) && len(after) > 1 && !bareEnding(cells, after) {
		return false
	}
	switch cells {
	case "lr", "fr", "gd": // bloodletter, backfriend
		if n := len(before); n > 1 && !isVowel(before[n-1]) && (after == "" || after == "s") {
			return true
		}
	}
	switch cells {
	case "rcv", "rcvg", "dcv", "dcvg", "dcl", "dclg", "rjc", "rjcg":
		return before == "" || before == "un" || before == "re" || before == "mis" || before == "pre"
	case "grt", "qk", "brl", "p]cv", "p]cvg", "!mvs", "yrvs", "\\rvs":
		return true
	case "m*":
		return before == "" || after == ""
	case "wd", "%d", "cd", "sd":
		return before == "" && (after == "n" || after == "st" || after == "est")
	case "f/", "*n", "lr", "m/", "td", "tm", "tgr", "yr":
		return before == "" && (hasVowel(after) || len(after) == 1 || after == "st")
	case "abv":
		return before == "" && after != "" && !isVowel(after[0])
	case "af":
		return before == "" && len(after) > 2 && strings.IndexByte("bcdghmpsw", after[0]) >= 0 && after[:2] != "gh"
	case "gd", "tn", "fr":
		return before == "" && len(after) > 1 && !isVowel(after[0])
	}
	return false
}

func hasVowel(s string) bool {
	for i := 0; i < len(s); i++ {
		if isVowel(s[i]) {
			return true
		}
	}
	return false
}

// lettersOf reads cells [i, end) of a run that starts at from as letters.
func (cr *chunkReader) lettersOf(i, end, from int) (string, bool) {
	var b []byte
	for i < end {
		p, n := cr.letterAt(i, from)
		if n == 0 {
			return "", false
		}
		b = append(b, p...)
		i += n
	}
	return string(b), i == end
}

// wholeWord reads what only a contracted code has at a place where a word may
// open: lower wordsigns and, in the older codes, joined words.
func (cr *chunkReader) wholeWord() bool {
	if !cr.open || cr.raw || cr.letters || cr.mode.grade1 {
		return false
	}
	if cr.t.older && cr.c[cr.i] == '9' && cr.joinedPrefix() || cr.lowerWord() {
		return true
	}
	return cr.t.older && (cr.joinedWords() || cr.joinedPrefix())
}

// lowerWord reads be, enough, were, his, in, was (UEB 10.5): alone between
// blanks, brackets or, for enough and in, hyphens.
func (cr *chunkReader) lowerWord() bool {
	c := cr.c[cr.i]
	if c >= 128 || cr.t.wordOf[c] == "" || c < '0' || c > '9' {
		return false
	}
	next, next2 := cr.peek(1), cr.peek(2)
	if c != '5' && c != '9' && !cr.lowerFree() {
		return false
	}
	alone := next == ' ' ||
		next == '"' && next2 == '>' || next == '.' && next2 == '>' || next == ',' && next2 == '\'' ||
		(next == '-' || next == ',' && next2 == '-' && !cr.t.older || next == '\'') && (c == '5' || c == '9') ||
		(c == '5' || c == '9') && cr.i+1 < len(cr.c) && cr.endsAlone(cr.i+1) ||
		cr.t.older && next == '7' && c != '7' && cr.endsAlone(cr.i+1) && cr.bracket
	if !alone {
		return false
	}
	cr.putWord(cr.t.wordOf[c], cr.i+1)
	return true
}

// lowerFree reports whether only capital signs and upper brackets stand before
// the current cell: be, were, his and was touch no lower sign.
func (cr *chunkReader) lowerFree() bool {
	for _, c := range cr.c[:cr.i] {
		if c != ',' && c != '"' && c != '.' && c != '<' {
			return false
		}
	}
	return true
}

// joinedWords reads and, for, of, the, with and a last "a" that are written as
// one word.
func (cr *chunkReader) joinedWords() bool {
	j := cr.i
	if cr.c[j] == 'a' {
		j++
	}
	first := j
	for j < len(cr.c) && joins(cr.c[j]) {
		j++
	}
	if j == first {
		return false
	}
	if j < len(cr.c) && cr.c[j] == 'a' {
		j++
	}
	more := j+1 < len(cr.c) && cr.c[j] == ',' && (joins(cr.c[j+1]) || cr.c[j+1] == 'a' || cr.c[j+1] == ',')
	if !more && (j-cr.i < 2 || !cr.endsAlone(j)) {
		return false
	}
	caps := cr.caps
	for cr.i < j {
		w := cr.t.wordOf[cr.c[cr.i]]
		if cr.c[cr.i] == 'a' {
			w = "a"
		}
		last := cr.i+1 == j
		cr.putLetters(w, 1)
		if !last || more {
			cr.out.add(" ", cr.i-1)
		}
	}
	cr.open, cr.start, cr.caps = more, more, capsNone
	if more && caps == capsWord {
		cr.caps = capsNone
	}
	return true
}

// joinedPrefix reads to, into, by against the next word (British Braille 2004,
// section 5; EBAE rule XI).
func (cr *chunkReader) joinedPrefix() bool {
	w, n := "", 1
	switch cr.c[cr.i] {
	case '6':
		w = "to"
	case '0':
		w = "by"
	case '9':
		if cr.peek(1) == '6' {
			w, n = "into", 2
		}
	}
	if w == "" || cr.i > 0 && cr.c[cr.i-1] == '-' && (cr.i < 2 || cr.c[cr.i-2] != '-') || !cr.wordFollows(cr.i+n) {
		return false
	}
	caps := cr.caps
	cr.putLetters(w, n)
	cr.out.add(" ", cr.i-1)
	cr.open, cr.start, cr.caps = true, true, capsNone
	if caps == capsWord {
		cr.caps = capsNone
	}
	return true
}

// wordFollows reports whether a word or number can start at j.
func (cr *chunkReader) wordFollows(j int) bool {
	if j >= len(cr.c) || cr.c[j] >= 128 {
		return false
	}
	switch c := cr.c[j]; c {
	case '6':
		return cr.c[j-1] == '0' && cr.letterCellAt(j+1-cr.i)
	case '#', ',', '"', '^', '_', '.', ';', '@':
		return j+1 < len(cr.c) && !(c == ',' && (cr.c[j+1] == '0' || cr.c[j+1] == '\''))
	case '8', '7', '\'':
		return j+1 < len(cr.c)
	case '1':
		return false
	case '0':
		return cr.c[j-1] == '6' && cr.letterCellAt(j+1-cr.i)
	case '-':
		return cr.lettersFollow(j+1) && j+1 < len(cr.c)
	default:
		if cr.t.letter[c] != "" {
			return true
		}
		return cr.t.any[c] != "" || cr.t.start[c] != "" && cr.lettersFollow(j+1)
	}
}
