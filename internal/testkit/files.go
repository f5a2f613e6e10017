package testkit

import (
	"bytes"
	"fmt"
	"strings"

	"continuo/internal/cell"
)

// FileForm is how the pages are written to files.
type FileForm struct {
	Encoding string // "ascii", "utf-8", "utf-16le", "utf-16be"
	Case     string // "upper", "lower", "mixed"
	Curly    bool   // ` { | } ~ DEL for @ [ \ ] ^ _
	EOL      string // "mixed" has both LF and CR LF
	Breaks   string // form feed: "after" the line end, "before" it, "instead" of it, "none"
	Final    string // after the last page: "feed", "line", "two", "bare"
	BOM      bool
	Padding  string // "", "ctrl-z", "padded"
	Blanks   bool   // lines padded with blanks to the page width
	Trim     bool   // blank lines at the end of a page left out
	Names    string // naming scheme
	Damage   string // kind of damage, or ""
	Lost     string // form feeds that are missing: "" none, "one" of a volume, "some" in all, "volume" all of one

	lost map[int]bool // pages of the volume at hand that have none after them
}

// DrawFile draws the form of a title's files.
func DrawFile(d Dice, l *Layout) FileForm {
	f := FileForm{
		Encoding: pick(d, []string{"ascii", "ascii", "ascii", "ascii", "ascii", "ascii", "utf-8", "utf-16le", "utf-16be"}, "encoding"),
		Case:     pick(d, []string{"upper", "lower", "lower", "mixed"}, "case"),
		Curly:    d.Chance(30, "curly"),
		EOL:      pick(d, []string{"\n", "\n", "\r\n", "\r\n", "\r"}, "eol"),
		Breaks:   pick(d, []string{"after", "after", "after", "before", "instead", "none"}, "breaks"),
		Final:    pick(d, []string{"feed", "feed", "line", "two", "bare", "blank page"}, "final"),
		Padding:  pick(d, []string{"", "", "", "ctrl-z", "padded"}, "padding"),
		Blanks:   d.Chance(10, "blanks"),
		Trim:     d.Chance(30, "trim"),
		Names:    pick(d, []string{"vol", "vol", "nls", "dash", "letter", "word", "roman", "plain", "scrambled"}, "names"),
	}
	if d.Chance(5, "mixed line ends") {
		f.EOL = "mixed"
	}
	f.BOM = strings.HasPrefix(f.Encoding, "utf") && d.Chance(70, "bom")
	if strings.HasPrefix(f.Encoding, "utf-16") {
		f.BOM = true
	}
	if f.Breaks == "none" {
		f.Trim = false
	}
	if f.Breaks != "none" && d.Chance(12, "lost feeds") {
		f.Lost = pick(d, []string{"one", "some", "volume"}, "which feeds")
		f.Trim = f.Trim && f.Lost != "volume" // blank lines alone end pages without a number
	}
	if d.Chance(25, "damaged") {
		f.Damage = pick(d, []string{"wrong number", "no number", "misspelt head", "flipped head", "short page", "long page", "long line", "foreign byte"}, "damage")
	}
	return f
}

// losing is the form of the file of volume v of n, which has so many pages, with the
// form feeds that it lacks.
func (f FileForm) losing(d Dice, v, n, pages int) FileForm {
	f.lost = map[int]bool{}
	some := d.N(n, "volume of lost feeds") == v
	for i := range pages {
		switch f.Lost {
		case "one":
			f.lost[i] = some && i == pages/4+d.N(max(1, pages/2), "lost feed")
		case "some":
			f.lost[i] = d.Chance(12, "lost", v, i)
		case "volume":
			f.lost[i] = some
		}
	}
	return f
}

// Encode writes the pages of one volume as a file of the given form. Each page
// is a list of lines.
func (f FileForm) Encode(d Dice, pages [][][]byte, width int) []byte {
	var b bytes.Buffer
	for i, p := range pages {
		last := i == len(pages)-1
		if f.Trim {
			for len(p) > 0 && len(p[len(p)-1]) == 0 {
				p = p[:len(p)-1]
			}
		}
		for k, line := range p {
			if f.Blanks {
				line = append(bytes.Clone(line), bytes.Repeat([]byte{cell.Blank}, max(0, width-len(line)))...)
			}
			b.Write(line)
			if k < len(p)-1 {
				b.WriteByte('\n')
			}
		}
		if f.lost[i] && !last {
			b.WriteByte('\n')
			continue
		}
		b.WriteString(f.pageEnd(last, len(p) == 0))
	}
	return f.bytes(d, b.Bytes())
}

