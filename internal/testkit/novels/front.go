package novels

import (
	"fmt"
	"strings"
)

// float sets down that the edition must hold a line of preliminary matter as
// often as one volume has it.
func (s *setter) float(name, cells string, must bool) {
	w := strings.Fields(cells)
	key := strings.Join(w, " ")
	s.count[key]++
	n := s.count[key]
	if !must {
		s.t.Float(name, w, 0, n)
		return
	}
	s.t.Float(name, w, n, n)
}

// front sets a line of preliminary matter in the middle or at the margin.
func (s *setter) front(name, print string, must bool) {
	cells := s.say(print)
	s.float(name, cells, must)
	s.frontLines(cells)
}

func (s *setter) frontLines(cells string) {
	if s.g.TitleSide && s.kind == "title" {
		for _, l := range lines(strings.Fields(cells), s.f.Width, 0, 2) {
			s.put(l)
		}
		return
	}
	for _, l := range lines(strings.Fields(cells), s.f.Width-4, 0, 0) {
		s.put(s.middle(l, s.f.Width))
	}
}

// heading2 sets the heading of a page before or after the text.
func (s *setter) heading2(print string) {
	s.may[s.say(print)] = true
	s.front("heading of other matter", print, true)
}

// gone sets a line that no edition may have.
func (s *setter) gone(kind, print string) {
	cells := s.say(print)
	s.t.Gone(kind, cells)
	s.frontLines(cells)
}

// block sets a paragraph of preliminary matter.
func (s *setter) block(name, print string, first, over int) {
	cells := s.say(print)
	s.float(name, cells, true)
	for _, l := range lines(strings.Fields(cells), s.f.Width, first, over) {
		s.put(l)
	}
}

func (s *setter) skip(n int) {
	if s.cur.at > 0 {
		s.cur.at = min(s.cur.at+n*s.step(), s.cur.limit)
	}
}

func (s *setter) book() [3]string { return titles[s.d.N(len(titles), "title")] }
func (s *setter) author() string  { return people[s.d.N(len(people), "author")] }

func (s *setter) titleWords() string {
	t := s.book()[0]
	if s.f.TitleCase == "capitals" {
		return strings.ToUpper(t)
	}
	return t
}

func (s *setter) title() { // its words may go again where they repeat
	cells := s.say(s.titleWords())
	w := strings.Fields(cells)
	s.count["title"]++
	s.t.Float("title", w, 1, max(1, s.count["title"]))
	s.frontLines(cells)
}

func (s *setter) byAuthor(how string) {
	by := one(s.d, "by case", "by ", "By ")
	switch how {
	case "by":
		s.skip(1)
		s.front("author", by+s.author(), true)
	case "byline":
		s.skip(1)
		first, name := s.say(strings.TrimSpace(by)), s.say(s.author())
		s.float("author", first+" "+name, true)
		s.frontLines(first)
		s.frontLines(name)
	case "bare":
		s.skip(1)
		s.front("author", s.author(), true)
	case "close":
		s.front("author", s.author(), true)
	}
}

// statement is the lines that tell the volume.
func statement(how string, v, n int) []string {
	in, plural := "In "+wordOf(n)+" Volumes", "s"
	if n == 1 {
		in, plural = "In One Volume", ""
	}
	switch how {
	case "figures":
		return []string{fmt.Sprintf("In %d Volume%s", n, plural), fmt.Sprint("Volume ", v)}
	case "of":
		return []string{fmt.Sprintf("Volume %d of %d", v, n)}
	case "brackets":
		return []string{fmt.Sprintf("(Volume %d of %d)", v, n)}
	case "roman":
		return []string{in, "Volume " + roman(v)}
	case "capitals":
		return []string{strings.ToUpper(in), "VOLUME " + roman(v)}
	case "ordinal":
		return []string{in, ordinals[v] + " Volume"}
	}
	return []string{in, "Volume " + wordOf(v)}
}

func (s *setter) endWords() string {
	v, n := s.vol, s.total
	name := statement(s.g.Statement, v, n)
	last := strings.Trim(name[len(name)-1], "()")
	switch s.g.EndWords {
	case "end of the volume":
		return "End of the " + ordinals[v] + " Volume"
	case "end of first volume":
		return "End of " + ordinals[v] + " Volume"
	case "continued":
		if v < n {
			return "Continued in Volume " + wordOf(v+1)
		}
		return "End of Volume " + wordOf(v)
	case "end of volume of":
		return fmt.Sprintf("End of Volume %d of %d", v, n)
	case "capitals":
		return "END OF VOLUME " + roman(v)
	}
	if s.g.Statement == "ordinal" || s.g.Statement == "capitals" {
		return "End of Volume " + wordOf(v)
	}
	return "End of " + last
}

