package batch

import (
	"fmt"
	"strings"

	"continuo/internal/book"
	"continuo/internal/catalogue"
	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/diag"
	"continuo/internal/english"
	"continuo/internal/lazy"
	"continuo/internal/meta"
	"continuo/internal/source"
)

// oneLine keeps text that comes from outside on one line.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// Read is short wording in print, on one line.
func Read(cells string, v english.Variant) string { return english.ReadLine([]byte(cells), v) }

// Variant is the code that a title is read in.
func Variant(res *convert.Result) english.Variant {
	if res.Survey == nil || len(res.Survey.Titles) == 0 {
		return english.Variant{}
	}
	return res.Survey.Titles[0].Detection.Best()
}

// Headings lists the headings of an edition, all lines of one together.
func Headings(res *convert.Result) []catalogue.Heading {
	var out []catalogue.Heading
	v := Variant(res)
	open := false
	for i := range res.Book.Blocks {
		bl := &res.Book.Blocks[i]
		if bl.Kind != book.Heading {
			open = false
			continue
		}
		cells := blockText(res.Book, bl)
		if open && !bl.Blank.Want {
			out[len(out)-1].Cells += " " + cells
			continue
		}
		out = append(out, catalogue.Heading{Line: res.Starts[i], Level: int(bl.Level), Cells: cells})
		open = true
	}
	for i := range out {
		out[i].Print = Read(out[i].Cells, v)
	}
	return out
}

func blockText(b *book.Book, bl *book.Block) string {
	var parts []string
	for _, p := range bl.Pieces {
		parts = append(parts, string(b.Text(p)))
	}
	return oneLine(strings.Join(parts, " "))
}

// byWord is the word before the name in an author line.
var byWord = lazy.Regexp(`(?i)^by\b:?\s*`)

// describe fills a record with what a conversion tells.
func describe(r *catalogue.Record, res *convert.Result, files []*source.File) {
	t := &res.Survey.Titles[0]
	v := Variant(res)
	r.TitleCells, r.AuthorCells = oneLine(t.Title), oneLine(t.Author)
	r.Title.Title, r.Author = Read(r.TitleCells, v), byWord().ReplaceAllString(Read(r.AuthorCells, v), "")
	code := t.Detection.Code
	r.Code, r.Contracted, r.Capitals, r.CodeSure = code.String(), t.Detection.Contracted, t.Detection.Capitals, t.Detection.CodeSure
	r.Headings = Headings(res)
	r.Volumes, r.Layout = volumes(t, files)
	for i := range r.Volumes {
		r.Pages += r.Volumes[i].Pages
	}
	for _, f := range res.Findings {
		r.Findings = append(r.Findings, finding(f, v))
	}
	s := res.Stats
	r.Figures = map[string]int64{"volumes": int64(s.Volumes), "pages": int64(s.BraillePages), "source_lines": int64(s.SourceLines), "edition_lines": int64(s.EditionLines),
		"width": int64(s.Width), "cells": s.Marks, "kept": s.Kept, "moved": s.Moved, "replaced": s.Swapped, "left_out": s.Left, "written": s.Written,
		"turns": int64(s.Turns), "headings": int64(s.Headings), "blank_before": int64(s.BlankBefore), "blank_after": int64(s.BlankAfter)}
	r.Figures[catalogue.Asked] = int64(len(res.Questions))
	for _, q := range res.Questions {
		r.Figures[catalogue.Asked+" "+q.Kind.ID]++
	}
}

func finding(f diag.Finding, v english.Variant) catalogue.Finding {
	out := catalogue.Finding{Place: f.Question, Kind: f.ID, Severity: f.Severity.String(), File: f.Place.File, Page: f.Place.Page, Line: f.Place.Line, Text: f.Text, Cells: f.Cells}
	if f.Cells != "" {
		out.Print = Read(f.Cells, v)
	}
	return out
}

// volumes are the source files in reading order, and the layout of the first
// one in words.
func volumes(t *convert.TitleSurvey, files []*source.File) (out []catalogue.Volume, layout string) {
	byName := map[string]*source.File{}
	for _, f := range files {
		byName[f.Name] = f
	}
	for _, v := range t.Volumes {
		c := catalogue.Volume{Number: v.Number, Of: v.Of, Prelim: v.Prelim, Name: v.File, Encoding: v.Encoding, Width: v.Width, Height: v.Height, Pages: v.Pages,
			Layout: words(v), FirstPage: v.FirstPage, LastPage: v.LastPage, PrintFirst: v.PrintFirst, PrintLast: v.PrintLast,
			Final: finals[v.Evidence.Final], Closing: v.EndLine || v.Evidence.Closed}
		if f := byName[v.File]; f != nil {
			c.Path, c.Bytes, c.SHA256 = f.Path, f.Bytes, f.SHA256
		}
		if layout == "" && !v.Prelim {
			layout = c.Layout
		}
		out = append(out, c)
	}
	return out, layout
}

// finals are the names of how files end.
var finals = map[source.Final]string{source.FinalCell: "cell", source.FinalLine: "line", source.FinalFeed: "feed"}

// words is the layout of a volume in words.
func words(v convert.VolumeSurvey) string {
	parts := []string{fmt.Sprintf("%d cells, %d lines", v.Width, v.Height)}
	add := func(label, what string) {
		if what != "" {
			parts = append(parts, label+what)
		}
	}
	add("braille page ", v.BraillePage)
	add("print page ", v.PrintPage)
	if v.Head != "" {
		parts = append(parts, "running head")
	}
	if v.Double {
		parts = append(parts, "double-spaced")
	}
	return strings.Join(parts, "; ")
}

// proof is the outcome of the distrustful reader as the catalogue keeps it.
func proof(rep check.Report, edition string) *catalogue.Proof {
	f := rep.Figures
	p := &catalogue.Proof{Proved: rep.OK, Problems: rep.NProblems, Cells: f.Sources, Kept: f.Keep, Moved: f.Move, Replaced: f.Swap, Written: f.Add, Edition: edition, Tool: convert.Version}
	for _, n := range f.Out {
		p.LeftOut += n
	}
	var first []string
	for _, x := range rep.Problems[:min(5, len(rep.Problems))] {
		first = append(first, x.String())
	}
	p.First = strings.Join(first, "\n")
	return p
}

// metadata reads title.toml of a title; what it says goes before what the title
// page says.
func metadata(r *catalogue.Record, file string) error {
	t, err := meta.Load(file)
	if err != nil {
		return err
	}
	add := func(name string, values ...string) {
		for _, v := range values {
			if v != "" {
				r.Metadata = append(r.Metadata, catalogue.Metadata{Name: name, Value: v, Origin: "title.toml"})
			}
		}
	}
	var authors []string
	for _, c := range t.Creators {
		add("author", c.Name)
		authors = append(authors, c.Name)
	}
	add("title", t.Title)
	add("subject", t.Subjects...)
	add("language", t.Language)
	add("identifier", t.Identifiers...)
	add("publisher", t.Publisher)
	add("producer", t.Producers...)
	add("rights", t.Rights)
	add("description", t.Description)
	add("source", t.Source.Identifier)
	add("published", t.Dates.Publication)
	if t.Title != "" {
		r.Title.Title = t.Title
	}
	if len(authors) > 0 {
		r.Author = strings.Join(authors, "; ")
	}
	return nil
}

// metadataOf reads the metadata beside a title, when there are any.
func metadataOf(r *catalogue.Record, sidecar string) error {
	if !exists(sidecar + metadataSuffix) {
		return nil
	}
	return metadata(r, sidecar+".toml")
}
