package english

import (
	"bytes"
	"slices"
	"strings"
	"unicode/utf8"
)

// Vocabulary is what a book's own words say about words divided at line ends:
// how often each form stands in it undivided. The zero value is ready. It is
// for one goroutine.
type Vocabulary struct {
	tokens wordCount // as they stand, to be added to cells
	cells  wordCount // by cells without capitals and punctuation
	print  wordCount // by print, made when first asked for
	heads  wordCount // first parts of words with a hyphen, by print
	of     Variant   // what print was read with
	read   bool      // print is that of cells
	reader *Reader
}

// Rejoin is what happens to the hyphen at a line end.
type Rejoin int

// The two ways.
const (
	KeepHyphen Rejoin = iota
	DropHyphen
)

// Joined is the decision about one word divided at a line end.
type Joined struct {
	Rejoin     Rejoin
	DropHyphen bool    // Rejoin is DropHyphen
	Cells      []byte  // the whole word with what stands around it: contracted anew where that is sure, else Plain
	Plain      []byte  // the two parts put together, with the hyphen when it stays
	Reason     string  // short: what decided
	Confidence float64 // 0.5 to 1: that the hyphen is treated rightly
}

// Add counts one undivided word of the book, with its punctuation.
func (v *Vocabulary) Add(token []byte) { v.tokens.add(token, 1) }

// settle takes the tokens added since the last time into the words, each but
// once however often it stands in the book.
func (v *Vocabulary) settle() {
	if v.tokens.n == 0 {
		return
	}
	for token, n := range v.tokens.all() {
		w, _, _ := core(token)
		if len(w) == 0 {
			continue
		}
		v.count(w, n)
		switch { // older codes: to, into, by against the word
		case len(w) > 2 && w[0] == '9' && w[1] == '6':
			v.count(w[2:], n)
		case len(w) > 1 && (w[0] == '6' || w[0] == '0'):
			v.count(w[1:], n)
		}
	}
	v.tokens, v.read = wordCount{}, false
}

func (v *Vocabulary) count(w []byte, n int32) {
	var buf [48]byte
	v.cells.add(withoutSigns(w, &buf), n)
}

// withoutSigns is a word without the indicators within it, in buf where it has any.
func withoutSigns(w []byte, buf *[48]byte) []byte {
	if len(w) <= len(buf) && mayHaveIndicator(w) {
		w = AppendStrip(buf[:0], w)
	}
	return w
}

// seen returns how often the cells stand in the book as a word.
func (v *Vocabulary) seen(cells string) int32 { return v.cells.get(cells) }

// Seen reports whether a word was counted, with any punctuation and capitals.
func (v *Vocabulary) Seen(token []byte) bool {
	v.settle()
	w, _, _ := core(token)
	var buf [48]byte
	return v.seen(string(withoutSigns(w, &buf))) > 0
}

// aroundWord marks cells of punctuation that are taken off the end of a word.
var aroundWord = cellSet("12346780'")

// core cuts a token into what stands before the word, the word without its
// capital signs, and what stands after it.
func core(token []byte) (word, before, after []byte) {
	i, j := 0, len(token)
	for j > i && aroundWord[token[j-1]] {
		j--
	}
	if j-i >= 2 && token[j-1] == '>' && (token[j-2] == '"' || token[j-2] == '.') {
		j -= 2
	}
	for j > i && aroundWord[token[j-1]] {
		j--
	}
	for i < j {
		n := 0
		if indicatorCell[token[i]] {
			n = indicatorAt(token[:j], i, true)
		}
		if n == 0 && (token[i] == '8' || token[i] == '7') && i+1 < j {
			n = 1
		}
		if n == 0 && i+2 < j && (token[i] == '"' || token[i] == '.') && token[i+1] == '<' {
			n = 2
		}
		if n == 0 {
			break
		}
		i += n
	}
	return token[i:j], token[:i], token[j:]
}

// Join decides about a word divided at a line end: first ends in the hyphen,
// second is the word that opens the next line. The book's own words decide
// first; then the parts are read and the word is written anew; unsure, the
// hyphen stays.
func (v *Vocabulary) Join(first, second []byte, variant Variant) Joined {
	return v.JoinWithin(first, second, variant, 0)
}

// JoinWithin is Join for a line that had room for so many cells more than first.
func (v *Vocabulary) JoinWithin(first, second []byte, variant Variant, room int) Joined {
	j, _ := v.join(first, second, variant, room)
	return j
}

