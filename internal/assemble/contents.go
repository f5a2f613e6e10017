package assemble

import (
	"slices"

	"continuo/internal/book"
	"continuo/internal/layout"
	"continuo/internal/structure"
)

// contentsList is the one contents list of the book, made of the volumes'
// lists.
type contentsList struct {
	lines []listLine
	print bool     // its numbers are print pages and stay
	two   bool     // the volumes' lists have a column of print pages and one of braille pages
	first bool     // the print pages stand in the first of these
	gap   [2]int32 // cells between the two: from the last end of a number in the first to the first start of one in the second

	paired bool          // the entries of the list that is read now are of two lines
	left   bool          // the numbers of the list that is read now stand before the words
	over   int32         // cell at which entries run over, 0 if none is the usual one
	cells  map[int32]int // how many of its lines begin at each cell
	whole  bool          // each of its lines without a number has lines further in after it, the last of them alone with one
}

// listLine is one line of the list: units of one volume that belong together.
type listLine struct {
	vol      int
	units    []int
	kind     book.Kind
	repeat   bool // an earlier list has the same entry
	general  bool // left of a general list
	isRule   bool
	norm     string
	print    []byte // print page number to be written after it
	numbered bool
	lead     bool // its number stands at the end of its first line, runovers after it
	left     bool // its number stands before its words
	braille  bool // its number alone stands in the column of braille pages

	to         place   // the heading that it names
	confidence float64 // of that, 0 when none was found
}

// contents makes one list of the volumes' contents lists. A list whose numbers
// are braille pages loses them; a general list that only says which volume
// holds what goes when the volumes have lists of their own.
func (a *assembly) contents() {
	own := false
	for i, v := range a.vols {
		for _, r := range v.Contents {
			own = own || (!r.General && v.RepeatOf == nil && a.open(i, r))
		}
	}
	a.findHeadings()
	a.findInnerHeads()
	a.list.print = a.printNumbers()
	for i, v := range a.vols {
		if v.RepeatOf != nil {
			continue
		}
		for _, r := range v.Contents {
			if r.General && own {
				continue
			}
			a.addRegion(i, v, r)
		}
	}
	a.joinEntries()
	a.keepOneHeading()
	for i, v := range a.vols {
		for _, r := range v.Contents {
			if r.General && own && v.RepeatOf == nil {
				a.dropGeneral(i, v, r)
			}
		}
	}
	a.joinEntries()
	a.markListed()
	a.markSpelled()
	a.listPages()
	a.tellList()
}

// printNumber reports whether the number of an entry is a print page.
func (a *assembly) printNumber(l *listLine) bool { return a.list.print && !l.braille }

// listPages finds the print page of each entry that loses a braille page.
func (a *assembly) listPages() {
	for k := range a.list.lines {
		if l := &a.list.lines[k]; l.numbered && !a.printNumber(l) && l.confidence >= sure {
			l.print = l.to.printCells()
		}
	}
}

// open reports whether units of a region still have no fate.
func (a *assembly) open(i int, r structure.Region) bool {
	for k := r.From; k < r.To; k++ {
		if a.fates[i][k] == asText {
			return true
		}
	}
	return false
}

// keepOneHeading leaves out every contents heading and every line but the first,
// and the entries that stand in an earlier list already.
func (a *assembly) keepOneHeading() {
	again := a.why("contents", "contents heading again", "the book has one list", 0.97)
	rep := a.why("repeat", "entry of an earlier list", "same words there", 0.95)
	marker := a.why("marker", "line of a contents list again", "the lists are one", 0.9)
	kept := a.list.lines[:0]
	heading, rule := false, false
	earlier := keptEntries{at: map[string][]int{}, statements: a.statementsBefore()}
	var over overLines
	out := func(l *listLine) {
		over.leave()
		for _, k := range l.units {
			a.leave(l.vol, k, rep)
		}
	}
	for i, lines := 0, a.list.lines; i < len(lines); i++ {
		l := lines[i]
		goesOn := over.kept(&l, a.vols[l.vol].Units[l.units[0]].From) && !l.numbered
		switch {
		case l.isRule && rule:
			a.leave(l.vol, l.units[0], marker)
			continue
		case l.isRule:
			rule = true
		case l.kind == book.Heading && heading:
			a.leave(l.vol, l.units[0], again)
			continue
		case l.kind == book.Heading:
			heading = true
		case l.repeat && !goesOn && earlier.name(kept, &l), len(l.units) > 1 && a.apartIn(&earlier, kept, &l):
			out(&l)
			continue
		case i+1 < len(lines) && earlier.joined(kept, &l, &lines[i+1]):
			out(&l)
			i++
			over.kept(&lines[i], a.vols[l.vol].Units[lines[i].units[0]].From)
			out(&lines[i])
			continue
		}
		earlier.at[l.norm] = append(earlier.at[l.norm], len(kept))
		kept = append(kept, l)
	}
	a.list.lines = kept
}

