package english

import (
	"strings"

	"continuo/internal/cell"
)

// number reads a number sign and what follows in numeric mode (UEB 6; British
// Braille 2004, section 4; EBAE rule IX). It reports false where the sign does
// not stand before a digit.
func (cr *chunkReader) number() bool {
	if !digitCell[cr.peek(1)] && !(cr.decimalSign(cr.peek(1)) && digitCell[cr.peek(2)]) {
		return false
	}
	if cr.v.Code == SEB && cr.i > 0 && digitCell[cr.c[cr.i-1]] && cr.digits {
		cr.out.add(":", cr.i) // hours and minutes
	}
	cr.i++
	for cr.i < len(cr.c) {
		c := cr.c[cr.i]
		if digitCell[c] {
			cr.put(string(digitOf(c)), 1)
			continue
		}
		s := cr.inNumber(c)
		if s == "" || !digitCell[cr.peek(1)] || s == "-" && !cr.digitsToEnd() {
			break
		}
		cr.put(s, 1)
	}
	cr.open, cr.start, cr.letters, cr.caps = false, false, false, capsNone
	cr.raw = !cr.t.older
	cr.digits = true
	cr.percent()
	if !cr.t.older {
		cr.level(0)
	}
	return true
}

// digitsToEnd reports whether the cells after a hyphen in a number are digits
// up to punctuation.
func (cr *chunkReader) digitsToEnd() bool {
	j := cr.i + 1
	for j < len(cr.c) && (digitCell[cr.c[j]] || cr.c[j] == '/' && j+1 < len(cr.c) && digitCell[cr.c[j+1]]) {
		j++
	}
	return j == len(cr.c) || !letterCell[cr.c[j]]
}

func digitOf(c byte) byte {
	if c == 'j' {
		return '0'
	}
	return c - 'a' + '1'
}

func (cr *chunkReader) decimalSign(c byte) bool {
	switch cr.v.Code {
	case SEB:
		return c == '1' || c == '4'
	case EBAE:
		return c == '.'
	}
	return c == '4'
}

// inNumber returns the print of a sign between two digits, "" for none.
func (cr *chunkReader) inNumber(c byte) string {
	if cr.decimalSign(c) {
		return "."
	}
	switch cr.v.Code {
	case UEB:
		switch c {
		case '1':
			return ","
		case '"':
			return " "
		case '/':
			return "/"
		}
	case SEB:
		if c == '\'' {
			return ","
		}
	case EBAE:
		switch c {
		case '1':
			return ","
		case '3':
			return ":"
		case '-', '/':
			return string(c)
		}
	}
	return ""
}

// percent reads the older percent sign, which is letters after a number.
func (cr *chunkReader) percent() {
	if !cr.t.older {
		return
	}
	rest := string(cr.c[cr.i:])
	if strings.HasPrefix(rest, "3p") && !letterCell[cr.peek(2)] {
		cr.closing("%", 2)
	} else if strings.HasPrefix(rest, "@3p") {
		cr.closing("%", 3)
	}
}

// indicator reads capital, grade 1, letter and typeform indicators, and the
// ends and starts of other codes. They make no print but change what follows.
func (cr *chunkReader) indicator() bool {
	next, next2 := cr.peek(1), cr.peek(2)
	switch cr.c[cr.i] {
	case ',':
		if cr.t.contracted && cr.open && cr.t.older && next == '0' && cr.letterCellAt(2) {
			cr.caps = capsNext // By, joined
			cr.i++
			return true
		}
		if cr.t.contracted && cr.open && (next == '7' || next == '8' || next == '0') && next2 == ' ' {
			cr.caps = capsNext // Were, His, Was
			cr.i++
			return true
		}
		return cr.capital(next, next2)
	case ';':
		return cr.gradeOne(next, next2)
	case '.', '^', '_', '@':
		return cr.typeform(next, next2)
	}
	return false
}

// letterCellAt reports whether the cell k after the current one can start
// letters.
func (cr *chunkReader) letterCellAt(k int) bool {
	c := cr.peek(k)
	if c == '2' || c == '3' || c == '4' || c == '5' || c == '9' || c == '6' {
		return letterCell[cr.peek(k+1)]
	}
	return letterCell[c] || (c == ';' || c == '#' || c == '.') && cr.peek(k+1) != ' ' || (c == '"' || c == '^' || c == '_' || c == ',') && cr.peek(k+1) != ' '
}

