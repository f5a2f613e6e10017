package cli

import (
	"continuo/internal/book"
	"continuo/internal/convert"
	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/source"
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

// bookInPrint is what a survey lacks: headings, by the names of
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