// prelimPages sets what stands before the text of a volume.
func (s *setter) prelimPages() {
	f, d := s.f, s.d
	first := s.vol == 1
	if first && f.HalfTitle {
		s.kind = "title"
		s.newSheet()
		s.cur.at = d.Between(0, 6, "half title row")
		s.title()
	}
	s.titlePage()
	s.kind = "prelim"
	if first && f.SecondPage {
		s.newSheet()
		s.title()
		s.byAuthor("by")
		s.skip(3)
		s.front("publisher", printers[d.N(5, "publisher")], true)
		s.front("publisher", towns[d.N(6, "town")], true)
	}
	if f.Copyright == "all" || first && f.Copyright == "first" {
		s.newSheet()
		s.skip(d.N(4, "copyright row"))
		for _, l := range s.copyright() {
			s.front("copyright", l, true)
		}
	}
	if first {
		s.firstPrelims()
	}
	if f.NotesPage == "all" || first && f.NotesPage == "first" {
		s.notesPage()
	}
	if first && f.General == "divided" && s.total > 1 {
		s.divided()
	}
	s.contents()
}

func (s *setter) copyright() []string {
	d := s.d
	year := 1870 + d.N(60, "year")
	all := []string{
		fmt.Sprint("First published ", year), "Copyright " + s.author() + fmt.Sprint(", ", year), "Reprinted " + fmt.Sprint(year+3, ", ", year+7),
		"All rights reserved", "ISBN " + fmt.Sprint(d.Between(10, 99, "isbn"), " ", d.Between(1000, 9999, "isbn2"), " ", d.N(10, "isbn3")),
		"Printed in " + towns[d.N(4, "printed in")], "The right of the author to be identified as the author of this work has been asserted.",
		"Set from the third edition by permission of the publisher",
	}
	from := d.N(3, "copyright from")
	return all[from:d.Between(from+2, len(all), "copyright to")]
}

func (s *setter) firstPrelims() {
	f, d := s.f, s.d
	if f.Dedication {
		s.newSheet()
		s.cur.at = min(d.Between(0, 7, "dedication row"), f.Height-4)
		s.front("dedication", []string{"For Hester, who kept the light", "To my mother", "In memory of the ferrymen of Cray", "For J. and M., and for the dog"}[d.N(4, "dedication")], true)
	}
	if f.Epigraph {
		s.newSheet()
		s.skip(2)
		s.block("epigraph", "The boat is small and the water wide, but the lamp is lit upon the farther side.", 4, 6)
		s.block("epigraph", "Fenland song", f.Width/2, f.Width/2)
	}
	if f.AlsoBy == "front" {
		s.alsoBy()
	}
	if f.About {
		s.newSheet()
		s.heading2([]string{"About the Author", "The Author", "About This Book"}[d.N(3, "about")])
		s.gap = f.HeadAfter
		s.block("about", s.author()+" was born in a lock-keeper's cottage and has written nine books about water. This is the one most people ask for.", 2, 0)
		s.block("about", "An earlier braille edition has long been worn out; this one was made anew.", 2, 0)
	}
}

func (s *setter) alsoBy() {
	s.newSheet()
	s.heading2(one(s.d, "also by words", "Also by "+s.author(), "By the Same Author", "Other Books by "+s.author()))
	s.gap = s.d.Chance(60, "also by gap")
	for i := range s.d.Between(3, len(others), "also by size") {
		if s.d.Chance(50, "also by middle") {
			s.front("also by", others[i], true)
			continue
		}
		s.block("also by", others[i], 0, 2)
	}
}

func (s *setter) notesPage() {
	s.newSheet()
	s.heading2(one(s.d, "notes page head", "Transcriber's Notes", "Transcriber's Note", "Note"))
	s.gap = s.f.HeadAfter
	s.block("notes page", []string{"Pictures are left out; their captions stand where they stood in print.", "Words that print has in italics are not marked."}[s.d.N(2, "note text")], 2, 0)
	if s.f.Symbols {
		s.block("notes page", "Two of the letters in this book are printed in facsimile.", 2, 0)
	}
}