func (cr *chunkReader) capital(next, next2 byte) bool {
	if cr.t.older {
		switch next {
		case ' ', '7', '8', '0':
			return false
		case '\'':
			if cr.i > 0 && !cr.open { // EBAE: capitals end within a word
				cr.caps = capsNone
				cr.i += 2
				return true
			}
			if letterCell[next2] && cr.open && cr.t.letter[next2] != "" && cr.i+3 < len(cr.c) && cr.c[len(cr.c)-1] != '\'' {
				break // a capital after an apostrophe: 'Tis
			}
			return false
		}
	} else {
		switch next {
		case ' ', '-', '8', '0', '7':
			return false
		case '\'':
			cr.caps, cr.mode.caps = capsNone, false
			if cr.open && cr.t.letter[next2] != "" && len(cr.c) > cr.i+2 {
				cr.i++ // a capital after an apostrophe: 'Tis
				cr.caps = capsNext
				return true
			}
			cr.i += 2
			return true
		}
	}
	switch {
	case next == ',' && next2 == ',' && !cr.t.older:
		cr.mode.caps = true
		cr.i += 3
	case next == ',':
		cr.caps = capsWord
		cr.i += 2
	default:
		cr.caps = capsNext
		cr.i++
	}
	return true
}

// gradeOne reads the grade 1 indicators of UEB (5.2 to 5.5), the letter sign
// of the older codes.
func (cr *chunkReader) gradeOne(next, next2 byte) bool {
	if cr.t.older {
		cr.letters = true
		cr.i++
		return true
	}
	switch {
	case next == '\'':
		cr.mode.grade1, cr.raw = false, false
		cr.i += 2
	case next == ';' && next2 == ';':
		cr.mode.grade1 = true
		cr.i += 3
	case next == ';':
		cr.raw = true
		cr.i += 2
	case cr.level(1):
	default:
		cr.letters, cr.raw = true, false
		cr.i++
	}
	return true
}

// Digits and signs above and below the line.
var (
	raised  = strings.NewReplacer("0", "⁰", "1", "¹", "2", "²", "3", "³", "4", "⁴", "5", "⁵", "6", "⁶", "7", "⁷", "8", "⁸", "9", "⁹")
	lowered = strings.NewReplacer("0", "₀", "1", "₁", "2", "₂", "3", "₃", "4", "₄", "5", "₅", "6", "₆", "7", "₇", "8", "₈", "9", "₉")
)

// level reads a number above or below the line, such as the reference of a
// note: 35 or 26, number sign, digits (UEB 3.24). The first of these cells
// stands k after the current one: after a grade 1 indicator, or 0 after digits,
// which make grade 1 themselves.
func (cr *chunkReader) level(k int) bool {
	shift := map[byte]*strings.Replacer{'9': raised, '5': lowered}[cr.peek(k)]
	if shift == nil || cr.peek(k+1) != '#' || !digitCell[cr.peek(k+2)] {
		return false
	}
	var digits []byte
	for k += 2; digitCell[cr.peek(k)]; k++ {
		digits = append(digits, digitOf(cr.peek(k)))
	}
	cr.closing(shift.Replace(string(digits)), k)
	return true
}

// typeform reads typeform indicators (UEB 9; the older italic sign) and the
// starts of passages in other codes.
func (cr *chunkReader) typeform(next, next2 byte) bool {
	c := cr.c[cr.i]
	if c == '_' && (next == '%' && !cr.t.older || next == '+' && cr.t.older) {
		cr.mode.island = ':'
		cr.put(IslandOpen, 2)
		return true
	}
	if c == '@' && next == '.' && (next2 == '<' || next2 == '>') {
		return false // note brackets
	}
	if cr.t.older {
		if c != '.' || !cr.open || next == ' ' || next == '.' && (next2 == ' ' || next2 == '.') {
			return false
		}
		cr.i++
		return true
	}
	if next == '\'' || cr.open && (next == '1' || next == '2' || next == '7') {
		cr.i += 2
		return true
	}
	if next == '1' || next == '2' || next == '7' {
		if cr.t.letter[next2] != "" || next2 == ',' { // within a word: UEB 9.2
			cr.i += 2
			return true
		}
	}
	return false
}

