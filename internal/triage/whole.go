package triage

import (
	"bytes"
	"fmt"
	"path"
	"slices"
	"strconv"
	"strings"

	"continuo/internal/book"
	"continuo/internal/catalogue"
	"continuo/internal/cell"
	"continuo/internal/convert"
	"continuo/internal/decide"
	"continuo/internal/diag"
	"continuo/internal/english"
	"continuo/internal/lazy"
	"continuo/internal/source"
)

func look(kind, format string, a ...any) sign {
	return sign{kind: kind, state: catalogue.Look, weight: weightOf(kind, catalogue.Look), text: fmt.Sprintf(format, a...)}
}

// lookAt is such a sign about some cells of the title, which stand where a piece does.
func lookAt(kind string, at book.Piece, cells []byte, format string, a ...any) sign {
	s := look(kind, format, a...)
	s.cells, s.at = cells, &at
	return s
}

// whole looks for what is missing between and at the ends of volumes.
func whole(in Input) []sign {
	if in.Result.Survey == nil || len(in.Result.Survey.Titles) == 0 {
		return nil
	}
	t := &in.Result.Survey.Titles[0]
	vols := distinct(t.Volumes, in.Files)
	var out []sign
	out = append(out, orderAsked(toldOnce(names(vols, in.Others), in.Result.Findings), in.Result.Questions)...)
	out = append(out, between(vols)...)
	out = append(out, inside(vols)...)
	out = append(out, ends(vols)...)
	out = append(out, shorter(vols)...)
	out = append(out, endUntold(vols, hasContents(in.Result.Book), indexEnds(in.Result.Book))...)
	out = append(out, unfilled(vols)...)
	out = append(out, headingLast(vols)...)
	out = append(out, notesGone(vols, in.Result.Findings)...)
	out = append(out, codes(t, in.Result.Book)...)
	out = append(out, unlike(vols)...)
	out = append(out, partOfMore(vols)...)
	out = append(out, textTwice(in.Result, t.Volumes)...)
	out = append(out, contents(in.Result.Book)...)
	out = append(out, contentsTwice(in.Result.Book)...)
	out = append(out, entriesInText(in.Result.Book)...)
	out = append(out, listInText(in.Result.Book)...)
	out = append(out, leftHeads(in.Result.Book, t.Title)...)
	out = append(out, heads(in.Result, t.Title)...)
	return out
}

// distinct leaves out files that repeat another one.
func distinct(vols []convert.VolumeSurvey, files []*source.File) []convert.VolumeSurvey {
	sum := map[string]string{}
	for _, f := range files {
		sum[f.Name] = f.SHA256
	}
	seen := map[string]bool{}
	var out []convert.VolumeSurvey
	for _, v := range vols {
		if s := sum[v.File]; s == "" || !seen[s] {
			seen[s] = true
			out = append(out, v)
		}
	}
	return out
}

// ofAll is what the number of all volumes is in a name, behind that of the volume: "v2of3".
var ofAll = lazy.Regexp(`(?i)([0-9])[ _.-]?of[ _.-]?[0-9]{1,3}$`)

var lastToken = lazy.Regexp(`(?i)^(.*?)([0-9]{1,3}|(?:^|[ _.-])(?:[ivx]{1,6}|[a-z]|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve)|[a-z])$`)

var numberWords = strings.Fields("one two three four five six seven eight nine ten eleven twelve")

