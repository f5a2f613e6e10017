package assemble

import (
	"bytes"
	"math"
	"strings"

	"continuo/internal/book"
	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/lazy"
)

// This file tells recipes and exercises from other lines. They are read in
// print, so that one rule holds for all codes. What only looks like one stays
// what it was: several signs must agree.

// quantity is how an ingredient begins: a number, a fraction or a mixed number,
// and perhaps a measure after it.
var quantity = lazy.Regexp(`^(about |approx\.? )?[0-9½¼¾⅓⅔⅛][0-9½¼¾⅓⅔⅛/., -]*\s*([a-z]+)?`)

// measures are the measures of kitchens, metric and older, as words and short
// (common practice).
var measures = setOf("g kg mg ml cl dl l oz lb lbs fl pt tsp tsps tbsp tbsps cup cups gram grams gramme grammes kilo kilos litre litres liter liters millilitre millilitres " +
	"ounce ounces pound pounds pint pints quart quarts teaspoon teaspoons teaspoonful teaspoonfuls tablespoon tablespoons tablespoonful tablespoonfuls dessertspoon dessertspoons " +
	"pinch clove cloves sprig sprigs slice slices tin tins can cans stick sticks handful bunch rasher rashers knob inch gill gills peck")

// setOf makes a set of words.
func setOf(words string) map[string]bool {
	m := map[string]bool{}
	for _, w := range strings.Fields(words) {
		m[w] = true
	}
	return m
}

// lineForms marks recipes and exercises in the text.
func (a *assembly) lineForms() {
	asks := false
	a.quantities = make([]quantityKind, len(a.b.Blocks))
	for i := 0; i < len(a.b.Blocks); {
		bl := &a.b.Blocks[i]
		if bl.Kind == book.Heading {
			asks = asksWord(a.print(bl))
		}
		switch {
		case !a.markable(bl):
			i++
		case a.quantityOf(i) > noQuantity:
			i = a.recipe(i)
		default:
			i = a.exercises(i, asks)
		}
	}
}

// markable reports whether a block can be a line of a recipe or an exercise.
func (a *assembly) markable(bl *book.Block) bool {
	return (bl.Part == book.Text || bl.Part == book.BackMatter) && spokenKind(bl) && len(bl.Pieces) > 0 && bl.Pieces[a.firstWords(bl)].Vol >= 0 && (bl.Form == book.Plain || bl.Form == book.ListItem || bl.Form == book.Verse)
}

func spokenKind(bl *book.Block) bool { return bl.Kind == book.Para || bl.Kind == book.Line }

// firstWords is the first piece of a block that is no print page turn, or the
// last.
func (a *assembly) firstWords(bl *book.Block) int {
	k := 0
	for k < len(bl.Pieces)-1 && bl.Pieces[k].Reason != 0 && a.b.Reasons[bl.Pieces[k].Reason].Class == "turn" {
		k++
	}
	for k < len(bl.Pieces)-1 && onlyMark(a.b.Text(bl.Pieces[k])) {
		k++
	}
	return k
}

// print is the text of a block in print, without print page turns before it.
func (a *assembly) print(bl *book.Block) string { return a.printStart(bl, math.MaxInt) }

// printStart is the start of that text: whole pieces, until they have some
// number of cells.
func (a *assembly) printStart(bl *book.Block, cells int) string {
	if a.reader == nil {
		a.reader = english.NewReader(a.read)
	}
	t := a.set[:0]
	for k := a.firstWords(bl); k < len(bl.Pieces) && len(t) < cells; k++ {
		t = a.b.AppendPiece(t, bl, k)
	}
	a.set = t
	a.reader.Reset()
	return strings.ToLower(strings.TrimSpace(a.reader.Text(t)))
}

// quantityKind is what a block begins with.
type quantityKind uint8

const (
	notRead quantityKind = iota
	noQuantity
	number   // a number alone, "2 eggs"
	measured // a number and a measure, "250 g flour"
)

// maxIngredient is the length of a line that can be an ingredient, in cells:
// two lines of paper.
const maxIngredient = 80

// quantityOf tells what block i begins with, which is read once.
func (a *assembly) quantityOf(i int) quantityKind {
	q := &a.quantities[i]
	if *q == notRead {
		*q = a.readQuantity(&a.b.Blocks[i])
	}
	return *q
}

// readQuantity tells what a block begins with. A number with a full stop or a
// bracket is the number of an item.
func (a *assembly) readQuantity(bl *book.Block) quantityKind {
	n := 0
	for _, p := range bl.Pieces {
		n += len(a.b.Text(p))
	}
	if len(bl.Pieces) == 0 {
		return noQuantity
	}
	if t := a.b.Text(bl.Pieces[a.firstWords(bl)]); n > maxIngredient || n < 4 || t[0] != '#' && t[0] != '_' {
		return noQuantity
	}
	text := a.print(bl)
	m := quantity().FindStringSubmatch(text)
	rest := ""
	if m != nil {
		rest = text[len(m[0]):]
	}
	switch {
	case m == nil || m[2] == "" || strings.HasPrefix(rest, ".") && !measures[m[2]]:
		return noQuantity
	case measures[m[2]]:
		return measured
	case strings.ContainsAny(strings.TrimSuffix(m[0], m[2]), ".,-"):
		return noQuantity
	}
	return number
}

