package ebraille

import (
	"crypto/sha256"
	"fmt"
	"slices"
	"strings"

	"continuo/internal/english"
	"continuo/internal/lazy"
)

// Metadata is what the package document says of the publication (5.3). All text
// is in print. A list's first value is the main one.
type Metadata struct {
	Titles    []string // dc:title, at least one
	Creators  []Person // dc:creator, at least one
	Producers []string // a11y:producer, at least one: who made the braille
	// Identifier is that of this publication, a URN or URL. Without one it is
	// made of the publication's words, so that the same words have the same.
	Identifier string
	// Languages are dc:language, each with the script Brai: en-Brai-GB.
	Languages []string
	Date      string // dc:date, when this publication is published
	Modified  string // dcterms:modified, YYYY-MM-DDThh:mm:ssZ
	Copyright string // dcterms:dateCopyrighted of the work in print, YYYY, YYYY-MM or YYYY-MM-DD
	// Complete is a11y:completeTranscription, "true" or "false": whether the
	// braille has all of the work.
	Complete string
	// CellType is a11y:brailleCellType; without it, what the words need.
	CellType string
	// Systems is a11y:brailleSystem; without it, the variant of Options.
	Systems []string

	Publisher, Rights, Description string
	Subjects                       []string
	Source                         Source
}

// Person is a person or body that made the work. Role is a code of the MARC
// relator list, or empty; Sort is the name as it is sorted, or empty.
type Person struct{ Name, Role, Sort string }

// Source is the print edition that the braille was made from.
type Source struct{ Identifier, Title, Publisher, Date, Edition string }

// Want is one thing that the standard demands and that was not given, or not in
// a form that it allows. Key names it, with dots, as a metadata file does.
type Want struct {
	Key  string // "creator", "dates.copyright"
	Name string // its name in the standard
	Bad  string // what was given instead; empty when nothing was
	How  string // what to give
}

// Incomplete is the error of metadata that is not enough: without it a
// publication must not be called eBraille.
type Incomplete struct{ Wants []Want }

func (e *Incomplete) Error() string {
	var names []string
	for _, w := range e.Wants {
		names = append(names, w.Key)
	}
	return "not enough for eBraille: " + strings.Join(names, ", ")
}

var (
	brailleTag = lazy.Regexp(`^[A-Za-z]{2,8}(-[A-Za-z]{3}){0,3}-[Bb]rai(-[A-Za-z0-9]{1,8})*$`)
	dateForm   = lazy.Regexp(`^[0-9]{4}(-(0[1-9]|1[0-2])(-(0[1-9]|[12][0-9]|3[01]))?)?$`)
	momentForm = lazy.Regexp(`^[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])T([01][0-9]|2[0-3]):[0-5][0-9]:[0-5][0-9]Z$`)
)

// wants lists what m lacks (5.3.3), in the order of the metadata file.
func (m *Metadata) wants() []Want {
	var out []Want
	need := func(ok bool, key, name, bad, how string) {
		if !ok {
			out = append(out, Want{key, name, bad, how})
		}
	}
	need(len(m.Titles) > 0, "title", "dc:title", "", "the title of the book in print")
	need(len(m.Creators) > 0, "creator", "dc:creator", "", "the author in print; for a book without one its editor, or the body that issued it")
	tag := slices.IndexFunc(m.Languages, func(s string) bool { return !brailleTag().MatchString(s) })
	if tag >= 0 {
		need(false, "language", "dc:language", m.Languages[tag], "a language tag with the script Brai, as en-Brai-GB")
	}
	need(len(m.Languages) > 0, "language", "dc:language", "", "the language of the text, as en-GB")
	need(len(m.Producers) > 0, "producers", "a11y:producer", "", "who made the braille")
	need(dateForm().MatchString(m.Copyright), "dates.copyright", "dcterms:dateCopyrighted", m.Copyright, "the copyright year of the work in print, as 1999; the standard has no value for a year that is not known")
	need(dateForm().MatchString(m.Date), "dates.publication", "dc:date", m.Date, "when this edition is published, as 2026-01-31")
	need(m.Complete == "true" || m.Complete == "false", "complete", "a11y:completeTranscription", m.Complete, "true when the braille has all of the work, else false")
	need(momentForm().MatchString(m.Modified), "modified", "dcterms:modified", m.Modified, "when this edition was made, as 2026-01-31T12:00:00Z")
	need(m.CellType == "" || slices.Contains([]string{"6", "8", "6, 8", "8, 6"}, m.CellType), "cell-type", "a11y:brailleCellType", m.CellType, "6, 8, or both with a comma and a blank")
	need(len(m.Systems) > 0, "system", "a11y:brailleSystem", "", "the braille code of the text, as UEB grade2")
	return out
}

