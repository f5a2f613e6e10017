package cli

import (
	"fmt"
	"path/filepath"
	"strings"

	"continuo/internal/convert"
	"continuo/internal/diag"
)

// figure is one number of an edition with its label.
type figure struct {
	label string
	value int64
}

// figures lists the numbers of an edition in the order they are told.
func figures(s convert.Stats) []figure {
	return []figure{
		{"volumes", int64(s.Volumes)},
		{"braille pages in the sources", int64(s.BraillePages)},
		{"lines in the sources", int64(s.SourceLines)},
		{"lines in the edition", int64(s.EditionLines)},
		{"cells a line in the edition", int64(s.Width)},
		{"blank lines in the sources", int64(s.BlankBefore)},
		{"blank lines in the edition", int64(s.BlankAfter)},
		{"cells in the sources", s.Marks},
		{"cells kept in their place", s.Kept},
		{"cells kept in another place", s.Moved},
		{"cells replaced", s.Swapped},
		{"cells left out", s.Left},
		{"cells written by the tool", s.Written},
		{"print page turns", int64(s.Turns)},
		{"lines of headings", int64(s.Headings)},
	}
}

// leftOut lists the cells left out by the class of their reason.
func leftOut(s convert.Stats) []figure {
	var out []figure
	for _, class := range sortedKeys(s.LeftBy) {
		if s.LeftBy[class] > 0 {
			out = append(out, figure{"left out, " + class, s.LeftBy[class]})
		}
	}
	return out
}

// cautions close every report.
var cautions = []string{
	"caution: a qualified proofreader decides where a slip can hurt: medicine doses, exams, legal text",
	"caution: the law of your country says who may make and pass on this edition",
}

// reportHead is the first line of every report.
const reportHead = "continuo report, plain text, one fact a line"

// text is the report of an edition: it depends on nothing but sources and
// settings, so that the same work gives the same report.
func (m *made) text() []byte {
	var b strings.Builder
	line := func(format string, a ...any) { fmt.Fprintf(&b, format+"\n", a...) }
	list := m.result.Findings
	line("%s", reportHead)
	if n := wanting(list); n > 0 {
		line("outcome: done, %s", wants(n))
	} else {
		line("outcome: done")
	}
	line("edition: %s", filepath.Base(m.out.edition))
	line("account: %s", filepath.Base(m.out.account))
	for _, s := range m.siblingLines() {
		line("%s", s)
	}
	line("tool: continuo %s", convert.Version)
	for _, s := range metadataLines(m.extra) {
		line("%s", s)
	}
	m.sourceFacts(line)
	for _, d := range m.decisionLines() {
		line("%s", d)
	}
	line("places that want a person's eye: %d", wanting(list))
	line("remarks, nothing to do: %d", len(list)-wanting(list))
	for _, f := range findingLines(list, m.variant()) {
		line("%s", f)
	}
	for _, f := range figures(m.result.Stats) {
		line("%s: %d", f.label, f.value)
	}
	for _, f := range leftOut(m.result.Stats) {
		line("%s: %d", f.label, f.value)
	}
	if m.result.Finders != nil {
		for _, s := range finderLines(m.result.Finders) {
			line("%s", s)
		}
	}
	for _, r := range rideLines(m.rides) {
		line("%s", r)
	}
	line("headings of the edition: %d", len(m.headings))
	for _, h := range m.headings {
		line("heading, line %d: %s; in print: %s", h.line, oneLine(h.cells), h.print)
	}
	for _, s := range skippedLines(m.skipped) {
		line("%s", s)
	}
	line("to prove that nothing was lost: continuo check %s SOURCE...", filepath.Base(m.out.edition))
	for _, c := range cautions {
		line("%s", c)
	}
	return []byte(b.String())
}

// sourceFacts tells of title and volumes.
func (m *made) sourceFacts(line func(string, ...any)) {
	if m.result.Survey == nil {
		return
	}
	for _, t := range m.result.Survey.Titles {
		line("title: %s", titleName(t))
		line("title in print: %s", titlePrint(t))
		if m.author != "" {
			line("author line: %s; in print: %s", oneLine(m.author), inPrint(m.author, m.variant()))
		}
		line("code: %s", codeName(t))
		for _, v := range t.Volumes {
			line("%s: %s, %s of %d cells and %d lines", volumeLabel(v), v.File, count(v.Pages, "page"), v.Width, v.Height)
		}
	}
}

// severities are told in this order.
var severities = []diag.Severity{diag.Stop, diag.Look, diag.Note}