// fileNumbers reads the numbers of volumes off file names that are alike but
// for their last part: digits, a roman number, a word, or a letter. nil when
// the names tell no numbers. Preliminary volumes have none, 0.
func fileNumbers(vols []convert.VolumeSurvey) []int {
	var parts []string
	stem := "\x00"
	for _, v := range vols {
		base := path.Base(strings.ReplaceAll(v.File, `\`, "/"))
		m := lastToken().FindStringSubmatch(ofAll().ReplaceAllString(strings.TrimSuffix(base, path.Ext(base)), "$1"))
		switch s := ""; {
		case v.Prelim && (m == nil || stem == "\x00" || strings.ToLower(m[1]) != stem):
			parts = append(parts, "")
			continue
		case m == nil:
			return nil
		default:
			if s = strings.ToLower(strings.TrimRight(m[1], " _.-")); stem != "\x00" && s != stem {
				return nil
			}
			stem = s
			parts = append(parts, strings.ToLower(strings.Trim(m[2], " _.-")))
		}
	}
	for _, read := range []func(string) int{digits, roman, word, letter} {
		if list := readAll(parts, read); list != nil {
			return list
		}
	}
	return nil
}

// readAll reads all parts in one way, nil when one cannot be read or the
// numbers are too far apart to count volumes.
func readAll(parts []string, read func(string) int) []int {
	out, seen, top := make([]int, len(parts)), map[int]bool{}, 0
	for i, p := range parts {
		if p == "" {
			continue
		}
		n := read(p)
		if n == 0 || seen[n] {
			return nil
		}
		seen[n], out[i], top = true, n, max(top, n)
	}
	if top > 2*len(parts)+3 {
		return nil
	}
	return out
}

func digits(s string) int { n, _ := strconv.Atoi(s); return n }

func roman(s string) int {
	for n := 1; n <= 40; n++ {
		if string(cell.Roman(n)) == s {
			return n
		}
	}
	return 0
}

func word(s string) int { return slices.Index(numberWords, s) + 1 }

func letter(s string) int {
	if len(s) == 1 && s[0] >= 'a' && s[0] <= 'z' {
		return int(s[0]-'a') + 1
	}
	return 0
}

// ownNumbers are the numbers in the names of files, nil when these tell none.
// Numbers of files of other titles in the folder are not counted, but for those
// between the own ones: where these are 1 to 4, file 5 is the first.
func ownNumbers(vols []convert.VolumeSurvey, others []string) []int {
	if len(others) == 0 {
		return fileNumbers(vols)
	}
	all := slices.Clone(vols)
	for _, name := range others {
		all = append(all, convert.VolumeSurvey{File: name})
	}
	numbers := fileNumbers(all)
	if numbers == nil {
		return fileNumbers(vols)
	}
	own, before := numbers[:len(vols)], 0
	least := slices.Min(own)
	for _, o := range numbers[len(vols):] {
		before += is(o > 0 && o < least)
	}
	for i := range own {
		own[i] -= min(own[i], before)
	}
	return own
}

// names compares the numbers in file names: each number up to the highest must
// be there, and they must be those of the volume statements.
func names(vols []convert.VolumeSurvey, others []string) []sign {
	have := ownNumbers(vols, others)
	if len(vols) < 2 || have == nil {
		return nil
	}
	there, top := map[int]bool{}, 0
	var out []sign
	for i, n := range have {
		there[n], top = true, max(top, n)
		if v := &vols[i]; n > 0 && v.Number > 0 && n != v.Number && len(out) == 0 {
			out = append(out, look("file-number-disagrees", "%s says that it is volume %d; the statements are followed", v.File, v.Number))
		}
	}
	var gone []string
	var missing []int
	for n := 1; n < top; n++ {
		if !there[n] {
			gone, missing = append(gone, fmt.Sprint(n)), append(missing, n)
		}
	}
	if len(gone) > 0 {
		are := "is"
		if len(gone) > 1 {
			are = "are"
		}
		s := look("file-number-missing", "the file names count to %d, and %s %s not there", top, strings.Join(gone, ", "), are)
		s.missing = missing
		out = append(out, s)
	}
	return out
}

// toldOnce takes away that file names leave out volumes which a finding says are missing.
func toldOnce(list []sign, findings []diag.Finding) []sign {
	i := slices.IndexFunc(findings, func(f diag.Finding) bool { return f.ID == "volume-missing" })
	if i < 0 {
		return list
	}
	told := numbers().FindAllString(findings[i].Text, -1)
	return slices.DeleteFunc(list, func(s sign) bool {
		return s.kind == "file-number-missing" && !slices.ContainsFunc(s.missing, func(n int) bool { return !slices.Contains(told, strconv.Itoa(n)) })
	})
}

var numbers = lazy.Regexp(`[0-9]+`)

// orderAsked takes away what is asked about the order of the volumes once a
// person has answered which order is right; without an answer it is the same
// question.
func orderAsked(list []sign, questions []decide.Question) []sign {
	i := slices.IndexFunc(questions, func(q decide.Question) bool { return q.Kind.ID == "order-disagrees" })
	if i < 0 {
		return list
	}
	var out []sign
	for _, s := range list {
		if s.kind == "file-number-disagrees" {
			if s.asked = true; questions[i].Settled() {
				continue
			}
		}
		out = append(out, s)
	}
	return out
}

// between compares the pages at the end of a volume with those at the start of
// the next one.
func between(vols []convert.VolumeSurvey) []sign {
	var out []sign
	usual, step := usualGap(vols), usualStep(vols)
	printed, last := "", 0 // the last volume before that shows print pages
	runs := 0              // volumes whose braille pages go on from the one before
	for i := 1; i < len(vols); i++ {
		if a, b := vols[i-1].Evidence, vols[i].Evidence; a.Last > 0 && b.First == a.Last+1 {
			runs++
		}
	}
	for i := 1; i < len(vols); i++ {
		va, vb := &vols[i-1], &vols[i]
		a, b := va.Evidence, vb.Evidence
		if va.Prelim {
			continue
		}
		if a.PrintLast > 0 {
			printed, last = va.File, a.PrintLast
		}
		steps := a.PrintLast > 0 && a.Steps >= fewSteps && b.Steps >= fewSteps && !b.Anew
		between := usual * (1 + a.Unshown[1] + b.Unshown[0])
		if last > 0 && (b.PrintFirst > last+between+1 || steps && b.PrintFirst > last+1) {
			out = append(out, look("print-pages-missing", "%s ends on print page %d, and %s begins on print page %d", printed, last, vb.File, b.PrintFirst))
		}
		if runs > 0 && 2*runs >= len(vols)-2 && a.Last > 0 && b.First > a.Reached+2 || step > 1 && a.Last > 0 && b.First > a.Reached+step+1 {
			out = append(out, look("braille-pages-missing", "%s ends on braille page %d, and %s begins on braille page %d", va.File, a.Last, vb.File, b.First))
		}
		if runs == 0 && len(vols) == 2 && a.Last > 0 && b.First > a.Last+vb.BodyPage+1 && b.First > vb.BodyPage+3 && b.First%100 != 1 {
			// further on than the pages before the text: the numbers run on, its first pages counted or not
			out = append(out, look("braille-pages-missing", "%s ends on braille page %d, and %s begins on braille page %d", va.File, a.Last, vb.File, b.First))
		}
		if runs > 0 && 2*runs >= len(vols)-2 && a.Last > 0 && b.First > 1 && b.First < a.Last {
			out = append(out, look("braille-pages-back", "%s ends on braille page %d, and %s begins on braille page %d", va.File, a.Last, vb.File, b.First))
		}
	}
	return out
}

// fewSteps is how many print page turns in the text of a volume, each to the next
// page, tell that no turn is left out.
const fewSteps = 3

// usualGap is the difference of print pages between volumes that the layout
// itself makes, where not every page shows its number: at least one, and what
// comes between pages too.
func usualGap(vols []convert.VolumeSurvey) int {
	least := 1
	for i := range vols {
		least = max(least, vols[i].Evidence.Jump)
	}
	var gaps []int
	for i := 1; i < len(vols); i++ {
		if a, b := vols[i-1].Evidence, vols[i].Evidence; a.PrintLast > 0 && b.PrintFirst > 0 {
			gaps = append(gaps, b.PrintFirst-a.PrintLast)
		}
	}
	if len(gaps) < 3 {
		return least
	}
	slices.Sort(gaps)
	return max(least, gaps[len(gaps)/2])
}

// usualStep is by how much the first braille page of a volume's text is further on
// than the last one of the volume before, where that is the same in most of four
// volumes and more: the title page counts, or the back of a page. 0 if it differs.
func usualStep(vols []convert.VolumeSurvey) int {
	count, pairs, most := map[int]int{}, 0, 0
	for i := 1; i < len(vols); i++ {
		if a, b := vols[i-1].Evidence, vols[i].Evidence; a.Last > 0 && b.First > 0 {
			pairs++
			d := b.First - a.Last
			if count[d]++; d > 0 && count[d] > count[most] {
				most = d
			}
		}
	}
	if count[most] < 2 || 2*count[most] <= pairs {
		return 0
	}
	return most
}

// inside looks for pages missing within volumes. Where three volumes and more have
// such a place on the same page, it is the way of the house.
func inside(vols []convert.VolumeSurvey) []sign {
	same := map[int]int{} // volumes by their only such page
	for i := range vols {
		if g := vols[i].Evidence.Gaps; len(g) == 1 {
			same[g[0]]++
		}
	}
	var out []sign
	for i := range vols {
		if g := vols[i].Evidence.Gaps; len(g) > 0 && !(len(g) == 1 && same[g[0]] >= 3) {
			out = append(out, look("page-missing", "%s page %d: the braille page numbers are further on than the pages; %s in the file", vols[i].File, g[0], counted(len(g), "such place")))
		}
	}
	return out
}

// ends compares how volumes end.
func ends(vols []convert.VolumeSurvey) []sign {
	var out []sign
	n := len(vols)
	lines, short, finals := 0, 0, map[source.Final]int{}
	blank, padded, tails := 0, 0, map[string]int{} // files that end in an empty page, or are filled to a record; how they end
	for i := range vols {
		e := &vols[i].Evidence
		blank, padded = blank+is(feeds(e.Tail) > 1), padded+is(e.Padded)
		tails[e.Tail]++
		lines += is(i < n-1 && vols[i].EndLine)
		finals[vols[i].Evidence.Final]++
		short += is(stopsShort(&vols[i]))
	}
	step := usualStep(vols)
	out = append(out, endLines(vols, lines, step)...)
	for i := range vols {
		v := &vols[i]
		switch e := v.Evidence; {
		case n > 1 && e.Final == source.FinalCell && finals[e.Final] == 1 && !paperEnds(&e) && (!e.Full && e.Room > 0 || e.Within) && !v.EndLine && !e.Closed:
			out = append(out, look("cut-off", "%s ends in the middle of a line, the other files do not: it may be cut off", v.File))
		case n > 1 && e.Final != source.FinalFeed && finals[source.FinalFeed] == n-1:
			out = append(out, look("cut-off", "%s does not end with the end of a page, as the other files do: it may be cut off", v.File))
		case n > 1 && e.Final == source.FinalFeed && finals[e.Final] == 1:
			out = append(out, look("cut-off", "%s ends where another page could begin, the other files do not: it may be cut off", v.File))
		case n > 1 && blank == n-1 && feeds(e.Tail) < 2 && !v.EndLine && !e.Closed:
			out = append(out, look("cut-off", "an empty page stands at the end of all other files, and none at that of %s: it may be cut off", v.File))
		case (n > 2 || n == 2 && e.Room > fewRoom) && padded == n-1 && !e.Padded && !v.EndLine && !e.Closed:
			out = append(out, look("cut-off", "all other files are filled up at their end with signs that are no braille, and %s is not: it may be cut off", v.File))
		case n > 3 && i < n-1 && e.Full && (e.Within || e.Comma) && tails[e.Tail] == 1 && len(tails) == 2 && !paperEnds(&e) && !v.EndLine && !e.Closed: // a last page that is not full is filled up
			out = append(out, look("cut-off", "all other files end in the same line ends and form feeds, and %s does not: it may be cut off", v.File))
		}
		out = append(out, announced(v)...)
		if i > 0 && !runsOn(&vols[i-1], v, step) {
			out = append(out, seam(&vols[i-1], v)...)
		}
		if short == 1 && stopsShort(v) {
			out = append(out, look("stops-short", "%s ends in the middle of a sentence and of a page: it may be cut off", v.File))
		}
	}
	out = oneSeam(out, n)
	out = append(out, numberGone(vols)...)
	if last := &vols[n-1]; endsOpen(last) && !(short == 1 && stopsShort(last)) { // one sign says both
		out = append(out, look("ends-open", "%s, the last volume, ends in the middle of a sentence", last.File))
	}
	return out
}

// paperEnds reports whether a file ends in a line that is full at the end of the paper, and needs no
// line end there, or is filled up behind its last line: it is not cut off within that line.
func paperEnds(e *convert.Evidence) bool {
	return e.Final == source.FinalCell && (e.Padded || e.Full && e.Room == 0 && e.Wide)
}

// endLines looks for a volume without a line that says that it ends, where nearly
// all others but the last have one. Where several have none, it is the way of the
// house, which leaves the line off when the text fills the page; so it is where page numbers run on.
func endLines(vols []convert.VolumeSurvey, with, step int) []sign {
	var without []string
	for i := range vols[:len(vols)-1] {
		if v := &vols[i]; !v.EndLine && !v.Prelim && !runsOn(v, &vols[i+1], step) {
			without = append(without, v.File)
		}
	}
	switch n := len(without); {
	case n == 0 || with == 0 || n > 1 && 4*n > n+with:
		return nil
	case n == 1:
		return []sign{look("end-line-missing", "%s has no line that says that it ends, as other volumes have", without[0])}
	default:
		return []sign{look("end-line-missing", "%s have no line that says that they end, as other volumes have", strings.Join(first(without, 3), ", "))}
	}
}

// Numbers on so many pages tell that the last page should have one: where no other volume
// tells it, and where those of all others have theirs.
const (
	fewNumbers  = 6
	someNumbers = 2
)

// numberGone looks for one volume whose last page shows no page number, where all
// other pages and the last ones of the other volumes do: it may be cut off within
// that page.
func numberGone(vols []convert.VolumeSurvey) []sign {
	var gone *convert.VolumeSurvey
	enough := fewNumbers
	for i := range vols {
		switch v := &vols[i]; {
		case v.Evidence.Numbered:
			enough = someNumbers
		case says(v) || v.Evidence.Shown == 0: // nothing says that it should
		case gone != nil:
			return nil
		default:
			gone = v
		}
	}
	if gone == nil || gone.Evidence.Shown < enough || len(vols) == 1 && !gone.Evidence.Open {
		return nil
	}
	return []sign{look("number-gone", "the last page of %s shows no page number, as all other pages do: it may be cut off", gone.File)}
}

// announced compares the pages of a volume with those that its title page says
// it has.
func announced(v *convert.VolumeSurvey) []sign {
	switch e := v.Evidence; {
	case v.Prelim:
	case e.Said > e.Reached && e.Reached > 0:
		return []sign{look("pages-announced", "%s says that it goes to braille page %d, and ends on %d", v.File, e.Said, e.Reached)}
	case e.PrintSaid > e.PrintLast+1 && e.PrintLast > 0:
		return []sign{look("pages-announced", "%s says that it goes to print page %d, and ends on %d", v.File, e.PrintSaid, e.PrintLast)}
	}
	return nil
}

// partOfMore looks for a file alone whose title page says that it is a part of several: where no
// other volume shows what the parts are, they may be the volumes.
func partOfMore(vols []convert.VolumeSurvey) []sign {
	if len(vols) != 1 || vols[0].Of > 0 || vols[0].Evidence.Parts < 2 {
		return nil
	}
	return []sign{look("part-of-more", "the title page of %s says that it is a part of %d, and no other file is here", vols[0].File, vols[0].Evidence.Parts)}
}

// runsOn reports whether the page numbers of a volume go on from those of the one before
// it, whose last page is there to its end: nothing is missing between them.
func runsOn(a, b *convert.VolumeSurvey, step int) bool {
	x, y := a.Evidence, b.Evidence
	if x.Final != source.FinalFeed && !x.Full {
		return false
	}
	return x.Last > 0 && (y.First == x.Last+1 || step > 0 && y.First == x.Last+step)
}

// seam compares how the text of a volume ends with how that of the next one
// begins: a sentence that breaks off goes on there, and one that ends does not.
func seam(a, b *convert.VolumeSurvey) []sign {
	switch {
	case a.Prelim || a.EndLine || a.Notes > 0 || !a.Evidence.Prose:
	case a.Evidence.Within && b.Evidence.Anew:
		return []sign{look("seam", "%s ends in the middle of a sentence, and %s begins anew", a.File, b.File)}
	case a.Evidence.Ended && b.Evidence.Mid:
		return []sign{look("seam", "%s ends with a sentence, and %s begins in the middle of one", a.File, b.File)}
	}
	return nil
}

// oneSeam takes seams away where two and more, and half of all, look as if something were missing: it is
// the way of the house, which names the chapter that goes on where a volume begins.
func oneSeam(list []sign, volumes int) []sign {
	seams := 0
	for _, s := range list {
		seams += is(s.kind == "seam")
	}
	if seams < 2 || 2*seams < volumes-1 {
		return list
	}
	return slices.DeleteFunc(list, func(s sign) bool { return s.kind == "seam" })
}

// stopsShort reports whether the text of a volume ends within a sentence above
// the foot of its page. Where several volumes end so it is the way of the book.
func stopsShort(v *convert.VolumeSurvey) bool {
	e := v.Evidence
	return (e.Within || e.Comma || e.Open && e.Prose) && e.Short && !v.EndLine && !v.Prelim
}

// endsOpen reports whether the text of a volume ends within a sentence, at the foot
// of a page or in prose; over a line that says that the volume ends, another volume goes on.
func endsOpen(v *convert.VolumeSurvey) bool {
	e := v.Evidence
	return e.EndOf > 0 && e.Within && e.Prose || !v.EndLine && (e.Open && e.Full || e.Within && e.Prose || e.Comma)
}

// feeds counts the form feeds of a tail, see source.File.
func feeds(tail string) int { return strings.Count(tail, "f") }

func is(b bool) int {
	if b {
		return 1
	}
	return 0
}

// unlike looks for a volume that was laid out in another way than all the
// others, which agree: in two at least of width, height, line spacing, and
// whether print pages are shown.
func unlike(vols []convert.VolumeSurvey) []sign {
	var text []*convert.VolumeSurvey
	for i := range vols {
		if !vols[i].Prelim && vols[i].Pages > 4 {
			text = append(text, &vols[i])
		}
	}
	if len(text) < 3 {
		return nil
	}
	for i, v := range text {
		o := text[(i+1)%len(text)]
		same := true
		for k, w := range text {
			same = same && (k == i || w.Width == o.Width && w.Height == o.Height && w.Double == o.Double && (w.Evidence.PrintLast > 0) == (o.Evidence.PrintLast > 0))
		}
		if !same {
			continue
		}
		var how []string
		if v.Width != o.Width || v.Height != o.Height {
			how = append(how, fmt.Sprintf("pages of %d cells and %d lines, not %d and %d", v.Width, v.Height, o.Width, o.Height))
		}
		if v.Double != o.Double {
			how = append(how, "another line spacing")
		}
		if (v.Evidence.PrintLast > 0) != (o.Evidence.PrintLast > 0) {
			how = append(how, "print pages shown in one and not in the other")
		}
		if len(how) >= 2 {
			return []sign{look("volume-unlike", "%s is laid out in another way than the other volumes: %s", v.File, strings.Join(how, ", "))}
		}
	}
	return nil
}

// codes asks whether the cells read as English braille.
func codes(t *convert.TitleSurvey, b *book.Book) []sign {
	d := t.Detection
	if d.Code == english.UnknownCode && !d.Older && d.Evidence.Words > 2000 && d.Contracted {
		return []sign{look("code-unknown", "the code cannot be told, in %d words", d.Evidence.Words)}
	}
	contracted, spelt := -1, -1 // the first volume of each
	for vol, n := range commonWords(b) {
		if n.foreign() {
			return []sign{look("code-unknown", "%s: of %d words hardly one is among the commonest of English (the, and, of): the text is in another language, or the file was written with another table", b.Files[vol].Name, n.words)}
		}
		switch sum := n.common[0] + n.common[1] + n.common[2]; {
		case sum < fewGraded:
		case 10*n.spelt <= sum && contracted < 0:
			contracted = vol
		case 10*n.spelt >= 9*sum && spelt < 0:
			spelt = vol
		}
	}
	if contracted >= 0 && spelt >= 0 {
		return []sign{look("volume-unlike", "%s is contracted and %s is not: volumes of two editions may stand together", b.Files[contracted].Name, b.Files[spelt].Name)}
	}
	return nil
}

// The commonest three words of English are one in fifteen to one in thirty words of any prose each (common
// practice: every count of English words). Where two of them are under one in rareCommon, of fewWords and more,
// or one, and all three together under one in fewCommon, it is no English.
const (
	fewWords   = 500
	rareCommon = 200
	fewCommon  = 30

	enoughWords = 3000 // of a volume tell
	fewGraded   = 20   // of the commonest words tell whether a volume is contracted
)

// commonest are the cells of "the", "and" and "of", contracted or not, and of words written together that end in them.
var commonest = map[string]int{"!": 0, "the": 0, "(!": 0, "&!": 0, "=!": 0, ")!": 0, "&": 1, "and": 1, "(": 2, "of": 2}

const longestCommon = len("the")

// wordCount is how many words a volume has, and how many of them are each of the commonest.
type wordCount struct {
	words  int
	common [3]int
	spelt  int // of the common ones, those that are spelt out
}

// foreign reports whether the words are hardly those of English.
func (n *wordCount) foreign() bool {
	rare, sum := 0, 0
	for _, c := range n.common {
		rare += is(rareCommon*c < n.words)
		sum += c
	}
	return n.words >= fewWords && (rare > 1 || rare > 0 && fewCommon*sum < n.words)
}

// commonWords counts the words of each volume's text: one file of a title may be written with another table.
func commonWords(b *book.Book) []wordCount {
	if b == nil {
		return nil
	}
	out := make([]wordCount, len(b.Files))
	for i := range b.Blocks {
		bl := &b.Blocks[i]
		if bl.Kind != book.Para && bl.Kind != book.Line {
			continue
		}
		for _, p := range bl.Pieces {
			if p.Vol < 0 {
				continue // the tool's own
			}
			n := &out[p.Vol]
			if n.words > enoughWords {
				continue
			}
			for w := range bytes.FieldsSeq(b.Text(p)) {
				n.words++
				w = bytes.TrimLeft(w, ",8\"")
				if len(w) > longestCommon {
					continue
				}
				if k, ok := commonest[string(w)]; ok {
					n.common[k]++
					n.spelt += is(w[0] >= 'a' && w[0] <= 'z')
				}
			}
		}
	}
	return out
}

// files looks at the bytes of the files themselves.
func files(list []*source.File) []sign {
	var out []sign
	for _, f := range list {
		if n := source.StrayCase(f); n > 0 {
			out = append(out, look("stray-case", "%s: %s in the other case than all the rest: bytes may be damaged", f.Name, counted(int(n), "letter")))
		}
		if source.LooksPrint(f) {
			out = append(out, sign{kind: "print", state: catalogue.Stop, weight: weightOf("print", catalogue.Stop), text: f.Name + " looks like print, not braille"})
		}
	}
	return out
}

// others are signs of what stands beside the title.
func others(in Input) []sign {
	var out []sign
	if in.Beside != "" {
		out = append(out, look("foreign-beside", "%s in the same folder seems to be of another title", in.Beside))
	}
	if in.Doubt != "" {
		out = append(out, look("volumes-unsure", "%s", in.Doubt))
	}
	if in.Habit != "" {
		out = append(out, look(Habit, "%s", in.Habit))
	}
	if in.Settings != "" {
		out = append(out, look("settings", "%s", in.Settings))
	}
	return out
}
