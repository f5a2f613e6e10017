// Package assemble makes one continuous book of the volumes of a title: it
// puts them in order, takes out what later volumes repeat, gathers notes, and
// makes one contents list.
package assemble

import (
	"fmt"
	"path"
	"slices"
	"sort"
	"strings"

	"continuo/internal/decide"
	"continuo/internal/diag"
	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/source"
	"continuo/internal/structure"
)

// Title is a set of volumes that belong together, in reading order.
type Title struct {
	Volumes  []*structure.Volume
	Findings []diag.Finding
	decided  *decide.Decided
}

// Titles groups volumes by title and puts each group in order. The order in
// which they are given does not matter.
func Titles(vols []*structure.Volume) []Title { return TitlesDecided(vols, nil) }

// TitlesDecided is Titles with what people decided about order and extent.
func TitlesDecided(vols []*structure.Volume, d *decide.Decided) []Title {
	vols = byName(vols)
	var groups [][]*structure.Volume
next:
	for _, v := range vols {
		for g := range groups {
			if sameTitle(groups[g], v) {
				groups[g] = append(groups[g], v)
				continue next
			}
		}
		groups = append(groups, []*structure.Volume{v})
	}
	out := make([]Title, len(groups))
	for i, g := range groups {
		out[i] = order(g, d)
	}
	return out
}

// sameTitle compares the title page of v with those of a group. A volume
// without a title page goes with the others in its folder.
func sameTitle(group []*structure.Volume, v *structure.Volume) bool {
	if folder(group[0].File.Name) != folder(v.File.Name) {
		return false
	}
	seen := false
	for _, o := range group {
		if o.TitleHead == 0 || v.TitleHead == 0 {
			continue
		}
		seen = true
		if titleOn(o.TitleLines(), v) || titleOn(v.TitleLines(), o) {
			return true
		}
	}
	return !seen
}

// byName returns volumes in the natural order of their file names.
func byName(vols []*structure.Volume) []*structure.Volume {
	out := append([]*structure.Volume(nil), vols...)
	sort.SliceStable(out, func(i, j int) bool {
		a, b := out[i].File, out[j].File
		if a.Name != b.Name {
			return source.Natural(a.Name, b.Name)
		}
		return a.SHA256 < b.SHA256
	})
	return out
}

