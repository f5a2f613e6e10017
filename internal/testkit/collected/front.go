package collected

import (
	"fmt"
	"sort"
	"strings"

	"continuo/internal/testkit"
)

func sortStrings(s []string) { sort.Strings(s) }

func word(n int) string {
	w := strings.Fields("Zero One Two Three Four Five Six Seven Eight Nine Ten Eleven Twelve Thirteen Fourteen Fifteen Sixteen Seventeen Eighteen Nineteen Twenty")
	if n < len(w) {
		return w[n]
	}
	return fmt.Sprint(n)
}

func roman(n int) string { return strings.ToUpper(testkit.Roman(n)) }

func title(s string) string {
	w := strings.Fields(strings.ToLower(s))
	for i := range w {
		w[i] = strings.ToUpper(w[i][:1]) + w[i][1:]
	}
	return strings.Join(w, " ")
}

// statement words which volume this is.
func statement(form, v, n int) []string {
	in := "In " + word(n) + " Volumes"
	if n == 1 {
		in = "In One Volume"
	}
	return [][]string{
		{in, "Volume " + word(v)}, {in, fmt.Sprint("Volume ", v)}, {fmt.Sprintf("Volume %d of %d", v, n)}, {strings.ToUpper(in), "VOLUME " + roman(v)},
		{"Volume " + word(v) + " of " + word(n)}, {fmt.Sprintf("Braille volume %d of %d", v, n)}, {in, "Volume " + roman(v)}, {fmt.Sprint("Vol. ", v)},
	}[form]
}

// ending words the end of volume v.
func ending(form, v int) string {
	return []string{
		"End of Volume " + word(v), fmt.Sprint("End of Volume ", v), "END OF VOLUME " + roman(v), "Continued in Volume " + word(v+1), fmt.Sprint("END OF VOLUME ", v),
		fmt.Sprint("End of Braille Volume ", v), fmt.Sprintf("End of Vol. %d", v), "End of Volume " + roman(v),
	}[form]
}

var phrases = []string{
	"Contents", "CONTENTS", "Table of Contents", "Page", "Braille page", "Print page", "Continuous braille edition", "by", "By", "edited by", "(continued)",
	"The End", "THE END", "End of Book", "Finis", "Dedication", "Preface", "Foreword", "A Note on the Text", "Acknowledgements",
}

// front sets the front matter of a volume.
func (s *setter) front(b *book, last *setter) {
	v, n := len(s.vols), s.h.Volumes
	if last != nil {
		n = len(last.vols)
	}
	s.kind = "title"
	s.newPage()
	s.titlePage(b, v, n)
	if v == 1 || s.d.Chance(20, "prelims again") {
		s.prelims(b)
	}
	s.contents(last, v)
}

func (s *setter) keep(name, print string, at int) {
	c := s.say(print)
	s.t.Float(name, strings.Fields(c), 1, 1)
	for _, l := range wrap(strings.Fields(c), s.h.W-6) {
		if at < 0 {
			l = s.centre(l)
		}
		s.put(l)
	}
}

func (s *setter) titlePage(b *book, v, n int) {
	h, d := s.h, s.d
	s.skip(d.N(4, "above title"))
	if v == 1 {
		s.t.Title = strings.Fields(s.title)
		s.t.Float("title", s.t.Title, 1, 1)
	}
	for _, l := range wrap(strings.Fields(s.title), h.W-6) {
		s.put(s.centre(l))
	}
	s.skip(1 + d.N(3, "under title"))
	switch d.N(4, "author wording") {
	case 0:
		s.keep("author", "by", -1)
		s.keep("author", b.author, -1)
	case 1:
		s.keep("author", "by "+b.author, -1)
	case 2:
		s.keep("author", "Edited by "+b.author, -1)
	default:
		s.keep("author", b.author, -1)
	}
	s.skip(1 + d.N(4, "under author"))
	at := d.N(2, "imprint place") - 1
	if d.Chance(50, "statement first") {
		s.statement(v, n)
		s.skip(2)
		s.imprint(b, at)
		return
	}
	s.imprint(b, at)
	s.skip(2)
	s.statement(v, n)
}

func (s *setter) statement(v, n int) {
	rule := s.h.Rule != "" && s.d.Chance(50, "ruled statement")
	if rule {
		s.put(s.centre(s.h.Rule))
	}
	for _, x := range statement(s.h.Statement, v, n) {
		c := s.say(x)
		s.t.Gone("volume statement", c)
		s.put(s.centre(c))
	}
	if rule {
		s.put(s.centre(s.h.Rule))
	}
}

func (s *setter) imprint(b *book, at int) {
	d := s.d
	p := pick(d, places, "publisher")
	lines := [][]string{
		{"First published by the " + p + " Press in " + fmt.Sprint(1880+d.N(120, "y"))},
		{"Copyright " + fmt.Sprint(1950+d.N(60, "c")) + " by " + b.author},
		{"Transcribed into braille by the readers of " + p},
		{"Brailled and bound at " + p + " House"},
		{"All rights reserved"},
		{fmt.Sprintf("ISBN 0 9%02d 47%02d%d 1", d.N(99, "i1"), d.N(99, "i2"), d.N(9, "i3"))},
		{p + " Library for Readers of Braille", "12 Mill Lane, " + pick(d, places, "town")},
		{"Price of the print book 14s. 6d."},
		{"Set from the second edition, " + fmt.Sprint(1900+d.N(100, "second"))},
		{"With the kind permission of the publisher"},
	}
	k := d.N(len(lines), "imprint")
	for i := range 2 + d.N(4, "imprint lines") {
		for _, x := range lines[(k+i*3)%len(lines)] {
			if s.cur.last-s.cur.at < 7 {
				return
			}
			s.keep("imprint", x, at)
		}
	}
}