// complete fills in what follows from the book and tells what is missing.
func (w *writer) complete(m Metadata) (Metadata, error) {
	m.clean()
	if m.CellType == "" {
		m.CellType = "6"
		if w.ed.Foreign > 0 {
			m.CellType = "6, 8"
		}
	}
	if s := system(w.o.Variant); len(m.Systems) == 0 && s != "" {
		m.Systems = []string{s}
	}
	if m.Identifier == "" {
		m.Identifier = w.identifier()
	}
	if wants := m.wants(); len(wants) > 0 {
		return m, &Incomplete{wants}
	}
	return m, nil
}

// clean takes blanks off and empty values out of lists.
func (m *Metadata) clean() {
	list := func(l []string) []string {
		var out []string
		for _, s := range l {
			if s = strings.TrimSpace(s); s != "" {
				out = append(out, s)
			}
		}
		return out
	}
	m.Titles, m.Producers, m.Languages = list(m.Titles), list(m.Producers), list(m.Languages)
	m.Systems, m.Subjects = list(m.Systems), list(m.Subjects)
	var people []Person
	for _, p := range m.Creators {
		if p.Name = strings.TrimSpace(p.Name); p.Name != "" {
			people = append(people, Person{p.Name, strings.TrimSpace(p.Role), strings.TrimSpace(p.Sort)})
		}
	}
	m.Creators = people
	for _, s := range []*string{&m.Identifier, &m.Date, &m.Modified, &m.Copyright, &m.Complete, &m.CellType, &m.Publisher, &m.Rights, &m.Description,
		&m.Source.Identifier, &m.Source.Title, &m.Source.Publisher, &m.Source.Date, &m.Source.Edition} {
		*s = strings.TrimSpace(*s)
	}
}

// system is the variant as the draft Braille Code Registry writes it (17
// October 2024; no code is registered yet): grade1 stands for uncontracted, as
// in the examples of the specification.
func system(v english.Variant) string {
	if v.Code == english.UnknownCode {
		return ""
	}
	if v.Contracted {
		return v.Code.String() + " grade2"
	}
	return v.Code.String() + " grade1"
}

// identifier is a UUID of version 8 (RFC 9562, 5.8) made of the words.
func (w *writer) identifier() string {
	h := sha256.New()
	for i := range w.files {
		h.Write(w.files[i].body)
	}
	u := h.Sum(nil)[:16]
	u[6] = u[6]&0x0F | 0x80
	u[8] = u[8]&0x3F | 0x80
	return fmt.Sprintf("urn:uuid:%x-%x-%x-%x-%x", u[:4], u[4:6], u[6:8], u[8:10], u[10:])
}

// packageDocument is package.opf (5).
func (w *writer) packageDocument(m Metadata) []byte {
	var b strings.Builder
	print := printLanguage(m.Languages[0])
	fmt.Fprintf(&b, `<?xml version="1.0" encoding="UTF-8"?>
<package xmlns="http://www.idpf.org/2007/opf" version="3.0" unique-identifier="pub-id" xml:lang="%s">
<metadata xmlns:dc="http://purl.org/dc/elements/1.1/">
`, escape(print))
	w.required(&b, m)
	w.recommended(&b, m)
	w.accessibility(&b, m)
	b.WriteString("</metadata>\n<manifest>\n" +
		"<item id=\"nav\" href=\"index.html\" media-type=\"application/xhtml+xml\" properties=\"nav\"/>\n" +
		"<item id=\"css\" href=\"" + folder + "style.css\" media-type=\"text/css\"/>\n")
	for i := range w.files {
		fmt.Fprintf(&b, "<item id=\"f%d\" href=\"%s%s\" media-type=\"application/xhtml+xml\"/>\n", i+1, folder, w.files[i].name)
	}
	b.WriteString("</manifest>\n<spine>\n")
	for i := range w.files {
		fmt.Fprintf(&b, "<itemref idref=\"f%d\"/>\n", i+1)
	}
	b.WriteString("</spine>\n</package>\n")
	return []byte(b.String())
}

// printLanguage is a language tag without the script.
func printLanguage(tag string) string {
	var out []string
	for _, p := range strings.Split(tag, "-") {
		if !strings.EqualFold(p, "Brai") {
			out = append(out, p)
		}
	}
	return strings.Join(out, "-")
}

func dc(b *strings.Builder, name, value string) {
	if value != "" {
		fmt.Fprintf(b, "<dc:%s>%s</dc:%s>\n", name, escape(value), name)
	}
}