// join is JoinWithin, with the parts as they were read, if they had to be.
func (v *Vocabulary) join(first, second []byte, variant Variant, room int) (Joined, parts) {
	if len(first) < 2 || first[len(first)-1] != '-' || len(second) == 0 {
		return keep(first, second, "no hyphen between two parts", 1), parts{}
	}
	if c := first[len(first)-2]; c == '-' || c == ',' {
		return keep(first, second, "a dash, no hyphen", 1), parts{}
	}
	if second[0] == ',' || second[0] == '#' || digitEnd(first) {
		return keep(first, second, "a capital or a number at the hyphen", 0.99), parts{}
	}
	v.Prepare(variant)
	h := v.halves(first, second, variant)
	h.room = max(room, 0)
	if len(h.head) == 2 && h.head[0] == ';' {
		return keep(first, second, "the first part is a letter by itself, with its sign", 0.95), h
	}
	if j, ok := v.byBook(h); ok {
		return j, h
	}
	return v.byReading(h), h
}

// Divides reports whether only a division explains the hyphen between the two
// parts: they read as one word, and one of them at least is no word of the book
// nor looks like one.
func (v *Vocabulary) Divides(first, second []byte, variant Variant) bool {
	j, h := v.join(first, second, variant, 0)
	if !j.DropHyphen || j.Confidence < 0.95 {
		return false
	}
	return v.print.get(h.headPrint) == 0 || v.print.get(h.tailPrint) == 0
}

func keep(first, second []byte, reason string, confidence float64) Joined {
	plain := append(append([]byte{}, first...), second...)
	return Joined{Cells: plain, Plain: plain, Reason: reason, Confidence: confidence}
}

func digitEnd(first []byte) bool {
	w := first[:len(first)-1]
	i := bytes.LastIndexByte(w, '#')
	if i < 0 || i+1 == len(w) {
		return false
	}
	for _, c := range w[i+1:] {
		if !digitCell[c] {
			return false
		}
	}
	return true
}

// parts is a divided word taken apart.
type parts struct {
	first, second         []byte // as given
	before, after         []byte // what stands around the word
	head, tail            []byte // the word's cells
	headPrint, tailPrint  string // read as parts of a word
	joinPrint             string // the plain join read as one word
	written               string // the word written anew, without capitals; "" when it cannot be
	wordsign              bool   // a part is a wordsign or shortform, which a part of a divided word is not
	contracted, hyphenEnd bool
	room                  int // cells that the line has left
}

// halves reads both parts.
func (v *Vocabulary) halves(first, second []byte, variant Variant) parts {
	h := parts{first: first, second: second, contracted: variant.Contracted}
	cut := first[:len(first)-1]
	h.head, h.before, _ = core(cut)
	if n := len(h.before) + len(h.head); n < len(cut) { // a part may end in a lower sign
		h.head = cut[len(h.before):]
	}
	h.tail, _, h.after = core(second)
	if n := len(second) - len(h.after) - len(h.tail); n > 0 {
		h.tail = second[:n+len(h.tail)]
	}
	r := v.reader
	h.headPrint = strings.ToLower(r.part(h.head, true))
	h.tailPrint = strings.ToLower(r.part(h.tail, false))
	joined := append(append([]byte{}, h.head...), h.tail...)
	h.joinPrint = strings.ToLower(r.token(joined))
	h.wordsign = r.t.ownWord(h.head) || r.t.ownWord(h.tail)
	word := h.headPrint + h.tailPrint
	if !lettersOf(word) {
		word = h.joinPrint
	}
	if lettersOf(word) {
		h.written = word
		if variant.Contracted {
			h.written = v.reader.t.signs.word(word)
			if strings.ToLower(r.token([]byte(h.written))) != word {
				h.written = ""
			}
		}
	}
	return h
}

func lettersOf(s string) bool {
	for i := 0; i < len(s); i++ {
		if s[i] < 'a' || s[i] > 'z' {
			return false
		}
	}
	return s != ""
}

// ownWord reports whether cells are a wordsign or shortform that no part of a
// divided word looks like: one letter, or letters without a vowel.
func (t *readTable) ownWord(c []byte) bool {
	if !t.contracted || len(c) == 0 {
		return false
	}
	if len(c) == 1 {
		return c[0] >= 'a' && c[0] <= 'z' && t.wordOf[c[0]] != ""
	}
	if _, ok := t.signs.shortOf[string(c)]; !ok {
		return false
	}
	for _, x := range c {
		if x < 'a' || x > 'z' || isVowel(x) {
			return false
		}
	}
	return true
}

