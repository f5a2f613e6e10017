package testkit

import (
	"fmt"
	"strings"
	"sync"

	"continuo/internal/cell"
)

var numberWords = []string{"zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve", "thirteen", "fourteen"}
var ordinalWords = []string{"", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh", "twelfth"}

func titleCase(s string) string {
	var out []string
	for i, w := range strings.Fields(s) {
		if i > 0 && (w == "of" || w == "in" || w == "the" || w == "by" || w == "and") {
			out = append(out, w)
			continue
		}
		out = append(out, strings.ToUpper(w[:1])+w[1:])
	}
	return strings.Join(out, " ")
}

// Number writes a braille number: number sign and letters.
func Number(n int) string {
	s := fmt.Sprint(n)
	b := []byte{'#'}
	for _, c := range s {
		b = append(b, "jabcdefghi"[c-'0'])
	}
	return string(b)
}

// Roman writes a roman number in small letters.
func Roman(n int) string {
	var b strings.Builder
	for _, r := range []struct {
		v int
		s string
	}{{100, "c"}, {90, "xc"}, {50, "l"}, {40, "xl"}, {10, "x"}, {9, "ix"}, {5, "v"}, {4, "iv"}, {1, "i"}} {
		for ; n >= r.v; n -= r.v {
			b.WriteString(r.s)
		}
	}
	return b.String()
}

// statementWords gives the lines of a volume statement in print.
func statementWords(form string, v, n int) []string {
	in := func(s string) string {
		if n == 1 {
			return "In " + s + " Volume"
		}
		return "In " + s + " Volumes"
	}
	switch form {
	case "word":
		return []string{in(titleCase(numberWords[n])), "Volume " + titleCase(numberWords[v])}
	case "figure":
		return []string{in(fmt.Sprint(n)), fmt.Sprint("Volume ", v)}
	case "roman":
		return []string{in(titleCase(numberWords[n])), "Volume " + strings.ToUpper(Roman(v))}
	case "capitals":
		return []string{strings.ToUpper(in(numberWords[n])), fmt.Sprint("VOLUME ", v)}
	case "of":
		return []string{fmt.Sprintf("Volume %d of %d", v, n)}
	case "book of":
		return []string{fmt.Sprintf("Book %d of %d", v, n)}
	case "part of":
		return []string{fmt.Sprintf("Part %d of %d", v, n)}
	case "only":
		return []string{fmt.Sprint("Volume ", v)}
	case "pages":
		return []string{in(fmt.Sprint(n)), fmt.Sprint("Volume ", v)}
	}
	return []string{in(numberWords[n]), fmt.Sprint("Volume ", v)}
}

// endWords fills a wording of an end-of-volume line.
func endWords(form string, v int) string {
	return strings.NewReplacer(
		"%w", titleCase(numberWords[v]), "%d", fmt.Sprint(v), "%r", strings.ToUpper(Roman(v)), "%R", strings.ToUpper(Roman(v)),
		"%n", titleCase(numberWords[v+1]), "%o", titleCase(ordinalWords[v]),
	).Replace(form)
}

var plainPhrases = []string{
	"Contents", "CONTENTS", "General Contents", "Page", "Braille page", "Print page", "The End", "THE END", "by", "By", "Notes", "Dedication",
	"Transcriber's Notes", "Special Symbols", "Continuous braille edition", "Preliminary Volume", "Acknowledgements",
	"This braille edition is divided as follows", "Section",
	"Produced and published by", "Harbour Braille Press", "Saltmere", "Brailled by volunteers of the harbour library",
	"First published by Quayside Books", "Braille edition made at Saltmere", "All rights reserved",
	"For the keepers of every small light", "who wait for the boats to come home",
	"Pictures of the print book are left out.", "Words set in another type in print are not marked in this edition.",
	"The map at the front of the print book is described in a few words at its place.",
	"asterisk", "solidus", "opening note sign", "closing note sign", "dagger", "section mark", "degree sign",
	"Braille pages", "and", "Index", "Tides at Saltmere", "Day High Low", "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday",
	"The letters in this volume are set as the writer spelled them.",
	"A drawing of the harbour wall stands here in print.", "Here the print book has a small picture of a lantern.",
}

var titles = []string{
	"The Lantern Keepers", "A Winter at Saltmere", "The Ferryman of Low Wharf", "Nine Doors to the Harbour", "The Glass Orchard",
	"Letters from a Quiet Shore", "The Weather House", "Under the Bell Tower", "The Long Tide", "A Handbook of Coastal Paths",
}
var authors = []string{"Orla Fennimore", "Tobias Wrenfield", "Maud Askerley", "Ivo Penhallock", "Hester Quillfeather"}

var headingNames = []string{
	"The Road to the Sea", "An Old Promise", "What the Ferryman Knew", "A Light in the Window", "Rain before Morning", "The Second Letter",
	"Nothing but Salt", "At the Weaver's Door", "Three Keys", "A Visitor from Town", "The Broken Oar", "Questions", "Into the Fog", "Low Water",
	"The Harbour Master", "Under One Roof", "A Map without Names", "The Quarrel", "Homeward", "Silence on the Quay", "Market Day",
	"The Blue Door", "Half a Loaf", "The Wrong Bell", "Night Watch", "A Small Parcel", "What Was Left", "The Lamp Goes Out", "New Paint", "Spring Tide",
}

// phrases puts the fixed wordings into one code, once a run.
type phraseBook struct {
	once sync.Once
	m    map[string]string
	err  error
}

var phraseBooks sync.Map // Code to *phraseBook

func phrases(c Code) (map[string]string, error) {
	v, _ := phraseBooks.LoadOrStore(c, new(phraseBook))
	pb := v.(*phraseBook)
	pb.once.Do(func() {
		list := append([]string(nil), plainPhrases...)
		list = append(append(append(list, titles...), authors...), headingNames...)
		for _, h := range headingNames {
			list = append(list, strings.ToUpper(h))
		}
		for v := 1; v <= 12; v++ {
			for _, form := range []string{"word", "figure", "roman", "capitals", "mixed"} {
				list = append(list, statementWords(form, v, v)...)
			}
			list = append(list, "In 1 Volumes", "Volume")
			for n := v; n <= 12; n++ {
				for _, form := range []string{"of", "book of", "part of"} {
					list = append(list, statementWords(form, v, n)...)
				}
			}
			for _, f := range []string{"End of Volume %w", "End of Volume %d", "End of Volume %r", "END OF VOLUME %R", "Continued in Volume %n", "End of %o Volume", "End of Book %w", "End of Part %d"} {
				list = append(list, endWords(f, v))
			}
		}
		for _, t := range titles {
			list = append(list, strings.ToUpper(t))
		}
		for n := 1; n <= 60; n++ {
			list = append(list, fmt.Sprint("Chapter ", n), fmt.Sprint("CHAPTER ", n))
			if n < len(numberWords) {
				list = append(list, "Chapter "+titleCase(numberWords[n]))
			}
		}
		out, err := Translate(c, list)
		if err != nil {
			pb.err = err
			return
		}
		pb.m = map[string]string{}
		for i, s := range list {
			pb.m[s] = string(out[i])
		}
	})
	return pb.m, pb.err
}

// plainHead takes the capital signs off the words of a head. A dot 6 that
// begins a contraction inside a word stays.
func plainHead(s string) string {
	words := strings.Fields(s)
	for i, w := range words {
		words[i] = strings.TrimSuffix(strings.TrimLeft(w, ","), ",'")
	}
	return strings.Join(words, " ")
}

func blanks(n int) string { return strings.Repeat(string(rune(cell.Blank)), max(0, n)) }

// inserts are invented sentences with what is mistaken for page furniture.
// %d is filled with a number that no other sentence has.
var inserts = []string{
	"The light was lit for the first time in the autumn of %d.",
	"The keeper wrote down 12%d passing sails, and the book is lost.",
	"Of the %d lamps that were sold that year, few came back.",
	"It happened in the winter of 17%d",
	"Page %d of the log is torn out.",
	"They sang number %d",
}

// address is set in UEB books only, where its solidus has one sign.
const address = "The hours are at www.saltmere.example/tides/winter/%d/harbour/table for all to read."

var indexWords = []string{"anchor", "bell", "boats", "candle oil", "chart room", "ferry", "fog", "glass", "harbour wall", "herring", "keeper", "ladder", "lantern", "log book", "low water", "mist", "north pier", "oars", "pilot", "quay", "rope walk", "sails", "signals", "tide", "tower", "wharf", "winter storms", "wreck"}