func meta(b *strings.Builder, property, value string) {
	if value != "" {
		fmt.Fprintf(b, "<meta property=\"%s\">%s</meta>\n", property, escape(value))
	}
}

// required writes the elements of 5.3.3.
func (w *writer) required(b *strings.Builder, m Metadata) {
	fmt.Fprintf(b, "<dc:identifier id=\"pub-id\">%s</dc:identifier>\n", escape(m.Identifier))
	for _, t := range m.Titles {
		dc(b, "title", t)
	}
	for i, p := range m.Creators {
		fmt.Fprintf(b, "<dc:creator id=\"creator%d\">%s</dc:creator>\n", i+1, escape(p.Name))
		if p.Role != "" {
			fmt.Fprintf(b, "<meta refines=\"#creator%d\" property=\"role\" scheme=\"marc:relators\">%s</meta>\n", i+1, escape(p.Role))
		}
		if p.Sort != "" {
			fmt.Fprintf(b, "<meta refines=\"#creator%d\" property=\"file-as\">%s</meta>\n", i+1, escape(p.Sort))
		}
	}
	for _, l := range m.Languages {
		dc(b, "language", l)
	}
	dc(b, "format", "eBraille 1.0")
	dc(b, "date", m.Date)
	meta(b, "dcterms:modified", m.Modified)
	meta(b, "dcterms:dateCopyrighted", m.Copyright)
	meta(b, "a11y:brailleCellType", m.CellType)
	for _, s := range m.Systems {
		meta(b, "a11y:brailleSystem", s)
	}
	meta(b, "a11y:completeTranscription", m.Complete)
	for _, p := range m.Producers {
		meta(b, "a11y:producer", p)
	}
	meta(b, "a11y:tactileGraphics", "none")
}

// recommended writes what 5.3.4 asks for, as far as it was given.
func (w *writer) recommended(b *strings.Builder, m Metadata) {
	dc(b, "publisher", m.Publisher)
	dc(b, "rights", m.Rights)
	dc(b, "description", m.Description)
	for _, s := range m.Subjects {
		dc(b, "subject", s)
	}
	if m.Source.Identifier == "" {
		return
	}
	fmt.Fprintf(b, "<dc:source id=\"src\">%s</dc:source>\n", escape(m.Source.Identifier))
	if m.Source.Publisher != "" {
		fmt.Fprintf(b, "<meta property=\"dcterms:publisher\" refines=\"#src\">%s</meta>\n", escape(m.Source.Publisher))
	}
	if dateForm().MatchString(m.Source.Date) {
		fmt.Fprintf(b, "<meta property=\"dcterms:date\" refines=\"#src\">%s</meta>\n", m.Source.Date)
	}
}

// accessibility writes the discovery metadata of 10, with the values of the
// Schema.org accessibility properties vocabulary.
func (w *writer) accessibility(b *strings.Builder, m Metadata) {
	meta(b, "schema:accessMode", "tactile")
	meta(b, "schema:accessModeSufficient", "tactile")
	features := []string{"braille", "tableOfContents", "readingOrder"}
	if len(w.heads) > 0 {
		features = append(features, "structuralNavigation")
	}
	if len(w.pages) > 0 {
		features = append(features, "pageNavigation", "pageBreakMarkers")
	}
	for _, h := range w.heads {
		if h.role.aria == "doc-index" {
			features = append(features, "index")
			break
		}
	}
	for _, f := range append(features, "unlocked") {
		meta(b, "schema:accessibilityFeature", f)
	}
	meta(b, "schema:accessibilityHazard", "none")
	meta(b, "schema:accessibilitySummary", w.summary())
	if len(w.pages) > 0 {
		meta(b, "pageBreakSource", m.pageSource())
	}
}

// summary says in a sentence what a reader may jump by.
func (w *writer) summary() string {
	by := "its contents"
	if len(w.pages) > 0 {
		by += " and by the page numbers of the print edition"
	}
	return "One continuous braille text for refreshable displays. It can be read by " + by + "."
}

// pageSource names the print edition whose pages are marked (EPUB
// Accessibility Techniques 1.1, page source).
func (m *Metadata) pageSource() string {
	if m.Source.Identifier != "" {
		return m.Source.Identifier
	}
	title := m.Source.Title
	if title == "" {
		title = m.Titles[0]
	}
	date := m.Source.Date
	if date == "" {
		date = m.Copyright
	}
	var parts []string
	for _, p := range []string{title, m.Source.Publisher, date, m.Source.Edition} {
		if p != "" {
			parts = append(parts, p)
		}
	}
	return strings.Join(parts, ", ")
}