// part reads cells as one part of a divided word: no wordsign or shortform. (No
// word divides within cc or bb, so 25 and 23 open a second part as con and be.)
func (r *Reader) part(c []byte, first bool) string {
	r.out, r.mode = output{b: r.out.b[:0]}, modes{}
	cr := chunkReader{Reader: r, c: c, open: true, start: true, letters: true, half: true, partial: first}
	for cr.i < len(c) {
		cr.step()
	}
	r.mode = modes{}
	return string(r.out.b)
}

// token reads cells as one token, and remembers nothing of it.
func (r *Reader) token(c []byte) string { return string(r.tokenPrint(c)) }

// tokenPrint is token; its bytes are those of the next one afterwards.
func (r *Reader) tokenPrint(c []byte) []byte {
	r.out, r.mode = output{b: r.out.b[:0]}, modes{}
	r.readChunk(c)
	r.mode = modes{}
	return r.out.b
}

// byBook decides by the forms that the book has undivided.
func (v *Vocabulary) byBook(h parts) (Joined, bool) {
	plain := string(h.head) + string(h.tail)
	nPlain, nWritten := v.seen(plain), int32(0)
	if h.written != "" && h.written != plain {
		nWritten = v.seen(h.written)
	}
	hyphened := v.seen(string(h.head) + "-" + string(h.tail))
	if hw := h.headPrint + "-" + h.tailPrint; hyphened == 0 {
		hyphened = v.print.get(hw)
	}
	joined := nPlain + nWritten
	if joined == 0 && h.written != "" {
		joined = v.print.get(h.headPrint + h.tailPrint)
	}
	switch {
	case joined == 0 && hyphened == 0:
		return Joined{}, false
	case hyphened > 0 && nWritten > nPlain && h.contracted && v.reader.t.signs.short[h.headPrint+h.tailPrint] != "":
		return keep(h.first, h.second, "the book has the word with its hyphen, and a shortform is not divided", 0.95), true
	case joined > hyphened && nWritten > nPlain && h.needless():
		return keep(h.first, h.second, "the book has the word undivided, but so short that nobody divides it", 0.7), true
	case joined > hyphened:
		return h.drop("the book has the word undivided", sure(joined, hyphened), nPlain > nWritten), true
	case hyphened > joined:
		return keep(h.first, h.second, "the book has the word with its hyphen", sure(hyphened, joined)), true
	}
	return keep(h.first, h.second, "the book has the word both ways", 0.5), true
}

// needless reports whether the whole word, with what stands around it, is no longer
// than its first part with the hyphen and the room after it: it had room on the line, so
// the hyphen is the word's own ("to-morrow", where "tomorrow" is two cells).
func (h parts) needless() bool {
	return h.written != "" && len(h.before)+len(h.written)+len(h.after) <= len(h.first)+h.room
}

func sure(a, b int32) float64 {
	return 1 - 0.01/float64(a) - 0.4*float64(b)/float64(a+b)
}

// drop is the decision to drop the hyphen; plain keeps the parts' own cells.
func (h parts) drop(reason string, confidence float64, plain bool) Joined {
	j := Joined{Rejoin: DropHyphen, DropHyphen: true, Reason: reason, Confidence: confidence}
	j.Plain = append(append([]byte{}, h.first[:len(h.first)-1]...), h.second...)
	j.Cells = j.Plain
	if h.written != "" && !plain {
		j.Cells = []byte(string(h.before) + h.written + string(h.after))
	}
	return j
}

