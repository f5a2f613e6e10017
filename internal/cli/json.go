package cli

import (
	"encoding/json"
	"strings"

	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/diag"
	"continuo/internal/english"
	"continuo/internal/louis"
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
	Print    string `json:"print,omitempty"`
}

func jsonFindings(list []diag.Finding, v english.Variant) []jsonFinding {
	out := []jsonFinding{}
	for _, f := range list {
		out = append(out, jsonFinding{f.ID, f.Severity.String(), f.Place.File, f.Place.Page, f.Place.Line, f.Text, f.Cells, findingPrint(f, v)})
	}
	return out
}

// jsonHeading is a heading of a source (with its page) or of an edition.
type jsonHeading struct {
	Page  int    `json:"page,omitempty"`
	Line  int    `json:"line"`
	Cells string `json:"cells"`
	Print string `json:"print"`
}

func jsonHeadings(list []heading) []jsonHeading {
	out := []jsonHeading{}
	for _, h := range list {
		out = append(out, jsonHeading{h.page, h.line, h.cells, h.print})
	}
	return out
}

type jsonVolume struct {
	File          string        `json:"file"`
	Number        int           `json:"number"`
	Of            int           `json:"of"`
	Preliminary   bool          `json:"preliminary"`
	Width         int           `json:"width"`
	Height        int           `json:"height"`
	Pages         int           `json:"pages"`
	Double        bool          `json:"double_spaced"`
	Head          string        `json:"running_head"`
	BraillePage   string        `json:"braille_page_number"`
	FirstPage     string        `json:"first_braille_page"`
	LastPage      string        `json:"last_braille_page"`
	PrintPage     string        `json:"print_page_number"`
	PrintFirst    string        `json:"first_print_page"`
	PrintLast     string        `json:"last_print_page"`
	Turns         int           `json:"print_page_turns"`
	Encoding      string        `json:"encoding"`
	FormFeeds     bool          `json:"form_feeds"`
	OddOnly       bool          `json:"head_on_odd_pages_only"`
	BodyPage      int           `json:"text_begins_on_page"`
	ContentsLists int           `json:"contents_lists"`
	Notes         int           `json:"lines_of_notes"`
	EndLine       bool          `json:"end_of_volume_line"`
	Headings      []jsonHeading `json:"headings"`
}

type jsonTitle struct {
	Title       string           `json:"title"`
	Print       string           `json:"title_in_print"`
	Author      string           `json:"author_line"`
	AuthorPrint string           `json:"author_line_in_print"`
	Code        string           `json:"code"`
	CodeSure    bool             `json:"code_sure"`
	Evidence    map[string]int64 `json:"code_evidence"`
	Volumes     []jsonVolume     `json:"volumes"`
	Findings    []jsonFinding    `json:"findings"`
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
	Louis    jsonLouis     `json:"liblouis"`
}

// jsonLouis says whether liblouis' program is there.
type jsonLouis struct {
	Found   bool   `json:"found"`
	Version string `json:"version,omitempty"`
	Path    string `json:"path,omitempty"`
}

func louisJSON() jsonLouis {
	t, ok := louis.Find()
	if !ok {
		return jsonLouis{}
	}
	return jsonLouis{true, t.Version(), t.Path()}
}

func lookJSON(s *convert.Survey, print bookInPrint, odd []diag.Finding, skipped []source.Skipped) jsonLook {
	out := jsonLook{Outcome: outcome(append(findingsOf(s), odd...)), Findings: jsonFindings(odd, english.Variant{}),
		Titles: []jsonTitle{}, Skipped: jsonSkippedList(skipped), Louis: louisJSON()}
	for _, t := range s.Titles {
		variant, author := t.Detection.Best(), t.Author
		jt := jsonTitle{Title: t.Title, Print: titlePrint(t), Author: author, AuthorPrint: inPrint(author, variant), Code: variant.String(), CodeSure: t.Detection.CodeSure,
			Evidence: byLabel(evidence(t)), Volumes: []jsonVolume{}, Findings: jsonFindings(t.Findings, variant)}
		for _, v := range t.Volumes {
			jt.Volumes = append(jt.Volumes, jsonVolume{v.File, v.Number, v.Of, v.Prelim, v.Width, v.Height, v.Pages, v.Double,
				v.Head, v.BraillePage, v.FirstPage, v.LastPage, v.PrintPage, v.PrintFirst, v.PrintLast, v.Turns,
				v.Encoding, v.FormFeeds, v.OddOnly, v.BodyPage, v.ContentsLists, v.Notes, v.EndLine, jsonHeadings(print.headings(v, variant))})
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
	Formats  []jsonFormat     `json:"formats"`
	Stale    []string         `json:"not_made_again"`
	Figures  map[string]int64 `json:"figures"`
	LeftOut  map[string]int64 `json:"left_out"` // cells, by class of reason
	Headings []jsonHeading    `json:"headings"`
	Displays []jsonBoth       `json:"displays"`
	Finders  []jsonFound      `json:"finders"` // empty when not asked for
	Findings []jsonFinding    `json:"findings"`
	Skipped  []jsonSkipped    `json:"passed_over"`
}

// jsonFormat is one file of another format beside the edition.
type jsonFormat struct {
	Format string `json:"format"`
	File   string `json:"file"`
}

func makeJSON(m *made) jsonMake {
	list := []jsonFormat{}
	for _, s := range m.siblings {
		list = append(list, jsonFormat{s.f.name, s.path})
	}
	return jsonMake{outcome(m.result.Findings), m.out.edition, m.out.account, m.out.report, list, append([]string{}, m.stale...), byLabel(figures(m.result.Stats)),
		m.result.Stats.LeftBy, jsonHeadings(m.headings), ridesJSON(m.rides), foundJSON(m.result.Finders), jsonFindings(m.result.Findings, m.variant()), jsonSkippedList(m.skipped)}
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
	Outcome string              `json:"outcome"` // "proved" or "not proved"
	Edition string              `json:"edition"`
	Account string              `json:"account"`
	File    string              `json:"file,omitempty"` // of another format, and how it compares
	Same    *check.FormatReport `json:"same_words,omitempty"`
	check.Report
}