// punctuation reads punctuation and other signs.
func (cr *chunkReader) punctuation() bool {
	if cr.longSign() {
		return true
	}
	switch cr.c[cr.i] {
	case '1':
		cr.closing(",", 1)
	case '2':
		cr.closing(";", 1)
	case '3':
		cr.closing(":", 1)
	case '4':
		cr.closing(".", 1)
	case '6':
		cr.closing("!", 1)
	case '8':
		cr.quoteOrQuestion()
	case '0':
		cr.closing("”", 1)
	case '7':
		return cr.olderBracket()
	case '\'':
		cr.apostrophe()
	case '?', '/':
		// liblouis' uncontracted EBAE has th and st after numbers
		if cr.t.contracted || !cr.t.older || cr.i == 0 || !digitCell[cr.c[cr.i-1]] {
			return false
		}
		cr.closing(map[byte]string{'?': "th", '/': "st"}[cr.c[cr.i]], 1)
	case '-':
		cr.start = false
		cr.breaking("-", 1)
	case '.':
		if !cr.t.older || cr.t.contracted || cr.open {
			return false
		}
		cr.closing(".", 1)
	default:
		return false
	}
	return true
}

func (cr *chunkReader) quoteOrQuestion() {
	opens := cr.open
	if cr.i > 0 && cr.c[cr.i-1] >= '1' && cr.c[cr.i-1] <= '4' {
		opens = true // no question mark follows a comma or colon
	}
	if opens && (!cr.endsChunk(cr.i+1) || hasPrefix(cr.c[cr.i+1:], "444") || hasPrefix(cr.c[cr.i+1:], "'''")) {
		cr.opening("“", 1)
		return
	}
	cr.closing("?", 1)
}

// endsChunk reports whether only closing signs stand from j to the chunk's end.
func (cr *chunkReader) endsChunk(j int) bool {
	for j < len(cr.c) {
		n := cr.closingSign(j)
		if n == 0 || cr.c[j] == '-' || cr.c[j] == '8' || cr.c[j] == '\'' && j+1 < len(cr.c) {
			return false
		}
		j += n
	}
	return true
}

// olderBracket reads 2356, which opens and closes round brackets.
func (cr *chunkReader) olderBracket() bool {
	if !cr.t.older {
		return false
	}
	opens := cr.open && !cr.endsChunk(cr.i+1)
	if !opens && !cr.bracket && (letterCell[cr.peek(1)] || cr.peek(1) == ';' || cr.peek(1) == '#') {
		for _, c := range cr.c[cr.i+1:] { // within a word: word(s)
			opens = opens || c == '7'
		}
	}
	cr.bracket = opens
	if opens {
		cr.opening("(", 1)
	} else {
		cr.closing(")", 1)
		cr.open = cr.peek(0) == ','
	}
	return true
}

func (cr *chunkReader) apostrophe() {
	open := cr.open
	cr.put("'", 1)
	cr.open, cr.start = open, false
}

// olderSigns and uebSigns are signs of two cells or more, the longest first.
// An o marks signs that open a word or after which one may open.
var (
	olderSigns = []string{
		"'''=...", "@&=&", "@.<=‹o", "@.>=›", "----=———o", "--=—o", ",8=‘o", "0'=’", ",0=’", ",7=[o", "7'=]", "99=*", "_/=/o", ",'=›",
	}
	uebSigns = []string{
		"@.<=‹o", "@.>=›", "\",-=——o", ",-=—o", "\"<=(o", "\">=)", ".<=[o", ".>=]", "_<={o", "_>=}", ",8=‘o", ",0=’", "^8=“o", "^0=”",
		"_/=/", "_*=\\o", "\"9=*", "\"6=+", "\"-=−", "\"8=×", "\"7==", "\"/=÷", ".0=%", "@s=$", "@l=£", "@e=€", "@c=¢", "@y=¥",
		"@a=@", "@&=&", "@<=<", "@>=>", "@9=~", "@5=^", "_?=#", "_4=•", "^j=°", "^c=©o", "^r=®", "^t=™", "^s=§", "^p=¶", "_\\=|o", "7=′", "\"1=〃",
	}
)

// longSign reads a sign of several cells.
func (cr *chunkReader) longSign() bool {
	list := uebSigns
	if cr.t.older {
		list = olderSigns
	}
	rest := cr.c[cr.i:]
	for _, l := range list {
		if l[0] != rest[0] {
			continue
		}
		k := strings.IndexByte(l[1:], '=') + 1
		if k < 2 || !hasPrefix(rest, l[:k]) {
			continue
		}
		print := l[k+1:]
		dash := strings.HasPrefix(print, "—")
		cr.start = dash || cr.start && strings.HasSuffix(print, "o")
		if dash {
			cr.breaking(strings.TrimSuffix(print, "o"), k)
		} else if print != "o" && strings.HasSuffix(print, "o") {
			cr.opening(strings.TrimSuffix(print, "o"), k)
		} else {
			cr.closing(print, k)
		}
		return true
	}
	return cr.accent()
}

