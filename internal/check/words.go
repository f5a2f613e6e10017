package check

import (
	"bytes"
	"strings"

	"continuo/internal/cell"
)

// bare is a word without its capital, letter and type form signs and without
// punctuation at its end, so that likeness does not hang on them. Dots 26 and
// 35 at the end stay: they are the groupsigns en and in.
func bare(tok []byte) []byte {
	if n := len(tok); n > 1 && tok[n-1] == '>' { // the end of a transcriber's note
		for _, note := range [...]string{"@.>", ".>", "\">"} {
			tok = bytes.TrimSuffix(tok, []byte(note))
		}
	}
	if len(tok) > 1 && (tok[1] == '<' || tok[1] == '.') {
		for _, note := range [...]string{"@.<", ".<", "\"<"} {
			tok = bytes.TrimPrefix(tok, []byte(note))
		}
	}
	tok = trimRight(trimLeft(tok, &leftOfWord), &rightOfWord)
	at := 0
	for at < len(tok) && !signCell[tok[at]] {
		at++
	}
	if at == len(tok) {
		return tok
	}
	out := append(make([]byte, 0, len(tok)), tok[:at]...)
	for _, c := range tok[at:] {
		if !signCell[c] {
			out = append(out, c)
		}
	}
	return trimRight(out, &pointsOfWord)
}

// Cells that bare takes off: from the left, from the right, from inside, and
// from the right when the inside is clean.
var (
	leftOfWord   = cells(signs + "78")
	rightOfWord  = cells("1234678-0'")
	signCell     = cells(signs)
	pointsOfWord = cells("1234678-0")
)

func cells(list string) (set [256]bool) {
	for i := range len(list) {
		set[list[i]] = true
	}
	return set
}

func trimLeft(t []byte, set *[256]bool) []byte {
	for len(t) > 0 && set[t[0]] {
		t = t[1:]
	}
	return t
}

func trimRight(t []byte, set *[256]bool) []byte {
	for len(t) > 0 && set[t[len(t)-1]] {
		t = t[:len(t)-1]
	}
	return t
}

// signs are cells that bare takes out of a word.
const signs = ",;._\"^@'"

// words are the bare words of a text; those of punctuation only are left out.
func words(text []byte) [][]byte { return appendWords(make([][]byte, 0, 8), text) }

// appendWords appends the bare words of a text to out.
func appendWords(out [][]byte, text []byte) [][]byte {
	for len(text) > 0 {
		var tok []byte
		if tok, text = cutToken(text); len(tok) == 0 {
			break
		}
		if w := bare(tok); len(w) > 0 {
			out = append(out, w)
		}
	}
	return out
}

// cutToken takes the first run of cells that are not blank off text.
func cutToken(text []byte) (tok, rest []byte) {
	i := 0
	for i < len(text) && text[i] == cell.Blank {
		i++
	}
	j := i
	for j < len(text) && text[j] != cell.Blank {
		j++
	}
	return text[i:j], text[j:]
}

// lastTokens are the last two runs of cells that are not blank, and how many
// blanks part them; before is empty when there is one only.
func lastTokens(text []byte) (before, last []byte, gap int) {
	text = bytes.TrimRight(text, " ")
	i := bytes.LastIndexByte(text, cell.Blank)
	last = text[i+1:]
	if i < 0 {
		return nil, last, 0
	}
	rest := bytes.TrimRight(text[:i], " ")
	return rest[bytes.LastIndexByte(rest, cell.Blank)+1:], last, len(text) - len(last) - len(rest)
}

// The structure words of English braille, uncontracted and as the contracted
// codes write them (Rules of Unified English Braille 2013, section 10; English
// Braille American Edition 1994, rules X-XII), after bare.
var (
	volumeWords    = set("volume volumes vol vols part parts p>t p>ts tome band deel tomo")
	bookWords      = set("book books bk pt") // of volumes that are called so; "part" is among the words for volumes
	pageWords      = set("page pages pp pg pgs")
	contentWords   = set("contents 3t5ts contentscontinued 3t5t 3t")
	editionWords   = set("brl braille edition $in edin")
	endWords       = set("end 5d ends 5ds ended 5d$ continued continues 3t9u$ 3t9ues 3t9$ 3cludes 3clud$ concluded concludes finis")
	goesOnWords    = set("turn go g continued continues 3t9u$ 3t9ues 3t9$ 3cludes 3clud$ concluded concludes")
	continuedWords = set("continued cont contd 3t9u$ 3t 3td")
	numberWords    = set("one o two three ?ree four f\\r five six seven sev5 eight ei<t nine n9e ten t5 eleven elev5 twelve first f/ second sec third ?ird fourth f\\r? fifth fif? sixth six? last la/ i ii iii iv v vi vii viii ix x xi xii")
	linkWords      = set("& and to 6 of ( ! the (! in 9 bound b.d bd out each ea* no nos numbers numb]s number numb] braille brl print pr9t pr supplement supple;t supplet complete -plete")
)

func set(list string) map[string]bool {
	m := map[string]bool{}
	for _, w := range bytes.Fields([]byte(list)) {
		m[string(w)] = true
	}
	return m
}

// has tells whether one of the words of text is in the set.
func has(ws [][]byte, in map[string]bool) bool {
	for _, w := range ws {
		if in[string(w)] {
			return true
		}
	}
	return false
}

// mayBeLabel is a quick test that holds for every page label of a number or a roman number.
func mayBeLabel(tok []byte) bool {
	for _, c := range tok {
		switch {
		case c == '#':
			return true
		case c >= 'a' && c <= 'z' && strings.IndexByte("ivxlcdm", c) < 0:
			return bytes.IndexByte(tok, '#') >= 0
		}
	}
	return true
}

