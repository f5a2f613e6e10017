package assemble

import (
	"strings"

	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/structure"
)

// This file tells how like the words of a contents entry are to those of a heading. A contents
// list gives a heading its number in another way or leaves it out, or gives the beginning of its
// words only (common practice; BANA, Braille Formats 2016, section 2).

// headTitle is the words of an entry or a heading: the part of the book that they name with its
// number, what is known of it, and the title without them.
type headTitle struct {
	part   english.PhraseID // "" without a word for it
	n      int              // 0 without a number
	letter byte
	title  string
	tight  string // the title without blanks: the older codes write "of the" without one, but not between capitals
}

// titleOf reads the words of an entry, or of all lines of a heading.
func (a *assembly) titleOf(v *structure.Volume, t []byte) headTitle {
	h := headTitle{}
	if p, ok := v.Words.Prefix(t); ok && structural(p) {
		h, t = headTitle{part: p.ID, n: p.N, letter: p.Letter}, p.Tail
	} else if w := firstToken(t); decimalDepth(w) == 1 {
		if p, ok := english.Prefix(append([]byte("chapter "), t...)); ok && p.ID == english.Chapter && p.N > 0 && p.M == 0 {
			h, t = headTitle{n: p.N}, p.Tail
		}
	}
	h.title = structure.HeadingKey(layout.Normal(t))
	h.tight = strings.ReplaceAll(h.title, " ", "")
	return h
}

// likeness says how like a heading is to an entry that has not the same words, and how many of
// its lines it was compared with: the same number and title, a title that is shorter, words
// within the other, or a slip of the pen.
func (a *assembly) likeness(key string, e headTitle, p *place) (float64, int) {
	v := a.vols[p.vol]
	further := v.FurtherLine(p.unit)
	if !further {
		if s := e.likes(a.wholeHeading(p)); s > 0 {
			return s, p.all
		}
	}
	if e.part != "" && e.title == "" {
		return 0, 0
	}
	n := structure.HeadingKey(layout.Normal(v.Units[p.unit].Text))
	s := 0.0
	switch {
	case layout.Alike(key, n):
		s = 0.85
	case len(n) >= 8 && wordsWithin(key, n), len(key) >= 8 && wordsWithin(n, key):
		s = 0.6
	}
	if further && key == n {
		return 0.8, 1 // it goes on a heading that begins above it, or is one of its own
	} else if further {
		s *= 0.7
	}
	return s, 1
}

// wholeHeading is the title of all lines of the heading that begins at a place.
func (a *assembly) wholeHeading(p *place) headTitle {
	if p.all == 0 {
		v := a.vols[p.vol]
		p.all = 1
		t := append([]byte(nil), v.Units[p.unit].Text...)
		for j := p.unit + 1; j < len(v.Units) && j < p.unit+maxHeadLines && v.HeadingGoesOn(p.unit, j) && !v.Units[j].Rule; j++ {
			t = append(append(t, ' '), v.Units[j].Text...)
			p.all++
		}
		p.head = a.titleOf(v, t)
	}
	return p.head
}

// likes compares an entry with a heading.
func (e headTitle) likes(h headTitle) float64 {
	switch {
	case e.part != "" && h.part != "" && e.part != h.part, e.letter != h.letter && e.letter != 0 && h.letter != 0, e.n != h.n && e.n != 0 && h.n != 0:
		return 0
	}
	if rest, ok := strings.CutPrefix(strings.TrimPrefix(e.title, ";"), string(h.letter)+" "); ok && e.part == "" && h.letter > 0 {
		e.letter, e.title, e.tight = h.letter, rest, strings.ReplaceAll(rest, " ", "") // a list may leave the word "appendix" out
	}
	numbered := e.n == h.n && e.letter == h.letter && e.n+int(e.letter) > 0
	s := e.likesTitle(h, numbered)
	if numbered || s == 0 {
		return s
	}
	return s - 0.02
}

// likesTitle compares their titles; numbered says that both have the same number.
func (e headTitle) likesTitle(h headTitle, numbered bool) float64 {
	switch {
	case e.title == "" || h.title == "":
		if numbered && e.part != "" && h.part != "" {
			return 0.9
		}
		return 0
	case e.title == h.title, e.tight == h.tight:
		return 0.95
	case layout.Alike(e.title, h.title):
		return 0.87
	case strings.HasPrefix(h.title, e.title+" "), strings.HasPrefix(e.title, h.title+" "):
		if numbered {
			return 0.87
		}
		return 0.7
	case !wordsWithin(e.title, h.title) && !wordsWithin(h.title, e.title) && !tightWithin(e.tight, h.tight) && !tightWithin(h.tight, e.tight):
		return 0
	case numbered:
		return 0.85
	case min(len(e.title), len(h.title)) >= 8:
		return 0.62
	}
	return 0
}

// tightWithin reports whether many cells of sub stand in s, in a row, both without blanks.
func tightWithin(s, sub string) bool { return len(sub) >= 12 && strings.Contains(s, sub) }

// wordsWithin reports whether the words of sub stand in s, in a row.
func wordsWithin(s, sub string) bool {
	return sub != "" && contains(" "+s+" ", " "+sub+" ")
}
