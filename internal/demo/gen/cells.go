package main

import (
	"context"
	"errors"
	"regexp"
	"strings"

	"continuo/internal/cell"
	"continuo/internal/louis"
)

// code is a braille code as liblouis knows it, and the forms that the project
// writes itself: note marks and emphasis are not in the plain text that
// liblouis is given.
type code struct {
	table     string
	noCaps    bool
	ueb       bool
	noteMark  func(number string) string
	glueMark  bool // the mark stands against the word before it
	emphasis  string
	sceneMark string
}

// UEB: superscript number after a word, Rules of Unified English Braille 2013,
// 6.5.2; italic word 9.2; asterisk 3.3.
var uebCode = code{table: "en-ueb-g2.ctb", ueb: true, glueMark: true, emphasis: ".1", sceneMark: `"9 "9 "9`,
	noteMark: func(n string) string { return ";9" + string(cell.Number(atoi(n))) }}

// SEB without capitals, as British books were made before 2000.
var sebCode = code{table: "en-GB-g2.ctb", noCaps: true, emphasis: ".", sceneMark: "99 99 99"}

// EBAE: asterisk and number for a note, English Braille American Edition 1994,
// Appendix A, 3 and Rule IV, 22.
var ebaeCode = code{table: "en-us-g2.ctb", emphasis: ".", sceneMark: "99 99 99",
	noteMark: func(n string) string { return "99" + string(cell.Number(atoi(n))) }}

func atoi(s string) int {
	n := 0
	for _, c := range s {
		n = n*10 + int(c-'0')
	}
	return n
}

// token is one word in cells, or a print page turn.
type token struct {
	cells string
	turn  string
}

// translator turns print into cells. It gathers what it does not know yet;
// flush translates all of that in one go.
type translator struct {
	code
	known  map[string]string
	wanted []string
}

func newTranslator(c code) *translator { return &translator{code: c, known: map[string]string{}} }

// cells returns a piece of plain print in cells, or a stand-in until flush.
func (tr *translator) cells(print string) string {
	if tr.noCaps {
		print = strings.ToLower(print)
	}
	print = directed(print)
	if c, ok := tr.known[print]; ok {
		return c
	}
	tr.known[print] = "x"
	tr.wanted = append(tr.wanted, print)
	return "x"
}

// flush translates what was asked for and says whether there was anything.
func (tr *translator) flush() (bool, error) {
	if len(tr.wanted) == 0 {
		return false, nil
	}
	lou, ok := louis.Find()
	if !ok {
		return false, errors.New("lou_translate is not here; hint: apt-get install liblouis-bin")
	}
	out, err := lou.Forward(context.Background(), tr.table, tr.wanted)
	if err != nil {
		return false, err
	}
	for i, print := range tr.wanted {
		tr.known[print] = tr.mend(ascii(out[i]))
	}
	tr.wanted = nil
	return true, nil
}

func ascii(unicode string) string {
	var out []byte
	for _, r := range unicode {
		if c, ok := cell.FromRune(r); ok {
			out = append(out, c)
		} else {
			out = append(out, ' ')
		}
	}
	return strings.TrimSpace(string(out))
}

// closing is an inner closing quotation mark that liblouis took for an
// apostrophe: after another stop, at the end of a word.
var closing = regexp.MustCompile(`([41])'(0?)( |$)`)

// mend puts right what liblouis is known to get wrong. Inner closing quotation
// mark in UEB: Rules of Unified English Braille 2013, 7.6.
func (tr *translator) mend(c string) string {
	if tr.ueb {
		return closing.ReplaceAllString(c, `$1,0$2$3`)
	}
	return c
}

var (
	quoted = regexp.MustCompile(`(^|[ (—‘])"(\S)`)
	inner  = regexp.MustCompile(`(^|[ “])'(\S)`)
	endsIn = regexp.MustCompile(`([.,!?])'("|”| |$)`)
)

// directed gives the straight quotation marks and dashes of the print text the
// forms that liblouis tells apart; apostrophes stay straight.
func directed(s string) string {
	s = strings.ReplaceAll(s, "--", "—")
	s = quoted.ReplaceAllString(s, "$1“$2")
	s = inner.ReplaceAllString(s, "$1‘$2")
	s = endsIn.ReplaceAllString(s, "$1’$2")
	return strings.ReplaceAll(s, `"`, "”")
}

// mark is what stands inside a paragraph beside words: a turn, a note mark,
// emphasis.
var mark = regexp.MustCompile(` ?\[p\. (\w+)\] ?|\[(\d+)\]|_([^_]+)_`)

// tokens translates a paragraph; notes receives the numbers of the note marks.
func (tr *translator) tokens(print string, notes *[]string) []token {
	var out []token
	at, glue := 0, false
	for _, m := range mark.FindAllStringSubmatchIndex(print, -1) {
		out = tr.words(out, print[at:m[0]], glue)
		before := m[0] > 0 && print[m[0]-1] != ' '
		glue = m[1] < len(print) && print[m[1]] != ' '
		switch {
		case m[2] >= 0:
			out, glue = append(out, token{turn: print[m[2]:m[3]]}), false
		case m[4] >= 0:
			number := print[m[4]:m[5]]
			*notes = append(*notes, number)
			out = add(out, tr.noteMark(number), tr.glueMark)
		default:
			word := tr.emphasis + strings.ReplaceAll(tr.cells(print[m[6]:m[7]]), " ", " "+tr.emphasis)
			out = add(out, word, before)
		}
		at = m[1]
	}
	return tr.words(out, print[at:], glue)
}

// words adds plain print, cut at the ends of sentences.
func (tr *translator) words(out []token, print string, glue bool) []token {
	for _, piece := range sentences(strings.TrimSpace(print)) {
		for _, w := range strings.Fields(tr.cells(piece)) {
			out = add(out, w, glue)
			glue = false
		}
	}
	return out
}

func add(out []token, w string, glue bool) []token {
	if n := len(out); glue && n > 0 && out[n-1].turn == "" {
		out[n-1].cells += w
		return out
	}
	return append(out, token{cells: w})
}

var sentenceEnd = regexp.MustCompile(`[.!?]"? `)

// sentences cuts print at ends of sentences into pieces of at most about 400
// characters, well under what lou_translate takes in one line.
func sentences(print string) []string {
	var out []string
	for len(print) > 400 {
		cut := 0
		for _, m := range sentenceEnd.FindAllStringIndex(print, -1) {
			if m[1] <= 400 || cut == 0 {
				cut = m[1]
			}
		}
		if cut == 0 {
			break
		}
		out = append(out, strings.TrimSpace(print[:cut]))
		print = print[cut:]
	}
	if print != "" {
		out = append(out, print)
	}
	return out
}