// overLines are the lines of a volume's list under which a line stands, each further out than
// the next.
type overLines struct {
	vol   int
	lines []overLine
}

type overLine struct {
	from int32
	out  bool
}

// kept takes the next line, which begins at cell from, and reports whether the line that it stands under is
// kept: then a line without a number belongs to that, whatever other entries have the same word.
func (o *overLines) kept(l *listLine, from int32) bool {
	if o.vol != l.vol {
		o.vol, o.lines = l.vol, o.lines[:0]
	}
	for n := len(o.lines); n > 0 && o.lines[n-1].from >= from; n-- {
		o.lines = o.lines[:n-1]
	}
	o.lines = append(o.lines, overLine{from: from})
	return len(o.lines) > 1 && !o.lines[len(o.lines)-2].out
}

// leave says that the last line taken is left out.
func (o *overLines) leave() { o.lines[len(o.lines)-1].out = true }

// keptEntries are the lines of the contents list kept so far.
type keptEntries struct {
	at         map[string][]int // where lines of the same words stand among them
	statements [][]int32
}

// name reports whether the lines kept so far have an entry with the words of l
// that names the same heading, in an earlier volume: of another file, or of the
// same one when a volume statement stands between.
func (e *keptEntries) name(kept []listLine, l *listLine) bool {
	for _, k := range e.at[l.norm] {
		o := &kept[k]
		if sameHeading(o, l) && (o.vol != l.vol || e.statements[l.vol][o.units[0]] < e.statements[l.vol][l.units[0]]) {
			return true
		}
	}
	return false
}

// joined reports whether an earlier volume's list has two entries as one.
func (e *keptEntries) joined(kept []listLine, l, next *listLine) bool {
	if l.kind != book.Entry || next.kind != book.Entry || next.vol != l.vol {
		return false
	}
	return slices.ContainsFunc(e.at[l.norm+" "+next.norm], func(k int) bool { return kept[k].kind == book.Entry && kept[k].vol != l.vol && len(kept[k].units) > 1 })
}

// apartIn reports whether the lines of an entry, each by itself, are entries in a row of an earlier volume's list.
func (a *assembly) apartIn(e *keptEntries, kept []listLine, l *listLine) bool {
	var norms []string
	for _, k := range l.units {
		t := a.vols[l.vol].Units[k].Text
		if p, ok := a.numberOf(l); ok && k == l.numberUnit() {
			t = p.text
		}
		norms = append(norms, layout.Normal(t))
	}
	return slices.ContainsFunc(e.at[norms[0]], func(k int) bool {
		return k+len(norms) <= len(kept) && kept[k].vol != l.vol && slices.EqualFunc(kept[k:k+len(norms)], norms, func(o listLine, n string) bool { return o.norm == n })
	})
}

// statementsBefore counts, for each unit of each volume, the volume statements
// left out before it: a file can hold several volumes.
func (a *assembly) statementsBefore() [][]int32 {
	out := make([][]int32, len(a.vols))
	for i, v := range a.vols {
		out[i] = make([]int32, len(v.Units)+1)
		for k := range v.Units {
			out[i][k+1] = out[i][k]
			if why := a.b.Out[i][v.Units[k].Line]; why != 0 && a.b.Reasons[why].Class == "volume-statement" {
				out[i][k+1]++
			}
		}
	}
	return out
}