// titlePage spreads its lines over the page.
func (s *setter) titlePage() {
	f, d := s.f, s.d
	s.kind = "title"
	s.newSheet()
	s.cur.at = d.N(4, "title row")
	s.title()
	if f.Subtitle {
		s.front("subtitle", s.book()[2], true)
	}
	s.byAuthor(f.Author)
	if d.Chance(15, "translator") {
		s.front("translator", "Translated by "+people[(d.N(8, "author")+3)%8], true)
	}
	s.skip(d.Between(1, 2, "gap 1"))
	if f.Separators {
		s.frontLines(f.Rule)
	}
	for _, l := range statement(s.g.Statement, s.vol, s.total) {
		s.gone("volume statement", l)
	}
	if f.PagesLine {
		s.gone("pages statement", s.pagesLine())
	}
	if f.Separators {
		s.frontLines(f.Rule)
	}
	s.skip(d.Between(1, 2, "gap 2"))
	maker := makers[d.N(len(makers), "maker")]
	switch d.N(5, "imprint") {
	case 0:
		s.front("imprint", "Produced by", true)
		s.front("imprint", maker, true)
		s.front("imprint", towns[d.N(6, "maker town")], true)
	case 1:
		s.front("imprint", printers[d.N(5, "publisher")]+", "+fmt.Sprint(1900+d.N(90, "pub year")), true)
		s.front("imprint", "Transcribed into braille by "+s.hand(), true)
	case 2:
		s.front("imprint", maker, true)
	case 3:
		s.front("imprint", "Published by "+printers[d.N(5, "publisher")], true)
		s.front("imprint", "Brailled by the "+strings.TrimPrefix(maker, "The ")+", "+fmt.Sprint(1960+d.N(60, "braille year")), true)
	}
}

// hand is the name of the transcriber, another one in the volume of another.
func (s *setter) hand() string {
	if s.vol == s.f.OtherHand {
		return "R. Pellow"
	}
	return "Ada Corrigan"
}

func (s *setter) pagesLine() string {
	last := s.pages[s.vol]
	if last == "" {
		last = "1-1"
	}
	return "Braille pages " + last
}

// divided is the list of volume 1 that tells what stands in which volume.
func (s *setter) divided() {
	s.newSheet()
	s.front("contents heading", one(s.d, "general head", "General Contents", "Contents of the Volumes"), false)
	s.front("contents heading", "This braille edition is divided as follows", false)
	for v := 1; v <= s.total; v++ {
		st := statement(s.f.Statement, v, s.total)
		s.gone("volume in contents", strings.Trim(st[len(st)-1], "()"))
		for _, m := range s.known {
			if m.vol == v {
				s.t.Float("contents entry", strings.Fields(m.entry), 0, s.alike(m.entry))
				for _, l := range lines(strings.Fields(m.entry), s.f.Width, 0, 4) {
					s.put(l)
				}
			}
		}
	}
}

// alike counts the headings with the words of an entry.
func (s *setter) alike(entry string) (n int) {
	for _, m := range s.known {
		if m.entry == entry {
			n++
		}
	}
	return n
}

// contents is the list of a volume, or in volume 1 of the whole book.
func (s *setter) contents() {
	f := s.f
	var list []mark
	for _, m := range s.known {
		if m.vol == s.vol || f.General == "whole" && s.vol == 1 {
			list = append(list, m)
		}
	}
	if f.Contents == "" || len(list) == 0 {
		return
	}
	s.newSheet()
	s.contentsTop(true)
	for _, m := range list {
		n := m.braille
		if f.Contents == "print" {
			n = m.print
		}
		s.t.Float("contents entry", strings.Fields(m.entry), 1, s.alike(m.entry))
		for _, l := range s.entryLines(m, n) {
			if s.cur.at >= s.cur.limit || s.left() < 1 {
				s.newSheet()
				s.contentsTop(false)
			}
			s.put(l)
		}
	}
	if f.Separators && s.left() > 1 {
		s.put(s.middle(f.Rule, f.Width))
	}
}

func (s *setter) contentsTop(first bool) {
	f := s.f
	head := one(s.d, "contents head", "Contents", "Contents", "CONTENTS", "Table of Contents")
	cells := s.say(head)
	s.t.Float("contents heading", strings.Fields(cells), 0, 1)
	s.put(s.middle(cells, f.Width))
	s.gap = first && s.d.Chance(70, "contents gap")
	if f.ColLabel {
		label := s.say(map[string]string{"braille": one(s.d, "label", "Page", "Braille page"), "print": "Print page"}[f.Contents])
		s.t.Gone("contents label", label)
		s.put(blanks(f.Width-len(label)) + label)
	}
}

// entryLines sets an entry, guide dots and its number (Rules of UEB 2013, 16.5).
func (s *setter) entryLines(m mark, n string) []string {
	f := s.f
	in := 0
	if m.level > 1 && f.Parts {
		in = 2
	}
	out := lines(strings.Fields(m.entry), f.Width-8, in, in+f.EntryRun)
	last := out[len(out)-1]
	at := f.Width - len(n)
	if f.Column {
		at = f.Width - 5
	}
	fill := blanks(at - len(last))
	if room := at - len(last) - 2; room >= 2 && f.Guide != "" {
		fill = " " + strings.Repeat(f.Guide, room) + " "
	}
	out[len(out)-1] = last + fill + n
	return out
}
