package cli

import (
	"encoding/json"
	"strings"

	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/diag"
	"continuo/internal/source"
)

// json prints one value for machines.
func (c console) json(v any) error {
	enc := json.NewEncoder(c.out)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}

type jsonFinding struct {
	ID       string `json:"id"`
	Severity string `json:"severity"`
	File     string `json:"file,omitempty"`
	Page     int    `json:"page,omitempty"`
	Line     int    `json:"line,omitempty"`
	Text     string `json:"text"`
	Cells    string `json:"cells,omitempty"`
}

func jsonFindings(list []diag.Finding) []jsonFinding {
	out := []jsonFinding{}
	for _, f := range list {
		out = append(out, jsonFinding{f.ID, f.Severity.String(), f.Place.File, f.Place.Page, f.Place.Line, f.Text, f.Cells})
	}
	return out
}

type jsonVolume struct {
	File          string `json:"file"`
	Number        int    `json:"number"`
	Of            int    `json:"of"`
	Preliminary   bool   `json:"preliminary"`
	Width         int    `json:"width"`
	Height        int    `json:"height"`
	Pages         int    `json:"pages"`
	Double        bool   `json:"double_spaced"`
	Head          string `json:"running_head"`
	BraillePage   string `json:"braille_page_number"`
	FirstPage     string `json:"first_braille_page"`
	LastPage      string `json:"last_braille_page"`
	PrintPage     string `json:"print_page_number"`
	PrintFirst    string `json:"first_print_page"`
	PrintLast     string `json:"last_print_page"`
	Turns         int    `json:"print_page_turns"`
	Encoding      string `json:"encoding"`
	FormFeeds     bool   `json:"form_feeds"`
	OddOnly       bool   `json:"head_on_odd_pages_only"`
	BodyPage      int    `json:"text_begins_on_page"`
	ContentsLists int    `json:"contents_lists"`
	Notes         int    `json:"lines_of_notes"`
	EndLine       bool   `json:"end_of_volume_line"`
}

type jsonTitle struct {
	Title    string           `json:"title"`
	Print    string           `json:"title_in_print"`
	Code     string           `json:"code"`
	CodeSure bool             `json:"code_sure"`
	Evidence map[string]int64 `json:"code_evidence"`
	Volumes  []jsonVolume     `json:"volumes"`
	Findings []jsonFinding    `json:"findings"`
}

type jsonSkipped struct {
	Path string `json:"path"`
	Why  string `json:"why"`
}

type jsonLook struct {
	Outcome  string        `json:"outcome"`
	Findings []jsonFinding `json:"findings"` // of the files, not of a title
	Titles   []jsonTitle   `json:"titles"`
	Skipped  []jsonSkipped `json:"passed_over"`
}

func lookJSON(s *convert.Survey, odd []diag.Finding, skipped []source.Skipped) jsonLook {
	out := jsonLook{Outcome: outcome(append(findingsOf(s), odd...)), Findings: jsonFindings(odd), Titles: []jsonTitle{}, Skipped: jsonSkippedList(skipped)}
	for _, t := range s.Titles {
		jt := jsonTitle{Title: t.Title, Print: titlePrint(t), Code: t.Detection.Best().String(), CodeSure: t.Detection.CodeSure, Evidence: byLabel(evidence(t)), Volumes: []jsonVolume{}, Findings: jsonFindings(t.Findings)}
		for _, v := range t.Volumes {
			jt.Volumes = append(jt.Volumes, jsonVolume{v.File, v.Number, v.Of, v.Prelim, v.Width, v.Height, v.Pages, v.Double,
				v.Head, v.BraillePage, v.FirstPage, v.LastPage, v.PrintPage, v.PrintFirst, v.PrintLast, v.Turns,
				v.Encoding, v.FormFeeds, v.OddOnly, v.BodyPage, v.ContentsLists, v.Notes, v.EndLine})
		}
		out.Titles = append(out.Titles, jt)
	}
	return out
}

func jsonSkippedList(skipped []source.Skipped) []jsonSkipped {
	out := []jsonSkipped{}
	for _, s := range skipped {
		out = append(out, jsonSkipped{s.Path, s.Why})
	}
	return out
}

// outcome is "done" or "look", as the exit code says.
func outcome(list []diag.Finding) string {
	if wanting(list) > 0 {
		return "look"
	}
	return "done"
}

type jsonMake struct {
	Outcome  string           `json:"outcome"`
	Edition  string           `json:"edition"`
	Account  string           `json:"account"`
	Report   string           `json:"report"`
	Figures  map[string]int64 `json:"figures"`
	LeftOut  map[string]int64 `json:"left_out"` // cells, by class of reason
	Findings []jsonFinding    `json:"findings"`
	Skipped  []jsonSkipped    `json:"passed_over"`
}

func makeJSON(m *made) jsonMake {
	return jsonMake{outcome(m.result.Findings), m.out.edition, m.out.account, m.out.report, byLabel(figures(m.result.Stats)),
		m.result.Stats.LeftBy, jsonFindings(m.result.Findings), jsonSkippedList(m.skipped)}
}

// byLabel keys figures by their labels, with underscores for blanks.
func byLabel(list []figure) map[string]int64 {
	out := map[string]int64{}
	for _, f := range list {
		out[strings.ReplaceAll(f.label, " ", "_")] = f.value
	}
	return out
}

type jsonCheck struct {
	Outcome string `json:"outcome"` // "proved" or "not proved"
	Edition string `json:"edition"`
	Account string `json:"account"`
	check.Report
}