// isLabel tells whether a token is a page label, also within brackets or with
// punctuation after it.
func isLabel(tok []byte) bool {
	if _, ok := cell.ParseLabel(tok); ok {
		return true
	}
	tok = bytes.TrimRight(bytes.TrimLeft(tok, "7\"<.(,;_"), "124678\">)'_.")
	_, ok := cell.ParseLabel(tok)
	return ok
}

// onlyNumbers tells whether text is labels, number words and the small words
// between them, with one number at least; more are number words of another
// language.
func onlyNumbers(text []byte, more map[string]bool) bool {
	found := false
	for _, f := range cell.Fields(text) {
		tok := text[f[0]:f[1]]
		w := string(bare(tok))
		switch {
		case isLabel(tok) || numberWords[w] || more[w]:
			found = true
		case w == "" || linkWords[w]:
		default:
			return false
		}
	}
	return found
}

// namesVolume tells whether text is a statement of volumes or pages on its
// face.
func (v *verifier) namesVolume(text []byte) bool {
	ws := words(text)
	return has(ws, volumeWords) || has(ws, pageWords) || v.more.names(text, NamesVolume, NamesPages) || onlyNumbers(text, v.more.numbers) && !markedTurn(text)
}

// namesPart tells whether text has a word that volumes are called by: "book 2 of 3". Dot
// 5, p is "part" in the contracted codes (Rules of Unified English Braille 2013, 10.7; English
// Braille American Edition 1994, rule XIII).
func namesPart(text []byte) bool {
	ws := words(text)
	if has(ws, volumeWords) || has(ws, bookWords) {
		return true
	}
	for _, x := range cell.Fields(text) {
		if string(bytes.TrimLeft(text[x[0]:x[1]], ",._;7")) == "\"p" {
			return true
		}
	}
	return false
}

// framing tells whether text is a row that can frame something: one cell, or
// one group of cells, three times or more.
func framing(text []byte) bool {
	if _, ok := oneCell(text); ok {
		return true
	}
	fs := cell.Fields(text)
	for _, f := range fs[1:] {
		if !bytes.Equal(text[f[0]:f[1]], text[fs[0][0]:fs[0][1]]) {
			return false
		}
	}
	return len(fs) > 2
}

// onlyLabels tells whether text is page labels and nothing else.
func onlyLabels(text []byte) bool {
	for _, f := range cell.Fields(text) {
		if !isLabel(text[f[0]:f[1]]) {
			return false
		}
	}
	return true
}

// oneCell tells whether text is one cell repeated three times or more, blanks
// apart; a dot 5 or another sign before the row is allowed.
func oneCell(text []byte) (byte, bool) {
	t := bytes.ReplaceAll(text, []byte{cell.Blank}, nil)
	if len(t) > 3 && t[0] != t[1] {
		t = t[1:]
	}
	if len(t) < 3 || len(bytes.Trim(t, string(t[:1]))) > 0 {
		return 0, false
	}
	return t[0], true
}

// edges takes the page labels off both edges of a line: what is left, how many
// labels there were, and whether the words left are set off from every label
// by two blanks or more.
func edges(text []byte) (rest []byte, labels [][]byte, apart bool) {
	fs := cell.Fields(text)
	from, to := 0, len(fs)
	tok := func(i int) []byte { return text[fs[i][0]:fs[i][1]] }
	for n := 0; from < to && n < 2 && isLabel(tok(from)); n++ {
		labels = append(labels, tok(from))
		from++
	}
	for n := 0; from < to && n < 2 && isLabel(tok(to-1)); n++ {
		labels = append(labels, tok(to-1))
		to--
	}
	if from == to {
		return nil, labels, true
	}
	if near := from > 0 && fs[from][0]-fs[from-1][1] < 2; near && (from == 2 || to < len(fs)) { // the words begin with a number of their own
		labels = append(labels[:from-1], labels[from:]...)
		from--
	}
	if to == len(fs)-2 && fs[to][0]-fs[to-1][1] < 2 {
		labels = labels[:len(labels)-1]
		to++
	}
	apart = len(labels) > 0
	if from > 0 && fs[from][0]-fs[from-1][1] < 2 || to < len(fs) && fs[to][0]-fs[to-1][1] < 2 {
		apart = false
	}
	return text[fs[from][0]:fs[to-1][1]], labels, apart
}

// turnLabel is the label of a print page turn: of `"3#ab`, `"3 #ab`,
// `-----#ab` or a label alone; nil when there is none.
func turnLabel(text []byte) []byte {
	fs := cell.Fields(text)
	if len(fs) == 0 {
		return nil
	}
	tok := text[fs[len(fs)-1][0]:fs[len(fs)-1][1]]
	t := bytes.TrimLeft(tok, "-")
	t = bytes.TrimPrefix(t, []byte(`"3`))
	if _, ok := cell.ParseLabel(t); !ok || len(t) == 0 {
		return nil
	}
	return t
}

// markedTurn is onlyTurn without a label alone.
func markedTurn(text []byte) bool {
	t := bytes.TrimLeft(text, " ")
	return onlyTurn(text) && (t[0] == '-' || t[0] == '"')
}

// onlyTurn tells whether text is a print page turn and nothing else.
func onlyTurn(text []byte) bool {
	fs := cell.Fields(text)
	if len(fs) == 0 || len(fs) > 2 || turnLabel(text) == nil {
		return false
	}
	return len(fs) == 1 || len(bytes.Trim(text[fs[0][0]:fs[0][1]], `-"3`)) == 0
}
