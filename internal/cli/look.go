package cli

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"continuo/internal/convert"
	"continuo/internal/diag"
	"continuo/internal/english"
	"continuo/internal/louis"
	"continuo/internal/profile"
	"continuo/internal/source"
)

func lookCommand(c console) *cobra.Command {
	var asJSON, all bool
	var house string
	cmd := &cobra.Command{
		Use:   "look SOURCE...",
		Short: "what is recognised in paper volumes; writes nothing",
		Long: `SOURCE is a volume file, a folder of volume files or a zip.
Says which titles and volumes there are and in which order, their page size and line spacing, where page numbers and running heads stand, the braille code, title, author line and headings in print, and what is wrong. Says too whether liblouis' program is there, which is used for languages other than English.`,
		Example: "continuo look mybook/\ncontinuo look mybook-1.brf mybook-2.brf\ncontinuo look mybook/ --headings\n  all headings in print\ncontinuo look --json mybook.zip",
		Args:    atLeast(1, "at least one SOURCE"),
		RunE: func(_ *cobra.Command, args []string) error {
			opt := convert.Defaults()
			if err := useProfile(&opt, house); err != nil {
				return err
			}
			return look(c, args, opt, asJSON, all)
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one JSON object instead of lines")
	cmd.Flags().BoolVar(&all, "headings", false, fmt.Sprintf("all headings of a title, not only the first %d", maxHeadings))
	cmd.Flags().StringVar(&house, "profile", "", "`FILE` house settings, for structure words of another language")
	completeOrFile(cmd, "profile", profile.Names()...)
	return cmd
}

// maxHeadings is how many headings of a title are shown when not all are asked
// for.
const maxHeadings = 40

func look(c console, args []string, opt convert.Options, asJSON, all bool) error {
	work := c.begin("reading the sources")
	defer work.end()
	files, skipped, err := openSources(args)
	if err != nil {
		return err
	}
	work.next(fmt.Sprintf("looking at %s", count(len(files), "file")))
	survey, err := convert.Look(files, opt)
	if err != nil {
		return err
	}
	print := surveyInPrint(files, opt.Words)
	odd := foreign(files)
	if asJSON {
		err = c.json(lookJSON(survey, print, odd, skipped))
	} else {
		c.survey(survey, print, all)
		c.ownWords(opt.Profile.Words)
		c.say("liblouis: %s", louisWords())
		c.findings(odd, english.Variant{})
		for _, line := range skippedLines(skipped) {
			c.say("%s", line)
		}
	}
	if err == nil && wanting(findingsOf(survey))+len(odd) > 0 {
		return person
	}
	return err
}

// louisWords says whether liblouis' program is there.
func louisWords() string {
	if t, ok := louis.Find(); ok {
		return fmt.Sprintf("%s, %s", t.Version(), t.Path())
	}
	return "not found; English braille does not need it"
}

// foreign lists files that look like print, and the bytes that are no cell. A survey does not tell of them,
// because they have nothing to do with the layout.
func foreign(files []*source.File) []diag.Finding {
	var out []diag.Finding
	for _, f := range files {
		out = append(out, printDoubt(f)...)
		for _, x := range convert.NoCells(f, f.Place) {
			x.Cells = ""
			out = append(out, x)
		}
	}
	return out
}

// printDoubt is a finding when a file looks like print.
func printDoubt(f *source.File) []diag.Finding {
	if !source.LooksPrint(f) {
		return nil
	}
	return []diag.Finding{{ID: "print", Severity: diag.Stop, Place: diag.Place{File: f.Name}, Text: "this looks like print, not braille"}}
}

// survey prints what was recognised.
func (c console) survey(s *convert.Survey, print bookInPrint, all bool) {
	volumes := 0
	for _, t := range s.Titles {
		volumes += len(t.Volumes)
	}
	c.say("found: %s, %s", count(len(s.Titles), "title"), count(volumes, "volume"))
	for i, t := range s.Titles {
		c.title(i+1, t, print, all)
	}
}

// title prints what was recognised of one title.
func (c console) title(n int, t convert.TitleSurvey, print bookInPrint, all bool) {
	variant := t.Detection.Best()
	c.say("title %d: %s", n, titleName(t))
	c.fact("title in print", titlePrint(t))
	c.fact("author line in print", inPrint(t.Author, variant))
	c.say("code: %s", codeName(t))
	for _, e := range evidence(t) {
		c.say("code evidence, %s: %d", e.label, e.value)
	}
	left := maxHeadings
	for _, v := range t.Volumes {
		c.volume(v)
		list := print.headings(v, variant)
		c.say("headings: %d", len(list))
		for i, h := range list {
			if left == 0 && !all {
				c.say("headings not shown: %d; --headings shows all", len(list)-i)
				break
			}
			left--
			c.say("heading, page %d: %s", h.page, h.print)
		}
	}
	c.findings(t.Findings, variant)
}

// titleName is the title in cells, in print as far as it can be read.
func titleName(t convert.TitleSurvey) string {
	if t.Title == "" {
		return "no title found"
	}
	return oneLine(t.Title)
}

// titlePrint is the title read back to print; it is meant for people who do not
// read Braille ASCII and is never written into an edition.
func titlePrint(t convert.TitleSurvey) string {
	return inPrint(t.Title, t.Detection.Best())
}

// codeName is the braille code in words, with what is not sure about it.
func codeName(t convert.TitleSurvey) string {
	return codeWords(t.Detection.Best(), t.Detection)
}

// codeWords names the variant v that was told by d.
func codeWords(v english.Variant, d english.Detection) string {
	name := v.String()
	switch {
	case d.CodeSure && d.GradeSure:
		return name
	case d.Code != english.UnknownCode:
		return name + " (likely)"
	case d.Older:
		return name + " (one of the two older codes; SEB and EBAE prose can look alike)"
	}
	return name + " (a guess; the cells do not tell)"
}

// evidence lists the signs of a code that were counted.
func evidence(t convert.TitleSurvey) []figure {
	var out []figure
	for tell, n := range t.Detection.Evidence.Counts {
		if n > 0 {
			out = append(out, figure{english.Tell(tell).String(), int64(n)})
		}
	}
	return out
}

func (c console) volume(v convert.VolumeSurvey) {
	c.say("%s: %s", volumeLabel(v), v.File)
	c.say("page size: %d cells, %d lines", v.Width, v.Height)
	c.say("pages: %d", v.Pages)
	if !v.FormFeeds {
		c.say("page ends: no form feeds; found by %s", pageEnds(v))
	}
	c.say("encoding: %s", v.Encoding)
	c.say("line spacing: %s", map[bool]string{true: "double", false: "single"}[v.Double])
	c.fact("running head", strings.TrimPrefix(v.Head, "running head "))
	c.fact("braille page number", v.BraillePage)
	c.fact("braille pages", span(v.FirstPage, v.LastPage))
	c.fact("print page number", v.PrintPage)
	c.fact("print pages", span(v.PrintFirst, v.PrintLast))
	c.say("print page turns in the text: %d", v.Turns)
	c.say("text begins on page: %d", v.BodyPage)
	c.say("contents lists: %d", v.ContentsLists)
	c.say("lines of notes: %d", v.Notes)
	c.say("end of volume line: %s", yesNo(v.EndLine))
}

func pageEnds(v convert.VolumeSurvey) string {
	if v.Divided {
		return "where page numbers recur"
	}
	return "nothing; taken as one page"
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// fact prints a line, "none found" for an empty value.
func (c console) fact(label, value string) {
	if value == "" {
		value = "none found"
	}
	c.say("%s: %s", label, value)
}

// volumeLabel names a volume by its number, if it has one.
func volumeLabel(v convert.VolumeSurvey) string {
	switch {
	case v.Prelim:
		return "preliminary volume"
	case v.Number > 0 && v.Of > 0:
		return fmt.Sprintf("volume %d of %d", v.Number, v.Of)
	case v.Number > 0:
		return fmt.Sprintf("volume %d", v.Number)
	}
	return "volume without number"
}

func span(first, last string) string {
	if first == last || last == "" {
		return first
	}
	return first + " to " + last
}

// findings prints findings, those that want a person's eye first.
func (c console) findings(list []diag.Finding, v english.Variant) {
	for _, line := range findingLines(list, v) {
		c.say("%s", line)
	}
}

// findingLines has one line a finding: severity, place, text, cells, and the
// cells in print when the variant is known. Those that want a person's eye come
// first.
func findingLines(list []diag.Finding, v english.Variant) []string {
	var out []string
	for _, want := range severities {
		for _, f := range list {
			if f.Severity == want {
				out = append(out, findingLine(f, v))
			}
		}
	}
	return out
}

func findingLine(f diag.Finding, v english.Variant) string {
	line := f.Severity.String() + ": "
	if p := f.Place.String(); p != "" {
		line += p + ": "
	}
	line += oneLine(f.Text)
	if f.Cells != "" {
		line += "; cells: " + oneLine(f.Cells)
	}
	if print := findingPrint(f, v); print != "" {
		line += "; in print: " + print
	}
	return line
}

// findingPrint is the braille of a finding in print; "" where there is none or
// its code is not known.
func findingPrint(f diag.Finding, v english.Variant) string {
	if v == (english.Variant{}) || f.Cells == "" {
		return ""
	}
	return inPrint(f.Cells, v)
}

// wanting counts findings that want a person's eye.
func wanting(list []diag.Finding) int {
	n := 0
	for _, f := range list {
		if f.Severity != diag.Note {
			n++
		}
	}
	return n
}

func findingsOf(s *convert.Survey) []diag.Finding {
	var out []diag.Finding
	for _, t := range s.Titles {
		out = append(out, t.Findings...)
	}
	return out
}