// recipe marks the ingredients from block i on, when they are: four lines or
// more, seven in ten with a quantity, half of these measured, or a third under
// a line that says "ingredients". It returns the first block after them.
func (a *assembly) recipe(i int) int {
	j, with, measure, turns := i, 0, 0, 0
	for ; j < len(a.b.Blocks); j++ {
		bl := &a.b.Blocks[j]
		if a.goesOnTurn(j) {
			turns++
			continue
		}
		if !a.markable(bl) || j > i && (bl.Blank.Want || bl.First != a.b.Blocks[i].First && a.quantityOf(j) > noQuantity) {
			break
		}
		q := a.quantityOf(j)
		if q == noQuantity && len(bl.Pieces) > 1 {
			break // a paragraph
		}
		with += boolInt(q > noQuantity)
		measure += boolInt(q == measured)
	}
	end := j
	for j > i && !a.b.Blocks[j-1].Cont && a.quantityOf(j-1) == noQuantity {
		j-- // what only follows may be a step
	}
	if with < 4 || with*10 < (j-i-turns)*7 || measure*2 < with && !(measure*3 >= with && a.underIngredients(i)) {
		return max(i+1, end)
	}
	a.markForm(i, j, book.Recipe)
	return j
}

// underIngredients reports whether one of the three blocks before block i says
// "ingredients".
func (a *assembly) underIngredients(i int) bool {
	for k := max(0, i-3); k < i; k++ {
		if strings.Contains(a.print(&a.b.Blocks[k]), "ingredients") {
			return true
		}
	}
	return false
}

// goesOnTurn reports whether a block is a print page turn, or goes on what one
// interrupts.
func (a *assembly) goesOnTurn(i int) bool {
	return a.b.Blocks[i].Kind == book.Turn || a.b.Blocks[i].Cont
}

// markForm marks the blocks i up to j, print page turns apart.
func (a *assembly) markForm(i, j int, form book.Form) {
	for k := i; k < j; k++ {
		if a.b.Blocks[k].Kind != book.Turn {
			a.b.Blocks[k].Form = form
		}
	}
}

// asksWord reports whether a heading says that exercises follow.
func asksWord(head string) bool {
	for _, w := range []string{"exercise", "question", "problem", "activit", "quiz", "worksheet"} {
		if strings.Contains(head, w) {
			return true
		}
	}
	return false
}

var (
	itemStart = lazy.Regexp(`^\(?([0-9]{1,3})[.)]?\s`)
	partStart = lazy.Regexp(`^\(?([a-z])[.)]\s`)
)

// exercise is an item or a lettered part of one.
type exercise struct {
	block  int
	number int // of an item, 0 for a part
	letter byte
}

// exercises marks the exercises from block i on: numbers that rise by one, two
// at least, lettered parts further in that begin with a and rise by one, and
// either a heading that says so or question marks at the end of half of them.
// Legal text has numbers and letters too. It returns the first block after.
func (a *assembly) exercises(i int, asks bool) int {
	if first := a.exerciseOf(i); first.number == 0 {
		return i + 1
	}
	var all []exercise
	j, parts, question := i, 0, 0
	last := exercise{}
	for ; j < len(a.b.Blocks); j++ {
		if a.goesOnTurn(j) {
			continue
		} else if !a.markable(&a.b.Blocks[j]) {
			break
		}
		x := a.exerciseOf(j)
		switch {
		case x.number > 0 && (last.number == 0 || x.number == last.number+1):
			last = x
		case x.letter == 'a' && last.letter == 0 || x.letter > 0 && x.letter == last.letter+1:
			if a.b.Blocks[j].First <= a.b.Blocks[all[0].block].First {
				return max(i+1, j)
			}
			last.letter = x.letter
			parts++
		default:
			x.block = -1 // text, or out of order
		}
		if x.block < 0 {
			break
		}
		question += boolInt(a.endsAsking(&a.b.Blocks[j]))
		all = append(all, x)
	}
	items := len(all) - parts
	if items < 2 || parts < 2 || !asks && question*2 < len(all) {
		return max(i+1, j)
	}
	a.markForm(i, j, book.Exercise)
	return j
}

// endsAsking reports whether a block ends in a question mark, in quotation marks perhaps.
// It is dots 2-3-6 in all the codes.
func (a *assembly) endsAsking(bl *book.Block) bool {
	n := len(bl.Pieces)
	if n == 0 || bytes.IndexByte(lastCells(a.b.Text(bl.Pieces[n-1]), 6), '8') < 0 {
		return false
	}
	return strings.HasSuffix(strings.TrimRight(a.print(bl), `"'”’ `), "?")
}

// lastCells are up to n cells at the end of a text.
func lastCells(t []byte, n int) []byte {
	t = bytes.TrimRight(t, " ")
	return t[max(0, len(t)-n):]
}

// maxNumber is how many cells of a block are read for the number or letter that
// it begins with: one line of paper.
const maxNumber = 32

// exerciseOf is what readExercise gives, kept for the next question about the same block.
func (a *assembly) exerciseOf(i int) exercise {
	if a.exercise == nil || a.exercise.block != i {
		x := a.readExercise(i)
		a.exercise = &x
	}
	return *a.exercise
}

// readExercise reads the number or letter that a block begins with.
func (a *assembly) readExercise(i int) exercise {
	x := exercise{block: i}
	bl := &a.b.Blocks[i]
	t := a.b.Text(bl.Pieces[a.firstWords(bl)])
	if len(t) < 4 || t[0] != '#' && t[0] != '"' && t[0] != ';' && t[0] != '7' && t[1] != '4' && t[1] != '"' && t[1] != '7' {
		return x
	}
	text := a.printStart(bl, maxNumber)
	if m := itemStart().FindStringSubmatch(text); m != nil {
		for _, c := range m[1] {
			x.number = x.number*10 + int(c-'0')
		}
	} else if m := partStart().FindStringSubmatch(text); m != nil {
		x.letter = m[1][0]
	}
	return x
}

// onlyMark reports whether a text is a print page indicator and no more.
func onlyMark(t []byte) bool {
	_, ok := layout.MarkLabel(bytes.TrimSpace(t))
	return ok
}