// pageEnd returns what stands after the last line of a page, with \n for a
// line end.
func (f FileForm) pageEnd(last, empty bool) string {
	if last {
		switch f.Final {
		case "line":
			return "\n"
		case "blank page":
			if f.Breaks != "none" {
				return "\n\f\n\n\n\n\f"
			}
			return "\n"
		case "two":
			if f.Breaks != "none" {
				return "\n\f\f"
			}
			return "\n\n"
		case "bare":
			return ""
		}
		if f.Breaks == "none" {
			return "\n"
		}
		return "\n\f"
	}
	switch f.Breaks {
	case "after":
		if empty {
			return "\f"
		}
		return "\n\f"
	case "before":
		return "\f\n"
	case "instead":
		return "\f"
	}
	return "\n"
}

// bytes writes canonical cells, \n and \f in the file's encoding.
func (f FileForm) bytes(d Dice, text []byte) []byte {
	var out bytes.Buffer
	if f.Encoding == "ascii" {
		for i, c := range text {
			if c == '\n' {
				out.WriteString(f.end(d, i))
			} else {
				out.WriteByte(f.ascii(d, c, i))
			}
		}
		return append(out.Bytes(), f.pad(out.Len())...)
	}
	put := func(r rune) {
		switch f.Encoding {
		case "utf-8":
			out.WriteRune(r)
		case "utf-16le":
			out.Write([]byte{byte(r), byte(r >> 8)})
		default:
			out.Write([]byte{byte(r >> 8), byte(r)})
		}
	}
	if f.BOM {
		put(0xFEFF)
	}
	for _, c := range text {
		switch {
		case c == '\n':
			for _, e := range f.end(d, out.Len()) {
				put(e)
			}
		case c < 0x20 || c >= 0x80:
			put(rune(c))
		default:
			put(cell.Rune(c))
		}
	}
	return out.Bytes()
}

// end is the line end at place i.
func (f FileForm) end(d Dice, i int) string {
	if f.EOL == "mixed" {
		return pick(d, []string{"\n", "\r\n"}, fmt.Sprint("end ", i))
	}
	return f.EOL
}

func (f FileForm) ascii(d Dice, c byte, i int) byte {
	upper := f.Case == "upper" || f.Case == "mixed" && d.Chance(30, "case", i/7)
	if upper && c >= 'a' && c <= 'z' {
		return c - 0x20
	}
	if f.Curly && c >= '@' && c <= '_' {
		return c | 0x20
	}
	return c
}

func (f FileForm) pad(n int) []byte {
	switch f.Padding {
	case "ctrl-z":
		return []byte{0x1a}
	case "padded":
		return bytes.Repeat([]byte{0x1a}, 128-n%128)
	}
	return nil
}

// name returns the name of the file of volume v of n (0 for a preliminary
// volume).
func (f FileForm) name(v, n int) string {
	ending := pick(Dice(n), []string{".brf", ".brf", ".BRF", ".txt", ".brl"}, f.Names)
	if v == 0 {
		return "prelim" + ending
	}
	switch f.Names {
	case "nls":
		return fmt.Sprintf("40172v%02d%s", v, ending)
	case "dash":
		return fmt.Sprintf("lantern-%d%s", v, ending)
	case "letter":
		return "lantern" + string(rune('a'+v-1)) + ending
	case "word":
		return "Lantern Volume " + strings.Title(numberWords[v]) + ending
	case "roman":
		return "lantern " + Roman(v) + ending
	case "scrambled": // the volume statements alone tell the order
		return fmt.Sprintf("b%05d%s", Dice(n).N(90000, "name", v)+10000, ending)
	case "plain":
		return fmt.Sprintf("%d%s", v, ending)
	}
	return fmt.Sprintf("Lantern Vol %d%s", v, ending)
}
