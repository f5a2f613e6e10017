package testkit

import (
	"bytes"
	"strings"
)

// Faults lists the faults that Plant can put into the files of a title: what
// happens to volumes in an archive.
func Faults() []string {
	return []string{"missing", "doubled", "swapped", "foreign", "foreign in place", "cut", "cut at a page", "flipped", "other code", "other table", "print"}
}

// Plant puts a fault into the files of a title and returns the new files; nil
// when the title cannot have it, or when nobody could tell: a last volume that
// is missing where no volume says how many there are. Another try puts the
// fault elsewhere. texts are for the faults that need another book.
func Plant(t *Title, kind string, try int, texts []Text) []File {
	return PlantFrom(t, kind, try, OthersOf(t, texts))
}

// Others are the books beside a title that some faults need: another one of the same house,
// and the same one in another grade; nil when there is none.
type Others struct{ Another, OtherCode func() *Title }

// OthersOf are the books beside a title of this press.
func OthersOf(t *Title, texts []Text) Others {
	return Others{func() *Title { return another(t, texts) }, func() *Title { return otherCode(t, texts) }}
}

// PlantFrom plants a fault in a title of any press.
func PlantFrom(t *Title, kind string, try int, others Others) []File {
	d := Dice(t.Lay.Seed*31 + uint64(try)*7919)
	n := len(t.Files)
	if n < 2 && (kind == "swapped" || kind == "foreign in place" || kind == "other code") { // a whole book takes its place
		return nil
	}
	k := d.N(n, "fault", kind)
	files := append([]File(nil), t.Files...)
	f := &files[k]
	switch kind {
	case "missing":
		if n < 3 {
			return nil
		}
		if k = d.N(n-1, "missing"); k == 0 && t.Lay.PrelimVolume {
			return nil
		}
		return append(files[:k], files[k+1:]...)
	case "doubled":
		return append(files, File{"copy of " + f.Name, f.Raw})
	case "swapped":
		j := (k + 1) % n
		files[k].Raw, files[j].Raw = files[j].Raw, files[k].Raw
		if t.Lay.PrelimVolume || t.Lay.File.Names == "scrambled" {
			return nil // such names say nothing of an order
		}
	case "foreign", "foreign in place":
		o := others.Another()
		if o == nil {
			return nil
		}
		alien := o.Files[min(1, len(o.Files)-1)]
		if kind == "foreign" {
			return append(files, File{"other " + alien.Name, alien.Raw})
		}
		f.Raw = alien.Raw
	case "cut":
		f.Raw = f.Raw[:len(f.Raw)/4+d.N(len(f.Raw)/2, "cut")]
	case "cut at a page":
		if f.Raw = cutAtPage(f.Raw, d); f.Raw == nil {
			return nil
		}
	case "flipped":
		f.Raw = bytes.Clone(f.Raw)
		for i := range 64 {
			f.Raw[d.N(len(f.Raw), "flip", i)] ^= 1 << d.N(8, "bit", i)
		}
	case "other code":
		o := others.OtherCode()
		if o == nil || k >= len(o.Files) {
			return nil
		}
		f.Raw = o.Files[k].Raw
	case "other table":
		if t.Lay.File.Encoding != "ascii" {
			return nil
		}
		f.Raw = otherTable(f.Raw)
	case "print":
		f.Raw = []byte(strings.Repeat("It was late in the year, and the lamps along the quay were lit.\nShe counted them: seven, as always, and then the one that moved.\n", 200))
	default:
		panic("testkit: no such fault: " + kind)
	}
	return files
}

func another(t *Title, texts []Text) *Title {
	for s := t.Lay.Seed + 100_000; ; s++ {
		l := Draw(s)
		l.File = t.Lay.File
		l.File.Damage = ""
		l.Code = t.Lay.Code
		b, err := NewBook(l, texts)
		if err != nil {
			return nil
		}
		o, err := Press(b)
		if err != nil {
			return nil
		}
		if !SameTitle(o, t) {
			return o
		}
	}
}

// SameTitle reports whether two titles are called the same.
func SameTitle(a, b *Title) bool { return plainTitle(a) == plainTitle(b) }

// plainTitle is a title without capital signs and their ends.
func plainTitle(t *Title) string {
	return strings.Map(func(r rune) rune {
		if strings.ContainsRune(",;'", r) {
			return -1
		}
		return r
	}, join(t.Truth.Title))
}

// otherCode presses the same book in another grade.
func otherCode(t *Title, texts []Text) *Title {
	l := Draw(t.Lay.Seed)
	l.Code.Contracted = !l.Code.Contracted
	l.Divide = false
	b, err := NewBook(l, texts)
	if err != nil {
		return nil
	}
	o, err := Press(b)
	if err != nil {
		return nil
	}
	return o
}

// otherTable writes a file as if its cells were of a table in which the six
// dots come in another order: a wrong setting when a file was saved.
func otherTable(raw []byte) []byte {
	out := bytes.Clone(raw)
	for i, b := range out {
		switch {
		case b >= 'a' && b <= 'z':
			out[i] = 'a' + (b-'a'+11)%26
		case b >= 'A' && b <= 'Z':
			out[i] = 'A' + (b-'A'+11)%26
		case b > ' ' && b < '@':
			out[i] = '!' + (b-'!'+13)%31
		}
	}
	return out
}

// cutAtPage drops the last third to half of a file's pages, at a form feed.
func cutAtPage(raw []byte, d Dice) []byte {
	var ends []int
	for i, b := range raw {
		if b == '\f' {
			ends = append(ends, i+1)
		}
	}
	if len(ends) < 6 {
		return nil
	}
	return bytes.Clone(raw[:ends[len(ends)/2+d.N(len(ends)/6+1, "page cut")]])
}