// byReading decides a word that the book has nowhere else.
func (v *Vocabulary) byReading(h parts) Joined {
	word := h.headPrint + h.tailPrint
	if h.wordsign && h.contracted {
		return keep(h.first, h.second, "a part is written as a word of its own", 0.95)
	}
	if h.written == "" {
		return keep(h.first, h.second, "the parts do not read as one word", 0.5)
	}
	if strings.IndexByte(h.headPrint, '-') >= 0 {
		return keep(h.first, h.second, "the first part has a hyphen of its own", 0.9)
	}
	if v.related(word) {
		return h.drop("the book has another form of the word", 0.99, false)
	}
	headSeen, tailSeen := v.print.get(h.headPrint) > 0, v.print.get(h.tailPrint) > 0
	switch {
	case v.heads.get(h.headPrint) > 0:
		return keep(h.first, h.second, "the book has its first part with a hyphen elsewhere", 0.8)
	case headSeen && len(h.headPrint) > 2 && endingWord[h.tailPrint]:
		return keep(h.first, h.second, "both parts are words", 0.6)
	case pronoun[h.headPrint] && strings.HasPrefix(h.tailPrint, "ward"):
		return keep(h.first, h.second, "a pronoun and a direction, as in to us-ward", 0.9)
	case ending[h.tailPrint] && !h.wordAfterAll() || len(h.tailPrint) == 2 && !shortWord[h.tailPrint]:
		return h.drop("the second part is an ending", 0.98, false)
	case !headSeen && !tailSeen:
		return h.drop("neither part is a word of the book", 0.97, false)
	case len(h.headPrint) == 2 && !tailSeen:
		return h.drop("the first part is a short syllable and the second no word of the book", 0.96, false)
	case headSeen && tailSeen:
		return keep(h.first, h.second, "both parts are words of the book", 0.6)
	}
	return keep(h.first, h.second, "nothing in the book tells", 0.5)
}

// ending holds second parts that are endings of English words and no words.
var ending = wordSet("ing ings eth ily ed er ers ly ment ments ness tion tions sion sions ity ities ous ously able ably ible ibly al ally ance ances ence ences ful fully less est ish ism ist ists ive ively ary ery ory ation ations ture tures cal cally cial tial tious cious ent ents ant ants age ages dom hood ship ships ward wards ting ning ring ling ding sing ming ping bing ging king ted ded sed ned red led med ped bed ged ter ters der ders ser sers ber bers per pers ger gers")

// endingWord holds the endings that are words too and make compounds: war-ship
// is none of friendship's kind.
var endingWord = wordSet("king ring sing ship ships ward wards able less hood full bed red led")

// pronoun holds the pronouns that older English joins to -ward by a hyphen.
var pronoun = wordSet("me us you thee him her them")

// doubled holds the endings that are words too and that follow a doubled
// consonant: refer-ring, but ankle-ring.
var doubled = wordSet("king ring sing bed red led")

// wordAfterAll reports whether the second part looks like an ending, yet its
// consonant is not the doubled one of the first part.
func (h parts) wordAfterAll() bool {
	n := len(h.headPrint)
	return doubled[h.tailPrint] && n > 0 && h.headPrint[n-1] != h.tailPrint[0]
}

// shortWord holds the words of two letters that can follow a hyphen.
var shortWord = wordSet("in up on of to by at be do go it me no so us we as is he or an am if ox my")

func wordSet(list string) map[string]bool {
	out := map[string]bool{}
	for _, w := range strings.Fields(list) {
		out[w] = true
	}
	return out
}

// related reports whether the book has an inflected form of the word.
func (v *Vocabulary) related(word string) bool {
	for _, suffix := range suffixes {
		if stem, ok := strings.CutSuffix(word, suffix); ok && len(stem) >= 4 {
			for _, other := range suffixes {
				if other != suffix && v.print.get(stem+other) > 0 {
					return true
				}
			}
		}
	}
	return false
}

var suffixes = []string{"", "s", "es", "ed", "d", "e", "ing", "er", "ers", "or", "ly", "ness", "y", "ies", "ied", "ion", "ions", "ment", "ments", "ful", "fully", "al", "ally", "able", "'s", "r", "est", "ity", "ive", "ance", "ence", "ent", "ant", "ous", "ously", "ist", "ism", "less", "ship"}

// mayHaveCapital reports whether print has a capital letter of ASCII, or any other letter.
func mayHaveCapital(print []byte) bool {
	return slices.ContainsFunc(print, func(c byte) bool { return c >= utf8.RuneSelf || c >= 'A' && c <= 'Z' })
}

// Prepare reads the book's words to print, once a variant. Join does it, if
// nobody did before.
func (v *Vocabulary) Prepare(variant Variant) {
	if variant.Code == UnknownCode {
		variant.Code = UEB
	}
	v.settle()
	if v.reader == nil || v.of != variant {
		v.of, v.reader, v.read = variant, NewReader(variant), false
	}
	if v.read {
		return
	}
	v.read = true
	v.print, v.heads = wordCount{}, wordCount{}
	for c, n := range v.cells.all() {
		w := v.reader.tokenPrint(c)
		if mayHaveCapital(w) {
			w = bytes.ToLower(w)
		}
		v.print.add(w, n)
		if i := bytes.IndexByte(w, '-'); i > 0 {
			v.heads.add(w[:i], n)
		}
	}
}