// money reads the older pound and dollar signs, and the percent sign that
// stands by itself.
func (cr *chunkReader) money() bool {
	switch c := cr.c[cr.i]; {
	case cr.caps != capsNone:
		return false
	case c == '4' && cr.peek(1) == '#':
		cr.opening("$", 1)
	case c == 'l' && cr.peek(1) == '#' && digitCell[cr.peek(2)]:
		cr.opening("£", 1)
	case c == '3' && cr.peek(1) == 'p' && cr.endsAlone(cr.i+2):
		cr.closing("%", 2)
	default:
		return false
	}
	return true
}

// accents maps the second cell of a UEB accent (4.2) to the letters it can
// stand on and the accented letters.
var accents = map[string][2]string{
	"^/": {"aeiouyclnrsz", "áéíóúýćĺńŕśź"},
	"^*": {"aeiou", "àèìòù"},
	"^%": {"aeiouycghjsw", "âêîôûŷĉĝĥĵŝŵ"},
	"^3": {"aeiouy", "äëïöüÿ"},
	"^]": {"anoiu", "ãñõĩũ"},
	"^&": {"cst", "çşţ"},
	"^$": {"au", "åů"},
	"@-": {"aeiouy", "āēīōūȳ"},
	"@+": {"aeiougn", "ăĕĭŏŭğň"},
	"^+": {"cszrnedt", "čšžřňěďť"},
	"@*": {"ol", "øł"},
}

// accent reads an accented letter: in UEB with its own sign, in the older codes
// one sign for all, which is passed as the letter alone.
func (cr *chunkReader) accent() bool {
	if cr.t.older {
		if cr.c[cr.i] == '@' && cr.peek(1) >= 'a' && cr.peek(1) <= 'z' {
			cr.i++
			cr.putLetters(string(cr.c[cr.i:cr.i+1]), 1)
			cr.open, cr.start = false, false
			return true
		}
		if cr.c[cr.i] == '@' && cr.i+1 < len(cr.c) && cr.c[cr.i+1] != '@' {
			cr.i++ // EBAE: a punctuation sign that stands by itself
			return true
		}
		return false
	}
	if cr.ligature() {
		return true
	}
	if c := cr.peek(2); cr.i+2 < len(cr.c) && c >= 'a' && c <= 'z' {
		a, ok := accents[string(cr.c[cr.i:cr.i+2])]
		if k := strings.IndexByte(a[0], c); ok && k >= 0 {
			s := string([]rune(a[1])[k])
			if cr.mode.caps || cr.caps != capsNone {
				s = strings.ToUpper(s)
			}
			if cr.caps == capsNext {
				cr.caps = capsNone
			}
			cr.put(s, 3)
			cr.open, cr.start = false, false
			return true
		}
	}
	return cr.greek()
}

// ligature reads the UEB ligature sign 45 235 between a or o and e (4.3).
func (cr *chunkReader) ligature() bool {
	n := len(cr.out.b)
	if !hasPrefix(cr.c[cr.i:], "^6e") || n == 0 || cr.i == 0 {
		return false
	}
	joined, ok := map[byte]string{'a': "æ", 'o': "œ", 'A': "Æ", 'O': "Œ"}[cr.out.b[n-1]]
	if !ok {
		return false
	}
	cr.out.b = cr.out.b[:n-1]
	if k := len(cr.out.at); k > 0 {
		cr.out.at = cr.out.at[:k-1]
	}
	cr.put(joined, 3)
	cr.open, cr.start = false, false
	return true
}

const greekLetters = "abgdezhqiklmnxoprstufcyw"

// greek reads a Greek letter of UEB (4.5).
func (cr *chunkReader) greek() bool {
	if cr.c[cr.i] != '.' || !cr.open {
		return false
	}
	k := strings.IndexByte(greekLetters, cr.peek(1))
	if k < 0 || !cell.Is(cr.peek(1)) {
		return false
	}
	s := string([]rune("αβγδεζηθικλμνξοπρστυφχψω")[k])
	if cr.caps != capsNone || cr.mode.caps {
		s = strings.ToUpper(s)
	}
	cr.put(s, 2)
	cr.open, cr.start, cr.caps = false, false, capsNone
	return true
}
