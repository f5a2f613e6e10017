package convert

import (
	"fmt"
	"strings"

	"continuo/internal/assemble"
	"continuo/internal/decide"
	"continuo/internal/diag"
	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/source"
	"continuo/internal/structure"
)

// Survey is what was recognised in the files, title by title.
type Survey struct{ Titles []TitleSurvey }

// TitleSurvey is what was recognised of one title.
type TitleSurvey struct {
	Title     string // in cells
	Author    string // the author line, in cells; "" when none is found
	Volumes   []VolumeSurvey
	Code      english.Variant
	Detection english.Detection
	Findings  []diag.Finding
}

// VolumeSurvey is what was recognised of one file, in plain words where it is
// about places on the page.
type VolumeSurvey struct {
	File                   string
	Number, Of             int // from the volume statement, 0 unknown
	Prelim                 bool
	Encoding               string
	FormFeeds, Divided     bool // pages come from form feeds; or from recurring numbers
	Width, Height, Pages   int
	Double                 bool
	BraillePage, PrintPage string // where the numbers stand
	Head                   string
	OddOnly                bool
	FirstPage, LastPage    string // braille page labels in cells
	PrintFirst, PrintLast  string
	Turns                  int // print page turns marked in the text
	InlineTurns, RowTurns  int // of these: dot 5, dots 2-5; rows of dots 3-6
	BodyPage               int // 1-based page of the file on which the text begins
	ContentsLists, Notes   int
	EndLine                bool
	Evidence               Evidence
}

// Look surveys files without making anything.
func Look(files []*source.File, o Options) (*Survey, error) {
	if len(files) == 0 {
		return nil, fmt.Errorf("no volumes")
	}
	if len(files) == 1 && files[0].Pieces != nil {
		b, title := fromPieces(files[0], o.Profile.HeadingIndent)
		return surveyAgain(files[0], title, detectAgain(b)), nil
	}
	_, s := prepare(files, o.Words, decide.Resolve(o.Decisions, o.Profile.Rules, files))
	return s, nil
}

func survey(titles []assemble.Title) *Survey {
	s := &Survey{}
	for _, t := range titles {
		ts := TitleSurvey{Findings: t.Findings}
		ts.Volumes = make([]VolumeSurvey, len(t.Volumes))
		layout.Each(len(t.Volumes)+1, func(i int) {
			if i == 0 { // the longest first
				ts.Detection = detect(t.Volumes)
				return
			}
			ts.Volumes[i-1] = volumeSurvey(t.Volumes[i-1])
		})
		ts.Code = ts.Detection.Variant
		for _, v := range t.Volumes {
			if ts.Title == "" {
				ts.Title = strings.Join(rawTitle(v), " ")
			}
			if ts.Author == "" {
				ts.Author = v.Author()
			}
		}
		s.Titles = append(s.Titles, ts)
	}
	return s
}

func rawTitle(v *structure.Volume) []string {
	var out []string
	for _, u := range v.TitleUnits() {
		out = append(out, string(u.Text))
	}
	return out
}

func volumeSurvey(v *structure.Volume) VolumeSurvey {
	s := VolumeSurvey{File: v.File.Name, Number: v.Number, Of: v.Of, Prelim: v.Prelim, Encoding: string(v.File.Encoding),
		FormFeeds: v.File.FormFeed, Divided: v.Divided, Width: v.Width, Height: v.Height, Pages: len(v.Pages), Double: v.Double,
		OddOnly: v.OddOnly, Turns: v.Marks + v.Rows, InlineTurns: v.Marks, RowTurns: v.Rows, BodyPage: int(v.BodyPage) + 1, ContentsLists: len(v.Contents),
		Notes: v.Notes[1] - v.Notes[0], EndLine: v.End[1] > v.End[0] || v.EndTail.To > 0}
	s.BraillePage, s.PrintPage = where(v, layout.BraillePage), where(v, layout.PrintPage)
	s.Evidence = evidence(v)
	if v.Heads > 0 {
		s.Head = fmt.Sprintf("running head on %d of %d pages", v.Heads, len(v.Pages))
	}
	for p := range v.Pages {
		if b := v.Pages[p].Braille; b != nil {
			s.LastPage = b.String()
			if s.FirstPage == "" {
				s.FirstPage = s.LastPage
			}
		}
		if b := v.Pages[p].Print; b != nil {
			s.PrintLast = b.String()
			if s.PrintFirst == "" {
				s.PrintFirst = s.PrintLast
			}
		}
	}
	return s
}

func where(v *structure.Volume, use layout.Use) string {
	var parts []string
	for s := layout.Slot(0); s < layout.NSlots; s++ {
		if v.Slots[s] == use {
			parts = append(parts, s.String())
		}
	}
	if len(parts) > 0 && v.OddOnly && use == layout.BraillePage {
		parts[len(parts)-1] += ", every other page"
	}
	return strings.Join(parts, " or ")
}