// prelims sets a dedication, a preface, a note.
func (s *setter) prelims(b *book) {
	d := s.d
	s.kind = "prelim"
	m := &maker{d: d + 1, h: s.h, n: 1000}
	if d.Chance(40, "dedication") {
		s.newPage()
		s.skip(d.N(6, "above dedication"))
		s.keep("dedication", "For "+m.person()+" and all at "+m.pick(places), -1)
	}
	k := d.N(4, "prelim kind")
	for i := range d.N(3, "prelims") {
		s.newPage()
		s.keep("prelim heading", []string{"Preface", "Foreword", "A Note on the Text", "Acknowledgements"}[(k+i)%4], -1)
		s.cur.at++
		for j := range 1 + d.N(3, "prelim paragraphs", i) {
			c := strings.Fields(s.say(prelimText[(k+i*3+j)%len(prelimText)]))
			s.t.Float("prelim", c, 1, 1)
			for q, l := range wrap(append([]string{"\x01"}, c...), s.h.W) {
				if q == 0 {
					l = " " + strings.Replace(l, "\x01", "", 1)
				}
				s.put(l)
			}
		}
	}
}

var prelimText = []string{
	"The pieces in this book were gathered over many years and are given here in the order in which the editor found them.",
	"Spelling has been left as it stands in the oldest copy that could be had, and so has the use of capitals.",
	"The editor thanks the keepers of the county library, who let the sheets be copied, and the two friends who read the proofs aloud.",
	"No piece has been shortened. Where a line is wanting in the copy, nothing has been put in its place.",
	"Some of what follows was read at the meetings of the society in the winter before it was printed.",
	"Readers who know the older edition will miss the pictures, which could not be shown here.",
}

// contents sets the list of a volume, or of all.
func (s *setter) contents(last *setter, v int) {
	h := s.h
	if h.Contents == "" || last == nil {
		return
	}
	var list []place
	for _, p := range last.places {
		if p.level <= h.ListLevel && (p.vol == v-1 || h.General && v == 1) {
			list = append(list, p)
		}
	}
	if len(list) < 2 {
		return
	}
	s.kind = "contents"
	s.listTop(true)
	for _, p := range list {
		n := map[string]string{"braille": p.braille, "print": p.prt, "bare": ""}[h.Contents]
		if h.General && v == 1 && p.vol > 0 && h.Contents == "braille" {
			n = ""
		}
		must := 0
		if h.Contents == "print" {
			must = 1
		}
		key := strings.Join(p.words, " ")
		alike := 0
		for _, q := range last.places {
			if strings.Join(q.words, " ") == key {
				alike++
				if !contains(s.t.EntryPage[key], q.prt) {
					s.t.EntryPage[key] = append(s.t.EntryPage[key], q.prt)
				}
			}
		}
		if p.level == 1 {
			alike += len(last.places) // it may stand before the numbers of its chapters too
		}
		s.t.Float("contents entry", p.words, must, alike)
		for _, l := range s.entry(p, n) {
			if s.cur.at >= s.cur.last {
				s.newPage()
				s.listTop(false)
			}
			s.put(l)
		}
	}
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

func (s *setter) listTop(first bool) {
	h := s.h
	if first {
		s.newPage()
	} else if s.d.Chance(50, "list heading again") {
		return
	}
	c := s.say(pick(s.d, []string{"Contents", "CONTENTS", "Table of Contents"}, "contents wording"))
	s.t.Float("contents heading", strings.Fields(c), 0, 1)
	s.put(s.centre(c))
	if h.Contents != "bare" && s.d.Chance(50, "column label") {
		c := s.say(map[string]string{"braille": pick(s.d, []string{"Page", "Braille page"}, "label"), "print": "Print page"}[h.Contents])
		s.t.Float("column label", strings.Fields(c), 0, 1)
		s.put(blanks(h.W-len(c)) + c)
	} else if first {
		s.cur.at++
	}
}

// entry makes the lines of an entry of contents.
func (s *setter) entry(p place, n string) (out []string) {
	h := s.h
	at := 2 * (p.level - 1)
	end := h.W - 6
	if h.Column > 0 {
		end = h.Column - 2
	}
	lines := wrap(p.words, end-at-4)
	for i, l := range lines {
		if i > 0 {
			at = 2*h.ListLevel + 2
		}
		l = blanks(at) + l
		if i == len(lines)-1 && n != "" {
			col := h.W - len(n)
			if h.Column > 0 {
				col = h.Column
			}
			if gap := col - len(l) - 2; h.Guide != "" && gap >= 2 {
				l += " " + strings.Repeat(h.Guide, gap) + " " + n
			} else {
				l += blanks(col-len(l)) + n
			}
		}
		out = append(out, l)
	}
	return out
}

func fileName(d testkit.Dice, v int) string {
	return fmt.Sprintf(pick(d, []string{"collected_v%d.brf", "vol%02d.brf", "b%d.txt", "Saltmere-%d.BRF", "%d.brf"}, "names"), v)
}
