package meta

import (
	"fmt"
	"strings"
	"unicode"
)

// Found is one value that a program read in the volumes and that a person must
// confirm. Key is that of the file, "title" or "dates.copyright"; a name of a
// creator is "creator". Where is its place in words.
type Found struct{ Key, Value, Where string }

// keys of the file in its order, with what they are.
var keys = []struct{ key, about, example string }{
	{"title", "The title in print.", `"The Pond"`},
	{"language", "Language of the text, without the script: en, en-GB, cy.", `"en-GB"`},
	{"identifiers", "Of this braille edition, a URN or URL; the first one names it.", `["urn:uuid:..."]`},
	{"producers", "Who made the braille.", `["..."]`},
	{"publisher", "Who passes this edition on.", `"..."`},
	{"rights", "The notice of rights, as the book has it.", `"..."`},
	{"subjects", "What the book is about.", `["..."]`},
	{"description", "A few words on the book.", `"..."`},
	{"complete", "Whether the braille has all of the work.", "true"},
	{"modified", "When this edition was last changed; else the day of publication.", `"2026-01-31T12:00:00Z"`},
	{"system", "Braille systems of the text; else as found.", `["UEB grade2"]`},
	{"dates.copyright", "Year of the copyright in print.", `"1999"`},
	{"dates.publication", "When this edition is published.", `"2026-01-31"`},
	{"dates.transcription", "When the braille volumes were made.", `"2004"`},
	{"creator", "One such part for every author, editor, translator.", ""},
	{"source.identifier", "The print edition: its ISBN, or a URN or URL.", `"urn:isbn:..."`},
	{"source.title", "Its title, when it is another one.", `"..."`},
	{"source.publisher", "Its publisher.", `"..."`},
	{"source.date", "Its year.", `"1999"`},
	{"source.edition", "Which edition, in words.", `"..."`},
}

// Offer returns a metadata file to be filled in. Nothing in it is in force:
// every key stands behind a comment sign, with what was found in the volumes
// as its value, and where.
func Offer(found []Found) []byte {
	var b strings.Builder
	b.WriteString("# Metadata of one title, for Continuo. Nothing is in force while a line begins with #.\n" +
		"# Lines marked \"to confirm\" were read in the braille by a program: compare them\n" +
		"# with the book, then take the # away. Leave out what you do not know.\n")
	table := ""
	for _, k := range keys {
		name := k.key
		if t, rest, ok := strings.Cut(k.key, "."); ok {
			name = rest
			if t != table {
				fmt.Fprintf(&b, "\n[%s]\n", t)
			}
			table = t
		}
		fmt.Fprintf(&b, "\n# %s\n", k.about)
		values := 0
		for _, f := range found {
			if f.Key == k.key {
				values++
				fmt.Fprintf(&b, "# to confirm, %s:\n", oneLine(f.Where))
				b.WriteString(offerLine(k.key, name, f.Value))
			}
		}
		if values == 0 {
			b.WriteString(emptyLine(k.key, name, k.example))
		}
	}
	return []byte(b.String())
}

func offerLine(key, name, value string) string {
	v := quote(value)
	switch key {
	case "creator":
		return creatorLines(v)
	case "identifiers", "producers", "subjects":
		v = "[" + v + "]"
	}
	return fmt.Sprintf("#%s = %s\n", name, v)
}

func emptyLine(key, name, example string) string {
	if key == "creator" {
		return creatorLines(`"..."`)
	}
	return fmt.Sprintf("#%s = %s\n", name, example)
}

// creatorLines is a part for one creator. The role is for a person to give.
func creatorLines(name string) string {
	return "#[[creator]]\n#name = " + name + "\n#role = \"aut\"\n"
}

// oneLine makes a text fit for a comment, in which TOML 1.0 allows no control character
// but the tab.
func oneLine(s string) string {
	return strings.Join(strings.FieldsFunc(s, func(c rune) bool { return unicode.IsSpace(c) || unicode.IsControl(c) }), " ")
}

// quote writes a basic string of TOML 1.0.
func quote(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, c := range s {
		switch {
		case c == '"' || c == '\\':
			b.WriteByte('\\')
			b.WriteRune(c)
		case c < 0x20 || c == 0x7F:
			fmt.Fprintf(&b, `\u%04X`, c)
		default:
			b.WriteRune(c)
		}
	}
	b.WriteByte('"')
	return b.String()
}
