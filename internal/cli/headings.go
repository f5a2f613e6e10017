package cli

import (
	"strings"

	"continuo/internal/book"
	"continuo/internal/convert"
	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/source"
	"continuo/internal/structure"
)

// heading is one heading, all its lines, with the place of the first one: page
// of the file and line on the page, from 1.
type heading struct {
	page, line int
	cells      string
	print      string
}

// headings lists the headings of a file in order, read in variant v. Lines of
// the title page and the end of a volume are none.
func (t *text) headings(v english.Variant) []heading {
	var out []heading
	open := false
	for i := range t.b.Blocks {
		bl := &t.b.Blocks[i]
		if bl.Kind != book.Heading {
			open = false
			continue
		}
		cells := string(t.b.Text(bl.Pieces[0]))
		if open && !bl.Blank.Want {
			out[len(out)-1].cells += " " + cells
			continue
		}
		page, line := t.v.File.Place(int(bl.Pieces[0].Line))
		out = append(out, heading{page: page, line: line, cells: cells})
		open = true
	}
	for i := range out {
		out[i].print = inPrint(out[i].cells, v)
	}
	return out
}

// inPrint is short wording, such as a title or a heading, in print on one line.
func inPrint(cells string, v english.Variant) string {
	return english.ReadLine([]byte(cells), v)
}

// bookInPrint is what a survey lacks: author lines and headings, by the names of
// the files.
type bookInPrint map[string][]*text

// surveyInPrint reads the files of a survey.
func surveyInPrint(files []*source.File, words english.Words) bookInPrint {
	out := bookInPrint{}
	for _, t := range readVolumes(files, words) {
		out[t.v.File.Name] = append(out[t.v.File.Name], t)
	}
	return out
}

// structureOf reads the structure of files, and not what stands in them: enough for
// title pages.
func structureOf(files []*source.File, words english.Words) bookInPrint {
	out := bookInPrint{}
	for _, lv := range layout.SurveyWith(files, words) {
		out[lv.File.Name] = append(out[lv.File.Name], prepareText(lv, noWidth))
	}
	return out
}

// headings lists the headings of a volume. Files of the same name, from two
// folders, cannot be told apart; they have none.
func (b bookInPrint) headings(v convert.VolumeSurvey, variant english.Variant) []heading {
	if list := b[v.File]; len(list) == 1 {
		return list[0].headings(variant)
	}
	return nil
}

// author is the author line of a title, in cells; "" when none is found.
func (b bookInPrint) author(t convert.TitleSurvey) string {
	for _, v := range t.Volumes {
		for _, x := range b[v.File] {
			if a := authorLine(x.v); a != "" {
				return a
			}
		}
	}
	return ""
}

// authorLine looks on the title page for a line "by ...", or "by" and the lines
// up to the next gap; without such a line, for the lines after the title that
// say nothing else of a title page.
func authorLine(v *structure.Volume) string {
	from, to := v.Title[0], v.Title[1]
	for i := from + v.TitleHead; i < to; i++ {
		u := &v.Units[i]
		p, ok := v.Words.Prefix(u.Text)
		switch {
		case ok && p.ID == english.By:
			return authorFrom(v, i)
		case ok && !u.Rule:
			return ""
		}
	}
	if i := from + v.TitleHead; v.TitleHead > 0 && i < to && !v.Units[i].Rule {
		return authorFrom(v, i)
	}
	return ""
}

// maxAuthor is how many lines the author line may take.
const maxAuthor = 4

func authorFrom(v *structure.Volume, i int) string {
	lines := []string{string(v.Units[i].Text)}
	for k := i + 1; k < v.Title[1] && len(lines) < maxAuthor; k++ {
		u := &v.Units[k]
		if _, ok := v.Words.Prefix(u.Text); ok || u.Rule || u.Blanks > 0 {
			break
		}
		lines = append(lines, string(u.Text))
	}
	return strings.Join(lines, " ")
}