// folder is where the volumes of a title lie: the folder of a file, or what is
// around it or its name begins with where that folder holds one volume.
func folder(name string) string {
	name = strings.ReplaceAll(name, `\`, "/")
	dir := strings.TrimSuffix(path.Dir(name), ".")
	if title, ok := source.VolumeFolder(path.Base(dir)); ok {
		return path.Join(path.Dir(dir), strings.ToLower(title)) + "/"
	}
	return dir
}

// titleOn reports whether the first line of a title stands on v's title page.
func titleOn(title []string, v *structure.Volume) bool {
	for i := v.Title[0]; i < v.Title[1]; i++ {
		if n := layout.Normal(v.Units[i].Text); layout.Alike(title[0], n) {
			return true
		}
	}
	return layout.Alike(strings.Join(title, " "), strings.Join(v.TitleLines(), " "))
}

// order sorts the volumes of one title. The volume statements decide when all
// are there and differ; otherwise the file names in natural order do.
func order(vols []*structure.Volume, d *decide.Decided) Title {
	t := Title{decided: d}
	byName := append([]*structure.Volume(nil), vols...)
	sort.SliceStable(byName, func(i, j int) bool {
		a, b := byName[i], byName[j]
		if a.Prelim != b.Prelim {
			return a.Prelim
		}
		return source.Natural(a.File.Name, b.File.Name)
	})
	t.Volumes = byName
	t.dropRepeats()
	byName = once(byName)
	numberByParts(byName)
	if stated(byName) {
		byNumber := append([]*structure.Volume(nil), byName...)
		sort.SliceStable(byNumber, func(i, j int) bool {
			a, b := byNumber[i], byNumber[j]
			if a.Prelim != b.Prelim {
				return a.Prelim
			}
			return a.Number < b.Number
		})
		t.Volumes = append(t.chooseOrder(byName, byNumber), repeats(t.Volumes)...)
	}
	t.missing()
	t.running()
	return t
}

// once returns the volumes that repeat no other, repeats those that do.
func once(vols []*structure.Volume) (out []*structure.Volume) {
	for _, v := range vols {
		if v.RepeatOf == nil {
			out = append(out, v)
		}
	}
	return out
}

func repeats(vols []*structure.Volume) (out []*structure.Volume) {
	for _, v := range vols {
		if v.RepeatOf != nil {
			out = append(out, v)
		}
	}
	return out
}

// chooseOrder is the order of the volume statements, unless a person wants that
// of the file names.
func (t *Title) chooseOrder(byName, byNumber []*structure.Volume) []*structure.Volume {
	for i := range byName {
		if byName[i] == byNumber[i] {
			continue
		}
		var names, numbers []string
		for k := range byName {
			names, numbers = append(names, byName[k].File.Name), append(numbers, fmt.Sprint(byName[k].Number))
		}
		severity := diag.Look
		if !numbered(byName) {
			severity = diag.Note // names without numbers say nothing of the order
		}
		q := t.ask(severity, "order-disagrees", byName[i], "statements", numbers, "the file names and the volume statements give different orders; the statements are followed: volume %d is %s; in the order of their names the volumes are %s, and say that they are %s",
			byNumber[i].Number, byNumber[i].File.Name, strings.Join(names, ", "), strings.Join(numbers, ", "))
		if q.Choice() == "names" {
			return byName
		}
		break
	}
	return byNumber
}

// numbered reports whether the names of the volumes number them: all differ in
// digits only, and these are 1, 2, 3 and so on.
func numbered(byName []*structure.Volume) bool {
	var rest string
	for i, v := range byName {
		n, r := digitsIn(v.File.Name, byName)
		if i > 0 && r != rest || n != i+1 {
			return false
		}
		rest = r
	}
	return true
}

// digitsIn is the last number in a name and what stands around it.
func digitsIn(name string, all []*structure.Volume) (int, string) {
	end := strings.LastIndexAny(name, "0123456789") + 1
	if dot := strings.LastIndexByte(name, '.'); dot > 0 && dot < end && strings.ContainsAny(name[:dot], "0123456789") {
		if same := name[dot:]; allEnd(all, same) { // an ending with digits, the same for all
			end = strings.LastIndexAny(name[:dot], "0123456789") + 1
		}
	}
	from := end
	for from > 0 && name[from-1] >= '0' && name[from-1] <= '9' {
		from--
	}
	n := 0
	for _, c := range name[from:end] {
		if n = n*10 + int(c-'0'); n > 1000 {
			break
		}
	}
	return n, strings.ToLower(name[:from] + "#" + name[end:])
}

func allEnd(vols []*structure.Volume, ending string) bool {
	for _, v := range vols {
		if !strings.HasSuffix(v.File.Name, ending) {
			return false
		}
	}
	return true
}

// ask tells of something about the title that a person can decide on. parts are
// what it is about: the answer holds as long as they are the same.
func (t *Title) ask(s diag.Severity, id string, v *structure.Volume, usual string, parts []string, format string, args ...any) decide.Question {
	f := diag.Finding{ID: id, Severity: s, Place: diag.Place{File: v.File.Name}, Text: fmt.Sprintf(format, args...)}
	q := decide.Question{Severity: s, Place: f.Place, Evidence: f.Text, Usual: usual}
	k, _ := decide.Find(id)
	q.Kind = k
	q.ID = decide.TitleID(id, append(t.words(), parts...)...)
	if t.decided != nil {
		q = t.decided.Ask(q)
		f = q.Settle(f)
	}
	t.Findings = append(t.Findings, f)
	return q
}

// numberByParts takes the numbers of parts or books on the title pages ("part 2 of
// 3", "book the second"; common practice) for those of the volumes, where no volume
// has a number and these are one to the last, each once, or all of the same extent, each
// another one. A preliminary volume has none. Every volume says which it is (UKAAF B004, section 4): the lines are volume
// statements where they say how many there are, or where nothing in the text has such a
// name. Otherwise they are the book's own.
func numberByParts(vols []*structure.Volume) {
	vols = slices.DeleteFunc(slices.Clone(vols), func(v *structure.Volume) bool { return v.Prelim })
	for _, id := range []english.PhraseID{english.Part, english.Book} {
		lines, counted := partLines(vols, id)
		if lines == nil {
			continue
		}
		own := !counted && partNamed(vols, id)
		for n, u := range lines {
			if vols[n].Number = u.Phrase.N; !own {
				u.Volume = true
			}
			if counted {
				vols[n].Of = u.Phrase.M
			}
		}
		return
	}
}

// partLines are the lines of the title pages that name a part, one of each volume, and
// whether all of them say how many there are, the same, and no fewer than these; nil when
// some volume has none or a number of its own, or a number comes twice or is too high.
func partLines(vols []*structure.Volume, id english.PhraseID) (lines []*structure.Unit, counted bool) {
	seen := map[int]bool{}
	counted, top := true, 0
	for _, v := range vols {
		var line *structure.Unit
		for i := v.Title[0]; i < titleEnd(v, id); i++ {
			if u := &v.Units[i]; (u.Centred || u.Phrase.M > 0) && u.HasPhrase && u.Phrase.ID == id && u.Phrase.N > 0 && u.Phrase.N <= max(len(vols), u.Phrase.M) && len(u.Phrase.Tail) == 0 {
				line = u
			}
		}
		if line == nil || v.Number > 0 || seen[line.Phrase.N] {
			return nil, false
		}
		seen[line.Phrase.N] = true
		lines, top = append(lines, line), max(top, line.Phrase.N)
		counted = counted && line.Phrase.M >= len(vols) && line.Phrase.M == lines[0].Phrase.M
	}
	if counted = counted && len(vols) > 1; !counted && top > len(vols) {
		return nil, false
	}
	return lines, counted
}

// titleEnd is the end of a title page, and of the page after it where the title page had no room for all of its
// lines: all stand in the middle there, and one names a part and of how many, or it and rules are all.
func titleEnd(v *structure.Volume, id english.PhraseID) int {
	end := v.Title[1]
	if end == 0 || end >= len(v.Units) || v.Units[end].Page != v.Units[end-1].Page+1 {
		return end
	}
	k, others, parts, counted := end, 0, 0, 0
	for ; k < len(v.Units) && v.Units[k].Page == v.Units[end].Page; k++ {
		switch u := &v.Units[k]; {
		case u.Rule:
		case !u.Centred:
			return end
		case u.HasPhrase && u.Phrase.ID == id && u.Phrase.N > 0 && len(u.Phrase.Tail) == 0:
			parts++
			counted += boolInt(u.Phrase.M > 0)
		default:
			others++
		}
	}
	if parts != 1 || others > 0 && counted == 0 {
		return end
	}
	return k
}

// partNamed reports whether a line of its own in the text names such a part.
func partNamed(vols []*structure.Volume, id english.PhraseID) bool {
	for _, v := range vols {
		for k := v.Title[1]; k < len(v.Units); k++ {
			if u := &v.Units[k]; u.HasPhrase && u.Phrase.ID == id && u.Phrase.N > 0 && v.Alone(k) {
				return true
			}
		}
	}
	return false
}

// words are the words of the title itself, of the first volume that has them.
func (t *Title) words() []string {
	for _, v := range t.Volumes {
		if v.TitleHead > 0 {
			return v.TitleLines()
		}
	}
	return nil
}
func stated(vols []*structure.Volume) bool {
	for _, v := range vols {
		if v.Number == 0 && !v.Prelim {
			return false
		}
	}
	return true
}

// dropRepeats names files that hold the same bytes as another one. They stay
// in the title as repeats, so that every line of them is accounted for.
func (t *Title) dropRepeats() {
	seen := map[string]*structure.Volume{}
	for _, v := range t.Volumes {
		if o := seen[v.File.SHA256]; o != nil {
			v.RepeatOf = o
			t.ask(diag.Look, "volume-repeated", v, "go-on", []string{v.File.SHA256}, "holds the same bytes as %s and is left out", o.File.Name)
			continue
		}
		seen[v.File.SHA256] = v
	}
}

// Clash returns two different files that both say they are the same volume.
func (t *Title) Clash() (a, b *structure.Volume) {
	byNumber := map[int]*structure.Volume{}
	for _, v := range t.Volumes {
		if v.Number == 0 || v.RepeatOf != nil {
			continue
		}
		if o := byNumber[v.Number]; o != nil {
			return o, v
		}
		byNumber[v.Number] = v
	}
	return nil, nil
}

// missing looks for numbers that no volume has.
func (t *Title) missing() {
	have, of, top := map[int]bool{}, 0, 0
	var last *structure.Volume
	for _, v := range t.Volumes {
		if v.Number > 0 {
			have[v.Number] = true
			top = max(top, v.Number)
		}
		if v.Of > 0 && of > 0 && v.Of != of {
			t.ask(diag.Look, "extent-disagrees", v, "go-on", []string{fmt.Sprint(v.Of), fmt.Sprint(of)}, "says that there are %d volumes, an earlier one says %d", v.Of, of)
		}
		of = max(of, v.Of)
		last = v
	}
	if len(have) == 0 {
		if of > len(t.Volumes) {
			t.ask(diag.Stop, "volume-missing", last, "go-on", []string{fmt.Sprint(of), fmt.Sprint(len(t.Volumes))}, "the title has %d volumes, only %d are here", of, len(t.Volumes))
		}
		return
	}
	var gone []string
	for n := 1; n <= max(of, top) && n < 200; n++ {
		if !have[n] {
			gone = append(gone, fmt.Sprint(n))
		}
	}
	unnumbered := 0
	for _, v := range t.Volumes {
		if v.Number == 0 && !v.Prelim && v.RepeatOf == nil {
			unnumbered++
		}
	}
	if len(gone) > unnumbered {
		t.ask(diag.Stop, "volume-missing", last, "go-on", append([]string{fmt.Sprint(max(of, top))}, gone...), missingVolumes(gone), max(of, top))
	}
}

// missingVolumes is a format for the number of all volumes: "volume 2 of %d is in none of the files" or
// "volumes 1, 3 and 4 of %d are in none of the files".
func missingVolumes(n []string) string {
	if len(n) == 1 {
		return "volume " + n[0] + " of %d is in none of the files"
	}
	return "volumes " + strings.Join(n[:len(n)-1], ", ") + " and " + n[len(n)-1] + " of %d are in none of the files"
}

// running checks that print pages go on from volume to volume.
func (t *Title) running() {
	prev, prevLast := (*structure.Volume)(nil), -1
	for _, v := range t.Volumes {
		if v.RepeatOf != nil {
			continue
		}
		first, last := printRange(v)
		if prev != nil && first >= 0 && prevLast >= 0 && first < prevLast-1 {
			t.ask(diag.Look, "print-pages-disagree", v, "go-on", []string{fmt.Sprint(first), fmt.Sprint(prevLast)}, "begins on print page %d, but %s before it ends on print page %d", first, prev.File.Name, prevLast)
		}
		if last >= 0 {
			prev, prevLast = v, last
		}
	}
}

// printRange is the first and last arabic print page of a volume's text, -1
// when it shows none. Pages of chapters and appendixes (9-1, A3) begin anew.
func printRange(v *structure.Volume) (first, last int) {
	first, last = -1, -1
	see := func(n int) {
		if first < 0 {
			first = n
		}
		last = max(last, n)
	}
	for i := range v.Units {
		if v.Units[i].Page < v.BodyPage {
			continue
		}
		for _, t := range v.Units[i].Turns {
			if !t.Bare && !t.Label.Roman && t.Label.Own() == "" {
				see(t.Label.Value)
			}
		}
	}
	return first, last
}
